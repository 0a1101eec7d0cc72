//! Wrong input: each error names the value and shows what would be right.
use groundlore_quantity::{Kind, Quantity};

const WRONG: &[(&str, Kind, &[&str])] = &[
    ("", Kind::Length, &["nothing is written", "12.5 ft"]),
    ("12", Kind::Length, &["no unit", "12.5 ft"]),
    ("12 bananas", Kind::Length, &["bananas", "12.5 ft"]),
    ("12 feets", Kind::Length, &["did you mean `feet`"]),
    ("3 yd3", Kind::Area, &["a volume", "an area"]),
    ("12,5 ft", Kind::Length, &["comma out of place", "12.5"]),
    ("1.2.3 ft", Kind::Length, &["two decimal points"]),
    ("1/0 acre", Kind::Area, &["fraction over zero"]),
    ("ft", Kind::Length, &["does not start with a number"]),
    ("5 ft per", Kind::Any, &["no unit is called"]),
    ("5 ft/", Kind::Any, &["no unit is called"]),
    ("5 lb2", Kind::Mass, &["lb2"]),
    ("$5", Kind::MoneyPerVolume, &["an amount of money", "$14.50/yd3"]),
    ("5 degF", Kind::Length, &["a temperature"]),
    ("95%", Kind::Bare, &["a share", "a bare number"]),
    ("5 ft tall", Kind::Length, &["tall"]),
    ("1e999 ft", Kind::Length, &["too large"]),
    ("5 ft 3 lb", Kind::Length, &["3 lb"]),
    ("NaN ft", Kind::Length, &["does not start with a number"]),
    ("five feet", Kind::Length, &["does not start with a number"]),
];

#[test]
fn wrong_quantities_say_what_is_wrong_and_what_would_be_right() {
    for (written, kind, wanted) in WRONG {
        let error = Quantity::parse_as(written, *kind).expect_err(written).to_string();
        for part in *wanted {
            assert!(error.contains(part), "`{written}` gave `{error}`, without `{part}`");
        }
    }
}
