//! Running total against stop lines.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale, tick};

/// Stop lines and what was counted.
#[derive(Debug, Clone)]
pub struct StopChart {
    /// Title for those who hear it read.
    pub title: String,
    /// Rise per sample.
    pub slope: f64,
    /// Start of the lower line.
    pub lower: f64,
    /// Start of the upper line.
    pub upper: f64,
    /// Counts in the order taken.
    pub counts: Vec<u64>,
    /// Most samples planned.
    pub most: u32,
}

/// Draws the two lines and the walk of the running total.
pub fn draw(chart: &StopChart, width: f64) -> String {
    let height = 240.0;
    let samples = f64::from(chart.most).max(chart.counts.len() as f64).max(4.0);
    let total: f64 = chart.counts.iter().map(|c| *c as f64).sum();
    let top_value = (chart.slope * samples + chart.upper).max(total) * 1.05;
    let x = Scale::new(0.0, samples, 46.0, width - 14.0);
    let y = Scale::new(0.0, top_value, height - 34.0, 16.0);
    let mut canvas = Canvas::new(width, height, &chart.title);
    axes(&mut canvas, x, y, height, "samples taken", "running total");
    let upper: Vec<(f64, f64)> = [0.0, samples].into_iter().map(|n| (x.at(n), y.at((chart.slope * n + chart.upper).max(0.0)))).collect();
    canvas.path(&upper, INK, 1.6);
    let start = (-chart.lower / chart.slope).max(0.0);
    if start < samples {
        canvas.path(&[(x.at(start), y.at(0.0)), (x.at(samples), y.at(chart.slope * samples + chart.lower))], INK, 1.6);
    }
    canvas.label((x.at(samples * 0.3), y.at(chart.slope * samples * 0.3 + chart.upper) - 8.0), 12.0, Anchor::Middle, "enough to matter");
    canvas.label((x.at(samples * 0.82), y.at((chart.slope * samples * 0.82 + chart.lower) * 0.5)), 12.0, Anchor::Middle, "few enough");
    let mut sum = 0.0;
    let mut walk = vec![(x.at(0.0), y.at(0.0))];
    for (n, count) in chart.counts.iter().enumerate() {
        sum += *count as f64;
        walk.push((x.at(n as f64 + 1.0), y.at(sum)));
    }
    canvas.path(&walk, ACCENT, 2.2);
    for at in walk.iter().skip(1) {
        canvas.circle(*at, 3.2, ACCENT, ACCENT);
    }
    canvas.finish()
}

/// Axes with ticks and names.
pub(crate) fn axes(canvas: &mut Canvas, x: Scale, y: Scale, height: f64, x_name: &str, y_name: &str) {
    let (left, right) = (46.0, canvas.width() - 14.0);
    for value in y.ticks(5) {
        canvas.line((left, y.at(value)), (right, y.at(value)), "#e3dac9", 0.7);
        canvas.text((left - 5.0, y.at(value) + 4.0), 11.0, Anchor::End, SOFT, &tick(value));
    }
    for value in x.ticks(8) {
        canvas.text((x.at(value), height - 18.0), 11.0, Anchor::Middle, SOFT, &tick(value));
    }
    canvas.line((left, height - 34.0), (right, height - 34.0), INK, 1.0);
    canvas.text((f64::midpoint(left, right), height - 4.0), 12.0, Anchor::Middle, INK, x_name);
    canvas.text((left, 12.0), 12.0, Anchor::Start, INK, y_name);
}
