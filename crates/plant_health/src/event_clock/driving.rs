//! From a driver to days: the place in each future at which a threshold is met.

use super::outlook::{Course, Outlook};
use super::soil::{self, Profile};
use crate::clock::{ClockError, month_day};
use groundlore_lore::event_clock::{Crossing, Driver, EventClock, OfDay, Start, Which};
use groundlore_quantity::{Quantity, Unit};
use groundlore_weather::calendar::{date_of, day_number};
use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};
use groundlore_weather::sun::DayGeometry;
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A threshold in C-days, °C, hours or mm, dated in every future: day numbers, none where it is not met in the season.
pub(super) type Days = Vec<Option<i32>>;

/// Columns that clocks of one outlook share: the same heat, soil or air is reckoned once.
#[derive(Default)]
pub(super) struct Columns {
    made: BTreeMap<String, Arc<Vec<Column>>>,
    soil: Option<Vec<Profile>>,
}

impl Columns {
    fn of(&mut self, driver: &Driver, outlook: &Outlook) -> Result<Arc<Vec<Column>>, ClockError> {
        let key = column_key(driver);
        if let Some(known) = self.made.get(&key) {
            return Ok(Arc::clone(known));
        }
        let made = match driver {
            Driver::SoilDegreeDays { depth, base, .. } => {
                let base_c = base.in_unit("degC")?;
                let above = |soil: f64| if soil < base_c { 0.0 } else { soil - base_c };
                let depth_m = depth.in_unit("m")?;
                self.soil(outlook).iter().map(|soil| Column::summed(&soil.at(depth_m).into_iter().map(above).collect::<Vec<_>>())).collect()
            }
            Driver::SoilTemperature { depth, .. } => return self.soil_at(depth, outlook),
            Driver::AirDegreeDays { method, base, upper, cutoff, .. } => {
                heat(outlook, model(method, base, upper.as_ref(), cutoff.as_deref())?)
            }
            Driver::ChillThenHeat { method, base, .. } => heat(outlook, model(method, base, None, None)?),
            Driver::AirTemperature { of, .. } => outlook.courses.iter().map(|course| Column::Daily(of_day(course, *of))).collect(),
            Driver::Rain { .. } => outlook.courses.iter().map(|course| Column::Daily(course.rain_mm.clone())).collect(),
            Driver::DayLength { .. } | Driver::Calendar { .. } => outlook.courses.iter().map(|_| Column::Daily(Vec::new())).collect(),
        };
        let made = Arc::new(made);
        self.made.insert(key, Arc::clone(&made));
        Ok(made)
    }

    /// Soil temperature at a depth in every future.
    fn soil_at(&mut self, depth: &Quantity, outlook: &Outlook) -> Result<Arc<Vec<Column>>, ClockError> {
        let key = soil_key(depth);
        if let Some(known) = self.made.get(&key) {
            return Ok(Arc::clone(known));
        }
        let depth_m = depth.in_unit("m")?;
        let made = Arc::new(self.soil(outlook).iter().map(|soil| Column::Daily(soil.at(depth_m))).collect::<Vec<_>>());
        self.made.insert(key, Arc::clone(&made));
        Ok(made)
    }

    /// The soil of every future, reckoned once for all depths.
    fn soil(&mut self, outlook: &Outlook) -> &[Profile] {
        self.soil.get_or_insert_with(|| soil::profiles(&outlook.courses, outlook.known()))
    }
}

/// What a driver's column depends on, as a key.
fn column_key(driver: &Driver) -> String {
    match driver {
        Driver::AirDegreeDays { method, base, upper, cutoff, .. } => format!("air {method} {base} {upper:?} {cutoff:?}"),
        Driver::ChillThenHeat { method, base, .. } => format!("air {method} {base} None None"),
        Driver::SoilDegreeDays { depth, base, .. } => format!("soil heat {depth} {base}"),
        Driver::SoilTemperature { depth, .. } => soil_key(depth),
        Driver::AirTemperature { of, .. } => format!("air {of:?}"),
        Driver::Rain { .. } => "rain".to_owned(),
        Driver::DayLength { .. } | Driver::Calendar { .. } => "none".to_owned(),
    }
}

fn soil_key(depth: &Quantity) -> String {
    format!("soil {depth}")
}

/// A daily column: values, or running sums of them.
enum Column {
    Daily(Vec<f64>),
    /// `sums[i]` is the sum of the first `i` days; unknown days add nothing, and no day takes away.
    Rising(Vec<f64>),
}

impl Column {
    /// Running sums where no day is below zero (an intermediate cutoff may be).
    fn summed(daily: &[f64]) -> Self {
        if daily.iter().any(|value| *value < 0.0) {
            return Self::Daily(daily.to_vec());
        }
        let mut sums = Vec::with_capacity(daily.len() + 1);
        let mut sum = 0.0;
        sums.push(sum);
        for value in daily {
            sum += if value.is_nan() { 0.0 } else { *value };
            sums.push(sum);
        }
        Self::Rising(sums)
    }

    fn len(&self) -> usize {
        match self {
            Self::Daily(values) => values.len(),
            Self::Rising(sums) => sums.len() - 1,
        }
    }

    /// The first place at which the sum from `start` reaches a total.
    fn reaches(&self, start: usize, end: usize, total: f64) -> Option<usize> {
        match self {
            Self::Daily(daily) => reaches(daily, start, end, total),
            Self::Rising(sums) => {
                let target = sums[start] + total - 1e-9 * total.abs().max(1.0);
                let after = &sums[start + 1..=end];
                let offset = after.partition_point(|sum| *sum < target);
                (offset < after.len()).then_some(start + offset)
            }
        }
    }

    fn values(&self) -> &[f64] {
        match self {
            Self::Daily(values) => values,
            Self::Rising(_) => &[],
        }
    }
}

/// What a clock needs of an outlook, read once and asked for several thresholds.
pub(super) struct Driving<'a> {
    outlook: &'a Outlook,
    driver: &'a Driver,
    /// Place at which the reckoning begins in each future.
    starts: Vec<Option<usize>>,
    /// One past the last place looked at.
    end: usize,
    columns: Arc<Vec<Column>>,
}

impl<'a> Driving<'a> {
    /// Reads a clock against an outlook. `biofix` is the day on which a start that has to be seen was seen.
    pub(super) fn new(
        clock: &'a EventClock,
        outlook: &'a Outlook,
        biofix: Option<Date>,
        columns: &mut Columns,
    ) -> Result<Self, ClockError> {
        let last = match &clock.driver {
            Driver::AirTemperature { until: Some(until), .. } => day_number(outlook.season(0).date(month_day(until)?)?),
            _ => outlook.last()?,
        };
        let end = usize::try_from(last - outlook.first + 1).unwrap_or(0);
        let starts = starts(clock, outlook, biofix, columns)?;
        Ok(Self { outlook, driver: &clock.driver, starts, end, columns: columns.of(&clock.driver, outlook)? })
    }

    /// The day in each future on which the threshold (C-days, °C, hours, mm) is met.
    pub(super) fn days(&self, threshold: f64) -> Days {
        let place = |(column, start): (&Column, &Option<usize>)| {
            let start = (*start)?;
            let end = self.end.min(column.len());
            (start < end).then(|| self.met(column, start, end, threshold)).flatten()
        };
        let day = |place: usize| Some(self.outlook.first + i32::try_from(place).ok()?);
        let mut futures = self.columns.iter().zip(&self.starts);
        let first = futures.next().map(place);
        // What all futures have behind them is the same in all of them; the last day of a kind may always be still to come.
        let behind =
            |place: usize| place + 1 < self.outlook.known() && !matches!(self.driver, Driver::AirTemperature { which: Which::Last, .. });
        match first {
            Some(Some(found)) if behind(found) => vec![day(found); self.columns.len()],
            _ => first.into_iter().chain(futures.map(place)).map(|found| found.and_then(day)).collect(),
        }
    }

    fn met(&self, column: &Column, start: usize, end: usize, threshold: f64) -> Option<usize> {
        let values = column.values();
        match self.driver {
            Driver::AirDegreeDays { .. } | Driver::SoilDegreeDays { .. } | Driver::ChillThenHeat { .. } => {
                column.reaches(start, end, threshold)
            }
            Driver::SoilTemperature { days, at, .. } => rolling(values, start, end, *days, |sum, n| beyond(sum / n, threshold, *at)),
            Driver::Rain { days, at, .. } => rolling(values, start, end, *days, |sum, _| beyond(sum, threshold, *at)),
            Driver::AirTemperature { days, at, which: Which::First, .. } => run(values, start, end, *days, threshold, *at).next(),
            Driver::AirTemperature { days, at, which: Which::Last, .. } => run(values, start, end, *days, threshold, *at).last(),
            Driver::DayLength { .. } | Driver::Calendar { .. } => None,
        }
    }
}

/// The first day of the season on which day length crosses a threshold (hours), from the clock's start; the same in every future.
pub(super) fn day_length_day(start: Date, last: i32, latitude_deg: f64, hours: f64, at: Crossing) -> Option<i32> {
    (day_number(start)..=last).find(|number| day_length(date_of(*number), latitude_deg).is_some_and(|length| beyond(length, hours, at)))
}

fn day_length(date: Date, latitude_deg: f64) -> Option<f64> {
    DayGeometry::new(latitude_deg, date.day_of_year()).ok().map(|day| day.day_length_h)
}

fn beyond(value: f64, threshold: f64, at: Crossing) -> bool {
    // Whole Fahrenheit degrees turned to Celsius come back with rounding in the last digits.
    const ROUNDING: f64 = 1e-9;
    match at {
        Crossing::AtOrAbove => value >= threshold - ROUNDING,
        Crossing::AtOrBelow => value <= threshold + ROUNDING,
    }
}

/// The first place at which the sum from `start` reaches a total; unknown days add nothing.
fn reaches(daily: &[f64], start: usize, end: usize, total: f64) -> Option<usize> {
    let target = total - 1e-9 * total.abs().max(1.0);
    let mut sum = 0.0;
    (start..end).find(|place| {
        sum += if daily[*place].is_nan() { 0.0 } else { daily[*place] };
        sum >= target
    })
}

/// The first place from `start` that ends so many known days whose sum passes a test.
fn rolling(column: &[f64], start: usize, end: usize, days: u32, holds: impl Fn(f64, f64) -> bool) -> Option<usize> {
    let length = usize::try_from(days).unwrap_or(1).max(1);
    (start.max(length - 1)..end).find(|place| {
        let window = &column[place + 1 - length..=*place];
        let sum: f64 = window.iter().sum();
        !sum.is_nan() && holds(sum, f64::from(days.max(1)))
    })
}

/// The places from `start` that end a run of so many days beyond a threshold.
fn run(column: &[f64], start: usize, end: usize, days: u32, threshold: f64, at: Crossing) -> impl Iterator<Item = usize> {
    let mut length = 0;
    (start..end).filter(move |place| {
        length = if beyond(column[*place], threshold, at) { length + 1 } else { 0 };
        length >= days.max(1)
    })
}

/// The day on which a clock begins by date alone; a chill that begins in the second half of the year begins the year before.
pub(super) fn start_date(clock: &EventClock, outlook: &Outlook, biofix: Option<Date>) -> Result<Option<Date>, ClockError> {
    let Some(day) = clock.start.day() else { return Ok(biofix) };
    let (month, day) = month_day(day)?;
    let before = matches!(clock.driver, Driver::ChillThenHeat { .. }) && month > 6;
    Ok(Some(outlook.season(if before { -1 } else { 0 }).date((month, day))?))
}

fn starts(clock: &EventClock, outlook: &Outlook, biofix: Option<Date>, columns: &mut Columns) -> Result<Vec<Option<usize>>, ClockError> {
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
            for (start, soil) in starts.iter_mut().zip(columns.soil_at(depth, outlook)?.iter().map(Column::values)) {
                *start = start.and_then(|from| run(soil, from, soil.len(), *days, least_c, Crossing::AtOrAbove).next());
            }
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
            behind = start.filter(|after| *after < outlook.known()).map(|after| (from, after));
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

/// Heat of every future, summed up; what all futures have behind them is reckoned once.
fn heat(outlook: &Outlook, model: DegreeDays) -> Vec<Column> {
    // A day less, so that the next minimum is the same too.
    let known = outlook.known().saturating_sub(1);
    let mut daily: Vec<f64> = Vec::new();
    let column = |(future, course): (usize, &Course)| {
        let from = if future == 0 { 0 } else { known.min(course.tmin_c.len()).min(daily.len()) };
        daily.truncate(from);
        model.daily_batch(&course.tmin_c[from..], &course.tmax_c[from..], &mut daily);
        Column::summed(&daily)
    };
    outlook.courses.iter().enumerate().map(column).collect()
}

pub(super) fn model(method: &str, base: &Quantity, upper: Option<&Quantity>, cutoff: Option<&str>) -> Result<DegreeDays, ClockError> {
    for temperature in [Some(base), upper].into_iter().flatten() {
        if temperature.unit != Unit::parse("degF")? && temperature.unit != Unit::parse("degC")? {
            return Err(ClockError::BaseUnit(temperature.to_string()));
        }
    }
    let upper_c = upper.map(|upper| upper.in_unit("degC")).transpose()?;
    let cutoff = cutoff.map_or(Ok(Cutoff::None), str::parse::<Cutoff>)?;
    Ok(DegreeDays::new(method.parse::<Method>()?, base.in_unit("degC")?, upper_c, cutoff)?)
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

    #[test]
    fn a_run_is_dated_by_its_last_day() {
        let column = [9.0, 11.0, 11.0, 9.0, 11.0, 12.0, 13.0];
        assert_eq!(run(&column, 0, 7, 3, 10.0, Crossing::AtOrAbove).next(), Some(6));
        assert_eq!(run(&column, 0, 7, 1, 10.0, Crossing::AtOrBelow).last(), Some(3));
    }

    #[test]
    fn an_unknown_day_is_no_dry_day() {
        let rain = [0.0, f64::NAN, 0.0, 0.0, 0.0];
        assert_eq!(rolling(&rain, 0, 5, 3, |sum, _| beyond(sum, 5.0, Crossing::AtOrBelow)), Some(4));
    }
}
