//! GHCN-Daily by station, `.csv`: a line a day, a pair of columns for each element.
//!
//! The header is `STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME` and then `TMAX,TMAX_ATTRIBUTES` and so on. Temperatures are tenths
//! of °C, precipitation is tenths of mm, snow and snow depth are mm, all whole numbers. The attributes are
//! `measurement,quality,source[,time]`: a quality flag makes the value suspect.
//!
//! # Source
//! NOAA National Centers for Environmental Information, readme of GHCN-Daily (memory; the layout is also in the project's brief).

use std::borrow::Cow;

use crate::error::{ProblemKind, WeatherError};
use crate::lines::{cells, numbered_lines};
use crate::reading::{Cell, Gathering, ReadOptions, Reading, civil_date, date_remedy};
use crate::remark::{Remark, RemarkKind};
use crate::series::{Doubt, Element, Mark, Series, Station};

/// What one unit of a GHCN-Daily value is in the column's unit: tenths for temperature and precipitation.
pub(crate) fn ghcn_value(element: Element, whole: i32) -> f64 {
    match element {
        Element::Snowfall | Element::SnowDepth => f64::from(whole),
        // Division, not multiplication by 0.1: -139 tenths are exactly the number that `-13.9` reads as.
        _ => f64::from(whole) / 10.0,
    }
}

/// The unit of a GHCN-Daily value in words.
pub(crate) fn ghcn_unit(element: Element) -> &'static str {
    match element {
        Element::MinimumTemperature | Element::MaximumTemperature => "tenths of °C",
        Element::Precipitation => "tenths of mm",
        Element::Snowfall | Element::SnowDepth => "mm",
    }
}

/// The mark that a measurement flag and a quality flag give.
pub(crate) fn ghcn_mark(measurement: char, quality: char) -> Mark {
    match (measurement, quality) {
        ('P', ' ') => Mark::Suspect { why: Doubt::PresumedZero },
        (_, ' ') => Mark::Measured,
        (_, flag) => Mark::Suspect { why: Doubt::QualityFlag(flag) },
    }
}

/// Whether temperatures of a station were read in whole °F: those of the United States, whose identifiers begin with `US`.
pub(crate) fn reads_fahrenheit(id: &str) -> bool {
    id.starts_with("US")
}

/// Reads a station's `.csv` of GHCN-Daily.
///
/// # Errors
/// [`WeatherError::BadFile`] with every fault found: line, column, value and remedy. With [`ReadOptions::skip_bad`] only faults that
/// spoil the whole file are errors, and the rest is listed in [`Reading::skipped`].
///
/// # Example
/// ```
/// use groundlore_weather::{read_ghcn_csv, ReadOptions};
/// use groundlore_weather::series::{Doubt, Element, Mark};
/// use jiff::civil::date;
///
/// let text = "STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES\n\
///     XX000000001,2015-08-14,42.9,-87.9,204.2,\"HOLLOW MILL, XX\",283,\",,W\",161,\",,W\"\n\
///     XX000000001,2015-08-15,42.9,-87.9,204.2,\"HOLLOW MILL, XX\",494,\",S,W\",172,\",,W\"\n";
/// let reading = read_ghcn_csv(text, "XX000000001.csv", &ReadOptions::default())?;
/// assert_eq!(reading.series.value(Element::MaximumTemperature, date(2015, 8, 14)), Some(28.3));
/// let mark = reading.series.mark(Element::MaximumTemperature, date(2015, 8, 15));
/// assert_eq!(mark, Mark::Suspect { why: Doubt::QualityFlag('S') });
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
pub fn read_ghcn_csv(text: &str, file_name: &str, options: &ReadOptions) -> Result<Reading, WeatherError> {
    let mut gathering = Gathering::new(file_name, options, true);
    let mut lines = numbered_lines(text).filter(|(_, line)| !line.trim().is_empty());
    let Some((number, header)) = lines.next() else {
        let remedy = "Give the station's file as it comes from the archive, with its header line.".to_owned();
        return Err(gathering.fatal(None, None, ProblemKind::Empty, "", remedy));
    };
    let layout = Layout::of_header(&mut gathering, number, header)?;
    let mut station = None;
    for (number, line) in lines {
        let Ok(row) = cells(line) else {
            let remedy = "Close the quote, as in `\"HOLLOW MILL, XX\"`.".to_owned();
            gathering.note(number, None, ProblemKind::OpenQuote, line, remedy);
            continue;
        };
        if layout.take_row(&mut gathering, number, &row) && station.is_none() {
            station = Some(layout.station(&row));
        }
    }
    let station = station.unwrap_or_default();
    let whole = options.whole_fahrenheit.unwrap_or_else(|| reads_fahrenheit(&station.id));
    let mut reading = gathering.finish(station, whole)?;
    reading.remarks.extend(looks_like_fahrenheit(&reading.series));
    Ok(reading)
}

/// A remark when the maxima would fit °F: the archive's order forms can also give whole °F, under the same header.
fn looks_like_fahrenheit(series: &Series) -> Option<Remark> {
    let maxima: Vec<f64> = series.trusted(Element::MaximumTemperature).into_iter().filter(|value| !value.is_nan()).collect();
    // 130 °F misread as tenths is 13 °C; a place that is never warmer, nor ever colder than -6 °C, is rare.
    if maxima.len() < 100 || maxima.iter().any(|value| !(-6.0..=13.0).contains(value)) {
        return None;
    }
    let text = "no maximum is above 13 °C: if this file is in whole °F and not in tenths of °C, read it as plain CSV with units in its header, such as `TMAX (degF)`";
    Some(Remark::on_file(RemarkKind::LooksLikeFahrenheit, maxima.len(), text.to_owned()))
}

/// Where the columns are.
struct Layout {
    width: usize,
    station: usize,
    date: usize,
    latitude: Option<usize>,
    longitude: Option<usize>,
    elevation: Option<usize>,
    name: Option<usize>,
    elements: Vec<ElementColumn>,
}

struct ElementColumn {
    element: Element,
    value: usize,
    attributes: Option<usize>,
}

impl Layout {
    fn of_header(gathering: &mut Gathering<'_>, number: u64, header: &str) -> Result<Layout, WeatherError> {
        let Ok(names) = cells(header) else {
            let remedy = "Close the quote in the header.".to_owned();
            return Err(gathering.fatal(Some(number), None, ProblemKind::OpenQuote, header, remedy));
        };
        let place = |name: &str| names.iter().position(|cell| cell.eq_ignore_ascii_case(name));
        let need = |name: &str| {
            place(name).ok_or_else(|| {
                let remedy = format!(
                    "A station's file begins with `STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME`; there is no `{name}`. A table of your own is read as plain CSV: name its columns `date`, `TMIN (degF)` and so on."
                );
                gathering.fatal(Some(number), Some(name), ProblemKind::MissingColumn, header, remedy)
            })
        };
        let (station, date) = (need("STATION")?, need("DATE")?);
        let mut elements = Vec::new();
        for element in Element::ALL {
            let code = element.code();
            if names.iter().filter(|cell| cell.eq_ignore_ascii_case(code)).count() > 1 {
                let remedy = format!("Leave one column `{code}`.");
                return Err(gathering.fatal(Some(number), Some(code), ProblemKind::DoubleColumn, header, remedy));
            }
            if let Some(value) = place(code) {
                elements.push(ElementColumn { element, value, attributes: place(&format!("{code}_ATTRIBUTES")) });
            }
        }
        if elements.is_empty() {
            let remedy = "Give at least one of TMAX, TMIN, PRCP, SNOW, SNWD.".to_owned();
            return Err(gathering.fatal(Some(number), None, ProblemKind::MissingColumn, header, remedy));
        }
        let layout = Layout {
            width: names.len(),
            station,
            date,
            latitude: place("LATITUDE"),
            longitude: place("LONGITUDE"),
            elevation: place("ELEVATION"),
            name: place("NAME"),
            elements,
        };
        layout.remark_on_flags(gathering);
        Ok(layout)
    }

    fn remark_on_flags(&self, gathering: &mut Gathering<'_>) {
        let bare: Vec<&str> =
            self.elements.iter().filter(|column| column.attributes.is_none()).map(|column| column.element.code()).collect();
        if !bare.is_empty() {
            let text = format!("{}: no attributes column, so no quality flags", bare.join(", "));
            gathering.remarks.push(Remark::on_file(RemarkKind::NoFlags, bare.len(), text));
        }
    }

    /// Takes the values of one line; whether the line could be used.
    fn take_row(&self, gathering: &mut Gathering<'_>, number: u64, row: &[Cow<'_, str>]) -> bool {
        if row.len() != self.width {
            let (kind, what) = if row.len() < self.width { (ProblemKind::ShortLine, "fewer") } else { (ProblemKind::LongLine, "more") };
            let remedy = format!(
                "The header has {} columns and this line {what}: {}. Fetch the file again, or write the line in full.",
                self.width,
                row.len()
            );
            gathering.note(number, None, kind, &row.join(","), remedy);
            return false;
        }
        if !gathering.same_station(number, "STATION", &row[self.station]) {
            return false;
        }
        let Some(date) = civil_date(&row[self.date]) else {
            gathering.note(number, Some("DATE"), ProblemKind::BadDate, &row[self.date], date_remedy());
            return false;
        };
        if !gathering.usable_date(number, "DATE", date) {
            return false;
        }
        if let Some(first) = self.elements.first() {
            gathering.follow(number, date, first.element);
        }
        for column in &self.elements {
            column.take(gathering, number, date, row);
        }
        true
    }

    fn station(&self, row: &[Cow<'_, str>]) -> Station {
        let number = |place: Option<usize>| place.and_then(|place| row[place].parse::<f64>().ok()).filter(|value| value.is_finite());
        Station {
            id: row[self.station].to_string(),
            name: self.name.map(|place| row[place].to_string()).unwrap_or_default(),
            latitude: number(self.latitude).filter(|degrees| degrees.abs() <= 90.0),
            longitude: number(self.longitude).filter(|degrees| degrees.abs() <= 180.0),
            // The archive writes -999.9 where the height is not known.
            elevation_m: number(self.elevation).filter(|metres| *metres > -999.0),
        }
    }
}

impl ElementColumn {
    fn take(&self, gathering: &mut Gathering<'_>, number: u64, date: jiff::civil::Date, row: &[Cow<'_, str>]) {
        let (code, cell) = (self.element.code(), &row[self.value]);
        if cell.is_empty() || cell == "-9999" {
            return;
        }
        let Ok(whole) = cell.parse::<i32>() else {
            let remedy = format!(
                "{code} is a whole number of {}, such as 283, or blank. A file in other units is read as plain CSV with the unit in its header, such as `{code} ({})`.",
                ghcn_unit(self.element),
                self.element.unit()
            );
            gathering.note(number, Some(code), ProblemKind::BadNumber, cell, remedy);
            return;
        };
        let attributes = self.attributes.map_or("", |place| &row[place]);
        let Some(mark) = mark_of_attributes(attributes) else {
            let remedy = "The attributes are `measurement,quality,source`, each one letter or blank, such as `,,W`.".to_owned();
            gathering.note(number, Some(&format!("{code}_ATTRIBUTES")), ProblemKind::BadFlag, attributes, remedy);
            return;
        };
        let value = ghcn_value(self.element, whole);
        let place = Cell { line: number, column: code, written: cell, unit: ghcn_unit(self.element) };
        gathering.take(&place, date, self.element, value, mark);
    }
}

/// The mark of an attributes cell; `None` when a flag is more than one letter.
fn mark_of_attributes(cell: &str) -> Option<Mark> {
    let mut flags = cell.split(',').map(str::trim);
    let mut flag = || {
        let text = flags.next().unwrap_or("");
        let mut letters = text.chars();
        match (letters.next(), letters.next()) {
            (None, _) => Some(' '),
            (Some(letter), None) => Some(letter),
            _ => None,
        }
    };
    let (measurement, quality) = (flag()?, flag()?);
    Some(ghcn_mark(measurement, quality))
}
