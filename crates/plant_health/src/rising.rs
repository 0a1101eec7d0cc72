//! What is rising: letters of a week by cause, against what the season and the book's own past lead one to expect.
//!
//! A resting-moth flight in July is expected in July: many letters about it are no outbreak. What is expected of a cause is the sum over the
//! week's letters of its chance before their signs are read (host, season, weather alone), drawn toward the book's own rate at this time of
//! earlier years; what is seen is the sum of its chances after.

use crate::diagnosis::Cause;
use serde::Serialize;
use statrs::distribution::{DiscreteCDF, Poisson};
use std::collections::BTreeMap;

/// Least chance of so many letters or more, by luck alone, under which a cause counts as rising.
pub const BY_LUCK: f64 = 0.05;
/// Fewest letters that make a rise.
pub const FEWEST: f64 = 3.0;

/// What the book's own past says of a cause at this time of year.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Past {
    /// Letters that it caused then, in all earlier years.
    pub letters: f64,
    /// Weeks over which they were counted.
    pub weeks: f64,
}

/// One cause over the week.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rise {
    /// Key in lore.
    pub cause: String,
    /// Name.
    pub name: String,
    /// True for what harms nothing.
    pub harmless: bool,
    /// Letters that it caused this week: the sum of its chances.
    pub letters: f64,
    /// Letters that were to be expected.
    pub expected: f64,
    /// Chance of so many or more by luck, 0–1.
    pub by_luck: f64,
    /// True where it is rising.
    pub rising: bool,
}

/// Causes over the letters of a week, most letters first; `past` holds the book's own rate by cause.
pub fn over_the_week<'a>(letters: impl IntoIterator<Item = &'a [Cause]>, past: &BTreeMap<String, Past>) -> Vec<Rise> {
    let mut by_cause: BTreeMap<&str, (&Cause, f64, f64)> = BTreeMap::new();
    for causes in letters {
        for cause in causes.iter().filter(|c| c.key != crate::diagnosis::SOMETHING_ELSE) {
            let entry = by_cause.entry(&cause.key).or_insert((cause, 0.0, 0.0));
            entry.1 += cause.probability;
            entry.2 += cause.expected;
        }
    }
    let mut all: Vec<Rise> = by_cause
        .into_iter()
        .filter(|(_, (_, seen, _))| *seen >= 0.5)
        .map(|(key, (cause, letters, by_lore))| {
            let own = past.get(key).copied().unwrap_or_default();
            // Lore's expectation counts as one week beside the weeks that the book has seen.
            let expected = (by_lore + own.letters) / (1.0 + own.weeks);
            let by_luck = at_least(letters, expected);
            Rise {
                cause: key.to_owned(),
                name: cause.name.clone(),
                harmless: cause.harmless,
                letters,
                expected,
                by_luck,
                rising: letters >= FEWEST && by_luck < BY_LUCK,
            }
        })
        .collect();
    all.sort_by(|a, b| b.letters.total_cmp(&a.letters).then_with(|| a.cause.cmp(&b.cause)));
    all
}

/// P(as many letters or more) where `expected` are to be expected.
fn at_least(letters: f64, expected: f64) -> f64 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = letters.round().max(0.0) as u64;
    match (whole, Poisson::new(expected.max(1e-9))) {
        (0, _) | (_, Err(_)) => 1.0,
        (n, Ok(poisson)) => poisson.sf(n - 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cause(key: &str, expected: f64, probability: f64) -> Cause {
        Cause {
            key: key.into(),
            name: key.into(),
            scientific: None,
            probability,
            present: probability,
            expected,
            harmless: key == "resting-moths",
            because: Vec::new(),
        }
    }

    #[test]
    fn what_the_season_expects_is_no_outbreak() {
        let week: Vec<Vec<Cause>> = (0..6).map(|_| vec![cause("resting-moths", 0.6, 0.9), cause("billbugs", 0.02, 0.05)]).collect();
        let found = over_the_week(week.iter().map(Vec::as_slice), &BTreeMap::new());
        assert_eq!(found.len(), 1);
        assert!(!found[0].rising, "{found:?}");
        let odd: Vec<Vec<Cause>> = (0..6).map(|_| vec![cause("billbugs", 0.05, 0.9)]).collect();
        assert!(over_the_week(odd.iter().map(Vec::as_slice), &BTreeMap::new())[0].rising);
    }

    #[test]
    fn the_book_s_own_past_is_heard() {
        let week: Vec<Vec<Cause>> = (0..5).map(|_| vec![cause("billbugs", 0.05, 0.9)]).collect();
        let past = BTreeMap::from([("billbugs".to_owned(), Past { letters: 40.0, weeks: 10.0 })]);
        let found = over_the_week(week.iter().map(Vec::as_slice), &past);
        assert!(!found[0].rising && found[0].expected > 3.0, "{found:?}");
    }

    #[test]
    fn the_chance_by_luck_is_the_poisson_tail() {
        // P(X ≥ 3 | mean 1) = 1 − e⁻¹ (1 + 1 + 1/2).
        assert!((at_least(3.0, 1.0) - (1.0 - 2.5 * (-1.0_f64).exp())).abs() < 1e-12);
        assert!((at_least(0.2, 1.0) - 1.0).abs() < 1e-12);
    }
}
