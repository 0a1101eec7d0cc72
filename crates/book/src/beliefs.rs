//! What the firm believes about how well a control works on a trouble, year by year.

use jiff::civil::Date;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{record, refuse, words};

words! {
    /// The shape of a belief about a share.
    pub enum BeliefShape {
        /// A beta distribution.
        #[default]
        Beta = "beta",
        /// A normal distribution of the share's logit.
        LogitNormal = "logit normal",
    }
}

record! {
    /// One belief. A new one stands beside the old; the newest of a year and source holds.
    pub struct Belief in "beliefs" checked by has_its_numbers {
        /// The control, as its lore key.
        control: String => Filled,
        /// The trouble, as its lore key.
        trouble: String => Filled,
        /// The year that it speaks of.
        year: i64,
        /// Its shape.
        shape: BeliefShape,
        /// Beta: first parameter.
        alpha: Option<f64> => Positive,
        /// Beta: second parameter.
        beta: Option<f64> => Positive,
        /// Logit normal: mean of the logit.
        logit_mean: Option<f64>,
        /// Logit normal: variance of the logit.
        logit_variance: Option<f64> => Positive,
        /// Where it comes from: a lore source key or `own follow-up`.
        source: String => Filled,
        /// The follow-up that it was learned from.
        follow_up_id: Option<i64>,
        /// The day it was written down.
        recorded_on: Option<Date>,
        /// Anything else.
        note: Option<String>,
    }
}

fn has_its_numbers(belief: &Belief) -> Result<(), BookError> {
    if !(1800..=9999).contains(&belief.year) {
        return refuse("beliefs", "year", belief.year, "Give the year in four digits, for example 2015");
    }
    let beta = (belief.alpha.is_some(), belief.beta.is_some());
    let logit = (belief.logit_mean.is_some(), belief.logit_variance.is_some());
    match (belief.shape, beta, logit) {
        (BeliefShape::Beta, (true, true), (false, false)) | (BeliefShape::LogitNormal, (false, false), (true, true)) => Ok(()),
        (BeliefShape::Beta, ..) => refuse("beliefs", "alpha", "the numbers given", "A beta belief has alpha and beta, and no logit"),
        (BeliefShape::LogitNormal, ..) => refuse(
            "beliefs",
            "logit_mean",
            "the numbers given",
            "A logit normal belief has logit_mean and logit_variance, and no alpha or beta",
        ),
    }
}

impl Reading {
    /// All beliefs about a control on a trouble, by year and then in the order of writing.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn beliefs_about(&self, control: &str, trouble: &str) -> Result<Vec<Belief>, BookError> {
        self.rows_where("control = ?1 AND trouble = ?2 ORDER BY year, id", [control, trouble])
    }

    /// The newest belief of each year and source about a control on a trouble, by year.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn current_beliefs_about(&self, control: &str, trouble: &str) -> Result<Vec<Belief>, BookError> {
        let condition = "control = ?1 AND trouble = ?2
            AND id IN (SELECT max(id) FROM beliefs WHERE control = ?1 AND trouble = ?2 GROUP BY year, source) ORDER BY year, id";
        self.rows_where(condition, [control, trouble])
    }
}

impl Writing<'_> {
    /// Writes down a belief and returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn record_belief(&self, belief: &Belief) -> Result<i64, BookError> {
        self.add(belief)
    }
}
