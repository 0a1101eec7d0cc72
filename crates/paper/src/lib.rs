//! Paper: a [`Sheet`] set as a PDF that an office can send and a crew can write on.
//!
//! One fixed template sets every kind of sheet. It is given the sheet as data, never as markup, so nothing that a person typed can change
//! how the page is made. The same sheet gives the same bytes on every machine: the fonts are inside, the date is the sheet's own, and
//! nothing is read from disk or network.
//!
//! The result is tagged PDF/A-2a (ISO 19005-2) that also claims PDF/UA-1 (ISO 14289-1), with a title, a language and words for each
//! figure. A sheet whose pictures keep it from that is set as tagged PDF 1.7 instead, and [`Paper::archival`] says so.
//!
//! | module | what it does, in the order that a sheet goes through it |
//! | --- | --- |
//! | [`mod@format`] | the page: size and margins |
//! | `copy` | makes the fair copy: what the template is given, with dates in words, the place of days in a window, widths of columns |
//! | `letters` | spells what the fonts can print; gives long words places to break |
//! | `measure` | shares the width of a page among the columns of a table |
//! | `case` | the fonts, loaded once |
//! | `press` | sets the copy and writes the PDF |
//! | `fault` | what can go wrong, in words |
//!
//! ```
//! use groundlore_sheet::{Block, Sheet};
//! let sheet = Sheet::new("crew-sheet", "Monday", jiff::civil::date(2015, 8, 17)).with(Block::paragraph("Bring the long tape."));
//! let bytes = groundlore_paper::pdf(&sheet)?;
//! assert!(bytes.starts_with(b"%PDF-1.7"));
//! # Ok::<(), groundlore_paper::PaperError>(())
//! ```
mod case;
mod copy;
mod fault;
pub mod format;
mod letters;
mod measure;
mod press;

pub use fault::PaperError;
pub use format::PageSize;

use groundlore_sheet::Sheet;

/// A sheet on paper.
#[derive(Debug, Clone)]
pub struct Paper {
    /// The PDF.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
    /// Whether it claims PDF/A-2a and PDF/UA-1; if not, it is tagged PDF 1.7.
    pub archival: bool,
}

/// Sets a sheet on US Letter and gives the PDF.
///
/// # Errors
/// [`PaperError`] where a picture cannot be read, or the sheet cannot be set.
pub fn pdf(sheet: &Sheet) -> Result<Vec<u8>, PaperError> {
    pdf_on(sheet, PageSize::UsLetter)
}

/// Sets a sheet on a page of a size and gives the PDF.
///
/// # Errors
/// As [`pdf`].
pub fn pdf_on(sheet: &Sheet, size: PageSize) -> Result<Vec<u8>, PaperError> {
    Ok(paper(sheet, size)?.bytes)
}

/// Sets a sheet and gives the PDF, the number of its pages, and whether it is fit to be archived.
///
/// # Errors
/// As [`pdf`].
pub fn paper(sheet: &Sheet, size: PageSize) -> Result<Paper, PaperError> {
    press::print(sheet, size)
}
