//! Good sense that types cannot hold: words from a known set, months and zones in order, what must be said together.

use crate::control::{Control, ControlClass, Rotation};
use crate::fault::LoreFault;
use crate::library::{Lore, Told};
use crate::material::WorkNorm;
use crate::plant::Plant;
use crate::shelf::Shelf;
use crate::trouble::{Clock, Trouble, TroubleKind};
use std::collections::BTreeMap;

/// Ways to sum heat that the weather crate knows.
pub(super) const DEGREE_DAY_METHODS: [&str; 6] =
    ["average", "modified-average", "single-sine", "double-sine", "single-triangle", "double-triangle"];

/// Kinds of visitor that a plant entry may name.
const VISITORS: [&str; 9] = ["bees", "butterflies", "moths", "flies", "beetles", "wasps", "hummingbirds", "birds", "caterpillars"];

/// Scheme of the mode-of-action lists.
const SCHEMES: [&str; 3] = ["IRAC", "FRAC", "HRAC"];

/// What was found, with the field it was found in.
type Notes = Vec<(String, Told)>;

pub(super) fn check(lore: &Lore, faults: &mut Vec<LoreFault>) {
    let mut note = |shelf: Shelf, key: &str, told: Notes| {
        faults.extend(told.into_iter().map(|(field, told)| lore.fault(shelf, key, &field, told)));
    };
    for (key, entry) in &lore.troubles {
        note(Shelf::Troubles, key, of_key(key));
        note(Shelf::Troubles, key, of_trouble(entry));
    }
    for (key, entry) in &lore.plants {
        note(Shelf::Plants, key, of_key(key));
        note(Shelf::Plants, key, of_plant(entry));
    }
    for (key, entry) in &lore.controls {
        note(Shelf::Controls, key, of_key(key));
        note(Shelf::Controls, key, of_control(entry));
    }
    for (key, entry) in &lore.work_norms {
        note(Shelf::WorkNorms, key, of_key(key));
        note(Shelf::WorkNorms, key, of_work_norm(entry));
    }
    lore.materials.keys().for_each(|key| note(Shelf::Materials, key, of_key(key)));
    lore.sources.iter().for_each(|(key, entry)| note(Shelf::Sources, key, of_source(&entry.citation)));
    let groups = group_sizes(lore);
    for (key, entry) in &lore.findings {
        note(Shelf::Findings, key, of_key(key));
        note(Shelf::Findings, key, of_said_as(entry.said_as.len()));
        if let Some(group) = entry.one_of.as_ref().filter(|group| groups.get(group.as_str()) == Some(&1)) {
            let remedy = "Give another finding of the group the same word, or take it out.";
            note(Shelf::Findings, key, vec![("one_of".into(), Told::warning(group, "no other finding is of this group", remedy))]);
        }
    }
}

fn group_sizes(lore: &Lore) -> BTreeMap<&str, usize> {
    let mut sizes = BTreeMap::new();
    for group in lore.findings.values().filter_map(|finding| finding.one_of.as_deref()) {
        *sizes.entry(group).or_insert(0) += 1;
    }
    sizes
}

fn of_key(key: &str) -> Notes {
    let plain = !key.is_empty() && key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if plain {
        return Vec::new();
    }
    vec![("key".into(), Told::fault(key, "a key holds small letters, digits and hyphens only", "Write it as `dollar-spot`."))]
}

fn of_source(citation: &str) -> Notes {
    if citation.trim().len() >= 12 {
        return Vec::new();
    }
    let remedy = "Write author, year, title and where it can be found, so that another reader finds it too.";
    vec![("citation".into(), Told::fault(citation, "this citation names too little", remedy))]
}

fn of_said_as(patterns: usize) -> Notes {
    if (2..=15).contains(&patterns) {
        return Vec::new();
    }
    let remedy = "Write two to fifteen ways in which an owner would say it.";
    vec![("said_as".into(), Told::warning(patterns, "too few or too many patterns", remedy))]
}

fn of_trouble(entry: &Trouble) -> Notes {
    let mut told = Vec::new();
    for (i, stage) in entry.stages.iter().enumerate() {
        if let Clock::AirDegreeDays { method, .. } = &stage.clock
            && !DEGREE_DAY_METHODS.contains(&method.as_str())
        {
            let remedy = format!("Use one of {}.", DEGREE_DAY_METHODS.join(", "));
            told.push((format!("stages[{i}].clock.method"), Told::fault(method, "no such way to sum heat", remedy)));
        }
        if entry.stages[..i].iter().any(|other| other.key == stage.key) {
            told.push((format!("stages[{i}].key"), Told::fault(&stage.key, "this stage is listed twice", "Keep one of the two.")));
        }
    }
    if entry.hosts.is_empty() {
        told.push(("hosts".into(), Told::fault("[]", "no host is named", "Write, for example, `hosts = [\"lawn\"]`.")));
    }
    if entry.findings.is_empty() {
        let remedy = "Add a `[[findings]]` with the finding that tells it best.";
        told.push(("findings".into(), Told::fault("", "nothing tells this trouble from another", remedy)));
    }
    if entry.action.steps.is_empty() && entry.kind != TroubleKind::Harmless {
        told.push(("action.steps".into(), Told::fault("[]", "no step is given", "Write the steps, culture first.")));
    }
    if entry.season.is_none() && entry.off_season.is_some() {
        let remedy = "Add `season = { from = \"05-01\", to = \"09-30\", source = \"memory\" }`, or take `off_season` out.";
        told.push(("off_season".into(), Told::fault("", "there is no season for this to be outside of", remedy)));
    }
    told
}

fn of_plant(entry: &Plant) -> Notes {
    let mut told = Vec::new();
    let (coldest, warmest) = (entry.hardiness.coldest, entry.hardiness.warmest);
    if coldest > warmest || !(1..=13).contains(&coldest) || !(1..=13).contains(&warmest) {
        let remedy = "Write the lower zone as `coldest` and the higher as `warmest`, from 1 to 13, for example 4 and 8.";
        told.push(("hardiness".into(), Told::fault(format!("{coldest} to {warmest}"), "these are no two zones in order", remedy)));
    }
    for (field, month) in [("bloom.from_month", entry.bloom.from_month), ("bloom.to_month", entry.bloom.to_month)] {
        if !(1..=12).contains(&month) {
            told.push((field.into(), Told::fault(month, "there is no such month", "Write a month from 1 to 12.")));
        }
    }
    for (i, visitor) in entry.visitors.iter().enumerate() {
        if !VISITORS.contains(&visitor.kind.as_str()) {
            let remedy = format!("Use one of {}.", VISITORS.join(", "));
            told.push((format!("visitors[{i}].kind"), Told::fault(&visitor.kind, "this kind of visitor is not known here", remedy)));
        }
        if !(1..=3).contains(&visitor.value) {
            let remedy = "Write 1 (some), 2 (good) or 3 (outstanding).";
            told.push((format!("visitors[{i}].value"), Told::fault(visitor.value, "this is no value for visitors", remedy)));
        }
    }
    for (field, empty) in [("light", entry.light.is_empty()), ("moisture", entry.moisture.is_empty())] {
        if empty {
            told.push((
                field.into(),
                Told::fault("[]", "nothing is named", "Name at least one, for example `[\"full-sun\"]` or `[\"medium\"]`."),
            ));
        }
    }
    told
}

fn of_control(entry: &Control) -> Notes {
    let mut told = Vec::new();
    if let Some(group) = entry.group.as_ref().filter(|group| !SCHEMES.contains(&group.scheme.as_str())) {
        let remedy = format!("Use one of {}.", SCHEMES.join(", "));
        told.push(("group.scheme".into(), Told::fault(&group.scheme, "this scheme of groups is not known", remedy)));
    }
    if entry.class == ControlClass::ActiveIngredient && entry.group.is_none() && entry.rotation != Rotation::Exempt {
        let remedy = "Add `[group]` with scheme, code, edition and source, or write `rotation = \"exempt\"`.";
        told.push(("rotation".into(), Told::fault("", "rotation cannot be judged without a group", remedy)));
    }
    if entry.class == ControlClass::Practice && entry.needs_label {
        let remedy = "Write `needs_label = false`, or another class.";
        told.push(("needs_label".into(), Told::fault("true", "a practice has no pesticide label", remedy)));
    }
    if entry.class == ControlClass::ActiveIngredient && !entry.needs_label {
        let remedy = "Write `needs_label = true`.";
        told.push(("needs_label".into(), Told::fault("false", "an active ingredient is ruled by its label", remedy)));
    }
    if entry.needs_label && !entry.cautions.iter().any(|line| line.contains("label")) {
        let remedy = "Add, for example, \"The product label is the law; read it before buying, mixing and spreading.\"";
        told.push(("cautions".into(), Told::fault("", "no caution defers to the label", remedy)));
    }
    for (i, target) in entry.targets.iter().enumerate() {
        if target.evidence.is_empty() {
            let remedy = "Add a line of evidence with place, year and range, or leave it out until there is one.";
            told.push((format!("targets[{i}]"), Told::warning(&target.trouble, "there is no evidence for this target", remedy)));
        }
    }
    told
}

fn of_work_norm(entry: &WorkNorm) -> Notes {
    let remedy = "Write either `per = \"1000 ft2\"` or `piece = \"plant in a 1-gal pot\"`.";
    match (&entry.per, &entry.piece) {
        (None, None) => vec![("per".into(), Told::fault("", "nothing says how much work the time is for", remedy))],
        (Some(per), Some(_)) => vec![("per".into(), Told::fault(per, "the time is for an amount and for a piece at once", remedy))],
        (Some(per), None) if per.value <= 0.0 => vec![("per".into(), Told::fault(per, "this is no amount of work", remedy))],
        _ => Vec::new(),
    }
}
