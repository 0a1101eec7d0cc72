//! Values that look wrong against the station's own past and against its neighbours.
//!
//! Every value is kept as it is: each finding is a [`Flag`] beside it. Each check looks only at values that no earlier one flagged, in the
//! order noughts, doubled months, streaks, climatological outliers (rain by its percentile), neighbours.
//!
//! # Sources
//! Order, noughts, doubles, streaks and outliers: *Methods – Quality Control* of GHCN-Daily, NOAA NCDC (read): both temperatures 0 °C or
//! both 0 °F; a month given again in another year or in the same year; 15 to 20 equal temperatures in a row; six standard deviations from
//! the 15-day mean; each check on what passed those before it. That a doubled month needs 20 days and 5 different values is ours. The practice is described by Durre, Menne,
//! Gleason, Houston & Vose (2010), *Comprehensive automated quality assurance of daily surface observations*, Journal of Applied
//! Meteorology and Climatology 49:1615. Memory of that paper: neighbours disagree where the residual of the regression on them is over
//! 8 °C and over 4 of its standard deviations; rain is an outlier over 9 times the 95th percentile of wet days around the date (5 times
//! in frost). Our regression is [`crate::stations`]', over all common days and not by month.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::day_slot;
use crate::check::runs;
use crate::quantile::{QuantileRule, quantile};
use crate::series::{Element, Series};
use crate::stations::Alongside;

const SLOTS: usize = 366;

/// Limits of the checks.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NeighbourLimits {
    /// Equal temperatures in a row.
    pub streak_days: usize,
    /// Standard deviations from the normal of the day.
    pub outlier_sd: f64,
    /// Least values within the window for an outlier to be told.
    pub outlier_values: usize,
    /// Times the 95th percentile of wet days around the date.
    pub rain_times: f64,
    /// The same in frost.
    pub rain_times_in_frost: f64,
    /// Least wet days for that percentile.
    pub rain_values: usize,
    /// Residual of the regression on neighbours, °C.
    pub residual_k: f64,
    /// Residual in its own standard deviations.
    pub residual_sd: f64,
    /// Least days in common with a neighbour.
    pub common_days: usize,
}

impl Default for NeighbourLimits {
    fn default() -> NeighbourLimits {
        NeighbourLimits {
            streak_days: 20,
            outlier_sd: 6.0,
            outlier_values: 100,
            rain_times: 9.0,
            rain_times_in_frost: 5.0,
            rain_values: 20,
            residual_k: 8.0,
            residual_sd: 4.0,
            common_days: 90,
        }
    }
}

/// Why a value is flagged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FlagReason {
    /// Both temperatures of the day are 0 °C, or both 0 °F: a blank that was typed as nought.
    Nought,
    /// The month stands in the record twice: one of the two is a copy.
    DoubledMonth,
    /// One of a long row of equal values.
    Streak,
    /// Far from what this station has at this time of the year.
    ClimatologicalOutlier,
    /// Far from what its neighbours had on the day.
    Neighbours,
}

/// A finding beside a value.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Flag {
    /// Which element.
    pub element: Element,
    /// Which day.
    pub date: Date,
    /// The value, as it stands in the series.
    pub value: f64,
    /// Why it is flagged.
    pub reason: FlagReason,
    /// What the check would have expected, if it expects anything.
    pub expected: Option<f64>,
    /// The finding in words.
    pub text: String,
}

/// Looks over a station's temperatures and rain; with neighbours, against them too. Values already suspect are left out; nothing is
/// changed. Flags come by element, then by check, then by day.
///
/// # Example
/// ```
/// use groundlore_weather::neighbours::{FlagReason, NeighbourLimits, look_over};
/// use groundlore_weather::series::{Columns, Series, Station};
///
/// let mut tmax_c: Vec<f64> = (0..60).map(|day| 20.0 + f64::from(day % 7)).collect();
/// tmax_c[10..30].fill(22.5);
/// let columns = Columns { tmax_c, ..Columns::default() };
/// let series = Series::from_columns(Station::default(), jiff::civil::date(2015, 5, 1), columns)?;
/// let flags = look_over(&series, &[], &NeighbourLimits::default());
/// assert_eq!(flags.len(), 20);
/// assert_eq!(flags[0].reason, FlagReason::Streak);
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[must_use]
pub fn look_over(series: &Series, neighbours: &[&Series], limits: &NeighbourLimits) -> Vec<Flag> {
    let mut flags = Vec::new();
    for element in [Element::MinimumTemperature, Element::MaximumTemperature, Element::Precipitation] {
        let mut look = Look { series, element, values: series.trusted(element), limits, flags: &mut flags };
        if element.is_temperature() {
            look.noughts();
        }
        look.doubled_months();
        if element.is_temperature() {
            look.streaks();
            look.outliers();
            look.against(neighbours);
        } else {
            look.rain_outliers();
        }
    }
    flags
}

/// One element under the checks; a flagged value is NaN to the checks that follow.
struct Look<'a> {
    series: &'a Series,
    element: Element,
    values: Vec<f64>,
    limits: &'a NeighbourLimits,
    flags: &'a mut Vec<Flag>,
}

impl Look<'_> {
    fn flag(&mut self, index: usize, reason: FlagReason, expected: Option<f64>, why: &str) {
        let (date, value) = (self.series.date(index), self.values[index]);
        let text = format!("{}: {date} {value:.1} {} {why}; look at the original", self.element.code(), self.element.unit());
        self.flags.push(Flag { element: self.element, date, value, reason, expected, text });
        self.values[index] = f64::NAN;
    }

    fn noughts(&mut self) {
        for index in 0..self.values.len() {
            let (low, high) = (self.series.tmin_c()[index], self.series.tmax_c()[index]);
            // 0 °F is −17.78 °C, and −17.8 in tenths.
            let nought = low == high && (low == 0.0 || (low + 17.8).abs() < 0.05);
            if nought && !self.values[index].is_nan() {
                self.flag(index, FlagReason::Nought, None, "is both the minimum and the maximum: a blank may have been typed as nought");
            }
        }
    }

    fn doubled_months(&mut self) {
        let months = self.months();
        let mut copies: Vec<(usize, String)> = Vec::new();
        for (place, one) in months.iter().enumerate() {
            let other =
                months[place + 1..].iter().find(|other| (one.month == other.month) != (one.year == other.year) && self.alike(one, other));
            if let Some(other) = other {
                copies.extend(one.days().map(|index| (index, other.name())));
                copies.extend(other.days().map(|index| (index, one.name())));
            }
        }
        copies.sort();
        copies.dedup_by_key(|(index, _)| *index);
        for (index, name) in copies {
            if !self.values[index].is_nan() {
                self.flag(index, FlagReason::DoubledMonth, None, &format!("stands in a month that has the same values as {name}"));
            }
        }
    }

    fn months(&self) -> Vec<Month> {
        let mut found: Vec<Month> = Vec::new();
        for index in 0..self.values.len() {
            let date = self.series.date(index);
            match found.last_mut() {
                Some(month) if month.month == date.month() && month.year == date.year() => month.length += 1,
                _ => found.push(Month { year: date.year(), month: date.month(), first_day: date.day(), first: index, length: 1 }),
            }
        }
        // A record that begins within a month begins its comparing with the next.
        found.retain(|month| month.first_day == 1);
        found
    }

    /// Whether two months have the same values on at least 20 days, of at least 5 kinds, and none that differs.
    fn alike(&self, one: &Month, other: &Month) -> bool {
        let (mut days, mut kinds) = (0usize, Vec::new());
        for (a, b) in one.days().zip(other.days()) {
            let (a, b) = (self.values[a], self.values[b]);
            if a.is_nan() || b.is_nan() {
                continue;
            }
            if a != b {
                return false;
            }
            days += 1;
            if !kinds.contains(&a) {
                kinds.push(a);
            }
        }
        days >= 20 && kinds.len() >= 5
    }

    fn streaks(&mut self) {
        let least = self.limits.streak_days.max(2);
        let same = |index: usize| index > 0 && self.values[index] == self.values[index - 1];
        let long: Vec<(usize, usize)> =
            runs(self.values.len(), same).into_iter().filter(|(first, last)| last - first + 2 >= least).collect();
        for (first, last) in long {
            let days = last - first + 2;
            for index in first - 1..=last {
                self.flag(index, FlagReason::Streak, None, &format!("is one of {days} equal values in a row"));
            }
        }
    }

    fn outliers(&mut self) {
        let window = Window::of(self.series, &self.values, 7);
        // Once for each day of the year: a long record asks for each many times.
        let usual: Vec<Option<(f64, f64)>> = (0..SLOTS).map(|slot| window.mean_and_sd(slot, self.limits.outlier_values)).collect();
        for index in 0..self.values.len() {
            let Some((mean, sd)) = usual[day_slot(self.series.date(index)) % SLOTS] else { continue };
            let off = (self.values[index] - mean).abs() / sd;
            if off >= self.limits.outlier_sd {
                let why = format!("is {off:.1} standard deviations from {mean:.1}, the mean of the 15 days around this date");
                self.flag(index, FlagReason::ClimatologicalOutlier, Some(mean), &why);
            }
        }
    }

    fn rain_outliers(&mut self) {
        let window = Window::of(self.series, &self.values, 14);
        for index in 0..self.values.len() {
            let rain = self.values[index];
            // Small amounts cannot be outliers, and most days are dry.
            if rain.is_nan() || rain < 25.0 {
                continue;
            }
            let wet: Vec<f64> = window.around(day_slot(self.series.date(index))).filter(|value| *value > 0.0).collect();
            if wet.len() < self.limits.rain_values {
                continue;
            }
            let Some(high) = upper(&wet) else { continue };
            let frost = self.series.tmax_c()[index] < 0.0;
            let times = if frost { self.limits.rain_times_in_frost } else { self.limits.rain_times };
            if rain >= times * high {
                let why = format!("is over {times} times {high:.1} mm, which 95 in 100 wet days around this date stay under");
                self.flag(index, FlagReason::ClimatologicalOutlier, Some(high), &why);
            }
        }
    }

    fn against(&mut self, neighbours: &[&Series]) {
        if neighbours.is_empty() {
            return;
        }
        let hidden = |index: usize| self.values[index].is_nan();
        let estimates = Alongside::of(self.series, neighbours, self.element, hidden).estimates(self.element, self.limits.common_days);
        let residuals: Vec<f64> = self.values.iter().zip(&estimates).map(|(value, estimate)| value - estimate).collect();
        let known = residuals.iter().filter(|residual| !residual.is_nan());
        let (count, squares) = known.fold((0.0, 0.0), |(count, squares), residual| (count + 1.0, squares + residual * residual));
        let sd: f64 = f64::sqrt(squares / count);
        for index in 0..residuals.len() {
            let off = residuals[index].abs();
            if off > self.limits.residual_k && off > self.limits.residual_sd * sd {
                let why = format!("is {off:.1} °C from the {:.1} °C that the neighbours speak for", estimates[index]);
                self.flag(index, FlagReason::Neighbours, Some(estimates[index]), &why);
            }
        }
    }
}

/// A month of the record, by its place in the columns.
struct Month {
    year: i16,
    month: i8,
    first_day: i8,
    first: usize,
    length: usize,
}

impl Month {
    fn days(&self) -> std::ops::Range<usize> {
        self.first..self.first + self.length
    }

    fn name(&self) -> String {
        format!("{}-{:02}", self.year, self.month)
    }
}

fn upper(wet: &[f64]) -> Option<f64> {
    let mut sorted = wet.to_vec();
    sorted.sort_by(f64::total_cmp);
    quantile(&sorted, 0.95, QuantileRule::Linear)
}

/// Values by day of the year, to be looked up around a date.
struct Window {
    slots: Vec<Vec<f64>>,
    half: usize,
}

impl Window {
    fn of(series: &Series, values: &[f64], half: usize) -> Window {
        let mut slots = vec![Vec::new(); SLOTS];
        for (index, value) in values.iter().enumerate().filter(|(_, value)| !value.is_nan()) {
            slots[day_slot(series.date(index)) % SLOTS].push(*value);
        }
        Window { slots, half }
    }

    fn around(&self, slot: usize) -> impl Iterator<Item = f64> + '_ {
        (0..=2 * self.half).flat_map(move |step| self.slots[(slot + SLOTS + step - self.half) % SLOTS].iter().copied())
    }

    /// Mean and standard deviation around a day of the year, from the middle four fifths of the values so that the outlier that is looked
    /// for does not hide itself; the spread is made up for what was cut (a normal spread is taken).
    fn mean_and_sd(&self, slot: usize, least: usize) -> Option<(f64, f64)> {
        /// Standard deviation of a normal cut at its 10th and 90th percentiles, as a share of the whole one.
        const CUT: f64 = 0.661_6;
        let mut values: Vec<f64> = self.around(slot).collect();
        if values.len() < least.max(10) {
            return None;
        }
        values.sort_by(f64::total_cmp);
        let cut = values.len() / 10;
        let middle = &values[cut..values.len() - cut];
        let number = middle.len() as f64;
        let mean = middle.iter().sum::<f64>() / number;
        let variance = middle.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / number;
        (variance > 1e-6).then(|| (mean, variance.sqrt() / CUT))
    }
}
