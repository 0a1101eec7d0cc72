//! Single days: published worked days, and 72 days by adaptive quadrature (scipy 1.17.1).
use crate::{Row, ask, check, row};
use groundlore_reckoner::{Output, reckon};

const NUGENT: &str = "Nugent, Calculating growing degree days, Michigan State Univ.";
const ROWS: &[Row] = &[
    row("DD-P01", NUGENT, "degree-days", "method=average|minimum=40 degF|maximum=65 degF|lower=50 degF", "degree_days", "", 2.5, 1e-9),
    row("DD-P02", NUGENT, "degree-days", "method=average|minimum=35 degF|maximum=60 degF|lower=50 degF", "degree_days", "", 0.0, 1e-9),
    row(
        "DD-P03",
        "Niemczyk & Shetlar, Destructive turf insects, 2nd ed.",
        "degree-days",
        "method=average|minimum=40 degF|maximum=70 degF|lower=50 degF",
        "degree_days",
        "",
        5.0,
        1e-9,
    ),
    row(
        "DD-P05",
        "Democrat and Chronicle 30 May 2013",
        "degree-days",
        "method=average|minimum=61 degF|maximum=82 degF|lower=50 degF",
        "degree_days",
        "",
        21.5,
        1e-9,
    ),
    row(
        "DD-P06",
        "Goatley et al. 2007",
        "degree-days",
        "method=average|minimum=27 degF|maximum=75 degF|lower=50 degF",
        "degree_days",
        "",
        1.0,
        1e-9,
    ),
    row(
        "DD-P11",
        "TrenchR test 19",
        "degree-days",
        "method=single-sine|minimum=7 degC|maximum=14 degC|lower=12 degC|upper=33 degC|cutoff=none",
        "degree_days",
        "",
        0.47,
        0.01,
    ),
    row(
        "DD-P13",
        "TrenchR test 19",
        "degree-days",
        "method=single-sine|minimum=13 degC|maximum=40 degC|lower=12 degC|upper=33 degC|cutoff=horizontal",
        "degree_days",
        "",
        12.94,
        0.01,
    ),
    row(
        "DD-P15",
        "TrenchR test 19",
        "degree-days",
        "method=double-sine|minimum=7 degC|maximum=20 degC|next-minimum=7 degC|lower=12 degC",
        "degree_days",
        "",
        2.87,
        0.01,
    ),
    row(
        "DD-P16",
        "TrenchR test 19",
        "degree-days",
        "method=single-triangle|minimum=7 degC|maximum=14 degC|lower=12 degC",
        "degree_days",
        "",
        0.29,
        0.01,
    ),
    row(
        "DD-P17",
        "TrenchR test 19 (double form)",
        "degree-days",
        "method=double-sine|minimum=35 degC|maximum=40 degC|next-minimum=35 degC|lower=12 degC|upper=33 degC|cutoff=horizontal",
        "degree_days",
        "",
        21.0,
        0.01,
    ),
    row(
        "scale",
        "identity: °C in, base in °F",
        "degree-days",
        "method=average|minimum=0 degC|maximum=30 degC|lower=50 degF",
        "degree_days",
        "",
        9.0,
        1e-9,
    ),
];

#[test]
fn worked_days_come_out_as_published() {
    check(ROWS);
}

#[test]
fn seventy_two_days_agree_with_quadrature() {
    let text = include_str!("../data/degree_day_cases.csv");
    let mut checked = 0;
    for line in text.lines().skip(1) {
        let f: Vec<&str> = line.split(',').collect();
        let unit = format!("deg{}", f[2]);
        let mut inputs = format!(
            "method={}|minimum={} {unit}|maximum={} {unit}|lower={} {unit}|cutoff={}",
            f[1].replace('_', "-"),
            f[3],
            f[4],
            f[6],
            f[8]
        );
        if !f[5].is_empty() {
            inputs += &format!("|next-minimum={} {unit}", f[5]);
        }
        if !f[7].is_empty() {
            inputs += &format!("|upper={} {unit}", f[7]);
        }
        let answer = reckon(&ask("degree-days", &inputs)).unwrap_or_else(|e| panic!("{}: {e}", f[0]));
        let Some(Output::Quantity(found)) = answer.output("degree_days") else { panic!("{}: no output", f[0]) };
        let expected: f64 = f[9].parse().unwrap();
        assert!((found.value - expected).abs() <= 1e-6 * expected.abs().max(1.0), "{}: {} for {expected}", f[0], found.value);
        checked += 1;
    }
    assert_eq!(checked, 72);
}
