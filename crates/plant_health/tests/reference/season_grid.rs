//! Yards read from a station's grid against the exact path, event by event, on the record of Milwaukee (GHCN-Daily, public domain; see
//! `crates/desk/data/README.md`).

use groundlore_lore::Lore;
use groundlore_plant_health::event_clock::{Asked, ClockOdds, Event, Outlook, events, odds_of_all};
use groundlore_plant_health::observed::{Place, Seen, Shift, Spreads, residual_days, shift};
use groundlore_plant_health::season_grid::{GridError, GridOdds, SeasonGrid, ShiftSteps, Yard, grids_of_stations, season_of_yards};
use groundlore_weather::calendar::day_number;
use groundlore_weather::futures::{Futures, Kind};
use groundlore_weather::{ReadOptions, Station, read_text};
use jiff::civil::{Date, date};
use std::io::Read as _;
use std::sync::LazyLock;

/// The season of 2015 at Milwaukee as it lay before the days from a date on.
fn milwaukee(on: Date, kind: Kind) -> Outlook {
    let packed = std::fs::File::open(concat!(env!("CARGO_MANIFEST_DIR"), "/../desk/data/USW00014839.csv.gz")).unwrap();
    let mut text = String::new();
    flate2::read::GzDecoder::new(packed).read_to_string(&mut text).unwrap();
    // Thirty years of past are enough here, and quicker to read.
    let recent = |line: &&str| line.starts_with("DATE") || *line >= "1985";
    let text: Vec<&str> = text.lines().filter(recent).collect();
    let station = Station { id: "USW00014839".to_owned(), latitude: Some(42.955), ..Station::default() };
    let options = ReadOptions { station: Some(station), whole_fahrenheit: Some(true), ..ReadOptions::default() };
    let series = read_text(&text.join("\n"), "USW00014839.csv", &options).unwrap().series;
    Outlook::of_futures(&Futures::of(&series, on, kind).unwrap(), 42.955, None).unwrap()
}

static SPRING: LazyLock<Outlook> = LazyLock::new(|| milwaukee(date(2015, 4, 15), Kind::Plain));

/// Every third clock, with all shares of its individuals.
fn sample() -> Vec<Event> {
    let all = events(&Lore::built_in_lenient(None).0);
    let mut keys: Vec<&str> = all.iter().map(|event| event.clock.key.as_str()).collect();
    keys.dedup();
    let chosen: Vec<&str> = keys.into_iter().step_by(3).collect();
    all.iter().filter(|event| chosen.contains(&event.clock.key.as_str())).cloned().collect()
}

fn exact(events: &[Event], outlook: &Outlook, warmer_by_c: f64, asked: impl FnMut(&Event) -> Asked) -> Vec<ClockOdds> {
    let answers = odds_of_all(events, &outlook.clone().warmer_by(warmer_by_c), asked);
    answers.into_iter().map(Result::unwrap).collect()
}

fn of(odds: &ClockOdds) -> GridOdds {
    GridOdds { p10: odds.p10, p50: odds.p50, p90: odds.p90, never: odds.never }
}

fn same(event: &Event, read: &GridOdds, exact: &ClockOdds) {
    let exact = of(exact);
    assert_eq!((read.p10, read.p50, read.p90), (exact.p10, exact.p50, exact.p90), "{}", event.key());
    assert!((read.never - exact.never).abs() < 1e-6, "{}: {} for {}", event.key(), read.never, exact.never);
}

#[test]
fn at_a_step_of_the_grid_every_event_is_dated_as_by_the_exact_path() {
    let events = sample();
    let two = ShiftSteps::between(-1.5, 0.0, 1.5).unwrap();
    let grid = SeasonGrid::of(&events, &SPRING, two).unwrap();
    for warmer_by_c in [-1.5, 0.0] {
        let read = grid.read(&Yard { warmer_by_c, ..Yard::default() }).unwrap();
        let exact = exact(&events, &SPRING, warmer_by_c, |_| Asked::default());
        events.iter().zip(read.iter().zip(&exact)).for_each(|(event, (read, exact))| same(event, read, exact));
    }
}

#[test]
fn one_yard_with_a_shift_of_its_own_and_a_sight_is_dated_exactly() {
    let events = sample();
    let warmer_by_c = 0.73;
    let grid = SeasonGrid::of(&events, &SPRING, ShiftSteps::exactly(warmer_by_c)).unwrap();
    let bare = exact(&events, &SPRING, warmer_by_c, |_| Asked::default());
    // The first event of heat, seen nine days after its middle date.
    let seen = bare.iter().position(|odds| odds.p50.is_some() && odds.working[0].starts_with("heat of the air")).unwrap();
    let on = bare[seen].p50.unwrap().checked_add(jiff::Span::new().days(9)).unwrap();
    let here = Place { east_m: 0.0, north_m: 0.0 };
    let sight =
        Seen { yard: "y".into(), place: here, residual_days: residual_days(&bare[seen], on).unwrap(), doubt_days: 2.0, correlation: 1.0 };
    let expected = shift("y", here, &[sight], &Spreads::of(&bare[seen]));
    let taught = grid.taught(seen, warmer_by_c, on, 2.0).unwrap().unwrap();
    super::close("mean", taught.mean_days, expected.mean_days, 1e-9);
    super::close("deviation", taught.sd_days, expected.sd_days, 1e-9);

    let moved: Vec<(usize, Shift)> = grid.of_same_clock(seen).map(|event| (event, taught)).collect();
    let keys: Vec<String> = moved.iter().map(|(event, _)| events[*event].key()).collect();
    let read = grid.read(&Yard { station: 0, warmer_by_c, shifts: moved }).unwrap();
    let asked = |event: &Event| Asked { shift: keys.contains(&event.key()).then_some(expected), biofix: None };
    let exact = exact(&events, &SPRING, warmer_by_c, asked);
    events.iter().zip(read.iter().zip(&exact)).for_each(|(event, (read, exact))| same(event, read, exact));
    assert_ne!(read[seen].p50, bare[seen].p50, "the sight has moved it");
}

/// Days between the dates of the grid and those of the exact path, sorted, and how many of them are there in one path only.
fn missed(outlook: &Outlook, shifts_c: &[f64]) -> (Vec<f64>, usize) {
    let events = sample();
    let grid = SeasonGrid::of(&events, outlook, ShiftSteps::USUAL).unwrap();
    let (mut days, mut one_sided) = (Vec::new(), 0);
    for warmer_by_c in shifts_c.iter().copied() {
        let read = grid.read(&Yard { warmer_by_c, ..Yard::default() }).unwrap();
        for (read, exact) in read.iter().zip(exact(&events, outlook, warmer_by_c, |_| Asked::default())) {
            assert!((read.never - exact.never).abs() < 0.051, "{}: never {} for {}", exact.key, read.never, exact.never);
            for (read, exact) in [(read.p10, exact.p10), (read.p50, exact.p50), (read.p90, exact.p90)] {
                match (read, exact) {
                    (Some(read), Some(exact)) => days.push(f64::from((day_number(read) - day_number(exact)).abs())),
                    (None, None) => {}
                    _ => one_sided += 1,
                }
            }
        }
    }
    days.sort_by(f64::total_cmp);
    (days, one_sided)
}

#[test]
fn between_steps_dates_are_right_within_half_a_day_for_95_of_100() {
    // As many as the speed is asked for: more would hide more.
    assert_eq!(SPRING.futures(), 30);
    // The middle between two steps, where the interpolation is worst, and places drawn by hand.
    for (name, outlook, shifts_c) in [
        ("spring", &*SPRING, [-2.75, -0.62, 0.25, 2.81]),
        ("midsummer", &milwaukee(date(2015, 7, 20), Kind::Detrended), [-2.25, -1.13, 0.75, 1.61]),
    ] {
        let (days, one_sided) = missed(outlook, &shifts_c);
        let at = |share: f64| days[(share * (days.len() - 1) as f64).round() as usize];
        let wrong = days.iter().filter(|days| **days > 0.0).count();
        let largest = days.last().unwrap();
        // `bench/RESULTS.md` tells how many of how many differ at present.
        eprintln!("{name}: {wrong} of {} dates differ, largest {largest}", days.len());
        assert!(at(0.95) < 0.5, "{name}: {} days at the 95th percentile, {wrong} of {} dates differ", at(0.95), days.len());
        assert!(wrong * 40 < days.len(), "{name}: {wrong} of {} dates differ", days.len());
        assert!(*largest <= 10.0 && one_sided * 200 <= days.len(), "{name}: {largest} days, {one_sided} in one path only");
    }
}

#[test]
fn yards_shared_among_threads_are_read_as_one_by_one() {
    let events = &sample()[..40];
    let outlooks = [SPRING.clone(), SPRING.clone().warmer_by(1.0), SPRING.clone().warmer_by(-1.0)];
    let grids = grids_of_stations(events, &outlooks, ShiftSteps::USUAL, 2).unwrap();
    let shift = Shift { mean_days: -4.0, sd_days: 2.0 };
    let yards: Vec<Yard> =
        (0..25).map(|i| Yard { station: i % 3, warmer_by_c: -2.0 + 0.17 * i as f64, shifts: vec![(i, shift)] }).collect();
    let season = season_of_yards(&grids, &yards, 3).unwrap();
    assert_eq!(season.yards(), 25);
    for (place, yard) in yards.iter().enumerate() {
        assert_eq!(season.of_yard(place).collect::<Vec<_>>(), grids[yard.station].read(yard).unwrap());
        assert_eq!(season.odds(place, 7), Some(grids[yard.station].read(yard).unwrap()[7]));
    }
    assert_eq!((season.odds(25, 0), season.odds(0, 40)), (None, None));
}

#[test]
fn yards_out_of_reach_or_without_a_station_are_refused_with_a_remedy() {
    let events = &sample()[..3];
    let grid = SeasonGrid::of(events, &SPRING, ShiftSteps::USUAL).unwrap();
    for warmer_by_c in [3.2, -40.0, f64::NAN, f64::INFINITY] {
        let error = grid.read(&Yard { warmer_by_c, ..Yard::default() }).unwrap_err();
        assert!(matches!(error, GridError::OutOfReach { .. }) && error.to_string().contains("from -3 to 3 K"), "{error}");
    }
    let lost = Yard { station: 1, ..Yard::default() };
    assert!(matches!(
        season_of_yards(std::slice::from_ref(&grid), &[lost], 2),
        Err(GridError::NoStation { yard: 0, station: 1, stations: 1 })
    ));
    let unlike = SeasonGrid::of(&events[..2], &SPRING, ShiftSteps::USUAL).unwrap();
    assert!(matches!(season_of_yards(&[grid, unlike], &[], 2), Err(GridError::UnlikeEvents { station: 1, seen: 2, expected: 3 })));
    for (low, high, apart) in [(1.0, 0.0, 0.5), (0.0, f64::NAN, 0.5), (0.0, 1.0, 0.0), (0.0, 1.0, -1.0), (0.0, 1e9, 0.5)] {
        assert_eq!(ShiftSteps::between(low, high, apart), None);
    }
    assert_eq!(season_of_yards(&[], &[], 2).unwrap().yards(), 0);
}
