//! Filling drifts with plants.

use super::bands::{Cell, Layout};
use super::inset_m;
use crate::choose::Chosen;
use crate::outline::Outline;
use geo::Coord;

/// Plants already set: where, and their spacing.
struct Ground<'a> {
    outline: &'a Outline,
    set: Vec<(Coord<f64>, f64)>,
}

impl Ground<'_> {
    /// Whether a plant at a point keeps clear of all that are set. Lengths within a millionth are even.
    fn is_clear(&self, at: Coord<f64>, spacing_m: f64) -> bool {
        self.set.iter().all(|(other, theirs_m)| {
            let need_m = f64::midpoint(spacing_m, *theirs_m);
            let (dx, dy) = ((at.x - other.x).abs(), (at.y - other.y).abs());
            dx >= need_m || dy >= need_m || dx.hypot(dy) >= need_m - 1e-6
        })
    }

    fn is_inside(&self, at: Coord<f64>, inset_m: f64) -> bool {
        self.outline.contains(at.x, at.y) && self.outline.edge_distance_m(at.x, at.y) >= inset_m - 1e-9
    }
}

/// Points of each drift with its kind, in the order of the layout's drifts.
pub(super) fn fill(outline: &Outline, kinds: &[&Chosen], layout: &Layout) -> Vec<(usize, Vec<Coord<f64>>)> {
    let mut order: Vec<usize> = (0..layout.drifts.len()).collect();
    let spacing_m = |drift: &usize| kinds[layout.drifts[*drift].kind].spacing_m;
    order.sort_by(|a, b| spacing_m(b).total_cmp(&spacing_m(a)).then(a.cmp(b)));
    let mut ground = Ground { outline, set: Vec::new() };
    let mut points: Vec<Vec<Coord<f64>>> = vec![Vec::new(); layout.drifts.len()];
    for drift in &order {
        let kind = kinds[layout.drifts[*drift].kind];
        if let Some(first) = first_of(&ground, layout, *drift, kind) {
            ground.set.push((first, kind.spacing_m));
            points[*drift].push(first);
        }
    }
    for drift in &order {
        let kind = kinds[layout.drifts[*drift].kind];
        if let Some(first) = points[*drift].first().copied() {
            let more = rest_of(&ground, layout, *drift, kind, first);
            ground.set.extend(more.iter().map(|at| (*at, kind.spacing_m)));
            points[*drift].extend(more);
        }
    }
    for drift in order {
        let kind = kinds[layout.drifts[drift].kind];
        let more = into_gaps(&ground, layout, drift, kind, &points[drift]);
        ground.set.extend(more.iter().map(|at| (*at, kind.spacing_m)));
        points[drift].extend(more);
    }
    layout.drifts.iter().map(|wanted| wanted.kind).zip(points).collect()
}

/// The first plant of a drift: as near the middle of its ground as is clear; failing that, as near as can be at the same
/// distance from the front.
fn first_of(ground: &Ground<'_>, layout: &Layout, drift: usize, kind: &Chosen) -> Option<Coord<f64>> {
    let own: Vec<&Cell> = layout.cells.iter().filter(|cell| cell.drift == drift).collect();
    let count = own.len().max(1) as f64;
    let middle = Coord { x: own.iter().map(|c| c.at.x).sum::<f64>() / count, y: own.iter().map(|c| c.at.y).sum::<f64>() / count };
    let from_front_m = own.iter().map(|cell| cell.from_front_m).sum::<f64>() / count;
    let inset = inset_m(kind.spacing_m, kind.spread_m);
    let may = |cell: &&Cell| cell.edge_m >= inset && ground.is_clear(cell.at, kind.spacing_m);
    let far = |cell: &Cell| (cell.at.x - middle.x).hypot(cell.at.y - middle.y);
    let near = own.into_iter().filter(may).min_by(|a, b| far(a).total_cmp(&far(b)));
    let astray = |cell: &Cell| far(cell) + 4.0 * (cell.from_front_m - from_front_m).abs();
    let cell = near.or_else(|| layout.cells.iter().filter(may).min_by(|a, b| astray(a).total_cmp(&astray(b))));
    cell.map(|cell| cell.at)
}

/// The other plants of a drift: a triangular grid through the first, rows along the front or the best of five other turns, then what still fits; a drift
/// short of its fewest may borrow from its band.
fn rest_of(ground: &Ground<'_>, layout: &Layout, drift: usize, kind: &Chosen, first: Coord<f64>) -> Vec<Coord<f64>> {
    let wanted = &layout.drifts[drift];
    let fewest = kind.sociability.drift().0;
    if wanted.most <= 1 {
        return Vec::new();
    }
    let along = ground.outline.front_angle_rad();
    let grid = (0..6).map(|turn| through(ground, layout, drift, kind, first, along + f64::from(turn) * 10f64.to_radians()));
    let mut more = grid.fold(Vec::new(), |best: Vec<Coord<f64>>, now| if now.len() > best.len() { now } else { best });
    more.truncate(wanted.most - 1);
    let own = |cell: &Cell| cell.drift == drift;
    squeeze_in(ground, layout, kind, first, &mut more, wanted.most, own);
    let reach_m = kind.spacing_m * (2.0 + (fewest as f64).sqrt());
    let in_band = |cell: &Cell| cell.band == wanted.band && (cell.at.x - first.x).hypot(cell.at.y - first.y) <= reach_m;
    squeeze_in(ground, layout, kind, first, &mut more, fewest.min(9), in_band);
    while more.len() < 9 && more.len() % 2 == 1 {
        more.pop();
    }
    more
}

/// Plants for gaps that are left beside a drift in its band, up to its most; small numbers stay odd.
fn into_gaps(ground: &Ground<'_>, layout: &Layout, drift: usize, kind: &Chosen, there: &[Coord<f64>]) -> Vec<Coord<f64>> {
    let wanted = &layout.drifts[drift];
    let Some(first) = there.first().copied() else { return Vec::new() };
    let reach_m = 1.4 * kind.spacing_m;
    let beside = |cell: &Cell| cell.band == wanted.band && there.iter().any(|at| (cell.at.x - at.x).hypot(cell.at.y - at.y) <= reach_m);
    let mut more = Vec::new();
    squeeze_in(ground, layout, kind, first, &mut more, (wanted.most + 1).saturating_sub(there.len()), beside);
    while there.len() + more.len() < 10 && (there.len() + more.len()).is_multiple_of(2) && !more.is_empty() {
        more.pop();
    }
    more
}

/// Points of a triangular grid through a first plant that lie in its drift and are clear, nearest first, the first left out.
fn through(ground: &Ground<'_>, layout: &Layout, drift: usize, kind: &Chosen, first: Coord<f64>, turn: f64) -> Vec<Coord<f64>> {
    let s = kind.spacing_m;
    let reach_m = layout
        .cells
        .iter()
        .filter(|cell| cell.drift == drift)
        .map(|cell| (cell.at.x - first.x).hypot(cell.at.y - first.y))
        .fold(0.0, f64::max);
    let rings = ((reach_m / s * 1.16) as i32 + 1).min(200);
    let (sin, cos) = turn.sin_cos();
    let inset = inset_m(s, kind.spread_m);
    let mut points: Vec<(f64, Coord<f64>)> = Vec::new();
    for (i, j) in (-rings..=rings).flat_map(|i| (-rings..=rings).map(move |j| (i, j))).filter(|at| *at != (0, 0)) {
        let (u, v) = (s * (f64::from(i) + 0.5 * f64::from(j)), s * f64::from(j) * 3f64.sqrt() / 2.0);
        let at = Coord { x: first.x + u * cos - v * sin, y: first.y + u * sin + v * cos };
        let far_m = u.hypot(v);
        if far_m <= reach_m + s
            && layout.cell_at(at).is_some_and(|cell| cell.drift == drift)
            && ground.is_inside(at, inset)
            && ground.is_clear(at, s)
        {
            points.push((far_m, at));
        }
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    points.into_iter().map(|(_, at)| at).collect()
}

/// Adds plants on cells that are still clear, nearest the first plant first, up to `most` in the drift.
fn squeeze_in(
    ground: &Ground<'_>,
    layout: &Layout,
    kind: &Chosen,
    first: Coord<f64>,
    more: &mut Vec<Coord<f64>>,
    most: usize,
    may: impl Fn(&Cell) -> bool,
) {
    if more.len() + 1 >= most {
        return;
    }
    let inset = inset_m(kind.spacing_m, kind.spread_m);
    let mut cells: Vec<&Cell> = layout.cells.iter().filter(|cell| cell.edge_m >= inset && may(cell)).collect();
    let far = |cell: &Cell| (cell.at.x - first.x).hypot(cell.at.y - first.y);
    cells.sort_by(|a, b| far(a).total_cmp(&far(b)));
    for cell in cells {
        if more.len() + 1 >= most {
            return;
        }
        let apart = |other: &Coord<f64>| (cell.at.x - other.x).hypot(cell.at.y - other.y) >= kind.spacing_m;
        if more.iter().all(apart) && ground.is_clear(cell.at, kind.spacing_m) {
            more.push(cell.at);
        }
    }
}
