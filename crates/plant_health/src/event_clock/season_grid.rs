//! The season of many yards at once: per station every clock is dated once at a few steps of temperature, and each yard reads its own
//! dates from there.
//!
//! | step | where |
//! | --- | --- |
//! | a station's clocks over a range of temperature shifts | [`SeasonGrid`], [`ShiftSteps`] |
//! | the odds of all events in one yard | [`SeasonGrid::read`], [`Yard`], [`GridOdds`] |
//! | what a sight teaches in a yard | [`SeasonGrid::taught`] |
//! | many stations, many yards, all cores | [`grids_of_stations`], [`season_of_yards`], [`Season`] |
//!
//! How the dates of a clock depend on a yard's shift settles how they are kept:
//!
//! - heat sums of air and soil: running sums at each step of shift, searched for each threshold in each future; a yard between two steps
//!   has its date between theirs, settled by the sums of the steps about it, drawn to the yard's shift;
//! - temperatures of air and soil that pass a threshold: the staircase of records of each future. A shift moves the threshold instead, so
//!   a yard's dates are exact (the soil column is linear in the air, so that soil moves by the same shift);
//! - rain, day length, the calendar: the same for all shifts;
//! - chill, starts by soil, intermediate cutoffs: dated as [`odds`](super::odds) does at each step; a yard takes the day between two.
//!
//! Errors in days are added as in [`odds`](super::odds) and the quantiles are of the same kind, so that at a step of the grid the answer
//! is the same. Between steps it differs by the interpolation of heat dates, and of quantiles where a yard was taught nothing
//! (`season_grid/curves.rs`); a test holds that to under half a day for 95 dates of 100.
//! The odds are those of the whole season, as in [`ClockOdds`](super::ClockOdds), not of what is [`coming`](super::ClockOdds::coming).

mod book;
mod curves;
mod day_counts;
mod heat_steps;
mod record_stairs;
mod stepped_dates;

pub use book::{Season, grids_of_stations, season_of_yards};

use super::columns::Columns;
use super::{Asked, Event, EventError, Outlook, Spread, Without, weather_of};
use crate::clock::ClockError;
use crate::observed::{self, Place, Seen, Shift, Spreads};
use curves::{Curves, Knot};
use day_counts::DayCounts;
use groundlore_lore::event_clock::{Driver, EventClock, Start, Which};
use groundlore_weather::calendar::{date_of, day_number};
use jiff::civil::Date;
use record_stairs::{SoilCourses, Stairs};
use serde::Serialize;
use std::ops::Range;
use std::sync::Arc;
use stepped_dates::SteppedDates;

/// Temperature shifts at which heat is summed, in kelvin, lowest first and evenly apart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ShiftSteps {
    low_c: f64,
    apart_c: f64,
    number: usize,
}

impl ShiftSteps {
    /// From −3 to +3 K by 0.5: wide enough for cold hollows and warm walls.
    pub const USUAL: Self = Self { low_c: -3.0, apart_c: 0.5, number: 13 };
    /// Most steps of a grid.
    const MOST: usize = 1000;

    /// Steps from one shift to another, both taken in; none where they are no such range: not finite, a step not above 0, or more than a
    /// thousand steps.
    #[must_use]
    pub fn between(low_c: f64, high_c: f64, apart_c: f64) -> Option<Self> {
        let gaps = ((high_c - low_c) / apart_c - 1e-9).ceil();
        let fits = low_c.is_finite() && low_c <= high_c && apart_c.is_finite() && apart_c > 0.0 && gaps < Self::MOST as f64;
        fits.then(|| Self { low_c, apart_c, number: gaps as usize + 1 })
    }

    /// One shift only: for a single yard, whose dates then are exact.
    #[must_use]
    pub fn exactly(shift_c: f64) -> Self {
        Self { low_c: shift_c, apart_c: 1.0, number: 1 }
    }

    /// The shifts, K.
    pub fn shifts_c(&self) -> impl Iterator<Item = f64> + use<> {
        let steps = *self;
        (0..steps.number).map(move |step| steps.low_c + step as f64 * steps.apart_c)
    }

    /// The step below a shift and the share of the way to the next one; none outside the range.
    fn place(&self, shift_c: f64) -> Option<(usize, f32)> {
        const ROUNDING: f64 = 1e-9;
        let way = (shift_c - self.low_c) / self.apart_c;
        let last = (self.number - 1) as f64;
        if !(-ROUNDING..=last + ROUNDING).contains(&way) {
            return None;
        }
        let step = way.clamp(0.0, last).floor().min((self.number.max(2) - 2) as f64);
        Some((step as usize, (way - step).clamp(0.0, 1.0) as f32))
    }
}

/// A yard as a grid reads it.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Yard {
    /// Place of its station among the grids.
    pub station: usize,
    /// By how much it is warmer (below 0: colder) than the station, K.
    pub warmer_by_c: f64,
    /// Clocks that observations have moved here: place of the event among the grid's events, and what was taught.
    pub shifts: Vec<(usize, Shift)>,
}

/// The odds of one event in one yard.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GridOdds {
    /// One chance in ten that it has come by this day.
    pub p10: Option<Date>,
    /// Even odds by this day.
    pub p50: Option<Date>,
    /// Nine chances in ten by this day.
    pub p90: Option<Date>,
    /// Share of futures in which it does not come this season, 0 to 1.
    pub never: f64,
}

/// Why a season cannot be read from a grid.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GridError {
    /// A clock that cannot be dated.
    #[error(transparent)]
    Event(#[from] EventError),
    /// A yard's shift outside the steps of the grid.
    #[error(
        "a shift of {warmer_by_c} K lies outside the grid, which reaches from {low_c} to {high_c} K; make it with steps as wide as that"
    )]
    OutOfReach {
        /// The yard's shift, K.
        warmer_by_c: f64,
        /// Lowest shift of the grid, K.
        low_c: f64,
        /// Highest shift of the grid, K.
        high_c: f64,
    },
    /// A yard of a station that is not there.
    #[error("yard {yard} names station {station}, but there are {stations} stations, counted from 0")]
    NoStation {
        /// Place of the yard.
        yard: usize,
        /// The station that it names.
        station: usize,
        /// Number of stations.
        stations: usize,
    },
    /// Stations whose grids hold different events.
    #[error("station {station} has {seen} events and station 0 has {expected}; make all grids from the same events")]
    UnlikeEvents {
        /// Place of the station.
        station: usize,
        /// Events of that station.
        seen: usize,
        /// Events of the first.
        expected: usize,
    },
}

/// The dates of one clock.
#[derive(Debug, Clone)]
enum Dates {
    /// It waits for something to be seen.
    Waits,
    Stepped(SteppedDates),
    Stairs(Stairs),
}

impl Dates {
    /// Fills counts with the places of a yard's dates: of all points of the threshold, or of the middle one alone.
    fn fill(&self, at: At, middle_only: bool, counts: &mut DayCounts) {
        match self {
            Self::Waits => counts.begin(0),
            Self::Stepped(dates) => dates.fill(at.step, middle_only, counts),
            Self::Stairs(stairs) => stairs.fill(at.warmer_by_c, middle_only, counts),
        }
    }
}

/// Where a yard stands on a grid.
#[derive(Debug, Clone, Copy)]
struct At {
    warmer_by_c: f64,
    step: (usize, f32),
}

/// The events of one clock that stand together, with their dates.
#[derive(Debug, Clone)]
struct Group {
    events: Range<usize>,
    dates: Dates,
    without: Without,
}

/// All events of the season at a station, for yards that are warmer or colder than it.
///
/// # Example
/// ```
/// use groundlore_plant_health::event_clock::{Asked, Outlook, event, odds};
/// use groundlore_plant_health::season_grid::{SeasonGrid, ShiftSteps, Yard};
/// use groundlore_lore::Lore;
/// use jiff::civil::date;
///
/// let (lore, _) = Lore::built_in_lenient(None);
/// let bloom = event(&lore, "bloom-begins-helleborus-orientalis").unwrap();
/// let outlook = Outlook::without_weather(date(2015, 2, 1), 43.0, None)?;
/// let grid = SeasonGrid::of(&[bloom.clone()], &outlook, ShiftSteps::USUAL)?;
/// let read = grid.read(&Yard { warmer_by_c: -0.7, ..Yard::default() })?;
/// assert_eq!(read[0].p50, odds(&bloom, &outlook, &Asked::default())?.p50);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct SeasonGrid {
    events: Vec<Event>,
    /// Steps in whole days that widen each event's dates where nothing was seen, in order.
    widenings: Vec<Vec<i32>>,
    groups: Vec<Group>,
    /// Quantiles over the shift, where nothing was seen; none in a grid of a single step.
    curves: Option<Curves>,
    steps: ShiftSteps,
    first: i32,
}

impl SeasonGrid {
    /// Dates every clock of some events at a station. Events of one clock should stand together, as [`events`](super::events) gives them:
    /// they then share its dates.
    ///
    /// # Errors
    /// [`EventError`] where a day, a temperature or a method of a clock cannot be read.
    pub fn of(events: &[Event], outlook: &Outlook, steps: ShiftSteps) -> Result<Self, EventError> {
        let mut making = Making { outlook, steps, soil: SoilCourses::default(), warmed: None };
        let mut ranges: Vec<Range<usize>> = Vec::new();
        for (place, event) in events.iter().enumerate() {
            match ranges.last_mut() {
                Some(range) if Arc::ptr_eq(&events[range.start].clock, &event.clock) => range.end = place + 1,
                _ => ranges.push(place..place + 1),
            }
        }
        let named = |place: usize, why: ClockError| EventError { key: events[place].key(), why };
        let mut dates: Vec<Option<Dates>> = vec![None; ranges.len()];
        // Heat: all clocks of one way of summing together, so that each sum is made once.
        let clocks: Vec<&EventClock> = ranges.iter().map(|range| &*events[range.start].clock).collect();
        for (place, made) in heat_steps::dates(&clocks, &mut making).map_err(|(place, why)| named(ranges[place].start, why))? {
            dates[place] = Some(Dates::Stepped(made));
        }
        let mut groups = Vec::with_capacity(ranges.len());
        for (place, range) in ranges.into_iter().enumerate() {
            let dates = match dates[place].take() {
                Some(made) => made,
                None => making.dates(clocks[place]).map_err(|why| named(range.start, why))?,
            };
            let without = match clocks[place].driver {
                Driver::AirTemperature { which: Which::Last, .. } => Without::Early,
                _ => Without::Late,
            };
            groups.push(Group { events: range, dates, without });
        }
        let widenings = events.iter().map(|event| widening(event, None)).collect();
        let mut made = Self { events: events.to_vec(), widenings, groups, curves: None, steps, first: outlook.first };
        let knots: Vec<Vec<Knot>> = Curves::shifts_c(steps).into_iter().map(|shift| made.knot(shift)).collect();
        made.curves = Curves::of(steps, &knots);
        Ok(made)
    }

    /// The quantiles of all events at a shift within the steps.
    fn knot(&self, warmer_by_c: f64) -> Vec<Knot> {
        let Ok(at) = self.at(warmer_by_c) else { return Vec::new() };
        let mut counts = DayCounts::default();
        let mut knot = Vec::with_capacity(self.events.len());
        for group in &self.groups {
            group.dates.fill(at, false, &mut counts);
            counts.count();
            knot.extend(group.events.clone().map(|event| counts.knot(&self.widenings[event], group.without)));
        }
        knot
    }

    /// The events, in the order in which they are read.
    #[must_use]
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// The odds of every event in a yard, in the order of [`SeasonGrid::events`].
    ///
    /// # Errors
    /// [`GridError::OutOfReach`] where the yard's shift lies outside the steps.
    pub fn read(&self, yard: &Yard) -> Result<Vec<GridOdds>, GridError> {
        let mut read = Vec::with_capacity(self.events.len());
        self.read_into(yard, &mut DayCounts::default(), &mut |packed: Packed| read.push(packed.odds()))?;
        Ok(read)
    }

    /// What seeing an event on a day teaches about its clock in a yard: the middle date without any shift against the day of the sight, by
    /// [`observed::shift`] with that one sight. None where the event has no middle date. The same shift is that of all events of the
    /// clock ([`SeasonGrid::of_same_clock`]).
    ///
    /// # Errors
    /// [`GridError::OutOfReach`] where the yard's shift lies outside the steps.
    pub fn taught(&self, event: usize, warmer_by_c: f64, seen_on: Date, doubt_days: f64) -> Result<Option<Shift>, GridError> {
        let at = self.at(warmer_by_c)?;
        let Some(group) = self.groups.iter().find(|group| group.events.contains(&event)) else { return Ok(None) };
        let mut counts = DayCounts::default();
        group.dates.fill(at, false, &mut counts);
        counts.count();
        let range_sd_days = counts.range_sd_days();
        let Some(middle) = counts.middle(&self.widenings[event], group.without) else { return Ok(None) };
        let doubt = Spread::of(&self.events[event], &Asked::default()).doubt_sd_days().hypot(range_sd_days);
        let here = Place { east_m: 0.0, north_m: 0.0 };
        let residual_days = f64::from(day_number(seen_on) - self.first - middle);
        let seen = Seen { yard: String::new(), place: here, residual_days, doubt_days, correlation: 1.0 };
        Ok(Some(observed::shift("", here, &[seen], &Spreads::of_sd(doubt))))
    }

    /// The events that share the clock of an event.
    #[must_use]
    pub fn of_same_clock(&self, event: usize) -> Range<usize> {
        self.groups.iter().find(|group| group.events.contains(&event)).map_or(event..event, |group| group.events.clone())
    }

    /// Where a shift stands on the grid.
    fn at(&self, warmer_by_c: f64) -> Result<At, GridError> {
        let high_c = self.steps.low_c + (self.steps.number - 1) as f64 * self.steps.apart_c;
        let step = self.steps.place(warmer_by_c).ok_or(GridError::OutOfReach { warmer_by_c, low_c: self.steps.low_c, high_c })?;
        Ok(At { warmer_by_c, step })
    }

    fn read_into(&self, yard: &Yard, counts: &mut DayCounts, out: &mut impl FnMut(Packed)) -> Result<(), GridError> {
        let at = self.at(yard.warmer_by_c)?;
        let curves = self.curves.as_ref().map(|curves| (curves, curves.place(yard.warmer_by_c)));
        for group in &self.groups {
            let taught = |event: usize| yard.shifts.iter().find(|(moved, _)| *moved == event).map(|(_, shift)| *shift);
            // Whether the counts hold the middle of the threshold only; none where they are not filled yet.
            let mut holds = None;
            for event in group.events.clone() {
                let shift = taught(event);
                if shift.is_none()
                    && let Some(knot) = curves.and_then(|(curves, place)| curves.at(event, place))
                {
                    out(Packed::of_knot(knot, self.first));
                    continue;
                }
                if holds != Some(shift.is_some()) {
                    group.dates.fill(at, shift.is_some(), counts);
                    counts.count();
                    holds = Some(shift.is_some());
                }
                let odds = match shift {
                    None => counts.odds(&self.widenings[event], group.without, self.first),
                    Some(_) => counts.odds(&widening(&self.events[event], shift), group.without, self.first),
                };
                out(odds);
            }
        }
        Ok(())
    }
}

/// The steps in whole days that widen an event's dates, in order.
fn widening(event: &Event, shift: Option<Shift>) -> Vec<i32> {
    let steps = Spread::of(event, &Asked { shift, biofix: None }).steps();
    steps.into_iter().map(|step| step.round() as i32).collect()
}

/// Odds as they are kept for many yards: day numbers, [`Packed::NONE`] for none.
#[derive(Debug, Clone, Copy)]
struct Packed {
    quantiles: [i32; 3],
    never: f32,
}

impl Packed {
    const NONE: i32 = i32::MIN;
    /// An event that never comes.
    const NOTHING: Self = Self { quantiles: [Self::NONE; 3], never: 1.0 };

    /// From places within the days, counted from the outlook's first.
    fn of_knot([p10, p50, p90, never]: Knot, first: i32) -> Self {
        let day = |place: f64| if place.is_nan() { Self::NONE } else { first + place.floor() as i32 };
        Self { quantiles: [day(p10), day(p50), day(p90)], never: never as f32 }
    }

    fn odds(self) -> GridOdds {
        let [p10, p50, p90] = self.quantiles.map(|day| (day != Self::NONE).then(|| date_of(day)));
        GridOdds { p10, p50, p90, never: f64::from(self.never) }
    }
}

/// What is needed while a grid is made.
struct Making<'a> {
    outlook: &'a Outlook,
    steps: ShiftSteps,
    soil: SoilCourses,
    /// The outlook at each step of shift, for clocks that have no shorter way.
    warmed: Option<Vec<(Outlook, Columns)>>,
}

impl Making<'_> {
    fn dates(&mut self, clock: &EventClock) -> Result<Dates, ClockError> {
        let by_soil = matches!(clock.start, Start::SoilTemperature { .. });
        Ok(match &clock.driver {
            _ if matches!(clock.start, Start::Biofix { .. }) => Dates::Waits,
            Driver::AirTemperature { .. } | Driver::SoilTemperature { .. } if !by_soil => {
                Dates::Stairs(Stairs::of(clock, self.outlook, self.steps, &mut self.soil)?)
            }
            Driver::Calendar { .. } | Driver::DayLength { .. } => self.once(clock)?,
            Driver::Rain { .. } | Driver::DaysAfter { .. } if !by_soil => self.once(clock)?,
            _ => self.at_each_step(clock)?,
        })
    }

    /// Dates that no shift moves.
    fn once(&self, clock: &EventClock) -> Result<Dates, ClockError> {
        let points = weather_of(clock, self.outlook, &Asked::default(), &mut Columns::default())?.points;
        Ok(Dates::Stepped(SteppedDates::of_days(&[points], self.outlook.first)))
    }

    fn at_each_step(&mut self, clock: &EventClock) -> Result<Dates, ClockError> {
        let (outlook, steps) = (self.outlook, self.steps);
        let warmed =
            self.warmed.get_or_insert_with(|| steps.shifts_c().map(|by| (outlook.clone().warmer_by(by), Columns::default())).collect());
        let dated = |(outlook, columns): &mut (Outlook, Columns)| Ok(weather_of(clock, outlook, &Asked::default(), columns)?.points);
        let points = warmed.iter_mut().map(dated).collect::<Result<Vec<_>, ClockError>>()?;
        Ok(Dates::Stepped(SteppedDates::of_days(&points, outlook.first)))
    }
}
