//! How many there are: the posterior of density by stratum, for the yard by area, and by species.
//!
//! Counts are negative binomial with mean density × sample area. The dispersion k is uncertain within a range and common to
//! the strata. The prior on density is log-logistic with shape 1: before a count, density is as likely under its median as
//! over it, and the tail is long on both sides.

mod species;
mod threshold;

pub use species::SpeciesSplit;
pub(crate) use threshold::Ramp;
pub use threshold::{SpeciesThreshold, ThresholdRange, by_species};

use crate::counts::negative_binomial_ln_pmf;
use groundlore_quantity::QuantityError;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Why a density cannot be reckoned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DensityError {
    /// No stratum was given.
    #[error("no stratum was given: name at least one part of the yard with its area, e.g. `margin`, 120 m2")]
    NoStrata,
    /// Two strata share a name.
    #[error("the stratum `{0}` is given twice: give its counts together")]
    DoubleStratum(String),
    /// An area that is not above 0.
    #[error("{what} of stratum `{stratum}` is {value} m2: an area must be above 0, e.g. 0.0929 m2 for a flap of 1 ft2")]
    Area {
        /// `area` or `sample area`.
        what: &'static str,
        /// Which stratum.
        stratum: String,
        /// Value seen.
        value: f64,
    },
    /// A prior out of range.
    #[error("{name} of the prior is {value}: {remedy}")]
    Prior {
        /// Which figure.
        name: &'static str,
        /// Value seen.
        value: f64,
        /// What would be right.
        remedy: &'static str,
    },
    /// A threshold that is no range.
    #[error("the threshold of {species} runs from {low} to {high} per m2: both must be above 0 and high not below low")]
    Threshold {
        /// Species.
        species: String,
        /// Low end.
        low: f64,
        /// High end.
        high: f64,
    },
    /// A threshold whose unit is not a count per area.
    #[error("the threshold of {species}: {error}")]
    Unit {
        /// Species.
        species: String,
        /// What was wrong.
        error: Box<QuantityError>,
    },
}

/// One sample: what was found, and on what area.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Sample {
    /// Number found; 0 where one looked and found none.
    pub found: u64,
    /// Area of the sample, m². For traps and beats, 1: densities are then per sample.
    pub area_m2: f64,
}

/// The counts of one stratum.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct StratumCounts {
    /// Name of the stratum (`core`, `margin`, `sound`).
    pub name: String,
    /// Area of the stratum, m².
    pub area_m2: f64,
    /// Samples taken there. Empty means that nobody looked: unknown, not nought.
    pub samples: Vec<Sample>,
    /// How many of the finds were told by species (for grubs, by the raster), species to number. Empty: not looked at.
    #[serde(default)]
    pub species: BTreeMap<String, u64>,
}

/// What is taken for granted before a count.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DensityPrior {
    /// Density per m² that is as likely passed as not.
    pub median_per_m2: f64,
    /// Dispersion k of one sample, lower end.
    pub k_low: f64,
    /// Dispersion k of one sample, upper end.
    pub k_high: f64,
}

impl DensityPrior {
    /// k taken where none is published for the unit: 0.3 to 3 (memory; wide on purpose).
    pub const UNKNOWN_K: (f64, f64) = (0.3, 3.0);

    /// Prior centred on the middle of a threshold range, with k as published or the wide range where it is not.
    pub fn about(threshold: &ThresholdRange, k: Option<(f64, f64)>) -> Self {
        let (k_low, k_high) = match k {
            None => Self::UNKNOWN_K,
            // One printed figure is one study's: half as much again either way.
            Some((low, high)) if high < low * 1.05 => (low / 1.5, high * 1.5),
            Some(range) => range,
        };
        Self { median_per_m2: (threshold.low_per_m2 * threshold.high_per_m2).sqrt(), k_low, k_high }
    }
}

impl DensityPrior {
    /// What is supposed of density before a count, on the grid of the posterior.
    pub(crate) fn grid(&self) -> DensityGrid {
        let per_m2 = density_points(self);
        let heights: Vec<f64> = per_m2.iter().map(|d| self.ln_height(*d).exp()).collect();
        let total: f64 = heights.iter().sum();
        DensityGrid { per_m2, weights: heights.into_iter().map(|h| h / total).collect() }
    }

    /// ln of the prior's height at a density, on the scale of ln density.
    fn ln_height(&self, per_m2: f64) -> f64 {
        let x = (per_m2 / self.median_per_m2).ln();
        x - 2.0 * x.exp().ln_1p()
    }
}

/// A density with its interval, per m².
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DensityEstimate {
    /// Posterior mean.
    pub mean_per_m2: f64,
    /// Posterior median.
    pub median_per_m2: f64,
    /// Lower end of the interval.
    pub low_per_m2: f64,
    /// Upper end of the interval.
    pub high_per_m2: f64,
    /// Level of the interval, 0–1 (0.9: a tenth lies outside).
    pub level: f64,
}

/// Step of the grid in ln density.
const STEP: f64 = 0.05;
/// Grid points on either side of the prior's median.
const REACH: i32 = 200;

/// Posterior weights on a grid of densities, equally spaced in ln density.
#[derive(Debug, Clone, PartialEq)]
pub struct DensityGrid {
    /// Densities per m², rising.
    pub per_m2: Vec<f64>,
    /// Weights, adding up to 1.
    pub weights: Vec<f64>,
}

impl DensityGrid {
    /// Density per m² under which a share `q` of the posterior lies.
    pub fn quantile(&self, q: f64) -> f64 {
        let mut below = 0.0;
        for (&density, &weight) in self.per_m2.iter().zip(&self.weights) {
            if weight > 0.0 && below + weight >= q {
                let within = ((q - below) / weight).clamp(0.0, 1.0) - 0.5;
                return density * (within * STEP).exp();
            }
            below += weight;
        }
        self.per_m2.last().copied().unwrap_or(f64::NAN)
    }

    /// Posterior mean of any function of density per m².
    pub fn mean_of(&self, f: impl Fn(f64) -> f64) -> f64 {
        self.per_m2.iter().zip(&self.weights).map(|(&d, &w)| w * f(d)).sum()
    }

    /// Probability that the density exceeds a threshold that is itself uncertain.
    pub fn p_exceeds(&self, threshold: &ThresholdRange) -> f64 {
        self.mean_of(|density| threshold.p_reached(density))
    }

    fn estimate(&self, level: f64) -> DensityEstimate {
        DensityEstimate {
            mean_per_m2: self.mean_of(|d| d),
            median_per_m2: self.quantile(0.5),
            low_per_m2: self.quantile(0.5 - level / 2.0),
            high_per_m2: self.quantile(0.5 + level / 2.0),
            level,
        }
    }
}

/// Density of one stratum.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StratumDensity {
    /// Name.
    pub name: String,
    /// Area, m².
    pub area_m2: f64,
    /// Samples taken.
    pub samples: usize,
    /// Finds in all.
    pub found: u64,
    /// Mean area of a sample, m²; none where nobody looked.
    pub sample_area_m2: Option<f64>,
    /// The estimate; none where nobody looked.
    pub estimate: Option<DensityEstimate>,
    /// The whole posterior; none where nobody looked.
    #[serde(skip)]
    pub grid: Option<DensityGrid>,
}

/// Density of the yard, and what part of it that speaks for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "covers", rename_all = "kebab-case")]
pub enum YardDensity {
    /// Every stratum was looked at.
    Whole {
        /// Weighted by area over all strata.
        estimate: DensityEstimate,
    },
    /// Some strata were not looked at: the yard's density is not known; this is the looked-at part's.
    LookedAtPart {
        /// Weighted by area over the strata looked at.
        estimate: DensityEstimate,
        /// Area looked at, m².
        area_m2: f64,
        /// Strata that nobody looked at.
        not_looked_at: Vec<String>,
    },
    /// Nobody looked anywhere.
    NotLookedAt,
}

impl YardDensity {
    /// The estimate, whatever it covers.
    pub fn estimate(&self) -> Option<&DensityEstimate> {
        match self {
            Self::Whole { estimate } | Self::LookedAtPart { estimate, .. } => Some(estimate),
            Self::NotLookedAt => None,
        }
    }
}

/// Posterior of density.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DensityPosterior {
    /// By stratum, in the order given.
    pub strata: Vec<StratumDensity>,
    /// For the yard.
    pub yard: YardDensity,
    /// Posterior mean of ln k, as k.
    pub k: f64,
    /// The prior used.
    pub prior: DensityPrior,
    /// Species tallies of all strata together.
    pub species: BTreeMap<String, u64>,
}

impl DensityPosterior {
    /// Joint draws of density, one list per stratum looked at (in order), each of `draws` values; seeded Latin hypercube, so
    /// that each stratum's own spread is met almost exactly.
    pub fn draws(&self, draws: usize, seed: u64) -> Vec<Vec<f64>> {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let looked = self.strata.iter().filter_map(|s| s.grid.as_ref());
        looked.map(|grid| spread_draws(grid, draws, &mut rng)).collect()
    }

    /// Strata that somebody looked at.
    pub fn looked_at(&self) -> impl Iterator<Item = &StratumDensity> {
        self.strata.iter().filter(|s| s.grid.is_some())
    }

    /// Strata that nobody looked at.
    pub fn not_looked_at(&self) -> Vec<String> {
        self.strata.iter().filter(|s| s.grid.is_none()).map(|s| s.name.clone()).collect()
    }
}

/// A number in 0–1, open at both ends.
pub(crate) fn uniform(rng: &mut ChaCha8Rng) -> f64 {
    ((rng.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
}

/// The numbers 0 to `n` − 1 in a random order.
pub(crate) fn shuffled(n: usize, rng: &mut ChaCha8Rng) -> Vec<usize> {
    let mut order: Vec<usize> = (0..n).collect();
    for i in (1..n).rev() {
        let j = (uniform(rng) * (i + 1) as f64) as usize;
        order.swap(i, j.min(i));
    }
    order
}

fn spread_draws(grid: &DensityGrid, draws: usize, rng: &mut ChaCha8Rng) -> Vec<f64> {
    let sorted: Vec<f64> = (0..draws).map(|i| grid.quantile((i as f64 + 0.5) / draws as f64)).collect();
    shuffled(draws, rng).into_iter().map(|i| sorted[i]).collect()
}

/// Number of draws behind the yard's interval.
const YARD_DRAWS: usize = 2000;
/// Seed of those draws: fixed, so that the same counts give the same interval.
const YARD_SEED: u64 = 0x6772_6f75_6e64;

/// Posterior of density from counts.
///
/// `level` is that of the intervals (0.9 is usual).
///
/// # Errors
/// [`DensityError`] for no strata, doubled names, areas or priors out of range.
///
/// # Example
/// ```
/// # use groundlore_plant_health::density::*;
/// let flap = 0.092_903_04; // 1 ft2
/// let margin = StratumCounts {
///     name: "margin".into(),
///     area_m2: 100.0,
///     samples: [9, 4, 14, 7, 11, 2].map(|found| Sample { found, area_m2: flap }).to_vec(),
///     ..StratumCounts::default()
/// };
/// let sound = StratumCounts { name: "sound".into(), area_m2: 400.0, ..StratumCounts::default() };
/// let prior = DensityPrior { median_per_m2: 100.0, k_low: 1.2, k_high: 2.0 };
/// let density = posterior(&[margin, sound], &prior, 0.9)?;
/// let seen = density.strata[0].estimate.unwrap();
/// assert!(seen.low_per_m2 * flap < 7.8 && seen.high_per_m2 * flap > 7.8);
/// // Nobody looked in the sound turf: the yard as a whole stays unknown.
/// assert!(matches!(density.yard, YardDensity::LookedAtPart { .. }));
/// # Ok::<(), DensityError>(())
/// ```
pub fn posterior(strata: &[StratumCounts], prior: &DensityPrior, level: f64) -> Result<DensityPosterior, DensityError> {
    check(strata, prior, level)?;
    let ks = dispersions(prior);
    let grid = density_points(prior);
    // For each k: the unnormalised posterior of each stratum and the evidence of all strata together.
    let by_k: Vec<Vec<Vec<f64>>> = ks.iter().map(|&k| strata.iter().map(|s| ln_weights(s, &grid, prior, k)).collect()).collect();
    let evidence: Vec<f64> = by_k.iter().map(|strata| strata.iter().map(|w| ln_sum(w)).sum()).collect();
    let top = evidence.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let k_weights: Vec<f64> = evidence.iter().map(|e| (e - top).exp()).collect();
    let k_total: f64 = k_weights.iter().sum();
    let ln_k: f64 = ks.iter().zip(&k_weights).map(|(k, w)| w * k.ln()).sum::<f64>() / k_total;
    let species = tallies(strata);
    let strata: Vec<StratumDensity> =
        strata.iter().enumerate().map(|(s, counts)| describe(counts, &grid, mix(&by_k, &k_weights, s), level)).collect();
    let mut density = DensityPosterior { strata, yard: YardDensity::NotLookedAt, k: ln_k.exp(), prior: *prior, species };
    density.yard = yard_density(&density, level);
    Ok(density)
}

fn check(strata: &[StratumCounts], prior: &DensityPrior, level: f64) -> Result<(), DensityError> {
    if strata.is_empty() {
        return Err(DensityError::NoStrata);
    }
    let area = |what, stratum: &StratumCounts, value: f64| {
        if value > 0.0 && value.is_finite() { Ok(()) } else { Err(DensityError::Area { what, stratum: stratum.name.clone(), value }) }
    };
    for (i, stratum) in strata.iter().enumerate() {
        if strata[..i].iter().any(|s| s.name == stratum.name) {
            return Err(DensityError::DoubleStratum(stratum.name.clone()));
        }
        area("the area", stratum, stratum.area_m2)?;
        for sample in &stratum.samples {
            area("a sample area", stratum, sample.area_m2)?;
        }
    }
    let wrong = |name, value, remedy| Err(DensityError::Prior { name, value, remedy });
    if !(prior.median_per_m2 > 0.0 && prior.median_per_m2.is_finite()) {
        return wrong("the median", prior.median_per_m2, "give a density above 0 per m2, e.g. 100");
    }
    if !(prior.k_low > 0.0 && prior.k_low.is_finite()) {
        return wrong("the low k", prior.k_low, "k is above 0, e.g. 1.2");
    }
    if !(prior.k_high >= prior.k_low && prior.k_high.is_finite()) {
        return wrong("the high k", prior.k_high, "k is not below the low end, e.g. 2.0");
    }
    if !(level > 0.0 && level < 1.0) {
        return wrong("the level", level, "a level lies between 0 and 1, e.g. 0.9");
    }
    Ok(())
}

fn tallies(strata: &[StratumCounts]) -> BTreeMap<String, u64> {
    let mut species = BTreeMap::new();
    for (name, &number) in strata.iter().flat_map(|s| &s.species) {
        *species.entry(name.clone()).or_insert(0) += number;
    }
    species
}

/// Points of k, equally spaced in ln k.
fn dispersions(prior: &DensityPrior) -> Vec<f64> {
    const POINTS: i32 = 7;
    let span = (prior.k_high / prior.k_low).ln();
    if span < 1e-9 {
        return vec![prior.k_low];
    }
    (0..POINTS).map(|i| prior.k_low * (span * (f64::from(i) + 0.5) / f64::from(POINTS)).exp()).collect()
}

fn density_points(prior: &DensityPrior) -> Vec<f64> {
    (-REACH..=REACH).map(|i| prior.median_per_m2 * (f64::from(i) * STEP).exp()).collect()
}

/// ln of prior × likelihood on the grid, for one stratum at one k.
fn ln_weights(stratum: &StratumCounts, grid: &[f64], prior: &DensityPrior, k: f64) -> Vec<f64> {
    // Counts grouped by area and value: the order in which they were taken does not matter.
    let mut groups: BTreeMap<(u64, u64), f64> = BTreeMap::new();
    for sample in &stratum.samples {
        *groups.entry((sample.area_m2.to_bits(), sample.found)).or_insert(0.0) += 1.0;
    }
    grid.iter()
        .map(|&density| {
            let ln_prior = prior.ln_height(density);
            let ln_likelihood: f64 = groups
                .iter()
                .map(|(&(area, found), times)| times * negative_binomial_ln_pmf(found, density * f64::from_bits(area), k))
                .sum();
            ln_prior + ln_likelihood
        })
        .collect()
}

fn ln_sum(values: &[f64]) -> f64 {
    let top = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    top + values.iter().map(|v| (v - top).exp()).sum::<f64>().ln()
}

/// Posterior weights of stratum `s` with k averaged out.
fn mix(by_k: &[Vec<Vec<f64>>], k_weights: &[f64], s: usize) -> Vec<f64> {
    let mut weights = vec![0.0; by_k.first().and_then(|strata| strata.get(s)).map_or(0, Vec::len)];
    for (strata, &k_weight) in by_k.iter().zip(k_weights) {
        let norm = ln_sum(&strata[s]);
        for (weight, ln) in weights.iter_mut().zip(&strata[s]) {
            *weight += k_weight * (ln - norm).exp();
        }
    }
    let total: f64 = weights.iter().sum();
    weights.iter_mut().for_each(|w| *w /= total);
    weights
}

fn describe(counts: &StratumCounts, grid: &[f64], weights: Vec<f64>, level: f64) -> StratumDensity {
    let samples = counts.samples.len();
    let grid = (samples > 0).then(|| DensityGrid { per_m2: grid.to_vec(), weights });
    StratumDensity {
        name: counts.name.clone(),
        area_m2: counts.area_m2,
        samples,
        found: counts.samples.iter().fold(0, |sum, s| sum.saturating_add(s.found)),
        sample_area_m2: (samples > 0).then(|| counts.samples.iter().map(|s| s.area_m2).sum::<f64>() / samples as f64),
        estimate: grid.as_ref().map(|g| g.estimate(level)),
        grid,
    }
}

fn yard_density(density: &DensityPosterior, level: f64) -> YardDensity {
    let looked: Vec<&StratumDensity> = density.looked_at().collect();
    let area_m2: f64 = looked.iter().map(|s| s.area_m2).sum();
    let estimate = match looked.as_slice() {
        [] => return YardDensity::NotLookedAt,
        [only] => only.estimate,
        _ => {
            let draws = density.draws(YARD_DRAWS, YARD_SEED);
            let mut totals: Vec<f64> =
                (0..YARD_DRAWS).map(|i| looked.iter().zip(&draws).map(|(s, d)| s.area_m2 / area_m2 * d[i]).sum()).collect();
            totals.sort_by(f64::total_cmp);
            let at = |q: f64| totals[((q * YARD_DRAWS as f64) as usize).min(YARD_DRAWS - 1)];
            let mean = looked.iter().filter_map(|s| s.estimate.map(|e| s.area_m2 / area_m2 * e.mean_per_m2)).sum();
            Some(DensityEstimate {
                mean_per_m2: mean,
                median_per_m2: at(0.5),
                low_per_m2: at(0.5 - level / 2.0),
                high_per_m2: at(0.5 + level / 2.0),
                level,
            })
        }
    };
    let not_looked_at = density.not_looked_at();
    match estimate {
        None => YardDensity::NotLookedAt,
        Some(estimate) if not_looked_at.is_empty() => YardDensity::Whole { estimate },
        Some(estimate) => YardDensity::LookedAtPart { estimate, area_m2, not_looked_at },
    }
}
