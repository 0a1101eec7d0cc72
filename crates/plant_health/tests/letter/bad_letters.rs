//! Wrong letters: each error names the file, the field, the value and the remedy; nothing panics.

use groundlore_plant_health::letter::{GivenValue, parse};
use groundlore_plant_health::place::Place;

/// (what is wrong, file name, letter, words that the error must hold).
const WRONG: &[(&str, &str, &str, &[&str])] = &[
    ("nothing at all", "a.txt", "", &["a.txt", "empty", "text"]),
    ("blank lines only", "a.txt", "\n \n\t\n", &["a.txt", "empty"]),
    ("an object with nothing to read", "a.json", r#"{"date": "2015-08-12"}"#, &["a.json", "empty", "findings"]),
    ("JSON cut off", "a.json", "{\"text\": \"Brown", &["a.json", "line 1", "column", "looks like"]),
    ("JSON with a missing comma", "a.json", "{\"text\": \"Brown\"\n\"date\": \"2015-08-12\"}", &["a.json", "line 2"]),
    ("a list of letters", "a.json", r#"[{"text": "Brown"}]"#, &["one letter as an object"]),
    ("an American date", "a.json", r#"{"date": "8/12/2015", "text": "Brown"}"#, &["`date`", "8/12/2015", "YYYY-MM-DD"]),
    ("a day that no month has", "a.json", r#"{"date": "2015-02-30", "text": "Brown"}"#, &["`date`", "2015-02-30", "2015-08-12"]),
    ("a date in words", "a.txt", "Date: last Tuesday\n\nBrown grass", &["`Date`", "last Tuesday", "YYYY-MM-DD"]),
    ("a year of long ago", "a.json", r#"{"date": "0215-08-12", "text": "Brown"}"#, &["0215-08-12", "1900"]),
    ("a date as a number", "a.json", r#"{"date": 20150812, "text": "Brown"}"#, &["`date`", "20150812", "2015-08-12"]),
    ("latitude off the globe", "a.json", r#"{"place": [143.0, -87.9], "text": "Brown"}"#, &["place", "143", "-90 to 90"]),
    (
        "longitude off the globe",
        "a.json",
        r#"{"place": {"latitude": 43.0, "longitude": -287.9}, "text": "Brown"}"#,
        &["-287.9", "-180 to 180"],
    ),
    ("one coordinate only", "a.json", r#"{"place": [43.0], "text": "Brown"}"#, &["`place`", "[43.0]", "coordinates or words"]),
    ("coordinates as text off the globe", "a.txt", "Place: 95, 10\n\nBrown", &["place", "95"]),
    ("a host that is a list", "a.json", r#"{"host": ["lawn"], "text": "Brown"}"#, &["`host`", "lawn", "expected"]),
    ("text that is a number", "a.json", r#"{"text": 17}"#, &["`text`", "17"]),
    ("findings that are no list", "a.json", r#"{"text": "Brown", "findings": "grubs"}"#, &["`findings`", "a list"]),
    ("a finding without words", "a.json", r#"{"text": "Brown", "findings": [{"value": true}]}"#, &["findings[0].finding", "null"]),
    (
        "a finding with empty words",
        "a.json",
        r#"{"text": "Brown", "findings": [{"finding": " ", "value": true}]}"#,
        &["findings[0].finding"],
    ),
    (
        "a finding with a list for its value",
        "a.json",
        r#"{"text": "Brown", "findings": [{"finding": "grubs", "value": [1, 2]}]}"#,
        &["findings[0].value", "[1,2]", "12 per ft2"],
    ),
    ("a finding that is a number", "a.json", r#"{"text": "Brown", "findings": ["grubs", 5]}"#, &["findings[1]", "5"]),
    ("a picture instead of text", "a.txt", "\u{89}PNG\u{0}\u{0}", &["zero byte", "plain text"]),
];

#[test]
fn wrong_letters_name_the_place_the_value_and_the_remedy() {
    for (what, file, text, words) in WRONG {
        let error = parse(text, file).expect_err(what).to_string();
        for word in *words {
            assert!(error.contains(word), "{what}: `{error}` lacks `{word}`");
        }
    }
    assert!(parse(&"a ".repeat(150_000), "a.txt").unwrap_err().to_string().contains("300000 bytes"));
}

#[test]
fn good_letters_in_many_forms_are_read() {
    let plain = parse("Date: 2015-08-12\nYard: Larch Street\nPlace: 43.0, -87.9\nHost: lawn\nSubject: Brown lawn\n\nIt is brown.\nDate: none of this is head.", "a.txt").unwrap();
    assert_eq!(plain.place, Some(Place::Coordinates { latitude: 43.0, longitude: -87.9 }));
    assert_eq!(plain.host.as_deref(), Some("lawn"));
    assert!(plain.text.starts_with("Brown lawn.") && plain.text.contains("none of this"));
    let json = parse(r#"{"date": null, "place": "cool oceanic, zone 9a", "text": "", "weather": 3, "findings": [{"finding": "grubs", "value": "none seen"}, {"finding": "grubs", "value": 12}, {"finding": "spots", "value": "about 3 in"}, {"finding": "webs", "value": null}, {"finding": "colour", "value": "straw"}]}"#, "a.json").unwrap();
    assert_eq!(json.findings[0].value, GivenValue::No);
    assert!(matches!(&json.findings[2].value, GivenValue::Number(q) if q.in_unit("in").unwrap() == 3.0));
    assert_eq!(json.findings[3].value, GivenValue::Unknown);
    assert!(matches!(json.findings[4].value, GivenValue::Words(_)));
    assert!(json.remarks[0].contains("`weather`"));
}

#[test]
fn odd_texts_never_panic() {
    use super::vignettes::{LORE, READER};
    use groundlore_plant_health::letter::{Context, answer};
    let odd = [
        "ß’“”—…",
        "'''",
        "no no no no not never",
        "12 12 12 / / 1/0 grubs per",
        "😀 grubs 😀",
        "a\u{301}e\u{301} brown",
        "?",
        "..",
        "not",
        "grubs",
        "1/2 1/2 in in in 3 to 2 to 1",
        "in a in a in a square square foot foot",
        "’t n’t isn’t",
        "DATE:",
        "half a",
        "a dozen",
        "0 grubs per 0 ft2",
        "99999999999999999999999999 grubs per square foot",
        "\r\n\r\n brown\r\n",
    ];
    for text in odd {
        if let Ok(letter) = parse(text, "odd.txt") {
            let a = answer(&letter, &LORE, &READER, &Context::default());
            let sum: f64 = a.causes.iter().map(|c| c.probability).sum();
            assert!(a.causes.is_empty() || (sum - 1.0).abs() < 1e-9, "{text}: {sum}");
        }
    }
}
