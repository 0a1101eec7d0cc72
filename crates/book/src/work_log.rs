//! What was worked, where, by whom and for how long.

use jiff::civil::Date;

use crate::book::Reading;
use crate::error::BookError;
use crate::record::{Amendable, record, refuse};

record! {
    /// One line of the log.
    pub struct WorkDone in "work_log" checked by fits_in_a_day {
        /// The yard.
        yard_id: Option<i64>,
        /// The task.
        task_id: Option<i64>,
        /// The day.
        date: Date,
        /// Who.
        who: Option<String>,
        /// What was done.
        what: String => Filled,
        /// Minutes of one person.
        minutes_min: Option<f64> => Positive,
        /// How much was done, as written: `1200 ft2`.
        quantity_text: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for WorkDone {}

fn fits_in_a_day(work: &WorkDone) -> Result<(), BookError> {
    match work.minutes_min {
        Some(minutes) if minutes > 1440.0 => {
            refuse("work_log", "minutes_min", minutes, "A day has 1440 minutes: write one line a day and person, for example 90")
        }
        _ => Ok(()),
    }
}

impl Reading {
    /// The work on a yard, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn work_on(&self, yard_id: i64) -> Result<Vec<WorkDone>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY date DESC, id DESC", [yard_id])
    }

    /// The work between two days, both included.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn work_between(&self, from: Date, to: Date) -> Result<Vec<WorkDone>, BookError> {
        self.rows_where("date BETWEEN ?1 AND ?2 ORDER BY date, id", [from.to_string(), to.to_string()])
    }
}
