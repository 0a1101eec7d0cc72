-- What the rules of record-keeping ask beside what a record held, the rules that a line was held to, and the runs in which a book's own
-- confirmed letters were answered again.

ALTER TABLE application_records ADD COLUMN customer_name TEXT;
ALTER TABLE application_records ADD COLUMN customer_address TEXT;
ALTER TABLE application_records ADD COLUMN site TEXT;
ALTER TABLE application_records ADD COLUMN method TEXT;
ALTER TABLE application_records ADD COLUMN restricted_use INTEGER CHECK (restricted_use IN (0, 1));
ALTER TABLE application_records ADD COLUMN certified_applicator TEXT;
ALTER TABLE application_records ADD COLUMN certified_number TEXT;
ALTER TABLE application_records ADD COLUMN rules TEXT CHECK (rules IS NULL OR json_valid(rules));
ALTER TABLE application_records ADD COLUMN short_form INTEGER NOT NULL DEFAULT 0 CHECK (short_form IN (0, 1));

DROP VIEW effective_application_records;
CREATE VIEW effective_application_records AS
SELECT * FROM application_records AS line
WHERE line.strikes_out = 0
  AND NOT EXISTS (SELECT 1 FROM application_records AS newer WHERE newer.corrects_id = line.id);

CREATE TABLE confirmed_runs (
    id INTEGER PRIMARY KEY,
    run_at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', run_at) IS substr(run_at, 1, 19) AND run_at GLOB '*Z'),
    tool TEXT NOT NULL CHECK (trim(tool) <> ''),
    lore TEXT NOT NULL CHECK (trim(lore) <> ''),
    cases INTEGER NOT NULL CHECK (cases >= 0),
    summary TEXT NOT NULL CHECK (json_valid(summary)),
    scores TEXT NOT NULL CHECK (json_valid(scores))
) STRICT;
CREATE TRIGGER confirmed_runs_are_never_changed BEFORE UPDATE ON confirmed_runs BEGIN
    SELECT RAISE (ABORT, 'runs over confirmed letters are append-only: run them again');
END;
CREATE TRIGGER confirmed_runs_are_never_removed BEFORE DELETE ON confirmed_runs BEGIN
    SELECT RAISE (ABORT, 'runs over confirmed letters are append-only: run them again');
END;
