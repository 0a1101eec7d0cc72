//! Lawn that the mower which serves it cannot reach: strips narrower than its deck, sharp corners, gaps beside trunks.

use super::{Amount, Fault, FaultKind, Judged, Source, amount, shown};
use crate::measure::{LocalFrame, area_m2};
use crate::yard::{Area, AreaKind, Yard};
use crate::zones::{grown, grown_square};
use geo::algorithm::bool_ops::unary_union;
use geo::{Area as _, BooleanOps, BoundingRect, Buffer, Intersects, MultiPolygon, Polygon, Rect, coord};
use groundlore_quantity::Quantity;
use std::f64::consts::PI;

/// Lawns drawn this near to each other are one ground to mow, metres.
const HAIR_M: f64 = 0.01;
/// Pieces smaller than this are no matter, square metres.
const LEAST_M2: f64 = 0.1;

pub(super) fn judge(yard: &Yard, frame: &LocalFrame, found: &mut Judged) {
    for lawn in yard.areas_of(AreaKind::Lawn) {
        let Some(deck) = lawn.mower_width.as_ref().map(Quantity::si).filter(|deck| *deck > 0.0) else {
            found.not_checked(
                &lawn.id,
                &lawn.name,
                "whether the mower reaches all of it",
                r#""mower_width": "21 in", the deck of the mower that serves it"#,
            );
            continue;
        };
        let missed = missed(yard, lawn, deck / 2.0, frame);
        let (strips, corners): (Vec<_>, Vec<_>) = missed.into_iter().partition(|piece| is_strip(piece, deck));
        report(lawn, deck, FaultKind::NarrowLawn, &strips, frame, found);
        report(lawn, deck, FaultKind::SharpCorner, &corners, frame, found);
    }
}

/// Pieces of the lawn that a round deck of this radius cannot cover without leaving lawn, in metres. It may run over from one
/// lawn into the next. What any mower leaves in a square corner does not count. Trunks stand in the way where they were
/// measured.
fn missed(yard: &Yard, lawn: &Area, radius: f64, frame: &LocalFrame) -> Vec<Polygon<f64>> {
    let this = frame.polygon_to_m(&lawn.polygon);
    let Some(near) = this.bounding_rect().map(|bounds| wider(bounds, HAIR_M)) else { return Vec::new() };
    let lawns = yard.areas_of(AreaKind::Lawn).map(|other| frame.polygon_to_m(&other.polygon));
    let lawns: Vec<Polygon<f64>> = lawns.filter(|other| other.bounding_rect().is_some_and(|bounds| bounds.intersects(&near))).collect();
    // Lawns drawn side by side may stand a hair apart.
    let mut ground = grown_square(&unary_union(grown_square(&MultiPolygon(lawns), HAIR_M).iter()), -HAIR_M);
    for tree in &yard.trees {
        let place = frame.point_to_m(tree.point);
        let trunk = tree.trunk_diameter.as_ref().map(Quantity::si).filter(|d| *d > 0.0 && near.intersects(&place));
        if let Some(trunk) = trunk {
            ground = ground.difference(&place.buffer(trunk / 2.0));
        }
    }
    // Grown back a hair further than shrunk, so that rounding leaves no slivers along the sides.
    let covered = grown(&grown(&ground, -radius), radius * 1.005 + 0.005);
    let square_corner = (1.0 - PI / 4.0) * radius * radius * 1.1;
    let least = LEAST_M2.max(square_corner);
    let left = MultiPolygon(vec![this]).intersection(&ground).difference(&covered);
    left.0.into_iter().filter(|piece| piece.unsigned_area() > least).collect()
}

/// A box grown on all sides.
fn wider(bounds: Rect<f64>, by_m: f64) -> Rect<f64> {
    let (low, high) = (bounds.min(), bounds.max());
    Rect::new(coord! { x: low.x - by_m, y: low.y - by_m }, coord! { x: high.x + by_m, y: high.y + by_m })
}

/// A strip is longer than two decks; a shorter piece is a corner.
fn is_strip(piece: &Polygon<f64>, deck: f64) -> bool {
    piece.bounding_rect().is_some_and(|bounds| bounds.width().hypot(bounds.height()) > 2.0 * deck)
}

fn report(lawn: &Area, deck: f64, kind: FaultKind, pieces: &[Polygon<f64>], frame: &LocalFrame, found: &mut Judged) {
    let ground: f64 = pieces.iter().map(|piece| area_m2(&frame.polygon_to_lonlat(piece))).sum();
    if pieces.is_empty() || ground <= 0.0 {
        return;
    }
    let (deck, area) = (shown(deck, "in"), shown(ground, "ft2"));
    let (what, todo) = match kind {
        FaultKind::NarrowLawn => (
            format!("{area} of the lawn is narrower than the mower's {deck} deck"),
            "Give the strip to a bed, a path or a groundcover, widen it, or mow it with a narrower deck.",
        ),
        _ => (
            format!("{area} of the lawn lies in corners, or beside trunks, too tight for the mower's {deck} deck"),
            "Draw the edge as an easy curve and give the corner to the bed or path beside it; round a trunk, to mulch kept clear of the bark.",
        ),
    };
    found.faults.push(Fault {
        kind,
        feature_id: lawn.id.clone(),
        feature_name: lawn.name.clone(),
        what,
        why_it_matters:
            "It must be trimmed by hand at every mowing; where the deck is forced in, it scalps the turf and strikes edging and trunks."
                .to_owned(),
        what_to_do: todo.to_owned(),
        amount: amount(ground, "ft2"),
        amount_of: "of lawn that the mower cannot cover".to_owned(),
        also: vec![Amount { amount: Quantity::bare(pieces.len() as f64), of: "places".to_owned() }],
        cautions: vec!["Keep mower and trimmer off trunks: a struck trunk may be girdled.".to_owned()],
        source: Source::Geometry("the lawn's outline against a round deck of the width on the map".to_owned()),
    });
}
