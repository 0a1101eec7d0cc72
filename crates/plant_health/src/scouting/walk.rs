//! The walk: every stop once, in an order that no turned-round stretch makes shorter.

use super::{Allotment, Wish};
use serde::{Deserialize, Serialize};

/// One stop on the walk.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Stop {
    /// Number on the sheet, from 1, in walking order.
    pub number: usize,
    /// Stratum.
    pub stratum: String,
    /// Longitude, decimal degrees.
    pub longitude: f64,
    /// Latitude, decimal degrees.
    pub latitude: f64,
    /// Metres from the stop before.
    pub walk_m: f64,
}

/// Metres between two points, on a plane touching the yard (good to a thousandth within a few kilometres).
pub(super) fn metres(a: [f64; 2], b: [f64; 2]) -> f64 {
    const M_PER_DEGREE: f64 = 111_195.0;
    let mut east = b[0] - a[0];
    if east.abs() > 180.0 {
        east -= 360.0 * east.signum();
    }
    let east = east * (f64::midpoint(a[1], b[1])).to_radians().cos();
    M_PER_DEGREE * east.hypot(b[1] - a[1])
}

/// The walk: nearest neighbour from the start, then two-opt until no turned-round stretch shortens it.
pub(super) fn walk(wish: &Wish, allotment: &[Allotment]) -> Vec<Stop> {
    let places: Vec<(&str, [f64; 2])> = wish
        .strata
        .iter()
        .zip(allotment)
        .flat_map(|(s, a)| s.points_lonlat.iter().take(a.samples).map(|p| (s.name.as_str(), *p)))
        .collect();
    let points: Vec<[f64; 2]> = places.iter().map(|(_, p)| *p).collect();
    let start = wish.start_lonlat.or(points.first().copied()).unwrap_or([0.0, 0.0]);
    let order = two_opt(nearest_first(&points, start), &points, start);
    let mut here = start;
    order
        .into_iter()
        .enumerate()
        .map(|(i, p)| {
            let walk_m = metres(here, points[p]);
            here = points[p];
            Stop { number: i + 1, stratum: places[p].0.into(), longitude: here[0], latitude: here[1], walk_m }
        })
        .collect()
}

pub(super) fn nearest_first(points: &[[f64; 2]], start: [f64; 2]) -> Vec<usize> {
    let mut left: Vec<usize> = (0..points.len()).collect();
    let mut order = Vec::with_capacity(points.len());
    let mut here = start;
    while let Some(next) = (0..left.len()).min_by(|&a, &b| metres(here, points[left[a]]).total_cmp(&metres(here, points[left[b]]))) {
        let point = left.remove(next);
        here = points[point];
        order.push(point);
    }
    order
}

pub(super) fn two_opt(mut order: Vec<usize>, points: &[[f64; 2]], start: [f64; 2]) -> Vec<usize> {
    const ROUNDS: usize = 50;
    let at = |order: &[usize], i: usize| if i == 0 { start } else { points[order[i - 1]] };
    for _ in 0..ROUNDS {
        let mut better = false;
        for i in 0..order.len() {
            for j in i + 1..order.len() {
                let (before, first, last) = (at(&order, i), points[order[i]], points[order[j]]);
                let after = order.get(j + 1).map(|&p| points[p]);
                let end = |from: [f64; 2]| after.map_or(0.0, |to| metres(from, to));
                if metres(before, last) + end(first) + 1e-9 < metres(before, first) + end(last) {
                    order[i..=j].reverse();
                    better = true;
                }
            }
        }
        if !better {
            break;
        }
    }
    order
}
