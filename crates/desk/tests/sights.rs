//! What was seen: it starts the clocks that wait for it, in the yard and nearby, and it is of the growing season of its yard.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use groundlore_book::Book;
use groundlore_desk::Desk;
use groundlore_desk::demo::{YARD, day};
use groundlore_desk::yards::YardFacts;
use groundlore_lore::Lore;
use groundlore_plant_health::clock::days_between;
use groundlore_plant_health::event_clock::ClockOdds;
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use std::fmt::Write as _;
use std::sync::Arc;

/// A yard of the demo near the first.
const NEAR: &str = "Wrenhall";
/// An event of early spring whose clock has a wide error.
const EVENT: &str = "white-grubs-small-by-heat-50";

/// A clock of an invented moth that runs from the sight of another event.
const MOTH: &str = r#"
key = "moth-eggs"
name = "moth: eggs are laid"
kind = "ornamental-insect"
start = { on = "biofix", event = "white-grubs-small-by-heat", source = "memory" }
driver = { by = "air-degree-days", method = "single-sine", base = "50 degF", source = "memory" }
threshold = { low = 200, high = 240, unit = "F-days", source = "memory" }
model_error = { days = 7, source = "memory" }
region = "here"
edition = "recalled"
source = "memory"
"#;

fn desk_on(on: Date) -> Desk {
    let (mut lore, _) = Lore::built_in_lenient(None);
    lore.clocks.insert("moth-eggs".to_owned(), toml::from_str(MOTH).unwrap());
    let now = on.at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp();
    Desk::new(Book::open_in_memory().unwrap(), Arc::new(lore), on, now)
}

fn demo() -> Desk {
    let mut desk = desk_on(day());
    desk.fill_demo().unwrap();
    desk
}

fn odds(desk: &Desk, yard: &str, key: &str) -> ClockOdds {
    desk.season_events(yard, 0.0).unwrap().into_iter().find(|odds| odds.key == key).unwrap()
}

fn width(odds: &ClockOdds) -> i64 {
    days_between(odds.p10.unwrap(), odds.p90.unwrap())
}

#[test]
fn the_clocks_own_words_start_it_in_the_yard_alone_where_it_says_so() {
    let mut desk = demo();
    assert_eq!(odds(&desk, YARD, "second-barrier").waits_for.as_deref(), Some("first barrier put down"));
    let put_down = date(2015, 4, 20);
    let noted = desk.saw(YARD, "First barrier, put down", Some(put_down), None).unwrap();
    assert_eq!(noted.residual_days, None);
    assert!(noted.starts[0].contains("second half of a split barrier"), "{:?}", noted.starts);
    let second = odds(&desk, YARD, "second-barrier");
    let after = days_between(put_down, second.p50.unwrap());
    assert!(second.waits_for.is_none() && (42..=63).contains(&after), "{after} days after the first");
    assert!(second.working.iter().any(|line| line.contains("2015-04-20")), "{:?}", second.working);
    assert!(odds(&desk, NEAR, "second-barrier").waits_for.is_some(), "nobody put one down there");
    // What is in the book stands in the clock's words.
    assert_eq!(desk.book.sightings().unwrap()[0].event, "first barrier put down");
}

#[test]
fn a_sight_of_the_event_that_a_clock_names_starts_it_here_and_wider_nearby() {
    let mut desk = demo();
    assert!(odds(&desk, YARD, "moth-eggs").waits_for.is_some());
    let seen = date(2015, 6, 20);
    let noted = desk.saw(YARD, "white-grubs-small-by-heat-10", Some(seen), None).unwrap();
    assert!(noted.residual_days.is_some() && noted.starts == ["moth: eggs are laid"], "{noted:?}");
    let (here, near) = (odds(&desk, YARD, "moth-eggs"), odds(&desk, NEAR, "moth-eggs"));
    assert!(here.waits_for.is_none() && here.p50.unwrap() > seen && days_between(seen, here.p50.unwrap()) < 40);
    assert!(near.waits_for.is_none() && width(&near) > width(&here), "{} and {} days", width(&near), width(&here));
    assert!(!here.may_open_treatment(), "it is remembered");
    // The first sight in the yard itself counts before another yard's.
    desk.saw(NEAR, "white-grubs-small-by-heat-10", Some(seen.saturating_add(10.days())), None).unwrap();
    let own = odds(&desk, NEAR, "moth-eggs");
    assert!(own.p50 > near.p50 && width(&own) < width(&near));
}

#[test]
fn what_starts_nothing_and_is_no_event_is_refused_with_what_clocks_wait_for() {
    let mut desk = demo();
    let refused = desk.saw(YARD, "first swallow", None, None).unwrap_err().to_string();
    assert!(refused.contains("--events") && refused.contains("first barrier put down"), "{refused}");
    // A clock that still waits says what for.
    let waits = desk.saw(YARD, "moth-eggs", None, None).unwrap_err().to_string();
    assert!(waits.contains("white-grubs-small-by-heat"), "{waits}");
    assert!(desk.book.sightings().unwrap().is_empty());
}

#[test]
fn a_sight_of_last_season_that_is_written_down_late_is_held_against_that_season_and_moves_it_alone() {
    let mut desk = demo();
    desk.today = date(2015, 12, 28);
    let middle = odds(&desk, YARD, EVENT).p50.unwrap();
    desk.today = date(2016, 1, 5);
    let before = odds(&desk, YARD, EVENT);
    let noted = desk.saw(YARD, EVENT, Some(middle.saturating_add(9.days())), None).unwrap();
    assert!((noted.residual_days.unwrap() - 9.0).abs() < 1e-9, "{noted:?}");
    assert_eq!(odds(&desk, YARD, EVENT).p50, before.p50, "the new season has seen nothing yet");
}

/// The built-in record half a year later, for a place in the south.
fn southern_file() -> String {
    let series = groundlore_desk::station::built_in().unwrap();
    let mut text = "DATE,PRCP (in),SNOW (in),SNWD (in),TMAX (degF),TMIN (degF)\n".to_owned();
    for (place, (tmin_c, tmax_c)) in series.tmin_c().iter().zip(series.tmax_c()).enumerate() {
        let on = series.first_day().saturating_add((i64::try_from(place).unwrap() + 184).days());
        if tmin_c.is_finite() && tmax_c.is_finite() && on.year() > 1990 {
            let _ = writeln!(text, "{on},,,,{:.1},{:.1}", tmax_c * 1.8 + 32.0, tmin_c * 1.8 + 32.0);
        }
    }
    text
}

const SOUTHERN_MAP: &str = r#"{"type": "FeatureCollection", "name": "Petrel Rise", "features": [
{"type": "Feature", "id": "lawn", "properties": {"kind": "lawn", "name": "Lawn", "shade": "full-sun"}, "geometry": {"type": "Polygon", "coordinates": [[[147.0, -43.0], [147.0002, -43.0], [147.0002, -42.9999], [147.0, -42.9999], [147.0, -43.0]]]}}]}"#;

#[test]
fn a_southern_sight_of_december_still_counts_in_january() {
    let mut desk = desk_on(date(2015, 12, 30));
    desk.add_weather("SOUTH", &southern_file(), "south.csv", Some((-43.0, 147.0)), None, true).unwrap();
    let facts = YardFacts { station: Some("SOUTH".into()), ..YardFacts::default() };
    desk.import_yard(SOUTHERN_MAP, "petrel-rise.geojson", &facts, false).unwrap();
    let bare = odds(&desk, "Petrel Rise", EVENT);
    assert!((1..=3).contains(&bare.p50.unwrap().month()), "{:?}", bare.p50);
    // Something of the southern spring, ten days early.
    let spring = desk.season_events("Petrel Rise", 0.0).unwrap();
    let event = spring
        .iter()
        .find(|odds| odds.p50.is_some_and(|day| day < date(2015, 12, 20)) && odds.doubt_sd_days > 5.0 && odds.futures > 0)
        .unwrap();
    let early = event.p50.unwrap().saturating_sub(10.days());
    desk.saw("Petrel Rise", &event.key, Some(early), None).unwrap();
    let moved = |desk: &Desk| days_between(odds(desk, "Petrel Rise", &event.key).p50.unwrap(), event.p50.unwrap());
    let before = moved(&desk);
    assert!(before >= 3, "moved by {before} days");
    desk.today = date(2016, 1, 3);
    assert_eq!(moved(&desk), before, "the new year is no new season there");
    // The barrier of spring still starts its second half.
    desk.saw("Petrel Rise", "first barrier put down", Some(date(2015, 11, 20)), None).unwrap();
    assert!(odds(&desk, "Petrel Rise", "second-barrier").p50.unwrap() > date(2015, 12, 30));
    desk.today = date(2016, 7, 5);
    assert!(odds(&desk, "Petrel Rise", "second-barrier").waits_for.is_some(), "a new season waits for a new sight");
}
