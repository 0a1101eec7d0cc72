//! The season.

use crate::cli::{Place, SeasonArgs, Show};
use crate::out::{Failure, Outcome, file_name, read_file, refuse, say, show, write_file};
use groundlore_desk::Desk;
use groundlore_desk::events::{Asking, SeasonEvents, event_keys, season_alone};
use groundlore_quantity::{Kind, Quantity};
use groundlore_sheet::{Block, Sheet};
use groundlore_weather::futures;
use serde_json::json;
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, args: &SeasonArgs) -> Outcome<ExitCode> {
    if args.events {
        return keys(place, options);
    }
    if let (Some(file), Some(latitude), Some(longitude)) = (&args.weather, args.latitude, args.longitude) {
        return alone(place, options, args, file, (latitude, longitude));
    }
    let desk = super::desk(place)?;
    let Some(yard) = &args.yard else {
        let facts = json!({"on": desk.today, "forecasts": desk.forecast_lines()?, "events": desk.events_this_week()?});
        return show(options, &facts, || Ok(desk.events_this_week_sheet()?));
    };
    if let Some(path) = &args.calendar {
        write_file(path, desk.season_calendar(yard)?.as_bytes())?;
        say(&format!("the season of {yard} is in {}", path.display()));
        return Ok(ExitCode::SUCCESS);
    }
    if let Some(text) = &args.warmer_by {
        return what_if(&desk, options, yard, text);
    }
    let (season, events) = (desk.season(yard)?, desk.season_events(yard, 0.0)?);
    let (future, words) = (season.note.future.clone(), season.note.future_words.clone());
    let facts = json!({"on": desk.today, "future": future, "future_words": words, "season": season, "events": events});
    show(options, &facts, || Ok(desk.season_sheet(yard)?))
}

fn keys(place: &Place, options: &Show) -> Outcome<ExitCode> {
    let lore = Desk::load_lore(place.lore.as_deref())?;
    let keys = event_keys(&lore);
    let listed: Vec<_> = keys.iter().map(|(key, name)| json!({"key": key, "name": name})).collect();
    show(options, &listed, || {
        let rows = keys.iter().map(|(key, name)| vec![key.clone(), name.clone()]).collect();
        Ok(Sheet::new("events", "Events that can be asked for", super::today(place)).with(Block::table("", &["key", "event"], rows)))
    })
}

fn alone(place: &Place, options: &Show, args: &SeasonArgs, file: &str, (latitude, longitude): (f64, f64)) -> Outcome<ExitCode> {
    let kind = match args.future.as_deref() {
        None => None,
        Some(word) => Some(
            futures::Kind::from_word(word)
                .ok_or_else(|| Failure(format!("`{word}` is no kind of future; use plain, detrended or generated")))?,
        ),
    };
    let lore = Desk::load_lore(place.lore.as_deref())?;
    let asking = Asking { latitude, longitude, on: super::today(place), key: args.event.as_deref(), kind };
    let found = season_alone(&lore, &read_file(file)?, &file_name(file), &asking)?;
    show(options, &found, || Ok(events_sheet(&found)))
}

fn events_sheet(found: &SeasonEvents) -> Sheet {
    let day = |d: Option<jiff::civil::Date>| d.map_or_else(|| "–".to_owned(), |d| d.to_string());
    let rows = found
        .events
        .iter()
        .map(|e| vec![e.name.clone(), day(e.p10), day(e.p50), day(e.p90), format!("{:.0}%", e.never * 100.0), e.key.clone()]);
    Sheet::new("season-events", "What comes when", found.on).subtitle(format!("From {} on; futures: {}", found.on, found.future)).with(
        Block::table(
            "Of the futures in which it still comes this year, 10, 50 and 90 % have it by",
            &["event", "10%", "50%", "90%", "not#", "key"],
            rows.collect(),
        ),
    )
}

fn what_if(desk: &Desk, options: &Show, yard: &str, text: &str) -> Outcome<ExitCode> {
    let shift = Quantity::parse_as(text, Kind::TemperatureDifference).map_err(|e| Failure(format!("--warmer-by: {e}")))?;
    let by_c = shift.in_unit("degC")?;
    if by_c.abs() > 10.0 {
        return refuse(format!("--warmer-by: {shift} is more than 18 degF either way; ask for less, for example `-2 degF`"));
    }
    let (before, after) = (desk.season_events(yard, 0.0)?, desk.season_events(yard, by_c)?);
    let pairs: Vec<_> = before.iter().zip(&after).filter(|(a, b)| a.p50 != b.p50 && a.p90.is_some_and(|d| d >= desk.today)).collect();
    let facts: Vec<_> = pairs.iter().map(|(a, b)| json!({"key": a.key, "name": a.name, "p50": a.p50, "p50_if": b.p50})).collect();
    show(options, &facts, || {
        let day = |d: Option<jiff::civil::Date>| d.map_or_else(|| "–".to_owned(), |d| d.strftime("%-d %b").to_string());
        let rows = pairs.iter().map(|(a, b)| vec![a.name.clone(), day(a.p50), day(b.p50)]).collect();
        let note = desk.future_note(&desk.yard(yard)?)?;
        let from = note.map_or_else(String::new, |note| format!("Futures, each day of them moved: {}", note.future_words));
        Ok(desk.sheet("what-if", format!("{yard}, if every day is {shift} warmer")).subtitle(from).with(Block::table(
            "Middle days of what is still to come",
            &["event", "as it is", "if so"],
            rows,
        )))
    })
}

pub(crate) fn seen(place: &Place, yard: &str, event: &str, date: Option<jiff::civil::Date>, who: Option<&str>) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    let noted = desk.saw(yard, event, date, who)?;
    if let Some(days) = noted.residual_days {
        let how = if days >= 0.5 {
            format!("{days:.0} days later than the clock had said")
        } else if days <= -0.5 {
            format!("{:.0} days earlier than the clock had said", -days)
        } else {
            "on the day the clock had said".to_owned()
        };
        say(&format!("{event} at {yard}: {how}; its clock moves here and, by less, nearby"));
    }
    if !noted.starts.is_empty() {
        say(&format!("{event} at {yard}: from that day these run: {}", noted.starts.join("; ")));
    }
    Ok(ExitCode::SUCCESS)
}
