//! Places in a TOML text: from a byte offset to a line and a field, and from a field to a line.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Line (from 1) on which a byte offset lies.
pub(crate) fn line_at(text: &str, offset: usize) -> usize {
    let end = offset.min(text.len());
    text.as_bytes()[..end].iter().filter(|byte| **byte == b'\n').count() + 1
}

/// The deepest field that holds a byte offset, as `favoured_by[2].factor`; empty at the top of the file.
pub(crate) fn field_at(text: &str, offset: usize) -> String {
    let mut path = String::new();
    if let Ok(table) = DeTable::parse(text) {
        descend_table(table.get_ref(), offset, &mut path);
    }
    path
}

fn descend_table(table: &DeTable<'_>, offset: usize, path: &mut String) {
    for (key, value) in table {
        let on_key = key.span().contains(&offset);
        if on_key || holds(value, offset) {
            if !path.is_empty() {
                path.push('.');
            }
            path.push_str(key.get_ref());
            if !on_key {
                descend_value(value.get_ref(), offset, path);
            }
            return;
        }
    }
}

fn descend_value(value: &DeValue<'_>, offset: usize, path: &mut String) {
    match value {
        DeValue::Table(table) => descend_table(table, offset, path),
        DeValue::Array(items) => {
            if let Some((i, item)) = items.iter().enumerate().find(|(_, item)| holds(item, offset)) {
                path.push_str(&format!("[{i}]"));
                descend_value(item.get_ref(), offset, path);
            }
        }
        _ => {}
    }
}

/// True when the value, or anything inside it, lies at the offset. (The span of a `[table]` is its header only.)
fn holds(value: &Spanned<DeValue<'_>>, offset: usize) -> bool {
    value.span().contains(&offset)
        || match value.get_ref() {
            DeValue::Table(table) => table.iter().any(|(key, inner)| key.span().contains(&offset) || holds(inner, offset)),
            DeValue::Array(items) => items.iter().any(|item| holds(item, offset)),
            _ => false,
        }
}

/// Line (from 1) of a field such as `favoured_by[2].factor.low`: of the deepest part of the path that the text has.
pub(crate) fn line_of(text: &str, field: &str) -> Option<usize> {
    let table = DeTable::parse(text).ok()?;
    let mut offset = None;
    let mut here: Option<&DeValue<'_>> = None;
    for step in steps(field) {
        let next = match (step, here) {
            (Step::Key(name), None) => entry(table.get_ref(), name),
            (Step::Key(name), Some(DeValue::Table(inner))) => entry(inner, name),
            (Step::Index(i), Some(DeValue::Array(items))) => items.get(i).map(|item| (item.span().start, item)),
            _ => None,
        };
        let Some((start, value)) = next else { break };
        offset = Some(start);
        here = Some(value.get_ref());
    }
    offset.map(|offset| line_at(text, offset))
}

fn entry<'a, 'i>(table: &'a DeTable<'i>, name: &str) -> Option<(usize, &'a Spanned<DeValue<'i>>)> {
    table.iter().find(|(key, _)| key.get_ref().as_ref() == name).map(|(key, value)| (key.span().start, value))
}

enum Step<'a> {
    Key(&'a str),
    Index(usize),
}

fn steps(field: &str) -> Vec<Step<'_>> {
    let mut steps = Vec::new();
    for part in field.split('.') {
        let mut pieces = part.split('[');
        if let Some(key) = pieces.next().filter(|key| !key.is_empty()) {
            steps.push(Step::Key(key));
        }
        for index in pieces {
            if let Ok(i) = index.trim_end_matches(']').parse() {
                steps.push(Step::Index(i));
            }
        }
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "key = \"a\"\nprior = { low = 0.1, high = 2.0 }\n\n[[findings]]\nlow = 0.5\n\n[[findings]]\nlow = 0.6\n";

    #[test]
    fn a_field_is_found_on_its_line() {
        assert_eq!(line_of(TEXT, "prior.high"), Some(2));
        assert_eq!(line_of(TEXT, "findings[1].low"), Some(8));
        assert_eq!(line_of(TEXT, "findings[1].missing"), Some(7));
        assert_eq!(line_of(TEXT, "nothing"), None);
    }

    #[test]
    fn an_offset_is_found_in_its_field() {
        let high = TEXT.find("2.0").unwrap_or_default();
        assert_eq!(field_at(TEXT, high), "prior.high");
        let second = TEXT.rfind("0.6").unwrap_or_default();
        assert_eq!(field_at(TEXT, second), "findings[1].low");
    }
}
