//! Tests, noisy-or, running sums and trends: sections 6 and 7 of the season note. Trends of the real trials are checked in
//! `crates/plant_health/tests/reference/drift.rs`.
use crate::{Row, ask, check, row};
use groundlore_reckoner::{Output, reckon};

const FRACTION: &str = "exact fractions, Python 3.13";
const NOISY: &str = "definition, computed in Python 3.13";
/// A falling series of our own with 40 falling and 5 rising pairs.
const FALLING: &str = "years=2005, 2006, 2007, 2008, 2009, 2010, 2011, 2012, 2013, 2014|values=90, 75, 62, 66, 58, 44, 38, 41, 45, 25";

const ROWS: &[Row] = &[
    row("DX-T1", FRACTION, "posterior", "prior=0.01|sensitivity=0.9|specificity=0.9|result=positive", "probability", "", 1.0 / 12.0, 1e-12),
    row(
        "DX-T1n",
        FRACTION,
        "posterior",
        "prior=1%|sensitivity=90%|specificity=90%|result=negative",
        "probability",
        "",
        1.0 - 0.998_878_923_767,
        1e-11,
    ),
    row("DX-T1r", FRACTION, "posterior", "prior=1%|sensitivity=90%|specificity=90%|result=positive", "likelihood_ratio", "", 9.0, 1e-9),
    row("DX-T2", FRACTION, "posterior", "prior=0.1|sensitivity=0.8|specificity=0.95|result=positive", "probability", "", 0.64, 1e-12),
    row(
        "DX-T2n",
        FRACTION,
        "posterior",
        "prior=0.1|sensitivity=0.8|specificity=0.95|result=negative",
        "probability",
        "",
        1.0 - 0.977_142_857_143,
        1e-11,
    ),
    row(
        "DX-T2r",
        FRACTION,
        "posterior",
        "prior=0.1|sensitivity=0.8|specificity=0.95|result=negative",
        "likelihood_ratio",
        "",
        0.210_526_315_8,
        1e-9,
    ),
    row("DX-N2", NOISY, "noisy-or", "leak=0.05|links=0.3", "probability", "", 0.335, 1e-12),
    row("DX-N3", NOISY, "noisy-or", "leak=0.05|links=0.6", "probability", "", 0.62, 1e-12),
    row("DX-N6", NOISY, "noisy-or", "leak=5%|links=0.8, 0.3", "probability", "", 0.867, 1e-12),
    row("DX-N8", NOISY, "noisy-or", "leak=0.05|links=0.8, 0.6, 0.3", "probability", "", 0.946_8, 1e-12),
    row("tau", "by hand: 40 of 45 pairs fall, 5 rise", "trend", FALLING, "kendall_tau", "", -35.0 / 45.0, 1e-12),
    row("perfect", "by hand: a straight line", "trend", "years=2001, 2002, 2003|values=5, 4, 3", "slope", "", -1.0, 1e-12),
    row("sen", "by hand: slopes 1, 5, 9; median 5", "trend", "years=1, 2, 3|values=0, 1, 10", "sen_slope", "", 5.0, 1e-12),
    row(
        "odd",
        "t = 5/2.3094 with 1 degree of freedom: p = 1 − 2 atan(t)/π",
        "trend",
        "years=1, 2, 3|values=0, 1, 10",
        "p_value",
        "",
        0.275_458_7,
        1e-6,
    ),
];

#[test]
fn evidence_agrees_with_the_note() {
    check(ROWS);
}

#[test]
fn a_textbook_running_sum_raises_no_alarm_and_a_sliding_control_does() {
    // Montgomery & Runger, Example 16-6, Table 16-8 (row DR-01): target 99, slack 1, limit 10.
    let values =
        "102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0, 96.7, 100.3, 101.4, 97.2, 101.0";
    let upper = [2.0, 0.0, 0.0, 0.0, 2.0, 0.5, 0.0, 0.0, 0.0, 0.0, 1.3, 0.0, 1.1, 0.0, 0.0, 0.0, 0.3, 1.7, 0.0, 1.0];
    let lower = [0.0, 3.2, 2.9, 2.5, 0.0, 0.0, 0.0, 0.3, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 2.3, 0.0, 0.0, 0.8, 0.0];
    for (side, expected) in [("upper", upper), ("lower", lower)] {
        let answer = reckon(&ask("drift", &format!("values={values}|target=99|slack=1|limit=10|side={side}"))).unwrap();
        let Some(Output::List(path)) = answer.output("path") else { panic!("no path") };
        assert!(path.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9), "{side}: {path:?}");
        assert_eq!(answer.output("alarm_at"), Some(&Output::None));
    }
    // Row DR-03.
    let slide = reckon(&ask("drift", "values=92, 88, 91, 90, 86, 84, 87, 80, 78, 75, 72, 70|target=90|slack=5|limit=15")).unwrap();
    assert_eq!(slide.output("alarm_at"), Some(&Output::Number(10.0)));
    assert_eq!(slide.json()["outputs"]["path"]["value"][11], 50.0);
}

#[test]
fn chances_outside_nought_to_one_are_refused() {
    for (key, inputs, told) in [
        ("posterior", "prior=1.2|sensitivity=0.9|specificity=0.9|result=positive", "between 0 and 1"),
        ("posterior", "prior=0|sensitivity=0.9|specificity=1|result=positive", "its chance is 0"),
        ("posterior", "prior=0.1|sensitivity=0.9|specificity=0.9|result=perhaps", "not one of"),
        ("noisy-or", "leak=0.05|links=0.8, 1.3", "1.3 is no chance"),
        ("drift", "values=1, 2|target=1|slack=-1|limit=2", "cannot be below 0"),
        ("trend", "years=2001, 2002|values=1", "2 years and 1 values"),
        ("trend", "years=2001, 2001|values=1, 2", "two different years"),
    ] {
        let error = reckon(&ask(key, inputs)).unwrap_err().to_string();
        assert!(error.contains(told), "{key} {inputs}: {error}");
    }
}
