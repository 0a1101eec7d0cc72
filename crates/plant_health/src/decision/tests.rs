#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
pub(super) use crate::belief::{Observation, Origin, belief};
use crate::density::{DensityPrior, Sample, StratumCounts, posterior};
pub(super) use groundlore_lore::provenance::Standing;

pub(super) const FLAP: f64 = 0.092_903_04;

pub(super) fn counts(name: &str, area_m2: f64, found: &[u64]) -> StratumCounts {
    let samples = found.iter().map(|&found| Sample { found, area_m2: FLAP }).collect();
    StratumCounts { name: name.into(), area_m2, samples, ..StratumCounts::default() }
}

pub(super) fn threshold(species: &str, low_per_ft2: f64, high_per_ft2: f64, source: &[&str]) -> SpeciesThreshold {
    SpeciesThreshold {
        species: species.into(),
        told_by: None,
        range: ThresholdRange { low_per_m2: low_per_ft2 / FLAP, high_per_m2: high_per_ft2 / FLAP },
        region: "somewhere".into(),
        condition: None,
        source: Source(source.iter().map(|s| (*s).to_string()).collect()),
        standing: standing(source),
    }
}

/// As lore would say it, with `some-key` the one publication that was read.
fn standing(source: &[&str]) -> Standing {
    match source.iter().filter(|s| **s == "some-key").count() {
        0 => Standing::Recalled,
        n if n == source.len() => Standing::Read,
        _ => Standing::PartlyRead,
    }
}

fn control(source: &[&str]) -> Belief {
    let standing = standing(source);
    let source = Source(source.iter().map(|s| (*s).to_string()).collect());
    let origin = Origin::Lore { place: "somewhere".into(), source, standing };
    belief(&[Observation::from_trials(2014, &[0.80, 0.86, 0.9, 0.84, 0.88, 0.83], origin).unwrap()], 2015)
}

pub(super) const PRICES: Prices = Prices {
    repair_per_m2: Some(12.0),
    treatment_per_m2: Some(0.4),
    treatment_visit: Some(45.0),
    count_each: Some(3.0),
    count_visit: Some(0.0),
    side_effects_per_m2: None,
    side_effects_visit: None,
};

pub(super) struct Setting {
    pub(super) strata: Vec<StratumCounts>,
    pub(super) thresholds: Vec<SpeciesThreshold>,
    pub(super) tally: Vec<(String, u64)>,
    pub(super) turf: Turf,
    pub(super) digging: Digging,
    pub(super) efficacy: Option<Belief>,
    pub(super) label_card: bool,
    pub(super) prices: Prices,
}

impl Setting {
    pub(super) fn new(strata: Vec<StratumCounts>) -> Self {
        Self {
            strata,
            thresholds: vec![threshold("Japanese beetle", 8.0, 15.0, &["some-key"])],
            tally: Vec::new(),
            turf: Turf::default(),
            digging: Digging::default(),
            efficacy: Some(control(&["some-key"])),
            label_card: true,
            prices: PRICES,
        }
    }

    pub(super) fn decide(&self) -> Verdict {
        self.try_decide().unwrap()
    }

    pub(super) fn try_decide(&self) -> Result<Verdict, DecisionError> {
        let prior = DensityPrior { median_per_m2: 8.0 / FLAP, k_low: 1.2, k_high: 2.0 };
        let density = posterior(&self.strata, &prior, 0.9).unwrap();
        let weights: Vec<(String, f64)> = self.thresholds.iter().map(|t| (t.species.clone(), 1.0)).collect();
        let split = SpeciesSplit::new(&weights, &self.tally.iter().cloned().collect());
        decide(&self.case(&density, &split))
    }

    pub(super) fn case<'a>(&'a self, density: &'a DensityPosterior, split: &'a SpeciesSplit) -> Case<'a> {
        Case {
            density,
            split,
            thresholds: &self.thresholds,
            turf: self.turf,
            digging: &self.digging,
            efficacy: self.efficacy.as_ref(),
            reach: Reach::default(),
            timing: None,
            label_card: self.label_card,
            prices: self.prices,
            largest_patch_m2: None,
            seed: 7,
        }
    }
}

#[test]
fn many_grubs_in_many_flaps_are_treated_where_a_publication_says_so() {
    let verdict = Setting::new(vec![counts("core", 40.0, &[22, 31, 18, 27, 35, 24, 19, 29, 26, 33])]).decide();
    assert!(matches!(verdict.answer, Answer::Treat { .. }), "{verdict:#?}");
    assert!(verdict.p_wrong.unwrap() < 0.2);
    let costs = verdict.costs.unwrap();
    assert!(costs.treat < costs.leave);
}

#[test]
fn no_grubs_in_ten_flaps_are_left() {
    let verdict = Setting::new(vec![counts("core", 40.0, &[0; 10])]).decide();
    assert_eq!(verdict.answer, Answer::Leave, "{verdict:#?}");
    assert!(verdict.p_injury.unwrap() < 0.01);
}

#[test]
fn dear_turf_is_not_treated_on_two_flaps_that_may_well_be_too_few() {
    let verdict = Setting::new(vec![counts("margin", 60.0, &[6, 10])]).decide();
    let costs = verdict.costs.clone().unwrap();
    assert!(costs.treat < costs.leave && verdict.p_wrong.unwrap() > MOST_WRONG);
    assert!(matches!(verdict.answer, Answer::CountMore { .. }), "{verdict:#?}");
}

#[test]
fn two_flaps_near_the_threshold_call_for_more() {
    let mut setting = Setting::new(vec![counts("margin", 60.0, &[6, 10])]);
    setting.prices.repair_per_m2 = Some(3.6);
    setting.prices.count_each = Some(0.5);
    let verdict = setting.decide();
    assert!(matches!(verdict.answer, Answer::CountMore { .. }), "{verdict:#?}");
    let costs = verdict.costs.unwrap();
    assert!(costs.count_more.unwrap() < costs.leave.min(costs.treat));
}

#[test]
fn a_count_that_costs_more_than_it_can_save_is_not_asked_for() {
    let mut setting = Setting::new(vec![counts("margin", 60.0, &[6, 10])]);
    setting.prices.repair_per_m2 = Some(2.5);
    setting.prices.count_each = Some(500.0);
    assert!(!matches!(setting.decide().answer, Answer::CountMore { .. }));
}

#[test]
fn a_stratum_nobody_looked_at_is_named_and_not_spoken_for() {
    let verdict = Setting::new(vec![counts("core", 40.0, &[0; 10]), counts("sound", 300.0, &[])]).decide();
    assert_eq!(verdict.not_looked_at, ["sound"]);
    assert_eq!(verdict.strata.len(), 1);
}

#[test]
fn nobody_looked_anywhere_cannot_be_said() {
    let verdict = Setting::new(vec![counts("core", 40.0, &[])]).decide();
    assert!(matches!(verdict.answer, Answer::CannotSay { .. }));
    assert!(verdict.p_injury.is_none() && verdict.costs.is_none());
}

#[test]
fn no_threshold_cannot_be_said() {
    let mut setting = Setting::new(vec![counts("core", 40.0, &[30; 8])]);
    setting.thresholds.clear();
    assert!(matches!(setting.decide().answer, Answer::CannotSay { .. }));
}

#[test]
fn species_not_looked_at_spread_the_verdict_over_their_thresholds() {
    let mut setting = Setting::new(vec![counts("core", 40.0, &[6, 5, 7, 6, 8, 5, 6, 7])]);
    setting.thresholds = vec![threshold("May beetle", 2.0, 4.0, &["some-key"]), threshold("black ataenius", 30.0, 50.0, &["some-key"])];
    let unseen = setting.decide().p_injury.unwrap();
    setting.tally = vec![("May beetle".into(), 30)];
    let may = setting.decide().p_injury.unwrap();
    setting.tally = vec![("black ataenius".into(), 30)];
    let ataenius = setting.decide().p_injury.unwrap();
    assert!(may > 0.9 && ataenius < 0.05, "{may} {ataenius}");
    assert!((0.25..0.75).contains(&unseen), "{unseen}");
}

#[test]
fn more_grubs_never_lower_the_chance_of_injury() {
    let chance = |found: u64| Setting::new(vec![counts("core", 40.0, &[found; 6])]).decide().p_injury.unwrap();
    let chances: Vec<f64> = [0, 2, 5, 8, 12, 20, 40].into_iter().map(chance).collect();
    assert!(chances.windows(2).all(|w| w[0] <= w[1] + 1e-9), "{chances:?}");
}

#[test]
fn digging_injures_from_a_lower_number() {
    let mut setting = Setting::new(vec![counts("core", 40.0, &[5; 8])]);
    let quiet = setting.decide().p_injury.unwrap();
    setting.digging = Digging { seen: Seen::Yes, starts_at: Some(digging_for_grubs()) };
    assert!(setting.decide().p_injury.unwrap() > quiet + 0.3);
}

#[test]
fn break_even_lies_where_the_answer_turns() {
    let verdict = Setting::new(vec![counts("core", 40.0, &[9; 8])]).decide();
    let per_ft2 = verdict.break_even_per_m2.unwrap() * FLAP;
    assert!((8.0..15.0).contains(&per_ft2), "{per_ft2}");
}

#[test]
fn memory_or_common_practice_alone_never_yields_treat() {
    let sources: [&[&str]; 6] = [
        &["memory"],
        &["common practice"],
        &["memory", "common practice"],
        &["cited-but-never-opened"],
        &["some-key"],
        &["some-key", "memory"],
    ];
    let published = |s: &[&str]| s.contains(&"some-key");
    let unpriced = Prices::default();
    let dear = Prices { repair_per_m2: Some(500.0), count_each: None, ..PRICES };
    let mut treated = 0;
    for threshold_source in sources {
        for control_source in sources.iter().map(|s| Some(*s)).chain([None]) {
            for prices in [PRICES, unpriced, dear] {
                for found in [[20_u64; 12]] {
                    for watered in [Seen::Yes, Seen::No] {
                        let mut setting = Setting::new(vec![counts("core", 40.0, &found)]);
                        setting.thresholds = vec![threshold("white grubs", 8.0, 15.0, threshold_source)];
                        setting.efficacy = control_source.map(control);
                        setting.prices = prices;
                        setting.turf.watered = watered;
                        if let Answer::Treat { warrant, .. } = setting.decide().answer {
                            treated += 1;
                            assert!(published(threshold_source), "{threshold_source:?}");
                            assert!(control_source.is_some_and(published), "{control_source:?}");
                            assert!(!warrant.thresholds().is_empty() && !warrant.efficacy().is_empty());
                        }
                    }
                }
            }
        }
    }
    assert!(treated > 0);
}

#[test]
fn one_remembered_species_among_published_ones_stops_treat() {
    let mut setting = Setting::new(vec![counts("core", 40.0, &[12; 12])]);
    setting.thresholds = vec![threshold("May beetle", 2.0, 4.0, &["some-key"]), threshold("white grubs", 6.0, 6.0, &["memory"])];
    assert!(!matches!(setting.decide().answer, Answer::Treat { .. }));
    setting.tally = vec![("May beetle".into(), 60)];
    assert!(matches!(setting.decide().answer, Answer::Treat { .. }));
}

#[test]
fn prices_below_nought_are_refused_by_name() {
    let mut setting = Setting::new(vec![counts("core", 40.0, &[6; 6])]);
    setting.prices.repair_per_m2 = Some(-1.0);
    let prior = DensityPrior { median_per_m2: 80.0, k_low: 1.2, k_high: 2.0 };
    let density = posterior(&setting.strata, &prior, 0.9).unwrap();
    let split = SpeciesSplit::new(&[("Japanese beetle".into(), 1.0)], &density.species);
    let case = Case {
        density: &density,
        split: &split,
        thresholds: &setting.thresholds,
        turf: setting.turf,
        digging: &setting.digging,
        efficacy: None,
        reach: Reach::default(),
        timing: None,
        label_card: false,
        prices: setting.prices,
        largest_patch_m2: None,
        seed: 1,
    };
    assert!(decide(&case).unwrap_err().to_string().contains("repair"));
}

#[test]
fn no_further_count_is_worth_more_than_knowing() {
    for found in [[4_u64, 6, 3, 9], [8, 12, 7, 10], [15, 22, 9, 18]] {
        let mut setting = Setting::new(vec![counts("core", 40.0, &found)]);
        setting.prices = Prices { repair_per_m2: Some(4.0), count_each: Some(0.0), ..PRICES };
        let costs = setting.decide().costs.unwrap();
        let now = costs.leave.min(costs.treat);
        let saved = now - costs.count_more.unwrap();
        assert!(saved >= -1e-6 && saved <= costs.perfect_knowledge + 1e-6, "{saved} {costs:?}");
        assert!(saved > 0.3 * costs.perfect_knowledge, "two dozen flaps tell much of it: {saved} {costs:?}");
    }
}

#[test]
fn the_same_case_gives_the_same_verdict() {
    let setting = Setting::new(vec![counts("core", 40.0, &[6, 9, 11]), counts("margin", 70.0, &[4, 2, 13])]);
    assert_eq!(setting.decide(), setting.decide());
}
