//! Beds: planting plans for a bed of the map, with what to buy, when to plant, and the first year's care.
//!
//! | part | what it does |
//! | --- | --- |
//! | [`wishes`] | reads what is asked, and tells what was taken for the blanks |
//! | `ground` | the bed in metres, its front, and the drawing turned so that the front lies below |
//! | [`when`] | the planting windows, from odds of heat and frost at the yard's station |
//! | `work` | the tasks |
//! | `paper` | the sheet |

mod ground;
mod paper;
pub mod when;
pub mod wishes;
pub(crate) mod work;

use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::beds::BedPlan as PlanRow;
use groundlore_book::tasks::TaskState;
use groundlore_lore::plant::PlantKind;
use groundlore_planting::bed::{self, BedPlan};
use groundlore_planting::care::{CarePlant, FirstYear, PlantedAt, first_year};
use groundlore_planting::stock::{StockCheck, checks_for};
use groundlore_site::measure::area_m2;
use groundlore_site::yard::{Area, AreaKind, Yard};
use groundlore_work::task::Task;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

pub use when::PlantingDays;
pub use wishes::BedWishes;

/// A bed planned.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct BedOnDesk {
    /// Yard.
    pub yard: String,
    /// Name of the bed on the map.
    pub bed: String,
    /// The day the plan was made.
    pub made_on: Date,
    /// Area on the ellipsoid, m².
    pub area_m2: f64,
    /// Its front, in words.
    pub front: String,
    /// The way the front faces, degrees from north.
    pub facing_deg: f64,
    /// Outline and holes in metres, turned so that the front lies below.
    pub outline_m: Vec<Vec<(f64, f64)>>,
    /// Where each plant of the plan stands, in the same turned metres, in the plan's order.
    pub places_m: Vec<(f64, f64)>,
    /// The same as longitude and latitude.
    pub places_lonlat: Vec<(f64, f64)>,
    /// What was asked, as typed.
    pub wishes: BedWishes,
    /// What was taken for the blanks.
    pub assumed: Vec<String>,
    /// The plan: kinds, places, counts, list to buy, bloom month by month, checks, relaxed wishes, working.
    pub plan: BedPlan,
    /// When to plant, by kind of stock.
    pub windows: Vec<PlantingDays>,
    /// The first best planting day.
    pub planted_on: Option<Date>,
    /// The first year's care.
    pub care: Option<FirstYear>,
    /// What could not be told, and why.
    pub not_checked: Vec<String>,
    /// The tasks.
    pub tasks: Vec<Task>,
    /// Number of the plan in the book, once it is kept.
    pub plan_id: Option<i64>,
}

impl BedOnDesk {
    /// What to look at on each kind at the nursery gate, by lore key.
    pub fn stock_checks(&self) -> Vec<(String, Vec<StockCheck>)> {
        self.plan.kinds.iter().map(|kind| (kind.key.clone(), checks_for(kind.kind))).collect()
    }
}

impl Desk {
    /// Plans a bed without writing anything down. The same map, wishes, lore, weather and day give the same plan.
    ///
    /// # Errors
    /// An unknown yard or bed (the error lists the beds), wishes that make no sense, a bed without a front, no choice that fits.
    pub fn draft_bed(&self, yard: &str, bed: &str, typed: &BedWishes) -> Result<BedOnDesk, DeskError> {
        let on_desk = self.yard(yard)?;
        let map = map_of(&on_desk)?;
        let area = area_named(map, bed)?;
        let latitude_deg = area_latitude(&on_desk, area)?;
        let series = self.yard_weather(&on_desk.row)?.map(|weather| std::sync::Arc::clone(&weather.series));
        let zone = series.as_ref().and_then(|series| when::zone(series, self.today));
        let ground = wishes::Ground { area, latitude_deg, zone, prices: self.plant_prices()?, key_of: &|name| self.plant_key(name) };
        let (wishes, mut assumed) = wishes::read(typed, &ground)?;
        assumed.extend(stands_already(map, area));
        let laid = ground::Laid::out(map, area, typed.front.as_deref())?;
        let seed = crate::scouting::seed_of(&format!("{}/{}", on_desk.row.name, area.name));
        let plan = bed::plan(&self.lore.plants, &wishes, &laid.bed_m, &laid.front, seed).map_err(DeskError::science)?;
        let windows = match &series {
            Some(series) => when::YearOdds::read(series, self.today, latitude_deg)?.windows(&plan.kinds, self.today, latitude_deg)?,
            None => Vec::new(),
        };
        let care = care(&plan, &windows, latitude_deg)?;
        let no_station = "when to plant: the yard has no weather station; name one, and plan the bed again";
        let not_checked =
            series.is_none().then(|| no_station.to_owned()).into_iter().chain(care.iter().flat_map(|year| year.not_checked.clone()));
        let mut found = BedOnDesk {
            yard: on_desk.row.name.clone(),
            bed: area.name.clone(),
            made_on: self.today,
            area_m2: area_m2(&area.polygon),
            front: laid.front_words.clone(),
            facing_deg: laid.facing_deg,
            outline_m: laid.rings(),
            places_m: plan.plants.iter().map(|at| laid.turned((at.x_m, at.y_m))).collect(),
            places_lonlat: plan.plants.iter().map(|at| laid.lonlat((at.x_m, at.y_m))).collect(),
            wishes: typed.clone(),
            assumed,
            planted_on: windows.iter().filter_map(|days| days.window.as_ref()).map(|window| window.best).min(),
            not_checked: not_checked.collect(),
            plan,
            windows,
            care,
            tasks: Vec::new(),
            plan_id: None,
        };
        found.tasks = work::tasks(&found, &self.lore, self.today);
        Ok(found)
    }

    /// Plans a bed, keeps the plan in the book, and plans its tasks: order, plant, water, mulch, weed, look for heaving, cut back.
    ///
    /// # Errors
    /// As [`Desk::draft_bed`]; then nothing is written.
    pub fn plan_bed(&mut self, yard: &str, bed: &str, typed: &BedWishes) -> Result<BedOnDesk, DeskError> {
        let mut found = self.draft_bed(yard, bed, typed)?;
        let yard_id = self.book.yard_named(yard)?.id;
        let row = PlanRow {
            yard_id,
            bed: found.bed.clone(),
            date: self.today,
            title: Some(format!("{} plants of {} kinds", found.plan.plants.len(), found.plan.kinds.len())),
            plan: serde_json::to_value(&found).map_err(DeskError::science)?,
            ..PlanRow::default()
        };
        found.plan_id = Some(self.book.write(|tx| tx.add(&row))?);
        self.plan_tasks(yard_id, &found.tasks)?;
        self.settle_old_tasks(yard_id, &found)?;
        Ok(found)
    }

    /// Tasks of an older plan of the bed that the new one has not are closed with why; those it has again are to do again.
    fn settle_old_tasks(&mut self, yard_id: i64, bed: &BedOnDesk) -> Result<(), DeskError> {
        let prefix = work::key(bed, "");
        for task in self.book.tasks_of(yard_id)?.into_iter().filter(|task| task.key.starts_with(&prefix)) {
            let wanted = bed.tasks.iter().any(|new| new.key == task.key);
            match (task.state, wanted) {
                (TaskState::ToDo, false) => self.set_task(&task.key, TaskState::CouldNot, Some(PLANNED_AGAIN), None)?,
                (TaskState::CouldNot, true) if task.why.as_deref() == Some(PLANNED_AGAIN) => {
                    self.set_task(&task.key, TaskState::ToDo, None, None)?
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// The newest plan of a bed in the book.
    ///
    /// # Errors
    /// None kept; a stored plan that no longer reads.
    pub fn saved_bed(&self, yard: &str, bed: &str) -> Result<BedOnDesk, DeskError> {
        let row = self.book.yard_named(yard)?;
        let plans = self.book.bed_plans_of(row.id)?;
        let same = |plan: &&PlanRow| plan.bed.eq_ignore_ascii_case(bed.trim());
        let plan = plans.iter().find(same).ok_or_else(|| {
            DeskError::missing(
                format!("no plan is kept for bed `{bed}` at {}", row.name),
                format!("`groundlore plant \"{}\" \"{bed}\" --keep` makes one", row.name),
            )
        })?;
        let mut found: BedOnDesk = serde_json::from_value(plan.plan.clone())
            .map_err(|e| DeskError::Science(format!("the plan of `{bed}` of {} cannot be read ({e}); plan the bed again", plan.date)))?;
        found.plan_id = Some(plan.id);
        Ok(found)
    }

    /// Lore key of a plant by key, common or botanical name; what was typed where lore has none.
    pub(crate) fn plant_key(&self, name: &str) -> String {
        let wanted = name.trim().to_lowercase();
        let fits = |p: &&groundlore_lore::plant::Plant| {
            p.key == wanted.replace(' ', "-") || p.name.to_lowercase() == wanted || p.botanical.to_lowercase() == wanted
        };
        self.lore.plants.values().find(fits).map_or(wanted.clone(), |p| p.key.clone())
    }

    /// The firm's cost of one plant by kind, where its price list has `plant-perennial` and the like.
    fn plant_prices(&self) -> Result<Vec<(PlantKind, f64)>, DeskError> {
        let mut prices = Vec::new();
        for (kind, item) in PLANT_ITEMS {
            let price = self.book.price_on(item, self.today)?;
            prices.extend(price.and_then(|price| price.unit_price()).map(|each| (kind, each)));
        }
        Ok(prices)
    }
}

/// Why a task of an older plan is closed.
const PLANNED_AGAIN: &str = "the bed was planned again without it";

/// Items of the price list for one plant by kind.
pub const PLANT_ITEMS: [(PlantKind, &str); 6] = [
    (PlantKind::Perennial, "plant-perennial"),
    (PlantKind::Grass, "plant-grass"),
    (PlantKind::Groundcover, "plant-groundcover"),
    (PlantKind::Bulb, "plant-bulb"),
    (PlantKind::Shrub, "plant-shrub"),
    (PlantKind::SmallTree, "plant-small-tree"),
];

/// Said where the map shows plants in the bed.
fn stands_already(map: &Yard, bed: &Area) -> Option<String> {
    let stands = map.plants.iter().any(|plant| geo::Contains::contains(&bed.polygon, &plant.point));
    stands.then(|| "plants that the map shows in the bed are not kept: the plan is for the empty bed".to_owned())
}

/// The first year of everything that has a planting day, each kind of stock counted from its own.
fn care(plan: &BedPlan, windows: &[PlantingDays], latitude_deg: f64) -> Result<Option<FirstYear>, DeskError> {
    let mut whole: Option<FirstYear> = None;
    for days in windows {
        let Some(window) = &days.window else { continue };
        let plants: Vec<CarePlant> = plan.kinds.iter().filter(|kind| days.plants.contains(&kind.key)).map(CarePlant::from).collect();
        let at = PlantedAt { planted: window.best, latitude_deg, zone: plan.wishes.zone, frozen: None };
        let year = first_year(&plants, &at).map_err(DeskError::science)?;
        let all = whole.get_or_insert_with(|| FirstYear { tasks: Vec::new(), not_needed: Vec::new(), not_checked: Vec::new() });
        all.tasks.extend(year.tasks);
        let fresh: Vec<_> = year.not_needed.into_iter().filter(|one| !all.not_needed.contains(one)).collect();
        all.not_needed.extend(fresh);
        let fresh: Vec<_> = year.not_checked.into_iter().filter(|one| !all.not_checked.contains(one)).collect();
        all.not_checked.extend(fresh);
    }
    if let Some(year) = &mut whole {
        year.tasks.sort_by(|a, b| (a.from, a.work, &a.plants).cmp(&(b.from, b.work, &b.plants)));
    }
    Ok(whole)
}

/// A value that cannot be used, with why and the remedy.
pub(crate) fn refused(what: &str, value: impl std::fmt::Display, why: &str, remedy: &str) -> DeskError {
    DeskError::Refused { what: what.to_owned(), value: format!("`{value}`"), why: why.to_owned(), remedy: remedy.to_owned() }
}

/// The yard's map.
pub(crate) fn map_of(yard: &YardOnDesk) -> Result<&Yard, DeskError> {
    yard.map
        .as_ref()
        .ok_or_else(|| DeskError::missing(format!("{} has no map", yard.row.name), "import one with `groundlore yard import FILE`"))
}

/// A bed (or vegetable ground, or meadow) of the map by name or id.
pub(crate) fn area_named<'a>(map: &'a Yard, bed: &str) -> Result<&'a Area, DeskError> {
    let wanted = bed.trim();
    let fits = |area: &&Area| area.id.eq_ignore_ascii_case(wanted) || area.name.eq_ignore_ascii_case(wanted);
    let names = || map.areas_of(AreaKind::Bed).map(|a| format!("`{}`", a.name)).collect::<Vec<_>>().join(", ");
    match map.areas.iter().find(fits) {
        Some(area) if area.kind == AreaKind::Bed => Ok(area),
        Some(area) => Err(refused("bed", bed, &format!("is a {} on the map", area.kind), &format!("name a bed: {}", names()))),
        None if map.areas_of(AreaKind::Bed).next().is_none() => {
            Err(DeskError::missing(format!("the map of {} has no bed", map.name), "draw an area of kind `bed` and import the map again"))
        }
        None => Err(refused("bed", bed, "is not on the map", &format!("the beds are {}", names()))),
    }
}

fn area_latitude(yard: &YardOnDesk, area: &Area) -> Result<f64, DeskError> {
    area.polygon
        .exterior()
        .points()
        .next()
        .map(|p| p.y())
        .or(yard.row.latitude)
        .ok_or_else(|| DeskError::missing(format!("{} has no place", yard.row.name), "import its map again"))
}
