//! A day by Penman–Monteith, with every term on the way.
//!
//! # Sources
//! FAO-56 eq. 6, with eqs. 7–50 for its terms; ASCE-EWRI (2005), eq. 1 and table 1 (coefficients from memory).

use serde::{Deserialize, Serialize};

use super::air::{Wind, pressure_kpa, psychrometric_kpa_c};
use super::radiation::{
    ClearSky, HumidSky, Longwave, STAND_IN_CLOUDINESS, Shore, SunshineShares, clear_sky_humid_mj, clear_sky_simple_mj, cloudiness,
    net_shortwave_mj,
};
use super::vapour::{Humidity, mean_saturation_kpa, slope_kpa_c};
use super::{EvapotranspirationError, MM_PER_MJ, within};
use crate::sun::DayGeometry;

/// The cover whose water use is reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reference {
    /// Grass 0.12 m tall, FAO-56. Wind below 0.5 m/s counts as 0.5 (p. 63).
    Fao56,
    /// Grass 0.12 m tall, ASCE-EWRI 2005.
    AsceShort,
    /// Lucerne 0.5 m tall, ASCE-EWRI 2005.
    AsceTall,
}

impl Reference {
    /// The name: `fao56`, `asce-short`, `asce-tall`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Reference::Fao56 => "fao56",
            Reference::AsceShort => "asce-short",
            Reference::AsceTall => "asce-tall",
        }
    }

    /// Numerator and denominator constants C_n and C_d of a day.
    #[must_use]
    pub fn daily_constants(self) -> (f64, f64) {
        match self {
            Reference::Fao56 | Reference::AsceShort => (900.0, 0.34),
            Reference::AsceTall => (1600.0, 0.38),
        }
    }

    /// Slope of saturated vapour pressure, kPa °C⁻¹, with the method's own constant.
    #[inline(always)]
    pub(crate) fn slope(self, temperature_c: f64) -> f64 {
        match self {
            Reference::Fao56 => slope_kpa_c(temperature_c),
            // ASCE prints 2503 for 4098 × 0.6108.
            _ => slope_kpa_c(temperature_c) * (2503.0 / (4098.0 * 0.6108)),
        }
    }

    pub(crate) fn day_longwave(self) -> Longwave {
        match self {
            Reference::Fao56 => Longwave::FAO56_DAY,
            _ => Longwave::ASCE_DAY,
        }
    }

    /// The wind that the equation sees, m/s.
    #[inline(always)]
    pub(crate) fn wind(self, wind_2m_ms: f64) -> f64 {
        match self {
            Reference::Fao56 => wind_2m_ms.max(0.5),
            _ => wind_2m_ms,
        }
    }
}

/// What is known of the day's solar radiation; the first are the better.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Radiation {
    /// Measured, MJ m⁻² d⁻¹.
    Measured(f64),
    /// From hours of sunshine.
    Sunshine {
        /// Hours of bright sunshine.
        hours: f64,
        /// The place's constants.
        shares: SunshineShares,
    },
    /// From the swing of temperature.
    Temperatures(Shore),
}

/// A day's weather at a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DailyWeather {
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Height above the sea, m.
    pub elevation_m: f64,
    /// Day of the year, 1 to 366.
    pub day_of_year: i16,
    /// Lowest temperature, °C.
    pub minimum_c: f64,
    /// Highest temperature, °C.
    pub maximum_c: f64,
    /// Humidity.
    pub humidity: Humidity,
    /// Wind.
    pub wind: Wind,
    /// Solar radiation.
    pub radiation: Radiation,
    /// Which clear sky the cloudiness is measured by.
    pub clear_sky: ClearSky,
    /// Net radiation, MJ m⁻² d⁻¹, where it was measured: it then takes the place of the reckoned one.
    pub net_radiation_mj: Option<f64>,
    /// Heat going into the soil, MJ m⁻² d⁻¹: 0 over a day.
    pub soil_heat_mj: f64,
}

/// Something that was not measured and what stood in for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StandIn {
    /// Dewpoint from the minimum temperature.
    HumidityFromMinimum,
    /// Radiation from hours of sunshine.
    RadiationFromSunshine,
    /// Radiation from the swing of temperature.
    RadiationFromTemperatures,
    /// Wind of 2 m/s.
    WindTwo,
    /// Wind below 0.5 m/s counted as 0.5.
    WindHalf,
    /// Cloudiness where there was no sun to tell it.
    CloudinessWithoutSun,
}

impl StandIn {
    /// Whether it stands in for wind.
    #[must_use]
    pub fn is_of_wind(self) -> bool {
        matches!(self, StandIn::WindTwo | StandIn::WindHalf)
    }

    /// Whether it stands in for solar radiation.
    #[must_use]
    pub fn is_of_radiation(self) -> bool {
        matches!(self, StandIn::RadiationFromSunshine | StandIn::RadiationFromTemperatures)
    }

    /// The stand-in in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            StandIn::HumidityFromMinimum => "humidity was not given: the dewpoint is taken from the minimum temperature (FAO-56 eq. 48)",
            StandIn::RadiationFromSunshine => "solar radiation is reckoned from hours of sunshine (FAO-56 eq. 35)",
            StandIn::RadiationFromTemperatures => "solar radiation is reckoned from the swing of temperature (FAO-56 eq. 50)",
            StandIn::WindTwo => "wind was not given: 2 m/s at 2 m stands in (FAO-56 p. 63)",
            StandIn::WindHalf => "wind below 0.5 m/s counts as 0.5 m/s (FAO-56 p. 63)",
            StandIn::CloudinessWithoutSun => "no sun tells the cloudiness: that of 0.7 of a clear sky stands in (memory)",
        }
    }
}

/// A day's reference evapotranspiration, with its terms.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DailyEvapotranspiration {
    /// The cover.
    pub reference: Reference,
    /// Reference evapotranspiration, mm d⁻¹; never below 0.
    pub et0_mm: f64,
    /// The terms it was made from.
    pub terms: DailyTerms,
    /// What stood in for what was not measured.
    pub stand_ins: Vec<StandIn>,
}

/// The terms of a day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DailyTerms {
    /// Mean of minimum and maximum, °C.
    pub mean_c: f64,
    /// Air pressure, kPa.
    pub pressure_kpa: f64,
    /// Psychrometric constant γ, kPa °C⁻¹.
    pub psychrometric_kpa_c: f64,
    /// Slope Δ, kPa °C⁻¹.
    pub slope_kpa_c: f64,
    /// Saturated vapour pressure e_s, kPa.
    pub saturation_kpa: f64,
    /// Vapour pressure e_a, kPa.
    pub actual_kpa: f64,
    /// Wind at 2 m, m/s, as measured.
    pub wind_2m_ms: f64,
    /// Day length N, hours.
    pub day_length_h: f64,
    /// Radiation above the air Ra, MJ m⁻² d⁻¹.
    pub extraterrestrial_mj: f64,
    /// Solar radiation Rs, MJ m⁻² d⁻¹.
    pub solar_mj: f64,
    /// Clear-sky radiation Rso, MJ m⁻² d⁻¹.
    pub clear_sky_mj: f64,
    /// Cloudiness factor.
    pub cloudiness: f64,
    /// Net short-wave radiation Rns, MJ m⁻² d⁻¹.
    pub net_shortwave_mj: f64,
    /// Net long-wave radiation Rnl, outgoing, MJ m⁻² d⁻¹.
    pub net_longwave_mj: f64,
    /// Net radiation Rn, MJ m⁻² d⁻¹: the measured one where there is one.
    pub net_radiation_mj: f64,
    /// Heat going into the soil G, MJ m⁻² d⁻¹.
    pub soil_heat_mj: f64,
}

/// Solar radiation and what is left of it.
struct NetRadiation {
    solar_mj: f64,
    clear_sky_mj: f64,
    cloudiness: f64,
    shortwave_mj: f64,
    longwave_mj: f64,
}

impl DailyWeather {
    /// The terms that the reference cover's equation asks for, and what stood in for what was not measured.
    ///
    /// # Errors
    /// A place, temperature, humidity, wind or radiation that cannot be.
    pub fn terms(&self, reference: Reference) -> Result<(DailyTerms, Vec<StandIn>), EvapotranspirationError> {
        self.check()?;
        let day = DayGeometry::new(self.latitude_deg, self.day_of_year)?;
        let mean_c = 0.5 * (self.minimum_c + self.maximum_c);
        let pressure = pressure_kpa(self.elevation_m);
        let actual_kpa = self.humidity.vapour_pressure_kpa(self.minimum_c, self.maximum_c)?;
        let wind_2m_ms = self.wind.at_2m_ms()?;
        let net = self.net_radiation(reference, &day, pressure, actual_kpa)?;
        let terms = DailyTerms {
            mean_c,
            pressure_kpa: pressure,
            psychrometric_kpa_c: psychrometric_kpa_c(pressure),
            slope_kpa_c: reference.slope(mean_c),
            saturation_kpa: mean_saturation_kpa(self.minimum_c, self.maximum_c),
            actual_kpa,
            wind_2m_ms,
            day_length_h: day.day_length_h,
            extraterrestrial_mj: day.extraterrestrial_mj,
            solar_mj: net.solar_mj,
            clear_sky_mj: net.clear_sky_mj,
            cloudiness: net.cloudiness,
            net_shortwave_mj: net.shortwave_mj,
            net_longwave_mj: net.longwave_mj,
            net_radiation_mj: self.net_radiation_mj.unwrap_or(net.shortwave_mj - net.longwave_mj),
            soil_heat_mj: self.soil_heat_mj,
        };
        Ok((terms, self.stand_ins(reference, &terms)))
    }

    /// Reference evapotranspiration of the day.
    ///
    /// # Errors
    /// As [`DailyWeather::terms`].
    ///
    /// # Example
    /// ```
    /// use groundlore_weather::evapotranspiration::air::Wind;
    /// use groundlore_weather::evapotranspiration::daily::{DailyWeather, Radiation, Reference};
    /// use groundlore_weather::evapotranspiration::radiation::{ClearSky, SunshineShares};
    /// use groundlore_weather::evapotranspiration::vapour::Humidity;
    ///
    /// // FAO-56 example 18: Uccle, 6 July, 3.9 mm.
    /// let day = DailyWeather {
    ///     latitude_deg: 50.8,
    ///     elevation_m: 100.0,
    ///     day_of_year: 187,
    ///     minimum_c: 12.3,
    ///     maximum_c: 21.5,
    ///     humidity: Humidity::Range { minimum_pct: 63.0, maximum_pct: 84.0 },
    ///     wind: Wind::Measured { speed_ms: 10.0 / 3.6, height_m: 10.0 },
    ///     radiation: Radiation::Sunshine { hours: 9.25, shares: SunshineShares::FAO56 },
    ///     clear_sky: ClearSky::Simple,
    ///     net_radiation_mj: None,
    ///     soil_heat_mj: 0.0,
    /// };
    /// assert!((day.evapotranspiration(Reference::Fao56)?.et0_mm - 3.88).abs() < 0.01);
    /// # Ok::<(), groundlore_weather::evapotranspiration::EvapotranspirationError>(())
    /// ```
    pub fn evapotranspiration(&self, reference: Reference) -> Result<DailyEvapotranspiration, EvapotranspirationError> {
        let (terms, stand_ins) = self.terms(reference)?;
        Ok(DailyEvapotranspiration { reference, et0_mm: penman_monteith_mm(reference, &terms), terms, stand_ins })
    }

    fn check(&self) -> Result<(), EvapotranspirationError> {
        within("the minimum (°C)", self.minimum_c, -95.0, 60.0, "12.3 °C")?;
        within("the maximum (°C)", self.maximum_c, -95.0, 60.0, "21.5 °C")?;
        within("the height above the sea (m)", self.elevation_m, -500.0, 9_000.0, "264 m")?;
        within("the day of the year", f64::from(self.day_of_year), 1.0, 366.0, "187")?;
        within("the soil heat (MJ/m2/day)", self.soil_heat_mj, -50.0, 50.0, "0 MJ/m2/day")?;
        if let Some(net) = self.net_radiation_mj {
            within("the net radiation (MJ/m2/day)", net, -50.0, 60.0, "13.3 MJ/m2/day")?;
        }
        if self.minimum_c > self.maximum_c {
            let (minimum_c, maximum_c) = (self.minimum_c, self.maximum_c);
            return Err(EvapotranspirationError::MinimumAboveMaximum { minimum_c, maximum_c });
        }
        Ok(())
    }

    /// Solar radiation of the day, MJ m⁻² d⁻¹.
    ///
    /// # Errors
    /// Radiation or sunshine that cannot be.
    pub fn solar_mj(&self, day: &DayGeometry) -> Result<f64, EvapotranspirationError> {
        match self.radiation {
            Radiation::Measured(solar) => within("the solar radiation (MJ/m2/day)", solar, 0.0, 50.0, "22.07 MJ/m2/day").map(|()| solar),
            Radiation::Sunshine { hours, shares } => {
                within("the sunshine (hours)", hours, 0.0, 24.0, "9.25")?;
                Ok(shares.solar_mj(hours, day.day_length_h, day.extraterrestrial_mj))
            }
            Radiation::Temperatures(shore) => Ok(shore.solar_mj(self.minimum_c, self.maximum_c, day.extraterrestrial_mj)),
        }
    }

    fn net_radiation(
        &self,
        reference: Reference,
        day: &DayGeometry,
        pressure_kpa: f64,
        vapour_pressure_kpa: f64,
    ) -> Result<NetRadiation, EvapotranspirationError> {
        let solar_mj = self.solar_mj(day)?;
        let clear_sky_mj = match self.clear_sky {
            ClearSky::Simple => clear_sky_simple_mj(self.elevation_m, day.extraterrestrial_mj),
            ClearSky::Humidity => clear_sky_humid_mj(&HumidSky {
                latitude_rad: self.latitude_deg.to_radians(),
                day_of_year: day.day_of_year,
                pressure_kpa,
                vapour_pressure_kpa,
                extraterrestrial_mj: day.extraterrestrial_mj,
            }),
        };
        let cloudiness = cloudiness(solar_mj, clear_sky_mj).unwrap_or(STAND_IN_CLOUDINESS);
        Ok(NetRadiation {
            solar_mj,
            clear_sky_mj,
            cloudiness,
            shortwave_mj: net_shortwave_mj(solar_mj),
            longwave_mj: reference.day_longwave().net_mj(self.minimum_c, self.maximum_c, vapour_pressure_kpa, cloudiness),
        })
    }

    fn stand_ins(&self, reference: Reference, terms: &DailyTerms) -> Vec<StandIn> {
        let radiation = match self.radiation {
            Radiation::Measured(_) => None,
            Radiation::Sunshine { .. } => Some(StandIn::RadiationFromSunshine),
            Radiation::Temperatures(_) => Some(StandIn::RadiationFromTemperatures),
        };
        let light_wind = reference.wind(terms.wind_2m_ms) > terms.wind_2m_ms;
        [
            matches!(self.humidity, Humidity::FromMinimum { .. }).then_some(StandIn::HumidityFromMinimum),
            radiation,
            matches!(self.wind, Wind::Unknown).then_some(StandIn::WindTwo),
            light_wind.then_some(StandIn::WindHalf),
            (terms.clear_sky_mj <= 0.0).then_some(StandIn::CloudinessWithoutSun),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// Penman–Monteith over a day, mm, from its terms; never below 0. FAO-56 eq. 6, ASCE-EWRI (2005) eq. 1.
#[must_use]
pub fn penman_monteith_mm(reference: Reference, terms: &DailyTerms) -> f64 {
    let (numerator, denominator) = reference.daily_constants();
    let (slope, gamma) = (terms.slope_kpa_c, terms.psychrometric_kpa_c);
    let wind = reference.wind(terms.wind_2m_ms);
    let radiative = MM_PER_MJ * slope * (terms.net_radiation_mj - terms.soil_heat_mj);
    let drying = gamma * numerator / (terms.mean_c + 273.0) * wind * (terms.saturation_kpa - terms.actual_kpa);
    let depth = (radiative + drying) / (slope + gamma * (1.0 + denominator * wind));
    if depth < 0.0 { 0.0 } else { depth }
}
