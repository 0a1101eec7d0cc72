//! The season's weather at a yard, and the odds of events in it: reckoned once for all yards that share the weather.
//!
//! Odds are shared where nothing of the yard is in them: the same futures (the same record, day and forecast), no shift asked for, no doubt in
//! the yard's own air, no sight, and a clock that does not look at the length of the day. Everything else is reckoned for the yard alone.

use crate::forecast::Coming;
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_lore::Lore;
use groundlore_lore::event_clock::{Driver, Start};
use groundlore_plant_health::event_clock::{Asked, ClockOdds, Event, Outlook, odds_of_all};
use groundlore_weather::futures::Kind;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

/// Odds by event that were reckoned from the same futures, for one season on one half of the globe.
#[derive(Debug, Default)]
pub(crate) struct KnownOdds(Mutex<Vec<Known>>);

#[derive(Debug)]
struct Known {
    lore: Arc<Lore>,
    season: i16,
    south: bool,
    odds: BTreeMap<String, ClockOdds>,
}

impl KnownOdds {
    fn with<Answer>(
        &self,
        lore: &Arc<Lore>,
        outlook: &Outlook,
        south: bool,
        work: impl FnOnce(&mut BTreeMap<String, ClockOdds>) -> Answer,
    ) -> Answer {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let season = outlook.season_year();
        let place = all.iter().position(|known| Arc::ptr_eq(&known.lore, lore) && known.season == season && known.south == south);
        let place = place.unwrap_or_else(|| {
            all.retain(|known| Arc::ptr_eq(&known.lore, lore));
            all.push(Known { lore: Arc::clone(lore), season, south, odds: BTreeMap::new() });
            all.len() - 1
        });
        work(&mut all[place].odds)
    }
}

/// The season's weather at a yard.
#[derive(Debug)]
pub(crate) struct SeasonWeather {
    /// The weather in every future.
    pub(crate) outlook: Outlook,
    /// The futures, where nothing of the yard itself has been added to them.
    shared: Option<Arc<Coming>>,
    south: bool,
    lore: Arc<Lore>,
}

impl SeasonWeather {
    /// A season of which no weather is known: only days of the calendar and of the sun can be told in it.
    pub(crate) fn none(desk: &Desk, latitude: f64) -> Result<Self, DeskError> {
        let outlook = Outlook::without_weather(desk.today, latitude, None).map_err(DeskError::science)?;
        Ok(Self { outlook, shared: None, south: latitude < 0.0, lore: Arc::clone(&desk.lore) })
    }

    /// The odds of events, in their order; one that cannot be dated is left out.
    pub(crate) fn odds(&self, events: &[Event], asked: impl Fn(&Event) -> Asked) -> Vec<ClockOdds> {
        let Some(coming) = &self.shared else {
            return odds_of_all(events, &self.outlook, asked).into_iter().filter_map(Result::ok).collect();
        };
        let common = |event: &Event| asked(event) == Asked::default() && !looks_at_the_sun(event);
        let keys: Vec<String> = events.iter().map(Event::key).collect();
        let known: BTreeSet<String> = coming
            .odds
            .with(&self.lore, &self.outlook, self.south, |odds| keys.iter().filter(|key| odds.contains_key(*key)).cloned().collect());
        let missing: Vec<Event> = events
            .iter()
            .zip(&keys)
            .filter(|(event, key)| !(common(event) && known.contains(*key)))
            .map(|(event, _)| event.clone())
            .collect();
        let mut own: BTreeMap<String, ClockOdds> =
            odds_of_all(&missing, &self.outlook, &asked).into_iter().filter_map(Result::ok).map(|odds| (odds.key.clone(), odds)).collect();
        coming.odds.with(&self.lore, &self.outlook, self.south, |shared| {
            let mut found = Vec::with_capacity(events.len());
            for (event, key) in events.iter().zip(&keys) {
                match own.remove(key) {
                    Some(odds) => {
                        if common(event) {
                            shared.insert(key.clone(), odds.clone());
                        }
                        found.push(odds);
                    }
                    None if common(event) => found.extend(shared.get(key).cloned()),
                    None => {}
                }
            }
            found
        })
    }
}

/// Whether the length of the day is in a clock: it is another in every yard.
fn looks_at_the_sun(event: &Event) -> bool {
    matches!(event.clock.driver, Driver::DayLength { .. }) || matches!(event.clock.start, Start::DayLength { .. })
}

impl Desk {
    /// The weather of a growing season at a yard as futures, in the kind that the hindcast found most honest, with the forecast before them where
    /// one is kept; warmer by so many kelvin where asked; with the doubt that is left in the yard's own air.
    ///
    /// `season` is the calendar year in which the growing season opens; none takes the one that holds today.
    pub(crate) fn season_weather(&self, yard: &YardOnDesk, warmer_by_c: f64, season: Option<i16>) -> Result<SeasonWeather, DeskError> {
        let mut weather = self.season_weather_as_learned(yard, warmer_by_c, season)?;
        let own = self.yard_weather(&yard.row)?.and_then(|weather| weather.note.own.clone());
        if let Some((minimum, maximum)) = own.map(|own| own.doubt_k()).filter(|(minimum, maximum)| minimum.max(*maximum) > 0.0) {
            weather.outlook = weather.outlook.with_doubt_of(minimum, maximum);
            weather.shared = None;
        }
        Ok(weather)
    }

    /// The same with the yard's own shift taken as it was learned, without its doubt: what is seen in a yard has met its real air.
    pub(crate) fn season_weather_as_learned(
        &self,
        yard: &YardOnDesk,
        warmer_by_c: f64,
        season: Option<i16>,
    ) -> Result<SeasonWeather, DeskError> {
        let latitude =
            yard.row.latitude.ok_or_else(|| DeskError::missing(format!("{} has no place", yard.row.name), "import its map first"))?;
        let (outlook, shared) = match self.yard_weather(&yard.row)? {
            Some(weather) => {
                let coming = self.coming(&yard.row, &weather.series, Kind::default())?;
                (Outlook::of_futures(&coming.futures, latitude, season), Some(coming))
            }
            None => (Outlook::without_weather(self.today, latitude, season), None),
        };
        let outlook = outlook.map_err(DeskError::science)?;
        let (south, lore) = (latitude < 0.0, Arc::clone(&self.lore));
        Ok(if warmer_by_c == 0.0 {
            SeasonWeather { outlook, shared, south, lore }
        } else {
            SeasonWeather { outlook: outlook.warmer_by(warmer_by_c), shared: None, south, lore }
        })
    }
}
