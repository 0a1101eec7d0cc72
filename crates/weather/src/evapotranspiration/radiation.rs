//! Solar radiation of a day, where it is not measured, under a clear sky, and what is left of it at the ground.
//!
//! # Sources
//! FAO-56 eqs. 35–40 and 50. The clear sky that knows humidity: ASCE-EWRI (2005), appendix D (memory; checked against refet 0.5.0).

use std::f64::consts::TAU;

use serde::{Deserialize, Serialize};

/// Share of solar radiation that green grass throws back.
pub const ALBEDO: f64 = 0.23;

/// Cloudiness factor where neither measured nor clear-sky radiation says anything (nights, polar nights): that of 0.7 of a clear sky.
/// The share is a middle of FAO-56's advice for nights (0.4–0.6 in humid, 0.7–0.8 in dry places; memory).
pub const STAND_IN_CLOUDINESS: f64 = 1.35 * 0.7 - 0.35;

/// The two constants of the sunshine formula: the share of radiation on overcast days, and what full sunshine adds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SunshineShares {
    /// Share on overcast days, a_s.
    pub overcast: f64,
    /// What full sunshine adds, b_s.
    pub sunshine: f64,
}

impl SunshineShares {
    /// Where no local ones are known: 0.25 and 0.50. FAO-56 p. 50.
    pub const FAO56: SunshineShares = SunshineShares { overcast: 0.25, sunshine: 0.50 };

    /// Solar radiation, in the unit of `extraterrestrial`, of some hours of sunshine out of a day length. FAO-56 eq. 35.
    ///
    /// More sunshine than the day is long counts as a whole day; where there is no day there is no radiation.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::evapotranspiration::radiation::SunshineShares;
    /// // FAO-56 example 10: 7.1 h of 10.9 h, Ra 25.1.
    /// assert!((SunshineShares::FAO56.solar_mj(7.1, 10.9, 25.1) - 14.5).abs() < 0.06);
    /// ```
    #[must_use]
    pub fn solar_mj(self, sunshine_h: f64, day_length_h: f64, extraterrestrial_mj: f64) -> f64 {
        let share = if day_length_h > 0.0 { (sunshine_h / day_length_h).min(1.0) } else { 0.0 };
        (self.overcast + self.sunshine * share) * extraterrestrial_mj
    }
}

/// Whether a place lies by the sea or a large lake, or inland.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Shore {
    /// Inland: 0.16.
    Inland,
    /// On the coast: 0.19.
    Coast,
}

impl Shore {
    /// The coefficient kRs, °C^−½. FAO-56 p. 60.
    #[must_use]
    pub fn coefficient(self) -> f64 {
        match self {
            Shore::Inland => 0.16,
            Shore::Coast => 0.19,
        }
    }

    /// Solar radiation from the day's swing of temperature, in the unit of `extraterrestrial`. FAO-56 eq. 50 (Hargreaves).
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::evapotranspiration::radiation::Shore;
    /// // FAO-56 example 15: July, 14.8 to 26.6 °C, Ra 40.6.
    /// assert!((Shore::Inland.solar_mj(14.8, 26.6, 40.6) - 22.3).abs() < 0.06);
    /// ```
    #[must_use]
    pub fn solar_mj(self, minimum_c: f64, maximum_c: f64, extraterrestrial_mj: f64) -> f64 {
        self.coefficient() * (maximum_c - minimum_c).max(0.0).sqrt() * extraterrestrial_mj
    }
}

/// Which clear-sky radiation is meant. The two move daily ET₀ by up to 0.14 mm at a dry station (Fallon 2015).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum ClearSky {
    /// (0.75 + 2·10⁻⁵ z) Ra. FAO-56 eq. 37.
    #[default]
    Simple,
    /// The form that knows humidity and the sun's height. ASCE-EWRI (2005), appendix D.
    Humidity,
}

impl ClearSky {
    /// The form's name: `simple`, `humidity`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            ClearSky::Simple => "simple",
            ClearSky::Humidity => "humidity",
        }
    }
}

/// Simple clear-sky radiation, in the unit of `extraterrestrial`. FAO-56 eq. 37.
#[must_use]
pub fn clear_sky_simple_mj(elevation_m: f64, extraterrestrial_mj: f64) -> f64 {
    (0.75 + 2e-5 * elevation_m) * extraterrestrial_mj
}

/// What the humidity form of clear-sky radiation asks for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct HumidSky {
    /// Latitude, radians.
    pub latitude_rad: f64,
    /// Day of the year.
    pub day_of_year: f64,
    /// Air pressure, kPa.
    pub pressure_kpa: f64,
    /// Vapour pressure, kPa.
    pub vapour_pressure_kpa: f64,
    /// Radiation above the air, MJ m⁻² d⁻¹.
    pub extraterrestrial_mj: f64,
}

/// Clear-sky radiation of a day that knows humidity, MJ m⁻² d⁻¹. ASCE-EWRI (2005), eqs. D.1–D.6, clear air (turbidity 1).
#[must_use]
pub fn clear_sky_humid_mj(sky: &HumidSky) -> f64 {
    let height = 0.85 + 0.3 * sky.latitude_rad * (TAU / 365.0 * sky.day_of_year - 1.39).sin() - 0.42 * sky.latitude_rad.powi(2);
    let sine = height.sin().max(0.1);
    let water_mm = 0.14 * sky.vapour_pressure_kpa * sky.pressure_kpa + 2.1;
    let beam = 0.98 * (-0.001_46 * sky.pressure_kpa / sine - 0.075 * (water_mm / sine).powf(0.4)).exp();
    let scattered = if beam >= 0.15 { 0.35 - 0.36 * beam } else { 0.18 + 0.82 * beam };
    (beam + scattered) * sky.extraterrestrial_mj
}

/// Cloudiness factor of measured over clear-sky radiation, 0.055 to 1; `None` where there is no clear-sky radiation to compare with.
///
/// FAO-56 eq. 39 holds the ratio at 1 or below; ASCE-EWRI (2005) also at 0.3 or above, and both are held here.
#[must_use]
pub fn cloudiness(solar_mj: f64, clear_sky_mj: f64) -> Option<f64> {
    (clear_sky_mj > 0.0).then(|| 1.35 * (solar_mj / clear_sky_mj).clamp(0.3, 1.0) - 0.35)
}

/// Solar radiation that the reference cover keeps. FAO-56 eq. 38.
#[must_use]
pub fn net_shortwave_mj(solar_mj: f64) -> f64 {
    (1.0 - ALBEDO) * solar_mj
}

/// The constants of long-wave radiation. The shift from °C to kelvin is 273.16 in FAO-56 and ASCE, 273.2 elsewhere, 273.15 in truth: it
/// moves a day by up to 0.005 MJ.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Longwave {
    /// Kelvin at 0 °C.
    pub kelvin: f64,
    /// Stefan–Boltzmann constant, MJ m⁻² K⁻⁴ in the period.
    pub stefan_boltzmann: f64,
}

impl Longwave {
    /// A day by FAO-56.
    pub const FAO56_DAY: Longwave = Longwave { kelvin: 273.16, stefan_boltzmann: 4.903e-9 };
    /// A day by ASCE.
    pub const ASCE_DAY: Longwave = Longwave { kelvin: 273.16, stefan_boltzmann: 4.901e-9 };
    /// An hour by FAO-56.
    pub const FAO56_HOUR: Longwave = Longwave { kelvin: 273.16, stefan_boltzmann: 2.043e-10 };
    /// An hour by ASCE.
    pub const ASCE_HOUR: Longwave = Longwave { kelvin: 273.16, stefan_boltzmann: 2.042e-10 };

    /// σT⁴, MJ m⁻² in the period, at a temperature in °C.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::evapotranspiration::radiation::Longwave;
    /// // FAO-56 table 2.8: 20 °C.
    /// assert!((Longwave::FAO56_DAY.emitted_mj(20.0) - 36.21).abs() < 0.01);
    /// ```
    #[must_use]
    #[inline(always)]
    pub fn emitted_mj(self, temperature_c: f64) -> f64 {
        let squared = (temperature_c + self.kelvin) * (temperature_c + self.kelvin);
        self.stefan_boltzmann * (squared * squared)
    }

    /// Net outgoing long-wave radiation of the period: the mean emission at two temperatures, held back by vapour and cloud. FAO-56 eq. 39.
    #[must_use]
    #[inline(always)]
    pub fn net_mj(self, minimum_c: f64, maximum_c: f64, vapour_pressure_kpa: f64, cloudiness: f64) -> f64 {
        let emitted = 0.5 * (self.emitted_mj(minimum_c) + self.emitted_mj(maximum_c));
        emitted * (0.34 - 0.14 * vapour_pressure_kpa.max(0.0).sqrt()) * cloudiness
    }
}

/// Soil heat flux of a month, MJ m⁻² d⁻¹, from its mean temperature and that of the month before (°C). FAO-56 eq. 44. Over single days
/// it is taken as 0.
#[must_use]
pub fn monthly_soil_heat_mj(mean_c: f64, previous_mean_c: f64) -> f64 {
    0.14 * (mean_c - previous_mean_c)
}
