//! Controls: active ingredients, organisms and practices. No product names, no rates, no re-entry times: those stand on the label card.

use crate::provenance::{ShareRange, Source};
use serde::{Deserialize, Serialize};

/// What a control is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ControlClass {
    /// Mowing, watering, pruning, raising, hand-picking, leaving alone.
    Practice,
    /// Living or physical control (nematodes, bacteria, oils, soaps).
    Organism,
    /// A synthetic or mineral active ingredient.
    ActiveIngredient,
}

/// One entry of `lore/controls/`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Control {
    /// Key, the same as the file's name.
    pub key: String,
    /// Active ingredient, organism with strain, or practice.
    pub name: String,
    /// What it is.
    pub class: ControlClass,
    /// Where the entry holds.
    pub region: String,
    /// Day of last review.
    pub reviewed: String,
    /// True where a pesticide label rules its use (then no sum runs without a label card).
    pub needs_label: bool,
    /// What it works on.
    pub targets: Vec<Target>,
    /// Bee hazard, if listed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bee_hazard: Option<BeeHazard>,
    /// Mode-of-action group; none for practices, living controls and ungrouped materials (which are exempt from rotation).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub group: Option<ActionGroup>,
    /// What rotation counts for it.
    pub rotation: Rotation,
    /// Whether and how it must be watered in, in words, with source; the label rules.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watering_in: Option<WateringIn>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// How it is done, for practices; how it works, for materials.
    pub how: String,
}

/// A trouble and the stages on which a control works.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Target {
    /// Key of the trouble.
    pub trouble: String,
    /// Stage keys of that trouble; empty means any.
    #[serde(default)]
    pub stages: Vec<String>,
    /// What trials or users found.
    pub evidence: Vec<Evidence>,
}

/// What was found of a control at a place in a year.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Evidence {
    /// Year of the observation.
    pub year: i16,
    /// Place.
    pub place: String,
    /// Share controlled, 0–1, as a range with source.
    pub control: ShareRange,
    /// Weight as a number of comparisons (trials), if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub comparisons: Option<u32>,
    /// Remark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A published bee hazard class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BeeHazard {
    /// Class as printed (`I`, `II`, `III`).
    pub category: String,
    /// Scale and edition.
    pub edition: String,
    /// Source.
    pub source: Source,
}

/// Mode-of-action group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActionGroup {
    /// `IRAC`, `FRAC`, `HRAC`.
    pub scheme: String,
    /// Group code.
    pub code: String,
    /// Edition of the list.
    pub edition: String,
    /// Source.
    pub source: Source,
}

/// How rotation is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rotation {
    /// Not the same group on successive generations (insects and mites).
    ByGeneration,
    /// At most the label's consecutive run (fungicides).
    ByConsecutiveRun,
    /// By season (weeds).
    BySeason,
    /// Exempt: practice, living, physical or ungrouped.
    Exempt,
}

/// Watering-in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WateringIn {
    /// In words.
    pub need: String,
    /// Source.
    pub source: Source,
}
