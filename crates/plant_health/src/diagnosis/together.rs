//! Two causes at work at once: a lawn with grubs may be thirsty too.
//!
//! Causes are independent given the case; a sign that both may bring on comes by a noisy-or over what would be seen anyway, and a cause
//! under which a sign is rarer than usual takes away that usual part only, not the other's share. Each pair is weighed against the single
//! causes; three and more at once are left to the next look.

use super::{Evidence, Field, Presence};
use serde::{Deserialize, Serialize};

/// Chance that a second cause that lore holds is at work in a case beside the first: judgement, marked `memory`.
const SECOND_CAUSE: f64 = 0.2;
/// A finding counts as speaking for a cause where it is this many times likelier than with none.
const SPEAKS_FOR: f64 = 1.5;
/// Most causes that are paired.
const MOST: usize = 24;
/// Least chance at which a pair is told.
const WORTH_TELLING: f64 = 0.1;

/// Two causes that may both be at work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Together {
    /// Keys of the two, the likelier first.
    pub causes: [String; 2],
    /// Their names.
    pub names: [String; 2],
    /// Chance that both are at work, 0–1.
    pub probability: f64,
    /// Signs that speak for the first and hardly for the second, then the other way round.
    pub signs: [Vec<String>; 2],
}

/// Beliefs over single causes and pairs of causes; all make 1 together.
#[derive(Debug, Clone)]
pub(super) struct Beliefs {
    /// Chance that a cause is alone at work, in field order, the leak last.
    pub(super) alone: Vec<f64>,
    /// Chance that both of two are at work.
    pub(super) pairs: Vec<(usize, usize, f64)>,
}

impl Beliefs {
    /// Chance that a cause is at work, alone or with another.
    pub(super) fn present(&self, i: usize) -> f64 {
        self.alone[i] + self.pairs.iter().filter(|(a, b, _)| *a == i || *b == i).map(|(_, _, p)| p).sum::<f64>()
    }

    /// Chance that a cause is the main one: a pair counts for each by its belief alone.
    pub(super) fn main(&self) -> Vec<f64> {
        let mut main = self.alone.clone();
        for (a, b, p) in &self.pairs {
            let both = self.alone[*a] + self.alone[*b];
            let share = if both > 0.0 { self.alone[*a] / both } else { 0.5 };
            main[*a] += p * share;
            main[*b] += p * (1.0 - share);
        }
        main
    }
}

/// Weighs pairs against the single causes. `log_weights` are those of the single causes with their evidence, `log_priors` without it, both
/// in field order with the leak last.
pub(super) fn beliefs(log_priors: &[f64], log_weights: &[f64], evidence: &[Evidence<'_>]) -> Beliefs {
    let leak = log_weights.len() - 1;
    let prior = Field::normalised(log_priors);
    let mut sets: Vec<(usize, Option<usize>, f64)> = log_weights.iter().enumerate().map(|(i, w)| (i, None, *w)).collect();
    let live = paired(log_weights, evidence, leak);
    for (place, &a) in live.iter().enumerate() {
        for &b in &live[place + 1..] {
            let told = evidence.iter().map(|e| e.weight * both(e, a, b, leak)).sum::<f64>();
            // Independent causes: the prior of the pair is the prior of one times the chance of the other beside it.
            sets.push((a, Some(b), log_priors[a] + (SECOND_CAUSE * prior[b]).max(1e-12).ln() + told));
        }
    }
    let chances = Field::normalised(&sets.iter().map(|s| s.2).collect::<Vec<_>>());
    let mut found = Beliefs { alone: vec![0.0; leak + 1], pairs: Vec::new() };
    for ((a, b, _), chance) in sets.iter().zip(chances) {
        match b {
            None => found.alone[*a] = chance,
            Some(b) => found.pairs.push((*a, *b, chance)),
        }
    }
    found
}

/// Causes worth pairing: the likeliest, and those that explain some sign best.
fn paired(log_weights: &[f64], evidence: &[Evidence<'_>], leak: usize) -> Vec<usize> {
    let best = |score: &dyn Fn(usize) -> f64, most: usize| {
        let mut order: Vec<usize> = (0..leak).collect();
        order.sort_by(|a, b| score(*b).total_cmp(&score(*a)).then(a.cmp(b)));
        order.truncate(most);
        order
    };
    let mut live = best(&|i| log_weights[i], 10);
    for e in evidence.iter().filter(|e| there(e)) {
        // What is said most plainly, weighed by how likely the cause is at all.
        live.extend(best(&|i| e.weight * (e.log_likelihood[i] - e.log_likelihood[leak]) + 0.3 * log_weights[i].max(-60.0) / 10.0, 3));
    }
    let mut seen = std::collections::BTreeSet::new();
    live.retain(|i| seen.insert(*i));
    live.truncate(MOST);
    live
}

fn there(e: &Evidence<'_>) -> bool {
    e.weight > 0.3 && e.told.iter().any(|u| u.present == Presence::Yes)
}

/// ln chance of what was told under two causes at once.
fn both(e: &Evidence<'_>, a: usize, b: usize, leak: usize) -> f64 {
    let absent = e.told.iter().all(|u| u.present == Presence::No);
    let share = |i: usize| {
        let p = e.log_likelihood[i].exp();
        if absent { 1.0 - p } else { p }
    };
    let p = either_brings(share(a), share(b), share(leak));
    (if absent { 1.0 - p } else { p }).clamp(1e-4, 1.0).ln()
}

/// Chance of a sign under two causes: what is seen anyway is the least of the three, and each cause brings its own part over the usual.
fn either_brings(a: f64, b: f64, usual: f64) -> f64 {
    let excess = |p: f64| ((p - usual) / (1.0 - usual).max(1e-9)).max(0.0);
    let anyway = usual.min(a).min(b);
    1.0 - (1.0 - anyway) * (1.0 - excess(a)) * (1.0 - excess(b))
}

/// The pairs worth telling, likeliest first: each of the two must be spoken for by a sign that the other hardly explains.
pub(super) fn told(field: &Field<'_>, beliefs: &Beliefs, evidence: &[Evidence<'_>]) -> Vec<Together> {
    let leak = beliefs.alone.len() - 1;
    let signs = |a: usize, b: usize| -> Vec<String> {
        let gain = |e: &Evidence<'_>, i: usize| e.log_likelihood[i] - e.log_likelihood[leak];
        evidence
            .iter()
            .filter(|e| there(e) && gain(e, a) > SPEAKS_FOR.ln() && gain(e, a) > gain(e, b) + SPEAKS_FOR.ln())
            .filter_map(|e| e.told.first().map(|u| u.name.clone()))
            .collect()
    };
    let mut all: Vec<Together> = beliefs
        .pairs
        .iter()
        .filter(|(_, _, p)| *p >= WORTH_TELLING)
        .filter_map(|(a, b, p)| {
            let (a, b) = if beliefs.present(*a) >= beliefs.present(*b) { (*a, *b) } else { (*b, *a) };
            let told = [signs(a, b), signs(b, a)];
            (told.iter().all(|s| !s.is_empty())).then(|| Together {
                causes: [field.troubles[a].key.clone(), field.troubles[b].key.clone()],
                names: [field.troubles[a].name.clone(), field.troubles[b].name.clone()],
                probability: *p,
                signs: told,
            })
        })
        .collect();
    all.sort_by(|x, y| y.probability.total_cmp(&x.probability));
    all
}

#[cfg(test)]
mod tests {
    use super::either_brings;
    use crate::network::noisy_or;

    #[test]
    fn two_causes_that_both_bring_a_sign_are_a_noisy_or_over_what_is_usual() {
        // Shares under each cause alone are noisy-ors of the usual share and the cause's own link.
        for (usual, a, b) in [(0.05, 0.8, 0.3), (0.2, 0.6, 0.0), (0.01, 0.0, 0.0)] {
            let alone = |link: f64| noisy_or(usual, &[link]);
            assert!((either_brings(alone(a), alone(b), usual) - noisy_or(usual, &[a, b])).abs() < 1e-12);
        }
    }

    #[test]
    fn a_cause_that_makes_a_sign_rare_takes_away_only_what_is_usual() {
        assert!((either_brings(0.05, 0.05, 0.3) - 0.05).abs() < 1e-12);
        let drought_and_grubs = either_brings(0.05, 0.8, 0.25);
        assert!(drought_and_grubs > 0.7 && drought_and_grubs < 0.8, "{drought_and_grubs}");
    }
}
