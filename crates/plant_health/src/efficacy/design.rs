//! The formula that fits the design of a follow-up, with an interval whose making is said: by the delta method on the log ratio, by
//! Student's t over blocks, or by resampling the plots.
//!
//! | what was counted | formula | interval |
//! | --- | --- | --- |
//! | treated and check, after | Abbott | delta method, or resampled plots |
//! | treated and check, before and after | Henderson-Tilton | delta method, or resampled plots (each with its before and after) |
//! | pairs of treated and check in blocks | mean log ratio | Student's t over blocks |
//! | shares dead, treated and check | Schneider-Orelli | delta method on two binomial shares |
//! | treated alone, before and after | no control: change only | delta method |

use super::{
    BeforeAfter, FollowUp, PairedEstimate, RatioEstimate, Shown, Undefined, abbott, henderson_tilton, normal_reach, paired_interval,
    schneider_orelli, shown,
};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use serde::Serialize;

/// How an interval is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum IntervalBy {
    /// First-order variance of the log ratio.
    Delta,
    /// Percentiles of the estimate over resampled plots.
    Resampling {
        /// How often.
        draws: u32,
        /// Seed of the draws.
        seed: u64,
    },
}

/// What a follow-up shows, with the interval made as asked. Without an untreated check it is change only, whatever is asked.
///
/// # Errors
/// As [`shown`].
///
/// # Source
/// Efron & Tibshirani (1993), *An Introduction to the Bootstrap*, percentile interval (memory).
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::{FollowUp, Shown, design::{IntervalBy, shown_by}};
/// let counted = FollowUp {
///     treated_after: vec![3.0, 6.0, 4.0, 3.0],
///     check_after: vec![30.0, 34.0, 28.0, 36.0],
///     ..FollowUp::default()
/// };
/// let by = IntervalBy::Resampling { draws: 2000, seed: 7 };
/// let Shown::Control { estimate, method } = shown_by(&counted, 0.95, by)? else { unreachable!() };
/// assert!(estimate.low < 0.875 && estimate.high > 0.875 && method.contains("resampled"));
/// # Ok::<(), groundlore_plant_health::efficacy::Undefined>(())
/// ```
pub fn shown_by(follow_up: &FollowUp, level: f64, by: IntervalBy) -> Result<Shown, Undefined> {
    let found = shown(follow_up, level)?;
    let (IntervalBy::Resampling { draws, seed }, Shown::Control { estimate, method }) = (by, &found) else { return Ok(found) };
    let Some(mut shares) = resampled(follow_up, draws, seed) else { return Ok(found) };
    shares.sort_by(f64::total_cmp);
    let at = |share: f64| shares[(share * (shares.len() - 1) as f64).round() as usize];
    let (low, high) = (at(0.5 - level / 2.0), at(0.5 + level / 2.0));
    let formula = method.split(';').next().unwrap_or(method);
    Ok(Shown::Control {
        estimate: RatioEstimate { low, high, ..*estimate },
        method: format!("{formula}; interval by {draws} times resampled plots"),
    })
}

/// Control of each draw of plots; a plot keeps its before and after together where they pair. None where no draw has an estimate.
fn resampled(follow_up: &FollowUp, draws: u32, seed: u64) -> Option<Vec<f64>> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let FollowUp { treated_before, treated_after, check_before, check_after } = follow_up;
    let before_too = treated_before.len() > 1 && check_before.len() > 1;
    let mut shares = Vec::with_capacity(draws as usize);
    for _ in 0..draws {
        let (tb, ta) = drawn(treated_before, treated_after, &mut random);
        let (cb, ca) = drawn(check_before, check_after, &mut random);
        let both =
            before_too.then(|| henderson_tilton(&BeforeAfter { check_before: cb, check_after: ca, treated_before: tb, treated_after: ta }));
        match both {
            Some(Ok(share)) => shares.push(share),
            // A draw in which nothing was there before tells by its counts after treatment.
            _ => shares.extend(abbott(ca, ta).ok()),
        }
    }
    (!shares.is_empty()).then_some(shares)
}

fn drawn(before: &[f64], after: &[f64], random: &mut ChaCha8Rng) -> (f64, f64) {
    let mut pick = |n: usize| -> Vec<usize> { (0..n).map(|_| below(n, random)).collect() };
    let mean = |values: &[f64], places: &[usize]| places.iter().map(|p| values[*p]).sum::<f64>() / places.len().max(1) as f64;
    let later = pick(after.len());
    let earlier = if before.len() == after.len() { later.clone() } else { pick(before.len()) };
    (mean(before, &earlier), mean(after, &later))
}

fn below(n: usize, random: &mut ChaCha8Rng) -> usize {
    let share = (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64;
    ((share * n as f64) as usize).min(n.saturating_sub(1))
}

/// Control in a trial laid out in blocks, one treated and one check plot each, in the same order.
///
/// # Errors
/// As [`paired_interval`].
pub fn by_blocks(check: &[f64], treated: &[f64], level: f64) -> Result<(PairedEstimate, String), Undefined> {
    let found = paired_interval(check, treated, level)?;
    Ok((found, format!("mean log ratio over {} blocks; interval by Student's t", found.blocks)))
}

/// Control from deaths among those looked at (dead, of all), treated and check, by Schneider-Orelli with a delta interval on the log ratio
/// of survivors; half a survivor is added where none was left in the treated.
///
/// # Errors
/// Deaths above the number looked at, nobody looked at, a check in which all died.
pub fn by_deaths(treated: (u32, u32), check: (u32, u32), level: f64) -> Result<(RatioEstimate, String), Undefined> {
    let reach = normal_reach(level)?;
    let share = |name: &'static str, (dead, of): (u32, u32)| {
        if of == 0 || dead > of {
            return Err(Undefined::Impossible {
                name,
                value: f64::from(dead),
                remedy: "give the dead and all that were looked at, e.g. 18 of 20",
            });
        }
        Ok(f64::from(dead) / f64::from(of))
    };
    let (mt, mc) = (share("treated-dead", treated)?, share("check-dead", check)?);
    schneider_orelli(mt, mc)?;
    let half_added = treated.0 == treated.1;
    let half = if half_added { 0.5 } else { 0.0 };
    let (nt, nc) = (f64::from(treated.1), f64::from(check.1));
    let (st, sc) = ((nt * (1.0 - mt) + half) / (nt + half), 1.0 - mc);
    let variance = (1.0 - st) / (nt * st) + (1.0 - sc) / (nc * sc);
    let estimate = super::from_ln_ratio((st / sc).ln(), variance.sqrt(), reach, level, half_added);
    Ok((estimate, "Schneider-Orelli, deaths against the untreated check; interval by the delta method".to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counted() -> FollowUp {
        FollowUp {
            treated_before: vec![9.0, 12.0, 7.0, 14.0, 10.0],
            treated_after: vec![2.0, 3.0, 1.0, 4.0, 1.0],
            check_before: vec![10.0, 8.0, 13.0, 9.0],
            check_after: vec![12.0, 7.0, 15.0, 9.0],
        }
    }

    #[test]
    fn resampling_keeps_the_estimate_and_comes_near_the_delta_interval() {
        let Ok(Shown::Control { estimate: delta, method }) = shown_by(&counted(), 0.9, IntervalBy::Delta) else { unreachable!() };
        assert!(method.contains("delta"), "{method}");
        let by = IntervalBy::Resampling { draws: 4000, seed: 1 };
        let Ok(Shown::Control { estimate, method }) = shown_by(&counted(), 0.9, by) else { unreachable!() };
        assert!(method.contains("Henderson-Tilton") && method.contains("4000 times"), "{method}");
        assert!((estimate.share - delta.share).abs() < 1e-12);
        assert!(estimate.low < estimate.share && estimate.share < estimate.high);
        // Plots keep their before and after here, which the delta interval does not know: it is the wider.
        assert!(estimate.high - estimate.low < delta.high - delta.low);
        assert_eq!(shown_by(&counted(), 0.9, by), shown_by(&counted(), 0.9, by), "the seed decides");
    }

    #[test]
    fn without_a_check_nothing_is_control() {
        let alone = FollowUp { check_before: vec![], check_after: vec![], ..counted() };
        let by = IntervalBy::Resampling { draws: 100, seed: 1 };
        assert!(matches!(shown_by(&alone, 0.9, by), Ok(Shown::ChangeOnly { .. })));
    }

    #[test]
    fn deaths_give_schneider_orelli_and_refuse_what_cannot_be() {
        // EF rows: mortality 0.85 treated and 0.20 check give (0.85 − 0.20) / 0.80.
        let (found, _) = by_deaths((17, 20), (4, 20), 0.95).unwrap_or_else(|e| unreachable!("{e}"));
        assert!((found.share - 0.8125).abs() < 1e-12);
        assert!(found.low < found.share && found.high > found.share);
        assert_eq!(by_deaths((17, 20), (20, 20), 0.95), Err(Undefined::CheckAllDead));
        assert!(by_deaths((21, 20), (4, 20), 0.95).is_err() && by_deaths((0, 0), (4, 20), 0.95).is_err());
        assert!(by_deaths((20, 20), (4, 20), 0.95).is_ok_and(|(e, _)| e.half_added && e.high < 1.0));
    }
}
