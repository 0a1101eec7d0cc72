//! A feature's geometry: from JSON to points, lines and polygons that can be measured.

use super::{Findings, MOST_POINTS, rings, shown};
use crate::map_fault::FeaturePlace;
use crate::yard::Shape;
use geo::{Coord, LineString, Polygon};
use serde_json::{Map, Value};

/// What is wrong and what to do.
pub(crate) struct Wrong(pub(crate) String, pub(crate) String);

impl Wrong {
    pub(crate) fn new(wrong: impl Into<String>, remedy: impl Into<String>) -> Self {
        Wrong(wrong.into(), remedy.into())
    }
}

/// Reads the geometry of a feature; on a fault it is put down and `None` comes back.
pub(crate) fn read(feature: &Map<String, Value>, place: &FeaturePlace, findings: &mut Findings) -> Option<Shape> {
    let mut mended = Vec::new();
    let shape = geometry(feature.get("geometry"), &mut mended);
    for said in mended {
        findings.remark(Some(place), said);
    }
    match shape {
        Ok(shape) => Some(shape),
        Err(Wrong(wrong, remedy)) => {
            findings.feature_fault(place, wrong, remedy);
            None
        }
    }
}

fn geometry(value: Option<&Value>, mended: &mut Vec<String>) -> Result<Shape, Wrong> {
    let draw = "Draw it, or take the feature out of the map.";
    let map = match value {
        None => return Err(Wrong::new("it has no \"geometry\"", draw)),
        Some(Value::Null) => return Err(Wrong::new("its geometry is null: it has a kind but no place", draw)),
        Some(Value::Object(map)) => map,
        Some(other) => return Err(Wrong::new(format!("its geometry is {}, not an object", shown(other)), draw)),
    };
    let Some(kind) = map.get("type").and_then(Value::as_str) else {
        let remedy = r#"Write for example "geometry": {"type": "Polygon", "coordinates": [ … ]}."#;
        return Err(Wrong::new("its geometry has no type", remedy));
    };
    if kind == "GeometryCollection" {
        return Err(Wrong::new("it is a GeometryCollection", "Save each part as a feature of its own."));
    }
    let coordinates = match map.get("coordinates") {
        Some(Value::Array(list)) if list.is_empty() => return Err(Wrong::new(format!("its {kind} is empty"), draw)),
        Some(Value::Array(list)) => list,
        Some(other) => return Err(Wrong::new(format!("its coordinates are {}, not a list", shown(other)), draw)),
        None => return Err(Wrong::new("its geometry has no \"coordinates\"", draw)),
    };
    match kind {
        "Point" => position(&Value::Array(coordinates.clone())).map(|c| Shape::Point(c.into())),
        "LineString" => line(coordinates).map(Shape::Line),
        "Polygon" => polygon(coordinates, mended).map(Shape::Polygon),
        "MultiPoint" | "MultiLineString" | "MultiPolygon" => single(kind, coordinates, mended),
        other => Err(Wrong::new(format!("its geometry is of type \"{other}\""), "Use Point, LineString or Polygon.")),
    }
}

/// A multi-part geometry with one part is that part; with more it is refused.
fn single(kind: &str, parts: &[Value], mended: &mut Vec<String>) -> Result<Shape, Wrong> {
    let plain = kind.trim_start_matches("Multi");
    let [Value::Array(part)] = parts else {
        let wrong = format!("it is a {kind} of {} parts", parts.len());
        return Err(Wrong::new(wrong, format!("Save each part as a {plain} with an id of its own, so that each can be counted.")));
    };
    mended.push(format!("a {kind} of one part was read as a {plain}"));
    match plain {
        "Point" => position(&parts[0]).map(|c| Shape::Point(c.into())),
        "LineString" => line(part).map(Shape::Line),
        _ => polygon(part, mended).map(Shape::Polygon),
    }
}

fn line(list: &[Value]) -> Result<LineString<f64>, Wrong> {
    let coords = positions(list)?;
    if coords.len() < 2 {
        let wrong = format!("its line has {} distinct point", coords.len());
        return Err(Wrong::new(wrong, "A line needs at least two different points."));
    }
    Ok(LineString::new(coords))
}

fn polygon(list: &[Value], mended: &mut Vec<String>) -> Result<Polygon<f64>, Wrong> {
    let total: usize = list.iter().filter_map(Value::as_array).map(Vec::len).sum();
    if total > MOST_POINTS {
        return Err(too_many(total));
    }
    let mut rings = Vec::new();
    for (i, ring) in list.iter().enumerate() {
        let which = if i == 0 { "its outline".to_owned() } else { format!("hole {i}") };
        let Some(ring) = ring.as_array() else {
            let remedy = "A Polygon is a list of rings, each a list of positions: [[[x, y], [x, y], [x, y], [x, y]]].";
            return Err(Wrong::new(format!("{which} is {}, not a list of positions", shown(ring)), remedy));
        };
        rings.push(rings::read(&which, positions(ring)?)?);
    }
    rings::assemble(rings, mended)
}

fn too_many(points: usize) -> Wrong {
    Wrong::new(format!("it has {points} points; at most {MOST_POINTS} are read"), "Simplify the shape before you save it.")
}

/// Positions with doubles in a row left out.
fn positions(list: &[Value]) -> Result<Vec<Coord<f64>>, Wrong> {
    if list.len() > MOST_POINTS {
        return Err(too_many(list.len()));
    }
    let mut coords: Vec<Coord<f64>> = Vec::with_capacity(list.len());
    for value in list {
        let coord = position(value)?;
        if coords.last() != Some(&coord) {
            coords.push(coord);
        }
    }
    Ok(coords)
}

fn position(value: &Value) -> Result<Coord<f64>, Wrong> {
    let numbers: Option<Vec<f64>> =
        value.as_array().filter(|list| list.len() >= 2).and_then(|list| list[..2].iter().map(Value::as_f64).collect());
    match numbers.as_deref() {
        Some(&[x, y]) if x.is_finite() && y.is_finite() => in_range(x, y),
        _ => {
            let remedy = "Write longitude and latitude as numbers, longitude first: [-88.0123, 43.0456].";
            Err(Wrong::new(format!("a position is {}", shown(value)), remedy))
        }
    }
}

/// Checks that a position is a longitude and a latitude, and says what it looks like when it is not.
fn in_range(x: f64, y: f64) -> Result<Coord<f64>, Wrong> {
    if x.abs() <= 180.0 && y.abs() <= 90.0 {
        return Ok(Coord { x, y });
    }
    let seen = format!("a position is [{x}, {y}]");
    if x.abs() > 400.0 || y.abs() > 400.0 {
        let wrong = format!("{seen}: that is metres or feet on a grid, not degrees");
        return Err(Wrong::new(wrong, "Save the map in longitude and latitude, WGS 84 (EPSG:4326)."));
    }
    if x.abs() <= 90.0 && (90.0..=180.0).contains(&y.abs()) {
        let wrong = format!("{seen}: latitude {y} is out of range, so the two are probably swapped");
        return Err(Wrong::new(wrong, format!("Longitude comes first: [{y}, {x}].")));
    }
    if (180.0..=360.0).contains(&x) && y.abs() <= 90.0 {
        let wrong = format!("{seen}: longitude runs from -180 to 180");
        return Err(Wrong::new(wrong, format!("Write [{}, {y}].", x - 360.0)));
    }
    let wrong = format!("{seen}: longitude runs from -180 to 180 and latitude from -90 to 90");
    Err(Wrong::new(wrong, "Write longitude and latitude in decimal degrees, longitude first: [-88.0123, 43.0456]."))
}
