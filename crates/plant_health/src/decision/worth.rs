//! Counting while it is worth it: the stop rule that weighs the price of the next sample against what it may change.
//!
//! # Model
//! One stratum, one k. After n samples with T finds in all, the posterior of density depends on n and T alone. Stopping is worth the
//! better of leaving (nought) and treating (its expected gain); one more sample costs its price and is worth what the best course
//! after it is worth on average. Worked back from the last sample allowed (dynamic programming), this gives for every n the totals at
//! which to stop. The visit to count is paid already: one is on the spot.

use super::injury::{Curve, World};
use super::money::{Money, gain_curve};
use super::{Case, DecisionError};
use crate::counts::negative_binomial_ln_pmf;
use crate::density::{DensityGrid, StratumDensity};
use serde::{Deserialize, Serialize};
use statrs::function::gamma::ln_gamma;

/// A stop rule by worth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WorthRule {
    /// Stratum.
    pub stratum: String,
    /// Rows: from the fewest samples to the most.
    pub rows: Vec<WorthRow>,
    /// What counting by this rule saves on average over deciding now, price of the samples taken off; 0 where it saves nothing.
    pub saves: f64,
    /// Samples that the rule takes on average.
    pub expected_samples: f64,
    /// Chance that the rule ends in treating.
    pub p_treat: f64,
    /// Price of one sample.
    pub count_each: f64,
    /// Fewest samples before the total is asked.
    pub fewest: u32,
    /// Most samples.
    pub most: u32,
    /// Behaviour at true densities.
    pub curve: Vec<WorthPoint>,
}

/// One row of the rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorthRow {
    /// Samples taken.
    pub samples: u32,
    /// Stop and leave at or under this total; none where no total says so yet.
    pub leave_at_most: Option<u64>,
    /// Stop and treat at or over this total; none where no total within reach says so.
    pub treat_from: Option<u64>,
}

/// The rule at one true density.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct WorthPoint {
    /// True density, per m².
    pub per_m2: f64,
    /// Chance that the rule ends in leaving.
    pub p_leave: f64,
    /// Expected samples.
    pub expected_samples: f64,
}

/// What is to be counted.
#[derive(Debug, Clone, Copy)]
pub struct ToCount<'a> {
    /// Stratum.
    pub name: &'a str,
    /// Its area, m².
    pub area_m2: f64,
    /// Area of one sample, m².
    pub sample_area_m2: f64,
    /// Fewest samples before the total is asked.
    pub fewest: u32,
    /// Most samples.
    pub most: u32,
}

/// Points of density that the rule is worked on.
const DENSITIES: usize = 44;
/// Totals past this are taken as this.
const MOST_TOTAL: usize = 1600;
/// Totals are taken in steps where more than this many would be held.
const COLUMNS: usize = 360;

/// The stop rule by worth for one stratum, before anything is counted there or, where the case's posterior has counts of that name, from
/// what is known. None where prices, the price of a sample or a control are missing.
///
/// # Errors
/// As [`super::decide`].
pub fn stop_by_worth(case: &Case, to_count: &ToCount) -> Result<Option<WorthRule>, DecisionError> {
    super::check(case)?;
    let Some((money, count_each)) = Money::read(case).and_then(|m| m.count_each.map(|c| (m, c))) else { return Ok(None) };
    let known = case.density.strata.iter().find(|s| s.name == to_count.name).and_then(|s| s.grid.clone());
    let grid = thinned(&known.unwrap_or_else(|| case.density.prior.grid()));
    let world = World::draw_some(case, 200);
    let curve = Curve::new(&world, &grid);
    let stratum = StratumDensity {
        name: to_count.name.to_owned(),
        area_m2: to_count.area_m2,
        samples: 0,
        found: 0,
        sample_area_m2: Some(to_count.sample_area_m2),
        estimate: None,
        grid: None,
    };
    let gains: Vec<f64> = gain_curve(&money, &stratum, &curve).into_iter().map(|g| g - money.cost_visit()).collect();
    let table = Table::new(&curve, &gains, case.density.k, to_count, count_each);
    Ok(Some(table.rule(to_count, count_each, &curve)))
}

/// The grid on fewer points, its slight ends cut.
fn thinned(grid: &DensityGrid) -> DensityGrid {
    let kept: Vec<(f64, f64)> = grid.per_m2.iter().copied().zip(grid.weights.iter().copied()).filter(|(_, w)| *w > 1e-5).collect();
    let each = kept.len().div_ceil(DENSITIES).max(1);
    let weight_of = |c: &[(f64, f64)]| c.iter().map(|(_, w)| w).sum::<f64>();
    let mean_of = |c: &[(f64, f64)]| (c.iter().map(|(d, w)| w * d.ln()).sum::<f64>() / weight_of(c)).exp();
    DensityGrid { per_m2: kept.chunks(each).map(mean_of).collect(), weights: kept.chunks(each).map(weight_of).collect() }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Do {
    Leave,
    Treat,
    GoOn,
}

/// Totals are held in columns of `step` finds: column c stands for totals from c × step to (c + 1) × step − 1.
struct Table {
    step: usize,
    columns: usize,
    /// What to do after n samples (from 0) at each column.
    deeds: Vec<Vec<Do>>,
    /// Worth of going on from nothing, and of stopping there.
    worth: (f64, f64),
    /// P(rise by c columns | density), per density.
    rises: Vec<Vec<f64>>,
}

impl Table {
    fn new(curve: &Curve, gains: &[f64], k: f64, to_count: &ToCount, count_each: f64) -> Self {
        let area = to_count.sample_area_m2;
        let most = to_count.most.max(1) as usize;
        // Past four times the total at which treating just pays, one stops in any case.
        let pays = curve.density.iter().zip(gains).find(|(_, g)| **g > 0.0).map_or(f64::NAN, |(d, _)| d * area);
        let reach = if pays.is_finite() { pays * most as f64 * 4.0 + 40.0 } else { 40.0 };
        let totals = (reach.ceil() as usize).min(MOST_TOTAL);
        let step = totals.div_ceil(COLUMNS).max(1);
        let columns = totals.div_ceil(step) + 1;
        let rises: Vec<Vec<f64>> = curve.density.iter().map(|d| rises(d * area, k, step, columns)).collect();
        let middle = |c: usize| (c * step) as f64 + (step as f64 - 1.0) / 2.0;
        // Posterior of density by n and column, as weights.
        let posterior = |n: usize, c: usize| -> Vec<f64> {
            let nk = n as f64 * k;
            let logs: Vec<f64> = curve
                .density
                .iter()
                .map(|d| {
                    let mean = d * area * n as f64;
                    if n == 0 { 0.0 } else { middle(c) * (mean / (nk + mean)).ln() - nk * (mean / nk).ln_1p() }
                })
                .collect();
            let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let raw: Vec<f64> = logs.iter().zip(&curve.weight).map(|(l, w)| w * (l - top).exp()).collect();
            let total: f64 = raw.iter().sum();
            raw.into_iter().map(|r| r / total).collect()
        };
        let mut next: Vec<f64> = Vec::new();
        let mut deeds = vec![Vec::new(); most + 1];
        let mut worth = (0.0, 0.0);
        for n in (0..=most).rev() {
            // What the next sample leads to, by density and column.
            let ahead: Vec<Vec<f64>> = if n == most { Vec::new() } else { rises.iter().map(|rise| after(rise, &next)).collect() };
            let reachable = if n == 0 { 1 } else { columns };
            let mut values = Vec::with_capacity(reachable);
            let mut doing = Vec::with_capacity(reachable);
            for c in 0..reachable {
                let weights = posterior(n, c);
                let gain: f64 = weights.iter().zip(gains).map(|(w, g)| w * g).sum();
                let stop = gain.max(0.0);
                let go_on = (n < most).then(|| weights.iter().zip(&ahead).map(|(w, a)| w * a[c]).sum::<f64>() - count_each);
                let must = n < to_count.fewest.min(to_count.most) as usize;
                let goes = go_on.is_some_and(|g| must || g > stop + 1e-9);
                values.push(if goes { go_on.unwrap_or(stop) } else { stop });
                doing.push(if goes {
                    Do::GoOn
                } else if gain > 0.0 {
                    Do::Treat
                } else {
                    Do::Leave
                });
                if n == 0 {
                    worth = (go_on.unwrap_or(stop), stop);
                }
            }
            next = values;
            deeds[n] = doing;
        }
        Self { step, columns, deeds, worth, rises }
    }

    fn rule(&self, to_count: &ToCount, count_each: f64, curve: &Curve) -> WorthRule {
        let fewest = to_count.fewest.clamp(1, to_count.most.max(1));
        let rows = (fewest..=to_count.most.max(1)).map(|n| self.row(n)).collect();
        let points: Vec<(f64, WorthPoint)> =
            curve.density.iter().zip(&curve.weight).zip(&self.rises).map(|((d, w), rise)| (*w, self.walk(*d, rise))).collect();
        let mean = |f: &dyn Fn(&WorthPoint) -> f64| points.iter().map(|(w, p)| w * f(p)).sum::<f64>();
        WorthRule {
            stratum: to_count.name.to_owned(),
            rows,
            saves: (self.worth.0 - self.worth.1).max(0.0),
            expected_samples: mean(&|p| p.expected_samples),
            p_treat: 1.0 - mean(&|p| p.p_leave),
            count_each,
            fewest,
            most: to_count.most,
            curve: points.iter().map(|(_, p)| *p).collect(),
        }
    }

    fn row(&self, n: u32) -> WorthRow {
        let deeds = &self.deeds[n as usize];
        let leave = deeds.iter().take_while(|d| **d == Do::Leave).count();
        let treat = deeds.iter().rev().take_while(|d| **d == Do::Treat).count();
        WorthRow {
            samples: n,
            leave_at_most: (leave > 0).then(|| (leave * self.step) as u64 - 1),
            treat_from: (treat > 0).then(|| ((deeds.len() - treat) * self.step) as u64),
        }
    }

    /// The rule walked forward at one true density.
    fn walk(&self, per_m2: f64, rise: &[f64]) -> WorthPoint {
        let mut mass = vec![1.0];
        let (mut p_leave, mut expected_samples) = (0.0, 0.0);
        for n in 1..self.deeds.len() {
            expected_samples += mass.iter().sum::<f64>();
            let mut next = vec![0.0; self.columns];
            for (from, p) in mass.iter().enumerate().filter(|(_, p)| **p > 1e-12) {
                for (c, q) in rise.iter().enumerate() {
                    next[(from + c).min(self.columns - 1)] += p * q;
                }
            }
            for (c, p) in next.iter_mut().enumerate() {
                match self.deeds[n][c] {
                    Do::GoOn => continue,
                    Do::Leave => p_leave += *p,
                    Do::Treat => {}
                }
                *p = 0.0;
            }
            mass = next;
        }
        WorthPoint { per_m2, p_leave, expected_samples }
    }
}

/// P(rise by c columns) of one sample at a mean; what lies past the last column is added to it.
fn rises(mean: f64, k: f64, step: usize, columns: usize) -> Vec<f64> {
    let mut rise = vec![0.0; columns];
    let mut told = 0.0;
    for x in 0..columns * step {
        let p = if x <= 256 { negative_binomial_ln_pmf(x as u64, mean, k) } else { ln_pmf_far(x as f64, mean, k) }.exp();
        // A total within a column is taken as lying anywhere in it.
        let (whole, part) = (x / step, (x % step) as f64 / step as f64);
        rise[whole] += p * (1.0 - part);
        rise[(whole + 1).min(columns - 1)] += p * part;
        told += p;
        if told > 1.0 - 1e-8 && x as f64 > mean {
            break;
        }
    }
    rise[columns - 1] += (1.0 - told).max(0.0);
    while rise.len() > 1 && rise.last().is_some_and(|p| *p < 1e-12) {
        rise.pop();
    }
    rise
}

fn ln_pmf_far(x: f64, mean: f64, k: f64) -> f64 {
    ln_gamma(x + k) - ln_gamma(k) - ln_gamma(x + 1.0) - k * (mean / k).ln_1p() + x * (mean / (k + mean)).ln()
}

/// Expected worth after one more sample, from each column.
fn after(rise: &[f64], next: &[f64]) -> Vec<f64> {
    let last = next.len() - 1;
    (0..next.len())
        .map(|c| {
            let inside = rise.len().min(last - c + 1);
            let near: f64 = rise[..inside].iter().zip(&next[c..]).map(|(p, v)| p * v).sum();
            near + rise[inside..].iter().sum::<f64>() * next[last]
        })
        .collect()
}
