//! Bed ground that no hand reaches from the sides.

use super::{FOOT_M, Fault, FaultKind, Judged, Source, amount, shown};
use crate::measure::{LocalFrame, area_m2};
use crate::yard::{Area, AreaKind, Shape, Structure, Yard};
use crate::zones::grown;
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{Area as _, BooleanOps, Buffer, Intersects, LineString, MultiLineString, MultiPolygon, Polygon};
use groundlore_quantity::Quantity;

/// How far a hand reaches into a bed from one side; from both sides 4 to 5 ft.
const REACH_M: f64 = 2.5 * FOOT_M;
/// What lies this near to a side of the bed bars it, metres.
const BARS_M: f64 = 0.3;
/// A wall or fence no higher than this is reached over.
const LOW_M: f64 = 2.0 * FOOT_M;
/// Less than this is no matter, square metres.
const LEAST_M2: f64 = 0.2;

pub(super) fn judge(yard: &Yard, frame: &LocalFrame, found: &mut Judged) {
    for bed in yard.areas.iter().filter(|area| matches!(area.kind, AreaKind::Bed | AreaKind::Vegetable)) {
        let barred = barriers(yard, bed, frame);
        let bed_m = MultiPolygon(vec![frame.polygon_to_m(&bed.polygon)]);
        let far = beyond_reach(&bed_m, &barred);
        let ground: f64 = far.iter().map(|piece| area_m2(&frame.polygon_to_lonlat(piece))).sum();
        if ground >= LEAST_M2 {
            found.faults.push(fault(bed, ground, far.0.len(), !barred.0.is_empty()));
        }
    }
}

/// The part of a bed further than a hand reaches from every side that one can stand at.
fn beyond_reach(bed_m: &MultiPolygon<f64>, barred: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    let far = if barred.0.is_empty() {
        grown(bed_m, -REACH_M)
    } else {
        let rings: Vec<LineString<f64>> = bed_m.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors())).cloned().collect();
        let open = barred.clip(&MultiLineString(rings), true);
        let style = BufferStyle::new(REACH_M).line_join(LineJoin::Round(0.1));
        bed_m.difference(&open.buffer_with_style(style))
    };
    MultiPolygon(far.0.into_iter().filter(|piece| piece.unsigned_area() >= LEAST_M2 / 4.0).collect())
}

/// Ground along the bed that one cannot stand on: buildings, walls, fences, water and other beds, a little grown.
fn barriers(yard: &Yard, bed: &Area, frame: &LocalFrame) -> MultiPolygon<f64> {
    let bed_m = frame.polygon_to_m(&bed.polygon);
    let areas = yard.areas.iter().filter(|area| area.id != bed.id && !area.kind.is_walked() && area.kind != AreaKind::Meadow);
    let mut all: Vec<Polygon<f64>> = areas.flat_map(|area| grown(&solid(&frame.polygon_to_m(&area.polygon)), BARS_M).0).collect();
    for structure in yard.structures.iter().filter(|s| !is_low(s)) {
        match &structure.shape {
            Shape::Polygon(polygon) => all.extend(grown(&solid(&frame.polygon_to_m(polygon)), BARS_M).0),
            Shape::Line(line) => all.extend(frame.line_to_m(line).buffer(BARS_M).0),
            Shape::Point(_) => {}
        }
    }
    all.retain(|barrier| barrier.intersects(&bed_m));
    geo::algorithm::bool_ops::unary_union(all.iter())
}

fn solid(polygon: &Polygon<f64>) -> MultiPolygon<f64> {
    MultiPolygon(vec![polygon.clone()])
}

/// Known to be low enough to reach over. An unknown height bars the way.
fn is_low(structure: &Structure) -> bool {
    structure.height.as_ref().map(Quantity::si).is_some_and(|height| height <= LOW_M)
}

fn fault(bed: &Area, ground_m2: f64, pieces: usize, barred: bool) -> Fault {
    let sides = if barred { " (no side against a building, wall, fence, water or another bed counts)" } else { "" };
    let places = if pieces == 1 { "one place".to_owned() } else { format!("{pieces} places") };
    Fault {
        kind: FaultKind::BeyondReach,
        feature_id: bed.id.clone(),
        feature_name: bed.name.clone(),
        what: format!(
            "{} in {places} of the bed lies more than {} from a side that one can stand at{sides}",
            shown(ground_m2, "ft2"),
            shown(REACH_M, "ft")
        ),
        why_it_matters: "Nobody can weed, cut back or plant there without treading on the bed, which packs the soil and breaks plants."
            .to_owned(),
        what_to_do: "Lay stepping stones or a path into it, or make it narrower: 2 to 2.5 ft from one side, 4 to 5 ft from both."
            .to_owned(),
        amount: amount(ground_m2, "ft2"),
        amount_of: "of bed out of reach, to step into or give up".to_owned(),
        also: Vec::new(),
        cautions: vec!["Do not tread on the bed while the soil is wet.".to_owned(), super::LIFTING.to_owned()],
        source: Source::CommonPractice("a hand reaches about 2.5 ft into a bed from one side, 4 to 5 ft from both".to_owned()),
    }
}
