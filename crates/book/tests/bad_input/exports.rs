//! Wrong folders to import: told with file and line, and no book is left behind.

use std::path::Path;

use groundlore_book::yards::{MapVersion, Yard, YardMap};
use groundlore_book::{Book, BookError};

/// An exported folder.
fn exported(folder: &Path) -> std::path::PathBuf {
    let mut book = Book::open_in_memory().unwrap();
    book.write(|tx| {
        let yard = tx.add(&Yard { name: "Alder Bank".into(), latitude: Some(43.05), longitude: Some(-88.1), ..Yard::default() })?;
        let version = MapVersion { geojson: "{\"type\":\"FeatureCollection\",\"features\":[]}".into(), ..MapVersion::default() };
        tx.add_map(yard, &YardMap { version, ..YardMap::default() })
    })
    .unwrap();
    let out = folder.join("open");
    book.export_to(&out).unwrap();
    out
}

/// Replaces text in a file of the folder; for tables the digest is taken out, as one who edits by hand would.
fn edit(out: &Path, file: &str, from: &str, to: &str) {
    let path = out.join(file);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains(from), "{file} has no `{from}`: {text}");
    std::fs::write(&path, text.replacen(from, to, 1)).unwrap();
}

fn forget_digests(out: &Path) {
    let text = std::fs::read_to_string(out.join("book.json")).unwrap();
    let mut manifest: serde_json::Value = serde_json::from_str(&text).unwrap();
    for list in ["tables", "maps"] {
        for entry in manifest[list].as_array_mut().unwrap() {
            entry.as_object_mut().unwrap().remove("sha256");
        }
    }
    std::fs::write(out.join("book.json"), manifest.to_string()).unwrap();
}

/// (what is wrong, keep digests, file, from, to, part of the message).
const EDITS: &[(&str, bool, &str, &str, &str, &str)] = &[
    ("a cell was changed", true, "tables/yards.csv", "43.05", "44.05", "its SHA-256 differs"),
    ("a map was changed", true, "maps/yard-1-map-1.geojson", "[]", "[ ]", "its SHA-256 differs"),
    ("not a manifest", true, "book.json", "{", "[", "book.json"),
    ("another format", true, "book.json", "groundlore book", "shopping list", "`shopping list`"),
    ("a newer program", true, "book.json", "\"schema_version\": ", "\"schema_version\": 7", "Use the newer program"),
    ("no version", true, "book.json", "\"schema_version\": ", "\"schema_version\": 0, \"was\": ", "schema version is 0"),
    ("leads out of the folder", true, "book.json", "tables/yards.csv", "../yards.csv", "leads out of the folder"),
    ("a file is missing", true, "book.json", "tables/yards.csv", "tables/gardens.csv", "gardens.csv"),
    ("a table is missing", true, "book.json", "\"table\": \"owners\"", "\"table\": \"tenants\"", "not the ones of its schema version"),
    ("a heading was changed", false, "tables/yards.csv", "latitude", "lat", "They should be `id,owner_id,name"),
    ("a word for a number", false, "tables/yards.csv", "43.05", "north", "column `latitude`: `north` is not a number"),
    ("a value that cannot be", false, "tables/yards.csv", "43.05", "430.5", "line 2"),
    ("a number without end", false, "tables/yards.csv", "43.05", "inf", "`inf`"),
    ("a cell too many", false, "tables/yards.csv", "43.05", "43,05", "cells stand under"),
    ("a name that is needed is blank", false, "tables/yards.csv", "Alder Bank", "", "NOT NULL"),
    ("a quote never closed", false, "tables/yards.csv", "Alder Bank", "\"Alder Bank", "never closed"),
    ("a row too many", false, "tables/yards.csv", "1,,Alder", "2,,Birch,,,,,,,,,\r\n1,,Alder", "2 rows are here, and book.json says 1"),
    ("a yard that is not there", false, "tables/map_versions.csv", "1,1,", "1,6,", "not in the book"),
    ("a map that is no JSON", false, "maps/yard-1-map-1.geojson", "[]", "[", "json_valid"),
    ("a map out of the folder", false, "tables/map_versions.csv", "maps/yard-1-map-1.geojson", "/etc/hostname", "leads out of the folder"),
    ("a day that is none", false, "tables/map_versions.csv", "1970-01-01T", "1970-01-41T", "line 2"),
];

#[test]
fn wrong_folders_are_told_and_leave_no_book() {
    for (id, keep_digests, file, from, to, told) in EDITS {
        let folder = tempfile::tempdir().unwrap();
        let out = exported(folder.path());
        if !keep_digests {
            forget_digests(&out);
        }
        edit(&out, file, from, to);
        let book = folder.path().join("new.book");
        let error = Book::import_from(&out, &book).unwrap_err();
        assert!(error.to_string().contains(told), "{id}: {error}");
        assert!(!matches!(error, BookError::Sqlite { .. }), "{id}: {error}");
        let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        assert_eq!(left, ["open"], "{id}: nothing is left");
    }
}

#[test]
fn bytes_that_are_not_utf8_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let out = exported(folder.path());
    forget_digests(&out);
    std::fs::write(out.join("tables/owners.csv"), b"id,name\r\n1,Gr\xfcn\r\n").unwrap();
    let error = Book::import_from(&out, folder.path().join("new.book")).unwrap_err();
    assert!(error.to_string().contains("not UTF-8 text from byte 13"), "{error}");
}

#[test]
fn a_table_edited_on_purpose_comes_in() {
    let folder = tempfile::tempdir().unwrap();
    let out = exported(folder.path());
    forget_digests(&out);
    edit(&out, "tables/yards.csv", "Alder Bank", "Birch Bank");
    let book = Book::import_from(&out, folder.path().join("new.book")).unwrap();
    assert_eq!(book.yards().unwrap()[0].name, "Birch Bank");
}
