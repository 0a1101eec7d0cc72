//! How a pest clumps, learned from the counts of this book and held to what lore says.
//!
//! # Model
//! Each set of counts (one part of one yard on one day, samples of one size) has a k of its own; the k of all sets scatter
//! log-normally about one middle. The total of a set says nothing about its k, so a set's likelihood is taken given its total
//! (a Dirichlet-multinomial): no mean need be fitted. The middle begins where lore has it, and moves as sets come in.

use crate::counts::summary;
use serde::{Deserialize, Serialize};
use statrs::function::gamma::ln_gamma;

/// k with its interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LearnedK {
    /// Middle for the next place.
    pub k: f64,
    /// Lower end, nine in ten.
    pub low: f64,
    /// Upper end, nine in ten.
    pub high: f64,
    /// Sets of counts of this book that said something.
    pub sets: usize,
    /// Samples in those sets.
    pub samples: usize,
    /// Range that it began with.
    pub began: (f64, f64),
    /// Whether that range was lore's; if not, it is the wide one for what is not known.
    pub from_lore: bool,
}

/// Taylor's law with its doubt.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LearnedTaylor {
    /// Variance at a mean of 1.
    pub a: f64,
    /// Power.
    pub b: f64,
    /// Standard error of ln a.
    pub ln_a_se: f64,
    /// Standard error of b.
    pub b_se: f64,
    /// Sets of counts of this book behind it.
    pub sets: usize,
}

/// Points of ln k.
const POINTS: usize = 121;
/// Ends of the grid of k.
const ENDS: (f64, f64) = (0.03, 60.0);
/// Scatter of ln k from set to set, weighed against each other (memory: a common k is seldom quite common).
const SCATTERS: [f64; 4] = [0.05, 0.2, 0.4, 0.7];
/// z of a nine-in-ten interval's end.
const Z90: f64 = 1.644_853_6;

fn ln_k(i: usize) -> f64 {
    ENDS.0.ln() + (ENDS.1 / ENDS.0).ln() * i as f64 / (POINTS - 1) as f64
}

/// ln P(counts | their total, k): Π C(x + k − 1, x) / C(T + nk − 1, T).
fn ln_given_total(counts: &[u64], k: f64) -> f64 {
    let ways = |x: u64, k: f64| ln_gamma(x as f64 + k) - ln_gamma(k) - ln_gamma(x as f64 + 1.0);
    let total = counts.iter().fold(0_u64, |sum, &c| sum.saturating_add(c));
    counts.iter().map(|&x| ways(x, k)).sum::<f64>() - ways(total, counts.len() as f64 * k)
}

/// A set that can say something of k: two samples or more, and two finds or more.
fn tells(counts: &[u64]) -> bool {
    counts.len() >= 2 && counts.iter().fold(0_u64, |sum, &c| sum.saturating_add(c)) >= 2
}

/// k for the next place, from sets of counts and what lore says of k (taken as a nine-in-ten range; one printed figure is opened by
/// half as much again either way, and the wide range 0.3 to 3 is taken where lore says nothing).
///
/// # Example
/// ```
/// # use groundlore_plant_health::dispersion::learned::learn_k;
/// let lore = Some((1.2, 2.0));
/// let before = learn_k(&[], lore);
/// let clumped = vec![vec![0, 0, 19, 0, 1, 0, 0, 24, 0, 0]; 12];
/// let after = learn_k(&clumped, lore);
/// assert!((before.k - 1.55).abs() < 0.1 && after.k < 1.1 && after.sets == 12);
/// ```
pub fn learn_k(sets: &[Vec<u64>], lore: Option<(f64, f64)>) -> LearnedK {
    let began = match lore {
        None => crate::density::DensityPrior::UNKNOWN_K,
        Some((low, high)) if high < low * 1.05 => (low / 1.5, high * 1.5),
        Some(range) => range,
    };
    let (middle, spread) = (0.5 * (began.0 * began.1).ln(), (began.1 / began.0).ln() / (2.0 * Z90));
    let told: Vec<&Vec<u64>> = sets.iter().filter(|s| tells(s)).collect();
    let likelihoods: Vec<Vec<f64>> = told.iter().map(|counts| scaled((0..POINTS).map(|i| ln_given_total(counts, ln_k(i).exp())))).collect();
    // Middle and scatter on a grid: the weight of each, and what it says of the next place.
    let mut next = vec![0.0; POINTS];
    let mut worlds: Vec<(f64, Vec<f64>)> = Vec::new();
    for scatter in SCATTERS {
        for step in 0..41 {
            let mu = middle + spread * (f64::from(step) - 20.0) * 0.2;
            let kernel = bell(mu, scatter);
            let prior = -0.5 * ((mu - middle) / spread).powi(2);
            let fit: f64 = likelihoods.iter().map(|l| l.iter().zip(&kernel).map(|(l, p)| l * p).sum::<f64>().max(1e-300).ln()).sum();
            worlds.push((prior + fit, kernel));
        }
    }
    let top = worlds.iter().map(|w| w.0).fold(f64::NEG_INFINITY, f64::max);
    for (ln_weight, kernel) in &worlds {
        let weight = (ln_weight - top).exp();
        next.iter_mut().zip(kernel).for_each(|(n, p)| *n += weight * p);
    }
    let total: f64 = next.iter().sum();
    let quantile = |q: f64| {
        let mut below = 0.0;
        for (i, p) in next.iter().enumerate() {
            if below + p / total >= q {
                let within = if *p > 0.0 { (q - below) / (p / total) - 0.5 } else { 0.0 };
                return (ln_k(i) + within * (ln_k(1) - ln_k(0))).exp();
            }
            below += p / total;
        }
        ENDS.1
    };
    LearnedK {
        k: quantile(0.5),
        low: quantile(0.05),
        high: quantile(0.95),
        sets: told.len(),
        samples: told.iter().map(|s| s.len()).sum(),
        began,
        from_lore: lore.is_some(),
    }
}

/// Values of exp, scaled so that the largest is 1.
fn scaled(logs: impl Iterator<Item = f64>) -> Vec<f64> {
    let logs: Vec<f64> = logs.collect();
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    logs.into_iter().map(|l| (l - top).exp()).collect()
}

/// A normal curve in ln k on the grid, adding up to 1.
fn bell(middle: f64, spread: f64) -> Vec<f64> {
    let heights = scaled((0..POINTS).map(|i| -0.5 * ((ln_k(i) - middle) / spread).powi(2)));
    let total: f64 = heights.iter().sum();
    heights.into_iter().map(|h| h / total).collect()
}

/// Taylor's law before any count: a about 2 (0.6 to 6, nine in ten), b about 1.4 (0.9 to 1.9). Memory: most animals lie between random
/// scatter and a square law.
const BEFORE: (f64, f64, f64, f64) = (std::f64::consts::LN_2, 0.7, 1.4, 0.3);
/// Scatter of ln variance about the law from place to place (memory).
const PLACE_SD: f64 = 0.3;

/// What a learned law of Taylor is held to: the variance that lore's k gives at a mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldTo {
    /// Mean per sample, such as the middle of the thresholds.
    pub mean: f64,
    /// Lore's k.
    pub k: f64,
}

/// Doubt in ln variance at that mean where lore has a k, and in b there (memory: k of one study holds within about half as much again
/// elsewhere).
const HELD_SDS: (f64, f64) = (0.4, 0.3);
/// Sets of counts from which a learned law of Taylor is used in plans: a line through fewer says little (a rule of this house).
pub const SETS_FOR_TAYLOR: usize = 5;

/// Taylor's law from sets of counts, held to what lore's k says of the variance where one is given, else to what is usual; `k` weighs how
/// surely each set tells its variance.
///
/// A set needs three samples and a variance above 0. No figures of Taylor's law itself for lawn pests were read: where lore has a k, the law
/// begins as the tangent of mean + mean²/k at the mean that matters.
///
/// # Example
/// ```
/// # use groundlore_plant_health::dispersion::learned::{HeldTo, learn_taylor};
/// // Before any count: at the mean it is held to, the variance is lore's, 10 + 10²/2 = 60.
/// let law = learn_taylor(&[], 2.0, Some(HeldTo { mean: 10.0, k: 2.0 }));
/// assert!((law.a * 10_f64.powf(law.b) - 60.0).abs() < 1e-6 && law.sets == 0);
/// ```
pub fn learn_taylor(sets: &[Vec<u64>], k: f64, held_to: Option<HeldTo>) -> LearnedTaylor {
    // Precision matrix of (ln a, b), and its product with the mean.
    let (mut aa, mut ab, mut bb, mut ay, mut by);
    match held_to.filter(|h| h.mean > 0.0 && h.k > 0.0) {
        Some(HeldTo { mean, k }) => {
            let variance = mean + mean * mean / k;
            let (x, slope) = (mean.ln(), (mean + 2.0 * mean * mean / k) / variance);
            let (at, of_b) = (HELD_SDS.0.powi(-2), HELD_SDS.1.powi(-2));
            (aa, ab, bb) = (at, at * x, at * x * x + of_b);
            (ay, by) = (at * variance.ln(), at * variance.ln() * x + of_b * slope);
        }
        None => {
            let (ln_a, a_sd, b, b_sd) = BEFORE;
            (aa, ab, bb) = (a_sd.powi(-2), 0.0, b_sd.powi(-2));
            (ay, by) = (ln_a * aa, b * bb);
        }
    }
    let mut used = 0;
    for counts in sets.iter().filter(|s| s.len() >= 3) {
        let Some((mean, variance)) = summary(counts).ok().and_then(|s| Some((s.mean, s.variance?))).filter(|(_, v)| *v > 0.0) else {
            continue;
        };
        used += 1;
        let n = counts.len() as f64;
        // Var of ln s²: 2/(n − 1) for a bell, more for the long tail of clumped counts (excess 6/k + 1/variance).
        let doubt = 2.0 / (n - 1.0) + (6.0 / k + variance.recip()) / n;
        let weight = (doubt + PLACE_SD * PLACE_SD).recip();
        // The logarithm of a variance estimate leans low by half its own variance.
        let (x, y) = (mean.ln(), variance.ln() + 0.5 * doubt.min(1.0));
        aa += weight;
        ab += weight * x;
        bb += weight * x * x;
        ay += weight * y;
        by += weight * x * y;
    }
    let determinant = aa * bb - ab * ab;
    let (ln_a, b) = ((bb * ay - ab * by) / determinant, (aa * by - ab * ay) / determinant);
    LearnedTaylor { a: ln_a.exp(), b, ln_a_se: (bb / determinant).sqrt(), b_se: (aa / determinant).sqrt(), sets: used }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    #[test]
    fn without_counts_lore_stands_as_it_was() {
        let k = learn_k(&[], Some((1.5936, 1.5936)));
        assert!((k.k / 1.5936 - 1.0).abs() < 0.02, "{k:?}");
        assert!(k.low < 1.5936 / 1.4 && k.high > 1.5936 * 1.4 && k.sets == 0);
        let unknown = learn_k(&[], None);
        assert!(!unknown.from_lore && (unknown.k - 0.949).abs() < 0.02);
    }

    #[test]
    fn sets_that_say_nothing_are_not_counted() {
        let k = learn_k(&[vec![0; 10], vec![7], vec![1, 0]], None);
        assert_eq!((k.sets, k.samples), (0, 0));
    }

    #[test]
    fn more_sets_narrow_the_interval() {
        let set = vec![3, 9, 0, 4, 12, 1, 6, 2];
        let width = |n: usize| {
            let k = learn_k(&vec![set.clone(); n], None);
            (k.high / k.low).ln()
        };
        assert!(width(12) < width(3) && width(3) < width(0));
    }

    #[test]
    fn even_counts_raise_k_and_taylor_stays_between_the_usual_and_the_seen() {
        let even: Vec<Vec<u64>> = (1..=10_u64).map(|m| vec![4 * m, 4 * m + 1, 4 * m - 1, 4 * m + 2, 4 * m - 2, 4 * m]).collect();
        assert!(learn_k(&even, None).k > 3.0);
        let taylor = learn_taylor(&even, 3.0, None);
        assert!(taylor.sets == 10 && taylor.a < 2.0, "{taylor:?}");
        let before = learn_taylor(&[], 1.0, None);
        assert!((before.a - 2.0).abs() < 1e-9 && (before.b - 1.4).abs() < 1e-9 && taylor.b_se < before.b_se);
    }

    #[test]
    fn the_law_begins_at_lores_k_and_goes_to_what_is_counted() {
        let held = HeldTo { mean: 8.0, k: 1.6 };
        let variance = |law: LearnedTaylor, mean: f64| law.a * mean.powf(law.b);
        let begun = learn_taylor(&[], 1.6, Some(held));
        assert!((variance(begun, 8.0) - 48.0).abs() < 1e-6 && (1.0..2.0).contains(&begun.b), "{begun:?}");
        // Even counts, variance about 2 at every mean: the law falls towards it as sets come in, and its doubt shrinks.
        let even: Vec<Vec<u64>> = (1..=12_u64).map(|m| vec![2 * m, 2 * m + 2, 2 * m + 1, 2 * m + 3, 2 * m + 1, 2 * m]).collect();
        let (few, many) = (learn_taylor(&even[..4], 1.6, Some(held)), learn_taylor(&even, 1.6, Some(held)));
        assert!(variance(many, 8.0) < variance(few, 8.0) && variance(few, 8.0) < 48.0, "{few:?} {many:?}");
        assert!(many.b_se < few.b_se && few.b_se < begun.b_se);
    }
}
