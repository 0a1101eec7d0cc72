//! Hardiness: rows F-20 and F-22.

use groundlore_weather::hardiness::{HalfZone, half_zone, winter_minima};
use groundlore_weather::quantile::mean;

/// F-20: ranges read at regannursery.com and 98905.com, computed as floor((F + 60)/5); the warmer half on an edge is convention, memory.
const ZONES: [(f64, &str); 9] =
    [(-60.0, "1a"), (-35.0, "3b"), (-20.0, "5a"), (-5.1, "6a"), (-5.0, "6b"), (4.99, "7a"), (32.0, "10a"), (65.0, "13b"), (69.9, "13b")];

#[test]
fn mean_minima_fall_in_their_half_zones() {
    for (fahrenheit, zone) in ZONES {
        let got = HalfZone::of_mean_minimum((fahrenheit - 32.0) * 5.0 / 9.0).unwrap();
        assert_eq!(got.to_string(), zone, "{fahrenheit} °F");
    }
}

#[test]
fn every_edge_belongs_to_the_warmer_half_and_the_scale_has_26() {
    for index in 0..26 {
        let zone = HalfZone::of_mean_minimum((f64::from(index) * 5.0 - 92.0) * 5.0 / 9.0).unwrap();
        assert_eq!(zone.to_string(), format!("{}{}", index / 2 + 1, if index % 2 == 0 { 'a' } else { 'b' }));
        assert!((zone.range_c().1 - zone.range_c().0 - 25.0 / 9.0).abs() < 1e-12);
    }
}

#[test]
fn de_bilt_lies_in_8a() {
    // F-22: winters 1980/81 to 2018/19, KNMI station 260; mean -10.013 °C.
    let minima: Vec<f64> = super::rows(include_str!("../data/winter_extreme_min_debilt.csv")).map(|row| row[1].parse().unwrap()).collect();
    assert_eq!(minima.len(), 39);
    assert!((mean(&minima).unwrap() + 10.013).abs() < 0.0006);
    assert_eq!(half_zone(&minima).unwrap().to_string(), "8a");
}

#[test]
fn winters_of_milwaukee_are_taken_from_july_to_june() {
    let winters = winter_minima(&super::milwaukee());
    assert_eq!((winters.len(), winters[0].year, winters[28].year), (29, 1971, 1999));
    assert!(winters.iter().all(|winter| (-35.0..-10.0).contains(&winter.minimum_c)));
}
