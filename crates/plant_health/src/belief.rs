//! What a control still does: the belief about its efficacy on a target, year by year.
//!
//! # Model
//! The efficacy of a year lives on the logit scale and wanders from year to year as a random walk (a local level model). Each
//! observation is the level of its year with an error: its own interval plus the scatter from place to place. How fast the
//! level wanders is not fixed but averaged over a grid of step sizes, each weighted by how well it explains what was seen.
//! Recent years therefore weigh more, the more so where the figures have moved.

use crate::efficacy::{RatioEstimate, Shown};
use groundlore_lore::control::{Control, Evidence};
use groundlore_lore::provenance::{Source, Standing};
use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, Normal};

/// Where an observation comes from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "origin", rename_all = "kebab-case")]
pub enum Origin {
    /// A trial or report in lore.
    Lore {
        /// Place of the trial.
        place: String,
        /// Source.
        source: Source,
        /// How firmly it stands.
        standing: Standing,
    },
    /// A follow-up count with an untreated check in this book.
    Own {
        /// Which (yard and date, as the book names it).
        place: String,
    },
}

impl Origin {
    /// True for own measurement and for a publication that was read; false for memory and common practice.
    pub fn is_grounded(&self) -> bool {
        match self {
            Self::Lore { standing, .. } => *standing > Standing::Recalled,
            Self::Own { .. } => true,
        }
    }

    fn words(&self) -> String {
        match self {
            Self::Lore { place, source, .. } => format!("{place} ({source})"),
            Self::Own { place } => format!("{place} (counted here, with a check)"),
        }
    }
}

/// Efficacy seen in one year, on the logit scale.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Observation {
    /// Year.
    pub year: i16,
    /// Logit of the share controlled.
    pub logit: f64,
    /// Its standard error on the logit scale, without the scatter from place to place.
    pub se_logit: f64,
    /// Comparisons behind it; 1 for a single trial or follow-up.
    pub comparisons: u32,
    /// Where it comes from.
    pub origin: Origin,
}

/// Shares are held inside these ends before they go to the logit scale: a trial cannot tell 99 % from 100 %.
const HELD: (f64, f64) = (0.02, 0.98);
/// Scatter of the logit from place to place within a year (memory; between-trial scatter of field trials is wide).
const PLACE_SD: f64 = 0.6;
/// Step sizes of the random walk, logits a year, weighed against each other.
const STEPS: [f64; 6] = [0.05, 0.1, 0.2, 0.35, 0.6, 1.0];
/// Spread of the level before anything was seen: 50 %, and nine in ten between 4 and 96 %.
const START_SD: f64 = 2.0;

fn logit(p: f64) -> f64 {
    let p = p.clamp(HELD.0, HELD.1);
    (p / (1.0 - p)).ln()
}

fn share(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

impl Observation {
    /// Reads a row of lore, with how firmly its source stands. The range is taken as an 80 % interval.
    pub fn from_lore(evidence: &Evidence, standing: Standing) -> Self {
        let (low, high) = (logit(evidence.control.low), logit(evidence.control.high));
        Self {
            year: evidence.year,
            logit: f64::midpoint(low, high),
            se_logit: ((high - low) / (2.0 * 1.2816)).max(0.1),
            comparisons: evidence.comparisons.unwrap_or(1).max(1),
            origin: Origin::Lore { place: evidence.place.clone(), source: evidence.control.source.clone(), standing },
        }
    }

    /// Reads a follow-up with an untreated check. Control below 2 % (or below nought) counts as 2 %.
    pub fn from_control(year: i16, place: &str, control: &RatioEstimate) -> Self {
        let middle = control.share.clamp(HELD.0, HELD.1);
        // d logit / d ln ratio = −1/(share controlled), share = 1 − ratio.
        let se = control.se_ln_ratio / middle;
        Self {
            year,
            logit: logit(control.share),
            se_logit: se.clamp(0.1, 3.0),
            comparisons: 1,
            origin: Origin::Own { place: place.into() },
        }
    }

    /// Several comparisons of one year, as shares controlled, from one source.
    /// None for an empty list.
    pub fn from_trials(year: i16, controls: &[f64], origin: Origin) -> Option<Self> {
        if controls.is_empty() {
            return None;
        }
        let n = controls.len() as f64;
        let logits: Vec<f64> = controls.iter().map(|&c| logit(c)).collect();
        let mean = logits.iter().sum::<f64>() / n;
        let spread = logits.iter().map(|l| (l - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
        let spread = if controls.len() > 1 { spread.sqrt() } else { PLACE_SD };
        // The spread seen already holds the scatter from place to place, which is added again by `error`: taken out here.
        let se = (spread * spread / n - PLACE_SD * PLACE_SD / n).max(0.01).sqrt();
        Some(Self { year, logit: mean, se_logit: se, comparisons: controls.len() as u32, origin })
    }

    /// Standard error with the scatter from place to place.
    fn error(&self) -> f64 {
        (self.se_logit.powi(2) + PLACE_SD * PLACE_SD / f64::from(self.comparisons.max(1))).sqrt()
    }
}

/// What lore has seen of a control on a trouble: the rows of every target that fits the stage (all of them where the stage is not
/// known). `standing` says how firmly a source stands (`|source| lore.standing(source)`).
pub fn lore_observations(
    control: &Control,
    trouble: &str,
    stage: Option<&str>,
    standing: &dyn Fn(&Source) -> Standing,
) -> Vec<Observation> {
    let fits = |stages: &[String]| stages.is_empty() || stage.is_none_or(|stage| stages.iter().any(|s| s == stage));
    let targets = control.targets.iter().filter(|t| t.trouble == trouble && fits(&t.stages));
    targets.flat_map(|t| &t.evidence).map(|e| Observation::from_lore(e, standing(&e.control.source))).collect()
}

/// What a follow-up taught.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "taught", rename_all = "kebab-case")]
pub enum Learned {
    /// There was an untreated check: this joins the belief.
    Observation(Observation),
    /// There was none: the change is reported, the belief stays as it was.
    ChangeOnly {
        /// Share by which the count fell.
        fall: RatioEstimate,
    },
}

/// What a follow-up teaches the belief: an observation where there was a check, nothing otherwise.
pub fn learn(year: i16, place: &str, shown: &Shown) -> Learned {
    match shown {
        Shown::Control { estimate, .. } => Learned::Observation(Observation::from_control(year, place, estimate)),
        Shown::ChangeOnly { fall, .. } => Learned::ChangeOnly { fall: *fall },
    }
}

/// Belief about one year.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct YearBelief {
    /// Year.
    pub year: i16,
    /// Median share controlled.
    pub median: f64,
    /// Lower end of the 90 % interval.
    pub low: f64,
    /// Upper end of the 90 % interval.
    pub high: f64,
}

/// A control that has slid.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Slide {
    /// Median share controlled in `since`.
    pub from: f64,
    /// Median share controlled now.
    pub to: f64,
    /// Year of the first figures.
    pub since: i16,
    /// Probability that it fell by [`WORTH_A_WORD`] or more since then.
    pub probability: f64,
}

/// A fall in control, as a share, that is worth a word.
pub const WORTH_A_WORD: f64 = 0.10;
/// Probability from which a slide is flagged.
pub const FLAGGED_FROM: f64 = 0.95;

/// Belief about a control on a target.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Belief {
    /// Year it speaks for.
    pub year: i16,
    /// Level on the logit scale.
    pub logit: f64,
    /// Its standard deviation.
    pub sd_logit: f64,
    /// Scatter from place to place, to be added when a single yard is meant.
    pub place_sd: f64,
    /// Median share controlled now.
    pub median: f64,
    /// Lower end of the 90 % interval.
    pub low: f64,
    /// Upper end of the 90 % interval.
    pub high: f64,
    /// Year by year, from the first figures to now.
    pub curve: Vec<YearBelief>,
    /// Set where the control has slid.
    pub slid: Option<Slide>,
    /// Observations behind it.
    pub observations: usize,
    /// Of these, follow-ups with a check in this book.
    pub own: usize,
    /// True where at least one observation was measured here or read in a publication.
    pub grounded: bool,
    /// Steps of the random walk, logits a year (average over the grid).
    pub step_sd: f64,
    /// What it rests on, a line each.
    pub rests_on: Vec<String>,
}

impl Belief {
    /// Share controlled on one yard at normal score `z` (0 median; 1.645 the upper end of nine in ten), with the scatter
    /// from place to place in it.
    pub fn at_score(&self, z: f64) -> f64 {
        share(self.logit + z * self.sd_logit.hypot(self.place_sd))
    }

    /// Expected share controlled on one yard, with the scatter from place to place in it.
    pub fn expected(&self) -> f64 {
        let scores = (0..101).map(|i| normal_quantile((f64::from(i) + 0.5) / 101.0));
        scores.map(|z| self.at_score(z)).sum::<f64>() / 101.0
    }
}

pub(crate) fn normal_quantile(q: f64) -> f64 {
    Normal::standard().inverse_cdf(q)
}

/// Belief for `year` from all that was seen up to then. Follow-ups of later years are left out; what lore knows from later trials is
/// known all the same, and is taken as of `year`.
///
/// With no observation the belief is wide open (50 %, nine in ten between 4 and 96 %), is not grounded, and says so.
///
/// # Example
/// ```
/// # use groundlore_plant_health::belief::*;
/// # use groundlore_lore::provenance::{Source, Standing};
/// let trials = |year, controls: &[f64]| {
///     let origin =
///         Origin::Lore { place: "invented".into(), source: Source(vec!["some-key".into()]), standing: Standing::Read };
///     Observation::from_trials(year, controls, origin).unwrap()
/// };
/// let seen = [trials(2010, &[0.9, 0.93, 0.88]), trials(2014, &[0.6, 0.5, 0.7]), trials(2018, &[0.2, 0.3, 0.25])];
/// let now = belief(&seen, 2019);
/// assert!(now.median < 0.45 && now.slid.is_some());
/// ```
pub fn belief(observations: &[Observation], year: i16) -> Belief {
    let known: Vec<Observation> = observations
        .iter()
        .filter(|o| o.logit.is_finite() && (o.year <= year || matches!(o.origin, Origin::Lore { .. })))
        .map(|o| Observation { year: o.year.min(year), ..o.clone() })
        .collect();
    let mut used: Vec<&Observation> = known.iter().collect();
    used.sort_by(|a, b| (a.year, a.logit).partial_cmp(&(b.year, b.logit)).unwrap_or(std::cmp::Ordering::Equal));
    let first = used.first().map_or(year, |o| o.year);
    // A curve of at most 120 years: older figures than that say nothing about now.
    let first = first.max(year.saturating_sub(120));
    used.retain(|o| o.year >= first);
    let years: Vec<i16> = (first..=year).collect();
    let walks: Vec<Walk> = STEPS.iter().map(|&step| Walk::fit(&used, &years, step)).collect();
    let top = walks.iter().map(|w| w.ln_evidence).fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = walks.iter().map(|w| (w.ln_evidence - top).exp()).collect();
    let total: f64 = weights.iter().sum();
    let weights: Vec<f64> = weights.iter().map(|w| w / total).collect();
    let curve: Vec<YearBelief> = (0..years.len()).map(|i| year_belief(years[i], i, &walks, &weights)).collect();
    let (logit, sd_logit) = moments(years.len() - 1, &walks, &weights);
    let slid = slide(&used, &curve, &walks, &weights);
    Belief {
        year,
        logit,
        sd_logit,
        place_sd: PLACE_SD,
        median: share(logit),
        low: share(logit - 1.6449 * sd_logit),
        high: share(logit + 1.6449 * sd_logit),
        curve,
        slid,
        observations: used.len(),
        own: used.iter().filter(|o| matches!(o.origin, Origin::Own { .. })).count(),
        grounded: used.iter().any(|o| o.origin.is_grounded()),
        step_sd: STEPS.iter().zip(&weights).map(|(s, w)| s * w).sum(),
        rests_on: rests_on(&used),
    }
}

fn rests_on(used: &[&Observation]) -> Vec<String> {
    if used.is_empty() {
        return vec!["Nothing was seen of this control on this target: any figure would be a guess.".into()];
    }
    let line = |o: &&Observation| {
        format!("{}: {:.0} % control, {} comparison(s), {}", o.year, 100.0 * share(o.logit), o.comparisons, o.origin.words())
    };
    used.iter().map(line).collect()
}

/// A random walk with one step size, given the observations: mean and covariance of the level in every year.
struct Walk {
    mean: Vec<f64>,
    /// Variance of each year's level.
    variance: Vec<f64>,
    /// Covariance of the first year's level with each year's.
    with_first: Vec<f64>,
    ln_evidence: f64,
}

impl Walk {
    /// Conditions the Gaussian prior START_SD² + step² × min(years since the first) on the observations.
    fn fit(observations: &[&Observation], years: &[i16], step: f64) -> Self {
        let first = years.first().copied().unwrap_or(0);
        let since = |year: i16| f64::from(year) - f64::from(first);
        let prior = |a: i16, b: i16| START_SD * START_SD + step * step * since(a).min(since(b));
        let n = observations.len();
        let mut covariance = vec![vec![0.0; n]; n];
        for (i, a) in observations.iter().enumerate() {
            for (j, b) in observations.iter().enumerate() {
                covariance[i][j] = prior(a.year, b.year) + if i == j { a.error().powi(2) } else { 0.0 };
            }
        }
        let lower = cholesky(covariance);
        let seen: Vec<f64> = observations.iter().map(|o| o.logit).collect();
        let white = forward(&lower, &seen);
        let ln_evidence = -0.5 * white.iter().map(|w| w * w).sum::<f64>() - lower.iter().enumerate().map(|(i, r)| r[i].ln()).sum::<f64>();
        let links: Vec<Vec<f64>> =
            years.iter().map(|&year| forward(&lower, &observations.iter().map(|o| prior(year, o.year)).collect::<Vec<f64>>())).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        Self {
            mean: links.iter().map(|l| dot(l, &white)).collect(),
            variance: years.iter().zip(&links).map(|(&y, l)| (prior(y, y) - dot(l, l)).max(1e-12)).collect(),
            with_first: years.iter().zip(&links).map(|(&y, l)| prior(first, y) - dot(&links[0], l)).collect(),
            ln_evidence,
        }
    }
}

/// Lower triangle L with L·Lᵀ = `matrix` (positive definite by construction: a covariance with noise on its diagonal).
fn cholesky(mut matrix: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    for i in 0..matrix.len() {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|k| matrix[i][k] * matrix[j][k]).sum();
            matrix[i][j] = if i == j { (matrix[i][i] - sum).max(1e-12).sqrt() } else { (matrix[i][j] - sum) / matrix[j][j] };
        }
    }
    matrix
}

/// Solves L·x = b for a lower triangle L.
fn forward(lower: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let mut x: Vec<f64> = Vec::with_capacity(b.len());
    for (i, row) in lower.iter().enumerate() {
        let sum: f64 = row.iter().zip(&x).map(|(l, v)| l * v).sum();
        x.push((b[i] - sum) / row[i]);
    }
    x
}

/// Mean and standard deviation of the level of year `i`, over all step sizes.
fn moments(i: usize, walks: &[Walk], weights: &[f64]) -> (f64, f64) {
    let mean: f64 = walks.iter().zip(weights).map(|(walk, w)| w * walk.mean[i]).sum();
    let second: f64 = walks.iter().zip(weights).map(|(walk, w)| w * (walk.variance[i] + walk.mean[i].powi(2))).sum();
    (mean, (second - mean * mean).max(1e-12).sqrt())
}

fn year_belief(year: i16, i: usize, walks: &[Walk], weights: &[f64]) -> YearBelief {
    let (mean, sd) = moments(i, walks, weights);
    YearBelief { year, median: share(mean), low: share(mean - 1.6449 * sd), high: share(mean + 1.6449 * sd) }
}

/// Flags a fall from the first year's level to the last year *observed* (what the walk adds after that is only doubt).
fn slide(used: &[&Observation], curve: &[YearBelief], walks: &[Walk], weights: &[f64]) -> Option<Slide> {
    let (first, last) = (used.first()?, used.last()?);
    let i = usize::try_from(i32::from(last.year) - i32::from(first.year)).ok()?;
    if i == 0 {
        return None;
    }
    let probability: f64 = walks.iter().zip(weights).map(|(walk, w)| w * p_fell(walk, i)).sum();
    let (from, to) = (curve[0].median, curve[i].median);
    (probability >= FLAGGED_FROM).then_some(Slide { from, to, since: first.year, probability })
}

/// P(share in the first year − share in year `i` ≥ `WORTH_A_WORD`): the first level by quantiles, the other given it.
fn p_fell(walk: &Walk, i: usize) -> f64 {
    const POINTS: i32 = 200;
    let normal = Normal::standard();
    let (v0, vi, c) = (walk.variance[0], walk.variance[i], walk.with_first[i]);
    let rest = (vi - c * c / v0).max(1e-12).sqrt();
    let points = (0..POINTS).map(|j| normal.inverse_cdf((f64::from(j) + 0.5) / f64::from(POINTS)));
    let p = points.map(|z| {
        let then = walk.mean[0] + z * v0.sqrt();
        let must_be_under = share(then) - WORTH_A_WORD;
        if must_be_under <= 0.0 {
            return 0.0;
        }
        let bound = (must_be_under / (1.0 - must_be_under)).ln();
        normal.cdf((bound - walk.mean[i] - c / v0 * (then - walk.mean[0])) / rest)
    });
    p.sum::<f64>() / f64::from(POINTS)
}

/// Decline that comes by itself between two counts: a prior to set beside a bare change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NaturalDecline {
    /// Share that goes by itself, lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Where it comes from.
    pub source: Source,
}

/// A bare change set beside the natural decline.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ChangeRead {
    /// Share by which the count fell.
    pub fall: RatioEstimate,
    /// The prior for natural decline.
    pub natural: NaturalDecline,
    /// What may be said.
    pub says: String,
}

/// Reads a bare change beside the natural decline: it never becomes control.
pub fn read_change(fall: &RatioEstimate, natural: &NaturalDecline) -> ChangeRead {
    let percent = |x: f64| format!("{:.0} %", 100.0 * x);
    let by_itself = format!("{} to {} goes by itself ({})", percent(natural.low), percent(natural.high), natural.source);
    let says = if fall.low > natural.high {
        format!(
            "The count fell by {}, more than the {by_itself}. Something beside the season was at work, but without an untreated check nobody can say how much the treatment did.",
            percent(fall.share)
        )
    } else if fall.high < natural.low {
        format!("The count fell by {}, less than the {by_itself}.", percent(fall.share))
    } else {
        format!("The count fell by {}; as much may have gone without treatment, for {by_itself}.", percent(fall.share))
    };
    ChangeRead { fall: *fall, natural: natural.clone(), says }
}
