//! From a driver to days: where the reckoning begins in each future, and the day on which a threshold is met.

use super::biofix::Biofix;
use super::columns::Columns;
use super::crossing::{Column, Wanted, beyond, met};
use super::outlook::{Course, Outlook};
use crate::clock::{ClockError, month_day};
use groundlore_lore::event_clock::{Crossing, Driver, EventClock, OfDay, Start, Which};
use groundlore_weather::calendar::{date_of, day_number};
use groundlore_weather::sun::DayGeometry;
use jiff::civil::Date;
use std::sync::Arc;

/// A threshold in C-days, °C, hours or mm, dated in every future: day numbers, none where it is not met in the season.
pub(super) type Days = Vec<Option<i32>>;

/// What a clock needs of an outlook, read once and asked for several thresholds.
pub(super) struct Driving<'a> {
    outlook: &'a Outlook,
    /// Place at which the reckoning begins in each future.
    starts: Vec<Option<usize>>,
    wanted: Wanted,
    column: Arc<Column>,
}

impl<'a> Driving<'a> {
    /// Reads a clock against an outlook. `biofix` is the day on which a start that has to be seen was seen.
    pub(super) fn new(
        clock: &'a EventClock,
        outlook: &'a Outlook,
        biofix: Option<Biofix>,
        columns: &mut Columns,
    ) -> Result<Self, ClockError> {
        let last = match &clock.driver {
            Driver::AirTemperature { until: Some(until), .. } => day_number(outlook.season(0).date(month_day(until)?)?),
            _ => outlook.last()?,
        };
        let (at, which, lead) = match &clock.driver {
            Driver::SoilTemperature { at, .. } | Driver::Rain { at, .. } => (*at, Which::First, 0),
            // A run of days has to begin after the start.
            Driver::AirTemperature { days, at, which, .. } => (*at, *which, run_lead(*days)),
            _ => (Crossing::AtOrAbove, Which::First, 0),
        };
        let wanted = Wanted { at, which, lead, end: usize::try_from(last - outlook.first + 1).unwrap_or(0) };
        let starts = starts(clock, outlook, biofix, columns)?;
        Ok(Self { outlook, starts, wanted, column: columns.of(&clock.driver, outlook)? })
    }

    /// The day in each future on which each threshold (C-days, °C, hours, mm) is met.
    pub(super) fn days(&self, thresholds: &[f64]) -> Vec<Days> {
        let day = |place: Option<usize>| Some(self.outlook.first + i32::try_from(place?).ok()?);
        let found = met(&self.column, &self.starts, thresholds, self.wanted);
        found.into_iter().map(|places| places.into_iter().map(day).collect()).collect()
    }
}

/// Days after its first on which a run of so many is full.
fn run_lead(days: u32) -> usize {
    usize::try_from(days).unwrap_or(1).max(1) - 1
}

/// The first day of the season on which day length crosses a threshold (hours), from the clock's start; the same in every future.
pub(super) fn day_length_day(start: Date, last: i32, latitude_deg: f64, hours: f64, at: Crossing) -> Option<i32> {
    day_length_days(start, last, latitude_deg, &[hours], at).pop().flatten()
}

/// The same for several thresholds: each day's length is reckoned once.
pub(super) fn day_length_days(start: Date, last: i32, latitude_deg: f64, hours: &[f64], at: Crossing) -> Vec<Option<i32>> {
    let mut found = vec![None; hours.len()];
    for number in day_number(start)..=last {
        let Some(length) = day_length(date_of(number), latitude_deg) else { continue };
        for (found, hours) in found.iter_mut().zip(hours).filter(|(found, _)| found.is_none()) {
            *found = beyond(length, *hours, at).then_some(number);
        }
        if found.iter().all(Option::is_some) {
            break;
        }
    }
    found
}

fn day_length(date: Date, latitude_deg: f64) -> Option<f64> {
    DayGeometry::new(latitude_deg, date.day_of_year()).ok().map(|day| day.day_length_h)
}

/// The day on which a clock begins by date alone; a chill that begins in the second half of the year begins the year before.
pub(super) fn start_date(clock: &EventClock, outlook: &Outlook, biofix: Option<Biofix>) -> Result<Option<Date>, ClockError> {
    let Some(day) = clock.start.day() else { return Ok(biofix.map(|biofix| biofix.seen_on)) };
    let (month, day) = month_day(day)?;
    let before = matches!(clock.driver, Driver::ChillThenHeat { .. }) && month > 6;
    Ok(Some(outlook.season(if before { -1 } else { 0 }).date((month, day))?))
}

/// The day on which a clock starts: in each future where the soil starts it, else one for all.
pub(super) fn start_days(clock: &EventClock, outlook: &Outlook, biofix: Option<Biofix>, columns: &mut Columns) -> Result<Days, ClockError> {
    let day = |place: usize| Some(outlook.first + i32::try_from(place).ok()?);
    Ok(match &clock.start {
        Start::SoilTemperature { .. } => starts(clock, outlook, biofix, columns)?.into_iter().map(|place| place.and_then(day)).collect(),
        Start::DayLength { hours, .. } => {
            let from = start_date(clock, outlook, biofix)?.unwrap_or(outlook.on);
            vec![day_length_day(from, outlook.last()?, outlook.latitude_deg, *hours, Crossing::AtOrAbove)]
        }
        Start::Date { .. } | Start::Biofix { .. } => vec![start_date(clock, outlook, biofix)?.map(day_number)],
    })
}

fn starts(clock: &EventClock, outlook: &Outlook, biofix: Option<Biofix>, columns: &mut Columns) -> Result<Vec<Option<usize>>, ClockError> {
    let Some(date) = start_date(clock, outlook, biofix)? else { return Ok(vec![None; outlook.courses.len()]) };
    let last = outlook.last()?;
    let place = |number: i32| usize::try_from((number - outlook.first).max(0)).unwrap_or(0);
    let mut starts = vec![Some(place(day_number(date))); outlook.courses.len()];
    match &clock.start {
        Start::Date { .. } | Start::Biofix { .. } => {}
        Start::DayLength { hours, .. } => {
            let begins = day_length_day(date, last, outlook.latitude_deg, *hours, Crossing::AtOrAbove).map(place);
            starts.fill(begins);
        }
        Start::SoilTemperature { depth, at_or_above, days, .. } => {
            let least_c = at_or_above.in_unit("degC")?;
            let runs = columns.soil_runs(depth, *days, outlook)?;
            let wanted = Wanted { at: Crossing::AtOrAbove, which: Which::First, lead: run_lead(*days), end: usize::MAX };
            starts = met(&runs, &starts, &[least_c], wanted).remove(0);
        }
    }
    // Chill is counted inside the column, which then must not be cut before its heat begins.
    if let Driver::ChillThenHeat { chill_at, chill_hours, .. } = &clock.driver {
        let chill_c = chill_at.in_unit("degC")?;
        let mut behind: Option<(usize, usize)> = None;
        for (start, course) in starts.iter_mut().zip(&outlook.courses) {
            let Some(from) = *start else { continue };
            // Chill that is all behind is the same in every future.
            *start = match behind {
                Some((begun, after)) if begun == from => Some(after),
                _ => chilled(course, from, chill_c, *chill_hours),
            };
            behind = start.filter(|after| *after < outlook.alike()).map(|after| (from, after));
        }
    }
    Ok(starts)
}

/// The place after the day on which hours at or below a temperature reach a number; each day runs as a sine from minimum to maximum.
fn chilled(course: &Course, from: usize, at_c: f64, hours: f64) -> Option<usize> {
    let target = hours - 1e-9 * hours.abs().max(1.0);
    let mut sum = 0.0;
    let days = course.tmin_c.iter().zip(&course.tmax_c).skip(from);
    let reached = days.map(|(min, max)| 24.0 * share_at_or_below(*min, *max, at_c)).position(|chill| {
        sum += if chill.is_nan() { 0.0 } else { chill };
        sum >= target
    });
    reached.map(|day| from + day + 1)
}

/// Share of a day at or below a temperature, the day a sine from minimum to maximum and back.
fn share_at_or_below(min: f64, max: f64, at: f64) -> f64 {
    if at >= max {
        return 1.0;
    }
    if at < min {
        return 0.0;
    }
    let (middle, swing) = (f64::midpoint(min, max), 0.5 * (max - min));
    1.0 - ((at - middle) / swing).clamp(-1.0, 1.0).acos() / std::f64::consts::PI
}

/// The temperature that a clock of the air looks at, day by day.
pub(super) fn of_day(course: &Course, of: OfDay) -> Vec<f64> {
    match of {
        OfDay::Minimum => course.tmin_c.clone(),
        OfDay::Maximum => course.tmax_c.clone(),
        OfDay::Mean => (0..course.tmin_c.len()).map(|place| course.mean_c(place)).collect(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn half_a_day_lies_below_its_mean() {
        assert!((share_at_or_below(0.0, 10.0, 5.0) - 0.5).abs() < 1e-12);
        assert_eq!((share_at_or_below(0.0, 10.0, -1.0), share_at_or_below(0.0, 10.0, 10.0)), (0.0, 1.0));
        assert_eq!((share_at_or_below(5.0, 5.0, 5.0), share_at_or_below(5.0, 5.0, 4.0)), (1.0, 0.0));
    }
}
