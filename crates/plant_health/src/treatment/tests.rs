#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::rotation::codes;
use super::*;
use crate::belief::{Observation, Origin, belief, lore_observations};
use groundlore_lore::Lore;
use groundlore_lore::control::BeeHazard;
use groundlore_lore::provenance::Source;
use groundlore_quantity::Quantity;
use jiff::civil::date;

use super::rule_tests::whole_rules;

const GRUBS: &str = "white-grubs-annual";

fn lore() -> Lore {
    Lore::built_in_lenient(None).0
}

fn situation<'a>() -> Situation<'a> {
    Situation {
        trouble: GRUBS,
        stage: Some("small-grubs"),
        site: "lawn",
        area_m2: 100.0,
        date: date(2015, 8, 15),
        generation: Some(2015),
        history: &[],
        bloom: Some(&[]),
        children: Seen::No,
        pets: Seen::No,
        water_distance_m: Some(80.0),
        plants: Some(&[]),
        follow_up_days: None,
        futures: None,
        ground: Ground::default(),
        hours: None,
        dry_odds: DRY_ODDS,
    }
}

/// A label card that is openly invented, with every field filled.
fn card(active: &str) -> LabelCard {
    let quantity = |text: &str| Some(Quantity::parse(text).unwrap());
    LabelCard {
        name: "Demo card".into(),
        registration_number: Some("00000-0".into()),
        signal_word: Some("invented".into()),
        active: Some(active.into()),
        sites: Some(vec!["lawn".into()]),
        targets: Some(vec!["white grubs".into()]),
        rate_low: quantity("1 floz/1000ft2"),
        rate_high: quantity("2 floz/1000ft2"),
        yearly_limit: quantity("3 floz/1000ft2"),
        least_interval: quantity("30 day"),
        most_in_a_row: Some(2),
        re_entry: Some("invented".into()),
        protective_gear: Some(vec!["gloves".into()]),
        bees: Some("invented".into()),
        forbids_bloom: Some(true),
        water_distance: quantity("25 ft"),
        water: Some("invented".into()),
        children_and_pets: Some("invented".into()),
        plants_injured: Some(vec!["ferns".into()]),
        dry_after: quantity("6 h"),
        water_in: quantity("0.5 in"),
        hottest: quantity("90 degF"),
        rules: whole_rules(),
    }
}

fn seen(control: f64) -> Belief {
    let origin = Origin::Own { place: "another yard".into() };
    belief(&[Observation::from_trials(2014, &[control, control, control], origin).unwrap()], 2015)
}

fn one(control: &Control, label: Option<&LabelCard>, situation: &Situation) -> TreatmentOption {
    let belief = seen(0.85);
    rank(&[Candidate { control, belief: &belief, label }], situation).unwrap().remove(0)
}

fn outcome(option: &TreatmentOption, name: &str) -> Outcome {
    option.checks.iter().find(|c| c.name == name).unwrap_or_else(|| panic!("no check {name}: {:#?}", option.checks)).outcome
}

#[test]
fn without_a_label_card_there_is_no_amount() {
    let lore = lore();
    let option = one(&lore.controls["chlorantraniliprole"], None, &situation());
    assert!(option.amount.is_none());
    assert!(option.amount_note.as_ref().unwrap().contains("Enter the label"));
    assert_eq!(outcome(&option, "label card"), Outcome::NotChecked);
    assert_eq!(option.standing, Outcome::NotChecked);
}

#[test]
fn a_blank_card_passes_nothing() {
    let lore = lore();
    let blank = LabelCard { name: "Demo card".into(), ..LabelCard::default() };
    let option = one(&lore.controls["chlorantraniliprole"], Some(&blank), &situation());
    for name in [
        "active ingredient or strain",
        "site on the label",
        "target on the label",
        "water nearby",
        "plants it injures",
        "yearly limit",
        "re-entry",
        "protective gear",
    ] {
        assert_eq!(outcome(&option, name), Outcome::NotChecked, "{name}");
    }
    assert!(option.amount.is_none());
    assert!(option.protective_gear[0].contains("not checked"));
}

#[test]
fn amounts_come_from_the_card_alone() {
    let lore = lore();
    let label = card("chlorantraniliprole");
    let wide = Situation { area_m2: 185.806_08, ..situation() };
    let amount = one(&lore.controls["chlorantraniliprole"], Some(&label), &wide).amount.unwrap();
    // 2,000 ft2 at 1 to 2 floz/1000ft2.
    assert!((amount.low.in_unit("floz").unwrap() - 2.0).abs() < 1e-6, "{amount:?}");
    assert!((amount.high.in_unit("floz").unwrap() - 4.0).abs() < 1e-6, "{amount:?}");
}

#[test]
fn wrong_target_stage_or_strain_is_refused() {
    let lore = lore();
    let kurstaki = &lore.controls["bacillus-thuringiensis-kurstaki"];
    assert_eq!(outcome(&one(kurstaki, None, &situation()), "target and stage"), Outcome::Refuse);
    let late = Situation { stage: Some("large-grubs-spring"), ..situation() };
    assert_eq!(outcome(&one(&lore.controls["chlorantraniliprole"], None, &late), "target and stage"), Outcome::Refuse);
    let galleriae = &lore.controls["bacillus-thuringiensis-galleriae"];
    let strain = |active: &str| outcome(&one(galleriae, Some(&card(active)), &situation()), "active ingredient or strain");
    assert_eq!(strain("Bacillus thuringiensis subsp. kurstaki"), Outcome::Refuse);
    assert_eq!(strain("Bacillus thuringiensis subsp. galleriae"), Outcome::Pass);
}

#[test]
fn every_target_row_of_a_control_counts() {
    let lore = lore();
    let spring = Situation { stage: Some("large-grubs-spring"), ..situation() };
    assert_eq!(outcome(&one(&lore.controls["trichlorfon"], None, &spring), "target and stage"), Outcome::Pass);
    let rows = lore_observations(&lore.controls["trichlorfon"], GRUBS, Some("large-grubs-spring"), &|s| lore.standing(s));
    assert_eq!(rows.len(), 1);
}

fn past(group: Option<(&str, &str)>, day: Date, generation: Option<i32>) -> PastUse {
    PastUse {
        control: "some".into(),
        group: group.map(|(s, c)| (s.into(), c.into())),
        date: day,
        generation,
        trouble: GRUBS.into(),
        rate: None,
        registration_number: None,
        area: None,
    }
}

#[test]
fn the_same_group_is_not_used_on_successive_generations() {
    let lore = lore();
    let control = &lore.controls["chlorantraniliprole"];
    let group = control.group.clone().unwrap();
    let judged = |history: &[PastUse], generation: Option<i32>| {
        outcome(&one(control, None, &Situation { history, generation, ..situation() }), "rotation")
    };
    let same = Some((group.scheme.as_str(), group.code.as_str()));
    assert_eq!(judged(&[], Some(2015)), Outcome::Pass);
    assert_eq!(judged(&[past(same, date(2014, 8, 10), Some(2014))], Some(2015)), Outcome::Refuse);
    assert_eq!(judged(&[past(same, date(2013, 8, 10), Some(2013))], Some(2015)), Outcome::Pass);
    assert_eq!(judged(&[past(same, date(2014, 8, 10), None)], Some(2015)), Outcome::NotChecked);
    assert_eq!(judged(&[past(same, date(2014, 8, 10), Some(2014))], None), Outcome::NotChecked);
    assert_eq!(judged(&[past(Some(("IRAC", "99")), date(2014, 8, 10), Some(2014))], Some(2015)), Outcome::Pass);
}

#[test]
fn group_codes_match_across_editions_and_mixes() {
    assert_eq!(codes("M 05"), codes("M5"));
    assert_eq!(codes("7/11"), ["7", "11"]);
    assert_ne!(codes("10"), codes("1"));
}

#[test]
fn living_controls_and_practices_are_exempt_from_rotation() {
    let lore = lore();
    for key in ["heterorhabditis-bacteriophora", "raise-mowing-height"] {
        let control = &lore.controls[key];
        assert_eq!(outcome(&one(control, None, &situation()), "rotation"), Outcome::Pass, "{key}");
    }
}

#[test]
fn flowers_where_it_falls_stop_a_bee_hazard() {
    let lore = lore();
    let mut control = lore.controls["imidacloprid"].clone();
    control.bee_hazard = Some(BeeHazard { category: "I".into(), edition: "a list".into(), source: Source(vec!["memory".into()]) });
    let clover = |here: bool| [InBloom { plant: "white clover".into(), bees_visit: Seen::Yes, in_treated_area: here }];
    let label = LabelCard { forbids_bloom: None, rules: LabelRules::default(), ..card("imidacloprid") };
    let judged = |bloom: Option<&[InBloom]>| outcome(&one(&control, Some(&label), &Situation { bloom, ..situation() }), "bees and bloom");
    assert_eq!(judged(None), Outcome::NotChecked);
    assert_eq!(judged(Some(&[])), Outcome::Pass);
    assert_eq!(judged(Some(&clover(false))), Outcome::Doubt);
    assert_eq!(judged(Some(&clover(true))), Outcome::Refuse);
}

#[test]
fn water_too_near_is_refused_and_unknown_is_not_passed() {
    let lore = lore();
    let (control, label) = (&lore.controls["chlorantraniliprole"], card("chlorantraniliprole"));
    let judged = |water_distance_m| outcome(&one(control, Some(&label), &Situation { water_distance_m, ..situation() }), "water nearby");
    assert_eq!(judged(Some(5.0)), Outcome::Refuse);
    assert_eq!(judged(Some(8.0)), Outcome::Pass);
    assert_eq!(judged(None), Outcome::NotChecked);
}

#[test]
fn the_yearly_limit_adds_up_what_was_used() {
    let lore = lore();
    let (control, label) = (&lore.controls["chlorantraniliprole"], card("chlorantraniliprole"));
    let used = |rate: Option<&str>| PastUse {
        rate: rate.map(|r| Quantity::parse(r).unwrap()),
        registration_number: Some("00000-0".into()),
        ..past(None, date(2015, 5, 1), Some(2014))
    };
    let judged = |history: &[PastUse]| outcome(&one(control, Some(&label), &Situation { history, ..situation() }), "yearly limit");
    assert_eq!(judged(&[]), Outcome::Pass);
    assert_eq!(judged(&[used(Some("1 floz/1000ft2"))]), Outcome::Pass);
    assert_eq!(judged(&[used(Some("2 floz/1000ft2"))]), Outcome::Doubt, "the lowest rate fits, the highest does not");
    assert_eq!(judged(&[used(Some("2.5 floz/1000ft2"))]), Outcome::Refuse);
    assert_eq!(judged(&[used(None)]), Outcome::NotChecked);
}

#[test]
fn a_control_that_slid_drops_below_one_that_holds() {
    let lore = lore();
    let stage = Some("small-grubs");
    let standing = |s: &Source| lore.standing(s);
    let (slid, holds) = (&lore.controls["bacillus-thuringiensis-galleriae"], &lore.controls["heterorhabditis-bacteriophora"]);
    let beliefs = [slid, holds].map(|c| belief(&lore_observations(c, GRUBS, stage, &standing), 2015));
    let candidates =
        [Candidate { control: slid, belief: &beliefs[0], label: None }, Candidate { control: holds, belief: &beliefs[1], label: None }];
    let ranked = rank(&candidates, &situation()).unwrap();
    assert_eq!(ranked[0].control, holds.key);
    assert!(ranked[1].slid.is_some() && ranked[1].why_here.contains("slid"));
    assert_eq!((ranked[0].rank, ranked[1].rank), (1, 2));
}

#[test]
fn refused_options_come_last_with_the_reason() {
    let lore = lore();
    let (strong, weak) = (seen(0.95), seen(0.3));
    let candidates = [
        Candidate { control: &lore.controls["bacillus-thuringiensis-kurstaki"], belief: &strong, label: None },
        Candidate { control: &lore.controls["trichlorfon"], belief: &weak, label: None },
    ];
    let ranked = rank(&candidates, &situation()).unwrap();
    assert_eq!(ranked[0].control, "trichlorfon");
    assert_eq!(ranked[1].standing, Outcome::Refuse);
    assert!(ranked[1].why_here.contains("refused"));
}

#[test]
fn a_rate_that_is_no_rate_names_the_card_and_field() {
    let lore = lore();
    let mut label = card("chlorantraniliprole");
    label.rate_low = Some(Quantity::parse("3 ft").unwrap());
    label.yearly_limit = None;
    let belief = seen(0.8);
    let candidate = Candidate { control: &lore.controls["chlorantraniliprole"], belief: &belief, label: Some(&label) };
    let error = rank(&[candidate], &situation()).unwrap_err().to_string();
    assert!(error.contains("Demo card") && error.contains("rate"), "{error}");
}

#[test]
fn wind_is_never_taken_as_passed() {
    let lore = lore();
    let label = card("chlorantraniliprole");
    let day = |d| DayWeather { date: date(2015, 8, d), tmin_c: 14.0, tmax_c: 26.0, rain_mm: 0.0 };
    let futures = [vec![day(15), day(16)]];
    let fine = Situation { futures: Some(&futures), ..situation() };
    let option = one(&lore.controls["chlorantraniliprole"], Some(&label), &fine);
    assert_eq!(outcome(&option, "weather"), Outcome::NotChecked);
}

#[test]
fn what_nobody_has_seen_ranks_after_what_does_a_little() {
    let lore = lore();
    let (unknown, little) = (belief(&[], 2015), seen(0.25));
    let candidates = [
        Candidate { control: &lore.controls["chlorantraniliprole"], belief: &unknown, label: None },
        Candidate { control: &lore.controls["trichlorfon"], belief: &little, label: None },
    ];
    let ranked = rank(&candidates, &situation()).unwrap();
    assert_eq!(ranked[0].control, "trichlorfon");
    assert!(ranked[1].expected_control.is_none() && ranked[1].why_here.contains("not known"));
}

#[test]
fn what_the_table_of_harm_names_is_refused_and_ranks_last() {
    use crate::diagnosis::Conditions;
    use crate::forbidden::{Facts, forbidden};
    use groundlore_lore::trouble::Condition;
    let lore = lore();
    let mites = &lore.troubles["spider-mites"];
    let (soap, jet) = (&lore.controls["insecticidal-soap"], &lore.controls["water-jet"]);
    let nothing = belief(&[], 2015);
    let candidates: Vec<Candidate> = [soap, jet].map(|control| Candidate { control, belief: &nothing, label: None }).into();
    let mites_here = Situation { trouble: "spider-mites", stage: None, site: "ornamentals", ..situation() };
    let named = |heat: bool| {
        let facts = Facts::new(&Conditions([(Condition::Heat, heat)].into()), Some(date(2015, 8, 15)), None);
        withhold(rank(&candidates, &mites_here).unwrap(), |key| forbidden(mites, &lore.controls[key], &facts))
    };
    let hot = named(true);
    let last = hot.last().unwrap();
    assert_eq!((last.control.as_str(), last.standing, last.rank), ("insecticidal-soap", Outcome::Refuse, 2));
    assert!(last.checks.iter().any(|c| c.outcome == Outcome::Refuse && c.why.contains("heat")), "{:?}", last.checks);
    assert!(named(false).iter().all(|o| !o.checks.iter().any(|c| c.name == "would not harm")));
}
