//! How a trouble's counts clump, learned across the book and held to lore: k, and Taylor's law where enough sets were kept.

use crate::{Desk, DeskError};
use groundlore_book::counts::Count;
use groundlore_lore::provenance::{ShareRange, Source};
use groundlore_lore::trouble::{CountMethod, Trouble};
use groundlore_plant_health::density::ThresholdRange;
use groundlore_plant_health::dispersion::learned::{HeldTo, LearnedK, LearnedTaylor, SETS_FOR_TAYLOR, learn_k, learn_taylor};
use groundlore_quantity::Quantity;
use std::collections::BTreeMap;

impl Desk {
    /// How a trouble's counts clump: every kept set of the book that was counted on the method's own sample, held to what lore says.
    /// `except` leaves one session out, so that its counts are not weighed by themselves.
    pub(crate) fn clumping(&self, trouble: &Trouble, except: Option<i64>) -> Result<LearnedK, DeskError> {
        let lore = trouble.count.as_ref().and_then(|m| m.dispersion_k.as_ref()).map(|k| (k.low, k.high));
        Ok(learn_k(&self.sets_of_counts(trouble, except)?, lore))
    }

    /// Taylor's law by the same sets, held to lore's k at the middle of the thresholds; none where too few sets tell a variance.
    pub(crate) fn taylor(
        &self,
        trouble: &Trouble,
        clumping: &LearnedK,
        thresholds: Option<ThresholdRange>,
    ) -> Result<Option<LearnedTaylor>, DeskError> {
        let area = trouble.count.as_ref().and_then(|m| m.sample_area.as_ref()).map(Quantity::si);
        let mean = thresholds.zip(area).map(|(t, area)| (t.low_per_m2 * t.high_per_m2).sqrt() * area);
        let held = lore_k(trouble).zip(mean).map(|(k, mean)| HeldTo { mean, k });
        let law = learn_taylor(&self.sets_of_counts(trouble, None)?, clumping.k, held);
        Ok((law.sets >= SETS_FOR_TAYLOR).then_some(law))
    }

    /// Range of k to reckon with: this book's where its counts say something, else lore's.
    pub(crate) fn k_of(&self, trouble: &Trouble, except: Option<i64>) -> Result<Option<(f64, f64)>, DeskError> {
        let learned = self.clumping(trouble, except)?;
        let lore = trouble.count.as_ref().and_then(|c| c.dispersion_k.as_ref()).map(|k| (k.low, k.high));
        Ok(if learned.sets > 0 { Some((learned.low, learned.high)) } else { lore })
    }

    fn sets_of_counts(&self, trouble: &Trouble, except: Option<i64>) -> Result<Vec<Vec<u64>>, DeskError> {
        let own_m2 = trouble.count.as_ref().and_then(|m| m.sample_area.as_ref()).map(Quantity::si);
        let same_sample = |count: &Count| match (own_m2, count.sample_area_m2) {
            (Some(own), Some(seen)) => (seen / own - 1.0).abs() < 0.02,
            (None, None) => true,
            _ => false,
        };
        let mut sets: BTreeMap<(i64, Option<String>), Vec<u64>> = BTreeMap::new();
        for count in self.book.counts_of_trouble(&trouble.key)? {
            if Some(count.session_id) != except && count.out_of.is_none() && count.nights.is_none() && same_sample(&count) {
                sets.entry((count.session_id, count.stratum.clone())).or_default().push(u64::from(count.count));
            }
        }
        Ok(sets.into_values().collect())
    }
}

/// Middle of lore's k; none where lore has none.
pub(crate) fn lore_k(trouble: &Trouble) -> Option<f64> {
    trouble.count.as_ref().and_then(|m| m.dispersion_k.as_ref()).map(|k| (k.low * k.high).sqrt())
}

/// The learned law with its doubt and what it is drawn towards, in a sentence.
pub(crate) fn taylor_words(law: &LearnedTaylor, lore_k: Option<f64>) -> String {
    let towards = lore_k.map_or_else(
        || "what is usual (a 2, b 1.4; memory), for lore has no k".to_owned(),
        |k| format!("lore's k {k:.2} at the thresholds"),
    );
    format!(
        "Sample sizes, precision and presence by Taylor's law as this book's counts taught it: variance = {:.2} × mean^{:.2} (standard errors: ln a {:.2}, b {:.2}), from {} sets of counts in this book, drawn towards {towards}.",
        law.a, law.b, law.ln_a_se, law.b_se, law.sets
    )
}

/// The method with the clumping that this book's counts taught, where they say anything.
pub(crate) fn taught_method(method: &CountMethod, clumping: &LearnedK) -> CountMethod {
    if clumping.sets == 0 {
        return method.clone();
    }
    let mut source = vec![format!("{} sets of counts in this book", clumping.sets)];
    source.extend(method.dispersion_k.iter().flat_map(|k| k.source.0.clone()));
    let range = ShareRange { low: clumping.low, high: clumping.high, source: Source(source) };
    CountMethod { dispersion_k: Some(range), ..method.clone() }
}
