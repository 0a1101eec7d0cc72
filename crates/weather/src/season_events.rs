//! The year's weather-only events with their odds: frosts, degree-day totals, soil warmth, heat, wet and dry spells.
//!
//! Every event belongs to one calendar year. Days before `on` are known, `on` and later are not looked at. Quantiles are over the futures
//! in which the event comes on or after `on` in that calendar year; `never` is the share in which it does not. An event that is already
//! past has no quantiles, `never` is 1, and `happened` names the day.
//!
//! South of the equator the halves of the year swap: what is looked for from 1 July is looked for from 1 January and the other way
//! round, and a start such as 1 February becomes 1 August. Degree-days from 1 January and 1 March keep the date in their name.
//!
//! **Soil** is told in two ways, side by side. `soil-…` is a mean of the air over 14 days, which stands for topsoil and nothing more.
//! `turf-soil-…` is the temperature 10 cm under turf, led down from each day's air through a column of soil
//! ([`crate::soil_temperature`]), to about ± 2.5 °C. Neither is a thermometer.
//!
//! # Source
//! 32 °F freeze and 28 °F hard freeze as in [`crate::frost`]; the soil proxy, spells and heat days are our own definitions (common practice).

mod soil;

use std::sync::LazyLock;

use jiff::civil::{Date, date};
use serde::{Deserialize, Serialize};

pub use soil::SOIL_DEPTH_M;

use crate::calendar::{date_of, day_number, month_day_in};
use crate::error::WeatherError;
use crate::futures::{Forecast, Futures, Kind, Path};
use crate::quantile::{QuantileRule, quantile};
use crate::series::{Element, Hemisphere, Series};

/// What makes an event.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rule {
    /// The first day on which the running sum of max(0, (max + min)/2 − 50 °F) since a day reaches a figure, °F-days.
    HeatSum {
        /// Month and day from which heat is summed, that day counted.
        start: (i8, i8),
        /// The figure, °F-days.
        total_f: f64,
    },
    /// The last day of the year's first half with a minimum at or below so many whole °F, after rounding.
    LastFrost {
        /// °F.
        at_most_f: f64,
    },
    /// The first such day of the year's second half.
    FirstFrost {
        /// °F.
        at_most_f: f64,
    },
    /// The first day from a date on which the mean of (max + min)/2 over 14 days, which stands for the soil's temperature, is at least a
    /// figure.
    SoilWarm {
        /// From this month and day.
        from: (i8, i8),
        /// °C.
        at_least_c: f64,
    },
    /// The first day from a date on which that mean is below a figure.
    SoilCool {
        /// From this month and day.
        from: (i8, i8),
        /// °C.
        below_c: f64,
    },
    /// The first day from a date at whose end the soil under turf ([`SOIL_DEPTH_M`]), led down from the air, is at least so warm.
    TurfSoilWarm {
        /// From this month and day.
        from: (i8, i8),
        /// °C.
        at_least_c: f64,
    },
    /// The first day from a date at whose end that soil is colder than a figure.
    TurfSoilCool {
        /// From this month and day.
        from: (i8, i8),
        /// °C.
        below_c: f64,
    },
    /// The day on which a run of so many days is full, each with at least so much rain.
    WetRun {
        /// From this month and day.
        from: (i8, i8),
        /// Days.
        days: usize,
        /// mm on each.
        at_least_mm: f64,
    },
    /// The first day on which the rain of so many days reaches a figure.
    WetSum {
        /// From this month and day.
        from: (i8, i8),
        /// Days.
        days: usize,
        /// mm together.
        at_least_mm: f64,
    },
    /// The day on which a run of so many days is full, each with less than so much rain.
    DryRun {
        /// From this month and day.
        from: (i8, i8),
        /// Days.
        days: usize,
        /// mm on each.
        below_mm: f64,
    },
    /// The day on which a run of so many days is full, each with a maximum of at least so many whole °F.
    HeatRun {
        /// From this month and day.
        from: (i8, i8),
        /// Days.
        days: usize,
        /// °F.
        at_least_f: f64,
    },
}

/// An event of the year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeatherEvent {
    /// Its key.
    pub key: String,
    /// Its name for people.
    pub name: String,
    /// What makes it.
    pub rule: Rule,
}

/// All events, in the order of their keys' kinds.
pub static WEATHER_EVENTS: LazyLock<Vec<WeatherEvent>> = LazyLock::new(|| {
    let mut events = Vec::new();
    let mut add = |key: String, name: String, rule: Rule| events.push(WeatherEvent { key, name, rule });
    for (at_most_f, word, name) in [(32.0, "frost", "frost"), (28.0, "hard-freeze", "hard freeze")] {
        add(format!("last-{word}-{at_most_f}f"), format!("last {name} of spring ({at_most_f} °F or less)"), Rule::LastFrost { at_most_f });
        add(
            format!("first-{word}-{at_most_f}f"),
            format!("first {name} of autumn ({at_most_f} °F or less)"),
            Rule::FirstFrost { at_most_f },
        );
    }
    for (start, word, name) in [((1, 1), "jan1", "1 January"), ((3, 1), "mar1", "1 March")] {
        for total_f in [100.0, 500.0, 900.0] {
            let name = format!("{total_f} degree-days over 50 °F since {name}");
            add(format!("degree-days-50f-from-{word}-{total_f}"), name, Rule::HeatSum { start, total_f });
        }
    }
    let others = [
        ("soil-warm-50f", "topsoil at 50 °F (14-day mean of the air)", Rule::SoilWarm { from: (2, 1), at_least_c: 10.0 }),
        ("soil-warm-60f", "topsoil at 60 °F (14-day mean of the air)", Rule::SoilWarm { from: (2, 1), at_least_c: 140.0 / 9.0 }),
        ("soil-cool-50f", "topsoil under 50 °F (14-day mean of the air)", Rule::SoilCool { from: (9, 1), below_c: 10.0 }),
        (
            "turf-soil-warm-50f",
            "soil 10 cm under turf at 50 °F (reckoned from the air)",
            Rule::TurfSoilWarm { from: (2, 1), at_least_c: 10.0 },
        ),
        (
            "turf-soil-warm-60f",
            "soil 10 cm under turf at 60 °F (reckoned from the air)",
            Rule::TurfSoilWarm { from: (2, 1), at_least_c: 140.0 / 9.0 },
        ),
        (
            "turf-soil-cool-50f",
            "soil 10 cm under turf below 50 °F (reckoned from the air)",
            Rule::TurfSoilCool { from: (9, 1), below_c: 10.0 },
        ),
        ("wet-run-3d", "first 3 days in a row with 1 mm of rain, from 1 April", Rule::WetRun { from: (4, 1), days: 3, at_least_mm: 1.0 }),
        ("soaking-50mm", "first 50 mm of rain within 3 days, from 1 April", Rule::WetSum { from: (4, 1), days: 3, at_least_mm: 50.0 }),
        ("dry-run-10d", "first 10 days in a row under 1 mm of rain, from 1 May", Rule::DryRun { from: (5, 1), days: 10, below_mm: 1.0 }),
        ("heat-90f", "first day of 90 °F", Rule::HeatRun { from: (3, 1), days: 1, at_least_f: 90.0 }),
        ("heat-run-3d-90f", "first 3 days in a row of 90 °F", Rule::HeatRun { from: (3, 1), days: 3, at_least_f: 90.0 }),
    ];
    for (key, name, rule) in others {
        add(key.to_owned(), name.to_owned(), rule);
    }
    events
});

/// The event of a key.
#[must_use]
pub fn event(key: &str) -> Option<&'static WeatherEvent> {
    WEATHER_EVENTS.iter().find(|event| event.key == key)
}

/// The days of one calendar year in columns, from 1 January.
#[derive(Debug, Clone, PartialEq)]
pub struct YearColumns {
    /// The year.
    pub year: i16,
    /// Lowest temperature of each day, °C.
    pub tmin_c: Vec<f64>,
    /// Highest temperature of each day, °C.
    pub tmax_c: Vec<f64>,
    /// Precipitation of each day, mm; NaN where it is not known.
    pub prcp_mm: Vec<f64>,
    /// Soil [`SOIL_DEPTH_M`] under turf at the end of each day, led down from the air, °C; NaN where too little of the air is known.
    pub soil_c: Vec<f64>,
}

impl YearColumns {
    /// A year of a series, NaN where the series does not reach.
    #[must_use]
    pub fn of_series(series: &Series, year: i16) -> YearColumns {
        let first = day_number(date(year, 1, 1));
        let days = first..day_number(date(year, 12, 31)) + 1;
        let column = |element: Element| {
            let value = |number: i32| series.value(element, date_of(number)).unwrap_or(f64::NAN);
            days.clone().map(value).collect()
        };
        YearColumns {
            year,
            tmin_c: column(Element::MinimumTemperature),
            tmax_c: column(Element::MaximumTemperature),
            prcp_mm: column(Element::Precipitation),
            soil_c: soil::of_series(series, year),
        }
    }

    /// The calendar year of `on` in each future: known days, then the future's.
    #[must_use]
    pub fn of_futures(futures: &Futures) -> Vec<YearColumns> {
        let mut years: Vec<YearColumns> = futures.paths.iter().map(|path| YearColumns::of_future(futures, path)).collect();
        soil::fill(futures, &mut years);
        years
    }

    /// One future's, without its soil.
    fn of_future(futures: &Futures, path: &Path) -> YearColumns {
        let year = futures.on.year();
        let mut columns = YearColumns { year, tmin_c: Vec::new(), tmax_c: Vec::new(), prcp_mm: Vec::new(), soil_c: Vec::new() };
        let first = day_number(date(year, 1, 1));
        let (known, on) = (day_number(futures.first_known), day_number(futures.on));
        for number in first..day_number(date(year, 12, 31)) + 1 {
            let (column, place) = if number < on { (&futures.known, number - known) } else { (path, number - on) };
            let place = usize::try_from(place).unwrap_or(usize::MAX);
            let at = |values: &[f64]| values.get(place).copied().unwrap_or(f64::NAN);
            columns.tmin_c.push(at(&column.tmin_c));
            columns.tmax_c.push(at(&column.tmax_c));
            columns.prcp_mm.push(at(&column.prcp_mm));
        }
        columns
    }

    /// Days in the year.
    #[must_use]
    pub fn len(&self) -> usize {
        self.tmin_c.len()
    }

    /// Whether it holds no day.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.tmin_c.is_empty()
    }

    /// The place of a month and day in the year's columns.
    fn place(&self, (month, day): (i8, i8)) -> usize {
        let number = month_day_in(self.year, month, day).map_or(0, day_number) - day_number(date(self.year, 1, 1));
        usize::try_from(number).unwrap_or(0)
    }

    fn soil(&self, place: usize) -> f64 {
        self.soil_c.get(place).copied().unwrap_or(f64::NAN)
    }

    fn mean_c(&self, place: usize) -> f64 {
        (self.tmin_c[place] + self.tmax_c[place]) / 2.0
    }
}

/// Days of the running mean that stands for the soil's temperature.
const SOIL_DAYS: usize = 14;

fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// Where a search begins; half a year on or back south of the equator.
fn moved((month, day): (i8, i8), hemisphere: Hemisphere) -> (i8, i8) {
    match hemisphere {
        Hemisphere::North => (month, day),
        Hemisphere::South => ((month + 5) % 12 + 1, day),
    }
}

impl Rule {
    /// Whether the event is the last of its kind, so that it can still come after it came.
    #[must_use]
    pub fn is_last(self) -> bool {
        matches!(self, Rule::LastFrost { .. })
    }

    /// The places in the year's columns between which the event can come: the first and one past the last.
    #[must_use]
    pub fn window(self, year: &YearColumns, hemisphere: Hemisphere) -> (usize, usize) {
        let half = |first: bool| {
            let july = year.place((7, 1));
            if first == (hemisphere == Hemisphere::North) { (0, july) } else { (july, year.len()) }
        };
        match self {
            Rule::LastFrost { .. } => half(true),
            Rule::FirstFrost { .. } => half(false),
            Rule::HeatSum { start, .. } => (year.place(start), year.len()),
            Rule::SoilWarm { from, .. }
            | Rule::SoilCool { from, .. }
            | Rule::TurfSoilWarm { from, .. }
            | Rule::TurfSoilCool { from, .. }
            | Rule::WetRun { from, .. }
            | Rule::WetSum { from, .. }
            | Rule::DryRun { from, .. }
            | Rule::HeatRun { from, .. } => (year.place(moved(from, hemisphere)), year.len()),
        }
    }

    /// The place in the year's columns on which the event falls.
    #[must_use]
    pub fn place_in(self, year: &YearColumns, hemisphere: Hemisphere) -> Option<usize> {
        let (from, end) = self.window(year, hemisphere);
        let frost = |place: &usize, at_most_f: f64| fahrenheit(year.tmin_c[*place]).round() <= at_most_f;
        match self {
            Rule::HeatSum { total_f, .. } => {
                let mut heat = 0.0;
                (from..end).find(|place| {
                    heat += (fahrenheit(year.mean_c(*place)) - 50.0).max(0.0);
                    heat >= total_f - 1e-6
                })
            }
            Rule::LastFrost { at_most_f } => (from..end).rev().find(|place| frost(place, at_most_f)),
            Rule::FirstFrost { at_most_f } => (from..end).find(|place| frost(place, at_most_f)),
            Rule::SoilWarm { at_least_c, .. } => soil_day(year, from, end, |mean| mean >= at_least_c),
            Rule::SoilCool { below_c, .. } => soil_day(year, from, end, |mean| mean < below_c),
            Rule::TurfSoilWarm { at_least_c, .. } => (from..end).find(|place| year.soil(*place) >= at_least_c),
            Rule::TurfSoilCool { below_c, .. } => (from..end).find(|place| year.soil(*place) < below_c),
            Rule::WetRun { days, at_least_mm, .. } => run_full(from, end, days, |place| year.prcp_mm[place] >= at_least_mm),
            Rule::DryRun { days, below_mm, .. } => run_full(from, end, days, |place| year.prcp_mm[place] < below_mm),
            Rule::HeatRun { days, at_least_f, .. } => {
                run_full(from, end, days, |place| fahrenheit(year.tmax_c[place]).round() >= at_least_f)
            }
            Rule::WetSum { days, at_least_mm, .. } => (from + days..end).find(|place| {
                let span = &year.prcp_mm[place + 1 - days..=*place];
                span.iter().filter(|rain| !rain.is_nan()).sum::<f64>() >= at_least_mm
            }),
        }
    }
}

fn soil_day(year: &YearColumns, from: usize, end: usize, holds: impl Fn(f64) -> bool) -> Option<usize> {
    let mean = |place: usize| (place + 1 - SOIL_DAYS..=place).map(|day| year.mean_c(day)).sum::<f64>() / SOIL_DAYS as f64;
    (from.max(SOIL_DAYS - 1)..end).find(|place| holds(mean(*place)))
}

fn run_full(from: usize, end: usize, days: usize, holds: impl Fn(usize) -> bool) -> Option<usize> {
    let mut run = 0;
    (from..end).find(|place| {
        run = if holds(*place) { run + 1 } else { 0 };
        run >= days
    })
}

/// An event's dates over the futures of a year.
#[derive(Debug, Clone, PartialEq)]
pub struct EventDates {
    /// The day on which it has already come, before `on`.
    pub happened: Option<usize>,
    /// Days of the year (0 for 1 January) on or after `on`, sorted, one for each future in which the event comes.
    pub places: Vec<usize>,
    /// Number of futures.
    pub futures: usize,
}

impl EventDates {
    /// The dates of an event over the years of the futures; `on` is the place of the first day that is not known.
    #[must_use]
    pub fn of(rule: Rule, years: &[YearColumns], on: usize, hemisphere: Hemisphere) -> EventDates {
        let found: Vec<Option<usize>> = years.iter().map(|year| rule.place_in(year, hemisphere)).collect();
        let over = years.first().is_some_and(|year| rule.window(year, hemisphere).1 <= on);
        let happened = found.first().copied().flatten().filter(|place| *place < on && (!rule.is_last() || over));
        let mut places: Vec<usize> = found.into_iter().flatten().filter(|place| *place >= on).collect();
        places.sort_unstable();
        EventDates { happened, places, futures: years.len() }
    }

    /// A quantile over the futures in which the event comes, by the crate's rule ([`QuantileRule::Linear`]), in days of the year.
    #[must_use]
    pub fn quantile(&self, probability: f64) -> Option<f64> {
        let places: Vec<f64> = self.places.iter().map(|place| *place as f64).collect();
        quantile(&places, probability, QuantileRule::Linear)
    }

    /// The share of futures in which the event does not come on or after `on`.
    #[must_use]
    pub fn never(&self) -> f64 {
        if self.futures == 0 { 1.0 } else { 1.0 - self.places.len() as f64 / self.futures as f64 }
    }
}

/// The odds of one event.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct EventOdds {
    /// The event's key.
    pub key: String,
    /// The event's name.
    pub name: String,
    /// One future in ten has it by this day, of those in which it comes.
    pub p10: Option<Date>,
    /// The middle day.
    pub p50: Option<Date>,
    /// Nine futures in ten have it by this day.
    pub p90: Option<Date>,
    /// Share of futures in which it does not come on or after `on` in this calendar year.
    pub never: f64,
    /// The day on which it has already come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub happened: Option<Date>,
}

/// The odds of the year's events on a date.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SeasonAnswer {
    /// The first day that was not known.
    pub on: Date,
    /// The word for how the futures were made.
    pub future: String,
    /// The events.
    pub events: Vec<EventOdds>,
}

/// The odds of the year's weather events on a date: all of them, or the one with a key. `latitude` says which half of the year is summer
/// (the series' own where it is `None`); without a kind the one that the hindcast found best is taken. A key that is unknown gives an
/// answer without events: look it up with [`event`] first.
///
/// # Errors
/// As [`Futures::of`].
///
/// # Example
/// ```
/// use groundlore_weather::season_events::answer;
/// use groundlore_weather::{Columns, Series, Station};
/// use jiff::civil::date;
///
/// // Three years in which frost ends with April, a day later each year.
/// let mut columns = Columns::default();
/// let mut day = date(2012, 1, 1);
/// while day < date(2015, 4, 1) {
///     let last = date(day.year(), 4, 28).saturating_add(jiff::Span::new().days(day.year() - 2012));
///     columns.tmin_c.push(if day <= last { -2.0 } else { 9.0 });
///     columns.tmax_c.push(15.0);
///     day = day.tomorrow()?;
/// }
/// let series = Series::from_columns(Station::default(), date(2012, 1, 1), columns)?;
/// let kind = groundlore_weather::futures::Kind::Plain;
/// let odds = answer(&series, Some(43.0), date(2015, 4, 1), Some("last-frost-32f"), Some(kind))?;
/// assert_eq!(odds.future, "plain");
/// assert_eq!((odds.events[0].p50, odds.events[0].never), (Some(date(2015, 4, 29)), 0.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn answer(
    series: &Series,
    latitude: Option<f64>,
    on: Date,
    key: Option<&str>,
    kind: Option<Kind>,
) -> Result<SeasonAnswer, WeatherError> {
    answer_after(series, latitude, on, key, kind, None)
}

/// [`answer`] with a forecast before the futures.
///
/// # Errors
/// As [`Futures::of`].
pub fn answer_after(
    series: &Series,
    latitude: Option<f64>,
    on: Date,
    key: Option<&str>,
    kind: Option<Kind>,
    forecast: Option<&Forecast>,
) -> Result<SeasonAnswer, WeatherError> {
    let mut series = series.clone();
    if latitude.is_some() {
        series.station.latitude = latitude;
    }
    let mut futures = Futures::of(&series, on, kind.unwrap_or_default())?;
    if let Some(forecast) = forecast {
        futures = futures.after_forecast(forecast);
    }
    Ok(SeasonAnswer { on, future: futures.word(), events: odds_in(&futures, key) })
}

/// The odds of the events in given futures: all, or the one with a key.
#[must_use]
pub fn odds_in(futures: &Futures, key: Option<&str>) -> Vec<EventOdds> {
    let years = YearColumns::of_futures(futures);
    let first = day_number(date(futures.on.year(), 1, 1));
    let on = usize::try_from(day_number(futures.on) - first).unwrap_or(0);
    let day = |place: f64| date_of(first + (place + 0.5 + 1e-9).floor() as i32);
    let odds = |event: &WeatherEvent| {
        let dates = EventDates::of(event.rule, &years, on, futures.hemisphere);
        let at = |probability: f64| dates.quantile(probability).map(day);
        EventOdds {
            key: event.key.clone(),
            name: event.name.clone(),
            p10: at(0.1),
            p50: at(0.5),
            p90: at(0.9),
            never: dates.never(),
            happened: dates.happened.map(|place| day(place as f64)),
        }
    };
    WEATHER_EVENTS.iter().filter(|event| key.is_none_or(|key| key == event.key)).map(odds).collect()
}
