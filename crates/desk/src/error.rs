//! What went wrong at the desk, with the place, the value and the remedy.

use groundlore_book::BookError;

/// An error of a use case.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// The book.
    #[error(transparent)]
    Book(#[from] BookError),
    /// Lore.
    #[error("{0}")]
    Lore(String),
    /// Weather.
    #[error(transparent)]
    Weather(#[from] groundlore_weather::WeatherError),
    /// A map that cannot be used.
    #[error("{0}")]
    Map(String),
    /// A letter that cannot be read.
    #[error("{0}")]
    Letter(String),
    /// A calculation refused its input.
    #[error(transparent)]
    Work(#[from] groundlore_work::WorkError),
    /// A quantity that cannot be read.
    #[error("{what}: {source}")]
    Quantity {
        /// Which value.
        what: String,
        /// What is wrong.
        source: groundlore_quantity::QuantityError,
    },
    /// Something is missing that the use case needs.
    #[error("{what}; {remedy}")]
    Missing {
        /// What is missing.
        what: String,
        /// What to do.
        remedy: String,
    },
    /// A value that cannot be used.
    #[error("{what}: {value} {why}; {remedy}")]
    Refused {
        /// Which value.
        what: String,
        /// The value.
        value: String,
        /// Why it cannot be used.
        why: String,
        /// What to do.
        remedy: String,
    },
    /// A science refused its input.
    #[error("{0}")]
    Science(String),
}

impl DeskError {
    /// Something is missing.
    pub fn missing(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::Missing { what: what.into(), remedy: remedy.into() }
    }

    /// A science's error in its own words.
    pub fn science(error: impl std::fmt::Display) -> Self {
        Self::Science(error.to_string())
    }
}
