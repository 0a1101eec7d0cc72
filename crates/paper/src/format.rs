//! The page: size and margins.

/// Size of a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum PageSize {
    /// US Letter, 8½ × 11 in (ANSI/ASME Y14.1, size A).
    #[default]
    UsLetter,
    /// A4, 210 × 297 mm (ISO 216).
    A4,
}

/// A page with its margins, in points (1/72 in).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Page {
    /// Its name for the template.
    pub(crate) name: &'static str,
    /// Margin left and right.
    pub(crate) side_pt: f64,
    /// Width that text may take.
    pub(crate) text_width_pt: f64,
    /// Height that a picture may take.
    pub(crate) figure_height_pt: f64,
}

impl Page {
    /// The page of a sheet; letters get wider margins.
    pub(crate) fn of(size: PageSize, letter: bool) -> Self {
        let (name, width_pt, height_pt) = match size {
            PageSize::UsLetter => ("us-letter", 612.0, 792.0),
            PageSize::A4 => ("a4", 595.28, 841.89),
        };
        let side_pt = if letter { 86.0 } else { 62.0 };
        Self { name, side_pt, text_width_pt: width_pt - 2.0 * side_pt, figure_height_pt: height_pt * 0.42 }
    }
}
