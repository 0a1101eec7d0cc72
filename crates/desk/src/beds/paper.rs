//! A bed's plan as a sheet: drawings, counts, checks, windows, setting out, care.

use super::BedOnDesk;
use super::ground::direction_words;
use super::when::PlantingDays;
use crate::{Desk, DeskError};
use groundlore_book::tasks::TaskState;
use groundlore_figure::bed_plan::{BedDrawing, PlanPlant, draw_elevation, draw_plan_towards, letter};
use groundlore_figure::bloom_chart::{self, BloomRow};
use groundlore_planting::bed::Outcome;
use groundlore_planting::calendar::month_name;
use groundlore_planting::choose::Chosen;
use groundlore_planting::outline::Front;
use groundlore_planting::season::{Stock, Timing};
use groundlore_quantity::number::significant;
use groundlore_sheet::{Block, Check, CheckState, KeyFigure, Sheet};

const WIDTH: f64 = 720.0;

impl Desk {
    /// The planting plan as a sheet.
    ///
    /// # Errors
    /// None today; kept for sheets that read the book.
    pub fn bed_sheet(&self, bed: &BedOnDesk) -> Result<Sheet, DeskError> {
        let mut sheet =
            self.sheet("planting-plan", format!("Planting plan: {}", bed.bed)).subtitle(format!("{}, made {}", bed.yard, bed.made_on));
        sheet.push(key_figures(bed));
        for figure in figures(bed) {
            sheet.push(figure);
        }
        sheet.push(count_table(bed));
        sheet.push(bloom_figure(bed));
        sheet.push(Block::heading("What was asked, and how it came out"));
        sheet.push(Block::Checks { checks: checks(bed) });
        if !bed.assumed.is_empty() {
            sheet.push(Block::heading("Taken for what was left blank"));
            sheet.push(Block::list(bed.assumed.clone()));
        }
        sheet.push(Block::heading("When to plant"));
        bed.windows.iter().flat_map(|days| window_blocks(bed, days)).for_each(|block| sheet.push(block));
        if bed.windows.is_empty() {
            sheet.push(Block::paragraph("Not checked: the yard has no weather station to give odds of heat and frost."));
        }
        sheet.push(Block::heading("Setting out"));
        sheet.push(setting_out(bed));
        sheet.push(Block::heading("At the nursery gate"));
        sheet.push(Block::paragraph("Look at each lot before it is loaded. A check not done is not checked; it is never a pass."));
        sheet.push(gate_checks(bed));
        sheet.push(Block::heading("Tasks through the first year"));
        bed.tasks.iter().for_each(|task| sheet.push(Block::Task(crate::tasks::card(task, TaskState::ToDo, self.today))));
        if let Some(year) = &bed.care {
            let lines = year.not_needed.iter().map(|n| format!("{}: {} [{}]", n.what, n.why, n.source)).collect();
            sheet.push(Block::heading("Not needed"));
            sheet.push(Block::list(lines));
        }
        if !bed.not_checked.is_empty() {
            sheet.push(Block::heading("Not checked"));
            sheet.push(Block::list(bed.not_checked.clone()));
        }
        sheet.push(Block::Working { title: "How the kinds were chosen and placed".to_owned(), lines: working(bed) });
        sheet.foot.push("Heights, spreads and months of bloom are ranges from lore; soil, weather and care move them.".to_owned());
        Ok(sheet)
    }
}

fn feet(m: f64) -> String {
    significant(m / 0.3048, 2)
}

fn inches(m: f64) -> String {
    significant(m / 0.0254, 2)
}

fn key_figures(bed: &BedOnDesk) -> Block {
    let figure = |value: String, label: &str, note: String| KeyFigure { value, label: label.to_owned(), note };
    let best = bed.planted_on.map_or_else(|| "not checked".to_owned(), |day| day.strftime("%-d %b %Y").to_string());
    Block::KeyFigures {
        figures: vec![
            figure(bed.plan.plants.len().to_string(), "plants", format!("of {} kinds", bed.plan.kinds.len())),
            figure(
                crate::yards::square_feet(bed.area_m2),
                "bed",
                format!("on the ellipsoid; up to {} ft deep", feet(bed.plan.size.depth_m)),
            ),
            figure(best, "best day to plant", "see the odds below".to_owned()),
        ],
    }
}

fn drawing(bed: &BedOnDesk) -> BedDrawing {
    let kind_of = |key: &str| bed.plan.kinds.iter().position(|kind| kind.key == key).unwrap_or(0);
    let plants = bed
        .plan
        .plants
        .iter()
        .zip(&bed.places_m)
        .map(|(plant, at)| PlanPlant { at: *at, spread_m: plant.spread_m, height_m: plant.height_m, kind: kind_of(&plant.plant_key) })
        .collect();
    BedDrawing {
        title: format!("{}, planting plan", bed.bed),
        outline: bed.outline_m.clone(),
        plants,
        kinds: bed.plan.kinds.iter().map(|kind| kind.name.clone()).collect(),
    }
}

fn figures(bed: &BedOnDesk) -> [Block; 2] {
    let drawing = drawing(bed);
    let island = bed.plan.front == Front::AllRound;
    let below = if island { direction_words(bed.facing_deg) } else { "front" };
    let counts: Vec<String> = bed.plan.kinds.iter().map(|kind| format!("{} {}", count(bed, kind), kind.name)).collect();
    let order: Vec<String> =
        bed.plan.height_order.kinds.iter().map(|(key, height, _)| format!("{} {} ft", name(bed, key), feet(*height))).collect();
    [
        Block::figure(
            |width| draw_plan_towards(&drawing, width, below),
            WIDTH,
            format!("Plan of {}, seen from above, {} below: {}.", bed.bed, if island { "south" } else { "the front" }, counts.join(", ")),
            format!(
                "To scale, each plant at the spread it grows to. Front: {}. Below on the paper is {}.",
                bed.front,
                direction_words(bed.facing_deg)
            ),
        ),
        Block::figure(
            |width| draw_elevation(&drawing, width),
            WIDTH,
            format!("Elevation seen from the front, from low to high: {}.", order.join(", ")),
            "Seen from the front in bloom, at the middle of each height range, beside a person.".to_owned(),
        ),
    ]
}

fn name(bed: &BedOnDesk, key: &str) -> String {
    bed.plan.kinds.iter().find(|kind| kind.key == key).map_or_else(|| key.to_owned(), |kind| kind.name.clone())
}

fn count(bed: &BedOnDesk, kind: &Chosen) -> usize {
    bed.plan.counts.get(&kind.key).copied().unwrap_or(0)
}

fn months(kind: &Chosen) -> String {
    match (kind.bloom_months.first(), kind.bloom_months.last()) {
        (Some(first), Some(last)) if first == last => month_name(*first).to_owned(),
        (Some(first), Some(last)) => format!("{}–{}", short(*first), short(*last)),
        _ => "none".to_owned(),
    }
}

fn short(month: u8) -> &'static str {
    month_name(month).get(..3).unwrap_or("?")
}

fn count_table(bed: &BedOnDesk) -> Block {
    let row = |(place, kind): (usize, &Chosen)| {
        vec![
            letter(place),
            kind.name.clone(),
            kind.botanical.clone(),
            count(bed, kind).to_string(),
            format!("{}–{}", feet(kind.height_m.0), feet(kind.height_m.1)),
            inches(kind.spacing_m),
            months(kind),
            kind.colours.join(", "),
        ]
    };
    let rows = bed.plan.kinds.iter().enumerate().map(row).collect();
    let columns = ["", "plant", "order as", "number#", "height, ft", "apart, in#", "flowers", "colour"];
    let Block::Table(mut table) = Block::table("To buy: pot sizes are not chosen yet", &columns, rows) else { return Block::PageBreak };
    let mut total = vec![String::new(); columns.len()];
    total[1] = "all".to_owned();
    total[3] = bed.plan.plants.len().to_string();
    table.total = Some(total);
    Block::Table(table)
}

fn bloom_figure(bed: &BedOnDesk) -> Block {
    let rows: Vec<BloomRow> = bed
        .plan
        .kinds
        .iter()
        .enumerate()
        .map(|(place, kind)| BloomRow {
            name: format!("{} {}", letter(place), kind.name),
            months: std::array::from_fn(|month| kind.bloom_months.iter().any(|m| usize::from(*m) == month + 1)),
            colour: kind.colours.first().cloned().unwrap_or_default(),
        })
        .collect();
    let told: Vec<String> = bed
        .plan
        .wishes
        .bloom_months
        .iter()
        .map(|m| format!("{} {}", month_name(*m), bed.plan.bloom_by_month[usize::from(*m) - 1].len()))
        .collect();
    Block::figure(
        |width| bloom_chart::draw(&rows, &bed.plan.wishes.bloom_months, width),
        WIDTH,
        format!("Kinds in bloom in each wished month: {}.", told.join(", ")),
        "Months of bloom by lore; a ring marks a wished month with fewer than three kinds.".to_owned(),
    )
}

fn checks(bed: &BedOnDesk) -> Vec<Check> {
    let state = |outcome: Outcome| match outcome {
        Outcome::Met => CheckState::Pass,
        Outcome::Relaxed => CheckState::Doubt,
        Outcome::NotMet => CheckState::Refuse,
        Outcome::NotChecked => CheckState::NotChecked,
    };
    bed.plan
        .checks
        .iter()
        .map(|check| Check { what: user_units(&check.wish), state: state(check.outcome), why: user_units(&check.told) })
        .collect()
}

/// The same words with metres as feet: `1.80 m` reads `5.9 ft`, `44.8 m²` reads `482 ft²`.
fn user_units(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut out: Vec<String> = Vec::new();
    for (place, word) in words.iter().enumerate() {
        let unit = words.get(place + 1).map(|next| next.trim_end_matches([',', ';', ':', '.', ')']));
        let size = match unit {
            Some("m") => Some(0.3048),
            Some("m²") => Some(0.092_903_04),
            _ => None,
        };
        let number = size.zip(word.trim_start_matches('(').parse::<f64>().ok());
        let before = place.checked_sub(1).map(|before| words[before].trim_start_matches('('));
        let follows_number = before.is_some_and(|before| before.parse::<f64>().is_ok());
        out.push(match number {
            Some((size, value)) => format!("{}{}", if word.starts_with('(') { "(" } else { "" }, significant(value / size, 3)),
            None if follows_number && (word.starts_with("m²") || word.trim_end_matches([',', ';', ':', '.', ')']) == "m") => {
                word.replacen('m', "ft", 1)
            }
            None => (*word).to_owned(),
        });
    }
    out.join(" ")
}

fn window_blocks(bed: &BedOnDesk, days: &PlantingDays) -> Vec<Block> {
    let what = if days.stock == Stock::SpringBulb { "Bulbs" } else { "Plants in pots" };
    let names: Vec<String> = days.plants.iter().map(|key| name(bed, key)).collect();
    let season = |timing: &Timing| match timing {
        Timing::Open(w) => format!("{} to {}, best {}", w.earliest, w.latest, w.best),
        Timing::Closed { why } => format!("none: {why}"),
        Timing::NotChecked { needs } => format!("not checked: needs {needs}"),
    };
    let mut blocks = vec![
        Block::paragraph(format!("{what}: {}.", names.join(", "))),
        Block::Facts { facts: vec![("autumn".to_owned(), season(&days.when.autumn)), ("spring".to_owned(), season(&days.when.spring))] },
    ];
    if let Some(window) = &days.window {
        let mut lines = window.odds.clone();
        lines.extend(window.reasons.iter().map(|r| format!("for it: {} [{}]", r.text, r.source)));
        lines.extend(window.against.iter().map(|r| format!("against it: {} [{}]", r.text, r.source)));
        lines.extend(window.not_checked.iter().map(|line| format!("not checked: {line}")));
        blocks.push(Block::list(lines));
    }
    blocks
}

/// One row a drift: how many, and where its middle lies, from the left end of the front and back from it.
fn setting_out(bed: &BedOnDesk) -> Block {
    let left = bed.places_m.iter().map(|at| at.0).chain(bed.outline_m.iter().flatten().map(|at| at.0)).fold(f64::INFINITY, f64::min);
    let row = |(place, drift): (usize, &groundlore_planting::place::Drift)| {
        let at: Vec<(f64, f64)> = bed
            .plan
            .plants
            .iter()
            .zip(&bed.places_m)
            .filter(|(p, _)| p.drift == place)
            .map(|(p, at)| (at.0 - left, p.from_front_m))
            .collect();
        let kind = bed.plan.kinds.iter().position(|kind| kind.key == drift.plant_key);
        let mean = |of: fn(&(f64, f64)) -> f64| at.iter().map(of).sum::<f64>() / at.len().max(1) as f64;
        let apart = bed.plan.plants.iter().find(|p| p.drift == place).map_or(0.0, |p| p.spacing_m);
        vec![
            kind.map(letter).unwrap_or_default(),
            name(bed, &drift.plant_key),
            drift.number.to_string(),
            inches(apart),
            feet(mean(|at| at.0)),
            feet(mean(|at| at.1)),
        ]
    };
    let rows = bed.plan.drifts.iter().enumerate().map(row).collect();
    Block::table(
        "Groups, with the middle of each: along from the left end, and back from the front",
        &["", "group of", "number#", "apart, in#", "along, ft#", "back, ft#"],
        rows,
    )
}

fn gate_checks(bed: &BedOnDesk) -> Block {
    let woody: Vec<&str> = bed
        .plan
        .kinds
        .iter()
        .filter(|kind| matches!(kind.kind, groundlore_lore::plant::PlantKind::Shrub | groundlore_lore::plant::PlantKind::SmallTree))
        .map(|kind| kind.name.as_str())
        .collect();
    let checks = groundlore_planting::stock::CHECKS
        .iter()
        .filter(|check| !check.woody_only || !woody.is_empty())
        .map(|check| Check {
            what: check.look.to_owned(),
            state: CheckState::NotChecked,
            why: format!(
                "{}pass: {}; refuse: {}",
                if check.woody_only { format!("{} only; ", woody.join(", ")) } else { String::new() },
                check.pass,
                check.refuse
            ),
        })
        .collect();
    Block::Checks { checks }
}

fn working(bed: &BedOnDesk) -> Vec<String> {
    let mut lines: Vec<String> = bed.plan.working.iter().map(|line| user_units(line)).collect();
    lines.push(format!("seed {} from the names of yard and bed: the same input gives the same plan", bed.plan.seed));
    lines.extend(
        bed.plan.kinds.iter().flat_map(|kind| kind.reasons.iter().map(move |r| format!("{}: {} [{}]", kind.name, r.text, r.source))),
    );
    lines.extend(
        bed.plan
            .relaxed
            .iter()
            .map(|r| user_units(&format!("gave way: {}: asked {}, given {}, because {}", r.wish, r.asked, r.given, r.why))),
    );
    lines
}

#[cfg(test)]
mod tests {
    use super::user_units;

    #[test]
    fn metres_in_a_sentence_are_read_as_feet() {
        assert_eq!(user_units("one taller than 1.80 m"), "one taller than 5.91 ft");
        assert_eq!(user_units("a bed of 44.8 m² and 3.7 m depth (middle 1.22 m)"), "a bed of 482 ft² and 12.1 ft depth (middle 4 ft)");
        assert_eq!(user_units("5 kinds, 2 more"), "5 kinds, 2 more");
    }
}
