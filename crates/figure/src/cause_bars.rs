//! Probabilities of causes.

use crate::canvas::{Anchor, Canvas, INK, SOFT};

/// Draws a bar for each cause with its probability, 0–1; harmless causes are drawn hollow.
pub fn draw(causes: &[(String, f64, bool)], width: f64) -> String {
    let left = (width * 0.48).min(250.0);
    let mut canvas = Canvas::new(width, 16.0 + 26.0 * causes.len() as f64, "Likely causes");
    for (place, (name, probability, harmless)) in causes.iter().enumerate() {
        let y = 8.0 + 26.0 * place as f64;
        canvas.text((left - 8.0, y + 16.0), 13.5, Anchor::End, INK, name);
        let length = (width - left - 60.0) * probability.clamp(0.0, 1.0);
        canvas.rect((left, y + 4.0), (length.max(1.0), 15.0), if *harmless { "none" } else { INK }, INK);
        canvas.text((left + length + 6.0, y + 16.0), 13.0, Anchor::Start, SOFT, &format!("{:.0}%", probability * 100.0));
    }
    canvas.finish()
}
