//! The daily weather of one station: a column for each element, a mark beside each value.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::calendar::{date_of, day_number};
use crate::error::WeatherError;

/// Where a series was measured. What the file did not say is `None`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Station {
    /// The station's identifier in its network (GHCN-Daily: eleven characters), empty when unknown.
    pub id: String,
    /// The station's name as its network writes it, empty when unknown.
    pub name: String,
    /// Latitude in decimal degrees, north positive.
    pub latitude: Option<f64>,
    /// Longitude in decimal degrees, east positive.
    pub longitude: Option<f64>,
    /// Height above sea level, metres.
    pub elevation_m: Option<f64>,
}

/// A thing measured once a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Element {
    /// Lowest air temperature of the day, °C.
    MinimumTemperature,
    /// Highest air temperature of the day, °C.
    MaximumTemperature,
    /// Rain and melted snow of the day, mm.
    Precipitation,
    /// Depth of the snow that fell, mm.
    Snowfall,
    /// Depth of the snow that lies, mm.
    SnowDepth,
}

impl Element {
    /// All elements, in the order of the columns.
    pub const ALL: [Element; 5] =
        [Element::MinimumTemperature, Element::MaximumTemperature, Element::Precipitation, Element::Snowfall, Element::SnowDepth];

    /// The element's four letters in GHCN-Daily.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Element::MinimumTemperature => "TMIN",
            Element::MaximumTemperature => "TMAX",
            Element::Precipitation => "PRCP",
            Element::Snowfall => "SNOW",
            Element::SnowDepth => "SNWD",
        }
    }

    /// The element with a GHCN-Daily code, capitals or not.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Element> {
        Element::ALL.into_iter().find(|element| element.code().eq_ignore_ascii_case(code))
    }

    /// The unit of the column.
    #[must_use]
    pub fn unit(self) -> &'static str {
        if self.is_temperature() { "degC" } else { "mm" }
    }

    /// Whether the element is a temperature.
    #[must_use]
    pub fn is_temperature(self) -> bool {
        matches!(self, Element::MinimumTemperature | Element::MaximumTemperature)
    }

    /// The lowest and the highest value that weather on this earth can give, in the column's unit.
    ///
    /// # Source
    /// Memory, with room to spare: air has been measured from −89 to 57 °C, a day's rain to 1,825 mm, a day's snow to about
    /// 1,950 mm, lying snow to about 11.8 m.
    #[must_use]
    pub fn possible(self) -> (f64, f64) {
        match self {
            Element::MinimumTemperature | Element::MaximumTemperature => (-95.0, 60.0),
            Element::Precipitation => (0.0, 2_000.0),
            Element::Snowfall => (0.0, 2_500.0),
            Element::SnowDepth => (0.0, 13_000.0),
        }
    }

    fn slot(self) -> usize {
        self as usize
    }
}

/// Why a value is not trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Doubt {
    /// The network's own check set this quality flag.
    QualityFlag(char),
    /// The day's maximum is under its minimum: one of the two must be wrong.
    MaximumUnderMinimum,
    /// The network wrote zero for a blank it took to mean zero (GHCN-Daily measurement flag `P`).
    PresumedZero,
}

/// How a value was filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum FillMethod {
    /// A straight line, across a short gap, in the difference from the normal of the day.
    AnomalyInterpolation,
    /// The normal of the day.
    Climatology,
    /// A regression on neighbouring stations (`stations`).
    Neighbours,
    /// Several stations weighed together for one place (`stations`).
    Combined,
    /// Another place's value with this place's own shift added (`stations`).
    Shifted,
}

/// What stands behind a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Mark {
    /// Measured and not doubted.
    Measured,
    /// Measured, but doubted: the value stays in the column, and [`Series::trusted`] leaves it out.
    Suspect {
        /// Why it is doubted.
        why: Doubt,
    },
    /// Not measured here: put in by [`crate::fill::fill_gaps`] or from other stations ([`crate::stations`]).
    Filled {
        /// How it was found.
        how: FillMethod,
    },
    /// Not known: the column holds NaN.
    Missing,
}

#[derive(Debug, Clone, Default, Serialize)]
struct Column {
    values: Vec<f64>,
    marks: Vec<Mark>,
}

impl Column {
    fn of_values(values: Vec<f64>) -> Column {
        let marks = values.iter().map(|value| if value.is_nan() { Mark::Missing } else { Mark::Measured }).collect();
        Column { values, marks }
    }
}

/// Daily columns for [`Series::from_columns`]: SI, NaN where missing. An empty column is one that was never measured.
#[derive(Debug, Clone, Default)]
pub struct Columns {
    /// Lowest temperature of each day, °C.
    pub tmin_c: Vec<f64>,
    /// Highest temperature of each day, °C.
    pub tmax_c: Vec<f64>,
    /// Precipitation of each day, mm.
    pub prcp_mm: Vec<f64>,
    /// Snowfall of each day, mm.
    pub snow_mm: Vec<f64>,
    /// Snow depth of each day, mm.
    pub snwd_mm: Vec<f64>,
}

/// One day out of a series. Values are NaN where missing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Day {
    /// The civil date at the station.
    pub date: Date,
    /// Lowest temperature, °C.
    pub tmin_c: f64,
    /// Highest temperature, °C.
    pub tmax_c: f64,
    /// Precipitation, mm.
    pub prcp_mm: f64,
    /// Snowfall, mm.
    pub snow_mm: f64,
    /// Snow depth, mm.
    pub snwd_mm: f64,
}

/// The daily weather of one station, without a break from its first day to its last: a column for each element in SI units, with
/// NaN for what is missing, and a [`Mark`] for each value.
///
/// # Example
/// ```
/// use groundlore_weather::series::{Columns, Element, Mark, Series, Station};
/// use jiff::civil::date;
///
/// let columns = Columns { tmin_c: vec![3.0, f64::NAN], tmax_c: vec![11.0, 12.5], ..Columns::default() };
/// let series = Series::from_columns(Station::default(), date(2015, 5, 1), columns)?;
/// assert_eq!(series.last_day(), date(2015, 5, 2));
/// assert_eq!(series.value(Element::MaximumTemperature, date(2015, 5, 2)), Some(12.5));
/// assert_eq!(series.mark(Element::MinimumTemperature, date(2015, 5, 2)), Mark::Missing);
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[derive(Debug, Clone, Serialize)]
pub struct Series {
    /// Where it was measured.
    pub station: Station,
    /// Whether temperatures were read in whole °F and then stored in tenths of °C, as in US archives. 28 °F comes back from such
    /// an archive as 28.04 °F and 36 °F as 35.96 °F, so frost comparisons round to whole °F first.
    pub whole_fahrenheit: bool,
    first_day: Date,
    #[serde(skip)]
    first_number: i32,
    columns: [Column; 5],
}

impl Series {
    /// A series from its first day on; every value that is not NaN is marked as measured.
    ///
    /// # Errors
    /// [`WeatherError::EmptySeries`] when no column holds a day, [`WeatherError::UnevenColumns`] when two that are not empty differ in
    /// length.
    pub fn from_columns(station: Station, first_day: Date, columns: Columns) -> Result<Series, WeatherError> {
        let columns = [columns.tmin_c, columns.tmax_c, columns.prcp_mm, columns.snow_mm, columns.snwd_mm];
        let days = columns.iter().map(Vec::len).max().unwrap_or(0);
        if days == 0 {
            return Err(WeatherError::EmptySeries);
        }
        for (element, column) in Element::ALL.iter().zip(&columns) {
            if !column.is_empty() && column.len() != days {
                return Err(WeatherError::UnevenColumns { element: *element, days: column.len(), expected: days });
            }
        }
        let columns = columns.map(|mut column| {
            column.resize(days, f64::NAN);
            Column::of_values(column)
        });
        Ok(Series { station, whole_fahrenheit: false, first_number: day_number(first_day), first_day, columns })
    }

    /// A series of missing days, to be written into.
    pub(crate) fn blank(station: Station, first_day: Date, days: usize) -> Series {
        let column = || Column { values: vec![f64::NAN; days], marks: vec![Mark::Missing; days] };
        let columns = [column(), column(), column(), column(), column()];
        Series { station, whole_fahrenheit: false, first_number: day_number(first_day), first_day, columns }
    }

    /// Writes one value and its mark; `index` must be inside the series.
    pub(crate) fn set(&mut self, element: Element, index: usize, value: f64, mark: Mark) {
        let column = &mut self.columns[element.slot()];
        if let (Some(cell), Some(sign)) = (column.values.get_mut(index), column.marks.get_mut(index)) {
            *cell = value;
            *sign = mark;
        }
    }

    /// The first day.
    #[must_use]
    pub fn first_day(&self) -> Date {
        self.first_day
    }

    /// The last day.
    #[must_use]
    pub fn last_day(&self) -> Date {
        self.date(self.len().saturating_sub(1))
    }

    /// Number of days from the first to the last, missing ones included.
    #[must_use]
    pub fn len(&self) -> usize {
        self.columns[0].values.len()
    }

    /// Whether the series holds no day at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The place of a date in the columns, `None` outside the series.
    #[must_use]
    pub fn index(&self, date: Date) -> Option<usize> {
        let offset = day_number(date).checked_sub(self.first_number)?;
        usize::try_from(offset).ok().filter(|index| *index < self.len())
    }

    /// The date at a place in the columns.
    #[must_use]
    pub fn date(&self, index: usize) -> Date {
        let offset = i32::try_from(index).unwrap_or(i32::MAX);
        date_of(self.first_number.saturating_add(offset))
    }

    /// The values of an element, NaN where missing; suspect and filled values stand in it as they are.
    #[must_use]
    pub fn column(&self, element: Element) -> &[f64] {
        &self.columns[element.slot()].values
    }

    /// The marks of an element, one for each value.
    #[must_use]
    pub fn marks(&self, element: Element) -> &[Mark] {
        &self.columns[element.slot()].marks
    }

    /// The values of an element with NaN where they are missing or suspect.
    #[must_use]
    pub fn trusted(&self, element: Element) -> Vec<f64> {
        let column = &self.columns[element.slot()];
        let trust = |(value, mark): (&f64, &Mark)| if matches!(mark, Mark::Suspect { .. }) { f64::NAN } else { *value };
        column.values.iter().zip(&column.marks).map(trust).collect()
    }

    /// Lowest temperature of each day, °C.
    #[must_use]
    pub fn tmin_c(&self) -> &[f64] {
        self.column(Element::MinimumTemperature)
    }

    /// Highest temperature of each day, °C.
    #[must_use]
    pub fn tmax_c(&self) -> &[f64] {
        self.column(Element::MaximumTemperature)
    }

    /// Precipitation of each day, mm.
    #[must_use]
    pub fn prcp_mm(&self) -> &[f64] {
        self.column(Element::Precipitation)
    }

    /// Snowfall of each day, mm.
    #[must_use]
    pub fn snow_mm(&self) -> &[f64] {
        self.column(Element::Snowfall)
    }

    /// Snow depth of each day, mm.
    #[must_use]
    pub fn snwd_mm(&self) -> &[f64] {
        self.column(Element::SnowDepth)
    }

    /// One value, `None` when it is missing or the date lies outside the series.
    #[must_use]
    pub fn value(&self, element: Element, date: Date) -> Option<f64> {
        self.index(date).map(|index| self.column(element)[index]).filter(|value| !value.is_nan())
    }

    /// One mark; a date outside the series is missing.
    #[must_use]
    pub fn mark(&self, element: Element, date: Date) -> Mark {
        self.index(date).map_or(Mark::Missing, |index| self.marks(element)[index])
    }

    /// The day at a place in the columns; a place past the end gives a day of NaN.
    #[must_use]
    pub fn day(&self, index: usize) -> Day {
        let at = |element: Element| self.column(element).get(index).copied().unwrap_or(f64::NAN);
        Day {
            date: self.date(index),
            tmin_c: at(Element::MinimumTemperature),
            tmax_c: at(Element::MaximumTemperature),
            prcp_mm: at(Element::Precipitation),
            snow_mm: at(Element::Snowfall),
            snwd_mm: at(Element::SnowDepth),
        }
    }

    /// The days from `from` to `to`, both counted, as far as the series reaches. `None` when it does not reach into them.
    #[must_use]
    pub fn between(&self, from: Date, to: Date) -> Option<Series> {
        let start = day_number(from).max(self.first_number);
        let end = day_number(to).min(day_number(self.last_day()));
        if self.is_empty() || end < start {
            return None;
        }
        let range = (start - self.first_number) as usize..=(end - self.first_number) as usize;
        let cut = |column: &Column| Column { values: column.values[range.clone()].to_vec(), marks: column.marks[range.clone()].to_vec() };
        let columns = [0, 1, 2, 3, 4].map(|slot: usize| cut(&self.columns[slot]));
        Some(Series {
            station: self.station.clone(),
            whole_fahrenheit: self.whole_fahrenheit,
            first_day: date_of(start),
            first_number: start,
            columns,
        })
    }

    /// The same series with missing days added until `last` (nothing happens when it already reaches that far).
    #[must_use]
    pub(crate) fn extended_to(mut self, last: Date) -> Series {
        let days = day_number(last) - self.first_number + 1;
        if let Ok(days) = usize::try_from(days)
            && days > self.len()
        {
            for column in &mut self.columns {
                column.values.resize(days, f64::NAN);
                column.marks.resize(days, Mark::Missing);
            }
        }
        self
    }

    /// Whether the station lies south of the equator: by its latitude, or where that is unknown by whether its Januaries are warmer
    /// than its Julys.
    #[must_use]
    pub fn hemisphere(&self) -> Hemisphere {
        if let Some(latitude) = self.station.latitude {
            return if latitude < 0.0 { Hemisphere::South } else { Hemisphere::North };
        }
        let mut sums = [(0.0, 0.0); 13];
        for (index, value) in self.tmax_c().iter().enumerate().filter(|(_, value)| !value.is_nan()) {
            let month = &mut sums[usize::try_from(self.date(index).month()).unwrap_or(0)];
            *month = (month.0 + value, month.1 + 1.0);
        }
        let mean = |month: usize| sums[month].0 / sums[month].1;
        if mean(1) > mean(7) { Hemisphere::South } else { Hemisphere::North }
    }
}

/// Which half of the globe, and so which half of the year is summer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Hemisphere {
    /// Summer in July; the growing year runs from 1 January to 31 December.
    North,
    /// Summer in January; the growing year runs from 1 July to 30 June.
    South,
}
