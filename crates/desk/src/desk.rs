//! A book with its lore and weather, on a day.

use crate::DeskError;
use crate::events::KnownEvents;
use crate::forecast::MadeFutures;
use crate::station::Stations;
use groundlore_book::Book;
use groundlore_book::firm::Firm;
use groundlore_lore::Lore;
use groundlore_plant_health::letter::Reader;
use groundlore_sheet::{Letterhead, Sheet};
use groundlore_weather::{Ensemble, Series};
use jiff::Timestamp;
use jiff::civil::Date;
use std::path::Path;
use std::sync::{Arc, OnceLock};

/// The desk: everything a use case needs. It never asks the clock: the day is given.
#[derive(Debug)]
pub struct Desk {
    /// The firm's book.
    pub book: Book,
    /// What is known.
    pub lore: Arc<Lore>,
    /// The day it is.
    pub today: Date,
    /// The moment of writing, for logs.
    pub now: Timestamp,
    pub(crate) stations: Stations,
    pub(crate) made_futures: MadeFutures,
    pub(crate) events: KnownEvents,
    reader: OnceLock<Arc<Reader>>,
}

impl Desk {
    /// A desk over a book, with lore, on a day.
    pub fn new(book: Book, lore: Arc<Lore>, today: Date, now: Timestamp) -> Self {
        Self {
            book,
            lore,
            today,
            now,
            stations: Stations::default(),
            made_futures: MadeFutures::default(),
            events: KnownEvents::default(),
            reader: OnceLock::new(),
        }
    }

    /// Loads lore: ours, with a firm's overlay folder over it.
    ///
    /// # Errors
    /// Every wrong entry, by file and line.
    pub fn load_lore(overlay: Option<&Path>) -> Result<Arc<Lore>, DeskError> {
        let lore = overlay.map_or_else(Lore::built_in, Lore::built_in_with).map_err(|e| DeskError::Lore(e.to_string()))?;
        Ok(Arc::new(lore))
    }

    /// The reader of letters, built once.
    pub fn reader(&self) -> Arc<Reader> {
        Arc::clone(self.reader.get_or_init(|| Arc::new(Reader::new(&self.lore))))
    }

    /// The firm.
    ///
    /// # Errors
    /// Where the book has none yet.
    pub fn firm(&self) -> Result<Firm, DeskError> {
        self.book.firm()?.ok_or_else(|| DeskError::missing("the book names no firm", "run `groundlore book firm NAME` first"))
    }

    /// The weather of a station up to the day before today (nothing later is looked at), with its gaps filled and marked.
    ///
    /// # Errors
    /// Where the station's file is not in the book or cannot be read.
    pub fn weather(&self, station: &str) -> Result<Arc<Series>, DeskError> {
        self.stations.series(&self.book, station)
    }

    /// This year so far with each past year as what may come, made once a day and station.
    ///
    /// # Errors
    /// As [`Desk::weather`]; a record that ends before today or holds too few whole years.
    pub fn ensemble(&self, station: &str) -> Result<Arc<Ensemble>, DeskError> {
        self.stations.ensemble(&self.book, station, self.today)
    }

    /// A sheet with the firm at its head.
    pub fn sheet(&self, kind: &str, title: impl Into<String>) -> Sheet {
        let mut sheet = Sheet::new(kind, title, self.today);
        if let Ok(Some(firm)) = self.book.firm() {
            sheet.letterhead = Some(Letterhead { name: firm.name, lines: firm.place.into_iter().collect() });
        }
        sheet
    }
}
