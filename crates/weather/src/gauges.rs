//! Rain gauges and minimum and maximum thermometers read by hand, once a day.
//!
//! `date,max (degF),min (degF),rain (in)`: the date is the day of the reading. Which day a reading tells of depends on its hour:
//!
//! | read | the maximum was reached | the minimum was reached | the rain fell |
//! | --- | --- | --- | --- |
//! | in the morning, about 7 | the afternoon before: [`ReadingDay::DayBefore`] | this morning: the same day | mostly the day before |
//! | in the evening, about 18 | this afternoon: [`ReadingDay::SameDay`] | this morning: the same day | mostly the same day |
//!
//! No rule fits every keeper of a gauge, so the user says which ([`GaugeOptions::new`] has no default), and an hour and a choice that sit
//! ill together are remarked on. The minimum is always set to the day of the reading.
//!
//! Rain of several days read at once is written `1.20 for 3 days`, or with a column `days`. It is kept as an [`Accumulation`] and never
//! split: the days it covers are missing in the series, and [`GaugeReading::rain_between`] counts it whole where all of it falls inside.

use std::borrow::Cow;
use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

use crate::column_unit::{LinearUnit, NamedColumn, says_nothing};
use crate::error::{Problem, ProblemKind, WeatherError, shown};
use crate::lines::{cells, numbered_lines};
use crate::reading::{Cell, Gathering, ReadOptions, civil_date, date_remedy};
use crate::remark::{Remark, RemarkKind};
use crate::series::{Element, Mark, Series};

/// Most days that one reading may stand for.
const MOST_DAYS: i64 = 60;

/// Names by which a column may be called, in lower case with `_` for blanks.
const NAMES: [(&str, Element); 13] = [
    ("max", Element::MaximumTemperature),
    ("maximum", Element::MaximumTemperature),
    ("tmax", Element::MaximumTemperature),
    ("high", Element::MaximumTemperature),
    ("min", Element::MinimumTemperature),
    ("minimum", Element::MinimumTemperature),
    ("tmin", Element::MinimumTemperature),
    ("low", Element::MinimumTemperature),
    ("rain", Element::Precipitation),
    ("rainfall", Element::Precipitation),
    ("gauge", Element::Precipitation),
    ("prcp", Element::Precipitation),
    ("precipitation", Element::Precipitation),
];

const HEADER: &str = "Begin with a header such as `date,max (degF),min (degF),rain (in)`.";

/// The day to which a reading is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ReadingDay {
    /// The day on which it was read.
    SameDay,
    /// The day before.
    DayBefore,
}

impl ReadingDay {
    fn of(self, read_on: Date) -> Date {
        match self {
            ReadingDay::SameDay => read_on,
            ReadingDay::DayBefore => read_on.yesterday().unwrap_or(read_on),
        }
    }
}

/// How the instruments were read.
#[derive(Debug, Clone)]
pub struct GaugeOptions {
    /// Hour of the reading on the local clock, 0 to 23.
    pub hour: i8,
    /// The day of the maximum.
    pub maximum: ReadingDay,
    /// The day of the rain; of several days' rain, its last.
    pub rain: ReadingDay,
    /// What else the reader may be told: today, bad lines, the station.
    pub reading: ReadOptions,
}

impl GaugeOptions {
    /// Readings at an hour, the maximum and the rain set to the days named.
    #[must_use]
    pub fn new(hour: i8, maximum: ReadingDay, rain: ReadingDay) -> GaugeOptions {
        GaugeOptions { hour, maximum, rain, reading: ReadOptions::default() }
    }
}

/// Rain of several days that was read as one amount.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Accumulation {
    /// First day it covers.
    pub from: Date,
    /// Last day it covers.
    pub to: Date,
    /// The whole amount, mm.
    pub total_mm: f64,
    /// The line of the file.
    pub line: u64,
}

/// Rain between two days, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RainBetween {
    /// Rain read day by day and accumulations that lie wholly inside, mm.
    pub known_mm: f64,
    /// Accumulations that reach over either end, mm: some of this fell inside.
    pub across_the_ends_mm: f64,
    /// Days of which nothing is known.
    pub missing_days: usize,
}

/// What hand-read instruments gave.
#[derive(Debug, Clone, Serialize)]
pub struct GaugeReading {
    /// The days. Days within an accumulation have no rain of their own and are missing.
    pub series: Series,
    /// Rain of several days, in order.
    pub accumulations: Vec<Accumulation>,
    /// What its user should know.
    pub remarks: Vec<Remark>,
    /// Cells and lines that were left out, with why.
    pub skipped: Vec<Problem>,
}

impl GaugeReading {
    /// The rain from one day to another, both counted.
    #[must_use]
    pub fn rain_between(&self, from: Date, to: Date) -> RainBetween {
        let mut found = RainBetween { known_mm: 0.0, across_the_ends_mm: 0.0, missing_days: 0 };
        let mut day = from;
        while day <= to {
            match self.series.value(Element::Precipitation, day) {
                Some(rain) => found.known_mm += rain,
                None => found.missing_days += usize::from(!self.accumulations.iter().any(|sum| sum.from <= day && day <= sum.to)),
            }
            let Ok(next) = day.tomorrow() else { break };
            day = next;
        }
        for sum in self.accumulations.iter().filter(|sum| sum.from <= to && from <= sum.to) {
            let inside = from <= sum.from && sum.to <= to;
            *(if inside { &mut found.known_mm } else { &mut found.across_the_ends_mm }) += sum.total_mm;
        }
        found
    }
}

/// Reads a table of hand readings; see the module's front page for its form.
///
/// # Errors
/// [`WeatherError::BadFile`] with every fault found: line, column, value and remedy.
///
/// # Example
/// ```
/// use groundlore_weather::gauges::{GaugeOptions, ReadingDay::DayBefore, read_gauges};
/// use groundlore_weather::series::Element;
/// use jiff::civil::date;
///
/// let text = "date,max (degF),min (degF),rain (in)\n2015-08-14,86,61,0.5\n2015-08-17,83,59,1.2 for 3 days\n";
/// let reading = read_gauges(text, "gauge.csv", &GaugeOptions::new(7, DayBefore, DayBefore))?;
/// // Read on the morning of the 14th: the maximum is the 13th's, the minimum the 14th's.
/// assert_eq!(reading.series.value(Element::MaximumTemperature, date(2015, 8, 13)), Some(30.0));
/// assert_eq!(reading.series.value(Element::Precipitation, date(2015, 8, 15)), None);
/// assert_eq!((reading.accumulations[0].from, reading.accumulations[0].to), (date(2015, 8, 14), date(2015, 8, 16)));
/// assert!((reading.rain_between(date(2015, 8, 13), date(2015, 8, 16)).known_mm - 1.7 * 25.4).abs() < 1e-9);
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
pub fn read_gauges(text: &str, file_name: &str, options: &GaugeOptions) -> Result<GaugeReading, WeatherError> {
    let mut gathering = Gathering::new(file_name, &options.reading, true);
    if !(0..=23).contains(&options.hour) {
        let remedy = "The hour of the reading is a whole number from 0 to 23 on the local clock, such as 7.".to_owned();
        return Err(gathering.fatal(None, Some("hour of the reading"), ProblemKind::BadTime, &options.hour.to_string(), remedy));
    }
    let mut lines = numbered_lines(text).filter(|(_, line)| !line.trim().is_empty() && !line.trim_start().starts_with('#'));
    let Some((number, header)) = lines.next() else {
        return Err(gathering.fatal(None, None, ProblemKind::Empty, "", HEADER.to_owned()));
    };
    let table = GaugeTable::of_header(&mut gathering, number, header)?;
    gathering.remarks.extend(remark_on_hour(options));
    let mut rain = RainBook::default();
    for (number, line) in lines {
        match cells(line) {
            Ok(row) => table.take_row(&mut gathering, &mut rain, options, number, &row),
            Err(_) => {
                gathering.note(number, None, ProblemKind::OpenQuote, line, "Close the quote on the line it was opened on.".to_owned())
            }
        }
    }
    let station = options.reading.station.clone().unwrap_or_default();
    let whole_fahrenheit = options.reading.whole_fahrenheit.unwrap_or(false);
    let reading = gathering.finish(station, whole_fahrenheit)?;
    rain.sums.sort_by_key(|sum| sum.from);
    let mut remarks = reading.remarks;
    if let (Some(first), Some(last)) = (rain.sums.first(), rain.sums.last()) {
        let count = rain.sums.len();
        let text = format!("{count} reading(s) of rain over several days, first {} to {}; none was split", first.from, first.to);
        let element = Some(Element::Precipitation);
        remarks.push(Remark { kind: RemarkKind::Accumulated, element, from: Some(first.from), to: Some(last.to), count, text });
    }
    Ok(GaugeReading { series: reading.series, accumulations: rain.sums, remarks, skipped: reading.skipped })
}

fn remark_on_hour(options: &GaugeOptions) -> Option<Remark> {
    let hour = options.hour;
    let text = match (hour, options.maximum) {
        (0..=10, ReadingDay::SameDay) => "by then the day's maximum has not come, and what is read is mostly the day before's",
        (16..=23, ReadingDay::DayBefore) => "by then the day's own maximum has mostly come",
        (0..=10 | 16..=23, _) => return None,
        _ => "near midday a maximum may be of either day",
    };
    let text = format!("the maximum is read at {hour}:00: {text}");
    Some(Remark::on_file(RemarkKind::ReadingDay, 1, text))
}

/// Rain as it is gathered: which line told of each day, and the sums of several days.
#[derive(Default)]
struct RainBook {
    lines: BTreeMap<Date, u64>,
    sums: Vec<Accumulation>,
}

struct GaugeColumn {
    element: Element,
    place: usize,
    name: String,
    unit: String,
    line: LinearUnit,
}

struct GaugeTable {
    width: usize,
    date: usize,
    days: Option<usize>,
    columns: Vec<GaugeColumn>,
}

impl GaugeTable {
    fn of_header(gathering: &mut Gathering<'_>, number: u64, header: &str) -> Result<GaugeTable, WeatherError> {
        let Ok(names) = cells(header) else {
            return Err(gathering.fatal(Some(number), None, ProblemKind::OpenQuote, header, "Close the quote in the header.".to_owned()));
        };
        if names.len() == 1 && header.contains([';', '\t']) {
            let remedy = "Save the table with commas between cells and points in numbers.".to_owned();
            return Err(gathering.fatal(Some(number), None, ProblemKind::WrongSeparator, header, remedy));
        }
        let mut table = GaugeTable { width: names.len(), date: 0, days: None, columns: Vec::new() };
        let (mut date, mut unused) = (None, Vec::new());
        for (place, cell) in names.iter().enumerate() {
            let (heading, element) = NamedColumn::of(cell).known(&NAMES);
            match (heading.name.as_str(), element) {
                ("date" | "day", _) if date.is_none() => date = Some(place),
                ("days", _) => table.days = Some(place),
                (_, Some(element)) => table.add(gathering, (number, place), cell, element, heading.unit)?,
                _ => unused.push(shown(cell)),
            }
        }
        if !unused.is_empty() {
            let text = format!("{} column(s) that are not used here: {}", unused.len(), unused.join(", "));
            gathering.remarks.push(Remark::on_file(RemarkKind::Unused, unused.len(), text));
        }
        let temperatures: Vec<&GaugeColumn> = table.columns.iter().filter(|column| column.element.is_temperature()).collect();
        if let [one, other] = temperatures[..]
            && one.unit != other.unit
        {
            let text = format!("`{}` and `{}` are in different units; each was read in its own", one.name, other.name);
            gathering.remarks.push(Remark::on_file(RemarkKind::MixedUnits, 2, text));
        }
        if table.columns.is_empty() {
            return Err(gathering.fatal(Some(number), None, ProblemKind::NoHeader, header, HEADER.to_owned()));
        }
        let Some(date) = date else {
            let remedy = format!("There is no column `date`. {HEADER}");
            return Err(gathering.fatal(Some(number), Some("date"), ProblemKind::MissingColumn, header, remedy));
        };
        Ok(GaugeTable { date, ..table })
    }

    fn add(
        &mut self,
        gathering: &Gathering<'_>,
        (number, place): (u64, usize),
        cell: &str,
        element: Element,
        unit: Option<String>,
    ) -> Result<(), WeatherError> {
        if let Some(other) = self.columns.iter().find(|column| column.element == element) {
            let remedy = format!("`{}` gives {} already; leave one of the two.", other.name, element.code());
            return Err(gathering.fatal(Some(number), Some(cell), ProblemKind::DoubleColumn, cell, remedy));
        }
        let examples = if element.is_temperature() { ("degF", "degC") } else { ("in", "mm") };
        let Some(unit) = unit else {
            let remedy = format!("Name the unit in the header: write `{0} ({1})` or `{0} ({2})`.", shown(cell), examples.0, examples.1);
            return Err(gathering.fatal(Some(number), Some(cell), ProblemKind::UnitMissing, cell, remedy));
        };
        let what = if element.is_temperature() { "temperature" } else { "depth of rain" };
        let line = LinearUnit::between(what, &unit, element.unit()).map_err(|why| {
            let remedy = format!("Write a unit such as ({}) or ({}): {why}.", examples.0, examples.1);
            gathering.fatal(Some(number), Some(cell), ProblemKind::UnitWrong, &unit, remedy)
        })?;
        self.columns.push(GaugeColumn { element, place, name: shown(cell), unit, line });
        Ok(())
    }

    fn take_row(&self, gathering: &mut Gathering<'_>, rain: &mut RainBook, options: &GaugeOptions, number: u64, row: &[Cow<'_, str>]) {
        if row.len() != self.width {
            let kind = if row.len() < self.width { ProblemKind::ShortLine } else { ProblemKind::LongLine };
            let remedy = format!("The header has {} cells and this line {}.", self.width, row.len());
            gathering.note(number, None, kind, &row.join(","), remedy);
            return;
        }
        let Some(read_on) = civil_date(&row[self.date]) else {
            gathering.note(number, Some("date"), ProblemKind::BadDate, &row[self.date], date_remedy());
            return;
        };
        if !gathering.usable_date(number, "date", read_on) {
            return;
        }
        if let Some(first) = self.columns.first() {
            gathering.follow(number, read_on, first.element);
        }
        let days_cell = self.days.map_or("", |place| &row[place]);
        for column in &self.columns {
            let cell = &row[column.place];
            match column.element {
                Element::Precipitation => column.take_rain(gathering, rain, (number, options.rain.of(read_on)), cell, days_cell),
                Element::MaximumTemperature => column.take_value(gathering, number, options.maximum.of(read_on), cell),
                _ => column.take_value(gathering, number, read_on, cell),
            }
        }
    }
}

impl GaugeColumn {
    fn number(&self, gathering: &mut Gathering<'_>, line: u64, cell: &str, written: &str) -> Option<f64> {
        let number = written.parse::<f64>().ok().filter(|number| number.is_finite());
        if number.is_none() {
            let more = if self.element.is_temperature() { "" } else { ", or `1.20 for 3 days` for an amount of several days" };
            let remedy = format!("Write a bare number in {}{more}; leave the cell blank when it is not known.", self.unit);
            gathering.note(line, Some(&self.name), ProblemKind::BadNumber, cell, remedy);
        }
        number
    }

    fn take_value(&self, gathering: &mut Gathering<'_>, line: u64, day: Date, cell: &str) {
        if says_nothing(cell) {
            return;
        }
        if let Some(number) = self.number(gathering, line, cell, cell) {
            let place = Cell { line, column: &self.name, written: cell, unit: &self.unit };
            gathering.take(&place, day, self.element, self.line.convert(number), Mark::Measured);
        }
    }

    fn take_rain(&self, gathering: &mut Gathering<'_>, rain: &mut RainBook, (line, last): (u64, Date), cell: &str, days_cell: &str) {
        if says_nothing(cell) {
            return;
        }
        let (written, days) = split_days(cell, days_cell);
        let Some(days) = days else {
            let remedy = format!("Write the number of days as a whole number from 1 to {MOST_DAYS}, such as `1.20 for 3 days`.");
            gathering.note(line, Some(&self.name), ProblemKind::BadNumber, if cell == written { days_cell } else { cell }, remedy);
            return;
        };
        let number = if written.eq_ignore_ascii_case("t") { Some(0.0) } else { self.number(gathering, line, cell, written) };
        let Some(total_mm) = number.map(|number| self.line.convert(number)) else { return };
        let from = last.checked_sub((days - 1).days()).unwrap_or(last);
        let covered: Vec<Date> = (0..days).filter_map(|step| from.checked_add(step.days()).ok()).collect();
        if let Some((day, earlier)) = covered.iter().find_map(|day| rain.lines.get(day).map(|earlier| (*day, *earlier))) {
            let remedy = format!(
                "Line {earlier} tells of the rain of {day} already; say for how many days this amount stands, or leave one of the two."
            );
            gathering.note(line, Some(&self.name), ProblemKind::DoubleDay, cell, remedy);
            return;
        }
        let (low, high) = (0.0, Element::Precipitation.possible().1 * days as f64);
        if !(low..=high).contains(&total_mm) {
            let remedy = format!("It comes to {total_mm:.1} mm; check the value and the column's unit.");
            gathering.note(line, Some(&self.name), ProblemKind::Impossible, cell, remedy);
            return;
        }
        let place = Cell { line, column: &self.name, written: cell, unit: &self.unit };
        for day in &covered {
            rain.lines.insert(*day, line);
            let (value, mark) = if days == 1 { (total_mm, Mark::Measured) } else { (f64::NAN, Mark::Missing) };
            gathering.take(&place, *day, Element::Precipitation, value, mark);
        }
        if days > 1 {
            rain.sums.push(Accumulation { from, to: last, total_mm, line });
        }
    }
}

/// The amount as written and the number of days it stands for; `None` when that cannot be read.
fn split_days<'c>(cell: &'c str, days_cell: &str) -> (&'c str, Option<i64>) {
    let lower = cell.to_ascii_lowercase();
    let whole = |text: &str| text.trim().parse::<i64>().ok().filter(|days| (1..=MOST_DAYS).contains(days));
    match lower.find(" for ") {
        Some(place) => {
            let rest = lower[place + 5..].trim();
            let number = rest.strip_suffix("days").or_else(|| rest.strip_suffix("day")).unwrap_or(rest);
            (cell[..place].trim(), whole(number))
        }
        None if days_cell.is_empty() => (cell, Some(1)),
        None => (cell, whole(days_cell)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn morning(text: &str) -> Result<GaugeReading, WeatherError> {
        read_gauges(text, "gauge.csv", &GaugeOptions::new(7, ReadingDay::DayBefore, ReadingDay::DayBefore))
    }

    /// Whether every accumulation covers at least two days, in order and apart.
    fn apart(sums: &[Accumulation]) -> bool {
        sums.windows(2).all(|pair| pair[0].to < pair[1].from) && sums.iter().all(|sum| sum.from < sum.to)
    }

    #[test]
    fn several_days_of_rain_stay_whole_and_are_counted_once() {
        let reading = morning("date,rain (mm),days\n2015-05-02,1,\n2015-05-05,6,3\n2015-05-06,2,1\n2015-05-09,T for 3 days,\n").unwrap();
        assert!(apart(&reading.accumulations) && reading.accumulations.len() == 2);
        let all = reading.rain_between(date(2015, 5, 1), date(2015, 5, 8));
        assert_eq!(all, RainBetween { known_mm: 9.0, across_the_ends_mm: 0.0, missing_days: 0 });
        let part = reading.rain_between(date(2015, 5, 3), date(2015, 5, 5));
        assert_eq!(part, RainBetween { known_mm: 2.0, across_the_ends_mm: 6.0, missing_days: 0 });
        assert_eq!(reading.rain_between(date(2015, 5, 8), date(2015, 5, 10)).missing_days, 2);
    }

    #[test]
    fn amounts_that_overlap_are_refused_with_both_lines() {
        let error = morning("date,rain (in)\n2015-05-02,0.1\n2015-05-03,0.5 for 3 days\n").unwrap_err();
        assert!(error.to_string().contains("line 3") && error.to_string().contains("Line 2"), "{error}");
        for wrong in ["0.5 for some days", "0.5 for 0 days", "wet", "-1", "0.5 for 99 days"] {
            let error = morning(&format!("date,rain (in)\n2015-05-02,{wrong}\n")).unwrap_err();
            assert!(error.to_string().contains("line 2, column rain (in)"), "{error}");
        }
    }

    #[test]
    fn an_hour_and_a_day_that_sit_ill_together_are_remarked_on() {
        let text = "date,max (degF)\n2015-05-02,70\n";
        let remarks = |hour, day| read_gauges(text, "g", &GaugeOptions::new(hour, day, day)).unwrap().remarks;
        let odd = |hour, day| remarks(hour, day).iter().any(|remark| remark.kind == RemarkKind::ReadingDay);
        assert!(odd(7, ReadingDay::SameDay) && odd(18, ReadingDay::DayBefore) && odd(13, ReadingDay::SameDay));
        assert!(!odd(7, ReadingDay::DayBefore) && !odd(18, ReadingDay::SameDay));
    }
}
