//! A yard's map to scale: areas by pattern, trees, patches, and numbered stops.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, PAPER, SOFT, shortened};
use crate::map_labels::{self, Ground, Labels};

/// A ring of points, metres east and north.
pub type Ring = Vec<(f64, f64)>;

/// One shape of the map, in metres east and north of any origin.
#[derive(Debug, Clone)]
pub struct MapShape {
    /// What it is, by the map's own word (`lawn`, `bed`, `drive`, `house`, `patch`…).
    pub kind: String,
    /// Name.
    pub name: String,
    /// Outline and holes.
    pub rings: Vec<Ring>,
}

/// A tree: place, crown radius and trunk radius, m.
#[derive(Debug, Clone)]
pub struct MapTree {
    /// Place.
    pub at: (f64, f64),
    /// Crown radius, if measured.
    pub crown_m: Option<f64>,
    /// Name.
    pub name: String,
}

/// What is drawn.
#[derive(Debug, Clone, Default)]
pub struct YardMap {
    /// Title for those who hear it read.
    pub title: String,
    /// Areas, structures and patches, drawn in this order.
    pub shapes: Vec<MapShape>,
    /// Trees.
    pub trees: Vec<MapTree>,
    /// Numbered stops in walking order.
    pub stops: Vec<(f64, f64)>,
    /// Stops that are told apart (a second stratum is drawn as an open ring).
    pub open_stops: Vec<bool>,
}

fn fill_of(kind: &str) -> (&'static str, &'static str) {
    match kind {
        "lawn" | "meadow" | "play" => ("url(#dots)", SOFT),
        "bed" | "vegetable" => ("url(#hatch)", INK),
        "water" => ("url(#waves)", SOFT),
        "patch" => ("url(#cross)", ACCENT),
        "drive" | "path" | "patio" => ("url(#lines)", SOFT),
        "edge" => ("none", INK),
        _ => ("#d8cfc0", INK),
    }
}

/// Draws the map, `width` units wide; the height follows. Names stand on their own ground, none over another; what finds no room is
/// lettered, and named in a key below the map.
pub fn draw(map: &YardMap, width: f64) -> String {
    let points = map
        .shapes
        .iter()
        .flat_map(|s| s.rings.iter().flatten().copied())
        .chain(map.trees.iter().map(|t| t.at))
        .chain(map.stops.iter().copied());
    let Some((low, high)) = bounds(points) else {
        let mut canvas = Canvas::new(width, 60.0, &map.title);
        canvas.text((width / 2.0, 34.0), 14.0, Anchor::Middle, SOFT, "nothing is drawn on this map");
        return canvas.finish();
    };
    let margin = 26.0;
    let across = (high.0 - low.0).max(1.0);
    let up = (high.1 - low.1).max(1.0);
    let scale = ((width - 2.0 * margin) / across).min(1.6 * width / up);
    let height = up * scale + 2.0 * margin + 26.0;
    let left = (width - across * scale) / 2.0;
    let place = |p: (f64, f64)| (left + (p.0 - low.0) * scale, margin + (high.1 - p.1) * scale);
    let labels = labels_of(map, (width, height - 26.0), &place);
    let mut canvas = Canvas::new(width, height + key_height(&labels), &map.title);
    for shape in &map.shapes {
        let (fill, stroke) = fill_of(&shape.kind);
        let rings: Vec<Ring> = shape.rings.iter().map(|ring| ring.iter().map(|p| place(*p)).collect()).collect();
        if shape.kind == "edge" {
            rings.first().into_iter().for_each(|line| canvas.path(line, stroke, 2.5));
        } else {
            canvas.rings(&rings, fill, stroke, if shape.kind == "patch" { 1.6 } else { 1.0 });
        }
    }
    for tree in &map.trees {
        let at = place(tree.at);
        if let Some(crown) = tree.crown_m {
            canvas.circle(at, crown * scale, "none", SOFT);
        }
        canvas.circle(at, 3.5, INK, PAPER);
    }
    if map.stops.len() > 1 {
        let walk: Vec<(f64, f64)> = map.stops.iter().map(|p| place(*p)).collect();
        canvas.path(&walk, ACCENT, 0.8);
    }
    for (number, stop) in map.stops.iter().enumerate() {
        let at = place(*stop);
        let open = map.open_stops.get(number).copied().unwrap_or(false);
        canvas.circle(at, 8.0, if open { PAPER } else { ACCENT }, ACCENT);
        canvas.text((at.0, at.1 + 3.8), 11.0, Anchor::Middle, if open { ACCENT } else { PAPER }, &(number + 1).to_string());
    }
    for (at, text) in &labels.on_map {
        canvas.label(*at, map_labels::SIZE, Anchor::Middle, text);
    }
    north_and_scale(&mut canvas, scale, height);
    key(&mut canvas, &labels, height);
    canvas.finish()
}

/// Places the names off the stops and the trunks.
fn labels_of(map: &YardMap, size: (f64, f64), place: &impl Fn((f64, f64)) -> (f64, f64)) -> Labels {
    let taken = |at: &(f64, f64), half: f64| {
        let (x, y) = place(*at);
        ((x - half, y - half), (x + half, y + half))
    };
    let trunks = map.trees.iter().map(|tree| taken(&tree.at, 4.0));
    let boxes: Vec<_> = map.stops.iter().map(|stop| taken(stop, 9.0)).chain(trunks).collect();
    let ring = |ring: &Ring| ring.iter().map(|p| place(*p)).collect();
    let areas = map.shapes.iter().filter(|s| s.kind != "edge");
    let grounds: Vec<Ground<'_>> = areas.map(|s| Ground { name: &s.name, rings: s.rings.iter().map(ring).collect() }).collect();
    map_labels::place(&grounds, size, &boxes)
}

/// Lines of the key, two names a line.
fn key_height(labels: &Labels) -> f64 {
    if labels.key.is_empty() { 0.0 } else { 18.0 * labels.key.len().div_ceil(2) as f64 + 8.0 }
}

fn key(canvas: &mut Canvas, labels: &Labels, top: f64) {
    let half = (canvas.width() - 40.0) / 2.0;
    for (place, (mark, name)) in labels.key.iter().enumerate() {
        let at = (20.0 + half * (place % 2) as f64, top + 14.0 + 18.0 * (place / 2) as f64);
        canvas.text(at, map_labels::SIZE, Anchor::Start, ACCENT, mark);
        let name = shortened(name, half - 30.0, map_labels::SIZE);
        canvas.text((at.0 + 20.0, at.1), map_labels::SIZE, Anchor::Start, INK, &name);
    }
}

fn north_and_scale(canvas: &mut Canvas, scale: f64, height: f64) {
    let feet = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0].into_iter().find(|ft| ft * 0.3048 * scale > 60.0).unwrap_or(2000.0);
    let y = height - 14.0;
    let length = feet * 0.3048 * scale;
    canvas.line((20.0, y), (20.0 + length, y), INK, 2.0);
    canvas.line((20.0, y - 4.0), (20.0, y + 4.0), INK, 1.0);
    canvas.line((20.0 + length, y - 4.0), (20.0 + length, y + 4.0), INK, 1.0);
    canvas.text((26.0 + length, y + 4.0), 12.0, Anchor::Start, INK, &format!("{feet} ft"));
    let x = canvas.width() - 20.0;
    canvas.path(&[(x - 5.0, y + 4.0), (x, y - 14.0), (x + 5.0, y + 4.0), (x, y - 1.0), (x - 5.0, y + 4.0)], INK, 1.0);
    canvas.text((x - 12.0, y + 4.0), 12.0, Anchor::End, INK, "north");
}

/// Lower left and upper right of points.
pub(crate) fn bounds(points: impl Iterator<Item = (f64, f64)>) -> Option<((f64, f64), (f64, f64))> {
    points.filter(|p| p.0.is_finite() && p.1.is_finite()).fold(None, |found, p| {
        let (low, high) = found.unwrap_or((p, p));
        Some(((p.0.min(low.0), p.1.min(low.1)), (p.0.max(high.0), p.1.max(high.1))))
    })
}
