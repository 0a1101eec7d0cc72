//! From lines to a series: what all readers share.
//!
//! A reader turns its file into observations, each with its line. Here they are put in order, doubled days are settled, dates are held
//! against the calendar and today, values against what weather can give, and the columns are laid out without a break.

use std::collections::BTreeMap;

use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;

use crate::calendar::day_number;
use crate::check::check;
use crate::error::{Problem, ProblemKind, WeatherError, shown};
use crate::hourly::HourStamp;
use crate::remark::{Remark, RemarkKind};
use crate::series::{Doubt, Element, Mark, Series, Station};

/// Years in which a daily record can lie; a year outside is a slip of the pen.
const YEARS: std::ops::RangeInclusive<i16> = 1700..=2200;

/// What a reader may be told.
#[derive(Debug, Clone, Default)]
pub struct ReadOptions {
    /// Leave bad cells and lines out, list them in [`Reading::skipped`], and keep the rest. Without it the first bad cell makes the
    /// whole file an error that lists all of them.
    pub skip_bad: bool,
    /// Days after this one are refused.
    pub today: Option<Date>,
    /// Units of the columns that do not name theirs (plain CSV only).
    pub assume_units: Option<AssumedUnits>,
    /// Station details where the file has none (plain CSV, `.dly`). What the file says itself wins.
    pub station: Option<Station>,
    /// Whether temperatures were read in whole °F. Without it GHCN-Daily takes it for stations of the United States, and plain CSV for
    /// files in °F with 95 in 100 values within 0.1 °F of a whole one (and at least 30 of them).
    pub whole_fahrenheit: Option<bool>,
    /// The zone whose clock the times are on (tables of hours only); without it each time needs its offset.
    pub zone: Option<TimeZone>,
    /// Whether a time begins or ends its hour (tables of hours only).
    pub stamp: HourStamp,
}

/// Units for columns without one, named by the caller in the words of `groundlore-quantity`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AssumedUnits {
    /// Unit of the temperatures, such as `degF`.
    pub temperature: String,
    /// Unit of the precipitation, such as `in`.
    pub precipitation: String,
    /// Unit of snowfall and snow depth, such as `in`.
    pub snow: String,
}

impl AssumedUnits {
    /// °F and inches.
    #[must_use]
    pub fn us_customary() -> AssumedUnits {
        AssumedUnits { temperature: "degF".to_owned(), precipitation: "in".to_owned(), snow: "in".to_owned() }
    }

    /// °C and millimetres.
    #[must_use]
    pub fn metric() -> AssumedUnits {
        AssumedUnits { temperature: "degC".to_owned(), precipitation: "mm".to_owned(), snow: "mm".to_owned() }
    }

    pub(crate) fn unit_of(&self, element: Element) -> &str {
        match element {
            Element::MinimumTemperature | Element::MaximumTemperature => &self.temperature,
            Element::Precipitation => &self.precipitation,
            Element::Snowfall | Element::SnowDepth => &self.snow,
        }
    }
}

/// What a file gave.
#[derive(Debug, Clone, Serialize)]
pub struct Reading {
    /// The weather.
    pub series: Series,
    /// What its user should know: order, doubles, gaps, flags, jumps, streaks.
    pub remarks: Vec<Remark>,
    /// Cells and lines that were left out, with why. Empty unless [`ReadOptions::skip_bad`] was set.
    pub skipped: Vec<Problem>,
}

/// One value out of a file.
struct Observation {
    line: u64,
    date: Date,
    element: Element,
    value: f64,
    mark: Mark,
}

/// A cell of a file: where it stands, how it is written, and in what unit.
pub(crate) struct Cell<'a> {
    pub(crate) line: u64,
    pub(crate) column: &'a str,
    pub(crate) written: &'a str,
    pub(crate) unit: &'a str,
}

/// What a reader gathers on its way through a file.
pub(crate) struct Gathering<'a> {
    pub(crate) file: &'a str,
    pub(crate) options: &'a ReadOptions,
    pub(crate) remarks: Vec<Remark>,
    observations: Vec<Observation>,
    problems: Vec<Problem>,
    station_seen: Option<String>,
    /// Whether a line holds a whole day (`.csv`) and not a month of one element (`.dly`).
    line_is_day: bool,
    last_dates: [Option<Date>; 5],
    first_out_of_order: Option<(u64, Date)>,
    out_of_order: usize,
}

impl<'a> Gathering<'a> {
    pub(crate) fn new(file: &'a str, options: &'a ReadOptions, line_is_day: bool) -> Gathering<'a> {
        Gathering {
            file,
            options,
            remarks: Vec::new(),
            observations: Vec::new(),
            problems: Vec::new(),
            station_seen: None,
            line_is_day,
            last_dates: [None; 5],
            first_out_of_order: None,
            out_of_order: 0,
        }
    }

    /// A fault at a place of this file.
    pub(crate) fn fault(&self, line: Option<u64>, column: Option<&str>, kind: ProblemKind, value: &str, remedy: String) -> Problem {
        Problem { file: self.file.to_owned(), line, column: column.map(str::to_owned), kind, value: shown(value), remedy }
    }

    /// Notes a fault that costs a cell or a line.
    pub(crate) fn note(&mut self, line: u64, column: Option<&str>, kind: ProblemKind, value: &str, remedy: String) {
        let problem = self.fault(Some(line), column, kind, value, remedy);
        self.problems.push(problem);
    }

    /// An error that ends the reading.
    pub(crate) fn fatal(&self, line: Option<u64>, column: Option<&str>, kind: ProblemKind, value: &str, remedy: String) -> WeatherError {
        WeatherError::of(self.fault(line, column, kind, value, remedy))
    }

    /// Whether a line belongs to the station of the file; one that does not is noted.
    pub(crate) fn same_station(&mut self, line: u64, column: &str, id: &str) -> bool {
        match &self.station_seen {
            None => {
                self.station_seen = Some(id.to_owned());
                true
            }
            Some(seen) if seen == id => true,
            Some(seen) => {
                let remedy = format!("The file began with station `{}`; put each station in a file of its own.", shown(seen));
                self.note(line, Some(column), ProblemKind::OtherStation, id, remedy);
                false
            }
        }
    }

    /// Whether a date may be used; one that may not is noted.
    pub(crate) fn usable_date(&mut self, line: u64, column: &str, date: Date) -> bool {
        if !YEARS.contains(&date.year()) {
            let remedy = format!("Daily records lie between {} and {}; check the year.", YEARS.start(), YEARS.end());
            self.note(line, Some(column), ProblemKind::BadDate, &date.to_string(), remedy);
            return false;
        }
        match self.options.today {
            Some(today) if date > today => {
                let remedy = format!("Today is {today}; check the date, or leave forecasts out of the record.");
                self.note(line, Some(column), ProblemKind::FutureDate, &date.to_string(), remedy);
                false
            }
            _ => true,
        }
    }

    /// Holds the order of lines against that of their dates, for each element by itself.
    pub(crate) fn follow(&mut self, line: u64, date: Date, element: Element) {
        let last = &mut self.last_dates[element as usize];
        if last.is_some_and(|last| date < last) {
            self.out_of_order += 1;
            self.first_out_of_order.get_or_insert((line, date));
        }
        *last = Some(date);
    }

    /// Takes one value in SI out of a cell.
    pub(crate) fn take(&mut self, cell: &Cell<'_>, date: Date, element: Element, value: f64, mark: Mark) {
        let (low, high) = element.possible();
        if mark == Mark::Measured && !(low..=high).contains(&value) {
            let remedy = format!(
                "Read as {} it is {value:.1} {}, and {} lies between {low} and {high}; check the value and the column's unit, or leave the cell blank.",
                cell.unit,
                element.unit(),
                element.code()
            );
            self.note(cell.line, Some(cell.column), ProblemKind::Impossible, cell.written, remedy);
            return;
        }
        self.observations.push(Observation { line: cell.line, date, element, value, mark });
    }

    /// Lays the observations out as a series.
    pub(crate) fn finish(mut self, station: Station, whole_fahrenheit: bool) -> Result<Reading, WeatherError> {
        let first = self.observations.iter().map(|observation| observation.date).min();
        let last = self.observations.iter().map(|observation| observation.date).max();
        let (Some(first), Some(last)) = (first, last) else {
            return Err(self.nothing_read());
        };
        let days = usize::try_from(day_number(last) - day_number(first) + 1).unwrap_or(1);
        let mut series = Series::blank(station, first, days);
        series.whole_fahrenheit = whole_fahrenheit;
        self.lay_out(&mut series);
        doubt_crossed_days(&mut series);
        if !self.problems.is_empty() && !self.options.skip_bad {
            self.problems.sort_by_key(|problem| problem.line);
            return Err(WeatherError::BadFile { problems: self.problems });
        }
        self.remark_on_order();
        let mut remarks = self.remarks;
        remarks.extend(check(&series));
        self.problems.sort_by_key(|problem| problem.line);
        Ok(Reading { series, remarks, skipped: self.problems })
    }

    fn nothing_read(mut self) -> WeatherError {
        let remedy = "Give at least one dated line with a temperature or an amount of rain, such as `2015-08-14,61,83,0.12`.";
        self.problems.sort_by_key(|problem| problem.line);
        let empty = self.fault(None, None, ProblemKind::NoValues, "", remedy.to_owned());
        self.problems.push(empty);
        WeatherError::BadFile { problems: self.problems }
    }

    /// Writes each observation into its cell. The first of two that differ is kept and the second noted.
    fn lay_out(&mut self, series: &mut Series) {
        let mut lines = vec![[0u64; 5]; series.len()];
        let mut same: BTreeMap<Date, (u64, u64)> = BTreeMap::new();
        let mut parts: BTreeMap<Date, (u64, u64)> = BTreeMap::new();
        for seen in std::mem::take(&mut self.observations) {
            let Some(index) = series.index(seen.date) else { continue };
            let of_day = lines[index];
            let earlier = of_day[seen.element as usize];
            if earlier == 0 {
                let other = of_day.iter().copied().find(|line| *line != 0 && *line != seen.line);
                if let (Some(other), true) = (other, self.line_is_day) {
                    parts.insert(seen.date, (other, seen.line));
                }
                lines[index][seen.element as usize] = seen.line;
                series.set(seen.element, index, seen.value, seen.mark);
            } else if series.column(seen.element)[index] == seen.value && series.marks(seen.element)[index] == seen.mark {
                same.insert(seen.date, (earlier, seen.line));
            } else {
                self.note_double(series, index, earlier, &seen);
            }
        }
        self.remark_on_days(RemarkKind::SameDayTwice, &same, "given twice with the same values; one was kept");
        self.remark_on_days(RemarkKind::DayInParts, &parts, "given in parts on more than one line; the parts were put together");
    }

    fn note_double(&mut self, series: &Series, index: usize, earlier: u64, seen: &Observation) {
        let kept = series.column(seen.element)[index];
        let code = seen.element.code();
        let value = format!("{} {:.1} {}", seen.date, seen.value, seen.element.unit());
        let remedy = format!("Line {earlier} gave {kept:.1} {} for the same day; keep one of the two lines.", seen.element.unit());
        self.note(seen.line, Some(code), ProblemKind::DoubleDay, &value, remedy);
    }

    fn remark_on_days(&mut self, kind: RemarkKind, days: &BTreeMap<Date, (u64, u64)>, what: &str) {
        let (Some((from, (earlier, later))), Some((to, _))) = (days.first_key_value(), days.last_key_value()) else {
            return;
        };
        let text = format!("{} day(s) {what}, first {from} (lines {earlier} and {later})", days.len());
        self.remarks.push(Remark { kind, element: None, from: Some(*from), to: Some(*to), count: days.len(), text });
    }

    fn remark_on_order(&mut self) {
        if let Some((line, date)) = self.first_out_of_order {
            let text = format!("the days are not in order ({} time(s), first at line {line}, {date}); they were sorted", self.out_of_order);
            let remark = Remark { kind: RemarkKind::OutOfOrder, element: None, from: Some(date), to: None, count: self.out_of_order, text };
            self.remarks.push(remark);
        }
    }
}

/// Marks both temperatures of a day whose maximum is under its minimum.
fn doubt_crossed_days(series: &mut Series) {
    let doubted = Mark::Suspect { why: Doubt::MaximumUnderMinimum };
    for index in 0..series.len() {
        let (low, high) = (series.tmin_c()[index], series.tmax_c()[index]);
        if high < low {
            for (element, value) in [(Element::MinimumTemperature, low), (Element::MaximumTemperature, high)] {
                if series.marks(element)[index] == Mark::Measured {
                    series.set(element, index, value, doubted);
                }
            }
        }
    }
}

/// Reads a date written `2015-08-14` or `20150814`; the day must exist.
pub(crate) fn civil_date(text: &str) -> Option<Date> {
    let digits: Vec<i16> = match text.as_bytes() {
        [y1, y2, y3, y4, b'-', m1, m2, b'-', d1, d2] | [y1, y2, y3, y4, m1, m2, d1, d2] => [y1, y2, y3, y4, m1, m2, d1, d2]
            .into_iter()
            .map(|byte| byte.is_ascii_digit().then(|| i16::from(byte - b'0')))
            .collect::<Option<_>>()?,
        _ => return None,
    };
    let number = |range: std::ops::Range<usize>| digits[range].iter().fold(0i16, |sum, digit| sum * 10 + digit);
    Date::new(number(0..4), i8::try_from(number(4..6)).ok()?, i8::try_from(number(6..8)).ok()?).ok()
}

/// The remedy for a date that cannot be read.
pub(crate) fn date_remedy() -> String {
    "Write the day as year-month-day, such as 2015-08-14.".to_owned()
}
