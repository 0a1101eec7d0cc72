//! Degree-days of many station-years.

use crate::numbers;
use groundlore_weather::{Cutoff, DegreeDays, Method};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

/// Times the average and the single sine with a horizontal cutoff over the columns in `folder`, and leaves the results there.
pub fn time(folder: &Path, rounds: usize) -> Result<(), Box<dyn Error>> {
    let tmin = numbers::read(&folder.join("tmin.f64"))?;
    let tmax = numbers::read(&folder.join("tmax.f64"))?;
    let models = [
        ("average", DegreeDays::new(Method::Average, 10.0, None, Cutoff::None)?),
        ("single-sine", DegreeDays::new(Method::SingleSine, 10.0, Some(30.0), Cutoff::Horizontal)?),
    ];
    for (name, model) in models {
        let mut out = Vec::with_capacity(tmin.len());
        for _ in 0..rounds {
            out.clear();
            let begun = Instant::now();
            model.daily_batch(&tmin, &tmax, &mut out);
            println!("{name} {}", begun.elapsed().as_secs_f64());
        }
        numbers::write(&folder.join(format!("{name}.f64")), &out)?;
    }
    Ok(())
}
