//! How like a letter's words are to what owners tell of each cause: the ear for what no pattern of a finding catches.
//!
//! Each cause has its tellings (`lore/tellings/`) and, fainter, the words of its entry: its names, its summary, and for each sign the words
//! that owners use for it by the sign's share. A word, or a pair of neighbours, speaks for a cause by the logarithm of how much oftener it is
//! told of that cause than of all (a naive Bayes weight, smoothed and bounded); the sum over the letter is set against the mean of the causes
//! by their standard deviation. Words do not come independently, so that the sum itself would be far too sure: a standard deviation counts
//! for [`A_STANDARD_DEVIATION`], and the whole never for more than the sum. Together with the signs it makes a logarithmic pool
//! (Genest and Zidek 1986; memory), weighted so that what is said agrees with what came true on letters with known causes.

use crate::letter::heard::Heard;
use crate::letter::pattern::Pattern;
use groundlore_lore::Lore;
use groundlore_lore::trouble::Trouble;
use std::collections::{BTreeMap, HashMap, HashSet};

/// What one standard deviation of likeness adds to the logarithm of the odds, and what is left of the signs' and prior's weight beside it
/// (letters to work with of three hands, November 2026).
const A_STANDARD_DEVIATION: f64 = 2.0;
pub(crate) const LEFT_TO_THE_SIGNS: f64 = 0.6;
/// Where the leak stands, in standard deviations: a letter of a cause that lore holds reaches five and more at the middle, one of a cause
/// that it does not three.
const THE_LEAK: f64 = 3.0;
/// How much the words of the entry count beside those of the tellings, and of a sign's patterns beside its name.
const OF_THE_ENTRY: f64 = 0.3;
const OF_A_PATTERN: f64 = 0.5;
/// Smoothing of the shares, and most that one word may say.
const SMOOTHING: f64 = 0.05;
const MOST: f64 = 3.0;
/// A letter of fewer words and pairs than this says less for each standard deviation, by the root of its share.
const WHOLE_LETTER: f64 = 50.0;
/// Fewest words of a letter that say anything.
const FEWEST: usize = 3;

/// What each word speaks for.
#[derive(Debug, Clone, Default)]
pub(crate) struct Likeness {
    /// For each word or pair the causes that it speaks for, with its weight in nats.
    speaks_for: HashMap<String, Vec<(usize, f64)>>,
    causes: usize,
}

/// What a letter's words add to each cause.
pub(crate) struct Voice<'a> {
    /// Logarithm of the factor of each cause, in order, and last of the leak.
    pub(crate) log_factors: Vec<f64>,
    likeness: &'a Likeness,
    heard: &'a Heard,
}

impl Likeness {
    /// From the causes' tellings and entries; `patterns` are the findings' patterns, by the finding's place in lore.
    pub(crate) fn new(lore: &Lore, patterns: &[(usize, Pattern)]) -> Self {
        let mut said: HashMap<&str, HashSet<&str>> = HashMap::new();
        let keys: Vec<&str> = lore.findings.keys().map(String::as_str).collect();
        for (finding, pattern) in patterns {
            said.entry(keys[*finding]).or_default().extend(pattern.stems());
        }
        let mut shares: HashMap<String, Vec<(usize, f64)>> = HashMap::new();
        for (cause, trouble) in lore.troubles.values().enumerate() {
            for (word, share) in bag(lore, trouble, &said) {
                shares.entry(word).or_default().push((cause, share));
            }
        }
        let n = lore.troubles.len() as f64;
        let speaks_for = shares
            .into_iter()
            .map(|(word, of)| {
                let usual = (of.iter().map(|(_, share)| share).sum::<f64>() + 0.3) / n;
                let weight = |share: f64| (share / (usual + SMOOTHING)).ln_1p().min(MOST);
                (word, of.into_iter().map(|(cause, share)| (cause, weight(share))).collect())
            })
            .collect();
        Self { speaks_for, causes: lore.troubles.len() }
    }

    /// What the words add; nothing where too few of them are known.
    pub(crate) fn voice<'a>(&'a self, heard: &'a Heard) -> Option<Voice<'a>> {
        let known = heard.0.keys().filter(|word| self.speaks_for.contains_key(*word)).count();
        if known < FEWEST || self.causes < 2 {
            return None;
        }
        let mut sums = vec![0.0; self.causes];
        for (cause, weight) in heard.0.keys().filter_map(|word| self.speaks_for.get(word)).flatten() {
            sums[*cause] += weight;
        }
        let n = self.causes as f64;
        let mean = sums.iter().sum::<f64>() / n;
        let sd = (sums.iter().map(|s| (s - mean).powi(2)).sum::<f64>() / n).sqrt();
        let top = sums.iter().copied().fold(f64::NEG_INFINITY, f64::max) - mean;
        if sd <= 1e-9 || top <= 0.0 {
            return None;
        }
        // Never more than the words themselves would say, were they independent.
        let length = (heard.0.len() as f64 / WHOLE_LETTER).sqrt().min(1.0);
        let deviation = (A_STANDARD_DEVIATION * length).min(sd);
        let log_factors = sums.iter().map(|s| deviation * (s - mean) / sd).chain([deviation * THE_LEAK]).collect();
        Some(Voice { log_factors, likeness: self, heard })
    }
}

impl Voice<'_> {
    /// The letter's words that say most for a cause, the weightiest first: those of a pair are told once.
    pub(crate) fn words_for(&self, cause: usize, most: usize) -> Vec<String> {
        let weight = |word: &str| {
            self.likeness.speaks_for.get(word).and_then(|all| all.iter().find(|(c, _)| *c == cause)).map_or(0.0, |(_, weight)| *weight)
        };
        let mut said: Vec<(&str, &str, f64)> =
            self.heard.0.iter().map(|(word, shown)| (word.as_str(), shown.as_str(), weight(word))).filter(|w| w.2 > 0.7).collect();
        said.sort_by(|a, b| b.2.total_cmp(&a.2).then_with(|| b.0.len().cmp(&a.0.len())));
        let mut told: Vec<(&str, &str)> = Vec::new();
        for (word, shown, _) in said {
            if told.iter().all(|(other, _)| !word.split(' ').any(|part| other.split(' ').any(|o| o == part))) {
                told.push((word, shown));
            }
            if told.len() == most {
                break;
            }
        }
        told.into_iter().map(|(_, shown)| shown.to_owned()).collect()
    }
}

/// Words of a cause with the share of its tellings that hold each.
fn bag(lore: &Lore, trouble: &Trouble, patterns: &HashMap<&str, HashSet<&str>>) -> BTreeMap<String, f64> {
    let mut entry: BTreeMap<String, f64> = BTreeMap::new();
    let mut put = |words: Vec<String>, weight: f64| {
        for word in words {
            let has = entry.entry(word).or_insert(0.0);
            *has = has.max(weight);
        }
    };
    let heard = |text: &str| Heard::of_lore(text).0.into_keys().collect::<Vec<_>>();
    put(heard(&trouble.name), 1.0);
    trouble.also_called.iter().for_each(|name| put(heard(name), 1.0));
    put(heard(&trouble.summary), 1.0);
    for l in &trouble.findings {
        let share = f64::midpoint(l.low, l.high);
        let Some(finding) = lore.findings.get(&l.finding).filter(|_| share >= 0.2) else { continue };
        put(heard(&finding.name), share);
        put(patterns.get(l.finding.as_str()).into_iter().flatten().map(|s| (*s).to_owned()).collect(), OF_A_PATTERN * share);
    }
    let mut bag: BTreeMap<String, f64> = entry.into_iter().map(|(word, weight)| (word, OF_THE_ENTRY * weight)).collect();
    if let Some(telling) = lore.tellings.get(&trouble.key).filter(|t| !t.told.is_empty()) {
        let each = 1.0 / telling.told.len() as f64;
        for word in telling.told.iter().flat_map(|told| heard(told)) {
            *bag.entry(word).or_insert(0.0) += each;
        }
    }
    bag
}
