//! Unit sizes and spellings: (id, source, written, unit, expected, relative tolerance).
use groundlore_quantity::{Kind, Quantity, parse_counts, parse_list};

const ROWS: &[(&str, &str, &str, &str, f64, f64)] = &[
    ("APP-01", "LSU AgCenter, ounces equal gallons: 1 acre / 128", "1/128 acre", "ft2", 340.3125, 1e-12),
    ("APP-50a", "Univ. of Nebraska, math for applicators: 1 fl oz in mL", "1 floz", "mL", 29.573_529_562_5, 1e-12),
    ("APP-50b", "same: 16 fl oz in a pint", "16 floz", "pt", 1.0, 0.0),
    ("APP-50c", "same: 16 oz in a pound", "16 oz", "lb", 1.0, 0.0),
    ("APP-50d", "same: a pound in grams", "1 lb", "g", 453.592_37, 1e-12),
    ("APP-50e", "same: an acre in square feet", "1 acre", "ft2", 43_560.0, 0.0),
    ("APP-50f", "same: 2 tbsp in a fluid ounce", "1 floz", "tbsp", 2.0, 0.0),
    ("APP-13", "Oklahoma State, calibrating: 40 gal/acre", "40 gal/acre", "gal/1000ft2", 0.918_273_645_546_372_8, 1e-12),
    ("APP-48", "turf mathematics worksheet: an acre-inch", "27154.285714285714 gal", "in3", 6_272_640.0, 1e-12),
    ("UC-1", "season note 3c, identity", "15 per yd2", "/ft2", 1.666_666_666_666_667, 1e-12),
    ("UC-2", "season note 3c, identity", "5 per 950cm2", "/ft2", 4.889_633_684_210_526, 1e-9),
    ("UC-5", "season note 3c, identity", "10 per 0.09 m2", "/ft2", 10.322_56, 1e-9),
    ("MUL-01", "one cubic yard 3 in deep", "1 yd3", "ft3", 27.0, 0.0),
    ("F-20", "freezing on both scales", "32 degF", "degC", 0.0, 1e-12),
    ("temp", "boiling on both scales", "100 degC", "degF", 212.0, 1e-12),
    ("speed", "NIST: 1 mph in m/s", "1 mph", "m/s", 0.447_04, 1e-12),
    ("ly", "A-05: 674.07 langleys are 28.2219… MJ", "326.64 W/m2", "MJ/m2/day", 28.221_696, 1e-9),
    ("sum", "feet and inches", "5 ft 6 in", "in", 66.0, 1e-12),
    ("mixed", "mixed number", "2 1/2 in", "in", 2.5, 0.0),
    ("vulgar", "vulgar fraction", "2½ in", "in", 2.5, 0.0),
    ("spelt-a", "spelt out", "1,200 square feet", "ft2", 1200.0, 0.0),
    ("spelt-b", "spelt out", "3 cu yd", "yd3", 3.0, 0.0),
    ("spelt-c", "spelt out", "1.5 fluid ounces per 1,000 sq ft", "floz/1000ft2", 1.5, 1e-12),
    ("spelt-d", "spelt out", "8 miles per hour", "mph", 8.0, 0.0),
    ("spelt-e", "spelt out", "50 degrees Fahrenheit", "degF", 50.0, 0.0),
    ("spelt-f", "superscript", "12 ft²", "ft2", 12.0, 0.0),
    ("spelt-g", "superscript", "12 m³", "m3", 12.0, 0.0),
    ("spelt-h", "degree sign", "50 °F", "degF", 50.0, 0.0),
    ("per", "a number before an area", "40/1000ft2", "/1000ft2", 40.0, 1e-12),
    ("share", "percent", "95%", "%", 95.0, 0.0),
    ("money", "price", "$14.50/yd3", "$/ft3", 14.5 / 27.0, 1e-12),
    ("money-area", "price for ten square feet", "$5/10ft2", "$/ft2", 0.5, 1e-12),
    ("in/ft", "water in soil", "2.0 in/ft", "in/in", 1.0 / 6.0, 1e-12),
    ("ton", "short ton", "1 ton", "lb", 2000.0, 0.0),
    ("time", "hour in minutes", "1 h 30 min", "min", 90.0, 1e-12),
];

#[test]
fn every_unit_has_its_published_size() {
    for (id, source, written, unit, expected, tolerance) in ROWS {
        let found = Quantity::parse(written).and_then(|q| q.in_unit(unit)).unwrap_or_else(|e| panic!("{id}: {e}"));
        let allowed = tolerance * expected.abs().max(1.0);
        assert!((found - expected).abs() <= allowed, "{id} ({source}): {written} is {found} {unit}, expected {expected}");
    }
}

#[test]
fn kinds_are_told_apart() {
    let fits = [
        ("12.5 ft", Kind::Length),
        ("1.5 floz/1000ft2", Kind::VolumePerArea),
        ("1 lb/1000ft2", Kind::MassPerArea),
        ("10 per ft2", Kind::CountPerArea),
        ("8 mph", Kind::Speed),
        ("$14.50/yd3", Kind::MoneyPerVolume),
        ("€3/m2", Kind::MoneyPerArea),
        ("0.95", Kind::Share),
        ("95%", Kind::Share),
        ("22 MJ/m2/day", Kind::RadiationPerDay),
        ("1.5 in/ft", Kind::DepthPerDepth),
        ("0.4 gal/min", Kind::VolumePerTime),
        ("45 deg", Kind::Angle),
    ];
    for (written, kind) in fits {
        assert!(Quantity::parse_as(written, kind).is_ok(), "{written} as {kind:?}");
    }
}

#[test]
fn a_difference_of_temperatures_has_no_zero_point() {
    let step = Quantity::parse_as("9 degF", Kind::TemperatureDifference).unwrap();
    assert!((step.in_unit("degC").unwrap() - 5.0).abs() < 1e-12);
}

#[test]
fn lists_carry_their_units_and_counts_stay_bare() {
    assert_eq!(parse_counts("2 0 1 5").unwrap(), vec![2, 0, 1, 5]);
    assert_eq!(parse_counts("[2, 0, 1]").unwrap(), vec![2, 0, 1]);
    let catches = parse_list("44 floz, 45 floz; 44 floz", Kind::Volume).unwrap();
    assert_eq!(catches.len(), 3);
    assert!(parse_list("44, 45", Kind::Volume).is_err());
}

#[test]
fn printing_is_what_a_person_would_write() {
    for written in ["12.5 ft", "10 per ft2", "$14.50/yd3", "95%", "50 degF", "1.5 floz/1000ft2", "-3 degC", "22 MJ/m2/day", "5 per 950cm2"]
    {
        assert_eq!(Quantity::parse(written).unwrap().to_string(), written);
    }
    assert_eq!(Quantity::parse("27154.285 gal").unwrap().rounded(4), "27,154 gal");
}
