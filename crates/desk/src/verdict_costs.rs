//! The costs behind a verdict as blocks of its sheet: the figure, the regret table, what would change it, and the map of the estimate.

use crate::scouting::YardVerdict;
use crate::strata::{parts, seed_of};
use crate::{Desk, DeskError};
use groundlore_figure::cost_curve::{self, CostCurve, CostDot};
use groundlore_figure::density_chart::ThresholdBand;
use groundlore_figure::estimate_map::{self, EstimateArea, EstimateMap, GREYS};
use groundlore_plant_health::decision::{CostPoint, CourseKind, OddsWrong, RegretTable, Verdict};
use groundlore_plant_health::density::DensityEstimate;
use groundlore_sheet::Block;
use groundlore_site::measure::LocalFrame;
use groundlore_site::yard::{Shape, Yard};

pub(crate) const FT2: f64 = 0.092_903_04;

/// Costs along density, regret, what further counts are worth, and what would change the verdict.
pub(crate) fn cost_blocks(found: &YardVerdict, money: &str) -> Vec<Block> {
    let verdict = &found.verdict;
    let mut blocks = Vec::new();
    blocks.extend(cost_figure(found, money));
    blocks.extend(verdict.regret.as_ref().map(|table| regret(table, money)));
    if verdict.regret.is_some() {
        blocks.push(Block::paragraph(found.when.words()));
    }
    blocks.extend(further(verdict, money));
    if !verdict.changes.is_empty() {
        blocks.push(Block::heading("What would change it"));
        let (flips, stays): (Vec<_>, Vec<_>) = verdict.changes.iter().partition(|c| c.flips);
        if flips.is_empty() {
            blocks.push(Block::paragraph("No one figure, moved alone within its range, makes the other course cheaper."));
        } else {
            blocks.push(Block::list(flips.iter().map(|c| format!("{}.", c.words)).collect()));
        }
        let lines = stays.iter().map(|c| format!("{}.", c.words)).collect();
        blocks.push(Block::Working { title: "Moved alone, these change nothing".to_owned(), lines });
    }
    blocks
}

/// The odds of being wrong by where the doubt lies.
pub(crate) fn odds_words(odds: &OddsWrong) -> String {
    let in_100 = crate::scouting_sheets::in_100;
    format!(
        "Taken alone: how many there are, {}; which species, {}; what the control does, {}.",
        in_100(odds.density),
        in_100(odds.species),
        in_100(odds.control)
    )
}

fn cost_figure(found: &YardVerdict, money: &str) -> Option<Block> {
    let verdict = &found.verdict;
    let dot = |p: &CostPoint| {
        // Where treating is not told apart by time there is one line for it.
        let (now, at_stage) = (p.treat_now.or(p.treat_at_stage.is_none().then_some(p.treat)), p.treat_at_stage);
        CostDot { density: p.per_m2 * FT2, leave: p.leave, treat: now, at_stage, count_again: p.count_again }
    };
    let curve: Vec<CostDot> = verdict.cost_curve.iter().map(dot).collect();
    let (first, last) = (curve.first()?, curve.last()?);
    let seen = |species: &str| !found.species_told || found.species.get(species).copied().unwrap_or(0.0) > 0.05;
    let thresholds = found.thresholds.iter().filter(|t| seen(&t.species));
    let bands = thresholds
        .map(|t| ThresholdBand { low: t.range.low_per_m2 * FT2, high: t.range.high_per_m2 * FT2, name: t.species.clone() })
        .collect();
    let counted = found.density.yard.estimate().map(|e| (e.low_per_m2 * FT2, e.median_per_m2 * FT2, e.high_per_m2 * FT2));
    let even = verdict.break_even_per_m2.map(|d| d * FT2);
    let timed = verdict.act.as_ref().is_some_and(|a| a.kind != CourseKind::Treat);
    let chart = CostCurve {
        title: format!("Expected costs at {}", found.yard),
        unit: "per ft²".to_owned(),
        currency: money.to_owned(),
        treat: if timed { "treat now" } else { "treat" }.to_owned(),
        curve: curve.clone(),
        thresholds: bands,
        break_even: even,
        counted,
    };
    let pays = even.map_or_else(|| "treating never pays".to_owned(), |e| format!("treating pays from {e:.1} per ft²"));
    let line = |name: &str, of: &dyn Fn(&CostDot) -> Option<f64>| {
        Some(format!("; {name} from {money}{:.0} to {money}{:.0}", of(first)?, of(last)?))
    };
    let lines: String = [
        line(if timed { "treating now" } else { "treating" }, &|d| d.treat),
        line("treating at its stage", &|d| d.at_stage),
        line("counting again first", &|d| d.count_again),
    ]
    .into_iter()
    .flatten()
    .collect();
    let alt = format!(
        "Leaving costs from {money}{:.0} with none to {money}{:.0} at {:.0} per ft²{lines}; {pays}",
        first.leave, last.leave, last.density
    );
    let caption = "Expected cost of leaving and of treating all the ground looked at, now, at its stage, or after counting again, by true density, beside the published ranges";
    Some(Block::figure(|width| cost_curve::draw(&chart, width), 660.0, alt, caption))
}

fn regret(table: &RegretTable, money: &str) -> Block {
    let mut columns = vec!["course".to_owned(), "expected cost#".to_owned()];
    columns.extend(table.states.iter().map(|s| format!("if {} ({:.1} per ft²)#", s.name, s.per_m2 * FT2)));
    let mut rows: Vec<Vec<String>> = table
        .courses
        .iter()
        .map(|course| {
            let mut row = vec![course.name.clone(), format!("{money}{:.0}", course.expected)];
            row.extend(course.costs.iter().zip(&course.regrets).map(|(cost, regret)| {
                if *regret < 0.5 { format!("{money}{cost:.0}, best") } else { format!("{money}{cost:.0}, regret {money}{regret:.0}") }
            }));
            row
        })
        .collect();
    for course in &table.not_reckoned {
        let cost =
            course.between.map_or_else(|| "not known".to_owned(), |(low, high)| format!("not known: {money}{low:.0} to {money}{high:.0}"));
        let mut row = vec![format!("{}: {}", course.name, course.why), cost];
        row.extend(table.states.iter().map(|_| "–".to_owned()));
        rows.push(row);
    }
    let least = table.least_regret().map_or_else(String::new, |c| format!(" The worst regret is smallest if you {}.", c.name));
    let names: Vec<&str> = columns.iter().map(String::as_str).collect();
    Block::table(format!("Cost of each course, repair with it, and what is regretted if the truth is so.{least}"), &names, rows)
}

fn further(verdict: &Verdict, money: &str) -> Option<Block> {
    let best = verdict.further_counts.iter().reduce(|a, b| if b.saves - b.price > a.saves - a.price { b } else { a })?;
    let rows = verdict.further_counts.iter().filter(|w| w.stratum == best.stratum).map(|w| {
        let net = w.saves - w.price;
        let net = if net < 0.0 { format!("−{money}{:.0}", -net) } else { format!("{money}{net:.0}") };
        vec![w.samples.to_string(), format!("{money}{:.0}", w.saves.max(0.0)), format!("{money}{:.0}", w.price), net]
    });
    let caption =
        format!("What more samples in the {} would be worth: what they may save by changing the answer, less their price", best.stratum);
    Some(Block::table(caption, &["samples#", "saves#", "price#", "net#"], rows.collect()))
}

/// Bounds of the steps of grey, as shares of the reference density (the break-even, or the middle of the lowest threshold).
const STEPS: [f64; 4] = [0.25, 0.5, 1.0, 2.0];

/// One line of the map of estimates: name, and low, middle and high end; none where nobody looked.
pub(crate) type Estimated = (String, Option<(f64, f64, f64)>);

impl Desk {
    /// The map with the density of each stratum in steps of grey, its figure and interval in words.
    pub(crate) fn estimate_figure(&self, found: &YardVerdict) -> Result<Option<Block>, DeskError> {
        let lowest = found.thresholds.iter().map(|t| (t.range.low_per_m2 * t.range.high_per_m2).sqrt()).fold(f64::INFINITY, f64::min);
        let reference = found.verdict.break_even_per_m2.unwrap_or(lowest) * FT2;
        let ends = |e: &DensityEstimate| (e.low_per_m2 * FT2, e.median_per_m2 * FT2, e.high_per_m2 * FT2);
        let estimates: Vec<Estimated> = found.density.strata.iter().map(|s| (s.name.clone(), s.estimate.as_ref().map(ends))).collect();
        let bounds = STEPS.map(|s| s * reference);
        let what =
            format!("Density by stratum, per ft², with its 90 % interval; {:.1} is where treating pays or injury is even odds", reference);
        self.map_of_estimates(&found.yard, &found.trouble, &estimates, &bounds, "per ft²", what)
    }

    /// A map of any estimate by stratum; `bounds` part the steps of grey.
    pub(crate) fn map_of_estimates(
        &self,
        yard: &str,
        trouble: &str,
        estimates: &[Estimated],
        bounds: &[f64; 4],
        unit: &str,
        caption: String,
    ) -> Result<Option<Block>, DeskError> {
        let on_desk = self.yard(yard)?;
        let Some(map) = &on_desk.map else { return Ok(None) };
        let Some(frame) = LocalFrame::of(map) else { return Ok(None) };
        let rings = |polygon: &geo::Polygon<f64>| -> Vec<Vec<(f64, f64)>> {
            let polygon = frame.polygon_to_m(polygon);
            let rings = std::iter::once(polygon.exterior()).chain(polygon.interiors());
            rings.map(|ring| ring.points().map(|p| (p.x(), p.y())).collect()).collect()
        };
        let areas: Vec<EstimateArea> = parts(map, self.trouble(trouble)?, seed_of(&on_desk.row.name))?
            .into_iter()
            .map(|part| {
                let name = part.stratum.name;
                let seen = estimates.iter().find(|(n, _)| *n == name).and_then(|(_, e)| *e);
                let text = seen
                    .map_or_else(|| "nobody looked".to_owned(), |(low, middle, high)| format!("{middle:.1} ({low:.1}–{high:.1}) {unit}"));
                let step = seen.map(|(_, middle, _)| bounds.iter().filter(|b| middle > **b).count());
                EstimateArea { name, rings: part.ground.iter().flat_map(rings).collect(), step, text }
            })
            .collect();
        let alt = areas.iter().map(|a| format!("{}: {}", a.name, a.text)).collect::<Vec<_>>().join("; ");
        let map =
            EstimateMap { title: format!("Estimate by stratum at {yard}"), outlines: outlines(map, &rings), areas, steps: steps(bounds) };
        Ok(Some(Block::figure(|width| estimate_map::draw(&map, width), 660.0, alt, caption)))
    }
}

fn outlines(map: &Yard, rings: &impl Fn(&geo::Polygon<f64>) -> Vec<Vec<(f64, f64)>>) -> Vec<Vec<(f64, f64)>> {
    let areas = map.areas.iter().map(|a| &a.polygon);
    let built = map.structures.iter().filter_map(|s| if let Shape::Polygon(p) = &s.shape { Some(p) } else { None });
    areas.chain(built).flat_map(|p| rings(p).into_iter().take(1)).collect()
}

fn steps(bounds: &[f64; 4]) -> Vec<String> {
    (0..GREYS.len())
        .map(|i| match i {
            0 => format!("up to {:.1}", bounds[0]),
            4 => format!("over {:.1}", bounds[3]),
            i => format!("to {:.1}", bounds[i]),
        })
        .collect()
}
