//! Quantiles, means and spreads of a sample.

use serde::{Deserialize, Serialize};

/// How a quantile is placed between two values of a sorted sample of n.
///
/// # Source
/// Hyndman & Fan (1996), *Sample quantiles in statistical packages*, The American Statistician 50:361 (the numbers of the types;
/// memory). Checked against numpy 2.4.6.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum QuantileRule {
    /// Type 7, linear: at place (n − 1) p counted from 0. The rule of this crate wherever none is named.
    Linear,
    /// Type 6, Weibull: at place (n + 1) p counted from 1, held inside the sample.
    Weibull,
}

impl QuantileRule {
    /// The place of a quantile in a sorted sample: the index below and the share of the way to the next.
    #[must_use]
    pub fn place(self, length: usize, probability: f64) -> Option<(usize, f64)> {
        if length == 0 || !(0.0..=1.0).contains(&probability) {
            return None;
        }
        let last = (length - 1) as f64;
        let place = match self {
            QuantileRule::Linear => last * probability,
            QuantileRule::Weibull => ((length as f64 + 1.0) * probability - 1.0).max(0.0).min(last),
        };
        Some((place.floor() as usize, place - place.floor()))
    }
}

/// A quantile of a sorted sample; `None` when the sample is empty or the probability is not within 0…1.
///
/// # Example
/// ```
/// use groundlore_weather::quantile::{quantile, QuantileRule};
/// assert_eq!(quantile(&[1.0, 2.0, 3.0, 5.0], 0.5, QuantileRule::Linear), Some(2.5));
/// ```
#[must_use]
pub fn quantile(sorted: &[f64], probability: f64, rule: QuantileRule) -> Option<f64> {
    let (index, share) = rule.place(sorted.len(), probability)?;
    let low = *sorted.get(index)?;
    let high = *sorted.get(index + 1).unwrap_or(&low);
    Some(low + share * (high - low))
}

/// Arithmetic mean; `None` for an empty sample.
#[must_use]
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Standard deviation of a sample (divisor n − 1); `None` for fewer than two values.
#[must_use]
pub fn standard_deviation(values: &[f64]) -> Option<f64> {
    let middle = mean(values)?;
    let squares: f64 = values.iter().map(|value| (value - middle).powi(2)).sum();
    (values.len() > 1).then(|| (squares / (values.len() - 1) as f64).sqrt())
}
