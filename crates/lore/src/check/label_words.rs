//! Words that only a label may say: no rate, interval or re-entry time of a pesticide stands in the lore.

use crate::control::Control;
use crate::fault::LoreFault;
use crate::library::{Lore, Told};
use crate::shelf::Shelf;
use crate::trouble::Trouble;

/// Runs of letters that give a rate away. Compared in lower case with single spaces.
const RATES: &[&str] = &[
    "oz/",
    "oz per",
    "ounces per",
    "ounce per",
    "lb/",
    "lbs/",
    "lb ai",
    "lb per",
    "pounds per",
    "g/ha",
    "g/m2",
    "kg/ha",
    "l/ha",
    "ml/",
    "ml per",
    "gal/",
    "gallons per",
    "gallon per",
    "pt/",
    "pint per",
    "pints per",
    "quarts per",
    "per 1000",
    "per 1,000",
    "/1000",
    "/1,000",
    "per acre",
    "per hectare",
    "per gallon",
    "per litre",
    "per liter",
    "ppm",
    "tablespoon",
    "teaspoon",
    "% v/v",
    "v/v",
    "a.i.",
    "million per",
];

/// Runs of letters that give a re-entry time or an interval away.
const INTERVALS: &[&str] = &[
    "hours re-entry",
    "hour re-entry",
    "re-entry interval of",
    "re-entry of",
    "reentry interval",
    "restricted-entry interval of",
    "restricted entry interval of",
    "day interval",
    "days apart",
    "days between applications",
    "days after treatment before",
];

pub(super) fn check(lore: &Lore, faults: &mut Vec<LoreFault>) {
    for (key, control) in lore.controls.iter().filter(|(_, control)| control.needs_label) {
        for (field, text) in texts_of_control(control) {
            faults.extend(label_word(text).map(|word| lore.fault(Shelf::Controls, key, &field, told(text, &word))));
        }
    }
    for (key, trouble) in &lore.troubles {
        for (field, text) in texts_of_trouble(trouble) {
            faults.extend(interval(text).map(|word| lore.fault(Shelf::Troubles, key, &field, told(text, &word))));
        }
    }
}

fn told(text: &str, word: &str) -> Told {
    let wrong = format!("`{word}` reads like a rate or a re-entry time");
    Told::fault(text, wrong, "Take it out: those stand on the label, and the user types them from there into a label card.")
}

/// The first word in a text that only a label may say.
fn label_word(text: &str) -> Option<String> {
    let plain = plain(text);
    RATES.iter().find(|word| plain.contains(*word)).map(|word| (*word).to_owned()).or_else(|| interval(text))
}

fn interval(text: &str) -> Option<String> {
    if text.split(|c: char| !c.is_alphanumeric()).any(|word| word == "REI" || word == "PHI") {
        return Some("REI".into());
    }
    let plain = plain(text);
    INTERVALS.iter().find(|word| plain.contains(*word)).map(|word| (*word).to_owned()).or_else(|| timed_entry(&plain))
}

/// A sentence that speaks of entry and of a number of hours or days.
fn timed_entry(plain: &str) -> Option<String> {
    let speaks_of_entry = |sentence: &&str| {
        ["re-entry", "reentry", "re-enter", "reenter", "keep off for", "stay off for"].iter().any(|word| sentence.contains(word))
    };
    let sentence = plain.split(['.', ';']).find(speaks_of_entry)?;
    let words: Vec<&str> = sentence.split_whitespace().collect();
    let timed = words.windows(2).find(|pair| {
        let number = pair[0].trim_matches(|c: char| !c.is_ascii_digit());
        !number.is_empty() && (pair[1].starts_with("hour") || pair[1].starts_with("day") || pair[1] == "h")
    })?;
    Some(timed.join(" "))
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn texts_of_control(control: &Control) -> Vec<(String, &str)> {
    let mut texts = vec![("name".to_owned(), control.name.as_str()), ("how".to_owned(), control.how.as_str())];
    texts.extend(control.cautions.iter().enumerate().map(|(i, text)| (format!("cautions[{i}]"), text.as_str())));
    texts.extend(control.watering_in.iter().map(|water| ("watering_in.need".to_owned(), water.need.as_str())));
    for (i, target) in control.targets.iter().enumerate() {
        for (j, evidence) in target.evidence.iter().enumerate() {
            let field = format!("targets[{i}].evidence[{j}]");
            texts.extend(evidence.note.iter().map(|note| (format!("{field}.note"), note.as_str())));
            texts.push((format!("{field}.place"), evidence.place.as_str()));
        }
    }
    texts
}

fn texts_of_trouble(trouble: &Trouble) -> Vec<(String, &str)> {
    let mut texts =
        vec![("for_the_owner".to_owned(), trouble.for_the_owner.as_str()), ("action.why".to_owned(), trouble.action.why.as_str())];
    texts.extend(trouble.action.steps.iter().enumerate().map(|(i, text)| (format!("action.steps[{i}]"), text.as_str())));
    texts.extend(trouble.cautions.iter().enumerate().map(|(i, text)| (format!("cautions[{i}]"), text.as_str())));
    texts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_and_re_entry_times_are_heard() {
        for text in [
            "Use 3 oz/1000 ft2.",
            "Mix 2 tablespoons in a can.",
            "REI: see below",
            "Keep off for 12 hours.",
            "Re-enter the lawn after 4 hours.",
            "Spray at 0.5 lb per acre.",
        ] {
            assert!(label_word(text).is_some(), "{text}");
        }
    }

    #[test]
    fn a_sentence_that_defers_to_the_label_passes() {
        for text in [
            "The label says when people and pets may go back.",
            "Water it in as the label says.",
            "A second look after 14 days shows whether it worked.",
            "The material works on small grubs for some weeks.",
        ] {
            assert_eq!(label_word(text), None, "{text}");
        }
    }
}
