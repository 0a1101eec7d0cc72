//! What must hold for any input.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "properties/event_clock.rs"]
mod event_clock;
#[path = "properties/scouting_side.rs"]
mod scouting_side;
