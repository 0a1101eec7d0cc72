//! Machines: hours, blades, and the day that sharpening falls due.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::{Form, day};
use crate::reply::{Page, Reply, Room};
use axum::Router;
use groundlore_desk::Desk;
use groundlore_desk::machines::{HoursEntry, MachineEntry};
use maud::html;

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/machines", get(machines).merge(post(write)))
}

fn machines(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(machines_page(desk, asked, None)?.into())
}

fn machines_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let names: Vec<(String, String)> = desk.book.machines()?.into_iter().map(|machine| (machine.name.clone(), machine.name)).collect();
    let yards: Vec<(String, String)> = std::iter::once((String::new(), "no yard".to_owned()))
        .chain(desk.book.yards()?.into_iter().map(|yard| (yard.name.clone(), yard.name)))
        .collect();
    let of = |what: &str| fault.filter(|_| asked.typed("what") == Some(what));
    let (hours, blade, new) =
        (Form::new("hours", asked, of("hours")), Form::new("blade", asked, of("blade")), Form::new("machine", asked, of("machine")));
    let (hours, blade) = (hours.with("date", desk.today.to_string()), blade.with("date", desk.today.to_string()));
    Ok(Page::of(Room::Machines, desk.machines_sheet()?).after_fault(fault).after(html! {
        @if !names.is_empty() { div.side {
            section aria-labelledby="log" {
                h2 id="log" { "Log hours" }
                (hours.summary())
                form method="post" action="/machines" {
                    input type="hidden" name="what" value="hours";
                    (hours.choice("machine", "Machine", "", &names))
                    (hours.line("hours", "Hours it ran", "`1.5 h` or `90 min`"))
                    (hours.day("date", "Day", ""))
                    (hours.choice("yard", "Yard", "", &yards))
                    (hours.line("who", "Who drove", ""))
                    button.first { "Log them" }
                }
            }
            section aria-labelledby="sharp" {
                h2 id="sharp" { "Blades were sharpened" }
                (blade.summary())
                form method="post" action="/machines" {
                    input type="hidden" name="what" value="blade";
                    (blade.choice("machine", "Machine", "", &names))
                    (blade.day("date", "Day", ""))
                    (blade.line("who", "Who sharpened", ""))
                    button { "Write it down" }
                }
            }
        } }
        details open[of("machine").is_some()] {
            summary { "Add a machine" }
            (new.summary())
            form method="post" action="/machines" {
                input type="hidden" name="what" value="machine";
                (new.line("name", "Name", "as the crew calls it"))
                (new.line("kind", "Kind", "mower, edger, spreader, sprayer"))
                (new.line("cutting-width", "Width of cut", "as `21 in`"))
                (new.line("speed", "Working speed", "as `3 mph`"))
                (new.line("sharpen-every", "Hours between sharpenings", "as `25 h`; blank: the firm's limits"))
                button { "Add it" }
            }
        }
    }))
}

fn write(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match try_write(desk, asked) {
        Ok(()) => Ok(Reply::See("/machines".to_owned())),
        Err(fault) => {
            let fault = fault.aimed(&[
                ("cutting width", "cutting-width"),
                ("speed", "speed"),
                ("hours", "hours"),
                ("name", "name"),
                ("kind", "kind"),
                ("day", "date"),
            ]);
            let fault = if asked.typed("what") == Some("machine") && fault.field.as_deref() == Some("hours") {
                Fault { field: Some("sharpen-every".to_owned()), ..fault }
            } else {
                fault
            };
            Ok(machines_page(desk, asked, Some(&fault))?.into())
        }
    }
}

fn try_write(desk: &mut Desk, asked: &Asked) -> Result<(), Fault> {
    let machine = asked.given("machine").unwrap_or_default();
    match asked.typed("what") {
        Some("hours") => {
            let hours = asked.given("hours").ok_or_else(|| Fault::at_field("hours", "no hours are given; write `1.5 h` or `90 min`"))?;
            desk.log_hours(&HoursEntry { machine, hours, date: day(asked, "date")?, yard: asked.given("yard"), who: asked.given("who") })?;
        }
        Some("blade") => {
            desk.sharpened(&machine, day(asked, "date")?, asked.given("who").as_deref())?;
        }
        _ => {
            let name = asked
                .given("name")
                .ok_or_else(|| Fault::at_field("name", "the machine has no name; give one, for example `Little mower`"))?;
            let kind = asked
                .given("kind")
                .ok_or_else(|| Fault::at_field("kind", "its kind is not said; write mower, edger, spreader or sprayer"))?;
            desk.add_machine(&MachineEntry {
                name,
                kind,
                cutting_width: asked.given("cutting-width"),
                speed: asked.given("speed"),
                sharpen_every: asked.given("sharpen-every"),
                bought_on: None,
            })?;
        }
    }
    Ok(())
}
