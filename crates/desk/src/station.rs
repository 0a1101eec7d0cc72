//! Weather stations: their files are kept in the book; one public station comes with the tool, for the demo.
//!
//! A station's record is its daily file, with the days of its hourly file where the daily one has none. A typical year is no record and
//! never comes in here.

use crate::DeskError;
use flate2::read::GzDecoder;
use groundlore_book::Book;
use groundlore_book::hourly_files::{HourlyFile, HourlyKind, Stamp, zone_of};
use groundlore_book::weather_files::WeatherFile;
use groundlore_weather::place_series::joined;
use groundlore_weather::stations::{NeighbourRules, distance_km, fill_from_neighbours};
use groundlore_weather::{Element, Ensemble, HourStamp, ReadOptions, Series, Station, fill_gaps_up_to, read_text};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Read as _;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The public station whose record comes with the tool.
pub const BUILT_IN: &str = "USW00014839";

/// Longest gap that is filled, days: a longer one stays open, so that a year that was hardly measured is no year of record.
pub const LONGEST_FILLED_DAYS: usize = 15;

/// How far a station may lie to fill another's gaps, km (common practice).
pub(crate) const NEIGHBOUR_KM: f64 = 150.0;

static BUILT_IN_FILE: &[u8] = include_bytes!("../data/USW00014839.csv.gz");

/// Series that were read, by station.
#[derive(Debug, Default)]
pub(crate) struct Stations {
    as_read: Mutex<BTreeMap<String, Arc<Series>>>,
    filled: Mutex<BTreeMap<String, Arc<Series>>>,
    ensembles: Mutex<BTreeMap<(String, Date), Arc<Ensemble>>>,
    pub(crate) yards: crate::yard_weather::YardsWeather,
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Stations {
    /// The record as it was read, gaps open.
    pub(crate) fn as_read(&self, book: &Book, station: &str) -> Result<Arc<Series>, DeskError> {
        if let Some(series) = held(&self.as_read).get(station) {
            return Ok(Arc::clone(series));
        }
        let series = Arc::new(load(book, station)?);
        held(&self.as_read).insert(station.to_owned(), Arc::clone(&series));
        Ok(series)
    }

    /// The record with short gaps filled and marked, from neighbours where there are any.
    pub(crate) fn series(&self, book: &Book, station: &str) -> Result<Arc<Series>, DeskError> {
        if let Some(series) = held(&self.filled).get(station) {
            return Ok(Arc::clone(series));
        }
        let series = Arc::new(self.fill(book, station)?);
        held(&self.filled).insert(station.to_owned(), Arc::clone(&series));
        Ok(series)
    }

    fn fill(&self, book: &Book, station: &str) -> Result<Series, DeskError> {
        let series = self.as_read(book, station)?;
        let gaps = [Element::MinimumTemperature, Element::MaximumTemperature, Element::Precipitation]
            .iter()
            .any(|element| series.trusted(*element).iter().any(|value| value.is_nan()));
        if !gaps {
            return Ok((*series).clone());
        }
        let near = self.neighbours(book, station)?;
        let near: Vec<&Series> = near.iter().map(|series| &**series).collect();
        let rules = NeighbourRules { measure_error: false, ..NeighbourRules::default() };
        let from_near = if near.is_empty() { (*series).clone() } else { fill_from_neighbours(&series, &near, &rules).series };
        Ok(fill_gaps_up_to(&from_near, LONGEST_FILLED_DAYS).series)
    }

    /// The other stations of the book near enough to fill a station's gaps and to be held against it.
    pub(crate) fn neighbours(&self, book: &Book, station: &str) -> Result<Vec<Arc<Series>>, DeskError> {
        let here = self.as_read(book, station)?;
        let Some(place) = place_of(&here.station) else { return Ok(Vec::new()) };
        let mut found = Vec::new();
        for key in station_keys(book)?.into_iter().filter(|key| key != station) {
            let other = self.as_read(book, &key)?;
            if place_of(&other.station).is_some_and(|there| distance_km(place, there) <= NEIGHBOUR_KM) {
                found.push(other);
            }
        }
        Ok(found)
    }

    pub(crate) fn ensemble(&self, book: &Book, station: &str, on: Date) -> Result<Arc<Ensemble>, DeskError> {
        let series = self.series(book, station)?;
        if let Some(ensemble) = held(&self.ensembles).get(&(station.to_owned(), on)) {
            return Ok(Arc::clone(ensemble));
        }
        let ensemble = Arc::new(Ensemble::years_of_record(&series, on)?);
        held(&self.ensembles).insert((station.to_owned(), on), Arc::clone(&ensemble));
        Ok(ensemble)
    }

    /// Forgets what was read: a new file changes its own station, and what its neighbours and their yards are made of.
    pub(crate) fn forget(&self) {
        held(&self.as_read).clear();
        held(&self.filled).clear();
        held(&self.ensembles).clear();
        self.yards.forget();
    }
}

/// Where a station stands, degrees north and east.
pub(crate) fn place_of(station: &Station) -> Option<(f64, f64)> {
    station.latitude.zip(station.longitude)
}

/// The stations of the book that have a record, by key.
pub(crate) fn station_keys(book: &Book) -> Result<BTreeSet<String>, DeskError> {
    let hours = book.hourly_files()?.into_iter().filter(|file| file.kind == HourlyKind::Hours).map(|file| file.station);
    Ok(book.weather_files()?.into_iter().map(|file| file.station).chain(hours).collect())
}

fn load(book: &Book, station: &str) -> Result<Series, DeskError> {
    let mut parts = Vec::new();
    if let Some(file) = book.weather_file(station)? {
        parts.push(read_daily(&file)?);
    }
    if let Some(file) = book.hourly_file(station, HourlyKind::Hours)? {
        parts.push(read_text(&file.text, &file.file_name, &hourly_options(&file))?.series);
    }
    match joined(&parts) {
        Some(_) if parts.len() == 1 => Ok(parts.remove(0)),
        Some((series, _)) => Ok(series),
        None if station == BUILT_IN => read_built_in(),
        None => {
            let typical = book.hourly_file(station, HourlyKind::TypicalYear)?.is_some();
            let why = if typical { ": a typical year is no record, and gives no odds" } else { "" };
            Err(DeskError::missing(
                format!("the book has no record of station `{station}`{why}"),
                format!("bring its daily or hourly file in with `groundlore weather add {station} FILE`"),
            ))
        }
    }
}

fn read_daily(file: &WeatherFile) -> Result<Series, DeskError> {
    let station = Station {
        id: file.station.clone(),
        name: file.name.clone().unwrap_or_else(|| file.station.clone()),
        latitude: file.latitude,
        longitude: file.longitude,
        elevation_m: file.elevation_m,
    };
    let options = ReadOptions { station: Some(station), skip_bad: true, ..ReadOptions::default() };
    Ok(read_text(&file.text, &file.file_name, &options)?.series)
}

/// How a kept hourly file is to be read.
pub(crate) fn hourly_options(file: &HourlyFile) -> ReadOptions {
    let station = Station {
        id: file.station.clone(),
        name: file.name.clone().unwrap_or_else(|| file.station.clone()),
        latitude: file.latitude,
        longitude: file.longitude,
        elevation_m: file.elevation_m,
    };
    ReadOptions {
        station: Some(station),
        skip_bad: true,
        zone: file.time_zone.as_deref().and_then(zone_of),
        stamp: match file.stamp {
            Stamp::Begins => HourStamp::Begins,
            Stamp::Ends => HourStamp::Ends,
        },
        ..ReadOptions::default()
    }
}

/// The record that comes with the tool, gaps filled and marked.
///
/// # Errors
/// Only if the embedded file were damaged.
pub fn built_in() -> Result<Series, DeskError> {
    Ok(fill_gaps_up_to(&read_built_in()?, LONGEST_FILLED_DAYS).series)
}

fn read_built_in() -> Result<Series, DeskError> {
    let mut text = String::new();
    GzDecoder::new(BUILT_IN_FILE).read_to_string(&mut text).map_err(|e| DeskError::Science(format!("the built-in weather file: {e}")))?;
    let station = Station {
        id: BUILT_IN.to_owned(),
        name: "Public station USW00014839".to_owned(),
        latitude: Some(42.955),
        longitude: Some(-87.9044),
        elevation_m: Some(204.2),
    };
    let options = ReadOptions { station: Some(station), whole_fahrenheit: Some(true), ..ReadOptions::default() };
    Ok(read_text(&text, "USW00014839.csv", &options)?.series)
}
