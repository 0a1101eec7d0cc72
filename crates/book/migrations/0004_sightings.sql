-- What was seen of the season's events, where and when: each moves that clock for its yard and, by less, for its neighbours.

CREATE TABLE sightings (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    event TEXT NOT NULL CHECK (trim(event) <> ''),
    date TEXT NOT NULL CHECK (date(date) IS date),
    residual_days REAL,
    who TEXT,
    note TEXT
) STRICT;
CREATE INDEX sightings_by_event ON sightings (event, date);
