//! A distribution over days, as counts: small, and quick to widen by errors in days.

use groundlore_weather::calendar::{date_of, day_number};
use groundlore_weather::quantile::QuantileRule;
use jiff::civil::Date;
use serde::Serialize;

/// Where the share without the event stands among the days.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Default)]
#[serde(rename_all = "kebab-case")]
pub enum Without {
    /// After all days: it has not come by the end of the season.
    #[default]
    Late,
    /// Before all days: nothing was left to come (a last frost).
    Early,
}

/// The dates of an event as an even sample: so many of the sample on each day, and so many without the event.
///
/// Quantiles are of type 7 over the whole sample, those without the event included; one that falls among those is none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Default)]
pub struct DayOdds {
    /// Day numbers with their counts, in order.
    days: Vec<(i32, u32)>,
    dated: u32,
    undated: u32,
    without: Without,
}

/// The weather's days before any error is added: how many of them fall on each day.
#[derive(Debug, Clone, Default)]
pub(super) struct DayCount {
    first: i32,
    counts: Vec<u32>,
    undated: u32,
}

impl DayCount {
    /// Counts days.
    pub(super) fn of<'a>(days: impl Iterator<Item = &'a Option<i32>> + Clone) -> Self {
        let Some((first, last)) = bounds(days.clone().flatten().copied()) else {
            return Self { first: 0, counts: Vec::new(), undated: u32::try_from(days.count()).unwrap_or(u32::MAX) };
        };
        let mut counted = Self { first, counts: vec![0; usize::try_from(last - first + 1).unwrap_or(0)], undated: 0 };
        for day in days {
            match day {
                Some(day) => counted.counts[usize::try_from(day - first).unwrap_or(0)] += 1,
                None => counted.undated += 1,
            }
        }
        counted
    }
}

/// The least and the greatest of some numbers.
fn bounds(numbers: impl Iterator<Item = i32>) -> Option<(i32, i32)> {
    numbers.fold(None, |held, number| Some(held.map_or((number, number), |(low, high): (i32, i32)| (low.min(number), high.max(number)))))
}

impl DayOdds {
    /// From the weather's days, each moved by each of some steps in days.
    pub(super) fn widened(days: &DayCount, steps: &[f64], without: Without) -> Self {
        // A step is rounded once: all days are whole.
        let moved: Vec<i32> = steps.iter().map(|step| step.round() as i32).collect();
        let per_day = u32::try_from(steps.len()).unwrap_or(u32::MAX);
        let undated = days.undated.saturating_mul(per_day);
        let Some((earliest, latest)) = bounds(moved.iter().copied()).filter(|_| !days.counts.is_empty()) else {
            return Self { days: Vec::new(), dated: 0, undated, without };
        };
        let place = |step: i32| usize::try_from(step - earliest).unwrap_or(0);
        let mut counts = vec![0_u32; days.counts.len() + place(latest)];
        for step in &moved {
            counts[place(*step)..].iter_mut().zip(&days.counts).for_each(|(sum, count)| *sum += count);
        }
        let dated = counts.iter().sum();
        let numbered = (days.first + earliest..).zip(counts).filter(|(_, count)| *count > 0).collect();
        Self { days: numbered, dated, undated, without }
    }

    /// The part on a day or after it; what comes before, or not at all, is left out.
    pub(super) fn from(&self, on: Date) -> Self {
        let on = day_number(on);
        let days: Vec<(i32, u32)> = self.days.iter().copied().filter(|(day, _)| *day >= on).collect();
        let dated = days.iter().map(|(_, count)| count).sum();
        Self { days, dated, undated: 0, without: self.without }
    }

    /// Share of the sample without the event, 0 to 1; 0 for an empty sample.
    #[must_use]
    pub fn never(&self) -> f64 {
        self.share(self.undated)
    }

    /// True where there is no sample at all: the clock waits.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.dated + self.undated == 0
    }

    /// Share of the sample that is dated, 0 to 1.
    pub(super) fn dated_share_of(&self, whole: &Self) -> f64 {
        whole.share(self.dated)
    }

    /// A quantile; none where it falls among those without the event or the probability is not within 0…1.
    #[must_use]
    pub fn quantile(&self, probability: f64) -> Option<Date> {
        let length = usize::try_from(self.dated + self.undated).ok()?;
        let (index, share) = QuantileRule::Linear.place(length, probability)?;
        let low = self.at(index)?;
        // A share of a billionth is the rounding of (n − 1) p and not a place between two days.
        if share < 1e-9 {
            return Some(date_of(low));
        }
        let high = self.at(index + 1)?;
        Some(date_of((f64::from(low) + share * f64::from(high - low) + 0.5 + 1e-9).floor() as i32))
    }

    /// Chance that it has come by the end of a day, 0 to 1; of a last event, that it is over.
    #[must_use]
    pub fn chance_by(&self, date: Date) -> f64 {
        let day = day_number(date);
        let dated: u32 = self.days.iter().take_while(|(known, _)| *known <= day).map(|(_, count)| count).sum();
        self.share(dated + if self.without == Without::Early { self.undated } else { 0 })
    }

    /// Each day with its share of the whole, in order.
    pub fn shares(&self) -> impl Iterator<Item = (Date, f64)> + '_ {
        self.days.iter().map(|(day, count)| (date_of(*day), self.share(*count)))
    }

    fn share(&self, count: u32) -> f64 {
        let all = self.dated + self.undated;
        if all == 0 { 0.0 } else { f64::from(count) / f64::from(all) }
    }

    /// The day at a place of the sorted sample.
    fn at(&self, index: usize) -> Option<i32> {
        let absent = if self.without == Without::Early { self.undated } else { 0 };
        let mut left = u32::try_from(index).ok()?.checked_sub(absent)?;
        self.days.iter().find_map(|(day, count)| {
            if left < *count {
                return Some(*day);
            }
            left -= count;
            None
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use groundlore_weather::Odds;
    use jiff::civil::date;

    #[test]
    fn quantiles_are_those_of_the_weather_crate() {
        let first = day_number(date(2015, 6, 1));
        let days = [Some(first), Some(first + 4), None, Some(first + 9), Some(first + 10), Some(first + 4), None];
        let dates: Vec<Option<Date>> = days.iter().map(|day| day.map(date_of)).collect();
        for (without, odds) in
            [(Without::Late, Odds::from_dates(&dates, date(2015, 1, 1))), (Without::Early, Odds::from_last_dates(&dates, date(2015, 1, 1)))]
        {
            let counted = DayOdds::widened(&DayCount::of(days.iter()), &[0.0], without);
            for p in [0.0, 0.1, 0.25, 0.3, 0.5, 0.7, 0.9, 1.0] {
                assert_eq!(counted.quantile(p), odds.quantile(p), "{p} {without:?}");
            }
            assert_eq!((counted.never(), counted.chance_by(date(2015, 6, 5))), (odds.never, odds.chance_by(date(2015, 6, 5))));
        }
    }

    #[test]
    fn an_empty_sample_has_no_quantile() {
        let none = DayOdds::default();
        assert!(none.is_empty() && none.quantile(0.5).is_none() && none.never() == 0.0);
    }
}
