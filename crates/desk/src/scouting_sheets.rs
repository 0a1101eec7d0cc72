//! The sheets of scouting and of the verdict.

use crate::pictures::{density_figures, stop_figures};
use crate::scouting::{YardPlan, YardVerdict, per_ft2};
use crate::verdict_costs::{cost_blocks, odds_words};
use crate::{Desk, DeskError};
use groundlore_plant_health::decision::{Answer, Verdict};
use groundlore_plant_health::density::YardDensity;
use groundlore_sheet::{Block, Column, KeyFigure, Sheet, Table, Tone};

const FT2: f64 = 0.092_903_04;
/// Fewest samples in a stratum before it may be called: one flap says little (common practice).
const LEAST_SAMPLES: u32 = 3;

/// A chance in a hundred; what is under one is said so.
pub(crate) fn in_100(p: f64) -> String {
    if p < 0.005 { "under 1 in 100".to_owned() } else { format!("{:.0} in 100", p * 100.0) }
}

/// The treatment that a verdict speaks of, with its time.
fn treat_words(verdict: &Verdict) -> String {
    capitalised(verdict.act.as_ref().map_or("treat", |act| act.name.as_str()))
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl Desk {
    /// The scouting sheet: where, how, how many, when to stop, and lines to write in.
    ///
    /// # Errors
    /// If the yard is not in the book.
    pub fn scouting_sheet(&self, plan: &YardPlan) -> Result<Sheet, DeskError> {
        let yard = self.yard(&plan.yard)?;
        let mut sheet = self.sheet("scouting-sheet", format!("Count {} at {}", plan.name.to_lowercase(), plan.yard));
        sheet.subtitle = plan.plan.days.map(|d| format!("Counting tells most from {} to {}, best about {}", d.earliest, d.latest, d.best));
        sheet.push(Block::Facts {
            facts: vec![
                ("sample".to_owned(), plan.plan.sample.clone()),
                ("count".to_owned(), plan.plan.counted.clone()),
                ("this cannot see".to_owned(), plan.plan.blind_to.clone()),
                (
                    "samples".to_owned(),
                    plan.plan.allotment.iter().map(|a| format!("{} in {}", a.samples, a.stratum)).collect::<Vec<_>>().join(", "),
                ),
                ("takes".to_owned(), format!("{:.0}–{:.0} min, {:.0} m walk", plan.plan.minutes.0, plan.plan.minutes.1, plan.plan.walk_m)),
            ],
        });
        if let Some(map) = &yard.map {
            sheet.blocks.extend(self.walk_figure(map, plan));
        }
        let rows: Vec<Vec<String>> = plan
            .plan
            .stops
            .iter()
            .map(|s| {
                vec![
                    s.number.to_string(),
                    s.stratum.clone(),
                    format!("{:.6}, {:.6}", s.latitude, s.longitude),
                    String::new(),
                    String::new(),
                    String::new(),
                ]
            })
            .collect();
        sheet.push(Block::table(
            "Write down every stop, a zero too. “Not looked at” is not zero.",
            &["stop", "where", "place", "count", "species, by its raster", "remark"],
            rows,
        ));
        for rule in &plan.plan.stop_rules {
            let rows = rule.rows.iter().filter(|r| r.samples >= LEAST_SAMPLES).map(|r| {
                vec![
                    r.samples.to_string(),
                    r.few_at_most.map_or_else(|| "–".to_owned(), |n| format!("{n} or fewer")),
                    format!("{} or more", r.many_from),
                ]
            });
            sheet.push(Block::table(
                format!(
                    "Stop rule in the {}: after {LEAST_SAMPLES} samples at the least, stop as soon as the running total reaches a line",
                    rule.stratum
                ),
                &["samples", "few enough", "enough to matter"],
                rows.collect(),
            ));
        }
        let rules = self.field_rules(plan)?;
        sheet.blocks.extend(crate::field_rules_sheet::blocks(&rules, &self.currency()?));
        if let Ok(trouble) = self.trouble(&plan.trouble) {
            let held = format!(
                "Dates and thresholds hold for: {}. Elsewhere take them as a first guess, and ask who counts there.",
                trouble.region
            );
            sheet.push(Block::paragraph(held));
        }
        sheet.push(Block::heading("Numbers at which it injures"));
        let rows = plan.thresholds.iter().map(|t| {
            vec![t.species.clone(), t.told_by.clone().unwrap_or_default(), per_ft2(&t.range), t.region.clone(), t.source.to_string()]
        });
        sheet.push(Block::table("", &["species", "told by", "injures from", "where", "source"], rows.collect()));
        if let Some(said) = &plan.no_threshold {
            sheet.push(Block::paragraph(said.clone()));
        }
        let lines = rules.assumes.iter().chain(&plan.plan.assumes).cloned().collect();
        sheet.push(Block::Working { title: "Taken for granted".to_owned(), lines });
        sheet.push(Block::Fill {
            labels: vec![
                "Counted by".to_owned(),
                "Date and hour".to_owned(),
                "Fresh digging by animals? yes / no".to_owned(),
                "Turf dense and growing well? yes / no".to_owned(),
            ],
        });
        sheet.push(Block::Cautions { cautions: groundlore_work::caution::cautions(&[groundlore_work::caution::Hazard::StingsAndTicks]) });
        Ok(sheet)
    }

    /// The verdict: treat, leave or count more, with the odds of being wrong and the money on either side.
    ///
    /// # Errors
    /// If the plan cannot be made again.
    pub fn verdict_sheet(&self, found: &YardVerdict) -> Result<Sheet, DeskError> {
        let mut sheet =
            self.sheet("verdict", format!("{} at {}", found.name, found.yard)).subtitle(format!("Counted on {}", found.counted_on));
        let verdict = &found.verdict;
        let (words, tone) = match &verdict.answer {
            Answer::Treat { strata, .. } => (format!("{}: {}", treat_words(verdict), strata.join(", ")), Tone::Act),
            Answer::Leave => ("Leave it".to_owned(), Tone::Calm),
            Answer::CountMore { stratum, samples } => {
                let when = verdict.count_on.map_or_else(String::new, |day| format!("Come back about {day}: "));
                (capitalised(&format!("{when}count {samples} more in the {stratum}")), Tone::Watch)
            }
            Answer::CannotSay { remedy } => (format!("Cannot say: {remedy}"), Tone::Watch),
        };
        let why = verdict
            .p_wrong
            .map_or_else(|| "No odds can be given.".to_owned(), |p| format!("The odds that this is wrong are {}.", in_100(p)));
        let why = verdict.odds.as_ref().map_or_else(|| why.clone(), |odds| format!("{why} {}", odds_words(odds)));
        sheet.push(Block::Verdict { text: words, why, tone });
        sheet.push(Block::KeyFigures { figures: self.key_figures(found)? });
        let counts = found.counts.iter().map(|(stratum, counts)| {
            let list = counts.iter().map(u64::to_string).collect::<Vec<_>>().join(", ");
            let estimate = found.density.strata.iter().find(|s| s.name == *stratum).and_then(|s| s.estimate.as_ref());
            let view = verdict.strata.iter().find(|v| v.name == *stratum);
            vec![
                stratum.clone(),
                list,
                estimate.map_or_else(
                    || "unknown".to_owned(),
                    |e| format!("{:.1} ({:.1}–{:.1})", e.median_per_m2 * FT2, e.low_per_m2 * FT2, e.high_per_m2 * FT2),
                ),
                view.map_or_else(String::new, |v| format!("{:.0}%", v.p_injury * 100.0)),
            ]
        });
        sheet.push(Block::table(
            "Counts, density per ft² with its 90 % interval, and the chance of injury if left",
            &["stratum", "counts", "per ft²#", "injury#"],
            counts.collect(),
        ));
        if !verdict.not_looked_at.is_empty() {
            sheet.push(Block::paragraph(format!(
                "Nobody looked in: {}. The verdict does not speak for it.",
                verdict.not_looked_at.join(", ")
            )));
        }
        if !found.species_told {
            sheet.push(Block::paragraph("Nobody looked at the raster, so the verdict is spread over the region's species, whose thresholds differ tenfold: looking at it is the cheapest way to a surer answer."));
        }
        sheet.blocks.extend(self.estimate_figure(found)?);
        sheet.blocks.extend(density_figures(found));
        sheet.blocks.extend(cost_blocks(found, &self.currency()?));
        let plan = self.scouting_plan(&found.yard, &found.trouble, 60)?;
        sheet.blocks.extend(stop_figures(&plan, &found.counts));
        if let Ok(trouble) = self.trouble(&found.trouble) {
            sheet.push(Block::paragraph(format!("The thresholds hold for: {}.", trouble.region)));
        }
        sheet.push(Block::heading("Why"));
        sheet.push(Block::table(
            "",
            &["reason", "figure", "source"],
            verdict.reasons.iter().map(|r| vec![r.text.clone(), r.figure.clone(), r.source.clone()]).collect(),
        ));
        sheet.push(Block::Working { title: "Working".to_owned(), lines: verdict.working.clone() });
        Ok(sheet)
    }

    /// Sign of the firm's money.
    fn currency(&self) -> Result<String, DeskError> {
        Ok(self.book.firm()?.map_or_else(|| "$".to_owned(), |f| f.currency))
    }

    fn key_figures(&self, found: &YardVerdict) -> Result<Vec<KeyFigure>, DeskError> {
        let sign = self.currency()?;
        let money = |value: f64| format!("{sign}{value:.0}");
        let mut figures = Vec::new();
        if let YardDensity::Whole { estimate } | YardDensity::LookedAtPart { estimate, .. } = &found.density.yard {
            figures.push(KeyFigure {
                value: format!("{:.1} per ft²", estimate.median_per_m2 * FT2),
                label: "density over all the ground looked at, sound turf too".to_owned(),
                note: format!("90 % interval {:.1}–{:.1}", estimate.low_per_m2 * FT2, estimate.high_per_m2 * FT2),
            });
        }
        if let Some(costs) = &found.verdict.costs {
            figures.push(KeyFigure {
                value: money(costs.leave),
                label: "expected cost of leaving".to_owned(),
                note: "repair, by your price".to_owned(),
            });
            let with = found.control.clone().map(|c| format!("with {c}")).unwrap_or_default();
            let times =
                [(costs.treat_now, "expected cost of treating now"), (costs.treat_at_stage, "expected cost of treating at its stage")];
            if times.iter().all(|(cost, _)| cost.is_none()) {
                figures.push(KeyFigure { value: money(costs.treat), label: "expected cost of treating".to_owned(), note: with });
            } else {
                figures.extend(
                    times
                        .into_iter()
                        .filter_map(|(cost, label)| Some(KeyFigure { value: money(cost?), label: label.to_owned(), note: with.clone() })),
                );
            }
            figures.extend(costs.count_again.map(|cost| KeyFigure {
                value: money(cost),
                label: "expected cost of coming back to count".to_owned(),
                note: "then treating or leaving".to_owned(),
            }));
        } else {
            figures.push(KeyFigure {
                value: "–".to_owned(),
                label: "money".to_owned(),
                note: "no prices yet: `groundlore rates add FILE`".to_owned(),
            });
        }
        if let Some(even) = found.verdict.break_even_per_m2 {
            figures.push(KeyFigure {
                value: format!("{:.1} per ft²", even * FT2),
                label: "treating pays from".to_owned(),
                note: "break-even density".to_owned(),
            });
        }
        Ok(figures)
    }

    /// A crew sheet: the day's tasks at all yards, with what each takes and its cautions.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn crew_sheet(&self) -> Result<Sheet, DeskError> {
        let week = self.week()?;
        let mut sheet = self.sheet("crew-sheet", format!("Crew sheet, {}", self.today.strftime("%A %-d %B %Y")));
        let open: Vec<_> = week.tasks.iter().filter(|(t, _)| t.window.earliest <= self.today && !t.key.contains("/reply")).collect();
        let rows: Vec<Vec<String>> = open
            .iter()
            .map(|(t, _)| {
                let minutes = t.takes.minutes.map_or_else(
                    || "–".to_owned(),
                    |(a, b)| if (a - b).abs() < 0.5 { format!("{a:.0}") } else { format!("{a:.0}–{b:.0}") },
                );
                let things: Vec<String> = t
                    .takes
                    .materials
                    .iter()
                    .map(|(name, q)| format!("{} {name}", q.rounded(3)))
                    .chain(t.takes.machines.clone())
                    .chain(t.takes.gear.iter().map(|g| format!("wear {g}")))
                    .collect();
                let along = if things.is_empty() { String::new() } else { format!(" Take: {}.", things.join("; ")) };
                let place = t.place.as_ref().map(|p| format!(" ({p})")).unwrap_or_default();
                vec![
                    t.yard.clone(),
                    format!("{}{place}.{along}", t.what.trim_end_matches('.')),
                    minutes,
                    t.window.latest.strftime("%-d %b").to_string(),
                    String::new(),
                ]
            })
            .collect();
        sheet.push(Block::Table(Table {
            caption: "Mark each: done, begun, or could not and why".to_owned(),
            columns: ["yard", "work", "min", "by", "done?"]
                .iter()
                .map(|n| Column { name: (*n).to_owned(), numeric: *n == "min" })
                .collect(),
            rows,
            blank_rows: 3,
            total: None,
        }));
        let mut cautions: Vec<String> = open.iter().flat_map(|(t, _)| t.cautions.clone()).collect();
        cautions.sort();
        cautions.dedup();
        if !cautions.is_empty() {
            sheet.push(Block::Cautions { cautions });
        }
        sheet.push(Block::Signatures { who: vec!["Crew lead".to_owned()] });
        Ok(sheet)
    }
}
