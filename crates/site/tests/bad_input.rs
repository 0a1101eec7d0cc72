//! Wrong maps: each fault names feature, value and remedy; the good is kept when the user says so; nothing panics.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use groundlore_site::map_fault::LeftOut;
use groundlore_site::read::{MOST_FEATURES, read_map};
use groundlore_site::{MapErrors, MapReading};

const SQUARE: &str = "[[[-88,43],[-87.999,43],[-87.999,43.001],[-88,43.001],[-88,43]]]";

fn feature(id: &str, kind: &str, geometry: &str, coordinates: &str, more: &str) -> String {
    format!(
        r#"{{"type":"Feature","id":"{id}","properties":{{"kind":"{kind}","name":"The {id}"{more}}},"geometry":{{"type":"{geometry}","coordinates":{coordinates}}}}}"#
    )
}

fn collection(features: &[String]) -> String {
    format!("{{\"type\":\"FeatureCollection\",\n\"features\":[\n{}\n]}}", features.join(",\n"))
}

fn lawn() -> String {
    feature("lawn-a", "lawn", "Polygon", SQUARE, "")
}

fn bad(text: &str) -> MapErrors {
    read_map(text, "yard.geojson", false).expect_err("this map is wrong")
}

fn kept(text: &str) -> MapReading {
    read_map(text, "yard.geojson", true).expect("the good part is kept")
}

/// The only fault's words hold every one of these.
fn says(text: &str, words: &[&str]) {
    let errors = bad(text);
    let said = errors.to_string();
    assert_eq!(errors.faults.len(), 1, "{said}");
    assert!(said.starts_with("yard.geojson"), "{said}");
    for word in words {
        assert!(said.contains(word), "\"{word}\" is not in: {said}");
    }
}

/// With a good lawn beside one wrong feature: it is named, and the lawn is kept on request.
fn one_wrong(wrong: String, words: &[&str]) {
    let text = collection(&[lawn(), wrong]);
    says(&text, words);
    says(&text, &["line 4", "feature 2"]);
    let reading = kept(&text);
    assert_eq!(reading.yard.areas.iter().filter(|a| a.id == "lawn-a").count(), 1);
    assert_eq!(reading.skipped.len(), 1);
}

#[test]
fn text_that_is_no_json_is_placed_by_line_and_column() {
    says("{\"type\": \"FeatureCollection\",\n \"features\": [,]}", &["line 2", "column 15", "not JSON", "comma"]);
    says("{\"type\": \"FeatureCollection\", \"features\": [", &["ends too early"]);
    says("", &["empty"]);
    says("<kml></kml>", &["XML", ".geojson"]);
    says("\u{feff}  ", &["empty"]);
}

#[test]
fn numbers_that_are_not_finite_are_refused() {
    let point = |c: &str| collection(&[feature("a", "tree", "Point", c, "")]);
    says(&point("[NaN,43]"), &["not a finite number", "NaN"]);
    says(&point("[1e999,43]"), &["not a finite number"]);
    one_wrong(feature("oak", "tree", "Point", "[-88,43]", r#","height":"NaN ft""#), &["\"height\"", "5 ft"]);
}

#[test]
fn nesting_without_end_is_refused() {
    let deep = format!("{}{}", "[".repeat(5000), "]".repeat(5000));
    says(&format!(r#"{{"type":"FeatureCollection","features":{deep}}}"#), &["nested more than 128 deep"]);
    // Within the limit of the JSON reader, but no position.
    let deep = format!("{}{}", "[".repeat(60), "]".repeat(60));
    one_wrong(feature("odd", "lawn", "Polygon", &deep, ""), &["a position is [["]);
}

#[test]
fn a_file_of_another_type_is_told_what_to_be() {
    says(r#"[1, 2]"#, &["[1,2]", "FeatureCollection"]);
    says(&lawn(), &["\"Feature\"", "Wrap it"]);
    says(r#"{"features": []}"#, &["no \"type\""]);
    says(r#"{"type": "Topology", "objects": {}}"#, &["TopoJSON"]);
    says(r#"{"type": "FeatureCollection"}"#, &["\"features\"", "missing"]);
    says(r#"{"type": "FeatureCollection", "features": {}}"#, &["not a list"]);
    says(r#"{"type": "FeatureCollection", "features": []}"#, &["empty", "lawn"]);
}

#[test]
fn more_features_than_a_yard_can_hold_are_refused() {
    let many = vec!["0"; MOST_FEATURES + 1].join(",");
    says(&format!(r#"{{"type":"FeatureCollection","features":[{many}]}}"#), &["20001 features", "20000"]);
}

#[test]
fn another_coordinate_system_is_refused_and_wgs_84_is_passed_over() {
    let with = |crs: &str| {
        format!(r#"{{"type":"FeatureCollection","crs":{{"type":"name","properties":{{"name":"{crs}"}}}},"features":[{}]}}"#, lawn())
    };
    says(&with("urn:ogc:def:crs:EPSG::32054"), &["\"crs\"", "32054", "EPSG:4326"]);
    assert_eq!(kept(&with("urn:ogc:def:crs:OGC:1.3:CRS84")).remarks.len(), 1);
}

#[test]
fn a_missing_or_unknown_kind_lists_the_kinds_and_guesses_the_nearest() {
    one_wrong(feature("x", "lown", "Polygon", SQUARE, ""), &["\"lown\"", "Did you mean \"lawn\"?", "vegetable", "The x"]);
    let none = r#"{"type":"Feature","id":"x","properties":{},"geometry":{"type":"Point","coordinates":[-88,43]}}"#.to_owned();
    one_wrong(none, &["no kind", "tree"]);
    one_wrong(feature("x", "lawn", "Polygon", SQUARE, "").replace("\"lawn\"", "7"), &["its kind is 7"]);
}

#[test]
fn a_wrong_geometry_type_for_the_kind_says_which_is_right() {
    one_wrong(feature("oak", "tree", "Polygon", SQUARE, ""), &["a tree is drawn as a Point", "here it is a Polygon"]);
    one_wrong(feature("bed", "bed", "LineString", "[[-88,43],[-87.999,43]]", ""), &["a bed is drawn as a Polygon"]);
    one_wrong(feature("odd", "bed", "Circle", "[1]", ""), &["\"Circle\"", "Polygon"]);
}

#[test]
fn a_geometry_that_is_missing_null_or_empty_is_named() {
    one_wrong(r#"{"type":"Feature","id":"x","properties":{"kind":"lawn"},"geometry":null}"#.to_owned(), &["null", "\"x\""]);
    one_wrong(r#"{"type":"Feature","id":"x","properties":{"kind":"lawn"}}"#.to_owned(), &["no \"geometry\""]);
    one_wrong(feature("x", "lawn", "Polygon", "[]", ""), &["its Polygon is empty"]);
    one_wrong(feature("x", "lawn", "Polygon", "[[]]", ""), &["outline is empty"]);
    one_wrong(feature("x", "edge", "LineString", "[[-88,43],[-88,43]]", ""), &["1 distinct point"]);
    one_wrong(
        r#"{"type":"Feature","id":"x","properties":{"kind":"lawn"},"geometry":{"type":"GeometryCollection","geometries":[]}}"#.to_owned(),
        &["GeometryCollection", "feature of its own"],
    );
    one_wrong("null".to_owned(), &["it is null, not a Feature"]);
}

#[test]
fn several_parts_are_refused_and_one_part_is_mended() {
    let two = format!("[{SQUARE},{SQUARE}]");
    one_wrong(feature("x", "lawn", "MultiPolygon", &two, ""), &["2 parts", "id of its own"]);
    let one = format!("[{SQUARE}]");
    let reading = kept(&collection(&[feature("x", "lawn", "MultiPolygon", &one, "")]));
    assert!(reading.remarks[0].said.contains("one part"));
}

#[test]
fn positions_out_of_range_say_what_they_look_like() {
    let tree = |c: &str| feature("oak", "tree", "Point", c, "");
    one_wrong(tree("[43,-98]"), &["latitude -98", "swapped", "[-98, 43]"]);
    one_wrong(tree("[2540000.5,402000]"), &["metres or feet on a grid", "EPSG:4326"]);
    one_wrong(tree("[272,43]"), &["-180 to 180", "[-88, 43]"]);
    one_wrong(tree("[-88,200]"), &["latitude"]);
    one_wrong(tree("[-88]"), &["a position is [-88]"]);
    one_wrong(tree(r#"["-88","43"]"#), &["as numbers"]);
}

#[test]
fn a_feature_far_from_the_rest_is_named_with_the_likely_slip() {
    let tree = |c: &str| feature("oak", "tree", "Point", c, "");
    let with = |wrong: String| collection(&[lawn(), feature("elm", "tree", "Point", "[-87.9995,43.0005]", ""), wrong]);
    says(&with(tree("[43.0005,-87.9995]")), &["km from the rest", "swapped", "[-87.9995, 43.0005]"]);
    says(&with(tree("[87.9995,43.0005]")), &["longitude", "west is negative"]);
    says(&with(tree("[-87.9995,-43.0005]")), &["latitude", "south is negative"]);
    says(&with(tree("[-80,40]")), &["km from the rest", "map of its own"]);
    assert_eq!(kept(&with(tree("[-80,40]"))).yard.trees.len(), 1);
}

#[test]
fn a_whole_map_with_swapped_numbers_is_noticed_near_the_pole() {
    says(&collection(&[feature("oak", "tree", "Point", "[43,-88]", "")]), &["near a pole", "[-88, 43]"]);
}

#[test]
fn a_ring_that_crosses_touches_or_doubles_back_on_itself_is_placed() {
    one_wrong(
        feature("bow", "bed", "Polygon", "[[[-88,43],[-87.999,43.001],[-87.999,43],[-88,43.001],[-88,43]]]", ""),
        &["crosses", "-87.9995", "43.0005"],
    );
    let spike = "[[[-88,43],[-87.999,43],[-87.999,43.001],[-87.9985,43.001],[-88,43.001],[-88,43]]]";
    one_wrong(feature("spike", "bed", "Polygon", spike, ""), &["crosses or touches itself"]);
    let eight = "[[[-88,43],[-87.9995,43.0005],[-87.999,43],[-87.999,43.001],[-87.9995,43.0005],[-88,43.001],[-88,43]]]";
    one_wrong(feature("eight", "bed", "Polygon", eight, ""), &["touches itself", "figure of eight"]);
}

#[test]
fn a_ring_that_is_open_short_or_flat_is_named() {
    one_wrong(
        feature("x", "bed", "Polygon", "[[[-88,43],[-87.999,43],[-87.999,43.001],[-88,43.001]]]", ""),
        &["not closed", "[-88, 43]", "Repeat the first"],
    );
    one_wrong(feature("x", "bed", "Polygon", "[[[-88,43],[-87.999,43],[-88,43]]]", ""), &["2 corners"]);
    one_wrong(feature("x", "bed", "Polygon", "[[[-88,43],[-88,43],[-88,43],[-88,43]]]", ""), &["1 different points"]);
    one_wrong(feature("x", "bed", "Polygon", "[[[-88,43],[-87.999,43],[-87.998,43],[-88,43]]]", ""), &["outline"]);
    one_wrong(feature("x", "bed", "Polygon", "[[[-88,43],[-88.0000000001,43],[-88,43.0000000001],[-88,43]]]", ""), &["no ground"]);
}

#[test]
fn a_hole_outside_its_outline_or_over_another_is_named() {
    let hole = |h: &str| format!("[[[-88,43],[-87.999,43],[-87.999,43.001],[-88,43.001],[-88,43]],{h}]");
    let inside = "[[-87.9998,43.0002],[-87.9998,43.0004],[-87.9996,43.0004],[-87.9998,43.0002]]";
    let crossing = "[[-87.9997,43.0003],[-87.9997,43.0006],[-87.9994,43.0006],[-87.9997,43.0003]]";
    let over = "[[-87.9997,43.0001],[-87.9997,43.0005],[-87.9995,43.0005],[-87.9997,43.0001]]";
    let away = "[[-87.99,43.02],[-87.99,43.03],[-87.98,43.02],[-87.99,43.02]]";
    let good = collection(&[feature("x", "bed", "Polygon", &hole(inside), "")]);
    assert!(read_map(&good, "yard.geojson", false).is_ok());
    says(&collection(&[feature("x", "bed", "Polygon", &hole(away), "")]), &["hole", "does not lie inside"]);
    says(&collection(&[feature("x", "bed", "Polygon", &hole(&format!("{inside},{over}")), "")]), &["overlap"]);
    assert!(read_map(&collection(&[feature("x", "bed", "Polygon", &hole(crossing), "")]), "y", false).is_ok());
}

#[test]
fn rings_wound_the_wrong_way_are_turned_with_a_remark() {
    let turned = "[[[-88,43],[-88,43.001],[-87.999,43.001],[-87.999,43],[-88,43]]]";
    let reading = kept(&collection(&[feature("x", "lawn", "Polygon", turned, "")]));
    assert!(reading.remarks[0].said.contains("right-hand rule"));
    let straight = kept(&collection(&[feature("x", "lawn", "Polygon", SQUARE, "")]));
    let size = |r: &MapReading| groundlore_site::measure::area_m2(&r.yard.areas[0].polygon);
    assert!((size(&reading) - size(&straight)).abs() < 1e-6);
}

#[test]
fn areas_that_partly_overlap_are_both_named_with_the_ground() {
    let over = "[[[-87.9995,43],[-87.9985,43],[-87.9985,43.001],[-87.9995,43.001],[-87.9995,43]]]";
    one_wrong(feature("roses", "bed", "Polygon", over, ""), &["The roses", "The lawn-a", "same ground", "m2", "ft2"]);
    // The same ground twice.
    one_wrong(feature("twin", "bed", "Polygon", SQUARE, ""), &["same ground", "Take one of them out"]);
}

#[test]
fn a_sliver_shared_by_neighbours_is_remarked_on_and_kept() {
    // 3 mm over along 111 m: 0.3 m2.
    let over = "[[[-87.99900003,43],[-87.998,43],[-87.998,43.001],[-87.99900003,43.001],[-87.99900003,43]]]";
    let reading = read_map(&collection(&[lawn(), feature("roses", "bed", "Polygon", over, "")]), "y", false).unwrap();
    assert!(reading.remarks[0].said.contains("counted in both"), "{:?}", reading.remarks);
}

#[test]
fn a_bed_across_the_whole_lawn_cuts_it_in_pieces_and_is_named() {
    let across = "[[[-87.9996,43],[-87.9994,43],[-87.9994,43.001],[-87.9996,43.001],[-87.9996,43]]]";
    let text = collection(&[lawn(), feature("strip", "bed", "Polygon", across, "")]);
    says(&text, &["The strip", "separate pieces", "area of its own"]);
}

#[test]
fn a_bed_along_the_edge_of_a_lawn_is_cut_out_of_it_without_a_sliver() {
    use groundlore_site::measure::{area_m2, outer_perimeter_m};
    let along = "[[[-87.9996,43],[-87.9994,43],[-87.9994,43.0002],[-87.9996,43.0002],[-87.9996,43]]]";
    let yard = read_map(&collection(&[lawn(), feature("border", "bed", "Polygon", along, "")]), "y", false).unwrap().yard;
    let whole = kept(&collection(&[lawn()])).yard.areas[0].polygon.clone();
    let (rest, border) = (&yard.area("lawn-a").unwrap().polygon, &yard.area("border").unwrap().polygon);
    assert!((area_m2(rest) + area_m2(border) - area_m2(&whole)).abs() < 0.02);
    assert!(rest.interiors().is_empty());
    // A notch 22.2 m deep adds its two sides.
    assert!((outer_perimeter_m(rest) - outer_perimeter_m(&whole) - 2.0 * 22.22).abs() < 0.1);
    assert!(rest.exterior().0.len() <= 11, "{rest:?}");
}

#[test]
fn areas_inside_areas_inside_areas_are_each_taken_off_once() {
    let ring = |a: f64| {
        let (w, e, s, n) = (-87.9995 - a, -87.9995 + a, 43.0005 - a, 43.0005 + a);
        format!("[[[{w},{s}],[{e},{s}],[{e},{n}],[{w},{n}],[{w},{s}]]]")
    };
    let text =
        collection(&[feature("pond", "water", "Polygon", &ring(0.0001), ""), feature("bed", "bed", "Polygon", &ring(0.0002), ""), lawn()]);
    let yard = read_map(&text, "yard.geojson", false).unwrap().yard;
    let size = |id: &str| groundlore_site::measure::area_m2(&yard.area(id).unwrap().polygon);
    assert_eq!(yard.area("lawn-a").unwrap().polygon.interiors().len(), 1);
    assert_eq!(yard.area("bed").unwrap().polygon.interiors().len(), 1);
    let whole = groundlore_site::measure::area_m2(&kept(&collection(&[lawn()])).yard.areas[0].polygon);
    assert!((size("pond") + size("bed") + size("lawn-a") - whole).abs() < 1e-3);
}

#[test]
fn ids_given_twice_are_named_with_the_feature_before() {
    let twin = "[[[-87.99,43],[-87.989,43],[-87.989,43.001],[-87.99,43.001],[-87.99,43]]]";
    one_wrong(feature("lawn-a", "bed", "Polygon", twin, ""), &["\"lawn-a\"", "feature 1", "lawn-a-2"]);
}

#[test]
fn a_bad_property_is_named_and_with_skipping_only_it_is_lost() {
    let rows: &[(&str, &[&str])] = &[
        (r#","height":5"#, &["\"height\"", "5 has no unit", "\"height\": \"5 ft\""]),
        (r#","height":"5""#, &["\"height\"", "no unit", "5 ft"]),
        (r#","height":"5 gal""#, &["\"height\"", "5 gal", "length"]),
        (r#","height":"5 foots""#, &["\"height\"", "foots"]),
        (r#","height":"tall""#, &["\"height\"", "tall"]),
        (r#","height":"900 ft""#, &["\"height\"", "900 ft", "decimal point"]),
        (r#","trunk_diameter":"-3 in""#, &["\"trunk_diameter\"", "-3 in"]),
        (r#","trunk_diameter":true"#, &["\"trunk_diameter\"", "true", "14 in"]),
        (r#","ring":"bricks""#, &["\"ring\"", "bricks", "none, mulch, block, stone, soil"]),
        (r#","ring":"blok""#, &["Did you mean \"block\"?"]),
        (r#","species":12"#, &["\"species\"", "12 is not words"]),
    ];
    for (more, words) in rows {
        let text = collection(&[lawn(), feature("oak", "tree", "Point", "[-88,43]", more)]);
        says(&text, words);
        let reading = kept(&text);
        assert_eq!(reading.yard.trees.len(), 1, "the tree stays: {more}");
        assert_eq!(reading.skipped[0].left_out, LeftOut::Property);
    }
}

#[test]
fn bad_properties_of_areas_edges_and_plants_are_named() {
    let area = |more: &str| collection(&[feature("x", "lawn", "Polygon", SQUARE, more)]);
    says(&area(r#","irrigated":"maybe""#), &["\"irrigated\"", "maybe", "true"]);
    says(&area(r#","shade":"dark""#), &["\"shade\"", "full-sun, part-shade, full-shade"]);
    says(&area(r#","slope":8"#), &["\"slope\"", "8 %"]);
    says(&area(r#","mower_width":"21 ft""#), &["\"mower_width\"", "21 ft"]);
    let edge = |more: &str| collection(&[lawn(), feature("kerb", "edge", "LineString", "[[-88,43],[-87.999,43]]", more)]);
    says(&edge(r#","beside":["lawn-b"]"#), &["\"beside\"", "lawn-b", "Did you mean \"lawn-a\"?"]);
    says(&edge(r#","beside":{"a":1}"#), &["\"beside\"", "list of ids"]);
    says(&edge(r#","edging":"brick""#), &["\"edging\"", "spade-cut"]);
    let plant = |more: &str| collection(&[lawn(), feature("p", "plant", "Point", "[-88,43]", more)]);
    says(&plant(""), &["which plant", "rudbeckia"]);
    says(&plant(r#","plant":"aster","count":2.5"#), &["\"count\"", "2.5"]);
    says(&plant(r#","plant":"aster","count":0"#), &["\"count\"", "whole number"]);
}

#[test]
fn a_mistyped_property_is_remarked_on_and_kept_for_export() {
    let text = collection(&[feature("x", "lawn", "Polygon", SQUARE, r#","shad":"full-sun","owner_ref":12"#)]);
    let reading = read_map(&text, "yard.geojson", false).unwrap();
    assert!(reading.remarks[0].said.contains("did you mean \"shade\""), "{:?}", reading.remarks);
    assert_eq!(reading.remarks.len(), 1);
    assert_eq!(reading.yard.areas[0].extra.other["owner_ref"], 12);
    assert!(groundlore_site::write::geojson(&reading.yard).to_string().contains("owner_ref"));
}

#[test]
fn a_map_over_the_antimeridian_is_refused() {
    let text = collection(&[feature("a", "tree", "Point", "[179.9999,-17]", ""), feature("b", "tree", "Point", "[-179.9999,-17]", "")]);
    says(&text, &["180° meridian", "Cut the map"]);
    assert!(read_map(&text, "yard.geojson", true).is_err());
    let wide = "[[[-179.9,43],[179.9,43],[179.9,43.001],[-179.9,43.001],[-179.9,43]]]";
    assert!(read_map(&collection(&[feature("w", "lawn", "Polygon", wide, "")]), "y", false).is_err());
}

#[test]
fn every_fault_is_told_at_once_in_the_order_of_the_file() {
    let text = collection(&[
        feature("oak", "tree", "Point", "[-88,143]", ""),
        lawn(),
        feature("x", "lwn", "Polygon", SQUARE, ""),
        feature("elm", "tree", "Point", "[-88,43]", r#","height":5"#),
    ]);
    let errors = bad(&text);
    let order: Vec<usize> = errors.faults.iter().map(|f| f.feature.as_ref().unwrap().index).collect();
    assert_eq!(order, vec![1, 3, 4]);
    assert_eq!(errors.faults[2].line, Some(6));
    assert_eq!(errors.to_string().lines().count(), 3);
    let reading = kept(&text);
    assert_eq!((reading.yard.areas.len(), reading.yard.trees.len(), reading.skipped.len()), (1, 1, 3));
}

#[test]
fn a_map_with_nothing_good_is_an_error_even_when_skipping() {
    let text = collection(&[feature("x", "lwn", "Polygon", SQUARE, "")]);
    assert!(read_map(&text, "yard.geojson", true).unwrap_err().to_string().contains("lwn"));
}

#[test]
fn a_shape_with_more_points_than_anyone_draws_is_refused() {
    let points: Vec<String> = (0..10_002).map(|i| format!("[{},43]", -88.0 + f64::from(i) * 1e-6)).collect();
    one_wrong(feature("long", "edge", "LineString", &format!("[{}]", points.join(",")), ""), &["10002 points", "Simplify"]);
}

#[test]
fn numbers_serve_as_ids_and_a_feature_without_one_is_given_one() {
    let text = collection(&[
        lawn().replace("\"id\":\"lawn-a\"", "\"id\":7"),
        feature("x", "tree", "Point", "[-88,43]", "").replace("\"id\":\"x\",", ""),
    ]);
    let yard = read_map(&text, "dir/fern lane.geojson", false).unwrap().yard;
    assert_eq!(yard.areas[0].id, "7");
    assert_eq!(yard.trees[0].id, "tree-2");
    assert_eq!(yard.name, "fern lane");
}
