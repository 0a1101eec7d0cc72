//! Making, opening, reading and writing a book.

use std::ops::Deref;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::types::Value;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior, params_from_iter};

use crate::error::BookError;
use crate::migrate;
use crate::record::{Amendable, Record};

/// How long a writer waits for another one before it gives up.
pub const BUSY_TIMEOUT: Duration = Duration::from_secs(5);

/// The book of one firm, open. Reading goes through [`Reading`], which it stands for; writing through [`Book::write`].
#[derive(Debug)]
pub struct Book {
    reading: Reading,
}

/// Reading access to an open book.
#[derive(Debug)]
pub struct Reading {
    pub(crate) connection: Connection,
    pub(crate) path: PathBuf,
    pub(crate) busy_timeout: Duration,
}

/// Writing access, inside one transaction: all of it is kept, or nothing.
#[derive(Debug)]
pub struct Writing<'a> {
    reading: &'a Reading,
}

impl Deref for Book {
    type Target = Reading;
    fn deref(&self) -> &Reading {
        &self.reading
    }
}

impl Deref for Writing<'_> {
    type Target = Reading;
    fn deref(&self) -> &Reading {
        self.reading
    }
}

impl Book {
    /// Makes a new, empty book at `path`.
    ///
    /// # Errors
    /// [`BookError::AlreadyThere`] if anything is at `path`; [`BookError::File`] if it cannot be made.
    pub fn create(path: impl AsRef<Path>) -> Result<Book, BookError> {
        let path = path.as_ref();
        Book::create_at_version(path, migrate::NEWEST)
    }

    /// Makes a new book with an older schema, for reading an older export.
    pub(crate) fn create_at_version(path: &Path, version: i64) -> Result<Book, BookError> {
        claim(path)?;
        let made = Book::connect(path).and_then(|mut book| {
            book.migrate_to(version)?;
            sync_folder_of(path)?;
            Ok(book)
        });
        if made.is_err() {
            remove_with_logs(path);
        }
        made
    }

    /// Opens the book at `path`; an older one is brought up to today's schema first.
    ///
    /// # Errors
    /// [`BookError::Missing`], [`BookError::NotABook`], [`BookError::Newer`], [`BookError::Damaged`], [`BookError::Busy`].
    pub fn open(path: impl AsRef<Path>) -> Result<Book, BookError> {
        let path = path.as_ref();
        let about = std::fs::metadata(path).map_err(|source| match source.kind() {
            std::io::ErrorKind::NotFound => BookError::Missing { path: path.into() },
            _ => BookError::File { path: path.into(), doing: "looking at the file", source },
        })?;
        if about.is_dir() {
            return Err(BookError::NotABook { path: path.into(), why: "it is a folder".into() });
        }
        migrate::refuse_foreign_file(path)?;
        let mut book = Book::connect(path)?;
        book.migrate_to(migrate::NEWEST)?;
        Ok(book)
    }

    /// A new, empty book that lives only in memory: for trying things out and for tests.
    ///
    /// # Errors
    /// Only if there is no memory left.
    pub fn open_in_memory() -> Result<Book, BookError> {
        let path = PathBuf::from(":memory:");
        let connection = Connection::open_in_memory().map_err(|source| BookError::from_sqlite(&path, "opening", 0.0, source))?;
        let mut book = Book { reading: Reading { connection, path, busy_timeout: BUSY_TIMEOUT } };
        book.set_pragmas()?;
        book.migrate_to(migrate::NEWEST)?;
        Ok(book)
    }

    fn connect(path: &Path) -> Result<Book, BookError> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags).map_err(|source| BookError::from_sqlite(path, "opening", 0.0, source))?;
        let mut book = Book { reading: Reading { connection, path: path.to_path_buf(), busy_timeout: BUSY_TIMEOUT } };
        book.set_pragmas()?;
        book.demand_write_ahead_log()?;
        Ok(book)
    }

    /// Durable (every commit reaches the disk), foreign keys on, nothing in the file trusted to run code.
    fn set_pragmas(&mut self) -> Result<(), BookError> {
        self.connection.set_prepared_statement_cache_capacity(128);
        self.set_busy_timeout(BUSY_TIMEOUT)?;
        self.connection
            .execute_batch(
                "PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL; PRAGMA fullfsync = ON; PRAGMA trusted_schema = OFF;
                 PRAGMA cell_size_check = ON; PRAGMA recursive_triggers = ON;",
            )
            .map_err(|source| self.failed("opening", source))
    }

    fn demand_write_ahead_log(&self) -> Result<(), BookError> {
        let mode: String = self
            .connection
            .query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0))
            .map_err(|source| self.failed("opening", source))?;
        if mode == "wal" {
            return Ok(());
        }
        let detail = format!("its disk keeps no write-ahead log, only `{mode}`: keep the book on a local disk");
        Err(BookError::NotWritable { path: self.path.clone(), detail })
    }

    /// How long a write waits for another writer before [`BookError::Busy`]; 5 s unless set.
    ///
    /// # Errors
    /// Only if SQLite refuses.
    pub fn set_busy_timeout(&mut self, timeout: Duration) -> Result<(), BookError> {
        self.reading.busy_timeout = timeout;
        self.connection.busy_timeout(timeout).map_err(|source| self.failed("opening", source))
    }

    /// Runs `work` in one transaction and returns when it is on the disk. Any error undoes all of it.
    ///
    /// # Errors
    /// [`BookError::Busy`] when another writer holds the book, and whatever `work` returns.
    ///
    /// # Example
    /// ```
    /// use groundlore_book::{Book, firm::Owner, yards::Yard};
    /// let mut book = Book::open_in_memory()?;
    /// book.write(|tx| {
    ///     let owner = tx.add(&Owner { name: "Juniper Vale".into(), ..Owner::default() })?;
    ///     tx.add(&Yard { owner_id: Some(owner), name: "Mill House".into(), ..Yard::default() })
    /// })?;
    /// let failed = book.write(|tx| {
    ///     tx.add(&Yard { name: "Quarry Edge".into(), ..Yard::default() })?;
    ///     tx.add(&Yard { name: "Mill House".into(), ..Yard::default() }) // taken
    /// });
    /// assert!(failed.is_err());
    /// assert_eq!(book.all::<Yard>()?.len(), 1); // nothing half-written
    /// # Ok::<(), groundlore_book::BookError>(())
    /// ```
    pub fn write<T>(&mut self, work: impl FnOnce(&Writing<'_>) -> Result<T, BookError>) -> Result<T, BookError> {
        self.try_write(work)
    }

    /// As [`Book::write`], for work with an error type of its own.
    ///
    /// # Errors
    /// As [`Book::write`].
    pub fn try_write<T, E: From<BookError>>(&mut self, work: impl FnOnce(&Writing<'_>) -> Result<T, E>) -> Result<T, E> {
        let reading = &self.reading;
        let transaction = Transaction::new_unchecked(&reading.connection, TransactionBehavior::Immediate)
            .map_err(|source| reading.failed("beginning to write", source))?;
        let outcome = work(&Writing { reading })?;
        transaction.commit().map_err(|source| reading.failed("finishing the write", source))?;
        Ok(outcome)
    }

    /// Closes the book and folds its log into the file. Dropping it does the same, without telling of errors.
    ///
    /// # Errors
    /// [`BookError::Sqlite`] if SQLite cannot close it.
    pub fn close(self) -> Result<(), BookError> {
        let Reading { connection, path, .. } = self.reading;
        connection.close().map_err(|(_, source)| BookError::from_sqlite(&path, "closing", 0.0, source))
    }
}

impl Reading {
    /// The file, or `:memory:`.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Runs `work` on one unchanging view of the book, whatever others write meanwhile.
    ///
    /// # Errors
    /// Whatever `work` returns.
    pub fn at_one_moment<T>(&self, work: impl FnOnce(&Reading) -> Result<T, BookError>) -> Result<T, BookError> {
        if !self.connection.is_autocommit() {
            return work(self);
        }
        let failed = |source| self.failed("reading the book", source);
        let transaction = Transaction::new_unchecked(&self.connection, TransactionBehavior::Deferred).map_err(failed)?;
        let outcome = work(self)?;
        transaction.finish().map_err(failed)?;
        Ok(outcome)
    }

    /// The row numbered `id`.
    ///
    /// # Errors
    /// [`BookError::NotFound`] if there is none.
    pub fn one<R: Record>(&self, id: i64) -> Result<R, BookError> {
        self.find(id)?.ok_or_else(|| BookError::NotFound {
            table: R::TABLE.into(),
            what: format!("with number {id}"),
            remedy: "List the rows to see which numbers there are".into(),
        })
    }

    /// The row numbered `id`, if there is one.
    ///
    /// # Errors
    /// If the row cannot be read.
    pub fn find<R: Record>(&self, id: i64) -> Result<Option<R>, BookError> {
        self.first_where("id = ?1", [id])
    }

    /// All rows of a table, by number.
    ///
    /// # Errors
    /// If a row cannot be read.
    pub fn all<R: Record>(&self) -> Result<Vec<R>, BookError> {
        self.rows_where("1 ORDER BY id", [])
    }

    /// How many rows a table has.
    ///
    /// # Errors
    /// If the table cannot be read.
    pub fn how_many<R: Record>(&self) -> Result<i64, BookError> {
        let sql = format!("SELECT count(*) FROM \"{}\"", R::TABLE);
        self.connection.query_row(&sql, [], |row| row.get(0)).map_err(|source| self.failed(R::TABLE, source))
    }

    /// Rows that satisfy a condition, which may end in ORDER BY.
    pub(crate) fn rows_where<R: Record>(&self, condition: &str, values: impl rusqlite::Params) -> Result<Vec<R>, BookError> {
        self.rows_from(R::TABLE, condition, values)
    }

    /// Rows of a view that has the record's columns.
    pub(crate) fn rows_from<R: Record>(&self, view: &str, condition: &str, values: impl rusqlite::Params) -> Result<Vec<R>, BookError> {
        let sql = format!("SELECT id, {} FROM \"{view}\" WHERE {condition}", quoted(R::COLUMNS));
        let failed = |source| self.failed(R::TABLE, source);
        let mut statement = self.connection.prepare_cached(&sql).map_err(failed)?;
        let mut rows = statement.query(values).map_err(failed)?;
        let mut found = Vec::new();
        while let Some(row) = rows.next().map_err(failed)? {
            found.push(R::from_row(row)?);
        }
        Ok(found)
    }

    /// The first row that satisfies a condition.
    pub(crate) fn first_where<R: Record>(&self, condition: &str, values: impl rusqlite::Params) -> Result<Option<R>, BookError> {
        Ok(self.rows_where(condition, values)?.into_iter().next())
    }

    /// An SQLite error, told in our words.
    pub(crate) fn failed(&self, table: &str, source: rusqlite::Error) -> BookError {
        BookError::from_sqlite(&self.path, table, self.busy_timeout.as_secs_f64(), source)
    }
}

impl Writing<'_> {
    /// Writes a new row and returns its number. The record's own `id` is not used.
    ///
    /// # Errors
    /// [`BookError::InvalidValue`] or [`BookError::Refused`] with the column and what would be right.
    pub fn add<R: Record>(&self, record: &R) -> Result<i64, BookError> {
        let values = record.values()?;
        let places = vec!["?"; values.len()].join(", ");
        let sql = format!("INSERT INTO \"{}\" ({}) VALUES ({places})", R::TABLE, quoted(R::COLUMNS));
        self.run(R::TABLE, &sql, values)?;
        Ok(self.connection.last_insert_rowid())
    }

    /// Writes the record over the row that has its `id`.
    ///
    /// # Errors
    /// As [`Writing::add`], and [`BookError::NotFound`].
    pub fn change<R: Amendable>(&self, record: &R) -> Result<(), BookError> {
        self.overwrite(record)
    }

    /// As [`Writing::change`], for rooms that write a log line beside it.
    pub(crate) fn overwrite<R: Record>(&self, record: &R) -> Result<(), BookError> {
        let mut values = record.values()?;
        values.push(Value::Integer(record.id()));
        let sql = format!("UPDATE \"{}\" SET {} = ? WHERE id = ?", R::TABLE, quoted(R::COLUMNS).replace(", ", " = ?, "));
        let changed = self.run(R::TABLE, &sql, values)?;
        if changed == 1 { Ok(()) } else { self.one::<R>(record.id()).map(|_| ()) }
    }

    /// Removes the row numbered `id`, unless other rows name it.
    ///
    /// # Errors
    /// [`BookError::NotFound`], or [`BookError::Refused`] when other rows still need it.
    pub fn remove<R: Amendable>(&self, id: i64) -> Result<(), BookError> {
        self.one::<R>(id)?;
        self.run(R::TABLE, &format!("DELETE FROM \"{}\" WHERE id = ?", R::TABLE), vec![Value::Integer(id)]).map(|_| ())
    }

    pub(crate) fn run(&self, table: &str, sql: &str, values: Vec<Value>) -> Result<usize, BookError> {
        let failed = |source| self.failed(table, source);
        let mut statement = self.connection.prepare_cached(sql).map_err(failed)?;
        statement.execute(params_from_iter(values)).map_err(failed)
    }
}

/// Column names for SQL.
fn quoted(columns: &[&str]) -> String {
    columns.iter().map(|column| format!("\"{column}\"")).collect::<Vec<_>>().join(", ")
}

/// Takes the name `path`, so that two makers cannot both have it.
fn claim(path: &Path) -> Result<(), BookError> {
    match std::fs::OpenOptions::new().write(true).create_new(true).open(path) {
        Ok(_) => Ok(()),
        Err(source) if source.kind() == std::io::ErrorKind::AlreadyExists => Err(BookError::AlreadyThere { path: path.into() }),
        Err(source) => Err(BookError::File { path: path.into(), doing: "making the file", source }),
    }
}

/// Makes the file's name itself durable.
pub(crate) fn sync_folder_of(path: &Path) -> Result<(), BookError> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    if cfg!(not(unix)) {
        return Ok(());
    }
    let synced = std::fs::File::open(folder).and_then(|folder| folder.sync_all());
    synced.map_err(|source| BookError::File { path: folder.into(), doing: "syncing the folder", source })
}

/// Removes a book that was not finished, with its logs. What is not there is no error.
pub(crate) fn remove_with_logs(path: &Path) {
    for ending in ["", "-wal", "-shm", "-journal"] {
        let mut name = path.as_os_str().to_os_string();
        name.push(ending);
        let _ = std::fs::remove_file(name);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn every_commit_reaches_the_disk_and_every_reference_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let book = Book::create(folder.path().join("firm.book")).unwrap();
        // 2 is FULL (SQLite documentation, "PRAGMA synchronous", memory).
        for (pragma, expected) in
            [("synchronous", 2), ("foreign_keys", 1), ("recursive_triggers", 1), ("trusted_schema", 0), ("busy_timeout", 5000)]
        {
            let found: i64 = book.connection.query_row(&format!("PRAGMA {pragma}"), [], |row| row.get(0)).unwrap();
            assert_eq!(found, expected, "{pragma}");
        }
    }

    #[test]
    fn a_full_disk_is_told_and_the_step_undone() {
        let folder = tempfile::tempdir().unwrap();
        let mut book = Book::create(folder.path().join("firm.book")).unwrap();
        let pages: i64 = book.connection.query_row("PRAGMA page_count", [], |row| row.get(0)).unwrap();
        let _: i64 = book.connection.query_row(&format!("PRAGMA max_page_count = {}", pages + 3), [], |row| row.get(0)).unwrap();
        let owner = |n: usize| crate::firm::Owner { name: format!("owner {n}"), note: Some("x".repeat(3000)), ..Default::default() };
        let full = book.write(|tx| (0..50).try_for_each(|n| tx.add(&owner(n)).map(|_| ())));
        assert!(matches!(full, Err(BookError::DiskFull { .. })), "{full:?}");
        assert_eq!(book.how_many::<crate::firm::Owner>().unwrap(), 0);
        assert!(book.check().unwrap().is_sound());
    }
}
