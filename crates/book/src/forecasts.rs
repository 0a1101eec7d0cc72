//! Public hourly forecasts, the last one of each place: what the odds begin with, and the hours in which work must be fitted.
//!
//! A place is a station's or a yard's own ([`ForecastPlace`]). A yard without a forecast of its own has its station's
//! ([`Reading::forecast_for`], [`Reading::hours_for`]). Nothing here says whether a forecast is too old: its hours carry their times, and
//! whoever uses them drops those that are past.

use jiff::civil::DateTime;
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, record, refuse};
use crate::yards::Yard;

/// One hour of a forecast. What the service did not say is `None`, and stands for nothing else.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ForecastHour {
    /// When it begins, by the clock of the place.
    pub local: DateTime,
    /// When it begins.
    pub starts: Timestamp,
    /// Air temperature, °C.
    pub temperature_c: f64,
    /// Wind, m/s; the upper end where a range was given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wind_m_s: Option<f64>,
    /// Gusts, m/s.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gust_m_s: Option<f64>,
    /// Relative humidity, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub humidity: Option<f64>,
    /// Dew point, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dewpoint_c: Option<f64>,
    /// Chance of rain or snow in the hour, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rain_chance: Option<f64>,
    /// Rain or melted snow in the hour, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rain_mm: Option<f64>,
}

impl ForecastHour {
    /// Relative humidity, 0 to 1: as given, or from temperature and dew point.
    ///
    /// # Source
    /// The ratio of the saturation vapour pressures at both temperatures by the formula of FAO-56 (equation 11); `memory`.
    #[must_use]
    pub fn humidity_or_from_dewpoint(&self) -> Option<f64> {
        let pressure = |celsius: f64| (17.27 * celsius / (celsius + 237.3)).exp();
        self.humidity.or_else(|| Some((pressure(self.dewpoint_c?) / pressure(self.temperature_c)).clamp(0.0, 1.0)))
    }

    /// The first thing in it that cannot be, and what would be right.
    fn fault(&self) -> Option<(String, &'static str)> {
        let clock = Offset::UTC.to_timestamp(self.local).ok().map(|there| there.duration_since(self.starts).abs());
        if clock.is_none_or(|apart| apart > SignedDuration::from_hours(18)) {
            return Some((
                format!("{} by the clock, {}", self.local, self.starts),
                "Give the same moment by the clock of the place and in UTC",
            ));
        }
        let within = |value: Option<f64>, low: f64, high: f64| value.is_none_or(|value| (low..=high).contains(&value));
        [
            (within(Some(self.temperature_c), -95.0, 65.0), "temperature", "Give °C, -95 to 65"),
            (within(self.wind_m_s, 0.0, 150.0), "wind", "Give m/s, 0 to 150"),
            (within(self.gust_m_s, 0.0, 150.0), "gust", "Give m/s, 0 to 150"),
            (within(self.humidity, 0.0, 1.0), "humidity", "Give a share, 0 to 1"),
            (within(self.dewpoint_c, -110.0, 65.0), "dew point", "Give °C, -110 to 65"),
            (within(self.rain_chance, 0.0, 1.0), "chance of rain", "Give a share, 0 to 1"),
            (within(self.rain_mm, 0.0, 500.0), "rain", "Give mm, 0 to 500"),
        ]
        .into_iter()
        .find(|(good, ..)| !good)
        .map(|(_, what, remedy)| (format!("{what} at {}", self.starts), remedy))
    }
}

record! {
    /// The forecast of one place.
    pub struct KeptForecast in "forecasts" checked by sound {
        /// The station at whose place it holds; blank for a yard's.
        station: Option<String> => Filled,
        /// The yard at whose place it holds; blank for a station's.
        yard_id: Option<i64>,
        /// Decimal degrees that were asked for, north positive.
        latitude: f64 => Latitude,
        /// Decimal degrees that were asked for, east positive.
        longitude: f64 => Longitude,
        /// When the service last changed it; blank where it does not say.
        issued_at: Option<Timestamp>,
        /// When the server last gave or confirmed it.
        fetched_at: Timestamp,
        /// Where it was asked for.
        address: String => Filled,
        /// Its hours, one after the other.
        hours: Vec<ForecastHour>,
    }
}
impl Amendable for KeptForecast {}

impl KeptForecast {
    /// The moment from which its age counts: when it was issued, else when it was fetched, and never after its first hour's end.
    #[must_use]
    pub fn made_at(&self) -> Timestamp {
        let said = self.issued_at.unwrap_or(self.fetched_at);
        match self.hours.first() {
            Some(first) if self.issued_at.is_none() => said.min(first.starts.saturating_add(SignedDuration::from_hours(1)).unwrap_or(said)),
            _ => said,
        }
    }
}

fn sound(row: &KeptForecast) -> Result<(), BookError> {
    const TABLE: &str = "forecasts";
    if row.station.is_some() == row.yard_id.is_some() {
        return refuse(
            TABLE,
            "station, yard_id",
            "both or neither",
            "A forecast is of a station or of a yard: give the one and not the other",
        );
    }
    if row.hours.is_empty() {
        return refuse(TABLE, "hours", "none", "Give at least one hour; a place without a forecast has no row");
    }
    for hour in &row.hours {
        if let Some((value, remedy)) = hour.fault() {
            return refuse(TABLE, "hours", value, remedy);
        }
    }
    match row.hours.windows(2).find(|pair| pair[0].starts >= pair[1].starts) {
        Some(pair) => refuse(TABLE, "hours", format!("{} after {}", pair[1].starts, pair[0].starts), "Give the hours in order of time"),
        None => Ok(()),
    }
}

/// A place that has a forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ForecastPlace<'a> {
    /// The place of a station, by its key.
    Station(&'a str),
    /// The place of a yard, by its number.
    Yard(i64),
}

impl Reading {
    /// The forecast that is kept of just this place.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn forecast_of(&self, place: ForecastPlace<'_>) -> Result<Option<KeptForecast>, BookError> {
        match place {
            ForecastPlace::Station(station) => self.first_where("station = ?1", [station]),
            ForecastPlace::Yard(yard) => self.first_where("yard_id = ?1", [yard]),
        }
    }

    /// The forecast to go by at a place: its own; for a yard that has none, its station's. [`KeptForecast::station`] tells which.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn forecast_for(&self, place: ForecastPlace<'_>) -> Result<Option<KeptForecast>, BookError> {
        if let Some(own) = self.forecast_of(place)? {
            return Ok(Some(own));
        }
        let ForecastPlace::Yard(yard) = place else { return Ok(None) };
        match self.find::<Yard>(yard)?.and_then(|yard| yard.station) {
            Some(station) => self.forecast_of(ForecastPlace::Station(&station)),
            None => Ok(None),
        }
    }

    /// The hours that are forecast at a place, in order: its own forecast's; for a yard that has none, its station's. Empty where none is
    /// kept. Hours that are past are among them, and [`KeptForecast::made_at`] of [`Reading::forecast_for`] tells how old they are.
    ///
    /// # Errors
    /// If the book cannot be read.
    ///
    /// # Example
    /// ```
    /// use groundlore_book::Book;
    /// use groundlore_book::forecasts::{ForecastHour, ForecastPlace, KeptForecast};
    ///
    /// let mut book = Book::open_in_memory()?;
    /// let hour = ForecastHour {
    ///     local: "2015-08-17T06:00:00".parse()?,
    ///     starts: "2015-08-17T11:00:00Z".parse()?,
    ///     temperature_c: 18.0,
    ///     wind_m_s: Some(3.0),
    ///     gust_m_s: None, // the service said nothing: not known, not calm
    ///     humidity: None,
    ///     dewpoint_c: Some(12.0),
    ///     rain_chance: Some(0.1),
    ///     rain_mm: None,
    /// };
    /// let kept = KeptForecast {
    ///     station: Some("HOLLOW".into()), latitude: 43.0, longitude: -88.0, fetched_at: "2015-08-17T10:30:00Z".parse()?,
    ///     address: "https://example.org/43,-88".into(), hours: vec![hour], ..KeptForecast::default()
    /// };
    /// book.write(|tx| tx.set_forecast(&kept))?;
    /// assert_eq!(book.hours_for(ForecastPlace::Station("HOLLOW"))?, [hour]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn hours_for(&self, place: ForecastPlace<'_>) -> Result<Vec<ForecastHour>, BookError> {
        Ok(self.forecast_for(place)?.map(|kept| kept.hours).unwrap_or_default())
    }
}

impl Writing<'_> {
    /// Keeps a place's forecast, over the one that was there; one that is older than the one kept is passed over. True where it is the
    /// one that is kept now.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn set_forecast(&self, forecast: &KeptForecast) -> Result<bool, BookError> {
        let place = match (&forecast.station, forecast.yard_id) {
            (Some(station), _) => ForecastPlace::Station(station),
            (None, yard) => ForecastPlace::Yard(yard.unwrap_or_default()),
        };
        match self.forecast_of(place)? {
            Some(old) if (old.made_at(), old.fetched_at) > (forecast.made_at(), forecast.fetched_at) => return Ok(false),
            Some(old) => self.change(&KeptForecast { id: old.id, ..forecast.clone() })?,
            None => {
                self.add(forecast)?;
            }
        }
        Ok(true)
    }
}
