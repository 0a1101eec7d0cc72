//! Every event of the lore on a station's record, as a table: `cargo run -p groundlore-plant-health --example season_table -- FILE LATITUDE DATE`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout, missing_docs)]

use groundlore_lore::Lore;
use groundlore_plant_health::event_clock::{Asked, Outlook, events, odds_of_all};
use groundlore_weather::futures::{Futures, Kind};
use groundlore_weather::{ReadOptions, read_text};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, latitude, on] = arguments.as_slice() else { panic!("FILE LATITUDE DATE") };
    let text = std::fs::read_to_string(file).expect("a file of daily weather");
    let series = read_text(&text, file, &ReadOptions::default()).expect("daily weather").series;
    let on = on.parse().expect("a date");
    let futures = Futures::of(&series, on, Kind::default()).expect("futures");
    let outlook = Outlook::of_futures(&futures, latitude.parse().expect("a latitude"), None).expect("an outlook");
    let events = events(&Lore::built_in_lenient(None).0);
    let begun = std::time::Instant::now();
    let answers = odds_of_all(&events, &outlook, |_| Asked::default());
    let took = begun.elapsed();
    for odds in answers.into_iter().flatten() {
        let day = |day: Option<jiff::civil::Date>| day.map_or("-".to_owned(), |day| day.to_string());
        let mark = if odds.remembered { "~" } else { " " };
        println!("{:?}\t{mark}{}\t{}\t{}\t{}\t{:.2}", odds.kind, odds.key, day(odds.p10), day(odds.p50), day(odds.p90), odds.never);
    }
    println!("{} events over {} futures ({}) in {took:?}", events.len(), outlook.futures(), outlook.word());
}
