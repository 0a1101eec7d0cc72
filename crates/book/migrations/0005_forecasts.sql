-- The public hourly forecast last fetched for a station's place or for a yard's own: when it was issued, when it was fetched, from where,
-- and its hours. A newer one takes its place.

CREATE TABLE forecasts (
    id INTEGER PRIMARY KEY,
    station TEXT UNIQUE CHECK (trim(station) <> ''),
    yard_id INTEGER UNIQUE REFERENCES yards (id),
    latitude REAL NOT NULL CHECK (latitude BETWEEN -90 AND 90),
    longitude REAL NOT NULL CHECK (longitude BETWEEN -180 AND 180),
    issued_at TEXT CHECK (strftime('%Y-%m-%dT%H:%M:%S', issued_at) IS substr(issued_at, 1, 19) AND issued_at GLOB '*Z'),
    fetched_at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', fetched_at) IS substr(fetched_at, 1, 19) AND fetched_at GLOB '*Z'),
    address TEXT NOT NULL CHECK (trim(address) <> ''),
    hours TEXT NOT NULL CHECK (json_valid(hours)),
    CHECK ((station IS NULL) <> (yard_id IS NULL))
) STRICT;
