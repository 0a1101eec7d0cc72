//! The demo: the whole job on one yard.
use crate::{json, refuses, says};
use std::path::Path;

const ON: [&str; 4] = ["--book", "groundlore-demo/firm.book", "--on", "2015-08-17"];

fn on<'a>(words: &[&'a str]) -> Vec<&'a str> {
    ON.iter().copied().chain(words.iter().copied()).collect()
}

fn text_of(pdf: &Path) -> Option<String> {
    let output = std::process::Command::new("pdftotext").arg("-layout").arg(pdf).arg("-").output();
    match output {
        Ok(output) if output.status.success() => Some(String::from_utf8_lossy(&output.stdout).into_owned()),
        _ if std::env::var_os("CI").is_some() => panic!("pdftotext is needed: apt-get install poppler-utils"),
        _ => None,
    }
}

#[test]
fn the_demo_carries_one_yard_through_the_whole_job() {
    let folder = tempfile::tempdir().unwrap();
    let said = says(folder.path(), &["demo"]);
    assert!(said.lines().count() <= 45, "the decisions fit on a screen:\n{said}");
    for part in [
        "get help now",
        "treat (margin, core)",
        "leave it alone",
        "Slid:",
        "Proposal: $",
        "Carried on to 2015-09-18",
        "--on 2015-08-17 week",
    ] {
        assert!(said.contains(part), "the demo does not say `{part}`:\n{said}");
    }
    let out = folder.path().join("groundlore-demo");
    let papers = [
        ("scouting-sheet", "Stop rule"),
        ("verdict", "Treat"),
        ("planting-plan", "East border"),
        ("yard", "Built or planted wrongly"),
        ("season", "Frost"),
        ("crew-sheet", "done?"),
        ("proposal", "Total"),
        ("letter-to-owner", "Dear Orla"),
        ("treatment-options", "label is the law"),
        ("treatment-record", "corrects line"),
        ("what-was-learned", "believed now"),
    ];
    for (name, wanted) in papers {
        let path = out.join(format!("{name}.pdf"));
        assert!(std::fs::read(&path).unwrap().starts_with(b"%PDF-"), "{name} is no PDF");
        if let Some(text) = text_of(&path) {
            assert!(text.contains(wanted), "{name}.pdf does not say `{wanted}`");
        }
    }
    for drawing in ["walk", "yard", "bed", "density", "season", "belief", "causes"] {
        assert!(std::fs::read_to_string(out.join(format!("{drawing}.svg"))).unwrap().starts_with("<svg"));
    }
    assert!(says(folder.path(), &on(&["book", "check"])).contains("is sound"));
    after_the_demo(folder.path());
    let again = says(folder.path(), &["demo"]);
    assert_eq!(said, again, "the same day makes the same demo");
}

/// What the demo says to try next works, and the book can be used on.
fn after_the_demo(folder: &Path) {
    let week = json(folder, &on(&["week"]));
    let tasks = week["tasks"].as_array().unwrap();
    assert!(tasks.len() > 20);
    let key = tasks.iter().map(|t| t[0]["key"].as_str().unwrap()).find(|k| k.contains("reply")).unwrap().to_owned();
    says(folder, &on(&["task", &key, "done"]));
    assert!(!json(folder, &on(&["week"])).to_string().contains(&format!("\"{key}\"")), "a task that is done is not due");
    assert!(refuses(folder, &on(&["task", &key, "could not"])).contains("why"));
    let verdict = json(folder, &on(&["scout", "verdict", "Linden House", "--trouble", "white-grubs-annual"]));
    assert_eq!(verdict["verdict"]["answer"]["answer"], "treat");
    let options = json(folder, &on(&["treat", "options", "Linden House", "--trouble", "white-grubs-annual"]));
    let without_card = options["options"].as_array().unwrap().iter().find(|o| o["control"] == "trichlorfon").unwrap();
    assert_eq!(without_card["amount"], serde_json::Value::Null, "no amount without a label card");
    says(folder, &on(&["letter", "--confirm", "1", "--cause", "crabgrass"]));
    let first = says(folder, &on(&["week", "--crew", "--pdf", "crew.pdf"]));
    assert!(first.contains("crew.pdf"));
    round_trip(folder);
}

fn round_trip(folder: &Path) {
    says(folder, &on(&["book", "backup", "copy.book"]));
    says(folder, &["--book", "copy.book", "book", "check"]);
    says(folder, &on(&["book", "export", "open"]));
    says(folder, &["--book", "again.book", "book", "import", "open"]);
    says(folder, &["--book", "again.book", "book", "export", "open-again"]);
    let listing = |name: &str| {
        let mut files: Vec<(String, Vec<u8>)> = Vec::new();
        let mut open = vec![folder.join(name)];
        while let Some(dir) = open.pop() {
            for entry in std::fs::read_dir(dir).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    open.push(path);
                } else {
                    let short = path.strip_prefix(folder.join(name)).unwrap().display().to_string();
                    files.push((short, std::fs::read(&path).unwrap()));
                }
            }
        }
        files.sort();
        files
    };
    assert!(listing("open") == listing("open-again"), "import of export is the same, byte for byte");
}
