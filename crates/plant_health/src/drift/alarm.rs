//! An alarm for a control that slides, with a limit set by the false alarms that are put up with.
//!
//! The level of each year is set against the weighted mean of all years before it: with known errors these differences, in their own
//! standard deviations, are independent standard normal values as long as the control stays as it was. A running sum of them stays under
//! its limit for so many years with a chance that a Markov chain gives, so the limit follows from the false-alarm rate that is wanted, and
//! the chance of an alarm for a true slide (the operating curve) from the limit.
//!
//! # Source
//! Brown, Durbin & Evans (1975), *J. R. Stat. Soc. B* 37:149 (recursive residuals); Hawkins (1987), *The Statistician* 36:423 (running sums
//! that start themselves); Brook & Evans (1972) for the chain (memory). Values: `bench/goldens/drift_alarm.py`, by simulation.

use super::{Side, running_sum};
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal};

/// Slack of the running sum in standard deviations: it answers best to a shift of one (memory, usual choice).
pub const SLACK: f64 = 0.5;
/// Chance of a false alarm that is put up with over the years watched.
pub const FALSE_ALARM: f64 = 0.05;
/// Years over which that chance is reckoned.
pub const YEARS: usize = 10;
/// Standard deviation of a control's true level from year to year on the log ratio while nothing slides (memory; weather and crews differ).
pub const YEAR_SD: f64 = 0.2;

/// States of the chain.
const STATES: usize = 160;

/// Chance of an alarm by the first, second, … value of a one-sided running sum over independent normal values whose mean is `shifts` (one a
/// value, in standard deviations toward the watched side). None where slack or limit cannot be.
pub fn alarm_chance(slack: f64, limit: f64, shifts: &[f64]) -> Option<Vec<f64>> {
    if !(limit > 0.0 && slack >= 0.0 && shifts.iter().all(|s| s.is_finite())) {
        return None;
    }
    let normal = Normal::standard();
    let width = 2.0 * limit / (2.0 * STATES as f64 - 1.0);
    let mut at = vec![0.0; STATES];
    at[0] = 1.0;
    let mut inside = 1.0;
    let chances = shifts.iter().map(|shift| {
        let below = |offset: f64| normal.cdf((offset + 0.5) * width - shift + slack);
        // From state i to state j the chance hangs on j − i alone, but for the floor, which takes all that falls to it.
        let edges: Vec<f64> = (0..2 * STATES).map(|d| below(d as f64 - STATES as f64)).collect();
        let mut next = vec![0.0; STATES];
        for (i, mass) in at.iter().enumerate().filter(|(_, mass)| **mass > 1e-15) {
            next[0] += mass * edges[STATES - i];
            for (j, to) in next.iter_mut().enumerate().skip(1) {
                *to += mass * (edges[STATES + j - i] - edges[STATES + j - i - 1]);
            }
        }
        at.clone_from(&next);
        inside = at.iter().sum::<f64>().min(inside);
        1.0 - inside
    });
    Some(chances.collect())
}

/// The limit at which a running sum with this slack raises a false alarm within `values` values with chance `false_alarm`.
/// None for a chance outside 0–1 or no values.
///
/// ```
/// # use groundlore_plant_health::drift::alarm::{alarm_chance, limit_for};
/// let limit = limit_for(0.5, 10, 0.05).unwrap();
/// let chance = alarm_chance(0.5, limit, &[0.0; 10]).unwrap()[9];
/// assert!((chance - 0.05).abs() < 1e-6);
/// ```
pub fn limit_for(slack: f64, values: usize, false_alarm: f64) -> Option<f64> {
    if !(false_alarm > 0.0 && false_alarm < 1.0) || values == 0 {
        return None;
    }
    let still = vec![0.0; values];
    let chance = |limit: f64| alarm_chance(slack, limit, &still).and_then(|c| c.last().copied());
    let (mut low, mut high) = (1e-3, 20.0);
    if chance(low)? < false_alarm {
        return None;
    }
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if chance(middle)? > false_alarm { low = middle } else { high = middle }
    }
    Some(f64::midpoint(low, high))
}

/// Level of a control in a year.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct YearLevel {
    /// Year.
    pub year: i16,
    /// Mean ln(survivors treated / survivors in the check): it rises as control falls.
    pub ln_ratio: f64,
    /// Its standard error.
    pub se: f64,
}

impl YearLevel {
    /// The level of each year from single comparisons `(year, log ratio, standard error)`: the mean, with the larger of the error that the
    /// comparisons claim and the one that their scatter shows.
    pub fn from_comparisons(comparisons: &[(i16, f64, f64)]) -> Vec<Self> {
        let mut by_year: std::collections::BTreeMap<i16, Vec<(f64, f64)>> = std::collections::BTreeMap::new();
        comparisons.iter().filter(|c| c.1.is_finite() && c.2.is_finite()).for_each(|c| by_year.entry(c.0).or_default().push((c.1, c.2)));
        by_year
            .into_iter()
            .map(|(year, seen)| {
                let n = seen.len() as f64;
                let mean = seen.iter().map(|s| s.0).sum::<f64>() / n;
                let claimed = seen.iter().map(|s| s.1 * s.1).sum::<f64>() / (n * n);
                let shown = seen.iter().map(|s| (s.0 - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0) / n;
                Self { year, ln_ratio: mean, se: claimed.max(shown).sqrt() }
            })
            .collect()
    }
}

/// How a control is watched.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Watch {
    /// Slack, standard deviations.
    pub slack: f64,
    /// Chance of a false alarm over `years`.
    pub false_alarm: f64,
    /// Years over which it is reckoned.
    pub years: usize,
    /// Standard deviation from year to year while nothing slides, log ratio.
    pub year_sd: f64,
}

impl Default for Watch {
    fn default() -> Self {
        Self { slack: SLACK, false_alarm: FALSE_ALARM, years: YEARS, year_sd: YEAR_SD }
    }
}

/// A point of the operating curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct OperatingPoint {
    /// True slide of the log ratio a year.
    pub slide: f64,
    /// Control after the years watched, share, where it began at 90 %.
    pub ends_at: f64,
    /// Chance of an alarm by half of the years.
    pub by_half: f64,
    /// Chance of an alarm by all of them.
    pub by_all: f64,
}

/// What the watch found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Watched {
    /// How it was watched.
    pub watch: Watch,
    /// Limit of the running sum, standard deviations.
    pub limit: f64,
    /// Years, from the second with figures on.
    pub years: Vec<i16>,
    /// Weighted mean of the log ratios of all years before each.
    pub before: Vec<f64>,
    /// How far each year lies above the mean of all before it, in standard deviations.
    pub residuals: Vec<f64>,
    /// The running sum.
    pub path: Vec<f64>,
    /// Year of the alarm.
    pub alarm: Option<i16>,
    /// Chance of an alarm for slides of several sizes, at the errors of these years.
    pub operating_curve: Vec<OperatingPoint>,
}

/// Slides of the operating curve, log ratio a year.
const SLIDES: [f64; 6] = [0.0, 0.05, 0.1, 0.15, 0.2, 0.3];

/// Watches a control over its years. None with fewer than three years of figures: two tell a change, not a slide.
pub fn watch(levels: &[YearLevel], by: Watch) -> Option<Watched> {
    let mut levels: Vec<YearLevel> = levels.iter().copied().filter(|l| l.ln_ratio.is_finite() && l.se.is_finite()).collect();
    levels.sort_by_key(|l| l.year);
    if levels.len() < 3 {
        return None;
    }
    let limit = limit_for(by.slack, by.years, by.false_alarm)?;
    let scales = Scales::of(&levels, by.year_sd);
    let residuals = scales.residuals(&levels.iter().map(|l| l.ln_ratio).collect::<Vec<_>>());
    let found = running_sum(&residuals, 0.0, by.slack, limit, Side::Upper);
    let years: Vec<i16> = levels.iter().skip(1).map(|l| l.year).collect();
    Some(Watched {
        watch: by,
        limit,
        alarm: found.alarm_at.map(|place| years[place]),
        years,
        before: scales.means_before(&levels.iter().map(|l| l.ln_ratio).collect::<Vec<_>>()),
        residuals,
        path: found.path,
        operating_curve: operating_curve(&levels, by, limit)?,
    })
}

/// Chance of an alarm over `by.years` years for slides of several sizes, each year with the median error of the years seen.
fn operating_curve(levels: &[YearLevel], by: Watch, limit: f64) -> Option<Vec<OperatingPoint>> {
    let mut errors: Vec<f64> = levels.iter().map(|l| l.se).collect();
    errors.sort_by(f64::total_cmp);
    let se = errors[errors.len() / 2];
    let usual: Vec<YearLevel> = (0..=by.years).map(|i| YearLevel { year: i as i16, ln_ratio: 0.0, se }).collect();
    let scales = Scales::of(&usual, by.year_sd);
    SLIDES
        .iter()
        .map(|slide| {
            let means: Vec<f64> = (0..=by.years).map(|i| slide * i as f64).collect();
            let chances = alarm_chance(by.slack, limit, &scales.residuals(&means))?;
            let at = |years: usize| chances.get(years.saturating_sub(1)).copied().unwrap_or(0.0);
            let ends_at = 1.0 - (0.1_f64.ln() + slide * by.years as f64).exp().min(1.0);
            Some(OperatingPoint { slide: *slide, ends_at, by_half: at(by.years / 2), by_all: at(by.years) })
        })
        .collect()
}

/// Weights of the running mean, and the standard deviation of each year against it.
struct Scales {
    weights: Vec<f64>,
}

impl Scales {
    fn of(levels: &[YearLevel], year_sd: f64) -> Self {
        Self { weights: levels.iter().map(|l| 1.0 / (l.se * l.se + year_sd * year_sd).max(1e-9)).collect() }
    }

    /// Weighted mean of all values before each, from the second on.
    fn means_before(&self, values: &[f64]) -> Vec<f64> {
        let (mut weight, mut sum) = (0.0, 0.0);
        let mut means = Vec::with_capacity(values.len().saturating_sub(1));
        for (value, w) in values.iter().zip(&self.weights) {
            if weight > 0.0 {
                means.push(sum / weight);
            }
            weight += w;
            sum += w * value;
        }
        means
    }

    /// Each value against the weighted mean of all before it, in standard deviations.
    fn residuals(&self, values: &[f64]) -> Vec<f64> {
        let (mut weight, mut sum) = (0.0, 0.0);
        let mut found = Vec::with_capacity(values.len().saturating_sub(1));
        for (value, w) in values.iter().zip(&self.weights) {
            if weight > 0.0 {
                found.push((value - sum / weight) / (1.0 / w + 1.0 / weight).sqrt());
            }
            weight += w;
            sum += w * value;
        }
        found
    }
}
