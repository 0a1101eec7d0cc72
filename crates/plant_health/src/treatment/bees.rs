//! Bees and what is in flower.

use super::label::LabelCard;
use super::rules::{BloomRule, Said};
use super::{Check, Outcome, Situation, check};
use crate::decision::Seen;
use groundlore_lore::control::Control;
use serde::{Deserialize, Serialize};

/// Something in flower.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct InBloom {
    /// Plant, as people call it.
    pub plant: String,
    /// Whether bees come to it.
    pub bees_visit: Seen,
    /// Whether it stands in the area to be treated (clover in the lawn) rather than elsewhere on the yard.
    pub in_treated_area: bool,
}

const NAME: &str = "bees and bloom";

pub(super) fn bees(control: &Control, label: Option<&LabelCard>, situation: &Situation) -> Check {
    let found = by_hazard(control, label, situation);
    // A card whose words on bees and bloom are blank passes nothing, whatever the lists say; neither does no card.
    let blank = label.is_none_or(|l| l.rules.bloom.is_blank() && l.bees.is_none());
    if blank && found.outcome == Outcome::Pass {
        return check(NAME, Outcome::NotChecked, format!("{}; what the label says of bees and bloom is blank", found.why));
    }
    found
}

fn by_hazard(control: &Control, label: Option<&LabelCard>, situation: &Situation) -> Check {
    let category = control.bee_hazard.as_ref().map(|b| b.category.trim().to_uppercase());
    let forbids = label.and_then(|l| match l.rules.bloom {
        Said::Says(BloomRule::Forbidden) => Some(true),
        Said::Says(BloomRule::NotWhileBeesForage) | Said::Nothing => l.forbids_bloom.or(Some(false)),
        Said::NotChecked | Said::Words(_) => l.forbids_bloom,
    });
    let Some(bloom) = situation.bloom else {
        return check(NAME, Outcome::NotChecked, "nobody looked at what is in flower on this yard");
    };
    let visited: Vec<&InBloom> = bloom.iter().filter(|b| b.bees_visit != Seen::No).collect();
    let names = |only_here: bool| {
        let listed: Vec<&str> = visited.iter().filter(|b| b.in_treated_area || !only_here).map(|b| b.plant.as_str()).collect();
        listed.join(", ")
    };
    let inside = visited.iter().any(|b| b.in_treated_area);
    if inside && forbids == Some(true) {
        return check(NAME, Outcome::Refuse, format!("in flower where it would fall: {}; the label forbids it", names(true)));
    }
    match category.as_deref() {
        Some("I") if inside => check(
            NAME,
            Outcome::Refuse,
            format!("bee hazard I, and in flower where it would fall: {} (mow the flowers off first)", names(true)),
        ),
        Some("I" | "II") if !visited.is_empty() => check(
            NAME,
            Outcome::Doubt,
            format!("bee hazard {}, and in flower on this yard: {}", category.as_deref().unwrap_or(""), names(false)),
        ),
        Some("I" | "II") => check(NAME, Outcome::Pass, "nothing that bees visit is in flower on this yard"),
        Some("III") if forbids == Some(false) || visited.is_empty() => check(NAME, Outcome::Pass, "bee hazard III"),
        Some("III") => check(NAME, Outcome::NotChecked, "bee hazard III; what the label says of bloom is not on the card"),
        _ if visited.is_empty() => check(NAME, Outcome::Pass, "its bee hazard is not listed, but nothing that bees visit is in flower"),
        _ => check(NAME, Outcome::NotChecked, format!("its bee hazard is not listed; in flower on this yard: {}", names(false))),
    }
}
