//! A new book from a folder that [`Reading::export_to`](crate::Reading::export_to) wrote: the same, row for row.
//!
//! The rows go into a book of the schema version that the manifest names, in one transaction, and are then brought up to
//! today's schema like any older book. At the end the whole book is checked; if anything is wrong, no book is left behind.

use std::path::{Path, PathBuf};

use rusqlite::types::Value;
use rusqlite::{Transaction, TransactionBehavior, params_from_iter};

use crate::book::{Book, remove_with_logs};
use crate::error::BookError;
use crate::export::{FORMAT, FORMAT_VERSION, MAP_COLUMN, MAP_HEADING, MAP_TABLE, Manifest, TableFile};
use crate::{migrate, rfc4180, sha256};

const EDITED: &str = "Export again; or, if you edited the file on purpose, take its `sha256` out of book.json and set `rows` right";

impl Book {
    /// Makes a new book at `path` from an exported folder.
    ///
    /// # Errors
    /// [`BookError::AlreadyThere`] if `path` is taken; [`BookError::WrongExport`] with file and line; [`BookError::Newer`] for an
    /// export from a newer program. In each case no book is left at `path`.
    pub fn import_from(folder: impl AsRef<Path>, path: impl AsRef<Path>) -> Result<Book, BookError> {
        let (folder, path) = (folder.as_ref(), path.as_ref());
        let manifest = read_manifest(folder)?;
        let mut book = Book::create_at_version(path, manifest.schema_version)?;
        let filled =
            book.fill_from(folder, &manifest).and_then(|()| book.migrate_to(migrate::NEWEST)).and_then(|()| book.demand_sound(folder));
        match filled {
            Ok(()) => Ok(book),
            Err(error) => {
                drop(book);
                remove_with_logs(path);
                Err(error)
            }
        }
    }

    fn fill_from(&self, folder: &Path, manifest: &Manifest) -> Result<(), BookError> {
        let failed = |source| self.failed("importing", source);
        let transaction = Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate).map_err(failed)?;
        transaction.execute_batch("PRAGMA defer_foreign_keys = ON").map_err(failed)?;
        let ours = self.table_names()?;
        let theirs: Vec<&String> = manifest.tables.iter().map(|entry| &entry.table).collect();
        if theirs != ours.iter().collect::<Vec<_>>() {
            let what = "the tables are not the ones of its schema version";
            return Err(wrong(&folder.join("book.json"), None, what, "Export again with the program that made it"));
        }
        for entry in &manifest.tables {
            self.fill_table(folder, manifest, entry)?;
        }
        transaction.commit().map_err(failed)
    }

    fn fill_table(&self, folder: &Path, manifest: &Manifest, entry: &TableFile) -> Result<(), BookError> {
        let path = inside(folder, &entry.file)?;
        let text = read_file(&path, entry.sha256.as_deref())?;
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        let mut lines = rfc4180::read(text).map_err(|fault| wrong(&path, Some(fault.line), fault.what, "Save it again as CSV, UTF-8"))?;
        let columns = self.columns_of(&entry.table)?;
        check_headings(&path, &entry.table, &columns, lines.first())?;
        lines.remove(0);
        if lines.len() as u64 != entry.rows {
            let what = format!("{} rows are here, and book.json says {}", lines.len(), entry.rows);
            return Err(wrong(&path, None, what, EDITED));
        }
        let places = vec!["?"; columns.len()].join(", ");
        let sql = format!("INSERT INTO \"{}\" VALUES ({places})", entry.table);
        let mut statement = self.connection.prepare(&sql).map_err(|source| self.failed(&entry.table, source))?;
        for line in &lines {
            let values = row_values(&path, &columns, line)?;
            let values = if entry.table == MAP_TABLE { with_map(folder, manifest, &columns, values)? } else { values };
            statement.execute(params_from_iter(values)).map_err(|source| {
                let error = self.failed(&entry.table, source);
                wrong(&path, Some(line.number), error.to_string(), "Put the row right, or export again")
            })?;
        }
        Ok(())
    }

    fn demand_sound(&self, folder: &Path) -> Result<(), BookError> {
        match self.check()?.faults.first() {
            Some(fault) => Err(wrong(folder, None, fault.to_string(), "Check the book that was exported, and export again")),
            None => Ok(()),
        }
    }
}

fn wrong(path: &Path, line: Option<u64>, what: impl Into<String>, remedy: &str) -> BookError {
    BookError::WrongExport { path: path.into(), line, what: what.into(), remedy: remedy.into() }
}

/// The manifest of an exported folder.
///
/// # Errors
/// [`BookError::WrongExport`] if it is not one; [`BookError::Newer`] if a newer program wrote it.
pub fn read_manifest(folder: &Path) -> Result<Manifest, BookError> {
    let path = folder.join("book.json");
    let text = read_file(&path, None)?;
    let manifest: Manifest = serde_json::from_str(&text).map_err(|error| {
        wrong(&path, u64::try_from(error.line()).ok(), error.to_string(), "Give the folder that `groundlore book export` wrote")
    })?;
    if manifest.format != FORMAT {
        return Err(wrong(&path, None, format!("its format is `{}`, not `{FORMAT}`", manifest.format), "Give the folder of an export"));
    }
    if manifest.schema_version > migrate::NEWEST || manifest.format_version > FORMAT_VERSION {
        return Err(BookError::Newer { path, found: manifest.schema_version, known: migrate::NEWEST });
    }
    if manifest.schema_version < 1 {
        return Err(wrong(&path, None, format!("its schema version is {}", manifest.schema_version), "Export again"));
    }
    Ok(manifest)
}

/// A file of the folder; a name that leads out of it is refused.
fn inside(folder: &Path, name: &str) -> Result<PathBuf, BookError> {
    let plain = Path::new(name).components().all(|part| matches!(part, std::path::Component::Normal(_)));
    if plain && !name.is_empty() {
        return Ok(folder.join(name));
    }
    Err(wrong(&folder.join("book.json"), None, format!("the file name `{name}` leads out of the folder"), "Name a file inside the folder"))
}

fn read_file(path: &Path, sha256: Option<&str>) -> Result<String, BookError> {
    let bytes = std::fs::read(path).map_err(|source| BookError::File { path: path.into(), doing: "reading", source })?;
    if sha256.is_some_and(|expected| expected != sha256::hex(&bytes)) {
        return Err(wrong(path, None, "the file is not the one that was exported: its SHA-256 differs", EDITED));
    }
    String::from_utf8(bytes).map_err(|error| {
        wrong(path, None, format!("it is not UTF-8 text from byte {} on", error.utf8_error().valid_up_to()), "Save it again as UTF-8")
    })
}

fn check_headings(path: &Path, table: &str, columns: &[(String, String)], first: Option<&rfc4180::Line>) -> Result<(), BookError> {
    let expected = columns.iter().map(|(name, _)| if table == MAP_TABLE && name == MAP_COLUMN { MAP_HEADING } else { name.as_str() });
    let expected: Vec<Option<&str>> = expected.map(Some).collect();
    let seen: Vec<Option<&str>> = first.map(|line| line.fields.iter().map(Option::as_deref).collect()).unwrap_or_default();
    if seen == expected {
        return Ok(());
    }
    let words = |names: &[Option<&str>]| names.iter().map(|name| name.unwrap_or("")).collect::<Vec<_>>().join(",");
    Err(wrong(path, Some(1), format!("the headings are `{}`", words(&seen)), &format!("They should be `{}`", words(&expected))))
}

fn row_values(path: &Path, columns: &[(String, String)], line: &rfc4180::Line) -> Result<Vec<Value>, BookError> {
    if line.fields.len() != columns.len() {
        let what = format!("{} cells stand under {} headings", line.fields.len(), columns.len());
        return Err(wrong(path, Some(line.number), what, "Give each row as many cells as there are headings"));
    }
    line.fields.iter().zip(columns).map(|(field, (name, kind))| value(path, line.number, name, kind, field.as_deref())).collect()
}

fn value(path: &Path, line: u64, name: &str, kind: &str, field: Option<&str>) -> Result<Value, BookError> {
    let Some(text) = field else { return Ok(Value::Null) };
    let read = match kind {
        "INTEGER" => text.parse().ok().map(Value::Integer),
        "REAL" => text.parse::<f64>().ok().filter(|real| real.is_finite()).map(Value::Real),
        _ => Some(Value::Text(text.to_string())),
    };
    read.ok_or_else(|| {
        wrong(path, Some(line), format!("column `{name}`: `{text}` is not a number"), "Write it in digits, for example 12.5")
    })
}

/// Puts the map's text where its file name stands.
fn with_map(folder: &Path, manifest: &Manifest, columns: &[(String, String)], mut values: Vec<Value>) -> Result<Vec<Value>, BookError> {
    let place = columns.iter().position(|(name, _)| name == MAP_COLUMN);
    if let Some(slot) = place.and_then(|place| values.get_mut(place))
        && let Value::Text(name) = slot
    {
        let expected = manifest.maps.iter().find(|map| map.file == *name).and_then(|map| map.sha256.as_deref());
        *slot = Value::Text(read_file(&inside(folder, name)?, expected)?);
    }
    Ok(values)
}
