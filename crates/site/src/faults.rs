//! What is built or planted wrongly on a yard: why it matters, what to do, and how much of it.
//!
//! A fault is only what the map shows. Where a measure is missing nothing is assumed: [`not_checked`] lists what should be
//! measured. Thresholds are trade figures and say where they come from ([`Source`]); a fault asks for work or for a look, it
//! never passes anything as sound.

mod crowding;
mod mowing;
mod proud_edging;
mod reach;
mod trunk_ring;

use crate::measure::LocalFrame;
use crate::yard::Yard;
use groundlore_quantity::Quantity;
use serde::Serialize;

/// Kinds of fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultKind {
    /// Block or stone ringed against a trunk.
    BlockAtTrunk,
    /// Soil piled against a trunk.
    SoilAtTrunk,
    /// Mulch piled against a trunk, or too deep round it.
    MulchAtTrunk,
    /// Edging that stands too proud to mow over.
    ProudEdging,
    /// Planting closer than its spread.
    Crowding,
    /// Bed ground that no hand reaches from its sides.
    BeyondReach,
    /// Lawn too narrow for the mower that serves it.
    NarrowLawn,
    /// Lawn corners, and gaps beside trunks, too tight for the mower that serves it.
    SharpCorner,
}

/// Where a threshold comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "from", content = "what")]
pub enum Source {
    /// A fact of the trade without a source.
    CommonPractice(String),
    /// Geometry alone: the map's own measures.
    Geometry(String),
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Source::CommonPractice(what) => write!(f, "common practice: {what}"),
            Source::Geometry(what) => write!(f, "measured: {what}"),
        }
    }
}

/// How much of something, with what it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Amount {
    /// The figure.
    pub amount: Quantity,
    /// What it counts or measures.
    pub of: String,
}

/// One thing built or planted wrongly.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fault {
    /// Kind.
    pub kind: FaultKind,
    /// Id of the feature.
    pub feature_id: String,
    /// Name of the feature.
    pub feature_name: String,
    /// What is there, with its figures.
    pub what: String,
    /// Why it matters.
    pub why_it_matters: String,
    /// What to do.
    pub what_to_do: String,
    /// How much of it; `None` where a measure that it needs is missing.
    pub amount: Option<Quantity>,
    /// What the amount counts, or which measure is missing.
    pub amount_of: String,
    /// Further amounts of the same work.
    pub also: Vec<Amount>,
    /// Cautions for whoever does it.
    pub cautions: Vec<String>,
    /// Where the threshold comes from.
    pub source: Source,
}

/// A plant's size when grown, from the lore, metres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PlantSize {
    /// Least and most spread.
    pub spread_m: (f64, f64),
    /// Least planting distance, where the lore gives one.
    pub spacing_m: Option<f64>,
    /// Least and most height, where known.
    pub height_m: Option<(f64, f64)>,
}

/// Something that could not be judged because it was not measured.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotChecked {
    /// Id of the feature.
    pub feature_id: String,
    /// Name of the feature.
    pub feature_name: String,
    /// What was not checked.
    pub what: String,
    /// Property that would settle it, with an example.
    pub measure: String,
}

/// Everything that the map shows to be built or planted wrongly, in the order: trunks, edging, planting, beds, lawns.
///
/// `lookup` gives a plant's size by the key or name on the map; `None` where the lore does not know it.
pub fn find(yard: &Yard, lookup: &dyn Fn(&str) -> Option<PlantSize>) -> Vec<Fault> {
    judge(yard, lookup).0
}

/// What could not be judged for want of a measure. It is not a pass.
pub fn not_checked(yard: &Yard, lookup: &dyn Fn(&str) -> Option<PlantSize>) -> Vec<NotChecked> {
    judge(yard, lookup).1
}

fn judge(yard: &Yard, lookup: &dyn Fn(&str) -> Option<PlantSize>) -> (Vec<Fault>, Vec<NotChecked>) {
    let mut found = Judged::default();
    let Some(frame) = LocalFrame::of(yard) else { return (vec![], vec![]) };
    trunk_ring::judge(yard, &mut found);
    proud_edging::judge(yard, &frame, &mut found);
    crowding::judge(yard, &frame, lookup, &mut found);
    reach::judge(yard, &frame, &mut found);
    mowing::judge(yard, &frame, &mut found);
    (found.faults, found.not_checked)
}

/// What was found so far.
#[derive(Default)]
struct Judged {
    faults: Vec<Fault>,
    not_checked: Vec<NotChecked>,
}

impl Judged {
    fn not_checked(&mut self, id: &str, name: &str, what: &str, measure: &str) {
        self.not_checked.push(NotChecked {
            feature_id: id.to_owned(),
            feature_name: name.to_owned(),
            what: what.to_owned(),
            measure: measure.to_owned(),
        });
    }
}

/// An amount in the units of the trade, from SI.
fn amount(si: f64, unit: &str) -> Option<Quantity> {
    Quantity::from_si(si, unit).ok().filter(|q| q.value.is_finite())
}

/// An SI value in words in the unit given, to three digits.
fn shown(si: f64, unit: &str) -> String {
    amount(si, unit).map_or("not checked".to_owned(), |q| q.rounded(3))
}

const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;

const CALL_BEFORE_DIGGING: &str = "Before digging, have buried lines marked: call the utility locating service.";
const LIFTING: &str = "Block is heavy and rough: lift with the legs, two people to a heavy piece, gloves and closed boots.";
const ARBORIST: &str = "If roots girdle the trunk, or bark is dead or soft behind the ring, stop and have a qualified arborist look.";
