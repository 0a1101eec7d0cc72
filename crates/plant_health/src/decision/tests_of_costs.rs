//! Regret, what would change the verdict, odds by where the doubt lies, side effects, and the stop rule by worth.
use super::tests::*;
use super::*;
use crate::density::{DensityPrior, posterior};

fn margin(found: &[u64]) -> Setting {
    Setting::new(vec![counts("margin", 60.0, found)])
}

#[test]
fn the_best_course_in_a_state_has_no_regret_and_leaving_costs_more_where_there_are_more() {
    let verdict = margin(&[6, 10, 9, 4, 12]).decide();
    let table = verdict.regret.unwrap();
    assert_eq!(table.states.len(), 3);
    assert!(table.states[0].per_m2 < table.states[1].per_m2 && table.states[1].per_m2 < table.states[2].per_m2);
    for state in 0..3 {
        let least = table.courses.iter().map(|c| c.regrets[state]).fold(f64::INFINITY, f64::min);
        assert!(least.abs() < 1e-9);
        for course in &table.courses {
            let best = table.courses.iter().map(|c| c.costs[state]).fold(f64::INFINITY, f64::min);
            assert!((course.costs[state] - best - course.regrets[state]).abs() < 1e-9);
        }
    }
    let leave = &table.courses[0];
    assert_eq!(leave.name, "leave");
    assert!(leave.costs[2] > leave.costs[0]);
    let costs = verdict.costs.unwrap();
    assert!((leave.expected - costs.leave).abs() < 1e-9 && (table.courses[1].expected - costs.treat).abs() < 1e-9);
    assert!(table.least_regret().is_some());
}

#[test]
fn the_drawn_costs_cross_at_the_break_even() {
    let verdict = margin(&[6, 10, 9, 4, 12]).decide();
    let even = verdict.break_even_per_m2.unwrap();
    let before = verdict.cost_curve.iter().rfind(|p| p.per_m2 < even).unwrap();
    let after = verdict.cost_curve.iter().find(|p| p.per_m2 > even).unwrap();
    assert!(before.leave < before.treat && after.leave > after.treat, "{before:?} {even} {after:?}");
    assert!(verdict.cost_curve[0].leave.abs() < 1e-9, "no pest, no injury");
}

#[test]
fn a_clear_case_is_flipped_by_no_price_and_a_close_one_by_several() {
    let clear = margin(&[0; 14]).decide();
    assert_eq!(clear.answer, Answer::Leave);
    assert!(clear.changes.len() >= 6 && clear.changes.iter().all(|c| !c.flips), "{:#?}", clear.changes);
    let close = margin(&[7, 10, 9, 6, 12]).decide();
    let flips: Vec<&Change> = close.changes.iter().filter(|c| c.flips).collect();
    assert!(flips.iter().any(|c| c.figure.contains("How many")), "{:#?}", close.changes);
    assert!(close.changes.iter().skip_while(|c| c.flips).all(|c| !c.flips), "those that flip stand first");
}

#[test]
fn what_is_told_as_the_flip_flips() {
    // The price of treatment from which leaving is cheaper, read from the words, is set: the sums then agree.
    let mut setting = margin(&[22, 31, 18, 27, 35, 24, 19, 29]);
    setting.prices.treatment_per_m2 = Some(7.0);
    setting.prices.count_each = None;
    let verdict = setting.decide();
    let costs = verdict.costs.clone().unwrap();
    assert!(costs.treat < costs.leave, "{costs:?}");
    let change = verdict.changes.iter().find(|c| c.figure.starts_with("Price of treatment")).unwrap();
    assert!(change.flips, "{change:?}");
    let at: f64 = change.words.split("over ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    for (factor, treat_cheaper) in [(0.97, true), (1.03, false)] {
        setting.prices.treatment_per_m2 = Some(at * factor);
        let costs = setting.decide().costs.unwrap();
        assert_eq!(costs.treat < costs.leave, treat_cheaper, "{at} × {factor}: {costs:?}");
    }
}

#[test]
fn the_odds_count_species_and_control_too() {
    let mut setting = margin(&[9, 14, 11, 8, 16, 12, 10, 13, 9, 15, 11, 12]);
    setting.thresholds = vec![threshold("May beetle", 2.0, 4.0, &["some-key"]), threshold("ataenius", 30.0, 50.0, &["some-key"])];
    setting.prices.count_each = None;
    let unseen = setting.decide();
    let odds = unseen.odds.unwrap();
    assert!(odds.species > 0.2 && odds.all > odds.density + 0.1, "{odds:?}");
    setting.tally = vec![("May beetle".into(), 40)];
    let told = setting.decide().odds.unwrap();
    assert!(told.species < 0.1 && told.all < odds.all, "{told:?}");
    assert!(unseen.changes.iter().any(|c| c.figure == "If all were ataenius"));
}

#[test]
fn a_control_in_doubt_leaves_more_doubt_in_the_answer() {
    let doubtful = |sure: bool| {
        let mut setting = margin(&[22, 31, 18, 27, 35, 24, 19, 29, 26, 33]);
        let origin = Origin::Lore { place: "there".into(), source: Source(vec!["some-key".into()]), standing: Standing::Read };
        let seen = if sure { vec![0.9; 8] } else { vec![0.1, 0.9, 0.3] };
        setting.efficacy = Some(belief(&[Observation::from_trials(2015, &seen, origin).unwrap()], 2015));
        setting.prices.treatment_per_m2 = Some(2.5);
        setting.decide().odds.unwrap()
    };
    let (sure, unsure) = (doubtful(true), doubtful(false));
    assert!(unsure.control > sure.control && unsure.all > sure.all, "{sure:?} {unsure:?}");
}

#[test]
fn side_effects_are_priced_as_set_and_said_where_they_are_not() {
    let mut setting = margin(&[22, 31, 18, 27, 35, 24, 19, 29, 26, 33]);
    let blank = setting.decide();
    assert!(blank.reasons.iter().any(|r| r.figure == "not priced" && r.text.contains("Side effects")));
    assert!(blank.changes.iter().any(|c| c.figure.starts_with("Side effects")));
    setting.prices.side_effects_per_m2 = Some(1.5);
    setting.prices.side_effects_visit = Some(20.0);
    let priced = setting.decide();
    assert!(!priced.reasons.iter().any(|r| r.figure == "not priced"));
    assert!((priced.costs.unwrap().treat - blank.costs.unwrap().treat - 60.0 * 1.5 - 20.0).abs() < 1e-6);
    assert!(priced.break_even_per_m2.unwrap() > blank.break_even_per_m2.unwrap());
    setting.prices.side_effects_per_m2 = Some(50.0);
    assert_eq!(setting.decide().answer, Answer::Leave);
    setting.prices.side_effects_per_m2 = Some(-1.0);
    assert!(setting.try_decide().unwrap_err().to_string().contains("side effects"));
}

fn rule(count_each: f64, area_m2: f64) -> Option<WorthRule> {
    let setting = Setting::new(vec![counts("margin", area_m2, &[])]);
    let prior = DensityPrior { median_per_m2: 11.0 / FLAP, k_low: 1.2, k_high: 2.0 };
    let density = posterior(&setting.strata, &prior, 0.9).unwrap();
    let split = SpeciesSplit::new(&[("Japanese beetle".into(), 1.0)], &std::collections::BTreeMap::new());
    let prices = Prices { count_each: Some(count_each), ..setting.prices };
    let case = Case { prices, ..setting.case(&density, &split) };
    stop_by_worth(&case, &ToCount { name: "margin", area_m2, sample_area_m2: FLAP, fewest: 3, most: 20 }).unwrap()
}

#[test]
fn the_rule_by_worth_narrows_as_samples_come_in_and_counts_less_where_a_count_is_dear() {
    let cheap = rule(0.5, 60.0).unwrap();
    for row in &cheap.rows {
        if let (Some(leave), Some(treat)) = (row.leave_at_most, row.treat_from) {
            assert!(leave < treat, "{row:?}");
        }
    }
    // A total that is left after n samples is left after n + 1 with the same total.
    for pair in cheap.rows.windows(2) {
        assert!(pair[1].leave_at_most >= pair[0].leave_at_most, "{pair:?}");
    }
    let last = cheap.rows.last().unwrap();
    assert_eq!(last.leave_at_most.unwrap() + 1, last.treat_from.unwrap(), "with no sample left one decides");
    let dear = rule(20.0, 60.0).unwrap();
    assert!(
        dear.expected_samples < cheap.expected_samples && dear.saves < cheap.saves,
        "{} {}",
        dear.expected_samples,
        cheap.expected_samples
    );
    assert!(cheap.saves > 0.0 && cheap.p_treat > 0.0 && cheap.p_treat < 1.0);
    let more_at_stake = rule(0.5, 600.0).unwrap();
    assert!(more_at_stake.expected_samples > cheap.expected_samples);
}

#[test]
fn the_rule_by_worth_leaves_few_and_treats_many() {
    let rule = rule(1.0, 60.0).unwrap();
    let at = |per_ft2: f64| {
        let near = |p: &&WorthPoint| ((p.per_m2 * FLAP / per_ft2).ln().abs() * 1e6) as i64;
        *rule.curve.iter().min_by_key(near).unwrap()
    };
    assert!(at(2.0).p_leave > 0.95, "{:?}", at(2.0));
    assert!(at(30.0).p_leave < 0.05, "{:?}", at(30.0));
    assert!(at(8.0).expected_samples > at(30.0).expected_samples);
}

#[test]
fn without_the_price_of_a_sample_there_is_no_rule_by_worth() {
    let setting = Setting::new(vec![counts("margin", 60.0, &[])]);
    let prior = DensityPrior { median_per_m2: 11.0 / FLAP, k_low: 1.2, k_high: 2.0 };
    let density = posterior(&setting.strata, &prior, 0.9).unwrap();
    let split = SpeciesSplit::new(&[("Japanese beetle".into(), 1.0)], &std::collections::BTreeMap::new());
    let case = Case { prices: Prices { count_each: None, ..PRICES }, ..setting.case(&density, &split) };
    let to_count = ToCount { name: "margin", area_m2: 60.0, sample_area_m2: FLAP, fewest: 3, most: 20 };
    assert_eq!(stop_by_worth(&case, &to_count).unwrap(), None);
}
