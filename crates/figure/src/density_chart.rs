//! Posterior of density against a threshold range and the break-even.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale, room_for, shortened, tick};

/// A threshold range with its name.
#[derive(Debug, Clone)]
pub struct ThresholdBand {
    /// Lower end, in the chart's unit.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Name and source, short.
    pub name: String,
}

/// What is drawn; all densities in one unit.
#[derive(Debug, Clone)]
pub struct DensityChart {
    /// Unit, as `per ft²`.
    pub unit: String,
    /// Density and its weight, any scale; sorted by density.
    pub posterior: Vec<(f64, f64)>,
    /// Published ranges.
    pub thresholds: Vec<ThresholdBand>,
    /// Density at which treating pays for itself, if known.
    pub break_even: Option<f64>,
}

/// Draws the curve over the ranges.
pub fn draw(chart: &DensityChart, width: f64) -> String {
    let bands = chart.thresholds.len();
    let height = 190.0 + 20.0 * bands as f64;
    let floor = 140.0;
    let seen =
        chart.posterior.iter().filter(|(_, w)| *w > 0.002 * chart.posterior.iter().map(|(_, w)| *w).fold(0.0, f64::max)).map(|(d, _)| *d);
    let most = seen.chain(chart.thresholds.iter().map(|t| t.high)).chain(chart.break_even).fold(1.0, f64::max) * 1.08;
    let peak = chart.posterior.iter().map(|(_, w)| *w).fold(0.0, f64::max).max(1e-12);
    let x = Scale::new(0.0, most, 20.0, width - 20.0);
    let y = Scale::new(0.0, peak, floor, 24.0);
    let mut canvas = Canvas::new(width, height, "Density, with the published thresholds");
    let curve: Vec<(f64, f64)> = chart.posterior.iter().filter(|(d, _)| *d <= most).map(|(d, w)| (x.at(*d), y.at(*w))).collect();
    if let (Some(first), Some(last)) = (curve.first(), curve.last()) {
        let mut shape = vec![(first.0, floor)];
        shape.extend(&curve);
        shape.push((last.0, floor));
        canvas.rings(&[shape], "#ddd2bf", "none", 0.0);
        canvas.path(&curve, INK, 1.6);
    }
    canvas.line((20.0, floor), (width - 20.0, floor), INK, 1.0);
    for value in x.ticks(8) {
        canvas.text((x.at(value), floor + 15.0), 11.0, Anchor::Middle, SOFT, &tick(value));
    }
    canvas.text((width - 20.0, floor + 30.0), 12.0, Anchor::End, INK, &chart.unit);
    for (place, band) in chart.thresholds.iter().enumerate() {
        let top = floor + 36.0 + 20.0 * place as f64;
        canvas.rect((x.at(band.low), top), ((x.at(band.high) - x.at(band.low)).max(2.0), 9.0), "url(#cross)", ACCENT);
        let (at, anchor) =
            if band.high > most * 0.55 { (x.at(band.low) - 6.0, Anchor::End) } else { (x.at(band.high) + 6.0, Anchor::Start) };
        let room = if anchor == Anchor::End { at - 4.0 } else { width - at - 4.0 };
        canvas.text((at, top + 9.0), 11.5, anchor, INK, &shortened(&band.name, room, 11.5));
    }
    if let Some(even) = chart.break_even.filter(|e| *e <= most) {
        canvas.dashed((x.at(even), 16.0), (x.at(even), floor), ACCENT, 1.6);
        let words = format!("treating pays from {even:.1}");
        let half = room_for(&words, 11.5) / 2.0 + 4.0;
        canvas.label((x.at(even).clamp(half, width - half), 14.0), 11.5, Anchor::Middle, &words);
    }
    canvas.finish()
}
