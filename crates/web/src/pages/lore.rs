//! What is known: the index by kind, with a search; and an entry with its sources, by the clock of a yard.

use crate::app::{Shared, get};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use crate::url;
use axum::Router;
use groundlore_desk::Desk;
use groundlore_desk::lore_pages::{IndexEntry, index};
use maud::{Markup, html};

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/lore", get(list)).route("/lore/{kind}/{key}", get(entry))
}

/// Groups of no more entries than this stand open after a search.
const OPEN_UP_TO: usize = 40;

fn list(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wanted = asked.query("find");
    let groups = index(&desk.lore, wanted);
    let found: usize = groups.iter().map(|group| group.entries.len()).sum();
    let form = Form::new("find", asked, None);
    let page = Page::titled(Room::Lore, "Lore").after(html! {
        form method="get" action="/lore" role="search" {
            (form.line("find", "Find an entry", "a name, another name, a scientific name or a host, as `grubs`, `Popillia` or `oak scale`"))
            button { "Find" }
        }
        @if let Some(wanted) = wanted {
            p role="status" {
                @if found == 0 { "No entry has “" (wanted) "” in its names or hosts. Try a shorter part of it, or fewer words." }
                @else if found == 1 { "1 entry fits “" (wanted) "”." }
                @else { (found) " entries fit “" (wanted) "”." }
            }
        }
        @for group in &groups {
            details.fold open[wanted.is_some() && group.entries.len() <= OPEN_UP_TO] {
                summary { h2 { (group.heading) " (" (group.entries.len()) ")" } }
                ul.rooms { @for entry in &group.entries { (line(entry)) } }
            }
        }
    });
    Ok(page.into())
}

fn line(entry: &IndexEntry) -> Markup {
    html! { li {
        a href=(url::lore(entry.kind, &entry.key)) { (entry.name) }
        @if !entry.beside.is_empty() { div { em { (entry.beside) } } }
        @if let Some(matched) = &entry.matched { div { (matched) } }
    } }
}

fn entry(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let key = asked.part("key");
    let yard = asked.query("yard");
    let (_, sheet) = desk.lore_entry(key, yard)?;
    let trouble = desk.lore.troubles.get(key);
    let yards = if trouble.is_some() { desk.book.yards()? } else { Vec::new() };
    let plant = desk.lore.plants.get(key);
    let form = Form::new("clock", asked, None);
    let dated = trouble.is_some_and(|trouble| !trouble.stages.is_empty());
    let address = url::lore(asked.part("kind"), key);
    let page = Page::of(Room::Lore, sheet).after(html! {
        @if let Some(plant) = plant { p { a.button href={ "/stock/" (url::segment(&plant.key)) } { "Check it at the nursery gate" } } }
        @if dated && yards.len() > 1 { section aria-labelledby="by-the-clock" {
            h2 id="by-the-clock" { "By the clock of another yard" }
            form method="get" action=(address) {
                (form.choice("yard", "Yard", "", &yards.iter().map(|yard| (yard.name.clone(), yard.name.clone())).collect::<Vec<_>>()))
                button { "Show its dates" }
            }
        } }
        @if let Some(trouble) = trouble.filter(|trouble| trouble.count.is_some()) { @if !yards.is_empty() { section aria-labelledby="count-it" {
            h2 id="count-it" { "Count it" }
            ul.rooms { @for yard in &yards { li { a href=(url::yard(&yard.name, &format!("scout/{}", trouble.key))) { "at " (yard.name) } } } }
        } } }
    });
    Ok(page.into())
}
