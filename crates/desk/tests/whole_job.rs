//! The whole job on the demo's yard, at the desk: from the letter to what was learned.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]
use groundlore_book::Book;
use groundlore_desk::Desk;
use groundlore_desk::demo::{TROUBLE, YARD, day};
use groundlore_plant_health::decision::Answer;
use groundlore_plant_health::efficacy::Shown;
use groundlore_sheet::text::print;

fn desk() -> Desk {
    let now = day().at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp();
    Desk::new(Book::open_in_memory().unwrap(), Desk::load_lore(None).unwrap(), day(), now)
}

#[test]
fn one_yard_goes_through_the_whole_job() {
    let mut desk = desk();
    let faults = desk.fill_demo().unwrap();
    assert!(faults >= 6, "{faults} faults found on the maps");
    let thread = desk.run_demo_thread(faults).unwrap();
    if std::env::var_os("SHOW").is_some() {
        println!("{}", print(&desk.letter_sheet(&thread.letter), 110));
        println!("{}", print(&desk.scouting_sheet(&thread.plan).unwrap(), 110));
        println!("{}", print(&desk.verdict_sheet(&thread.verdict).unwrap(), 110));
        println!("{}", print(&desk.options_sheet(&thread.options), 110));
        println!("{}", print(&desk.bed_sheet(&thread.bed).unwrap(), 110));
        println!("{}", print(&desk.proposal_sheet(&thread.proposal).unwrap(), 110));
        println!("{}", print(&desk.week_sheet().unwrap(), 110));
        println!("{}", print(&desk.season_sheet(YARD).unwrap(), 110));
    }
    assert_eq!(thread.letter.answer.causes[0].key, TROUBLE);
    assert!(matches!(thread.verdict.verdict.answer, Answer::Treat { .. }), "{:?}", thread.verdict.verdict.answer);
    assert!(matches!(thread.left.verdict.answer, Answer::Leave), "{:?}", thread.left.verdict.answer);
    assert!(thread.letters.iter().any(|l| l.answer.action.class.words() == "get help now"), "the limb on the wire is a danger");
    assert!(!thread.bed.plan.plants.is_empty());
    assert!(thread.proposal.total().is_some(), "{:?}", thread.proposal.no_price_yet);
    let week = desk.week().unwrap();
    assert!(week.tasks.len() > 10);
    for (task, _) in &week.tasks {
        assert!(task.window.earliest <= task.window.best && task.window.best <= task.window.latest, "{}", task.key);
        assert!(!task.window.odds.is_empty(), "{} has dates without odds or a reason for them", task.key);
        assert!(!task.reasons.is_empty(), "{} has no reason", task.key);
    }
    let after = desk.run_demo_aftermath().unwrap();
    assert!(matches!(after.followed.shown, Shown::Control { .. }));
    assert!(after.followed.after.median > after.followed.before.median, "a good follow-up raises belief");
    let record = desk.record_sheet(YARD).unwrap();
    assert!(print(&record, 100).contains("corrects line"));
    assert!(desk.book.check().unwrap().is_sound());
}

#[test]
fn the_same_day_makes_the_same_week() {
    let week = || {
        let mut desk = desk();
        let faults = desk.fill_demo().unwrap();
        desk.run_demo_thread(faults).unwrap();
        serde_json::to_string(&desk.week().unwrap()).unwrap()
    };
    assert_eq!(week(), week());
}

#[test]
fn unknown_names_say_what_there_is() {
    let mut desk = desk();
    desk.fill_demo().unwrap();
    let error = desk.scouting_plan("Lindn House", TROUBLE, 20).unwrap_err().to_string();
    assert!(error.contains("Linden House"), "{error}");
    let error = desk.scouting_plan(YARD, "white-grub", 20).unwrap_err().to_string();
    assert!(error.contains("white-grubs-annual"), "{error}");
    let error = desk.verdict("Newlands", TROUBLE).unwrap_err().to_string();
    assert!(error.contains("nobody has counted"), "{error}");
    let error = desk.plan_treatment(YARD, TROUBLE, "trichlorfon").unwrap_err().to_string();
    assert!(error.contains("label"), "{error}");
}

#[test]
fn a_sight_moves_its_clock_here_and_by_less_nearby() {
    let mut desk = desk();
    desk.fill_demo().unwrap();
    let key = "first-frost-at-all";
    let all = desk.season_events(YARD, 0.0).unwrap();
    let event = all.iter().find(|e| e.p50.is_some_and(|d| d < day()) && e.doubt_sd_days > 5.0).unwrap().clone();
    let middle = event.p50.unwrap();
    let early = middle.checked_sub(jiff::ToSpan::days(12)).unwrap();
    assert!(desk.saw(YARD, key, None, None).unwrap_err().to_string().contains("--events"));
    let noted = desk.saw(YARD, &event.key, Some(early), Some("Jessamy Rook")).unwrap();
    assert!((noted.residual_days.unwrap() + 12.0).abs() < 1e-9 && noted.starts.is_empty());
    let of =
        |desk: &Desk, yard: &str| desk.season_events(yard, 0.0).unwrap().into_iter().find(|e| e.key == event.key).unwrap().p50.unwrap();
    let elsewhere_before = middle;
    let (here, near) = (of(&desk, YARD), of(&desk, "Wrenhall"));
    assert!(here < middle, "{here} is not earlier than {middle}");
    assert!(here <= near && near <= elsewhere_before, "here {here}, nearby {near}, before {elsewhere_before}");
    let tomorrow = day().tomorrow().unwrap();
    assert!(desk.saw(YARD, &event.key, Some(tomorrow), None).unwrap_err().to_string().contains("future"));
    let feed = desk.season_calendar(YARD).unwrap();
    assert!(feed.starts_with("BEGIN:VCALENDAR\r\n") && feed.lines().all(|line| line.len() <= 75), "lines are folded at 75 bytes");
}
