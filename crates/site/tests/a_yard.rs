//! One invented yard from its map to its measures, zones and faults. The lot in `tests/data/corner-lot.geojson` was laid out
//! in metres and turned into longitude and latitude with pyproj 3.7.2, so its sizes are known.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use geo::Contains;
use groundlore_quantity::Quantity;
use groundlore_site::faults::{self, Fault, FaultKind, PlantSize, Source};
use groundlore_site::measure::{area_m2, distance_m, length_m};
use groundlore_site::read::{MapReading, read_map};
use groundlore_site::yard::{AreaKind, Ring, Shade, Yard};
use groundlore_site::zones::{sample_ground, split};
use groundlore_site::{LocalFrame, write};

const MAP: &str = include_str!("data/corner-lot.geojson");

fn reading() -> MapReading {
    read_map(MAP, "corner-lot.geojson", false).unwrap()
}

fn lore(key: &str) -> Option<PlantSize> {
    (key == "helianthus-microcephalus").then_some(PlantSize { spread_m: (0.9, 1.2), spacing_m: None, height_m: Some((1.5, 2.1)) })
}

fn found() -> Vec<Fault> {
    faults::find(&reading().yard, &lore)
}

fn fault(kind: FaultKind, id: &str) -> Fault {
    let all = found();
    all.iter().find(|f| f.kind == kind && f.feature_id == id).unwrap_or_else(|| panic!("{kind:?} on {id} in {all:#?}")).clone()
}

fn amount(fault: &Fault, unit: &str) -> f64 {
    fault.amount.as_ref().unwrap().in_unit(unit).unwrap()
}

#[test]
fn the_map_is_read_whole_and_every_word_lands() {
    let yard = reading().yard;
    assert_eq!(yard.name, "Fennimore corner");
    assert_eq!((yard.areas.len(), yard.edges.len(), yard.trees.len(), yard.structures.len()), (11, 4, 4, 2));
    assert_eq!((yard.plants.len(), yard.patches.len(), yard.water.len()), (6, 1, 2));
    let lawn = yard.area("front-lawn").unwrap();
    assert_eq!(
        (lawn.kind, lawn.shade, lawn.irrigated, lawn.play, lawn.pets),
        (AreaKind::Lawn, Some(Shade::FullSun), Some(true), Some(false), None)
    );
    assert!((lawn.slope.as_ref().unwrap().si() - 0.03).abs() < 1e-12);
    assert_eq!(yard.trees[0].ring, Some(Ring::Block));
    assert_eq!(yard.trees[3].trunk_diameter, None);
    assert_eq!(yard.plants[5].count, Some(27));
}

#[test]
fn areas_are_the_sizes_they_were_laid_out_to_and_net_of_what_lies_inside() {
    let reading = reading();
    let size = |id: &str| area_m2(&reading.yard.area(id).unwrap().polygon);
    // Laid out 40 x 12 m, with an island of 6 x 6 m; positions are rounded to 1e-8 degree (1 mm).
    assert!((size("front-lawn") - (480.0 - 36.0)).abs() < 0.05, "{}", size("front-lawn"));
    assert!((size("island") - 36.0).abs() < 0.02);
    assert!((size("back-lawn") - (640.0 - size("pond"))).abs() < 0.05);
    assert!(reading.remarks.iter().any(|r| r.to_string().contains("Island bed") && r.to_string().contains("taken off its area")));
    assert!((length_m(&reading.yard.edges[0].line) - 40.0).abs() < 0.002);
    assert!((distance_m(reading.yard.trees[0].point, reading.yard.trees[1].point) - 28.0).abs() < 0.002);
}

#[test]
fn a_map_written_out_reads_back_the_same_yard() {
    let yard = reading().yard;
    let text = write::geojson(&yard).to_string();
    let again = read_map(&text, "copy.geojson", false).unwrap();
    assert_eq!(yard, again.yard);
    assert_eq!(again.remarks, vec![]);
    // A GeoJSON library of others reads it too.
    let parsed: geojson::GeoJson = text.parse().unwrap();
    let geojson::GeoJson::FeatureCollection(collection) = parsed else { panic!("not a collection") };
    assert_eq!(collection.features.len(), 30);
}

#[test]
fn block_against_a_trunk_is_a_fault_with_the_length_to_lift() {
    let fault = fault(FaultKind::BlockAtTrunk, "maple");
    // A trunk 14 in across is 3.67 ft round.
    assert!((amount(&fault, "ft") - 14.0 * std::f64::consts::PI / 12.0).abs() < 1e-9);
    assert!(fault.also.is_empty());
    assert!(matches!(fault.source, Source::CommonPractice(_)));
    assert!(fault.cautions.iter().any(|c| c.contains("arborist")));
    assert!(fault.cautions.iter().any(|c| c.contains("digging")));
}

#[test]
fn mulch_against_a_trunk_is_a_fault_with_the_volume_to_pull_back() {
    let fault = fault(FaultKind::MulchAtTrunk, "linden");
    assert!((amount(&fault, "in3") - std::f64::consts::PI * (121.0 - 25.0) * 8.0).abs() < 1e-6);
}

#[test]
fn proud_block_beside_a_lawn_is_a_fault_and_an_inch_is_not() {
    let fault = fault(FaultKind::ProudEdging, "kerb");
    assert!((amount(&fault, "m") - 40.0).abs() < 0.002);
    assert!((fault.also[0].amount.in_unit("in").unwrap() - 2.0).abs() < 1e-9);
    // 40 m of 12 in blocks is 131.2, so 132.
    assert_eq!(fault.also[1].amount.value, 132.0);
    let others: Vec<String> = found().into_iter().filter(|f| f.kind == FaultKind::ProudEdging).map(|f| f.feature_id).collect();
    assert_eq!(others, vec!["kerb"], "edging at an inch, and steel beside a path, are let be");
}

#[test]
fn of_three_crowded_plants_the_middle_one_goes() {
    let fault = fault(FaultKind::Crowding, "p2");
    assert_eq!(fault.amount, Some(Quantity::bare(1.0)));
    assert!(fault.what.contains("Island bed"), "{}", fault.what);
    assert!(fault.what_to_do.contains("p2"));
}

#[test]
fn a_group_set_closer_than_it_spreads_is_thinned_by_area() {
    let fault = fault(FaultKind::Crowding, "p6");
    // 27 plants at 8 in cover what 12 cover at 12 in, so 15 are over.
    assert_eq!(fault.amount, Some(Quantity::bare(15.0)));
}

#[test]
fn two_plants_with_room_by_map_and_lore_are_let_be() {
    // 36 in and at least 0.9 m: 0.907 m needed, 1.2 m apart.
    assert!(!found().iter().any(|f| f.feature_id == "p4" || f.feature_id == "p5"));
}

#[test]
fn ground_out_of_reach_in_an_island_bed_is_its_inset() {
    let fault = fault(FaultKind::BeyondReach, "island");
    // 6 m less 2.5 ft from each side: 4.476 m square.
    assert!((amount(&fault, "m2") - 4.476f64.powi(2)).abs() < 0.05, "{:?}", fault.amount);
}

#[test]
fn a_bed_against_a_house_is_reached_from_one_side_only() {
    let fault = fault(FaultKind::BeyondReach, "foundation");
    // 9.8 m long, 1 m deep, front open, back against the house: 0.238 m deep lies out of reach, save what is reached from the
    // ends. The west end lies on the path; the east end is open ground.
    let got = amount(&fault, "m2");
    assert!((1.5..0.238 * 9.8 + 0.01).contains(&got), "{got}");
    assert!(fault.what.contains("building"));
    let island = self::fault(FaultKind::BeyondReach, "island");
    assert!(!island.what.contains("building"), "no wall stands by the island");
}

#[test]
fn a_bed_deeper_than_two_reaches_has_a_middle_out_of_reach() {
    // The kitchen garden is 2 m deep with an open side all round: 2.5 ft from each leaves 0.476 m out of reach.
    let fault = fault(FaultKind::BeyondReach, "kitchen");
    assert!((amount(&fault, "m2") - 0.476 * (12.0 - 1.524)).abs() < 0.05);
}

#[test]
fn a_strip_narrower_than_the_deck_is_lawn_that_no_mower_reaches() {
    let fault = fault(FaultKind::NarrowLawn, "side-strip");
    // The strip, 8 x 0.45 m, lies between house and drive; the deck is 21 in (0.533 m): all 3.6 m2 of it.
    assert!((amount(&fault, "m2") - 3.6).abs() < 0.05);
    assert!(!found().iter().any(|f| f.feature_id == "front-lawn"), "square corners and an island are no fault");
}

/// Lawns drawn in metres about a place, as a map.
fn lawns(rings: &[&[(f64, f64)]], deck: &str, tree: Option<(f64, f64, &str)>) -> Vec<Fault> {
    use serde_json::json;
    let frame = LocalFrame::about(geo::Point::new(-88.0, 43.0));
    let place = |&(x, y): &(f64, f64)| {
        let p = frame.point_to_lonlat(geo::Point::new(x, y));
        json!([p.x(), p.y()])
    };
    let lawn = |ring: &&[(f64, f64)]| {
        let corners: Vec<_> = ring.iter().chain(ring.first()).map(place).collect();
        json!({"type": "Feature", "properties": {"kind": "lawn", "mower_width": deck}, "geometry": {"type": "Polygon", "coordinates": [corners]}})
    };
    let mut features: Vec<_> = rings.iter().map(lawn).collect();
    features.extend(tree.map(|(x, y, trunk)| {
        json!({"type": "Feature", "properties": {"kind": "tree", "ring": "none", "trunk_diameter": trunk},
            "geometry": {"type": "Point", "coordinates": place(&(x, y))}})
    }));
    let map = json!({"type": "FeatureCollection", "features": features}).to_string();
    faults::find(&read_map(&map, "lawns", false).unwrap().yard, &|_| None)
}

#[test]
fn what_a_round_deck_leaves_agrees_with_shapely() {
    // shapely 2.2.0: lawn.difference(lawn.buffer(-r, 256).buffer(r, 256)), pieces over 0.1 m2.
    let wedge: &[(f64, f64)] = &[(0.0, 0.0), (20.0, 0.0), (20.0, 5.0)];
    let found = lawns(&[wedge], "48 in", None);
    assert_eq!(found.iter().map(|f| f.kind).collect::<Vec<_>>(), vec![FaultKind::NarrowLawn, FaultKind::SharpCorner]);
    assert!((amount(&found[0], "m2") - 2.4804).abs() < 0.1, "{:?}", found[0].amount);
    assert!((amount(&found[1], "m2") - 0.1386).abs() < 0.03, "{:?}", found[1].amount);

    let neck: &[(f64, f64)] = &[
        (0.0, 0.0),
        (20.0, 0.0),
        (20.0, 8.0),
        (10.8, 8.0),
        (10.8, 12.0),
        (20.0, 12.0),
        (20.0, 20.0),
        (0.0, 20.0),
        (0.0, 12.0),
        (10.0, 12.0),
        (10.0, 8.0),
        (0.0, 8.0),
    ];
    assert_eq!(lawns(&[neck], "21 in", None).len(), 0, "a neck of 0.8 m takes a deck of 0.53 m");
    let found = lawns(&[neck], "36 in", None);
    assert_eq!((found.len(), found[0].kind), (1, FaultKind::NarrowLawn));
    assert!((amount(&found[0], "m2") - 2.9318).abs() < 0.1, "{:?}", found[0].amount);

    let field: &[(f64, f64)] = &[(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let found = lawns(&[field], "1.22 m", Some((5.0, 0.6, "0.3 m")));
    assert!((amount(&found[0], "m2") - 0.3043).abs() < 0.05, "{:?}", found[0].amount);
}

#[test]
fn a_strip_beside_another_lawn_is_mown_with_it() {
    let field: &[(f64, f64)] = &[(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let strip: &[(f64, f64)] = &[(0.0, 6.0), (10.0, 6.0), (10.0, 6.3), (0.0, 6.3)];
    assert_eq!(lawns(&[field, strip], "48 in", None).len(), 0);
    let alone = lawns(&[strip], "48 in", None);
    assert_eq!((alone.len(), alone[0].kind), (1, FaultKind::NarrowLawn));
}

#[test]
fn what_was_not_measured_is_listed_and_not_judged() {
    let yard = reading().yard;
    let open = faults::not_checked(&yard, &lore);
    assert!(open.iter().any(|n| n.feature_id == "pear" && n.measure.contains("ring_clear")));
    assert!(!found().iter().any(|f| f.feature_id == "pear"));
    let without_lore = faults::not_checked(&yard, &|_| None);
    assert!(without_lore.iter().any(|n| n.feature_id == "p5"));
}

#[test]
fn every_fault_says_why_what_and_how_much() {
    for fault in found() {
        assert!(!fault.what.is_empty() && !fault.why_it_matters.is_empty() && !fault.what_to_do.is_empty() && !fault.amount_of.is_empty());
        assert!(fault.amount.is_some(), "{fault:?}");
        let source = fault.source.to_string();
        assert!(source.starts_with("common practice") || source.starts_with("measured"), "{source}");
    }
}

#[test]
fn zones_share_out_the_lawn_and_sample_points_lie_in_their_zone() {
    let yard = reading().yard;
    let lawn = &yard.area("front-lawn").unwrap().polygon;
    let patch = &yard.patches[0];
    let margin = patch.margin.as_ref().unwrap().si();
    let zones = split(lawn, std::slice::from_ref(&patch.polygon), margin);
    let whole = zones.core.area_m2 + zones.margin.area_m2 + zones.sound.area_m2;
    assert!((whole - area_m2(lawn)).abs() < 0.05);
    for (zone, seed) in [(&zones.core, 1), (&zones.margin, 2), (&zones.sound, 3)] {
        let points = sample_ground(&zone.ground, 8, seed);
        assert_eq!(points.len(), 8);
        assert!(points.iter().all(|p| zone.ground.contains(p)));
        assert_eq!(points, sample_ground(&zone.ground, 8, seed));
        assert_ne!(points, sample_ground(&zone.ground, 8, seed + 100));
    }
}

#[test]
fn sample_points_stand_further_apart_than_chance() {
    let yard: Yard = reading().yard;
    let lawn = &yard.area("back-lawn").unwrap().polygon;
    let points = groundlore_site::zones::sample_points(lawn, 20, 7);
    let nearest = |i: usize| (0..20).filter(|j| *j != i).map(|j| distance_m(points[i], points[j])).fold(f64::INFINITY, f64::min);
    let mean = (0..20).map(nearest).sum::<f64>() / 20.0;
    // Clark and Evans (1954): places at random have a mean nearest distance of 0.5 sqrt(area / n); `memory`.
    assert!(mean > 1.2 * 0.5 * (area_m2(lawn) / 20.0).sqrt(), "{mean}");
}

#[test]
fn the_frame_of_the_yard_keeps_lengths() {
    let yard = reading().yard;
    let frame = LocalFrame::of(&yard).unwrap();
    let (a, b) = (frame.point_to_m(yard.trees[0].point), frame.point_to_m(yard.trees[1].point));
    assert!(((a.x() - b.x()).hypot(a.y() - b.y()) - distance_m(yard.trees[0].point, yard.trees[1].point)).abs() < 1e-6);
}

#[test]
fn the_schedule_sums_each_kind_and_water_is_listed_nearest_first() {
    let yard = reading().yard;
    let schedule = groundlore_site::schedule::of(&yard);
    assert_eq!(schedule.areas.len(), 11);
    assert!((schedule.by_kind_m2[&AreaKind::Play] - 30.0).abs() < 0.02);
    assert!((schedule.edges[1].length_m - 24.0).abs() < 0.002);
    let water = groundlore_site::schedule::water_near(&yard, &yard.area("front-lawn").unwrap().polygon);
    let ids: Vec<&str> = water.iter().map(|w| w.id.as_str()).collect();
    assert_eq!(ids, vec!["gully", "pond", "well"]);
    assert_eq!(water[0].distance_m, 0.0);
    assert!((water[1].distance_m - 18.0).abs() < 0.002 && (water[2].distance_m - 36.0).abs() < 0.002);
    let back = groundlore_site::schedule::water_near(&yard, &yard.area("back-lawn").unwrap().polygon);
    assert_eq!((back[0].id.as_str(), back[0].distance_m < 0.001), ("pond", true));
}

#[test]
fn the_example_in_the_docs_is_a_good_map() {
    let page = include_str!("../../../docs/map-format.md");
    let example = page.split("```json").nth(1).unwrap().split("```").next().unwrap();
    let reading = read_map(example, "map-format.md", false).unwrap();
    assert_eq!((reading.yard.name.as_str(), reading.yard.areas.len(), reading.yard.trees.len()), ("Corner lot", 1, 1));
    assert_eq!(reading.remarks, vec![]);
    for row in groundlore_site::read::KINDS {
        assert!(page.contains(&format!("`{}`", row.word)), "{} is not in the docs", row.word);
    }
}

/// Trees with one ring each, by map text.
fn ring_faults(properties: &str) -> Vec<Fault> {
    let map = format!(
        r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","id":"t","properties":{{"kind":"tree",{properties}}},
        "geometry":{{"type":"Point","coordinates":[-88,43]}}}}]}}"#
    );
    faults::find(&read_map(&map, "t", false).unwrap().yard, &|_| None)
}

#[test]
fn rings_are_judged_by_what_was_measured() {
    let rows = [
        (r#""ring":"block""#, 1, None),
        (r#""ring":"block","trunk_diameter":"1 ft""#, 1, Some(std::f64::consts::PI)),
        (r#""ring":"stone","trunk_diameter":"1 ft","ring_clear":"6 in""#, 1, Some(2.0 * std::f64::consts::PI)),
        (r#""ring":"block","ring_clear":"30 in""#, 0, None),
        (
            r#""ring":"soil","ring_clear":"2 in","trunk_diameter":"2 ft","ring_height":"1 ft""#,
            1,
            Some(std::f64::consts::PI * (2.25 - 49.0 / 36.0)),
        ),
        (r#""ring":"soil","ring_clear":"7 in""#, 0, None),
        (r#""ring":"mulch","ring_clear":"4 in","ring_height":"3 in""#, 0, None),
        (r#""ring":"mulch","ring_clear":"4 in","ring_height":"6 in""#, 1, Some(2.0)),
        (r#""ring":"mulch","ring_clear":"1 in""#, 1, None),
        (r#""ring":"mulch""#, 0, None),
        (r#""ring":"none""#, 0, None),
    ];
    for (properties, count, amount) in rows {
        let found = ring_faults(properties);
        assert_eq!(found.len(), count, "{properties}");
        let got = found.first().and_then(|f| f.amount.as_ref()).map(|q| q.value);
        match (got, amount) {
            (Some(got), Some(amount)) => assert!((got - amount).abs() < 1e-9, "{properties}: {got}"),
            (got, amount) => assert_eq!(got, amount, "{properties}"),
        }
    }
}
