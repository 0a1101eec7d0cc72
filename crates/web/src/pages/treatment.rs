//! Treatment: options, the plan, the record of what was applied, its corrections, and the count afterwards.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::{Form, day, told};
use crate::reply::{Page, Reply, Room};
use crate::url;
use axum::Router;
use groundlore_book::follow_ups::FollowUp as FollowUpRow;
use groundlore_desk::Desk;
use groundlore_desk::treatment::{ApplicationEntry, Options};
use groundlore_plant_health::efficacy::FollowUp;
use maud::{Markup, html};

pub(super) fn routes() -> Router<Shared> {
    Router::new()
        .route("/yards/{yard}/treat/{trouble}", get(options).merge(post(plan)))
        .route("/yards/{yard}/treat/{trouble}/applied", get(application).merge(post(record)))
        .route("/yards/{yard}/treat/{trouble}/follow-up", get(follow_up).merge(post(followed_up)))
        .route("/yards/{yard}/record", get(lines).merge(post(correct)))
}

fn at(asked: &Asked, room: &str) -> String {
    url::yard(asked.part("yard"), &format!("treat/{}{room}", url::segment(asked.part("trouble"))))
}

fn options(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let options = desk.treatment_options(asked.part("yard"), asked.part("trouble"))?;
    Ok(options_page(desk, asked, &options, None).into())
}

fn options_page(desk: &Desk, asked: &Asked, options: &Options, fault: Option<&Fault>) -> Page {
    let form = Form::new("plan", asked, fault);
    let choices: Vec<(String, String)> =
        options.options.iter().map(|option| (option.control.clone(), format!("{}. {}", option.rank, option.name))).collect();
    Page::of(Room::Yards, desk.options_sheet(options)).at_yard(&options.yard, "troubles").after_fault(fault).before(form.summary()).after(
        html! {
            h2 { "Plan one" }
            @if choices.is_empty() { p { "Lore knows no control for this. Ask your extension service, or a laboratory." } } @else {
                form method="post" action=(at(asked, "")) {
                    (form.choice("control", "What is to be done", "A product needs its label card first.", &choices))
                    button.first { "Put it into the week, with the count afterwards" }
                }
                h2 { "On paper" }
                ul.rooms { @for option in options.options.iter().filter(|option| option.class != groundlore_desk::lore::control::ControlClass::Practice) {
                    li { (option.name) div {
                        @for (paper, words) in super::treatment_paper::PAPERS {
                            a href=(at(asked, &format!("/{}/{paper}", url::segment(&option.control)))) { (words) } " "
                        }
                    } }
                } }
            }
            p {
                a.button href=(at(asked, "/applied")) { "It was applied: write the record" }
                a.button href=(at(asked, "/follow-up")) { "It was counted again" }
                a.button href="/labels" { "Label cards" }
            }
        },
    )
}

fn plan(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let control = asked.given("control").unwrap_or_default();
    match desk.plan_treatment(asked.part("yard"), asked.part("trouble"), &control) {
        Ok(_) => Ok(Reply::See(format!("/?yard={}", url::segment(asked.part("yard"))))),
        Err(error) => {
            let fault = Fault { field: Some("control".to_owned()), ..error.into() };
            let options = desk.treatment_options(asked.part("yard"), asked.part("trouble"))?;
            Ok(options_page(desk, asked, &options, Some(&fault)).into())
        }
    }
}

fn application(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(application_page(desk, asked, None)?.into())
}

fn application_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    let name = desk.trouble(asked.part("trouble"))?.name.clone();
    let cards: Vec<(String, String)> = desk.book.label_cards()?.into_iter().map(|card| (card.name.clone(), card.name)).collect();
    let form = Form::new("applied", asked, fault).with("date", desk.today.to_string());
    Ok(Page::titled(Room::Yards, format!("Record an application at {}", row.name)).at_yard(&row.name, "record").after_fault(fault).after(html! {
        p { "Against " (name) ". A line of the record is never changed: a correction stands beside it." }
        aside.caution role="note" { h2.caution-head { "Caution" } p { "The label is the law. What its card leaves blank is written down as not checked." } }
        @if cards.is_empty() { p { "No label card is typed yet. " a href="/labels" { "Type the label in hand" } "." } }
        (form.summary())
        form method="post" action=(at(asked, "/applied")) {
            (form.choice("card", "Label card", "", &cards))
            (form.day("date", "Day", ""))
            (form.line("area", "Area treated", "as `5200 ft2`; blank: the planned area"))
            (form.line("rate", "Rate used", "as `3 lb/1000ft2`; blank: the card's"))
            (form.line("amount", "Total amount of product", "as `15 lb` or `12 floz`"))
            (form.line("carrier", "Water that carried it", "as `10 gal`"))
            (form.line("applicator", "Who applied it", "blank: the firm's applicator"))
            (form.line("wind", "Wind", "as `4 mph`; blank: not recorded"))
            (form.line("temperature", "Temperature", "as `72 degF`"))
            (form.told("strip", "Was a strip left untreated?", "only with one can control be told from chance"))
            (form.text("note", "Note", "", 2))
            (asked_of_record(&form))
            button.first { "Write it into the record" }
        }
    }))
}

/// What rules of record-keeping ask beside the application itself.
fn asked_of_record(form: &Form<'_>) -> Markup {
    html! {
        h2 { "What the rules of record-keeping ask" }
        p { "Which rules the firm is held to, and the yearly report, stand " a href="/records" { "here" } ". What they ask and this lacks is told, and nothing is written." }
        (form.told("restricted-use", "Does the label say that it is for restricted use?", "look at the head of the label"))
        (form.line("started", "When it began", "as `07:30`"))
        (form.line("ended", "When it ended", ""))
        (form.line("site", "Crop, plant or kind of place", "as `home lawn`"))
        (form.line("method", "How it was applied", "as `broadcast, rotary spreader`"))
        (form.line("licence", "Licence of whoever applied it", "blank: the firm's, where its applicator did"))
        (form.line("certified-applicator", "Certified applicator who answers for it", "where another applied it"))
        (form.line("certified-number", "Number of that certificate", ""))
        (form.line("customer", "For whom", "blank: the yard's owner"))
        (form.line("customer-address", "That person's address", "blank: the owner's"))
        (form.told("short-form", "Short form for a spot treatment?", "under a tenth of an acre in a day"))
    }
}

/// Which field an error of the record is about.
const AIMS: [(&str, &str); 9] = [
    ("label card", "card"),
    ("who applied", "applicator"),
    ("carrier", "carrier"),
    ("amount", "amount"),
    ("area", "area"),
    ("wind", "wind"),
    ("temperature", "temperature"),
    ("rate", "rate"),
    ("date", "date"),
];

fn entry(asked: &Asked) -> Result<ApplicationEntry, Fault> {
    Ok(ApplicationEntry {
        card: asked.given("card").unwrap_or_default(),
        date: day(asked, "date")?,
        area: asked.given("area"),
        rate: asked.given("rate"),
        amount: asked.given("amount"),
        carrier: asked.given("carrier"),
        applicator: asked.given("applicator"),
        wind: asked.given("wind"),
        temperature: asked.given("temperature"),
        untreated_strip: told(asked, "strip"),
        note: asked.given("note"),
        started: asked.given("started"),
        ended: asked.given("ended"),
        licence: asked.given("licence"),
        certified_applicator: asked.given("certified-applicator"),
        certified_number: asked.given("certified-number"),
        customer: asked.given("customer"),
        customer_address: asked.given("customer-address"),
        site: asked.given("site"),
        method: asked.given("method"),
        restricted_use: told(asked, "restricted-use"),
        short_form: told(asked, "short-form") == Some(true),
        rules: None,
    })
}

fn record(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (yard, trouble) = (asked.part("yard"), asked.part("trouble"));
    match entry(asked).and_then(|entry| Ok(desk.record_application(yard, trouble, &entry)?)) {
        Ok(_) => Ok(Reply::See(url::yard(yard, "record"))),
        Err(fault) => Ok(application_page(desk, asked, Some(&fault.aimed(&AIMS)))?.into()),
    }
}

fn lines(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(lines_page(desk, asked, None)?.into())
}

fn lines_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    let all = desk.book.applications_of(row.id)?;
    let form = Form::new("correct", asked, fault);
    let choices: Vec<(String, String)> =
        all.iter().map(|line| (line.id.to_string(), format!("line {}, {}, {}", line.id, line.date, line.product))).collect();
    let correction = html! { @if !all.is_empty() {
        h2 { "Correct a line" }
        (form.summary())
        form method="post" action=(url::yard(&row.name, "record")) {
            (form.choice("line", "Which line", "", &choices))
            (form.line("why", "Why it was wrong", "needed: it stands beside the correction"))
            (form.day("date", "Right day", "fill in only what was wrong"))
            (form.line("area", "Right area", ""))
            (form.line("amount", "Right amount", ""))
            (form.line("rate", "Right rate", ""))
            (form.line("applicator", "Who applied it", ""))
            (form.text("note", "Note", "", 2))
            (asked_of_record(&form))
            button.first { "Write the correction beside it" }
        }
    } };
    Ok(Page::of(Room::Yards, desk.record_sheet(&row.name)?).at_yard(&row.name, "record").after_fault(fault).after(correction))
}

fn correct(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match try_correct(desk, asked) {
        Ok(()) => Ok(Reply::See(url::yard(asked.part("yard"), "record"))),
        Err(fault) => Ok(lines_page(desk, asked, Some(&fault.aimed(&AIMS)))?.into()),
    }
}

fn try_correct(desk: &mut Desk, asked: &Asked) -> Result<(), Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    let typed = asked.given("line").unwrap_or_default();
    let own = desk.book.applications_of(row.id)?.into_iter().map(|line| line.id).find(|id| id.to_string() == typed);
    let id = own.ok_or_else(|| {
        Fault::at_field("line", format!("`{typed}` is no line of this yard that can still be corrected; choose one of the list"))
    })?;
    let why = asked
        .given("why")
        .ok_or_else(|| Fault::at_field("why", "why it was wrong is not said; for example `the bag was weighed again: 14 lb`"))?;
    desk.correct_application(id, &why, &entry(asked)?)?;
    Ok(())
}

fn open_follow_up(desk: &Desk, asked: &Asked) -> Result<Option<FollowUpRow>, Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    let trouble = desk.trouble(asked.part("trouble"))?.key.clone();
    Ok(desk.book.follow_ups_of(row.id)?.into_iter().find(|row| row.trouble == trouble && row.done_on.is_none()))
}

fn follow_up(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(follow_up_page(desk, asked, None)?.into())
}

fn follow_up_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let yard = desk.book.yard_named(asked.part("yard"))?.name;
    let name = desk.trouble(asked.part("trouble"))?.name.clone();
    let open = open_follow_up(desk, asked)?;
    let form = Form::new("after", asked, fault);
    let fields: Markup = html! {
        (form.summary())
        form method="post" action=(at(asked, "/follow-up")) {
            (form.line("treated-before", "Treated ground, before", "counts, one a sample: `12, 9, 14, 8`"))
            (form.line("treated-after", "Treated ground, after", ""))
            (form.line("check-before", "Untreated strip, before", "leave blank where no strip was left: then only a change is told"))
            (form.line("check-after", "Untreated strip, after", ""))
            (form.day("date", "Day of the count", "blank: today"))
            button.first { "Read what it did" }
        }
    };
    Ok(Page::titled(Room::Yards, format!("{name} at {yard}: counted again")).at_yard(&yard, "troubles").after_fault(fault).after(html! {
        @match &open {
            Some(open) => {
                p { "After " (open.control.as_deref().unwrap_or("a treatment")) @if let Some(due) = open.due_on { ", due " (due) } "." }
                (fields)
            }
            None => { p { "No follow-up is open here. It opens when an application is recorded." } p { a.button href=(at(asked, "/applied")) { "Record an application" } } }
        }
    }))
}

fn counts(asked: &Asked, name: &str) -> Result<Vec<f64>, Fault> {
    let Some(typed) = asked.given(name) else { return Ok(Vec::new()) };
    let read =
        groundlore_quantity::parse_counts(&typed).map_err(|error| Fault::at_field(name, format!("{error}; for example `12, 9, 14, 8`")))?;
    #[allow(clippy::cast_precision_loss)]
    Ok(read.into_iter().map(|count| count as f64).collect())
}

fn followed_up(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match try_follow_up(desk, asked) {
        Ok(page) => Ok(page.into()),
        Err(fault) => {
            Ok(follow_up_page(desk, asked, Some(&fault.aimed(&[("treated", "treated-after"), ("check", "check-after")])))?.into())
        }
    }
}

fn try_follow_up(desk: &mut Desk, asked: &Asked) -> Result<Page, Fault> {
    let read = |name: &str| counts(asked, name);
    let after = FollowUp {
        treated_before: read("treated-before")?,
        treated_after: read("treated-after")?,
        check_before: read("check-before")?,
        check_after: read("check-after")?,
    };
    let found = desk.follow_up(asked.part("yard"), asked.part("trouble"), &after, day(asked, "date")?)?;
    let yard = desk.book.yard_named(asked.part("yard"))?.name;
    let name = desk.trouble(asked.part("trouble"))?.name.clone();
    let sheet = desk.follow_up_sheet(&yard, &name, &found);
    let back = html! { p { a.button href=(at(asked, "")) { "Options, as they rank now" } } };
    Ok(Page { on_paper: false, ..Page::of(Room::Yards, sheet) }.at_yard(&yard, "troubles").after(back))
}
