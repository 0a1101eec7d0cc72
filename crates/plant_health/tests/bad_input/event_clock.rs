//! Clocks that cannot be read, places that are none, starts that were not seen, leap days and the polar circle.

use groundlore_lore::Lore;
use groundlore_lore::event_clock::EventClock;
use groundlore_lore::provenance::Standing;
use groundlore_plant_health::event_clock::{Asked, Biofix, Event, EventError, Outlook, event, events, odds, odds_of_all};
use groundlore_plant_health::observed::{Place, Seen, Spreads, shift};
use groundlore_weather::{Columns, Ensemble, Series, Station};
use jiff::civil::{Date, date};
use std::sync::Arc;

fn series(latitude: f64) -> Series {
    let mut columns = Columns::default();
    let mut day = date(2010, 1, 1);
    while day < date(2017, 1, 1) {
        let season = -(f64::from(day.day_of_year()) * std::f64::consts::TAU / 365.0).cos();
        columns.tmin_c.push(3.0 + 12.0 * season);
        columns.tmax_c.push(13.0 + 12.0 * season);
        day = day.tomorrow().unwrap();
    }
    Series::from_columns(Station { latitude: Some(latitude), ..Station::default() }, date(2010, 1, 1), columns).unwrap()
}

fn outlook(on: Date, latitude: f64) -> Outlook {
    Outlook::of_ensemble(&Ensemble::years_of_record(&series(latitude), on).unwrap(), latitude, None).unwrap()
}

fn clock(change: &[(&str, &str)]) -> EventClock {
    let mut text =
        "key = \"moth\"\nname = \"moth\"\nkind = \"ornamental-insect\"\nstart = { on = \"date\", day = \"01-01\", source = \"memory\" }\n\
         driver = { by = \"air-degree-days\", method = \"average\", base = \"50 degF\", source = \"memory\" }\n\
         threshold = { low = 90, high = 110, unit = \"F-days\", source = \"memory\" }\n\
         model_error = { days = 7, source = \"memory\" }\nregion = \"here\"\nedition = \"now\"\nsource = \"memory\"\n"
            .to_owned();
    for (from, to) in change {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    toml::from_str(&text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn asked(clock: EventClock, outlook: &Outlook, asked: &Asked) -> Result<groundlore_plant_health::event_clock::ClockOdds, EventError> {
    odds(&Event { clock: Arc::new(clock), share: None, standing: Standing::Recalled }, outlook, asked)
}

#[test]
fn clocks_that_cannot_be_read_are_named_with_what_is_wrong() {
    let outlook = outlook(date(2015, 5, 1), 43.0);
    for (from, to, word) in [
        ("01-01", "13-01", "13-01"),
        ("\"average\"", "\"guess\"", "guess"),
        ("\"50 degF\"", "\"50 ft\"", "50 ft"),
        ("base = \"50 degF\"", "base = \"50 degF\", upper = \"40 degF\", cutoff = \"horizontal\"", "upper"),
        ("base = \"50 degF\"", "base = \"50 degF\", cutoff = \"round\"", "round"),
        (
            "by = \"air-degree-days\", method = \"average\", base = \"50 degF\"",
            "by = \"soil-temperature\", depth = \"3 degF\", days = 3, at = \"at-or-above\"",
            "degF",
        ),
        (
            "by = \"air-degree-days\", method = \"average\", base = \"50 degF\"",
            "by = \"calendar\", from = \"06-31\", to = \"07-01\"",
            "06-31",
        ),
    ] {
        let error = asked(clock(&[(from, to)]), &outlook, &Asked::default()).unwrap_err().to_string();
        assert!(error.contains("clock `moth`") && error.contains(word), "{to}: {error}");
    }
}

#[test]
fn one_wrong_clock_of_many_loses_no_other() {
    let outlook = outlook(date(2015, 5, 1), 43.0);
    let event = |clock| Event { clock: Arc::new(clock), share: None, standing: Standing::Recalled };
    let events = [event(clock(&[])), event(clock(&[("\"average\"", "\"guess\"")])), event(clock(&[]))];
    let answers = odds_of_all(&events, &outlook, |_| Asked::default());
    assert!(answers[0].is_ok() && answers[1].is_err() && answers[0] == answers[2]);
}

#[test]
fn a_latitude_that_is_none_is_told() {
    for latitude in [143.0, -90.5, f64::NAN] {
        let error = Outlook::without_weather(date(2015, 5, 1), latitude, None).unwrap_err().to_string();
        assert!(error.contains("latitude") && error.contains("43.0"), "{error}");
    }
}

#[test]
fn a_start_that_was_not_seen_waits_and_one_that_was_seen_runs() {
    let outlook = outlook(date(2015, 5, 1), 43.0);
    let by_sight = || {
        clock(&[(
            "{ on = \"date\", day = \"01-01\", source = \"memory\" }",
            "{ on = \"biofix\", event = \"first moth in a trap\", source = \"memory\" }",
        )])
    };
    let waiting = asked(by_sight(), &outlook, &Asked::default()).unwrap();
    assert_eq!((waiting.waits_for.as_deref(), waiting.p50, waiting.never), (Some("first moth in a trap"), None, 0.0));
    assert!(!waiting.may_open_treatment());
    let running = asked(by_sight(), &outlook, &Asked { biofix: Some(Biofix::here(date(2015, 6, 1))), ..Asked::default() }).unwrap();
    assert!(running.waits_for.is_none() && running.p50.unwrap() > date(2015, 6, 1));
}

#[test]
fn without_weather_a_clock_of_heat_gives_no_date_and_one_of_days_does() {
    let outlook = Outlook::without_weather(date(2015, 5, 1), 43.0, None).unwrap();
    let heat = asked(clock(&[]), &outlook, &Asked::default()).unwrap();
    assert_eq!((heat.p50, heat.futures), (None, 0));
    let (lore, _) = Lore::built_in_lenient(None);
    let days = event(&lore, "late-summer-seeding-opens-nebraska").unwrap();
    assert!(odds(&days, &outlook, &Asked::default()).unwrap().p50.is_some());
}

#[test]
fn leap_days_are_days() {
    let leap = outlook(date(2016, 2, 29), 43.0);
    let from_leap_day = clock(&[("day = \"01-01\"", "day = \"02-29\"")]);
    assert!(asked(from_leap_day.clone(), &leap, &Asked::default()).unwrap().p50.is_some());
    assert!(asked(from_leap_day, &outlook(date(2015, 2, 28), 43.0), &Asked::default()).unwrap().p50.is_some());
}

#[test]
fn the_polar_circle_and_the_equator_are_places_too() {
    let events = events(&Lore::built_in_lenient(None).0);
    for latitude in [71.0, 89.9, 0.0, -54.0, -89.9] {
        let outlook = outlook(date(2015, 5, 1), latitude);
        for answer in odds_of_all(&events, &outlook, |_| Asked::default()) {
            let odds = answer.unwrap();
            assert!(odds.p10.is_none() || odds.p50.is_none() || odds.p10 <= odds.p50, "{latitude} {}", odds.key);
        }
    }
}

#[test]
fn sights_that_mean_nothing_leave_the_clock_as_it_was() {
    let here = Place { east_m: 0.0, north_m: 0.0 };
    let good = Seen { yard: "a".into(), place: here, residual_days: -5.0, doubt_days: 2.0, correlation: 1.0 };
    let spreads = Spreads::of_sd(5.0);
    for wrong in [
        Seen { residual_days: f64::NAN, ..good.clone() },
        Seen { doubt_days: 0.0, ..good.clone() },
        Seen { doubt_days: f64::INFINITY, ..good.clone() },
        Seen { correlation: 4.0, ..good.clone() },
        Seen { place: Place { east_m: f64::NAN, north_m: 0.0 }, ..good.clone() },
    ] {
        assert_eq!(shift("a", here, &[wrong], &spreads).mean_days, 0.0);
    }
    assert!(shift("a", here, &[good], &Spreads::of_sd(0.0)).mean_days == 0.0, "a clock without doubt does not move");
}
