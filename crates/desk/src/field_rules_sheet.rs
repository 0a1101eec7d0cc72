//! The further rules of a scouting plan as blocks of its sheet.

use crate::field_rules::{FieldRules, RuleCurve};
use groundlore_figure::operating_chart::{self, OperatingChart, OperatingDot};
use groundlore_plant_health::decision::WorthRule;
use groundlore_sheet::Block;

/// Rows of a rule that are printed: every sample up to here, then every other.
const EACH: u32 = 12;

fn printed(samples: u32, most: u32) -> bool {
    samples <= EACH || samples == most || samples.is_multiple_of(2)
}

/// Blocks of the rules, in the order in which a person would want them.
pub(crate) fn blocks(rules: &FieldRules, money: &str) -> Vec<Block> {
    let mut blocks: Vec<Block> = rules.curves.iter().map(operating_figure).collect();
    if !rules.sizes.is_empty() {
        let rows =
            rules.sizes.iter().map(|s| vec![format!("within {:.0} %", 100.0 * s.precision), s.at_low.to_string(), s.at_high.to_string()]);
        let find = rules
            .to_find_one
            .map_or_else(String::new, |n| format!(" To find at least one with 95 in 100 where it is at the low end: {n} samples."));
        blocks.push(Block::table(
            format!("Samples in a stratum for a standard error of this share of the mean.{find}"),
            &["the mean known", "if at the low end of the thresholds#", "if at the high end#"],
            rows.collect(),
        ));
    }
    blocks.extend(rules.by_worth.iter().flat_map(|rule| by_worth(rule, money)));
    if let Some(plan) = &rules.fixed_precision
        && let Ok(rows) = plan.rows()
    {
        let rows = rows
            .iter()
            .filter(|r| printed(r.samples, plan.most))
            .filter_map(|r| Some(vec![r.samples.to_string(), r.stop_from?.to_string()]));
        let gives = rules.precision_curve.get(rules.precision_curve.len() / 2).map_or_else(String::new, |p| {
            format!(
                " In the middle of the thresholds it takes {:.0} samples on average and comes out within {:.0} % (one standard error).",
                p.expected_samples,
                100.0 * p.precision
            )
        });
        blocks.push(Block::table(
            format!(
                "To know the mean itself within {:.0} %: count on until the running total reaches this.{gives}",
                100.0 * plan.precision
            ),
            &["samples#", "stop from#"],
            rows.collect(),
        ));
    }
    if let Some(plan) = &rules.presence {
        let rows = (3..=plan.most).filter(|n| printed(*n, plan.most)).map(|n| {
            let few = plan.lines.lower(n);
            let many = plan.lines.upper(n).ceil();
            let many = if many <= f64::from(n) { format!("{many:.0} or more") } else { "–".to_owned() };
            vec![n.to_string(), if few >= 0.0 { format!("{:.0} or fewer", few.floor()) } else { "–".to_owned() }, many]
        });
        blocks.push(Block::table(
            format!(
                "Looking only whether a sample holds any: {:.0} in 100 do at the low end of the thresholds, {:.0} in 100 at the high end",
                100.0 * plan.plan.low,
                100.0 * plan.plan.high
            ),
            &["samples#", "few enough: hold any", "enough to matter: hold any"],
            rows.collect(),
        ));
    }
    if !rules.not_possible.is_empty() {
        blocks.push(Block::list(rules.not_possible.clone()));
    }
    blocks
}

fn operating_figure(curve: &RuleCurve) -> Block {
    let dots = curve.points.iter().map(|p| OperatingDot { value: p.true_value, p_few: p.p_low, samples: p.expected_samples });
    let strata = curve.strata.join(", ");
    let chart = OperatingChart {
        title: format!("Operating curve of the stop rule: {strata}"),
        unit: "a sample".to_owned(),
        curve: dots.collect(),
        ends: Some(curve.ends),
        most: curve.most,
    };
    let at = |value: f64| curve.points.iter().min_by(|a, b| (a.true_value - value).abs().total_cmp(&(b.true_value - value).abs())).copied();
    let told = at(curve.ends.0).zip(at(curve.ends.1)).map_or_else(String::new, |(low, high)| {
        format!(
            "near {:.1} a sample it answers few in {:.0} of 100 walks after {:.1} samples; near {:.1}, in {:.0} of 100 after {:.1}",
            low.true_value,
            100.0 * low.p_low,
            low.expected_samples,
            high.true_value,
            100.0 * high.p_low,
            high.expected_samples
        )
    });
    let caption = format!("What the stop rule does at each true mean ({strata}), exactly reckoned, at most {} samples", curve.most);
    Block::figure(|width| operating_chart::draw(&chart, width), 620.0, told, caption)
}

fn by_worth(rule: &WorthRule, money: &str) -> Vec<Block> {
    let what = format!(
        "Stop by worth in the {}: a sample costs {money}{:.2}; counting by this rule saves {money}{:.0} on average over deciding blind, in {:.0} samples; {:.0} in 100 such counts end in treating",
        rule.stratum,
        rule.count_each,
        rule.saves,
        rule.expected_samples,
        100.0 * rule.p_treat
    );
    if rule.saves <= 0.0 {
        return vec![Block::paragraph(format!(
            "In the {} a count is worth no more than it costs, by your prices: nothing it could show would change what is cheapest.",
            rule.stratum
        ))];
    }
    let rows = rule.rows.iter().filter(|r| printed(r.samples, rule.most)).map(|r| {
        let or = |n: Option<u64>, word: &str| n.map_or_else(|| "–".to_owned(), |n| format!("{n} {word}"));
        vec![r.samples.to_string(), or(r.leave_at_most, "or fewer"), or(r.treat_from, "or more")]
    });
    vec![Block::table(what, &["samples#", "stop and leave: total", "stop and treat: total"], rows.collect())]
}
