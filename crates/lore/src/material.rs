//! Materials and work norms.

use crate::provenance::{QuantityRange, ShareRange};
use groundlore_quantity::Quantity;
use serde::{Deserialize, Serialize};

/// One entry of `lore/materials/`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Key, the same as the file's name.
    pub key: String,
    /// Name.
    pub name: String,
    /// Where the entry holds.
    pub region: String,
    /// Day of last review.
    pub reviewed: String,
    /// Unit it is sold in, as `1 yd3`, `1 ton`, or none for pieces.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sold_by: Option<Quantity>,
    /// Depth or thickness it is laid at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<QuantityRange>,
    /// Bulk density as delivered (loose).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub density: Option<QuantityRange>,
    /// Waste and settling to order beyond the measure, as a share.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waste: Option<ShareRange>,
    /// Dimensions of a piece (face length, face height, depth), where sold by the piece.
    #[serde(default)]
    pub piece: Vec<QuantityRange>,
    /// How it is used, in a sentence or two.
    pub use_note: String,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// One entry of `lore/work_norms/`: how long a piece of work takes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WorkNorm {
    /// Key, the same as the file's name.
    pub key: String,
    /// Name of the work.
    pub name: String,
    /// Where the entry holds.
    pub region: String,
    /// Day of last review.
    pub reviewed: String,
    /// Person-time for `per` of the work, e.g. 30–60 min.
    pub time: QuantityRange,
    /// Amount of work that `time` is for, e.g. `1 yd3`, `1000 ft2`, `100 ft`; none means one piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per: Option<Quantity>,
    /// What a piece is, when `per` is absent (`plant in a 1-gal pot`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<String>,
    /// What is included.
    pub includes: String,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// One source of `lore/sources.toml` (`[[source]]`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SourceEntry {
    /// Key cited by the entries.
    pub key: String,
    /// Author, year, title, publisher, place or address.
    pub citation: String,
    /// Was it read, or recalled?
    pub read: bool,
    /// Year of publication or edition, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year: Option<i16>,
}
