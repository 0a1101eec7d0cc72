//! Measuring off from the map: mulch for a bed, edging block for an edge, the plants of a plan. Each line carries its working and sources.

use crate::beds::{BedOnDesk, area_named, map_of, refused};
use crate::{Desk, DeskError};
use groundlore_lore::Lore;
use groundlore_lore::material::Material;
use groundlore_quantity::{Kind, Quantity};
use groundlore_reckoner::{Ask, Output, reckon};
use groundlore_sheet::{Block, Sheet};
use groundlore_site::measure::{area_m2, length_m};
use groundlore_site::yard::{Edge, Yard};
use groundlore_work::caution::{Hazard, cautions};
use groundlore_work::take_off::{EdgingMeasures, EdgingTakeOff, edging};
use groundlore_work::task::{Reason, Takes, Task, Window};
use jiff::ToSpan as _;
use serde::{Deserialize, Serialize};

/// Bulk goods are ordered in tenths of their unit, rounded up once (common practice).
const ORDER_STEPS: f64 = 10.0;
const COMMON_PRACTICE: &str = "common practice";

/// Person-time for an amount of work, by a work norm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Labour {
    /// Key of the work norm.
    pub norm: String,
    /// Name of the work.
    pub name: String,
    /// Person-minutes, low and high.
    pub minutes: (f64, f64),
    /// The working in a line.
    pub working: String,
    /// Source of the norm.
    pub source: String,
    /// What is in it.
    pub includes: String,
    /// Cautions.
    pub cautions: Vec<String>,
}

impl Labour {
    /// Time for an amount, where lore has the norm and it is for that kind of amount.
    pub(crate) fn of(lore: &Lore, norm: &str, amount: &Quantity) -> Option<Self> {
        let norm = lore.work_norms.get(norm)?;
        let times = match &norm.per {
            Some(per) => amount.to(&per.unit.to_string()).ok()?.value / per.value,
            None if amount.unit.is_none() => amount.value,
            None => return None,
        };
        let (low, high) = (norm.time.low.si() / 60.0, norm.time.high.si() / 60.0);
        let each = norm.per.as_ref().map_or_else(|| norm.piece.clone().unwrap_or_else(|| "piece".to_owned()), ToString::to_string);
        let minutes = (low * times, high * times);
        Some(Self {
            norm: norm.key.clone(),
            name: norm.name.clone(),
            minutes,
            working: format!(
                "{}: {low:.0} to {high:.0} min for {each} × {} = {:.0} to {:.0} min",
                norm.name,
                number(times),
                minutes.0,
                minutes.1
            ),
            source: norm.time.source.to_string(),
            includes: norm.includes.clone(),
            cautions: norm.cautions.clone(),
        })
    }

    /// Middle of the range, minutes.
    pub fn middle_minutes(&self) -> f64 {
        f64::midpoint(self.minutes.0, self.minutes.1)
    }
}

/// One thing measured off.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TakeOffLine {
    /// Item of the firm's price list.
    pub item: String,
    /// Other items that may price it, in the order to ask.
    pub or_items: Vec<String>,
    /// What it is.
    pub what: String,
    /// Amount to order.
    pub amount: Quantity,
    /// The same in other units that it may be sold by.
    pub or_amounts: Vec<Quantity>,
}

impl TakeOffLine {
    /// A number of pieces.
    fn pieces(item: &str, what: &str, number: f64) -> Self {
        Self { item: item.to_owned(), or_items: Vec::new(), what: what.to_owned(), amount: Quantity::bare(number), or_amounts: Vec::new() }
    }
}

/// What a piece of work takes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TakeOff {
    /// Yard.
    pub yard: String,
    /// The bed, edge or plan measured.
    pub place: String,
    /// What is to be done, in a few words.
    pub what: String,
    /// Kind of work as a key's part.
    pub work: String,
    /// Materials and plants.
    pub lines: Vec<TakeOffLine>,
    /// Facts of the work, such as depths.
    pub facts: Vec<(String, String)>,
    /// Time.
    pub labour: Vec<Labour>,
    /// The working, line by line.
    pub working: Vec<String>,
    /// What was taken for the blanks.
    pub assumed: Vec<String>,
    /// Sources.
    pub sources: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// Wishes for mulch, as typed; a blank takes lore's figure.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct MulchWishes {
    /// Key of the material; `hardwood-bark-mulch` where left out.
    pub material: Option<String>,
    /// Depth: `3 in`.
    pub depth: Option<String>,
    /// Share ordered beyond the measure: `5%`.
    pub waste: Option<String>,
}

/// Wishes for edging block, as typed; a blank takes the map's or lore's figure.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct EdgingWishes {
    /// Courses, one on top of another; 1 where left out.
    pub courses: Option<u32>,
    /// Length of a block along the run.
    pub block_length: Option<String>,
    /// Height of a block's face.
    pub block_height: Option<String>,
    /// Height above grade; 1 in where left out.
    pub show: Option<String>,
    /// Depth of the compacted base.
    pub base_depth: Option<String>,
    /// Width of the trench.
    pub trench_width: Option<String>,
    /// Share of blocks ordered beyond the measure.
    pub waste: Option<String>,
}

/// A figure with where it comes from.
struct Figure {
    quantity: Quantity,
    words: Option<String>,
    source: String,
}

impl Desk {
    /// Mulch for a bed: its net area on the ellipsoid × depth × (1 + waste).
    ///
    /// # Errors
    /// An unknown yard, bed or material; a depth or waste that cannot be read or makes no sense.
    pub fn mulch_for_bed(&self, yard: &str, bed: &str, typed: &MulchWishes) -> Result<TakeOff, DeskError> {
        let on_desk = self.yard(yard)?;
        let area = area_named(map_of(&on_desk)?, bed)?;
        let material = self.material(typed.material.as_deref().unwrap_or("hardwood-bark-mulch"))?;
        let depth = figure("depth", typed.depth.as_deref(), Kind::Length, None, lore_middle(material.depth.as_ref()), "3 in")?;
        let waste = waste(typed.waste.as_deref(), material)?;
        let net = measured(area_m2(&area.polygon), "ft2")?;
        let ask = Ask::new("depth-fill")
            .with("area", &net.to_string())
            .with("depth", &depth.quantity.to_string())
            .with("waste", &waste.quantity.to_string());
        let answer = reckon(&ask).map_err(DeskError::science)?;
        let Some(Output::Quantity(volume)) = answer.output("volume") else {
            return Err(DeskError::Science("the reckoner gave no volume".to_owned()));
        };
        let (amount, rounded) = to_order(volume);
        let mut working = vec![format!("area of {} on the map, structures and other areas in it taken off: {}", area.name, net.rounded(4))];
        working.extend(answer.working.iter().cloned());
        working.push(rounded);
        Ok(TakeOff {
            yard: on_desk.row.name.clone(),
            place: area.name.clone(),
            what: format!("Mulch {} with {}, {} deep", area.name, material.name, depth.quantity.rounded(3)),
            work: "mulch".to_owned(),
            labour: Labour::of(&self.lore, "spread-mulch", volume).into_iter().collect(),
            lines: vec![TakeOffLine {
                item: material.key.clone(),
                or_items: Vec::new(),
                what: material.name.clone(),
                or_amounts: by_mass(volume, material),
                amount,
            }],
            facts: vec![("area".to_owned(), net.rounded(4)), ("depth".to_owned(), depth.quantity.rounded(3))],
            working,
            sources: sources(answer.sources, &[&depth, &waste]),
            assumed: [depth.words, waste.words].into_iter().flatten().collect(),
            cautions: material.cautions.clone(),
        })
    }

    /// Edging block for an edge of the map: blocks, trench, base and soil to carry away.
    ///
    /// # Errors
    /// An unknown yard or edge; measures that cannot be read or cannot be.
    pub fn edging_for_edge(&self, yard: &str, edge: &str, typed: &EdgingWishes) -> Result<TakeOff, DeskError> {
        let on_desk = self.yard(yard)?;
        let edge = edge_named(map_of(&on_desk)?, edge)?;
        let (block, stone) = (self.material("edging-block")?, self.material("crushed-stone-base")?);
        let chosen = EdgingFigures::read(typed, edge, block, stone)?;
        let measures = chosen.measures(length_m(&edge.line), typed.courses.unwrap_or(1));
        let found = edging(&measures)?;
        let run = measured(measures.length_m, "ft")?;
        let mut working = chosen.working(&measures, &found)?;
        let mut lines = vec![TakeOffLine::pieces(&block.key, &block.name, found.blocks)];
        if found.base_m3 > 0.0 {
            let base = quantity(found.base_m3 * (1.0 + stone_waste(stone)), "yd3")?;
            let (amount, rounded) = to_order(&base);
            working.push(format!("base to order: × (1 + {}) for settling = {}; {rounded}", stone_waste(stone), base.rounded(3)));
            lines.push(TakeOffLine { amount, or_amounts: by_mass(&base, stone), ..TakeOffLine::pieces(&stone.key, &stone.name, 0.0) });
        }
        Ok(TakeOff {
            yard: on_desk.row.name.clone(),
            place: edge.name.clone(),
            what: format!("Lay {} of edging block along {}", run.rounded(3), edge.name),
            work: "edging".to_owned(),
            lines,
            facts: vec![
                ("run".to_owned(), run.rounded(4)),
                ("courses".to_owned(), measures.courses.to_string()),
                ("buried".to_owned(), quantity(found.buried_m, "in")?.rounded(3)),
                ("trench depth".to_owned(), quantity(found.trench_depth_m, "in")?.rounded(3)),
                ("soil dug out, in the bank".to_owned(), quantity(found.dug_m3, "yd3")?.rounded(3)),
            ],
            labour: Labour::of(&self.lore, "lay-edging-block", &run).into_iter().collect(),
            working,
            sources: chosen.sources(),
            assumed: chosen.words(),
            cautions: edging_cautions(block, measures.courses),
        })
    }

    /// The plants of a bed's plan, with the time to plant them.
    ///
    /// # Errors
    /// None today; kept for plans that are priced by pot.
    pub fn plants_for_bed(&self, bed: &BedOnDesk) -> Result<TakeOff, DeskError> {
        let lines = bed
            .plan
            .to_buy
            .iter()
            .map(|line| {
                let kind = bed.plan.kinds.iter().find(|kind| kind.key == line.plant_key).map(|kind| kind.kind);
                let by_kind =
                    crate::beds::PLANT_ITEMS.iter().filter(|(priced, _)| Some(*priced) == kind).map(|(_, item)| (*item).to_owned());
                TakeOffLine {
                    item: line.plant_key.clone(),
                    or_items: by_kind.collect(),
                    what: format!("{} ({})", line.name, line.botanical),
                    amount: Quantity::bare(line.number as f64),
                    or_amounts: Vec::new(),
                }
            })
            .collect();
        let keys: Vec<String> = bed.plan.kinds.iter().map(|kind| kind.key.clone()).collect();
        let labour = crate::beds::work::labour(bed, &self.lore, &keys);
        Ok(TakeOff {
            yard: bed.yard.clone(),
            place: bed.bed.clone(),
            what: format!("Plant {} with {} plants", bed.bed, bed.plan.plants.len()),
            work: "plants".to_owned(),
            lines,
            facts: vec![("area".to_owned(), crate::yards::square_feet(bed.area_m2))],
            cautions: {
                let mut all: Vec<String> = labour.iter().flat_map(|l| l.cautions.clone()).collect();
                all.dedup();
                all
            },
            labour,
            working: bed.plan.working.clone(),
            assumed: bed
                .plan
                .kinds
                .iter()
                .filter(|kind| kind.kind == groundlore_lore::plant::PlantKind::Bulb)
                .map(|kind| {
                    format!("time for {}: taken as for a 1-gal pot, since lore has no norm for bulbs; it is an upper figure", kind.name)
                })
                .collect(),
            sources: vec!["planting plan, counted plant by plant".to_owned()],
        })
    }

    /// Plans the work of a take-off as a task.
    ///
    /// # Errors
    /// An unknown yard.
    pub fn plan_take_off(&mut self, take_off: &TakeOff) -> Result<(), DeskError> {
        let yard = self.book.yard_named(&take_off.yard)?;
        let (today, after) = (self.today, |days: i64| self.today.saturating_add(days.days()));
        let why = "not bound to a season; the dates are the firm's own pace (common practice)";
        let mut reasons: Vec<Reason> =
            take_off.facts.iter().map(|(what, figure)| Reason::new(what.clone(), figure.clone(), "measured on the map")).collect();
        reasons.extend(take_off.labour.iter().map(|l| Reason::new("time", l.working.clone(), l.source.clone())));
        let task = Task {
            key: format!("{}/{}/{}", crate::yards::slug(&yard.name), take_off.work, crate::yards::slug(&take_off.place)),
            yard: yard.name.clone(),
            what: take_off.what.clone(),
            place: Some(take_off.place.clone()),
            window: Window::fixed(today, after(7), after(28), why),
            reasons,
            takes: Takes {
                minutes: total_minutes(take_off),
                materials: take_off.lines.iter().map(|l| (l.what.clone(), l.amount.clone())).collect(),
                ..Takes::default()
            },
            forbids: vec!["ground that is frozen, or so wet that it smears".to_owned()],
            cautions: take_off.cautions.clone(),
        };
        self.plan_tasks(yard.id, &[task])?;
        Ok(())
    }

    /// A take-off as a sheet: what to order, time, working, cautions.
    ///
    /// # Errors
    /// None today; kept for sheets that read the book.
    pub fn take_off_sheet(&self, take_off: &TakeOff) -> Result<Sheet, DeskError> {
        let mut sheet = self.sheet("take-off", take_off.what.clone()).subtitle(take_off.yard.clone());
        sheet.push(Block::Facts { facts: take_off.facts.clone() });
        let rows = take_off.lines.iter().map(|line| {
            let or: Vec<String> = line.or_amounts.iter().map(|q| q.rounded(2)).collect();
            vec![
                line.what.clone(),
                line.amount.rounded(4),
                if or.is_empty() { String::new() } else { format!("about {}", or.join(" to ")) },
            ]
        });
        sheet.push(Block::table("To order", &["what", "amount#", "by weight"], rows.collect()));
        sheet.push(Block::list(take_off.labour.iter().map(|l| format!("{} [{}]. {}", l.working, l.source, l.includes)).collect()));
        if !take_off.assumed.is_empty() {
            sheet.push(Block::heading("Taken for what was left blank"));
            sheet.push(Block::list(take_off.assumed.clone()));
        }
        sheet.push(Block::Working { title: "Working".to_owned(), lines: take_off.working.clone() });
        sheet.push(Block::Sources { sources: self.citations(&take_off.sources) });
        sheet.push(Block::Cautions { cautions: take_off.cautions.clone() });
        Ok(sheet)
    }

    /// Sources as a reader can look them up, without repeats.
    fn citations(&self, sources: &[String]) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        for source in sources {
            let keys: Vec<&str> = source.split(", ").collect();
            let known = keys.iter().any(|key| self.lore.sources.contains_key(*key));
            let cited = if known { keys } else { vec![source.as_str()] };
            for key in cited {
                let words = self.lore.sources.get(key).map_or_else(|| key.to_owned(), |entry| entry.citation.clone());
                if !all.contains(&words) {
                    all.push(words);
                }
            }
        }
        all
    }

    fn material(&self, key: &str) -> Result<&Material, DeskError> {
        let wanted = crate::yards::slug(key);
        let all = || self.lore.materials.keys().cloned().collect::<Vec<_>>().join(", ");
        self.lore.materials.get(&wanted).ok_or_else(|| refused("material", key, "is not in lore", &format!("use one of {}", all())))
    }
}

/// Person-minutes over all the work of a take-off.
pub(crate) fn total_minutes(take_off: &TakeOff) -> Option<(f64, f64)> {
    take_off.labour.iter().map(|l| l.minutes).reduce(|a, b| (a.0 + b.0, a.1 + b.1))
}

fn edge_named<'a>(map: &'a Yard, edge: &str) -> Result<&'a Edge, DeskError> {
    let wanted = edge.trim();
    let names = || map.edges.iter().map(|e| format!("`{}`", e.name)).collect::<Vec<_>>().join(", ");
    map.edges.iter().find(|e| e.id.eq_ignore_ascii_case(wanted) || e.name.eq_ignore_ascii_case(wanted)).ok_or_else(|| {
        let remedy = if map.edges.is_empty() {
            "the map has no edges: draw one of kind `edge`".to_owned()
        } else {
            format!("the edges are {}", names())
        };
        refused("edge", edge, "is not on the map", &remedy)
    })
}

fn number(value: f64) -> String {
    groundlore_quantity::number::significant(value, 4)
}

/// As [`quantity`], to a hundredth: finer than any map is drawn.
fn measured(si: f64, unit: &str) -> Result<Quantity, DeskError> {
    let exact = quantity(si, unit)?;
    Ok(Quantity { value: (exact.value * 100.0).round() / 100.0, unit: exact.unit })
}

fn quantity(si: f64, unit: &str) -> Result<Quantity, DeskError> {
    Quantity::from_si(si, unit).map_err(|source| DeskError::Quantity { what: unit.to_owned(), source })
}

/// An amount rounded up once to a tenth of its unit, and how.
fn to_order(exact: &Quantity) -> (Quantity, String) {
    let tenths = exact.value * ORDER_STEPS;
    let whole = if (tenths - tenths.round()).abs() < 1e-6 { tenths.round() } else { tenths.ceil() };
    let order = Quantity { value: whole / ORDER_STEPS, unit: exact.unit.clone() };
    let words = format!("rounded up once to a tenth: {} to order ({COMMON_PRACTICE})", order.rounded(4));
    (order, words)
}

/// The mass of a volume, low and high, by the material's loose density.
fn by_mass(volume: &Quantity, material: &Material) -> Vec<Quantity> {
    let tons = |density: &Quantity| Quantity::from_si(volume.si() * density.si(), "ton").ok();
    material.density.as_ref().map_or_else(Vec::new, |range| [tons(&range.low), tons(&range.high)].into_iter().flatten().collect())
}

fn lore_middle(range: Option<&groundlore_lore::provenance::QuantityRange>) -> Option<(Quantity, String, String)> {
    let range = range?;
    let high = range.high.to(&range.low.unit.to_string()).ok()?;
    let middle = Quantity { value: f64::midpoint(range.low.value, high.value), unit: high.unit };
    let words = if range.low == range.high { "lore's figure".to_owned() } else { format!("middle of {} to {}", range.low, range.high) };
    Some((middle, words, range.source.to_string()))
}

/// A figure as typed, else the map's, else lore's, else what is common practice.
fn figure(
    what: &str,
    typed: Option<&str>,
    kind: Kind,
    map: Option<&Quantity>,
    lore: Option<(Quantity, String, String)>,
    practice: &str,
) -> Result<Figure, DeskError> {
    let read = |text: &str| Quantity::parse_as(text, kind).map_err(|source| DeskError::Quantity { what: what.to_owned(), source });
    if let Some(text) = typed.map(str::trim).filter(|text| !text.is_empty()) {
        return Ok(Figure { quantity: read(text)?, words: None, source: "as told".to_owned() });
    }
    if let Some(quantity) = map {
        return Ok(Figure {
            quantity: quantity.clone(),
            words: Some(format!("{what}: {quantity}, as the map has it")),
            source: "the yard's map".to_owned(),
        });
    }
    Ok(match lore {
        Some((quantity, words, source)) => {
            Figure { words: Some(format!("{what}: {}, {words} [{source}]", quantity.rounded(3))), quantity, source }
        }
        None => Figure {
            quantity: read(practice)?,
            words: Some(format!("{what}: {practice} [{COMMON_PRACTICE}]")),
            source: COMMON_PRACTICE.to_owned(),
        },
    })
}

fn waste(typed: Option<&str>, material: &Material) -> Result<Figure, DeskError> {
    let lore = material.waste.as_ref().map(|share| {
        let middle = (f64::midpoint(share.low, share.high) * 1e6).round() / 1e6;
        (Quantity::bare(middle), format!("middle of {} to {}", share.low, share.high), share.source.to_string())
    });
    figure("waste and settling", typed, Kind::Share, None, lore, "0")
}

/// Cautions of digging, lifting and cutting; of walls where courses stand on one another.
fn edging_cautions(block: &Material, courses: u32) -> Vec<String> {
    let mut all = cautions(&[Hazard::Digging, Hazard::Lifting, Hazard::SilicaDust]);
    all.extend(block.cautions.iter().filter(|line| line.contains("trunk")).cloned());
    all.extend((courses > 1).then(|| Hazard::Walls.caution().to_owned()));
    all
}

fn stone_waste(stone: &Material) -> f64 {
    stone.waste.as_ref().map_or(0.0, |share| f64::midpoint(share.low, share.high))
}

fn sources(reckoned: &[&str], figures: &[&Figure]) -> Vec<String> {
    let mut all: Vec<String> = reckoned.iter().map(|s| (*s).to_owned()).collect();
    for figure in figures {
        if !all.contains(&figure.source) {
            all.push(figure.source.clone());
        }
    }
    all
}

/// Every figure of a run of edging.
struct EdgingFigures {
    block_length: Figure,
    block_height: Figure,
    show: Figure,
    base_depth: Figure,
    trench_width: Figure,
    waste: Figure,
}

impl EdgingFigures {
    fn read(typed: &EdgingWishes, edge: &Edge, block: &Material, stone: &Material) -> Result<Self, DeskError> {
        let piece = |place: usize| lore_middle(block.piece.get(place));
        let length = Kind::Length;
        Ok(Self {
            block_length: figure("block length", typed.block_length.as_deref(), length, edge.block_length.as_ref(), piece(0), "12 in")?,
            block_height: figure("block height", typed.block_height.as_deref(), length, edge.block_height.as_ref(), piece(1), "4 in")?,
            // What stands proud now is no wish: new edging shows an inch.
            show: figure("height above grade", typed.show.as_deref(), length, None, None, "1 in")?,
            base_depth: figure(
                "base depth",
                typed.base_depth.as_deref(),
                length,
                None,
                stone
                    .depth
                    .as_ref()
                    .map(|d| (d.low.clone(), format!("the lower end of {} to {}, for edging", d.low, d.high), d.source.to_string())),
                "4 in",
            )?,
            trench_width: figure("trench width", typed.trench_width.as_deref(), length, None, None, "12 in")?,
            waste: waste(typed.waste.as_deref(), block)?,
        })
    }

    fn all(&self) -> [&Figure; 6] {
        [&self.block_length, &self.block_height, &self.show, &self.base_depth, &self.trench_width, &self.waste]
    }

    fn measures(&self, length_m: f64, courses: u32) -> EdgingMeasures {
        EdgingMeasures {
            length_m,
            block_length_m: self.block_length.quantity.si(),
            block_height_m: self.block_height.quantity.si(),
            show_m: self.show.quantity.si(),
            courses,
            base_depth_m: self.base_depth.quantity.si(),
            trench_width_m: self.trench_width.quantity.si(),
            waste: self.waste.quantity.si(),
        }
    }

    /// The reckoner's own working for one course; the same written out for more.
    fn working(&self, m: &EdgingMeasures, found: &EdgingTakeOff) -> Result<Vec<String>, DeskError> {
        let run = measured(m.length_m, "ft")?;
        if m.courses == 1 {
            let ask = Ask::new("edging-block")
                .with("length", &run.to_string())
                .with("block-length", &self.block_length.quantity.to_string())
                .with("block-height", &self.block_height.quantity.to_string())
                .with("show", &self.show.quantity.to_string())
                .with("base-depth", &self.base_depth.quantity.to_string())
                .with("trench-width", &self.trench_width.quantity.to_string())
                .with("waste", &self.waste.quantity.to_string());
            return Ok(reckon(&ask).map_err(DeskError::science)?.working);
        }
        let inches = |m: f64| quantity(m, "in").map(|q| q.rounded(4));
        Ok(vec![
            format!(
                "{} ÷ {} × {} courses × (1 + {}), rounded up once: {} blocks",
                run.rounded(5),
                self.block_length.quantity,
                m.courses,
                m.waste,
                found.blocks
            ),
            format!("buried: {} × {} − {} = {}", m.courses, self.block_height.quantity, self.show.quantity, inches(found.buried_m)?),
            format!("trench: {} + base {} = {}", inches(found.buried_m)?, self.base_depth.quantity, inches(found.trench_depth_m)?),
            format!(
                "base: {} × {} × {} = {}, compacted",
                run.rounded(5),
                self.trench_width.quantity,
                self.base_depth.quantity,
                quantity(found.base_m3, "yd3")?.rounded(5)
            ),
        ])
    }

    fn words(&self) -> Vec<String> {
        self.all().into_iter().filter_map(|figure| figure.words.clone()).collect()
    }

    fn sources(&self) -> Vec<String> {
        sources(&["geometry", "the edge measured on the yard's map"], &self.all())
    }
}
