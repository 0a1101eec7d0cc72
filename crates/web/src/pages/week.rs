//! The week, the crew's sheet, and what becomes of a task.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::reply::{Page, Reply, Room};
use axum::Router;
use groundlore_book::tasks::TaskState;
use groundlore_desk::Desk;
use maud::html;

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/", get(week)).route("/week", get(week)).route("/crew", get(crew)).route("/tasks", post(set_task))
}

fn week(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let sheet = desk.week_sheet()?;
    let said = asked.query("said").map(|key| desk.book.task_keyed(key)).transpose()?.flatten();
    let page = Page::of(Room::Week, sheet)
        .before(html! {
            @if let Some(task) = said { p.total role="status" { "Written down: " strong { (task.state.word()) } ", " (task.what) @if let Some(why) = &task.why { " (" (why) ")" } "." } }
            p { a.button href="/crew" { "Crew sheet for today" } a.button href="/letters" { "A letter came" } }
        });
    Ok(page.into())
}

fn crew(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    Ok(Page::of(Room::Week, desk.crew_sheet()?).into())
}

fn set_task(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let key = asked.given("key").ok_or_else(|| Fault::at_field("key", "no task is named; press a button of a task on the week's page"))?;
    let word = asked.given("to").unwrap_or_default();
    let to = TaskState::from_word(&word).ok_or_else(|| Fault::at_field("to", format!("`{word}` is no state of a task; use one of to do, begun, done, could not")))?;
    let why = asked.given("why");
    desk.set_task(&key, to, why.as_deref(), None).map_err(|error| Fault::from(error).aimed(&[("why", "why")]))?;
    Ok(Reply::See(format!("/?said={}", crate::url::segment(&key))))
}
