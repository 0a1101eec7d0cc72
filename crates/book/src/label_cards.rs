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

words! {
    /// Who may apply a product, by its label.
    pub enum ApplicatorRule {
        /// Only a licensed applicator, or somebody under one.
        #[default]
        Licensed = "licensed",
        /// The label asks for no licence; local law may.
        Anyone = "anyone",
    }
}

words! {
    /// What a label says of plants in flower.
    pub enum BloomLimit {
        /// Never on plants in flower, nor where it drifts to them.
        #[default]
        Forbidden = "forbidden",
        /// Not while bees forage.
        NotWhileBeesForage = "not while bees forage",
        /// Read, and nothing is said of it.
        Nothing = "none",
    }
}

words! {
    /// What a label asks of the leaves.
    pub enum LeafRule {
        /// Dry leaves.
        #[default]
        Dry = "dry",
        /// Wet leaves.
        Wet = "wet",
        /// Read, and nothing is said of it.
        Nothing = "none",
    }
}

words! {
    /// What a card asks of the soil's moisture.
    pub enum SoilMoistureRule {
        /// Moist soil.
        #[default]
        Moist = "moist",
        /// Read, and nothing is said of it.
        Nothing = "none",
    }
}

words! {
    /// What a label says of temperature inversions.
    pub enum InversionRule {
        /// Not during an inversion.
        #[default]
        Forbidden = "forbidden",
        /// Read, and nothing is said of it.
        Nothing = "none",
    }
}

words! {
    /// Droplet classes of the spray, from the finest to the coarsest.
    ///
    /// # Source
    /// The eight classes of ASABE S572 and ISO 25358, as named in the GRDC *Spray application manual*, module 4.2 (read); the standard sets
    /// their borders by reference nozzles, so a class comes from the nozzle's own sheet at the pressure used, never from here.
    pub enum DropletClass {
        /// XF.
        #[default]
        ExtremelyFine = "extremely fine",
        /// VF.
        VeryFine = "very fine",
        /// F.
        Fine = "fine",
        /// M.
        Medium = "medium",
        /// C.
        Coarse = "coarse",
        /// VC.
        VeryCoarse = "very coarse",
        /// XC.
        ExtremelyCoarse = "extremely coarse",
        /// UC.
        UltraCoarse = "ultra coarse",
    }
}

/// The finest and the coarsest class of `coarse`, `medium to very coarse`, `coarse or coarser`; none where the words are no classes.
///
/// ```
/// use groundlore_book::label_cards::{DropletClass, droplet_range};
/// assert_eq!(droplet_range("coarse to very coarse"), Some((DropletClass::Coarse, DropletClass::VeryCoarse)));
/// assert_eq!(droplet_range("coarse or coarser"), Some((DropletClass::Coarse, DropletClass::UltraCoarse)));
/// assert_eq!(droplet_range("very coarse to medium"), None);
/// ```
#[must_use]
pub fn droplet_range(text: &str) -> Option<(DropletClass, DropletClass)> {
    let text = text.trim().to_lowercase();
    let class = |words: &str| DropletClass::from_word(words.trim());
    if let Some(finest) = text.strip_suffix(" or coarser") {
        return class(finest).map(|finest| (finest, DropletClass::UltraCoarse));
    }
    let (finest, coarsest) = match text.split_once(" to ") {
        Some((finest, coarsest)) => (class(finest)?, class(coarsest)?),
        None => (class(&text)?, class(&text)?),
    };
    (finest <= coarsest).then_some((finest, coarsest))
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
        /// The edition or date of the label.
        label_edition: Option<String>,
        /// The edition of the list that the group is from.
        mode_of_action_edition: Option<String>,
        /// Its formulation, as the label names or codes it.
        formulation: Option<String>,
        /// Re-entry in hours, where the label gives a time.
        reentry_h: Option<f64> => NotNegative,
        /// What it says of children, pets and other people.
        people_statement: Option<String>,
        /// Who may apply it.
        applicator_rule: Option<ApplicatorRule>,
        /// What it says of plants in flower.
        bloom_limit: Option<BloomLimit>,
        /// Distance to keep from open water, as typed; `none` where the label says nothing.
        water_distance_text: Option<String>,
        /// The same in metres.
        water_distance_m: Option<f64> => NotNegative,
        /// Distance to keep from wells, as typed.
        well_distance_text: Option<String>,
        /// The same in metres.
        well_distance_m: Option<f64> => NotNegative,
        /// The wind it allows, as typed: `3 to 10 mph`, `10 mph` for the most.
        wind_text: Option<String>,
        /// The least wind.
        wind_low_m_s: Option<f64> => NotNegative,
        /// The most wind.
        wind_high_m_s: Option<f64> => Positive,
        /// The gusts it allows, as typed.
        gust_text: Option<String>,
        /// The same.
        gust_high_m_s: Option<f64> => Positive,
        /// The air temperatures it allows, as typed: `50 to 85 degF`, `85 degF` for the most.
        temperature_text: Option<String>,
        /// The lowest temperature.
        temperature_low_c: Option<f64>,
        /// The highest temperature.
        temperature_high_c: Option<f64>,
        /// Time without rain after application, as typed.
        rain_free_text: Option<String>,
        /// The same in hours.
        rain_free_h: Option<f64> => NotNegative,
        /// What it asks of the leaves.
        leaves: Option<LeafRule>,
        /// What it says of temperature inversions.
        inversion: Option<InversionRule>,
        /// The droplet classes it allows, as typed: `coarse`, `coarse to very coarse`.
        droplets_text: Option<String>,
        /// Kinds of turf on which it may be used.
        turf_allowed: Option<Vec<String>>,
        /// Kinds of turf that it injures.
        turf_injured: Option<Vec<String>>,
        /// Age or mowings that seedling turf needs first, as typed.
        seedling_age_text: Option<String>,
        /// The same in days, where it is a time.
        seedling_age_days: Option<f64> => NotNegative,
        /// Time from application to seeding, as typed.
        reseeding_text: Option<String>,
        /// The same in days, where it is a time.
        reseeding_days: Option<f64> => NotNegative,
        /// What it says of the roots of trees and shrubs, as typed: words, or a distance to keep.
        tree_roots_text: Option<String>,
        /// The distance, where it is one.
        tree_roots_m: Option<f64> => NotNegative,
        /// What it says of clippings.
        clippings_text: Option<String>,
        /// What it says of compost and mulch made of them.
        compost_text: Option<String>,
        /// The order of mixing, in the label's words.
        mixing_order_text: Option<String>,
        /// Distance of mixing and loading from wells, drains and water, as typed.
        mixing_distance_text: Option<String>,
        /// The same in metres.
        mixing_distance_m: Option<f64> => NotNegative,
        /// What it says of filling: an air gap, a backflow preventer.
        backflow_text: Option<String>,
        /// What it says of rinsing.
        rinsing_text: Option<String>,
        /// What it says of leftovers and empty containers.
        disposal_text: Option<String>,
        /// What it says of signs and notice.
        posting_text: Option<String>,
        /// The soil temperatures it asks for, as typed: `54 to 86 degF`, `at least 54 degF`.
        soil_temperature_text: Option<String>,
        /// The lowest of them.
        soil_temperature_low_c: Option<f64>,
        /// The highest.
        soil_temperature_high_c: Option<f64>,
        /// What it asks of the soil's moisture.
        soil_moisture: Option<SoilMoistureRule>,
        /// For how long its stock may be used, as typed: `14 day`.
        age_limit_text: Option<String>,
        /// The same in days.
        age_limit_days: Option<f64> => NotNegative,
    }
}

/// Whether a text says that the label was read and says nothing of the matter.
///
/// ```
/// use groundlore_book::label_cards::says_nothing;
/// assert!(says_nothing(" None "));
/// assert!(!says_nothing("none within 25 ft of a well"));
/// ```
#[must_use]
pub fn says_nothing(text: &str) -> bool {
    matches!(text.trim().trim_end_matches('.').to_lowercase().as_str(), "none" | "nothing said")
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
            ("people_statement", self.people_statement.is_none()),
            ("applicator", self.applicator_rule.is_none()),
            ("bloom_limit", self.bloom_limit.is_none()),
            ("water_distance", self.water_distance_text.is_none()),
            ("well_distance", self.well_distance_text.is_none()),
            ("wind", self.wind_text.is_none()),
            ("gusts", self.gust_text.is_none()),
            ("temperature", self.temperature_text.is_none()),
            ("rain_free", self.rain_free_text.is_none()),
            ("leaves", self.leaves.is_none()),
            ("inversion", self.inversion.is_none()),
            ("droplets", self.droplets_text.is_none()),
            ("turf_allowed", self.turf_allowed.is_none()),
            ("turf_injured", self.turf_injured.is_none()),
            ("seedling_age", self.seedling_age_text.is_none()),
            ("reseeding_interval", self.reseeding_text.is_none()),
            ("tree_roots", self.tree_roots_text.is_none()),
            ("clippings", self.clippings_text.is_none()),
            ("compost", self.compost_text.is_none()),
            ("mixing_order", self.mixing_order_text.is_none()),
            ("mixing_distance", self.mixing_distance_text.is_none()),
            ("backflow", self.backflow_text.is_none()),
            ("rinsing", self.rinsing_text.is_none()),
            ("disposal", self.disposal_text.is_none()),
            ("posting", self.posting_text.is_none()),
            ("soil_temperature", self.soil_temperature_text.is_none()),
            ("soil_moisture", self.soil_moisture.is_none()),
            ("age_limit", self.age_limit_text.is_none()),
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
    for (column, low, high) in [
        ("wind_low_m_s", card.wind_low_m_s, card.wind_high_m_s),
        ("temperature_low_c", card.temperature_low_c, card.temperature_high_c),
        ("soil_temperature_low_c", card.soil_temperature_low_c, card.soil_temperature_high_c),
    ] {
        if let (Some(low), Some(high)) = (low, high)
            && low > high
        {
            return refuse("label_cards", column, low, "The lower end of a range comes first, for example `3 to 10 mph`");
        }
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
