//! Scouting and counts.

use crate::ReckonError;
use crate::answer::{Output, Worked};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_plant_health::counts::summary;
use groundlore_plant_health::sequential::{Distribution, Plan, stop_lines};
use groundlore_quantity::Kind;

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "count-summary",
        topic: Topic::Scouting,
        about: "Mean, variance and clumping of a list of counts.",
        inputs: &[required("counts", InputKind::Counts, "counts, one a sample, all samples of one size", "3, 0, 5, 1")],
        outputs: &[
            output("mean", "mean per sample"),
            output("variance", "variance with divisor n − 1"),
            output("k_moment", "dispersion k by moments; none where the variance is not above the mean"),
            output("k_ml", "dispersion k by maximum likelihood; none where no finite k fits best"),
            output("variance_to_mean", "1 for random scatter, above 1 for clumps"),
            output("morisita", "Morisita's index"),
            output("lloyd", "Lloyd's mean crowding"),
        ],
        rounding: EXACT,
        sources: &[
            "Bliss & Fisher 1953, Biometrics 9:176 (k)",
            "Morisita 1962; Lloyd 1967 (indices; memory)",
            "checked against R 4.2.2 MASS glm.nb",
        ],
        cautions: &["k from few samples is fragile: with a dozen counts its error can exceed its value."],
        run: count_summary,
    },
    Calculator {
        key: "stop-line",
        topic: Topic::Scouting,
        about: "Stop lines of a sequential count: below the lower line few enough, above the upper line enough to matter.",
        inputs: &[
            required(
                "distribution",
                InputKind::Choice(&["negative-binomial", "poisson", "binomial"]),
                "how counts scatter",
                "negative-binomial",
            ),
            required(
                "low",
                InputKind::Quantity(Kind::Share),
                "mean per sample (share hit, for binomial) that is surely too few to matter",
                "5",
            ),
            required("high", InputKind::Quantity(Kind::Share), "mean per sample (share hit, for binomial) that surely matters", "10"),
            optional("k", InputKind::Quantity(Kind::Bare), "dispersion, for the negative binomial", "1.5936"),
            required("alpha", InputKind::Quantity(Kind::Share), "risk of calling low high", "0.1"),
            required("beta", InputKind::Quantity(Kind::Share), "risk of calling high low", "0.1"),
        ],
        outputs: &[
            output("slope", "rise of both lines, per sample"),
            output("lower_intercept", "where the lower line starts"),
            output("upper_intercept", "where the upper line starts"),
        ],
        rounding: EXACT,
        sources: &[
            "Wald 1947; Waters 1955, Forest Sci. 1:68 (memory); checked against scipy and against the printed lines of an Ontario corn-rootworm plan",
        ],
        cautions: &["Wald's error rates are not exact: the true errors are smaller and the walk longer than the formulas say."],
        run: stop_line,
    },
];

fn count_summary(given: &Given) -> Result<Worked, ReckonError> {
    let found = summary(given.counts("counts")).map_err(|e| given.wrong("counts", e.to_string()))?;
    let mut worked = Worked::default();
    worked.line(format!("{} counts, sum {}, mean {:.6}", found.n, found.total, found.mean));
    if let Some(variance) = found.variance {
        worked.line(format!("variance (divisor n − 1) {variance:.6}"));
    }
    match found.k_moment {
        Some(k) => worked.line(format!("k by moments = mean² / (variance − mean) = {k:.6}")),
        None => worked.line("the variance is not above the mean: no finite k"),
    }
    if let Some(k) = found.k_ml {
        worked.line(format!("k by maximum likelihood: Σ[ψ(x+k) − ψ(k)] + n ln(k/(k+mean)) = 0 at {k:.6}"));
    }
    let number = |value: Option<f64>| value.map_or(Output::None, Output::Number);
    worked.put("mean", Output::Number(found.mean));
    worked.put("variance", number(found.variance));
    worked.put("k_moment", number(found.k_moment));
    worked.put("k_ml", number(found.k_ml));
    worked.put("variance_to_mean", number(found.variance_to_mean));
    worked.put("morisita", number(found.morisita));
    worked.put("lloyd", number(found.lloyd));
    Ok(worked)
}

fn stop_line(given: &Given) -> Result<Worked, ReckonError> {
    let distribution = match given.word("distribution") {
        Some("poisson") => Distribution::Poisson,
        Some("binomial") => Distribution::Binomial,
        _ => Distribution::NegativeBinomial { k: given.need_si("k")? },
    };
    let plan = Plan {
        distribution,
        low: given.need_si("low")?,
        high: given.need_si("high")?,
        alpha: given.need_si("alpha")?,
        beta: given.need_si("beta")?,
    };
    let lines = stop_lines(&plan).map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    let mut worked = Worked::default();
    worked.line(format!("few enough: total ≤ {:.4} n {:+.4}", lines.slope, lines.lower_intercept));
    worked.line(format!("enough to matter: total ≥ {:.4} n {:+.4}", lines.slope, lines.upper_intercept));
    worked.line("between the lines: take another sample");
    worked.put("slope", Output::Number(lines.slope));
    worked.put("lower_intercept", Output::Number(lines.lower_intercept));
    worked.put("upper_intercept", Output::Number(lines.upper_intercept));
    Ok(worked)
}
