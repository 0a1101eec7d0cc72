//! Temperatures that pass a threshold: in each future the staircase of records, from which the date at any threshold is read.
//!
//! The first day at or above a threshold is a record day: warmer than all before it. So the records of a future, with their days, hold the
//! date for every threshold; a yard that is warmer by so much asks for a threshold lower by as much. Days at or below a threshold are read
//! with the sign turned, last days from the end.

use super::super::driving::{of_day, start_date};
use super::super::outlook::Outlook;
use super::super::soil::Soil;
use super::super::{ClockError, driving::day_length_day, thresholds};
use super::ShiftSteps;
use super::day_counts::DayCounts;
use crate::clock::month_day;
use groundlore_lore::event_clock::{Crossing, Driver, EventClock, OfDay, Start, Which};
use groundlore_weather::calendar::day_number;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Rounding that is let pass, as in the exact path.
const ROUNDING: f64 = 1e-9;

/// Soil temperatures of a station by depth, made when first asked for. Soil is linear in the air, so one shift serves for all.
#[derive(Default)]
pub(super) struct SoilCourses {
    soil: Option<Soil>,
    made: BTreeMap<u64, Arc<Vec<Vec<f64>>>>,
}

impl SoilCourses {
    /// The temperature at a depth (m) of each day in each future, °C.
    pub(super) fn at(&mut self, depth_m: f64, outlook: &Outlook) -> Arc<Vec<Vec<f64>>> {
        let soil = self.soil.get_or_insert_with(|| Soil::of(&outlook.courses, outlook.alike()));
        let made = self.made.entry(depth_m.to_bits());
        Arc::clone(made.or_insert_with(|| {
            let at_depth = soil.at(depth_m);
            Arc::new((0..at_depth.futures()).map(|future| at_depth.whole(future)).collect())
        }))
    }
}

/// The records of every future for one clock.
#[derive(Debug, Clone)]
pub(super) struct Stairs {
    /// Records of all futures in a row, rising within each future: the value (sign turned for days below a threshold) and its place.
    records: Vec<(f64, u32)>,
    /// End of each future's records.
    ends: Vec<usize>,
    /// Thresholds with the record's sign, in their order.
    thresholds: Vec<f64>,
    /// 1 where days lie at or above the threshold, −1 where they lie at or below.
    sign: f64,
}

impl Stairs {
    /// The records of a clock by air or soil temperature that starts on a date or a day length.
    pub(super) fn of(clock: &EventClock, outlook: &Outlook, steps: ShiftSteps, soil: &mut SoilCourses) -> Result<Self, ClockError> {
        let passing = Passing::of(clock, outlook)?;
        let sign = if passing.at == Crossing::AtOrAbove { 1.0 } else { -1.0 };
        let thresholds: Vec<f64> = thresholds(clock).into_iter().map(|threshold| sign * threshold).collect();
        // No yard asks outside these.
        let farthest = steps.shifts_c().fold(0.0, |far: f64, shift| far.max(shift.abs())) + 1e-6;
        let low = thresholds.iter().copied().fold(f64::INFINITY, f64::min) - farthest;
        let high = thresholds.iter().copied().fold(f64::NEG_INFINITY, f64::max) + farthest;
        let mut stairs = Self { records: Vec::new(), ends: Vec::with_capacity(outlook.courses.len()), thresholds, sign };
        let soil = match &clock.driver {
            Driver::SoilTemperature { depth, .. } => Some(soil.at(depth.in_unit("m")?, outlook)),
            _ => None,
        };
        for (future, course) in outlook.courses.iter().enumerate() {
            let daily = match (&soil, passing.of) {
                (Some(soil), _) => soil[future].clone(),
                (None, of) => of_day(course, of),
            };
            if let Some(start) = passing.start {
                let end = passing.end.min(daily.len());
                let values = passing.values(&daily, start, end, sign);
                match passing.which {
                    Which::First => stairs.climb(values.into_iter(), low, high),
                    Which::Last => stairs.climb(values.into_iter().rev(), low, high),
                }
            }
            stairs.ends.push(stairs.records.len());
        }
        Ok(stairs)
    }

    /// Takes the records of one future up to the first above `high`.
    fn climb(&mut self, values: impl Iterator<Item = (f64, u32)>, low: f64, high: f64) {
        let mut record = f64::NEG_INFINITY;
        let begun = self.records.len();
        for (value, place) in values {
            // A value that is no number is no record.
            if value > record {
                record = value;
                // Whatever lies below the lowest threshold is nobody's date.
                if value >= low - ROUNDING {
                    self.records.push((value, place));
                }
                if value >= high {
                    break;
                }
            }
        }
        debug_assert!(self.records[begun..].is_sorted_by(|a, b| a.0 < b.0));
    }

    /// Fills counts with the days in a place that is so much warmer.
    pub(super) fn fill(&self, warmer_by_c: f64, middle_only: bool, counts: &mut DayCounts) {
        let middle = self.thresholds.len() / 2;
        let asked = if middle_only {
            &self.thresholds[middle.min(self.thresholds.len())..(middle + 1).min(self.thresholds.len())]
        } else {
            &self.thresholds
        };
        counts.begin(self.ends.len());
        for threshold in asked {
            let least = threshold - self.sign * warmer_by_c - ROUNDING;
            let mut from = 0;
            for end in &self.ends {
                let records = &self.records[from..*end];
                let below = records.partition_point(|(value, _)| *value < least);
                counts.add(records.get(below).map(|(_, place)| *place));
                from = *end;
            }
        }
    }
}

/// What has to pass the threshold, and when.
struct Passing {
    of: OfDay,
    days: usize,
    at: Crossing,
    which: Which,
    /// A mean over the days, rather than each of them.
    mean: bool,
    start: Option<usize>,
    end: usize,
}

impl Passing {
    fn of(clock: &EventClock, outlook: &Outlook) -> Result<Self, ClockError> {
        let last = match &clock.driver {
            Driver::AirTemperature { until: Some(until), .. } => day_number(outlook.season(0).date(month_day(until)?)?),
            _ => outlook.last()?,
        };
        let (of, days, at, which, mean) = match &clock.driver {
            Driver::SoilTemperature { days, at, .. } => (OfDay::Mean, *days, *at, Which::First, true),
            Driver::AirTemperature { of, days, at, which, .. } => (*of, *days, *at, *which, false),
            _ => (OfDay::Mean, 1, Crossing::AtOrAbove, Which::First, false),
        };
        let days = usize::try_from(days).unwrap_or(1).max(1);
        let end = usize::try_from(last - outlook.first + 1).unwrap_or(0);
        Ok(Self { of, days, at, which, mean, start: start_place(clock, outlook)?, end })
    }

    /// The value that decides on each day, with its sign, and the day's place.
    fn values(&self, daily: &[f64], start: usize, end: usize, sign: f64) -> Vec<(f64, u32)> {
        let first = if self.mean { start.max(self.days - 1) } else { start + self.days - 1 };
        let value = |place: usize| {
            let window = &daily[place + 1 - self.days..=place];
            let value = if self.mean {
                sign * window.iter().sum::<f64>() / self.days as f64
            } else {
                // Every day of the run has to pass: the least of them decides. One that is not known fails.
                window.iter().fold(f64::INFINITY, |least, day| if day.is_nan() { f64::NEG_INFINITY } else { least.min(sign * day) })
            };
            (value, place as u32)
        };
        (first..end).map(value).collect()
    }
}

/// The place at which a clock of a date or a day length starts: the same in every future and at every shift.
pub(super) fn start_place(clock: &EventClock, outlook: &Outlook) -> Result<Option<usize>, ClockError> {
    let Some(date) = start_date(clock, outlook, None)? else { return Ok(None) };
    let place = |number: i32| usize::try_from((number - outlook.first).max(0)).unwrap_or(0);
    Ok(match &clock.start {
        Start::DayLength { hours, .. } => {
            day_length_day(date, outlook.last()?, outlook.latitude_deg, *hours, Crossing::AtOrAbove).map(place)
        }
        _ => Some(place(day_number(date))),
    })
}
