//! Advice that would harm is impossible: whatever the odds say, a control that a row of this table forbids is withheld, and why is told.

mod rows;

pub use rows::ROWS;

use crate::diagnosis::Conditions;
use crate::duty::may_hold;
use crate::letter::{Presence, Reading};
use crate::place::Hemisphere;
use groundlore_lore::control::Control;
use groundlore_lore::trouble::{Condition, Trouble, TroubleKind};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// Which causes a row is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// All.
    Any,
    /// A kind.
    Kind(TroubleKind),
    /// One entry, by key, and those that are one of it.
    Key(&'static str),
    /// Those that the law asks to be reported.
    Regulated,
}

/// Which controls a row is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// All.
    Any,
    /// All that need a label.
    UnderLabel,
    /// Those on a list of groups: `IRAC` (insects and mites), `FRAC` (fungi), `HRAC` (weeds).
    Listed(&'static str),
    /// One, by key.
    Control(&'static str),
}

/// What must be true of the place and the time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fact {
    /// Nothing: the row always holds.
    Always,
    /// A condition of weather or yard.
    Condition(Condition),
    /// A pre-emergent herbicide was put down this season.
    PreEmergentLately,
    /// Seed or sod went in within weeks.
    SeededLately,
    /// The ground is frozen, or will be before anything holds: December to February in the north.
    DeepWinter,
    /// The beetles that carry wilts and bore into fresh cuts fly: April to August in the north.
    BeetlesFly,
}

/// A row: for this cause, this action, while this is true.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// Cause.
    pub cause: Cause,
    /// Action.
    pub action: Action,
    /// Condition.
    pub when: Fact,
    /// Why it would harm, as a clause.
    pub why: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// A control that was withheld.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Withheld {
    /// Key of the control.
    pub control: String,
    /// Its name.
    pub name: String,
    /// Why.
    pub why: Cow<'static, str>,
    /// Where the row comes from.
    pub source: Cow<'static, str>,
}

/// What is true of the place and the time.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Facts {
    hold: BTreeSet<Fact>,
    place: Option<(f64, f64)>,
}

impl Facts {
    /// From conditions that hold and from the day.
    pub fn new(conditions: &Conditions, date: Option<Date>, hemisphere: Option<Hemisphere>) -> Self {
        let mut facts: BTreeSet<Fact> = conditions.0.iter().filter(|(_, holds)| **holds).map(|(c, _)| Fact::Condition(*c)).collect();
        if let Some(date) = date {
            let shift = if hemisphere == Some(Hemisphere::Southern) { 6 } else { 0 };
            let month = (i16::from(date.month()) - 1 + shift).rem_euclid(12) + 1;
            if matches!(month, 12 | 1 | 2) {
                facts.insert(Fact::DeepWinter);
            }
            if matches!(month, 4..=8) {
                facts.insert(Fact::BeetlesFly);
            }
        }
        Self { hold: facts, place: None }
    }

    /// Adds what the letter tells.
    #[must_use]
    pub fn and_told(mut self, reading: &Reading, text: &str) -> Self {
        let told = reading.conditions.iter().filter(|c| c.holds).map(|c| Fact::Condition(c.condition));
        self.hold.extend(told);
        let there =
            |key: &str| reading.understood.iter().any(|u| u.finding == key && matches!(u.present, Presence::Yes | Presence::Doubtful));
        for (finding, fact) in [
            ("weedkiller-used", Fact::Condition(Condition::WeedkillerLately)),
            ("sod-or-seed-lately", Fact::SeededLately),
            ("planted-lately", Fact::Condition(Condition::NewPlanting)),
            ("fed-lately", Fact::Condition(Condition::LatelyFed)),
            ("fertiliser-spilt-or-heavy", Fact::Condition(Condition::LatelyFed)),
            ("water-stands", Fact::Condition(Condition::WetSoil)),
            ("dry-weather-before", Fact::Condition(Condition::DrySpell)),
        ] {
            if there(finding) {
                self.hold.insert(fact);
            }
        }
        let deed = |what: &str| reading.deeds.iter().any(|d| d.what == what && d.done);
        if deed("seeded") {
            self.hold.insert(Fact::SeededLately);
        }
        let lower = text.to_lowercase();
        const PRE_EMERGENT: [&str; 6] =
            ["pre-emergent", "preemergent", "pre emergent", "crabgrass preventer", "weed preventer", "preventative weed"];
        if PRE_EMERGENT.iter().any(|words| lower.contains(words)) {
            self.hold.insert(Fact::PreEmergentLately);
        }
        self
    }

    /// Where it is, latitude and longitude in degrees: a rule of another place does not hold.
    #[must_use]
    pub fn at(mut self, place: Option<(f64, f64)>) -> Self {
        self.place = place;
        self
    }

    /// Adds a fact from the book's records.
    pub fn insert(&mut self, fact: Fact) {
        self.hold.insert(fact);
    }

    /// True where a fact holds.
    pub fn hold(&self, fact: Fact) -> bool {
        fact == Fact::Always || self.hold.contains(&fact)
    }
}

impl Row {
    /// True where the row is about this cause at this place.
    pub fn is_about(&self, trouble: &Trouble, facts: &Facts) -> bool {
        match self.cause {
            Cause::Any => true,
            Cause::Kind(kind) => trouble.kind == kind,
            Cause::Key(key) => trouble.key == key || trouble.kind_of.as_deref() == Some(key),
            Cause::Regulated => trouble.regulated.iter().any(|rule| may_hold(rule, facts.place)),
        }
    }

    /// True where the row forbids this control.
    pub fn forbids(&self, control: &Control) -> bool {
        match self.action {
            Action::Any => true,
            Action::UnderLabel => control.needs_label,
            Action::Listed(list) => control.group.as_ref().is_some_and(|g| g.scheme.eq_ignore_ascii_case(list)),
            Action::Control(key) => control.key == key,
        }
    }
}

/// The row that forbids a control for a cause here and now, if one does.
pub fn forbidden(trouble: &Trouble, control: &Control, facts: &Facts) -> Option<&'static Row> {
    ROWS.iter().find(|row| facts.hold(row.when) && row.is_about(trouble, facts) && row.forbids(control))
}
