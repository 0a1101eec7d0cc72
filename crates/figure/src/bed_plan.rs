//! A planting plan to scale, and its elevation.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, PAPER, SOFT, Scale};
use crate::yard_map::{Ring, bounds};

/// One plant of the plan.
#[derive(Debug, Clone)]
pub struct PlanPlant {
    /// Place in metres; `y` grows away from the front.
    pub at: (f64, f64),
    /// Spread, m.
    pub spread_m: f64,
    /// Height in bloom, m.
    pub height_m: f64,
    /// Which kind it is: a place in `kinds`.
    pub kind: usize,
}

/// A bed to draw.
#[derive(Debug, Clone, Default)]
pub struct BedDrawing {
    /// Title for those who hear it read.
    pub title: String,
    /// Outline and holes, in the plan's metres.
    pub outline: Vec<Ring>,
    /// The plants.
    pub plants: Vec<PlanPlant>,
    /// Names of the kinds.
    pub kinds: Vec<String>,
}

/// Letter of a kind: A to Z, then AA.
pub fn letter(kind: usize) -> String {
    let alphabet = |i: usize| char::from(b'A' + (i % 26) as u8);
    if kind < 26 { alphabet(kind).to_string() } else { format!("{}{}", alphabet(kind / 26 - 1), alphabet(kind)) }
}

/// Draws the plan: each plant at its spread with the letter of its kind, the outline, the scale, and the key below.
pub fn draw_plan(bed: &BedDrawing, width: f64) -> String {
    draw_plan_towards(bed, width, "front")
}

/// As [`draw_plan`], with a word for what lies below on the paper: an island has no front, and says `south`.
pub fn draw_plan_towards(bed: &BedDrawing, width: f64, below: &str) -> String {
    let points = bed.outline.iter().flatten().copied().chain(bed.plants.iter().map(|p| p.at));
    let Some((low, high)) = bounds(points) else {
        return Canvas::new(width, 40.0, &bed.title).finish();
    };
    let margin = 20.0;
    let scale = ((width - 2.0 * margin) / (high.0 - low.0).max(0.5)).min(width / (high.1 - low.1).max(0.5));
    let left = (width - (high.0 - low.0) * scale) / 2.0;
    let plan_height = (high.1 - low.1) * scale;
    let columns = if width > 500.0 { 3 } else { 1 };
    let key_rows = bed.kinds.len().div_ceil(columns);
    let mut canvas = Canvas::new(width, plan_height + 2.0 * margin + 30.0 + 18.0 * key_rows as f64, &bed.title);
    let place = |p: (f64, f64)| (left + (p.0 - low.0) * scale, margin + (high.1 - p.1) * scale);
    let rings: Vec<Ring> = bed.outline.iter().map(|ring| ring.iter().map(|p| place(*p)).collect()).collect();
    canvas.rings(&rings, "url(#hatch)", INK, 1.6);
    let mut back_first: Vec<&PlanPlant> = bed.plants.iter().collect();
    back_first.sort_by(|a, b| b.height_m.total_cmp(&a.height_m));
    for plant in back_first {
        let at = place(plant.at);
        let radius = plant.spread_m / 2.0 * scale;
        canvas.circle(at, radius, PAPER, INK);
        let size = (radius * 1.1).clamp(11.0, 14.0);
        canvas.text((at.0, at.1 + size * 0.34), size, Anchor::Middle, INK, &letter(plant.kind));
    }
    let y = plan_height + 2.0 * margin;
    canvas.text((width / 2.0, y), 12.0, Anchor::Middle, SOFT, below);
    scale_bar(&mut canvas, scale, y);
    for (kind, name) in bed.kinds.iter().enumerate() {
        let column = kind % columns;
        let at = (margin + column as f64 * (width - 2.0 * margin) / columns as f64, y + 24.0 + 18.0 * (kind / columns) as f64);
        let count = bed.plants.iter().filter(|p| p.kind == kind).count();
        canvas.text(at, 12.5, Anchor::Start, INK, &format!("{}  {name} × {count}", letter(kind)));
    }
    canvas.finish()
}

fn scale_bar(canvas: &mut Canvas, scale: f64, y: f64) {
    let feet = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0].into_iter().find(|ft| ft * 0.3048 * scale > 40.0).unwrap_or(100.0);
    let length = feet * 0.3048 * scale;
    canvas.line((20.0, y - 4.0), (20.0 + length, y - 4.0), INK, 2.0);
    canvas.text((26.0 + length, y), 12.0, Anchor::Start, INK, &format!("{feet} ft"));
}

/// Draws the elevation as seen from the front: back plants first, each as a mound of its height and spread, beside a person of 5 ft 9 in (1.75 m).
pub fn draw_elevation(bed: &BedDrawing, width: f64) -> String {
    let Some((low, high)) = bounds(bed.plants.iter().map(|p| p.at)) else {
        return Canvas::new(width, 40.0, &bed.title).finish();
    };
    let tallest = bed.plants.iter().map(|p| p.height_m).fold(1.9, f64::max);
    let left = 44.0;
    let scale = (width - left - 60.0) / (high.0 - low.0 + 1.0).max(1.0);
    let scale = scale.min(220.0 / tallest);
    let ground = tallest * scale + 24.0;
    let mut canvas = Canvas::new(width, ground + 26.0, &format!("{}, elevation", bed.title));
    let heights = Scale::new(0.0, tallest, ground, ground - tallest * scale);
    for feet in (0..20).map(f64::from).filter(|ft| ft * 0.3048 <= tallest) {
        let y = heights.at(feet * 0.3048);
        canvas.line((left, y), (width - 10.0, y), "#e3dac9", 0.6);
        canvas.text((left - 6.0, y + 4.0), 11.0, Anchor::End, SOFT, &format!("{feet} ft"));
    }
    let mut back_first: Vec<&PlanPlant> = bed.plants.iter().collect();
    back_first.sort_by(|a, b| b.at.1.total_cmp(&a.at.1));
    let mounds: Vec<Mound> = back_first
        .iter()
        .map(|plant| Mound {
            foot: (left + 30.0 + (plant.at.0 - low.0) * scale, ground),
            spread: plant.spread_m * scale,
            height: plant.height_m * scale,
            kind: plant.kind,
        })
        .collect();
    mounds.iter().for_each(|mound| mound.draw(&mut canvas));
    letters(&mut canvas, &mounds);
    canvas.line((left, ground), (width - 10.0, ground), INK, 1.6);
    person(&mut canvas, (width - 26.0, ground), 1.75 * scale);
    canvas.finish()
}

/// A plant seen from the front, in the picture's own units.
struct Mound {
    foot: (f64, f64),
    spread: f64,
    height: f64,
    kind: usize,
}

impl Mound {
    fn draw(&self, canvas: &mut Canvas) {
        let points: Vec<(f64, f64)> = (0..=16)
            .map(|i| {
                let t = f64::from(i) / 16.0 * std::f64::consts::PI;
                (self.foot.0 - t.cos() * self.spread / 2.0, self.foot.1 - t.sin().powf(0.6) * self.height)
            })
            .collect();
        canvas.rings(&[points], PAPER, INK, 0.9);
    }

    /// Where its letter stands: under the crown.
    fn letter_at(&self) -> (f64, f64) {
        (self.foot.0, self.foot.1 - (self.height - 10.0).max(2.0))
    }

    fn hides(&self, at: (f64, f64)) -> bool {
        (at.0 - self.foot.0).abs() < self.spread / 2.0 + 3.0 && self.foot.1 - at.1 < self.height - 2.0
    }
}

/// Letters where nothing nearer hides them and no other letter stands.
fn letters(canvas: &mut Canvas, back_first: &[Mound]) {
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for (place, mound) in back_first.iter().enumerate().rev() {
        let at = mound.letter_at();
        let hidden = back_first[place + 1..].iter().any(|nearer| nearer.hides(at));
        let crowded = taken.iter().any(|other| (other.0 - at.0).abs() < 11.5 && (other.1 - at.1).abs() < 10.5);
        if !hidden && !crowded {
            canvas.label(at, 11.0, Anchor::Middle, &letter(mound.kind));
            taken.push(at);
        }
    }
}

fn person(canvas: &mut Canvas, foot: (f64, f64), height: f64) {
    canvas.circle((foot.0, foot.1 - height * 0.92), height * 0.075, ACCENT, ACCENT);
    canvas.path(&[(foot.0 - height * 0.07, foot.1), (foot.0, foot.1 - height * 0.45), (foot.0 + height * 0.07, foot.1)], ACCENT, 2.0);
    canvas.line((foot.0, foot.1 - height * 0.45), (foot.0, foot.1 - height * 0.84), ACCENT, 2.0);
    canvas.text((foot.0, foot.1 + 14.0), 11.0, Anchor::Middle, ACCENT, "5 ft 9 in");
}
