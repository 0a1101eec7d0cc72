//! Drought: days without rain, and how a stretch's rain stands against the record (the standardized precipitation index).
//!
//! # Sources
//! Dry days under 1 mm: the international climate-change indices (ETCCDI; memory). The index: McKee, Doesken & Kleist (1993), with a gamma
//! distribution fitted by maximum likelihood and a share of zeros of its own (memory); checked against scipy 1.17.1.

use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, Normal};
use statrs::function::gamma::{digamma, gamma_lr};

/// Rain under which a day is dry, mm.
pub const DRY_MM: f64 = 1.0;

/// Runs of dry days.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct DrySpells {
    /// The longest run of dry days in a row.
    pub longest: usize,
    /// The run that stands at the end.
    pub current: usize,
}

/// Runs of days with less than 1 mm (column of mm; a NaN ends a run, as it may have been wet).
///
/// # Example
/// ```
/// # use groundlore_weather::drought::dry_spells;
/// let spells = dry_spells(&[0.0, 0.4, 0.0, 5.0, 0.0, 0.9]);
/// assert_eq!((spells.longest, spells.current), (3, 2));
/// ```
#[must_use]
pub fn dry_spells(rain_mm: &[f64]) -> DrySpells {
    let (mut longest, mut current) = (0, 0);
    for rain in rain_mm {
        current = if *rain < DRY_MM { current + 1 } else { 0 };
        longest = longest.max(current);
    }
    DrySpells { longest, current }
}

/// A gamma distribution fitted to the rain of past stretches, with a share of stretches without any.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RainDistribution {
    /// Shape.
    pub shape: f64,
    /// Scale, mm.
    pub scale_mm: f64,
    /// Share of stretches without rain.
    pub zero_share: f64,
    /// Stretches it was fitted to.
    pub stretches: usize,
}

impl RainDistribution {
    /// Fits the totals of past stretches (mm) by maximum likelihood; NaN are left out. `None` with fewer than ten stretches, or with fewer than
    /// four different wet ones.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::drought::RainDistribution;
    /// let past = [61.0, 84.0, 32.0, 110.0, 55.0, 71.0, 20.0, 95.0, 66.0, 48.0, 77.0, 130.0];
    /// let rain = RainDistribution::fit(&past).unwrap();
    /// assert!(rain.index(20.0) < -1.5 && rain.index(68.0).abs() < 0.2 && rain.index(130.0) > 1.4);
    /// ```
    #[must_use]
    pub fn fit(totals_mm: &[f64]) -> Option<RainDistribution> {
        let known: Vec<f64> = totals_mm.iter().copied().filter(|total| *total >= 0.0).collect();
        let wet: Vec<f64> = known.iter().copied().filter(|total| *total > 0.0).collect();
        let mut different = wet.clone();
        different.sort_by(f64::total_cmp);
        different.dedup();
        if known.len() < 10 || different.len() < 4 {
            return None;
        }
        let count = wet.len() as f64;
        let mean = wet.iter().sum::<f64>() / count;
        let mean_log = wet.iter().map(|total| total.ln()).sum::<f64>() / count;
        let shape = shape_of(mean.ln() - mean_log);
        let zero_share = (known.len() - wet.len()) as f64 / known.len() as f64;
        Some(RainDistribution { shape, scale_mm: mean / shape, zero_share, stretches: known.len() })
    }

    /// Chance of a stretch as dry as this or drier, 0 to 1.
    #[must_use]
    pub fn chance_of_less(&self, total_mm: f64) -> f64 {
        if total_mm.is_nan() {
            return f64::NAN;
        }
        let wet = if total_mm > 0.0 { gamma_lr(self.shape, total_mm / self.scale_mm) } else { 0.0 };
        self.zero_share + (1.0 - self.zero_share) * wet
    }

    /// Standardized precipitation index of a total (mm): 0 as usual, −1 dry, −2 very dry; held within ±3.09, beyond which a record
    /// of decades says nothing.
    #[must_use]
    pub fn index(&self, total_mm: f64) -> f64 {
        const END: f64 = 3.09;
        let chance = self.chance_of_less(total_mm);
        match chance {
            p if p.is_nan() => f64::NAN,
            p if p <= 0.0 => -END,
            p if p >= 1.0 => END,
            p => Normal::standard().inverse_cdf(p).clamp(-END, END),
        }
    }
}

/// The shape whose ln a − ψ(a) is a given positive figure: Thom's start, then Newton's steps on the logarithm.
fn shape_of(spread: f64) -> f64 {
    let start = (1.0 + (1.0 + 4.0 * spread / 3.0).sqrt()) / (4.0 * spread);
    let step = |shape: f64| {
        let off = shape.ln() - digamma(shape) - spread;
        let (low, high) = (shape * 0.9999, shape * 1.0001);
        let slope = ((high.ln() - digamma(high)) - (low.ln() - digamma(low))) / (high - low);
        (shape - off / slope).clamp(shape * 0.5, shape * 2.0)
    };
    (0..40).fold(start, |shape, _| step(shape))
}

/// What an index means, in McKee's words (memory).
#[must_use]
pub fn index_words(index: f64) -> &'static str {
    match index {
        i if i.is_nan() => "not checked",
        i if i <= -2.0 => "extremely dry",
        i if i <= -1.5 => "severely dry",
        i if i <= -1.0 => "moderately dry",
        i if i < 1.0 => "near normal",
        i if i < 1.5 => "moderately wet",
        i if i < 2.0 => "very wet",
        _ => "extremely wet",
    }
}

/// Standardized precipitation index of each month over the months up to it.
///
/// `monthly_mm` runs from a first calendar month (1 to 12) without a break, NaN where unknown; `months` is the length of the stretch (1, 3, 6…).
/// Each calendar month has its own distribution, fitted to the whole record. NaN where the stretch is not whole or too few are known.
#[must_use]
pub fn standardized_precipitation(monthly_mm: &[f64], first_month: i8, months: usize) -> Vec<f64> {
    let total = |end: usize| if months == 0 || end + 1 < months { f64::NAN } else { monthly_mm[end + 1 - months..=end].iter().sum() };
    let totals: Vec<f64> = (0..monthly_mm.len()).map(total).collect();
    let first = usize::try_from(i32::from(first_month) - 1).unwrap_or(0);
    let calendar_month = |index: usize| (first + index) % 12;
    let of_month = |month: usize| -> Vec<f64> {
        totals.iter().enumerate().filter(|(index, _)| calendar_month(*index) == month).map(|(_, total)| *total).collect()
    };
    let fits: Vec<Option<RainDistribution>> = (0..12).map(|month| RainDistribution::fit(&of_month(month))).collect();
    let index = |(place, total): (usize, &f64)| fits[calendar_month(place)].map_or(f64::NAN, |fit| fit.index(*total));
    totals.iter().enumerate().map(index).collect()
}
