//! Writes `docs/honest-odds.md` and its figure from the station record that comes with the tool. Run it in release:
//! `cargo run --release -p groundlore-weather --example hindcast`. About a minute.

use std::error::Error;
use std::io::Read as _;
use std::path::Path;

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
    std::fs::write(root.join("docs/honest-odds.md"), report.markdown())?;
    std::fs::write(root.join("docs/honest-odds.svg"), report.reliability_svg())?;
    Ok(())
}
