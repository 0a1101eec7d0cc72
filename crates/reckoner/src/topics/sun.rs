//! The sun: day length, position, rise and set.

use crate::ReckonError;
use crate::answer::{Output, Worked, tidy};
use crate::calculator::{Calculator, EXACT, Input, InputKind, Topic, output, required};
use crate::given::Given;
use groundlore_quantity::{Kind, Quantity};
use groundlore_weather::sun::DayGeometry;
use groundlore_weather::sun::day::{DayKind, sun_times};
use groundlore_weather::sun::position::sun_position;
use jiff::tz::{Offset, TimeZone};
use jiff::{Timestamp, civil::Date};

const DEGREES: InputKind = InputKind::OneOf(&[Kind::Bare, Kind::Angle], "decimal degrees");

pub(super) const LATITUDE: Input = required("latitude", DEGREES, "decimal degrees, south negative", "44.98");
pub(super) const LONGITUDE: Input = required("longitude", DEGREES, "decimal degrees, west negative", "-93.27");
pub(super) const DATE_KIND: InputKind = InputKind::Text("a date as YYYY-MM-DD");
pub(super) const TIME_KIND: InputKind = InputKind::Text("a time as RFC 3339, with its offset");
const DATE: Input = required("date", DATE_KIND, "the date at the place", "2024-06-20");

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "day-length",
        topic: Topic::Season,
        about: "Day length by the simple yearly curve, and the sun's radiation above the air.",
        inputs: &[LATITUDE, DATE],
        outputs: &[
            output("day_length", "hours, geometric: without the bending of light; for sunrise to sunset take `sun-times`"),
            output("sunset_angle", "hour angle of sunset"),
            output("extraterrestrial_radiation", "radiation on a level surface above the air"),
        ],
        rounding: EXACT,
        sources: &["Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eqs. 21-25 and 34"],
        cautions: &[],
        run: day_length,
    },
    Calculator {
        key: "sun-position",
        topic: Topic::Season,
        about: "Where the sun stands at a moment, geometric: without refraction.",
        inputs: &[LATITUDE, LONGITUDE, required("time", TIME_KIND, "the moment", "2024-06-20T12:01:00Z")],
        outputs: &[
            output("zenith", "angle from straight up"),
            output("elevation", "angle over the level, below it negative"),
            output("azimuth", "direction from north through east"),
        ],
        rounding: EXACT,
        sources: &[
            "Meeus 1991, Astronomical Algorithms, chapters 12 and 25 (memory)",
            "checked against the solar position algorithm of Reda & Andreas 2004 (pvlib 0.16.1): within 0.004 degrees",
        ],
        cautions: &[],
        run: position,
    },
    Calculator {
        key: "sun-times",
        topic: Topic::Season,
        about: "Sunrise, the sun's highest stand, and sunset of a local date over a level horizon.",
        inputs: &[
            LATITUDE,
            LONGITUDE,
            DATE,
            required(
                "zone",
                InputKind::Text("a time zone by name or as an offset from UTC"),
                "zone of the place: an IANA name, or an offset",
                "America/Chicago",
            ),
        ],
        outputs: &[
            output("rise", "hours after local midnight; none where the sun does not rise"),
            output("transit", "hours after local midnight"),
            output("set", "hours after local midnight; none where the sun does not set"),
        ],
        rounding: EXACT,
        sources: &[
            "Meeus 1991, Astronomical Algorithms (memory); horizon at -0.8333 degrees",
            "checked against the solar position algorithm of Reda & Andreas 2004 (pvlib 0.16.1): within 3 s",
        ],
        cautions: &["Hills, trees and houses are not reckoned: the sun reaches a bed later and leaves it sooner."],
        run: times,
    },
];

/// A bare number of degrees, or an angle.
pub(super) fn degrees(given: &Given, name: &str) -> Result<f64, ReckonError> {
    let quantity = given.need(name)?;
    if quantity.unit.is_none() { Ok(quantity.value) } else { quantity.in_unit("deg").map_err(|e| given.wrong(name, e.to_string())) }
}

/// A latitude within the globe.
pub(super) fn latitude(given: &Given) -> Result<f64, ReckonError> {
    let latitude = degrees(given, "latitude")?;
    groundlore_weather::sun::check_latitude(latitude).map(|()| latitude).map_err(|e| given.wrong("latitude", e.to_string()))
}

/// A longitude within the globe.
pub(super) fn longitude(given: &Given) -> Result<f64, ReckonError> {
    let longitude = degrees(given, "longitude")?;
    groundlore_weather::sun::check_longitude(longitude).map(|()| longitude).map_err(|e| given.wrong("longitude", e.to_string()))
}

/// The `date`.
pub(super) fn date(given: &Given) -> Result<Date, ReckonError> {
    let text = given.word("date").ok_or_else(|| given.lacks("date"))?;
    let plain = text.len() == 10 && text.bytes().all(|b| b.is_ascii_digit() || b == b'-');
    let found = if plain { text.parse().ok() } else { None };
    found.ok_or_else(|| given.wrong("date", format!("`{text}` is no date of the calendar; write it as YYYY-MM-DD")))
}

/// The `time`.
pub(super) fn time(given: &Given) -> Result<Timestamp, ReckonError> {
    let text = given.word("time").ok_or_else(|| given.lacks("time"))?;
    text.parse().map_err(|_| {
        given.wrong("time", format!("`{text}` is no moment as RFC 3339 writes it; give date, time and offset (Z or such as -06:00)"))
    })
}

/// Adds a number in a unit.
pub(super) fn put(worked: &mut Worked, name: &'static str, value: f64, unit: &str) -> Result<(), ReckonError> {
    let quantity = Quantity::new(value, unit).map(tidy).map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    worked.put(name, Output::Quantity(quantity));
    Ok(())
}

fn day_length(given: &Given) -> Result<Worked, ReckonError> {
    let (latitude, date) = (latitude(given)?, date(given)?);
    let day = DayGeometry::new(latitude, date.day_of_year()).map_err(|e| given.wrong("latitude", e.to_string()))?;
    let mut worked = Worked::default();
    worked.line(format!("{date} is day {} of the year", date.day_of_year()));
    worked.line(format!("declination = 0.409 sin(2π J/365 − 1.39) = {:.4} rad", day.declination_rad));
    worked.line(format!("sunset angle = arccos(−tan φ tan δ) = {:.4} rad", day.sunset_hour_angle_rad));
    worked.line(format!("day length = 24/π × sunset angle = {:.4} h", day.day_length_h));
    worked.line(format!(
        "radiation above the air, distance factor {:.4}: {:.4} MJ/m2/day",
        day.inverse_relative_distance, day.extraterrestrial_mj
    ));
    put(&mut worked, "day_length", day.day_length_h, "h")?;
    put(&mut worked, "sunset_angle", day.sunset_hour_angle_rad.to_degrees(), "deg")?;
    put(&mut worked, "extraterrestrial_radiation", day.extraterrestrial_mj, "MJ/m2/day")?;
    Ok(worked)
}

fn position(given: &Given) -> Result<Worked, ReckonError> {
    let (latitude, longitude, time) = (latitude(given)?, longitude(given)?, time(given)?);
    let sun = sun_position(time, latitude, longitude);
    let mut worked = Worked::default();
    worked.line(format!("{time} seen from latitude {latitude}, longitude {longitude}, without refraction"));
    worked.line(format!("zenith {:.3}°, elevation {:.3}°, azimuth {:.3}° from north", sun.zenith_deg, sun.elevation_deg, sun.azimuth_deg));
    put(&mut worked, "zenith", sun.zenith_deg, "deg")?;
    put(&mut worked, "elevation", sun.elevation_deg, "deg")?;
    put(&mut worked, "azimuth", sun.azimuth_deg, "deg")?;
    Ok(worked)
}

fn times(given: &Given) -> Result<Worked, ReckonError> {
    let (latitude, longitude, date) = (latitude(given)?, longitude(given)?, date(given)?);
    let zone = zone(given)?;
    let day = sun_times(latitude, longitude, date, &zone).map_err(|e| given.wrong("date", e.to_string()))?;
    let mut worked = Worked::default();
    match day.kind {
        DayKind::StaysUp => worked.line("the sun stays up: it does not set on this date"),
        DayKind::StaysDown => worked.line("the sun stays down: it does not rise on this date"),
        DayKind::Crosses => {}
    }
    for (name, moment) in [("rise", day.rise), ("transit", Some(day.transit)), ("set", day.set)] {
        let Some(moment) = moment else {
            worked.line(format!("{name}: none"));
            worked.put(name, Output::None);
            continue;
        };
        let hours = day.hours_after_midnight(moment);
        let clock = zone.to_datetime(moment).strftime("%Y-%m-%d %H:%M:%S").to_string();
        worked.line(format!("{name} at {clock} by the clock of the zone, {hours:.4} h after local midnight"));
        put(&mut worked, name, hours, "h")?;
    }
    Ok(worked)
}

/// The `zone`: an offset such as -6, -06:00 or +0530, `UTC`, or an IANA name.
fn zone(given: &Given) -> Result<TimeZone, ReckonError> {
    let text = given.word("zone").ok_or_else(|| given.lacks("zone"))?;
    let found = if text.eq_ignore_ascii_case("utc") || text.eq_ignore_ascii_case("z") {
        Some(TimeZone::UTC)
    } else if text.starts_with(['+', '-', '−']) || text.starts_with(|c: char| c.is_ascii_digit()) {
        offset_seconds(text).and_then(|seconds| Offset::from_seconds(seconds).ok()).map(TimeZone::fixed)
    } else {
        TimeZone::get(text).ok()
    };
    found.ok_or_else(|| given.wrong("zone", format!("`{text}` is neither a time zone's name nor an offset such as -6 or -06:00")))
}

/// Seconds east of UTC; at most 18 hours.
fn offset_seconds(text: &str) -> Option<i32> {
    let west = text.starts_with(['-', '−']);
    let digits = text.trim_start_matches(['+', '-', '−']);
    let (hours, minutes) = match digits.split_once(':') {
        Some((hours, minutes)) if minutes.len() == 2 => (hours, minutes),
        Some(_) => return None,
        None if digits.len() == 4 => digits.split_at(2),
        None => (digits, "0"),
    };
    let number = |text: &str| text.bytes().all(|b| b.is_ascii_digit()).then(|| text.parse::<i32>().ok()).flatten();
    let (hours, minutes) = (number(hours)?, number(minutes)?);
    let seconds = hours.checked_mul(3600)?.checked_add(minutes * 60)?;
    (minutes < 60 && seconds <= 18 * 3600).then_some(if west { -seconds } else { seconds })
}
