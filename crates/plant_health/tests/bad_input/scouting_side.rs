//! Wrong inputs of the scouting side: each is named with its value and a remedy, and none panics.

use groundlore_plant_health::clock::month_day;
use groundlore_plant_health::counts::summary;
use groundlore_plant_health::density::{DensityPrior, Sample, StratumCounts, posterior};
use groundlore_plant_health::efficacy::{abbott_interval, paired_interval, schneider_orelli};
use groundlore_plant_health::sequential::{Distribution, Plan, operating_point, stop_lines};

const PLAN: Plan = Plan { distribution: Distribution::NegativeBinomial { k: 1.6 }, low: 5.0, high: 10.0, alpha: 0.1, beta: 0.1 };
const PRIOR: DensityPrior = DensityPrior { median_per_m2: 90.0, k_low: 1.0, k_high: 2.5 };

fn stratum(area_m2: f64, sample_area_m2: f64) -> StratumCounts {
    StratumCounts {
        name: "margin".into(),
        area_m2,
        samples: vec![Sample { found: 3, area_m2: sample_area_m2 }],
        ..StratumCounts::default()
    }
}

/// (what is wrong, the error, words it must hold)
fn wrong() -> Vec<(&'static str, String, Vec<&'static str>)> {
    let density = |strata: &[StratumCounts], prior: &DensityPrior| posterior(strata, prior, 0.9).unwrap_err().to_string();
    let lines = |plan: Plan| stop_lines(&plan).unwrap_err().to_string();
    vec![
        ("no counts", summary(&[]).unwrap_err().to_string(), vec!["no counts", "0 3 1"]),
        ("means swapped", lines(Plan { low: 10.0, high: 5.0, ..PLAN }), vec!["10", "5", "e.g."]),
        ("means not numbers", lines(Plan { low: f64::NAN, ..PLAN }), vec!["NaN", "e.g."]),
        ("k of nought", lines(Plan { distribution: Distribution::NegativeBinomial { k: 0.0 }, ..PLAN }), vec!["k is 0", "e.g."]),
        ("share over one", lines(Plan { distribution: Distribution::Binomial, low: 0.2, high: 1.2, ..PLAN }), vec!["1.2", "share"]),
        ("risks too large", lines(Plan { alpha: 0.6, beta: 0.5, ..PLAN }), vec!["0.6", "0.5"]),
        ("no samples allowed", operating_point(&PLAN, 5.0, 0).unwrap_err().to_string(), vec!["at least 1"]),
        ("no strata", density(&[], &PRIOR), vec!["no stratum"]),
        ("area of nought", density(&[stratum(0.0, 0.1)], &PRIOR), vec!["margin", "0 m2"]),
        ("sample area below nought", density(&[stratum(10.0, -1.0)], &PRIOR), vec!["margin", "-1", "flap"]),
        ("stratum twice", density(&[stratum(10.0, 0.1), stratum(10.0, 0.1)], &PRIOR), vec!["margin", "twice"]),
        ("prior median", density(&[stratum(10.0, 0.1)], &DensityPrior { median_per_m2: 0.0, ..PRIOR }), vec!["median", "0"]),
        ("k swapped", density(&[stratum(10.0, 0.1)], &DensityPrior { k_low: 3.0, ..PRIOR }), vec!["high k", "2.5"]),
        ("mortality over one", schneider_orelli(1.4, 0.1).unwrap_err().to_string(), vec!["treated-mortality", "1.4", "0.85"]),
        ("one plot", abbott_interval(&[3.0], &[1.0, 2.0], 0.95).unwrap_err().to_string(), vec!["1 plots", "at least 2"]),
        ("pairs unequal", paired_interval(&[3.0, 4.0], &[1.0], 0.95).unwrap_err().to_string(), vec!["1 treated", "2 check"]),
        ("level", abbott_interval(&[3.0, 4.0], &[1.0, 2.0], 95.0).unwrap_err().to_string(), vec!["level", "95", "0.95"]),
        ("day of the year", month_day("02-30").unwrap_err().to_string(), vec!["02-30", "03-01"]),
        ("no day at all", month_day("spring").unwrap_err().to_string(), vec!["spring"]),
    ]
}

#[test]
fn every_error_names_the_value_and_a_remedy() {
    for (what, error, words) in wrong() {
        for word in words {
            assert!(error.contains(word), "{what}: `{error}` lacks `{word}`");
        }
    }
}

#[test]
fn huge_counts_do_not_panic() {
    assert!(summary(&[u64::MAX, u64::MAX, 0]).is_ok());
    let huge = StratumCounts { samples: vec![Sample { found: 5_000_000, area_m2: 0.1 }], ..stratum(10.0, 0.1) };
    assert!(posterior(&[huge], &PRIOR, 0.9).is_ok());
}
