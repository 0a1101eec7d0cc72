//! Rows DR of the season note: trends of real trials, running sums, and what a false alarm costs.

use crate::close;
use crate::data::records;
use groundlore_plant_health::drift::alarm::{Watch, Watched, YearLevel, alarm_chance, limit_for, watch};
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

/// (slack, limit, shift, values, chance of an alarm): four million simulated series a row, `bench/goldens/drift_alarm.py`.
const CHANCES: &[(f64, f64, f64, usize, f64)] =
    &[(0.5, 2.5, 0.0, 10, 0.115_560), (0.5, 3.0, 0.0, 10, 0.062_395), (0.5, 3.0, 1.0, 5, 0.507_099), (0.25, 4.0, 0.5, 20, 0.833_021)];

#[test]
fn chances_of_an_alarm_are_those_of_simulated_series() {
    for (slack, limit, shift, n, chance) in CHANCES {
        let found = alarm_chance(*slack, *limit, &vec![*shift; *n]).unwrap();
        assert_eq!(found.len(), *n);
        assert!(found.windows(2).all(|w| w[1] >= w[0]));
        close("DR-AL", found[n - 1], *chance, 0.001);
    }
    for wanted in [0.01, 0.05, 0.2] {
        let limit = limit_for(0.5, 10, wanted).unwrap();
        close("DR-AL limit", alarm_chance(0.5, limit, &[0.0; 10]).unwrap()[9], wanted, 1e-6);
    }
    assert_eq!(limit_for(0.5, 0, 0.05), None);
    assert_eq!(limit_for(0.5, 10, 1.0), None);
}

fn watched(active: &str) -> Watched {
    let (years, _, logs) = trials(active);
    #[allow(clippy::cast_possible_truncation)]
    let seen: Vec<(i16, f64, f64)> = years.iter().zip(&logs).map(|(year, log)| (*year as i16, *log, 0.0)).collect();
    watch(&YearLevel::from_comparisons(&seen), Watch::default()).unwrap()
}

#[test]
fn the_real_fall_alarms_and_the_real_negative_control_does_not() {
    let (fallen, steady, between) = (watched("tebu"), watched("trif_prot"), watched("cypr"));
    assert!(between.alarm.is_none(), "the case on which the tests of 6a disagree raises no alarm either");
    assert!(fallen.alarm.is_some_and(|year| year <= 2008), "DR-TEBU: p below 1e-20 by the reference library: {fallen:?}");
    assert_eq!(steady.alarm, None, "DR-TRIF: no test of the reference has p below 0.05: {steady:?}");
    // Over the negative control no other false-alarm rate of use alarms either, and the real fall alarms at every one.
    for false_alarm in [0.01, 0.02, 0.1] {
        let by = Watch { false_alarm, ..Watch::default() };
        let again = |active: &str| {
            let (years, _, logs) = trials(active);
            #[allow(clippy::cast_possible_truncation)]
            let seen: Vec<(i16, f64, f64)> = years.iter().zip(&logs).map(|(year, log)| (*year as i16, *log, 0.0)).collect();
            watch(&YearLevel::from_comparisons(&seen), by).unwrap().alarm
        };
        assert!(again("tebu").is_some() && again("trif_prot").is_none(), "{false_alarm}");
    }
}

#[test]
fn the_operating_curve_begins_at_the_false_alarm_rate_and_rises() {
    let curve = watched("tebu").operating_curve;
    close("DR-AL no slide", curve[0].by_all, 0.05, 1e-5);
    assert!(curve.windows(2).all(|w| w[1].by_all > w[0].by_all && w[1].ends_at < w[0].ends_at), "{curve:?}");
    assert!(curve.iter().all(|p| p.by_half <= p.by_all));
}

/// Whole books that do not slide alarm as seldom as is claimed, the years' own errors taken as known (1,000 books of eleven years).
#[test]
fn books_without_a_slide_alarm_as_seldom_as_claimed() {
    let mut state = 3_u64;
    let mut uniform = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / (1_u64 << 31) as f64
    };
    let mut false_alarms = 0;
    const BOOKS: u32 = 1_000;
    for _ in 0..BOOKS {
        let levels: Vec<YearLevel> = (2000..=2010)
            .map(|year| {
                let se = 0.1 + 0.4 * uniform();
                let normal: f64 = (0..12).map(|_| uniform()).sum::<f64>() - 6.0;
                YearLevel { year, ln_ratio: -1.6 + normal * se.hypot(0.2), se }
            })
            .collect();
        false_alarms += u32::from(watch(&levels, Watch::default()).unwrap().alarm.is_some());
    }
    close("DR-AL books", f64::from(false_alarms) / f64::from(BOOKS), 0.05, 0.02);
}

#[test]
fn two_years_make_no_slide() {
    let level = |year| YearLevel { year, ln_ratio: -2.0, se: 0.1 };
    assert_eq!(watch(&[level(2010), level(2011)], Watch::default()), None);
}
