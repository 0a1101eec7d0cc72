//! Permission to answer *treat*.

use super::Case;
use groundlore_lore::provenance::Standing;
use serde::Serialize;

/// Permission to answer *treat*: it exists only where the thresholds and the efficacy behind the answer were read in a
/// publication or measured here. There is no other way to make one, so a figure from memory or common practice alone can
/// never yield *treat*.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Warrant {
    thresholds: Vec<String>,
    efficacy: Vec<String>,
}

impl Warrant {
    /// Shares of species below this may rest on a remembered threshold.
    const SLIGHT: f64 = 0.05;

    /// A warrant where every species that makes up 5 % or more has a published threshold, and the efficacy is grounded.
    pub(super) fn seek(case: &Case) -> Result<Self, Vec<String>> {
        let mut lacks = Vec::new();
        let mut thresholds = Vec::new();
        for (species, share) in case.split.shares() {
            let Some(threshold) = case.thresholds.iter().find(|t| t.species == species) else { continue };
            if threshold.standing > Standing::Recalled {
                thresholds.push(format!("{species}: {}", threshold.source));
            } else if share >= Self::SLIGHT {
                lacks.push(format!("the threshold of {species} rests on {} alone", threshold.source));
            }
        }
        if thresholds.is_empty() && lacks.is_empty() {
            lacks.push("no published threshold is known".into());
        }
        match case.efficacy {
            Some(belief) if belief.grounded => {}
            Some(_) => lacks.push("what the control does rests on memory or common practice alone".into()),
            None => lacks.push("no control is chosen".into()),
        }
        let efficacy = case.efficacy.map(|b| b.rests_on.clone()).unwrap_or_default();
        if lacks.is_empty() { Ok(Self { thresholds, efficacy }) } else { Err(lacks) }
    }

    /// The published thresholds it rests on.
    pub fn thresholds(&self) -> &[String] {
        &self.thresholds
    }

    /// What the efficacy rests on.
    pub fn efficacy(&self) -> &[String] {
        &self.efficacy
    }
}
