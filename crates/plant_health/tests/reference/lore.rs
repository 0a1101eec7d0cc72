//! The built-in lore through the scouting side: what it must be able to say of the common pests.

use groundlore_lore::Lore;
use groundlore_lore::provenance::{Source, Standing};
use groundlore_plant_health::belief::{belief, lore_observations};
use groundlore_plant_health::clock::{Standing as Stands, likeliest, window};
use groundlore_plant_health::density::{DensityPrior, Sample, SpeciesSplit, StratumCounts, ThresholdRange, by_species, posterior};
use jiff::civil::date;
use std::collections::BTreeMap;

fn lore() -> Lore {
    Lore::built_in_lenient(None).0
}

#[test]
fn every_threshold_of_lore_is_a_count_per_area() {
    let lore = lore();
    for trouble in lore.troubles.values() {
        let standing = |source: &Source| lore.standing(source);
        by_species(&trouble.thresholds, None, &standing).unwrap_or_else(|e| panic!("{}: {e}", trouble.key));
    }
}

#[test]
fn grub_thresholds_differ_by_species_and_are_read() {
    let lore = lore();
    let standing = |source: &Source| lore.standing(source);
    let thresholds = by_species(&lore.troubles["white-grubs-annual"].thresholds, Some(true), &standing).unwrap();
    let split = SpeciesSplit::equal(&thresholds, &BTreeMap::new());
    assert!(split.species.len() >= 4, "{:?}", split.species);
    let told = thresholds.iter().filter(|t| split.species.contains(&t.species));
    assert!(told.clone().all(|t| t.standing > Standing::Recalled));
    let lowest = told.clone().map(|t| t.range.low_per_m2).fold(f64::INFINITY, f64::min);
    let highest = told.map(|t| t.range.high_per_m2).fold(0.0, f64::max);
    assert!(highest / lowest > 5.0);
}

#[test]
fn the_bacterial_grub_control_is_shown_to_have_slid() {
    let lore = lore();
    let standing = |source: &Source| lore.standing(source);
    let control = &lore.controls["bacillus-thuringiensis-galleriae"];
    let now = belief(&lore_observations(control, "white-grubs-annual", Some("small-grubs"), &standing), 2015);
    let slide = now.slid.expect("CP9 and CP10: from nine in ten to less than two in ten");
    assert!(slide.from > 0.7 && slide.to < 0.35, "{slide:?}");
    assert!(!now.grounded, "both figures are common practice");
}

#[test]
fn annual_grubs_have_hatched_by_mid_august_in_wisconsin() {
    // CP6: by about the end of the first week of August.
    let lore = lore();
    let stages = &lore.troubles["white-grubs-annual"].stages;
    let small = stages.iter().find(|s| s.key == "small-grubs").unwrap();
    let here = window(small, 43.0, date(2015, 8, 15), |_| Ok(Vec::new())).unwrap();
    assert_eq!(here.stands(date(2015, 8, 15)), Stands::Now);
    assert!(here.widened_days >= 7, "part of its source is common practice");
    let all: Vec<_> = stages.iter().map(|s| window(s, 43.0, date(2015, 8, 15), |_| Ok(Vec::new())).unwrap()).collect();
    assert_eq!(likeliest(&all, date(2015, 8, 15)).unwrap().stage, "small-grubs");
    assert_eq!(likeliest(&all, date(2015, 4, 20)).unwrap().stage, "large-grubs-spring");
    let south = window(small, -37.8, date(2015, 8, 15), |_| Ok(Vec::new())).unwrap();
    assert_eq!(south.p10.unwrap().month(), 1);
}

#[test]
fn ten_flaps_of_a_real_method_give_a_density() {
    let lore = lore();
    let method = lore.troubles["white-grubs-annual"].count.as_ref().unwrap();
    let area_m2 = method.sample_area.as_ref().unwrap().in_unit("m2").unwrap();
    let k = method.dispersion_k.as_ref().map(|k| (k.low, k.high));
    let prior = DensityPrior::about(&ThresholdRange { low_per_m2: 86.0, high_per_m2: 161.0 }, k);
    assert!(prior.k_high > prior.k_low, "one printed k is opened to a range");
    let samples = [4, 11, 7, 0, 9, 15, 3, 8, 12, 6].map(|found| Sample { found, area_m2 }).to_vec();
    let core = StratumCounts { name: "core".into(), area_m2: 40.0, samples, ..StratumCounts::default() };
    let estimate = posterior(&[core], &prior, 0.9).unwrap().strata[0].estimate.unwrap();
    assert!(estimate.low_per_m2 * area_m2 > 4.0 && estimate.high_per_m2 * area_m2 < 14.0, "{estimate:?}");
}
