//! When a treatment would go on: the stage that is here, the one ahead that the control works on, and what is believed of each.

use crate::{Desk, DeskError};
use groundlore_lore::control::Control;
use groundlore_lore::trouble::Trouble;
use groundlore_plant_health::belief::Belief;
use groundlore_plant_health::clock::{Standing, Window, likeliest};
use groundlore_plant_health::decision::{Act, Timing};
use jiff::ToSpan as _;
use jiff::civil::Date;

/// Days after which one comes back to count while the stage is here (common practice: a week).
const COME_BACK_DAYS: i64 = 7;

/// When treating would be done: the evidence on a control is of the stage that it works on.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(tag = "when", rename_all = "kebab-case")]
pub enum ActWhen {
    /// A stage on which the control works is here.
    Now {
        /// Name of the stage.
        stage: String,
        /// Day by which it is over in nine futures of ten; none where it was told by the counts alone.
        until: Option<Date>,
    },
    /// The next such stage lies ahead.
    Ahead {
        /// Name of the stage.
        stage: String,
        /// One future in ten has it by this day.
        from: Date,
        /// Half have it by this day.
        best: Date,
    },
    /// This season's are over.
    Over,
    /// No clock tells a stage.
    NotTold,
}

impl ActWhen {
    /// What is to be known of it, in a sentence.
    pub fn words(&self) -> String {
        match self {
            Self::Now { stage, until } => {
                let over = until.map_or_else(String::new, |day| format!(" by the clock, and over by {day} in nine futures of ten"));
                format!("The stage that the control works on ({stage}) is here{over}: treating now is treating at the stage.")
            }
            Self::Ahead { stage, from, best } => format!(
                "The next stage that the control works on ({stage}) comes from {from}, best about {best}. Its cost holds as if as many were there then: count again shortly before. The stage is looked for first; if it is missed, nothing is applied."
            ),
            Self::Over => "By the clock the stages that the control works on are over for this season.".to_owned(),
            Self::NotTold => {
                "No clock tells the stage that controls work on: look at what is found, and treat only the stage on the label.".to_owned()
            }
        }
    }
}

/// One time to act, as the desk keeps it.
struct Time {
    stage: Option<String>,
    on: Date,
    met: f64,
    looked_for: bool,
    belief: Option<Belief>,
}

impl Time {
    fn act(&self) -> Act<'_> {
        let Self { stage, on, met, looked_for, belief } = self;
        Act { stage: stage.clone(), on: *on, met: *met, looked_for: *looked_for, efficacy: belief.as_ref() }
    }
}

/// The times at which a control may go on at a yard.
pub(crate) struct Times {
    pub(crate) when: ActWhen,
    now: Time,
    at_stage: Option<Time>,
    again: Option<Time>,
}

impl Times {
    pub(crate) fn timing(&self, today: Date, injures: Option<(Date, Date)>) -> Timing<'_> {
        Timing {
            today,
            now: self.now.act(),
            at_stage: self.at_stage.as_ref().map(Time::act),
            again: self.again.as_ref().map(Time::act),
            injures,
        }
    }
}

/// Chance that a stage is not missed on a day: it comes this season, and is not over by then.
fn met(window: &Window, on: Date) -> f64 {
    let over = match window.closes.iter().rfind(|(day, _)| *day <= on) {
        Some((_, chance)) => *chance,
        None => 0.0,
    };
    (1.0 - window.never) * (1.0 - over)
}

impl Desk {
    /// The times at which a control may go on against a trouble, from the windows of its stages and what the counts said of the stage;
    /// none where no clock and no count tells any stage.
    pub(crate) fn times_to_act(
        &self,
        trouble: &Trouble,
        control: &str,
        windows: &[Window],
        stage_seen: Option<&str>,
    ) -> Result<Option<Times>, DeskError> {
        let Some(control) = self.lore.controls.get(control) else { return Ok(None) };
        let seen = stage_seen.map(|seen| seen.trim().to_lowercase());
        let counted =
            seen.and_then(|seen| trouble.stages.iter().find(|s| s.key == seen.replace(' ', "-") || s.name.to_lowercase() == seen));
        if counted.is_none() && windows.iter().all(|w| w.p10.is_none()) {
            return Ok(None);
        }
        let works_on = |stage: &str| works_on(control, &trouble.key, stage);
        let here: Vec<&Window> = windows.iter().filter(|w| w.stands(self.today) == Standing::Now).collect();
        let worked_here = here.iter().find(|w| works_on(&w.stage) && w.treatable).or_else(|| here.iter().find(|w| works_on(&w.stage)));
        let now = match (counted, worked_here) {
            (Some(stage), _) => self.time(trouble, control, (&stage.key, &stage.name), self.today, 1.0, false)?,
            (None, Some(window)) => {
                self.time(trouble, control, (&window.stage, &window.name), self.today, met(window, self.today), false)?
            }
            (None, None) => match likeliest(windows, self.today) {
                Some(window) => self.time(trouble, control, (&window.stage, &window.name), self.today, 1.0, false)?,
                None => Time { stage: None, on: self.today, met: 1.0, looked_for: false, belief: None },
            },
        };
        let now_works = now.belief.is_some();
        let same = |w: &Window| now.stage.as_deref() == Some(w.name.as_str());
        let ahead =
            windows.iter().filter(|w| w.treatable && works_on(&w.stage) && !same(w)).filter_map(|w| Some((w, w.p10?, w.p50?, w.p90?)));
        let next = ahead.filter(|(_, first, _, _)| *first > self.today).min_by_key(|(_, first, _, _)| *first);
        let at_stage = match next {
            Some((window, _, best, _)) => {
                Some(self.time(trouble, control, (&window.stage, &window.name), best, met(window, best), true)?)
            }
            None => None,
        };
        let back = self.today.saturating_add(COME_BACK_DAYS.days());
        let still = worked_here.filter(|w| now_works && w.p90.is_some_and(|last| last >= back));
        let again = match (still, next) {
            (Some(window), _) => Some(self.time(trouble, control, (&window.stage, &window.name), back, met(window, back), true)?),
            (None, Some((window, _, best, _))) => {
                Some(self.time(trouble, control, (&window.stage, &window.name), best, met(window, best), true)?)
            }
            (None, None) => None,
        };
        let when = match (&now, next) {
            (now, _) if now_works => {
                let until = if counted.is_some() { None } else { worked_here.and_then(|w| w.p90) };
                ActWhen::Now { stage: now.stage.clone().unwrap_or_default(), until }
            }
            (_, Some((window, from, best, _))) => ActWhen::Ahead { stage: window.name.clone(), from, best },
            _ => ActWhen::Over,
        };
        Ok(Some(Times { when, now, at_stage, again }))
    }

    fn time(
        &self,
        trouble: &Trouble,
        control: &Control,
        (key, name): (&str, &str),
        on: Date,
        met: f64,
        looked_for: bool,
    ) -> Result<Time, DeskError> {
        let belief = self.belief_on(control, &trouble.key, Some(key))?;
        Ok(Time { stage: Some(name.to_owned()), on, met, looked_for, belief: (belief.observations > 0).then_some(belief) })
    }
}

/// Whether lore has evidence of a control on a stage.
fn works_on(control: &Control, trouble: &str, stage: &str) -> bool {
    control
        .targets
        .iter()
        .any(|t| t.trouble == trouble && !t.evidence.is_empty() && (t.stages.is_empty() || t.stages.iter().any(|s| s == stage)))
}
