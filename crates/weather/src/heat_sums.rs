//! Running sums of heat over a whole series, so that a sum is a subtraction and an event date is a search.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::{date_of, day_number};
use crate::degree_days::DegreeDays;
use crate::series::Series;

/// A sum of heat between two days.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HeatSum {
    /// Degree-days, in the scale of the temperatures; missing days count as zero.
    pub total: f64,
    /// Days without heat because a temperature was missing.
    pub missing_days: u32,
}

/// Prefix sums of degree-days over a series, for one model (method, base, upper threshold, cutoff). Built in one pass; all starts,
/// totals and years of a station share them.
///
/// Days with a missing temperature add nothing and are counted: fill gaps first with [`crate::fill::fill_gaps`].
///
/// # Example
/// ```
/// use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};
/// use groundlore_weather::heat_sums::HeatSums;
/// use jiff::civil::date;
///
/// let model = DegreeDays::new(Method::Average, 10.0, None, Cutoff::None)?;
/// // Four days that give 0, 6, 5 and 4 degree-days.
/// let sums = HeatSums::over_columns(date(2015, 5, 1), &[4.0, 9.0, 10.0, 8.0], &[14.0, 23.0, 20.0, 20.0], model);
/// assert_eq!(sums.sum(date(2015, 5, 1), date(2015, 5, 3)).map(|sum| sum.total), Some(11.0));
/// assert_eq!(sums.first_day_reaching(date(2015, 5, 1), 11.0), Some(date(2015, 5, 3)));
/// assert_eq!(sums.first_day_reaching(date(2015, 5, 3), 6.0), Some(date(2015, 5, 4)));
/// assert_eq!(sums.first_day_reaching(date(2015, 5, 3), 10.0), None);
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[derive(Debug, Clone, Serialize)]
pub struct HeatSums {
    model: DegreeDays,
    first_number: i32,
    /// `prefix[i]` is the heat of the first `i` days.
    prefix: Vec<f64>,
    /// `missing[i]` is the number of missing days among the first `i`.
    missing: Vec<u32>,
    /// Whether no day is negative, so that the prefix can be searched by halves. Only an intermediate cutoff breaks it.
    rising: bool,
}

impl HeatSums {
    /// Sums over a series; the model must be in °C.
    #[must_use]
    pub fn over(series: &Series, model: DegreeDays) -> HeatSums {
        HeatSums::over_columns(series.first_day(), series.tmin_c(), series.tmax_c(), model)
    }

    /// Sums over columns of minima and maxima that begin on `first_day`, in the model's own scale.
    #[must_use]
    pub fn over_columns(first_day: Date, tmin: &[f64], tmax: &[f64], model: DegreeDays) -> HeatSums {
        let mut daily = Vec::new();
        model.daily_batch(tmin, tmax, &mut daily);
        let mut prefix = Vec::with_capacity(daily.len() + 1);
        let mut missing = Vec::with_capacity(daily.len() + 1);
        let (mut heat, mut gaps, mut rising) = (0.0, 0, true);
        prefix.push(heat);
        missing.push(gaps);
        for value in daily {
            let unknown = value.is_nan();
            heat += if unknown { 0.0 } else { value };
            gaps += u32::from(unknown);
            rising &= unknown || value >= 0.0;
            prefix.push(heat);
            missing.push(gaps);
        }
        HeatSums { model, first_number: day_number(first_day), prefix, missing, rising }
    }

    /// The model that was summed.
    #[must_use]
    pub fn model(&self) -> DegreeDays {
        self.model
    }

    /// Number of days summed.
    #[must_use]
    pub fn len(&self) -> usize {
        self.prefix.len() - 1
    }

    /// Whether no day was summed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Heat from `from` to `to`, both counted; `None` when either lies outside the series or `to` comes before `from`.
    #[must_use]
    pub fn sum(&self, from: Date, to: Date) -> Option<HeatSum> {
        let start = self.index(from)?;
        let end = self.index(to)?;
        (end >= start).then(|| self.between(start, end + 1))
    }

    /// The first day on which the heat since `start` (counted) reaches `total`; `None` when the series ends before or `start` lies
    /// outside it. A total of zero or less is reached on `start`. Sums within a billionth of the total count as reaching it.
    #[must_use]
    pub fn first_day_reaching(&self, start: Date, total: f64) -> Option<Date> {
        let start = self.index(start)?;
        let index = self.first_index_reaching(start, self.len(), total)?;
        Some(date_of(self.first_number + i32::try_from(index).ok()?))
    }

    pub(crate) fn index(&self, date: Date) -> Option<usize> {
        let offset = day_number(date).checked_sub(self.first_number)?;
        usize::try_from(offset).ok().filter(|index| *index < self.len())
    }

    /// Heat of the days `start..end` by index.
    pub(crate) fn between(&self, start: usize, end: usize) -> HeatSum {
        HeatSum { total: self.prefix[end] - self.prefix[start], missing_days: self.missing[end] - self.missing[start] }
    }

    /// The first day in `start..end` on which the heat since `start` reaches `total`.
    pub(crate) fn first_index_reaching(&self, start: usize, end: usize, total: f64) -> Option<usize> {
        if start >= end || total.is_nan() {
            return None;
        }
        let target = self.prefix[start] + total - 1e-9 * total.abs().max(1.0);
        let after = &self.prefix[start + 1..=end];
        let offset =
            if self.rising { after.partition_point(|heat| *heat < target) } else { after.iter().position(|heat| *heat >= target)? };
        (offset < after.len()).then_some(start + offset)
    }
}
