//! How a row becomes a struct: the columns of a table, the values they take, and the words of a state.

use jiff::{Timestamp, Unit, civil::Date};
use rusqlite::types::{Value, ValueRef};

use crate::error::BookError;

/// A row of one table of the book. `id` is 0 until the row is written.
pub trait Record: Sized {
    /// The table.
    const TABLE: &'static str;
    /// Its columns, without `id`, in the order of [`Record::values`].
    const COLUMNS: &'static [&'static str];
    /// The row's number, 0 before it is written.
    fn id(&self) -> i64;
    /// The values to store. An error names the column, the value and what would be right.
    fn values(&self) -> Result<Vec<Value>, BookError>;
    /// The struct from a row of `SELECT id, columns…`.
    fn from_row(row: &rusqlite::Row<'_>) -> Result<Self, BookError>;
}

/// A record that may be changed or removed after it is written. Logs and append-only records are not.
pub trait Amendable: Record {}

/// A type that fits in a column.
pub trait Column: Sized {
    /// The stored value, or what would be right.
    fn store(&self) -> Result<Value, String>;
    /// The type from a stored value, or what was expected.
    fn recall(value: ValueRef<'_>) -> Result<Self, String>;
}

/// A rule that a value keeps; a blank keeps every rule but [`Rule::Filled`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Text with something in it.
    Filled,
    /// A number over 0.
    Positive,
    /// A number of 0 or more.
    NotNegative,
    /// A share between 0 and 1.
    Share,
    /// Decimal degrees north, −90 to 90.
    Latitude,
    /// Decimal degrees east, −180 to 180.
    Longitude,
}

impl Rule {
    /// What would be right, where `value` breaks the rule.
    fn broken_by(self, value: &Value) -> Option<&'static str> {
        let number = match value {
            Value::Integer(whole) => *whole as f64,
            Value::Real(real) => *real,
            Value::Text(text) => return (self == Rule::Filled && text.trim().is_empty()).then_some("Write something here"),
            Value::Null | Value::Blob(_) => return None,
        };
        let (kept, remedy) = match self {
            Rule::Filled => (true, ""),
            Rule::Positive => (number > 0.0, "It must be more than 0, or blank if it was not measured"),
            Rule::NotNegative => (number >= 0.0, "It must be 0 or more, or blank if it was not measured"),
            Rule::Share => ((0.0..=1.0).contains(&number), "A share lies between 0 and 1, for example 0.95"),
            Rule::Latitude => ((-90.0..=90.0).contains(&number), "A latitude lies between -90 and 90, north positive, for example 43.05"),
            Rule::Longitude => {
                ((-180.0..=180.0).contains(&number), "A longitude lies between -180 and 180, east positive, for example -88.12")
            }
        };
        (!kept).then_some(remedy)
    }
}

/// The value of one column, checked.
pub(crate) fn stored<C: Column>(table: &str, column: &str, value: &C, rule: Option<Rule>) -> Result<Value, BookError> {
    let invalid = |value: String, remedy: String| BookError::InvalidValue { table: table.into(), column: column.into(), value, remedy };
    let value = value.store().map_err(|remedy| invalid("this value".into(), remedy))?;
    match rule.and_then(|rule| rule.broken_by(&value)) {
        Some(remedy) => Err(invalid(shown(&value), remedy.into())),
        None => Ok(value),
    }
}

/// One column of a row, read back.
pub(crate) fn recalled<C: Column>(table: &str, column: &str, row: &rusqlite::Row<'_>, place: usize) -> Result<C, BookError> {
    let unreadable =
        |value: String, expected: String| BookError::Unreadable { table: table.into(), column: column.into(), value, expected };
    let value = row.get_ref(place).map_err(|error| unreadable(error.to_string(), "there".into()))?;
    C::recall(value).map_err(|expected| unreadable(Value::try_from(value).map_or("not UTF-8".into(), |value| shown(&value)), expected))
}

/// A stored value as text, for messages.
pub(crate) fn shown(value: &Value) -> String {
    match value {
        Value::Null => "blank".into(),
        Value::Integer(whole) => whole.to_string(),
        Value::Real(real) => real.to_string(),
        Value::Text(text) => text.chars().take(60).collect(),
        Value::Blob(bytes) => format!("{} bytes", bytes.len()),
    }
}

fn text_of<'a>(value: ValueRef<'a>, expected: &str) -> Result<&'a str, String> {
    value.as_str().map_err(|_| expected.to_string())
}

impl<C: Column> Column for Option<C> {
    fn store(&self) -> Result<Value, String> {
        self.as_ref().map_or(Ok(Value::Null), Column::store)
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        if value == ValueRef::Null { Ok(None) } else { C::recall(value).map(Some) }
    }
}

impl Column for String {
    fn store(&self) -> Result<Value, String> {
        if self.contains('\0') {
            return Err("Text may not hold a NUL character: take it out".into());
        }
        Ok(Value::Text(self.clone()))
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        text_of(value, "text").map(str::to_string)
    }
}

impl Column for i64 {
    fn store(&self) -> Result<Value, String> {
        Ok(Value::Integer(*self))
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        value.as_i64().map_err(|_| "a whole number".into())
    }
}

impl Column for u32 {
    fn store(&self) -> Result<Value, String> {
        Ok(Value::Integer(i64::from(*self)))
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        value.as_i64().ok().and_then(|whole| u32::try_from(whole).ok()).ok_or_else(|| "a whole number of 0 or more".into())
    }
}

impl Column for f64 {
    fn store(&self) -> Result<Value, String> {
        if !self.is_finite() {
            return Err(format!("`{self}` is not a number one can measure: leave it blank if it is not known"));
        }
        Ok(Value::Real(*self))
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        value.as_f64().map_err(|_| "a number".into())
    }
}

impl Column for bool {
    fn store(&self) -> Result<Value, String> {
        Ok(Value::Integer(i64::from(*self)))
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        match value {
            ValueRef::Integer(0) => Ok(false),
            ValueRef::Integer(1) => Ok(true),
            _ => Err("0 or 1".into()),
        }
    }
}

impl Column for Date {
    fn store(&self) -> Result<Value, String> {
        if !(0..=9999).contains(&self.year()) {
            return Err(format!("`{self}` is no year of ours: a date looks like 2026-08-14"));
        }
        Ok(Value::Text(self.to_string()))
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        let expected = "a date like 2026-08-14";
        text_of(value, expected)?.parse().map_err(|_| expected.into())
    }
}

/// Times are kept to the millisecond, in UTC.
impl Column for Timestamp {
    fn store(&self) -> Result<Value, String> {
        let expected = || format!("`{self}` is no time of ours: a time looks like 2026-08-14T09:30:00Z");
        let whole_ms = Timestamp::from_millisecond(self.as_millisecond()).map_err(|_| expected())?;
        let text = whole_ms.to_string();
        if text.starts_with('-') { Err(expected()) } else { Ok(Value::Text(text)) }
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        let expected = "a time like 2026-08-14T09:30:00Z";
        text_of(value, expected)?.parse().map_err(|_| expected.into())
    }
}

impl Column for serde_json::Value {
    fn store(&self) -> Result<Value, String> {
        Ok(Value::Text(self.to_string()))
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        let expected = "JSON";
        serde_json::from_str(text_of(value, expected)?).map_err(|error| format!("{expected} ({error})"))
    }
}

/// A list is kept as JSON text, so `None` (not checked) and an empty list (checked, none) stay apart.
impl<T: serde::Serialize + serde::de::DeserializeOwned> Column for Vec<T> {
    fn store(&self) -> Result<Value, String> {
        serde_json::to_string(self).map(Value::Text).map_err(|error| format!("It cannot be written as a list: {error}"))
    }
    fn recall(value: ValueRef<'_>) -> Result<Self, String> {
        let expected = "a JSON list";
        serde_json::from_str(text_of(value, expected)?).map_err(|error| format!("{expected} ({error})"))
    }
}

/// A time cut to the millisecond, as the book keeps it.
pub fn to_millisecond(time: Timestamp) -> Timestamp {
    time.round(jiff::TimestampRound::new().smallest(Unit::Millisecond).mode(jiff::RoundMode::Trunc)).unwrap_or(time)
}

/// Declares a record: a public struct with `id`, its table, columns, rules and conversions.
macro_rules! record {
    (
        $(#[$attr:meta])*
        pub struct $name:ident in $table:literal $(checked by $check:path)? {
            $( $(#[$field_attr:meta])* $field:ident : $type:ty $(=> $rule:ident)? , )*
        }
    ) => {
        $(#[$attr])*
        #[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
        #[serde(default)]
        pub struct $name {
            /// The row's number in the book, 0 before it is written.
            pub id: i64,
            $( $(#[$field_attr])* pub $field: $type, )*
        }

        impl $crate::record::Record for $name {
            const TABLE: &'static str = $table;
            const COLUMNS: &'static [&'static str] = &[$(stringify!($field)),*];

            fn id(&self) -> i64 {
                self.id
            }

            fn values(&self) -> Result<Vec<rusqlite::types::Value>, $crate::error::BookError> {
                $( $check(self)?; )?
                Ok(vec![$(
                    $crate::record::stored($table, stringify!($field), &self.$field, None $(.or(Some($crate::record::Rule::$rule)))?)?
                ),*])
            }

            fn from_row(row: &rusqlite::Row<'_>) -> Result<Self, $crate::error::BookError> {
                let mut place = 0;
                let id = $crate::record::recalled($table, "id", row, 0)?;
                $(
                    place += 1;
                    let $field = $crate::record::recalled($table, stringify!($field), row, place)?;
                )*
                let _ = place;
                Ok($name { id, $($field),* })
            }
        }
    };
}
pub(crate) use record;

/// Declares an enum that is stored as words.
macro_rules! words {
    (
        $(#[$attr:meta])*
        pub enum $name:ident { $( $(#[$variant_attr:meta])* $variant:ident = $word:literal , )* }
    ) => {
        $(#[$attr])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
        pub enum $name {
            $( $(#[$variant_attr])* #[serde(rename = $word)] $variant, )*
        }

        impl $name {
            /// Every variant, in order.
            pub const ALL: &'static [$name] = &[$($name::$variant),*];

            /// The word that stands for it in the book and on paper.
            pub fn word(self) -> &'static str {
                match self { $( $name::$variant => $word, )* }
            }

            /// The variant of a word, or `None`.
            pub fn from_word(word: &str) -> Option<$name> {
                $name::ALL.iter().copied().find(|variant| variant.word() == word)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl $crate::record::Column for $name {
            fn store(&self) -> Result<rusqlite::types::Value, String> {
                Ok(rusqlite::types::Value::Text(self.word().to_string()))
            }
            fn recall(value: rusqlite::types::ValueRef<'_>) -> Result<Self, String> {
                value.as_str().ok().and_then($name::from_word).ok_or_else(|| {
                    let all: Vec<&str> = $name::ALL.iter().map(|variant| variant.word()).collect();
                    format!("one of: {}", all.join(", "))
                })
            }
        }
    };
}
pub(crate) use words;

/// Refuses a row by a rule that spans several columns.
pub(crate) fn refuse(table: &str, column: &str, value: impl std::fmt::Display, remedy: &str) -> Result<(), BookError> {
    Err(BookError::InvalidValue { table: table.into(), column: column.into(), value: value.to_string(), remedy: remedy.into() })
}

/// Refuses a window whose days are out of order.
pub(crate) fn window_in_order(table: &str, earliest: Option<Date>, best: Option<Date>, latest: Option<Date>) -> Result<(), BookError> {
    let days: Vec<Date> = [earliest, best, latest].into_iter().flatten().collect();
    if days.is_sorted() {
        return Ok(());
    }
    let seen: Vec<String> = days.iter().map(Date::to_string).collect();
    refuse(table, "earliest, best, latest", seen.join(", "), "Put the three days in order, for example 2026-08-01, 2026-08-10, 2026-08-20")
}
