//! What comes when: the season's events by the clocks of lore and by the weather alone, with odds; for a yard, for the whole book, and
//! without any book.

use crate::sights::asked;
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_lore::Lore;
use groundlore_lore::event_clock::EventKind;
use groundlore_plant_health::event_clock::{Asked, ClockOdds, Event, Outlook, event, events, odds_of_all};
use groundlore_sheet::{Block, Sheet};
use groundlore_weather::futures::{Futures, Kind};
use groundlore_weather::season_events::{EventOdds, WEATHER_EVENTS, odds_in};
use groundlore_weather::{ReadOptions, Series, Station, read_text};
use jiff::civil::Date;
use jiff::{ToSpan as _, Unit};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::{Arc, Mutex, PoisonError};

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

/// The lore's events, made once for a lore.
#[derive(Debug, Default)]
pub(crate) struct KnownEvents(Mutex<Option<EventsOf>>);

/// A lore with its events.
type EventsOf = (Arc<Lore>, Arc<Vec<Event>>);

impl KnownEvents {
    fn get(&self, lore: &Arc<Lore>) -> Arc<Vec<Event>> {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, events)) = known.as_ref().filter(|(made_of, _)| Arc::ptr_eq(made_of, lore)) {
            return Arc::clone(events);
        }
        let made = Arc::new(events(lore));
        *known = Some((Arc::clone(lore), Arc::clone(&made)));
        made
    }
}

impl Desk {
    /// Every event of the lore that can be dated, made once.
    pub(crate) fn all_events(&self) -> Arc<Vec<Event>> {
        self.events.get(&self.lore)
    }

    /// Every event of the season at a yard, with its odds, moved by what was seen this season here and nearby.
    ///
    /// # Errors
    /// A yard without a place, a station without weather.
    pub fn season_events(&self, yard: &str, warmer_by_c: f64) -> Result<Vec<ClockOdds>, DeskError> {
        self.events_at(&self.yard(yard)?, warmer_by_c)
    }

    fn events_at(&self, yard: &YardOnDesk, warmer_by_c: f64) -> Result<Vec<ClockOdds>, DeskError> {
        let weather = self.season_weather(yard, warmer_by_c, None)?;
        let all = self.all_events();
        let sights = self.sights(yard)?;
        let starts = sights.starts(&all);
        let bare = weather.odds(&all, |event| asked(event, &starts, None));
        let shifts = self.shifts(&sights, &all, &bare)?;
        if shifts.is_empty() {
            return Ok(bare);
        }
        let moved: Vec<Event> = all.iter().filter(|event| shifts.contains_key(&event.key())).cloned().collect();
        let learned = self.season_weather_as_learned(yard, warmer_by_c, None)?;
        let found = learned.odds(&moved, |event| asked(event, &starts, shifts.get(&event.key()).copied()));
        let mut found: BTreeMap<String, ClockOdds> = found.into_iter().map(|odds| (odds.key.clone(), odds)).collect();
        Ok(bare.into_iter().map(|odds| found.remove(&odds.key).unwrap_or(odds)).collect())
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
            for odds in self.events_at(&yard, 0.0)? {
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
        let shown: BTreeMap<String, String> = self
            .all_events()
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

fn short(date: Option<Date>) -> String {
    date.map_or_else(|| "–".to_owned(), |d| d.strftime("%-d %b").to_string())
}
