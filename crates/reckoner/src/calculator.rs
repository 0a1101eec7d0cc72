//! What a calculator is.

use crate::ReckonError;
use crate::answer::Worked;
use crate::given::Given;
use groundlore_quantity::Kind;

/// Topics, in the order in which they are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Topic {
    Season,
    Scouting,
    Treatment,
    Planting,
    TakeOff,
    Machines,
    Price,
    Units,
}

impl Topic {
    /// Heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Season => "Season and weather",
            Self::Scouting => "Scouting and counts",
            Self::Treatment => "Feeding, treating and what came of it",
            Self::Planting => "Planting",
            Self::TakeOff => "Measuring off",
            Self::Machines => "Machines and mowing",
            Self::Price => "Price",
            Self::Units => "Units",
        }
    }
}

/// Kind of an input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InputKind {
    /// A number with a unit.
    Quantity(Kind),
    /// One of several kinds of quantity, with the words for the error.
    OneOf(&'static [Kind], &'static str),
    /// Whole counts.
    Counts,
    /// A list of quantities.
    List(Kind),
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// A word with a form of its own, described.
    Text(&'static str),
}

impl InputKind {
    /// The kind in words.
    pub fn expected(self) -> String {
        match self {
            Self::Quantity(kind) => kind.expected().to_owned(),
            Self::OneOf(_, words) => words.to_owned(),
            Self::Counts => "a list of whole counts".to_owned(),
            Self::List(kind) => format!("a list, each {}", kind.expected()),
            Self::Choice(words) => format!("one of {}", words.join(", ")),
            Self::Text(words) => words.to_owned(),
        }
    }
}

/// Whether an input must be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Must be given.
    Required,
    /// May be left out; the outputs that need it are then left out too, or the stated default holds.
    Optional,
}

/// One input.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// Name.
    pub name: &'static str,
    /// Kind.
    pub kind: InputKind,
    /// Must it be given?
    pub need: Need,
    /// What it is, and what holds where it is left out.
    pub about: &'static str,
    /// An example.
    pub example: &'static str,
}

/// A required input.
pub(crate) const fn required(name: &'static str, kind: InputKind, about: &'static str, example: &'static str) -> Input {
    Input { name, kind, need: Need::Required, about, example }
}

/// An optional input.
pub(crate) const fn optional(name: &'static str, kind: InputKind, about: &'static str, example: &'static str) -> Input {
    Input { name, kind, need: Need::Optional, about, example }
}

/// One output.
#[derive(Debug, Clone, Copy)]
pub struct OutputSpec {
    /// Name.
    pub name: &'static str,
    /// What it is.
    pub about: &'static str,
}

/// An output's name and meaning.
pub(crate) const fn output(name: &'static str, about: &'static str) -> OutputSpec {
    OutputSpec { name, about }
}

/// A calculator of the registry.
pub struct Calculator {
    /// Key.
    pub key: &'static str,
    /// Topic.
    pub topic: Topic,
    /// What it reckons, in a sentence.
    pub about: &'static str,
    /// Inputs.
    pub inputs: &'static [Input],
    /// Outputs.
    pub outputs: &'static [OutputSpec],
    /// Rounding rule.
    pub rounding: &'static str,
    /// Sources.
    pub sources: &'static [&'static str],
    /// Cautions that go with its use.
    pub cautions: &'static [&'static str],
    /// The calculation.
    pub run: fn(&Given) -> Result<Worked, ReckonError>,
}

impl std::fmt::Debug for Calculator {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Calculator").field("key", &self.key).finish_non_exhaustive()
    }
}

/// The rounding rule of calculators without things bought whole.
pub(crate) const EXACT: &str = "Nothing is rounded.";
