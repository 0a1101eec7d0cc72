//! A book's own confirmed cases beside lore's priors: counts of causes with the weight of a Dirichlet prior.
//!
//! Lore's prior of a cause counts as if it had been seen in so many of [`PRIOR_LETTERS`] letters; each confirmed case adds to its cause. A
//! few cases therefore move a cause a little, and a book with hundreds of them tells its own story.

use groundlore_lore::trouble::Trouble;
use serde::Serialize;
use std::collections::BTreeMap;

/// Letters that lore's prior is worth (memory: the priors are rough shares, known to about a factor of two).
pub const PRIOR_LETTERS: f64 = 60.0;
/// Bounds of the factor on a cause's prior: what was confirmed elsewhere never settles a letter by itself (memory).
const BOUNDS: (f64, f64) = (0.5, 6.0);

/// Confirmed cases by cause, each weighing up to 1 (older ones less).
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ConfirmedCases(pub BTreeMap<String, f64>);

impl ConfirmedCases {
    /// Factor on the prior of each cause: (weight of prior + cases) over what the prior alone would give of as many.
    pub(super) fn factors(&self, troubles: &[&Trouble]) -> Vec<f64> {
        let share = |t: &Trouble| t.prior.middle().max(1e-6);
        let all: f64 = troubles.iter().map(|t| share(t)).sum();
        let weight = |t: &Trouble| self.0.get(&t.key).copied().filter(|n| n.is_finite()).unwrap_or(0.0).max(0.0);
        let cases: f64 = troubles.iter().map(|t| weight(t)).sum();
        let factor = |t: &&Trouble| {
            let expected = share(t) / all;
            (PRIOR_LETTERS * expected + weight(t)) / (expected * (PRIOR_LETTERS + cases))
        };
        troubles.iter().map(|t| factor(t).clamp(BOUNDS.0, BOUNDS.1)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use groundlore_lore::Lore;

    #[test]
    fn cases_move_their_cause_by_their_number_and_none_moves_nothing() {
        let (lore, _) = Lore::built_in_lenient(None);
        let troubles: Vec<&Trouble> = lore.troubles.values().collect();
        assert!(ConfirmedCases::default().factors(&troubles).iter().all(|f| (f - 1.0).abs() < 1e-12));
        let of = |n: f64| {
            let cases = ConfirmedCases([("white-grubs-annual".to_owned(), n)].into());
            let factors = cases.factors(&troubles);
            let place = troubles.iter().position(|t| t.key == "white-grubs-annual").unwrap_or(0);
            (factors[place], factors[(place + 1) % factors.len()])
        };
        let ((one, _), (three, other)) = (of(1.0), of(3.0));
        assert!(1.0 < one && one < three && three <= 6.0, "{one} {three}");
        assert!((60.0 / 63.0 - 1e-12..1.0).contains(&other));
        assert!(of(1e6).0 <= 6.0 && of(1e6).1 >= 0.5, "bounded");
        assert!((of(f64::NAN).0 - 1.0).abs() < 1e-12);
    }
}
