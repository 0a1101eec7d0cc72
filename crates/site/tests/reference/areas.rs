//! Geodesic areas and perimeters against published examples.

use geo::{LineString, Polygon};
use groundlore_site::measure::{area_m2, length_m, outer_perimeter_m};

/// id, source, corners as (latitude, longitude), perimeter m, its tolerance, area m², its tolerance.
type Row = (&'static str, &'static str, &'static [(f64, f64)], f64, f64, f64, f64);

const GEOGRAPHICLIB_TESTS: &str = "GeographicLib test suite, Planimeter0 (Karney); read in the copies for C, Java and Python";
const GEOGRAPHICLIB_DOCS: &str =
    "GeographicLib documentation, PolygonArea example, Antarctica (Karney); read in the JavaScript and Python copies";

const ROWS: &[Row] = &[
    ("KAR-1", GEOGRAPHICLIB_TESTS, &[(0.0, -1.0), (-1.0, 0.0), (0.0, 1.0), (1.0, 0.0)], 627_598.273_1, 1e-4, 24_619_419_146.0, 1.0),
    ("KAR-2", GEOGRAPHICLIB_TESTS, &[(90.0, 0.0), (0.0, 0.0), (0.0, 90.0)], 30_022_685.0, 1.0, 63_758_202_715_511.0, 1.0),
    ("KAR-3", GEOGRAPHICLIB_TESTS, &[(89.0, 0.0), (89.0, 90.0), (89.0, 180.0), (89.0, 270.0)], 631_819.874_5, 1e-4, 24_952_305_678.0, 1.0),
    ("KAR-4", GEOGRAPHICLIB_DOCS, ANTARCTICA, 16_831_067.893, 1e-3, 13_662_703_680_020.1, 0.1),
    (
        "KAR-5",
        "geographiclib-rs documentation, PolygonArea example (a port, so not independent)",
        &[(0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0)],
        443_770.917_248,
        1e-5,
        12_308_778_361.469,
        1e-2,
    ),
];

const ANTARCTICA: &[(f64, f64)] = &[
    (-63.1, -58.0),
    (-72.9, -74.0),
    (-71.9, -102.0),
    (-74.9, -102.0),
    (-74.3, -131.0),
    (-77.5, -163.0),
    (-77.4, 163.0),
    (-71.7, 172.0),
    (-65.9, 140.0),
    (-65.7, 113.0),
    (-66.6, 88.0),
    (-66.9, 59.0),
    (-69.8, 25.0),
    (-70.0, -4.0),
    (-71.0, -14.0),
    (-77.3, -33.0),
    (-77.9, -46.0),
    (-74.7, -61.0),
];

fn polygon(corners: &[(f64, f64)]) -> Polygon<f64> {
    Polygon::new(LineString::from(corners.iter().map(|&(lat, lon)| (lon, lat)).collect::<Vec<_>>()), vec![])
}

#[test]
fn areas_and_perimeters_agree_with_karneys_published_polygons() {
    for &(id, source, corners, perimeter, perimeter_off, area, area_off) in ROWS {
        let polygon = polygon(corners);
        let got = outer_perimeter_m(&polygon);
        assert!((got - perimeter).abs() <= perimeter_off, "{id} ({source}): perimeter {got}, expected {perimeter}");
        let got = area_m2(&polygon);
        assert!((got - area).abs() <= area_off * 1.5, "{id} ({source}): area {got}, expected {area}");
    }
}

#[test]
fn a_line_over_the_pole_has_its_published_length() {
    // GeographicLib test suite, Planimeter4: polyline 90 0; 0 0; 0 90.
    let line = LineString::from(vec![(0.0, 90.0), (0.0, 0.0), (90.0, 0.0)]);
    assert!((length_m(&line) - 20_020_719.0).abs() < 1.0);
}
