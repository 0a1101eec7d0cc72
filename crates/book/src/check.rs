//! Is the book sound? SQLite's own checks first, then the rules of the trade that the file should have kept.

use std::collections::BTreeMap;

use crate::book::{Book, Reading};
use crate::error::BookError;
use crate::migrate;

/// What a check found.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct CheckReport {
    /// How many rows each table has.
    pub rows: BTreeMap<String, u64>,
    /// What is wrong.
    pub faults: Vec<Fault>,
}

impl CheckReport {
    /// Nothing is wrong.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty()
    }
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Fault {
    /// The table, trigger or file part.
    pub place: String,
    /// What is wrong there.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}. {}", self.place, self.what, self.remedy)
    }
}

/// A rule over rows: the query gives the numbers of the rows that break it.
struct Invariant {
    place: &'static str,
    broken_by: &'static str,
    what: &'static str,
    remedy: &'static str,
}

const RESTORE: &str = "Keep this file as it is and go back to the last sound backup";

const INVARIANTS: [Invariant; 9] = [
    Invariant {
        place: "application_records",
        broken_by: "SELECT max(id) FROM application_records HAVING max(id) <> count(*)",
        what: "a line is missing: the numbers do not run on to",
        remedy: RESTORE,
    },
    Invariant {
        place: "label_cards",
        broken_by: "SELECT max(id) FROM label_cards HAVING max(id) <> count(*)",
        what: "a card is missing: the numbers do not run on to",
        remedy: RESTORE,
    },
    Invariant {
        place: "machine_hours",
        broken_by: "SELECT max(id) FROM machine_hours HAVING max(id) <> count(*)",
        what: "a line is missing: the numbers do not run on to",
        remedy: RESTORE,
    },
    Invariant {
        place: "application_records",
        broken_by: "SELECT id FROM application_records WHERE corrects_id >= id
                    OR corrects_id IN (SELECT corrects_id FROM application_records GROUP BY corrects_id HAVING count(*) > 1)",
        what: "a line corrects a later one, or one that another line corrects too: number",
        remedy: RESTORE,
    },
    Invariant {
        place: "label_cards",
        broken_by: "SELECT id FROM label_cards
                    WHERE replaces_id IN (SELECT replaces_id FROM label_cards GROUP BY replaces_id HAVING count(*) > 1)",
        what: "a card was replaced twice: number",
        remedy: RESTORE,
    },
    Invariant {
        place: "areas",
        broken_by:
            "SELECT part.id FROM (SELECT id, yard_id, map_version_id FROM areas UNION ALL SELECT id, yard_id, map_version_id FROM edges
                    UNION ALL SELECT id, yard_id, map_version_id FROM trees UNION ALL SELECT id, yard_id, map_version_id FROM structures
                    UNION ALL SELECT id, yard_id, map_version_id FROM bed_plants
                    UNION ALL SELECT id, yard_id, map_version_id FROM patches) AS part
                    JOIN map_versions ON map_versions.id = part.map_version_id WHERE map_versions.yard_id <> part.yard_id",
        what: "a part of a map belongs to another yard than its map: number",
        remedy: "Import that yard's map again",
    },
    Invariant {
        place: "counts",
        broken_by: "SELECT counts.id FROM counts JOIN count_sessions AS session ON session.id = counts.session_id
                    WHERE counts.trouble <> session.trouble",
        what: "a count is of another trouble than its session: number",
        remedy: "Move it to a session of its own trouble",
    },
    Invariant {
        place: "task_changes",
        broken_by: "SELECT tasks.id FROM tasks JOIN task_changes AS latest
                    ON latest.id = (SELECT max(id) FROM task_changes WHERE task_id = tasks.id) WHERE latest.to_state <> tasks.state",
        what: "a task's state is not the last one in its log: task number",
        remedy: "Set the task's state again",
    },
    Invariant {
        place: "proposal_changes",
        broken_by: "SELECT proposals.id FROM proposals JOIN proposal_changes AS latest
                    ON latest.id = (SELECT max(id) FROM proposal_changes WHERE proposal_id = proposals.id)
                    WHERE latest.to_state <> proposals.state",
        what: "a proposal's state is not the last one in its log: proposal number",
        remedy: "Set the proposal's state again",
    },
];

impl Reading {
    /// Checks the whole book: SQLite's `integrity_check` (pages, indexes, CHECK and NOT NULL rules), foreign keys, the
    /// schema against the one this program makes (a dropped trigger shows), and the rules of the trade.
    ///
    /// # Errors
    /// Only if the book cannot be read at all; what is wrong inside it is in the report.
    pub fn check(&self) -> Result<CheckReport, BookError> {
        self.at_one_moment(Reading::check_now)
    }

    fn check_now(&self) -> Result<CheckReport, BookError> {
        let mut faults = self.page_faults()?;
        if faults.is_empty() {
            faults.extend(self.schema_faults()?);
            faults.extend(self.reference_faults()?);
            faults.extend(self.broken_invariants()?);
        }
        let rows = if faults.is_empty() { self.rows_by_table()? } else { self.rows_by_table().unwrap_or_default() };
        Ok(CheckReport { rows, faults })
    }

    /// How many rows each table has.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn rows_by_table(&self) -> Result<BTreeMap<String, u64>, BookError> {
        let tables = self.texts("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")?;
        let mut rows = BTreeMap::new();
        for table in tables {
            let sql = format!("SELECT count(*) FROM \"{table}\"");
            let count: i64 = self.connection.query_row(&sql, [], |row| row.get(0)).map_err(|source| self.failed(&table, source))?;
            rows.insert(table, count.unsigned_abs());
        }
        Ok(rows)
    }

    fn page_faults(&self) -> Result<Vec<Fault>, BookError> {
        let found = self.texts("PRAGMA integrity_check(20)")?;
        let wrong = found.into_iter().filter(|line| line != "ok");
        Ok(wrong.map(|what| Fault { place: "file".into(), what, remedy: RESTORE.into() }).collect())
    }

    fn reference_faults(&self) -> Result<Vec<Fault>, BookError> {
        let sql = "SELECT \"table\" || ' row ' || coalesce(rowid, '?') || ' names a row of ' || parent || ' that is not there'
                   FROM pragma_foreign_key_check";
        let found = self.texts(sql)?;
        Ok(found.into_iter().map(|what| Fault { place: "references".into(), what, remedy: RESTORE.into() }).collect())
    }

    /// The schema must be word for word the one that the migrations make.
    fn schema_faults(&self) -> Result<Vec<Fault>, BookError> {
        let ours = Book::open_in_memory()?.schema()?;
        let here = self.schema()?;
        let lost = ours.iter().filter(|(name, sql)| here.get(*name) != Some(*sql)).map(|(name, _)| (name, "is missing or was changed"));
        let extra = here.keys().filter(|name| !ours.contains_key(*name)).map(|name| (name, "is not one of ours"));
        let remedy = format!("{RESTORE}; or export this book and import it into a new one (schema version {})", migrate::NEWEST);
        Ok(lost.chain(extra).map(|(name, what)| Fault { place: name.clone(), what: what.into(), remedy: remedy.clone() }).collect())
    }

    fn schema(&self) -> Result<BTreeMap<String, String>, BookError> {
        let pairs = "SELECT type || ' ' || name || char(31) || sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'";
        let found = self.texts(pairs)?;
        Ok(found.iter().filter_map(|pair| pair.split_once('\u{1f}')).map(|(name, sql)| (name.into(), sql.into())).collect())
    }

    fn broken_invariants(&self) -> Result<Vec<Fault>, BookError> {
        let mut faults = Vec::new();
        for rule in &INVARIANTS {
            let numbers = self
                .texts(&format!("SELECT CAST(broken.id AS TEXT) FROM (SELECT * FROM ({}) LIMIT 20) AS broken", with_id(rule.broken_by)))?;
            faults.extend(numbers.iter().map(|number| Fault {
                place: rule.place.into(),
                what: format!("{} {number}", rule.what),
                remedy: rule.remedy.into(),
            }));
        }
        Ok(faults)
    }

    fn texts(&self, sql: &str) -> Result<Vec<String>, BookError> {
        let failed = |source| self.failed("checking the book", source);
        let mut statement = self.connection.prepare(sql).map_err(failed)?;
        let found = statement.query_map([], |row| row.get(0)).map_err(failed)?;
        found.collect::<Result<Vec<String>, _>>().map_err(failed)
    }
}

/// Names the first column of an invariant's query `id`.
fn with_id(query: &str) -> String {
    query.replacen("SELECT max(id) FROM", "SELECT max(id) AS id FROM", 1)
}
