//! Which species the finds are: the region's weights and what was told in the hand.

use super::{SpeciesThreshold, ThresholdRange, ln_sum, uniform};
use groundlore_lore::provenance::Standing;
use rand_chacha::ChaCha8Rng;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Which species the finds are: a Dirichlet of the region's weights and what was told in the hand.
///
/// The prior weighs as little as one find in all, so that before any was told the draws mostly take *one* species for the
/// yard, now this now that: the verdict then spreads over all their thresholds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SpeciesSplit {
    /// Species, sorted.
    pub species: Vec<String>,
    /// Dirichlet weights, one each.
    pub alpha: Vec<f64>,
    /// Finds told in the hand; 0 means not looked at.
    pub told: u64,
}

impl SpeciesSplit {
    /// Split from the region's weights (any positive scale; equal where none is known) and the tally of finds told.
    /// A species that was told but has no weight joins with its tally alone.
    ///
    /// # Example
    /// ```
    /// # use groundlore_plant_health::density::SpeciesSplit;
    /// let region = [("Japanese beetle".to_string(), 3.0), ("European chafer".to_string(), 1.0)];
    /// let unseen = SpeciesSplit::new(&region, &[].into());
    /// assert_eq!(unseen.told, 0);
    /// let told = SpeciesSplit::new(&region, &[("European chafer".to_string(), 9)].into());
    /// assert!((told.shares()["European chafer"] - 0.925).abs() < 1e-12);
    /// ```
    pub fn new(weights: &[(String, f64)], tally: &BTreeMap<String, u64>) -> Self {
        let usable = |w: f64| w > 0.0 && w.is_finite();
        let total: f64 = weights.iter().map(|(_, w)| *w).filter(|&w| usable(w)).sum();
        let mut alpha: BTreeMap<String, f64> = BTreeMap::new();
        for (species, weight) in weights.iter().filter(|(_, w)| usable(*w)) {
            *alpha.entry(species.clone()).or_insert(0.0) += weight / total;
        }
        for (species, &number) in tally.iter().filter(|(_, n)| **n > 0) {
            *alpha.entry(species.clone()).or_insert(0.0) += number as f64;
        }
        let told = tally.values().sum();
        let (species, alpha) = alpha.into_iter().unzip();
        Self { species, alpha, told }
    }

    /// Split over the species of a list of thresholds, each as likely as the next, where no weights of the region are known: over
    /// those that can be told in the hand, or else those whose threshold was read somewhere, or else all.
    pub fn equal(thresholds: &[SpeciesThreshold], tally: &BTreeMap<String, u64>) -> Self {
        let told = |t: &&SpeciesThreshold| t.told_by.is_some();
        let read = |t: &&SpeciesThreshold| t.standing > Standing::Recalled;
        let named = |rows: Vec<&SpeciesThreshold>| rows.iter().map(|t| (t.species.clone(), 1.0)).collect::<Vec<_>>();
        let lists = [thresholds.iter().filter(told).collect(), thresholds.iter().filter(read).collect(), thresholds.iter().collect()];
        let weights = lists.into_iter().find(|l: &Vec<&SpeciesThreshold>| !l.is_empty()).map(named).unwrap_or_default();
        Self::new(&weights, tally)
    }

    /// The range over which a stop rule must decide: from the lowest low end to the highest high end of the species that make up
    /// 5 % or more. Where species were not told in the hand and thresholds differ, it is wide, and the rule counts longer. None
    /// where no such species has a threshold.
    pub fn stop_range(&self, thresholds: &[SpeciesThreshold]) -> Option<ThresholdRange> {
        let shares = self.shares();
        let weighty = |t: &&SpeciesThreshold| shares.get(&t.species).is_some_and(|s| *s >= 0.05);
        let ranges = thresholds.iter().filter(weighty).map(|t| t.range);
        ranges.reduce(|a, b| ThresholdRange { low_per_m2: a.low_per_m2.min(b.low_per_m2), high_per_m2: a.high_per_m2.max(b.high_per_m2) })
    }

    /// Mean share of each species.
    pub fn shares(&self) -> BTreeMap<String, f64> {
        let total: f64 = self.alpha.iter().sum();
        self.species.iter().cloned().zip(self.alpha.iter().map(|a| a / total)).collect()
    }

    /// One draw of the shares, in the order of `species`.
    pub(crate) fn draw(&self, rng: &mut ChaCha8Rng) -> Vec<f64> {
        // Drawn in logarithms: with weights far below 1 the gamma variates are too small for plain numbers.
        let logs: Vec<f64> = self.alpha.iter().map(|&a| ln_gamma_variate(a, rng)).collect();
        let norm = ln_sum(&logs);
        logs.iter().map(|l| (l - norm).exp()).collect()
    }
}

/// ln of a gamma variate of this shape and unit scale (Marsaglia & Tsang 2000, ACM Trans. Math. Softw. 26:363, from memory;
/// raised by one and scaled back for shapes under 1).
fn ln_gamma_variate(shape: f64, rng: &mut ChaCha8Rng) -> f64 {
    if shape < 1.0 {
        let power = uniform(rng).ln() / shape;
        return ln_gamma_variate(shape + 1.0, rng) + power;
    }
    let d = shape - 1.0 / 3.0;
    let c = (9.0 * d).sqrt().recip();
    loop {
        let z = standard_normal(rng);
        let v = (1.0 + c * z).powi(3);
        if v > 0.0 && uniform(rng).ln() < 0.5 * z * z + d - d * v + d * v.ln() {
            return (d * v).ln();
        }
    }
}

/// A standard normal variate by Box and Muller.
pub(crate) fn standard_normal(rng: &mut ChaCha8Rng) -> f64 {
    (-2.0 * uniform(rng).ln()).sqrt() * (std::f64::consts::TAU * uniform(rng)).cos()
}
