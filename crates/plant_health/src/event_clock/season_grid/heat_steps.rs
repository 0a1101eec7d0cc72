//! Heat sums at steps of temperature shift: one running sum for each way of summing, step and future, searched for every clock.

use super::super::columns::model;
use super::super::{ClockError, thresholds};
use super::Making;
use super::record_stairs::start_place;
use super::stepped_dates::{HeatSums, SteppedDates};
use groundlore_lore::event_clock::{Driver, EventClock, Start};
use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A clock of heat, ready to be searched.
struct Sought {
    place: usize,
    start: Option<usize>,
    thresholds: Vec<f64>,
    /// Step, point and future with the place that was found.
    found: Vec<(usize, usize, usize, usize)>,
}

/// What is summed.
enum Heat {
    Air(DegreeDays),
    /// Soil temperatures by future and day, and the base, °C.
    Soil(Arc<Vec<Vec<f64>>>, f64),
}

impl Heat {
    /// What is summed for a driver, with a key that is the same for the same heat; none for other drivers, and for sums that may fall.
    fn of(clock: &EventClock, making: &mut Making) -> Result<Option<(String, Self)>, ClockError> {
        if matches!(clock.start, Start::SoilTemperature { .. } | Start::Biofix { .. }) {
            return Ok(None);
        }
        Ok(match &clock.driver {
            Driver::AirDegreeDays { method, base, upper, cutoff, .. } => {
                let model = model(method, base, upper.as_ref(), cutoff.as_deref())?;
                (model.cutoff != Cutoff::Intermediate).then(|| (format!("{model:?}"), Self::Air(model)))
            }
            Driver::SoilDegreeDays { depth, base, .. } => {
                let base_c = base.in_unit("degC")?;
                Some((format!("soil {depth} {base_c}"), Self::Soil(making.soil.at(depth.in_unit("m")?, making.outlook), base_c)))
            }
            _ => None,
        })
    }
}

/// Dates all clocks of heat among some clocks, each with its place among them. An error carries the place of its clock.
pub(super) fn dates(clocks: &[&EventClock], making: &mut Making) -> Result<Vec<(usize, SteppedDates)>, (usize, ClockError)> {
    let mut by_heat: BTreeMap<String, (Heat, Vec<Sought>)> = BTreeMap::new();
    for (place, clock) in clocks.iter().enumerate() {
        let Some((key, heat)) = Heat::of(clock, making).map_err(|why| (place, why))? else { continue };
        let start = start_place(clock, making.outlook).map_err(|why| (place, why))?;
        let sought = Sought { place, start, thresholds: thresholds(clock), found: Vec::new() };
        by_heat.entry(key).or_insert_with(|| (heat, Vec::new())).1.push(sought);
    }
    let end = making.outlook.last().map_err(|why| (0, why))? - making.outlook.first + 1;
    let end = usize::try_from(end).unwrap_or(0);
    let mut dated = Vec::new();
    for (heat, mut sought) in by_heat.into_values() {
        let sums = Arc::new(search(&heat, &mut sought, end, making));
        for clock in sought {
            let mut dates = SteppedDates::of_heat(Arc::clone(&sums), clock.start.unwrap_or(sums.begin), &clock.thresholds);
            clock.found.iter().for_each(|(step, point, future, place)| dates.set(*step, *point, *future, *place));
            dated.push((clock.place, dates));
        }
    }
    Ok(dated)
}

/// Makes the sums of one heat and searches them for all its clocks.
fn search(heat: &Heat, sought: &mut [Sought], end: usize, making: &Making) -> HeatSums {
    let outlook = making.outlook;
    let begin = sought.iter().filter_map(|sought| sought.start).min().unwrap_or(0);
    let futures = outlook.courses.len();
    let last = outlook.courses.first().map_or(0, |course| course.tmin_c.len().min(end)).max(begin);
    // Up to here all futures have the same days; a day before, so that the next minimum is the same too.
    let known = outlook.alike().saturating_sub(1);
    let mut made = HeatSums { sums: Vec::new(), steps: making.steps.number, futures, length: last - begin + 1, begin, known };
    // Three more, so that four steps can be read from any place.
    made.sums.resize(made.steps * futures * made.length + 3, 0.0);
    let mut sums: Vec<f64> = Vec::with_capacity(made.length);
    let mut daily: Vec<f64> = Vec::with_capacity(made.length);
    for (step, shift) in making.steps.shifts_c().enumerate() {
        sums.clear();
        sums.push(0.0);
        for future in 0..futures {
            // Sums of the first future up to the known days stand for all.
            let from = if future == 0 { begin } else { known.clamp(begin, last) };
            sums.truncate(from - begin + 1);
            daily.clear();
            heat.daily(future, from..last, shift, making, &mut daily);
            let mut sum = sums.last().copied().unwrap_or(0.0);
            sums.extend(daily.iter().map(|value| {
                sum += if value.is_nan() { 0.0 } else { *value };
                sum
            }));
            sums.resize(made.length, sum);
            sought.iter_mut().for_each(|clock| clock.search(&sums, begin, step, future));
            let places = made.sums[future * made.length * made.steps..].iter_mut().skip(step).step_by(made.steps);
            places.zip(&sums).for_each(|(place, sum)| *place = *sum as f32);
        }
    }
    made
}

impl Heat {
    /// The heat of some days of a future in a place that is so much warmer: the thresholds move instead of the air.
    fn daily(&self, future: usize, days: std::ops::Range<usize>, shift: f64, making: &Making, daily: &mut Vec<f64>) {
        match self {
            Self::Air(model) => {
                let course = &making.outlook.courses[future];
                let model = DegreeDays { lower: model.lower - shift, upper: model.upper.map(|upper| upper - shift), ..*model };
                let days = days.start..days.end.min(course.tmin_c.len());
                if days.is_empty() {
                    return;
                }
                model.daily_batch(&course.tmin_c[days.clone()], &course.tmax_c[days.clone()], daily);
                // The last day of the batch took its own minimum for the next.
                if let (Method::DoubleSine | Method::DoubleTriangle, Some(next), Some(last)) =
                    (model.method, course.tmin_c.get(days.end), daily.last_mut())
                {
                    *last = model.day(course.tmin_c[days.end - 1], course.tmax_c[days.end - 1], *next);
                }
            }
            Self::Soil(courses, base_c) => {
                let days = courses[future].get(days).unwrap_or_default();
                daily.extend(days.iter().map(|soil| if soil.is_nan() { 0.0 } else { (soil + shift - base_c).max(0.0) }));
            }
        }
    }
}

impl Sought {
    /// Dates every threshold in one future at one step. `sums` begin with 0 before the place `begin`.
    fn search(&mut self, sums: &[f64], begin: usize, step: usize, future: usize) {
        let Some(start) = self.start.filter(|start| start - begin + 1 < sums.len()) else { return };
        let mut from = start - begin + 1;
        for (point, total) in self.thresholds.iter().enumerate() {
            let target = sums[start - begin] + total - 1e-9 * total.abs().max(1.0);
            // Thresholds rise, and so do their places.
            from += sums[from..].partition_point(|sum| *sum < target);
            if from >= sums.len() {
                return;
            }
            self.found.push((step, point, future, begin + from - 1));
        }
    }
}
