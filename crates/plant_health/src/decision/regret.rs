//! What each course costs if the truth is low, middling or high, and how much is regretted then.

use super::injury::{Curve, World};
use super::money::{Money, gain_curve};
use super::timing::{CourseKind, NotReckoned, Sums};
use super::value_of_counting::{FurtherCount, chance_of_treating};
use crate::density::StratumDensity;
use serde::{Deserialize, Serialize};

/// A state of the ground: every stratum at the same share of its posterior.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct State {
    /// In words.
    pub name: String,
    /// Share of the posterior that lies under it, 0–1.
    pub quantile: f64,
    /// Density over the strata looked at, by area, per m².
    pub per_m2: f64,
}

/// A course with its costs, in the firm's money, repair with it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Course {
    /// What kind of course.
    pub kind: CourseKind,
    /// In words.
    pub name: String,
    /// Expected cost over all that is in doubt.
    pub expected: f64,
    /// Cost in each state.
    pub costs: Vec<f64>,
    /// Cost in each state over that of the best course there.
    pub regrets: Vec<f64>,
}

/// Courses against states.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RegretTable {
    /// The states, from few to many.
    pub states: Vec<State>,
    /// The courses.
    pub courses: Vec<Course>,
    /// Courses that stand to choose but cannot be reckoned, and why.
    pub not_reckoned: Vec<NotReckoned>,
}

impl RegretTable {
    /// The course whose largest regret is smallest.
    pub fn least_regret(&self) -> Option<&Course> {
        let worst = |c: &&Course| c.regrets.iter().copied().fold(0.0, f64::max);
        self.courses.iter().min_by(|a, b| worst(a).total_cmp(&worst(b)))
    }
}

const STATES: [(&str, f64); 3] =
    [("few: one in ten that there are fewer", 0.1), ("the middle of what was counted", 0.5), ("many: one in ten that there are more", 0.9)];

/// A count that may be taken before it is decided.
pub(super) struct CountFirst<'a> {
    pub(super) kind: CourseKind,
    pub(super) name: String,
    /// The way to treat that is decided on after it.
    pub(super) then: &'a Sums<'a>,
    pub(super) count: FurtherCount,
}

impl CountFirst<'_> {
    /// Expected cost: the better of leaving and treating after it, and its price.
    pub(super) fn expected(&self) -> f64 {
        self.then.leave - self.then.now() - self.count.net
    }
}

/// What one way costs in one state, each stratum at the same share of its posterior; repair with it.
fn cost_in_state(sums: &Sums, q: f64, treat: bool) -> f64 {
    let density = |s: &StratumDensity| s.grid.as_ref().map_or(0.0, |g| g.quantile(q));
    let here = |i: usize| treat && sums.treats(i);
    let by_stratum = sums.curves.iter().enumerate().map(|(i, (s, _))| {
        let (left, treated) = sums.world.injury_at(density(s));
        let chance = if here(i) { treated.unwrap_or(left) } else { left };
        s.area_m2 * (sums.money.repair_per_m2 * chance + if here(i) { sums.money.cost_per_m2() } else { 0.0 })
    });
    by_stratum.sum::<f64>() + if (0..sums.curves.len()).any(here) { sums.money.cost_visit() } else { 0.0 }
}

/// The table: leaving, every way to treat, and counting first.
pub(super) fn regret_table(chosen: &Sums, others: &[Sums], counts: &[CountFirst], not_reckoned: Vec<NotReckoned>) -> RegretTable {
    let strata: Vec<&StratumDensity> = chosen.curves.iter().map(|(s, _)| *s).collect();
    let area: f64 = strata.iter().map(|s| s.area_m2).sum();
    let density = |s: &StratumDensity, q: f64| s.grid.as_ref().map_or(0.0, |g| g.quantile(q));
    let states: Vec<State> = STATES
        .iter()
        .map(|(name, q)| State {
            name: (*name).to_owned(),
            quantile: *q,
            per_m2: strata.iter().map(|s| s.area_m2 / area * density(s, *q)).sum(),
        })
        .collect();
    let each = |sums: &Sums, treat: bool| STATES.iter().map(|(_, q)| cost_in_state(sums, *q, treat)).collect::<Vec<f64>>();
    let left = each(chosen, false);
    let mut courses = vec![Course {
        kind: CourseKind::Leave,
        name: "leave".to_owned(),
        expected: chosen.leave,
        costs: left.clone(),
        regrets: Vec::new(),
    }];
    for sums in std::iter::once(chosen).chain(others) {
        let ground = if sums.some_pay { "where it pays" } else { "all that was looked at" };
        courses.push(Course {
            kind: sums.act.kind,
            name: format!("{}, {ground}", sums.act.name),
            expected: sums.treat,
            costs: each(sums, true),
            regrets: Vec::new(),
        });
    }
    for first in counts {
        // A count that shows the state leads to the better course there, for its price.
        let costs = each(first.then, true).iter().zip(&left).map(|(a, b)| a.min(*b) + first.count.price).collect();
        courses.push(Course { kind: first.kind, name: first.name.clone(), expected: first.expected(), costs, regrets: Vec::new() });
    }
    let best: Vec<f64> = (0..states.len()).map(|i| courses.iter().map(|c| c.costs[i]).fold(f64::INFINITY, f64::min)).collect();
    for course in &mut courses {
        course.regrets = course.costs.iter().zip(&best).map(|(c, b)| c - b).collect();
    }
    RegretTable { states, courses, not_reckoned }
}

/// Costs at one density over the ground looked at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CostPoint {
    /// Density, per m².
    pub per_m2: f64,
    /// Cost of leaving, over all the ground looked at.
    pub leave: f64,
    /// Cost of treating all of it, at the time that the verdict speaks of.
    pub treat: f64,
    /// Cost of treating all of it now; none where what the control does now is not known.
    pub treat_now: Option<f64>,
    /// Cost of treating all of it at the next stage; none where that stage is here, or none lies ahead.
    pub treat_at_stage: Option<f64>,
    /// Expected cost of counting again and then treating all of it or leaving it; none where counting has no price.
    pub count_again: Option<f64>,
}

/// Costs of the courses along density, from nought to past where they are flat. `counted` is the count after which one decides.
pub(super) fn cost_curve(chosen: &Sums, others: &[Sums], counted: Option<&CountFirst>, highest: f64) -> Vec<CostPoint> {
    const POINTS: u32 = 60;
    let area_m2: f64 = chosen.curves.iter().map(|(s, _)| s.area_m2).sum();
    let densities: Vec<f64> = (0..=POINTS).map(|i| highest * f64::from(i) / f64::from(POINTS)).collect();
    let treat = |sums: &Sums, per_m2: f64| treating_all(&sums.world, &sums.money, area_m2, per_m2);
    let of_kind = |kind: CourseKind| std::iter::once(chosen).chain(others).find(|s| s.act.kind == kind);
    let (now, at_stage) = (of_kind(CourseKind::TreatNow), of_kind(CourseKind::TreatAtStage));
    let treats = counted.and_then(|first| chances(first, &densities).map(|p| (first, p)));
    let point = |(i, per_m2): (usize, &f64)| {
        let (left, _) = chosen.world.injury_at(*per_m2);
        let leave = area_m2 * chosen.money.repair_per_m2 * left;
        CostPoint {
            per_m2: *per_m2,
            leave,
            treat: treat(chosen, *per_m2),
            treat_now: now.map(|s| treat(s, *per_m2)),
            treat_at_stage: at_stage.map(|s| treat(s, *per_m2)),
            count_again: treats.as_ref().map(|(first, p)| first.count.price + p[i] * treat(first.then, *per_m2) + (1.0 - p[i]) * leave),
        }
    };
    densities.iter().enumerate().map(point).collect()
}

fn treating_all(world: &World, money: &Money, area_m2: f64, per_m2: f64) -> f64 {
    let (left, treated) = world.injury_at(per_m2);
    area_m2 * (money.repair_per_m2 * treated.unwrap_or(left) + money.cost_per_m2()) + money.cost_visit()
}

/// Chance that a count ends in treating, at each density, by the stratum where it is taken.
fn chances(first: &CountFirst, densities: &[f64]) -> Option<Vec<f64>> {
    let sums = first.then;
    let place = sums.curves.iter().position(|(s, _)| s.name == first.count.stratum)?;
    let (stratum, curve): &(&StratumDensity, Curve) = &sums.curves[place];
    let others: f64 = sums.gains.iter().enumerate().filter(|(j, g)| *j != place && **g > 0.0).map(|(_, g)| g).sum();
    let gain = gain_curve(&sums.money, stratum, curve);
    Some(chance_of_treating(&sums.case, stratum, curve, &gain, first.count.samples, others - sums.money.cost_visit(), densities))
}
