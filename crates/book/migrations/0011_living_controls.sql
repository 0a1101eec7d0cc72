-- What a living control's card asks of the soil and of its stock. A blank is not checked; the word `none` in a text says that the card was read
-- and says nothing of it.

ALTER TABLE label_cards ADD COLUMN soil_temperature_text TEXT;
ALTER TABLE label_cards ADD COLUMN soil_temperature_low_c REAL;
ALTER TABLE label_cards ADD COLUMN soil_temperature_high_c REAL;
ALTER TABLE label_cards ADD COLUMN soil_moisture TEXT CHECK (soil_moisture IN ('moist', 'none'));
ALTER TABLE label_cards ADD COLUMN age_limit_text TEXT;
ALTER TABLE label_cards ADD COLUMN age_limit_days REAL CHECK (age_limit_days >= 0);

DROP VIEW current_label_cards;
CREATE VIEW current_label_cards AS
SELECT * FROM label_cards AS card
WHERE NOT EXISTS (SELECT 1 FROM label_cards AS newer WHERE newer.replaces_id = card.id);
