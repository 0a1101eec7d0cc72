//! Garden plants.

use crate::provenance::{QuantityRange, Source};
use serde::{Deserialize, Serialize};

/// What a plant is in the garden.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum PlantKind {
    Perennial,
    Grass,
    Groundcover,
    Bulb,
    Shrub,
    SmallTree,
}

/// Light a plant will live in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Light {
    /// Six hours of direct sun or more.
    FullSun,
    /// Four to six hours.
    PartShade,
    /// Less than four hours.
    FullShade,
}

/// Soil moisture a plant will live in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Moisture {
    Dry,
    Medium,
    Moist,
    Wet,
}

/// How a plant behaves beside its neighbours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Vigour {
    /// Small and easily overrun.
    Dainty,
    /// Holds its place.
    Steady,
    /// Runs or sows itself into its neighbours.
    Aggressive,
}

/// One entry of `lore/plants/`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plant {
    /// Key, the same as the file's name (`helianthus-microcephalus`).
    pub key: String,
    /// Botanical name.
    pub botanical: String,
    /// Common name.
    pub name: String,
    /// What it is in the garden.
    pub kind: PlantKind,
    /// Where the entry holds.
    pub region: String,
    /// Day of last review, `YYYY-MM-DD`.
    pub reviewed: String,
    /// Height in bloom.
    pub height: QuantityRange,
    /// Spread of one plant when grown.
    pub spread: QuantityRange,
    /// Planting distance.
    pub spacing: QuantityRange,
    /// Light it lives in.
    pub light: Vec<Light>,
    /// Soil moisture it lives in.
    pub moisture: Vec<Moisture>,
    /// Source of light and moisture.
    pub site_source: Source,
    /// Hardiness.
    pub hardiness: Hardiness,
    /// When it flowers.
    pub bloom: Bloom,
    /// Flower colours, plain words.
    pub colours: Vec<String>,
    /// Wildlife value by kind of visitor; empty when not known.
    #[serde(default)]
    pub visitors: Vec<Visitor>,
    /// How it behaves beside its neighbours.
    pub vigour: Vigour,
    /// How it spreads, in words, with source.
    pub spreads: Spreads,
    /// When and how it is cut back or pruned.
    pub cut_back: CutBack,
    /// Native range, plain words; `garden origin` for hybrids.
    pub native_to: Vec<String>,
    /// Invasive or noxious listings known, each with place, edition and source; empty means none known, not none.
    #[serde(default)]
    pub listings: Vec<Listing>,
    /// Cautions: irritant sap, poisonous parts.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// USDA hardiness zones, numbers only (3 to 9).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hardiness {
    /// Coldest zone.
    pub coldest: u8,
    /// Warmest zone.
    pub warmest: u8,
    /// Source.
    pub source: Source,
}

/// When a plant flowers, by months of the northern year (1–12; `from` 6 `to` 9 is June to September inclusive).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bloom {
    /// First month.
    pub from_month: u8,
    /// Last month.
    pub to_month: u8,
    /// Where these months were seen.
    pub region: String,
    /// Source.
    pub source: Source,
}

/// Who comes to it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Visitor {
    /// Kind of visitor: `bees`, `butterflies`, `moths`, `flies`, `beetles`, `wasps`, `hummingbirds`, `birds`.
    pub kind: String,
    /// 1 some, 2 good, 3 outstanding.
    pub value: u8,
    /// Source.
    pub source: Source,
}

/// How a plant spreads.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spreads {
    /// In words: `clump`, `short rhizomes`, `running rhizomes`, `self-sows`, `suckers`.
    pub by: String,
    /// A remark with figures.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Source.
    pub source: Source,
}

/// When a plant is cut back or pruned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CutBack {
    /// Season: `late winter`, `early spring`, `after bloom`, `autumn`, `none`.
    pub when: CutBackWhen,
    /// How, as an instruction.
    pub how: String,
    /// Source.
    pub source: Source,
}

/// Season of cutting back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum CutBackWhen {
    LateWinter,
    EarlySpring,
    AfterBloom,
    Autumn,
    None,
}

/// An official or expert listing as invasive or noxious.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Listing {
    /// Place.
    pub place: String,
    /// Status in that list.
    pub status: String,
    /// Year or edition of the list.
    pub edition: String,
    /// Source.
    pub source: Source,
}
