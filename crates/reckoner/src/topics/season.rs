//! Season and weather.

use crate::ReckonError;
use crate::answer::{Output, Worked, tidy};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_quantity::{Kind, Quantity};
use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};

pub(super) const ALL: &[Calculator] = &[Calculator {
    key: "degree-days",
    topic: Topic::Season,
    about: "Degree-days of one day from its minimum and maximum.",
    inputs: &[
        required(
            "method",
            InputKind::Choice(&["average", "modified-average", "single-sine", "double-sine", "single-triangle", "double-triangle"]),
            "how the day's course is drawn from its minimum and maximum",
            "single-sine",
        ),
        required("minimum", InputKind::Quantity(Kind::Temperature), "the day's minimum", "45 degF"),
        required("maximum", InputKind::Quantity(Kind::Temperature), "the day's maximum", "95 degF"),
        optional("next-minimum", InputKind::Quantity(Kind::Temperature), "the next day's minimum, for the double methods", "58 degF"),
        required("lower", InputKind::Quantity(Kind::Temperature), "lower threshold (base); the answer is in its scale", "50 degF"),
        optional("upper", InputKind::Quantity(Kind::Temperature), "upper threshold, where there is a cutoff", "88 degF"),
        optional(
            "cutoff",
            InputKind::Choice(&["none", "horizontal", "intermediate", "vertical"]),
            "what happens above the upper threshold; none where left out, and then an upper threshold serves modified-average only",
            "horizontal",
        ),
    ],
    outputs: &[output("degree_days", "degree-days of the day, in the scale of `lower`")],
    rounding: EXACT,
    sources: &[
        "Baskerville & Emin 1969, Ecology 50:514 (single sine; memory)",
        "Allen 1976, Environ. Entomol. 5:388 (double sine; memory)",
        "Zalom et al. 1983, Univ. of California leaflet 21373 (triangles, cutoffs; memory)",
        "checked against quadrature by scipy 1.17.1",
    ],
    cautions: &[
        "The method moves the date by weeks: use a threshold only with the method, base, cutoff and start date that it was published with.",
    ],
    run: degree_days,
}];

fn degree_days(given: &Given) -> Result<Worked, ReckonError> {
    let lower = given.need("lower")?;
    let scale = lower.unit.to_string();
    let in_scale = |q: &Quantity| q.in_unit(&scale).map_err(|e| ReckonError::NoAnswer(e.to_string()));
    let (min, max) = (in_scale(given.need("minimum")?)?, in_scale(given.need("maximum")?)?);
    if min > max {
        return Err(
            given.wrong("minimum", format!("the minimum ({}) is above the maximum ({})", given.need("minimum")?, given.need("maximum")?))
        );
    }
    let method: Method = given.word("method").unwrap_or("average").parse().map_err(|e| given.wrong("method", format!("{e}")))?;
    let cutoff: Cutoff = given.word("cutoff").unwrap_or("none").parse().map_err(|e| given.wrong("cutoff", format!("{e}")))?;
    let upper = given.quantity("upper").map(in_scale).transpose()?;
    if upper.is_some() && given.word("cutoff").is_none() && !matches!(method, Method::ModifiedAverage | Method::Average) {
        return Err(given.lacks("cutoff"));
    }
    if upper.is_none() && cutoff != Cutoff::None {
        return Err(given.lacks("upper"));
    }
    let next = if method.uses_next_minimum() { in_scale(given.need("next-minimum")?)? } else { min };
    let model = DegreeDays::new(method, lower.value, upper, cutoff).map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    let found = model.day(min, max, next);
    let mut worked = Worked::default();
    let above = upper.map_or_else(String::new, |u| format!(", {cutoff} cutoff at {u} {scale}"));
    worked.line(format!(
        "{method} over a day from {min} to {max} {scale}{}",
        if method.uses_next_minimum() { format!(", next minimum {next} {scale}") } else { String::new() }
    ));
    worked.line(format!("heat above {} {scale}{above}: {found:.6} degree-days ({scale})", lower.value));
    let degrees = Quantity::bare(found);
    let quantity = Quantity { value: tidy(degrees).value, unit: lower.unit.as_difference() };
    worked.put("degree_days", Output::Quantity(quantity));
    Ok(worked)
}
