//! Treating now against treating at the stage, and coming back to count.
use super::tests::*;
use super::*;
use crate::belief::{Observation, Origin, belief};
use crate::density::{DensityPrior, posterior};
use jiff::civil::date;

fn seen(shares: &[f64], source: &str) -> Belief {
    let standing = if source == "memory" { Standing::Recalled } else { Standing::Read };
    let origin = Origin::Lore { place: "there".into(), source: Source(vec![source.into()]), standing };
    belief(&[Observation::from_trials(2015, shares, origin).unwrap()], 2015)
}

/// 20 July; the stage comes about 10 August; the turf is injured from 1 August to 9 November.
fn timing<'a>(now: Option<&'a Belief>, later: Option<&'a Belief>, met: f64) -> Timing<'a> {
    let act = |stage: &str, on, met, looked_for, efficacy| Act { stage: Some(stage.to_owned()), on, met, looked_for, efficacy };
    Timing {
        today: date(2015, 7, 20),
        now: act("eggs", date(2015, 7, 20), 1.0, false, now),
        at_stage: Some(act("small grubs", date(2015, 8, 10), met, true, later)),
        again: Some(act("small grubs", date(2015, 8, 10), met, true, later)),
        injures: Some((date(2015, 8, 1), date(2015, 11, 9))),
    }
}

fn decided(found: &[u64], timing: &Timing, change: impl Fn(&mut Prices)) -> Verdict {
    let mut setting = Setting::new(vec![counts("margin", 60.0, found)]);
    change(&mut setting.prices);
    let prior = DensityPrior { median_per_m2: 8.0 / FLAP, k_low: 1.2, k_high: 2.0 };
    let density = posterior(&setting.strata, &prior, 0.9).unwrap();
    let split = SpeciesSplit::new(&[("Japanese beetle".to_owned(), 1.0)], &std::collections::BTreeMap::new());
    decide(&Case { efficacy: None, timing: Some(timing), ..setting.case(&density, &split) }).unwrap()
}

const MANY: [u64; 10] = [22, 31, 18, 27, 35, 24, 19, 29, 26, 33];

#[test]
fn injury_done_by_a_day_grows_evenly_over_the_days_on_which_it_injures() {
    let timing = timing(None, None, 1.0);
    assert!(timing.done_by(date(2015, 7, 20)).abs() < 1e-12 && timing.done_by(date(2015, 8, 1)).abs() < 1e-12);
    // 25 of the 100 days from 1 August to 9 November.
    assert!((timing.done_by(date(2015, 8, 26)) - 0.25).abs() < 1e-9);
    assert!((timing.done_by(date(2015, 12, 1)) - 1.0).abs() < 1e-12);
    // Half of them gone: of what is still to come, half is done after another 25.
    let later = Timing { today: date(2015, 9, 20), ..timing.clone() };
    assert!((later.done_by(date(2015, 10, 15)) - 0.5).abs() < 1e-9);
    assert!(Timing { injures: None, ..timing }.done_by(date(2015, 12, 1)).abs() < 1e-12);
}

#[test]
fn each_course_has_its_own_cost_and_the_cheaper_treatment_speaks() {
    let (weak, strong) = (seen(&[0.3, 0.35, 0.28, 0.33], "some-key"), seen(&[0.9, 0.93, 0.88, 0.92], "some-key"));
    let timing = timing(Some(&weak), Some(&strong), 0.95);
    let verdict = decided(&MANY, &timing, |_| ());
    let costs = verdict.costs.clone().unwrap();
    let (now, stage) = (costs.treat_now.unwrap(), costs.treat_at_stage.unwrap());
    assert!(stage < now && now < costs.leave, "{costs:?}");
    assert!((costs.treat - stage).abs() < 1e-9);
    let act = verdict.act.clone().unwrap();
    assert_eq!((act.kind, act.on), (CourseKind::TreatAtStage, Some(date(2015, 8, 10))));
    assert!((act.reach.met - 0.95).abs() < 1e-12 && (act.reach.done - 0.09).abs() < 1e-9, "{act:?}");
    assert!(matches!(verdict.answer, Answer::Treat { .. }), "{:?}", verdict.answer);
    let kinds: Vec<CourseKind> = verdict.regret.unwrap().courses.iter().map(|c| c.kind).collect();
    for kind in [CourseKind::Leave, CourseKind::TreatNow, CourseKind::TreatAtStage, CourseKind::CountNow, CourseKind::CountAgain] {
        assert!(kinds.contains(&kind), "{kind:?} {kinds:?}");
    }
    let point = verdict.cost_curve.last().unwrap();
    assert!(point.treat_now.unwrap() > point.treat_at_stage.unwrap() && point.count_again.is_some());
}

#[test]
fn a_stage_that_may_be_missed_is_worth_less_and_treating_now_is_then_cheaper() {
    let (good, better) = (seen(&[0.75, 0.8, 0.78, 0.74], "some-key"), seen(&[0.9, 0.93, 0.88, 0.92], "some-key"));
    let cost = |met: f64| {
        let timing = timing(Some(&good), Some(&better), met);
        let verdict = decided(&MANY, &timing, |_| ());
        (verdict.costs.clone().unwrap().treat_at_stage.unwrap(), verdict.act.unwrap().kind)
    };
    let (sure, seldom) = (cost(1.0), cost(0.3));
    assert!(seldom.0 > sure.0);
    assert_eq!(seldom.1, CourseKind::TreatNow);
    // Exact: a stage never met costs what leaving costs, since it is looked for first.
    let timing = timing(Some(&good), Some(&better), 0.0);
    let costs = decided(&MANY, &timing, |_| ()).costs.unwrap();
    assert!((costs.treat_at_stage.unwrap() - costs.leave).abs() < 1e-6, "{costs:?}");
}

#[test]
fn what_nobody_has_seen_is_not_reckoned_and_its_cost_is_bounded() {
    let strong = seen(&[0.9, 0.93, 0.88, 0.92], "some-key");
    let timing = timing(None, Some(&strong), 0.95);
    let verdict = decided(&MANY, &timing, |_| ());
    let costs = verdict.costs.clone().unwrap();
    assert!(costs.treat_now.is_none());
    let table = verdict.regret.unwrap();
    assert_eq!(table.not_reckoned.len(), 1);
    let unknown = &table.not_reckoned[0];
    let (low, high) = unknown.between.unwrap();
    assert!(unknown.why.contains("eggs") && low < costs.treat && high > costs.leave, "{unknown:?} {costs:?}");
    assert!(verdict.reasons.iter().any(|r| r.text.starts_with("Not reckoned: treat now")));
}

#[test]
fn a_remembered_effect_now_does_not_displace_a_published_one_at_the_stage() {
    let (recalled, read) = (seen(&[0.97, 0.96, 0.97], "memory"), seen(&[0.8, 0.84, 0.82], "some-key"));
    let timing = timing(Some(&recalled), Some(&read), 0.9);
    let verdict = decided(&MANY, &timing, |_| ());
    let costs = verdict.costs.unwrap();
    assert!(costs.treat_now.unwrap() < costs.treat_at_stage.unwrap());
    assert_eq!(verdict.act.unwrap().kind, CourseKind::TreatAtStage);
    assert!(matches!(verdict.answer, Answer::Treat { .. }));
}

#[test]
fn where_the_stage_lies_ahead_and_counts_are_few_one_comes_back_to_count() {
    let strong = seen(&[0.9, 0.93, 0.88, 0.92], "some-key");
    let mut timing = timing(None, Some(&strong), 1.0);
    // Counting now and counting then tell the same; what is injured before is little, but the count is asked for then.
    timing.injures = None;
    let verdict = decided(&[6, 10], &timing, |p| p.count_each = Some(0.5));
    let costs = verdict.costs.unwrap();
    assert!((costs.count_again.unwrap() - costs.count_more.unwrap()).abs() < 1e-6, "nothing is lost by waiting: {costs:?}");
    let Answer::CountMore { .. } = verdict.answer else { panic!("{:?}", verdict.answer) };
    // Where much is injured before, waiting costs more.
    timing.injures = Some((date(2015, 7, 25), date(2015, 8, 25)));
    timing.at_stage = None;
    timing.now.efficacy = Some(&strong);
    let costs = decided(&[6, 10], &timing, |p| p.count_each = Some(0.5)).costs.unwrap();
    assert!(costs.count_again.unwrap() > costs.count_more.unwrap(), "{costs:?}");
}

#[test]
fn out_of_season_nothing_is_treated() {
    let mut timing = timing(None, None, 1.0);
    timing.at_stage = None;
    timing.again = None;
    let verdict = decided(&MANY, &timing, |_| ());
    let Answer::CannotSay { remedy } = verdict.answer else { panic!("{:?}", verdict.answer) };
    assert!(remedy.contains("next season"), "{remedy}");
}
