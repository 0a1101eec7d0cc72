//! Danger first: what in a letter calls for help before any gardening, and whom to call.
//!
//! Two readers look at each letter. The one ([`rule`]) holds its sentences against phrases, in the pattern language of lore's `said_as` (see
//! [`crate::letter::pattern`]). The other ([`scene`]) adds up, over neighbouring sentences, who it befell, what happened and where; in doubt it
//! asks to keep clear until somebody has looked. Both are held back by [`calm`]: denial, likeness, hearsay, what is long over.
//! Neither ever gives a phone number: those differ by place.

mod calm;
mod counsel;
mod lists;
mod phrases;
mod rule;
mod scene;
mod scenes;
mod spelling;

use crate::letter::words::sentences;
use crate::letter::{GivenValue, Letter};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// Kinds of danger, the most pressing first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DangerKind {
    /// Somebody cannot breathe, has collapsed, bleeds, was cut or crushed.
    Injury,
    /// A sting with swelling or trouble breathing.
    AllergicReaction,
    /// A person swallowed something.
    SwallowedByPerson,
    /// Somebody overcome by heat.
    Heat,
    /// An electric shock, or something in the garden that is live.
    ElectricShock,
    /// Fumes of chemicals that were mixed.
    MixedChemicals,
    /// Ill, a rash, or trouble breathing after a spray; something in the eyes or on the skin.
    IllAfterChemical,
    /// Fumes of an engine in a closed place.
    EngineFumes,
    /// Gas smelled or a gas line struck.
    Gas,
    /// A wire down, or a tree or ladder in or near a wire.
    Wire,
    /// A buried cable struck.
    CableStruck,
    /// Fire.
    Fire,
    /// Fuel or its fumes near something that may light it.
    FuelVapour,
    /// Munitions or needles dug up.
    FoundObject,
    /// A limb or tree that may fall on people, a house or a road.
    TreeOrLimb,
    /// A wall that leans, bulges or cracks.
    Wall,
    /// Ground that caves in or slides.
    Ground,
    /// Deep water or a shaft that a child can get into.
    OpenWater,
    /// An animal swallowed something.
    SwallowedByAnimal,
    /// Skin, eyes or breath hurt by a plant's sap or smoke.
    PlantSap,
    /// Ill after a tick or another bite.
    TickBite,
    /// A nest of stinging insects near people.
    StingingNest,
    /// A spill into a well, pond or drain.
    Spill,
}

/// A danger found in a letter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Danger {
    /// Kind.
    pub kind: DangerKind,
    /// Exact words of the letter.
    pub phrase: String,
    /// What it is, in a few words.
    pub what: Cow<'static, str>,
    /// Whom to call, first first.
    pub whom_to_call: Vec<Cow<'static, str>>,
    /// What to keep clear of.
    pub keep_clear: Cow<'static, str>,
    /// What to do first.
    pub do_first: Cow<'static, str>,
}

/// What a letter holds of danger: `now` calls for help, `perhaps` only asks to keep clear until somebody has looked.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Screened {
    /// Get help now; the most pressing first, one of a kind.
    pub now: Vec<Danger>,
    /// May be dangerous: kinds that are not in `now`.
    pub perhaps: Vec<Danger>,
}

/// Dangers in a text that call for help now, the most pressing first, one of a kind.
///
/// ```
/// # use groundlore_plant_health::danger::{DangerKind, screen};
/// assert_eq!(screen("My toddler ate some of the blue pellets")[0].kind, DangerKind::SwallowedByPerson);
/// assert!(screen("Birds are eating the seed").is_empty());
/// ```
pub fn screen(text: &str) -> Vec<Danger> {
    screened(text).now
}

/// Dangers in a text, those that call for help now and those that may be there.
///
/// ```
/// # use groundlore_plant_health::danger::screened;
/// let unsure = screened("The ash by the lane leans.");
/// assert!(unsure.now.is_empty() && unsure.perhaps.len() == 1);
/// ```
pub fn screened(text: &str) -> Screened {
    let told: Vec<_> = sentences(text).into_iter().map(spelling::mended).collect();
    let seen = scene::read(&told);
    let mut now: Vec<Danger> = rule::read(&told).into_iter().chain(seen.now).map(|(kind, span)| danger(kind, text, span)).collect();
    sort(&mut now);
    let mut perhaps: Vec<Danger> = seen.perhaps.into_iter().map(|(kind, span)| danger(kind, text, span)).collect();
    perhaps.retain(|d| now.iter().all(|n| n.kind != d.kind));
    sort(&mut perhaps);
    Screened { now, perhaps }
}

/// Dangers in a letter that call for help now: in its text and its list of findings that are not denied.
pub fn screen_letter(letter: &Letter) -> Vec<Danger> {
    screened_letter(letter).now
}

/// Dangers in a letter, those that call for help now and those that may be there.
pub fn screened_letter(letter: &Letter) -> Screened {
    let mut found = screened(&letter.text);
    for given in letter.findings.iter().filter(|f| !matches!(f.value, GivenValue::No | GivenValue::Unknown)) {
        let text = match &given.value {
            GivenValue::Words(words) => format!("{}: {words}", given.finding),
            _ => given.finding.clone(),
        };
        let more = screened(&text);
        found.now.extend(more.now);
        found.perhaps.extend(more.perhaps);
    }
    sort(&mut found.now);
    let Screened { now, perhaps } = &mut found;
    perhaps.retain(|d| now.iter().all(|n| n.kind != d.kind));
    sort(perhaps);
    found
}

/// The most pressing first, one of a kind.
fn sort(found: &mut Vec<Danger>) {
    found.sort_by_key(|d| d.kind);
    found.dedup_by_key(|d| d.kind);
}

fn danger(kind: DangerKind, text: &str, span: (usize, usize)) -> Danger {
    let phrase = text.get(span.0..span.1).unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ");
    let counsel = counsel::COUNSEL.iter().find(|c| c.kind == kind);
    Danger {
        kind,
        phrase,
        what: counsel.map_or("danger", |c| c.what).into(),
        whom_to_call: counsel.map_or(&[counsel::EMERGENCY][..], |c| c.whom).iter().map(|whom| Cow::Borrowed(*whom)).collect(),
        keep_clear: counsel.map_or("", |c| c.keep_clear).into(),
        do_first: counsel.map_or("", |c| c.do_first).into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_that_is_found_has_its_counsel() {
        let kinds = phrases::rules().map(|r| r.kind).chain(scenes::scenes().map(|s| s.kind));
        for kind in kinds {
            assert!(counsel::COUNSEL.iter().any(|c| c.kind == kind && !c.whom.is_empty() && !c.do_first.is_empty()), "{kind:?}");
        }
    }
}
