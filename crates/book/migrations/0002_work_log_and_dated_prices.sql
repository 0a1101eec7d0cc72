-- A log of hours worked, and prices that hold from a date on, so that last year's figures stay in the book.

CREATE TABLE work_log (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER REFERENCES yards (id),
    task_id INTEGER REFERENCES tasks (id),
    date TEXT NOT NULL CHECK (date(date) IS date),
    who TEXT,
    what TEXT NOT NULL CHECK (trim(what) <> ''),
    minutes_min REAL CHECK (minutes_min > 0 AND minutes_min <= 1440),
    quantity_text TEXT,
    note TEXT
) STRICT;
CREATE INDEX work_log_by_yard ON work_log (yard_id, date);

ALTER TABLE prices ADD COLUMN valid_from TEXT CHECK (date(valid_from) IS valid_from);
DROP INDEX prices_by_item;
CREATE UNIQUE INDEX prices_by_item_and_date ON prices (item, coalesce(valid_from, ''));
