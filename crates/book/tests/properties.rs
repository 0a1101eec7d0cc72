//! What holds for every book: import of export is identity, CSV comes back, records come back.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "properties/any_book.rs"]
mod any_book;

use std::collections::BTreeSet;

use groundlore_book::export::Manifest;
use groundlore_book::label_cards::{ActiveIngredient, LabelCard};
use groundlore_book::{Book, BookError, migrate, rfc4180};
use proptest::prelude::*;

use any_book::{AnyBook, all_rows};

/// A book of random rows in every table, at `folder/name`.
fn fill(folder: &std::path::Path, name: &str, seed: u64) -> std::path::PathBuf {
    let path = folder.join(name);
    Book::create(&path).unwrap().close().unwrap();
    AnyBook::new(&path, seed).fill(6);
    path
}

fn export_import(seed: u64) {
    let folder = tempfile::tempdir().unwrap();
    let path = fill(folder.path(), "first.book", seed);
    let book = Book::open(&path).unwrap();
    let manifest = book.export_to(folder.path().join("open")).unwrap();
    let copy = Book::import_from(folder.path().join("open"), folder.path().join("second.book")).unwrap();
    assert_eq!(all_rows(&path), all_rows(copy.path()), "row for row");
    let again = copy.export_to(folder.path().join("again")).unwrap();
    assert_eq!(manifest, again, "the same files, byte for byte");
}

#[test]
fn the_generator_reaches_every_table() {
    let folder = tempfile::tempdir().unwrap();
    let mut reached = BTreeSet::new();
    let mut tables = BTreeSet::new();
    for seed in 0..6 {
        let path = fill(folder.path(), &format!("{seed}.book"), seed);
        let rows = Book::open(path).unwrap().rows_by_table().unwrap();
        tables.extend(rows.keys().cloned());
        reached.extend(rows.into_iter().filter(|(_, count)| *count > 0).map(|(table, _)| table));
    }
    assert_eq!(reached, tables);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn import_of_export_is_the_same_book(seed in any::<u64>()) {
        export_import(seed);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_table_of_text_comes_back_from_csv(rows in prop::collection::vec(prop::collection::vec(prop::option::of("\\PC{0,6}|[\",\r\n\u{feff}a]{0,5}"), 2..5), 0..6)) {
        let mut text = String::new();
        for row in &rows {
            rfc4180::write_line(&mut text, row.iter().map(Option::as_deref));
        }
        let back: Vec<_> = rfc4180::read(&text).unwrap().into_iter().map(|line| line.fields).collect();
        prop_assert_eq!(back, rows);
    }

    #[test]
    fn no_text_makes_the_readers_panic(text in "[a-z,\"\r\n0-9;%$/. ]{0,120}") {
        let _ = rfc4180::read(&text);
        let _ = groundlore_book::read_counts_csv(&format!("date,trouble,count,sample\n{text}"), "f", true);
        let _ = groundlore_book::read_rates_csv(&format!("item,unit,cost,price,share,rule\n{text}"), "f", true);
        let _ = groundlore_book::read_label_cards_csv(&format!("name,rate,yearly_limit,active_ingredients,carrier,wind,temperature,rain_free,droplets,tree_roots\n{text}"), "f", true, Default::default());
        let _ = groundlore_book::read_counts_csv(&text, "f", false);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_label_card_comes_back_as_it_was_typed(name in "[^\0]{1,20}", note in prop::option::of("[^\0]{0,30}"), sites in prop::option::of(prop::collection::vec("[^\0]{0,8}", 0..4)),
                                              low in 1e-9f64..1e3, more in 0f64..10.0, run in prop::option::of(1u32..9)) {
        prop_assume!(!name.trim().is_empty());
        // SQLite trims spaces only, Rust trims all white space: a name of both kinds is filled for both.
        let card = LabelCard {
            name, note, sites, rate_low_si: Some(low), rate_high_si: Some(low + more), rate_si_unit: Some(Default::default()),
            consecutive_run_limit: run, active_ingredients: Some(vec![ActiveIngredient { name: "an ingredient".into(), percent: None }]),
            entered_at: "2015-08-14T15:00:00.123Z".parse().unwrap(), ..LabelCard::default()
        };
        let mut book = Book::open_in_memory().unwrap();
        let id = book.write(|tx| tx.add(&card)).unwrap();
        prop_assert_eq!(book.one::<LabelCard>(id).unwrap(), LabelCard { id, ..card });
    }
}

#[test]
fn an_export_of_version_1_is_imported_and_brought_up_to_date() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("open");
    let path = fill(folder.path(), "today.book", 3);
    Book::open(&path).unwrap().export_to(&out).unwrap();
    // Make of it what version 1 would have written: no work log, no `valid_from`.
    let mut manifest: Manifest = serde_json::from_str(&std::fs::read_to_string(out.join("book.json")).unwrap()).unwrap();
    manifest.schema_version = 1;
    let later = [
        "work_log",
        "weather_files",
        "sightings",
        "forecasts",
        "hourly_files",
        "gauge_files",
        "yard_heights",
        "letter_photos",
        "confirmed_runs",
    ];
    manifest.tables.retain(|table| !later.contains(&table.table.as_str()));
    let prices = manifest.tables.iter_mut().find(|table| table.table == "prices").unwrap();
    prices.columns.retain(|column| column != "valid_from");
    prices.sha256 = None;
    prices.rows = 1;
    // Cards, application records and counts held less then.
    for (table, first_new) in [("label_cards", "label_edition"), ("application_records", "customer_name"), ("counts", "out_of")] {
        let entry = manifest.tables.iter_mut().find(|entry| entry.table == table).unwrap();
        let first_new = entry.columns.iter().position(|column| column == first_new).unwrap();
        entry.columns.truncate(first_new);
        entry.sha256 = None;
        let file = out.join(&entry.file);
        let mut old = String::new();
        for line in rfc4180::read(&std::fs::read_to_string(&file).unwrap()).unwrap() {
            rfc4180::write_line(&mut old, line.fields[..first_new].iter().map(Option::as_deref));
        }
        std::fs::write(file, old).unwrap();
    }
    std::fs::write(
        out.join("tables/prices.csv"),
        "id,item,unit,cost_text,cost_per_unit,rule,rule_share,price_text,price_per_unit,note\r\n1,bark,yd3,$30/yd3,30.0,cost,,,,\r\n",
    )
    .unwrap();
    std::fs::write(out.join("book.json"), serde_json::to_string(&manifest).unwrap()).unwrap();
    let book = Book::import_from(&out, folder.path().join("new.book")).unwrap();
    assert_eq!(book.schema_version().unwrap(), migrate::NEWEST);
    assert_eq!(book.prices().unwrap()[0].cost_per_unit, Some(30.0));
    assert_eq!(book.rows_by_table().unwrap()["work_log"], 0);
}

#[test]
fn a_map_is_exported_byte_for_byte() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = Book::open_in_memory().unwrap();
    let geojson = "{ \"type\" : \"FeatureCollection\",\r\n  \"features\": [ ] }\n";
    book.write(|tx| {
        let yard = tx.add(&groundlore_book::yards::Yard { name: "Alder Bank".into(), ..Default::default() })?;
        let version = groundlore_book::yards::MapVersion { geojson: geojson.into(), ..Default::default() };
        tx.add_map(yard, &groundlore_book::yards::YardMap { version, ..Default::default() })
    })
    .unwrap();
    let out = folder.path().join("open");
    let manifest = book.export_to(&out).unwrap();
    assert_eq!(manifest.maps[0].file, "maps/yard-1-map-1.geojson");
    assert_eq!(std::fs::read_to_string(out.join(&manifest.maps[0].file)).unwrap(), geojson);
    // The digests are those that `sha256sum` gives, where it is installed.
    if let Ok(sum) = std::process::Command::new("sha256sum").arg(out.join("tables/yards.csv")).output() {
        let yards = manifest.tables.iter().find(|table| table.table == "yards").unwrap();
        assert_eq!(String::from_utf8_lossy(&sum.stdout).split(' ').next(), yards.sha256.as_deref());
    }
}

#[test]
fn a_killed_export_leaves_nothing_that_looks_finished() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("open");
    std::fs::create_dir_all(folder.path().join("open.unfinished/tables")).unwrap();
    std::fs::write(folder.path().join("open.unfinished/tables/yards.csv"), "half").unwrap();
    assert!(matches!(Book::import_from(&out, folder.path().join("b.book")), Err(BookError::File { .. })));
    Book::open_in_memory().unwrap().export_to(&out).unwrap();
    assert!(Book::import_from(&out, folder.path().join("b.book")).is_ok());
    assert!(!folder.path().join("open.unfinished").exists());
}
