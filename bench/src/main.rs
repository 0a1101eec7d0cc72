//! Our side of the timings. Data comes in files of little-endian 64-bit numbers from `side_by_side.py`; results go back the same way for
//! it to compare, and the seconds of each round go to standard output, one a line, after a word that says what was timed.
#![forbid(unsafe_code)]

mod book_writes;
mod degree_days;
mod evapotranspiration;
mod event_dates;
mod follow_ups;
mod letters;
mod networks;
mod numbers;
mod season_grid;
mod stop_rule;
mod threads;

use std::error::Error;
use std::path::Path;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["degree-days", folder, rounds] => degree_days::time(Path::new(folder), rounds.parse()?),
        ["et-days", folder, rounds] => evapotranspiration::time_days(Path::new(folder), rounds.parse()?),
        ["et-hours", folder, rounds] => evapotranspiration::time_hours(Path::new(folder), rounds.parse()?),
        ["sun", folder, latitude, longitude, rounds] => {
            evapotranspiration::time_sun(Path::new(folder), latitude.parse()?, longitude.parse()?, rounds.parse()?)
        }
        ["event-dates", folder, stations, rounds] => event_dates::time(Path::new(folder), stations.parse()?, rounds.parse()?),
        ["season-grid", file, rounds] => season_grid::time(Path::new(file), rounds.parse()?),
        ["one-yard", file, rounds] => season_grid::time_one(Path::new(file), rounds.parse()?),
        ["networks", file, rounds] => networks::time(Path::new(file), rounds.parse()?),
        ["letters", file] => letters::time(Path::new(file)),
        ["new-book", file] => book_writes::make(Path::new(file)),
        ["book-writes", file, writes] => book_writes::time(Path::new(file), writes.parse()?),
        ["follow-ups", rounds] => follow_ups::time(rounds.parse()?),
        ["stop-rule", rounds] => stop_rule::time(rounds.parse()?),
        _ => Err("usage: follow-ups ROUNDS | stop-rule ROUNDS | degree-days FOLDER ROUNDS | et-days FOLDER ROUNDS | et-hours FOLDER ROUNDS | sun FOLDER LATITUDE LONGITUDE ROUNDS | event-dates FOLDER STATIONS ROUNDS | season-grid FILE ROUNDS | one-yard FILE ROUNDS | networks FILE ROUNDS | letters FILE | new-book FILE | book-writes FILE WRITES".into()),
    }
}
