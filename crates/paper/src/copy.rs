//! Makes the fair copy: what the template is given.
//!
//! The sheet is written as JSON with every text spelled for paper, and beside each block what the template needs to draw it.

use crate::format::Page;
use crate::letters::spell;
use crate::measure::measure;
use groundlore_sheet::{Block, Sheet, Table, TaskCard};
use jiff::civil::Date;
use serde_json::{Value, json};

/// A card or a box longer than this, in letters, may break over pages.
const LONG: usize = 2200;

/// A table to be written in stays on one page up to so many rows.
const KEPT_TO_WRITE_IN: usize = 18;
/// Any other table stays on one page up to so many rows.
const KEPT: usize = 8;

/// Whether a sheet is a letter.
pub(crate) fn is_letter(sheet: &Sheet) -> bool {
    sheet.kind == "letter-to-owner"
}

/// The fair copy of a sheet for a page.
pub(crate) fn copy(sheet: &Sheet, page: &Page) -> Result<Value, serde_json::Error> {
    let blocks = sheet.unfolded().into_iter().map(|block| copy_block(block, sheet.date, page)).collect::<Result<Vec<_>, _>>()?;
    let title = spell(&sheet.title);
    Ok(json!({
        "page": page.name,
        "side": page.side_pt,
        "figure-height": page.figure_height_pt,
        "letter": is_letter(sheet),
        "crew": sheet.kind == "crew-sheet",
        "title": if title.trim().is_empty() { spell(&sheet.kind.replace('-', " ")) } else { title },
        "subtitle": sheet.subtitle.as_deref().map(spell),
        "letterhead": sheet.letterhead.as_ref().map(|head| json!({ "name": spell(&head.name), "lines": spell_all(&head.lines) })),
        "date": long_date(sheet.date),
        "addressed-to": spell_all(&sheet.addressed_to),
        "blocks": blocks,
        "foot": spell_all(&sheet.foot),
    }))
}

fn spell_all(lines: &[String]) -> Vec<String> {
    lines.iter().map(|line| spell(line)).collect()
}

fn long_date(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

fn short_date(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

fn copy_block(block: &Block, today: Date, page: &Page) -> Result<Value, serde_json::Error> {
    match block {
        Block::Table(table) => Ok(copy_table(table, page)),
        Block::Task(card) => {
            let mut copied = spelled(serde_json::to_value(block)?);
            copied["window"] = copy_window(card, today);
            copied["long"] = json!(serde_json::to_string(card)?.len() > LONG);
            Ok(copied)
        }
        Block::Fold { title, .. } => Ok(json!({ "block": "heading", "text": spell(title) })),
        Block::Figure { svg, alt, caption, .. } => {
            let words = if alt.trim().is_empty() { caption } else { alt };
            let words = if words.trim().is_empty() { "A drawing without a description." } else { words.as_str() };
            Ok(json!({ "block": "figure", "svg": svg, "alt": spell(words), "caption": spell(caption) }))
        }
        Block::Cautions { cautions } => {
            let long = cautions.iter().map(String::len).sum::<usize>() > LONG;
            Ok(json!({ "block": "cautions", "cautions": spell_all(cautions), "long": long }))
        }
        Block::Checks { checks } => {
            let checks: Vec<Value> = checks
                .iter()
                .map(|check| json!({ "what": spell(&check.what), "state": check.state, "word": check.state.word(), "why": spell(&check.why) }))
                .collect();
            Ok(json!({ "block": "checks", "checks": checks }))
        }
        other => Ok(spelled(serde_json::to_value(other)?)),
    }
}

/// Spells every text of a value but the keys and the name of the block.
fn spelled(value: Value) -> Value {
    match value {
        Value::String(text) => Value::String(spell(&text)),
        Value::Array(items) => Value::Array(items.into_iter().map(spelled).collect()),
        Value::Object(fields) => Value::Object(
            fields.into_iter().map(|(key, value)| if key == "block" { (key, value) } else { (key, spelled(value)) }).collect(),
        ),
        other => other,
    }
}

/// The days of a window in words, and where best day and today stand on it from 0 to 1.
fn copy_window(card: &TaskCard, today: Date) -> Value {
    let days = |from: Date, to: Date| f64::from(from.until((jiff::Unit::Day, to)).map_or(0, |span| span.get_days()));
    let length = days(card.earliest, card.latest).max(0.0);
    let at = |day: Date| if length > 0.0 { (days(card.earliest, day) / length).clamp(0.0, 1.0) } else { 0.5 };
    let open = card.earliest <= today && today <= card.latest;
    json!({
        "earliest": short_date(card.earliest),
        "best": short_date(card.best),
        "latest": short_date(card.latest),
        "best-at": at(card.best),
        "today-at": open.then(|| at(today)),
    })
}

/// A table with rows of one length, widths of columns, and which rows are to be written in.
fn copy_table(table: &Table, page: &Page) -> Value {
    let count = table.columns.len();
    let rows: Vec<Vec<String>> = table.rows.iter().map(|row| even(row, count)).collect();
    let written_in: Vec<bool> = rows.iter().map(|row| 2 * row.iter().filter(|cell| cell.trim().is_empty()).count() >= row.len()).collect();
    let long: Vec<bool> = rows.iter().map(|row| row.iter().any(|cell| cell.len() > 500)).collect();
    let grid = table.blank_rows > 0 || written_in.contains(&true);
    let measured = measure(table, grid, page.text_width_pt);
    let together = rows.len() + table.blank_rows <= if grid { KEPT_TO_WRITE_IN } else { KEPT } && !long.contains(&true);
    json!({
        "block": "table",
        "caption": spell(&table.caption),
        "columns": table.columns.iter().map(|c| json!({ "name": spell(&c.name), "numeric": c.numeric })).collect::<Vec<_>>(),
        "rows": rows,
        "pencil": written_in,
        "long": long,
        "grid": grid,
        "together": together,
        "blank-rows": table.blank_rows.min(400),
        "total": table.total.as_ref().map(|row| even(row, count)),
        "size": measured.size_pt,
        "widths": measured.widths_pt,
        "left": measured.left_pt,
        "right": measured.right_pt,
    })
}

/// A row of just `count` cells: short ones are filled up, and what stands past the last column is kept in it.
fn even(row: &[String], count: usize) -> Vec<String> {
    let mut cells = spell_all(&row[..row.len().min(count)]);
    if let (Some(last), Some(past)) = (cells.last_mut(), row.get(count..)) {
        for extra in past.iter().filter(|cell| !cell.is_empty()) {
            last.push_str(" · ");
            last.push_str(&spell(extra));
        }
    }
    cells.resize(count, String::new());
    cells
}
