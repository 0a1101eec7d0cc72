//! Plain CSV: a table of one's own, a line a day, with the unit in the name of each column.
//!
//! `date,TMIN (degF),TMAX (degF),PRCP (in)`. Column names are read without regard to case; the unit stands in round or square brackets
//! and is read by `groundlore-quantity`. The short endings `_c`, `_f`, `_mm`, `_cm`, `_in` name a unit too. Blank, `NA`, `N/A`, `NaN`,
//! `null`, `M` and `-9999` are missing; `T` is a trace of rain or snow and counts as 0. Lines that begin with `#` are passed over.

use std::borrow::Cow;

use jiff::civil::Date;

use crate::column_unit::{LinearUnit, NamedColumn, says_nothing};
use crate::error::{ProblemKind, WeatherError};
use crate::lines::{cells, numbered_lines};
use crate::reading::{Cell, Gathering, ReadOptions, Reading, civil_date, date_remedy};
use crate::remark::{Remark, RemarkKind};
use crate::series::{Element, Mark, Station};

/// Names by which a column may be called, in lower case with `_` for blanks.
const NAMES: [(&str, Element); 24] = [
    ("tmin", Element::MinimumTemperature),
    ("temp_min", Element::MinimumTemperature),
    ("min_temp", Element::MinimumTemperature),
    ("minimum", Element::MinimumTemperature),
    ("minimum_temperature", Element::MinimumTemperature),
    ("low", Element::MinimumTemperature),
    ("tmax", Element::MaximumTemperature),
    ("temp_max", Element::MaximumTemperature),
    ("max_temp", Element::MaximumTemperature),
    ("maximum", Element::MaximumTemperature),
    ("maximum_temperature", Element::MaximumTemperature),
    ("high", Element::MaximumTemperature),
    ("prcp", Element::Precipitation),
    ("precip", Element::Precipitation),
    ("precipitation", Element::Precipitation),
    ("rain", Element::Precipitation),
    ("rainfall", Element::Precipitation),
    ("snow", Element::Snowfall),
    ("snowfall", Element::Snowfall),
    ("snwd", Element::SnowDepth),
    ("snow_depth", Element::SnowDepth),
    ("snowdepth", Element::SnowDepth),
    ("depth_of_snow", Element::SnowDepth),
    ("lying_snow", Element::SnowDepth),
];

/// Reads a table with a date column and at least one column of weather whose unit is named.
///
/// # Errors
/// [`WeatherError::BadFile`] with every fault found: line, column, value and remedy. A column without a unit is an error that says how to
/// name it, unless [`ReadOptions::assume_units`] is given. With [`ReadOptions::skip_bad`] only faults that spoil the whole file are
/// errors, and the rest is listed in [`Reading::skipped`].
///
/// # Example
/// ```
/// use groundlore_weather::{read_plain_csv, ReadOptions};
/// use groundlore_weather::series::Element;
/// use jiff::civil::date;
///
/// let text = "date,TMIN (degF),TMAX (degF),PRCP (in)\n2015-08-14,61,83,0.5\n2015-08-15,NA,86,\n";
/// let reading = read_plain_csv(text, "yard.csv", &ReadOptions::default())?;
/// assert_eq!(reading.series.value(Element::MaximumTemperature, date(2015, 8, 15)), Some(30.0));
/// assert_eq!(reading.series.value(Element::Precipitation, date(2015, 8, 14)), Some(12.7));
///
/// let error = read_plain_csv("date,TMIN\n2015-08-14,61\n", "yard.csv", &ReadOptions::default()).unwrap_err();
/// assert!(error.to_string().contains("write `TMIN (degF)` or `TMIN (degC)`"));
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
pub fn read_plain_csv(text: &str, file_name: &str, options: &ReadOptions) -> Result<Reading, WeatherError> {
    let mut gathering = Gathering::new(file_name, options, true);
    let mut lines = numbered_lines(text).filter(|(_, line)| !line.trim().is_empty() && !line.trim_start().starts_with('#'));
    let Some((number, header)) = lines.next() else {
        let remedy = "Begin with a header such as `date,TMIN (degF),TMAX (degF),PRCP (in)`.".to_owned();
        return Err(gathering.fatal(None, None, ProblemKind::Empty, "", remedy));
    };
    let table = Table::of_header(&mut gathering, number, header)?;
    let mut whole = Wholeness::default();
    let mut station_id = None;
    for (number, line) in lines {
        let Ok(row) = cells(line) else {
            gathering.note(number, None, ProblemKind::OpenQuote, line, "Close the quote on the line it was opened on.".to_owned());
            continue;
        };
        if table.take_row(&mut gathering, number, &row, &mut whole) && station_id.is_none() {
            station_id = table.station.map(|place| row[place].to_string());
        }
    }
    let mut station: Station = options.station.clone().unwrap_or_default();
    if let Some(id) = station_id {
        station.id = id;
    }
    let whole_fahrenheit = options.whole_fahrenheit.unwrap_or_else(|| whole.settled());
    if whole_fahrenheit && options.whole_fahrenheit.is_none() {
        let text = "the temperatures are whole °F: frost comparisons round to whole °F".to_owned();
        gathering.remarks.push(Remark::on_file(RemarkKind::WholeFahrenheit, whole.values, text));
    }
    gathering.finish(station, whole_fahrenheit)
}

/// Where the columns are and how their numbers become SI.
struct Table {
    width: usize,
    date: usize,
    station: Option<usize>,
    measures: Vec<Measure>,
}

/// One column of weather.
struct Measure {
    element: Element,
    place: usize,
    name: String,
    unit: String,
    scale: LinearUnit,
}

/// Whether temperatures in °F are whole.
#[derive(Default)]
struct Wholeness {
    values: usize,
    broken: usize,
}

impl Wholeness {
    /// Few values prove nothing. Of tenths of °C five in nine lie so near to a whole °F, of tenths of °F three in ten: 95 in a hundred are
    /// no accident, and leave room for stray days.
    fn settled(&self) -> bool {
        self.values >= 30 && self.broken * 20 <= self.values
    }

    fn see(&mut self, fahrenheit: f64) {
        self.values += 1;
        // 28 °F kept in tenths of °C comes back as 28.04 °F: up to 0.09 °F off.
        self.broken += usize::from((fahrenheit - fahrenheit.round()).abs() > 0.1);
    }

    /// A temperature in another unit.
    fn see_other(&mut self) {
        self.values += 1;
        self.broken += 1;
    }
}

impl Table {
    fn of_header(gathering: &mut Gathering<'_>, number: u64, header: &str) -> Result<Table, WeatherError> {
        let Ok(names) = cells(header) else {
            let remedy = "Close the quote in the header.".to_owned();
            return Err(gathering.fatal(Some(number), None, ProblemKind::OpenQuote, header, remedy));
        };
        if names.len() == 1 && header.contains([';', '\t']) {
            let remedy = "Save the table with commas between cells and points in numbers, such as `2015-08-14,16.1,28.3`.".to_owned();
            return Err(gathering.fatal(Some(number), None, ProblemKind::WrongSeparator, header, remedy));
        }
        let mut table = Table { width: names.len(), date: 0, station: None, measures: Vec::new() };
        let (mut date, mut unused) = (None, Vec::new());
        for (place, cell) in names.iter().enumerate() {
            let (heading, element) = NamedColumn::of(cell).known(&NAMES);
            match heading.name.as_str() {
                "date" | "day" if date.is_none() => date = Some(place),
                "station" | "station_id" => table.station = Some(place),
                "date" => {
                    let remedy = "Leave one date column.".to_owned();
                    return Err(gathering.fatal(Some(number), Some(cell), ProblemKind::DoubleColumn, header, remedy));
                }
                _ => match element {
                    Some(element) => table.add(gathering, number, place, cell, element, heading.unit)?,
                    None => unused.push(crate::error::shown(cell)),
                },
            }
        }
        remark_on_unused(gathering, &unused);
        table.close(gathering, number, header, date)
    }

    /// Adds a column of weather, its unit read and tried.
    fn add(
        &mut self,
        gathering: &mut Gathering<'_>,
        number: u64,
        place: usize,
        cell: &str,
        element: Element,
        named: Option<String>,
    ) -> Result<(), WeatherError> {
        if let Some(other) = self.measures.iter().find(|measure| measure.element == element) {
            let remedy = format!("`{}` gives {} already; leave one of the two.", other.name, element.code());
            return Err(gathering.fatal(Some(number), Some(cell), ProblemKind::DoubleColumn, cell, remedy));
        }
        let assumed = gathering.options.assume_units.as_ref().map(|units| units.unit_of(element).to_owned());
        let examples = if element.is_temperature() { ("degF", "degC") } else { ("in", "mm") };
        let Some(unit) = named.clone().or(assumed) else {
            let remedy = format!(
                "Name the unit in the header: write `{0} ({1})` or `{0} ({2})`. If the file must stay as it is, say which units to assume.",
                crate::error::shown(cell),
                examples.0,
                examples.1
            );
            return Err(gathering.fatal(Some(number), Some(cell), ProblemKind::UnitMissing, cell, remedy));
        };
        if named.is_none() {
            let text = format!("{}: the file names no unit; taken as `{unit}`, as the caller said", element.code());
            gathering.remarks.push(Remark::on_file(RemarkKind::AssumedUnits, 1, text));
        }
        let what = if element.is_temperature() { "a temperature" } else { "a depth" };
        let scale = LinearUnit::between("one", &unit, element.unit()).map_err(|why| {
            let is = if why.ends_with("does not measure one") { format!("{} is {what} and ", element.code()) } else { String::new() };
            let remedy = format!("Write a unit such as `{0} ({1})` or `{0} ({2})`: {is}{why}.", element.code(), examples.0, examples.1);
            gathering.fatal(Some(number), Some(cell), ProblemKind::UnitWrong, &unit, remedy)
        })?;
        let name = crate::error::shown(cell);
        self.measures.push(Measure { element, place, name, unit, scale });
        Ok(())
    }

    /// The last look over the header.
    fn close(mut self, gathering: &mut Gathering<'_>, number: u64, header: &str, date: Option<usize>) -> Result<Table, WeatherError> {
        let example = "Begin with a header such as `date,TMIN (degF),TMAX (degF),PRCP (in)`.";
        if self.measures.is_empty() {
            return Err(gathering.fatal(Some(number), None, ProblemKind::NoHeader, header, example.to_owned()));
        }
        let Some(date) = date else {
            let remedy = format!("There is no column `date`. {example}");
            return Err(gathering.fatal(Some(number), Some("date"), ProblemKind::MissingColumn, header, remedy));
        };
        self.date = date;
        let temperatures: Vec<&Measure> = self.measures.iter().filter(|measure| measure.element.is_temperature()).collect();
        if let [one, other] = temperatures[..]
            && one.unit != other.unit
        {
            let text = format!("`{}` and `{}` are in different units; each was read in its own", one.name, other.name);
            gathering.remarks.push(Remark::on_file(RemarkKind::MixedUnits, 2, text));
        }
        Ok(self)
    }

    /// Takes the values of one line; whether the line could be used.
    fn take_row(&self, gathering: &mut Gathering<'_>, number: u64, row: &[Cow<'_, str>], whole: &mut Wholeness) -> bool {
        if row.len() != self.width {
            let kind = if row.len() < self.width { ProblemKind::ShortLine } else { ProblemKind::LongLine };
            let remedy = format!(
                "The header has {} cells and this line {}. Leave a cell blank where nothing is known; a decimal is written with a point.",
                self.width,
                row.len()
            );
            gathering.note(number, None, kind, &row.join(","), remedy);
            return false;
        }
        if self.station.is_some_and(|place| !gathering.same_station(number, "station", &row[place])) {
            return false;
        }
        let Some(date) = civil_date(&row[self.date]) else {
            gathering.note(number, Some("date"), ProblemKind::BadDate, &row[self.date], date_remedy());
            return false;
        };
        if !gathering.usable_date(number, "date", date) {
            return false;
        }
        if let Some(first) = self.measures.first() {
            gathering.follow(number, date, first.element);
        }
        for measure in &self.measures {
            measure.take(gathering, number, date, &row[measure.place], whole);
        }
        true
    }
}

impl Measure {
    fn take(&self, gathering: &mut Gathering<'_>, line: u64, date: Date, cell: &str, whole: &mut Wholeness) {
        if says_nothing(cell) {
            return;
        }
        let trace = !self.element.is_temperature() && cell.eq_ignore_ascii_case("t");
        let number = if trace { Some(0.0) } else { cell.parse::<f64>().ok().filter(|number| number.is_finite()) };
        let Some(number) = number else {
            let remedy = format!(
                "Write a bare number in {}, such as {}, with a point for decimals; leave the cell blank when it is not known.",
                self.unit,
                if self.element.is_temperature() { "61.5" } else { "0.25" }
            );
            gathering.note(line, Some(&self.name), ProblemKind::BadNumber, cell, remedy);
            return;
        };
        if self.element.is_temperature() {
            if self.scale.is_fahrenheit() {
                whole.see(number);
            } else {
                whole.see_other();
            }
        }
        let value = self.scale.convert(number);
        let place = Cell { line, column: &self.name, written: cell, unit: &self.unit };
        gathering.take(&place, date, self.element, value, Mark::Measured);
    }
}

fn remark_on_unused(gathering: &mut Gathering<'_>, unused: &[String]) {
    if !unused.is_empty() {
        let names = unused.iter().take(20).map(String::as_str).collect::<Vec<_>>().join(", ");
        let text = format!("{} column(s) that are not used here: {names}", unused.len());
        gathering.remarks.push(Remark::on_file(RemarkKind::Unused, unused.len(), text));
    }
}
