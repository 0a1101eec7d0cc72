//! The label card, and what it says of this yard.

use super::rotation::PastUse;
use super::rules::{LabelRules, Said};
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
    /// All else that it rules.
    pub rules: LabelRules,
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
    let (away, words) = (|m: f64| situation.ground.lengths.away(m), |m: f64| situation.ground.lengths.words(m));
    let keep = label.water_distance.as_ref().map(|q| figure(label, "water distance", q, "m")).transpose()?;
    Ok(match (situation.water_distance_m, keep) {
        (None, Some(0.0)) => check(NAME, Outcome::Pass, "the label asks for no distance; keep it off water and drains all the same"),
        (Some(here), Some(0.0)) => check(
            NAME,
            Outcome::Pass,
            format!("water: {}; the label asks for no distance; keep it off water and drains all the same", away(here)),
        ),
        (None, _) => check(NAME, Outcome::NotChecked, "the distance to open water is not known: mark water and drains on the map"),
        (Some(here), None) => check(NAME, Outcome::NotChecked, format!("water: {}; the distance to keep is blank on the card", away(here))),
        (Some(here), Some(keep)) => {
            let outcome = if here < keep { Outcome::Refuse } else { Outcome::Pass };
            check(NAME, outcome, format!("water: {}; the label asks for {}", away(here), words(keep)))
        }
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
    let last = situation
        .history
        .iter()
        .filter(|u| u.control == control.key && u.date <= situation.date && on_this_area(u, situation))
        .map(|u| u.date)
        .max();
    let least = label.least_interval.as_ref().map(|q| figure(label, "least interval", q, "day")).transpose()?;
    let Some(last) = last else {
        return Ok(if least.is_some() {
            check(NAME, Outcome::Pass, "no earlier application in the records")
        } else {
            check(NAME, Outcome::NotChecked, "no earlier application in the records; the least interval is blank on the card")
        });
    };
    let since = f64::from((situation.date - last).get_days());
    Ok(match least {
        None => check(NAME, Outcome::NotChecked, format!("applied {since:.0} days ago; the least interval is blank on the card")),
        Some(least) if since < least => check(NAME, Outcome::Refuse, format!("applied {since:.0} days ago; the label asks for {least:.0}")),
        Some(least) => check(NAME, Outcome::Pass, format!("applied {since:.0} days ago; the label asks for {least:.0}")),
    })
}

/// Whether a past use fell on the ground that is meant: a use on a part that is told apart by another name did not.
fn on_this_area(past: &PastUse, situation: &Situation) -> bool {
    match (past.area.as_deref(), situation.ground.area) {
        (Some(then), Some(now)) => then.trim().eq_ignore_ascii_case(now.trim()),
        _ => true,
    }
}

/// The year's total on this area, by the records: amounts and number of applications of this product, this one with them.
pub(super) fn yearly_limit(label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "yearly limit";
    let this_year = |u: &&PastUse| u.date.year() == situation.date.year() && u.date <= situation.date && on_this_area(u, situation);
    let same_product = |u: &&PastUse| u.registration_number.is_some() && u.registration_number == label.registration_number;
    let uses: Vec<&PastUse> = situation.history.iter().filter(this_year).filter(same_product).collect();
    let number = label.rules.yearly_applications.says().copied();
    if let Some(most) = number
        && uses.len() as u64 >= u64::from(most)
    {
        return Ok(check(NAME, Outcome::Refuse, format!("{} applications this year already; the label allows {most}", uses.len())));
    }
    let Some(limit) = &label.yearly_limit else {
        return Ok(match (number, &label.rules.yearly_applications) {
            (None, Said::Nothing) => check(NAME, Outcome::Pass, "the label sets no yearly limit"),
            (None, Said::Words(words)) => check(NAME, Outcome::Doubt, format!("the label says: {words}")),
            (None, _) => check(NAME, Outcome::NotChecked, "the yearly limit is blank on the label card"),
            (Some(_), _) if label.registration_number.is_none() => {
                check(NAME, Outcome::NotChecked, "the registration number is blank, so the records cannot be added up")
            }
            (Some(most), _) => {
                check(NAME, Outcome::Pass, format!("application {} of the {most} that the label allows in a year", uses.len() + 1))
            }
        });
    };
    if label.registration_number.is_none() {
        return Ok(check(NAME, Outcome::NotChecked, "the registration number is blank, so the records cannot be added up"));
    }
    let meant = meant_here(label, situation.ground.rate);
    let Some(lowest) = meant.or(label.rate_low.as_ref()) else {
        return Ok(check(NAME, Outcome::NotChecked, "the rate is blank on the label card"));
    };
    let highest = meant.or(label.rate_high.as_ref()).unwrap_or(lowest);
    let card = |field, error| TreatmentError::Card { card: label.name.clone(), field, error: Box::new(error) };
    let unit = limit.unit.to_string();
    let own = |rate: &Quantity| rate.in_unit(&unit).map_err(|e| card("rate (beside the yearly limit)", e));
    let (low, high) = (own(lowest)?, own(highest)?);
    let mut used = 0.0;
    for past in uses {
        match past.rate.as_ref().map(|r| r.in_unit(&unit)) {
            Some(Ok(rate)) => used += rate,
            _ => return Ok(check(NAME, Outcome::NotChecked, format!("the rate of {} was not noted in a unit to add up", past.date))),
        }
    }
    let most = limit.value * (1.0 + 1e-9);
    let words = format!("{:.3} {unit} this calendar year with this one; the label allows {limit}", used + low);
    Ok(if used + low > most {
        check(NAME, Outcome::Refuse, words)
    } else if used + high > most {
        check(NAME, Outcome::Doubt, format!("{words}; at most {:.3} {unit} now, not the card's highest rate", limit.value - used))
    } else {
        check(NAME, Outcome::Pass, words)
    })
}

/// The rate that is meant, where it is of the same kind as the card's; a rate of another kind was meant for another product.
pub(super) fn meant_here<'a>(label: &LabelCard, meant: Option<&'a Quantity>) -> Option<&'a Quantity> {
    let unit = label.rate_low.as_ref()?.unit.to_string();
    meant.filter(|meant| meant.in_unit(&unit).is_ok())
}

/// The rate that is meant, within the card's range.
pub(super) fn rate(label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "rate";
    let Some(low) = &label.rate_low else {
        return Ok(check(NAME, Outcome::NotChecked, "blank on the label card"));
    };
    let high = label.rate_high.as_ref().unwrap_or(low);
    let Some(meant) = situation.ground.rate else {
        return Ok(check(NAME, Outcome::Pass, format!("the card's own: {} to {}", low.rounded(4), high.rounded(4))));
    };
    let unit = low.unit.to_string();
    let card = |field, error| TreatmentError::Card { card: label.name.clone(), field, error: Box::new(error) };
    let (least, most) = (low.in_unit(&unit).map_err(|e| card("rate", e))?, high.in_unit(&unit).map_err(|e| card("highest rate", e))?);
    let words = format!("{meant} is meant; the label allows {} to {}", low.rounded(4), high.rounded(4));
    let Ok(value) = meant.in_unit(&unit) else {
        return Ok(check(NAME, Outcome::Refuse, format!("{words}: the two are of different kinds")));
    };
    Ok(if value > most * (1.0 + 1e-6) {
        check(NAME, Outcome::Refuse, words)
    } else if value < least * (1.0 - 1e-6) {
        check(NAME, Outcome::Doubt, format!("{words}: less may fail, and teaches the pest"))
    } else {
        check(NAME, Outcome::Pass, words)
    })
}
