//! A process killed at any moment loses no finished write; two writers take turns or are told.

use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};
use std::time::Duration;

use groundlore_book::firm::Owner;
use groundlore_book::yards::{MapVersion, Yard, YardMap};
use groundlore_book::{Book, BookError};

const CHILD: &str = "GROUNDLORE_BOOK_TEST_CHILD";
const MAKING_CHILD: &str = "GROUNDLORE_BOOK_TEST_MAKING_CHILD";

/// Not a test of its own: the child that writes until it is killed.
#[test]
fn child_that_writes_until_it_is_killed() {
    let Ok(path) = std::env::var(CHILD) else { return };
    let mut book = Book::open(path).unwrap();
    for number in 1..100_000 {
        // Two rows that belong together, and a payload that spans pages.
        book.write(|tx| {
            let owner = tx.add(&Owner { name: format!("owner {number}"), note: Some("n".repeat(6000)), ..Owner::default() })?;
            tx.add(&Yard { owner_id: Some(owner), name: format!("yard {number}"), ..Yard::default() })
        })
        .unwrap();
        println!("committed {number}");
    }
}

/// Not a test of its own: the child that makes books, and brings old ones up to date, until it is killed.
#[test]
fn child_that_makes_books_until_it_is_killed() {
    let Ok(folder) = std::env::var(MAKING_CHILD) else { return };
    for number in 1..10_000 {
        let path = std::path::Path::new(&folder).join(format!("{number:05}.book"));
        let raw = rusqlite::Connection::open(&path).unwrap();
        raw.execute_batch(&format!(
            "PRAGMA synchronous = OFF; BEGIN; {} PRAGMA application_id = {}; PRAGMA user_version = 1; INSERT INTO owners (name) VALUES ('kept'); COMMIT;",
            include_str!("../../migrations/0001_the_book.sql"),
            groundlore_book::migrate::APPLICATION_ID
        ))
        .unwrap();
        drop(raw);
        println!("committed {number}");
        Book::open(&path).unwrap();
    }
}

#[test]
fn a_process_killed_while_it_migrates_leaves_a_book_that_opens() {
    for kill_after in [3, 5, 9] {
        let folder = tempfile::tempdir().unwrap();
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "durability::child_that_makes_books_until_it_is_killed", "--nocapture"])
            .env(MAKING_CHILD, folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines().map_while(Result::ok);
        let made = lines.filter(|line| line.contains("committed ")).take(kill_after).count();
        // The kill falls at different moments of the step from version 1 to today's.
        std::thread::sleep(Duration::from_micros(400 * kill_after as u64));
        child.kill().unwrap();
        child.wait().unwrap();
        assert_eq!(made, kill_after);
        for number in 1..=kill_after {
            let book = Book::open(folder.path().join(format!("{number:05}.book"))).unwrap();
            assert_eq!(book.all::<Owner>().unwrap()[0].name, "kept");
            assert!(book.check().unwrap().is_sound());
        }
    }
}

/// Starts the child on `path`, kills it after `rows` printed commits, and returns the last number printed.
fn kill_after(path: &std::path::Path, rows: usize) -> i64 {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "durability::child_that_writes_until_it_is_killed", "--nocapture"])
        .env(CHILD, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut seen = 0;
    let mut last = 0;
    for line in lines.by_ref().map_while(Result::ok) {
        // The harness may put its own words before the first line.
        if let Some((_, number)) = line.split_once("committed ") {
            last = number.trim().parse().unwrap();
            seen += 1;
            if seen == rows {
                child.kill().unwrap(); // SIGKILL on Unix
                break;
            }
        }
    }
    for line in lines.map_while(Result::ok) {
        if let Some(number) = line.split_once("committed ").and_then(|(_, number)| number.trim().parse().ok()) {
            last = number;
        }
    }
    child.wait().unwrap();
    last
}

#[test]
fn a_killed_process_loses_no_finished_write() {
    let folder = tempfile::tempdir().unwrap();
    for rows in [1, 7, 40, 150] {
        let path = folder.path().join(format!("killed-{rows}.book"));
        Book::create(&path).unwrap().close().unwrap();
        let last = kill_after(&path, rows);
        assert!(last >= i64::try_from(rows).unwrap());
        let book = Book::open(&path).unwrap();
        let report = book.check().unwrap();
        assert!(report.is_sound(), "{:?}", report.faults);
        let owners = book.all::<Owner>().unwrap();
        for number in 1..=last {
            let owner = &owners[usize::try_from(number - 1).unwrap()];
            assert_eq!(owner.name, format!("owner {number}"), "a printed commit is there");
        }
        // Nothing half-written: each owner has its yard.
        assert_eq!(book.all::<Yard>().unwrap().len(), owners.len());
    }
}

#[test]
fn the_file_is_durable_and_checked_by_sqlite() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    let book = Book::create(&path).unwrap();
    assert_eq!(book.path(), path);
    drop(book);
    // WAL is a property of the file, so it shows to anybody.
    let raw = rusqlite::Connection::open(&path).unwrap();
    let mode: String = raw.query_row("PRAGMA journal_mode", [], |row| row.get(0)).unwrap();
    assert_eq!(mode, "wal");
    let strict: i64 = raw
        .query_row(
            "SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' AND strict = 0",
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(strict, 0, "every table is STRICT");
}

#[test]
fn a_second_writer_is_told_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    let mut first = Book::create(&path).unwrap();
    let mut second = Book::open(&path).unwrap();
    second.set_busy_timeout(Duration::from_millis(80)).unwrap();
    first
        .write(|tx| {
            tx.add(&Owner { name: "first".into(), ..Owner::default() })?;
            let refused = second.write(|tx| tx.add(&Owner { name: "second".into(), ..Owner::default() }));
            assert!(matches!(refused, Err(BookError::Busy { .. })), "{refused:?}");
            assert!(refused.unwrap_err().to_string().contains("another program is writing"));
            // Reading goes on meanwhile, and sees what was there before.
            assert_eq!(second.all::<Owner>()?.len(), 0);
            Ok(())
        })
        .unwrap();
    second.write(|tx| tx.add(&Owner { name: "second".into(), ..Owner::default() })).unwrap();
    assert_eq!(first.all::<Owner>().unwrap().len(), 2);
}

#[test]
fn writers_in_many_threads_take_turns() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    Book::create(&path).unwrap();
    std::thread::scope(|scope| {
        for writer in 0..4 {
            let path = &path;
            scope.spawn(move || {
                let mut book = Book::open(path).unwrap();
                for number in 0..10 {
                    book.write(|tx| tx.add(&Owner { name: format!("{writer}.{number}"), ..Owner::default() })).unwrap();
                }
            });
        }
    });
    let book = Book::open(&path).unwrap();
    assert_eq!(book.how_many::<Owner>().unwrap(), 40);
    assert!(book.check().unwrap().is_sound());
}

#[test]
fn a_failed_step_undoes_the_whole_transaction() {
    let mut book = Book::open_in_memory().unwrap();
    let yard = book.write(|tx| tx.add(&Yard { name: "Mill".into(), ..Yard::default() })).unwrap();
    let good = MapVersion { geojson: "{}".into(), ..MapVersion::default() };
    let area = groundlore_book::yards::Area {
        feature: "lawn".into(),
        kind: "lawn".into(),
        area_m2: -4.0,
        geometry: serde_json::json!({}),
        ..Default::default()
    };
    let map = YardMap { version: good, areas: vec![area], ..YardMap::default() };
    let refused = book.write(|tx| tx.add_map(yard, &map)).unwrap_err();
    assert_eq!(refused.to_string(), "areas.area_m2: `-4` cannot be. It must be more than 0, or blank if it was not measured");
    assert!(book.map_versions(yard).unwrap().is_empty());
}
