//! The kept hourly forecast of a yard as spraying needs it: hours that are still to come, with the sun over the place.

use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::forecasts::ForecastPlace;
use groundlore_plant_health::treatment::{SprayHour, SunStands};
use groundlore_weather::sun::position::sun_position;
use jiff::{SignedDuration, Timestamp};

/// Hours ahead that are judged: beyond three days an hour's wind is hardly foretold (common practice).
const AHEAD: SignedDuration = SignedDuration::from_hours(72);

/// Hours of a forecast with when it was made.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct ForecastHours {
    /// When it was made.
    pub made_at: Timestamp,
    /// Where it was asked for.
    pub address: String,
    /// The hours that are still to come, in order.
    pub hours: Vec<SprayHour>,
}

impl Desk {
    /// The hours of the kept forecast that a treatment at a yard may fall in; none where none is kept or all are past.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn spray_hours(&self, yard: &YardOnDesk) -> Result<Option<ForecastHours>, DeskError> {
        let Some(kept) = self.book.forecast_for(ForecastPlace::Yard(yard.row.id))? else { return Ok(None) };
        let made_at = kept.made_at();
        let (latitude, longitude) = (yard.row.latitude.unwrap_or(kept.latitude), yard.row.longitude.unwrap_or(kept.longitude));
        let end = self.now.checked_add(AHEAD).unwrap_or(self.now);
        let at = |time: Timestamp, hours: i64| {
            let moment = time.checked_add(SignedDuration::from_hours(hours)).unwrap_or(time);
            sun_position(moment, latitude, longitude).elevation_deg
        };
        #[allow(clippy::cast_precision_loss)]
        let hours: Vec<SprayHour> = kept
            .hours
            .iter()
            .filter(|hour| hour.starts.checked_add(SignedDuration::from_hours(1)).is_ok_and(|ends| ends > self.now) && hour.starts < end)
            .map(|hour| SprayHour {
                local: hour.local,
                lead_h: hour.starts.duration_since(made_at).as_secs() as f64 / 3600.0,
                temperature_c: hour.temperature_c,
                wind_m_s: hour.wind_m_s,
                gust_m_s: hour.gust_m_s,
                humidity: hour.humidity_or_from_dewpoint(),
                rain_chance: hour.rain_chance,
                rain_mm: hour.rain_mm,
                sun: Some(SunStands { now: at(hour.starts, 0), hour_before: at(hour.starts, -1), two_hours_after: at(hour.starts, 2) }),
            })
            .collect();
        Ok((!hours.is_empty()).then_some(ForecastHours { made_at, address: kept.address, hours }))
    }
}
