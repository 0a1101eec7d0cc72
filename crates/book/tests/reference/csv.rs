//! The format rules of RFC 4180, section 2, and what Python's csv module makes of our files.

use groundlore_book::rfc4180::{read, write_line};

type Fields = &'static [&'static [Option<&'static str>]];

/// (rule, text, records). The rules are those of Shafranovich (2005), *Common Format and MIME Type for CSV Files*, RFC 4180 §2
/// (rules from memory, texts our own); the bare/quoted distinction of blanks is ours.
const ROWS: &[(&str, &str, Fields)] = &[
    ("1: lines end in CRLF", "a,b\r\nc,d\r\n", &[&[Some("a"), Some("b")], &[Some("c"), Some("d")]]),
    ("2: the last line may end in nothing", "a,b\r\nc,d", &[&[Some("a"), Some("b")], &[Some("c"), Some("d")]]),
    ("4: spaces belong to the field", " a , b \r\n", &[&[Some(" a "), Some(" b ")]]),
    ("5: fields may stand in quotes", "\"a\",b\r\n", &[&[Some("a"), Some("b")]]),
    ("6: line ends, quotes and commas in quotes", "\"a\r\nb\",\"c,d\"\r\n", &[&[Some("a\r\nb"), Some("c,d")]]),
    ("7: a quote is doubled", "\"a\"\"b\"\r\n", &[&[Some("a\"b")]]),
    ("ours: bare is blank, quoted is empty", ",\"\",\r\n", &[&[None, Some(""), None]]),
    ("LF alone is taken too", "a,b\nc,d\n", &[&[Some("a"), Some("b")], &[Some("c"), Some("d")]]),
    ("a quoted field may end a file", "a,\"b\"", &[&[Some("a"), Some("b")]]),
    ("a carriage return inside a bare field stays", "a\rb,c\r\n", &[&[Some("a\rb"), Some("c")]]),
];

#[test]
fn rfc_4180_is_read_as_it_says() {
    for (rule, text, expected) in ROWS {
        let records = read(text).unwrap();
        let seen: Vec<Vec<Option<&str>>> = records.iter().map(|line| line.fields.iter().map(Option::as_deref).collect()).collect();
        assert_eq!(seen, *expected, "rule {rule}");
    }
}

#[test]
fn broken_quotes_are_told_with_their_line() {
    for (text, line) in [("a,b\r\n\"c,d\r\n", 2), ("a\"b,c\r\n", 1), ("a\r\n\"b\"c\r\n", 2), ("\"x\r\ny\"\r\n\"", 3)] {
        assert_eq!(read(text).unwrap_err().line, line, "{text:?}");
    }
}

#[test]
fn every_field_comes_back_as_it_was_written() {
    let fields =
        [Some("plain"), None, Some(""), Some("a,b"), Some("\""), Some("line\r\nend"), Some("\r"), Some(" "), Some("\u{feff}x"), Some("µ²")];
    let mut text = String::new();
    write_line(&mut text, fields);
    let back = read(&text).unwrap();
    assert_eq!(back.len(), 1);
    assert_eq!(back[0].fields.iter().map(Option::as_deref).collect::<Vec<_>>(), fields);
}

/// `tests/data/python_csv.csv` was written by Python 3.11.7, `csv.writer` with its default dialect, from these rows.
const PYTHON_ROWS: &[[&str; 3]] = &[
    ["id", "name", "note"],
    ["1", "Alder, Bank", "say \"when\""],
    ["2", "line\r\nend", "line\nend"],
    ["3", " spaced ", "tab\there"],
    ["4", "Grün 🌿", "7' 6\""],
    ["5", "a;b", "\\N"],
    ["6", "'quoted'", "\r"],
];

#[test]
fn what_another_program_wrote_is_read_and_written_the_same() {
    let theirs = include_str!("../data/python_csv.csv");
    let lines = read(theirs).unwrap();
    let seen: Vec<Vec<&str>> = lines.iter().map(|line| line.fields.iter().map(|field| field.as_deref().unwrap()).collect()).collect();
    assert_eq!(seen, PYTHON_ROWS);
    let mut ours = String::new();
    for row in PYTHON_ROWS {
        write_line(&mut ours, row.iter().map(|field| Some(*field)));
    }
    assert_eq!(ours, theirs);
}
