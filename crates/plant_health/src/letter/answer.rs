//! The answer to a letter.

use super::advice::{ActionAdvice, AdviceClass, Day, advise, lower_first, percent, with_controls};
use super::topics::{self, AlsoTold};
use super::understand::{Reader, Understood};
use super::{Letter, Reading};
use crate::danger::{Danger, screened_letter};
use crate::diagnosis::{Case, Cause, Conditions, ConfirmedCases, Diagnosis, SOMETHING_ELSE, Together, diagnose};
use crate::duty::{Duty, duties};
use crate::forbidden::Facts;
use crate::next_look::{NextLook, first_look, help_first, next_look};
use crate::place::{Hemisphere, Place};
use crate::reply::{Matter, keep_clear_first, odds_words, write, write_danger};
use groundlore_lore::Lore;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What is known beside the letter. All of it may be left out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Context {
    /// Day to take where the letter has no date.
    pub today: Option<Date>,
    /// Half of the globe where the letter's place does not say.
    pub hemisphere: Option<Hemisphere>,
    /// Latitude and longitude in degrees, where the letter's place does not say.
    pub at: Option<(f64, f64)>,
    /// Conditions from weather, map and records.
    pub conditions: Conditions,
    /// Windows of stages from the clock.
    pub stage_windows: Vec<StageWindow>,
    /// What was confirmed in this book.
    pub confirmed: ConfirmedCases,
}

/// When a stage is expected at this place this year, in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StageWindow {
    /// Key of the trouble.
    pub trouble: String,
    /// Key or words of the stage, as in lore's `action.stage`.
    pub stage: String,
    /// The window, for example `most years between 28 July and 9 August`.
    pub words: String,
}

/// The answer: what was understood, causes, action, next look, reply.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Answer {
    /// Findings as understood.
    pub understood: Vec<Understood>,
    /// Causes with probabilities, likeliest first.
    pub causes: Vec<Cause>,
    /// Pairs of causes that may both be at work; empty where one explains what was told.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub together: Vec<Together>,
    /// What to do.
    pub action: ActionAdvice,
    /// The next look.
    pub next_look: NextLook,
    /// Other troubles that the letter turns to.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also_told: Vec<AlsoTold>,
    /// Letter to the owner.
    pub reply: String,
    /// Dangers; empty in an ordinary letter.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub danger: Vec<Danger>,
    /// What may be dangerous, for the letter does not tell enough: keep clear until somebody has looked.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub perhaps_danger: Vec<Danger>,
    /// What the law asks where a regulated cause may be at work.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub duties: Vec<Duty>,
    /// Sentences in which nothing was recognised.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_understood: Vec<String>,
    /// True where the evidence is too thin to name a cause.
    #[serde(default)]
    pub cannot_tell: bool,
    /// Probability of all harmless causes together.
    #[serde(default)]
    pub harmless: f64,
    /// What the reader of the letter passed over.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub remarks: Vec<String>,
}

/// Answers a letter: danger first; then what was understood, causes, action, next look and reply.
///
/// `reader` is built once from the same lore with [`Reader::new`].
pub fn answer(letter: &Letter, lore: &Lore, reader: &Reader, context: &Context) -> Answer {
    let reading = reader.read(letter).on_its_host(reader.causes());
    let hemisphere = letter.place.as_ref().and_then(Place::hemisphere).or(context.hemisphere);
    let case = Case {
        reading: &reading,
        date: letter.date.or(context.today),
        hemisphere,
        conditions: &context.conditions,
        confirmed: &context.confirmed,
    };
    let diagnosis = diagnose(lore, reader.causes(), &case);
    let screened = screened_letter(letter);
    if !screened.now.is_empty() {
        return in_danger(letter, reading, diagnosis, screened.now);
    }
    let at = letter.place.as_ref().and_then(Place::at).or(context.at);
    let facts = Facts::new(&context.conditions, case.date, hemisphere).and_told(&reading, &letter.text).at(at);
    let action = with_controls(
        advise(lore, reader.causes(), &diagnosis, &reading.understood, Day { date: case.date, hemisphere }),
        lore,
        &facts,
        &diagnosis.causes,
    );
    let look = if diagnosis.findings_used == 0 && reading.host.is_unknown() {
        None
    } else {
        next_look(lore, reader.causes(), &diagnosis, &reading)
    }
    .unwrap_or_else(first_look);
    let window = window_of(lore, &action, context);
    let duties = duties(lore, &diagnosis, at);
    let mut reply = write(&Matter { lore, reading: &reading, diagnosis: &diagnosis, action: &action, next_look: &look, window });
    if let Some(duty) = duties.first() {
        reply = before_the_close(&reply, &duty.to_the_owner());
    }
    let also_told = also_told(letter, lore, reader, &case, &diagnosis);
    if let Some(other) = also_told.first() {
        reply = before_the_close(&reply, &also_to_the_owner(lore, other));
    }
    let reply = keep_clear_first(&reply, &screened.perhaps);
    Answer { duties, also_told, perhaps_danger: screened.perhaps, ..finish(letter, reading, diagnosis, action, look, reply) }
}

/// Least probability at which the cause of a part of the letter is told beside the main one.
const SURE_ENOUGH_TO_TELL: f64 = 0.5;

/// What the parts of the letter that turn to another host tell of.
fn also_told(letter: &Letter, lore: &Lore, reader: &Reader, main: &Case<'_>, diagnosis: &Diagnosis) -> Vec<AlsoTold> {
    let first = diagnosis.causes.first().map(|c| c.key.as_str());
    let part = |part: Letter| {
        let reading = reader.read(&part).on_its_host(reader.causes());
        let diagnosis = diagnose(lore, reader.causes(), &Case { reading: &reading, ..*main });
        let day = Day { date: main.date, hemisphere: main.hemisphere };
        let action = advise(lore, reader.causes(), &diagnosis, &reading.understood, day);
        let top = diagnosis.causes.first()?;
        let told = top.key != SOMETHING_ELSE && top.probability >= SURE_ENOUGH_TO_TELL && first != Some(top.key.as_str());
        told.then(|| AlsoTold {
            words: part.text.split_whitespace().collect::<Vec<_>>().join(" "),
            key: top.key.clone(),
            name: top.name.clone(),
            probability: top.probability,
            class: action.class,
            why: action.why,
        })
    };
    topics::turns(letter).into_iter().filter_map(part).collect()
}

/// A paragraph for the owner on the other trouble.
fn also_to_the_owner(lore: &Lore, other: &AlsoTold) -> String {
    let whole = lore.troubles.get(&other.key).map_or("", |t| t.for_the_owner.as_str());
    let first = whole.split_inclusive(". ").next().unwrap_or_default().trim();
    format!(
        "You also ask about something else: that is {} {} ({}). {first}",
        odds_words(other.probability),
        lower_first(&other.name),
        percent(other.probability)
    )
}

fn finish(letter: &Letter, reading: Reading, diagnosis: Diagnosis, action: ActionAdvice, next_look: NextLook, reply: String) -> Answer {
    let harmless = diagnosis.causes.iter().filter(|c| c.harmless).map(|c| c.probability).sum();
    Answer {
        understood: reading.understood,
        causes: diagnosis.causes,
        together: diagnosis.together,
        action,
        next_look,
        also_told: Vec::new(),
        reply,
        danger: Vec::new(),
        perhaps_danger: Vec::new(),
        duties: Vec::new(),
        not_understood: reading.not_understood,
        cannot_tell: diagnosis.cannot_tell,
        harmless,
        remarks: letter.remarks.clone(),
    }
}

/// Danger takes the action, the next look and the reply; the causes are told for when it is over.
fn in_danger(letter: &Letter, reading: Reading, diagnosis: Diagnosis, dangers: Vec<Danger>) -> Answer {
    let first = dangers.first();
    let why = dangers
        .iter()
        .map(|d| format!("\"{}\": {}; call {}.", d.phrase, d.what, d.whom_to_call.join(", then ")))
        .collect::<Vec<_>>()
        .join(" ");
    let look = help_first(first.map_or("", |d| &d.do_first), first.map_or("", |d| &d.keep_clear));
    Answer {
        understood: reading.understood,
        causes: diagnosis.causes,
        together: diagnosis.together,
        action: ActionAdvice {
            class: AdviceClass::GetHelpNow,
            stage: None,
            why,
            aimed_at: None,
            controls: Vec::new(),
            withheld: Vec::new(),
        },
        next_look: look,
        also_told: Vec::new(),
        reply: write_danger(&dangers),
        danger: dangers,
        perhaps_danger: Vec::new(),
        duties: Vec::new(),
        not_understood: reading.not_understood,
        cannot_tell: diagnosis.cannot_tell,
        harmless: 0.0,
        remarks: letter.remarks.clone(),
    }
}

fn window_of<'a>(lore: &Lore, action: &ActionAdvice, context: &'a Context) -> Option<&'a str> {
    let key = action.aimed_at.as_deref()?;
    let stage = lore.troubles.get(key)?.action.stage.as_deref()?;
    context.stage_windows.iter().find(|w| w.trouble == key && w.stage == stage).map(|w| w.words.as_str())
}

/// A paragraph put before the two that close the letter.
fn before_the_close(reply: &str, paragraph: &str) -> String {
    let close = reply.rmatch_indices("\n\n").nth(1).map_or(reply.len(), |(at, _)| at);
    format!("{}\n\n{paragraph}{}", &reply[..close], &reply[close..])
}
