//! The chance of injury at a density: threshold, turf, species and digging together.

use super::{Case, Seen, Turf};
use crate::belief::normal_quantile;
use crate::density::{DensityGrid, Ramp, SpeciesThreshold, ThresholdRange, shuffled};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;

/// Joint draws.
pub(super) const DRAWS: usize = 800;

/// Factor by which good or poor turf may move the ends of a threshold range. Common practice (irrigated lawns stand about
/// twice the grubs that dry ones do): it widens the range and never moves both ends.
pub(super) const TURF_FACTOR: f64 = 2.0;

/// The ends of a threshold as this turf may move them.
///
/// A threshold printed for a condition of the ground is already that turf's own, and stays.
pub(super) fn on_this_turf(threshold: &SpeciesThreshold, turf: Turf) -> ThresholdRange {
    let mut range = threshold.range;
    if range.high_per_m2 <= range.low_per_m2 * 1.0001 {
        // A single printed figure is no step: a quarter either way.
        range = ThresholdRange { low_per_m2: range.low_per_m2 / 1.25, high_per_m2: range.high_per_m2 * 1.25 };
    }
    if threshold.says_watered().is_some() {
        return range;
    }
    if turf.watered == Seen::Yes && turf.vigorous != Seen::No {
        range.high_per_m2 *= TURF_FACTOR;
    }
    if turf.watered == Seen::No || turf.vigorous == Seen::No {
        range.low_per_m2 /= TURF_FACTOR;
    }
    range
}

/// The draws that all strata share: one mixed threshold and one efficacy each.
pub(super) struct World {
    pub(super) mixed: Vec<Ramp>,
    pub(super) efficacy: Option<Vec<f64>>,
    pub(super) digging: Option<ThresholdRange>,
    /// Share of what the control can save that it saves at its time.
    pub(super) saves: f64,
}

impl World {
    /// Draws spread over all of them, at most `most`.
    pub(super) fn some(&self, most: usize) -> Vec<WorldDraw> {
        let every = self.mixed.len().div_ceil(most).max(1);
        let at = |i: usize| WorldDraw {
            ramp: self.mixed[i],
            efficacy: self.efficacy.as_ref().map_or(0.0, |e| e[i]),
            digging: self.digging,
            saves: self.saves,
        };
        (0..self.mixed.len()).step_by(every).map(at).collect()
    }

    pub(super) fn draw(case: &Case) -> Self {
        Self::draw_some(case, DRAWS)
    }

    pub(super) fn draw_some(case: &Case, draws: usize) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(case.seed);
        let ranges: Vec<Option<ThresholdRange>> = case
            .split
            .species
            .iter()
            .map(|s| case.thresholds.iter().find(|t| &t.species == s).map(|t| on_this_turf(t, case.turf)))
            .collect();
        let mixed = (0..draws).map(|_| Ramp::new(mixed_threshold(&case.split.draw(&mut rng), &ranges))).collect();
        let efficacy = case.efficacy.map(|belief| {
            let order = shuffled(draws, &mut rng);
            order.iter().map(|&i| belief.at_score(normal_quantile((i as f64 + 0.5) / draws as f64))).collect()
        });
        // Digging counts where it was seen; where nobody looked it is told in the reasons and not priced in.
        let digging = case.digging.starts_at.as_ref().filter(|_| case.digging.seen == Seen::Yes).map(|(range, _)| *range);
        Self { mixed, efficacy, digging, saves: case.reach.saves() }
    }

    /// Chance of injury at a density per m² in draw `i`.
    pub(super) fn injury(&self, i: usize, density: f64) -> f64 {
        let feeding = self.mixed[i].p_reached(density);
        match &self.digging {
            Some(range) => 1.0 - (1.0 - feeding) * (1.0 - range.p_reached(density)),
            None => feeding,
        }
    }

    /// Chance of injury at a density, left alone and treated at its time, over all draws.
    pub(super) fn injury_at(&self, density: f64) -> (f64, Option<f64>) {
        let n = self.mixed.len() as f64;
        let left = (0..self.mixed.len()).map(|i| self.injury(i, density)).sum::<f64>() / n;
        let treated = self
            .efficacy
            .as_ref()
            .map(|efficacy| efficacy.iter().enumerate().map(|(i, e)| self.injury(i, density * (1.0 - e))).sum::<f64>() / n);
        (left, treated.map(|treated| left - self.saves * (left - treated)))
    }
}

/// One draw of what all strata share.
#[derive(Clone, Copy)]
pub(super) struct WorldDraw {
    pub(super) ramp: Ramp,
    /// Share that the control takes away; 0 where none is chosen.
    pub(super) efficacy: f64,
    pub(super) digging: Option<ThresholdRange>,
    /// As of the world.
    pub(super) saves: f64,
}

impl WorldDraw {
    /// What treating at its time takes off the chance of injury.
    pub(super) fn saved(&self, density: f64) -> f64 {
        self.saves * (self.injury(density) - self.injury(density * (1.0 - self.efficacy)))
    }

    /// Chance of injury at a density per m².
    pub(super) fn injury(&self, density: f64) -> f64 {
        let feeding = self.ramp.p_reached(density);
        self.digging.map_or(feeding, |range| 1.0 - (1.0 - feeding) * (1.0 - range.p_reached(density)))
    }
}

/// One threshold for a mix of species: injury adds up by each species' share over its own threshold. Shares without a
/// threshold are left out.
pub(super) fn mixed_threshold(shares: &[f64], ranges: &[Option<ThresholdRange>]) -> ThresholdRange {
    let known: f64 = shares.iter().zip(ranges).filter(|(_, r)| r.is_some()).map(|(s, _)| s).sum();
    let index =
        |end: fn(&ThresholdRange) -> f64| -> f64 { shares.iter().zip(ranges).filter_map(|(s, r)| r.as_ref().map(|r| s / end(r))).sum() };
    let (low, high) = (index(|r| r.low_per_m2), index(|r| r.high_per_m2));
    if known <= 0.0 || low <= 0.0 || high <= 0.0 {
        return ThresholdRange { low_per_m2: f64::INFINITY, high_per_m2: f64::INFINITY };
    }
    ThresholdRange { low_per_m2: known / low, high_per_m2: known / high }
}

/// Chance of injury along the posterior of one stratum.
pub(super) struct Curve {
    pub(super) density: Vec<f64>,
    pub(super) weight: Vec<f64>,
    pub(super) left: Vec<f64>,
    pub(super) treated: Option<Vec<f64>>,
}

impl Curve {
    pub(super) fn new(world: &World, grid: &DensityGrid) -> Self {
        let kept: Vec<(f64, f64)> = grid.per_m2.iter().copied().zip(grid.weights.iter().copied()).filter(|(_, w)| *w > 1e-7).collect();
        let total: f64 = kept.iter().map(|(_, w)| w).sum();
        let density: Vec<f64> = kept.iter().map(|(d, _)| *d).collect();
        let weight = kept.iter().map(|(_, w)| w / total).collect();
        let injuries: Vec<(f64, Option<f64>)> = density.iter().map(|&d| world.injury_at(d)).collect();
        let left = injuries.iter().map(|(l, _)| *l).collect();
        let treated = injuries.iter().map(|(_, t)| *t).collect();
        Self { density, weight, left, treated }
    }

    pub(super) fn mean(&self, values: &[f64]) -> f64 {
        self.weight.iter().zip(values).map(|(w, v)| w * v).sum()
    }
}
