//! Hourly files and typical years of the firm's stations, whole as they came.

use jiff::Timestamp;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, record, refuse, words};

words! {
    /// What an hourly file tells of.
    pub enum HourlyKind {
        /// Hours that were measured.
        #[default]
        Hours = "hours",
        /// A typical year made of months of different years: no record, and never a source of odds.
        TypicalYear = "typical-year",
    }
}

words! {
    /// What the time beside an hour means.
    pub enum Stamp {
        /// The hour begins at its time.
        #[default]
        Begins = "begins",
        /// The hour ends at its time.
        Ends = "ends",
    }
}

record! {
    /// The hourly file of one station, or its typical year; a new file of the same kind takes its place.
    pub struct HourlyFile in "hourly_files" checked by time_zone_is_known {
        /// The station's key, as yards name it.
        station: String => Filled,
        /// Measured hours or a typical year.
        kind: HourlyKind,
        /// The station's name.
        name: Option<String>,
        /// Decimal degrees, north positive.
        latitude: Option<f64> => Latitude,
        /// Decimal degrees, east positive.
        longitude: Option<f64> => Longitude,
        /// Height above the sea, m.
        elevation_m: Option<f64>,
        /// IANA zone or offset of the times; blank where every time has its own offset.
        time_zone: Option<String>,
        /// Whether a time begins or ends its hour.
        stamp: Stamp,
        /// The file that it came from.
        file_name: String => Filled,
        /// When it was added.
        added_at: Timestamp,
        /// Its text.
        text: String => Filled,
    }
}
impl Amendable for HourlyFile {}

fn time_zone_is_known(file: &HourlyFile) -> Result<(), BookError> {
    match &file.time_zone {
        Some(zone) if zone_of(zone).is_none() => {
            refuse("hourly_files", "time_zone", zone, "Write an IANA zone as America/Chicago, or a fixed offset as -06:00")
        }
        _ => Ok(()),
    }
}

/// The zone of an IANA name or of a fixed offset such as `-06:00`.
///
/// # Example
/// ```
/// use groundlore_book::hourly_files::zone_of;
/// assert!(zone_of("America/Chicago").is_some() && zone_of("-06:00").is_some());
/// assert!(zone_of("half past six").is_none());
/// ```
#[must_use]
pub fn zone_of(text: &str) -> Option<jiff::tz::TimeZone> {
    if let Some(rest) = text.strip_prefix(['+', '-']) {
        let (hours, minutes) = rest.split_once(':').unwrap_or((rest, "0"));
        let (hours, minutes) = (hours.parse::<i32>().ok()?, minutes.parse::<i32>().ok()?);
        if !(0..=14).contains(&hours) || !(0..60).contains(&minutes) {
            return None;
        }
        let seconds = (hours * 60 + minutes) * 60;
        let offset = jiff::tz::Offset::from_seconds(if text.starts_with('-') { -seconds } else { seconds }).ok()?;
        return Some(jiff::tz::TimeZone::fixed(offset));
    }
    jiff::tz::TimeZone::get(text).ok()
}

impl Reading {
    /// The hourly file of a station, or its typical year.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn hourly_file(&self, station: &str, kind: HourlyKind) -> Result<Option<HourlyFile>, BookError> {
        self.first_where("station = ?1 AND kind = ?2", [station, kind.word()])
    }

    /// All hourly files and typical years, by station.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn hourly_files(&self) -> Result<Vec<HourlyFile>, BookError> {
        self.rows_where("1 ORDER BY station, kind", [])
    }
}

impl Writing<'_> {
    /// Writes down a station's hourly file or typical year, over the one that was there. Returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn set_hourly_file(&self, file: &HourlyFile) -> Result<i64, BookError> {
        match self.hourly_file(&file.station, file.kind)? {
            Some(old) => {
                self.change(&HourlyFile { id: old.id, ..file.clone() })?;
                Ok(old.id)
            }
            None => self.add(file),
        }
    }
}
