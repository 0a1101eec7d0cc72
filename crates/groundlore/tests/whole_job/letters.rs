//! Letters through the binary, without a book.
use crate::{groundlore, json, refuses};

const MOTHS: &str = "There are hundreds of little tan moths resting in my lawn all day and they fly up when I walk. The grass is green and thick, no brown anywhere. Should I spray?";

#[test]
fn a_letter_is_answered_from_standard_input_without_a_book() {
    let folder = tempfile::tempdir().unwrap();
    let output = groundlore(folder.path())
        .args(["letter", "--from", "-", "--json"])
        .write_stdin(format!("Date: 2015-07-12\n\n{MOTHS}"))
        .output()
        .unwrap();
    assert!(output.status.success());
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer["action"]["class"], "leave it alone");
    assert!(answer["causes"][0]["name"].as_str().unwrap().to_lowercase().contains("moth"));
    let sum: f64 = answer["causes"].as_array().unwrap().iter().map(|c| c["probability"].as_f64().unwrap()).sum();
    assert!((sum - 1.0).abs() < 1e-6, "the causes, something else included, make 1: {sum}");
    for key in ["understood", "causes", "action", "next_look", "reply"] {
        assert!(!answer[key].is_null(), "no `{key}`");
    }
    assert!(!answer["reply"].as_str().unwrap().to_lowercase().contains("insecticide"));
}

#[test]
fn a_json_letter_with_findings_and_a_place_in_words_is_answered() {
    let folder = tempfile::tempdir().unwrap();
    let letter = r#"{"date": "2021-08-20", "place": "cool temperate, zone 6a", "host": "lawn", "text": "Brown patches.",
        "findings": [{"finding": "turf lifts like a carpet", "value": "yes"}, {"finding": "white C-shaped grubs", "value": "14 per ft2"}]}"#;
    std::fs::write(folder.path().join("letter.json"), letter).unwrap();
    let answer = json(folder.path(), &["letter", "--from", "letter.json"]);
    assert!(answer["causes"][0]["scientific"].as_str().unwrap().contains("Popillia"), "{}", answer["causes"][0]);
    // The stage that controls reach is running on that day.
    assert_eq!(answer["action"]["class"], "act now");
    assert!(answer["action"]["stage"].as_str().unwrap().contains("small grubs"), "{}", answer["action"]);
}

#[test]
fn danger_comes_first() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("a.txt"),
        "My lawn is brown. Also my little boy swallowed some of the weed killer granules an hour ago.",
    )
    .unwrap();
    let answer = json(folder.path(), &["letter", "--from", "a.txt"]);
    assert_eq!(answer["action"]["class"], "get help now");
    assert!(answer["action"]["why"].as_str().unwrap().contains("poison"));
}

#[test]
fn wrong_letters_say_what_would_be_right() {
    let folder = tempfile::tempdir().unwrap();
    let wrong = [
        ("a.json", r#"{"date": "17.8.2015", "text": "x"}"#, "YYYY-MM-DD"),
        ("b.json", r#"{"text": 5}"#, "text"),
        ("c.json", "{", "c.json"),
        ("d.txt", "   \n", "empty"),
        ("e.json", r#"{"text": "brown", "place": {"latitude": 143, "longitude": 2}}"#, "143"),
        ("f.json", r#"{"text": "brown", "findings": {"a": 1}}"#, "findings"),
    ];
    for (name, text, part) in wrong {
        std::fs::write(folder.path().join(name), text).unwrap();
        let said = refuses(folder.path(), &["letter", "--from", name]);
        assert!(said.contains(part), "{name}: {said}");
    }
    assert!(refuses(folder.path(), &["letter", "--from", "none.txt"]).contains("none.txt"));
    std::fs::write(folder.path().join("bytes.txt"), [0xff, 0xfe, 0x00, 0x80]).unwrap();
    assert!(refuses(folder.path(), &["letter", "--from", "bytes.txt"]).contains("UTF-8"));
}
