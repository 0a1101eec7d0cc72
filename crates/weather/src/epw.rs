//! Typical years and real years of hours in the EPW form: eight head lines, then a line an hour of 35 cells.
//!
//! The hour is written 1 to 24 and ends at that time, in the standard time of the place all year. A typical year (TMY) sets months of
//! different years side by side; it is laid out in one year, and a remark says so: it is no record of that year.
//!
//! # Source
//! Order, units and missing codes of the cells: the EPW data dictionary of the EnergyPlus documentation, as quoted in public readers of
//! the form (read): dry bulb and dewpoint 99.9 °C, relative humidity 999 %, global horizontal radiation 9999 Wh/m², wind 999 m/s, liquid
//! precipitation depth 999 mm. That the hour ends at its number: memory.

use std::borrow::Cow;

use jiff::civil::Date;
use jiff::tz::{Offset, TimeZone};
use jiff::{Timestamp, ToSpan};
use serde::Serialize;

use crate::error::{Problem, ProblemKind, WeatherError};
use crate::hourly::{HourStamp, HourlyElement, HourlySeries};
use crate::hourly_gathering::HourlyGathering;
use crate::lines::{cells, numbered_lines};
use crate::remark::{Remark, RemarkKind};
use crate::series::Station;

/// The words that begin the eight head lines.
const HEAD: [&str; 8] = [
    "LOCATION",
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME PERIODS",
    "GROUND TEMPERATURES",
    "HOLIDAYS/DAYLIGHT",
    "COMMENTS 1",
    "COMMENTS 2",
    "DATA PERIODS",
];

const LOCATION_EXAMPLE: &str = "Write `LOCATION,Amber Falls,-,USA,source,000000,43.05,-89.40,-6.0,262.0`: city, region, country, source, number, latitude, longitude, hours from UTC, metres above the sea.";

/// Cells of a line that are used: where, name, element, missing from this value up.
const CELLS: [(usize, &str, HourlyElement, f64); 6] = [
    (6, "dry bulb temperature", HourlyElement::Temperature, 99.9),
    (7, "dew point temperature", HourlyElement::Dewpoint, 99.9),
    (8, "relative humidity", HourlyElement::RelativeHumidity, 999.0),
    (13, "global horizontal radiation", HourlyElement::SolarRadiation, 9999.0),
    (21, "wind speed", HourlyElement::Wind, 999.0),
    (33, "liquid precipitation depth", HourlyElement::Precipitation, 999.0),
];

/// Cells of a whole line, and the least an older file has: without albedo and liquid precipitation.
const WIDTHS: std::ops::RangeInclusive<usize> = 32..=35;

/// What the reader of EPW files may be told.
#[derive(Debug, Clone, Default)]
pub struct EpwOptions {
    /// Leave bad cells and lines out, list them in [`EpwReading::skipped`], and keep the rest.
    pub skip_bad: bool,
    /// The year to lay the hours out in. Without it a file of one year keeps its own, and a typical year is laid out in 2001, or in 2000
    /// when it has a 29 February.
    pub year: Option<i16>,
}

/// What an EPW file gave.
#[derive(Debug, Clone, Serialize)]
pub struct EpwReading {
    /// The weather by hours; each time ends its hour, and the zone is the standard time of the place.
    pub series: HourlySeries,
    /// The year each month was taken from, January first; `None` where the month is not in the file.
    pub month_years: [Option<i16>; 12],
    /// Whether months of different years stand side by side.
    pub typical: bool,
    /// What its user should know.
    pub remarks: Vec<Remark>,
    /// Cells and lines that were left out, with why. Empty unless [`EpwOptions::skip_bad`] was set.
    pub skipped: Vec<Problem>,
}

/// One line with its time as written.
struct EpwLine<'a> {
    number: u64,
    year: i16,
    month: i8,
    day: i8,
    hour: i8,
    row: Vec<Cow<'a, str>>,
}

/// Reads an EPW file.
///
/// # Errors
/// [`WeatherError::BadFile`] with every fault found: line, field, value and remedy. With [`EpwOptions::skip_bad`] only faults of the head
/// are errors.
///
/// # Example
/// ```
/// use groundlore_weather::epw::{EpwOptions, read_epw};
/// use groundlore_weather::hourly::HourlyElement;
///
/// let head = "LOCATION,Amber Falls,-,USA,invented,0,43.05,-89.40,-6.0,262.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n\
///     GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,x\nCOMMENTS 2,x\nDATA PERIODS,1,1,Data,Sunday,7/4,7/4\n";
/// let line = "2001,7,4,13,0,?9,24.5,15.0,56,98000,0,0,380,800,0,0,0,0,0,0,180,3.5,5,5,16,77777,9,9,20,0.1,0,88,0.2,999,99\n";
/// let reading = read_epw(&format!("{head}{line}"), "amber.epw", &EpwOptions::default())?;
/// // Hour 13 ends at one o'clock standard time, six hours behind UTC; 999 mm of rain is the code for missing.
/// assert_eq!(reading.series.moment(0).to_string(), "2001-07-04T19:00:00Z");
/// assert_eq!(reading.series.column(HourlyElement::Temperature), [24.5]);
/// assert!(reading.series.column(HourlyElement::Precipitation)[0].is_nan());
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
pub fn read_epw(text: &str, file_name: &str, options: &EpwOptions) -> Result<EpwReading, WeatherError> {
    let mut gathering = HourlyGathering::new(file_name, options.skip_bad);
    let mut lines = numbered_lines(text);
    let (station, zone) = read_head(&gathering, &mut lines)?;
    let rows = read_lines(&mut gathering, lines);
    let mut month_years = [None; 12];
    let mut years: Vec<i16> = Vec::new();
    for line in &rows {
        if let Some(year) = month_years.get_mut(usize::try_from(line.month - 1).unwrap_or(12)) {
            year.get_or_insert(line.year);
        }
        if !years.contains(&line.year) {
            years.push(line.year);
        }
    }
    let typical = years.len() > 1;
    let leap = rows.iter().any(|line| line.month == 2 && line.day == 29);
    let laid_out_in = options.year.or(typical.then_some(if leap { 2000 } else { 2001 }));
    for line in rows {
        take_line(&mut gathering, &line, laid_out_in, &zone);
    }
    if let (true, Some(year)) = (typical, laid_out_in) {
        let list = month_years.iter().flatten().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        let text = format!("a typical year: its months are from {list}; they are laid out in {year}, which is a label and no record");
        gathering.remarks.push(Remark::on_file(RemarkKind::TypicalYear, years.len(), text));
    }
    let (series, remarks, skipped) = gathering.finish(station, zone, HourStamp::Ends)?;
    Ok(EpwReading { series, month_years, typical, remarks, skipped })
}

fn read_head<'t>(
    gathering: &HourlyGathering<'_>,
    lines: &mut impl Iterator<Item = (u64, &'t str)>,
) -> Result<(Station, TimeZone), WeatherError> {
    let mut place = None;
    for (index, word) in HEAD.into_iter().enumerate() {
        let (number, line) = lines.next().unwrap_or((index as u64 + 1, ""));
        if index == 0 && line.trim().is_empty() {
            return Err(gathering.fatal(None, None, ProblemKind::Empty, "", LOCATION_EXAMPLE.to_owned()));
        }
        let begins = line.trim_start().get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word));
        if !begins {
            let remedy = format!("The {} of eight head lines begins with `{word}`; take the file anew from its source.", ordinal(index));
            return Err(gathering.fatal(Some(number), Some(word), ProblemKind::BadHead, line, remedy));
        }
        if index == 0 {
            place = Some(read_location(gathering, number, line)?);
        }
        if index == 7 {
            check_periods(gathering, number, line)?;
        }
    }
    place.ok_or_else(|| gathering.fatal(None, None, ProblemKind::BadHead, "", LOCATION_EXAMPLE.to_owned()))
}

fn ordinal(index: usize) -> &'static str {
    ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"][index.min(7)]
}

fn read_location(gathering: &HourlyGathering<'_>, number: u64, line: &str) -> Result<(Station, TimeZone), WeatherError> {
    let bad =
        |field: &str, kind: ProblemKind, value: &str| gathering.fatal(Some(number), Some(field), kind, value, LOCATION_EXAMPLE.to_owned());
    let Ok(row) = cells(line) else {
        return Err(bad("LOCATION", ProblemKind::OpenQuote, line));
    };
    if row.len() < 10 {
        return Err(bad("LOCATION", ProblemKind::ShortLine, line));
    }
    let field = |place: usize, name: &str, low: f64, high: f64| {
        let value = row[place].parse::<f64>().map_err(|_| bad(name, ProblemKind::BadNumber, &row[place]))?;
        if (low..=high).contains(&value) { Ok(value) } else { Err(bad(name, ProblemKind::Impossible, &row[place])) }
    };
    let station = Station {
        id: row[5].to_string(),
        name: row[1].to_string(),
        latitude: Some(field(6, "latitude", -90.0, 90.0)?),
        longitude: Some(field(7, "longitude", -180.0, 180.0)?),
        elevation_m: Some(field(9, "elevation", -1_000.0, 9_999.9)?),
    };
    let hours = field(8, "time zone", -12.0, 14.0)?;
    let offset = Offset::from_seconds((hours * 3_600.0).round() as i32).map_err(|_| bad("time zone", ProblemKind::Impossible, &row[8]))?;
    Ok((station, TimeZone::fixed(offset)))
}

fn check_periods(gathering: &HourlyGathering<'_>, number: u64, line: &str) -> Result<(), WeatherError> {
    let row: Vec<&str> = line.split(',').map(str::trim).collect();
    match row.get(2) {
        Some(&"1") => Ok(()),
        seen => {
            let remedy =
                "The third cell is the number of lines an hour; only files of one line an hour, `DATA PERIODS,1,1,…`, are read here.";
            Err(gathering.fatal(Some(number), Some("records per hour"), ProblemKind::BadHead, seen.unwrap_or(&""), remedy.to_owned()))
        }
    }
}

fn read_lines<'t>(gathering: &mut HourlyGathering<'_>, lines: impl Iterator<Item = (u64, &'t str)>) -> Vec<EpwLine<'t>> {
    let mut found: Vec<EpwLine<'t>> = Vec::new();
    let mut width = None;
    for (number, line) in lines.filter(|(_, line)| !line.trim().is_empty()) {
        let Ok(row) = cells(line) else {
            gathering.note(number, None, ProblemKind::OpenQuote, line, "Close the quote, or take the file anew from its source.");
            continue;
        };
        let wanted = width.unwrap_or_else(|| row.len().clamp(*WIDTHS.start(), *WIDTHS.end()));
        if row.len() != wanted {
            let kind = if row.len() < wanted { ProblemKind::ShortLine } else { ProblemKind::LongLine };
            let remedy = format!("A line of this file has {wanted} cells and this one {}; take the file anew from its source.", row.len());
            gathering.note(number, None, kind, line, remedy);
            continue;
        }
        width = Some(wanted);
        if let Some([year, month, day, hour]) = read_time(gathering, number, &row) {
            let narrow = |value: i16| i8::try_from(value).unwrap_or(0);
            found.push(EpwLine { number, year, month: narrow(month), day: narrow(day), hour: narrow(hour), row });
        }
    }
    found
}

fn read_time(gathering: &mut HourlyGathering<'_>, number: u64, row: &[Cow<'_, str>]) -> Option<[i16; 4]> {
    const FIELDS: [(&str, i16, i16); 4] = [("year", 1700, 2200), ("month", 1, 12), ("day", 1, 31), ("hour", 1, 24)];
    let mut time = [0; 4];
    for ((name, low, high), (cell, value)) in FIELDS.into_iter().zip(row.iter().zip(&mut time)) {
        let read = cell.parse::<i16>().ok().filter(|value| (low..=high).contains(value));
        let Some(read) = read else {
            let kind = if name == "hour" { ProblemKind::BadTime } else { ProblemKind::BadDate };
            let remedy = format!("The {name} is a whole number from {low} to {high}, as in `2001,7,4,13,0`: hour 13 of 4 July 2001.");
            gathering.note(number, Some(name), kind, cell, remedy);
            return None;
        };
        *value = read;
    }
    Some(time)
}

fn take_line(gathering: &mut HourlyGathering<'_>, line: &EpwLine<'_>, year: Option<i16>, zone: &TimeZone) {
    let year = year.unwrap_or(line.year);
    let Some(moment) = moment_of(year, line.month, line.day, line.hour, zone) else {
        let written = format!("{}-{:02}-{:02}", year, line.month, line.day);
        let remedy = "There is no such day in that year; for a typical year with a 29 February lay it out in a leap year, such as 2000.";
        gathering.note(line.number, Some("day"), ProblemKind::BadDate, &written, remedy);
        return;
    };
    let mut values = [f64::NAN; 6];
    for (place, name, element, missing) in CELLS {
        let Some(cell) = line.row.get(place).filter(|cell| !cell.is_empty()) else { continue };
        let Some(number) = cell.parse::<f64>().ok().filter(|number| number.is_finite()) else {
            let remedy = format!("Write a bare number in {}, or {missing} where it is not known.", element.unit());
            gathering.note(line.number, Some(name), ProblemKind::BadNumber, cell, remedy);
            continue;
        };
        // Codes above the one of the form, such as 99999, mean missing too.
        if !is_missing(number, missing) {
            values[element as usize] = gathering.possible(line.number, name, cell, element, number);
        }
    }
    gathering.take(line.number, moment, values);
}

/// Whether a number is the missing code, or a longer row of nines.
fn is_missing(number: f64, code: f64) -> bool {
    (number - code).abs() < 1e-6
        || [999.0, 999.9, 9999.0, 9999.9, 99_999.0, 999_999.0].iter().any(|nines| *nines > code && (number - nines).abs() < 1e-6)
}

/// The end of the hour `hour` (1 to 24) of a day.
fn moment_of(year: i16, month: i8, day: i8, hour: i8, zone: &TimeZone) -> Option<Timestamp> {
    let midnight = Date::new(year, month, day).ok()?.at(0, 0, 0, 0);
    let start = midnight.to_zoned_datetime(zone.clone()).ok()?.timestamp();
    start.checked_add(i64::from(hour).hours()).ok()
}
