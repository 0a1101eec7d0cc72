//! What can go wrong, said so that it can be put right.

use std::fmt;

use jiff::civil::Date;
use serde::Serialize;

use crate::series::Element;

/// What kind of fault a file has at one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ProblemKind {
    /// The file holds nothing.
    Empty,
    /// The file is not UTF-8 text.
    NotText,
    /// The file is in none of the forms that are read.
    UnknownForm,
    /// The cells are not parted by commas.
    WrongSeparator,
    /// The first line names no column that is known.
    NoHeader,
    /// A column that is needed is not there.
    MissingColumn,
    /// Two columns give the same thing.
    DoubleColumn,
    /// A column does not say its unit.
    UnitMissing,
    /// A column's unit is unknown or of the wrong kind.
    UnitWrong,
    /// A line has fewer cells or characters than it should.
    ShortLine,
    /// A line has more cells than the header.
    LongLine,
    /// A quote is opened and not closed on its line.
    OpenQuote,
    /// A date cannot be read or does not exist.
    BadDate,
    /// A time of day cannot be read, does not exist, or has no zone.
    BadTime,
    /// A time that the clock jumped over when it was put forward.
    SkippedTime,
    /// An hour is given twice with different values.
    DoubleHour,
    /// A line of the file's head is missing or cannot be read.
    BadHead,
    /// A date lies after today.
    FutureDate,
    /// A value is not a number.
    BadNumber,
    /// A value that weather cannot give.
    Impossible,
    /// A flag field that cannot be read.
    BadFlag,
    /// A day is given twice with different values.
    DoubleDay,
    /// A line belongs to another station.
    OtherStation,
    /// No value at all could be read.
    NoValues,
    /// The file tells of weather but is no record of a station's days.
    NoRecord,
}

impl ProblemKind {
    /// The fault in words, to stand before the value seen.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            ProblemKind::Empty => "the file is empty",
            ProblemKind::NotText => "the file is not UTF-8 text",
            ProblemKind::UnknownForm => "this is no form of weather file that is known here",
            ProblemKind::WrongSeparator => "the cells are not parted by commas",
            ProblemKind::NoHeader => "the first line names no column that is known here",
            ProblemKind::MissingColumn => "a column is missing",
            ProblemKind::DoubleColumn => "two columns give the same thing",
            ProblemKind::UnitMissing => "the column does not say its unit",
            ProblemKind::UnitWrong => "the column's unit cannot be used",
            ProblemKind::ShortLine => "the line is cut short",
            ProblemKind::LongLine => "the line has more cells than the header",
            ProblemKind::OpenQuote => "a quote is opened and not closed",
            ProblemKind::BadDate => "this is not a date",
            ProblemKind::BadTime => "this is not a time",
            ProblemKind::SkippedTime => "the clock jumped over this time",
            ProblemKind::DoubleHour => "the hour is given twice with different values",
            ProblemKind::BadHead => "the head of the file is not as it should be",
            ProblemKind::FutureDate => "this day has not come yet",
            ProblemKind::BadNumber => "this is not a number",
            ProblemKind::Impossible => "no weather gives this value",
            ProblemKind::BadFlag => "the flags cannot be read",
            ProblemKind::DoubleDay => "the day is given twice with different values",
            ProblemKind::OtherStation => "the line belongs to another station",
            ProblemKind::NoValues => "no value could be read",
            ProblemKind::NoRecord => "this is no record of a station's days",
        }
    }
}

/// One fault in a file: where, what was seen, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// The file's name as the caller gave it.
    pub file: String,
    /// The line, counted from 1; `None` when the fault is of the whole file.
    pub line: Option<u64>,
    /// The column's name or the span of characters.
    pub column: Option<String>,
    /// What is wrong.
    pub kind: ProblemKind,
    /// What stands there, shortened when long.
    pub value: String,
    /// What to do about it, with an example.
    pub remedy: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}", self.file)?;
        if let Some(line) = self.line {
            write!(formatter, ", line {line}")?;
        }
        if let Some(column) = &self.column {
            write!(formatter, ", column {column}")?;
        }
        write!(formatter, ": {}", self.kind.words())?;
        if !self.value.is_empty() {
            write!(formatter, ": `{}`", self.value)?;
        }
        write!(formatter, ". {}", self.remedy)
    }
}

/// The text of a cell, fit to be shown in one line: control characters dropped, at most 60 characters.
pub(crate) fn shown(text: &str) -> String {
    let mut short: String = text.chars().filter(|letter| !letter.is_control()).take(60).collect();
    if text.chars().nth(60).is_some() {
        short.push('…');
    }
    short
}

/// What can go wrong in this crate.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
pub enum WeatherError {
    /// A file could not be read; each fault is listed.
    #[error("{}", list_problems(.problems))]
    BadFile {
        /// The faults, in the order of the file.
        problems: Vec<Problem>,
    },
    /// A series without a day.
    #[error("the weather series holds no day; read a file with at least one dated value")]
    EmptySeries,
    /// Columns of different lengths.
    #[error("the column {} has {days} days where the others have {expected}; give every column the same days, NaN where missing", .element.code())]
    UnevenColumns {
        /// The column that differs.
        element: Element,
        /// Its length.
        days: usize,
        /// The length of the longest.
        expected: usize,
    },
    /// The series stops too long before the date that is asked about.
    #[error(
        "the weather of {station} ends on {last_day}, {missing_days} days before {on}; at most {allowed_days} may be missing: add the days up to {on}, or ask about a date no later than {last_day}"
    )]
    SeriesEndsEarly {
        /// The station's name or id.
        station: String,
        /// Last day of the series.
        last_day: Date,
        /// The date asked about.
        on: Date,
        /// Days between them without weather.
        missing_days: i32,
        /// How many may be missing.
        allowed_days: usize,
    },
    /// The date lies outside the series.
    #[error("{date} lies outside the weather of {station}, which runs from {first_day} to {last_day}")]
    OutsideSeries {
        /// The station's name or id.
        station: String,
        /// The date asked about.
        date: Date,
        /// First day of the series.
        first_day: Date,
        /// Last day of the series.
        last_day: Date,
    },
    /// No past year can stand in for the days to come.
    #[error(
        "no past year of {station} can stand in for the 12 months from {on}: the series begins on {first_day} and {left_out} year(s) have too many gaps; a year of daily maxima and minima before {on} is the least that is needed"
    )]
    NoPastYear {
        /// The station's name or id.
        station: String,
        /// The date asked about.
        on: Date,
        /// First day of the series.
        first_day: Date,
        /// Years that were left out for gaps.
        left_out: usize,
    },
    /// A degree-day model that means nothing.
    #[error("this degree-day model cannot be used: {why}")]
    BadModel {
        /// What is wrong and what would be right.
        why: String,
    },
    /// A month and day that do not exist.
    #[error("month {month}, day {day} is no day of the year; give a start such as month 3, day 1")]
    BadStart {
        /// The month seen.
        month: i8,
        /// The day seen.
        day: i8,
    },
}

impl WeatherError {
    /// A file error of one fault.
    pub(crate) fn of(problem: Problem) -> WeatherError {
        WeatherError::BadFile { problems: vec![problem] }
    }

    /// The faults of a file, empty for other errors.
    #[must_use]
    pub fn problems(&self) -> &[Problem] {
        match self {
            WeatherError::BadFile { problems } => problems,
            _ => &[],
        }
    }
}

fn list_problems(problems: &[Problem]) -> String {
    const SHOWN: usize = 10;
    let mut text = problems.iter().take(SHOWN).map(ToString::to_string).collect::<Vec<_>>().join("\n");
    if problems.len() > SHOWN {
        text.push_str(&format!("\nand {} more like these", problems.len() - SHOWN));
    }
    text
}
