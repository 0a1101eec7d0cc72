//! Tasks into the book and out of it.

use crate::stages::LOOK_FIRST;
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::tasks::{StateChange, TaskState};
use groundlore_plant_health::clock::Window as StageWindow;
use groundlore_sheet::{Block, TaskCard};
use groundlore_work::task::{Reason, Standing, Takes, Task, Timing, Window};
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde_json::json;
use std::collections::{BTreeMap, BTreeSet};

/// Days by which a window that is told anew may open earlier than it was planned.
const MAY_MOVE_DAYS: i64 = 60;
/// A stage whose best day moved farther than this comes in another season.
const SAME_SEASON_DAYS: i32 = 120;

impl Desk {
    /// Writes tasks into the book; one that is there already keeps its state. Returns their numbers.
    ///
    /// # Errors
    /// If the book refuses one; then none is written.
    pub fn plan_tasks(&mut self, yard_id: i64, tasks: &[Task]) -> Result<Vec<i64>, DeskError> {
        let rows: Vec<_> = tasks.iter().map(|task| to_row(yard_id, task)).collect();
        Ok(self.book.write(|tx| rows.iter().map(|row| tx.plan_task(row)).collect())?)
    }

    /// Tells the windows of tasks anew that follow a stage of a trouble, by today's weather and by what was seen; one outlook for each yard.
    /// Where the stage cannot be told any more, or its next coming is another season's, the window stays as it was planned.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub(crate) fn tell_anew(&self, tasks: &mut [(i64, Task)]) -> Result<(), DeskError> {
        let mut wanted: BTreeMap<i64, BTreeSet<&str>> = BTreeMap::new();
        for (yard, task) in tasks.iter().filter(|(_, task)| task.window.stage.is_some()) {
            wanted.entry(*yard).or_default().insert(trouble_of(&task.key));
        }
        let mut windows: BTreeMap<(i64, String), Vec<StageWindow>> = BTreeMap::new();
        for (yard_id, troubles) in wanted {
            let yard = YardOnDesk { row: self.book.one(yard_id)?, map: None };
            let troubles: Vec<_> = troubles.into_iter().filter_map(|key| self.lore.troubles.get(key)).collect();
            let Ok(found) = self.windows_of(&yard, &troubles) else { continue };
            windows.extend(found.into_iter().map(|(trouble, stages)| ((yard_id, trouble), stages)));
        }
        for (yard, task) in tasks {
            let Some(key) = task.window.stage.clone() else { continue };
            let Some(stages) = windows.get(&(*yard, trouble_of(&task.key).to_owned())) else { continue };
            let Some(stage) = stages.iter().find(|known| known.stage == key) else { continue };
            if let Some(window) = told_by_stage(&task.window, stage, stages, self.today) {
                task.window = window;
            }
        }
        Ok(())
    }

    /// Writes the windows of a yard's open tasks anew, by today's weather and by what was seen.
    ///
    /// # Errors
    /// If the book refuses one; then none is written.
    pub(crate) fn plan_anew(&mut self, yard_id: i64) -> Result<(), DeskError> {
        let name = self.book.one::<groundlore_book::yards::Yard>(yard_id)?.name;
        let open = |row: &groundlore_book::tasks::Task| matches!(row.state, TaskState::ToDo | TaskState::Begun);
        let rows = self.book.tasks_of(yard_id)?;
        let mut tasks: Vec<(i64, Task)> =
            rows.iter().filter(|row| open(row)).map(|row| (yard_id, from_row(row, &name, self.today))).collect();
        tasks.retain(|(_, task)| task.window.stage.is_some());
        self.tell_anew(&mut tasks)?;
        let mut tasks: Vec<Task> = tasks.into_iter().map(|(_, task)| task).collect();
        // From here on these are the days that are planned.
        tasks.iter_mut().for_each(|task| task.window.odds.retain(|line| !line.starts_with(PLANNED_AS)));
        self.plan_tasks(yard_id, &tasks)?;
        Ok(())
    }

    /// The open tasks of a yard as a table: the days, and what a week's wait costs.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub(crate) fn task_table(&self, yard: &str) -> Result<Option<Block>, DeskError> {
        let tasks = self.open_tasks(Some(yard))?;
        let day = |date: Date| date.strftime("%-d %b %Y").to_string();
        let rows: Vec<Vec<String>> = tasks
            .iter()
            .map(|(task, state)| {
                let window = &task.window;
                let what = if *state == TaskState::Begun { format!("{} (begun)", task.what) } else { task.what.clone() };
                vec![what, day(window.earliest), day(window.best), day(window.latest), wait_words(window)]
            })
            .collect();
        let columns = ["task", "earliest", "best", "latest", "a week's wait"];
        Ok((!rows.is_empty()).then(|| Block::table("Tasks that are open", &columns, rows)))
    }

    /// Every open task, of one yard or of the book, by its last day, told by today's weather and by what was seen.
    ///
    /// # Errors
    /// An unknown yard; if the book cannot be read.
    pub fn open_tasks(&self, yard: Option<&str>) -> Result<Vec<(Task, TaskState)>, DeskError> {
        let only = yard.map(|name| self.book.yard_named(name)).transpose()?.map(|row| row.id);
        self.tasks_until(Date::MAX, only)
    }

    /// Open tasks whose window opens by a day, by their last day.
    pub(crate) fn tasks_until(&self, to: Date, only: Option<i64>) -> Result<Vec<(Task, TaskState)>, DeskError> {
        let yards: BTreeMap<i64, String> = self.book.yards()?.into_iter().map(|yard| (yard.id, yard.name)).collect();
        // A window that is told anew may open earlier than it was planned.
        let rows = self.book.tasks_due(to.saturating_add(MAY_MOVE_DAYS.days()))?;
        let rows: Vec<_> = rows.into_iter().filter(|row| only.is_none_or(|id| row.yard_id == Some(id))).collect();
        let name = |row: &groundlore_book::tasks::Task| row.yard_id.and_then(|id| yards.get(&id)).map_or("", String::as_str).to_owned();
        let mut tasks: Vec<(i64, Task)> =
            rows.iter().map(|row| (row.yard_id.unwrap_or_default(), from_row(row, &name(row), self.today))).collect();
        self.tell_anew(&mut tasks)?;
        let mut told: Vec<(Task, TaskState)> = tasks.into_iter().map(|(_, task)| task).zip(rows.iter().map(|row| row.state)).collect();
        told.retain(|(task, _)| task.window.earliest <= to);
        told.sort_by(|(a, _), (b, _)| (a.window.latest, a.window.best, &a.key).cmp(&(b.window.latest, b.window.best, &b.key)));
        Ok(told)
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
            "stage": task.window.stage,
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
            stage: odds.and_then(|o| o["stage"].as_str()).map(str::to_owned),
        }
        .told_on(today),
        reasons: row.reasons.clone().and_then(|v| serde_json::from_value::<Vec<Reason>>(v).ok()).unwrap_or_default(),
        takes: row.takes.clone().and_then(|v| serde_json::from_value::<Takes>(v).ok()).unwrap_or_default(),
        forbids: strings(&row.forbids),
        cautions: strings(&row.cautions),
    }
}

/// The key of the trouble in a task's key: `linden-house/scout/white-grubs-annual`.
fn trouble_of(key: &str) -> &str {
    key.rsplit('/').next().unwrap_or(key)
}

/// A task's window by its stage as it is told today; none where the stage does not come, or comes in another season.
fn told_by_stage(planned: &Window, stage: &StageWindow, stages: &[StageWindow], today: Date) -> Option<Window> {
    let (first, last) = (stage.p10?, stage.p90?);
    let earliest = first.max(planned.earliest.min(today));
    let best = stage.p50.unwrap_or(earliest).clamp(earliest, last.max(earliest));
    let moved = crate::week::days_between(planned.best, best).abs();
    if last < earliest || moved > SAME_SEASON_DAYS {
        return None;
    }
    let told = |known: &&StageWindow, line: &String| line.starts_with(&format!("{}:", known.name));
    let beside: Vec<&StageWindow> =
        stages.iter().filter(|known| known.stage != stage.stage && planned.odds.iter().any(|line| told(known, line))).collect();
    let mut window = crate::stages::task_window(stage, &beside, [earliest, best, last], today);
    let ours = |line: &&String| *line != LOOK_FIRST && !line.starts_with(PLANNED_AS) && !stages.iter().any(|known| told(&known, line));
    window.odds.extend(planned.odds.iter().filter(ours).cloned());
    let days = |window: &Window| [window.earliest, window.best, window.latest];
    if days(&window) != days(planned) {
        let [earliest, best, latest] = days(planned).map(|day| day.strftime("%-d %b").to_string());
        window.odds.push(format!("{PLANNED_AS} {earliest} to {latest}, best {best}; told anew by today's weather and by what was seen"));
    }
    Some(window)
}

/// How a line begins that says what the days were when the task was planned.
const PLANNED_AS: &str = "planned as";

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
