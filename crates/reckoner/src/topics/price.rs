//! Price.

use crate::ReckonError;
use crate::answer::{Output, Worked, tidy};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_quantity::{Kind, Quantity};
use groundlore_work::price::{Profit, price};

pub(super) const ALL: &[Calculator] = &[Calculator {
    key: "markup",
    topic: Topic::Price,
    about: "Price from cost by markup (on cost) or by margin (on price); the two are never the same.",
    inputs: &[
        required("cost", InputKind::Quantity(Kind::Money), "cost, overhead included", "$8755"),
        optional("markup", InputKind::Quantity(Kind::Share), "profit over cost; give this or `margin`", "25%"),
        optional("margin", InputKind::Quantity(Kind::Share), "profit over price; give this or `markup`", "20%"),
    ],
    outputs: &[output("price", "price"), output("margin", "profit over price"), output("markup", "profit over cost")],
    rounding: EXACT,
    sources: &["Engineering ToolBox, Markup and gross profit: cost 200,000 at 25 % markup is 250,000, margin 20 %"],
    cautions: &[],
    run: markup,
}];

fn markup(given: &Given) -> Result<Worked, ReckonError> {
    let cost = given.need("cost")?;
    let profit = match (given.si("markup"), given.si("margin")) {
        (Some(_), Some(_)) => return Err(given.wrong("markup", "give `markup` or `margin`, not both")),
        (Some(markup), None) => Profit::Markup(markup),
        (None, Some(margin)) => Profit::Margin(margin),
        (None, None) => return Err(given.lacks("markup")),
    };
    let found = price(cost.value, profit).map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    let amount = tidy(Quantity { value: found.price, unit: cost.unit.clone() });
    let mut worked = Worked::default();
    match profit {
        Profit::Markup(m) => worked.line(format!("{cost} × (1 + {m}) = {}", amount.rounded(9))),
        Profit::Margin(m) => worked.line(format!("{cost} ÷ (1 − {m}) = {}", amount.rounded(9))),
    }
    worked.line(format!("margin {:.4} of the price, markup {:.4} of the cost", found.margin, found.markup));
    worked.put("price", Output::Quantity(amount));
    worked.put("margin", Output::Share(found.margin));
    worked.put("markup", Output::Share(found.markup));
    Ok(worked)
}
