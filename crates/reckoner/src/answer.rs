//! Outputs with their units, the working, and the same as JSON.

use crate::ReckonError;
use crate::calculator::Calculator;
use crate::given::{Given, Value};
use groundlore_quantity::{Quantity, Unit};
use serde_json::{Map, json};

/// One output.
#[derive(Debug, Clone, PartialEq)]
pub enum Output {
    /// A quantity with its unit.
    Quantity(Quantity),
    /// A quantity that may also be asked for as another kind (a rate, or the whole amount for the area).
    Either(Quantity, Quantity),
    /// A bare number.
    Number(f64),
    /// A share, 0–1; asked for as `%` it is a percentage.
    Share(f64),
    /// Bare numbers, in order.
    List(Vec<f64>),
    /// A word.
    Word(String),
    /// No such value exists for these inputs; the working says why.
    None,
}

impl std::fmt::Display for Output {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Quantity(q) | Self::Either(q, _) => f.write_str(&q.rounded(6)),
            Self::Number(n) | Self::Share(n) => f.write_str(&groundlore_quantity::number::significant(*n, 7)),
            Self::List(list) => {
                let items: Vec<String> = list.iter().map(|n| groundlore_quantity::number::significant(*n, 7)).collect();
                f.write_str(&items.join(", "))
            }
            Self::Word(word) => f.write_str(word),
            Self::None => f.write_str("none"),
        }
    }
}

impl Output {
    fn json(&self) -> serde_json::Value {
        match self {
            Self::Quantity(q) | Self::Either(q, _) => json!({"value": q.value, "unit": unit_text(q)}),
            Self::Number(n) | Self::Share(n) => json!({"value": n, "unit": null}),
            Self::List(list) => json!({"value": list, "unit": null}),
            Self::Word(word) => json!({"value": word, "unit": null}),
            Self::None => json!({"value": null, "unit": null}),
        }
    }

    /// The output in a unit that was asked for.
    fn converted(&self, unit: &str) -> Result<Self, String> {
        let target = Unit::parse(unit).map_err(|e| e.to_string())?;
        let of = |q: &Quantity| q.to(unit).map(|q| Self::Quantity(tidy(q))).map_err(|e| e.to_string());
        match self {
            Self::Quantity(q) => of(q),
            Self::Either(first, second) => of(first).or_else(|_| of(second)),
            Self::Share(share) | Self::Number(share) if target.is_share() && !target.is_none() => of(&Quantity::bare(*share)),
            Self::Number(_) | Self::Share(_) if target.is_none() => Ok(self.clone()),
            Self::Number(_) | Self::Share(_) => Err(format!("it is a bare number and cannot be given in `{unit}`")),
            Self::List(_) | Self::Word(_) | Self::None => Err(format!("it is no quantity and cannot be given in `{unit}`")),
        }
    }
}

fn unit_text(quantity: &Quantity) -> Option<String> {
    (!quantity.unit.is_none()).then(|| quantity.unit.to_string())
}

/// Removes the last bits of floating-point noise (13 significant digits stay).
pub(crate) fn tidy(quantity: Quantity) -> Quantity {
    let value = format!("{:.12e}", quantity.value).parse().unwrap_or(quantity.value);
    Quantity { value, ..quantity }
}

/// What a calculation gives back: outputs in order, and the working line by line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worked {
    /// Outputs by name.
    pub outputs: Vec<(&'static str, Output)>,
    /// Working.
    pub working: Vec<String>,
}

impl Worked {
    /// Adds an output.
    pub(crate) fn put(&mut self, name: &'static str, output: Output) {
        self.outputs.push((name, output));
    }

    /// Adds a quantity from SI, in US units or, where the inputs are metric, in metric ones.
    pub(crate) fn put_si(&mut self, given: &Given, name: &'static str, si: f64, us: &str, metric: &str) -> Result<Quantity, ReckonError> {
        let unit = if given.is_metric() { metric } else { us };
        let quantity = quantity(si, unit)?;
        self.put(name, Output::Quantity(quantity.clone()));
        Ok(quantity)
    }

    /// Adds a line of working.
    pub(crate) fn line(&mut self, text: impl Into<String>) {
        self.working.push(text.into());
    }
}

/// A quantity from SI in a unit.
pub(crate) fn quantity(si: f64, unit: &str) -> Result<Quantity, ReckonError> {
    Quantity::from_si(si, unit).map(tidy).map_err(|e| ReckonError::NoAnswer(e.to_string()))
}

/// The answer to a question.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Key of the calculator.
    pub key: &'static str,
    /// Inputs as read.
    pub inputs: Vec<(&'static str, Value)>,
    /// Outputs.
    pub outputs: Vec<(&'static str, Output)>,
    /// Working, line by line.
    pub working: Vec<String>,
    /// Rounding rule.
    pub rounding: &'static str,
    /// Sources.
    pub sources: &'static [&'static str],
    /// Cautions.
    pub cautions: &'static [&'static str],
}

impl Answer {
    pub(crate) fn new(
        calculator: &'static Calculator,
        given: &Given,
        worked: Worked,
        units: &[(String, String)],
    ) -> Result<Self, ReckonError> {
        let mut outputs = worked.outputs;
        for (name, unit) in units {
            let wanted = name.trim().replace('-', "_");
            let known: Vec<&str> = calculator.outputs.iter().map(|o| o.name).collect();
            let refuse = |why: String| ReckonError::Output { name: name.clone(), why };
            if !known.contains(&wanted.as_str()) {
                return Err(refuse(format!("`{}` has no such output; its outputs are {}", calculator.key, known.join(", "))));
            }
            let Some(place) = outputs.iter().position(|(n, _)| *n == wanted) else {
                return Err(refuse("the inputs it needs are not given".to_owned()));
            };
            outputs[place].1 = outputs[place].1.converted(unit).map_err(refuse)?;
        }
        Ok(Self {
            key: calculator.key,
            inputs: given.values().to_vec(),
            outputs,
            working: worked.working,
            rounding: calculator.rounding,
            sources: calculator.sources,
            cautions: calculator.cautions,
        })
    }

    /// An output by name.
    pub fn output(&self, name: &str) -> Option<&Output> {
        self.outputs.iter().find(|(n, _)| *n == name).map(|(_, output)| output)
    }

    /// The answer as `{"key", "inputs", "outputs", "working", "sources"}`.
    pub fn json(&self) -> serde_json::Value {
        let inputs: Map<String, serde_json::Value> =
            self.inputs.iter().map(|(name, value)| ((*name).to_owned(), input_json(value))).collect();
        let outputs: Map<String, serde_json::Value> =
            self.outputs.iter().map(|(name, output)| ((*name).to_owned(), output.json())).collect();
        json!({
            "key": self.key, "inputs": inputs, "outputs": outputs, "working": self.working,
            "sources": self.sources, "rounding": self.rounding, "cautions": self.cautions,
        })
    }
}

fn input_json(value: &Value) -> serde_json::Value {
    match value {
        Value::Quantity(q) => json!({"value": q.value, "unit": unit_text(q)}),
        Value::List(list) => json!({
            "value": list.iter().map(|q| q.value).collect::<Vec<_>>(),
            "unit": list.iter().map(unit_text).collect::<Vec<_>>(),
        }),
        Value::Counts(counts) => json!({"value": counts, "unit": null}),
        Value::Word(word) => json!({"value": word, "unit": null}),
    }
}
