//! On which line of the text each feature begins.

/// Line numbers, the first being 1, where the members of the top-level `features` list begin. The text must be JSON.
pub(crate) fn lines(text: &str) -> Vec<usize> {
    let mut scan = Scan { found: Vec::new(), depth: 0, inside: false, word: String::new(), key: String::new() };
    let (mut line, mut quoted, mut escaped) = (1, false, false);
    for byte in text.bytes() {
        if byte == b'\n' {
            line += 1;
        }
        if quoted {
            match byte {
                _ if escaped => escaped = false,
                b'\\' => escaped = true,
                b'"' => quoted = false,
                _ if scan.word.len() < 16 => scan.word.push(char::from(byte)),
                _ => {}
            }
        } else if byte == b'"' {
            quoted = true;
            scan.word.clear();
        } else {
            scan.mark(byte, line);
        }
    }
    scan.found
}

struct Scan {
    found: Vec<usize>,
    depth: usize,
    inside: bool,
    word: String,
    key: String,
}

impl Scan {
    fn mark(&mut self, byte: u8, line: usize) {
        match byte {
            b':' if self.depth == 1 => self.key.clone_from(&self.word),
            b'{' | b'[' => {
                if self.inside && self.depth == 2 {
                    self.found.push(line);
                }
                if byte == b'[' && self.depth == 1 && self.key == "features" {
                    self.inside = true;
                    self.found.clear();
                }
                self.depth += 1;
            }
            b'}' | b']' => {
                self.depth = self.depth.saturating_sub(1);
                if self.depth == 1 {
                    self.inside = false;
                }
            }
            // A bare value where a feature should be still takes a place in the list.
            b'n' | b't' | b'f' if self.inside && self.depth == 2 => self.found.push(line),
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::lines;

    #[test]
    fn features_are_found_on_their_lines_whatever_lies_in_strings() {
        let text = "{\"type\": \"FeatureCollection\",\n \"name\": \"{[ \\\" features\",\n \"features\": [\n {\"a\": [1]},\n\n {\"b\": {}}]}";
        assert_eq!(lines(text), vec![4, 6]);
    }
}
