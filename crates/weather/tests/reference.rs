//! Values from outside: each row names its source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stderr)]

#[path = "reference/crop_water.rs"]
mod crop_water;
#[path = "reference/degree_days.rs"]
mod degree_days;
#[path = "reference/evapotranspiration.rs"]
mod evapotranspiration;
#[path = "reference/frost.rs"]
mod frost;
#[path = "reference/futures.rs"]
mod futures;
#[path = "reference/generator.rs"]
mod generator;
#[path = "reference/ghcn.rs"]
mod ghcn;
#[path = "reference/goldens.rs"]
mod goldens;
#[path = "reference/hours.rs"]
mod hours;
#[path = "reference/neighbouring.rs"]
mod neighbouring;
#[path = "reference/season.rs"]
mod season;
#[path = "reference/season_odds.rs"]
mod season_odds;
#[path = "reference/season_science.rs"]
mod season_science;
#[path = "reference/sun.rs"]
mod sun;
#[path = "reference/zones.rs"]
mod zones;

use groundlore_weather::{ReadOptions, Series, read_text};

/// Rows of a small table without quotes, as cells.
fn rows(text: &str) -> impl Iterator<Item = Vec<&str>> {
    text.lines().skip(1).filter(|line| !line.is_empty()).map(|line| line.split(',').collect())
}

/// Claims that a value lies within a tolerance of what is expected.
fn near(what: &str, found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{what}: {found}, expected {wanted} ± {tolerance}");
}

fn milwaukee() -> Series {
    read_text(include_str!("data/milwaukee_1971_2000.dly"), "milwaukee_1971_2000.dly", &ReadOptions::default()).unwrap().series
}

fn seattle() -> Series {
    let text = include_str!("data/seattle_daily_temperature_2012_2015.csv");
    read_text(text, "seattle_daily_temperature_2012_2015.csv", &ReadOptions::default()).unwrap().series
}

/// The whole record of Milwaukee that comes with the tool, 1939–2015.
fn milwaukee_whole() -> Series {
    use std::io::Read as _;
    let packed = std::fs::File::open(concat!(env!("CARGO_MANIFEST_DIR"), "/../desk/data/USW00014839.csv.gz")).unwrap();
    let mut text = String::new();
    flate2::read::GzDecoder::new(packed).read_to_string(&mut text).unwrap();
    let station = groundlore_weather::Station { id: "USW00014839".to_owned(), latitude: Some(42.955), ..Default::default() };
    let options = ReadOptions { station: Some(station), whole_fahrenheit: Some(true), ..ReadOptions::default() };
    read_text(&text, "USW00014839.csv", &options).unwrap().series
}
