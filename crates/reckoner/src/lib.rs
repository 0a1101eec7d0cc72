//! The reckoner: one registry of calculators, each with typed inputs, outputs with units, its working line by line, its rounding rule and its
//! sources. The command line, the page, the API and the manual page all read this registry, and the desk cites the same working.
//!
//! | room | what it holds |
//! | --- | --- |
//! | [`calculator`] | what a calculator is: inputs, outputs, rounding, sources |
//! | [`given`] | inputs as read, with typed access and errors that say what was expected |
//! | [`answer`] | outputs with units, the working, JSON |
//! | [`manual`] | the generated manual page |
//! | [`topics`] | the calculators themselves, by topic |
//!
//! ```
//! use groundlore_reckoner::{reckon, Ask};
//! let ask = Ask::new("depth-fill").with("area", "108 ft2").with("depth", "3 in");
//! let answer = reckon(&ask)?;
//! assert_eq!(answer.output("volume").unwrap().to_string(), "1 yd3");
//! # Ok::<(), groundlore_reckoner::ReckonError>(())
//! ```
pub mod answer;
pub mod calculator;
pub mod given;
pub mod manual;
pub mod topics;

pub use answer::{Answer, Output};
pub use calculator::{Calculator, Input, InputKind, Need, OutputSpec, Topic};
pub use given::{Given, Value};

/// A question to the reckoner: the key, the inputs as typed, and the units wanted for outputs.
#[derive(Debug, Clone, Default)]
pub struct Ask {
    /// Key of the calculator.
    pub key: String,
    /// Inputs by name, as typed.
    pub inputs: Vec<(String, String)>,
    /// Units wanted for outputs, by name.
    pub units: Vec<(String, String)>,
}

impl Ask {
    /// A question without inputs.
    pub fn new(key: &str) -> Self {
        Self { key: key.to_owned(), ..Self::default() }
    }

    /// Adds an input.
    #[must_use]
    pub fn with(mut self, name: &str, value: &str) -> Self {
        self.inputs.push((name.to_owned(), value.to_owned()));
        self
    }

    /// Asks for an output in a unit.
    #[must_use]
    pub fn wanted(mut self, output: &str, unit: &str) -> Self {
        self.units.push((output.to_owned(), unit.to_owned()));
        self
    }
}

/// What the reckoner refuses.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReckonError {
    /// No such calculator.
    #[error("there is no calculator `{key}`{hint}; `groundlore reckon` lists them")]
    UnknownKey {
        /// Key asked for.
        key: String,
        /// A near key, as ` (did you mean …?)`.
        hint: String,
    },
    /// No such input.
    #[error("`{key}` has no input `{name}`; its inputs are {inputs}")]
    UnknownInput {
        /// Calculator.
        key: String,
        /// Name given.
        name: String,
        /// Names it has.
        inputs: String,
    },
    /// An input given twice.
    #[error("`{name}` is given twice; give it once")]
    Twice {
        /// Name given.
        name: String,
    },
    /// An input is missing.
    #[error("`{name}` is missing: {about}; expected {expected}, for example `{name}={example}`")]
    Missing {
        /// Name of the input.
        name: String,
        /// What it is.
        about: String,
        /// Its kind.
        expected: String,
        /// An example.
        example: String,
    },
    /// An input cannot be read.
    #[error("`{name}`: {why}; for example `{name}={example}`")]
    Wrong {
        /// Name of the input.
        name: String,
        /// What is wrong.
        why: String,
        /// An example.
        example: String,
    },
    /// No such output, or no such unit for it.
    #[error("output `{name}`: {why}")]
    Output {
        /// Name asked for.
        name: String,
        /// What is wrong.
        why: String,
    },
    /// The inputs are readable but have no answer.
    #[error("{0}")]
    NoAnswer(String),
}

/// Answers a question.
///
/// # Errors
/// An unknown key, input or output; a missing or wrong input, which says its kind and an example; inputs that have no answer.
pub fn reckon(ask: &Ask) -> Result<Answer, ReckonError> {
    let calculator = find(&ask.key)?;
    let given = Given::read(calculator, &ask.inputs)?;
    let worked = (calculator.run)(&given)?;
    Answer::new(calculator, &given, worked, &ask.units)
}

/// All calculators, by topic and key.
pub fn calculators() -> Vec<&'static Calculator> {
    let mut all: Vec<&'static Calculator> = topics::ALL.iter().flat_map(|group| group.iter()).collect();
    all.sort_by_key(|calculator| (calculator.topic, calculator.key));
    all
}

/// The calculator with a key.
///
/// # Errors
/// An unknown key, with a near one if there is one.
pub fn find(key: &str) -> Result<&'static Calculator, ReckonError> {
    let wanted = key.trim().replace('_', "-").to_lowercase();
    let all = calculators();
    if let Some(found) = all.iter().find(|calculator| calculator.key == wanted) {
        return Ok(found);
    }
    let near =
        all.iter().find(|c| !wanted.is_empty() && (c.key.contains(&wanted) || wanted.contains(c.key) || shares_word(c.key, &wanted)));
    let hint = near.map(|c| format!(" (did you mean `{}`?)", c.key)).unwrap_or_default();
    Err(ReckonError::UnknownKey { key: key.to_owned(), hint })
}

fn shares_word(a: &str, b: &str) -> bool {
    a.split('-')
        .any(|word| word.len() > 3 && b.split('-').any(|other| other.starts_with(&word[..4]) || word.starts_with(other) && other.len() > 3))
}
