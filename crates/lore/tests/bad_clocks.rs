//! Wrong clock files: each fault is told with file, line, field, the value seen and what would be right.

use groundlore_lore::{Lore, LoreFault, Weight, check};
use std::path::Path;

const CLOCK: &str = r#"[[clock]]
key = "moth-eggs-hatch"
name = "a moth: eggs hatch"
kind = "ornamental-insect"
start = { on = "date", day = "01-01", source = "memory" }
driver = { by = "air-degree-days", method = "average", base = "50 degF", source = "memory" }
threshold = { low = 90, high = 110, unit = "F-days", source = "memory" }
individuals = { ten_to_ninety_days = 14, at_threshold = 0.05, source = "memory" }
model_error = { days = 7, source = "memory" }
region = "nowhere"
edition = "2026"
source = "memory"
"#;

/// One clock file by itself; gives everything that reading and checking find in it.
fn faults_of(text: &str) -> (Lore, Vec<LoreFault>) {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("clocks/own.toml");
    std::fs::create_dir_all(file.parent().unwrap()).unwrap();
    std::fs::write(&file, text).unwrap();
    let (lore, mut faults) = Lore::load_lenient(dir.path(), None);
    faults.extend(check(&lore));
    faults.retain(|fault| Path::new(&fault.file) == file && fault.weight == Weight::Fault);
    (lore, faults)
}

#[test]
fn the_pattern_of_these_tests_is_right_itself() {
    let (lore, faults) = faults_of(CLOCK);
    assert!(faults.is_empty(), "{faults:#?}");
    assert_eq!(lore.clocks.len(), 1);
}

/// What is changed in the good file, and the line, field and words of the fault it must give.
struct Wrong {
    is: &'static str,
    from: &'static str,
    to: &'static str,
    line: usize,
    field: &'static str,
    words: &'static [&'static str],
}

#[rustfmt::skip]
const WRONG: [Wrong; 29] = [
    Wrong { is: "no start", from: "start = { on = \"date\", day = \"01-01\", source = \"memory\" }\n", to: "", line: 1, field: "clock[0].start", words: &["missing", "start"] },
    Wrong { is: "a start without its day", from: "day = \"01-01\", ", to: "", line: 5, field: "clock[0].start.day", words: &["missing"] },
    Wrong { is: "a day that is none", from: "01-01", to: "02-30", line: 5, field: "start.day", words: &["02-30", "MM-DD"] },
    Wrong { is: "a start on nothing known", from: "on = \"date\"", to: "on = \"full-moon\"", line: 5, field: "clock[0].start.on", words: &["full-moon", "`biofix`"] },
    Wrong { is: "a kind that is none", from: "ornamental-insect", to: "comet", line: 4, field: "clock[0].kind", words: &["`comet`", "`bloom`"] },
    Wrong { is: "a driver that is none", from: "air-degree-days", to: "moonlight", line: 6, field: "clock[0].driver.by", words: &["moonlight", "rain"] },
    Wrong { is: "a way to sum heat that nobody has", from: "method = \"average\"", to: "method = \"guess\"", line: 6, field: "driver.method", words: &["guess", "single-sine"] },
    Wrong { is: "a base that is a length", from: "base = \"50 degF\"", to: "base = \"50 ft\"", line: 6, field: "driver.base", words: &["50 ft", "temperature"] },
    Wrong { is: "an upper limit under the base", from: "base = \"50 degF\"", to: "base = \"50 degF\", upper = \"40 degF\"", line: 6, field: "driver.upper", words: &["40", "above the base"] },
    Wrong { is: "a cutoff without an upper limit", from: "base = \"50 degF\"", to: "base = \"50 degF\", cutoff = \"horizontal\"", line: 6, field: "driver.cutoff", words: &["upper"] },
    Wrong { is: "a cutoff that nobody has", from: "base = \"50 degF\"", to: "base = \"50 degF\", upper = \"86 degF\", cutoff = \"round\"", line: 6, field: "driver.cutoff", words: &["round", "horizontal"] },
    Wrong { is: "no threshold", from: "threshold = { low = 90, high = 110, unit = \"F-days\", source = \"memory\" }\n", to: "", line: 1, field: "threshold", words: &["needs a threshold", "F-days"] },
    Wrong { is: "a threshold reversed", from: "low = 90, high = 110", to: "low = 110, high = 90", line: 7, field: "threshold.low", words: &["110 to 90", "reversed"] },
    Wrong { is: "a threshold of nothing", from: "low = 90,", to: "low = 0,", line: 7, field: "threshold.low", words: &["outside"] },
    Wrong { is: "heat on the other scale", from: "F-days", to: "C-days", line: 7, field: "threshold.unit", words: &["50 degF", "F-days"] },
    Wrong { is: "a unit of another driver", from: "F-days", to: "mm", line: 7, field: "threshold.unit", words: &["mm", "air-degree-days", "F-days"] },
    Wrong { is: "a unit that is none", from: "F-days", to: "furlongs", line: 7, field: "clock[0].threshold.unit", words: &["furlongs"] },
    Wrong { is: "individuals apart by nothing", from: "ten_to_ninety_days = 14", to: "ten_to_ninety_days = 0", line: 8, field: "individuals", words: &["above 0"] },
    Wrong { is: "a share above one", from: "at_threshold = 0.05", to: "at_threshold = 5.0", line: 8, field: "individuals", words: &["share", "0.05"] },
    Wrong { is: "an error smaller than is known", from: "days = 7,", to: "days = 2,", line: 9, field: "model_error.days", words: &["at least 7", "read"] },
    Wrong { is: "an error of a year", from: "days = 7,", to: "days = 400,", line: 9, field: "model_error.days", words: &["400", "120"] },
    Wrong { is: "no model error", from: "model_error = { days = 7, source = \"memory\" }\n", to: "", line: 1, field: "clock[0].model_error", words: &["missing"] },
    Wrong { is: "no region", from: "region = \"nowhere\"", to: "region = \" \"", line: 10, field: "region", words: &["nothing is written"] },
    Wrong { is: "a source that nobody knows", from: "edition = \"2026\"\nsource = \"memory\"", to: "edition = \"2026\"\nsource = \"my-uncle\"", line: 12, field: "source", words: &["my-uncle", "memory"] },
    Wrong { is: "a plant that nobody has", from: "edition = \"2026\"", to: "edition = \"2026\"\nplant = \"triffid\"", line: 12, field: "plant", words: &["triffid"] },
    Wrong { is: "a trouble that nobody has", from: "edition = \"2026\"", to: "edition = \"2026\"\ntrouble = \"gremlins\"", line: 12, field: "trouble", words: &["gremlins"] },
    Wrong { is: "a stage without its trouble", from: "edition = \"2026\"", to: "edition = \"2026\"\nstage = \"eggs\"", line: 12, field: "stage", words: &["eggs", "trouble"] },
    Wrong { is: "an indicator of itself", from: "edition = \"2026\"", to: "edition = \"2026\"\nindicator = { seen = \"a moth\", clock = \"moth-eggs-hatch\", source = \"memory\" }", line: 12, field: "indicator.clock", words: &["itself"] },
    Wrong { is: "a key with a blank", from: "key = \"moth-eggs-hatch\"", to: "key = \"Moth eggs\"", line: 2, field: "key", words: &["small letters"] },
];

#[test]
fn each_wrong_clock_gives_one_clear_error() {
    for wrong in &WRONG {
        let text = CLOCK.replace(wrong.from, wrong.to);
        assert_ne!(text, CLOCK, "{}", wrong.is);
        let (_, faults) = faults_of(&text);
        assert_eq!(faults.len(), 1, "{}: {faults:#?}", wrong.is);
        let told = faults[0].to_string();
        let field = faults[0].field.as_deref().unwrap_or_default();
        assert!(field.ends_with(wrong.field), "{}: field {field}: {told}", wrong.is);
        assert!(
            faults[0].line.is_some_and(|line| line == wrong.line),
            "{}: line {:?}, not {}: {told}",
            wrong.is,
            faults[0].line,
            wrong.line
        );
        for word in wrong.words {
            assert!(told.contains(word), "{}: `{word}` is not in: {told}", wrong.is);
        }
    }
}

/// Drivers other than heat of the air, and what is wrong with each.
#[rustfmt::skip]
const OTHER_DRIVERS: [(&str, &str, &str); 7] = [
    ("{ by = \"soil-temperature\", depth = \"2 lb\", days = 3, at = \"at-or-above\", source = \"memory\" }", "{ low = 50, high = 55, unit = \"degF\", source = \"memory\" }", "driver.depth"),
    ("{ by = \"soil-temperature\", depth = \"2 in\", days = 0, at = \"at-or-above\", source = \"memory\" }", "{ low = 50, high = 55, unit = \"degF\", source = \"memory\" }", "driver.days"),
    ("{ by = \"air-temperature\", of = \"minimum\", days = 1, at = \"at-or-below\", which = \"last\", until = \"06-31\", source = \"memory\" }", "{ low = 32, high = 32, unit = \"degF\", source = \"memory\" }", "driver.until"),
    ("{ by = \"chill-then-heat\", chill_at = \"45 degF\", chill_hours = 0, method = \"average\", base = \"41 degF\", source = \"memory\" }", "{ low = 50, high = 55, unit = \"F-days\", source = \"memory\" }", "driver.chill_hours"),
    ("{ by = \"day-length\", at = \"at-or-below\", source = \"memory\" }", "{ low = 12, high = 26, unit = \"hours\", source = \"memory\" }", "threshold.low"),
    ("{ by = \"rain\", days = 400, at = \"at-or-below\", source = \"memory\" }", "{ low = 8, high = 14, unit = \"mm\", source = \"memory\" }", "driver.days"),
    ("{ by = \"calendar\", from = \"06-01\", to = \"06-10\", source = \"memory\" }", "{ low = 50, high = 55, unit = \"degF\", source = \"memory\" }", "threshold"),
];

#[test]
fn every_other_driver_is_looked_over_too() {
    for (driver, threshold, field) in OTHER_DRIVERS {
        let mut text = String::new();
        for line in CLOCK.lines() {
            text += &match line {
                _ if line.starts_with("driver") => format!("driver = {driver}\n"),
                _ if line.starts_with("threshold") => format!("threshold = {threshold}\n"),
                _ => format!("{line}\n"),
            };
        }
        let (_, faults) = faults_of(&text);
        assert_eq!(faults.len(), 1, "{driver}: {faults:#?}");
        assert!(faults[0].field.as_deref().is_some_and(|told| told.ends_with(field)), "{driver}: {}", faults[0]);
    }
}

#[test]
fn one_wrong_clock_of_a_file_leaves_its_neighbours() {
    let text = format!("{}\n{}", CLOCK.replace("\"average\"", "7"), CLOCK.replace("moth-eggs-hatch", "other-eggs-hatch"));
    let (lore, faults) = faults_of(&text);
    assert!(lore.clocks.contains_key("other-eggs-hatch") && !lore.clocks.contains_key("moth-eggs-hatch"));
    assert_eq!(faults.len(), 1, "{faults:#?}");
}

#[test]
fn a_share_of_individuals_may_not_take_the_key_of_another_clock() {
    let text = format!("{CLOCK}\n{}", CLOCK.replace("moth-eggs-hatch", "moth-eggs-hatch-50"));
    let (_, faults) = faults_of(&text);
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].to_string().contains("moth-eggs-hatch-50"));
}
