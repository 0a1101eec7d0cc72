//! The cautions that go with each kind of dangerous work. They stand wherever the work is shown.

use serde::{Deserialize, Serialize};

/// Kinds of work that can hurt someone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hazard {
    /// Mixing, carrying or applying a pesticide.
    Pesticide,
    /// Fertiliser near water.
    FertiliserNearWater,
    /// Mowers, trimmers, blades.
    Machines,
    /// Sharpening and grinding.
    Grinding,
    /// Digging.
    Digging,
    /// Lifting block and stone.
    Lifting,
    /// Cutting block or stone.
    SilicaDust,
    /// Work on trees and roots.
    Trees,
    /// Walls that hold earth.
    Walls,
    /// Work in heat.
    Heat,
    /// Stings, ticks and irritant plants.
    StingsAndTicks,
}

impl Hazard {
    /// The caution, as a crew reads it.
    pub fn caution(self) -> &'static str {
        match self {
            Self::Pesticide => {
                "The product label is the law: read it first, wear the gear it names, keep people and pets off as long as it says. Where the law asks for a licensed applicator, only one may do this. If someone is exposed, call your poison centre or emergency number and have the label at hand."
            }
            Self::FertiliserNearWater => {
                "Keep fertiliser off paving and away from water, drains and wells; local setback rules come first."
            }
            Self::Machines => {
                "Eye and ear protection; clear people, pets and stones first; engine off and plug or battery out before a hand goes near a blade."
            }
            Self::Grinding => {
                "Take the spark plug lead or battery off before the blade comes off. Eye and face protection and gloves at the grinder. Balance the blade; a bent or torn one is replaced, not sharpened."
            }
            Self::Digging => "Call the utility locating service before any digging and wait for the marks; dig by hand near them.",
            Self::Lifting => "Lift block with two people or a cart; gloves and firm boots.",
            Self::SilicaDust => "Cut block and stone wet, with the respirator that the local rule asks for: the dust scars lungs.",
            Self::Trees => {
                "Roots, climbing and large limbs are a qualified arborist's work; nobody works near overhead wires but the utility's own people."
            }
            Self::Walls => "A wall that holds earth may need an engineer and a permit; limits differ by place and are as low as 2 ft.",
            Self::Heat => "Plan heavy work early in the day; water, shade and rest, and someone who watches for heat illness.",
            Self::StingsAndTicks => {
                "Look for nests before mowing or clipping; long sleeves; check for ticks after. Anyone allergic carries their medicine."
            }
        }
    }
}

/// What stands on every sheet where something is sprayed, with the number where the firm gave it.
///
/// ```
/// use groundlore_work::caution::poison_line;
/// assert!(poison_line(None).contains("________"));
/// assert!(poison_line(Some("the number")).contains("the number"));
/// ```
#[must_use]
pub fn poison_line(number: Option<&str>) -> String {
    let number = number.map(str::trim).filter(|number| !number.is_empty()).unwrap_or("________________");
    format!(
        "Poison centre: {number}. Call at once if anyone swallows it, breathes it in or is splashed, even if they feel well, with the label in hand. If someone collapses, fits or cannot breathe, call the emergency number first."
    )
}

/// The cautions for a set of hazards, in a fixed order without repeats.
pub fn cautions(hazards: &[Hazard]) -> Vec<String> {
    let mut sorted = hazards.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    sorted.into_iter().map(|hazard| hazard.caution().to_owned()).collect()
}
