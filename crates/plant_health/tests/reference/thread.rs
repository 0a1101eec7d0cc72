//! The scouting side from sheet to what was learned, on the built-in lore: counts and prices are invented.

use groundlore_lore::Lore;
use groundlore_lore::provenance::Source;
use groundlore_plant_health::belief::{Learned, NaturalDecline, belief, learn, lore_observations, read_change};
use groundlore_plant_health::decision::{Answer, Case, Digging, Prices, Reach, Seen, Turf, decide};
use groundlore_plant_health::density::{DensityPrior, Sample, SpeciesSplit, StratumCounts, by_species, posterior};
use groundlore_plant_health::efficacy::{FollowUp, Shown, shown};
use groundlore_plant_health::scouting::{Stratum, StratumKind, Wish, plan};
use groundlore_plant_health::sequential::Stop;
use groundlore_plant_health::treatment::{Candidate, Outcome, Situation, rank};
use jiff::civil::date;
use std::collections::BTreeMap;

const GRUBS: &str = "white-grubs-annual";
const STAGE: Option<&str> = Some("small-grubs");

fn stratum(name: &str, kind: StratumKind, area_m2: f64, east: f64) -> Stratum {
    let points_lonlat = (0..16).map(|i| [-88.0 + east + 1e-5 * f64::from(i % 4), 43.0 + 1e-5 * f64::from(i / 4)]).collect();
    Stratum { name: name.into(), kind, area_m2, points_lonlat }
}

#[test]
fn a_worried_lawn_is_scouted_decided_treated_and_learned_from() {
    let lore = Lore::built_in_lenient(None).0;
    let standing = |source: &Source| lore.standing(source);
    let trouble = &lore.troubles[GRUBS];
    let method = trouble.count.as_ref().unwrap();
    let sample_area = method.sample_area.as_ref().unwrap().in_unit("m2").unwrap();

    // Scout: species not yet told, so the stop rule spans all their thresholds.
    let thresholds = by_species(&trouble.thresholds, Some(true), &standing).unwrap();
    let unseen = SpeciesSplit::equal(&thresholds, &BTreeMap::new());
    let range = unseen.stop_range(&thresholds).unwrap();
    let strata = [stratum("core", StratumKind::Core, 30.0, 0.0), stratum("margin", StratumKind::Margin, 45.0, 1e-4)];
    let sheet = plan(&Wish {
        strata: &strata,
        method,
        variance: None,
        threshold: Some(range),
        precision: 0.25,
        risk: 0.1,
        most: 20,
        days: None,
        start_lonlat: None,
    })
    .unwrap();
    assert!(sheet.stops.len() >= 10 && sheet.stop_rules.len() == 2);

    // Count: stop where the rule says so.
    let found = [[24, 31, 19, 27, 35, 22, 28], [18, 26, 33, 21, 17, 29, 25]];
    let counted: Vec<StratumCounts> = sheet
        .stop_rules
        .iter()
        .zip(found)
        .zip(&strata)
        .map(|((rule, found), stratum)| {
            let read = rule.read(&found);
            assert_eq!(read.says, Stop::High, "{}", read.words);
            StratumCounts {
                name: stratum.name.clone(),
                area_m2: stratum.area_m2,
                samples: found.iter().map(|&found| Sample { found, area_m2: sample_area }).collect(),
                species: [("Japanese beetle".to_string(), 20)].into(),
            }
        })
        .collect();
    let prior = DensityPrior::about(&range, method.dispersion_k.as_ref().map(|k| (k.low, k.high)));
    let density = posterior(&counted, &prior, 0.9).unwrap();
    let split = SpeciesSplit::equal(&thresholds, &density.species);

    // Decide.
    let observations = lore_observations(&lore.controls["chlorantraniliprole"], GRUBS, STAGE, &standing);
    let before = belief(&observations, 2015);
    let verdict = decide(&Case {
        density: &density,
        split: &split,
        thresholds: &thresholds,
        turf: Turf { watered: Seen::Yes, vigorous: Seen::NotLooked },
        digging: &Digging::default(),
        efficacy: Some(&before),
        reach: Reach::default(),
        timing: None,
        label_card: false,
        prices: Prices {
            repair_per_m2: Some(9.0),
            treatment_per_m2: Some(0.35),
            treatment_visit: Some(45.0),
            count_each: Some(4.0),
            count_visit: Some(0.0),
            ..Prices::default()
        },
        largest_patch_m2: Some(30.0),
        seed: 1,
    })
    .unwrap();
    let Answer::Treat { strata: where_to, .. } = &verdict.answer else { panic!("{verdict:#?}") };
    assert_eq!(where_to.len(), 2);
    assert!(verdict.reasons.iter().any(|r| r.text.contains("enter the label")));

    // Choose: no amount without a label card, and nothing unknown is passed.
    let beliefs: Vec<_> = lore.controls.values().map(|c| belief(&lore_observations(c, GRUBS, STAGE, &standing), 2015)).collect();
    let candidates: Vec<Candidate> =
        lore.controls.values().zip(&beliefs).map(|(control, belief)| Candidate { control, belief, label: None }).collect();
    let ranked = rank(
        &candidates,
        &Situation {
            trouble: GRUBS,
            stage: STAGE,
            site: "lawn",
            area_m2: 75.0,
            date: date(2015, 8, 15),
            generation: Some(2015),
            history: &[],
            bloom: None,
            children: Seen::NotLooked,
            pets: Seen::NotLooked,
            water_distance_m: None,
            plants: None,
            follow_up_days: Some((21, 28, "umass-bmp-turf")),
            futures: None,
            ground: Default::default(),
            hours: None,
            dry_odds: groundlore_plant_health::treatment::DRY_ODDS,
        },
    )
    .unwrap();
    assert!(ranked.iter().all(|o| o.amount.is_none()));
    let usable = ranked.iter().filter(|o| o.standing != Outcome::Refuse);
    let works_on_grubs = |key: &str| lore.controls[key].targets.iter().any(|t| t.trouble == GRUBS);
    assert!(usable.clone().count() >= 3 && usable.clone().all(|o| works_on_grubs(&o.control)));
    let slid = ranked.iter().find(|o| o.control == "bacillus-thuringiensis-galleriae").unwrap();
    assert!(slid.slid.is_some() && slid.rank > ranked[0].rank);
    assert_eq!(ranked[0].follow_up.earliest, date(2015, 9, 5));

    // Follow up, with a check: the belief moves.
    let with_check = FollowUp {
        treated_before: vec![24.0, 31.0, 19.0, 27.0],
        treated_after: vec![9.0, 12.0, 14.0, 8.0],
        check_before: vec![26.0, 22.0, 30.0, 25.0],
        check_after: vec![21.0, 19.0, 24.0, 20.0],
    };
    let seen = shown(&with_check, 0.9).unwrap();
    let Learned::Observation(observation) = learn(2015, "invented yard, 12 September", &seen) else { panic!("{seen:?}") };
    let mut more = observations.clone();
    more.push(observation);
    let after = belief(&more, 2015);
    assert!(after.median < before.median, "half as much control as hoped lowers the belief");
    assert!(after.high - after.low < before.high - before.low && after.own == 1);

    // Without one: only change, and the belief stays.
    let alone = FollowUp { check_before: Vec::new(), check_after: Vec::new(), ..with_check };
    let bare = shown(&alone, 0.9).unwrap();
    let Learned::ChangeOnly { fall } = learn(2015, "invented yard", &bare) else { panic!("{bare:?}") };
    assert!(matches!(bare, Shown::ChangeOnly { .. }));
    let natural = NaturalDecline { low: 0.1, high: 0.7, source: Source(vec!["memory".into()]) };
    assert!(read_change(&fall, &natural).says.contains("may have gone without treatment"));
}
