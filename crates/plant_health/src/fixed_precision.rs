//! Counting until the mean is known closely enough: stop lines of fixed precision, and what such a plan really does.

use crate::counts::negative_binomial_ln_pmf;
use crate::sample_size::{by_iwao, by_taylor, green_line, kuno_line};
use serde::{Deserialize, Serialize};

/// How the variance of counts rises with their mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "law", rename_all = "kebab-case")]
pub enum VarianceLaw {
    /// Taylor's power law: variance = a × mean^b.
    Taylor {
        /// Variance at a mean of 1.
        a: f64,
        /// Power.
        b: f64,
    },
    /// Iwao's line of mean crowding: variance = (alpha + 1) mean + (beta − 1) mean².
    Iwao {
        /// Crowding where the mean is nought.
        alpha: f64,
        /// Rise of crowding with the mean.
        beta: f64,
    },
    /// Negative binomial with one k: variance = mean + mean²/k, which is Iwao's line with alpha 0 and beta 1 + 1/k.
    NegativeBinomial {
        /// Dispersion.
        k: f64,
    },
}

impl VarianceLaw {
    /// Variance of one sample at a mean.
    pub fn variance(&self, mean: f64) -> f64 {
        match *self {
            Self::Taylor { a, b } => a * mean.powf(b),
            Self::Iwao { alpha, beta } => (alpha + 1.0) * mean + (beta - 1.0) * mean * mean,
            Self::NegativeBinomial { k } => mean + mean * mean / k,
        }
    }

    /// Samples wanted so that the standard error is `precision` of the mean, not rounded.
    pub fn samples(&self, mean: f64, precision: f64) -> Option<f64> {
        match *self {
            Self::Taylor { a, b } => by_taylor(mean, a, b, precision),
            Self::Iwao { alpha, beta } => by_iwao(mean, alpha, beta, precision),
            Self::NegativeBinomial { k } => crate::counts::samples_for_precision(mean, k, precision),
        }
    }

    /// Running total from which `samples` samples are precise enough; none where no total is.
    pub fn stop_total(&self, samples: u32, precision: f64) -> Option<f64> {
        let n = f64::from(samples);
        match *self {
            Self::Taylor { b, .. } if b >= 2.0 => None,
            Self::Taylor { a, b } => green_line(n, a, b, precision),
            Self::Iwao { alpha, beta } => kuno_line(n, alpha, beta, precision),
            Self::NegativeBinomial { k } => kuno_line(n, 0.0, 1.0 + 1.0 / k, precision),
        }
    }
}

/// A plan that counts until the standard error is a share of the mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FixedPrecision {
    /// How the variance rises with the mean.
    pub law: VarianceLaw,
    /// Standard error wanted, as a share of the mean.
    pub precision: f64,
    /// Fewest samples before the total is asked.
    pub fewest: u32,
    /// Most samples, after which one stops with what precision there is.
    pub most: u32,
}

/// Why a plan of fixed precision cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FixedPrecisionError {
    /// Precision out of range.
    #[error("the precision is {0}: give the standard error as a share of the mean above 0 and up to 1, e.g. 0.25")]
    Precision(f64),
    /// Samples the wrong way round.
    #[error("fewest is {fewest} and most is {most}: at least 1, and most not below fewest, e.g. 5 and 40")]
    Samples {
        /// Fewest as given.
        fewest: u32,
        /// Most as given.
        most: u32,
    },
    /// Parameters of the law out of range.
    #[error(
        "the figures of the law of variance are {0} and {1}: a, alpha + 1 and k must be above 0, and Taylor's b below 2, e.g. 2.0 and 1.3"
    )]
    Law(f64, f64),
    /// Most samples allowed never settle it.
    #[error("no total of {most} samples gives a precision of {precision}: allow more samples, or a coarser precision such as 0.4")]
    NeverEnough {
        /// Most as given.
        most: u32,
        /// Precision as given.
        precision: f64,
    },
    /// A true mean that is none.
    #[error("the true mean is {0}: it must be above 0, e.g. 5")]
    Mean(f64),
}

/// One row of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PrecisionRow {
    /// Samples taken.
    pub samples: u32,
    /// Stop where the running total is at or over this; none where no total is enough yet.
    pub stop_from: Option<u64>,
}

/// How a plan of fixed precision behaves at one true mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PrecisionPoint {
    /// True mean per sample.
    pub true_mean: f64,
    /// Expected number of samples.
    pub expected_samples: f64,
    /// Root mean square error of total/samples, as a share of the true mean: what the plan gives, beside what it promises.
    pub precision: f64,
    /// Mean of total/samples over the true mean, less 1: stopping by the total leans a little.
    pub bias: f64,
    /// Probability that the most samples were taken without reaching the line.
    pub p_cut_short: f64,
}

impl FixedPrecision {
    /// Holds the figures to their ranges.
    ///
    /// # Errors
    /// [`FixedPrecisionError`].
    pub fn check(&self) -> Result<(), FixedPrecisionError> {
        if !(self.precision > 0.0 && self.precision <= 1.0) {
            return Err(FixedPrecisionError::Precision(self.precision));
        }
        if self.fewest == 0 || self.most < self.fewest {
            return Err(FixedPrecisionError::Samples { fewest: self.fewest, most: self.most });
        }
        let (first, second, right) = match self.law {
            VarianceLaw::Taylor { a, b } => (a, b, a > 0.0 && a.is_finite() && b.is_finite() && b < 2.0),
            VarianceLaw::Iwao { alpha, beta } => (alpha, beta, alpha > -1.0 && alpha.is_finite() && beta > 0.0 && beta.is_finite()),
            VarianceLaw::NegativeBinomial { k } => (k, f64::NAN, k > 0.0),
        };
        if !right {
            return Err(FixedPrecisionError::Law(first, second));
        }
        let (most, precision) = (self.most, self.precision);
        self.law.stop_total(most, precision).map(|_| ()).ok_or(FixedPrecisionError::NeverEnough { most, precision })
    }

    /// Rows for the sheet, from the fewest samples to the most.
    ///
    /// # Errors
    /// [`FixedPrecisionError`] for figures out of range.
    ///
    /// # Example
    /// ```
    /// # use groundlore_plant_health::fixed_precision::*;
    /// let plan = FixedPrecision { law: VarianceLaw::Taylor { a: 2.0, b: 1.3 }, precision: 0.25, fewest: 5, most: 40 };
    /// let rows = plan.rows()?;
    /// // Green's line at 10 samples is 52.7: stop from 53 found.
    /// assert_eq!(rows.iter().find(|r| r.samples == 10).unwrap().stop_from, Some(53));
    /// # Ok::<(), FixedPrecisionError>(())
    /// ```
    pub fn rows(&self) -> Result<Vec<PrecisionRow>, FixedPrecisionError> {
        self.check()?;
        Ok((self.fewest..=self.most).map(|samples| PrecisionRow { samples, stop_from: self.stop_from(samples) }).collect())
    }

    fn stop_from(&self, samples: u32) -> Option<u64> {
        self.law.stop_total(samples, self.precision).map(|line| (line - 1e-9).ceil().max(1.0) as u64)
    }

    /// Walks the counts in the order taken: samples used, and whether they are precise enough.
    pub fn walk(&self, counts: &[u64]) -> (u32, bool) {
        let (mut total, mut samples) = (0_u64, 0_u32);
        for &count in counts.iter().take(self.most as usize) {
            total = total.saturating_add(count);
            samples += 1;
            if samples >= self.fewest && self.stop_from(samples).is_some_and(|line| total >= line) {
                return (samples, true);
            }
        }
        (samples, false)
    }

    /// What the plan does at one true mean, by exact recursion over samples and totals. Counts are taken as negative binomial with the
    /// variance of the law at that mean (Poisson where the law's variance is not above the mean).
    ///
    /// # Errors
    /// [`FixedPrecisionError`] for figures out of range.
    pub fn operating_point(&self, true_mean: f64) -> Result<PrecisionPoint, FixedPrecisionError> {
        self.check()?;
        if !(true_mean > 0.0 && true_mean.is_finite()) {
            return Err(FixedPrecisionError::Mean(true_mean));
        }
        let variance = self.law.variance(true_mean);
        let k = if variance > true_mean { true_mean * true_mean / (variance - true_mean) } else { f64::INFINITY };
        let single = single_sample(true_mean, k);
        let mut mass = vec![1.0];
        let (mut expected_samples, mut square, mut mean_of, mut p_cut_short, mut seen) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for samples in 1..=self.most {
            expected_samples += mass.iter().sum::<f64>();
            mass = one_more(&mass, &single);
            let line = if samples >= self.fewest { self.stop_from(samples) } else { None };
            let stops_from = if samples == self.most { 0 } else { line.map_or(mass.len(), |l| (l as usize).min(mass.len())) };
            for (total, p) in mass.iter().enumerate().skip(stops_from) {
                let relative = total as f64 / f64::from(samples) / true_mean;
                square += p * (relative - 1.0).powi(2);
                mean_of += p * relative;
                seen += p;
                if line.is_none_or(|l| (total as u64) < l) {
                    p_cut_short += p;
                }
            }
            mass.truncate(stops_from);
            if mass.is_empty() {
                break;
            }
        }
        Ok(PrecisionPoint { true_mean, expected_samples, precision: (square / seen).sqrt(), bias: mean_of / seen - 1.0, p_cut_short })
    }

    /// The plan's behaviour over true means from a quarter of `around` to four times it.
    ///
    /// # Errors
    /// [`FixedPrecisionError`] for figures out of range.
    pub fn operating_curve(&self, around: f64, points: u32) -> Result<Vec<PrecisionPoint>, FixedPrecisionError> {
        let last = f64::from(points.max(2) - 1);
        (0..points.max(2)).map(|i| self.operating_point(around * 16_f64.powf(f64::from(i) / last - 0.5))).collect()
    }
}

/// Probabilities of 0, 1, 2 … finds in one sample, to where all but a billionth is told.
fn single_sample(mean: f64, k: f64) -> Vec<f64> {
    const MOST: u64 = 4000;
    let mut told = 0.0;
    let mut single = Vec::new();
    for x in 0..=MOST {
        let p = negative_binomial_ln_pmf(x, mean, k).exp();
        told += p;
        single.push(p);
        if told > 1.0 - 1e-9 && x as f64 > mean {
            break;
        }
    }
    single
}

/// Distribution of the total after one more sample, cut where the tail is under a billionth.
fn one_more(mass: &[f64], single: &[f64]) -> Vec<f64> {
    let mut next = vec![0.0; mass.len() + single.len() - 1];
    for (from, p) in mass.iter().enumerate().filter(|(_, p)| **p > 1e-14) {
        for (slot, q) in next[from..].iter_mut().zip(single) {
            *slot += p * q;
        }
    }
    let mut tail = 0.0;
    while let Some(&last) = next.last() {
        tail += last;
        if tail > 1e-10 || next.len() == 1 {
            break;
        }
        next.pop();
    }
    next
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    fn plan(law: VarianceLaw) -> FixedPrecision {
        FixedPrecision { law, precision: 0.25, fewest: 5, most: 60 }
    }

    #[test]
    fn a_plan_gives_about_the_precision_it_promises_and_counts_less_where_there_is_more() {
        let plan = plan(VarianceLaw::Taylor { a: 2.0, b: 1.3 });
        let curve = plan.operating_curve(4.0, 9).unwrap();
        for pair in curve.windows(2) {
            assert!(pair[1].expected_samples <= pair[0].expected_samples + 1e-9, "{pair:?}");
        }
        let at = plan.operating_point(4.0).unwrap();
        assert!((0.15..0.32).contains(&at.precision), "{at:?}");
        // Where the mean is known, the plan takes about as many samples as the formula asks for.
        let wanted = plan.law.samples(4.0, 0.25).unwrap();
        assert!((at.expected_samples / wanted - 1.0).abs() < 0.25, "{at:?} {wanted}");
    }

    #[test]
    fn a_thin_pest_runs_into_the_most_samples() {
        let at = plan(VarianceLaw::NegativeBinomial { k: 1.5936 }).operating_point(0.1).unwrap();
        assert!(at.p_cut_short > 0.9 && (at.expected_samples - 60.0).abs() < 1.0, "{at:?}");
        assert!(at.precision > 0.25);
    }

    #[test]
    fn the_walk_stops_where_the_rows_say() {
        let plan = plan(VarianceLaw::Iwao { alpha: 0.5, beta: 1.4 });
        let rows = plan.rows().unwrap();
        assert_eq!(rows[0], PrecisionRow { samples: 5, stop_from: None });
        // Kuno's line at 10 samples is 66.7.
        assert_eq!(plan.walk(&[7; 10]), (10, true));
        assert_eq!(plan.walk(&[6; 9]), (9, false));
        assert_eq!(plan.walk(&[0; 100]), (60, false));
    }

    #[test]
    fn wrong_figures_are_named() {
        let said = |p: FixedPrecision| p.rows().unwrap_err().to_string();
        assert!(said(FixedPrecision { precision: 25.0, ..plan(VarianceLaw::NegativeBinomial { k: 1.0 }) }).contains("25"));
        assert!(said(FixedPrecision { most: 2, ..plan(VarianceLaw::NegativeBinomial { k: 1.0 }) }).contains("most is 2"));
        assert!(said(plan(VarianceLaw::Taylor { a: 2.0, b: 2.5 })).contains("2.5"));
        assert!(said(plan(VarianceLaw::NegativeBinomial { k: 0.1 })).contains("coarser"));
    }
}
