//! What is shown: a sheet as text, as JSON, or as PDF.

use crate::cli::Show;
use groundlore_sheet::{Sheet, text};
use std::io::Write as _;
use std::path::Path;
use std::process::ExitCode;

/// A failure, in words.
#[derive(Debug)]
pub(crate) struct Failure(pub(crate) String);

impl<E: std::error::Error> From<E> for Failure {
    fn from(error: E) -> Self {
        Self(error.to_string())
    }
}

/// Result of a verb.
pub(crate) type Outcome<T> = Result<T, Failure>;

/// Fails with a message.
pub(crate) fn refuse<T>(message: impl Into<String>) -> Outcome<T> {
    Err(Failure(message.into()))
}

/// Prints text to standard output; a closed pipe is no error.
pub(crate) fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    if !text.ends_with('\n') {
        let _ = out.write_all(b"\n");
    }
}

/// Prints to standard error.
pub(crate) fn note(text: &str) {
    let mut out = std::io::stderr().lock();
    let _ = writeln!(out, "{text}");
}

/// Prints a failure.
pub(crate) fn fail(failure: &Failure) -> ExitCode {
    note(&format!("groundlore: {}", failure.0));
    ExitCode::from(1)
}

/// Shows a result: its JSON where `--json` asks for it, its sheet as PDF where `--pdf` names a file, else its sheet as text.
pub(crate) fn show<T: serde::Serialize>(show: &Show, result: &T, sheet: impl FnOnce() -> Outcome<Sheet>) -> Outcome<ExitCode> {
    if show.json {
        say(&serde_json::to_string_pretty(result)?);
        return Ok(ExitCode::SUCCESS);
    }
    let sheet = sheet()?;
    match &show.pdf {
        Some(path) => {
            write_pdf(&sheet, path)?;
            say(&format!("{} is in {}", sheet.title, path.display()));
        }
        None => say(&text::print(&sheet, width())),
    }
    Ok(ExitCode::SUCCESS)
}

/// Writes a sheet as PDF.
pub(crate) fn write_pdf(sheet: &Sheet, path: &Path) -> Outcome<()> {
    let bytes = groundlore_paper::pdf(sheet)?;
    write_file(path, &bytes)
}

/// Writes a file, naming it where it cannot be written.
pub(crate) fn write_file(path: &Path, bytes: &[u8]) -> Outcome<()> {
    std::fs::write(path, bytes).map_err(|e| Failure(format!("{}: {e}; name a file that can be written", path.display())))
}

/// Reads a file, or standard input for `-`.
pub(crate) fn read_file(path: &str) -> Outcome<String> {
    if path == "-" {
        return std::io::read_to_string(std::io::stdin()).map_err(|e| Failure(format!("standard input: {e}; it must be text in UTF-8")));
    }
    let bytes = std::fs::read(path).map_err(|e| Failure(format!("{path}: {e}; name a file that is there")))?;
    String::from_utf8(bytes).map_err(|_| Failure(format!("{path}: it is not text in UTF-8; save it as UTF-8")))
}

/// Name of a file for messages.
pub(crate) fn file_name(path: &str) -> String {
    if path == "-" {
        "standard input".to_owned()
    } else {
        Path::new(path).file_name().map_or_else(|| path.to_owned(), |n| n.to_string_lossy().into_owned())
    }
}

/// Width of the terminal, from `COLUMNS`; 100 where it is not set.
fn width() -> usize {
    std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok()).unwrap_or(100).clamp(40, 160)
}
