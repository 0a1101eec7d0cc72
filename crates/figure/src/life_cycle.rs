//! The life of a trouble through the year: a band for each stage, when its signs show, and when it is best counted.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, PAPER, SOFT, Scale, room_for, shortened};
use jiff::ToSpan as _;
use jiff::civil::Date;

/// What a band is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Band {
    /// A stage on which a control works.
    Treatable,
    /// Any other stage.
    Stage,
    /// When its signs show.
    Signs,
    /// When counting tells most.
    Count,
}

impl Band {
    /// Fill that is told apart in grey.
    fn fill(self) -> &'static str {
        match self {
            Self::Treatable => SOFT,
            Self::Stage => "url(#hatch)",
            Self::Signs => "url(#dots)",
            Self::Count => "url(#lines)",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Treatable => "a control works",
            Self::Stage => "other stages",
            Self::Signs => "signs show",
            Self::Count => "best counted",
        }
    }
}

/// One row.
#[derive(Debug, Clone)]
pub struct LifeRow {
    /// Name.
    pub name: String,
    /// What it is.
    pub band: Band,
    /// First day: 1 year of 10 has it by then, or the calendar's first day. None where it does not come.
    pub from: Option<Date>,
    /// Day that half the years have it by; none for days of the calendar.
    pub middle: Option<Date>,
    /// Last day; none where it runs beyond the year.
    pub to: Option<Date>,
    /// A remark, short (`not in 20%`).
    pub note: String,
    /// True for days of the calendar, which come again each year.
    pub yearly: bool,
    /// Drawn with a broken edge where the dates are only remembered.
    pub remembered: bool,
}

/// What is drawn.
#[derive(Debug, Clone)]
pub struct LifeCycle {
    /// Title for those who hear it read.
    pub title: String,
    /// First day of the year shown: 1 January, or 1 July south of the equator.
    pub first: Date,
    /// Today, where it lies in that year.
    pub today: Option<Date>,
    /// The rows.
    pub rows: Vec<LifeRow>,
}

/// Size of the names.
const NAMES: f64 = 12.5;
/// Size of months, notes and key.
const SMALL: f64 = 11.0;
/// Under this width a name stands above its band.
const STACKED_UNDER: f64 = 480.0;

/// The days of a band that fall in the year from `first`, as pairs of days since it; what comes each year may fall into two pieces.
fn pieces(row: &LifeRow, first: Date) -> Vec<(f64, f64)> {
    let year = days_between(first, first.saturating_add(1.year()));
    let Some(from) = row.from else { return Vec::new() };
    let start = days_between(first, from);
    let end = row.to.map_or(year.max(start), |to| days_between(first, to) + 1.0);
    let turns: &[f64] = if row.yearly { &[-2.0, -1.0, 0.0, 1.0, 2.0] } else { &[0.0] };
    let piece = |turn: &f64| ((start + turn * year).max(0.0), (end + turn * year).min(year));
    turns.iter().map(piece).filter(|(from, to)| to > from).collect()
}

fn days_between(from: Date, to: Date) -> f64 {
    f64::from(from.until((jiff::Unit::Day, to)).map_or(0, |span| span.get_days()))
}

/// Draws the year: a band from 10 % to 90 % for each stage, a mark at the middle, a line at today, and the key below.
pub fn draw(chart: &LifeCycle, width: f64) -> String {
    let stacked = width < STACKED_UNDER;
    let longest = chart.rows.iter().map(|row| room_for(&row.name, NAMES) + 20.0).fold(60.0, f64::max);
    let left = if stacked { 8.0 } else { longest.min(width * 0.42) };
    let step = if stacked { 38.0 } else { 24.0 };
    let (top, right) = (42.0, width - 10.0);
    let foot = top + step * chart.rows.len() as f64 + 4.0;
    let keys = key(chart, width);
    let height = foot + 12.0 + 20.0 * keys.iter().map(|entry| entry.line + 1).max().unwrap_or(0) as f64;
    let year = days_between(chart.first, chart.first.saturating_add(1.year()));
    let scale = Scale::new(0.0, year, left, right);
    let mut canvas = Canvas::new(width, height, &chart.title);
    for month in 0..12 {
        let day = chart.first.saturating_add(month.months());
        let x = scale.at(days_between(chart.first, day));
        canvas.line((x, top - 8.0), (x, foot), "#e3dac9", 0.8);
        canvas.text((x + 2.0, top - 12.0), SMALL, Anchor::Start, SOFT, &day.strftime("%b").to_string());
    }
    for (place, row) in chart.rows.iter().enumerate() {
        let y = top + step * place as f64;
        draw_row(&mut canvas, row, &pieces(row, chart.first), scale, (y, left, right));
    }
    if let Some(x) = chart.today.map(|day| days_between(chart.first, day)).filter(|at| (0.0..=year).contains(at)).map(|at| scale.at(at)) {
        canvas.line((x, top - 10.0), (x, foot), ACCENT, 1.6);
        canvas.label((x.clamp(20.0, width - 20.0), top - 28.0), SMALL, Anchor::Middle, "today");
    }
    for entry in &keys {
        let y = foot + 12.0 + 20.0 * entry.line as f64;
        edged(&mut canvas, ((entry.x, y), (18.0, 10.0)), entry.fill, entry.broken);
        canvas.text((entry.x + 24.0, y + 9.0), SMALL, Anchor::Start, INK, entry.words);
    }
    canvas.finish()
}

/// A row at its height `y`, with the band's room from `left` to `right`.
fn draw_row(canvas: &mut Canvas, row: &LifeRow, pieces: &[(f64, f64)], scale: Scale, (y, left, right): (f64, f64, f64)) {
    let stacked = left < 20.0;
    let note_room = if row.note.is_empty() { 0.0 } else { room_for(&row.note, SMALL) + 10.0 };
    let name_room = if stacked { right - left - note_room } else { left - 20.0 };
    canvas.text((8.0, y + 12.0), NAMES, Anchor::Start, INK, &shortened(&row.name, name_room, NAMES));
    let bar = if stacked { y + 18.0 } else { y + 3.0 };
    for (from, to) in pieces {
        let size = ((scale.at(*to) - scale.at(*from)).max(3.0), 11.0);
        edged(canvas, ((scale.at(*from), bar), size), row.band.fill(), row.remembered);
    }
    if let Some(x) = row.middle.and(pieces.first()).and(row.middle).map(|day| scale.at(days_between_at(row, day, pieces))) {
        canvas.line((x, bar - 3.0), (x, bar + 14.0), PAPER, 5.0);
        canvas.line((x, bar - 3.0), (x, bar + 14.0), INK, 2.4);
    }
    if row.note.is_empty() {
        return;
    }
    if stacked {
        canvas.text((right, y + 12.0), SMALL, Anchor::End, SOFT, &row.note);
        return;
    }
    let end = pieces.last().map_or(left, |piece| scale.at(piece.1));
    let start = pieces.first().map_or(left, |piece| scale.at(piece.0));
    if end + note_room < right {
        canvas.text((end + 6.0, y + 12.0), SMALL, Anchor::Start, SOFT, &row.note);
    } else if start - note_room > left {
        canvas.text((start - 6.0, y + 12.0), SMALL, Anchor::End, SOFT, &row.note);
    }
}

/// Place of the middle day, held to the band that is drawn.
fn days_between_at(row: &LifeRow, day: Date, pieces: &[(f64, f64)]) -> f64 {
    let from = row.from.map_or(0.0, |from| days_between(from, day));
    let (first, last) = (pieces.first().map_or(0.0, |p| p.0), pieces.last().map_or(0.0, |p| p.1));
    (first + from).clamp(first, last)
}

/// A box with a whole or a broken edge.
fn edged(canvas: &mut Canvas, (at, size): ((f64, f64), (f64, f64)), fill: &str, broken: bool) {
    if !broken {
        canvas.rect(at, size, fill, INK);
        return;
    }
    canvas.rect(at, size, fill, "none");
    let (far, low) = (at.0 + size.0, at.1 + size.1);
    for (from, to) in [(at, (far, at.1)), ((far, at.1), (far, low)), ((far, low), (at.0, low)), ((at.0, low), at)] {
        canvas.dashed(from, to, INK, 1.0);
    }
}

/// An entry of the key.
#[derive(Debug)]
struct KeyEntry {
    x: f64,
    line: usize,
    fill: &'static str,
    broken: bool,
    words: &'static str,
}

/// The key of what is drawn, in as many lines as it needs.
fn key(chart: &LifeCycle, width: f64) -> Vec<KeyEntry> {
    let bands = [Band::Treatable, Band::Stage, Band::Signs, Band::Count];
    let drawn = bands.into_iter().filter(|band| chart.rows.iter().any(|row| row.band == *band));
    let mut wanted: Vec<(&'static str, bool, &'static str)> = drawn.map(|band| (band.fill(), false, band.words())).collect();
    if chart.rows.iter().any(|row| row.remembered) {
        wanted.push(("none", true, "remembered, not read"));
    }
    let (mut x, mut line) = (8.0, 0);
    wanted
        .into_iter()
        .map(|(fill, broken, words)| {
            let room = room_for(words, SMALL) + 40.0;
            if x > 8.0 && x + room > width {
                (x, line) = (8.0, line + 1);
            }
            let entry = KeyEntry { x, line, fill, broken, words };
            x += room;
            entry
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn row(from: Date, to: Date, yearly: bool) -> LifeRow {
        LifeRow {
            name: "small grubs".to_owned(),
            band: Band::Treatable,
            from: Some(from),
            middle: None,
            to: Some(to),
            note: String::new(),
            yearly,
            remembered: false,
        }
    }

    #[test]
    fn what_crosses_the_new_year_falls_into_two_pieces() {
        let winter = row(date(2015, 11, 1), date(2016, 2, 29), true);
        assert_eq!(pieces(&winter, date(2015, 1, 1)), [(0.0, 60.0), (304.0, 365.0)]);
        assert_eq!(pieces(&winter, date(2015, 7, 1)), [(123.0, 244.0)], "south of the equator it is one");
        let this_year = row(date(2015, 11, 1), date(2016, 2, 29), false);
        assert_eq!(pieces(&this_year, date(2015, 1, 1)), [(304.0, 365.0)]);
    }

    #[test]
    fn every_kind_of_band_has_its_own_fill_and_its_own_words() {
        let rows = [Band::Treatable, Band::Stage, Band::Signs, Band::Count];
        for (place, band) in rows.iter().enumerate() {
            assert!(rows[..place].iter().all(|other| other.fill() != band.fill() && other.words() != band.words()));
        }
    }

    #[test]
    fn no_letter_is_smaller_than_eleven_and_the_names_fit_a_telephone() {
        let mut long = row(date(2015, 6, 25), date(2015, 8, 7), true);
        long.name = "crawlers walk out over the bark and settle on twigs and needles".to_owned();
        long.note = "not in 20%".to_owned();
        let chart = LifeCycle { title: "Life".to_owned(), first: date(2015, 1, 1), today: Some(date(2015, 8, 17)), rows: vec![long] };
        for width in [320.0, 720.0] {
            let svg = draw(&chart, width);
            let sizes = svg.split("font-size=\"").skip(1).filter_map(|rest| rest.split('"').next()?.parse::<f64>().ok());
            assert!(sizes.fold(f64::MAX, f64::min) >= 11.0, "{svg}");
            assert!(svg.contains("not in 20%") && svg.contains('…'), "{svg}");
        }
    }
}
