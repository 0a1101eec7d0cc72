//! The pooled fit of a firm's follow-ups: 10,000 of them, on 250 yards, in 12 years, of 40 controls on targets.

use groundlore_plant_health::efficacy::hierarchy::{Comparison, Spread, USUAL_SD, fit};
use std::error::Error;
use std::time::Instant;

const FOLLOW_UPS: usize = 10_000;
const PAIRS: usize = 40;
const YEARS: usize = 12;
const YARDS: usize = 250;

/// Times the fit by restricted likelihood, alone and with the weak prior that the desk uses.
pub fn time(rounds: usize) -> Result<(), Box<dyn Error>> {
    let all = follow_ups();
    for _ in 0..rounds {
        for (name, spread) in [("restricted", Spread::Restricted), ("weak-prior", Spread::Weak(USUAL_SD))] {
            let begun = Instant::now();
            let found = fit(&all, spread)?;
            println!("{name} {}", begun.elapsed().as_secs_f64());
            println!("{name}-trial-sd {:.3}", found.scatter.trial);
        }
    }
    Ok(())
}

/// Made-up follow-ups from fixed standard deviations, by a small generator of its own.
fn follow_ups() -> Vec<Comparison> {
    let mut state = 9_u64;
    let mut normal = |sd: f64| {
        let mut uniform = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as f64 / (1_u64 << 31) as f64
        };
        sd * ((0..12).map(|_| uniform()).sum::<f64>() - 6.0)
    };
    let mut drawn = |n: usize, sd: f64| (0..n).map(|_| normal(sd)).collect::<Vec<f64>>();
    let (pair, pair_year, year, yard) = (drawn(PAIRS, 0.5), drawn(PAIRS * YEARS, 0.25), drawn(YEARS, 0.2), drawn(YARDS, 0.3));
    let scatter = drawn(FOLLOW_UPS, 0.3_f64.hypot(0.4));
    (0..FOLLOW_UPS)
        .map(|i| {
            let (p, t, y) = (i % PAIRS, (i / PAIRS) % YEARS, (i * 7 + i / (PAIRS * YEARS)) % YARDS);
            Comparison {
                control: format!("c{}", p / 4),
                target: format!("t{}", p % 4),
                year: 2003 + t as i16,
                yard: format!("yard {y}"),
                ln_ratio: -1.2 + pair[p] + year[t] + yard[y] + pair_year[p * YEARS + t] + scatter[i],
                se: 0.4,
            }
        })
        .collect()
}
