//! Yards: bringing a map in, measuring it, and finding what is built or planted wrongly.

use crate::{Desk, DeskError};
use groundlore_book::yards::{self as rows, MapVersion, YardMap};
use groundlore_sheet::{Block, Sheet};
use groundlore_site::faults::{self, Fault, NotChecked, PlantSize};
use groundlore_site::measure::{area_m2, distance_to_line_m, distance_to_polygon_m, length_m, perimeter_m};
use groundlore_site::read::{MapReading, read_map};
use groundlore_site::yard::{Area, Shape, Yard};
use groundlore_work::task::{Reason, Takes, Task, Window};
use jiff::ToSpan as _;
use serde_json::{Value as Json, json};
use std::collections::BTreeMap;

/// What is known of a yard beside its map, as the user states it on import; a blank stays unknown.
#[derive(Debug, Clone, Default)]
pub struct YardFacts {
    /// Name; the map's own where left out.
    pub name: Option<String>,
    /// Owner.
    pub owner: Option<String>,
    /// Address.
    pub address: Option<String>,
    /// Weather station.
    pub station: Option<String>,
    /// IANA time zone.
    pub time_zone: Option<String>,
    /// Do children play there?
    pub children: Option<bool>,
    /// Are there pets?
    pub pets: Option<bool>,
    /// Days that the owner forbids work.
    pub forbidden_days: Option<Vec<String>>,
}

/// A yard of the book with its map read.
#[derive(Debug, Clone)]
pub struct YardOnDesk {
    /// The book's row.
    pub row: rows::Yard,
    /// The map; none where none was imported.
    pub map: Option<Yard>,
}

/// What an import did.
#[derive(Debug, Clone)]
pub struct Imported {
    /// Number of the yard in the book.
    pub yard_id: i64,
    /// Name.
    pub name: String,
    /// The map as read.
    pub reading: MapReading,
    /// What is wrong in the yard.
    pub faults: Vec<Fault>,
    /// What could not be judged.
    pub not_checked: Vec<NotChecked>,
}

impl Desk {
    /// Reads a map, writes yard, owner and map into the book in one transaction, and plans a task for each fault found.
    ///
    /// # Errors
    /// Every fault of the file, by feature; with `skip_bad` only what spoils it whole. Nothing is half-written.
    pub fn import_yard(&mut self, text: &str, file_name: &str, facts: &YardFacts, skip_bad: bool) -> Result<Imported, DeskError> {
        for day in facts.forbidden_days.iter().flatten() {
            let weekdays = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
            if !weekdays.contains(&day.to_lowercase().as_str()) && day.parse::<jiff::civil::Date>().is_err() {
                let remedy = "write a weekday such as `Sunday`, or a date such as `2015-08-29`".to_owned();
                return Err(DeskError::Refused {
                    what: "day that the owner forbids".to_owned(),
                    value: day.clone(),
                    why: "is neither a weekday nor a date".to_owned(),
                    remedy,
                });
            }
        }
        let reading = read_map(text, file_name, skip_bad).map_err(|e| DeskError::Map(e.to_string()))?;
        let name = facts.name.clone().unwrap_or_else(|| reading.yard.name.clone());
        let raw: Json = serde_json::from_str(text).map_err(|e| DeskError::Map(format!("{file_name}: {e}")))?;
        let map = book_map(&reading.yard, &raw, text, file_name, self.now);
        let centre = reading.yard.centre();
        let before = self.book.yards()?.into_iter().find(|yard| yard.name.eq_ignore_ascii_case(&name));
        let yard_id = self.book.write(|tx| {
            let owner_id = match &facts.owner {
                Some(owner) => match tx.owners()?.into_iter().find(|row| row.name.eq_ignore_ascii_case(owner)) {
                    Some(row) => Some(row.id),
                    None => Some(tx.add(&groundlore_book::firm::Owner { name: owner.clone(), ..Default::default() })?),
                },
                None => before.as_ref().and_then(|yard| yard.owner_id),
            };
            let old = before.clone().unwrap_or_default();
            let row = rows::Yard {
                id: old.id,
                owner_id,
                name: name.clone(),
                address: facts.address.clone().or(old.address),
                latitude: centre.map(|c| c.y()).or(old.latitude),
                longitude: centre.map(|c| c.x()).or(old.longitude),
                station: facts.station.clone().or(old.station),
                time_zone: facts.time_zone.clone().or(old.time_zone),
                children: facts.children.or(old.children),
                pets: facts.pets.or(old.pets),
                forbidden_days: facts.forbidden_days.clone().or(old.forbidden_days),
                note: old.note,
            };
            let yard_id = if row.id == 0 {
                tx.add(&row)?
            } else {
                tx.change(&row)?;
                row.id
            };
            tx.add_map(yard_id, &map)?;
            Ok(yard_id)
        })?;
        let lookup = |plant: &str| self.plant_size(plant);
        let (found, not_checked) = (faults::find(&reading.yard, &lookup), faults::not_checked(&reading.yard, &lookup));
        let tasks = self.fault_tasks(&name, &found);
        self.plan_tasks(yard_id, &tasks)?;
        Ok(Imported { yard_id, name, reading, faults: found, not_checked })
    }

    /// A yard of the book, with its newest map read.
    ///
    /// # Errors
    /// A name that the book has not (the error lists those it has); a stored map that no longer reads.
    pub fn yard(&self, name: &str) -> Result<YardOnDesk, DeskError> {
        let row = self.book.yard_named(name)?;
        self.yard_of(row)
    }

    /// As [`Desk::yard`], from the book's row.
    ///
    /// # Errors
    /// A stored map that no longer reads.
    pub fn yard_of(&self, row: rows::Yard) -> Result<YardOnDesk, DeskError> {
        let map = match self.book.map_of(row.id)? {
            Some(map) => {
                let file = map.version.file_name.as_deref().unwrap_or("stored map");
                Some(read_map(&map.version.geojson, file, true).map_err(|e| DeskError::Map(e.to_string()))?.yard)
            }
            None => None,
        };
        Ok(YardOnDesk { row, map })
    }

    /// Size of a plant when grown, by lore key, botanical or common name.
    pub fn plant_size(&self, plant: &str) -> Option<PlantSize> {
        let wanted = plant.trim();
        let found = self.lore.plants.get(wanted).or_else(|| {
            self.lore.plants.values().find(|p| p.name.eq_ignore_ascii_case(wanted) || p.botanical.eq_ignore_ascii_case(wanted))
        })?;
        Some(PlantSize {
            spread_m: (found.spread.low.si(), found.spread.high.si()),
            spacing_m: Some(found.spacing.low.si()),
            height_m: Some((found.height.low.si(), found.height.high.si())),
        })
    }

    fn fault_tasks(&self, yard: &str, found: &[Fault]) -> Vec<Task> {
        let today = self.today;
        let after = |days: i64| today.checked_add(days.days()).unwrap_or(today);
        found
            .iter()
            .map(|fault| {
                let why = "not bound to a season; the dates are the firm's own pace (common practice)";
                let mut takes = Takes::default();
                if let Some(amount) = &fault.amount {
                    takes.materials.push((fault.amount_of.clone(), amount.clone()));
                }
                Task {
                    key: format!("{}/fault/{}/{}", slug(yard), slug(&format!("{:?}", fault.kind)), slug(&fault.feature_id)),
                    yard: yard.to_owned(),
                    what: fault.what_to_do.clone(),
                    place: Some(fault.feature_name.clone()),
                    window: Window::fixed(today, after(7), after(28), why),
                    reasons: vec![
                        Reason::new(
                            fault.what.clone(),
                            fault.amount.as_ref().map_or_else(|| "not measured".to_owned(), |q| q.rounded(3)),
                            fault.source.to_string(),
                        ),
                        Reason { text: fault.why_it_matters.clone(), figure: None, source: String::new() },
                    ],
                    takes,
                    forbids: Vec::new(),
                    cautions: fault.cautions.clone(),
                }
            })
            .collect()
    }

    /// A yard as a sheet: its measures, its faults, and what could not be judged.
    ///
    /// # Errors
    /// A name that the book has not.
    pub fn yard_sheet(&self, name: &str) -> Result<Sheet, DeskError> {
        let yard = self.yard(name)?;
        let mut sheet = self.sheet("yard", yard.row.name.clone());
        sheet.subtitle = yard.row.address.clone();
        sheet.push(Block::Facts { facts: self.yard_facts(&yard)? });
        sheet.blocks.extend(self.task_table(&yard.row.name)?);
        let Some(map) = &yard.map else {
            sheet.push(Block::paragraph("No map yet: `groundlore yard import FILE` brings one in."));
            return Ok(sheet);
        };
        sheet.push(self.map_figure(&yard.row.name, map));
        sheet.push(areas_table(map));
        if !map.edges.is_empty() {
            let rows = map.edges.iter().map(|e| {
                let edging = e.edging.map_or("not recorded", |kind| kind.word());
                let show = e.show.as_ref().map_or_else(|| "not measured".to_owned(), ToString::to_string);
                vec![e.name.clone(), edging.to_owned(), show, feet(length_m(&e.line))]
            });
            sheet.push(Block::table("Edges", &["edge", "edging", "stands above grade", "length#"], rows.collect()));
        }
        let lookup = |plant: &str| self.plant_size(plant);
        let found = faults::find(map, &lookup);
        sheet.push(Block::heading(if found.is_empty() {
            "Nothing found that is built or planted wrongly"
        } else {
            "Built or planted wrongly"
        }));
        for fault in &found {
            let amount = fault.amount.as_ref().map_or_else(|| "not measured".to_owned(), |q| q.rounded(3));
            sheet.push(Block::Verdict {
                text: fault.what.clone(),
                why: format!("{} {}", fault.why_it_matters, fault.what_to_do),
                tone: groundlore_sheet::Tone::Act,
            });
            sheet.push(Block::Facts { facts: vec![(fault.amount_of.clone(), amount), ("source".to_owned(), fault.source.to_string())] });
            if !fault.cautions.is_empty() {
                sheet.push(Block::Cautions { cautions: fault.cautions.clone() });
            }
        }
        let open = faults::not_checked(map, &lookup);
        if !open.is_empty() {
            sheet.push(Block::heading("Not checked, for want of a measure"));
            sheet.push(Block::list(open.iter().map(|n| format!("{}: {} — {}", n.feature_name, n.what, n.measure)).collect()));
        }
        Ok(sheet)
    }

    fn yard_facts(&self, yard: &YardOnDesk) -> Result<Vec<(String, String)>, DeskError> {
        let owners = self.book.owners()?;
        let owner = yard.row.owner_id.and_then(|id| owners.iter().find(|o| o.id == id)).map(|o| o.name.clone());
        let told = |value: Option<bool>| value.map_or("not asked", |v| if v { "yes" } else { "no" }).to_owned();
        let text = |value: &Option<String>| value.clone().unwrap_or_else(|| "not recorded".to_owned());
        let mut facts = vec![
            ("owner".to_owned(), owner.unwrap_or_else(|| "not recorded".to_owned())),
            ("weather station".to_owned(), text(&yard.row.station)),
            ("forecast".to_owned(), self.forecast_words(&yard.row)?),
            ("children".to_owned(), told(yard.row.children)),
            ("pets".to_owned(), told(yard.row.pets)),
            (
                "days the owner forbids".to_owned(),
                yard.row
                    .forbidden_days
                    .as_ref()
                    .map_or_else(|| "not asked".to_owned(), |d| if d.is_empty() { "none".to_owned() } else { d.join(", ") }),
            ),
            (
                "nearest water or well on the map".to_owned(),
                yard.map.as_ref().and_then(nearest_water_words).unwrap_or_else(|| "none drawn".to_owned()),
            ),
        ];
        facts.splice(2..2, self.weather_facts(yard));
        Ok(facts)
    }

    /// A yard's map as JSON facts, with what its weather is made of.
    ///
    /// # Errors
    /// Where a station that the yard names has no record.
    pub fn yard_json(&self, yard: &YardOnDesk) -> Result<Json, DeskError> {
        let mut facts = map_json(yard);
        facts["weather"] = match self.yard_weather(&yard.row) {
            Ok(weather) => json!(weather.map(|weather| weather.note.clone())),
            Err(error) => json!({"error": error.to_string()}),
        };
        Ok(facts)
    }
}

fn areas_table(map: &Yard) -> Block {
    let mut totals: BTreeMap<&str, f64> = BTreeMap::new();
    let rows = map
        .areas
        .iter()
        .map(|a| {
            let area = area_m2(&a.polygon);
            *totals.entry(a.kind.word()).or_default() += area;
            let shade = a.shade.map_or("not recorded", |s| s.word());
            vec![a.name.clone(), a.kind.word().to_owned(), shade.to_owned(), square_feet(area), feet(perimeter_m(&a.polygon))]
        })
        .collect();
    let Block::Table(mut table) = Block::table("Areas, measured on the ellipsoid", &["name", "kind", "light", "area#", "edge#"], rows)
    else {
        return Block::PageBreak;
    };
    let sums: Vec<String> = totals.iter().map(|(kind, m2)| format!("{kind} {}", square_feet(*m2))).collect();
    table.caption = format!("{} ({})", table.caption, sums.join(", "));
    Block::Table(table)
}

/// Square feet, printed.
pub(crate) fn square_feet(m2: f64) -> String {
    format!("{} ft²", groundlore_quantity::number::significant(m2 / 0.092_903_04, 4))
}

/// Feet, printed.
pub(crate) fn feet(m: f64) -> String {
    format!("{} ft", groundlore_quantity::number::significant(m / 0.3048, 3))
}

/// Distance from an area to the nearest water, well or drain of the map, m; none where none is drawn.
pub fn distance_to_water_m(map: &Yard, area: &Area) -> Option<(f64, String)> {
    let mut nearest: Option<(f64, String)> = None;
    let mut offer = |distance: f64, name: &str| {
        if nearest.as_ref().is_none_or(|(best, _)| distance < *best) {
            nearest = Some((distance, name.to_owned()));
        }
    };
    for feature in &map.water {
        let distance = match &feature.shape {
            Shape::Point(place) => distance_to_polygon_m(*place, &area.polygon),
            Shape::Line(line) => area.polygon.exterior().points().map(|p| distance_to_line_m(p, line)).fold(f64::INFINITY, f64::min),
            Shape::Polygon(polygon) => {
                area.polygon.exterior().points().map(|p| distance_to_polygon_m(p, polygon)).fold(f64::INFINITY, f64::min)
            }
        };
        offer(distance, &feature.name);
    }
    for other in map.areas_of(groundlore_site::yard::AreaKind::Water).filter(|other| other.id != area.id) {
        let distance = area.polygon.exterior().points().map(|p| distance_to_polygon_m(p, &other.polygon)).fold(f64::INFINITY, f64::min);
        offer(distance, &other.name);
    }
    nearest
}

fn nearest_water_words(map: &Yard) -> Option<String> {
    let nearest = map
        .areas
        .iter()
        .filter(|area| area.kind == groundlore_site::yard::AreaKind::Lawn)
        .filter_map(|area| distance_to_water_m(map, area).map(|(d, name)| (d, name, &area.name)))
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(format!("{} from {} to {}", feet(nearest.0), nearest.2, nearest.1))
}

/// A key's part: lower case, words joined by hyphens.
pub(crate) fn slug(text: &str) -> String {
    let mut out = String::new();
    for (place, c) in text.chars().enumerate() {
        if c.is_alphanumeric() {
            if c.is_uppercase() && place > 0 && !out.ends_with('-') && text.chars().nth(place - 1).is_some_and(char::is_lowercase) {
                out.push('-');
            }
            out.extend(c.to_lowercase());
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
    }
    out.trim_end_matches('-').to_owned()
}

/// The rows of a map, with the geometry and properties of each feature as they stand in the file.
fn book_map(yard: &Yard, raw: &Json, text: &str, file_name: &str, now: jiff::Timestamp) -> YardMap {
    let features = features_by_id(raw);
    let of = |id: &str, part: &str| features.get(id).map_or(Json::Null, |feature| feature[part].clone());
    let properties = |id: &str| Some(of(id, "properties")).filter(|value| !value.is_null());
    let si = |q: &Option<groundlore_quantity::Quantity>| q.as_ref().map(groundlore_quantity::Quantity::si);
    YardMap {
        version: MapVersion { id: 0, yard_id: 0, imported_at: now, file_name: Some(file_name.to_owned()), geojson: text.to_owned() },
        areas: yard
            .areas
            .iter()
            .map(|a| rows::Area {
                feature: a.id.clone(),
                name: Some(a.name.clone()),
                kind: a.kind.word().to_owned(),
                area_m2: area_m2(&a.polygon),
                perimeter_m: Some(perimeter_m(&a.polygon)),
                geometry: of(&a.id, "geometry"),
                properties: properties(&a.id),
                ..rows::Area::default()
            })
            .collect(),
        edges: yard
            .edges
            .iter()
            .map(|e| rows::Edge {
                feature: e.id.clone(),
                name: Some(e.name.clone()),
                kind: e.edging.map_or("edge", |k| k.word()).to_owned(),
                length_m: length_m(&e.line),
                geometry: of(&e.id, "geometry"),
                properties: properties(&e.id),
                ..rows::Edge::default()
            })
            .collect(),
        trees: yard
            .trees
            .iter()
            .map(|t| rows::Tree {
                feature: t.id.clone(),
                name: Some(t.name.clone()),
                species: t.species.clone(),
                trunk_diameter_m: si(&t.trunk_diameter),
                crown_diameter_m: si(&t.crown_diameter),
                height_m: si(&t.height),
                latitude: Some(t.point.y()),
                longitude: Some(t.point.x()),
                properties: properties(&t.id),
                ..rows::Tree::default()
            })
            .collect(),
        structures: yard
            .structures
            .iter()
            .map(|s| rows::Structure {
                feature: s.id.clone(),
                name: Some(s.name.clone()),
                kind: s.kind.word().to_owned(),
                height_m: si(&s.height),
                area_m2: if let Shape::Polygon(polygon) = &s.shape { Some(area_m2(polygon)) } else { None },
                geometry: of(&s.id, "geometry"),
                properties: properties(&s.id),
                ..rows::Structure::default()
            })
            .collect(),
        plants: yard
            .plants
            .iter()
            .map(|p| rows::BedPlant {
                feature: p.id.clone(),
                plant: p.plant.clone(),
                quantity: p.count,
                spread_m: si(&p.spread),
                latitude: Some(p.point.y()),
                longitude: Some(p.point.x()),
                properties: properties(&p.id),
                ..rows::BedPlant::default()
            })
            .collect(),
        patches: yard
            .patches
            .iter()
            .map(|p| rows::Patch {
                feature: p.id.clone(),
                name: Some(p.name.clone()),
                area_m2: area_m2(&p.polygon),
                geometry: of(&p.id, "geometry"),
                properties: properties(&p.id),
                ..rows::Patch::default()
            })
            .collect(),
    }
}

fn features_by_id(raw: &Json) -> BTreeMap<String, &Json> {
    let text = |value: &Json| match value {
        Json::String(s) => Some(s.clone()),
        Json::Number(n) => Some(n.to_string()),
        _ => None,
    };
    raw["features"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|feature| {
            let id = text(&feature["id"]).or_else(|| text(&feature["properties"]["id"]))?;
            Some((id, feature))
        })
        .collect()
}

/// A yard's map as JSON facts for the API.
pub fn map_json(yard: &YardOnDesk) -> Json {
    let areas: Vec<Json> = yard
        .map
        .iter()
        .flat_map(|map| {
            map.areas.iter().map(move |a| json!({"id": a.id, "name": a.name, "kind": a.kind.word(), "area_m2": area_m2(&a.polygon)}))
        })
        .collect();
    json!({"name": yard.row.name, "latitude": yard.row.latitude, "longitude": yard.row.longitude, "station": yard.row.station, "areas": areas})
}
