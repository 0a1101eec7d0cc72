//! The plan of a treatment: its row in the book, its task and the count afterwards; or, where only an estimated clock speaks for its days,
//! the look that comes first.

use super::{Options, PlanFacts, control_words};
use crate::stages::{LOOK_FIRST, treatment_window};
use crate::yards::slug;
use crate::{Desk, DeskError};
use groundlore_book::label_cards::LabelCard as CardRow;
use groundlore_book::treatments::Treatment;
use groundlore_lore::control::ControlClass;
use groundlore_plant_health::treatment::TreatmentOption;
use groundlore_work::caution::{Hazard, cautions};
use groundlore_work::task::{Reason, Takes, Task, Window as TaskWindow};
use jiff::ToSpan as _;

/// Days for which a count says what is there (common practice).
const COUNTS_HOLD_DAYS: i64 = 28;
/// Most samples of a count that comes before a treatment.
const LOOK_SAMPLES: u32 = 30;

/// A treatment that was planned.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct PlannedTreatment {
    /// Number of its row in the book.
    pub treatment: i64,
    /// What must be looked at or counted before it may be put into the week; none where it is in the week.
    pub look_first: Option<String>,
}

impl Desk {
    /// Plans a treatment: the row in the book, the task with its window, and the follow-up. Where nothing but an estimated clock speaks for
    /// its days, no treatment is put into the week: counting or looking comes first.
    ///
    /// # Errors
    /// An unknown control, one that a check refuses, one without the label card that it needs.
    pub fn plan_treatment(&mut self, yard: &str, trouble: &str, control: &str) -> Result<PlannedTreatment, DeskError> {
        self.plan_treatment_with(yard, trouble, control, &PlanFacts::default())
    }

    /// As [`Desk::plan_treatment`], with what a person says of the plan. Every check, the group with the edition of its list, and the facts
    /// are kept with the row.
    ///
    /// # Errors
    /// As [`Desk::plan_treatment`]; a fact that cannot be read.
    pub fn plan_treatment_with(
        &mut self,
        yard: &str,
        trouble: &str,
        control: &str,
        facts: &PlanFacts,
    ) -> Result<PlannedTreatment, DeskError> {
        let options = self.treatment_options_with(yard, trouble, facts)?;
        let option = options.option_named(control)?.clone();
        super::paper::refuse_if_forbidden(&option)?;
        let lore = self.lore.controls.get(&option.control).cloned();
        if lore.as_ref().is_some_and(|c| c.needs_label) && option.amount.is_none() {
            return Err(DeskError::missing(
                format!("{}: {}", option.name, option.amount_note.clone().unwrap_or_else(|| "enter the label".to_owned())),
                "type the label in hand with `groundlore label add FILE`",
            ));
        }
        let row = self.book.yard_named(yard)?;
        let card = lore.as_ref().map(|c| self.card_for(c)).transpose()?.flatten();
        let class = lore.as_ref().map(|c| c.class);
        let opened = self.opened_by(row.id, &options, class)?;
        let window = opened.as_ref().map(|_| treatment_window(options.stage.as_ref(), self.today));
        let amount = option
            .amount
            .as_ref()
            .map(|a| if a.low == a.high { a.low.rounded(4) } else { format!("{} to {}", a.low.rounded(4), a.high.rounded(4)) });
        let decision = self.book.latest_decision(row.id, &options.trouble)?;
        let treatment = Treatment {
            yard_id: row.id,
            decision_id: decision.map(|d| d.id),
            label_card_id: card.as_ref().map(|c| c.id),
            trouble: options.trouble.clone(),
            control: option.control.clone(),
            target_stage: options.stage.as_ref().map(|w| w.stage.clone()),
            planned_on: self.today,
            earliest: window.as_ref().map(|w| w.earliest),
            best: window.as_ref().map(|w| w.best),
            latest: window.as_ref().map(|w| w.latest),
            area_m2: Some(options.area_m2),
            rate_text: facts.rate.clone().or_else(|| card.as_ref().and_then(|c| c.rate_text.clone())),
            amount_text: amount.clone(),
            untreated_strip: None,
            follow_up_on: Some(option.follow_up.earliest),
            area: facts.area.clone(),
            working: Some(serde_json::json!({
                "facts": facts,
                "checks": option.checks,
                "group": lore.as_ref().and_then(|c| c.group.as_ref()).map(|g| (&g.scheme, &g.code, &g.edition)),
                "group_on_card": card.as_ref().map(|c| (&c.mode_of_action_group, &c.mode_of_action_edition)),
            })),
            ..Treatment::default()
        };
        let id = self.book.write(|tx| tx.add(&treatment))?;
        let (Some(window), Some(opened)) = (window, opened) else {
            let look = self.look_first(yard, &options)?;
            return Ok(PlannedTreatment { treatment: id, look_first: Some(look) });
        };
        let task = treatment_task(&options, &option, window, opened, card.as_ref());
        let follow = follow_up_task(&options, &option);
        self.plan_tasks(row.id, &[task, follow])?;
        Ok(PlannedTreatment { treatment: id, look_first: None })
    }

    /// What opens a treatment's window: a clock that was read, counts of the last weeks that found something, a sight in the yard. None
    /// where only an estimate speaks for it. A practice needs none, and neither does a trouble without stages, which no clock times.
    fn opened_by(&self, yard_id: i64, options: &Options, class: Option<ControlClass>) -> Result<Option<Reason>, DeskError> {
        let said = |text: String, source: &str| Some(Reason { text, figure: None, source: source.to_owned() });
        let Some(stage) = &options.stage else {
            return Ok(said("no clock times it".to_owned(), ""));
        };
        if class == Some(ControlClass::Practice) {
            return Ok(said("a practice: its days are an estimate".to_owned(), &stage.source.to_string()));
        }
        let oldest = self.today.saturating_sub(COUNTS_HOLD_DAYS.days());
        for session in self.book.count_sessions_of(yard_id)?.into_iter().filter(|s| s.trouble == options.trouble) {
            let fresh = (oldest..=self.today).contains(&session.date);
            if fresh && self.book.counts_in(session.id)?.iter().any(|count| count.count > 0) {
                return Ok(said(format!("found here by the count of {}", session.date), "own count"));
            }
        }
        if self.stage_was_seen(yard_id, stage)? {
            return Ok(said("its clock was seen to come in this yard this season".to_owned(), "own sight"));
        }
        if stage.may_open_treatment {
            return Ok(said(format!("its days come from a clock that was read, of {}", stage.region), &stage.source.to_string()));
        }
        Ok(None)
    }

    /// Puts the count, or a look, into the week in the place of a treatment. Returns what is to be done first.
    fn look_first(&mut self, yard: &str, options: &Options) -> Result<String, DeskError> {
        let row = self.book.yard_named(yard)?;
        if let Ok(plan) = self.scouting_plan(yard, &options.trouble, LOOK_SAMPLES) {
            self.plan_scouting_task(&plan)?;
            return Ok(format!("count {} first", options.name.to_lowercase()));
        }
        let stage = options.stage.as_ref().map_or("it", |stage| stage.name.as_str());
        let what = format!("Look for {} before anything is treated: {stage}", options.name.to_lowercase());
        let task = Task {
            key: format!("{}/look-first/{}", slug(&options.yard), options.trouble),
            yard: options.yard.clone(),
            what: what.clone(),
            place: None,
            window: treatment_window(options.stage.as_ref(), self.today),
            reasons: vec![Reason { text: LOOK_FIRST.to_owned(), figure: None, source: String::new() }],
            takes: Takes::default(),
            forbids: Vec::new(),
            cautions: cautions(&[Hazard::StingsAndTicks]),
        };
        self.plan_tasks(row.id, &[task])?;
        Ok(what)
    }
}

fn treatment_task(options: &Options, option: &TreatmentOption, window: TaskWindow, opened: Reason, card: Option<&CardRow>) -> Task {
    let mut reasons = vec![Reason::new(
        format!("{} is believed to control", option.name),
        control_words(option),
        options.beliefs.get(&option.control).map(|b| b.rests_on.join("; ")).unwrap_or_default(),
    )];
    reasons.push(opened);
    if let Some(card) = card {
        reasons.push(Reason::new("rate, re-entry and gear are the label card's", card.name.clone(), "label card as typed"));
    }
    let forbids = option
        .checks
        .iter()
        .filter(|c| c.outcome != groundlore_plant_health::treatment::Outcome::Pass)
        .map(|c| format!("{}: {}", c.name, c.why));
    Task {
        key: format!("{}/treat/{}", slug(&options.yard), options.trouble),
        yard: options.yard.clone(),
        what: format!("{} against {}", option.name, options.name.to_lowercase()),
        place: Some(format!("{} to treat", crate::yards::square_feet(options.area_m2))),
        window,
        reasons,
        takes: Takes {
            materials: option.amount.iter().map(|a| (option.name.clone(), a.high.clone())).collect(),
            gear: option.protective_gear.clone(),
            ..Takes::default()
        },
        forbids: forbids.collect(),
        cautions: option.cautions.iter().cloned().chain(cautions(&[Hazard::Pesticide])).collect(),
    }
}

fn follow_up_task(options: &Options, option: &TreatmentOption) -> Task {
    let middle = option.follow_up.earliest;
    let strip = option.check_strip.iter().map(|s| s.how.clone());
    Task {
        key: format!("{}/follow-up/{}", slug(&options.yard), options.trouble),
        yard: options.yard.clone(),
        what: format!("Count {} again, in the treated ground and in the untreated strip", options.name.to_lowercase()),
        place: None,
        window: TaskWindow::fixed(option.follow_up.earliest, middle, option.follow_up.latest, &option.follow_up.why),
        reasons: vec![Reason {
            text: "without an untreated strip only a change is known, never control".to_owned(),
            figure: None,
            source: String::new(),
        }],
        takes: Takes::default(),
        forbids: Vec::new(),
        cautions: strip.collect(),
    }
}
