//! Counts as they come in: held to what they can be, and written into the book as sessions.

use crate::scouting::refused;
use crate::{Desk, DeskError};
use groundlore_book::counts::{Count, CountSession};
use groundlore_lore::trouble::{Method, Trouble};
use groundlore_quantity::Quantity;
use jiff::civil::Date;
use serde_json::json;
use std::collections::BTreeMap;

/// Counts to write down: one stratum's.
#[derive(Debug, Clone)]
pub struct StratumEntry {
    /// Stratum, as the plan names it.
    pub stratum: String,
    /// Counts, one a sample.
    pub counts: Vec<u64>,
    /// Area of a sample; the method's own where left out.
    pub sample_area: Option<Quantity>,
}

/// A session of counts to write down.
#[derive(Debug, Clone, Default)]
pub struct CountEntry {
    /// The strata counted.
    pub strata: Vec<StratumEntry>,
    /// Finds told by species, over all strata; empty means nobody looked.
    pub species: BTreeMap<String, u64>,
    /// Stage seen.
    pub stage: Option<String>,
    /// Who counted.
    pub who: Option<String>,
    /// Day; today where left out.
    pub date: Option<Date>,
    /// Was fresh digging by animals seen?
    pub digging: Option<bool>,
    /// Is the turf dense and growing well?
    pub vigorous: Option<bool>,
    /// Of how many each count is a part: points of a quadrat, 100 for cover in per cent. None for plain counts.
    pub of: Option<u32>,
    /// Nights that the traps stood; one where left out, for traps only.
    pub nights: Option<f64>,
    /// Share of cover that the owner bears, 0–1, where that was said.
    pub bearable: Option<f64>,
}

impl Desk {
    /// Writes counts into the book as one session.
    ///
    /// # Errors
    /// No counts, a stratum that the plan does not name, a sample area of the wrong kind.
    pub fn enter_counts(&mut self, yard: &str, trouble: &str, entry: &CountEntry) -> Result<i64, DeskError> {
        let plan = self.scouting_plan(yard, trouble, 60)?;
        let row = self.book.yard_named(yard)?;
        let date = entry.date.unwrap_or(self.today);
        if date > self.today {
            return Err(refused("date of the counts", date, "lies in the future", "give the day on which they were counted"));
        }
        if entry.strata.iter().all(|s| s.counts.is_empty()) {
            return Err(DeskError::missing("no counts are given", "give them by stratum, for example `--counts margin=\"9 4 14\"`"));
        }
        check_shares(entry)?;
        let stage = entry.stage.as_deref().map(|seen| stage_of(self.trouble(trouble)?, seen)).transpose()?;
        let names: Vec<String> = plan.plan.allotment.iter().map(|a| a.stratum.clone()).collect();
        let nights = (plan.plan.method == Method::Trap).then(|| entry.nights.unwrap_or(1.0));
        let mut counts = Vec::new();
        for stratum in &entry.strata {
            let name = match_stratum(&names, &stratum.stratum)?;
            let area = match &stratum.sample_area {
                Some(area) => Some(area.in_unit("m2").map_err(|source| DeskError::Quantity { what: "sample area".to_owned(), source })?),
                None => plan.plan.sample_area_m2,
            };
            for found in &stratum.counts {
                let count = u32::try_from(*found).map_err(|_| refused("count", found, "is too large", "check the figure"))?;
                counts.push(Count {
                    trouble: plan.trouble.clone(),
                    stratum: Some(name.clone()),
                    stage: stage.clone(),
                    method: Some(format!("{:?}", plan.plan.method).to_lowercase()),
                    sample_area_m2: area,
                    sample_text: Some(plan.plan.sample.clone()),
                    count,
                    date,
                    who: entry.who.clone(),
                    out_of: entry.of,
                    nights,
                    ..Count::default()
                });
            }
        }
        let session = CountSession {
            yard_id: row.id,
            trouble: plan.trouble.clone(),
            date,
            who: entry.who.clone(),
            plan: Some(json!({
                "species": entry.species, "digging": entry.digging, "vigorous": entry.vigorous, "bearable": entry.bearable
            })),
            ..CountSession::default()
        };
        let id = self.book.write(|tx| tx.add_count_session(&session, &counts))?;
        self.finish_task(&format!("{}/scout/{}", crate::yards::slug(&row.name), plan.trouble), entry.who.as_deref())?;
        self.finish_looks(row.id, entry.who.as_deref())?;
        Ok(id)
    }

    /// Writes rows of a count sheet into the book, one session for each trouble and day.
    ///
    /// # Errors
    /// A stratum that the plan does not name; a day that lies ahead. Nothing is written then.
    pub fn enter_count_rows(&mut self, yard: &str, rows: &[Count]) -> Result<Vec<i64>, DeskError> {
        let row = self.book.yard_named(yard)?;
        let mut sessions: BTreeMap<(String, Date), Vec<Count>> = BTreeMap::new();
        for count in rows {
            let trouble = self.trouble(&count.trouble)?.key.clone();
            if count.date > self.today {
                return Err(refused("date of the counts", count.date, "lies in the future", "give the day on which they were counted"));
            }
            let mut count = Count { trouble: trouble.clone(), ..count.clone() };
            if let Some(stratum) = &count.stratum {
                let plan = self.scouting_plan(yard, &trouble, 60)?;
                let names: Vec<String> = plan.plan.allotment.iter().map(|a| a.stratum.clone()).collect();
                count.stratum = Some(match_stratum(&names, stratum)?);
            }
            sessions.entry((trouble, count.date)).or_default().push(count);
        }
        let ids = self.book.write(|tx| {
            sessions
                .iter()
                .map(|((trouble, date), counts)| {
                    let who = counts.iter().find_map(|c| c.who.clone());
                    tx.add_count_session(
                        &CountSession { yard_id: row.id, trouble: trouble.clone(), date: *date, who, ..CountSession::default() },
                        counts,
                    )
                })
                .collect()
        })?;
        for (trouble, _) in sessions.keys() {
            self.finish_task(&format!("{}/scout/{trouble}", crate::yards::slug(&row.name)), None)?;
        }
        self.finish_looks(row.id, None)?;
        Ok(ids)
    }

    /// Counting answers the looks that letters asked for at this yard: they are done.
    fn finish_looks(&mut self, yard_id: i64, who: Option<&str>) -> Result<(), DeskError> {
        let asks = |task: &groundlore_book::tasks::Task| {
            task.key.ends_with("/look") && task.area.as_deref().is_some_and(|a| a.starts_with("count "))
        };
        let keys: Vec<String> = self.book.tasks_of(yard_id)?.into_iter().filter(|t| asks(t)).map(|t| t.key).collect();
        keys.iter().try_for_each(|key| self.finish_task(key, who))
    }

    /// Sets a task to done, where the book has it open.
    pub(crate) fn finish_task(&mut self, key: &str, who: Option<&str>) -> Result<(), DeskError> {
        if self.book.task_keyed(key)?.is_some() {
            self.set_task(key, groundlore_book::tasks::TaskState::Done, None, who)?;
        }
        Ok(())
    }
}

fn match_stratum(names: &[String], given: &str) -> Result<String, DeskError> {
    let wanted = given.trim().to_lowercase();
    names
        .iter()
        .find(|name| name.to_lowercase() == wanted)
        .or_else(|| names.iter().find(|name| name.to_lowercase().contains(&wanted)))
        .cloned()
        .ok_or_else(|| refused("stratum", given, "is not one of this plan's", &format!("use {}", names.join(", "))))
}

/// The key of a stage by its key or name; any words where lore tells no stages of the trouble.
fn stage_of(trouble: &Trouble, seen: &str) -> Result<String, DeskError> {
    let wanted = seen.trim().to_lowercase();
    let found = trouble.stages.iter().find(|s| s.key == wanted.replace(' ', "-") || s.name.to_lowercase() == wanted);
    match found {
        Some(stage) => Ok(stage.key.clone()),
        None if trouble.stages.is_empty() => Ok(seen.trim().to_owned()),
        None => {
            let keys: Vec<&str> = trouble.stages.iter().map(|s| s.key.as_str()).collect();
            Err(refused(
                "stage",
                seen,
                &format!("is no stage of {}", trouble.name.to_lowercase()),
                &format!("use one of {}", keys.join(", ")),
            ))
        }
    }
}

/// Shares, nights and the bearable share lie within what they can be.
fn check_shares(entry: &CountEntry) -> Result<(), DeskError> {
    if let Some(of) = entry.of {
        if of == 0 {
            return Err(refused("number looked at", of, "is nought", "give the points of a quadrat, or 100 for per cent"));
        }
        if let Some(count) = entry.strata.iter().flat_map(|s| &s.counts).find(|c| **c > u64::from(of)) {
            return Err(refused("count", count, &format!("is more than the {of} that were looked at"), "check the figure"));
        }
    }
    if let Some(nights) = entry.nights.filter(|n| !(n.is_finite() && *n > 0.0)) {
        return Err(refused("nights", nights, "is no number of nights", "give the nights that the traps stood, for example 1"));
    }
    if let Some(share) = entry.bearable.filter(|s| !(0.0..=1.0).contains(s)) {
        return Err(refused("bearable cover", share, "is no share", "give a share of the ground, for example 5%"));
    }
    Ok(())
}
