//! The count afterwards: what it showed, and what is believed of the control from then on.

use crate::yards::slug;
use crate::{Desk, DeskError};
use groundlore_book::beliefs::{Belief as BeliefRow, BeliefShape};
use groundlore_book::follow_ups::{FollowUp as FollowUpRow, FollowUpCount, Moment, Strip};
use groundlore_lore::provenance::Source;
use groundlore_plant_health::belief::{Belief, Learned, NaturalDecline, learn, read_change};
use groundlore_plant_health::efficacy::design::{IntervalBy, shown_by};
use groundlore_plant_health::efficacy::{FollowUp, Shown, shown};
use jiff::civil::Date;

/// What a follow-up showed, and what was learned.
#[derive(Debug, Clone, serde::Serialize)]
pub struct FollowedUp {
    /// Control with its interval, or change only.
    pub shown: Shown,
    /// What may be said of it, in words.
    pub says: String,
    /// Belief before.
    pub before: Belief,
    /// Belief after; the same where there was no untreated check.
    pub after: Belief,
}

/// Share that goes by itself between two counts four weeks apart: nobody knows it well, so the range is wide.
fn natural_decline() -> NaturalDecline {
    NaturalDecline { low: 0.1, high: 0.5, source: Source(vec![Source::MEMORY.to_owned()]) }
}

impl Desk {
    /// Reads a follow-up: control with its interval where there was an untreated check, else only the change; writes it down, and the
    /// belief with it.
    ///
    /// # Errors
    /// No treatment to follow up, counts that show nothing.
    pub fn follow_up(&mut self, yard: &str, trouble: &str, counts: &FollowUp, date: Option<Date>) -> Result<FollowedUp, DeskError> {
        let row = self.book.yard_named(yard)?;
        let trouble = self.trouble(trouble)?.clone();
        let open = self.book.follow_ups_of(row.id)?.into_iter().find(|f| f.trouble == trouble.key && f.done_on.is_none());
        let Some(open) = open else {
            return Err(DeskError::missing(
                format!("no follow-up for {} is open at {}", trouble.name, row.name),
                "record the application first",
            ));
        };
        let key = open
            .control
            .clone()
            .ok_or_else(|| DeskError::missing("the follow-up names no control", "plan the treatment before recording it"))?;
        let control = self
            .lore
            .controls
            .get(&key)
            .cloned()
            .ok_or_else(|| DeskError::missing(format!("lore has no control `{key}`"), "check the overlay"))?;
        let found = shown_by(counts, 0.9, interval_by(counts)).map_err(DeskError::science)?;
        let day = date.unwrap_or(self.today);
        let place = format!("{} {}", row.name, day.year());
        let before = self.belief_about(&control, &trouble.key)?;
        let learned = learn(day.year(), &place, &found);
        let rows = follow_up_rows(counts, day);
        let done = FollowUpRow { done_on: Some(day), result: serde_json::to_value(&found).ok(), ..open };
        self.book.write(|tx| {
            tx.change(&done)?;
            for count in &rows {
                tx.add(&FollowUpCount { follow_up_id: done.id, ..count.clone() })?;
            }
            if let Learned::Observation(seen) = &learned {
                tx.record_belief(&BeliefRow {
                    control: key.clone(),
                    trouble: trouble.key.clone(),
                    year: i64::from(seen.year),
                    shape: BeliefShape::LogitNormal,
                    logit_mean: Some(seen.logit),
                    logit_variance: Some(seen.se_logit * seen.se_logit),
                    source: "own follow-up".to_owned(),
                    follow_up_id: Some(done.id),
                    recorded_on: Some(day),
                    note: Some(place.clone()),
                    ..BeliefRow::default()
                })?;
            }
            Ok(())
        })?;
        self.finish_task(&format!("{}/follow-up/{}", slug(&row.name), trouble.key), None)?;
        let after = self.belief_about(&control, &trouble.key)?;
        let says = match &found {
            Shown::Control { estimate, method } => format!(
                "{} controlled {:.0} % (90 % interval {:.0} to {:.0} %; {method}).",
                control.name,
                estimate.share * 100.0,
                estimate.low * 100.0,
                estimate.high * 100.0
            ),
            Shown::ChangeOnly { fall, caution } => format!("{} {caution}", read_change(fall, &natural_decline()).says),
        };
        Ok(FollowedUp { shown: found, says, before, after })
    }

    /// Writes down what earlier years' follow-ups with an untreated check showed (counts, not figures), so that belief starts from them.
    ///
    /// # Errors
    /// An unknown control or trouble, counts that show nothing.
    pub fn add_history(&mut self, yard: &str, trouble: &str, control: &str, year: i16, counts: &FollowUp) -> Result<(), DeskError> {
        let row = self.book.yard_named(yard)?;
        let trouble = self.trouble(trouble)?.key.clone();
        if !self.lore.controls.contains_key(control) {
            return Err(DeskError::missing(format!("lore has no control `{control}`"), "`groundlore lore list` shows them"));
        }
        let place = format!("{} {year}", row.name);
        let Learned::Observation(seen) = learn(year, &place, &shown(counts, 0.9).map_err(DeskError::science)?) else {
            return Err(DeskError::missing(
                "there was no untreated check",
                "without one only a change is known, and nothing is learned of the control",
            ));
        };
        self.book.write(|tx| {
            tx.record_belief(&BeliefRow {
                control: control.to_owned(),
                trouble: trouble.clone(),
                year: i64::from(year),
                shape: BeliefShape::LogitNormal,
                logit_mean: Some(seen.logit),
                logit_variance: Some(seen.se_logit * seen.se_logit),
                source: "own follow-up".to_owned(),
                recorded_on: Some(self.today),
                note: Some(place.clone()),
                ..BeliefRow::default()
            })
        })?;
        Ok(())
    }
}

/// Resampled plots where both sides have enough of them, else the delta method, which keeps its level with few.
fn interval_by(counts: &FollowUp) -> IntervalBy {
    const ENOUGH: usize = 12;
    let enough = counts.treated_after.len().min(counts.check_after.len()) >= ENOUGH;
    if enough { IntervalBy::Resampling { draws: 4_000, seed: 1 } } else { IntervalBy::Delta }
}

fn follow_up_rows(counts: &FollowUp, day: Date) -> Vec<FollowUpCount> {
    let lists = [
        (&counts.treated_before, Strip::Treated, Moment::Before),
        (&counts.treated_after, Strip::Treated, Moment::After),
        (&counts.check_before, Strip::Untreated, Moment::Before),
        (&counts.check_after, Strip::Untreated, Moment::After),
    ];
    lists
        .into_iter()
        .flat_map(|(list, strip, moment)| list.iter().map(move |count| (strip, moment, *count)))
        .map(|(strip, moment, count)| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            FollowUpCount { strip, moment, date: day, count: count.max(0.0) as u32, ..FollowUpCount::default() }
        })
        .collect()
}
