//! Scouting: where to look on a yard, how, how many, when; counts as they come in; and the verdict.

use crate::act_when::ActWhen;
use crate::clumping::{lore_k, taught_method, taylor_words};
pub use crate::counting::{CountEntry, StratumEntry};
use crate::stages::task_window;
use crate::strata::strata;
pub(crate) use crate::strata::{seed_of, strata_of};
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::counts::{Count, CountSession};
use groundlore_book::decisions::{Decision, Verdict as BookVerdict};
use groundlore_lore::trouble::Trouble;
use groundlore_plant_health::clock::Window;
use groundlore_plant_health::decision::{
    Answer, Case, Digging, Prices, Reach, Seen, Turf, Verdict, decide, digging_for_grubs, injury_days,
};
use groundlore_plant_health::density::{
    self, DensityPosterior, DensityPrior, Sample, SpeciesSplit, SpeciesThreshold, StratumCounts, ThresholdRange, by_species,
};
use groundlore_plant_health::dispersion::learned::{LearnedK, LearnedTaylor};
use groundlore_plant_health::fixed_precision::VarianceLaw;
use groundlore_plant_health::scouting::{self, Days, ScoutingPlan, Wish};
use groundlore_quantity::Quantity;
use groundlore_site::yard::{AreaKind, Yard};
use groundlore_work::task::{Reason, Takes, Task, Window as TaskWindow};
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde_json::json;
use std::collections::BTreeMap;

/// Days for which a stage that was seen at the count is taken as still there (common practice: a week).
const STAGE_HOLDS_DAYS: i32 = 7;
/// Days after which counts are too old to decide on (common practice).
const COUNTS_HOLD_DAYS: i64 = 28;

/// A scouting plan for a yard.
#[derive(Debug, Clone, serde::Serialize)]
pub struct YardPlan {
    /// Yard.
    pub yard: String,
    /// Key of the trouble.
    pub trouble: String,
    /// Name of the trouble.
    pub name: String,
    /// The plan.
    pub plan: ScoutingPlan,
    /// Windows of its stages, by this year's clock.
    pub windows: Vec<Window>,
    /// The thresholds, species by species.
    pub thresholds: Vec<SpeciesThreshold>,
    /// Said where no good figure is known.
    pub no_threshold: Option<String>,
    /// How it clumps, by this book's counts held to lore.
    pub clumping: LearnedK,
    /// Taylor's law by this book's counts, held to lore's k; none where too few sets were kept.
    pub taylor: Option<LearnedTaylor>,
}

/// A verdict with what it rests on.
#[derive(Debug, Clone, serde::Serialize)]
pub struct YardVerdict {
    /// Yard.
    pub yard: String,
    /// Key of the trouble.
    pub trouble: String,
    /// Name of the trouble.
    pub name: String,
    /// Number of the count session.
    pub session: i64,
    /// Day of the counts.
    pub counted_on: Date,
    /// Counts by stratum, in order.
    pub counts: Vec<(String, Vec<u64>)>,
    /// Posterior of density.
    pub density: DensityPosterior,
    /// Thresholds.
    pub thresholds: Vec<SpeciesThreshold>,
    /// Species shares; told in the hand or spread over the region's.
    pub species: BTreeMap<String, f64>,
    /// Were finds told by species?
    pub species_told: bool,
    /// Control that the money is reckoned with.
    pub control: Option<String>,
    /// The verdict.
    pub verdict: Verdict,
    /// When treating would be done.
    pub when: ActWhen,
    /// Area of a sample, m².
    pub sample_area_m2: f64,
    /// Number of the decision in the book.
    pub decision_id: i64,
}

impl Desk {
    /// A trouble of lore by key or name.
    ///
    /// # Errors
    /// An unknown name, with those that are near.
    pub fn trouble(&self, name: &str) -> Result<&Trouble, DeskError> {
        let wanted = name.trim().to_lowercase();
        let by_name = |t: &&Trouble| {
            t.key == wanted.replace(' ', "-") || t.name.to_lowercase() == wanted || t.also_called.iter().any(|a| a.to_lowercase() == wanted)
        };
        self.lore.troubles.values().find(by_name).ok_or_else(|| {
            let first = wanted.split(['-', ' ']).next().unwrap_or_default().trim_end_matches('s').to_owned();
            let near: Vec<&str> = self.lore.troubles.values().filter(|t| t.key.contains(&first)).map(|t| t.key.as_str()).take(6).collect();
            let hint =
                if near.is_empty() { "`groundlore lore list` shows them".to_owned() } else { format!("did you mean {}?", near.join(", ")) };
            DeskError::missing(format!("lore has no trouble `{name}`"), hint)
        })
    }

    /// A plan to scout a yard for a trouble.
    ///
    /// # Errors
    /// A trouble that is not counted, a yard without a map, a yard without ground of the kind.
    pub fn scouting_plan(&self, yard: &str, trouble: &str, most: u32) -> Result<YardPlan, DeskError> {
        let yard = self.yard(yard)?;
        let trouble = self.trouble(trouble)?;
        let Some(method) = &trouble.count else {
            return Err(DeskError::missing(
                format!("lore gives no way to count {}", trouble.name),
                "look at its findings instead: `groundlore lore show`",
            ));
        };
        let map = yard
            .map
            .as_ref()
            .ok_or_else(|| DeskError::missing(format!("{} has no map", yard.row.name), "import one with `groundlore yard import FILE`"))?;
        let strata = strata(map, trouble, seed_of(&yard.row.name))?;
        let thresholds = by_species(&trouble.thresholds, watered(map), &|source| self.lore.standing(source)).map_err(DeskError::science)?;
        let windows = self.stage_windows(&yard, trouble)?;
        let clumping = self.clumping(trouble, None)?;
        let taught = taught_method(method, &clumping);
        let taylor = self.taylor(trouble, &clumping, hull(&thresholds))?;
        let wish = Wish {
            strata: &strata,
            method: &taught,
            variance: taylor.map(|law| (VarianceLaw::Taylor { a: law.a, b: law.b }, taylor_words(&law, lore_k(trouble)))),
            threshold: hull(&thresholds),
            precision: 0.25,
            risk: 0.1,
            most,
            days: counting_days(&windows, self.today),
            start_lonlat: map.centre().map(|c| [c.x(), c.y()]),
        };
        let plan = scouting::plan(&wish).map_err(DeskError::science)?;
        let no_threshold = trouble.no_good_threshold.as_ref().map(|said| format!("{} ({})", said.text, said.source));
        Ok(YardPlan {
            yard: yard.row.name,
            trouble: trouble.key.clone(),
            name: trouble.name.clone(),
            plan,
            windows,
            thresholds,
            no_threshold,
            clumping,
            taylor,
        })
    }

    /// Plans the scouting as a task of the book.
    ///
    /// # Errors
    /// As [`Desk::scouting_plan`].
    pub fn plan_scouting_task(&mut self, plan: &YardPlan) -> Result<(), DeskError> {
        let yard = self.book.yard_named(&plan.yard)?;
        let soon = self.today.saturating_add(7.days());
        let window = counting_window(&plan.windows, self.today).unwrap_or_else(|| {
            TaskWindow::fixed(
                self.today,
                self.today,
                soon,
                "outside the days on which the clock says counting tells most; count because signs were seen",
            )
        });
        let samples = plan.plan.stops.len();
        let task = Task {
            key: format!("{}/scout/{}", crate::yards::slug(&plan.yard), plan.trouble),
            yard: plan.yard.clone(),
            what: format!("Count {}: {} × {}", plan.name.to_lowercase(), samples, plan.plan.sample),
            place: Some(plan.plan.allotment.iter().map(|a| format!("{} in {}", a.samples, a.stratum)).collect::<Vec<_>>().join(", ")),
            window,
            reasons: thresholds_reasons(plan),
            takes: Takes { minutes: Some(plan.plan.minutes), ..Takes::default() },
            forbids: Vec::new(),
            cautions: groundlore_work::caution::cautions(&[groundlore_work::caution::Hazard::StingsAndTicks]),
        };
        self.plan_tasks(yard.id, &[task])?;
        Ok(())
    }

    /// The verdict on the newest counts, written into the book.
    ///
    /// # Errors
    /// No counts, or counts too old to decide on.
    pub fn verdict(&mut self, yard: &str, trouble: &str) -> Result<YardVerdict, DeskError> {
        let on_desk = self.yard(yard)?;
        let trouble = self.trouble(trouble)?.clone();
        let session = self.newest_session(&on_desk, &trouble)?;
        let map = on_desk.map.as_ref().ok_or_else(|| DeskError::missing(format!("{yard} has no map"), "import one first"))?;
        let rows = self.book.counts_in(session.id)?;
        let thresholds = by_species(&trouble.thresholds, watered(map), &|source| self.lore.standing(source)).map_err(DeskError::science)?;
        let Some(range) = hull(&thresholds) else {
            let said = trouble.no_good_threshold.as_ref().map_or("no figure is known at which it injures", |t| t.text.as_str());
            return Err(DeskError::missing(format!("{}: {said}", trouble.name), "watch the plants, not the number; the counts are kept"));
        };
        let species = session.plan.as_ref().and_then(|p| serde_json::from_value(p["species"].clone()).ok()).unwrap_or_default();
        let (samples, sample_area_m2) = stratum_counts(map, &trouble, &on_desk.row.name, &rows, species)?;
        let k = self.k_of(&trouble, Some(session.id))?;
        let density = density::posterior(&samples, &DensityPrior::about(&range, k), 0.9).map_err(DeskError::science)?;
        let weights: Vec<(String, f64)> = thresholds.iter().map(|t| (t.species.clone(), 1.0)).collect();
        let split = SpeciesSplit::new(&weights, &density.species);
        let candidate = self.best_candidate(&on_desk, &trouble)?;
        let digging = digging(&session);
        let windows = self.stage_windows(&on_desk, &trouble)?;
        // A stage that was seen at the count holds for some days, then the clock alone tells.
        let fresh = (self.today - session.date).get_days() <= STAGE_HOLDS_DAYS;
        let stage_seen = rows.iter().find_map(|row| row.stage.as_deref()).filter(|_| fresh);
        let times = match &candidate {
            Some(candidate) => self.times_to_act(&trouble, &candidate.control, &windows, stage_seen)?,
            None => None,
        };
        let injures = on_desk.row.latitude.zip(trouble.season.as_ref()).and_then(|(at, shows)| injury_days(shows, at, self.today));
        let timing = times.as_ref().map(|times| times.timing(self.today, injures));
        let case = Case {
            density: &density,
            split: &split,
            thresholds: &thresholds,
            turf: turf(map, &session),
            digging: &digging,
            efficacy: candidate.as_ref().map(|c| &c.belief),
            reach: Reach::default(),
            timing: timing.as_ref(),
            label_card: candidate.as_ref().is_some_and(|c| c.card),
            prices: self.decision_prices()?,
            largest_patch_m2: map.patches.iter().map(|p| groundlore_site::measure::area_m2(&p.polygon)).max_by(f64::total_cmp),
            seed: seed_of(&on_desk.row.name),
        };
        let verdict = decide(&case).map_err(DeskError::science)?;
        let decision_id = self.keep_decision(&on_desk, &session, &trouble, &verdict)?;
        let mut counts: BTreeMap<String, Vec<u64>> = BTreeMap::new();
        for row in &rows {
            counts.entry(row.stratum.clone().unwrap_or_default()).or_default().push(u64::from(row.count));
        }
        Ok(YardVerdict {
            yard: on_desk.row.name.clone(),
            trouble: trouble.key.clone(),
            name: trouble.name.clone(),
            session: session.id,
            counted_on: session.date,
            counts: counts.into_iter().collect(),
            species: split.shares(),
            species_told: split.told > 0,
            density,
            thresholds,
            control: candidate.map(|c| c.name),
            verdict,
            when: times.map_or(ActWhen::NotTold, |times| times.when),
            sample_area_m2,
            decision_id,
        })
    }

    pub(crate) fn newest_session(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<CountSession, DeskError> {
        let session = self.book.count_sessions_of(yard.row.id)?.into_iter().find(|s| s.trouble == trouble.key && s.date <= self.today);
        let Some(session) = session else {
            return Err(DeskError::missing(
                format!("nobody has counted {} at {}", trouble.name.to_lowercase(), yard.row.name),
                "`groundlore scout` plans the count",
            ));
        };
        let oldest = self.today.checked_sub(COUNTS_HOLD_DAYS.days()).unwrap_or(self.today);
        if session.date < oldest {
            return Err(refused(
                "counts",
                session.date,
                &format!("are older than {COUNTS_HOLD_DAYS} days"),
                "count again: the ground has changed since",
            ));
        }
        Ok(session)
    }

    fn keep_decision(&mut self, yard: &YardOnDesk, session: &CountSession, trouble: &Trouble, verdict: &Verdict) -> Result<i64, DeskError> {
        let (word, more) = match &verdict.answer {
            Answer::Treat { .. } => (BookVerdict::Treat, None),
            Answer::Leave => (BookVerdict::Leave, None),
            Answer::CountMore { samples, .. } => (BookVerdict::CountMore, Some(*samples)),
            Answer::CannotSay { .. } => (BookVerdict::CannotTell, None),
        };
        let decision = Decision {
            yard_id: yard.row.id,
            session_id: Some(session.id),
            trouble: trouble.key.clone(),
            date: self.today,
            verdict: word,
            odds_wrong: verdict.p_wrong,
            count_more: more.filter(|n| *n > 0),
            cost_of_treating: verdict.costs.as_ref().map(|c| c.treat),
            cost_of_leaving: verdict.costs.as_ref().map(|c| c.leave),
            working: Some(json!({
                "words": verdict.answer.words(), "lines": verdict.working, "strata": treated_strata(&verdict.answer),
                "act": verdict.act, "costs": verdict.costs
            })),
            ..Decision::default()
        };
        let same = |old: &Decision| old.session_id == decision.session_id && old.date == decision.date && old.verdict == decision.verdict;
        if let Some(old) = self.book.latest_decision(yard.row.id, &trouble.key)?.filter(same) {
            return Ok(old.id);
        }
        Ok(self.book.write(|tx| tx.add(&decision))?)
    }

    /// The firm's own prices for a decision; what is not in the price list stays unknown.
    pub(crate) fn decision_prices(&self) -> Result<Prices, DeskError> {
        let of = |item: &str| -> Result<Option<f64>, DeskError> {
            let Some(price) = self.book.price_on(item, self.today)? else { return Ok(None) };
            let per_area = price.unit.parse_area_m2();
            Ok(price.unit_price().map(|p| per_area.map_or(p, |m2| p / m2)))
        };
        Ok(Prices {
            repair_per_m2: of("turf-repair")?,
            treatment_per_m2: of("turf-treatment")?,
            treatment_visit: of("treatment-visit")?,
            count_each: of("count-sample")?,
            count_visit: of("count-visit")?,
            side_effects_per_m2: of("side-effects")?,
            side_effects_visit: of("side-effects-visit")?,
        })
    }
}

fn treated_strata(answer: &Answer) -> Vec<String> {
    if let Answer::Treat { strata, .. } = answer { strata.clone() } else { Vec::new() }
}

/// Reads the area that a price is for.
trait PriceUnit {
    fn parse_area_m2(&self) -> Option<f64>;
}

impl PriceUnit for String {
    fn parse_area_m2(&self) -> Option<f64> {
        let text = self.trim();
        let whole = if text.starts_with(|c: char| c.is_ascii_digit()) { text.to_owned() } else { format!("1 {text}") };
        Quantity::parse_as(&whole, groundlore_quantity::Kind::Area).ok().map(|q| q.si())
    }
}

pub(crate) fn refused(what: &str, value: impl std::fmt::Display, why: &str, remedy: &str) -> DeskError {
    DeskError::Refused { what: what.to_owned(), value: value.to_string(), why: why.to_owned(), remedy: remedy.to_owned() }
}

/// Hull of the thresholds, per m².
pub(crate) fn hull(thresholds: &[SpeciesThreshold]) -> Option<ThresholdRange> {
    thresholds
        .iter()
        .map(|t| t.range)
        .reduce(|a, b| ThresholdRange { low_per_m2: a.low_per_m2.min(b.low_per_m2), high_per_m2: a.high_per_m2.max(b.high_per_m2) })
}

/// The stage to count at: of the treatable ones that are not over, the one that begins first.
fn stage_to_count(windows: &[Window], today: Date) -> Option<&Window> {
    windows.iter().filter(|w| w.treatable && w.p10.is_some() && w.p90.is_some_and(|last| last >= today)).min_by_key(|w| w.p10)
}

/// Days to count on: from when the stage begins in one year of ten to when it is over in nine.
fn counting_days(windows: &[Window], today: Date) -> Option<Days> {
    let window = stage_to_count(windows, today)?;
    let (earliest, latest) = (window.p10?, window.p90?);
    let best = window.p50.unwrap_or(earliest);
    Some(Days { earliest, best: best.clamp(earliest, latest), latest })
}

/// The window of the task of counting, by the clock; none where no stage on which a control works is on or ahead.
pub(crate) fn counting_window(windows: &[Window], today: Date) -> Option<TaskWindow> {
    let stage = stage_to_count(windows, today)?;
    let days = counting_days(windows, today)?;
    let beside: Vec<&Window> = windows.iter().filter(|w| w.treatable && w.stage != stage.stage).collect();
    Some(task_window(stage, &beside, [days.earliest, days.best.max(today).min(days.latest), days.latest], today))
}

/// Is the lawn watered? Known only where the map says the same of every lawn.
pub(crate) fn watered(map: &Yard) -> Option<bool> {
    let mut said = map.areas_of(AreaKind::Lawn).map(|lawn| lawn.irrigated);
    let first = said.next()??;
    said.all(|other| other == Some(first)).then_some(first)
}

/// State of the turf, by the map and by what was seen while counting.
fn turf(map: &Yard, session: &CountSession) -> Turf {
    let seen = |said: Option<bool>| said.map_or(Seen::NotLooked, |yes| if yes { Seen::Yes } else { Seen::No });
    Turf { watered: seen(watered(map)), vigorous: seen(session.plan.as_ref().and_then(|p| p["vigorous"].as_bool())) }
}

pub(crate) fn digging(session: &CountSession) -> Digging {
    let seen = match session.plan.as_ref().and_then(|p| p["digging"].as_bool()) {
        Some(true) => Seen::Yes,
        Some(false) => Seen::No,
        None => Seen::NotLooked,
    };
    let starts_at = session.trouble.contains("grub").then(digging_for_grubs);
    Digging { seen, starts_at }
}

fn stratum_counts(
    map: &Yard,
    trouble: &Trouble,
    yard: &str,
    rows: &[Count],
    species: BTreeMap<String, u64>,
) -> Result<(Vec<StratumCounts>, f64), DeskError> {
    let mut species = Some(species);
    let mut area_of_sample = 1.0;
    let samples = strata(map, trouble, seed_of(yard))?
        .into_iter()
        .map(|stratum| {
            let samples: Vec<Sample> = rows
                .iter()
                .filter(|row| row.stratum.as_deref() == Some(stratum.name.as_str()))
                .map(|row| Sample { found: u64::from(row.count), area_m2: row.sample_area_m2.unwrap_or(1.0) })
                .collect();
            if let Some(first) = samples.first() {
                area_of_sample = first.area_m2;
            }
            let mut told = if samples.is_empty() { BTreeMap::new() } else { species.take().unwrap_or_default() };
            for row in rows.iter().filter(|row| row.stratum.as_deref() == Some(stratum.name.as_str())) {
                if let Some(name) = &row.species {
                    *told.entry(name.clone()).or_default() += u64::from(row.count);
                }
            }
            StratumCounts { name: stratum.name, area_m2: stratum.area_m2, samples, species: told }
        })
        .collect();
    Ok((samples, area_of_sample))
}

fn thresholds_reasons(plan: &YardPlan) -> Vec<Reason> {
    let mut reasons: Vec<Reason> = plan
        .thresholds
        .iter()
        .map(|t| Reason::new(format!("{} injures from", t.species), per_ft2(&t.range), t.source.to_string()))
        .collect();
    if let Some(said) = &plan.no_threshold {
        reasons.push(Reason { text: said.clone(), figure: None, source: String::new() });
    }
    reasons
}

/// A threshold range per square foot, printed.
pub(crate) fn per_ft2(range: &ThresholdRange) -> String {
    let ft2 = 0.092_903_04;
    let print = |v: f64| groundlore_quantity::number::significant(v * ft2, 3);
    format!("{}–{} per ft²", print(range.low_per_m2), print(range.high_per_m2))
}
