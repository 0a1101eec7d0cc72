//! What is wrong with a placement, such as one that was changed by hand.

use super::{EDGE_TOLERANCE_M, Placed};
use crate::outline::Outline;
use serde::Serialize;

/// A plant that stands wrong; numbers are indices into the plants given.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum PlaceFault {
    #[error("plant {plant} ({key}) stands outside the bed by {by_m:.2} m; move it in")]
    Outside { plant: usize, key: String, by_m: f64 },
    #[error("plant {plant} ({key}) stands {from_edge_m:.2} m from the edge; half its spacing is {need_m:.2} m; move it in")]
    NearEdge { plant: usize, key: String, from_edge_m: f64, need_m: f64 },
    #[error("plant {plant} ({key}) will reach {past_m:.2} m past the edge; move it in, or take a narrower plant")]
    PastEdge { plant: usize, key: String, past_m: f64 },
    #[error("plants {first} and {second} ({keys}) stand {apart_m:.2} m apart; the mean of their spacings is {need_m:.2} m; move one")]
    TooClose { first: usize, second: usize, keys: String, apart_m: f64, need_m: f64 },
}

/// Every plant that stands outside, too near the edge, past it with its spread, or too close to another. A millimetre is let go.
pub fn faults(plants: &[Placed], outline: &Outline) -> Vec<PlaceFault> {
    let mut found: Vec<PlaceFault> = plants.iter().enumerate().filter_map(|(plant, one)| at_edge(plant, one, outline)).collect();
    for (first, a) in plants.iter().enumerate() {
        for (second, b) in plants.iter().enumerate().skip(first + 1) {
            let need_m = f64::midpoint(a.spacing_m, b.spacing_m);
            let apart_m = (a.x_m - b.x_m).hypot(a.y_m - b.y_m);
            if apart_m < need_m - 1e-3 {
                found.push(PlaceFault::TooClose { first, second, keys: format!("{}, {}", a.plant_key, b.plant_key), apart_m, need_m });
            }
        }
    }
    found
}

fn at_edge(plant: usize, one: &Placed, outline: &Outline) -> Option<PlaceFault> {
    let from_edge_m = outline.edge_distance_m(one.x_m, one.y_m);
    let key = one.plant_key.clone();
    let need_m = one.spacing_m / 2.0;
    let past_m = one.spread_m / 2.0 - from_edge_m;
    if !outline.contains(one.x_m, one.y_m) {
        return Some(PlaceFault::Outside { plant, key, by_m: from_edge_m });
    }
    if from_edge_m < need_m - 1e-3 {
        return Some(PlaceFault::NearEdge { plant, key, from_edge_m, need_m });
    }
    (past_m > EDGE_TOLERANCE_M + 1e-3).then_some(PlaceFault::PastEdge { plant, key, past_m })
}
