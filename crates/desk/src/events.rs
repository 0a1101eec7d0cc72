//! What comes when: the season's events by the clocks of lore and by the weather alone, with odds; for a yard, for the whole book, and
//! without any book.

use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::sightings::Sighting;
use groundlore_lore::Lore;
use groundlore_lore::event_clock::EventKind;
use groundlore_plant_health::event_clock::{Asked, ClockOdds, Event, Outlook, event, events, odds_of_all};
use groundlore_plant_health::observed::{INDICATOR_CORRELATION, Past, Place, SIGHT_DOUBT_DAYS, Seen, Shift, Spreads, residual_days, shift};
use groundlore_sheet::{Block, Sheet};
use groundlore_weather::futures::{Futures, Kind};
use groundlore_weather::season_events::{EventOdds, WEATHER_EVENTS, odds_in};
use groundlore_weather::{ReadOptions, Series, Station, read_text};
use jiff::civil::Date;
use jiff::{ToSpan as _, Unit};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// An event with its odds, as it is asked for without a book.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct DatedEvent {
    /// Key.
    pub key: String,
    /// Name.
    pub name: String,
    /// One in ten of the futures in which it still comes has it by this day.
    pub p10: Option<Date>,
    /// Half have it.
    pub p50: Option<Date>,
    /// Nine in ten have it.
    pub p90: Option<Date>,
    /// Share of futures in which it does not come from that day on.
    pub never: f64,
}

/// The season's events on a day.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SeasonEvents {
    /// Day asked from; it and later days are not known.
    pub on: Date,
    /// Which kind of future made the odds.
    pub future: String,
    /// The events.
    pub events: Vec<DatedEvent>,
}

/// Keys and names of all events that can be asked for.
pub fn event_keys(lore: &Lore) -> Vec<(String, String)> {
    let weather = WEATHER_EVENTS.iter().map(|e| (e.key.clone(), e.name.clone()));
    weather.chain(events(lore).iter().map(|e| (e.key(), e.name()))).collect()
}

/// Where and when the season is asked for without a book.
#[derive(Debug, Clone, Copy)]
pub struct Asking<'a> {
    /// Latitude, north positive.
    pub latitude: f64,
    /// Longitude, east positive.
    pub longitude: f64,
    /// Day asked from.
    pub on: Date,
    /// One event by its key; all where left out.
    pub key: Option<&'a str>,
    /// Kind of future; the best by the hindcast where left out.
    pub kind: Option<Kind>,
}

/// The season from a weather file alone. Days before the day asked from are known; it and later ones are never looked at.
///
/// # Errors
/// A file that cannot be read, a place off the globe, an unknown key, a record too short.
pub fn season_alone(lore: &Lore, text: &str, file_name: &str, asking: &Asking<'_>) -> Result<SeasonEvents, DeskError> {
    let place = |what: &str, value: f64, most: f64| {
        let remedy = format!("write decimal degrees from -{most} to {most}, north and east positive");
        let refused = DeskError::Refused { what: what.to_owned(), value: value.to_string(), why: "is off the globe".to_owned(), remedy };
        if value.is_finite() && value.abs() <= most { Ok(()) } else { Err(refused) }
    };
    place("latitude", asking.latitude, 90.0)?;
    place("longitude", asking.longitude, 180.0)?;
    let station = Station {
        id: file_name.to_owned(),
        name: file_name.to_owned(),
        latitude: Some(asking.latitude),
        longitude: Some(asking.longitude),
        elevation_m: None,
    };
    let series = read_text(text, file_name, &ReadOptions { station: Some(station), ..ReadOptions::default() })?.series;
    let known = known_before(&series, asking.on, file_name)?;
    let futures = Futures::of(&known, asking.on, asking.kind.unwrap_or_default())?;
    let chosen = chosen_events(lore, asking.key)?;
    let mut found: Vec<DatedEvent> = odds_in(&futures, asking.key).into_iter().map(DatedEvent::from).collect();
    let outlook = Outlook::of_futures(&futures, asking.latitude, Some(asking.on.year())).map_err(DeskError::science)?;
    for odds in odds_of_all(&chosen, &outlook, |_| Asked::default()) {
        found.push(dated(&odds.map_err(DeskError::science)?, asking.on));
    }
    if found.is_empty() {
        let key = asking.key.unwrap_or_default();
        return Err(DeskError::missing(format!("there is no event `{key}`"), "`groundlore season --events` lists the keys"));
    }
    Ok(SeasonEvents { on: asking.on, future: futures.word(), events: found })
}

/// The days before one. Gaps are left as they are: the futures fill the short ones and leave out the years that have long ones.
pub(crate) fn known_before(series: &Series, on: Date, file_name: &str) -> Result<Series, DeskError> {
    let yesterday = on.yesterday().map_err(DeskError::science)?;
    let last = series.last_day().min(yesterday);
    let known = series.between(series.first_day(), last).ok_or_else(|| {
        let (first, until) = (series.first_day(), series.last_day());
        DeskError::missing(
            format!("{file_name} runs from {first} to {until} and knows no day before {on}"),
            "ask for a later day, or give a longer file",
        )
    })?;
    Ok(known)
}

fn chosen_events(lore: &Lore, key: Option<&str>) -> Result<Vec<Event>, DeskError> {
    Ok(match key {
        None => events(lore),
        Some(key) => event(lore, key).into_iter().collect(),
    })
}

fn dated(odds: &ClockOdds, on: Date) -> DatedEvent {
    let coming = odds.coming(on);
    DatedEvent { key: odds.key.clone(), name: odds.name.clone(), p10: coming.p10, p50: coming.p50, p90: coming.p90, never: coming.never }
}

impl From<EventOdds> for DatedEvent {
    fn from(odds: EventOdds) -> Self {
        Self { key: odds.key, name: odds.name, p10: odds.p10, p50: odds.p50, p90: odds.p90, never: odds.never }
    }
}

impl Desk {
    /// The season's weather as futures at a yard, in the kind that the hindcast found most honest, with the forecast before them where one is
    /// kept; warmer by so many kelvin where asked.
    fn outlook(&self, yard: &YardOnDesk, warmer_by_c: f64) -> Result<Outlook, DeskError> {
        self.outlook_of_season(yard, warmer_by_c, Some(self.today.year()))
    }

    /// The same for the growing season that opens in a calendar year; none takes the one that holds today.
    pub(crate) fn outlook_of_season(&self, yard: &YardOnDesk, warmer_by_c: f64, season: Option<i16>) -> Result<Outlook, DeskError> {
        let outlook = self.outlook_as_learned(yard, warmer_by_c, season)?;
        let own = self.yard_weather(&yard.row)?.and_then(|weather| weather.note.own.clone());
        Ok(match own.map(|own| own.doubt_k()) {
            Some((minimum, maximum)) if minimum.max(maximum) > 0.0 => outlook.with_doubt_of(minimum, maximum),
            _ => outlook,
        })
    }

    /// The same with the yard's own shift taken as it was learned, without its doubt: what is seen in a yard has met its real air.
    fn outlook_as_learned(&self, yard: &YardOnDesk, warmer_by_c: f64, season: Option<i16>) -> Result<Outlook, DeskError> {
        let latitude =
            yard.row.latitude.ok_or_else(|| DeskError::missing(format!("{} has no place", yard.row.name), "import its map first"))?;
        let outlook = match self.yard_weather(&yard.row)? {
            Some(weather) => {
                let coming = self.coming(&yard.row, &weather.series, Kind::default())?;
                Outlook::of_futures(&coming.futures, latitude, season)
            }
            None => Outlook::without_weather(self.today, latitude, season),
        };
        let outlook = outlook.map_err(DeskError::science)?;
        Ok(if warmer_by_c == 0.0 { outlook } else { outlook.warmer_by(warmer_by_c) })
    }

    /// Every event of the season at a yard, with its odds, moved by what was seen this season here and nearby.
    ///
    /// # Errors
    /// A yard without a place, a station without weather.
    pub fn season_events(&self, yard: &str, warmer_by_c: f64) -> Result<Vec<ClockOdds>, DeskError> {
        let yard = self.yard(yard)?;
        let outlook = self.outlook(&yard, warmer_by_c)?;
        let all = events(&self.lore);
        let bare: Vec<ClockOdds> = odds_of_all(&all, &outlook, |_| Asked::default()).into_iter().filter_map(Result::ok).collect();
        let shifts = self.shifts(&yard, &all, &bare)?;
        if shifts.is_empty() {
            return Ok(bare);
        }
        let asked = |event: &Event| Asked { shift: shifts.get(&event.key()).copied(), biofix: None };
        let moved: Vec<Event> = all.into_iter().filter(|event| shifts.contains_key(&event.key())).collect();
        let learned = self.outlook_as_learned(&yard, warmer_by_c, Some(self.today.year()))?;
        let mut found: BTreeMap<String, ClockOdds> =
            odds_of_all(&moved, &learned, asked).into_iter().filter_map(Result::ok).map(|odds| (odds.key.clone(), odds)).collect();
        Ok(bare.into_iter().map(|odds| found.remove(&odds.key).unwrap_or(odds)).collect())
    }

    /// The residuals of sightings in yards whose own readings have since moved their clocks, against those clocks as they now stand, by the
    /// sighting's number: what the thermometer explains must not be counted a second time.
    fn residuals_by_own_readings(&self, rows: &[&Sighting], all: &[Event]) -> Result<BTreeMap<i64, Option<f64>>, DeskError> {
        let mut found = BTreeMap::new();
        let mut outlooks: BTreeMap<i64, Option<Outlook>> = BTreeMap::new();
        for row in rows {
            if let std::collections::btree_map::Entry::Vacant(place) = outlooks.entry(row.yard_id) {
                let yard = YardOnDesk { row: self.book.one(row.yard_id)?, map: None };
                let own = match self.book.gauge_files(row.yard_id)?.is_empty() {
                    true => None,
                    false => self.yard_weather(&yard.row)?.and_then(|weather| weather.note.own.clone()),
                };
                let moved = own.is_some_and(|own| own.used_k() != (0.0, 0.0));
                place.insert(if moved { Some(self.outlook_as_learned(&yard, 0.0, Some(self.today.year()))?) } else { None });
            }
            let Some(Some(outlook)) = outlooks.get(&row.yard_id) else { continue };
            let Some(event) = all.iter().find(|event| event.key() == row.event) else { continue };
            let odds = odds_of_all(std::slice::from_ref(event), outlook, |_| Asked::default()).into_iter().find_map(Result::ok);
            found.insert(row.id, odds.and_then(|odds| residual_days(&odds, row.date)));
        }
        Ok(found)
    }

    /// What this season's sightings teach about each clock at a yard.
    pub(crate) fn shifts(&self, yard: &YardOnDesk, all: &[Event], bare: &[ClockOdds]) -> Result<BTreeMap<String, Shift>, DeskError> {
        let rows = self.book.sightings()?;
        let (now, past): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row.date.year() == self.today.year() && row.date <= self.today);
        let mut shifts = BTreeMap::new();
        if now.is_empty() {
            return Ok(shifts);
        }
        let yards = self.book.yards()?;
        let here = (yard.row.latitude.unwrap_or(0.0), yard.row.longitude.unwrap_or(0.0));
        let place_of = |id: i64| yards.iter().find(|y| y.id == id).and_then(|y| Some(place_from(here, (y.latitude?, y.longitude?))));
        let clock_of = |key: &str| all.iter().find(|e| e.key() == key).map(|e| e.clock.key.clone());
        let again = self.residuals_by_own_readings(&now, all)?;
        for event in all {
            let key = event.key();
            let Some(odds) = bare.iter().find(|o| o.key == key) else { continue };
            let indicator = event.clock.indicator.as_ref().and_then(|i| i.clock.clone());
            let sights: Vec<Seen> = now
                .iter()
                .filter_map(|row| {
                    let clock = clock_of(&row.event)?;
                    let correlation = if clock == event.clock.key {
                        1.0
                    } else if indicator.as_deref() == Some(clock.as_str()) {
                        INDICATOR_CORRELATION
                    } else {
                        return None;
                    };
                    let residual = again.get(&row.id).copied().unwrap_or(row.residual_days)?;
                    Some(Seen {
                        yard: row.yard_id.to_string(),
                        place: place_of(row.yard_id)?,
                        residual_days: residual,
                        doubt_days: SIGHT_DOUBT_DAYS,
                        correlation,
                    })
                })
                .collect();
            if sights.is_empty() {
                continue;
            }
            let same = |row: &&&groundlore_book::sightings::Sighting| clock_of(&row.event).as_deref() == Some(event.clock.key.as_str());
            let learned: Vec<Past> = past
                .iter()
                .filter(same)
                .filter_map(|row| {
                    #[allow(clippy::cast_possible_truncation)]
                    row.residual_days.map(|r| Past {
                        season: row.date.year(),
                        yard: row.yard_id.to_string(),
                        residual_days: r.round() as i32,
                    })
                })
                .collect();
            let spreads = Spreads::of(odds).learned(&learned);
            shifts.insert(key, shift(&yard.row.id.to_string(), place_from(here, here), &sights, &spreads));
        }
        Ok(shifts)
    }

    /// Writes down what was seen of an event at a yard; from then on it moves that clock there and, by less, nearby. Gives the days by
    /// which it came later (below 0: earlier) than the clock had said.
    ///
    /// # Errors
    /// An unknown yard or event, a day that lies ahead, an event that the clock cannot date.
    pub fn saw(&mut self, yard: &str, key: &str, date: Option<Date>, who: Option<&str>) -> Result<f64, DeskError> {
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
        let wanted = event(&self.lore, key)
            .ok_or_else(|| DeskError::missing(format!("there is no event `{key}`"), "`groundlore season --events` lists the keys"))?;
        let outlook = self.outlook_as_learned(&on_desk, 0.0, Some(self.today.year()))?;
        let odds = odds_of_all(&[wanted], &outlook, |_| Asked::default()).into_iter().next();
        let odds = odds
            .ok_or_else(|| DeskError::missing(format!("the clock of `{key}` gives no date"), "choose another event"))?
            .map_err(DeskError::science)?;
        let residual = residual_days(&odds, date).ok_or_else(|| {
            DeskError::missing(format!("the clock of `{key}` gives no middle date this season"), "it can be noted, but moves nothing")
        })?;
        let row = Sighting {
            yard_id: on_desk.row.id,
            event: odds.key.clone(),
            date,
            residual_days: Some(residual),
            who: who.map(str::to_owned),
            ..Sighting::default()
        };
        self.book.write(|tx| tx.add(&row))?;
        self.plan_anew(on_desk.row.id)?;
        Ok(residual)
    }

    /// Events whose middle day falls in the seven days from today, over all yards: event, yards.
    ///
    /// # Errors
    /// If a yard's weather cannot be read.
    pub fn events_this_week(&self) -> Result<Vec<(ClockOdds, Vec<String>)>, DeskError> {
        let last = self.today.checked_add(6.days()).unwrap_or(self.today);
        let mut found: Vec<(ClockOdds, Vec<String>)> = Vec::new();
        for row in self.book.yards()?.into_iter().filter(|row| row.latitude.is_some()) {
            let yard = YardOnDesk { map: None, row };
            let outlook = self.outlook(&yard, 0.0)?;
            for odds in odds_of_all(&events(&self.lore), &outlook, |_| Asked::default()).into_iter().filter_map(Result::ok) {
                if !odds.p50.is_some_and(|day| day >= self.today && day <= last) {
                    continue;
                }
                match found.iter_mut().find(|(other, _)| other.key == odds.key) {
                    Some((_, yards)) => yards.push(yard.row.name.clone()),
                    None => found.push((odds, vec![yard.row.name.clone()])),
                }
            }
        }
        Ok(found)
    }

    /// The week's events over the book as a sheet.
    ///
    /// # Errors
    /// As [`Desk::events_this_week`].
    pub fn events_this_week_sheet(&self) -> Result<Sheet, DeskError> {
        let rows: Vec<Vec<String>> = self
            .events_this_week()?
            .into_iter()
            .map(|(odds, yards)| {
                let names = if yards.len() > 4 { format!("{} yards", yards.len()) } else { yards.join(", ") };
                let (p10, p50, p90) = (short(odds.p10), short(odds.p50), short(odds.p90));
                vec![odds.name, names, p10, p50, p90, odds.source.to_string()]
            })
            .collect();
        let caption = "Events whose middle day falls in the seven days from today";
        let table = Block::table(caption, &["event", "where", "10%", "50%", "90%", "source"], rows);
        let mut sheet = self.sheet("season-week", "What comes this week").with(table);
        sheet.blocks.extend(self.forecast_block()?);
        Ok(sheet)
    }

    /// The events that a yard's season sheet tells of, each with its short name: by the clocks of lore, of the plants that stand in the yard,
    /// and of half the individuals where a clock tells several shares. The JSON has them all.
    pub(crate) fn shown_events(&self, yard: &str) -> Result<Vec<(String, ClockOdds)>, DeskError> {
        let on_desk = self.yard(yard)?;
        let planted = on_desk.map.as_ref().map_or_else(Vec::new, crate::treatment::plants_named);
        let shown: BTreeMap<String, String> = events(&self.lore)
            .iter()
            .filter(|event| event.share.is_none_or(|share| (share - 0.5).abs() < 0.01) && concerns(event, &planted))
            .map(|event| (event.key(), event.clock.name.clone()))
            .collect();
        let all = self.season_events(yard, 0.0)?.into_iter();
        Ok(all.filter_map(|odds| shown.get(&odds.key).map(|name| (name.clone(), odds))).collect())
    }

    /// The coming events of a yard as an iCalendar feed (RFC 5545): one all-day entry from the 10 % to the 90 % day.
    ///
    /// # Errors
    /// As [`Desk::season_events`].
    pub fn season_calendar(&self, yard: &str) -> Result<String, DeskError> {
        let stamp = self.now.strftime("%Y%m%dT%H%M%SZ").to_string();
        let note = self.future_note(&self.yard(yard)?)?.map_or_else(String::new, |note| format!(" Futures: {}.", note.future_words));
        let mut text = String::from("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Groundlore//Season//EN\r\nCALSCALE:GREGORIAN\r\n");
        for odds in self.season_events(yard, 0.0)? {
            let (Some(first), Some(middle), Some(last)) = (odds.p10, odds.p50, odds.p90) else { continue };
            if last < self.today || first.until((Unit::Day, last)).map_or(0, |s| s.get_days()) > 90 {
                continue;
            }
            let after = last.tomorrow().unwrap_or(last);
            let about =
                format!("Most likely {middle}; by {first} in 1 of 10, by {last} in 9 of 10. {} [{}]{note}", odds.region, odds.source);
            for line in [
                "BEGIN:VEVENT".to_owned(),
                format!("UID:{}-{}-{}@groundlore", crate::yards::slug(yard), odds.key, self.today.year()),
                format!("DTSTAMP:{stamp}"),
                format!("DTSTART;VALUE=DATE:{}", first.strftime("%Y%m%d")),
                format!("DTEND;VALUE=DATE:{}", after.strftime("%Y%m%d")),
                format!("SUMMARY:{}", escaped(&format!("{yard}: {}", odds.name))),
                format!("DESCRIPTION:{}", escaped(&about)),
                "TRANSP:TRANSPARENT".to_owned(),
                "END:VEVENT".to_owned(),
            ] {
                let _ = write!(text, "{}\r\n", folded(&line));
            }
        }
        text.push_str("END:VCALENDAR\r\n");
        Ok(text)
    }
}

/// Whether an event has to do with a yard: one of a plant only where that plant stands there.
fn concerns(event: &Event, planted: &[String]) -> bool {
    let stands = |name: &str| {
        let wanted = name.to_lowercase().replace(' ', "-");
        planted.iter().any(|plant| {
            let plant = plant.to_lowercase().replace(' ', "-");
            plant == wanted || plant.split('-').any(|word| word == wanted)
        })
    };
    match (&event.clock.plant, event.clock.kind) {
        (Some(plant), _) => stands(plant),
        (None, EventKind::Bloom | EventKind::CutBack | EventKind::LeafDrop) => {
            event.clock.name.split_once(':').is_none_or(|(plant, _)| stands(plant))
        }
        _ => true,
    }
}

/// Escapes text for iCalendar (RFC 5545, 3.3.11).
pub(crate) fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\").replace(';', "\\;").replace(',', "\\,").replace('\n', "\\n")
}

/// Folds a line at 75 bytes (RFC 5545, 3.1), between characters.
pub(crate) fn folded(line: &str) -> String {
    let mut out = String::with_capacity(line.len() + 8);
    let mut room = 75;
    for c in line.chars() {
        if c.len_utf8() > room {
            out.push_str("\r\n ");
            room = 74;
        }
        out.push(c);
        room -= c.len_utf8();
    }
    out
}

/// A place in metres east and north of another.
fn place_from(origin: (f64, f64), place: (f64, f64)) -> Place {
    let metres_a_degree = 111_320.0;
    Place { east_m: (place.1 - origin.1) * metres_a_degree * origin.0.to_radians().cos(), north_m: (place.0 - origin.0) * metres_a_degree }
}

fn short(date: Option<Date>) -> String {
    date.map_or_else(|| "–".to_owned(), |d| d.strftime("%-d %b").to_string())
}
