//! Random rows for every table, made from the schema itself: a new table or column is reached without a word here.

use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};

/// All rows of all tables, in order.
pub(crate) fn all_rows(path: &std::path::Path) -> Vec<(String, Vec<Vec<Value>>)> {
    let raw = Connection::open(path).unwrap();
    let rows_of = |table: &str| {
        let mut statement = raw.prepare(&format!("SELECT * FROM \"{table}\" ORDER BY id")).unwrap();
        let width = statement.column_count();
        let rows = statement.query_map([], |row| (0..width).map(|place| row.get(place)).collect()).unwrap();
        rows.map(Result::unwrap).collect()
    };
    tables(&raw).into_iter().map(|table| (table.clone(), rows_of(&table))).collect()
}

fn tables(raw: &Connection) -> Vec<String> {
    texts(raw, "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY rowid")
}

fn texts(raw: &Connection, sql: &str) -> Vec<String> {
    let mut statement = raw.prepare(sql).unwrap();
    let found = statement.query_map([], |row| row.get(0)).unwrap();
    found.map(Result::unwrap).collect()
}

/// A column of the schema.
struct Column {
    name: String,
    kind: String,
    needed: bool,
    parent: Option<String>,
    /// The words that its CHECK names.
    words: Vec<String>,
    rule: String,
}

/// Fills a book with random rows.
pub(crate) struct AnyBook {
    raw: Connection,
    state: u64,
}

impl AnyBook {
    pub(crate) fn new(path: &std::path::Path, seed: u64) -> AnyBook {
        let raw = Connection::open(path).unwrap();
        raw.set_prepared_statement_cache_capacity(200);
        raw.execute_batch("PRAGMA foreign_keys = ON; PRAGMA synchronous = OFF; BEGIN").unwrap();
        AnyBook { raw, state: seed }
    }

    /// Tries `rows` rows a table; a row that the file refuses is tried again.
    pub(crate) fn fill(mut self, rows: u64) {
        for table in tables(&self.raw) {
            let columns = self.columns(&table);
            for _ in 0..self.below(rows + 1) {
                for _attempt in 0..40 {
                    if self.try_row(&table, &columns) {
                        break;
                    }
                }
            }
        }
        // What the rooms keep in step, and a random row does not.
        self.raw
            .execute_batch(
                "UPDATE counts SET trouble = (SELECT trouble FROM count_sessions WHERE id = session_id);
                 UPDATE task_changes SET to_state = (SELECT state FROM tasks WHERE tasks.id = task_id);
                 UPDATE proposal_changes SET to_state = (SELECT state FROM proposals WHERE proposals.id = proposal_id);
                 COMMIT",
            )
            .unwrap();
        for part in ["areas", "edges", "trees", "structures", "bed_plants", "patches"] {
            let sql = format!("UPDATE {part} SET yard_id = (SELECT yard_id FROM map_versions WHERE map_versions.id = map_version_id)");
            self.raw.execute_batch(&sql).unwrap();
        }
    }

    fn try_row(&mut self, table: &str, columns: &[Column]) -> bool {
        let values: Vec<Value> = columns.iter().map(|column| self.value(column)).collect();
        let names: Vec<String> = columns.iter().map(|column| format!("\"{}\"", column.name)).collect();
        let places = vec!["?"; names.len()].join(", ");
        let sql = format!("INSERT INTO \"{table}\" ({}) VALUES ({places})", names.join(", "));
        self.raw.prepare_cached(&sql).unwrap().execute(params_from_iter(values)).is_ok()
    }

    fn columns(&self, table: &str) -> Vec<Column> {
        let schema: String = self.raw.query_row("SELECT sql FROM sqlite_schema WHERE name = ?1", [table], |row| row.get(0)).unwrap();
        let mut statement =
            self.raw.prepare(&format!("SELECT name, type, \"notnull\" FROM pragma_table_info('{table}') WHERE name <> 'id'")).unwrap();
        let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?))).unwrap();
        let found: Vec<(String, String, bool)> = rows.map(Result::unwrap).collect();
        let names: Vec<(String, String)> = found.iter().map(|(name, kind, _)| (name.clone(), kind.clone())).collect();
        found
            .into_iter()
            .map(|(name, kind, needed)| {
                let parents =
                    texts(&self.raw, &format!("SELECT \"table\" FROM pragma_foreign_key_list('{table}') WHERE \"from\" = '{name}'"));
                // Columns added later stand all on one line with the end of the table: each ends where the next begins.
                let start = schema.find(&format!(" {name} {kind}")).unwrap();
                let line = schema[start..].lines().next().unwrap();
                let next = names.iter().filter_map(|(other, kind)| line.find(&format!(", {other} {kind}"))).min();
                let rule = line[..next.unwrap_or(line.len())].to_string();
                let words = rule.split_once(" IN (").map(|(_, rest)| rest.split('\'').skip(1).step_by(2).map(str::to_string).collect());
                Column { name, kind, needed, parent: parents.into_iter().next(), words: words.unwrap_or_default(), rule }
            })
            .collect()
    }

    fn value(&mut self, column: &Column) -> Value {
        if !column.needed && self.below(3) == 0 {
            return Value::Null;
        }
        if let Some(parent) = &column.parent {
            let sql = format!("SELECT id FROM \"{parent}\" ORDER BY id");
            let ids: Vec<i64> = {
                let mut statement = self.raw.prepare_cached(&sql).unwrap();
                let ids = statement.query_map([], |row| row.get(0)).unwrap();
                ids.map(Result::unwrap).collect()
            };
            return if ids.is_empty() { Value::Null } else { Value::Integer(ids[self.pick(ids.len())]) };
        }
        if !column.words.is_empty() {
            return Value::Text(column.words[self.pick(column.words.len())].clone());
        }
        match column.kind.as_str() {
            "INTEGER" if column.name == "year" => Value::Integer(1990 + self.below(60).cast_signed()),
            "INTEGER" if column.rule.contains("IN (0, 1)") => Value::Integer(self.below(2).cast_signed()),
            "INTEGER" => Value::Integer(self.below(1000).cast_signed()),
            // A rule that no figure below nothing passes would else refuse nearly every row of a wide table.
            "REAL" if column.rule.contains("> 0)") => Value::Real(self.real().abs().max(5e-324)),
            "REAL" if column.rule.contains(">= 0)") => Value::Real(self.real().abs()),
            "REAL" => Value::Real(self.real()),
            _ => Value::Text(self.text(&column.rule)),
        }
    }

    fn text(&mut self, rule: &str) -> String {
        let (year, month, day) = (1950 + self.below(100), 1 + self.below(12), 1 + self.below(28));
        if rule.contains("strftime") {
            let (hour, second, part) = (self.below(24), self.below(60), self.below(1000));
            return format!("{year}-{month:02}-{day:02}T{hour:02}:07:{second:02}.{part:03}Z");
        }
        if rule.contains("date(") {
            return format!("{year}-{month:02}-{day:02}");
        }
        if rule.contains("GLOB 'image/*'") {
            return "image/png".into();
        }
        if rule.contains("json_valid") {
            let json = ["{}", "[]", "null", "[\"a, b\", 1.0e-7]", "{ \"k\" : \"line\\nend\" }\r\n", "\"\"", "{\"π\":0.1}", "-0"];
            return json[self.pick(json.len())].into();
        }
        let pieces = [
            "a", "Alder", ",", "\"", "\r\n", "\n", "\r", " ", "ß", "日本", "🌿", "\u{feff}", "'", ";", "0", "NULL", "\\N", "\u{1}", "\t",
            "",
        ];
        (0..self.below(6)).map(|_| pieces[self.pick(pieces.len())]).collect()
    }

    fn real(&mut self) -> f64 {
        match self.below(6) {
            0 => 0.0,
            1 => self.below(20) as f64,
            2 => 1.0 / (1 + self.below(1000)) as f64,
            3 => 5e-324,
            4 => -(self.below(90) as f64) / 7.0,
            _ => f64::from_bits(0x3f00_0000_0000_0000 | (self.next() >> 12)),
        }
    }

    fn pick(&mut self, many: usize) -> usize {
        usize::try_from(self.below(many as u64)).unwrap()
    }

    fn below(&mut self, limit: u64) -> u64 {
        self.next() % limit
    }

    /// A linear congruential step with its high bits folded down.
    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        self.state ^ (self.state >> 33)
    }
}
