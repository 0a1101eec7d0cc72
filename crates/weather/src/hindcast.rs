//! Are the odds honest? Every past year is forecast from the years before it, and judged by what came.
//!
//! For each event of [`crate::season_events`], each judged year and each issue day (every fifteenth day of the year), the odds are made from
//! earlier years alone and this year's days before the issue day. They are judged where the event has not yet happened on the
//! issue day and can still come.
//!
//! **Makers.** The kinds of future ([`Kind`]), and one rival that is no future at all: past years' dates, given that the event has not yet
//! happened by the issue day ([`Maker::PastDates`]).
//!
//! **Years without the event.** A future, or a year, without the event is dated one day after the event's season (31 December for most),
//! and for a last frost, where nothing more comes, on the day before the issue day. Both sides are treated alike, so that the score also
//! judges the chance that nothing comes.
//!
//! **Coverage.** The share of years inside the window from (1 − p)/2 to (1 + p)/2. Dates are whole days, and often several futures share one:
//! a year that falls on a day on the window's edge counts by the share of that day's odds that lies inside. (The odds of the day
//! run from k/(n + 1) to (k + m + 1)/(n + 1) where k of n futures come before it and m on it.) So an honest maker has 50, 80 and
//! 90 % however narrow the window. Beside it stands the plain count: years from p10 to p90 as printed, both days counted, of the years
//! in which the event came.
//!
//! **CRPS**, the continuous ranked probability score, in days: the mean distance of the futures from what came, less half their mean distance
//! from each other. Of one date it is the error in days; less is better.
//!
//! **Lead** is the middle date of the plain ensemble less the issue day: it is known on the issue day, and the same for all makers. (A lead
//! counted to what came would pick early years for short leads and make every maker look late.)
//!
//! **Errors** are by bootstrap over whole years, since the issue days of one year share its weather.
//!
//! **Chance.** [`chance`] deals the years' dates out anew and tells how far an exactly honest maker strays, and how often the test by two
//! bootstrap errors fails it all the same. Where only dates of another station are known, [`judge_dates`] judges past dates there.
//!
//! # Sources
//! Gneiting & Raftery (2007), *Strictly proper scoring rules, prediction, and estimation*, Journal of the American Statistical Association
//! 102:359 (CRPS); the randomised probability integral transform for whole numbers, Czado, Gneiting & Held (2009), Biometrics 65:1254;
//! Efron (1979), *Bootstrap methods*, Annals of Statistics 7:1. All from memory; the score is tested on samples worked by hand.

mod chance;
mod dates_alone;
mod page;
mod spreads;
mod sums;

use jiff::civil::{Date, date};
use serde::Serialize;

pub use chance::{Chance, chance};
pub use dates_alone::{DatedRecord, DatesScore, judge_dates};
pub use spreads::{Spread, spreads};
pub use sums::{Figure, Group, MakerScore, Period, Report, forms, period, report};

use crate::calendar::{date_of, day_number};
use crate::ensemble::Ensemble;
use crate::error::WeatherError;
use crate::fill::fill_gaps;
use crate::futures::{Detrending, Futures, Kind, StationFit};
use crate::season_events::{EventDates, Rule, WEATHER_EVENTS, WeatherEvent, YearColumns};
use crate::series::{Hemisphere, Series};
use crate::trend::Slope;

/// Windows judged: shares of the odds inside.
pub const WINDOWS: [f64; 3] = [0.5, 0.8, 0.9];
/// Days between issue days.
pub const STEP_DAYS: usize = 15;
/// Fewest earlier years that odds are made from.
pub const FEWEST_YEARS: usize = 25;

/// Who makes the odds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub enum Maker {
    /// Past years' dates of the event, given that it has not yet happened.
    PastDates,
    /// Futures of a kind.
    Futures {
        /// The kind.
        kind: Kind,
        /// For [`Kind::Detrended`]: what goes into it.
        rules: Detrending,
    },
}

impl Maker {
    fn of(kind: Kind) -> Maker {
        Maker::Futures { kind, rules: Detrending::default() }
    }

    /// A short name.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Maker::PastDates => "past dates".to_owned(),
            Maker::Futures { kind: Kind::Detrended, rules } if *rules != Detrending::default() => {
                let slope = match rules.slope {
                    Slope::None => "no trend".to_owned(),
                    Slope::AllYears => "trend of all years".to_owned(),
                    Slope::Latest(years) => format!("trend of the latest {years} years"),
                };
                let state = if rules.persistence { "state carried" } else { "state not carried" };
                let level = if rules.level_error { "level drawn" } else { "level as fitted" };
                let times = if rules.shifts_days.len() == 1 { "once".to_owned() } else { format!("{} times", rules.shifts_days.len()) };
                let rain = match rules.rain_moves {
                    1 => String::new(),
                    2 => ", its rain moved twice as far".to_owned(),
                    moves => format!(", its rain moved {moves} times as far"),
                };
                format!("{slope}, {state}, {level}, each year {times}{rain}")
            }
            Maker::Futures { kind, .. } => kind.word().to_owned(),
        }
    }
}

/// How far ahead the plain ensemble's middle date lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lead {
    /// Under 7 days.
    UnderAWeek,
    /// 7 to 30 days.
    UnderAMonth,
    /// 31 to 60 days.
    UnderTwoMonths,
    /// Over 60 days.
    Longer,
}

impl Lead {
    /// All leads, nearest first.
    pub const ALL: [Lead; 4] = [Lead::UnderAWeek, Lead::UnderAMonth, Lead::UnderTwoMonths, Lead::Longer];

    fn of_days(days: f64) -> Lead {
        match days {
            days if days < 7.0 => Lead::UnderAWeek,
            days if days < 31.0 => Lead::UnderAMonth,
            days if days < 61.0 => Lead::UnderTwoMonths,
            _ => Lead::Longer,
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Lead::UnderAWeek => "under 7 days",
            Lead::UnderAMonth => "7–30 days",
            Lead::UnderTwoMonths => "31–60 days",
            Lead::Longer => "over 60 days",
        }
    }
}

/// One maker's odds judged by what came.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Score {
    /// Days.
    pub crps_days: f64,
    /// Where what came lies among the odds: from and to, each 0 to 1.
    pub place: (f64, f64),
    /// Whether it came within p10 to p90 as printed; `None` where it did not come or no dates were printed.
    pub printed: Option<bool>,
}

impl Score {
    /// The share of a central window that what came fills, 0 to 1.
    #[must_use]
    pub fn inside(&self, window: f64) -> f64 {
        let (low, high) = ((1.0 - window) / 2.0, (1.0 + window) / 2.0);
        let (from, to) = self.place;
        (to.min(high) - from.max(low)).max(0.0) / (to - from)
    }
}

/// One event on one issue day of one year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Case {
    /// Place of the event among [`WEATHER_EVENTS`].
    pub event: usize,
    /// The judged year.
    pub year: i16,
    /// The issue day.
    pub on: Date,
    /// Lead by the plain ensemble.
    pub lead: Lead,
    /// The makers' scores, in their order.
    pub scores: Vec<Score>,
}

/// Scores a sample against what came: the continuous ranked probability score in the sample's unit. `sample` must be sorted.
///
/// # Example
/// ```
/// use groundlore_weather::hindcast::crps;
/// // One date, two days off; and two dates on either side: 1 less half of 1.
/// assert_eq!(crps(&[5.0], 7.0), 2.0);
/// assert_eq!(crps(&[4.0, 6.0], 5.0), 0.5);
/// ```
#[must_use]
pub fn crps(sample: &[f64], came: f64) -> f64 {
    let number = sample.len() as f64;
    let off: f64 = sample.iter().map(|value| (value - came).abs()).sum();
    // Σᵢⱼ |xᵢ − xⱼ| of a sorted sample is 2 Σ (2i + 1 − n) xᵢ.
    let apart: f64 = sample.iter().enumerate().map(|(rank, value)| (2.0 * rank as f64 + 1.0 - number) * value).sum();
    off / number - apart / (number * number)
}

/// An event's dates as numbers: what has none is dated after the season, or before the issue day for a last event.
struct Dated {
    values: Vec<f64>,
    absent: f64,
}

impl Dated {
    fn of(found: impl Iterator<Item = Option<usize>>, rule: Rule, on: usize, end: usize) -> Dated {
        let absent = if rule.is_last() { on as f64 - 1.0 } else { end as f64 };
        let value = |place: Option<usize>| place.filter(|place| *place >= on).map_or(absent, |place| place as f64);
        let mut values: Vec<f64> = found.map(value).collect();
        values.sort_by(f64::total_cmp);
        Dated { values, absent }
    }

    fn score(&self, came: f64) -> Score {
        let spare = self.values.len() as f64 + 1.0;
        let below = self.values.partition_point(|value| *value < came) as f64;
        let up_to = self.values.partition_point(|value| *value <= came) as f64;
        let dated: Vec<usize> = self.values.iter().filter(|value| **value != self.absent).map(|value| *value as usize).collect();
        let odds = EventDates { happened: None, futures: dated.len(), places: dated };
        let day = |probability| odds.quantile(probability).map(|place| (place + 0.5).floor());
        let printed = match (day(0.1), day(0.9)) {
            (Some(low), Some(high)) if came != self.absent => Some(low <= came && came <= high),
            _ => None,
        };
        Score { crps_days: crps(&self.values, came), place: (below / spare, (up_to + 1.0) / spare), printed }
    }
}

/// The makers of the usual report: the two rivals, then the other kinds of future.
#[must_use]
pub fn usual_makers() -> Vec<Maker> {
    vec![Maker::PastDates, Maker::of(Kind::Plain), Maker::of(Kind::Detrended), Maker::of(Kind::Generated)]
}

/// Other forms of [`Kind::Detrended`], for the choice among them.
#[must_use]
pub fn other_forms() -> Vec<Maker> {
    const ONE: &[i32] = &[0];
    const THREE: &[i32] = &[-5, 0, 5];
    const FIVE: &[i32] = &[-10, -5, 0, 5, 10];
    let forms = [
        (Slope::None, false, false, ONE, 1),
        (Slope::None, true, false, ONE, 1),
        (Slope::None, true, false, THREE, 1),
        (Slope::AllYears, false, false, THREE, 1),
        (Slope::AllYears, true, false, ONE, 1),
        (Slope::AllYears, true, false, THREE, 1),
        (Slope::AllYears, true, true, THREE, 1),
        (Slope::AllYears, true, true, THREE, 2),
        (Slope::AllYears, true, true, THREE, 3),
        (Slope::AllYears, true, true, THREE, 4),
        (Slope::AllYears, true, true, THREE, 6),
        (Slope::AllYears, true, true, FIVE, 1),
        (Slope::Latest(40), true, true, THREE, 2),
        (Slope::Latest(30), true, true, THREE, 2),
        (Slope::Latest(20), true, true, THREE, 2),
    ];
    let maker = |(slope, persistence, level_error, shifts, rain_moves): (Slope, bool, bool, &[i32], i32)| Maker::Futures {
        kind: Kind::Detrended,
        rules: Detrending { slope, persistence, level_error, shifts_days: shifts.to_vec(), rain_moves },
    };
    forms.into_iter().map(maker).collect()
}

/// All cases of a series for some makers ([`Maker::PastDates`] and the plain ensemble must be the first two), over years from `first` to
/// `last` that have at least [`FEWEST_YEARS`] years before them.
///
/// # Errors
/// [`WeatherError::NoPastYear`] when no year of the series has enough years before it.
pub fn cases(series: &Series, makers: &[Maker], first: i16, last: i16) -> Result<Vec<Case>, WeatherError> {
    let filled = fill_gaps(series).series;
    let years: Vec<YearColumns> =
        (filled.first_day().year()..=filled.last_day().year()).map(|year| YearColumns::of_series(&filled, year)).collect();
    let judged: Vec<&YearColumns> = years.iter().filter(|columns| (first..=last).contains(&columns.year)).collect();
    let mut all = Vec::new();
    for truth in judged {
        let unknown = truth.tmin_c.iter().chain(&truth.tmax_c).any(|value| value.is_nan());
        if !unknown {
            all.extend(cases_of_year(series, truth, &years, makers)?);
        }
    }
    if all.is_empty() {
        return Err(WeatherError::NoPastYear {
            station: crate::ensemble::name_of(series),
            on: date(last, 1, 1),
            first_day: series.first_day(),
            left_out: 0,
        });
    }
    Ok(all)
}

fn cases_of_year(series: &Series, truth: &YearColumns, years: &[YearColumns], makers: &[Maker]) -> Result<Vec<Case>, WeatherError> {
    let mut fits: Vec<(Slope, StationFit)> = Vec::new();
    let mut all = Vec::new();
    let opening = day_number(date(truth.year, 1, 1));
    for on in (0..truth.len()).step_by(STEP_DAYS) {
        let Ok(ensemble) = Ensemble::years_of_record(series, date_of(opening + on as i32)) else { continue };
        if ensemble.futures().len() < FEWEST_YEARS {
            continue;
        }
        let mut futures: Vec<Vec<YearColumns>> = Vec::new();
        for maker in makers {
            let Maker::Futures { kind, rules } = maker else {
                futures.push(Vec::new());
                continue;
            };
            if !fits.iter().any(|(slope, _)| *slope == rules.slope) {
                let generator = makers.contains(&Maker::of(Kind::Generated)) && rules.slope == Detrending::default().slope;
                fits.push((rules.slope, StationFit::of(ensemble.past(), truth.year, rules.slope, generator)?));
            }
            let fit = fits.iter().find(|(slope, _)| *slope == rules.slope).map(|(_, fit)| fit);
            let made = Futures::with_fit(&ensemble, fit, *kind, rules);
            futures.push(YearColumns::of_futures(&made));
        }
        let earlier: Vec<&YearColumns> = years.iter().filter(|year| year.year < truth.year).collect();
        let issue = Issue { truth, earlier, futures, on, hemisphere: ensemble.hemisphere };
        all.extend(WEATHER_EVENTS.iter().enumerate().filter_map(|(place, event)| issue.case(place, event)));
    }
    Ok(all)
}

/// One issue day with every maker's futures.
struct Issue<'a> {
    truth: &'a YearColumns,
    earlier: Vec<&'a YearColumns>,
    futures: Vec<Vec<YearColumns>>,
    on: usize,
    hemisphere: Hemisphere,
}

impl Issue<'_> {
    fn case(&self, place: usize, event: &WeatherEvent) -> Option<Case> {
        let rule = event.rule;
        let end = rule.window(self.truth, self.hemisphere).1;
        let came = rule.place_in(self.truth, self.hemisphere);
        let happened = !rule.is_last() && came.is_some_and(|came| came < self.on);
        if happened || self.on >= end {
            return None;
        }
        let came = Dated::of(std::iter::once(came), rule, self.on, end).values[0];
        let odds: Vec<Dated> = self.futures.iter().map(|years| self.dated(rule, years, end)).collect();
        let plain = &odds.get(1)?.values;
        let lead = Lead::of_days(plain[plain.len() / 2] - self.on as f64);
        let scores = odds.iter().map(|odds| odds.score(came)).collect();
        let on = date_of(day_number(date(self.truth.year, 1, 1)) + self.on as i32);
        Some(Case { event: place, year: self.truth.year, on, lead, scores })
    }

    /// The dates in the futures; without futures the past years' own, given not yet happened.
    fn dated(&self, rule: Rule, years: &[YearColumns], end: usize) -> Dated {
        if !years.is_empty() {
            return Dated::of(years.iter().map(|year| rule.place_in(year, self.hemisphere)), rule, self.on, end);
        }
        let found = self.earlier.iter().map(|year| rule.place_in(year, self.hemisphere));
        let open = |place: &Option<usize>| rule.is_last() || place.is_none_or(|place| place >= self.on);
        let kept: Vec<Option<usize>> = found.filter(open).collect();
        // Where it had come in every past year, tomorrow is all that they can say.
        let kept = if kept.is_empty() { vec![Some(self.on)] } else { kept };
        Dated::of(kept.into_iter(), rule, self.on, end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Checked by hand: |1−4| + |2−4| + |6−4| over 3 is 7/3; pairs apart 1, 5, 4, twice, over 9, halved: 10/9.
    #[test]
    fn the_score_of_three_dates_is_as_worked_by_hand() {
        assert!((crps(&[1.0, 2.0, 6.0], 4.0) - (7.0 / 3.0 - 10.0 / 9.0)).abs() < 1e-12);
    }

    #[test]
    fn a_day_on_the_edge_counts_by_its_share() {
        // Four futures on one day: it fills 0 to 1, so each window has its own share of it.
        let dated = Dated { values: vec![100.0; 4], absent: 181.0 };
        let score = dated.score(100.0);
        assert_eq!(score.place, (0.0, 1.0));
        assert!((score.inside(0.8) - 0.8).abs() < 1e-12);
        assert_eq!((score.crps_days, score.printed), (0.0, Some(true)));
    }

    #[test]
    fn years_without_the_event_stand_after_the_season_and_last_events_before_today() {
        let frost = Rule::FirstFrost { at_most_f: 32.0 };
        let dated = Dated::of([Some(280), None, Some(300)].into_iter(), frost, 200, 365);
        assert_eq!(dated.values, [280.0, 300.0, 365.0]);
        assert_eq!(dated.score(365.0).printed, None);
        let last = Dated::of([Some(110), Some(90), None].into_iter(), Rule::LastFrost { at_most_f: 32.0 }, 100, 181);
        assert_eq!(last.values, [99.0, 99.0, 110.0]);
    }

    #[test]
    fn windows_of_a_fair_draw_have_their_share() {
        // What came is drawn like the futures: over all ranks of ten values without ties the shares are those of the windows.
        let values: Vec<f64> = (0..10).map(|value| f64::from(value) * 10.0).collect();
        let dated = Dated { values, absent: 365.0 };
        let inside: f64 = (0..11).map(|rank| dated.score(f64::from(rank) * 10.0 - 5.0).inside(0.8)).sum::<f64>() / 11.0;
        assert!((inside - 0.8).abs() < 1e-12);
    }
}
