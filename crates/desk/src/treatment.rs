//! Treatment: which control, by evidence and by the label card. The plan, the record and the follow-up stand in modules of their own.

mod card;
mod follow_up;
mod plan;
mod record;

pub use follow_up::FollowedUp;
pub use plan::PlannedTreatment;
pub use record::ApplicationEntry;

use self::card::{card_is_of, same_active, science_card};
use crate::stages::current_stage;
use crate::yards::{YardOnDesk, distance_to_water_m};
use crate::{Desk, DeskError};
use groundlore_book::applications::ApplicationKind;
use groundlore_book::label_cards::LabelCard as CardRow;
use groundlore_lore::control::{Control, ControlClass};
use groundlore_lore::trouble::Trouble;
use groundlore_plant_health::belief::{Belief, Observation, Origin, belief};
use groundlore_plant_health::clock::Window;
use groundlore_plant_health::decision::Seen;
use groundlore_plant_health::treatment::{
    Candidate, DayPermit, DayWeather, InBloom, PastUse, Situation, TreatmentOption, permits, rank, weather_limits,
};
use groundlore_quantity::Quantity;
use groundlore_site::measure::area_m2;
use groundlore_site::yard::AreaKind;
use jiff::ToSpan as _;
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
        if let Some(by_forecast) = self.days_by_forecast(&yard.row, days)? {
            return Ok(Some(by_forecast));
        }
        let Some(ensemble) = self.yard_ensemble(&yard.row)? else { return Ok(None) };
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

/// What an option is believed to control, in words.
pub(crate) fn control_words(option: &TreatmentOption) -> String {
    match (option.expected_control, option.control_interval) {
        (Some(share), Some((low, high))) => format!("{:.0} % (90 % interval {:.0} to {:.0} %)", share * 100.0, low * 100.0, high * 100.0),
        _ => "nobody has seen it on this target".to_owned(),
    }
}
