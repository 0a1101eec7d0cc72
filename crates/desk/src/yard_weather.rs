//! A yard's own weather: the stations within reach weighed by distance and height, its own rain gauge, and how much colder or warmer it
//! is than they say, learned from its own thermometer.
//!
//! - The station that the yard names always counts; others count where they stand within [`REACH_KM`] and would weigh at least
//!   [`LEAST_WEIGHT`], at most [`MOST_STATIONS`] in all. A station without a place can stand only alone.
//! - Temperatures are weighed together; rain and snow come from one gauge at a time (see [`groundlore_weather::place_series`]), and from the
//!   yard's own wherever it was read.
//! - The yard's shift, minimum and maximum each for itself, is used once the readings tell more than the guess before them: when its
//!   standard deviation has come down to half. Until then it is shown and not used. What is left of its doubt widens the clocks' odds.

use crate::station::{Stations, place_of, station_keys};
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::Book;
use groundlore_book::gauge_files::{GaugeFile, ReadFor};
use groundlore_book::yards::Yard;
use groundlore_weather::place_series::{joined, place_series, with_own_rain};
use groundlore_weather::stations::{Shift, distance_km};
use groundlore_weather::{
    Element, Ensemble, GaugeOptions, GaugeReading, OwnShift, Place, ReadOptions, ReadingDay, Series, ShiftPrior, StationWeight,
    WeightRules, fill_gaps_up_to, read_gauges, weights,
};
use jiff::civil::Date;
use std::sync::{Arc, Mutex, PoisonError};

/// How far a station may lie to count for a yard, km: twice the length of the distance weights (common practice).
pub const REACH_KM: f64 = 80.0;
/// Least weight of a station that counts.
pub const LEAST_WEIGHT: f64 = 0.05;
/// Most stations that count.
pub const MOST_STATIONS: usize = 4;
/// Share of the guess's standard deviation under which a learned shift is used.
const TELLS_MORE: f64 = 0.5;
/// Yards whose weather is kept ready.
const KEPT_READY: usize = 64;

/// What a yard's weather is made of, for a person and for a machine.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct WeatherNote {
    /// The stations with their weights, distances and heights, heaviest first.
    pub stations: Vec<StationWeight>,
    /// Height of the yard above the sea, m, where somebody said.
    pub elevation_m: Option<f64>,
    /// What the yard's own readings taught.
    pub own: Option<OwnNote>,
}

/// What a yard's own readings taught.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct OwnNote {
    /// Of the minimum: below 0 in a cold hollow.
    pub minimum: Shift,
    /// Of the maximum: above 0 by a warm wall.
    pub maximum: Shift,
    /// Whether the minimum's shift is used.
    pub minimum_used: bool,
    /// Whether the maximum's shift is used.
    pub maximum_used: bool,
    /// Days whose rain is the yard's own.
    pub rain_days: usize,
    /// Amounts of rain over several days, which stand in the gauge's file and are not split.
    pub rain_over_several_days: usize,
}

/// A yard's weather.
#[derive(Debug)]
pub struct YardWeather {
    /// The days, gaps filled and marked, the yard's own shift on them.
    pub series: Arc<Series>,
    /// What they are made of.
    pub note: WeatherNote,
    key: Key,
    ensemble: Mutex<Option<(Date, Arc<Ensemble>)>>,
}

type Key = (i64, Option<String>, Option<[u64; 2]>);

fn key_of(yard: &Yard) -> Key {
    (yard.id, yard.station.clone(), yard.latitude.zip(yard.longitude).map(|(a, b)| [a.to_bits(), b.to_bits()]))
}

/// Yards' weather that was made, the latest few.
#[derive(Debug, Default)]
pub(crate) struct YardsWeather(Mutex<Vec<Arc<YardWeather>>>);

impl YardsWeather {
    fn get(&self, key: &Key) -> Option<Arc<YardWeather>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).iter().find(|made| made.key == *key).map(Arc::clone)
    }

    fn keep(&self, made: Arc<YardWeather>) {
        let mut ready = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        ready.push(made);
        if ready.len() > KEPT_READY {
            ready.remove(0);
        }
    }

    pub(crate) fn forget(&self) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }
}

impl OwnNote {
    /// The shift that is used, kelvin on the minimum and on the maximum.
    #[must_use]
    pub fn used_k(&self) -> (f64, f64) {
        let of = |shift: &Shift, used: bool| if used { shift.mean_k } else { 0.0 };
        (of(&self.minimum, self.minimum_used), of(&self.maximum, self.maximum_used))
    }

    /// The doubt that is left in the shift that is used, kelvin, standard deviation.
    #[must_use]
    pub fn doubt_k(&self) -> (f64, f64) {
        let of = |shift: &Shift, used: bool| if used { shift.sd_k } else { 0.0 };
        (of(&self.minimum, self.minimum_used), of(&self.maximum, self.maximum_used))
    }

    /// A sentence for the minimum, the maximum and the rain, as far as each was read.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut words = Vec::new();
        for (what, shift, used) in
            [("nights", &self.minimum, self.minimum_used), ("days", &self.maximum, self.maximum_used)].into_iter().filter(|s| s.1.days > 0)
        {
            let fahrenheit = shift.mean_k * 1.8;
            let side = match (what, fahrenheit < 0.0) {
                ("nights", true) => "colder",
                ("nights", false) => "milder",
                (_, true) => "cooler",
                (_, false) => "warmer",
            };
            let so = if used { "used in this yard's clocks" } else { "too few readings to go by yet, and not used" };
            words.push(format!(
                "{what} {:.1} °F {side} than the stations say (± {:.1} °F, eight in ten; {} readings): {so}",
                fahrenheit.abs(),
                1.281_55 * shift.sd_k * 1.8,
                shift.days
            ));
        }
        if self.rain_days > 0 {
            words.push(format!("rain of {} days from the yard's own gauge", self.rain_days));
        }
        if self.rain_over_several_days > 0 {
            words.push(format!("{} amounts of rain over several days, not split", self.rain_over_several_days));
        }
        words
    }
}

impl WeatherNote {
    /// The stations in a line: `X (82 %, 4.1 mi, 120 ft below the yard), Y (18 %, 31 mi)`.
    #[must_use]
    pub fn stations_words(&self) -> String {
        if let [only] = &self.stations[..]
            && only.distance_km.is_nan()
        {
            return format!("{} (its distance is not known)", only.id);
        }
        let one = |station: &StationWeight| {
            let height = station.rise_m.filter(|rise| rise.abs() >= 1.0).map_or_else(String::new, |rise| {
                let side = if rise > 0.0 { "below" } else { "above" };
                format!(", {:.0} ft {side} the yard", rise.abs() / 0.3048)
            });
            format!("{} ({:.0} %, {:.1} mi{height})", station.id, station.weight * 100.0, station.distance_km / 1.609_344)
        };
        self.stations.iter().map(one).collect::<Vec<_>>().join(", ")
    }
}

/// How a kept file of hand readings is to be read.
pub(crate) fn gauge_options(file: &GaugeFile, today: Option<Date>, skip_bad: bool) -> GaugeOptions {
    let of = |day: ReadFor| match day {
        ReadFor::SameDay => ReadingDay::SameDay,
        ReadFor::DayBefore => ReadingDay::DayBefore,
    };
    let mut options = GaugeOptions::new(i8::try_from(file.hour).unwrap_or(-1), of(file.maximum_day), of(file.rain_day));
    options.reading = ReadOptions { today, skip_bad, ..ReadOptions::default() };
    options
}

/// A yard's own readings, all files together, and its amounts of rain over several days.
fn own_readings(book: &Book, yard_id: i64) -> Result<Option<(Series, usize)>, DeskError> {
    let mut parts = Vec::new();
    let mut sums = 0;
    for file in book.gauge_files(yard_id)? {
        let GaugeReading { series, accumulations, .. } = read_gauges(&file.text, &file.file_name, &gauge_options(&file, None, true))?;
        parts.push(series);
        sums += accumulations.len();
    }
    Ok(joined(&parts).map(|(series, _)| (series, sums)))
}

impl Stations {
    fn make(&self, book: &Book, yard: &Yard) -> Result<Option<YardWeather>, DeskError> {
        let place = yard.latitude.zip(yard.longitude);
        let elevation_m = book.yard_height(yard.id)?.map(|height| height.elevation_m);
        let chosen = self.within_reach(book, yard, elevation_m)?;
        let Some(first) = chosen.first() else { return Ok(None) };
        let at = place.filter(|_| chosen.iter().all(|key| self.as_read(book, key).is_ok_and(|s| place_of(&s.station).is_some())));
        let at = at.map(|(latitude_deg, longitude_deg)| Place { latitude_deg, longitude_deg, elevation_m });
        let alone = chosen.len() == 1;
        let (bare, stations) = match at {
            Some(place) => {
                let read = chosen.iter().map(|key| self.as_read(book, key)).collect::<Result<Vec<_>, _>>()?;
                let names: Vec<_> = read.iter().map(|series| &series.station).collect();
                let mut found = weights(&place, &names, &WeightRules::default()).map_err(DeskError::science)?;
                for (weight, key) in found.iter_mut().zip(&chosen) {
                    weight.id.clone_from(key);
                }
                if alone && found[0].rise_m.is_none_or(|rise| rise.abs() < 1.0) {
                    (self.series(book, first)?, found)
                } else {
                    let read: Vec<&Series> = read.iter().map(|series| &**series).collect();
                    let combined = place_series(&place, &read, &WeightRules::default()).map_err(DeskError::science)?;
                    (Arc::new(fill_gaps_up_to(&combined.series, crate::station::LONGEST_FILLED_DAYS).series), found)
                }
            }
            None => {
                let unknown = StationWeight { id: first.clone(), name: first.clone(), distance_km: f64::NAN, rise_m: None, weight: 1.0 };
                (self.series(book, first)?, vec![unknown])
            }
        };
        let mut stations = stations;
        stations.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        let (series, own) = match own_readings(book, yard.id)? {
            None => (bare, None),
            Some((own, sums)) => {
                let (series, note) = with_own(&bare, &own, sums);
                (Arc::new(series), Some(note))
            }
        };
        let note = WeatherNote { stations, elevation_m, own };
        Ok(Some(YardWeather { series, note, key: key_of(yard), ensemble: Mutex::default() }))
    }

    /// The keys of the stations that count for a yard; the one it names comes first.
    fn within_reach(&self, book: &Book, yard: &Yard, elevation_m: Option<f64>) -> Result<Vec<String>, DeskError> {
        let mut keys: Vec<String> = yard.station.iter().cloned().collect();
        let Some(place) = yard.latitude.zip(yard.longitude) else { return Ok(keys) };
        if let Some(named) = keys.first()
            && place_of(&self.as_read(book, named)?.station).is_none()
        {
            return Ok(keys);
        }
        for key in station_keys(book)? {
            if keys.contains(&key) {
                continue;
            }
            let there = place_of(&self.as_read(book, &key)?.station);
            if there.is_some_and(|there| distance_km(place, there) <= REACH_KM) {
                keys.push(key);
            }
        }
        if keys.len() < 2 {
            return Ok(keys);
        }
        let read = keys.iter().map(|key| self.as_read(book, key)).collect::<Result<Vec<_>, _>>()?;
        let names: Vec<_> = read.iter().map(|series| &series.station).collect();
        let here = Place { latitude_deg: place.0, longitude_deg: place.1, elevation_m };
        let found = weights(&here, &names, &WeightRules::default()).map_err(DeskError::science)?;
        let named = yard.station.clone();
        let mut ranked: Vec<(String, f64)> = keys.into_iter().zip(found.into_iter().map(|weight| weight.weight)).collect();
        ranked.sort_by(|a, b| (Some(&b.0) == named.as_ref()).cmp(&(Some(&a.0) == named.as_ref())).then(b.1.total_cmp(&a.1)));
        ranked.retain(|(key, weight)| Some(key) == named.as_ref() || *weight >= LEAST_WEIGHT);
        ranked.truncate(MOST_STATIONS);
        Ok(ranked.into_iter().map(|(key, _)| key).collect())
    }
}

/// A series with the yard's own rain and shift on it, and what was learned.
fn with_own(bare: &Series, own: &Series, sums: usize) -> (Series, OwnNote) {
    let prior = ShiftPrior::default();
    let learned = OwnShift::learn(own, bare, &prior);
    let minimum_used = learned.minimum.sd_k <= TELLS_MORE * prior.minimum_sd_k;
    let maximum_used = learned.maximum.sd_k <= TELLS_MORE * prior.maximum_sd_k;
    let (with_rain, rain_days) = with_own_rain(bare, own);
    let series = learned.applied_to(&with_rain, |element| match element {
        Element::MinimumTemperature => minimum_used,
        _ => maximum_used,
    });
    let note =
        OwnNote { minimum: learned.minimum, maximum: learned.maximum, minimum_used, maximum_used, rain_days, rain_over_several_days: sums };
    (series, note)
}

impl Desk {
    /// The weather of a yard out of the stations within reach and its own readings; none where no station is named or within reach.
    ///
    /// # Errors
    /// Where a station that the yard names has no record, or a file cannot be read.
    pub fn yard_weather(&self, yard: &Yard) -> Result<Option<Arc<YardWeather>>, DeskError> {
        if let Some(made) = self.stations.yards.get(&key_of(yard)) {
            return Ok(Some(made));
        }
        let Some(made) = self.stations.make(&self.book, yard)? else { return Ok(None) };
        let made = Arc::new(made);
        self.stations.yards.keep(Arc::clone(&made));
        Ok(Some(made))
    }

    /// This year so far at a yard with each past year as what may come; none where it has no weather.
    ///
    /// # Errors
    /// As [`Desk::yard_weather`]; a record that ends before today or holds too few whole years.
    pub fn yard_ensemble(&self, yard: &Yard) -> Result<Option<Arc<Ensemble>>, DeskError> {
        let Some(weather) = self.yard_weather(yard)? else { return Ok(None) };
        if let [only] = &weather.note.stations[..]
            && Arc::ptr_eq(&weather.series, &self.weather(&only.id)?)
        {
            return Ok(Some(self.ensemble(&only.id)?));
        }
        let mut made = weather.ensemble.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, ensemble)) = made.as_ref().filter(|(on, _)| *on == self.today) {
            return Ok(Some(Arc::clone(ensemble)));
        }
        let ensemble = Arc::new(Ensemble::years_of_record(&weather.series, self.today)?);
        *made = Some((self.today, Arc::clone(&ensemble)));
        Ok(Some(ensemble))
    }

    /// Lines for a yard's page: its stations with their weights and distances, and what its own readings taught.
    pub(crate) fn weather_facts(&self, yard: &YardOnDesk) -> Vec<(String, String)> {
        match self.yard_weather(&yard.row) {
            Ok(Some(weather)) => {
                let mut facts = vec![("weather from".to_owned(), weather.note.stations_words())];
                facts.extend(weather.note.own.iter().flat_map(OwnNote::words).map(|words| ("own readings".to_owned(), words)));
                facts
            }
            Ok(None) => Vec::new(),
            Err(error) => vec![("weather from".to_owned(), error.to_string())],
        }
    }

    /// Writes down how high a yard lies, m above the sea; stations are weighed by height from then on.
    ///
    /// # Errors
    /// An unknown yard, a height that no ground has.
    pub fn set_yard_height(&mut self, yard: &str, elevation_m: f64) -> Result<(), DeskError> {
        let id = self.yard(yard)?.row.id;
        self.book.write(|tx| tx.set_yard_height(id, elevation_m))?;
        self.stations.forget();
        Ok(())
    }
}
