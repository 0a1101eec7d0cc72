//! When the stages of troubles come at a yard, by one clock, and the windows of tasks that follow from it.
//!
//! A stage is told by the season's clocks of the nearest region, moved by what was seen in the yard and nearby
//! ([`groundlore_plant_health::stage_clock`]); where none tells it, by the trouble's own days. All stages that are asked for at once share
//! one outlook of the weather.

use crate::season_weather::SeasonWeather;
use crate::sights::asked;
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_lore::trouble::{Clock, Trouble};
use groundlore_plant_health::clock::{self, Standing, ToldBy, Window};
use groundlore_plant_health::event_clock::{ClockOdds, Event, event, events_of};
use groundlore_plant_health::stage_clock::{StageClocks, stage_window};
use groundlore_work::task::Window as TaskWindow;
use jiff::ToSpan as _;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Days for which a treatment stands open where no stage lies ahead (common practice).
const OPEN_DAYS: i64 = 14;
/// Said of dates that rest on a clock that is remembered or made for a place far away.
pub(crate) const LOOK_FIRST: &str = "an estimate: count or look first; these dates alone are no reason to treat";

impl Desk {
    /// Windows of a trouble's stages at a yard, by this year's weather; where the yard has no weather up to now, only stages of the calendar.
    ///
    /// # Errors
    /// A yard without a place.
    pub fn stage_windows(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<Vec<Window>, DeskError> {
        Ok(self.windows_of(yard, &[trouble])?.remove(&trouble.key).unwrap_or_default())
    }

    /// Windows of the stages of every trouble at a yard, by the trouble's key; one outlook for all.
    ///
    /// # Errors
    /// As [`Desk::stage_windows`].
    pub fn all_stage_windows(&self, yard: &YardOnDesk) -> Result<BTreeMap<String, Vec<Window>>, DeskError> {
        self.windows_of(yard, &self.lore.troubles.values().collect::<Vec<_>>())
    }

    /// Windows of the stages of some troubles at a yard, by the trouble's key.
    pub(crate) fn windows_of(&self, yard: &YardOnDesk, troubles: &[&Trouble]) -> Result<BTreeMap<String, Vec<Window>>, DeskError> {
        let latitude =
            yard.row.latitude.ok_or_else(|| DeskError::missing(format!("{} has no place", yard.row.name), "import its map first"))?;
        let place = yard.row.longitude.map(|longitude| (latitude, longitude));
        let season = match self.season_weather(yard, 0.0, None) {
            Ok(season) => season,
            Err(_) => SeasonWeather::none(self, latitude)?,
        };
        let weather = season.outlook.futures() > 0;
        let staged: Vec<_> = troubles
            .iter()
            .flat_map(|trouble| trouble.stages.iter().map(move |stage| (*trouble, stage)))
            .map(|(trouble, stage)| (trouble, stage, StageClocks::of(&self.lore, trouble, &stage.key, place, weather)))
            .collect();
        let odds = self.odds_of_stages(yard, &season, staged.iter().filter_map(|(_, _, clocks)| clocks.as_ref()))?;
        let ensemble = if weather { self.yard_ensemble(&yard.row).ok().flatten() } else { None };
        let forecast = if ensemble.is_some() { self.coming_by_forecast(&yard.row)? } else { None };
        let mut windows: BTreeMap<String, Vec<Window>> = BTreeMap::new();
        for (trouble, stage, clocks) in staged {
            let own_needs_weather = matches!(stage.clock, Clock::AirDegreeDays { .. });
            if clocks.is_none() && ensemble.is_none() && own_needs_weather {
                continue;
            }
            let own = || {
                clock::window(stage, latitude, self.today, |heat| match (&ensemble, &forecast) {
                    (Some(ensemble), Some(coming)) => Ok(coming.dates_reaching(heat, ensemble)?),
                    (Some(ensemble), None) => Ok(ensemble.dates_reaching(heat)?),
                    (None, _) => Ok(Vec::new()),
                })
            };
            let window = stage_window(&self.lore, stage, clocks.as_ref(), &odds, place, own).map_err(DeskError::science)?;
            windows.entry(trouble.key.clone()).or_default().push(window);
        }
        Ok(windows)
    }

    /// The odds of the events that tell some stages, moved by this season's sights.
    fn odds_of_stages<'a>(
        &self,
        yard: &YardOnDesk,
        season: &SeasonWeather,
        stages: impl Iterator<Item = &'a StageClocks>,
    ) -> Result<BTreeMap<String, ClockOdds>, DeskError> {
        let mut known = BTreeSet::new();
        let mut wanted: Vec<Event> = stages.flat_map(StageClocks::events).filter(|event| known.insert(event.key())).cloned().collect();
        // A sight of what blooms when it happens moves the clock too, so that its own clock must be there to be found.
        let indicators: BTreeSet<String> =
            wanted.iter().filter_map(|event| event.clock.indicator.as_ref().and_then(|indicator| indicator.clock.clone())).collect();
        for key in indicators {
            let Some(indicator) = self.lore.clocks.get(&key) else { continue };
            wanted.extend(events_of(&self.lore, indicator.clone()).into_iter().filter(|event| known.insert(event.key())));
        }
        let sights = self.sights(yard)?;
        let starts = sights.starts(&wanted);
        let bare = season.odds(&wanted, |event| asked(event, &starts, None));
        let shifts = self.shifts(&sights, &wanted, &bare)?;
        let moved = |event: &Event| asked(event, &starts, shifts.get(&event.key()).copied());
        let odds = if shifts.is_empty() { bare } else { season.odds(&wanted, moved) };
        Ok(odds.into_iter().map(|odds| (odds.key.clone(), odds)).collect())
    }

    /// Was something that tells this stage seen in the yard this season?
    pub(crate) fn stage_was_seen(&self, yard_id: i64, window: &Window) -> Result<bool, DeskError> {
        let ToldBy::Clocks { keys, .. } = &window.told_by else { return Ok(false) };
        let since = self.today.saturating_sub(6.months());
        let tells = |key: &str| event(&self.lore, key).is_some_and(|event| keys.contains(&event.clock.key));
        let rows = self.book.sightings()?;
        Ok(rows.iter().any(|row| row.yard_id == yard_id && (since..=self.today).contains(&row.date) && tells(&row.event)))
    }
}

/// The window of a task that follows a stage, on the days given; the odds of the other stages stand beside its own.
pub(crate) fn task_window(stage: &Window, beside: &[&Window], [earliest, best, latest]: [Date; 3], today: Date) -> TaskWindow {
    let mut odds: Vec<String> = std::iter::once(stage).chain(beside.iter().copied()).map(odds_line).collect();
    if !stage.may_open_treatment {
        odds.push(LOOK_FIRST.to_owned());
    }
    let window = if stage.by_weather() {
        TaskWindow::by_weather([earliest, best, latest], odds, stage.closes.clone(), today)
    } else {
        TaskWindow::by_calendar(earliest, best, latest, odds)
    };
    window.following(&stage.stage)
}

/// The window of a treatment of a stage, kept from today on; where no stage lies ahead, a fortnight.
pub(crate) fn treatment_window(stage: Option<&Window>, today: Date) -> TaskWindow {
    let soon = today.saturating_add(OPEN_DAYS.days());
    let Some(stage) = stage else {
        return TaskWindow::fixed(
            today,
            today,
            soon,
            "no stage on which a control works lies ahead: a fortnight from today (common practice)",
        );
    };
    let earliest = stage.p10.unwrap_or(today).max(today);
    let latest = stage.p90.unwrap_or(soon).max(earliest);
    let best = stage.p50.unwrap_or(earliest).clamp(earliest, latest);
    task_window(stage, &[], [earliest, best, latest], today)
}

/// The treatable stage that is on now, or comes next.
pub(crate) fn current_stage(windows: &[Window], today: Date) -> Option<&Window> {
    let treatable = || windows.iter().filter(|w| w.treatable);
    treatable()
        .find(|w| w.stands(today) == Standing::Now)
        .or_else(|| treatable().filter(|w| w.p10.is_some_and(|d| d > today)).min_by_key(|w| w.p10))
}

/// A window's odds in a line, with what tells them.
pub(crate) fn odds_line(window: &Window) -> String {
    let day = |d: Option<Date>| d.map_or_else(|| "not this season".to_owned(), |d| d.to_string());
    let (name, source) = (&window.name, &window.source);
    let (first, middle, last) = (day(window.p10), day(window.p50), day(window.p90));
    let told = told_words(window);
    if !window.by_weather() {
        return format!("{name}: {first} to {last}, days of the calendar, not odds ({told}; {source})");
    }
    let futures = window.futures;
    format!("{name}: from {first} in 1 year of 10, about {middle} in 5, to {last} in 9 ({futures} futures; {told}; {source})")
}

/// What tells a window, in words: so many clocks of a region, remembered or read, or the trouble's own days.
pub(crate) fn told_words(window: &Window) -> String {
    match &window.told_by {
        ToldBy::Clocks { keys, .. } => {
            let clocks = if keys.len() == 1 { "1 clock".to_owned() } else { format!("{} clocks", keys.len()) };
            let how = if window.remembered { "remembered" } else { "read" };
            format!("{clocks} of {}, {how}{}", window.region, far_words(window))
        }
        ToldBy::Stage => format!("the trouble's own days, widened by {}; {}", window.widened_days, window.region),
    }
}

/// How far a window's region lies, where it does not hold the place.
fn far_words(window: &Window) -> String {
    match &window.told_by {
        ToldBy::Clocks { distance_km: Some(km), .. } if *km >= 5.0 => format!(", about {:.0} km away", (km / 10.0).round() * 10.0),
        ToldBy::Clocks { distance_km: None, .. } => ", how far away is not known".to_owned(),
        _ => String::new(),
    }
}
