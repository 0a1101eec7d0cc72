//! Entries of lore as a good handbook would print them.

use crate::DeskError;
use groundlore_lore::Lore;
use groundlore_lore::control::Control;
use groundlore_lore::plant::Plant;
use groundlore_lore::provenance::QuantityRange;
use groundlore_lore::trouble::{Clock, Trouble};
use groundlore_sheet::{Block, Sheet, Tone};
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

/// An entry by key or name, as JSON and as a sheet.
///
/// # Errors
/// An unknown name.
pub fn entry_sheet(lore: &Lore, name: &str, today: Date) -> Result<(Json, Sheet), DeskError> {
    let wanted = name.trim().to_lowercase();
    let is = |key: &str, names: &[&str]| key == wanted.replace(' ', "-") || names.iter().any(|n| n.to_lowercase() == wanted);
    let json = |value: Result<Json, serde_json::Error>| value.map_err(DeskError::science);
    if let Some(t) = lore
        .troubles
        .values()
        .find(|t| is(&t.key, &[&t.name, t.scientific.as_deref().unwrap_or("")]) || t.also_called.iter().any(|a| a.to_lowercase() == wanted))
    {
        return Ok((json(serde_json::to_value(t))?, trouble_sheet(lore, t, today)));
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

fn range(r: &QuantityRange) -> String {
    let unit_once = r.low.unit == r.high.unit;
    let span = if r.low == r.high {
        r.low.to_string()
    } else if unit_once {
        format!("{}–{}", r.low.value, r.high)
    } else {
        format!("{} to {}", r.low, r.high)
    };
    format!("{span} [{}]", r.source)
}

fn trouble_sheet(lore: &Lore, t: &Trouble, today: Date) -> Sheet {
    let mut sheet = Sheet::new("lore-entry", t.name.clone(), today);
    sheet.subtitle = t.scientific.clone();
    let stage = t.action.stage.as_ref().map(|s| format!(" ({s})")).unwrap_or_default();
    let tone = if t.kind == groundlore_lore::trouble::TroubleKind::Harmless { Tone::Calm } else { Tone::Act };
    sheet.push(Block::paragraph(t.summary.clone()));
    sheet.push(Block::Verdict { text: format!("{}{stage}", t.action.class.words()), why: t.action.why.clone(), tone });
    let season = t.season.as_ref().map_or_else(|| "any time".to_owned(), |s| format!("{} to {} [{}]", s.from, s.to, s.source));
    sheet.push(Block::Facts {
        facts: vec![
            ("seen on".to_owned(), t.hosts.join(", ")),
            ("signs show".to_owned(), season),
            ("holds for".to_owned(), t.region.clone()),
            ("reviewed".to_owned(), t.reviewed.clone()),
        ],
    });
    let name_of = |key: &str| lore.findings.get(key).map_or_else(|| key.to_owned(), |f| f.name.clone());
    let mut findings: Vec<_> = t.findings.iter().collect();
    findings.sort_by(|a, b| (b.low + b.high).total_cmp(&(a.low + a.high)));
    let rows =
        findings.iter().map(|f| vec![name_of(&f.finding), format!("{:.0}–{:.0}%", f.low * 100.0, f.high * 100.0), f.source.to_string()]);
    sheet.push(Block::table(
        "How often each sign is there, where this is the cause and somebody looked",
        &["sign", "share#", "source"],
        rows.collect(),
    ));
    if !t.look_alikes.is_empty() {
        let rows = t
            .look_alikes
            .iter()
            .map(|l| vec![lore.troubles.get(&l.trouble).map_or_else(|| l.trouble.clone(), |o| o.name.clone()), l.how.clone()]);
        sheet.push(Block::table("Taken for", &["", "what tells them apart"], rows.collect()));
    }
    if let Some(count) = &t.count {
        sheet.push(Block::heading("Counting"));
        sheet.push(Block::Facts {
            facts: vec![
                ("sample".to_owned(), count.sample.clone()),
                ("count".to_owned(), count.counted.clone()),
                ("cannot see".to_owned(), count.blind_to.clone()),
                ("best".to_owned(), format!("{} to {} [{}]", count.when.from, count.when.to, count.when.source)),
            ],
        });
    }
    if !t.thresholds.is_empty() {
        let rows = t.thresholds.iter().map(|h| {
            vec![
                h.species.clone(),
                h.stage.clone(),
                format!("{}–{}", h.low.value, h.high),
                h.region.clone(),
                h.condition.clone().unwrap_or_default(),
                h.source.to_string(),
            ]
        });
        sheet.push(Block::table(
            "Numbers at which it injures",
            &["species", "stage", "from", "where", "on ground", "source"],
            rows.collect(),
        ));
    }
    if let Some(said) = &t.no_good_threshold {
        sheet.push(Block::paragraph(format!("{} [{}]", said.text, said.source)));
    }
    if !t.stages.is_empty() {
        sheet.push(Block::table(
            "Life through the year",
            &["stage", "when", "a control works"],
            t.stages
                .iter()
                .map(|s| vec![s.name.clone(), clock_words(&s.clock), if s.treatable { "yes" } else { "no" }.to_owned()])
                .collect(),
        ));
    }
    sheet.push(Block::heading("What to do"));
    sheet.push(Block::List { ordered: true, items: t.action.steps.clone() });
    if !t.cautions.is_empty() {
        sheet.push(Block::Cautions { cautions: t.cautions.clone() });
    }
    sheet.push(Block::Sources { sources: lore.cite(&t.action.source) });
    sheet
}

fn clock_words(clock: &Clock) -> String {
    match clock {
        Clock::AirDegreeDays { start, base, method, low, high, region, source } => {
            format!("{low}–{high} degree-days over {base} from {start} ({method}; {region}) [{source}]")
        }
        Clock::Calendar { from, to, region, source } => format!("{from} to {to} ({region}) [{source}]"),
    }
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
