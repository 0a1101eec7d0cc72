//! Many letters at once, through the real binary and without a book.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use assert_cmd::Command;
use serde_json::Value;
use std::path::Path;

fn groundlore(folder: &Path) -> Command {
    let mut command = Command::cargo_bin("groundlore").unwrap();
    command.current_dir(folder).env_remove("GROUNDLORE_BOOK").env_remove("GROUNDLORE_LORE");
    command
}

fn inbox(folder: &Path) -> Value {
    let out = groundlore(folder).args(["letter", "--inbox", "letters", "--on", "2015-08-17", "--json"]).output().unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

#[test]
fn an_inbox_is_answered_grouped_and_the_urgent_stands_first() {
    let folder = tempfile::tempdir().unwrap();
    let letters = folder.path().join("letters");
    std::fs::create_dir(&letters).unwrap();
    let write = |name: &str, text: &str| std::fs::write(letters.join(name), text).unwrap();
    write(
        "grubs.txt",
        "Date: 2015-08-14\nHost: lawn\n\nThe turf peels back like a rug and there are fat white grubs under it. Something digs at night.",
    );
    write(
        "moths.eml",
        "From: Mrs Alder <a@example.org>\nDate: Fri, 14 Aug 2015 09:00:00 -0500\nSubject: moths\n\nLittle tan moths rest on the wall by day. The grass looks fine and healthy.\n",
    );
    write(
        "help.eml",
        "From: c@example.org\nDate: Sat, 15 Aug 2015 11:00:00 -0500\nSubject: help\n\nMy son swallowed some of the weedkiller from the shed.\n",
    );
    write(
        "list.json",
        r#"[{"date": "2015-08-16", "host": "boxwood", "text": "Brown spots with a dark edge, black streaks on the green stems, and the leaves drop within days."}, {"date": "16.8.2015", "text": "x"}]"#,
    );
    write("notes.pdf", "not read at all");
    let read = inbox(folder.path());
    let items = read["letters"].as_array().unwrap();
    assert_eq!(items.len(), 4, "{read:#}");
    assert_eq!((items[0]["need"].as_str(), items[0]["action"]["class"].as_str()), (Some("call"), Some("get help now")));
    let of = |file: &str| items.iter().find(|i| i["file"].as_str().unwrap().starts_with(file)).unwrap();
    assert_eq!(of("grubs.txt")["need"], "visit");
    assert_eq!(of("moths.eml")["from"], "Mrs Alder");
    assert_eq!(of("moths.eml")["action"]["class"], "leave it alone");
    assert_eq!(of("list.json")["need"], "report", "boxwood blight is regulated in places, and this letter does not say where it is");
    assert!(of("list.json")["duties"][0]["eppo"].is_string());
    assert!(read["groups"].as_array().unwrap().iter().any(|g| g["cause"] == "white-grubs-annual"));
    let unreadable = read["unreadable"][0][1].as_str().unwrap();
    assert!(unreadable.contains("list.json, letter 2") && unreadable.contains("YYYY-MM-DD"), "{unreadable}");
    let page = groundlore(folder.path()).args(["letter", "--inbox", "letters", "--on", "2015-08-17"]).output().unwrap();
    let page = String::from_utf8(page.stdout).unwrap();
    assert!(page.contains("1 to call now") && page.contains("against what the season expects"), "{page}");
}

#[test]
fn what_holds_no_letter_is_refused_with_what_to_put_there() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("letters")).unwrap();
    for (path, told) in [("letters", "put `.txt`"), ("nowhere", "cannot be read")] {
        let out = groundlore(folder.path()).args(["letter", "--inbox", path]).output().unwrap();
        assert!(!out.status.success());
        let error = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(error.contains(told), "{error}");
    }
}
