//! Reading a letter from plain text or JSON.

use super::{Correction, GivenFinding, GivenValue, Letter};
use crate::place::{Place, PlaceError};
use groundlore_quantity::Quantity;
use jiff::civil::Date;
use serde_json::{Map, Value};

/// Longest letter that is read, in bytes.
pub const LONGEST: usize = 200_000;

/// What is wrong with a letter: where, what stands there, and how to put it right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LetterError {
    /// Nothing in it.
    #[error(
        "{file}: the letter is empty; write what the owner saw, or give `findings`, for example `{{\"text\": \"Brown patches in the lawn\"}}`"
    )]
    Empty {
        /// File.
        file: String,
    },
    /// Too long to be a letter.
    #[error("{file}: the letter has {bytes} bytes, more than {LONGEST}; give one letter a file")]
    TooLong {
        /// File.
        file: String,
        /// Its size.
        bytes: usize,
    },
    /// Not text.
    #[error("{file}: byte {at} is a zero byte, so this is no text; save the letter as plain text (UTF-8) or JSON")]
    NotText {
        /// File.
        file: String,
        /// Place of the byte.
        at: usize,
    },
    /// Not a message of mail.
    #[error(
        "{file}: this is no mail message (no sender, date or subject was found); save the message as `.eml`, or the letter as plain text"
    )]
    NoMail {
        /// File.
        file: String,
    },
    /// Many letters where one is read.
    #[error("{file}: this is a mailbox of many messages; read it with `groundlore letter --inbox {file}`")]
    Mailbox {
        /// File.
        file: String,
    },
    /// JSON that cannot be read.
    #[error(
        "{file}: line {line}, column {column}: {why}; a letter in JSON looks like `{{\"date\": \"2015-08-12\", \"text\": \"…\", \"findings\": []}}`"
    )]
    Json {
        /// File.
        file: String,
        /// Line.
        line: usize,
        /// Column.
        column: usize,
        /// What the reader of JSON said.
        why: String,
    },
    /// A field of the wrong type.
    #[error("{file}: field `{field}` is `{value}`; expected {expected}, for example {example}")]
    Field {
        /// File.
        file: String,
        /// Path of the field.
        field: String,
        /// What stands there.
        value: String,
        /// What should.
        expected: &'static str,
        /// An example.
        example: &'static str,
    },
    /// A date that is none.
    #[error("{file}: field `{field}` is `{value}`, which is no date: {why}; write it as YYYY-MM-DD, for example `2015-08-12`")]
    Date {
        /// File.
        file: String,
        /// Field.
        field: String,
        /// What stands there.
        value: String,
        /// Why it is none.
        why: String,
    },
    /// A place off the globe.
    #[error("{file}: field `place`: {source}")]
    Place {
        /// File.
        file: String,
        /// What is wrong.
        #[source]
        source: PlaceError,
    },
}

impl LetterError {
    /// The same fault, found in a file of another name: a message in a mailbox.
    #[must_use]
    pub fn in_file(mut self, name: &str) -> Self {
        match &mut self {
            Self::Empty { file }
            | Self::TooLong { file, .. }
            | Self::NotText { file, .. }
            | Self::NoMail { file }
            | Self::Mailbox { file }
            | Self::Json { file, .. }
            | Self::Field { file, .. }
            | Self::Date { file, .. }
            | Self::Place { file, .. } => name.clone_into(file),
        }
        self
    }
}

/// Reads a letter; a mail message if the file's name ends in `.eml`, JSON if it starts with a brace, else plain text, where head lines `Date:`, `Yard:`, `Place:`, `Host:`, `Subject:` may come first.
///
/// # Errors
/// An empty letter, text that is none, JSON that cannot be read, and each field of the wrong type or value. Fields that are not known are
/// passed over and named in `remarks`.
///
/// ```
/// # use groundlore_plant_health::letter::parse;
/// let letter = parse("Date: 2015-08-12\n\nBrown patches in my lawn.", "letter.txt").unwrap();
/// assert_eq!(letter.date.unwrap().to_string(), "2015-08-12");
/// let wrong = parse(r#"{"date": "12/8/2015", "text": "Brown patches"}"#, "letter.json").unwrap_err();
/// assert!(wrong.to_string().contains("YYYY-MM-DD"));
/// ```
pub fn parse(text: &str, file_name: &str) -> Result<Letter, LetterError> {
    let file = file_name.to_owned();
    let text = text.trim_start_matches('\u{feff}');
    if text.len() > LONGEST {
        return Err(LetterError::TooLong { file, bytes: text.len() });
    }
    if let Some(at) = text.bytes().position(|b| b == 0) {
        return Err(LetterError::NotText { file, at });
    }
    if super::mail::is_mailbox(text.as_bytes()) && (file_name.ends_with(".mbox") || text.contains("\nDate:")) {
        return Err(LetterError::Mailbox { file });
    }
    if file_name.ends_with(".eml") {
        return super::mail::read_mail(text.as_bytes(), file_name).map(|mail| mail.letter);
    }
    let is_json = file_name.ends_with(".json") || text.trim_start().starts_with(['{', '[']);
    let letter = if text.trim().is_empty() {
        Letter::default()
    } else if is_json {
        from_json(text, file_name)?
    } else {
        from_plain(text, file_name)?
    };
    if letter.text.trim().is_empty() && letter.findings.is_empty() {
        return Err(LetterError::Empty { file });
    }
    Ok(letter)
}

fn from_plain(text: &str, file: &str) -> Result<Letter, LetterError> {
    let mut letter = Letter::default();
    let mut body = String::new();
    let mut in_head = true;
    for line in text.lines() {
        match head_line(line).filter(|_| in_head) {
            Some((name, value)) => set_head(&mut letter, &mut body, name, value, file)?,
            None => {
                in_head = in_head && line.trim().is_empty() && body.trim().is_empty();
                body.push_str(line);
                body.push('\n');
            }
        }
    }
    letter.text = body.trim().to_owned();
    Ok(letter)
}

fn head_line(line: &str) -> Option<(&'static str, &str)> {
    let (name, value) = line.split_once(':')?;
    ["date", "yard", "place", "host", "subject", "from", "to"]
        .into_iter()
        .find(|n| name.trim().eq_ignore_ascii_case(n))
        .map(|n| (n, value.trim()))
}

fn set_head(letter: &mut Letter, body: &mut String, name: &str, value: &str, file: &str) -> Result<(), LetterError> {
    match name {
        _ if value.is_empty() => {}
        "date" => letter.date = Some(date(value, "Date", file)?),
        "yard" => letter.yard = Some(value.to_owned()),
        "place" => letter.place = Some(place(value, file)?),
        "host" => letter.host = Some(value.to_owned()),
        "subject" => {
            body.push_str(value);
            body.push_str(".\n\n");
        }
        _ => {}
    }
    Ok(())
}

fn date(value: &str, field: &str, file: &str) -> Result<Date, LetterError> {
    let wrong = |why: String| LetterError::Date { file: file.to_owned(), field: field.to_owned(), value: value.to_owned(), why };
    let day = value.split(['T', ' ']).next().unwrap_or_default();
    let shaped = day.len() == 10 && day.bytes().enumerate().all(|(i, b)| if i == 4 || i == 7 { b == b'-' } else { b.is_ascii_digit() });
    if !shaped {
        return Err(wrong("it is not in the form year-month-day".to_owned()));
    }
    let read: Date = day.parse().map_err(|e: jiff::Error| wrong(e.to_string()))?;
    if !(1900..=2200).contains(&read.year()) {
        return Err(wrong("its year is outside 1900 to 2200".to_owned()));
    }
    Ok(read)
}

fn place(value: &str, file: &str) -> Result<Place, LetterError> {
    Place::parse(value).map_err(|source| LetterError::Place { file: file.to_owned(), source })
}

/// Fields of a letter in JSON, read one by one.
struct Fields<'a> {
    file: &'a str,
    map: &'a Map<String, Value>,
}

impl Fields<'_> {
    fn wrong(&self, field: &str, value: &Value, expected: &'static str, example: &'static str) -> LetterError {
        let mut shown = value.to_string();
        if shown.chars().count() > 80 {
            shown = shown.chars().take(77).chain("...".chars()).collect();
        }
        LetterError::Field { file: self.file.to_owned(), field: field.to_owned(), value: shown, expected, example }
    }

    fn text(&self, field: &str, expected: &'static str, example: &'static str) -> Result<Option<String>, LetterError> {
        match self.map.get(field) {
            None | Some(Value::Null) => Ok(None),
            Some(Value::String(s)) => Ok(Some(s.clone()).filter(|s| !s.trim().is_empty())),
            Some(other) => Err(self.wrong(field, other, expected, example)),
        }
    }

    fn list(&self, field: &str) -> Result<&[Value], LetterError> {
        match self.map.get(field) {
            None | Some(Value::Null) => Ok(&[]),
            Some(Value::Array(list)) => Ok(list),
            Some(other) => Err(self.wrong(field, other, "a list", "`[{\"finding\": \"turf lifts like a carpet\", \"value\": true}]`")),
        }
    }

    fn place(&self) -> Result<Option<Place>, LetterError> {
        let at = |source| LetterError::Place { file: self.file.to_owned(), source };
        let example = "`\"43.0, -87.9\"`, `{\"latitude\": 43.0, \"longitude\": -87.9}` or `\"cool oceanic, zone 9a\"`";
        match self.map.get("place") {
            None | Some(Value::Null) => Ok(None),
            Some(Value::String(s)) if s.trim().is_empty() => Ok(None),
            Some(Value::String(s)) => Place::parse(s).map(Some).map_err(at),
            Some(value) => {
                let pair = match value {
                    Value::Array(list) => (list.first(), list.get(1).filter(|_| list.len() == 2)),
                    Value::Object(map) => {
                        (map.get("latitude").or(map.get("lat")), map.get("longitude").or(map.get("lon")).or(map.get("lng")))
                    }
                    _ => (None, None),
                };
                match (pair.0.and_then(Value::as_f64), pair.1.and_then(Value::as_f64)) {
                    (Some(latitude), Some(longitude)) => Place::coordinates(latitude, longitude).map(Some).map_err(at),
                    _ => Err(self.wrong("place", value, "coordinates or words", example)),
                }
            }
        }
    }
}

fn from_json(text: &str, file: &str) -> Result<Letter, LetterError> {
    let value: Value = serde_json::from_str(text).map_err(|e| LetterError::Json {
        file: file.to_owned(),
        line: e.line(),
        column: e.column(),
        why: plain_reason(&e),
    })?;
    let empty = Map::new();
    let Value::Object(map) = &value else {
        let example = "`{\"date\": \"2015-08-12\", \"text\": \"…\"}`";
        return Err(Fields { file, map: &empty }.wrong("(the whole file)", &value, "one letter as an object", example));
    };
    let fields = Fields { file, map };
    let day = fields.text("date", "a date as text", "`\"2015-08-12\"`")?.map(|d| date(d.trim(), "date", file)).transpose()?;
    Ok(Letter {
        date: day,
        yard: fields.text("yard", "the yard's name", "`\"Larch Street 4\"`")?,
        place: fields.place()?,
        host: fields.text("host", "a plant or `lawn`, `bed`, `shrub`, `tree`", "`\"lawn\"`")?,
        text: fields.text("text", "the letter's words", "`\"Brown patches in the lawn\"`")?.unwrap_or_default(),
        findings: fields.list("findings")?.iter().enumerate().map(|(i, v)| finding(&fields, i, v)).collect::<Result<_, _>>()?,
        corrections: fields.list("corrections")?.iter().enumerate().map(|(i, v)| correction(&fields, i, v)).collect::<Result<_, _>>()?,
        remarks: unknown_fields(map),
    })
}

/// The reason without the place, which the error shows by itself.
fn plain_reason(error: &serde_json::Error) -> String {
    let all = error.to_string();
    all.split(" at line ").next().unwrap_or(&all).to_owned()
}

fn unknown_fields(map: &Map<String, Value>) -> Vec<String> {
    const KNOWN: &[&str] = &["date", "yard", "place", "host", "text", "findings", "corrections"];
    map.keys()
        .filter(|k| !KNOWN.contains(&k.as_str()))
        .map(|k| format!("field `{k}` is not known and was passed over; known fields: {}", KNOWN.join(", ")))
        .collect()
}

const FINDING_EXAMPLE: &str = "`{\"finding\": \"grubs\", \"value\": \"12 per ft2\"}`";

fn finding(fields: &Fields<'_>, i: usize, value: &Value) -> Result<GivenFinding, LetterError> {
    let (what, value) = named_value(fields, "findings", i, value, &["finding"])?;
    Ok(GivenFinding { finding: what, value })
}

fn correction(fields: &Fields<'_>, i: usize, value: &Value) -> Result<Correction, LetterError> {
    let (what, value) = named_value(fields, "corrections", i, value, &["what", "finding", "phrase"])?;
    Ok(Correction { what, value })
}

fn named_value(fields: &Fields<'_>, list: &str, i: usize, value: &Value, names: &[&str]) -> Result<(String, GivenValue), LetterError> {
    let at = format!("{list}[{i}]");
    if let Value::String(words) = value
        && !words.trim().is_empty()
    {
        return Ok((words.clone(), GivenValue::Yes));
    }
    let Value::Object(map) = value else {
        return Err(fields.wrong(&at, value, "a finding with its value", FINDING_EXAMPLE));
    };
    let what = names.iter().find_map(|n| map.get(*n));
    let Some(what) = what.and_then(Value::as_str).filter(|s| !s.trim().is_empty()) else {
        return Err(fields.wrong(&format!("{at}.{}", names[0]), what.unwrap_or(&Value::Null), "the finding in words", FINDING_EXAMPLE));
    };
    let given = map.get("value").unwrap_or(&Value::Bool(true));
    given_value(given)
        .map(|v| (what.to_owned(), v))
        .ok_or_else(|| fields.wrong(&format!("{at}.value"), given, "yes, no, unknown, a number or words", FINDING_EXAMPLE))
}

fn given_value(value: &Value) -> Option<GivenValue> {
    match value {
        Value::Null => Some(GivenValue::Unknown),
        Value::Bool(true) => Some(GivenValue::Yes),
        Value::Bool(false) => Some(GivenValue::No),
        Value::Number(n) => {
            n.as_f64().filter(|v| v.is_finite()).map(|v| if v == 0.0 { GivenValue::No } else { GivenValue::Number(Quantity::bare(v)) })
        }
        Value::String(s) => Some(GivenValue::from_words(s)),
        Value::Array(_) | Value::Object(_) => None,
    }
}
