//! Price: measure off, price by the firm's own rates, offer, and what became of it.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use crate::url;
use axum::Router;
use groundlore_desk::Desk;
use groundlore_desk::proposals::{ExtraLine, ProposalWishes};
use groundlore_desk::take_off::{EdgingWishes, MulchWishes, TakeOff};
use groundlore_sheet::Block;
use maud::{Markup, html};

pub(super) fn routes() -> Router<Shared> {
    Router::new()
        .route("/proposals", get(all))
        .route("/proposals/{id}", get(one).merge(post(set)))
        .route("/yards/{yard}/price", get(price).merge(post(offer)))
}

fn all(desk: &mut Desk, _: &Asked) -> Result<Reply, Fault> {
    let yards = desk.book.yards()?;
    let mut rows = Vec::new();
    for yard in &yards {
        rows.extend(desk.proposals(&yard.name)?.into_iter().map(|row| (yard.name.clone(), row)));
    }
    rows.sort_by_key(|(_, row)| std::cmp::Reverse(row.id));
    let page = Page::titled(Room::Price, "Proposals").after(html! {
        @if rows.is_empty() { p { "Nothing is offered yet." } }
        ul.rooms { @for (yard, row) in &rows { li { a href={ "/proposals/" (row.id) } { (row.title) } div { (yard) ", " (row.date) ", " strong { (row.state) } ", " (row.currency) (format!("{:.2}", row.total)) } } } }
        h2 { "Price work at a yard" }
        ul.rooms { @for yard in &yards { li { a href=(url::yard(&yard.name, "price")) { (yard.name) } } } }
    });
    Ok(page.into())
}

fn number(asked: &Asked) -> Result<i64, Fault> {
    asked
        .part("id")
        .parse()
        .map_err(|_| Fault::missing(format!("`{}` is no number of a proposal", asked.part("id")), "the list of proposals shows them"))
}

fn one(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(one_page(desk, asked, None)?.into())
}

fn one_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let found = desk.offered_proposal(number(asked)?)?;
    let inside = desk.proposal_working_sheet(&found)?;
    let form = Form::new("set", asked, fault);
    let states = ["agreed", "refused", "lapsed", "offered"].map(|word| (word.to_owned(), word.to_owned()));
    Ok(Page::of(Room::Price, desk.proposal_sheet(&found)?).at_yard(&found.yard, "price").after_fault(fault).after(html! {
        h2 { "What became of it" }
        p { "It is " strong { (found.state.as_deref().unwrap_or("a draft")) } "." }
        (form.summary())
        form method="post" action={ "/proposals/" (asked.part("id")) } {
            (form.choice("to", "Now", "", &states))
            (form.line("why", "Why", "may be blank"))
            button { "Write it down" }
        }
        details { summary { "For the firm only: cost, overhead and profit" } (crate::show::sheet_body(&inside)) }
    }))
}

fn set(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (id, to) = (number(asked)?, asked.given("to").unwrap_or_default());
    match desk.set_proposal(id, &to, asked.given("why").as_deref(), None) {
        Ok(_) => Ok(Reply::See(format!("/proposals/{id}"))),
        Err(error) => Ok(one_page(desk, asked, Some(&Fault { field: Some("to".to_owned()), ..error.into() }))?.into()),
    }
}

fn price(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(price_page(desk, asked, None, None)?.into())
}

/// What can be measured off at a yard: planned beds, beds to mulch, edges for block. Each is a value of a field and its words.
fn choices(desk: &Desk, yard_id: i64) -> Result<[Vec<(String, String)>; 3], Fault> {
    let map = desk.book.map_of(yard_id)?;
    let none = || vec![(String::new(), "none".to_owned())];
    let (mut beds, mut edges, mut planned) = (none(), none(), none());
    if let Some(map) = &map {
        beds.extend(
            map.areas
                .iter()
                .filter(|area| area.kind == "bed")
                .map(|area| area.name.clone().unwrap_or_else(|| area.feature.clone()))
                .map(|name| (name.clone(), name)),
        );
        edges.extend(
            map.edges.iter().map(|edge| edge.name.clone().unwrap_or_else(|| edge.feature.clone())).map(|name| (name.clone(), name)),
        );
    }
    for plan in desk.book.bed_plans_of(yard_id)? {
        if !planned.iter().any(|(name, _)| *name == plan.bed) {
            planned.push((plan.bed.clone(), format!("{}, as planned on {}", plan.bed, plan.date)));
        }
    }
    Ok([planned, beds, edges])
}

fn price_page(desk: &Desk, asked: &Asked, draft: Option<Markup>, fault: Option<&Fault>) -> Result<Page, Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    let [planned, beds, edges] = choices(desk, row.id)?;
    let bed = asked.query("bed").unwrap_or_default();
    let form = Form::new("price", asked, fault)
        .with("plants", bed)
        .with("mulch", bed)
        .with("title", if bed.is_empty() { String::new() } else { format!("Planting {bed}") });
    let offered = desk.proposals(&row.name)?;
    Ok(Page::titled(Room::Price, format!("Price work at {}", row.name)).at_yard(&row.name, "price").after_fault(fault).after(html! {
        (form.summary())
        @if let Some(draft) = draft { (draft) h2 { "Change it" } }
        form method="post" action=(url::yard(&row.name, "price")) {
            (form.line("title", "Title", "as the owner reads it, `A mixed bed along the lawn`"))
            (form.choice("plants", "Plants of a planned bed", "", &planned))
            (form.choice("mulch", "Mulch on a bed", "", &beds))
            (form.line("depth", "Depth of the mulch", "as `3 in`; blank: lore's figure"))
            (form.choice("edging", "Edging block along an edge", "", &edges))
            (form.text("extra", "Other lines", "one a line: item of the price list or work norm, then `=`, then the amount: `weed-bed = 500 ft2`", 3))
            (form.line("profit", "Profit", "`20% margin` or `25% markup`; blank: the firm's margin"))
            (form.text("text", "Words to the owner", "", 3))
            button.first name="do" value="draft" { "Price it" }
            button name="do" value="offer" { "Offer it" }
        }
        @if !offered.is_empty() {
            h2 { "Offered here" }
            ul.rooms { @for row in &offered { li { a href={ "/proposals/" (row.id) } { (row.title) } " " (row.date) ", " (row.state) } } }
        }
    }))
}

fn wishes(desk: &Desk, asked: &Asked) -> Result<ProposalWishes, Fault> {
    let yard = desk.book.yard_named(asked.part("yard"))?.name;
    let aim = |field: &'static str| move |error: groundlore_desk::DeskError| Fault { field: Some(field.to_owned()), ..error.into() };
    let mut take_offs: Vec<TakeOff> = Vec::new();
    if let Some(bed) = asked.given("plants") {
        let plan = desk.saved_bed(&yard, &bed).map_err(aim("plants"))?;
        take_offs.push(desk.plants_for_bed(&plan).map_err(aim("plants"))?);
    }
    if let Some(bed) = asked.given("mulch") {
        let wishes = MulchWishes { depth: asked.given("depth"), ..MulchWishes::default() };
        let depth_is_wrong = asked.given("depth").is_some();
        take_offs.push(desk.mulch_for_bed(&yard, &bed, &wishes).map_err(aim(if depth_is_wrong { "depth" } else { "mulch" }))?);
    }
    if let Some(edge) = asked.given("edging") {
        take_offs.push(desk.edging_for_edge(&yard, &edge, &EdgingWishes::default()).map_err(aim("edging"))?);
    }
    Ok(ProposalWishes {
        yard,
        title: asked.given("title").unwrap_or_default(),
        take_offs,
        extra: extra_lines(asked)?,
        profit: asked.given("profit"),
        text: asked.given("text"),
        ..ProposalWishes::default()
    })
}

fn extra_lines(asked: &Asked) -> Result<Vec<ExtraLine>, Fault> {
    let typed = asked.given("extra").unwrap_or_default();
    typed
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(|line| match line.split_once('=') {
            Some((item, amount)) if !item.trim().is_empty() && !amount.trim().is_empty() => {
                Ok(ExtraLine { item: item.trim().to_owned(), what: None, amount: amount.trim().to_owned() })
            }
            _ => Err(Fault::at_field("extra", format!("`{line}` has no item, `=` and amount; write it as `weed-bed = 500 ft2`"))),
        })
        .collect()
}

fn offer(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match try_offer(desk, asked) {
        Ok(reply) => Ok(reply),
        Err(fault) => {
            let fault = fault.aimed(&[
                ("title", "title"),
                ("profit", "profit"),
                ("margin", "profit"),
                ("no line", "plants"),
                ("no price", "title"),
                ("line", "extra"),
            ]);
            Ok(price_page(desk, asked, None, Some(&fault))?.into())
        }
    }
}

fn try_offer(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let wishes = wishes(desk, asked)?;
    let draft = desk.draft_proposal(&wishes)?;
    if asked.given("do").as_deref() == Some("offer") {
        let offered = desk.offer_proposal(&draft)?;
        return Ok(Reply::See(offered.id.map_or_else(|| "/proposals".to_owned(), |id| format!("/proposals/{id}"))));
    }
    let mut sheet = desk.proposal_sheet(&draft)?;
    sheet.blocks.insert(0, Block::heading(format!("Draft: {}", draft.title)));
    let inside = desk.proposal_working_sheet(&draft)?;
    let shown = html! {
        (crate::show::sheet_body(&sheet))
        details { summary { "For the firm only: cost, overhead and profit" } (crate::show::sheet_body(&inside)) }
    };
    Ok(price_page(desk, asked, Some(shown), None)?.into())
}
