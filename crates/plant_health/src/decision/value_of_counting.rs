//! What a further count, or a look at the species, is worth before it is taken.

use super::Case;
use super::injury::{Curve, World};
use super::money::{Money, gain_curve, view};
use crate::density::{SpeciesSplit, StratumDensity};
use serde::{Deserialize, Serialize};
use statrs::function::gamma::ln_gamma;

/// Joint draws where one species is taken by itself.
const FEW_DRAWS: usize = 100;
/// Numbers of further samples that are weighed.
const MORE: [u32; 7] = [1, 2, 4, 6, 10, 16, 24];

/// What a number of further samples in a stratum is worth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CountWorth {
    /// Where.
    pub stratum: String,
    /// How many samples.
    pub samples: u32,
    /// What they save on average by changing the answer, before their price.
    pub saves: f64,
    /// Their price, the visit with it.
    pub price: f64,
}

/// A further count that may pay.
pub(super) struct FurtherCount {
    pub(super) stratum: String,
    pub(super) samples: u32,
    /// What it saves on average, less what it costs.
    pub(super) net: f64,
    /// Its price, the visit with it.
    pub(super) price: f64,
}

/// What knowing every stratum's density for certain would save on average (an upper bound on any count).
pub(super) fn perfect_knowledge(money: &Money, curves: &[(&StratumDensity, Curve)], gains: &[f64], now: f64) -> f64 {
    let best = curves.iter().enumerate().map(|(i, (stratum, curve))| {
        let others: f64 = gains.iter().enumerate().filter(|(j, g)| *j != i && **g > 0.0).map(|(_, g)| g).sum();
        let gain = gain_curve(money, stratum, curve);
        let known: f64 = gain.iter().zip(&curve.weight).map(|(g, w)| w * (g.max(0.0) + others - money.cost_visit()).max(0.0)).sum();
        known - now
    });
    best.fold(0.0, f64::max)
}

/// What it would save on average to know which species it is: the better answer for each species by its weight, less the better answer
/// without knowing. None where finds were told, or there is but one species.
pub(super) fn species_value(case: &Case, money: &Money, now: f64) -> Option<f64> {
    let shares = case.split.shares();
    if case.split.told > 0 || shares.len() < 2 {
        return None;
    }
    let told = shares.iter().map(|(species, share)| {
        let alone = SpeciesSplit { species: vec![species.clone()], alpha: vec![1.0], told: 1 };
        let world = World::draw_some(&Case { split: &alone, ..case.clone() }, FEW_DRAWS);
        let gains = case.density.looked_at().filter_map(|s| {
            let curve = Curve::new(&world, s.grid.as_ref()?);
            view(s, &curve, Some(money)).gain
        });
        let gain: f64 = gains.filter(|g| *g > 0.0).sum::<f64>() - money.cost_visit();
        share * gain.max(0.0)
    });
    Some((told.sum::<f64>() - now).max(0.0))
}

/// Every number of further samples in every stratum, with what it is worth; empty where counting has no price.
pub(super) fn worth_of_counts(case: &Case, money: &Money, curves: &[(&StratumDensity, Curve)], gains: &[f64], now: f64) -> Vec<CountWorth> {
    let Some(each) = money.count_each else { return Vec::new() };
    let mut all = Vec::new();
    for (i, (stratum, curve)) in curves.iter().enumerate() {
        let others: f64 = gains.iter().enumerate().filter(|(j, g)| *j != i && **g > 0.0).map(|(_, g)| g).sum();
        let gain = gain_curve(money, stratum, curve);
        for samples in MORE {
            let after = expected_after(case, stratum, curve, &gain, samples, others - money.cost_visit());
            let price = f64::from(samples) * each + money.count_visit;
            all.push(CountWorth { stratum: stratum.name.clone(), samples, saves: after - now, price });
        }
    }
    all
}

/// The further count that saves most, its price taken off.
pub(super) fn best_further_count(worth: &[CountWorth]) -> Option<FurtherCount> {
    let net = |w: &&CountWorth| w.saves - w.price;
    let best = worth.iter().reduce(|a, b| if net(&b) > net(&a) { b } else { a })?;
    Some(FurtherCount { stratum: best.stratum.clone(), samples: best.samples, net: best.saves - best.price, price: best.price })
}

/// Expected gain of the better answer after `samples` more samples in a stratum: over every total T they may bring, the
/// posterior given T, and the better answer then.
pub(super) fn expected_after(case: &Case, stratum: &StratumDensity, curve: &Curve, gain: &[f64], samples: u32, rest: f64) -> f64 {
    let totals = Totals::new(case, stratum, samples);
    let (weight_of, gain_of) = totals.weighed(curve, gain);
    let answer = |(w, g): (&f64, &f64)| if *w > 0.0 { w * ((g / w).max(0.0) + rest).max(0.0) } else { 0.0 };
    weight_of.iter().zip(&gain_of).map(answer).sum()
}

/// Chance that so many further samples in a stratum end in treating it, at each of some true densities per m².
pub(super) fn chance_of_treating(
    case: &Case,
    stratum: &StratumDensity,
    curve: &Curve,
    gain: &[f64],
    samples: u32,
    rest: f64,
    at: &[f64],
) -> Vec<f64> {
    let totals = Totals::new(case, stratum, samples);
    let (weight_of, gain_of) = totals.weighed(curve, gain);
    let treats: Vec<bool> = weight_of.iter().zip(&gain_of).map(|(w, g)| *g > 0.0 && g / w + rest > 0.0).collect();
    // Totals past all that the posterior holds likely are as the last one: many.
    let past = *treats.last().unwrap_or(&false);
    let chance = |density: &f64| {
        if *density <= 0.0 {
            return f64::from(u8::from(treats.first().copied().unwrap_or(false)));
        }
        let row = totals.row(*density);
        let told: f64 = row.iter().sum::<f64>() * totals.stride;
        let treating: f64 = row.iter().zip(&treats).filter(|(_, t)| **t).map(|(p, _)| p).sum::<f64>() * totals.stride;
        (treating + if past { (1.0 - told).max(0.0) } else { 0.0 }).clamp(0.0, 1.0)
    };
    at.iter().map(chance).collect()
}

/// The totals that some further samples may bring, in columns.
struct Totals {
    totals: Vec<f64>,
    /// Part of ln P(T | density) that does not depend on the density.
    heads: Vec<f64>,
    nk: f64,
    /// Area of all samples together.
    area_m2: f64,
    stride: f64,
}

impl Totals {
    fn new(case: &Case, stratum: &StratumDensity, samples: u32) -> Self {
        const COLUMNS: u64 = 160;
        let n = f64::from(samples);
        let (area, k) = (stratum.sample_area_m2.unwrap_or(1.0), case.density.k);
        let top = stratum.grid.as_ref().map_or(0.0, |g| g.quantile(0.995)) * area * n;
        let most = (top + 6.0 * (top + top * top / (n * k)).sqrt()).ceil() as u64 + 2;
        let stride = most.div_ceil(COLUMNS).max(1);
        let totals: Vec<f64> = (0..=most).step_by(stride as usize).map(|t| t as f64).collect();
        let nk = n * k;
        let heads = totals.iter().map(|&t| ln_gamma(t + nk) - ln_gamma(nk) - ln_gamma(t + 1.0)).collect();
        Self { totals, heads, nk, area_m2: area * n, stride: stride as f64 }
    }

    /// P(T | density) on the columns: ln P = head(T) − nk ln(1 + mean/nk) + T ln(mean/(nk + mean)).
    fn row(&self, density: f64) -> Vec<f64> {
        let mean = density * self.area_m2;
        let (none, each) = (-self.nk * (mean / self.nk).ln_1p(), (mean / (self.nk + mean)).ln());
        self.heads.iter().zip(&self.totals).map(|(head, t)| (head + none + t * each).exp()).collect()
    }

    /// Weight of each column over the posterior, and the gain of treating that lies in it.
    fn weighed(&self, curve: &Curve, gain: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let mut weight_of = vec![0.0; self.totals.len()];
        let mut gain_of = vec![0.0; self.totals.len()];
        for ((density, weight), gain) in curve.density.iter().zip(&curve.weight).zip(gain).filter(|((_, w), _)| **w > 1e-5) {
            // Made to add up to 1 for each density.
            let row = self.row(*density);
            let norm: f64 = row.iter().sum();
            if norm <= 0.0 {
                continue;
            }
            for (t, p) in row.iter().enumerate() {
                weight_of[t] += weight * p / norm;
                gain_of[t] += weight * p / norm * gain;
            }
        }
        (weight_of, gain_of)
    }
}
