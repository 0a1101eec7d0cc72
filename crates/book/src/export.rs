//! Everything in the book as open files: one CSV (RFC 4180, UTF-8) a table, each map as GeoJSON, and a manifest in JSON.
//!
//! ```text
//! book.json                     what is here: schema version, tables with columns, row counts and SHA-256
//! tables/yards.csv              one file a table, headings first, rows by number; blank (NULL) is bare, empty text is ""
//! maps/yard-3-map-7.geojson     each imported map, byte for byte; map_versions.csv names it in `geojson_file`
//! ```

use std::path::{Path, PathBuf};

use rusqlite::types::Value;
use serde::{Deserialize, Serialize};

use crate::book::Reading;
use crate::error::BookError;
use crate::{rfc4180, sha256};

/// What `format` says in a manifest.
pub const FORMAT: &str = "groundlore book";
/// The newest layout of the folder.
pub const FORMAT_VERSION: u32 = 1;

/// The manifest, `book.json`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Always [`FORMAT`].
    pub format: String,
    /// The layout of the folder.
    pub format_version: u32,
    /// The schema version of the book.
    pub schema_version: i64,
    /// The tables, in the order in which they were made.
    pub tables: Vec<TableFile>,
    /// The maps.
    pub maps: Vec<MapFile>,
}

/// One table in a manifest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TableFile {
    /// The table.
    pub table: String,
    /// Its file, from the folder on.
    pub file: String,
    /// How many rows.
    pub rows: u64,
    /// Its headings.
    pub columns: Vec<String>,
    /// The SHA-256 of the file. Whoever edits a file by hand takes this entry out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sha256: Option<String>,
}

/// One map in a manifest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MapFile {
    /// Its file, from the folder on.
    pub file: String,
    /// The SHA-256 of the file. Whoever edits a file by hand takes this entry out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sha256: Option<String>,
}

/// The one column whose texts go into files of their own.
pub(crate) const MAP_TABLE: &str = "map_versions";
pub(crate) const MAP_COLUMN: &str = "geojson";
pub(crate) const MAP_HEADING: &str = "geojson_file";

/// A file to write: its name from the folder on, and its text.
struct ExportFile {
    name: String,
    text: String,
}

impl Reading {
    /// Writes everything in the book to the new folder `folder`, as it stands at one moment. The folder takes its name only
    /// when all of it is written.
    ///
    /// # Errors
    /// [`BookError::AlreadyThere`] if `folder` is taken, [`BookError::File`] if it cannot be written; then nothing is left.
    pub fn export_to(&self, folder: impl AsRef<Path>) -> Result<Manifest, BookError> {
        let folder = folder.as_ref();
        if folder.exists() {
            return Err(BookError::AlreadyThere { path: folder.into() });
        }
        let (manifest, files) = self.at_one_moment(Reading::export_files)?;
        let mut unfinished = folder.as_os_str().to_os_string();
        unfinished.push(".unfinished");
        let unfinished = PathBuf::from(unfinished);
        let written = write_folder(&unfinished, &files)
            .and_then(|()| std::fs::rename(&unfinished, folder))
            .map_err(|source| BookError::File { path: folder.into(), doing: "writing the export", source });
        if written.is_err() {
            let _ = std::fs::remove_dir_all(&unfinished);
        }
        written.map(|()| manifest)
    }

    fn export_files(&self) -> Result<(Manifest, Vec<ExportFile>), BookError> {
        let mut files = self.map_files()?;
        let maps = files.iter().map(|map| MapFile { file: map.name.clone(), sha256: Some(sha256::hex(map.text.as_bytes())) }).collect();
        let mut tables = Vec::new();
        for table in self.table_names()? {
            let (entry, file) = self.table_file(&table)?;
            tables.push(entry);
            files.push(file);
        }
        let schema_version = self.schema_version()?;
        let manifest = Manifest { format: FORMAT.into(), format_version: FORMAT_VERSION, schema_version, tables, maps };
        let text = serde_json::to_string_pretty(&manifest).map_err(|error| BookError::WrongExport {
            path: "book.json".into(),
            line: None,
            what: error.to_string(),
            remedy: "Run `groundlore book check`".into(),
        })?;
        files.push(ExportFile { name: "book.json".into(), text: text + "\n" });
        Ok((manifest, files))
    }

    /// The tables in the order in which they were made.
    pub(crate) fn table_names(&self) -> Result<Vec<String>, BookError> {
        let sql = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY rowid";
        Ok(self.rows_as_values(sql)?.iter().map(|row| crate::record::shown(&row[0])).collect())
    }

    /// Name and declared type of each column of a table.
    pub(crate) fn columns_of(&self, table: &str) -> Result<Vec<(String, String)>, BookError> {
        let sql = format!("SELECT name, type FROM pragma_table_info('{table}') ORDER BY cid");
        let rows = self.rows_as_values(&sql)?;
        Ok(rows.iter().map(|row| (crate::record::shown(&row[0]), crate::record::shown(&row[1]))).collect())
    }

    fn map_files(&self) -> Result<Vec<ExportFile>, BookError> {
        let maps = self.all::<crate::yards::MapVersion>()?;
        Ok(maps.into_iter().map(|map| ExportFile { name: map_file_name(map.yard_id, map.id), text: map.geojson }).collect())
    }

    fn table_file(&self, table: &str) -> Result<(TableFile, ExportFile), BookError> {
        let columns = self.columns_of(table)?;
        let is_map = |name: &str| table == MAP_TABLE && name == MAP_COLUMN;
        let selected: Vec<String> = columns
            .iter()
            .map(
                |(name, _)| {
                    if is_map(name) { "'maps/yard-' || yard_id || '-map-' || id || '.geojson'".into() } else { format!("\"{name}\"") }
                },
            )
            .collect();
        let rows = self.rows_as_values(&format!("SELECT {} FROM \"{table}\" ORDER BY id", selected.join(", ")))?;
        let headings: Vec<String> =
            columns.iter().map(|(name, _)| if is_map(name) { MAP_HEADING.to_string() } else { name.clone() }).collect();
        let mut text = String::new();
        rfc4180::write_line(&mut text, headings.iter().map(|heading| Some(heading.as_str())));
        for row in &rows {
            let cells: Vec<Option<String>> = row.iter().map(cell).collect();
            rfc4180::write_line(&mut text, cells.iter().map(Option::as_deref));
        }
        let name = format!("tables/{table}.csv");
        let sha256 = Some(sha256::hex(text.as_bytes()));
        let entry = TableFile { table: table.into(), file: name.clone(), rows: rows.len() as u64, columns: headings, sha256 };
        Ok((entry, ExportFile { name, text }))
    }

    pub(crate) fn rows_as_values(&self, sql: &str) -> Result<Vec<Vec<Value>>, BookError> {
        let failed = |source| self.failed("reading the book", source);
        let mut statement = self.connection.prepare(sql).map_err(failed)?;
        let width = statement.column_count();
        let rows = statement.query_map([], |row| (0..width).map(|place| row.get::<_, Value>(place)).collect()).map_err(failed)?;
        rows.collect::<Result<Vec<Vec<Value>>, _>>().map_err(failed)
    }
}

fn map_file_name(yard_id: i64, map_version_id: i64) -> String {
    format!("maps/yard-{yard_id}-map-{map_version_id}.geojson")
}

/// A value as a CSV cell; a number prints with as many digits as bring it back exactly.
fn cell(value: &Value) -> Option<String> {
    match value {
        Value::Null => None,
        Value::Integer(whole) => Some(whole.to_string()),
        Value::Real(real) => Some(format!("{real:?}")),
        Value::Text(text) => Some(text.clone()),
        Value::Blob(bytes) => Some(bytes.iter().map(|byte| format!("{byte:02x}")).collect()),
    }
}

fn write_folder(folder: &Path, files: &[ExportFile]) -> std::io::Result<()> {
    if folder.exists() {
        std::fs::remove_dir_all(folder)?;
    }
    std::fs::create_dir_all(folder.join("tables"))?;
    std::fs::create_dir_all(folder.join("maps"))?;
    for file in files {
        let mut handle = std::fs::File::create_new(folder.join(&file.name))?;
        std::io::Write::write_all(&mut handle, file.text.as_bytes())?;
        handle.sync_all()?;
    }
    Ok(())
}
