//! Several stations to one place, gaps from neighbours, and a place's own shift.
//!
//! - [`weights`]: how much each station counts for a place, by distance and height.
//! - [`combine`]: one daily series for the place, each value marked as combined.
//! - [`fill_from_neighbours`]: a station's gaps from its neighbours, with the error that filling has on this station.
//! - [`OwnShift`]: how much colder or warmer the place itself is than that series (cold hollow, warm wall), from its own readings.
//!
//! # The forms
//! The weight of a station at distance *d* and height difference *h* is exp(−½ (d/L)² − ½ (h/H)²), divided by the sum over the stations.
//! Gaussian weights in distance are common practice in laying out station data; L = 40 km and H = 300 m are ours (`common practice`), to
//! be set by the caller. Temperature is brought to the place's height at 6.5 K/km (the lapse of the standard atmosphere, `memory`); on
//! clear nights the valley is the colder one, and no lapse rate knows that: hence the own shift.

use serde::Serialize;

use crate::calendar::{day_number, day_slot};
use crate::climatology::Climatology;
use crate::series::{Element, FillMethod, Mark, Series, Station};

const TEMPERATURES: [Element; 2] = [Element::MinimumTemperature, Element::MaximumTemperature];
const COMBINED: [Element; 3] = [Element::MinimumTemperature, Element::MaximumTemperature, Element::Precipitation];

/// Mean radius of the earth, km (memory).
const EARTH_KM: f64 = 6_371.0;

/// Where a yard is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Place {
    /// Decimal degrees, north positive.
    pub latitude_deg: f64,
    /// Decimal degrees, east positive.
    pub longitude_deg: f64,
    /// Metres above the sea; `None` leaves height out of the weights and the lapse undone.
    pub elevation_m: Option<f64>,
}

/// How stations are weighed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WeightRules {
    /// Distance at which a station counts exp(−½) ≈ 0.61 of one on the spot, km.
    pub distance_km: f64,
    /// Height difference at which it does, m.
    pub height_m: f64,
    /// Fall of temperature with height, K/km.
    pub lapse_k_per_km: f64,
    /// Least share of the whole weight that must have a value on a day.
    pub least_weight: f64,
}

impl Default for WeightRules {
    fn default() -> WeightRules {
        WeightRules { distance_km: 40.0, height_m: 300.0, lapse_k_per_km: 6.5, least_weight: 0.2 }
    }
}

/// What one station counts for a place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StationWeight {
    /// The station's identifier.
    pub id: String,
    /// The station's name.
    pub name: String,
    /// Distance along the ground, km.
    pub distance_km: f64,
    /// How much higher the place is than the station, m; `None` when either height is unknown.
    pub rise_m: Option<f64>,
    /// Its weight; all weights of a place sum to 1.
    pub weight: f64,
}

/// What can go wrong in weighing stations.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
pub enum StationsError {
    /// No station was given.
    #[error("no station was given; name at least one station with its weather")]
    NoStation,
    /// A station without a place.
    #[error("the station `{station}` has no latitude and longitude; give both, such as 43.05 and -89.40")]
    NoPlace {
        /// Its identifier or name.
        station: String,
    },
    /// A place or rule that cannot be used.
    #[error("the {what} is {value}; {remedy}")]
    BadNumber {
        /// What it is.
        what: &'static str,
        /// The value seen.
        value: f64,
        /// What would be right.
        remedy: &'static str,
    },
    /// Nothing was measured on any day.
    #[error("none of the stations has a value; look at their files")]
    NoValues,
}

/// Distance along the ground between two points by the haversine form, km.
///
/// # Example
/// ```
/// // A degree of latitude is about 111.2 km on a sphere of 6,371 km.
/// let km = groundlore_weather::stations::distance_km((43.0, -89.0), (44.0, -89.0));
/// assert!((km - 111.195).abs() < 0.001);
/// ```
#[must_use]
pub fn distance_km((latitude_a, longitude_a): (f64, f64), (latitude_b, longitude_b): (f64, f64)) -> f64 {
    let half = |degrees: f64| (degrees.to_radians() / 2.0).sin().powi(2);
    let cosines = latitude_a.to_radians().cos() * latitude_b.to_radians().cos();
    let haversine = half(latitude_b - latitude_a) + cosines * half(longitude_b - longitude_a);
    2.0 * EARTH_KM * haversine.clamp(0.0, 1.0).sqrt().asin()
}

/// The weights of stations for a place, in the order given; they sum to 1 however far the stations are.
///
/// # Errors
/// [`StationsError`] when there is no station, one has no place, or a figure cannot be used.
///
/// # Example
/// ```
/// use groundlore_weather::series::Station;
/// use groundlore_weather::stations::{Place, WeightRules, weights};
///
/// let place = Place { latitude_deg: 43.0, longitude_deg: -89.0, elevation_m: None };
/// let at = |latitude| Station { latitude: Some(latitude), longitude: Some(-89.0), ..Station::default() };
/// // Two stations equally far to the north and the south count alike.
/// let found = weights(&place, &[&at(43.2), &at(42.8)], &WeightRules::default())?;
/// assert!((found[0].weight - 0.5).abs() < 1e-9);
/// # Ok::<(), groundlore_weather::stations::StationsError>(())
/// ```
pub fn weights(place: &Place, stations: &[&Station], rules: &WeightRules) -> Result<Vec<StationWeight>, StationsError> {
    check_figures(place, rules)?;
    let mut found = Vec::with_capacity(stations.len());
    let mut exponents = Vec::with_capacity(stations.len());
    for station in stations {
        let (Some(latitude), Some(longitude)) = (station.latitude, station.longitude) else {
            return Err(StationsError::NoPlace { station: label(station) });
        };
        let distance = distance_km((place.latitude_deg, place.longitude_deg), (latitude, longitude));
        let rise_m = place.elevation_m.zip(station.elevation_m).map(|(here, there)| here - there);
        exponents.push(-0.5 * (distance / rules.distance_km).powi(2) - 0.5 * (rise_m.unwrap_or(0.0) / rules.height_m).powi(2));
        found.push(StationWeight { id: station.id.clone(), name: station.name.clone(), distance_km: distance, rise_m, weight: 0.0 });
    }
    // Taken against the greatest, so that stations all far away still sum to 1.
    let greatest = exponents.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = exponents.iter().map(|exponent| (exponent - greatest).exp()).sum();
    for (station, exponent) in found.iter_mut().zip(&exponents) {
        station.weight = (exponent - greatest).exp() / sum;
    }
    if found.is_empty() { Err(StationsError::NoStation) } else { Ok(found) }
}

fn label(station: &Station) -> String {
    if station.id.is_empty() { station.name.clone() } else { station.id.clone() }
}

fn check_figures(place: &Place, rules: &WeightRules) -> Result<(), StationsError> {
    let checks = [
        ("latitude", place.latitude_deg, place.latitude_deg.abs() <= 90.0, "write degrees from -90 to 90, such as 43.05"),
        ("longitude", place.longitude_deg, place.longitude_deg.abs() <= 180.0, "write degrees from -180 to 180, such as -89.40"),
        ("length of distance", rules.distance_km, rules.distance_km > 0.0, "give kilometres above 0, such as 40"),
        ("length of height", rules.height_m, rules.height_m > 0.0, "give metres above 0, such as 300"),
        ("lapse rate", rules.lapse_k_per_km, rules.lapse_k_per_km.is_finite(), "give K/km, such as 6.5"),
    ];
    match checks.into_iter().find(|(_, _, fine, _)| !fine) {
        Some((what, value, _, remedy)) => Err(StationsError::BadNumber { what, value, remedy }),
        None => Ok(()),
    }
}

/// A place's weather out of several stations.
#[derive(Debug, Clone, Serialize)]
pub struct Combined {
    /// Temperatures and rain of the place, each [`FillMethod::Combined`]. The mean of several gauges rains on more days, and less on
    /// each, than any one gauge: ask a single gauge for dry spells and downpours.
    pub series: Series,
    /// What each station counts.
    pub weights: Vec<StationWeight>,
    /// For each day, the share of the weight that had a maximum.
    pub weight_known: Vec<f64>,
}

/// One station's column made ready for the place.
struct Ready<'a> {
    series: &'a Series,
    weight: f64,
    values: Vec<f64>,
    normals: Climatology,
    lift_k: f64,
}

/// Weighs several stations together for a place, day by day.
///
/// Temperatures are brought to the place's height. A day on which some stations are missing takes the weighted normals of all and the
/// weighted difference from normal of those that have a value, so that a station's silence makes no step. Rain is the weighted mean of
/// those that have a value. Values that are not trusted do not count.
///
/// Each station's normal is that of its own years: where the records are of different years, a warming between them stays in the
/// difference (some tenths of a kelvin in thirty years). Cut the records to common years where that matters.
///
/// # Errors
/// As [`weights`]; [`StationsError::NoValues`] when no station has any day.
pub fn combine(place: &Place, stations: &[&Series], rules: &WeightRules) -> Result<Combined, StationsError> {
    let names: Vec<&Station> = stations.iter().map(|series| &series.station).collect();
    let found = weights(place, &names, rules)?;
    let first = stations.iter().map(|series| series.first_day()).min().ok_or(StationsError::NoStation)?;
    let last = stations.iter().map(|series| series.last_day()).max().ok_or(StationsError::NoStation)?;
    let days = usize::try_from(day_number(last) - day_number(first) + 1).unwrap_or(1);
    let station = Station {
        latitude: Some(place.latitude_deg),
        longitude: Some(place.longitude_deg),
        elevation_m: place.elevation_m,
        ..Station::default()
    };
    let mut series = Series::blank(station, first, days);
    let mut weight_known = vec![0.0; days];
    for element in COMBINED {
        let ready: Vec<Ready<'_>> =
            stations.iter().zip(&found).filter_map(|(series, weight)| make_ready(series, weight, element, rules)).collect();
        for (index, known) in weight_known.iter_mut().enumerate() {
            let (value, share) = on_day(&ready, &series, index, element);
            if element == Element::MaximumTemperature {
                *known = share;
            }
            if !value.is_nan() && share >= rules.least_weight {
                series.set(element, index, value, Mark::Filled { how: FillMethod::Combined });
            }
        }
    }
    let empty = COMBINED.iter().all(|element| series.column(*element).iter().all(|value| value.is_nan()));
    if empty { Err(StationsError::NoValues) } else { Ok(Combined { series, weights: found, weight_known }) }
}

/// `None` for a station that never measured the element: its weight goes to the others.
fn make_ready<'a>(series: &'a Series, weight: &StationWeight, element: Element, rules: &WeightRules) -> Option<Ready<'a>> {
    let values = series.trusted(element);
    if values.iter().all(|value| value.is_nan()) {
        return None;
    }
    let lift_k = if element.is_temperature() { -weight.rise_m.unwrap_or(0.0) / 1000.0 * rules.lapse_k_per_km } else { 0.0 };
    Some(Ready { series, weight: weight.weight, values, normals: Climatology::of(series, element), lift_k })
}

/// The value of a day and the share of the weight behind it.
fn on_day(ready: &[Ready<'_>], series: &Series, index: usize, element: Element) -> (f64, f64) {
    let date = series.date(index);
    let slot = day_slot(date);
    let all: f64 = ready.iter().map(|station| station.weight).sum();
    let (mut known, mut sum, mut normals) = (0.0, 0.0, 0.0);
    for station in ready {
        let normal = if element.is_temperature() { station.normals.normal(slot) + station.lift_k } else { 0.0 };
        normals += station.weight * normal;
        let value = station.series.index(date).map_or(f64::NAN, |place| station.values[place]);
        if !value.is_nan() {
            known += station.weight;
            sum += station.weight * (value + station.lift_k - normal);
        }
    }
    if known > 0.0 { (normals / all + sum / known, known / all) } else { (f64::NAN, 0.0) }
}

/// How neighbours are used to fill.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NeighbourRules {
    /// Least days that both stations must have in common.
    pub least_common_days: usize,
    /// Length of the blocks that are left out to measure the error, days.
    pub block_days: usize,
    /// Whether the error of filling is measured by leaving out, which takes five times as long as filling.
    pub measure_error: bool,
}

impl Default for NeighbourRules {
    fn default() -> NeighbourRules {
        NeighbourRules { least_common_days: 90, block_days: 10, measure_error: true }
    }
}

/// How far filling from neighbours went wrong on this station, on days that were left out of the fit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NeighbourError {
    /// Which element.
    pub element: Element,
    /// Days compared.
    pub days: usize,
    /// Mean of filled less measured, in the column's unit.
    pub mean_error: f64,
    /// Root mean square of filled less measured.
    pub root_mean_square: f64,
    /// The same for the normal of the day instead of the neighbours, on the same days.
    pub climatology_root_mean_square: f64,
}

/// A series filled from its neighbours.
#[derive(Debug, Clone, Serialize)]
pub struct NeighbourFilled {
    /// The series; what was filled is marked [`FillMethod::Neighbours`].
    pub series: Series,
    /// Days filled, by element.
    pub filled: Vec<(Element, usize)>,
    /// The error of filling, measured by leaving out.
    pub errors: Vec<NeighbourError>,
}

/// A neighbour's line: our anomaly = slope × its anomaly, with the variance left over.
struct Line {
    slope: f64,
    left_over: f64,
}

/// One element of a station and of its neighbours, on the station's days, as differences from the normal of the day (rain: as it is).
pub(crate) struct Alongside {
    normal: Vec<f64>,
    own: Vec<f64>,
    others: Vec<Vec<f64>>,
}

impl Alongside {
    pub(crate) fn of(series: &Series, neighbours: &[&Series], element: Element, hidden: impl Fn(usize) -> bool) -> Alongside {
        let slots: Vec<usize> = (0..series.len()).map(|index| day_slot(series.date(index))).collect();
        let mut values = series.trusted(element);
        values.iter_mut().enumerate().filter(|(index, _)| hidden(*index)).for_each(|(_, value)| *value = f64::NAN);
        let normals = Climatology::of_values(element, &slots, &values);
        let relative = element.is_temperature();
        let normal: Vec<f64> = slots.iter().map(|slot| if relative { normals.normal(*slot) } else { 0.0 }).collect();
        let own: Vec<f64> = values.iter().zip(&normal).map(|(value, normal)| value - normal).collect();
        let beside = |other: &&Series| {
            let known = other.trusted(element);
            let at = |index: usize| other.index(series.date(index)).map_or(f64::NAN, |place| known[place]);
            let there: Vec<f64> = (0..series.len()).map(at).collect();
            if !relative {
                return there;
            }
            // Normals from the days that both have: two records of different years differ by their years too.
            let common: Vec<f64> = there.iter().zip(&values).map(|(there, here)| if here.is_nan() { f64::NAN } else { *there }).collect();
            let normals = Climatology::of_values(element, &slots, &common);
            there.iter().zip(&slots).map(|(value, slot)| value - normals.normal(*slot)).collect()
        };
        let others = neighbours.iter().map(beside).collect();
        Alongside { normal, own, others }
    }

    fn line(&self, other: &[f64], element: Element, least: usize) -> Option<Line> {
        let both = || self.own.iter().zip(other).filter(|(own, other)| !own.is_nan() && !other.is_nan());
        let count = both().count();
        if count < least.max(3) {
            return None;
        }
        // Temperatures by least squares; rain by the ratio of the sums, which keeps the amount (normal-ratio method, memory).
        let (above, below) = both().fold((0.0, 0.0), |(above, below), (own, other)| {
            if element.is_temperature() { (above + own * other, below + other * other) } else { (above + own, below + other) }
        });
        let slope = if below > 1e-9 { above / below } else { return None };
        let squares: f64 = both().map(|(own, other)| (own - slope * other).powi(2)).sum();
        Some(Line { slope, left_over: (squares / count as f64).max(1e-6) })
    }

    /// What the neighbours say of every day, NaN where none says anything.
    pub(crate) fn estimates(&self, element: Element, least: usize) -> Vec<f64> {
        let lines: Vec<Option<Line>> = self.others.iter().map(|other| self.line(other, element, least)).collect();
        (0..self.own.len())
            .map(|day| {
                let (mut sum, mut all) = (0.0, 0.0);
                for (line, other) in lines.iter().zip(&self.others) {
                    if let (Some(line), false) = (line, other[day].is_nan()) {
                        // Each neighbour counts by how little its line leaves over (spatial regression, Hubbard & You 2005, memory).
                        sum += line.slope * other[day] / line.left_over;
                        all += 1.0 / line.left_over;
                    }
                }
                if all > 0.0 { self.normal[day] + sum / all } else { f64::NAN }
            })
            .collect()
    }
}

/// Fills the gaps of a station from its neighbours: each neighbour's difference from its own normal, times the slope fitted on the days
/// both have, averaged by what the fits leave over, on top of this station's normal. Rain by the ratio of the two gauges' sums. Values
/// that are not trusted are treated as gaps. The series itself is left as it is.
#[must_use]
pub fn fill_from_neighbours(series: &Series, neighbours: &[&Series], rules: &NeighbourRules) -> NeighbourFilled {
    let mut result = series.clone();
    let mut filled = Vec::new();
    let mut errors = Vec::new();
    for element in COMBINED {
        let estimates = Alongside::of(series, neighbours, element, |_| false).estimates(element, rules.least_common_days);
        let trusted = series.trusted(element);
        let mut count = 0;
        for (index, estimate) in estimates.into_iter().enumerate().filter(|(index, _)| trusted[*index].is_nan()) {
            if !estimate.is_nan() {
                result.set(element, index, estimate, Mark::Filled { how: FillMethod::Neighbours });
                count += 1;
            }
        }
        filled.push((element, count));
        if rules.measure_error {
            errors.extend(left_out_error(series, neighbours, element, rules));
        }
    }
    NeighbourFilled { series: result, filled, errors }
}

/// Leaves out every fifth block of days in turn, so that each day is judged by a fit that never saw it.
fn left_out_error(series: &Series, neighbours: &[&Series], element: Element, rules: &NeighbourRules) -> Option<NeighbourError> {
    const FOLDS: usize = 5;
    let known = series.trusted(element);
    let fold_of = |index: usize| index / rules.block_days.max(1) % FOLDS;
    let (mut days, mut sum, mut squares, mut plain) = (0usize, 0.0, 0.0, 0.0);
    for fold in 0..FOLDS {
        let alongside = Alongside::of(series, neighbours, element, |index| fold_of(index) == fold);
        let estimates = alongside.estimates(element, rules.least_common_days);
        let mean_rain = known.iter().enumerate().filter(|(index, value)| fold_of(*index) != fold && !value.is_nan());
        let (count, total) = mean_rain.fold((0.0, 0.0), |(count, total), (_, value)| (count + 1.0, total + value));
        for index in (0..known.len()).filter(|index| fold_of(*index) == fold) {
            let error = estimates[index] - known[index];
            if error.is_nan() {
                continue;
            }
            let normal = if element.is_temperature() { alongside.normal[index] } else { total / count };
            days += 1;
            sum += error;
            squares += error * error;
            plain += (normal - known[index]).powi(2);
        }
    }
    let number = days as f64;
    (days >= 30).then(|| NeighbourError {
        element,
        days,
        mean_error: sum / number,
        root_mean_square: (squares / number).sqrt(),
        climatology_root_mean_square: (plain / number).sqrt(),
    })
}

/// What is believed of a place's shift before any reading.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ShiftPrior {
    /// Standard deviation of shifts among places, K (ours: 1.5 for minima and 1.0 for maxima, `common practice`).
    pub minimum_sd_k: f64,
    /// The same for maxima.
    pub maximum_sd_k: f64,
    /// Scatter of single days about the shift that is assumed until days have shown their own, K.
    pub day_sd_k: f64,
    /// How many days that assumption counts for.
    pub day_sd_days: f64,
}

impl Default for ShiftPrior {
    fn default() -> ShiftPrior {
        ShiftPrior { minimum_sd_k: 1.5, maximum_sd_k: 1.0, day_sd_k: 1.5, day_sd_days: 5.0 }
    }
}

/// A place's shift in one temperature, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Shift {
    /// Posterior mean, K: how much warmer the place is; drawn towards 0 while readings are few.
    pub mean_k: f64,
    /// Posterior standard deviation, K.
    pub sd_k: f64,
    /// Plain mean of the differences, K; NaN without a reading.
    pub raw_k: f64,
    /// Days compared.
    pub days: usize,
    /// What those days are worth, for one day's difference is like the last's.
    pub independent_days: f64,
    /// Scatter of single days about the shift, K.
    pub day_sd_k: f64,
}

/// A place's own shift in minimum and maximum.
///
/// Each day's difference between the place's reading and the series for it is taken as the shift plus chance; differences of days in a
/// row are alike, so n days count as n (1 − r)/(1 + r) with r their correlation from one day to the next. Shift and chance are normal:
/// the posterior weighs the mean difference against the prior's 0.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct OwnShift {
    /// Of the minimum: below 0 in a cold hollow.
    pub minimum: Shift,
    /// Of the maximum: above 0 by a warm wall.
    pub maximum: Shift,
}

impl OwnShift {
    /// Learns the shift from a place's own readings against a series for the same place, such as [`combine`]'s.
    ///
    /// # Example
    /// ```
    /// use groundlore_weather::series::{Columns, Series, Station};
    /// use groundlore_weather::stations::{OwnShift, ShiftPrior};
    ///
    /// let days = |low: f64| {
    ///     let columns = Columns { tmin_c: vec![low; 3], ..Columns::default() };
    ///     Series::from_columns(Station::default(), jiff::civil::date(2015, 5, 1), columns)
    /// };
    /// // Three nights 2 K colder than the station: they count as 1.5, with the variance 1.5² × 5 ÷ 7 against the prior's 1.5².
    /// let shift = OwnShift::learn(&days(4.0)?, &days(6.0)?, &ShiftPrior::default()).minimum;
    /// assert_eq!(shift.raw_k, -2.0);
    /// assert!((shift.mean_k - -2.0 * 2.1 / 3.1).abs() < 1e-12);
    /// # Ok::<(), groundlore_weather::WeatherError>(())
    /// ```
    #[must_use]
    pub fn learn(own: &Series, reference: &Series, prior: &ShiftPrior) -> OwnShift {
        let of = |element: Element, sd_k: f64| {
            let (mine, theirs) = (own.trusted(element), reference.trusted(element));
            let difference = |(index, value): (usize, &f64)| {
                let place = reference.index(own.date(index))?;
                // A gap that was filled from the normal of the day tells nothing of the day.
                let guessed = matches!(
                    reference.marks(element)[place],
                    Mark::Filled { how: FillMethod::Climatology | FillMethod::AnomalyInterpolation }
                );
                if guessed {
                    return None;
                }
                Some((index, value - theirs[place])).filter(|(_, difference)| !difference.is_nan())
            };
            let differences: Vec<(usize, f64)> = mine.iter().enumerate().filter_map(difference).collect();
            Shift::of_differences(&differences, sd_k, prior)
        };
        OwnShift {
            minimum: of(Element::MinimumTemperature, prior.minimum_sd_k),
            maximum: of(Element::MaximumTemperature, prior.maximum_sd_k),
        }
    }

    /// A series with the shift added to its temperatures, each marked [`FillMethod::Shifted`]; suspect values stay as they are.
    #[must_use]
    pub fn applied(&self, series: &Series) -> Series {
        self.applied_to(series, |_| true)
    }

    /// The same on some of the temperatures only.
    #[must_use]
    pub fn applied_to(&self, series: &Series, wanted: impl Fn(Element) -> bool) -> Series {
        let mut shifted = series.clone();
        for (element, shift) in TEMPERATURES.into_iter().zip([self.minimum, self.maximum]).filter(|(element, _)| wanted(*element)) {
            for index in 0..series.len() {
                let value = series.column(element)[index];
                if !value.is_nan() && !matches!(series.marks(element)[index], Mark::Suspect { .. }) {
                    shifted.set(element, index, value + shift.mean_k, Mark::Filled { how: FillMethod::Shifted });
                }
            }
        }
        shifted
    }
}

impl Shift {
    fn of_differences(differences: &[(usize, f64)], prior_sd_k: f64, prior: &ShiftPrior) -> Shift {
        let days = differences.len();
        let number = days as f64;
        let raw_k = differences.iter().map(|(_, difference)| difference).sum::<f64>() / number;
        let squares: f64 = differences.iter().map(|(_, difference)| (difference - raw_k).powi(2)).sum();
        let freedom = (number - 1.0).max(0.0);
        let variance = (squares + prior.day_sd_days * prior.day_sd_k.powi(2)) / (freedom + prior.day_sd_days);
        let (mut products, mut pairs) = (0.0, 0usize);
        for pair in differences.windows(2).filter(|pair| pair[1].0 == pair[0].0 + 1) {
            products += (pair[0].1 - raw_k) * (pair[1].1 - raw_k);
            pairs += 1;
        }
        // Few pairs show nothing; until twenty, half the days are taken to be new (ours).
        let likeness =
            if pairs >= 20 && squares > 0.0 { (products / pairs as f64 / (squares / number)).clamp(0.0, 0.95) } else { 1.0 / 3.0 };
        let independent_days = number * (1.0 - likeness) / (1.0 + likeness);
        let (known, believed) = (independent_days / variance, prior_sd_k.powi(-2));
        let mean_k = if days == 0 { 0.0 } else { raw_k * known / (known + believed) };
        Shift { mean_k, sd_k: (known + believed).sqrt().recip(), raw_k, days, independent_days, day_sd_k: variance.sqrt() }
    }
}
