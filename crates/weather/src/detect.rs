//! Which form a weather file has, and reading one whatever its form.

use serde::Serialize;

use crate::error::{Problem, ProblemKind, WeatherError, shown};
use crate::ghcn_csv::read_ghcn_csv;
use crate::ghcn_dly::read_ghcn_dly;
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
    /// A table of one's own with units in its header.
    PlainCsv,
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
        return Ok(Form::PlainCsv);
    }
    if file_name.to_ascii_lowercase().ends_with(".dly") {
        return Ok(Form::GhcnDly);
    }
    Err(fault(
        Some(number),
        ProblemKind::UnknownForm,
        first,
        "Read here are GHCN-Daily by station (`.csv`), GHCN-Daily `.dly`, and plain CSV with a header such as `date,TMIN (degF),TMAX (degF),PRCP (in)`.",
    ))
}

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

/// Reads a weather file in any of the forms.
///
/// # Errors
/// As [`detect`] and the reader of the form.
pub fn read_text(text: &str, file_name: &str, options: &ReadOptions) -> Result<Reading, WeatherError> {
    match detect(text, file_name)? {
        Form::GhcnCsv => read_ghcn_csv(text, file_name, options),
        Form::GhcnDly => read_ghcn_dly(text, file_name, options),
        Form::PlainCsv => read_plain_csv(text, file_name, options),
    }
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
