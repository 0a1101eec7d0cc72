//! What is asked of a bed.

use groundlore_lore::plant::{Light, Moisture, PlantKind};
use serde::{Deserialize, Serialize};

/// Kinds of visitor that lore knows.
pub const VISITORS: [&str; 8] = ["bees", "butterflies", "moths", "flies", "beetles", "wasps", "hummingbirds", "birds"];

/// Height of a person, metres: what "taller than a person" is measured against.
pub const PERSON_M: f64 = 1.8;

/// What the owner and the ground ask of a bed. Every field has a default; an owner who says nothing gets a sunny bed of medium
/// soil in zone 5 that flowers from April to October.
///
/// Months are those of the place's own calendar: December is summer when `latitude_deg` is negative.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Wishes {
    /// Months (1–12) in which something should flower.
    pub bloom_months: Vec<u8>,
    /// Kinds that should flower in each of those months. Three, after CHAPP, *Native Plant
    /// Bloom Season* (at least three species in bloom at any time).
    pub kinds_in_bloom: usize,
    /// Shortest and tallest height in bloom, metres (the middle of a plant's range is compared); `None` asks for nothing.
    pub height_m: Option<(f64, f64)>,
    /// Light in the bed.
    pub light: Light,
    /// Soil moisture in the bed.
    pub moisture: Moisture,
    /// Hardiness zone of the place, number only.
    pub zone: u8,
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Where the bed is, in words, such as `Wisconsin, USA`: for lists of invasive plants. Without it any plant that is listed
    /// anywhere is left out.
    pub place: Option<String>,
    /// Kinds of visitor that should find food, from [`VISITORS`].
    pub visitors: Vec<String>,
    /// Flower colours wished for, plain words; empty asks for nothing.
    pub colours: Vec<String>,
    /// At least one plant taller than this, metres; `None` asks for nothing. It holds for beds deep enough for such a plant.
    pub at_least_one_taller_than_m: Option<f64>,
    /// No aggressive spreader in a bed with dainty plants.
    pub no_aggressive_beside_dainty: bool,
    /// Nothing that is listed as invasive at the place.
    pub avoid_listed: bool,
    /// Most kinds in the bed.
    pub max_kinds: usize,
    /// Keys of plants that must be in it.
    pub include: Vec<String>,
    /// Keys of plants that must not be in it.
    pub leave_out: Vec<String>,
    /// What may be spent on plants.
    pub budget: Option<Budget>,
}

/// Money for plants, with the firm's own price of one plant by kind. Money is in the firm's currency.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Budget {
    /// What may be spent.
    pub total: f64,
    /// Price of one plant by kind; a kind without a price is not checked.
    pub price_each: Vec<(PlantKind, f64)>,
}

impl Budget {
    /// Price of one plant of a kind, if the firm gave one.
    pub fn price(&self, kind: PlantKind) -> Option<f64> {
        self.price_each.iter().find(|(priced, _)| *priced == kind).map(|(_, price)| *price)
    }
}

impl Default for Wishes {
    fn default() -> Self {
        Wishes {
            bloom_months: (4..=10).collect(),
            kinds_in_bloom: 3,
            height_m: None,
            light: Light::FullSun,
            moisture: Moisture::Medium,
            zone: 5,
            latitude_deg: 43.0,
            place: None,
            visitors: vec!["bees".to_owned(), "butterflies".to_owned()],
            colours: Vec::new(),
            at_least_one_taller_than_m: Some(PERSON_M),
            no_aggressive_beside_dainty: true,
            avoid_listed: true,
            max_kinds: 12,
            include: Vec::new(),
            leave_out: Vec::new(),
            budget: None,
        }
    }
}

/// A wish that makes no sense in itself, before any plant is looked at.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[allow(missing_docs)]
pub enum WishError {
    #[error("bloom months: {seen} is not a month; give 1 to 12, for example 5 for May")]
    Month { seen: u8 },
    #[error("kinds in bloom is {seen}; give 1 to 10, for example 3")]
    KindsInBloom { seen: usize },
    #[error("hardiness zone is {seen}; give 1 to 13, for example 5")]
    Zone { seen: u8 },
    #[error("latitude is {seen}; give degrees from -90 to 90, north positive, for example 43.0")]
    Latitude { seen: f64 },
    #[error("heights run from {low} m to {high} m; give the shorter first and both above 0, for example 0.3 and 2")]
    Heights { low: f64, high: f64 },
    #[error("taller than {seen} m: give a height above 0 and under 30 m, for example 1.8")]
    TallerThan { seen: f64 },
    #[error("visitor \"{seen}\" is not known; take one of bees, butterflies, moths, flies, beetles, wasps, hummingbirds, birds")]
    Visitor { seen: String },
    #[error("most kinds is {seen}; give 1 to 60, for example 12")]
    MaxKinds { seen: usize },
    #[error("the wish to include {asked} plants does not fit under at most {max} kinds; raise the most kinds to {asked} or include fewer")]
    TooManyIncluded { asked: usize, max: usize },
    #[error("\"{key}\" is both to be included and to be left out; strike it from one list")]
    BothWays { key: String },
    #[error("plant \"{key}\" is not in lore{hint}; give a key such as echinacea-purpurea")]
    UnknownPlant { key: String, hint: String },
    #[error("budget is {seen}; give an amount of 0 or more, for example 900")]
    Budget { seen: f64 },
    #[error("the price of a {kind:?} is {seen}; give an amount of 0 or more, for example 14.50")]
    Price { kind: PlantKind, seen: f64 },
}

impl Wishes {
    /// Whether the wishes make sense in themselves.
    ///
    /// # Errors
    /// The first wish that does not, with the value seen and an example.
    ///
    /// ```
    /// use groundlore_planting::wishes::Wishes;
    /// assert!(Wishes::default().check().is_ok());
    /// let wrong = Wishes { bloom_months: vec![13], ..Wishes::default() };
    /// assert!(wrong.check().unwrap_err().to_string().contains("13 is not a month"));
    /// ```
    pub fn check(&self) -> Result<(), WishError> {
        self.check_site()?;
        self.check_numbers()?;
        if let Some(seen) = self.visitors.iter().find(|visitor| !VISITORS.contains(&visitor.as_str())) {
            return Err(WishError::Visitor { seen: seen.clone() });
        }
        if let Some(key) = self.include.iter().find(|key| self.leave_out.contains(key)) {
            return Err(WishError::BothWays { key: key.clone() });
        }
        self.check_money()
    }

    fn check_site(&self) -> Result<(), WishError> {
        if let Some(seen) = self.bloom_months.iter().find(|month| !(1..=12).contains(*month)) {
            return Err(WishError::Month { seen: *seen });
        }
        if !(1..=13).contains(&self.zone) {
            return Err(WishError::Zone { seen: self.zone });
        }
        if !(-90.0..=90.0).contains(&self.latitude_deg) {
            return Err(WishError::Latitude { seen: self.latitude_deg });
        }
        Ok(())
    }

    fn check_numbers(&self) -> Result<(), WishError> {
        if let Some((low, high)) = self.height_m
            && !(low > 0.0 && high >= low && high.is_finite())
        {
            return Err(WishError::Heights { low, high });
        }
        if let Some(seen) = self.at_least_one_taller_than_m
            && !(seen > 0.0 && seen < 30.0)
        {
            return Err(WishError::TallerThan { seen });
        }
        if !(1..=10).contains(&self.kinds_in_bloom) {
            return Err(WishError::KindsInBloom { seen: self.kinds_in_bloom });
        }
        if !(1..=60).contains(&self.max_kinds) {
            return Err(WishError::MaxKinds { seen: self.max_kinds });
        }
        if self.include.len() > self.max_kinds {
            return Err(WishError::TooManyIncluded { asked: self.include.len(), max: self.max_kinds });
        }
        Ok(())
    }

    fn check_money(&self) -> Result<(), WishError> {
        let Some(budget) = &self.budget else { return Ok(()) };
        if !(budget.total.is_finite() && budget.total >= 0.0) {
            return Err(WishError::Budget { seen: budget.total });
        }
        match budget.price_each.iter().find(|(_, price)| !(price.is_finite() && *price >= 0.0)) {
            Some((kind, price)) => Err(WishError::Price { kind: *kind, seen: *price }),
            None => Ok(()),
        }
    }
}
