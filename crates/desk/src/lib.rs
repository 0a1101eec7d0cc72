//! The desk: the use cases of a day's work, one module each. They read the book and lore, call the sciences, cite the reckoner, write
//! findings and tasks back, and tell the person in a [sheet](groundlore_sheet::Sheet) that terminal, page, paper and API share.
//!
//! | to… | go to |
//! | --- | --- |
//! | open a book with its lore and weather, on a day | [`desk`], [`station`] |
//! | bring in a yard's map and see its faults | [`yards`] |
//! | answer an owner's letter | [`letters`] |
//! | plan tasks and see the week | [`tasks`], [`week`] |
//! | say what went wrong | [`error`] |
pub mod desk;
pub mod error;
pub mod letters;
pub mod station;
pub mod tasks;
pub mod week;
pub mod yards;

pub use desk::Desk;
pub use error::DeskError;
pub use groundlore_book as book;
pub use groundlore_lore as lore;
pub use groundlore_sheet as sheet;
