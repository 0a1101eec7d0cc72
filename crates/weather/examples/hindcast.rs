//! Writes `docs/honest-odds.md` and its figure from the station record that comes with the tool. Run it in release:
//! `cargo run --release -p groundlore-weather --example hindcast`. About a minute.

use std::error::Error;
use std::io::Read as _;
use std::path::Path;

use groundlore_weather::hindcast::{DatedRecord, DatesScore};
use groundlore_weather::{ReadOptions, Station, hindcast, read_text};

fn main() -> Result<(), Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let packed = std::fs::File::open(root.join("crates/desk/data/USW00014839.csv.gz"))?;
    let mut text = String::new();
    flate2::read::GzDecoder::new(packed).read_to_string(&mut text)?;
    let station = Station { id: "USW00014839".to_owned(), latitude: Some(42.955), ..Station::default() };
    let options = ReadOptions { station: Some(station), whole_fahrenheit: Some(true), ..ReadOptions::default() };
    let series = read_text(&text, "USW00014839.csv", &options)?.series;
    let mut report = hindcast::report(&series)?;
    report.forms = hindcast::forms(&series)?;
    let table = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/frost_dates_debilt_1980_2019.csv"))?;
    report.second = Some(("De Bilt, 1980–2019 (source of its days: KNMI)".to_owned(), hindcast_of_dates(&table)?));
    std::fs::write(root.join("docs/honest-odds.md"), report.markdown())?;
    std::fs::write(root.join("docs/honest-odds.svg"), report.reliability_svg())?;
    Ok(())
}

/// The frosts of a table of their days of the year: threshold (°C), year, last of spring, first of autumn, days between.
fn hindcast_of_dates(table: &str) -> Result<Vec<DatesScore>, Box<dyn Error>> {
    let mut records: Vec<DatedRecord> = Vec::new();
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let [threshold, year, last, first, _] = cells[..] else { return Err(format!("a row of five figures was expected: {line}").into()) };
        for (name, is_last, day) in [("last", true, last), ("first", false, first)] {
            let name = format!("{name} day at or under {threshold} °C");
            let date = (year.parse()?, day.parse::<usize>().ok().map(|day| day - 1));
            match records.iter_mut().find(|record| record.name == name) {
                Some(record) => record.dates.push(date),
                None => records.push(DatedRecord { name, last: is_last, dates: vec![date] }),
            }
        }
    }
    Ok(records.iter().filter_map(hindcast::judge_dates).collect())
}
