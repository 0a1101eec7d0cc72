//! The pen: a small SVG writer with the house's ink, paper, accent and patterns.

use std::fmt::Write as _;

/// Ink.
pub const INK: &str = "#2a2520";
/// Softer ink, for axes and small print (contrast above 4.5:1 on the paper).
pub const SOFT: &str = "#6a6158";
/// Paper.
pub const PAPER: &str = "#fbf7ee";
/// The one accent.
pub const ACCENT: &str = "#8f3d1f";
/// Fonts: the one that papers embed, then what a page has.
pub const FONTS: &str = "Libertinus Serif, Georgia, serif";

/// A picture in the making.
#[derive(Debug)]
pub struct Canvas {
    width: f64,
    height: f64,
    body: String,
    title: String,
}

/// Where text stands to its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The point is its start.
    Start,
    /// The point is its middle.
    Middle,
    /// The point is its end.
    End,
}

impl Canvas {
    /// An empty picture of a size, with a title for those who hear it read.
    pub fn new(width: f64, height: f64, title: &str) -> Self {
        Self { width, height, body: String::new(), title: title.to_owned() }
    }

    /// Width.
    pub fn width(&self) -> f64 {
        self.width
    }

    /// A straight line.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), stroke: &str, width: f64) {
        let _ = write!(
            self.body,
            r#"<line x1="{}" y1="{}" x2="{}" y2="{}" stroke="{stroke}" stroke-width="{width}"/>"#,
            r(from.0),
            r(from.1),
            r(to.0),
            r(to.1)
        );
    }

    /// A dashed line.
    pub fn dashed(&mut self, from: (f64, f64), to: (f64, f64), stroke: &str, width: f64) {
        let _ = write!(
            self.body,
            r#"<line x1="{}" y1="{}" x2="{}" y2="{}" stroke="{stroke}" stroke-width="{width}" stroke-dasharray="4 3"/>"#,
            r(from.0),
            r(from.1),
            r(to.0),
            r(to.1)
        );
    }

    /// A rectangle.
    pub fn rect(&mut self, at: (f64, f64), size: (f64, f64), fill: &str, stroke: &str) {
        let _ = write!(
            self.body,
            r#"<rect x="{}" y="{}" width="{}" height="{}" fill="{fill}" stroke="{stroke}"/>"#,
            r(at.0),
            r(at.1),
            r(size.0.max(0.0)),
            r(size.1.max(0.0))
        );
    }

    /// A circle.
    pub fn circle(&mut self, at: (f64, f64), radius: f64, fill: &str, stroke: &str) {
        let _ = write!(self.body, r#"<circle cx="{}" cy="{}" r="{}" fill="{fill}" stroke="{stroke}"/>"#, r(at.0), r(at.1), r(radius));
    }

    /// An open path through points.
    pub fn path(&mut self, points: &[(f64, f64)], stroke: &str, width: f64) {
        let _ = write!(
            self.body,
            r#"<path d="{}" fill="none" stroke="{stroke}" stroke-width="{width}" stroke-linejoin="round"/>"#,
            path_data(points, false)
        );
    }

    /// A filled shape of rings; holes are cut out.
    pub fn rings(&mut self, rings: &[Vec<(f64, f64)>], fill: &str, stroke: &str, width: f64) {
        let data: String = rings.iter().map(|ring| path_data(ring, true)).collect();
        let _ = write!(
            self.body,
            r#"<path d="{data}" fill="{fill}" fill-rule="evenodd" stroke="{stroke}" stroke-width="{width}" stroke-linejoin="round"/>"#
        );
    }

    /// Text.
    pub fn text(&mut self, at: (f64, f64), size: f64, anchor: Anchor, fill: &str, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let _ = write!(
            self.body,
            r#"<text x="{}" y="{}" font-size="{size}" text-anchor="{anchor}" fill="{fill}">{}</text>"#,
            r(at.0),
            r(at.1),
            escape(text)
        );
    }

    /// Text with a halo of paper, to stand on a map.
    pub fn label(&mut self, at: (f64, f64), size: f64, anchor: Anchor, text: &str) {
        let word = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let _ = write!(
            self.body,
            r#"<text x="{0}" y="{1}" font-size="{size}" text-anchor="{word}" fill="none" stroke="{PAPER}" stroke-width="3" stroke-linejoin="round">{2}</text>"#,
            r(at.0),
            r(at.1),
            escape(text)
        );
        self.text(at, size, anchor, INK, text);
    }

    /// The whole document.
    pub fn finish(self) -> String {
        let Self { width, height, body, title } = self;
        format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}" width="{w}" height="{h}" role="img" font-family="{FONTS}"><title>{title}</title><defs>{PATTERNS}</defs><rect width="{w}" height="{h}" fill="{PAPER}"/>{body}</svg>"##,
            w = r(width),
            h = r(height),
            title = escape(&title)
        )
    }
}

/// Patterns by which fills are told apart in grey: `url(#dots)`, `url(#hatch)`, `url(#cross)`, `url(#lines)`, `url(#waves)`.
const PATTERNS: &str = r##"<pattern id="dots" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" height="7" fill="#f1eddc"/><circle cx="2" cy="2" r="0.6" fill="#8d8a6a"/><circle cx="5.5" cy="5.5" r="0.6" fill="#8d8a6a"/></pattern><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="6" height="6" fill="#efe4d3"/><line x1="0" y1="0" x2="0" y2="6" stroke="#a08a6d" stroke-width="1"/></pattern><pattern id="cross" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="7" height="7" fill="#f4e2d8"/><path d="M0 0H7M0 0V7" stroke="#8f3d1f" stroke-width="1"/></pattern><pattern id="lines" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#e9e4da"/><line x1="0" y1="3" x2="6" y2="3" stroke="#bdb4a6" stroke-width="0.8"/></pattern><pattern id="waves" width="12" height="6" patternUnits="userSpaceOnUse"><rect width="12" height="6" fill="#eceae6"/><path d="M0 3Q3 0 6 3T12 3" fill="none" stroke="#6a6158" stroke-width="0.8"/></pattern>"##;

fn path_data(points: &[(f64, f64)], closed: bool) -> String {
    let mut data = String::new();
    for (place, (x, y)) in points.iter().enumerate() {
        let _ = write!(data, "{}{} {}", if place == 0 { "M" } else { "L" }, r(*x), r(*y));
    }
    if closed {
        data.push('Z');
    }
    data
}

/// Rounds a coordinate to a tenth, so that pictures are small and the same everywhere.
pub(crate) fn r(value: f64) -> f64 {
    let rounded = (value * 10.0).round() / 10.0;
    if rounded.is_finite() { rounded + 0.0 } else { 0.0 }
}

/// Width that text of a size takes, about: half its size a letter (a serif face's mean, common practice).
pub(crate) fn room_for(text: &str, size: f64) -> f64 {
    text.chars().count() as f64 * size * LETTER
}

/// Mean width of a letter as a share of the size: 6.2 at 12.5.
const LETTER: f64 = 0.496;

/// Text cut with an ellipsis so that it takes no more than a width.
pub(crate) fn shortened(text: &str, width: f64, size: f64) -> String {
    if room_for(text, size) <= width {
        return text.to_owned();
    }
    let fit = (width / (size * LETTER)).floor().max(1.0) as usize;
    let kept: String = text.chars().take(fit - 1).collect();
    format!("{}…", kept.trim_end_matches([' ', ',', ';']))
}

/// Escapes text for XML.
pub fn escape(text: &str) -> String {
    text.chars().fold(String::with_capacity(text.len()), |mut out, c| {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() && c != '\n' => {}
            c => out.push(c),
        }
        out
    })
}

/// A linear scale from values to places on the canvas.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// Values `low`–`high` stand at places `from`–`to`; an empty range is widened by one.
    pub fn new(low: f64, high: f64, from: f64, to: f64) -> Self {
        let high = if high > low { high } else { low + 1.0 };
        Self { low, high, from, to }
    }

    /// Place of a value.
    pub fn at(&self, value: f64) -> f64 {
        self.from + (value - self.low) / (self.high - self.low) * (self.to - self.from)
    }

    /// Round values for ticks, about `count` of them.
    pub fn ticks(&self, count: usize) -> Vec<f64> {
        let raw = (self.high - self.low) / count.max(1) as f64;
        let power = 10f64.powf(raw.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|s| s * power).find(|s| *s >= raw).unwrap_or(10.0 * power);
        let first = (self.low / step).ceil();
        (0..=count * 3).map(|i| (first + i as f64) * step).take_while(|v| *v <= self.high + step * 1e-9).collect()
    }
}

/// A number for a tick.
pub(crate) fn tick(value: f64) -> String {
    groundlore_quantity::number::significant(if value.abs() < 1e-12 { 0.0 } else { value }, 4)
}
