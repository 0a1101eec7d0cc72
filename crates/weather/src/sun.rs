//! The sun of a day and of a moment.
//!
//! | to… | go to |
//! | --- | --- |
//! | know how long the day is, and what the sun gives above the air (the simple yearly curves that evapotranspiration uses) | this page |
//! | know where the sun stands at a moment, within 0.01° | [`position`] |
//! | know how strong it is under a clear sky | [`clear_sky`] |
//! | know when it rises, passes south and sets, within a minute | [`day`] |
//!
//! The day length of this page is the geometry of the sun's middle without the bending of light: it is 7 minutes shorter than sunrise to
//! sunset at the equator, 10 at 40° and 23 at 60° in June. For sunrise and sunset take [`day`].
//!
//! # Source
//! Allen, Pereira, Raes & Smith (1998), *Crop evapotranspiration*, FAO Irrigation and Drainage Paper 56, eqs. 21–25 and 34.

pub mod clear_sky;
pub mod day;
pub mod position;

use std::f64::consts::{PI, TAU};

use serde::{Deserialize, Serialize};

/// The solar constant of FAO-56, MJ m⁻² min⁻¹.
pub const SOLAR_CONSTANT_MJ_M2_MIN: f64 = 0.0820;

/// What the place or the time may not be.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
pub enum SunError {
    /// A latitude off the globe.
    #[error("latitude {latitude} lies off the globe; give degrees from −90 to 90, south negative, such as 44.98")]
    Latitude {
        /// The value seen.
        latitude: f64,
    },
    /// A longitude off the globe.
    #[error("longitude {longitude} lies off the globe; give degrees from −180 to 180, west negative, such as -93.27")]
    Longitude {
        /// The value seen.
        longitude: f64,
    },
    /// A date at the end of the calendar.
    #[error("{date} lies too near the end of the calendar to say where the sun stands; give a date such as 2024-06-20")]
    Date {
        /// The date asked about.
        date: jiff::civil::Date,
    },
}

/// Refuses a latitude that is not within −90…90°.
///
/// # Errors
/// [`SunError::Latitude`].
pub fn check_latitude(latitude_deg: f64) -> Result<(), SunError> {
    if (-90.0..=90.0).contains(&latitude_deg) { Ok(()) } else { Err(SunError::Latitude { latitude: latitude_deg }) }
}

/// Refuses a longitude that is not within −180…180°.
///
/// # Errors
/// [`SunError::Longitude`].
pub fn check_longitude(longitude_deg: f64) -> Result<(), SunError> {
    if (-180.0..=180.0).contains(&longitude_deg) { Ok(()) } else { Err(SunError::Longitude { longitude: longitude_deg }) }
}

/// Square of the mean distance to the sun over today's (no unit): above 1 in January, below 1 in July. FAO-56 eq. 23.
///
/// `day_of_year` runs from 1 to 366.
#[must_use]
pub fn inverse_relative_distance(day_of_year: f64) -> f64 {
    1.0 + 0.033 * (TAU / 365.0 * day_of_year).cos()
}

/// Declination of the sun by a yearly sine (radians, north positive). FAO-56 eq. 24; up to a third of a degree off.
///
/// # Example
/// ```
/// # use groundlore_weather::sun::declination;
/// // FAO-56 example 8: 3 September, J = 246.
/// assert!((declination(246.0) - 0.120).abs() < 0.0005);
/// ```
#[must_use]
pub fn declination(day_of_year: f64) -> f64 {
    0.409 * (TAU / 365.0 * day_of_year - 1.39).sin()
}

/// Sunset hour angle ω_s (radians) at a latitude on a day with the given solar declination. FAO-56 eq. 25.
///
/// Both are in radians, north positive. Inside the polar circles the sun may not set or not rise: the result is then π or 0.
///
/// # Example
/// ```
/// # use groundlore_weather::sun::sunset_hour_angle;
/// // FAO-56 example 8: 20° S on 3 September (J = 246, δ = 0.120 rad).
/// assert!((sunset_hour_angle((-20f64).to_radians(), 0.120) - 1.527).abs() < 0.001);
/// ```
#[must_use]
pub fn sunset_hour_angle(latitude_rad: f64, declination_rad: f64) -> f64 {
    (-latitude_rad.tan() * declination_rad.tan()).clamp(-1.0, 1.0).acos()
}

/// Day length N (hours) of a sunset hour angle (radians): geometric, without the bending of light. FAO-56 eq. 34.
///
/// # Example
/// ```
/// # use groundlore_weather::sun::day_length_h;
/// // FAO-56 example 9.
/// assert!((day_length_h(1.527) - 11.7).abs() < 0.05);
/// ```
#[must_use]
pub fn day_length_h(sunset_hour_angle_rad: f64) -> f64 {
    24.0 / PI * sunset_hour_angle_rad
}

/// Radiation Ra of the sun on a level surface above the air in one day, MJ m⁻² d⁻¹. FAO-56 eq. 21.
#[must_use]
pub fn extraterrestrial_radiation_mj(latitude_rad: f64, day_of_year: f64) -> f64 {
    let declination = declination(day_of_year);
    let sunset = sunset_hour_angle(latitude_rad, declination);
    let height = sunset * latitude_rad.sin() * declination.sin() + latitude_rad.cos() * declination.cos() * sunset.sin();
    let day = 24.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN;
    (day * inverse_relative_distance(day_of_year) * height).max(0.0)
}

/// Radiation of the sun on a level surface above the air between two hour angles (radians), MJ m⁻². FAO-56 eq. 28.
///
/// The angles are first held inside sunrise and sunset, so that a night hour gives 0.
///
/// # Example
/// ```
/// # use groundlore_weather::sun::extraterrestrial_radiation_between_mj;
/// // FAO-56 example 19: N'Diaye, 16°13′ N, 1 October, 14 to 15 h.
/// let ra = extraterrestrial_radiation_between_mj(16.217f64.to_radians(), 274.0, 0.5512, 0.8130);
/// assert!((ra - 3.543).abs() < 0.002);
/// ```
#[must_use]
pub fn extraterrestrial_radiation_between_mj(latitude_rad: f64, day_of_year: f64, from_rad: f64, to_rad: f64) -> f64 {
    let declination = declination(day_of_year);
    let sunset = sunset_hour_angle(latitude_rad, declination);
    let (from, to) = (from_rad.clamp(-sunset, sunset), to_rad.clamp(-sunset, sunset));
    let height = (to - from) * latitude_rad.sin() * declination.sin() + latitude_rad.cos() * declination.cos() * (to.sin() - from.sin());
    let half_day = 12.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN;
    (half_day * inverse_relative_distance(day_of_year) * height).max(0.0)
}

/// How far the sun runs before or behind the clock through the year, hours. FAO-56 eqs. 32 and 33.
///
/// # Example
/// ```
/// # use groundlore_weather::sun::seasonal_correction_h;
/// // FAO-56 example 19, 1 October.
/// assert!((seasonal_correction_h(274.0) - 0.1889).abs() < 0.0001);
/// ```
#[must_use]
pub fn seasonal_correction_h(day_of_year: f64) -> f64 {
    let angle = TAU * (day_of_year - 81.0) / 364.0;
    0.1645 * (2.0 * angle).sin() - 0.1255 * angle.cos() - 0.025 * angle.sin()
}

/// The simple geometry of one day at one latitude.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DayGeometry {
    /// Day of the year, 1 to 366.
    pub day_of_year: f64,
    /// Square of the mean distance over today's.
    pub inverse_relative_distance: f64,
    /// Declination, radians.
    pub declination_rad: f64,
    /// Sunset hour angle, radians.
    pub sunset_hour_angle_rad: f64,
    /// Day length, hours, geometric.
    pub day_length_h: f64,
    /// Radiation above the air, MJ m⁻² d⁻¹.
    pub extraterrestrial_mj: f64,
}

impl DayGeometry {
    /// The geometry of a day of the year (1 to 366) at a latitude in degrees.
    ///
    /// # Errors
    /// [`SunError::Latitude`].
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::sun::DayGeometry;
    /// // FAO-56 example 8: 20° S on 3 September.
    /// let day = DayGeometry::new(-20.0, 246)?;
    /// assert!((day.extraterrestrial_mj - 32.2).abs() < 0.05);
    /// # Ok::<(), groundlore_weather::sun::SunError>(())
    /// ```
    pub fn new(latitude_deg: f64, day_of_year: i16) -> Result<DayGeometry, SunError> {
        check_latitude(latitude_deg)?;
        let (latitude, day) = (latitude_deg.to_radians(), f64::from(day_of_year));
        let declination_rad = declination(day);
        let sunset_hour_angle_rad = sunset_hour_angle(latitude, declination_rad);
        Ok(DayGeometry {
            day_of_year: day,
            inverse_relative_distance: inverse_relative_distance(day),
            declination_rad,
            sunset_hour_angle_rad,
            day_length_h: day_length_h(sunset_hour_angle_rad),
            extraterrestrial_mj: extraterrestrial_radiation_mj(latitude, day),
        })
    }
}
