//! Yards: the list, bringing a map in, and a yard's own page with its map, measures and faults.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::{Form, told};
use crate::reply::{Page, Reply, Room};
use crate::url;
use axum::Router;
use groundlore_desk::yards::YardFacts;
use groundlore_desk::{Desk, DeskError};
use groundlore_lore::trouble::Trouble;
use maud::{Markup, html};

pub(super) fn routes() -> Router<Shared> {
    Router::new()
        .route("/yards", get(yards))
        .route("/yards/new", get(new_yard))
        .route("/yards/{yard}", get(yard))
        .route("/yards/{yard}/troubles", get(troubles))
}

pub(super) fn map_routes() -> Router<Shared> {
    Router::new().route("/yards/new", post(import))
}

fn yards(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    let yards = desk.book.yards()?;
    let due = desk.week()?;
    let tasks = |name: &str| due.tasks.iter().filter(|(task, _)| task.yard == name).count();
    let page = Page::titled(Room::Yards, "Yards").after(html! {
        @if yards.is_empty() { p { "No yard is in the book yet. Bring in the map of the first." } }
        ul.rooms { @for yard in &yards { li {
            a href=(url::yard(&yard.name, "")) { (yard.name) }
            @let n = tasks(&yard.name);
            div { @if let Some(address) = &yard.address { (address) } @if n > 0 { @if yard.address.is_some() { ". " } (n) @if n == 1 { " task" } @else { " tasks" } " this week" } }
        } } }
        p { a.button href="/yards/new" { "Bring in a map" } }
    });
    Ok(page.into())
}

fn new_yard(_: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(import_page(asked, None).into())
}

fn import_page(asked: &Asked, fault: Option<&Fault>) -> Page {
    let form = Form::new("map", asked, fault);
    let states =
        [("no", "refuse the map"), ("yes", "leave them out and say which")].map(|(value, words)| (value.to_owned(), words.to_owned()));
    Page::titled(Room::Yards, "Bring in a map").after_fault(fault).after(html! {
        p { "A map is a GeoJSON file with areas, edges, trees and structures, each with its kind. A yard that is in the book already gets the new map; its old one is kept." }
        (form.summary())
        form method="post" action="/yards/new" enctype="multipart/form-data" {
            (form.file("map", "GeoJSON file", "longitude first, in decimal degrees", ".geojson,.json,application/geo+json,application/json"))
            (form.text("text", "Or paste the map", "only where no file is chosen", 4))
            (form.line("name", "Name of the yard", "blank: the map's own name"))
            (form.line("owner", "Owner", ""))
            (form.line("address", "Address", ""))
            (form.line("station", "Weather station", "the key of a station whose daily file is in the book, for example USW00014839"))
            (form.told("children", "Do children play there?", ""))
            (form.told("pets", "Are there pets?", ""))
            (form.choice("skip-bad", "Features that are wrong", "", &states))
            button.first { "Bring it in" }
        }
    })
}

fn import(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match try_import(desk, asked) {
        Ok(name) => Ok(Reply::See(url::yard(&name, ""))),
        Err(fault) => Ok(import_page(asked, Some(&fault)).into()),
    }
}

fn try_import(desk: &mut Desk, asked: &Asked) -> Result<String, Fault> {
    let text = asked.given("map").or_else(|| asked.given("text"));
    let text = text.ok_or_else(|| Fault::at_field("map", "no map is given; choose a GeoJSON file, or paste its text"))?;
    let file = asked.given("map.name").unwrap_or_else(|| "pasted map".to_owned());
    let facts = YardFacts {
        name: asked.given("name"),
        owner: asked.given("owner"),
        address: asked.given("address"),
        station: asked.given("station"),
        children: told(asked, "children"),
        pets: told(asked, "pets"),
        ..YardFacts::default()
    };
    let imported = desk.import_yard(&text, &file, &facts, told(asked, "skip-bad") == Some(true)).map_err(|error| {
        let is_map = matches!(error, DeskError::Map(_));
        let fault = Fault::from(error);
        if is_map { Fault { field: Some("map".to_owned()), ..fault } } else { fault }
    })?;
    Ok(imported.name)
}

fn yard(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let name = asked.part("yard");
    let row = desk.book.yard_named(name)?;
    let sheet = desk.yard_sheet(&row.name)?;
    let tasks: Vec<_> = desk.week()?.tasks.into_iter().filter(|(task, _)| task.yard == row.name).collect();
    let letters = desk.book.letters_of(row.id)?;
    let page = Page::of(Room::Yards, sheet).at_yard(&row.name, "").after(html! {
        section {
            h2 { "This week here" }
            @if tasks.is_empty() { p { "Nothing is due." } }
            ul { @for (task, state) in &tasks { li {
                (task.what) " (" (state) "): " (crate::show::day(task.window.earliest)) " to " (crate::show::day(task.window.latest)) ", best "
                strong { (crate::show::day(task.window.best)) } "; " (groundlore_desk::tasks::wait_words(&task.window))
            } } }
        }
        section {
            h2 { "Letters" }
            ul.rooms { @for letter in letters.iter().take(6) { li { a href={ "/letters/" (letter.id) } { (letter.date) } " " (super::letter::first_words(&letter.text)) } } }
            p { a.button href={ "/letters?yard=" (url::segment(&row.name)) } { "Answer a letter about this yard" } }
        }
    });
    Ok(page.into())
}

fn troubles(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    let counted: Vec<String> = desk.book.count_sessions_of(row.id)?.into_iter().map(|session| session.trouble).collect();
    let named: Vec<String> = desk.book.diagnoses_of_yard(row.id)?.into_iter().map(|diagnosis| diagnosis.trouble).collect();
    let all: Vec<&Trouble> =
        desk.lore.troubles.values().filter(|trouble| trouble.count.is_some() || !trouble.action.controls.is_empty()).collect();
    let here = |trouble: &&Trouble| counted.contains(&trouble.key) || named.contains(&trouble.key);
    let (known, others): (Vec<&Trouble>, Vec<&Trouble>) = all.into_iter().partition(here);
    let page = Page::titled(Room::Yards, format!("Count and treat at {}", row.name)).at_yard(&row.name, "troubles").after(html! {
        p { a.button href="/labels" { "Label cards" } }
        p { "Count before you treat. The sheet says where to look; the phone page takes the counts; the verdict weighs them." }
        @if !known.is_empty() { h2 { "Counted here, or named in a letter" } (trouble_list(&row.name, &known)) }
        h2 { "Others" }
        (trouble_list(&row.name, &others))
    });
    Ok(page.into())
}

fn trouble_list(yard: &str, troubles: &[&Trouble]) -> Markup {
    html! { ul.rooms { @for trouble in troubles { li {
        strong { (trouble.name) }
        div.part {
            @if trouble.count.is_some() {
                a href=(url::yard(yard, &format!("scout/{}", trouble.key))) aria-label={ "Scouting sheet for " (trouble.name) } { "Scouting sheet" }
                a href=(url::yard(yard, &format!("count/{}", trouble.key))) aria-label={ "Enter counts of " (trouble.name) } { "Enter counts" }
                a href=(url::yard(yard, &format!("verdict/{}", trouble.key))) aria-label={ "Verdict on " (trouble.name) } { "Verdict" }
            }
            a href=(url::yard(yard, &format!("treat/{}", trouble.key))) aria-label={ "Options against " (trouble.name) } { "Options" }
        }
    } } } }
}
