//! Records held to the law's rules, and what is learned: of a control by its follow-ups, of the tool by its confirmed letters.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use groundlore_book::{Book, rfc4180};
use groundlore_desk::Desk;
use groundlore_desk::demo::{TROUBLE, YARD, day};
use groundlore_desk::treatment::ApplicationEntry;
use groundlore_plant_health::efficacy::FollowUp;
use groundlore_plant_health::efficacy::no_longer_works::{Signs, Standing, Why};
use groundlore_sheet::text::print;
use jiff::civil::date;

fn desk() -> Desk {
    let now = day().at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp();
    let mut desk = Desk::new(Book::open_in_memory().unwrap(), Desk::load_lore(None).unwrap(), day(), now);
    desk.fill_demo().unwrap();
    desk
}

/// An entry with all that the rules ask of this yard.
fn whole(desk: &Desk) -> ApplicationEntry {
    let card = desk.book.label_cards().unwrap()[0].clone();
    ApplicationEntry {
        card: card.name,
        area: Some("5200 ft2".into()),
        rate: Some("3 lb/1000ft2".into()),
        amount: Some("15.6 lb".into()),
        applicator: Some("Jessamy Rook".into()),
        licence: Some("C-100".into()),
        started: Some("07:30".into()),
        customer: Some("Ottoline Marsh".into()),
        customer_address: Some("4 Mill Lane, Alder".into()),
        site: Some("home lawn".into()),
        method: Some("broadcast, rotary spreader".into()),
        restricted_use: Some(true),
        ..ApplicationEntry::default()
    }
}

#[test]
fn a_record_is_complete_or_refused_with_all_that_is_missing() {
    let mut desk = desk();
    let lines = |desk: &Desk| desk.book.application_lines_of(desk.book.yard_named(YARD).unwrap().id).unwrap();
    desk.set_record_rules("us-federal-commercial").unwrap();
    let bare = ApplicationEntry {
        site: None,
        started: None,
        restricted_use: None,
        amount: None,
        licence: None,
        applicator: Some("A. Helper".into()),
        ..whole(&desk)
    };
    let told = desk.record_application(YARD, TROUBLE, &bare).unwrap_err().to_string();
    for part in ["lacks 5", "total amount", "time of day", "restricted use", "crop, plant", "certified applicator", "40 CFR 171.303"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    assert!(lines(&desk).is_empty(), "nothing was written");
    assert!(desk.book.follow_ups_of(desk.book.yard_named(YARD).unwrap().id).unwrap().is_empty(), "and no follow-up was opened");
    // The firm's licence is not lent to somebody else's work.
    let line = desk.record_application(YARD, TROUBLE, &whole(&desk)).unwrap();
    let written = lines(&desk).into_iter().find(|l| l.id == line).unwrap();
    assert_eq!(written.rules.as_deref(), Some(&["us-federal-commercial".to_owned()][..]));
    assert!(written.started_at.is_some() && written.licence.as_deref() == Some("C-100"));
    let shown = print(&desk.record_sheet(YARD).unwrap(), 110);
    assert!(shown.contains("complete; keep until 2017-08-17"), "{shown}");
    // A wrong word and a wrong time are told with what would be right.
    assert!(desk.set_record_rules("new-york").unwrap_err().to_string().contains("new-york-commercial"));
    let odd = ApplicationEntry { started: Some("half eight".into()), ..whole(&desk) };
    assert!(desk.record_application(YARD, TROUBLE, &odd).unwrap_err().to_string().contains("07:30"));
}

#[test]
fn a_correction_is_held_to_the_rules_of_its_line_and_the_old_line_stays() {
    let mut desk = desk();
    let entry = ApplicationEntry { rules: Some("us-federal-private".into()), ..whole(&desk) };
    let first = desk.record_application(YARD, TROUBLE, &entry).unwrap();
    let second = desk
        .correct_application(
            first,
            "the bag was weighed again",
            &ApplicationEntry { amount: Some("14 lb".into()), ..ApplicationEntry::default() },
        )
        .unwrap();
    let yard = desk.book.yard_named(YARD).unwrap().id;
    assert_eq!(desk.book.application_lines_of(yard).unwrap().len(), 2);
    let holds = desk.book.applications_of(yard).unwrap();
    assert_eq!((holds.len(), holds[0].id, holds[0].amount_text.as_deref()), (1, second, Some("14 lb")));
    assert_eq!(holds[0].site.as_deref(), Some("home lawn"), "what was not corrected is taken over");
    // A stricter rule that the corrected line does not meet is told, and nothing is written.
    let stricter = ApplicationEntry { rules: Some("new-york-commercial".into()), ..ApplicationEntry::default() };
    let told = desk.correct_application(second, "for the state", &stricter).unwrap_err().to_string();
    assert!(told.contains("zip") && told.contains("New York ECL 33-1205"), "{told}");
    assert_eq!(desk.book.application_lines_of(yard).unwrap().len(), 2);
}

#[test]
fn the_year_is_reported_by_rule_with_what_is_missing_and_how_long_it_is_kept() {
    let mut desk = desk();
    desk.record_application(YARD, TROUBLE, &ApplicationEntry { method: None, ..whole(&desk) }).unwrap();
    desk.record_application(YARD, TROUBLE, &ApplicationEntry { restricted_use: Some(false), ..whole(&desk) }).unwrap();
    let told = desk.yearly_report(2015, None).unwrap_err().to_string();
    assert!(told.contains("--rule") && told.contains("new-york-commercial"), "{told}");
    let state = desk.yearly_report(2015, Some("new-york-commercial")).unwrap();
    assert_eq!((state.lines.len(), state.due), (2, Some(date(2016, 2, 1))));
    assert!(state.lines[0].missing.iter().any(|m| m.contains("how it was applied")), "{:?}", state.lines[0].missing);
    assert_eq!(state.lines[0].keep_until, date(2018, 8, 17));
    assert_eq!(state.totals.iter().map(|t| t.applications).sum::<usize>(), 2);
    assert!((state.totals[0].kg - 2.0 * 15.6 * 0.453_592_37).abs() < 1e-6);
    let federal = desk.yearly_report(2015, Some("us-federal-commercial")).unwrap();
    assert_eq!((federal.lines.len(), federal.not_asked, federal.due), (1, 1, None));
    let csv = rfc4180::read(&state.csv()).unwrap();
    assert_eq!(csv.len(), 3);
    assert!(csv.iter().all(|line| line.fields.len() == csv[0].fields.len()));
    assert_eq!(csv[1].fields[1].as_deref(), Some("2015-08-17"));
    let shown = print(&desk.yearly_report_sheet(&state), 120);
    for part in ["New York ECL 33-1205", "2016-02-01", "NOT COMPLETE", "31.20 lb", "2018-08-17"] {
        assert!(shown.contains(part), "{part}: {shown}");
    }
    assert!(desk.yearly_report(2014, Some("new-york-commercial")).unwrap().lines.is_empty());
}

/// The picture of a sheet whose caption begins so, and what is said of it.
fn figure_of(sheet: &groundlore_sheet::Sheet, begins: &str) -> Option<(String, String)> {
    sheet.blocks.iter().find_map(|block| match block {
        groundlore_sheet::Block::Figure { svg, alt, caption, .. } if caption.starts_with(begins) => Some((svg.clone(), alt.clone())),
        _ => None,
    })
}

const CONTROL: &str = "trichlorfon";
const YARDS: [&str; 3] = [YARD, "Wrenhall", "Newlands"];

/// Counts by which a treatment left `left` of a hundred beside an untreated strip.
fn counts(left: f64) -> FollowUp {
    FollowUp {
        treated_before: vec![20.0, 24.0, 18.0, 22.0, 21.0],
        treated_after: [0.9, 1.1, 1.0, 0.8, 1.2].iter().map(|share| (share * left * 21.0).round()).collect(),
        check_before: vec![21.0, 19.0, 23.0, 20.0],
        check_after: vec![20.0, 22.0, 19.0, 21.0],
    }
}

fn with_history(left: &[f64]) -> Desk {
    let mut desk = desk();
    for (year, left) in (2008..).zip(left) {
        for (yard, off) in YARDS.iter().zip([0.9, 1.0, 1.1]) {
            desk.add_history(yard, TROUBLE, CONTROL, year, &counts((left * off).min(1.0))).unwrap();
        }
    }
    desk
}

#[test]
fn a_control_that_fell_is_said_to_work_no_longer_and_ranks_lower() {
    let fallen = with_history(&[0.08, 0.1, 0.15, 0.3, 0.5, 0.75, 0.9]);
    let found = fallen.learned(CONTROL, TROUBLE, Some(YARD), Signs::default()).unwrap();
    assert_eq!(found.standing, Standing::NoLongerWorks, "{} {:?}", found.says, found.watched);
    assert!(found.says.contains("no longer works here") && found.because.contains("false alarm"), "{} {}", found.says, found.because);
    assert_eq!(found.odds[0].why, Why::NoLongerWorks);
    assert_eq!(found.signs.elsewhere_too, Some(true), "it did poorly in the other yards too");
    // Annual grubs have one generation a year (common practice, CP11).
    let since = found.generations.as_ref().unwrap();
    assert!(since.low >= 7.0 && (since.a_year, since.low) == ((1.0, 1.0), since.high), "{since:?} {:?}", found.first_use);
    assert!(since.words().contains("1 a year; common practice"), "{}", since.words());
    // The watch is drawn: years with their running mean, the sum with its limit, the operating curve; told in words for the terminal.
    let drawn = figure_of(&fallen.learned_sheet(&found), "Follow-ups by year");
    let (svg, told) = drawn.unwrap();
    let alarm = found.watched.as_ref().unwrap().alarm.unwrap();
    for part in ["alarm over", &format!("alarm {alarm}"), "dashed: mean before", "left of 90% after 10 years"] {
        assert!(svg.contains(part), "{part}");
    }
    assert!(told.contains(&format!("in {alarm}: alarm")) && told.contains("2008 9"), "{told}");
    assert!(found.trend.is_some_and(|t| t.slope > 0.1 && t.p_value.is_some_and(|p| p < 0.01)));
    let shown = print(&fallen.learned_sheet(&found), 110);
    for part in [
        "Why it may have done poorly",
        "How surely a slide",
        "the alarm is over",
        "How the controls rank here now",
        "date, lot and storage",
    ] {
        assert!(shown.contains(part), "{part}: {shown}");
    }
    let steady = with_history(&[0.08, 0.1, 0.09, 0.12, 0.08, 0.1, 0.11]);
    let good = steady.learned(CONTROL, TROUBLE, Some(YARD), Signs::default()).unwrap();
    assert!(figure_of(&steady.learned_sheet(&good), "Follow-ups by year").unwrap().1.contains("no alarm"));
    assert_eq!(good.standing, Standing::Holds, "{}", good.says);
    let place = |found: &groundlore_desk::learned::Learned| found.ranking.iter().position(|(name, _)| name == CONTROL).unwrap();
    assert!(place(&found) > place(&good), "the ranking follows: {:?} after {:?}", found.ranking, good.ranking);
}

#[test]
fn a_bad_bag_is_told_from_a_control_that_is_spent() {
    let steady = with_history(&[0.08, 0.1, 0.09, 0.12, 0.6]);
    let told = Signs { past_its_date: Some(true), elsewhere_too: Some(false), ..Signs::default() };
    let found = steady.learned(CONTROL, TROUBLE, Some(YARD), told).unwrap();
    assert_eq!(found.odds[0].why, Why::DeadMaterial, "{:?}", found.odds);
    assert_ne!(found.standing, Standing::NoLongerWorks);
}

#[test]
fn without_enough_years_nothing_is_said_of_a_slide_and_unknown_names_are_told() {
    let young = with_history(&[0.1, 0.6]);
    let found = young.learned(CONTROL, TROUBLE, None, Signs::default()).unwrap();
    assert_eq!(found.standing, Standing::TooLittle);
    assert!(found.because.contains("three") && found.watched.is_none());
    let none = desk().learned("merit-practice-of-none", TROUBLE, None, Signs::default()).unwrap_err().to_string();
    assert!(none.contains("lore list controls"), "{none}");
}

const LETTER: &str = "The lawn has brown patches that lift like a carpet. I found fat white grubs under the turf.";

#[test]
fn confirmed_cases_sharpen_the_priors_and_are_answered_again() {
    let mut desk = desk();
    assert!(desk.retry_confirmed().unwrap_err().to_string().contains("--confirm"));
    let first = desk.answer_letter(LETTER, "a.txt").unwrap();
    let expected =
        |answered: &groundlore_desk::letters::Answered| answered.answer.causes.iter().find(|c| c.key == TROUBLE).unwrap().expected;
    desk.confirm_letter(first.letter_id.unwrap(), TROUBLE, "seen on a visit").unwrap();
    let again = desk.answer_letter(&format!("{LETTER} It began in August."), "b.txt").unwrap();
    assert!(expected(&again) > expected(&first), "{} after {}", expected(&again), expected(&first));
    desk.confirm_letter(again.letter_id.unwrap(), TROUBLE, "seen on a visit").unwrap();
    // A case never answers itself.
    let all = desk.confirmed_cases(None).unwrap().0[TROUBLE];
    let others = desk.confirmed_cases(first.letter_id).unwrap().0[TROUBLE];
    assert!((all - 2.0).abs() < 0.01 && (others - 1.0).abs() < 0.01, "{all} {others}");
    let one = desk.retry_confirmed().unwrap();
    assert!(one.before.is_none() && one.summary.cases == 2 && one.scores.iter().all(|s| s.rank.is_some_and(|r| r <= 3)), "{one:?}");
    let two = desk.retry_confirmed().unwrap();
    let (_, against) = two.before.clone().unwrap();
    assert_eq!((against.cases, against.gained.len(), against.lost.len()), (2, 0, 0));
    assert!(against.words().starts_with("No difference"));
    assert_eq!(desk.book.confirmed_runs().unwrap().len(), 2);
    let shown = print(&desk.retried_sheet(&two).unwrap(), 110);
    assert!(shown.contains("95 % interval") && shown.contains("Brier"), "{shown}");
    assert!(shown.contains("Every run, newest first") && shown.contains("How honest the probabilities are"), "{shown}");
    assert_eq!(two.reliability.iter().map(|b| b.cases).sum::<usize>(), 2);
    let kept = desk.last_confirmed_run().unwrap().unwrap();
    assert_eq!(kept.before.unwrap().1.words(), against.words());
    assert!(kept.scores.iter().zip(&two.scores).all(|(a, b)| a.letter == b.letter && (a.probability - b.probability).abs() < 1e-9));
    // What is confirmed anew holds: a wrong confirmation is put right by a later one.
    desk.confirm_letter(first.letter_id.unwrap(), "sod-webworm", "laboratory").unwrap();
    let three = desk.retry_confirmed().unwrap();
    assert_eq!(three.scores.iter().find(|s| Some(s.letter) == first.letter_id).unwrap().truth, "sod-webworm");
    assert_eq!(three.before.unwrap().1.cases, 1, "a case with another truth is another case");
}

#[test]
fn a_confirmed_letter_is_answered_again_with_the_findings_listed_beside_it() {
    let mut desk = desk();
    let letter = r#"{"text": "The lawn looks poor.", "host": "lawn", "findings": [
        {"finding": "turf lifts like a carpet", "value": true}, {"finding": "grubs", "value": "14 per ft2"},
        {"finding": "grass blades chewed off", "value": false}]}"#;
    let first = desk.answer_letter(letter, "letter.json").unwrap();
    let then = first.answer.causes.iter().find(|c| c.key == TROUBLE).unwrap().probability;
    desk.confirm_letter(first.letter_id.unwrap(), TROUBLE, "seen on a visit").unwrap();
    let run = desk.retry_confirmed().unwrap();
    let again = run.scores[0].probability;
    // The words alone say next to nothing: the listed findings carry the answer.
    assert!(then > 0.6 && (again - then).abs() < 0.02, "{again} after {then}");
    let bare = desk.answer_letter(r#"{"text": "The lawn looks poor.", "host": "lawn"}"#, "letter.json").unwrap();
    let words_alone = bare.answer.causes.iter().find(|c| c.key == TROUBLE).map_or(0.0, |c| c.probability);
    assert!(words_alone < 0.5 * then, "{words_alone}");
}
