//! Reference evapotranspiration of whole columns of days: the form for large batches. NaN in, NaN out; no errors on the way.

use std::f64::consts::PI;
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::air::{pressure_kpa, psychrometric_kpa_c, wind_factor};
use super::daily::Reference;
use super::hargreaves::HargreavesForm;
use super::radiation::{ALBEDO, Longwave, STAND_IN_CLOUDINESS};
use super::vapour::saturation_pressure_kpa;
use super::{EvapotranspirationError, MM_PER_MJ, within};
use crate::sun::{SOLAR_CONSTANT_MJ_M2_MIN, check_latitude, declination, inverse_relative_distance};
use crate::wide::{arc_cosine, widest};

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
            extraterrestrial_mj: year_of_sun(latitude),
        })
    }

    /// Radiation above the air on a day of the year, MJ m⁻² d⁻¹; NaN outside 1 to 366.
    #[must_use]
    pub fn extraterrestrial_mj(&self, day_of_year: i16) -> f64 {
        let slot = usize::try_from(day_of_year).ok().filter(|slot| *slot > 0);
        slot.and_then(|slot| self.extraterrestrial_mj.get(slot)).copied().unwrap_or(f64::NAN)
    }
}

/// The sun's days, the same at every latitude: sine and cosine of the declination, and what an upright sun gives by the radian of its turn
/// (MJ m⁻²), for the days 0 to 366.
static DAYS_OF_SUN: LazyLock<Vec<[f64; 3]>> = LazyLock::new(|| {
    let day = |day: u16| {
        let (sine, cosine) = declination(f64::from(day)).sin_cos();
        [sine, cosine, 24.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN * inverse_relative_distance(f64::from(day))]
    };
    (0..=366).map(day).collect()
});

/// Radiation above the air on each day of the year at a latitude (radians): FAO-56 eq. 21, as
/// [`extraterrestrial_radiation_mj`](crate::sun::extraterrestrial_radiation_mj).
fn year_of_sun(latitude: f64) -> Vec<f64> {
    let (sine, cosine) = latitude.sin_cos();
    let days = DAYS_OF_SUN.as_slice();
    let mut year = vec![0.0; days.len()];
    let out = year.as_mut_slice();
    widest(
        #[inline(always)]
        move || {
            for (out, [of_sine, of_cosine, strength]) in out.iter_mut().zip(days) {
                let setting = -(sine * of_sine) / (cosine * of_cosine);
                let setting = if setting > 1.0 { 1.0 } else { setting };
                let setting = if setting < -1.0 { -1.0 } else { setting };
                let height = arc_cosine(setting) * (sine * of_sine) + cosine * of_cosine * (1.0 - setting * setting).sqrt();
                let above_air = strength * height;
                *out = if above_air > 0.0 { above_air } else { 0.0 };
            }
        },
    );
    year
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
    let lengths = [days.minimum_c, days.maximum_c, days.vapour_pressure_kpa, days.wind_ms, days.solar_mj].map(<[f64]>::len);
    let length = lengths.into_iter().fold(days.day_of_year.len(), usize::min);
    out.reserve(length);
    let equation = Equation::of(reference, sky);
    // The sun of a block of days is looked up, and the rest reckoned in the widest vectors that the machine has.
    let (mut sun, mut depth) = ([0.0; BLOCK], [0.0; BLOCK]);
    for begin in (0..length).step_by(BLOCK) {
        let at = begin..length.min(begin + BLOCK);
        let (sun, depth) = (&mut sun[..at.len()], &mut depth[..at.len()]);
        sun.iter_mut().zip(&days.day_of_year[at.clone()]).for_each(|(sun, day)| *sun = sky.extraterrestrial_mj(*day));
        let (minimum_c, maximum_c, vapour_pressure_kpa) =
            (&days.minimum_c[at.clone()], &days.maximum_c[at.clone()], &days.vapour_pressure_kpa[at.clone()]);
        let (wind_ms, solar_mj) = (&days.wind_ms[at.clone()], &days.solar_mj[at]);
        match reference {
            Reference::Fao56 => equation.block(Reference::Fao56, sun, minimum_c, maximum_c, vapour_pressure_kpa, wind_ms, solar_mj, depth),
            other => equation.block(other, sun, minimum_c, maximum_c, vapour_pressure_kpa, wind_ms, solar_mj, depth),
        }
        out.extend_from_slice(depth);
    }
}

/// Days that are reckoned together: their columns stay in the nearest cache.
const BLOCK: usize = 256;

/// What one station and reference cover make of the equation.
#[derive(Clone, Copy)]
struct Equation {
    numerator: f64,
    denominator: f64,
    longwave: Longwave,
    gamma: f64,
    clear_share: f64,
    wind_factor: f64,
}

impl Equation {
    fn of(reference: Reference, sky: &StationSky) -> Self {
        let (numerator, denominator) = reference.daily_constants();
        let (longwave, gamma) = (reference.day_longwave(), sky.psychrometric_kpa_c);
        Self { numerator, denominator, longwave, gamma, clear_share: sky.clear_share, wind_factor: sky.wind_factor }
    }

    #[inline(always)]
    #[allow(clippy::too_many_arguments)]
    fn block(
        self,
        reference: Reference,
        sun: &[f64],
        minimum_c: &[f64],
        maximum_c: &[f64],
        vapour_pressure_kpa: &[f64],
        wind_ms: &[f64],
        solar_mj: &[f64],
        out: &mut [f64],
    ) {
        widest(
            #[inline(always)]
            move || {
                let temperatures = minimum_c.iter().zip(maximum_c);
                let air = vapour_pressure_kpa.iter().zip(wind_ms).zip(solar_mj.iter().zip(sun));
                for ((out, (min, max)), ((actual, wind), (solar, sun))) in out.iter_mut().zip(temperatures).zip(air) {
                    *out = self.day(reference, *min, *max, *actual, *wind, *solar, *sun);
                }
            },
        );
    }

    #[inline(always)]
    #[allow(clippy::too_many_arguments)]
    fn day(self, reference: Reference, min: f64, max: f64, actual: f64, wind: f64, solar: f64, sun: f64) -> f64 {
        let clear = self.clear_share * sun;
        let part = solar / clear;
        let part = if part > 1.0 { 1.0 } else { part };
        let part = if part < 0.3 { 0.3 } else { part };
        let cloudiness = if clear > 0.0 { 1.35 * part - 0.35 } else { STAND_IN_CLOUDINESS + 0.0 * clear };
        let net = (1.0 - ALBEDO) * solar - self.longwave.net_mj(min, max, actual, cloudiness);
        let mean = 0.5 * (min + max);
        let saturation = 0.5 * (saturation_pressure_kpa(min) + saturation_pressure_kpa(max));
        let (slope, wind) = (reference.slope(mean), reference.wind(wind * self.wind_factor) + 0.0 * wind);
        let drying = self.gamma * self.numerator / (mean + 273.0) * wind * (saturation - actual);
        let depth = (MM_PER_MJ * slope * net + drying) / (slope + self.gamma * (1.0 + self.denominator * wind));
        if depth < 0.0 { 0.0 } else { depth }
    }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sun::extraterrestrial_radiation_mj;

    #[test]
    fn a_year_of_sun_is_that_of_its_days_from_pole_to_pole() {
        for latitude_deg in [-90.0, -71.3, -34.0, 0.0, 12.5, 43.0, 66.6, 90.0_f64] {
            let latitude = latitude_deg.to_radians();
            for (day, found) in year_of_sun(latitude).into_iter().enumerate() {
                let wanted = extraterrestrial_radiation_mj(latitude, day as f64);
                assert!((found - wanted).abs() < 1e-9, "{latitude_deg}°, day {day}: {found} for {wanted}");
            }
        }
    }
}
