//! What can go wrong, in words.

/// A sheet could not be put on paper.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PaperError {
    /// A picture cannot be read.
    #[error(
        "figure {number} (“{caption}”) cannot be drawn: {reason}. Give a whole SVG document, such as \
         <svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 100 60\">…</svg>, that refers to no other file"
    )]
    Figure {
        /// Its place among the figures of the sheet, from 1.
        number: usize,
        /// Its caption, or what it shows if it has none.
        caption: String,
        /// What the reader of SVG said.
        reason: String,
    },
    /// The sheet cannot be written as the data that the template reads.
    #[error("the sheet “{title}” cannot be copied for setting: {reason}")]
    Copy {
        /// Title of the sheet.
        title: String,
        /// Why.
        reason: String,
    },
    /// The sheet cannot be set. This is a fault of ours, not of the sheet.
    #[error("the sheet “{title}” cannot be set: {reason}. Please report it with the sheet's JSON; print it as text meanwhile")]
    Setting {
        /// Title of the sheet.
        title: String,
        /// What the typesetter said.
        reason: String,
    },
}
