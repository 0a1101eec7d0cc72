//! Beds: wishes in, a planting plan with drawings out.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::{Form, told};
use crate::reply::{Page, Reply, Room};
use crate::url;
use axum::Router;
use groundlore_desk::Desk;
use groundlore_desk::beds::BedWishes;
use maud::{Markup, html};

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/yards/{yard}/beds", get(beds)).route("/yards/{yard}/beds/{bed}", get(bed).merge(post(plan)))
}

/// The beds of a yard's map, each once.
fn bed_names(desk: &Desk, yard_id: i64) -> Result<Vec<(String, f64)>, Fault> {
    let map = desk.book.map_of(yard_id)?;
    let areas = map.map(|map| map.areas).unwrap_or_default();
    Ok(areas.into_iter().filter(|area| area.kind == "bed").map(|area| (area.name.unwrap_or(area.feature), area.area_m2)).collect())
}

fn beds(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    let names = bed_names(desk, row.id)?;
    let plans = desk.book.bed_plans_of(row.id)?;
    let page = Page::titled(Room::Yards, format!("Beds at {}", row.name)).at_yard(&row.name, "beds").after(html! {
        @if names.is_empty() { p { "The map has no bed. Draw an area of kind " code { "bed" } " and bring the map in again." } }
        ul.rooms { @for (name, area_m2) in &names { li {
            a href=(url::yard(&row.name, &format!("beds/{}", url::segment(name)))) { (name) }
            " " (format!("{:.0} ft²", area_m2 / 0.092_903_04))
            @if let Some(plan) = plans.iter().find(|plan| plan.bed == *name) { ". Planned " (plan.date) @if let Some(title) = &plan.title { ": " (title) } }
        } } }
    });
    Ok(page.into())
}

fn bed(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(bed_page(desk, asked, None)?.into())
}

fn bed_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let row = desk.book.yard_named(asked.part("yard"))?;
    let bed = asked.part("bed");
    let on_map = bed_names(desk, row.id)?.into_iter().any(|(name, _)| name.eq_ignore_ascii_case(bed));
    let saved = desk.saved_bed(&row.name, bed).ok();
    if saved.is_none() && !on_map {
        return Err(Fault::missing(format!("there is no bed `{bed}` on the map of {}", row.name), "the list of beds shows their names"));
    }
    let wishes = saved.as_ref().map(|plan| plan.wishes.clone()).unwrap_or_default();
    let form = wishes_form(asked, &row.name, bed, &wishes, fault);
    let page = match &saved {
        Some(plan) => Page::of(Room::Yards, desk.bed_sheet(plan)?).after(html! {
            h2 { "Plan it again" }
            details open[fault.is_some()] { summary { "Change the wishes" } (form) }
            details { summary { "At the nursery gate" } ul.rooms { @for kind in &plan.plan.kinds { li { a href={ "/stock/" (url::segment(&kind.key)) } { "Check " (kind.name) } } } } }
            p { a.button href={ (url::yard(&row.name, "price")) "?bed=" (url::segment(bed)) } { "Price it" } }
        }),
        None => Page::titled(Room::Yards, format!("Plan {bed}")).after(html! {
            p { "Say what the bed should be. Every blank takes what the map, the weather or the trade says, and the plan tells what was taken." }
            (form)
        }),
    };
    Ok(page.at_yard(&row.name, "beds").after_fault(fault))
}

fn wishes_form(asked: &Asked, yard: &str, bed: &str, old: &BedWishes, fault: Option<&Fault>) -> Markup {
    let said = |value: &Option<String>| value.clone().unwrap_or_default();
    let taller = old.taller_than_person.map_or("", |tall| if tall { "yes" } else { "no" });
    let light = ["", "full sun", "part shade", "full shade"]
        .map(|word| (word.to_owned(), if word.is_empty() { "as the map says" } else { word }.to_owned()));
    let soil = ["", "dry", "medium", "moist", "wet"]
        .map(|word| (word.to_owned(), if word.is_empty() { "medium, unless known" } else { word }.to_owned()));
    let form = Form::new("wish", asked, fault)
        .with("bloom", said(&old.bloom))
        .with("kinds-in-bloom", said(&old.kinds_in_bloom))
        .with("heights", said(&old.heights))
        .with("light", said(&old.light))
        .with("moisture", said(&old.moisture))
        .with("zone", said(&old.zone))
        .with("visitors", said(&old.visitors))
        .with("colours", said(&old.colours))
        .with("max-kinds", said(&old.max_kinds))
        .with("taller", taller)
        .with("include", said(&old.include))
        .with("leave-out", said(&old.leave_out))
        .with("place", said(&old.place))
        .with("front", said(&old.front))
        .with("budget", said(&old.budget));
    html! {
        (form.summary())
        form method="post" action=(url::yard(yard, &format!("beds/{}", url::segment(bed)))) {
            (form.line("bloom", "In flower", "months: `May-October`, or `May, July, September`"))
            (form.line("kinds-in-bloom", "Kinds in flower each month", "as `3`"))
            (form.line("heights", "Heights in bloom", "shortest and tallest: `1 ft - 6 ft`"))
            (form.choice("light", "Light", "", &light))
            (form.choice("moisture", "Soil moisture", "", &soil))
            (form.told("taller", "One plant taller than a person?", ""))
            (form.line("visitors", "Visitors to feed", "`bees, butterflies`; `none` asks for none"))
            (form.line("colours", "Flower colours", "`blue, white`"))
            (form.line("front", "Seen from", "`lawn`, a direction such as `south`, or `all round`"))
            (form.line("max-kinds", "Most kinds", "as `9`"))
            (form.line("include", "Plants that must be in it", "by name, with commas"))
            (form.line("leave-out", "Plants that must not", ""))
            (form.line("zone", "Hardiness zone", "blank: by the station's record"))
            (form.line("place", "State and country", "for lists of invasive plants"))
            (form.line("budget", "To be spent on plants", "as `$900`"))
            button.first { "Plan the bed" }
        }
    }
}

fn wishes(asked: &Asked) -> BedWishes {
    BedWishes {
        bloom: asked.given("bloom"),
        kinds_in_bloom: asked.given("kinds-in-bloom"),
        heights: asked.given("heights"),
        light: asked.given("light"),
        moisture: asked.given("moisture"),
        zone: asked.given("zone"),
        visitors: asked.given("visitors"),
        colours: asked.given("colours"),
        max_kinds: asked.given("max-kinds"),
        taller_than_person: told(asked, "taller"),
        include: asked.given("include"),
        leave_out: asked.given("leave-out"),
        place: asked.given("place"),
        front: asked.given("front"),
        budget: asked.given("budget"),
    }
}

/// Which field an error of the wishes is about.
const AIMS: [(&str, &str); 12] = [
    ("kinds in bloom", "kinds-in-bloom"),
    ("most kinds", "max-kinds"),
    ("budget", "budget"),
    ("height", "heights"),
    ("light", "light"),
    ("moisture", "moisture"),
    ("zone", "zone"),
    ("visitor", "visitors"),
    ("colour", "colours"),
    ("front", "front"),
    ("month", "bloom"),
    ("bloom", "bloom"),
];

fn plan(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match desk.plan_bed(asked.part("yard"), asked.part("bed"), &wishes(asked)) {
        Ok(found) => Ok(Reply::See(url::yard(&found.yard, &format!("beds/{}", url::segment(&found.bed))))),
        Err(error) => {
            let fault = Fault { field: None, ..error.into() }.aimed(&AIMS);
            Ok(bed_page(desk, asked, Some(&fault))?.into())
        }
    }
}
