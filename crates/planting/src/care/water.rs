//! Water for new plants.

use super::{CarePlant, CareTask, CareWork, PlantedAt, keys, thawed};
use crate::calendar::days_after;
use groundlore_lore::plant::PlantKind;

const MINNESOTA: &str = "University of Minnesota Extension, Watering newly planted trees and shrubs";
const FLORIDA: &str = "University of Florida irrigation research; HortScience 44, 1438 and 1683 (2009)";

/// Litres in a US gallon.
const GALLON_L: f64 = 3.785_411_784;

/// Minnesota's three stages: first day, last day (from planting), fewest and most days between.
const STAGES: [(i64, i64, (u32, u32)); 3] = [(0, 13, (1, 1)), (14, 83, (2, 3)), (84, 364, (7, 7))];

/// Plants that take the same amount.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Taker {
    Herb,
    Shrub,
    Tree,
}

fn taker(kind: PlantKind) -> Taker {
    match kind {
        PlantKind::Shrub => Taker::Shrub,
        PlantKind::SmallTree => Taker::Tree,
        _ => Taker::Herb,
    }
}

/// Watering tasks: herbs together, each woody plant by its own amount.
pub(super) fn tasks(plants: &[CarePlant], at: &PlantedAt) -> Vec<CareTask> {
    let (bulbs, growing): (Vec<CarePlant>, Vec<CarePlant>) = plants.iter().cloned().partition(|plant| plant.kind == PlantKind::Bulb);
    let (herbs, woody): (Vec<CarePlant>, Vec<CarePlant>) = growing.into_iter().partition(|plant| taker(plant.kind) == Taker::Herb);
    let mut tasks = if herbs.is_empty() { Vec::new() } else { staged(&herbs, at, None) };
    tasks.extend((!bulbs.is_empty()).then(|| water_in(&bulbs, at)));
    for plant in &woody {
        if let Some(task) = florida(plant, at) {
            tasks.extend(task);
        } else {
            tasks.extend(staged(std::slice::from_ref(plant), at, litres(plant)));
        }
    }
    tasks
}

/// Litres each time: 25 to 33 % of a shrub's pot, 1 to 1.5 gal for each inch of a tree's caliper.
pub(super) fn litres(plant: &CarePlant) -> Option<(f64, f64)> {
    match taker(plant.kind) {
        Taker::Herb => None,
        Taker::Shrub => plant.pot_l.map(|pot_l| (0.25 * pot_l, 0.33 * pot_l)),
        Taker::Tree => plant.caliper_m.map(|caliper_m| {
            let inches = caliper_m / 0.0254;
            (GALLON_L * inches, 1.5 * GALLON_L * inches)
        }),
    }
}

fn staged(plants: &[CarePlant], at: &PlantedAt, litres_each: Option<(f64, f64)>) -> Vec<CareTask> {
    let herbs = plants.iter().all(|plant| taker(plant.kind) == Taker::Herb);
    let scope = if herbs { "measured on trees and shrubs; the nearest there is for perennials" } else { "Minnesota figures" };
    let zone =
        if at.zone >= 8 { format!("; here zone {}, warmer than where they were found: look more often", at.zone) } else { String::new() };
    let mut tasks = Vec::new();
    for (first, last, every_days) in STAGES {
        for (from, to) in thawed(days_after(at.planted, first), days_after(at.planted, last), at.frozen) {
            tasks.push(CareTask {
                work: CareWork::Water,
                plants: keys(plants),
                what: format!("Water {} unless it has rained enough: wet the root ball and the soil about it.", how_often(every_days)),
                from,
                best: from,
                to,
                every_days: Some(every_days),
                litres_each,
                why: format!("roots live in the ball they came in until they reach out ({scope}{zone}); often beats much: a large volume now and then does not make up"),
                source: MINNESOTA.to_owned(),
                cautions: vec!["Feel the soil first: roots drown in soil that stays wet.".to_owned()],
            });
        }
    }
    tasks
}

/// Bulbs go in dry and asleep: one watering.
fn water_in(bulbs: &[CarePlant], at: &PlantedAt) -> CareTask {
    CareTask {
        work: CareWork::Water,
        plants: keys(bulbs),
        what: "Water bulbs in once after planting; bulbs bought in growth are watered as the perennials are.".to_owned(),
        from: at.planted,
        best: at.planted,
        to: days_after(at.planted, 3),
        every_days: None,
        litres_each: None,
        why: "one soaking settles the soil about a dry bulb; more in cold soil rots it".to_owned(),
        source: "common practice".to_owned(),
        cautions: Vec::new(),
    }
}

fn how_often(every_days: (u32, u32)) -> String {
    match every_days {
        (1, 1) => "daily".to_owned(),
        (7, 7) => "weekly until the plant is established".to_owned(),
        (low, high) if low == high => format!("every {low} days"),
        (low, high) => format!("every {low} to {high} days"),
    }
}

/// Florida's rule for shrubs from pots of about 11.4 L in zone 8 and warmer: 3 L every 8 days (every 4 in zone 10) for 12 to 28
/// weeks.
fn florida(plant: &CarePlant, at: &PlantedAt) -> Option<Vec<CareTask>> {
    let pot_fits = plant.pot_l.is_some_and(|pot_l| (8.5..=14.0).contains(&pot_l));
    if !(taker(plant.kind) == Taker::Shrub && at.zone >= 8 && pot_fits) {
        return None;
    }
    let every_days = match at.zone {
        8 => (8, 8),
        9 => (4, 8),
        _ => (4, 4),
    };
    let task = |(from, to)| {
        CareTask {
        work: CareWork::Water,
        plants: vec![plant.key.clone()],
        what: format!("Water {} unless it has rained enough: 3 L on the root ball.", how_often(every_days)),
        from,
        best: from,
        to,
        every_days: Some(every_days),
        litres_each: Some((3.0, 3.0)),
        why: "shrubs from 11.4 L pots needed it for 12 to 28 weeks; more often, or 6 to 9 L, gave no lasting gain, and excess made fewer roots for the shoots".to_owned(),
        source: FLORIDA.to_owned(),
        cautions: vec!["Feel the soil first: roots drown in soil that stays wet.".to_owned()],
    }
    };
    Some(thawed(at.planted, days_after(at.planted, 28 * 7), at.frozen).into_iter().map(task).collect())
}

/// Amounts that could not be told.
pub(super) fn not_checked(plants: &[CarePlant]) -> Vec<String> {
    let told = |plant: &CarePlant| match (taker(plant.kind), litres(plant)) {
        (Taker::Shrub, None) => {
            Some(format!("{}: litres each time (a quarter to a third of its pot): the pot's volume is not known", plant.name))
        }
        (Taker::Tree, None) => {
            Some(format!("{}: litres each time (1 to 1.5 gal for each inch of caliper): the caliper is not known", plant.name))
        }
        _ => None,
    };
    let herbs = plants.iter().any(|plant| taker(plant.kind) == Taker::Herb);
    let herbs = herbs.then(|| "perennials, grasses and bulbs: litres each time, for want of a published figure".to_owned());
    plants.iter().filter_map(told).chain(herbs).collect()
}
