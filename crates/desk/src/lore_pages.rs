//! Entries of lore as a good handbook would print them.

use crate::trouble_sheet::{HereAndNow, range, trouble_sheet};
use crate::{Desk, DeskError};
use groundlore_lore::Lore;
use groundlore_lore::control::Control;
use groundlore_lore::plant::Plant;
use groundlore_lore::trouble::{Trouble, TroubleKind};
use groundlore_sheet::{Block, Sheet};
use jiff::civil::Date;
use serde_json::Value as Json;

/// Rows of kind, key and name; of one kind where it is named.
///
/// # Errors
/// An unknown kind.
pub fn list_rows(lore: &Lore, kind: Option<&str>) -> Result<Vec<Vec<String>>, DeskError> {
    let mut all: Vec<(&str, String, String)> = Vec::new();
    all.extend(lore.troubles.values().map(|t| ("troubles", t.key.clone(), t.name.clone())));
    all.extend(lore.plants.values().map(|p| ("plants", p.key.clone(), format!("{}, {}", p.botanical, p.name))));
    all.extend(lore.controls.values().map(|c| ("controls", c.key.clone(), c.name.clone())));
    all.extend(lore.materials.values().map(|m| ("materials", m.key.clone(), m.name.clone())));
    all.extend(lore.work_norms.values().map(|w| ("work-norms", w.key.clone(), w.name.clone())));
    all.extend(lore.findings.values().map(|f| ("findings", f.key.clone(), f.name.clone())));
    let kinds = ["troubles", "plants", "controls", "materials", "work-norms", "findings"];
    if let Some(wanted) = kind.filter(|k| !kinds.contains(k)) {
        return Err(DeskError::missing(format!("lore has no kind `{wanted}`"), format!("use one of {}", kinds.join(", "))));
    }
    Ok(all
        .into_iter()
        .filter(|(k, ..)| kind.is_none_or(|wanted| wanted == *k))
        .map(|(k, key, name)| vec![k.to_owned(), key, name])
        .collect())
}

/// A group of the index: troubles by their kind, then plants, controls, materials and work norms.
#[derive(Debug, Clone)]
pub struct IndexGroup {
    /// Heading.
    pub heading: String,
    /// Entries, by name.
    pub entries: Vec<IndexEntry>,
}

/// An entry of the index.
#[derive(Debug, Clone)]
pub struct IndexEntry {
    /// Kind of entry, as in an address (`troubles`).
    pub kind: &'static str,
    /// Key.
    pub key: String,
    /// Name.
    pub name: String,
    /// Scientific name, or what else tells it apart; may be empty.
    pub beside: String,
    /// What was looked for, where it is not in the name: `also called grubs`.
    pub matched: Option<String>,
}

/// The index of lore, of what fits the words looked for: names, other names, scientific names and hosts are looked through, all words must
/// be there. Entries whose name fits stand first.
pub fn index(lore: &Lore, wanted: Option<&str>) -> Vec<IndexGroup> {
    let words: Vec<String> = wanted.unwrap_or_default().to_lowercase().split_whitespace().map(str::to_owned).collect();
    let has = |text: &str| {
        let lower = text.to_lowercase();
        words.iter().all(|word| lower.contains(word))
    };
    let entry = |kind: &'static str, key: &str, name: &str, beside: &str, others: &[(&str, &str)]| {
        let in_name = has(name) || has(beside) || has(key);
        let matched = others.iter().find(|(_, text)| has(text)).map(|(how, text)| format!("{how} {text}"));
        (in_name || matched.is_some()).then(|| IndexEntry {
            kind,
            key: key.to_owned(),
            name: name.to_owned(),
            beside: beside.to_owned(),
            matched: matched.filter(|_| !in_name && !words.is_empty()),
        })
    };
    let trouble = |t: &Trouble| {
        let hosts = t.hosts.join(", ");
        let mut others: Vec<(&str, &str)> = t.also_called.iter().map(|name| ("also called", name.as_str())).collect();
        others.push(("seen on", &hosts));
        entry("troubles", &t.key, &t.name, t.scientific.as_deref().unwrap_or_default(), &others)
    };
    let mut groups: Vec<IndexGroup> = KINDS
        .iter()
        .map(|kind| IndexGroup {
            heading: plural(*kind).to_owned(),
            entries: lore.troubles.values().filter(|t| t.kind == *kind).filter_map(trouble).collect(),
        })
        .collect();
    let mut push = |heading: &str, entries: Vec<IndexEntry>| groups.push(IndexGroup { heading: heading.to_owned(), entries });
    push("Plants", lore.plants.values().filter_map(|p| entry("plants", &p.key, &p.name, &p.botanical, &[])).collect());
    push("Controls", lore.controls.values().filter_map(|c| entry("controls", &c.key, &c.name, "", &[])).collect());
    push("Materials", lore.materials.values().filter_map(|m| entry("materials", &m.key, &m.name, "", &[])).collect());
    push("Work norms", lore.work_norms.values().filter_map(|w| entry("work-norms", &w.key, &w.name, "", &[])).collect());
    groups.retain(|group| !group.entries.is_empty());
    for group in &mut groups {
        group.entries.sort_by_key(|entry| (entry.matched.is_some(), entry.name.to_lowercase()));
    }
    groups
}

/// Kinds of troubles in the order of the index.
const KINDS: [TroubleKind; 8] = [
    TroubleKind::TurfDisease,
    TroubleKind::TurfInsect,
    TroubleKind::Weed,
    TroubleKind::OrnamentalInsect,
    TroubleKind::OrnamentalDisease,
    TroubleKind::Abiotic,
    TroubleKind::Animal,
    TroubleKind::Harmless,
];

fn plural(kind: TroubleKind) -> &'static str {
    match kind {
        TroubleKind::TurfDisease => "Diseases of turf",
        TroubleKind::TurfInsect => "Insects and mites of turf",
        TroubleKind::Weed => "Weeds",
        TroubleKind::OrnamentalInsect => "Insects and mites of trees, shrubs and beds",
        TroubleKind::OrnamentalDisease => "Diseases of trees, shrubs and beds",
        TroubleKind::Abiotic => "Weather, soil, machines and people's own work",
        TroubleKind::Animal => "Birds and mammals",
        TroubleKind::Harmless => "Harmless things that worry owners",
    }
}

/// The trouble of a key, name, scientific name or other name.
fn trouble_named<'a>(lore: &'a Lore, name: &str) -> Option<&'a Trouble> {
    let wanted = name.trim().to_lowercase();
    let key = wanted.replace(' ', "-");
    let called = |t: &Trouble| {
        let names = [t.name.as_str(), t.scientific.as_deref().unwrap_or_default()];
        names.into_iter().chain(t.also_called.iter().map(String::as_str)).any(|n| n.to_lowercase() == wanted)
    };
    lore.troubles.get(&key).or_else(|| lore.troubles.values().find(|t| called(t)))
}

impl Desk {
    /// An entry by key or name, as JSON and as a sheet; a trouble's stages are dated by a yard's clock, or by that of the first yard of the
    /// book that has a station.
    ///
    /// # Errors
    /// An unknown name or yard.
    pub fn lore_entry(&self, name: &str, yard: Option<&str>) -> Result<(Json, Sheet), DeskError> {
        let Some(trouble) = trouble_named(&self.lore, name) else { return entry_sheet(&self.lore, name, self.today) };
        let here = self.here_and_now(trouble, yard)?;
        let mut json = serde_json::to_value(trouble).map_err(DeskError::science)?;
        json["here"] = serde_json::json!({ "by": here.by, "windows": here.windows });
        Ok((json, trouble_sheet(&self.lore, trouble, &here, self.today)))
    }
}

/// An entry by key or name, as JSON and as a sheet, without a book: stages that run by heat are not dated.
///
/// # Errors
/// An unknown name.
pub fn entry_sheet(lore: &Lore, name: &str, today: Date) -> Result<(Json, Sheet), DeskError> {
    let wanted = name.trim().to_lowercase();
    let is = |key: &str, names: &[&str]| key == wanted.replace(' ', "-") || names.iter().any(|n| n.to_lowercase() == wanted);
    let json = |value: Result<Json, serde_json::Error>| value.map_err(DeskError::science);
    if let Some(t) = trouble_named(lore, name) {
        let here = HereAndNow::without_a_book(t, today);
        return Ok((json(serde_json::to_value(t))?, trouble_sheet(lore, t, &here, today)));
    }
    if let Some(p) = lore.plants.values().find(|p| is(&p.key, &[&p.name, &p.botanical])) {
        return Ok((json(serde_json::to_value(p))?, plant_sheet(p, today)));
    }
    if let Some(c) = lore.controls.values().find(|c| is(&c.key, &[&c.name])) {
        return Ok((json(serde_json::to_value(c))?, control_sheet(lore, c, today)));
    }
    if let Some(m) = lore.materials.values().find(|m| is(&m.key, &[&m.name])) {
        return Ok((
            json(serde_json::to_value(m))?,
            Sheet::new("lore-entry", m.name.clone(), today).with(Block::paragraph(m.use_note.clone())),
        ));
    }
    if let Some(w) = lore.work_norms.values().find(|w| is(&w.key, &[&w.name])) {
        let per = w.per.as_ref().map(ToString::to_string).or_else(|| w.piece.clone()).unwrap_or_default();
        let sheet = Sheet::new("lore-entry", w.name.clone(), today).with(Block::Facts {
            facts: vec![("takes".to_owned(), format!("{} per {per}", range(&w.time))), ("includes".to_owned(), w.includes.clone())],
        });
        return Ok((json(serde_json::to_value(w))?, sheet));
    }
    Err(DeskError::missing(format!("lore has no entry `{name}`"), "`groundlore lore list` shows them"))
}

fn plant_sheet(p: &Plant, today: Date) -> Sheet {
    let mut sheet = Sheet::new("lore-entry", p.botanical.clone(), today).subtitle(p.name.clone());
    let words = |list: Vec<String>| if list.is_empty() { "not known".to_owned() } else { list.join(", ") };
    sheet.push(Block::Facts {
        facts: vec![
            ("height in bloom".to_owned(), range(&p.height)),
            ("spread".to_owned(), range(&p.spread)),
            ("spacing".to_owned(), range(&p.spacing)),
            ("light".to_owned(), words(p.light.iter().map(|l| format!("{l:?}")).collect())),
            ("soil".to_owned(), words(p.moisture.iter().map(|m| format!("{m:?}").to_lowercase()).collect())),
            ("zones".to_owned(), format!("{}–{} [{}]", p.hardiness.coldest, p.hardiness.warmest, p.hardiness.source)),
            (
                "in flower, months".to_owned(),
                format!("{}–{} ({}) [{}]", p.bloom.from_month, p.bloom.to_month, p.bloom.region, p.bloom.source),
            ),
            ("colours".to_owned(), p.colours.join(", ")),
            ("visitors".to_owned(), words(p.visitors.iter().map(|v| format!("{} {}", v.kind, "*".repeat(usize::from(v.value)))).collect())),
            ("beside others".to_owned(), format!("{:?}; spreads by {} [{}]", p.vigour, p.spreads.by, p.spreads.source)),
            ("cut back".to_owned(), format!("{} [{}]", p.cut_back.how, p.cut_back.source)),
            ("native to".to_owned(), words(p.native_to.clone())),
            (
                "listed".to_owned(),
                if p.listings.is_empty() {
                    "no listing known".to_owned()
                } else {
                    p.listings
                        .iter()
                        .map(|l| format!("{}: {} ({}) [{}]", l.place, l.status, l.edition, l.source))
                        .collect::<Vec<_>>()
                        .join("; ")
                },
            ),
        ],
    });
    if !p.cautions.is_empty() {
        sheet.push(Block::Cautions { cautions: p.cautions.clone() });
    }
    sheet
}

fn control_sheet(lore: &Lore, c: &Control, today: Date) -> Sheet {
    let mut sheet = Sheet::new("lore-entry", c.name.clone(), today).with(Block::paragraph(c.how.clone()));
    let group =
        c.group.as_ref().map_or_else(|| "none known".to_owned(), |g| format!("{} {} ({}) [{}]", g.scheme, g.code, g.edition, g.source));
    let bees = c.bee_hazard.as_ref().map_or_else(|| "not checked".to_owned(), |b| format!("{} ({}) [{}]", b.category, b.edition, b.source));
    let label = if c.needs_label { "enter the label: rates and re-entry come from it alone" } else { "no pesticide label" };
    sheet.push(Block::Facts {
        facts: vec![("group".to_owned(), group), ("bee hazard".to_owned(), bees), ("label".to_owned(), label.to_owned())],
    });
    for target in &c.targets {
        let name = lore.troubles.get(&target.trouble).map_or_else(|| target.trouble.clone(), |t| t.name.clone());
        let rows = target.evidence.iter().map(|e| {
            vec![
                e.year.to_string(),
                e.place.clone(),
                format!("{:.0}–{:.0}%", e.control.low * 100.0, e.control.high * 100.0),
                e.control.source.to_string(),
                e.note.clone().unwrap_or_default(),
            ]
        });
        sheet.push(Block::table(
            format!("Seen against {name} {}", target.stages.join(", ")),
            &["year#", "place", "controlled#", "source", ""],
            rows.collect(),
        ));
    }
    sheet.push(Block::Cautions { cautions: c.cautions.clone() });
    sheet
}
