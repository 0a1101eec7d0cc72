//! What must hold for any input.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "properties/scouting_side.rs"]
mod scouting_side;
