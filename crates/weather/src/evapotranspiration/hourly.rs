//! An hour by Penman–Monteith.
//!
//! Nights give small figures below zero (dew); they are kept, so that hours add up to a day.
//!
//! # Sources
//! FAO-56 eqs. 28–33 and 53; ASCE-EWRI (2005), table 1 and Appendix C (read through pyet).

use jiff::{SignedDuration, Timestamp, tz::Offset};
use serde::{Deserialize, Serialize};

use super::air::{Wind, pressure_kpa, psychrometric_kpa_c};
use super::daily::Reference;
use super::radiation::{Longwave, STAND_IN_CLOUDINESS, clear_sky_simple_mj, cloudiness, net_shortwave_mj};
use super::vapour::saturation_pressure_kpa;
use super::{EvapotranspirationError, MM_PER_MJ, within};
use crate::sun::{
    check_latitude, check_longitude, declination, extraterrestrial_radiation_between_mj, seasonal_correction_h, sunset_hour_angle,
};

/// Sun's height (radians) under which an hour's own radiation says little about cloud. ASCE-EWRI (2005).
pub(super) const LOW_SUN_RAD: f64 = 0.3;

/// Constants of an hour: C_n, C_d, and the share of net radiation that goes into the soil.
#[derive(Clone, Copy)]
pub(super) struct HourConstants {
    pub(super) numerator: f64,
    pub(super) denominator: f64,
    pub(super) soil_share: f64,
}

impl HourConstants {
    /// Day and night are told apart by the sign of net radiation.
    pub(super) fn of(reference: Reference, daytime: bool) -> HourConstants {
        let (numerator, denominator, soil_share) = match (reference, daytime) {
            (Reference::Fao56, true) => (37.0, 0.34, 0.1),
            (Reference::Fao56, false) => (37.0, 0.34, 0.5),
            (Reference::AsceShort, true) => (37.0, 0.24, 0.1),
            (Reference::AsceShort, false) => (37.0, 0.96, 0.5),
            (Reference::AsceTall, true) => (66.0, 0.25, 0.04),
            (Reference::AsceTall, false) => (66.0, 1.7, 0.2),
        };
        HourConstants { numerator, denominator, soil_share }
    }
}

/// An hour's weather at a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct HourlyWeather {
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
    /// Height above the sea, m.
    pub elevation_m: f64,
    /// The end of the hour.
    pub end: Timestamp,
    /// Mean temperature, °C.
    pub temperature_c: f64,
    /// Vapour pressure, kPa.
    pub vapour_pressure_kpa: f64,
    /// Wind.
    pub wind: Wind,
    /// Solar radiation, MJ m⁻² h⁻¹.
    pub solar_mj: f64,
    /// Cloudiness factor to use in an hour without sun: that of the last hour with a high sun ([`HourlyEvapotranspiration::carried`]).
    pub cloudiness: Option<f64>,
    /// Net radiation, MJ m⁻² h⁻¹, where it was measured.
    pub net_radiation_mj: Option<f64>,
}

/// The sun over an hour. FAO-56 eqs. 29–33.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SunHour {
    /// Day of the year by the sun's own clock.
    pub day_of_year: f64,
    /// Hour angle at the middle of the hour, radians.
    pub middle_rad: f64,
    /// Hour angle at its start, held inside sunrise and sunset, radians.
    pub start_rad: f64,
    /// Hour angle at its end, held likewise, radians.
    pub end_rad: f64,
    /// Height of the sun at the middle, radians.
    pub height_rad: f64,
    /// Radiation above the air, MJ m⁻² h⁻¹.
    pub extraterrestrial_mj: f64,
}

impl SunHour {
    /// The sun over the hour that ends at a moment, at a place in degrees.
    ///
    /// # Errors
    /// A place off the globe.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::evapotranspiration::hourly::SunHour;
    /// // FAO-56 example 19: N'Diaye, 1 October, 14 to 15 h in the zone of 15° W.
    /// let hour = SunHour::ending("1998-10-01T15:00:00-01:00".parse().unwrap(), 16.217, -16.25)?;
    /// assert!((hour.middle_rad - 0.682).abs() < 0.0006 && (hour.extraterrestrial_mj - 3.543).abs() < 0.002);
    /// # Ok::<(), groundlore_weather::evapotranspiration::EvapotranspirationError>(())
    /// ```
    pub fn ending(end: Timestamp, latitude_deg: f64, longitude_deg: f64) -> Result<SunHour, EvapotranspirationError> {
        check_latitude(latitude_deg)?;
        check_longitude(longitude_deg)?;
        let mean_sun =
            Offset::UTC.to_datetime(end).saturating_add(SignedDuration::from_secs((longitude_deg * 240.0).round() as i64 - 1800));
        let utc_h = (end.as_second() - 1800).rem_euclid(86_400) as f64 / 3600.0;
        Ok(SunHour::at(f64::from(mean_sun.date().day_of_year()), utc_h, latitude_deg, longitude_deg))
    }

    /// The sun over an hour by the day of the year and the hour of the clock at its middle, UTC.
    fn at(day_of_year: f64, utc_h: f64, latitude_deg: f64, longitude_deg: f64) -> SunHour {
        const QUARTER_TURN_6H: f64 = std::f64::consts::PI / 12.0;
        let solar_h = (utc_h + longitude_deg / 15.0 + seasonal_correction_h(day_of_year)).rem_euclid(24.0);
        let middle_rad = QUARTER_TURN_6H * (solar_h - 12.0);
        let (latitude, tilt) = (latitude_deg.to_radians(), declination(day_of_year));
        let sunset = sunset_hour_angle(latitude, tilt);
        let half = 0.5 * QUARTER_TURN_6H;
        let sine = latitude.sin() * tilt.sin() + latitude.cos() * tilt.cos() * middle_rad.cos();
        SunHour {
            day_of_year,
            middle_rad,
            start_rad: (middle_rad - half).clamp(-sunset, sunset),
            end_rad: (middle_rad + half).clamp(-sunset, sunset),
            height_rad: sine.clamp(-1.0, 1.0).asin(),
            extraterrestrial_mj: extraterrestrial_radiation_between_mj(latitude, day_of_year, middle_rad - half, middle_rad + half),
        }
    }
}

/// An hour's reference evapotranspiration, with its terms.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct HourlyEvapotranspiration {
    /// The cover.
    pub reference: Reference,
    /// Reference evapotranspiration, mm h⁻¹; below 0 where dew falls.
    pub et0_mm: f64,
    /// The sun over the hour.
    pub sun: SunHour,
    /// Air pressure, kPa.
    pub pressure_kpa: f64,
    /// Psychrometric constant γ, kPa °C⁻¹.
    pub psychrometric_kpa_c: f64,
    /// Slope Δ, kPa °C⁻¹.
    pub slope_kpa_c: f64,
    /// Saturated vapour pressure, kPa.
    pub saturation_kpa: f64,
    /// Wind at 2 m, m/s.
    pub wind_2m_ms: f64,
    /// Clear-sky radiation, MJ m⁻² h⁻¹.
    pub clear_sky_mj: f64,
    /// Cloudiness factor used.
    pub cloudiness: f64,
    /// Whether the cloudiness is a stand-in: no sun in the hour, and none carried over.
    pub cloudiness_stands_in: bool,
    /// Net short-wave radiation, MJ m⁻² h⁻¹.
    pub net_shortwave_mj: f64,
    /// Net long-wave radiation, outgoing, MJ m⁻² h⁻¹.
    pub net_longwave_mj: f64,
    /// Net radiation, MJ m⁻² h⁻¹.
    pub net_radiation_mj: f64,
    /// Heat going into the soil, MJ m⁻² h⁻¹.
    pub soil_heat_mj: f64,
}

impl HourlyEvapotranspiration {
    /// The cloudiness to carry into the night: this hour's own where the sun stood high enough to tell it.
    #[must_use]
    pub fn carried(&self) -> Option<f64> {
        (self.sun.height_rad >= LOW_SUN_RAD).then_some(self.cloudiness)
    }
}

impl HourlyWeather {
    /// Reference evapotranspiration of the hour.
    ///
    /// # Errors
    /// A place, temperature, pressure, wind or radiation that cannot be.
    ///
    /// # Example
    /// ```
    /// use groundlore_weather::evapotranspiration::air::Wind;
    /// use groundlore_weather::evapotranspiration::daily::Reference;
    /// use groundlore_weather::evapotranspiration::hourly::HourlyWeather;
    ///
    /// // ASCE-EWRI 2005, Appendix C: Greeley, 1 July 2000, the hour to 16:00: 0.61 mm.
    /// let hour = HourlyWeather {
    ///     latitude_deg: 40.41,
    ///     longitude_deg: -104.78,
    ///     elevation_m: 1462.4,
    ///     end: "2000-07-01T16:00:00-07:00".parse().unwrap(),
    ///     temperature_c: 30.9,
    ///     vapour_pressure_kpa: 1.09,
    ///     wind: Wind::Measured { speed_ms: 3.74, height_m: 2.0 },
    ///     solar_mj: 2.24,
    ///     cloudiness: None,
    ///     net_radiation_mj: None,
    /// };
    /// assert!((hour.evapotranspiration(Reference::AsceShort)?.et0_mm - 0.61).abs() < 0.006);
    /// # Ok::<(), groundlore_weather::evapotranspiration::EvapotranspirationError>(())
    /// ```
    pub fn evapotranspiration(&self, reference: Reference) -> Result<HourlyEvapotranspiration, EvapotranspirationError> {
        self.check()?;
        let sun = SunHour::ending(self.end, self.latitude_deg, self.longitude_deg)?;
        let pressure = pressure_kpa(self.elevation_m);
        let (gamma, slope) = (psychrometric_kpa_c(pressure), reference.slope(self.temperature_c));
        let saturation_kpa = saturation_pressure_kpa(self.temperature_c);
        let wind_2m_ms = self.wind.at_2m_ms()?;
        let clear_sky_mj = clear_sky_simple_mj(self.elevation_m, sun.extraterrestrial_mj);
        let known = cloudiness(self.solar_mj, clear_sky_mj).or(self.cloudiness);
        let cloudiness = known.unwrap_or(STAND_IN_CLOUDINESS);
        let net_shortwave_mj = net_shortwave_mj(self.solar_mj);
        let net_longwave_mj = hour_longwave(reference).net_mj(self.temperature_c, self.temperature_c, self.vapour_pressure_kpa, cloudiness);
        let net_radiation_mj = self.net_radiation_mj.unwrap_or(net_shortwave_mj - net_longwave_mj);
        let constants = HourConstants::of(reference, net_radiation_mj > 0.0);
        let soil_heat_mj = constants.soil_share * net_radiation_mj;
        let radiative = MM_PER_MJ * slope * (net_radiation_mj - soil_heat_mj);
        let drying = gamma * constants.numerator / (self.temperature_c + 273.0) * wind_2m_ms * (saturation_kpa - self.vapour_pressure_kpa);
        Ok(HourlyEvapotranspiration {
            reference,
            et0_mm: (radiative + drying) / (slope + gamma * (1.0 + constants.denominator * wind_2m_ms)),
            sun,
            pressure_kpa: pressure,
            psychrometric_kpa_c: gamma,
            slope_kpa_c: slope,
            saturation_kpa,
            wind_2m_ms,
            clear_sky_mj,
            cloudiness,
            cloudiness_stands_in: known.is_none() && self.net_radiation_mj.is_none(),
            net_shortwave_mj,
            net_longwave_mj,
            net_radiation_mj,
            soil_heat_mj,
        })
    }

    fn check(&self) -> Result<(), EvapotranspirationError> {
        within("the temperature (°C)", self.temperature_c, -95.0, 60.0, "30.9 °C")?;
        within("the vapour pressure (kPa)", self.vapour_pressure_kpa, 0.0, 12.0, "1.09 kPa")?;
        within("the height above the sea (m)", self.elevation_m, -500.0, 9_000.0, "1462 m")?;
        within("the solar radiation (MJ/m2/h)", self.solar_mj, 0.0, 6.0, "2.24 MJ/m2/h")?;
        if let Some(net) = self.net_radiation_mj {
            within("the net radiation (MJ/m2/h)", net, -5.0, 6.0, "1.44 MJ/m2/h")?;
        }
        Ok(())
    }
}

pub(super) fn hour_longwave(reference: Reference) -> Longwave {
    match reference {
        Reference::Fao56 => Longwave::FAO56_HOUR,
        _ => Longwave::ASCE_HOUR,
    }
}

/// Reference evapotranspiration of hours in a row, mm each: the cloudiness of the last hour with a high sun is carried into the night.
///
/// # Errors
/// That of the first hour that cannot be reckoned.
pub fn hours_in_a_row(reference: Reference, hours: &[HourlyWeather]) -> Result<Vec<HourlyEvapotranspiration>, EvapotranspirationError> {
    let mut carried = None;
    let reckon = |hour: &HourlyWeather| {
        let found = HourlyWeather { cloudiness: hour.cloudiness.or(carried), ..*hour }.evapotranspiration(reference)?;
        carried = found.carried().or(carried);
        Ok(found)
    };
    hours.iter().map(reckon).collect()
}
