//! Treatment: which control, by evidence and by the label card; the plan, the record, the follow-up, and what was learned.

use crate::yards::{YardOnDesk, distance_to_water_m, slug};
use crate::{Desk, DeskError};
use groundlore_book::applications::{ApplicationKind, ApplicationRecord};
use groundlore_book::beliefs::{Belief as BeliefRow, BeliefShape};
use groundlore_book::follow_ups::{FollowUp as FollowUpRow, FollowUpCount, Moment, Strip};
use groundlore_book::label_cards::{LabelCard as CardRow, RateUnit};
use groundlore_book::treatments::Treatment;
use groundlore_lore::control::{Control, ControlClass};
use groundlore_lore::provenance::Source;
use groundlore_lore::trouble::Trouble;
use groundlore_plant_health::belief::{Belief, Learned, NaturalDecline, Observation, Origin, belief, learn, read_change};
use groundlore_plant_health::clock::{Standing, Window};
use groundlore_plant_health::decision::Seen;
use groundlore_plant_health::efficacy::{FollowUp, Shown, shown};
use groundlore_plant_health::treatment::{
    Candidate, DayPermit, DayWeather, InBloom, LabelCard, PastUse, Situation, TreatmentOption, permits, rank, weather_limits,
};
use groundlore_quantity::{Kind, Quantity};
use groundlore_site::measure::area_m2;
use groundlore_site::yard::AreaKind;
use groundlore_work::caution::{Hazard, cautions};
use groundlore_work::task::{Reason, Takes, Task, Window as TaskWindow};
use jiff::ToSpan as _;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Options for a trouble at a yard.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Options {
    /// Yard.
    pub yard: String,
    /// Key of the trouble.
    pub trouble: String,
    /// Name of the trouble.
    pub name: String,
    /// Stage it is in or comes to next.
    pub stage: Option<Window>,
    /// Area to treat, m².
    pub area_m2: f64,
    /// The options, ranked.
    pub options: Vec<TreatmentOption>,
    /// What is in flower on this yard.
    pub in_bloom: Option<Vec<String>>,
    /// Days whose weather permits, with odds, by the best option's label card.
    pub days: Vec<DayPermit>,
    /// Beliefs by control, for their curves.
    pub beliefs: BTreeMap<String, Belief>,
    /// Settings of spreader or sprayer by control, from the label cards.
    pub settings: BTreeMap<String, Vec<String>>,
}

/// What the user states of an application.
#[derive(Debug, Clone, Default)]
pub struct ApplicationEntry {
    /// Name of the label card.
    pub card: String,
    /// Day; today where left out.
    pub date: Option<Date>,
    /// Area treated, as `5200 ft2`; the planned area where left out.
    pub area: Option<String>,
    /// Rate used, as on the card.
    pub rate: Option<String>,
    /// Total amount.
    pub amount: Option<String>,
    /// Water that carried it.
    pub carrier: Option<String>,
    /// Who applied it; the firm's applicator where left out.
    pub applicator: Option<String>,
    /// Wind speed.
    pub wind: Option<String>,
    /// Temperature.
    pub temperature: Option<String>,
    /// Was a strip left untreated?
    pub untreated_strip: Option<bool>,
    /// Anything else.
    pub note: Option<String>,
}

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
    /// What is believed of a control against a trouble: lore's evidence and this book's own follow-ups, recent years weighing more.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn belief_about(&self, control: &Control, trouble: &str) -> Result<Belief, DeskError> {
        let mut seen: Vec<Observation> = control
            .targets
            .iter()
            .filter(|target| target.trouble == trouble)
            .flat_map(|target| &target.evidence)
            .map(|evidence| Observation::from_lore(evidence, self.lore.standing(&evidence.control.source)))
            .collect();
        for row in self.book.beliefs_about(&control.key, trouble)? {
            let (Some(logit), Some(variance)) = (row.logit_mean, row.logit_variance) else { continue };
            let year = i16::try_from(row.year).unwrap_or(self.today.year());
            let place = row.note.clone().unwrap_or_else(|| "this book".to_owned());
            seen.push(Observation { year, logit, se_logit: variance.sqrt(), comparisons: 1, origin: Origin::Own { place } });
        }
        Ok(belief(&seen, self.today.year()))
    }

    /// The label card typed for a control, if any.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn card_for(&self, control: &Control) -> Result<Option<CardRow>, DeskError> {
        Ok(self.book.label_cards()?.into_iter().find(|card| card_is_of(card, control)))
    }

    /// The control that the money of a decision is reckoned with: the best that is not refused, a treatment before a practice.
    pub(crate) fn best_candidate(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<Option<(String, Belief, bool)>, DeskError> {
        let options = self.options_for(yard, trouble)?;
        let usable = |o: &&TreatmentOption| o.standing != groundlore_plant_health::treatment::Outcome::Refuse;
        let best = options
            .options
            .iter()
            .filter(usable)
            .find(|o| o.class != ControlClass::Practice)
            .or_else(|| options.options.iter().find(usable));
        let free = |key: &str| self.lore.controls.get(key).is_some_and(|c| !c.needs_label);
        Ok(best.map(|o| (o.name.clone(), options.beliefs[&o.control].clone(), o.amount.is_some() || free(&o.control))))
    }

    /// Ranked options for a trouble at a yard today.
    ///
    /// # Errors
    /// Unknown names, a yard without a map or lawn.
    pub fn treatment_options(&self, yard: &str, trouble: &str) -> Result<Options, DeskError> {
        let yard = self.yard(yard)?;
        let trouble = self.trouble(trouble)?.clone();
        self.options_for(&yard, &trouble)
    }

    fn options_for(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<Options, DeskError> {
        let area_m2 = self.area_to_treat(yard, trouble)?;
        let windows = self.stage_windows(yard, trouble)?;
        let stage = current_stage(&windows, self.today).cloned();
        let keys: Vec<&Control> = controls_of(self, trouble);
        let mut beliefs = BTreeMap::new();
        let mut cards = BTreeMap::new();
        let mut settings = BTreeMap::new();
        for control in &keys {
            beliefs.insert(control.key.clone(), self.belief_about(control, &trouble.key)?);
            if let Some(card) = self.card_for(control)? {
                settings.insert(control.key.clone(), crate::calibration::setting_lines(&card, area_m2)?);
                cards.insert(control.key.clone(), science_card(&card)?);
            }
        }
        let candidates: Vec<Candidate> =
            keys.iter().map(|c| Candidate { control: c, belief: &beliefs[&c.key], label: cards.get(&c.key) }).collect();
        let on_turf = trouble.hosts.iter().any(|h| h == "lawn");
        let bloom = self.in_bloom(yard, if on_turf { AreaKind::Lawn } else { AreaKind::Bed });
        let futures = self.futures(yard, 14)?;
        let history = self.past_uses(yard, trouble)?;
        let plants: Option<Vec<String>> = yard.map.as_ref().filter(|m| !m.plants.is_empty() || !m.trees.is_empty()).map(plants_named);
        let situation = Situation {
            trouble: &trouble.key,
            stage: stage.as_ref().map(|w| w.stage.as_str()),
            site: if trouble.hosts.iter().any(|h| h == "lawn") { "lawn" } else { "ornamentals" },
            area_m2,
            date: self.today,
            generation: Some(i32::from(self.today.year())),
            history: &history,
            bloom: bloom.as_deref(),
            children: seen(yard.row.children),
            pets: seen(yard.row.pets),
            water_distance_m: nearest_water_m(yard),
            plants: plants.as_deref(),
            follow_up_days: None,
            futures: futures.as_deref(),
        };
        let options = rank(&candidates, &situation).map_err(DeskError::science)?;
        let limits = options.iter().find_map(|o| cards.get(&o.control)).map(weather_limits).transpose().map_err(DeskError::science)?;
        let days = match (limits, &futures) {
            (Some(limits), Some(futures)) => permits(futures, &limits),
            _ => Vec::new(),
        };
        Ok(Options {
            yard: yard.row.name.clone(),
            trouble: trouble.key.clone(),
            name: trouble.name.clone(),
            stage,
            area_m2,
            options,
            in_bloom: bloom.map(|b| b.into_iter().map(|b| b.plant).collect()),
            days,
            beliefs,
            settings,
        })
    }

    /// Area to treat: the strata where the last verdict says that treating pays, else the patches with their margin, else all of it.
    fn area_to_treat(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<f64, DeskError> {
        let map = yard.map.as_ref().ok_or_else(|| DeskError::missing(format!("{} has no map", yard.row.name), "import one first"))?;
        let on_turf = trouble.hosts.iter().any(|h| h == "lawn");
        let kind = if on_turf { AreaKind::Lawn } else { AreaKind::Bed };
        let whole: f64 = map.areas_of(kind).map(|a| area_m2(&a.polygon)).sum();
        if whole <= 0.0 {
            return Err(DeskError::missing(
                format!("the map of {} has no {}", yard.row.name, kind.word()),
                "draw one and import the map again",
            ));
        }
        let decision = self.book.latest_decision(yard.row.id, &trouble.key)?;
        let named: Vec<String> = decision
            .as_ref()
            .and_then(|d| d.working.as_ref())
            .and_then(|w| serde_json::from_value(w["strata"].clone()).ok())
            .unwrap_or_default();
        let strata = crate::scouting::strata_of(map, trouble, &yard.row.name)?;
        let pays: f64 = strata.iter().filter(|(name, _)| named.contains(name)).map(|(_, area)| area).sum();
        if pays > 0.0 {
            return Ok(pays);
        }
        let poor: f64 = strata.iter().filter(|(name, _)| on_turf && name != "sound turf").map(|(_, area)| area).sum();
        Ok(if poor > 0.0 { poor } else { whole })
    }

    fn in_bloom(&self, yard: &YardOnDesk, treated: AreaKind) -> Option<Vec<InBloom>> {
        let map = yard.map.as_ref().filter(|map| !map.plants.is_empty())?;
        let south = yard.row.latitude.is_some_and(|l| l < 0.0);
        let month = self.today.month() as u8;
        let month = if south { (month + 5) % 12 + 1 } else { month };
        let mut found: BTreeMap<String, InBloom> = BTreeMap::new();
        for plant in &map.plants {
            let Some(entry) = self.lore.plants.get(&plant.plant) else { continue };
            let (from, to) = (entry.bloom.from_month, entry.bloom.to_month);
            let open = if from <= to { (from..=to).contains(&month) } else { month >= from || month <= to };
            if open {
                let here = map.areas_of(treated).any(|area| geo::Contains::contains(&area.polygon, &plant.point));
                let within = here || found.get(&entry.key).is_some_and(|known| known.in_treated_area);
                let bees = if entry.visitors.iter().any(|v| v.kind == "bees") { Seen::Yes } else { Seen::NotLooked };
                found.insert(entry.key.clone(), InBloom { plant: entry.name.clone(), bees_visit: bees, in_treated_area: within });
            }
        }
        Some(found.into_values().collect())
    }

    fn futures(&self, yard: &YardOnDesk, days: i64) -> Result<Option<Vec<Vec<DayWeather>>>, DeskError> {
        let Some(station) = &yard.row.station else { return Ok(None) };
        if let Some(by_forecast) = self.days_by_forecast(&yard.row, days)? {
            return Ok(Some(by_forecast));
        }
        let ensemble = self.ensemble(station)?;
        let last = self.today.checked_add(days.days()).unwrap_or(self.today);
        let of = |future| {
            ensemble
                .days(future, self.today, last)
                .map(|d| DayWeather { date: d.date, tmin_c: d.tmin_c, tmax_c: d.tmax_c, rain_mm: d.prcp_mm })
                .collect::<Vec<_>>()
        };
        Ok(Some(ensemble.futures().iter().map(of).collect()))
    }

    fn past_uses(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<Vec<PastUse>, DeskError> {
        let mut uses = Vec::new();
        for line in self.book.applications_of(yard.row.id)?.into_iter().filter(|l| l.kind == ApplicationKind::Pesticide) {
            let names: Vec<String> = line.active_ingredients.iter().flatten().map(|a| a.name.to_lowercase()).collect();
            let Some(control) = self.lore.controls.values().find(|c| names.iter().any(|n| same_active(n, c))) else { continue };
            uses.push(PastUse {
                control: control.key.clone(),
                group: control.group.as_ref().map(|g| (g.scheme.clone(), g.code.clone())),
                date: line.date,
                generation: Some(i32::from(line.date.year())),
                trouble: line.target.as_deref().and_then(|name| self.trouble(name).ok()).unwrap_or(trouble).key.clone(),
                rate: line.rate_text.as_deref().and_then(|t| Quantity::parse(t).ok()),
                registration_number: line.registration_number.clone(),
            });
        }
        Ok(uses)
    }

    /// Plans a treatment: the row in the book, the task with its window, and the follow-up.
    ///
    /// # Errors
    /// An unknown control, one that a check refuses, one without the label card that it needs.
    pub fn plan_treatment(&mut self, yard: &str, trouble: &str, control: &str) -> Result<i64, DeskError> {
        let options = self.treatment_options(yard, trouble)?;
        let wanted = control.trim().to_lowercase();
        let Some(option) =
            options.options.iter().find(|o| o.control == wanted.replace(' ', "-") || o.name.to_lowercase() == wanted).cloned()
        else {
            let names: Vec<&str> = options.options.iter().map(|o| o.control.as_str()).collect();
            return Err(DeskError::missing(
                format!("`{control}` is no option for {}", options.name),
                format!("use one of {}", names.join(", ")),
            ));
        };
        if option.standing == groundlore_plant_health::treatment::Outcome::Refuse {
            let why: Vec<String> = option
                .checks
                .iter()
                .filter(|c| c.outcome == groundlore_plant_health::treatment::Outcome::Refuse)
                .map(|c| c.why.clone())
                .collect();
            return Err(DeskError::Refused {
                what: option.name.clone(),
                value: "it".to_owned(),
                why: "must not be used here".to_owned(),
                remedy: why.join("; "),
            });
        }
        let lore = self.lore.controls.get(&option.control).cloned();
        if lore.as_ref().is_some_and(|c| c.needs_label) && option.amount.is_none() {
            return Err(DeskError::missing(
                format!("{}: {}", option.name, option.amount_note.clone().unwrap_or_else(|| "enter the label".to_owned())),
                "type the label in hand with `groundlore label add FILE`",
            ));
        }
        let row = self.book.yard_named(yard)?;
        let card = lore.as_ref().map(|c| self.card_for(c)).transpose()?.flatten();
        let (earliest, best, latest) = window_of(options.stage.as_ref(), self.today);
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
            earliest: Some(earliest),
            best: Some(best),
            latest: Some(latest),
            area_m2: Some(options.area_m2),
            rate_text: card.as_ref().and_then(|c| c.rate_text.clone()),
            amount_text: amount.clone(),
            untreated_strip: None,
            follow_up_on: Some(option.follow_up.earliest),
            ..Treatment::default()
        };
        let id = self.book.write(|tx| tx.add(&treatment))?;
        let task = treatment_task(&options, &option, (earliest, best, latest), card.as_ref());
        let follow = follow_up_task(&options, &option);
        self.plan_tasks(row.id, &[task, follow])?;
        Ok(id)
    }

    /// Writes an application into the append-only record and plans its follow-up.
    ///
    /// # Errors
    /// An unknown card, a missing applicator, a quantity of the wrong kind. The record holds no line that lacks what it must have.
    pub fn record_application(&mut self, yard: &str, trouble: &str, entry: &ApplicationEntry) -> Result<i64, DeskError> {
        let on_desk = self.yard(yard)?;
        let trouble = self.trouble(trouble)?.clone();
        let card = self.book.label_card_named(&entry.card)?.ok_or_else(|| {
            DeskError::missing(
                format!("there is no label card `{}`", entry.card),
                "type the label in hand with `groundlore label add FILE`",
            )
        })?;
        let firm = self.book.firm()?;
        let applicator = entry
            .applicator
            .clone()
            .or_else(|| firm.as_ref().and_then(|f| f.applicator.clone()))
            .ok_or_else(|| DeskError::missing("who applied it is not said", "give `--applicator NAME`; the record must name them"))?;
        let planned = self.book.treatments_of(on_desk.row.id)?.into_iter().find(|t| t.trouble == trouble.key);
        let area_m2 = match &entry.area {
            Some(text) => read("area", text, Kind::Area)?.si(),
            None => planned.as_ref().and_then(|t| t.area_m2).map_or_else(|| self.area_to_treat(&on_desk, &trouble), Ok)?,
        };
        let amount = entry.amount.as_deref().map(|text| read("amount", text, Kind::Any)).transpose()?;
        let by = |kind: Kind| amount.as_ref().filter(|q| kind.accepts(&q.unit)).map(Quantity::si);
        if amount.is_some() && by(Kind::Mass).is_none() && by(Kind::Volume).is_none() {
            return Err(DeskError::Refused {
                what: "amount".to_owned(),
                value: entry.amount.clone().unwrap_or_default(),
                why: "is neither a mass nor a volume".to_owned(),
                remedy: "write it as `12 oz` or `1.5 gal`".to_owned(),
            });
        }
        let record = ApplicationRecord {
            kind: ApplicationKind::Pesticide,
            yard_id: on_desk.row.id,
            treatment_id: planned.as_ref().map(|t| t.id),
            written_at: self.now,
            date: entry.date.unwrap_or(self.today),
            yard_name: on_desk.row.name.clone(),
            yard_address: on_desk.row.address.clone(),
            area_m2,
            area_text: entry.area.clone(),
            rate_text: entry.rate.clone().or(card.rate_text.clone()),
            amount_text: entry.amount.clone(),
            amount_kg: by(Kind::Mass),
            amount_m3: by(Kind::Volume),
            carrier_text: entry.carrier.clone(),
            carrier_m3: entry.carrier.as_deref().map(|t| read("carrier", t, Kind::Volume)).transpose()?.map(|q| q.si()),
            target: Some(trouble.name.clone()),
            applicator,
            licence: firm.and_then(|f| f.licence),
            wind_m_s: entry.wind.as_deref().map(|t| read("wind", t, Kind::Speed)).transpose()?.map(|q| q.si()),
            temperature_c: entry
                .temperature
                .as_deref()
                .map(|t| read("temperature", t, Kind::Temperature))
                .transpose()?
                .and_then(|q| q.celsius()),
            note: entry.note.clone(),
            ..ApplicationRecord::default()
        }
        .with_label_card(&card)?;
        let due = record.date.checked_add(28.days()).unwrap_or(record.date);
        let follow_up = FollowUpRow {
            yard_id: on_desk.row.id,
            treatment_id: planned.as_ref().map(|t| t.id),
            trouble: trouble.key.clone(),
            control: planned.as_ref().map(|t| t.control.clone()),
            due_on: Some(planned.as_ref().and_then(|t| t.follow_up_on).filter(|d| *d > record.date).unwrap_or(due)),
            note: entry
                .untreated_strip
                .map(|left| if left { "a strip was left untreated".to_owned() } else { "no strip was left untreated".to_owned() }),
            ..FollowUpRow::default()
        };
        let id = self.book.write(|tx| {
            let id = tx.add(&record)?;
            tx.add(&FollowUpRow { application_record_id: Some(id), ..follow_up.clone() })?;
            if let Some(mut plan) = planned.clone() {
                plan.state = groundlore_book::treatments::TreatmentState::Done;
                plan.untreated_strip = entry.untreated_strip;
                tx.change(&plan)?;
            }
            Ok(id)
        })?;
        self.finish_task(&format!("{}/treat/{}", slug(&on_desk.row.name), trouble.key), None)?;
        Ok(id)
    }

    /// What an application breaks: the card's rate, yearly limit and interval, the owner's forbidden days. It is recorded all the same, for
    /// it is what happened; the warnings are for whoever answers for it.
    ///
    /// # Errors
    /// An unknown yard or card.
    pub fn application_warnings(&self, yard: &str, entry: &ApplicationEntry) -> Result<Vec<String>, DeskError> {
        let yard = self.yard(yard)?;
        let mut warnings = Vec::new();
        let date = entry.date.unwrap_or(self.today);
        let weekday = date.strftime("%A").to_string();
        for day in yard.row.forbidden_days.iter().flatten() {
            if day.eq_ignore_ascii_case(&weekday) || *day == date.to_string() {
                warnings.push(format!("the owner forbids work on {day}"));
            }
        }
        let Some(card) = self.book.label_card_named(&entry.card)? else { return Ok(warnings) };
        let rate = entry.rate.as_deref().or(card.rate_text.as_deref()).and_then(|t| Quantity::parse(t).ok()).map(|q| q.si());
        if let (Some(rate), Some(high)) = (rate, card.rate_high_si.or(card.rate_low_si))
            && rate > high * 1.000_001
        {
            warnings.push(format!(
                "the rate {} is above the card's {}",
                entry.rate.clone().unwrap_or_default(),
                card.rate_text.clone().unwrap_or_default()
            ));
        }
        let earlier: Vec<_> =
            self.book.applications_of(yard.row.id)?.into_iter().filter(|l| l.product == card.name && l.date <= date).collect();
        if let (Some(days), Some(last)) = (card.minimum_interval_days, earlier.iter().map(|l| l.date).max()) {
            let since = crate::week::days_between(last, date);
            if f64::from(since) < days {
                warnings.push(format!("{since} days after the last application on {last}; the card asks for {days:.0}"));
            }
        }
        let this_year = earlier.iter().filter(|l| l.date.year() == date.year());
        let used: f64 = this_year.filter_map(|l| l.rate_text.as_deref().and_then(|t| Quantity::parse(t).ok())).map(|q| q.si()).sum();
        if let (Some(limit), Some(rate)) = (card.yearly_limit_si, rate)
            && used + rate > limit * 1.000_001
        {
            warnings.push(format!(
                "with this one the year's total is above the card's yearly limit of {}",
                card.yearly_limit_text.clone().unwrap_or_default()
            ));
        }
        Ok(warnings)
    }

    /// Writes a correction beside a line of the record: the old line stays.
    ///
    /// # Errors
    /// An unknown line, no why, a value of the wrong kind.
    pub fn correct_application(&mut self, id: i64, why: &str, change: &ApplicationEntry) -> Result<i64, DeskError> {
        let mut line: ApplicationRecord = self.book.one(id)?;
        line.written_at = self.now;
        line.date = change.date.unwrap_or(line.date);
        if let Some(area) = &change.area {
            line.area_m2 = read("area", area, Kind::Area)?.si();
            line.area_text = Some(area.clone());
        }
        if let Some(amount) = &change.amount {
            let q = read("amount", amount, Kind::Any)?;
            line.amount_text = Some(amount.clone());
            line.amount_kg = Kind::Mass.accepts(&q.unit).then(|| q.si());
            line.amount_m3 = Kind::Volume.accepts(&q.unit).then(|| q.si());
        }
        line.rate_text = change.rate.clone().or(line.rate_text);
        line.note = change.note.clone().or(line.note);
        if let Some(who) = &change.applicator {
            line.applicator.clone_from(who);
        }
        Ok(self.book.write(|tx| tx.correct_application(id, why, &line))?)
    }

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
        let found = shown(counts, 0.9).map_err(DeskError::science)?;
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

fn read(what: &str, text: &str, kind: Kind) -> Result<Quantity, DeskError> {
    Quantity::parse_as(text, kind).map_err(|source| DeskError::Quantity { what: what.to_owned(), source })
}

fn seen(value: Option<bool>) -> Seen {
    value.map_or(Seen::NotLooked, |v| if v { Seen::Yes } else { Seen::No })
}

fn controls_of<'a>(desk: &'a Desk, trouble: &Trouble) -> Vec<&'a Control> {
    let mut found: Vec<&Control> = Vec::new();
    for (control, _) in desk.lore.controls_for(&trouble.key, None) {
        if !found.iter().any(|c| c.key == control.key) {
            found.push(control);
        }
    }
    found
}

/// The treatable stage that is on now, or comes next.
fn current_stage(windows: &[Window], today: Date) -> Option<&Window> {
    let treatable = || windows.iter().filter(|w| w.treatable);
    treatable()
        .find(|w| w.stands(today) == Standing::Now)
        .or_else(|| treatable().filter(|w| w.p10.is_some_and(|d| d > today)).min_by_key(|w| w.p10))
}

fn window_of(stage: Option<&Window>, today: Date) -> (Date, Date, Date) {
    let soon = today.checked_add(14.days()).unwrap_or(today);
    let earliest = stage.and_then(|w| w.p10).unwrap_or(today).max(today);
    let latest = stage.and_then(|w| w.p90).unwrap_or(soon).max(earliest);
    let best = stage.and_then(|w| w.p50).unwrap_or(earliest).clamp(earliest, latest);
    (earliest, best, latest)
}

fn nearest_water_m(yard: &YardOnDesk) -> Option<f64> {
    let map = yard.map.as_ref()?;
    map.areas_of(AreaKind::Lawn).filter_map(|a| distance_to_water_m(map, a).map(|(d, _)| d)).min_by(f64::total_cmp)
}

/// Plants and trees of a map, by key or by the map's own words.
pub(crate) fn plants_named(map: &groundlore_site::yard::Yard) -> Vec<String> {
    let mut names: Vec<String> =
        map.plants.iter().map(|p| p.plant.clone()).chain(map.trees.iter().filter_map(|t| t.species.clone())).collect();
    names.sort();
    names.dedup();
    names
}

/// Does a card's active ingredient name this control?
fn card_is_of(card: &CardRow, control: &Control) -> bool {
    card.active_ingredients.iter().flatten().any(|active| same_active(&active.name.to_lowercase(), control))
}

fn same_active(name: &str, control: &Control) -> bool {
    let plain = |text: &str| text.to_lowercase().replace(['-', ',', '.'], " ").split_whitespace().collect::<Vec<_>>().join(" ");
    let (name, key, full) = (plain(name), plain(&control.key), plain(&control.name));
    !name.is_empty() && (name == key || name == full || full.starts_with(&format!("{name} (")) || name.contains(&key))
}

/// A card of the book as the science reads it; a blank stays a blank.
fn science_card(card: &CardRow) -> Result<LabelCard, DeskError> {
    let unit = match card.rate_si_unit {
        Some(RateUnit::CubicMetrePerSquareMetre) => "floz/1000ft2",
        Some(RateUnit::PiecesPerSquareMetre) => "/ft2",
        Some(RateUnit::Share) => "%",
        _ => "lb/1000ft2",
    };
    let rate = |si: Option<f64>| -> Result<Option<Quantity>, DeskError> {
        si.map(|si| Quantity::from_si(si, unit)).transpose().map_err(|source| DeskError::Quantity { what: card.name.clone(), source })
    };
    let days = |d: Option<f64>| d.and_then(|d| Quantity::new(d, "day").ok());
    let mentions_bloom =
        card.bee_statement.as_ref().map(|text| ["bloom", "flower", "forag"].iter().any(|w| text.to_lowercase().contains(w)));
    Ok(LabelCard {
        name: card.name.clone(),
        registration_number: card.registration_number.clone(),
        signal_word: card.signal_word.clone(),
        active: card.active_ingredients.as_ref().and_then(|a| a.first()).map(|a| a.name.clone()),
        sites: card.sites.clone(),
        targets: card.targets.clone(),
        rate_low: rate(card.rate_low_si)?,
        rate_high: rate(card.rate_high_si.or(card.rate_low_si))?,
        yearly_limit: rate(card.yearly_limit_si)?,
        least_interval: days(card.minimum_interval_days),
        most_in_a_row: card.consecutive_run_limit,
        re_entry: card.reentry_text.clone(),
        protective_gear: card.protective_gear.as_ref().map(|g| g.split([';', ',']).map(|s| s.trim().to_owned()).collect()),
        bees: card.bee_statement.clone(),
        forbids_bloom: mentions_bloom.filter(|m| *m),
        water_distance: card.water_statement.as_deref().and_then(distance_said),
        water: card.water_statement.clone(),
        children_and_pets: card.reentry_text.clone(),
        plants_injured: card.plants_injured.clone(),
        water_in: card.watering_in_depth_mm.and_then(|mm| Quantity::new(mm, "mm").ok()),
        ..LabelCard::default()
    })
}

/// The first length that a statement names (`keep 25 ft from ponds`).
fn distance_said(statement: &str) -> Option<Quantity> {
    let words: Vec<&str> = statement.split_whitespace().collect();
    words.windows(2).map(|pair| pair.join(" ")).chain(words.iter().map(|w| (*w).to_owned())).find_map(|text| {
        let text = text.trim_end_matches(['.', ',', ';', ':']);
        text.starts_with(|c: char| c.is_ascii_digit()).then(|| Quantity::parse_as(text, Kind::Length).ok()).flatten()
    })
}

fn treatment_task(options: &Options, option: &TreatmentOption, days: (Date, Date, Date), card: Option<&CardRow>) -> Task {
    let mut reasons = vec![Reason::new(
        format!("{} is believed to control", option.name),
        control_words(option),
        options.beliefs.get(&option.control).map(|b| b.rests_on.join("; ")).unwrap_or_default(),
    )];
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
        window: TaskWindow {
            earliest: days.0,
            best: days.1,
            latest: days.2,
            odds: options.stage.iter().map(crate::season::odds_line).collect(),
            missed_by_a_week: None,
        },
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

/// What an option is believed to control, in words.
pub(crate) fn control_words(option: &TreatmentOption) -> String {
    match (option.expected_control, option.control_interval) {
        (Some(share), Some((low, high))) => format!("{:.0} % (90 % interval {:.0} to {:.0} %)", share * 100.0, low * 100.0, high * 100.0),
        _ => "nobody has seen it on this target".to_owned(),
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
