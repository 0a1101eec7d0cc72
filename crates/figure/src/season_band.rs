//! Events of a year with their 10/50/90 % days, and today.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale, room_for, shortened};
use jiff::civil::{Date, date};

/// One event.
#[derive(Debug, Clone)]
pub struct BandRow {
    /// Name.
    pub name: String,
    /// Day that 10 % of futures reach it by; none where it falls among futures without the event.
    pub p10: Option<Date>,
    /// Middle day.
    pub p50: Option<Date>,
    /// Day that 90 % reach it by.
    pub p90: Option<Date>,
    /// A remark (`never in 3 of 10 years`, `memory`).
    pub note: String,
    /// Drawn hollow where the figure behind it is only remembered.
    pub remembered: bool,
}

/// Size of the names.
const NAMES: f64 = 12.5;
/// Size of months and notes.
const SMALL: f64 = 11.0;
/// Under this width a name stands above its bar.
const STACKED_UNDER: f64 = 480.0;

/// Draws the year of `today`: a bar from 10 % to 90 %, a mark at 50 %, a line at today.
pub fn draw(rows: &[BandRow], today: Date, width: f64) -> String {
    let stacked = width < STACKED_UNDER;
    let right = width - 16.0;
    let longest = rows.iter().map(|row| room_for(&row.name, NAMES) + 20.0).fold(60.0, f64::max);
    let left = if stacked { 8.0 } else { longest.min(width * 0.48) };
    let step = if stacked { 36.0 } else { 24.0 };
    let top = 42.0;
    let height = top + step * rows.len() as f64 + 12.0;
    let first = date(today.year(), 1, 1);
    let last = date(today.year(), 12, 31);
    let days = |day: Date| f64::from(first.until((jiff::Unit::Day, day)).map_or(0, |s| s.get_days()));
    let scale = Scale::new(0.0, days(last), left, right);
    let at = |day: Date| scale.at(days(day)).clamp(left, right);
    let mut canvas = Canvas::new(width, height, "The season, with 10, 50 and 90 % days");
    for (month, name) in ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"].into_iter().enumerate() {
        let x = at(date(today.year(), month as i8 + 1, 1));
        canvas.line((x, top - 8.0), (x, height - 8.0), "#e3dac9", 0.8);
        canvas.text((x + 3.0, top - 12.0), SMALL, Anchor::Start, SOFT, name);
    }
    for (place, row) in rows.iter().enumerate() {
        let line = top + step * place as f64 + 12.0;
        let y = if stacked { line + 14.0 } else { line - 4.0 };
        let next_year = row.p10.is_some_and(|from| from > last);
        let note = match row.p50.or(row.p10).filter(|_| next_year) {
            Some(day) => format!("about {}", day.strftime("%-d %b %Y")),
            None => row.note.clone(),
        };
        let note_room = if note.is_empty() { 0.0 } else { room_for(&note, SMALL) + 8.0 };
        let name_room = if stacked { right - left - note_room } else { left - 20.0 };
        canvas.text((8.0, line), NAMES, Anchor::Start, INK, &shortened(&row.name, name_room, NAMES));
        let (from, bar_end) = (row.p10.map(at), row.p90.map_or(right, at));
        if let Some(from) = from.filter(|_| !next_year) {
            canvas.rect((from, y - 5.0), ((bar_end - from).max(3.0), 10.0), if row.remembered { "none" } else { "#cfc3af" }, INK);
        }
        if let Some(middle) = row.p50.filter(|_| !next_year) {
            canvas.line((at(middle), y - 8.0), (at(middle), y + 8.0), INK, 2.4);
        }
        if note.is_empty() {
            continue;
        }
        if stacked || next_year {
            canvas.text((right, line), SMALL, Anchor::End, SOFT, &note);
        } else if bar_end + note_room <= width {
            canvas.text((bar_end + 5.0, line), SMALL, Anchor::Start, SOFT, &note);
        } else {
            canvas.text((from.unwrap_or(bar_end) - 5.0, line), SMALL, Anchor::End, SOFT, &note);
        }
    }
    canvas.line((at(today), top - 10.0), (at(today), height - 6.0), ACCENT, 1.6);
    canvas.label((at(today).clamp(20.0, width - 20.0), top - 29.0), 11.0, Anchor::Middle, "today");
    canvas.finish()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn names_are_cut_before_the_bars_begin() {
        let day = |month, at| Some(date(2015, month, at));
        let name = "large larvae, about to drop, Sawfly larvae of the evergreen hedge";
        let row = BandRow { name: name.to_owned(), p10: day(1, 1), p50: day(2, 1), p90: day(3, 1), note: String::new(), remembered: false };
        let svg = draw(std::slice::from_ref(&row), date(2015, 8, 17), 500.0);
        assert!(svg.contains(r#"<rect x="240""#), "the bars begin at 48 % of the width: {svg}");
        assert!(svg.contains("large larvae, about to drop, Sawfl…"), "{svg}");
        let narrow = draw(&[row], date(2015, 8, 17), 320.0);
        assert!(narrow.contains(r#"<rect x="8""#) && narrow.contains("large larvae, about to drop, Sawfly larvae of"), "{narrow}");
    }

    #[test]
    fn a_note_stands_beside_its_bar_never_over_it() {
        let day = |month, at| Some(date(2015, month, at));
        let row = BandRow {
            name: "first frost".to_owned(),
            p10: day(10, 1),
            p50: day(11, 1),
            p90: day(12, 30),
            note: "not in 20%".to_owned(),
            remembered: false,
        };
        let svg = draw(&[row], date(2015, 8, 17), 720.0);
        let bar: f64 = svg.split("fill=\"#cfc3af\"").next().and_then(|s| s.rsplit("x=\"").next()?.split('"').next()?.parse().ok()).unwrap();
        let note: f64 =
            svg.split(">not in 20%").next().and_then(|s| s.rsplit("<text x=\"").next()?.split('"').next()?.parse().ok()).unwrap();
        assert!(note < bar, "the note ends at {note}, the bar begins at {bar}");
    }
}
