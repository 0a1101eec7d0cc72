//! What was learned: of a control by its follow-ups, and of the tool by the firm's confirmed letters.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use axum::Router;
use groundlore_desk::Desk;
use groundlore_plant_health::efficacy::no_longer_works::Signs;
use maud::{Markup, html};

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/learned", get(learned)).route("/letters/confirmed-again", get(ask_again).merge(post(again)))
}

/// Signs that somebody told, from the query.
pub(crate) fn signs(asked: &Asked) -> Signs {
    let said = |name: &str| {
        asked.query(name).and_then(|v| match v {
            "yes" | "true" => Some(true),
            "no" | "false" => Some(false),
            _ => None,
        })
    };
    Signs {
        alarm: None,
        elsewhere_too: said("elsewhere-too"),
        outside_window: said("outside-window"),
        rate_below_card: said("rate-below-card"),
        dry_after: said("dry-after"),
        past_its_date: said("past-its-date"),
    }
}

fn learned(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (Some(control), Some(trouble)) = (asked.query("control"), asked.query("trouble")) else {
        return Ok(Page::titled(Room::Yards, "What a control still does").after(form(asked, None)).into());
    };
    match desk.learned(control, trouble, asked.query("yard"), signs(asked)) {
        Ok(found) => Ok(Page::of(Room::Yards, desk.learned_sheet(&found)).after(form(asked, None)).into()),
        Err(error) => {
            let fault: Fault = error.into();
            let fault = fault.aimed(&[("control", "control"), ("trouble", "trouble"), ("yard", "yard")]);
            Ok(Page::titled(Room::Yards, "What a control still does").after_fault(Some(&fault)).after(form(asked, Some(&fault))).into())
        }
    }
}

fn form(asked: &Asked, fault: Option<&Fault>) -> Markup {
    let form = Form::new("learned", asked, fault);
    html! {
        h2 { "Ask of a control" }
        (form.summary())
        form method="get" action="/learned" {
            (form.line("control", "Control", "as `trichlorfon`"))
            (form.line("trouble", "Trouble", "as `white-grubs-annual`"))
            (form.line("yard", "Yard", "blank: over the book"))
            (form.told("outside-window", "Used outside the stage's window?", "blank: as the record tells"))
            (form.told("rate-below-card", "Less used than the card's rate?", "blank: as the record tells"))
            (form.told("dry-after", "No water in the label's time?", ""))
            (form.told("past-its-date", "Material past its date, frozen or kept hot?", ""))
            (form.told("elsewhere-too", "Poor in other yards too?", "blank: as the follow-ups tell"))
            button.first { "Show what was learned" }
        }
    }
}

/// The newest run with all before it, and the button that runs them again.
fn ask_again(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    let page = match desk.last_confirmed_run()? {
        Some(found) => Page { on_paper: false, ..Page::of(Room::Letters, desk.retried_sheet(&found)?) },
        None => Page::titled(Room::Letters, "Confirmed cases, answered again"),
    };
    Ok(page
        .after(html! {
            p { "Every letter whose cause was confirmed is answered again with today's lore, scored, and set against the run before. The run is kept in the book." }
            form method="post" action="/letters/confirmed-again" { button.first { "Answer them again" } }
        })
        .into())
}

fn again(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    desk.retry_confirmed()?;
    Ok(Reply::See("/letters/confirmed-again".to_owned()))
}
