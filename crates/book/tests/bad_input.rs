//! Wrong files: each tells file, line, column, value and remedy; good rows are kept where the user says so.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "bad_input/exports.rs"]
mod exports;
#[path = "bad_input/sheets.rs"]
mod sheets;
