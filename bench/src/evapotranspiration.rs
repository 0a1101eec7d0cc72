//! Reference evapotranspiration of many stations, by days and by hours, and the sun over them.

use crate::numbers;
use crate::threads::shared_out;
use groundlore_weather::evapotranspiration::columns::{DayColumns, StationSky, penman_monteith_columns};
use groundlore_weather::evapotranspiration::daily::Reference;
use groundlore_weather::evapotranspiration::hour_columns::{HourColumns, HourSky, penman_monteith_hour_columns};
use groundlore_weather::sun::position::Ephemeris;
use std::error::Error;
use std::path::Path;
use std::time::Instant;

const WIND_HEIGHT_M: f64 = 2.0;

/// A folder's columns by name.
struct Folder<'a>(&'a Path);

impl Folder<'_> {
    fn column(&self, name: &str) -> Result<Vec<f64>, Box<dyn Error>> {
        Ok(numbers::read(&self.0.join(format!("{name}.f64")))?)
    }
}

/// Times the daily equation over the columns `et-…` in `folder` (latitudes and heights of the stations, an equal share of days to each), and
/// leaves the depths there.
pub fn time_days(folder: &Path, rounds: usize) -> Result<(), Box<dyn Error>> {
    let from = Folder(folder);
    let (latitudes, heights) = (from.column("et-latitude")?, from.column("et-height")?);
    let (low, high) = (from.column("et-tmin")?, from.column("et-tmax")?);
    let (vapour, wind, solar) = (from.column("et-ea")?, from.column("et-wind")?, from.column("et-solar")?);
    let day_of_year: Vec<i16> = from.column("et-doy")?.into_iter().map(|day| day as i16).collect();
    let days = low.len() / latitudes.len();
    let stations: Vec<usize> = (0..latitudes.len()).collect();
    for reference in [Reference::Fao56, Reference::AsceShort, Reference::AsceTall] {
        for threads in [1, 2] {
            for _ in 0..rounds {
                let begun = Instant::now();
                let parts = shared_out(&stations, threads, |stations| {
                    let mut out = Vec::with_capacity(stations.len() * days);
                    for station in stations {
                        let sky = StationSky::new(latitudes[*station], heights[*station], WIND_HEIGHT_M)?;
                        let at = station * days..(station + 1) * days;
                        let columns = DayColumns {
                            day_of_year: &day_of_year[at.clone()],
                            minimum_c: &low[at.clone()],
                            maximum_c: &high[at.clone()],
                            vapour_pressure_kpa: &vapour[at.clone()],
                            wind_ms: &wind[at.clone()],
                            solar_mj: &solar[at],
                        };
                        penman_monteith_columns(reference, &sky, &columns, &mut out);
                    }
                    Ok::<_, groundlore_weather::evapotranspiration::EvapotranspirationError>(out)
                });
                let parts = parts.into_iter().collect::<Result<Vec<_>, _>>()?;
                println!("et-{}-{threads} {}", reference.name(), begun.elapsed().as_secs_f64());
                numbers::write(&folder.join(format!("et-{}.f64", reference.name())), &parts.concat())?;
            }
        }
    }
    Ok(())
}

/// Times the hourly equation over the columns `hour-…` in `folder`; every station's hours begin with the hour that ends at 01:00 UTC on
/// 1 January 2015.
pub fn time_hours(folder: &Path, rounds: usize) -> Result<(), Box<dyn Error>> {
    let from = Folder(folder);
    let (latitudes, longitudes, heights) = (from.column("hour-latitude")?, from.column("hour-longitude")?, from.column("hour-height")?);
    let (air, vapour) = (from.column("hour-air")?, from.column("hour-ea")?);
    let (wind, solar) = (from.column("hour-wind")?, from.column("hour-solar")?);
    let hours = air.len() / latitudes.len();
    let stations: Vec<usize> = (0..latitudes.len()).collect();
    let first = "2015-01-01T01:00:00Z".parse::<jiff::Timestamp>()?;
    for threads in [1, 2] {
        for _ in 0..rounds {
            let begun = Instant::now();
            let parts = shared_out(&stations, threads, |stations| {
                let mut out = Vec::with_capacity(stations.len() * hours);
                for station in stations {
                    let sky = HourSky::new(latitudes[*station], longitudes[*station], heights[*station], WIND_HEIGHT_M, first)?;
                    let at = station * hours..(station + 1) * hours;
                    let columns = HourColumns {
                        temperature_c: &air[at.clone()],
                        vapour_pressure_kpa: &vapour[at.clone()],
                        wind_ms: &wind[at.clone()],
                        solar_mj: &solar[at],
                    };
                    penman_monteith_hour_columns(Reference::AsceShort, &sky, &columns, &mut out);
                }
                Ok::<_, groundlore_weather::evapotranspiration::EvapotranspirationError>(out)
            });
            let parts = parts.into_iter().collect::<Result<Vec<_>, _>>()?;
            println!("hours-{threads} {}", begun.elapsed().as_secs_f64());
            numbers::write(&folder.join("hours.f64"), &parts.concat())?;
        }
    }
    Ok(())
}

/// Times where the sun stands over a place at the moments in `folder/moments.f64` (seconds from 1970), and leaves zenith and azimuth there.
pub fn time_sun(folder: &Path, latitude_deg: f64, longitude_deg: f64, rounds: usize) -> Result<(), Box<dyn Error>> {
    let moments = Folder(folder).column("moments")?;
    for threads in [1, 2] {
        for _ in 0..rounds {
            let begun = Instant::now();
            let parts = shared_out(&moments, threads, |moments| {
                let place = |moment: &f64| {
                    let sun = Ephemeris::at_unix_seconds(*moment).seen_from(latitude_deg, longitude_deg);
                    [sun.zenith_deg, sun.azimuth_deg]
                };
                moments.iter().map(place).collect::<Vec<_>>()
            });
            let all = parts.concat();
            println!("sun-{threads} {}", begun.elapsed().as_secs_f64());
            numbers::write(&folder.join("sun.f64"), all.as_flattened())?;
        }
    }
    Ok(())
}
