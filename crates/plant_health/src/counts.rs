//! What a list of counts says: mean, spread, clumping, and the dispersion k of the negative binomial.

use serde::{Deserialize, Serialize};

/// Why a list of counts cannot be summed up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CountsError {
    /// The list is empty: unknown is not nought.
    #[error("no counts were given; give at least one, e.g. `0 3 1 0 7`; a place where you looked and found none counts as 0")]
    Empty,
}

/// A list of counts summed up. Counts are per sample, so `mean` and `variance` are per sample too.
///
/// A `None` means that the figure does not exist for these counts (for instance no finite k where the variance does not
/// exceed the mean), never that it is nought.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CountSummary {
    /// Number of samples.
    pub n: usize,
    /// Sum of the counts.
    pub total: u64,
    /// Samples in which nothing was found.
    pub zeros: usize,
    /// Mean per sample.
    pub mean: f64,
    /// Variance with divisor n − 1; none for a single sample.
    pub variance: Option<f64>,
    /// k by moments, mean²/(variance − mean); none where the variance is not above the mean.
    pub k_moment: Option<f64>,
    /// k by maximum likelihood; none where the likelihood grows without end towards the Poisson.
    pub k_ml: Option<f64>,
    /// Standard error of `k_ml` from the observed information, the mean at its own maximum.
    pub k_ml_se: Option<f64>,
    /// k that gives the observed share of zeros at the observed mean.
    pub k_zeros: Option<f64>,
    /// Log-likelihood of the negative binomial at `k_ml`; none where `k_ml` is.
    pub log_likelihood: Option<f64>,
    /// Variance over mean: 1 for random scatter, above 1 for clumps.
    pub variance_to_mean: Option<f64>,
    /// Morisita's index of dispersion.
    pub morisita: Option<f64>,
    /// Lloyd's mean crowding: others met by an average individual in its sample.
    pub lloyd: Option<f64>,
    /// Green's coefficient: 0 for random scatter, 1 for all in one sample.
    pub green: Option<f64>,
}

/// Sums up a list of counts.
///
/// k by maximum likelihood solves Σ[ψ(x+k) − ψ(k)] + n ln(k/(k+mean)) = 0.
///
/// # Errors
/// [`CountsError::Empty`] for an empty list.
///
/// # Source
/// Bliss & Fisher (1953), Biometrics 9:176 (k); Morisita, Lloyd and Green as formulas in `tests/reference/counts.rs`.
///
/// # Example
/// ```
/// # use groundlore_plant_health::counts::summary;
/// // Apple mites on 150 leaves, Bliss & Fisher 1953: printed k = 1.0246.
/// let seen = [70, 38, 17, 10, 9, 3, 2, 1];
/// let counts: Vec<u64> = seen.iter().enumerate().flat_map(|(x, &f)| vec![x as u64; f]).collect();
/// let mites = summary(&counts)?;
/// assert!((mites.k_ml.unwrap() - 1.0246).abs() < 5e-5);
/// # Ok::<(), groundlore_plant_health::counts::CountsError>(())
/// ```
pub fn summary(counts: &[u64]) -> Result<CountSummary, CountsError> {
    if counts.is_empty() {
        return Err(CountsError::Empty);
    }
    let n = counts.len();
    let nf = n as f64;
    let total: u64 = counts.iter().fold(0, |sum, &x| sum.saturating_add(x));
    let zeros = counts.iter().filter(|&&x| x == 0).count();
    let sum: f64 = counts.iter().map(|&x| x as f64).sum();
    let mean = sum / nf;
    let squares: f64 = counts.iter().map(|&x| (x as f64 - mean).powi(2)).sum();
    let variance = (n > 1).then(|| squares / (nf - 1.0));
    let ratio = variance.filter(|_| mean > 0.0).map(|v| v / mean);
    let sum_of_squares: f64 = counts.iter().map(|&x| (x as f64).powi(2)).sum();
    let pairs = sum * sum - sum;
    let k_ml = k_by_likelihood(counts);
    Ok(CountSummary {
        n,
        total,
        zeros,
        mean,
        variance,
        k_moment: variance.filter(|&v| v > mean).map(|v| mean * mean / (v - mean)),
        k_ml,
        k_ml_se: k_ml.and_then(|k| k_standard_error(counts, mean, k)),
        k_zeros: k_from_zeros(zeros, n, mean),
        log_likelihood: k_ml.map(|k| log_likelihood(counts, mean, k)),
        variance_to_mean: ratio,
        morisita: (pairs > 0.0).then(|| nf * (sum_of_squares - sum) / pairs),
        lloyd: ratio.map(|r| mean + r - 1.0),
        green: ratio.filter(|_| sum > 1.0).map(|r| (r - 1.0) / (sum - 1.0)),
    })
}

/// Number of leading terms that [`digamma_rise`] and [`trigamma_fall`] add one by one before the series takes over.
const DIRECT_TERMS: u64 = 64;

/// ψ(x + k) − ψ(k) for a whole x: Σ 1/(k + j), j < x, with the asymptotic series beyond 64 terms.
fn digamma_rise(x: u64, k: f64) -> f64 {
    let direct: f64 = (0..x.min(DIRECT_TERMS)).map(|j| 1.0 / (k + j as f64)).sum();
    if x <= DIRECT_TERMS {
        return direct;
    }
    let series = |z: f64| z.ln() - 0.5 / z - 1.0 / (12.0 * z * z) + 1.0 / (120.0 * z.powi(4));
    direct + series(k + x as f64) - series(k + DIRECT_TERMS as f64)
}

/// ψ'(k) − ψ'(x + k) for a whole x: Σ 1/(k + j)², j < x.
fn trigamma_fall(x: u64, k: f64) -> f64 {
    let direct: f64 = (0..x.min(DIRECT_TERMS)).map(|j| (k + j as f64).powi(-2)).sum();
    if x <= DIRECT_TERMS {
        return direct;
    }
    let series = |z: f64| 1.0 / z + 0.5 / (z * z) + 1.0 / (6.0 * z.powi(3)) - 1.0 / (30.0 * z.powi(5));
    direct + series(k + DIRECT_TERMS as f64) - series(k + x as f64)
}

/// Slope of the log-likelihood in k, with the mean at its own maximum.
fn score(counts: &[u64], mean: f64, k: f64) -> f64 {
    counts.iter().map(|&x| digamma_rise(x, k)).sum::<f64>() - counts.len() as f64 * (mean / k).ln_1p()
}

/// k by maximum likelihood, or none where no finite k exists (Σ(x − mean)²/n not above the mean).
///
/// Bisection on ln k: the score falls from plus to minus once where a finite maximum exists.
fn k_by_likelihood(counts: &[u64]) -> Option<f64> {
    let n = counts.len() as f64;
    let mean = counts.iter().map(|&x| x as f64).sum::<f64>() / n;
    let spread = counts.iter().map(|&x| (x as f64 - mean).powi(2)).sum::<f64>() / n;
    if mean <= 0.0 || spread <= mean {
        return None;
    }
    let (mut low, mut high) = (1e-8_f64.ln(), 1e8_f64.ln());
    if score(counts, mean, low.exp()) <= 0.0 || score(counts, mean, high.exp()) >= 0.0 {
        return None;
    }
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if score(counts, mean, middle.exp()) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(f64::midpoint(low, high).exp())
}

fn k_standard_error(counts: &[u64], mean: f64, k: f64) -> Option<f64> {
    let n = counts.len() as f64;
    let information = counts.iter().map(|&x| trigamma_fall(x, k)).sum::<f64>() - n * mean / (k * (k + mean));
    (information > 0.0).then(|| information.sqrt().recip())
}

fn log_likelihood(counts: &[u64], mean: f64, k: f64) -> f64 {
    counts.iter().map(|&x| negative_binomial_ln_pmf(x, mean, k)).sum()
}

/// ln P(x) of the negative binomial with this mean and dispersion k (`k` infinite gives the Poisson).
///
/// # Example
/// ```
/// # use groundlore_plant_health::counts::negative_binomial_ln_pmf;
/// // Mean 2, k 1: a geometric law with P(0) = 1/3.
/// assert!((negative_binomial_ln_pmf(0, 2.0, 1.0).exp() - 1.0 / 3.0).abs() < 1e-12);
/// ```
pub fn negative_binomial_ln_pmf(x: u64, mean: f64, k: f64) -> f64 {
    use statrs::function::gamma::ln_gamma;
    let xf = x as f64;
    if mean <= 0.0 {
        return if x == 0 { 0.0 } else { f64::NEG_INFINITY };
    }
    if !k.is_finite() || k > 1e9 {
        return xf * mean.ln() - mean - ln_gamma(xf + 1.0);
    }
    let rise = if x <= 256 { (0..x).map(|j| (k + j as f64).ln()).sum::<f64>() } else { ln_gamma(xf + k) - ln_gamma(k) };
    rise - ln_gamma(xf + 1.0) - k * (mean / k).ln_1p() + xf * (mean / (k + mean)).ln()
}

/// k at which (1 + mean/k)^−k equals the observed share of zeros; none without zeros, or where there are no more of them
/// than random scatter would leave.
fn k_from_zeros(zeros: usize, n: usize, mean: f64) -> Option<f64> {
    let share = zeros as f64 / n as f64;
    if zeros == 0 || mean <= 0.0 || share <= (-mean).exp() || share >= 1.0 {
        return None;
    }
    let (mut low, mut high) = (1e-8_f64.ln(), 1e8_f64.ln());
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        let k = middle.exp();
        if (-k * (mean / k).ln_1p()).exp() > share {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(f64::midpoint(low, high).exp())
}

/// Samples wanted so that the standard error of the mean is `precision` of the mean: n = (1/mean + 1/k)/D².
///
/// `mean` and `k` are per sample; `k` infinite gives the Poisson. None for a mean, k or precision that is not above 0.
///
/// # Example
/// ```
/// # use groundlore_plant_health::counts::samples_for_precision;
/// assert!((samples_for_precision(0.5, 1.0, 0.25).unwrap() - 48.0).abs() < 1e-9);
/// ```
pub fn samples_for_precision(mean: f64, k: f64, precision: f64) -> Option<f64> {
    (mean > 0.0 && k > 0.0 && precision > 0.0).then(|| (1.0 / mean + 1.0 / k) / (precision * precision))
}

/// Samples wanted to find at least one with probability `sure`, where a share `prevalence` of samples holds any:
/// ln(1 − sure)/ln(1 − prevalence), not rounded. None outside 0–1.
///
/// # Example
/// ```
/// # use groundlore_plant_health::counts::samples_to_find_one;
/// assert_eq!(samples_to_find_one(0.05, 0.95).unwrap().ceil(), 59.0);
/// ```
pub fn samples_to_find_one(prevalence: f64, sure: f64) -> Option<f64> {
    let inside = |p: f64| p > 0.0 && p < 1.0;
    (inside(prevalence) && inside(sure)).then(|| (1.0 - sure).ln() / (1.0 - prevalence).ln())
}

/// Share of samples that hold at least one, at this mean per sample and k: 1 − (1 + mean/k)^−k.
///
/// # Example
/// ```
/// # use groundlore_plant_health::counts::occupancy;
/// assert!((occupancy(1.0, 1.0) - 0.5).abs() < 1e-12);
/// ```
pub fn occupancy(mean: f64, k: f64) -> f64 {
    1.0 - negative_binomial_ln_pmf(0, mean, k).exp()
}
