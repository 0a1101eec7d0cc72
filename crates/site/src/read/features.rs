//! One feature: its kind, its place, its geometry and its properties.

use super::properties::Properties;
use super::{Findings, Item, Part, near_word::nearest, shape, shown};
use crate::map_fault::FeaturePlace;
use crate::yard::{Area, AreaKind, BedPlant, Edge, Patch, PatchKind, Shape, Structure, StructureKind, Tree, WaterFeature, WaterKind};
use serde_json::{Map, Value};

/// What a feature may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FeatureKind {
    /// An area of ground.
    Area(AreaKind),
    /// An edge.
    Edge,
    /// A tree.
    Tree,
    /// A structure.
    Structure(StructureKind),
    /// A plant, or a group of one kind, in a bed.
    Plant,
    /// A patch over an area.
    Patch,
    /// Water as a point or a line.
    Water(WaterKind),
}

/// A kind's word on the map, what it is, and the geometry types that it takes.
#[derive(Debug, Clone, Copy)]
pub struct KindRow {
    /// The word in the property `kind`.
    pub word: &'static str,
    /// What it is.
    pub kind: FeatureKind,
    /// Geometry types it takes.
    pub takes: &'static [&'static str],
}

const fn row(word: &'static str, kind: FeatureKind, takes: &'static [&'static str]) -> KindRow {
    KindRow { word, kind, takes }
}

const POLYGON: &[&str] = &["Polygon"];
const BUILT: &[&str] = &["Polygon", "LineString"];
const POINT: &[&str] = &["Point"];

/// Every kind that a feature may have.
pub const KINDS: &[KindRow] = &[
    row("lawn", FeatureKind::Area(AreaKind::Lawn), POLYGON),
    row("bed", FeatureKind::Area(AreaKind::Bed), POLYGON),
    row("meadow", FeatureKind::Area(AreaKind::Meadow), POLYGON),
    row("drive", FeatureKind::Area(AreaKind::Drive), POLYGON),
    row("path", FeatureKind::Area(AreaKind::Path), POLYGON),
    row("patio", FeatureKind::Area(AreaKind::Patio), POLYGON),
    row("water", FeatureKind::Area(AreaKind::Water), &["Polygon", "LineString", "Point"]),
    row("vegetable", FeatureKind::Area(AreaKind::Vegetable), POLYGON),
    row("play", FeatureKind::Area(AreaKind::Play), POLYGON),
    row("edge", FeatureKind::Edge, &["LineString"]),
    row("tree", FeatureKind::Tree, POINT),
    row("house", FeatureKind::Structure(StructureKind::House), BUILT),
    row("garage", FeatureKind::Structure(StructureKind::Garage), BUILT),
    row("shed", FeatureKind::Structure(StructureKind::Shed), BUILT),
    row("wall", FeatureKind::Structure(StructureKind::Wall), BUILT),
    row("fence", FeatureKind::Structure(StructureKind::Fence), BUILT),
    row("deck", FeatureKind::Structure(StructureKind::Deck), BUILT),
    row("structure", FeatureKind::Structure(StructureKind::Structure), BUILT),
    row("plant", FeatureKind::Plant, POINT),
    row("patch", FeatureKind::Patch, POLYGON),
    row("well", FeatureKind::Water(WaterKind::Well), POINT),
    row("drain", FeatureKind::Water(WaterKind::Drain), POINT),
];

/// Reads one feature; every fault is put down, and a feature that cannot be used comes back as `None`.
pub(crate) fn read(index: usize, line: Option<usize>, value: &Value, findings: &mut Findings) -> Option<Item> {
    let mut place = FeaturePlace { index, id: None, name: None, kind: None, line };
    let Some(feature) = value.as_object().filter(|f| f.get("type").and_then(Value::as_str) == Some("Feature")) else {
        let wrong = format!("it is {}, not a Feature", shown(value));
        findings.feature_fault(&place, wrong, r#"Write {"type": "Feature", "geometry": { … }, "properties": { … }}."#);
        return None;
    };
    let empty = Map::new();
    let properties = match feature.get("properties") {
        Some(Value::Object(map)) => map,
        _ => &empty,
    };
    let text = |key: &str| properties.get(key).and_then(Value::as_str).map(str::trim).filter(|s| !s.is_empty()).map(str::to_owned);
    place.id = feature.get("id").and_then(id_text).or_else(|| properties.get("id").and_then(id_text));
    findings.ids.extend(place.id.clone());
    place.name = text("name");
    place.kind = text("kind");
    let row = kind(properties, &place, findings);
    let shape = shape::read(feature, &place, findings);
    let (row, shape) = (row?, shape?);
    if !row.takes.contains(&type_name(&shape)) {
        let wrong = format!("a {} is drawn as a {}, but here it is a {}", row.word, row.takes.join(" or "), type_name(&shape));
        findings.feature_fault(&place, wrong, "Draw it again with the right tool, or give it the kind that fits.");
        return None;
    }
    let id = place.id.get_or_insert_with(|| format!("{}-{index}", row.word));
    findings.ids.insert(id.clone());
    let part = part(row, shape, properties, &place, findings)?;
    Some(Item { place, part })
}

/// An id as text: RFC 7946 allows a string or a number.
pub(crate) fn id_text(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    }
}

fn kind(properties: &Map<String, Value>, place: &FeaturePlace, findings: &mut Findings) -> Option<&'static KindRow> {
    let words = || KINDS.iter().map(|row| row.word);
    let list = words().collect::<Vec<_>>().join(", ");
    let Some(seen) = properties.get("kind").filter(|value| !value.is_null()) else {
        findings.feature_fault(place, "it has no kind", format!("Add \"kind\" to its properties, one of: {list}."));
        return None;
    };
    let plain = seen.as_str().unwrap_or("").trim().to_lowercase();
    let found = KINDS.iter().find(|row| row.word == plain);
    if found.is_none() {
        let hint = nearest(&plain, words()).map_or(String::new(), |word| format!("Did you mean \"{word}\"? "));
        findings.feature_fault(place, format!("its kind is {}, which is not known", shown(seen)), format!("{hint}Use one of: {list}."));
    }
    found
}

fn type_name(shape: &Shape) -> &'static str {
    match shape {
        Shape::Point(_) => "Point",
        Shape::Line(_) => "LineString",
        Shape::Polygon(_) => "Polygon",
    }
}

/// The feature with its properties. The shape's type has been checked against the kind.
fn part(row: &KindRow, shape: Shape, map: &Map<String, Value>, place: &FeaturePlace, findings: &mut Findings) -> Option<Part> {
    let id = place.id.clone().unwrap_or_default();
    let name = place.name.clone().unwrap_or_else(|| id.clone());
    let properties = Properties::new(map, place, findings);
    Some(match (row.kind, shape) {
        (FeatureKind::Area(kind), Shape::Polygon(polygon)) => Part::Area(area(id, name, kind, polygon, properties)),
        (FeatureKind::Area(AreaKind::Water), shape) => Part::Water(water(id, name, WaterKind::Water, shape, properties)),
        (FeatureKind::Water(kind), shape) => Part::Water(water(id, name, kind, shape, properties)),
        (FeatureKind::Edge, Shape::Line(line)) => Part::Edge(edge(id, name, line, properties)),
        (FeatureKind::Tree, Shape::Point(point)) => Part::Tree(tree(id, name, point, properties)),
        (FeatureKind::Structure(kind), shape) => Part::Structure(structure(id, name, kind, shape, properties)),
        (FeatureKind::Plant, Shape::Point(point)) => Part::Plant(plant(id, name, point, properties, place)?),
        (FeatureKind::Patch, Shape::Polygon(polygon)) => Part::Patch(patch(id, name, polygon, properties)),
        _ => return None,
    })
}

fn area(id: String, name: String, kind: AreaKind, polygon: geo::Polygon<f64>, mut p: Properties<'_>) -> Area {
    Area {
        id,
        name,
        kind,
        polygon,
        grass: p.text("grass", "Kentucky bluegrass"),
        shade: p.word("shade"),
        irrigated: p.yes_no("irrigated"),
        foot_traffic: p.word("foot_traffic"),
        soil: p.text("soil", "silt loam"),
        slope: p.slope("slope"),
        mower_width: p.length("mower_width"),
        play: p.yes_no("play"),
        pets: p.yes_no("pets"),
        extra: p.rest(),
    }
}

fn edge(id: String, name: String, line: geo::LineString<f64>, mut p: Properties<'_>) -> Edge {
    Edge {
        id,
        name,
        line,
        edging: p.word("edging"),
        show: p.length("show"),
        block_length: p.length("block_length"),
        block_height: p.length("block_height"),
        beside: p.ids("beside"),
        extra: p.rest(),
    }
}

fn tree(id: String, name: String, point: geo::Point<f64>, mut p: Properties<'_>) -> Tree {
    Tree {
        id,
        name,
        point,
        species: p.text("species", "Quercus macrocarpa"),
        trunk_diameter: p.length("trunk_diameter"),
        crown_diameter: p.length("crown_diameter"),
        height: p.length("height"),
        ring: p.word("ring"),
        ring_height: p.length("ring_height"),
        ring_clear: p.length("ring_clear"),
        extra: p.rest(),
    }
}

fn structure(id: String, name: String, kind: StructureKind, shape: Shape, mut p: Properties<'_>) -> Structure {
    Structure { id, name, kind, shape, height: p.length("height"), extra: p.rest() }
}

/// A plant needs to say which one it is.
fn plant(id: String, name: String, point: geo::Point<f64>, mut p: Properties<'_>, place: &FeaturePlace) -> Option<BedPlant> {
    let Some(plant) = p.text("plant", "rudbeckia-subtomentosa") else {
        p.lacks("it does not say which plant it is", "Write \"plant\": \"rudbeckia-subtomentosa\", a key of the lore or a name.");
        return None;
    };
    let name = if place.name.is_some() { name } else { plant.clone() };
    Some(BedPlant {
        id,
        name,
        point,
        plant,
        spread: p.length("spread"),
        spacing: p.length("spacing"),
        count: p.count("count"),
        extra: p.rest(),
    })
}

fn patch(id: String, name: String, polygon: geo::Polygon<f64>, mut p: Properties<'_>) -> Patch {
    let what = p.word("what").unwrap_or(PatchKind::PoorTurf);
    Patch { id, name, what, polygon, margin: p.length("margin"), extra: p.rest() }
}

fn water(id: String, name: String, kind: WaterKind, shape: Shape, p: Properties<'_>) -> WaterFeature {
    WaterFeature { id, name, kind, shape, extra: p.rest() }
}
