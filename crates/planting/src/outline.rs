//! A bed's outline in metres: insets, depth, and where its front is.

use crate::place::to_four_decimals;
use geo::{Area, Coord, Intersects, Line, LineString, Polygon};
use serde::{Deserialize, Serialize};

/// From where a bed is looked at: the short plants go there.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Front {
    /// The front faces this way: degrees clockwise from north (y up), 180 for a bed seen from the south.
    Towards {
        /// Bearing from the bed to the one who looks, degrees.
        bearing_deg: f64,
    },
    /// The front is a line, such as the side along the lawn; points in metres, at least two.
    Along {
        /// Points (x, y), metres.
        line_m: Vec<(f64, f64)>,
    },
    /// An island: seen from all round, tall in the middle.
    AllRound,
}

impl Front {
    /// The longest run of a bed's outer side that lies within `reach_m` of one of the lawns; `None` when no side does.
    ///
    /// All shapes in metres. Sides count by their middle.
    ///
    /// ```
    /// use geo::polygon;
    /// use groundlore_planting::outline::Front;
    /// let bed = polygon![(x: 0.0, y: 0.0), (x: 8.0, y: 0.0), (x: 8.0, y: 3.0), (x: 0.0, y: 3.0)];
    /// let lawn = polygon![(x: -5.0, y: -9.0), (x: 20.0, y: -9.0), (x: 20.0, y: -0.1), (x: -5.0, y: -0.1)];
    /// let front = Front::longest_lawn_side(&bed, &[lawn], 0.3);
    /// assert_eq!(front, Some(Front::Along { line_m: vec![(0.0, 0.0), (8.0, 0.0)] }));
    /// ```
    pub fn longest_lawn_side(bed_m: &Polygon<f64>, lawns_m: &[Polygon<f64>], reach_m: f64) -> Option<Front> {
        let lawn_sides: Vec<Line<f64>> = lawns_m.iter().flat_map(|lawn| lawn.exterior().lines()).collect();
        let sides: Vec<Line<f64>> = bed_m.exterior().lines().collect();
        let beside: Vec<bool> = sides.iter().map(|side| nearest(&lawn_sides, middle(side)) <= reach_m).collect();
        let run = longest_run(&sides, &beside)?;
        let mut line_m: Vec<(f64, f64)> = run.iter().map(|side| (side.start.x, side.start.y)).collect();
        line_m.extend(run.last().map(|side| (side.end.x, side.end.y)));
        Some(Front::Along { line_m })
    }
}

fn middle(side: &Line<f64>) -> Coord<f64> {
    Coord { x: f64::midpoint(side.start.x, side.end.x), y: f64::midpoint(side.start.y, side.end.y) }
}

fn side_length(side: &Line<f64>) -> f64 {
    side.dx().hypot(side.dy())
}

/// The longest run of neighbouring marked sides round a ring, by length.
fn longest_run(sides: &[Line<f64>], marked: &[bool]) -> Option<Vec<Line<f64>>> {
    let count = sides.len();
    let start = marked.iter().position(|mark| !mark).map_or(0, |unmarked| unmarked + 1);
    let mut runs: Vec<Vec<Line<f64>>> = vec![Vec::new()];
    for step in 0..count {
        let at = (start + step) % count;
        match (marked[at], runs.last_mut()) {
            (true, Some(run)) => run.push(sides[at]),
            _ => runs.push(Vec::new()),
        }
    }
    let length = |run: &Vec<Line<f64>>| run.iter().map(side_length).sum::<f64>();
    runs.into_iter().filter(|run| !run.is_empty()).max_by(|a, b| length(a).total_cmp(&length(b)))
}

/// An outline or a front that cannot be planted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[allow(missing_docs)]
pub enum OutlineError {
    #[error("the bed's outline has {corners} corners; it needs three or more, for example (0, 0), (8, 0), (8, 3), (0, 3) in metres")]
    Corners { corners: usize },
    #[error("the bed's outline has a corner at ({x}, {y}); every coordinate must be a plain number of metres")]
    NotANumber { x: f64, y: f64 },
    #[error("the bed's area is {area_m2:.6} m²; it must be 0.2 m² or more. An outline in degrees must be turned into metres first")]
    TooSmall { area_m2: f64 },
    #[error("the bed's area is {area_m2:.0} m²; more than 20,000 m² is a meadow or a mistake: split it into beds")]
    TooLarge { area_m2: f64 },
    #[error("the bed's outline crosses itself near ({x:.2}, {y:.2}) m; move that corner so that the sides do not cross")]
    Crosses { x: f64, y: f64 },
    #[error("the front's bearing is {seen}; give degrees clockwise from north, for example 180 for a bed seen from the south")]
    Bearing { seen: f64 },
    #[error("the front line has {points} usable points; it needs two or more in metres, for example (0, 0) and (8, 0)")]
    FrontLine { points: usize },
}

/// How large a bed is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BedSize {
    /// Area, square metres, holes taken off.
    pub area_m2: f64,
    /// Depth, metres: the width of the widest circle inside, found on a grid and from its best cell uphill.
    pub depth_m: f64,
}

/// Eight ways to step.
const AROUND: [(f64, f64); 8] = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (0.7, 0.7), (-0.7, 0.7), (0.7, -0.7), (-0.7, -0.7)];

/// A bed's outline in metres, checked, with its front.
#[derive(Debug, Clone)]
pub struct Outline {
    sides: Vec<Line<f64>>,
    front: Front,
    front_sides: Vec<Line<f64>>,
    area_m2: f64,
    low: Coord<f64>,
    high: Coord<f64>,
}

impl Outline {
    /// Checks an outline in metres and its front.
    ///
    /// # Errors
    /// Fewer than three corners, a coordinate that is no number, an area under 0.2 m² or over 20,000 m², sides that cross, a
    /// bearing or front line that makes no sense.
    pub fn new(polygon_m: &Polygon<f64>, front: &Front) -> Result<Self, OutlineError> {
        let rings = || std::iter::once(polygon_m.exterior()).chain(polygon_m.interiors());
        let corners = polygon_m.exterior().0.len().saturating_sub(1);
        if corners < 3 {
            return Err(OutlineError::Corners { corners });
        }
        if let Some(bad) = rings().flat_map(LineString::coords).find(|c| !(c.x.is_finite() && c.y.is_finite())) {
            return Err(OutlineError::NotANumber { x: bad.x, y: bad.y });
        }
        let sides: Vec<Line<f64>> = rings().flat_map(LineString::lines).filter(|side| side_length(side) > 1e-9).collect();
        if let Some(at) = crossing(&sides) {
            return Err(OutlineError::Crosses { x: at.x, y: at.y });
        }
        let area_m2 = polygon_m.unsigned_area();
        match area_m2 {
            small if small < 0.2 => return Err(OutlineError::TooSmall { area_m2 }),
            large if large > 20_000.0 => return Err(OutlineError::TooLarge { area_m2 }),
            _ => {}
        }
        let (low, high) = bounds(&sides);
        Ok(Outline { front_sides: front_sides(front)?, front: front.clone(), sides, area_m2, low, high })
    }

    /// Area, square metres.
    pub fn area_m2(&self) -> f64 {
        self.area_m2
    }

    /// Lower left and upper right corner of the box round it, metres.
    pub fn bounds_m(&self) -> (Coord<f64>, Coord<f64>) {
        (self.low, self.high)
    }

    /// Whether a point lies inside (not in a hole).
    pub fn contains(&self, x_m: f64, y_m: f64) -> bool {
        let mut inside = false;
        for side in &self.sides {
            let (a, b) = (side.start, side.end);
            if (a.y > y_m) != (b.y > y_m) && x_m < (b.x - a.x) * (y_m - a.y) / (b.y - a.y) + a.x {
                inside = !inside;
            }
        }
        inside
    }

    /// Distance to the nearest side, metres, inside or outside.
    pub fn edge_distance_m(&self, x_m: f64, y_m: f64) -> f64 {
        nearest(&self.sides, Coord { x: x_m, y: y_m })
    }

    /// Distance from the front, metres: from the line, from the foremost point along the bearing, or from the nearest side.
    pub fn from_front_m(&self, x_m: f64, y_m: f64) -> f64 {
        match &self.front {
            Front::Towards { bearing_deg } => {
                let (dx, dy) = bearing_deg.to_radians().sin_cos();
                let foremost = self.sides.iter().map(|s| s.start.x * dx + s.start.y * dy).fold(f64::NEG_INFINITY, f64::max);
                foremost - (x_m * dx + y_m * dy)
            }
            Front::Along { .. } => nearest(&self.front_sides, Coord { x: x_m, y: y_m }),
            Front::AllRound => self.edge_distance_m(x_m, y_m),
        }
    }

    /// Position along the front, metres, left to right for one who looks at the bed: along the line, across the bearing, or
    /// (for an island) from west to east as seen from the south.
    pub fn along_front_m(&self, x_m: f64, y_m: f64) -> f64 {
        match &self.front {
            Front::Towards { bearing_deg } => {
                let (dx, dy) = bearing_deg.to_radians().sin_cos();
                -x_m * dy + y_m * dx
            }
            Front::Along { .. } => self.along_line_m(Coord { x: x_m, y: y_m }),
            Front::AllRound => x_m,
        }
    }

    /// Position by which drifts are laid out side by side, metres: along the front, or round an island's middle.
    pub(crate) fn side_by_side_m(&self, x_m: f64, y_m: f64) -> f64 {
        match &self.front {
            Front::AllRound => {
                let (x, y) = (x_m - f64::midpoint(self.low.x, self.high.x), y_m - f64::midpoint(self.low.y, self.high.y));
                y.atan2(x) * (self.area_m2 / std::f64::consts::PI).sqrt()
            }
            _ => self.along_front_m(x_m, y_m),
        }
    }

    /// Direction of the front, radians anticlockwise from east: along the line, or across the bearing; 0 for an island.
    pub fn front_angle_rad(&self) -> f64 {
        match &self.front {
            Front::Towards { bearing_deg } => {
                let (dx, dy) = bearing_deg.to_radians().sin_cos();
                dx.atan2(-dy)
            }
            Front::Along { .. } => match (self.front_sides.first(), self.front_sides.last()) {
                (Some(first), Some(last)) => (last.end.y - first.start.y).atan2(last.end.x - first.start.x),
                _ => 0.0,
            },
            Front::AllRound => 0.0,
        }
    }

    fn along_line_m(&self, at: Coord<f64>) -> f64 {
        let mut before = 0.0;
        let mut best = (f64::INFINITY, 0.0);
        for side in &self.front_sides {
            let share = share_along(side, at);
            let distance = to_side(side, at);
            if distance < best.0 {
                best = (distance, before + share * side_length(side));
            }
            before += side_length(side);
        }
        // A line drawn with the bed on its right runs right to left for one who looks from the other side.
        let bed = Coord { x: f64::midpoint(self.low.x, self.high.x), y: f64::midpoint(self.low.y, self.high.y) };
        match (self.front_sides.first(), self.front_sides.last()) {
            (Some(first), Some(last)) if cross(first.start, last.end, bed) < 0.0 => before - best.1,
            _ => best.1,
        }
    }

    /// Area and depth.
    pub fn size(&self) -> BedSize {
        let step = ((self.high.x - self.low.x).min(self.high.y - self.low.y) / 40.0)
            .max(((self.high.x - self.low.x) * (self.high.y - self.low.y) / 4_000.0).sqrt());
        let depth = |at: Coord<f64>| if self.contains(at.x, at.y) { self.edge_distance_m(at.x, at.y) } else { 0.0 };
        let mut best =
            self.cells(step).map(|at| (depth(at), at)).fold((0.0, self.low), |best, now| if now.0 > best.0 { now } else { best });
        let mut reach = step;
        while reach > 1e-4 {
            let around = AROUND.iter().map(|(dx, dy)| Coord { x: best.1.x + reach * dx, y: best.1.y + reach * dy });
            match around.map(|at| (depth(at), at)).find(|now| now.0 > best.0 + 1e-9) {
                Some(deeper) => best = deeper,
                None => reach /= 2.0,
            }
        }
        BedSize { area_m2: to_four_decimals(self.area_m2), depth_m: to_four_decimals(2.0 * best.0) }
    }

    /// Middles of the cells of a square grid that lie inside, row by row from the south-west.
    pub fn cells(&self, step_m: f64) -> impl Iterator<Item = Coord<f64>> + '_ {
        let count = |low: f64, high: f64| (((high - low) / step_m).ceil().max(1.0)) as usize;
        let (columns, rows) = (count(self.low.x, self.high.x), count(self.low.y, self.high.y));
        let low = self.low;
        (0..rows)
            .flat_map(move |row| (0..columns).map(move |column| (row, column)))
            .map(move |(row, column)| Coord { x: low.x + (column as f64 + 0.5) * step_m, y: low.y + (row as f64 + 0.5) * step_m })
            .filter(|at| self.contains(at.x, at.y))
    }
}

fn front_sides(front: &Front) -> Result<Vec<Line<f64>>, OutlineError> {
    match front {
        Front::Towards { bearing_deg } if !bearing_deg.is_finite() => Err(OutlineError::Bearing { seen: *bearing_deg }),
        Front::Along { line_m } => {
            let points: Vec<Coord<f64>> =
                line_m.iter().filter(|(x, y)| x.is_finite() && y.is_finite()).map(|(x, y)| Coord { x: *x, y: *y }).collect();
            let sides: Vec<Line<f64>> =
                points.windows(2).map(|pair| Line::new(pair[0], pair[1])).filter(|side| side_length(side) > 1e-9).collect();
            if sides.is_empty() { Err(OutlineError::FrontLine { points: points.len() }) } else { Ok(sides) }
        }
        _ => Ok(Vec::new()),
    }
}

/// Where two sides that are not neighbours meet.
fn crossing(sides: &[Line<f64>]) -> Option<Coord<f64>> {
    for (i, a) in sides.iter().enumerate() {
        for b in &sides[i + 1..] {
            let shared = a.start == b.end || a.end == b.start || a.start == b.start || a.end == b.end;
            if !shared && a.intersects(b) {
                return Some(b.start);
            }
        }
    }
    None
}

fn bounds(sides: &[Line<f64>]) -> (Coord<f64>, Coord<f64>) {
    let mut low = Coord { x: f64::INFINITY, y: f64::INFINITY };
    let mut high = Coord { x: f64::NEG_INFINITY, y: f64::NEG_INFINITY };
    for at in sides.iter().map(|side| side.start) {
        low = Coord { x: low.x.min(at.x), y: low.y.min(at.y) };
        high = Coord { x: high.x.max(at.x), y: high.y.max(at.y) };
    }
    (low, high)
}

fn cross(a: Coord<f64>, b: Coord<f64>, c: Coord<f64>) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

fn share_along(side: &Line<f64>, at: Coord<f64>) -> f64 {
    let (dx, dy) = (side.end.x - side.start.x, side.end.y - side.start.y);
    let squared = dx * dx + dy * dy;
    if squared == 0.0 { 0.0 } else { (((at.x - side.start.x) * dx + (at.y - side.start.y) * dy) / squared).clamp(0.0, 1.0) }
}

fn to_side(side: &Line<f64>, at: Coord<f64>) -> f64 {
    let share = share_along(side, at);
    let x = side.start.x + share * (side.end.x - side.start.x);
    let y = side.start.y + share * (side.end.y - side.start.y);
    (at.x - x).hypot(at.y - y)
}

fn nearest(sides: &[Line<f64>], at: Coord<f64>) -> f64 {
    sides.iter().map(|side| to_side(side, at)).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::polygon;

    fn bed() -> Polygon<f64> {
        polygon![(x: 0.0, y: 0.0), (x: 8.0, y: 0.0), (x: 8.0, y: 3.0), (x: 0.0, y: 3.0)]
    }

    /// (front, distance of (1, 1) from it, whether x grows to the right).
    fn fronts() -> [(Front, f64, bool); 4] {
        [
            (Front::Towards { bearing_deg: 180.0 }, 1.0, true),
            (Front::Towards { bearing_deg: 0.0 }, 2.0, false),
            (Front::Along { line_m: vec![(0.0, 0.0), (8.0, 0.0)] }, 1.0, true),
            (Front::Along { line_m: vec![(0.0, 3.0), (8.0, 3.0)] }, 2.0, false),
        ]
    }

    #[test]
    fn front_is_measured_and_read_left_to_right_by_one_who_looks_at_the_bed() {
        for (front, distance_m, x_grows) in fronts() {
            let outline = Outline::new(&bed(), &front).ok();
            let told = outline.map(|o| (o.from_front_m(1.0, 1.0), o.along_front_m(2.0, 1.0) > o.along_front_m(1.0, 1.0)));
            assert!(told.is_some_and(|(d, right)| (d - distance_m).abs() < 1e-9 && right == x_grows), "{front:?}: {told:?}");
        }
    }

    #[test]
    fn depth_is_the_widest_circle() {
        let round = (0..64).map(|i| (f64::from(i) * std::f64::consts::TAU / 64.0).sin_cos()).map(|(s, c)| Coord { x: 5.0 * c, y: 5.0 * s });
        let round = Polygon::new(LineString::new(round.collect()), vec![]);
        for (polygon, depth_m) in [(bed(), 3.0), (round, 10.0 * (std::f64::consts::PI / 64.0).cos())] {
            let size = Outline::new(&polygon, &Front::AllRound).map(|o| o.size());
            assert!(size.as_ref().is_ok_and(|size| (size.depth_m - depth_m).abs() < 0.002), "{size:?}");
        }
    }

    #[test]
    fn the_lawn_side_that_runs_over_the_first_corner_is_one_run() {
        // The ring starts in the middle of the southern side.
        let bed = polygon![(x: 4.0, y: 0.0), (x: 8.0, y: 0.0), (x: 8.0, y: 3.0), (x: 0.0, y: 3.0), (x: 0.0, y: 0.0)];
        let lawn = polygon![(x: -5.0, y: -9.0), (x: 20.0, y: -9.0), (x: 20.0, y: 0.0), (x: -5.0, y: 0.0)];
        let front = Front::longest_lawn_side(&bed, &[lawn], 0.3);
        assert_eq!(front, Some(Front::Along { line_m: vec![(0.0, 0.0), (4.0, 0.0), (8.0, 0.0)] }));
        assert_eq!(Front::longest_lawn_side(&bed, &[], 0.3), None);
    }
}
