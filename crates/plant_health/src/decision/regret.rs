//! What each course costs if the truth is low, middling or high, and how much is regretted then.

use super::injury::World;
use super::money::Money;
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

/// What is known when the table is made.
pub(super) struct Known<'a> {
    pub(super) world: &'a World,
    pub(super) money: &'a Money,
    pub(super) strata: Vec<&'a StratumDensity>,
    /// Expected gain by stratum.
    pub(super) gains: &'a [f64],
    pub(super) leave: f64,
    pub(super) treat: f64,
    /// Expected cost of counting more, with its samples and what they cost; none where counting has no price.
    pub(super) count_more: Option<(u32, f64, f64)>,
}

pub(super) fn regret_table(known: &Known) -> RegretTable {
    let Known { world, money, strata, gains, .. } = known;
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
    // Where no stratum pays, treating means all of them.
    let some_pay = gains.iter().any(|g| *g > 0.0);
    let here = |i: usize| !some_pay || gains[i] > 0.0;
    let costs = |q: f64, treat: &dyn Fn(usize) -> bool| -> f64 {
        let by_stratum = strata.iter().enumerate().map(|(i, s)| {
            let (left, treated) = world.injury_at(density(s, q));
            let chance = if treat(i) { treated.unwrap_or(left) } else { left };
            s.area_m2 * (money.repair_per_m2 * chance + if treat(i) { money.cost_per_m2() } else { 0.0 })
        });
        by_stratum.sum::<f64>() + if (0..strata.len()).any(treat) { money.cost_visit() } else { 0.0 }
    };
    let each = |treat: &dyn Fn(usize) -> bool| STATES.iter().map(|(_, q)| costs(*q, treat)).collect::<Vec<f64>>();
    let mut courses = vec![
        Course { name: "leave".to_owned(), expected: known.leave, costs: each(&|_| false), regrets: Vec::new() },
        Course {
            name: if some_pay { "treat where it pays" } else { "treat all that was looked at" }.to_owned(),
            expected: known.treat,
            costs: each(&here),
            regrets: Vec::new(),
        },
    ];
    if let Some((samples, expected, price)) = known.count_more {
        // A count that shows the state leads to the better course there, for its price.
        let better = courses[0].costs.iter().zip(&courses[1].costs).map(|(a, b)| a.min(*b) + price).collect();
        courses.push(Course { name: format!("count {samples} more, then decide"), expected, costs: better, regrets: Vec::new() });
    }
    let best: Vec<f64> = (0..states.len()).map(|i| courses.iter().map(|c| c.costs[i]).fold(f64::INFINITY, f64::min)).collect();
    for course in &mut courses {
        course.regrets = course.costs.iter().zip(&best).map(|(c, b)| c - b).collect();
    }
    RegretTable { states, courses }
}

/// Cost at one density over the ground looked at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CostPoint {
    /// Density, per m².
    pub per_m2: f64,
    /// Cost of leaving, over all the ground looked at.
    pub leave: f64,
    /// Cost of treating all of it.
    pub treat: f64,
}

/// Costs of leaving and of treating along density, from nought to past where both are flat.
pub(super) fn cost_curve(world: &World, money: &Money, area_m2: f64, highest: f64) -> Vec<CostPoint> {
    const POINTS: u32 = 60;
    (0..=POINTS)
        .map(|i| {
            let per_m2 = highest * f64::from(i) / f64::from(POINTS);
            let (left, treated) = world.injury_at(per_m2);
            CostPoint {
                per_m2,
                leave: area_m2 * money.repair_per_m2 * left,
                treat: area_m2 * (money.repair_per_m2 * treated.unwrap_or(left) + money.cost_per_m2()) + money.cost_visit(),
            }
        })
        .collect()
}
