//! Weather stations.

use crate::cli::{Place, Show, WeatherAddArgs, WeatherGetArgs, WeatherVerb};
use crate::out::{Failure, Outcome, file_name, note, read_file, refuse, say, show};
use groundlore_book::gauge_files::ReadFor;
use groundlore_book::hourly_files::zone_of;
use groundlore_desk::Desk;
use groundlore_desk::weather_add::{NewWeather, brought_sheet};
use groundlore_fetch::{FetchError, Fetcher, How, Settings};
use groundlore_sheet::{Block, Sheet};
use groundlore_weather::{ReadOptions, Reading, read_text};
use serde_json::json;
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, verb: &WeatherVerb) -> Outcome<ExitCode> {
    match verb {
        WeatherVerb::Add(args) => add(place, options, args),
        WeatherVerb::Show { station } => {
            let desk = super::desk(place)?;
            let kept = desk.station_kept(station)?;
            show(options, &kept, || Ok(brought_sheet(&kept, desk.today)))
        }
        WeatherVerb::Get(args) => get(place, options, args),
        WeatherVerb::Check { file, skip_bad, time_zone } => {
            let zone = time_zone.as_deref().map(zone_named).transpose()?;
            let how = ReadOptions { skip_bad: *skip_bad, zone, ..ReadOptions::default() };
            let reading = read_text(&read_file(file)?, &file_name(file), &how)?;
            let facts = json!({"station": reading.series.station, "first_day": reading.series.first_day(), "last_day": reading.series.last_day(),
                "days": reading.series.len(), "remarks": reading.remarks, "skipped": reading.skipped});
            show(options, &facts, || Ok(sheet_of(&reading, super::today(place))))
        }
    }
}

fn add(place: &Place, options: &Show, args: &WeatherAddArgs) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    let (station, file) = match &args.station_and_file[..] {
        [file] => (None, file),
        [station, file] => (Some(station.as_str()), file),
        _ => return refuse("give a station's key and its file, or the file alone".to_owned()),
    };
    let day = |given: &Option<String>, what: &str| match given.as_deref().map(|word| (word, ReadFor::from_word(word))) {
        None => Ok(None),
        Some((_, Some(day))) => Ok(Some(day)),
        Some((word, None)) => Err(Failure(format!("--{what}-day: `{word}` is not known; write same-day or day-before"))),
    };
    let text = read_file(file)?;
    let elevation_m = args.elevation.as_deref().map(super::metres).transpose()?;
    let new = NewWeather {
        station,
        yard: args.yard.as_deref(),
        text: &text,
        file_name: &file_name(file),
        place: args.latitude.zip(args.longitude),
        elevation_m,
        name: args.name.clone(),
        time_zone: args.time_zone.clone(),
        hour_ends: args.hour_ends,
        read_at: args.read_at,
        maximum_day: day(&args.maximum_day, "maximum")?,
        rain_day: day(&args.rain_day, "rain")?,
        skip_bad: args.skip_bad,
        other_station: args.other_station,
    };
    let brought = desk.bring_weather(&new)?;
    for skipped in &brought.skipped {
        note(&format!("skipped: {skipped}"));
    }
    show(options, &brought, || Ok(brought_sheet(&brought, desk.today)))
}

fn zone_named(text: &str) -> Outcome<jiff::tz::TimeZone> {
    zone_of(text).ok_or_else(|| {
        Failure(format!("--time-zone: `{text}` is not known; write an IANA zone as America/Chicago, or an offset as -06:00"))
    })
}

/// What was fetched, for a machine.
#[derive(Debug, Default, serde::Serialize)]
struct Fetched {
    /// The station's daily file; none where it was not asked for, or failed.
    daily: Option<Daily>,
    /// The forecasts that were kept.
    forecasts: Vec<super::forecast::Got>,
    /// Why no forecast was asked for.
    no_forecast: Option<String>,
    /// What failed, each with its remedy.
    errors: Vec<String>,
}

/// A daily file that was fetched and kept.
#[derive(Debug, serde::Serialize)]
struct Daily {
    station: String,
    address: String,
    first_day: jiff::civil::Date,
    last_day: jiff::civil::Date,
    remarks: usize,
    skipped: Vec<String>,
    fetched_at: jiff::Timestamp,
    /// True where the server gave nothing, and the copy before it stands in.
    old_copy: bool,
    /// How old it is, in words.
    age: String,
}

fn get(place: &Place, options: &Show, args: &WeatherGetArgs) -> Outcome<ExitCode> {
    if options.pdf.is_some() {
        return refuse("`weather get` writes no PDF; ask for its answer with --json, or as it is".to_owned());
    }
    let mut desk = super::desk(place)?;
    let settings = args.settings.as_deref().map_or_else(|| Ok(Settings::default()), settings_of)?;
    let cache = args.cache.clone().unwrap_or_else(|| super::book_path(place).with_extension("fetched"));
    let fetcher = Fetcher::new(settings, cache)?;
    let asks_forecast = fetcher.settings().forecast.is_some();
    if !asks_forecast && (args.yards || args.forecast_only) {
        return Err(FetchError::NoForecastAddress.into());
    }
    let mut fetched = Fetched::default();
    // What fails of the one does not keep the other from being fetched.
    if !args.forecast_only {
        match daily(&mut desk, &fetcher, args) {
            Ok(got) => fetched.daily = Some(got),
            Err(wrong) => fetched.errors.push(wrong.0),
        }
    }
    if asks_forecast {
        match super::forecast::get(&mut desk, &fetcher, args) {
            Ok((got, wrong)) => {
                fetched.forecasts = got;
                fetched.errors.extend(wrong);
            }
            Err(wrong) => fetched.errors.push(wrong.0),
        }
    } else {
        let why = "no forecast was asked for: the settings name no address for one (`--settings FILE` with `forecast = …`)";
        fetched.no_forecast = Some(why.to_owned());
    }
    if options.json {
        say(&serde_json::to_string_pretty(&fetched)?);
    } else {
        fetched.daily.iter().for_each(Daily::tell);
        fetched.forecasts.iter().map(|got| &got.words).chain(&fetched.no_forecast).for_each(|words| say(words));
    }
    if fetched.errors.is_empty() { Ok(ExitCode::SUCCESS) } else { refuse(fetched.errors.join("\n")) }
}

impl Daily {
    fn tell(&self) {
        let Self { station, first_day, last_day, remarks, age, .. } = self;
        say(&format!("station {station}: {first_day} to {last_day}, {remarks} remarks (`groundlore weather check` shows them)"));
        say(&format!("the file is {age}"));
    }
}

fn daily(desk: &mut Desk, fetcher: &Fetcher, args: &WeatherGetArgs) -> Outcome<Daily> {
    let id = args.archive_id.as_deref().unwrap_or(&args.station);
    let address = fetcher.settings().daily_address(id)?;
    let name = format!("{id}.csv");
    // A file that cannot be read never takes the place of one that could.
    let readable = |bytes: &[u8]| {
        let text = std::str::from_utf8(bytes).map_err(|_| "it is not text in UTF-8".to_owned())?;
        let options = ReadOptions { skip_bad: args.skip_bad, ..ReadOptions::default() };
        read_text(text, &name, &options).map(|_| ()).map_err(|e| e.to_string())
    };
    let got = if args.offline {
        match fetcher.kept(&address)? {
            Some(kept) => kept,
            None => return refuse(format!("nothing of station {id} has been fetched yet; ask once without --offline")),
        }
    } else {
        fetcher.get_if(&address, jiff::Timestamp::now(), readable)?
    };
    for remark in &got.remarks {
        note(remark);
    }
    let (age, fetched_at, old_copy) = (got.words(), got.fetched_at, matches!(got.how, How::FromCache { .. }));
    let text = String::from_utf8(got.bytes).map_err(|_| Failure(format!("{name}: it is not text in UTF-8; fetch it again")))?;
    let reading = desk.add_weather(&args.station, &text, &name, args.latitude.zip(args.longitude), args.name.clone(), args.skip_bad)?;
    let skipped: Vec<String> = reading.skipped.iter().map(ToString::to_string).collect();
    skipped.iter().for_each(|skipped| note(&format!("skipped: {skipped}")));
    Ok(Daily {
        station: args.station.clone(),
        address,
        first_day: reading.series.first_day(),
        last_day: reading.series.last_day(),
        remarks: reading.remarks.len(),
        skipped,
        fetched_at,
        old_copy,
        age,
    })
}

fn settings_of(path: &std::path::Path) -> Outcome<Settings> {
    let shown = path.display().to_string();
    toml::from_str(&read_file(&shown)?).map_err(|e| {
        let example = r#"write it as daily = "https://…/{station}.csv", tries = 3, timeout = "20s""#;
        Failure(format!("{shown}: {e}{example}"))
    })
}

fn sheet_of(reading: &Reading, today: jiff::civil::Date) -> Sheet {
    let series = &reading.series;
    let mut sheet = Sheet::new("weather", format!("Weather of {}", series.station.name), today).with(Block::Facts {
        facts: vec![("days".to_owned(), format!("{} to {}, {}", series.first_day(), series.last_day(), series.len()))],
    });
    sheet.push(Block::heading(format!("{} remarks", reading.remarks.len())));
    sheet.push(Block::list(reading.remarks.iter().take(200).map(ToString::to_string).collect()));
    if !reading.skipped.is_empty() {
        sheet.push(Block::heading(format!("{} skipped", reading.skipped.len())));
        sheet.push(Block::list(reading.skipped.iter().map(ToString::to_string).collect()));
    }
    sheet
}
