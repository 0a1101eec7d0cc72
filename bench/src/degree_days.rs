//! Degree-days of many station-years: every day by every method, and the totals of whole seasons by many models.

use crate::numbers;
use crate::threads::shared_out;
use groundlore_weather::degree_days::totals;
use groundlore_weather::{Cutoff, DegreeDays, Method};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

/// Days of a row.
const DAYS: usize = 365;
/// The bases of the season totals, °C.
const BASES: [f64; 3] = [4.4, 10.0, 13.0];
const UPPER: f64 = 30.0;

fn model(method: Method, lower: f64) -> Result<DegreeDays, Box<dyn Error>> {
    Ok(match method {
        Method::Average => DegreeDays::new(method, lower, None, Cutoff::None)?,
        other => DegreeDays::new(other, lower, Some(UPPER), Cutoff::Horizontal)?,
    })
}

/// Times all methods over the columns in `folder`, with a horizontal cutoff where a method has one, and leaves the results there.
///
/// Each is timed into new room, which the system has to hand out page by page, and (`…-kept`) into room that is there. `added` is what the
/// machine takes for adding two such columns into a third and nothing else.
pub fn time(folder: &Path, rounds: usize) -> Result<(), Box<dyn Error>> {
    let tmin = numbers::read(&folder.join("tmin.f64"))?;
    let tmax = numbers::read(&folder.join("tmax.f64"))?;
    let mut sum = vec![0.0; tmin.len()];
    for _ in 0..rounds + 2 {
        let begun = Instant::now();
        sum.iter_mut().zip(&tmin).zip(&tmax).for_each(|((sum, low), high)| *sum = low + high);
        println!("added {}", begun.elapsed().as_secs_f64());
        std::hint::black_box(&sum);
    }
    drop(sum);
    for method in Method::ALL {
        let model = model(method, 10.0)?;
        let mut out = Vec::new();
        for _ in 0..rounds {
            // The room is taken within the time, as the other side takes it.
            out = Vec::new();
            let begun = Instant::now();
            model.daily_batch(&tmin, &tmax, &mut out);
            println!("{method} {}", begun.elapsed().as_secs_f64());
        }
        for _ in 0..rounds {
            out.clear();
            let begun = Instant::now();
            model.daily_batch(&tmin, &tmax, &mut out);
            println!("{method}-kept {}", begun.elapsed().as_secs_f64());
        }
        numbers::write(&folder.join(format!("{method}.f64")), &out)?;
    }
    let models: Vec<DegreeDays> = BASES.iter().flat_map(|base| Method::ALL.map(|method| model(method, *base))).collect::<Result<_, _>>()?;
    for threads in [1, 2] {
        for _ in 0..rounds {
            let begun = Instant::now();
            let rows: Vec<usize> = (0..tmin.len() / DAYS).collect();
            let parts = shared_out(&rows, threads, |rows| match (rows.first(), rows.last()) {
                (Some(first), Some(last)) => {
                    let days = first * DAYS..(last + 1) * DAYS;
                    totals(&models, &tmin[days.clone()], &tmax[days], DAYS)
                }
                _ => Vec::new(),
            });
            let all = parts.concat();
            println!("totals-{threads} {}", begun.elapsed().as_secs_f64());
            numbers::write(&folder.join("totals-of-seasons.f64"), &all)?;
        }
    }
    Ok(())
}
