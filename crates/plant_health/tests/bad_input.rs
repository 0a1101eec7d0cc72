//! Wrong inputs: clear errors, no panic, nothing good lost.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "bad_input/event_clock.rs"]
mod event_clock;
#[path = "bad_input/scouting_side.rs"]
mod scouting_side;
