//! Nursery stock at the gate: what to look at, what was seen, take it or send it back.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::{Form, day};
use crate::reply::{Page, Reply, Room};
use axum::Router;
use groundlore_desk::Desk;
use groundlore_desk::stock::{StockEntry, check_word};
use maud::html;

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/stock/{plant}", get(gate).merge(post(judge)))
}

/// Checks that take a figure rather than one of three words.
const MEASURED: [(&str, &str); 2] = [
    ("shoots", "`5 shoots`, `2 shoots in flower`, or pass, doubt, refuse"),
    ("sturdiness", "height and stem, `35 cm, 5 mm`, or pass, doubt, refuse"),
];

fn gate(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(gate_page(desk, asked, None)?.into())
}

fn gate_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let card = desk.gate_card(asked.part("plant"))?;
    let yards: Vec<(String, String)> = std::iter::once((String::new(), "no yard yet".to_owned()))
        .chain(desk.book.yards()?.into_iter().map(|yard| (yard.name.clone(), yard.name)))
        .collect();
    let form = Form::new("gate", asked, fault).with("date", desk.today.to_string());
    let words =
        ["", "pass", "doubt", "refuse"].map(|word| (word.to_owned(), if word.is_empty() { "not checked" } else { word }.to_owned()));
    Ok(Page::titled(Room::Lore, format!("At the nursery gate: {}", card.name)).after_fault(fault).after(html! {
        p.subtitle { (card.botanical) }
        p { "What is left at not checked was not checked: the lot passes only when every needed check was done." }
        (form.summary())
        form method="post" action={ "/stock/" (crate::url::segment(&card.plant)) } {
            @for check in &card.checks {
                @let key = check_word(check.key);
                @let label = format!("{}: {}", crate::show::capital(&key.replace('-', " ")), check.look);
                @let tells = format!("Pass: {}. Doubt: {}. Refuse: {}.", check.pass, check.doubt, check.refuse);
                @match MEASURED.iter().find(|(measured, _)| *measured == key) {
                    Some((_, how)) => (form.line(&key, &label, &format!("{tells} Write {how}."))),
                    None => (form.choice(&key, &label, &tells, &words)),
                }
            }
            (form.whole("quantity", "How many plants", ""))
            (form.line("nursery", "Nursery", ""))
            (form.choice("yard", "For the yard", "", &yards))
            (form.line("who", "Who looked", ""))
            (form.day("date", "Day", ""))
            button.first { "Judge the lot" }
        }
        @if !card.cautions.is_empty() { aside.caution role="note" { @for caution in &card.cautions { p { (caution) } } } }
    }))
}

fn judge(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match try_judge(desk, asked) {
        Ok(page) => Ok(page.into()),
        Err(fault) => {
            let fault = fault.aimed(&[("shoots", "shoots"), ("sturdiness", "sturdiness"), ("day", "date"), ("yard", "yard")]);
            Ok(gate_page(desk, asked, Some(&fault))?.into())
        }
    }
}

fn try_judge(desk: &mut Desk, asked: &Asked) -> Result<Page, Fault> {
    let card = desk.gate_card(asked.part("plant"))?;
    let quantity = asked
        .given("quantity")
        .map(|typed| {
            typed.parse::<u32>().map_err(|_| Fault::at_field("quantity", format!("`{typed}` is no whole number; write for example 12")))
        })
        .transpose()?;
    let entry = StockEntry {
        plant: card.plant.clone(),
        yard: asked.given("yard"),
        bed: None,
        nursery: asked.given("nursery"),
        quantity,
        who: asked.given("who"),
        date: day(asked, "date")?,
        answers: card.checks.iter().map(|check| check_word(check.key)).filter_map(|key| Some((key.clone(), asked.given(&key)?))).collect(),
    };
    let found = desk.check_stock(&entry)?;
    let back = html! { p { a.button href={ "/stock/" (crate::url::segment(&card.plant)) } { "Another lot" } } };
    Ok(Page { on_paper: false, ..Page::of(Room::Lore, desk.stock_sheet(&found)?) }.after(back))
}
