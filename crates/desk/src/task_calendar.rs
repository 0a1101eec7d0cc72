//! Open tasks as an iCalendar feed (RFC 5545): an all-day entry from the earliest day to the latest, with the best day and the odds.

use crate::events::{escaped, folded};
use crate::tasks::{WORKSHOP, wait_words};
use crate::{Desk, DeskError};
use groundlore_work::task::Task;
use std::fmt::Write as _;

impl Desk {
    /// The open tasks of a yard, or of the book, as an iCalendar feed.
    ///
    /// # Errors
    /// An unknown yard; if the book cannot be read.
    pub fn task_calendar(&self, yard: Option<&str>) -> Result<String, DeskError> {
        let stamp = self.now.strftime("%Y%m%dT%H%M%SZ").to_string();
        let mut text = String::from("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Groundlore//Tasks//EN\r\nCALSCALE:GREGORIAN\r\n");
        for (task, _) in self.open_tasks(yard)? {
            for line in entry(&task, &stamp) {
                let _ = write!(text, "{}\r\n", folded(&line));
            }
        }
        text.push_str("END:VCALENDAR\r\n");
        Ok(text)
    }
}

fn entry(task: &Task, stamp: &str) -> Vec<String> {
    let window = &task.window;
    let after = window.latest.tomorrow().unwrap_or(window.latest);
    let at = if task.yard.is_empty() { WORKSHOP } else { &task.yard };
    let mut about = vec![format!("Best {}", window.best), wait_words(window)];
    about.extend(window.odds.iter().cloned());
    vec![
        "BEGIN:VEVENT".to_owned(),
        format!("UID:{}@groundlore", task.key.replace('/', "-")),
        format!("DTSTAMP:{stamp}"),
        format!("DTSTART;VALUE=DATE:{}", window.earliest.strftime("%Y%m%d")),
        format!("DTEND;VALUE=DATE:{}", after.strftime("%Y%m%d")),
        format!("SUMMARY:{}", escaped(&format!("{at}: {}", task.what))),
        format!("DESCRIPTION:{}", escaped(&about.join("\n"))),
        "TRANSP:TRANSPARENT".to_owned(),
        "END:VEVENT".to_owned(),
    ]
}
