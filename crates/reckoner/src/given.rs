//! Inputs as read, with typed access.

use crate::ReckonError;
use crate::calculator::{Calculator, Input, InputKind, Need};
use groundlore_quantity::{Kind, Quantity, parse_counts, parse_list};

/// A value that was given.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A quantity.
    Quantity(Quantity),
    /// A list of quantities.
    List(Vec<Quantity>),
    /// Counts.
    Counts(Vec<u64>),
    /// A choice or a text.
    Word(String),
}

/// The inputs of one question, in the calculator's order.
#[derive(Debug, Clone)]
pub struct Given {
    calculator: &'static Calculator,
    values: Vec<(&'static str, Value)>,
}

impl Given {
    /// Reads inputs as typed.
    ///
    /// # Errors
    /// A name that the calculator has not, one given twice, one missing, one that cannot be read.
    pub fn read(calculator: &'static Calculator, inputs: &[(String, String)]) -> Result<Self, ReckonError> {
        let plain = |name: &str| name.trim().replace('_', "-").to_lowercase();
        for (place, (name, _)) in inputs.iter().enumerate() {
            if !calculator.inputs.iter().any(|input| input.name.eq_ignore_ascii_case(&plain(name))) {
                let names: Vec<&str> = calculator.inputs.iter().map(|input| input.name).collect();
                return Err(ReckonError::UnknownInput { key: calculator.key.to_owned(), name: name.clone(), inputs: names.join(", ") });
            }
            if inputs[..place].iter().any(|(other, _)| plain(other) == plain(name)) {
                return Err(ReckonError::Twice { name: plain(name) });
            }
        }
        let mut values = Vec::new();
        for input in calculator.inputs {
            match inputs.iter().find(|(name, _)| plain(name).eq_ignore_ascii_case(input.name)) {
                Some((_, text)) => values.push((input.name, read_value(input, text)?)),
                None if input.need == Need::Required => return Err(missing(input)),
                None => {}
            }
        }
        Ok(Self { calculator, values })
    }

    /// The values, in the calculator's order.
    pub fn values(&self) -> &[(&'static str, Value)] {
        &self.values
    }

    fn value(&self, name: &str) -> Option<&Value> {
        self.values.iter().find(|(given, _)| *given == name).map(|(_, value)| value)
    }

    /// A quantity, if given.
    pub fn quantity(&self, name: &str) -> Option<&Quantity> {
        match self.value(name) {
            Some(Value::Quantity(quantity)) => Some(quantity),
            _ => None,
        }
    }

    /// SI value of a quantity, if given.
    pub fn si(&self, name: &str) -> Option<f64> {
        self.quantity(name).map(Quantity::si)
    }

    /// A quantity that this use of the calculator needs.
    ///
    /// # Errors
    /// Says what is missing, with an example.
    pub fn need(&self, name: &str) -> Result<&Quantity, ReckonError> {
        self.quantity(name).ok_or_else(|| self.lacks(name))
    }

    /// SI value of a quantity that this use of the calculator needs.
    ///
    /// # Errors
    /// Says what is missing, with an example.
    pub fn need_si(&self, name: &str) -> Result<f64, ReckonError> {
        self.need(name).map(Quantity::si)
    }

    /// Counts.
    pub fn counts(&self, name: &str) -> &[u64] {
        match self.value(name) {
            Some(Value::Counts(counts)) => counts,
            _ => &[],
        }
    }

    /// Items of a list in SI, in the order given; empty where the list is left out.
    pub fn list_si(&self, name: &str) -> Vec<f64> {
        match self.value(name) {
            Some(Value::List(list)) => list.iter().map(Quantity::si).collect(),
            _ => Vec::new(),
        }
    }

    /// Items of a list as they were written; empty where the list is left out.
    pub fn list(&self, name: &str) -> &[Quantity] {
        match self.value(name) {
            Some(Value::List(list)) => list,
            _ => &[],
        }
    }

    /// A choice or text, if given.
    pub fn word(&self, name: &str) -> Option<&str> {
        match self.value(name) {
            Some(Value::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// The error for an input that is missing.
    pub fn lacks(&self, name: &str) -> ReckonError {
        self.calculator
            .inputs
            .iter()
            .find(|input| input.name == name)
            .map_or_else(|| ReckonError::NoAnswer(format!("`{name}` is missing")), missing)
    }

    /// The error for an input whose value is out of bounds.
    pub fn wrong(&self, name: &str, why: impl Into<String>) -> ReckonError {
        let example = self.calculator.inputs.iter().find(|input| input.name == name).map_or("", |input| input.example);
        ReckonError::Wrong { name: name.to_owned(), why: why.into(), example: example.to_owned() }
    }

    /// True where the first quantity with a unit is metric: outputs then come in metric units.
    pub fn is_metric(&self) -> bool {
        const METRIC: [&str; 16] = ["mm", "cm", "m", "km", "m2", "ha", "L", "mL", "m3", "g", "kg", "mg", "t", "degC", "cm2", "mm2"];
        let first = self.values.iter().find_map(|(_, value)| match value {
            Value::Quantity(q) if !q.unit.is_share() && !q.unit.is_none() => Some(q.unit.to_string()),
            Value::List(list) => list.first().map(|q| q.unit.to_string()),
            _ => None,
        });
        first.is_some_and(|unit| {
            unit.split(['/', '*']).any(|part| METRIC.contains(&part.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.')))
        })
    }
}

fn missing(input: &Input) -> ReckonError {
    ReckonError::Missing {
        name: input.name.to_owned(),
        about: input.about.to_owned(),
        expected: input.kind.expected(),
        example: input.example.to_owned(),
    }
}

fn read_value(input: &Input, text: &str) -> Result<Value, ReckonError> {
    let wrong = |why: String| ReckonError::Wrong { name: input.name.to_owned(), why, example: input.example.to_owned() };
    match input.kind {
        InputKind::Quantity(kind) => Quantity::parse_as(text, kind).map(Value::Quantity).map_err(|e| wrong(e.to_string())),
        InputKind::OneOf(kinds, words) => one_of(kinds, words, text).map(Value::Quantity).map_err(wrong),
        InputKind::Counts => parse_counts(text).map(Value::Counts).map_err(|e| wrong(e.to_string())),
        InputKind::List(kind) => parse_list(text, kind).map(Value::List).map_err(|e| wrong(e.to_string())),
        InputKind::Choice(words) => {
            let plain = text.trim().to_lowercase().replace(['_', ' '], "-");
            let found = words.iter().find(|word| word.eq_ignore_ascii_case(&plain));
            found.map(|word| Value::Word((*word).to_owned())).ok_or_else(|| wrong(format!("`{text}` is not one of {}", words.join(", "))))
        }
        InputKind::Text(_) if text.trim().is_empty() => Err(wrong("nothing is written here".to_owned())),
        InputKind::Text(_) => Ok(Value::Word(text.trim().to_owned())),
    }
}

fn one_of(kinds: &[Kind], words: &str, text: &str) -> Result<Quantity, String> {
    let quantity = Quantity::parse(text).map_err(|e| e.to_string())?;
    if kinds.iter().any(|kind| kind.accepts(&quantity.unit)) {
        Ok(quantity)
    } else {
        Err(format!("`{text}` is not what was expected: {words}"))
    }
}
