//! What leaving, treating now, treating at the stage and counting again cost along density, with the break-even beside the published ranges and what was counted.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale, room_for, tick};
use crate::density_chart::ThresholdBand;

/// One density.
#[derive(Debug, Clone, Copy)]
pub struct CostDot {
    /// Density, in the chart's unit.
    pub density: f64,
    /// Cost of leaving.
    pub leave: f64,
    /// Cost of treating now; none where it is not known.
    pub treat: Option<f64>,
    /// Cost of treating at a stage that lies ahead; none where there is none.
    pub at_stage: Option<f64>,
    /// Expected cost of counting again first; none where that has no price.
    pub count_again: Option<f64>,
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
    /// What the line of treating now is called.
    pub treat: String,
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
    let lines: [(&str, Stroke, Line); 4] = [
        ("leave", Stroke::Whole, |d| Some(d.leave)),
        (&chart.treat, Stroke::Dashes, |d| d.treat),
        ("treat at its stage", Stroke::Dots, |d| d.at_stage),
        ("count again first", Stroke::Thin, |d| d.count_again),
    ];
    let values = chart.curve.iter().flat_map(|d| lines.iter().filter_map(|(_, _, of)| of(d)));
    let top = values.fold(1e-9, f64::max) * 1.06;
    let x = Scale::new(0.0, last.density, left, right);
    let y = Scale::new(0.0, top, floor, 24.0);
    for value in y.ticks(4) {
        canvas.line((left, y.at(value)), (right, y.at(value)), "#e3dac9", 0.7);
        canvas.text((left - 5.0, y.at(value) + 4.0), 11.0, Anchor::End, SOFT, &format!("{}{}", chart.currency, tick(value)));
    }
    let mut names: Vec<(f64, &str)> = Vec::new();
    for (name, stroke, of) in lines {
        let path: Vec<(f64, f64)> = chart.curve.iter().filter_map(|d| Some((x.at(d.density), y.at(of(d)?)))).collect();
        stroke.draw(&mut canvas, &path);
        names.extend(path.last().map(|end| (end.1 - 6.0, name)));
    }
    // Names stand at the ends of their lines, one above the other where those run together.
    names.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut below = floor + 10.0;
    for (at, name) in names {
        let at = f64::min(at, below - 15.0);
        canvas.label((right - 4.0, at), 12.0, Anchor::End, name);
        below = at;
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
            // Beside the name of the axis where there is room, else under it.
            (x.at(even).clamp(left + 70.0, right - 70.0), if x.at(even) < left + 150.0 { 34.0 } else { 16.0 }),
            11.5,
            Anchor::Middle,
            &format!("treating pays from {}", short(even)),
        );
    }
    canvas.finish()
}

/// A line's value at a density.
type Line = fn(&CostDot) -> Option<f64>;

/// How a line is drawn: told apart without colour.
#[derive(Clone, Copy)]
enum Stroke {
    Whole,
    Dashes,
    Dots,
    Thin,
}

impl Stroke {
    fn draw(self, canvas: &mut Canvas, path: &[(f64, f64)]) {
        match self {
            Self::Whole => canvas.path(path, INK, 2.2),
            Self::Thin => canvas.path(path, SOFT, 1.0),
            Self::Dashes => path.windows(2).for_each(|pair| canvas.dashed(pair[0], pair[1], INK, 1.8)),
            Self::Dots => path.iter().step_by(2).for_each(|at| canvas.circle(*at, 1.9, INK, INK)),
        }
    }
}

fn short(value: f64) -> String {
    groundlore_quantity::number::significant(value, 2)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn chart() -> CostCurve {
        let curve = (0..=10).map(f64::from).map(|d| CostDot {
            density: d,
            leave: 20.0 * d,
            treat: Some(60.0 + 4.0 * d),
            at_stage: Some(40.0 + 3.0 * d),
            count_again: Some(30.0 + 4.0 * d),
        });
        CostCurve {
            title: "Costs".into(),
            unit: "per ft²".into(),
            currency: "$".into(),
            treat: "treat now".into(),
            curve: curve.collect(),
            thresholds: vec![ThresholdBand { low: 3.0, high: 8.0, name: "European chafer".into() }],
            break_even: Some(3.75),
            counted: Some((2.0, 4.0, 6.5)),
        }
    }

    #[test]
    fn the_break_even_stands_beside_the_published_range_and_the_counts() {
        let svg = draw(&chart(), 640.0);
        for word in [
            "treating pays from 3.8",
            "European chafer",
            "counted: 4",
            "leave",
            "treat now",
            "treat at its stage",
            "count again first",
            "per ft²",
            "$",
        ] {
            assert!(svg.contains(word), "{word}");
        }
        assert!(!svg.contains("NaN") && svg.matches("url(#cross)").count() == 1);
    }

    #[test]
    fn names_of_lines_that_end_together_stand_apart() {
        let curve = vec![
            CostDot { density: 0.0, leave: 0.0, treat: Some(5.0), at_stage: Some(5.0), count_again: Some(5.0) },
            CostDot { density: 9.0, leave: 90.0, treat: Some(90.0), at_stage: Some(90.0), count_again: Some(90.0) },
        ];
        let svg = draw(&CostCurve { curve, ..chart() }, 640.0);
        let at = |name: &str| {
            let before = &svg[..svg.find(&format!(">{name}<")).unwrap()];
            let y = before.rfind(" y=\"").unwrap() + 4;
            before[y..].split('"').next().unwrap().parse::<f64>().unwrap()
        };
        let mut heights = [at("leave"), at("treat now"), at("treat at its stage"), at("count again first")];
        heights.sort_by(f64::total_cmp);
        assert!(heights.windows(2).all(|w| w[1] - w[0] >= 14.9), "{heights:?}");
    }

    #[test]
    fn what_is_not_known_has_no_line() {
        let known = chart();
        let curve = known.curve.iter().map(|d| CostDot { treat: None, count_again: None, ..*d }).collect();
        let svg = draw(&CostCurve { curve, ..known }, 640.0);
        assert!(!svg.contains(">treat now<") && svg.contains(">treat at its stage<"));
    }

    #[test]
    fn without_prices_it_says_so() {
        assert!(draw(&CostCurve { curve: Vec::new(), ..chart() }, 640.0).contains("without prices"));
    }
}
