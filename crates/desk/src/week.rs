//! The week: everything due across the book.

use crate::tasks::card;
use crate::{Desk, DeskError};
use groundlore_sheet::{Block, Sheet};
use groundlore_work::task::{Standing, Task};
use jiff::civil::Date;
use jiff::{ToSpan, Unit};

/// The tasks of a week, most pressing first.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Week {
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// Tasks with their state.
    pub tasks: Vec<(Task, String)>,
}

/// Days from one date to another.
pub(crate) fn days_between(from: Date, to: Date) -> i32 {
    from.until((Unit::Day, to)).map_or(0, |span| span.get_days())
}

impl Desk {
    /// What is due in the seven days from today: windows that are open, late or missed and not done, by how soon they close; told by today's
    /// weather and by what was seen.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn week(&self) -> Result<Week, DeskError> {
        let to = self.today.checked_add(6.days()).unwrap_or(self.today);
        let tasks =
            self.tasks_until(to, None)?.into_iter().map(|(task, state)| (task, crate::tasks::state_words(state).to_owned())).collect();
        Ok(Week { from: self.today, to, tasks })
    }

    /// The week as a sheet: what is open, then what opens within the week.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn week_sheet(&self) -> Result<Sheet, DeskError> {
        let week = self.week()?;
        let mut sheet = self.sheet("week", "This week").subtitle(format!("{} to {}, {} tasks", week.from, week.to, week.tasks.len()));
        let groups: [(&str, &[Standing]); 3] = [
            ("Past its window: do now, or say why not", &[Standing::Missed]),
            ("Open now", &[Standing::Late, Standing::Open]),
            ("Opens this week", &[Standing::Coming]),
        ];
        for (heading, standings) in groups {
            let group: Vec<&(Task, String)> =
                week.tasks.iter().filter(|(task, _)| standings.contains(&task.window.standing(self.today))).collect();
            if group.is_empty() {
                continue;
            }
            sheet.push(Block::heading(heading));
            for (task, state) in group {
                let state =
                    if state == "begun" { groundlore_book::tasks::TaskState::Begun } else { groundlore_book::tasks::TaskState::ToDo };
                sheet.push(Block::Task(card(task, state, self.today)));
            }
        }
        sheet.blocks.extend(self.forecast_block()?);
        if week.tasks.is_empty() {
            sheet
                .push(Block::paragraph("Nothing is due this week. `groundlore yard import` and `groundlore letter` make the first tasks."));
        }
        Ok(sheet)
    }
}
