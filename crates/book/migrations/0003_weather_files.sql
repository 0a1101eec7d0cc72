-- Daily weather files of the stations that the firm works by, kept whole in the book so that one file is enough to move it.

CREATE TABLE weather_files (
    id INTEGER PRIMARY KEY,
    station TEXT NOT NULL UNIQUE CHECK (trim(station) <> ''),
    name TEXT,
    latitude REAL CHECK (latitude BETWEEN -90 AND 90),
    longitude REAL CHECK (longitude BETWEEN -180 AND 180),
    elevation_m REAL,
    file_name TEXT NOT NULL CHECK (trim(file_name) <> ''),
    added_at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', added_at) IS substr(added_at, 1, 19) AND added_at GLOB '*Z'),
    text TEXT NOT NULL CHECK (trim(text) <> '')
) STRICT;
