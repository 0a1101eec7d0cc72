//! GHCN-Daily, `.dly`: a line for each month of one element, in fixed columns.
//!
//! Characters 1–11 are the station, 12–15 the year, 16–17 the month, 18–21 the element; then 31 times a value of five characters and
//! three flags (measurement, quality, source). −9999 is missing. Units as in the `.csv` form.
//!
//! # Source
//! NOAA National Centers for Environmental Information, readme of GHCN-Daily (memory; the layout is also in the project's brief).

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::error::{ProblemKind, WeatherError};
use crate::ghcn_csv::{ghcn_mark, ghcn_unit, ghcn_value, reads_fahrenheit};
use crate::lines::numbered_lines;
use crate::reading::{Cell, Gathering, ReadOptions, Reading};
use crate::remark::{Remark, RemarkKind};
use crate::series::{Element, Station};

/// Characters before the first value.
const HEAD: usize = 21;
/// Characters of a value with its flags.
const FIELD: usize = 8;
/// Characters of a value.
const VALUE: usize = 5;
/// Characters of a whole line.
const LINE: usize = HEAD + 31 * FIELD;

/// Reads a station's `.dly` of GHCN-Daily. The form has no coordinates: give them in [`ReadOptions::station`].
///
/// # Errors
/// [`WeatherError::BadFile`] with every fault found: line, characters, value and remedy. With [`ReadOptions::skip_bad`] only faults that
/// spoil the whole file are errors, and the rest is listed in [`Reading::skipped`].
///
/// # Example
/// ```
/// use groundlore_weather::{read_ghcn_dly, ReadOptions};
/// use groundlore_weather::series::Element;
/// use jiff::civil::date;
///
/// let mut line = String::from("XX000000001201502TMIN");
/// for day in 1..=31 {
///     line += if day == 3 { " -139  W" } else { "-9999   " };
/// }
/// let reading = read_ghcn_dly(&line, "XX000000001.dly", &ReadOptions::default())?;
/// assert_eq!(reading.series.value(Element::MinimumTemperature, date(2015, 2, 3)), Some(-13.9));
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
pub fn read_ghcn_dly(text: &str, file_name: &str, options: &ReadOptions) -> Result<Reading, WeatherError> {
    let mut gathering = Gathering::new(file_name, options, false);
    let mut station_id = None;
    let mut unused: BTreeMap<String, usize> = BTreeMap::new();
    let mut any = false;
    for (number, line) in numbered_lines(text).filter(|(_, line)| !line.trim().is_empty()) {
        any = true;
        let Some(head) = Head::of_line(&mut gathering, number, line) else { continue };
        if !gathering.same_station(number, "1-11", head.station) {
            continue;
        }
        station_id.get_or_insert(head.station);
        match Element::from_code(head.element) {
            Some(element) => take_month(&mut gathering, number, line, &head, element),
            None => *unused.entry(head.element.to_owned()).or_default() += 1,
        }
    }
    if !any {
        let remedy = "Give the station's file as it comes from the archive.".to_owned();
        return Err(gathering.fatal(None, None, ProblemKind::Empty, "", remedy));
    }
    remark_on_unused(&mut gathering, &unused);
    let station = Station { id: station_id.unwrap_or_default().to_owned(), ..options.station.clone().unwrap_or_default() };
    let whole = options.whole_fahrenheit.unwrap_or_else(|| reads_fahrenheit(&station.id));
    gathering.finish(station, whole)
}

/// The first 21 characters of a line.
struct Head<'a> {
    station: &'a str,
    year: i16,
    month: i8,
    element: &'a str,
}

impl<'a> Head<'a> {
    fn of_line(gathering: &mut Gathering<'_>, number: u64, line: &'a str) -> Option<Head<'a>> {
        if !line.is_ascii() {
            let remedy = "A `.dly` line holds letters, digits and blanks only; fetch the file again.".to_owned();
            gathering.note(number, None, ProblemKind::NotText, line, remedy);
            return None;
        }
        if line.len() < HEAD {
            let remedy = format!("A line has {LINE} characters and this one {}; fetch the file again.", line.len());
            gathering.note(number, None, ProblemKind::ShortLine, line, remedy);
            return None;
        }
        let part = |from: usize, to: usize| &line[from..to];
        let year = part(11, 15).parse::<i16>().ok();
        let month = part(15, 17).trim().parse::<i8>().ok().filter(|month| (1..=12).contains(month));
        let (Some(year), Some(month)) = (year, month) else {
            let remedy = "Characters 12-15 are the year and 16-17 the month, such as 201508.".to_owned();
            gathering.note(number, Some("12-17"), ProblemKind::BadDate, part(11, 17), remedy);
            return None;
        };
        Some(Head { station: part(0, 11).trim(), year, month, element: part(17, 21) })
    }
}

/// Takes the days of one line.
fn take_month(gathering: &mut Gathering<'_>, number: u64, line: &str, head: &Head<'_>, element: Element) {
    let Ok(first) = Date::new(head.year, head.month, 1) else { return };
    gathering.follow(number, first, element);
    let days = usize::try_from(first.days_in_month()).unwrap_or(28);
    for day in 1..=31 {
        let start = HEAD + (day - 1) * FIELD;
        let Some(cell) = line.get(start..start + VALUE) else {
            if day <= days {
                let remedy = format!(
                    "The line ends after {} characters, on day {day} of a month of {days}; a whole line has {LINE}. Fetch the file again.",
                    line.len()
                );
                gathering.note(number, Some(&columns_of(start)), ProblemKind::ShortLine, line.get(start..).unwrap_or(""), remedy);
            }
            return;
        };
        take_day(gathering, number, line, head, (element, day, start, cell));
    }
}

fn take_day(gathering: &mut Gathering<'_>, number: u64, line: &str, head: &Head<'_>, place: (Element, usize, usize, &str)) {
    let (element, day, start, cell) = place;
    let column = columns_of(start);
    let Ok(whole) = cell.trim().parse::<i32>() else {
        let remedy = format!("{} is a whole number of {} in five characters, or -9999.", element.code(), ghcn_unit(element));
        gathering.note(number, Some(&column), ProblemKind::BadNumber, cell, remedy);
        return;
    };
    if whole == -9999 {
        return;
    }
    let Some(date) = i8::try_from(day).ok().and_then(|day| Date::new(head.year, head.month, day).ok()) else {
        let remedy = format!("{}-{:02} has no day {day}: its place must hold -9999.", head.year, head.month);
        gathering.note(number, Some(&column), ProblemKind::BadDate, cell.trim(), remedy);
        return;
    };
    if !gathering.usable_date(number, &column, date) {
        return;
    }
    // Editors drop blanks at the end of a line, so a flag that is not there is blank.
    let flag = |offset: usize| line.as_bytes().get(start + VALUE + offset).map_or(' ', |byte| char::from(*byte));
    let value = ghcn_value(element, whole);
    let place = Cell { line: number, column: &column, written: cell.trim(), unit: ghcn_unit(element) };
    gathering.take(&place, date, element, value, ghcn_mark(flag(0), flag(1)));
}

fn columns_of(start: usize) -> String {
    format!("{}-{}", start + 1, start + VALUE)
}

fn remark_on_unused(gathering: &mut Gathering<'_>, unused: &BTreeMap<String, usize>) {
    if unused.is_empty() {
        return;
    }
    let names: Vec<&str> = unused.keys().map(String::as_str).take(20).collect();
    let lines = unused.values().sum();
    let text = format!("{lines} line(s) of elements that are not used here: {}", names.join(", "));
    gathering.remarks.push(Remark::on_file(RemarkKind::Unused, lines, text));
}
