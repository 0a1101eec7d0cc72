//! Label cards: what the user types from the label in hand. A blank is not checked, never passed.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use crate::url::segment;
use axum::Router;
use groundlore_book::label_cards::LabelCard;
use groundlore_book::{BookError, read_label_cards_csv};
use groundlore_desk::Desk;
use groundlore_sheet::{Block, Sheet};
use maud::html;

/// Fields of a card: the columns of a sheet of cards, with their labels and hints.
const FIELDS: [(&str, &str, &str); 50] = [
    ("name", "Name on the label", "needed"),
    ("registration_number", "Registration number", ""),
    ("signal_word", "Signal word", "as printed"),
    ("active_ingredients", "Active ingredients", "each with its share, parted by semicolons: `name 0.5%; other name 2%`"),
    ("sites", "Sites on which it may be used", "parted by semicolons: `lawn; golf course`"),
    ("targets", "Targets", "parted by semicolons"),
    ("rate", "Rate, or range", "as `3 to 5 lb/1000ft2`"),
    ("carrier", "Water to carry it", "as `2 gal/1000ft2`"),
    ("yearly_limit", "Most in a year", "as `8 lb/1000ft2`, or `2 applications`"),
    ("minimum_interval", "Least time between applications", "as `14 day`"),
    ("reentry", "Re-entry", "in the label's words"),
    ("protective_gear", "Protective gear", "in the label's words"),
    ("bee_statement", "What it says of bees", ""),
    ("water_statement", "What it says of water", ""),
    ("plants_injured", "Plants that it injures", "parted by semicolons"),
    ("watering_in", "Watering in", "as `0.5 in`"),
    ("consecutive_run_limit", "Most applications in a row", "a whole number"),
    ("mode_of_action_group", "Group of its mode of action", "as printed on the label"),
    ("entered_by", "Typed by", ""),
    ("label_edition", "Edition or date of the label", ""),
    ("mode_of_action_edition", "Edition of the list that the group is from", ""),
    ("formulation", "Formulation", "as coded on the label: `WG`, `SC`, `EC`"),
    ("people_statement", "What it says of children, pets and others", "`none` where it says nothing"),
    ("applicator", "Who may apply it", "`licensed` or `anyone`"),
    ("bloom_limit", "Plants in flower", "`forbidden`, `not while bees forage`, or `none`"),
    ("water_distance", "Distance to keep from open water", "as `25 ft`, or `none`"),
    ("well_distance", "Distance to keep from wells", "as `50 ft`, or `none`"),
    ("wind", "Wind it allows", "as `3 to 10 mph`; one figure is the most"),
    ("gusts", "Most gust", "as `15 mph`"),
    ("temperature", "Air temperature it allows", "as `50 to 85 degF`, `at least 50 degF`; one figure is the most"),
    ("rain_free", "Time without rain after it", "as `6 h`"),
    ("leaves", "Leaves", "`dry`, `wet`, or `none`"),
    ("inversion", "Temperature inversions", "`forbidden`, or `none`"),
    ("droplets", "Droplet class", "as `coarse`, `medium to very coarse`"),
    ("turf_allowed", "Kinds of turf on which it may be used", "parted by semicolons, or `none`"),
    ("turf_injured", "Kinds of turf that it injures", "parted by semicolons, or `none`"),
    ("seedling_age", "Age that seedling turf needs", "as `60 day`, `3 mowings`, or `none`"),
    ("reseeding_interval", "Time until one may seed", "as `12 week`, or `none`"),
    ("tree_roots", "Roots of trees and shrubs", "a distance as `10 ft`, its words, or `none`"),
    ("clippings", "Clippings", "its words, or `none`"),
    ("compost", "Compost and mulch of clippings", "its words, or `none`"),
    ("mixing_order", "Order of mixing", "steps parted by semicolons"),
    ("mixing_distance", "Distance of mixing from wells, drains and water", "as `50 ft`, or `none`"),
    ("backflow", "Air gap or backflow preventer", "its words"),
    ("rinsing", "Rinsing", "its words"),
    ("disposal", "Leftovers and empty containers", "its words"),
    ("posting", "Signs and notice", "its words, or `none`"),
    ("soil_temperature", "Soil temperature it asks for", "as `54 to 86 degF`, `at least 54 degF`, or `none`; for living controls"),
    ("soil_moisture", "Soil moisture", "`moist`, or `none`; for living controls"),
    ("age_limit", "For how long its stock may be used", "as `14 day`, or `none`; for living controls"),
];

pub(super) fn routes() -> Router<Shared> {
    Router::new().route("/labels", get(labels).merge(post(type_in)))
}

fn labels(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(labels_page(desk, asked, None)?.into())
}

fn labels_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let cards = desk.book.label_cards()?;
    let chosen = asked.query("card").and_then(|name| cards.iter().find(|card| card.name.eq_ignore_ascii_case(name)));
    let form = chosen.map_or_else(|| Form::new("card", asked, fault), |card| filled(Form::new("card", asked, fault), card));
    Ok(Page::titled(Room::Yards, "Label cards").after_fault(fault).after(html! {
        p { "Rates, intervals, re-entry and gear come from the label in your hand and from nowhere else. Leave blank what you did not read: it counts as not checked." }
        ul.rooms { @for card in &cards { li { a href={ "/labels?card=" (segment(&card.name)) "#type" } { (card.name) } div { (blanks(card)) } } } }
        @if let Some(card) = chosen { (crate::show::sheet_body(&card_sheet(desk, card))) }
        h2 id="type" { @if chosen.is_some() { "Type it again" } @else { "Type a label" } }
        p { "A card is never changed: one of the same name takes its place, and the old one is kept." }
        (form.summary())
        form method="post" action="/labels" {
            @for (name, label, hint) in FIELDS { (form.line(name, label, hint)) }
            (form.text("note", "Note", "", 2))
            button.first { "Keep the card" }
        }
    }))
}

fn blanks(card: &LabelCard) -> String {
    let blanks = card.not_checked();
    if blanks.is_empty() {
        "nothing is left blank".to_owned()
    } else {
        format!("not checked: {}", blanks.join(", ").replace("_text", "").replace('_', " "))
    }
}

fn card_sheet(desk: &Desk, card: &LabelCard) -> Sheet {
    let facts = FIELDS.iter().map(|(name, label, _)| {
        let value = value_of(card, name);
        ((*label).to_owned(), if value.is_empty() { "not checked".to_owned() } else { value })
    });
    Sheet::new("label-card", card.name.clone(), desk.today)
        .with(Block::heading(card.name.clone()))
        .with(Block::Facts { facts: facts.collect() })
}

/// A field of a card as it was typed.
fn value_of(card: &LabelCard, field: &str) -> String {
    let list =
        |items: &Option<Vec<String>>| items.as_ref().map(|items| if items.is_empty() { "none".to_owned() } else { items.join("; ") });
    let actives = || {
        let one = |active: &groundlore_book::label_cards::ActiveIngredient| {
            active.percent.map_or_else(|| active.name.clone(), |percent| format!("{} {percent}%", active.name))
        };
        card.active_ingredients.as_ref().map(|all| all.iter().map(one).collect::<Vec<_>>().join("; "))
    };
    let value = match field {
        "name" => Some(card.name.clone()),
        "registration_number" => card.registration_number.clone(),
        "signal_word" => card.signal_word.clone(),
        "active_ingredients" => actives(),
        "sites" => list(&card.sites),
        "targets" => list(&card.targets),
        "rate" => card.rate_text.clone(),
        "carrier" => card.carrier_text.clone(),
        "yearly_limit" => card.yearly_limit_text.clone(),
        "minimum_interval" => card.minimum_interval_text.clone(),
        "reentry" => card.reentry_text.clone(),
        "protective_gear" => card.protective_gear.clone(),
        "bee_statement" => card.bee_statement.clone(),
        "water_statement" => card.water_statement.clone(),
        "plants_injured" => list(&card.plants_injured),
        "watering_in" => card.watering_in_text.clone(),
        "consecutive_run_limit" => card.consecutive_run_limit.map(|most| most.to_string()),
        "mode_of_action_group" => card.mode_of_action_group.clone(),
        "entered_by" => card.entered_by.clone(),
        "label_edition" => card.label_edition.clone(),
        "mode_of_action_edition" => card.mode_of_action_edition.clone(),
        "formulation" => card.formulation.clone(),
        "people_statement" => card.people_statement.clone(),
        "applicator" => card.applicator_rule.map(|rule| rule.word().to_owned()),
        "bloom_limit" => card.bloom_limit.map(|rule| rule.word().to_owned()),
        "water_distance" => card.water_distance_text.clone(),
        "well_distance" => card.well_distance_text.clone(),
        "wind" => card.wind_text.clone(),
        "gusts" => card.gust_text.clone(),
        "temperature" => card.temperature_text.clone(),
        "rain_free" => card.rain_free_text.clone(),
        "leaves" => card.leaves.map(|rule| rule.word().to_owned()),
        "inversion" => card.inversion.map(|rule| rule.word().to_owned()),
        "droplets" => card.droplets_text.clone(),
        "turf_allowed" => list(&card.turf_allowed),
        "turf_injured" => list(&card.turf_injured),
        "seedling_age" => card.seedling_age_text.clone(),
        "reseeding_interval" => card.reseeding_text.clone(),
        "tree_roots" => card.tree_roots_text.clone(),
        "clippings" => card.clippings_text.clone(),
        "compost" => card.compost_text.clone(),
        "mixing_order" => card.mixing_order_text.clone(),
        "mixing_distance" => card.mixing_distance_text.clone(),
        "backflow" => card.backflow_text.clone(),
        "rinsing" => card.rinsing_text.clone(),
        "disposal" => card.disposal_text.clone(),
        "posting" => card.posting_text.clone(),
        "soil_temperature" => card.soil_temperature_text.clone(),
        "soil_moisture" => card.soil_moisture.map(|rule| rule.word().to_owned()),
        "age_limit" => card.age_limit_text.clone(),
        _ => card.note.clone(),
    };
    value.unwrap_or_default()
}

fn filled<'a>(form: Form<'a>, card: &LabelCard) -> Form<'a> {
    FIELDS.iter().map(|(name, ..)| *name).chain(["note"]).fold(form, |form, name| form.with(name, value_of(card, name)))
}

fn type_in(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match try_type_in(desk, asked) {
        Ok(name) => Ok(Reply::See(format!("/labels?card={}", segment(&name)))),
        Err(fault) => Ok(labels_page(desk, asked, Some(&fault))?.into()),
    }
}

/// The form is read as a sheet of one card, so that page and file are held to the same rules.
fn try_type_in(desk: &mut Desk, asked: &Asked) -> Result<String, Fault> {
    let name =
        asked.given("name").ok_or_else(|| Fault::at_field("name", "the card has no name; write the name that stands on the label"))?;
    let fields: Vec<&str> = FIELDS.iter().map(|(field, ..)| *field).chain(["note"]).collect();
    let quoted = |field: &&str| {
        let typed = asked.given(field).unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ");
        format!("\"{}\"", typed.replace('"', "\"\""))
    };
    let sheet = format!("{}\n{}\n", fields.join(","), fields.iter().map(quoted).collect::<Vec<_>>().join(","));
    let cards = match read_label_cards_csv(&sheet, "label card", false, desk.now) {
        Ok(reading) => reading.rows,
        Err(BookError::Rows(faults)) => {
            let Some(fault) = faults.into_iter().next() else {
                return Err(Fault::at_field("name", "the card cannot be read; compare it with the label"));
            };
            let seen = fault.value.map(|value| format!("`{value}`: ")).unwrap_or_default();
            let detail = format!("{seen}{}. {}", fault.what, fault.remedy);
            return Err(Fault { field: fault.field, ..Fault::new(422, "Something to put right", detail) });
        }
        Err(error) => return Err(error.into()),
    };
    desk.add_label_cards(&cards)?;
    Ok(name)
}
