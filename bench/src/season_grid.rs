//! The season of a whole book: 150 events with odds in each of thousands of yards on 100 stations, every yard with a temperature shift of
//! its own and one sight.

use groundlore_lore::Lore;
use groundlore_plant_health::event_clock::{Asked, Event, Outlook, events, odds_of_all};
use groundlore_plant_health::season_grid::{SeasonGrid, ShiftSteps, Yard, grids_of_stations, season_of_yards};
use groundlore_weather::futures::{Futures, Kind};
use groundlore_weather::{ReadOptions, Series, Station, read_text};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

/// The day that is asked on.
const ON: Date = date(2015, 4, 15);
const LATITUDE: f64 = 42.955;
const STATIONS: usize = 100;
const EVENTS: usize = 150;
const THREADS: usize = 2;

/// Times the season of 1,000, 3,000 and 10,000 yards, and of one. `file` is a station's record, a CSV of the form that the tool reads.
pub fn time(file: &Path, rounds: usize) -> Result<(), Box<dyn Error>> {
    let lore = Lore::built_in_lenient(None).0;
    let all = events(&lore);
    let some = spread(&all, EVENTS);
    let begun = Instant::now();
    let station = milwaukee(file, Kind::Plain)?;
    println!("one-station-read-and-futures {:.4} s, {} futures ({})", begun.elapsed().as_secs_f64(), station.futures(), station.word());
    // The other stations are this one, made warmer and colder: by up to 2.5 K either way.
    let outlooks: Vec<Outlook> = (0..STATIONS).map(|i| station.clone().warmer_by(-2.5 + 5.0 * i as f64 / (STATIONS - 1) as f64)).collect();
    println!("events {} of {} in the lore, stations {}, threads {THREADS}", some.len(), all.len(), outlooks.len());
    for round in 1..=rounds {
        let (begun, cpu) = (Instant::now(), cpu_seconds());
        let grids = grids_of_stations(&some, &outlooks, ShiftSteps::USUAL, THREADS)?;
        let gridded = begun.elapsed().as_secs_f64();
        println!("round {round}: grids {gridded:.4} s (cpu {:.2} s), {:.0} MB at most so far", cpu_seconds() - cpu, memory_mb());
        for number in [1_000, 3_000, 10_000] {
            let (begun, cpu) = (Instant::now(), cpu_seconds());
            let yards = yards(&grids, number)?;
            let sights = begun.elapsed().as_secs_f64();
            let season = season_of_yards(&grids, &yards, THREADS)?;
            let read = begun.elapsed().as_secs_f64();
            println!(
                "round {round}: {number} yards {read:.4} s (cpu {:.2} s; of that sights {sights:.4} s), with grids {:.4} s, {:.0} yards/s, {:.0} MB at most so far",
                cpu_seconds() - cpu,
                gridded + read,
                number as f64 / read,
                memory_mb()
            );
            assert_eq!(season.yards(), number);
        }
        single(&some, &station, "150 events")?;
        single(&all, &station, "all events")?;
    }
    let usual = milwaukee(file, Kind::default())?;
    println!("the desk's usual futures: {} ({})", usual.futures(), usual.word());
    single(&all, &usual, "all events, the desk's usual futures")?;
    Ok(())
}

/// Times one yard with the desk's usual futures, as the desk asks for it: futures from the record, then the odds of all events.
pub fn time_one(file: &Path, rounds: usize) -> Result<(), Box<dyn Error>> {
    let lore = Lore::built_in_lenient(None).0;
    let series = record(file)?;
    for _ in 0..rounds {
        let begun = Instant::now();
        let all = events(&lore);
        println!("one-yard-events {}", begun.elapsed().as_secs_f64());
        let outlook_begun = Instant::now();
        let outlook = Outlook::of_futures(&Futures::of(&series, ON, Kind::default())?, LATITUDE, None)?;
        println!("one-yard-futures {}", outlook_begun.elapsed().as_secs_f64());
        let odds_begun = Instant::now();
        let odds = odds_of_all(&all, &outlook, |_| Asked::default());
        println!("one-yard-odds {}", odds_begun.elapsed().as_secs_f64());
        println!("one-yard {}", begun.elapsed().as_secs_f64());
        if odds.iter().any(Result::is_err) {
            return Err("a clock of the lore cannot be dated".into());
        }
        let grid_begun = Instant::now();
        let grid = SeasonGrid::of(&all, &outlook, ShiftSteps::exactly(0.0))?;
        let read = grid.read(&Yard::default())?;
        println!("one-yard-grid {}", grid_begun.elapsed().as_secs_f64());
        assert_eq!(read.len(), odds.len());
    }
    Ok(())
}

/// One yard: by a grid of one step, and by the exact path that the desk takes.
fn single(events: &[Event], station: &Outlook, what: &str) -> Result<(), Box<dyn Error>> {
    let begun = Instant::now();
    let grid = SeasonGrid::of(events, station, ShiftSteps::exactly(0.7))?;
    let read = grid.read(&Yard { warmer_by_c: 0.7, ..Yard::default() })?;
    let by_grid = begun.elapsed().as_secs_f64();
    let begun = Instant::now();
    let outlook = station.clone().warmer_by(0.7);
    let exact = odds_of_all(events, &outlook, |_| Asked::default());
    let by_odds = begun.elapsed().as_secs_f64();
    let differ = read
        .iter()
        .zip(exact.iter().flatten())
        .filter(|(read, exact)| (read.p10, read.p50, read.p90) != (exact.p10, exact.p50, exact.p90))
        .count();
    println!("one yard, {what} ({}): grid {:.2} ms, odds_of_all {:.2} ms, {differ} differ", events.len(), 1e3 * by_grid, 1e3 * by_odds);
    Ok(())
}

/// Events spread evenly over all of them, so that every kind of driver is among them.
fn spread(all: &[Event], number: usize) -> Vec<Event> {
    (0..number).map(|i| all[i * all.len() / number].clone()).collect()
}

/// Yards of all stations in turn, sorted by station, each with a shift of its own within 3 K and one event seen some days off.
fn yards(grids: &[SeasonGrid], number: usize) -> Result<Vec<Yard>, Box<dyn Error>> {
    let yard = |place: usize| {
        let station = place * grids.len() / number;
        let grid = &grids[station];
        // Steps that never meet, in place of a random number.
        let part = (place as f64 * 0.618_033_988_75).fract();
        let warmer_by_c = -3.0 + 6.0 * part;
        let event = place * 7 % grid.events().len();
        let seen_on = ON.checked_add((30.0 + 60.0 * (place as f64 * 0.414_213_562_37).fract()).round() as i64 * 1.day())?;
        let taught = grid.taught(event, warmer_by_c, seen_on, 2.0)?;
        Ok(Yard {
            station,
            warmer_by_c,
            shifts: taught.map_or(Vec::new(), |shift| grid.of_same_clock(event).map(|event| (event, shift)).collect()),
        })
    };
    (0..number).map(yard).collect()
}

fn milwaukee(file: &Path, kind: Kind) -> Result<Outlook, Box<dyn Error>> {
    Ok(Outlook::of_futures(&Futures::of(&record(file)?, ON, kind)?, LATITUDE, None)?)
}

fn record(file: &Path) -> Result<Series, Box<dyn Error>> {
    let text = std::fs::read_to_string(file)?;
    let station = Station { id: "USW00014839".to_owned(), latitude: Some(LATITUDE), ..Station::default() };
    let options = ReadOptions { station: Some(station), whole_fahrenheit: Some(true), ..ReadOptions::default() };
    let recent: Vec<&str> = text.lines().filter(|line| line.starts_with("DATE") || *line >= "1985").collect();
    Ok(read_text(&recent.join("\n"), "USW00014839.csv", &options)?.series)
}

/// Seconds of processor that this process has used, to a hundredth: beside the seconds by the clock where others are at work too.
fn cpu_seconds() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after_name = stat.rsplit(')').next().unwrap_or_default();
    let ticks: f64 = after_name.split_whitespace().skip(11).take(2).filter_map(|ticks| ticks.parse::<f64>().ok()).sum();
    ticks / 100.0
}

/// The most memory that this process has held, MB.
fn memory_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok()).map_or(f64::NAN, |kb| kb / 1024.0)
}
