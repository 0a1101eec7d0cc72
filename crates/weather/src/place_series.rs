//! The daily series of one place out of several stations and of its own gauge.
//!
//! [`combine`](crate::stations::combine) weighs temperatures well and rain badly: the mean of several gauges rains on more days, and less
//! on each, than any one of them. So the rain and the snow of a place come from one gauge at a time, the heaviest station's that was read
//! on the day, and from the place's own gauge wherever that was read.

use crate::series::{Element, FillMethod, Mark, Series};
use crate::stations::{Combined, Place, StationsError, WeightRules, combine};

const FALLS: [Element; 3] = [Element::Precipitation, Element::Snowfall, Element::SnowDepth];

/// Temperatures weighed together, rain and snow from one gauge at a time, cut to the days from the first to the last known temperature.
///
/// Rain of the heaviest station keeps its own mark; that of another is marked [`FillMethod::Neighbours`].
///
/// # Errors
/// As [`combine`].
///
/// # Example
/// ```
/// use groundlore_weather::place_series::place_series;
/// use groundlore_weather::{Columns, Element, Place, Series, Station, WeightRules};
/// use jiff::civil::date;
///
/// let station = |latitude, rain: f64, high: f64| {
///     let place = Station { latitude: Some(latitude), longitude: Some(-89.0), ..Station::default() };
///     let columns = Columns { tmin_c: vec![5.0; 3], tmax_c: vec![high; 3], prcp_mm: vec![rain, f64::NAN, rain], ..Columns::default() };
///     Series::from_columns(place, date(2015, 5, 1), columns)
/// };
/// let place = Place { latitude_deg: 43.0, longitude_deg: -89.0, elevation_m: None };
/// let (near, far) = (station(43.05, 0.0, 14.0)?, station(43.3, 8.0, 16.0)?);
/// let found = place_series(&place, &[&near, &far], &WeightRules::default())?.series;
/// // A dry day at the near gauge is dry, though the mean of both would have rain.
/// assert_eq!(found.value(Element::Precipitation, date(2015, 5, 1)), Some(0.0));
/// assert!(found.tmax_c()[0] > 14.0 && found.tmax_c()[0] < 15.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn place_series(place: &Place, stations: &[&Series], rules: &WeightRules) -> Result<Combined, StationsError> {
    let mut found = combine(place, stations, rules)?;
    let mut order: Vec<(usize, f64)> = found.weights.iter().map(|weight| weight.weight).enumerate().collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1));
    for element in FALLS {
        let gauges: Vec<(Vec<f64>, &Series)> = order.iter().map(|(at, _)| (stations[*at].trusted(element), stations[*at])).collect();
        for index in 0..found.series.len() {
            let date = found.series.date(index);
            let read = gauges.iter().enumerate().find_map(|(rank, (values, series))| {
                let at = series.index(date)?;
                let mark = if rank == 0 { series.marks(element)[at] } else { Mark::Filled { how: FillMethod::Neighbours } };
                Some((values[at], mark)).filter(|(value, _)| !value.is_nan())
            });
            let (value, mark) = read.unwrap_or((f64::NAN, Mark::Missing));
            found.series.set(element, index, value, mark);
        }
    }
    let known = |index: &usize| !found.series.tmin_c()[*index].is_nan() || !found.series.tmax_c()[*index].is_nan();
    let span = (0..found.series.len()).find(known).zip((0..found.series.len()).rev().find(known));
    if let Some((first, last)) = span {
        found.weight_known = found.weight_known[first..=last].to_vec();
        found.series = found.series.between(found.series.date(first), found.series.date(last)).ok_or(StationsError::NoValues)?;
    }
    Ok(found)
}

/// The series with the rain of the place's own gauge wherever it was read, and the number of those days. Rain of several days that was
/// read at once leaves those days as they were.
///
/// # Example
/// ```
/// use groundlore_weather::place_series::with_own_rain;
/// use groundlore_weather::{Columns, Series, Station};
/// use jiff::civil::date;
///
/// let rain = |from, prcp_mm: Vec<f64>| Series::from_columns(Station::default(), from, Columns { prcp_mm, ..Columns::default() });
/// let (series, days) = with_own_rain(&rain(date(2015, 5, 1), vec![1.0; 3])?, &rain(date(2015, 5, 2), vec![6.5])?);
/// assert_eq!((series.prcp_mm(), days), ([1.0, 6.5, 1.0].as_slice(), 1));
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[must_use]
pub fn with_own_rain(series: &Series, own: &Series) -> (Series, usize) {
    let mut found = series.clone();
    let mut days = 0;
    for (index, rain) in own.trusted(Element::Precipitation).into_iter().enumerate() {
        if let (Some(at), false) = (series.index(own.date(index)), rain.is_nan()) {
            found.set(Element::Precipitation, at, rain, Mark::Measured);
            days += 1;
        }
    }
    (found, days)
}

/// Several series of one place as one: on each day and element the earliest in the list that has a value. With it, the number of values
/// in which two of them differ.
///
/// # Example
/// ```
/// use groundlore_weather::place_series::joined;
/// use groundlore_weather::{Columns, Series, Station};
/// use jiff::civil::date;
///
/// let rain = |from, prcp_mm: Vec<f64>| Series::from_columns(Station::default(), from, Columns { prcp_mm, ..Columns::default() });
/// let parts = [rain(date(2015, 5, 1), vec![1.0, f64::NAN])?, rain(date(2015, 5, 1), vec![2.0, 3.0, 4.0])?];
/// let (series, differ) = joined(&parts).unwrap();
/// assert_eq!((series.prcp_mm(), differ), ([1.0, 3.0, 4.0].as_slice(), 1));
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[must_use]
pub fn joined(parts: &[Series]) -> Option<(Series, usize)> {
    let first = parts.iter().map(Series::first_day).min()?;
    let last = parts.iter().map(Series::last_day).max()?;
    let lead = parts.first()?;
    let mut found = Series::blank(lead.station.clone(), first, 1).extended_to(last);
    found.whole_fahrenheit = lead.whole_fahrenheit;
    let mut differ = 0;
    for element in Element::ALL {
        for part in parts {
            for index in 0..part.len() {
                let (value, mark) = (part.column(element)[index], part.marks(element)[index]);
                let Some(at) = found.index(part.date(index)).filter(|_| !value.is_nan()) else { continue };
                let before = found.column(element)[at];
                if before.is_nan() {
                    found.set(element, at, value, mark);
                } else if (before - value).abs() > 1e-9 {
                    differ += 1;
                }
            }
        }
    }
    Some((found, differ))
}
