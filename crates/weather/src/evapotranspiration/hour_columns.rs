//! Reference evapotranspiration of whole columns of hours: the form for large batches. NaN in, NaN out; no errors on the way.

use std::f64::consts::PI;

use jiff::Timestamp;

use super::air::{pressure_kpa, psychrometric_kpa_c, wind_factor};
use super::daily::Reference;
use super::hourly::{HourConstants, LOW_SUN_RAD, hour_longwave};
use super::radiation::{ALBEDO, Longwave, STAND_IN_CLOUDINESS, cloudiness};
use super::vapour::saturation_pressure_kpa;
use super::{EvapotranspirationError, MM_PER_MJ, within};
use crate::calendar::date_of;
use crate::sun::{
    SOLAR_CONSTANT_MJ_M2_MIN, check_latitude, check_longitude, declination, inverse_relative_distance, seasonal_correction_h,
    sunset_hour_angle,
};
use crate::wide::widest;

const DAY_S: i64 = 86_400;
const HOUR_S: i64 = 3_600;
/// Hours that are reckoned together: their columns stay in the nearest cache.
const BLOCK: usize = 256;

/// A station and the hour at which its columns begin: the sun of every hour of the year, reckoned once.
#[derive(Debug, Clone)]
pub struct HourSky {
    psychrometric_kpa_c: f64,
    wind_factor: f64,
    clear_share: f64,
    /// Radiation above the air in an hour (MJ m⁻²) and sine of the sun's height at its middle (−1 where it is down all the hour), by day of the
    /// year and hour of the sun's own day.
    sun: Vec<(f64, f64)>,
    /// Middle of the first hour, seconds by the place's mean sun.
    first_s: i64,
}

impl HourSky {
    /// A station at a latitude and longitude (degrees), height (m), with wind measured at a height (m), whose first hour ends at a moment.
    ///
    /// # Errors
    /// A place or a height that cannot be.
    pub fn new(
        latitude_deg: f64,
        longitude_deg: f64,
        elevation_m: f64,
        wind_height_m: f64,
        first_end: Timestamp,
    ) -> Result<HourSky, EvapotranspirationError> {
        check_latitude(latitude_deg)?;
        check_longitude(longitude_deg)?;
        within("the height above the sea (m)", elevation_m, -500.0, 9_000.0, "264 m")?;
        within("the wind's height (m)", wind_height_m, 0.5, 200.0, "10 m")?;
        let east_s = (longitude_deg * 240.0).round() as i64;
        let first_s = first_end.as_second() + east_s - HOUR_S / 2;
        let past_the_hour = first_s.rem_euclid(HOUR_S);
        let latitude = latitude_deg.to_radians();
        let of_day = |day: u16| {
            let of_day = DaySun::of(latitude, f64::from(day));
            (0..24_i64).map(move |hour| {
                let utc_s = (hour * HOUR_S + past_the_hour - east_s).rem_euclid(DAY_S);
                of_day.hour(utc_s as f64 / HOUR_S as f64 + longitude_deg / 15.0)
            })
        };
        Ok(HourSky {
            psychrometric_kpa_c: psychrometric_kpa_c(pressure_kpa(elevation_m)),
            wind_factor: if wind_height_m == 2.0 { 1.0 } else { wind_factor(wind_height_m) },
            clear_share: 0.75 + 2e-5 * elevation_m,
            sun: (0..=366).flat_map(of_day).collect(),
            first_s,
        })
    }

    /// Radiation above the air and sine of the sun's height in an hour of the columns, for hours asked in their order.
    fn sun(&self, hour: usize, today: &mut Option<(i64, usize)>) -> (f64, f64) {
        let second = self.first_s + hour as i64 * HOUR_S;
        let day = second.div_euclid(DAY_S);
        let row = match *today {
            Some((known, row)) if known == day => row,
            _ => {
                let row = i32::try_from(day).map_or(0, |day| date_of(day).day_of_year() as usize) * 24;
                *today = Some((day, row));
                row
            }
        };
        let slot = (second.rem_euclid(DAY_S) / HOUR_S) as usize;
        self.sun.get(row + slot).copied().unwrap_or((f64::NAN, f64::NAN))
    }
}

/// The sun on one day of the year at one latitude: what is the same in all its hours.
#[derive(Clone, Copy)]
struct DaySun {
    /// Products of the sines and of the cosines of latitude and declination.
    sines: f64,
    cosines: f64,
    sunset_rad: f64,
    correction_h: f64,
    /// Radiation of an upright sun by the radian of its turn, MJ m⁻².
    strength_mj: f64,
}

impl DaySun {
    fn of(latitude: f64, day_of_year: f64) -> Self {
        let tilt = declination(day_of_year);
        Self {
            sines: latitude.sin() * tilt.sin(),
            cosines: latitude.cos() * tilt.cos(),
            sunset_rad: sunset_hour_angle(latitude, tilt),
            correction_h: seasonal_correction_h(day_of_year),
            strength_mj: 12.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN * inverse_relative_distance(day_of_year),
        }
    }

    /// Radiation in the hour about a moment of the mean sun's day (hours), and the sine of the sun's height then: FAO-56 eqs. 28 to 33.
    fn hour(&self, mean_sun_h: f64) -> (f64, f64) {
        const HALF_HOUR_RAD: f64 = PI / 24.0;
        let middle = PI / 12.0 * ((mean_sun_h + self.correction_h).rem_euclid(24.0) - 12.0);
        if middle.abs() - HALF_HOUR_RAD >= self.sunset_rad {
            return (0.0, -1.0);
        }
        let (from, to) = (middle - HALF_HOUR_RAD, middle + HALF_HOUR_RAD);
        let cosine = middle.cos();
        let (turned, sines) = if from >= -self.sunset_rad && to <= self.sunset_rad {
            (2.0 * HALF_HOUR_RAD, 2.0 * cosine * HALF_HOUR_RAD.sin())
        } else {
            let (from, to) = (from.clamp(-self.sunset_rad, self.sunset_rad), to.clamp(-self.sunset_rad, self.sunset_rad));
            (to - from, to.sin() - from.sin())
        };
        let above_air = self.strength_mj * (turned * self.sines + self.cosines * sines);
        (above_air.max(0.0), self.sines + self.cosines * cosine)
    }
}

/// Columns of hours in a row; all are read to the length of the shortest.
#[derive(Debug, Clone, Copy)]
pub struct HourColumns<'a> {
    /// Mean temperature, °C.
    pub temperature_c: &'a [f64],
    /// Vapour pressure, kPa.
    pub vapour_pressure_kpa: &'a [f64],
    /// Wind at the station's height, m/s.
    pub wind_ms: &'a [f64],
    /// Solar radiation, MJ m⁻² h⁻¹.
    pub solar_mj: &'a [f64],
}

/// Penman–Monteith of hours in a row, mm each, appended to `out`: the figures of [`hours_in_a_row`](super::hourly::hours_in_a_row), cloudiness
/// carried into the night.
///
/// # Example
/// ```
/// use groundlore_weather::evapotranspiration::daily::Reference;
/// use groundlore_weather::evapotranspiration::hour_columns::{HourColumns, HourSky, penman_monteith_hour_columns};
///
/// // ASCE-EWRI 2005, Appendix C: Greeley, 1 July 2000, the hour to 16:00: 0.61 mm.
/// let sky = HourSky::new(40.41, -104.78, 1462.4, 2.0, "2000-07-01T16:00:00-07:00".parse().unwrap())?;
/// let hours = HourColumns { temperature_c: &[30.9], vapour_pressure_kpa: &[1.09], wind_ms: &[3.74], solar_mj: &[2.24] };
/// let mut out = Vec::new();
/// penman_monteith_hour_columns(Reference::AsceShort, &sky, &hours, &mut out);
/// assert!((out[0] - 0.61).abs() < 0.006);
/// # Ok::<(), groundlore_weather::evapotranspiration::EvapotranspirationError>(())
/// ```
pub fn penman_monteith_hour_columns(reference: Reference, sky: &HourSky, hours: &HourColumns<'_>, out: &mut Vec<f64>) {
    let lengths = [hours.vapour_pressure_kpa, hours.wind_ms, hours.solar_mj].map(<[f64]>::len);
    let length = lengths.into_iter().fold(hours.temperature_c.len(), usize::min);
    out.reserve(length);
    let equation = Equation::of(reference, sky);
    let (mut cloud, mut depth) = ([0.0; BLOCK], [0.0; BLOCK]);
    let (mut today, mut carried) = (None, None);
    let low_sun = LOW_SUN_RAD.sin();
    for begin in (0..length).step_by(BLOCK) {
        let at = begin..length.min(begin + BLOCK);
        let (cloud, depth) = (&mut cloud[..at.len()], &mut depth[..at.len()]);
        // Cloudiness goes from hour to hour; the rest is reckoned in the widest vectors that the machine has.
        for (cloud, hour) in cloud.iter_mut().zip(at.clone()) {
            let (above_air, height) = sky.sun(hour, &mut today);
            let found = cloudiness(hours.solar_mj[hour], sky.clear_share * above_air).or(carried).unwrap_or(STAND_IN_CLOUDINESS);
            carried = if height >= low_sun { Some(found) } else { carried };
            *cloud = found;
        }
        let (air, vapour) = (&hours.temperature_c[at.clone()], &hours.vapour_pressure_kpa[at.clone()]);
        let (wind, solar) = (&hours.wind_ms[at.clone()], &hours.solar_mj[at]);
        match reference {
            Reference::Fao56 => equation.block(Reference::Fao56, air, vapour, wind, solar, cloud, depth),
            other => equation.block(other, air, vapour, wind, solar, cloud, depth),
        }
        out.extend_from_slice(depth);
    }
}

/// What one station and reference cover make of the equation.
#[derive(Clone, Copy)]
struct Equation {
    day: HourConstants,
    night: HourConstants,
    longwave: Longwave,
    gamma: f64,
    wind_factor: f64,
}

impl Equation {
    fn of(reference: Reference, sky: &HourSky) -> Self {
        let (day, night) = (HourConstants::of(reference, true), HourConstants::of(reference, false));
        Self { day, night, longwave: hour_longwave(reference), gamma: sky.psychrometric_kpa_c, wind_factor: sky.wind_factor }
    }

    #[inline(always)]
    #[allow(clippy::too_many_arguments)]
    fn block(self, reference: Reference, air: &[f64], vapour: &[f64], wind: &[f64], solar: &[f64], cloud: &[f64], out: &mut [f64]) {
        widest(
            #[inline(always)]
            move || {
                let weather = air.iter().zip(vapour).zip(wind.iter().zip(solar)).zip(cloud);
                for (out, (((air, actual), (wind, solar)), cloud)) in out.iter_mut().zip(weather) {
                    *out = self.hour(reference, *air, *actual, *wind * self.wind_factor, *solar, *cloud);
                }
            },
        );
    }

    #[inline(always)]
    fn hour(self, reference: Reference, air: f64, actual: f64, wind: f64, solar: f64, cloud: f64) -> f64 {
        let net = (1.0 - ALBEDO) * solar - self.longwave.net_mj(air, air, actual, cloud);
        let soil_share = if net > 0.0 { self.day.soil_share } else { self.night.soil_share };
        let denominator = if net > 0.0 { self.day.denominator } else { self.night.denominator };
        let slope = reference.slope(air);
        let radiative = MM_PER_MJ * slope * (net - soil_share * net);
        let drying = self.gamma * self.day.numerator / (air + 273.0) * wind * (saturation_pressure_kpa(air) - actual);
        (radiative + drying) / (slope + self.gamma * (1.0 + denominator * wind))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::air::Wind;
    use super::super::hourly::{HourlyWeather, hours_in_a_row};
    use super::*;
    use jiff::ToSpan as _;

    /// Three places, one of them with half-hour zones and one where the sun stays down; over the turn of a year and through leap day.
    #[test]
    fn columns_give_what_hours_in_a_row_give() {
        for (latitude, longitude, begins) in
            [(43.0, -87.9, "2023-12-28T07:00:00Z"), (19.0, 72.9, "2024-02-27T00:30:00Z"), (69.6, 18.9, "2024-12-20T00:00:00Z")]
        {
            let begins: Timestamp = begins.parse().unwrap();
            let weather = |hour: i64| {
                let turn = (hour as f64 * 0.2618).sin();
                HourlyWeather {
                    latitude_deg: latitude,
                    longitude_deg: longitude,
                    elevation_m: 210.0,
                    end: begins.checked_add(hour.hours()).unwrap(),
                    temperature_c: 9.0 + 7.0 * turn,
                    vapour_pressure_kpa: 0.7 + 0.1 * (hour % 5) as f64,
                    wind: Wind::Measured { speed_ms: 1.0 + (hour % 7) as f64, height_m: 10.0 },
                    solar_mj: (2.0 * turn).max(0.0),
                    cloudiness: None,
                    net_radiation_mj: None,
                }
            };
            let hours: Vec<HourlyWeather> = (0..600).map(weather).collect();
            let column = |of: fn(&HourlyWeather) -> f64| hours.iter().map(of).collect::<Vec<f64>>();
            let wind = column(|hour| match hour.wind {
                Wind::Measured { speed_ms, .. } => speed_ms,
                Wind::Unknown => f64::NAN,
            });
            let (air, vapour, solar) =
                (column(|hour| hour.temperature_c), column(|hour| hour.vapour_pressure_kpa), column(|hour| hour.solar_mj));
            let columns = HourColumns { temperature_c: &air, vapour_pressure_kpa: &vapour, wind_ms: &wind, solar_mj: &solar };
            let sky = HourSky::new(latitude, longitude, 210.0, 10.0, begins).unwrap();
            for reference in [Reference::Fao56, Reference::AsceShort, Reference::AsceTall] {
                let mut found = Vec::new();
                penman_monteith_hour_columns(reference, &sky, &columns, &mut found);
                let wanted = hours_in_a_row(reference, &hours).unwrap();
                for (place, (found, wanted)) in found.iter().zip(&wanted).enumerate() {
                    assert!((found - wanted.et0_mm).abs() < 1e-12, "{latitude}, hour {place}: {found} for {}", wanted.et0_mm);
                }
                assert_eq!(found.len(), 600);
            }
        }
    }
}
