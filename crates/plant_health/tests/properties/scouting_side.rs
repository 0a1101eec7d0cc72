//! What must hold for any counts.

use groundlore_plant_health::belief::{Observation, Origin, belief};
use groundlore_plant_health::counts::summary;
use groundlore_plant_health::density::{DensityPrior, Sample, StratumCounts, ThresholdRange, YardDensity, posterior};
use groundlore_plant_health::efficacy::{BeforeAfter, abbott, henderson_tilton, sun_shepard};
use groundlore_plant_health::sequential::{Distribution, Plan, Stop, operating_point, stop_lines};
use proptest::prelude::*;

const FLAP: f64 = 0.092_903_04;
const PRIOR: DensityPrior = DensityPrior { median_per_m2: 90.0, k_low: 1.0, k_high: 2.5 };

fn stratum(found: &[u64]) -> StratumCounts {
    let samples = found.iter().map(|&found| Sample { found, area_m2: FLAP }).collect();
    StratumCounts { name: "core".into(), area_m2: 50.0, samples, ..StratumCounts::default() }
}

fn width(found: &[u64]) -> f64 {
    let estimate = posterior(&[stratum(found)], &PRIOR, 0.9).unwrap().strata[0].estimate.unwrap();
    (estimate.high_per_m2 / estimate.low_per_m2).ln()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn the_order_of_counts_does_not_matter(mut found in prop::collection::vec(0_u64..60, 1..15)) {
        let (one, sums) = (posterior(&[stratum(&found)], &PRIOR, 0.9).unwrap(), summary(&found).unwrap());
        found.reverse();
        let other = posterior(&[stratum(&found)], &PRIOR, 0.9).unwrap();
        let (a, b) = (one.strata[0].estimate.unwrap(), other.strata[0].estimate.unwrap());
        prop_assert!((a.median_per_m2 - b.median_per_m2).abs() < 1e-9);
        prop_assert_eq!(sums.total, summary(&found).unwrap().total);
    }

    #[test]
    fn four_times_the_same_counts_narrow_the_interval(found in prop::collection::vec(1_u64..40, 2..8)) {
        prop_assert!(width(&found.repeat(4)) < width(&found));
    }

    #[test]
    fn one_more_grub_never_lowers_the_chance_of_reaching_a_threshold(found in prop::collection::vec(0_u64..40, 1..8), i in 0_usize..8) {
        let threshold = ThresholdRange { low_per_m2: 50.0, high_per_m2: 160.0 };
        let chance = |found: &[u64]| posterior(&[stratum(found)], &PRIOR, 0.9).unwrap().strata[0].grid.as_ref().unwrap().p_exceeds(&threshold);
        let mut more = found.clone();
        let i = i % more.len();
        more[i] += 1;
        prop_assert!(chance(&more) >= chance(&found) - 0.02, "{} {}", chance(&more), chance(&found));
    }

    #[test]
    fn the_yard_lies_between_its_strata(a in prop::collection::vec(0_u64..30, 2..6), b in prop::collection::vec(0_u64..30, 2..6), area in 1.0_f64..500.0) {
        let second = StratumCounts { name: "sound".into(), area_m2: area, ..stratum(&b) };
        let density = posterior(&[stratum(&a), second], &PRIOR, 0.9).unwrap();
        let means: Vec<f64> = density.strata.iter().map(|s| s.estimate.unwrap().mean_per_m2).collect();
        let YardDensity::Whole { estimate } = density.yard else { panic!("both were looked at") };
        prop_assert!(estimate.mean_per_m2 >= means[0].min(means[1]) - 1e-9 && estimate.mean_per_m2 <= means[0].max(means[1]) + 1e-9);
    }

    #[test]
    fn the_posterior_holds_the_observed_mean(found in prop::collection::vec(1_u64..60, 6..20)) {
        let seen = found.iter().sum::<u64>() as f64 / found.len() as f64 / FLAP;
        let e = posterior(&[stratum(&found)], &PRIOR, 0.95).unwrap().strata[0].estimate.unwrap();
        prop_assert!(e.low_per_m2 < seen * 1.3 && e.high_per_m2 > seen / 1.3);
    }

    #[test]
    fn equal_risks_make_mirrored_stop_lines(low in 0.1_f64..20.0, ratio in 1.2_f64..4.0, k in 0.2_f64..5.0, risk in 0.01_f64..0.3) {
        let plan = Plan { distribution: Distribution::NegativeBinomial { k }, low, high: low * ratio, alpha: risk, beta: risk };
        let lines = stop_lines(&plan).unwrap();
        prop_assert!((lines.lower_intercept + lines.upper_intercept).abs() < 1e-9 * lines.upper_intercept);
        prop_assert!(lines.slope > low && lines.slope < low * ratio);
        prop_assert_eq!(lines.state(0, 0), Stop::GoOn);
    }

    #[test]
    fn a_higher_truth_is_called_low_less_often(low in 0.5_f64..8.0, step in 1.05_f64..2.0) {
        let plan = Plan { distribution: Distribution::NegativeBinomial { k: 1.2 }, low, high: low * 2.0, alpha: 0.1, beta: 0.1 };
        let at = |value: f64| operating_point(&plan, value, 20).unwrap().p_low;
        prop_assert!(at(low * step) <= at(low) + 1e-12);
    }

    #[test]
    fn equal_starts_make_henderson_tilton_abbott(before in 1.0_f64..500.0, ca in 0.1_f64..500.0, ta in 0.0_f64..500.0) {
        let t = BeforeAfter { check_before: before, check_after: ca, treated_before: before, treated_after: ta };
        prop_assert!((henderson_tilton(&t).unwrap() - abbott(ca, ta).unwrap()).abs() < 1e-9 * (1.0 + ta / ca));
    }

    #[test]
    fn sun_shepard_is_henderson_tilton(cb in 0.1_f64..500.0, ca in 0.1_f64..500.0, tb in 0.1_f64..500.0, ta in 0.0_f64..500.0) {
        let t = BeforeAfter { check_before: cb, check_after: ca, treated_before: tb, treated_after: ta };
        let (a, b) = (henderson_tilton(&t).unwrap(), sun_shepard(&t).unwrap());
        prop_assert!((a - b).abs() < 1e-9 * (1.0 + a.abs()));
    }

    #[test]
    fn better_trials_never_lower_the_belief(control in 0.1_f64..0.85, rise in 0.01_f64..0.1) {
        let seen = |c: f64| {
            let origin = Origin::Own { place: "yard".into() };
            belief(&[Observation::from_trials(2014, &[c], origin).unwrap()], 2015).median
        };
        prop_assert!(seen(control + rise) > seen(control));
    }

    #[test]
    fn silence_widens_the_belief(years in 1_i16..12) {
        let origin = Origin::Own { place: "yard".into() };
        let seen = [Observation::from_trials(2005, &[0.8, 0.85, 0.9], origin).unwrap()];
        let (then, later) = (belief(&seen, 2005), belief(&seen, 2005 + years));
        prop_assert!(later.high - later.low > then.high - then.low);
        prop_assert!(later.slid.is_none());
    }
}

/// A negative binomial count as a Poisson of a gamma with whole shape 2, by a small generator of its own.
fn invented_count(mean: f64, state: &mut u64) -> u64 {
    let mut unit = || {
        *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((*state >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    };
    let rate = -(unit().ln() + unit().ln()) * mean / 2.0;
    let (mut count, mut product, bound) = (0, unit(), (-rate).exp());
    while product > bound {
        count += 1;
        product *= unit();
    }
    count
}

#[test]
fn nine_intervals_in_ten_hold_the_truth() {
    let (mut state, mut held, mut high, trials) = (7_u64, 0, 0, 400);
    for trial in 0..trials {
        let mean = [1.0, 4.0, 9.0, 18.0][trial % 4];
        let found: Vec<u64> = (0..10).map(|_| invented_count(mean, &mut state)).collect();
        let prior = DensityPrior { median_per_m2: 8.0 / FLAP, k_low: 1.4, k_high: 2.8 };
        let e = posterior(&[stratum(&found)], &prior, 0.9).unwrap().strata[0].estimate.unwrap();
        let truth = mean / FLAP;
        held += usize::from(e.low_per_m2 <= truth && truth <= e.high_per_m2);
        high += usize::from(e.low_per_m2 > truth);
    }
    let share = held as f64 / trials as f64;
    assert!((0.85..=0.95).contains(&share), "{share}");
    assert!((high as f64 / trials as f64) < 0.09, "too often too high: {high}");
}

mod plans {
    use groundlore_plant_health::cover::{CoverCounts, Quadrat, cover};
    use groundlore_plant_health::dispersion::learned::learn_k;
    use groundlore_plant_health::fixed_precision::{FixedPrecision, VarianceLaw};
    use groundlore_plant_health::presence::{OccupancyLaw, mean_from_presence};
    use groundlore_plant_health::sequential::{Distribution, Plan, operating_curve};
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]

        #[test]
        fn an_operating_curve_falls_and_stays_a_chance(low in 0.3_f64..8.0, ratio in 1.3_f64..4.0, k in 0.3_f64..4.0) {
            let plan = Plan { distribution: Distribution::NegativeBinomial { k }, low, high: low * ratio, alpha: 0.1, beta: 0.1 };
            let curve = operating_curve(&plan, 24, 15).unwrap();
            for pair in curve.windows(2) {
                prop_assert!(pair[1].p_low <= pair[0].p_low + 1e-9);
            }
            prop_assert!(curve.iter().all(|p| (0.0..=1.0 + 1e-9).contains(&p.p_low) && p.expected_samples <= 24.0 + 1e-9 && p.expected_samples >= 1.0));
        }

        #[test]
        fn finer_precision_never_stops_sooner(k in 0.5_f64..4.0, mean in 0.5_f64..20.0) {
            let samples = |precision: f64| {
                let plan = FixedPrecision { law: VarianceLaw::NegativeBinomial { k }, precision, fewest: 3, most: 50 };
                plan.operating_point(mean).map_or(50.0, |p| p.expected_samples)
            };
            prop_assert!(samples(0.3) <= samples(0.25) + 1e-9 && samples(0.4) <= samples(0.3) + 1e-9);
        }

        #[test]
        fn more_occupied_is_more(samples in 2_u32..60, part in 0.0_f64..1.0, k in 0.2_f64..4.0) {
            let occupied = (part * f64::from(samples - 1)) as u32;
            let at = |n: u32| mean_from_presence(n, samples, &OccupancyLaw::NegativeBinomial { k }, 0.9).unwrap();
            let (few, many) = (at(occupied), at(occupied + 1));
            prop_assert!(few.low <= many.low && few.high.unwrap_or(f64::INFINITY) <= many.high.unwrap_or(f64::INFINITY));
        }

        #[test]
        fn one_more_hit_never_lowers_cover(hits in prop::collection::vec(0_u32..25, 1..10), i in 0_usize..10) {
            let of = |hits: &[u32]| {
                let quadrats = hits.iter().map(|&h| Quadrat::of_points(h, 25)).collect();
                cover(&[CoverCounts { name: "lawn".into(), area_m2: 10.0, quadrats }], 0.9).unwrap().strata[0].estimate.unwrap()
            };
            let mut more = hits.clone();
            let i = i % more.len();
            more[i] += 1;
            let (a, b) = (of(&hits), of(&more));
            prop_assert!(b.mean >= a.mean - 0.01, "{a:?} {b:?}");
            prop_assert!(a.low <= a.median && a.median <= a.high && a.high <= 1.0 && a.low >= 0.0);
        }

        #[test]
        fn the_order_of_sets_and_of_counts_teaches_the_same_k(mut sets in prop::collection::vec(prop::collection::vec(0_u64..30, 2..8), 1..6)) {
            let one = learn_k(&sets, None);
            sets.reverse();
            sets.iter_mut().for_each(|s| s.reverse());
            let other = learn_k(&sets, None);
            prop_assert!((one.k - other.k).abs() < 1e-9 && one.sets == other.sets);
        }
    }
}
