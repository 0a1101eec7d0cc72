//! Sample sizes, stop lines by precision, operating curves, occupancy, dispersion: sections 4b to 4f of the season note.
use crate::{Row, ask, check, row};
use groundlore_reckoner::{Output, reckon};

const SIZE: &str = "formula as named; computed in Python 3.13";
const CURVE: &str = "full recursion over samples and totals; computed in Python 3.13";
const NB: &str = "distribution=negative-binomial|low=5|high=10|k=1.5936|alpha=0.1|beta=0.1|max-n=20|true=";
const SPRAYS: &str = "computed with numpy from the public InsectSprays data, groups A to F";

const ROWS: &[Row] = &[
    row("ST-60", SIZE, "sample-size", "method=fixed-precision|mean=1.4|k=1.911309|precision=0.25", "n", "", 19.799_797_64, 2e-4),
    row("ST-61", SIZE, "sample-size", "method=fixed-precision|mean=0.5|k=1.0|precision=25%", "n", "", 48.0, 1e-9),
    row("ST-62", SIZE, "sample-size", "method=fixed-precision|mean=5|k=1.5936|precision=0.25", "n", "", 13.240_160_64, 1e-6),
    row("ST-64", SIZE, "sample-size", "method=taylor|mean=0.5|a=2.0|b=1.3|precision=0.25", "n", "", 51.984_153_37, 1e-6),
    row("ST-65", SIZE, "sample-size", "method=taylor|mean=5|a=2.0|b=1.3|precision=0.25", "n", "", 10.372_202_22, 1e-6),
    row("ST-66", SIZE, "sample-size", "method=taylor|mean=1|a=3.05|b=1.02|precision=0.25", "n", "", 48.8, 1e-9),
    row(
        "iwao",
        "by hand: ((0.5+1)/2 + 0.4)/0.0625",
        "sample-size",
        "method=iwao|mean=2|alpha=0.5|beta=1.4|precision=0.25",
        "n",
        "",
        18.4,
        1e-9,
    ),
    row("ST-73", SIZE, "sample-size", "method=detect|prevalence=5%|confidence=95%", "n", "", 58.403_97, 1e-4),
    row("ST-73w", SIZE, "sample-size", "method=detect|prevalence=0.01|confidence=0.95", "whole", "", 299.0, 0.0),
    row("ST-74", SIZE, "sample-size", "method=detect|mean=0.1|k=0.5|confidence=95%", "n", "", 32.862_1, 1e-4),
    row("ST-74b", SIZE, "sample-size", "method=detect|mean=0.1|k=1|confidence=95%", "n", "", 31.431_4, 1e-4),
    row("ST-76", SIZE, "sample-size", "method=detect|prevalence=5%|population=200|confidence=95%", "n", "", 51.0, 0.0),
    row("ST-76b", SIZE, "sample-size", "method=detect|prevalence=10%|population=50|confidence=95%", "n", "", 22.0, 0.0),
    row("ST-68", SIZE, "precision-line", "method=green|a=2.0|b=1.3|precision=0.25|n=5", "total", "", 70.901_54, 1e-4),
    row("ST-68b", SIZE, "precision-line", "method=green|a=2.0|b=1.3|precision=0.25|n=80", "total", "", 21.607_49, 1e-4),
    row("ST-69", SIZE, "precision-line", "method=green|a=3.05|b=1.02|precision=0.25|n=20", "total", "", 49.696_49, 1e-4),
    row("ST-71", SIZE, "precision-line", "method=kuno|alpha=0.5|beta=1.4|precision=0.25|n=20", "total", "", 35.294_12, 1e-4),
    row("ST-71b", SIZE, "precision-line", "method=kuno|alpha=0.5|beta=1.4|precision=0.25|n=80", "total", "", 26.086_96, 1e-4),
    row("ST-105", CURVE, "operating-curve", BINOMIAL_005, "p_low", "", 0.991_939, 2e-6),
    row("ST-105n", CURVE, "operating-curve", BINOMIAL_005, "mean_n", "", 12.312_982, 2e-6),
    row("ST-107", CURVE, "operating-curve", BINOMIAL_02, "p_low", "", 0.455_114, 2e-6),
    row("ST-107n", CURVE, "operating-curve", BINOMIAL_02, "mean_n", "", 19.199_709, 2e-6),
    row("ST-120", SIZE, "occupancy", "mean=0.25|a=2.0|b=1.3", "share", "", 0.195_023, 2e-6),
    row("ST-120b", SIZE, "occupancy", "mean=10|a=2.0|b=1.3", "share", "", 0.990_223, 2e-6),
    row("ST-121", SIZE, "occupancy", "mean=2|a=3.05|b=1.02", "share", "", 0.660_084, 2e-6),
    row("ST-123", SIZE, "occupancy", "mean=1|k=0.5", "share", "", 0.422_650, 2e-6),
    row("ST-124", SIZE, "occupancy", "mean=5|k=1.0", "share", "", 0.833_333, 2e-6),
    row("ST-40a", SPRAYS, "dispersion", INSECT_SPRAYS, "taylor_a", "", 1.178_543_9, 2e-5),
    row("ST-40b", SPRAYS, "dispersion", INSECT_SPRAYS, "taylor_b", "", 1.099_421_7, 2e-5),
    row("ST-40r", SPRAYS, "dispersion", INSECT_SPRAYS, "taylor_r2", "", 0.892_093_46, 2e-5),
    row("ST-40i", SPRAYS, "dispersion", INSECT_SPRAYS, "iwao_alpha", "", 0.236_544_64, 2e-5),
    row("ST-40j", SPRAYS, "dispersion", INSECT_SPRAYS, "iwao_beta", "", 1.028_544, 2e-5),
];

const BINOMIAL_005: &str = "distribution=binomial|low=0.1|high=0.3|alpha=0.1|beta=0.1|max-n=40|true=0.05";
const BINOMIAL_02: &str = "distribution=binomial|low=0.1|high=0.3|alpha=0.1|beta=0.1|max-n=40|true=0.2";
/// Means and variances of the six groups: rows ST-10 to ST-15; group D from the same public data (59/12, 6.2651515).
const INSECT_SPRAYS: &str = "means=14.5, 15.33333333, 2.08333333, 4.91666667, 3.5, 16.66666667|variances=22.27272727, 18.24242424, 3.90151515, 6.26515152, 3, 38.60606061";

#[test]
fn sampling_formulas_agree_with_the_note() {
    check(ROWS);
}

#[test]
fn the_grub_plan_s_operating_curve_is_the_exact_one() {
    for (truth, p_low, mean_n) in [("3", 0.999_640, 5.040_634), ("5", 0.941_417, 8.677_855), ("10", 0.084_556, 6.925_710)] {
        let answer = reckon(&ask("operating-curve", &format!("{NB}{truth}"))).unwrap();
        let number = |name: &str| match answer.output(name) {
            Some(Output::Number(n)) => *n,
            other => panic!("{name}: {other:?}"),
        };
        assert!((number("p_low") - p_low).abs() < 2e-6, "ST-100 to ST-103 at {truth}: {}", number("p_low"));
        assert!((number("mean_n") - mean_n).abs() < 2e-6, "ST-100 to ST-103 at {truth}: {}", number("mean_n"));
    }
}

#[test]
fn what_has_no_answer_says_so() {
    let none = reckon(&ask("precision-line", "method=kuno|alpha=0.5|beta=1.4|precision=0.25|n=5")).unwrap();
    assert_eq!(none.output("total"), Some(&Output::None), "ST-71: no total is enough for n ≤ (beta − 1)/D²");
    for (key, inputs, told) in [
        ("sample-size", "method=taylor|mean=0|a=2|b=1.3|precision=0.25", "above 0"),
        ("sample-size", "method=detect|prevalence=0|confidence=95%", "between 0 and 1"),
        ("sample-size", "method=detect|prevalence=5%|confidence=95%|population=12.5", "whole number"),
        ("sample-size", "method=fixed-precision|mean=2|precision=0.25", "`k` is missing"),
        ("occupancy", "mean=2|k=1|a=2|b=1.3", "not both"),
        ("occupancy", "mean=-1|k=1", "below 0"),
        ("dispersion", "means=1, 2, 3|variances=1, 2", "3 means and 2 variances"),
        ("dispersion", "means=2, 2|variances=1, 2", "different means"),
        ("operating-curve", "distribution=poisson|low=1|high=2|alpha=0.1|beta=0.1|max-n=0|true=1", "above 0"),
        ("operating-curve", "distribution=poisson|low=2|high=1|alpha=0.1|beta=0.1|max-n=9|true=1", "high above low"),
    ] {
        let error = reckon(&ask(key, inputs)).unwrap_err().to_string();
        assert!(error.contains(told), "{key} {inputs}: {error}");
    }
}
