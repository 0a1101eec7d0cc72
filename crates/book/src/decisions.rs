//! What was decided about a trouble, with the odds and the money on either side.

use jiff::civil::Date;
use serde_json::Value as Json;

use crate::book::Reading;
use crate::error::BookError;
use crate::record::{record, refuse, words};

words! {
    /// What was decided.
    pub enum Verdict {
        /// Treat.
        Treat = "treat",
        /// Leave it alone.
        Leave = "leave",
        /// Count more before deciding.
        CountMore = "count more",
        /// Hand it to a laboratory, an arborist, an engineer, a doctor.
        Refer = "refer",
        /// What is known does not settle it.
        #[default]
        CannotTell = "cannot tell",
    }
}

record! {
    /// One decision. Decisions are kept as they were made; a new one stands beside the old.
    pub struct Decision in "decisions" checked by asks_for_counts {
        /// The yard.
        yard_id: i64,
        /// The counts that it rests on.
        session_id: Option<i64>,
        /// The area, by the map's name or feature id.
        area: Option<String>,
        /// The trouble, as its lore key.
        trouble: String => Filled,
        /// The day.
        date: Date,
        /// What was decided.
        verdict: Verdict,
        /// The odds that the verdict is wrong.
        odds_wrong: Option<f64> => Share,
        /// How many counts more, where more are asked for.
        count_more: Option<u32> => Positive,
        /// Expected cost of treating, in the firm's currency.
        cost_of_treating: Option<f64>,
        /// Expected cost of leaving, in the firm's currency.
        cost_of_leaving: Option<f64>,
        /// The working.
        working: Option<Json>,
        /// Anything else.
        note: Option<String>,
    }
}

fn asks_for_counts(decision: &Decision) -> Result<(), BookError> {
    match decision.count_more {
        Some(more) if decision.verdict != Verdict::CountMore => {
            refuse("decisions", "count_more", more, "Only the verdict `count more` says how many: leave it blank")
        }
        _ => Ok(()),
    }
}

impl Reading {
    /// The decisions of a yard, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn decisions_of(&self, yard_id: i64) -> Result<Vec<Decision>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY date DESC, id DESC", [yard_id])
    }

    /// The newest decision on a trouble of a yard.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn latest_decision(&self, yard_id: i64, trouble: &str) -> Result<Option<Decision>, BookError> {
        self.first_where("yard_id = ?1 AND trouble = ?2 ORDER BY date DESC, id DESC LIMIT 1", rusqlite::params![yard_id, trouble])
    }
}
