//! Soil under turf through the days of a year, for the events that are set by it.
//!
//! A column of moist loam under turf ([`SoilColumn`]) is begun from the annual wave of the first year of air at hand, up to two years before,
//! and warmed through by each day's mean air. Snow, sun, wet and bare ground are not in it: trust it to
//! [`crate::soil_temperature::SOIL_COLUMN_ERROR_C`].

use jiff::civil::date;

use super::YearColumns;
use crate::calendar::{date_of, day_number};
use crate::futures::{Futures, Path};
use crate::series::{Element, Series};
use crate::soil_temperature::{AnnualWave, Cover, SIDE_BY_SIDE, SoilColumn, SoilColumns, SoilHeat};

/// Depth at which the soil is asked for, m: about where a soil thermometer's probe is pushed to.
pub const SOIL_DEPTH_M: f64 = 0.10;
/// Days of air that the annual wave is taken from.
const YEAR: usize = 365;
/// Years before the one asked for that warm the column through.
const YEARS_BEFORE: i16 = 2;

/// The column as it stands in a usual year on a day, by the wave of the air from that day on; `None` with less than a year of air.
fn begun(first: i32, air_c: &[f64]) -> Option<SoilColumn> {
    let day_of_year = |number: i32| f64::from(date_of(number).day_of_year());
    let days: Vec<(f64, f64)> = (first..).map(day_of_year).zip(air_c.iter().copied()).take(YEAR).collect();
    let wave = AnnualWave::of_air(&days, SoilHeat::MOIST_LOAM.diffusivity_m2_day)?;
    Some(SoilColumn::usual(SoilHeat::MOIST_LOAM, Cover::Turf, &wave, day_of_year(first)))
}

fn mean_air_c(path: &Path) -> Vec<f64> {
    path.tmin_c.iter().zip(&path.tmax_c).map(|(low, high)| (low + high) / 2.0).collect()
}

fn warmed(column: &mut SoilColumn, air_c: f64) -> f64 {
    column.day(air_c, 0.0);
    if air_c.is_nan() { f64::NAN } else { column.temperature_c(SOIL_DEPTH_M) }
}

/// The soil on each day of a year of a series; NaN where too little of the air is known.
pub(super) fn of_series(series: &Series, year: i16) -> Vec<f64> {
    let (opening, close) = (day_number(date(year, 1, 1)), day_number(date(year, 12, 31)));
    let first = day_number(date(year - YEARS_BEFORE, 1, 1)).max(day_number(series.first_day())).min(opening);
    let value = |element: Element, number: i32| series.value(element, date_of(number)).unwrap_or(f64::NAN);
    let mean = |number: i32| (value(Element::MinimumTemperature, number) + value(Element::MaximumTemperature, number)) / 2.0;
    let air: Vec<f64> = (first..=close).map(mean).collect();
    let Some(mut column) = begun(first, &air) else { return vec![f64::NAN; (opening..=close).count()] };
    let before = usize::try_from(opening - first).unwrap_or(0);
    air.iter().map(|air| warmed(&mut column, *air)).skip(before).collect()
}

/// Puts the soil of the calendar year of `on` into the years of the futures: known days once, then the futures' side by side.
pub(super) fn fill(futures: &Futures, years: &mut [YearColumns]) {
    let (first, on) = (day_number(futures.first_known), day_number(futures.on));
    let opening = day_number(date(futures.on.year(), 1, 1));
    let known = mean_air_c(&futures.known);
    // With less than a year known the wave is that of the first future, and the known days are warmed through from it.
    let usual = || futures.paths.first().and_then(|path| begun(on, &mean_air_c(path)));
    let Some(mut column) = begun(first, &known).or_else(usual) else { return };
    let past: Vec<f64> = known.iter().map(|air| warmed(&mut column, *air)).collect();
    let at = |number: i32| usize::try_from(number - first).ok().and_then(|place| past.get(place)).copied().unwrap_or(f64::NAN);
    let known_of_year: Vec<f64> = (opening..on).map(at).collect();
    for (years, paths) in years.chunks_mut(SIDE_BY_SIDE).zip(futures.paths.chunks(SIDE_BY_SIDE)) {
        let airs: Vec<Vec<f64>> = paths.iter().map(mean_air_c).collect();
        let days = years.iter().map(YearColumns::len).max().unwrap_or(0).saturating_sub(known_of_year.len());
        let air = |place: usize| std::array::from_fn(|lane| airs.get(lane).and_then(|air| air.get(place)).copied().unwrap_or(f64::NAN));
        let airs: Vec<[f64; SIDE_BY_SIDE]> = (0..days).map(air).collect();
        let soil = SoilColumns::of(&column).days(&airs, &[SOIL_DEPTH_M]);
        for (lane, year) in years.iter_mut().enumerate() {
            year.soil_c.clone_from(&known_of_year);
            year.soil_c.extend(soil.iter().zip(&airs).map(|(soil, air)| if air[lane].is_nan() { f64::NAN } else { soil[lane] }));
        }
    }
}
