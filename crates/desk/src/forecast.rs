//! The public forecast as the first days of what may come: which days of it are used, how far off they may be, and how it is said.
//!
//! - A forecast is used from today, or from tomorrow where today is half over, day after day until a day is missing. Days that are past
//!   are dropped; a forecast whose last day is past is not used, and neither is one that was made after the day that is asked from.
//! - Its spread grows with the days since it was **made**, so an old one draws its futures wider ([`ForecastDay::usual_error_c`]).
//! - A day needs 20 hours of the clock. On a day that is cut short the minimum counts where the night is whole (hours 0 to 8), the
//!   maximum where the afternoon is (11 to 18), and the rain where half the hours are there; what does not count stays as the past years
//!   have it.
//! - Where a chance of rain is given without an amount, the amount is the station's usual one on a wet day at that time of year.
//! - The odds go by the forecast of the station's place, where the record comes from too; where none of today is kept, by the yard's own, then
//!   by that of the heaviest station within reach.

use crate::events::known_before;
use crate::season_weather::KnownOdds;
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::forecasts::{ForecastHour, ForecastPlace, KeptForecast};
use groundlore_book::yards::Yard;
use groundlore_plant_health::treatment::DayWeather;
use groundlore_sheet::Block;
use groundlore_weather::ensemble::{Ensemble, Heat};
use groundlore_weather::frost::Threshold;
use groundlore_weather::futures::{Forecast, ForecastDay, Futures, Kind, Origin};
use groundlore_weather::heat_sums::HeatSums;
use groundlore_weather::{DegreeDays, Element, Hemisphere, Mark, Series, WeatherError};
use jiff::civil::{Date, DateTime};
use jiff::{Timestamp, ToSpan as _, Unit};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

/// Hours of the clock that a day needs to count as whole.
const WHOLE_DAY_HOURS: usize = 20;
/// Hours with a chance of rain that tell a day's rain.
const RAIN_HOURS: usize = 12;
/// A day with this much rain is wet, mm: 0.01 inch, the least that a public chance of rain speaks of (memory).
const WET_MM: f64 = 0.254;
/// Days either side of a date from which its usual wet day is taken.
const USUAL_DAYS: i32 = 15;
/// Wet days that a usual amount needs.
const ENOUGH_WET_DAYS: usize = 10;
/// Outlooks that are kept ready.
const KEPT_READY: usize = 8;

/// What the odds of a yard were made of, for a person and for a machine.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct FutureNote {
    /// The kind of future: `plain`, `detrended`, `generated`, with `forecast-then-` before it where a forecast begins them.
    pub future: String,
    /// The same in words: `forecast to 24 Aug (as of 17 Aug 06:10, today), then 30 past years`.
    pub future_words: String,
    /// Past years behind the odds.
    pub past_years: usize,
    /// The forecast that begins them.
    pub forecast: Option<ForecastUsed>,
    /// Why the forecast that is kept is not used; nothing where it is, or where none is kept.
    pub forecast_not_used: Option<String>,
}

/// The part of a forecast that is used.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct ForecastUsed {
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// When it was issued, by the clock of its place; where the service does not say, when it was fetched.
    pub as_of: DateTime,
    /// Days from then to the day asked from.
    pub age_days: i32,
    /// When the server last gave or confirmed it.
    pub fetched_at: Timestamp,
    /// Where it was asked for.
    pub address: String,
    /// The day that is missing in it, after which it is not used.
    pub missing: Option<Date>,
}

impl ForecastUsed {
    /// Its end and its age: `forecast to 24 Aug (as of 17 Aug 06:10, today)`.
    #[must_use]
    pub fn words(&self) -> String {
        let age = match self.age_days {
            0 => "today".to_owned(),
            1 => "1 day old".to_owned(),
            days => format!("{days} days old"),
        };
        format!("forecast to {} (as of {}, {age})", self.to.strftime("%-d %b"), self.as_of.strftime("%-d %b %H:%M"))
    }
}

/// One day as the hours of a forecast tell it; NaN where they do not.
#[derive(Debug, Clone, Copy)]
struct DayOfHours {
    date: Date,
    tmin_c: f64,
    tmax_c: f64,
    rain_chance: f64,
    rain_mm: f64,
}

impl DayOfHours {
    fn of(date: Date, hours: &[&ForecastHour]) -> DayOfHours {
        // By the hour of the clock: the one that an autumn day has twice counts once, and the one that a spring day lacks is not asked for.
        let clock: BTreeSet<i8> = hours.iter().map(|hour| hour.local.hour()).collect();
        let whole = clock.len() >= WHOLE_DAY_HOURS;
        let has = |from: i8, to: i8| (from..=to).filter(|hour| clock.contains(hour)).count() >= usize::try_from(to - from).unwrap_or(0);
        let temperatures = || hours.iter().map(|hour| hour.temperature_c);
        let chances: Vec<f64> = hours.iter().filter_map(|hour| hour.rain_chance).collect();
        let amounts: Vec<f64> = hours.iter().filter_map(|hour| hour.rain_mm).collect();
        let enough = |values: &[f64]| values.len() >= RAIN_HOURS;
        DayOfHours {
            date,
            tmin_c: if whole || has(0, 8) { temperatures().fold(f64::INFINITY, f64::min) } else { f64::NAN },
            tmax_c: if whole || has(11, 18) { temperatures().fold(f64::NEG_INFINITY, f64::max) } else { f64::NAN },
            rain_chance: if enough(&chances) { chances.iter().copied().fold(0.0, f64::max) } else { f64::NAN },
            rain_mm: if enough(&amounts) { amounts.iter().sum() } else { f64::NAN },
        }
    }

    fn says_something(&self) -> bool {
        !(self.tmin_c.is_nan() && self.tmax_c.is_nan())
    }
}

/// When a forecast was made, by the clock of its place.
fn made_there(kept: &KeptForecast) -> DateTime {
    let offset = kept.hours.first().map_or(jiff::SignedDuration::ZERO, |hour| {
        let clock = jiff::tz::Offset::UTC.to_timestamp(hour.local).unwrap_or(hour.starts);
        clock.duration_since(hour.starts)
    });
    let utc = jiff::tz::Offset::UTC.to_datetime(kept.made_at());
    utc.checked_add(offset).unwrap_or(utc)
}

/// The days of a kept forecast that are used from a day on, or why none is. `usual_rain_mm` gives the usual amount of a wet day.
fn usable(kept: &KeptForecast, on: Date, usual_rain_mm: impl Fn(Date) -> f64) -> Result<(Forecast, ForecastUsed), String> {
    let issued = made_there(kept);
    let days_from = |from: Date, to: Date| from.until((Unit::Day, to)).map_or(0, |span| span.get_days());
    let mut by_date: BTreeMap<Date, Vec<&ForecastHour>> = BTreeMap::new();
    for hour in &kept.hours {
        by_date.entry(hour.local.date()).or_default().push(hour);
    }
    let days: Vec<DayOfHours> =
        by_date.iter().map(|(date, hours)| DayOfHours::of(*date, hours)).filter(DayOfHours::says_something).collect();
    let said = |date: Date| date.strftime("%-d %b").to_string();
    let Some(last) = days.last() else {
        return Err("the forecast that is kept holds no day that is whole enough; `groundlore weather get` fetches a new one".to_owned());
    };
    if issued.date() > on {
        return Err(format!("the forecast that is kept was issued on {}, after the day that is asked from", said(issued.date())));
    }
    if last.date < on {
        let gone = said(last.date);
        return Err(format!("the forecast that is kept ended on {gone} and is not used; `groundlore weather get` fetches a new one"));
    }
    let tomorrow = on.tomorrow().unwrap_or(on);
    let coming: Vec<&DayOfHours> = days.iter().filter(|day| day.date >= on).collect();
    let Some(first) = coming.first().filter(|day| day.date <= tomorrow) else {
        let begins = coming.first().map_or_else(String::new, |day| said(day.date));
        return Err(format!("the forecast that is kept begins on {begins}, after a gap, and is not used"));
    };
    let mut used = Vec::new();
    let mut next = first.date;
    for day in coming.iter().take_while(|day| {
        let follows = day.date == next;
        next = if follows { day.date.tomorrow().unwrap_or(day.date) } else { next };
        follows
    }) {
        let lead = usize::try_from(days_from(issued.date(), day.date)).unwrap_or(0);
        let error = ForecastDay::usual_error_c(lead);
        // An amount of nothing beside a chance of rain tells no amount.
        let rain_mm = if day.rain_mm > 0.0 { day.rain_mm } else { usual_rain_mm(day.date) };
        used.push(ForecastDay {
            tmin_c: day.tmin_c,
            tmax_c: day.tmax_c,
            tmin_error_c: error,
            tmax_error_c: error,
            rain_chance: day.rain_chance,
            rain_mm,
        });
    }
    let to = next.yesterday().unwrap_or(next);
    let note = ForecastUsed {
        from: first.date,
        to,
        as_of: issued,
        age_days: days_from(issued.date(), on),
        fetched_at: kept.fetched_at,
        address: kept.address.clone(),
        missing: (to < last.date).then_some(next),
    };
    Ok((Forecast { first_day: first.date, days: used }, note))
}

/// Mean rain of the wet days of the record about a day of the year, mm; of the whole record where they are few; NaN where it has none.
fn usual_wet_day_mm(series: &Series, date: Date) -> f64 {
    let marks = series.marks(Element::Precipitation);
    let wet = |near: bool| {
        let apart = |day: Date| (i32::from(day.day_of_year()) - i32::from(date.day_of_year())).rem_euclid(365);
        let amounts = series.prcp_mm().iter().enumerate().filter(|(index, mm)| {
            let in_time = || matches!(apart(series.date(*index)), days if days <= USUAL_DAYS || days >= 365 - USUAL_DAYS);
            marks[*index] == Mark::Measured && **mm >= WET_MM && (!near || in_time())
        });
        let (sum, count) = amounts.fold((0.0, 0_usize), |(sum, count), (_, mm)| (sum + mm, count + 1));
        (count > 0).then(|| (sum / count as f64, count))
    };
    match wet(true) {
        Some((mean, count)) if count >= ENOUGH_WET_DAYS => mean,
        _ => wet(false).map_or(f64::NAN, |(mean, _)| mean),
    }
}

/// Whose forecast it is and of when: two with the same are the same.
type Identity = (Option<String>, Option<i64>, Timestamp, Timestamp);

fn identity(kept: &KeptForecast) -> Identity {
    (kept.station.clone(), kept.yard_id, kept.made_at(), kept.fetched_at)
}

/// The futures of a place from today, with what they were made of.
#[derive(Debug)]
pub(crate) struct Coming {
    /// The futures.
    pub(crate) futures: Futures,
    /// What they were made of.
    pub(crate) note: FutureNote,
    series: Arc<Series>,
    asked: Kind,
    forecast: Option<Identity>,
    sums: Mutex<Vec<(DegreeDays, Arc<Vec<HeatSums>>)>>,
    /// Odds that were reckoned from these futures for any yard.
    pub(crate) odds: KnownOdds,
}

impl Coming {
    fn make(
        series: &Arc<Series>,
        station: &str,
        on: Date,
        kind: Kind,
        kept: Option<&KeptForecast>,
        own_shift_k: (f64, f64),
    ) -> Result<Coming, DeskError> {
        let known = known_before(series, on, station)?;
        let mut futures = Futures::of(&known, on, kind)?;
        let (mut used, mut not_used) = (None, None);
        match kept.map(|kept| usable(kept, on, |date| usual_wet_day_mm(&known, date))) {
            Some(Ok((mut forecast, note))) => {
                // A forecast is of the open ground; the yard is so much colder or warmer than that.
                for day in &mut forecast.days {
                    day.tmin_c += own_shift_k.0;
                    day.tmax_c += own_shift_k.1;
                }
                futures = futures.after_forecast(&forecast);
                used = Some(note);
            }
            Some(Err(why)) => not_used = Some(why),
            None => {}
        }
        let years: BTreeSet<i16> =
            futures.paths.iter().filter_map(|path| if let Origin::Year { year, .. } = path.origin { Some(year) } else { None }).collect();
        let after = match futures.kind {
            Kind::Plain => format!("{} past years", years.len()),
            Kind::Detrended => format!("{} past years placed on today's state", years.len()),
            Kind::Generated => format!("{} drawn futures", futures.paths.len()),
        };
        let words = used.as_ref().map_or_else(|| after.clone(), |used| format!("{}, then {after}", used.words()));
        let note = FutureNote {
            future: futures.word(),
            future_words: words,
            past_years: years.len(),
            forecast: used,
            forecast_not_used: not_used,
        };
        let forecast = kept.map(identity);
        Ok(Coming { futures, note, series: Arc::clone(series), asked: kind, forecast, sums: Mutex::default(), odds: KnownOdds::default() })
    }

    /// The date in each future on which a sum of heat is reached, in the season that the ensemble of the same day means by it.
    pub(crate) fn dates_reaching(&self, heat: &Heat, ensemble: &Ensemble) -> Result<Vec<Option<Date>>, WeatherError> {
        heat.model.check()?;
        let (start, end) = ensemble.heat_season(heat.start)?;
        let start = start.max(self.futures.first_known);
        let found = |sums: &HeatSums| sums.first_day_reaching(start, heat.total).filter(|date| *date <= end);
        Ok(self.sums(heat.model).iter().map(found).collect())
    }

    fn sums(&self, model: DegreeDays) -> Arc<Vec<HeatSums>> {
        let mut made = self.sums.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, sums)) = made.iter().find(|(other, _)| *other == model) {
            return Arc::clone(sums);
        }
        let sums = Arc::new(self.futures.heat_sums(model));
        made.push((model, Arc::clone(&sums)));
        sums
    }

    /// The last frost of spring in each future, up to the next 30 June (south of the equator 31 December).
    pub(crate) fn last_frosts(&self, at_most_c: f64) -> Vec<Option<Date>> {
        let on = self.futures.on;
        let month = if self.futures.hemisphere == Hemisphere::North { 7 } else { 1 };
        let this = jiff::civil::date(on.year(), month, 1);
        let after = if this <= on { this.saturating_add(1.year()) } else { this };
        let (from, to) = (after.saturating_sub(1.year()), after.saturating_sub(1.day()));
        let threshold = Threshold::of(&self.series, at_most_c);
        self.futures.last_day(from, to, |day| threshold.reached_by(day.tmin_c))
    }

    /// The first frost of autumn in each future, from 1 July (south of the equator 1 January) of this growing year.
    pub(crate) fn first_frosts(&self, at_most_c: f64) -> Vec<Option<Date>> {
        let on = self.futures.on;
        let from = match self.futures.hemisphere {
            Hemisphere::North => jiff::civil::date(on.year(), 7, 1),
            Hemisphere::South => jiff::civil::date(on.year() + i16::from(on.month() >= 7), 1, 1),
        };
        let to = from.saturating_add(1.year()).saturating_sub(1.day());
        let threshold = Threshold::of(&self.series, at_most_c);
        self.futures.first_run_full(from, to, 1, |day| threshold.reached_by(day.tmin_c))
    }
}

/// Futures that were made, the latest few: the season's parts ask for the same ones many times.
#[derive(Debug, Default)]
pub(crate) struct MadeFutures(Mutex<Vec<Arc<Coming>>>);

impl Desk {
    /// The forecast that a yard's odds go by: its station's, its own, or that of the heaviest station within reach, whichever is the first that
    /// can be used today; where none can, the first that is kept, so that its fault can be said.
    fn forecast_behind(&self, yard: &Yard) -> Result<Option<KeptForecast>, DeskError> {
        if self.book.how_many::<KeptForecast>()? == 0 {
            return Ok(None);
        }
        let mut first = None;
        let mut stations: Vec<String> = yard.station.iter().cloned().collect();
        let named = stations.len();
        if let Ok(Some(weather)) = self.yard_weather(yard) {
            stations.extend(weather.note.stations.iter().map(|station| station.id.clone()).filter(|id| yard.station.as_ref() != Some(id)));
        }
        let (near, far) = stations.split_at(named);
        let places = near.iter().map(|station| ForecastPlace::Station(station)).chain([ForecastPlace::Yard(yard.id)]);
        for place in places.chain(far.iter().map(|station| ForecastPlace::Station(station))) {
            let Some(kept) = self.book.forecast_of(place)? else { continue };
            if usable(&kept, self.today, |_| f64::NAN).is_ok() {
                return Ok(Some(kept));
            }
            first = first.or(Some(kept));
        }
        Ok(first)
    }

    /// The futures of a yard over a record of its weather, with the forecast before them where one is kept that covers today.
    ///
    /// # Errors
    /// A record that knows no day before today or holds too few whole years.
    pub(crate) fn coming(&self, yard: &Yard, series: &Arc<Series>, kind: Kind) -> Result<Arc<Coming>, DeskError> {
        let kept = self.forecast_behind(yard)?;
        let forecast = kept.as_ref().map(identity);
        let same = |made: &Arc<Coming>| {
            Arc::ptr_eq(&made.series, series) && made.futures.on == self.today && made.asked == kind && made.forecast == forecast
        };
        if let Some(made) = self.made_futures.0.lock().unwrap_or_else(PoisonError::into_inner).iter().find(|made| same(made)) {
            return Ok(Arc::clone(made));
        }
        let station = yard.station.as_deref().unwrap_or(&yard.name);
        let own = self.yard_weather(yard)?.and_then(|weather| weather.note.own.clone());
        let own_shift_k = own.map_or((0.0, 0.0), |own| own.used_k());
        let made = Arc::new(Coming::make(series, station, self.today, kind, kept.as_ref(), own_shift_k)?);
        let mut ready = self.made_futures.0.lock().unwrap_or_else(PoisonError::into_inner);
        ready.push(Arc::clone(&made));
        if ready.len() > KEPT_READY {
            ready.remove(0);
        }
        Ok(made)
    }

    /// The futures of a yard that begin with a forecast and go on as past years were; none where no forecast that covers today is kept.
    ///
    /// # Errors
    /// As [`Desk::coming`].
    pub(crate) fn coming_by_forecast(&self, yard: &Yard) -> Result<Option<Arc<Coming>>, DeskError> {
        if self.forecast_behind(yard)?.is_none() {
            return Ok(None);
        }
        let Some(weather) = self.yard_weather(yard)? else { return Ok(None) };
        let coming = self.coming(yard, &weather.series, Kind::Plain)?;
        Ok(coming.note.forecast.is_some().then_some(coming))
    }

    /// The weather of each future on the days from today, where a forecast begins them.
    ///
    /// # Errors
    /// As [`Desk::coming`].
    pub(crate) fn days_by_forecast(&self, yard: &Yard, days: i64) -> Result<Option<Vec<Vec<DayWeather>>>, DeskError> {
        let last = self.today.checked_add(days.days()).unwrap_or(self.today);
        let of_day = |day: groundlore_weather::series::Day| DayWeather {
            date: day.date,
            tmin_c: day.tmin_c,
            tmax_c: day.tmax_c,
            rain_mm: day.prcp_mm,
        };
        Ok(self.coming_by_forecast(yard)?.map(|coming| {
            coming.futures.paths.iter().map(|path| coming.futures.days(path, self.today, last).map(of_day).collect()).collect()
        }))
    }

    /// What the odds of a yard are made of; none where it has no station.
    ///
    /// # Errors
    /// As [`Desk::weather`]; a record that knows no day before today or holds too few whole years.
    pub fn future_note(&self, yard: &YardOnDesk) -> Result<Option<FutureNote>, DeskError> {
        let Some(weather) = self.yard_weather(&yard.row)? else { return Ok(None) };
        Ok(Some(self.coming(&yard.row, &weather.series, Kind::default())?.note.clone()))
    }

    /// What the odds of the book's yards are made of, a line for each station that has a forecast: whether it is used, and how old it is.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn forecast_lines(&self) -> Result<Vec<String>, DeskError> {
        let mut lines = BTreeSet::new();
        for yard in self.book.yards()? {
            let Some(kept) = self.forecast_behind(&yard)? else { continue };
            let whose = kept.station.clone().unwrap_or_else(|| yard.name.clone());
            let line = match usable(&kept, self.today, |_| f64::NAN) {
                Ok((_, used)) => format!("{whose}: the odds begin with the {}", used.words()),
                Err(why) => format!("{whose}: {why}"),
            };
            lines.insert(line);
        }
        Ok(lines.into_iter().collect())
    }

    /// Whether a yard's odds begin with a forecast, to which day, and how old it is.
    pub(crate) fn forecast_words(&self, yard: &Yard) -> Result<String, DeskError> {
        Ok(match self.forecast_behind(yard)?.map(|kept| usable(&kept, self.today, |_| f64::NAN)) {
            None => "none kept".to_owned(),
            Some(Ok((_, used))) => used.words(),
            Some(Err(why)) => why,
        })
    }

    /// [`Desk::forecast_lines`] for a sheet; none where the book has no forecast.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub(crate) fn forecast_block(&self) -> Result<Option<Block>, DeskError> {
        let lines = self.forecast_lines()?;
        Ok((!lines.is_empty()).then(|| Block::paragraph(format!("Forecasts: {}.", lines.join("; ")))))
    }

    /// Where a station stands, degrees north and east; none where its file does not say.
    ///
    /// # Errors
    /// If the book cannot be read, or the built-in record were damaged.
    pub fn station_place(&self, station: &str) -> Result<Option<(f64, f64)>, DeskError> {
        if let Some(file) = self.book.weather_file(station)? {
            return Ok(file.latitude.zip(file.longitude));
        }
        if station != crate::station::BUILT_IN {
            return Ok(None);
        }
        let station = &self.weather(station)?.station;
        Ok(station.latitude.zip(station.longitude))
    }

    /// Keeps a place's forecast in the book and says in one sentence what of it the odds use today.
    ///
    /// # Errors
    /// Hours that cannot be; a book that cannot be written.
    pub fn keep_forecast(&mut self, forecast: &KeptForecast) -> Result<String, DeskError> {
        if !self.book.write(|tx| tx.set_forecast(forecast))? {
            return Ok("the book already holds a newer one, which stays".to_owned());
        }
        Ok(match usable(forecast, self.today, |_| f64::NAN) {
            Ok((_, used)) => {
                let day = |date: Date| date.strftime("%-d %b").to_string();
                let cut = used.missing.map_or_else(String::new, |gap| format!("; it lacks {}, and nothing after that is used", day(gap)));
                format!("the odds use its days {} to {}{cut}", day(used.from), day(used.to))
            }
            Err(why) => why,
        })
    }
}

#[cfg(test)]
#[path = "forecast/tests.rs"]
mod tests;
