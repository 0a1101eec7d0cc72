//! The shelves of the lore: which folder or file holds which kind of entry.

use crate::control::Control;
use crate::event_clock::EventClock;
use crate::finding::Finding;
use crate::library::Lore;
use crate::material::{Material, SourceEntry, WorkNorm};
use crate::plant::Plant;
use crate::telling::Telling;
use crate::trouble::Trouble;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;

/// A kind of entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Shelf {
    /// `troubles/<key>.toml`.
    Troubles,
    /// `findings/*.toml`, several to a file as `[[finding]]`.
    Findings,
    /// `plants/<key>.toml`.
    Plants,
    /// `controls/<key>.toml`.
    Controls,
    /// `materials/<key>.toml`.
    Materials,
    /// `work_norms/<key>.toml`.
    WorkNorms,
    /// `sources.toml`, as `[[source]]`.
    Sources,
    /// `clocks/*.toml`, several to a file as `[[clock]]`.
    Clocks,
    /// `tellings/*.toml`, several to a file, each under its trouble's key as `[dollar-spot]`.
    Tellings,
}

impl Shelf {
    /// All shelves, in the order in which they are read.
    pub const ALL: [Self; 9] = [
        Self::Sources,
        Self::Findings,
        Self::Troubles,
        Self::Plants,
        Self::Controls,
        Self::Materials,
        Self::WorkNorms,
        Self::Clocks,
        Self::Tellings,
    ];

    /// Folder (or, for the sources, the file) in the lore folder.
    pub fn place(self) -> &'static str {
        match self {
            Self::Troubles => "troubles",
            Self::Findings => "findings",
            Self::Plants => "plants",
            Self::Controls => "controls",
            Self::Materials => "materials",
            Self::WorkNorms => "work_norms",
            Self::Sources => "sources.toml",
            Self::Clocks => "clocks",
            Self::Tellings => "tellings",
        }
    }

    /// The word of the `[[…]]` header where several entries share a file.
    pub fn listed_as(self) -> Option<&'static str> {
        match self {
            Self::Findings => Some("finding"),
            Self::Sources => Some("source"),
            Self::Clocks => Some("clock"),
            _ => None,
        }
    }

    /// True where several entries share a file, so that a place in it is told with the entry's key.
    pub fn shares_files(self) -> bool {
        self.listed_as().is_some() || self == Self::Tellings
    }

    /// The shelf to which a file of the lore folder belongs, by its relative path with `/` between parts.
    pub(crate) fn of_file(path: &str) -> Option<Self> {
        if path == Self::Sources.place() {
            return Some(Self::Sources);
        }
        let (folder, file) = path.split_once('/')?;
        let is_entry = !file.contains('/') && file.ends_with(".toml");
        Self::ALL.into_iter().find(|shelf| is_entry && shelf.place() == folder)
    }
}

/// An entry that stands on a shelf.
pub(crate) trait Entry: DeserializeOwned {
    const SHELF: Shelf;
    fn key(&self) -> &str;
    fn shelf(lore: &mut Lore) -> &mut BTreeMap<String, Self>;
}

macro_rules! stands_on {
    ($($entry:ty => $shelf:ident, $field:ident;)*) => {$(
        impl Entry for $entry {
            const SHELF: Shelf = Shelf::$shelf;
            fn key(&self) -> &str {
                &self.key
            }
            fn shelf(lore: &mut Lore) -> &mut BTreeMap<String, Self> {
                &mut lore.$field
            }
        }
    )*};
}

stands_on! {
    Trouble => Troubles, troubles;
    Finding => Findings, findings;
    Plant => Plants, plants;
    Control => Controls, controls;
    Material => Materials, materials;
    WorkNorm => WorkNorms, work_norms;
    SourceEntry => Sources, sources;
    EventClock => Clocks, clocks;
    Telling => Tellings, tellings;
}
