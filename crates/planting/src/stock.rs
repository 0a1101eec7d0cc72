//! What to check on plants at the nursery gate, and the verdict.
//!
//! A check that was not done is *not checked*, never passed; a lot passes only when every check that it needs was done. A figure
//! from common practice or memory can cast doubt, but passes nothing by itself.

use groundlore_lore::plant::PlantKind;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A thing to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CheckKey {
    /// The label says the plant that was ordered.
    Label,
    /// Roots at the pot's edge.
    RootsAtEdge,
    /// Roots going round.
    RootsCircling,
    /// The outer layer of the ball under a thumbnail.
    OuterLayer,
    /// Root colour and smell.
    RootColour,
    /// Shoots from the crown, rather than flowers.
    Shoots,
    /// Root flare seen at the top of the ball; woody plants.
    RootFlare,
    /// Insects, eggs, spots, mildew.
    Pests,
    /// Weeds and their seed in the pot.
    Weeds,
    /// Wet enough, firm in the pot.
    Ball,
    /// Height over stem thickness; woody plants, if measured.
    Sturdiness,
}

/// Grade of one check or of the lot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Sound.
    Pass,
    /// Not done or not known.
    NotChecked,
    /// Ask, or take at a lower price, or take few.
    Doubt,
    /// Send it back.
    Refuse,
}

/// A check with what passes, what is in doubt and what is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct StockCheck {
    /// Key.
    pub key: CheckKey,
    /// What to do and look at.
    pub look: &'static str,
    /// What passes.
    pub pass: &'static str,
    /// What is in doubt.
    pub doubt: &'static str,
    /// What is refused.
    pub refuse: &'static str,
    /// For woody plants only.
    pub woody_only: bool,
    /// Whether the lot can pass without it.
    pub needed: bool,
    /// Where it comes from.
    pub source: &'static str,
}

const GARDEN_PAGES: &str =
    "Canadian Gardening, How to select a winning perennial; Augusta Chronicle garden page, 28 January 2010; common practice";

/// Every check, in the order of the walk: label, pot, roots, top.
pub const CHECKS: [StockCheck; 11] = [
    StockCheck {
        key: CheckKey::Label,
        look: "read the label against the order: the botanical name and the kind",
        pass: "the name is the one ordered",
        doubt: "a common name only, or a label that may have moved from another pot",
        refuse: "another plant, or another kind without the buyer's word",
        woody_only: false,
        needed: true,
        source: "common practice",
    },
    StockCheck {
        key: CheckKey::RootsAtEdge,
        look: "slide the plant out and look at the side of the ball",
        pass: "roots reach the edge of the pot and the ball holds together",
        doubt: "roots only just reach it, or soil falls away at the corners: lately moved to a larger pot",
        refuse: "no roots at the edge and the ball falls apart",
        woody_only: false,
        needed: true,
        source: GARDEN_PAGES,
    },
    StockCheck {
        key: CheckKey::RootsCircling,
        look: "look whether roots go round the pot, and at the holes below",
        pass: "none go round, or a few fine ones that can be teased out",
        doubt: "a mat below, or roots out of the holes, that would have to be cut",
        refuse: "thick roots wound hard round the ball, or round the stem",
        woody_only: false,
        needed: true,
        source: GARDEN_PAGES,
    },
    StockCheck {
        key: CheckKey::OuterLayer,
        look: "rub the outer roots with a thumbnail",
        pass: "the outer layer stays on: nothing sloughs",
        doubt: "a little comes off at one place",
        refuse: "the skin slips off in many places: the roots are dying",
        woody_only: false,
        needed: true,
        source: "common practice",
    },
    StockCheck {
        key: CheckKey::RootColour,
        look: "look at the colour of the young roots and smell the ball",
        pass: "whitish or tan, firm, smells of soil",
        doubt: "brown on one side only",
        refuse: "dark and soft, or a sour smell",
        woody_only: false,
        needed: true,
        source: GARDEN_PAGES,
    },
    StockCheck {
        key: CheckKey::Shoots,
        look: "count the shoots from the crown; let flowers not mislead",
        pass: "many shoots, buds rather than open flowers: six are better than three",
        doubt: "fewer than three, or one long thin stem in flower",
        refuse: "no live shoot or bud at the crown",
        woody_only: false,
        needed: true,
        source: "Canadian Gardening, How to select a winning perennial (several growing points); figures common practice",
    },
    StockCheck {
        key: CheckKey::RootFlare,
        look: "find where the stem widens into roots",
        pass: "the flare is at the top of the ball, two main roots within 1 to 3 in of it",
        doubt: "it lies under some soil that can be taken off",
        refuse: "it cannot be found, or a root lies across the stem",
        woody_only: true,
        needed: true,
        source: "extension planting notes (read): flare visible, two structural roots in the top 1 to 3 in",
    },
    StockCheck {
        key: CheckKey::Pests,
        look: "turn leaves over; look at stems and the crown",
        pass: "no insects, eggs, webs, spots or mildew",
        doubt: "a few spots or insects on one plant: name them first",
        refuse: "many, or on most plants of the lot, or a soft dark crown",
        woody_only: false,
        needed: true,
        source: GARDEN_PAGES,
    },
    StockCheck {
        key: CheckKey::Weeds,
        look: "look at the soil in the pot for weeds and their seed heads",
        pass: "none",
        doubt: "a few seedlings that pull out whole",
        refuse: "running roots of a weed in the ball, or weeds that have seeded",
        woody_only: false,
        needed: true,
        source: "common practice",
    },
    StockCheck {
        key: CheckKey::Ball,
        look: "feel the soil; rock the stem",
        pass: "moist, and the plant stands firm",
        doubt: "dry, shrunk from the pot's wall, but leaves are sound",
        refuse: "bone dry and wilted, or loose in the pot",
        woody_only: false,
        needed: true,
        source: GARDEN_PAGES,
    },
    StockCheck {
        key: CheckKey::Sturdiness,
        look: "if it is a seedling or whip: measure the height in cm and the stem in mm at the soil",
        pass: "a measure casts doubt only; it passes nothing by itself",
        doubt: "height over thickness above 8 cm/mm: drawn up and weak",
        refuse: "none",
        woody_only: true,
        needed: false,
        source: "Dickson, Leaf & Hosner (1960), Forestry Chronicle 36, 10–13, for the quotient; the limit of 8 is memory",
    },
];

/// What was seen.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// What the check calls sound.
    Pass,
    /// What the check calls doubtful.
    Doubt,
    /// What the check refuses.
    Refuse,
    /// Not looked at.
    NotChecked,
    /// Shoots counted, and whether the plant is in open flower; for [`CheckKey::Shoots`].
    Shoots {
        /// Live shoots or buds from the crown.
        shoots: u32,
        /// In open flower.
        in_flower: bool,
    },
    /// Height and stem measured; for [`CheckKey::Sturdiness`].
    Measured {
        /// Height, cm.
        height_cm: f64,
        /// Stem at the root collar, mm.
        collar_mm: f64,
    },
}

/// One check judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Judged {
    /// Which.
    pub key: CheckKey,
    /// Grade.
    pub verdict: Verdict,
    /// Why.
    pub why: String,
    /// Where the rule comes from.
    pub source: &'static str,
}

/// The lot judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StockVerdict {
    /// Grade of the lot: the worst of its checks; not checked when any needed one was not done and none is worse.
    pub verdict: Verdict,
    /// In words.
    pub why: String,
    /// Check by check.
    pub checks: Vec<Judged>,
}

/// An answer that does not fit its check.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StockError {
    /// Wrong kind of answer.
    #[error(
        "{key:?} was answered with {answer:?}; a count of shoots belongs to shoots, a height and stem to sturdiness, else answer pass, doubt, refuse or not-checked"
    )]
    WrongAnswer {
        /// The check.
        key: CheckKey,
        /// The answer.
        answer: Answer,
    },
    /// A measure at or below 0.
    #[error("{name} is {value}; it must be above 0, for example {example}")]
    Measure {
        /// Which.
        name: &'static str,
        /// Seen.
        value: f64,
        /// An example.
        example: &'static str,
    },
}

/// The checks that a plant of a kind needs or may have.
pub fn checks_for(kind: PlantKind) -> Vec<StockCheck> {
    let woody = matches!(kind, PlantKind::Shrub | PlantKind::SmallTree);
    CHECKS.into_iter().filter(|check| woody || !check.woody_only).collect()
}

/// Judges a lot of a kind by what was seen.
///
/// Any refusal refuses it; any doubt puts it in doubt; a needed check not done leaves it not checked; else it passes.
///
/// # Errors
/// An answer of the wrong kind; a measure at or below 0.
///
/// # Example
/// ```
/// use groundlore_lore::plant::PlantKind;
/// use groundlore_planting::stock::{Answer, CheckKey, Verdict, judge};
/// let mut seen = std::collections::BTreeMap::from([(CheckKey::RootsAtEdge, Answer::Pass)]);
/// assert_eq!(judge(PlantKind::Perennial, &seen)?.verdict, Verdict::NotChecked);
/// seen.insert(CheckKey::OuterLayer, Answer::Refuse);
/// assert_eq!(judge(PlantKind::Perennial, &seen)?.verdict, Verdict::Refuse);
/// # Ok::<(), groundlore_planting::stock::StockError>(())
/// ```
pub fn judge(kind: PlantKind, answers: &BTreeMap<CheckKey, Answer>) -> Result<StockVerdict, StockError> {
    let asked = checks_for(kind);
    let checks = asked
        .iter()
        .map(|check| judge_one(check, answers.get(&check.key).copied().unwrap_or(Answer::NotChecked)))
        .collect::<Result<Vec<Judged>, StockError>>()?;
    let counts =
        |judged: &&Judged| judged.verdict != Verdict::NotChecked || asked.iter().any(|check| check.key == judged.key && check.needed);
    let verdict = checks.iter().filter(counts).map(|judged| judged.verdict).max().unwrap_or(Verdict::NotChecked);
    let behind: Vec<&str> =
        checks.iter().filter(counts).filter(|judged| judged.verdict == verdict).map(|judged| judged.why.as_str()).collect();
    let why = match verdict {
        Verdict::Pass => "every needed check was done and passed".to_owned(),
        Verdict::NotChecked => format!("not all was looked at: {}", behind.join("; ")),
        Verdict::Doubt => format!("in doubt: {}", behind.join("; ")),
        Verdict::Refuse => format!("send it back: {}", behind.join("; ")),
    };
    Ok(StockVerdict { verdict, why, checks })
}

fn judge_one(check: &StockCheck, answer: Answer) -> Result<Judged, StockError> {
    let (verdict, why) = match (check.key, answer) {
        (_, Answer::NotChecked) => (Verdict::NotChecked, format!("{:?} not checked: {}", check.key, check.look)),
        (CheckKey::Shoots, Answer::Shoots { shoots, in_flower }) => shoots_seen(shoots, in_flower),
        (CheckKey::Sturdiness, Answer::Measured { height_cm, collar_mm }) => sturdiness_seen(height_cm, collar_mm)?,
        (CheckKey::Sturdiness, Answer::Pass | Answer::Refuse) | (_, Answer::Shoots { .. } | Answer::Measured { .. }) => {
            return Err(StockError::WrongAnswer { key: check.key, answer });
        }
        (_, Answer::Pass) => (Verdict::Pass, check.pass.to_owned()),
        (_, Answer::Doubt) => (Verdict::Doubt, check.doubt.to_owned()),
        (_, Answer::Refuse) => (Verdict::Refuse, check.refuse.to_owned()),
    };
    Ok(Judged { key: check.key, verdict, why, source: check.source })
}

fn shoots_seen(shoots: u32, in_flower: bool) -> (Verdict, String) {
    let flower = if in_flower { "in open flower" } else { "not in flower" };
    match shoots {
        0 => (Verdict::Refuse, "no live shoot or bud at the crown".to_owned()),
        1 | 2 => (Verdict::Doubt, format!("{shoots} of 3 shoots or more, {flower}")),
        3..=5 => (Verdict::Pass, format!("{shoots} live shoots, several growing points, {flower}; six would be better")),
        _ => (Verdict::Pass, format!("{shoots} live shoots, several growing points, {flower}")),
    }
}

fn sturdiness_seen(height_cm: f64, collar_mm: f64) -> Result<(Verdict, String), StockError> {
    let quotient = sturdiness_cm_per_mm(height_cm, collar_mm)?;
    Ok(if quotient > 8.0 {
        (Verdict::Doubt, format!("height over stem {quotient:.1} cm/mm, above 8: drawn up"))
    } else {
        (Verdict::NotChecked, format!("height over stem {quotient:.1} cm/mm, not above 8: no ground for doubt, and no pass by itself"))
    })
}

fn above_zero(name: &'static str, value: f64, example: &'static str) -> Result<f64, StockError> {
    if value.is_finite() && value > 0.0 { Ok(value) } else { Err(StockError::Measure { name, value, example }) }
}

/// Sturdiness quotient: height (cm) over root-collar diameter (mm).
///
/// # Errors
/// A measure at or below 0.
///
/// # Source
/// Dickson, A., Leaf, A. L. & Hosner, J. F. (1960), *Forestry Chronicle* 36, 10–13.
///
/// ```
/// use groundlore_planting::stock::sturdiness_cm_per_mm;
/// assert_eq!(sturdiness_cm_per_mm(35.0, 5.0)?, 7.0);
/// # Ok::<(), groundlore_planting::stock::StockError>(())
/// ```
pub fn sturdiness_cm_per_mm(height_cm: f64, collar_mm: f64) -> Result<f64, StockError> {
    Ok(above_zero("height_cm", height_cm, "35")? / above_zero("collar_mm", collar_mm, "5")?)
}

/// Ratio of shoot to root, by dry mass.
///
/// # Errors
/// A mass at or below 0.
pub fn shoot_to_root(shoot_g: f64, root_g: f64) -> Result<f64, StockError> {
    Ok(above_zero("shoot_g", shoot_g, "4.0")? / above_zero("root_g", root_g, "2.0")?)
}

/// Dickson quality index: total dry mass (g) over the sum of sturdiness (cm/mm) and shoot to root ratio. Larger is better within
/// a kind; it kills the plant that is measured, so it is for samples.
///
/// # Errors
/// A measure at or below 0.
///
/// # Source
/// Dickson, Leaf & Hosner (1960), *Forestry Chronicle* 36, 10–13.
///
/// ```
/// use groundlore_planting::stock::dickson_quality_index;
/// assert!((dickson_quality_index(35.0, 5.0, 4.0, 2.0)? - 0.667).abs() < 0.001);
/// # Ok::<(), groundlore_planting::stock::StockError>(())
/// ```
pub fn dickson_quality_index(height_cm: f64, collar_mm: f64, shoot_g: f64, root_g: f64) -> Result<f64, StockError> {
    let sum = sturdiness_cm_per_mm(height_cm, collar_mm)? + shoot_to_root(shoot_g, root_g)?;
    Ok((shoot_g + root_g) / sum)
}
