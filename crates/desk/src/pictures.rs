//! Pictures from what the desk knows: the yard's map, the scouting walk, the density, the belief.

use crate::Desk;
use crate::scouting::{YardPlan, YardVerdict};
use groundlore_figure::density_chart::{self, DensityChart, ThresholdBand};
use groundlore_figure::efficacy_curve::{self, CurvePoint};
use groundlore_figure::stop_chart::{self, StopChart};
use groundlore_figure::yard_map::{self, MapShape, MapTree, YardMap};
use groundlore_plant_health::belief::Belief;
use groundlore_sheet::Block;
use groundlore_site::measure::LocalFrame;
use groundlore_site::yard::{Shape, Yard};

const FT2: f64 = 0.092_903_04;

impl Desk {
    /// The map of a yard as a figure.
    pub(crate) fn map_figure(&self, name: &str, map: &Yard) -> Block {
        let drawn = drawn_map(name, map);
        let areas = map.areas.iter().map(|a| format!("{} ({})", a.name, a.kind.word())).collect::<Vec<_>>().join(", ");
        Block::figure(|width| yard_map::draw(&drawn, width), 720.0, format!("Map of {name}: {areas}"), format!("{name}, to scale"))
    }

    /// The map with the stops of a scouting plan, numbered in walking order.
    pub(crate) fn walk_figure(&self, map: &Yard, plan: &YardPlan) -> Option<Block> {
        let frame = LocalFrame::of(map)?;
        let mut drawn = drawn_map(&plan.yard, map);
        for stop in &plan.plan.stops {
            let at = frame.point_to_m(geo::Point::new(stop.longitude, stop.latitude));
            drawn.stops.push((at.x(), at.y()));
            drawn.open_stops.push(stop.stratum.contains("sound"));
        }
        let alt = format!("Walk of {} stops on the map of {}", plan.plan.stops.len(), plan.yard);
        let caption = "Stops in walking order; open rings are in sound turf";
        Some(Block::figure(|width| yard_map::draw(&drawn, width), 720.0, alt, caption))
    }
}

fn drawn_map(name: &str, map: &Yard) -> YardMap {
    let mut drawn = YardMap { title: format!("Map of {name}"), ..YardMap::default() };
    let Some(frame) = LocalFrame::of(map) else { return drawn };
    let rings = |polygon: &geo::Polygon<f64>| -> Vec<Vec<(f64, f64)>> {
        let polygon = frame.polygon_to_m(polygon);
        std::iter::once(polygon.exterior()).chain(polygon.interiors()).map(|ring| ring.points().map(|p| (p.x(), p.y())).collect()).collect()
    };
    for area in &map.areas {
        drawn.shapes.push(MapShape { kind: area.kind.word().to_owned(), name: area.name.clone(), rings: rings(&area.polygon) });
    }
    for structure in &map.structures {
        if let Shape::Polygon(polygon) = &structure.shape {
            drawn.shapes.push(MapShape { kind: structure.kind.word().to_owned(), name: structure.name.clone(), rings: rings(polygon) });
        }
    }
    for water in &map.water {
        if let Shape::Polygon(polygon) = &water.shape {
            drawn.shapes.push(MapShape { kind: "water".to_owned(), name: water.name.clone(), rings: rings(polygon) });
        }
    }
    for patch in &map.patches {
        drawn.shapes.push(MapShape { kind: "patch".to_owned(), name: patch.name.clone(), rings: rings(&patch.polygon) });
    }
    for edge in &map.edges {
        let line = frame.line_to_m(&edge.line);
        drawn.shapes.push(MapShape {
            kind: "edge".to_owned(),
            name: edge.name.clone(),
            rings: vec![line.points().map(|p| (p.x(), p.y())).collect()],
        });
    }
    for tree in &map.trees {
        let at = frame.point_to_m(tree.point);
        drawn.trees.push(MapTree {
            at: (at.x(), at.y()),
            crown_m: tree.crown_diameter.as_ref().map(|q| q.si() / 2.0),
            name: tree.name.clone(),
        });
    }
    drawn
}

/// Posterior of density by stratum against the thresholds of its species.
pub(crate) fn density_figures(verdict: &YardVerdict) -> Vec<Block> {
    let thresholds: Vec<ThresholdBand> = verdict
        .thresholds
        .iter()
        .filter(|t| !verdict.species_told || verdict.species.get(&t.species).copied().unwrap_or(0.0) > 0.05)
        .map(|t| ThresholdBand { low: t.range.low_per_m2 * FT2, high: t.range.high_per_m2 * FT2, name: t.species.clone() })
        .collect();
    verdict
        .density
        .strata
        .iter()
        .filter_map(|stratum| {
            let grid = stratum.grid.as_ref()?;
            let estimate = stratum.estimate.as_ref()?;
            let per_ft2: Vec<(f64, f64)> = grid.per_m2.iter().zip(&grid.weights).map(|(d, w)| (d * FT2, w / d.max(1e-9))).collect();
            let chart = DensityChart {
                unit: "per ft²".to_owned(),
                posterior: per_ft2,
                thresholds: thresholds.clone(),
                break_even: verdict.verdict.break_even_per_m2.map(|d| d * FT2),
            };
            Some(Block::figure(
                |width| density_chart::draw(&chart, width),
                640.0,
                format!(
                    "{}: {:.1} per ft², 90 % interval {:.1} to {:.1}",
                    stratum.name,
                    estimate.mean_per_m2 * FT2,
                    estimate.low_per_m2 * FT2,
                    estimate.high_per_m2 * FT2
                ),
                format!("Density in the {}, with the published ranges at which each species injures", stratum.name),
            ))
        })
        .collect()
}

/// Stop chart of one stratum with the counts so far.
pub(crate) fn stop_figures(plan: &YardPlan, counts: &[(String, Vec<u64>)]) -> Vec<Block> {
    plan.plan
        .stop_rules
        .iter()
        .map(|rule| {
            let seen = counts.iter().find(|(name, _)| *name == rule.stratum).map(|(_, c)| c.clone()).unwrap_or_default();
            let chart = StopChart {
                title: format!("Stop lines in the {}", rule.stratum),
                slope: rule.lines.slope,
                lower: rule.lines.lower_intercept,
                upper: rule.lines.upper_intercept,
                counts: seen,
                most: rule.most,
            };
            Block::figure(
                |width| stop_chart::draw(&chart, width),
                620.0,
                format!(
                    "{}: few enough at or under {:.1} a sample, enough to matter at or over {:.1}",
                    rule.stratum, rule.low_per_sample, rule.high_per_sample
                ),
                format!("Running total against the stop lines, {}", rule.stratum),
            )
        })
        .collect()
}

/// Belief in a control by year.
pub(crate) fn belief_figure(name: &str, belief: &Belief) -> Block {
    let curve: Vec<CurvePoint> =
        belief.curve.iter().map(|y| CurvePoint { year: y.year, low: y.low, middle: y.median, high: y.high }).collect();
    let slid = belief
        .slid
        .as_ref()
        .map(|s| format!("; slid from {:.0} % to {:.0} % since {}", s.from * 100.0, s.to * 100.0, s.since))
        .unwrap_or_default();
    Block::figure(
        |width| efficacy_curve::draw(&format!("Belief in {name}"), &curve, &[], width),
        620.0,
        format!(
            "{name}: now {:.0} %, 90 % interval {:.0} to {:.0} %{slid}",
            belief.median * 100.0,
            belief.low * 100.0,
            belief.high * 100.0
        ),
        format!("What {name} is believed to control, year by year{slid}"),
    )
}
