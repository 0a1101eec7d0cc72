//! Weather stations: their daily files are kept in the book; one public station comes with the tool, for the demo.

use crate::DeskError;
use flate2::read::GzDecoder;
use groundlore_book::Book;
use groundlore_book::weather_files::WeatherFile;
use groundlore_weather::{Ensemble, ReadOptions, Reading, Series, Station, fill_gaps, read_text};
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::io::Read as _;
use std::sync::{Arc, Mutex};

/// The public station whose record comes with the tool.
pub const BUILT_IN: &str = "USW00014839";

static BUILT_IN_FILE: &[u8] = include_bytes!("../data/USW00014839.csv.gz");

/// Series that were read, by station.
#[derive(Debug, Default)]
pub(crate) struct Stations {
    read: Mutex<BTreeMap<String, Arc<Series>>>,
    ensembles: Mutex<BTreeMap<(String, Date), Arc<Ensemble>>>,
}

impl Stations {
    pub(crate) fn series(&self, book: &Book, station: &str) -> Result<Arc<Series>, DeskError> {
        let mut read = self.read.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(series) = read.get(station) {
            return Ok(Arc::clone(series));
        }
        let series = Arc::new(load(book, station)?);
        read.insert(station.to_owned(), Arc::clone(&series));
        Ok(series)
    }

    pub(crate) fn ensemble(&self, book: &Book, station: &str, on: Date) -> Result<Arc<Ensemble>, DeskError> {
        let series = self.series(book, station)?;
        let mut made = self.ensembles.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(ensemble) = made.get(&(station.to_owned(), on)) {
            return Ok(Arc::clone(ensemble));
        }
        let ensemble = Arc::new(Ensemble::years_of_record(&series, on)?);
        made.insert((station.to_owned(), on), Arc::clone(&ensemble));
        Ok(ensemble)
    }

    pub(crate) fn forget(&self, station: &str) {
        self.read.lock().unwrap_or_else(std::sync::PoisonError::into_inner).remove(station);
        self.ensembles.lock().unwrap_or_else(std::sync::PoisonError::into_inner).retain(|(key, _), _| key != station);
    }
}

fn load(book: &Book, station: &str) -> Result<Series, DeskError> {
    if let Some(file) = book.weather_file(station)? {
        let station = Station {
            id: file.station.clone(),
            name: file.name.clone().unwrap_or_else(|| file.station.clone()),
            latitude: file.latitude,
            longitude: file.longitude,
            elevation_m: file.elevation_m,
        };
        let options = ReadOptions { station: Some(station), skip_bad: true, ..ReadOptions::default() };
        return Ok(fill_gaps(&read_text(&file.text, &file.file_name, &options)?.series).series);
    }
    if station == BUILT_IN {
        return built_in();
    }
    Err(DeskError::missing(
        format!("the book has no weather of station `{station}`"),
        format!("bring its daily file in with `groundlore weather add {station} FILE`"),
    ))
}

/// The record that comes with the tool, gaps filled and marked.
///
/// # Errors
/// Only if the embedded file were damaged.
pub fn built_in() -> Result<Series, DeskError> {
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
    Ok(fill_gaps(&read_text(&text, "USW00014839.csv", &options)?.series).series)
}

impl crate::Desk {
    /// Reads a station's daily file and keeps it whole in the book.
    ///
    /// # Errors
    /// Every fault of the file, with line, value and remedy; with `skip_bad` only what spoils it whole.
    pub fn add_weather(
        &mut self,
        station: &str,
        text: &str,
        file_name: &str,
        place: Option<(f64, f64)>,
        name: Option<String>,
        skip_bad: bool,
    ) -> Result<Reading, DeskError> {
        let given = Station {
            id: station.to_owned(),
            name: name.clone().unwrap_or_else(|| station.to_owned()),
            latitude: place.map(|p| p.0),
            longitude: place.map(|p| p.1),
            elevation_m: None,
        };
        let options = ReadOptions { station: Some(given), skip_bad, today: Some(self.today), ..ReadOptions::default() };
        let reading = read_text(text, file_name, &options)?;
        let found = &reading.series.station;
        let file = WeatherFile {
            station: station.to_owned(),
            name: name.or_else(|| Some(found.name.clone())),
            latitude: found.latitude,
            longitude: found.longitude,
            elevation_m: found.elevation_m,
            file_name: file_name.to_owned(),
            added_at: self.now,
            text: text.to_owned(),
            ..WeatherFile::default()
        };
        self.book.write(|tx| tx.set_weather_file(&file))?;
        self.stations.forget(station);
        Ok(reading)
    }
}
