//! Shares the width of a page among the columns of a table.

use groundlore_sheet::Table;

/// Width of a letter as a share of its size, averaged over English text in a serif face; common practice for copy-fitting.
const LETTER_EM: f64 = 0.48;
/// White at both sides of a cell, pt.
const INSET_PT: f64 = 12.0;
/// Narrowest column to write in by hand, pt: about three figures in pencil.
const PENCIL_PT: f64 = 46.0;

/// How a table is set.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Measure {
    /// Size of its type, pt.
    pub(crate) size_pt: f64,
    /// Widths of its columns, pt.
    pub(crate) widths_pt: Vec<f64>,
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
pub(crate) fn measure(table: &Table, width_pt: f64) -> Measure {
    let size_pt = match table.columns.len() {
        0..=6 => 9.5,
        7..=9 => 8.6,
        10..=12 => 7.8,
        _ => 6.8,
    };
    let needs: Vec<Need> = (0..table.columns.len()).map(|column| need(table, column, size_pt)).collect();
    Measure { size_pt, widths_pt: share(&needs, width_pt) }
}

fn need(table: &Table, column: usize, size_pt: f64) -> Need {
    let head = &table.columns[column];
    let cells = table.rows.iter().chain(&table.total).filter_map(|row| row.get(column));
    let (mut longest, mut word) = (0, 0);
    for text in cells.map(String::as_str).chain([head.name.as_str()]) {
        longest = longest.max(text.split('\n').map(|line| line.chars().count()).max().unwrap_or(0));
        word = word.max(text.split_whitespace().map(|w| w.chars().count()).max().unwrap_or(0));
    }
    let head_word = head.name.split_whitespace().map(|w| w.chars().count()).max().unwrap_or(0);
    let in_points = |letters: usize| letters as f64 * size_pt * LETTER_EM * 1.06 + INSET_PT;
    let written_in = table.blank_rows > 0 || table.rows.iter().any(|row| row.get(column).is_none_or(|cell| cell.trim().is_empty()));
    let floor = if written_in { PENCIL_PT } else { 0.0 };
    let least = in_points(word.min(24)).max(in_points(head_word.min(24))).max(floor);
    let full = in_points(longest.min(120)).max(least);
    // A heading of two words or more may break over lines rather than widen a narrow column of figures.
    Need { least, full, text: !head.numeric }
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
                let sum: f64 = measure(&table, 488.0).widths_pt.iter().sum();
                assert!(sum <= 488.0 + 1e-6, "{columns} columns of {cell:?} take {sum} pt");
            }
        }
    }
}
