//! Backups and exports while work goes on.

use std::sync::atomic::{AtomicBool, Ordering};

use groundlore_book::firm::Owner;
use groundlore_book::yards::Yard;
use groundlore_book::{Book, BookError};

#[test]
fn a_backup_taken_while_another_writes_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    let book = Book::create(&path).unwrap();
    let stop = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let mut writer = Book::open(&path).unwrap();
            for number in 0.. {
                if stop.load(Ordering::Relaxed) {
                    break;
                }
                writer
                    .write(|tx| {
                        let owner = tx.add(&Owner { name: format!("owner {number}"), note: Some("x".repeat(3000)), ..Owner::default() })?;
                        tx.add(&Yard { owner_id: Some(owner), name: format!("yard {number}"), ..Yard::default() })
                    })
                    .unwrap();
            }
        });
        for number in 0..5 {
            std::thread::sleep(std::time::Duration::from_millis(30));
            let copy = folder.path().join(format!("backup-{number}.book"));
            let report = book.backup_to(&copy).unwrap();
            let backup = Book::open(&copy).unwrap();
            assert!(backup.check().unwrap().is_sound());
            let owners = backup.how_many::<Owner>().unwrap();
            assert_eq!(owners, backup.how_many::<Yard>().unwrap(), "no transaction is cut in two");
            assert_eq!(report.rows, owners.unsigned_abs() * 2);
            assert!(report.bytes > 0);
        }
        stop.store(true, Ordering::Relaxed);
    });
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert!(!left.iter().any(|name| name.to_string_lossy().contains("unfinished")), "{left:?}");
}

#[test]
fn a_book_may_go_from_thread_to_thread() {
    fn goes<T: Send>() {}
    goes::<Book>();
    goes::<BookError>();
}

#[test]
fn a_backup_never_overwrites() {
    let folder = tempfile::tempdir().unwrap();
    let taken = folder.path().join("taken");
    std::fs::write(&taken, "precious").unwrap();
    let book = Book::create(folder.path().join("firm.book")).unwrap();
    assert!(matches!(book.backup_to(&taken), Err(BookError::AlreadyThere { .. })));
    assert!(matches!(book.export_to(&taken), Err(BookError::AlreadyThere { .. })));
    assert!(matches!(Book::import_from(folder.path(), &taken), Err(BookError::File { .. })));
    assert_eq!(std::fs::read_to_string(&taken).unwrap(), "precious");
    assert!(book.backup_to(folder.path().join("no/such/place.book")).is_err());
}

#[test]
fn a_backup_of_a_damaged_book_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    let mut book = Book::create(&path).unwrap();
    book.write(|tx| tx.add(&Owner { name: "Juniper Vale".into(), ..Owner::default() })).unwrap();
    book.close().unwrap();
    rusqlite::Connection::open(&path).unwrap().execute_batch("DROP TRIGGER label_cards_are_never_changed").unwrap();
    let copy = folder.path().join("copy.book");
    let refused = Book::open(&path).unwrap().backup_to(&copy).unwrap_err();
    assert!(matches!(refused, BookError::Damaged { .. }), "{refused}");
    assert!(!copy.exists());
}
