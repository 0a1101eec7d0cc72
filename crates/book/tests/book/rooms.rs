//! What goes together is written together, and read back as it was.

use groundlore_book::beliefs::{Belief, BeliefShape};
use groundlore_book::counts::{Count, CountSession};
use groundlore_book::firm::Firm;
use groundlore_book::machines::{BladeSharpening, Machine, MachineHours};
use groundlore_book::proposals::{Proposal, ProposalLine, ProposalState};
use groundlore_book::stock_checks::{StockCheck, StockCheckLine, StockVerdict};
use groundlore_book::tasks::{StateChange, Task, TaskState};
use groundlore_book::yards::{Area, MapVersion, Yard, YardMap};
use groundlore_book::{Book, BookError};
use serde_json::json;

use crate::{at, book_with_yard, day};

#[test]
fn the_firm_is_one_and_settings_are_overwritten() {
    let mut book = Book::open_in_memory().unwrap();
    assert_eq!(book.firm().unwrap(), None);
    let firm = Firm { name: "Teasel & Rowan".into(), currency: "$".into(), overhead_share: Some(0.18), ..Firm::default() };
    book.write(|tx| tx.set_firm(&firm)).unwrap();
    book.write(|tx| tx.set_firm(&Firm { place: Some("Wend Valley".into()), ..firm.clone() })).unwrap();
    assert_eq!(book.firm().unwrap().unwrap().place.as_deref(), Some("Wend Valley"));
    assert_eq!(book.setting("units").unwrap(), None);
    book.write(|tx| tx.set_setting("units", "us")).unwrap();
    book.write(|tx| tx.set_setting("units", "metric")).unwrap();
    assert_eq!(book.setting("units").unwrap().as_deref(), Some("metric"));
}

#[test]
fn a_yard_is_found_by_name_and_a_wrong_name_lists_the_right_ones() {
    let (book, yard) = book_with_yard();
    assert_eq!(book.yard_named(" alder bank").unwrap().id, yard);
    let wrong = book.yard_named("Elder Bank").unwrap_err();
    assert_eq!(wrong.to_string(), "yards: there is no row named `Elder Bank`. Yards in this book: Alder Bank");
}

#[test]
fn the_newest_map_is_todays_and_older_ones_stay() {
    let (mut book, yard) = book_with_yard();
    let area = |size| Area {
        feature: "a1".into(),
        name: Some("Front".into()),
        kind: "lawn".into(),
        area_m2: size,
        geometry: json!({}),
        ..Area::default()
    };
    for (size, when) in [(100.0, "2015-03-01T10:00:00Z"), (110.5, "2015-06-01T10:00:00Z")] {
        let version = MapVersion {
            imported_at: at(when),
            geojson: "{\"type\":\"FeatureCollection\",\"features\":[]}".into(),
            ..MapVersion::default()
        };
        book.write(|tx| tx.add_map(yard, &YardMap { version, areas: vec![area(size)], ..YardMap::default() })).unwrap();
    }
    assert_eq!(book.map_of(yard).unwrap().unwrap().areas[0].area_m2, 110.5);
    assert_eq!(book.area_named(yard, "front").unwrap().area_m2, 110.5);
    assert_eq!(book.map_versions(yard).unwrap().len(), 2);
    assert!(matches!(book.area_named(yard, "back"), Err(BookError::NotFound { .. })));
}

#[test]
fn planning_again_keeps_a_tasks_state_and_every_change_is_logged() {
    let (mut book, yard) = book_with_yard();
    let task = Task {
        key: "alder-bank/grubs/count".into(),
        yard_id: Some(yard),
        what: "Count grubs".into(),
        earliest: Some(day("2015-08-10")),
        best: Some(day("2015-08-15")),
        latest: Some(day("2015-08-20")),
        ..Task::default()
    };
    let id = book.write(|tx| tx.plan_task(&task)).unwrap();
    let begun = StateChange { to: TaskState::Begun, why: None, who: Some("R. Teasel"), at: at("2015-08-14T13:00:00Z") };
    book.write(|tx| tx.set_task_state(id, &begun)).unwrap();
    let again = book.write(|tx| tx.plan_task(&Task { latest: Some(day("2015-08-22")), ..task.clone() })).unwrap();
    assert_eq!(again, id);
    let now: Task = book.one(id).unwrap();
    assert_eq!((now.state, now.latest), (TaskState::Begun, Some(day("2015-08-22"))));
    let mute = book.write(|tx| tx.set_task_state(id, &StateChange { to: TaskState::CouldNot, ..begun.clone() }));
    assert!(matches!(mute, Err(BookError::InvalidValue { .. })));
    book.write(|tx| tx.set_task_state(id, &StateChange { to: TaskState::CouldNot, why: Some("gate was locked"), ..begun })).unwrap();
    let log: Vec<_> = book.task_changes(id).unwrap().iter().map(|change| (change.from_state, change.to_state)).collect();
    assert_eq!(log, [(TaskState::ToDo, TaskState::Begun), (TaskState::Begun, TaskState::CouldNot)]);
    assert!(book.check().unwrap().is_sound());
}

#[test]
fn late_tasks_are_due_and_future_ones_are_not() {
    let mut book = Book::open_in_memory().unwrap();
    let window = |key: &str, earliest: &str, latest: &str| Task {
        key: key.into(),
        what: key.into(),
        earliest: Some(day(earliest)),
        latest: Some(day(latest)),
        ..Task::default()
    };
    book.write(|tx| {
        tx.plan_task(&window("late", "2015-07-01", "2015-07-20"))?;
        tx.plan_task(&window("this week", "2015-08-16", "2015-08-30"))?;
        tx.plan_task(&window("next month", "2015-09-01", "2015-09-30"))
    })
    .unwrap();
    let due: Vec<String> = book.tasks_due(day("2015-08-20")).unwrap().into_iter().map(|task| task.key).collect();
    assert_eq!(due, ["late", "this week"]);
}

#[test]
fn a_proposal_keeps_its_lines_and_its_history() {
    let (mut book, yard) = book_with_yard();
    let proposal = Proposal { yard_id: yard, date: day("2015-08-14"), title: "Mulch".into(), currency: "$".into(), ..Proposal::default() };
    let line = |what: &str, price| ProposalLine { what: what.into(), price, ..ProposalLine::default() };
    let id = book.write(|tx| tx.add_proposal(&proposal, &[line("bark", 116.0), line("labour", 210.0)])).unwrap();
    let wish = |to| StateChange { to, why: None, who: None, at: at("2015-08-15T10:00:00Z") };
    book.write(|tx| tx.set_proposal_state(id, &wish(ProposalState::Agreed))).unwrap();
    let jump = book.write(|tx| tx.set_proposal_state(id, &wish(ProposalState::Lapsed)));
    assert!(jump.is_err());
    assert_eq!(book.proposal_lines(id).unwrap().iter().map(|line| line.position).collect::<Vec<_>>(), [1, 2]);
    assert_eq!(book.proposal_changes(id).unwrap().len(), 1);
}

#[test]
fn an_unchecked_point_leaves_the_stock_unjudged_unless_another_refuses() {
    let mut book = Book::open_in_memory().unwrap();
    let point = |verdict| StockCheckLine { what: "roots at the pot's edge".into(), verdict, ..StockCheckLine::default() };
    let check = StockCheck { plant: "catmint".into(), date: day("2015-09-01"), ..StockCheck::default() };
    let cases = [
        (vec![], None),
        (vec![Some(StockVerdict::Pass), None], None),
        (vec![Some(StockVerdict::Pass), Some(StockVerdict::Doubt)], Some(StockVerdict::Doubt)),
        (vec![None, Some(StockVerdict::Refuse)], Some(StockVerdict::Refuse)),
        (vec![Some(StockVerdict::Pass)], Some(StockVerdict::Pass)),
    ];
    for (points, expected) in cases {
        let lines: Vec<_> = points.into_iter().map(point).collect();
        let id = book.write(|tx| tx.add_stock_check(&check, &lines)).unwrap();
        assert_eq!(book.stock_verdict(id).unwrap(), expected);
    }
}

#[test]
fn blade_hours_run_from_the_last_sharpening() {
    let mut book = Book::open_in_memory().unwrap();
    let machine_id = book.write(|tx| tx.add(&Machine { name: "big mower".into(), kind: "mower".into(), ..Machine::default() })).unwrap();
    assert_eq!(book.blade_hours_since_sharpening(machine_id).unwrap(), 0.0);
    let hours = |date: &str, hours_h, blade_hours_h| MachineHours {
        machine_id,
        date: day(date),
        hours_h,
        blade_hours_h,
        ..MachineHours::default()
    };
    book.write(|tx| {
        tx.add(&hours("2015-08-01", 3.0, None))?;
        tx.add(&hours("2015-08-10", 2.0, Some(1.25)))?;
        tx.add(&hours("2015-08-12", 4.0, None))
    })
    .unwrap();
    assert_eq!(book.blade_hours_since_sharpening(machine_id).unwrap(), 8.25);
    book.write(|tx| tx.add(&BladeSharpening { machine_id, date: day("2015-08-10"), ..BladeSharpening::default() })).unwrap();
    assert_eq!(book.blade_hours_since_sharpening(machine_id).unwrap(), 4.0);
}

#[test]
fn counts_belong_to_their_session_and_the_newest_belief_holds() {
    let (mut book, yard) = book_with_yard();
    let session = CountSession { yard_id: yard, trouble: "white-grub".into(), date: day("2015-08-14"), ..CountSession::default() };
    let count =
        |count| Count { trouble: "white-grub".into(), date: day("2015-08-14"), count, sample_area_m2: Some(0.0929), ..Count::default() };
    let id = book.write(|tx| tx.add_count_session(&session, &[count(0), count(7)])).unwrap();
    assert_eq!(book.counts_in(id).unwrap().iter().map(|row| row.count).collect::<Vec<_>>(), [0, 7]);
    assert_eq!(book.counts_of(yard, "white-grub", day("2015-08-14"), day("2015-08-14")).unwrap().len(), 2);
    let belief = |alpha| Belief {
        control: "nematodes".into(),
        trouble: "white-grub".into(),
        year: 2015,
        shape: BeliefShape::Beta,
        alpha: Some(alpha),
        beta: Some(2.0),
        source: "own follow-up".into(),
        ..Belief::default()
    };
    book.write(|tx| tx.record_belief(&belief(3.0)).and_then(|_| tx.record_belief(&belief(5.0)))).unwrap();
    assert_eq!(book.beliefs_about("nematodes", "white-grub").unwrap().len(), 2);
    assert_eq!(book.current_beliefs_about("nematodes", "white-grub").unwrap()[0].alpha, Some(5.0));
}

#[test]
fn errors_name_table_column_value_and_remedy() {
    let (mut book, yard) = book_with_yard();
    let cases = [
        (book.write(|tx| tx.add(&Yard { name: " ".into(), ..Yard::default() })), "yards.name"),
        (book.write(|tx| tx.add(&Yard { name: "b".into(), latitude: Some(f64::NAN), ..Yard::default() })), "yards.latitude"),
        (book.write(|tx| tx.add(&Yard { name: "b".into(), time_zone: Some("Wend/Valley".into()), ..Yard::default() })), "yards.time_zone"),
        (book.write(|tx| tx.add(&Yard { name: "b\0".into(), ..Yard::default() })), "NUL"),
        (
            book.write(|tx| tx.add(&Yard { name: "b".into(), owner_id: Some(9), ..Yard::default() })),
            "names another row that is not in the book",
        ),
        (book.write(|tx| tx.add(&Yard { name: "Alder Bank".into(), ..Yard::default() })), "there already"),
        (book.write(|tx| tx.remove::<Yard>(77)).map(|()| 0), "yards: there is no row with number 77"),
    ];
    for (outcome, told) in cases {
        let message = outcome.unwrap_err().to_string();
        assert!(message.contains(told), "{message}");
    }
    book.write(|tx| tx.remove::<Yard>(yard)).unwrap();
}
