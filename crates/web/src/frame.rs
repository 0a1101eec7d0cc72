//! The frame of every page: head, ways around, content, foot.

use crate::app::App;
use crate::asked::Asked;
use crate::fault::Fault;
use crate::reply::{Page, Room};
use crate::show::{prose, sheet_body, sheet_head};
use crate::url;
use maud::{DOCTYPE, Markup, html};

/// The main ways, in the order of a day.
const WAYS: [(Room, &str, &str); 7] = [
    (Room::Week, "/", "Week"),
    (Room::Yards, "/yards", "Yards"),
    (Room::Letters, "/letters", "Letters"),
    (Room::Price, "/proposals", "Price"),
    (Room::Machines, "/machines", "Machines"),
    (Room::Reckoner, "/reckon", "Reckoner"),
    (Room::Lore, "/lore", "Lore"),
];

/// Rooms of a yard.
const YARD_ROOMS: [(&str, &str); 6] =
    [("", "Map"), ("season", "Season"), ("troubles", "Count and treat"), ("record", "Record"), ("beds", "Beds"), ("price", "Price")];

/// A page.
pub(crate) fn page(app: &App, asked: Option<&Asked>, page: &Page) -> Markup {
    let today = app.at_desk(|desk| desk.today);
    let title = if page.status < 400 { page.title.clone() } else { format!("Put right: {}", page.title) };
    whole(
        &title,
        page.room,
        page.script,
        page.way_out.as_ref(),
        html! {
            @if let Some((yard, room)) = &page.yard { (yard_ways(yard, room)) }
            @match &page.sheet { Some(sheet) => (sheet_head(sheet)), None => h1 { (page.title) } }
            @if page.on_paper && app.prints() { @if let Some(asked) = asked { p.paper { a href=(as_pdf(&asked.address)) { "On paper (PDF)" } } } }
            (page.before)
            @if let Some(sheet) = &page.sheet { (sheet_body(sheet)) }
            (page.after)
        },
        &today.strftime("%A %-d %B %Y").to_string(),
    )
}

/// A page that says what went wrong.
pub(crate) fn fault_page(asked: Option<&Asked>, fault: &Fault) -> Markup {
    let posted = asked.is_some_and(|a| a.posted);
    whole(
        &fault.title,
        Room::Nowhere,
        false,
        None,
        html! {
            h1 { (fault.title) }
            div.fault role="alert" { p { (prose(&crate::show::capital(&fault.detail))) } }
            @if posted { p { "Go back with your browser's button: what you typed is still there." } }
            p { a.button href="/" { "To the week" } }
        },
        "",
    )
}

fn whole(title: &str, room: Room, script: bool, way_out: Option<&(String, &str)>, content: Markup, today: &str) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light";
                title { (title) " · Groundlore" }
                link rel="stylesheet" href="/style.css";
                link rel="icon" href="/icon.svg" type="image/svg+xml";
                @if script { script src="/count.js" defer {} }
            }
            body {
                a.skip href="#content" { "To the content" }
                @if let Some((address, words)) = way_out { header.top.bare { p.mark { a href="/" { "Groundlore" } } p { a href=(address) { (words) } } } } @else { header.top {
                    p.mark { a href="/" { "Groundlore" } }
                    nav aria-label="Main" { ul { @for (way, address, name) in WAYS {
                        li { a href=(address) aria-current=[(way == room).then_some("page")] { (name) } }
                    } } }
                } }
                main id="content" tabindex="-1" { (content) }
                footer { p { @if !today.is_empty() { "Desk of " (today) ". " } "The product label, local codes and licensed practice come before anything said here. " a href="/api/openapi.json" { "For programs" } } }
            }
        }
    }
}

fn yard_ways(yard: &str, room: &str) -> Markup {
    html! { nav.yard aria-label={ "Rooms of " (yard) } {
        p { (yard) }
        ul { @for (way, name) in YARD_ROOMS { li { a href=(url::yard(yard, way)) aria-current=[(way == room).then_some("page")] { (name) } } } }
    } }
}

/// The same address, on paper.
fn as_pdf(address: &str) -> String {
    format!("{address}{}as=pdf", if address.contains('?') { '&' } else { '?' })
}
