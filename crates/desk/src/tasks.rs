//! Tasks into the book and out of it.

use crate::{Desk, DeskError};
use groundlore_book::tasks::{StateChange, TaskState};
use groundlore_sheet::TaskCard;
use groundlore_work::task::{Reason, Standing, Takes, Task, Timing, Window};
use jiff::civil::Date;
use serde_json::json;

impl Desk {
    /// Writes tasks into the book; one that is there already keeps its state. Returns their numbers.
    ///
    /// # Errors
    /// If the book refuses one; then none is written.
    pub fn plan_tasks(&mut self, yard_id: i64, tasks: &[Task]) -> Result<Vec<i64>, DeskError> {
        let rows: Vec<_> = tasks.iter().map(|task| to_row(yard_id, task)).collect();
        Ok(self.book.write(|tx| rows.iter().map(|row| tx.plan_task(row)).collect())?)
    }

    /// Changes the state of a task by its key.
    ///
    /// # Errors
    /// An unknown key; `could not` without a why.
    pub fn set_task(&mut self, key: &str, to: TaskState, why: Option<&str>, who: Option<&str>) -> Result<(), DeskError> {
        let task = self
            .book
            .task_keyed(key)?
            .ok_or_else(|| DeskError::missing(format!("there is no task `{key}`"), "`groundlore week --json` shows the keys"))?;
        let at = self.now;
        self.book.write(|tx| tx.set_task_state(task.id, &StateChange { to, why, who, at }))?;
        Ok(())
    }
}

fn to_row(yard_id: i64, task: &Task) -> groundlore_book::tasks::Task {
    groundlore_book::tasks::Task {
        id: 0,
        key: task.key.clone(),
        yard_id: Some(yard_id),
        area: task.place.clone(),
        what: task.what.clone(),
        earliest: Some(task.window.earliest),
        best: Some(task.window.best),
        latest: Some(task.window.latest),
        odds: Some(json!({
            "lines": task.window.odds,
            "missed_by_a_week": task.window.missed_by_a_week,
            "timing": task.window.timing,
            "closes": task.window.closes,
        })),
        reasons: Some(json!(task.reasons)),
        takes: Some(json!(task.takes)),
        forbids: Some(json!(task.forbids)),
        cautions: Some(json!(task.cautions)),
        state: TaskState::ToDo,
        why: None,
    }
}

/// A task of the book as the sciences know it.
pub(crate) fn from_row(row: &groundlore_book::tasks::Task, yard: &str, today: Date) -> Task {
    let strings = |value: &Option<serde_json::Value>| -> Vec<String> {
        value.clone().and_then(|v| serde_json::from_value(v).ok()).unwrap_or_default()
    };
    let odds = row.odds.as_ref();
    let timing = odds.and_then(|o| serde_json::from_value(o["timing"].clone()).ok());
    let closes = odds.and_then(|o| serde_json::from_value(o["closes"].clone()).ok());
    let missed_by_a_week = odds.and_then(|o| o["missed_by_a_week"].as_f64());
    Task {
        key: row.key.clone(),
        yard: yard.to_owned(),
        what: row.what.clone(),
        place: row.area.clone(),
        window: Window {
            earliest: row.earliest.unwrap_or(today),
            best: row.best.or(row.earliest).unwrap_or(today),
            latest: row.latest.or(row.best).unwrap_or(today),
            odds: odds.and_then(|o| serde_json::from_value(o["lines"].clone()).ok()).unwrap_or_default(),
            missed_by_a_week,
            timing: timing.unwrap_or(if missed_by_a_week.is_some() { Timing::Weather } else { Timing::Fixed }),
            closes: closes.unwrap_or_default(),
        }
        .told_on(today),
        reasons: row.reasons.clone().and_then(|v| serde_json::from_value::<Vec<Reason>>(v).ok()).unwrap_or_default(),
        takes: row.takes.clone().and_then(|v| serde_json::from_value::<Takes>(v).ok()).unwrap_or_default(),
        forbids: strings(&row.forbids),
        cautions: strings(&row.cautions),
    }
}

/// Where tasks of machines stand, which belong to no yard.
pub const WORKSHOP: &str = "Workshop";

/// A task as it is read, on a day.
pub fn card(task: &Task, state: TaskState, today: Date) -> TaskCard {
    let mut odds = task.window.odds.clone();
    odds.push(wait_words(&task.window));
    TaskCard {
        key: task.key.clone(),
        yard: if task.yard.is_empty() { WORKSHOP.to_owned() } else { task.yard.clone() },
        what: task.what.clone(),
        place: task.place.clone(),
        earliest: task.window.earliest,
        best: task.window.best,
        latest: task.window.latest,
        standing: standing_words(&task.window, today),
        odds,
        reasons: task.reasons.iter().map(reason_line).collect(),
        takes: takes_lines(&task.takes),
        forbids: task.forbids.clone(),
        cautions: task.cautions.clone(),
        state: state_words(state).to_owned(),
    }
}

/// What a week's wait costs, in words; or why no odds of it are given.
pub fn wait_words(window: &Window) -> String {
    match (window.missed_by_a_week, window.timing) {
        (Some(share), _) if share < 0.005 => "a week's wait misses it in fewer than 1 of 100 years".to_owned(),
        (Some(share), _) => format!("a week's wait misses it in {:.0} of 100 years", share * 100.0),
        (None, Timing::Weather) => "what a week's wait costs is not known".to_owned(),
        (None, Timing::Calendar) => "days of the calendar: this year's weather has not moved them, so no odds of a week's wait".to_owned(),
        (None, Timing::Fixed) => "fixed days: no weather sets them, so no odds of a week's wait".to_owned(),
    }
}

/// The words of a task's state.
pub fn state_words(state: TaskState) -> &'static str {
    match state {
        TaskState::ToDo => "to do",
        TaskState::Begun => "begun",
        TaskState::Done => "done",
        TaskState::CouldNot => "could not",
    }
}

fn standing_words(window: &Window, today: Date) -> String {
    let days = |to: Date| crate::week::days_between(today, to);
    let in_days = |n: i32| match n {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        n => format!("in {n} days"),
    };
    match window.standing(today) {
        Standing::Missed if days(window.latest) == -1 => "its window closed yesterday".to_owned(),
        Standing::Missed => format!("its window closed {} days ago", -days(window.latest)),
        Standing::Late => format!("past its best day; it closes {}", in_days(days(window.latest))),
        Standing::Open => format!("open; best {}", in_days(days(window.best))),
        Standing::Coming => format!("opens {}", in_days(days(window.earliest))),
    }
}

fn reason_line(reason: &Reason) -> String {
    let figure = reason.figure.as_ref().map(|figure| format!(": {figure}")).unwrap_or_default();
    let source = if reason.source.is_empty() { String::new() } else { format!(" [{}]", reason.source) };
    format!("{}{figure}{source}", reason.text)
}

fn takes_lines(takes: &Takes) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some((low, high)) = takes.minutes {
        lines.push(if (low - high).abs() < 0.5 { format!("{low:.0} min") } else { format!("{low:.0}–{high:.0} min") });
    }
    lines.extend(takes.materials.iter().map(|(name, amount)| format!("{} of {}", amount.rounded(3), name.trim_start_matches("of "))));
    lines.extend(takes.machines.iter().cloned());
    lines.extend(takes.gear.iter().map(|gear| format!("wear: {gear}")));
    lines
}
