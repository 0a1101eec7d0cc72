//! The days to come, in as many columns as there are futures, and the word for how they were made.
//!
//! | kind | how |
//! | --- | --- |
//! | [`Kind::Plain`] | this year so far, then each past year's days as they were ([`crate::ensemble`]) |
//! | [`Kind::Detrended`] | each past year's anomalies, placed on today's level of the warming trend ([`crate::trend`]) and on today's state: what a past year owed to its own warm or cold weeks is taken out, and what this year owes to them is put in ([`crate::persistence`]). Each past year stands in three times, moved by five days either way (its rain by ten), and each future has the level's uncertainty |
//! | [`Kind::Generated`] | a stochastic generator fitted to the station, begun from today's state ([`crate::generator`]) |
//!
//! A forecast may stand before any of them ([`Futures::after_forecast`]); the word then says so. Only days before `on` are looked at.
//!
//! Every future runs from `on` for twelve months. Rain that was not measured is NaN.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::{date_of, day_number, day_slot, month_day_in};
use crate::degree_days::DegreeDays;
use crate::ensemble::{Ensemble, EnsembleRules, LeftOut};
use crate::error::WeatherError;
use crate::generator::Generator;
use crate::heat_sums::HeatSums;
use crate::normal_draws::Draws;
use crate::persistence::{AnomalySums, Persistence};
use crate::series::{Day, Element, Hemisphere, Mark, Series};
use crate::trend::{Slope, Trend};

/// Days before `on` that are kept beside the futures.
const KNOWN_DAYS: i32 = 740;
/// Futures that a generator draws.
const GENERATED: usize = 100;

/// How futures are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Past years as they were.
    Plain,
    /// Past years on today's trend and state.
    Detrended,
    /// Drawn by a generator.
    Generated,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Kind; 3] = [Kind::Plain, Kind::Detrended, Kind::Generated];

    /// The kind's word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Kind::Plain => "plain",
            Kind::Detrended => "detrended",
            Kind::Generated => "generated",
        }
    }

    /// The kind by its word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

impl Default for Kind {
    /// The kind with the best odds in the hindcast (`docs/honest-odds.md`): chosen on the years to 1994, shown on the years after.
    fn default() -> Kind {
        Kind::Detrended
    }
}

/// Where a future came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// A past year, by the calendar year of its first day, begun so many days later than `on` falls in it.
    Year {
        /// The year.
        year: i16,
        /// Days later (negative: earlier).
        shift_days: i32,
    },
    /// A draw of the generator.
    Draw(usize),
}

/// One future: its days from `on`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Path {
    /// Where it came from.
    pub origin: Origin,
    /// Lowest temperature of each day, °C.
    pub tmin_c: Vec<f64>,
    /// Highest temperature of each day, °C.
    pub tmax_c: Vec<f64>,
    /// Precipitation of each day, mm; NaN where it is not known.
    pub prcp_mm: Vec<f64>,
}

/// What goes into [`Kind::Detrended`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Detrending {
    /// The trend.
    pub slope: Slope,
    /// Whether the state of the last weeks is carried on.
    pub persistence: bool,
    /// Whether each future stands on a level of its own, drawn from the uncertainty of the fitted one.
    pub level_error: bool,
    /// A past year stands in once for each of these shifts of its days.
    pub shifts_days: Vec<i32>,
    /// So many times as far its rain is moved: rain changes slowly through the year and remembers little, so that days further off are as good.
    pub rain_moves: i32,
}

impl Default for Detrending {
    /// As chosen by the hindcast on the years to 1994; how far the rain is moved was settled after a look at the later years too
    /// (`docs/honest-odds.md`).
    fn default() -> Detrending {
        Detrending { slope: Slope::AllYears, persistence: true, level_error: true, shifts_days: vec![-5, 0, 5], rain_moves: 2 }
    }
}

/// What is fitted to a station's years before a year, and serves all dates in it.
#[derive(Debug, Clone, Serialize)]
pub struct StationFit {
    /// The first year that was not looked at.
    pub before: i16,
    /// Levels and trend of the minimum.
    pub tmin: Trend,
    /// Levels and trend of the maximum.
    pub tmax: Trend,
    /// The generator, where it was asked for and the record allows one.
    #[serde(skip)]
    pub generator: Option<Generator>,
}

impl StationFit {
    /// Fits a series over its years before `before`.
    ///
    /// # Errors
    /// [`WeatherError::NoPastYear`] when no year has temperatures all through.
    pub fn of(series: &Series, before: i16, slope: Slope, with_generator: bool) -> Result<StationFit, WeatherError> {
        let no_past = || WeatherError::NoPastYear {
            station: crate::ensemble::name_of(series),
            on: Date::new(before, 1, 1).unwrap_or(Date::MIN),
            first_day: series.first_day(),
            left_out: 0,
        };
        let tmin = Trend::fit(series, Element::MinimumTemperature, before, slope).ok_or_else(no_past)?;
        let tmax = Trend::fit(series, Element::MaximumTemperature, before, slope).ok_or_else(no_past)?;
        let generator = if with_generator { Generator::fit(series, before, &tmin, &tmax) } else { None };
        Ok(StationFit { before, tmin, tmax, generator })
    }
}

/// The days to come from a date, in columns.
///
/// # Example
/// ```
/// use groundlore_weather::futures::{Futures, Kind};
/// use groundlore_weather::{Columns, DegreeDays, Cutoff, Method, Series, Station};
/// use jiff::civil::date;
///
/// // Three years of an invented station: warm in July, cold in January.
/// let mut columns = Columns::default();
/// let mut day = date(2012, 1, 1);
/// while day < date(2015, 6, 1) {
///     let season = -(f64::from(day.day_of_year()) * 6.283 / 365.0).cos();
///     columns.tmin_c.push(5.0 + 10.0 * season);
///     columns.tmax_c.push(15.0 + 10.0 * season);
///     day = day.tomorrow()?;
/// }
/// let series = Series::from_columns(Station { latitude: Some(43.0), ..Station::default() }, date(2012, 1, 1), columns)?;
/// let futures = Futures::of(&series, date(2015, 6, 1), Kind::Plain)?;
/// let model = DegreeDays::new(Method::Average, 10.0, None, Cutoff::None)?;
/// let dates = futures.dates_reaching(model, date(2015, 1, 1), date(2015, 12, 31), 500.0);
/// assert_eq!((futures.word(), dates.len()), ("plain".to_owned(), 3));
/// assert!(dates.iter().all(|day| day.unwrap() > date(2015, 6, 1)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Serialize)]
pub struct Futures {
    /// The first day that is not known.
    pub on: Date,
    /// How the futures were made.
    pub kind: Kind,
    /// Days at the front that come from a forecast.
    pub forecast_days: usize,
    /// Which half of the year is summer.
    pub hemisphere: Hemisphere,
    /// Past years left out for gaps.
    pub left_out: Vec<LeftOut>,
    /// The first of the known days.
    pub first_known: Date,
    /// The known days up to the day before `on`, gaps filled.
    #[serde(skip)]
    pub known: Path,
    /// The futures, of equal weight.
    #[serde(skip)]
    pub paths: Vec<Path>,
    /// The part of a day's anomaly that the next day keeps.
    day_to_day: f64,
}

impl Futures {
    /// The futures of a series on a date, fitted afresh by the usual rules. For many dates of one year fit once ([`StationFit::of`]) and
    /// use [`Futures::with_fit`].
    ///
    /// # Errors
    /// As [`Ensemble::years_of_record`]. A kind that the record is too short for gives way to [`Kind::Plain`], and [`Futures::kind`] says so.
    pub fn of(series: &Series, on: Date, kind: Kind) -> Result<Futures, WeatherError> {
        let ensemble = Ensemble::with_rules(series, on, EnsembleRules::default())?;
        let rules = Detrending::default();
        let fit =
            if kind == Kind::Plain { None } else { StationFit::of(ensemble.past(), on.year(), rules.slope, kind == Kind::Generated).ok() };
        Ok(Futures::with_fit(&ensemble, fit.as_ref(), kind, &rules))
    }

    /// The futures of an ensemble, with a fit of the station's years before. Without a fit, or where the fit has no generator, the kind
    /// is [`Kind::Plain`].
    #[must_use]
    pub fn with_fit(ensemble: &Ensemble, fit: Option<&StationFit>, kind: Kind, rules: &Detrending) -> Futures {
        let past = ensemble.past();
        let first_known = date_of((day_number(ensemble.on) - KNOWN_DAYS).max(day_number(past.first_day())));
        let from = past.index(first_known).unwrap_or(0);
        let mut futures = Futures {
            on: ensemble.on,
            kind: Kind::Plain,
            forecast_days: 0,
            hemisphere: ensemble.hemisphere,
            left_out: ensemble.left_out.clone(),
            first_known,
            known: copied(past, Origin::Year { year: ensemble.on.year(), shift_days: 0 }, from..past.len()),
            paths: Vec::new(),
            day_to_day: 0.0,
        };
        match (kind, fit) {
            (Kind::Detrended, Some(fit)) => futures.detrend(ensemble, fit, rules),
            (Kind::Generated, Some(StationFit { generator: Some(generator), tmin, tmax, .. })) => {
                futures.kind = Kind::Generated;
                futures.day_to_day = generator.day_to_day();
                let days = twelve_months(ensemble.on).len();
                futures.paths = generator.paths(past, ensemble.on, (tmin, tmax), days, GENERATED, seed_of(ensemble.on));
            }
            _ => futures.paths = plain(ensemble),
        }
        futures
    }

    /// Past years on today's trend and state.
    fn detrend(&mut self, ensemble: &Ensemble, fit: &StationFit, rules: &Detrending) {
        let past = ensemble.past();
        let anomalies = Anomalies::of(past, fit);
        let (now, slot) = (past.len(), day_slot(ensemble.on));
        let lasting = |ahead: &AnomalySums| {
            if rules.persistence { Persistence::fit(&anomalies.slots, &anomalies.mean, ahead, slot, now) } else { Persistence::none() }
        };
        let lasting = [lasting(&AnomalySums::of(&anomalies.tmin)), lasting(&AnomalySums::of(&anomalies.tmax))];
        let dates = twelve_months(ensemble.on);
        let levels: Vec<[f64; 2]> = dates
            .iter()
            .map(|date| [fit.tmin.level_c(day_slot(*date), date.year()), fit.tmax.level_c(day_slot(*date), date.year())])
            .collect();
        let level_errors: Vec<f64> = dates
            .iter()
            .map(|date| {
                let error = |trend: &Trend| trend.level_error_c(day_slot(*date), date.year());
                if rules.level_error { (error(&fit.tmin) + error(&fit.tmax)) / 2.0 } else { 0.0 }
            })
            .collect();
        let mut draws = Draws::seeded(seed_of(ensemble.on));
        let state_now = anomalies.mean.state(now).unwrap_or_default();
        self.kind = Kind::Detrended;
        self.day_to_day = anomalies.day_to_day();
        for future in ensemble.futures() {
            let sources = ensemble.sources(future, &dates);
            for shift_days in &rules.shifts_days {
                let moved = |index: usize, days: i32| usize::try_from(index as i64 + i64::from(days)).ok().filter(|index| *index < now);
                let shifted = |index: usize| moved(index, *shift_days);
                let (Some(begin), Some(_)) = (shifted(sources[0]), shifted(sources[sources.len() - 1])) else { continue };
                // Where the record ends too soon for the rain it is moved no further than the temperatures.
                let far = *shift_days * rules.rain_moves;
                let whole = moved(sources[0], far).is_some() && moved(sources[sources.len() - 1], far).is_some();
                let rain_days = if whole { far } else { *shift_days };
                let Some(state_then) = anomalies.mean.state(begin) else { continue };
                let origin = Origin::Year { year: future.year, shift_days: *shift_days };
                let mut path = Path { origin, tmin_c: Vec::new(), tmax_c: Vec::new(), prcp_mm: Vec::new() };
                let off = draws.normal();
                for (lead, unmoved) in sources.iter().enumerate() {
                    let Some(source) = shifted(*unmoved) else { continue };
                    let carried = |element: usize| {
                        lasting[element].carried_c(state_now, lead) - lasting[element].carried_c(state_then, lead)
                            + off * level_errors[lead]
                    };
                    path.push(
                        levels[lead][0] + anomalies.tmin[source] + carried(0),
                        levels[lead][1] + anomalies.tmax[source] + carried(1),
                        moved(*unmoved, rain_days).map_or(f64::NAN, |source| measured_rain(past, source)),
                    );
                }
                self.paths.push(path);
            }
        }
        if self.paths.is_empty() {
            self.kind = Kind::Plain;
            self.paths = plain(ensemble);
        }
    }

    /// The word for how these futures were made: `plain`, `detrended`, `generated`, or `forecast-then-` one of them.
    #[must_use]
    pub fn word(&self) -> String {
        if self.forecast_days > 0 { format!("forecast-then-{}", self.kind.word()) } else { self.kind.word().to_owned() }
    }

    /// The known days and one future as one run of days from [`Futures::first_known`].
    #[must_use]
    pub fn joined(&self, path: &Path) -> Path {
        let join = |known: &[f64], coming: &[f64]| [known, coming].concat();
        Path {
            origin: path.origin,
            tmin_c: join(&self.known.tmin_c, &path.tmin_c),
            tmax_c: join(&self.known.tmax_c, &path.tmax_c),
            prcp_mm: join(&self.known.prcp_mm, &path.prcp_mm),
        }
    }

    /// Running sums of heat over known days and future, one for each future, from [`Futures::first_known`]: shared by all starts and
    /// totals of one model (°C).
    #[must_use]
    pub fn heat_sums(&self, model: DegreeDays) -> Vec<HeatSums> {
        let sums = |path: &Path| {
            let joined = self.joined(path);
            HeatSums::over_columns(self.first_known, &joined.tmin_c, &joined.tmax_c, model)
        };
        self.paths.iter().map(sums).collect()
    }

    /// The date in each future on which heat from `start` (counted) reaches a total, `None` where it does not by `end`. A start before
    /// the known days counts from their first.
    #[must_use]
    pub fn dates_reaching(&self, model: DegreeDays, start: Date, end: Date, total: f64) -> Vec<Option<Date>> {
        let start = start.max(self.first_known);
        self.heat_sums(model).iter().map(|sums| sums.first_day_reaching(start, total).filter(|date| *date <= end)).collect()
    }

    /// The days of a future from `from` to `to`, known days before `on` included. Snow is NaN.
    pub fn days<'a>(&'a self, path: &'a Path, from: Date, to: Date) -> impl Iterator<Item = Day> + 'a {
        let (first, on) = (day_number(self.first_known), day_number(self.on));
        let last = on + i32::try_from(path.tmin_c.len()).unwrap_or(0) - 1;
        (day_number(from).max(first)..=day_number(to).min(last)).map(move |number| {
            let (column, place) = if number < on { (&self.known, number - first) } else { (path, number - on) };
            let place = usize::try_from(place).unwrap_or(0);
            Day {
                date: date_of(number),
                tmin_c: column.tmin_c[place],
                tmax_c: column.tmax_c[place],
                prcp_mm: column.prcp_mm[place],
                snow_mm: f64::NAN,
                snwd_mm: f64::NAN,
            }
        })
    }

    /// The last day in each future of the first run of at least `length` days, from `from` to `to`, on all of which a test holds: the day
    /// on which the run is full. A length of 1 dates the first such day.
    pub fn first_run_full(&self, from: Date, to: Date, length: usize, holds: impl Fn(&Day) -> bool) -> Vec<Option<Date>> {
        let full = |path: &Path| {
            let mut run = 0;
            self.days(path, from, to).find_map(|day| {
                run = if holds(&day) { run + 1 } else { 0 };
                (run >= length.max(1)).then_some(day.date)
            })
        };
        self.paths.iter().map(full).collect()
    }

    /// The last day in each future from `from` to `to` on which a test holds.
    pub fn last_day(&self, from: Date, to: Date, holds: impl Fn(&Day) -> bool) -> Vec<Option<Date>> {
        self.paths.iter().map(|path| self.days(path, from, to).filter(|day| holds(day)).last().map(|day| day.date)).collect()
    }

    /// These futures with a forecast before them.
    ///
    /// Each future draws its own error path: from day to day it keeps four fifths of itself, maximum and minimum share most of it, and on
    /// each day it has the forecast's spread. After the last forecast day the future goes on from where it was drawn: the step to
    /// its own weather dies away by the station's own day-to-day persistence (at once for [`Kind::Plain`]). Days of the forecast before `on` are
    /// passed over, and values that are NaN leave the future as it was. Seeded: the same forecast gives the same futures.
    ///
    /// # Source
    /// Common practice in dressing a forecast with its error; the four fifths are memory.
    #[must_use]
    pub fn after_forecast(mut self, forecast: &Forecast) -> Futures {
        let skip = usize::try_from(day_number(self.on) - day_number(forecast.first_day)).unwrap_or(0);
        let late = usize::try_from(day_number(forecast.first_day) - day_number(self.on)).unwrap_or(0);
        let days: Vec<ForecastDay> = forecast.days.iter().skip(skip).copied().collect();
        let whole = self.paths.first().map_or(0, |path| path.tmin_c.len());
        if days.is_empty() || late >= whole {
            return self;
        }
        let mut draws = Draws::seeded(seed_of(self.on) ^ 0x0F0C);
        for path in &mut self.paths {
            path.lay_forecast(&days, late, self.day_to_day, &mut draws);
        }
        self.forecast_days = (late + days.len()).min(whole);
        self
    }
}

impl Path {
    /// Adds a day; a minimum over its maximum changes places with it.
    pub(crate) fn push(&mut self, tmin_c: f64, tmax_c: f64, prcp_mm: f64) {
        self.tmin_c.push(tmin_c.min(tmax_c));
        self.tmax_c.push(tmax_c.max(tmin_c));
        self.prcp_mm.push(prcp_mm);
    }

    fn lay_forecast(&mut self, days: &[ForecastDay], late: usize, keep: f64, draws: &mut Draws) {
        const KEPT: f64 = 0.8;
        const SHARED: f64 = 0.85;
        let fresh = |before: Option<f64>, draw: f64| before.map_or(draw, |before| KEPT * before + (1.0 - KEPT * KEPT).sqrt() * draw);
        let own = |shared: f64, draw: f64| SHARED * shared + (1.0 - SHARED * SHARED).sqrt() * draw;
        let mut error: Option<[f64; 3]> = None;
        let mut steps = [0.0, 0.0];
        for (lead, day) in days.iter().enumerate().take(self.tmin_c.len().saturating_sub(late)) {
            let part = |place: usize| error.map(|error| error[place]);
            let next = [fresh(part(0), draws.normal()), fresh(part(1), draws.normal()), fresh(part(2), draws.normal())];
            error = Some(next);
            let low = day.tmin_c + day.tmin_error_c * own(next[0], next[1]);
            let high = day.tmax_c + day.tmax_error_c * own(next[0], next[2]);
            let place = late + lead;
            let before = [self.tmin_c[place], self.tmax_c[place]];
            let (low, high) = (if low.is_nan() { before[0] } else { low }, if high.is_nan() { before[1] } else { high });
            (self.tmin_c[place], self.tmax_c[place]) = (low.min(high), high.max(low));
            steps = [low - before[0], high - before[1]];
            let (chance, amount) = (draws.uniform(), -draws.uniform().max(1e-12).ln());
            if !day.rain_chance.is_nan() && !day.rain_mm.is_nan() {
                self.prcp_mm[place] = if chance < day.rain_chance { day.rain_mm * amount } else { 0.0 };
            }
        }
        for place in late + days.len()..self.tmin_c.len().min(late + days.len() + 40) {
            steps = [steps[0] * keep, steps[1] * keep];
            let (low, high) = (self.tmin_c[place] + steps[0], self.tmax_c[place] + steps[1]);
            (self.tmin_c[place], self.tmax_c[place]) = (low.min(high), high.max(low));
        }
    }
}

/// A forecast of daily values with its spread.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forecast {
    /// The day of its first entry.
    pub first_day: Date,
    /// Its days, one after the other.
    pub days: Vec<ForecastDay>,
}

/// One day of a forecast; NaN where it says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ForecastDay {
    /// Lowest temperature, °C.
    pub tmin_c: f64,
    /// Highest temperature, °C.
    pub tmax_c: f64,
    /// Standard deviation of the forecast's error in the minimum, °C.
    pub tmin_error_c: f64,
    /// Standard deviation of the forecast's error in the maximum, °C.
    pub tmax_error_c: f64,
    /// Chance of rain, 0 to 1.
    pub rain_chance: f64,
    /// Mean amount if it rains, mm; amounts are drawn exponentially.
    pub rain_mm: f64,
}

impl ForecastDay {
    /// The usual spread of a temperature forecast by lead in days (0 is `on`), °C: 1.5 growing by 0.35 a day to 4.5 at most.
    ///
    /// # Source
    /// Memory, wide; put the provider's own verification in its place where there is one.
    #[must_use]
    pub fn usual_error_c(lead: usize) -> f64 {
        (1.5 + 0.35 * lead as f64).min(4.5)
    }
}

/// Daily anomalies of a record from its levels, with the slots of its days.
struct Anomalies {
    slots: Vec<usize>,
    tmin: Vec<f64>,
    tmax: Vec<f64>,
    mean: AnomalySums,
}

impl Anomalies {
    fn of(past: &Series, fit: &StationFit) -> Anomalies {
        let mut all = Anomalies { slots: Vec::new(), tmin: Vec::new(), tmax: Vec::new(), mean: AnomalySums::of(&[]) };
        for (index, (low, high)) in past.tmin_c().iter().zip(past.tmax_c()).enumerate() {
            let date = past.date(index);
            let slot = day_slot(date);
            all.slots.push(slot);
            all.tmin.push(low - fit.tmin.level_c(slot, date.year()));
            all.tmax.push(high - fit.tmax.level_c(slot, date.year()));
        }
        let means: Vec<f64> = all.tmin.iter().zip(&all.tmax).map(|(low, high)| (low + high) / 2.0).collect();
        all.mean = AnomalySums::of(&means);
        all
    }

    /// Correlation of a day's mean anomaly with the next day's.
    fn day_to_day(&self) -> f64 {
        let mean: Vec<f64> = self.tmin.iter().zip(&self.tmax).map(|(low, high)| (low + high) / 2.0).filter(|a| !a.is_nan()).collect();
        let squares: f64 = mean.iter().map(|anomaly| anomaly * anomaly).sum();
        let products: f64 = mean.windows(2).map(|pair| pair[0] * pair[1]).sum();
        if squares > 0.0 { (products / squares).clamp(0.0, 0.95) } else { 0.0 }
    }
}

/// The dates from a day to the day before its anniversary.
fn twelve_months(on: Date) -> Vec<Date> {
    let first = day_number(on);
    let end = month_day_in(on.year() + 1, on.month(), on.day()).map_or(first + 365, day_number);
    (first..end).map(date_of).collect()
}

fn measured_rain(past: &Series, index: usize) -> f64 {
    let measured = past.marks(Element::Precipitation)[index] == Mark::Measured;
    if measured { past.prcp_mm()[index] } else { f64::NAN }
}

fn copied(past: &Series, origin: Origin, indices: impl IntoIterator<Item = usize>) -> Path {
    let mut path = Path { origin, tmin_c: Vec::new(), tmax_c: Vec::new(), prcp_mm: Vec::new() };
    for index in indices {
        path.tmin_c.push(past.tmin_c()[index]);
        path.tmax_c.push(past.tmax_c()[index]);
        path.prcp_mm.push(measured_rain(past, index));
    }
    path
}

fn plain(ensemble: &Ensemble) -> Vec<Path> {
    let dates = twelve_months(ensemble.on);
    let path = |future: &crate::ensemble::Future| {
        copied(ensemble.past(), Origin::Year { year: future.year, shift_days: 0 }, ensemble.sources(future, &dates))
    };
    ensemble.futures().iter().map(path).collect()
}

/// The same date draws the same futures.
fn seed_of(on: Date) -> u64 {
    u64::try_from(day_number(on)).unwrap_or(0).wrapping_mul(0x9E37_79B9_7F4A_7C15)
}
