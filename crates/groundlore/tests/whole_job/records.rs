//! Records by rule, the yearly report, what was learned, and confirmed letters answered again, through the binary.
use crate::{json, refuses, says};
use std::path::Path;

const ON: [&str; 4] = ["--book", "b.book", "--on", "2021-02-10"];

fn on<'a>(words: &[&'a str]) -> Vec<&'a str> {
    ON.iter().copied().chain(words.iter().copied()).collect()
}

const YARD: &str = "Gannet Rise";
const CARD: &str = "name,registration_number,active_ingredients,rate\nDemo card A,00000-0,trichlorfon 9%,3 lb/1000ft2\n";

fn set_up(folder: &Path) {
    std::fs::write(folder.join("w.csv"), crate::elsewhere::weather()).unwrap();
    std::fs::write(folder.join("map.geojson"), crate::elsewhere::MAP).unwrap();
    std::fs::write(folder.join("cards.csv"), CARD).unwrap();
    says(folder, &on(&["book", "create", "--firm", "Quillet & Moss, Grounds", "--applicator", "Perrin Quillet", "--licence", "Demo 0000"]));
    let import = [
        "yard",
        "import",
        "map.geojson",
        "--time-zone",
        "Australia/Hobart",
        "--owner",
        "Ottoline Marsh",
        "--address",
        "4 Mill Lane, Alder 12345",
    ];
    says(folder, &on(&import));
    says(folder, &on(&["label", "add", "cards.csv"]));
}

#[test]
fn a_record_lacks_nothing_that_its_rules_ask() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    assert!(refuses(folder, &on(&["treat", "rules", "--set", "my-state"])).contains("new-york-commercial"));
    says(folder, &on(&["treat", "rules", "--set", "us-federal-commercial,new-york-commercial"]));
    assert_eq!(json(folder, &on(&["treat", "rules"])).as_array().unwrap().len(), 2);
    let bare = ["treat", "record", YARD, "--trouble", "white-grubs-annual", "--card", "Demo card A", "--area", "2000 ft2"];
    let said = refuses(folder, &on(&bare));
    for part in [
        "total amount",
        "restricted use",
        "time of day",
        "how it was applied",
        "40 CFR 171.303",
        "New York ECL 33-1205",
        "--restricted-use",
    ] {
        assert!(said.contains(part), "`{part}` is not told: {said}");
    }
    assert_eq!(json(folder, &on(&["treat", "show", YARD])).as_array().unwrap().len(), 0, "nothing was written");
    let mut whole = bare.to_vec();
    whole.extend(["--amount", "6 lb", "--restricted-use", "yes", "--started", "07:30", "--site", "home lawn", "--method", "broadcast"]);
    whole.extend(["--customer-address", "4 Mill Lane, Alder 12345"]);
    says(folder, &on(&whole));
    let shown = says(folder, &on(&["treat", "show", YARD]));
    assert!(shown.contains("complete; keep until 2024-02-10"), "{shown}");
    let report = ["treat", "report", "--year", "2021", "--rule", "new-york-commercial", "--csv", "year.csv", "--pdf", "year.pdf"];
    says(folder, &on(&report));
    let csv = std::fs::read_to_string(folder.join("year.csv")).unwrap();
    assert!(csv.lines().count() == 2 && csv.contains("Demo card A") && csv.contains("2024-02-10"), "{csv}");
    assert!(std::fs::read(folder.join("year.pdf")).unwrap().starts_with(b"%PDF"));
    assert!(refuses(folder, &on(&["treat", "report", "--year", "2021"])).contains("--rule"));
    // Everything comes back from an export.
    says(folder, &on(&["book", "export", "open"]));
    says(folder, &["--book", "c.book", "book", "import", "open"]);
    let again =
        json(folder, &["--book", "c.book", "--on", "2021-02-10", "treat", "report", "--year", "2021", "--rule", "new-york-commercial"]);
    assert_eq!(again["lines"][0]["line"]["method"], "broadcast");
}

#[test]
fn what_was_learned_is_asked_for_and_confirmed_letters_are_answered_again() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    let learned = json(folder, &on(&["treat", "learned", "trichlorfon", "--trouble", "white-grubs-annual", "--past-its-date", "yes"]));
    assert_eq!((&learned["standing"], &learned["odds"][0]["why"]), (&"too-little".into(), &"dead-material".into()));
    assert!(refuses(folder, &on(&["treat", "learned", "snake-oil", "--trouble", "white-grubs-annual"])).contains("snake-oil"));
    assert!(refuses(folder, &on(&["letter", "--retry-confirmed"])).contains("--confirm"));
    std::fs::write(folder.join("letter.txt"), "Brown patches lift like a carpet and there are fat white grubs under the turf.").unwrap();
    let first = json(folder, &on(&["letter", "--from", "letter.txt"]));
    let number = first["letter_id"].to_string();
    says(folder, &on(&["letter", "--confirm", &number, "--cause", "white-grubs-annual"]));
    let run = json(folder, &on(&["letter", "--retry-confirmed"]));
    assert_eq!((&run["summary"]["cases"], &run["before"]), (&1.into(), &serde_json::Value::Null));
    let again = says(folder, &on(&["letter", "--retry-confirmed"]));
    let again: Vec<&str> = again.split_whitespace().collect();
    assert!(again.join(" ").to_lowercase().contains("no difference"), "{again:?}");
}
