//! Checks against published standards, laws and other programs.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "reference/csv.rs"]
mod csv;
#[path = "reference/record_rules.rs"]
mod record_rules;
#[path = "reference/sha256.rs"]
mod sha256;
