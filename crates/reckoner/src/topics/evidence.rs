//! What a test, several causes or a run of years say.

use crate::ReckonError;
use crate::answer::{Output, Worked};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_plant_health::drift::{Side, running_sum, trend};
use groundlore_plant_health::network::{after_test, noisy_or};
use groundlore_quantity::Kind;

const BARE: InputKind = InputKind::Quantity(Kind::Bare);
const SHARE: InputKind = InputKind::Quantity(Kind::Share);

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "posterior",
        topic: Topic::Scouting,
        about: "Chance that a trouble is there, once a test has spoken.",
        inputs: &[
            required("prior", SHARE, "chance before the test", "0.1"),
            required("sensitivity", SHARE, "share of true cases that the test finds", "0.8"),
            required("specificity", SHARE, "share of sound samples that it calls sound", "0.95"),
            required("result", InputKind::Choice(&["positive", "negative"]), "what the test said", "positive"),
        ],
        outputs: &[
            output("probability", "chance that it is there given the result, 0–1"),
            output("likelihood_ratio", "factor on the odds; none where it has no bound"),
        ],
        rounding: EXACT,
        sources: &["Bayes' rule; checked against exact fractions (1/12, 16/25) computed in Python 3.13"],
        cautions: &["A test says nothing of a sample taken from the wrong place or at the wrong time."],
        run: posterior,
    },
    Calculator {
        key: "noisy-or",
        topic: Topic::Scouting,
        about: "Chance of a sign where several causes may each bring it on, and something unknown may too.",
        inputs: &[
            required("leak", SHARE, "chance of the sign with none of the causes", "0.05"),
            required(
                "links",
                InputKind::List(Kind::Share),
                "for each cause that is present: the chance that it alone brings the sign",
                "0.8, 0.3",
            ),
        ],
        outputs: &[output("probability", "chance of the sign, 0–1")],
        rounding: EXACT,
        sources: &["Pearl 1988; Henrion 1989 (leak; memory): 1 − (1 − leak) Π (1 − link)"],
        cautions: &[],
        run: any_of,
    },
    Calculator {
        key: "drift",
        topic: Topic::Treatment,
        about: "A slide found early: running sum of what falls short of a target by more than the slack, with its alarm.",
        inputs: &[
            required(
                "values",
                InputKind::List(Kind::Bare),
                "values in order of time, as control in percent",
                "92, 88, 91, 90, 86, 84, 87, 80, 78, 75, 72, 70",
            ),
            required("target", BARE, "value while all is well", "90"),
            required("slack", BARE, "shortfall that is let pass each time", "5"),
            required("limit", BARE, "sum above which the alarm is raised", "15"),
            optional("side", InputKind::Choice(&["lower", "upper"]), "watch for a fall (lower, where left out) or a rise (upper)", "lower"),
        ],
        outputs: &[
            output("path", "running sum after each value"),
            output("alarm_at", "place of the first value at which the sum is above the limit, from 1; none without an alarm"),
        ],
        rounding: EXACT,
        sources: &[
            "Page 1954, Biometrika 41:100 (memory); Montgomery & Runger, Applied Statistics and Probability for Engineers, Table 16-8",
        ],
        cautions: &["An alarm says that something slid, not why: stage, dose, watering-in and old material come before resistance."],
        run: drift,
    },
    Calculator {
        key: "trend",
        topic: Topic::Treatment,
        about: "Trend of values over years, by least squares and by ranks.",
        inputs: &[
            required("years", InputKind::List(Kind::Bare), "years", "2005, 2006, 2007, 2008, 2009"),
            required("values", InputKind::List(Kind::Bare), "values, one for each year, in the same order", "91, 88, 85, 86, 79"),
        ],
        outputs: &[
            output("slope", "slope of the least-squares line, a year"),
            output("p_value", "p of its two-sided t test; none with two values"),
            output("sen_slope", "median slope of all pairs of years"),
            output("kendall_tau", "Kendall's tau-b, −1 to 1; none where all values are equal"),
        ],
        rounding: EXACT,
        sources: &[
            "ordinary least squares with Student's t; Sen 1968, J. Am. Stat. Assoc. 63:1379; Kendall 1945, Biometrika 33:239 (memory)",
            "checked against statsmodels 0.15.0 and scipy 1.17.1",
        ],
        cautions: &["A p-value tells how odd the trend would be by chance, not how much it matters."],
        run: over_years,
    },
];

fn share(given: &Given, name: &str) -> Result<f64, ReckonError> {
    let value = given.need_si(name)?;
    if (0.0..=1.0).contains(&value) { Ok(value) } else { Err(given.wrong(name, format!("it is {value}; a chance lies between 0 and 1"))) }
}

fn posterior(given: &Given) -> Result<Worked, ReckonError> {
    let (prior, sensitivity, specificity) = (share(given, "prior")?, share(given, "sensitivity")?, share(given, "specificity")?);
    let positive = given.word("result") == Some("positive");
    let found = after_test(prior, sensitivity, specificity, positive)
        .ok_or_else(|| ReckonError::NoAnswer("this result cannot come about with these figures: its chance is 0".to_owned()))?;
    let (if_there, if_not) = if positive { (sensitivity, 1.0 - specificity) } else { (1.0 - sensitivity, specificity) };
    let mut worked = Worked::default();
    worked.line(format!("chance of this result: {if_there:.6} where it is there, {if_not:.6} where it is not"));
    worked.line(format!("{prior} × {if_there:.6} / ({prior} × {if_there:.6} + {:.6} × {if_not:.6}) = {found:.9}", 1.0 - prior));
    worked.put("probability", Output::Share(found));
    worked.put("likelihood_ratio", if if_not > 0.0 { Output::Number(if_there / if_not) } else { Output::None });
    Ok(worked)
}

fn any_of(given: &Given) -> Result<Worked, ReckonError> {
    let leak = share(given, "leak")?;
    let links = given.list_si("links");
    if let Some(wrong) = links.iter().find(|l| !(0.0..=1.0).contains(*l)) {
        return Err(given.wrong("links", format!("{wrong} is no chance; each lies between 0 and 1")));
    }
    let found = noisy_or(leak, &links);
    let mut worked = Worked::default();
    let product: Vec<String> = links.iter().map(|l| format!("(1 − {l})")).collect();
    worked.line(format!("1 − (1 − {leak}) × {} = {found:.9}", product.join(" × ")));
    worked.put("probability", Output::Share(found));
    Ok(worked)
}

fn drift(given: &Given) -> Result<Worked, ReckonError> {
    let (target, slack, limit) = (given.need_si("target")?, given.need_si("slack")?, given.need_si("limit")?);
    for (name, value) in [("slack", slack), ("limit", limit)] {
        if !(value >= 0.0 && value.is_finite()) {
            return Err(given.wrong(name, format!("it is {value}; it cannot be below 0")));
        }
    }
    let side = if given.word("side") == Some("upper") { Side::Upper } else { Side::Lower };
    let values = given.list_si("values");
    let found = running_sum(&values, target, slack, limit, side);
    let mut worked = Worked::default();
    worked.line(match side {
        Side::Lower => format!("sum = max(0, sum + ({target} − {slack} − value))"),
        Side::Upper => format!("sum = max(0, sum + (value − {target} − {slack}))"),
    });
    for (place, (value, sum)) in values.iter().zip(&found.path).enumerate() {
        let mark = if found.alarm_at == Some(place) { " — alarm: above the limit" } else { "" };
        worked.line(format!("{}: {value} → {}{mark}", place + 1, groundlore_quantity::number::significant(*sum, 7)));
    }
    worked.put("path", Output::List(found.path));
    worked.put("alarm_at", found.alarm_at.map_or(Output::None, |place| Output::Number((place + 1) as f64)));
    Ok(worked)
}

fn over_years(given: &Given) -> Result<Worked, ReckonError> {
    let (years, values) = (given.list_si("years"), given.list_si("values"));
    let found = trend(&years, &values).map_err(|e| given.wrong("values", e.to_string()))?;
    let mut worked = Worked::default();
    let error = found.slope_se.map_or_else(String::new, |se| format!(" ± {se:.6} (standard error)"));
    worked.line(format!("least squares over {} values: {:.6} a year{error}", values.len(), found.slope));
    if let Some(p) = found.p_value {
        worked.line(format!("two-sided t test with {} degrees of freedom: p = {p:.6}", values.len() - 2));
    }
    worked.line(format!("median of the slopes of all pairs: {:.6}", found.sen_slope));
    if let Some(tau) = found.kendall_tau {
        worked.line(format!("pairs that rise less pairs that fall, over the untied: tau = {tau:.6}"));
    }
    worked.put("slope", Output::Number(found.slope));
    worked.put("p_value", found.p_value.map_or(Output::None, Output::Number));
    worked.put("sen_slope", Output::Number(found.sen_slope));
    worked.put("kendall_tau", found.kendall_tau.map_or(Output::None, Output::Number));
    Ok(worked)
}
