//! The whole plan of a bed: plants in their places, bloom month by month, what to buy, which wishes are met.

mod within;

use crate::calendar::month_name;
use crate::choose::{Choice, ChooseError, Chosen, Relaxed, choose};
use crate::outline::{BedSize, Front, Outline, OutlineError};
use crate::place::{Drift, HeightOrder, PlaceError, Placed, Placement, height_order, place};
use crate::wishes::{Budget, Wishes};
use geo::Polygon;
use groundlore_lore::plant::{Plant, Vigour};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How a wish came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Given in full, by lore's figures.
    Met,
    /// Given in part.
    Relaxed,
    /// Not given.
    NotMet,
    /// What it needs is not known.
    NotChecked,
}

/// A wish and how it came out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Check {
    /// The wish.
    pub wish: String,
    /// How it came out.
    pub outcome: Outcome,
    /// With figures.
    pub told: String,
}

/// A line of the list to buy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ToBuy {
    /// Key in lore.
    pub plant_key: String,
    /// Common name.
    pub name: String,
    /// Botanical name, the one to order by.
    pub botanical: String,
    /// How many.
    pub number: usize,
    /// Pot or size, once chosen.
    pub pot: Option<String>,
    /// Price of one in the firm's currency, when its budget has one.
    pub price_each: Option<f64>,
}

impl ToBuy {
    /// The pot in words: `pot size not chosen` until it is.
    pub fn pot_words(&self) -> &str {
        self.pot.as_deref().unwrap_or("pot size not chosen")
    }
}

/// The plan of a bed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BedPlan {
    /// What was asked.
    pub wishes: Wishes,
    /// Area and depth.
    pub size: BedSize,
    /// From where it is seen.
    pub front: Front,
    /// The seed of the layout.
    pub seed: u64,
    /// Kinds, shortest first, each with its reasons.
    pub kinds: Vec<Chosen>,
    /// Plants, drift by drift.
    pub plants: Vec<Placed>,
    /// Drifts.
    pub drifts: Vec<Drift>,
    /// Number of plants by key.
    pub counts: BTreeMap<String, usize>,
    /// Keys in bloom, January first.
    pub bloom_by_month: [Vec<String>; 12],
    /// Indices into `plants` in the order to draw them in elevation: farthest from the front first.
    pub elevation: Vec<usize>,
    /// How height goes with distance from the front.
    pub height_order: HeightOrder,
    /// What to buy, by botanical name.
    pub to_buy: Vec<ToBuy>,
    /// Every wish and how it came out.
    pub checks: Vec<Check>,
    /// Wishes that gave way.
    pub relaxed: Vec<Relaxed>,
    /// How it was worked out, line by line.
    pub working: Vec<String>,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[allow(missing_docs)]
pub enum BedError {
    #[error(transparent)]
    Outline(#[from] OutlineError),
    #[error(transparent)]
    Choose(#[from] ChooseError),
    #[error(transparent)]
    Place(#[from] PlaceError),
}

/// Plans a bed: chooses kinds from lore, places them in the outline (metres), counts them. Same input and seed, same plan.
///
/// # Errors
/// What [`Outline::new`], [`choose`] and [`place`] refuse.
///
/// # Example
/// ```
/// use geo::polygon;
/// use groundlore_planting::{bed, outline::Front, wishes::Wishes};
/// let lore = groundlore_lore::Lore::built_in()?;
/// let outline = polygon![(x: 0.0, y: 0.0), (x: 8.0, y: 0.0), (x: 8.0, y: 3.0), (x: 0.0, y: 3.0)];
/// let plan = bed::plan(&lore.plants, &Wishes::default(), &outline, &Front::Towards { bearing_deg: 180.0 }, 1)?;
/// let bought: usize = plan.to_buy.iter().map(|line| line.number).sum();
/// assert_eq!(bought, plan.plants.len());
/// assert_eq!(plan.to_buy[0].pot_words(), "pot size not chosen");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn plan(
    plants: &BTreeMap<String, Plant>,
    wishes: &Wishes,
    outline_m: &Polygon<f64>,
    front: &Front,
    seed: u64,
) -> Result<BedPlan, BedError> {
    let outline = Outline::new(outline_m, front)?;
    let size = outline.size();
    let choice = choose(plants, wishes, size)?;
    let mut placement = place(outline_m, front, &choice.chosen, seed)?;
    let thinned = wishes.budget.as_ref().and_then(|budget| within::thin(&mut placement, &choice.chosen, budget));
    let mut plan = told(wishes, size, front, seed, choice, placement);
    plan.working.extend(thinned.iter().map(|relaxed| format!("thinned to the budget: {}", relaxed.given)));
    plan.checks.extend(thinned.iter().map(|one| Check {
        wish: one.wish.clone(),
        outcome: Outcome::Relaxed,
        told: format!("asked: {}; given: {}; {}", one.asked, one.given, one.why),
    }));
    plan.relaxed.extend(thinned);
    Ok(plan)
}

fn told(wishes: &Wishes, size: BedSize, front: &Front, seed: u64, choice: Choice, placement: Placement) -> BedPlan {
    let Choice { chosen, mut relaxed, mut working, .. } = choice;
    let Placement { plants, drifts, no_room_for, working: placed } = placement;
    working.extend(placed);
    relaxed.extend(no_room_for.iter().map(|key| Relaxed {
        wish: "kinds".to_owned(),
        asked: format!("{key} in the bed"),
        given: "left out".to_owned(),
        why: "no place keeps its spacing from the edge and from the others".to_owned(),
    }));
    let kinds: Vec<Chosen> = chosen.into_iter().filter(|kind| !no_room_for.contains(&kind.key)).collect();
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for one in &plants {
        *counts.entry(one.plant_key.clone()).or_default() += 1;
    }
    let order = height_order(&plants);
    let to_buy = to_buy(&kinds, &counts, wishes.budget.as_ref());
    BedPlan {
        checks: checks(wishes, &kinds, &to_buy, &order, &relaxed),
        bloom_by_month: bloom_by_month(&kinds),
        elevation: elevation(&plants),
        height_order: order,
        wishes: wishes.clone(),
        size,
        front: front.clone(),
        seed,
        kinds,
        plants,
        drifts,
        counts,
        to_buy,
        relaxed,
        working,
    }
}

/// Keys in bloom in each month, January first.
pub fn bloom_by_month(kinds: &[Chosen]) -> [Vec<String>; 12] {
    std::array::from_fn(|at| {
        kinds
            .iter()
            .filter(|kind| kind.bloom_months.iter().any(|month| usize::from(*month) == at + 1))
            .map(|kind| kind.key.clone())
            .collect()
    })
}

fn elevation(plants: &[Placed]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..plants.len()).collect();
    order.sort_by(|a, b| plants[*b].from_front_m.total_cmp(&plants[*a].from_front_m).then(a.cmp(b)));
    order
}

fn to_buy(kinds: &[Chosen], counts: &BTreeMap<String, usize>, budget: Option<&Budget>) -> Vec<ToBuy> {
    let mut lines: Vec<ToBuy> = kinds
        .iter()
        .map(|kind| ToBuy {
            plant_key: kind.key.clone(),
            name: kind.name.clone(),
            botanical: kind.botanical.clone(),
            number: counts.get(&kind.key).copied().unwrap_or(0),
            pot: None,
            price_each: budget.and_then(|budget| budget.price(kind.kind)),
        })
        .collect();
    lines.sort_by(|a, b| a.botanical.cmp(&b.botanical));
    lines
}

fn checks(wishes: &Wishes, kinds: &[Chosen], to_buy: &[ToBuy], order: &HeightOrder, relaxed: &[Relaxed]) -> Vec<Check> {
    let mut checks = bloom_checks(wishes, kinds);
    checks.extend(taller_check(wishes, kinds));
    checks.extend(apart_check(wishes, kinds));
    checks.extend(tall_behind_check(order));
    checks.push(Check {
        wish: "nothing invasive".to_owned(),
        outcome: Outcome::NotChecked,
        told: format!(
            "none of the {} kinds is listed in lore for {}; the official list itself was not checked: look there before buying",
            kinds.len(),
            wishes.place.as_deref().unwrap_or("any place")
        ),
    });
    checks.extend(wishes.budget.as_ref().map(|budget| budget_check(budget, to_buy)));
    let others = relaxed.iter().filter(|one| !["bloom", "one taller"].contains(&one.wish.as_str()));
    checks.extend(others.map(|one| Check {
        wish: one.wish.clone(),
        outcome: Outcome::Relaxed,
        told: format!("asked: {}; given: {}; {}", one.asked, one.given, one.why),
    }));
    checks
}

fn bloom_checks(wishes: &Wishes, kinds: &[Chosen]) -> Vec<Check> {
    let mut months = wishes.bloom_months.clone();
    months.sort_unstable();
    months.dedup();
    let check = |month: u8| {
        let there: Vec<&str> = kinds.iter().filter(|kind| kind.bloom_months.contains(&month)).map(|kind| kind.name.as_str()).collect();
        let outcome = match there.len() {
            0 => Outcome::NotMet,
            few if few < wishes.kinds_in_bloom => Outcome::Relaxed,
            _ => Outcome::Met,
        };
        let names = if there.is_empty() { "none".to_owned() } else { there.join(", ") };
        Check {
            wish: format!("bloom in {}", month_name(month)),
            outcome,
            told: format!("{} of {} kinds: {names}", there.len(), wishes.kinds_in_bloom),
        }
    };
    months.into_iter().map(check).collect()
}

fn taller_check(wishes: &Wishes, kinds: &[Chosen]) -> Option<Check> {
    let above_m = wishes.at_least_one_taller_than_m?;
    let tallest = kinds.iter().max_by(|a, b| a.middle_height_m().total_cmp(&b.middle_height_m()))?;
    let high = kinds.iter().max_by(|a, b| a.height_m.1.total_cmp(&b.height_m.1))?;
    let (outcome, told) = match () {
        () if tallest.middle_height_m() > above_m => {
            (Outcome::Met, format!("{}: {:.2} m by the middle of its range", tallest.name, tallest.middle_height_m()))
        }
        () if high.height_m.1 > above_m => {
            (Outcome::Relaxed, format!("{}: {:.2} m only at the high end of its range", high.name, high.height_m.1))
        }
        () => (Outcome::NotMet, format!("the tallest is {} at {:.2} m", tallest.name, tallest.middle_height_m())),
    };
    Some(Check { wish: format!("one plant taller than {above_m:.2} m"), outcome, told })
}

fn apart_check(wishes: &Wishes, kinds: &[Chosen]) -> Option<Check> {
    let named =
        |vigour: Vigour| kinds.iter().filter(|kind| kind.vigour == vigour).map(|kind| kind.name.as_str()).collect::<Vec<_>>().join(", ");
    let (aggressive, dainty) = (named(Vigour::Aggressive), named(Vigour::Dainty));
    let both = !aggressive.is_empty() && !dainty.is_empty();
    wishes.no_aggressive_beside_dainty.then(|| Check {
        wish: "no aggressive spreader beside a dainty plant".to_owned(),
        outcome: if both { Outcome::NotMet } else { Outcome::Met },
        told: format!("aggressive: {}; dainty: {}", or_none(&aggressive), or_none(&dainty)),
    })
}

fn or_none(names: &str) -> &str {
    if names.is_empty() { "none" } else { names }
}

fn tall_behind_check(order: &HeightOrder) -> Option<Check> {
    let correlation = order.rank_correlation?;
    Some(Check {
        wish: "tall behind".to_owned(),
        outcome: if correlation >= 0.7 { Outcome::Met } else { Outcome::Relaxed },
        told: format!("rank correlation of height with distance from the front {correlation:.2} (1 is a bed that rises without a break)"),
    })
}

fn budget_check(budget: &Budget, to_buy: &[ToBuy]) -> Check {
    let wish = "budget".to_owned();
    let unpriced: Vec<&str> = to_buy.iter().filter(|line| line.price_each.is_none()).map(|line| line.name.as_str()).collect();
    let cost: f64 = to_buy.iter().filter_map(|line| line.price_each.map(|price| price * line.number as f64)).sum();
    let sum = format!("{cost:.2} of {:.2}", budget.total);
    match () {
        () if cost > budget.total => Check {
            wish,
            outcome: Outcome::NotMet,
            told: format!(
                "{sum}; over by {:.2} with every drift at its fewest: fewer kinds, smaller pots or a smaller bed",
                cost - budget.total
            ),
        },
        () if !unpriced.is_empty() => Check {
            wish,
            outcome: Outcome::NotChecked,
            told: format!("{sum} without {}, for which no price was given", unpriced.join(", ")),
        },
        () => Check { wish, outcome: Outcome::Met, told: sum },
    }
}
