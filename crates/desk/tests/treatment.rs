//! A treatment from the typed card to the papers, at the desk: every check, the hours, the loads, and the poison-centre line everywhere.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]
use groundlore_book::Book;
use groundlore_book::forecasts::{ForecastHour, KeptForecast};
use groundlore_book::read_label_cards_csv;
use groundlore_desk::Desk;
use groundlore_desk::demo::{TROUBLE, YARD, day};
use groundlore_desk::treatment::PlanFacts;
use groundlore_plant_health::treatment::Outcome;
use groundlore_sheet::text::print;
use jiff::{SignedDuration, Timestamp};

const CONTROL: &str = "chlorantraniliprole";

/// A card that is openly invented, with every field of the sheet filled.
const WHOLE: &[(&str, &str)] = &[
    ("name", "Demo card A"),
    ("registration_number", "00000-9"),
    ("signal_word", "invented"),
    ("active_ingredients", "chlorantraniliprole 10%"),
    ("sites", "lawn; turf"),
    ("targets", "white grubs"),
    ("rate", "1 to 2 floz/1000ft2"),
    ("carrier", "2 gal/1000ft2"),
    ("yearly_limit", "8 floz/1000ft2"),
    ("minimum_interval", "30 day"),
    ("reentry", "12 h"),
    ("protective_gear", "gloves; long sleeves"),
    ("bee_statement", "invented words on bees"),
    ("water_statement", "invented words on water"),
    ("plants_injured", "none"),
    ("watering_in", "0.5 in"),
    ("consecutive_run_limit", "2"),
    ("mode_of_action_group", "28"),
    ("label_edition", "an invented edition"),
    ("mode_of_action_edition", "an invented list of 2015"),
    ("formulation", "SC"),
    ("people_statement", "invented: keep off until dry"),
    ("applicator", "licensed"),
    ("bloom_limit", "not while bees forage"),
    ("water_distance", "25 ft"),
    ("well_distance", "50 ft"),
    ("wind", "3 to 10 mph"),
    ("gusts", "15 mph"),
    ("temperature", "45 to 90 degF"),
    ("rain_free", "4 h"),
    ("leaves", "none"),
    ("inversion", "forbidden"),
    ("droplets", "coarse to very coarse"),
    ("turf_allowed", "Kentucky bluegrass; fine fescue"),
    ("turf_injured", "none"),
    ("seedling_age", "60 day"),
    ("reseeding_interval", "12 week"),
    ("tree_roots", "none"),
    ("clippings", "leave them on the lawn for 3 mowings"),
    ("compost", "none to compost"),
    ("mixing_order", "fill half; add the product; fill up"),
    ("mixing_distance", "50 ft"),
    ("backflow", "an air gap of twice the pipe"),
    ("rinsing", "rinse three times into the tank"),
    ("disposal", "never into a drain"),
    ("posting", "signs until dry"),
];

fn sheet_of(fields: &[(&str, String)]) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let names: Vec<&str> = fields.iter().map(|(name, _)| *name).collect();
    let cells: Vec<String> = fields.iter().map(|(_, text)| quoted(text)).collect();
    format!("{}\n{}\n", names.join(","), cells.join(","))
}

/// The demo with a card in which the named fields are blank.
fn desk_with(blank: &[&str]) -> Desk {
    let now = day().at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp();
    let mut desk = Desk::new(Book::open_in_memory().unwrap(), Desk::load_lore(None).unwrap(), day(), now);
    desk.fill_demo().unwrap();
    let fields: Vec<(&str, String)> =
        WHOLE.iter().map(|(name, text)| (*name, if blank.contains(name) { String::new() } else { (*text).to_owned() })).collect();
    let cards = read_label_cards_csv(&sheet_of(&fields), "card.csv", false, desk.now).unwrap().rows;
    desk.add_label_cards(&cards).unwrap();
    desk
}

/// Three days of hours from noon UTC: a breeze by day, calm at night, dry.
fn with_forecast(desk: &mut Desk, wind_m_s: Option<f64>) {
    let yard = desk.book.yard_named(YARD).unwrap();
    let start: Timestamp = "2015-08-17T12:00:00Z".parse().unwrap();
    let hours = (0..72)
        .map(|hour| {
            let starts = start.checked_add(SignedDuration::from_hours(hour)).unwrap();
            let local = starts.in_tz("America/Chicago").unwrap().datetime();
            let by_day = (8..=19).contains(&local.hour());
            ForecastHour {
                local,
                starts,
                temperature_c: if by_day { 24.0 } else { 16.0 },
                wind_m_s: wind_m_s.map(|wind| if by_day { wind } else { 0.5 }),
                gust_m_s: wind_m_s.map(|wind| 1.5 * wind),
                humidity: Some(if by_day { 0.5 } else { 0.95 }),
                dewpoint_c: None,
                rain_chance: Some(0.02),
                rain_mm: Some(0.0),
            }
        })
        .collect();
    let kept = KeptForecast {
        yard_id: Some(yard.id),
        latitude: 43.0,
        longitude: -88.0,
        fetched_at: start,
        address: "https://example.org/hours".into(),
        hours,
        ..KeptForecast::default()
    };
    desk.book.write(|tx| tx.set_forecast(&kept)).unwrap();
}

fn told(text: &str) -> Option<String> {
    Some(text.to_owned())
}

fn facts() -> PlanFacts {
    PlanFacts {
        rate: told("1.5 floz/1000ft2"),
        on: Some(day()),
        droplets: told("coarse"),
        next_door: told("none"),
        seeded: told("none"),
        seeding: told("none"),
        water: told("200 ft"),
        well: told("none"),
        tank: told("0.5 gal"),
        ..PlanFacts::default()
    }
}

fn outcome(desk: &Desk, facts: &PlanFacts, check: &str) -> (Outcome, String) {
    let options = desk.treatment_options_with(YARD, TROUBLE, facts).unwrap();
    let option = options.option_named(CONTROL).unwrap();
    let found = option.checks.iter().find(|c| c.name == check).unwrap_or_else(|| panic!("no check {check}: {:#?}", option.checks));
    (found.outcome, found.why.clone())
}

#[test]
fn a_whole_card_is_checked_from_end_to_end() {
    let mut desk = desk_with(&[]);
    with_forecast(&mut desk, Some(2.8));
    desk.set_poison_centre("555-0100 (invented)").unwrap();
    for check in [
        "rate",
        "yearly limit",
        "interval",
        "water nearby",
        "wells nearby",
        "kind of turf",
        "age of seedlings",
        "seed to come",
        "roots of trees",
        "licence",
        "droplets",
        "the owner's days",
        "bloom next door",
        "signal word",
        "re-entry",
        "protective gear",
    ] {
        let (found, why) = outcome(&desk, &facts(), check);
        assert_eq!(found, Outcome::Pass, "{check}: {why}");
    }
    assert_eq!(outcome(&desk, &facts(), "clippings").0, Outcome::Doubt, "words that somebody must keep");
    assert_eq!(outcome(&desk, &facts(), "children").0, Outcome::Doubt, "children use the ground");
    let paper = desk.work_paper(YARD, TROUBLE, CONTROL, &facts()).unwrap();
    let plan = paper.tank.as_ref().unwrap();
    assert!(plan.leftover_m3.abs() < 1e-9 && plan.loads.len() > 1);
    assert!(plan.loads.windows(2).all(|pair| pair[0].mix_m3 >= pair[1].mix_m3), "the part load comes last");
    let covered: f64 = plan.loads.iter().map(|load| load.area_m2).sum();
    assert!((covered - paper.area_m2).abs() < 1e-6 * paper.area_m2);
    // 1.5 fl oz with 2 gal on 1,000 ft²: 0.75 fl oz in a gallon.
    let per_gallon = plan.loads[0].product / 29.573_529_562_5e-6 / (plan.loads[0].mix_m3 / 3.785_411_784e-3);
    assert!((per_gallon - 0.75).abs() < 1e-9, "{per_gallon}");
    let sheets = [desk.work_sheet(&paper), desk.spray_hours_sheet(&paper), desk.notice_sheet(&paper).unwrap(), desk.sign_sheet(&paper)];
    for sheet in &sheets {
        let text = print(sheet, 110);
        if std::env::var_os("SHOW").is_some() {
            println!("{text}");
        }
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains("Poison centre: 555-0100 (invented)"), "{}: {text}", sheet.title);
    }
    let work = print(&sheets[0], 200);
    for words in
        ["an air gap of twice the pipe", "rinse three times", "never into a drain", "an invented list of 2015", "planned to nothing"]
    {
        assert!(work.contains(words), "the work sheet lacks `{words}`:\n{work}");
    }
    assert!(print(&sheets[3], 100).contains("KEEP OFF"));
    let options = print(&desk.options_sheet(&desk.treatment_options(YARD, TROUBLE).unwrap()), 200);
    assert!(options.contains("555-0100") && print(&desk.record_sheet(YARD).unwrap(), 200).contains("555-0100"));
}

#[test]
fn hours_are_held_against_card_sun_and_bees() {
    let mut desk = desk_with(&[]);
    with_forecast(&mut desk, Some(2.8));
    let paper = desk.work_paper(YARD, TROUBLE, CONTROL, &facts()).unwrap();
    assert!(paper.hours.len() >= 60, "{}", paper.hours.len());
    let at = |hour: i8, check: &str| {
        let found = paper.hours.iter().find(|h| h.local.hour() == hour && h.local.date() == jiff::civil::date(2015, 8, 18)).unwrap();
        found.checks.iter().find(|c| c.name == check).unwrap().outcome
    };
    assert_eq!(
        (at(12, "wind"), at(12, "inversion"), at(12, "rain"), at(12, "temperature")),
        (Outcome::Pass, Outcome::Pass, Outcome::Pass, Outcome::Pass)
    );
    assert_eq!((at(2, "wind"), at(2, "inversion")), (Outcome::Refuse, Outcome::Refuse), "a calm night");
    let noon = paper.hours.iter().find(|h| h.local.hour() == 12).unwrap();
    assert!(noon.odds.is_some_and(|odds| odds > 0.3 && odds < 1.0), "{:?}", noon.odds);
    with_forecast(&mut desk, None);
    let told = desk.work_paper(YARD, TROUBLE, CONTROL, &facts()).unwrap();
    let windless: Vec<_> = told.hours.iter().flat_map(|h| &h.checks).filter(|c| c.name == "wind").collect();
    assert!(!windless.is_empty() && windless.iter().all(|c| c.outcome == Outcome::NotChecked), "no wind told is never a pass");
}

#[test]
fn what_is_blank_on_the_card_or_unknown_here_is_told_as_not_checked() {
    let blank = ["wind", "well_distance", "applicator", "seedling_age", "rinsing", "backflow", "mixing_order", "signal_word"];
    let mut desk = desk_with(&blank);
    with_forecast(&mut desk, Some(2.8));
    for check in ["wells nearby", "licence", "age of seedlings", "weather", "signal word"] {
        assert_eq!(outcome(&desk, &facts(), check).0, Outcome::NotChecked, "{check}");
    }
    let unknown = PlanFacts::default();
    for check in ["bloom next door", "seed to come", "droplets"] {
        assert_eq!(outcome(&desk, &unknown, check).0, Outcome::NotChecked, "{check}");
    }
    let paper = desk.work_paper(YARD, TROUBLE, CONTROL, &facts()).unwrap();
    assert_eq!(paper.option.standing, Outcome::NotChecked);
    let work = print(&desk.work_sheet(&paper), 200);
    assert!(work.to_uppercase().contains("NOT READY") && work.matches("not checked: blank on the label card").count() >= 3, "{work}");
    assert!(work.contains("as advice"), "the usual order of mixing is advice only:\n{work}");
    assert!(work.contains("________________"), "a poison centre that is not set leaves a line to fill");
}

#[test]
fn a_plan_that_breaks_the_card_is_refused_with_its_reason() {
    let mut desk = desk_with(&[]);
    let refused = |desk: &mut Desk, facts: PlanFacts| desk.plan_treatment_with(YARD, TROUBLE, CONTROL, &facts).unwrap_err().to_string();
    assert!(refused(&mut desk, PlanFacts { rate: told("3 floz/1000ft2"), ..facts() }).contains("the label allows 1"));
    assert!(refused(&mut desk, PlanFacts { well: told("20 ft"), ..facts() }).contains("well"));
    assert!(refused(&mut desk, PlanFacts { droplets: told("fine"), ..facts() }).contains("coarse to very coarse"));
    assert!(refused(&mut desk, PlanFacts { seeding: told("2015-09-10"), ..facts() }).contains("seeded"));
    assert!(refused(&mut desk, PlanFacts { on: Some(jiff::civil::date(2015, 8, 23)), ..facts() }).contains("Sunday"));
    assert!(refused(&mut desk, PlanFacts { seeded: told("soon"), ..facts() }).contains("`soon`"));
    assert!(refused(&mut desk, PlanFacts { area: told("the moon"), ..facts() }).contains("the moon"));
    let practice = desk.work_paper(YARD, TROUBLE, "raise-mowing-height", &facts()).map(|_| ()).unwrap_err().to_string();
    assert!(practice.contains("practice") || practice.contains("no option"), "{practice}");
    let unlabelled = desk.work_paper(YARD, TROUBLE, "trichlorfon", &facts()).map(|_| ()).unwrap_err().to_string();
    assert!(unlabelled.contains("label"), "{unlabelled}");
    let planned = desk.plan_treatment_with(YARD, TROUBLE, CONTROL, &facts()).unwrap();
    let row: groundlore_book::treatments::Treatment = desk.book.one(planned.treatment).unwrap();
    let working = row.working.unwrap();
    assert_eq!(working["group_on_card"][1], "an invented list of 2015", "the edition of the list stays with the plan");
    assert!(working["checks"].as_array().unwrap().len() > 20 && working["facts"]["tank"] == "0.5 gal");
    assert_eq!(row.rate_text.as_deref(), Some("1.5 floz/1000ft2"));
}
