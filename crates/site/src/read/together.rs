//! All features together: ids, distance from the rest, what an edge lies beside, and ground that two of them claim.

use super::{FARTHEST_M, Findings, Item, Part, SHARED_GROUND_M2, near_word::nearest, rings};
use crate::map_fault::FeaturePlace;
use crate::measure::{LocalFrame, distance_m};
use crate::yard::Shape;
use crate::zones::grown_square;
use geo::algorithm::winding_order::Winding;
use geo::{
    Area, BooleanOps, BoundingRect, Centroid, ContainsProperly, CoordsIter, Geometry, Intersects, LineString, MultiPolygon, Point, Polygon,
    Rect, Simplify,
};
use groundlore_quantity::Quantity;
use std::collections::{BTreeMap, BTreeSet};

/// Takes out what cannot stay and mends what can be mended.
pub(crate) fn check(items: &mut Vec<Item>, findings: &mut Findings) {
    same_ids(items, findings);
    let Some(middle) = far_features(items, findings) else { return };
    if !one_side_of_the_date_line(items, findings) {
        items.clear();
        return;
    }
    nearness_to_a_pole(items, findings);
    claimed_twice(items, middle, findings);
    beside_known_areas(items, findings);
    patches_on_ground(items, findings);
}

fn same_ids(items: &mut Vec<Item>, findings: &mut Findings) {
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    items.retain(|item| {
        let id = item.place.id.clone().unwrap_or_default();
        match first.get(&id) {
            None => {
                first.insert(id, item.place.index);
                true
            }
            Some(before) => {
                let wrong = format!("its id \"{id}\" is also the id of feature {before}");
                findings.feature_fault(&item.place, wrong, format!("Give each feature its own id, for example \"{id}-2\"."));
                false
            }
        }
    });
}

/// The shape of a feature.
fn geometry(part: &Part) -> Geometry<f64> {
    match part {
        Part::Area(x) => x.polygon.clone().into(),
        Part::Edge(x) => x.line.clone().into(),
        Part::Tree(x) => x.point.into(),
        Part::Plant(x) => x.point.into(),
        Part::Patch(x) => x.polygon.clone().into(),
        Part::Structure(x) => x.shape.geometry(),
        Part::Water(x) => x.shape.geometry(),
    }
}

fn first_point(part: &Part) -> Option<Point<f64>> {
    geometry(part).coords_iter().next().map(Point::from)
}

/// Takes out features far from the rest, and returns the middle (median) of those that stay.
fn far_features(items: &mut Vec<Item>, findings: &mut Findings) -> Option<Point<f64>> {
    let places: Vec<Point<f64>> = items.iter().filter_map(|item| first_point(&item.part)).collect();
    let median = |pick: fn(&Point<f64>) -> f64| {
        let mut values: Vec<f64> = places.iter().map(pick).collect();
        values.sort_by(f64::total_cmp);
        values.get(values.len().saturating_sub(1) / 2).copied()
    };
    let rough = Point::new(median(|p| p.x())?, median(|p| p.y())?);
    // The median of longitudes and that of latitudes may come from two features: take the feature nearest to it.
    let middle = places.iter().copied().min_by(|a, b| distance_m(*a, rough).total_cmp(&distance_m(*b, rough)))?;
    items.retain(|item| {
        let mut points = geometry(&item.part).coords_iter().map(Point::from).enumerate().collect::<Vec<_>>().into_iter();
        let Some((nth, place)) = points.find(|(_, place)| distance_m(middle, *place) > FARTHEST_M) else { return true };
        let what = if nth == 0 { "it".to_owned() } else { format!("its point {}", nth + 1) };
        let away = distance_m(middle, place) / 1000.0;
        let wrong = format!("{what} lies {away:.0} km from the rest of the map, at [{}, {}]", place.x(), place.y());
        findings.feature_fault(&item.place, wrong, far_remedy(place, middle));
        false
    });
    Some(middle)
}

/// What would bring a far feature back: longitude and latitude swapped, or a lost minus.
fn far_remedy(place: Point<f64>, middle: Point<f64>) -> String {
    let (x, y) = (place.x(), place.y());
    let tries = [
        (Point::new(y, x), "Longitude and latitude are swapped"),
        (Point::new(-x, y), "The sign of its longitude is lost (west is negative)"),
        (Point::new(x, -y), "The sign of its latitude is lost (south is negative)"),
    ];
    let near = |p: Point<f64>| p.y().abs() <= 90.0 && distance_m(p, middle) <= FARTHEST_M;
    match tries.into_iter().find(|(p, _)| near(*p)) {
        Some((p, why)) => format!("{why}: write [{}, {}].", p.x(), p.y()),
        None => "One map is one yard: correct its coordinates, or save it as a map of its own.".to_owned(),
    }
}

fn one_side_of_the_date_line(items: &[Item], findings: &mut Findings) -> bool {
    let boxes: Vec<Rect<f64>> = items.iter().filter_map(|item| bounds(&item.part)).collect();
    let west = boxes.iter().map(|b| b.min().x).fold(f64::INFINITY, f64::min);
    let east = boxes.iter().map(|b| b.max().x).fold(f64::NEG_INFINITY, f64::max);
    if east - west <= 180.0 {
        return true;
    }
    let wrong = format!("the map crosses the 180° meridian (longitudes from {west} to {east})");
    findings.file_fault("features", &wrong, "Cut the map there and read each side as a yard of its own.");
    false
}

fn bounds(part: &Part) -> Option<Rect<f64>> {
    geometry(part).bounding_rect()
}

/// Nobody gardens beyond 75° north or 56° south: there the two numbers are almost surely swapped.
fn nearness_to_a_pole(items: &mut Vec<Item>, findings: &mut Findings) {
    items.retain(|item| {
        let Some(place) = first_point(&item.part).filter(|p| p.y() > 75.0 || p.y() < -56.0) else { return true };
        let wrong = format!("it lies at latitude {}, near a pole", place.y());
        let remedy = format!("Longitude comes first; the two are probably swapped: write [{}, {}].", place.y(), place.x());
        findings.feature_fault(&item.place, wrong, remedy);
        false
    });
}

/// Ids looked through for one that was mistyped.
const MOST_GUESSES: usize = 500;

/// What an edge lies beside must be on the map. An id whose feature was left out for a fault of its own goes without a word.
fn beside_known_areas(items: &mut [Item], findings: &mut Findings) {
    let kept: BTreeSet<String> = items.iter().filter_map(|item| item.place.id.clone()).collect();
    for item in items.iter_mut() {
        let Part::Edge(edge) = &mut item.part else { continue };
        for id in edge.beside.iter().filter(|id| !findings.ids.contains(*id)).cloned().collect::<Vec<_>>() {
            let near = nearest(&id, kept.iter().map(String::as_str).take(MOST_GUESSES));
            let hint = near.map_or(String::new(), |near| format!(" Did you mean \"{near}\"?"));
            let remedy = format!("Name ids that are on this map.{hint}");
            findings.property_fault(&item.place, "beside", format!("no feature has the id \"{id}\""), remedy);
        }
        edge.beside.retain(|id| kept.contains(id));
    }
}

fn patches_on_ground(items: &[Item], findings: &mut Findings) {
    for item in items {
        let Part::Patch(patch) = &item.part else { continue };
        let on_ground = items.iter().any(|other| matches!(&other.part, Part::Area(area) if area.polygon.intersects(&patch.polygon)));
        if !on_ground {
            findings.remark(Some(&item.place), "this patch lies on no area of the map");
        }
    }
}

/// A piece of ground that an area or a structure claims, in metres.
struct Claim {
    item: usize,
    outline_m: Polygon<f64>,
    bounds: Rect<f64>,
    ground_m2: f64,
}

/// Ground claimed by two areas, or by an area and a structure.
struct Claims<'a> {
    items: &'a mut Vec<Item>,
    findings: &'a mut Findings,
    frame: LocalFrame,
    claims: Vec<Claim>,
    dropped: BTreeSet<usize>,
}

/// Finds ground claimed twice. What lies wholly inside an area is cut out of it; any other overlap of more than
/// [`SHARED_GROUND_M2`] is a fault.
fn claimed_twice(items: &mut Vec<Item>, middle: Point<f64>, findings: &mut Findings) {
    let frame = LocalFrame::about(middle);
    let mut claims: Vec<Claim> = items.iter().enumerate().filter_map(|(i, item)| claim(i, &item.part, &frame)).collect();
    claims.sort_by(|a, b| b.ground_m2.total_cmp(&a.ground_m2).then(a.item.cmp(&b.item)));
    let mut ground = Claims { items, findings, frame, claims, dropped: BTreeSet::new() };
    for inner in 1..ground.claims.len() {
        for outer in 0..inner {
            if ground.may_clash(outer, inner) {
                ground.settle(outer, inner);
            }
        }
    }
    let dropped = ground.dropped;
    let mut index = 0;
    items.retain(|_| {
        index += 1;
        !dropped.contains(&(index - 1))
    });
}

fn claim(item: usize, part: &Part, frame: &LocalFrame) -> Option<Claim> {
    let outline_m = frame.polygon_to_m(outline(part)?);
    let bounds = outline_m.bounding_rect()?;
    Some(Claim { item, ground_m2: outline_m.unsigned_area(), bounds, outline_m })
}

/// The outline of an area, or of a structure drawn as a polygon.
fn outline(part: &Part) -> Option<&Polygon<f64>> {
    match part {
        Part::Area(area) => Some(&area.polygon),
        Part::Structure(structure) => match &structure.shape {
            Shape::Polygon(polygon) => Some(polygon),
            _ => None,
        },
        _ => None,
    }
}

/// What is left of an outline when another, wholly inside, is cut out.
enum Cut {
    /// The other one becomes a hole and touches nothing.
    Hole,
    /// A new outline, in metres.
    Outline(Polygon<f64>),
    /// Separate pieces.
    Pieces,
}

impl Claims<'_> {
    fn is_area(&self, claim: &Claim) -> bool {
        matches!(self.items[claim.item].part, Part::Area(_))
    }

    fn place(&self, claim: usize) -> FeaturePlace {
        self.items[self.claims[claim].item].place.clone()
    }

    fn may_clash(&self, outer: usize, inner: usize) -> bool {
        let (a, b) = (&self.claims[outer], &self.claims[inner]);
        let stays = |claim: &Claim| !self.dropped.contains(&claim.item);
        a.bounds.intersects(&b.bounds) && (self.is_area(a) || self.is_area(b)) && stays(a) && stays(b)
    }

    /// Settles one pair, the first no smaller than the second.
    fn settle(&mut self, outer: usize, inner: usize) {
        let (big, small) = (&self.claims[outer], &self.claims[inner]);
        let shared = big.outline_m.intersection(&small.outline_m);
        let shared_m2 = shared.unsigned_area();
        if shared_m2 < 1e-4 {
            return;
        }
        let inside = small.ground_m2 - shared_m2 <= SHARED_GROUND_M2.min(0.02 * small.ground_m2);
        let nearly_same = big.ground_m2 - shared_m2 <= 0.02 * big.ground_m2;
        if inside && !nearly_same && self.is_area(big) {
            self.cut_out(outer, inner, shared_m2);
        } else if inside || shared_m2 > SHARED_GROUND_M2 {
            self.refuse(outer, inner, &shared, inside);
        } else if shared_m2 > 0.05 {
            let said = format!("it shares {} with {}, counted in both", in_words(shared_m2), self.place(outer));
            self.findings.remark(Some(&self.place(inner)), said);
        }
    }

    /// Takes the inner outline off the outer area.
    fn cut_out(&mut self, outer: usize, inner: usize, shared_m2: f64) {
        let (big, small) = (self.place(outer), self.place(inner));
        let (big_item, small_item) = (self.claims[outer].item, self.claims[inner].item);
        let Some(hole) = outline(&self.items[small_item].part).map(|polygon| polygon.exterior().clone()) else { return };
        let Part::Area(area) = &mut self.items[big_item].part else { return };
        match cut(&self.claims[outer].outline_m, &self.claims[inner].outline_m) {
            Cut::Hole => area.polygon.interiors_push(clockwise(hole)),
            Cut::Outline(rest) if rings::are_good(&self.frame.polygon_to_lonlat(&rest)) => {
                area.polygon = self.frame.polygon_to_lonlat(&rest)
            }
            Cut::Outline(_) => {
                return self.give_up(
                    outer,
                    format!("{small} touches its outline and cannot be cut out cleanly"),
                    "Draw its outline round the other's.",
                );
            }
            Cut::Pieces => {
                return self.give_up(outer, format!("{small} cuts it into separate pieces"), "Draw each piece as an area of its own.");
            }
        }
        self.claims[outer].outline_m = self.frame.polygon_to_m(&area.polygon);
        self.claims[outer].ground_m2 = self.claims[outer].outline_m.unsigned_area();
        self.findings.remark(Some(&big), format!("{small} lies inside it: {} taken off its area", in_words(shared_m2)));
        if !self.claims[inner].outline_m.interiors().is_empty() {
            let said = format!("ground inside a hole of {small} counts to neither unless it is drawn as an area of its own");
            self.findings.remark(Some(&big), said);
        }
    }

    /// The outer area goes.
    fn give_up(&mut self, outer: usize, wrong: String, remedy: &str) {
        self.findings.feature_fault(&self.place(outer), wrong, remedy);
        self.dropped.insert(self.claims[outer].item);
    }

    /// The later of the two features goes.
    fn refuse(&mut self, outer: usize, inner: usize, shared: &MultiPolygon<f64>, inside: bool) {
        let (later, earlier) = if self.place(inner).index > self.place(outer).index { (inner, outer) } else { (outer, inner) };
        let middle = shared.centroid().map(|c| self.frame.point_to_lonlat(c));
        let near = middle.map_or(String::new(), |p| format!(" near [{:.6}, {:.6}]", p.x(), p.y()));
        let ground = in_words(shared.unsigned_area());
        let wrong = format!("it claims the same ground as {}: {ground}{near}", self.place(earlier));
        let remedy = if inside {
            "Take one of them out, or draw the area round the structure."
        } else {
            "Move one outline so that they meet and do not overlap, or draw one wholly inside the other."
        };
        self.findings.feature_fault(&self.place(later), wrong, remedy);
        self.dropped.insert(self.claims[later].item);
    }
}

/// Square metres and square feet, in words.
fn in_words(area_m2: f64) -> String {
    let show = |unit: &str| Quantity::from_si(area_m2, unit).map_or(String::new(), |q| q.rounded(3));
    format!("{} ({})", show("m2"), show("ft2"))
}

fn clockwise(mut ring: LineString<f64>) -> LineString<f64> {
    ring.make_cw_winding();
    ring
}

/// Cuts one outline out of another, both in metres.
///
/// Two outlines drawn along one line differ by a hair (a straight side on the map bends a little on the plane), which leaves
/// slivers thinner than [`HAIR_M`]: they are closed, so that they neither join pieces nor lengthen an outline.
fn cut(outer: &Polygon<f64>, inner: &Polygon<f64>) -> Cut {
    let solid = Polygon::new(inner.exterior().clone(), vec![]);
    let rest = outer.difference(&solid);
    let MultiPolygon(mut pieces) = grown_square(&grown_square(&rest, -HAIR_M / 2.0), HAIR_M / 2.0);
    pieces.retain(|piece| piece.unsigned_area() > SHARED_GROUND_M2);
    match pieces.as_slice() {
        [rest] if rest.interiors().len() == outer.interiors().len() + 1 && outer.contains_properly(&solid) => Cut::Hole,
        // Closing slivers leaves extra points just beside the corners.
        [rest] => Cut::Outline(rest.simplify(HAIR_M / 10.0)),
        _ => Cut::Pieces,
    }
}

/// Ground thinner than this is a sliver of drawing, metres.
const HAIR_M: f64 = 0.01;
