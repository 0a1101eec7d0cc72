//! Counting until it is clear: Wald's stop lines, and the exact behaviour of the plan they make.

use crate::counts::negative_binomial_ln_pmf;
use serde::{Deserialize, Serialize};
use statrs::function::gamma::ln_gamma;

/// How counts scatter from sample to sample.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "distribution", rename_all = "kebab-case")]
pub enum Distribution {
    /// Clumped counts with dispersion k.
    NegativeBinomial {
        /// Dispersion, above 0.
        k: f64,
    },
    /// Random scatter.
    Poisson,
    /// Each sample is hit or not; the value is the share hit.
    Binomial,
}

/// A sequential plan: is the mean per sample at `low` or under, or at `high` or over?
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// How counts scatter.
    pub distribution: Distribution,
    /// Mean per sample (share, for the binomial) that is surely too few to matter.
    pub low: f64,
    /// Mean per sample that surely matters.
    pub high: f64,
    /// Risk of calling `low` high, 0–1.
    pub alpha: f64,
    /// Risk of calling `high` low, 0–1.
    pub beta: f64,
}

/// Why a plan makes no stop lines.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SequentialError {
    /// The two means are the wrong way round, equal, nought or not numbers.
    #[error("low is {low} and high is {high}: both must be above 0 and high above low, e.g. low 5, high 10")]
    Means {
        /// Low as given.
        low: f64,
        /// High as given.
        high: f64,
    },
    /// A share outside 0–1.
    #[error("high is {0}: for hit-or-miss samples it is a share below 1, e.g. 0.3")]
    Share(f64),
    /// A dispersion that is not above 0.
    #[error("k is {0}: the dispersion must be a number above 0, e.g. 1.6")]
    Dispersion(f64),
    /// Risks that are not between 0 and 1, or that add up to 1 or more.
    #[error("alpha is {alpha} and beta is {beta}: each must lie between 0 and 1 and together stay under 1, e.g. 0.1 and 0.1")]
    Risks {
        /// Alpha as given.
        alpha: f64,
        /// Beta as given.
        beta: f64,
    },
    /// No sample allowed.
    #[error("the most samples allowed is 0: allow at least 1")]
    NoSamples,
}

/// What the running total says after some samples.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stop {
    /// At or under the lower line: few enough.
    Low,
    /// At or over the upper line: enough to matter.
    High,
    /// Between the lines: count on.
    GoOn,
}

/// Stop lines: running total against samples taken.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct StopLines {
    /// Rise of both lines, per sample.
    pub slope: f64,
    /// Where the lower line starts; below 0.
    pub lower_intercept: f64,
    /// Where the upper line starts; above 0.
    pub upper_intercept: f64,
}

impl StopLines {
    /// Lower line after `samples` samples.
    pub fn lower(&self, samples: u32) -> f64 {
        self.slope * f64::from(samples) + self.lower_intercept
    }

    /// Upper line after `samples` samples.
    pub fn upper(&self, samples: u32) -> f64 {
        self.slope * f64::from(samples) + self.upper_intercept
    }

    /// What a running total says after `samples` samples. Before the first sample: count on.
    pub fn state(&self, samples: u32, total: u64) -> Stop {
        let total = total as f64;
        if samples == 0 {
            Stop::GoOn
        } else if total <= self.lower(samples) {
            Stop::Low
        } else if total >= self.upper(samples) {
            Stop::High
        } else {
            Stop::GoOn
        }
    }

    /// Walks the counts in the order taken and says where the plan stops: the number of samples used, and the answer.
    /// [`Stop::GoOn`] with all samples used means that the lines were not met.
    pub fn walk(&self, counts: &[u64]) -> (u32, Stop) {
        let mut total = 0_u64;
        let mut samples = 0_u32;
        for &count in counts {
            total = total.saturating_add(count);
            samples = samples.saturating_add(1);
            let state = self.state(samples, total);
            if state != Stop::GoOn {
                return (samples, state);
            }
        }
        (samples, Stop::GoOn)
    }
}

fn check(plan: &Plan) -> Result<(), SequentialError> {
    let Plan { distribution, low, high, alpha, beta } = *plan;
    if !(low > 0.0 && high > low && high.is_finite()) {
        return Err(SequentialError::Means { low, high });
    }
    match distribution {
        Distribution::NegativeBinomial { k } if !(k > 0.0 && k.is_finite()) => return Err(SequentialError::Dispersion(k)),
        Distribution::Binomial if high >= 1.0 => return Err(SequentialError::Share(high)),
        _ => {}
    }
    let inside = |p: f64| p > 0.0 && p < 1.0;
    if !(inside(alpha) && inside(beta) && alpha + beta < 1.0) {
        return Err(SequentialError::Risks { alpha, beta });
    }
    Ok(())
}

/// Weight of one find, and the constant per sample, in the log-likelihood ratio of `high` against `low`.
fn ratio_terms(plan: &Plan) -> (f64, f64) {
    let Plan { distribution, low, high, .. } = *plan;
    match distribution {
        Distribution::NegativeBinomial { k } => {
            let (p0, p1) = (low / k, high / k);
            let (q0, q1) = (1.0 + p0, 1.0 + p1);
            ((p1 * q0 / (p0 * q1)).ln(), k * (q1 / q0).ln())
        }
        Distribution::Poisson => ((high / low).ln(), high - low),
        Distribution::Binomial => ((high * (1.0 - low) / (low * (1.0 - high))).ln(), ((1.0 - low) / (1.0 - high)).ln()),
    }
}

/// Wald's stop lines of a plan.
///
/// # Errors
/// [`SequentialError`] for means, shares, dispersion or risks out of range.
///
/// # Source
/// Waters (1955), Forest Science 1:68, and Wald's sequential probability ratio test (formulas, from memory); checked against
/// independently computed rows and one published pair of lines in `tests/reference/sequential.rs`.
///
/// # Example
/// ```
/// # use groundlore_plant_health::sequential::{stop_lines, Distribution, Plan};
/// let plan = Plan { distribution: Distribution::Poisson, low: 1.0, high: 2.0, alpha: 0.1, beta: 0.1 };
/// let lines = stop_lines(&plan)?;
/// assert!((lines.slope - 1.442_695_041).abs() < 1e-9);
/// assert!((lines.upper_intercept - 3.169_925_001).abs() < 1e-9);
/// # Ok::<(), groundlore_plant_health::sequential::SequentialError>(())
/// ```
pub fn stop_lines(plan: &Plan) -> Result<StopLines, SequentialError> {
    check(plan)?;
    let (weight, constant) = ratio_terms(plan);
    Ok(StopLines {
        slope: constant / weight,
        lower_intercept: (plan.beta / (1.0 - plan.alpha)).ln() / weight,
        upper_intercept: ((1.0 - plan.beta) / plan.alpha).ln() / weight,
    })
}

/// How a plan behaves at one true mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct OperatingPoint {
    /// True mean per sample (share, for the binomial).
    pub true_value: f64,
    /// Probability that the plan answers low.
    pub p_low: f64,
    /// Expected number of samples.
    pub expected_samples: f64,
    /// Probability that the walk was still between the lines at the last sample allowed.
    pub p_cut_short: f64,
}

/// P(x finds in one sample), natural logarithm.
fn ln_pmf(distribution: Distribution, x: u64, value: f64) -> f64 {
    match distribution {
        Distribution::NegativeBinomial { k } => negative_binomial_ln_pmf(x, value, k),
        Distribution::Poisson => x as f64 * value.ln() - value - ln_gamma(x as f64 + 1.0),
        Distribution::Binomial => match x {
            0 => (1.0 - value).ln(),
            1 => value.ln(),
            _ => f64::NEG_INFINITY,
        },
    }
}

/// Exact operating point of a plan by recursion over samples and totals: the stop rule is asked after every sample from the
/// first; at `most_samples` the answer is low where the total is at or under `slope × samples`, else high.
///
/// # Errors
/// [`SequentialError`] as [`stop_lines`], and for `most_samples` of 0.
///
/// # Example
/// ```
/// # use groundlore_plant_health::sequential::{operating_point, Distribution, Plan};
/// let plan = Plan {
///     distribution: Distribution::NegativeBinomial { k: 1.5936 }, low: 5.0, high: 10.0, alpha: 0.1, beta: 0.1,
/// };
/// let at_low = operating_point(&plan, 5.0, 20)?;
/// assert!((at_low.p_low - 0.941_417).abs() < 2e-6);
/// assert!((at_low.expected_samples - 8.677_855).abs() < 2e-6);
/// # Ok::<(), groundlore_plant_health::sequential::SequentialError>(())
/// ```
pub fn operating_point(plan: &Plan, true_value: f64, most_samples: u32) -> Result<OperatingPoint, SequentialError> {
    let lines = stop_lines(plan)?;
    if most_samples == 0 {
        return Err(SequentialError::NoSamples);
    }
    if !(true_value >= 0.0 && true_value.is_finite()) {
        return Err(SequentialError::Means { low: true_value, high: true_value });
    }
    if plan.distribution == Distribution::Binomial && true_value > 1.0 {
        return Err(SequentialError::Share(true_value));
    }
    let widest = (lines.upper_intercept - lines.lower_intercept + lines.slope).ceil() as u64 + 2;
    let single: Vec<f64> = (0..=widest).map(|x| ln_pmf(plan.distribution, x, true_value).exp()).collect();
    let mut walk = Walk { first: 0, mass: vec![1.0] };
    let (mut p_low, mut expected_samples) = (0.0, 0.0);
    for samples in 1..most_samples {
        expected_samples += walk.mass.iter().sum::<f64>();
        p_low += walk.step(&single, lines.lower(samples), lines.upper(samples));
        if walk.mass.is_empty() {
            return Ok(OperatingPoint { true_value, p_low, expected_samples, p_cut_short: 0.0 });
        }
    }
    expected_samples += walk.mass.iter().sum::<f64>();
    p_low += walk.step(&single, lines.lower(most_samples), lines.upper(most_samples));
    let p_cut_short = walk.mass.iter().sum();
    p_low += walk.at_or_under(lines.slope * f64::from(most_samples));
    Ok(OperatingPoint { true_value, p_low, expected_samples, p_cut_short })
}

/// Exact operating points at `points` true values, from a quarter of `low` to twice `high` (under 1 for the binomial), equally spaced in
/// their logarithm: the operating curve of the plan, with its mean number of samples.
///
/// # Errors
/// [`SequentialError`] as [`operating_point`].
///
/// # Example
/// ```
/// # use groundlore_plant_health::sequential::{operating_curve, Distribution, Plan};
/// let plan = Plan {
///     distribution: Distribution::NegativeBinomial { k: 1.5936 }, low: 5.0, high: 10.0, alpha: 0.1, beta: 0.1,
/// };
/// let curve = operating_curve(&plan, 20, 25)?;
/// assert!(curve[0].p_low > 0.999 && curve[24].p_low < 0.001);
/// # Ok::<(), groundlore_plant_health::sequential::SequentialError>(())
/// ```
pub fn operating_curve(plan: &Plan, most_samples: u32, points: u32) -> Result<Vec<OperatingPoint>, SequentialError> {
    check(plan)?;
    let (first, last) = match plan.distribution {
        Distribution::Binomial => (plan.low / 4.0, (plan.high * 2.0).min(f64::midpoint(plan.high, 1.0))),
        _ => (plan.low / 4.0, plan.high * 2.0),
    };
    let steps = f64::from(points.max(2) - 1);
    (0..points.max(2)).map(|i| operating_point(plan, first * (last / first).powf(f64::from(i) / steps), most_samples)).collect()
}

/// Probability of each running total still between the lines.
struct Walk {
    /// Total that `mass[0]` stands for.
    first: u64,
    mass: Vec<f64>,
}

impl Walk {
    /// One more sample: returns the mass that fell to the lower line; what rose over the upper line is dropped.
    fn step(&mut self, single: &[f64], lower: f64, upper: f64) -> f64 {
        let top = if upper <= 0.0 { 0 } else { (upper.ceil() as u64).saturating_sub(1) };
        let length = (top + 1).saturating_sub(self.first) as usize;
        let mut next = vec![0.0; length];
        for (from, mass) in self.mass.iter().enumerate() {
            for (slot, p) in next.iter_mut().skip(from).zip(single) {
                *slot += mass * p;
            }
        }
        let fallen = if lower < 0.0 { 0 } else { (lower.floor() as u64 + 1).saturating_sub(self.first) as usize };
        let fallen = fallen.min(next.len());
        let fell = next.iter().take(fallen).sum();
        self.mass = next.split_off(fallen);
        self.first += fallen as u64;
        fell
    }

    fn at_or_under(&self, line: f64) -> f64 {
        self.mass.iter().enumerate().filter(|(i, _)| (self.first + *i as u64) as f64 <= line).map(|(_, p)| p).sum()
    }
}

/// Wald's textbook approximation of the same, which ignores the overshoot and so promises fewer samples than it takes.
///
/// # Errors
/// [`SequentialError`] as [`stop_lines`].
///
/// # Source
/// Wald (1947), *Sequential Analysis* (memory); rows ST-100 to ST-103 of `tests/reference/sequential.rs`.
pub fn wald_approximation(plan: &Plan, true_value: f64) -> Result<OperatingPoint, SequentialError> {
    let lines = stop_lines(plan)?;
    let (weight, _) = ratio_terms(plan);
    let (mut low, mut high) = (-60.0_f64, 60.0_f64);
    for _ in 0..200 {
        let h = f64::midpoint(low, high);
        if value_at(plan, h) > true_value {
            low = h;
        } else {
            high = h;
        }
    }
    let mut h = f64::midpoint(low, high);
    if h.abs() < 1e-6 {
        h = 1e-6;
    }
    let (up, down) = ((h * weight * lines.upper_intercept).exp(), (h * weight * lines.lower_intercept).exp());
    let p_low = (up - 1.0) / (up - down);
    let drift = true_value - lines.slope;
    let drift = if drift.abs() < 1e-9 { 1e-9 } else { drift };
    let expected_samples = (p_low * lines.lower_intercept + (1.0 - p_low) * lines.upper_intercept) / drift;
    Ok(OperatingPoint { true_value, p_low, expected_samples, p_cut_short: 0.0 })
}

/// True value at which Wald's exponent is `h` (1 at `low`, −1 at `high`); falls as `h` rises.
fn value_at(plan: &Plan, h: f64) -> f64 {
    let h = if h.abs() < 1e-9 { 1e-9 } else { h };
    let (weight, constant) = ratio_terms(plan);
    let rise = (h * weight).exp_m1();
    match plan.distribution {
        Distribution::NegativeBinomial { k } => -k * (-h * constant / k).exp_m1() / rise,
        Distribution::Poisson => h * constant / rise,
        Distribution::Binomial => {
            let miss = (-h * constant).exp();
            let hit = (h * (plan.high / plan.low).ln()).exp();
            (1.0 - miss) / (hit - miss)
        }
    }
}
