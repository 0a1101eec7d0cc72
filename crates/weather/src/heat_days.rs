//! Hot days of a year, and the class that gardeners' heat maps make of them.
//!
//! # Source
//! The heat zones of the American Horticultural Society: mean number of days a year above 30 °C (86 °F), twelve classes; read at
//! pinetum.org/heat.htm. A day of exactly 30 °C is not above it.

use std::fmt;

use serde::Serialize;

use crate::quantile::mean;
use crate::series::{Element, Series};

/// Whose cuts the classes are.
pub const WHOSE_CUTS: &str = "heat zones of the American Horticultural Society, days a year above 30 °C (86 °F)";

/// Temperature above which a day is hot, °C.
pub const HOT_C: f64 = 30.0;

/// Most days a year of classes 2 to 11; class 1 has under one day, class 12 more than the last.
const MOST_DAYS: [f64; 10] = [7.0, 14.0, 30.0, 45.0, 60.0, 90.0, 120.0, 150.0, 180.0, 210.0];

/// A heat class, 1 (coolest) to 12.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct HeatClass(u8);

impl HeatClass {
    /// The class of a mean number of hot days a year; `None` for a figure that is no number of days.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::heat_days::HeatClass;
    /// // De Bilt 1980–2019: 3.875 days a year above 30 °C.
    /// assert_eq!(HeatClass::of_days(3.875).map(HeatClass::number), Some(2));
    /// ```
    #[must_use]
    pub fn of_days(days_a_year: f64) -> Option<HeatClass> {
        if !(0.0..=366.0).contains(&days_a_year) {
            return None;
        }
        if days_a_year < 1.0 {
            return Some(HeatClass(1));
        }
        let above = MOST_DAYS.iter().filter(|most| days_a_year > **most).count();
        u8::try_from(above + 2).ok().map(HeatClass)
    }

    /// The class's number, 1 to 12.
    #[must_use]
    pub fn number(self) -> u8 {
        self.0
    }
}

impl fmt::Display for HeatClass {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}", self.0)
    }
}

/// The hot days of one year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct HotYear {
    /// The calendar year.
    pub year: i16,
    /// Days above 30 °C.
    pub hot_days: usize,
    /// Days of the year without a trusted maximum.
    pub missing_days: usize,
}

/// The hot days of each calendar year that a series holds whole. Maxima read in whole °F are rounded to whole °F first.
#[must_use]
pub fn hot_years(series: &Series) -> Vec<HotYear> {
    let maxima = series.trusted(Element::MaximumTemperature);
    let hot = |celsius: f64| if series.whole_fahrenheit { (celsius * 1.8 + 32.0).round() > 86.0 } else { celsius > HOT_C };
    let mut years = Vec::new();
    for year in series.first_day().year()..=series.last_day().year() {
        let ends =
            [(1, 1), (12, 31)].map(|(month, day)| crate::calendar::month_day_in(year, month, day).and_then(|date| series.index(date)));
        let [Some(start), Some(last)] = ends else { continue };
        let days = &maxima[start..=last];
        years.push(HotYear {
            year,
            hot_days: days.iter().filter(|celsius| hot(**celsius)).count(),
            missing_days: days.iter().filter(|celsius| celsius.is_nan()).count(),
        });
    }
    years
}

/// The class of a record: that of its mean year. Years with more than `missing_allowed` days missing are left out; `None` when none is left.
#[must_use]
pub fn heat_class(years: &[HotYear], missing_allowed: usize) -> Option<HeatClass> {
    let whole: Vec<f64> = years.iter().filter(|year| year.missing_days <= missing_allowed).map(|year| year.hot_days as f64).collect();
    HeatClass::of_days(mean(&whole)?)
}
