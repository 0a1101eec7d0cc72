//! Where a figure comes from: every number in lore carries one of these.

use groundlore_quantity::Quantity;
use serde::{Deserialize, Serialize};

/// Source of a figure: one or more keys of `lore/sources.toml`, or `memory`, or `common practice`.
///
/// In TOML it is a string or a list of strings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "OneOrMany", into = "Vec<String>")]
pub struct Source(pub Vec<String>);

#[derive(Deserialize)]
#[serde(untagged, expecting = "a source key such as \"memory\", or a list of keys")]
enum OneOrMany {
    One(String),
    Many(Vec<String>),
}

impl From<OneOrMany> for Source {
    fn from(value: OneOrMany) -> Self {
        match value {
            OneOrMany::One(key) => Self(vec![key]),
            OneOrMany::Many(keys) => Self(keys),
        }
    }
}

impl From<Source> for Vec<String> {
    fn from(value: Source) -> Self {
        value.0
    }
}

impl Source {
    /// The word for a figure that somebody remembered and nobody has looked up.
    pub const MEMORY: &'static str = "memory";
    /// The word for a fact of the trade that has no publication behind it.
    pub const COMMON_PRACTICE: &'static str = "common practice";

    /// True when at least one key names a publication that was read.
    pub fn is_published(&self) -> bool {
        self.0.iter().any(|key| key != Self::MEMORY && key != Self::COMMON_PRACTICE)
    }
}

/// How firmly a figure stands, weakest source first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Nothing behind it but memory, common practice, or a publication that nobody has opened: it may widen a range or ask for a look,
    /// and never by itself yields *treat*, *safe* or *pass*.
    Recalled,
    /// A publication was read, and part of the figure is recalled beside it.
    PartlyRead,
    /// Every source was read.
    Read,
}

impl Standing {
    /// The words a person reads beside a figure.
    pub fn words(self) -> &'static str {
        match self {
            Self::Recalled => "from memory or common practice",
            Self::PartlyRead => "partly from memory",
            Self::Read => "from the source named",
        }
    }
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0.join(", "))
    }
}

/// A share between 0 and 1, or a ratio, as a range with its source. Written `{ low = 0.5, high = 0.8, source = "memory" }`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShareRange {
    /// Lower end.
    pub low: f64,
    /// Upper end, not below `low`.
    pub high: f64,
    /// Where the figures come from.
    pub source: Source,
}

impl ShareRange {
    /// Middle of the range on the log-odds scale for shares strictly inside 0–1, else the arithmetic middle.
    pub fn middle(&self) -> f64 {
        if self.low > 0.0 && self.high < 1.0 && self.high > 0.0 {
            let logit = |p: f64| (p / (1.0 - p)).ln();
            let m = f64::midpoint(logit(self.low), logit(self.high));
            1.0 / (1.0 + (-m).exp())
        } else {
            f64::midpoint(self.low, self.high)
        }
    }
}

/// A quantity as a range with its source. Written `{ low = "5 ft", high = "7 ft", source = "common practice" }`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct QuantityRange {
    /// Lower end, with its unit.
    pub low: Quantity,
    /// Upper end, with its unit, not below `low`.
    pub high: Quantity,
    /// Where the figures come from.
    pub source: Source,
    /// Where they hold, when narrower than the entry's own region.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub region: Option<String>,
    /// A remark that must be read with the figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// Days of the year as `MM-DD`, northern hemisphere (the southern half-year swap is the clock's work), with a source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayRange {
    /// First day, `MM-DD`.
    pub from: String,
    /// Last day, `MM-DD`; before `from` when the range spans the new year.
    pub to: String,
    /// Where the dates come from.
    pub source: Source,
}
