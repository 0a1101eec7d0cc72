//! Probabilities of causes.

use crate::canvas::{Anchor, Canvas, INK, SOFT, shortened};

/// Size of the names.
const NAMES: f64 = 13.5;
/// Under this width a name stands above its bar.
const STACKED_UNDER: f64 = 480.0;

/// Draws a bar for each cause with its probability, 0–1; harmless causes are drawn hollow.
pub fn draw(causes: &[(String, f64, bool)], width: f64) -> String {
    let stacked = width < STACKED_UNDER;
    let left = if stacked { 8.0 } else { (width * 0.48).min(250.0) };
    let step = if stacked { 42.0 } else { 26.0 };
    let mut canvas = Canvas::new(width, 16.0 + step * causes.len() as f64, "Likely causes");
    for (place, (name, probability, harmless)) in causes.iter().enumerate() {
        let y = 8.0 + step * place as f64;
        let bar = if stacked { y + 20.0 } else { y + 4.0 };
        if stacked {
            canvas.text((left, y + 14.0), NAMES, Anchor::Start, INK, &shortened(name, width - 16.0, NAMES));
        } else {
            canvas.text((left - 8.0, y + 16.0), NAMES, Anchor::End, INK, &shortened(name, left - 12.0, NAMES));
        }
        let length = (width - left - 60.0) * probability.clamp(0.0, 1.0);
        canvas.rect((left, bar), (length.max(1.0), 15.0), if *harmless { "none" } else { INK }, INK);
        canvas.text((left + length + 6.0, bar + 12.0), 13.0, Anchor::Start, SOFT, &format!("{:.0}%", probability * 100.0));
    }
    canvas.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_name_keeps_inside_the_picture_at_any_width() {
        let causes = [("Bacterial leaf scorch of oaks, elms and planes, and what is taken for it".to_owned(), 0.4, false)];
        let wide = draw(&causes, 620.0);
        assert!(wide.contains("Bacterial leaf scorch of oaks, elm…"), "{wide}");
        let narrow = draw(&causes, 320.0);
        assert!(narrow.contains("Bacterial leaf scorch of oaks, elms and plan…"), "{narrow}");
        assert!(narrow.contains(r#"<rect x="8" y="28" width="100.8""#), "{narrow}");
    }
}
