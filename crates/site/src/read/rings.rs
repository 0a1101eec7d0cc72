//! The rings of a polygon: closed, long enough, not crossing themselves, wound the right way, holes inside.

use super::shape::Wrong;
use crate::measure;
use geo::algorithm::line_intersection::{LineIntersection, line_intersection};
use geo::algorithm::validation::{InvalidPolygon, Validation};
use geo::algorithm::winding_order::{Winding, WindingOrder};
use geo::{Coord, Line, LineString, Polygon};

/// Two ends of a ring nearer than this are the same point, degrees (about 0.1 mm).
const SAME_DEGREES: f64 = 1e-9;
/// Less ground than this is no area, square metres.
const LEAST_M2: f64 = 1e-3;

/// Checks one ring; `which` names it in messages.
pub(crate) fn read(which: &str, mut coords: Vec<Coord<f64>>) -> Result<LineString<f64>, Wrong> {
    let (Some(&first), Some(&last)) = (coords.first(), coords.last()) else {
        return Err(Wrong::new(format!("{which} is empty"), "Draw it with at least three corners."));
    };
    if coords.len() < 3 {
        let wrong = format!("{which} has {} different points", coords.len());
        return Err(Wrong::new(wrong, "A ring needs at least three corners, with the first position repeated at the end."));
    }
    if (first.x - last.x).abs() > SAME_DEGREES || (first.y - last.y).abs() > SAME_DEGREES {
        let wrong = format!("{which} is not closed: it begins at [{}, {}] and ends at [{}, {}]", first.x, first.y, last.x, last.y);
        return Err(Wrong::new(wrong, format!("Repeat the first position at the end: …, [{}, {}]].", first.x, first.y)));
    }
    coords.pop();
    coords.push(first);
    if coords.len() < 4 {
        let wrong = format!("{which} has {} corners", coords.len() - 1);
        return Err(Wrong::new(wrong, "A ring needs at least three different corners, with the first repeated at the end."));
    }
    if let Some(at) = crossing(&coords) {
        let wrong = format!("{which} crosses or touches itself at [{:.7}, {:.7}]", at.x, at.y);
        return Err(Wrong::new(wrong, "Drag the corners apart so that the line goes round once; split a figure of eight into two areas."));
    }
    let ring = LineString::new(coords);
    let ground = measure::area_m2(&Polygon::new(ring.clone(), vec![]));
    if !ground.is_finite() || ground < LEAST_M2 {
        return Err(Wrong::new(format!("{which} encloses no ground"), "Its corners lie on one line or one spot: draw it again."));
    }
    Ok(ring)
}

/// Puts rings together as a polygon wound as RFC 7946 section 3.1.6 asks: outline counterclockwise, holes clockwise.
pub(crate) fn assemble(rings: Vec<LineString<f64>>, mended: &mut Vec<String>) -> Result<Polygon<f64>, Wrong> {
    let mut turned = 0;
    let mut wound = rings.into_iter().enumerate().map(|(i, mut ring)| {
        let wanted = if i == 0 { WindingOrder::CounterClockwise } else { WindingOrder::Clockwise };
        if ring.winding_order().is_some_and(|order| order != wanted) {
            ring.make_winding_order(wanted);
            turned += 1;
        }
        ring
    });
    let outline = wound.next().ok_or_else(|| Wrong::new("its Polygon has no ring", "Draw it with at least three corners."))?;
    let polygon = Polygon::new(outline, wound.collect());
    if turned > 0 {
        mended.push("rings were wound the other way round; turned to the right-hand rule of RFC 7946".to_owned());
    }
    holes_inside(&polygon)?;
    Ok(polygon)
}

/// Whether a polygon would pass as read from a map.
pub(crate) fn are_good(polygon: &Polygon<f64>) -> bool {
    let good = |ring: &LineString<f64>| ring.0.len() > 3 && read("", ring.0.clone()).is_ok();
    good(polygon.exterior()) && polygon.interiors().iter().all(good) && holes_inside(polygon).is_ok()
}

fn holes_inside(polygon: &Polygon<f64>) -> Result<(), Wrong> {
    if polygon.interiors().is_empty() {
        return Ok(());
    }
    let Err(fault) = polygon.check_validation() else { return Ok(()) };
    Err(match fault {
        InvalidPolygon::InteriorRingNotContainedInExteriorRing(role) => {
            let wrong = format!("a hole ({role}) does not lie inside the outline");
            Wrong::new(wrong, "Move the hole inside, or draw what it stands for as an area of its own.")
        }
        InvalidPolygon::IntersectingRingsOnALine(a, b) | InvalidPolygon::IntersectingRingsOnAnArea(a, b) => {
            Wrong::new(format!("two of its rings overlap ({a} and {b})"), "Keep holes apart from each other and from the outline.")
        }
        other => Wrong::new(format!("its shape cannot be measured: {other}"), "Draw it again."),
    })
}

/// Where a closed ring first crosses, touches or doubles back on itself.
fn crossing(coords: &[Coord<f64>]) -> Option<Coord<f64>> {
    let sides: Vec<Line<f64>> = coords.windows(2).map(|w| Line::new(w[0], w[1])).collect();
    let last = sides.len() - 1;
    let mut order: Vec<usize> = (0..sides.len()).collect();
    let (left, right) = (|s: &Line<f64>| s.start.x.min(s.end.x), |s: &Line<f64>| s.start.x.max(s.end.x));
    order.sort_by(|&a, &b| left(&sides[a]).total_cmp(&left(&sides[b])));
    for (n, &i) in order.iter().enumerate() {
        for &j in order[n + 1..].iter().take_while(|&&j| left(&sides[j]) <= right(&sides[i])) {
            let (a, b) = (i.min(j), i.max(j));
            let next_to = b == a + 1 || (a == 0 && b == last);
            if let Some(at) = meeting(sides[a], sides[b], next_to) {
                return Some(at);
            }
        }
    }
    None
}

/// Where two sides meet, other than at the corner that neighbours share.
fn meeting(a: Line<f64>, b: Line<f64>, next_to: bool) -> Option<Coord<f64>> {
    let apart = a.start.y.min(a.end.y) > b.start.y.max(b.end.y) || b.start.y.min(b.end.y) > a.start.y.max(a.end.y);
    if apart {
        return None;
    }
    match line_intersection(a, b)? {
        LineIntersection::Collinear { intersection } => (intersection.start != intersection.end || !next_to).then_some(intersection.start),
        LineIntersection::SinglePoint { intersection, .. } => (!next_to).then_some(intersection),
    }
}
