//! Dates on which heat reaches a yard's total, in each future of its station.

use crate::numbers;
use groundlore_weather::calendar::day_number;
use groundlore_weather::{Columns, Cutoff, DegreeDays, Ensemble, Method, Series, Station, WeatherError};
use jiff::civil::{Date, date};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

/// The first day of every series.
const FIRST: Date = date(1985, 1, 1);
/// The day that is asked on, in the thirty-first year.
const ON: Date = date(2015, 4, 15);

/// Times running sums and dates for the stations and totals in `folder`, and leaves the dates there as days after [`ON`], −1 for none.
pub fn time(folder: &Path, stations: usize, rounds: usize) -> Result<(), Box<dyn Error>> {
    let tmin = numbers::read(&folder.join("station-tmin.f64"))?;
    let tmax = numbers::read(&folder.join("station-tmax.f64"))?;
    let totals = numbers::read(&folder.join("totals.f64"))?;
    let (days, yards) = (tmin.len() / stations, totals.len() / stations);
    let begun = Instant::now();
    let ensembles: Vec<Ensemble> =
        tmin.chunks(days).zip(tmax.chunks(days)).map(|(low, high)| ensemble(low, high)).collect::<Result<_, WeatherError>>()?;
    println!("ensembles {}", begun.elapsed().as_secs_f64());
    let model = DegreeDays::new(Method::SingleSine, 10.0, Some(30.0), Cutoff::Horizontal)?;
    let mut dates = Vec::new();
    for _ in 0..rounds {
        dates.clear();
        let begun = Instant::now();
        let sums: Vec<_> = ensembles.iter().map(|ensemble| ensemble.heat_sums(model)).collect();
        let summed = begun.elapsed().as_secs_f64();
        for ((ensemble, sums), totals) in ensembles.iter().zip(&sums).zip(totals.chunks(yards)) {
            for total in totals {
                dates.extend(ensemble.dates_in_sums(sums, (1, 1), *total)?);
            }
        }
        println!("sums-and-dates {}", begun.elapsed().as_secs_f64());
        println!("dates-alone {}", begun.elapsed().as_secs_f64() - summed);
    }
    let on = day_number(ON);
    let after: Vec<f64> = dates.iter().map(|date| date.map_or(-1.0, |date| f64::from(day_number(date) - on))).collect();
    numbers::write(&folder.join("dates.f64"), &after)?;
    Ok(())
}

/// A station's thirty years of record, asked on [`ON`].
fn ensemble(tmin: &[f64], tmax: &[f64]) -> Result<Ensemble, WeatherError> {
    let station = Station { latitude: Some(43.0), ..Station::default() };
    let columns = Columns { tmin_c: tmin.to_vec(), tmax_c: tmax.to_vec(), ..Columns::default() };
    Ensemble::years_of_record(&Series::from_columns(station, FIRST, columns)?, ON)
}
