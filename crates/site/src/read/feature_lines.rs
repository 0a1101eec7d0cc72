//! On which line of the text each feature begins.

/// Line numbers, the first being 1, where the members of the top-level `features` list begin. The text must be JSON.
pub(crate) fn lines(text: &str) -> Vec<usize> {
    let mut scan = Scan::default();
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
        } else if !byte.is_ascii_whitespace() {
            scan.mark(byte, line);
            if byte == b'"' {
                quoted = true;
                scan.word.clear();
            }
        }
    }
    scan.found
}

/// Where a pass over the text has come to.
#[derive(Default)]
struct Scan {
    found: Vec<usize>,
    depth: usize,
    /// Within the list of features.
    inside: bool,
    /// A member of the list begins with the next byte.
    next_begins: bool,
    /// The last text in quotes.
    word: String,
    /// The last key of the top-level object.
    key: String,
}

impl Scan {
    /// Takes in one byte outside quotes and white space.
    fn mark(&mut self, byte: u8, line: usize) {
        if std::mem::take(&mut self.next_begins) && byte != b']' {
            self.found.push(line);
        }
        match byte {
            b':' if self.depth == 1 => self.key.clone_from(&self.word),
            b',' if self.inside && self.depth == 2 => self.next_begins = true,
            b'{' | b'[' => {
                if byte == b'[' && self.depth == 1 && self.key == "features" {
                    (self.inside, self.next_begins) = (true, true);
                    self.found.clear();
                }
                self.depth += 1;
            }
            b'}' | b']' => {
                self.depth = self.depth.saturating_sub(1);
                self.inside &= self.depth > 1;
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::lines;

    #[test]
    fn features_are_found_on_their_lines_whatever_lies_in_strings() {
        let text = "{\"type\": \"FeatureCollection\",\n \"name\": \"{[ \\\" features\",\n \"features\": [\n {\"a\": [1]},\n\n {\"b\": {}}, 3,\n null, \"x\"]}";
        assert_eq!(lines(text), vec![4, 6, 6, 7, 7]);
    }
}
