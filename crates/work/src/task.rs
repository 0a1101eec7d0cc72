//! The task with a window: what, where, when with odds, why, what it takes, what forbids it, and its cautions. How far a task has come is the
//! book's to say.

use groundlore_quantity::Quantity;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// One piece of work with the days it may be done on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Task {
    /// Key, unique in the book, made of yard, kind and subject, so that planning again finds the same task.
    pub key: String,
    /// Yard.
    pub yard: String,
    /// What is to be done, as an instruction.
    pub what: String,
    /// Which area, tree or bed.
    pub place: Option<String>,
    /// When.
    pub window: Window,
    /// Why, with figures and sources.
    pub reasons: Vec<Reason>,
    /// What it takes.
    pub takes: Takes,
    /// What forbids it on a given day.
    pub forbids: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// Days on which a task may be done.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Window {
    /// First day.
    pub earliest: Date,
    /// Best day.
    pub best: Date,
    /// Last day.
    pub latest: Date,
    /// Where the dates come from, with their odds in words.
    pub odds: Vec<String>,
    /// Chance that a week's wait misses the window, 0–1, if it can be said.
    pub missed_by_a_week: Option<f64>,
}

impl Window {
    /// A window that opens and closes on fixed days.
    pub fn fixed(earliest: Date, best: Date, latest: Date, why: &str) -> Self {
        Self { earliest, best, latest, odds: vec![why.to_owned()], missed_by_a_week: None }
    }

    /// How a day stands to the window.
    pub fn standing(&self, day: Date) -> Standing {
        if day < self.earliest {
            Standing::Coming
        } else if day > self.latest {
            Standing::Missed
        } else if day > self.best {
            Standing::Late
        } else {
            Standing::Open
        }
    }
}

/// How a day stands to a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Past the latest day.
    Missed,
    /// Past the best day, not yet the latest.
    Late,
    /// Open.
    Open,
    /// Not yet open.
    Coming,
}

/// Why a task is there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reason {
    /// In words.
    pub text: String,
    /// The figure that carries it, printed.
    pub figure: Option<String>,
    /// Source of the figure.
    pub source: String,
}

impl Reason {
    /// A reason with its figure and source.
    pub fn new(text: impl Into<String>, figure: impl Into<String>, source: impl Into<String>) -> Self {
        Self { text: text.into(), figure: Some(figure.into()), source: source.into() }
    }
}

/// What a task takes.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Takes {
    /// Person-minutes, low and high.
    pub minutes: Option<(f64, f64)>,
    /// Materials with amounts.
    pub materials: Vec<(String, Quantity)>,
    /// Machines.
    pub machines: Vec<String>,
    /// Protective gear, as the label or the work asks.
    pub gear: Vec<String>,
}
