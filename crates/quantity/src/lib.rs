//! Numbers with units, US customary and metric, read and printed by one grammar everywhere in Groundlore.
//!
//! A quantity is a number and a unit as the person wrote it: `12.5 ft`, `1/4 acre`, `1.5 floz/1000ft2`, `10 per ft2`, `50 degF`,
//! `$14.50/yd3`. Inside the tool everything is in SI; [`Quantity::si`] and [`Quantity::in_unit`] convert, and a wrong kind or an unknown
//! unit is an error that says what was expected and gives an example.
//!
//! | room | what it holds |
//! | --- | --- |
//! | [`unit`] | the unit words, their sizes, and units joined by `/` |
//! | [`number`] | numbers as people write them: `1,250`, `1/4`, `2 1/2`, `½` |
//! | [`kind`] | kinds of quantity that a reader may ask for, with an example of each |
//! | [`list`] | lists of counts and of quantities |
//!
//! ```
//! use groundlore_quantity::{Kind, Quantity};
//! let bed = Quantity::parse_as("1/4 acre", Kind::Area)?;
//! assert_eq!(bed.in_unit("ft2")?, 10_890.0);
//! let error = Quantity::parse_as("3 yd3", Kind::Area).unwrap_err();
//! assert_eq!(error.to_string(), "`3 yd3` is a volume; expected an area, for example `1200 ft2`");
//! # Ok::<(), groundlore_quantity::QuantityError>(())
//! ```
pub mod kind;
pub mod list;
pub mod number;
pub mod unit;

pub use kind::Kind;
pub use list::{parse_counts, parse_list};
pub use unit::{Dimension, Unit};

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// What is wrong with a quantity, in words that name the value and the remedy.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QuantityError {
    /// Nothing was written.
    #[error("nothing is written here; expected {expected}, for example `{example}`")]
    Empty {
        /// Kind that was expected.
        expected: String,
        /// An example of it.
        example: String,
    },
    /// The number cannot be read.
    #[error("`{input}` does not start with a number: {why}; expected {expected}, for example `{example}`")]
    Number {
        /// What was written.
        input: String,
        /// What is wrong with it.
        why: String,
        /// Kind that was expected.
        expected: String,
        /// An example of it.
        example: String,
    },
    /// The unit is not known.
    #[error("`{input}`: no unit is called `{word}`{hint}; expected {expected}, for example `{example}`")]
    UnknownUnit {
        /// What was written.
        input: String,
        /// The word that is not known.
        word: String,
        /// A near word, as ` (did you mean …?)`, or empty.
        hint: String,
        /// Kind that was expected.
        expected: String,
        /// An example of it.
        example: String,
    },
    /// A unit is missing.
    #[error("`{input}` has no unit; expected {expected}, for example `{example}`")]
    MissingUnit {
        /// What was written.
        input: String,
        /// Kind that was expected.
        expected: String,
        /// An example of it.
        example: String,
    },
    /// The unit measures something else.
    #[error("`{input}` is {found}; expected {expected}, for example `{example}`")]
    WrongKind {
        /// What was written.
        input: String,
        /// The kind that it is.
        found: String,
        /// Kind that was expected.
        expected: String,
        /// An example of it.
        example: String,
    },
    /// A value outside the bounds that make sense.
    #[error("`{input}` is out of range: {why}")]
    Range {
        /// What was written.
        input: String,
        /// The bound.
        why: String,
    },
}

/// A number with its unit, as written.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity {
    /// The number in front of the unit.
    pub value: f64,
    /// The unit.
    pub unit: Unit,
}

impl Quantity {
    /// Reads a quantity of any kind.
    ///
    /// # Errors
    /// Says which part cannot be read, with an example.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        Self::parse_as(text, Kind::Any)
    }

    /// Reads a quantity and checks that it is of the kind asked for.
    ///
    /// # Errors
    /// An unreadable number, an unknown unit, a missing unit or one of another kind; each says what was expected with an example.
    pub fn parse_as(text: &str, kind: Kind) -> Result<Self, QuantityError> {
        let quantity = parse_any(text, kind)?;
        quantity.of_kind(text, kind)
    }

    /// A quantity from a number and a unit word.
    ///
    /// # Errors
    /// Where the unit is not known.
    pub fn new(value: f64, unit: &str) -> Result<Self, QuantityError> {
        Ok(Self { value, unit: Unit::parse(unit)? })
    }

    /// A bare number.
    pub fn bare(value: f64) -> Self {
        Self { value, unit: Unit::none() }
    }

    /// A quantity from its SI value, expressed in `unit`.
    ///
    /// # Errors
    /// Where the unit is not known.
    pub fn from_si(si: f64, unit: &str) -> Result<Self, QuantityError> {
        let unit = Unit::parse(unit)?;
        Ok(Self { value: unit.from_si(si), unit })
    }

    /// The value in SI: metres, square metres, cubic metres, kilograms, seconds, kelvin, radians, and their quotients (a count per area is
    /// per square metre, a rate in fluid ounces per 1,000 ft² is metres). Shares come out as 0–1, money as itself.
    pub fn si(&self) -> f64 {
        self.unit.to_si(self.value)
    }

    /// The value in another unit of the same kind.
    ///
    /// # Errors
    /// Where the unit is not known or measures something else.
    ///
    /// ```
    /// # use groundlore_quantity::Quantity;
    /// let freezing = Quantity::parse("32 degF")?;
    /// assert!((freezing.in_unit("degC")?).abs() < 1e-12);
    /// assert!((Quantity::parse("40 gal/acre")?.in_unit("gal/1000ft2")? - 0.918_273_645).abs() < 1e-9);
    /// # Ok::<(), groundlore_quantity::QuantityError>(())
    /// ```
    pub fn in_unit(&self, unit: &str) -> Result<f64, QuantityError> {
        Ok(self.to(unit)?.value)
    }

    /// The same quantity in another unit.
    ///
    /// # Errors
    /// Where the unit is not known or measures something else.
    pub fn to(&self, unit: &str) -> Result<Self, QuantityError> {
        let mut target = Unit::parse(unit)?;
        if target.dimension() != self.unit.dimension() {
            return Err(QuantityError::WrongKind {
                input: unit.to_owned(),
                found: kind::describe(&target),
                expected: format!("a unit of the same kind as `{self}`, {}", kind::describe(&self.unit)),
                example: self.unit.to_string(),
            });
        }
        if self.unit.is_difference() {
            target = target.as_difference();
        }
        if target == self.unit {
            return Ok(self.clone());
        }
        let value = match (self.unit.ratio_to(&target), self.unit.is_absolute_temperature()) {
            (Some(ratio), false) => self.value * ratio,
            _ => target.from_si(self.si()),
        };
        Ok(Self { value, unit: target })
    }

    /// Temperature in °C; for a quantity that is no temperature, none.
    pub fn celsius(&self) -> Option<f64> {
        self.in_unit("degC").ok()
    }

    /// Prints with at most `digits` significant digits (money with two decimals), as `12.3 ft`.
    pub fn rounded(&self, digits: usize) -> String {
        let text = if self.unit.is_money() { format!("{:.2}", self.value) } else { number::significant(self.value, digits) };
        self.unit.join(&text)
    }

    fn of_kind(self, text: &str, kind: Kind) -> Result<Self, QuantityError> {
        if kind.accepts(&self.unit) {
            let unit = if kind == Kind::TemperatureDifference { self.unit.as_difference() } else { self.unit };
            return Ok(Self { value: self.value, unit });
        }
        let (input, expected, example) = (text.trim().to_owned(), kind.expected().to_owned(), kind.example().to_owned());
        if self.unit.is_none() {
            return Err(QuantityError::MissingUnit { input, expected, example });
        }
        Err(QuantityError::WrongKind { input, found: kind::describe(&self.unit), expected, example })
    }
}

impl std::fmt::Display for Quantity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let cents = self.value * 100.0;
        let text = if self.unit.is_money() && (cents - cents.round()).abs() < 1e-9 && cents.abs() < 1e15 {
            format!("{:.2}", self.value)
        } else {
            format!("{}", self.value)
        };
        f.write_str(&self.unit.join(&text))
    }
}

impl std::str::FromStr for Quantity {
    type Err = QuantityError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Quantity {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).map_err(serde::de::Error::custom)
    }
}

/// Reads `number unit`, and sums such as `5 ft 6 in`.
fn parse_any(text: &str, kind: Kind) -> Result<Quantity, QuantityError> {
    let trimmed = text.trim();
    let (expected, example) = (kind.expected().to_owned(), kind.example().to_owned());
    if trimmed.is_empty() {
        return Err(QuantityError::Empty { expected, example });
    }
    let (sign, currency, rest) = split_currency(trimmed);
    let taken = if currency.is_some() { number::take_whole(rest) } else { number::take(rest) };
    let (number, rest) = taken.map_err(|why| QuantityError::Number {
        input: trimmed.to_owned(),
        why,
        expected: expected.clone(),
        example: example.clone(),
    })?;
    let unknown = |word: String| QuantityError::UnknownUnit {
        input: trimmed.to_owned(),
        hint: unit::near(&word).map(|near| format!(" (did you mean `{near}`?)")).unwrap_or_default(),
        word,
        expected: expected.clone(),
        example: example.clone(),
    };
    let (unit, rest) = unit::take(currency, rest).map_err(unknown)?;
    let first = Quantity { value: sign * number, unit };
    add_parts(first, rest, trimmed).map_err(unknown)
}

/// Adds further parts (`6 in` of `5 ft 6 in`) of the same dimension to a plain unit; anything else left over is an unknown word.
fn add_parts(mut total: Quantity, mut rest: &str, _whole: &str) -> Result<Quantity, String> {
    while !rest.trim().is_empty() {
        let leftover = || rest.trim().to_owned();
        let (number, after) = number::take(rest.trim_start()).map_err(|_| leftover())?;
        let (unit, after) = unit::take(None, after)?;
        let same = unit.dimension() == total.unit.dimension() && !unit.is_none() && !unit.is_absolute_temperature();
        let (Some(ratio), true) = (unit.ratio_to(&total.unit), same && !total.unit.is_absolute_temperature()) else {
            return Err(leftover());
        };
        total.value += total.value.signum() * number * ratio;
        rest = after;
    }
    Ok(total)
}

fn split_currency(text: &str) -> (f64, Option<char>, &str) {
    let (sign, body) = match text.strip_prefix(['-', '−']) {
        Some(body) if body.trim_start().starts_with(unit::CURRENCIES) => (-1.0, body.trim_start()),
        _ => (1.0, text),
    };
    match body.chars().next() {
        Some(first) if unit::CURRENCIES.contains(&first) => (sign, Some(first), body[first.len_utf8()..].trim_start()),
        _ => (1.0, None, text),
    }
}
