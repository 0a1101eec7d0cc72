//! Machines and mowing.

use crate::ReckonError;
use crate::answer::Worked;
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_quantity::Kind;
use groundlore_work::mowing::area_rate;

pub(super) const ALL: &[Calculator] = &[Calculator {
    key: "mow-rate",
    topic: Topic::Machines,
    about: "Area mown in an hour and the time for an area.",
    inputs: &[
        required("width", InputKind::Quantity(Kind::Length), "width of the deck", "60 in"),
        optional("overlap", InputKind::Quantity(Kind::Length), "overlap of passes; 0 where left out", "3 in"),
        required("speed", InputKind::Quantity(Kind::Speed), "speed over the ground", "5 mph"),
        optional("efficiency", InputKind::Quantity(Kind::Share), "share of the time spent cutting; 1 (no loss) where left out", "80%"),
        optional("area", InputKind::Quantity(Kind::Area), "area to mow; without it there is no `time`", "5 acre"),
    ],
    outputs: &[output("area_rate", "area in an hour"), output("time", "time for the area")],
    rounding: EXACT,
    sources: &["Green Industry Pros, How to calculate hourly mower productivity: 60 in, 8.5 mph, 80 % is 4.12 acres an hour"],
    cautions: &["Clear people, pets and stones first; no hand near a blade with the engine on."],
    run: mow_rate,
}];

fn mow_rate(given: &Given) -> Result<Worked, ReckonError> {
    let overlap = given.si("overlap").unwrap_or(0.0);
    let efficiency = given.si("efficiency").unwrap_or(1.0);
    let rate = area_rate(given.need_si("width")?, overlap, given.need_si("speed")?, efficiency)
        .map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    let mut worked = Worked::default();
    let found = worked.put_si(given, "area_rate", rate, "acre/h", "ha/h")?;
    let less = given.quantity("overlap").map_or_else(String::new, |q| format!(" − {q}"));
    worked.line(format!("({}{less}) × {} × {efficiency} = {}", given.need("width")?, given.need("speed")?, found.rounded(6)));
    if let Some(area) = given.quantity("area") {
        if area.si() <= 0.0 {
            return Err(given.wrong("area", format!("`{area}` is not above 0")));
        }
        let time = worked.put_si(given, "time", area.si() / rate, "min", "min")?;
        worked.line(format!("{area} ÷ {} = {}", found.rounded(6), time.rounded(6)));
    }
    Ok(worked)
}
