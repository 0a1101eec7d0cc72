//! One clock for a trouble's stage at a place: the season's clocks of the lore that name the stage, nearest region first; where there is
//! none, the stage's own range of days.
//!
//! 1. Clocks of the stage whose region lies nearest are taken; of those, the ones that were read in every part before remembered ones, and
//!    those driven by weather before days of the calendar.
//! 2. Each gives the day on which one individual taken at random comes to the stage: weather, the range of the threshold, the model's error,
//!    individuals and what was seen in the yard are all in it ([`crate::event_clock`]). Several clocks count alike: which of their species it
//!    is, is not known.
//! 3. A stage is over by the clocks that end it; where none does, once nine in ten individuals have come to it.
//!
//! The window runs from the tenth percentile of its beginning to the ninetieth of its end (of its beginning where no clock ends it).

use crate::clock::{ClockError, ToldBy, Window};
use crate::event_clock::{ClockOdds, Event, events_of};
use crate::region::{NEAR_KM, distance_km};
use groundlore_lore::Lore;
use groundlore_lore::event_clock::EventClock;
use groundlore_lore::provenance::{Source, Standing};
use groundlore_lore::trouble::{Clock, Stage, Trouble};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Clocks whose regions lie so much farther than the nearest count as equally near, km: states are ragged and their boxes are not (memory).
const AS_NEAR_KM: f64 = 100.0;
/// Beyond this distance days of another region's calendar say no more than the stage's own, km (memory).
const CALENDAR_REACH_KM: f64 = 800.0;
/// Steps at which the chance that a stage is over is kept.
const CLOSING_STEP: f64 = 0.05;

/// A clock as it tells a stage: the event of one individual at random, and those of shares of them.
#[derive(Debug, Clone)]
struct Telling {
    /// One individual at random.
    at_random: Event,
    /// A tenth, half, nine tenths; empty where individuals do not lie apart.
    shares: Vec<Event>,
}

impl Telling {
    fn of(lore: &Lore, clock: &EventClock) -> Option<Self> {
        let events = events_of(lore, clock.clone());
        let at_random = Event { share: None, ..events.first()?.clone() };
        Some(Self { at_random, shares: events.into_iter().filter(|event| event.share.is_some()).collect() })
    }

    /// The event by which the stage is over where no clock ends it.
    fn nearly_all(&self) -> &Event {
        self.shares.last().unwrap_or(&self.at_random)
    }
}

/// The clocks that tell a stage at a place.
#[derive(Debug, Clone)]
pub struct StageClocks {
    begins: Vec<Telling>,
    ends: Vec<Telling>,
    /// Region of the clocks, in the words of the lore.
    pub region: String,
    /// Distance from the place to it, km; none where one of them is not known.
    pub distance_km: Option<f64>,
    /// True where every clock that begins the stage was read in all its parts.
    pub read: bool,
}

impl StageClocks {
    /// The clocks of a trouble's stage at a place (latitude and longitude in degrees); none where no clock of the lore tells it, or only a
    /// calendar of a region too far away.
    ///
    /// `with_weather` is false where the place has no weather: then only clocks that need none are taken.
    ///
    /// # Example
    /// ```
    /// use groundlore_lore::Lore;
    /// use groundlore_plant_health::stage_clock::StageClocks;
    ///
    /// let (lore, _) = Lore::built_in_lenient(None);
    /// let scales = &lore.troubles["scale-insects"];
    /// let at = |place| StageClocks::of(&lore, scales, "crawlers", Some(place), true).unwrap().region;
    /// assert_eq!(at((43.0, -89.4)), "Wisconsin");
    /// assert_eq!(at((39.0, -76.8)), "Maryland");
    /// ```
    #[must_use]
    pub fn of(lore: &Lore, trouble: &Trouble, stage: &str, place: Option<(f64, f64)>, with_weather: bool) -> Option<Self> {
        let usable = |clock: &&EventClock| with_weather || !clock.needs_weather();
        let all: Vec<&EventClock> = lore.clocks_for(&trouble.key, Some(stage)).into_iter().filter(usable).collect();
        let (ends, begins): (Vec<&EventClock>, Vec<&EventClock>) = all.into_iter().partition(|clock| clock.ends_stage);
        let (begins, distance) = nearest(lore, begins, place)?;
        let calendar_only = begins.iter().all(|clock| clock.driver.by_days());
        if calendar_only && distance.is_none_or(|km| km > CALENDAR_REACH_KM) {
            return None;
        }
        // What ends a stage is told by clocks as near as those that begin it, or not at all.
        let ends = nearest(lore, ends, place)
            .filter(|(_, far)| far.unwrap_or(f64::MAX) <= distance.unwrap_or(f64::MAX) + AS_NEAR_KM)
            .map_or_else(Vec::new, |(clocks, _)| clocks);
        let mut regions: Vec<&str> = begins.iter().map(|clock| clock.region.as_str()).collect();
        regions.dedup();
        Some(Self {
            region: regions.join("; "),
            distance_km: distance,
            read: begins.iter().all(|clock| lore.clock_standing(clock) == Standing::Read),
            begins: begins.into_iter().filter_map(|clock| Telling::of(lore, clock)).collect(),
            ends: ends.into_iter().filter_map(|clock| Telling::of(lore, clock)).collect(),
        })
    }

    /// Every event that must be dated, those of one clock beside each other.
    pub fn events(&self) -> impl Iterator<Item = &Event> {
        self.begins.iter().chain(&self.ends).flat_map(|told| std::iter::once(&told.at_random).chain(&told.shares))
    }

    /// Keys of the clocks that begin the stage.
    #[must_use]
    pub fn keys(&self) -> Vec<String> {
        self.begins.iter().map(|told| told.at_random.clock.key.clone()).collect()
    }

    /// True where the region holds the place, or lies beside it.
    #[must_use]
    pub fn near(&self) -> bool {
        self.distance_km.is_some_and(|km| km <= NEAR_KM)
    }

    /// The stage's window from the odds of [`StageClocks::events`]; none where no clock could be dated (each waits for a sight).
    #[must_use]
    pub fn window(&self, stage: &Stage, odds: &BTreeMap<String, ClockOdds>) -> Option<Window> {
        let of = |event: &Event| odds.get(&event.key()).filter(|odds| !odds.days.is_empty());
        let begin_odds: Vec<&ClockOdds> = self.begins.iter().filter_map(|told| of(&told.at_random)).collect();
        let begin = Mixed::of(&begin_odds)?;
        let end_odds: Vec<&ClockOdds> = self.ends.iter().filter_map(|told| of(&told.at_random)).collect();
        let end = Mixed::of(&end_odds);
        let nearly_all: Vec<&ClockOdds> = self.begins.iter().filter_map(|told| of(told.nearly_all())).collect();
        let closing = end.as_ref().map_or_else(|| Mixed::of(&nearly_all), |end| Some(end.clone()))?;
        let (p10, mut p50, mut p90) = (begin.quantile(0.1), begin.quantile(0.5), begin.quantile(0.9));
        if let Some(end) = &end {
            p50 = p50.zip(end.quantile(0.5)).map(|(from, to)| half_way(from, to)).or(p50);
            p90 = end.quantile(0.9).max(p90);
        }
        let (p50, p90) = (p50.max(p10), p90.map(|last| p50.max(p10).map_or(last, |middle| last.max(middle))));
        let mut source: Vec<String> = begin_odds.iter().chain(&end_odds).flat_map(|odds| odds.source.0.iter().cloned()).collect();
        source.sort();
        source.dedup();
        let futures = begin_odds.iter().map(|odds| odds.futures).max().unwrap_or(0);
        let mut working = vec![self.told()];
        if begin_odds.len() > 1 {
            working.push(format!("{} clocks count alike: which of their species it is, is not known", begin_odds.len()));
        }
        for odds in begin_odds.iter().chain(&end_odds) {
            working.extend(odds.working.iter().map(|line| format!("{}: {line}", odds.name)));
        }
        Some(Window {
            stage: stage.key.clone(),
            name: stage.name.clone(),
            treatable: stage.treatable,
            p10,
            p50,
            p90,
            never: begin.never,
            futures,
            widened_days: 0,
            region: self.region.clone(),
            source: Source(source),
            told_by: ToldBy::Clocks { keys: self.keys(), distance_km: self.distance_km },
            remembered: !self.read,
            may_open_treatment: self.read && self.near() && begin_odds.len() == self.begins.len(),
            closes: closing.steps(),
            working,
        })
    }

    fn told(&self) -> String {
        match self.distance_km {
            Some(km) if km < 1.0 => format!("clocks of {}, which holds this place", self.region),
            Some(km) => {
                let far = if self.near() { "" } else { ": far away, so an estimate" };
                format!("clocks of {}, the nearest region that has any, about {:.0} km away{far}", self.region, round_to_ten(km))
            }
            None => format!("clocks of {}: how far that is from here is not known, so an estimate", self.region),
        }
    }
}

/// The window of a stage at a place: by its clocks, else by its own days.
///
/// `odds` holds the dated events of `clocks`; `own` dates the stage's own clock.
///
/// # Errors
/// As [`crate::clock::window`].
pub fn stage_window(
    lore: &Lore,
    stage: &Stage,
    clocks: Option<&StageClocks>,
    odds: &BTreeMap<String, ClockOdds>,
    place: Option<(f64, f64)>,
    own: impl FnOnce() -> Result<Window, ClockError>,
) -> Result<Window, ClockError> {
    if let Some(window) = clocks.and_then(|clocks| clocks.window(stage, odds)) {
        return Ok(window);
    }
    let mut window = own()?;
    let (Clock::Calendar { region, source, .. } | Clock::AirDegreeDays { region, source, .. }) = &stage.clock;
    let near = place.and_then(|place| distance_km(region, place)).is_some_and(|km| km <= NEAR_KM);
    window.remembered = lore.standing(source) != Standing::Read;
    window.may_open_treatment = !window.remembered && near;
    window.working.insert(0, "no clock of the season tells this stage here: the trouble's own days stand in, and they are wide".to_owned());
    Ok(window)
}

/// The nearest clocks, the best of them: read before remembered, driven by weather before days of the calendar.
fn nearest<'a>(lore: &Lore, clocks: Vec<&'a EventClock>, place: Option<(f64, f64)>) -> Option<(Vec<&'a EventClock>, Option<f64>)> {
    let far = |clock: &EventClock| place.and_then(|place| distance_km(&clock.region, place));
    let least = clocks.iter().filter_map(|clock| far(clock)).min_by(f64::total_cmp);
    let as_near = |clock: &&&EventClock| match (far(clock), least) {
        (Some(km), Some(least)) => km <= least + AS_NEAR_KM,
        (None, Some(_)) => false,
        (_, None) => true,
    };
    let group: Vec<&EventClock> = clocks.iter().filter(as_near).copied().collect();
    let rank = |clock: &EventClock| {
        let by_weather = !clock.driver.by_days();
        (lore.clock_standing(clock) == Standing::Read, by_weather)
    };
    let best = group.iter().map(|clock| rank(clock)).max()?;
    Some((group.into_iter().filter(|clock| rank(clock) == best).collect(), least))
}

/// Days of several clocks, each of the same weight.
#[derive(Debug, Clone)]
struct Mixed {
    /// Each day with the chance that it has come by its end.
    by: Vec<(Date, f64)>,
    /// Share without the event.
    never: f64,
}

impl Mixed {
    fn of(clocks: &[&ClockOdds]) -> Option<Self> {
        let weight = 1.0 / clocks.len() as f64;
        let mut days: BTreeMap<Date, f64> = BTreeMap::new();
        for odds in clocks {
            odds.days.shares().for_each(|(day, share)| *days.entry(day).or_default() += share * weight);
        }
        if days.is_empty() && clocks.is_empty() {
            return None;
        }
        let mut sum = 0.0;
        let by = days.into_iter().map(|(day, share)| {
            sum += share;
            (day, sum)
        });
        Some(Self { by: by.collect(), never: clocks.iter().map(|odds| odds.never).sum::<f64>() * weight })
    }

    /// The first day by which the chance is at least so much.
    fn quantile(&self, probability: f64) -> Option<Date> {
        self.by.iter().find(|(_, chance)| *chance >= probability - 1e-9).map(|(day, _)| *day)
    }

    /// The course in steps: the first day, each day that passes another step, the last.
    fn steps(&self) -> Vec<(Date, f64)> {
        let mut kept: Vec<(Date, f64)> = Vec::new();
        let mut next = 0.0;
        for (place, (day, chance)) in self.by.iter().enumerate() {
            if *chance >= next || place + 1 == self.by.len() {
                kept.push((*day, chance.clamp(0.0, 1.0)));
                next = (chance / CLOSING_STEP).floor() * CLOSING_STEP + CLOSING_STEP;
            }
        }
        kept
    }
}

fn half_way(from: Date, to: Date) -> Date {
    from.saturating_add(jiff::ToSpan::days(crate::clock::days_between(from, to) / 2))
}

fn round_to_ten(km: f64) -> f64 {
    (km / 10.0).round() * 10.0
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::clock;
    use crate::event_clock::{Asked, Outlook, odds_of_all};
    use crate::observed::Shift;
    use groundlore_lore::event_clock::Driver;
    use groundlore_weather::{Columns, Ensemble, Series, Station};
    use jiff::civil::date;
    use std::sync::LazyLock;

    static LORE: LazyLock<Lore> = LazyLock::new(|| Lore::built_in_lenient(None).0);
    const MILWAUKEE: (f64, f64) = (43.0, -87.9);

    /// Invented weather: a smooth year, each past year a little different, and this year so much warmer. In the south the year is turned by
    /// half.
    fn outlook(latitude: f64, on: Date, warmer_c: f64) -> Outlook {
        let mut columns = Columns::default();
        let mut day = date(2005, 1, 1);
        let turned = if latitude < 0.0 { -1.0 } else { 1.0 };
        while day < on {
            let season = -turned * (f64::from(day.day_of_year()) * std::f64::consts::TAU / 365.25 - 0.35).cos();
            let of_year = f64::from(day.year() % 5) * 0.4 + if day.year() == on.year() { warmer_c } else { 0.0 };
            columns.tmin_c.push(4.0 + 13.0 * season + of_year);
            columns.tmax_c.push(14.0 + 13.0 * season + of_year);
            day = day.tomorrow().unwrap();
        }
        let station = Station { latitude: Some(latitude), ..Station::default() };
        let series = Series::from_columns(station, date(2005, 1, 1), columns).unwrap();
        Outlook::of_ensemble(&Ensemble::years_of_record(&series, on).unwrap(), latitude, None).unwrap()
    }

    fn dated(clocks: &StageClocks, outlook: &Outlook, shift: Option<Shift>) -> BTreeMap<String, ClockOdds> {
        let events: Vec<Event> = clocks.events().cloned().collect();
        let odds = odds_of_all(&events, outlook, |_| Asked { shift, biofix: None });
        odds.into_iter().map(|odds| odds.unwrap()).map(|odds| (odds.key.clone(), odds)).collect()
    }

    fn at(trouble: &str, stage: &str, place: (f64, f64), outlook: &Outlook, shift: Option<Shift>) -> Window {
        let trouble = &LORE.troubles[trouble];
        let stage = trouble.stages.iter().find(|known| known.key == stage).unwrap();
        let clocks = StageClocks::of(&LORE, trouble, &stage.key, Some(place), true).unwrap();
        clocks.window(stage, &dated(&clocks, outlook, shift)).unwrap()
    }

    #[test]
    fn a_warm_spring_moves_small_grubs_earlier() {
        let on = date(2015, 6, 15);
        let days = |warmer| at("white-grubs-annual", "small-grubs", MILWAUKEE, &outlook(43.0, on, warmer), None);
        let (usual, warm) = (days(0.0), days(3.0));
        assert!(usual.by_weather() && warm.p10 < usual.p10 && warm.p50 < usual.p50, "{:?} {:?}", warm.p50, usual.p50);
    }

    #[test]
    fn what_was_seen_moves_the_window() {
        let on = date(2015, 7, 15);
        let of = |shift| at("white-grubs-annual", "small-grubs", MILWAUKEE, &outlook(43.0, on, 0.0), shift);
        let early = of(Some(Shift { mean_days: -9.0, sd_days: 3.0 }));
        assert!(early.p50 < of(None).p50 && early.p90 < of(None).p90);
    }

    #[test]
    fn a_remembered_clock_opens_no_treatment_window_and_a_read_one_nearby_does() {
        let grubs = at("white-grubs-annual", "small-grubs", MILWAUKEE, &outlook(43.0, date(2015, 7, 1), 0.0), None);
        assert!(grubs.remembered && !grubs.may_open_treatment);
        // Ohio's clocks of crabgrass were read in every part.
        let spring = outlook(43.0, date(2015, 4, 1), 0.0);
        let crabgrass = at("crabgrass", "germination", (40.0, -83.0), &spring, None);
        assert!(!crabgrass.remembered && crabgrass.may_open_treatment, "{:?}", crabgrass.told_by);
        // Clocks that were read are no more than an estimate where nobody tried them.
        let far = at("crabgrass", "germination", (51.5, 0.0), &spring, None);
        assert!(!far.may_open_treatment && far.working[0].contains("far away"), "{}", far.working[0]);
        for trouble in LORE.troubles.values() {
            for stage in &trouble.stages {
                let Some(clocks) = StageClocks::of(&LORE, trouble, &stage.key, Some(MILWAUKEE), true) else { continue };
                let Some(window) = clocks.window(stage, &dated(&clocks, &spring, None)) else { continue };
                let keys = clocks.keys();
                let read = keys.iter().all(|key| LORE.clock_standing(&LORE.clocks[key]) == Standing::Read);
                assert!(read || !window.may_open_treatment, "{}: {keys:?}", trouble.key);
            }
        }
    }

    #[test]
    fn a_stage_without_clocks_keeps_its_own_days_and_says_so() {
        let trouble = &LORE.troubles["crabgrass"];
        let stage = Stage { key: "no-such-stage".into(), ..trouble.stages[1].clone() };
        assert!(StageClocks::of(&LORE, trouble, &stage.key, Some(MILWAUKEE), true).is_none());
        let own = || clock::window(&stage, 43.0, date(2015, 6, 1), |_| Ok(Vec::new()));
        let window = stage_window(&LORE, &stage, None, &BTreeMap::new(), Some(MILWAUKEE), own).unwrap();
        assert!(window.remembered && !window.may_open_treatment && window.closes.is_empty() && !window.by_weather());
        assert!(window.working[0].contains("own days"));
    }

    #[test]
    fn the_end_of_a_stage_comes_after_its_beginning_and_closes_step_by_step() {
        let spring = outlook(43.0, date(2015, 4, 1), 0.0);
        for trouble in LORE.troubles.values() {
            for stage in &trouble.stages {
                let Some(clocks) = StageClocks::of(&LORE, trouble, &stage.key, Some(MILWAUKEE), true) else { continue };
                let Some(window) = clocks.window(stage, &dated(&clocks, &spring, None)) else { continue };
                let days: Vec<Date> = [window.p10, window.p50, window.p90].into_iter().flatten().collect();
                assert!(days.is_sorted(), "{} {}: {days:?}", trouble.key, stage.key);
                assert!(window.closes.is_sorted(), "{} {}", trouble.key, stage.key);
                assert!(window.closes.iter().all(|(_, chance)| (0.0..=1.0).contains(chance)));
            }
        }
    }

    #[test]
    fn southern_stages_come_half_a_year_later() {
        let south = at("white-grubs-annual", "small-grubs", (-37.8, 145.0), &outlook(-37.8, date(2015, 12, 15), 0.0), None);
        let north = at("white-grubs-annual", "small-grubs", MILWAUKEE, &outlook(43.0, date(2015, 6, 15), 0.0), None);
        let apart = clock::days_between(north.p50.unwrap(), south.p50.unwrap());
        assert!((150..=215).contains(&apart), "{apart} days");
        assert!(!south.may_open_treatment);
    }

    #[test]
    fn without_weather_only_days_of_the_calendar_are_told() {
        let trouble = &LORE.troubles["white-grubs-annual"];
        let clocks = StageClocks::of(&LORE, trouble, "small-grubs", Some(MILWAUKEE), false).unwrap();
        assert!(clocks.keys().iter().all(|key| matches!(LORE.clocks[key].driver, Driver::Calendar { .. })));
        assert!(StageClocks::of(&LORE, trouble, "small-grubs", Some((51.5, 0.0)), false).is_none(), "too far for another's calendar");
    }
}
