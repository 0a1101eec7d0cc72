//! What leaving and treating cost along density, with the break-even beside the published ranges and what was counted.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale, room_for, tick};
use crate::density_chart::ThresholdBand;

/// One density.
#[derive(Debug, Clone, Copy)]
pub struct CostDot {
    /// Density, in the chart's unit.
    pub density: f64,
    /// Cost of leaving.
    pub leave: f64,
    /// Cost of treating.
    pub treat: f64,
}

/// What is drawn; densities in one unit, costs in the firm's money.
#[derive(Debug, Clone)]
pub struct CostCurve {
    /// Title for those who hear it read.
    pub title: String,
    /// Unit of density, as `per ft²`.
    pub unit: String,
    /// Sign of the money.
    pub currency: String,
    /// The curves, by rising density.
    pub curve: Vec<CostDot>,
    /// Published ranges.
    pub thresholds: Vec<ThresholdBand>,
    /// Density at which treating just pays, if it does anywhere.
    pub break_even: Option<f64>,
    /// What was counted: low end, middle and high end of the ground looked at.
    pub counted: Option<(f64, f64, f64)>,
}

/// Draws the two curves, the ranges under them and the interval of the counts.
pub fn draw(chart: &CostCurve, width: f64) -> String {
    let rows = chart.thresholds.len() + usize::from(chart.counted.is_some());
    let floor = 206.0;
    let height = floor + 44.0 + 20.0 * rows as f64;
    let mut canvas = Canvas::new(width, height, &chart.title);
    let Some(last) = chart.curve.last().filter(|d| d.density > 0.0) else {
        canvas.text((width / 2.0, 120.0), 14.0, Anchor::Middle, SOFT, "no costs can be drawn without prices");
        return canvas.finish();
    };
    let (left, right) = (58.0, width - 16.0);
    let top = chart.curve.iter().flat_map(|d| [d.leave, d.treat]).fold(1e-9, f64::max) * 1.06;
    let x = Scale::new(0.0, last.density, left, right);
    let y = Scale::new(0.0, top, floor, 24.0);
    for value in y.ticks(4) {
        canvas.line((left, y.at(value)), (right, y.at(value)), "#e3dac9", 0.7);
        canvas.text((left - 5.0, y.at(value) + 4.0), 11.0, Anchor::End, SOFT, &format!("{}{}", chart.currency, tick(value)));
    }
    let path = |of: &dyn Fn(&CostDot) -> f64| chart.curve.iter().map(|d| (x.at(d.density), y.at(of(d)))).collect::<Vec<_>>();
    canvas.path(&path(&|d| d.leave), INK, 2.2);
    let treat = path(&|d| d.treat);
    for pair in treat.windows(2) {
        canvas.dashed(pair[0], pair[1], INK, 1.8);
    }
    if let (Some(a), Some(b)) = (path(&|d| d.leave).last(), treat.last()) {
        let apart = if (a.1 - b.1).abs() < 16.0 { 16.0 } else { 0.0 };
        canvas.label((right - 4.0, a.1 - 6.0), 12.0, Anchor::End, "leave");
        canvas.label((right - 4.0, b.1 - 6.0 + apart), 12.0, Anchor::End, "treat");
    }
    canvas.line((left, floor), (right, floor), INK, 1.0);
    for value in x.ticks(8) {
        canvas.text((x.at(value), floor + 15.0), 11.0, Anchor::Middle, SOFT, &tick(value));
    }
    canvas.text((right, floor + 30.0), 12.0, Anchor::End, INK, &chart.unit);
    canvas.text((left, 12.0), 12.0, Anchor::Start, INK, "expected cost");
    let mut row = floor + 40.0;
    let mut named = |canvas: &mut Canvas, low: f64, high: f64, fill: &str, name: &str| {
        let (from, to) = (x.at(low.min(last.density)), x.at(high.min(last.density)));
        canvas.rect((from, row), ((to - from).max(2.0), 9.0), fill, ACCENT);
        let wide = room_for(name, 11.5);
        let (at, anchor) = if to + 6.0 + wide < right { (to + 6.0, Anchor::Start) } else { (from - 6.0, Anchor::End) };
        let (at, anchor) = if anchor == Anchor::End && from - 6.0 - wide < 0.0 { (left, Anchor::Start) } else { (at, anchor) };
        canvas.label((at, row + 9.0), 11.5, anchor, name);
        row += 20.0;
    };
    if let Some((low, middle, high)) = chart.counted {
        named(&mut canvas, low, high, "#cfc4b0", &format!("counted: {} ({}–{})", short(middle), short(low), short(high)));
    }
    for band in &chart.thresholds {
        named(&mut canvas, band.low, band.high, "url(#cross)", &band.name);
    }
    if let Some(even) = chart.break_even.filter(|e| *e <= last.density) {
        canvas.dashed((x.at(even), 22.0), (x.at(even), height - 6.0), ACCENT, 1.6);
        canvas.label(
            (x.at(even).clamp(left + 70.0, right - 70.0), 16.0),
            11.5,
            Anchor::Middle,
            &format!("treating pays from {}", short(even)),
        );
    }
    canvas.finish()
}

fn short(value: f64) -> String {
    groundlore_quantity::number::significant(value, 2)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn chart() -> CostCurve {
        let curve = (0..=10).map(f64::from).map(|d| CostDot { density: d, leave: 20.0 * d, treat: 60.0 + 4.0 * d }).collect();
        CostCurve {
            title: "Costs".into(),
            unit: "per ft²".into(),
            currency: "$".into(),
            curve,
            thresholds: vec![ThresholdBand { low: 3.0, high: 8.0, name: "European chafer".into() }],
            break_even: Some(3.75),
            counted: Some((2.0, 4.0, 6.5)),
        }
    }

    #[test]
    fn the_break_even_stands_beside_the_published_range_and_the_counts() {
        let svg = draw(&chart(), 640.0);
        for word in ["treating pays from 3.8", "European chafer", "counted: 4", "leave", "treat", "per ft²", "$"] {
            assert!(svg.contains(word), "{word}");
        }
        assert!(!svg.contains("NaN") && svg.matches("url(#cross)").count() == 1);
    }

    #[test]
    fn without_prices_it_says_so() {
        assert!(draw(&CostCurve { curve: Vec::new(), ..chart() }, 640.0).contains("without prices"));
    }
}
