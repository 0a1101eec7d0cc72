//! A yard's map with an estimate by stratum: grey by steps, the figure and its interval written on or beside each.

use crate::canvas::{Anchor, Canvas, INK, PAPER, SOFT, room_for};
use crate::yard_map::Ring;

/// A stratum on the map.
#[derive(Debug, Clone)]
pub struct EstimateArea {
    /// Name.
    pub name: String,
    /// Outlines and holes, polygon by polygon, metres east and north.
    pub rings: Vec<Ring>,
    /// Step of grey from 0 (lightest); none where nobody looked (hatched).
    pub step: Option<usize>,
    /// The estimate with its interval, as text.
    pub text: String,
}

/// What is drawn.
#[derive(Debug, Clone, Default)]
pub struct EstimateMap {
    /// Title for those who hear it read.
    pub title: String,
    /// Outlines of other things (house, beds, drive), in thin lines.
    pub outlines: Vec<Ring>,
    /// The strata.
    pub areas: Vec<EstimateArea>,
    /// What each step of grey means, lightest first.
    pub steps: Vec<String>,
}

/// Steps of grey, lightest first; text on each stays readable (it has a halo of paper).
pub const GREYS: [&str; 5] = ["#f0ebe0", "#d8d0c2", "#b8afa0", "#948b7d", "#6f675b"];

/// Draws the map, `width` units wide; the height follows.
pub fn draw(map: &EstimateMap, width: f64) -> String {
    let points = || map.areas.iter().flat_map(|a| &a.rings).chain(&map.outlines).flatten();
    let ends =
        |of: fn(&(f64, f64)) -> f64| points().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    let ((west, east), (south, north)) = (ends(|p| p.0), ends(|p| p.1));
    if !(east > west && north > south) {
        let mut canvas = Canvas::new(width, 60.0, &map.title);
        canvas.text((width / 2.0, 34.0), 14.0, Anchor::Middle, SOFT, "nothing is drawn on this map");
        return canvas.finish();
    }
    let margin = 20.0;
    let scale = ((width - 2.0 * margin) / (east - west)).min(1.2 * width / (north - south));
    let tall = (north - south) * scale + 2.0 * margin;
    let left = (width - (east - west) * scale) / 2.0;
    let place = |p: &(f64, f64)| (left + (p.0 - west) * scale, margin + (north - p.1) * scale);
    let key = 20.0 * (map.areas.len() + 1) as f64 + 14.0;
    let steps_across = 24.0 + map.steps.iter().map(|s| room_for(s, 11.5) + 34.0).sum::<f64>();
    let step_rows = if steps_across > width { map.steps.len().max(1) } else { 1 };
    let mut canvas = Canvas::new(width, tall + key + 18.0 * step_rows as f64, &map.title);
    for area in &map.areas {
        let rings: Vec<Ring> = area.rings.iter().map(|r| r.iter().map(place).collect()).collect();
        let fill = area.step.map_or("url(#hatch)", |s| GREYS[s.min(GREYS.len() - 1)]);
        canvas.rings(&rings, fill, INK, 0.8);
    }
    for ring in &map.outlines {
        let mut line: Ring = ring.iter().map(place).collect();
        line.extend(line.first().copied());
        canvas.path(&line, SOFT, 0.8);
    }
    for (number, area) in map.areas.iter().enumerate() {
        if let Some(at) = widest(&area.rings) {
            let at = place(&at);
            canvas.circle(at, 9.0, PAPER, INK);
            canvas.text((at.0, at.1 + 4.0), 11.5, Anchor::Middle, INK, &(number + 1).to_string());
        }
        let y = tall + 14.0 + 20.0 * number as f64;
        let fill = area.step.map_or("url(#hatch)", |s| GREYS[s.min(GREYS.len() - 1)]);
        canvas.rect((margin, y - 10.0), (16.0, 12.0), fill, INK);
        canvas.text((margin + 24.0, y), 12.0, Anchor::Start, INK, &format!("{}  {}: {}", number + 1, area.name, area.text));
    }
    let mut at = (margin, tall + 14.0 + 20.0 * map.areas.len() as f64 + 8.0);
    for (step, words) in map.steps.iter().enumerate() {
        canvas.rect((at.0, at.1 - 9.0), (14.0, 10.0), GREYS[step.min(GREYS.len() - 1)], INK);
        canvas.text((at.0 + 19.0, at.1), 11.5, Anchor::Start, SOFT, words);
        if step_rows > 1 {
            at.1 += 18.0;
        } else {
            at.0 += room_for(words, 11.5) + 34.0;
        }
    }
    canvas.finish()
}

/// A point well inside the largest outline: the middle of the longest run of ground along nine level lines through it.
fn widest(rings: &[Ring]) -> Option<(f64, f64)> {
    const LINES: u32 = 9;
    let (low, high) = rings.iter().flatten().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.1), b.max(p.1)));
    let runs = (1..=LINES).flat_map(|i| {
        let y = low + (high - low) * f64::from(i) / f64::from(LINES + 1);
        let mut cuts: Vec<f64> = rings.iter().flat_map(|ring| crossings(ring, y)).collect();
        cuts.sort_by(f64::total_cmp);
        cuts.chunks_exact(2).map(move |c| (c[1] - c[0], (f64::midpoint(c[0], c[1]), y))).collect::<Vec<_>>()
    });
    runs.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, at)| at)
}

/// Where a closed ring crosses a level line.
fn crossings(ring: &Ring, y: f64) -> Vec<f64> {
    let next = ring.iter().cycle().skip(1);
    let sides = ring.iter().zip(next).take(ring.len());
    sides.filter(|(a, b)| (a.1 > y) != (b.1 > y)).map(|(a, b)| a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0)).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn square(from: f64, to: f64) -> Ring {
        vec![(from, from), (to, from), (to, to), (from, to)]
    }

    #[test]
    fn each_stratum_is_numbered_inside_itself_and_told_with_its_interval() {
        let ring = vec![square(0.0, 20.0), square(4.0, 16.0)];
        let at = widest(&ring).unwrap();
        let in_hole = |p: (f64, f64)| p.0 > 4.0 && p.0 < 16.0 && p.1 > 4.0 && p.1 < 16.0;
        assert!(!in_hole(at), "{at:?}");
        let map = EstimateMap {
            title: "Map".into(),
            outlines: vec![square(22.0, 30.0)],
            areas: vec![
                EstimateArea { name: "margin".into(), rings: ring, step: Some(3), text: "8.1 (5.0–12.9) per ft²".into() },
                EstimateArea { name: "core".into(), rings: vec![square(4.0, 16.0)], step: None, text: "nobody looked".into() },
            ],
            steps: vec!["under 2".into(), "2 to 4".into()],
        };
        let svg = draw(&map, 600.0);
        for word in ["1  margin: 8.1 (5.0–12.9) per ft²", "2  core: nobody looked", GREYS[3], "under 2"] {
            assert!(svg.contains(word), "{word}");
        }
        assert!(!svg.contains("NaN"));
        assert!(draw(&EstimateMap::default(), 600.0).contains("nothing is drawn"));
    }
}
