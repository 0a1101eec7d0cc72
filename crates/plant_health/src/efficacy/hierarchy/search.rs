//! The standard deviations at which the (penalised) restricted likelihood is greatest: quasi-Newton steps on standard deviations whose sign
//! does not matter, so that 0 is no border.

use super::Spread;
use super::likelihood::Mixed;

/// Most steps of the search.
const MOST_STEPS: usize = 60;
/// Step of the central differences.
const DIFFERENCE: f64 = 1e-4;

/// The best standard deviations: one a factor, then the trial's.
pub(super) fn best_sds(mixed: &Mixed, spread: Spread) -> Vec<f64> {
    let worth = |sds: &[f64]| {
        let prior = match spread {
            Spread::Restricted => 0.0,
            Spread::Weak(mode) => sds.iter().map(|sd| sd.abs().max(1e-12).ln() - 0.5 * (sd / mode).powi(2)).sum(),
        };
        -(mixed.ln_restricted_likelihood(sds) + prior)
    };
    let start = (mixed.spread() / 2.0).clamp(0.05, 2.0);
    least(&worth, vec![start; mixed.parameters()]).into_iter().map(f64::abs).collect()
}

fn gradient(f: &dyn Fn(&[f64]) -> f64, at: &[f64]) -> Vec<f64> {
    (0..at.len())
        .map(|i| {
            let shifted = |by: f64| {
                let mut near = at.to_vec();
                near[i] += by;
                f(&near)
            };
            let h = DIFFERENCE * at[i].abs().max(0.1);
            (shifted(h) - shifted(-h)) / (2.0 * h)
        })
        .collect()
}

/// Quasi-Newton descent with the update of Broyden, Fletcher, Goldfarb and Shanno.
fn least(f: &dyn Fn(&[f64]) -> f64, start: Vec<f64>) -> Vec<f64> {
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let n = start.len();
    let unit = |scale: f64| -> Vec<Vec<f64>> { (0..n).map(|i| (0..n).map(|j| if i == j { scale } else { 0.0 }).collect()).collect() };
    let (mut at, mut value) = (start.clone(), f(&start));
    let mut slope = gradient(f, &at);
    let mut inverse = unit(0.1 / dot(&slope, &slope).sqrt().max(1.0));
    let mut fresh = true;
    for _ in 0..MOST_STEPS {
        if dot(&slope, &slope).sqrt() < 1e-5 * (1.0 + value.abs() * 1e-3) {
            break;
        }
        let mut step: Vec<f64> = inverse.iter().map(|row| -dot(row, &slope)).collect();
        let length = dot(&step, &step).sqrt();
        if length > 1.0 {
            step.iter_mut().for_each(|s| *s /= length);
        }
        let falls = dot(&step, &slope);
        let moved = |share: f64| -> Vec<f64> { at.iter().zip(&step).map(|(a, s)| a + share * s).collect() };
        let tried = (0..30).map(|k| 0.5_f64.powi(k)).find_map(|share| {
            let (there, worth) = {
                let there = moved(share);
                let worth = f(&there);
                (there, worth)
            };
            (worth <= value + 1e-4 * share * falls).then_some((there, worth))
        });
        let Some((there, worth)) = tried.filter(|_| falls < 0.0) else {
            if fresh {
                break;
            }
            inverse = unit(0.1 / dot(&slope, &slope).sqrt().max(1.0));
            fresh = true;
            continue;
        };
        let steeper = gradient(f, &there);
        let (s, y): (Vec<f64>, Vec<f64>) = ((0..n).map(|i| there[i] - at[i]).collect(), (0..n).map(|i| steeper[i] - slope[i]).collect());
        let (gained, sy) = (value - worth, dot(&s, &y));
        if sy > 1e-12 {
            if fresh {
                inverse = unit(sy / dot(&y, &y));
            }
            let hy: Vec<f64> = inverse.iter().map(|row| dot(row, &y)).collect();
            let yhy = dot(&y, &hy);
            for i in 0..n {
                for j in 0..n {
                    inverse[i][j] += (sy + yhy) * s[i] * s[j] / (sy * sy) - (hy[i] * s[j] + s[i] * hy[j]) / sy;
                }
            }
            fresh = false;
        }
        (at, value, slope) = (there, worth, steeper);
        if gained < 1e-10 * (1.0 + value.abs()) && !fresh {
            break;
        }
    }
    at
}
