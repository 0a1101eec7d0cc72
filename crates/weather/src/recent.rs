//! The days before a date, summed up against the normal: what a diagnosis asks of the weather.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::{date_of, day_number};
use crate::ensemble::name_of;
use crate::error::WeatherError;
use crate::quantile::mean;
use crate::series::{Element, Series};

/// A day with less rain than this is dry, mm.
///
/// # Source
/// 1 mm is the wet-day limit of the usual climate indices (memory).
pub const DRY_BELOW_MM: f64 = 1.0;

/// A figure of the last days and the same figure in the other years of record.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Compared {
    /// Length of the span, days; it ends on the day before the date asked on.
    pub days: usize,
    /// Days of the span with a trusted value.
    pub known_days: usize,
    /// The figure over the known days; `None` when fewer than four days in five are known (for a sum of rain: when any is unknown).
    pub value: Option<f64>,
    /// Mean of the same figure over the same days of the other years.
    pub normal: Option<f64>,
    /// Share of those years with a lower figure, 0 to 1.
    pub years_below: Option<f64>,
    /// Number of those years.
    pub years: usize,
}

/// The weather just before a date.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Recent {
    /// The date asked on; it is not counted itself.
    pub date: Date,
    /// Rain of the last 14 days, mm.
    pub rain_14_days_mm: Compared,
    /// Mean daily maximum of the last 7 days, °C.
    pub mean_max_7_days_c: Compared,
    /// Mean daily minimum of the last 5 days, °C.
    pub mean_min_5_days_c: Compared,
    /// Days in a row, up to the day before, with less than [`DRY_BELOW_MM`] of rain; it stops at a day whose rain is unknown.
    pub dry_days: usize,
    /// Whether an unknown day (or the start of the series) stopped that count, so that it may be longer.
    pub dry_days_at_least: bool,
}

impl Recent {
    /// Sums up the days before `date`.
    ///
    /// # Errors
    /// [`WeatherError::OutsideSeries`] when the day before `date` lies outside the series.
    ///
    /// # Example
    /// ```
    /// use groundlore_weather::recent::Recent;
    /// use groundlore_weather::series::{Columns, Series, Station};
    /// use jiff::civil::date;
    ///
    /// let mut prcp_mm = vec![0.0; 20];
    /// prcp_mm[9] = 12.0; // 10 August
    /// let columns = Columns { prcp_mm, tmax_c: vec![28.0; 20], tmin_c: vec![16.0; 20], ..Columns::default() };
    /// let series = Series::from_columns(Station::default(), date(2015, 8, 1), columns)?;
    /// let recent = Recent::before(&series, date(2015, 8, 16))?;
    /// assert_eq!(recent.rain_14_days_mm.value, Some(12.0));
    /// assert_eq!((recent.dry_days, recent.dry_days_at_least), (5, false));
    /// # Ok::<(), groundlore_weather::WeatherError>(())
    /// ```
    pub fn before(series: &Series, date: Date) -> Result<Recent, WeatherError> {
        let yesterday = date_of(day_number(date) - 1);
        let Some(last) = series.index(yesterday) else {
            return Err(WeatherError::OutsideSeries {
                station: name_of(series),
                date: yesterday,
                first_day: series.first_day(),
                last_day: series.last_day(),
            });
        };
        let rain = series.trusted(Element::Precipitation);
        let dry_days = rain[..=last].iter().rev().take_while(|amount| **amount < DRY_BELOW_MM).count();
        let stopped_by = (last + 1).checked_sub(dry_days + 1).map(|index| rain[index]);
        Ok(Recent {
            date,
            rain_14_days_mm: compare(series, &rain, last, 14, Figure::Sum),
            mean_max_7_days_c: compare(series, &series.trusted(Element::MaximumTemperature), last, 7, Figure::Mean),
            mean_min_5_days_c: compare(series, &series.trusted(Element::MinimumTemperature), last, 5, Figure::Mean),
            dry_days,
            dry_days_at_least: stopped_by.is_none_or(f64::is_nan),
        })
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Figure {
    Sum,
    Mean,
}

impl Figure {
    /// The figure of a span and its number of known days.
    fn of(self, span: &[f64], days: usize) -> (Option<f64>, usize) {
        let known: Vec<f64> = span.iter().copied().filter(|value| !value.is_nan()).collect();
        let value = match self {
            Figure::Sum => (known.len() == days).then(|| known.iter().sum()),
            Figure::Mean => mean(&known).filter(|_| known.len() * 5 >= days * 4),
        };
        (value, known.len())
    }
}

fn compare(series: &Series, values: &[f64], last: usize, days: usize, figure: Figure) -> Compared {
    let span = |last: usize| &values[(last + 1).saturating_sub(days)..=last];
    let (value, known_days) = figure.of(span(last), days);
    let today = series.date(last);
    let mut others = Vec::new();
    for year in series.first_day().year()..=series.last_day().year() {
        if year == today.year() {
            continue;
        }
        let same_day = crate::calendar::month_day_in(year, today.month(), today.day()).and_then(|date| series.index(date));
        others.extend(same_day.and_then(|index| figure.of(span(index), days).0));
    }
    let below = |value: f64| others.iter().filter(|other| **other < value).count() as f64 / others.len() as f64;
    Compared {
        days,
        known_days,
        value,
        normal: mean(&others),
        years_below: value.filter(|_| !others.is_empty()).map(below),
        years: others.len(),
    }
}
