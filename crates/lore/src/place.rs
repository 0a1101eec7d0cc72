//! Places in a TOML text: from a byte offset to a line and a field, and from a field to a line.

use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Line (from 1) on which a byte offset lies.
pub(crate) fn line_at(text: &str, offset: usize) -> usize {
    let end = offset.min(text.len());
    text.as_bytes()[..end].iter().filter(|byte| **byte == b'\n').count() + 1
}

/// The deepest field that holds a span of bytes, as `favoured_by[2].factor`; empty where only the whole file does.
///
/// With `Part::Value` a field's name does not count as part of the field.
pub(crate) fn field_at(text: &str, span: &Range<usize>, part: Part) -> String {
    let mut path = String::new();
    if let Ok(table) = DeTable::parse(text) {
        descend_table(table.get_ref(), span, part, &mut path);
    }
    path
}

/// What of a field is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// Its name or its value.
    NameOrValue,
    /// Its value only.
    Value,
}

fn descend_table(table: &DeTable<'_>, span: &Range<usize>, part: Part, path: &mut String) {
    for (key, value) in table {
        let on_key = part == Part::NameOrValue && covers(&key.span(), span);
        if on_key || holds(value, span) {
            if !path.is_empty() {
                path.push('.');
            }
            path.push_str(key.get_ref());
            if !on_key {
                descend_value(value.get_ref(), span, part, path);
            }
            return;
        }
    }
}

fn descend_value(value: &DeValue<'_>, span: &Range<usize>, part: Part, path: &mut String) {
    match value {
        DeValue::Table(table) => descend_table(table, span, part, path),
        DeValue::Array(items) => {
            if let Some((i, item)) = items.iter().enumerate().find(|(_, item)| holds(item, span)) {
                path.push_str(&format!("[{i}]"));
                descend_value(item.get_ref(), span, part, path);
            }
        }
        _ => {}
    }
}

/// True when the value, or anything inside it, covers the span. (The span of a `[table]` is its header only.)
fn holds(value: &Spanned<DeValue<'_>>, span: &Range<usize>) -> bool {
    covers(&value.span(), span)
        || match value.get_ref() {
            DeValue::Table(table) => table.iter().any(|(key, inner)| covers(&key.span(), span) || holds(inner, span)),
            DeValue::Array(items) => items.iter().any(|item| holds(item, span)),
            _ => false,
        }
}

fn covers(outer: &Range<usize>, inner: &Range<usize>) -> bool {
    outer.start <= inner.start && inner.end <= outer.end
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
        assert_eq!(field_at(TEXT, &(high..high + 3), Part::NameOrValue), "prior.high");
        let second = TEXT.rfind("0.6").unwrap_or_default();
        assert_eq!(field_at(TEXT, &(second..second + 3), Part::Value), "findings[1].low");
    }
}
