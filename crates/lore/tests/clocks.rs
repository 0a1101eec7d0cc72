//! The clocks that we ship: how many, of what kind, how many were read, and that what was read says what its source says.

use groundlore_lore::Lore;
use groundlore_lore::event_clock::{Driver, EventClock, EventKind, Start};
use groundlore_lore::provenance::{Source, Standing};
use std::collections::BTreeMap;

fn lore() -> Lore {
    Lore::built_in_lenient(None).0
}

fn degree_days(clock: &EventClock) -> bool {
    matches!(clock.driver, Driver::AirDegreeDays { .. } | Driver::SoilDegreeDays { .. })
}

#[test]
fn there_are_as_many_clocks_as_were_promised() {
    let lore = lore();
    assert!(lore.clocks.len() >= 150, "{} written clocks", lore.clocks.len());
    let made = lore.all_clocks().len() - lore.clocks.len();
    assert!(made >= 100, "{made} made from plants' months");
    let mut kinds: BTreeMap<EventKind, usize> = BTreeMap::new();
    lore.clocks.values().for_each(|clock| *kinds.entry(clock.kind).or_default() += 1);
    println!("{} written, {made} made from plants; by kind {kinds:#?}", lore.clocks.len());
    assert_eq!(kinds.len(), EventKind::ALL.len(), "every part of the season has clocks");
}

#[test]
fn at_least_forty_sums_of_heat_were_read_in_every_field() {
    let lore = lore();
    let read = |clock: &&EventClock| lore.clock_standing(clock) == Standing::Read;
    let heat = lore.clocks.values().filter(read).filter(|clock| degree_days(clock)).count();
    let all = lore.clocks.values().filter(read).count();
    println!("{heat} sums of heat read in every field; {all} clocks read in all");
    assert!(heat >= 40, "{heat}");
}

#[test]
fn a_clock_that_was_read_names_no_memory_in_start_driver_threshold_or_region() {
    let lore = lore();
    for clock in lore.clocks.values().filter(|clock| lore.clock_standing(clock) == Standing::Read) {
        let threshold = clock.threshold.as_ref().map(|threshold| &threshold.source);
        for source in [Some(clock.start.source()), Some(clock.driver.source()), threshold, Some(&clock.source)].into_iter().flatten() {
            assert!(source.0.iter().all(|key| lore.sources.get(key).is_some_and(|entry| entry.read)), "{}: {source}", clock.key);
        }
    }
}

#[test]
fn a_clock_made_from_a_plants_months_is_never_read() {
    let lore = lore();
    for clock in lore.all_clocks().iter().filter(|clock| clock.derived) {
        assert_eq!(lore.clock_standing(clock), Standing::Recalled, "{}", clock.key);
        assert!(clock.source.0.contains(&Source::MEMORY.to_owned()) && clock.model_error.days >= 7.0, "{}", clock.key);
    }
}

#[test]
fn a_written_bloom_of_a_plant_takes_the_place_of_its_months() {
    let keys: Vec<String> = lore().all_clocks().into_iter().map(|clock| clock.key).collect();
    assert!(keys.contains(&"spicebush-first-bloom-maryland".to_owned()) && !keys.contains(&"bloom-begins-lindera-benzoin".to_owned()));
    assert!(keys.contains(&"bloom-begins-helleborus-orientalis".to_owned()));
}

/// Rows of section 2 of the season note that were read: id, clock, low, high, start where it was read.
#[rustfmt::skip]
const ROWS: [(&str, &str, f64, f64, &str); 46] = [
    ("PH-003", "birch-leafminer-larvae-wisconsin", 275.0, 500.0, ""),
    ("PH-008", "cooley-spruce-gall-adelgid-hatch-wisconsin", 210.0, 210.0, ""),
    ("PH-009", "cottony-maple-scale-hatch-wisconsin", 850.0, 850.0, ""),
    ("PH-012", "eastern-spruce-gall-adelgid-hatch-wisconsin", 90.0, 90.0, ""),
    ("PH-019", "euonymus-scale-crawlers-wisconsin", 500.0, 700.0, ""),
    ("PH-032", "pine-needle-scale-crawlers-wisconsin", 200.0, 350.0, ""),
    ("PH-037", "american-plum-borer-flight-michigan", 245.0, 440.0, ""),
    ("PH-043", "banded-ash-clearwing-adults-michigan", 1800.0, 2200.0, ""),
    ("PH-046", "birch-leafminer-adults-michigan", 175.0, 215.0, ""),
    ("PH-054", "euonymus-scale-crawlers-michigan", 517.0, 678.0, ""),
    ("PH-056", "corneliancherry-first-bloom-maryland", 22.0, 22.0, "01-01"),
    ("PH-057, PH-071", "red-maple-first-bloom-maryland", 12.0, 34.0, "01-01"),
    ("PH-058, PH-073", "forsythia-first-bloom-maryland", 35.0, 35.0, "01-01"),
    ("PH-060, PH-072", "red-maple-full-bloom-maryland", 27.0, 42.0, "01-01"),
    ("PH-061", "callery-pear-first-bloom-maryland", 50.0, 50.0, "01-01"),
    ("PH-062, PH-076", "eastern-tent-caterpillar-hatch-maryland", 51.0, 86.0, "01-01"),
    ("PH-063", "forsythia-full-bloom-maryland", 53.0, 53.0, "01-01"),
    ("PH-065", "star-magnolia-first-bloom-maryland", 89.0, 89.0, "01-01"),
    ("PH-066", "flowering-quince-first-bloom-maryland", 103.0, 103.0, "01-01"),
    ("PH-068", "sassafras-first-bloom-maryland", 122.0, 122.0, "01-01"),
    ("PH-069", "redbud-first-bloom-maryland", 137.0, 137.0, "01-01"),
    ("PH-074", "spicebush-first-bloom-maryland", 72.0, 72.0, "01-01"),
    ("PH-075", "white-pine-weevil-adults-maryland", 84.0, 84.0, "01-01"),
    ("PH-078", "indian-wax-scale-crawlers-by-peak-maryland", 985.0, 985.0, ""),
    ("PH-081", "corneliancherry-first-bloom-ohio", 40.0, 40.0, "01-01"),
    ("PH-082", "silver-maple-full-bloom-ohio", 42.0, 42.0, "01-01"),
    ("PH-083", "red-maple-first-bloom-ohio", 44.0, 44.0, "01-01"),
    ("PH-086", "koreanspice-viburnum-full-bloom-ohio", 205.0, 205.0, "01-01"),
    ("PH-088", "viburnum-leaf-beetle-hatch-ohio", 210.0, 210.0, "01-01"),
    ("PH-089", "large-crabgrass-emerges-ohio", 211.0, 211.0, "01-01"),
    ("PH-091", "white-pine-weevil-adults-ohio", 84.0, 84.0, "01-01"),
    ("PH-092", "eastern-tent-caterpillar-hatch-ohio", 92.0, 92.0, "01-01"),
    ("PH-093", "black-locust-full-bloom-ohio", 548.0, 548.0, "01-01"),
    ("PH-094", "emerald-ash-borer-adults-ohio", 550.0, 550.0, "01-01"),
    ("PH-095", "european-pine-sawfly-hatch-ohio", 144.0, 144.0, "01-01"),
    ("PH-097", "callery-pear-first-bloom-ohio", 142.0, 142.0, "01-01"),
    ("PH-098", "bagworm-larvae-begins-new-york", 650.0, 650.0, "03-01"),
    ("PH-101", "elongate-hemlock-scale-crawlers-ends-new-york", 700.0, 700.0, "03-01"),
    ("PH-106", "white-pine-weevil-adults-begins-new-york", 7.0, 7.0, "03-01"),
    ("PH-110", "cooley-spruce-gall-adelgid-first-window-ends-new-hampshire", 92.0, 92.0, "03-01"),
    ("PH-111", "cooley-spruce-gall-adelgid-second-window-begins-new-hampshire", 1500.0, 1500.0, "03-01"),
    ("PH-117", "spongy-moth-hatch-massachusetts", 90.0, 100.0, "03-01"),
    ("PH-120", "hemlock-woolly-adelgid-eggs-appalachians", 209.0, 209.0, ""),
    ("PH-127", "billbug-adults-by-first-utah", 39.0, 111.0, "01-13"),
    ("PH-131", "smooth-crabgrass-emerges-by-first-maryland", 42.0, 78.0, ""),
    ("PH-143", "annual-bluegrass-weevil-adults-new-england", 125.0, 150.0, ""),
];

#[test]
fn read_rows_of_the_season_note_stand_as_printed() {
    let lore = lore();
    for (id, key, low, high, start) in ROWS {
        let clock = lore.clocks.get(key).unwrap_or_else(|| panic!("{id}: no clock {key}"));
        let threshold = clock.threshold.as_ref().unwrap();
        assert_eq!((threshold.low, threshold.high), (low, high), "{id} {key}");
        if !start.is_empty() {
            assert!(
                matches!(&clock.start, Start::Date { day, source } if day == start && lore.standing(source) == Standing::Read),
                "{id} {key}"
            );
        } else {
            // A row that prints no start must not stand as if it had one.
            assert_ne!(lore.clock_standing(clock), Standing::Read, "{id} {key} has no start of its own");
        }
    }
}
