//! What is wrong in a lore file: where, what was seen, and what would be right.

use serde::Serialize;
use std::fmt;

/// How much a fault weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// The entry is wrong; `groundlore lore check` fails.
    Fault,
    /// The entry could be better; the check still passes.
    Warning,
}

/// One thing wrong in the lore.
///
/// Its `Display` is one line: `file:line: field: what is wrong (saw …). What would be right.`
///
/// # Example
/// ```
/// # use groundlore_lore::{LoreFault, Weight};
/// let fault = LoreFault {
///     file: "controls/soap.toml".into(),
///     line: Some(4),
///     field: Some("reviewed".into()),
///     seen: Some("last week".into()),
///     wrong: "this is no date".into(),
///     remedy: "Write year, month and day, for example \"2026-04-30\".".into(),
///     weight: Weight::Fault,
/// };
/// assert_eq!(
///     fault.to_string(),
///     "controls/soap.toml:4: reviewed: this is no date (saw `last week`). Write year, month and day, for example \"2026-04-30\"."
/// );
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LoreFault {
    /// File, relative to the lore folder, with the overlay's own path before it where it is an overlay's.
    pub file: String,
    /// Line in the file, from 1, where it is known.
    pub line: Option<usize>,
    /// Field, as a path within the entry: `favoured_by[2].factor.low`.
    pub field: Option<String>,
    /// The value seen, shortened.
    pub seen: Option<String>,
    /// What is wrong, as a clause.
    pub wrong: String,
    /// What would be right, with an example where that helps.
    pub remedy: String,
    /// Fault or warning.
    pub weight: Weight,
}

impl fmt::Display for LoreFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
        }
        f.write_str(": ")?;
        if self.weight == Weight::Warning {
            f.write_str("warning: ")?;
        }
        if let Some(field) = &self.field {
            write!(f, "{field}: ")?;
        }
        f.write_str(&self.wrong)?;
        if let Some(seen) = &self.seen {
            write!(f, " (saw `{seen}`)")?;
        }
        write!(f, ". {}", self.remedy)
    }
}

/// All that was wrong in the lore files that were read; never empty.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, thiserror::Error)]
pub struct LoreErrors(
    /// The faults, in the order of the files.
    pub Vec<LoreFault>,
);

impl fmt::Display for LoreErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.len() {
            1 => writeln!(f, "1 thing is wrong in the lore:")?,
            n => writeln!(f, "{n} things are wrong in the lore:")?,
        }
        for fault in &self.0 {
            writeln!(f, "  {fault}")?;
        }
        Ok(())
    }
}

/// A value shortened for a message: one line, at most 60 characters.
pub(crate) fn shortened(text: &str) -> String {
    let line = text.trim().lines().next().unwrap_or_default();
    if line.chars().count() <= 60 {
        return line.to_owned();
    }
    let mut short: String = line.chars().take(57).collect();
    short.push_str("...");
    short
}
