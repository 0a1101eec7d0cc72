//! Planned beds, and the plants bought for them.

use jiff::civil::Date;
use serde_json::Value as Json;

use crate::book::Reading;
use crate::error::BookError;
use crate::record::{Amendable, record};

record! {
    /// A planting plan for one bed.
    pub struct BedPlan in "bed_plans" {
        /// The yard.
        yard_id: i64,
        /// The bed, by the map's name or feature id.
        bed: String => Filled,
        /// The day the plan was made.
        date: Date,
        /// Its title.
        title: Option<String>,
        /// The plan: wishes, plants chosen, places, list to buy, dates.
        plan: Json,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for BedPlan {}

record! {
    /// Plants bought.
    pub struct PlantBought in "plants_bought" {
        /// The plan they are for.
        bed_plan_id: Option<i64>,
        /// The check at the nursery gate.
        stock_check_id: Option<i64>,
        /// The plant, as its lore key or as written.
        plant: String => Filled,
        /// Container or size, as sold.
        size: Option<String>,
        /// How many.
        quantity: u32 => Positive,
        /// The nursery.
        nursery: Option<String>,
        /// The day.
        date: Option<Date>,
        /// Cost of one, in the firm's currency.
        unit_cost: Option<f64> => NotNegative,
        /// Anything else.
        note: Option<String>,
    }
}
impl Amendable for PlantBought {}

impl Reading {
    /// The bed plans of a yard, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn bed_plans_of(&self, yard_id: i64) -> Result<Vec<BedPlan>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY date DESC, id DESC", [yard_id])
    }

    /// The plants bought for a plan.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn plants_bought_for(&self, bed_plan_id: i64) -> Result<Vec<PlantBought>, BookError> {
        self.rows_where("bed_plan_id = ?1 ORDER BY id", [bed_plan_id])
    }
}
