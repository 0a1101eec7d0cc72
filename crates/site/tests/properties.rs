//! Claims that hold for any yard: areas by several methods agree, readers never panic, export reads back.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use geo::{Area, ChamberlainDuquetteArea, Contains, LineString, Point, Polygon};
use groundlore_site::measure::{LocalFrame, area_m2, distance_m, outer_perimeter_m};
use groundlore_site::read::read_map;
use groundlore_site::zones::{margin_band, sample_points, split};
use groundlore_site::{faults, write};
use proptest::prelude::*;

const MAP: &str = include_str!("data/corner-lot.geojson");

/// A star-shaped polygon about a place: always simple.
fn polygon() -> impl Strategy<Value = Polygon<f64>> {
    let radii = prop::collection::vec(2.0..80.0f64, 3..12);
    (-175.0..175.0f64, -60.0..70.0f64, radii).prop_map(|(lon, lat, radii)| {
        let frame = LocalFrame::about(Point::new(lon, lat));
        let turn = std::f64::consts::TAU / radii.len() as f64;
        let corner = |(i, r): (usize, &f64)| frame.point_to_lonlat(Point::new(r * (turn * i as f64).cos(), r * (turn * i as f64).sin())).0;
        Polygon::new(LineString::new(radii.iter().enumerate().map(corner).collect()), vec![])
    })
}

/// Radius of the sphere that geo's Chamberlain–Duquette area uses.
const SPHERE_M: f64 = 6_378_137.0;

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_area_on_the_plane_of_the_frame_is_the_area_on_the_ellipsoid(polygon in polygon()) {
        let geodesic = area_m2(&polygon);
        let frame = LocalFrame::of_polygon(&polygon).unwrap();
        let plane = frame.polygon_to_m(&polygon).unsigned_area();
        // Karney's area is good to about 1e-4 m2 here, whatever the polygon's size.
        prop_assert!((plane - geodesic).abs() < 1e-6 * geodesic + 5e-3, "{plane} {geodesic}");
    }

    #[test]
    fn the_area_on_a_sphere_is_within_one_part_in_a_hundred(polygon in polygon()) {
        let sphere = polygon.chamberlain_duquette_unsigned_area();
        prop_assert!((sphere / area_m2(&polygon) - 1.0).abs() < 0.011);
        prop_assert!(sphere < 4.0 * std::f64::consts::PI * SPHERE_M * SPHERE_M);
    }

    #[test]
    fn winding_does_not_change_an_area(polygon in polygon()) {
        let mut ring = polygon.exterior().clone();
        ring.0.reverse();
        prop_assert!((area_m2(&Polygon::new(ring, vec![])) - area_m2(&polygon)).abs() < 1e-3);
    }

    #[test]
    fn no_outline_encloses_more_than_a_circle_of_its_length(polygon in polygon()) {
        let perimeter = outer_perimeter_m(&polygon);
        prop_assert!(area_m2(&polygon) <= perimeter * perimeter / (4.0 * std::f64::consts::PI) + 0.01);
    }

    #[test]
    fn the_frame_there_and_back_is_the_same_place(lon in -179.0..179.0f64, lat in -80.0..80.0f64, x in -5e3..5e3f64, y in -5e3..5e3f64) {
        let frame = LocalFrame::about(Point::new(lon, lat));
        let back = frame.point_to_m(frame.point_to_lonlat(Point::new(x, y)));
        prop_assert!((back.x() - x).abs() < 1e-6 && (back.y() - y).abs() < 1e-6);
        prop_assert!((distance_m(frame.middle(), frame.point_to_lonlat(Point::new(x, y))) - x.hypot(y)).abs() < 1e-6);
    }

    #[test]
    fn distances_across_the_frame_keep_to_a_part_in_a_million(
        lon in -179.0..179.0f64, lat in -80.0..80.0f64,
        a in (-2e3..2e3f64, -2e3..2e3f64), b in (-2e3..2e3f64, -2e3..2e3f64),
    ) {
        let frame = LocalFrame::about(Point::new(lon, lat));
        let (p, q) = (frame.point_to_lonlat(a.into()), frame.point_to_lonlat(b.into()));
        let plane = (a.0 - b.0).hypot(a.1 - b.1);
        prop_assert!((plane - distance_m(p, q)).abs() <= 1e-6 * plane + 1e-6);
    }

    #[test]
    fn core_margin_and_sound_add_up_to_the_lawn(lawn in polygon(), margin in 0.0..20.0f64) {
        let frame = LocalFrame::of_polygon(&lawn).unwrap();
        let ring = [(-1.0, -1.5), (2.0, -1.0), (1.0, 2.0), (-2.0, 1.0)].map(|(x, y)| frame.point_to_lonlat(Point::new(x, y)).0);
        let patch = Polygon::new(LineString::new(ring.to_vec()), vec![]);
        let zones = split(&lawn, std::slice::from_ref(&patch), margin);
        let whole = zones.core.area_m2 + zones.margin.area_m2 + zones.sound.area_m2;
        prop_assert!((whole - area_m2(&lawn)).abs() < 0.1 + 1e-5 * whole, "{whole} {}", area_m2(&lawn));
        prop_assert!(zones.core.area_m2 <= area_m2(&patch) + 0.01);
    }

    #[test]
    fn a_wider_margin_is_a_larger_band(patch in polygon(), margin in 0.2..5.0f64) {
        prop_assert!(margin_band(&patch, margin).area_m2 < margin_band(&patch, margin * 1.5).area_m2);
    }

    #[test]
    fn sample_points_lie_inside_and_follow_the_seed(ground in polygon(), n in 0usize..12, seed in any::<u64>()) {
        let points = sample_points(&ground, n, seed);
        prop_assert_eq!(points.len(), n);
        let frame = LocalFrame::of_polygon(&ground).unwrap();
        let ground_m = frame.polygon_to_m(&ground);
        prop_assert!(points.iter().all(|p| ground_m.contains(&frame.point_to_m(*p))));
        prop_assert_eq!(points, sample_points(&ground, n, seed));
    }
}

/// What a hand or a disk may do to a file.
#[derive(Debug, Clone)]
enum Harm {
    Cut(usize),
    Drop(usize, usize),
    Put(usize, String),
    Swap(usize, usize),
}

fn harm() -> impl Strategy<Value = Harm> {
    let at = 0..MAP.len();
    prop_oneof![
        at.clone().prop_map(Harm::Cut),
        (at.clone(), 1..40usize).prop_map(|(i, n)| Harm::Drop(i, n)),
        (at.clone(), "[0-9\\[\\]{}\",:\\-.eE a-zµ°\u{0}]{1,6}").prop_map(|(i, s)| Harm::Put(i, s)),
        (at.clone(), at).prop_map(|(i, j)| Harm::Swap(i, j)),
    ]
}

fn harmed(mut text: String, harms: &[Harm]) -> String {
    for harm in harms {
        let mut chars: Vec<char> = text.chars().collect();
        let last = chars.len().saturating_sub(1);
        match harm {
            Harm::Cut(i) if chars.len() > 100 && i % 4 == 0 => chars.truncate(*i),
            Harm::Cut(_) => {}
            Harm::Drop(i, n) => drop(chars.drain((*i).min(last)..(i + n).min(last))),
            Harm::Put(i, s) => drop(chars.splice((*i).min(last)..(*i).min(last), s.chars())),
            Harm::Swap(i, j) if last > 0 => chars.swap((*i).min(last), (*j).min(last)),
            Harm::Swap(..) => {}
        }
        text = chars.into_iter().collect();
    }
    text
}

/// JSON that is well formed, of the right words, and otherwise anything.
fn odd_json() -> impl Strategy<Value = serde_json::Value> {
    let word = prop::sample::select(vec![
        "type",
        "Feature",
        "FeatureCollection",
        "features",
        "geometry",
        "coordinates",
        "Polygon",
        "Point",
        "LineString",
        "MultiPolygon",
        "properties",
        "kind",
        "lawn",
        "bed",
        "tree",
        "edge",
        "plant",
        "house",
        "patch",
        "id",
        "name",
        "ring",
        "block",
        "show",
        "3 in",
        "height",
        "beside",
        "crs",
        "-1 ft",
        "1e400 ft",
    ]);
    let leaf = prop_oneof![
        Just(serde_json::Value::Null),
        any::<bool>().prop_map(Into::into),
        (-400.0..400.0f64).prop_map(Into::into),
        any::<f64>().prop_map(Into::into),
        word.clone().prop_map(Into::into),
    ];
    leaf.prop_recursive(5, 60, 8, move |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..8).prop_map(serde_json::Value::Array),
            prop::collection::vec((word.clone(), inner), 0..8)
                .prop_map(|pairs| serde_json::Value::Object(pairs.into_iter().map(|(k, v)| (k.to_owned(), v)).collect())),
        ]
    })
}

/// Any positions at all, as a polygon.
fn odd_ring() -> impl Strategy<Value = serde_json::Value> {
    let near = (0..6i32, 0..6i32).prop_map(|(x, y)| serde_json::json!([-88.0 + f64::from(x) * 1e-4, 43.0 + f64::from(y) * 1e-4]));
    prop::collection::vec(near, 0..8).prop_map(|mut ring| {
        if let Some(first) = ring.first().cloned() {
            ring.push(first);
        }
        ring.into()
    })
}

/// Reads both ways, and does everything that follows with what was read.
fn use_it(text: &str) {
    let _ = read_map(text, "yard.geojson", false).map_err(|e| e.to_string());
    if let Ok(reading) = read_map(text, "yard.geojson", true) {
        let written = write::geojson(&reading.yard).to_string();
        let again = read_map(&written, "copy.geojson", true).unwrap();
        let (first, second) = (write::features(&reading.yard), write::features(&again.yard));
        for (a, b) in first.iter().zip(&second) {
            assert_eq!(a, b, "{:?}", again.skipped);
        }
        assert_eq!(first.len(), second.len(), "{:?}", again.skipped);
        let _ = (faults::find(&reading.yard, &|_| None), faults::not_checked(&reading.yard, &|_| None));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_harmed_file_never_panics_and_what_is_read_reads_back(harms in prop::collection::vec(harm(), 1..5)) {
        use_it(&harmed(MAP.to_owned(), &harms));
    }

    #[test]
    fn odd_json_never_panics(root in odd_json(), features in prop::collection::vec(odd_json(), 0..4)) {
        use_it(&root.to_string());
        use_it(&serde_json::json!({"type": "FeatureCollection", "features": features}).to_string());
    }

    #[test]
    fn any_corners_at_all_never_panic(rings in prop::collection::vec(prop::collection::vec(odd_ring(), 1..3), 1..5)) {
        let feature = |(i, r): (usize, &Vec<serde_json::Value>)| serde_json::json!({
            "type": "Feature", "properties": {"kind": (["lawn", "bed", "patch", "house"][i % 4]), "mower_width": "21 in"},
            "geometry": {"type": "Polygon", "coordinates": r},
        });
        let features: Vec<_> = rings.iter().enumerate().map(feature).collect();
        use_it(&serde_json::json!({"type": "FeatureCollection", "features": features}).to_string());
    }

    #[test]
    fn any_text_never_panics(text in "\\PC{0,200}") {
        use_it(&text);
    }
}
