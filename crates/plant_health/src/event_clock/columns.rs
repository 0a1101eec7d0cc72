//! Columns that clocks of one outlook share: the same heat, soil or air is reckoned once.

use super::by_future::ByFuture;
use super::crossing::Column;
use super::outlook::{Course, Outlook};
use super::soil::Soil;
use crate::clock::ClockError;
use groundlore_lore::event_clock::{Crossing, Driver, OfDay};
use groundlore_quantity::{Quantity, Unit};
use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Columns by what they depend on.
#[derive(Default)]
pub(super) struct Columns {
    made: BTreeMap<String, Arc<Column>>,
    tables: BTreeMap<String, Arc<ByFuture>>,
    soil: Option<Soil>,
}

impl Columns {
    /// What a driver looks at.
    pub(super) fn of(&mut self, driver: &Driver, outlook: &Outlook) -> Result<Arc<Column>, ClockError> {
        let key = column_key(driver);
        if let Some(known) = self.made.get(&key) {
            return Ok(Arc::clone(known));
        }
        let made = match driver {
            Driver::SoilDegreeDays { depth, base, .. } => {
                let base_c = base.in_unit("degC")?;
                Column::added_up(
                    ByFuture::clone(&*self.soil_at(depth, outlook)?).map(|soil| if soil < base_c { 0.0 } else { soil - base_c }),
                )
            }
            Driver::SoilTemperature { depth, days, .. } => {
                let n = f64::from((*days).max(1));
                Column::Level(self.soil_at(depth, outlook)?.sums_of(window(*days)).map(|sum| sum / n))
            }
            Driver::AirDegreeDays { method, base, upper, cutoff, .. } => {
                heat(outlook, model(method, base, upper.as_ref(), cutoff.as_deref())?)
            }
            Driver::ChillThenHeat { method, base, .. } => heat(outlook, model(method, base, None, None)?),
            Driver::AirTemperature { of, days, at, .. } => Column::Level(through(&self.air(*of, outlook), *days, *at)),
            Driver::Rain { days, .. } => {
                Column::Level(by_future(outlook, |course, places| course.rain_mm[places].to_vec()).sums_of(window(*days)))
            }
            Driver::DayLength { .. } | Driver::DaysAfter { .. } | Driver::Calendar { .. } => {
                Column::Level(ByFuture::new(Vec::new(), Vec::new(), outlook.courses.len()))
            }
        };
        let made = Arc::new(made);
        self.made.insert(key, Arc::clone(&made));
        Ok(made)
    }

    /// Runs of days with soil at or above a temperature, as what decides on each: the least of the last so many days.
    pub(super) fn soil_runs(&mut self, depth: &Quantity, days: u32, outlook: &Outlook) -> Result<Arc<Column>, ClockError> {
        let key = format!("run of soil {depth} {days}");
        if let Some(known) = self.made.get(&key) {
            return Ok(Arc::clone(known));
        }
        let made = Arc::new(Column::Level(through(&*self.soil_at(depth, outlook)?, days, Crossing::AtOrAbove)));
        self.made.insert(key, Arc::clone(&made));
        Ok(made)
    }

    /// Soil temperature at a depth.
    fn soil_at(&mut self, depth: &Quantity, outlook: &Outlook) -> Result<Arc<ByFuture>, ClockError> {
        let key = format!("soil {depth}");
        if let Some(known) = self.tables.get(&key) {
            return Ok(Arc::clone(known));
        }
        let depth_m = depth.in_unit("m")?;
        let soil = self.soil.get_or_insert_with(|| Soil::of(&outlook.courses, outlook.alike()));
        let made = Arc::new(soil.at(depth_m));
        self.tables.insert(key, Arc::clone(&made));
        Ok(made)
    }

    /// The temperature of the air that a clock looks at.
    fn air(&mut self, of: OfDay, outlook: &Outlook) -> Arc<ByFuture> {
        let made = || {
            Arc::new(match of {
                OfDay::Minimum => by_future(outlook, |course, places| course.tmin_c[places].to_vec()),
                OfDay::Maximum => by_future(outlook, |course, places| course.tmax_c[places].to_vec()),
                OfDay::Mean => by_future(outlook, |course, places| places.map(|place| course.mean_c(place)).collect()),
            })
        };
        Arc::clone(self.tables.entry(format!("air {of:?}")).or_insert_with(made))
    }
}

/// What a driver's column depends on, as a key.
fn column_key(driver: &Driver) -> String {
    match driver {
        Driver::AirDegreeDays { method, base, upper, cutoff, .. } => format!("air {method} {base} {upper:?} {cutoff:?}"),
        Driver::ChillThenHeat { method, base, .. } => format!("air {method} {base} None None"),
        Driver::SoilDegreeDays { depth, base, .. } => format!("soil heat {depth} {base}"),
        Driver::SoilTemperature { depth, days, .. } => format!("soil {depth} {days}"),
        Driver::AirTemperature { of, days, at, .. } => format!("air {of:?} {days} {at:?}"),
        Driver::Rain { days, .. } => format!("rain {days}"),
        Driver::DayLength { .. } | Driver::DaysAfter { .. } | Driver::Calendar { .. } => "none".to_owned(),
    }
}

fn window(days: u32) -> usize {
    usize::try_from(days).unwrap_or(1).max(1)
}

/// What decides whether all of the last so many days lie at a threshold or beyond it.
fn through(table: &ByFuture, days: u32, at: Crossing) -> ByFuture {
    match at {
        Crossing::AtOrAbove => table.least_of(window(days)),
        Crossing::AtOrBelow => table.greatest_of(window(days)),
    }
}

/// A figure of every day, read from the courses by a range of places.
fn by_future(outlook: &Outlook, read: impl Fn(&Course, std::ops::Range<usize>) -> Vec<f64>) -> ByFuture {
    let Some(first) = outlook.courses.first() else { return ByFuture::new(Vec::new(), Vec::new(), 0) };
    let days = first.tmin_c.len();
    let alike = outlook.alike().min(days);
    let mut apart = Vec::with_capacity((days - alike) * outlook.courses.len());
    outlook.courses.iter().for_each(|course| apart.extend(read(course, alike..days)));
    ByFuture::new(read(first, 0..alike), apart, outlook.courses.len())
}

/// Heat of every future, summed up.
fn heat(outlook: &Outlook, model: DegreeDays) -> Column {
    let Some(first) = outlook.courses.first() else { return Column::Sums(ByFuture::new(vec![0.0], Vec::new(), 0)) };
    // A day less, so that the next minimum is the same too.
    let alike = outlook.alike().saturating_sub(1).min(first.tmin_c.len());
    let mut shared = Vec::with_capacity(first.tmin_c.len());
    model.daily_batch(&first.tmin_c, &first.tmax_c, &mut shared);
    shared.truncate(alike);
    let mut apart = Vec::with_capacity((first.tmin_c.len() - alike) * outlook.courses.len());
    outlook.courses.iter().for_each(|course| model.daily_batch(&course.tmin_c[alike..], &course.tmax_c[alike..], &mut apart));
    Column::added_up(ByFuture::new(shared, apart, outlook.courses.len()))
}

/// The degree-day model of a clock, in °C.
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
