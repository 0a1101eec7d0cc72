//! Writing a yard as GeoJSON (RFC 7946) that reads back the same.

use crate::yard::{Area, BedPlant, Edge, Extra, Patch, Shape, Structure, Tree, WaterFeature, Yard};
use geo::{Coord, LineString, Polygon};
use groundlore_quantity::Quantity;
use serde_json::{Map, Value, json};

/// The yard as a GeoJSON FeatureCollection, features in the order areas, edges, trees, structures, plants, patches, water.
///
/// Unknown properties are left out; properties of the first map that were not read go out again as they came.
///
/// # Example
/// ```
/// # use groundlore_site::{read::read_map, write::geojson};
/// let map = r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "id": "oak", "geometry":
///   {"type": "Point", "coordinates": [-88.0, 43.0]}, "properties": {"kind": "tree", "height": "40 ft"}}]}"#;
/// let yard = read_map(map, "corner.geojson", false).unwrap().yard;
/// let again = read_map(&geojson(&yard).to_string(), "copy.geojson", false).unwrap().yard;
/// assert_eq!(yard, again);
/// ```
pub fn geojson(yard: &Yard) -> Value {
    json!({"type": "FeatureCollection", "name": yard.name, "features": features(yard)})
}

/// Each feature of the yard as a GeoJSON Feature, in the same order, with its `id` and, in its properties, its `kind`.
pub fn features(yard: &Yard) -> Vec<Value> {
    let mut features: Vec<Value> = Vec::new();
    features.extend(yard.areas.iter().map(area));
    features.extend(yard.edges.iter().map(edge));
    features.extend(yard.trees.iter().map(tree));
    features.extend(yard.structures.iter().map(structure));
    features.extend(yard.plants.iter().map(plant));
    features.extend(yard.patches.iter().map(patch));
    features.extend(yard.water.iter().map(water));
    features
}

/// The properties of one feature as they are gathered.
struct Properties(Map<String, Value>);

impl Properties {
    fn of(kind: &str, name: &str, id: &str) -> Self {
        let mut map = Map::new();
        map.insert("kind".to_owned(), kind.into());
        if name != id {
            map.insert("name".to_owned(), name.into());
        }
        Properties(map)
    }

    fn with(mut self, key: &str, value: Option<impl Into<Value>>) -> Self {
        if let Some(value) = value {
            self.0.insert(key.to_owned(), value.into());
        }
        self
    }

    fn quantity(self, key: &str, value: &Option<Quantity>) -> Self {
        self.with(key, value.as_ref().map(Quantity::to_string))
    }

    fn feature(mut self, id: &str, shape: &Shape, extra: &Extra) -> Value {
        if let Some(note) = &extra.note {
            self.0.insert("note".to_owned(), note.as_str().into());
        }
        for (key, value) in &extra.other {
            self.0.insert(key.clone(), value.clone());
        }
        json!({"type": "Feature", "id": id, "geometry": geometry(shape), "properties": self.0})
    }
}

fn area(x: &Area) -> Value {
    Properties::of(x.kind.word(), &x.name, &x.id)
        .with("grass", x.grass.clone())
        .with("shade", x.shade.map(|w| w.word()))
        .with("irrigated", x.irrigated)
        .with("foot_traffic", x.foot_traffic.map(|w| w.word()))
        .with("soil", x.soil.clone())
        .quantity("slope", &x.slope)
        .quantity("mower_width", &x.mower_width)
        .with("play", x.play)
        .with("pets", x.pets)
        .feature(&x.id, &Shape::Polygon(x.polygon.clone()), &x.extra)
}

fn edge(x: &Edge) -> Value {
    Properties::of("edge", &x.name, &x.id)
        .with("edging", x.edging.map(|w| w.word()))
        .quantity("show", &x.show)
        .quantity("block_length", &x.block_length)
        .quantity("block_height", &x.block_height)
        .with("beside", (!x.beside.is_empty()).then(|| x.beside.clone()))
        .feature(&x.id, &Shape::Line(x.line.clone()), &x.extra)
}

fn tree(x: &Tree) -> Value {
    Properties::of("tree", &x.name, &x.id)
        .with("species", x.species.clone())
        .quantity("trunk_diameter", &x.trunk_diameter)
        .quantity("crown_diameter", &x.crown_diameter)
        .quantity("height", &x.height)
        .with("ring", x.ring.map(|w| w.word()))
        .quantity("ring_height", &x.ring_height)
        .quantity("ring_clear", &x.ring_clear)
        .feature(&x.id, &Shape::Point(x.point), &x.extra)
}

fn structure(x: &Structure) -> Value {
    Properties::of(x.kind.word(), &x.name, &x.id).quantity("height", &x.height).feature(&x.id, &x.shape, &x.extra)
}

fn plant(x: &BedPlant) -> Value {
    Properties::of("plant", &x.name, &x.plant)
        .with("plant", Some(x.plant.clone()))
        .quantity("spread", &x.spread)
        .quantity("spacing", &x.spacing)
        .with("count", x.count)
        .feature(&x.id, &Shape::Point(x.point), &x.extra)
}

fn patch(x: &Patch) -> Value {
    Properties::of("patch", &x.name, &x.id).with("what", Some(x.what.word())).quantity("margin", &x.margin).feature(
        &x.id,
        &Shape::Polygon(x.polygon.clone()),
        &x.extra,
    )
}

fn water(x: &WaterFeature) -> Value {
    Properties::of(x.kind.word(), &x.name, &x.id).feature(&x.id, &x.shape, &x.extra)
}

fn geometry(shape: &Shape) -> Value {
    match shape {
        Shape::Point(p) => json!({"type": "Point", "coordinates": position(&p.0)}),
        Shape::Line(l) => json!({"type": "LineString", "coordinates": ring(l)}),
        Shape::Polygon(p) => json!({"type": "Polygon", "coordinates": rings(p)}),
    }
}

fn position(c: &Coord<f64>) -> Value {
    json!([c.x, c.y])
}

fn ring(line: &LineString<f64>) -> Vec<Value> {
    line.coords().map(position).collect()
}

fn rings(polygon: &Polygon<f64>) -> Vec<Vec<Value>> {
    std::iter::once(polygon.exterior()).chain(polygon.interiors()).map(ring).collect()
}
