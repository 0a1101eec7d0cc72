//! Rows EF-00 to EF-47. Formulas as named in Püntener 1981 (memory); trials in `tests/data/ORIGIN.md`; intervals computed independently
//! with scipy 1.17.1.

use crate::close;
use crate::data::{counts_by, counts_from_frequencies, sum_by};
use groundlore_plant_health::efficacy::{
    BeforeAfter, FollowUp, Shown, Undefined, abbott, abbott_interval, henderson_tilton, paired_interval, schneider_orelli, shown,
    sun_shepard,
};

fn trial(check_before: f64, check_after: f64, treated_before: f64, treated_after: f64) -> BeforeAfter {
    BeforeAfter { check_before, check_after, treated_before, treated_after }
}

#[test]
fn count_formulas_match_the_rows_and_each_other() {
    let rows = [
        ("EF-01", trial(40.0, 60.0, 50.0, 5.0), 93.33333333, 91.66666667),
        ("EF-02", trial(100.0, 120.0, 110.0, 20.0), 84.84848485, 83.33333333),
        ("EF-04", trial(30.0, 30.0, 30.0, 3.0), 90.0, 90.0),
        ("EF-05", trial(80.0, 40.0, 100.0, 10.0), 80.0, 75.0),
        ("EF-06", trial(50.0, 75.0, 60.0, 120.0), -33.33333333, -60.0),
    ];
    for (id, t, henderson, plain) in rows {
        close(id, 100.0 * henderson_tilton(&t).unwrap(), henderson, 1e-7);
        close(id, 100.0 * sun_shepard(&t).unwrap(), henderson, 1e-7);
        close(id, 100.0 * abbott(t.check_after, t.treated_after).unwrap(), plain, 1e-7);
    }
}

#[test]
fn mortalities_match_the_rows() {
    for (id, treated, check, expected) in
        [("EF-10", 85.0, 10.0, 83.33333333), ("EF-11", 40.0, 20.0, 25.0), ("EF-13", 12.0, 20.0, -10.0), ("EF-14", 100.0, 5.0, 100.0)]
    {
        close(id, 100.0 * schneider_orelli(treated / 100.0, check / 100.0).unwrap(), expected, 1e-7);
    }
}

#[test]
fn undefined_is_neither_nought_nor_full_control() {
    assert_eq!(abbott(0.0, 0.0), Err(Undefined::NothingInCheck));
    assert_eq!(henderson_tilton(&trial(10.0, 0.0, 10.0, 1.0)), Err(Undefined::NothingInCheck));
    assert_eq!(henderson_tilton(&trial(10.0, 5.0, 0.0, 1.0)), Err(Undefined::NothingBefore));
    assert_eq!(sun_shepard(&trial(0.0, 5.0, 4.0, 1.0)), Err(Undefined::NoCheckBefore));
    assert_eq!(schneider_orelli(0.5, 1.0), Err(Undefined::CheckAllDead));
    assert!(abbott(-3.0, 1.0).is_err() && abbott(f64::NAN, 1.0).is_err() && schneider_orelli(1.2, 0.1).is_err());
}

#[test]
fn real_trials_have_the_published_intervals() {
    let floats = |counts: Vec<u64>| counts.into_iter().map(|c| c as f64).collect::<Vec<f64>>();
    let worms = |t| floats(counts_from_frequencies("webworm_frequencies.csv", t));
    let borers = |t| floats(counts_from_frequencies("borer_frequencies.csv", t));
    let plots = |t| floats(counts_by("borer_plots.csv", 1, t, 2));
    let rows = [
        ("EF-20", worms("T1"), worms("T2"), 63.956044, 0.10349461, 55.850354, 70.573563),
        ("EF-22", worms("T1"), worms("T4"), 70.5494505, 0.11436929, 63.149387, 76.463489),
        ("EF-23", borers("T1"), borers("T2"), 21.4876033, 0.12200558, 0.27832318, 38.185993),
        ("EF-24", borers("T1"), borers("T3"), 63.2231405, 0.14325223, 51.301996, 72.22602),
        ("EF-26", plots("None"), plots("Late"), 63.2231405, 0.16028845, 49.6485, 73.138092),
        ("EF-27", plots("None"), plots("Early"), 21.4876033, 0.15609381, -6.6118617, 42.180951),
    ];
    for (id, check, treated, share, se, low, high) in rows {
        let seen = abbott_interval(&check, &treated, 0.95).unwrap();
        close(id, 100.0 * seen.share, share, 1e-4);
        close(id, seen.se_ln_ratio, se, 1e-6);
        close(id, 100.0 * seen.low, low, 1e-4);
        close(id, 100.0 * seen.high, high, 1e-4);
    }
}

#[test]
fn pairing_by_block_decides_the_early_spray() {
    // EF-38: hills say 0.28 to 38 %, plots −6.6 to 42 %, plots in their blocks: clear of nought.
    let plots = |t| counts_by("borer_plots.csv", 1, t, 2).into_iter().map(|c| c as f64).collect::<Vec<f64>>();
    let seen = paired_interval(&plots("None"), &plots("Early"), 0.95).unwrap();
    close("EF-38", seen.estimate.ln_ratio, -0.2804154, 1e-6);
    close("EF-38", seen.estimate.se_ln_ratio, 0.1161385, 1e-6);
    close("EF-38", seen.t, -2.414491, 1e-5);
    close("EF-38", seen.p, 0.030023, 1e-5);
    assert!(seen.estimate.low > 0.0);
}

#[test]
fn eelworm_fumigants_change_their_verdict_with_the_formula() {
    let sums = |fumigant: &str, dose: &str| {
        (sum_by("eelworm_cysts.csv", &[(0, fumigant), (1, dose)], 2), sum_by("eelworm_cysts.csv", &[(0, fumigant), (1, dose)], 3))
    };
    let (check_before, check_after) = sums("Con", "0");
    assert_eq!((check_before, check_after), (1975.0, 5858.0));
    let rows = [
        ("EF-40", "Car", "1", 24.9709144, 36.6336634),
        ("EF-41", "Car", "2", 46.628727, 40.1160806),
        ("EF-43", "Chl", "2", -9.63738205, 13.6223967),
        ("EF-44", "Cym", "1", 5.95407091, 2.28747013),
        ("EF-46", "See", "1", 47.2396423, 39.0918402),
        ("EF-47", "See", "2", 51.3782045, 23.3868214),
    ];
    for (id, fumigant, dose, henderson, plain) in rows {
        let (before, after) = sums(fumigant, dose);
        let t = trial(check_before / 16.0, check_after / 16.0, before / 4.0, after / 4.0);
        close(id, 100.0 * henderson_tilton(&t).unwrap(), henderson, 1e-6);
        close(id, 100.0 * abbott(t.check_after, t.treated_after).unwrap(), plain, 1e-6);
    }
}

#[test]
fn a_follow_up_with_nothing_before_still_tells_after() {
    let follow_up = FollowUp {
        treated_before: vec![0.0, 0.0, 0.0],
        treated_after: vec![1.0, 2.0, 1.0],
        check_before: vec![0.0, 1.0, 0.0],
        check_after: vec![9.0, 12.0, 10.0],
    };
    let Shown::Control { estimate, method } = shown(&follow_up, 0.9).unwrap() else { panic!("there was a check") };
    assert!(method.contains("Abbott"));
    close("Abbott", estimate.share, 1.0 - 4.0 / 31.0, 1e-9);
}

#[test]
fn nothing_left_after_treatment_has_an_interval_and_says_how() {
    let seen = abbott_interval(&[9.0, 12.0, 10.0, 8.0], &[0.0; 4], 0.9).unwrap();
    assert!(seen.half_added && seen.share < 1.0 && seen.low < seen.share);
}
