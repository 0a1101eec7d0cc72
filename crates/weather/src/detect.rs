//! Which form a weather file has, and reading one whatever its form.

use serde::Serialize;

use crate::column_unit::NamedColumn;
use crate::error::{Problem, ProblemKind, WeatherError, shown};
use crate::ghcn_csv::read_ghcn_csv;
use crate::ghcn_dly::read_ghcn_dly;
use crate::hourly_csv::{TIME_NAMES, read_days};
use crate::lines::numbered_lines;
use crate::plain_csv::read_plain_csv;
use crate::reading::{ReadOptions, Reading};

/// A form of weather file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// GHCN-Daily by station, `.csv`.
    GhcnCsv,
    /// GHCN-Daily, `.dly`.
    GhcnDly,
    /// A table of one's own with units in its header, a line a day.
    PlainCsv,
    /// The same, a line an hour.
    HourlyCsv,
    /// A typical (or single) year of hours in the EPW form.
    Epw,
    /// Readings by hand: rain gauge, minimum and maximum thermometer.
    HandReadings,
}

impl Form {
    /// The form in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Form::GhcnCsv => "GHCN-Daily by station",
            Form::GhcnDly => "GHCN-Daily .dly",
            Form::PlainCsv => "a table of days",
            Form::HourlyCsv => "a table of hours",
            Form::Epw => "a typical year (EPW)",
            Form::HandReadings => "readings by hand",
        }
    }
}

/// Tells the form of a file from its first line, and where that does not settle it from its name.
///
/// # Errors
/// [`WeatherError::BadFile`] when the file is empty, holds bytes that no text has, or is in none of the forms.
///
/// # Example
/// ```
/// use groundlore_weather::detect::{detect, Form};
/// assert_eq!(detect("date,TMAX (degF)\n", "yard.csv")?, Form::PlainCsv);
/// assert_eq!(detect("STATION,DATE,TMAX,TMAX_ATTRIBUTES\n", "x.csv")?, Form::GhcnCsv);
/// assert_eq!(detect("time,TEMP (degF)\n2015-05-01 06:00,61\n", "logger.csv")?, Form::HourlyCsv);
/// assert_eq!(detect("LOCATION,Amber Falls,-,USA\n", "amber.epw")?, Form::Epw);
/// assert_eq!(detect("date,max (degF),min (degF),rain (in)\n", "gauge.csv")?, Form::HandReadings);
/// assert_eq!(detect("XX000000001201502TMIN-9999   \n", "x.dly")?, Form::GhcnDly);
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
pub fn detect(text: &str, file_name: &str) -> Result<Form, WeatherError> {
    let fault = |line: Option<u64>, kind: ProblemKind, value: &str, remedy: &str| {
        let problem = Problem { file: file_name.to_owned(), line, column: None, kind, value: shown(value), remedy: remedy.to_owned() };
        WeatherError::of(problem)
    };
    if text.contains('\0') {
        return Err(fault(
            None,
            ProblemKind::NotText,
            "",
            "It holds zero bytes, as a spreadsheet or a packed file does; save the table as CSV (UTF-8).",
        ));
    }
    let mut lines = numbered_lines(text).filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'));
    let Some((number, first)) = lines.next() else {
        return Err(fault(
            None,
            ProblemKind::Empty,
            "",
            "Give a file with weather in it; the first line of a table is a header such as `date,TMIN (degF),TMAX (degF),PRCP (in)`.",
        ));
    };
    if looks_like_dly(first) {
        return Ok(Form::GhcnDly);
    }
    let header = first.to_ascii_uppercase();
    if header.trim_start().starts_with("LOCATION,") {
        return Ok(Form::Epw);
    }
    if header.contains("_ATTRIBUTES") || header.replace(['"', ' '], "").starts_with("STATION,DATE,LATITUDE,LONGITUDE,ELEVATION") {
        return Ok(Form::GhcnCsv);
    }
    if looks_like_by_year(first) {
        return Err(fault(
            Some(number),
            ProblemKind::UnknownForm,
            first,
            "This is the by-year form of GHCN-Daily, which mixes stations; fetch the by-station `.csv` or the `.dly` of your station.",
        ));
    }
    if first.contains([',', ';', '\t']) {
        return Ok(form_of_table(first, lines.next().map(|(_, line)| line)));
    }
    if file_name.to_ascii_lowercase().ends_with(".dly") {
        return Ok(Form::GhcnDly);
    }
    Err(fault(
        Some(number),
        ProblemKind::UnknownForm,
        first,
        "Read here are GHCN-Daily by station (`.csv`), GHCN-Daily `.dly`, EPW, and CSV with a header such as `date,TMIN (degF),TMAX (degF),PRCP (in)` for days, `time,TEMP (degF),PRCP (in)` for hours, or `date,max (degF),min (degF),rain (in)` for readings by hand.",
    ))
}

/// The form of a table with units in its header: hours where a column tells the time, or where the first day has a time behind it;
/// readings by hand where a column is called as only those are.
fn form_of_table(header: &str, first_line: Option<&str>) -> Form {
    let separator = if header.contains(',') { ',' } else { '\t' };
    let names: Vec<String> = header.split(separator).map(|cell| NamedColumn::of(cell.trim().trim_matches('"')).name).collect();
    if names.iter().any(|name| TIME_NAMES.contains(&name.as_str())) {
        return Form::HourlyCsv;
    }
    let day = names.iter().position(|name| name == "date" || name == "day");
    let first_day = day.zip(first_line).and_then(|(place, line)| line.split(separator).nth(place));
    let has_time = |cell: &str| {
        let cell = cell.trim().trim_matches('"');
        cell.get(10..11).is_some_and(|mark| ["T", "t", " "].contains(&mark)) && cell.get(11..).is_some_and(|rest| rest.contains(':'))
    };
    if first_day.is_some_and(has_time) {
        return Form::HourlyCsv;
    }
    if names.iter().any(|name| HAND_NAMES.contains(&name.as_str())) {
        return Form::HandReadings;
    }
    Form::PlainCsv
}

/// Names that only tables of hand readings have.
const HAND_NAMES: [&str; 10] = ["max", "min", "max_degf", "min_degf", "max_degc", "min_degc", "max_f", "min_f", "gauge", "days"];

fn looks_like_dly(line: &str) -> bool {
    let bytes = line.as_bytes();
    bytes.len() >= 21
        && !bytes[..21].contains(&b',')
        && bytes[11..17].iter().all(u8::is_ascii_digit)
        && bytes[17..21].iter().all(u8::is_ascii_alphanumeric)
}

fn looks_like_by_year(line: &str) -> bool {
    let cells: Vec<&str> = line.split(',').collect();
    cells.len() >= 7
        && cells[0].len() == 11
        && cells[1].len() == 8
        && cells[1].bytes().all(|byte| byte.is_ascii_digit())
        && cells[2].len() == 4
}

/// Reads a station's days from a file in any of the forms that hold a record; hours are gathered to days.
///
/// # Errors
/// As [`detect`] and the reader of the form; [`ProblemKind::NoRecord`] for a typical year and for readings by hand.
pub fn read_text(text: &str, file_name: &str, options: &ReadOptions) -> Result<Reading, WeatherError> {
    match detect(text, file_name)? {
        Form::GhcnCsv => read_ghcn_csv(text, file_name, options),
        Form::GhcnDly => read_ghcn_dly(text, file_name, options),
        Form::PlainCsv => read_plain_csv(text, file_name, options),
        Form::HourlyCsv => read_days(text, file_name, options),
        Form::Epw => Err(no_record(
            file_name,
            "A typical year sets months of different years side by side: it tells of sun, water and chill, and gives no odds. Give a station's daily or hourly record; keep the typical year with `groundlore weather add STATION FILE`.",
        )),
        Form::HandReadings => Err(no_record(
            file_name,
            "These are readings by hand and belong to a yard: `groundlore weather add --yard YARD --read-at 7 FILE` keeps them there. A table of a station's own days has columns such as `TMIN (degF),TMAX (degF)`.",
        )),
    }
}

fn no_record(file_name: &str, remedy: &str) -> WeatherError {
    let (file, remedy) = (file_name.to_owned(), remedy.to_owned());
    WeatherError::of(Problem { file, line: None, column: None, kind: ProblemKind::NoRecord, value: String::new(), remedy })
}

/// Reads a weather file in any of the forms from its bytes, which must be UTF-8 (a byte-order mark is allowed).
///
/// # Errors
/// As [`read_text`], and when the bytes are not UTF-8.
pub fn read_bytes(bytes: &[u8], file_name: &str, options: &ReadOptions) -> Result<Reading, WeatherError> {
    match std::str::from_utf8(bytes) {
        Ok(text) => read_text(text, file_name, options),
        Err(error) => {
            let good = &bytes[..error.valid_up_to()];
            let line = good.iter().filter(|byte| **byte == b'\n').count() as u64 + 1;
            let remedy = match bytes {
                [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => "It is UTF-16, as some spreadsheets save; save it again as CSV (UTF-8).".to_owned(),
                [0x1f, 0x8b, ..] => "It is packed with gzip; unpack it first.".to_owned(),
                _ => format!("Byte {} begins no UTF-8 character; save the table as CSV (UTF-8).", error.valid_up_to() + 1),
            };
            let value = String::new();
            let file = file_name.to_owned();
            Err(WeatherError::of(Problem { file, line: Some(line), column: None, kind: ProblemKind::NotText, value, remedy }))
        }
    }
}
