//! Counting on a phone: the scouting sheet, one stop after another with the running total against the stop lines, and the verdict.
//!
//! Each count is kept as soon as it is sent (in the book's settings, as a draft of that yard and trouble), so that a phone that dies, or a
//! walk that is broken off, loses nothing. Only the finished count becomes a session of the book.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::{Form, told};
use crate::reply::{Page, Reply, Room};
use crate::url;
use axum::Router;
use groundlore_desk::Desk;
use groundlore_desk::lore::trouble::Method;
use groundlore_desk::scouting::{CountEntry, StratumEntry, YardPlan};
use groundlore_plant_health::scouting::{Stop, StopRule};
use groundlore_plant_health::sequential::Stop as Says;
use maud::{Markup, html};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Most samples of a plan, as on the printed sheet.
const MOST: u32 = 60;
/// Largest count that is taken as meant.
const LARGEST: u64 = 100_000;

pub(super) fn routes() -> Router<Shared> {
    Router::new()
        .route("/yards/{yard}/scout/{trouble}", get(scout).merge(post(plan_task)))
        .route("/yards/{yard}/count/{trouble}", get(count).merge(post(enter)))
        .route("/yards/{yard}/count/{trouble}/finish", post(finish))
        .route("/yards/{yard}/verdict/{trouble}", get(verdict))
}

fn at(asked: &Asked, room: &str) -> String {
    url::yard(asked.part("yard"), &format!("{room}/{}", url::segment(asked.part("trouble"))))
}

fn plan(desk: &Desk, asked: &Asked) -> Result<YardPlan, Fault> {
    Ok(desk.scouting_plan(asked.part("yard"), asked.part("trouble"), MOST)?)
}

fn scout(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let plan = plan(desk, asked)?;
    let sheet = desk.scouting_sheet(&plan)?;
    let page = Page::of(Room::Yards, sheet).at_yard(&plan.yard, "troubles").before(html! {
        form method="post" action=(at(asked, "scout")) {
            a.button href=(at(asked, "count")) { "Enter counts stop by stop" }
            button { "Put it into the week" }
        }
    });
    Ok(page.into())
}

fn plan_task(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let plan = plan(desk, asked)?;
    desk.plan_scouting_task(&plan)?;
    Ok(Reply::See(format!("/?yard={}", url::segment(&plan.yard))))
}

/// Counts so far, by number of the stop; `None` says that nobody could look there.
#[derive(Debug, Default, Serialize, Deserialize)]
struct Draft {
    counts: BTreeMap<usize, Option<u64>>,
    /// Which species those of a stop were, where somebody looked.
    #[serde(default)]
    kinds: BTreeMap<usize, String>,
}

impl Draft {
    fn key(desk: &Desk, plan: &YardPlan) -> Result<String, Fault> {
        Ok(format!("count-draft/{}/{}", desk.book.yard_named(&plan.yard)?.id, plan.trouble))
    }

    fn read(desk: &Desk, plan: &YardPlan) -> Result<Self, Fault> {
        let kept = desk.book.setting(&Self::key(desk, plan)?)?;
        Ok(kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
    }

    fn keep(&self, desk: &mut Desk, plan: &YardPlan) -> Result<(), Fault> {
        let key = Self::key(desk, plan)?;
        let text = serde_json::to_string(self).map_err(|e| Fault::new(500, "The count could not be kept", e.to_string()))?;
        Ok(desk.book.write(|tx| tx.set_setting(&key, &text))?)
    }

    /// Counts of a stratum in walking order.
    fn of(&self, plan: &YardPlan, stratum: &str) -> Vec<u64> {
        plan.plan
            .stops
            .iter()
            .filter(|stop| stop.stratum == stratum)
            .filter_map(|stop| self.counts.get(&stop.number).copied().flatten())
            .collect()
    }

    /// Finds of a species at the stops where somebody told it; none where nobody did anywhere.
    fn told(&self, plan: &YardPlan, species: &str) -> Option<u64> {
        let of_species = |stop: &&Stop| self.kinds.get(&stop.number).is_some_and(|kind| kind == species);
        plan.plan.stops.iter().filter(of_species).filter_map(|stop| self.counts.get(&stop.number).copied().flatten()).reduce(|a, b| a + b)
    }

    /// Writes a count and, if it was looked at, the kind.
    fn set(&mut self, stop: usize, found: Option<u64>, kind: Option<String>) {
        self.counts.insert(stop, found);
        match kind.filter(|_| found.is_some_and(|n| n > 0)) {
            Some(kind) => self.kinds.insert(stop, kind),
            None => self.kinds.remove(&stop),
        };
    }

    /// The next stop that is open: not counted, and in a stratum that the stop rule still asks for.
    fn next<'a>(&self, plan: &'a YardPlan, after: usize) -> Option<&'a Stop> {
        let open = |stop: &&Stop| !self.counts.contains_key(&stop.number) && !self.is_settled(plan, &stop.stratum);
        plan.plan.stops.iter().filter(|stop| stop.number > after).find(open).or_else(|| plan.plan.stops.iter().find(open))
    }

    fn is_settled(&self, plan: &YardPlan, stratum: &str) -> bool {
        rule(plan, stratum).is_some_and(|rule| rule.read(&self.of(plan, stratum)).says != Says::GoOn)
    }
}

fn rule<'a>(plan: &'a YardPlan, stratum: &str) -> Option<&'a StopRule> {
    plan.plan.stop_rules.iter().find(|rule| rule.stratum == stratum)
}

fn count(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let plan = plan(desk, asked)?;
    let draft = Draft::read(desk, &plan)?;
    let wished = asked.query("stop").and_then(|text| text.parse::<usize>().ok());
    Ok(count_page(asked, &plan, &draft, wished, None).into())
}

fn count_page(asked: &Asked, plan: &YardPlan, draft: &Draft, wished: Option<usize>, fault: Option<&Fault>) -> Page {
    let stop = match wished {
        Some(number) => plan.plan.stops.iter().find(|stop| stop.number == number),
        None => draft.next(plan, 0),
    };
    let about_finish = fault.is_some_and(|fault| !matches!(fault.field.as_deref(), Some("count" | "kind")));
    let mut page = Page::titled(Room::Yards, format!("{} at {}", plan.name, plan.yard)).after_fault(fault).after(html! {
        @match stop {
            Some(stop) => (stop_form(asked, plan, draft, stop, fault.filter(|_| !about_finish))),
            None => { div.verdict.calm { p.said { "Every stop that was asked for is counted" } p { "Finish below, or change a stop in the list." } } }
        }
        h2 { "So far" }
        (progress(plan, draft))
        (stop_list(asked, plan, draft))
        @if !draft.counts.is_empty() { (finish_form(asked, plan, draft, fault.filter(|_| about_finish))) }
    });
    page.script = stop.is_some();
    page.way_out = Some((url::yard(&plan.yard, "troubles"), "Leave; counts stay"));
    page
}

fn stop_form(asked: &Asked, plan: &YardPlan, draft: &Draft, stop: &Stop, fault: Option<&Fault>) -> Markup {
    let before: Vec<u64> = draft.of(plan, &stop.stratum);
    let own = draft.counts.get(&stop.number).copied().flatten();
    let total: u64 = before.iter().sum::<u64>() - own.unwrap_or(0);
    let samples = before.len() + usize::from(own.is_none());
    let lines = rule(plan, &stop.stratum).and_then(|rule| rule.rows.iter().find(|row| row.samples as usize == samples));
    let few = lines.and_then(|row| row.few_at_most).map(|n| n.to_string()).unwrap_or_default();
    let many = lines.map(|row| row.many_from.to_string()).unwrap_or_default();
    let kind = draft.kinds.get(&stop.number).cloned().unwrap_or_default();
    let form = Form::new("stop", asked, fault).with("count", own.map(|n| n.to_string()).unwrap_or_default()).with("kind", kind);
    html! {
        p.stop { "Stop " strong { (stop.number) } " of " (plan.plan.stops.len()) ", " strong { (stop.stratum) } }
        p.total role="status" {
            "So far " strong { (total) } " in " (samples - 1) @if samples == 2 { " sample" } @else { " samples" } "."
            @if !many.is_empty() { br; "With this one: " @if !few.is_empty() { "few enough at " strong { (few) } " or less, " } "enough to matter from " strong { (many) } "." }
        }
        (form.summary())
        form method="post" action=(at(asked, "count")) data-tally="" data-total=(total) data-few=(few) data-many=(many) {
            input type="hidden" name="stop" value=(stop.number);
            // The first button answers the Enter key: it must keep what is typed, not the zero of the pad.
            button.unseen tabindex="-1" { "Keep and go on" }
            (kind_asked(&form, plan))
            div.pad role="group" aria-label={ "How many at stop " (stop.number) "?" } { @for n in 0..9 { button name="quick" value=(n) { (n) } } }
            div.more { (form.whole("count", "Nine or more: how many?", "")) button.first { "Keep and go on" } }
        }
        (kinds_told(plan))
        details { summary { "How to take a sample" } p { (plan.plan.sample) ". What is counted: " (plan.plan.counted) ". This cannot see: " (plan.plan.blind_to) "." } @if stop.walk_m > 0.5 { p { (format!("{:.0} m from the stop before; {:.6}, {:.6}.", stop.walk_m, stop.latitude, stop.longitude)) } } }
        form method="post" action=(at(asked, "count")) {
            input type="hidden" name="stop" value=(stop.number);
            button name="quick" value="nobody" { "Nobody could look here" }
            @if let Some(last) = plan.plan.stops.iter().rev().find(|other| other.number < stop.number) {
                a.button href={ (at(asked, "count")) "?stop=" (last.number) } { "Back to stop " (last.number) }
            }
        }
    }
}

/// Kinds that can be told in the hand, with how.
fn told_in_hand(plan: &YardPlan) -> Vec<(String, String)> {
    species_of(plan).into_iter().filter(|(_, how)| !how.is_empty()).collect()
}

/// Which kind those of the stop are; to be left at `not looked at` where nobody did.
fn kind_asked(form: &Form<'_>, plan: &YardPlan) -> Markup {
    let kinds = told_in_hand(plan);
    let rest = kinds.iter().map(|(name, how)| (name.clone(), format!("{name}: {how}")));
    let options: Vec<(String, String)> = std::iter::once((String::new(), "not looked at".to_owned())).chain(rest).collect();
    let label = if is_by_raster(plan) { "Which species, by the raster?" } else { "Which species?" };
    html! { @if !kinds.is_empty() { (form.choice("kind", label, "May be left. If they are mixed, say how many of each at the finish.", &options)) } }
}

fn is_by_raster(plan: &YardPlan) -> bool {
    species_of(plan).iter().any(|(_, how)| how.contains("raster") || how.contains("spines"))
}

fn kinds_told(plan: &YardPlan) -> Markup {
    let kinds = told_in_hand(plan);
    html! { @if !kinds.is_empty() {
        details { summary { "How the species are told" }
            @if is_by_raster(plan) { p { "The raster is the patch of spines under the tip of the tail; a hand lens shows it." } }
            ul { @for (name, how) in &kinds { li { strong { (name) } ": " (how) } } }
        }
    } }
}

fn progress(plan: &YardPlan, draft: &Draft) -> Markup {
    html! { ul { @for allotment in &plan.plan.allotment {
        @let counts = draft.of(plan, &allotment.stratum);
        li { @match rule(plan, &allotment.stratum) {
            Some(rule) if !counts.is_empty() => { (crate::show::capital(&rule.read(&counts).words)) "." }
            _ => { (crate::show::capital(&allotment.stratum)) ": " (counts.iter().sum::<u64>()) " in " (counts.len()) " of " (allotment.samples) " samples." }
        } }
    } } }
}

fn stop_list(asked: &Asked, plan: &YardPlan, draft: &Draft) -> Markup {
    html! { details { summary { "All stops" } ul.rooms { @for stop in &plan.plan.stops { li {
        a href={ (at(asked, "count")) "?stop=" (stop.number) } { "Stop " (stop.number) ", " (stop.stratum) } ": "
        @match draft.counts.get(&stop.number) {
            Some(Some(n)) => { strong { (n) } @if let Some(kind) = draft.kinds.get(&stop.number) { " " (kind) } }
            Some(None) => "nobody looked",
            None if draft.is_settled(plan, &stop.stratum) => "not needed",
            None => "open",
        }
    } } } } }
}

fn finish_form(asked: &Asked, plan: &YardPlan, draft: &Draft, fault: Option<&Fault>) -> Markup {
    let told = species_of(plan).into_iter().filter_map(|(name, _)| Some((format!("species-{name}"), draft.told(plan, &name)?)));
    let form = told.fold(Form::new("finish", asked, fault), |form, (field, told)| form.with(&field, told.to_string()));
    let stages: Vec<(String, String)> = std::iter::once((String::new(), "not looked at".to_owned()))
        .chain(plan.windows.iter().map(|window| (window.stage.clone(), window.name.clone())))
        .collect();
    html! {
        h2 { "Finish" }
        (form.summary())
        form method="post" action={ (at(asked, "count")) "/finish" } {
            @if !plan.thresholds.is_empty() {
                p { "Of those found, how many of each kind? Leave a line blank where nobody looked: the verdict is then spread over all kinds." }
                @for species in species_of(plan) { (form.whole(&format!("species-{}", species.0), &species.0, &species.1)) }
            }
            (form.choice("stage", "Stage seen", "", &stages))
            (form.told("digging", "Fresh digging by animals?", ""))
            @match plan.plan.method {
                Method::Quadrat => {
                    (form.whole("of", "Each count is hits of how many points?", "100 for cover in per cent; blank for plants counted"))
                    (form.line("bearable", "Cover that the owner bears, in per cent", "blank: nobody said"))
                }
                Method::Trap => { (form.line("nights", "Nights that the traps stood", "blank: one")) }
                _ => { (form.told("vigorous", "Turf dense and growing well?", "")) }
            }
            (form.line("who", "Counted by", ""))
            (form.day("date", "Day of the count", "blank: today"))
            button.first { "Finish and weigh the counts" }
        }
        details { summary { "Throw these counts away" } form method="post" action=(at(asked, "count")) { button name="quick" value="clear" { "Yes, throw them away" } } }
    }
}

/// Species with how each is told in the hand, each once.
fn species_of(plan: &YardPlan) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    for threshold in &plan.thresholds {
        if !found.iter().any(|(name, _)| *name == threshold.species) {
            found.push((threshold.species.clone(), threshold.told_by.clone().unwrap_or_default()));
        }
    }
    found
}

fn enter(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let plan = plan(desk, asked)?;
    let mut draft = Draft::read(desk, &plan)?;
    if asked.given("quick").as_deref() == Some("clear") {
        Draft::default().keep(desk, &plan)?;
        return Ok(Reply::See(at(asked, "count")));
    }
    let number =
        asked.given("stop").and_then(|text| text.parse::<usize>().ok()).filter(|n| plan.plan.stops.iter().any(|stop| stop.number == *n));
    let number =
        number.ok_or_else(|| Fault::at_field("stop", "this stop is not in the plan; open the page again: the map may have changed"))?;
    match read_count(asked).and_then(|found| Ok((found, read_kind(asked, &plan)?))) {
        Ok((found, kind)) => {
            draft.set(number, found, kind);
            draft.keep(desk, &plan)?;
            let next = draft.next(&plan, number).map(|stop| format!("?stop={}", stop.number)).unwrap_or_default();
            Ok(Reply::See(at(asked, "count") + &next))
        }
        Err(fault) => Ok(count_page(asked, &plan, &draft, Some(number), Some(&fault)).into()),
    }
}

fn read_count(asked: &Asked) -> Result<Option<u64>, Fault> {
    let quick = asked.given("quick");
    if quick.as_deref() == Some("nobody") {
        return Ok(None);
    }
    let typed = quick
        .or_else(|| asked.given("count"))
        .ok_or_else(|| Fault::at_field("count", "no count is given; tap a number, or type one, for example 12; a zero is a count too"))?;
    let count = typed
        .parse::<u64>()
        .map_err(|_| Fault::at_field("count", format!("`{typed}` is no whole number; type digits only, for example 12")))?;
    if count > LARGEST {
        return Err(Fault::at_field("count", format!("`{typed}` is more than {LARGEST}; check the figure")));
    }
    Ok(Some(count))
}

fn read_kind(asked: &Asked, plan: &YardPlan) -> Result<Option<String>, Fault> {
    let kinds = told_in_hand(plan);
    match asked.given("kind") {
        Some(kind) if !kinds.iter().any(|(name, _)| *name == kind) => {
            let names: Vec<&str> = kinds.iter().map(|(name, _)| name.as_str()).collect();
            Err(Fault::at_field(
                "kind",
                format!("`{kind}` is none of the species that are told apart here; leave it, or give one of: {}", names.join(", ")),
            ))
        }
        kind => Ok(kind),
    }
}

fn finish(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let plan = plan(desk, asked)?;
    let draft = Draft::read(desk, &plan)?;
    let taken = entry(asked, &plan, &draft).and_then(|entry| Ok(desk.enter_counts(&plan.yard, &plan.trouble, &entry)?));
    match taken {
        Ok(_) => {
            Draft::default().keep(desk, &plan)?;
            Ok(Reply::See(at(asked, "verdict")))
        }
        Err(fault) => {
            let fault = fault.aimed(&[("date", "date"), ("future", "date")]);
            Ok(count_page(asked, &plan, &draft, None, Some(&fault)).into())
        }
    }
}

fn entry(asked: &Asked, plan: &YardPlan, draft: &Draft) -> Result<CountEntry, Fault> {
    let mut species = BTreeMap::new();
    for (name, _) in species_of(plan) {
        let field = format!("species-{name}");
        if asked.typed(&field).is_none() {
            species.extend(draft.told(plan, &name).map(|told| (name, told)));
        } else if let Some(typed) = asked.given(&field) {
            let count = typed.parse::<u64>().map_err(|_| {
                Fault::at_field(&field, format!("`{typed}` is no whole number; type digits only, or leave it blank where nobody looked"))
            })?;
            species.insert(name, count);
        }
    }
    let strata = plan.plan.allotment.iter().map(|allotment| StratumEntry {
        stratum: allotment.stratum.clone(),
        counts: draft.of(plan, &allotment.stratum),
        sample_area: None,
    });
    Ok(CountEntry {
        strata: strata.collect(),
        species,
        stage: asked.given("stage"),
        who: asked.given("who"),
        date: crate::field::day(asked, "date")?,
        digging: told(asked, "digging"),
        vigorous: told(asked, "vigorous"),
        of: number(asked, "of", "points, for example 25")?,
        nights: number(asked, "nights", "nights, for example 1")?,
        bearable: number::<f64>(asked, "bearable", "per cent, for example 5")?.map(|p| p / 100.0),
    })
}

/// A number of a field; none where it is blank.
fn number<T: std::str::FromStr>(asked: &Asked, field: &str, right: &str) -> Result<Option<T>, Fault> {
    let read = |typed: String| {
        typed.trim_end_matches('%').trim().parse().map_err(|_| Fault::at_field(field, format!("`{typed}` is no number; give {right}")))
    };
    asked.given(field).map(read).transpose()
}

fn verdict(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let found = desk.weigh(asked.part("yard"), asked.part("trouble"))?;
    let sheet = desk.weighed_sheet(&found)?;
    let page = Page::of(Room::Yards, sheet).at_yard(asked.part("yard"), "troubles").after(html! {
        p { a.button href=(at(asked, "treat")) { "Options if it is to be treated" } a.button href=(at(asked, "count")) { "Count more" } }
    });
    Ok(page.into())
}
