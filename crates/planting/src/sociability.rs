//! How many of a kind stand together: the gardener's five grades from one alone to a carpet.

use groundlore_lore::plant::{Plant, PlantKind, Vigour};
use groundlore_lore::provenance::Source;
use serde::{Deserialize, Serialize};

/// Grade of sociability, 1 to 5.
///
/// # Source
/// The scale of Hansen and Stahl as tabled in a public repository (read): 1 single, 2 groups of 3–10, 3 groups of 10–20,
/// 4 colonies, 5 large carpets. The upper ends of 4 and 5 are ours, `common practice`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sociability {
    /// One alone.
    Single,
    /// Three to ten together.
    SmallGroup,
    /// Ten to twenty together.
    LargeGroup,
    /// Twenty and more.
    Colony,
    /// A carpet.
    Carpet,
}

impl Sociability {
    /// Fewest and most of a kind that stand in one drift.
    ///
    /// ```
    /// use groundlore_planting::sociability::Sociability;
    /// assert_eq!(Sociability::SmallGroup.drift(), (3, 10));
    /// ```
    pub fn drift(self) -> (usize, usize) {
        match self {
            Sociability::Single => (1, 1),
            Sociability::SmallGroup => (3, 10),
            Sociability::LargeGroup => (10, 20),
            Sociability::Colony => (20, 60),
            Sociability::Carpet => (20, 200),
        }
    }

    /// The grade's number, 1 to 5.
    pub fn grade(self) -> u8 {
        self as u8 + 1
    }
}

/// Grades that were read, by lore key.
const READ: [(&str, Sociability); 7] = [
    ("aruncus-dioicus", Sociability::Single),
    ("panicum-virgatum", Sociability::Single),
    ("echinacea-purpurea", Sociability::SmallGroup),
    ("liatris-spicata", Sociability::SmallGroup),
    ("mertensia-virginica", Sociability::Colony),
    ("carex-pensylvanica", Sociability::Carpet),
    ("tiarella-cordifolia", Sociability::Carpet),
];

/// Source key, in lore, of the grades that were read.
pub const SCALE: &str = "hortplan-sociability";

/// Sociability of a plant with its source: the read grade where there is one, else by kind and spacing (`common practice`).
///
/// Trees, shrubs and what stands 1 m apart or more go alone; bulbs and ground covers in large groups; dainty plants and those
/// at 30 cm or less in groups of ten to twenty; the rest in groups of three to ten.
pub fn sociability(plant: &Plant) -> (Sociability, Source) {
    if let Some((_, grade)) = READ.iter().find(|(key, _)| *key == plant.key) {
        return (*grade, Source(vec![SCALE.to_owned()]));
    }
    let spacing_m = f64::midpoint(plant.spacing.low.si(), plant.spacing.high.si());
    let grade = match plant.kind {
        PlantKind::Shrub | PlantKind::SmallTree => Sociability::Single,
        PlantKind::Bulb if spacing_m < 0.15 => Sociability::Colony,
        PlantKind::Bulb | PlantKind::Groundcover => Sociability::LargeGroup,
        _ if spacing_m >= 1.0 => Sociability::Single,
        _ if spacing_m <= 0.3 && plant.vigour != Vigour::Aggressive => Sociability::LargeGroup,
        _ => Sociability::SmallGroup,
    };
    (grade, Source(vec![Source::COMMON_PRACTICE.to_owned()]))
}
