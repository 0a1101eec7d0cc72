-- What else a label rules: weather, people, turf, seedlings, roots, clippings, mixing and disposal. A blank is not checked; the word
-- `none` in a text says that the label was read and says nothing of it.

ALTER TABLE label_cards ADD COLUMN label_edition TEXT;
ALTER TABLE label_cards ADD COLUMN mode_of_action_edition TEXT;
ALTER TABLE label_cards ADD COLUMN formulation TEXT;
ALTER TABLE label_cards ADD COLUMN reentry_h REAL CHECK (reentry_h >= 0);
ALTER TABLE label_cards ADD COLUMN people_statement TEXT;
ALTER TABLE label_cards ADD COLUMN applicator_rule TEXT CHECK (applicator_rule IN ('licensed', 'anyone'));
ALTER TABLE label_cards ADD COLUMN bloom_limit TEXT CHECK (bloom_limit IN ('forbidden', 'not while bees forage', 'none'));
ALTER TABLE label_cards ADD COLUMN water_distance_text TEXT;
ALTER TABLE label_cards ADD COLUMN water_distance_m REAL CHECK (water_distance_m >= 0);
ALTER TABLE label_cards ADD COLUMN well_distance_text TEXT;
ALTER TABLE label_cards ADD COLUMN well_distance_m REAL CHECK (well_distance_m >= 0);
ALTER TABLE label_cards ADD COLUMN wind_text TEXT;
ALTER TABLE label_cards ADD COLUMN wind_low_m_s REAL CHECK (wind_low_m_s >= 0);
ALTER TABLE label_cards ADD COLUMN wind_high_m_s REAL CHECK (wind_high_m_s > 0);
ALTER TABLE label_cards ADD COLUMN gust_text TEXT;
ALTER TABLE label_cards ADD COLUMN gust_high_m_s REAL CHECK (gust_high_m_s > 0);
ALTER TABLE label_cards ADD COLUMN temperature_text TEXT;
ALTER TABLE label_cards ADD COLUMN temperature_low_c REAL;
ALTER TABLE label_cards ADD COLUMN temperature_high_c REAL;
ALTER TABLE label_cards ADD COLUMN rain_free_text TEXT;
ALTER TABLE label_cards ADD COLUMN rain_free_h REAL CHECK (rain_free_h >= 0);
ALTER TABLE label_cards ADD COLUMN leaves TEXT CHECK (leaves IN ('dry', 'wet', 'none'));
ALTER TABLE label_cards ADD COLUMN inversion TEXT CHECK (inversion IN ('forbidden', 'none'));
ALTER TABLE label_cards ADD COLUMN droplets_text TEXT;
ALTER TABLE label_cards ADD COLUMN turf_allowed TEXT CHECK (turf_allowed IS NULL OR json_valid(turf_allowed));
ALTER TABLE label_cards ADD COLUMN turf_injured TEXT CHECK (turf_injured IS NULL OR json_valid(turf_injured));
ALTER TABLE label_cards ADD COLUMN seedling_age_text TEXT;
ALTER TABLE label_cards ADD COLUMN seedling_age_days REAL CHECK (seedling_age_days >= 0);
ALTER TABLE label_cards ADD COLUMN reseeding_text TEXT;
ALTER TABLE label_cards ADD COLUMN reseeding_days REAL CHECK (reseeding_days >= 0);
ALTER TABLE label_cards ADD COLUMN tree_roots_text TEXT;
ALTER TABLE label_cards ADD COLUMN tree_roots_m REAL CHECK (tree_roots_m >= 0);
ALTER TABLE label_cards ADD COLUMN clippings_text TEXT;
ALTER TABLE label_cards ADD COLUMN compost_text TEXT;
ALTER TABLE label_cards ADD COLUMN mixing_order_text TEXT;
ALTER TABLE label_cards ADD COLUMN mixing_distance_text TEXT;
ALTER TABLE label_cards ADD COLUMN mixing_distance_m REAL CHECK (mixing_distance_m >= 0);
ALTER TABLE label_cards ADD COLUMN backflow_text TEXT;
ALTER TABLE label_cards ADD COLUMN rinsing_text TEXT;
ALTER TABLE label_cards ADD COLUMN disposal_text TEXT;
ALTER TABLE label_cards ADD COLUMN posting_text TEXT;

DROP VIEW current_label_cards;
CREATE VIEW current_label_cards AS
SELECT * FROM label_cards AS card
WHERE NOT EXISTS (SELECT 1 FROM label_cards AS newer WHERE newer.replaces_id = card.id);
