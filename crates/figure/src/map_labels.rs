//! Where the names on a map stand: each on its own ground, none over another, none cut at the picture's edge; what finds no room gets a
//! letter on the map and a line in a key.

use crate::canvas::{room_for, shortened};
use crate::yard_map::bounds;

/// Height of a name's line, units of the picture.
const LINE: f64 = 14.0;
/// Size of the names.
pub(crate) const SIZE: f64 = 12.0;
/// Where lines are tried, as shares of a shape's height from its top: the middle first.
const TRIED: [f64; 11] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.25, 0.75, 0.16, 0.84, 0.08, 0.92];
/// Step between points that are looked at along a line.
const STEP: f64 = 4.0;

/// A shape in the picture's units, in drawing order.
#[derive(Debug)]
pub(crate) struct Ground<'a> {
    pub(crate) name: &'a str,
    pub(crate) rings: Vec<Vec<(f64, f64)>>,
}

/// A box that no name may touch: low and high corner.
type Taken = ((f64, f64), (f64, f64));

/// What was placed.
#[derive(Debug, Default)]
pub(crate) struct Labels {
    /// Text with the middle of its baseline.
    pub(crate) on_map: Vec<((f64, f64), String)>,
    /// Letters on the map with the names they stand for.
    pub(crate) key: Vec<(String, String)>,
}

/// Places the names, larger shapes first, within the picture's size and off the boxes that are taken already.
pub(crate) fn place(grounds: &[Ground<'_>], size: (f64, f64), taken: &[Taken]) -> Labels {
    let mut order: Vec<usize> = (0..grounds.len()).filter(|at| !grounds[*at].name.is_empty()).collect();
    order.sort_by(|a, b| area(&grounds[*b]).total_cmp(&area(&grounds[*a])));
    let mut sheet = Sheet { grounds, size, taken: taken.to_vec() };
    let mut labels = Labels::default();
    let mut homeless = Vec::new();
    for at in order {
        match sheet.room(at, grounds[at].name) {
            Some((middle, text)) => sheet.write(&mut labels, middle, text),
            None => homeless.push(at),
        }
    }
    homeless.sort_unstable();
    for at in homeless {
        let mark = letter(labels.key.len());
        if let Some(middle) = sheet.room(at, &mark).map(|(middle, _)| middle).or_else(|| sheet.nearby(at)) {
            sheet.write(&mut labels, middle, mark.clone());
        }
        labels.key.push((mark, grounds[at].name.to_owned()));
    }
    labels
}

struct Sheet<'a> {
    grounds: &'a [Ground<'a>],
    size: (f64, f64),
    taken: Vec<Taken>,
}

impl Sheet<'_> {
    fn write(&mut self, labels: &mut Labels, middle: (f64, f64), text: String) {
        let half = room_for(&text, SIZE) / 2.0 + 2.0;
        self.taken.push(((middle.0 - half, middle.1 - LINE / 2.0), (middle.0 + half, middle.1 + LINE / 2.0)));
        labels.on_map.push(((middle.0, middle.1 + SIZE / 3.0), text));
    }

    /// The middle of a line on the shape's own ground that holds the name; where none holds all of it, the longest, if that holds at
    /// least half of the name.
    fn room(&self, at: usize, name: &str) -> Option<((f64, f64), String)> {
        let (low, high) = bounds(self.grounds[at].rings.iter().flatten().copied())?;
        let need = room_for(name, SIZE) + 4.0;
        let mut longest: Option<(f64, f64, f64)> = None;
        for share in TRIED {
            let y = low.1 + share * (high.1 - low.1);
            let Some((from, to)) = self.longest_run(at, y, (low.0, high.0)) else { continue };
            if to - from >= need {
                let x = f64::midpoint(low.0, high.0).clamp(from + need / 2.0, to - need / 2.0);
                return Some(((x, y), name.to_owned()));
            }
            if longest.is_none_or(|(a, b, _)| b - a < to - from) {
                longest = Some((from, to, y));
            }
        }
        let (from, to, y) = longest?;
        let text = shortened(name, to - from - 4.0, SIZE);
        let kept = text.chars().count().saturating_sub(1);
        (kept >= 5 && kept * 2 >= name.chars().count()).then(|| ((f64::midpoint(from, to), y), text))
    }

    /// The longest free stretch of a line on the shape's own ground.
    fn longest_run(&self, at: usize, y: f64, across: (f64, f64)) -> Option<(f64, f64)> {
        let mut best: Option<(f64, f64)> = None;
        let mut start: Option<f64> = None;
        let mut x = across.0.max(2.0);
        let end = across.1.min(self.size.0 - 2.0);
        while x <= end {
            let free = self.is_free((x, y)) && self.is_own(at, (x, y - 3.0)) && self.is_own(at, (x, y + 3.0));
            start = if free { start.or(Some(x)) } else { None };
            if let Some(from) = start.filter(|from| best.is_none_or(|(a, b)| x - from > b - a)) {
                best = Some((from, x));
            }
            x += STEP;
        }
        best
    }

    fn is_free(&self, (x, y): (f64, f64)) -> bool {
        let half = LINE / 2.0;
        let inside = y > half + 1.0 && y < self.size.1 - half - 1.0 && x > 1.0 && x < self.size.0 - 1.0;
        inside && !self.taken.iter().any(|(low, high)| x > low.0 && x < high.0 && y > low.1 - half && y < high.1 + half)
    }

    /// Whether this shape is what is seen there: it holds the point, and none drawn later does.
    fn is_own(&self, at: usize, point: (f64, f64)) -> bool {
        holds(&self.grounds[at].rings, point) && !self.grounds[at + 1..].iter().any(|later| holds(&later.rings, point))
    }

    /// A free place for a letter beside a shape that is too small even for that.
    fn nearby(&self, at: usize) -> Option<(f64, f64)> {
        let (low, high) = bounds(self.grounds[at].rings.iter().flatten().copied())?;
        let middle = (f64::midpoint(low.0, high.0), f64::midpoint(low.1, high.1));
        let steps = || [0.0, -9.0, 9.0, -18.0, 18.0].into_iter();
        let around = steps().flat_map(|down| steps().map(move |right| (middle.0 + right, middle.1 + down)));
        around.into_iter().find(|(x, y)| [-6.0, 0.0, 6.0].iter().all(|aside| self.is_free((x + aside, *y))))
    }
}

/// Letters in their order: A to Z, then AA, AB and on.
fn letter(place: usize) -> String {
    let last = char::from(b'A' + (place % 26) as u8).to_string();
    if place < 26 { last } else { letter(place / 26 - 1) + &last }
}

/// Area of the outline less its holes, in the picture's units squared.
fn area(ground: &Ground<'_>) -> f64 {
    let ring = |points: &Vec<(f64, f64)>| {
        let next = points.iter().cycle().skip(1);
        (points.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0).abs()
    };
    let mut all = ground.rings.iter().map(ring);
    let outer = all.next().unwrap_or(0.0);
    let inner: f64 = all.sum();
    if outer.is_finite() && inner.is_finite() { outer - inner } else { 0.0 }
}

/// Whether a point lies within rings, holes cut out (counting crossings to its right).
fn holds(rings: &[Vec<(f64, f64)>], (x, y): (f64, f64)) -> bool {
    let crossed = |ring: &Vec<(f64, f64)>| {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).filter(|(a, b)| (a.1 > y) != (b.1 > y) && x < a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0)).count()
    };
    rings.iter().map(crossed).sum::<usize>() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(at: (f64, f64), width: f64, height: f64) -> Vec<Vec<(f64, f64)>> {
        vec![vec![at, (at.0 + width, at.1), (at.0 + width, at.1 + height), (at.0, at.1 + height)]]
    }

    fn boxes(labels: &Labels) -> Vec<Taken> {
        let of = |((x, y), text): &((f64, f64), String)| {
            let half = room_for(text, SIZE) / 2.0;
            ((x - half, y - SIZE), (x + half, *y))
        };
        labels.on_map.iter().map(of).collect()
    }

    #[test]
    fn no_name_stands_over_another_or_outside_the_picture() {
        let grounds = [
            Ground { name: "Back lawn", rings: square((10.0, 10.0), 300.0, 200.0) },
            Ground { name: "Brown patch", rings: square((100.0, 80.0), 120.0, 60.0) },
            Ground { name: "East border", rings: square((310.0, 10.0), 80.0, 200.0) },
            Ground { name: "Bark path behind the border", rings: square((390.0, 10.0), 9.0, 200.0) },
        ];
        let labels = place(&grounds, (400.0, 240.0), &[]);
        let boxes = boxes(&labels);
        for (at, a) in boxes.iter().enumerate() {
            assert!(a.0.0 >= 0.0 && a.1.0 <= 400.0 && a.0.1 >= 0.0 && a.1.1 <= 240.0, "{labels:?}");
            for b in &boxes[at + 1..] {
                assert!(a.1.0 <= b.0.0 || b.1.0 <= a.0.0 || a.1.1 <= b.0.1 || b.1.1 <= a.0.1, "{labels:?}");
            }
        }
        assert_eq!(labels.key, [("A".to_owned(), "Bark path behind the border".to_owned())]);
        assert!(labels.on_map.iter().any(|(_, text)| text == "Brown patch"), "{labels:?}");
    }

    #[test]
    fn a_name_too_long_for_its_shape_is_cut_with_an_ellipsis() {
        let grounds = [Ground { name: "Front lawn, west of the drive", rings: square((10.0, 10.0), 120.0, 60.0) }];
        let labels = place(&grounds, (400.0, 240.0), &[]);
        assert!(labels.on_map.iter().any(|(_, text)| text.ends_with('…') && text.starts_with("Front lawn")), "{labels:?}");
    }

    #[test]
    fn shapes_that_are_none_are_borne() {
        let odd = [f64::NAN, f64::INFINITY];
        let grounds: Vec<Ground<'_>> = odd.iter().map(|x| Ground { name: "x", rings: vec![vec![(*x, *x), (1.0, *x)], vec![]] }).collect();
        assert!(place(&grounds, (100.0, 100.0), &[]).on_map.len() <= 2);
    }

    #[test]
    fn letters_go_on_after_the_last() {
        assert_eq!([0, 25, 26, 52].map(letter), ["A", "Z", "AA", "BA"]);
    }
}
