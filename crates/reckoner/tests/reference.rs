//! The reckoner against published and computed values, and against wrong input.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::approx_constant)]
#[path = "reference/applying.rs"]
mod applying;
#[path = "reference/bad_input.rs"]
mod bad_input;
#[path = "reference/degree_days.rs"]
mod degree_days;
#[path = "reference/estimating.rs"]
mod estimating;
#[path = "reference/evidence.rs"]
mod evidence;
#[path = "reference/sampling.rs"]
mod sampling;
#[path = "reference/scouting.rs"]
mod scouting;
#[path = "reference/season_science.rs"]
mod season_science;
#[path = "reference/treatment.rs"]
mod treatment;

use groundlore_reckoner::{Ask, Output, reckon};

/// One check: where it comes from, the question, the output in a unit (empty: as it comes), what is expected, how far off it may be.
pub(crate) struct Row {
    pub(crate) id: &'static str,
    pub(crate) source: &'static str,
    pub(crate) key: &'static str,
    pub(crate) inputs: &'static str,
    pub(crate) output: &'static str,
    pub(crate) unit: &'static str,
    pub(crate) expected: f64,
    pub(crate) tolerance: f64,
}

/// Inputs are written `name=value | name=value`.
pub(crate) fn ask(key: &str, inputs: &str) -> Ask {
    inputs.split('|').filter(|part| !part.trim().is_empty()).fold(Ask::new(key), |ask, part| {
        let (name, value) = part.split_once('=').unwrap();
        ask.with(name.trim(), value.trim())
    })
}

pub(crate) fn check(rows: &[Row]) {
    for row in rows {
        let mut question = ask(row.key, row.inputs);
        if !row.unit.is_empty() {
            question = question.wanted(row.output, row.unit);
        }
        let answer = reckon(&question).unwrap_or_else(|e| panic!("{}: {e}", row.id));
        let found = match answer.output(row.output) {
            Some(Output::Quantity(q) | Output::Either(q, _)) => q.value,
            Some(Output::Number(n) | Output::Share(n)) => *n,
            other => panic!("{}: {} is {other:?}", row.id, row.output),
        };
        assert!(
            (found - row.expected).abs() <= row.tolerance,
            "{} ({}): {} is {found}, expected {} ± {}",
            row.id,
            row.source,
            row.output,
            row.expected,
            row.tolerance
        );
        assert!(!answer.working.is_empty() && !answer.sources.is_empty(), "{}: working and sources are shown", row.id);
    }
}

/// A row as a short call.
#[allow(clippy::too_many_arguments)]
pub(crate) const fn row(
    id: &'static str,
    source: &'static str,
    key: &'static str,
    inputs: &'static str,
    output: &'static str,
    unit: &'static str,
    expected: f64,
    tolerance: f64,
) -> Row {
    Row { id, source, key, inputs, output, unit, expected, tolerance }
}

#[test]
fn the_manual_page_in_docs_is_the_registry_of_today() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/reckoner.md");
    let page = groundlore_reckoner::manual::page();
    if std::env::var_os("GROUNDLORE_WRITE_DOCS").is_some() {
        std::fs::write(path, &page).unwrap();
    }
    assert_eq!(
        std::fs::read_to_string(path).unwrap_or_default(),
        page,
        "run the tests with GROUNDLORE_WRITE_DOCS=1 and commit docs/reckoner.md"
    );
}
