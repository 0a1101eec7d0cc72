//! Checks against values from outside: published examples, handbook tables and reference libraries.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "reference/areas.rs"]
mod areas;
#[path = "reference/hand_measures.rs"]
mod hand_measures;
#[path = "reference/polygons.rs"]
mod polygons;
