//! A bed's ground in metres: its outline, its front, and the same turned so that the front lies below.

use super::refused;
use crate::DeskError;
use geo::{Area as _, Euclidean, Length as _, LineString, MapCoords as _, Polygon};
use groundlore_planting::outline::Front;
use groundlore_site::LocalFrame;
use groundlore_site::yard::{Area, Yard};

/// How far a lawn or path may lie from a bed's side and still be beside it, m (common practice: an edging's width).
const REACH_M: f64 = 0.3;

const DIRECTIONS: [(&str, f64); 8] = [
    ("north", 0.0),
    ("north-east", 45.0),
    ("east", 90.0),
    ("south-east", 135.0),
    ("south", 180.0),
    ("south-west", 225.0),
    ("west", 270.0),
    ("north-west", 315.0),
];

/// A bed laid out in metres, with its front.
pub(super) struct Laid {
    pub(super) frame: LocalFrame,
    /// x east, y north, about the bed's own middle.
    pub(super) bed_m: Polygon<f64>,
    pub(super) front: Front,
    pub(super) front_words: String,
    /// The way the front faces, degrees clockwise from north.
    pub(super) facing_deg: f64,
}

impl Laid {
    /// Lays a bed of a map out; `told` is the front as typed.
    pub(super) fn out(map: &Yard, bed: &Area, told: Option<&str>) -> Result<Self, DeskError> {
        let (frame, bed_m) = outline_m(bed)?;
        let (front, front_words) = front(told, map, bed, &frame, &bed_m)?;
        let facing_deg = facing_deg(&front, &bed_m);
        Ok(Self { frame, bed_m, front, front_words, facing_deg })
    }

    /// A place of the plan turned so that the front lies below.
    pub(super) fn turned(&self, at: (f64, f64)) -> (f64, f64) {
        turned(at, self.facing_deg)
    }

    /// Outline and holes, turned alike.
    pub(super) fn rings(&self) -> Vec<Vec<(f64, f64)>> {
        turned_rings(&self.bed_m, self.facing_deg)
    }

    /// A place of the plan as longitude and latitude.
    pub(super) fn lonlat(&self, at: (f64, f64)) -> (f64, f64) {
        let point = self.frame.point_to_lonlat(geo::Point::new(at.0, at.1));
        (point.x(), point.y())
    }
}

/// The bed in metres about its own middle, x east, y north.
fn outline_m(bed: &Area) -> Result<(LocalFrame, Polygon<f64>), DeskError> {
    let frame =
        LocalFrame::of_polygon(&bed.polygon).ok_or_else(|| refused("bed", &bed.name, "has no outline", "draw it again on the map"))?;
    Ok((frame, frame.polygon_to_m(&bed.polygon)))
}

/// From where the bed is seen: as told, or the longest side along lawn, path or other walked ground. Gives words for it.
fn front(told: Option<&str>, map: &Yard, bed: &Area, frame: &LocalFrame, bed_m: &Polygon<f64>) -> Result<(Front, String), DeskError> {
    let told = told.map(|text| text.trim().to_lowercase()).filter(|text| !text.is_empty() && text != "lawn");
    if let Some(text) = told {
        return front_told(&text);
    }
    let walked: Vec<Polygon<f64>> = map
        .areas
        .iter()
        .filter(|area| area.id != bed.id && area.kind.is_walked())
        .flat_map(|area| std::iter::once(area.polygon.exterior()).chain(area.polygon.interiors()))
        .map(|ring| frame.polygon_to_m(&Polygon::new(ring.clone(), Vec::new())))
        .collect();
    match Front::longest_lawn_side(bed_m, &walked, REACH_M) {
        Some(Front::Along { line_m }) => Ok(along(line_m, bed_m)),
        _ => Err(DeskError::missing(
            format!("no lawn or path lies along `{}` on the map, so nobody can tell its front", bed.name),
            "say from where it is seen, for example `--front south` or `--front \"all round\"`",
        )),
    }
}

fn along(line_m: Vec<(f64, f64)>, bed_m: &Polygon<f64>) -> (Front, String) {
    let line: LineString<f64> = line_m.iter().copied().collect();
    let (length, whole) = (Euclidean.length(&line), Euclidean.length(bed_m.exterior()));
    if length > 0.95 * whole {
        return (Front::AllRound, "an island: walked ground lies all round it".to_owned());
    }
    let front = Front::Along { line_m };
    let words = format!("the {} side, {} along lawn or path", direction_words(facing_deg(&front, bed_m)), crate::yards::feet(length));
    (front, words)
}

fn front_told(text: &str) -> Result<(Front, String), DeskError> {
    let plain = text.replace(' ', "-");
    if ["all-round", "island", "all-around"].contains(&plain.as_str()) {
        return Ok((Front::AllRound, "an island, as told".to_owned()));
    }
    if let Some((name, bearing_deg)) = DIRECTIONS.iter().find(|(name, _)| *name == plain || name.replace('-', "") == plain) {
        return Ok((Front::Towards { bearing_deg: *bearing_deg }, format!("the {name} side, as told")));
    }
    let degrees = text.trim_end_matches("deg").trim_end_matches('°').trim().parse::<f64>();
    match degrees {
        Ok(bearing_deg) if (0.0..=360.0).contains(&bearing_deg) => {
            Ok((Front::Towards { bearing_deg }, format!("towards {bearing_deg}° from north, as told")))
        }
        _ => Err(refused("front", text, "is no direction", "write `lawn`, `south`, `200 deg` or `all round`")),
    }
}

/// The way the front faces, degrees clockwise from north; an island faces south on paper.
fn facing_deg(front: &Front, bed_m: &Polygon<f64>) -> f64 {
    match front {
        Front::Towards { bearing_deg } => *bearing_deg,
        Front::AllRound => 180.0,
        Front::Along { line_m } => {
            let (Some(first), Some(last)) = (line_m.first(), line_m.last()) else { return 180.0 };
            let (dx, dy) = (last.0 - first.0, last.1 - first.1);
            // The outward normals of a run of sides, weighted by length, add up to that of the chord from its first to its last point.
            let (nx, ny) = if bed_m.signed_area() > 0.0 { (dy, -dx) } else { (-dy, dx) };
            nx.atan2(ny).to_degrees().rem_euclid(360.0)
        }
    }
}

/// A bearing as one of eight directions.
pub(super) fn direction_words(bearing_deg: f64) -> &'static str {
    let place = (bearing_deg.rem_euclid(360.0) / 45.0).round();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    DIRECTIONS[place as usize % 8].0
}

/// Turns a place so that the front's facing points down the paper.
fn turned(at: (f64, f64), facing_deg: f64) -> (f64, f64) {
    let (sin, cos) = (facing_deg - 180.0).to_radians().sin_cos();
    (at.0 * cos - at.1 * sin, at.0 * sin + at.1 * cos)
}

/// Outline and holes, turned, as the drawing wants them.
fn turned_rings(bed_m: &Polygon<f64>, facing_deg: f64) -> Vec<Vec<(f64, f64)>> {
    let turned = bed_m.map_coords(|c| turned((c.x, c.y), facing_deg).into());
    std::iter::once(turned.exterior()).chain(turned.interiors()).map(|ring| ring.coords().map(|c| (c.x, c.y)).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::polygon;

    #[test]
    fn a_front_that_wraps_round_the_ends_faces_as_its_long_side_does() {
        let front = Front::Along { line_m: vec![(0.0, 1.0), (0.0, 0.0), (9.0, 0.0), (9.0, 1.0)] };
        let bed = polygon![(x: 0.0, y: 0.0), (x: 9.0, y: 0.0), (x: 9.0, y: 1.0), (x: 0.0, y: 1.0)];
        assert!((facing_deg(&front, &bed) - 180.0).abs() < 1e-9);
        let back = Front::Along { line_m: vec![(9.0, 1.0), (9.0, 0.0), (0.0, 0.0), (0.0, 1.0)] };
        let clockwise = geo::Polygon::new(bed.exterior().points().rev().collect(), Vec::new());
        assert!((facing_deg(&back, &clockwise) - 180.0).abs() < 1e-9);
    }

    #[test]
    fn a_front_that_faces_east_lies_below_when_turned() {
        let (x, y) = turned((1.0, 0.0), 90.0);
        assert!(x.abs() < 1e-12 && (y + 1.0).abs() < 1e-12, "{x} {y}");
    }
}
