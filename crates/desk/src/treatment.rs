//! Treatment: which control, by evidence and by the label card. The plan, the record and the follow-up stand in modules of their own.

mod card;
mod facts;
mod follow_up;
mod paper;
mod plan;
mod record;
mod spray_weather;
mod yard_facts;

pub use facts::PlanFacts;
pub use follow_up::FollowedUp;
pub use paper::WorkPaper;
pub use plan::PlannedTreatment;
pub use record::ApplicationEntry;
pub use spray_weather::ForecastHours;
pub(crate) use yard_facts::plants_named;

use self::card::{card_is_of, science_card};
use self::yard_facts::{lengths, roots, seen, treated, turf, water_m, well_m};
use crate::stages::current_stage;
use crate::yards::YardOnDesk;
use crate::{Desk, DeskError};
use groundlore_book::label_cards::LabelCard as CardRow;
use groundlore_lore::control::{Control, ControlClass};
use groundlore_lore::trouble::Trouble;
use groundlore_plant_health::belief::{Belief, Observation, Origin, belief, lore_observations};
use groundlore_plant_health::clock::Window;
use groundlore_plant_health::forbidden::{Fact, Facts, forbidden};
use groundlore_plant_health::place::Hemisphere;
use groundlore_plant_health::treatment::{
    Candidate, DayPermit, Ground, HourJudged, Known, PastUse, Situation, SoilWarmth, TreatmentOption, hour_aims, judge_hours, permits,
    rank, weather_limits, withhold,
};
use groundlore_site::measure::area_m2;
use groundlore_site::yard::AreaKind;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Controls of lore that stop seed from sprouting, and the days for which one counts as fresh (common practice, long: the card says it).
const PRE_EMERGENT: [&str; 3] = ["dithiopyr", "pendimethalin", "prodiamine"];
const PRE_EMERGENT_DAYS: i32 = 150;

/// Days for which seed counts as fresh where the table of harm asks (common practice; the card's own figure is checked beside it).
const YOUNG_SEED_DAYS: i32 = 60;

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
    /// What was said when it was planned.
    pub facts: PlanFacts,
    /// Hours of the kept forecast judged by each label card, by control; empty where no forecast is kept.
    pub hours: BTreeMap<String, Vec<HourJudged>>,
    /// When that forecast was made.
    pub forecast_made_at: Option<jiff::Timestamp>,
    /// Settings of spreader or sprayer by control, from the label cards.
    pub settings: BTreeMap<String, Vec<String>>,
}

/// The control that the money of a decision is reckoned with.
pub(crate) struct BestCandidate {
    /// Its key.
    pub(crate) control: String,
    /// Its name.
    pub(crate) name: String,
    /// What is believed of it on this trouble, all stages together.
    pub(crate) belief: Belief,
    /// Whether nothing of a label card is missing.
    pub(crate) card: bool,
}

impl Options {
    /// The option of a control, by its key or name.
    ///
    /// # Errors
    /// A control that is none of these, with those that there are.
    pub fn option_named(&self, control: &str) -> Result<&TreatmentOption, DeskError> {
        let wanted = control.trim().to_lowercase();
        let found = self.options.iter().find(|o| o.control == wanted.replace(' ', "-") || o.name.to_lowercase() == wanted);
        found.ok_or_else(|| {
            let names: Vec<&str> = self.options.iter().map(|o| o.control.as_str()).collect();
            DeskError::missing(format!("`{control}` is no option for {}", self.name), format!("use one of {}", names.join(", ")))
        })
    }
}

impl Desk {
    /// What is believed of a control against a trouble: lore's evidence and this book's own follow-ups, recent years weighing more.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn belief_about(&self, control: &Control, trouble: &str) -> Result<Belief, DeskError> {
        self.belief_on(control, trouble, None)
    }

    /// The same for one stage: only evidence of that stage. Own follow-ups count where the control works on the stage at all; their own
    /// stage was seldom noted.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn belief_on(&self, control: &Control, trouble: &str, stage: Option<&str>) -> Result<Belief, DeskError> {
        let mut seen = lore_observations(control, trouble, stage, &|source| self.lore.standing(source));
        let own = if seen.is_empty() && stage.is_some() { Vec::new() } else { self.book.beliefs_about(&control.key, trouble)? };
        for row in own {
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
    pub(crate) fn best_candidate(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<Option<BestCandidate>, DeskError> {
        let options = self.options_for(yard, trouble, &PlanFacts::default())?;
        let usable = |o: &&TreatmentOption| o.standing != groundlore_plant_health::treatment::Outcome::Refuse;
        let best = options
            .options
            .iter()
            .filter(usable)
            .find(|o| o.class != ControlClass::Practice)
            .or_else(|| options.options.iter().find(usable));
        let free = |key: &str| self.lore.controls.get(key).is_some_and(|c| !c.needs_label);
        Ok(best.map(|o| BestCandidate {
            control: o.control.clone(),
            name: o.name.clone(),
            belief: options.beliefs[&o.control].clone(),
            card: o.amount.is_some() || free(&o.control),
        }))
    }

    /// Ranked options for a trouble at a yard today.
    ///
    /// # Errors
    /// Unknown names, a yard without a map or lawn.
    pub fn treatment_options(&self, yard: &str, trouble: &str) -> Result<Options, DeskError> {
        self.treatment_options_with(yard, trouble, &PlanFacts::default())
    }

    /// Ranked options, with what a person says of the plan: the rate and the day that are meant, what flowers next door, and the like.
    ///
    /// # Errors
    /// As [`Desk::treatment_options`]; a fact that cannot be read, with its value and what would be right.
    pub fn treatment_options_with(&self, yard: &str, trouble: &str, facts: &PlanFacts) -> Result<Options, DeskError> {
        let yard = self.yard(yard)?;
        let trouble = self.trouble(trouble)?.clone();
        self.options_for(&yard, &trouble, facts)
    }

    fn options_for(&self, yard: &YardOnDesk, trouble: &Trouble, facts: &PlanFacts) -> Result<Options, DeskError> {
        let read = facts.read()?;
        let area_m2 = self.area_named_or_to_treat(yard, trouble, facts.area.as_deref())?;
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
        let kind = if on_turf { AreaKind::Lawn } else { AreaKind::Bed };
        let bloom = self.in_bloom(yard, kind);
        let futures = self.futures(yard, 14)?;
        let history = self.past_uses(yard, trouble)?;
        let map = yard.map.as_ref();
        let plants: Option<Vec<String>> = map.filter(|m| !m.plants.is_empty() || !m.trees.is_empty()).map(plants_named);
        let areas = map.map(|m| treated(m, kind, facts.area.as_deref())).unwrap_or_default();
        let (turf, roots) = (turf(&areas), map.and_then(|m| roots(m, &areas)));
        let licence = self.book.firm()?.and_then(|firm| firm.licence);
        let hours = self.spray_hours(yard)?;
        let situation = Situation {
            trouble: &trouble.key,
            stage: stage.as_ref().map(|w| w.stage.as_str()),
            site: if on_turf { "lawn" } else { "ornamentals" },
            area_m2,
            date: facts.on.unwrap_or(self.today),
            generation: Some(i32::from(self.today.year())),
            history: &history,
            bloom: bloom.as_deref(),
            children: seen(yard.row.children),
            pets: seen(yard.row.pets),
            water_distance_m: read.water_m.or_else(|| map.and_then(|m| water_m(m, &areas))),
            plants: plants.as_deref(),
            follow_up_days: None,
            futures: futures.as_deref(),
            ground: Ground {
                area: facts.area.as_deref(),
                rate: read.rate.as_ref(),
                next_door: read.next_door.as_deref(),
                well_m: read.well_m.or_else(|| map.and_then(|m| well_m(m, &areas))),
                turf: turf.as_deref(),
                seeded: read.seeded,
                seeding: read.seeding,
                roots: roots.as_deref(),
                forbidden_days: yard.row.forbidden_days.as_deref(),
                day_is_meant: facts.on.is_some(),
                licence: licence.as_deref(),
                droplets: read.droplets,
                soil: read.soil_c.map(|celsius| SoilWarmth::Measured { celsius }).or_else(|| self.soil_by_the_air(yard)),
                soil_is_moist: read.soil_is_moist,
                stock_from: read.stock_from,
                lengths: lengths(yard),
            },
            hours: hours.as_ref().map(|h| h.hours.as_slice()),
            dry_odds: read.dry_odds,
        };
        let options = rank(&candidates, &situation).map_err(DeskError::science)?;
        let harmful = self.harm_facts(yard, facts.on.unwrap_or(self.today), read.seeded, &history)?;
        let options = withhold(options, |key| self.lore.controls.get(key).and_then(|control| forbidden(trouble, control, &harmful)));
        let limits = options.iter().find_map(|o| cards.get(&o.control)).map(weather_limits).transpose().map_err(DeskError::science)?;
        let days = match (limits, &futures) {
            (Some(limits), Some(futures)) => permits(futures, &limits),
            _ => Vec::new(),
        };
        let aims = hour_aims(&situation);
        let judged = |label| hours.as_ref().map(|h| judge_hours(&h.hours, label, &aims)).unwrap_or_default();
        let by_card = cards.iter().map(|(key, card)| (key.clone(), judged(&card.rules))).collect();
        Ok(Options {
            facts: facts.clone(),
            hours: by_card,
            forecast_made_at: hours.as_ref().map(|h| h.made_at),
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

    /// What is true of the yard on a day, for the table of advice that would harm.
    fn harm_facts(&self, yard: &YardOnDesk, date: Date, seeded: Known, history: &[PastUse]) -> Result<Facts, DeskError> {
        let (conditions, _) = self.conditions_of(yard, date.min(self.today))?;
        let at = yard.row.latitude.zip(yard.row.longitude);
        let hemisphere = at.map(|(latitude, _)| if latitude < 0.0 { Hemisphere::Southern } else { Hemisphere::Northern });
        let mut facts = Facts::new(&conditions, Some(date), hemisphere).at(at);
        if let Known::On(day) = seeded
            && date.since(day).is_ok_and(|gone| gone.get_days() < YOUNG_SEED_DAYS)
        {
            facts.insert(Fact::SeededLately);
        }
        let lately = |past: &&PastUse| past.date <= date && date.since(past.date).is_ok_and(|gone| gone.get_days() < PRE_EMERGENT_DAYS);
        if history.iter().filter(lately).any(|past| PRE_EMERGENT.contains(&past.control.as_str())) {
            facts.insert(Fact::PreEmergentLately);
        }
        Ok(facts)
    }

    /// The area that is named, or the area to treat.
    fn area_named_or_to_treat(&self, yard: &YardOnDesk, trouble: &Trouble, name: Option<&str>) -> Result<f64, DeskError> {
        let Some(name) = name else { return self.area_to_treat(yard, trouble) };
        let map = yard.map.as_ref().ok_or_else(|| DeskError::missing(format!("{} has no map", yard.row.name), "import one first"))?;
        let kind = if trouble.hosts.iter().any(|h| h == "lawn") { AreaKind::Lawn } else { AreaKind::Bed };
        let area: f64 = treated(map, kind, Some(name)).iter().map(|a| area_m2(&a.polygon)).sum();
        if area > 0.0 {
            return Ok(area);
        }
        let names: Vec<&str> = map.areas_of(kind).map(|a| a.name.as_str()).collect();
        Err(DeskError::missing(format!("`{name}` is no {} of {}", kind.word(), yard.row.name), format!("use one of {}", names.join(", "))))
    }

    /// Area to treat: the strata where the last verdict says that treating pays, else the patches with their margin, else all of it.
    pub(super) fn area_to_treat(&self, yard: &YardOnDesk, trouble: &Trouble) -> Result<f64, DeskError> {
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

/// What an option is believed to control, in words.
pub(crate) fn control_words(option: &TreatmentOption) -> String {
    match (option.expected_control, option.control_interval) {
        (Some(share), Some((low, high))) => format!("{:.0} % (90 % interval {:.0} to {:.0} %)", share * 100.0, low * 100.0, high * 100.0),
        _ => "nobody has seen it on this target".to_owned(),
    }
}
