//! From nothing and from each older version to today's schema; newer and foreign files are refused untouched.

use groundlore_book::firm::Owner;
use groundlore_book::migrate::{APPLICATION_ID, NEWEST};
use groundlore_book::prices::{Price, PriceRule};
use groundlore_book::work_log::WorkDone;
use groundlore_book::{Book, BookError};
use rusqlite::Connection;

use crate::day;

const VERSION_1: &str = include_str!("../../migrations/0001_the_book.sql");

/// A book as a program that knew only version 1 left it.
fn version_1(path: &std::path::Path) {
    let raw = Connection::open(path).unwrap();
    raw.execute_batch(VERSION_1).unwrap();
    raw.execute_batch(&format!("PRAGMA application_id = {APPLICATION_ID}; PRAGMA user_version = 1;")).unwrap();
    raw.execute_batch(
        "INSERT INTO owners (name) VALUES ('Juniper Vale');
         INSERT INTO yards (owner_id, name) VALUES (1, 'Mill House');
         INSERT INTO prices (item, unit, cost_text, cost_per_unit, rule, rule_share) VALUES ('bark', 'yd3', '$30/yd3', 30.0, 'markup', 0.2);",
    )
    .unwrap();
}

#[test]
fn a_new_book_has_todays_schema() {
    let book = Book::open_in_memory().unwrap();
    assert_eq!(book.schema_version().unwrap(), NEWEST);
    assert!(book.check().unwrap().is_sound());
}

#[test]
fn a_version_1_book_comes_up_to_date_with_all_that_it_held() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("old.book");
    version_1(&path);
    let mut book = Book::open(&path).unwrap();
    assert_eq!(book.schema_version().unwrap(), NEWEST);
    assert_eq!(book.all::<Owner>().unwrap()[0].name, "Juniper Vale");
    let old = book.price_on("bark", day("2015-08-14")).unwrap().unwrap();
    assert_eq!((old.unit_price(), old.valid_from), (Some(36.0), None));
    // What version 2 brought: dated prices and the work log.
    let dearer = Price {
        item: "bark".into(),
        unit: "yd3".into(),
        cost_per_unit: Some(33.0),
        rule: PriceRule::Cost,
        valid_from: Some(day("2016-01-01")),
        ..Price::default()
    };
    book.write(|tx| {
        tx.set_price(&dearer)?;
        tx.add(&WorkDone {
            yard_id: Some(1),
            date: day("2015-08-14"),
            what: "mulched".into(),
            minutes_min: Some(90.0),
            ..WorkDone::default()
        })
    })
    .unwrap();
    assert_eq!(book.price_on("bark", day("2015-12-31")).unwrap().unwrap().cost_per_unit, Some(30.0));
    assert_eq!(book.price_on("bark", day("2016-01-01")).unwrap().unwrap().cost_per_unit, Some(33.0));
    let report = book.check().unwrap();
    assert!(report.is_sound(), "{:?}", report.faults);
}

#[test]
fn two_programs_that_open_an_old_book_at_once_take_each_step_once() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("old.book");
    version_1(&path);
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| assert_eq!(Book::open(&path).unwrap().schema_version().unwrap(), NEWEST));
        }
    });
    assert!(Book::open(&path).unwrap().check().unwrap().is_sound());
}

#[test]
fn a_newer_book_is_refused_and_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("new.book");
    Book::create(&path).unwrap().close().unwrap();
    Connection::open(&path).unwrap().execute_batch("PRAGMA user_version = 900").unwrap();
    let before = std::fs::read(&path).unwrap();
    let refused = Book::open(&path).unwrap_err();
    assert!(matches!(refused, BookError::Newer { found: 900, known: NEWEST, .. }), "{refused}");
    assert!(refused.to_string().contains("Use the newer program"));
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn what_is_not_a_book_is_refused_and_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let other = folder.path().join("other.db");
    Connection::open(&other).unwrap().execute_batch("CREATE TABLE notes (text)").unwrap();
    let prose = folder.path().join("letter.txt");
    std::fs::write(&prose, "Dear gardener, my lawn has brown spots. ".repeat(60)).unwrap();
    let empty = folder.path().join("empty.book");
    std::fs::write(&empty, "").unwrap();
    for path in [&other, &prose, &empty, &folder.path().to_path_buf()] {
        let before = std::fs::read(path).ok();
        let refused = Book::open(path).unwrap_err();
        assert!(matches!(refused, BookError::NotABook { .. }), "{path:?}: {refused}");
        assert!(refused.to_string().contains("groundlore book create"));
        assert_eq!(std::fs::read(path).ok(), before);
        assert!(matches!(Book::create(path), Err(BookError::AlreadyThere { .. })));
        assert_eq!(std::fs::read(path).ok(), before);
    }
    assert!(matches!(Book::open(folder.path().join("none.book")), Err(BookError::Missing { .. })));
    assert!(matches!(Book::create(folder.path().join("no/such/folder.book")), Err(BookError::File { .. })));
}

#[test]
fn a_damaged_book_says_so_and_points_to_the_backup() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    let mut book = Book::create(&path).unwrap();
    book.write(|tx| {
        (0..400)
            .try_for_each(|n| tx.add(&Owner { name: format!("owner {n}"), note: Some("x".repeat(500)), ..Owner::default() }).map(|_| ()))
    })
    .unwrap();
    book.close().unwrap();
    let whole = std::fs::read(&path).unwrap();
    let mut told = 0;
    for (from, to) in [(100, 4096), (0, 50), (4096, 60_000), (whole.len() / 2, whole.len() - 1000)] {
        let mut damaged = whole.clone();
        damaged[from..to].fill(0x5a);
        std::fs::write(&path, &damaged).unwrap();
        let outcome = Book::open(&path).and_then(|book| {
            let report = book.check()?;
            assert!(!report.is_sound(), "damage from {from} to {to} is found");
            book.all::<Owner>().map(|_| ())
        });
        if let Err(error) = outcome {
            told += 1;
            assert!(matches!(error, BookError::Damaged { .. } | BookError::NotABook { .. } | BookError::Unreadable { .. }), "{error:?}");
        }
    }
    assert!(told >= 2);
    std::fs::write(&path, &whole[..whole.len() / 2]).unwrap();
    let cut = Book::open(&path).and_then(|book| book.check());
    assert!(cut.map_or(true, |report| !report.is_sound()), "a file cut short is found");
}
