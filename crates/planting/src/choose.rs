//! Choosing the plants of a bed from lore.
//!
//! Plants that cannot live or may not stand in the bed are turned away, each with why. Among the rest a small integer programme
//! takes the kinds: it meets the wishes and carries the most value for visitors. When no choice meets all wishes they are
//! relaxed one after another in the order of [`RELAX_ORDER`], and the answer says which. Hardiness, light, moisture, invasive
//! listings, aggressive beside dainty and the room in the bed are never relaxed.

mod candidates;
mod demands;
mod programme;
mod reasons;

use crate::outline::BedSize;
use crate::sociability::Sociability;
use crate::wishes::{WishError, Wishes};
use candidates::Candidate;
use groundlore_lore::plant::{CutBack, Plant, PlantKind, Vigour};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

pub use demands::{RELAX_ORDER, Step};

/// A reason with its figures and where they come from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reason {
    /// In words, with figures.
    pub text: String,
    /// Source keys of lore, a citation, `memory` or `common practice`.
    pub source: String,
}

/// How a plant stands to the wish for one taller than a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tall {
    /// The middle of its height range is above it.
    ByMiddle,
    /// Only the high end is: in a poor year or soil it will not be.
    ByHighEndOnly,
    /// It stays below.
    No,
}

/// One kind chosen for the bed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Chosen {
    /// Key in lore.
    pub key: String,
    /// Botanical name.
    pub botanical: String,
    /// Common name.
    pub name: String,
    /// What it is in the garden.
    pub kind: PlantKind,
    /// Low and high end of the height in bloom, metres.
    pub height_m: (f64, f64),
    /// Middle of the spread, metres.
    pub spread_m: f64,
    /// Middle of the planting distance, metres.
    pub spacing_m: f64,
    /// Months of bloom at the place, in order.
    pub bloom_months: Vec<u8>,
    /// Flower colours.
    pub colours: Vec<String>,
    /// How it behaves beside its neighbours.
    pub vigour: Vigour,
    /// How many stand together.
    pub sociability: Sociability,
    /// How it stands to the wish for a tall one.
    pub tall: Tall,
    /// When and how it is cut back.
    pub cut_back: CutBack,
    /// Cautions for those who handle it.
    pub cautions: Vec<String>,
    /// Why it was chosen.
    pub reasons: Vec<Reason>,
}

impl Chosen {
    /// Middle of the height range, metres.
    pub fn middle_height_m(&self) -> f64 {
        f64::midpoint(self.height_m.0, self.height_m.1)
    }
}

/// A wish that was not given in full.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Relaxed {
    /// The wish.
    pub wish: String,
    /// What was asked.
    pub asked: String,
    /// What is given.
    pub given: String,
    /// Why.
    pub why: String,
}

/// A plant that cannot or may not stand in the bed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TurnedAway {
    /// Key in lore.
    pub key: String,
    /// Why.
    pub why: String,
}

/// The kinds chosen, and what had to give.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Choice {
    /// Kinds, shortest first, then by key.
    pub chosen: Vec<Chosen>,
    /// Wishes not given in full.
    pub relaxed: Vec<Relaxed>,
    /// Plants turned away before the choice.
    pub turned_away: Vec<TurnedAway>,
    /// How the choice was made, line by line.
    pub working: Vec<String>,
}

/// Wishes that no choice can meet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[allow(missing_docs)]
pub enum ChooseError {
    #[error(transparent)]
    Wish(#[from] WishError),
    #[error("no plant in lore meets the wish for {wish} ({asked}) together with those before it; the nearest that can be met: {nearest}")]
    NothingLeft { wish: &'static str, asked: String, nearest: String },
    #[error("\"{key}\" was to be included but {why}; take it off the list, or change that wish")]
    CannotInclude { key: String, why: String },
    #[error(
        "\"{aggressive}\" is aggressive and \"{dainty}\" is dainty, and both were to be included; leave one out, or allow aggressive beside dainty"
    )]
    Clash { aggressive: String, dainty: String },
    #[error("the bed has {area_m2:.2} m² and what must be included needs about {needed_m2:.2} m²; include fewer, or enlarge the bed")]
    NoRoom { area_m2: f64, needed_m2: f64 },
    #[error("the choice could not be computed: {said}")]
    Solver { said: String },
}

/// Chooses the kinds for a bed of a size from lore's plants. Same input, same choice.
///
/// # Errors
/// A wish that makes no sense; a hard wish that leaves no plant, with the nearest that would; a plant to be included that
/// cannot stand there.
///
/// # Source
/// At least three kinds in bloom at any time: CHAPP, *Native Plant Bloom Season* (read). Weights of the value: ours.
///
/// # Example
/// ```
/// use groundlore_planting::{choose::choose, outline::BedSize, wishes::Wishes};
/// let lore = groundlore_lore::Lore::built_in()?;
/// let choice = choose(&lore.plants, &Wishes::default(), BedSize { area_m2: 24.0, depth_m: 3.0 })?;
/// let in_july = choice.chosen.iter().filter(|plant| plant.bloom_months.contains(&7)).count();
/// assert!(in_july >= 3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn choose(plants: &BTreeMap<String, Plant>, wishes: &Wishes, bed: BedSize) -> Result<Choice, ChooseError> {
    wishes.check()?;
    candidates::check_keys(plants, wishes)?;
    let (fit, turned_away) = candidates::fitting(plants, wishes, bed)?;
    candidates::check_included(&fit, &turned_away, wishes, bed)?;
    let mut working = vec![format!(
        "{} plants in lore, {} fit the place, the wishes that cannot give way and a bed of {:.1} m² and {:.1} m depth",
        plants.len(),
        fit.len(),
        bed.area_m2,
        bed.depth_m
    )];
    let (asked, mut relaxed) = demands::first(&fit, wishes, bed);
    let (taken, given_up) = relax_until_met(&fit, wishes, bed, asked, &mut working)?;
    relaxed.extend(given_up);
    let mut chosen: Vec<Chosen> = taken.iter().map(|at| reasons::chosen(&fit[*at], wishes)).collect();
    chosen.sort_by(|a, b| a.middle_height_m().total_cmp(&b.middle_height_m()).then_with(|| a.key.cmp(&b.key)));
    relaxed.extend(only_just_tall(&chosen, wishes));
    Ok(Choice { chosen, relaxed, turned_away, working })
}

/// Solves with all demands; while there is no answer, drops the next in order.
fn relax_until_met(
    fit: &[Candidate<'_>],
    wishes: &Wishes,
    bed: BedSize,
    asked: demands::Demands,
    working: &mut Vec<String>,
) -> Result<(Vec<usize>, Vec<Relaxed>), ChooseError> {
    let mut now = asked;
    let mut given_up = Vec::new();
    for step in std::iter::once(None).chain(RELAX_ORDER.iter().map(Some)) {
        if let Some(step) = step {
            match now.without(*step) {
                Some((eased, told)) => {
                    now = eased;
                    given_up.push(told);
                }
                None => continue,
            }
        }
        match programme::solve(fit, wishes, bed, &now)? {
            Some(taken) => {
                working.push(format!(
                    "integer programme: {} kinds taken of {} that fit, {} wishes relaxed",
                    taken.len(),
                    fit.len(),
                    given_up.len()
                ));
                return Ok((taken, given_up));
            }
            None => working.push(format!("no choice meets the wishes with {} relaxed", given_up.len())),
        }
    }
    let needed_m2 = fit.iter().filter(|one| wishes.include.contains(&one.plant.key)).map(|one| one.room_m2).sum();
    Err(ChooseError::NoRoom { area_m2: bed.area_m2, needed_m2 })
}

fn only_just_tall(chosen: &[Chosen], wishes: &Wishes) -> Option<Relaxed> {
    let above_m = wishes.at_least_one_taller_than_m?;
    if chosen.iter().any(|plant| plant.tall == Tall::ByMiddle) {
        return None;
    }
    let one = chosen.iter().filter(|plant| plant.tall == Tall::ByHighEndOnly).max_by(|a, b| a.height_m.1.total_cmp(&b.height_m.1))?;
    Some(Relaxed {
        wish: "one taller".to_owned(),
        asked: format!("one plant taller than {above_m:.2} m by the middle of its range"),
        given: format!(
            "{} reaches {:.2} m only at the high end of its range (middle {:.2} m)",
            one.name,
            one.height_m.1,
            one.middle_height_m()
        ),
        why: "no choice that meets the other wishes has a taller one".to_owned(),
    })
}
