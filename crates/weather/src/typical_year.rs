//! What a typical year tells of a place: its months, the water that grass gives to the air, and the chill of its winter.
//!
//! A typical year is put together from months of different years. It shows what is usual and hides how much years differ: no odds come
//! from it, and its days are no record.

use serde::Serialize;

use crate::chill::{UtahScale, chill_portions, chilling_hours};
use crate::epw::EpwReading;
use crate::error::WeatherError;
use crate::evapotranspiration::air::Wind;
use crate::evapotranspiration::daily::{DailyWeather as Weather, Radiation, Reference};
use crate::evapotranspiration::radiation::{ClearSky, Shore};
use crate::evapotranspiration::vapour::Humidity;
use crate::hourly::{DailyRules, HourlyElement};
use crate::series::Station;

/// Height of the wind in the EPW form, m (memory: the usual height of the airport's mast).
const WIND_HEIGHT_M: f64 = 10.0;

/// A month of a typical year.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TypicalMonth {
    /// 1 to 12.
    pub month: i8,
    /// The year the month was taken from.
    pub from_year: Option<i16>,
    /// Mean of the daily minima, °C.
    pub minimum_c: f64,
    /// Mean of the daily maxima, °C.
    pub maximum_c: f64,
    /// Solar radiation of a mean day, MJ/m²; NaN where the file has none.
    pub solar_mj_m2: f64,
    /// Reference evapotranspiration of short grass on a mean day, mm (FAO-56).
    pub et0_mm: f64,
}

/// A typical year in figures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TypicalYear {
    /// Where it stands for.
    pub station: Station,
    /// The months that the file has.
    pub months: Vec<TypicalMonth>,
    /// Reference evapotranspiration of the days reckoned, mm.
    pub et0_year_mm: f64,
    /// Days behind it.
    pub days: usize,
    /// Days whose solar radiation had to be reckoned from the swing of temperature.
    pub days_without_sun: usize,
    /// Days without wind, for which 2 m/s stands in.
    pub days_without_wind: usize,
    /// Hours from 0 to 7.2 °C over the winter.
    pub chill_hours: usize,
    /// Utah units of the winter, summed from its start.
    pub chill_utah: f64,
    /// Portions of the dynamic model.
    pub chill_portions: f64,
}

impl TypicalYear {
    /// The year in figures. The winter is that of the station's hemisphere: hours from 1 July to 30 June run through, in the north, as if
    /// the year followed upon itself.
    ///
    /// # Errors
    /// [`WeatherError::EmptySeries`] when there is no hour.
    pub fn of(reading: &EpwReading) -> Result<TypicalYear, WeatherError> {
        let hours = &reading.series;
        let days = hours.to_daily(DailyRules::default())?;
        let station = hours.station.clone();
        let north = station.latitude.is_none_or(|latitude| latitude >= 0.0);
        let temperatures = hours.column(HourlyElement::Temperature);
        let middle = (0..hours.len()).find(|index| hours.day_of(*index).month() >= 7).unwrap_or(0);
        let winter: Vec<f64> = if north { [&temperatures[middle..], &temperatures[..middle]].concat() } else { temperatures.to_vec() };
        let mut year = TypicalYear {
            months: Vec::new(),
            et0_year_mm: 0.0,
            days: 0,
            days_without_sun: 0,
            days_without_wind: 0,
            chill_hours: chilling_hours(&winter, 0.0, 7.2),
            chill_utah: UtahScale::Fahrenheit.sum(&winter),
            chill_portions: chill_portions(&winter),
            station,
        };
        for month in 1..=12 {
            let inside: Vec<usize> = (0..days.series.len()).filter(|index| days.series.date(*index).month() == month).collect();
            let et0: Vec<f64> = inside.iter().filter_map(|index| year.water_of(&days, *index)).collect();
            year.et0_year_mm += et0.iter().sum::<f64>();
            year.days += et0.len();
            let mean = |column: &[f64]| mean_of(inside.iter().map(|index| column[*index]));
            let minimum_c = mean(days.series.tmin_c());
            if minimum_c.is_nan() {
                continue;
            }
            year.months.push(TypicalMonth {
                month,
                from_year: usize::try_from(month - 1).ok().and_then(|place| reading.month_years[place]),
                minimum_c,
                maximum_c: mean(days.series.tmax_c()),
                solar_mj_m2: mean(&days.solar_mj_m2),
                et0_mm: mean_of(et0.iter().copied()),
            });
        }
        Ok(year)
    }

    fn water_of(&mut self, days: &crate::hourly::DailyWeather, index: usize) -> Option<f64> {
        let known = |column: &[f64]| Some(column[index]).filter(|value| !value.is_nan());
        let (minimum_c, maximum_c) = (known(days.series.tmin_c())?, known(days.series.tmax_c())?);
        let (solar, wind) = (known(&days.solar_mj_m2), known(&days.wind_mean_ms));
        let humidity = match (known(&days.dewpoint_mean_c), known(&days.humidity_mean_percent)) {
            (Some(dewpoint), _) => Humidity::Dewpoint(dewpoint.min(maximum_c)),
            (None, Some(mean)) => Humidity::Mean(mean.min(100.0)),
            (None, None) => Humidity::FromMinimum { below_c: 0.0 },
        };
        let day = Weather {
            latitude_deg: self.station.latitude?,
            elevation_m: self.station.elevation_m.unwrap_or(0.0),
            day_of_year: days.series.date(index).day_of_year(),
            minimum_c,
            maximum_c,
            humidity,
            wind: wind.map_or(Wind::Unknown, |speed_ms| Wind::Measured { speed_ms, height_m: WIND_HEIGHT_M }),
            radiation: solar.map_or(Radiation::Temperatures(Shore::Inland), Radiation::Measured),
            clear_sky: ClearSky::Simple,
            net_radiation_mj: None,
            soil_heat_mj: 0.0,
        };
        let found = day.evapotranspiration(Reference::Fao56).ok()?;
        self.days_without_sun += usize::from(solar.is_none());
        self.days_without_wind += usize::from(wind.is_none());
        Some(found.et0_mm)
    }
}

fn mean_of(values: impl Iterator<Item = f64>) -> f64 {
    let (count, sum) = values.filter(|value| !value.is_nan()).fold((0.0, 0.0), |(count, sum), value| (count + 1.0, sum + value));
    sum / count
}
