//! Catches of traps: how many a trap and night, kept apart from numbers per area.
//!
//! A trap draws from ground of unknown size: its catch tells when and roughly how many fly or creep, and is never turned into a number
//! per area here.

use crate::density::{DensityError, DensityPrior, Sample, StratumCounts, posterior};
use serde::{Deserialize, Serialize};

/// One emptying of traps.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TrapCatch {
    /// Number caught in all.
    pub found: u64,
    /// Traps emptied.
    pub traps: u32,
    /// Nights (or days) that they stood.
    pub nights: f64,
}

/// Catch a trap and night.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CatchRate {
    /// Posterior mean, per trap and night.
    pub mean: f64,
    /// Posterior median.
    pub median: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Level of the interval.
    pub level: f64,
    /// Caught in all.
    pub found: u64,
    /// Traps × nights behind it.
    pub trap_nights: f64,
}

/// Why a catch cannot be reckoned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TrapError {
    /// No catch was given.
    #[error("no catch is given: write down each emptying with the traps and the nights they stood, a zero too")]
    NoCatch,
    /// No traps or no nights.
    #[error("{traps} traps for {nights} nights: both must be above 0, e.g. 5 traps for 1 night")]
    TrapNights {
        /// Traps as given.
        traps: u32,
        /// Nights as given.
        nights: f64,
    },
    /// The posterior.
    #[error(transparent)]
    Density(#[from] DensityError),
}

/// Rate per trap and night, with an interval of `level`; `k` is the range of clumping of one emptying (0.3 to 3 where unknown).
///
/// Before a catch a rate is as likely under one a trap and night as over it, with long tails both ways.
///
/// # Errors
/// [`TrapError`] for no catch, or traps and nights that are not above 0.
///
/// # Example
/// ```
/// # use groundlore_plant_health::traps::*;
/// let nights = [4, 9, 2, 6, 5].map(|found| TrapCatch { found, traps: 5, nights: 1.0 });
/// let rate = catch_rate(&nights, None, 0.9)?;
/// assert!(rate.low < 26.0 / 25.0 && rate.high > 26.0 / 25.0);
/// # Ok::<(), TrapError>(())
/// ```
pub fn catch_rate(catches: &[TrapCatch], k: Option<(f64, f64)>, level: f64) -> Result<CatchRate, TrapError> {
    if catches.is_empty() {
        return Err(TrapError::NoCatch);
    }
    if let Some(wrong) = catches.iter().find(|c| c.traps == 0 || !(c.nights > 0.0 && c.nights.is_finite())) {
        return Err(TrapError::TrapNights { traps: wrong.traps, nights: wrong.nights });
    }
    // The same sum as for a density, with trap-nights in the place of area.
    let exposure = |c: &TrapCatch| f64::from(c.traps) * c.nights;
    let samples = catches.iter().map(|c| Sample { found: c.found, area_m2: exposure(c) }).collect();
    let (k_low, k_high) = k.unwrap_or(DensityPrior::UNKNOWN_K);
    let counts = StratumCounts { name: "traps".into(), area_m2: 1.0, samples, ..StratumCounts::default() };
    let found = posterior(&[counts], &DensityPrior { median_per_m2: 1.0, k_low, k_high }, level)?;
    let estimate = found.yard.estimate().ok_or(TrapError::NoCatch)?;
    Ok(CatchRate {
        mean: estimate.mean_per_m2,
        median: estimate.median_per_m2,
        low: estimate.low_per_m2,
        high: estimate.high_per_m2,
        level,
        found: catches.iter().fold(0, |sum, c| sum.saturating_add(c.found)),
        trap_nights: catches.iter().map(exposure).sum(),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    #[test]
    fn twice_the_nights_halve_the_rate() {
        let rate = |nights: f64| catch_rate(&[12, 15, 9].map(|found| TrapCatch { found, traps: 2, nights }), None, 0.9).unwrap();
        assert!((rate(1.0).median / rate(2.0).median - 2.0).abs() < 0.25, "{:?} {:?}", rate(1.0), rate(2.0));
        assert!((rate(2.0).trap_nights - 12.0).abs() < 1e-9 && rate(2.0).found == 36);
    }

    #[test]
    fn impossible_catches_are_named() {
        assert!(catch_rate(&[], None, 0.9).unwrap_err().to_string().contains("a zero too"));
        let said = catch_rate(&[TrapCatch { found: 1, traps: 3, nights: 0.0 }], None, 0.9).unwrap_err().to_string();
        assert!(said.contains("3 traps for 0 nights"), "{said}");
    }
}
