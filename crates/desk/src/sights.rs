//! What was seen of the season's events: it starts the clocks that wait for it, moves the clock of what was seen, and teaches how far a clock
//! is off.
//!
//! A sight belongs to the growing season of its yard: the calendar year in the north, July to June in the south.

use crate::season_weather::SeasonWeather;
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::sightings::Sighting;
use groundlore_lore::Lore;
use groundlore_lore::event_clock::{Individuals, Start};
use groundlore_plant_health::clock::growing_year;
use groundlore_plant_health::event_clock::{Asked, Biofix, ClockOdds, ELSEWHERE_KM, Event, event, is_start_of};
use groundlore_plant_health::observed::{INDICATOR_CORRELATION, Past, Place, SIGHT_DOUBT_DAYS, Seen, Shift, Spreads, residual_days, shift};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// The sights of the book, as they stand to a yard.
pub(crate) struct Sights {
    yard_id: i64,
    /// Of the season that holds today.
    now: Vec<Sight>,
    /// Of earlier seasons.
    past: Vec<Sight>,
}

/// A sight with its season and its place.
struct Sight {
    row: Sighting,
    season: i16,
    /// Its yard's place, from the yard that is asked about; none where one of them has none.
    place: Option<Place>,
    /// Name of what was seen, where the lore has it.
    name: Option<String>,
}

impl Sights {
    /// The clocks among some events that wait for a sight and have had it, by the clock's key: by the first sight in the yard; else, where the clock
    /// allows it, by the first in the nearest yard within reach.
    pub(crate) fn starts(&self, events: &[Event]) -> BTreeMap<String, Biofix> {
        let mut starts = BTreeMap::new();
        for event in events {
            let clock = &event.clock;
            let Start::Biofix { own_yard, .. } = &clock.start else { continue };
            if starts.contains_key(&clock.key) {
                continue;
            }
            let starting = || self.now.iter().filter(|sight| is_start_of(clock, &sight.row.event, sight.name.as_deref()));
            let here = starting().filter(|sight| sight.row.yard_id == self.yard_id).map(|sight| sight.row.date).min();
            let elsewhere = || {
                let near = starting().filter_map(|sight| Some((metres(sight.place?), sight.row.date)));
                let near = near.filter(|(metres, _)| *metres <= ELSEWHERE_KM * 1000.0);
                near.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))).map(|(_, date)| date)
            };
            let start = match here {
                Some(date) => Some(Biofix::here(date)),
                None if *own_yard => None,
                None => elsewhere().map(Biofix::elsewhere),
            };
            starts.extend(start.map(|start| (clock.key.clone(), start)));
        }
        starts
    }
}

/// What is known of an event in a yard beside the weather: what started it, and how far it is moved.
pub(crate) fn asked(event: &Event, starts: &BTreeMap<String, Biofix>, shift: Option<Shift>) -> Asked {
    let waits = matches!(event.clock.start, Start::Biofix { .. });
    Asked { shift, biofix: if waits { starts.get(&event.clock.key).copied() } else { None } }
}

/// What a sight says once it is written down.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Noted {
    /// Days by which it came later (below 0: earlier) than the clock had said; none where the clock gives no middle date for it.
    pub residual_days: Option<f64>,
    /// Names of the clocks that waited for it and run from it in the yard.
    pub starts: Vec<String>,
}

impl Desk {
    /// The sights of the book up to today.
    pub(crate) fn sights(&self, yard: &YardOnDesk) -> Result<Sights, DeskError> {
        let (mut now, mut past) = (Vec::new(), Vec::new());
        let rows = self.book.sightings()?;
        let yards = if rows.is_empty() { Vec::new() } else { self.book.yards()? };
        let here = yard.row.latitude.zip(yard.row.longitude);
        for row in rows.into_iter().filter(|row| row.date <= self.today) {
            let there = yards.iter().find(|yard| yard.id == row.yard_id).and_then(|yard| yard.latitude.zip(yard.longitude));
            let latitude = there.or(here).map_or(0.0, |(latitude, _)| latitude);
            let season = growing_year(latitude, row.date);
            let this_season = season == growing_year(latitude, self.today);
            let place = here.zip(there).map(|(here, there)| place_from(here, there));
            let name = clock_key(&self.lore, &row.event).and_then(|key| self.lore.clocks.get(key)).map(|clock| clock.name.clone());
            let sight = Sight { row, season, place, name };
            if this_season { now.push(sight) } else { past.push(sight) }
        }
        Ok(Sights { yard_id: yard.row.id, now, past })
    }

    /// What this season's sights teach about each clock at a yard, by the event's key. `bare` are the odds of the events without any shift.
    pub(crate) fn shifts(&self, sights: &Sights, all: &[Event], bare: &[ClockOdds]) -> Result<BTreeMap<String, Shift>, DeskError> {
        let mut shifts = BTreeMap::new();
        if sights.now.is_empty() {
            return Ok(shifts);
        }
        let keys: Vec<String> = all.iter().map(Event::key).collect();
        let clock_of: BTreeMap<&str, &str> =
            keys.iter().map(String::as_str).zip(all.iter().map(|event| event.clock.key.as_str())).collect();
        let odds_of: BTreeMap<&str, &ClockOdds> = bare.iter().map(|odds| (odds.key.as_str(), odds)).collect();
        let seen: BTreeSet<&str> = sights.now.iter().filter_map(|sight| clock_of.get(sight.row.event.as_str()).copied()).collect();
        if seen.is_empty() {
            return Ok(shifts);
        }
        let again = self.residuals_by_own_readings(&sights.now, all)?;
        let here = Place { east_m: 0.0, north_m: 0.0 };
        for (event, key) in all.iter().zip(&keys) {
            let clock = event.clock.key.as_str();
            let indicator = event.clock.indicator.as_ref().and_then(|indicator| indicator.clock.as_deref());
            if !seen.contains(clock) && !indicator.is_some_and(|indicator| seen.contains(indicator)) {
                continue;
            }
            let Some(odds) = odds_of.get(key.as_str()) else { continue };
            let told = |sight: &Sight| {
                let of = *clock_of.get(sight.row.event.as_str())?;
                let correlation = if of == clock {
                    1.0
                } else if indicator == Some(of) {
                    INDICATOR_CORRELATION
                } else {
                    return None;
                };
                Some(Seen {
                    yard: sight.row.yard_id.to_string(),
                    place: sight.place?,
                    residual_days: again.get(&sight.row.id).copied().unwrap_or(sight.row.residual_days)?,
                    doubt_days: SIGHT_DOUBT_DAYS,
                    correlation,
                })
            };
            let now: Vec<Seen> = sights.now.iter().filter_map(told).collect();
            if now.is_empty() {
                continue;
            }
            let same = sights.past.iter().filter(|sight| clock_of.get(sight.row.event.as_str()).is_some_and(|of| *of == clock));
            #[allow(clippy::cast_possible_truncation)]
            let learned: Vec<Past> = same
                .filter_map(|sight| {
                    let residual_days = sight.row.residual_days?.round() as i32;
                    Some(Past { season: sight.season, yard: sight.row.yard_id.to_string(), residual_days })
                })
                .collect();
            let spreads = Spreads::of(odds).learned(&learned);
            shifts.insert(key.clone(), shift(&sights.yard_id.to_string(), here, &now, &spreads));
        }
        Ok(shifts)
    }

    /// The residuals of sightings in yards whose own readings have since moved their clocks, against those clocks as they now stand, by the
    /// sighting's number: what the thermometer explains must not be counted a second time.
    fn residuals_by_own_readings(&self, sights: &[Sight], all: &[Event]) -> Result<BTreeMap<i64, Option<f64>>, DeskError> {
        let mut found = BTreeMap::new();
        let mut weathers: BTreeMap<i64, Option<(YardOnDesk, SeasonWeather)>> = BTreeMap::new();
        for sight in sights {
            let row = &sight.row;
            if let std::collections::btree_map::Entry::Vacant(place) = weathers.entry(row.yard_id) {
                let yard = YardOnDesk { row: self.book.one(row.yard_id)?, map: None };
                let own = match self.book.gauge_files(row.yard_id)?.is_empty() {
                    true => None,
                    false => self.yard_weather(&yard.row)?.and_then(|weather| weather.note.own.clone()),
                };
                let moved = own.is_some_and(|own| own.used_k() != (0.0, 0.0));
                let weather = if moved { Some(self.season_weather_as_learned(&yard, 0.0, None)?) } else { None };
                place.insert(weather.map(|weather| (yard, weather)));
            }
            let Some(Some((yard, weather))) = weathers.get(&row.yard_id) else { continue };
            let Some(event) = all.iter().find(|event| event.key() == row.event) else { continue };
            let odds = self.unmoved(yard, weather, event)?;
            found.insert(row.id, odds.and_then(|odds| residual_days(&odds, row.date)));
        }
        Ok(found)
    }

    /// The odds of an event in a yard before any sight of it moves them; a clock that waits for another sight runs from that one.
    fn unmoved(&self, yard: &YardOnDesk, weather: &SeasonWeather, event: &Event) -> Result<Option<ClockOdds>, DeskError> {
        let sights = self.sights(yard)?;
        let starts = sights.starts(std::slice::from_ref(event));
        Ok(weather.odds(std::slice::from_ref(event), |event| asked(event, &starts, None)).pop())
    }

    /// Writes down what was seen at a yard: an event of the season, which then moves its clock there and, by less, nearby; or what a clock waits for
    /// (in the clock's own words), which then runs from that day.
    ///
    /// # Errors
    /// An unknown yard, a day that lies ahead; what is neither an event nor what a clock waits for; an event that moves no clock and starts none.
    pub fn saw(&mut self, yard: &str, key: &str, date: Option<Date>, who: Option<&str>) -> Result<Noted, DeskError> {
        let date = date.unwrap_or(self.today);
        if date > self.today {
            let (what, value) = ("day of the sight".to_owned(), date.to_string());
            return Err(DeskError::Refused {
                what,
                value,
                why: "lies in the future".to_owned(),
                remedy: "give the day on which it was seen".to_owned(),
            });
        }
        let on_desk = self.yard(yard)?;
        let wanted = event(&self.lore, key);
        let name = wanted.as_ref().map(|event| event.clock.name.clone());
        let started = self.started_by(key, name.as_deref());
        if wanted.is_none() && started.is_empty() {
            let waited = self.waited_for();
            let also = if waited.is_empty() { String::new() } else { format!("; clocks also wait for: {}", waited.join(", ")) };
            return Err(DeskError::missing(
                format!("there is no event `{key}`"),
                format!("`groundlore season --events` lists the keys{also}"),
            ));
        }
        let latitude = on_desk.row.latitude.unwrap_or_default();
        // What started a clock in an earlier season is not looked for.
        let runs = |event: &Event| event.clock.start.day().is_some() || growing_year(latitude, date) == growing_year(latitude, self.today);
        let residual = match wanted.as_ref().filter(|event| runs(event)) {
            Some(event) => {
                let weather = self.season_weather_as_learned(&on_desk, 0.0, Some(growing_year(latitude, date)))?;
                self.unmoved(&on_desk, &weather, event)?.and_then(|odds| residual_days(&odds, date))
            }
            None => None,
        };
        if residual.is_none() && started.is_empty() {
            let waits = wanted.as_ref().and_then(|event| match &event.clock.start {
                Start::Biofix { event, .. } => Some(format!("first write down the day of this: {event}")),
                _ => None,
            });
            return Err(DeskError::missing(
                format!("the clock of `{key}` gives no middle date this season, so this sight would move nothing"),
                waits.unwrap_or_else(|| "choose another event; `groundlore season --events` lists the keys".to_owned()),
            ));
        }
        // What a clock waits for in its own words stands in the book in those words, not as it was typed.
        let said = wanted.map_or_else(|| started[0].0.clone(), |event| event.key());
        let row = Sighting {
            yard_id: on_desk.row.id,
            event: said,
            date,
            residual_days: residual,
            who: who.map(str::to_owned),
            ..Sighting::default()
        };
        self.book.write(|tx| tx.add(&row))?;
        self.plan_anew(on_desk.row.id)?;
        Ok(Noted { residual_days: residual, starts: started.into_iter().map(|(_, name)| name).collect() })
    }

    /// The clocks that a sight starts: what they wait for, and their names.
    fn started_by(&self, seen: &str, name: Option<&str>) -> Vec<(String, String)> {
        let started = self.lore.clocks.values().filter(|clock| is_start_of(clock, seen, name));
        started
            .filter_map(
                |clock| if let Start::Biofix { event, .. } = &clock.start { Some((event.clone(), clock.name.clone())) } else { None },
            )
            .collect()
    }

    /// What clocks of the lore wait for, in their words.
    pub(crate) fn waited_for(&self) -> Vec<String> {
        let words = self
            .lore
            .clocks
            .values()
            .filter_map(|clock| if let Start::Biofix { event, .. } = &clock.start { Some(event.clone()) } else { None });
        words.collect::<BTreeSet<_>>().into_iter().collect()
    }
}

/// The key of the clock that an event's key belongs to, where the lore has it among its written clocks.
fn clock_key<'a>(lore: &Lore, key: &'a str) -> Option<&'a str> {
    let shared = || Individuals::SHARES.iter().find_map(|share| key.strip_suffix(&format!("-{:.0}", share * 100.0)));
    if lore.clocks.contains_key(key) { Some(key) } else { shared().filter(|key| lore.clocks.contains_key(*key)) }
}

/// A place in metres east and north of another.
fn place_from(origin: (f64, f64), place: (f64, f64)) -> Place {
    let metres_a_degree = 111_320.0;
    Place { east_m: (place.1 - origin.1) * metres_a_degree * origin.0.to_radians().cos(), north_m: (place.0 - origin.0) * metres_a_degree }
}

/// How far a place lies from the one it is counted from.
fn metres(place: Place) -> f64 {
    place.east_m.hypot(place.north_m)
}
