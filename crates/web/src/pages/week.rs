//! The week, the crew's sheet, and what becomes of a task.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::reply::{Page, Reply, Room};
use crate::url::segment;
use axum::Router;
use groundlore_book::tasks::TaskState;
use groundlore_desk::Desk;
use groundlore_sheet::{Block, Sheet};
use maud::html;
use std::collections::BTreeMap;

pub(super) fn routes() -> Router<Shared> {
    Router::new()
        .route("/", get(week))
        .route("/week", get(week))
        .route("/crew", get(crew))
        .route("/week.ics", get(calendar))
        .route("/tasks", post(set_task))
}

fn week(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let mut sheet = desk.week_sheet()?;
    let said = asked.query("said").map(|key| desk.book.task_keyed(key)).transpose()?.flatten();
    let mut yards: BTreeMap<String, usize> = BTreeMap::new();
    for (task, _) in desk.week()?.tasks.into_iter().filter(|(task, _)| !task.yard.is_empty()) {
        *yards.entry(task.yard).or_default() += 1;
    }
    if let Some(yard) = asked.query("yard") {
        only_at(&mut sheet, yard);
    }
    let page = Page::of(Room::Week, sheet)
        .before(html! {
            @if let Some(task) = said { p.total role="status" { "Written down: " strong { (task.state.word()) } ", " (task.what) @if let Some(why) = &task.why { " (" (why) ")" } "." } }
            p { a.button href="/crew" { "Crew sheet for today" } a.button href="/letters" { "A letter came" } a.button href="/week.ics" { "Calendar feed" } }
            @if yards.len() > 1 { details { summary { "Only one yard" } ul.rooms {
                li { a href="/" { "All yards" } }
                @for (yard, tasks) in &yards { li { a href={ "/?yard=" (segment(yard)) } { (yard) } ", " (tasks) @if *tasks == 1 { " task" } @else { " tasks" } } }
            } } }
        });
    Ok(page.into())
}

/// Leaves only the tasks of a yard, and the headings that still have one.
fn only_at(sheet: &mut Sheet, yard: &str) {
    sheet.blocks.retain(|block| !matches!(block, Block::Task(card) if card.yard != yard));
    let kept = std::mem::take(&mut sheet.blocks);
    let is_heading = |block: Option<&Block>| matches!(block, Some(Block::Heading { .. }));
    sheet.blocks = kept
        .iter()
        .enumerate()
        .filter(|(place, block)| !is_heading(Some(block)) || (kept.get(place + 1).is_some() && !is_heading(kept.get(place + 1))))
        .map(|(_, block)| block.clone())
        .collect();
    sheet.title = format!("This week at {yard}");
    sheet.subtitle = None;
}

fn crew(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    Ok(Page::of(Room::Week, desk.crew_sheet()?).into())
}

/// Every open task as a feed for a calendar; of one yard with `?yard=`.
fn calendar(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Calendar(desk.task_calendar(asked.query("yard"))?))
}

fn set_task(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let key = asked.given("key").ok_or_else(|| Fault::at_field("key", "no task is named; press a button of a task on the week's page"))?;
    let word = asked.given("to").unwrap_or_default();
    let to = TaskState::from_word(&word)
        .ok_or_else(|| Fault::at_field("to", format!("`{word}` is no state of a task; use one of to do, begun, done, could not")))?;
    let why = asked.given("why").filter(|_| to == TaskState::CouldNot);
    desk.set_task(&key, to, why.as_deref(), None).map_err(|error| Fault::from(error).aimed(&[("why", "why")]))?;
    Ok(Reply::See(format!("/?said={}", segment(&key))))
}
