//! Calibration, dilution, lime and impact quotients: sections 1 and 2 of the treatment note.
use crate::{Row, ask, check, row};
use groundlore_reckoner::{Output, reckon};

const SHEET: &str = "extension sheets on the 1/128-acre method";
const PRINTED: &str = "extension table, as printed within its rounding";
const S572: &str = "ASABE S572 by comparison with reference nozzles (GRDC manual 4.2, read); borders invented, class by hand";
const BORDERS: &str = "dv10=20, 40, 80, 120, 160, 200, 240|dv50=50, 100, 200, 300, 400, 500, 600|dv90=100, 200, 400, 600, 800, 1000, 1200";
const HAND: &str = "arithmetic, computed";
const EIQ: &str = "Kovach et al. 1992, formula (memory), computed";
const MIDDLE: &str =
    "chronic=3|dermal=1|plant-half-life=3|soil-half-life=2|systemic=2|leaching=3|fish=3|runoff=3|bird=3|bee=1|beneficial=3";
const HERBICIDE: &str =
    "chronic=1|dermal=3|plant-half-life=1|soil-half-life=5|systemic=3|leaching=5|fish=1|runoff=5|bird=1|bee=1|beneficial=1";
const ONES: &str = "chronic=1|dermal=1|plant-half-life=1|soil-half-life=1|systemic=1|leaching=1|fish=1|runoff=1|bird=1|bee=1|beneficial=1";

const ROWS: &[Row] = &[
    row(
        "APP-04",
        SHEET,
        "sprayer-calibration",
        "width=40 in|distance=102 ft|time=17 s|catch=14 floz",
        "volume_rate",
        "gal/acre",
        14.012_87,
        1e-3,
    ),
    row("APP-04s", SHEET, "sprayer-calibration", "width=40 in|distance=102 ft|time=17 s|catch=14 floz", "speed", "mph", 4.090_909, 1e-5),
    row(
        "APP-06",
        SHEET,
        "sprayer-calibration",
        "width=6 ft|distance=56.72 ft|time=17 s|catch=7.5 floz",
        "volume_rate",
        "gal/acre",
        7.5,
        0.01,
    ),
    row(
        "APP-12",
        HAND,
        "sprayer-calibration",
        "width=10 ft|distance=435.6 ft|time=1 min|catch=4 gal",
        "volume_rate",
        "gal/acre",
        40.0,
        1e-9,
    ),
    row("APP-10", HAND, "nozzle-flow", "flow=0.4 gal/min|speed=5 mph|spacing=20 in", "volume_rate", "gal/acre", 23.76, 1e-9),
    row("APP-09", HAND, "nozzle-flow", "volume-rate=23.76 gal/acre|speed=5 mph|spacing=20 in", "flow", "gal/min", 0.4, 1e-9),
    row("APP-07", SHEET, "catch-test", "catches=44 floz, 45 floz, 44 floz|tolerance=7%", "mean", "floz", 44.333_333, 1e-5),
    row("APP-07l", SHEET, "catch-test", "catches=44 floz, 45 floz, 44 floz|tolerance=7%", "low", "floz", 41.23, 0.005),
    row("APP-07h", SHEET, "catch-test", "catches=44 floz, 45 floz, 44 floz|tolerance=7%", "high", "floz", 47.437, 0.001),
    row("APP-07o", SHEET, "catch-test", "catches=44 floz, 45 floz, 44 floz|tolerance=7%", "outside", "", 0.0, 0.0),
    row("fails", HAND, "catch-test", "catches=40 floz, 45 floz, 50 floz|tolerance=7%", "outside", "", 2.0, 0.0),
    row("APP-19", SHEET, "spreader-calibration", "rate=5 lb/1000ft2|passes=2|tolerance=5%", "per_pass", "lb/1000ft2", 2.5, 1e-12),
    row("APP-19l", SHEET, "spreader-calibration", "rate=5 lb/1000ft2|passes=2|tolerance=5%", "low", "lb/1000ft2", 4.75, 1e-12),
    row("APP-19h", SHEET, "spreader-calibration", "rate=5 lb/1000ft2|passes=2|tolerance=5%", "high", "lb/1000ft2", 5.25, 1e-12),
    row("APP-36", PRINTED, "active-ingredient", "rate-ai=0.75 lb/acre|concentration=4 lb/gal", "product_rate", "pt/acre", 1.5, 1e-9),
    row("APP-36b", PRINTED, "active-ingredient", "rate-ai=1.5 lb/acre|concentration=3.34 lb/gal", "product_rate", "pt/acre", 3.593, 5e-4),
    row("APP-38", PRINTED, "active-ingredient", "rate-ai=1 lb/acre|concentration=2 lb/gal", "product_rate", "mL/1000ft2", 43.45, 0.05),
    row("APP-39", PRINTED, "active-ingredient", "rate-ai=1 lb/acre|concentration=75%", "product_rate", "g/1000ft2", 13.88, 0.01),
    row("APP-34", HAND, "percent-solution", "percent=2%|volume=1 gal", "product", "floz", 2.56, 1e-9),
    row("APP-34b", HAND, "percent-solution", "percent=0.25%|volume=1 gal", "product", "floz", 0.32, 1e-9),
    row("APP-30", SHEET, "ppm", "target=74.89 ppm|fraction=100%|volume=100 gal", "product", "oz", 1.0, 1e-3),
    row("APP-31", SHEET, "ppm", "target=250 ppm|fraction=15%|volume=100 gal", "product", "oz", 22.25, 0.01),
    row(
        "APP-32",
        "the sheet's 75 × 0.33 = 24.75, its printed 29.75 being a slip",
        "ppm",
        "target=200|fraction=0.33|volume=100 gal",
        "product",
        "oz",
        8.08,
        0.02,
    ),
    row("APP-32i", SHEET, "ppm", "target=200 ppm|fraction=33%|injector=1:100|volume=100 gal", "product", "oz", 808.0, 2.0),
    row("APP-32s", SHEET, "ppm", "target=200 ppm|fraction=33%|injector=100", "product", "oz/gal", 8.08, 0.02),
    row("liquid", HAND, "liquid-fertiliser", "analysis=28-0-0|density=10.65 lb/gal", "n", "lb/gal", 2.982, 1e-9),
    row("liquid-k", HAND, "liquid-fertiliser", "analysis=10-4-8|density=10 lb/gal", "k2o", "lb/gal", 0.8, 1e-9),
    row("APP-40", SHEET, "lime", "need=5 lb/100ft2|cce=70%", "rate", "lb/100ft2", 7.142_857, 1e-5),
    row("EIQ-01", EIQ, "impact-quotient", ONES, "quotient", "", 6.666_667, 1e-5),
    row("EIQ-01e", EIQ, "impact-quotient", ONES, "ecology", "", 12.0, 1e-12),
    row("EIQ-02w", EIQ, "impact-quotient", MIDDLE, "worker", "", 24.0, 1e-12),
    row("EIQ-02c", EIQ, "impact-quotient", MIDDLE, "consumer", "", 18.0, 1e-12),
    row("EIQ-02e", EIQ, "impact-quotient", MIDDLE, "ecology", "", 85.5, 1e-12),
    row("EIQ-02", EIQ, "impact-quotient", MIDDLE, "quotient", "", 42.5, 1e-12),
    row("EIQ-04", EIQ, "impact-quotient", HERBICIDE, "quotient", "", 18.0, 1e-12),
    row("EIQ-05", "worked table (memory)", "impact-rating", "quotient=22.6|fraction=50%|rate=6.0 lb/acre", "rating", "", 67.8, 0.001),
    row(
        "EIQ-06",
        "worked table (memory); printed 60.8",
        "impact-rating",
        "quotient=40.5|fraction=50%|rate=3.0 lb/acre",
        "rating",
        "",
        60.75,
        0.001,
    ),
];

#[test]
fn applying_agrees_with_the_note() {
    check(ROWS);
}

#[test]
fn metric_input_gives_metric_answers() {
    let rate = reckon(&ask("sprayer-calibration", "width=0.5 m|distance=100 m|time=60 s|catch=1 L")).unwrap();
    let Some(Output::Quantity(q)) = rate.output("volume_rate") else { panic!("no rate") };
    assert_eq!((q.value, q.unit.to_string().as_str()), (200.0, "L/ha"));
}

#[test]
fn wrong_figures_are_named_with_their_remedy() {
    for (key, inputs, told) in [
        ("sprayer-calibration", "width=40 in|distance=102 ft|time=0 s|catch=14 floz", "above 0"),
        ("nozzle-flow", "speed=5 mph|spacing=20 in", "`volume-rate` is missing"),
        ("nozzle-flow", "flow=1 gal/min|volume-rate=20 gal/acre|speed=5 mph|spacing=20 in", "not both"),
        ("catch-test", "catches=44 floz, 45|tolerance=7%", "45"),
        ("catch-test", "catches=44 floz|tolerance=120%", "below 1"),
        ("active-ingredient", "rate-ai=1 lb/acre|concentration=120%", "more than the whole"),
        ("percent-solution", "percent=150%|volume=1 gal", "at most 1"),
        ("ppm", "target=200 ppm|fraction=33%", "`volume` is missing"),
        ("ppm", "target=200 ppm|fraction=33%|injector=a lot", "no ratio"),
        ("lime", "need=5 lb/100ft2|cce=700%", "at most 2"),
        ("liquid-fertiliser", "analysis=28|density=10 lb/gal", "28-3-6"),
        (
            "impact-quotient",
            "chronic=9|dermal=1|plant-half-life=1|soil-half-life=1|systemic=1|leaching=1|fish=1|runoff=1|bird=1|bee=1|beneficial=1",
            "from 1 to 5",
        ),
    ] {
        let error = reckon(&ask(key, inputs)).unwrap_err().to_string();
        assert!(error.contains(told), "{key} {inputs}: {error}");
    }
}

#[test]
fn a_nozzle_has_the_class_of_its_finest_diameter_between_the_reference_nozzles() {
    for (measured, class, letters) in [
        // Between the fourth and the fifth border in all three.
        ("130, 340, 650", "coarse", "C"),
        // Two diameters coarse, the small droplets medium: the finest decides.
        ("100, 340, 650", "medium", "M"),
        ("10, 30, 60", "extremely fine", "XF"),
        ("300, 700, 1500", "ultra coarse", "UC"),
    ] {
        let found = reckon(&ask("droplet-class", &format!("measured={measured}|{BORDERS}"))).unwrap();
        let word = |name: &str| found.outputs.iter().find(|(n, _)| *n == name).map(|(_, o)| o.to_string());
        assert_eq!((word("class").as_deref(), word("letters").as_deref()), (Some(class), Some(letters)), "{measured} ({S572})");
    }
    for (wrong, part) in [("130, 340", "three"), ("340, 130, 650", "rise"), ("0, 340, 650", "above 0")] {
        let said = reckon(&ask("droplet-class", &format!("measured={wrong}|{BORDERS}"))).unwrap_err().to_string();
        assert!(said.contains(part), "{said}");
    }
    let said = reckon(&ask("droplet-class", "measured=1, 2, 3|dv10=1, 2|dv50=1, 2|dv90=1, 2")).unwrap_err().to_string();
    assert!(said.contains("dv10") && said.contains("seven"), "{said}");
}
