//! The dates of an event over all futures, as chances.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::{date_of, day_number};
use crate::quantile::QuantileRule;

/// Where a future without the event stands among the dates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Absent {
    /// After all dates: the event has not come by the end of the reckoning (a hatch, a first frost).
    Late,
    /// Before all dates: nothing was left to come (a last frost).
    Early,
}

/// The distribution of an event's date over futures of equal weight.
///
/// Quantiles are of type 7 ([`QuantileRule::Linear`]) on day numbers over **all** futures, those without the event included; a date
/// between two days is rounded to the nearer, half a day to the later. A quantile that falls among futures without the event, or between
/// one and a date, is `None`.
///
/// # Example
/// ```
/// use groundlore_weather::Odds;
/// use jiff::civil::date;
///
/// let dates = [Some(date(2015, 6, 1)), Some(date(2015, 6, 5)), Some(date(2015, 6, 10)), Some(date(2015, 6, 11)), None];
/// let odds = Odds::from_dates(&dates, date(2015, 6, 3));
/// assert_eq!((odds.p10, odds.p50, odds.p90), (Some(date(2015, 6, 3)), Some(date(2015, 6, 10)), None));
/// assert_eq!((odds.never, odds.past), (0.2, 0.2));
/// assert_eq!(odds.chance_before(date(2015, 6, 10)), 0.4);
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Odds {
    /// The date that one future in ten does not pass.
    pub p10: Option<Date>,
    /// The middle date.
    pub p50: Option<Date>,
    /// The date that nine futures in ten do not pass.
    pub p90: Option<Date>,
    /// Share of futures without the event, 0 to 1.
    pub never: f64,
    /// Share of futures in which the event lies before the date asked on, 0 to 1.
    pub past: f64,
    /// Number of futures.
    pub futures: usize,
    /// Where futures without the event stand.
    pub absent: Absent,
    /// Day numbers of the events, sorted.
    #[serde(skip)]
    days: Vec<i32>,
}

impl Odds {
    /// Odds of an event that is still to come where it is absent. `on` is the date asked on: events before it are past.
    #[must_use]
    pub fn from_dates(dates: &[Option<Date>], on: Date) -> Odds {
        Odds::build(dates, on, Absent::Late)
    }

    /// Odds of a last event, such as the last frost: where it is absent, nothing more came.
    #[must_use]
    pub fn from_last_dates(dates: &[Option<Date>], on: Date) -> Odds {
        Odds::build(dates, on, Absent::Early)
    }

    fn build(dates: &[Option<Date>], on: Date, absent: Absent) -> Odds {
        let mut days: Vec<i32> = dates.iter().flatten().map(|date| day_number(*date)).collect();
        days.sort_unstable();
        let futures = dates.len();
        let share = |count: usize| if futures == 0 { 0.0 } else { count as f64 / futures as f64 };
        let before = days.partition_point(|day| *day < day_number(on));
        let (never, past) = (share(futures - days.len()), share(before));
        let mut odds = Odds { p10: None, p50: None, p90: None, never, past, futures, absent, days };
        odds.p10 = odds.quantile(0.1);
        odds.p50 = odds.quantile(0.5);
        odds.p90 = odds.quantile(0.9);
        odds
    }

    /// A quantile of the dates; `None` where it falls among futures without the event or the probability is not within 0…1.
    #[must_use]
    pub fn quantile(&self, probability: f64) -> Option<Date> {
        let (index, share) = QuantileRule::Linear.place(self.futures, probability)?;
        let low = f64::from(self.day_at(index)?);
        // A share of a billionth is the rounding of (n − 1) p and not a place between two days.
        if share < 1e-9 {
            return Some(date_of(low as i32));
        }
        let high = f64::from(self.day_at(index + 1)?);
        Some(date_of((low + share * (high - low) + 0.5 + 1e-9).floor() as i32))
    }

    /// Chance that the event comes before a date (that day not counted), 0 to 1. Futures without the event count as not coming, or for
    /// [`Absent::Early`] as over.
    #[must_use]
    pub fn chance_before(&self, date: Date) -> f64 {
        if self.futures == 0 {
            return 0.0;
        }
        let dated = self.days.partition_point(|day| *day < day_number(date));
        let over = if self.absent == Absent::Early { self.futures - self.days.len() } else { 0 };
        (dated + over) as f64 / self.futures as f64
    }

    /// Chance that the event comes on a date or before it, 0 to 1.
    #[must_use]
    pub fn chance_by(&self, date: Date) -> f64 {
        self.chance_before(date_of(day_number(date) + 1))
    }

    /// Chance that the event comes after a date, 0 to 1: of a last frost, that one as cold still comes. Futures without the event do not
    /// count.
    #[must_use]
    pub fn chance_after(&self, date: Date) -> f64 {
        if self.futures == 0 {
            return 0.0;
        }
        let later = self.days.len() - self.days.partition_point(|day| *day <= day_number(date));
        later as f64 / self.futures as f64
    }

    /// The event's dates, sorted, one for each future that has it.
    pub fn dates(&self) -> impl Iterator<Item = Date> + '_ {
        self.days.iter().map(|day| date_of(*day))
    }

    /// The day number at a place among all futures.
    fn day_at(&self, index: usize) -> Option<i32> {
        let absent = if self.absent == Absent::Early { self.futures - self.days.len() } else { 0 };
        self.days.get(index.checked_sub(absent)?).copied()
    }
}
