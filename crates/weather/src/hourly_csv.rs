//! Hours from plain CSV: a line an hour, with the unit in the name of each column.
//!
//! `time,TEMP (degF),DEWPOINT (degF),WIND (mph),PRCP (in),SOLAR (W/m2)`. Names are read without regard to case; the unit stands in round
//! or square brackets and is read by `groundlore-quantity` (knots as `kt` too, and Wh/m² over an hour as W/m²). Blank, `NA`, `N/A`,
//! `NaN`, `null`, `M` and `-9999` are missing; `T` is a trace of rain and counts as 0. Lines that begin with `#` are passed over.
//!
//! The column `time` may stand beside a column `date`: then each line's day comes from the one and its hour from the other. A column `date`
//! alone may hold both. A column `station` must name one station throughout.
//!
//! A time is either RFC 3339, `2015-08-14T06:00:00-05:00` or `2015-08-14T11:00Z`, or `2015-08-14 06:00` on the clock of the zone that the
//! caller names. Where that clock is put back, the hour that comes twice is taken first as the earlier and then as the later; a time that
//! the clock jumped over is a fault, for there was none.

use std::borrow::Cow;
use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};
use serde::Serialize;

use crate::check::check;
use crate::column_unit::{LinearUnit, NamedColumn, says_nothing};
use crate::error::{Problem, ProblemKind, WeatherError, shown};
use crate::hourly::{DailyRules, DailyWeather, HOUR_S, HourStamp, HourlyElement, HourlySeries};
use crate::hourly_gathering::HourlyGathering;
use crate::lines::{cells, numbered_lines};
use crate::reading::{ReadOptions, Reading, civil_date};
use crate::remark::{Remark, RemarkKind};
use crate::series::{Element, Station};

/// Names by which a column may be called, in lower case with `_` for blanks.
const NAMES: [(&str, HourlyElement); 34] = [
    ("temp", HourlyElement::Temperature),
    ("temperature", HourlyElement::Temperature),
    ("air_temperature", HourlyElement::Temperature),
    ("air_temp", HourlyElement::Temperature),
    ("tair", HourlyElement::Temperature),
    ("dry_bulb", HourlyElement::Temperature),
    ("dewpoint", HourlyElement::Dewpoint),
    ("dew_point", HourlyElement::Dewpoint),
    ("dew_point_temperature", HourlyElement::Dewpoint),
    ("dewpoint_temperature", HourlyElement::Dewpoint),
    ("dewp", HourlyElement::Dewpoint),
    ("rh", HourlyElement::RelativeHumidity),
    ("relative_humidity", HourlyElement::RelativeHumidity),
    ("humidity", HourlyElement::RelativeHumidity),
    ("wind", HourlyElement::Wind),
    ("wind_speed", HourlyElement::Wind),
    ("windspeed", HourlyElement::Wind),
    ("wspd", HourlyElement::Wind),
    ("prcp", HourlyElement::Precipitation),
    ("precip", HourlyElement::Precipitation),
    ("precipitation", HourlyElement::Precipitation),
    ("rain", HourlyElement::Precipitation),
    ("rainfall", HourlyElement::Precipitation),
    ("solar", HourlyElement::SolarRadiation),
    ("solar_radiation", HourlyElement::SolarRadiation),
    ("radiation", HourlyElement::SolarRadiation),
    ("srad", HourlyElement::SolarRadiation),
    ("ghi", HourlyElement::SolarRadiation),
    ("global_radiation", HourlyElement::SolarRadiation),
    // As the national service heads its hourly tables.
    ("hourlydrybulbtemperature", HourlyElement::Temperature),
    ("hourlydewpointtemperature", HourlyElement::Dewpoint),
    ("hourlyrelativehumidity", HourlyElement::RelativeHumidity),
    ("hourlywindspeed", HourlyElement::Wind),
    ("hourlyprecipitation", HourlyElement::Precipitation),
];

pub(crate) const TIME_NAMES: [&str; 6] = ["time", "datetime", "date_time", "timestamp", "valid", "utc"];
const HEADER: &str = "Begin with a header such as `time,TEMP (degF),DEWPOINT (degF),WIND (mph),PRCP (in)`.";
const TIME_REMEDY: &str = "Write the time as 2015-08-14 06:00 on the zone's clock, or with its offset as 2015-08-14T06:00:00-05:00.";

/// What the reader of hours may be told.
#[derive(Debug, Clone, Default)]
pub struct HourlyOptions {
    /// The zone whose clock and days are meant. Without it every time needs its offset, and the offset of the first makes the days.
    pub zone: Option<TimeZone>,
    /// Whether each time begins or ends its hour.
    pub stamp: HourStamp,
    /// Leave bad cells and lines out, list them in [`HourlyReading::skipped`], and keep the rest.
    pub skip_bad: bool,
    /// Times after this one are refused.
    pub now: Option<Timestamp>,
    /// Station details.
    pub station: Option<Station>,
}

/// What a file of hours gave.
#[derive(Debug, Clone, Serialize)]
pub struct HourlyReading {
    /// The weather by hours.
    pub series: HourlySeries,
    /// What its user should know: order, doubles, gaps, rounded times, clock changes.
    pub remarks: Vec<Remark>,
    /// Cells and lines that were left out, with why. Empty unless [`HourlyOptions::skip_bad`] was set.
    pub skipped: Vec<Problem>,
}

/// Reads a table of hours with a time column and at least one column of weather whose unit is named.
///
/// # Errors
/// [`WeatherError::BadFile`] with every fault found: line, column, value and remedy. With [`HourlyOptions::skip_bad`] only faults that
/// spoil the whole file are errors.
///
/// # Example
/// ```
/// use groundlore_weather::hourly::HourlyElement;
/// use groundlore_weather::hourly_csv::{HourlyOptions, read_hourly_csv};
/// use jiff::tz::TimeZone;
///
/// // The night the clock is put back: one o'clock comes twice, and is two hours.
/// let text = "time,TEMP (degF)\n2015-11-01 00:00,50\n2015-11-01 01:00,48\n2015-11-01 01:00,47\n2015-11-01 02:00,46\n";
/// let options = HourlyOptions { zone: Some(TimeZone::get("America/Chicago")?), ..HourlyOptions::default() };
/// let reading = read_hourly_csv(text, "yard.csv", &options)?;
/// assert_eq!(reading.series.len(), 4);
/// assert_eq!(reading.series.value(HourlyElement::Temperature, "2015-11-01T06:00Z".parse()?), Some((48.0 - 32.0) * 5.0 / 9.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn read_hourly_csv(text: &str, file_name: &str, options: &HourlyOptions) -> Result<HourlyReading, WeatherError> {
    let mut gathering = HourlyGathering::new(file_name, options.skip_bad);
    let mut lines = numbered_lines(text).filter(|(_, line)| !line.trim().is_empty() && !line.trim_start().starts_with('#'));
    let Some((number, header)) = lines.next() else {
        return Err(gathering.fatal(None, None, ProblemKind::Empty, "", HEADER.to_owned()));
    };
    let table = HourTable::of_header(&mut gathering, number, header)?;
    let mut clock = Clock::new(options);
    for (number, line) in lines {
        match cells(line) {
            Ok(row) => table.take_row(&mut gathering, &mut clock, number, &row),
            Err(_) => gathering.note(number, None, ProblemKind::OpenQuote, line, "Close the quote on the line it was opened on."),
        }
    }
    gathering.remarks.extend(clock.remarks());
    let zone = clock.zone();
    let mut station = options.station.clone().unwrap_or_default();
    if let Some(id) = gathering.station_seen.clone() {
        station.id = id;
    }
    let (series, remarks, skipped) = gathering.finish(station, zone, options.stamp)?;
    Ok(HourlyReading { series, remarks, skipped })
}

/// The days of a table of hours, gathered by the usual [`DailyRules`], with the remarks on both and a look over the days.
///
/// # Errors
/// As [`read_hourly_csv`].
///
/// # Example
/// ```
/// use groundlore_weather::hourly_csv::read_days;
/// use groundlore_weather::ReadOptions;
///
/// let mut text = String::from("date,time,TEMP (degF)\n");
/// for hour in 0..24 {
///     text += &format!("2015-05-01,{hour:02}:00,{}\n", 50 + hour % 12);
/// }
/// let options = ReadOptions { zone: Some(jiff::tz::TimeZone::get("America/Chicago")?), ..ReadOptions::default() };
/// let series = read_days(&text, "yard.csv", &options)?.series;
/// assert_eq!((series.len(), series.tmin_c()[0]), (1, 10.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn read_days(text: &str, file_name: &str, options: &ReadOptions) -> Result<Reading, WeatherError> {
    let (hours, days) = read_hours_and_days(text, file_name, options)?;
    let mut remarks = hours.remarks;
    remarks.extend(days.remarks);
    remarks.extend(check(&days.series));
    Ok(Reading { series: days.series, remarks, skipped: hours.skipped })
}

/// The hours of a table and the days made of them.
///
/// # Errors
/// As [`read_hourly_csv`].
pub fn read_hours_and_days(text: &str, file_name: &str, options: &ReadOptions) -> Result<(HourlyReading, DailyWeather), WeatherError> {
    // The day that is today ends at midnight of the zone; without a zone, at the last midnight on earth.
    let zone = options.zone.clone().unwrap_or_else(|| TimeZone::fixed(Offset::constant(-12)));
    let midnight = options.today.and_then(|today| today.tomorrow().ok()?.at(0, 0, 0, 0).to_zoned_datetime(zone).ok());
    let now = midnight.map(|midnight| midnight.timestamp());
    let how = HourlyOptions {
        zone: options.zone.clone(),
        stamp: options.stamp,
        skip_bad: options.skip_bad,
        now,
        station: options.station.clone(),
    };
    let hours = read_hourly_csv(text, file_name, &how)?;
    let mut days = hours.series.to_daily(DailyRules::default())?;
    days.series.whole_fahrenheit = options.whole_fahrenheit.unwrap_or(false);
    if HOURLY_DAILY.iter().all(|element| days.series.column(*element).iter().all(|value| value.is_nan())) {
        let remedy =
            "No day has enough hours of temperature (all but three) or of rain (all) to give a daily value; add the missing hours.";
        let file = file_name.to_owned();
        let kind = ProblemKind::NoValues;
        return Err(WeatherError::of(Problem { file, line: None, column: None, kind, value: String::new(), remedy: remedy.to_owned() }));
    }
    Ok((hours, days))
}

/// What hours give of a day.
const HOURLY_DAILY: [Element; 3] = [Element::MinimumTemperature, Element::MaximumTemperature, Element::Precipitation];

/// Where the columns are and how their numbers become SI.
struct HourTable {
    width: usize,
    /// The column of the time, or of the day and the time together.
    time: usize,
    /// The column of the day, where it stands by itself.
    day: Option<usize>,
    station: Option<usize>,
    measures: Vec<HourMeasure>,
}

/// One column of weather.
struct HourMeasure {
    element: HourlyElement,
    place: usize,
    name: String,
    unit: String,
    line: LinearUnit,
}

/// Two units to show for an element.
fn example_units(element: HourlyElement) -> (&'static str, &'static str) {
    match element {
        HourlyElement::Temperature | HourlyElement::Dewpoint => ("degF", "degC"),
        HourlyElement::RelativeHumidity => ("%", "percent"),
        HourlyElement::Wind => ("mph", "m/s"),
        HourlyElement::Precipitation => ("in", "mm"),
        HourlyElement::SolarRadiation => ("W/m2", "MJ/m2/h"),
    }
}

impl HourTable {
    fn of_header(gathering: &mut HourlyGathering<'_>, number: u64, header: &str) -> Result<HourTable, WeatherError> {
        let Ok(names) = cells(header) else {
            let remedy = "Close the quote in the header.".to_owned();
            return Err(gathering.fatal(Some(number), None, ProblemKind::OpenQuote, header, remedy));
        };
        if names.len() == 1 && header.contains([';', '\t']) {
            let remedy = "Save the table with commas between cells and points in numbers, such as `2015-08-14 06:00,16.1`.".to_owned();
            return Err(gathering.fatal(Some(number), None, ProblemKind::WrongSeparator, header, remedy));
        }
        let mut table = HourTable { width: names.len(), time: 0, day: None, station: None, measures: Vec::new() };
        let (mut time, mut unused) = (None, Vec::new());
        for (place, cell) in names.iter().enumerate() {
            let heading = NamedColumn::of(cell);
            if TIME_NAMES.contains(&heading.name.as_str()) {
                if time.replace(place).is_some() {
                    let remedy = "Leave one time column.".to_owned();
                    return Err(gathering.fatal(Some(number), Some(cell), ProblemKind::DoubleColumn, header, remedy));
                }
                continue;
            }
            match heading.name.as_str() {
                "date" | "day" if table.day.is_none() => {
                    table.day = Some(place);
                    continue;
                }
                "station" | "station_id" => {
                    table.station = Some(place);
                    continue;
                }
                _ => {}
            }
            match heading.known(&NAMES) {
                (named, Some(element)) => table.add(gathering, number, place, cell, element, named.unit)?,
                (_, None) => unused.push(shown(cell)),
            }
        }
        if !unused.is_empty() {
            let names = unused.iter().take(20).map(String::as_str).collect::<Vec<_>>().join(", ");
            let text = format!("{} column(s) that are not used here: {names}", unused.len());
            gathering.remarks.push(Remark::on_file(RemarkKind::Unused, unused.len(), text));
        }
        if table.measures.is_empty() {
            return Err(gathering.fatal(Some(number), None, ProblemKind::NoHeader, header, HEADER.to_owned()));
        }
        if time.is_none() {
            time = table.day.take();
        }
        let Some(time) = time else {
            let remedy = format!("There is no column `time`. {HEADER}");
            return Err(gathering.fatal(Some(number), Some("time"), ProblemKind::MissingColumn, header, remedy));
        };
        Ok(HourTable { time, ..table })
    }

    fn add(
        &mut self,
        gathering: &HourlyGathering<'_>,
        number: u64,
        place: usize,
        cell: &str,
        element: HourlyElement,
        unit: Option<String>,
    ) -> Result<(), WeatherError> {
        if let Some(other) = self.measures.iter().find(|measure| measure.element == element) {
            let remedy = format!("`{}` gives {} already; leave one of the two.", other.name, element.name());
            return Err(gathering.fatal(Some(number), Some(cell), ProblemKind::DoubleColumn, cell, remedy));
        }
        let examples = example_units(element);
        let Some(unit) = unit else {
            let remedy = format!("Name the unit in the header: write `{0} ({1})` or `{0} ({2})`.", shown(cell), examples.0, examples.1);
            return Err(gathering.fatal(Some(number), Some(cell), ProblemKind::UnitMissing, cell, remedy));
        };
        let line = LinearUnit::between(element.name(), &unit, element.unit()).map_err(|why| {
            let remedy = format!("Write a unit such as ({}) or ({}): {why}.", examples.0, examples.1);
            gathering.fatal(Some(number), Some(cell), ProblemKind::UnitWrong, &unit, remedy)
        })?;
        self.measures.push(HourMeasure { element, place, name: shown(cell), unit, line });
        Ok(())
    }

    fn take_row(&self, gathering: &mut HourlyGathering<'_>, clock: &mut Clock<'_>, number: u64, row: &[Cow<'_, str>]) {
        if row.len() != self.width {
            let kind = if row.len() < self.width { ProblemKind::ShortLine } else { ProblemKind::LongLine };
            let remedy =
                format!("The header has {} cells and this line {}. Leave a cell blank where nothing is known.", self.width, row.len());
            gathering.note(number, None, kind, &row.join(","), remedy);
            return;
        }
        if self.station.is_some_and(|place| !gathering.same_station(number, &row[place])) {
            return;
        }
        let written: Cow<'_, str> = match self.day {
            Some(day) => Cow::Owned(format!("{} {}", row[day], row[self.time])),
            None => Cow::Borrowed(&*row[self.time]),
        };
        let moment = match clock.read(&written) {
            Ok(moment) => moment,
            Err((kind, remedy)) => {
                gathering.note(number, Some("time"), kind, &written, remedy);
                return;
            }
        };
        let mut values = [f64::NAN; 6];
        for measure in &self.measures {
            values[measure.element as usize] = measure.read(gathering, number, &row[measure.place]);
        }
        gathering.take(number, moment, values);
    }
}

impl HourMeasure {
    fn read(&self, gathering: &mut HourlyGathering<'_>, line: u64, cell: &str) -> f64 {
        if says_nothing(cell) {
            return f64::NAN;
        }
        if self.element == HourlyElement::Precipitation && cell.eq_ignore_ascii_case("t") {
            return 0.0;
        }
        let Some(number) = cell.parse::<f64>().ok().filter(|number| number.is_finite()) else {
            let remedy =
                format!("Write a bare number in {}, with a point for decimals; leave the cell blank when it is not known.", self.unit);
            gathering.note(line, Some(&self.name), ProblemKind::BadNumber, cell, remedy);
            return f64::NAN;
        };
        gathering.possible(line, &self.name, cell, self.element, self.line.convert(number))
    }
}

type BadTime = (ProblemKind, String);

/// Turns written times into moments.
struct Clock<'a> {
    options: &'a HourlyOptions,
    assumed: Option<Offset>,
    /// Earlier halves of doubled hours that were met.
    first_halves: BTreeSet<Timestamp>,
    second_halves: BTreeSet<Timestamp>,
    before: Option<Timestamp>,
}

impl<'a> Clock<'a> {
    fn new(options: &'a HourlyOptions) -> Clock<'a> {
        Clock { options, assumed: None, first_halves: BTreeSet::new(), second_halves: BTreeSet::new(), before: None }
    }

    /// The zone whose days are meant.
    fn zone(&self) -> TimeZone {
        self.options.zone.clone().unwrap_or_else(|| self.assumed.map_or(TimeZone::UTC, TimeZone::fixed))
    }

    fn read(&mut self, text: &str) -> Result<Timestamp, BadTime> {
        let bad = || (ProblemKind::BadTime, TIME_REMEDY.to_owned());
        let date = text.get(..10).and_then(civil_date).ok_or((ProblemKind::BadDate, TIME_REMEDY.to_owned()))?;
        let rest = text.get(10..).ok_or_else(bad)?;
        let rest = rest.strip_prefix(['T', 't', ' ']).ok_or_else(bad)?.trim();
        if !(1700..=2200).contains(&date.year()) {
            return Err((ProblemKind::BadDate, "Records lie between 1700 and 2200; check the year.".to_owned()));
        }
        let moment = match rest.find(['Z', 'z', '+', '-']) {
            Some(_) => self.with_offset(text).ok_or_else(bad)?,
            None => {
                let (hour, minute, second) = clock_time(rest).ok_or_else(bad)?;
                let midnight = if hour == 24 { date.tomorrow().map_err(|_| bad())? } else { date };
                self.on_the_clock(midnight.at(hour % 24, minute, second, 0))?
            }
        };
        self.before = Some(moment);
        match self.options.now {
            Some(now) if moment > now => {
                Err((ProblemKind::FutureDate, format!("It is {now} now; check the time, or leave forecasts out of the record.")))
            }
            _ => Ok(moment),
        }
    }

    fn with_offset(&mut self, text: &str) -> Option<Timestamp> {
        let tidy = text.replacen(' ', "T", 1);
        let moment: Timestamp = tidy.parse().ok()?;
        if self.options.zone.is_none() && self.assumed.is_none() {
            let civil: DateTime = tidy.get(..tidy[10..].find(['Z', 'z', '+', '-'])? + 10)?.parse().ok()?;
            let seconds = civil.to_zoned_datetime(TimeZone::UTC).ok()?.timestamp().as_second() - moment.as_second();
            self.assumed = Offset::from_seconds(i32::try_from(seconds).ok()?).ok();
        }
        Some(moment)
    }

    fn on_the_clock(&mut self, civil: DateTime) -> Result<Timestamp, BadTime> {
        let Some(zone) = &self.options.zone else {
            let remedy = "The time has no offset and no zone was named: say which zone's clock it is, such as America/Chicago, or write the offset as 2015-08-14T06:00:00-05:00.";
            return Err((ProblemKind::BadTime, remedy.to_owned()));
        };
        let far = || (ProblemKind::BadTime, TIME_REMEDY.to_owned());
        match zone.to_ambiguous_timestamp(civil).offset() {
            AmbiguousOffset::Unambiguous { offset } => offset.to_timestamp(civil).map_err(|_| far()),
            AmbiguousOffset::Gap { before, after } => {
                let remedy = format!(
                    "The clock went from offset {before} to {after} and had no such time. If the instrument's clock is never changed, name a fixed offset such as {before} as the zone."
                );
                Err((ProblemKind::SkippedTime, remedy))
            }
            AmbiguousOffset::Fold { before, after } => {
                let earlier = before.to_timestamp(civil).map_err(|_| far())?;
                let later = after.to_timestamp(civil).map_err(|_| far())?;
                Ok(self.of_doubled(earlier, later))
            }
        }
    }

    /// Which of the two moments a doubled time is: the earlier first, unless the file runs backwards.
    fn of_doubled(&mut self, earlier: Timestamp, later: Timestamp) -> Timestamp {
        let backwards = self.before.is_some_and(|before| before > later && before.as_second() - later.as_second() <= 3 * HOUR_S);
        let take_later = if backwards { !self.second_halves.contains(&later) } else { self.first_halves.contains(&earlier) };
        // In a file of part hours 01:30 can follow 01:00 of the second round.
        let second_round = !backwards && self.before.is_some_and(|before| self.second_halves.contains(&before));
        if take_later || second_round {
            self.second_halves.insert(later);
            later
        } else {
            self.first_halves.insert(earlier);
            earlier
        }
    }

    fn remarks(&self) -> Vec<Remark> {
        let mut remarks = Vec::new();
        if let (None, Some(offset)) = (&self.options.zone, self.assumed) {
            let text = format!("no zone was named; the days are those at the offset of the first time, {offset}");
            remarks.push(Remark::on_file(RemarkKind::AssumedZone, 1, text));
        }
        let doubled = self.first_halves.len().max(self.second_halves.len());
        if let Some(first) = self.first_halves.first().or(self.second_halves.first()) {
            let zone = self.zone();
            let day = zone.to_datetime(*first).date();
            let whole = self.first_halves.len() == self.second_halves.len();
            let text = if whole {
                format!("the clock was put back: {doubled} time(s) come twice and are two hours each, first on {day}")
            } else {
                format!(
                    "the clock was put back: some of {doubled} doubled time(s) come only once and were taken for the earlier of the two, first on {day}"
                )
            };
            remarks.push(Remark { kind: RemarkKind::ClockChange, element: None, from: Some(day), to: None, count: doubled, text });
        }
        remarks
    }
}

/// Hour, minute and second of `06:00` or `06:00:00`; 24:00 is the end of the day.
fn clock_time(text: &str) -> Option<(i8, i8, i8)> {
    let mut parts = text.split(':');
    let mut two = |most: i8| {
        let part = parts.next()?;
        let digits = (1..=2).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
        part.parse::<i8>().ok().filter(|number| digits && *number <= most)
    };
    let (hour, minute) = (two(24)?, two(59)?);
    let second = if text.matches(':').count() > 1 { two(59)? } else { 0 };
    let whole = parts.next().is_none() && (hour < 24 || (minute == 0 && second == 0));
    whole.then_some((hour, minute, second))
}
