//! A sheet on a terminal: plain text, wrapped to a width.

use crate::{Block, Sheet, Table, TaskCard};
use std::fmt::Write as _;

/// Prints a sheet as plain text no wider than `width` columns (40 at least).
pub fn print(sheet: &Sheet, width: usize) -> String {
    let width = width.max(40);
    let mut out = String::new();
    if let Some(head) = &sheet.letterhead {
        let _ = writeln!(out, "{}", head.name);
    }
    let _ = writeln!(out, "{}\n{}", sheet.title, "=".repeat(columns(&sheet.title).min(width)));
    if let Some(subtitle) = &sheet.subtitle {
        out.push_str(&wrap(subtitle, width, "", ""));
    }
    for line in &sheet.addressed_to {
        let _ = writeln!(out, "{line}");
    }
    for block in &sheet.blocks {
        out.push('\n');
        out.push_str(&print_block(block, width));
    }
    if !sheet.foot.is_empty() {
        out.push('\n');
        for line in &sheet.foot {
            out.push_str(&wrap(line, width, "", ""));
        }
    }
    out
}

/// Prints one block.
pub fn print_block(block: &Block, width: usize) -> String {
    match block {
        Block::Heading { text } => format!("{text}\n{}\n", "-".repeat(columns(text).min(width))),
        Block::Paragraph { text } => text.split('\n').map(|part| wrap(part, width, "", "")).collect(),
        Block::Verdict { text, why, .. } => wrap(&format!("» {}", text.to_uppercase()), width, "", "  ") + &wrap(why, width, "  ", "  "),
        Block::KeyFigures { figures } => figures
            .iter()
            .map(|figure| {
                let note = if figure.note.is_empty() { String::new() } else { format!(" ({})", figure.note) };
                wrap(&format!("{}  {}{note}", figure.value, figure.label), width, "  ", "    ")
            })
            .collect(),
        Block::Facts { facts } => {
            let longest = facts.iter().map(|(name, _)| columns(name)).max().unwrap_or(0).min(width / 2);
            facts
                .iter()
                .map(|(name, value)| {
                    let head = format!("{name}{}  ", " ".repeat(longest.saturating_sub(columns(name))));
                    wrap(value, width, &head, &" ".repeat(longest + 2))
                })
                .collect()
        }
        Block::Table(table) => print_table(table, width),
        Block::List { ordered, items } => items
            .iter()
            .enumerate()
            .map(|(place, item)| {
                let mark = if *ordered { format!("{}. ", place + 1) } else { "- ".to_owned() };
                wrap(item, width, &mark, &" ".repeat(mark.len()))
            })
            .collect(),
        Block::Checks { checks } => checks
            .iter()
            .map(|check| {
                let why = if check.why.is_empty() { String::new() } else { format!(": {}", check.why) };
                wrap(&format!("{}{why}", check.what), width, &format!("{:<12} ", check.state.word()), &" ".repeat(13))
            })
            .collect(),
        Block::Figure { alt, caption, .. } => wrap(&format!("[figure: {caption}] {alt}"), width, "", "  "),
        Block::Task(card) => print_task(card, width),
        Block::Cautions { cautions } => cautions.iter().map(|caution| wrap(caution, width, "! ", "  ")).collect(),
        Block::Working { title, lines } => {
            let mut out = format!("{title}:\n");
            for line in lines {
                out.push_str(&wrap(line, width, "    ", "      "));
            }
            out
        }
        Block::Fold { title, blocks, .. } => {
            let mut out = format!("{title}\n{}\n", "-".repeat(columns(title).min(width)));
            for block in blocks {
                out.push('\n');
                out.push_str(&print_block(block, width));
            }
            out
        }
        Block::Fill { labels } => labels.iter().map(|label| format!("{label}: ______________________\n")).collect(),
        Block::Signatures { who } => who.iter().map(|who| format!("{who}: ______________________  date: __________\n")).collect(),
        Block::Sources { sources } => wrap(&format!("Sources: {}", sources.join("; ")), width, "", "  "),
        Block::PageBreak => String::new(),
    }
}

fn print_task(card: &TaskCard, width: usize) -> String {
    let place = card.place.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
    let mut out = wrap(&format!("{}{place}: {}", card.yard, card.what), width, "* ", "  ");
    out.push_str(&wrap(
        &format!("{} · earliest {}, best {}, latest {} · {}", card.state, card.earliest, card.best, card.latest, card.standing),
        width,
        "  ",
        "  ",
    ));
    for (name, lines) in
        [("odds", &card.odds), ("why", &card.reasons), ("takes", &card.takes), ("not when", &card.forbids), ("caution", &card.cautions)]
    {
        for line in lines {
            out.push_str(&wrap(line, width, &format!("  {name:<9}"), &" ".repeat(11)));
        }
    }
    out
}

fn print_table(table: &Table, width: usize) -> String {
    let mut out = String::new();
    if !table.caption.is_empty() {
        out.push_str(&wrap(&table.caption, width, "", ""));
    }
    let names: Vec<String> = table.columns.iter().map(|column| column.name.clone()).collect();
    let lines: Vec<&Vec<String>> = std::iter::once(&names).chain(&table.rows).chain(&table.total).collect();
    let mut widths: Vec<usize> =
        (0..names.len()).map(|i| lines.iter().map(|row| row.get(i).map_or(0, |cell| columns(cell))).max().unwrap_or(0)).collect();
    let gaps = 2 * names.len().saturating_sub(1);
    while widths.iter().sum::<usize>() + gaps > width {
        let Some(widest) = (0..widths.len()).filter(|i| widths[*i] > 8).max_by_key(|i| widths[*i]) else { break };
        widths[widest] -= 1;
    }
    for (place, row) in lines.iter().enumerate() {
        out.push_str(&print_row(row, &widths, table));
        if place == 0 {
            let _ = writeln!(out, "{}", "-".repeat((widths.iter().sum::<usize>() + gaps).min(width)));
        }
    }
    if table.blank_rows > 0 {
        let _ = writeln!(out, "({} lines to fill in)", table.blank_rows);
    }
    out
}

fn print_row(row: &[String], widths: &[usize], table: &Table) -> String {
    let cells: Vec<Vec<String>> =
        row.iter().zip(widths).map(|(cell, width)| wrap(cell, (*width).max(1), "", "").lines().map(str::to_owned).collect()).collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    let mut out = String::new();
    for line in 0..height {
        let mut text = String::new();
        for (i, cell) in cells.iter().enumerate() {
            let part = cell.get(line).map_or("", String::as_str);
            let pad = " ".repeat(widths[i].saturating_sub(columns(part)));
            let numeric = table.columns.get(i).is_some_and(|column| column.numeric);
            let gap = if i == 0 { "" } else { "  " };
            let _ = if numeric { write!(text, "{gap}{pad}{part}") } else { write!(text, "{gap}{part}{pad}") };
        }
        out.push_str(text.trim_end());
        out.push('\n');
    }
    out
}

fn columns(text: &str) -> usize {
    text.chars().count()
}

/// Wraps text at blanks; `head` stands before the first line and `rest` before the others.
fn wrap(text: &str, width: usize, head: &str, rest: &str) -> String {
    let mut out = String::new();
    let mut line = head.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && columns(&line) + 1 + columns(word) > width {
            out.push_str(line.trim_end());
            out.push('\n');
            line = rest.to_owned();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}
