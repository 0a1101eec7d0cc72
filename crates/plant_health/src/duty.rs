//! Causes that the law asks to be reported: neither treated nor left alone, wherever a rule holds.

use crate::diagnosis::Diagnosis;
use crate::letter::advice::lower_first;
use crate::region::distance_km;
use groundlore_lore::Lore;
use groundlore_lore::trouble::{Regulated, Trouble};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// Least chance of a regulated cause at which its duty is told: a miss costs far more than a photo.
const WORTH_TELLING: f64 = 0.1;

/// What is owed where a regulated cause may be at work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Duty {
    /// Key of the cause.
    pub cause: String,
    /// Its name.
    pub name: String,
    /// Its scientific name.
    pub scientific: Option<String>,
    /// EPPO code of the organism.
    pub eppo: String,
    /// Chance that it is at work, 0–1.
    pub probability: f64,
    /// Places where a rule holds.
    pub places: Vec<String>,
    /// The day on which the list was looked at.
    pub listed: String,
    /// Whom to tell.
    pub tell: String,
    /// Where the row comes from.
    pub source: Vec<String>,
    /// What to do until the authority has spoken.
    pub steps: Vec<Cow<'static, str>>,
}

/// South, north, west and east edge, degrees.
type LandBox = (f64, f64, f64, f64);

/// Countries and unions that rules name, as boxes of latitude and longitude (`memory`, drawn wide: a rule too many costs a telephone call).
const LANDS: &[(&str, &[LandBox])] = &[
    ("united states", &[(24.4, 49.4, -125.0, -66.9), (51.0, 71.5, -170.0, -130.0), (18.5, 22.5, -160.5, -154.5)]),
    (
        "canada",
        &[
            (48.9, 70.0, -141.0, -95.0),
            (46.4, 60.0, -95.0, -82.5),
            (42.0, 60.0, -82.9, -79.0),
            (44.9, 62.0, -79.0, -66.0),
            (43.3, 60.0, -67.0, -52.0),
        ],
    ),
    ("united kingdom", &[(49.8, 61.0, -8.7, 2.0)]),
    ("european union", &[(35.0, 70.1, -10.0, 31.6)]),
];

/// How near to a region a place counts as in it: regions are boxes.
const NEAR_KM: f64 = 30.0;

/// Whether a rule may hold at a place (latitude and longitude in degrees): true where the place, or one of the rule's own places, is not
/// known.
pub fn may_hold(row: &Regulated, place: Option<(f64, f64)>) -> bool {
    let Some(at) = place else { return true };
    row.places.iter().any(|named| {
        let lower = named.to_lowercase();
        match LANDS.iter().find(|(land, _)| *land == lower) {
            Some((_, boxes)) => {
                boxes.iter().any(|(south, north, west, east)| (*south..=*north).contains(&at.0) && (*west..=*east).contains(&at.1))
            }
            None => distance_km(named, at).is_none_or(|km| km <= NEAR_KM),
        }
    })
}

/// What holds for every regulated cause until the authority has spoken.
pub const STEPS: [&str; 5] = [
    "Move nothing: no plant, wood, soil, clippings or pot leaves the place.",
    "Photograph the plant, the signs and a scale beside them; note the place and the day.",
    "Report it to the authority named, today, even where it is not sure.",
    "Take or send a sample only as the authority says; clean boots, tools and hands before leaving.",
    "Do not spray, prune or fell before the authority has answered.",
];

/// The duties of a diagnosis at a place (latitude and longitude in degrees, where they are known), likeliest first.
pub fn duties(lore: &Lore, diagnosis: &Diagnosis, place: Option<(f64, f64)>) -> Vec<Duty> {
    diagnosis
        .causes
        .iter()
        .filter(|c| c.probability.max(c.present) >= WORTH_TELLING)
        .filter_map(|c| lore.troubles.get(&c.key).map(|t| (c, t)))
        .flat_map(|(c, t)| {
            t.regulated.iter().filter(move |row| may_hold(row, place)).map(move |row| duty(t, row, c.probability.max(c.present)))
        })
        .collect()
}

fn duty(trouble: &Trouble, row: &Regulated, probability: f64) -> Duty {
    Duty {
        cause: trouble.key.clone(),
        name: trouble.name.clone(),
        scientific: trouble.scientific.clone(),
        eppo: row.eppo.clone(),
        probability,
        places: row.places.clone(),
        listed: row.listed.clone(),
        tell: row.tell.clone(),
        source: row.source.0.clone(),
        steps: STEPS.map(Cow::Borrowed).to_vec(),
    }
}

impl Duty {
    /// The duty in the reply to the owner: short, since somebody will call about it.
    pub fn to_the_owner(&self) -> String {
        format!(
            "One more thing: it might be {}, which must be reported in some places. Until we have asked, please move no plant, wood or soil from there, and do not spray or cut it.",
            lower_first(&self.name)
        )
    }

    /// The duty in a sentence for the desk.
    pub fn words(&self) -> String {
        format!(
            "If it is {}, the law in some places ({}; list of {}) asks that it be reported: {}. Until they answer, please move no plant, wood or soil from there, and do not spray or cut.",
            lower_first(&self.name),
            self.places.join(", "),
            self.listed,
            self.tell.trim_end_matches('.')
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use groundlore_lore::provenance::Source;

    fn rule(places: &[&str]) -> Regulated {
        Regulated {
            eppo: "AGRLPL".into(),
            places: places.iter().map(|p| (*p).to_owned()).collect(),
            listed: "2026-11-25".into(),
            tell: "the authority".into(),
            source: Source(vec!["memory".into()]),
        }
    }

    #[test]
    fn a_rule_holds_where_it_is_made_and_where_the_place_is_not_known() {
        let (milwaukee, toronto, lyon, portland) = ((43.04, -87.9), (43.7, -79.4), (45.76, 4.84), (45.5, -122.7));
        for (places, at, holds) in [
            (&["European Union"][..], milwaukee, false),
            (&["European Union"][..], lyon, true),
            (&["Canada"][..], toronto, true),
            (&["Canada"][..], milwaukee, false),
            (&["Oregon"][..], portland, true),
            (&["Oregon", "Canada"][..], milwaukee, false),
            (&["United States"][..], milwaukee, true),
            (&["a county nobody drew"][..], milwaukee, true),
        ] {
            assert_eq!(may_hold(&rule(places), Some(at)), holds, "{places:?} at {at:?}");
            assert!(may_hold(&rule(places), None));
        }
    }
}
