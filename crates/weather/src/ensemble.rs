//! The years of record as futures.
//!
//! On a date `on`, what has happened this year is known and what comes is not. Each past year supplies one future: its days from the
//! same month and day on, for twelve months. Events are dated in each future, and the dates together are the odds ([`crate::odds`]).
//!
//! Only days before `on` are ever used: a series that runs on past `on` gives the same answer as one that stops there, so any day of
//! the record can be replayed as if it were today.
//!
//! - Gaps are filled ([`crate::fill`]). A past year with too many gaps ([`EnsembleRules`]) is left out and listed in
//!   [`Ensemble::left_out`]. Gaps of this year before `on` are filled and counted in [`Ensemble::filled_this_year`].
//! - A past year's weather is taken as one unbroken run of days. Its 29 February carries the date 28 February in a year that has none;
//!   in a leap year that borrows from a common one no event falls on the 29th. When `on` itself is 29 February, common years begin on
//!   1 March.
//! - The **growing year** runs from 1 January to 31 December north of the equator and from 1 July to 30 June south of it. A heat start
//!   in its first half is the one in the growing year of `on`; a start in its second half is an autumn start, the last one on or before
//!   `on`. The reckoning ends with the growing year, or for autumn starts with the growing year after the start, and never later than
//!   twelve months after `on`.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::{date_of, day_number, month_day_in};
use crate::check::runs;
use crate::degree_days::DegreeDays;
use crate::error::WeatherError;
use crate::fill::fill_gaps;
use crate::frost::Threshold;
use crate::heat_sums::HeatSums;
use crate::series::{Day, Element, Hemisphere, Mark, Series};

/// How many gaps are borne.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct EnsembleRules {
    /// Most days of a past year that may lack a trusted minimum or maximum.
    pub most_missing_days: usize,
    /// Longest run of such days in a past year.
    pub longest_gap_days: usize,
    /// Most days between the end of the series and `on`.
    pub most_days_after_series: usize,
    /// Keep only so many of the latest past years that are whole enough (30, say, where the climate has moved); `None` keeps all.
    pub latest_years: Option<usize>,
}

impl Default for EnsembleRules {
    /// 36 days in a year (a tenth), 15 in a row, 10 before `on`, all years: common practice.
    fn default() -> EnsembleRules {
        EnsembleRules { most_missing_days: 36, longest_gap_days: 15, most_days_after_series: 10, latest_years: None }
    }
}

/// A sum of heat to be reached.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Heat {
    /// Month and day from which heat is summed, that day counted. 29 February means the last of February.
    pub start: (i8, i8),
    /// The model, in °C.
    pub model: DegreeDays,
    /// The total to be reached, in °C-days (°F-days × 5/9).
    pub total: f64,
}

/// A past year that was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// The calendar year whose day `on` it would have begun with.
    pub year: i16,
    /// Days of its twelve months without a trusted minimum or maximum.
    pub missing_days: usize,
    /// The longest run of them.
    pub longest_gap_days: usize,
}

/// One past year that stands in for the twelve months from `on`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Future {
    /// The calendar year that its first day lies in.
    pub year: i16,
    /// Its first day by index into the series.
    start: usize,
    /// One past its last day.
    end: usize,
}

/// This year so far, continued by each past year. See the module's front page for the rules.
///
/// # Example
/// ```
/// use groundlore_weather::{Columns, Ensemble, Odds, Series, Station};
/// use jiff::civil::date;
///
/// // Three years in which frost comes with November, a day later each year.
/// let first = date(2012, 1, 1);
/// let mut columns = Columns::default();
/// let mut day = first;
/// while day < date(2015, 10, 1) {
///     let frost = day.month() >= 11 && (day.month() == 12 || i16::from(day.day()) >= day.year() - 2011);
///     columns.tmin_c.push(if frost { -1.0 } else { 8.0 });
///     columns.tmax_c.push(15.0);
///     day = day.tomorrow()?;
/// }
/// let station = Station { latitude: Some(43.0), ..Station::default() };
/// let series = Series::from_columns(station, first, columns)?;
/// let ensemble = Ensemble::years_of_record(&series, date(2015, 10, 1))?;
/// let odds = Odds::from_dates(&ensemble.first_frost(0.0), ensemble.on);
/// assert_eq!((odds.p50, odds.futures), (Some(date(2015, 11, 2)), 3));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Serialize)]
pub struct Ensemble {
    /// The first day that is not known.
    pub on: Date,
    /// Which half of the year is summer.
    pub hemisphere: Hemisphere,
    /// Past years left out for gaps.
    pub left_out: Vec<LeftOut>,
    /// Days of the twelve months before `on` with a filled minimum or maximum.
    pub filled_this_year: usize,
    futures: Vec<Future>,
    /// The series up to the day before `on`, gaps filled.
    #[serde(skip)]
    past: Series,
}

impl Ensemble {
    /// The ensemble on a date by the usual [`EnsembleRules`].
    ///
    /// # Errors
    /// [`WeatherError::SeriesEndsEarly`] when the series ends more than ten days before `on`, [`WeatherError::NoPastYear`] when no past
    /// year is whole enough.
    pub fn years_of_record(series: &Series, on: Date) -> Result<Ensemble, WeatherError> {
        Ensemble::with_rules(series, on, EnsembleRules::default())
    }

    /// The ensemble on a date by rules of one's own.
    ///
    /// # Errors
    /// As [`Ensemble::years_of_record`].
    pub fn with_rules(series: &Series, on: Date, rules: EnsembleRules) -> Result<Ensemble, WeatherError> {
        let yesterday = date_of(day_number(on) - 1);
        let hemisphere = series.hemisphere();
        let no_past = |left_out: usize| WeatherError::NoPastYear { station: name_of(series), on, first_day: series.first_day(), left_out };
        let known = series.between(series.first_day(), yesterday).ok_or_else(|| no_past(0))?;
        let missing_days = day_number(yesterday) - day_number(known.last_day());
        if missing_days > i32::try_from(rules.most_days_after_series).unwrap_or(i32::MAX) {
            return Err(WeatherError::SeriesEndsEarly {
                station: name_of(series),
                last_day: known.last_day(),
                on,
                missing_days,
                allowed_days: rules.most_days_after_series,
            });
        }
        let known = known.extended_to(yesterday);
        let (mut futures, left_out) = futures_of(&known, on, rules);
        if let Some(years) = rules.latest_years {
            futures.drain(..futures.len().saturating_sub(years));
        }
        if futures.is_empty() {
            return Err(no_past(left_out.len()));
        }
        let past = fill_gaps(&known).series;
        let year_ago = past.len().saturating_sub(365);
        let filled = |element: Element, index: usize| matches!(past.marks(element)[index], Mark::Filled { .. });
        let filled_this_year = (year_ago..past.len())
            .filter(|index| filled(Element::MinimumTemperature, *index) || filled(Element::MaximumTemperature, *index))
            .count();
        Ok(Ensemble { on, hemisphere, left_out, filled_this_year, futures, past })
    }

    /// The past years that stand in, in order. All results of this ensemble have one entry for each, in this order.
    #[must_use]
    pub fn futures(&self) -> &[Future] {
        &self.futures
    }

    /// The series up to the day before `on`, gaps filled.
    pub(crate) fn past(&self) -> &Series {
        &self.past
    }

    /// The day of a past year, by index into [`Ensemble::past`], that each of some dates from `on` on is borrowed from.
    pub(crate) fn sources(&self, future: &Future, dates: &[Date]) -> Vec<usize> {
        dates.iter().map(|date| self.index_in(future, *date).min(future.end - 1)).collect()
    }

    /// Running sums over the known days for a model in °C, to be shared by all starts and totals of this station and date.
    #[must_use]
    pub fn heat_sums(&self, model: DegreeDays) -> HeatSums {
        HeatSums::over(&self.past, model)
    }

    /// The date in each future on which heat reaches a total; `None` where the reckoning ends before. A total reached before `on` has
    /// the same date in all futures.
    ///
    /// # Errors
    /// [`WeatherError::BadStart`] when the start is no day of the year, [`WeatherError::BadModel`] for a model or total that means
    /// nothing.
    pub fn dates_reaching(&self, heat: &Heat) -> Result<Vec<Option<Date>>, WeatherError> {
        heat.model.check()?;
        self.dates_in_sums(&self.heat_sums(heat.model), heat.start, heat.total)
    }

    /// [`Ensemble::dates_reaching`] for many sums at once: those with the same model share their running sums.
    ///
    /// # Errors
    /// As [`Ensemble::dates_reaching`]; the first bad one ends it.
    pub fn dates_reaching_all(&self, heats: &[Heat]) -> Result<Vec<Vec<Option<Date>>>, WeatherError> {
        let mut shared: Vec<HeatSums> = Vec::new();
        let mut all = Vec::with_capacity(heats.len());
        for heat in heats {
            heat.model.check()?;
            let place = match shared.iter().position(|sums| sums.model() == heat.model) {
                Some(place) => place,
                None => {
                    shared.push(self.heat_sums(heat.model));
                    shared.len() - 1
                }
            };
            all.push(self.dates_in_sums(&shared[place], heat.start, heat.total)?);
        }
        Ok(all)
    }

    /// [`Ensemble::dates_reaching`] with running sums made by [`Ensemble::heat_sums`] of this same ensemble: a few searches by halves for
    /// each future, no loop over days.
    ///
    /// # Errors
    /// As [`Ensemble::dates_reaching`].
    pub fn dates_in_sums(&self, sums: &HeatSums, start: (i8, i8), total: f64) -> Result<Vec<Option<Date>>, WeatherError> {
        if !total.is_finite() || sums.len() != self.past.len() {
            let why = if total.is_finite() {
                "the running sums belong to another ensemble; make them with `heat_sums` of this one".to_owned()
            } else {
                "the total is not a finite number; give one such as 250 °C-days".to_owned()
            };
            return Err(WeatherError::BadModel { why });
        }
        let (start, end) = self.heat_season(start)?;
        Ok(self.dates_between(sums, start, end, total))
    }

    /// The date in each future on which the heat from `start` (counted) reaches a total, `None` where it does not by `end`: the form
    /// behind [`Ensemble::dates_in_sums`], for a season of one's own such as next spring's asked in December. No future reaches
    /// further than twelve months after `on`. `sums` must come from [`Ensemble::heat_sums`] of this same ensemble.
    #[must_use]
    pub fn dates_between(&self, sums: &HeatSums, start: Date, end: Date, total: f64) -> Vec<Option<Date>> {
        let known = self.known_index(start);
        let known_end = self.past.index(end).map_or(self.past.len(), |index| index + 1);
        if let Some(first) = known
            && let Some(index) = sums.first_index_reaching(first, known_end, total)
        {
            return vec![Some(self.past.date(index)); self.futures.len()];
        }
        let so_far = known.map_or(0.0, |first| sums.between(first, self.past.len()).total);
        let begin = start.max(self.on);
        let date = |future: &Future| {
            let (from, to) = (self.index_in(future, begin), self.index_after(future, end));
            let index = sums.first_index_reaching(from, to, total - so_far)?;
            Some(self.date_in(future, index))
        };
        self.futures.iter().map(|future| if end < begin { None } else { date(future) }).collect()
    }

    /// Heat summed this year from a start to the day before `on`, °C-days; 0 when the start is still to come.
    ///
    /// # Errors
    /// As [`Ensemble::dates_reaching`].
    pub fn heat_so_far(&self, start: (i8, i8), model: DegreeDays) -> Result<f64, WeatherError> {
        model.check()?;
        let (start, _) = self.heat_season(start)?;
        let sums = self.heat_sums(model);
        Ok(self.known_index(start).map_or(0.0, |first| sums.between(first, self.past.len()).total))
    }

    /// The heat summed in each future from a start up to and with `to`, °C-days; days of the past year stand in from `on`.
    ///
    /// # Errors
    /// As [`Ensemble::dates_reaching`].
    pub fn heat_by(&self, start: (i8, i8), model: DegreeDays, to: Date) -> Result<Vec<f64>, WeatherError> {
        model.check()?;
        let sums = self.heat_sums(model);
        let (start, _) = self.heat_season(start)?;
        if to < start {
            return Ok(vec![0.0; self.futures.len()]);
        }
        let known_end = self.past.index(to).map_or(self.past.len(), |index| index + 1);
        let so_far = self.known_index(start).filter(|first| *first < known_end).map_or(0.0, |first| sums.between(first, known_end).total);
        let begin = start.max(self.on);
        let heat = |future: &Future| {
            let (from, end) = (self.index_in(future, begin), self.index_after(future, to));
            so_far + if to >= begin && end > from { sums.between(from, end).total } else { 0.0 }
        };
        Ok(self.futures.iter().map(heat).collect())
    }

    /// The first day in each future from `from` to `to` (both counted) on which a test holds, and `None` where there is none. Days before
    /// `on` are this year's own. Temperatures have their gaps filled; rain and snow that were not measured are NaN, so say in the test
    /// what an unknown day should count as: `day.prcp_mm < 1.0` does not hold on it, `!(day.prcp_mm >= 1.0)` does.
    pub fn first_day(&self, from: Date, to: Date, holds: impl Fn(&Day) -> bool) -> Vec<Option<Date>> {
        let first = |future| self.days(future, from, to).find(|day| holds(day)).map(|day| day.date);
        self.futures.iter().map(first).collect()
    }

    /// The first day in each future of the first run of at least `length` days in a row, from `from` to `to`, on all of which a test
    /// holds: two rain-free days for a spray, say. Otherwise as [`Ensemble::first_day`].
    pub fn first_run(&self, from: Date, to: Date, length: usize, holds: impl Fn(&Day) -> bool) -> Vec<Option<Date>> {
        let first = |future| {
            let mut run: Option<(Date, usize)> = None;
            for day in self.days(future, from, to) {
                run = holds(&day).then(|| run.map_or((day.date, 1), |(first, days)| (first, days + 1)));
                if let Some((first, days)) = run
                    && days >= length
                {
                    return Some(first);
                }
            }
            None
        };
        self.futures.iter().map(first).collect()
    }

    /// The last day in each future from `from` to `to` on which a test holds; otherwise as [`Ensemble::first_day`].
    pub fn last_day(&self, from: Date, to: Date, holds: impl Fn(&Day) -> bool) -> Vec<Option<Date>> {
        let last = |future| self.days(future, from, to).filter(|day| holds(day)).last().map(|day| day.date);
        self.futures.iter().map(last).collect()
    }

    /// The number of days in each future from `from` to `to` on which a test holds; otherwise as [`Ensemble::first_day`].
    pub fn count_days(&self, from: Date, to: Date, holds: impl Fn(&Day) -> bool) -> Vec<usize> {
        self.futures.iter().map(|future| self.days(future, from, to).filter(|day| holds(day)).count()).collect()
    }

    /// The days of one future from `from` to `to`, as far as it reaches: this year's own before `on`, then the past year's, dated as they
    /// would fall now.
    pub fn days<'a>(&'a self, future: &'a Future, from: Date, to: Date) -> impl Iterator<Item = Day> + 'a {
        let known_end = day_number(to.min(date_of(day_number(self.on) - 1)));
        let first_known = day_number(from).max(day_number(self.past.first_day()));
        let known = (first_known..=known_end).filter_map(|number| self.past.index(date_of(number))).map(|index| self.measured_day(index));
        let (start, end) = (self.index_in(future, from.max(self.on)), self.index_after(future, to));
        let end = if to < self.on { start } else { end };
        let coming = (start..end).map(|index| Day { date: self.date_in(future, index), ..self.measured_day(index) });
        known.chain(coming)
    }

    /// The first day in each future with a minimum at or below a threshold, from 1 July of the year of `on` to 30 June (south of the
    /// equator: from 1 January of the growing year to 31 December), and never later than twelve months after `on`. Stations read in
    /// whole °F are compared in whole °F.
    #[must_use]
    pub fn first_frost(&self, threshold_c: f64) -> Vec<Option<Date>> {
        let threshold = Threshold { at_most_c: threshold_c, whole_fahrenheit: self.past.whole_fahrenheit };
        let (year, month) = match self.hemisphere {
            Hemisphere::North => (self.on.year(), 7),
            Hemisphere::South => (self.growing_year() + 1, 1),
        };
        let from = month_day_in(year, month, 1).unwrap_or(self.on);
        let to = month_day_in(year + 1, month, 1).unwrap_or(Date::MAX);
        self.first_day(from, date_of(day_number(to) - 1), |day| threshold.reached_by(day.tmin_c))
    }

    /// The last day in each future with a minimum at or below a threshold, up to the next 30 June on or after `on` (south of the equator
    /// 31 December), from twelve months before that. `None` where no such day comes or came.
    #[must_use]
    pub fn last_frost(&self, threshold_c: f64) -> Vec<Option<Date>> {
        let threshold = Threshold { at_most_c: threshold_c, whole_fahrenheit: self.past.whole_fahrenheit };
        let month = if self.hemisphere == Hemisphere::North { 7 } else { 1 };
        let this = month_day_in(self.on.year(), month, 1).unwrap_or(self.on);
        let year = self.on.year() + i16::from(this <= self.on);
        let after = month_day_in(year, month, 1).unwrap_or(Date::MAX);
        let from = month_day_in(year - 1, month, 1).unwrap_or(self.on);
        self.last_day(from, date_of(day_number(after) - 1), |day| threshold.reached_by(day.tmin_c))
    }

    /// The first and the last day of the reckoning for a heat start; see the module's front page.
    ///
    /// # Errors
    /// [`WeatherError::BadStart`] when the start is no day of the year.
    pub fn heat_season(&self, start: (i8, i8)) -> Result<(Date, Date), WeatherError> {
        let (month, day) = start;
        let bad = || WeatherError::BadStart { month, day };
        // Whether a start exists is asked of a leap year.
        month_day_in(2000, month, day).ok_or_else(bad)?;
        let opening = if self.hemisphere == Hemisphere::North { 1 } else { 7 };
        let growing = month_day_in(self.growing_year(), opening, 1).ok_or_else(bad)?;
        let in_year = month_day_in(growing.year() + i16::from(month < opening), month, day).ok_or_else(bad)?;
        let spring = (month - opening).rem_euclid(12) < 6;
        let begin = if spring || in_year <= self.on { in_year } else { month_day_in(in_year.year() - 1, month, day).ok_or_else(bad)? };
        let years = if !spring && in_year <= self.on { 2 } else { 1 };
        let close = month_day_in(growing.year() + years, opening, 1).ok_or_else(bad)?;
        let horizon = month_day_in(self.on.year() + 1, self.on.month(), self.on.day()).ok_or_else(bad)?;
        Ok((begin, date_of(day_number(close.min(horizon)) - 1)))
    }

    /// The calendar year in which the growing year of `on` opens.
    fn growing_year(&self) -> i16 {
        match self.hemisphere {
            Hemisphere::North => self.on.year(),
            Hemisphere::South => self.on.year() - i16::from(self.on.month() < 7),
        }
    }

    /// The index of a known start day, `None` when the start is still to come. A start before the series counts from its first day.
    fn known_index(&self, start: Date) -> Option<usize> {
        if start >= self.on {
            return None;
        }
        Some(self.past.index(start).unwrap_or(0))
    }

    /// The day of the past year that a day from `on` on is borrowed from, by index, held inside the future.
    fn index_in(&self, future: &Future, date: Date) -> usize {
        if date <= self.on {
            return future.start;
        }
        let year = future.year + (date.year() - self.on.year());
        let borrowed = month_day_in(year, date.month(), date.day()).unwrap_or(date);
        let offset = day_number(borrowed) - day_number(self.past.first_day());
        usize::try_from(offset).unwrap_or(0).clamp(future.start, future.end)
    }

    /// One past the index of the day that `date` is borrowed from.
    fn index_after(&self, future: &Future, date: Date) -> usize {
        self.index_in(future, date_of(day_number(date) + 1))
    }

    /// The date now of a day of the past year.
    fn date_in(&self, future: &Future, index: usize) -> Date {
        let past = self.past.date(index);
        let year = self.on.year() + (past.year() - future.year);
        month_day_in(year, past.month(), past.day()).unwrap_or(past).max(self.on)
    }

    /// A day with temperatures filled and rain and snow only as measured.
    fn measured_day(&self, index: usize) -> Day {
        let day = self.past.day(index);
        let trusted = self.past.marks(Element::Precipitation).get(index) == Some(&Mark::Measured);
        Day { prcp_mm: if trusted { day.prcp_mm } else { f64::NAN }, ..day }
    }
}

/// What to call a series in an error.
pub(crate) fn name_of(series: &Series) -> String {
    let station = &series.station;
    match (station.name.is_empty(), station.id.is_empty()) {
        (false, _) => station.name.clone(),
        (true, false) => station.id.clone(),
        (true, true) => "the station".to_owned(),
    }
}

/// The past years whose twelve months lie wholly before `on`, parted by whether their gaps are borne.
fn futures_of(known: &Series, on: Date, rules: EnsembleRules) -> (Vec<Future>, Vec<LeftOut>) {
    let (low, high) = (known.trusted(Element::MinimumTemperature), known.trusted(Element::MaximumTemperature));
    let gap = |index: usize| low[index].is_nan() || high[index].is_nan();
    let (mut futures, mut left_out) = (Vec::new(), Vec::new());
    for year in known.first_day().year()..on.year() {
        let Some((start, end)) = twelve_months(known, on, year) else { continue };
        let gaps = runs(end - start, |offset| gap(start + offset));
        let length = |(first, last): &(usize, usize)| last - first + 1;
        let missing_days = gaps.iter().map(length).sum();
        let longest_gap_days = gaps.iter().map(length).max().unwrap_or(0);
        if missing_days > rules.most_missing_days || longest_gap_days > rules.longest_gap_days {
            left_out.push(LeftOut { year, missing_days, longest_gap_days });
        } else {
            futures.push(Future { year, start, end });
        }
    }
    (futures, left_out)
}

/// The days from `on` in a past year to the day before `on` in the next, by index; `None` when the series does not hold them all.
fn twelve_months(known: &Series, on: Date, year: i16) -> Option<(usize, usize)> {
    let opening = |year: i16| {
        // 29 February begins on 1 March in a common year: the 28th would lie before it.
        Date::new(year, on.month(), on.day()).or_else(|_| Date::new(year, 3, 1)).ok()
    };
    let start = known.index(opening(year)?)?;
    let last = known.index(date_of(day_number(opening(year + 1)?) - 1))?;
    Some((start, last + 1))
}
