//! How much ground a weed covers: quadrats with hits of points or a judged share, by stratum and for the whole ground.
//!
//! # Model
//! The hits of a quadrat are binomial in its points, and cover itself scatters from quadrat to quadrat (a beta law about the stratum's
//! cover): a beta-binomial. How strongly cover clumps is not known and is averaged over a wide range, common to the strata.

use crate::density::{shuffled, uniform};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use serde::{Deserialize, Serialize};
use statrs::function::gamma::ln_gamma;

/// One quadrat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Quadrat {
    /// Points that touched the weed.
    pub hits: u32,
    /// Points looked at; 100 for a share judged by eye, in per cent.
    pub points: u32,
    /// True where the share was judged by eye and not by points.
    pub judged: bool,
}

impl Quadrat {
    /// Hits of points.
    pub fn of_points(hits: u32, points: u32) -> Self {
        Self { hits, points, judged: false }
    }

    /// A share judged by eye, per cent.
    pub fn by_eye(per_cent: u32) -> Self {
        Self { hits: per_cent, points: 100, judged: true }
    }

    /// Hits and points as they weigh: an eye tells about twentieths, not hundredths (common practice).
    fn weighed(&self) -> (f64, f64) {
        const TWENTIETHS: f64 = 20.0;
        let (hits, points) = (f64::from(self.hits), f64::from(self.points));
        if self.judged { (hits / points * TWENTIETHS, TWENTIETHS) } else { (hits, points) }
    }
}

/// The quadrats of one part of the ground.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct CoverCounts {
    /// Name of the stratum.
    pub name: String,
    /// Area, m².
    pub area_m2: f64,
    /// Quadrats; empty means that nobody looked.
    pub quadrats: Vec<Quadrat>,
}

/// A share of cover with its interval, 0–1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CoverEstimate {
    /// Posterior mean.
    pub mean: f64,
    /// Posterior median.
    pub median: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Level of the interval.
    pub level: f64,
}

/// Cover of one stratum.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StratumCover {
    /// Name.
    pub name: String,
    /// Area, m².
    pub area_m2: f64,
    /// Quadrats looked at.
    pub quadrats: usize,
    /// Quadrats that held any.
    pub with_any: usize,
    /// The estimate; none where nobody looked.
    pub estimate: Option<CoverEstimate>,
    #[serde(skip)]
    weights: Vec<f64>,
}

impl StratumCover {
    /// Chance that cover is over a share; none where nobody looked.
    pub fn p_over(&self, share: f64) -> Option<f64> {
        self.estimate.map(|_| self.weights.iter().enumerate().filter(|(i, _)| cover_at(*i) > share).map(|(_, w)| w).sum())
    }
}

/// Cover of the ground.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cover {
    /// By stratum, in the order given.
    pub strata: Vec<StratumCover>,
    /// Over the strata looked at, by area; none where nobody looked.
    pub looked_at: Option<CoverEstimate>,
    /// Area looked at, m².
    pub area_m2: f64,
    /// Strata that nobody looked at.
    pub not_looked_at: Vec<String>,
    /// Posterior mean of the likeness within a quadrat (0: points are as good as apart; 1: a quadrat is all or nothing).
    pub likeness: f64,
}

/// Why cover cannot be reckoned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CoverError {
    /// No stratum.
    #[error("no part of the ground was given: name at least one with its area, e.g. `front lawn`, 120 m2")]
    NoStrata,
    /// An area that is not above 0.
    #[error("the area of `{stratum}` is {value} m2: it must be above 0")]
    Area {
        /// Stratum.
        stratum: String,
        /// Value seen.
        value: f64,
    },
    /// More hits than points, or no points.
    #[error("a quadrat in `{stratum}` has {hits} hits of {points} points: hits run from 0 to the number of points, e.g. 7 of 25")]
    Hits {
        /// Stratum.
        stratum: String,
        /// Hits seen.
        hits: u32,
        /// Points seen.
        points: u32,
    },
    /// A level that is none.
    #[error("the level is {0}: it lies between 0 and 1, e.g. 0.9")]
    Level(f64),
}

/// Points of cover on the grid, evenly spaced.
const POINTS: usize = 400;
/// Likeness within a quadrat, averaged over (memory: from points all but apart to quadrats that are nearly all or nothing).
const LIKENESS: [f64; 7] = [0.005, 0.03, 0.08, 0.16, 0.3, 0.5, 0.75];
/// Draws behind the interval of the whole ground.
const DRAWS: usize = 2000;
/// Seed of those draws.
const SEED: u64 = 0x7765_6564;

fn cover_at(i: usize) -> f64 {
    (i as f64 + 0.5) / POINTS as f64
}

/// Cover by stratum and for the ground looked at.
///
/// # Errors
/// [`CoverError`] for no strata, areas, hits or levels out of range.
///
/// # Example
/// ```
/// # use groundlore_plant_health::cover::*;
/// let quadrats = [3, 0, 7, 1, 0, 5].map(|hits| Quadrat::of_points(hits, 25)).to_vec();
/// let front = CoverCounts { name: "front lawn".into(), area_m2: 200.0, quadrats };
/// let back = CoverCounts { name: "back lawn".into(), area_m2: 300.0, ..CoverCounts::default() };
/// let cover = cover(&[front, back], 0.9)?;
/// let seen = cover.strata[0].estimate.unwrap();
/// assert!(seen.low < 16.0 / 150.0 && seen.high > 16.0 / 150.0);
/// assert_eq!(cover.not_looked_at, ["back lawn"]);
/// # Ok::<(), CoverError>(())
/// ```
pub fn cover(strata: &[CoverCounts], level: f64) -> Result<Cover, CoverError> {
    check(strata, level)?;
    // For each likeness and stratum: the posterior on the grid; the evidence of all strata together weighs the likeness.
    let by_likeness: Vec<Vec<Vec<f64>>> =
        LIKENESS.iter().map(|&rho| strata.iter().map(|s| ln_posterior(&s.quadrats, rho)).collect()).collect();
    let evidence: Vec<f64> = by_likeness.iter().map(|strata| strata.iter().map(|l| ln_sum(l)).sum()).collect();
    let top = evidence.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = evidence.iter().map(|e| (e - top).exp()).collect();
    let total: f64 = weights.iter().sum();
    let likeness = LIKENESS.iter().zip(&weights).map(|(r, w)| r * w).sum::<f64>() / total;
    let mixed = |s: usize| -> Vec<f64> {
        let mut mixed = vec![0.0; POINTS];
        for (strata, weight) in by_likeness.iter().zip(&weights) {
            let norm = ln_sum(&strata[s]);
            mixed.iter_mut().zip(&strata[s]).for_each(|(m, l)| *m += weight / total * (l - norm).exp());
        }
        mixed
    };
    let strata: Vec<StratumCover> = strata
        .iter()
        .enumerate()
        .map(|(s, counts)| {
            let weights = mixed(s);
            StratumCover {
                name: counts.name.clone(),
                area_m2: counts.area_m2,
                quadrats: counts.quadrats.len(),
                with_any: counts.quadrats.iter().filter(|q| q.hits > 0).count(),
                estimate: (!counts.quadrats.is_empty()).then(|| estimate(&weights, level)),
                weights,
            }
        })
        .collect();
    let looked: Vec<&StratumCover> = strata.iter().filter(|s| s.estimate.is_some()).collect();
    let area_m2 = looked.iter().map(|s| s.area_m2).sum();
    let looked_at = whole(&looked, area_m2, level);
    let not_looked_at = strata.iter().filter(|s| s.estimate.is_none()).map(|s| s.name.clone()).collect();
    Ok(Cover { looked_at, area_m2, not_looked_at, likeness, strata })
}

fn check(strata: &[CoverCounts], level: f64) -> Result<(), CoverError> {
    if strata.is_empty() {
        return Err(CoverError::NoStrata);
    }
    if !(level > 0.0 && level < 1.0) {
        return Err(CoverError::Level(level));
    }
    for stratum in strata {
        if !(stratum.area_m2 > 0.0 && stratum.area_m2.is_finite()) {
            return Err(CoverError::Area { stratum: stratum.name.clone(), value: stratum.area_m2 });
        }
        if let Some(q) = stratum.quadrats.iter().find(|q| q.points == 0 || q.hits > q.points) {
            return Err(CoverError::Hits { stratum: stratum.name.clone(), hits: q.hits, points: q.points });
        }
    }
    Ok(())
}

/// ln of prior × likelihood on the grid of cover. The prior is Jeffreys' for a share: 1/√(p(1 − p)).
fn ln_posterior(quadrats: &[Quadrat], likeness: f64) -> Vec<f64> {
    let strength = (1.0 - likeness) / likeness;
    (0..POINTS)
        .map(|i| {
            let p = cover_at(i);
            let (a, b) = (p * strength, (1.0 - p) * strength);
            let own: f64 = quadrats
                .iter()
                .map(|q| {
                    let (hits, points) = q.weighed();
                    ln_gamma(hits + a) + ln_gamma(points - hits + b) - ln_gamma(points + strength)
                })
                .sum();
            own - quadrats.len() as f64 * (ln_gamma(a) + ln_gamma(b) - ln_gamma(strength)) - 0.5 * (p * (1.0 - p)).ln()
        })
        .collect()
}

fn ln_sum(values: &[f64]) -> f64 {
    let top = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    top + values.iter().map(|v| (v - top).exp()).sum::<f64>().ln()
}

fn quantile(weights: &[f64], q: f64) -> f64 {
    let mut below = 0.0;
    for (i, w) in weights.iter().enumerate() {
        if *w > 0.0 && below + w >= q {
            return (i as f64 + ((q - below) / w).clamp(0.0, 1.0)) / POINTS as f64;
        }
        below += w;
    }
    1.0
}

fn estimate(weights: &[f64], level: f64) -> CoverEstimate {
    CoverEstimate {
        mean: weights.iter().enumerate().map(|(i, w)| w * cover_at(i)).sum(),
        median: quantile(weights, 0.5),
        low: quantile(weights, 0.5 - level / 2.0),
        high: quantile(weights, 0.5 + level / 2.0),
        level,
    }
}

fn whole(looked: &[&StratumCover], area_m2: f64, level: f64) -> Option<CoverEstimate> {
    if looked.len() < 2 {
        return looked.first().and_then(|s| s.estimate);
    }
    let mut rng = ChaCha8Rng::seed_from_u64(SEED);
    let mut totals = vec![0.0; DRAWS];
    for stratum in looked {
        let order = shuffled(DRAWS, &mut rng);
        for (total, place) in totals.iter_mut().zip(order) {
            *total += stratum.area_m2 / area_m2 * quantile(&stratum.weights, (place as f64 + uniform(&mut rng)) / DRAWS as f64);
        }
    }
    totals.sort_by(f64::total_cmp);
    let at = |q: f64| totals[((q * DRAWS as f64) as usize).min(DRAWS - 1)];
    let mean = totals.iter().sum::<f64>() / DRAWS as f64;
    Some(CoverEstimate { mean, median: at(0.5), low: at(0.5 - level / 2.0), high: at(0.5 + level / 2.0), level })
}

/// Quadrats wanted so that the standard error of cover is `error` (a share of the ground, 0.05 for five points in a hundred):
/// n = p(1 − p)(1 + (points − 1) likeness) / (points × error²). None outside 0–1 and for no points.
///
/// # Source
/// Variance of a mean of beta-binomial shares (textbook; memory).
///
/// ```
/// # use groundlore_plant_health::cover::quadrats_for_error;
/// // Points all apart: 0.2 × 0.8/(25 × 0.05²) = 2.56; all alike: 25 times as many.
/// assert!((quadrats_for_error(0.2, 25, 0.0, 0.05).unwrap() - 2.56).abs() < 1e-9);
/// assert!((quadrats_for_error(0.2, 25, 1.0, 0.05).unwrap() - 64.0).abs() < 1e-9);
/// ```
pub fn quadrats_for_error(cover: f64, points: u32, likeness: f64, error: f64) -> Option<f64> {
    let inside = cover > 0.0 && cover < 1.0 && (0.0..=1.0).contains(&likeness) && error > 0.0 && points > 0;
    let m = f64::from(points);
    inside.then(|| cover * (1.0 - cover) * (1.0 + (m - 1.0) * likeness) / (m * error * error))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    fn ground(hits: &[u32], points: u32) -> CoverCounts {
        CoverCounts { name: "lawn".into(), area_m2: 100.0, quadrats: hits.iter().map(|&h| Quadrat::of_points(h, points)).collect() }
    }

    #[test]
    fn no_hits_in_many_quadrats_is_little_cover_and_never_none() {
        let estimate = |n: usize| cover(&[ground(&vec![0; n], 25)], 0.9).unwrap().strata[0].estimate.unwrap();
        assert!(estimate(4).high > estimate(20).high && estimate(20).high > 0.0 && estimate(20).high < 0.08, "{:?}", estimate(20));
    }

    #[test]
    fn all_or_nothing_quadrats_say_less_than_even_ones() {
        let width = |hits: &[u32]| {
            let e = cover(&[ground(hits, 25)], 0.9).unwrap().strata[0].estimate.unwrap();
            e.high - e.low
        };
        assert!(width(&[25, 0, 0, 0, 25, 0, 0, 0]) > 1.5 * width(&[6, 6, 7, 6, 6, 7, 6, 6]));
    }

    #[test]
    fn a_share_judged_by_eye_weighs_less_than_a_hundred_points() {
        let eye = CoverCounts { quadrats: [20, 25, 22].map(Quadrat::by_eye).to_vec(), ..ground(&[], 1) };
        let points = CoverCounts { quadrats: [20, 25, 22].map(|h| Quadrat::of_points(h, 100)).to_vec(), ..ground(&[], 1) };
        let width = |c: CoverCounts| {
            let e = cover(&[c], 0.9).unwrap().strata[0].estimate.unwrap();
            e.high - e.low
        };
        assert!(width(eye) > width(points));
    }

    #[test]
    fn the_whole_lies_between_its_parts_and_what_nobody_saw_stays_unknown() {
        let parts = [
            ground(&[1, 0, 2, 1, 0, 1], 25),
            CoverCounts { name: "edge".into(), area_m2: 20.0, ..ground(&[15, 20, 12, 18], 25) },
            CoverCounts { name: "back".into(), area_m2: 50.0, quadrats: Vec::new() },
        ];
        let found = cover(&parts, 0.9).unwrap();
        let (a, b) = (found.strata[0].estimate.unwrap().mean, found.strata[1].estimate.unwrap().mean);
        let all = found.looked_at.unwrap().mean;
        assert!(a < all && all < b && (found.area_m2 - 120.0).abs() < 1e-9);
        assert!((all - (100.0 * a + 20.0 * b) / 120.0).abs() < 0.005);
        assert_eq!(found.not_looked_at, ["back"]);
        assert!(found.strata[2].p_over(0.1).is_none());
        assert!(found.strata[1].p_over(0.3).unwrap() > 0.95);
    }

    #[test]
    fn impossible_quadrats_are_named() {
        let said = |c: CoverCounts| cover(&[c], 0.9).unwrap_err().to_string();
        assert!(said(ground(&[26], 25)).contains("26 hits of 25"));
        assert!(said(ground(&[0], 0)).contains("0 points"));
        assert!(said(CoverCounts { area_m2: 0.0, ..ground(&[1], 25) }).contains("lawn"));
        assert!(cover(&[], 0.9).is_err());
    }
}
