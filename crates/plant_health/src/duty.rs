//! Causes that the law asks to be reported: neither treated nor left alone, wherever a rule holds.

use crate::diagnosis::Diagnosis;
use crate::letter::advice::lower_first;
use groundlore_lore::Lore;
use groundlore_lore::trouble::{Regulated, Trouble};
use serde::Serialize;

/// Least chance of a regulated cause at which its duty is told: a miss costs far more than a photo.
const WORTH_TELLING: f64 = 0.1;

/// What is owed where a regulated cause may be at work.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
    pub steps: Vec<&'static str>,
}

/// What holds for every regulated cause until the authority has spoken.
pub const STEPS: [&str; 5] = [
    "Move nothing: no plant, wood, soil, clippings or pot leaves the place.",
    "Photograph the plant, the signs and a scale beside them; note the place and the day.",
    "Report it to the authority named, today, even where it is not sure.",
    "Take or send a sample only as the authority says; clean boots, tools and hands before leaving.",
    "Do not spray, prune or fell before the authority has answered.",
];

/// The duties of a diagnosis, likeliest first.
pub fn duties(lore: &Lore, diagnosis: &Diagnosis) -> Vec<Duty> {
    diagnosis
        .causes
        .iter()
        .filter(|c| c.probability.max(c.present) >= WORTH_TELLING)
        .filter_map(|c| lore.troubles.get(&c.key).map(|t| (c, t)))
        .flat_map(|(c, t)| t.regulated.iter().map(move |row| duty(t, row, c.probability.max(c.present))))
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
        steps: STEPS.to_vec(),
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
