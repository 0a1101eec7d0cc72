-- The book of one firm. Dates are 'YYYY-MM-DD', times RFC 3339 in UTC ('…Z'), numbers SI with the unit at the end of the name.
-- `date(x) IS x` holds for a real calendar date and for NULL, and for nothing else. `x IS NULL OR json_valid(x)` is written out
-- because SQLite up to 3.40 at least (found with Python's sqlite3) has json_valid(NULL) = 0.

CREATE TABLE firm (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    name TEXT NOT NULL CHECK (trim(name) <> ''),
    place TEXT,
    currency TEXT NOT NULL CHECK (trim(currency) <> ''),
    labour_cost_per_h REAL CHECK (labour_cost_per_h >= 0),
    overhead_share REAL CHECK (overhead_share >= 0),
    margin_share REAL CHECK (margin_share >= 0 AND margin_share < 1),
    applicator TEXT,
    licence TEXT,
    note TEXT
) STRICT;

CREATE TABLE settings (
    id INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE CHECK (trim(key) <> ''),
    value TEXT NOT NULL
) STRICT;

CREATE TABLE owners (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL CHECK (trim(name) <> ''),
    greeting TEXT,
    email TEXT,
    phone TEXT,
    address TEXT,
    note TEXT
) STRICT;

CREATE TABLE yards (
    id INTEGER PRIMARY KEY,
    owner_id INTEGER REFERENCES owners (id),
    name TEXT NOT NULL UNIQUE CHECK (trim(name) <> ''),
    address TEXT,
    latitude REAL CHECK (latitude BETWEEN -90 AND 90),
    longitude REAL CHECK (longitude BETWEEN -180 AND 180),
    station TEXT,
    time_zone TEXT,
    children INTEGER CHECK (children IN (0, 1)),
    pets INTEGER CHECK (pets IN (0, 1)),
    forbidden_days TEXT CHECK (forbidden_days IS NULL OR json_valid(forbidden_days)),
    note TEXT
) STRICT;
CREATE INDEX yards_by_owner ON yards (owner_id);

CREATE TABLE map_versions (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    imported_at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', imported_at) IS substr(imported_at, 1, 19) AND imported_at GLOB '*Z'),
    file_name TEXT,
    geojson TEXT NOT NULL CHECK (json_valid(geojson))
) STRICT;
CREATE INDEX map_versions_by_yard ON map_versions (yard_id);

CREATE TABLE areas (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    map_version_id INTEGER NOT NULL REFERENCES map_versions (id),
    feature TEXT NOT NULL CHECK (trim(feature) <> ''),
    name TEXT,
    kind TEXT NOT NULL CHECK (trim(kind) <> ''),
    area_m2 REAL NOT NULL CHECK (area_m2 > 0),
    perimeter_m REAL CHECK (perimeter_m > 0),
    geometry TEXT NOT NULL CHECK (json_valid(geometry)),
    properties TEXT CHECK (properties IS NULL OR json_valid(properties)),
    UNIQUE (map_version_id, feature)
) STRICT;
CREATE INDEX areas_by_yard ON areas (yard_id);

CREATE TABLE edges (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    map_version_id INTEGER NOT NULL REFERENCES map_versions (id),
    feature TEXT NOT NULL CHECK (trim(feature) <> ''),
    name TEXT,
    kind TEXT NOT NULL CHECK (trim(kind) <> ''),
    length_m REAL NOT NULL CHECK (length_m > 0),
    geometry TEXT NOT NULL CHECK (json_valid(geometry)),
    properties TEXT CHECK (properties IS NULL OR json_valid(properties)),
    UNIQUE (map_version_id, feature)
) STRICT;
CREATE INDEX edges_by_yard ON edges (yard_id);

CREATE TABLE trees (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    map_version_id INTEGER NOT NULL REFERENCES map_versions (id),
    feature TEXT NOT NULL CHECK (trim(feature) <> ''),
    name TEXT,
    species TEXT,
    trunk_diameter_m REAL CHECK (trunk_diameter_m > 0),
    crown_diameter_m REAL CHECK (crown_diameter_m > 0),
    height_m REAL CHECK (height_m > 0),
    latitude REAL CHECK (latitude BETWEEN -90 AND 90),
    longitude REAL CHECK (longitude BETWEEN -180 AND 180),
    properties TEXT CHECK (properties IS NULL OR json_valid(properties)),
    UNIQUE (map_version_id, feature)
) STRICT;
CREATE INDEX trees_by_yard ON trees (yard_id);

CREATE TABLE structures (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    map_version_id INTEGER NOT NULL REFERENCES map_versions (id),
    feature TEXT NOT NULL CHECK (trim(feature) <> ''),
    name TEXT,
    kind TEXT NOT NULL CHECK (trim(kind) <> ''),
    height_m REAL CHECK (height_m >= 0),
    area_m2 REAL CHECK (area_m2 > 0),
    geometry TEXT NOT NULL CHECK (json_valid(geometry)),
    properties TEXT CHECK (properties IS NULL OR json_valid(properties)),
    UNIQUE (map_version_id, feature)
) STRICT;
CREATE INDEX structures_by_yard ON structures (yard_id);

CREATE TABLE bed_plants (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    map_version_id INTEGER NOT NULL REFERENCES map_versions (id),
    feature TEXT NOT NULL CHECK (trim(feature) <> ''),
    plant TEXT NOT NULL CHECK (trim(plant) <> ''),
    bed TEXT,
    quantity INTEGER CHECK (quantity > 0),
    spread_m REAL CHECK (spread_m > 0),
    height_m REAL CHECK (height_m > 0),
    planted_on TEXT CHECK (date(planted_on) IS planted_on),
    latitude REAL CHECK (latitude BETWEEN -90 AND 90),
    longitude REAL CHECK (longitude BETWEEN -180 AND 180),
    properties TEXT CHECK (properties IS NULL OR json_valid(properties)),
    UNIQUE (map_version_id, feature)
) STRICT;
CREATE INDEX bed_plants_by_yard ON bed_plants (yard_id);

CREATE TABLE patches (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    map_version_id INTEGER NOT NULL REFERENCES map_versions (id),
    feature TEXT NOT NULL CHECK (trim(feature) <> ''),
    name TEXT,
    seen_on TEXT CHECK (date(seen_on) IS seen_on),
    area_m2 REAL NOT NULL CHECK (area_m2 > 0),
    geometry TEXT NOT NULL CHECK (json_valid(geometry)),
    properties TEXT CHECK (properties IS NULL OR json_valid(properties)),
    UNIQUE (map_version_id, feature)
) STRICT;
CREATE INDEX patches_by_yard ON patches (yard_id);

CREATE TABLE letters (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER REFERENCES yards (id),
    date TEXT NOT NULL CHECK (date(date) IS date),
    sender TEXT,
    host TEXT,
    place TEXT,
    text TEXT NOT NULL,
    findings TEXT CHECK (findings IS NULL OR json_valid(findings)),
    answer TEXT CHECK (answer IS NULL OR json_valid(answer))
) STRICT;
CREATE INDEX letters_by_yard ON letters (yard_id, date);

CREATE TABLE diagnoses (
    id INTEGER PRIMARY KEY,
    letter_id INTEGER REFERENCES letters (id),
    yard_id INTEGER REFERENCES yards (id),
    date TEXT NOT NULL CHECK (date(date) IS date),
    trouble TEXT NOT NULL CHECK (trim(trouble) <> ''),
    probability REAL CHECK (probability BETWEEN 0 AND 1),
    confirmed INTEGER NOT NULL DEFAULT 0 CHECK (confirmed IN (0, 1)),
    confirmed_by TEXT,
    note TEXT,
    CHECK (letter_id IS NOT NULL OR yard_id IS NOT NULL)
) STRICT;
CREATE INDEX diagnoses_by_letter ON diagnoses (letter_id);

CREATE TABLE count_sessions (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    letter_id INTEGER REFERENCES letters (id),
    trouble TEXT NOT NULL CHECK (trim(trouble) <> ''),
    date TEXT NOT NULL CHECK (date(date) IS date),
    who TEXT,
    plan TEXT CHECK (plan IS NULL OR json_valid(plan)),
    note TEXT
) STRICT;
CREATE INDEX count_sessions_by_yard ON count_sessions (yard_id, date);

CREATE TABLE counts (
    id INTEGER PRIMARY KEY,
    session_id INTEGER NOT NULL REFERENCES count_sessions (id),
    area TEXT,
    trouble TEXT NOT NULL CHECK (trim(trouble) <> ''),
    species TEXT,
    stage TEXT,
    stratum TEXT,
    method TEXT,
    sample_area_m2 REAL CHECK (sample_area_m2 > 0),
    sample_text TEXT,
    count INTEGER NOT NULL CHECK (count >= 0),
    date TEXT NOT NULL CHECK (date(date) IS date),
    latitude REAL CHECK (latitude BETWEEN -90 AND 90),
    longitude REAL CHECK (longitude BETWEEN -180 AND 180),
    who TEXT,
    note TEXT
) STRICT;
CREATE INDEX counts_by_session ON counts (session_id);

CREATE TABLE decisions (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    session_id INTEGER REFERENCES count_sessions (id),
    area TEXT,
    trouble TEXT NOT NULL CHECK (trim(trouble) <> ''),
    date TEXT NOT NULL CHECK (date(date) IS date),
    verdict TEXT NOT NULL CHECK (verdict IN ('treat', 'leave', 'count more', 'refer', 'cannot tell')),
    odds_wrong REAL CHECK (odds_wrong BETWEEN 0 AND 1),
    count_more INTEGER CHECK (count_more > 0),
    cost_of_treating REAL,
    cost_of_leaving REAL,
    working TEXT CHECK (working IS NULL OR json_valid(working)),
    note TEXT
) STRICT;
CREATE INDEX decisions_by_yard ON decisions (yard_id, date);

CREATE TABLE label_cards (
    id INTEGER PRIMARY KEY,
    replaces_id INTEGER REFERENCES label_cards (id),
    entered_at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', entered_at) IS substr(entered_at, 1, 19) AND entered_at GLOB '*Z'),
    entered_by TEXT,
    name TEXT NOT NULL CHECK (trim(name) <> ''),
    registration_number TEXT,
    signal_word TEXT,
    active_ingredients TEXT CHECK (active_ingredients IS NULL OR json_valid(active_ingredients)),
    sites TEXT CHECK (sites IS NULL OR json_valid(sites)),
    targets TEXT CHECK (targets IS NULL OR json_valid(targets)),
    rate_text TEXT,
    rate_low_si REAL CHECK (rate_low_si > 0),
    rate_high_si REAL CHECK (rate_high_si > 0),
    rate_si_unit TEXT CHECK (rate_si_unit IN ('kg/m2', 'm3/m2', '1/m2', 'share')),
    carrier_text TEXT,
    yearly_limit_text TEXT,
    yearly_limit_si REAL CHECK (yearly_limit_si > 0),
    yearly_limit_applications INTEGER CHECK (yearly_limit_applications > 0),
    minimum_interval_text TEXT,
    minimum_interval_days REAL CHECK (minimum_interval_days >= 0),
    reentry_text TEXT,
    protective_gear TEXT,
    bee_statement TEXT,
    water_statement TEXT,
    plants_injured TEXT CHECK (plants_injured IS NULL OR json_valid(plants_injured)),
    watering_in_text TEXT,
    watering_in_depth_mm REAL CHECK (watering_in_depth_mm >= 0),
    consecutive_run_limit INTEGER CHECK (consecutive_run_limit > 0),
    mode_of_action_group TEXT,
    note TEXT,
    CHECK (rate_low_si <= rate_high_si),
    CHECK (replaces_id < id)
) STRICT;
CREATE INDEX label_cards_replaced ON label_cards (replaces_id);

CREATE TRIGGER label_cards_are_never_changed BEFORE UPDATE ON label_cards BEGIN
    SELECT RAISE (ABORT, 'label cards are never changed: write a new card that replaces the old one');
END;
CREATE TRIGGER label_cards_are_never_removed BEFORE DELETE ON label_cards BEGIN
    SELECT RAISE (ABORT, 'label cards are never removed: write a new card that replaces the old one');
END;
CREATE TRIGGER label_cards_run_on BEFORE INSERT ON label_cards
WHEN NEW.id IS NOT NULL AND NEW.id <> -1 AND NEW.id <> (SELECT coalesce(max(id), 0) + 1 FROM label_cards) BEGIN
    SELECT RAISE (ABORT, 'label cards are append-only: a new card takes the next free number');
END;
CREATE TRIGGER label_cards_are_replaced_once BEFORE INSERT ON label_cards
WHEN EXISTS (SELECT 1 FROM label_cards WHERE replaces_id = NEW.replaces_id) BEGIN
    SELECT RAISE (ABORT, 'label cards are append-only: that card was already replaced, so replace the newest one');
END;

CREATE VIEW current_label_cards AS
SELECT * FROM label_cards AS card
WHERE NOT EXISTS (SELECT 1 FROM label_cards AS newer WHERE newer.replaces_id = card.id);

CREATE TABLE treatments (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    decision_id INTEGER REFERENCES decisions (id),
    label_card_id INTEGER REFERENCES label_cards (id),
    area TEXT,
    trouble TEXT NOT NULL CHECK (trim(trouble) <> ''),
    control TEXT NOT NULL CHECK (trim(control) <> ''),
    target_stage TEXT,
    planned_on TEXT NOT NULL CHECK (date(planned_on) IS planned_on),
    earliest TEXT CHECK (date(earliest) IS earliest),
    best TEXT CHECK (date(best) IS best),
    latest TEXT CHECK (date(latest) IS latest),
    area_m2 REAL CHECK (area_m2 > 0),
    rate_text TEXT,
    amount_text TEXT,
    untreated_strip INTEGER CHECK (untreated_strip IN (0, 1)),
    follow_up_on TEXT CHECK (date(follow_up_on) IS follow_up_on),
    state TEXT NOT NULL CHECK (state IN ('planned', 'done', 'dropped')),
    why TEXT,
    working TEXT CHECK (working IS NULL OR json_valid(working)),
    note TEXT,
    CHECK (earliest <= latest),
    CHECK (best BETWEEN earliest AND latest),
    CHECK (state <> 'dropped' OR coalesce(trim(why), '') <> '')
) STRICT;
CREATE INDEX treatments_by_yard ON treatments (yard_id, planned_on);

CREATE TABLE application_records (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('pesticide', 'fertiliser')),
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    treatment_id INTEGER REFERENCES treatments (id),
    written_at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', written_at) IS substr(written_at, 1, 19) AND written_at GLOB '*Z'),
    date TEXT NOT NULL CHECK (date(date) IS date),
    started_at TEXT CHECK (started_at IS NULL OR strftime('%Y-%m-%dT%H:%M:%S', started_at) IS substr(started_at, 1, 19) AND started_at GLOB '*Z'),
    ended_at TEXT CHECK (ended_at IS NULL OR strftime('%Y-%m-%dT%H:%M:%S', ended_at) IS substr(ended_at, 1, 19) AND ended_at GLOB '*Z'),
    yard_name TEXT NOT NULL CHECK (trim(yard_name) <> ''),
    yard_address TEXT,
    area TEXT,
    area_m2 REAL NOT NULL CHECK (area_m2 > 0),
    area_text TEXT,
    label_card TEXT CHECK (label_card IS NULL OR json_valid(label_card)),
    product TEXT NOT NULL CHECK (trim(product) <> ''),
    registration_number TEXT,
    active_ingredients TEXT CHECK (active_ingredients IS NULL OR json_valid(active_ingredients)),
    analysis TEXT,
    rate_text TEXT,
    amount_text TEXT,
    amount_kg REAL CHECK (amount_kg > 0),
    amount_m3 REAL CHECK (amount_m3 > 0),
    carrier_text TEXT,
    carrier_m3 REAL CHECK (carrier_m3 > 0),
    target TEXT,
    applicator TEXT NOT NULL CHECK (trim(applicator) <> ''),
    licence TEXT,
    wind_m_s REAL CHECK (wind_m_s >= 0),
    wind_from_deg REAL CHECK (wind_from_deg BETWEEN 0 AND 360),
    temperature_c REAL CHECK (temperature_c BETWEEN -90 AND 60),
    sky TEXT,
    reentry_text TEXT,
    note TEXT,
    corrects_id INTEGER REFERENCES application_records (id),
    why TEXT,
    strikes_out INTEGER NOT NULL DEFAULT 0 CHECK (strikes_out IN (0, 1)),
    CHECK (ended_at >= started_at),
    CHECK ((corrects_id IS NULL) = (why IS NULL)),
    CHECK (why IS NULL OR trim(why) <> ''),
    CHECK (strikes_out = 0 OR corrects_id IS NOT NULL)
) STRICT;
CREATE INDEX application_records_by_yard ON application_records (yard_id, date);
CREATE INDEX application_records_corrected ON application_records (corrects_id);

CREATE TRIGGER application_records_are_never_changed BEFORE UPDATE ON application_records BEGIN
    SELECT RAISE (ABORT, 'application records are append-only: write a new line that corrects the old one and says why');
END;
CREATE TRIGGER application_records_are_never_removed BEFORE DELETE ON application_records BEGIN
    SELECT RAISE (ABORT, 'application records are append-only: write a new line that corrects the old one and says why');
END;
CREATE TRIGGER application_records_run_on BEFORE INSERT ON application_records
WHEN NEW.id IS NOT NULL AND NEW.id <> -1 AND NEW.id <> (SELECT coalesce(max(id), 0) + 1 FROM application_records) BEGIN
    SELECT RAISE (ABORT, 'application records are append-only: a new line takes the next free number');
END;
CREATE TRIGGER application_records_are_corrected_once BEFORE INSERT ON application_records
WHEN EXISTS (SELECT 1 FROM application_records WHERE corrects_id = NEW.corrects_id) BEGIN
    SELECT RAISE (ABORT, 'application records are append-only: that line was already corrected, so correct the newest line');
END;
CREATE TRIGGER application_records_correct_an_older_line BEFORE INSERT ON application_records
WHEN NEW.corrects_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM application_records WHERE id = NEW.corrects_id) BEGIN
    SELECT RAISE (ABORT, 'application records are append-only: a correction names a line that is already written');
END;

CREATE VIEW effective_application_records AS
SELECT * FROM application_records AS line
WHERE line.strikes_out = 0
  AND NOT EXISTS (SELECT 1 FROM application_records AS newer WHERE newer.corrects_id = line.id);

CREATE TABLE follow_ups (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    treatment_id INTEGER REFERENCES treatments (id),
    application_record_id INTEGER REFERENCES application_records (id),
    area TEXT,
    trouble TEXT NOT NULL CHECK (trim(trouble) <> ''),
    control TEXT,
    due_on TEXT CHECK (date(due_on) IS due_on),
    done_on TEXT CHECK (date(done_on) IS done_on),
    result TEXT CHECK (result IS NULL OR json_valid(result)),
    note TEXT
) STRICT;
CREATE INDEX follow_ups_by_yard ON follow_ups (yard_id, due_on);

CREATE TABLE follow_up_counts (
    id INTEGER PRIMARY KEY,
    follow_up_id INTEGER NOT NULL REFERENCES follow_ups (id),
    strip TEXT NOT NULL CHECK (strip IN ('treated', 'untreated')),
    moment TEXT NOT NULL CHECK (moment IN ('before', 'after')),
    date TEXT NOT NULL CHECK (date(date) IS date),
    count INTEGER NOT NULL CHECK (count >= 0),
    sample_area_m2 REAL CHECK (sample_area_m2 > 0),
    sample_text TEXT,
    who TEXT,
    note TEXT
) STRICT;
CREATE INDEX follow_up_counts_by_follow_up ON follow_up_counts (follow_up_id);

CREATE TABLE beliefs (
    id INTEGER PRIMARY KEY,
    control TEXT NOT NULL CHECK (trim(control) <> ''),
    trouble TEXT NOT NULL CHECK (trim(trouble) <> ''),
    year INTEGER NOT NULL CHECK (year BETWEEN 1800 AND 9999),
    shape TEXT NOT NULL CHECK (shape IN ('beta', 'logit normal')),
    alpha REAL CHECK (alpha > 0),
    beta REAL CHECK (beta > 0),
    logit_mean REAL,
    logit_variance REAL CHECK (logit_variance > 0),
    source TEXT NOT NULL CHECK (trim(source) <> ''),
    follow_up_id INTEGER REFERENCES follow_ups (id),
    recorded_on TEXT CHECK (date(recorded_on) IS recorded_on),
    note TEXT,
    CHECK ((shape = 'beta') = (alpha IS NOT NULL AND beta IS NOT NULL)),
    CHECK ((shape = 'logit normal') = (logit_mean IS NOT NULL AND logit_variance IS NOT NULL))
) STRICT;
CREATE INDEX beliefs_by_control ON beliefs (control, trouble, year);

CREATE TABLE bed_plans (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    bed TEXT NOT NULL CHECK (trim(bed) <> ''),
    date TEXT NOT NULL CHECK (date(date) IS date),
    title TEXT,
    plan TEXT NOT NULL CHECK (json_valid(plan)),
    note TEXT
) STRICT;
CREATE INDEX bed_plans_by_yard ON bed_plans (yard_id);

CREATE TABLE stock_checks (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER REFERENCES yards (id),
    bed_plan_id INTEGER REFERENCES bed_plans (id),
    plant TEXT NOT NULL CHECK (trim(plant) <> ''),
    nursery TEXT,
    date TEXT NOT NULL CHECK (date(date) IS date),
    quantity INTEGER CHECK (quantity > 0),
    who TEXT,
    note TEXT
) STRICT;

CREATE TABLE stock_check_lines (
    id INTEGER PRIMARY KEY,
    stock_check_id INTEGER NOT NULL REFERENCES stock_checks (id),
    what TEXT NOT NULL CHECK (trim(what) <> ''),
    verdict TEXT CHECK (verdict IN ('pass', 'doubt', 'refuse')),
    note TEXT
) STRICT;
CREATE INDEX stock_check_lines_by_check ON stock_check_lines (stock_check_id);

CREATE TABLE plants_bought (
    id INTEGER PRIMARY KEY,
    bed_plan_id INTEGER REFERENCES bed_plans (id),
    stock_check_id INTEGER REFERENCES stock_checks (id),
    plant TEXT NOT NULL CHECK (trim(plant) <> ''),
    size TEXT,
    quantity INTEGER NOT NULL CHECK (quantity > 0),
    nursery TEXT,
    date TEXT CHECK (date(date) IS date),
    unit_cost REAL CHECK (unit_cost >= 0),
    note TEXT
) STRICT;

CREATE TABLE machines (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CHECK (trim(name) <> ''),
    kind TEXT NOT NULL CHECK (trim(kind) <> ''),
    cutting_width_m REAL CHECK (cutting_width_m > 0),
    speed_m_s REAL CHECK (speed_m_s > 0),
    sharpen_every_h REAL CHECK (sharpen_every_h > 0),
    bought_on TEXT CHECK (date(bought_on) IS bought_on),
    retired_on TEXT CHECK (date(retired_on) IS retired_on),
    note TEXT
) STRICT;

CREATE TABLE machine_hours (
    id INTEGER PRIMARY KEY,
    machine_id INTEGER NOT NULL REFERENCES machines (id),
    yard_id INTEGER REFERENCES yards (id),
    date TEXT NOT NULL CHECK (date(date) IS date),
    hours_h REAL NOT NULL CHECK (hours_h > 0 AND hours_h <= 24),
    blade_hours_h REAL CHECK (blade_hours_h >= 0 AND blade_hours_h <= hours_h),
    who TEXT,
    note TEXT
) STRICT;
CREATE INDEX machine_hours_by_machine ON machine_hours (machine_id, date);
CREATE TRIGGER machine_hours_are_never_changed BEFORE UPDATE ON machine_hours BEGIN
    SELECT RAISE (ABORT, 'the log of machine hours is append-only');
END;
CREATE TRIGGER machine_hours_are_never_removed BEFORE DELETE ON machine_hours BEGIN
    SELECT RAISE (ABORT, 'the log of machine hours is append-only');
END;
CREATE TRIGGER machine_hours_run_on BEFORE INSERT ON machine_hours
WHEN NEW.id IS NOT NULL AND NEW.id <> -1 AND NEW.id <> (SELECT coalesce(max(id), 0) + 1 FROM machine_hours) BEGIN
    SELECT RAISE (ABORT, 'the log of machine hours is append-only: a new line takes the next free number');
END;

CREATE TABLE blade_sharpenings (
    id INTEGER PRIMARY KEY,
    machine_id INTEGER NOT NULL REFERENCES machines (id),
    date TEXT NOT NULL CHECK (date(date) IS date),
    who TEXT,
    note TEXT
) STRICT;
CREATE INDEX blade_sharpenings_by_machine ON blade_sharpenings (machine_id, date);

CREATE TABLE tasks (
    id INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE CHECK (trim(key) <> ''),
    yard_id INTEGER REFERENCES yards (id),
    area TEXT,
    what TEXT NOT NULL CHECK (trim(what) <> ''),
    earliest TEXT CHECK (date(earliest) IS earliest),
    best TEXT CHECK (date(best) IS best),
    latest TEXT CHECK (date(latest) IS latest),
    odds TEXT CHECK (odds IS NULL OR json_valid(odds)),
    reasons TEXT CHECK (reasons IS NULL OR json_valid(reasons)),
    takes TEXT CHECK (takes IS NULL OR json_valid(takes)),
    forbids TEXT CHECK (forbids IS NULL OR json_valid(forbids)),
    cautions TEXT CHECK (cautions IS NULL OR json_valid(cautions)),
    state TEXT NOT NULL CHECK (state IN ('to do', 'begun', 'done', 'could not')),
    why TEXT,
    CHECK (earliest <= latest),
    CHECK (best BETWEEN earliest AND latest),
    CHECK (state <> 'could not' OR coalesce(trim(why), '') <> '')
) STRICT;
CREATE INDEX tasks_by_yard ON tasks (yard_id);
CREATE INDEX tasks_by_window ON tasks (state, earliest, latest);

CREATE TABLE task_changes (
    id INTEGER PRIMARY KEY,
    task_id INTEGER NOT NULL REFERENCES tasks (id),
    at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', at) IS substr(at, 1, 19) AND at GLOB '*Z'),
    from_state TEXT NOT NULL CHECK (from_state IN ('to do', 'begun', 'done', 'could not')),
    to_state TEXT NOT NULL CHECK (to_state IN ('to do', 'begun', 'done', 'could not')),
    why TEXT,
    who TEXT
) STRICT;
CREATE INDEX task_changes_by_task ON task_changes (task_id);

CREATE TABLE proposals (
    id INTEGER PRIMARY KEY,
    yard_id INTEGER NOT NULL REFERENCES yards (id),
    date TEXT NOT NULL CHECK (date(date) IS date),
    title TEXT NOT NULL CHECK (trim(title) <> ''),
    valid_until TEXT CHECK (date(valid_until) IS valid_until),
    currency TEXT NOT NULL CHECK (trim(currency) <> ''),
    text TEXT,
    working TEXT CHECK (working IS NULL OR json_valid(working)),
    state TEXT NOT NULL CHECK (state IN ('offered', 'agreed', 'refused', 'lapsed')),
    why TEXT,
    CHECK (valid_until >= date)
) STRICT;
CREATE INDEX proposals_by_yard ON proposals (yard_id);

CREATE TABLE proposal_lines (
    id INTEGER PRIMARY KEY,
    proposal_id INTEGER NOT NULL REFERENCES proposals (id),
    position INTEGER NOT NULL CHECK (position > 0),
    what TEXT NOT NULL CHECK (trim(what) <> ''),
    item TEXT,
    quantity_text TEXT,
    quantity_si REAL CHECK (quantity_si >= 0),
    cost REAL CHECK (cost >= 0),
    price REAL NOT NULL CHECK (price >= 0),
    note TEXT,
    UNIQUE (proposal_id, position)
) STRICT;

CREATE TABLE proposal_changes (
    id INTEGER PRIMARY KEY,
    proposal_id INTEGER NOT NULL REFERENCES proposals (id),
    at TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%S', at) IS substr(at, 1, 19) AND at GLOB '*Z'),
    from_state TEXT NOT NULL CHECK (from_state IN ('offered', 'agreed', 'refused', 'lapsed')),
    to_state TEXT NOT NULL CHECK (to_state IN ('offered', 'agreed', 'refused', 'lapsed')),
    why TEXT,
    who TEXT
) STRICT;
CREATE INDEX proposal_changes_by_proposal ON proposal_changes (proposal_id);

CREATE TABLE prices (
    id INTEGER PRIMARY KEY,
    item TEXT NOT NULL CHECK (trim(item) <> ''),
    unit TEXT NOT NULL CHECK (trim(unit) <> ''),
    cost_text TEXT,
    cost_per_unit REAL CHECK (cost_per_unit >= 0),
    rule TEXT NOT NULL CHECK (rule IN ('markup', 'margin', 'fixed price', 'cost')),
    rule_share REAL CHECK (rule_share >= 0),
    price_text TEXT,
    price_per_unit REAL CHECK (price_per_unit >= 0),
    note TEXT,
    CHECK ((rule IN ('markup', 'margin')) = (rule_share IS NOT NULL)),
    CHECK (rule <> 'margin' OR rule_share < 1),
    CHECK ((rule = 'fixed price') = (price_per_unit IS NOT NULL)),
    CHECK (rule = 'fixed price' OR cost_per_unit IS NOT NULL)
) STRICT;
CREATE UNIQUE INDEX prices_by_item ON prices (item);
