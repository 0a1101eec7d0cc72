//! Quantities and lists of them: no text panics, and what was read prints as text that reads back the same.
#![no_main]

use groundlore_quantity::{Kind, Quantity, parse_counts, parse_list};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let _ = parse_counts(text);
    let _ = parse_list(text, Kind::Any);
    let _ = Quantity::parse_as(text, Kind::Area);
    let _ = Quantity::parse_as(text, Kind::TemperatureDifference);
    let Ok(read) = Quantity::parse(text) else { return };
    let _ = read.rounded(4);
    let printed = read.to_string();
    let again = Quantity::parse(&printed);
    if !read.value.is_finite() || !prints_plainly(&read.unit.to_string()) {
        return;
    }
    match again {
        // Money is printed in whole cents where it is near enough to them.
        Ok(again) => assert!(
            again.unit == read.unit && (again.value - read.value).abs() <= 1e-9 * read.value.abs().max(1.0),
            "`{text}` was read and printed as `{printed}`, which reads as {again:?}"
        ),
        Err(error) => panic!("`{text}` was read and printed as `{printed}`, which does not read: {error}"),
    }
});

/// Whether a unit prints so that it can only be read one way. `$5/10ft2` may be five dollars for ten square feet or half a dollar, and
/// nobody writes so much *per dollar*: such units are held to nothing but that they do not panic.
fn prints_plainly(unit: &str) -> bool {
    let below = || unit.split('/').skip(1);
    !below().any(|part| part.trim_start().starts_with(|c: char| c.is_ascii_digit() || matches!(c, '$' | '€' | '£')))
}
