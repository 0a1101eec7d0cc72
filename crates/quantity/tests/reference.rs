//! Checks of the grammar and of unit sizes against published values, of wrong input, and of round trips.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#[path = "reference/round_trips.rs"]
mod round_trips;
#[path = "reference/units.rs"]
mod units;
#[path = "reference/wrong.rs"]
mod wrong;
