//! The reckoner: every calculator of the registry as a form whose address holds the question, so that an answer can be kept as a link.

use crate::app::{Shared, get};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use crate::show::prose;
use axum::Router;
use groundlore_desk::Desk;
use groundlore_reckoner::{Answer, Ask, Calculator, Input, InputKind, Need, Topic, calculators, find, reckon};
use groundlore_sheet::{Block, Sheet};
use maud::{Markup, html};

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/reckon", get(list)).route("/reckon/{key}", get(calculator))
}

fn list(_: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    let all = calculators();
    let mut topics: Vec<Topic> = all.iter().map(|calculator| calculator.topic).collect();
    topics.dedup();
    let page = Page::titled(Room::Reckoner, "Reckoner").after(html! {
        p { "Sums of the trade, each with its working and its sources. Numbers carry their units: " code { "12.5 ft" } ", " code { "3 yd3" } ", " code { "40 gal/acre" } "." }
        @for topic in topics {
            h2 { (topic.heading()) }
            ul.rooms { @for calculator in all.iter().filter(|c| c.topic == topic) { li { a href={ "/reckon/" (calculator.key) } { (calculator.key.replace('-', " ")) } div { (calculator.about) } } } }
        }
    });
    Ok(page.into())
}

fn calculator(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let calculator = find(asked.part("key"))?;
    let ask = question(calculator, asked);
    if ask.inputs.is_empty() {
        return Ok(form_page(calculator, asked, None).into());
    }
    match reckon(&ask) {
        Ok(answer) => {
            let sheet = answer_sheet(desk, calculator, &answer);
            Ok(Page::of(Room::Reckoner, sheet).after(html! { h2 { "Reckon again" } (form(calculator, asked, None)) }).into())
        }
        Err(error) => Ok(form_page(calculator, asked, Some(&error.into())).into()),
    }
}

fn question(calculator: &Calculator, asked: &Asked) -> Ask {
    let mut ask = Ask::new(calculator.key);
    for (name, value) in asked.query_pairs().iter().filter(|(name, value)| !value.trim().is_empty() && name != "as") {
        match name.strip_prefix("as-") {
            Some(output) => ask.units.push((output.to_owned(), value.clone())),
            None => ask.inputs.push((name.clone(), value.clone())),
        }
    }
    ask
}

fn form_page(calculator: &Calculator, asked: &Asked, fault: Option<&Fault>) -> Page {
    Page::titled(Room::Reckoner, crate::show::capital(&calculator.key.replace('-', " "))).after_fault(fault).after(html! {
        p { (calculator.about) }
        (form(calculator, asked, fault))
    })
}

fn form(calculator: &Calculator, asked: &Asked, fault: Option<&Fault>) -> Markup {
    let form = Form::new("in", asked, fault);
    html! {
        (form.summary())
        form method="get" action={ "/reckon/" (calculator.key) } {
            @for input in calculator.inputs { (field(&form, input)) }
            button.first { "Reckon" }
        }
        @if !calculator.cautions.is_empty() { aside.caution role="note" { ul { @for caution in calculator.cautions { li { (prose(caution)) } } } } }
    }
}

fn field(form: &Form<'_>, input: &Input) -> Markup {
    let label = format!(
        "{}{}",
        crate::show::capital(&input.name.replace('-', " ")),
        if input.need == Need::Required { "" } else { " (may be blank)" }
    );
    match input.kind {
        InputKind::Choice(words) => {
            let blank = if input.need == Need::Required { "choose" } else { "left out" };
            let options: Vec<(String, String)> = std::iter::once((String::new(), blank.to_owned()))
                .chain(words.iter().map(|word| ((*word).to_owned(), word.replace('-', " "))))
                .collect();
            form.choice(input.name, &label, input.about, &options)
        }
        _ => form.line(input.name, &label, &format!("{}; for example `{}`", input.about, input.example)),
    }
}

fn answer_sheet(desk: &Desk, calculator: &Calculator, answer: &Answer) -> Sheet {
    let mut sheet = Sheet::new("reckoning", crate::show::capital(&calculator.key.replace('-', " ")), desk.today).subtitle(calculator.about);
    let about = |name: &str| calculator.outputs.iter().find(|output| output.name == name).map_or("", |output| output.about);
    let figures = answer.outputs.iter().map(|(name, output)| groundlore_sheet::KeyFigure {
        value: output.to_string(),
        label: name.replace('_', " "),
        note: about(name).to_owned(),
    });
    sheet.push(Block::KeyFigures { figures: figures.collect() });
    sheet.push(Block::heading("Working"));
    sheet.push(Block::List { ordered: true, items: answer.working.clone() });
    sheet.push(Block::paragraph(answer.rounding));
    sheet.push(Block::Sources { sources: answer.sources.iter().map(|source| (*source).to_owned()).collect() });
    if !answer.cautions.is_empty() {
        sheet.push(Block::Cautions { cautions: answer.cautions.iter().map(|caution| (*caution).to_owned()).collect() });
    }
    sheet
}
