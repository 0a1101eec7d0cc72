//! What can go wrong with a book: each error names the place, what was seen and what to do about it.

use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;

/// An error of the book.
#[derive(Debug, thiserror::Error)]
pub enum BookError {
    /// No file is there.
    #[error("{}: there is no book here. Make one with `groundlore book create {}`, or give the path of yours", path.display(), path.display())]
    Missing {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// A file is there already and would be overwritten.
    #[error("{}: something is here already and is left as it is. Choose a new name, or move the old one away first", path.display())]
    AlreadyThere {
        /// The path that is taken.
        path: PathBuf,
    },
    /// The file is something else.
    #[error("{}: this is not a groundlore book ({why}). Give the path of a file made with `groundlore book create`", path.display())]
    NotABook {
        /// The file.
        path: PathBuf,
        /// How it shows.
        why: String,
    },
    /// The file was written by a newer program.
    #[error(
        "{}: this book has schema version {found}, and this program knows versions up to {known}. Use the newer program; the book is untouched",
        path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its schema version.
        found: i64,
        /// The newest that we know.
        known: i64,
    },
    /// The file is damaged.
    #[error(
        "{}: the book is damaged ({detail}). Work on a copy: keep this file, and go back to the last backup made with `groundlore book backup`",
        path.display()
    )]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What SQLite found.
        detail: String,
    },
    /// Another writer holds the book.
    #[error(
        "{}: another program is writing to this book, and it did not finish within {waited_s} s. Nothing was written; close the other program or try again",
        path.display()
    )]
    Busy {
        /// The file.
        path: PathBuf,
        /// How long we waited, in seconds.
        waited_s: f64,
    },
    /// The disk is full.
    #[error("{}: the disk is full. Nothing of this step was written; free some space and do it again", path.display())]
    DiskFull {
        /// The file.
        path: PathBuf,
    },
    /// The file or its folder may not be written.
    #[error("{}: the book cannot be written ({detail}). Check the rights of the file and of its folder", path.display())]
    NotWritable {
        /// The file.
        path: PathBuf,
        /// What SQLite said.
        detail: String,
    },
    /// A value that its column does not take.
    #[error("{table}.{column}: `{value}` cannot be. {remedy}")]
    InvalidValue {
        /// The table.
        table: String,
        /// The column.
        column: String,
        /// The value seen.
        value: String,
        /// What would be right, with an example.
        remedy: String,
    },
    /// The file's own rule refused a row.
    #[error("{table}: the row is refused ({rule}). {remedy}")]
    Refused {
        /// The table written to.
        table: String,
        /// The rule, as SQLite names it.
        rule: String,
        /// What to do.
        remedy: String,
    },
    /// An append-only table was to be changed.
    #[error("{table}: {detail}")]
    AppendOnly {
        /// The table.
        table: String,
        /// What the trigger said, with the remedy.
        detail: String,
    },
    /// No such row.
    #[error("{table}: there is no row {what}. {remedy}")]
    NotFound {
        /// The table.
        table: String,
        /// The number or name asked for.
        what: String,
        /// What to do.
        remedy: String,
    },
    /// A stored value could not be read back.
    #[error(
        "{table}.{column}: the stored value `{value}` is not {expected}. Run `groundlore book check` and restore the row from a backup"
    )]
    Unreadable {
        /// The table.
        table: String,
        /// The column.
        column: String,
        /// What is stored.
        value: String,
        /// What should be.
        expected: String,
    },
    /// Reading or writing a file beside the book failed.
    #[error("{}: {doing} failed: {source}", path.display())]
    File {
        /// The file or folder.
        path: PathBuf,
        /// What was being done.
        doing: &'static str,
        /// The cause.
        source: std::io::Error,
    },
    /// A folder of exported files is wrong.
    #[error("{}{}: {what}. {remedy}", path.display(), line.map(|line| format!(", line {line}")).unwrap_or_default())]
    WrongExport {
        /// The file.
        path: PathBuf,
        /// The line, where one is to blame.
        line: Option<u64>,
        /// What is wrong, with the value seen.
        what: String,
        /// What to do.
        remedy: String,
    },
    /// Rows of a sheet are wrong; nothing was taken.
    #[error("{}", crate::sheet::faults_text(.0))]
    Rows(Vec<crate::sheet::RowFault>),
    /// Anything else that SQLite reports.
    #[error("{}: {doing} failed: {source}", path.display())]
    Sqlite {
        /// The file.
        path: PathBuf,
        /// What was being done.
        doing: String,
        /// The cause.
        source: rusqlite::Error,
    },
}

impl BookError {
    /// Sorts an SQLite error by what the user can do about it. `table` is the table at work, or what was being done.
    pub(crate) fn from_sqlite(path: &Path, table: &str, waited_s: f64, source: rusqlite::Error) -> BookError {
        let path = path.to_path_buf();
        let rusqlite::Error::SqliteFailure(failure, message) = &source else {
            return BookError::Sqlite { path, doing: table.to_string(), source };
        };
        let detail = message.clone().unwrap_or_else(|| failure.to_string());
        match failure.code {
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => BookError::Busy { path, waited_s },
            ErrorCode::DatabaseCorrupt => BookError::Damaged { path, detail },
            ErrorCode::NotADatabase => BookError::NotABook { path, why: detail },
            ErrorCode::DiskFull => BookError::DiskFull { path },
            ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied => BookError::NotWritable { path, detail },
            ErrorCode::ConstraintViolation => refusal(table, detail),
            _ => BookError::Sqlite { path, doing: table.to_string(), source },
        }
    }
}

/// What a broken rule of the file means for the user.
fn refusal(table: &str, rule: String) -> BookError {
    let table = table.to_string();
    if rule.contains("append-only") || rule.contains("never changed") || rule.contains("never removed") {
        return BookError::AppendOnly { table, detail: rule };
    }
    let remedy = if rule.starts_with("FOREIGN KEY") {
        "It names another row that is not in the book, or other rows still need it: write or change those first"
    } else if rule.starts_with("UNIQUE") {
        "A row with that name is there already: change that one, or choose another name"
    } else if rule.starts_with("NOT NULL") {
        "This value is needed: fill it in"
    } else {
        "Put in a value that keeps the rule, or leave it blank where it was not checked"
    };
    BookError::Refused { table, rule, remedy: remedy.to_string() }
}
