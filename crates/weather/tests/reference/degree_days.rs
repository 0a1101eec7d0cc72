//! Degree-days of single days.

use groundlore_weather::{Cutoff, DegreeDays, Method};

/// (id, source, method, lower, upper, cutoff, minimum, maximum, expected, tolerance); the next minimum is the day's own.
type PublishedDay = (&'static str, &'static str, Method, f64, Option<f64>, Cutoff, f64, f64, f64, f64);

const MSU: &str = "J. Nugent, Calculating Growing Degree Days, Michigan State University";
const TURF: &str = "Niemczyk & Shetlar, Destructive Turf Insects, 2nd ed., as excerpted 2001";
const PAPER: &str = "Democrat and Chronicle, 30 May 2013";
const KENT: &str = "Goatley et al. 2007 via Kent Co. Extension, Delaware, 2008";
const UCIPM: &str = "UC IPM, table cit-t01";
const OHIO: &str = "Ohio State, bygl.osu.edu/node/1452: (max - 50)/2";
const TRENCHR: &str = "test values of the R package TrenchR, test-19-DDFunctions";

const PUBLISHED: [PublishedDay; 12] = [
    ("DD-P01", MSU, Method::Average, 50.0, None, Cutoff::None, 40.0, 65.0, 2.5, 1e-12),
    ("DD-P02", MSU, Method::Average, 50.0, None, Cutoff::None, 35.0, 60.0, 0.0, 1e-12),
    ("DD-P03", TURF, Method::Average, 50.0, None, Cutoff::None, 40.0, 70.0, 5.0, 1e-12),
    ("DD-P05", PAPER, Method::Average, 50.0, None, Cutoff::None, 61.0, 82.0, 21.5, 1e-12),
    ("DD-P06", KENT, Method::Average, 50.0, None, Cutoff::None, 27.0, 75.0, 1.0, 1e-12),
    ("DD-P07", UCIPM, Method::Average, 53.0, None, Cutoff::None, 64.0, 64.0, 11.0, 1e-12),
    ("DD-P09", OHIO, Method::ModifiedAverage, 50.0, Some(86.0), Cutoff::Horizontal, 35.0, 61.0, 5.5, 1e-12),
    ("DD-P11", TRENCHR, Method::SingleSine, 12.0, None, Cutoff::None, 7.0, 14.0, 0.47, 0.01),
    ("DD-P13", TRENCHR, Method::SingleSine, 12.0, Some(33.0), Cutoff::Horizontal, 13.0, 40.0, 12.94, 0.01),
    ("DD-P15", TRENCHR, Method::DoubleSine, 12.0, None, Cutoff::None, 7.0, 20.0, 2.87, 0.01),
    ("DD-P16", TRENCHR, Method::SingleTriangle, 12.0, None, Cutoff::None, 7.0, 14.0, 0.29, 0.01),
    ("DD-P17", TRENCHR, Method::DoubleSine, 12.0, Some(33.0), Cutoff::Horizontal, 35.0, 40.0, 21.0, 0.01),
];

#[test]
fn published_days_come_out_as_printed() {
    for (id, source, method, lower, upper, cutoff, min, max, expected, tolerance) in PUBLISHED {
        let model = DegreeDays::new(method, lower, upper, cutoff).unwrap();
        let got = model.day(min, max, min);
        assert!((got - expected).abs() <= tolerance, "{id} ({source}): {got} for {expected}");
    }
}

#[test]
fn a_single_sine_wholly_above_the_upper_threshold_is_not_the_trap_value_5() {
    // DD-P17's note: one package gives 5 where the integral is 21.
    let model = DegreeDays::new(Method::SingleSine, 12.0, Some(33.0), Cutoff::Horizontal).unwrap();
    assert!((model.day(35.0, 40.0, 35.0) - 21.0).abs() < 1e-12);
}

/// Source of all rows: adaptive quadrature, scipy 1.17.1, of the definitions in the module's front page.
fn quadrature_rows() -> Vec<(String, DegreeDays, [f64; 3], f64)> {
    let number = |cell: &str| cell.parse::<f64>().ok();
    super::rows(include_str!("../data/degree_day_cases.csv"))
        .map(|row| {
            let model = DegreeDays::new(row[1].parse().unwrap(), number(row[6]).unwrap(), number(row[7]), row[8].parse().unwrap()).unwrap();
            let min = number(row[3]).unwrap();
            let day = [min, number(row[4]).unwrap(), number(row[5]).unwrap_or(min)];
            (row[0].to_owned(), model, day, number(row[9]).unwrap())
        })
        .collect()
}

#[test]
fn seventy_two_days_agree_with_quadrature() {
    let rows = quadrature_rows();
    assert_eq!(rows.len(), 72);
    for (id, model, [min, max, next], expected) in rows {
        let got = model.day(min, max, next);
        assert!((got - expected).abs() <= 1e-6 * expected.abs().max(1e-3), "{id} {model:?}: {got} for {expected}");
    }
}

#[test]
fn the_batch_gives_the_same_as_day_by_day() {
    for (id, model, [min, max, next], _) in quadrature_rows() {
        let mut out = Vec::new();
        model.daily_batch(&[min, next], &[max, max], &mut out);
        assert!((out[0] - model.day(min, max, next)).abs() < 1e-12, "{id}");
        assert!((out[1] - model.day(next, max, next)).abs() < 1e-12, "{id}");
    }
}
