//! Prints the schedule and the faults of a map: `cargo run -p groundlore-site --example faults_of_a_yard -- FILE`.
#![allow(clippy::print_stdout)]

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let file = std::env::args().nth(1).ok_or("name a GeoJSON file")?;
    let reading = groundlore_site::read_map(&std::fs::read_to_string(&file)?, &file, false)?;
    for remark in &reading.remarks {
        println!("{remark}");
    }
    for area in groundlore_site::schedule::of(&reading.yard).areas {
        println!("{} ({}): {:.1} m2, {:.1} m round", area.name, area.kind, area.area_m2, area.perimeter_m);
    }
    for fault in groundlore_site::faults::find(&reading.yard, &|_| None) {
        let amount = fault.amount.map_or("not checked".to_owned(), |amount| amount.rounded(3));
        println!(
            "\n{} — {}\n  {}\n  {}\n  {amount} {}",
            fault.feature_name, fault.what, fault.why_it_matters, fault.what_to_do, fault.amount_of
        );
    }
    for open in groundlore_site::faults::not_checked(&reading.yard, &|_| None) {
        println!("\n{} — not checked: {} ({})", open.feature_name, open.what, open.measure);
    }
    Ok(())
}
