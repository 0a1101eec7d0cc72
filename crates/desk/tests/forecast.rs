//! A kept forecast at the desk: it moves the season's events, narrows the near ones, and is told on the sheets.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use groundlore_book::Book;
use groundlore_book::forecasts::{ForecastHour, KeptForecast};
use groundlore_desk::Desk;
use groundlore_desk::demo::{TROUBLE, YARD, day};
use groundlore_desk::yards::YardFacts;
use jiff::civil::{Date, date};
use jiff::{SignedDuration, ToSpan as _, Unit};

/// An invented lawn near the built-in station.
const MAP: &str = r#"{"type": "FeatureCollection", "name": "Plover Row", "features": [
{"type": "Feature", "id": "lawn", "properties": {"kind": "lawn", "name": "Lawn", "shade": "full-sun"}, "geometry": {"type": "Polygon", "coordinates": [[[-88.0, 43.0], [-87.9998, 43.0], [-87.9998, 43.0001], [-88.0, 43.0001], [-88.0, 43.0]]]}}]}"#;

const TODAY: Date = date(2015, 5, 10);

fn desk() -> Desk {
    let book = Book::open_in_memory().unwrap();
    let mut desk = Desk::new(book, Desk::load_lore(None).unwrap(), TODAY, "2015-05-10T13:00:00Z".parse().unwrap());
    let facts = YardFacts { station: Some("USW00014839".into()), ..YardFacts::default() };
    desk.import_yard(MAP, "plover-row.geojson", &facts, false).unwrap();
    desk
}

/// A week from today by a clock five hours behind UTC, coldest at 3 and warmest at 15 o'clock.
fn week(from: Date, low_c: f64, high_c: f64) -> KeptForecast {
    let midnight = from.at(0, 0, 0, 0);
    let hour = |index: i64| {
        let local = midnight.checked_add(index.hours()).unwrap();
        let cold = (1.0 - (f64::from(local.hour() - 15) / 12.0 * std::f64::consts::PI).cos()) / 2.0;
        ForecastHour {
            local,
            starts: jiff::tz::Offset::constant(-5).to_timestamp(local).unwrap(),
            temperature_c: high_c - (high_c - low_c) * cold,
            wind_m_s: Some(3.0),
            gust_m_s: None,
            humidity: None,
            dewpoint_c: None,
            rain_chance: Some(0.0),
            rain_mm: None,
        }
    };
    let hours: Vec<ForecastHour> = (0..24 * 7).map(hour).collect();
    KeptForecast {
        station: Some("USW00014839".into()),
        latitude: 42.955,
        longitude: -87.9044,
        issued_at: Some(hours[0].starts - SignedDuration::from_mins(30)),
        fetched_at: hours[0].starts,
        address: "https://example.org/42.955,-87.9044".into(),
        hours,
        ..KeptForecast::default()
    }
}

#[test]
fn a_hot_week_brings_the_next_weeks_events_forward_and_narrows_most_of_them() {
    let mut desk = desk();
    let before = desk.season_events("Plover Row", 0.0).unwrap();
    let said = desk.keep_forecast(&week(TODAY, 19.0, 33.0)).unwrap();
    assert_eq!(said, "the odds use its days 10 May to 16 May");
    let after = desk.season_events("Plover Row", 0.0).unwrap();
    let band = |odds: &groundlore_plant_health::event_clock::ClockOdds| {
        let span = odds.p10?.until((Unit::Day, odds.p90?)).ok()?.get_days();
        Some((odds.p50?, span))
    };
    let last = TODAY.checked_add(21.days()).unwrap();
    let (mut earlier, mut narrower, mut all, mut wider) = (0, 0, 0, 0);
    for (old, new) in before.iter().zip(&after) {
        assert_eq!(old.key, new.key);
        let (Some((middle, span)), Some((new_middle, new_span))) = (band(old), band(new)) else { continue };
        if middle > TODAY && middle < last && new_middle != middle {
            all += 1;
            earlier += usize::from(new_middle < middle);
            narrower += usize::from(new_span < span);
            wider += usize::from(new_span > span + 3);
        }
    }
    assert!(all >= 10 && earlier * 10 >= all * 9, "{earlier} of {all} come earlier");
    assert!(narrower * 2 > all && wider * 10 <= all, "{narrower} of {all} narrower, {wider} wider by more than three days");
    // The same book says the same again, and a cooler scenario still moves it.
    assert_eq!(desk.season_events("Plover Row", 0.0).unwrap(), after);
    let cool = desk.season_events("Plover Row", -3.0).unwrap();
    assert!(after.iter().zip(&cool).filter(|(warm, cool)| cool.p50 > warm.p50 && warm.p50 > Some(last)).count() >= 10);
}

#[test]
fn a_yard_whose_stations_forecast_is_over_goes_by_its_own() {
    let mut desk = desk();
    desk.keep_forecast(&week(date(2015, 4, 20), 10.0, 22.0)).unwrap();
    let note = |desk: &Desk| desk.future_note(&desk.yard("Plover Row").unwrap()).unwrap().unwrap();
    assert!(note(&desk).forecast_not_used.unwrap().contains("ended on 26 Apr"));
    // The station's is over; the yard's own is of today.
    let yard = desk.yard("Plover Row").unwrap().row.id;
    desk.keep_forecast(&KeptForecast { station: None, yard_id: Some(yard), ..week(TODAY, 10.0, 22.0) }).unwrap();
    let now = note(&desk);
    assert_eq!((now.future.as_str(), now.forecast.as_ref().map(|used| used.to)), ("forecast-then-detrended", Some(date(2015, 5, 16))));
    assert_eq!(desk.forecast_lines().unwrap().len(), 1);
}

#[test]
fn a_forecast_moves_the_weeks_windows_and_the_week_says_what_was_planned() {
    let now = day().at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp();
    let mut desk = Desk::new(Book::open_in_memory().unwrap(), Desk::load_lore(None).unwrap(), day(), now);
    desk.fill_demo().unwrap();
    let on = date(2015, 7, 20);
    desk.today = on;
    let plan = desk.scouting_plan(YARD, TROUBLE, 20).unwrap();
    desk.plan_scouting_task(&plan).unwrap();
    let key = format!("linden-house/scout/{TROUBLE}");
    let told = |desk: &Desk| desk.open_tasks(None).unwrap().into_iter().map(|(task, _)| task).find(|task| task.key == key).unwrap().window;
    let planned = told(&desk);
    assert!(!planned.odds.iter().any(|line| line.starts_with("planned as")), "{:?}", planned.odds);
    desk.keep_forecast(&week(on, 26.0, 40.0)).unwrap();
    let hot = told(&desk);
    assert!(hot.best < planned.best && hot.latest <= planned.latest, "{} is not before {}", hot.best, planned.best);
    let said = format!("planned as {} to", planned.earliest.strftime("%-d %b"));
    assert!(hot.odds.iter().any(|line| line.starts_with(&said)), "{:?}", hot.odds);
    // What is in the book is as it was planned, until it is planned anew.
    assert_eq!(desk.book.task_keyed(&key).unwrap().unwrap().best, Some(planned.best));
    // A sight plans it anew: then that is what was planned.
    desk.saw(YARD, "white-grubs-small-by-heat-10", Some(on), None).unwrap();
    assert!(!told(&desk).odds.iter().any(|line| line.starts_with("planned as")));
}
