//! Application records, label cards and machine hours are append-only, even for raw SQL.

use groundlore_book::applications::ApplicationRecord;
use groundlore_book::confirmed_runs::ConfirmedRun;
use groundlore_book::label_cards::LabelCard;
use groundlore_book::machines::{Machine, MachineHours};
use groundlore_book::{Book, BookError};

use crate::{at, book_with_yard, day, line_for};

/// A book file with rows in each append-only table, and its path.
fn written() -> (tempfile::TempDir, std::path::PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    let mut book = Book::create(&path).unwrap();
    book.write(|tx| {
        let yard = tx.add(&groundlore_book::yards::Yard { name: "Alder Bank".into(), ..Default::default() })?;
        let first = tx.add(&line_for(yard))?;
        tx.correct_application(first, "area was measured again", &ApplicationRecord { area_m2: 131.0, ..line_for(yard) })?;
        let card = tx.add(&LabelCard { name: "Demo card".into(), entered_at: at("2015-08-01T12:00:00Z"), ..LabelCard::default() })?;
        tx.replace_label_card(card, &LabelCard { name: "Demo card".into(), signal_word: Some("CAUTION".into()), ..LabelCard::default() })?;
        let machine_id = tx.add(&Machine { name: "mower".into(), kind: "mower".into(), ..Machine::default() })?;
        tx.add(&MachineHours { machine_id, date: day("2015-08-14"), hours_h: 2.5, ..MachineHours::default() })
    })
    .unwrap();
    (folder, path)
}

#[test]
fn raw_sql_cannot_change_or_remove_a_written_line() {
    let (_folder, path) = written();
    let raw = rusqlite::Connection::open(&path).unwrap();
    let attacks = [
        "UPDATE application_records SET area_m2 = 1",
        "UPDATE application_records SET id = 9 WHERE id = 1",
        "UPDATE OR REPLACE application_records SET id = 2 WHERE id = 1",
        "UPDATE OR IGNORE application_records SET note = 'x'",
        "DELETE FROM application_records",
        "DELETE FROM application_records WHERE id = 2",
        "INSERT OR REPLACE INTO application_records SELECT * FROM application_records WHERE id = 1",
        "REPLACE INTO application_records (id, kind, yard_id, written_at, date, yard_name, area_m2, product, applicator)
         VALUES (1, 'pesticide', 1, '2015-08-14T15:00:00Z', '2015-08-14', 'x', 1.0, 'x', 'x')",
        "INSERT INTO application_records (id, kind, yard_id, written_at, date, yard_name, area_m2, product, applicator)
         VALUES (77, 'pesticide', 1, '2015-08-14T15:00:00Z', '2015-08-14', 'x', 1.0, 'x', 'x')",
        "INSERT INTO application_records (id, kind, yard_id, written_at, date, yard_name, area_m2, product, applicator)
         VALUES (1, 'pesticide', 1, '2015-08-14T15:00:00Z', '2015-08-14', 'x', 1.0, 'x', 'x')
         ON CONFLICT (id) DO UPDATE SET area_m2 = 1.0",
        "UPDATE label_cards SET name = 'x'",
        "DELETE FROM label_cards",
        "INSERT OR REPLACE INTO label_cards (id, entered_at, name) VALUES (1, '2015-08-01T12:00:00Z', 'x')",
        "UPDATE machine_hours SET hours_h = 1",
        "DELETE FROM machine_hours",
        "REPLACE INTO machine_hours (id, machine_id, date, hours_h) VALUES (1, 1, '2015-08-14', 1.0)",
        "DELETE FROM yards",
        "INSERT OR REPLACE INTO yards (id, name) VALUES (1, 'y')",
    ];
    let before = dump(&path);
    for recursive in ["OFF", "ON"] {
        raw.execute_batch(&format!("PRAGMA recursive_triggers = {recursive}; PRAGMA foreign_keys = ON")).unwrap();
        for attack in attacks {
            if attack.contains("yards") && recursive == "ON" {
                continue; // replacing a yard keeps its number, which is no harm to the record
            }
            let outcome = raw.execute(attack, []);
            let replaced_a_yard = attack.contains("REPLACE INTO yards");
            assert!(outcome.is_err() || replaced_a_yard, "went through: {attack}");
        }
    }
    assert_eq!(dump(&path), before);
}

/// The append-only tables as text.
fn dump(path: &std::path::Path) -> String {
    let book = Book::open(path).unwrap();
    let lines = book.all::<ApplicationRecord>().unwrap();
    format!("{lines:?} {:?} {:?}", book.all::<LabelCard>().unwrap(), book.all::<MachineHours>().unwrap())
}

#[test]
fn correcting_a_corrected_line_again_is_refused_and_says_so() {
    let (mut book, yard) = book_with_yard();
    let first = book.write(|tx| tx.add(&line_for(yard))).unwrap();
    let second = book.write(|tx| tx.correct_application(first, "wind was read wrong", &line_for(yard))).unwrap();
    let refused = book.write(|tx| tx.correct_application(first, "again", &line_for(yard))).unwrap_err();
    assert!(matches!(refused, BookError::AppendOnly { .. }), "{refused}");
    assert!(refused.to_string().contains("correct the newest line"));
    book.write(|tx| tx.correct_application(second, "again", &line_for(yard))).unwrap();
    assert_eq!(book.application_history(3).unwrap().iter().map(|line| line.id).collect::<Vec<_>>(), [3, 2, 1]);
}

#[test]
fn only_the_newest_line_of_a_chain_holds_and_a_struck_one_holds_no_more() {
    let (mut book, yard) = book_with_yard();
    let first = book.write(|tx| tx.add(&line_for(yard))).unwrap();
    let other = book.write(|tx| tx.add(&ApplicationRecord { product: "Other demo card".into(), ..line_for(yard) })).unwrap();
    let corrected = ApplicationRecord { area_m2: 99.0, ..line_for(yard) };
    book.write(|tx| tx.correct_application(first, "area was measured again", &corrected)).unwrap();
    let held: Vec<f64> = book.applications_of(yard).unwrap().iter().map(|line| line.area_m2).collect();
    assert_eq!(held, [120.5, 99.0]);
    book.write(|tx| tx.strike_out_application(other, "was written for the wrong yard", at("2015-08-15T08:00:00Z"))).unwrap();
    let held = book.applications_between(day("2015-08-01"), day("2015-08-31")).unwrap();
    assert_eq!(held.len(), 1);
    assert_eq!(held[0].why.as_deref(), Some("area was measured again"));
    assert_eq!(book.application_lines_of(yard).unwrap().len(), 4, "every line ever written stays");
}

#[test]
fn a_correction_names_a_line_and_says_why_or_neither() {
    let (mut book, yard) = book_with_yard();
    let first = book.write(|tx| tx.add(&line_for(yard))).unwrap();
    let half = [
        ApplicationRecord { corrects_id: Some(first), ..line_for(yard) },
        ApplicationRecord { why: Some("no line named".into()), ..line_for(yard) },
        ApplicationRecord { corrects_id: Some(first), why: Some("  ".into()), ..line_for(yard) },
        ApplicationRecord { strikes_out: true, ..line_for(yard) },
    ];
    for line in &half {
        assert!(matches!(book.write(|tx| tx.add(line)), Err(BookError::InvalidValue { .. })));
    }
    let missing = book.write(|tx| tx.correct_application(41, "why", &line_for(yard))).unwrap_err();
    assert!(matches!(missing, BookError::NotFound { .. }));
}

#[test]
fn a_record_keeps_the_card_as_it_stood() {
    let (mut book, yard) = book_with_yard();
    let card = LabelCard { name: "Demo card".into(), reentry_text: Some("until dry".into()), ..LabelCard::default() };
    let card_id = book.write(|tx| tx.add(&card)).unwrap();
    let stored: LabelCard = book.one(card_id).unwrap();
    let line = book.write(|tx| tx.add(&line_for(yard).with_label_card(&stored)?)).unwrap();
    book.write(|tx| tx.replace_label_card(card_id, &LabelCard { reentry_text: Some("12 h".into()), ..card })).unwrap();
    let kept: ApplicationRecord = book.one(line).unwrap();
    assert_eq!(kept.reentry_text.as_deref(), Some("until dry"));
    let snapshot: LabelCard = serde_json::from_value(kept.label_card.unwrap()).unwrap();
    assert_eq!(snapshot, stored);
    assert_eq!(book.label_cards().unwrap().len(), 1);
    assert_eq!(book.label_card_named("demo CARD").unwrap().unwrap().reentry_text.as_deref(), Some("12 h"));
    assert_eq!(book.label_card_history(2).unwrap().len(), 2);
}

#[test]
fn a_dropped_trigger_or_a_missing_line_shows_in_the_check() {
    let (_folder, path) = written();
    let raw = rusqlite::Connection::open(&path).unwrap();
    raw.execute_batch(
        "DROP TRIGGER application_records_are_never_removed; PRAGMA foreign_keys = OFF; DELETE FROM application_records WHERE id = 1;",
    )
    .unwrap();
    drop(raw);
    let report = Book::open(&path).unwrap().check().unwrap();
    let told: String = report.faults.iter().map(|fault| format!("{fault}\n")).collect();
    assert!(told.contains("trigger application_records_are_never_removed: is missing"), "{told}");
    assert!(told.contains("a line is missing: the numbers do not run on to 2"), "{told}");
    assert!(told.contains("application_records row 2 names a row of application_records that is not there"), "{told}");
}

#[test]
fn what_the_rules_ask_is_corrected_by_a_new_line_too() {
    let (mut book, yard) = book_with_yard();
    let bare = ApplicationRecord { restricted_use: Some(true), rules: Some(vec!["new-york-commercial".into()]), ..line_for(yard) };
    let first = book.write(|tx| tx.add(&bare)).unwrap();
    let whole = ApplicationRecord { method: Some("broadcast".into()), site: Some("home lawn".into()), ..bare.clone() };
    let second = book.write(|tx| tx.correct_application(first, "the method was left out", &whole)).unwrap();
    let lines = book.application_lines_of(yard).unwrap();
    assert_eq!(lines.len(), 2);
    assert_eq!((lines[0].method.as_deref(), lines[1].method.as_deref()), (None, Some("broadcast")));
    assert_eq!(book.applications_of(yard).unwrap().iter().map(|line| line.id).collect::<Vec<_>>(), [second]);
    assert_eq!(lines[0].rules, bare.rules);
    assert!(book.write(|tx| tx.correct_application(first, "again", &whole)).is_err(), "an old line is corrected once");
}

#[test]
fn runs_over_confirmed_letters_are_never_changed() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("firm.book");
    let mut book = Book::create(&path).unwrap();
    let run = ConfirmedRun {
        run_at: at("2015-08-14T15:00:00Z"),
        tool: "0.1.0".into(),
        lore: "a digest".into(),
        summary: serde_json::json!({}),
        scores: serde_json::json!([]),
        ..ConfirmedRun::default()
    };
    let id = book.write(|tx| tx.add(&run)).unwrap();
    assert_eq!(book.latest_confirmed_run().unwrap(), Some(ConfirmedRun { id, ..run }));
    let raw = rusqlite::Connection::open(&path).unwrap();
    for sql in ["UPDATE confirmed_runs SET cases = 9", "DELETE FROM confirmed_runs"] {
        assert!(raw.execute_batch(sql).unwrap_err().to_string().contains("append-only"), "{sql}");
    }
}
