//! When it happens here: stages of a trouble as windows with odds, from heat sums over many futures or from the calendar.
//!
//! The spread has three parts: the weather of the futures, the published range of the heat sum (taken at five points across
//! it), and the doubt in the model itself, which widens the window by days: more where it is only remembered.

use groundlore_lore::provenance::Source;
use groundlore_lore::trouble::{Clock, Stage};
use groundlore_quantity::{QuantityError, Unit};
use groundlore_weather::WeatherError;
use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};
use groundlore_weather::ensemble::{Ensemble, Heat};
use groundlore_weather::odds::Odds;
use jiff::civil::Date;
use jiff::{SignedDuration, ToSpan};
use serde::{Deserialize, Serialize};

/// Why a clock cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ClockError {
    /// A day of the year that is none.
    #[error("`{0}` is no day of the year: write month and day, e.g. 03-01")]
    MonthDay(String),
    /// A latitude out of range.
    #[error("the latitude is {0}: decimal degrees from -90 to 90, north positive, e.g. 43.0")]
    Latitude(f64),
    /// A heat sum that is no range.
    #[error("the heat sum runs from {low} to {high} degree-days: both must be above 0 and high not below low")]
    HeatSum {
        /// Low end.
        low: f64,
        /// High end.
        high: f64,
    },
    /// A base that is no temperature.
    #[error("the base temperature: {0}")]
    Base(Box<QuantityError>),
    /// A base in an unusable unit.
    #[error("the base temperature is {0}: give it on a scale, e.g. 50 degF")]
    BaseUnit(String),
    /// The weather could not answer.
    #[error("weather: {0}")]
    Weather(String),
}

impl From<QuantityError> for ClockError {
    fn from(error: QuantityError) -> Self {
        Self::Base(Box::new(error))
    }
}

impl From<WeatherError> for ClockError {
    fn from(error: WeatherError) -> Self {
        Self::Weather(error.to_string())
    }
}

/// A window with its odds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Window {
    /// Key of the stage.
    pub stage: String,
    /// Name of the stage for people.
    pub name: String,
    /// True if a control aimed at the trouble works on it.
    pub treatable: bool,
    /// One future in ten has it by this day.
    pub p10: Option<Date>,
    /// Half have it by this day.
    pub p50: Option<Date>,
    /// Nine in ten have it by this day.
    pub p90: Option<Date>,
    /// Share of futures in which it never comes this season.
    pub never: f64,
    /// Futures behind it; 0 for the calendar.
    pub futures: usize,
    /// Days by which both ends were widened for doubt in the model.
    pub widened_days: i64,
    /// Region of the model.
    pub region: String,
    /// Source of the model.
    pub source: Source,
    /// Which clock tells it.
    pub told_by: ToldBy,
    /// True where a part of the clock is recalled, or nobody has said that it was read.
    pub remembered: bool,
    /// True where the dates alone may open a treatment window: every part of the clock was read, and its region holds the place. Counts,
    /// thresholds and the label decide beside it.
    pub may_open_treatment: bool,
    /// Days with the chance (0 to 1) that the stage is over by the end of each, in order; empty where no odds can be given.
    pub closes: Vec<(Date, f64)>,
    /// What drives it, in words, with figures.
    pub working: Vec<String>,
}

/// Which clock tells a window.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "kebab-case")]
pub enum ToldBy {
    /// The stage's own range of days, or its own heat sum.
    Stage,
    /// Clocks of the season.
    Clocks {
        /// Their keys.
        keys: Vec<String>,
        /// Distance from the place to their region, km, where it is known.
        distance_km: Option<f64>,
    },
}

impl Window {
    /// True where the weather of the year moves the dates; else they are days of the calendar.
    pub fn by_weather(&self) -> bool {
        self.futures > 0
    }

    /// Where a day stands to the window.
    pub fn stands(&self, day: Date) -> Standing {
        match (self.p10, self.p90) {
            (Some(first), _) if day < first => Standing::NotYet,
            (_, Some(last)) if day > last => Standing::Over,
            (None, _) => Standing::Unlikely,
            _ => Standing::Now,
        }
    }
}

/// Where a day stands to a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Before the tenth percentile.
    NotYet,
    /// Between the ends.
    Now,
    /// After the ninetieth percentile.
    Over,
    /// Fewer than one future in ten has it at all.
    Unlikely,
}

/// Days by which a published heat model is widened each way (common practice: watch a few days either side).
const WIDEN_PUBLISHED: i64 = 3;
/// Days by which a published calendar range is widened each way, for years that run early or late (common practice).
const WIDEN_CALENDAR: i64 = 5;
/// Days by which a remembered model is widened each way.
const WIDEN_MEMORY: i64 = 7;
/// Points across the published range of a heat sum.
const POINTS: [f64; 5] = [0.1, 0.3, 0.5, 0.7, 0.9];

/// Window of a stage.
///
/// `latitude_deg` is north positive: south of the equator the days of the year in lore are moved by half a year. `on` is the
/// day asked from: it settles which season is meant. `dates` answers, for a heat sum, the day on which each future reaches it
/// (none where it never does that season).
///
/// # Errors
/// [`ClockError`] for days, latitudes, bases or sums that cannot be, and whatever the weather says.
///
/// # Example
/// ```
/// # use groundlore_plant_health::clock::*;
/// # use groundlore_lore::trouble::{Clock, Stage};
/// # use groundlore_lore::provenance::Source;
/// # use jiff::civil::date;
/// let stage = Stage {
///     key: "small-grubs".into(), name: "small grubs".into(), treatable: true,
///     clock: Clock::Calendar {
///         from: "07-20".into(), to: "08-10".into(), region: "US Midwest".into(), source: Source(vec!["memory".into()]),
///     },
/// };
/// let north = window(&stage, 43.0, date(2015, 8, 15), |_| Ok(vec![]))?;
/// assert_eq!(north.p10, Some(date(2015, 7, 13))); // a remembered range is widened by a week
/// let south = window(&stage, -37.0, date(2015, 8, 15), |_| Ok(vec![]))?;
/// assert_eq!(south.p10, Some(date(2016, 1, 13)));
/// # Ok::<(), ClockError>(())
/// ```
pub fn window(
    stage: &Stage,
    latitude_deg: f64,
    on: Date,
    dates: impl FnMut(&Heat) -> Result<Vec<Option<Date>>, ClockError>,
) -> Result<Window, ClockError> {
    if !(-90.0..=90.0).contains(&latitude_deg) {
        return Err(ClockError::Latitude(latitude_deg));
    }
    let season = Season::of(latitude_deg, on);
    match &stage.clock {
        Clock::Calendar { .. } => calendar(stage, &season),
        Clock::AirDegreeDays { .. } => heat(stage, &season, on, dates),
    }
}

/// Window of a stage, with the years of record as futures and from the ensemble's own day.
///
/// # Errors
/// As [`window`].
pub fn window_in(stage: &Stage, latitude_deg: f64, ensemble: &Ensemble) -> Result<Window, ClockError> {
    window(stage, latitude_deg, ensemble.on, |heat| Ok(ensemble.dates_reaching(heat)?))
}

/// Windows of all stages of a trouble, with the years of record as futures.
///
/// # Errors
/// As [`window`]; the first stage that cannot be read ends it.
pub fn windows_in(stages: &[Stage], latitude_deg: f64, ensemble: &Ensemble) -> Result<Vec<Window>, ClockError> {
    stages.iter().map(|stage| window_in(stage, latitude_deg, ensemble)).collect()
}

/// The stage that a trouble is likeliest in on a day: of the windows that hold it, the one whose middle is nearest. None where no
/// window holds the day.
pub fn likeliest(windows: &[Window], day: Date) -> Option<&Window> {
    let here = windows.iter().filter(|w| w.stands(day) == Standing::Now);
    here.min_by_key(|w| w.p50.map_or(i64::MAX, |middle| days_between(middle, day).abs()))
}

/// The calendar year in which the growing year that holds a day opens: the day's own year in the north; in the south, where it runs from July to
/// June, the year of that July.
///
/// # Example
/// ```
/// use groundlore_plant_health::clock::growing_year;
/// use jiff::civil::date;
/// assert_eq!((growing_year(43.0, date(2016, 1, 3)), growing_year(-43.0, date(2016, 1, 3))), (2016, 2015));
/// ```
#[must_use]
pub fn growing_year(latitude_deg: f64, on: Date) -> i16 {
    Season::of(latitude_deg, on).year
}

/// The growing year that holds a day: the calendar year in the north, July to June in the south.
pub(crate) struct Season {
    pub(crate) year: i16,
    pub(crate) south: bool,
}

impl Season {
    pub(crate) fn of(latitude_deg: f64, on: Date) -> Self {
        let south = latitude_deg < 0.0;
        let year = if south && on.month() < 7 { on.year() - 1 } else { on.year() };
        Self { year, south }
    }

    /// Month and day in this hemisphere, and the year they fall in.
    fn place(&self, month: i8, day: i8) -> (i16, i8, i8) {
        match (self.south, month > 6) {
            (false, _) => (self.year, month, day),
            (true, true) => (self.year + 1, month - 6, day),
            (true, false) => (self.year, month + 6, day),
        }
    }

    /// A day of the northern year as a date of this season; a day past the month's end becomes its last.
    pub(crate) fn date(&self, (month, day): (i8, i8)) -> Result<Date, ClockError> {
        let (year, month, day) = self.place(month, day);
        let first = Date::new(year, month, 1).map_err(|_| ClockError::MonthDay(format!("{month:02}-{day:02}")))?;
        let day = day.min(first.days_in_month());
        Date::new(year, month, day).map_err(|_| ClockError::MonthDay(format!("{month:02}-{day:02}")))
    }
}

/// Reads `MM-DD`.
///
/// # Errors
/// [`ClockError::MonthDay`] for what is no day of the year.
pub fn month_day(text: &str) -> Result<(i8, i8), ClockError> {
    let wrong = || ClockError::MonthDay(text.to_string());
    let (month, day) = text.trim().split_once('-').ok_or_else(wrong)?;
    let (month, day): (i8, i8) = (month.parse().map_err(|_| wrong())?, day.parse().map_err(|_| wrong())?);
    // 2000 was a leap year: 02-29 is a day of some years.
    Date::new(2000, month, day).map_err(|_| wrong())?;
    Ok((month, day))
}

fn later(date: Date, days: i64) -> Date {
    date.saturating_add(days.days())
}

fn calendar(stage: &Stage, season: &Season) -> Result<Window, ClockError> {
    let Clock::Calendar { from, to, region, source } = &stage.clock else {
        return Err(ClockError::MonthDay(String::new()));
    };
    let first = season.date(month_day(from)?)?;
    let mut last = season.date(month_day(to)?)?;
    if last < first {
        last = Date::new(last.year() + 1, last.month(), last.day().min(28)).unwrap_or(last);
    }
    let widened = if wholly_published(source) { WIDEN_CALENDAR } else { WIDEN_MEMORY };
    let half = i64::from((last - first).get_days()) / 2;
    let mut working = vec![format!("calendar {from} to {to}, {region} ({source})")];
    if season.south {
        working.push("moved by half a year for the southern hemisphere".into());
    }
    working.push(format!("widened by {widened} days each way"));
    Ok(Window {
        stage: stage.key.clone(),
        name: stage.name.clone(),
        treatable: stage.treatable,
        p10: Some(later(first, -widened)),
        p50: Some(later(first, half)),
        p90: Some(later(last, widened)),
        never: 0.0,
        futures: 0,
        widened_days: widened,
        region: region.clone(),
        source: source.clone(),
        told_by: ToldBy::Stage,
        remembered: true,
        may_open_treatment: false,
        closes: Vec::new(),
        working,
    })
}

fn heat(
    stage: &Stage,
    season: &Season,
    on: Date,
    mut dates: impl FnMut(&Heat) -> Result<Vec<Option<Date>>, ClockError>,
) -> Result<Window, ClockError> {
    let Clock::AirDegreeDays { start, base, method, low, high, region, source } = &stage.clock else {
        return Err(ClockError::MonthDay(String::new()));
    };
    if !(*low > 0.0 && high >= low && high.is_finite()) {
        return Err(ClockError::HeatSum { low: *low, high: *high });
    }
    let base_c = base.in_unit("degC")?;
    let to_celsius = if base.unit == Unit::parse("degF")? {
        5.0 / 9.0
    } else if base.unit == Unit::parse("degC")? {
        1.0
    } else {
        return Err(ClockError::BaseUnit(base.to_string()));
    };
    let model = DegreeDays::new(method.parse::<Method>()?, base_c, None, Cutoff::None)?;
    let (month, day) = month_day(start)?;
    let (_, month, day) = season.place(month, day);
    let mut all = Vec::new();
    let mut futures = 0;
    for share in POINTS {
        let total = (low + share * (high - low)) * to_celsius;
        let reached = dates(&Heat { start: (month, day), model, total })?;
        futures = reached.len();
        all.extend(reached);
    }
    let widened = if wholly_published(source) { WIDEN_PUBLISHED } else { WIDEN_MEMORY };
    let working = vec![
        format!("heat above {base} from {month:02}-{day:02}, {method}: {low} to {high} degree-days, {region} ({source})"),
        format!("taken at 10, 30, 50, 70 and 90 % of that range, over {futures} futures"),
        format!("widened by {widened} days each way for doubt in the model"),
    ];
    let odds = Odds::from_dates(&all, on);
    Ok(Window {
        stage: stage.key.clone(),
        name: stage.name.clone(),
        treatable: stage.treatable,
        p10: odds.p10.map(|d| later(d, -widened)),
        p50: odds.p50,
        p90: odds.p90.map(|d| later(d, widened)),
        never: odds.never,
        futures,
        widened_days: widened,
        region: region.clone(),
        source: source.clone(),
        told_by: ToldBy::Stage,
        remembered: true,
        may_open_treatment: false,
        closes: closing(&odds),
        working,
    })
}

/// The days by which the sum is reached, in steps of a twentieth: what must be done before it is over by then.
fn closing(odds: &Odds) -> Vec<(Date, f64)> {
    (1..=20).map(|step| f64::from(step) / 20.0).filter_map(|chance| odds.quantile(chance).map(|day| (day, chance))).collect()
}

/// A figure that is recalled in part says `memory` or `common practice` beside its key.
fn wholly_published(source: &Source) -> bool {
    !source.0.is_empty() && source.0.iter().all(|key| key != Source::MEMORY && key != Source::COMMON_PRACTICE)
}

/// Days from one date to another, below 0 where the second comes first.
pub fn days_between(from: Date, to: Date) -> i64 {
    to.duration_since(from).as_secs() / SignedDuration::from_hours(24).as_secs()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use groundlore_quantity::Quantity;
    use jiff::civil::date;

    fn stage(low: f64, high: f64, source: &str) -> Stage {
        Stage {
            key: "crawlers".into(),
            name: "crawlers".into(),
            treatable: true,
            clock: Clock::AirDegreeDays {
                start: "03-01".into(),
                base: Quantity::parse("50 degF").unwrap(),
                method: "average".into(),
                low,
                high,
                region: "Michigan".into(),
                source: Source(vec![source.into()]),
            },
        }
    }

    /// Invented futures: heat comes at 2 to 4 °C-days a day from the start.
    fn steady(heat: &Heat) -> Result<Vec<Option<Date>>, ClockError> {
        let start = date(2015, heat.start.0, heat.start.1);
        Ok((0..9).map(|i| Some(later(start, (heat.total / (2.0 + 0.25 * f64::from(i))) as i64))).collect())
    }

    #[test]
    fn fahrenheit_sums_are_asked_in_celsius() {
        let mut asked = Vec::new();
        window(&stage(500.0, 700.0, "some-key"), 43.0, date(2015, 8, 15), |heat| {
            asked.push((heat.total, heat.model.lower, heat.start));
            steady(heat)
        })
        .unwrap();
        assert_eq!(asked.len(), POINTS.len());
        assert!((asked[2].0 - 600.0 / 1.8).abs() < 1e-9 && (asked[2].1 - 10.0).abs() < 1e-9);
        assert_eq!(asked[0].2, (3, 1));
    }

    #[test]
    fn a_wider_published_range_makes_a_wider_window() {
        let at = |low, high| window(&stage(low, high, "some-key"), 43.0, date(2015, 8, 15), steady).unwrap();
        let span = |w: &Window| days_between(w.p10.unwrap(), w.p90.unwrap());
        let (narrow, wide) = (at(550.0, 550.0), at(350.0, 750.0));
        assert!(span(&wide) > span(&narrow));
    }

    #[test]
    fn a_remembered_model_is_a_week_wider_each_way() {
        let read = window(&stage(500.0, 600.0, "some-key"), 43.0, date(2015, 8, 15), steady).unwrap();
        let recalled = window(&stage(500.0, 600.0, "memory"), 43.0, date(2015, 8, 15), steady).unwrap();
        assert!(recalled.p10 < read.p10 && recalled.p90 > read.p90 && recalled.widened_days >= 7);
    }

    #[test]
    fn a_sum_that_is_never_reached_says_so() {
        let never = window(&stage(500.0, 600.0, "some-key"), 43.0, date(2015, 8, 15), |_| Ok(vec![None; 10])).unwrap();
        assert_eq!((never.p50, never.never), (None, 1.0));
        assert_eq!(never.stands(date(2015, 8, 15)), Standing::Unlikely);
    }

    #[test]
    fn heat_starts_in_september_south_of_the_equator() {
        let mut start = None;
        window(&stage(500.0, 600.0, "some-key"), -37.8, date(2015, 11, 15), |heat| {
            start = Some(heat.start);
            Ok(vec![Some(date(2015, 12, 1))])
        })
        .unwrap();
        assert_eq!(start, Some((9, 1)));
    }

    #[test]
    fn ranges_over_the_new_year_keep_their_order() {
        let winter = Stage {
            clock: Clock::Calendar {
                from: "11-15".into(),
                to: "02-29".into(),
                region: "here".into(),
                source: Source(vec!["some-key".into()]),
            },
            ..stage(1.0, 2.0, "some-key")
        };
        let w = window(&winter, 43.0, date(2015, 8, 15), |_| Ok(vec![])).unwrap();
        assert!(w.p10 < w.p50 && w.p50 < w.p90 && w.p90.unwrap().year() == 2016);
    }

    #[test]
    fn wrong_clocks_are_named() {
        let on = date(2015, 8, 15);
        assert!(window(&stage(700.0, 600.0, "k"), 43.0, on, steady).unwrap_err().to_string().contains("700"));
        assert!(window(&stage(500.0, 600.0, "k"), 143.0, on, steady).unwrap_err().to_string().contains("143"));
        let mut wrong = stage(500.0, 600.0, "k");
        if let Clock::AirDegreeDays { method, .. } = &mut wrong.clock {
            *method = "guess".into();
        }
        assert!(window(&wrong, 43.0, on, steady).unwrap_err().to_string().contains("guess"));
    }
}
