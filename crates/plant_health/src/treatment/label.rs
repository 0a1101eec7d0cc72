//! The label card, and what it says of this yard.

use super::rotation::PastUse;
use super::{Check, Outcome, Situation, TreatmentError, check};
use groundlore_lore::control::Control;
use groundlore_quantity::Quantity;
use serde::{Deserialize, Serialize};

/// A label as the user typed it from the package in hand. Every field may be blank.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct LabelCard {
    /// Name on the label.
    pub name: String,
    /// Registration number.
    pub registration_number: Option<String>,
    /// Signal word.
    pub signal_word: Option<String>,
    /// Active ingredient or organism with its strain.
    pub active: Option<String>,
    /// Sites it may be used on (`lawn`, `shrub`).
    pub sites: Option<Vec<String>>,
    /// Targets, as printed.
    pub targets: Option<Vec<String>>,
    /// Lowest rate, per area (`1.5 floz/1000ft2`).
    pub rate_low: Option<Quantity>,
    /// Highest rate, per area.
    pub rate_high: Option<Quantity>,
    /// Most in a year, per area.
    pub yearly_limit: Option<Quantity>,
    /// Least time between applications.
    pub least_interval: Option<Quantity>,
    /// Most applications in a row of the same group.
    pub most_in_a_row: Option<u32>,
    /// Re-entry, as printed.
    pub re_entry: Option<String>,
    /// Protective gear, as printed.
    pub protective_gear: Option<Vec<String>>,
    /// Statement on bees, as printed.
    pub bees: Option<String>,
    /// Whether the label forbids use on or beside plants in flower.
    pub forbids_bloom: Option<bool>,
    /// Distance to keep from open water.
    pub water_distance: Option<Quantity>,
    /// Statement on water, as printed.
    pub water: Option<String>,
    /// Statement on children and pets, as printed.
    pub children_and_pets: Option<String>,
    /// Plants it injures.
    pub plants_injured: Option<Vec<String>>,
    /// Time it must stay dry after application.
    pub dry_after: Option<Quantity>,
    /// Water to bring it in with (depth).
    pub water_in: Option<Quantity>,
    /// Highest air temperature.
    pub hottest: Option<Quantity>,
}

/// Words of four letters or more, lower case.
pub(super) fn telling_words(text: &str) -> Vec<String> {
    text.to_lowercase().split(|c: char| !c.is_alphanumeric()).filter(|w| w.len() > 3).map(str::to_string).collect()
}

pub(super) fn same_active(control: &Control, label: &LabelCard) -> Check {
    const NAME: &str = "active ingredient or strain";
    let Some(active) = label.active.as_deref() else {
        return check(NAME, Outcome::NotChecked, "blank on the label card");
    };
    // The name without what stands in brackets, and without the words that introduce a strain.
    let name = control.name.split('(').next().unwrap_or(&control.name);
    let wanted: Vec<String> = telling_words(name).into_iter().filter(|w| !["subsp", "strain", "variety"].contains(&w.as_str())).collect();
    let printed = telling_words(active);
    if wanted.iter().all(|w| printed.contains(w)) {
        check(NAME, Outcome::Pass, format!("the label names {active}"))
    } else {
        check(
            NAME,
            Outcome::Refuse,
            format!("the label names {active}, not {}: another ingredient or strain is another control", control.name),
        )
    }
}

pub(super) fn site(label: &LabelCard, situation: &Situation) -> Check {
    const NAME: &str = "site on the label";
    match &label.sites {
        None => check(NAME, Outcome::NotChecked, "blank on the label card"),
        Some(sites) if sites.iter().any(|s| s.to_lowercase().contains(&situation.site.to_lowercase())) => {
            check(NAME, Outcome::Pass, format!("the label lists {}", situation.site))
        }
        Some(sites) => check(NAME, Outcome::Refuse, format!("the label lists {}, not {}", sites.join(", "), situation.site)),
    }
}

pub(super) fn label_target(label: &LabelCard, situation: &Situation) -> Check {
    const NAME: &str = "target on the label";
    // Keys are words with hyphens; a plural and its singular count as the same.
    let stem = |w: String| w.trim_end_matches('s').to_string();
    let wanted: Vec<String> = telling_words(&situation.trouble.replace('-', " ")).into_iter().map(stem).collect();
    match &label.targets {
        None => check(NAME, Outcome::NotChecked, "blank on the label card"),
        Some(targets) => {
            let printed: Vec<String> = targets.iter().flat_map(|t| telling_words(t)).map(stem).collect();
            if wanted.iter().any(|w| printed.contains(w)) {
                check(NAME, Outcome::Pass, format!("the label lists {}", targets.join(", ")))
            } else {
                check(NAME, Outcome::Doubt, format!("the label lists {}: see that {} is among them", targets.join(", "), situation.trouble))
            }
        }
    }
}

/// Reads a figure of the card in a unit, or says which field is wrong.
pub(super) fn figure(label: &LabelCard, field: &'static str, quantity: &Quantity, unit: &str) -> Result<f64, TreatmentError> {
    let value = quantity.in_unit(unit).map_err(|error| TreatmentError::Card { card: label.name.clone(), field, error: Box::new(error) })?;
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        let remedy = "a figure on a label is 0 or more";
        Err(TreatmentError::CardValue { card: label.name.clone(), field, value: quantity.to_string(), remedy })
    }
}

pub(super) fn water(label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "water nearby";
    let keep = label.water_distance.as_ref().map(|q| figure(label, "water distance", q, "m")).transpose()?;
    Ok(match (situation.water_distance_m, keep) {
        (None, _) => check(NAME, Outcome::NotChecked, "the distance to open water is not known: mark water and drains on the map"),
        (Some(here), None) => {
            check(NAME, Outcome::NotChecked, format!("water is {here:.0} m away; the distance to keep is blank on the card"))
        }
        (Some(here), Some(keep)) if here < keep => {
            check(NAME, Outcome::Refuse, format!("water is {here:.0} m away; the label asks for {keep:.0} m"))
        }
        (Some(here), Some(keep)) => check(NAME, Outcome::Pass, format!("water is {here:.0} m away; the label asks for {keep:.0} m")),
    })
}

pub(super) fn injured_plants(label: &LabelCard, situation: &Situation) -> Check {
    const NAME: &str = "plants it injures";
    let (Some(injured), Some(plants)) = (&label.plants_injured, situation.plants) else {
        let blank = if label.plants_injured.is_none() { "blank on the label card" } else { "the plants here are not listed" };
        return check(NAME, Outcome::NotChecked, blank);
    };
    let hit: Vec<&str> = plants
        .iter()
        .filter(|p| telling_words(p).iter().any(|w| injured.iter().any(|i| telling_words(i).contains(w))))
        .map(String::as_str)
        .collect();
    if hit.is_empty() {
        check(NAME, Outcome::Pass, "none of the plants here is named")
    } else {
        check(NAME, Outcome::Refuse, format!("the label names {}", hit.join(", ")))
    }
}

pub(super) fn interval(control: &Control, label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "interval";
    let last = situation.history.iter().filter(|u| u.control == control.key && u.date <= situation.date).map(|u| u.date).max();
    let Some(last) = last else {
        return Ok(check(NAME, Outcome::Pass, "no earlier application in the records"));
    };
    let since = f64::from((situation.date - last).get_days());
    let least = label.least_interval.as_ref().map(|q| figure(label, "least interval", q, "day")).transpose()?;
    Ok(match least {
        None => check(NAME, Outcome::NotChecked, format!("applied {since:.0} days ago; the least interval is blank on the card")),
        Some(least) if since < least => check(NAME, Outcome::Refuse, format!("applied {since:.0} days ago; the label asks for {least:.0}")),
        Some(least) => check(NAME, Outcome::Pass, format!("applied {since:.0} days ago; the label asks for {least:.0}")),
    })
}

pub(super) fn yearly_limit(label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "yearly limit";
    let (Some(limit), Some(rate)) = (&label.yearly_limit, &label.rate_low) else {
        return Ok(check(NAME, Outcome::NotChecked, "the yearly limit or the rate is blank on the label card"));
    };
    let card = |field, error| TreatmentError::Card { card: label.name.clone(), field, error: Box::new(error) };
    let unit = limit.unit.to_string();
    let mut used = rate.in_unit(&unit).map_err(|e| card("rate (beside the yearly limit)", e))?;
    let this_year = |u: &&PastUse| u.date.year() == situation.date.year() && u.date <= situation.date;
    let same_product = |u: &&PastUse| u.registration_number.is_some() && u.registration_number == label.registration_number;
    for past in situation.history.iter().filter(this_year).filter(same_product) {
        match past.rate.as_ref().map(|r| r.in_unit(&unit)) {
            Some(Ok(rate)) => used += rate,
            _ => return Ok(check(NAME, Outcome::NotChecked, format!("the rate of {} was not noted in a unit to add up", past.date))),
        }
    }
    let words = format!("{used:.3} {unit} with this one; the label allows {limit}");
    Ok(check(NAME, if used > limit.value * (1.0 + 1e-9) { Outcome::Refuse } else { Outcome::Pass }, words))
}
