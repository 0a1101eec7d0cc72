//! A copy of the book, taken while work goes on.

use std::path::{Path, PathBuf};

use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};

use crate::book::{Book, Reading, remove_with_logs, sync_folder_of};
use crate::error::BookError;

/// What a backup holds.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct BackupReport {
    /// Where it is.
    pub path: PathBuf,
    /// Its size in bytes.
    pub bytes: u64,
    /// Its schema version.
    pub schema_version: i64,
    /// How many rows it holds, all tables together.
    pub rows: u64,
}

impl Reading {
    /// Copies the book, as it stands at one moment, to the new file `path`, and verifies the copy: it opens, every check of
    /// [`Reading::check`] passes, and only then does it take its name. Writers are not held up.
    ///
    /// # Errors
    /// [`BookError::AlreadyThere`] if `path` is taken; [`BookError::Damaged`] if the copy (so the book too) is not sound;
    /// [`BookError::DiskFull`]. In each case nothing is left at `path`.
    ///
    /// # Example
    /// ```
    /// # use groundlore_book::Book;
    /// # let folder = tempfile::tempdir().unwrap();
    /// let book = Book::create(folder.path().join("firm.book"))?;
    /// let copy = folder.path().join("monday.book");
    /// assert_eq!(book.backup_to(&copy)?.rows, 0);
    /// assert!(Book::open(&copy)?.check()?.is_sound());
    /// # Ok::<(), groundlore_book::BookError>(())
    /// ```
    pub fn backup_to(&self, path: impl AsRef<Path>) -> Result<BackupReport, BookError> {
        let path = path.as_ref();
        if path.exists() {
            return Err(BookError::AlreadyThere { path: path.into() });
        }
        let mut unfinished = path.as_os_str().to_os_string();
        unfinished.push(".unfinished");
        let unfinished = PathBuf::from(unfinished);
        remove_with_logs(&unfinished);
        let report = self.copy_pages(&unfinished).and_then(|()| verified(&unfinished)).and_then(|report| {
            let renamed = std::fs::rename(&unfinished, path);
            renamed.map_err(|source| BookError::File { path: path.into(), doing: "naming the backup", source })?;
            sync_folder_of(path)?;
            Ok(BackupReport { path: path.into(), ..report })
        });
        if report.is_err() {
            remove_with_logs(&unfinished);
        }
        report
    }

    /// Copies all pages in one step: in WAL mode that is one reader's view of one moment, and no writer waits for it.
    fn copy_pages(&self, to: &Path) -> Result<(), BookError> {
        let failed = |source| BookError::from_sqlite(to, "copying the book", self.busy_timeout.as_secs_f64(), source);
        let mut copy = Connection::open(to).map_err(failed)?;
        let backup = Backup::new(&self.connection, &mut copy).map_err(failed)?;
        let began = std::time::Instant::now();
        while backup.step(-1).map_err(failed)? != StepResult::Done {
            if began.elapsed() > self.busy_timeout {
                return Err(BookError::Busy { path: self.path.clone(), waited_s: self.busy_timeout.as_secs_f64() });
            }
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        drop(backup);
        copy.close().map_err(|(_, source)| failed(source))
    }
}

/// Opens a copy and checks all of it.
fn verified(copy: &Path) -> Result<BackupReport, BookError> {
    let book = Book::open(copy)?;
    let found = book.check()?;
    if let Some(fault) = found.faults.first() {
        return Err(BookError::Damaged { path: copy.into(), detail: fault.to_string() });
    }
    let schema_version = book.schema_version()?;
    book.close()?;
    let bytes = std::fs::File::open(copy).and_then(|file| file.sync_all().and_then(|()| file.metadata())).map(|about| about.len());
    let bytes = bytes.map_err(|source| BookError::File { path: copy.into(), doing: "syncing the backup", source })?;
    Ok(BackupReport { path: copy.into(), bytes, schema_version, rows: found.rows.values().sum() })
}
