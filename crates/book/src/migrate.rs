//! The numbered steps that bring a book to today's schema.
//!
//! A book's `application_id` says that it is one, its `user_version` which steps it has had. Each step is one file under
//! `migrations/`, applied in one transaction together with its number: a process killed in the middle leaves the book at the
//! step before. Steps that were ever released are never edited; a change of schema is a new file.

use std::path::Path;

use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use crate::book::{Book, Reading};
use crate::error::BookError;

/// The `application_id` of a book: "GRLB".
pub const APPLICATION_ID: i64 = 0x4752_4C42;

/// The newest schema version that this program knows.
pub const NEWEST: i64 = STEPS.len() as i64;

/// The steps: number 1 is the first.
const STEPS: [&str; 11] = [
    include_str!("../migrations/0001_the_book.sql"),
    include_str!("../migrations/0002_work_log_and_dated_prices.sql"),
    include_str!("../migrations/0003_weather_files.sql"),
    include_str!("../migrations/0004_sightings.sql"),
    include_str!("../migrations/0005_forecasts.sql"),
    include_str!("../migrations/0006_hours_and_gauges.sql"),
    include_str!("../migrations/0007_letter_photos.sql"),
    include_str!("../migrations/0008_label_rules.sql"),
    include_str!("../migrations/0009_what_records_ask.sql"),
    include_str!("../migrations/0010_shares_and_nights_of_counts.sql"),
    include_str!("../migrations/0011_living_controls.sql"),
];

impl Book {
    /// Applies the steps that are still missing, up to `version`.
    pub(crate) fn migrate_to(&mut self, version: i64) -> Result<(), BookError> {
        while self.schema_version()? < version {
            self.take_next_step(version)?;
        }
        Ok(())
    }

    /// Takes one step, unless another process took it while we waited for our turn to write.
    fn take_next_step(&self, version: i64) -> Result<(), BookError> {
        let doing = "bringing the book up to date";
        let failed = |source| self.failed(doing, source);
        let transaction = Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate).map_err(failed)?;
        let has = self.schema_version()?;
        let step = usize::try_from(has).ok().filter(|_| has < version).and_then(|place| STEPS.get(place));
        if let Some(sql) = step {
            transaction.execute_batch(sql).map_err(failed)?;
            transaction.pragma_update(None, "application_id", APPLICATION_ID).map_err(failed)?;
            transaction.pragma_update(None, "user_version", has + 1).map_err(failed)?;
        }
        transaction.commit().map_err(failed)
    }
}

impl Reading {
    /// The schema version of this book.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn schema_version(&self) -> Result<i64, BookError> {
        number(&self.connection, "user_version").map_err(|source| self.failed("opening", source))
    }
}

/// Refuses a file that is not a book, or one from a newer program, without writing to it.
pub(crate) fn refuse_foreign_file(path: &Path) -> Result<(), BookError> {
    let failed = |source| BookError::from_sqlite(path, "opening", 0.0, source);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(path, flags).map_err(failed)?;
    connection.busy_timeout(crate::book::BUSY_TIMEOUT).map_err(failed)?;
    let id = number(&connection, "application_id").map_err(failed)?;
    let found = number(&connection, "user_version").map_err(failed)?;
    if id != APPLICATION_ID {
        let empty = std::fs::metadata(path).is_ok_and(|about| about.len() == 0);
        let why = if empty { "the file is empty".to_string() } else { format!("its application id is {id}, not {APPLICATION_ID}") };
        return Err(BookError::NotABook { path: path.into(), why });
    }
    if found > NEWEST {
        return Err(BookError::Newer { path: path.into(), found, known: NEWEST });
    }
    if found < 1 {
        return Err(BookError::NotABook { path: path.into(), why: format!("its schema version is {found}") });
    }
    Ok(())
}

fn number(connection: &Connection, pragma: &str) -> rusqlite::Result<i64> {
    connection.query_row(&format!("PRAGMA {pragma}"), [], |row| row.get(0))
}
