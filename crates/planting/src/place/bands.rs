//! Bands from front to back, and the drifts in each.

use crate::choose::Chosen;
use crate::outline::Outline;
use crate::sociability::Sociability;
use geo::Coord;
use groundlore_lore::plant::PlantKind;
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Cells that a bed is cut into, about.
const CELLS: f64 = 3_000.0;

/// Least depth of a band, metres (ours: two rows of middling plants).
const BAND_M: f64 = 0.7;

/// A small square of the bed.
pub(super) struct Cell {
    pub(super) at: Coord<f64>,
    pub(super) edge_m: f64,
    pub(super) from_front_m: f64,
    pub(super) band: usize,
    pub(super) drift: usize,
}

/// A drift that is to be filled.
pub(super) struct Wanted {
    /// Index into the kinds.
    pub(super) kind: usize,
    /// Most plants.
    pub(super) most: usize,
    pub(super) band: usize,
}

/// The bed cut into cells, each given to a drift.
pub(super) struct Layout {
    pub(super) cells: Vec<Cell>,
    pub(super) drifts: Vec<Wanted>,
    pub(super) bands: usize,
    raster: Raster,
}

struct Raster {
    low: Coord<f64>,
    step_m: f64,
    columns: usize,
    rows: usize,
    /// Cell at each square, `usize::MAX` outside.
    cell: Vec<usize>,
}

impl Layout {
    /// The cell a point lies in.
    pub(super) fn cell_at(&self, at: Coord<f64>) -> Option<&Cell> {
        let raster = &self.raster;
        let (column, row) = raster.square(at)?;
        self.cells.get(*raster.cell.get(row * raster.columns + column)?)
    }
}

impl Raster {
    fn square(&self, at: Coord<f64>) -> Option<(usize, usize)> {
        let (column, row) = ((at.x - self.low.x) / self.step_m, (at.y - self.low.y) / self.step_m);
        (column >= 0.0 && row >= 0.0 && (column as usize) < self.columns && (row as usize) < self.rows)
            .then_some((column as usize, row as usize))
    }
}

/// Cuts the bed and shares it out. `kinds` are sorted by height.
pub(super) fn lay_out(outline: &Outline, kinds: &[&Chosen], seed: u64) -> Layout {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let step_m = (outline.area_m2() / CELLS).sqrt();
    let mut cells: Vec<Cell> = outline
        .cells(step_m)
        .map(|at| Cell {
            edge_m: outline.edge_distance_m(at.x, at.y),
            from_front_m: outline.from_front_m(at.x, at.y),
            at,
            band: 0,
            drift: usize::MAX,
        })
        .collect();
    let raster = raster(outline, step_m, &cells);
    let areas = areas_m2(kinds, outline.area_m2());
    let deep_m = cells.iter().map(|cell| cell.from_front_m).fold(0.0, f64::max);
    let band_of = bands(&areas, ((deep_m / BAND_M) as usize).clamp(1, 5));
    let bands = band_of.iter().max().map_or(1, |last| last + 1);
    share_out_bands(&mut cells, &areas, &band_of);
    let mut drifts = Vec::new();
    for band in 0..bands {
        let wanted = drifts_of(kinds, &areas, &band_of, band);
        let order = in_order(wanted, kinds, &mut random);
        share_out_drifts(outline, &mut cells, band, &order, random.random_range(-0.7..0.7), drifts.len());
        drifts.extend(order.into_iter().map(|(drift, _)| drift));
    }
    Layout { cells, drifts, bands, raster }
}

fn raster(outline: &Outline, step_m: f64, cells: &[Cell]) -> Raster {
    let (low, high) = outline.bounds_m();
    let count = |low: f64, high: f64| ((high - low) / step_m).ceil().max(1.0) as usize;
    let (columns, rows) = (count(low.x, high.x), count(low.y, high.y));
    let mut raster = Raster { low, step_m, columns, rows, cell: vec![usize::MAX; columns * rows] };
    for (index, cell) in cells.iter().enumerate() {
        if let Some((column, row)) = raster.square(cell.at) {
            raster.cell[row * columns + column] = index;
        }
    }
    raster
}

/// Ground one plant takes on a triangular grid, square metres.
fn footprint_m2(kind: &Chosen) -> f64 {
    kind.spacing_m * kind.spacing_m * 3f64.sqrt() / 2.0
}

/// Specimens of a kind that stands alone: as many as take an eighth of the bed, at most three, and one or three (ours).
fn specimens(kind: &Chosen, bed_m2: f64) -> usize {
    if footprint_m2(kind) * 3.0 <= bed_m2 / 8.0 { 3 } else { 1 }
}

/// Area for each kind, square metres, adding up to the bed: those alone take their footprint, the rest is shared; bulbs get
/// a third of a share, carpets a third more (ours).
fn areas_m2(kinds: &[&Chosen], bed_m2: f64) -> Vec<f64> {
    let share = |kind: &Chosen| match (kind.kind, kind.sociability) {
        (_, Sociability::Single) => 0.0,
        (PlantKind::Bulb, _) => 0.35,
        (_, Sociability::Carpet | Sociability::Colony) => 1.3,
        _ => 1.0,
    };
    let alone = |kind: &Chosen| {
        if kind.sociability == Sociability::Single { 1.25 * specimens(kind, bed_m2) as f64 * footprint_m2(kind) } else { 0.0 }
    };
    let shares: f64 = kinds.iter().map(|kind| share(kind)).sum();
    let left_m2 = (bed_m2 - kinds.iter().map(|kind| alone(kind)).sum::<f64>()).max(0.3 * bed_m2);
    let raw: Vec<f64> =
        kinds.iter().map(|kind| if shares > 0.0 { alone(kind) + left_m2 * share(kind) / shares } else { alone(kind) }).collect();
    let total: f64 = raw.iter().sum();
    raw.into_iter().map(|area| area * bed_m2 / total).collect()
}

/// Band of each kind, front first: neighbours in height share one, bands of about the same area.
fn bands(areas: &[f64], most: usize) -> Vec<usize> {
    let bands = most.min(areas.len().div_ceil(2)).max(1);
    let total: f64 = areas.iter().sum();
    let mut before = 0.0;
    let mut last = 0;
    let mut given: Vec<usize> = Vec::with_capacity(areas.len());
    for area in areas {
        let middle = (before + area / 2.0) / total;
        let wanted = ((middle * bands as f64) as usize).min(bands - 1);
        last = if wanted > last { last + usize::from(!given.is_empty()) } else { last };
        given.push(last);
        before += area;
    }
    given
}

/// Gives each cell its band, by distance from the front.
fn share_out_bands(cells: &mut [Cell], areas: &[f64], band_of: &[usize]) {
    let mut order: Vec<usize> = (0..cells.len()).collect();
    order.sort_by(|a, b| cells[*a].from_front_m.total_cmp(&cells[*b].from_front_m).then(a.cmp(b)));
    let bands = band_of.iter().max().map_or(1, |last| last + 1);
    let weights: Vec<f64> =
        (0..bands).map(|band| areas.iter().zip(band_of).filter(|(_, of)| **of == band).map(|(area, _)| area).sum()).collect();
    for (piece, band) in pieces(&order, &weights).into_iter().zip(0..) {
        for cell in piece {
            cells[*cell].band = band;
        }
    }
}

/// Cuts a list into pieces in proportion to weights.
fn pieces<'a>(list: &'a [usize], weights: &[f64]) -> Vec<&'a [usize]> {
    let total: f64 = weights.iter().sum();
    let mut before = 0.0;
    let mut from = 0;
    let mut cut = Vec::with_capacity(weights.len());
    for weight in weights {
        before += weight;
        let to = ((before / total * list.len() as f64).round() as usize).clamp(from, list.len());
        cut.push(&list[from..to]);
        from = to;
    }
    cut
}

/// Most plants in one drift; up to ten the number stays odd.
fn most_together(kind: &Chosen) -> usize {
    let (_, most) = kind.sociability.drift();
    if most <= 10 && most % 2 == 0 { most - 1 } else { most }
}

/// Drifts of the kinds in a band, each with its area.
fn drifts_of(kinds: &[&Chosen], areas: &[f64], band_of: &[usize], band: usize) -> Vec<(Wanted, f64)> {
    let mut drifts = Vec::new();
    for kind in (0..kinds.len()).filter(|kind| band_of[*kind] == band) {
        let most = most_together(kinds[kind]);
        let number = (0.8 * areas[kind] / footprint_m2(kinds[kind])).max(1.0);
        let count = if most == 1 { specimens(kinds[kind], areas.iter().sum()) } else { (number / most as f64).ceil() as usize };
        drifts.extend((0..count).map(|_| (Wanted { kind, most, band }, areas[kind] / count as f64)));
    }
    drifts
}

/// Shuffles the drifts of a band; of twenty shuffles the one that sets the fewest of a kind side by side.
fn in_order(drifts: Vec<(Wanted, f64)>, kinds: &[&Chosen], random: &mut ChaCha8Rng) -> Vec<(Wanted, f64)> {
    let beside =
        |order: &[usize]| order.windows(2).filter(|pair| kinds[drifts[pair[0]].0.kind].key == kinds[drifts[pair[1]].0.kind].key).count();
    let mut best: Vec<usize> = (0..drifts.len()).collect();
    let mut least = usize::MAX;
    for _ in 0..20 {
        let mut order: Vec<usize> = (0..drifts.len()).collect();
        order.shuffle(random);
        let now = beside(&order);
        if now < least {
            (least, best) = (now, order);
        }
        if least == 0 {
            break;
        }
    }
    let mut drifts: Vec<Option<(Wanted, f64)>> = drifts.into_iter().map(Some).collect();
    best.into_iter().filter_map(|at| drifts[at].take()).collect()
}

/// Gives each cell of a band its drift, along the front and aslant.
fn share_out_drifts(outline: &Outline, cells: &mut [Cell], band: usize, drifts: &[(Wanted, f64)], slant: f64, first: usize) {
    let mut order: Vec<(usize, f64)> = cells
        .iter()
        .enumerate()
        .filter(|(_, cell)| cell.band == band)
        .map(|(at, cell)| (at, outline.side_by_side_m(cell.at.x, cell.at.y) + slant * cell.from_front_m))
        .collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    let order: Vec<usize> = order.into_iter().map(|(at, _)| at).collect();
    let weights: Vec<f64> = drifts.iter().map(|(_, area)| *area).collect();
    for (piece, drift) in pieces(&order, &weights).into_iter().zip(first..) {
        for cell in piece {
            cells[*cell].drift = drift;
        }
    }
}
