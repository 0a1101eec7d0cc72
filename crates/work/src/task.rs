//! The task with a window: what, where, when with odds, why, what it takes, what forbids it, and its cautions. How far a task has come is the
//! book's to say.

use groundlore_quantity::Quantity;
use jiff::civil::Date;
use jiff::{ToSpan as _, Unit};
use serde::{Deserialize, Serialize};

/// One piece of work with the days it may be done on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Task {
    /// Key, unique in the book, made of yard, kind and subject, so that planning again finds the same task.
    pub key: String,
    /// Yard.
    pub yard: String,
    /// What is to be done, as an instruction.
    pub what: String,
    /// Which area, tree or bed.
    pub place: Option<String>,
    /// When.
    pub window: Window,
    /// Why, with figures and sources.
    pub reasons: Vec<Reason>,
    /// What it takes.
    pub takes: Takes,
    /// What forbids it on a given day.
    pub forbids: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// Days on which a task may be done.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Window {
    /// First day.
    pub earliest: Date,
    /// Best day.
    pub best: Date,
    /// Last day.
    pub latest: Date,
    /// Where the dates come from, with their odds in words.
    pub odds: Vec<String>,
    /// Chance that a week's wait misses the window, 0–1, if it can be said.
    pub missed_by_a_week: Option<f64>,
    /// What sets the days.
    #[serde(default)]
    pub timing: Timing,
    /// Days with the chance (0–1) that the window is over by the end of each, in order: by it the chance is told anew on a later day. Empty
    /// where no odds can be given.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub closes: Vec<(Date, f64)>,
    /// Key of the trouble's stage that it follows, so that its days can be told anew by later weather and sights.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stage: Option<String>,
}

/// What sets the days of a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Timing {
    /// The weather of the year: the days have odds.
    Weather,
    /// Days of the calendar, wide for years early and late: nothing this year's weather has moved, so no odds of a wait.
    Calendar,
    /// A fixed reason: a promise, a danger, an interval of days.
    #[default]
    Fixed,
}

/// Days of a wait that is asked about.
const WAIT_DAYS: i64 = 7;

impl Window {
    /// A window that opens and closes on days set by a promise, a danger or an interval: no weather is in it, and so no odds.
    pub fn fixed(earliest: Date, best: Date, latest: Date, why: &str) -> Self {
        let odds = vec![why.to_owned()];
        Self { earliest, best, latest, odds, missed_by_a_week: None, timing: Timing::Fixed, closes: Vec::new(), stage: None }
    }

    /// A window of days of the calendar, which this year's weather has not moved.
    pub fn by_calendar(earliest: Date, best: Date, latest: Date, odds: Vec<String>) -> Self {
        Self { earliest, best, latest, odds, missed_by_a_week: None, timing: Timing::Calendar, closes: Vec::new(), stage: None }
    }

    /// A window that the weather sets. `closes` are days with the chance that it is over by the end of each; days and chances are put in
    /// order, and `today` settles the chance that a week's wait misses it.
    ///
    /// # Example
    /// ```
    /// # use groundlore_work::task::Window;
    /// # use jiff::civil::date;
    /// let closes = vec![(date(2015, 8, 20), 0.0), (date(2015, 9, 9), 1.0)];
    /// let window = Window::by_weather([date(2015, 8, 1), date(2015, 8, 15), date(2015, 9, 5)], vec![], closes, date(2015, 8, 18));
    /// assert_eq!(window.missed_by_a_week, Some(0.25)); // by 25 August a quarter of the way is gone
    /// assert_eq!(window.told_on(date(2015, 8, 23)).missed_by_a_week, Some(0.5));
    /// ```
    pub fn by_weather(days: [Date; 3], odds: Vec<String>, mut closes: Vec<(Date, f64)>, today: Date) -> Self {
        let [earliest, best, latest] = days;
        closes.retain(|(_, chance)| chance.is_finite());
        closes.sort_by_key(|(day, _)| *day);
        let mut most = 0.0_f64;
        for (_, chance) in &mut closes {
            most = most.max(chance.clamp(0.0, 1.0));
            *chance = most;
        }
        let window = Self {
            earliest: earliest.min(best).min(latest),
            best: best.min(latest),
            latest,
            odds,
            missed_by_a_week: None,
            timing: Timing::Weather,
            closes,
            stage: None,
        };
        window.told_on(today)
    }

    /// The same window as one that follows a stage of a trouble.
    #[must_use]
    pub fn following(mut self, stage: &str) -> Self {
        self.stage = Some(stage.to_owned());
        self
    }

    /// The same window as it is told on another day: the chance that a week's wait from then misses it.
    #[must_use]
    pub fn told_on(mut self, today: Date) -> Self {
        if !self.closes.is_empty() {
            self.missed_by_a_week = self.chance_over_by(today.saturating_add(WAIT_DAYS.days()));
        }
        self
    }

    /// Chance (0–1) that the window is over by the end of a day, straight between the days that are known; none where no odds can be given.
    pub fn chance_over_by(&self, day: Date) -> Option<f64> {
        let after = self.closes.iter().position(|(known, _)| *known > day);
        let (first, last) = (self.closes.first()?, self.closes.last()?);
        let Some(after) = after else { return Some(last.1) };
        if after == 0 {
            return Some(if day < first.0 { 0.0 } else { first.1 });
        }
        let ((from, low), (to, high)) = (self.closes[after - 1], self.closes[after]);
        let days = |a: Date, b: Date| f64::from(a.until((Unit::Day, b)).map_or(0, |span| span.get_days()));
        Some(low + (high - low) * days(from, day) / days(from, to).max(1.0))
    }

    /// How a day stands to the window.
    pub fn standing(&self, day: Date) -> Standing {
        if day < self.earliest {
            Standing::Coming
        } else if day > self.latest {
            Standing::Missed
        } else if day > self.best {
            Standing::Late
        } else {
            Standing::Open
        }
    }
}

/// How a day stands to a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Past the latest day.
    Missed,
    /// Past the best day, not yet the latest.
    Late,
    /// Open.
    Open,
    /// Not yet open.
    Coming,
}

/// Why a task is there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reason {
    /// In words.
    pub text: String,
    /// The figure that carries it, printed.
    pub figure: Option<String>,
    /// Source of the figure.
    pub source: String,
}

impl Reason {
    /// A reason with its figure and source.
    pub fn new(text: impl Into<String>, figure: impl Into<String>, source: impl Into<String>) -> Self {
        Self { text: text.into(), figure: Some(figure.into()), source: source.into() }
    }
}

/// What a task takes.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Takes {
    /// Person-minutes, low and high.
    pub minutes: Option<(f64, f64)>,
    /// Materials with amounts.
    pub materials: Vec<(String, Quantity)>,
    /// Machines.
    pub machines: Vec<String>,
    /// Protective gear, as the label or the work asks.
    pub gear: Vec<String>,
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use jiff::civil::date;
    use proptest::prelude::*;

    fn on(day: i64) -> Date {
        date(2015, 5, 1).saturating_add(day.days())
    }

    proptest! {
        #[test]
        fn days_keep_their_order_and_a_wait_misses_more_as_time_goes(
            days in prop::array::uniform3(0_i64..200),
            closes in prop::collection::vec((0_i64..200, -0.5_f64..1.5), 1..30),
            asked in prop::collection::vec(-20_i64..240, 2..20),
        ) {
            let closes = closes.into_iter().map(|(day, chance)| (on(day), chance)).collect();
            let window = Window::by_weather(days.map(on), vec![], closes, on(0));
            prop_assert!(window.earliest <= window.best && window.best <= window.latest);
            let mut asked = asked;
            asked.sort_unstable();
            let told: Vec<f64> = asked.into_iter().map(|day| window.clone().told_on(on(day)).missed_by_a_week.unwrap()).collect();
            prop_assert!(told.iter().all(|chance| (0.0..=1.0).contains(chance)));
            prop_assert!(told.is_sorted());
        }
    }

    #[test]
    fn fixed_days_have_no_odds() {
        let visit = Window::fixed(on(0), on(2), on(4), "the visit that was promised");
        assert_eq!((visit.clone().told_on(on(3)).missed_by_a_week, visit.timing), (None, Timing::Fixed));
        let calendar = Window::by_calendar(on(0), on(2), on(4), vec![]);
        assert_eq!((calendar.chance_over_by(on(3)), calendar.timing), (None, Timing::Calendar));
    }
}
