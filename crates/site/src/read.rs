//! Reading a yard from GeoJSON (RFC 7946) with our own property names.
//!
//! The reader walks the JSON itself rather than through a typed GeoJSON parser, so that every fault can name its feature,
//! the value seen and the remedy, and so that one bad feature does not hide the next. The order of work: text to JSON, file
//! as a whole, each feature alone (its shape, its properties), then all of them together.

mod feature_lines;
mod features;
mod near_word;
mod properties;
mod rings;
mod shape;
mod together;

use crate::map_fault::{FeaturePlace, LeftOut, MapErrors, MapFault, MapRemark, Skipped};
use crate::yard::{Area, BedPlant, Edge, Patch, Structure, Tree, WaterFeature, Yard};
use serde::Serialize;
use serde_json::{Map, Value};
use std::collections::BTreeSet;

pub use features::{FeatureKind, KINDS, KindRow};

/// Largest text read, bytes.
pub const MOST_BYTES: usize = 16_000_000;
/// Most features on one map.
pub const MOST_FEATURES: usize = 20_000;
/// Most points in one feature.
pub const MOST_POINTS: usize = 10_000;
/// A feature further than this from the rest of the map is a fault, metres.
pub const FARTHEST_M: f64 = 50_000.0;
/// Two areas may share up to this much ground by careless drawing, square metres.
pub const SHARED_GROUND_M2: f64 = 0.5;

/// A map that was read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MapReading {
    /// The yard.
    pub yard: Yard,
    /// What was mended, assumed or passed over.
    pub remarks: Vec<MapRemark>,
    /// What was left out, when bad features were to be skipped.
    pub skipped: Vec<Skipped>,
}

/// Reads a yard from GeoJSON text.
///
/// `file_name` is used in messages, and its stem names the yard when the map has no `name`. With `skip_bad` a bad feature or
/// property is left out and listed in [`MapReading::skipped`]; the rest is kept. Never panics.
///
/// # Errors
/// Every fault found, each naming feature, value and remedy. With `skip_bad`, only what spoils the whole file: no JSON, no
/// FeatureCollection, another coordinate system, or nothing good left.
///
/// # Source
/// Butler, H., et al. (2016), *The GeoJSON Format*, RFC 7946, sections 3, 4 and 5.
///
/// # Example
/// ```
/// # use groundlore_site::read::read_map;
/// let map = r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "id": "oak", "geometry":
///   {"type": "Point", "coordinates": [-88.0, 43.0]}, "properties": {"kind": "tree", "height": 5}}]}"#;
/// let errors = read_map(map, "corner.geojson", false).unwrap_err();
/// assert!(errors.to_string().contains(r#"write "height": "5 ft""#));
/// let reading = read_map(map, "corner.geojson", true).unwrap();
/// assert_eq!(reading.yard.trees[0].height, None);
/// ```
pub fn read_map(text: &str, file_name: &str, skip_bad: bool) -> Result<MapReading, MapErrors> {
    let mut findings = Findings::new(file_name);
    let root = parse_json(text, &mut findings).ok_or_else(|| findings.errors())?;
    let features = whole_file(&root, &mut findings).ok_or_else(|| findings.errors())?;
    let lines = feature_lines::lines(text);
    let mut items = Vec::new();
    for (i, feature) in features.iter().enumerate() {
        let line = lines.get(i).copied();
        items.extend(features::read(i + 1, line, feature, &mut findings));
    }
    together::check(&mut items, &mut findings);
    if items.is_empty() || (!skip_bad && !findings.bad.is_empty()) {
        if findings.bad.is_empty() {
            findings.file_fault("features", "the list of features is empty", "Draw at least one area, for example a lawn.");
        }
        return Err(findings.errors());
    }
    let mut yard = Yard { name: yard_name(&root, file_name), ..Yard::default() };
    items.into_iter().for_each(|item| item.part.put_into(&mut yard));
    let skipped = findings.bad.into_iter().map(|bad| Skipped { left_out: bad.left_out, fault: bad.fault }).collect();
    Ok(MapReading { yard, remarks: findings.remarks, skipped })
}

/// One good feature on its way into the yard.
pub(crate) struct Item {
    pub(crate) place: FeaturePlace,
    pub(crate) part: Part,
}

/// A feature of any kind.
pub(crate) enum Part {
    Area(Area),
    Edge(Edge),
    Tree(Tree),
    Structure(Structure),
    Plant(BedPlant),
    Patch(Patch),
    Water(WaterFeature),
}

impl Part {
    fn put_into(self, yard: &mut Yard) {
        match self {
            Part::Area(x) => yard.areas.push(x),
            Part::Edge(x) => yard.edges.push(x),
            Part::Tree(x) => yard.trees.push(x),
            Part::Structure(x) => yard.structures.push(x),
            Part::Plant(x) => yard.plants.push(x),
            Part::Patch(x) => yard.patches.push(x),
            Part::Water(x) => yard.water.push(x),
        }
    }
}

/// A fault with how much it spoils.
pub(crate) struct Bad {
    pub(crate) left_out: LeftOut,
    pub(crate) fault: MapFault,
}

/// What the reader found on its way.
pub(crate) struct Findings {
    file: String,
    pub(crate) bad: Vec<Bad>,
    pub(crate) remarks: Vec<MapRemark>,
    /// Ids of all features seen, good or bad.
    pub(crate) ids: BTreeSet<String>,
}

impl Findings {
    fn new(file: &str) -> Self {
        Findings { file: file.to_owned(), bad: Vec::new(), remarks: Vec::new(), ids: BTreeSet::new() }
    }

    /// The faults so far as an error, in the order of the file.
    fn errors(&self) -> MapErrors {
        let mut faults: Vec<MapFault> = self.bad.iter().map(|bad| bad.fault.clone()).collect();
        faults.sort_by_key(|fault| fault.feature.as_ref().map_or(0, |feature| feature.index));
        MapErrors { faults }
    }

    fn file_fault(&mut self, property: &str, wrong: &str, remedy: &str) {
        let property = (!property.is_empty()).then(|| property.to_owned());
        let fault = MapFault {
            file: self.file.clone(),
            line: None,
            column: None,
            feature: None,
            property,
            wrong: wrong.to_owned(),
            remedy: remedy.to_owned(),
        };
        self.bad.push(Bad { left_out: LeftOut::Feature, fault });
    }

    /// A fault that spoils the feature.
    pub(crate) fn feature_fault(&mut self, place: &FeaturePlace, wrong: impl Into<String>, remedy: impl Into<String>) {
        self.push(LeftOut::Feature, place, None, wrong.into(), remedy.into());
    }

    /// A fault of one property that the feature can live without.
    pub(crate) fn property_fault(&mut self, place: &FeaturePlace, key: &str, wrong: impl Into<String>, remedy: impl Into<String>) {
        self.push(LeftOut::Property, place, Some(key), wrong.into(), remedy.into());
    }

    fn push(&mut self, left_out: LeftOut, place: &FeaturePlace, key: Option<&str>, wrong: String, remedy: String) {
        let fault = MapFault {
            file: self.file.clone(),
            line: place.line,
            column: None,
            feature: Some(place.clone()),
            property: key.map(str::to_owned),
            wrong,
            remedy,
        };
        self.bad.push(Bad { left_out, fault });
    }

    pub(crate) fn remark(&mut self, place: Option<&FeaturePlace>, said: impl Into<String>) {
        self.remarks.push(MapRemark { feature: place.cloned(), said: said.into() });
    }
}

/// A JSON value as it would be written, cut short for a message.
pub(crate) fn shown(value: &Value) -> String {
    let text = value.to_string();
    if text.chars().count() <= 60 {
        return text;
    }
    let start: String = text.chars().take(57).collect();
    format!("{start}…")
}

fn parse_json(text: &str, findings: &mut Findings) -> Option<Value> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > MOST_BYTES {
        let wrong = format!("the file holds {} MB; at most {} MB are read", text.len() / 1_000_000, MOST_BYTES / 1_000_000);
        findings.file_fault("", &wrong, "Cut the map down to one yard, or thin its points.");
        return None;
    }
    if text.trim().is_empty() {
        findings.file_fault("", "the file is empty", "Save the map as GeoJSON: a FeatureCollection with one feature an area.");
        return None;
    }
    match serde_json::from_str(text) {
        Ok(root) => Some(root),
        Err(error) => {
            let (wrong, remedy) = json_fault(text, &error);
            findings.file_fault("", &wrong, remedy);
            if let Some(bad) = findings.bad.last_mut() {
                bad.fault.line = Some(error.line());
                bad.fault.column = Some(error.column());
            }
            None
        }
    }
}

/// What is wrong with text that is no JSON, and what to do.
fn json_fault(text: &str, error: &serde_json::Error) -> (String, &'static str) {
    let line = text.lines().nth(error.line().saturating_sub(1)).unwrap_or("");
    let near: String = line.chars().skip(error.column().saturating_sub(12)).take(24).collect();
    let said = error.to_string();
    let why = said.split(" at line").next().unwrap_or("").to_owned();
    if ["NaN", "nan", "Infinity", "inf"].iter().any(|word| near.contains(word)) || why.contains("out of range") {
        return (
            format!("a number here is not a finite number, near `{near}`"),
            "Give the coordinate or value as a plain decimal, or leave the property out when it is not known.",
        );
    }
    if why.contains("recursion") {
        return ("the file is nested more than 128 deep".to_owned(), "A GeoJSON map needs about eight levels; save it again.");
    }
    if error.is_eof() {
        return (format!("the file ends too early ({why})"), "It was probably cut short: save or copy it again.");
    }
    if text.trim_start().starts_with('<') {
        return ("this is XML or HTML, not JSON".to_owned(), "Save the map as GeoJSON (.geojson).");
    }
    (
        format!("this is not JSON: {why}, near `{near}`"),
        "Check for a missing comma, quote or bracket just before this place, or save the map as GeoJSON again.",
    )
}

/// Checks the file as a whole and returns its features.
fn whole_file<'a>(root: &'a Value, findings: &mut Findings) -> Option<&'a [Value]> {
    let Some(map) = root.as_object() else {
        let wrong = format!("the file holds {} instead of an object", shown(root));
        findings.file_fault("", &wrong, r#"Begin with {"type": "FeatureCollection", "features": [ … ]}."#);
        return None;
    };
    if !is_collection(map, findings) || !is_longitude_latitude(map, findings) {
        return None;
    }
    match map.get("features") {
        Some(Value::Array(features)) if features.len() > MOST_FEATURES => {
            let wrong = format!("{} features; at most {MOST_FEATURES} are read", features.len());
            findings.file_fault("features", &wrong, "Save each yard as a map of its own.");
            None
        }
        Some(Value::Array(features)) => Some(features),
        other => {
            let seen = other.map_or("is missing".to_owned(), |v| format!("is {}, not a list", shown(v)));
            findings.file_fault("features", &seen, r#"Put the features in a list: "features": [ … ]."#);
            None
        }
    }
}

fn is_collection(map: &Map<String, Value>, findings: &mut Findings) -> bool {
    let seen = map.get("type").and_then(Value::as_str);
    if seen == Some("FeatureCollection") {
        return true;
    }
    let wrong = match map.get("type") {
        None => "the file has no \"type\"".to_owned(),
        Some(value) => format!("the file is of type {}", shown(value)),
    };
    let remedy = match seen {
        Some("Feature") => r#"Wrap it: {"type": "FeatureCollection", "features": [ your feature ]}."#,
        Some("Topology") => "This is TopoJSON; save the map as GeoJSON.",
        _ => r#"A yard is a FeatureCollection: {"type": "FeatureCollection", "features": [ … ]}."#,
    };
    findings.file_fault("type", &wrong, remedy);
    false
}

/// Whether the old `crs` member, where there is one, names longitude and latitude on WGS 84.
fn is_longitude_latitude(map: &Map<String, Value>, findings: &mut Findings) -> bool {
    let Some(crs) = map.get("crs").filter(|crs| !crs.is_null()) else { return true };
    let name = crs.pointer("/properties/name").and_then(Value::as_str).unwrap_or("");
    let plain = name.to_uppercase();
    if plain.ends_with("CRS84") || plain.ends_with(":4326") {
        findings.remark(None, "\"crs\" names longitude and latitude on WGS 84, which RFC 7946 takes for granted; it was passed over");
        return true;
    }
    let system = if name.is_empty() { shown(crs) } else { name.to_owned() };
    let wrong = format!("the coordinates are in another system: {system}");
    findings.file_fault("crs", &wrong, "Save the map in longitude and latitude, WGS 84 (EPSG:4326), as RFC 7946 asks.");
    false
}

fn yard_name(root: &Value, file_name: &str) -> String {
    if let Some(name) = root.get("name").and_then(Value::as_str).map(str::trim).filter(|name| !name.is_empty()) {
        return name.to_owned();
    }
    let file = file_name.rsplit(['/', '\\']).next().unwrap_or(file_name);
    let stem = file.split('.').next().unwrap_or(file);
    if stem.is_empty() { file.to_owned() } else { stem.to_owned() }
}
