//! Follow-up counts: before and after, on the treated part and on a strip left untreated.

use jiff::civil::Date;
use serde_json::Value as Json;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, record, words};

words! {
    /// Where a follow-up count was made.
    pub enum Strip {
        /// On the treated part.
        #[default]
        Treated = "treated",
        /// On the untreated check strip.
        Untreated = "untreated",
    }
}

words! {
    /// When a follow-up count was made.
    pub enum Moment {
        /// Before the treatment.
        #[default]
        Before = "before",
        /// After the treatment.
        After = "after",
    }
}

record! {
    /// A follow-up: is the trouble less than it was?
    pub struct FollowUp in "follow_ups" {
        /// The yard.
        yard_id: i64,
        /// The treatment followed up.
        treatment_id: Option<i64>,
        /// The application recorded for it.
        application_record_id: Option<i64>,
        /// The area, by the map's name or feature id.
        area: Option<String>,
        /// The trouble, as its lore key.
        trouble: String => Filled,
        /// The control, as its lore key.
        control: Option<String>,
        /// The day to count again.
        due_on: Option<Date>,
        /// The day it was counted.
        done_on: Option<Date>,
        /// Control or change, with its interval.
        result: Option<Json>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for FollowUp {}

record! {
    /// One count of a follow-up.
    pub struct FollowUpCount in "follow_up_counts" {
        /// The follow-up.
        follow_up_id: i64,
        /// Where.
        strip: Strip,
        /// When.
        moment: Moment,
        /// The day.
        date: Date,
        /// How many.
        count: u32,
        /// The area looked at. Blank where the unit is not an area.
        sample_area_m2: Option<f64> => Positive,
        /// The sample as the user wrote it.
        sample_text: Option<String>,
        /// Who counted.
        who: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for FollowUpCount {}

impl Reading {
    /// Follow-ups that were not yet counted, by the day they fall due.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn follow_ups_due(&self) -> Result<Vec<FollowUp>, BookError> {
        self.rows_where("done_on IS NULL ORDER BY due_on IS NULL, due_on, id", [])
    }

    /// The follow-ups of a yard, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn follow_ups_of(&self, yard_id: i64) -> Result<Vec<FollowUp>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY id DESC", [yard_id])
    }

    /// The counts of a follow-up: by strip, before first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn follow_up_counts(&self, follow_up_id: i64) -> Result<Vec<FollowUpCount>, BookError> {
        self.rows_where("follow_up_id = ?1 ORDER BY strip, moment DESC, id", [follow_up_id])
    }
}

impl Writing<'_> {
    /// Writes a follow-up with its counts and returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn add_follow_up(&self, follow_up: &FollowUp, counts: &[FollowUpCount]) -> Result<i64, BookError> {
        let follow_up_id = self.add(follow_up)?;
        for count in counts {
            self.add(&FollowUpCount { follow_up_id, ..count.clone() })?;
        }
        Ok(follow_up_id)
    }
}
