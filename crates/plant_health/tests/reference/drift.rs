//! Rows DR of the season note: trends of real trials, running sums, and what a false alarm costs.

use crate::close;
use crate::data::records;
use groundlore_plant_health::drift::{mean_run, success_sum, trend};

/// Year and control in percent of each trial, and the natural logarithm of severity over its check.
fn trials(active: &str) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
    let (mut years, mut control, mut logs) = (Vec::new(), Vec::new(), Vec::new());
    for row in records("soybean_rust.csv").iter().filter(|row| &row[0] == active) {
        let (year, severity, check): (f64, f64, f64) = (row[1].parse().unwrap(), row[2].parse().unwrap(), row[3].parse().unwrap());
        years.push(year);
        control.push(100.0 * (1.0 - severity / check));
        logs.push((severity / check).ln());
    }
    (years, control, logs)
}

/// (id, active, by logs, slope, se, p): statsmodels 0.15.0, season note 6a.
const SLOPES: &[(&str, &str, bool, f64, f64, f64)] = &[
    ("DR-TEBU-a", "tebu", true, 0.219_975_3, 0.021_259_3, 5.001e-21),
    ("DR-TEBU-b", "tebu", false, -6.315_172, 0.570_065, 2.348e-23),
    ("DR-TRIF-a", "trif_prot", true, 0.117_215_2, 0.061_178_8, 0.058_04),
    ("DR-TRIF-b", "trif_prot", false, -1.410_354, 1.039_352, 0.177_7),
    ("DR-CYPR-a", "cypr", true, 0.059_775_2, 0.021_973_9, 0.007_338),
    ("DR-CYPR-b", "cypr", false, -2.543_168, 0.781_252, 0.001_417),
];

#[test]
fn slopes_of_the_real_trials_are_those_of_the_reference_library() {
    for (id, active, by_logs, slope, se, p) in SLOPES {
        let (years, control, logs) = trials(active);
        let found = trend(&years, if *by_logs { &logs } else { &control }).unwrap();
        close(id, found.slope, *slope, 2e-5);
        close(id, found.slope_se.unwrap(), *se, 2e-5);
        let ratio = found.p_value.unwrap() / p;
        assert!((ratio - 1.0).abs() < 2e-3, "{id}: p is {:e}, expected {p:e}", found.p_value.unwrap());
    }
}

#[test]
fn ranks_of_the_yearly_means_are_those_of_the_reference_library() {
    // DR-TEBU-f and g: scipy 1.17.1.
    let years: Vec<f64> = (2005..=2014).map(f64::from).collect();
    let means = [89.25963, 76.37994, 65.02954, 67.67593, 55.70353, 34.71016, 27.64230, 34.10254, 46.17602, 25.82476];
    let found = trend(&years, &means).unwrap();
    close("DR-TEBU-f", found.kendall_tau.unwrap(), -0.777_777_8, 1e-7);
    close("DR-TEBU-g", found.sen_slope, -7.046_233_3, 1e-6);
}

#[test]
fn a_control_that_works_or_not_raises_its_alarm_where_the_note_has_it() {
    // DR-02: likelihood ratio steps ln(0.7/0.9) and ln(0.3/0.1).
    let outcomes = [1, 1, 1, 0, 1, 1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 0, 1, 0, 1, 0].map(|w| w == 1);
    let found = success_sum(&outcomes, 0.9, 0.7, 2.5).unwrap();
    close("DR-02", *found.path.last().unwrap(), 6.527_068, 1e-6);
    assert_eq!(found.alarm_at, Some(12), "DR-02: the thirteenth");
    assert_eq!(success_sum(&outcomes, 0.9, 0.7, 3.5).unwrap().alarm_at, Some(13), "DR-02: the fourteenth");
    assert_eq!(success_sum(&outcomes, 0.7, 0.9, 3.5), None, "shares the wrong way round");
}

#[test]
fn run_lengths_are_those_of_the_markov_chain() {
    // DR-05: slack 0.5 and limit 4 standard deviations.
    for (shift, run) in [(0.0, 335.36), (0.5, 26.68), (1.0, 8.38), (2.0, 3.34)] {
        close("DR-05", mean_run(0.5, 4.0, shift).unwrap(), run, 0.05);
    }
}
