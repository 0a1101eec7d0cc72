//! Lore's causes as arrays, made once: which cause lists which finding, the hosts of each cause as read, and the remedies they share.

use super::likeness::Likeness;
use crate::letter::host::{HostKind, HostWord, find, host_word};
use crate::letter::pattern::Pattern;
use crate::letter::words::sentences;
use groundlore_lore::Lore;
use std::collections::{BTreeSet, HashMap};

/// A share that a cause lists for a finding.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Listed {
    /// Place of the cause, in the order of lore's troubles.
    pub(crate) cause: usize,
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) published: bool,
}

/// Causes as arrays, in the order of lore's troubles.
#[derive(Debug, Clone, Default)]
pub struct CauseTable {
    listed: HashMap<String, Vec<Listed>>,
    hosts: Vec<Vec<HostWord>>,
    first_control: Vec<Option<usize>>,
    controls: Vec<Vec<usize>>,
    of_turf_alone: BTreeSet<String>,
    likeness: Likeness,
}

impl CauseTable {
    /// Reads the causes of lore; `patterns` are the findings' patterns, by the finding's place in lore.
    pub(crate) fn new(lore: &Lore, patterns: &[(usize, Pattern)]) -> Self {
        let mut table = Self::default();
        let places: HashMap<&str, usize> = lore.controls.keys().enumerate().map(|(i, k)| (k.as_str(), i)).collect();
        for (cause, trouble) in lore.troubles.values().enumerate() {
            for l in &trouble.findings {
                let row = Listed { cause, low: l.low, high: l.high, published: l.source.is_published() };
                table.listed.entry(l.finding.clone()).or_default().push(row);
            }
            table.hosts.push(trouble.hosts.iter().map(|word| host_word(word)).collect());
            let controls: Vec<usize> = trouble.action.controls.iter().filter_map(|k| places.get(k.as_str()).copied()).collect();
            table.first_control.push(controls.first().copied());
            table.controls.push(controls);
        }
        let turf = BTreeSet::from([HostKind::Lawn]);
        let of_turf = lore.findings.values().filter(|f| find(&sentences(&f.name)).kinds == turf);
        table.likeness = Likeness::new(lore, patterns);
        table.of_turf_alone = of_turf.map(|f| f.key.clone()).collect();
        table
    }

    /// Bags of words of the causes.
    pub(crate) fn likeness(&self) -> &Likeness {
        &self.likeness
    }

    /// Causes that list a finding.
    pub(crate) fn listing(&self, finding: &str) -> &[Listed] {
        self.listed.get(finding).map_or(&[], Vec::as_slice)
    }

    /// Hosts of a cause.
    pub(crate) fn hosts(&self, cause: usize) -> &[HostWord] {
        &self.hosts[cause]
    }

    /// True where the first remedy of one of two causes is a remedy of the other.
    pub(crate) fn share_remedy(&self, a: usize, b: usize) -> bool {
        let serves = |x: usize, y: usize| {
            let first = self.first_control.get(x).copied().flatten();
            first.is_some_and(|c| self.controls.get(y).is_some_and(|all| all.contains(&c)))
        };
        serves(a, b) || serves(b, a)
    }

    /// True where the finding's own words are of turf alone.
    pub(crate) fn of_turf_alone(&self, finding: &str) -> bool {
        self.of_turf_alone.contains(finding)
    }
}
