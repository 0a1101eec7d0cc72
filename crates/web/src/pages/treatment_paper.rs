//! The papers of a treatment: work sheet, hours, notice, sign; each with what may be said of it beside the map and the card.

use crate::app::{Shared, get};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use crate::url;
use axum::Router;
use groundlore_desk::Desk;
use groundlore_desk::treatment::PlanFacts;
use maud::{Markup, html};

/// Each paper with the words that lead to it.
pub(super) const PAPERS: [(&str, &str); 4] =
    [("sheet", "work sheet"), ("hours", "hours"), ("notice", "notice to the owner"), ("sign", "sign for the lawn")];

/// What may be said of a treatment, with label and hint.
const FACTS: [(&str, &str, &str); 15] = [
    ("area", "Part of the yard", "by its name on the map; blank: what is to be treated"),
    ("rate", "Rate that is meant", "as `3 lb/1000ft2`; blank: the card's range"),
    ("on", "Day on which it is meant to be done", "as `2015-08-20`"),
    ("tank", "Tank of the sprayer", "as `3 gal`"),
    ("injector", "Proportioner", "parts of mix to one of stock, as 100"),
    ("droplets", "Droplet class of the nozzle", "by its own sheet at its pressure, as `coarse`"),
    ("next_door", "In flower next door", "parted by commas, or `none`; blank: nobody looked"),
    ("seeded", "Last seeded", "a date, or `none`"),
    ("seeding", "To be seeded next", "a date, or `none`"),
    ("water", "Distance to open water", "as `60 ft`, or `none`; blank: the map's"),
    ("well", "Distance to the nearest well", "as `100 ft`, or `none`; blank: the map's"),
    ("dry_odds", "Odds of staying dry that are asked for", "blank: 80%"),
    ("soil_temperature", "Soil temperature", "as measured, `64 degF`; blank: estimated from the air, which passes nothing"),
    ("soil", "Soil", "`moist` or `dry`; blank: nobody looked"),
    ("stock_from", "Living stock counts from", "a date, as its card says"),
];

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/yards/{yard}/treat/{trouble}/{control}/{paper}", get(show))
}

fn facts(asked: &Asked) -> Result<PlanFacts, Fault> {
    let said = |name: &str| asked.query(name).map(str::trim).filter(|text| !text.is_empty()).map(str::to_owned);
    let on = said("on")
        .map(|text| {
            text.parse().map_err(|_| Fault::at_field("on", format!("`{text}` is no day of the calendar; write it as `2015-08-20`")))
        })
        .transpose()?;
    Ok(PlanFacts {
        area: said("area"),
        rate: said("rate"),
        on,
        droplets: said("droplets"),
        next_door: said("next_door"),
        seeded: said("seeded"),
        seeding: said("seeding"),
        water: said("water"),
        well: said("well"),
        dry_odds: said("dry_odds"),
        tank: said("tank"),
        injector: said("injector"),
        soil_temperature: said("soil_temperature"),
        soil: said("soil"),
        stock_from: said("stock_from"),
    })
}

/// Which field an error is about.
const AIMS: [(&str, &str); 12] = [
    ("last seeded", "seeded"),
    ("to be seeded", "seeding"),
    ("distance to water", "water"),
    ("distance to the well", "well"),
    ("dry odds", "dry_odds"),
    ("droplets", "droplets"),
    ("soil temperature", "soil_temperature"),
    ("soil", "soil"),
    ("stock counts from", "stock_from"),
    ("injector", "injector"),
    ("tank", "tank"),
    ("rate", "rate"),
];

fn show(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let paper = asked.part("paper");
    if !PAPERS.iter().any(|(key, _)| *key == paper) {
        let all: Vec<&str> = PAPERS.iter().map(|(key, _)| *key).collect();
        return Err(Fault::missing(format!("there is no paper `{paper}` of a treatment"), format!("choose one of {}", all.join(", "))));
    }
    let read =
        facts(asked).and_then(|facts| Ok(desk.work_paper(asked.part("yard"), asked.part("trouble"), asked.part("control"), &facts)?));
    match read {
        Ok(work) => {
            let sheet = match paper {
                "hours" => desk.spray_hours_sheet(&work),
                "notice" => desk.notice_sheet(&work)?,
                "sign" => desk.sign_sheet(&work),
                _ => desk.work_sheet(&work),
            };
            Ok(Page::of(Room::Yards, sheet).at_yard(&work.yard, "troubles").after(form(asked, None)).into())
        }
        Err(fault) if FACTS.iter().any(|(name, ..)| asked.query(name).is_some_and(|text| !text.trim().is_empty())) => {
            // The desk names the fact in its own words; the form has a field for each.
            let own = fault.field.clone().filter(|field| FACTS.iter().any(|(name, ..)| name == field));
            let fault = Fault { field: own, ..fault }.aimed(&AIMS);
            let page = Page::titled(Room::Yards, "Something to put right").after_fault(Some(&fault)).after(form(asked, Some(&fault)));
            Ok(page.into())
        }
        Err(fault) => Err(fault),
    }
}

fn form(asked: &Asked, fault: Option<&Fault>) -> Markup {
    let form =
        FACTS.iter().fold(Form::new("facts", asked, fault), |form, (name, ..)| form.with(name, asked.query(name).unwrap_or_default()));
    let here = url::yard(
        asked.part("yard"),
        &format!(
            "treat/{}/{}/{}",
            url::segment(asked.part("trouble")),
            url::segment(asked.part("control")),
            url::segment(asked.part("paper"))
        ),
    );
    html! {
        h2 { "What is known of it" }
        p { "What is left blank is not known, and the checks that need it say so." }
        (form.summary())
        form method="get" action=(here) {
            @for (name, label, hint) in FACTS { (form.line(name, label, hint)) }
            button.first { "Check it again" }
        }
    }
}
