//! CSV as RFC 4180 has it, with one thing more: a field with nothing in it is *blank* (`None`) where it stands bare, and *empty
//! text* where it stands in quotes (`""`). Spreadsheets show both as an empty cell; only we tell them apart.

/// One record with the line that it starts on, from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The line of the file.
    pub number: u64,
    /// The fields.
    pub fields: Vec<Option<String>>,
}

/// What is wrong with a CSV text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The line of the file, from 1.
    pub line: u64,
    /// What is wrong, with the remedy.
    pub what: &'static str,
}

/// Adds one record to `text`, ended by CRLF (RFC 4180 §2, rules 1 and 5 to 7).
///
/// ```
/// let mut text = String::new();
/// groundlore_book::rfc4180::write_line(&mut text, [Some("a, b"), None, Some(""), Some("say \"when\"")]);
/// assert_eq!(text, "\"a, b\",,\"\",\"say \"\"when\"\"\"\r\n");
/// ```
pub fn write_line<'a>(text: &mut String, fields: impl IntoIterator<Item = Option<&'a str>>) {
    for (place, field) in fields.into_iter().enumerate() {
        if place > 0 {
            text.push(',');
        }
        write_field(text, field);
    }
    text.push_str("\r\n");
}

fn write_field(text: &mut String, field: Option<&str>) {
    let Some(field) = field else { return };
    if field.is_empty() || field.contains(['"', ',', '\r', '\n']) || field.starts_with('\u{feff}') {
        text.push('"');
        text.push_str(&field.replace('"', "\"\""));
        text.push('"');
    } else {
        text.push_str(field);
    }
}

/// Reads all records. Lines may end in CRLF or LF; the last may end in neither.
///
/// # Errors
/// A quote that is never closed, or one in the middle of a bare field, with its line.
///
/// ```
/// use groundlore_book::rfc4180::read;
/// let lines = read("name,note\r\nAlder,\r\nBirch,\"\"\r\n").unwrap();
/// assert_eq!(lines[1].fields, [Some("Alder".to_string()), None]);
/// assert_eq!(lines[2].fields, [Some("Birch".to_string()), Some(String::new())]);
/// ```
pub fn read(text: &str) -> Result<Vec<Line>, Fault> {
    let mut rest = Rest { text, line: 1 };
    let mut lines = Vec::new();
    while !rest.text.is_empty() {
        lines.push(rest.take_line()?);
    }
    Ok(lines)
}

/// What is not read yet.
struct Rest<'a> {
    text: &'a str,
    line: u64,
}

impl Rest<'_> {
    fn take_line(&mut self) -> Result<Line, Fault> {
        let number = self.line;
        let mut fields = Vec::new();
        loop {
            fields.push(if self.text.starts_with('"') { Some(self.take_quoted()?) } else { self.take_bare()? });
            if let Some(rest) = self.text.strip_prefix(',') {
                self.text = rest;
                continue;
            }
            let ended = self.text.strip_prefix("\r\n").or_else(|| self.text.strip_prefix('\n'));
            match ended {
                Some(rest) => self.text = rest,
                None if self.text.is_empty() => {}
                None => return Err(self.fault("something stands after a closing quote: put a comma there, or double the quote")),
            }
            self.line += 1;
            return Ok(Line { number, fields });
        }
    }

    fn take_bare(&mut self) -> Result<Option<String>, Fault> {
        let end = self.text.find([',', '\n']).unwrap_or(self.text.len());
        let newline = self.text[end..].starts_with('\n');
        let field = &self.text[..end];
        let field = if newline { field.strip_suffix('\r').unwrap_or(field) } else { field };
        if field.contains('"') {
            return Err(self.fault("a quote stands inside a bare field: put the whole field in quotes and double the quote"));
        }
        self.text = &self.text[field.len()..];
        Ok((!field.is_empty()).then(|| field.to_string()))
    }

    fn take_quoted(&mut self) -> Result<String, Fault> {
        let mut field = String::new();
        let mut rest = &self.text[1..];
        loop {
            let Some(end) = rest.find('"') else {
                return Err(self.fault("a quote is opened and never closed"));
            };
            field.push_str(&rest[..end]);
            rest = &rest[end + 1..];
            let Some(after) = rest.strip_prefix('"') else { break };
            field.push('"');
            rest = after;
        }
        self.line += field.matches('\n').count() as u64;
        self.text = rest;
        Ok(field)
    }

    fn fault(&self, what: &'static str) -> Fault {
        Fault { line: self.line, what }
    }
}
