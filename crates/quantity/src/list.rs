//! Lists of counts and of quantities.

use crate::{Kind, Quantity, QuantityError, number};

/// Splits a list at commas, semicolons or line ends; a list of bare numbers may also be split at blanks.
fn items(text: &str) -> Vec<&str> {
    let inner = text.trim().trim_start_matches('[').trim_end_matches(']');
    let by_mark: Vec<&str> = inner.split([',', ';', '\n']).map(str::trim).filter(|item| !item.is_empty()).collect();
    let all_bare = by_mark.iter().all(|item| item.split_whitespace().all(|word| number::take(word).is_ok_and(|(_, rest)| rest.is_empty())));
    if all_bare { by_mark.into_iter().flat_map(str::split_whitespace).collect() } else { by_mark }
}

/// Reads a list in which each item carries its unit, as `44 floz, 45 floz`.
///
/// # Errors
/// The first item that is not of the kind, named with its place in the list.
pub fn parse_list(text: &str, kind: Kind) -> Result<Vec<Quantity>, QuantityError> {
    let items = items(text);
    if items.is_empty() {
        return Err(QuantityError::Empty { expected: format!("a list of items, each {}", kind.expected()), example: kind.list_example() });
    }
    items.into_iter().map(|item| Quantity::parse_as(item, kind)).collect()
}

/// Reads a list of whole counts, not below zero, as `3 0 5` or `3, 0, 5`.
///
/// # Errors
/// The first item that is no whole count.
///
/// ```
/// assert_eq!(groundlore_quantity::parse_counts("3, 0, 5")?, vec![3, 0, 5]);
/// # Ok::<(), groundlore_quantity::QuantityError>(())
/// ```
pub fn parse_counts(text: &str) -> Result<Vec<u64>, QuantityError> {
    parse_list(text, Kind::Bare).and_then(|list| list.iter().map(count).collect())
}

fn count(quantity: &Quantity) -> Result<u64, QuantityError> {
    let value = quantity.value;
    if value < 0.0 || value.fract() != 0.0 || value > 1e15 {
        return Err(QuantityError::Range {
            input: quantity.to_string(),
            why: "a count is a whole number, 0 or more, for example `3, 0, 5`".to_owned(),
        });
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Ok(value as u64)
}
