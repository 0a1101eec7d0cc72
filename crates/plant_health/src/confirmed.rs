//! A firm's own confirmed cases, answered again: has the tool become better?
//!
//! Each case is a letter whose cause is known now. It is answered anew and scored by its rank, its class of action and the Brier score of
//! all its causes. Two runs are set against each other on the cases that both hold, so that new cases cannot pass for a better tool.

use crate::letter::Answer;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use serde::{Deserialize, Serialize};
use statrs::distribution::{Binomial, DiscreteCDF};

/// One case answered again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CaseScore {
    /// Number of the letter.
    pub letter: i64,
    /// Key of the confirmed cause.
    pub truth: String,
    /// Place of the cause among the answers, from 1; none where it was not among them.
    pub rank: Option<usize>,
    /// Probability given to it.
    pub probability: f64,
    /// Likeliest cause named.
    pub named: String,
    /// Probability given to that one; none where help came first, and in runs kept before this was.
    #[serde(default)]
    pub named_probability: Option<f64>,
    /// Was the class of action the one that the confirmed cause asks for?
    pub action_right: bool,
    /// Sum over the causes of (probability − truth)²: 0 at best, 2 at worst.
    pub brier: f64,
}

/// Scores an answer. `right` says whether a cause's key is the truth (or one of its kind), `wanted` whether a class of action, in words, fits.
pub fn score(letter: i64, truth: &str, answer: &Answer, right: impl Fn(&str) -> bool, wanted: impl Fn(&str) -> bool) -> CaseScore {
    let rank = answer.causes.iter().position(|c| right(&c.key)).map(|place| place + 1);
    let probability: f64 = answer.causes.iter().filter(|c| right(&c.key)).map(|c| c.probability).sum();
    let others: f64 = answer.causes.iter().filter(|c| !right(&c.key)).map(|c| c.probability.powi(2)).sum();
    CaseScore {
        letter,
        truth: truth.to_owned(),
        rank,
        probability,
        named: answer.causes.first().map_or_else(|| "nothing: help came first".to_owned(), |c| c.key.clone()),
        named_probability: answer.causes.first().map(|c| c.probability),
        action_right: wanted(answer.action.class.words()),
        brier: (1.0 - probability).powi(2) + others,
    }
}

/// A share or a mean with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// Middle.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A share of `n` and its 95 % interval.
///
/// # Source
/// Wilson (1927), *J. Am. Stat. Assoc.* 22:209 (memory).
///
/// ```
/// # use groundlore_plant_health::confirmed::share_of;
/// let found = share_of(8, 10);
/// assert!((found.low - 0.4902).abs() < 1e-4 && (found.high - 0.9433).abs() < 1e-4);
/// ```
pub fn share_of(hits: usize, n: usize) -> Estimate {
    if n == 0 {
        return Estimate { value: f64::NAN, low: 0.0, high: 1.0 };
    }
    const Z: f64 = 1.959_963_984_540_054;
    let (n, hits) = (n as f64, hits as f64);
    let p = hits / n;
    let centre = (p + Z * Z / (2.0 * n)) / (1.0 + Z * Z / n);
    let half = Z * (p * (1.0 - p) / n + Z * Z / (4.0 * n * n)).sqrt() / (1.0 + Z * Z / n);
    Estimate { value: p, low: centre - half, high: centre + half }
}

/// Mean with the percentiles of 2,000 resampled means (seeded).
fn mean_of(values: &[f64]) -> Estimate {
    const DRAWS: usize = 2_000;
    let n = values.len();
    let mean = values.iter().sum::<f64>() / n.max(1) as f64;
    if n < 2 {
        return Estimate { value: mean, low: f64::NEG_INFINITY, high: f64::INFINITY };
    }
    let mut random = ChaCha8Rng::seed_from_u64(20_150_817);
    let mut means: Vec<f64> =
        (0..DRAWS).map(|_| (0..n).map(|_| values[(random.next_u64() % n as u64) as usize]).sum::<f64>() / n as f64).collect();
    means.sort_by(f64::total_cmp);
    Estimate { value: mean, low: means[DRAWS / 40], high: means[DRAWS - 1 - DRAWS / 40] }
}

/// How a list of cases came out, 95 % intervals.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// Cases.
    pub cases: usize,
    /// The confirmed cause stood first.
    pub top1: Estimate,
    /// It stood among the first three.
    pub top3: Estimate,
    /// The class of action was right.
    pub action: Estimate,
    /// Mean Brier score; its interval is None for fewer than two cases.
    pub brier: f64,
    /// Interval of the Brier score, by resampled cases.
    pub brier_interval: Option<(f64, f64)>,
}

/// Sums up a run.
pub fn summary(cases: &[CaseScore]) -> Summary {
    let n = cases.len();
    let count = |hit: &dyn Fn(&CaseScore) -> bool| share_of(cases.iter().filter(|c| hit(c)).count(), n);
    let brier = mean_of(&cases.iter().map(|c| c.brier).collect::<Vec<_>>());
    Summary {
        cases: n,
        top1: count(&|c| c.rank == Some(1)),
        top3: count(&|c| c.rank.is_some_and(|r| r <= 3)),
        action: count(&|c| c.action_right),
        brier: brier.value,
        brier_interval: (n > 1).then_some((brier.low, brier.high)),
    }
}

/// Cases whose likeliest cause was given a probability within a band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// Mean probability that was given.
    pub given: f64,
    /// Share in which that cause was the confirmed one, with its interval.
    pub right: Estimate,
    /// Cases.
    pub cases: usize,
}

/// Ends of the bands of probability.
const BANDS: [f64; 6] = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0];

/// How honest the probabilities are: by band, what was given and how often it was right. Bands without a case are left out.
///
/// ```
/// # use groundlore_plant_health::confirmed::{CaseScore, reliability};
/// let case = |p: f64, rank| CaseScore {
///     letter: 1, truth: "t".into(), rank, probability: p, named: "t".into(), named_probability: Some(p), action_right: true, brier: 0.1,
/// };
/// let bands = reliability(&[case(0.9, Some(1)), case(0.85, Some(2)), case(0.3, Some(1))]);
/// assert_eq!(bands.iter().map(|b| b.cases).collect::<Vec<_>>(), [1, 2]);
/// assert!((bands[1].right.value - 0.5).abs() < 1e-12 && (bands[1].given - 0.875).abs() < 1e-12);
/// ```
pub fn reliability(cases: &[CaseScore]) -> Vec<Band> {
    let told: Vec<(f64, bool)> = cases.iter().filter_map(|c| Some((c.named_probability?, c.rank == Some(1)))).collect();
    let band = |ends: &[f64]| {
        let here: Vec<&(f64, bool)> =
            told.iter().filter(|(p, _)| (*p >= ends[0] && *p < ends[1]) || (ends[1] >= 1.0 && *p >= 1.0)).collect();
        let hits = here.iter().filter(|(_, right)| *right).count();
        let given = here.iter().map(|(p, _)| p).sum::<f64>() / here.len().max(1) as f64;
        (!here.is_empty()).then(|| Band { given, right: share_of(hits, here.len()), cases: here.len() })
    };
    BANDS.windows(2).filter_map(band).collect()
}

/// One run against another, on the cases of both.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Against {
    /// Cases that both runs hold, with the same truth.
    pub cases: usize,
    /// Letters whose cause stands first now and did not then.
    pub gained: Vec<i64>,
    /// Letters whose cause stood first then and does not now.
    pub lost: Vec<i64>,
    /// Two-sided exact p of gains against losses (McNemar); 1 where none moved.
    pub p_value: f64,
    /// Mean fall of the Brier score: above 0 is better now.
    pub brier_fell: f64,
    /// Its 95 % interval, by resampled cases; None for fewer than two.
    pub brier_fell_interval: Option<(f64, f64)>,
}

impl Against {
    /// What may be said, in a sentence.
    pub fn words(&self) -> String {
        let moved = format!("{} gained, {} lost of {} cases that both runs hold", self.gained.len(), self.lost.len(), self.cases);
        let sure = self.brier_fell_interval.map(|(low, high)| (low > 0.0, high < 0.0));
        match (sure, self.p_value < 0.05) {
            _ if self.cases == 0 => "No case stands in both runs: nothing can be compared.".to_owned(),
            (Some((true, _)), _) => format!("Better than the run before: {moved}; its probabilities are surer of the truth."),
            (Some((_, true)), _) => format!("Worse than the run before: {moved}; its probabilities are less sure of the truth."),
            (_, true) if self.gained.len() > self.lost.len() => format!("Better than the run before: {moved}."),
            (_, true) => format!("Worse than the run before: {moved}."),
            _ => format!("No difference that these cases can show: {moved}."),
        }
    }
}

/// Sets a run against an earlier one.
pub fn against(now: &[CaseScore], then: &[CaseScore]) -> Against {
    let both: Vec<(&CaseScore, &CaseScore)> =
        now.iter().filter_map(|n| then.iter().find(|t| t.letter == n.letter && t.truth == n.truth).map(|t| (n, t))).collect();
    let first = |c: &CaseScore| c.rank == Some(1);
    let letters = |keep: &dyn Fn(&CaseScore, &CaseScore) -> bool| both.iter().filter(|(n, t)| keep(n, t)).map(|(n, _)| n.letter).collect();
    let gained: Vec<i64> = letters(&|n, t| first(n) && !first(t));
    let lost: Vec<i64> = letters(&|n, t| !first(n) && first(t));
    // A score that is kept as text comes back a rounding apart: that is no change.
    let change = |n: &CaseScore, t: &CaseScore| if (t.brier - n.brier).abs() < 1e-9 { 0.0 } else { t.brier - n.brier };
    let fell = mean_of(&both.iter().map(|(n, t)| change(n, t)).collect::<Vec<_>>());
    Against {
        cases: both.len(),
        p_value: sign_test(gained.len(), lost.len()),
        gained,
        lost,
        brier_fell: fell.value,
        brier_fell_interval: (both.len() > 1).then_some((fell.low, fell.high)),
    }
}

/// Two-sided exact sign test of `a` against `b`.
fn sign_test(a: usize, b: usize) -> f64 {
    let n = a + b;
    let Some(coin) = Binomial::new(0.5, n as u64).ok().filter(|_| n > 0) else { return 1.0 };
    (2.0 * coin.cdf(a.min(b) as u64)).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(letter: i64, rank: Option<usize>, brier: f64) -> CaseScore {
        CaseScore {
            letter,
            truth: "t".into(),
            rank,
            probability: 0.5,
            named: "x".into(),
            named_probability: Some(0.5),
            action_right: rank == Some(1),
            brier,
        }
    }

    #[test]
    fn a_summary_counts_what_it_says() {
        let found = summary(&[case(1, Some(1), 0.1), case(2, Some(3), 0.6), case(3, None, 1.4), case(4, Some(1), 0.3)]);
        assert_eq!((found.cases, found.top1.value, found.top3.value, found.action.value), (4, 0.5, 0.75, 0.5));
        assert!((found.brier - 0.6).abs() < 1e-12);
        assert!(found.brier_interval.is_some_and(|(low, high)| (0.1..0.6).contains(&low) && high > 0.6 && high <= 1.4));
        assert_eq!(summary(&[case(1, Some(1), 0.1)]).brier_interval, None);
    }

    #[test]
    fn runs_are_compared_on_the_cases_of_both() {
        let then: Vec<CaseScore> = (0..10).map(|i| case(i, Some(2), 0.8)).collect();
        let mut now: Vec<CaseScore> = (0..10).map(|i| case(i, Some(1), 0.3)).collect();
        now.push(case(99, Some(2), 1.9));
        let found = against(&now, &then);
        assert_eq!((found.cases, found.gained.len(), found.lost.len()), (10, 10, 0));
        // Ten of ten: 2 · 0.5¹⁰.
        assert!((found.p_value - 2.0 * 0.5_f64.powi(10)).abs() < 1e-12);
        assert!((found.brier_fell - 0.5).abs() < 1e-12 && found.words().starts_with("Better"));
        assert!(against(&then, &now).words().starts_with("Worse"));
        assert!(against(&then, &then).words().starts_with("No difference"));
        let rounded: Vec<CaseScore> = then.iter().map(|c| CaseScore { brier: c.brier - 1e-16, ..c.clone() }).collect();
        assert!(against(&rounded, &then).words().starts_with("No difference"));
        assert!(against(&now[10..], &then).words().starts_with("No case"));
    }
}
