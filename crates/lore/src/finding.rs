//! Findings: what an owner may say or a scout may see.

use crate::provenance::ShareRange;
use groundlore_quantity::Quantity;
use serde::{Deserialize, Serialize};

/// Who can settle a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LookBy {
    /// The owner, by phone or note.
    Owner,
    /// A visit.
    Visit,
    /// A laboratory.
    Laboratory,
}

/// One finding of the vocabulary. Entries live in `lore/findings/*.toml`, several to a file as `[[finding]]`, grouped by what is looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Finding {
    /// Key, kebab-case (`turf-lifts-like-carpet`).
    pub key: String,
    /// What it is, as a short clause (`the turf lifts like a carpet`).
    pub name: String,
    /// The words owners use. Each string is a pattern: words separated by spaces must all occur in one clause (any order, by word stem,
    /// at most a few words apart); `|` inside a word gives alternatives; a run in double quotes must occur as it stands. Two to fifteen patterns each.
    pub said_as: Vec<String>,
    /// P(finding) where no listed cause explains it (the leak).
    pub background: ShareRange,
    /// How to look for it, as an instruction a person can follow.
    pub how_to_look: String,
    /// Minutes the look takes.
    pub effort: Quantity,
    /// Who can settle it.
    pub look_by: LookBy,
    /// Findings of one group exclude one another (`spot-size`), if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub one_of: Option<String>,
}
