//! An owner's letter: read, understood, and answered.
//!
//! | step | where | what it may assume |
//! | --- | --- | --- |
//! | read | [`parse()`] | bytes are text; every error names the field, the value and the remedy |
//! | cut | [`words`] | sentences, clauses, words with stems |
//! | match | [`pattern`] | the `said_as` patterns of lore, compiled once |
//! | judge | [`negation`] | each match is said, denied, doubted, asked or hearsay |
//! | mail | [`mail`] | messages and mailboxes, with their photos |
//! | measure | [`number`] | counts with their area, lengths, shares |
//! | place | [`host`], [`circumstance`] | which plant, when, where, what was done, which conditions |
//! | hear | [`heard`] | the words themselves, without what is denied |
//! | gather | [`understand`] | one list of what was understood, correctable, and of what was not |
//! | turn | [`topics`] | a second trouble on another host, told by the way |
//! | answer | [`answer()`] | danger first, then causes, action, next look and reply |
pub mod advice;
pub mod answer;
pub mod circumstance;
pub mod heard;
pub mod host;
pub mod mail;
pub mod measure;
pub mod negation;
pub mod number;
pub mod parse;
pub mod pattern;
pub mod topics;
pub mod understand;
pub mod words;

pub use advice::{ActionAdvice, AdviceClass};
pub use answer::{Answer, Context, StageWindow, answer};
pub use negation::Presence;
pub use parse::{LetterError, parse};
pub use topics::AlsoTold;
pub use understand::{Reader, Reading, Understood};

use crate::place::Place;
use groundlore_quantity::Quantity;
use jiff::civil::Date;
use serde::Serialize;

/// A letter from an owner, read but not yet understood.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Letter {
    /// Day it was written, if told.
    pub date: Option<Date>,
    /// Name of the yard, if told.
    pub yard: Option<String>,
    /// Place, if told.
    pub place: Option<Place>,
    /// Plant or ground it is about, if told.
    pub host: Option<String>,
    /// The letter itself.
    pub text: String,
    /// Findings given in a list beside the letter.
    pub findings: Vec<GivenFinding>,
    /// What the user put right after an earlier reading.
    pub corrections: Vec<Correction>,
    /// What the reader passed over (fields it does not know).
    pub remarks: Vec<String>,
}

/// A finding given in free words, with its value.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GivenFinding {
    /// The finding in free words, or its key.
    pub finding: String,
    /// Its value.
    pub value: GivenValue,
}

/// The value of a given finding.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", content = "value", rename_all = "kebab-case")]
pub enum GivenValue {
    /// It is there.
    Yes,
    /// It is not there.
    No,
    /// Nobody looked, or nobody knows.
    Unknown,
    /// A number with its unit.
    Number(Quantity),
    /// Words (`straw coloured`, `silver dollar`).
    Words(String),
}

/// A correction of what was understood.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Correction {
    /// The phrase of the letter, or the finding's key or name.
    pub what: String,
    /// What it is in truth.
    pub value: GivenValue,
}

impl GivenValue {
    /// Reads a value in free words: yes and no in many forms, `unknown`, numbers with or without unit, else the words themselves.
    ///
    /// ```
    /// # use groundlore_plant_health::letter::GivenValue;
    /// assert_eq!(GivenValue::from_words("none seen"), GivenValue::No);
    /// assert_eq!(GivenValue::from_words("not checked"), GivenValue::Unknown);
    /// assert!(matches!(GivenValue::from_words("12 per ft2"), GivenValue::Number(_)));
    /// ```
    pub fn from_words(text: &str) -> Self {
        const YES: &[&str] = &[
            "yes",
            "y",
            "true",
            "present",
            "seen",
            "found",
            "positive",
            "observed",
            "visible",
            "many",
            "lots",
            "some",
            "a few",
            "several",
            "plenty",
            "heavy",
            "definitely",
            "x",
            "everywhere",
            "all over",
        ];
        const NO: &[&str] = &[
            "no",
            "n",
            "false",
            "none",
            "absent",
            "not seen",
            "none seen",
            "not found",
            "none found",
            "never",
            "nil",
            "negative",
            "no sign",
            "not present",
            "not there",
            "not visible",
            "not observed",
            "can't see any",
            "cannot see any",
            "none that i can see",
            "not that i can see",
            "not any",
            "nope",
            "zero",
            "nothing",
        ];
        const UNKNOWN: &[&str] = &[
            "unknown",
            "?",
            "not checked",
            "not looked",
            "don't know",
            "do not know",
            "dont know",
            "n/a",
            "na",
            "not sure",
            "unsure",
            "unclear",
            "can't tell",
            "not known",
            "can't remember",
            "cannot remember",
            "don't remember",
            "can't recall",
            "no idea",
            "haven't looked",
            "have not looked",
            "didn't look",
            "not tested",
            "can't say",
            "",
        ];
        let lower = text.trim().trim_end_matches(['.', '!']).to_lowercase();
        let head = lower.split([',', ';']).next().unwrap_or_default().trim();
        for (words, value) in [(UNKNOWN, Self::Unknown), (NO, Self::No), (YES, Self::Yes)] {
            if words.contains(&lower.as_str()) || (head != lower && words.contains(&head) && !head.is_empty()) {
                return value;
            }
        }
        let number = ["about ", "around ", "approx. ", "approx ", "approximately ", "roughly ", "some ", "nearly ", "almost ", "~"]
            .iter()
            .fold(lower.as_str(), |t, lead| t.strip_prefix(lead).unwrap_or(t));
        match Quantity::parse(number) {
            Ok(q) if q.value == 0.0 => Self::No,
            Ok(q) => Self::Number(q),
            Err(_) => Self::Words(text.trim().to_owned()),
        }
    }
}
