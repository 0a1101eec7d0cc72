//! Rotation of mode-of-action groups.

use super::label::LabelCard;
use super::{Check, Outcome, Situation, check};
use groundlore_lore::control::{ActionGroup, Control, Rotation};
use groundlore_quantity::Quantity;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// One past application on this yard.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PastUse {
    /// Key of the control.
    pub control: String,
    /// Group, scheme and code; none for exempt controls.
    pub group: Option<(String, String)>,
    /// Day.
    pub date: Date,
    /// Generation of the pest it was aimed at, counted on from any year; none where not noted.
    pub generation: Option<i32>,
    /// Key of the trouble.
    pub trouble: String,
    /// Amount of product per area, if noted.
    pub rate: Option<Quantity>,
    /// Registration number of the product, if noted.
    pub registration_number: Option<String>,
    /// Part of the yard, if noted.
    #[serde(default)]
    pub area: Option<String>,
}

/// Codes of a group, one each for a mix (`7/11`), without the edition's spacing and leading noughts (`M 05` is `M5`).
pub(super) fn codes(code: &str) -> Vec<String> {
    let plain = |part: &str| {
        let part: String = part.chars().filter(|c| c.is_alphanumeric()).collect::<String>().to_uppercase();
        let (letters, rest) = part.split_at(part.find(|c: char| c.is_ascii_digit()).unwrap_or(part.len()));
        format!("{letters}{}", rest.trim_start_matches('0'))
    };
    code.split(['/', '+', ',']).map(plain).filter(|c| !c.is_empty()).collect()
}

pub(super) fn same_group(group: &ActionGroup, past: &PastUse) -> bool {
    past.group.as_ref().is_some_and(|(scheme, code)| {
        scheme.eq_ignore_ascii_case(&group.scheme) && codes(code).iter().any(|c| codes(&group.code).contains(c))
    })
}

pub(super) fn rotation(control: &Control, label: Option<&LabelCard>, situation: &Situation) -> Check {
    const NAME: &str = "rotation";
    let group = match (&control.group, control.rotation) {
        (_, Rotation::Exempt) => return check(NAME, Outcome::Pass, "exempt: a practice, a living or an ungrouped control"),
        (None, _) => return check(NAME, Outcome::NotChecked, "its mode-of-action group is not known"),
        (Some(group), _) => group,
    };
    let uses: Vec<&PastUse> = situation.history.iter().filter(|u| u.trouble == situation.trouble && u.date <= situation.date).collect();
    match control.rotation {
        Rotation::ByGeneration => by_generation(group, &uses, situation),
        Rotation::ByConsecutiveRun => by_run(group, &uses, label),
        Rotation::BySeason => by_season(group, &uses, situation),
        Rotation::Exempt => check(NAME, Outcome::Pass, "exempt"),
    }
}

pub(super) fn named(group: &ActionGroup) -> String {
    format!("{} group {} ({})", group.scheme, group.code, group.edition)
}

pub(super) fn by_generation(group: &ActionGroup, uses: &[&PastUse], situation: &Situation) -> Check {
    const NAME: &str = "rotation";
    let same: Vec<&&PastUse> = uses.iter().filter(|u| same_group(group, u)).collect();
    let Some(last) = same.iter().max_by_key(|u| u.date) else {
        return check(NAME, Outcome::Pass, format!("no {} on this pest in the records", named(group)));
    };
    let Some(now) = situation.generation else {
        return check(NAME, Outcome::NotChecked, format!("{} was used on {}; the generation is not known", named(group), last.date));
    };
    if same.iter().any(|u| u.generation.is_none()) {
        return check(NAME, Outcome::NotChecked, format!("{} was used on {}; its generation was not noted", named(group), last.date));
    }
    match same.iter().find(|u| u.generation.is_some_and(|g| g + 1 == now)) {
        Some(before) => check(NAME, Outcome::Refuse, format!("{} was used on the generation before ({})", named(group), before.date)),
        None => check(NAME, Outcome::Pass, format!("{} was not used on the generation before", named(group))),
    }
}

pub(super) fn by_run(group: &ActionGroup, uses: &[&PastUse], label: Option<&LabelCard>) -> Check {
    const NAME: &str = "rotation";
    let mut by_day: Vec<&&PastUse> = uses.iter().filter(|u| u.group.is_some()).collect();
    by_day.sort_by_key(|u| std::cmp::Reverse(u.date));
    let run = by_day.iter().take_while(|u| same_group(group, u)).count();
    match label.and_then(|l| l.most_in_a_row) {
        Some(most) if run as u64 >= u64::from(most) => {
            check(NAME, Outcome::Refuse, format!("{run} in a row of {} so far; the label allows {most}", named(group)))
        }
        Some(most) => check(NAME, Outcome::Pass, format!("{run} in a row so far; the label allows {most}")),
        None if run == 0 => check(NAME, Outcome::Pass, format!("the last application was not {}", named(group))),
        None => {
            check(NAME, Outcome::NotChecked, format!("{run} in a row of {} so far; the most allowed is blank on the card", named(group)))
        }
    }
}

pub(super) fn by_season(group: &ActionGroup, uses: &[&PastUse], situation: &Situation) -> Check {
    const NAME: &str = "rotation";
    let season = situation.date.year();
    match uses.iter().find(|u| same_group(group, u) && u.date.year() == season - 1) {
        Some(last) => check(NAME, Outcome::Refuse, format!("{} was used last season ({})", named(group), last.date)),
        None => check(NAME, Outcome::Pass, format!("{} was not used last season", named(group))),
    }
}
