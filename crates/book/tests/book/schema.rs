//! The structs and the file agree, and the file refuses by itself what the structs refuse.

use groundlore_book::record::Record;
use groundlore_book::*;

/// Each record with its table's columns, as declared in Rust.
fn declared() -> Vec<(&'static str, Vec<&'static str>)> {
    macro_rules! of {
        ($($record:ty),* $(,)?) => { vec![$((<$record>::TABLE, <$record>::COLUMNS.to_vec())),*] };
    }
    of![
        firm::Firm,
        firm::Setting,
        firm::Owner,
        yards::Yard,
        yards::MapVersion,
        yards::Area,
        yards::Edge,
        yards::Tree,
        yards::Structure,
        yards::BedPlant,
        yards::Patch,
        letters::Letter,
        letters::Diagnosis,
        letters::LetterPhoto,
        confirmed_runs::ConfirmedRun,
        counts::CountSession,
        counts::Count,
        decisions::Decision,
        label_cards::LabelCard,
        treatments::Treatment,
        applications::ApplicationRecord,
        follow_ups::FollowUp,
        follow_ups::FollowUpCount,
        beliefs::Belief,
        beds::BedPlan,
        beds::PlantBought,
        stock_checks::StockCheck,
        stock_checks::StockCheckLine,
        machines::Machine,
        machines::MachineHours,
        machines::BladeSharpening,
        tasks::Task,
        tasks::TaskChange,
        proposals::Proposal,
        proposals::ProposalLine,
        proposals::ProposalChange,
        prices::Price,
        work_log::WorkDone,
        weather_files::WeatherFile,
        sightings::Sighting,
        forecasts::KeptForecast,
        hourly_files::HourlyFile,
        gauge_files::GaugeFile,
        gauge_files::YardHeight,
    ]
}

#[test]
fn every_table_has_its_record_and_every_column_its_field() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    let book = Book::create(&path).unwrap();
    let raw = rusqlite::Connection::open(&path).unwrap();
    let declared = declared();
    for (table, columns) in &declared {
        let mut statement = raw.prepare(&format!("SELECT name FROM pragma_table_info('{table}') WHERE name <> 'id' ORDER BY cid")).unwrap();
        let found: Vec<String> = statement.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
        assert_eq!(&found, columns, "{table}");
    }
    let tables: std::collections::BTreeSet<_> = declared.iter().map(|(table, _)| table.to_string()).collect();
    assert_eq!(tables, book.rows_by_table().unwrap().into_keys().collect());
}

#[test]
fn the_file_itself_refuses_what_cannot_be() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    Book::create(&path).unwrap();
    let raw = rusqlite::Connection::open(&path).unwrap();
    raw.execute_batch("PRAGMA foreign_keys = ON; INSERT INTO yards (name) VALUES ('Alder Bank'); INSERT INTO machines (name, kind) VALUES ('m', 'mower');")
        .unwrap();
    let refused = [
        "INSERT INTO yards (name) VALUES ('  ')",
        "INSERT INTO yards (name) VALUES ('Alder Bank')",
        "INSERT INTO yards (name, latitude) VALUES ('b', 91.0)",
        "INSERT INTO yards (name, longitude) VALUES ('b', -180.5)",
        "INSERT INTO yards (name, owner_id) VALUES ('b', 5)",
        "INSERT INTO yards (name, children) VALUES ('b', 2)",
        "INSERT INTO yards (name, latitude) VALUES ('b', 'north')",
        "INSERT INTO yards (name, forbidden_days) VALUES ('b', 'Sunday')",
        "INSERT INTO letters (date, text) VALUES ('2015-02-29', 'x')",
        "INSERT INTO letters (date, text) VALUES ('2015-2-9', 'x')",
        "INSERT INTO letters (date, text) VALUES ('14.08.2015', 'x')",
        "INSERT INTO letters (date, text) VALUES ('2015-08-14 ', 'x')",
        "INSERT INTO letters (date, text) VALUES ('', 'x')",
        "INSERT INTO letters (date, text) VALUES ('now', 'x')",
        "INSERT INTO map_versions (yard_id, imported_at, geojson) VALUES (1, '2015-08-14 15:00:00', '{}')",
        "INSERT INTO map_versions (yard_id, imported_at, geojson) VALUES (1, '2015-08-14T25:00:00Z', '{}')",
        "INSERT INTO map_versions (yard_id, imported_at, geojson) VALUES (1, '2015-02-30T10:00:00Z', '{}')",
        "INSERT INTO map_versions (yard_id, imported_at, geojson) VALUES (1, '2015-08-14T15:00:00Z', '{')",
        "INSERT INTO decisions (yard_id, trouble, date, verdict) VALUES (1, 'grubs', '2015-08-14', 'maybe')",
        "INSERT INTO decisions (yard_id, trouble, date, verdict, odds_wrong) VALUES (1, 'grubs', '2015-08-14', 'treat', 1.1)",
        "INSERT INTO treatments (yard_id, trouble, control, planned_on, earliest, latest, state)
         VALUES (1, 'g', 'c', '2015-08-14', '2015-08-20', '2015-08-19', 'planned')",
        "INSERT INTO treatments (yard_id, trouble, control, planned_on, state) VALUES (1, 'g', 'c', '2015-08-14', 'dropped')",
        "INSERT INTO tasks (key, what, state) VALUES ('k', 'w', 'could not')",
        "INSERT INTO tasks (key, what, state) VALUES ('k', 'w', 'later')",
        "INSERT INTO label_cards (entered_at, name, rate_low_si, rate_high_si) VALUES ('2015-08-14T15:00:00Z', 'n', 2.0, 1.0)",
        "INSERT INTO label_cards (entered_at, name, consecutive_run_limit) VALUES ('2015-08-14T15:00:00Z', 'n', 0)",
        "INSERT INTO application_records (kind, yard_id, written_at, date, yard_name, area_m2, product, applicator, corrects_id)
         VALUES ('pesticide', 1, '2015-08-14T15:00:00Z', '2015-08-14', 'x', 1.0, 'x', 'x', 1)",
        "INSERT INTO application_records (kind, yard_id, written_at, date, yard_name, area_m2, product, applicator, why)
         VALUES ('pesticide', 1, '2015-08-14T15:00:00Z', '2015-08-14', 'x', 1.0, 'x', 'x', 'because')",
        "INSERT INTO application_records (kind, yard_id, written_at, date, yard_name, area_m2, product, applicator, corrects_id, why)
         VALUES ('pesticide', 1, '2015-08-14T15:00:00Z', '2015-08-14', 'x', 1.0, 'x', 'x', 1, 'itself')",
        "INSERT INTO application_records (kind, yard_id, written_at, date, yard_name, area_m2, product, applicator)
         VALUES ('pesticide', 1, '2015-08-14T15:00:00Z', '2015-08-14', 'x', 0.0, 'x', 'x')",
        "INSERT INTO application_records (kind, yard_id, written_at, date, yard_name, area_m2, product, applicator)
         VALUES ('herb', 1, '2015-08-14T15:00:00Z', '2015-08-14', 'x', 1.0, 'x', 'x')",
        "INSERT INTO machine_hours (machine_id, date, hours_h) VALUES (1, '2015-08-14', 25.0)",
        "INSERT INTO machine_hours (machine_id, date, hours_h, blade_hours_h) VALUES (1, '2015-08-14', 1.0, 2.0)",
        "INSERT INTO beliefs (control, trouble, year, shape, source) VALUES ('c', 't', 2015, 'beta', 's')",
        "INSERT INTO beliefs (control, trouble, year, shape, alpha, beta, source) VALUES ('c', 't', 2015, 'logit normal', 1.0, 1.0, 's')",
        "INSERT INTO prices (item, unit, rule) VALUES ('bark', 'yd3', 'markup')",
        "INSERT INTO prices (item, unit, cost_per_unit, rule, rule_share) VALUES ('bark', 'yd3', 3.0, 'margin', 1.0)",
        "INSERT INTO firm (id, name, currency) VALUES (2, 'second firm', '$')",
        "INSERT INTO work_log (date, what, minutes_min) VALUES ('2015-08-14', 'slept', 1500.0)",
    ];
    for sql in refused {
        assert!(raw.execute(sql, []).is_err(), "went through: {sql}");
    }
}
