//! Rows ST-41, ST-42 and ST-120 (ST-40 is among the reckoner's) of the season note: Taylor's law, Iwao's line, share of samples that hold any.

use crate::close;
use crate::data::counts_from_frequencies;
use groundlore_plant_health::counts::summary;
use groundlore_plant_health::dispersion::{fit, share_occupied};

const TREATMENTS: [&str; 4] = ["T1", "T2", "T3", "T4"];

/// (id, file, a, b, r², alpha, beta): computed with numpy.
const LAWS: &[(&str, &str, f64, f64, f64, f64, f64)] = &[
    ("ST-41", "webworm_frequencies.csv", 1.465_232_2, 1.251_455, 0.990_189_49, -0.011_388_52, 1.462_078_5),
    ("ST-42", "borer_frequencies.csv", 1.850_929_5, 1.443_158_1, 0.948_524_46, 0.296_360_49, 1.579_575_9),
];

#[test]
fn the_laws_fitted_to_real_counts_are_those_of_the_note() {
    for (id, file, a, b, r2, alpha, beta) in LAWS {
        let found: Vec<(f64, f64)> = TREATMENTS
            .iter()
            .map(|treatment| summary(&counts_from_frequencies(file, treatment)).map(|s| (s.mean, s.variance.unwrap())).unwrap())
            .collect();
        let (means, variances): (Vec<f64>, Vec<f64>) = found.into_iter().unzip();
        let laws = fit(&means, &variances).unwrap();
        for (what, seen, wanted) in [
            ("a", laws.taylor_a, a),
            ("b", laws.taylor_b, b),
            ("r2", laws.taylor_r2, r2),
            ("alpha", laws.iwao_alpha, alpha),
            ("beta", laws.iwao_beta, beta),
        ] {
            close(&format!("{id} {what}"), seen, *wanted, 1e-5);
        }
    }
}

#[test]
fn the_share_that_holds_any_goes_over_into_the_poisson() {
    // Where variance over mean is 1 the formula's limit is 1 − exp(−m).
    close("limit", share_occupied(1.0, 1.0, 1.0).unwrap(), 1.0 - (-1.0_f64).exp(), 1e-9);
    for (mean, expected) in [(0.25, 0.195_023), (1.0, 0.5), (5.0, 0.927_445), (10.0, 0.990_223)] {
        close("ST-120", share_occupied(mean, 2.0, 1.3).unwrap(), expected, 2e-6);
    }
    assert_eq!(share_occupied(0.0, 2.0, 1.3), None);
}
