//! The schedule of a yard: what there is, how large, how long; and how near water is to an area.

use crate::measure::{LocalFrame, area_m2, length_m, perimeter_m};
use crate::yard::{AreaKind, Edging, Shape, WaterKind, Yard};
use geo::{Distance, Euclidean, Polygon};
use serde::Serialize;
use std::collections::BTreeMap;

/// The size of one area.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AreaSize {
    /// Id of the area.
    pub id: String,
    /// Name of the area.
    pub name: String,
    /// What it is.
    pub kind: AreaKind,
    /// Its area, square metres, net of what lies inside it.
    pub area_m2: f64,
    /// Length of its outline and of its holes, metres.
    pub perimeter_m: f64,
}

/// The length of one edge.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EdgeLength {
    /// Id of the edge.
    pub id: String,
    /// Name of the edge.
    pub name: String,
    /// What holds it, where known.
    pub edging: Option<Edging>,
    /// Its length, metres.
    pub length_m: f64,
}

/// All areas and edges of a yard with their sizes, and the sum by kind of area.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Schedule {
    /// Areas in the order of the map.
    pub areas: Vec<AreaSize>,
    /// Edges in the order of the map.
    pub edges: Vec<EdgeLength>,
    /// Square metres of each kind of area.
    pub by_kind_m2: BTreeMap<AreaKind, f64>,
}

/// The schedule of a yard, measured on the ellipsoid.
pub fn of(yard: &Yard) -> Schedule {
    let size = |area: &crate::yard::Area| AreaSize {
        id: area.id.clone(),
        name: area.name.clone(),
        kind: area.kind,
        area_m2: area_m2(&area.polygon),
        perimeter_m: perimeter_m(&area.polygon),
    };
    let length = |edge: &crate::yard::Edge| EdgeLength {
        id: edge.id.clone(),
        name: edge.name.clone(),
        edging: edge.edging,
        length_m: length_m(&edge.line),
    };
    let areas: Vec<AreaSize> = yard.areas.iter().map(size).collect();
    let mut by_kind_m2 = BTreeMap::new();
    for area in &areas {
        *by_kind_m2.entry(area.kind).or_insert(0.0) += area.area_m2;
    }
    Schedule { areas, edges: yard.edges.iter().map(length).collect(), by_kind_m2 }
}

/// Water on the map, and how far it is from some ground.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaterNear {
    /// Id of the feature.
    pub id: String,
    /// Name of the feature.
    pub name: String,
    /// What it is; a pond drawn as an area is [`WaterKind::Water`].
    pub kind: WaterKind,
    /// Distance from the nearest part of the ground, metres; 0 where they touch.
    pub distance_m: f64,
}

/// All water on the map with its distance from the ground given (longitude and latitude), nearest first.
///
/// The list holds only what the map shows: an empty one means that no water is drawn, not that none is near.
pub fn water_near(yard: &Yard, ground: &Polygon<f64>) -> Vec<WaterNear> {
    let Some(frame) = LocalFrame::of_polygon(ground) else { return Vec::new() };
    let ground_m = frame.polygon_to_m(ground);
    let to = |shape: &Shape| match shape {
        Shape::Point(p) => Euclidean.distance(&frame.point_to_m(*p), &ground_m),
        Shape::Line(l) => Euclidean.distance(&frame.line_to_m(l), &ground_m),
        Shape::Polygon(p) => Euclidean.distance(&frame.polygon_to_m(p), &ground_m),
    };
    let ponds = yard.areas_of(AreaKind::Water).map(|area| WaterNear {
        id: area.id.clone(),
        name: area.name.clone(),
        kind: WaterKind::Water,
        distance_m: Euclidean.distance(&frame.polygon_to_m(&area.polygon), &ground_m),
    });
    let others = yard.water.iter().map(|w| WaterNear { id: w.id.clone(), name: w.name.clone(), kind: w.kind, distance_m: to(&w.shape) });
    let mut all: Vec<WaterNear> = ponds.chain(others).collect();
    all.sort_by(|a, b| a.distance_m.total_cmp(&b.distance_m).then_with(|| a.id.cmp(&b.id)));
    all
}
