//! Air pressure, the psychrometric constant, and wind brought to 2 m.
//!
//! # Source
//! FAO-56 eqs. 7, 8 and 47.

use serde::{Deserialize, Serialize};

use super::{EvapotranspirationError, within};

/// Wind that stands in where none was measured, m/s at 2 m: the mean of over 2,000 stations. FAO-56 p. 63 (figure from memory).
pub const STAND_IN_WIND_MS: f64 = 2.0;

/// Mean air pressure, kPa, at a height above the sea, m. FAO-56 eq. 7.
///
/// # Example
/// ```
/// # use groundlore_weather::evapotranspiration::air::{pressure_kpa, psychrometric_kpa_c};
/// // FAO-56 example 2: 1800 m.
/// assert!((pressure_kpa(1800.0) - 81.8).abs() < 0.05);
/// assert!((psychrometric_kpa_c(pressure_kpa(1800.0)) - 0.054).abs() < 0.0005);
/// ```
#[must_use]
pub fn pressure_kpa(elevation_m: f64) -> f64 {
    101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0).powf(5.26)
}

/// Psychrometric constant γ, kPa °C⁻¹, of an air pressure (kPa). FAO-56 eq. 8.
#[must_use]
pub fn psychrometric_kpa_c(pressure_kpa: f64) -> f64 {
    0.000_665 * pressure_kpa
}

/// Factor that brings wind measured at a height (m) over short grass to 2 m. FAO-56 eq. 47.
///
/// # Example
/// ```
/// # use groundlore_weather::evapotranspiration::air::wind_factor;
/// // FAO-56 table 2.9: 10 m.
/// assert!((wind_factor(10.0) - 0.748).abs() < 0.0005);
/// ```
#[must_use]
pub fn wind_factor(height_m: f64) -> f64 {
    4.87 / (67.8 * height_m - 5.42).ln()
}

/// What is known of the wind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Wind {
    /// Mean speed at a height over short grass.
    Measured {
        /// Speed, m/s.
        speed_ms: f64,
        /// Height, m.
        height_m: f64,
    },
    /// Not measured: [`STAND_IN_WIND_MS`].
    Unknown,
}

impl Wind {
    /// Speed at 2 m, m/s; wind measured at 2 m stays as it is.
    ///
    /// # Errors
    /// A speed or a height that cannot be.
    pub fn at_2m_ms(self) -> Result<f64, EvapotranspirationError> {
        match self {
            Wind::Unknown => Ok(STAND_IN_WIND_MS),
            Wind::Measured { speed_ms, height_m } => {
                within("the wind (m/s)", speed_ms, 0.0, 60.0, "2.8 m/s")?;
                within("the wind's height (m)", height_m, 0.5, 200.0, "10 m")?;
                Ok(if height_m == 2.0 { speed_ms } else { speed_ms * wind_factor(height_m) })
            }
        }
    }
}
