//! Efficacy over a whole book: what each control does to each target, with the scatter by year, by yard and from trial to trial told apart.
//!
//! # Model
//! Each follow-up with an untreated check gives the natural logarithm of the ratio of survivors, y = ln(treated / check), with a known
//! sampling error s:
//!
//! y = μ + pair + year of the pair + year + yard + scatter + error,
//!
//! where pair is a control on a target and each part is normal about 0 with its own standard deviation. A pair that was followed up once
//! is drawn towards the mean of all, one that was followed up often stands by itself (partial pooling); a yard where everything works
//! badly shows as a yard, not as a bad control.
//!
//! The standard deviations are found by restricted maximum likelihood, alone or with a weak prior on each (empirical Bayes); effects are
//! then conditional means with conditional errors, so that intervals are a little too short where there are few yards or years.
//!
//! # Source
//! Patterson & Thompson (1971), *Biometrika* 58:545 (restricted likelihood); Chung et al. (2013), *Psychometrika* 78:685 (weak priors that
//! keep a standard deviation off 0) (memory). Values: `bench/goldens/hierarchy.py` (statsmodels, numpy, scipy).

mod likelihood;
mod search;

use self::likelihood::{Factor, Mixed};
use super::RatioEstimate;
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal};
use std::collections::BTreeMap;

/// One follow-up with an untreated check.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Key of the control.
    pub control: String,
    /// Key of the trouble.
    pub target: String,
    /// Year.
    pub year: i16,
    /// Yard.
    pub yard: String,
    /// ln(survivors treated / survivors in the check).
    pub ln_ratio: f64,
    /// Its standard error.
    pub se: f64,
}

impl Comparison {
    /// A comparison from an estimate of control.
    pub fn new(control: &str, target: &str, year: i16, yard: &str, estimate: &RatioEstimate) -> Self {
        Self {
            control: control.to_owned(),
            target: target.to_owned(),
            year,
            yard: yard.to_owned(),
            ln_ratio: estimate.ln_ratio,
            se: estimate.se_ln_ratio,
        }
    }
}

/// How the standard deviations are found.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Spread {
    /// Restricted likelihood alone.
    Restricted,
    /// Restricted likelihood with a Rayleigh prior on each standard deviation, densest at this value.
    Weak(f64),
}

/// Where the weak prior of a standard deviation is densest, on the log ratio: between 0.1 and 1.0 in most trials (memory).
pub const USUAL_SD: f64 = 0.4;

/// Why there is no fit.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum HierarchyError {
    /// Fewer than two comparisons.
    #[error("{0} follow-ups with an untreated check are too few to pool: at least 2 are needed")]
    TooFew(usize),
    /// A value that cannot be.
    #[error("follow-up {place} ({yard}, {year}): {name} is {value}; {remedy}")]
    Impossible {
        /// Place in the list, from 1.
        place: usize,
        /// Yard.
        yard: String,
        /// Year.
        year: i16,
        /// Which value.
        name: &'static str,
        /// Value seen.
        value: f64,
        /// What would be right.
        remedy: &'static str,
    },
}

/// Standard deviations of the parts, on the log ratio.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Scatter {
    /// Between pairs of control and target.
    pub pair: f64,
    /// Between the years of a pair.
    pub pair_year: f64,
    /// Between years, for all pairs alike.
    pub year: f64,
    /// Between yards.
    pub yard: f64,
    /// Between trials, beyond their sampling error.
    pub trial: f64,
}

impl Scatter {
    /// Standard deviation of one trial on a yard and in a year that were not seen, about the pair's mean.
    pub fn of_a_new_trial(&self) -> f64 {
        (self.pair_year.powi(2) + self.year.powi(2) + self.yard.powi(2) + self.trial.powi(2)).sqrt()
    }
}

/// A level with its error, on the log ratio.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Level {
    /// Middle.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// Follow-ups of its own behind it.
    pub own: usize,
}

impl Level {
    /// Share controlled: middle and the ends of an interval.
    pub fn control(&self, level: f64) -> (f64, f64, f64) {
        let reach = Normal::standard().inverse_cdf(0.5 + level / 2.0) * self.sd;
        (1.0 - self.mean.exp(), 1.0 - (self.mean + reach).exp(), 1.0 - (self.mean - reach).exp())
    }
}

/// What was learned of a book's follow-ups.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hierarchy {
    /// Mean over all pairs.
    pub all: Level,
    /// Standard deviations.
    pub scatter: Scatter,
    /// Level of each pair of control and target over its years.
    #[serde(skip)]
    pub pairs: BTreeMap<(String, String), Level>,
    /// Level of each pair in each of its years, for a usual yard.
    #[serde(skip)]
    pub pair_years: BTreeMap<(String, String), BTreeMap<i16, Level>>,
    /// What a yard adds to the log ratio: above 0, all works less there.
    #[serde(skip)]
    pub yards: BTreeMap<String, Level>,
    /// Restricted log likelihood at the fit.
    pub ln_likelihood: f64,
    /// Follow-ups used.
    pub comparisons: usize,
    /// How the standard deviations were found.
    pub spread: Spread,
}

impl Hierarchy {
    /// Level of a pair in a year: its own where it was followed up then, else the pair's mean with the scatter of a year; the mean of all
    /// with the scatter of pairs where the pair was never followed up.
    pub fn level(&self, control: &str, target: &str, year: i16) -> Level {
        let key = (control.to_owned(), target.to_owned());
        if let Some(own) = self.pair_years.get(&key).and_then(|years| years.get(&year)) {
            return *own;
        }
        let of_a_year = self.scatter.pair_year.hypot(self.scatter.year);
        match self.pairs.get(&key) {
            Some(pair) => Level { sd: pair.sd.hypot(of_a_year), ..*pair },
            None => Level { mean: self.all.mean, sd: self.all.sd.hypot(self.scatter.pair).hypot(of_a_year), own: 0 },
        }
    }
}

/// Numbers the values of a list in their order.
fn numbered<K: Ord + Clone>(values: impl Iterator<Item = K>) -> (BTreeMap<K, usize>, Vec<usize>) {
    let all: Vec<K> = values.collect();
    let mut places: BTreeMap<K, usize> = all.iter().map(|k| (k.clone(), 0)).collect();
    places.values_mut().enumerate().for_each(|(i, place)| *place = i);
    let of = all.iter().filter_map(|k| places.get(k).copied()).collect();
    (places, of)
}

/// Places of the factors.
const PAIR: usize = 0;
const PAIR_YEAR: usize = 1;
const YEAR: usize = 2;
const YARD: usize = 3;

/// Fits the model to a book's follow-ups. Standard errors under 0.01 count as 0.01: no trial is exact.
///
/// # Errors
/// Fewer than two comparisons; a log ratio or error that is no number, or an error of 0 or less.
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::hierarchy::*;
/// let seen = |yard: &str, year, ln_ratio| Comparison {
///     control: "a".into(), target: "grubs".into(), year, yard: yard.into(), ln_ratio, se: 0.3,
/// };
/// let book = [seen("North", 2013, -2.0), seen("South", 2013, -1.4), seen("North", 2014, -1.8), seen("South", 2015, -1.6)];
/// let found = fit(&book, Spread::Weak(USUAL_SD))?;
/// let (middle, low, high) = found.level("a", "grubs", 2014).control(0.9);
/// assert!(low < middle && middle < high && middle > 0.75);
/// # Ok::<(), HierarchyError>(())
/// ```
pub fn fit(comparisons: &[Comparison], spread: Spread) -> Result<Hierarchy, HierarchyError> {
    checked(comparisons)?;
    let pair = |c: &Comparison| (c.control.clone(), c.target.clone());
    let (pairs, of_pair) = numbered(comparisons.iter().map(pair));
    let (pair_years, of_pair_year) = numbered(comparisons.iter().map(|c| (pair(c), c.year)));
    let (years, of_year) = numbered(comparisons.iter().map(|c| c.year));
    let (yards, of_yard) = numbered(comparisons.iter().map(|c| c.yard.as_str()));
    let factor = |levels: usize, of: Vec<usize>| Factor { levels, of };
    let mixed = Mixed::new(
        comparisons.iter().map(|c| c.ln_ratio).collect(),
        comparisons.iter().map(|c| c.se.max(0.01).powi(2)).collect(),
        vec![
            factor(pairs.len(), of_pair.clone()),
            factor(pair_years.len(), of_pair_year.clone()),
            factor(years.len(), of_year),
            factor(yards.len(), of_yard.clone()),
        ],
    );
    let sds = search::best_sds(&mixed, spread);
    let solved = mixed.solved(&sds);
    let own = |of: &[usize], place: usize| of.iter().filter(|p| **p == place).count();
    let level = |parts: &[(usize, usize)], own: usize| {
        let (mean, sd) = solved.sum_of(true, parts);
        Level { mean, sd, own }
    };
    let mut by_year: BTreeMap<(String, String), BTreeMap<i16, Level>> = BTreeMap::new();
    for ((key, year), place) in &pair_years {
        let parts = [(PAIR, pairs[key]), (PAIR_YEAR, *place), (YEAR, years[year])];
        by_year.entry(key.clone()).or_default().insert(*year, level(&parts, own(&of_pair_year, *place)));
    }
    let effect = |place: usize| {
        let (mean, sd) = solved.sum_of(false, &[(YARD, place)]);
        Level { mean, sd, own: own(&of_yard, place) }
    };
    Ok(Hierarchy {
        all: level(&[], comparisons.len()),
        scatter: Scatter { pair: sds[PAIR], pair_year: sds[PAIR_YEAR], year: sds[YEAR], yard: sds[YARD], trial: sds[4] },
        pairs: pairs.iter().map(|(key, place)| (key.clone(), level(&[(PAIR, *place)], own(&of_pair, *place)))).collect(),
        pair_years: by_year,
        yards: yards.iter().map(|(yard, place)| ((*yard).to_owned(), effect(*place))).collect(),
        ln_likelihood: mixed.ln_restricted_likelihood(&sds),
        comparisons: comparisons.len(),
        spread,
    })
}

fn checked(comparisons: &[Comparison]) -> Result<(), HierarchyError> {
    if comparisons.len() < 2 {
        return Err(HierarchyError::TooFew(comparisons.len()));
    }
    for (at, c) in comparisons.iter().enumerate() {
        let wrong =
            |name, value, remedy| HierarchyError::Impossible { place: at + 1, yard: c.yard.clone(), year: c.year, name, value, remedy };
        if !c.ln_ratio.is_finite() {
            return Err(wrong("the log ratio", c.ln_ratio, "it is a number, e.g. -1.6 for 80 % control"));
        }
        if !(c.se.is_finite() && c.se > 0.0) {
            return Err(wrong("its standard error", c.se, "it is above 0, e.g. 0.3"));
        }
    }
    Ok(())
}
