//! What a label rules beyond its amounts, as the user read it: weather, people, turf, seedlings, roots, clippings.

use serde::{Deserialize, Serialize};

/// One thing that a label may say.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Said<T> {
    /// Blank on the card: nobody has checked. It never passes.
    #[default]
    NotChecked,
    /// The label was read and says nothing of it.
    Nothing,
    /// It says so in words that no sum can use: somebody must judge.
    Words(String),
    /// It says this.
    Says(T),
}

impl<T> Said<T> {
    /// What it says, where it is a figure or a closed word.
    pub fn says(&self) -> Option<&T> {
        if let Self::Says(value) = self { Some(value) } else { None }
    }

    /// Whether nobody has checked.
    pub fn is_blank(&self) -> bool {
        matches!(self, Self::NotChecked)
    }
}

/// Lowest and highest that a label allows; either may be open.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct Bounds {
    /// Lowest.
    pub low: Option<f64>,
    /// Highest.
    pub high: Option<f64>,
}

/// What a label says of plants in flower.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BloomRule {
    /// Never on plants in flower.
    Forbidden,
    /// Not while bees forage.
    NotWhileBeesForage,
}

/// What a label asks of the leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Leaves {
    /// Dry leaves.
    Dry,
    /// Wet leaves.
    Wet,
}

/// Who may apply it, by the label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Applicator {
    /// Only a licensed one, or somebody under one.
    Licensed,
    /// The label asks for no licence.
    Anyone,
}

/// Droplet classes, the finest first: the eight of ASABE S572 and ISO 25358.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DropletClass {
    /// XF.
    ExtremelyFine,
    /// VF.
    VeryFine,
    /// F.
    Fine,
    /// M.
    Medium,
    /// C.
    Coarse,
    /// VC.
    VeryCoarse,
    /// XC.
    ExtremelyCoarse,
    /// UC.
    UltraCoarse,
}

impl DropletClass {
    /// Every class with its words and its letters.
    pub const ALL: [(DropletClass, &'static str, &'static str); 8] = [
        (Self::ExtremelyFine, "extremely fine", "XF"),
        (Self::VeryFine, "very fine", "VF"),
        (Self::Fine, "fine", "F"),
        (Self::Medium, "medium", "M"),
        (Self::Coarse, "coarse", "C"),
        (Self::VeryCoarse, "very coarse", "VC"),
        (Self::ExtremelyCoarse, "extremely coarse", "XC"),
        (Self::UltraCoarse, "ultra coarse", "UC"),
    ];

    /// The class of its words or letters.
    ///
    /// ```
    /// use groundlore_plant_health::treatment::DropletClass;
    /// assert_eq!(DropletClass::from_words("VC"), DropletClass::from_words("very coarse"));
    /// assert_eq!(DropletClass::from_words("misty"), None);
    /// ```
    #[must_use]
    pub fn from_words(text: &str) -> Option<Self> {
        let text = text.trim();
        Self::ALL.iter().find(|(_, words, letters)| text.eq_ignore_ascii_case(words) || text == *letters).map(|(class, ..)| *class)
    }

    /// Its words.
    #[must_use]
    pub fn words(self) -> &'static str {
        Self::ALL.iter().find(|(class, ..)| *class == self).map_or("", |(_, words, _)| words)
    }

    /// The class of a nozzle from the diameters below which 10, 50 and 90 % of its volume falls, by those of reference nozzles measured with
    /// the same instrument: the borders of the standard are such curves, not figures. `borders` holds seven, from extremely fine | very fine
    /// to extremely coarse | ultra coarse. The class is that of the finest of the three diameters; none where the borders are not in order.
    ///
    /// # Source
    /// ASABE S572 works by comparison with reference nozzles (GRDC, *Spray application manual*, module 4.2, read); that the finest of the
    /// three decides errs toward more drift (memory).
    #[must_use]
    pub fn by_reference(measured: [f64; 3], borders: &[[f64; 3]; 7]) -> Option<Self> {
        let sound = measured.iter().all(|d| d.is_finite() && *d > 0.0) && measured.is_sorted();
        let rising = |place: usize| borders.windows(2).all(|pair| pair[0][place] < pair[1][place]);
        if !sound || !(0..3).all(rising) {
            return None;
        }
        let class_at = |place: usize| borders.iter().filter(|border| measured[place] >= border[place]).count();
        let finest = (0..3).map(class_at).min().unwrap_or(0);
        Self::ALL.get(finest).map(|(class, ..)| *class)
    }
}

/// All that a label card rules beyond its amounts. Blank by default.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct LabelRules {
    /// What it says of children, pets and other people.
    pub people: Said<()>,
    /// Who may apply it.
    pub applicator: Said<Applicator>,
    /// Plants in flower.
    pub bloom: Said<BloomRule>,
    /// Distance to keep from wells, m.
    pub well_m: Said<f64>,
    /// Wind, m/s.
    pub wind_m_s: Said<Bounds>,
    /// Most gust, m/s.
    pub gust_m_s: Said<f64>,
    /// Air temperature, °C.
    pub temperature_c: Said<Bounds>,
    /// Time without rain after application, h.
    pub rain_free_h: Said<f64>,
    /// Leaves.
    pub leaves: Said<Leaves>,
    /// Not during a temperature inversion.
    pub inversion: Said<()>,
    /// Finest and coarsest droplet class.
    pub droplets: Said<(DropletClass, DropletClass)>,
    /// Kinds of turf on which it may be used.
    pub turf_allowed: Said<Vec<String>>,
    /// Kinds of turf that it injures.
    pub turf_injured: Said<Vec<String>>,
    /// Days that seedling turf must be old.
    pub seedling_days: Said<f64>,
    /// Days from application to seeding.
    pub reseeding_days: Said<f64>,
    /// Distance to keep from roots of trees and shrubs, m.
    pub tree_roots_m: Said<f64>,
    /// Clippings.
    pub clippings: Said<()>,
    /// Compost and mulch of them.
    pub compost: Said<()>,
    /// Temperature of the soil, °C.
    pub soil_temperature_c: Said<Bounds>,
    /// Moist soil.
    pub soil_moist: Said<()>,
    /// Days for which the stock may be used.
    pub age_days: Said<f64>,
    /// Most applications in a year.
    pub yearly_applications: Said<u32>,
    /// Water that carries it, m³/m²; none where the card gives none.
    pub carrier_m: Option<f64>,
    /// Edition of the list that the group on the card is from.
    pub group_edition: Option<String>,
}
