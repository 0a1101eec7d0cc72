//! What would change the verdict: each figure moved alone within its range, and whether leaving or treating is then the cheaper.

use super::injury::{Curve, World};
use super::money::Money;
use super::reasons::per_ft2;
use super::{Case, Seen};
use crate::density::{DensityGrid, Ramp, SpeciesSplit, StratumDensity, ThresholdRange};
use serde::{Deserialize, Serialize};

/// One figure, moved alone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// Which figure.
    pub figure: String,
    /// Whether the cheaper course flips within the range.
    pub flips: bool,
    /// In plain words: where it flips, or that it does not.
    pub words: String,
    /// Saving by treating over leaving, at the low end and at the high end, in the firm's money (below 0: leaving is cheaper).
    pub saving: (f64, f64),
}

/// Draws where one figure is moved.
const DRAWS: usize = 120;
/// Prices have no range of their own: half to double is tried (a rule of this house).
const PRICE_SPAN: f64 = 2.0;
/// Halvings when the flip is sought.
const HALVINGS: usize = 14;

/// The case with all that may be moved at hand.
struct Ground<'a> {
    case: &'a Case<'a>,
    world: World,
    money: Money,
    strata: Vec<(&'a StratumDensity, DensityGrid)>,
}

impl Ground<'_> {
    /// What treating where it pays saves over leaving.
    fn saving(&self, world: &World, money: &Money, at: Option<f64>) -> f64 {
        let gains: Vec<f64> = self
            .strata
            .iter()
            .map(|(stratum, grid)| {
                let curve = match at {
                    None => Curve::new(world, grid),
                    Some(q) => Curve::new(world, &DensityGrid { per_m2: vec![grid.quantile(q)], weights: vec![1.0] }),
                };
                let left = curve.mean(&curve.left);
                let treated = curve.treated.as_ref().map_or(left, |t| curve.mean(t));
                stratum.area_m2 * (money.repair_per_m2 * (left - treated) - money.cost_per_m2())
            })
            .collect();
        let some_pay = gains.iter().any(|g| *g > 0.0);
        gains.iter().filter(|g| !some_pay || **g > 0.0).sum::<f64>() - money.cost_visit()
    }
}

/// A figure that can be moved from `low` to `high`.
struct Knob<'a> {
    figure: String,
    low: f64,
    high: f64,
    /// How a value is told.
    tell: Box<dyn Fn(f64) -> String + 'a>,
    /// Saving by treating at a value.
    saving: Box<dyn Fn(f64) -> f64 + 'a>,
}

impl Knob<'_> {
    fn turn(&self, treating: bool) -> Change {
        let (at_low, at_high) = ((self.saving)(self.low), (self.saving)(self.high));
        let other = if treating { "leaving" } else { "treating" };
        let flips_at = |s: f64| (s > 0.0) != treating;
        let (flips, words) = match (flips_at(at_low), flips_at(at_high)) {
            (false, false) => {
                (false, format!("{}: from {} to {} nothing changes", self.figure, (self.tell)(self.low), (self.tell)(self.high)))
            }
            (true, true) => (
                true,
                format!(
                    "{}: at either end of {} to {} {other} would be cheaper",
                    self.figure,
                    (self.tell)(self.low),
                    (self.tell)(self.high)
                ),
            ),
            (at_the_low_end, _) => {
                let (mut a, mut b) = (self.low, self.high);
                for _ in 0..HALVINGS {
                    let middle = f64::midpoint(a, b);
                    if flips_at((self.saving)(middle)) == at_the_low_end {
                        a = middle;
                    } else {
                        b = middle;
                    }
                }
                let side = if at_the_low_end { "under" } else { "over" };
                (true, format!("{}: {side} {} {other} would be cheaper", self.figure, (self.tell)(f64::midpoint(a, b))))
            }
        };
        Change { figure: self.figure.clone(), flips, words, saving: (at_low, at_high) }
    }
}

/// Every figure in turn; those that flip the verdict first.
pub(super) fn changes(case: &Case, treating: bool) -> Vec<Change> {
    let Some(money) = Money::read(case) else { return Vec::new() };
    let strata: Vec<(&StratumDensity, DensityGrid)> =
        case.density.looked_at().filter_map(|s| s.grid.as_ref().map(|g| (s, coarse(g)))).collect();
    let ground = Ground { case, world: World::draw_some(case, DRAWS), money, strata };
    let mut all: Vec<Change> = knobs(&ground).iter().map(|knob| knob.turn(treating)).collect();
    all.extend(what_ifs(&ground, treating));
    all.extend(side_effects(&ground, treating));
    all.sort_by_key(|c| !c.flips);
    all
}

/// Every fourth point of a grid, with the weights of the points left out.
fn coarse(grid: &DensityGrid) -> DensityGrid {
    let per_m2 = grid.per_m2.chunks(4).map(|c| c[c.len() / 2]).collect();
    let weights = grid.weights.chunks(4).map(|c| c.iter().sum()).collect();
    DensityGrid { per_m2, weights }
}

fn knobs<'a>(ground: &'a Ground<'a>) -> Vec<Knob<'a>> {
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let mut knobs = vec![
        Knob {
            figure: "How many there are (within the interval of the counts)".to_owned(),
            low: 0.05,
            high: 0.95,
            tell: Box::new(move |q| {
                let area: f64 = ground.strata.iter().map(|(s, _)| s.area_m2).sum();
                let mean: f64 = ground.strata.iter().map(|(s, g)| s.area_m2 / area * g.quantile(q)).sum();
                format!("{:.1} per ft2 over the ground looked at", per_ft2(mean))
            }),
            saving: Box::new(move |q| ground.saving(&ground.world, &ground.money, Some(q))),
        },
        Knob {
            figure: "Where within its published range the threshold truly lies".to_owned(),
            low: 0.0,
            high: 1.0,
            tell: Box::new(move |u| {
                let n = ground.world.mixed.len().max(1) as f64;
                let mean = (ground.world.mixed.iter().map(|r| within(r, u).ln()).sum::<f64>() / n).exp();
                format!("{:.1} per ft2", per_ft2(mean))
            }),
            saving: Box::new(move |u| ground.saving(&at_threshold(&ground.world, u), &ground.money, None)),
        },
    ];
    if let Some(belief) = ground.case.efficacy {
        knobs.push(Knob {
            figure: "What the control does".to_owned(),
            low: belief.low,
            high: belief.high,
            tell: Box::new(percent),
            saving: Box::new(move |e| ground.saving(&with_efficacy(&ground.world, e), &ground.money, None)),
        });
    }
    let reach = ground.case.reach;
    if ground.case.timing.is_some() && reach.met > 0.0 {
        knobs.push(Knob {
            figure: "Chance that the stage is met".to_owned(),
            low: reach.met / 2.0,
            high: 1.0,
            tell: Box::new(percent),
            saving: Box::new(move |met| {
                let paid = if reach.paid < 1.0 { met } else { 1.0 };
                let world = World {
                    mixed: ground.world.mixed.clone(),
                    efficacy: ground.world.efficacy.clone(),
                    digging: ground.world.digging,
                    saves: met * (1.0 - reach.done),
                };
                ground.saving(&world, &Money { paid, ..ground.money }, None)
            }),
        });
    }
    let price = |figure: &str, now: f64, set: fn(&mut Money, f64)| Knob {
        figure: figure.to_owned(),
        low: now / PRICE_SPAN,
        high: now * PRICE_SPAN,
        tell: Box::new(|p| format!("{p:.2}")),
        saving: Box::new(move |p| {
            let mut money = ground.money;
            set(&mut money, p);
            ground.saving(&ground.world, &money, None)
        }),
    };
    knobs.push(price("Price of repair per m2 (half to double)", ground.money.repair_per_m2, |m, p| m.repair_per_m2 = p));
    knobs.push(price("Price of treatment per m2 (half to double)", ground.money.treatment_per_m2, |m, p| m.treatment_per_m2 = p));
    if ground.money.treatment_visit > 0.0 {
        knobs.push(price("Price of the visit to treat (half to double)", ground.money.treatment_visit, |m, p| m.treatment_visit = p));
    }
    knobs
}

/// Threshold at a place `u` within a ramp's range.
fn within(ramp: &Ramp, u: f64) -> f64 {
    let range = ramp.range();
    range.low_per_m2 * (range.high_per_m2 / range.low_per_m2).powf(u)
}

fn at_threshold(world: &World, u: f64) -> World {
    // A step: injury from the very threshold on, not spread over its range.
    let step = |r: &Ramp| {
        let at = within(r, u);
        Ramp::new(ThresholdRange { low_per_m2: at, high_per_m2: at * 1.000_001 })
    };
    World { mixed: world.mixed.iter().map(step).collect(), efficacy: world.efficacy.clone(), digging: world.digging, saves: world.saves }
}

fn with_efficacy(world: &World, efficacy: f64) -> World {
    World { mixed: world.mixed.clone(), efficacy: Some(vec![efficacy; world.mixed.len()]), digging: world.digging, saves: world.saves }
}

/// What is not looked at or not told, taken each way.
fn what_ifs(ground: &Ground, treating: bool) -> Vec<Change> {
    let case = ground.case;
    let other = if treating { "leaving" } else { "treating" };
    let told = |figure: String, saving: f64| {
        let flips = (saving > 0.0) != treating;
        let words = if flips { format!("{figure}: then {other} would be cheaper") } else { format!("{figure}: nothing changes") };
        Change { figure, flips, words, saving: (saving, saving) }
    };
    let saving = |case: &Case| ground.saving(&World::draw_some(case, DRAWS), &ground.money, None);
    let mut all = Vec::new();
    let shares = case.split.shares();
    if case.split.told == 0 && shares.len() > 1 {
        for species in shares.iter().filter(|(_, share)| **share >= 0.05).map(|(s, _)| s) {
            let alone = SpeciesSplit { species: vec![species.clone()], alpha: vec![1.0], told: 1 };
            all.push(told(format!("If all were {species}"), saving(&Case { split: &alone, ..case.clone() })));
        }
    }
    let turf = case.turf;
    let looks = [
        (turf.watered, "If the lawn is watered through dry weeks", super::Turf { watered: Seen::Yes, ..turf }),
        (turf.watered, "If the lawn is not watered", super::Turf { watered: Seen::No, ..turf }),
        (turf.vigorous, "If the turf is thin and weak", super::Turf { vigorous: Seen::No, ..turf }),
    ];
    for (now, words, turf) in looks {
        if now == Seen::NotLooked {
            all.push(told(words.to_owned(), saving(&Case { turf, ..case.clone() })));
        }
    }
    if case.digging.seen == Seen::NotLooked && case.digging.starts_at.is_some() {
        let dug = super::Digging { seen: Seen::Yes, ..case.digging.clone() };
        all.push(told("If animals dig for them".to_owned(), saving(&Case { digging: &dug, ..case.clone() })));
    }
    all
}

/// Where side effects have no price: the price from which leaving would be cheaper.
fn side_effects(ground: &Ground, treating: bool) -> Option<Change> {
    let case = ground.case;
    if !treating || case.prices.side_effects_per_m2.is_some() || case.prices.side_effects_visit.is_some() {
        return None;
    }
    let figure = "Side effects of the treatment, which have no price here".to_owned();
    let now = ground.saving(&ground.world, &ground.money, None);
    let priced = |per_m2: f64| ground.saving(&ground.world, &Money { side_effects_per_m2: per_m2, ..ground.money }, None);
    let (mut low, mut high) = (0.0, ground.money.repair_per_m2.max(1e-6));
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if priced(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let words = format!("{figure}: at {high:.2} per m2 or more leaving would be cheaper");
    Some(Change { figure, flips: true, words, saving: (now, priced(high)) })
}
