//! The fonts, loaded once: Libertinus Serif for text, and those that fill in signs it lacks.

use std::sync::LazyLock;
use typst::foundations::Bytes;
use typst::layout::Abs;
use typst::text::{Font, FontBook, FontInstance, FontVariant, FontVariations, FontWeight};
use typst::utils::LazyHash;

/// The fonts and the book that finds them.
pub(crate) struct Case {
    /// The fonts.
    pub(crate) fonts: Vec<Font>,
    /// What they are called and what they can print.
    pub(crate) book: LazyHash<FontBook>,
    /// The half-bold text face, by which columns are measured: a little wider than the plain one.
    face: Option<FontInstance>,
}

/// The one case.
pub(crate) static CASE: LazyLock<Case> = LazyLock::new(|| {
    let fonts: Vec<Font> = typst_assets::fonts().flat_map(|data| Font::iter(Bytes::new(data))).collect();
    let book = LazyHash::new(FontBook::from_fonts(&fonts));
    let variant = FontVariant { weight: FontWeight::SEMIBOLD, ..FontVariant::default() };
    let face = book.select("libertinus serif", variant).and_then(|place| fonts.get(place).cloned());
    let face = face.map(|font| font.instantiate(variant, Abs::pt(10.0), &FontVariations::default()));
    Case { fonts, book, face }
});

impl Case {
    /// Whether any of the fonts has a letter.
    pub(crate) fn has(&self, letter: char) -> bool {
        self.fonts.iter().any(|font| font.info().coverage.contains(u32::from(letter)))
    }

    /// How wide a text runs on one line, in ems of the half-bold face; kerning is left out.
    pub(crate) fn width_em(&self, text: &str) -> f64 {
        let width =
            |letter| self.face.as_ref().and_then(|face| face.x_advance(face.ttf().glyph_index(letter)?.0)).map_or(0.6, |em| em.get());
        text.chars().filter(|letter| *letter != '\u{200b}').map(width).sum()
    }
}
