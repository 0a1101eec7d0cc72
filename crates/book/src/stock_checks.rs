//! Nursery stock, checked at the gate. A check without a verdict was not made.

use jiff::civil::Date;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{record, words};

words! {
    /// What one check found.
    pub enum StockVerdict {
        /// Good.
        Pass = "pass",
        /// Doubtful: look again or ask.
        #[default]
        Doubt = "doubt",
        /// Send it back.
        Refuse = "refuse",
    }
}

record! {
    /// One lot of plants, looked at.
    pub struct StockCheck in "stock_checks" {
        /// The yard they are for.
        yard_id: Option<i64>,
        /// The plan they are for.
        bed_plan_id: Option<i64>,
        /// The plant, as its lore key or as written.
        plant: String => Filled,
        /// The nursery.
        nursery: Option<String>,
        /// The day.
        date: Date,
        /// How many plants.
        quantity: Option<u32> => Positive,
        /// Who looked.
        who: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}

record! {
    /// One point of a check.
    pub struct StockCheckLine in "stock_check_lines" {
        /// The check.
        stock_check_id: i64,
        /// What was looked at.
        what: String => Filled,
        /// What was found. `None`: not checked.
        verdict: Option<StockVerdict>,
        /// What was seen.
        note: Option<String>,
    }
}

impl Reading {
    /// The points of a check, in order.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn stock_check_lines(&self, stock_check_id: i64) -> Result<Vec<StockCheckLine>, BookError> {
        self.rows_where("stock_check_id = ?1 ORDER BY id", [stock_check_id])
    }

    /// The verdict on the whole lot: the worst of its points; `None` while any point is unchecked and none refuses.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn stock_verdict(&self, stock_check_id: i64) -> Result<Option<StockVerdict>, BookError> {
        let lines = self.stock_check_lines(stock_check_id)?;
        if lines.iter().any(|line| line.verdict == Some(StockVerdict::Refuse)) {
            return Ok(Some(StockVerdict::Refuse));
        }
        let verdicts: Option<Vec<StockVerdict>> = lines.iter().map(|line| line.verdict).collect();
        Ok(verdicts.and_then(|verdicts| verdicts.into_iter().max()))
    }
}

impl Writing<'_> {
    /// Writes a check with its points and returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn add_stock_check(&self, check: &StockCheck, lines: &[StockCheckLine]) -> Result<i64, BookError> {
        let stock_check_id = self.add(check)?;
        for line in lines {
            self.add(&StockCheckLine { stock_check_id, ..line.clone() })?;
        }
        Ok(stock_check_id)
    }
}
