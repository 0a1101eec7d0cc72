//! The fonts, loaded once: Libertinus Serif for text, and those that fill in signs it lacks.

use std::sync::LazyLock;
use typst::foundations::Bytes;
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;

/// The fonts and the book that finds them.
pub(crate) struct Case {
    /// The fonts.
    pub(crate) fonts: Vec<Font>,
    /// What they are called and what they can print.
    pub(crate) book: LazyHash<FontBook>,
}

/// The one case.
pub(crate) static CASE: LazyLock<Case> = LazyLock::new(|| {
    let fonts: Vec<Font> = typst_assets::fonts().flat_map(|data| Font::iter(Bytes::new(data))).collect();
    let book = LazyHash::new(FontBook::from_fonts(&fonts));
    Case { fonts, book }
});

impl Case {
    /// Whether any of the fonts has a letter.
    pub(crate) fn has(&self, letter: char) -> bool {
        self.fonts.iter().any(|font| font.info().coverage.contains(u32::from(letter)))
    }
}
