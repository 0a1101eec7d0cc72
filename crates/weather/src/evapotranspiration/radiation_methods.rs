//! Evapotranspiration from temperature and radiation: Priestley–Taylor, Makkink, Turc.
//!
//! # Sources
//! The equations as worked in McMahon et al. (2013), *Hydrol. Earth Syst. Sci.* 17:1331, supplement S19 (read through pyet): Priestley & Taylor
//! (1972), Makkink (1957), Turc (1961). The form of the Dutch weather service: De Bruin (1987), as published daily by KNMI and computed by
//! pyet 1.5.0.

use serde::{Deserialize, Serialize};

use super::LATENT_HEAT_MJ_KG;

/// Priestley & Taylor's coefficient for wet ground.
pub const PRIESTLEY_TAYLOR: f64 = 1.26;

/// Priestley–Taylor, mm d⁻¹, from slope and psychrometric constant (kPa °C⁻¹), net radiation and soil heat (MJ m⁻² d⁻¹); never below 0.
///
/// # Example
/// ```
/// # use groundlore_weather::evapotranspiration::radiation_methods::priestley_taylor_mm;
/// // McMahon et al. 2013, S19, example 15: 2.6083 mm.
/// assert!((priestley_taylor_mm(0.0898, 0.0632, 8.6401, 0.0) - 2.6083).abs() < 0.002);
/// ```
#[must_use]
pub fn priestley_taylor_mm(slope_kpa_c: f64, psychrometric_kpa_c: f64, net_radiation_mj: f64, soil_heat_mj: f64) -> f64 {
    let share = slope_kpa_c / (slope_kpa_c + psychrometric_kpa_c);
    (PRIESTLEY_TAYLOR * share * (net_radiation_mj - soil_heat_mj) / LATENT_HEAT_MJ_KG).max(0.0)
}

/// Which Makkink equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MakkinkForm {
    /// 0.61 Δ/(Δ + γ) Rs/2.45 − 0.12.
    Original,
    /// 0.65 Δ/(Δ + γ) Rs/λ at sea level, with the constants of the Dutch weather service.
    Knmi,
}

/// Makkink's original equation, mm d⁻¹, from slope and psychrometric constant (kPa °C⁻¹) and solar radiation (MJ m⁻² d⁻¹); never below 0.
///
/// # Example
/// ```
/// # use groundlore_weather::evapotranspiration::radiation_methods::makkink_original_mm;
/// // McMahon et al. 2013, S19, example 10: 2.3928 mm.
/// assert!((makkink_original_mm(0.0898, 0.0632, 17.1940) - 2.3928).abs() < 0.002);
/// ```
#[must_use]
pub fn makkink_original_mm(slope_kpa_c: f64, psychrometric_kpa_c: f64, solar_mj: f64) -> f64 {
    let share = slope_kpa_c / (slope_kpa_c + psychrometric_kpa_c);
    (0.61 * share * solar_mj / LATENT_HEAT_MJ_KG - 0.12).max(0.0)
}

/// Makkink as the Dutch weather service reckons it, mm d⁻¹, from the mean temperature (°C) and solar radiation (MJ m⁻² d⁻¹); never below 0.
///
/// # Example
/// ```
/// # use groundlore_weather::evapotranspiration::radiation_methods::makkink_knmi_mm;
/// // De Bilt: 0.9 °C and 2.53 MJ are published as 0.3 mm.
/// assert!((makkink_knmi_mm(0.9, 2.53) - 0.3).abs() <= 0.05);
/// ```
#[must_use]
pub fn makkink_knmi_mm(mean_c: f64, solar_mj: f64) -> f64 {
    let power = 7.5 * mean_c / (237.3 + mean_c);
    let saturation_hpa = 6.107 * 10f64.powf(power);
    let slope_hpa = 7.5 * 237.3 / (237.3 + mean_c).powi(2) * std::f64::consts::LN_10 * saturation_hpa;
    let gamma_hpa = 0.646 + 0.0006 * mean_c;
    let latent_kj = 2501.0 - 2.38 * mean_c;
    (650.0 * slope_hpa / (slope_hpa + gamma_hpa) * solar_mj / latent_kj).max(0.0)
}

/// Turc, mm d⁻¹, from the mean temperature (°C), solar radiation (MJ m⁻² d⁻¹) and mean relative humidity (%); 0 at and below 0 °C.
///
/// # Example
/// ```
/// # use groundlore_weather::evapotranspiration::radiation_methods::turc_mm;
/// // McMahon et al. 2013, S19, example 12: 2.6727 mm.
/// assert!((turc_mm(11.5, 17.1940, 48.0) - 2.6727).abs() < 0.0005);
/// ```
#[must_use]
pub fn turc_mm(mean_c: f64, solar_mj: f64, relative_humidity_pct: f64) -> f64 {
    if mean_c <= 0.0 {
        return 0.0;
    }
    let dryness = if relative_humidity_pct < 50.0 { 1.0 + (50.0 - relative_humidity_pct) / 70.0 } else { 1.0 };
    (0.013 * mean_c / (mean_c + 15.0) * (23.88 * solar_mj + 50.0) * dryness).max(0.0)
}
