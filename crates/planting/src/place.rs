//! Where each plant of a bed stands.
//!
//! The bed is cut into bands by distance from the front, the shortest kinds in the first, the tallest in the last. A band is
//! shared out among drifts along the front, slantwise, so that a drift lies aslant behind its neighbour. Each drift gets a first
//! plant near its middle, widest spacing first, and then a triangular grid through it. Numbers up to nine are odd.
//!
//! What holds for every plan: no centre nearer to a side than half its spacing; no spread past a side by more than
//! [`EDGE_TOLERANCE_M`]; no two plants nearer than the mean of their spacings. [`faults`] checks a plan that was changed by hand.

mod bands;
mod faults;
mod fill;

use crate::choose::Chosen;
use crate::outline::{Front, Outline, OutlineError};
use geo::Polygon;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

pub use faults::{PlaceFault, faults};

/// How far the spread of a grown plant may reach past the bed's side, metres (`common practice`: a hand's width is clipped
/// or leans over the edging).
pub const EDGE_TOLERANCE_M: f64 = 0.10;

/// How far a plant's centre stays from the bed's sides, metres: half its spacing, and so far that its spread passes the side by
/// no more than [`EDGE_TOLERANCE_M`].
///
/// ```
/// use groundlore_planting::place::inset_m;
/// assert_eq!(inset_m(0.5, 0.5), 0.25);
/// assert!((inset_m(0.5, 0.9) - 0.35).abs() < 1e-12);
/// ```
pub fn inset_m(spacing_m: f64, spread_m: f64) -> f64 {
    (spacing_m / 2.0).max(spread_m / 2.0 - EDGE_TOLERANCE_M)
}

/// Figures are told to four decimals, lengths so to a tenth of a millimetre: the same in every text form.
pub(crate) fn to_four_decimals(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

/// One plant in the bed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Placed {
    /// Key in lore.
    pub plant_key: String,
    /// East, metres, in the outline's frame.
    pub x_m: f64,
    /// North, metres, in the outline's frame.
    pub y_m: f64,
    /// Spread when grown, metres.
    pub spread_m: f64,
    /// Planting distance, metres.
    pub spacing_m: f64,
    /// Middle of the height in bloom, metres.
    pub height_m: f64,
    /// The drift it belongs to, an index of [`Placement::drifts`].
    pub drift: usize,
    /// Distance from the front, metres.
    pub from_front_m: f64,
    /// Position along the front, left to right, metres.
    pub along_front_m: f64,
}

/// A group of one kind that stands together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drift {
    /// Key in lore.
    pub plant_key: String,
    /// How many stand in it.
    pub number: usize,
    /// Fewest and most that its sociability asks for.
    pub asked: (usize, usize),
}

/// Every plant of a bed in its place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Placement {
    /// Plants, drift by drift.
    pub plants: Vec<Placed>,
    /// Drifts.
    pub drifts: Vec<Drift>,
    /// Kinds for which no place was found.
    pub no_room_for: Vec<String>,
    /// How it was done, line by line.
    pub working: Vec<String>,
}

/// Why a bed cannot be laid out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[allow(missing_docs)]
pub enum PlaceError {
    #[error(transparent)]
    Outline(#[from] OutlineError),
    #[error("no plants were given to place; choose at least one kind")]
    NothingChosen,
    #[error("{key}: spacing {spacing_m} m and spread {spread_m} m; both must be above 0, for example 0.5 m")]
    Size { key: String, spacing_m: f64, spread_m: f64 },
    #[error(
        "none of the {kinds} kinds finds a place in {area_m2:.2} m²: every one would cross the edge; take smaller plants or a deeper bed"
    )]
    NoRoom { kinds: usize, area_m2: f64 },
}

/// Places chosen kinds in a bed's outline in metres. Same input and seed, same places.
///
/// # Errors
/// An outline or front that cannot be planted; no kinds; sizes at or below 0; no room for any.
///
/// # Source
/// Group sizes: Hansen and Stahl's sociability scale (read in a public repository). Odd numbers and tall behind: common practice.
///
/// # Example
/// ```
/// use geo::polygon;
/// use groundlore_planting::{choose::choose, outline::{Front, Outline}, place, wishes::Wishes};
/// let lore = groundlore_lore::Lore::built_in()?;
/// let bed = polygon![(x: 0.0, y: 0.0), (x: 8.0, y: 0.0), (x: 8.0, y: 3.0), (x: 0.0, y: 3.0)];
/// let front = Front::Towards { bearing_deg: 180.0 };
/// let outline = Outline::new(&bed, &front)?;
/// let choice = choose(&lore.plants, &Wishes::default(), outline.size())?;
/// let placed = place::place(&bed, &front, &choice.chosen, 7)?;
/// assert!(place::faults(&placed.plants, &outline).is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn place(polygon_m: &Polygon<f64>, front: &Front, chosen: &[Chosen], seed: u64) -> Result<Placement, PlaceError> {
    let outline = Outline::new(polygon_m, front)?;
    if chosen.is_empty() {
        return Err(PlaceError::NothingChosen);
    }
    let sensible = |value: f64| value.is_finite() && value > 0.0;
    if let Some(bad) = chosen.iter().find(|kind| !(sensible(kind.spacing_m) && sensible(kind.spread_m))) {
        return Err(PlaceError::Size { key: bad.key.clone(), spacing_m: bad.spacing_m, spread_m: bad.spread_m });
    }
    let mut kinds: Vec<&Chosen> = chosen.iter().collect();
    kinds.sort_by(|a, b| a.middle_height_m().total_cmp(&b.middle_height_m()).then_with(|| a.key.cmp(&b.key)));
    let layout = bands::lay_out(&outline, &kinds, seed);
    let filled = fill::fill(&outline, &kinds, &layout);
    if filled.iter().all(|(_, points)| points.is_empty()) {
        return Err(PlaceError::NoRoom { kinds: kinds.len(), area_m2: outline.area_m2() });
    }
    Ok(told(&outline, &kinds, &layout, filled))
}

fn told(outline: &Outline, kinds: &[&Chosen], layout: &bands::Layout, filled: Vec<(usize, Vec<geo::Coord<f64>>)>) -> Placement {
    let mut plants = Vec::new();
    let mut drifts = Vec::new();
    for (kind, points) in filled.into_iter().filter(|(_, points)| !points.is_empty()) {
        let plant = kinds[kind];
        plants.extend(points.iter().map(|at| Placed {
            plant_key: plant.key.clone(),
            x_m: to_four_decimals(at.x),
            y_m: to_four_decimals(at.y),
            spread_m: plant.spread_m,
            spacing_m: plant.spacing_m,
            height_m: to_four_decimals(plant.middle_height_m()),
            drift: drifts.len(),
            from_front_m: to_four_decimals(outline.from_front_m(at.x, at.y)),
            along_front_m: to_four_decimals(outline.along_front_m(at.x, at.y)),
        }));
        drifts.push(Drift { plant_key: plant.key.clone(), number: points.len(), asked: plant.sociability.drift() });
    }
    let no_room_for =
        kinds.iter().filter(|kind| drifts.iter().all(|drift| drift.plant_key != kind.key)).map(|kind| kind.key.clone()).collect();
    let covered_m2: f64 = plants.iter().map(|one| one.spacing_m * one.spacing_m * 3f64.sqrt() / 2.0).sum();
    let working = vec![
        format!("bed {:.1} m², {} bands from front to back, {} drifts", outline.area_m2(), layout.bands, drifts.len()),
        format!(
            "{} plants; at their spacings they take {:.1} m², {:.0} % of the bed",
            plants.len(),
            covered_m2,
            100.0 * covered_m2 / outline.area_m2()
        ),
    ];
    Placement { plants, drifts, no_room_for, working }
}

/// How height goes with distance from the front.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HeightOrder {
    /// Kinds, shortest first: key, middle height in metres, mean distance from the front in metres.
    pub kinds: Vec<(String, f64, f64)>,
    /// Spearman's rank correlation of height and distance, weighted alike; `None` with fewer than three kinds.
    pub rank_correlation: Option<f64>,
}

/// How height goes with distance from the front, by kind: 1 is a bed that rises without a break.
pub fn height_order(plants: &[Placed]) -> HeightOrder {
    let mut sums: BTreeMap<&str, (f64, f64, f64)> = BTreeMap::new();
    for one in plants {
        let sum = sums.entry(&one.plant_key).or_insert((one.height_m, 0.0, 0.0));
        sum.1 += one.from_front_m;
        sum.2 += 1.0;
    }
    let mut kinds: Vec<(String, f64, f64)> =
        sums.into_iter().map(|(key, (height, sum, count))| (key.to_owned(), height, to_four_decimals(sum / count))).collect();
    kinds.sort_by(|a, b| a.1.total_cmp(&b.1));
    let heights: Vec<f64> = kinds.iter().map(|kind| kind.1).collect();
    let distances: Vec<f64> = kinds.iter().map(|kind| kind.2).collect();
    let rank_correlation = (kinds.len() >= 3).then(|| correlation(&ranks(&heights), &ranks(&distances))).flatten();
    HeightOrder { rank_correlation: rank_correlation.map(to_four_decimals), kinds }
}

/// Ranks from 1, ties sharing the mean.
fn ranks(values: &[f64]) -> Vec<f64> {
    let below = |value: f64| values.iter().filter(|other| **other < value).count() as f64;
    let same = |value: f64| values.iter().filter(|other| **other == value).count() as f64;
    values.iter().map(|value| below(*value) + (same(*value) + 1.0) / 2.0).collect()
}

fn correlation(a: &[f64], b: &[f64]) -> Option<f64> {
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let (mean_a, mean_b) = (mean(a), mean(b));
    let product = |x: &[f64], mx: f64, y: &[f64], my: f64| x.iter().zip(y).map(|(x, y)| (x - mx) * (y - my)).sum::<f64>();
    let spread = (product(a, mean_a, a, mean_a) * product(b, mean_b, b, mean_b)).sqrt();
    (spread > 0.0).then(|| product(a, mean_a, b, mean_b) / spread)
}
