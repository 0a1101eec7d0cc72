//! Ground to scout: the core of a patch, the margin where poor meets sound, the sound turf round it, and where to look in each.
//!
//! The margin is a band astride the patch's outline. Bands are cut in a [`LocalFrame`] in metres; round corners are drawn
//! with short chords, which takes at most about half a part in a hundred off a corner's area.

use crate::measure::{LocalFrame, area_m2};
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{Area, BooleanOps, BoundingRect, Buffer, Centroid, Coord, Intersects, LinesIter, MultiPolygon, Point, Polygon};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde::Serialize;

/// Pieces of ground smaller than this are slivers of the cutting and are left out, square metres.
const SLIVER_M2: f64 = 0.01;
/// Candidates weighed for each sample point.
const CANDIDATES: usize = 24;

/// A part of the ground that is counted apart from the rest.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Zone {
    /// Its shape in longitude and latitude; empty where nothing is left of it.
    pub ground: MultiPolygon<f64>,
    /// Its area on the ellipsoid, square metres.
    pub area_m2: f64,
}

impl Zone {
    fn of(ground_m: MultiPolygon<f64>, frame: &LocalFrame) -> Self {
        let pieces = ground_m.0.into_iter().filter(|piece| piece.unsigned_area() >= SLIVER_M2);
        let ground = MultiPolygon(pieces.map(|piece| frame.polygon_to_lonlat(&piece)).collect());
        let area_m2 = ground.iter().map(area_m2).sum();
        Zone { ground, area_m2 }
    }

    /// Whether nothing is left of it.
    pub fn is_empty(&self) -> bool {
        self.ground.0.is_empty()
    }
}

/// A lawn split by its patches of poor turf.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Zones {
    /// Poor turf further inside than half the margin.
    pub core: Zone,
    /// The band where poor meets sound, half within and half without the outline.
    pub margin: Zone,
    /// The rest of the lawn.
    pub sound: Zone,
}

/// Splits a lawn into the core of its patches, their margin, and sound turf. Nothing outside the lawn counts.
///
/// `lawn` and `patches` are in longitude and latitude; `margin_m` is the whole width of the band in metres. A margin that is
/// negative or no number counts as nought. The three areas add up to the lawn's.
///
/// # Example
/// ```
/// # use geo::polygon;
/// # use groundlore_site::{zones::split, measure::area_m2};
/// let lawn = polygon![(x: -88.0, y: 43.0), (x: -87.999, y: 43.0), (x: -87.999, y: 43.001), (x: -88.0, y: 43.001)];
/// let patch = polygon![(x: -87.9996, y: 43.0004), (x: -87.9994, y: 43.0004), (x: -87.9994, y: 43.0006), (x: -87.9996, y: 43.0006)];
/// let zones = split(&lawn, std::slice::from_ref(&patch), 2.0);
/// let whole = zones.core.area_m2 + zones.margin.area_m2 + zones.sound.area_m2;
/// assert!((whole - area_m2(&lawn)).abs() < 0.1);
/// assert!(zones.core.area_m2 < area_m2(&patch));
/// ```
pub fn split(lawn: &Polygon<f64>, patches: &[Polygon<f64>], margin_m: f64) -> Zones {
    let Some(frame) = LocalFrame::of_polygon(lawn) else {
        let empty = || Zone { ground: MultiPolygon(vec![]), area_m2: 0.0 };
        return Zones { core: empty(), margin: empty(), sound: empty() };
    };
    let half = if margin_m.is_finite() { margin_m.max(0.0) / 2.0 } else { 0.0 };
    let lawn_m = MultiPolygon(vec![frame.polygon_to_m(lawn)]);
    let patches_m: Vec<Polygon<f64>> = patches.iter().map(|patch| frame.polygon_to_m(patch)).collect();
    let poor = geo::algorithm::bool_ops::unary_union(patches_m.iter());
    let reach = grown(&poor, half).intersection(&lawn_m);
    let core = grown(&poor, -half).intersection(&lawn_m);
    Zones {
        margin: Zone::of(reach.difference(&core), &frame),
        sound: Zone::of(lawn_m.difference(&reach), &frame),
        core: Zone::of(core, &frame),
    }
}

/// The band astride a patch's outline, in longitude and latitude; `margin_m` is its whole width.
pub fn margin_band(patch: &Polygon<f64>, margin_m: f64) -> Zone {
    match LocalFrame::of_polygon(patch) {
        Some(frame) if margin_m.is_finite() && margin_m > 0.0 => {
            let patch_m = MultiPolygon(vec![frame.polygon_to_m(patch)]);
            Zone::of(grown(&patch_m, margin_m / 2.0).difference(&grown(&patch_m, -margin_m / 2.0)), &frame)
        }
        _ => Zone { ground: MultiPolygon(vec![]), area_m2: 0.0 },
    }
}

/// A shape in metres grown (or, below nought, shrunk) by a distance all round.
pub(crate) fn grown(shape_m: &MultiPolygon<f64>, by_m: f64) -> MultiPolygon<f64> {
    if by_m == 0.0 || shape_m.0.is_empty() {
        return shape_m.clone();
    }
    shape_m.buffer_with_style(BufferStyle::new(by_m).line_join(LineJoin::Round(0.1)))
}

/// As [`grown`], with corners kept square: for hairs, where round ones would only add points.
pub(crate) fn grown_square(shape_m: &MultiPolygon<f64>, by_m: f64) -> MultiPolygon<f64> {
    shape_m.buffer_with_style(BufferStyle::new(by_m).line_join(LineJoin::Miter(0.1)))
}

/// Sample points inside a polygon, spread out, the same for the same seed.
///
/// `polygon` is in longitude and latitude, as are the points. Each point is the one of a few dozen random candidates that lies
/// farthest from those already placed (Mitchell, D. P. (1991), Spectrally optimal sampling for distribution ray tracing,
/// *Computer Graphics* 25(4), 157–164, "best candidate"; `memory`). Fewer than `n` come back only where the polygon holds
/// no ground.
///
/// # Example
/// ```
/// # use geo::{polygon, Contains};
/// # use groundlore_site::zones::sample_points;
/// let patch = polygon![(x: -88.0, y: 43.0), (x: -87.9999, y: 43.0), (x: -87.9999, y: 43.0001)];
/// let points = sample_points(&patch, 6, 1);
/// assert_eq!(points.len(), 6);
/// assert_eq!(points, sample_points(&patch, 6, 1));
/// ```
pub fn sample_points(polygon: &Polygon<f64>, n: usize, seed: u64) -> Vec<Point<f64>> {
    sample_ground(&MultiPolygon(vec![polygon.clone()]), n, seed)
}

/// As [`sample_points`], over several pieces of ground together (a [`Zone`]'s, for example).
pub fn sample_ground(ground: &MultiPolygon<f64>, n: usize, seed: u64) -> Vec<Point<f64>> {
    let Some(frame) = ground.centroid().map(LocalFrame::about) else { return Vec::new() };
    let ground_m = frame.to_m(ground);
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut placed: Vec<Coord<f64>> = Vec::with_capacity(n.min(10_000));
    while placed.len() < n {
        let candidates = (0..CANDIDATES).map_while(|_| place_in(&ground_m, &mut random));
        let apart = |c: &Coord<f64>| placed.iter().map(|p| (p.x - c.x).hypot(p.y - c.y)).fold(f64::INFINITY, f64::min);
        match candidates.max_by(|a, b| apart(a).total_cmp(&apart(b))) {
            Some(best) => placed.push(best),
            None => break,
        }
    }
    placed.into_iter().map(|c| frame.point_to_lonlat(c.into())).collect()
}

/// A random place in the ground, evenly spread; on ground too thin for its box, a random place on a random line across it.
fn place_in(ground_m: &MultiPolygon<f64>, random: &mut ChaCha8Rng) -> Option<Coord<f64>> {
    let bounds = ground_m.bounding_rect()?;
    if ground_m.unsigned_area() <= 0.0 {
        return None;
    }
    for _ in 0..200 {
        let place = Coord { x: within(bounds.min().x, bounds.max().x, random), y: within(bounds.min().y, bounds.max().y, random) };
        if ground_m.intersects(&place) {
            return Some(place);
        }
    }
    (0..1000).find_map(|_| {
        let y = within(bounds.min().y, bounds.max().y, random);
        across(ground_m, y, random)
    })
}

/// A random place on the line y through the ground.
fn across(ground_m: &MultiPolygon<f64>, y: f64, random: &mut ChaCha8Rng) -> Option<Coord<f64>> {
    let mut cuts: Vec<f64> = Vec::new();
    for side in ground_m.lines_iter() {
        let (a, b) = (side.start, side.end);
        if (a.y <= y) != (b.y <= y) {
            cuts.push(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let total: f64 = cuts.chunks_exact(2).map(|pair| pair[1] - pair[0]).sum();
    let mut along = within(0.0, total, random);
    for pair in cuts.chunks_exact(2) {
        if along <= pair[1] - pair[0] {
            let place = Coord { x: pair[0] + along, y };
            return ground_m.intersects(&place).then_some(place);
        }
        along -= pair[1] - pair[0];
    }
    None
}

fn within(low: f64, high: f64, random: &mut ChaCha8Rng) -> f64 {
    low + (high - low) * random.random::<f64>()
}
