//! How like a letter's words are to what lore says of each cause: a faint voice for the words that no pattern of a finding caught.
//!
//! Each cause has a bag of stems: its names, its summary, and for each sign the stems of its name and of the words that owners use for it, by
//! the sign's share. Rare stems weigh more (Spärck Jones 1972; memory). The likeness is the cosine of the letter's stems with the bag; what
//! counts is by how many standard deviations it stands over the other causes of such a host. It is weak by design: a bag of words knows no
//! negation, so it may raise a cause among those that the signs leave open, and no more.

use crate::letter::pattern::{Pattern, content_stems};
use groundlore_lore::Lore;
use groundlore_lore::trouble::Trouble;
use std::collections::{BTreeMap, HashMap, HashSet};

/// What one standard deviation of likeness adds to the logarithm of the odds (working letters, November 2026).
const A_STANDARD_DEVIATION: f64 = 1.0;
/// Most standard deviations that count, and fewest stems of a letter that say anything.
const MOST: f64 = 3.5;
const FEWEST_STEMS: usize = 4;

/// Bags of stems of the causes, in the order of lore's troubles.
#[derive(Debug, Clone, Default)]
pub(crate) struct Likeness {
    /// For each stem the causes that have it, with the weight in their bag (already times the rarity, over the bag's length).
    by_stem: HashMap<String, Vec<(usize, f64)>>,
    rarity: HashMap<String, f64>,
    causes: usize,
}

impl Likeness {
    pub(crate) fn new(lore: &Lore) -> Self {
        let words: HashMap<&str, HashSet<String>> = lore
            .findings
            .values()
            .map(|f| {
                let said = f.said_as.iter().flat_map(|s| Pattern::compile(s).stems().map(str::to_owned).collect::<Vec<_>>());
                (f.key.as_str(), said.collect())
            })
            .collect();
        let bags: Vec<BTreeMap<String, f64>> = lore.troubles.values().map(|t| bag(lore, t, &words)).collect();
        let n = bags.len() as f64;
        let mut spread: HashMap<String, f64> = HashMap::new();
        for (stem, weight) in bags.iter().flatten() {
            *spread.entry(stem.clone()).or_insert(0.0) += weight;
        }
        let rarity: HashMap<String, f64> = spread.into_iter().map(|(stem, df)| (stem, ((n + 1.0) / (df + 0.5)).ln().max(0.0))).collect();
        let mut by_stem: HashMap<String, Vec<(usize, f64)>> = HashMap::new();
        for (cause, bag) in bags.iter().enumerate() {
            let length = bag.iter().map(|(s, w)| (w * rarity[s]).powi(2)).sum::<f64>().sqrt().max(1e-9);
            for (stem, weight) in bag {
                by_stem.entry(stem.clone()).or_default().push((cause, weight * rarity[stem] / length));
            }
        }
        Self { by_stem, rarity, causes: bags.len() }
    }

    /// What the likeness adds to the logarithm of each cause's weight, in order, and last to the leak's; nothing where the letter has too few
    /// words. `fits` tells how well each cause's hosts fit; `skip` are stems that the host has told already.
    pub(crate) fn log_factors(&self, stems: &[String], skip: &HashSet<String>, fits: &[f64]) -> Option<Vec<f64>> {
        let told: HashSet<&str> = stems.iter().map(String::as_str).filter(|s| self.rarity.contains_key(*s) && !skip.contains(*s)).collect();
        if told.len() < FEWEST_STEMS {
            return None;
        }
        let mut told: Vec<&str> = told.into_iter().collect();
        told.sort_unstable();
        let mut likeness = vec![0.0; self.causes];
        for stem in &told {
            for (cause, weight) in &self.by_stem[*stem] {
                likeness[*cause] += self.rarity[*stem] * weight;
            }
        }
        let among: Vec<f64> = likeness.iter().zip(fits).filter(|(_, fit)| **fit >= 0.1).map(|(l, _)| *l).collect();
        let n = among.len() as f64;
        let mean = among.iter().sum::<f64>() / n.max(1.0);
        let sd = (among.iter().map(|l| (l - mean).powi(2)).sum::<f64>() / n.max(1.0)).sqrt();
        if among.len() < 5 || sd <= 1e-9 {
            return None;
        }
        let factor = |l: f64| A_STANDARD_DEVIATION * ((l - mean) / sd).clamp(-1.0, MOST);
        // The leak stands where a cause would that is a little more like the letter than most.
        Some(likeness.into_iter().map(factor).chain([A_STANDARD_DEVIATION]).collect())
    }
}

fn bag(lore: &Lore, trouble: &Trouble, words: &HashMap<&str, HashSet<String>>) -> BTreeMap<String, f64> {
    let mut bag: BTreeMap<String, f64> = BTreeMap::new();
    let mut put = |stems: Vec<String>, weight: f64| {
        for stem in stems {
            let has = bag.entry(stem).or_insert(0.0);
            *has = has.max(weight);
        }
    };
    put(content_stems(&trouble.name), 1.0);
    trouble.also_called.iter().for_each(|name| put(content_stems(name), 1.0));
    put(content_stems(&trouble.summary), 0.7);
    for l in &trouble.findings {
        let share = f64::midpoint(l.low, l.high);
        let Some(finding) = lore.findings.get(&l.finding).filter(|_| share >= 0.2) else { continue };
        put(content_stems(&finding.name), share);
        put(words.get(l.finding.as_str()).into_iter().flatten().cloned().collect(), 0.6 * share);
    }
    for other in &trouble.look_alikes {
        put(content_stems(&other.how), 0.25);
    }
    bag
}
