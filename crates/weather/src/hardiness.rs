//! The hardiness zone of a station, from the coldest night of each winter.
//!
//! # Source
//! United States Department of Agriculture plant hardiness zones: half zones of 5 °F from −60 °F up, by the mean of the yearly lowest
//! temperature (rows F-20 to F-22 of the reference note). That a value on an edge goes to the warmer half is memory.

use std::fmt;

use serde::Serialize;

use crate::calendar::{date_of, day_number, month_day_in};
use crate::quantile::mean;
use crate::series::{Element, Hemisphere, Series};

/// A half zone, from 1a to 13b.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct HalfZone {
    /// 0 for 1a, 1 for 1b … 25 for 13b.
    index: u8,
}

impl HalfZone {
    /// The half zone of a mean yearly lowest temperature; `None` when it is not a number. Temperatures outside the scale go to its ends.
    ///
    /// # Example
    /// ```
    /// use groundlore_weather::hardiness::HalfZone;
    /// // Row F-22: De Bilt, −10.013 °C.
    /// assert_eq!(HalfZone::of_mean_minimum(-10.013).map(|zone| zone.to_string()), Some("8a".to_owned()));
    /// ```
    #[must_use]
    pub fn of_mean_minimum(celsius: f64) -> Option<HalfZone> {
        if celsius.is_nan() {
            return None;
        }
        // A billionth forgives the way from °F to °C and back, which must not move a value off an edge.
        let fahrenheit = celsius * 9.0 / 5.0 + 32.0;
        let index = ((fahrenheit + 60.0) / 5.0 + 1e-9).floor().clamp(0.0, 25.0);
        Some(HalfZone { index: index as u8 })
    }

    /// The zone's number, 1 to 13.
    #[must_use]
    pub fn number(self) -> u8 {
        self.index / 2 + 1
    }

    /// The half, `a` (colder) or `b`.
    #[must_use]
    pub fn half(self) -> char {
        if self.index.is_multiple_of(2) { 'a' } else { 'b' }
    }

    /// The lowest and highest mean minimum of the half zone, °C.
    #[must_use]
    pub fn range_c(self) -> (f64, f64) {
        let low = f64::from(self.index) * 5.0 - 60.0;
        let celsius = |fahrenheit: f64| (fahrenheit - 32.0) * 5.0 / 9.0;
        (celsius(low), celsius(low + 5.0))
    }
}

impl fmt::Display for HalfZone {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}{}", self.number(), self.half())
    }
}

/// The coldest night of one winter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WinterMinimum {
    /// The calendar year in which the winter's twelve months open (July north of the equator, January south of it).
    pub year: i16,
    /// The lowest trusted minimum, °C.
    pub minimum_c: f64,
    /// Days of the twelve months without one.
    pub missing_days: usize,
}

/// The coldest night of each winter that a series holds whole: July to June north of the equator, January to December south of it.
#[must_use]
pub fn winter_minima(series: &Series) -> Vec<WinterMinimum> {
    let minima = series.trusted(Element::MinimumTemperature);
    let opening = if series.hemisphere() == Hemisphere::North { 7 } else { 1 };
    let mut winters = Vec::new();
    for year in series.first_day().year()..=series.last_day().year() {
        let close = month_day_in(year + 1, opening, 1).map(|date| date_of(day_number(date) - 1));
        let bounds = (month_day_in(year, opening, 1).and_then(|date| series.index(date)), close.and_then(|date| series.index(date)));
        let (Some(start), Some(last)) = bounds else { continue };
        let days = &minima[start..=last];
        let minimum_c = days.iter().copied().fold(f64::NAN, f64::min);
        let missing_days = days.iter().filter(|value| value.is_nan()).count();
        if !minimum_c.is_nan() {
            winters.push(WinterMinimum { year, minimum_c, missing_days });
        }
    }
    winters
}

/// The half zone of winters' minima (°C): that of their mean. `None` when there are none.
#[must_use]
pub fn half_zone(minima_c: &[f64]) -> Option<HalfZone> {
    HalfZone::of_mean_minimum(mean(minima_c)?)
}
