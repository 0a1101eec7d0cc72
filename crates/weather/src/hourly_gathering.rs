//! From lines to an hourly series: what the readers of hours share.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::error::{Problem, ProblemKind, WeatherError, shown};
use crate::hourly::{HOUR_S, HourStamp, HourlyElement, HourlySeries};
use crate::remark::{Remark, RemarkKind};
use crate::series::Station;

/// Longest span of a file, in hours: 200 years. A slip in one year must not ask for all the memory there is.
const LONGEST_HOURS: i64 = 200 * 8_766;

/// One line's values.
struct HourRow {
    line: u64,
    moment: Timestamp,
    values: [f64; 6],
}

/// What a reader of hours gathers on its way through a file.
pub(crate) struct HourlyGathering<'a> {
    pub(crate) file: &'a str,
    pub(crate) skip_bad: bool,
    pub(crate) remarks: Vec<Remark>,
    /// The station that the lines name, where they name one.
    pub(crate) station_seen: Option<String>,
    rows: Vec<HourRow>,
    problems: Vec<Problem>,
}

impl<'a> HourlyGathering<'a> {
    pub(crate) fn new(file: &'a str, skip_bad: bool) -> HourlyGathering<'a> {
        HourlyGathering { file, skip_bad, remarks: Vec::new(), station_seen: None, rows: Vec::new(), problems: Vec::new() }
    }

    /// A fault at a place of this file.
    pub(crate) fn fault(&self, line: Option<u64>, column: Option<&str>, kind: ProblemKind, value: &str, remedy: String) -> Problem {
        Problem { file: self.file.to_owned(), line, column: column.map(str::to_owned), kind, value: shown(value), remedy }
    }

    /// Notes a fault that costs a cell or a line.
    pub(crate) fn note(&mut self, line: u64, column: Option<&str>, kind: ProblemKind, value: &str, remedy: impl Into<String>) {
        let problem = self.fault(Some(line), column, kind, value, remedy.into());
        self.problems.push(problem);
    }

    /// An error that ends the reading.
    pub(crate) fn fatal(&self, line: Option<u64>, column: Option<&str>, kind: ProblemKind, value: &str, remedy: String) -> WeatherError {
        WeatherError::of(self.fault(line, column, kind, value, remedy))
    }

    /// Whether a line belongs to the station of the file; one that does not is noted.
    pub(crate) fn same_station(&mut self, line: u64, id: &str) -> bool {
        let Some(seen) = self.station_seen.clone() else {
            self.station_seen = Some(id.to_owned());
            return true;
        };
        if seen != id {
            let remedy = format!("The file began with station `{}`; put each station in a file of its own.", shown(&seen));
            self.note(line, Some("station"), ProblemKind::OtherStation, id, remedy);
        }
        seen == id
    }

    /// A value held against what weather can give; NaN and a note where it cannot be.
    pub(crate) fn possible(&mut self, line: u64, column: &str, written: &str, element: HourlyElement, value: f64) -> f64 {
        let (low, high) = element.possible();
        if (low..=high).contains(&value) {
            return value;
        }
        let remedy = format!(
            "It comes to {value:.1} {}, and {} lies between {low} and {high}; check the value and the column's unit, or leave the cell blank.",
            element.unit(),
            element.name()
        );
        self.note(line, Some(column), ProblemKind::Impossible, written, remedy);
        f64::NAN
    }

    /// Takes one line.
    pub(crate) fn take(&mut self, line: u64, moment: Timestamp, values: [f64; 6]) {
        self.rows.push(HourRow { line, moment, values });
    }

    /// Lays the lines out on whole hours of the zone.
    pub(crate) fn finish(
        mut self,
        station: Station,
        zone: TimeZone,
        stamp: HourStamp,
    ) -> Result<(HourlySeries, Vec<Remark>, Vec<Problem>), WeatherError> {
        let Some(start) = self.rows.first().map(|row| row.moment) else {
            return Err(self.nothing_read());
        };
        // A zone half an hour off whole hours still has whole hours of its own.
        let phase = i64::from(zone.to_offset(start).seconds()).rem_euclid(HOUR_S);
        let hour_of = |moment: Timestamp| (moment.as_second() + phase + HOUR_S / 2).div_euclid(HOUR_S);
        let first = self.rows.iter().map(|row| hour_of(row.moment)).min().unwrap_or(0);
        let last = self.rows.iter().map(|row| hour_of(row.moment)).max().unwrap_or(0);
        if last - first > LONGEST_HOURS {
            let remedy = "The first and the last time lie more than 200 years apart; look for a slip in a year.".to_owned();
            return Err(self.fatal(None, None, ProblemKind::BadTime, "", remedy));
        }
        let hours = usize::try_from(last - first + 1).unwrap_or(1);
        let Ok(begin) = Timestamp::from_second(first * HOUR_S - phase) else {
            return Err(self.nothing_read());
        };
        let mut series = HourlySeries::blank(station, zone, stamp, begin, hours);
        self.remark_on_minutes(phase);
        self.lay_out(&mut series, |moment| usize::try_from(hour_of(moment) - first).unwrap_or(0));
        self.problems.sort_by_key(|problem| problem.line);
        if !self.problems.is_empty() && !self.skip_bad {
            return Err(WeatherError::BadFile { problems: self.problems });
        }
        self.remark_on_gaps(&series);
        Ok((series, self.remarks, self.problems))
    }

    fn nothing_read(mut self) -> WeatherError {
        let remedy = "Give at least one line with a time and a value, such as `2015-08-14 06:00,61`.";
        self.problems.sort_by_key(|problem| problem.line);
        let empty = self.fault(None, None, ProblemKind::NoValues, "", remedy.to_owned());
        self.problems.push(empty);
        WeatherError::BadFile { problems: self.problems }
    }

    /// Writes each line into its hour. The first of two that differ is kept and the second noted.
    fn lay_out(&mut self, series: &mut HourlySeries, place_of: impl Fn(Timestamp) -> usize) {
        let mut seen: BTreeMap<usize, u64> = BTreeMap::new();
        let (mut same, mut backwards) = (0usize, 0usize);
        let mut before: Option<Timestamp> = None;
        for row in std::mem::take(&mut self.rows) {
            backwards += usize::from(before.is_some_and(|before| row.moment < before));
            before = Some(row.moment);
            let place = place_of(row.moment);
            let Some(earlier) = seen.get(&place).copied() else {
                seen.insert(place, row.line);
                for (element, value) in HourlyElement::ALL.into_iter().zip(row.values) {
                    series.set(element, place, value);
                }
                continue;
            };
            let alike = |(element, value): (HourlyElement, f64)| {
                let kept = series.column(element)[place];
                kept == value || (kept.is_nan() && value.is_nan())
            };
            if HourlyElement::ALL.into_iter().zip(row.values).all(alike) {
                same += 1;
                continue;
            }
            let remedy = format!("Line {earlier} gave the same hour (times are taken to the nearest hour); keep one reading an hour.");
            let written = series.zone.to_datetime(row.moment).to_string();
            self.note(row.line, Some("time"), ProblemKind::DoubleHour, &written, remedy);
        }
        if same > 0 {
            let text = format!("{same} hour(s) given twice with the same values; one was kept");
            self.remarks.push(Remark::on_file(RemarkKind::SameDayTwice, same, text));
        }
        if backwards > 0 {
            let text = format!("the hours are not in order ({backwards} time(s)); they were sorted");
            self.remarks.push(Remark::on_file(RemarkKind::OutOfOrder, backwards, text));
        }
    }

    fn remark_on_minutes(&mut self, phase: i64) {
        let off = |row: &&HourRow| (row.moment.as_second() + phase).rem_euclid(HOUR_S) != 0;
        let count = self.rows.iter().filter(off).count();
        if let Some(first) = self.rows.iter().find(off) {
            let text = format!("{count} time(s) are not whole hours and were taken for the nearest, first line {}", first.line);
            self.remarks.push(Remark::on_file(RemarkKind::RoundedTimes, count, text));
        }
    }

    fn remark_on_gaps(&mut self, series: &HourlySeries) {
        let bare = |index: &usize| HourlyElement::ALL.iter().all(|element| series.column(*element)[*index].is_nan());
        let missing: Vec<usize> = (0..series.len()).filter(bare).collect();
        if let (Some(first), Some(last)) = (missing.first(), missing.last()) {
            let text = format!(
                "{} of {} hours are missing, first {}",
                missing.len(),
                series.len(),
                series.zone.to_datetime(series.moment(*first))
            );
            let (from, to) = (Some(series.day_of(*first)), Some(series.day_of(*last)));
            self.remarks.push(Remark { kind: RemarkKind::Gap, element: None, from, to, count: missing.len(), text });
        }
    }
}
