//! Planting.

use crate::ReckonError;
use crate::answer::{Output, Worked};
use crate::calculator::{Calculator, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_planting::spacing::{Pattern, density_per_m2};
use groundlore_quantity::Kind;
use groundlore_work::whole;

pub(super) const ALL: &[Calculator] = &[Calculator {
    key: "spacing",
    topic: Topic::Planting,
    about: "Plants for an area at a spacing.",
    inputs: &[
        optional("area", InputKind::Quantity(Kind::Area), "area to plant; without it there is no `plants`", "120 ft2"),
        required("spacing", InputKind::Quantity(Kind::Length), "distance between plants", "12 in"),
        optional("pattern", InputKind::Choice(&["square", "triangular"]), "grid; square where left out", "triangular"),
    ],
    outputs: &[output("plants", "whole plants to buy"), output("per_100ft2", "plants on 100 ft2")],
    rounding: "Plants are rounded up to whole ones; the density is exact.",
    sources: &["geometry: 1/s² square, 2/(√3 s²) triangular"],
    cautions: &["The area formula overstates small beds by 7–20 %: a real grid loses plants at the edge."],
    run: spacing,
}];

fn spacing(given: &Given) -> Result<Worked, ReckonError> {
    let pattern = if given.word("pattern") == Some("triangular") { Pattern::Triangular } else { Pattern::Square };
    let spacing = given.need("spacing")?;
    let density = density_per_m2(spacing.si(), pattern).map_err(|e| given.wrong("spacing", e.to_string()))?;
    let per_100ft2 = density * 9.290_304;
    let mut worked = Worked::default();
    let factor = if pattern == Pattern::Square { "1 / s²" } else { "2 / (√3 s²)" };
    worked.line(format!("{factor} at s = {spacing}: {per_100ft2:.4} plants on 100 ft2"));
    if let Some(area) = given.quantity("area") {
        if area.si() <= 0.0 {
            return Err(given.wrong("area", format!("`{area}` is not above 0")));
        }
        let exact = density * area.si();
        let plants = whole(exact);
        worked.line(format!("on {area}: {exact:.4}, so {plants} plants"));
        worked.put("plants", Output::Number(plants));
    }
    worked.put("per_100ft2", Output::Number(crate::answer::tidy(groundlore_quantity::Quantity::bare(per_100ft2)).value));
    Ok(worked)
}
