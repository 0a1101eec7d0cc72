//! Operating curve of a stop rule: how often it answers few, and how many samples it takes, at each true mean.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale, tick};

/// One true mean.
#[derive(Debug, Clone, Copy)]
pub struct OperatingDot {
    /// True mean, in the chart's unit.
    pub value: f64,
    /// Chance that the rule answers few, 0–1.
    pub p_few: f64,
    /// Mean number of samples.
    pub samples: f64,
}

/// What is drawn.
#[derive(Debug, Clone)]
pub struct OperatingChart {
    /// Title for those who hear it read.
    pub title: String,
    /// Unit of the true mean, as `a sample`.
    pub unit: String,
    /// The curve, by rising value.
    pub curve: Vec<OperatingDot>,
    /// Means that are surely few and surely enough to matter, where the rule has such.
    pub ends: Option<(f64, f64)>,
    /// Most samples.
    pub most: u32,
}

/// Draws two panels one over the other on the same axis of true means, spaced by their logarithm.
pub fn draw(chart: &OperatingChart, width: f64) -> String {
    let height = 330.0;
    let mut canvas = Canvas::new(width, height, &chart.title);
    let (Some(first), Some(last)) = (chart.curve.first(), chart.curve.last()) else {
        canvas.text((width / 2.0, 160.0), 14.0, Anchor::Middle, SOFT, "no curve was reckoned");
        return canvas.finish();
    };
    let (left, right) = (46.0, width - 14.0);
    let x = Scale::new(first.value.ln(), last.value.ln(), left, right);
    let chance = Scale::new(0.0, 1.0, 166.0, 22.0);
    let samples = Scale::new(0.0, f64::from(chart.most.max(1)), 290.0, 196.0);
    for share in [0.0, 0.1, 0.5, 0.9, 1.0] {
        canvas.line((left, chance.at(share)), (right, chance.at(share)), "#e3dac9", 0.7);
        canvas.text((left - 5.0, chance.at(share) + 4.0), 11.0, Anchor::End, SOFT, &format!("{:.0}%", share * 100.0));
    }
    for value in samples.ticks(4) {
        canvas.line((left, samples.at(value)), (right, samples.at(value)), "#e3dac9", 0.7);
        canvas.text((left - 5.0, samples.at(value) + 4.0), 11.0, Anchor::End, SOFT, &tick(value));
    }
    if let Some((low, high)) = chart.ends {
        for (value, word) in [(low, "few"), (high, "matters")] {
            if value >= first.value && value <= last.value {
                let at = x.at(value.ln());
                canvas.dashed((at, 22.0), (at, 290.0), ACCENT, 1.2);
                canvas.label((at, 18.0), 11.5, Anchor::Middle, &format!("{word}: {}", tick((value * 100.0).round() / 100.0)));
            }
        }
    }
    let path = |of: &dyn Fn(&OperatingDot) -> f64| chart.curve.iter().map(|d| (x.at(d.value.ln()), of(d))).collect::<Vec<_>>();
    canvas.path(&path(&|d| chance.at(d.p_few.clamp(0.0, 1.0))), INK, 2.0);
    canvas.path(&path(&|d| samples.at(d.samples)), INK, 2.0);
    canvas.line((left, 290.0), (right, 290.0), INK, 1.0);
    for value in log_ticks(first.value, last.value) {
        canvas.text((x.at(value.ln()), 306.0), 11.0, Anchor::Middle, SOFT, &tick(value));
    }
    canvas.text((left, 10.0), 12.0, Anchor::Start, INK, "chance of “few enough”");
    canvas.text((left, 188.0), 12.0, Anchor::Start, INK, "samples, on average");
    canvas.text((right, 324.0), 12.0, Anchor::End, INK, &format!("true mean {}", chart.unit));
    canvas.finish()
}

/// 1, 2 and 5 times powers of ten between two values.
fn log_ticks(low: f64, high: f64) -> Vec<f64> {
    let first = low.log10().floor() as i32;
    let last = high.log10().ceil() as i32;
    let all = (first..=last).flat_map(|power| [1.0, 2.0, 5.0].map(|step| step * 10_f64.powi(power)));
    all.filter(|v| *v >= low * 0.999 && *v <= high * 1.001).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_ends_and_both_panels_are_named() {
        let curve = [1.0, 2.0, 4.0, 8.0].map(|value| OperatingDot { value, p_few: 1.0 / value, samples: value }).to_vec();
        let svg = draw(&OperatingChart { title: "t".into(), unit: "a sample".into(), curve, ends: Some((2.0, 4.0)), most: 12 }, 600.0);
        for word in ["few: 2", "matters: 4", "samples, on average", "true mean a sample", ">5<"] {
            assert!(svg.contains(word), "{word}");
        }
        assert!(!svg.contains("NaN"));
    }

    #[test]
    fn nothing_to_draw_is_said() {
        let empty = OperatingChart { title: "t".into(), unit: String::new(), curve: Vec::new(), ends: None, most: 0 };
        assert!(draw(&empty, 600.0).contains("no curve"));
    }
}
