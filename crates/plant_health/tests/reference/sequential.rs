//! Rows ST-80 to ST-110: stop lines and exact operating points. Lines by the formulas of Waters 1955 and Wald (memory), values computed
//! independently in Python; ST-91 printed in an abstract on adult corn rootworms in Ontario (scilit.net).

use crate::close;
use groundlore_plant_health::sequential::{Distribution, Plan, operating_point, stop_lines, wald_approximation};

const CHAFER: Plan = Plan { distribution: Distribution::NegativeBinomial { k: 1.5936 }, low: 5.0, high: 10.0, alpha: 0.1, beta: 0.1 };
const HITS: Plan = Plan { distribution: Distribution::Binomial, low: 0.1, high: 0.3, alpha: 0.1, beta: 0.1 };

#[test]
fn stop_lines_match_the_rows() {
    let clumped = |k| Distribution::NegativeBinomial { k };
    let rows = [
        ("ST-80", CHAFER, 6.982918673, -17.06006587, 17.06006587),
        ("ST-81", Plan { low: 3.0, high: 6.0, ..CHAFER }, 4.204656688, -11.53365891, 11.53365891),
        ("ST-82", Plan { distribution: clumped(0.8), low: 1.0, high: 2.0, alpha: 0.1, beta: 0.05 }, 1.406469992, -11.50101798, 8.958068241),
        ("ST-85", Plan { distribution: Distribution::Poisson, low: 1.0, high: 2.0, ..CHAFER }, 1.442695041, -3.169925001, 3.169925001),
        ("ST-86", Plan { distribution: Distribution::Poisson, ..CHAFER }, 7.213475204, -3.169925001, 3.169925001),
        ("ST-88", HITS, 0.1861689417, -1.627662117, 1.627662117),
        ("ST-89", Plan { low: 0.2, high: 0.4, alpha: 0.05, ..HITS }, 0.2933049474, -2.295294305, 2.946865368),
    ];
    for (id, plan, slope, lower, upper) in rows {
        let lines = stop_lines(&plan).unwrap();
        close(id, lines.slope, slope, slope * 1e-6);
        close(id, lines.lower_intercept, lower, lower.abs() * 1e-6);
        close(id, lines.upper_intercept, upper, upper * 1e-6);
    }
}

#[test]
fn printed_rootworm_lines_agree_with_each_other() {
    // ST-91: D1 = 0.98 n − 17.75, D2 = 0.98 n + 13.82; alpha 0.10 and beta 0.05 give that ratio of intercepts.
    let plan = Plan { distribution: Distribution::NegativeBinomial { k: 1.0 }, low: 0.9, high: 1.1, alpha: 0.10, beta: 0.05 };
    let lines = stop_lines(&plan).unwrap();
    close("ST-91", -lines.lower_intercept / lines.upper_intercept * 13.825, 17.75, 0.005);
}

#[test]
fn operating_points_match_the_exact_recursion() {
    let rows = [
        ("ST-100", CHAFER, 3.0, 20, 0.999640, 5.040634),
        ("ST-101", CHAFER, 5.0, 20, 0.941417, 8.677855),
        ("ST-103", CHAFER, 10.0, 20, 0.084556, 6.925710),
        ("ST-105", HITS, 0.05, 40, 0.991939, 12.312982),
        ("ST-106", HITS, 0.1, 40, 0.923562, 16.491475),
        ("ST-107", HITS, 0.2, 40, 0.455114, 19.199709),
        ("ST-108", HITS, 0.3, 40, 0.100900, 13.588810),
        ("ST-110", CHAFER, 5.0, 200, 0.948732, 8.931742),
    ];
    for (id, plan, value, most, p_low, samples) in rows {
        let point = operating_point(&plan, value, most).unwrap();
        close(id, point.p_low, p_low, 2e-6);
        close(id, point.expected_samples, samples, 2e-6);
    }
}

#[test]
fn walds_own_approximation_promises_too_much() {
    for (id, value, p_low, samples) in
        [("ST-100", 3.0, 0.997335, 4.260475), ("ST-101", 5.0, 0.9, 6.882810), ("ST-103", 10.0, 0.1, 4.523595)]
    {
        let point = wald_approximation(&CHAFER, value).unwrap();
        close(id, point.p_low, p_low, 2e-6);
        close(id, point.expected_samples, samples, 2e-6);
        assert!(point.expected_samples < operating_point(&CHAFER, value, 20).unwrap().expected_samples, "{id}");
    }
}
