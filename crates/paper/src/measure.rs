//! Shares the width of a page among the columns of a table.

use crate::case::CASE;
use groundlore_sheet::Table;

/// White beside a cell, pt.
const INSET_PT: f64 = 6.0;
/// White before a column of text that follows one of figures, pt.
const APART_PT: f64 = 15.0;
/// White at the outer edges of a table without a grid, pt, so that its text stands on the margin.
const EDGE_PT: f64 = 1.0;
/// Narrowest column to write figures in by hand, pt: about three in pencil.
const PENCIL_FIGURES_PT: f64 = 46.0;
/// What a column to write words in by hand asks for, pt.
const PENCIL_WORDS_PT: f64 = 96.0;
/// What the longest line of a cell may ask for, ems: longer ones wrap.
const LONGEST_EM: f64 = 56.0;
/// What the longest word may ask for, ems.
const LONGEST_WORD_EM: f64 = 14.0;
/// Cells no longer than this, ems, stay on one line.
const SHORT_EM: f64 = 6.5;

/// How a table is set.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Measure {
    /// Size of its type, pt.
    pub(crate) size_pt: f64,
    /// Widths of its columns, pt.
    pub(crate) widths_pt: Vec<f64>,
    /// White before the text of each column, pt.
    pub(crate) left_pt: Vec<f64>,
    /// White after the text of each column, pt.
    pub(crate) right_pt: Vec<f64>,
}

/// Widest and least width of a column, and whether it may grow.
struct Need {
    least: f64,
    full: f64,
    text: bool,
}

/// Measures a table for a width in points.
///
/// Columns get what their longest cell needs where all fit; what is left goes to the columns of text and to those that are written in.
/// Where they do not fit, each gets at least its longest word if that can be, and shares the rest by what it lacks.
pub(crate) fn measure(table: &Table, grid: bool, width_pt: f64) -> Measure {
    let size_pt = match table.columns.len() {
        0..=6 => 9.5,
        7..=9 => 8.6,
        10..=12 => 7.8,
        _ => 6.8,
    };
    let count = table.columns.len();
    let after_figures = |column: usize| column > 0 && table.columns[column - 1].numeric && !table.columns[column].numeric;
    let left = |column: usize| match column {
        0 if !grid => EDGE_PT,
        _ if !grid && after_figures(column) => APART_PT,
        _ => INSET_PT,
    };
    let left_pt: Vec<f64> = (0..count).map(left).collect();
    let right_pt: Vec<f64> = (0..count).map(|column| if !grid && column + 1 == count { EDGE_PT } else { INSET_PT }).collect();
    let needs: Vec<Need> = (0..count).map(|column| need(table, column, size_pt, left_pt[column] + right_pt[column])).collect();
    Measure { size_pt, widths_pt: share(&needs, width_pt), left_pt, right_pt }
}

fn need(table: &Table, column: usize, size_pt: f64, white_pt: f64) -> Need {
    let head = &table.columns[column];
    let filled = |row: &Vec<String>| row.get(column).is_some_and(|cell| !cell.trim().is_empty());
    let cells = table.rows.iter().chain(&table.total).filter_map(|row| row.get(column)).chain([&head.name]);
    let (mut line, mut word) = (0.0_f64, 0.0_f64);
    for text in cells {
        line = text.split('\n').map(|part| CASE.width_em(part)).fold(line, f64::max);
        word = text.split_whitespace().map(|part| CASE.width_em(part)).fold(word, f64::max);
    }
    let in_points = |ems: f64| ems * size_pt + white_pt + 0.5;
    let word = if line <= SHORT_EM { line } else { word };
    let (mut least, mut full) = (in_points(word.min(LONGEST_WORD_EM)), in_points(line.min(LONGEST_EM)));
    if table.blank_rows > 0 || table.rows.iter().any(|row| !filled(row)) {
        least = least.max(PENCIL_FIGURES_PT);
    }
    if !head.numeric && !table.rows.iter().any(filled) && table.blank_rows + table.rows.len() > 0 {
        full = full.max(PENCIL_WORDS_PT);
    }
    Need { least, full: full.max(least), text: !head.numeric }
}

fn share(needs: &[Need], width: f64) -> Vec<f64> {
    let full: f64 = needs.iter().map(|n| n.full).sum();
    let least: f64 = needs.iter().map(|n| n.least).sum();
    if full <= width {
        let growing: f64 = needs.iter().filter(|n| n.text).map(|n| n.full).sum();
        if growing <= 0.0 {
            let grown = (width / full.max(1.0)).min(1.6);
            return needs.iter().map(|n| n.full * grown).collect();
        }
        return needs.iter().map(|n| if n.text { n.full + (width - full) * n.full / growing } else { n.full }).collect();
    }
    if least <= width {
        let lacking = (full - least).max(1e-9);
        return needs.iter().map(|n| n.least + (width - least) * (n.full - n.least) / lacking).collect();
    }
    needs.iter().map(|n| n.least * width / least).collect()
}

#[cfg(test)]
mod tests {
    use super::measure;
    use groundlore_sheet::Block;

    #[test]
    fn columns_never_take_more_than_the_page() {
        for cell in ["", "7", "a fairly long remark on what was found under the turf", &"x".repeat(400)] {
            for columns in 1..20 {
                let names = vec!["Heading"; columns];
                let Block::Table(table) = Block::table("", &names, vec![vec![cell.to_owned(); columns]]) else { continue };
                let sum: f64 = measure(&table, false, 488.0).widths_pt.iter().sum();
                assert!(sum <= 488.0 + 1e-6, "{columns} columns of {cell:?} take {sum} pt");
            }
        }
    }
}
