//! Bloom month by month.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, PAPER, SOFT, shortened};

/// A plant's row.
#[derive(Debug, Clone)]
pub struct BloomRow {
    /// Letter and name.
    pub name: String,
    /// In bloom in each month, January first.
    pub months: [bool; 12],
    /// Colour, in words.
    pub colour: String,
}

const MONTHS: [&str; 12] = ["J", "F", "M", "A", "M", "J", "J", "A", "S", "O", "N", "D"];

/// Draws the rows, and under them how many kinds are in bloom; wished months are marked at the head, and gaps are ringed.
pub fn draw(rows: &[BloomRow], wished: &[u8], width: f64) -> String {
    let left = (width * 0.42).min(260.0);
    let cell = (width - left - 12.0) / 12.0;
    let height = 40.0 + 20.0 * rows.len() as f64 + 28.0;
    let mut canvas = Canvas::new(width, height, "Bloom month by month");
    for (month, initial) in MONTHS.iter().enumerate() {
        let x = left + cell * (month as f64 + 0.5);
        let is_wished = wished.contains(&(month as u8 + 1));
        canvas.text((x, 22.0), 13.0, Anchor::Middle, if is_wished { INK } else { SOFT }, initial);
        if is_wished {
            canvas.line((x - cell * 0.35, 28.0), (x + cell * 0.35, 28.0), ACCENT, 2.0);
        }
    }
    for (place, row) in rows.iter().enumerate() {
        let y = 36.0 + 20.0 * place as f64;
        canvas.text((8.0, y + 13.0), 12.5, Anchor::Start, INK, &shortened(&format!("{}, {}", row.name, row.colour), left - 12.0, 12.5));
        for month in (0..12).filter(|m| row.months[*m]) {
            canvas.rect((left + cell * month as f64, y + 3.0), (cell, 12.0), INK, INK);
        }
    }
    let y = 36.0 + 20.0 * rows.len() as f64;
    canvas.line((8.0, y + 2.0), (width - 8.0, y + 2.0), SOFT, 0.8);
    canvas.text((8.0, y + 19.0), 12.5, Anchor::Start, SOFT, "kinds in bloom");
    for month in 0..12 {
        let count = rows.iter().filter(|row| row.months[month]).count();
        let x = left + cell * (month as f64 + 0.5);
        if wished.contains(&(month as u8 + 1)) && count < 3 {
            canvas.circle((x, y + 15.0), 9.0, PAPER, ACCENT);
        }
        canvas.text((x, y + 19.0), 12.5, Anchor::Middle, if count == 0 { SOFT } else { INK }, &count.to_string());
    }
    canvas.finish()
}
