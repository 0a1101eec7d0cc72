//! The sheets of treatment: options, the record, what was learned.

use crate::pictures::belief_figure;
use crate::treatment::{FollowedUp, Options};
use crate::yards::square_feet;
use crate::{Desk, DeskError};
use groundlore_book::applications::ApplicationRecord;
use groundlore_lore::control::ControlClass;
use groundlore_plant_health::treatment::{Outcome, TreatmentOption};
use groundlore_sheet::{Block, Check, CheckState, KeyFigure, Sheet, Tone};

pub(crate) const LABEL: &str =
    "The product label is the law. Rates, re-entry and gear stand on the label card only, as typed from the label in hand.";

impl Desk {
    /// The options, ranked, each with its checks.
    pub fn options_sheet(&self, options: &Options) -> Sheet {
        let mut sheet = self.sheet("treatment-options", format!("Options against {} at {}", options.name.to_lowercase(), options.yard));
        let stage = options.stage.as_ref().map_or_else(
            || "no stage on which a control works lies ahead this season".to_owned(),
            |w| {
                let day = |d: Option<jiff::civil::Date>| d.map_or_else(|| "?".to_owned(), |d| d.to_string());
                let how = if w.may_open_treatment { String::new() } else { format!("; {}", crate::stages::LOOK_FIRST) };
                format!("{} from {} to {}, middle {}; {}{how}", w.name, day(w.p10), day(w.p90), day(w.p50), crate::stages::told_words(w))
            },
        );
        let bloom = options.in_bloom.as_ref().map_or_else(
            || "not checked: the map lists no plants".to_owned(),
            |b| if b.is_empty() { "nothing on the map's list".to_owned() } else { b.join(", ") },
        );
        sheet.push(Block::Facts {
            facts: vec![
                ("stage".to_owned(), stage),
                ("area".to_owned(), square_feet(options.area_m2)),
                ("in flower on this yard".to_owned(), bloom),
            ],
        });
        for option in &options.options {
            option_blocks(option, &mut sheet);
            if let Some(lines) = options.settings.get(&option.control).filter(|lines| !lines.is_empty()) {
                sheet.push(Block::Working {
                    title: "Setting of the spreader or sprayer, by the label card".to_owned(),
                    lines: lines.clone(),
                });
            }
            if let Some(belief) = options.beliefs.get(&option.control).filter(|b| b.slid.is_some() || option.rank == 1) {
                sheet.push(belief_figure(&option.name, belief));
            }
        }
        if !options.days.is_empty() {
            let rows = options.days.iter().take(10).map(|d| {
                vec![
                    d.date.to_string(),
                    d.odds.map_or_else(|| "not known".to_owned(), |o| format!("{:.0}%", o * 100.0)),
                    d.not_checked.join(", "),
                ]
            });
            sheet.push(Block::table(
                "Days whose weather permits, by past years (daily figures only)",
                &["day", "odds#", "not checked"],
                rows.collect(),
            ));
        }
        sheet.foot.push(LABEL.to_owned());
        sheet.foot.push(self.poison_words());
        sheet
    }

    /// The record of a yard's applications, every line, corrections beside what they correct.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn record_sheet(&self, yard: &str) -> Result<Sheet, DeskError> {
        let row = self.book.yard_named(yard)?;
        let mut sheet = self.sheet("treatment-record", format!("Application record, {}", row.name));
        sheet.subtitle = row.address.clone();
        let lines = self.book.application_lines_of(row.id)?;
        if lines.is_empty() {
            sheet.push(Block::paragraph("No application is recorded for this yard."));
        }
        let hold: Vec<i64> = self.book.applications_of(row.id)?.iter().map(|line| line.id).collect();
        for line in &lines {
            record_blocks(line, &mut sheet);
            if hold.contains(&line.id) {
                sheet.push(self.rule_checks(line)?);
            }
        }
        sheet.foot.push("Lines are never changed: a correction stands as a new line that names the old one and why.".to_owned());
        sheet.foot.push(self.poison_words());
        sheet.foot.push("How long records are kept, and what else they must hold, is your state's rule.".to_owned());
        Ok(sheet)
    }

    /// What a follow-up showed and taught.
    pub fn follow_up_sheet(&self, yard: &str, name: &str, found: &FollowedUp) -> Sheet {
        let mut sheet = self.sheet("follow-up", format!("{name} at {yard}: what came of it"));
        sheet.push(Block::Verdict { text: found.says.clone(), why: belief_words(found), tone: Tone::Watch });
        sheet.push(Block::KeyFigures {
            figures: [("believed before", &found.before), ("believed now", &found.after)]
                .into_iter()
                .map(|(label, b)| KeyFigure {
                    value: format!("{:.0}%", b.median * 100.0),
                    label: label.to_owned(),
                    note: format!("{:.0}–{:.0}%", b.low * 100.0, b.high * 100.0),
                })
                .collect(),
        });
        sheet.push(belief_figure("the control", &found.after));
        sheet
    }
}

fn belief_words(found: &FollowedUp) -> String {
    match &found.after.slid {
        Some(slid) => format!(
            "It has slid from {:.0} % to {:.0} % since {} (probability {:.0} %). Before giving it up, weigh a wrong stage, dose, watering-in and old material.",
            slid.from * 100.0,
            slid.to * 100.0,
            slid.since,
            slid.probability * 100.0
        ),
        None => "No slide is seen over the years.".to_owned(),
    }
}

fn option_blocks(option: &TreatmentOption, sheet: &mut Sheet) {
    sheet.push(Block::heading(format!("{}. {}", option.rank, option.name)));
    let slid = option
        .slid
        .as_ref()
        .map(|s| format!("; has slid from {:.0} % to {:.0} % since {}", s.from * 100.0, s.to * 100.0, s.since))
        .unwrap_or_default();
    let amount = match (&option.amount, &option.amount_note) {
        (Some(a), _) if a.low == a.high => a.low.rounded(4),
        (Some(a), _) => format!("{} to {}", a.low.rounded(4), a.high.rounded(4)),
        (None, Some(note)) => note.clone(),
        (None, None) if option.class == ControlClass::Practice => "none: it is a practice".to_owned(),
        (None, None) => "as the supplier's sheet says".to_owned(),
    };
    sheet.push(Block::Facts {
        facts: vec![
            ("controls".to_owned(), format!("{}{slid}", crate::treatment::control_words(option))),
            ("amount for this area".to_owned(), amount),
            ("why it stands here".to_owned(), option.why_here.clone()),
            ("count again".to_owned(), format!("{} to {}: {}", option.follow_up.earliest, option.follow_up.latest, option.follow_up.why)),
        ],
    });
    sheet.push(check_block(&option.checks));
    if let Some(amount) = &option.amount {
        sheet.push(Block::Working { title: "Amount".to_owned(), lines: amount.working.clone() });
    }
    if let Some(strip) = &option.check_strip {
        sheet.push(Block::paragraph(strip.how.clone()));
    }
    if !option.cautions.is_empty() {
        sheet.push(Block::Cautions { cautions: option.cautions.clone() });
    }
}

/// Checks as a block.
pub(crate) fn check_block(checks: &[groundlore_plant_health::treatment::Check]) -> Block {
    Block::Checks {
        checks: checks.iter().map(|c| Check { what: c.name.to_owned(), state: state(c.outcome), why: c.why.clone() }).collect(),
    }
}

fn state(outcome: Outcome) -> CheckState {
    match outcome {
        Outcome::Pass => CheckState::Pass,
        Outcome::Doubt => CheckState::Doubt,
        Outcome::Refuse => CheckState::Refuse,
        Outcome::NotChecked => CheckState::NotChecked,
    }
}

fn record_blocks(line: &ApplicationRecord, sheet: &mut Sheet) {
    let blank = |value: &Option<String>| value.clone().filter(|v| !v.trim().is_empty()).unwrap_or_else(|| "not recorded".to_owned());
    let number = |value: Option<f64>, unit: &str| value.map_or_else(|| "not recorded".to_owned(), |v| format!("{v:.1} {unit}"));
    let corrects =
        line.corrects_id.map(|id| format!(" (corrects line {id}: {})", line.why.clone().unwrap_or_default())).unwrap_or_default();
    sheet.push(Block::heading(format!("Line {}, {}{corrects}", line.id, line.date)));
    let actives = line.active_ingredients.as_ref().map_or_else(
        || "not recorded".to_owned(),
        |list| list.iter().map(|a| a.percent.map_or_else(|| a.name.clone(), |p| format!("{} {p}%", a.name))).collect::<Vec<_>>().join(", "),
    );
    sheet.push(Block::Facts {
        facts: vec![
            ("product, as on the label".to_owned(), line.product.clone()),
            ("registration number".to_owned(), blank(&line.registration_number)),
            ("active ingredient".to_owned(), actives),
            ("against".to_owned(), blank(&line.target)),
            ("area treated".to_owned(), line.area_text.clone().unwrap_or_else(|| square_feet(line.area_m2))),
            ("rate".to_owned(), blank(&line.rate_text)),
            ("total amount".to_owned(), blank(&line.amount_text)),
            ("carrier".to_owned(), blank(&line.carrier_text)),
            ("applied by".to_owned(), line.applicator.clone()),
            ("licence".to_owned(), blank(&line.licence)),
            ("certified applicator".to_owned(), blank(&line.certified_applicator)),
            ("crop or site".to_owned(), blank(&line.site)),
            ("method".to_owned(), blank(&line.method)),
            ("for".to_owned(), blank(&line.customer_name)),
            (
                "restricted use, by the label".to_owned(),
                line.restricted_use.map_or("not checked", |yes| if yes { "yes" } else { "no" }).to_owned(),
            ),
            ("wind".to_owned(), number(line.wind_m_s.map(|w| w / 0.447_04), "mph")),
            ("temperature".to_owned(), number(line.temperature_c.map(|c| c * 1.8 + 32.0), "°F")),
            ("re-entry, as on the label".to_owned(), blank(&line.reentry_text)),
            ("note".to_owned(), blank(&line.note)),
        ],
    });
}
