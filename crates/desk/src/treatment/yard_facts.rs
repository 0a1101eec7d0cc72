//! What the yard itself tells of a treatment: water and wells, turf, trees whose reach comes near, what flowers, what was used before.

use super::card::same_active;
use crate::yards::{YardOnDesk, distance_to_water_m};
use crate::{Desk, DeskError};
use groundlore_book::applications::ApplicationKind;
use groundlore_lore::trouble::Trouble;
use groundlore_plant_health::decision::Seen;
use groundlore_plant_health::treatment::{DayWeather, InBloom, Lengths, PastUse, SoilWarmth};
use groundlore_quantity::Quantity;
use groundlore_site::measure::distance_to_polygon_m;
use groundlore_site::yard::{Area, AreaKind, WaterKind, Yard};
use groundlore_weather::series::Element;
use jiff::ToSpan as _;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Yes, no or not looked.
pub(super) fn seen(value: Option<bool>) -> Seen {
    value.map_or(Seen::NotLooked, |v| if v { Seen::Yes } else { Seen::No })
}

/// The areas that are treated: all of a kind, or the one that is named.
pub(super) fn treated<'a>(map: &'a Yard, kind: AreaKind, name: Option<&str>) -> Vec<&'a Area> {
    let named = |area: &&Area| name.is_none_or(|name| area.name.eq_ignore_ascii_case(name) || area.id.eq_ignore_ascii_case(name));
    map.areas_of(kind).filter(named).collect()
}

/// Distance from the treated areas to the nearest open water or drain of the map, m; none where none is drawn.
pub(super) fn water_m(map: &Yard, areas: &[&Area]) -> Option<f64> {
    let mut only = map.clone();
    only.water.retain(|feature| feature.kind != WaterKind::Well);
    nearest(&only, areas)
}

/// Distance to the nearest well, m; none where none is drawn.
pub(super) fn well_m(map: &Yard, areas: &[&Area]) -> Option<f64> {
    let mut only = map.clone();
    only.water.retain(|feature| feature.kind == WaterKind::Well);
    only.areas.retain(|area| area.kind != AreaKind::Water);
    nearest(&only, areas)
}

fn nearest(map: &Yard, areas: &[&Area]) -> Option<f64> {
    areas.iter().filter_map(|area| distance_to_water_m(map, area).map(|(d, _)| d)).min_by(f64::total_cmp)
}

/// Kinds of grass of the treated areas; none where one of them does not say.
pub(super) fn turf(areas: &[&Area]) -> Option<Vec<String>> {
    let kinds: Option<Vec<String>> = areas.iter().map(|area| area.grass.clone()).collect();
    kinds.filter(|kinds| !kinds.is_empty())
}

/// Trees with the distance from their crown's edge to the treated areas, m (0 where it reaches over); none where the map lists no trees.
/// Roots reach at least as far as the crown (common practice), so this can only ask for a look or refuse.
pub(super) fn roots(map: &Yard, areas: &[&Area]) -> Option<Vec<(String, f64)>> {
    if map.trees.is_empty() {
        return None;
    }
    let reach = |tree: &groundlore_site::yard::Tree| tree.crown_diameter.as_ref().map_or(0.0, |crown| crown.si() / 2.0);
    let to_area = |tree: &groundlore_site::yard::Tree| {
        let trunk = areas.iter().map(|area| distance_to_polygon_m(tree.point, &area.polygon)).fold(f64::INFINITY, f64::min);
        (trunk - reach(tree)).max(0.0)
    };
    Some(map.trees.iter().map(|tree| (tree.species.clone().unwrap_or_else(|| tree.name.clone()), to_area(tree))).collect())
}

/// Plants and trees of a map, by key or by the map's own words.
pub(crate) fn plants_named(map: &Yard) -> Vec<String> {
    let mut names: Vec<String> =
        map.plants.iter().map(|p| p.plant.clone()).chain(map.trees.iter().filter_map(|t| t.species.clone())).collect();
    names.sort();
    names.dedup();
    names
}

/// Lands where lengths are told in feet: the United States, by boxes (south, north, west, east).
const FEET: [(f64, f64, f64, f64); 4] =
    [(24.4, 49.4, -125.0, -66.9), (51.0, 71.5, -170.0, -130.0), (18.8, 22.4, -160.4, -154.7), (17.6, 18.6, -67.4, -64.5)];

/// The unit in which lengths are told at a yard: feet in the United States, else metres.
pub(super) fn lengths(yard: &YardOnDesk) -> Lengths {
    let Some((latitude, longitude)) = yard.row.latitude.zip(yard.row.longitude) else { return Lengths::Metres };
    let within =
        |(south, north, west, east): &(f64, f64, f64, f64)| (*south..=*north).contains(&latitude) && (*west..=*east).contains(&longitude);
    if FEET.iter().any(within) { Lengths::Feet } else { Lengths::Metres }
}

/// The generation that a past use fell on, told by its year; none where years do not tell it. Generation now is this year's number, the one
/// before is this year's less one.
///
/// One generation a year: the year. Several: a use of this or the last year may have fallen on the very generation before, and nobody noted
/// which. One in several years: neighbouring years may be one generation or two.
fn generation_of(trouble: &Trouble, used: i16, now: i16) -> Option<i32> {
    let (low, high) = trouble.generations_a_year.as_ref().map_or((1.0, 1.0), |range| (range.low, range.high));
    let told = trouble.generations_a_year.is_some();
    let apart = f64::from(now - used);
    let years = if !told {
        // Nothing said: years stand for generations, and of this year's use nobody noted the generation.
        used != now
    } else if (low, high) == (1.0, 1.0) {
        true
    } else {
        // Surely two generations or more lie between.
        apart * low.min(1.0) >= 2.0
    };
    years.then(|| i32::from(used))
}

/// Days of air that stand for the soil near the surface (as the season's clocks of soil do; off by some 2 °C where it was tried).
const AIR_DAYS: i64 = 14;

impl Desk {
    /// Temperature of the soil near the surface, estimated by the air of the last days; none where the yard has no weather up to now.
    pub(super) fn soil_by_the_air(&self, yard: &YardOnDesk) -> Option<SoilWarmth> {
        let weather = self.yard_weather(&yard.row).ok().flatten()?;
        let days = (1..=AIR_DAYS).filter_map(|back| self.today.checked_sub(back.days()).ok());
        let mean = |day: Date| {
            let of = |element| weather.series.value(element, day);
            Some(f64::midpoint(of(Element::MinimumTemperature)?, of(Element::MaximumTemperature)?))
        };
        let means: Vec<f64> = days.filter_map(mean).collect();
        (means.len() >= 10).then(|| SoilWarmth::Estimated { celsius: means.iter().sum::<f64>() / means.len() as f64 })
    }

    /// What is in flower on a yard this month, by its map; none where the map lists no plants.
    pub(super) fn in_bloom(&self, yard: &YardOnDesk, treated: AreaKind) -> Option<Vec<InBloom>> {
        let map = yard.map.as_ref().filter(|map| !map.plants.is_empty())?;
        let south = yard.row.latitude.is_some_and(|l| l < 0.0);
        let month = self.today.month() as u8;
        let month = if south { (month + 5) % 12 + 1 } else { month };
        let mut found: BTreeMap<String, InBloom> = BTreeMap::new();
        for plant in &map.plants {
            let Some(entry) = self.lore.plants.get(&plant.plant) else { continue };
            let (from, to) = (entry.bloom.from_month, entry.bloom.to_month);
            let open = if from <= to { (from..=to).contains(&month) } else { month >= from || month <= to };
            if open {
                let here = map.areas_of(treated).any(|area| geo::Contains::contains(&area.polygon, &plant.point));
                let within = here || found.get(&entry.key).is_some_and(|known| known.in_treated_area);
                let bees = if entry.visitors.iter().any(|v| v.kind == "bees") { Seen::Yes } else { Seen::NotLooked };
                found.insert(entry.key.clone(), InBloom { plant: entry.name.clone(), bees_visit: bees, in_treated_area: within });
            }
        }
        Some(found.into_values().collect())
    }

    /// The days that may come, future by future.
    pub(super) fn futures(&self, yard: &YardOnDesk, days: i64) -> Result<Option<Vec<Vec<DayWeather>>>, DeskError> {
        if let Some(by_forecast) = self.days_by_forecast(&yard.row, days)? {
            return Ok(Some(by_forecast));
        }
        let Some(ensemble) = self.yard_ensemble(&yard.row)? else { return Ok(None) };
        let last = self.today.checked_add(days.days()).unwrap_or(self.today);
        let of = |future| {
            ensemble
                .days(future, self.today, last)
                .map(|d| DayWeather { date: d.date, tmin_c: d.tmin_c, tmax_c: d.tmax_c, rain_mm: d.prcp_mm })
                .collect::<Vec<_>>()
        };
        Ok(Some(ensemble.futures().iter().map(of).collect()))
    }

    /// Past applications on a yard, from the append-only records with their corrections.
    pub(super) fn past_uses(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<Vec<PastUse>, DeskError> {
        let mut uses = Vec::new();
        for line in self.book.applications_of(yard.row.id)?.into_iter().filter(|l| l.kind == ApplicationKind::Pesticide) {
            let names: Vec<String> = line.active_ingredients.iter().flatten().map(|a| a.name.to_lowercase()).collect();
            let Some(control) = self.lore.controls.values().find(|c| names.iter().any(|n| same_active(n, c))) else { continue };
            uses.push(PastUse {
                control: control.key.clone(),
                group: control.group.as_ref().map(|g| (g.scheme.clone(), g.code.clone())),
                date: line.date,
                generation: generation_of(trouble, line.date.year(), self.today.year()),
                trouble: line.target.as_deref().and_then(|name| self.trouble(name).ok()).unwrap_or(trouble).key.clone(),
                rate: line.rate_text.as_deref().and_then(|t| Quantity::parse(t).ok()),
                registration_number: line.registration_number.clone(),
                area: line.area.clone(),
            });
        }
        Ok(uses)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::*;

    #[test]
    fn years_tell_a_generation_only_where_there_is_one_a_year_or_enough_years_lie_between() {
        let (lore, _) = groundlore_lore::Lore::built_in_lenient(None);
        let of = |key: &str, used: i16| generation_of(&lore.troubles[key], used, 2015);
        // One a year: last year's use fell on the generation before, this year's on this one.
        assert_eq!((of("white-grubs-annual", 2014), of("white-grubs-annual", 2015)), (Some(2014), Some(2015)));
        // Two to four a year: last year's use may be the one before, or not.
        assert_eq!((of("lace-bugs", 2015), of("lace-bugs", 2014), of("lace-bugs", 2013)), (None, None, Some(2013)));
        // Two or three years to a generation.
        assert_eq!((of("may-june-beetle-grubs", 2012), of("may-june-beetle-grubs", 2008)), (None, Some(2008)));
        // Nothing said, as of weeds: years stand for them.
        assert_eq!((of("crabgrass", 2014), of("crabgrass", 2015)), (Some(2014), None));
    }
}
