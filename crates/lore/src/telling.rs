//! How owners tell of a trouble: words that no finding's pattern holds.

use serde::{Deserialize, Serialize};

/// What different owners would write of one trouble. Entries live in `lore/tellings/*.toml`, a file for each kind of trouble, each entry
/// under the trouble's key (`[dollar-spot]`); the words are ours, the owners invented.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Telling {
    /// Key of the trouble.
    pub key: String,
    /// One to three sentences each, of what is there (never of what is not: words are heard without denial).
    pub told: Vec<String>,
}

/// The fields of a telling as they stand in a file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Words {
    pub(crate) told: Vec<String>,
}
