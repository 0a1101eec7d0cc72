-- Photos that came with a letter, whole as they came: kept and shown; nothing is claimed from them.

CREATE TABLE letter_photos (
    id INTEGER PRIMARY KEY,
    letter_id INTEGER NOT NULL REFERENCES letters (id),
    name TEXT NOT NULL CHECK (trim(name) <> ''),
    media_type TEXT NOT NULL CHECK (media_type GLOB 'image/*'),
    picture_base64 TEXT NOT NULL CHECK (trim(picture_base64) <> '')
) STRICT;
CREATE INDEX letter_photos_by_letter ON letter_photos (letter_id);
