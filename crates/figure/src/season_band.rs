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

/// Draws the year of `today`: a bar from 10 % to 90 %, a mark at 50 %, a line at today.
pub fn draw(rows: &[BandRow], today: Date, width: f64) -> String {
    let left = rows.iter().map(|row| room_for(&row.name, NAMES) + 20.0).fold(60.0, f64::max).min(width * 0.48);
    let top = 42.0;
    let height = top + 24.0 * rows.len() as f64 + 12.0;
    let first = date(today.year(), 1, 1);
    let last = date(today.year(), 12, 31);
    let days = |day: Date| f64::from(first.until((jiff::Unit::Day, day)).map_or(0, |s| s.get_days()));
    let scale = Scale::new(0.0, days(last), left, width - 16.0);
    let at = |day: Date| scale.at(days(day)).clamp(left, width - 16.0);
    let mut canvas = Canvas::new(width, height, "The season, with 10, 50 and 90 % days");
    for (month, name) in ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"].into_iter().enumerate() {
        let x = at(date(today.year(), month as i8 + 1, 1));
        canvas.line((x, top - 8.0), (x, height - 8.0), "#e3dac9", 0.8);
        canvas.text((x + 3.0, top - 12.0), 11.0, Anchor::Start, SOFT, name);
    }
    for (place, row) in rows.iter().enumerate() {
        let y = top + 24.0 * place as f64 + 8.0;
        canvas.text((8.0, y + 4.0), NAMES, Anchor::Start, INK, &shortened(&row.name, left - 20.0, NAMES));
        let bar_end = row.p90.map_or(width - 16.0, at);
        if row.p10.is_some_and(|from| from > last) {
            let words = row.p50.or(row.p10).map_or_else(String::new, |day| format!("about {}", day.strftime("%-d %b %Y")));
            canvas.text((width - 16.0, y + 4.0), 10.5, Anchor::End, SOFT, &words);
            continue;
        }
        if let Some(from) = row.p10 {
            let size = ((bar_end - at(from)).max(3.0), 10.0);
            canvas.rect((at(from), y - 5.0), size, if row.remembered { "none" } else { "#cfc3af" }, INK);
        }
        if let Some(middle) = row.p50 {
            canvas.line((at(middle), y - 8.0), (at(middle), y + 8.0), INK, 2.4);
        }
        if !row.note.is_empty() {
            canvas.text((bar_end + 5.0, y + 4.0), 10.5, if bar_end > width - 130.0 { Anchor::End } else { Anchor::Start }, SOFT, &row.note);
        }
    }
    canvas.line((at(today), top - 10.0), (at(today), height - 6.0), ACCENT, 1.6);
    canvas.label((at(today), top - 29.0), 11.0, Anchor::Middle, "today");
    canvas.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_cut_before_the_bars_begin() {
        let day = |month, at| Some(date(2015, month, at));
        let name = "large larvae, about to drop, Sawfly larvae of the evergreen hedge";
        let row = BandRow { name: name.to_owned(), p10: day(1, 1), p50: day(2, 1), p90: day(3, 1), note: String::new(), remembered: false };
        let svg = draw(&[row], date(2015, 8, 17), 360.0);
        assert!(svg.contains(r#"<rect x="172.8""#), "the bars begin at 48 % of the width: {svg}");
        assert!(svg.contains("large larvae, about to…"), "{svg}");
    }
}
