//! Scouting and the decision at the desk, end to end: rules of a plan, what counts teach, the costs behind a verdict, weeds and traps.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]
use groundlore_book::Book;
use groundlore_desk::Desk;
use groundlore_desk::demo::{TROUBLE, YARD, day};
use groundlore_desk::scouting::{CountEntry, StratumEntry};
use groundlore_desk::weighed::Weighed;
use groundlore_plant_health::decision::{Answer, CourseKind};
use groundlore_sheet::text::print;
use groundlore_sheet::{Block, Sheet};

fn desk() -> Desk {
    let now = day().at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp();
    let mut desk = Desk::new(Book::open_in_memory().unwrap(), Desk::load_lore(None).unwrap(), day(), now);
    desk.fill_demo().unwrap();
    desk
}

fn strata(counts: &[(&str, &[u64])]) -> Vec<StratumEntry> {
    let entry = |(name, counts): &(&str, &[u64])| StratumEntry { stratum: (*name).to_owned(), counts: counts.to_vec(), sample_area: None };
    counts.iter().map(entry).collect()
}

fn enter(desk: &mut Desk, counts: &[(&str, &[u64])], entry: CountEntry) {
    desk.enter_counts(YARD, TROUBLE, &CountEntry { strata: strata(counts), ..entry }).unwrap();
}

fn figures(sheet: &Sheet) -> Vec<&str> {
    sheet.blocks.iter().filter_map(|b| if let Block::Figure { caption, .. } = b { Some(caption.as_str()) } else { None }).collect()
}

#[test]
fn a_plan_carries_its_rules_their_curves_and_what_they_suppose() {
    let desk = desk();
    let plan = desk.scouting_plan(YARD, TROUBLE, 30).unwrap();
    let begun = std::time::Instant::now();
    let rules = desk.field_rules(&plan).unwrap();
    println!("further rules of a plan: {:.0} ms", begun.elapsed().as_secs_f64() * 1000.0);
    if std::env::var_os("SHOW").is_some() {
        println!("{}", print(&desk.scouting_sheet(&plan).unwrap(), 110));
    }
    assert!(!rules.curves.is_empty() && rules.curves.iter().all(|c| c.points.len() == 33));
    for curve in &rules.curves {
        assert!(curve.points[0].p_low > 0.95 && curve.points[32].p_low < 0.05, "{:?}", curve.ends);
    }
    // Finer precision asks for more samples, and low densities for more than high ones.
    assert!(rules.sizes.windows(2).all(|w| w[1].at_low > w[0].at_low && w[1].at_low >= w[1].at_high));
    assert_eq!(rules.by_worth.len(), plan.plan.allotment.iter().filter(|a| a.samples > 0).count());
    assert!(rules.by_worth.iter().any(|r| r.saves > 0.0), "{:#?}", rules.by_worth);
    let text = print(&desk.scouting_sheet(&plan).unwrap(), 110);
    for word in ["Stop by worth", "independent", "Clumping", "overlooked", "cannot see", "within 25 %", "stop rule does at each true mean"]
    {
        assert!(text.contains(word), "{word}\n{text}");
    }
}

#[test]
fn kept_counts_teach_how_they_clump_and_the_newest_are_not_weighed_by_themselves() {
    let mut desk = desk();
    let before = desk.scouting_plan(YARD, TROUBLE, 30).unwrap();
    let start = before.clumping;
    for back in [20, 14, 8] {
        let date = day().checked_sub(jiff::ToSpan::days(back)).unwrap();
        let clumped: &[u64] = &[0, 0, 31, 0, 1, 0, 0, 24, 0];
        enter(&mut desk, &[("margin", clumped), ("core", clumped)], CountEntry { date: Some(date), ..CountEntry::default() });
    }
    let after = desk.scouting_plan(YARD, TROUBLE, 30).unwrap().clumping;
    assert_eq!(after.sets, start.sets + 6);
    assert!(after.k < 0.6 * start.k, "{start:?} {after:?}");
    let rule = desk.scouting_plan(YARD, TROUBLE, 30).unwrap().plan.stop_rules[0].k;
    assert!(rule < before.plan.stop_rules[0].k, "{rule}");
    assert!(desk.scouting_plan(YARD, TROUBLE, 30).unwrap().plan.assumes.iter().any(|a| a.contains("sets of counts in this book")));
}

#[test]
fn a_plan_takes_taylors_law_from_the_book_once_enough_sets_were_kept_and_says_so() {
    let mut desk = desk();
    let plan = |desk: &Desk| desk.scouting_plan(YARD, TROUBLE, 60).unwrap();
    let begun = plan(&desk);
    let sizes = |desk: &Desk| desk.field_rules(&plan(desk)).unwrap().sizes[2];
    let by_k = sizes(&desk);
    if begun.taylor.is_none() {
        assert!(desk.field_rules(&begun).unwrap().assumes.iter().any(|a| a.contains("until then the variance is mean + mean²/k")));
    }
    // Strongly clumped counts at several means, so that lore's k asks for too few samples.
    for (back, top) in [(24, 12), (20, 24), (16, 36), (12, 48), (8, 60), (4, 72)] {
        let date = day().checked_sub(jiff::ToSpan::days(back)).unwrap();
        let clumped: &[u64] = &[0, 0, top, 0, 1, 0, 0, top / 2, 0];
        enter(&mut desk, &[("margin", clumped)], CountEntry { date: Some(date), ..CountEntry::default() });
    }
    let taught = plan(&desk);
    let law = taught.taylor.unwrap();
    assert!(law.sets >= 6 && law.b > 1.0, "{law:?}");
    let said = taught.plan.assumes.iter().find(|a| a.contains("Taylor's law")).unwrap();
    assert!(said.contains("lore's k 1.59") && said.contains(&format!("{} sets", law.sets)), "{said}");
    let by_taylor = sizes(&desk);
    assert!(by_taylor.at_low > by_k.at_low, "{by_k:?} {by_taylor:?}");
    let text = print(&desk.scouting_sheet(&taught).unwrap(), 110);
    assert!(text.contains("Taylor's law as this book's counts taught it"), "{text}");
}

#[test]
fn a_verdict_shows_its_costs_its_regret_and_what_would_change_it() {
    let mut desk = desk();
    let counts: &[(&str, &[u64])] = &[("margin", &[9, 14, 11, 8, 16, 12, 10, 13]), ("core", &[12, 9, 15, 11, 14, 10])];
    enter(&mut desk, counts, CountEntry { species: [("Japanese beetle".to_owned(), 40)].into(), ..CountEntry::default() });
    let begun = std::time::Instant::now();
    let found = desk.verdict(YARD, TROUBLE).unwrap();
    println!("a verdict: {:.0} ms", begun.elapsed().as_secs_f64() * 1000.0);
    let verdict = &found.verdict;
    let (odds, regret) = (verdict.odds.unwrap(), verdict.regret.as_ref().unwrap());
    assert!((odds.all - verdict.p_wrong.unwrap()).abs() < 1e-12);
    assert!(regret.courses.len() >= 2 && verdict.cost_curve.len() > 20 && !verdict.changes.is_empty());
    // Leave, treat (now or at its stage), count on now, come back to count: each with its own cost, in the table and along density.
    let kinds: Vec<CourseKind> = regret.courses.iter().map(|c| c.kind).collect();
    for kind in [CourseKind::Leave, CourseKind::TreatNow, CourseKind::CountNow, CourseKind::CountAgain] {
        assert!(kinds.contains(&kind), "{kind:?}: {kinds:?}");
    }
    let act = verdict.act.as_ref().unwrap();
    assert!(act.reach.met > 0.0 && act.reach.met <= 1.0, "{act:?}");
    assert!(verdict.cost_curve.iter().all(|p| p.treat_now.is_some() && p.count_again.is_some()));
    let json = serde_json::to_value(verdict).unwrap();
    assert_eq!(json["regret"]["courses"][0]["kind"], "leave");
    assert!(json["costs"]["treat_now"].is_number() && json["costs"]["count_again"].is_number(), "{}", json["costs"]);
    let sheet = desk.verdict_sheet(&found).unwrap();
    let captions = figures(&sheet).join("; ");
    assert!(
        captions.contains("Expected cost of leaving and of treating all the ground looked at, now, at its stage")
            && captions.contains("Density by stratum"),
        "{captions}"
    );
    let text = print(&sheet, 110);
    if std::env::var_os("SHOW").is_some() {
        println!("{text}");
    }
    for word in
        ["regret", "What would change it", "Side effects", "not priced", "Taken alone: how many there are", "would be worth", "stage"]
    {
        assert!(text.contains(word), "{word}\n{text}");
    }
    let map = sheet.blocks.iter().find_map(|b| match b {
        Block::Figure { caption, alt, .. } if caption.starts_with("Density by stratum") => Some(alt.clone()),
        _ => None,
    });
    let map = map.unwrap();
    assert!(map.contains("margin: ") && map.contains("sound turf: nobody looked"), "{map}");
}

#[test]
fn before_the_stage_treating_today_and_at_the_stage_are_priced_apart_and_after_it_nothing_is_promised() {
    let on = |month: i8, date_of: i8| {
        let today = jiff::civil::date(2015, month, date_of);
        let now = today.at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp();
        let mut filled = desk();
        filled.today = today;
        filled.now = now;
        filled
    };
    let many: &[(&str, &[u64])] = &[("margin", &[29, 34, 31, 28, 36, 32, 30, 33]), ("core", &[32, 29, 35, 31, 34, 30])];
    let species = || CountEntry { species: [("Japanese beetle".to_owned(), 40)].into(), ..CountEntry::default() };
    // Late in June the beetles fly: what a control does then stands in lore or is said not to be known, and the stage lies ahead.
    let mut early = on(6, 12);
    early.enter_counts(YARD, TROUBLE, &CountEntry { strata: strata(many), ..species() }).unwrap();
    let found = early.verdict(YARD, TROUBLE).unwrap();
    let table = found.verdict.regret.as_ref().unwrap();
    let has = |kind: CourseKind| table.courses.iter().any(|c| c.kind == kind);
    assert!(has(CourseKind::TreatAtStage), "{table:?}");
    assert!(has(CourseKind::TreatNow) || table.not_reckoned.iter().any(|c| c.name.starts_with("treat now")), "{table:?}");
    let text = print(&early.verdict_sheet(&found).unwrap(), 120);
    if std::env::var_os("SHOW").is_some() {
        println!("{text}");
    }
    assert!(text.contains("treat at its stage") && text.contains("treat now"), "{text}");
    // In December every stage that controls work on is over.
    let mut late = on(12, 10);
    late.enter_counts(YARD, TROUBLE, &CountEntry { strata: strata(many), ..species() }).unwrap();
    let found = late.verdict(YARD, TROUBLE).unwrap();
    assert!(!matches!(found.verdict.answer, Answer::Treat { .. }), "{:?}", found.verdict.answer);
}

#[test]
fn vigour_seen_while_counting_is_a_reason_and_thin_turf_bears_no_more() {
    let verdict = |vigorous: Option<bool>| {
        let mut desk = desk();
        let entry = CountEntry { vigorous, species: [("Japanese beetle".to_owned(), 20)].into(), ..CountEntry::default() };
        enter(&mut desk, &[("margin", &[7, 6, 8, 5, 7, 6])], entry);
        desk.verdict(YARD, TROUBLE).unwrap().verdict
    };
    let vigour = |v: &groundlore_plant_health::decision::Verdict| v.reasons.iter().find(|r| r.text == "Vigour").map(|r| r.figure.clone());
    let (thin, unseen) = (verdict(Some(false)), verdict(None));
    assert!(vigour(&thin).unwrap().contains("thin") && vigour(&unseen).is_none());
    assert!(thin.p_injury >= unseen.p_injury);
    // What nobody looked at is tried both ways; what was seen is not.
    let tried = |v: &groundlore_plant_health::decision::Verdict| v.changes.iter().any(|c| c.figure == "If the turf is thin and weak");
    assert!(tried(&unseen) && !tried(&thin));
}

#[test]
fn side_effects_in_the_price_list_are_in_the_sums() {
    let mut desk = desk();
    let counts: &[(&str, &[u64])] = &[("margin", &[19, 24, 21, 18, 26, 22]), ("core", &[22, 19, 25])];
    enter(&mut desk, counts, CountEntry { species: [("Japanese beetle".to_owned(), 30)].into(), ..CountEntry::default() });
    let blank = desk.verdict(YARD, TROUBLE).unwrap().verdict;
    let sheet = "item,unit,cost,rule,share,price,valid_from,note\nside-effects,,,fixed price,,$20/1000ft2,2015-01-01,as the firm sets it\n";
    let rates = groundlore_book::read_rates_csv(sheet, "rates.csv", false).unwrap();
    desk.book.write(|tx| rates.rows.iter().try_for_each(|p| tx.add(p).map(|_| ()))).unwrap();
    let priced = desk.verdict(YARD, TROUBLE).unwrap().verdict;
    let says =
        |v: &groundlore_plant_health::decision::Verdict| v.reasons.iter().any(|r| r.figure == "not priced" && r.text.contains("Side"));
    assert!(says(&blank) && !says(&priced));
    assert!(priced.costs.unwrap().treat > blank.costs.unwrap().treat + 1.0);
}

#[test]
fn a_weed_in_quadrats_is_an_estimate_of_cover_held_against_what_is_borne() {
    let mut desk = desk();
    let plan = desk.scouting_plan(YARD, "crabgrass", 30).unwrap();
    let first = plan.plan.allotment[0].stratum.clone();
    let entry =
        CountEntry { strata: strata(&[(&first, &[7, 0, 12, 5, 9, 3, 0, 8])]), of: Some(25), bearable: Some(0.05), ..CountEntry::default() };
    desk.enter_counts(YARD, "crabgrass", &entry).unwrap();
    let found = desk.weigh(YARD, "crabgrass").unwrap();
    let Weighed::Cover(cover) = &found else { panic!("{found:?}") };
    let seen = cover.cover.looked_at.unwrap();
    assert!(seen.low < 0.22 && seen.high > 0.22, "44 hits of 200: {seen:?}");
    assert!(cover.p_over.as_ref().unwrap().1 > 0.9);
    let text = print(&desk.weighed_sheet(&found).unwrap(), 110);
    for word in ["OVER THE 5 % THAT IS BORNE", "matter of taste", "nobody looked", "likeness"] {
        assert!(text.to_lowercase().contains(&word.to_lowercase()), "{word}\n{text}");
    }
    assert!(!text.to_lowercase().contains("» treat"), "an estimate of cover never says treat");
    // More hits than points are refused with place and value, and nothing is kept.
    let wrong = CountEntry { strata: strata(&[(&first, &[26])]), of: Some(25), ..CountEntry::default() };
    let said = desk.enter_counts(YARD, "crabgrass", &wrong).unwrap_err().to_string();
    assert!(said.contains("26") && said.contains("25"), "{said}");
    let wrong = CountEntry { bearable: Some(5.0), ..entry };
    assert!(desk.enter_counts(YARD, "crabgrass", &wrong).unwrap_err().to_string().contains("5%"));
}

#[test]
fn catches_of_traps_are_told_by_the_night_and_never_by_area() {
    let mut desk = desk();
    let plan = desk.scouting_plan(YARD, "slugs", 30).unwrap();
    let bed = plan.plan.allotment[0].stratum.clone();
    let week_ago = day().checked_sub(jiff::ToSpan::days(7)).unwrap();
    for (date, counts, nights) in [(week_ago, [2, 1, 0, 3, 1], 1.0), (day(), [40, 52, 31, 44, 60], 2.0)] {
        let entry = CountEntry { strata: strata(&[(&bed, &counts)]), nights: Some(nights), date: Some(date), ..CountEntry::default() };
        desk.enter_counts(YARD, "slugs", &entry).unwrap();
    }
    let found = desk.weigh(YARD, "slugs").unwrap();
    let Weighed::Catch(catch) = &found else { panic!("{found:?}") };
    assert!((catch.all.trap_nights - 10.0).abs() < 1e-9 && catch.all.found == 227);
    assert!(catch.all.low < 22.7 && catch.all.high > 22.7);
    let text = print(&desk.weighed_sheet(&found).unwrap(), 110);
    for word in ["a trap and night", "More than on", "not a number per area", "No threshold was read"] {
        assert!(text.to_lowercase().contains(&word.to_lowercase()), "{word}\n{text}");
    }
    assert!(!text.contains("per ft²"));
}

#[test]
fn a_number_per_area_is_still_a_verdict() {
    let mut desk = desk();
    enter(&mut desk, &[("margin", &[0; 10]), ("core", &[0; 8]), ("sound turf", &[0; 6])], CountEntry::default());
    let Weighed::Verdict(found) = desk.weigh(YARD, TROUBLE).unwrap() else { panic!("grubs are counted per area") };
    assert_eq!(found.verdict.answer, Answer::Leave);
    assert!(found.verdict.changes.iter().all(|c| !c.words.is_empty()));
}
