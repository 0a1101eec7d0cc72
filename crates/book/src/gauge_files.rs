//! What is read by hand in a yard, rain gauge and minimum and maximum thermometer, whole as it was brought; and how high the yard lies.

use jiff::Timestamp;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, record, refuse, words};

words! {
    /// The day to which a reading is set.
    pub enum ReadFor {
        /// The day on which it was read.
        #[default]
        SameDay = "same-day",
        /// The day before.
        DayBefore = "day-before",
    }
}

record! {
    /// One file of readings of a yard; a file of the same name takes its place.
    pub struct GaugeFile in "gauge_files" checked by hour_is_of_the_day {
        /// The yard.
        yard_id: i64,
        /// Hour of the reading, 0 to 23.
        hour: i64,
        /// The day of the maximum.
        maximum_day: ReadFor,
        /// The day of the rain.
        rain_day: ReadFor,
        /// The file that it came from.
        file_name: String => Filled,
        /// When it was added.
        added_at: Timestamp,
        /// Its text.
        text: String => Filled,
    }
}
impl Amendable for GaugeFile {}

record! {
    /// How high a yard lies.
    pub struct YardHeight in "yard_heights" checked by height_is_of_this_earth {
        /// The yard.
        yard_id: i64,
        /// Metres above the sea.
        elevation_m: f64,
    }
}
impl Amendable for YardHeight {}

fn hour_is_of_the_day(file: &GaugeFile) -> Result<(), BookError> {
    if (0..=23).contains(&file.hour) {
        return Ok(());
    }
    refuse("gauge_files", "hour", file.hour, "The hour of the reading is a whole number from 0 to 23, for example 7")
}

fn height_is_of_this_earth(height: &YardHeight) -> Result<(), BookError> {
    if (-500.0..=9000.0).contains(&height.elevation_m) {
        return Ok(());
    }
    refuse("yard_heights", "elevation_m", height.elevation_m, "Ground lies between -500 and 9000 m, for example 262")
}

impl Reading {
    /// The files of readings of a yard, in the order in which they were first added.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn gauge_files(&self, yard_id: i64) -> Result<Vec<GaugeFile>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY id", [yard_id])
    }

    /// How high a yard lies, metres above the sea, where somebody said.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn yard_height(&self, yard_id: i64) -> Result<Option<YardHeight>, BookError> {
        self.first_where("yard_id = ?1", [yard_id])
    }
}

impl Writing<'_> {
    /// Writes down a file of readings, over one of the same name. Returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn set_gauge_file(&self, file: &GaugeFile) -> Result<i64, BookError> {
        let old = self.gauge_files(file.yard_id)?.into_iter().find(|old| old.file_name == file.file_name);
        match old {
            Some(old) => {
                self.change(&GaugeFile { id: old.id, ..file.clone() })?;
                Ok(old.id)
            }
            None => self.add(file),
        }
    }

    /// Writes down how high a yard lies. Returns the row's number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn set_yard_height(&self, yard_id: i64, elevation_m: f64) -> Result<i64, BookError> {
        match self.yard_height(yard_id)? {
            Some(old) => {
                self.change(&YardHeight { elevation_m, ..old.clone() })?;
                Ok(old.id)
            }
            None => self.add(&YardHeight { yard_id, elevation_m, ..YardHeight::default() }),
        }
    }
}
