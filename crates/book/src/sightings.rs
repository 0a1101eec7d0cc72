//! What was seen of the season's events: the first grubs hatched, a bloom open, crabgrass up.

use jiff::civil::Date;

use crate::book::Reading;
use crate::error::BookError;
use crate::record::{Amendable, record};

record! {
    /// One sight of an event at a yard.
    pub struct Sighting in "sightings" {
        /// The yard.
        yard_id: i64,
        /// The event's key.
        event: String => Filled,
        /// The day it was seen.
        date: Date,
        /// Days by which it came later (below 0: earlier) than the clock had said, at the time of writing.
        residual_days: Option<f64>,
        /// Who saw it.
        who: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for Sighting {}

impl Reading {
    /// All sightings, oldest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn sightings(&self) -> Result<Vec<Sighting>, BookError> {
        self.rows_where("1 ORDER BY date, id", [])
    }
}
