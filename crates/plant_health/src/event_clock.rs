//! What comes when this season, with odds: the clocks of the lore read against a season's weather.
//!
//! | step | where |
//! | --- | --- |
//! | the season's weather as columns, known days and futures | [`Outlook`] |
//! | which events there are | [`events`], [`Event`] |
//! | the odds of one, of all | [`odds`], [`odds_of_all`], [`ClockOdds`] |
//! | soil temperature for clocks set by the soil | [`groundlore_weather::soil_temperature`], under turf |
//!
//! The odds put together, by adding quantiles at fixed points (so the same input gives the same answer):
//!
//! 1. the weather: every future of the outlook, of equal weight;
//! 2. the threshold: five points across its printed range;
//! 3. the model's own error in days, normal, eight in ten within ± [`ModelError::days`](groundlore_lore::event_clock::ModelError); an
//!    observation in the yard or nearby puts what it taught in the place of this error and of the range ([`Shift`], see
//!    [`crate::observed`]);
//! 4. individuals: an event of a share of them (`…-10`, `…-50`, `…-90`) is moved by where that share stands to the one at the threshold; an
//!    event without a share adds their spread.
//!
//! A clock that was not read in every part says so ([`ClockOdds::remembered`]) and never opens a treatment window by itself
//! ([`ClockOdds::may_open_treatment`]).

mod biofix;
mod by_future;
mod columns;
mod crossing;
mod day_odds;
mod driving;
mod outlook;
pub mod season_grid;
mod soil;

pub use biofix::{Biofix, ELSEWHERE_KM, ELSEWHERE_SD_DAYS, is_start_of};
pub use day_odds::{DayOdds, Without};
pub use outlook::Outlook;

use crate::clock::{ClockError, month_day};
use crate::observed::Shift;
use columns::Columns;
use day_odds::DayCount;
use driving::{Days, Driving, day_length_days, start_date, start_days};
use groundlore_lore::Lore;
use groundlore_lore::event_clock::{Driver, EventClock, EventKind, Individuals, Start, Which};
use groundlore_lore::provenance::{Source, Standing};
use groundlore_weather::calendar::day_number;
use jiff::civil::Date;
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal};
use std::cell::OnceCell;
use std::ops::Range;
use std::sync::{Arc, LazyLock};

/// Points across the printed range of a threshold, or across the days of a calendar.
const POINTS: [f64; 5] = [0.1, 0.3, 0.5, 0.7, 0.9];
/// Points at which the errors in days are taken; each stands for an equal share.
const NODES: usize = 11;
/// From the half-width that holds eight in ten to a standard deviation: the ninetieth percentile of the standard normal.
const TEN_TO_MIDDLE: f64 = 1.281_551_565_544_6;

/// Why an event cannot be dated.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("clock `{key}`: {why}")]
pub struct EventError {
    /// Key of the clock.
    pub key: String,
    /// What is wrong.
    #[source]
    pub why: ClockError,
}

/// One event that can be dated: a clock, or a share of the individuals of one.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// The clock.
    pub clock: Arc<EventClock>,
    /// Share of individuals that have it, where the clock's individuals lie apart.
    pub share: Option<f64>,
    /// How firmly the clock stands.
    pub standing: Standing,
}

impl Event {
    /// Key of the event: the clock's, with `-10`, `-50` or `-90` behind it for a share of individuals.
    #[must_use]
    pub fn key(&self) -> String {
        self.share.map_or_else(|| self.clock.key.clone(), |share| format!("{}-{:.0}", self.clock.key, share * 100.0))
    }

    /// Name of the event for people.
    #[must_use]
    pub fn name(&self) -> String {
        self.share.map_or_else(|| self.clock.name.clone(), |share| format!("{} ({:.0} %)", self.clock.name, share * 100.0))
    }
}

/// All events of the lore: written clocks first, then those made from plants' months; a clock whose individuals lie apart gives one event
/// for each of [`Individuals::SHARES`].
///
/// # Example
/// ```
/// # use groundlore_plant_health::event_clock::events;
/// # use groundlore_lore::Lore;
/// let (lore, _) = Lore::built_in_lenient(None);
/// let events = events(&lore);
/// assert!(events.iter().any(|event| event.key() == "eastern-tent-caterpillar-hatch-ohio-50"));
/// assert!(events.iter().any(|event| event.key() == "last-night-at-32f"));
/// ```
#[must_use]
pub fn events(lore: &Lore) -> Vec<Event> {
    lore.all_clocks().into_iter().flat_map(|clock| events_of(lore, clock)).collect()
}

/// The events of one clock.
#[must_use]
pub fn events_of(lore: &Lore, clock: EventClock) -> Vec<Event> {
    let standing = lore.clock_standing(&clock);
    let clock = Arc::new(clock);
    let event = |share| Event { clock: Arc::clone(&clock), share, standing };
    if clock.individuals.is_some() { Individuals::SHARES.into_iter().map(|share| event(Some(share))).collect() } else { vec![event(None)] }
}

/// The event of a key, if the lore has one. A clock's own key is known too where its events carry shares: it then stands for one
/// individual taken at random.
#[must_use]
pub fn event(lore: &Lore, key: &str) -> Option<Event> {
    let all = lore.all_clocks();
    if let Some(clock) = all.iter().find(|clock| clock.key == key) {
        return Some(Event { standing: lore.clock_standing(clock), clock: Arc::new(clock.clone()), share: None });
    }
    all.into_iter().filter(|clock| key.starts_with(&clock.key)).flat_map(|clock| events_of(lore, clock)).find(|event| event.key() == key)
}

/// What is known of a yard beside its weather.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Asked {
    /// What observations have taught about this clock here; none leaves the model's own error.
    pub shift: Option<Shift>,
    /// When a start that has to be seen was seen.
    pub biofix: Option<Biofix>,
}

/// An event of the season with its odds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClockOdds {
    /// Key of the event.
    pub key: String,
    /// Name for people.
    pub name: String,
    /// Part of the season.
    pub kind: EventKind,
    /// One chance in ten that it has come by this day.
    pub p10: Option<Date>,
    /// Even odds by this day.
    pub p50: Option<Date>,
    /// Nine chances in ten by this day.
    pub p90: Option<Date>,
    /// Share of futures in which it does not come this season, 0 to 1.
    pub never: f64,
    /// Number of futures behind it; 0 where only the calendar or the sun is.
    pub futures: usize,
    /// True where a part of the clock is recalled: it is drawn apart, and opens no treatment window by itself. A frost is weather itself
    /// and remembers nothing.
    pub remembered: bool,
    /// How firmly the clock stands.
    pub standing: Standing,
    /// Standard deviation in days of what is not known of the clock itself before anything is seen: its error, the range of its threshold,
    /// the soil reckoned from the air. Weather and individuals are not in it. A sight takes its place ([`crate::observed::Spreads::of`]).
    pub doubt_sd_days: f64,
    /// What must be seen before this clock can run, where it waits for that.
    pub waits_for: Option<String>,
    /// Region of the clock.
    pub region: String,
    /// Source of the clock.
    pub source: Source,
    /// What drives it, with figures, and what each part of the spread is.
    pub working: Vec<String>,
    /// The whole distribution.
    #[serde(skip)]
    pub days: DayOdds,
}

impl ClockOdds {
    /// True where the clock may open a treatment window: every part of it was read, and it waits for nothing. Counts, thresholds and the
    /// label decide beside it.
    #[must_use]
    pub fn may_open_treatment(&self) -> bool {
        self.standing == Standing::Read && self.waits_for.is_none()
    }

    /// The odds of what is still to come on a day: quantiles over the part that comes on that day or after, and the share that does not.
    #[must_use]
    pub fn coming(&self, on: Date) -> Coming {
        let coming = self.days.from(on);
        let never = if self.days.is_empty() { 0.0 } else { 1.0 - coming.dated_share_of(&self.days) };
        Coming { p10: coming.quantile(0.1), p50: coming.quantile(0.5), p90: coming.quantile(0.9), never }
    }
}

/// What is still to come of an event.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Coming {
    /// Of the futures in which it is still to come, one in ten has it by this day.
    pub p10: Option<Date>,
    /// Half have it by this day.
    pub p50: Option<Date>,
    /// Nine in ten have it by this day.
    pub p90: Option<Date>,
    /// Share of futures in which it does not come from that day on: it is over, or never comes.
    pub never: f64,
}

/// The odds of an event in an outlook.
///
/// # Errors
/// [`EventError`] where a day, a temperature or a method of the clock cannot be read (`lore check` tells of it first).
///
/// # Example
/// ```
/// use groundlore_plant_health::event_clock::*;
/// use groundlore_lore::Lore;
/// use jiff::civil::date;
///
/// // A clock of the calendar needs no weather: the bloom of hellebores by their months, widened for years early and late.
/// let (lore, _) = Lore::built_in_lenient(None);
/// let bloom = event(&lore, "bloom-begins-helleborus-orientalis").unwrap();
/// let outlook = Outlook::without_weather(date(2015, 2, 1), 43.0, None)?;
/// let odds = odds(&bloom, &outlook, &Asked::default())?;
/// assert!(odds.remembered && !odds.may_open_treatment());
/// assert!(odds.p10 < odds.p50 && odds.p50 < odds.p90);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn odds(event: &Event, outlook: &Outlook, asked: &Asked) -> Result<ClockOdds, EventError> {
    dated(event, outlook, asked).map_err(|why| EventError { key: event.key(), why })
}

/// The odds of many events in one outlook, in their order: each its own answer, so that one wrong clock of an overlay loses no other.
///
/// Many events are shared out among two threads where the machine has them; the answer is the same.
pub fn odds_of_all(events: &[Event], outlook: &Outlook, asked: impl FnMut(&Event) -> Asked) -> Vec<Result<ClockOdds, EventError>> {
    /// As many events pay for a second thread.
    const MANY: usize = 60;
    let asked: Vec<Asked> = events.iter().map(asked).collect();
    // The shares of one clock stand together: they share its dates.
    let mut runs: Vec<Range<usize>> = Vec::new();
    for (place, event) in events.iter().enumerate() {
        match runs.last_mut() {
            Some(run) if Arc::ptr_eq(&events[run.start].clock, &event.clock) && asked[run.start].biofix == asked[place].biofix => {
                run.end = place + 1;
            }
            _ => runs.push(place..place + 1),
        }
    }
    let dated = |runs: Vec<Range<usize>>| odds_of_runs(events, outlook, &asked, runs);
    let several =
        events.len() >= MANY && outlook.futures() > 1 && std::thread::available_parallelism().is_ok_and(|threads| threads.get() > 1);
    let mut answers: Vec<Option<Result<ClockOdds, EventError>>> = vec![None; events.len()];
    let mut lay =
        |parts: Vec<(usize, Result<ClockOdds, EventError>)>| parts.into_iter().for_each(|(place, odds)| answers[place] = Some(odds));
    if several {
        // What the clocks of each part look at is reckoned in that part alone.
        let (by_heat, others): (Vec<_>, Vec<_>) =
            runs.into_iter().partition(|run| matches!(events[run.start].clock.driver, Driver::AirDegreeDays { .. }));
        std::thread::scope(|scope| {
            let beside = scope.spawn(|| dated(others.clone()));
            lay(dated(by_heat));
            lay(beside.join().unwrap_or_else(|_| dated(others.clone())));
        });
    } else {
        lay(dated(runs));
    }
    answers.into_iter().flatten().collect()
}

/// The odds of runs of events, each of one clock, with their places.
fn odds_of_runs(
    events: &[Event],
    outlook: &Outlook,
    asked: &[Asked],
    runs: Vec<Range<usize>>,
) -> Vec<(usize, Result<ClockOdds, EventError>)> {
    let mut columns = Columns::default();
    let mut answers = Vec::with_capacity(events.len());
    for run in runs {
        match weather_of(&events[run.start].clock, outlook, &asked[run.start], &mut columns) {
            Ok(weather) => answers.extend(run.map(|place| (place, Ok(spread_out(&events[place], &asked[place], &weather))))),
            Err(why) => answers.extend(run.map(|place| (place, Err(EventError { key: events[place].key(), why: why.clone() })))),
        }
    }
    answers
}

fn dated(event: &Event, outlook: &Outlook, asked: &Asked) -> Result<ClockOdds, ClockError> {
    Ok(spread_out(event, asked, &weather_of(&event.clock, outlook, asked, &mut Columns::default())?))
}

/// The days that the weather and the range of the threshold give, before any error in days.
#[derive(Default)]
struct Weather {
    /// For each point across the threshold (or the calendar's days), a day in each future.
    points: Vec<Days>,
    futures: usize,
    waits_for: Option<String>,
    working: Vec<String>,
    /// The days of all points counted, of the middle one, and what the range makes: each once for all shares of a clock.
    all: OnceCell<DayCount>,
    middle: OnceCell<DayCount>,
    range_sd_days: OnceCell<f64>,
}

fn weather_of(clock: &EventClock, outlook: &Outlook, asked: &Asked, columns: &mut Columns) -> Result<Weather, ClockError> {
    let waits_for = match &clock.start {
        Start::Biofix { event, .. } if asked.biofix.is_none() => Some(event.clone()),
        _ => None,
    };
    let mut weather = Weather { waits_for, working: vec![told(clock)], ..Weather::default() };
    if weather.waits_for.is_some() {
        return Ok(weather);
    }
    match &clock.driver {
        Driver::Calendar { from, to, .. } => weather.points = calendar_days(from, to, outlook)?,
        Driver::DaysAfter { from, to, .. } => {
            let starts = start_days(clock, outlook, asked.biofix, columns)?;
            let later = |share: &f64| (f64::from(*from) + share * (f64::from(*to) - f64::from(*from))).round() as i32;
            weather.points = POINTS.iter().map(later).map(|later| starts.iter().map(|day| Some((*day)? + later)).collect()).collect();
            weather.futures = if matches!(clock.start, Start::SoilTemperature { .. }) { outlook.futures() } else { 0 };
        }
        Driver::DayLength { at, .. } => {
            let start = start_date(clock, outlook, asked.biofix)?.unwrap_or(outlook.on);
            let last = outlook.last()?;
            let days = day_length_days(start, last, outlook.latitude_deg, &thresholds(clock), *at);
            weather.points = days.into_iter().map(|day| vec![day]).collect();
        }
        _ => {
            let driving = Driving::new(clock, outlook, asked.biofix, columns)?;
            weather.points = driving.days(&thresholds(clock));
            weather.futures = outlook.futures();
            weather.working.push(format!("over {} futures ({}) from {}", weather.futures, outlook.word(), outlook.on));
        }
    }
    weather.working.extend(asked.biofix.map(Biofix::told));
    if outlook.south {
        weather.working.push("moved by half a year for the southern hemisphere".to_owned());
    }
    Ok(weather)
}

/// The points across a threshold, in C-days, °C, hours or mm; one where it is a single figure.
fn thresholds(clock: &EventClock) -> Vec<f64> {
    let Some(threshold) = &clock.threshold else { return Vec::new() };
    let (low, high) = (threshold.unit.si(threshold.low), threshold.unit.si(threshold.high));
    if low < high { POINTS.iter().map(|share| low + share * (high - low)).collect() } else { vec![low] }
}

fn calendar_days(from: &str, to: &str, outlook: &Outlook) -> Result<Vec<Days>, ClockError> {
    let season = outlook.season(0);
    let first = day_number(season.date(month_day(from)?)?);
    let mut last = day_number(season.date(month_day(to)?)?);
    if last < first {
        last = day_number(outlook.season(1).date(month_day(to)?)?);
    }
    Ok(POINTS.iter().map(|share| vec![Some(first + (share * f64::from(last - first)).round() as i32)]).collect())
}

impl Weather {
    /// The days that count: all points of the threshold, or where a sight has taught how the clock runs here, its middle.
    fn days(&self, observed: bool) -> &DayCount {
        let middle = self.points.len() / 2;
        match self.points.get(middle) {
            Some(days) if observed => self.middle.get_or_init(|| DayCount::of(days.iter())),
            _ => self.all.get_or_init(|| DayCount::of(self.points.iter().flatten())),
        }
    }

    /// Standard deviation in days that the range of the threshold makes, the weather aside.
    fn range_sd_days(&self) -> f64 {
        *self.range_sd_days.get_or_init(|| self.spread_of_range())
    }

    fn spread_of_range(&self) -> f64 {
        let mean = |days: &Days| {
            let (sum, count) = days.iter().flatten().fold((0.0, 0_u32), |(sum, count), day| (sum + f64::from(*day), count + 1));
            (count > 0).then(|| sum / f64::from(count))
        };
        let means: Vec<f64> = self.points.iter().filter_map(mean).collect();
        let middle = means.iter().sum::<f64>() / means.len().max(1) as f64;
        (means.iter().map(|mean| (mean - middle).powi(2)).sum::<f64>() / means.len().max(1) as f64).sqrt()
    }
}

/// Adds the errors in days to the weather's days.
fn spread_out(event: &Event, asked: &Asked, weather: &Weather) -> ClockOdds {
    let spread = Spread::of(event, asked);
    let without = match &event.clock.driver {
        Driver::AirTemperature { which: Which::Last, .. } => Without::Early,
        _ => Without::Late,
    };
    let days = DayOdds::widened(weather.days(asked.shift.is_some()), &spread.steps(), without);
    ClockOdds {
        key: event.key(),
        name: event.name(),
        kind: event.clock.kind,
        p10: days.quantile(0.1),
        p50: days.quantile(0.5),
        p90: days.quantile(0.9),
        never: days.never(),
        futures: weather.futures,
        remembered: event.standing != Standing::Read && !event.clock.is_weather_itself(),
        standing: event.standing,
        doubt_sd_days: Spread::of(event, &Asked { shift: None, ..*asked }).doubt_sd_days().hypot(weather.range_sd_days()),
        waits_for: weather.waits_for.clone(),
        region: event.clock.region.clone(),
        source: event.clock.source.clone(),
        working: [weather.working.clone(), spread.told(event)].concat(),
        days,
    }
}

/// The errors in days beside the weather: a shift, and a standard deviation.
struct Spread {
    shift_days: f64,
    /// Of the model, or of what is left of its error after observations.
    model_sd_days: f64,
    /// Of the soil reckoned from the air.
    soil_sd_days: f64,
    /// Of individuals, where no share of them is asked for.
    individuals_sd_days: f64,
    observed: Option<Shift>,
    /// Days from the individual at the threshold to the share asked for.
    share_days: f64,
}

impl Spread {
    fn of(event: &Event, asked: &Asked) -> Self {
        let clock = &event.clock;
        let by_soil = matches!(clock.driver, Driver::SoilDegreeDays { .. } | Driver::SoilTemperature { .. })
            || matches!(clock.start, Start::SoilTemperature { .. });
        let individuals_sd_days = clock.individuals.as_ref().map_or(0.0, |apart| apart.ten_to_ninety_days / (2.0 * TEN_TO_MIDDLE));
        let share_days = match (&clock.individuals, event.share) {
            (Some(apart), Some(share)) => individuals_sd_days * (normal_quantile(share) - normal_quantile(apart.at_threshold)),
            _ => 0.0,
        };
        Self {
            shift_days: share_days + asked.shift.map_or(0.0, |shift| shift.mean_days),
            // What was seen of the event itself tells more than a start that was seen elsewhere.
            model_sd_days: asked.shift.map_or_else(
                || (clock.model_error.days / TEN_TO_MIDDLE).hypot(asked.biofix.map_or(0.0, |biofix| biofix.sd_days)),
                |shift| shift.sd_days,
            ),
            // What was seen has already met the real soil.
            soil_sd_days: if by_soil && asked.shift.is_none() { soil::ERROR_DAYS / TEN_TO_MIDDLE } else { 0.0 },
            individuals_sd_days: if event.share.is_none() { individuals_sd_days } else { 0.0 },
            observed: asked.shift,
            share_days,
        }
    }

    /// Of the clock itself, individuals aside.
    fn doubt_sd_days(&self) -> f64 {
        self.model_sd_days.hypot(self.soil_sd_days)
    }

    fn sd_days(&self) -> f64 {
        self.doubt_sd_days().hypot(self.individuals_sd_days)
    }

    /// Days to add to a day of the weather; each stands for an equal share, and together they have this spread's mean and deviation.
    fn steps(&self) -> Vec<f64> {
        let sd = self.sd_days();
        if sd <= 0.0 {
            return vec![self.shift_days];
        }
        let (nodes, node_sd) = &*NODE_PLACES;
        nodes.iter().map(|z| self.shift_days + sd * z / node_sd).collect()
    }

    fn told(&self, event: &Event) -> Vec<String> {
        let clock = &event.clock;
        let mut told = Vec::new();
        match self.observed {
            Some(shift) => told.push(format!(
                "moved by {:+.1} days by what was seen; ± {:.1} days are left",
                shift.mean_days,
                shift.sd_days * TEN_TO_MIDDLE
            )),
            None if clock.is_weather_itself() => told.push("the weather itself: no model error".to_owned()),
            None => told.push(format!("model error ± {} days for eight in ten ({})", clock.model_error.days, clock.model_error.source)),
        }
        if self.soil_sd_days > 0.0 {
            told.push(format!("soil reckoned from the air: ± {} days more (memory)", soil::ERROR_DAYS));
        }
        if let Some(apart) = &clock.individuals {
            let days = apart.ten_to_ninety_days;
            told.push(match event.share {
                Some(share) => format!(
                    "{:.0} % of individuals: {:+.1} days from the threshold; 10 to 90 % take {days} days ({})",
                    share * 100.0,
                    self.share_days,
                    apart.source
                ),
                None => format!("one individual at random: 10 to 90 % take {days} days ({})", apart.source),
            });
        }
        if event.standing != Standing::Read && !clock.is_weather_itself() {
            told.push(format!("the clock is {}: it opens no treatment window by itself", event.standing.words()));
        }
        told
    }
}

/// Places of the nodes on the standard normal, and their standard deviation.
static NODE_PLACES: LazyLock<([f64; NODES], f64)> = LazyLock::new(|| {
    let nodes = std::array::from_fn(|node| normal_quantile((node as f64 + 0.5) / NODES as f64));
    (nodes, (nodes.iter().map(|z| z * z).sum::<f64>() / NODES as f64).sqrt())
});

/// Quantile of the standard normal; 0 for a share that is none.
fn normal_quantile(share: f64) -> f64 {
    if share > 0.0 && share < 1.0 { Normal::standard().inverse_cdf(share) } else { 0.0 }
}

/// A clock in one line, with its figures and sources.
fn told(clock: &EventClock) -> String {
    let start = match &clock.start {
        Start::Date { day, source } => format!("from {day} ({source})"),
        Start::Biofix { event, source, .. } => format!("from the day this is seen: {event} ({source})"),
        Start::SoilTemperature { day, depth, at_or_above, days, source } => {
            format!("from the first {days} days with soil at {at_or_above}, {depth} deep, from {day} ({source})")
        }
        Start::DayLength { day, hours, source } => format!("from the first day of {hours} hours, from {day} ({source})"),
    };
    let driver = match &clock.driver {
        Driver::AirDegreeDays { method, base, upper, .. } => {
            let upper = upper.as_ref().map(|upper| format!(", up to {upper}")).unwrap_or_default();
            format!("heat of the air above {base}{upper}, {method}")
        }
        Driver::SoilDegreeDays { depth, base, .. } => format!("heat of the soil above {base}, {depth} deep"),
        Driver::SoilTemperature { depth, days, .. } => format!("mean soil temperature of {days} days, {depth} deep"),
        Driver::AirTemperature { of, days, .. } => format!("{} of the air, {days} days running", format!("{of:?}").to_lowercase()),
        Driver::ChillThenHeat { chill_at, chill_hours, base, method, .. } => {
            format!("{chill_hours} hours at {chill_at} or below, then heat above {base}, {method}")
        }
        Driver::DayLength { .. } => "day length".to_owned(),
        Driver::Rain { days, .. } => format!("rain of {days} days"),
        Driver::DaysAfter { from, to, .. } => format!("{from} to {to} days after the start"),
        Driver::Calendar { from, to, .. } => format!("calendar {from} to {to}"),
    };
    let threshold = clock.threshold.as_ref().map(|t| match t.low < t.high {
        true => format!(": {} to {} {} ({})", t.low, t.high, t.unit.name(), t.source),
        false => format!(": {} {} ({})", t.low, t.unit.name(), t.source),
    });
    format!("{driver} ({}), {start}{}; {}, {}", clock.driver.source(), threshold.unwrap_or_default(), clock.region, clock.edition)
}
