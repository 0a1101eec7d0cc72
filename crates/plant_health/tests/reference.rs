//! Checks from outside: tables of (id, inputs, expected, tolerance) with their sources, one file a topic.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    clippy::excessive_precision,
    clippy::approx_constant,
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::type_complexity,
    missing_docs
)]

#[path = "reference/belief.rs"]
mod belief;
#[path = "reference/clock.rs"]
mod clock;
#[path = "reference/counts.rs"]
mod counts;
#[path = "reference/data.rs"]
mod data;
#[path = "reference/dispersion.rs"]
mod dispersion;
#[path = "reference/drift.rs"]
mod drift;
#[path = "reference/efficacy.rs"]
mod efficacy;
#[path = "reference/event_clock.rs"]
mod event_clock;
#[path = "reference/hierarchy.rs"]
mod hierarchy;
#[path = "reference/lore.rs"]
mod lore;
#[path = "reference/network.rs"]
mod network;
#[path = "reference/scouting_plans.rs"]
mod scouting_plans;
#[path = "reference/season_grid.rs"]
mod season_grid;
#[path = "reference/sequential.rs"]
mod sequential;

#[path = "reference/thread.rs"]
mod thread;

/// Holds a value to its row.
fn close(id: &str, seen: f64, expected: f64, tolerance: f64) {
    assert!((seen - expected).abs() <= tolerance, "{id}: {seen}, expected {expected} ± {tolerance}");
}
