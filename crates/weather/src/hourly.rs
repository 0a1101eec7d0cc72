//! The hourly weather of one station, and the days made of it.
//!
//! Hours are counted in real time, not by the clock on the wall: an hour that the clock shows twice in autumn is two hours here, and the
//! hour it jumps over in spring is none. The days are those of the series' own zone, so the two days of the change have 23 and 25 hours.
//!
//! Highest and lowest of 24 readings lie inside the true extremes of the day, which fall between readings. By how much is not measured
//! here: where a thermometer of extremes stands beside the logger, its figures are the better ones.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use serde::Serialize;

use crate::calendar::{date_of, day_number};
use crate::error::WeatherError;
use crate::remark::{Remark, RemarkKind};
use crate::series::{Columns, Element, Mark, Series, Station};

pub(crate) const HOUR_S: i64 = 3_600;

/// A thing measured every hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub enum HourlyElement {
    /// Air temperature, °C.
    Temperature,
    /// Dewpoint, °C.
    Dewpoint,
    /// Relative humidity, %.
    RelativeHumidity,
    /// Wind speed, m/s, at the height of the instrument.
    Wind,
    /// Rain and melted snow of the hour, mm.
    Precipitation,
    /// Mean solar radiation of the hour on level ground, W/m².
    SolarRadiation,
}

impl HourlyElement {
    /// All elements, in the order of the columns.
    pub const ALL: [HourlyElement; 6] = [
        HourlyElement::Temperature,
        HourlyElement::Dewpoint,
        HourlyElement::RelativeHumidity,
        HourlyElement::Wind,
        HourlyElement::Precipitation,
        HourlyElement::SolarRadiation,
    ];

    /// The element in words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            HourlyElement::Temperature => "temperature",
            HourlyElement::Dewpoint => "dewpoint",
            HourlyElement::RelativeHumidity => "relative humidity",
            HourlyElement::Wind => "wind speed",
            HourlyElement::Precipitation => "precipitation",
            HourlyElement::SolarRadiation => "solar radiation",
        }
    }

    /// The unit of the column.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            HourlyElement::Temperature | HourlyElement::Dewpoint => "degC",
            HourlyElement::RelativeHumidity => "%",
            HourlyElement::Wind => "m/s",
            HourlyElement::Precipitation => "mm",
            HourlyElement::SolarRadiation => "W/m2",
        }
    }

    /// The lowest and the highest value that weather can give in an hour, in the column's unit.
    ///
    /// # Source
    /// Memory, with room to spare: air from −89 to 57 °C, an hour's rain to about 305 mm, gusts to 113 m/s; sunlight on level ground can
    /// pass 1,361 W/m² for a moment beside bright cloud. Humidity to 110 % as the EPW form allows for instruments that read high.
    #[must_use]
    pub fn possible(self) -> (f64, f64) {
        match self {
            HourlyElement::Temperature => (-95.0, 60.0),
            HourlyElement::Dewpoint => (-110.0, 45.0),
            HourlyElement::RelativeHumidity => (0.0, 110.0),
            HourlyElement::Wind => (0.0, 115.0),
            HourlyElement::Precipitation => (0.0, 450.0),
            HourlyElement::SolarRadiation => (0.0, 1_600.0),
        }
    }

    fn slot(self) -> usize {
        self as usize
    }
}

/// What the time beside an hour's sums means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HourStamp {
    /// The hour begins at its time: 00:00 is the first hour of the day.
    #[default]
    Begins,
    /// The hour ends at its time: 00:00 is the last hour of the day before, as in typical-year files and many rain gauges.
    Ends,
}

#[derive(Debug, Clone, Default, Serialize)]
struct HourColumn {
    values: Vec<f64>,
    marks: Vec<Mark>,
}

/// The hourly weather of one station, without a break from its first hour to its last: SI columns with NaN for what is missing, and a
/// [`Mark`] for each value.
#[derive(Debug, Clone, Serialize)]
pub struct HourlySeries {
    /// Where it was measured.
    pub station: Station,
    /// Whether each time begins or ends its hour.
    pub stamp: HourStamp,
    /// The zone whose days are meant.
    #[serde(skip)]
    pub zone: TimeZone,
    /// Time of the first hour.
    first: Timestamp,
    columns: [HourColumn; 6],
}

/// How many hours of a day may be missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct DailyRules {
    /// For extremes and means of temperature, humidity and wind.
    pub missing_for_extremes: usize,
    /// For sums of rain and radiation: a missing hour makes a sum too small.
    pub missing_for_sums: usize,
}

impl Default for DailyRules {
    /// Three hours for extremes and means, none for sums (common practice).
    fn default() -> DailyRules {
        DailyRules { missing_for_extremes: 3, missing_for_sums: 0 }
    }
}

/// Days made of hours. The columns beside the series have a value for each of its days, NaN where too few hours are known.
#[derive(Debug, Clone, Serialize)]
pub struct DailyWeather {
    /// Minimum, maximum and precipitation of each day. A day with too few hours is [`Mark::Missing`].
    pub series: Series,
    /// Mean dewpoint, °C.
    pub dewpoint_mean_c: Vec<f64>,
    /// Mean relative humidity, %.
    pub humidity_mean_percent: Vec<f64>,
    /// Mean wind speed, m/s.
    pub wind_mean_ms: Vec<f64>,
    /// Solar radiation of the day, MJ/m².
    pub solar_mj_m2: Vec<f64>,
    /// Hours with a temperature, for each day.
    pub temperature_hours: Vec<usize>,
    /// Days left missing for want of hours, and clock changes.
    pub remarks: Vec<Remark>,
}

/// The hours of one day and element, gathered.
#[derive(Clone, Copy)]
struct OfDay {
    hours: usize,
    lowest: f64,
    highest: f64,
    sum: f64,
}

impl OfDay {
    const NONE: OfDay = OfDay { hours: 0, lowest: f64::INFINITY, highest: f64::NEG_INFINITY, sum: 0.0 };

    fn add(&mut self, value: f64) {
        self.hours += 1;
        self.lowest = self.lowest.min(value);
        self.highest = self.highest.max(value);
        self.sum += value;
    }
}

impl HourlySeries {
    /// A series of missing hours, to be written into.
    pub(crate) fn blank(station: Station, zone: TimeZone, stamp: HourStamp, first: Timestamp, hours: usize) -> HourlySeries {
        let column = || HourColumn { values: vec![f64::NAN; hours], marks: vec![Mark::Missing; hours] };
        HourlySeries { station, stamp, zone, first, columns: std::array::from_fn(|_| column()) }
    }

    /// Writes one measured value.
    pub(crate) fn set(&mut self, element: HourlyElement, index: usize, value: f64) {
        let column = &mut self.columns[element.slot()];
        if let (Some(cell), Some(mark)) = (column.values.get_mut(index), column.marks.get_mut(index)) {
            *cell = value;
            *mark = if value.is_nan() { Mark::Missing } else { Mark::Measured };
        }
    }

    /// Number of hours from the first to the last, missing ones included.
    #[must_use]
    pub fn len(&self) -> usize {
        self.columns[0].values.len()
    }

    /// Whether the series holds no hour.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The moment at a place in the columns.
    #[must_use]
    pub fn moment(&self, index: usize) -> Timestamp {
        let hours = i64::try_from(index).unwrap_or(i64::MAX);
        Timestamp::from_second(self.first.as_second().saturating_add(hours.saturating_mul(HOUR_S))).unwrap_or(Timestamp::MAX)
    }

    /// The place of a moment in the columns, `None` outside the series; a moment within an hour belongs to that hour.
    #[must_use]
    pub fn index(&self, moment: Timestamp) -> Option<usize> {
        let hours = (moment.as_second() - self.first.as_second()).div_euclid(HOUR_S);
        usize::try_from(hours).ok().filter(|index| *index < self.len())
    }

    /// The values of an element, NaN where missing.
    #[must_use]
    pub fn column(&self, element: HourlyElement) -> &[f64] {
        &self.columns[element.slot()].values
    }

    /// The marks of an element, one for each value.
    #[must_use]
    pub fn marks(&self, element: HourlyElement) -> &[Mark] {
        &self.columns[element.slot()].marks
    }

    /// One value, `None` when it is missing or outside the series.
    #[must_use]
    pub fn value(&self, element: HourlyElement, moment: Timestamp) -> Option<f64> {
        self.index(moment).map(|index| self.column(element)[index]).filter(|value| !value.is_nan())
    }

    /// The civil day, in the series' zone, to which an hour belongs.
    #[must_use]
    pub fn day_of(&self, index: usize) -> Date {
        let moment = self.moment(index);
        let inside = match self.stamp {
            HourStamp::Begins => moment,
            HourStamp::Ends => moment.checked_sub(1.second()).unwrap_or(moment),
        };
        self.zone.to_datetime(inside).date()
    }

    /// The days: lowest and highest temperature, sums of rain and radiation, means of the rest. A day's hours are 23 or 25 where the
    /// clock changes.
    ///
    /// # Errors
    /// [`WeatherError::EmptySeries`] when there is no hour.
    ///
    /// # Example
    /// ```
    /// use groundlore_weather::hourly::{DailyRules, HourStamp};
    /// use groundlore_weather::hourly_csv::{HourlyOptions, read_hourly_csv};
    /// use jiff::{civil::date, tz::TimeZone};
    ///
    /// let mut text = String::from("time,TEMP (degC),RAIN (mm)\n");
    /// for hour in 0..24 {
    ///     text += &format!("2015-05-01 {hour:02}:00,{},0.5\n", 10 + hour % 12);
    /// }
    /// let options = HourlyOptions { zone: Some(TimeZone::get("America/Chicago")?), ..HourlyOptions::default() };
    /// let days = read_hourly_csv(&text, "yard.csv", &options)?.series.to_daily(DailyRules::default())?;
    /// let day = days.series.day(0);
    /// assert_eq!((day.date, day.tmin_c, day.tmax_c, day.prcp_mm), (date(2015, 5, 1), 10.0, 21.0, 12.0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn to_daily(&self, rules: DailyRules) -> Result<DailyWeather, WeatherError> {
        if self.is_empty() {
            return Err(WeatherError::EmptySeries);
        }
        let first = day_number(self.day_of(0));
        let last = day_number(self.day_of(self.len() - 1));
        let days = usize::try_from(last - first + 1).unwrap_or(1);
        let gathered = HourlyElement::ALL.map(|element| self.gather(element, first, days));
        let due: Vec<usize> = (0..days).map(|day| self.hours_due(date_of(first + i32::try_from(day).unwrap_or(0)))).collect();
        let pick = |element: HourlyElement, missing: usize, of: fn(&OfDay) -> f64| -> Vec<f64> {
            let enough = |(day, due): (&OfDay, &usize)| if day.hours > 0 && day.hours + missing >= *due { of(day) } else { f64::NAN };
            gathered[element.slot()].iter().zip(&due).map(enough).collect()
        };
        let (loose, strict) = (rules.missing_for_extremes, rules.missing_for_sums);
        let mean: fn(&OfDay) -> f64 = |day| day.sum / day.hours as f64;
        let columns = Columns {
            tmin_c: pick(HourlyElement::Temperature, loose, |day| day.lowest),
            tmax_c: pick(HourlyElement::Temperature, loose, |day| day.highest),
            prcp_mm: pick(HourlyElement::Precipitation, strict, |day| day.sum),
            ..Columns::default()
        };
        let series = Series::from_columns(self.station.clone(), date_of(first), columns)?;
        let mut remarks = self.remark_on_few_hours(&series, &gathered);
        remarks.extend(remark_on_clock(&series, &due));
        Ok(DailyWeather {
            remarks,
            dewpoint_mean_c: pick(HourlyElement::Dewpoint, loose, mean),
            humidity_mean_percent: pick(HourlyElement::RelativeHumidity, loose, mean),
            wind_mean_ms: pick(HourlyElement::Wind, loose, mean),
            solar_mj_m2: pick(HourlyElement::SolarRadiation, strict, |day| day.sum * HOUR_S as f64 / 1e6),
            temperature_hours: gathered[HourlyElement::Temperature.slot()].iter().map(|day| day.hours).collect(),
            series,
        })
    }

    fn gather(&self, element: HourlyElement, first_day: i32, days: usize) -> Vec<OfDay> {
        let mut found = vec![OfDay::NONE; days];
        for (index, value) in self.column(element).iter().enumerate().filter(|(_, value)| !value.is_nan()) {
            let day = usize::try_from(day_number(self.day_of(index)) - first_day).unwrap_or(0);
            if let Some(cell) = found.get_mut(day) {
                cell.add(*value);
            }
        }
        found
    }

    /// Hours that a civil day has in this zone: 24, or 23 and 25 where the clock changes.
    fn hours_due(&self, day: Date) -> usize {
        let start = |day: Date| self.zone.to_ambiguous_timestamp(day.at(0, 0, 0, 0)).compatible().ok();
        let ends = day.tomorrow().ok().and_then(start);
        match (start(day), ends) {
            (Some(from), Some(to)) => usize::try_from((to.as_second() - from.as_second() + HOUR_S / 2) / HOUR_S).unwrap_or(24),
            _ => 24,
        }
    }

    fn remark_on_few_hours(&self, series: &Series, gathered: &[Vec<OfDay>; 6]) -> Vec<Remark> {
        let kinds = [
            (HourlyElement::Temperature, Element::MaximumTemperature, "temperature"),
            (HourlyElement::Precipitation, Element::Precipitation, "rain"),
        ];
        let mut remarks = Vec::new();
        for (hourly, element, what) in kinds {
            let some = &gathered[hourly.slot()];
            if some.iter().all(|day| day.hours == 0) {
                continue;
            }
            let short: Vec<usize> = (0..series.len()).filter(|day| series.column(element)[*day].is_nan()).collect();
            if let (Some(from), Some(to)) = (short.first(), short.last()) {
                let text = format!(
                    "{} day(s) have too few hours of {what} and are left missing, first {} ({} hours)",
                    short.len(),
                    series.date(*from),
                    some[*from].hours
                );
                let (from, to) = (Some(series.date(*from)), Some(series.date(*to)));
                remarks.push(Remark { kind: RemarkKind::TooFewHours, element: Some(element), from, to, count: short.len(), text });
            }
        }
        remarks
    }
}

fn remark_on_clock(series: &Series, due: &[usize]) -> Vec<Remark> {
    let changed = due.iter().enumerate().filter(|(_, hours)| **hours != 24);
    let describe = |(day, hours): (usize, &usize)| {
        let date = series.date(day);
        let text = format!("{date} has {hours} hours, for the clock changes on it");
        Remark { kind: RemarkKind::ClockChange, element: None, from: Some(date), to: Some(date), count: 1, text }
    };
    changed.map(describe).collect()
}
