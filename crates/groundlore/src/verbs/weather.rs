//! Weather stations.

use crate::cli::{Place, Show, WeatherAddArgs, WeatherVerb};
use crate::out::{Outcome, file_name, note, read_file, say, show};
use groundlore_sheet::{Block, Sheet};
use groundlore_weather::{ReadOptions, Reading, read_text};
use serde_json::json;
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, verb: &WeatherVerb) -> Outcome<ExitCode> {
    match verb {
        WeatherVerb::Add(args) => add(place, args),
        WeatherVerb::Check { file, skip_bad } => {
            let reading = read_text(&read_file(file)?, &file_name(file), &ReadOptions { skip_bad: *skip_bad, ..ReadOptions::default() })?;
            let facts = json!({"station": reading.series.station, "first_day": reading.series.first_day(), "last_day": reading.series.last_day(),
                "days": reading.series.len(), "remarks": reading.remarks, "skipped": reading.skipped});
            show(options, &facts, || Ok(sheet_of(&reading, super::today(place))))
        }
    }
}

fn add(place: &Place, args: &WeatherAddArgs) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    let text = read_file(&args.file)?;
    let reading = desk.add_weather(
        &args.station,
        &text,
        &file_name(&args.file),
        args.latitude.zip(args.longitude),
        args.name.clone(),
        args.skip_bad,
    )?;
    for skipped in &reading.skipped {
        note(&format!("skipped: {skipped}"));
    }
    say(&format!(
        "station {}: {} to {}, {} remarks (`groundlore weather check` shows them)",
        args.station,
        reading.series.first_day(),
        reading.series.last_day(),
        reading.remarks.len()
    ));
    Ok(ExitCode::SUCCESS)
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
