//! One clock for tasks: windows of scouting and treatment come from the season's clocks, moved by the year's weather and by what was seen.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use groundlore_book::Book;
use groundlore_desk::Desk;
use groundlore_desk::demo::{TROUBLE, YARD, day};
use groundlore_desk::tasks::wait_words;
use groundlore_desk::yards::YardOnDesk;
use groundlore_plant_health::clock::{ToldBy, Window, days_between};
use groundlore_sheet::text::print;
use groundlore_weather::Series;
use groundlore_work::task::{Task, Timing};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use std::fmt::Write as _;

/// A control of white grubs whose label card the demo has.
const CONTROL: &str = "heterorhabditis-bacteriophora";
/// A yard of the demo in which nobody has counted.
const UNCOUNTED: &str = "Newlands";

fn desk() -> Desk {
    let now = day().at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp();
    let mut desk = Desk::new(Book::open_in_memory().unwrap(), Desk::load_lore(None).unwrap(), day(), now);
    desk.fill_demo().unwrap();
    desk
}

fn small_grubs(desk: &Desk, yard: &YardOnDesk) -> Window {
    let trouble = desk.trouble(TROUBLE).unwrap();
    desk.stage_windows(yard, trouble).unwrap().into_iter().find(|window| window.stage == "small-grubs").unwrap()
}

fn task(desk: &Desk, key: &str) -> Option<Task> {
    desk.open_tasks(None).unwrap().into_iter().map(|(task, _)| task).find(|task| task.key == key)
}

fn plan_scouting(desk: &mut Desk, yard: &str) {
    let plan = desk.scouting_plan(yard, TROUBLE, 20).unwrap();
    desk.plan_scouting_task(&plan).unwrap();
}

/// A record as a plain daily file, moved by some days and from a day on so much warmer.
fn as_file(series: &Series, moved_days: i64, warmer_from: Date, warmer_f: f64) -> String {
    let mut text = "DATE,PRCP (in),SNOW (in),SNWD (in),TMAX (degF),TMIN (degF)\n".to_owned();
    for (place, ((tmin_c, tmax_c), rain_mm)) in series.tmin_c().iter().zip(series.tmax_c()).zip(series.prcp_mm()).enumerate() {
        let on = series.first_day().saturating_add((i64::try_from(place).unwrap() + moved_days).days());
        let more = if on >= warmer_from { warmer_f } else { 0.0 };
        let f = |celsius: f64| celsius * 1.8 + 32.0 + more;
        if tmin_c.is_finite() && tmax_c.is_finite() && on.year() > 1985 {
            let rain = if rain_mm.is_finite() { format!("{:.2}", rain_mm / 25.4) } else { String::new() };
            let _ = writeln!(text, "{on},{rain},,,{:.1},{:.1}", f(*tmax_c), f(*tmin_c));
        }
    }
    text
}

#[test]
fn scouting_follows_the_clock_and_its_wait_costs_more_as_time_goes() {
    let mut desk = desk();
    plan_scouting(&mut desk, YARD);
    let key = format!("linden-house/scout/{TROUBLE}");
    let first = task(&desk, &key).unwrap();
    assert_eq!(first.window.timing, Timing::Weather);
    assert!(first.window.odds.iter().any(|line| line.contains("remembered")), "{:?}", first.window.odds);
    assert!(first.window.odds.iter().any(|line| line.contains("count or look first")), "{:?}", first.window.odds);
    let told: Vec<f64> = (0..90)
        .step_by(5)
        .map(|days| {
            let on = desk.today.saturating_add(days.days());
            first.window.clone().told_on(on).missed_by_a_week.unwrap()
        })
        .collect();
    assert!(told.is_sorted() && told.iter().all(|chance| (0.0..=1.0).contains(chance)), "{told:?}");
    assert!(told[0] < 0.5 && *told.last().unwrap() > 0.8, "{told:?}");
    // The same by the book on later days, with the weather that came meanwhile.
    let mut last = 0.0;
    for later in [0, 14, 28] {
        desk.today = day().saturating_add(later.days());
        let now = task(&desk, &key).unwrap();
        let chance = now.window.missed_by_a_week.unwrap();
        assert!(now.window.earliest <= now.window.best && now.window.best <= now.window.latest);
        assert!(chance >= last, "{chance} after {last}");
        assert!(print(&desk.week_sheet().unwrap(), 100).contains("week's wait"));
        last = chance;
    }
    assert!(last > 0.02, "{last}");
}

#[test]
fn every_task_of_the_demo_says_what_sets_its_days() {
    let mut desk = desk();
    desk.run_demo_thread(8).unwrap();
    let all = desk.open_tasks(None).unwrap();
    assert!(all.len() > 20 && [Timing::Weather, Timing::Fixed].iter().all(|kind| all.iter().any(|(task, _)| task.window.timing == *kind)));
    for (task, _) in &all {
        let window = &task.window;
        assert!(window.earliest <= window.best && window.best <= window.latest, "{}", task.key);
        assert_eq!(window.missed_by_a_week.is_some(), window.timing == Timing::Weather, "{}: {:?}", task.key, window.timing);
        assert!(window.missed_by_a_week.is_none_or(|chance| (0.0..=1.0).contains(&chance)), "{}", task.key);
        assert!(!window.odds.is_empty() && !wait_words(window).is_empty(), "{}", task.key);
    }
    let feed = desk.task_calendar(None).unwrap();
    assert_eq!(feed.matches("BEGIN:VEVENT").count(), all.len());
    assert!(feed.lines().all(|line| line.len() <= 75) && feed.replace("\r\n ", "").contains("a week's wait misses it in"));
    let here = desk.open_tasks(Some(YARD)).unwrap().len();
    assert_eq!(desk.task_calendar(Some(YARD)).unwrap().matches("BEGIN:VEVENT").count(), here);
    let page = print(&desk.yard_sheet(YARD).unwrap(), 160);
    assert!(page.contains("Tasks that are open") && page.contains("a week's wait"), "{page}");
}

#[test]
fn a_sight_in_the_yard_moves_its_task() {
    let mut desk = desk();
    plan_scouting(&mut desk, YARD);
    plan_scouting(&mut desk, "Wrenhall");
    let window = |desk: &Desk, yard: &str| task(desk, &format!("{yard}/scout/{TROUBLE}")).unwrap().window;
    let (before, nearby) = (window(&desk, "linden-house"), window(&desk, "wrenhall"));
    let event = "white-grubs-small-by-heat-50";
    let seen = desk.season_events(YARD, 0.0).unwrap().into_iter().find(|odds| odds.key == event).unwrap();
    let early = seen.p50.unwrap().saturating_sub(14.days()).min(desk.today);
    desk.saw(YARD, event, Some(early), None).unwrap();
    let (after, nearby_after) = (window(&desk, "linden-house"), window(&desk, "wrenhall"));
    assert!(after.best < before.best || after.earliest < before.earliest, "{} {}", after.best, before.best);
    let moved = |a: Date, b: Date| days_between(b, a);
    assert!(moved(after.best, before.best) <= moved(nearby_after.best, nearby.best), "by less nearby");
    // What was planned in the book follows too.
    let row = desk.book.task_keyed(&format!("linden-house/scout/{TROUBLE}")).unwrap().unwrap();
    assert_eq!((row.best, row.latest), (Some(after.best), Some(after.latest)));
}

#[test]
fn a_warm_spring_moves_small_grubs_earlier() {
    let mut desk = desk();
    desk.today = date(2015, 7, 1);
    let series = groundlore_desk::station::built_in().unwrap();
    let yard = desk.yard(YARD).unwrap();
    let usual = small_grubs(&desk, &yard);
    desk.add_weather("WARM", &as_file(&series, 0, date(2015, 3, 1), 7.0), "warm.csv", None, None, true).unwrap();
    let mut warm_yard = yard.clone();
    warm_yard.row.station = Some("WARM".to_owned());
    (warm_yard.row.latitude, warm_yard.row.longitude) = (Some(43.0), Some(-97.0));
    let warm = small_grubs(&desk, &warm_yard);
    assert!(usual.by_weather() && warm.by_weather());
    assert!(days_between(warm.p50.unwrap(), usual.p50.unwrap()) >= 5, "{:?} {:?}", warm.p50, usual.p50);
    assert!(warm.p10 < usual.p10, "{:?} {:?}", warm.p10, usual.p10);
}

#[test]
fn a_remembered_clock_alone_never_opens_a_treatment() {
    let mut desk = desk();
    let yard = desk.yard(UNCOUNTED).unwrap();
    assert!(!small_grubs(&desk, &yard).may_open_treatment);
    let planned = desk.plan_treatment(UNCOUNTED, TROUBLE, CONTROL).unwrap();
    assert!(planned.look_first.is_some());
    let treat = format!("newlands/treat/{TROUBLE}");
    assert!(task(&desk, &treat).is_none() && task(&desk, &format!("newlands/follow-up/{TROUBLE}")).is_none());
    assert!(task(&desk, &format!("newlands/scout/{TROUBLE}")).is_some(), "the count comes first");
    let row = desk.book.treatments_of(yard.row.id).unwrap().remove(0);
    assert_eq!((row.earliest, row.best, row.latest), (None, None, None));
    // A sight in the yard speaks for it beside the clock.
    desk.saw(UNCOUNTED, "white-grubs-small-by-heat-10", Some(desk.today), None).unwrap();
    let planned = desk.plan_treatment(UNCOUNTED, TROUBLE, CONTROL).unwrap();
    assert_eq!(planned.look_first, None);
    let opened = task(&desk, &treat).unwrap();
    assert!(opened.reasons.iter().any(|reason| reason.text.contains("was seen to come in this yard")), "{:?}", opened.reasons);
    assert!(opened.window.earliest >= desk.today && opened.window.timing == Timing::Weather);
}

#[test]
fn a_southern_yard_has_its_stages_half_a_year_later() {
    let mut desk = desk();
    let series = groundlore_desk::station::built_in().unwrap();
    desk.add_weather("SOUTH", &as_file(&series, 184, Date::MAX, 0.0), "south.csv", None, None, true).unwrap();
    let yard = desk.yard(YARD).unwrap();
    let north = small_grubs(&desk, &yard);
    let mut southern = yard.clone();
    southern.row.station = Some("SOUTH".to_owned());
    (southern.row.latitude, southern.row.longitude) = (Some(-43.0), Some(147.0));
    desk.today = date(2016, 2, 17);
    let south = small_grubs(&desk, &southern);
    assert!(south.by_weather() && !south.may_open_treatment && matches!(south.told_by, ToldBy::Clocks { .. }));
    let apart = days_between(north.p50.unwrap(), south.p50.unwrap());
    assert!((174..=194).contains(&apart), "{apart} days: {:?} {:?}", north.p50, south.p50);
    // Without weather the days are of the trouble's own calendar, moved by half a year, and have no odds.
    southern.row.station = None;
    let bare = small_grubs(&desk, &southern);
    assert!(!bare.by_weather() && bare.closes.is_empty() && matches!(bare.told_by, ToldBy::Stage));
    assert!((1..=3).contains(&bare.p50.unwrap().month()), "{:?}", bare.p50);
}

#[test]
fn through_the_year_days_keep_their_order_at_every_stage() {
    let mut desk = desk();
    let yard = desk.yard(YARD).unwrap();
    for month in 1..=8 {
        desk.today = date(2015, month, 12);
        for (trouble, windows) in desk.all_stage_windows(&yard).unwrap() {
            for window in windows {
                let days: Vec<Date> = [window.p10, window.p50, window.p90].into_iter().flatten().collect();
                assert!(days.is_sorted(), "{trouble} {} in month {month}: {days:?}", window.stage);
                assert!(window.closes.is_sorted_by(|a, b| a.0 <= b.0 && a.1 <= b.1), "{trouble} {}", window.stage);
                assert!(!window.may_open_treatment || !window.remembered, "{trouble} {}", window.stage);
            }
        }
    }
}
