//! Wrong lore files: each fault is told with file, line, field, the value seen and what would be right, and nothing good is lost.

use groundlore_lore::{Lore, LoreFault, Weight, check};
use std::path::Path;

const CONTROL: &str = r#"key = "soap"
name = "insecticidal soap"
class = "organism"
region = "temperate North America"
reviewed = "2026-11-25"
needs_label = true
rotation = "exempt"
how = "It wets soft insects and is spent once dry."
cautions = ["The product label is the law."]

[[targets]]
trouble = "aphids"
evidence = [
  { year = 2015, place = "eastern North America", control = { low = 0.5, high = 0.9, source = "memory" } },
]
"#;

const NORM: &str = r#"key = "weed-bed"
name = "weed a bed"
region = "North America"
reviewed = "2026-11-25"
time = { low = "10 min", high = "40 min", source = "memory" }
per = "100 ft2"
includes = "Pulling with crowns."
"#;

const PLANT: &str = r#"key = "carex-testii"
botanical = "Carex testii"
name = "test sedge"
kind = "grass"
region = "eastern North America"
reviewed = "2026-11-25"
light = ["part-shade"]
moisture = ["medium"]
site_source = "memory"
colours = ["green"]
vigour = "steady"
native_to = ["nowhere"]
height = { low = "6 in", high = "12 in", source = "memory" }
spread = { low = "6 in", high = "12 in", source = "memory" }
spacing = { low = "8 in", high = "12 in", source = "memory" }
hardiness = { coldest = 4, warmest = 8, source = "memory" }
bloom = { from_month = 4, to_month = 5, region = "eastern North America", source = "memory" }
spreads = { by = "clump", source = "memory" }
cut_back = { when = "late-winter", how = "Comb out dead leaves.", source = "memory" }
"#;

const FINDING: &str = r#"[[finding]]
key = "sticky-under-test"
name = "the leaves are sticky"
background = { low = 0.02, high = 0.1, source = "memory" }
said_as = ["sticky", "honeydew"]
how_to_look = "Touch the leaves."
effort = "2 min"
look_by = "owner"
"#;

const TROUBLE: &str = r#"key = "aphids"
name = "aphids"
kind = "ornamental-insect"
summary = "Small soft insects on young shoots."
region = "temperate North America"
reviewed = "2026-11-25"
hosts = ["rose"]
for_the_owner = "They look worse than they are."

[prior]
low = 0.05
high = 0.2
source = "memory"

[[findings]]
finding = "sticky-under-test"
low = 0.5
high = 0.8
source = "memory"

[[thresholds]]
species = "any"
stage = "all"
low = "5 per ft2"
high = "10 per ft2"
region = "nowhere"
source = "memory"

[[stages]]
key = "first-wings"
name = "first winged ones"
clock = { driver = "air-degree-days", start = "01-01", base = "50 degF", method = "single-sine", low = 100, high = 200, region = "nowhere", source = "memory" }

[action]
class = "watch"
why = "Their enemies come soon."
steps = ["Look again in a week."]
source = "memory"
"#;

/// One file put among two good ones; gives everything that reading and checking find in that file.
fn faults_of(path: &str, text: &str) -> (Lore, Vec<LoreFault>) {
    let dir = tempfile::tempdir().unwrap();
    for (path, text) in [("troubles/aphids.toml", TROUBLE), ("findings/test.toml", FINDING)] {
        let file = dir.path().join(path);
        std::fs::create_dir_all(file.parent().unwrap()).unwrap();
        std::fs::write(file, text).unwrap();
    }
    let file = dir.path().join(path);
    std::fs::create_dir_all(file.parent().unwrap()).unwrap();
    std::fs::write(&file, text).unwrap();
    let (lore, mut faults) = Lore::load_lenient(dir.path(), None);
    faults.extend(check(&lore));
    faults.retain(|fault| Path::new(&fault.file) == file && fault.weight == Weight::Fault);
    (lore, faults)
}

fn only_fault(path: &str, text: &str) -> LoreFault {
    let (_, faults) = faults_of(path, text);
    assert_eq!(faults.len(), 1, "{faults:#?}");
    faults.into_iter().next().unwrap()
}

#[test]
fn the_patterns_of_these_tests_are_right_themselves() {
    for (path, text) in [
        ("troubles/aphids.toml", TROUBLE),
        ("controls/soap.toml", CONTROL),
        ("work_norms/weed-bed.toml", NORM),
        ("plants/carex-testii.toml", PLANT),
    ] {
        let (_, faults) = faults_of(path, text);
        assert!(faults.is_empty(), "{path}: {faults:#?}");
    }
}

/// A wrong file: what it is, its path, its text, and the line, field, value and words of the fault it must give.
struct Wrong {
    is: &'static str,
    path: &'static str,
    text: String,
    line: usize,
    field: &'static str,
    seen: &'static str,
    words: &'static [&'static str],
}

fn wrong_files() -> Vec<Wrong> {
    let wrong = |is, path, text: String, line, field, seen, words| Wrong { is, path, text, line, field, seen, words };
    let control = |from: &str, to: &str| CONTROL.replace(from, to);
    let norm = |from: &str, to: &str| NORM.replace(from, to);
    let plant = |from: &str, to: &str| PLANT.replace(from, to);
    const C: &str = "controls/soap.toml";
    const N: &str = "work_norms/weed-bed.toml";
    const T: &str = "troubles/aphids.toml";
    let trouble = |from: &str, to: &str| TROUBLE.replace(from, to);
    const P: &str = "plants/carex-testii.toml";
    vec![
        wrong("no TOML", N, norm("name = ", "name "), 2, "", "name \"weed a bed\"", &["not TOML", "name = value"]),
        wrong("a field missing", C, control("region = \"temperate North America\"\n", ""), 1, "region", "", &["missing", "region = \""]),
        wrong(
            "a field misspelt",
            C,
            control("reviewed =", "reviewd ="),
            5,
            "reviewd",
            "reviewd",
            &["`reviewd` is not known", "`reviewed`"],
        ),
        wrong(
            "a word that is none of the kinds",
            C,
            control("\"organism\"", "\"poison\""),
            3,
            "class",
            "\"poison\"",
            &["`poison`", "`practice`"],
        ),
        wrong("a unit that is none", N, norm("40 min", "40 furlongs"), 5, "time.high", "\"40 furlongs\"", &["furlongs", "example"]),
        wrong(
            "a quantity of another kind",
            N,
            norm("\"10 min\", high = \"40 min\"", "\"10 ft\", high = \"40 ft\""),
            5,
            "time",
            "10 ft",
            &["a time", "45 min"],
        ),
        wrong(
            "a range reversed",
            P,
            plant("\"8 in\", high = \"12 in\"", "\"12 in\", high = \"8 in\""),
            15,
            "spacing",
            "12 in to 8 in",
            &["reversed"],
        ),
        wrong(
            "a share above one",
            C,
            control("high = 0.9", "high = 90.0"),
            14,
            "targets[0].evidence[0].control",
            "0.5 to 90",
            &["between 0 and 1"],
        ),
        wrong(
            "a share in quotes",
            C,
            control("high = 0.9", "high = \"most\""),
            14,
            "targets[0].evidence[0].control.high",
            "\"most\"",
            &["bare number"],
        ),
        wrong(
            "a source that nobody knows",
            N,
            norm("source = \"memory\"", "source = \"my-uncle\""),
            5,
            "time.source",
            "my-uncle",
            &["no source", "memory"],
        ),
        wrong("no source at all", N, norm(", source = \"memory\"", ""), 5, "time.source", "", &["missing", "source = \"memory\""]),
        wrong("a date that is none", N, norm("2026-11-25", "2026-02-30"), 4, "reviewed", "2026-02-30", &["no date", "2026-11-25"]),
        wrong(
            "a key that is not the file's name",
            N,
            norm("key = \"weed-bed\"", "key = \"weed-beds\""),
            1,
            "key",
            "weed-beds",
            &["file's name", "weed-bed"],
        ),
        wrong("a trouble that nobody has", C, control("\"aphids\"", "\"aphidz\""), 12, "targets[0].trouble", "aphidz", &["no trouble"]),
        wrong(
            "a rate in a control",
            C,
            control("is spent once dry.", "is spent. Use 5 oz per gallon."),
            8,
            "how",
            "It wets soft insects and is spent. Use 5 oz per gallon.",
            &["label card"],
        ),
        wrong(
            "a re-entry time in a control",
            C,
            control("the law.\"", "the law.\", \"Keep off for 12 hours.\""),
            9,
            "cautions[1]",
            "Keep off for 12 hours.",
            &["12 hours", "label"],
        ),
        wrong("no caution about the label", C, control("The product label is the law.", "Mind the cat."), 9, "cautions", "", &["label"]),
        wrong("time for nothing", N, norm("per = \"100 ft2\"\n", ""), 1, "per", "", &["per = \"1000 ft2\""]),
        wrong("a month that is none", P, plant("to_month = 5", "to_month = 15"), 17, "bloom.to_month", "15", &["1 to 12"]),
        wrong("zones reversed", P, plant("coldest = 4, warmest = 8", "coldest = 8, warmest = 4"), 16, "hardiness", "8 to 4", &["zone"]),
        wrong(
            "a finding that is sure under a cause",
            T,
            trouble("high = 0.8", "high = 1.0"),
            17,
            "findings[0].low",
            "0.5 to 1",
            &["0.01 to 0.99"],
        ),
        wrong(
            "a finding that nobody has",
            T,
            trouble("\"sticky-under-test\"", "\"sticky-under-tests\""),
            16,
            "findings[0].finding",
            "sticky-under-tests",
            &["Did you mean `sticky-under-test`?"],
        ),
        wrong(
            "a threshold that is no count on an area",
            T,
            trouble("low = \"5 per ft2\"", "low = \"5 ft2\""),
            24,
            "thresholds[0].low",
            "5 ft2",
            &["a number on an area", "10 per ft2"],
        ),
        wrong(
            "a way to sum heat that nobody has",
            T,
            trouble("single-sine", "double-helix"),
            32,
            "stages[0].clock.method",
            "double-helix",
            &["single-sine"],
        ),
        wrong("a day that is none", T, trouble("01-01", "13-01"), 32, "stages[0].clock.start", "13-01", &["MM-DD"]),
        wrong(
            "act at a stage, and no stage",
            T,
            trouble("\"watch\"", "\"act-at-a-stage\""),
            35,
            "action.class",
            "act-at-a-stage",
            &["stage = "],
        ),
        wrong(
            "a control that nobody has",
            T,
            trouble("steps = ", "controls = [\"hopes\"]\nsteps = "),
            37,
            "action.controls[0]",
            "hopes",
            &["no control"],
        ),
        wrong("a file on no shelf", "treatments/soap.toml", CONTROL.to_owned(), 0, "", "", &["no shelf", "controls"]),
        wrong(
            "a finding that is sure",
            "findings/own.toml",
            finding("0.05", "1.0"),
            4,
            "wet-feet.background",
            "0.05 to 1",
            &["0.01 to 0.99"],
        ),
    ]
}

fn finding(low: &str, high: &str) -> String {
    format!(
        "[[finding]]\nkey = \"wet-feet\"\nname = \"the plant stands wet\"\nbackground = {{ low = {low}, high = {high}, source = \"memory\" }}\n\
         said_as = [\"wet\", \"soggy\"]\nhow_to_look = \"Squeeze the soil.\"\neffort = \"2 min\"\nlook_by = \"owner\"\n"
    )
}

#[test]
fn each_wrong_file_gives_one_clear_error() {
    for wrong in wrong_files() {
        let (_, faults) = faults_of(wrong.path, &wrong.text);
        let is = wrong.is;
        assert_eq!(faults.len(), 1, "{is}: {faults:#?}");
        let fault = &faults[0];
        let told = fault.to_string();
        let line = if wrong.line == 0 { None } else { Some(wrong.line) };
        if !["time for nothing"].contains(&is) {
            assert_eq!(fault.line, line, "{is}: {told}");
        }
        assert_eq!(fault.field.as_deref().unwrap_or_default(), wrong.field, "{is}: {told}");
        assert_eq!(fault.seen.as_deref().unwrap_or_default(), wrong.seen, "{is}: {told}");
        for word in wrong.words {
            assert!(told.contains(word), "{is}: `{word}` is not in: {told}");
        }
    }
}

#[test]
fn a_broken_entry_among_findings_leaves_the_others_and_tells_its_line() {
    let text = format!(
        "{}\n[[finding]]\nkey = \"broken\nname = 3\n\n{}",
        finding("0.05", "0.1"),
        finding("0.05", "0.1").replace("wet-feet", "dry-feet")
    );
    let (lore, faults) = faults_of("findings/own.toml", &text);
    assert!(lore.findings.contains_key("wet-feet") && lore.findings.contains_key("dry-feet"));
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!(faults[0].line, Some(11));
}

#[test]
fn a_finding_of_the_wrong_type_leaves_its_neighbours() {
    let text = format!(
        "{}{}",
        finding("0.05", "0.1").replace("\"2 min\"", "\"2 feet of rope\""),
        finding("0.05", "0.1").replace("wet-feet", "dry-feet")
    );
    let (lore, faults) = faults_of("findings/own.toml", &text);
    assert!(lore.findings.contains_key("dry-feet") && !lore.findings.contains_key("wet-feet"));
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!((faults[0].line, faults[0].field.as_deref()), (Some(7), Some("finding[0].effort")));
}

#[test]
fn a_key_used_twice_is_told_and_the_first_is_kept() {
    let text = format!("{}{}", finding("0.05", "0.1"), finding("0.2", "0.3"));
    let (lore, faults) = faults_of("findings/own.toml", &text);
    assert_eq!(lore.findings["wet-feet"].background.low, 0.05);
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].to_string().contains("used twice"));
}

#[test]
fn a_wrong_overlay_entry_leaves_ours_in_place() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir(dir.path().join("work_norms")).unwrap();
    std::fs::write(dir.path().join("work_norms/weed-bed.toml"), "key = 7").unwrap();
    let (lore, faults) = Lore::built_in_lenient(Some(dir.path()));
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(lore.work_norms.contains_key("weed-bed"));
}

#[test]
fn all_wrong_files_are_told_at_once_and_the_strict_reader_refuses() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir(dir.path().join("work_norms")).unwrap();
    for name in ["a", "b", "c"] {
        std::fs::write(dir.path().join(format!("work_norms/{name}.toml")), "this is prose").unwrap();
    }
    let error = Lore::load(dir.path(), None).unwrap_err();
    assert_eq!(error.0.len(), 3);
    assert!(error.to_string().starts_with("3 things are wrong in the lore:"));
}

#[test]
fn a_folder_that_is_not_there_is_told_by_name() {
    let error = Lore::load(Path::new("/no/such/lore"), None).unwrap_err().to_string();
    assert!(error.contains("/no/such/lore") && error.contains("Check that the folder"), "{error}");
}

#[test]
fn a_file_that_is_not_text_is_told() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("sources.toml"), [0xff, 0xfe, 0x00, 0x81]).unwrap();
    let (_, faults) = Lore::load_lenient(dir.path(), None);
    assert_eq!(faults.len(), 1);
    assert!(faults[0].to_string().contains("not UTF-8"));
}

#[test]
fn a_harmless_entry_may_not_call_for_a_pesticide() {
    let (mut lore, _) = Lore::built_in_lenient(None);
    let Some(key) = lore.troubles.values().find(|t| t.kind == groundlore_lore::trouble::TroubleKind::Harmless).map(|t| t.key.clone())
    else {
        return;
    };
    lore.troubles.get_mut(&key).unwrap().action.controls = vec!["imidacloprid".into()];
    let told: Vec<String> = check(&lore).iter().map(ToString::to_string).collect();
    assert!(told.iter().any(|told| told.contains("belongs to a harmless entry")), "{told:#?}");
}

#[test]
fn one_wrong_value_is_one_fault_only() {
    let fault = only_fault("work_norms/weed-bed.toml", &NORM.replace("\"100 ft2\"", "\"0 ft2\""));
    assert!(fault.to_string().contains("no amount of work"));
}
