//! Yard-size polygons against reference libraries: geographiclib 2.1 (areas, perimeters), shapely 2.2.0 in the azimuthal
//! equidistant plane of pyproj 3.7.2 (bands, distances). `tests/data/make_polygons.py` makes `tests/data/polygons.csv`.

use geo::{Area, LineString, MultiPolygon, Point, Polygon};
use groundlore_site::measure::{LocalFrame, area_m2, distance_to_polygon_m, perimeter_m};
use groundlore_site::zones::{margin_band, split};

struct Row {
    id: String,
    polygon: Polygon<f64>,
    area_m2: f64,
    perimeter_m: f64,
    shrunk_0762_m2: f64,
    grown_1_m2: f64,
    place: Point<f64>,
    distance_m: f64,
}

fn rows() -> Vec<Row> {
    let text = include_str!("../data/polygons.csv");
    text.lines().skip(1).map(row).collect()
}

fn row(line: &str) -> Row {
    let cells: Vec<&str> = line.split(',').collect();
    let number = |i: usize| cells[i].parse::<f64>().unwrap();
    let holes = if cells[2].is_empty() { vec![] } else { vec![ring(cells[2])] };
    Row {
        id: cells[0].to_owned(),
        polygon: Polygon::new(ring(cells[1]), holes),
        area_m2: number(3),
        perimeter_m: number(4),
        shrunk_0762_m2: number(5),
        grown_1_m2: number(6),
        place: ring(cells[7]).points().next().unwrap(),
        distance_m: number(8),
    }
}

fn ring(text: &str) -> LineString<f64> {
    let pair = |p: &str| p.split_once(' ').map(|(x, y)| (x.parse::<f64>().unwrap(), y.parse::<f64>().unwrap())).unwrap();
    LineString::from(text.split(';').map(pair).collect::<Vec<_>>())
}

#[test]
fn areas_and_perimeters_of_yards_agree_with_geographiclib() {
    for row in rows() {
        let (area, perimeter) = (area_m2(&row.polygon), perimeter_m(&row.polygon));
        // Both libraries round the area near 1e-4 m² (Karney 2013, section 6: about 0.1 m² on the whole globe).
        assert!((area - row.area_m2).abs() < 0.01, "{}: {area}, expected {}", row.id, row.area_m2);
        assert!((perimeter - row.perimeter_m).abs() < 1e-5, "{}: {perimeter}, expected {}", row.id, row.perimeter_m);
    }
}

#[test]
fn distances_to_a_polygon_agree_with_shapely() {
    for row in rows() {
        let got = distance_to_polygon_m(row.place, &row.polygon);
        assert!((got - row.distance_m).abs() < 1e-5, "{}: {got}, expected {}", row.id, row.distance_m);
    }
}

#[test]
fn bands_agree_with_shapely_to_half_a_part_in_a_hundred() {
    for row in rows() {
        // A band 1.524 m wide leaves a core shrunk by 0.762 m; one 2 m wide reaches 1 m out.
        let core = split(&row.polygon, std::slice::from_ref(&row.polygon), 1.524).core.area_m2;
        assert!((core - row.shrunk_0762_m2).abs() < 0.005 * row.area_m2 + 0.01, "{}: {core}, expected {}", row.id, row.shrunk_0762_m2);
        let frame = LocalFrame::of_polygon(&row.polygon).unwrap();
        let inner = split(&row.polygon, std::slice::from_ref(&row.polygon), 2.0).core.area_m2;
        let grown = margin_band(&row.polygon, 2.0).area_m2 + inner;
        assert!((grown - row.grown_1_m2).abs() < 0.005 * row.grown_1_m2 + 0.02, "{}: {grown}, expected {}", row.id, row.grown_1_m2);
        let plane = MultiPolygon(vec![frame.polygon_to_m(&row.polygon)]).unsigned_area();
        assert!((plane / row.area_m2 - 1.0).abs() < 1e-4, "{}: {plane} on the plane, {} on the ellipsoid", row.id, row.area_m2);
    }
}
