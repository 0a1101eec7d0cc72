//! Daily weather files of the firm's stations, whole as they came: the book is enough to reckon again.

use jiff::Timestamp;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, record};

record! {
    /// The daily file of one station; a new file of the station takes its place.
    pub struct WeatherFile in "weather_files" {
        /// The station's key, as yards name it.
        station: String => Filled,
        /// The station's name.
        name: Option<String>,
        /// Decimal degrees, north positive.
        latitude: Option<f64> => Latitude,
        /// Decimal degrees, east positive.
        longitude: Option<f64> => Longitude,
        /// Height above the sea, m.
        elevation_m: Option<f64>,
        /// The file that it came from.
        file_name: String => Filled,
        /// When it was added.
        added_at: Timestamp,
        /// Its text.
        text: String => Filled,
    }
}
impl Amendable for WeatherFile {}

impl Reading {
    /// The file of a station.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn weather_file(&self, station: &str) -> Result<Option<WeatherFile>, BookError> {
        self.first_where("station = ?1", [station])
    }

    /// All daily files, by station.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn weather_files(&self) -> Result<Vec<WeatherFile>, BookError> {
        self.rows_where("1 ORDER BY station", [])
    }
}

impl Writing<'_> {
    /// Writes down a station's file, over the one that was there. Returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn set_weather_file(&self, file: &WeatherFile) -> Result<i64, BookError> {
        match self.weather_file(&file.station)? {
            Some(old) => {
                self.change(&WeatherFile { id: old.id, ..file.clone() })?;
                Ok(old.id)
            }
            None => self.add(file),
        }
    }
}
