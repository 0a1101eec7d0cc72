//! Counts and stop lines: section 4 of the season note.
use crate::{Row, check, row};

const NB: &str = "Waters 1955 as remembered; computed with scipy 1.17.1";
const ROWS: &[Row] = &[
    row(
        "ST-80",
        NB,
        "stop-line",
        "distribution=negative-binomial|low=5|high=10|k=1.5936|alpha=0.1|beta=0.1",
        "slope",
        "",
        6.982_918_673,
        1e-8,
    ),
    row(
        "ST-80l",
        NB,
        "stop-line",
        "distribution=negative-binomial|low=5|high=10|k=1.5936|alpha=0.1|beta=0.1",
        "lower_intercept",
        "",
        -17.060_065_87,
        1e-7,
    ),
    row(
        "ST-80u",
        NB,
        "stop-line",
        "distribution=negative-binomial|low=5|high=10|k=1.5936|alpha=10%|beta=10%",
        "upper_intercept",
        "",
        17.060_065_87,
        1e-7,
    ),
    row(
        "ST-82",
        NB,
        "stop-line",
        "distribution=negative-binomial|low=1|high=2|k=0.8|alpha=0.1|beta=0.05",
        "lower_intercept",
        "",
        -11.501_017_98,
        1e-7,
    ),
    row(
        "ST-82u",
        NB,
        "stop-line",
        "distribution=negative-binomial|low=1|high=2|k=0.8|alpha=0.1|beta=0.05",
        "upper_intercept",
        "",
        8.958_068_241,
        1e-8,
    ),
    row("ST-85", "Wald, Poisson", "stop-line", "distribution=poisson|low=1|high=2|alpha=0.1|beta=0.1", "slope", "", 1.442_695_041, 1e-8),
    row(
        "ST-86",
        "Wald, Poisson",
        "stop-line",
        "distribution=poisson|low=5|high=10|alpha=0.1|beta=0.1",
        "upper_intercept",
        "",
        3.169_925_001,
        1e-8,
    ),
    row(
        "ST-88",
        "Wald, binomial",
        "stop-line",
        "distribution=binomial|low=0.1|high=0.3|alpha=0.1|beta=0.1",
        "slope",
        "",
        0.186_168_941_7,
        1e-9,
    ),
    row(
        "ST-89",
        "Wald, binomial",
        "stop-line",
        "distribution=binomial|low=20%|high=40%|alpha=0.05|beta=0.1",
        "upper_intercept",
        "",
        2.946_865_368,
        1e-8,
    ),
    row("ST-10", "InsectSprays A (Beall 1942), R 4.2.2", "count-summary", SPRAY_A, "mean", "", 14.5, 1e-9),
    row("ST-10v", "same", "count-summary", SPRAY_A, "variance", "", 22.272_727_3, 1e-6),
    row("ST-10m", "same", "count-summary", SPRAY_A, "k_moment", "", 27.049_708, 1e-5),
    row("ST-10k", "same, MASS glm.nb", "count-summary", SPRAY_A, "k_ml", "", 35.242_551, 4e-4),
    row("ST-10r", "same", "count-summary", SPRAY_A, "variance_to_mean", "", 1.536_050_2, 1e-6),
    row("ST-10i", "same", "count-summary", SPRAY_A, "morisita", "", 1.034_084_1, 1e-6),
    row("ST-10l", "same", "count-summary", SPRAY_A, "lloyd", "", 15.036_05, 1e-5),
];
const SPRAY_A: &str = "counts=10 7 20 14 14 12 10 23 17 20 14 13";

#[test]
fn stop_lines_and_summaries_agree_with_the_references() {
    check(ROWS);
}

#[test]
fn a_variance_below_the_mean_has_no_k() {
    // InsectSprays E: variance 3, mean 3.5 (ST-14).
    let answer = groundlore_reckoner::reckon(&crate::ask("count-summary", "counts=3 5 3 5 3 6 1 1 3 2 6 4")).unwrap();
    assert_eq!(answer.output("k_moment"), Some(&groundlore_reckoner::Output::None));
    assert_eq!(answer.json()["outputs"]["k_ml"]["value"], serde_json::Value::Null);
}
