//! What was seen moves the clock: for the yard where it was seen, and by less for its neighbours.
//!
//! A clock misses by some days in each place and year. That miss, its **shift**, has three parts: one shared by the whole book this
//! season, one of the yard's own that near yards share in part, and the doubt of the sight itself:
//!
//! ```text
//! residual = book shift + yard shift + doubt of the sight
//! ```
//!
//! All three are normal with mean 0. Before anything is seen the shift is as uncertain as the model's error and the range of its threshold
//! say; every sight narrows it by Bayes' rule. The spreads of the parts are learned from earlier seasons ([`Spreads::learned`]).
//!
//! An indicator plant (what blooms when it happens) does the same through its correlation with the clock.
//!
//! # Source
//! Conjugate normal model with partial pooling, as Gelman et al. (2013), *Bayesian Data Analysis*, chapter 5; covariance falling off with
//! distance as in kriging (memory). Checked in tests against the closed form for one and two sights.

use crate::clock::days_between;
use crate::event_clock::ClockOdds;
use groundlore_lore::event_clock::{EventClock, Individuals};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What is known of a clock's shift in one yard: normal.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Shift {
    /// Days by which it comes later (or, below 0, earlier) than the clock says.
    pub mean_days: f64,
    /// Standard deviation, days.
    pub sd_days: f64,
}

/// A place on the ground, in metres east and north of any point that all places of the book share.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// Metres east.
    pub east_m: f64,
    /// Metres north.
    pub north_m: f64,
}

impl Place {
    fn distance_m(self, other: Self) -> f64 {
        (self.east_m - other.east_m).hypot(self.north_m - other.north_m)
    }
}

/// One sight of an event, as a residual against what the clock said there.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Seen {
    /// Key of the yard.
    pub yard: String,
    /// Where the yard lies.
    pub place: Place,
    /// Days by which it was seen later (below 0: earlier) than the clock's middle date, see [`residual_days`].
    pub residual_days: f64,
    /// Standard deviation of the sight, days: how well the day of the event is known from it.
    pub doubt_days: f64,
    /// Correlation of what was seen with the clock: 1 for the event itself, [`INDICATOR_CORRELATION`] for an indicator plant.
    pub correlation: f64,
}

/// Doubt of a sight of the event itself, days: between two visits a week apart it came on one of seven days (7/√12).
pub const SIGHT_DOUBT_DAYS: f64 = 2.0;
/// Correlation between the shift of an indicator's clock and that of the event it stands for (memory).
pub const INDICATOR_CORRELATION: f64 = 0.6;
/// Share of the shift's variance that is the book's, where no past season says otherwise (memory).
const BOOK_SHARE: f64 = 0.5;
/// Distance over which the yards' own shifts lose about two thirds of what they share, metres (memory).
const RANGE_M: f64 = 3000.0;
/// Seasons' worth of sights that the prior spread counts for when the book's own are learned from (memory).
const PRIOR_WEIGHT: f64 = 6.0;
/// Most sights that are weighed for one clock; the nearest are taken.
const MOST_SIGHTS: usize = 200;

/// The spreads of a clock's shift before anything is seen this season.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Spreads {
    /// Standard deviation of the part that the whole book shares, days.
    pub book_sd_days: f64,
    /// Standard deviation of a yard's own part, days.
    pub yard_sd_days: f64,
    /// Distance over which yards' own parts lose about two thirds of what they share, metres.
    pub range_m: f64,
}

/// A residual of a past season, for learning.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Past {
    /// Year of the season.
    pub season: i16,
    /// Yard.
    pub yard: String,
    /// Days later (below 0: earlier) than the clock said.
    pub residual_days: i32,
}

impl Spreads {
    /// The spreads that the doubt in a clock implies (its error and the range of its threshold), half of the variance the book's (memory).
    #[must_use]
    pub fn of(odds: &ClockOdds) -> Self {
        Self::of_sd(odds.doubt_sd_days)
    }

    /// The spreads of a shift with a standard deviation in days.
    #[must_use]
    pub fn of_sd(sd_days: f64) -> Self {
        let variance = sd_days * sd_days;
        Self { book_sd_days: (BOOK_SHARE * variance).sqrt(), yard_sd_days: ((1.0 - BOOK_SHARE) * variance).sqrt(), range_m: RANGE_M }
    }

    /// Standard deviation of the whole shift before anything is seen, days.
    #[must_use]
    pub fn sd_days(&self) -> f64 {
        self.book_sd_days.hypot(self.yard_sd_days)
    }

    /// The spreads after past seasons: the variance between seasons and within them, each drawn from the sights and held towards these
    /// spreads as if they were worth six sights. Without past sights nothing changes.
    ///
    /// # Example
    /// ```
    /// # use groundlore_plant_health::observed::*;
    /// let prior = Spreads::of_sd(6.0);
    /// let past: Vec<Past> = (2001..2021)
    ///     .flat_map(|season| ["a", "b"].map(|yard| Past { season, yard: yard.into(), residual_days: if yard == "a" { 1 } else { -1 } }))
    ///     .collect();
    /// assert!(prior.learned(&past).sd_days() < 0.8 * prior.sd_days(), "a clock that has been right is doubted less");
    /// ```
    #[must_use]
    pub fn learned(&self, past: &[Past]) -> Self {
        let mut seasons: std::collections::BTreeMap<i16, Vec<f64>> = std::collections::BTreeMap::new();
        past.iter().for_each(|sight| seasons.entry(sight.season).or_default().push(f64::from(sight.residual_days)));
        let sight_variance = SIGHT_DOUBT_DAYS * SIGHT_DOUBT_DAYS;
        let (mut within, mut within_weight, mut between) = (0.0, 0.0, 0.0);
        for residuals in seasons.values() {
            let n = residuals.len() as f64;
            let mean = residuals.iter().sum::<f64>() / n;
            within += residuals.iter().map(|residual| (residual - mean).powi(2)).sum::<f64>();
            within_weight += n - 1.0;
            // A season's mean carries its yards' own parts and the doubt of its sights.
            between += (mean * mean - (self.yard_sd_days.powi(2) + sight_variance) / n).max(0.0);
        }
        let held = |prior: f64, sum: f64, weight: f64| ((PRIOR_WEIGHT * prior + sum) / (PRIOR_WEIGHT + weight)).sqrt();
        let yards = (within - sight_variance * within_weight).max(0.0);
        Self {
            book_sd_days: held(self.book_sd_days.powi(2), between, seasons.len() as f64),
            yard_sd_days: held(self.yard_sd_days.powi(2), yards, within_weight),
            range_m: self.range_m,
        }
    }
}

/// Days from the clock's middle date to the day of a sight: above 0 where it was seen later than the clock said. None where the clock has
/// no middle date.
///
/// The odds must be those of the yard without any shift, of the share of individuals that the sight speaks of (`…-50` for half of them).
#[must_use]
pub fn residual_days(odds: &ClockOdds, seen_on: Date) -> Option<f64> {
    odds.p50.map(|middle| days_between(middle, seen_on) as f64)
}

/// What somebody saw and wrote down: an event, or the plant that stands for it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sight {
    /// Key of what was seen: of an event (`eastern-tent-caterpillar-hatch-ohio-50`), a clock, or a clock that other clocks name as
    /// their indicator (`callery-pear-first-bloom-ohio`).
    pub what: String,
    /// Key of the yard.
    pub yard: String,
    /// Where the yard lies.
    pub place: Place,
    /// Day on which it was seen.
    pub on: Date,
    /// Standard deviation of the sight, days; [`SIGHT_DOUBT_DAYS`] where nothing else is known.
    pub doubt_days: f64,
}

/// The sights that tell something of a clock: of the clock itself or of any share of its individuals, whole; of its indicator's clock, by
/// [`INDICATOR_CORRELATION`]. Sights of other things are passed over.
///
/// `odds_at` gives the odds of the thing seen at the yard where it was seen, without any shift; none where it cannot.
pub fn seen_of(clock: &EventClock, sights: &[Sight], mut odds_at: impl FnMut(&Sight) -> Option<ClockOdds>) -> Vec<Seen> {
    let indicator = clock.indicator.as_ref().and_then(|indicator| indicator.clock.as_deref());
    let correlation = |what: &str| {
        let share = what.strip_prefix(clock.key.as_str());
        let own = share
            .is_some_and(|share| share.is_empty() || Individuals::SHARES.iter().any(|known| share == format!("-{:.0}", known * 100.0)));
        if own { Some(1.0) } else { (indicator == Some(what)).then_some(INDICATOR_CORRELATION) }
    };
    let told = |sight: &Sight| {
        let correlation = correlation(&sight.what)?;
        let residual_days = residual_days(&odds_at(sight)?, sight.on)?;
        Some(Seen { yard: sight.yard.clone(), place: sight.place, residual_days, doubt_days: sight.doubt_days, correlation })
    };
    sights.iter().filter_map(told).collect()
}

/// What the sights of this season teach about a clock's shift at a yard.
///
/// Without sights it is the prior: mean 0, the spreads' own deviation. Sights in the same yard count most, near ones more than far ones,
/// and all of them tell something of the book's shared part. A sight whose doubt or residual is no number is passed over.
///
/// # Example
/// ```
/// # use groundlore_plant_health::observed::*;
/// let here = Place { east_m: 0.0, north_m: 0.0 };
/// let far = Place { east_m: 40_000.0, north_m: 0.0 };
/// let early = Seen { yard: "mill-lane".into(), place: here, residual_days: -8.0, doubt_days: 2.0, correlation: 1.0 };
/// let spreads = Spreads::of_sd(5.0);
/// let (in_yard, elsewhere) = (shift("mill-lane", here, &[early.clone()], &spreads), shift("hill-top", far, &[early], &spreads));
/// assert!(in_yard.mean_days < elsewhere.mean_days && elsewhere.mean_days < 0.0);
/// assert!(in_yard.sd_days < elsewhere.sd_days && elsewhere.sd_days < spreads.sd_days());
/// ```
#[must_use]
pub fn shift(yard: &str, place: Place, seen: &[Seen], spreads: &Spreads) -> Shift {
    let sights = nearest(place, seen);
    let prior = Shift { mean_days: 0.0, sd_days: spreads.sd_days() };
    if sights.is_empty() || prior.sd_days <= 0.0 {
        return prior;
    }
    let covariance = sights.iter().map(|a| sights.iter().map(|b| between(a, b, spreads)).collect()).collect();
    let Some(root) = cholesky(covariance) else { return prior };
    let to_here: Vec<f64> = sights.iter().map(|sight| sight.correlation * shared(yard, place, &sight.yard, sight.place, spreads)).collect();
    let residuals: Vec<f64> = sights.iter().map(|sight| sight.residual_days).collect();
    // Mean kᵀ(K + D)⁻¹r and variance s² − kᵀ(K + D)⁻¹k, by forward substitution on the root.
    let (half_here, half_seen) = (forward(&root, &to_here), forward(&root, &residuals));
    let mean_days = half_here.iter().zip(&half_seen).map(|(a, b)| a * b).sum();
    let explained: f64 = half_here.iter().map(|a| a * a).sum();
    Shift { mean_days, sd_days: (prior.sd_days.powi(2) - explained).max(0.0).sqrt() }
}

/// The sights that can be weighed, nearest first, at most two hundred.
fn nearest(place: Place, seen: &[Seen]) -> Vec<&Seen> {
    let usable = |sight: &&Seen| {
        let known = sight.residual_days.is_finite() && sight.place.east_m.is_finite() && sight.place.north_m.is_finite();
        known && sight.doubt_days > 0.0 && sight.doubt_days.is_finite() && (-1.0..=1.0).contains(&sight.correlation)
    };
    let mut sights: Vec<&Seen> = seen.iter().filter(usable).collect();
    sights.sort_by(|a, b| a.place.distance_m(place).total_cmp(&b.place.distance_m(place)).then_with(|| a.yard.cmp(&b.yard)));
    sights.truncate(MOST_SIGHTS);
    sights
}

/// Covariance of the shifts of two yards, days².
fn shared(yard: &str, place: Place, other: &str, other_place: Place, spreads: &Spreads) -> f64 {
    let near = if yard == other { 1.0 } else { (-place.distance_m(other_place) / spreads.range_m.max(1.0)).exp() };
    spreads.book_sd_days.powi(2) + near * spreads.yard_sd_days.powi(2)
}

/// Covariance of two sights, days²: of what they saw, and of the doubt where they are the same.
fn between(a: &Seen, b: &Seen, spreads: &Spreads) -> f64 {
    let shared = shared(&a.yard, a.place, &b.yard, b.place, spreads);
    // Two sights of the same thing share their shift whole; an indicator and the event only by the correlation.
    let alike = if (a.correlation - b.correlation).abs() < 1e-12 { 1.0 } else { a.correlation * b.correlation };
    let doubt = if std::ptr::eq(a, b) { a.doubt_days.powi(2) } else { 0.0 };
    alike * shared + doubt
}

/// Lower root of a symmetric positive matrix; none where it is not positive.
fn cholesky(mut matrix: Vec<Vec<f64>>) -> Option<Vec<Vec<f64>>> {
    for i in 0..matrix.len() {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|k| matrix[i][k] * matrix[j][k]).sum();
            let rest = matrix[i][j] - sum;
            if i == j {
                if rest.is_nan() || rest <= 0.0 {
                    return None;
                }
                matrix[i][i] = rest.sqrt();
            } else {
                matrix[i][j] = rest / matrix[j][j];
            }
        }
    }
    Some(matrix)
}

/// Solves L x = b for a lower root L.
fn forward(root: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let mut x: Vec<f64> = Vec::with_capacity(b.len());
    for (row, value) in root.iter().zip(b) {
        let sum: f64 = row.iter().zip(&x).map(|(a, x)| a * x).sum();
        x.push((value - sum) / row[x.len()]);
    }
    x
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const HERE: Place = Place { east_m: 0.0, north_m: 0.0 };

    fn at(yard: &str, east_m: f64, residual_days: f64) -> Seen {
        Seen { yard: yard.into(), place: Place { east_m, north_m: 0.0 }, residual_days, doubt_days: 2.0, correlation: 1.0 }
    }

    #[test]
    fn one_sight_in_the_yard_is_the_textbook_update() {
        // Normal prior N(0, 25), one sight of −8 with variance 4: mean −8·25/29, variance 25·4/29.
        let shift = shift("a", HERE, &[at("a", 0.0, -8.0)], &Spreads::of_sd(5.0));
        assert!((shift.mean_days + 8.0 * 25.0 / 29.0).abs() < 1e-9);
        assert!((shift.sd_days.powi(2) - 100.0 / 29.0).abs() < 1e-9);
    }

    #[test]
    fn a_far_yard_learns_the_books_part_only() {
        // Covariance with the sight is 12.5 of 25 + 4.
        let shift = shift("b", Place { east_m: 1e9, north_m: 0.0 }, &[at("a", 0.0, -8.0)], &Spreads::of_sd(5.0));
        assert!((shift.mean_days + 8.0 * 12.5 / 29.0).abs() < 1e-9);
        assert!((shift.sd_days.powi(2) - (25.0 - 12.5 * 12.5 / 29.0)).abs() < 1e-9);
    }

    #[test]
    fn two_sights_in_one_yard_count_as_their_mean() {
        // Two sights of variance 4 are one of variance 2.
        let shift = shift("a", HERE, &[at("a", 0.0, -8.0), at("a", 0.0, -4.0)], &Spreads::of_sd(5.0));
        assert!((shift.mean_days + 6.0 * 25.0 / 27.0).abs() < 1e-9, "{}", shift.mean_days);
        assert!((shift.sd_days.powi(2) - 50.0 / 27.0).abs() < 1e-9);
    }

    #[test]
    fn sights_that_are_no_numbers_are_passed_over() {
        let wrong = [f64::NAN, f64::INFINITY].map(|residual| at("a", 0.0, residual));
        assert_eq!(shift("a", HERE, &wrong, &Spreads::of_sd(5.0)), Shift { mean_days: 0.0, sd_days: Spreads::of_sd(5.0).sd_days() });
    }

    #[test]
    fn past_seasons_that_missed_widely_widen_the_spread() {
        let prior = Spreads::of_sd(4.0);
        let past: Vec<Past> =
            (2001..2016).map(|season| Past { season, yard: "a".into(), residual_days: if season % 2 == 0 { 14 } else { -14 } }).collect();
        assert!(prior.learned(&past).sd_days() > 1.5 * prior.sd_days());
        assert_eq!(prior.learned(&[]), prior);
    }
}
