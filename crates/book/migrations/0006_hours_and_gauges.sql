-- Hourly files and typical years of stations, what was read by hand in a yard, and how high yards lie: each file kept whole.

CREATE TABLE hourly_files (
    id INTEGER PRIMARY KEY,
    station TEXT NOT NULL CHECK (trim(station) <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('hours', 'typical-year')),
    name TEXT,
    latitude REAL CHECK (latitude BETWEEN -90 AND 90),
    longitude REAL CHECK (longitude BETWEEN -180 AND 180),
    elevation_m REAL,
    time_zone TEXT,
    stamp TEXT NOT NULL CHECK (stamp IN ('begins', 'ends')),
    file_name TEXT NOT NULL CHECK (trim(file_name) <> ''),
    added_at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', added_at) IS substr(added_at, 1, 19) AND added_at GLOB '*Z'),
    text TEXT NOT NULL CHECK (trim(text) <> ''),
    UNIQUE (station, kind)
) STRICT;

CREATE TABLE gauge_files (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    hour INTEGER NOT NULL CHECK (hour BETWEEN 0 AND 23),
    maximum_day TEXT NOT NULL CHECK (maximum_day IN ('same-day', 'day-before')),
    rain_day TEXT NOT NULL CHECK (rain_day IN ('same-day', 'day-before')),
    file_name TEXT NOT NULL CHECK (trim(file_name) <> ''),
    added_at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', added_at) IS substr(added_at, 1, 19) AND added_at GLOB '*Z'),
    text TEXT NOT NULL CHECK (trim(text) <> ''),
    UNIQUE (yard_id, file_name)
) STRICT;

CREATE TABLE yard_heights (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL UNIQUE REFERENCES yards (id),
    elevation_m REAL NOT NULL CHECK (elevation_m BETWEEN -500 AND 9000)
) STRICT;
