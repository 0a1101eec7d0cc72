//! The firm's own rates: what a unit of each item costs it, and the rule that makes its price. No price comes from us.

use jiff::civil::Date;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{Amendable, record, refuse, words};

words! {
    /// How a price is made from a cost.
    pub enum PriceRule {
        /// A share of the cost is added: price = cost × (1 + share).
        Markup = "markup",
        /// A share of the price is kept: price = cost ÷ (1 − share).
        Margin = "margin",
        /// The price is fixed.
        FixedPrice = "fixed price",
        /// The price is the cost.
        #[default]
        Cost = "cost",
    }
}

record! {
    /// The price of one item from a day on.
    pub struct Price in "prices" checked by rule_has_its_numbers {
        /// The item's key, as the desk and the user call it.
        item: String => Filled,
        /// The unit that cost and price are for, as `yd3`, `h`, `each`.
        unit: String => Filled,
        /// The cost as typed.
        cost_text: Option<String>,
        /// The cost of one unit, in the firm's currency.
        cost_per_unit: Option<f64> => NotNegative,
        /// How the price is made.
        rule: PriceRule,
        /// The share of markup or margin.
        rule_share: Option<f64> => NotNegative,
        /// A fixed price as typed.
        price_text: Option<String>,
        /// A fixed price of one unit.
        price_per_unit: Option<f64> => NotNegative,
        /// Anything else.
        note: Option<String>,
        /// The first day on which it holds. Blank: always.
        valid_from: Option<Date>,
    }
}
impl Amendable for Price {}

impl Price {
    /// The price of one unit in the firm's currency, by the rule.
    ///
    /// ```
    /// use groundlore_book::prices::{Price, PriceRule};
    /// let kept = |rule| Price { cost_per_unit: Some(80.0), rule, rule_share: Some(0.2), ..Price::default() }.unit_price();
    /// assert_eq!(kept(PriceRule::Markup), Some(96.0)); // 80 × 1.2
    /// assert_eq!(kept(PriceRule::Margin), Some(100.0)); // 80 ÷ 0.8
    /// ```
    pub fn unit_price(&self) -> Option<f64> {
        match self.rule {
            PriceRule::FixedPrice => self.price_per_unit,
            PriceRule::Cost => self.cost_per_unit,
            PriceRule::Markup => Some(self.cost_per_unit? * (1.0 + self.rule_share?)),
            PriceRule::Margin => Some(self.cost_per_unit? / (1.0 - self.rule_share?)),
        }
    }
}

fn rule_has_its_numbers(price: &Price) -> Result<(), BookError> {
    let by_share = matches!(price.rule, PriceRule::Markup | PriceRule::Margin);
    if by_share != price.rule_share.is_some() {
        return refuse("prices", "rule_share", price.rule, "Markup and margin have a share, for example 25%; the other rules have none");
    }
    if let Some(share) = price.rule_share.filter(|share| price.rule == PriceRule::Margin && *share >= 1.0) {
        return refuse("prices", "rule_share", share, "A margin is a share of the price and stays under 1, for example 0.25");
    }
    if (price.rule == PriceRule::FixedPrice) != price.price_per_unit.is_some() {
        return refuse("prices", "price_per_unit", price.rule, "A fixed price has a price; the other rules make it from the cost");
    }
    if price.rule != PriceRule::FixedPrice && price.cost_per_unit.is_none() {
        return refuse("prices", "cost_per_unit", "blank", "Give what one unit costs, for example $14.50/yd3");
    }
    Ok(())
}

impl Reading {
    /// The price of an item that holds on a day.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn price_on(&self, item: &str, day: Date) -> Result<Option<Price>, BookError> {
        let condition = "item = ?1 AND (valid_from IS NULL OR valid_from <= ?2) ORDER BY coalesce(valid_from, '') DESC LIMIT 1";
        self.first_where(condition, rusqlite::params![item, day.to_string()])
    }

    /// All prices, by item and day.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn prices(&self) -> Result<Vec<Price>, BookError> {
        self.rows_where("1 ORDER BY item, coalesce(valid_from, '')", [])
    }
}

impl Writing<'_> {
    /// Writes a price over the one of the same item and day, or beside the others, and returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn set_price(&self, price: &Price) -> Result<i64, BookError> {
        let day = price.valid_from.map(|day| day.to_string());
        let old = self.first_where::<Price>("item = ?1 AND valid_from IS ?2", rusqlite::params![price.item, day])?;
        let Some(old) = old else {
            return self.add(price);
        };
        self.overwrite(&Price { id: old.id, ..price.clone() })?;
        Ok(old.id)
    }
}
