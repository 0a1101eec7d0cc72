//! Sunrise, the sun's highest stand, and sunset of a local date.
//!
//! The sun rises and sets when its upper edge touches a level horizon through the bending of the air: its middle then stands 0.8333° below
//! the level. Hills, trees and houses are not asked.

use jiff::{Timestamp, civil::Date, tz::TimeZone};
use serde::Serialize;

use super::position::{Ephemeris, half_turn};
use super::{SunError, check_latitude, check_longitude};

/// Geometric height of the sun's middle at sunrise and sunset, degrees: 34′ of refraction and 16′ of half its width.
pub const HORIZON_DEG: f64 = -0.8333;

/// Whether the sun crosses the horizon on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DayKind {
    /// The sun rises or sets.
    Crosses,
    /// It stays up: polar day.
    StaysUp,
    /// It stays down: polar night.
    StaysDown,
}

/// Rise, highest stand and set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SunTimes {
    /// First moment of the local date.
    pub midnight: Timestamp,
    /// Sunrise before the highest stand; `None` where there is none.
    pub rise: Option<Timestamp>,
    /// The sun's highest stand.
    pub transit: Timestamp,
    /// Sunset after the highest stand; `None` where there is none.
    pub set: Option<Timestamp>,
    /// Whether the sun crosses the horizon.
    pub kind: DayKind,
}

impl SunTimes {
    /// Hours that have passed since local midnight of the date at a moment. On a day when the clocks change it differs from the clock.
    #[must_use]
    pub fn hours_after_midnight(&self, moment: Timestamp) -> f64 {
        (moment.as_millisecond() - self.midnight.as_millisecond()) as f64 / 3_600_000.0
    }

    /// Hours from sunrise to sunset: 24 where the sun stays up, 0 where it stays down, `None` where only one of the two happens.
    #[must_use]
    pub fn day_length_h(&self) -> Option<f64> {
        match (self.kind, self.rise, self.set) {
            (DayKind::StaysUp, ..) => Some(24.0),
            (DayKind::StaysDown, ..) => Some(0.0),
            (DayKind::Crosses, Some(rise), Some(set)) => Some((set.as_millisecond() - rise.as_millisecond()) as f64 / 3_600_000.0),
            (DayKind::Crosses, ..) => None,
        }
    }
}

/// Rise, highest stand and set of the sun on a local date at a place: degrees, north and east positive.
///
/// The highest stand is the one nearest to the middle of the date; rise and set are those beside it. Under a far-off zone, or near the
/// polar day, they may fall on the date before or after.
///
/// # Errors
/// [`SunError`] for a place off the globe or a date at the end of the calendar.
///
/// # Example
/// ```
/// use groundlore_weather::sun::day::sun_times;
/// use jiff::tz::{Offset, TimeZone};
///
/// // Golden, Colorado, 2 January 2015: 07:21:55, 12:04:45, 16:47:43 (Reda & Andreas 2004, as tested in pvlib).
/// let zone = TimeZone::fixed(Offset::constant(-7));
/// let day = sun_times(39.742476, -105.1786, jiff::civil::date(2015, 1, 2), &zone)?;
/// let rise = day.rise.map(|moment| day.hours_after_midnight(moment)).unwrap();
/// assert!((rise - (7.0 + 21.0 / 60.0 + 55.0 / 3600.0)).abs() < 1.0 / 60.0);
/// # Ok::<(), groundlore_weather::sun::SunError>(())
/// ```
pub fn sun_times(latitude_deg: f64, longitude_deg: f64, date: Date, zone: &TimeZone) -> Result<SunTimes, SunError> {
    check_latitude(latitude_deg)?;
    check_longitude(longitude_deg)?;
    let midnight = first_moment(date, zone)?;
    let next = first_moment(date.tomorrow().map_err(|_| SunError::Date { date })?, zone)?;
    let place = Place { latitude_deg, longitude_deg };
    let middle = 0.5 * (seconds(midnight) + seconds(next));
    let transit = place.transit_near(middle);
    let [before, after] = [place.lowest_near(transit - 43_200.0), place.lowest_near(transit + 43_200.0)];
    let top = place.above_horizon_deg(transit);
    let cross = |bottom: f64| (top >= 0.0 && place.above_horizon_deg(bottom) < 0.0).then(|| place.crossing(bottom, transit));
    let (rise, set) = (cross(before), cross(after));
    let kind = match (rise.is_some() || set.is_some(), top >= 0.0) {
        (true, _) => DayKind::Crosses,
        (false, true) => DayKind::StaysUp,
        (false, false) => DayKind::StaysDown,
    };
    let moment = |seconds: f64| Timestamp::from_millisecond((seconds * 1000.0).round() as i64).map_err(|_| SunError::Date { date });
    Ok(SunTimes { midnight, rise: rise.map(moment).transpose()?, transit: moment(transit)?, set: set.map(moment).transpose()?, kind })
}

fn first_moment(date: Date, zone: &TimeZone) -> Result<Timestamp, SunError> {
    let start = date.to_zoned_datetime(zone.clone()).and_then(|noon| noon.start_of_day());
    start.map(|start| start.timestamp()).map_err(|_| SunError::Date { date })
}

fn seconds(moment: Timestamp) -> f64 {
    moment.as_millisecond() as f64 / 1000.0
}

#[derive(Clone, Copy)]
struct Place {
    latitude_deg: f64,
    longitude_deg: f64,
}

impl Place {
    /// Height of the sun's middle above the horizon of rise and set, degrees.
    fn above_horizon_deg(self, moment: f64) -> f64 {
        Ephemeris::at_unix_seconds(moment).seen_from(self.latitude_deg, self.longitude_deg).elevation_deg - HORIZON_DEG
    }

    /// The moment near `moment` at which the sun's hour angle is `angle_deg`; the sun turns by 1° in about 240 s.
    fn hour_angle_reaches(self, angle_deg: f64, moment: f64) -> f64 {
        (0..4).fold(moment, |moment, _| {
            let angle = Ephemeris::at_unix_seconds(moment).hour_angle_deg(self.longitude_deg);
            moment - 240.0 * half_turn(angle - angle_deg)
        })
    }

    fn transit_near(self, moment: f64) -> f64 {
        self.hour_angle_reaches(0.0, moment)
    }

    fn lowest_near(self, moment: f64) -> f64 {
        self.hour_angle_reaches(180.0, moment)
    }

    /// Halves the way between a moment below the horizon and one above it until they lie within a hundredth of a second.
    fn crossing(self, below: f64, above: f64) -> f64 {
        let (mut below, mut above) = (below, above);
        for _ in 0..23 {
            let middle = 0.5 * (below + above);
            if self.above_horizon_deg(middle) < 0.0 { below = middle } else { above = middle }
        }
        0.5 * (below + above)
    }
}
