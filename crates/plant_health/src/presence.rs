//! Looking only whether a sample holds any: shares occupied, the mean they stand for, and a stop rule on them.

use crate::counts::occupancy;
use crate::dispersion::share_occupied;
use crate::sequential::{Distribution, OperatingPoint, Plan, SequentialError, StopLines, operating_point, stop_lines};
use serde::{Deserialize, Serialize};

/// How the share of samples that hold any rises with the mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "law", rename_all = "kebab-case")]
pub enum OccupancyLaw {
    /// Negative binomial with one k.
    NegativeBinomial {
        /// Dispersion.
        k: f64,
    },
    /// Taylor's variance through the formula of Wilson and Room.
    Taylor {
        /// Variance at a mean of 1.
        a: f64,
        /// Power.
        b: f64,
    },
}

impl OccupancyLaw {
    /// Share of samples that hold at least one at a mean per sample, 0–1; none for a mean or figures that are not above 0.
    pub fn share(&self, mean: f64) -> Option<f64> {
        match *self {
            Self::NegativeBinomial { k } => (mean > 0.0 && k > 0.0).then(|| occupancy(mean, k)),
            Self::Taylor { a, b } => share_occupied(mean, a, b),
        }
    }

    /// Mean per sample at which this share holds at least one, by bisection; none outside 0–1 and for a share that no mean up to
    /// a million reaches.
    ///
    /// ```
    /// # use groundlore_plant_health::presence::OccupancyLaw;
    /// let law = OccupancyLaw::NegativeBinomial { k: 1.0 };
    /// assert!((law.mean(0.5).unwrap() - 1.0).abs() < 1e-9);
    /// assert_eq!(law.mean(1.0), None);
    /// ```
    pub fn mean(&self, share: f64) -> Option<f64> {
        if !(share > 0.0 && share < 1.0) {
            return None;
        }
        let (mut low, mut high) = (1e-9_f64.ln(), 1e6_f64.ln());
        if self.share(high.exp())? < share || self.share(low.exp())? > share {
            return None;
        }
        for _ in 0..100 {
            let middle = f64::midpoint(low, high);
            if self.share(middle.exp())? < share {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(f64::midpoint(low, high).exp())
    }
}

/// Why no stop rule on presence can be made.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PresenceError {
    /// The law or the means are out of range.
    #[error("the means {low} and {high} give no shares occupied: both must be above 0, high above low, and k or a above 0")]
    Shares {
        /// Low mean.
        low: f64,
        /// High mean.
        high: f64,
    },
    /// Nearly every sample is occupied at both means.
    #[error(
        "at {low:.2} and at {high:.2} a sample the shares that hold any are {share_low:.2} and {share_high:.2}: presence alone cannot tell them apart; count, or take smaller samples"
    )]
    TooAlike {
        /// Low mean.
        low: f64,
        /// High mean.
        high: f64,
        /// Share occupied at the low mean.
        share_low: f64,
        /// Share occupied at the high mean.
        share_high: f64,
    },
    /// The stop rule itself.
    #[error("stop rule on presence: {0}")]
    StopRule(#[from] SequentialError),
}

/// A stop rule on how many samples hold at least one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PresencePlan {
    /// How the share rises with the mean.
    pub law: OccupancyLaw,
    /// Mean per sample that is surely too few to matter.
    pub low_mean: f64,
    /// Mean per sample that surely matters.
    pub high_mean: f64,
    /// The plan on shares.
    pub plan: Plan,
    /// Its lines: samples that hold any, against samples looked at.
    pub lines: StopLines,
    /// Most samples.
    pub most: u32,
}

/// Shares nearer than this are not told apart by presence alone (a rule of this house: over a hundred samples would be needed).
const ALIKE: f64 = 0.10;

impl PresencePlan {
    /// A plan that tells a low mean per sample from a high one, each wrong call at `risk`.
    ///
    /// # Errors
    /// [`PresenceError`] for means out of range, shares that are too alike, and as the stop rule.
    pub fn new(law: OccupancyLaw, low_mean: f64, high_mean: f64, risk: f64, most: u32) -> Result<Self, PresenceError> {
        let wrong = PresenceError::Shares { low: low_mean, high: high_mean };
        let (low, high) = law.share(low_mean).zip(law.share(high_mean)).filter(|_| high_mean > low_mean).ok_or(wrong)?;
        if high - low < ALIKE {
            return Err(PresenceError::TooAlike { low: low_mean, high: high_mean, share_low: low, share_high: high });
        }
        let plan = Plan { distribution: Distribution::Binomial, low, high, alpha: risk, beta: risk };
        let lines = stop_lines(&plan)?;
        if most == 0 {
            return Err(SequentialError::NoSamples.into());
        }
        Ok(Self { law, low_mean, high_mean, plan, lines, most })
    }

    /// How the plan behaves at one true mean per sample; the value given back is that mean.
    ///
    /// # Errors
    /// [`PresenceError`] for a mean that is not above 0.
    pub fn operating_point(&self, true_mean: f64) -> Result<OperatingPoint, PresenceError> {
        let share = self.law.share(true_mean).ok_or(PresenceError::Shares { low: true_mean, high: true_mean })?;
        let point = operating_point(&self.plan, share, self.most)?;
        Ok(OperatingPoint { true_value: true_mean, ..point })
    }
}

/// A mean that presence alone stands for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MeanFromPresence {
    /// Share occupied.
    pub share: f64,
    /// Mean per sample; none where all samples hold some (it may be anything large) or none does.
    pub mean: Option<f64>,
    /// Lower end, Wilson's interval of the share carried through the law; 0 where none holds any.
    pub low: f64,
    /// Upper end; none where no end can be given.
    pub high: Option<f64>,
}

/// The mean that `occupied` of `samples` stand for, with an interval of `level`. The doubt in the law itself is not in it.
///
/// None for no samples, more occupied than samples, or a level outside 0–1.
///
/// # Source
/// Wilson's score interval (1927, *J. Am. Stat. Assoc.* 22:209; memory).
pub fn mean_from_presence(occupied: u32, samples: u32, law: &OccupancyLaw, level: f64) -> Option<MeanFromPresence> {
    if samples == 0 || occupied > samples || !(level > 0.0 && level < 1.0) {
        return None;
    }
    let (n, share) = (f64::from(samples), f64::from(occupied) / f64::from(samples));
    let z = crate::belief::normal_quantile(0.5 + level / 2.0);
    let centre = (share + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).sqrt() / (1.0 + z * z / n);
    Some(MeanFromPresence {
        share,
        mean: law.mean(share),
        low: law.mean(centre - half).unwrap_or(0.0),
        high: if occupied == samples { None } else { law.mean(centre + half) },
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    #[test]
    fn the_mean_of_a_share_is_the_way_back() {
        for law in [OccupancyLaw::NegativeBinomial { k: 0.5 }, OccupancyLaw::Taylor { a: 2.0, b: 1.3 }] {
            for mean in [0.25, 1.0, 2.0, 5.0] {
                let back = law.mean(law.share(mean).unwrap()).unwrap();
                assert!((back / mean - 1.0).abs() < 1e-6, "{law:?} {mean}: {back}");
            }
        }
    }

    #[test]
    fn a_plan_on_presence_keeps_its_risks_in_the_mean() {
        let law = OccupancyLaw::NegativeBinomial { k: 0.8 };
        let plan = PresencePlan::new(law, 0.2, 1.0, 0.1, 100).unwrap();
        assert!(plan.operating_point(0.2).unwrap().p_low > 0.89);
        assert!(plan.operating_point(1.0).unwrap().p_low < 0.11);
    }

    #[test]
    fn crowded_samples_cannot_be_told_apart_by_presence() {
        let law = OccupancyLaw::NegativeBinomial { k: 1.5936 };
        let said = PresencePlan::new(law, 8.0, 15.0, 0.1, 60).unwrap_err().to_string();
        assert!(said.contains("cannot tell them apart"), "{said}");
        assert!(PresencePlan::new(law, 2.0, 1.0, 0.1, 60).is_err());
    }

    #[test]
    fn all_occupied_has_no_upper_end_and_none_has_no_mean() {
        let law = OccupancyLaw::NegativeBinomial { k: 1.0 };
        let all = mean_from_presence(10, 10, &law, 0.9).unwrap();
        assert!(all.mean.is_none() && all.high.is_none() && all.low > 1.0);
        let none = mean_from_presence(0, 10, &law, 0.9).unwrap();
        assert!(none.mean.is_none() && none.low.abs() < 1e-9 && none.high.unwrap() < 0.5);
        assert_eq!(mean_from_presence(3, 0, &law, 0.9), None);
    }
}
