//! Reference evapotranspiration of whole columns of days: the form for large batches. NaN in, NaN out; no errors on the way.

use serde::{Deserialize, Serialize};

use super::air::{pressure_kpa, psychrometric_kpa_c, wind_factor};
use super::daily::Reference;
use super::hargreaves::HargreavesForm;
use super::radiation::{ALBEDO, STAND_IN_CLOUDINESS};
use super::vapour::saturation_pressure_kpa;
use super::{EvapotranspirationError, MM_PER_MJ, within};
use crate::sun::{check_latitude, extraterrestrial_radiation_mj};

/// A station: what stays the same from day to day, reckoned once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StationSky {
    psychrometric_kpa_c: f64,
    wind_factor: f64,
    clear_share: f64,
    /// Radiation above the air on each day of the year, MJ m⁻² d⁻¹; slot 0 is not used.
    extraterrestrial_mj: Vec<f64>,
}

impl StationSky {
    /// A station at a latitude (degrees), height (m), with wind measured at a height (m).
    ///
    /// # Errors
    /// A place or a height that cannot be.
    pub fn new(latitude_deg: f64, elevation_m: f64, wind_height_m: f64) -> Result<StationSky, EvapotranspirationError> {
        check_latitude(latitude_deg)?;
        within("the height above the sea (m)", elevation_m, -500.0, 9_000.0, "264 m")?;
        within("the wind's height (m)", wind_height_m, 0.5, 200.0, "10 m")?;
        let latitude = latitude_deg.to_radians();
        Ok(StationSky {
            psychrometric_kpa_c: psychrometric_kpa_c(pressure_kpa(elevation_m)),
            wind_factor: if wind_height_m == 2.0 { 1.0 } else { wind_factor(wind_height_m) },
            clear_share: 0.75 + 2e-5 * elevation_m,
            extraterrestrial_mj: (0..=366).map(|day| extraterrestrial_radiation_mj(latitude, f64::from(day))).collect(),
        })
    }

    /// Radiation above the air on a day of the year, MJ m⁻² d⁻¹; NaN outside 1 to 366.
    #[must_use]
    pub fn extraterrestrial_mj(&self, day_of_year: i16) -> f64 {
        let slot = usize::try_from(day_of_year).ok().filter(|slot| *slot > 0);
        slot.and_then(|slot| self.extraterrestrial_mj.get(slot)).copied().unwrap_or(f64::NAN)
    }
}

/// Columns of days; all are read to the length of the shortest.
#[derive(Debug, Clone, Copy)]
pub struct DayColumns<'a> {
    /// Day of the year, 1 to 366.
    pub day_of_year: &'a [i16],
    /// Lowest temperature, °C.
    pub minimum_c: &'a [f64],
    /// Highest temperature, °C.
    pub maximum_c: &'a [f64],
    /// Vapour pressure, kPa.
    pub vapour_pressure_kpa: &'a [f64],
    /// Wind at the station's height, m/s.
    pub wind_ms: &'a [f64],
    /// Solar radiation, MJ m⁻² d⁻¹.
    pub solar_mj: &'a [f64],
}

/// Penman–Monteith of many days, mm each, appended to `out`, with the simple clear sky and no soil heat: the figures of
/// [`DailyWeather::evapotranspiration`](super::daily::DailyWeather::evapotranspiration).
///
/// # Example
/// ```
/// use groundlore_weather::evapotranspiration::columns::{DayColumns, StationSky, penman_monteith_columns};
/// use groundlore_weather::evapotranspiration::daily::Reference;
///
/// // Fallon, 1 July 2015: ETo 7.998 mm by refet 0.5.0.
/// let sky = StationSky::new(39.4575, 1208.5, 3.0)?;
/// let days = DayColumns {
///     day_of_year: &[182],
///     minimum_c: &[(66.65 - 32.0) / 1.8],
///     maximum_c: &[(102.80 - 32.0) / 1.8],
///     vapour_pressure_kpa: &[1.220667],
///     wind_ms: &[4.80 * 0.44704],
///     solar_mj: &[674.07 * 0.041868],
/// };
/// let mut out = Vec::new();
/// penman_monteith_columns(Reference::AsceShort, &sky, &days, &mut out);
/// assert!((out[0] - 7.997969).abs() < 1e-4);
/// # Ok::<(), groundlore_weather::evapotranspiration::EvapotranspirationError>(())
/// ```
pub fn penman_monteith_columns(reference: Reference, sky: &StationSky, days: &DayColumns<'_>, out: &mut Vec<f64>) {
    let (numerator, denominator) = reference.daily_constants();
    let (longwave, gamma) = (reference.day_longwave(), sky.psychrometric_kpa_c);
    let temperatures = days.minimum_c.iter().zip(days.maximum_c);
    let air = days.vapour_pressure_kpa.iter().zip(days.wind_ms).zip(days.solar_mj);
    out.extend(days.day_of_year.iter().zip(temperatures).zip(air).map(|((day, (min, max)), ((actual, wind), solar))| {
        let clear = sky.clear_share * sky.extraterrestrial_mj(*day);
        let cloudiness = if clear > 0.0 { 1.35 * (solar / clear).clamp(0.3, 1.0) - 0.35 } else { STAND_IN_CLOUDINESS + 0.0 * clear };
        let net = (1.0 - ALBEDO) * solar - longwave.net_mj(*min, *max, *actual, cloudiness);
        let mean = 0.5 * (min + max);
        let saturation = 0.5 * (saturation_pressure_kpa(*min) + saturation_pressure_kpa(*max));
        let (slope, wind) = (reference.slope(mean), reference.wind(wind * sky.wind_factor) + 0.0 * wind);
        let drying = gamma * numerator / (mean + 273.0) * wind * (saturation - actual);
        let depth = (MM_PER_MJ * slope * net + drying) / (slope + gamma * (1.0 + denominator * wind));
        if depth < 0.0 { 0.0 } else { depth }
    }));
}

/// Hargreaves of many days, mm each, appended to `out`: day of the year, minimum and maximum (°C).
pub fn hargreaves_columns(
    form: HargreavesForm,
    sky: &StationSky,
    day_of_year: &[i16],
    minimum_c: &[f64],
    maximum_c: &[f64],
    out: &mut Vec<f64>,
) {
    let days = day_of_year.iter().zip(minimum_c).zip(maximum_c);
    out.extend(days.map(|((day, min), max)| {
        let whole = min + max + sky.extraterrestrial_mj(*day);
        if whole.is_nan() { f64::NAN } else { form.mm(*min, *max, sky.extraterrestrial_mj(*day)) }
    }));
}
