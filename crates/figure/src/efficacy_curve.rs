//! Belief in a control by year.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale};

/// A year of the curve, shares 0–1.
#[derive(Debug, Clone, Copy)]
pub struct CurvePoint {
    /// Year.
    pub year: i16,
    /// Lower end.
    pub low: f64,
    /// Middle.
    pub middle: f64,
    /// Upper end.
    pub high: f64,
}

/// Draws the band and its middle; what was observed stands as dots.
pub fn draw(title: &str, curve: &[CurvePoint], observed: &[(i16, f64)], width: f64) -> String {
    let height = 230.0;
    let years = curve.iter().map(|p| p.year).chain(observed.iter().map(|o| o.0));
    let (first, last) = years.fold((i16::MAX, i16::MIN), |(a, b), y| (a.min(y), b.max(y)));
    let mut canvas = Canvas::new(width, height, title);
    if first > last {
        canvas.text((width / 2.0, 110.0), 14.0, Anchor::Middle, SOFT, "nothing is known yet");
        return canvas.finish();
    }
    let x = Scale::new(f64::from(first), f64::from(last), 52.0, width - 22.0);
    let y = Scale::new(0.0, 1.0, height - 34.0, 18.0);
    for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
        canvas.line((48.0, y.at(share)), (width - 14.0, y.at(share)), "#e3dac9", 0.7);
        canvas.text((44.0, y.at(share) + 4.0), 11.0, Anchor::End, SOFT, &format!("{:.0}%", share * 100.0));
    }
    let upper = curve.iter().map(|p| (x.at(f64::from(p.year)), y.at(p.high.clamp(0.0, 1.0))));
    let lower = curve.iter().rev().map(|p| (x.at(f64::from(p.year)), y.at(p.low.clamp(0.0, 1.0))));
    let band: Vec<(f64, f64)> = upper.chain(lower).collect();
    if band.len() > 2 {
        canvas.rings(&[band], "#ddd2bf", "none", 0.0);
    }
    let middle: Vec<(f64, f64)> = curve.iter().map(|p| (x.at(f64::from(p.year)), y.at(p.middle.clamp(0.0, 1.0)))).collect();
    canvas.path(&middle, INK, 2.0);
    for (year, share) in observed {
        canvas.circle((x.at(f64::from(*year)), y.at(share.clamp(0.0, 1.0))), 4.0, ACCENT, ACCENT);
    }
    for value in x.ticks(6).into_iter().filter(|v| v.fract() == 0.0) {
        canvas.text((x.at(value), height - 16.0), 11.0, Anchor::Middle, SOFT, &format!("{value:.0}"));
    }
    canvas.text((48.0, 12.0), 12.0, Anchor::Start, INK, "share controlled");
    canvas.finish()
}
