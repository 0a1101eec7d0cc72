//! Where the sun stands at a moment: a short almanac series, within 0.01° of the long reference algorithm.
//!
//! The sun's mean motion, its equation of the centre, the largest pulls of Venus, Jupiter and the moon, aberration and the main term of
//! nutation; then sidereal time, the observer's horizon, and the sun's parallax of 8.8″. Refraction is left out: heights are geometric.
//!
//! # Source
//! Meeus, *Astronomical Algorithms* (1991), chapters 12 and 25, and *Astronomical Formulae for Calculators* (1982), chapter 18 (the small
//! pulls): both from memory. Checked row by row against the solar position algorithm of Reda & Andreas (2004), *Solar Energy* 76:577, as
//! computed by pvlib 0.16.1.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// Seconds by which the time of the almanac runs before the clock. 69 is right about 2020; a minute more or less moves the sun by 0.0007°.
const DELTA_T_S: f64 = 69.0;

/// Day number of the epoch J2000 minus that of 1970-01-01, days.
const J2000_UNIX_DAYS: f64 = 10_957.5;

/// Where the sun stands over the middle of the earth at a moment; one serves for any number of places.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Ephemeris {
    /// Declination, degrees, north positive.
    pub declination_deg: f64,
    /// Hour angle at Greenwich, degrees, west positive, 0 to 360.
    pub greenwich_hour_angle_deg: f64,
    /// Apparent minus mean solar time, minutes.
    pub equation_of_time_min: f64,
    /// Distance, astronomical units.
    pub distance_au: f64,
}

/// Where the sun stands over a place, without refraction.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SunPosition {
    /// Angle from straight up, degrees.
    pub zenith_deg: f64,
    /// Angle over the level, degrees; negative below it.
    pub elevation_deg: f64,
    /// Direction from north through east, degrees, 0 to 360.
    pub azimuth_deg: f64,
}

/// Where the sun stands over a place at a moment: degrees, north and east positive.
///
/// # Example
/// ```
/// # use groundlore_weather::sun::position::sun_position;
/// // London at noon in June: pvlib 0.16.1 gives zenith 28.07435°, azimuth 179.40254°.
/// let sun = sun_position("2024-06-20T12:01:00Z".parse()?, 51.51, -0.13);
/// assert!((sun.zenith_deg - 28.07435).abs() < 0.01 && (sun.azimuth_deg - 179.40254).abs() < 0.01);
/// # Ok::<(), jiff::Error>(())
/// ```
#[must_use]
pub fn sun_position(time: Timestamp, latitude_deg: f64, longitude_deg: f64) -> SunPosition {
    Ephemeris::at(time).seen_from(latitude_deg, longitude_deg)
}

impl Ephemeris {
    /// The sun at a moment.
    #[must_use]
    pub fn at(time: Timestamp) -> Ephemeris {
        Ephemeris::at_unix_seconds(time.as_millisecond() as f64 / 1000.0)
    }

    /// The sun at a moment given as seconds from 1970-01-01T00:00Z: the form for loops.
    #[must_use]
    pub fn at_unix_seconds(seconds: f64) -> Ephemeris {
        let days = seconds / 86_400.0 - J2000_UNIX_DAYS;
        let centuries = (days + DELTA_T_S / 86_400.0) / 36_525.0;
        let sun = EclipticSun::at(centuries);
        let (longitude, tilt) = (sun.apparent_longitude_deg.to_radians(), sun.obliquity_deg.to_radians());
        let right_ascension_deg = (tilt.cos() * longitude.sin()).atan2(longitude.cos()).to_degrees();
        let hour_angle = sidereal_time_deg(days, &sun) - right_ascension_deg;
        let mean_hour_angle = 360.0 * (days - days.floor()) % 360.0;
        Ephemeris {
            declination_deg: (tilt.sin() * longitude.sin()).asin().to_degrees(),
            greenwich_hour_angle_deg: hour_angle.rem_euclid(360.0),
            equation_of_time_min: half_turn(hour_angle - mean_hour_angle) * 4.0,
            distance_au: sun.distance_au,
        }
    }

    /// Hour angle over a longitude, degrees from −180 to 180: negative before the sun's highest stand, 0 at it.
    #[must_use]
    pub fn hour_angle_deg(&self, longitude_deg: f64) -> f64 {
        half_turn(self.greenwich_hour_angle_deg + longitude_deg)
    }

    /// The sun as seen from a place.
    #[must_use]
    pub fn seen_from(&self, latitude_deg: f64, longitude_deg: f64) -> SunPosition {
        let (latitude, declination) = (latitude_deg.to_radians(), self.declination_deg.to_radians());
        let hour_angle = self.hour_angle_deg(longitude_deg).to_radians();
        let up = latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * hour_angle.cos();
        let north = latitude.cos() * declination.sin() - latitude.sin() * declination.cos() * hour_angle.cos();
        let east = -declination.cos() * hour_angle.sin();
        let level = north.hypot(east);
        let parallax_deg = 8.794 / 3600.0 / self.distance_au * level;
        let zenith_deg = level.atan2(up).to_degrees() + parallax_deg;
        SunPosition { zenith_deg, elevation_deg: 90.0 - zenith_deg, azimuth_deg: east.atan2(north).to_degrees().rem_euclid(360.0) }
    }
}

/// The sun on its yearly path.
struct EclipticSun {
    apparent_longitude_deg: f64,
    obliquity_deg: f64,
    nutation_deg: f64,
    distance_au: f64,
}

impl EclipticSun {
    /// `t` is in centuries from J2000, in the time of the almanac.
    fn at(t: f64) -> EclipticSun {
        let mean_longitude = 280.466_46 + t * (36_000.769_83 + t * 0.000_303_2);
        let mean_anomaly = 357.529_11 + t * (35_999.050_29 - t * 0.000_153_7);
        let eccentricity = 0.016_708_634 - t * (0.000_042_037 + t * 0.000_000_126_7);
        let anomaly = mean_anomaly.to_radians();
        let centre = (1.914_602 - t * (0.004_817 + t * 0.000_014)) * anomaly.sin()
            + (0.019_993 - t * 0.000_101) * (2.0 * anomaly).sin()
            + 0.000_289 * (3.0 * anomaly).sin();
        let node = (125.04 - 1934.136 * t).to_radians();
        let nutation_deg = -0.004_78 * node.sin();
        let aberration = -0.005_69;
        EclipticSun {
            apparent_longitude_deg: mean_longitude + centre + small_pulls_deg(t) + aberration + nutation_deg,
            obliquity_deg: 23.439_291_1 - t * (0.013_004_2 + t * 0.000_000_16) + 0.002_56 * node.cos(),
            nutation_deg,
            distance_au: 1.000_001_018 * (1.0 - eccentricity * eccentricity) / (1.0 + eccentricity * (anomaly + centre.to_radians()).cos()),
        }
    }
}

/// What Venus, Jupiter and the moon add to the sun's longitude, degrees: the largest terms only.
fn small_pulls_deg(t: f64) -> f64 {
    // Arguments count from 1900 January 0.5.
    const TERMS: [(f64, f64, f64); 4] =
        [(0.001_34, 153.23, 22_518.754_1), (0.001_54, 216.57, 45_037.508_2), (0.002_00, 312.69, 32_964.357_7), (0.001_78, 231.19, 20.20)];
    let from_1900 = t + 1.0;
    let cosine = |&(size, start, pace): &(f64, f64, f64)| size * (start + pace * from_1900).to_radians().cos();
    let planets: f64 = TERMS[..3].iter().map(cosine).sum();
    let (slow_size, slow_start, slow_pace) = TERMS[3];
    let slow = slow_size * (slow_start + slow_pace * from_1900).to_radians().sin();
    let moon = 0.001_79 * (350.74 + 445_267.114_2 * from_1900 - 0.001_44 * from_1900 * from_1900).to_radians().sin();
    planets + slow + moon
}

/// Apparent sidereal time at Greenwich, degrees; `days` from J2000 by the clock.
fn sidereal_time_deg(days: f64, sun: &EclipticSun) -> f64 {
    let t = days / 36_525.0;
    let mean = 280.460_618_37 + 360.985_647_366_29 * days + t * t * (0.000_387_933 - t / 38_710_000.0);
    mean + sun.nutation_deg * sun.obliquity_deg.to_radians().cos()
}

/// An angle brought to −180…180°.
pub(super) fn half_turn(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}
