//! Reads lists that a user keeps in a spreadsheet, saved as CSV. Each wrong cell is named by file, line and column, with the
//! value seen and what would be right. One wrong row refuses the file, unless the user says to skip bad rows: then the good ones
//! are kept and the bad ones listed.

use groundlore_quantity::{Kind, Quantity};
use jiff::civil::Date;

use crate::error::BookError;
use crate::rfc4180;

/// One thing wrong in a sheet.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct RowFault {
    /// The file.
    pub file: String,
    /// The line, from 1.
    pub line: u64,
    /// The column, where one is to blame.
    pub field: Option<String>,
    /// The value seen.
    pub value: Option<String>,
    /// What is wrong.
    pub what: String,
    /// What would be right, with an example.
    pub remedy: String,
}

impl std::fmt::Display for RowFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}, line {}", self.file, self.line)?;
        if let Some(field) = &self.field {
            write!(f, ", column `{field}`")?;
        }
        if let Some(value) = &self.value {
            write!(f, ", value `{value}`")?;
        }
        write!(f, ": {}. {}", self.what, self.remedy)
    }
}

/// Faults, one a line.
pub(crate) fn faults_text(faults: &[RowFault]) -> String {
    faults.iter().map(RowFault::to_string).collect::<Vec<_>>().join("\n")
}

/// What a sheet held.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SheetReading<T> {
    /// The good rows, in order.
    pub rows: Vec<T>,
    /// What was skipped, and why.
    pub skipped: Vec<RowFault>,
}

/// A column that a sheet may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SheetColumn {
    /// Its heading.
    pub name: &'static str,
    /// Must each row fill it?
    pub needed: bool,
}

/// A column that each row must fill.
pub(crate) const fn needed(name: &'static str) -> SheetColumn {
    SheetColumn { name, needed: true }
}

/// A column that may be left out or blank.
pub(crate) const fn may(name: &'static str) -> SheetColumn {
    SheetColumn { name, needed: false }
}

/// One row of a sheet, with its headings.
pub(crate) struct SheetRow<'a> {
    file: &'a str,
    headings: &'a [String],
    line: &'a rfc4180::Line,
}

/// Reads all rows of a sheet with `read_row`.
pub(crate) fn read_rows<T>(
    text: &str,
    file: &str,
    columns: &[SheetColumn],
    skip_bad: bool,
    mut read_row: impl FnMut(&SheetRow<'_>) -> Result<T, Box<RowFault>>,
) -> Result<SheetReading<T>, BookError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut lines =
        rfc4180::read(text).map_err(|fault| whole_file(file, fault.line, fault.what, "Save the sheet again as CSV, UTF-8, with commas"))?;
    lines.retain(|line| line.fields.iter().flatten().any(|field| !field.trim().is_empty()));
    if lines.is_empty() {
        return Err(whole_file(
            file,
            1,
            "the file is empty",
            &format!("Its first line is the headings, for example: {}", heading_line(columns)),
        ));
    }
    let headings = read_headings(&lines.remove(0), file, columns)?;
    let mut reading = SheetReading { rows: Vec::new(), skipped: Vec::new() };
    for line in &lines {
        let row = SheetRow { file, headings: &headings, line };
        match row.demand_all(columns).and_then(|()| read_row(&row)) {
            Ok(good) => reading.rows.push(good),
            Err(fault) => reading.skipped.push(*fault),
        }
    }
    if !skip_bad && !reading.skipped.is_empty() {
        return Err(BookError::Rows(reading.skipped));
    }
    if lines.is_empty() {
        return Err(whole_file(file, 2, "there are headings and no rows", "Write at least one row under the headings"));
    }
    Ok(reading)
}

/// The line of headings for a sheet, for a template to fill in.
///
/// ```
/// let line = groundlore_book::sheet::heading_line(&groundlore_book::rates_sheet::COLUMNS);
/// assert_eq!(line, "item,unit,cost,rule,share,price,valid_from,note");
/// ```
pub fn heading_line(columns: &[SheetColumn]) -> String {
    columns.iter().map(|column| column.name).collect::<Vec<_>>().join(",")
}

fn whole_file(file: &str, line: u64, what: &str, remedy: &str) -> BookError {
    BookError::Rows(vec![RowFault { file: file.into(), line, field: None, value: None, what: what.into(), remedy: remedy.into() }])
}

/// Headings in small letters with `_` for spaces, each known and none twice.
fn read_headings(line: &rfc4180::Line, file: &str, columns: &[SheetColumn]) -> Result<Vec<String>, BookError> {
    let raw: Vec<&str> = line.fields.iter().map(|field| field.as_deref().unwrap_or("").trim()).collect();
    if raw.len() == 1 && (raw[0].contains(';') || raw[0].contains('\t')) {
        return Err(whole_file(file, line.number, "the columns are not parted by commas", "Save the sheet again as CSV with commas"));
    }
    let headings: Vec<String> = raw.iter().map(|heading| heading.to_lowercase().replace([' ', '-'], "_")).collect();
    let fault = |heading: &str, what: &str, remedy: String| {
        let (field, value) = (None, Some(heading.to_string()));
        BookError::Rows(vec![RowFault { file: file.into(), line: line.number, field, value, what: what.into(), remedy }])
    };
    for (place, heading) in headings.iter().enumerate() {
        if !columns.iter().any(|column| column.name == heading) {
            return Err(fault(heading, "no column is called that", format!("Columns are: {}", heading_line(columns))));
        }
        if headings[..place].contains(heading) {
            return Err(fault(heading, "the column is there twice", "Keep one of the two".into()));
        }
    }
    match columns.iter().find(|column| column.needed && !headings.iter().any(|heading| heading == column.name)) {
        Some(column) => Err(fault(column.name, "a needed column is missing", format!("Columns are: {}", heading_line(columns)))),
        None => Ok(headings),
    }
}

impl SheetRow<'_> {
    /// A fault of one cell.
    pub(crate) fn fault(&self, field: &str, what: impl Into<String>, remedy: impl Into<String>) -> Box<RowFault> {
        Box::new(RowFault {
            file: self.file.into(),
            line: self.line.number,
            field: Some(field.into()),
            value: self.cell(field).map(str::to_string),
            what: what.into(),
            remedy: remedy.into(),
        })
    }

    fn demand_all(&self, columns: &[SheetColumn]) -> Result<(), Box<RowFault>> {
        let (has, wants) = (self.line.fields.len(), self.headings.len());
        if has != wants {
            let what = format!("the row has {has} cells under {wants} headings");
            let remedy = "Put text that holds a comma in quotes, and give each row as many cells as there are headings".to_string();
            return Err(Box::new(RowFault { file: self.file.into(), line: self.line.number, field: None, value: None, what, remedy }));
        }
        match columns.iter().find(|column| column.needed && self.cell(column.name).is_none()) {
            Some(column) => Err(self.fault(column.name, "this cell is blank and is needed", "Fill it in")),
            None => Ok(()),
        }
    }

    /// A cell's text, trimmed; blank and `not checked` are `None`.
    pub(crate) fn cell(&self, field: &str) -> Option<&str> {
        let place = self.headings.iter().position(|heading| heading == field)?;
        let text = self.line.fields.get(place)?.as_deref()?.trim();
        (!text.is_empty() && !text.eq_ignore_ascii_case("not checked")).then_some(text)
    }

    /// A cell's text, owned.
    pub(crate) fn text(&self, field: &str) -> Option<String> {
        self.cell(field).map(str::to_string)
    }

    /// A list parted by `;`.
    pub(crate) fn list(&self, field: &str) -> Option<Vec<String>> {
        let parts = self.cell(field)?.split(';').map(|part| part.trim().to_string());
        Some(parts.filter(|part| !part.is_empty()).collect())
    }

    /// A whole number of 0 or more.
    pub(crate) fn whole(&self, field: &str) -> Result<Option<u32>, Box<RowFault>> {
        let Some(text) = self.cell(field) else { return Ok(None) };
        text.parse()
            .map(Some)
            .map_err(|_| self.fault(field, "this is not a whole number of 0 or more", "Write it in digits, for example 12"))
    }

    /// Decimal degrees within ±`limit`.
    pub(crate) fn degrees(&self, field: &str, limit: f64) -> Result<Option<f64>, Box<RowFault>> {
        let Some(text) = self.cell(field) else { return Ok(None) };
        let value = text.parse::<f64>().ok().filter(|value| value.abs() <= limit);
        value.map(Some).ok_or_else(|| {
            let remedy = format!("Write decimal degrees between -{limit} and {limit}, north and east positive, for example 43.05");
            self.fault(field, "this is no place on the earth", remedy)
        })
    }

    /// A date.
    pub(crate) fn date(&self, field: &str) -> Result<Option<Date>, Box<RowFault>> {
        let Some(text) = self.cell(field) else { return Ok(None) };
        let looks_right = text.len() == 10 && text.as_bytes()[4] == b'-';
        let date = text.parse::<Date>().ok().filter(|_| looks_right);
        date.map(Some).ok_or_else(|| self.fault(field, "this is not a day of the calendar", "Write year-month-day, for example 2015-08-14"))
    }

    /// A quantity of a kind.
    pub(crate) fn quantity(&self, field: &str, kind: Kind) -> Result<Option<Quantity>, Box<RowFault>> {
        let Some(text) = self.cell(field) else { return Ok(None) };
        self.as_quantity(field, text, kind).map(Some)
    }

    /// Part of a cell as a quantity of a kind.
    pub(crate) fn as_quantity(&self, field: &str, text: &str, kind: Kind) -> Result<Quantity, Box<RowFault>> {
        let quantity = Quantity::parse_as(text, kind).map_err(|error| {
            self.fault(field, error.to_string(), format!("Write {} with its unit, for example {}", kind.expected(), kind.example()))
        })?;
        if quantity.value.is_finite() {
            Ok(quantity)
        } else {
            Err(self.fault(field, "the number is too large", "Write a number one can measure"))
        }
    }

    /// A word out of a few.
    pub(crate) fn word<T: Copy>(
        &self,
        field: &str,
        from_word: impl Fn(&str) -> Option<T>,
        all: &[&str],
    ) -> Result<Option<T>, Box<RowFault>> {
        let Some(text) = self.cell(field) else { return Ok(None) };
        let word = from_word(&text.to_lowercase());
        word.map(Some).ok_or_else(|| self.fault(field, "the word is not known here", format!("Write one of: {}", all.join(", "))))
    }
}
