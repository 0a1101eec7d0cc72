//! Checks against published standards and other programs.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "reference/csv.rs"]
mod csv;
#[path = "reference/sha256.rs"]
mod sha256;
