//! What is known: the list, and an entry with its sources.

use crate::app::{Shared, get};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use crate::url;
use axum::Router;
use groundlore_desk::Desk;
use groundlore_desk::lore_pages::{entry_sheet, list_rows};
use maud::html;

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/lore", get(list)).route("/lore/{kind}/{key}", get(entry))
}

/// Kinds of entries that have a page, and their headings.
const KINDS: [(&str, &str); 5] = [
    ("troubles", "Troubles, and what is taken for them"),
    ("plants", "Plants"),
    ("controls", "Controls"),
    ("materials", "Materials"),
    ("work-norms", "Work norms"),
];

fn list(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let rows = list_rows(&desk.lore, None)?;
    let wanted = asked.query("find").map(str::to_lowercase);
    let fits = |row: &[String]| wanted.as_ref().is_none_or(|word| row.iter().skip(1).any(|cell| cell.to_lowercase().contains(word)));
    let of = |kind: &str| rows.iter().filter(|row| row[0] == kind && fits(row)).cloned().collect::<Vec<_>>();
    let form = Form::new("find", asked, None);
    let groups: Vec<(&str, &str, Vec<Vec<String>>)> =
        KINDS.iter().map(|(kind, heading)| (*kind, *heading, of(kind))).filter(|(.., rows)| !rows.is_empty()).collect();
    let page = Page::titled(Room::Lore, "Lore").after(html! {
        form method="get" action="/lore" role="search" { (form.line("find", "Find an entry", "part of its name")) button { "Find" } }
        @if groups.is_empty() { p role="status" { "No entry has that in its name. Try a shorter part of it." } }
        @for (kind, heading, rows) in &groups {
            details open[wanted.is_some()] {
                summary { (heading) " (" (rows.len()) ")" }
                ul.rooms { @for row in rows { li { a href=(url::lore(kind, &row[1])) { (row[2]) } } } }
            }
        }
    });
    Ok(page.into())
}

fn entry(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (_, sheet) = entry_sheet(&desk.lore, asked.part("key"), desk.today)?;
    let trouble = desk.lore.troubles.get(asked.part("key")).filter(|trouble| trouble.count.is_some());
    let yards = if trouble.is_some() { desk.book.yards()? } else { Vec::new() };
    let plant = desk.lore.plants.get(asked.part("key"));
    let page = Page::of(Room::Lore, sheet).after(html! {
        @if let Some(plant) = plant { p { a.button href={ "/stock/" (url::segment(&plant.key)) } { "Check it at the nursery gate" } } }
        @if let Some(trouble) = trouble { @if !yards.is_empty() {
        h2 { "Count it" }
        ul.rooms { @for yard in &yards { li { a href=(url::yard(&yard.name, &format!("scout/{}", trouble.key))) { "at " (yard.name) } } } }
    } }
    });
    Ok(page.into())
}
