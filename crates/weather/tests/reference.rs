//! Values from outside: each row names its source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stderr)]

#[path = "reference/degree_days.rs"]
mod degree_days;
#[path = "reference/frost.rs"]
mod frost;
#[path = "reference/futures.rs"]
mod futures;
#[path = "reference/ghcn.rs"]
mod ghcn;
#[path = "reference/season.rs"]
mod season;
#[path = "reference/zones.rs"]
mod zones;

use groundlore_weather::{ReadOptions, Series, read_text};

/// Rows of a small table without quotes, as cells.
fn rows(text: &str) -> impl Iterator<Item = Vec<&str>> {
    text.lines().skip(1).filter(|line| !line.is_empty()).map(|line| line.split(',').collect())
}

fn milwaukee() -> Series {
    read_text(include_str!("data/milwaukee_1971_2000.dly"), "milwaukee_1971_2000.dly", &ReadOptions::default()).unwrap().series
}

fn seattle() -> Series {
    let text = include_str!("data/seattle_daily_temperature_2012_2015.csv");
    read_text(text, "seattle_daily_temperature_2012_2015.csv", &ReadOptions::default()).unwrap().series
}
