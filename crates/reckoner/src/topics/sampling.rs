//! Designing a count: how many samples, when to stop, how clumped.

use crate::ReckonError;
use crate::answer::{Output, Worked};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_plant_health::counts::{occupancy, samples_for_precision, samples_to_find_one};
use groundlore_plant_health::dispersion::{fit, share_occupied};
use groundlore_plant_health::sample_size::{by_iwao, by_taylor, green_line, kuno_line, to_find_one_of};
use groundlore_plant_health::sequential::{Distribution, Plan, operating_point, wald_approximation};
use groundlore_quantity::Kind;

const BARE: InputKind = InputKind::Quantity(Kind::Bare);
const SHARE: InputKind = InputKind::Quantity(Kind::Share);
const TRIAL: &str = "values computed in Python 3.13 with scipy 1.17.1";

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "sample-size",
        topic: Topic::Scouting,
        about: "How many samples: so that the mean is known to a precision, or so that one is found if any are there.",
        inputs: &[
            required(
                "method",
                InputKind::Choice(&["fixed-precision", "taylor", "iwao", "detect"]),
                "what the number is for",
                "fixed-precision",
            ),
            optional("mean", BARE, "mean per sample that is expected", "1.4"),
            optional("k", BARE, "dispersion of the negative binomial (fixed-precision; detect by mean)", "1.9113"),
            optional("precision", SHARE, "standard error wanted, as a share of the mean", "0.25"),
            optional("a", BARE, "Taylor's a (taylor)", "2.0"),
            optional("b", BARE, "Taylor's b (taylor)", "1.3"),
            optional("alpha", BARE, "Iwao's alpha (iwao)", "0.5"),
            optional("beta", BARE, "Iwao's beta (iwao)", "1.4"),
            optional("prevalence", SHARE, "share of samples that hold one, if any are there (detect)", "5%"),
            optional("confidence", SHARE, "how sure to find one (detect)", "95%"),
            optional("population", BARE, "how many there are in all, where samples are not put back (detect)", "200"),
        ],
        outputs: &[
            output("n", "samples, not rounded up (whole where the population is given)"),
            output("whole", "samples to take: rounded up"),
        ],
        rounding: "`n` is not rounded; `whole` is rounded up.",
        sources: &[
            "n = (1/m + 1/k)/D² (negative binomial); Green 1970, Res. Popul. Ecol. 12:249 (a m^(b−2)/D²; memory)",
            "Iwao & Kuno 1968 (((alpha+1)/m + beta − 1)/D²; memory)",
            "ln(1 − sure)/ln(1 − prevalence); hypergeometric where the population is finite",
            TRIAL,
        ],
        cautions: &["The mean and the dispersion are guesses before the count: a sequential plan asks for less of them."],
        run: sample_size,
    },
    Calculator {
        key: "precision-line",
        topic: Topic::Scouting,
        about: "Running total at which a count is precise enough to stop.",
        inputs: &[
            required("method", InputKind::Choice(&["green", "kuno"]), "green: Taylor's power law; kuno: Iwao's line", "green"),
            optional("a", BARE, "Taylor's a (green)", "2.0"),
            optional("b", BARE, "Taylor's b (green)", "1.3"),
            optional("alpha", BARE, "Iwao's alpha (kuno)", "0.5"),
            optional("beta", BARE, "Iwao's beta (kuno)", "1.4"),
            required("precision", SHARE, "standard error wanted, as a share of the mean", "0.25"),
            required("n", BARE, "samples taken so far", "10"),
        ],
        outputs: &[output("total", "stop when the running total is at or over this; none where no total is enough yet")],
        rounding: EXACT,
        sources: &["Green 1970, Res. Popul. Ecol. 12:249; Kuno 1969, Res. Popul. Ecol. 11:127 (memory)", TRIAL],
        cautions: &["The line says when the mean is known well, not whether it matters: for that see `stop-line`."],
        run: precision_line,
    },
    Calculator {
        key: "operating-curve",
        topic: Topic::Scouting,
        about: "What a sequential plan really does at a true mean: how often it says few enough, and after how many samples.",
        inputs: &[
            required(
                "distribution",
                InputKind::Choice(&["negative-binomial", "poisson", "binomial"]),
                "how counts scatter",
                "negative-binomial",
            ),
            required("low", SHARE, "mean per sample (share hit, for binomial) that is surely too few to matter", "5"),
            required("high", SHARE, "mean per sample (share hit, for binomial) that surely matters", "10"),
            optional("k", BARE, "dispersion, for the negative binomial", "1.5936"),
            required("alpha", SHARE, "risk of calling low high", "0.1"),
            required("beta", SHARE, "risk of calling high low", "0.1"),
            required("max-n", BARE, "most samples that will be taken; there the total against slope × n decides", "20"),
            required("true", SHARE, "true mean per sample (share hit, for binomial)", "5"),
        ],
        outputs: &[
            output("p_low", "chance that the plan says few enough"),
            output("mean_n", "samples it takes, on average"),
            output("p_cut_short", "chance that the most samples are taken without meeting a line"),
            output("wald_p_low", "Wald's approximation of p_low, without a most, for comparison"),
            output("wald_mean_n", "Wald's approximation of mean_n, without a most"),
        ],
        rounding: EXACT,
        sources: &["Exact recursion over samples and totals; Wald 1947 (approximation; memory)", TRIAL],
        cautions: &["It holds only where the counts scatter as said: a wrong k moves the curve."],
        run: operating_curve,
    },
    Calculator {
        key: "occupancy",
        topic: Topic::Scouting,
        about: "Share of samples that hold at least one, from the mean.",
        inputs: &[
            required("mean", BARE, "mean per sample", "1"),
            optional("k", BARE, "dispersion of the negative binomial", "0.5"),
            optional("a", BARE, "Taylor's a, with b, in place of k", "2.0"),
            optional("b", BARE, "Taylor's b", "1.3"),
        ],
        outputs: &[output("share", "share of samples that hold at least one, 0–1")],
        rounding: EXACT,
        sources: &["1 − (1 + m/k)^−k; Wilson & Room 1983, Environ. Entomol. 12:50 (Taylor's law; memory)", TRIAL],
        cautions: &["Looking only for presence saves time at low densities; near a full house it tells nothing of how many."],
        run: share_holding,
    },
    Calculator {
        key: "dispersion",
        topic: Topic::Scouting,
        about: "How counts clump from place to place: Taylor's power law and Iwao's line fitted to means and variances.",
        inputs: &[
            required("means", InputKind::List(Kind::Bare), "mean of each place or date", "14.5, 15.333, 2.0833, 4.9167, 3.5, 16.667"),
            required(
                "variances",
                InputKind::List(Kind::Bare),
                "variance of each, in the same order",
                "22.27, 18.24, 3.90, 6.27, 3.0, 38.61",
            ),
        ],
        outputs: &[
            output("taylor_a", "variance at a mean of 1"),
            output("taylor_b", "1 for random scatter, above 1 for clumps"),
            output("taylor_r2", "share of the scatter of log variance explained"),
            output("iwao_alpha", "crowding where the mean is nought"),
            output("iwao_beta", "rise of crowding with the mean"),
            output("iwao_r2", "share of the scatter of crowding explained"),
        ],
        rounding: EXACT,
        sources: &["Taylor 1961, Nature 189:732; Iwao 1968, Res. Popul. Ecol. 10:1 (memory); ordinary least squares", TRIAL],
        cautions: &["A line through fewer than five places says little."],
        run: laws,
    },
];

fn positive(given: &Given, name: &str) -> Result<f64, ReckonError> {
    let value = given.need_si(name)?;
    if value > 0.0 && value.is_finite() { Ok(value) } else { Err(given.wrong(name, format!("it is {value}; it must be above 0"))) }
}

fn whole_number(given: &Given, name: &str) -> Result<u32, ReckonError> {
    let value = positive(given, name)?;
    if value.fract() == 0.0 && value <= 1e6 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        return Ok(value as u32);
    }
    Err(given.wrong(name, format!("it is {value}; it must be a whole number from 1 to 1,000,000")))
}

fn sample_size(given: &Given) -> Result<Worked, ReckonError> {
    let mut worked = Worked::default();
    let none = || ReckonError::NoAnswer("these figures have no sample size: the variance they give is not above 0".to_owned());
    let n = match given.word("method") {
        Some("taylor") => {
            let (mean, a, b, d) = (positive(given, "mean")?, positive(given, "a")?, given.need_si("b")?, positive(given, "precision")?);
            worked.line(format!("n = a × mean^(b − 2) / D² = {a} × {mean}^{:.4} / {d}²", b - 2.0));
            by_taylor(mean, a, b, d).ok_or_else(none)?
        }
        Some("iwao") => {
            let (mean, d) = (positive(given, "mean")?, positive(given, "precision")?);
            let (alpha, beta) = (given.need_si("alpha")?, given.need_si("beta")?);
            worked.line(format!("n = ((alpha + 1)/mean + beta − 1) / D² = (({alpha} + 1)/{mean} + {beta} − 1) / {d}²"));
            by_iwao(mean, alpha, beta, d).ok_or_else(none)?
        }
        Some("detect") => detect(given, &mut worked)?,
        _ => {
            let (mean, k, d) = (positive(given, "mean")?, positive(given, "k")?, positive(given, "precision")?);
            worked.line(format!("n = (1/mean + 1/k) / D² = (1/{mean} + 1/{k}) / {d}²"));
            samples_for_precision(mean, k, d).ok_or_else(none)?
        }
    };
    let whole = groundlore_work::whole(n);
    worked.line(format!("{n:.6} samples: take {whole}"));
    worked.put("n", Output::Number(n));
    worked.put("whole", Output::Number(whole));
    Ok(worked)
}

fn detect(given: &Given, worked: &mut Worked) -> Result<f64, ReckonError> {
    let inside = |name: &str, value: f64| {
        if value > 0.0 && value < 1.0 { Ok(value) } else { Err(given.wrong(name, format!("it is {value}; it must lie between 0 and 1"))) }
    };
    let sure = inside("confidence", given.need_si("confidence")?)?;
    let prevalence = match (given.si("prevalence"), given.si("mean"), given.si("k")) {
        (None, Some(_), Some(_)) => {
            let (mean, k) = (positive(given, "mean")?, positive(given, "k")?);
            let share = occupancy(mean, k);
            worked.line(format!("share of samples that hold one = 1 − (1 + {mean}/{k})^−{k} = {share:.6}"));
            share
        }
        _ => inside("prevalence", given.need_si("prevalence")?)?,
    };
    if given.quantity("population").is_none() {
        worked.line(format!("n = ln(1 − {sure}) / ln(1 − {prevalence:.6})"));
        return samples_to_find_one(prevalence, sure)
            .ok_or_else(|| given.wrong("prevalence", format!("it is {prevalence}; it must lie between 0 and 1")));
    }
    let population = whole_number(given, "population")?;
    let holding = (prevalence * f64::from(population)).round().max(1.0);
    worked.line(format!("{holding} of {population} hold one; smallest n with a chance of missing all of {:.4} or less", 1.0 - sure));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let n = to_find_one_of(u64::from(population), holding as u64, sure);
    n.map(|n| n as f64).ok_or_else(|| given.wrong("prevalence", "nothing is there to be found"))
}

fn precision_line(given: &Given) -> Result<Worked, ReckonError> {
    let mut worked = Worked::default();
    let (n, d) = (positive(given, "n")?, positive(given, "precision")?);
    let total = if given.word("method") == Some("kuno") {
        let (alpha, beta) = (given.need_si("alpha")?, given.need_si("beta")?);
        worked.line(format!("total = (alpha + 1) / (D² − (beta − 1)/n) = ({alpha} + 1) / ({d}² − ({beta} − 1)/{n})"));
        kuno_line(n, alpha, beta, d)
    } else {
        let (a, b) = (positive(given, "a")?, given.need_si("b")?);
        worked.line(format!("total = (D²/a)^(1/(b − 2)) × n^((b − 1)/(b − 2)) with a = {a}, b = {b}, D = {d}, n = {n}"));
        green_line(n, a, b, d)
    };
    match total {
        Some(total) => worked.line(format!("stop when the running total is {total:.4} or more")),
        None => worked.line("no total is enough at this number of samples: count on"),
    }
    worked.put("total", total.map_or(Output::None, Output::Number));
    Ok(worked)
}

fn operating_curve(given: &Given) -> Result<Worked, ReckonError> {
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
    let (most, truth) = (whole_number(given, "max-n")?, given.need_si("true")?);
    if most > 5000 {
        return Err(given.wrong("max-n", format!("it is {most}; nobody takes so many: at most 5000")));
    }
    let refuse = |e: groundlore_plant_health::sequential::SequentialError| ReckonError::NoAnswer(e.to_string());
    let exact = operating_point(&plan, truth, most).map_err(refuse)?;
    let wald = wald_approximation(&plan, truth).map_err(refuse)?;
    let mut worked = Worked::default();
    worked.line(format!("every path of running totals from 1 to {most} samples, its chance at a true value of {truth}"));
    worked.line(format!("few enough in {:.6} of counts, after {:.6} samples on average", exact.p_low, exact.expected_samples));
    worked.line(format!("{:.6} of counts reach {most} samples between the lines", exact.p_cut_short));
    worked.line(format!("Wald's approximation would promise {:.6} and {:.6}", wald.p_low, wald.expected_samples));
    worked.put("p_low", Output::Number(exact.p_low));
    worked.put("mean_n", Output::Number(exact.expected_samples));
    worked.put("p_cut_short", Output::Number(exact.p_cut_short));
    worked.put("wald_p_low", Output::Number(wald.p_low));
    worked.put("wald_mean_n", Output::Number(wald.expected_samples));
    Ok(worked)
}

fn share_holding(given: &Given) -> Result<Worked, ReckonError> {
    let mean = given.need_si("mean")?;
    if !(mean >= 0.0 && mean.is_finite()) {
        return Err(given.wrong("mean", format!("it is {mean}; it cannot be below 0")));
    }
    let mut worked = Worked::default();
    let by_law = given.quantity("a").is_some() || given.quantity("b").is_some();
    let share = if mean == 0.0 {
        worked.line("none a sample: none hold any");
        0.0
    } else if by_law && given.quantity("k").is_none() {
        let (a, b) = (positive(given, "a")?, given.need_si("b")?);
        worked.line(format!("variance over mean r = {a} × {mean}^({b} − 1); share = 1 − exp(−mean × ln r/(r − 1))"));
        share_occupied(mean, a, b).ok_or_else(|| given.wrong("a", "it must be above 0"))?
    } else if by_law {
        return Err(given.wrong("k", "give k, or a and b, not both"));
    } else {
        let k = positive(given, "k")?;
        worked.line(format!("share = 1 − (1 + {mean}/{k})^−{k}"));
        occupancy(mean, k)
    };
    worked.line(format!("{share:.6} of samples hold at least one"));
    worked.put("share", Output::Share(share));
    Ok(worked)
}

fn laws(given: &Given) -> Result<Worked, ReckonError> {
    let (means, variances) = (given.list_si("means"), given.list_si("variances"));
    let found = fit(&means, &variances).map_err(|e| given.wrong("variances", e.to_string()))?;
    let mut worked = Worked::default();
    worked.line(format!(
        "log10 variance on log10 mean: variance = {:.6} × mean^{:.6} (r² {:.4})",
        found.taylor_a, found.taylor_b, found.taylor_r2
    ));
    worked.line(format!(
        "mean crowding (m + s²/m − 1) on mean: {:.6} + {:.6} × mean (r² {:.4})",
        found.iwao_alpha, found.iwao_beta, found.iwao_r2
    ));
    worked.put("taylor_a", Output::Number(found.taylor_a));
    worked.put("taylor_b", Output::Number(found.taylor_b));
    worked.put("taylor_r2", Output::Number(found.taylor_r2));
    worked.put("iwao_alpha", Output::Number(found.iwao_alpha));
    worked.put("iwao_beta", Output::Number(found.iwao_beta));
    worked.put("iwao_r2", Output::Number(found.iwao_r2));
    Ok(worked)
}
