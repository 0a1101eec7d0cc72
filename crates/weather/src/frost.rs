//! Frost: thresholds, and the last and first frost of each year of record.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::{date_of, day_number, month_day_in};
use crate::odds::Odds;
use crate::series::{Hemisphere, Series};

/// Frost, as the United States weather service words it: 36 °F on the thermometer, in °C.
///
/// # Source
/// National Weather Service, weather.gov/jan/frostfreeze (row F-01 of the reference note).
pub const FROST_C: f64 = 20.0 / 9.0;
/// Freeze: 32 °F, in °C. Source as [`FROST_C`].
pub const FREEZE_C: f64 = 0.0;
/// Hard freeze: 28 °F, in °C. Source as [`FROST_C`].
pub const HARD_FREEZE_C: f64 = -20.0 / 9.0;

/// A minimum that counts as frost.
///
/// # Example
/// ```
/// use groundlore_weather::frost::{Threshold, FROST_C, HARD_FREEZE_C};
/// // A thermometer read at 28 °F is stored as -2.2 °C, which is 28.04 °F: still a hard freeze.
/// assert!(Threshold { at_most_c: HARD_FREEZE_C, whole_fahrenheit: true }.reached_by(-2.2));
/// assert!(!Threshold { at_most_c: HARD_FREEZE_C, whole_fahrenheit: false }.reached_by(-2.2));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Threshold {
    /// The highest minimum that counts, °C.
    pub at_most_c: f64,
    /// Whether minima are rounded to whole °F first, because they were read so and stored in tenths of °C.
    pub whole_fahrenheit: bool,
}

impl Threshold {
    /// The threshold as a series is to be compared with it.
    #[must_use]
    pub fn of(series: &Series, at_most_c: f64) -> Threshold {
        Threshold { at_most_c, whole_fahrenheit: series.whole_fahrenheit }
    }

    /// Whether a minimum (°C) is at or below the threshold; NaN is not.
    #[must_use]
    pub fn reached_by(&self, minimum_c: f64) -> bool {
        // A billionth of a degree forgives the rounding of thresholds such as -20/9.
        if !self.whole_fahrenheit {
            return minimum_c <= self.at_most_c + 1e-9;
        }
        let fahrenheit = |celsius: f64| celsius * 9.0 / 5.0 + 32.0;
        fahrenheit(minimum_c).round() <= fahrenheit(self.at_most_c) + 1e-9
    }
}

/// The last and the first frost of one year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct FrostYear {
    /// The calendar year in which the growing year opens: the year itself north of the equator, July's year south of it.
    pub year: i16,
    /// The last frost of its first half (to 30 June; south of the equator 31 December).
    pub last_spring: Option<Date>,
    /// The first frost of its second half (from 1 July; south of the equator 1 January).
    pub first_autumn: Option<Date>,
    /// Days of the year without a trusted minimum; such days count as without frost.
    pub missing_days: usize,
}

impl FrostYear {
    /// Days between the last frost and the first, neither counted, as `first − last − 1`.
    #[must_use]
    pub fn frost_free_days(&self) -> Option<i32> {
        Some(day_number(self.first_autumn?) - day_number(self.last_spring?) - 1)
    }
}

/// The last and first frost of each growing year that a series holds whole, by the trusted minima.
///
/// The year is parted at midsummer: 30 June and 1 July north of the equator, 31 December and 1 January south of it.
///
/// # Example
/// ```
/// use groundlore_weather::frost::{frost_years, FREEZE_C};
/// use groundlore_weather::series::{Columns, Series, Station};
/// use jiff::civil::date;
///
/// let mut tmin_c = vec![10.0; 365];
/// (tmin_c[114], tmin_c[289]) = (-1.0, -0.5); // 25 April and 17 October
/// let station = Station { latitude: Some(43.0), ..Station::default() };
/// let series = Series::from_columns(station, date(2015, 1, 1), Columns { tmin_c, ..Columns::default() })?;
/// let year = frost_years(&series, FREEZE_C)[0];
/// assert_eq!((year.last_spring, year.first_autumn), (Some(date(2015, 4, 25)), Some(date(2015, 10, 17))));
/// assert_eq!(year.frost_free_days(), Some(174));
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[must_use]
pub fn frost_years(series: &Series, at_most_c: f64) -> Vec<FrostYear> {
    let threshold = Threshold::of(series, at_most_c);
    let minima = series.trusted(crate::series::Element::MinimumTemperature);
    let (opening, middle) = match series.hemisphere() {
        Hemisphere::North => (1, 7),
        Hemisphere::South => (7, 1),
    };
    let mut years = Vec::new();
    for year in series.first_day().year()..=series.last_day().year() {
        let first = month_day_in(year, opening, 1);
        let half = month_day_in(year + i16::from(opening == 7), middle, 1);
        let close = month_day_in(year + 1, opening, 1).map(|date| date_of(day_number(date) - 1));
        let (Some(start), Some(half), Some(last)) = (
            first.and_then(|date| series.index(date)),
            half.and_then(|date| series.index(date)),
            close.and_then(|date| series.index(date)),
        ) else {
            continue;
        };
        let frost = |index: &usize| threshold.reached_by(minima[*index]);
        years.push(FrostYear {
            year,
            last_spring: (start..half).rev().find(frost).map(|index| series.date(index)),
            first_autumn: (half..=last).find(frost).map(|index| series.date(index)),
            missing_days: minima[start..=last].iter().filter(|value| value.is_nan()).count(),
        });
    }
    years
}

/// Odds of the last and the first frost over the years of record, dated in one year: `year` is the growing year they are moved to. Years
/// with more than `most_missing_days` without a minimum are left out.
#[must_use]
pub fn frost_odds(years: &[FrostYear], year: i16, most_missing_days: usize) -> (Odds, Odds) {
    let kept: Vec<&FrostYear> = years.iter().filter(|frost| frost.missing_days <= most_missing_days).collect();
    let moved = |frost: &FrostYear, date: Option<Date>| {
        let date = date?;
        month_day_in(year + date.year() - frost.year, date.month(), date.day())
    };
    let last: Vec<Option<Date>> = kept.iter().map(|frost| moved(frost, frost.last_spring)).collect();
    let first: Vec<Option<Date>> = kept.iter().map(|frost| moved(frost, frost.first_autumn)).collect();
    (Odds::from_last_dates(&last, Date::MIN), Odds::from_dates(&first, Date::MIN))
}
