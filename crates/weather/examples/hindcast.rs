//! x
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::print_stderr)]
use std::io::Read as _;
use groundlore_weather::{ReadOptions, Station, hindcast, read_text};
fn main() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../desk/data/USW00014839.csv.gz");
    let mut text = String::new();
    flate2::read::GzDecoder::new(std::fs::File::open(path).unwrap()).read_to_string(&mut text).unwrap();
    let station = Station { id: "USW00014839".to_owned(), latitude: Some(42.955), ..Station::default() };
    let options = ReadOptions { station: Some(station), whole_fahrenheit: Some(true), ..ReadOptions::default() };
    let series = read_text(&text, "x.csv", &options).unwrap().series;
    let t = std::time::Instant::now();
    match std::env::args().nth(1).as_deref() {
        Some("forms") => println!("{}", hindcast::table(&hindcast::forms(&series).unwrap().unwrap())),
        Some("years") => {
            let cases = hindcast::cases(&series, &hindcast::usual_makers(), 1960, 2020).unwrap();
            for year in 1964..=2015 {
                let mean = |maker: usize| { let v: Vec<f64> = cases.iter().filter(|c| c.year == year).map(|c| c.scores[maker].crps_days).collect(); v.iter().sum::<f64>() / v.len() as f64 };
                println!("{year} {:.2} {:.2} {:.2}", mean(1), mean(2), mean(3));
            }
        }
        _ => println!("{}", hindcast::report(&series).unwrap().markdown()),
    }
    eprintln!("{:?}", t.elapsed());
}
