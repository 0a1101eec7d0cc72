//! What the first year asks of a new planting: water, mulch, weeds, a look for heaving, the first cut-back.
//!
//! Every task has its days, how often, why and a source. Water figures were measured on trees and shrubs in Minnesota and in
//! Florida; for perennials they are the nearest there is, and say so. Rain counts as water: the week takes it off.

mod cut_back;
mod water;

use crate::calendar::{days_after, months_at, next_day};
use crate::choose::Chosen;
use groundlore_lore::plant::{CutBack, PlantKind};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Kind of work in the first year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum CareWork {
    Water,
    Mulch,
    Weed,
    LookForHeaving,
    CutBack,
}

/// A task of the first year with its window.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CareTask {
    /// What work.
    pub work: CareWork,
    /// Keys of the plants it is for.
    pub plants: Vec<String>,
    /// What to do.
    pub what: String,
    /// First day.
    pub from: Date,
    /// Best day, or the first of a run.
    pub best: Date,
    /// Last day.
    pub to: Date,
    /// Fewest and most days between two times, for work that comes again.
    pub every_days: Option<(u32, u32)>,
    /// Litres for each plant each time, low and high; `None` is not checked.
    pub litres_each: Option<(f64, f64)>,
    /// Why.
    pub why: String,
    /// Where the figures come from.
    pub source: String,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// Something that is often done and is not needed here.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NotNeeded {
    /// What.
    pub what: String,
    /// Why.
    pub why: String,
    /// Source.
    pub source: String,
}

/// A plant to be cared for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CarePlant {
    /// Key in lore.
    pub key: String,
    /// Common name.
    pub name: String,
    /// What it is.
    pub kind: PlantKind,
    /// Months of bloom at the place, in order.
    pub bloom_months: Vec<u8>,
    /// When and how it is cut back.
    pub cut_back: CutBack,
    /// Volume of the pot it came in, litres, if known.
    pub pot_l: Option<f64>,
    /// Trunk thickness 6 in above the ground, metres, for trees, if known.
    pub caliper_m: Option<f64>,
    /// Cautions for those who handle it.
    pub cautions: Vec<String>,
}

impl From<&Chosen> for CarePlant {
    fn from(kind: &Chosen) -> Self {
        CarePlant {
            key: kind.key.clone(),
            name: kind.name.clone(),
            kind: kind.kind,
            bloom_months: kind.bloom_months.clone(),
            cut_back: kind.cut_back.clone(),
            pot_l: None,
            caliper_m: None,
            cautions: kind.cautions.clone(),
        }
    }
}

/// When and where it was planted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PlantedAt {
    /// Day of planting.
    pub planted: Date,
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Hardiness zone, number only.
    pub zone: u8,
    /// First and last day of frozen ground in the first winter, if the station gives them: no watering or weeding between.
    pub frozen: Option<(Date, Date)>,
}

/// The first year of a planting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FirstYear {
    /// Tasks by first day, then by kind of work.
    pub tasks: Vec<CareTask>,
    /// What is not needed.
    pub not_needed: Vec<NotNeeded>,
    /// What was not known.
    pub not_checked: Vec<String>,
}

/// A planting whose care cannot be told.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[allow(missing_docs)]
pub enum CareError {
    #[error("no plants were given; give at least one")]
    NoPlants,
    #[error("latitude is {seen}; give degrees from -90 to 90, north positive, for example 43.0")]
    Latitude { seen: f64 },
    #[error("the ground freezes on {from} and thaws on {to}; the thaw must come later, for example 2015-12-05 and 2016-03-20")]
    Frozen { from: Date, to: Date },
    #[error("{key}: {name} is {value}; it must be above 0, or left out if it is not known")]
    Measure { key: String, name: &'static str, value: f64 },
}

/// The tasks of the first year after planting.
///
/// # Errors
/// No plants; a latitude, frozen days or a measure that makes no sense.
///
/// # Source
/// Water: Minnesota Extension, *Watering newly planted trees and shrubs* (intervals, volume by caliper, a quarter to a third of
/// the pot's volume); University of Florida (three litres every eight or four days for shrubs from 11 litre pots). Mulch 2 to 4
/// in: extension notes. Heaving: Minnesota Extension (Postels, 2017). Days of cutting back by season: common practice.
///
/// # Example
/// ```
/// use groundlore_planting::care::{CarePlant, CareWork, PlantedAt, first_year};
/// use groundlore_planting::{choose::choose, outline::BedSize, wishes::Wishes};
/// use jiff::civil::date;
/// let lore = groundlore_lore::Lore::built_in()?;
/// let choice = choose(&lore.plants, &Wishes::default(), BedSize { area_m2: 24.0, depth_m: 3.0 })?;
/// let plants: Vec<CarePlant> = choice.chosen.iter().map(CarePlant::from).collect();
/// let at = PlantedAt { planted: date(2015, 9, 25), latitude_deg: 43.0, zone: 5, frozen: None };
/// let year = first_year(&plants, &at)?;
/// assert!(year.tasks.iter().any(|task| task.work == CareWork::LookForHeaving));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn first_year(plants: &[CarePlant], at: &PlantedAt) -> Result<FirstYear, CareError> {
    check(plants, at)?;
    let mut tasks = water::tasks(plants, at);
    tasks.push(mulch(plants, at));
    tasks.extend(weed(plants, at));
    tasks.extend(heaving(plants, at));
    tasks.extend(plants.iter().filter_map(|plant| cut_back::task(plant, at)));
    tasks.sort_by(|a, b| a.from.cmp(&b.from).then(a.work.cmp(&b.work)).then_with(|| a.plants.cmp(&b.plants)));
    let mut not_checked = water::not_checked(plants);
    if at.frozen.is_none() {
        not_checked
            .push("days of frozen ground: watering and weeding are shown through winter; leave them while the ground is frozen".to_owned());
    }
    Ok(FirstYear { tasks, not_needed: not_needed(plants), not_checked })
}

fn check(plants: &[CarePlant], at: &PlantedAt) -> Result<(), CareError> {
    if plants.is_empty() {
        return Err(CareError::NoPlants);
    }
    if !(-90.0..=90.0).contains(&at.latitude_deg) {
        return Err(CareError::Latitude { seen: at.latitude_deg });
    }
    if let Some((from, to)) = at.frozen.filter(|(from, to)| to <= from) {
        return Err(CareError::Frozen { from, to });
    }
    let measures = plants
        .iter()
        .flat_map(|plant| [(plant, "the pot's volume in litres", plant.pot_l), (plant, "the caliper in metres", plant.caliper_m)]);
    for (plant, name, value) in measures {
        if let Some(value) = value.filter(|value| !(value.is_finite() && *value > 0.0)) {
            return Err(CareError::Measure { key: plant.key.clone(), name, value });
        }
    }
    Ok(())
}

fn keys(plants: &[CarePlant]) -> Vec<String> {
    plants.iter().map(|plant| plant.key.clone()).collect()
}

/// A run of days with the frozen days cut out.
fn thawed(from: Date, to: Date, frozen: Option<(Date, Date)>) -> Vec<(Date, Date)> {
    let Some((freezes, thaws)) = frozen else { return vec![(from, to)] };
    let before = (from, to.min(days_after(freezes, -1)));
    let after = (from.max(days_after(thaws, 1)), to);
    let runs = if thaws < from || freezes > to { vec![(from, to)] } else { vec![before, after] };
    runs.into_iter().filter(|(from, to)| from <= to).collect()
}

fn mulch(plants: &[CarePlant], at: &PlantedAt) -> CareTask {
    CareTask {
        work: CareWork::Mulch,
        plants: keys(plants),
        what: "Mulch 2 to 4 in deep between the plants, and keep it clear of crowns and stems.".to_owned(),
        from: at.planted,
        best: days_after(at.planted, 1),
        to: days_after(at.planted, 14),
        every_days: None,
        litres_each: None,
        why: "mulch keeps the soil moist and evens out frost; against a crown or stem it rots it".to_owned(),
        source: "extension notes (read): 2 to 4 in deep, clear of stems; common practice for crowns".to_owned(),
        cautions: vec!["Lift with the legs; a cubic yard of wet mulch weighs several hundred pounds.".to_owned()],
    }
}

fn weed(plants: &[CarePlant], at: &PlantedAt) -> Vec<CareTask> {
    let task = |(from, to): (Date, Date)| CareTask {
        work: CareWork::Weed,
        plants: keys(plants),
        what: "Pull weeds while they are small, with the root; do not hoe near young crowns.".to_owned(),
        from,
        best: from,
        to,
        every_days: Some((14, 21)),
        litres_each: None,
        why: "young plants have not closed the ground; a weed that seeds is many next year".to_owned(),
        source: "common practice".to_owned(),
        cautions: vec!["Gloves; know poison ivy, wild parsnip and giant hogweed before pulling.".to_owned()],
    };
    thawed(days_after(at.planted, 14), days_after(at.planted, 364), at.frozen).into_iter().map(task).collect()
}

/// Looks for heaved plants after an autumn planting: late winter to mid spring.
fn heaving(plants: &[CarePlant], at: &PlantedAt) -> Option<CareTask> {
    let autumn = months_at(8, 12, at.latitude_deg);
    let planted_month = u8::try_from(at.planted.month()).unwrap_or(0);
    autumn.contains(&planted_month).then(|| {
        let from = next_day(2, 1, at.latitude_deg, at.planted);
        CareTask {
            work: CareWork::LookForHeaving,
            plants: keys(plants),
            what: "After thaws look for crowns lifted out of the soil; press them back by hand and top up the mulch.".to_owned(),
            from,
            best: days_after(from, 28),
            to: next_day(4, 15, at.latitude_deg, from),
            every_days: Some((7, 14)),
            litres_each: None,
            why: "plants set in autumn have few roots to hold them when the ground freezes and thaws".to_owned(),
            source: "University of Minnesota Extension (Postels, 2017): autumn plantings may heave; days common practice".to_owned(),
            cautions: Vec::new(),
        }
    })
}

fn not_needed(plants: &[CarePlant]) -> Vec<NotNeeded> {
    let mut not_needed = vec![NotNeeded {
        what: "staking".to_owned(),
        why: "plants at their right spacing hold one another; a tree that cannot stand by itself is one for an arborist to see".to_owned(),
        source: "common practice".to_owned(),
    }];
    not_needed.push(NotNeeded {
        what: "feeding in the first year".to_owned(),
        why: "roots come first; feed only what a soil test asks for".to_owned(),
        source: "common practice".to_owned(),
    });
    let none = plants.iter().filter(|plant| plant.cut_back.when == groundlore_lore::plant::CutBackWhen::None);
    not_needed.extend(none.map(|plant| NotNeeded {
        what: format!("cutting back {}", plant.name),
        why: plant.cut_back.how.clone(),
        source: plant.cut_back.source.to_string(),
    }));
    not_needed
}
