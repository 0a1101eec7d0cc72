//! The week and its tasks.

use crate::cli::{Place, Show};
use crate::out::{Outcome, refuse, say, show, write_file};
use groundlore_book::tasks::TaskState;
use std::path::Path;
use std::process::ExitCode;

pub(crate) fn run(place: &Place, options: &Show, crew: bool, calendar: Option<&Path>, yard: Option<&str>) -> Outcome<ExitCode> {
    let desk = super::desk(place)?;
    if let Some(path) = calendar {
        write_file(path, desk.task_calendar(yard)?.as_bytes())?;
    }
    let week = desk.week()?;
    show(options, &week, || Ok(if crew { desk.crew_sheet()? } else { desk.week_sheet()? }))
}

pub(crate) fn task(place: &Place, key: &str, state: &str, why: Option<&str>, who: Option<&str>) -> Outcome<ExitCode> {
    let mut desk = super::desk(place)?;
    let Some(to) = TaskState::ALL.iter().copied().find(|s| s.word() == state.trim()) else {
        let words: Vec<&str> = TaskState::ALL.iter().map(|s| s.word()).collect();
        return refuse(format!("`{state}` is no state of a task; use one of `{}`", words.join("`, `")));
    };
    desk.set_task(key, to, why, who)?;
    say(&format!("{key} is `{}`", to.word()));
    Ok(ExitCode::SUCCESS)
}
