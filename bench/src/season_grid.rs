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
    let station = milwaukee(file, ON, Kind::Plain)?;
    println!("futures {}", station.futures());
    // The other stations are this one, made warmer and colder: by up to 2.5 K either way.
    let outlooks: Vec<Outlook> = (0..STATIONS).map(|i| station.clone().warmer_by(-2.5 + 5.0 * i as f64 / (STATIONS - 1) as f64)).collect();
    println!("events {}", some.len());
    println!("events-of-lore {}", all.len());
    for _ in 0..rounds {
        let (begun, cpu) = (Instant::now(), cpu_seconds());
        let grids = grids_of_stations(&some, &outlooks, ShiftSteps::USUAL, THREADS)?;
        println!("grids {}", begun.elapsed().as_secs_f64());
        println!("grids-cpu {:.2}", cpu_seconds() - cpu);
        for number in [1_000, 3_000, 10_000] {
            let (begun, cpu) = (Instant::now(), cpu_seconds());
            let yards = yards(&grids, number)?;
            println!("sights-{number} {}", begun.elapsed().as_secs_f64());
            let season = season_of_yards(&grids, &yards, THREADS)?;
            println!("yards-{number} {}", begun.elapsed().as_secs_f64());
            println!("yards-cpu-{number} {:.2}", cpu_seconds() - cpu);
            assert_eq!(season.yards(), number);
        }
    }
    println!("memory-mb {:.0}", memory_mb());
    for (season, on) in [("spring", ON), ("summer", date(2015, 7, 15)), ("winter", date(2015, 1, 10))] {
        date_errors(season, &some, &milwaukee(file, on, Kind::Plain)?)?;
    }
    Ok(())
}

/// Reads yards all over the range of shifts from a grid, and each by the exact path: how many of the dates differ, and by how much.
fn date_errors(season: &str, events: &[Event], outlook: &Outlook) -> Result<(), Box<dyn Error>> {
    let grid = SeasonGrid::of(events, outlook, ShiftSteps::USUAL)?;
    let mut off: Vec<i32> = Vec::new();
    let mut one_sided = 0;
    for place in 0..40 {
        let warmer_by_c = -3.0 + 6.0 * (f64::from(place) * 0.618_033_988_75 + 0.21).fract();
        let read = grid.read(&Yard { warmer_by_c, ..Yard::default() })?;
        let exact = odds_of_all(events, &outlook.clone().warmer_by(warmer_by_c), |_| Asked::default());
        for (read, exact) in read.iter().zip(exact.iter().flatten()) {
            for pair in [(read.p10, exact.p10), (read.p50, exact.p50), (read.p90, exact.p90)] {
                match pair {
                    (Some(read), Some(exact)) => off.push((read - exact).get_days().abs()),
                    (None, None) => {}
                    _ => one_sided += 1,
                }
            }
        }
    }
    off.sort_unstable();
    let at = |share: f64| off[((off.len() - 1) as f64 * share) as usize];
    println!("error-{season}-dates {}", off.len());
    println!("error-{season}-differ {}", off.iter().filter(|days| **days > 0).count());
    println!("error-{season}-p95 {}", at(0.95));
    println!("error-{season}-p99 {}", at(0.99));
    println!("error-{season}-largest {}", at(1.0));
    println!("error-{season}-one-sided {one_sided}");
    Ok(())
}

/// Times one yard as the desk asks for it: futures from the record, then the odds of all events. Once with the record from 1985 on, once with the
/// whole of it.
pub fn time_one(file: &Path, rounds: usize) -> Result<(), Box<dyn Error>> {
    let lore = Lore::built_in_lenient(None).0;
    for (name, first) in [("one-yard", "1985"), ("one-yard-long", "")] {
        let series = record(file, first)?;
        for _ in 0..rounds {
            let begun = Instant::now();
            let all = events(&lore);
            println!("{name}-events {}", begun.elapsed().as_secs_f64());
            let outlook_begun = Instant::now();
            let outlook = Outlook::of_futures(&Futures::of(&series, ON, Kind::default())?, LATITUDE, None)?;
            println!("{name}-outlook {}", outlook_begun.elapsed().as_secs_f64());
            let odds_begun = Instant::now();
            let odds = odds_of_all(&all, &outlook, |_| Asked::default());
            println!("{name}-odds {}", odds_begun.elapsed().as_secs_f64());
            println!("{name} {}", begun.elapsed().as_secs_f64());
            println!("{name}-number-of-futures {}", outlook.futures());
            if odds.iter().any(Result::is_err) {
                return Err("a clock of the lore cannot be dated".into());
            }
        }
    }
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

fn milwaukee(file: &Path, on: Date, kind: Kind) -> Result<Outlook, Box<dyn Error>> {
    Ok(Outlook::of_futures(&Futures::of(&record(file, "1985")?, on, kind)?, LATITUDE, None)?)
}

/// The record from a year on.
fn record(file: &Path, first: &str) -> Result<Series, Box<dyn Error>> {
    let text = std::fs::read_to_string(file)?;
    let station = Station { id: "USW00014839".to_owned(), latitude: Some(LATITUDE), ..Station::default() };
    let options = ReadOptions { station: Some(station), whole_fahrenheit: Some(true), ..ReadOptions::default() };
    let recent: Vec<&str> = text.lines().filter(|line| line.starts_with("DATE") || *line >= first).collect();
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
