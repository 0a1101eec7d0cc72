//! The tasks of a new bed: order, plant, and the first year's care.

use super::BedOnDesk;
use super::when::PlantingDays;
use crate::take_off::Labour;
use crate::yards::slug;
use groundlore_lore::Lore;
use groundlore_lore::plant::PlantKind;
use groundlore_planting::care::{CareTask, CareWork};
use groundlore_planting::season::{PlantingSeason, Stock};
use groundlore_quantity::Quantity;
use groundlore_work::caution::{Hazard, cautions};
use groundlore_work::task::{Reason, Takes, Task, Window};
use jiff::ToSpan as _;
use jiff::civil::Date;

/// Days before planting by which plants are ordered (common practice).
const ORDER_AHEAD_DAYS: i64 = 14;

/// Every task of the bed, in the order of the work.
pub(super) fn tasks(bed: &BedOnDesk, lore: &Lore, today: Date) -> Vec<Task> {
    let mut all = Vec::new();
    for days in &bed.windows {
        let Some(window) = &days.window else { continue };
        all.push(order(bed, days, (window.earliest, window.best, window.latest), today));
        all.push(plant(bed, lore, days, window, today));
    }
    let care: &[CareTask] = bed.care.as_ref().map_or(&[], |year| &year.tasks);
    all.extend(together(care).iter().enumerate().map(|(place, one)| care_task(bed, one, place)));
    all.extend(cut_backs(bed, care));
    all
}

/// Key of a task of a bed.
pub(super) fn key(bed: &BedOnDesk, work: &str) -> String {
    format!("{}/bed/{}/{work}", slug(&bed.yard), slug(&bed.bed))
}

fn kinds_word(number: usize) -> String {
    if number == 1 { "one kind".to_owned() } else { format!("{number} kinds") }
}

fn stock_word(stock: Stock) -> &'static str {
    match stock {
        Stock::SpringBulb => "bulbs",
        Stock::Deciduous | Stock::Evergreen => "plants",
    }
}

/// Numbers to buy of the plants named.
fn bought(bed: &BedOnDesk, keys: &[String]) -> Vec<(String, Quantity)> {
    bed.plan
        .to_buy
        .iter()
        .filter(|line| keys.contains(&line.plant_key))
        .map(|line| (line.botanical.clone(), Quantity::bare(line.number as f64)))
        .collect()
}

fn order(bed: &BedOnDesk, days: &PlantingDays, (earliest, best, latest): (Date, Date, Date), today: Date) -> Task {
    let ahead = |day: Date| day.saturating_sub(ORDER_AHEAD_DAYS.days()).max(today);
    let materials = bought(bed, &days.plants);
    let number: f64 = materials.iter().map(|(_, n)| n.value).sum();
    let word = stock_word(days.stock);
    Task {
        key: key(bed, &format!("order-{word}")),
        yard: bed.yard.clone(),
        what: format!("Order {number} {word} of {} for {}; ask for the botanical names", kinds_word(materials.len()), bed.bed),
        place: Some(bed.bed.clone()),
        window: Window::by_weather(
            [ahead(earliest).min(ahead(best)), ahead(best), ahead(latest)],
            vec![format!("{ORDER_AHEAD_DAYS} days before each planting day (common practice); the odds are the planting's")],
            days.closes.iter().map(|(day, chance)| (day.saturating_sub(ORDER_AHEAD_DAYS.days()), *chance)).collect(),
            today,
        ),
        reasons: vec![
            Reason::new("plants are to stand at the yard by the best planting day", best.to_string(), "the planting window"),
            Reason::new("numbers are of the plan", format!("{number} in {}", crate::yards::square_feet(bed.area_m2)), "planting plan"),
        ],
        takes: Takes { materials, ..Takes::default() },
        forbids: vec!["a kind on the official list of invasive plants at the place: look there before buying".to_owned()],
        cautions: Vec::new(),
    }
}

fn plant(bed: &BedOnDesk, lore: &Lore, days: &PlantingDays, window: &groundlore_planting::season::Window, today: Date) -> Task {
    let materials = bought(bed, &days.plants);
    let number: f64 = materials.iter().map(|(_, n)| n.value).sum();
    let word = stock_word(days.stock);
    let labour = labour(bed, lore, &days.plants);
    let mut reasons: Vec<Reason> =
        window.reasons.iter().map(|r| Reason { text: r.text.clone(), figure: None, source: r.source.clone() }).collect();
    reasons.extend(window.against.iter().map(|r| Reason {
        text: format!("against it: {}", r.text),
        figure: None,
        source: r.source.clone(),
    }));
    reasons.extend(labour.iter().map(|l| Reason::new("time", l.working.clone(), l.source.clone())));
    let mut odds = window.odds.clone();
    odds.extend(window.not_checked.iter().map(|line| format!("not checked: {line}")));
    let mut warnings = cautions(&[Hazard::Digging, Hazard::Heat, Hazard::StingsAndTicks]);
    warnings.extend(
        bed.plan
            .kinds
            .iter()
            .filter(|kind| days.plants.contains(&kind.key))
            .flat_map(|kind| kind.cautions.iter().map(move |c| format!("{}: {c}", kind.name))),
    );
    Task {
        key: key(bed, &format!("plant-{word}")),
        yard: bed.yard.clone(),
        what: format!("Plant {number} {word} in {} to the plan ({})", bed.bed, season_word(window.season)),
        place: Some(bed.bed.clone()),
        window: Window::by_weather([window.earliest, window.best, window.latest], odds, days.closes.clone(), today),
        reasons,
        takes: Takes {
            minutes: labour.iter().map(|l| l.minutes).reduce(|a, b| (a.0 + b.0, a.1 + b.1)),
            materials,
            gear: vec!["gloves".to_owned()],
            ..Takes::default()
        },
        forbids: vec![
            "ground that is frozen, or so wet that it smears".to_owned(),
            "stock that was refused, or not yet checked, at the nursery gate".to_owned(),
        ],
        cautions: warnings,
    }
}

fn season_word(season: PlantingSeason) -> &'static str {
    match season {
        PlantingSeason::Autumn => "autumn planting",
        PlantingSeason::Spring => "spring planting",
    }
}

/// Person-time to plant, by the work norms for pots and for shrubs.
pub(crate) fn labour(bed: &BedOnDesk, lore: &Lore, keys: &[String]) -> Vec<Labour> {
    let woody =
        |key: &str| bed.plan.kinds.iter().any(|kind| kind.key == key && matches!(kind.kind, PlantKind::Shrub | PlantKind::SmallTree));
    let count = |shrubs: bool| -> f64 {
        bed.plan
            .to_buy
            .iter()
            .filter(|line| keys.contains(&line.plant_key) && woody(&line.plant_key) == shrubs)
            .map(|line| line.number as f64)
            .sum()
    };
    [("plant-one-gallon", false), ("plant-shrub", true)]
        .into_iter()
        .map(|(norm, shrubs)| (norm, count(shrubs)))
        .filter(|(_, number)| *number > 0.0)
        .filter_map(|(norm, number)| Labour::of(lore, norm, &Quantity::bare(number)))
        .collect()
}

fn care_word(work: CareWork) -> &'static str {
    match work {
        CareWork::Water => "water",
        CareWork::Mulch => "mulch",
        CareWork::Weed => "weed",
        CareWork::LookForHeaving => "look-for-heaving",
        CareWork::CutBack => "cut-back",
    }
}

/// Care that is the same on the same days is one task.
fn together(care: &[CareTask]) -> Vec<CareTask> {
    let mut all: Vec<CareTask> = Vec::new();
    for one in care.iter().filter(|one| one.work != CareWork::CutBack) {
        let same = |other: &&mut CareTask| {
            (other.work, &other.what, other.from, other.to, other.litres_each) == (one.work, &one.what, one.from, one.to, one.litres_each)
        };
        match all.iter_mut().find(same) {
            Some(other) => {
                other.plants.extend(one.plants.iter().cloned());
                if other.why != one.why {
                    other.why = format!("{}; and {}", other.why, one.why);
                }
            }
            None => all.push(one.clone()),
        }
    }
    all
}

fn again(one: &CareTask) -> Option<String> {
    let days = match one.every_days? {
        (1, 1) => "every day".to_owned(),
        (few, most) if few == most => format!("every {few} days"),
        (few, most) => format!("every {few} to {most} days"),
    };
    let rain = if one.work == CareWork::Water { "; a soaking rain counts as one watering" } else { "" };
    Some(format!("again {days} between these days{rain}"))
}

fn care_task(bed: &BedOnDesk, one: &CareTask, place: usize) -> Task {
    let mut odds = vec!["counted from the best planting day; planted on another day, it all moves with it".to_owned()];
    odds.extend(again(one));
    let mut reasons = vec![Reason { text: one.why.clone(), figure: None, source: one.source.clone() }];
    let gallons = one
        .litres_each
        .and_then(|(low, high)| Some((Quantity::from_si(low / 1000.0, "gal").ok()?, Quantity::from_si(high / 1000.0, "gal").ok()?)));
    if let Some((low, high)) = &gallons {
        let words = if low == high { low.rounded(2) } else { format!("{} to {}", low.rounded(2), high.rounded(2)) };
        reasons.push(Reason::new("water for each plant each time", words, one.source.clone()));
    }
    let number: usize = one.plants.iter().filter_map(|key| bed.plan.counts.get(key)).sum();
    let water =
        gallons.map(|(_, high)| ("water each time, at most".to_owned(), Quantity { value: high.value * number as f64, unit: high.unit }));
    Task {
        key: key(bed, &format!("{}-{place}", care_word(one.work))),
        yard: bed.yard.clone(),
        what: one.what.clone(),
        place: Some(bed.bed.clone()),
        window: Window::by_calendar(one.from, one.best, one.to, odds),
        reasons,
        takes: Takes { materials: water.into_iter().collect(), ..Takes::default() },
        forbids: if one.work == CareWork::Water {
            vec!["frozen ground, or a soaking rain in the days before".to_owned()]
        } else {
            Vec::new()
        },
        cautions: one.cautions.clone(),
    }
}

/// Cut-backs that fall in the same days are one task.
fn cut_backs(bed: &BedOnDesk, care: &[CareTask]) -> Vec<Task> {
    let mut groups: Vec<Vec<&CareTask>> = Vec::new();
    for one in care.iter().filter(|one| one.work == CareWork::CutBack) {
        match groups.iter_mut().find(|group| (group[0].from, group[0].best, group[0].to) == (one.from, one.best, one.to)) {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    let name = |key: &str| bed.plan.kinds.iter().find(|kind| kind.key == key).map_or_else(|| key.to_owned(), |kind| kind.name.clone());
    groups
        .into_iter()
        .map(|group| {
            let keys: Vec<String> = group.iter().flat_map(|one| &one.plants).map(|key| name(key)).collect();
            let mut warnings: Vec<String> = group.iter().flat_map(|one| one.cautions.clone()).collect();
            warnings.sort();
            warnings.dedup();
            Task {
                key: key(bed, &format!("cut-back-{}", group[0].from)),
                yard: bed.yard.clone(),
                what: format!("Cut back {}", keys.join(", ")),
                place: Some(bed.bed.clone()),
                window: Window::by_calendar(
                    group[0].from,
                    group[0].best,
                    group[0].to,
                    vec!["days of the season for cutting back (common practice)".to_owned()],
                ),
                reasons: group
                    .iter()
                    .zip(&keys)
                    .map(|(one, name)| Reason { text: format!("{name}: {}", one.what), figure: None, source: one.source.clone() })
                    .collect(),
                takes: Takes { gear: vec!["gloves".to_owned()], ..Takes::default() },
                forbids: Vec::new(),
                cautions: warnings,
            }
        })
        .collect()
}
