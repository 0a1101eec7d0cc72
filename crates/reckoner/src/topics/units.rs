//! Units.

use crate::ReckonError;
use crate::answer::{Output, Worked, tidy};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, output, required};
use crate::given::Given;
use groundlore_quantity::{Kind, Unit};

pub(super) const ALL: &[Calculator] = &[Calculator {
    key: "convert",
    topic: Topic::Units,
    about: "A quantity in another unit of the same kind.",
    inputs: &[
        required("value", InputKind::Quantity(Kind::Any), "quantity", "40 gal/acre"),
        required("to", InputKind::Text("a unit of the same kind"), "unit wanted", "gal/1000ft2"),
    ],
    outputs: &[output("value", "the quantity in that unit")],
    rounding: EXACT,
    sources: &["NIST Handbook 44, Appendix C (international foot, avoirdupois pound, US gallon of 231 in3; memory)"],
    cautions: &[],
    run: convert,
}];

fn convert(given: &Given) -> Result<Worked, ReckonError> {
    let value = given.need("value")?;
    let to = given.word("to").unwrap_or_default();
    let target = Unit::parse(to).map_err(|e| given.wrong("to", e.to_string()))?;
    let found = value.to(to).map(tidy).map_err(|e| given.wrong("to", e.to_string()))?;
    let mut worked = Worked::default();
    worked.line(format!("{value} = {}", found.rounded(9)));
    worked.put("value", if target.is_none() { Output::Number(found.value) } else { Output::Quantity(found) });
    Ok(worked)
}
