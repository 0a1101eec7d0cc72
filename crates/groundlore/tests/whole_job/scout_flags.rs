//! The flags of counting through the binary: shares, nights, vigour, digging, what is borne; and each typed wrongly.
use crate::{json, refuses, says};
use std::path::Path;

const ON: [&str; 2] = ["--on", "2021-02-20"];

fn on<'a>(words: &[&'a str]) -> Vec<&'a str> {
    ON.into_iter().chain(words.iter().copied()).collect()
}

fn set_up(folder: &Path) {
    std::fs::write(folder.join("w.csv"), crate::elsewhere::weather()).unwrap();
    std::fs::write(folder.join("map.geojson"), crate::elsewhere::MAP).unwrap();
    says(folder, &["book", "create", "--firm", "Quillet & Moss, Grounds"]);
    says(folder, &["weather", "add", "south-1", "w.csv", "--latitude", "-45", "--longitude", "148"]);
    says(folder, &on(&["yard", "import", "map.geojson", "--station", "south-1"]));
}

/// The first stratum of a plan.
fn stratum(folder: &Path, trouble: &str) -> String {
    let plan = json(folder, &on(&["scout", "plan", "Gannet Rise", "--trouble", trouble, "--most", "20"]));
    plan["plan"]["allotment"][0]["stratum"].as_str().unwrap().to_owned()
}

fn enter<'a>(trouble: &'a str, counts: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let words = on(&["scout", "enter", "Gannet Rise", "--trouble", trouble, "--counts", counts]);
    words.into_iter().chain(more.iter().copied()).collect()
}

#[test]
fn hits_of_a_quadrat_are_cover_held_against_what_is_borne() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    let counts = format!("{}=7 0 12 5 9 3 0 8", stratum(folder, "crabgrass"));
    says(folder, &enter("crabgrass", &counts, &["--of", "25", "--bearable", "5%", "--who", "Perrin Quillet"]));
    let found = json(folder, &on(&["scout", "verdict", "Gannet Rise", "--trouble", "crabgrass"]));
    assert_eq!(found["weighed"], "cover");
    // 44 hits of 200 points.
    let seen = &found["cover"]["looked_at"];
    let (low, high) = (seen["low"].as_f64().unwrap(), seen["high"].as_f64().unwrap());
    assert!(low < 0.22 && high > 0.22, "{seen}");
    assert!((found["bearable"].as_f64().unwrap() - 0.05).abs() < 1e-12);
    let text = says(folder, &on(&["scout", "verdict", "Gannet Rise", "--trouble", "crabgrass"]));
    assert!(text.to_lowercase().contains("over the 5 % that is borne"), "{text}");
}

#[test]
fn nights_of_traps_make_a_rate_by_the_night() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    let counts = format!("{}=40 52 31 44 60", stratum(folder, "slugs"));
    says(folder, &enter("slugs", &counts, &["--nights", "2"]));
    let found = json(folder, &on(&["scout", "verdict", "Gannet Rise", "--trouble", "slugs"]));
    assert_eq!((&found["weighed"], &found["all"]["found"]), (&"catch".into(), &227.into()));
    assert!((found["all"]["trap_nights"].as_f64().unwrap() - 10.0).abs() < 1e-9);
}

#[test]
fn vigour_and_digging_told_at_the_count_stand_among_the_reasons() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    let verdict = |vigorous: &str, digging: &str| {
        let more = ["--vigorous", vigorous, "--digging", digging, "--species", "Japanese beetle=9"];
        says(folder, &enter("white-grubs-annual", "margin=4 2 5 3 6", &more));
        let found = json(folder, &on(&["scout", "verdict", "Gannet Rise", "--trouble", "white-grubs-annual"]));
        let reasons = found["verdict"]["reasons"].as_array().unwrap().clone();
        let figure = |text: &str| {
            reasons.iter().find(|r| r["text"].as_str().unwrap().contains(text)).map(|r| r["figure"].as_str().unwrap().to_owned())
        };
        (figure("Vigour"), figure("Animals are digging").is_some(), found["verdict"]["p_injury"].as_f64().unwrap())
    };
    let well = verdict("yes", "no");
    assert!(well.0.as_deref().is_some_and(|f| f.contains("dense")) && !well.1, "{well:?}");
    let poor = verdict("no", "yes");
    assert!(poor.0.as_deref().is_some_and(|f| f.contains("thin")) && poor.1, "{poor:?}");
    assert!(poor.2 > well.2, "thin turf that is dug at is injured sooner: {} {}", poor.2, well.2);
}

#[test]
fn a_stage_seen_at_the_count_is_what_treating_now_would_meet() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    says(
        folder,
        &enter(
            "white-grubs-annual",
            "margin=14 22 15 23 16",
            &["--stage", "Small grubs near the surface", "--species", "Japanese beetle=9"],
        ),
    );
    let found = json(folder, &on(&["scout", "verdict", "Gannet Rise", "--trouble", "white-grubs-annual"]));
    assert_eq!(
        (&found["when"]["when"], &found["when"]["stage"]),
        (&"now".into(), &"small grubs near the surface".into()),
        "{}",
        found["when"]
    );
    assert_eq!(found["when"]["until"], serde_json::Value::Null, "told by the counts, not by the clock");
}

#[test]
fn a_wrong_flag_names_itself_its_value_and_the_remedy_and_keeps_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    let quadrats = format!("{}=7 0 12", stratum(folder, "crabgrass"));
    let too_many = format!("{}=7 26 12", stratum(folder, "crabgrass"));
    let traps = format!("{}=4 5", stratum(folder, "slugs"));
    let wrong: [(&str, &str, &[&str], &[&str]); 13] = [
        ("crabgrass", &quadrats, &["--of", "0"], &["nought", "100 for per cent"]),
        ("crabgrass", &quadrats, &["--of", "many"], &["--of", "many"]),
        ("crabgrass", &too_many, &["--of", "25"], &["26", "25"]),
        ("crabgrass", &quadrats, &["--of", "25", "--bearable", "500%"], &["5", "5%"]),
        ("crabgrass", &quadrats, &["--of", "25", "--bearable", "a little"], &["--bearable", "a little"]),
        ("crabgrass", &quadrats, &["--of", "25", "--bearable", "3 ft"], &["--bearable", "length"]),
        ("slugs", &traps, &["--nights", "0"], &["nights", "0"]),
        ("slugs", &traps, &["--nights", "-2"], &["-2"]),
        ("slugs", &traps, &["--nights", "some"], &["--nights", "some"]),
        ("white-grubs-annual", "margin=4", &["--vigorous", "maybe"], &["--vigorous", "maybe", "yes"]),
        ("white-grubs-annual", "margin=4", &["--digging", "perhaps"], &["--digging", "perhaps"]),
        ("white-grubs-annual", "margin=4", &["--stage", "teenagers"], &["teenagers", "small-grubs"]),
        ("white-grubs-annual", "margin=4", &["--species", "Japanese beetle=few"], &["Japanese beetle", "whole number"]),
    ];
    for (trouble, counts, more, parts) in wrong {
        let said = refuses(folder, &enter(trouble, counts, more));
        for part in parts {
            assert!(said.contains(part), "{more:?}: `{part}` is not in\n{said}");
        }
        let none = refuses(folder, &on(&["scout", "verdict", "Gannet Rise", "--trouble", trouble]));
        assert!(none.contains("nobody has counted"), "{more:?} kept something: {none}");
    }
    // A day to come, and a stratum that the plan does not name.
    let late = refuses(folder, &enter("white-grubs-annual", "margin=4", &["--date", "2021-03-01"]));
    assert!(late.contains("2021-03-01") && late.contains("future"), "{late}");
    let elsewhere = refuses(folder, &enter("white-grubs-annual", "orchard=4", &[]));
    assert!(elsewhere.contains("orchard") && elsewhere.contains("margin"), "{elsewhere}");
}
