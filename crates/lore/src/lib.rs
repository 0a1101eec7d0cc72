//! What is known: troubles, findings, plants, controls, materials and work norms, each figure with its source.
//!
//! The data are TOML files in the project's `lore/` folder, one file an entry (findings and sources share files), embedded in this
//! crate. A firm keeps its own knowledge in an overlay folder of the same layout: an entry there with the same key wins over ours.
//!
//! | room | what it holds |
//! | --- | --- |
//! | [`library`] | [`Lore`]: every shelf in memory, read from the embedded files, from a folder, with an overlay |
//! | [`check`](mod@check) | what a reviewer would ask of an entry: sources, ranges, units, dates, references, words that only a label may say |
//! | [`fault`] | what is wrong, with file, line, field, the value seen and what would be right |
//! | [`shelf`] | which folder holds which kind of entry |
//! | [`provenance`] | [`provenance::Source`] and the ranges that carry one |
//! | [`trouble`], [`finding`] | what goes wrong, and what is seen of it |
//! | [`telling`] | how owners tell of it |
//! | [`control`] | active ingredients, organisms and practices, with the evidence by place and year |
//! | [`event_clock`] | clocks of the season: what comes when, each part with its source |
//! | [`plant`], [`material`] | garden plants; materials, work norms and the list of sources |
//!
//! # Example
//! ```
//! use groundlore_lore::{Lore, check};
//! let lore = Lore::built_in()?;
//! let slid = &lore.controls["bacillus-thuringiensis-galleriae"];
//! let first = &slid.targets[0].evidence[0];
//! assert!(first.control.low >= 0.9, "it controlled nine grubs in ten when it was new");
//! # Ok::<(), groundlore_lore::LoreErrors>(())
//! ```
pub mod check;
pub mod control;
pub mod event_clock;
pub mod fault;
pub mod finding;
pub mod library;
pub mod material;
mod place;
pub mod plant;
pub mod provenance;
mod reading;
mod remedy;
pub mod shelf;
pub mod telling;
pub mod trouble;

pub use check::check;
pub use fault::{LoreErrors, LoreFault, Weight};
pub use library::Lore;
pub use shelf::Shelf;
