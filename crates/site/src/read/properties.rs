//! The properties of a feature: words, quantities, counts and yes or no, each checked as it is read.

use super::{Findings, near_word::nearest, shown};
use crate::map_fault::FeaturePlace;
use crate::yard::{Extra, Words};
use groundlore_quantity::{Kind, Quantity};
use serde_json::{Map, Value};

/// A length that makes sense for a property: from, to (both in metres), and how it is written.
struct LengthRule {
    key: &'static str,
    least_m: f64,
    most_m: f64,
    example: &'static str,
}

/// Every length property. The bounds only catch slips of unit or decimal point; they are `common practice`.
const LENGTHS: &[LengthRule] = &[
    LengthRule { key: "mower_width", least_m: 0.2, most_m: 6.0, example: "21 in" },
    LengthRule { key: "show", least_m: 0.0, most_m: 2.0, example: "1 in" },
    LengthRule { key: "block_length", least_m: 0.02, most_m: 2.0, example: "12 in" },
    LengthRule { key: "block_height", least_m: 0.01, most_m: 1.0, example: "4 in" },
    LengthRule { key: "trunk_diameter", least_m: 0.001, most_m: 12.0, example: "14 in" },
    LengthRule { key: "crown_diameter", least_m: 0.05, most_m: 80.0, example: "35 ft" },
    LengthRule { key: "height", least_m: 0.0, most_m: 130.0, example: "5 ft" },
    LengthRule { key: "ring_height", least_m: 0.0, most_m: 3.0, example: "6 in" },
    LengthRule { key: "ring_clear", least_m: 0.0, most_m: 20.0, example: "4 in" },
    LengthRule { key: "spread", least_m: 0.02, most_m: 40.0, example: "24 in" },
    LengthRule { key: "spacing", least_m: 0.02, most_m: 40.0, example: "18 in" },
    LengthRule { key: "margin", least_m: 0.05, most_m: 50.0, example: "3 ft" },
];

/// Reads the properties of one feature and puts down what is wrong with them.
pub(crate) struct Properties<'a> {
    map: &'a Map<String, Value>,
    place: &'a FeaturePlace,
    findings: &'a mut Findings,
    read: Vec<&'static str>,
}

impl<'a> Properties<'a> {
    pub(crate) fn new(map: &'a Map<String, Value>, place: &'a FeaturePlace, findings: &'a mut Findings) -> Self {
        Properties { map, place, findings, read: vec!["kind", "id", "name", "note"] }
    }

    fn take(&mut self, key: &'static str) -> Option<&'a Value> {
        self.read.push(key);
        self.map.get(key).filter(|value| !value.is_null())
    }

    fn fault(&mut self, key: &str, wrong: String, remedy: String) {
        self.findings.property_fault(self.place, key, wrong, remedy);
    }

    /// The feature cannot be used for want of a property.
    pub(crate) fn lacks(&mut self, wrong: &str, remedy: &str) {
        self.findings.feature_fault(self.place, wrong, remedy);
    }

    /// Free words; empty words are unknown.
    pub(crate) fn text(&mut self, key: &'static str, example: &str) -> Option<String> {
        match self.take(key)? {
            Value::String(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
            other => {
                let wrong = format!("{} is not words", shown(other));
                self.fault(key, wrong, format!("Write \"{key}\": \"{example}\"."));
                None
            }
        }
    }

    /// One word of a closed list.
    pub(crate) fn word<W: Words>(&mut self, key: &'static str) -> Option<W> {
        let value = self.take(key)?;
        let found = value.as_str().and_then(W::from_word);
        if found.is_none() {
            let near = value.as_str().and_then(|word| nearest(word, W::WORDS.iter().map(|(w, _)| *w)));
            let hint = near.map_or(String::new(), |word| format!("Did you mean \"{word}\"? "));
            self.fault(key, format!("{} is not a word it takes", shown(value)), format!("{hint}Use one of: {}.", W::list()));
        }
        found
    }

    /// Yes or no.
    pub(crate) fn yes_no(&mut self, key: &'static str) -> Option<bool> {
        let value = self.take(key)?;
        let word = value.as_str().map(str::to_lowercase);
        match (value.as_bool(), word.as_deref()) {
            (Some(answer), _) => Some(answer),
            (None, Some("yes")) => Some(true),
            (None, Some("no")) => Some(false),
            _ => {
                let remedy = format!("Write \"{key}\": true or \"{key}\": false, or leave it out when it is not known.");
                self.fault(key, format!("{} is neither yes nor no", shown(value)), remedy);
                None
            }
        }
    }

    /// A length with its unit, within the bounds that make sense for it.
    pub(crate) fn length(&mut self, key: &'static str) -> Option<Quantity> {
        let value = self.take(key)?;
        let rule = LENGTHS.iter().find(|rule| rule.key == key)?;
        let quantity = self.quantity(key, value, Kind::Length, rule.example)?;
        if (rule.least_m - 1e-9..=rule.most_m + 1e-9).contains(&quantity.si()) {
            return Some(quantity);
        }
        let unit = quantity.unit.to_string();
        let bound = |m: f64| Quantity::from_si(m, &unit).map_or(format!("{m} m"), |q| q.rounded(3));
        let remedy =
            format!("It should lie between {} and {}; check the unit and the decimal point.", bound(rule.least_m), bound(rule.most_m));
        self.fault(key, format!("{quantity} cannot be right"), remedy);
        None
    }

    /// A slope, as a share or as an angle.
    pub(crate) fn slope(&mut self, key: &'static str) -> Option<Quantity> {
        let value = self.take(key)?;
        let text = value.as_str().unwrap_or("");
        let found = Quantity::parse_as(text, Kind::Angle).or_else(|_| Quantity::parse_as(text, Kind::Share));
        match found {
            Ok(slope) if value.is_string() && slope.value.is_finite() && (0.0..=3.0).contains(&slope.si()) => Some(slope),
            _ => {
                let remedy = format!("Write \"{key}\": \"8 %\" or \"{key}\": \"5 deg\".");
                self.fault(key, format!("{} is not a slope", shown(value)), remedy);
                None
            }
        }
    }

    fn quantity(&mut self, key: &'static str, value: &Value, kind: Kind, example: &str) -> Option<Quantity> {
        let (wrong, remedy) = match value {
            Value::String(text) => match Quantity::parse_as(text, kind) {
                Ok(quantity) if quantity.value.is_finite() => return Some(quantity),
                Ok(_) => (format!("{} is not a finite number", shown(value)), format!("Write for example \"{key}\": \"{example}\".")),
                Err(error) => (error.to_string(), format!("Write for example \"{key}\": \"{example}\".")),
            },
            Value::Number(number) => {
                let unit = example.split_once(' ').map_or("ft", |(_, unit)| unit);
                (format!("{number} has no unit"), format!("Write it with its unit: if {unit}, write \"{key}\": \"{number} {unit}\"."))
            }
            other => (format!("{} is not a length", shown(other)), format!("Write for example \"{key}\": \"{example}\".")),
        };
        self.fault(key, wrong, remedy);
        None
    }

    /// A whole number of one or more.
    pub(crate) fn count(&mut self, key: &'static str) -> Option<u32> {
        let value = self.take(key)?;
        let whole = value.as_u64().or_else(|| value.as_f64().filter(|x| x.fract() == 0.0 && *x > 0.0 && *x < 1e9).map(|x| x as u64));
        match whole.and_then(|n| u32::try_from(n).ok()).filter(|n| (1..=100_000).contains(n)) {
            Some(n) => Some(n),
            None => {
                let remedy = format!("Write a whole number from 1 to 100,000: \"{key}\": 7.");
                self.fault(key, format!("{} is not a count", shown(value)), remedy);
                None
            }
        }
    }

    /// A list of ids; one id alone may stand without brackets.
    pub(crate) fn ids(&mut self, key: &'static str) -> Vec<String> {
        let Some(value) = self.take(key) else { return Vec::new() };
        let list = match value {
            Value::Array(list) => list.iter().map(super::features::id_text).collect(),
            single => super::features::id_text(single).map(|id| vec![id]),
        };
        list.unwrap_or_else(|| {
            let remedy = format!("Write \"{key}\": [\"front-lawn\", \"rose-bed\"].");
            self.fault(key, format!("{} is not a list of ids", shown(value)), remedy);
            Vec::new()
        })
    }

    /// The note and whatever was not read; a property that looks mistyped is remarked on.
    pub(crate) fn rest(self) -> Extra {
        let note = self.map.get("note").and_then(Value::as_str).map(str::to_owned);
        let mut other = Map::new();
        for (key, value) in self.map.iter().filter(|(key, _)| !self.read.contains(&key.as_str())) {
            if let Some(near) = nearest(key, self.read.iter().copied()) {
                let said = format!("the property \"{key}\" is not read; did you mean \"{near}\"?");
                self.findings.remark(Some(self.place), said);
            }
            other.insert(key.clone(), value.clone());
        }
        if let Some(odd) = self.map.get("note").filter(|note| !note.is_string() && !note.is_null()) {
            other.insert("note".to_owned(), odd.clone());
        }
        Extra { note, other }
    }
}
