//! Clocks of the season against values from outside: dates of heat totals, odds widened by errors, shifts learned from sights, and the
//! rows of section 2 of the season note that were read.

use groundlore_lore::Lore;
use groundlore_lore::event_clock::EventClock;
use groundlore_lore::provenance::Standing;
use groundlore_plant_health::event_clock::{Asked, ClockOdds, Event, Outlook, event, events, events_of, odds, odds_of_all};
use groundlore_plant_health::observed::{Place, Seen, Spreads, shift};
use groundlore_weather::calendar::day_number;
use groundlore_weather::{Columns, Ensemble, ReadOptions, Series, Station, read_text};
use jiff::civil::{Date, date};
use std::sync::Arc;

pub(crate) fn seattle() -> Series {
    let text = include_str!("../data/seattle_daily_temperature_2012_2015.csv").replace("tmin_c,tmax_c", "TMIN (degC),TMAX (degC)");
    let mut series = read_text(&text, "seattle.csv", &ReadOptions::default()).unwrap().series;
    series.station.latitude = Some(47.4);
    series
}

/// A clock written as in a file.
pub(crate) fn clock(start: &str, driver: &str, threshold: &str, rest: &str) -> EventClock {
    let text = format!(
        "key = \"test\"\nname = \"test\"\nkind = \"frost\"\nstart = {start}\ndriver = {driver}\n{threshold}\n{rest}\nregion = \"here\"\nedition = \"now\"\nsource = \"memory\"\n"
    );
    toml::from_str(&text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

pub(crate) const EXACT: &str = "model_error = { days = 0, source = \"memory\" }";

pub(crate) fn by_date(day: &str) -> String {
    format!("{{ on = \"date\", day = \"{day}\", source = \"memory\" }}")
}

pub(crate) fn at(low: f64, high: f64, unit: &str) -> String {
    format!("threshold = {{ low = {low}, high = {high}, unit = \"{unit}\", source = \"memory\" }}")
}

pub(crate) fn one(clock: EventClock, outlook: &Outlook) -> ClockOdds {
    let event = Event { clock: Arc::new(clock), share: None, standing: Standing::Recalled };
    odds(&event, outlook, &Asked::default()).unwrap()
}

#[test]
fn heat_totals_of_seattle_2013_are_dated_as_by_numpy() {
    let ensemble = Ensemble::years_of_record(&seattle(), date(2013, 12, 31)).unwrap();
    let outlook = Outlook::of_ensemble(&ensemble, 47.4, None).unwrap();
    let text = include_str!("../data/seattle_season_expected_2013.csv");
    let header: Vec<&str> = text.lines().next().unwrap().split(',').collect();
    let mut checked = 0;
    for line in text.lines().skip(1) {
        let row: Vec<&str> = line.split(',').collect();
        let mut driver = format!("{{ by = \"air-degree-days\", method = \"{}\", base = \"{} degC\", ", row[3].replace('_', "-"), row[4]);
        if !row[5].is_empty() {
            driver += &format!("upper = \"{} degC\", cutoff = \"{}\", ", row[5], row[6]);
        }
        driver += "source = \"memory\" }";
        for (name, cell) in header.iter().zip(&row) {
            let Some(total) = name.strip_prefix("first_date_ge_") else { continue };
            let total: f64 = total.parse().unwrap();
            let odds = one(clock(&by_date(row[2]), &driver, &at(total, total, "C-days"), EXACT), &outlook);
            let expected: Date = cell.parse().unwrap();
            assert_eq!((odds.p10, odds.p50, odds.p90), (Some(expected), Some(expected), Some(expected)), "{} {name}", row[0]);
            checked += 1;
        }
    }
    assert_eq!(checked, 22 * 6);
}

#[test]
fn the_same_total_in_fahrenheit_has_the_same_date() {
    let ensemble = Ensemble::years_of_record(&seattle(), date(2013, 12, 31)).unwrap();
    let outlook = Outlook::of_ensemble(&ensemble, 47.4, None).unwrap();
    // SEA-01: 250 C-days over 10 °C from 1 January, by average, on 6 June 2013.
    let driver = "{ by = \"air-degree-days\", method = \"average\", base = \"50 degF\", source = \"memory\" }";
    let odds = one(clock(&by_date("01-01"), driver, &at(450.0, 450.0, "F-days"), EXACT), &outlook);
    assert_eq!(odds.p50, Some(date(2013, 6, 6)));
}

#[test]
fn errors_in_days_widen_the_odds_as_a_mixture_of_normals_does() {
    // Each future of an invented station meets its threshold on the day that the row gives it.
    let text = include_str!("../data/clock_mixtures.csv");
    let mut missed = Vec::new();
    for line in text.lines().skip(1) {
        let row: Vec<&str> = line.split(',').collect();
        let days: Vec<i16> = row[1].split(' ').map(|day| day.parse().unwrap()).collect();
        let sd: f64 = row[2].parse().unwrap();
        let outlook = futures_with_heat_on(&days);
        let error = format!("model_error = {{ days = {}, source = \"memory\" }}", sd * 1.281_551_565_544_6);
        let driver = "{ by = \"air-temperature\", of = \"maximum\", days = 1, at = \"at-or-above\", source = \"memory\" }";
        let odds = one(clock(&by_date("03-01"), driver, &at(30.0, 30.0, "degC"), &error), &outlook);
        for (quantile, expected) in [(odds.p10, row[3]), (odds.p50, row[4]), (odds.p90, row[5])] {
            let got = f64::from(quantile.unwrap().day_of_year());
            let expected: f64 = expected.parse().unwrap();
            // A date is a whole day, and the error is taken at eleven points, each rounded to a day.
            missed.push((got - expected).abs());
            assert!((got - expected).abs() <= 1.5, "{}: {got}, expected {expected}", row[0]);
        }
    }
    let mean = missed.iter().sum::<f64>() / missed.len() as f64;
    assert!(mean < 0.5, "{mean} days off on average");
}

/// Futures of a season in which the first hot day is the given day of a common year, each with its own past year.
fn futures_with_heat_on(days: &[i16]) -> Outlook {
    let first_year = 2015 - i16::try_from(days.len()).unwrap();
    let mut columns = Columns::default();
    let mut day = date(first_year, 1, 1);
    while day < date(2015, 1, 1) {
        let hot = days[usize::try_from(day.year() - first_year).unwrap()];
        // A leap year's day after February is numbered a day later.
        let number = day.day_of_year() - i16::from(day.in_leap_year() && day.month() > 2);
        columns.tmin_c.push(5.0);
        columns.tmax_c.push(if number == hot { 35.0 } else { 15.0 });
        day = day.tomorrow().unwrap();
    }
    let series = Series::from_columns(Station { latitude: Some(43.0), ..Station::default() }, date(first_year, 1, 1), columns).unwrap();
    let ensemble = Ensemble::years_of_record(&series, date(2015, 1, 1)).unwrap();
    Outlook::of_ensemble(&ensemble, 43.0, None).unwrap()
}

#[test]
fn shifts_learned_from_sights_agree_with_a_gaussian_process() {
    for line in include_str!("../data/clock_shifts.csv").lines().skip(1) {
        let row: Vec<&str> = line.split(',').collect();
        let numbers = |text: &str| text.split(' ').map(|number| number.parse::<f64>().unwrap()).collect::<Vec<_>>();
        let asked = numbers(row[2]);
        let place = |east_m: f64, north_m: f64| Place { east_m, north_m };
        let sight = |(i, text): (usize, &str)| {
            let sight = numbers(text);
            Seen {
                yard: format!("y{i}"),
                place: place(sight[0], sight[1]),
                residual_days: sight[2],
                doubt_days: sight[3],
                correlation: 1.0,
            }
        };
        let seen: Vec<Seen> = row[3].split(';').enumerate().map(sight).collect();
        let shift = shift("asked", place(asked[0], asked[1]), &seen, &Spreads::of_sd(row[1].parse().unwrap()));
        super::close(row[0], shift.mean_days, row[4].parse().unwrap(), 1e-6);
        super::close(row[0], shift.sd_days, row[5].parse().unwrap(), 1e-6);
    }
}

#[test]
fn the_day_is_twelve_hours_at_the_autumn_equinox() {
    // The equinox fell on 23 September 2015 (08:21 UTC); the simple geometry is good to a few days.
    let outlook = Outlook::without_weather(date(2015, 6, 1), 43.0, None).unwrap();
    let driver = "{ by = \"day-length\", at = \"at-or-below\", source = \"memory\" }";
    let odds = one(clock(&by_date("07-01"), driver, &at(12.0, 12.0, "hours"), EXACT), &outlook);
    let miss = day_number(odds.p50.unwrap()) - day_number(date(2015, 9, 23));
    assert!(miss.abs() <= 4, "{:?}", odds.p50);
}

/// Rows of section 2 of the season note: id, event, driver and threshold as its working tells them.
const ROWS: [(&str, &str, &str); 14] = [
    (
        "PH-110",
        "cooley-spruce-gall-adelgid-first-window-begins-new-hampshire",
        "heat of the air above 50 degF, average (unh-adams-gdd), from 03-01 (unh-adams-gdd): 22 F-days (unh-adams-gdd); New Hampshire",
    ),
    ("PH-111", "cooley-spruce-gall-adelgid-second-window-ends-new-hampshire", "from 03-01 (unh-adams-gdd): 1775 F-days (unh-adams-gdd)"),
    ("PH-117", "spongy-moth-hatch-massachusetts-50", "from 03-01 (massachusetts-gdd-note): 90 to 100 F-days"),
    ("PH-119", "winter-moth-hatch-rhode-island-50", "heat of the air above 40 degF"),
    ("PH-125", "billbug-adults-by-first-eastern-50", "from 03-01 (ramirez-dupuy-2015): 155 to 195 C-days"),
    ("PH-127", "billbug-adults-by-first-utah-10", "from 01-13 (ramirez-dupuy-2015): 39 to 111 C-days"),
    ("PH-128", "billbug-adults-by-30-percent-utah-50", "459 to 484 C-days"),
    ("PH-129", "billbug-adults-by-peak-utah-50", "768 to 838 C-days"),
    ("PH-132", "smooth-crabgrass-emerges-by-major-maryland-50", "heat of the soil above 12 degC, 2.5 cm deep"),
    ("PH-133", "smooth-crabgrass-soil-week-maryland", "mean soil temperature of 7 days, 2.5 cm deep"),
    ("PH-136", "crabgrass-flush-indiana", "73 degF (purdue-crabgrass)"),
    ("PH-139", "crabgrass-soil-virginia", "mean soil temperature of 5 days, 4 in deep"),
    ("PH-123", "hemlock-woolly-adelgid-settled-appalachians-50", "1010 C-days"),
    ("PH-144", "periodical-cicada-emerges-50", "64 degF"),
];

#[test]
fn read_rows_of_the_season_note_are_told_with_their_figures_and_sources() {
    let (lore, _) = Lore::built_in_lenient(None);
    let ensemble = Ensemble::years_of_record(&seattle(), date(2015, 5, 1)).unwrap();
    let outlook = Outlook::of_ensemble(&ensemble, 47.4, None).unwrap();
    for (id, key, told) in ROWS {
        let event = event(&lore, key).unwrap_or_else(|| panic!("{id}: no event {key}"));
        let odds = odds(&event, &outlook, &Asked::default()).unwrap();
        assert!(odds.working[0].contains(told), "{id} {key}: {}", odds.working[0]);
    }
}

#[test]
fn every_event_of_the_lore_is_dated_or_says_why_not() {
    let (lore, _) = Lore::built_in_lenient(None);
    let events = events(&lore);
    assert!(events.len() >= 150, "{}", events.len());
    let ensemble = Ensemble::years_of_record(&seattle(), date(2015, 5, 1)).unwrap();
    for latitude in [47.4, -37.8, 70.0, 0.0] {
        let outlook = Outlook::of_ensemble(&ensemble, latitude, None).unwrap();
        let mut undated = Vec::new();
        for answer in odds_of_all(&events, &outlook, |_| Asked::default()) {
            let odds = answer.unwrap();
            assert!((0.0..=1.0).contains(&odds.never) && odds.p10 <= odds.p50.or(odds.p10), "{odds:?}");
            if odds.p50.is_none() && odds.never < 0.5 && odds.waits_for.is_none() {
                undated.push(odds.key);
            }
        }
        assert!(undated.is_empty(), "{latitude}: {undated:?}");
    }
}

#[test]
fn one_by_one_and_all_together_give_the_same_odds() {
    let (lore, _) = Lore::built_in_lenient(None);
    let events = events(&lore);
    let ensemble = Ensemble::years_of_record(&seattle(), date(2015, 5, 1)).unwrap();
    let outlook = Outlook::of_ensemble(&ensemble, 47.4, None).unwrap();
    let together = odds_of_all(&events, &outlook, |_| Asked::default());
    for (event, answer) in events.iter().zip(together) {
        assert_eq!(odds(event, &outlook, &Asked::default()).unwrap(), answer.unwrap());
    }
}

#[test]
fn no_remembered_clock_opens_a_treatment_window() {
    let (lore, _) = Lore::built_in_lenient(None);
    let outlook = Outlook::without_weather(date(2015, 5, 1), 43.0, None).unwrap();
    let mut read = 0;
    for clock in lore.all_clocks() {
        let memory = |source: &groundlore_lore::provenance::Source| source.0.iter().any(|key| key == "memory" || key == "common practice");
        let threshold = clock.threshold.as_ref().is_some_and(|threshold| memory(&threshold.source));
        let recalled = memory(clock.start.source()) || memory(clock.driver.source()) || memory(&clock.source) || threshold || clock.derived;
        for event in events_of(&lore, clock) {
            let odds = odds(&event, &outlook, &Asked::default()).unwrap();
            assert!(!(recalled && odds.may_open_treatment()), "{}", odds.key);
            read += usize::from(odds.may_open_treatment());
        }
    }
    assert!(read >= 40, "{read}");
}
