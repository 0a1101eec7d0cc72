//! Probabilities given against what came: on the diagonal they are honest.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale};

/// Cases whose probability lay in one band.
#[derive(Debug, Clone, Copy)]
pub struct ReliabilityBand {
    /// Mean probability given, 0–1.
    pub given: f64,
    /// Share that was right, 0–1.
    pub right: f64,
    /// Ends of its interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Cases in it.
    pub cases: usize,
}

/// Draws each band with its interval and number beside the diagonal.
pub fn draw(title: &str, bands: &[ReliabilityBand], width: f64) -> String {
    let height = 300.0;
    let mut canvas = Canvas::new(width, height, title);
    if bands.is_empty() {
        canvas.text((width / 2.0, 150.0), 14.0, Anchor::Middle, SOFT, "no case gave a probability yet");
        return canvas.finish();
    }
    let right = width.min(420.0) - 20.0;
    let x = Scale::new(0.0, 1.0, 52.0, right);
    let y = Scale::new(0.0, 1.0, height - 44.0, 22.0);
    for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
        canvas.line((52.0, y.at(share)), (right, y.at(share)), "#e3dac9", 0.7);
        canvas.text((47.0, y.at(share) + 4.0), 11.0, Anchor::End, SOFT, &format!("{:.0}%", share * 100.0));
        canvas.text((x.at(share), height - 28.0), 11.0, Anchor::Middle, SOFT, &format!("{:.0}%", share * 100.0));
    }
    canvas.dashed((x.at(0.0), y.at(0.0)), (x.at(1.0), y.at(1.0)), ACCENT, 1.4);
    for band in bands {
        let at = x.at(band.given.clamp(0.0, 1.0));
        canvas.line((at, y.at(band.low.clamp(0.0, 1.0))), (at, y.at(band.high.clamp(0.0, 1.0))), INK, 1.4);
        canvas.circle((at, y.at(band.right.clamp(0.0, 1.0))), 4.0, INK, INK);
        canvas.label((at + 7.0, y.at(band.right.clamp(0.0, 1.0)) + 4.0), 11.0, Anchor::Start, &band.cases.to_string());
    }
    canvas.text((52.0, 12.0), 12.0, Anchor::Start, INK, "right");
    canvas.text((right, height - 8.0), 12.0, Anchor::End, INK, "probability given to the likeliest cause");
    canvas.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_stand_with_their_numbers_beside_the_diagonal() {
        let band = |given: f64, right: f64, cases| ReliabilityBand { given, right, low: right - 0.1, high: right + 0.1, cases };
        let svg = draw("t", &[band(0.3, 0.25, 17), band(0.9, 0.95, 23)], 620.0);
        for word in [">17<", ">23<", "probability given", "stroke-dasharray"] {
            assert!(svg.contains(word), "{word}");
        }
        assert!(draw("t", &[], 620.0).contains("no case"));
    }
}
