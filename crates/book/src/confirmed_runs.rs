//! Runs in which the book's own confirmed letters were answered again: how each came out, so that a later run can be set against it.

use jiff::Timestamp;
use serde_json::Value as Json;

use crate::book::Reading;
use crate::error::BookError;
use crate::record::record;

record! {
    /// One run over all confirmed letters. The log is append-only.
    pub struct ConfirmedRun in "confirmed_runs" {
        /// When it was run.
        run_at: Timestamp,
        /// Version of the tool.
        tool: String => Filled,
        /// Which lore it ran on, as a digest of its text.
        lore: String => Filled,
        /// Cases answered.
        cases: u32,
        /// Shares and scores with their intervals.
        summary: Json,
        /// Each case with its score.
        scores: Json,
    }
}

impl Reading {
    /// The newest run before now, if any.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn latest_confirmed_run(&self) -> Result<Option<ConfirmedRun>, BookError> {
        self.first_where("1 ORDER BY id DESC", [])
    }

    /// All runs, oldest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn confirmed_runs(&self) -> Result<Vec<ConfirmedRun>, BookError> {
        self.rows_where("1 ORDER BY id", [])
    }

    /// The newest confirmation of each letter that has one, by letter: what was confirmed last holds.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn confirmed_letters(&self) -> Result<Vec<crate::letters::Diagnosis>, BookError> {
        let condition = "confirmed = 1 AND letter_id IS NOT NULL
            AND id IN (SELECT max(id) FROM diagnoses WHERE confirmed = 1 AND letter_id IS NOT NULL GROUP BY letter_id) ORDER BY letter_id";
        self.rows_where(condition, [])
    }
}
