//! Whole jobs through the real binary, and through a real browser.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stderr)]
#[path = "whole_job/browser.rs"]
mod browser;
#[path = "whole_job/demo.rs"]
mod demo;
#[path = "whole_job/elsewhere.rs"]
mod elsewhere;
#[path = "whole_job/forecast.rs"]
mod forecast;
#[path = "whole_job/label_rules.rs"]
mod label_rules;
#[path = "whole_job/letters.rs"]
mod letters;
#[path = "whole_job/questions.rs"]
mod questions;
#[path = "whole_job/records.rs"]
mod records;
#[path = "whole_job/scout_flags.rs"]
mod scout_flags;
#[path = "whole_job/weather_forms.rs"]
mod weather_forms;

use assert_cmd::Command;
use std::path::Path;

/// The binary, run in a folder, with nothing of this machine's settings.
pub(crate) fn groundlore(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_groundlore"));
    command.current_dir(folder).env_remove("GROUNDLORE_BOOK").env("COLUMNS", "100");
    command
}

/// Runs and gives standard output; fails with standard error.
pub(crate) fn says(folder: &Path, words: &[&str]) -> String {
    let output = groundlore(folder).args(words).output().unwrap();
    assert!(output.status.success(), "{words:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// Runs and gives standard error of a refusal.
pub(crate) fn refuses(folder: &Path, words: &[&str]) -> String {
    let output = groundlore(folder).args(words).output().unwrap();
    assert!(!output.status.success(), "{words:?} was not refused: {}", String::from_utf8_lossy(&output.stdout));
    String::from_utf8(output.stderr).unwrap()
}

/// JSON of an answer.
pub(crate) fn json(folder: &Path, words: &[&str]) -> serde_json::Value {
    let mut with_json = words.to_vec();
    with_json.push("--json");
    serde_json::from_str(&says(folder, &with_json)).unwrap()
}
