//! Vapour pressure of the air.
//!
//! # Source
//! FAO-56 eqs. 11–19 and 48; psychrometer constants p. 38.

use serde::{Deserialize, Serialize};

use super::{EvapotranspirationError, within};
use crate::wide::exp;

/// Pressure of saturated vapour over water, kPa, at a temperature in °C. FAO-56 eq. 11.
///
/// # Example
/// ```
/// # use groundlore_weather::evapotranspiration::vapour::saturation_pressure_kpa;
/// // FAO-56 example 3.
/// assert!((saturation_pressure_kpa(24.5) - 3.075).abs() < 0.0006);
/// ```
#[must_use]
#[inline(always)]
pub fn saturation_pressure_kpa(temperature_c: f64) -> f64 {
    0.6108 * exp(17.27 * temperature_c / (temperature_c + 237.3))
}

/// Mean of the saturated pressures at the day's minimum and maximum, kPa. FAO-56 eq. 12.
#[must_use]
pub fn mean_saturation_kpa(minimum_c: f64, maximum_c: f64) -> f64 {
    0.5 * (saturation_pressure_kpa(minimum_c) + saturation_pressure_kpa(maximum_c))
}

/// Slope of the saturated pressure with temperature, kPa °C⁻¹. FAO-56 eq. 13.
#[must_use]
#[inline(always)]
pub fn slope_kpa_c(temperature_c: f64) -> f64 {
    4098.0 * saturation_pressure_kpa(temperature_c) / (temperature_c + 237.3).powi(2)
}

/// How a psychrometer's wet bulb is aired, with its coefficient (°C⁻¹).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Psychrometer {
    /// By a fan at about 5 m/s.
    Ventilated,
    /// By the wind at about 1 m/s.
    Natural,
    /// Indoors, by still air.
    Indoor,
}

impl Psychrometer {
    /// The coefficient, °C⁻¹.
    #[must_use]
    pub fn coefficient(self) -> f64 {
        match self {
            Psychrometer::Ventilated => 0.000_662,
            Psychrometer::Natural => 0.000_800,
            Psychrometer::Indoor => 0.001_200,
        }
    }

    /// Vapour pressure of the air, kPa, from a dry and a wet bulb (°C) at an air pressure (kPa). FAO-56 eq. 15.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::evapotranspiration::vapour::Psychrometer;
    /// // FAO-56 example 4: 1200 m (87.9 kPa), 25.6 and 19.5 °C.
    /// assert!((Psychrometer::Ventilated.vapour_pressure_kpa(25.6, 19.5, 87.9) - 1.91).abs() < 0.006);
    /// ```
    #[must_use]
    pub fn vapour_pressure_kpa(self, dry_c: f64, wet_c: f64, pressure_kpa: f64) -> f64 {
        saturation_pressure_kpa(wet_c) - self.coefficient() * pressure_kpa * (dry_c - wet_c)
    }
}

/// What is known of the day's humidity; the first are the better.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Humidity {
    /// Vapour pressure, kPa.
    VapourPressure(f64),
    /// Dewpoint, °C. FAO-56 eq. 14.
    Dewpoint(f64),
    /// Lowest and highest relative humidity, %. FAO-56 eq. 17.
    Range {
        /// Lowest, %.
        minimum_pct: f64,
        /// Highest, %.
        maximum_pct: f64,
    },
    /// Highest relative humidity only, %. FAO-56 eq. 18.
    Maximum(f64),
    /// Mean relative humidity only, %. FAO-56 eq. 19.
    Mean(f64),
    /// Not measured: the dewpoint is taken as the minimum less some degrees (0 in humid air, 2 to 3 in dry). FAO-56 eq. 48.
    FromMinimum {
        /// Degrees below the minimum.
        below_c: f64,
    },
}

impl Humidity {
    /// Vapour pressure of the air, kPa, on a day with the given minimum and maximum (°C).
    ///
    /// # Errors
    /// A humidity outside 0–100 % (sensors in fog may read up to 105 %, which is kept), a dewpoint or a pressure that air cannot have.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::evapotranspiration::vapour::Humidity;
    /// // FAO-56 example 18: 12.3 to 21.5 °C, 63 to 84 %.
    /// let ea = Humidity::Range { minimum_pct: 63.0, maximum_pct: 84.0 }.vapour_pressure_kpa(12.3, 21.5)?;
    /// assert!((ea - 1.409).abs() < 0.001);
    /// # Ok::<(), groundlore_weather::evapotranspiration::EvapotranspirationError>(())
    /// ```
    pub fn vapour_pressure_kpa(self, minimum_c: f64, maximum_c: f64) -> Result<f64, EvapotranspirationError> {
        // Sensors read a little over 100 % in fog; the reading is kept, as the reference libraries do.
        let percent = |what, value: f64| within(what, value, 0.0, 105.0, "63 %").map(|()| value);
        match self {
            Humidity::VapourPressure(kpa) => within("the vapour pressure (kPa)", kpa, 0.0, 12.0, "1.41 kPa").map(|()| kpa),
            Humidity::Dewpoint(celsius) => {
                within("the dewpoint (°C)", celsius, -90.0, 45.0, "9.9 °C").map(|()| saturation_pressure_kpa(celsius))
            }
            Humidity::Range { minimum_pct, maximum_pct } => {
                let minimum_pct = percent("the lowest humidity (%)", minimum_pct)?;
                let maximum_pct = percent("the highest humidity (%)", maximum_pct)?;
                let (night, noon) = (saturation_pressure_kpa(minimum_c), saturation_pressure_kpa(maximum_c));
                Ok((night * maximum_pct + noon * minimum_pct) / 200.0)
            }
            Humidity::Maximum(pct) => percent("the highest humidity (%)", pct).map(|pct| saturation_pressure_kpa(minimum_c) * pct / 100.0),
            Humidity::Mean(pct) => percent("the mean humidity (%)", pct).map(|pct| mean_saturation_kpa(minimum_c, maximum_c) * pct / 100.0),
            Humidity::FromMinimum { below_c } => {
                within("the dewpoint's distance below the minimum (°C)", below_c, 0.0, 20.0, "2 °C")?;
                Ok(saturation_pressure_kpa(minimum_c - below_c))
            }
        }
    }
}
