//! Bringing weather in: a station's days or hours, a typical year, a yard's hand readings. Each file is kept whole in the book; what is
//! odd in it, what was filled and how far filling goes wrong there is said at once.

use crate::station::{LONGEST_FILLED_DAYS, hourly_options, place_of};
use crate::yard_weather::{OwnNote, gauge_options};
use crate::{Desk, DeskError};
use groundlore_book::gauge_files::{GaugeFile, ReadFor};
use groundlore_book::hourly_files::{HourlyFile, HourlyKind, Stamp, zone_of};
use groundlore_book::weather_files::WeatherFile;
use groundlore_sheet::{Block, Sheet};
use groundlore_weather::chill::{UtahScale, chill_portions, chilling_hours};
use groundlore_weather::fill::FillError;
use groundlore_weather::hourly_csv::read_hours_and_days;
use groundlore_weather::neighbours::{Flag, FlagReason, NeighbourLimits, look_over};
use groundlore_weather::stations::{NeighbourError, NeighbourRules, distance_km, fill_from_neighbours};
use groundlore_weather::typical_year::TypicalYear;
use groundlore_weather::{
    Element, Ensemble, EpwOptions, FillMethod, Form, HourlyElement, HourlySeries, Mark, Problem, ReadOptions, Reading, Remark, Series,
    Station, detect, fill_errors, read_epw, read_gauges, read_text,
};
use jiff::civil::Date;

/// A file of weather that somebody brings.
#[derive(Debug, Clone, Default)]
pub struct NewWeather<'a> {
    /// Key of the station; the one that the file names where left out.
    pub station: Option<&'a str>,
    /// The yard whose hand readings these are.
    pub yard: Option<&'a str>,
    /// Text.
    pub text: &'a str,
    /// Name of the file.
    pub file_name: &'a str,
    /// Degrees north and east, where the file does not say.
    pub place: Option<(f64, f64)>,
    /// Metres above the sea, where the file does not say.
    pub elevation_m: Option<f64>,
    /// Name of the station.
    pub name: Option<String>,
    /// IANA zone or offset of a table of hours.
    pub time_zone: Option<String>,
    /// Whether the times of a table of hours end their hours.
    pub hour_ends: bool,
    /// Hour of hand readings.
    pub read_at: Option<i64>,
    /// The day of the maximum of hand readings.
    pub maximum_day: Option<ReadFor>,
    /// The day of the rain of hand readings.
    pub rain_day: Option<ReadFor>,
    /// Keep the good rows and list what was skipped.
    pub skip_bad: bool,
    /// Put the file in although the key holds another station's.
    pub other_station: bool,
}

/// Days of an element that are filled, by how.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct FilledDays {
    /// Which element.
    pub element: Element,
    /// From neighbouring stations.
    pub from_neighbours: usize,
    /// By a line in the difference from normal.
    pub interpolated: usize,
    /// By the normal of the day.
    pub normal: usize,
    /// Still open: gaps longer than fifteen days.
    pub left_open: usize,
}

/// The chill of the hours since the last autumn began.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct HoursChill {
    /// First day counted.
    pub from: Date,
    /// Last day counted.
    pub to: Date,
    /// Hours known.
    pub hours: usize,
    /// Hours from 0 to 7.2 °C.
    pub chill_hours: usize,
    /// Utah units.
    pub utah: f64,
    /// Portions of the dynamic model.
    pub portions: f64,
}

/// What came of a file.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Brought {
    /// Its form.
    pub form: &'static str,
    /// The station it was kept for.
    pub station: Option<String>,
    /// The yard it was kept for.
    pub yard: Option<String>,
    /// Name of the file.
    pub file_name: String,
    /// First day; of a typical year that of the year it was laid out in.
    pub first_day: Date,
    /// Last day.
    pub last_day: Date,
    /// What is odd in it.
    pub remarks: Vec<Remark>,
    /// What was left out.
    pub skipped: Vec<Problem>,
    /// Values that look wrong, against the station's own past and its neighbours; each is kept as it is.
    pub flags: Vec<Flag>,
    /// The neighbours it was held against.
    pub neighbours: Vec<String>,
    /// Days filled, by element.
    pub filled: Vec<FilledDays>,
    /// How far filling by the normal and by interpolation goes wrong on this station.
    pub fill_errors: Vec<FillError>,
    /// How far filling from the neighbours goes wrong on this station.
    pub neighbour_errors: Vec<NeighbourError>,
    /// Past years that can stand for what may come, and those left out for gaps; nothing where the record is too short or too old for it.
    pub years: Option<(usize, Vec<i16>)>,
    /// What a typical year tells.
    pub typical: Option<TypicalYear>,
    /// The chill of the hours.
    pub chill: Option<HoursChill>,
    /// What a yard's readings teach.
    pub own: Option<OwnNote>,
    /// What else its user should know.
    pub notes: Vec<String>,
}

impl Brought {
    fn new(form: Form, file_name: &str, days: (Date, Date), remarks: Vec<Remark>, skipped: Vec<Problem>) -> Self {
        Self {
            form: form.words(),
            station: None,
            yard: None,
            file_name: file_name.to_owned(),
            first_day: days.0,
            last_day: days.1,
            remarks,
            skipped,
            flags: Vec::new(),
            neighbours: Vec::new(),
            filled: Vec::new(),
            fill_errors: Vec::new(),
            neighbour_errors: Vec::new(),
            years: None,
            typical: None,
            chill: None,
            own: None,
            notes: Vec::new(),
        }
    }
}

fn refused(what: &str, value: impl Into<String>, why: &str, remedy: &str) -> DeskError {
    DeskError::Refused { what: what.to_owned(), value: value.into(), why: why.to_owned(), remedy: remedy.to_owned() }
}

impl Desk {
    /// Reads a file of weather in any of the forms and keeps it whole in the book: for a station, or with `yard` as that yard's own
    /// readings.
    ///
    /// # Errors
    /// Every fault of the file, with line, value and remedy; with `skip_bad` only what spoils it whole. A form that does not fit what is
    /// asked; another station's file under a key that holds one.
    pub fn bring_weather(&mut self, new: &NewWeather<'_>) -> Result<Brought, DeskError> {
        if new.yard.is_some() {
            return self.bring_readings(new);
        }
        match detect(new.text, new.file_name)? {
            Form::Epw => self.bring_typical_year(new),
            Form::HandReadings => Err(DeskError::missing(
                format!("{} holds readings by hand, and they belong to a yard", new.file_name),
                "name it: `groundlore weather add --yard YARD --read-at 7 FILE`",
            )),
            Form::HourlyCsv => self.bring_hours(new),
            form => self.bring_days(new, form),
        }
    }

    /// Reads a station's daily file and keeps it whole in the book.
    ///
    /// # Errors
    /// As [`Desk::bring_weather`].
    pub fn add_weather(
        &mut self,
        station: &str,
        text: &str,
        file_name: &str,
        place: Option<(f64, f64)>,
        name: Option<String>,
        skip_bad: bool,
    ) -> Result<Reading, DeskError> {
        let new = NewWeather { station: Some(station), text, file_name, place, name, skip_bad, ..NewWeather::default() };
        self.keep_days(&new).map(|(_, reading)| reading)
    }

    fn options(&self, new: &NewWeather<'_>) -> ReadOptions {
        let id = new.station.unwrap_or_default().to_owned();
        let given = Station {
            name: new.name.clone().unwrap_or_else(|| id.clone()),
            id,
            latitude: new.place.map(|place| place.0),
            longitude: new.place.map(|place| place.1),
            elevation_m: new.elevation_m,
        };
        ReadOptions { station: Some(given), skip_bad: new.skip_bad, today: Some(self.today), ..ReadOptions::default() }
    }

    /// The key of a station: the one given, else the one that the file names.
    fn key_of(new: &NewWeather<'_>, named: &str) -> Result<String, DeskError> {
        match new.station.map(str::trim).filter(|key| !key.is_empty()) {
            Some(key) => Ok(key.to_owned()),
            None if !named.trim().is_empty() => Ok(named.trim().to_owned()),
            None => Err(DeskError::missing(
                format!("{} names no station", new.file_name),
                "give its key before the file: `groundlore weather add KEY FILE`",
            )),
        }
    }

    /// Refuses the file of another station under a key that holds one; says where a file names another station than its key.
    fn same_station(new: &NewWeather<'_>, key: &str, named: &str, kept: Option<&str>) -> Result<Option<String>, DeskError> {
        if let Some(kept) = kept.filter(|kept| !kept.is_empty() && !named.is_empty() && *kept != named)
            && !new.other_station
        {
            return Err(refused(
                "station",
                named,
                &format!("is not the one whose file stands under `{key}`, which is {kept}"),
                "use another key, or add --other-station to put it in its place",
            ));
        }
        let differs = !named.is_empty() && named != key;
        Ok(differs.then(|| format!("the file names station {named}; it is kept under the key `{key}`")))
    }

    fn keep_days(&mut self, new: &NewWeather<'_>) -> Result<(String, Reading), DeskError> {
        let mut reading = read_text(new.text, new.file_name, &self.options(new))?;
        let named = if reading.series.station.id == new.station.unwrap_or_default() { "" } else { &reading.series.station.id };
        let named = named.to_owned();
        let key = Self::key_of(new, &named)?;
        let before = self.book.weather_file(&key)?;
        let kept = match &before {
            Some(file) if !named.is_empty() => {
                read_text(&file.text, &file.file_name, &ReadOptions { skip_bad: true, ..ReadOptions::default() })
                    .map(|r| r.series.station.id)
                    .ok()
            }
            _ => None,
        };
        if let Some(note) = Self::same_station(new, &key, &named, kept.as_deref())? {
            let kind = groundlore_weather::RemarkKind::OtherName;
            reading.remarks.insert(0, Remark { kind, element: None, from: None, to: None, count: 1, text: note });
        }
        let found = &reading.series.station;
        let name = new.name.clone().or_else(|| Some(found.name.clone())).filter(|name| !name.is_empty());
        let file = WeatherFile {
            station: key.clone(),
            name,
            latitude: found.latitude.or(before.as_ref().and_then(|file| file.latitude)),
            longitude: found.longitude.or(before.as_ref().and_then(|file| file.longitude)),
            elevation_m: found.elevation_m.or(before.as_ref().and_then(|file| file.elevation_m)),
            file_name: new.file_name.to_owned(),
            added_at: self.now,
            text: new.text.to_owned(),
            ..WeatherFile::default()
        };
        self.book.write(|tx| tx.set_weather_file(&file))?;
        self.stations.forget();
        Ok((key, reading))
    }

    fn bring_days(&mut self, new: &NewWeather<'_>, form: Form) -> Result<Brought, DeskError> {
        let (key, reading) = self.keep_days(new)?;
        let series = reading.series;
        let mut brought = Brought::new(form, new.file_name, (series.first_day(), series.last_day()), reading.remarks, reading.skipped);
        self.look_at_station(&key, &mut brought)?;
        Ok(brought)
    }

    fn hourly_file(&self, new: &NewWeather<'_>, key: &str, kind: HourlyKind, station: &Station) -> HourlyFile {
        HourlyFile {
            station: key.to_owned(),
            kind,
            name: new.name.clone().or_else(|| Some(station.name.clone())).filter(|name| !name.is_empty()),
            latitude: station.latitude,
            longitude: station.longitude,
            elevation_m: station.elevation_m,
            time_zone: new.time_zone.clone(),
            stamp: if new.hour_ends || kind == HourlyKind::TypicalYear { Stamp::Ends } else { Stamp::Begins },
            file_name: new.file_name.to_owned(),
            added_at: self.now,
            text: new.text.to_owned(),
            ..HourlyFile::default()
        }
    }

    fn bring_hours(&mut self, new: &NewWeather<'_>) -> Result<Brought, DeskError> {
        let zone = match &new.time_zone {
            Some(text) => Some(zone_of(text).ok_or_else(|| {
                refused("time zone", text, "is not known", "write an IANA zone as America/Chicago, or a fixed offset as -06:00")
            })?),
            None => None,
        };
        let stamp = if new.hour_ends { groundlore_weather::HourStamp::Ends } else { groundlore_weather::HourStamp::Begins };
        let options = ReadOptions { zone, stamp, ..self.options(new) };
        let (hours, days) = read_hours_and_days(new.text, new.file_name, &options)?;
        let named = Some(hours.series.station.id.clone()).filter(|id| id.as_str() != new.station.unwrap_or_default()).unwrap_or_default();
        let key = Self::key_of(new, &named)?;
        let mut station = hours.series.station.clone();
        if let Some(daily) = self.book.weather_file(&key)? {
            station.latitude = station.latitude.or(daily.latitude);
            station.longitude = station.longitude.or(daily.longitude);
            station.elevation_m = station.elevation_m.or(daily.elevation_m);
        }
        let mut remarks = hours.remarks;
        remarks.extend(days.remarks);
        remarks.extend(groundlore_weather::check(&days.series));
        let file = self.hourly_file(new, &key, HourlyKind::Hours, &station);
        self.book.write(|tx| tx.set_hourly_file(&file))?;
        self.stations.forget();
        let span = (days.series.first_day(), days.series.last_day());
        let mut brought = Brought::new(Form::HourlyCsv, new.file_name, span, remarks, hours.skipped);
        brought.chill = chill_of(&hours.series);
        let also = self.book.weather_file(&key)?.is_some();
        brought.notes.push(if also {
            "the days made of these hours stand where the station's daily file has none".to_owned()
        } else {
            "the days made of these hours are the station's record: the highest and lowest of 24 readings lie a little inside the true extremes"
                .to_owned()
        });
        if !named.is_empty() && named != key {
            brought.notes.push(format!("the file names station {named}; it is kept under the key `{key}`"));
        }
        self.look_at_station(&key, &mut brought)?;
        Ok(brought)
    }

    fn bring_typical_year(&mut self, new: &NewWeather<'_>) -> Result<Brought, DeskError> {
        let reading = read_epw(new.text, new.file_name, &EpwOptions { skip_bad: new.skip_bad, year: None })?;
        let key = Self::key_of(new, &reading.series.station.id)?;
        let typical = TypicalYear::of(&reading)?;
        let file = self.hourly_file(new, &key, HourlyKind::TypicalYear, &reading.series.station);
        self.book.write(|tx| tx.set_hourly_file(&file))?;
        let span = (reading.series.day_of(0), reading.series.day_of(reading.series.len().saturating_sub(1)));
        let mut brought = Brought::new(Form::Epw, new.file_name, span, reading.remarks, reading.skipped);
        brought.notes.push(
            "a typical year is no record: it shows sun, water and chill as they usually are, and no odds, frost dates or clocks come from it"
                .to_owned(),
        );
        brought.typical = Some(typical);
        brought.station = Some(key);
        Ok(brought)
    }

    fn bring_readings(&mut self, new: &NewWeather<'_>) -> Result<Brought, DeskError> {
        let name = new.yard.unwrap_or_default();
        let yard = self.yard(name)?;
        if new.station.is_some() {
            return Err(refused("station", new.station.unwrap_or_default(), "was given beside a yard", "give one of the two"));
        }
        let hour = new.read_at.ok_or_else(|| {
            DeskError::missing("the hour of the readings is not known".to_owned(), "give it on the local clock, as `--read-at 7`")
        })?;
        if !(0..=23).contains(&hour) {
            return Err(refused("hour of the readings", hour.to_string(), "is no hour of the day", "write a whole number from 0 to 23"));
        }
        let usual = match hour {
            0..=10 => Some(ReadFor::DayBefore),
            16..=23 => Some(ReadFor::SameDay),
            _ => None,
        };
        let of_day = |given: Option<ReadFor>, what: &str| {
            given.or(usual).ok_or_else(|| {
                let why = format!("read at {hour}:00, the {what} may be of either day");
                DeskError::missing(why, format!("say which with `--{what}-day same-day` or `--{what}-day day-before`"))
            })
        };
        let file = GaugeFile {
            yard_id: yard.row.id,
            hour,
            maximum_day: of_day(new.maximum_day, "maximum")?,
            rain_day: of_day(new.rain_day, "rain")?,
            file_name: new.file_name.to_owned(),
            added_at: self.now,
            text: new.text.to_owned(),
            ..GaugeFile::default()
        };
        if let form @ (Form::Epw | Form::HourlyCsv | Form::GhcnCsv | Form::GhcnDly) = detect(new.text, new.file_name)? {
            return Err(refused(
                new.file_name,
                form.words(),
                "is no table of hand readings",
                "give a table headed `date,max (degF),min (degF),rain (in)`, or leave --yard out to keep a station's file",
            ));
        }
        let reading = read_gauges(new.text, new.file_name, &gauge_options(&file, Some(self.today), new.skip_bad))?;
        let others = self.book.gauge_files(yard.row.id)?;
        let span = (reading.series.first_day(), reading.series.last_day());
        let mut brought = Brought::new(Form::HandReadings, new.file_name, span, reading.remarks, reading.skipped);
        for other in others.iter().filter(|other| other.file_name != file.file_name) {
            let before = read_gauges(&other.text, &other.file_name, &gauge_options(other, None, true))?.series;
            if let Some((_, differ)) = groundlore_weather::place_series::joined(&[before, reading.series.clone()]).filter(|(_, n)| *n > 0) {
                brought.notes.push(format!("{differ} value(s) differ from {}, which came first and counts", other.file_name));
            }
        }
        if new.maximum_day.is_none() || new.rain_day.is_none() {
            let words = if usual == Some(ReadFor::DayBefore) { "the day before" } else { "the same day" };
            brought.notes.push(format!("read at {hour}:00: maximum and rain are set to {words}, the minimum to the day of the reading"));
        }
        self.book.write(|tx| tx.set_gauge_file(&file))?;
        self.stations.forget();
        brought.yard = Some(yard.row.name.clone());
        match self.yard_weather(&yard.row) {
            Ok(Some(weather)) => brought.own = weather.note.own.clone(),
            Ok(None) => brought.notes.push("no station is within reach to hold them against; they are kept".to_owned()),
            Err(error) => brought.notes.push(format!("they are kept, and cannot be held against the yard's station yet: {error}")),
        }
        Ok(brought)
    }

    /// Holds a station against its own past and its neighbours, and measures how far filling goes wrong on it.
    fn look_at_station(&self, key: &str, brought: &mut Brought) -> Result<(), DeskError> {
        brought.station = Some(key.to_owned());
        let series = self.stations.as_read(&self.book, key)?;
        let near = self.stations.neighbours(&self.book, key)?;
        if let Some(here) = place_of(&series.station) {
            let far = |other: &Series| place_of(&other.station).map_or(f64::NAN, |there| distance_km(here, there));
            brought.neighbours = near.iter().map(|o| format!("{} ({:.0} mi)", o.station.id, far(o) / 1.609_344)).collect();
        } else {
            brought.notes.push(
                "the station's place is not known, so it counts only for yards that name it: give --latitude and --longitude".to_owned(),
            );
        }
        let near: Vec<&Series> = near.iter().map(|series| &**series).collect();
        brought.flags = look_over(&series, &near, &NeighbourLimits::default());
        if !near.is_empty() {
            brought.neighbour_errors = fill_from_neighbours(&series, &near, &NeighbourRules::default()).errors;
        }
        brought.fill_errors = fill_errors(&series);
        let filled = self.stations.series(&self.book, key)?;
        for element in [Element::MinimumTemperature, Element::MaximumTemperature, Element::Precipitation] {
            let count = |wanted: &dyn Fn(&Mark) -> bool| filled.marks(element).iter().filter(|mark| wanted(mark)).count();
            let by = |method: FillMethod| count(&|mark| matches!(mark, Mark::Filled { how } if *how == method));
            let left_open = count(&|mark| *mark == Mark::Missing);
            if left_open == filled.len() {
                continue;
            }
            brought.filled.push(FilledDays {
                element,
                from_neighbours: by(FillMethod::Neighbours),
                interpolated: by(FillMethod::AnomalyInterpolation),
                normal: by(FillMethod::Climatology),
                left_open,
            });
        }
        match Ensemble::years_of_record(&filled, self.today) {
            Ok(ensemble) => brought.years = Some((ensemble.futures().len(), ensemble.left_out.iter().map(|left| left.year).collect())),
            Err(error) => brought.notes.push(format!("no odds can be made from it today: {error}")),
        }
        Ok(())
    }

    /// What the book keeps of a station: its record with gaps, filling and flags, the chill of its hours, its typical year.
    ///
    /// # Errors
    /// Where the book has nothing of it, or a file can no longer be read.
    pub fn station_kept(&self, station: &str) -> Result<Brought, DeskError> {
        let typical = self.typical_year(station).ok();
        let series = match self.stations.as_read(&self.book, station) {
            Ok(series) => Some(series),
            Err(_) if typical.is_some() => None,
            Err(error) => return Err(error),
        };
        let days = series.as_ref().map_or((self.today, self.today), |series| (series.first_day(), series.last_day()));
        let remarks = series.as_ref().map(|series| groundlore_weather::check(series)).unwrap_or_default();
        let mut brought = Brought::new(Form::PlainCsv, "", days, remarks, Vec::new());
        brought.form = if series.is_some() { "a record kept in the book" } else { Form::Epw.words() };
        brought.station = Some(station.to_owned());
        if series.is_some() {
            self.look_at_station(station, &mut brought)?;
            brought.chill = self.hours_chill(station)?;
        }
        if typical.is_some() {
            brought.notes.push("a typical year is no record: no odds, frost dates or clocks come from it".to_owned());
        }
        brought.typical = typical;
        Ok(brought)
    }

    /// The typical year that the book keeps for a station.
    ///
    /// # Errors
    /// Where there is none, or it can no longer be read.
    pub fn typical_year(&self, station: &str) -> Result<TypicalYear, DeskError> {
        let file = self.book.hourly_file(station, HourlyKind::TypicalYear)?.ok_or_else(|| {
            DeskError::missing(
                format!("the book has no typical year of station `{station}`"),
                format!("bring one in with `groundlore weather add {station} FILE.epw`"),
            )
        })?;
        let reading = read_epw(&file.text, &file.file_name, &EpwOptions { skip_bad: true, year: None })?;
        Ok(TypicalYear::of(&reading)?)
    }

    /// The hours that the book keeps for a station, up to today's chill; none where it keeps none.
    ///
    /// # Errors
    /// Where they can no longer be read.
    pub fn hours_chill(&self, station: &str) -> Result<Option<HoursChill>, DeskError> {
        let Some(file) = self.book.hourly_file(station, HourlyKind::Hours)? else { return Ok(None) };
        let (hours, _) = read_hours_and_days(&file.text, &file.file_name, &hourly_options(&file))?;
        Ok(chill_of(&hours.series))
    }
}

/// The chill of hours since the last 1 September (south of the equator 1 March) before their end.
fn chill_of(hours: &HourlySeries) -> Option<HoursChill> {
    let last = hours.day_of(hours.len().checked_sub(1)?);
    let month = if hours.station.latitude.is_some_and(|latitude| latitude < 0.0) { 3 } else { 9 };
    let start = jiff::civil::date(if last.month() >= month { last.year() } else { last.year() - 1 }, month, 1);
    let first = (0..hours.len()).find(|index| hours.day_of(*index) >= start)?;
    let temperatures = &hours.column(HourlyElement::Temperature)[first..];
    let known = temperatures.iter().filter(|value| !value.is_nan()).count();
    (known > 0).then(|| HoursChill {
        from: hours.day_of(first),
        to: last,
        hours: known,
        chill_hours: chilling_hours(temperatures, 0.0, 7.2),
        utah: UtahScale::Fahrenheit.sum(temperatures),
        portions: chill_portions(temperatures),
    })
}

/// What came of a file, for a person.
#[must_use]
pub fn brought_sheet(brought: &Brought, today: Date) -> Sheet {
    let whose = match (&brought.station, &brought.yard) {
        (Some(station), _) => format!("station {station}"),
        (None, Some(yard)) => format!("{yard}, read by hand"),
        (None, None) => brought.file_name.clone(),
    };
    let mut facts = vec![("form".to_owned(), brought.form.to_owned())];
    if brought.typical.is_none() || !brought.filled.is_empty() {
        facts.push(("days".to_owned(), format!("{} to {}", brought.first_day, brought.last_day)));
    }
    if let Some((years, left_out)) = &brought.years {
        let out = match (left_out.first(), left_out.last()) {
            (Some(first), Some(last)) => format!("; {} left out for gaps, {first} to {last}", left_out.len()),
            _ => String::new(),
        };
        facts.push(("years for odds".to_owned(), format!("{years} past years{out}")));
    }
    if !brought.neighbours.is_empty() {
        facts.push(("neighbours".to_owned(), brought.neighbours.join(", ")));
    }
    let mut sheet = Sheet::new("weather-add", format!("Weather of {whose}"), today).with(Block::Facts { facts });
    for words in brought.notes.iter().cloned().chain(brought.own.iter().flat_map(OwnNote::words)) {
        sheet.push(Block::paragraph(capital(&words)));
    }
    sheet.blocks.extend(brought.typical.iter().flat_map(typical_blocks));
    sheet.blocks.extend(brought.chill.iter().map(chill_block));
    sheet.blocks.extend(fill_blocks(brought));
    let told = |lines: Vec<String>, heading: String| (!lines.is_empty()).then(|| [Block::heading(heading), Block::list(lines)]);
    let remarks = told(brought.remarks.iter().take(200).map(ToString::to_string).collect(), format!("{} remarks", brought.remarks.len()));
    let neighbours = brought.flags.iter().filter(|flag| flag.reason == FlagReason::Neighbours).count();
    let flags = told(
        brought.flags.iter().take(30).map(|flag| flag.text.clone()).collect(),
        format!("{} values to look at, kept as they are ({neighbours} against the neighbours)", brought.flags.len()),
    );
    let skipped = told(brought.skipped.iter().map(ToString::to_string).collect(), format!("{} left out", brought.skipped.len()));
    sheet.blocks.extend([remarks, flags, skipped].into_iter().flatten().flatten());
    sheet
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

fn size(element: Element, value: f64) -> String {
    if element.is_temperature() { format!("{:.1} °F", value * 1.8) } else { format!("{:.2} in", value / 25.4) }
}

fn fill_blocks(brought: &Brought) -> Vec<Block> {
    let mut blocks = Vec::new();
    let rows: Vec<Vec<String>> = brought
        .filled
        .iter()
        .filter(|row| row.from_neighbours + row.interpolated + row.normal + row.left_open > 0)
        .map(|row| {
            let counts = [row.from_neighbours, row.interpolated, row.normal, row.left_open];
            std::iter::once(row.element.code().to_owned()).chain(counts.map(|count| count.to_string())).collect()
        })
        .collect();
    if !rows.is_empty() {
        let heading = format!("Days filled, each marked (gaps over {LONGEST_FILLED_DAYS} days stay open)");
        blocks.push(Block::table(heading, &["element", "from neighbours#", "interpolated#", "normal of the day#", "left open#"], rows));
    }
    let near = brought.neighbour_errors.iter().map(|error| {
        let beside = size(error.element, error.climatology_root_mean_square);
        let how = format!("from neighbours (the normal: {beside})");
        vec![
            error.element.code().to_owned(),
            how,
            size(error.element, error.root_mean_square),
            size(error.element, error.mean_error),
            error.days.to_string(),
        ]
    });
    let own = brought.fill_errors.iter().map(|error| {
        let how = match error.how {
            FillMethod::AnomalyInterpolation => format!("interpolated over {} days", error.gap_days),
            _ => format!("normal of the day over {} days", error.gap_days),
        };
        vec![
            error.element.code().to_owned(),
            how,
            size(error.element, error.root_mean_square),
            size(error.element, error.mean_error),
            error.days.to_string(),
        ]
    });
    let rows: Vec<Vec<String>> = near.chain(own).collect();
    if !rows.is_empty() {
        let heading = "How far filling goes wrong here, on days left out";
        blocks.push(Block::table(heading, &["element", "how", "root mean square#", "mean#", "days#"], rows));
    }
    blocks
}

fn chill_block(chill: &HoursChill) -> Block {
    Block::paragraph(format!(
        "Chill from {} to {} over {} hours known: {} hours from 32 to 45 °F, {:.0} Utah units, {:.0} portions.",
        chill.from, chill.to, chill.hours, chill.chill_hours, chill.utah, chill.portions
    ))
}

/// A typical year as blocks.
fn typical_blocks(typical: &TypicalYear) -> Vec<Block> {
    const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let known = |value: f64, text: String| if value.is_nan() { "–".to_owned() } else { text };
    let fahrenheit = |celsius: f64| known(celsius, format!("{:.0} °F", celsius * 1.8 + 32.0));
    let row = |month: &groundlore_weather::typical_year::TypicalMonth| {
        let name = usize::try_from(month.month - 1).ok().and_then(|place| MONTHS.get(place)).copied().unwrap_or_default();
        vec![
            name.to_owned(),
            month.from_year.map_or_else(|| "–".to_owned(), |year| year.to_string()),
            fahrenheit(month.minimum_c),
            fahrenheit(month.maximum_c),
            known(month.solar_mj_m2, format!("{:.1} MJ/m²", month.solar_mj_m2)),
            known(month.et0_mm, format!("{:.2} in", month.et0_mm / 25.4)),
        ]
    };
    let columns = ["month", "taken from", "minimum#", "maximum#", "sun a day#", "water of grass a day#"];
    let table = Block::table("The typical year", &columns, typical.months.iter().map(row).collect());
    let stood_in = match (typical.days_without_sun, typical.days_without_wind) {
        (0, 0) => String::new(),
        (sun, wind) => format!(" On {sun} days the sun was reckoned from the swing of temperature, on {wind} the wind was taken as 2 m/s."),
    };
    let words = format!(
        "Reference evapotranspiration (FAO-56) of {} days: {:.1} in. Chill of its winter: {} hours from 32 to 45 °F, {:.0} Utah units, {:.0} portions.{stood_in}",
        typical.days,
        typical.et0_year_mm / 25.4,
        typical.chill_hours,
        typical.chill_utah,
        typical.chill_portions
    );
    vec![table, Block::paragraph(words)]
}
