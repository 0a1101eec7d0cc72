//! The firm, its settings, and the owners it works for.

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, record};

record! {
    /// The firm. A book has one.
    pub struct Firm in "firm" {
        /// Its name.
        name: String => Filled,
        /// Where it works.
        place: Option<String>,
        /// The sign or code of its money, as `$`.
        currency: String => Filled,
        /// What an hour of labour costs the firm, in its currency.
        labour_cost_per_h: Option<f64> => NotNegative,
        /// Overhead as a share of cost (0.2 adds a fifth).
        overhead_share: Option<f64> => NotNegative,
        /// Margin as a share of the price (not of the cost: that is markup).
        margin_share: Option<f64> => Share,
        /// Who signs application records by default.
        applicator: Option<String>,
        /// That person's licence, as typed.
        licence: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}

record! {
    /// One setting of the firm.
    pub struct Setting in "settings" {
        /// Its name.
        key: String => Filled,
        /// Its value.
        value: String,
    }
}

record! {
    /// An owner of grounds.
    pub struct Owner in "owners" {
        /// Name.
        name: String => Filled,
        /// How a letter greets them.
        greeting: Option<String>,
        /// E-mail address.
        email: Option<String>,
        /// Telephone.
        phone: Option<String>,
        /// Postal address.
        address: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for Owner {}

impl Reading {
    /// The firm, once it has been written down.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn firm(&self) -> Result<Option<Firm>, BookError> {
        self.find(1)
    }

    /// The value of a setting, or `None` if it was never set.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn setting(&self, key: &str) -> Result<Option<String>, BookError> {
        Ok(self.first_where::<Setting>("\"key\" = ?1", [key])?.map(|setting| setting.value))
    }

    /// All owners, by name.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn owners(&self) -> Result<Vec<Owner>, BookError> {
        self.rows_where("1 ORDER BY name, id", [])
    }
}

impl Writing<'_> {
    /// Writes down the firm, over what was there.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn set_firm(&self, firm: &Firm) -> Result<(), BookError> {
        if self.firm()?.is_none() {
            self.add(firm)?;
            return Ok(());
        }
        self.overwrite(&Firm { id: 1, ..firm.clone() })
    }

    /// Sets one setting.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn set_setting(&self, key: &str, value: &str) -> Result<(), BookError> {
        let setting = Setting { id: 0, key: key.into(), value: value.into() };
        match self.first_where::<Setting>("\"key\" = ?1", [key])? {
            Some(old) => self.overwrite(&Setting { id: old.id, ..setting }),
            None => self.add(&setting).map(|_| ()),
        }
    }
}
