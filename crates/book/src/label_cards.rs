//! Label cards: what the user typed from the label in hand. The label is the law; a blank is "not checked", never "passed".
//!
//! A card is never changed. A mistake is put right, or a new edition of the label taken up, by a new card that replaces it.

use jiff::Timestamp;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{record, refuse, words};

/// An active ingredient and its share of the product, as the label gives it.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
pub struct ActiveIngredient {
    /// Its common name.
    pub name: String,
    /// Percent by weight. `None`: not checked.
    pub percent: Option<f64>,
}

words! {
    /// The SI unit that a rate's parsed bounds are in.
    pub enum RateUnit {
        /// Mass per area.
        #[default]
        KilogramPerSquareMetre = "kg/m2",
        /// Volume per area.
        CubicMetrePerSquareMetre = "m3/m2",
        /// Pieces per area.
        PiecesPerSquareMetre = "1/m2",
        /// Share of the mix (volume per volume).
        Share = "share",
    }
}

record! {
    /// A label card. Every field but the name may be blank: not checked.
    pub struct LabelCard in "label_cards" checked by bounds_are_in_order {
        /// The card that this one replaces.
        replaces_id: Option<i64>,
        /// When it was typed.
        entered_at: Timestamp,
        /// Who typed it.
        entered_by: Option<String>,
        /// The name on the label.
        name: String => Filled,
        /// The registration number on the label.
        registration_number: Option<String>,
        /// The signal word.
        signal_word: Option<String>,
        /// Active ingredients.
        active_ingredients: Option<Vec<ActiveIngredient>>,
        /// Sites on which the label allows it.
        sites: Option<Vec<String>>,
        /// Targets against which the label allows it.
        targets: Option<Vec<String>>,
        /// The rate or range as typed: `3 to 5 lb/1000ft2`.
        rate_text: Option<String>,
        /// Lower end of the rate, in `rate_si_unit`.
        rate_low_si: Option<f64> => Positive,
        /// Upper end of the rate, in `rate_si_unit`.
        rate_high_si: Option<f64> => Positive,
        /// The unit of both ends.
        rate_si_unit: Option<RateUnit>,
        /// Water to carry it, as typed.
        carrier_text: Option<String>,
        /// The most in a year, as typed.
        yearly_limit_text: Option<String>,
        /// The most in a year, in `rate_si_unit`.
        yearly_limit_si: Option<f64> => Positive,
        /// The most applications in a year.
        yearly_limit_applications: Option<u32> => Positive,
        /// The least time between applications, as typed.
        minimum_interval_text: Option<String>,
        /// The same in days.
        minimum_interval_days: Option<f64> => NotNegative,
        /// Re-entry, as the label words it.
        reentry_text: Option<String>,
        /// Protective gear, as the label words it.
        protective_gear: Option<String>,
        /// What it says on bees.
        bee_statement: Option<String>,
        /// What it says on water.
        water_statement: Option<String>,
        /// Plants that it injures.
        plants_injured: Option<Vec<String>>,
        /// Watering in, as typed.
        watering_in_text: Option<String>,
        /// The depth of water to water it in.
        watering_in_depth_mm: Option<f64> => NotNegative,
        /// The most applications one after another.
        consecutive_run_limit: Option<u32> => Positive,
        /// Its mode-of-action group as printed on the label.
        mode_of_action_group: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}

impl LabelCard {
    /// The fields that nobody has checked, by their column names.
    pub fn not_checked(&self) -> Vec<&'static str> {
        let blanks = [
            ("registration_number", self.registration_number.is_none()),
            ("signal_word", self.signal_word.is_none()),
            ("active_ingredients", self.active_ingredients.is_none()),
            ("sites", self.sites.is_none()),
            ("targets", self.targets.is_none()),
            ("rate_text", self.rate_text.is_none()),
            ("yearly_limit_text", self.yearly_limit_text.is_none() && self.yearly_limit_applications.is_none()),
            ("minimum_interval_text", self.minimum_interval_text.is_none()),
            ("reentry_text", self.reentry_text.is_none()),
            ("protective_gear", self.protective_gear.is_none()),
            ("bee_statement", self.bee_statement.is_none()),
            ("water_statement", self.water_statement.is_none()),
            ("plants_injured", self.plants_injured.is_none()),
            ("watering_in_text", self.watering_in_text.is_none()),
            ("consecutive_run_limit", self.consecutive_run_limit.is_none()),
        ];
        blanks.into_iter().filter(|(_, blank)| *blank).map(|(field, _)| field).collect()
    }
}

fn bounds_are_in_order(card: &LabelCard) -> Result<(), BookError> {
    if let (Some(low), Some(high)) = (card.rate_low_si, card.rate_high_si)
        && low > high
    {
        return refuse("label_cards", "rate_low_si", low, "The lower end of a rate comes first, for example `3 to 5 lb/1000ft2`");
    }
    let has_bound = card.rate_low_si.or(card.rate_high_si).or(card.yearly_limit_si).is_some();
    if has_bound && card.rate_si_unit.is_none() {
        return refuse("label_cards", "rate_si_unit", "blank", "A rate or limit in numbers needs its unit, for example kg/m2");
    }
    for active in card.active_ingredients.iter().flatten() {
        if active.name.trim().is_empty() {
            return refuse("label_cards", "active_ingredients", "a blank name", "Name each active ingredient as the label does");
        }
        if let Some(percent) = active.percent.filter(|percent| !(*percent > 0.0 && *percent <= 100.0)) {
            return refuse("label_cards", "active_ingredients", percent, "A percentage lies over 0 and up to 100, for example 0.2");
        }
    }
    Ok(())
}

impl Reading {
    /// The cards in force (not replaced), by name.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn label_cards(&self) -> Result<Vec<LabelCard>, BookError> {
        self.rows_from("current_label_cards", "1 ORDER BY name, id", [])
    }

    /// The card in force with this name, told apart by letter case only if it must be.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn label_card_named(&self, name: &str) -> Result<Option<LabelCard>, BookError> {
        let condition = "lower(name) = lower(?1) ORDER BY name <> ?1, id DESC LIMIT 1";
        Ok(self.rows_from("current_label_cards", condition, [name])?.into_iter().next())
    }

    /// A card with the ones that it replaced, newest first.
    ///
    /// # Errors
    /// [`BookError::NotFound`].
    pub fn label_card_history(&self, id: i64) -> Result<Vec<LabelCard>, BookError> {
        let mut history = vec![self.one::<LabelCard>(id)?];
        while let Some(older) = history.last().and_then(|card| card.replaces_id) {
            history.push(self.one(older)?);
        }
        Ok(history)
    }
}

impl Writing<'_> {
    /// Writes a new card that replaces card `old_id`, and returns its number.
    ///
    /// # Errors
    /// [`BookError::AppendOnly`] if `old_id` was replaced already; [`BookError::NotFound`].
    pub fn replace_label_card(&self, old_id: i64, card: &LabelCard) -> Result<i64, BookError> {
        self.one::<LabelCard>(old_id)?;
        self.add(&LabelCard { replaces_id: Some(old_id), ..card.clone() })
    }
}
