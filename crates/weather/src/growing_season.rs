//! When the growing season of a year opens and closes.
//!
//! It opens with the first day of the first six in a row whose mean is above 5 °C, and closes with the first day of the first six in a row
//! below 5 °C in the second half of the year (from 1 July; south of the equator the year runs from July and its second half from January).
//!
//! # Source
//! The growing-season length of the international climate-change indices (ETCCDI), rule as in row F-14 of the reference note.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::{date_of, day_number, month_day_in};
use crate::series::{Element, Hemisphere, Series};

/// Days in a row that open or close a season.
pub const SPELL_DAYS: usize = 6;

/// Mean temperature that the spells are measured by, °C.
pub const THRESHOLD_C: f64 = 5.0;

/// The growing season of one year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct GrowingSeason {
    /// The calendar year in which it opens its twelve months (the earlier one south of the equator).
    pub year: i16,
    /// First day of the opening spell; `None` where none came.
    pub start: Option<Date>,
    /// First day of the closing spell; `None` where none came.
    pub end: Option<Date>,
    /// Days from start to end: to the close of the twelve months where the season did not close, 0 where it did not open.
    pub days: i32,
    /// Days of the twelve months without a mean temperature; a spell never runs across one.
    pub missing_days: usize,
}

/// The first place from which `length` values in a row all hold, at or after `from`.
///
/// # Example
/// ```
/// # use groundlore_weather::growing_season::first_spell;
/// assert_eq!(first_spell(&[6.0, 4.0, 6.0, 7.0, 8.0], 0, 3, |celsius| celsius > 5.0), Some(2));
/// ```
#[must_use]
pub fn first_spell(values: &[f64], from: usize, length: usize, holds: impl Fn(f64) -> bool) -> Option<usize> {
    let mut run = 0;
    for (index, value) in values.iter().enumerate().skip(from) {
        run = if holds(*value) { run + 1 } else { 0 };
        if run == length {
            return Some(index + 1 - length);
        }
    }
    None
}

/// The growing season of each twelve months that a series holds whole, by the mean of each day's minimum and maximum.
#[must_use]
pub fn growing_seasons(series: &Series) -> Vec<GrowingSeason> {
    let low = series.trusted(Element::MinimumTemperature);
    let high = series.trusted(Element::MaximumTemperature);
    let means: Vec<f64> = low.iter().zip(&high).map(|(low, high)| 0.5 * (low + high)).collect();
    let (opening, second) = if series.hemisphere() == Hemisphere::North { ((0, 1), (0, 7)) } else { ((0, 7), (1, 1)) };
    let years = series.first_day().year()..=series.last_day().year();
    let place = |year: i16, (later, month): (i16, i8)| month_day_in(year + later, month, 1).and_then(|date| series.index(date));
    let season = |year: i16| {
        let first = place(year, opening)?;
        let middle = place(year, second)?;
        let close = month_day_in(year + 1, opening.1, 1).map(|date| date_of(day_number(date) - 1))?;
        let last = series.index(close)?;
        Some(season_of(year, &means[first..=last], middle - first, series.date(first)))
    };
    years.filter_map(season).collect()
}

/// The season of twelve months of daily means (°C) that begin on `first_day`; the second half begins at place `middle`.
#[must_use]
pub fn season_of(year: i16, means_c: &[f64], middle: usize, first_day: Date) -> GrowingSeason {
    let start = first_spell(means_c, 0, SPELL_DAYS, |celsius| celsius > THRESHOLD_C).filter(|start| *start < middle);
    let end = first_spell(means_c, middle, SPELL_DAYS, |celsius| celsius < THRESHOLD_C);
    let date = |place: usize| i32::try_from(place).ok().map(|offset| date_of(day_number(first_day) + offset));
    let close = end.unwrap_or(means_c.len());
    GrowingSeason {
        year,
        start: start.and_then(date),
        end: end.and_then(date),
        days: start.and_then(|start| i32::try_from(close - start).ok()).unwrap_or(0),
        missing_days: means_c.iter().filter(|celsius| celsius.is_nan()).count(),
    }
}
