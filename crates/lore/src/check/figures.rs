//! Figures: a known source beside each, ranges the right way round, quantities of the right kind, days that exist.

use crate::control::Control;
use crate::fault::LoreFault;
use crate::finding::Finding;
use crate::library::{Lore, Told};
use crate::material::{Material, WorkNorm};
use crate::plant::Plant;
use crate::provenance::{DayRange, QuantityRange, ShareRange, Source};
use crate::remedy;
use crate::shelf::Shelf;
use crate::trouble::{Clock, Trouble};
use groundlore_quantity::{Kind, Quantity};
use jiff::civil::Date;

/// One thing in an entry that can be checked by itself, with its path in the entry.
enum Item<'a> {
    Source(&'a Source),
    Numbers { low: f64, high: f64, limits: Limits },
    Quantities { low: &'a Quantity, high: &'a Quantity, kind: Kind },
    DayOfYear(&'a str),
    Date(&'a str),
    Words(&'a str),
}

/// What a bare number may be.
#[derive(Clone, Copy)]
struct Limits {
    low: f64,
    high: f64,
    /// What it is and an example, for the remedy.
    asked: &'static str,
}

const SHARE: Limits = Limits { low: 0.0, high: 1.0, asked: "Write a share between 0 and 1, for example `0.85`." };
const CHANCE: Limits =
    Limits { low: 0.01, high: 0.99, asked: "Write a chance from 0.01 to 0.99: nothing in a garden is sure, for example `0.95`." };
const PRIOR: Limits = Limits { low: 0.0005, high: 0.9, asked: "Write the share of letters from such hosts, from 0.0005 to 0.9." };
const FACTOR: Limits = Limits { low: 0.01, high: 100.0, asked: "Write a ratio above 0, for example `3.0` for three times as likely." };
const GENERATIONS: Limits =
    Limits { low: 0.05, high: 60.0, asked: "Write generations a year, for example `{ low = 1, high = 2, source = \"memory\" }`." };
const POSITIVE: Limits = Limits { low: 0.0, high: 1e6, asked: "Write a number that is not negative." };

type Items<'a> = Vec<(String, Item<'a>)>;

pub(super) fn check(lore: &Lore, faults: &mut Vec<LoreFault>) {
    let mut look = |shelf: Shelf, key: &str, items: Items<'_>| {
        for (field, item) in items {
            faults.extend(wrong_with(lore, &item).map(|told| lore.fault(shelf, key, &field, told)));
        }
    };
    lore.troubles.iter().for_each(|(key, entry)| look(Shelf::Troubles, key, of_trouble(entry)));
    lore.findings.iter().for_each(|(key, entry)| look(Shelf::Findings, key, of_finding(entry)));
    lore.plants.iter().for_each(|(key, entry)| look(Shelf::Plants, key, of_plant(entry)));
    lore.controls.iter().for_each(|(key, entry)| look(Shelf::Controls, key, of_control(entry)));
    lore.materials.iter().for_each(|(key, entry)| look(Shelf::Materials, key, of_material(entry)));
    lore.work_norms.iter().for_each(|(key, entry)| look(Shelf::WorkNorms, key, of_work_norm(entry)));
}

fn wrong_with(lore: &Lore, item: &Item<'_>) -> Option<Told> {
    match item {
        Item::Source(source) => wrong_source(lore, source),
        Item::Numbers { low, high, limits } => wrong_numbers(*low, *high, *limits),
        Item::Quantities { low, high, kind } => wrong_quantities(low, high, *kind),
        Item::DayOfYear(day) => wrong_day_of_year(day),
        Item::Date(day) => wrong_date(day),
        Item::Words(words) => {
            words.trim().is_empty().then(|| Told::fault("", "nothing is written here", "Write it in plain words, or take the line out."))
        }
    }
}

pub(super) fn wrong_source(lore: &Lore, source: &Source) -> Option<Told> {
    let remedy = "Name a key of sources.toml, or write \"memory\" or \"common practice\".";
    if source.0.is_empty() {
        return Some(Told::fault("[]", "this figure has no source", remedy));
    }
    let ours = |key: &str| key == Source::MEMORY || key == Source::COMMON_PRACTICE || lore.sources.contains_key(key);
    let unknown = source.0.iter().find(|key| !ours(key))?;
    let near = remedy::nearest(unknown, lore.sources.keys()).map(|near| format!(" Did you mean `{near}`?")).unwrap_or_default();
    Some(Told::fault(unknown, "no source has this key", format!("{remedy}{near}")))
}

fn wrong_numbers(low: f64, high: f64, limits: Limits) -> Option<Told> {
    let seen = format!("{low} to {high}");
    if !low.is_finite() || !high.is_finite() || low < limits.low || high > limits.high || low > limits.high || high < limits.low {
        return Some(Told::fault(seen, "this is outside what it can be", limits.asked));
    }
    (low > high).then(|| Told::fault(seen, "the range is reversed", "Write the lower figure as `low` and the higher as `high`."))
}

pub(super) fn wrong_quantities(low: &Quantity, high: &Quantity, kind: Kind) -> Option<Told> {
    for end in [low, high] {
        if !kind.accepts(&end.unit) {
            let wrong = format!("this must be {}", kind.expected());
            return Some(Told::fault(end, wrong, format!("Write it with its unit, for example `\"{}\"`.", kind.example())));
        }
        if !end.value.is_finite() || (end.value < 0.0 && kind != Kind::Temperature) {
            return Some(Told::fault(end, "this cannot be negative", format!("Write it as, for example, `\"{}\"`.", kind.example())));
        }
    }
    let seen = format!("{low} to {high}");
    (low.si() > high.si()).then(|| Told::fault(seen, "the range is reversed", "Write the lower figure as `low` and the higher as `high`."))
}

pub(super) fn wrong_day_of_year(day: &str) -> Option<Told> {
    // A leap year, so that 29 February is a day.
    let known = day.len() == 5 && format!("2024-{day}").parse::<Date>().is_ok();
    (!known).then(|| Told::fault(day, "this is no day of the year", "Write month and day as `MM-DD`, for example \"08-07\"."))
}

fn wrong_date(day: &str) -> Option<Told> {
    let known = day.len() == 10 && day.parse::<Date>().is_ok();
    (!known).then(|| Told::fault(day, "this is no date", "Write year, month and day, for example \"2026-11-25\"."))
}

/// Gathers the items of an entry under their paths.
#[derive(Default)]
struct Gather<'a>(Items<'a>);

impl<'a> Gather<'a> {
    fn add(&mut self, field: impl Into<String>, item: Item<'a>) {
        self.0.push((field.into(), item));
    }

    fn words(&mut self, fields: &[(&str, &'a str)]) {
        for (field, words) in fields {
            self.add(*field, Item::Words(words));
        }
    }

    fn lines(&mut self, field: &str, lines: &'a [String]) {
        for (i, line) in lines.iter().enumerate() {
            self.add(format!("{field}[{i}]"), Item::Words(line));
        }
    }

    fn head(&mut self, region: &'a str, reviewed: &'a str) {
        self.add("region", Item::Words(region));
        self.add("reviewed", Item::Date(reviewed));
    }

    fn source(&mut self, field: impl Into<String>, source: &'a Source) {
        self.add(field, Item::Source(source));
    }

    fn numbers(&mut self, field: &str, range: &'a ShareRange, limits: Limits) {
        self.add(field, Item::Numbers { low: range.low, high: range.high, limits });
        self.source(format!("{field}.source"), &range.source);
    }

    fn range(&mut self, field: &str, range: &'a QuantityRange, kind: Kind) {
        self.add(field, Item::Quantities { low: &range.low, high: &range.high, kind });
        self.source(format!("{field}.source"), &range.source);
    }

    fn quantity(&mut self, field: &str, quantity: &'a Quantity, kind: Kind) {
        self.add(field, Item::Quantities { low: quantity, high: quantity, kind });
    }

    fn days(&mut self, field: &str, days: &'a DayRange) {
        self.add(format!("{field}.from"), Item::DayOfYear(&days.from));
        self.add(format!("{field}.to"), Item::DayOfYear(&days.to));
        self.source(format!("{field}.source"), &days.source);
    }
}

fn of_trouble(entry: &Trouble) -> Items<'_> {
    let mut gather = Gather::default();
    gather.head(&entry.region, &entry.reviewed);
    gather.words(&[("name", &entry.name), ("summary", &entry.summary), ("for_the_owner", &entry.for_the_owner)]);
    gather.lines("cautions", &entry.cautions);
    gather.numbers("prior", &entry.prior, PRIOR);
    if let Some(season) = &entry.season {
        gather.days("season", season);
    }
    if let Some(share) = &entry.off_season {
        gather.numbers("off_season", share, SHARE);
    }
    if let Some(range) = &entry.generations_a_year {
        gather.numbers("generations_a_year", range, GENERATIONS);
    }
    for (i, favour) in entry.favoured_by.iter().enumerate() {
        gather.numbers(&format!("favoured_by[{i}].factor"), &favour.factor, FACTOR);
    }
    for (i, finding) in entry.findings.iter().enumerate() {
        gather.add(format!("findings[{i}].low"), Item::Numbers { low: finding.low, high: finding.high, limits: CHANCE });
        gather.source(format!("findings[{i}].source"), &finding.source);
    }
    of_count(entry, &mut gather);
    of_stages(entry, &mut gather);
    of_duty_and_laboratory(entry, &mut gather);
    gather.words(&[("action.why", &entry.action.why)]);
    gather.lines("action.steps", &entry.action.steps);
    gather.source("action.source", &entry.action.source);
    if let Some(time) = &entry.action.recovers_in {
        gather.range("action.recovers_in", time, Kind::Time);
    }
    gather.0
}

fn of_count<'a>(entry: &'a Trouble, gather: &mut Gather<'a>) {
    if let Some(count) = &entry.count {
        if let Some(area) = &count.sample_area {
            gather.quantity("count.sample_area", area, Kind::Area);
        }
        gather.range("count.effort", &count.effort, Kind::Time);
        if let Some(k) = &count.dispersion_k {
            gather.numbers("count.dispersion_k", k, POSITIVE);
        }
        gather.days("count.when", &count.when);
        gather.source("count.source", &count.source);
    }
    for (i, threshold) in entry.thresholds.iter().enumerate() {
        let (low, high) = (&threshold.low, &threshold.high);
        gather.add(format!("thresholds[{i}].low"), Item::Quantities { low, high, kind: Kind::CountPerArea });
        gather.add(format!("thresholds[{i}].region"), Item::Words(&threshold.region));
        gather.source(format!("thresholds[{i}].source"), &threshold.source);
    }
    if let Some(text) = &entry.no_good_threshold {
        gather.source("no_good_threshold.source", &text.source);
    }
}

fn of_duty_and_laboratory<'a>(entry: &'a Trouble, gather: &mut Gather<'a>) {
    for (i, told) in entry.thresholds_in_words.iter().enumerate() {
        gather.add(format!("thresholds_in_words[{i}].text"), Item::Words(&told.text));
        gather.source(format!("thresholds_in_words[{i}].source"), &told.source);
    }
    for (i, row) in entry.regulated.iter().enumerate() {
        let field = format!("regulated[{i}]");
        gather.add(format!("{field}.eppo"), Item::Words(&row.eppo));
        gather.lines(&format!("{field}.places"), &row.places);
        gather.add(format!("{field}.listed"), Item::Date(&row.listed));
        gather.add(format!("{field}.tell"), Item::Words(&row.tell));
        gather.source(format!("{field}.source"), &row.source);
    }
    if let Some(test) = &entry.laboratory {
        gather.words(&[
            ("laboratory.sample", &test.sample),
            ("laboratory.shows", &test.shows),
            ("laboratory.cannot_tell", &test.cannot_tell),
        ]);
        gather.numbers("laboratory.cost", &test.cost, POSITIVE);
        gather.range("laboratory.takes", &test.takes, Kind::Time);
        gather.numbers("laboratory.sensitivity", &test.sensitivity, SHARE);
        gather.numbers("laboratory.specificity", &test.specificity, SHARE);
    }
}

fn of_stages<'a>(entry: &'a Trouble, gather: &mut Gather<'a>) {
    for (i, stage) in entry.stages.iter().enumerate() {
        let clock = format!("stages[{i}].clock");
        match &stage.clock {
            Clock::AirDegreeDays { start, base, low, high, region, source, .. } => {
                gather.add(format!("{clock}.start"), Item::DayOfYear(start));
                gather.quantity(&format!("{clock}.base"), base, Kind::Temperature);
                gather.add(format!("{clock}.low"), Item::Numbers { low: *low, high: *high, limits: POSITIVE });
                gather.add(format!("{clock}.region"), Item::Words(region));
                gather.source(format!("{clock}.source"), source);
            }
            Clock::Calendar { from, to, region, source } => {
                gather.add(format!("{clock}.from"), Item::DayOfYear(from));
                gather.add(format!("{clock}.to"), Item::DayOfYear(to));
                gather.add(format!("{clock}.region"), Item::Words(region));
                gather.source(format!("{clock}.source"), source);
            }
        }
    }
}

fn of_finding(entry: &Finding) -> Items<'_> {
    let mut gather = Gather::default();
    gather.words(&[("name", &entry.name), ("how_to_look", &entry.how_to_look)]);
    gather.lines("said_as", &entry.said_as);
    gather.numbers("background", &entry.background, CHANCE);
    gather.quantity("effort", &entry.effort, Kind::Time);
    gather.0
}

fn of_plant(entry: &Plant) -> Items<'_> {
    let mut gather = Gather::default();
    gather.head(&entry.region, &entry.reviewed);
    gather.words(&[("botanical", &entry.botanical), ("name", &entry.name)]);
    gather.range("height", &entry.height, Kind::Length);
    gather.range("spread", &entry.spread, Kind::Length);
    gather.range("spacing", &entry.spacing, Kind::Length);
    gather.source("site_source", &entry.site_source);
    gather.source("hardiness.source", &entry.hardiness.source);
    gather.source("bloom.source", &entry.bloom.source);
    gather.add("bloom.region", Item::Words(&entry.bloom.region));
    for (i, visitor) in entry.visitors.iter().enumerate() {
        gather.source(format!("visitors[{i}].source"), &visitor.source);
    }
    gather.source("spreads.source", &entry.spreads.source);
    gather.source("cut_back.source", &entry.cut_back.source);
    for (i, listing) in entry.listings.iter().enumerate() {
        gather.source(format!("listings[{i}].source"), &listing.source);
        gather.add(format!("listings[{i}].edition"), Item::Words(&listing.edition));
    }
    gather.lines("cautions", &entry.cautions);
    gather.0
}

fn of_control(entry: &Control) -> Items<'_> {
    let mut gather = Gather::default();
    gather.head(&entry.region, &entry.reviewed);
    gather.words(&[("name", &entry.name), ("how", &entry.how)]);
    gather.lines("cautions", &entry.cautions);
    for (i, target) in entry.targets.iter().enumerate() {
        for (j, evidence) in target.evidence.iter().enumerate() {
            let field = format!("targets[{i}].evidence[{j}]");
            gather.numbers(&format!("{field}.control"), &evidence.control, SHARE);
            gather.add(format!("{field}.place"), Item::Words(&evidence.place));
        }
    }
    if let Some(bees) = &entry.bee_hazard {
        gather.add("bee_hazard.edition", Item::Words(&bees.edition));
        gather.source("bee_hazard.source", &bees.source);
    }
    if let Some(group) = &entry.group {
        gather.add("group.code", Item::Words(&group.code));
        gather.add("group.edition", Item::Words(&group.edition));
        gather.source("group.source", &group.source);
    }
    if let Some(water) = &entry.watering_in {
        gather.add("watering_in.need", Item::Words(&water.need));
        gather.source("watering_in.source", &water.source);
    }
    gather.0
}

fn of_material(entry: &Material) -> Items<'_> {
    let mut gather = Gather::default();
    gather.head(&entry.region, &entry.reviewed);
    gather.words(&[("name", &entry.name), ("use_note", &entry.use_note)]);
    gather.lines("cautions", &entry.cautions);
    if let Some(depth) = &entry.depth {
        gather.range("depth", depth, Kind::Length);
    }
    if let Some(density) = &entry.density {
        gather.range("density", density, Kind::Density);
    }
    if let Some(waste) = &entry.waste {
        gather.numbers("waste", waste, SHARE);
    }
    for (i, side) in entry.piece.iter().enumerate() {
        gather.range(&format!("piece[{i}]"), side, Kind::Length);
    }
    gather.0
}

fn of_work_norm(entry: &WorkNorm) -> Items<'_> {
    let mut gather = Gather::default();
    gather.head(&entry.region, &entry.reviewed);
    gather.words(&[("name", &entry.name), ("includes", &entry.includes)]);
    gather.lines("cautions", &entry.cautions);
    gather.range("time", &entry.time, Kind::Time);
    gather.0
}
