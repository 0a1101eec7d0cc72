//! Scouting counts, grouped in sessions: one person on one yard on one day after one trouble.

use jiff::civil::Date;
use serde_json::Value as Json;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, record, refuse};

record! {
    /// A session of counting.
    pub struct CountSession in "count_sessions" {
        /// The yard.
        yard_id: i64,
        /// The letter that led to it.
        letter_id: Option<i64>,
        /// The trouble looked for, as its lore key.
        trouble: String => Filled,
        /// The day.
        date: Date,
        /// Who counted.
        who: Option<String>,
        /// The plan that was followed: positions, method, stop rule.
        plan: Option<Json>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for CountSession {}

record! {
    /// One count: one look at one place.
    pub struct Count in "counts" checked by share_is_a_share {
        /// Its session.
        session_id: i64,
        /// The area, by the map's name or feature id.
        area: Option<String>,
        /// The trouble, as its lore key.
        trouble: String => Filled,
        /// The species. Blank: not looked at.
        species: Option<String>,
        /// The stage. Blank: not looked at.
        stage: Option<String>,
        /// The stratum, as `margin` or `inside`. Blank: none.
        stratum: Option<String>,
        /// The method: flap, flush, trap, beat.
        method: Option<String>,
        /// The area looked at. Blank where the unit is not an area.
        sample_area_m2: Option<f64> => Positive,
        /// The sample as the user wrote it: `1 ft2`, `10 leaves`.
        sample_text: Option<String>,
        /// How many.
        count: u32,
        /// The day.
        date: Date,
        /// Decimal degrees, north positive.
        latitude: Option<f64> => Latitude,
        /// Decimal degrees, east positive.
        longitude: Option<f64> => Longitude,
        /// Who counted.
        who: Option<String>,
        /// Anything else.
        note: Option<String>,
        /// Of how many the count is a part: points of a quadrat, 100 for per cent, leaves looked at. Blank: a plain count.
        out_of: Option<u32>,
        /// Nights that a trap stood. Blank: not a trap.
        nights: Option<f64> => Positive,
    }
}
impl Amendable for Count {}

/// A part is no larger than its whole.
fn share_is_a_share(count: &Count) -> Result<(), BookError> {
    match count.out_of {
        Some(0) => refuse("counts", "out_of", "0", "It is the number looked at, for example 25 points; blank for a plain count"),
        Some(whole) if count.count > whole => {
            refuse("counts", "count", count.count, &format!("It cannot be more than the {whole} that were looked at"))
        }
        _ => Ok(()),
    }
}

impl Reading {
    /// The sessions of a yard, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn count_sessions_of(&self, yard_id: i64) -> Result<Vec<CountSession>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY date DESC, id DESC", [yard_id])
    }

    /// The counts of a session, in the order they were made.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn counts_in(&self, session_id: i64) -> Result<Vec<Count>, BookError> {
        self.rows_where("session_id = ?1 ORDER BY id", [session_id])
    }

    /// All counts of a trouble in the whole book, session by session, in the order they were made.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn counts_of_trouble(&self, trouble: &str) -> Result<Vec<Count>, BookError> {
        self.rows_where("trouble = ?1 ORDER BY session_id, id", [trouble])
    }

    /// All counts of a trouble on a yard between two days, both included.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn counts_of(&self, yard_id: i64, trouble: &str, from: Date, to: Date) -> Result<Vec<Count>, BookError> {
        let condition = "session_id IN (SELECT id FROM count_sessions WHERE yard_id = ?1)
                         AND trouble = ?2 AND date BETWEEN ?3 AND ?4 ORDER BY date, id";
        self.rows_where(condition, rusqlite::params![yard_id, trouble, from.to_string(), to.to_string()])
    }
}

impl Writing<'_> {
    /// Writes a session with its counts and returns the session's number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn add_count_session(&self, session: &CountSession, counts: &[Count]) -> Result<i64, BookError> {
        let session_id = self.add(session)?;
        for count in counts {
            self.add(&Count { session_id, ..count.clone() })?;
        }
        Ok(session_id)
    }
}
