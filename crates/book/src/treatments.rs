//! Treatments that are planned. What was really applied stands in [`crate::applications`].

use jiff::civil::Date;
use serde_json::Value as Json;

use crate::book::Reading;
use crate::error::BookError;
use crate::record::{Amendable, record, refuse, window_in_order, words};

words! {
    /// How far a planned treatment has come.
    pub enum TreatmentState {
        /// Planned.
        #[default]
        Planned = "planned",
        /// Done.
        Done = "done",
        /// Dropped, with why.
        Dropped = "dropped",
    }
}

record! {
    /// A planned treatment.
    pub struct Treatment in "treatments" checked by is_in_order {
        /// The yard.
        yard_id: i64,
        /// The decision that it follows.
        decision_id: Option<i64>,
        /// The label card that its figures come from. Blank: enter the label.
        label_card_id: Option<i64>,
        /// The area, by the map's name or feature id.
        area: Option<String>,
        /// The trouble, as its lore key.
        trouble: String => Filled,
        /// The control, as its lore key.
        control: String => Filled,
        /// The stage aimed at.
        target_stage: Option<String>,
        /// The day the plan was made.
        planned_on: Date,
        /// First day of the window.
        earliest: Option<Date>,
        /// Best day of the window.
        best: Option<Date>,
        /// Last day of the window.
        latest: Option<Date>,
        /// The area to treat.
        area_m2: Option<f64> => Positive,
        /// The rate as typed on the card.
        rate_text: Option<String>,
        /// The amount for this area, in the user's units.
        amount_text: Option<String>,
        /// Is a strip left untreated? Blank: not asked.
        untreated_strip: Option<bool>,
        /// The day of the follow-up count.
        follow_up_on: Option<Date>,
        /// How far it has come.
        state: TreatmentState,
        /// Why it was dropped.
        why: Option<String>,
        /// The working.
        working: Option<Json>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for Treatment {}

fn is_in_order(treatment: &Treatment) -> Result<(), BookError> {
    let unexplained = treatment.why.as_deref().is_none_or(|why| why.trim().is_empty());
    if treatment.state == TreatmentState::Dropped && unexplained {
        return refuse("treatments", "why", "blank", "Say why the treatment was dropped, for example `rain all week`");
    }
    window_in_order("treatments", treatment.earliest, treatment.best, treatment.latest)
}

impl Reading {
    /// The treatments of a yard, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn treatments_of(&self, yard_id: i64) -> Result<Vec<Treatment>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY planned_on DESC, id DESC", [yard_id])
    }

    /// Treatments that are planned and not yet done or dropped, by their last day.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn treatments_ahead(&self) -> Result<Vec<Treatment>, BookError> {
        self.rows_where("state = 'planned' ORDER BY latest IS NULL, latest, id", [])
    }
}
