//! Tasks with a window, and what became of each. A task keeps its key, so that planning again changes its window and reasons
//! but never its state; every change of state is logged.

use jiff::{Timestamp, civil::Date};
use serde_json::Value as Json;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{record, refuse, window_in_order, words};

words! {
    /// How far a task has come.
    pub enum TaskState {
        /// To do.
        #[default]
        ToDo = "to do",
        /// Begun.
        Begun = "begun",
        /// Done.
        Done = "done",
        /// Could not be done, with why.
        CouldNot = "could not",
    }
}

record! {
    /// A task.
    pub struct Task in "tasks" checked by is_in_order {
        /// Its key, the same each time it is planned.
        key: String => Filled,
        /// The yard.
        yard_id: Option<i64>,
        /// The area, by the map's name or feature id.
        area: Option<String>,
        /// What to do.
        what: String => Filled,
        /// First day.
        earliest: Option<Date>,
        /// Best day.
        best: Option<Date>,
        /// Last day.
        latest: Option<Date>,
        /// The odds behind the days.
        odds: Option<Json>,
        /// Why, with figures and sources.
        reasons: Option<Json>,
        /// What it takes: materials, minutes, machines.
        takes: Option<Json>,
        /// What forbids it: weather, bloom, re-entry.
        forbids: Option<Json>,
        /// The cautions.
        cautions: Option<Json>,
        /// How far it has come.
        state: TaskState,
        /// Why it could not be done.
        why: Option<String>,
    }
}

record! {
    /// One change of a task's state.
    pub struct TaskChange in "task_changes" {
        /// The task.
        task_id: i64,
        /// When.
        at: Timestamp,
        /// From.
        from_state: TaskState,
        /// To.
        to_state: TaskState,
        /// Why.
        why: Option<String>,
        /// Who.
        who: Option<String>,
    }
}

/// A wish to change the state of a task or a proposal.
#[derive(Debug, Clone, PartialEq)]
pub struct StateChange<'a, State = TaskState> {
    /// To.
    pub to: State,
    /// Why; needed for [`TaskState::CouldNot`].
    pub why: Option<&'a str>,
    /// Who.
    pub who: Option<&'a str>,
    /// When.
    pub at: Timestamp,
}

fn is_in_order(task: &Task) -> Result<(), BookError> {
    let unexplained = task.why.as_deref().is_none_or(|why| why.trim().is_empty());
    if task.state == TaskState::CouldNot && unexplained {
        return refuse("tasks", "why", "blank", "Say why it could not be done, for example `gate was locked`");
    }
    window_in_order("tasks", task.earliest, task.best, task.latest)
}

impl Reading {
    /// The task of a key.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn task_keyed(&self, key: &str) -> Result<Option<Task>, BookError> {
        self.first_where("\"key\" = ?1", [key])
    }

    /// Open tasks (to do or begun) whose window has opened by the day `by`, late ones included; by last day.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn tasks_due(&self, by: Date) -> Result<Vec<Task>, BookError> {
        let condition =
            "state IN ('to do', 'begun') AND (earliest IS NULL OR earliest <= ?1) ORDER BY latest IS NULL, latest, best, \"key\"";
        self.rows_where(condition, [by.to_string()])
    }

    /// The tasks of a yard, by first day.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn tasks_of(&self, yard_id: i64) -> Result<Vec<Task>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY earliest IS NULL, earliest, \"key\"", [yard_id])
    }

    /// The changes of a task's state, oldest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn task_changes(&self, task_id: i64) -> Result<Vec<TaskChange>, BookError> {
        self.rows_where("task_id = ?1 ORDER BY id", [task_id])
    }
}

impl Writing<'_> {
    /// Writes a task, or plans again the one that has its key: then its state and why stay as they are. Returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn plan_task(&self, task: &Task) -> Result<i64, BookError> {
        let Some(old) = self.task_keyed(&task.key)? else {
            return self.add(task);
        };
        self.overwrite(&Task { id: old.id, state: old.state, why: old.why, ..task.clone() })?;
        Ok(old.id)
    }

    /// Changes the state of the task `task_id` and logs the change. A change to the same state is no change.
    ///
    /// # Errors
    /// [`BookError::NotFound`]; [`BookError::InvalidValue`] for *could not* without why.
    pub fn set_task_state(&self, task_id: i64, change: &StateChange<'_>) -> Result<(), BookError> {
        let task = self.one::<Task>(task_id)?;
        let why = change.why.map(str::to_string);
        let logged = TaskChange {
            id: 0,
            task_id,
            at: change.at,
            from_state: task.state,
            to_state: change.to,
            why: why.clone(),
            who: change.who.map(str::to_string),
        };
        if task.state == change.to && task.why == why {
            return Ok(());
        }
        self.overwrite(&Task { state: change.to, why, ..task })?;
        self.add(&logged).map(|_| ())
    }
}
