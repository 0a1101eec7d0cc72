//! Which treatment, if it pays: options ranked by what they still do, each with its checks, its amount from the label card,
//! its follow-up and its untreated strip.
//!
//! Nothing here knows a rate, an interval or a re-entry time: those stand on the label card that the user types. A blank on the
//! card is *not checked*, never passed.

use crate::belief::{Belief, Slide};
use crate::decision::Seen;
use groundlore_lore::control::{ActionGroup, Control, ControlClass, Rotation};
use groundlore_quantity::{Quantity, QuantityError};
use jiff::ToSpan;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A label as the user typed it from the package in hand. Every field may be blank.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct LabelCard {
    /// Name on the label.
    pub name: String,
    /// Registration number.
    pub registration_number: Option<String>,
    /// Signal word.
    pub signal_word: Option<String>,
    /// Active ingredient or organism with its strain.
    pub active: Option<String>,
    /// Sites it may be used on (`lawn`, `shrub`).
    pub sites: Option<Vec<String>>,
    /// Targets, as printed.
    pub targets: Option<Vec<String>>,
    /// Lowest rate, per area (`1.5 floz/1000ft2`).
    pub rate_low: Option<Quantity>,
    /// Highest rate, per area.
    pub rate_high: Option<Quantity>,
    /// Most in a year, per area.
    pub yearly_limit: Option<Quantity>,
    /// Least time between applications.
    pub least_interval: Option<Quantity>,
    /// Most applications in a row of the same group.
    pub most_in_a_row: Option<u32>,
    /// Re-entry, as printed.
    pub re_entry: Option<String>,
    /// Protective gear, as printed.
    pub protective_gear: Option<Vec<String>>,
    /// Statement on bees, as printed.
    pub bees: Option<String>,
    /// Whether the label forbids use on or beside plants in flower.
    pub forbids_bloom: Option<bool>,
    /// Distance to keep from open water.
    pub water_distance: Option<Quantity>,
    /// Statement on water, as printed.
    pub water: Option<String>,
    /// Statement on children and pets, as printed.
    pub children_and_pets: Option<String>,
    /// Plants it injures.
    pub plants_injured: Option<Vec<String>>,
    /// Time it must stay dry after application.
    pub dry_after: Option<Quantity>,
    /// Water to bring it in with (depth).
    pub water_in: Option<Quantity>,
    /// Highest air temperature.
    pub hottest: Option<Quantity>,
}

/// One past application on this yard.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PastUse {
    /// Key of the control.
    pub control: String,
    /// Group, scheme and code; none for exempt controls.
    pub group: Option<(String, String)>,
    /// Day.
    pub date: Date,
    /// Generation of the pest it was aimed at, counted on from any year; none where not noted.
    pub generation: Option<i32>,
    /// Key of the trouble.
    pub trouble: String,
    /// Amount of product per area, if noted.
    pub rate: Option<Quantity>,
    /// Registration number of the product, if noted.
    pub registration_number: Option<String>,
}

/// Something in flower.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct InBloom {
    /// Plant, as people call it.
    pub plant: String,
    /// Whether bees come to it.
    pub bees_visit: Seen,
    /// Whether it stands in the area to be treated (clover in the lawn) rather than elsewhere on the yard.
    pub in_treated_area: bool,
}

/// The yard at the time of treatment.
#[derive(Debug, Clone)]
pub struct Situation<'a> {
    /// Key of the trouble.
    pub trouble: &'a str,
    /// Key of the stage it is in; none where unknown.
    pub stage: Option<&'a str>,
    /// Site word, as labels print it (`lawn`).
    pub site: &'a str,
    /// Area to treat, m².
    pub area_m2: f64,
    /// Day of treatment.
    pub date: Date,
    /// Generation of the pest now, counted on from any year; none where unknown.
    pub generation: Option<i32>,
    /// Past applications on this yard.
    pub history: &'a [PastUse],
    /// What is in flower on this yard then; none where nobody looked.
    pub bloom: Option<&'a [InBloom]>,
    /// Children use the ground.
    pub children: Seen,
    /// Pets use the ground.
    pub pets: Seen,
    /// Distance to open water, m; none where unknown.
    pub water_distance_m: Option<f64>,
    /// Plants on this yard in or beside the area; none where no list is known.
    pub plants: Option<&'a [String]>,
    /// Days after treatment in which this pest is counted again, first and last, with where that is said; none takes 14 to 28
    /// (common practice).
    pub follow_up_days: Option<(u16, u16, &'a str)>,
    /// Weather in the days at hand; none where no futures are at hand.
    pub futures: Option<&'a [Vec<DayWeather>]>,
}

/// A control that might serve.
#[derive(Debug, Clone)]
pub struct Candidate<'a> {
    /// The entry of lore.
    pub control: &'a Control,
    /// What it still does on this target.
    pub belief: &'a Belief,
    /// The label card, if one was typed.
    pub label: Option<&'a LabelCard>,
}

/// Outcome of one check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// In order.
    Pass,
    /// Look before you do it.
    Doubt,
    /// Must not be done.
    Refuse,
    /// Not known: never taken as passed.
    NotChecked,
}

/// One check of an option.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Check {
    /// What was checked.
    pub name: &'static str,
    /// Outcome.
    pub outcome: Outcome,
    /// Why, with its figure.
    pub why: String,
}

fn check(name: &'static str, outcome: Outcome, why: impl Into<String>) -> Check {
    Check { name, outcome, why: why.into() }
}

/// Amount of product for the area.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Amount {
    /// At the lowest rate of the card.
    pub low: Quantity,
    /// At the highest rate of the card.
    pub high: Quantity,
    /// Area it is for, m².
    pub area_m2: f64,
    /// Line by line.
    pub working: Vec<String>,
}

/// When to count again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FollowUpWindow {
    /// First day.
    pub earliest: Date,
    /// Last day.
    pub latest: Date,
    /// Why then.
    pub why: String,
}

/// An untreated strip to compare with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CheckStrip {
    /// Area left untreated, m².
    pub area_m2: f64,
    /// What to do.
    pub how: String,
}

/// One option, ranked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TreatmentOption {
    /// Key of the control.
    pub control: String,
    /// Active ingredient, organism or practice.
    pub name: String,
    /// What it is.
    pub class: ControlClass,
    /// Place in the ranking, from 1.
    pub rank: usize,
    /// Share controlled, expected on one yard now.
    pub expected_control: f64,
    /// Its 90 % interval.
    pub control_interval: (f64, f64),
    /// Set where the control has slid.
    pub slid: Option<Slide>,
    /// Worst outcome over all checks, [`Outcome::NotChecked`] counting between doubt and refusal.
    pub standing: Outcome,
    /// The checks.
    pub checks: Vec<Check>,
    /// Amount of product; none without a label card that carries a rate, and for practices.
    pub amount: Option<Amount>,
    /// Said where there is no amount: what to do about it.
    pub amount_note: Option<String>,
    /// When to count again.
    pub follow_up: FollowUpWindow,
    /// Untreated strip offered; none for practices.
    pub check_strip: Option<CheckStrip>,
    /// Protective gear from the card; `not checked` where it is blank.
    pub protective_gear: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Why it stands where it stands.
    pub why_here: String,
}

/// Why no ranking can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TreatmentError {
    /// An area that is not above 0.
    #[error("the area to treat is {0} m2: it must be above 0, e.g. 60")]
    Area(f64),
    /// A distance below 0.
    #[error("the distance to water is {0} m: it must be 0 or more, e.g. 25")]
    WaterDistance(f64),
    /// A figure of a label card in the wrong unit.
    #[error("label card `{card}`, {field}: {error}")]
    Card {
        /// Name on the card.
        card: String,
        /// Field.
        field: &'static str,
        /// What was wrong.
        error: Box<QuantityError>,
    },
    /// A figure of a label card that cannot be.
    #[error("label card `{card}`, {field} is {value}: {remedy}")]
    CardValue {
        /// Name on the card.
        card: String,
        /// Field.
        field: &'static str,
        /// Value seen.
        value: String,
        /// What would be right.
        remedy: &'static str,
    },
}

/// Points of control that one doubt costs in the ranking (common practice: a doubt is worth about half a tenth).
const DOUBT_COSTS: f64 = 0.05;

/// Ranks the candidates: those that nothing forbids first, by what they still do less a little for each doubt; ties go to
/// practices, then to living controls. Refused ones come last, with the reason.
///
/// # Errors
/// [`TreatmentError`] for an area or distance out of range and for label cards whose figures cannot be read.
///
/// # Example
/// ```
/// # use groundlore_plant_health::{belief::*, decision::Seen, treatment::*};
/// let (lore, _) = groundlore_lore::Lore::built_in_lenient(None);
/// let (trouble, stage) = ("white-grubs-annual", Some("small-grubs"));
/// let standing = |source: &_| lore.standing(source);
/// let beliefs: Vec<_> = lore.controls.values().map(|c| belief(&lore_observations(c, trouble, stage, &standing), 2015)).collect();
/// let candidates: Vec<_> =
///     lore.controls.values().zip(&beliefs).map(|(control, belief)| Candidate { control, belief, label: None }).collect();
/// let ranked = rank(&candidates, &Situation {
///     trouble, stage, site: "lawn", area_m2: 75.0, date: jiff::civil::date(2015, 8, 15), generation: Some(2015), history: &[],
///     bloom: None, children: Seen::NotLooked, pets: Seen::NotLooked, water_distance_m: None, plants: None,
///     follow_up_days: None, futures: None,
/// })?;
/// // What does not work on grubs comes last, refused; no amount is reckoned without a label card.
/// assert_eq!(ranked.last().map(|o| o.standing), Some(Outcome::Refuse));
/// assert!(ranked.iter().all(|o| o.amount.is_none()));
/// # Ok::<(), TreatmentError>(())
/// ```
pub fn rank(candidates: &[Candidate], situation: &Situation) -> Result<Vec<TreatmentOption>, TreatmentError> {
    if !(situation.area_m2 > 0.0 && situation.area_m2.is_finite()) {
        return Err(TreatmentError::Area(situation.area_m2));
    }
    if let Some(distance) = situation.water_distance_m.filter(|d| d.is_nan() || *d < 0.0) {
        return Err(TreatmentError::WaterDistance(distance));
    }
    let mut options = candidates.iter().map(|c| option(c, situation)).collect::<Result<Vec<_>, _>>()?;
    options.sort_by(|a, b| key(a).partial_cmp(&key(b)).unwrap_or(std::cmp::Ordering::Equal).then_with(|| a.control.cmp(&b.control)));
    for (i, option) in options.iter_mut().enumerate() {
        option.rank = i + 1;
    }
    Ok(options)
}

/// Sort key: refused last, then less control last, then the harsher class last.
fn key(option: &TreatmentOption) -> (bool, f64, ControlClass) {
    (option.standing == Outcome::Refuse, -merit(option), option.class)
}

fn merit(option: &TreatmentOption) -> f64 {
    let doubts = option.checks.iter().filter(|c| c.outcome == Outcome::Doubt).count();
    option.expected_control - DOUBT_COSTS * doubts as f64
}

fn option(candidate: &Candidate, situation: &Situation) -> Result<TreatmentOption, TreatmentError> {
    let Candidate { control, belief, label } = candidate;
    let checks = checks(candidate, situation)?;
    let standing = standing(&checks);
    let (amount, amount_note) = amount(control, *label, situation.area_m2)?;
    let gear = label.and_then(|l| l.protective_gear.clone()).unwrap_or_else(|| vec!["not checked: read the label".into()]);
    let mut option = TreatmentOption {
        control: control.key.clone(),
        name: control.name.clone(),
        class: control.class,
        rank: 0,
        expected_control: belief.expected(),
        control_interval: (belief.low, belief.high),
        slid: belief.slid,
        standing,
        checks,
        amount,
        amount_note,
        follow_up: follow_up(situation),
        check_strip: (control.class != ControlClass::Practice).then(|| check_strip(situation.area_m2)),
        protective_gear: if control.needs_label { gear } else { Vec::new() },
        cautions: cautions(control),
        why_here: String::new(),
    };
    option.why_here = why_here(&option, belief);
    Ok(option)
}

fn standing(checks: &[Check]) -> Outcome {
    let any = |outcome| checks.iter().any(|c| c.outcome == outcome);
    [Outcome::Refuse, Outcome::NotChecked, Outcome::Doubt].into_iter().find(|o| any(*o)).unwrap_or(Outcome::Pass)
}

fn why_here(option: &TreatmentOption, belief: &Belief) -> String {
    let mut words = format!(
        "About {:.0} % control expected now ({} observation(s), {} of them here)",
        100.0 * option.expected_control,
        belief.observations,
        belief.own
    );
    if let Some(slide) = &option.slid {
        words += &format!("; it has slid from {:.0} % since {}, to {:.0} %", 100.0 * slide.from, slide.since, 100.0 * slide.to);
    }
    if let Some(refusal) = option.checks.iter().find(|c| c.outcome == Outcome::Refuse) {
        words += &format!("; refused: {}", refusal.why);
    }
    words + "."
}

fn cautions(control: &Control) -> Vec<String> {
    let mut all = control.cautions.clone();
    if control.needs_label {
        all.push("The product label is the law. Where local rules ask for a licensed applicator, only one may apply it.".into());
    }
    all
}

fn checks(candidate: &Candidate, situation: &Situation) -> Result<Vec<Check>, TreatmentError> {
    let Candidate { control, belief, label } = candidate;
    let mut all = vec![target(control, situation), evidence(belief), rotation(control, *label, situation)];
    if !control.needs_label {
        return Ok(all);
    }
    all.push(bees(control, *label, situation));
    all.push(people("children", situation.children, *label));
    all.push(people("pets", situation.pets, *label));
    let Some(label) = label else {
        all.push(check("label card", Outcome::NotChecked, "no label card was typed in: enter the label"));
        all.push(check("water nearby", Outcome::NotChecked, "the distance to keep stands on the label: enter the label"));
        return Ok(all);
    };
    all.push(same_active(control, label));
    all.push(site(label, situation));
    all.push(label_target(label, situation));
    all.push(water(label, situation)?);
    all.push(injured_plants(label, situation));
    all.push(interval(control, label, situation)?);
    all.push(yearly_limit(label, situation)?);
    for (name, blank) in [("re-entry", label.re_entry.is_none()), ("protective gear", label.protective_gear.is_none())] {
        if blank {
            all.push(check(name, Outcome::NotChecked, "blank on the label card"));
        }
    }
    all.push(weather(label, situation)?);
    Ok(all)
}

fn target(control: &Control, situation: &Situation) -> Check {
    const NAME: &str = "target and stage";
    let targets: Vec<_> = control.targets.iter().filter(|t| t.trouble == situation.trouble).collect();
    if targets.is_empty() {
        return check(NAME, Outcome::Refuse, format!("{} is not known to work on {}", control.name, situation.trouble));
    }
    if targets.iter().any(|t| t.stages.is_empty()) {
        return check(NAME, Outcome::Pass, "works on any stage");
    }
    let stages: Vec<&str> = targets.iter().flat_map(|t| &t.stages).map(String::as_str).collect();
    match situation.stage {
        None => check(NAME, Outcome::NotChecked, format!("the stage is not known; it works on {}", stages.join(", "))),
        Some(stage) if stages.contains(&stage) => check(NAME, Outcome::Pass, format!("works on {stage}")),
        Some(stage) => check(NAME, Outcome::Refuse, format!("it is at {stage} now; {} works on {}", control.name, stages.join(", "))),
    }
}

fn evidence(belief: &Belief) -> Check {
    const NAME: &str = "evidence";
    if belief.observations == 0 {
        check(NAME, Outcome::NotChecked, "nothing was seen of it on this target")
    } else if !belief.grounded {
        check(NAME, Outcome::Doubt, "what it does rests on memory or common practice alone")
    } else if let Some(slide) = &belief.slid {
        check(NAME, Outcome::Doubt, format!("it has slid from {:.0} % since {}", 100.0 * slide.from, slide.since))
    } else {
        check(NAME, Outcome::Pass, format!("{} observation(s), {} of them here", belief.observations, belief.own))
    }
}

/// Codes of a group, one each for a mix (`7/11`), without the edition's spacing and leading noughts (`M 05` is `M5`).
fn codes(code: &str) -> Vec<String> {
    let plain = |part: &str| {
        let part: String = part.chars().filter(|c| c.is_alphanumeric()).collect::<String>().to_uppercase();
        let (letters, rest) = part.split_at(part.find(|c: char| c.is_ascii_digit()).unwrap_or(part.len()));
        format!("{letters}{}", rest.trim_start_matches('0'))
    };
    code.split(['/', '+', ',']).map(plain).filter(|c| !c.is_empty()).collect()
}

fn same_group(group: &ActionGroup, past: &PastUse) -> bool {
    past.group.as_ref().is_some_and(|(scheme, code)| {
        scheme.eq_ignore_ascii_case(&group.scheme) && codes(code).iter().any(|c| codes(&group.code).contains(c))
    })
}

fn rotation(control: &Control, label: Option<&LabelCard>, situation: &Situation) -> Check {
    const NAME: &str = "rotation";
    let group = match (&control.group, control.rotation) {
        (_, Rotation::Exempt) => return check(NAME, Outcome::Pass, "exempt: a practice, a living or an ungrouped control"),
        (None, _) => return check(NAME, Outcome::NotChecked, "its mode-of-action group is not known"),
        (Some(group), _) => group,
    };
    let uses: Vec<&PastUse> =
        situation.history.iter().filter(|u| u.trouble == situation.trouble && u.date <= situation.date).collect();
    match control.rotation {
        Rotation::ByGeneration => by_generation(group, &uses, situation),
        Rotation::ByConsecutiveRun => by_run(group, &uses, label),
        Rotation::BySeason => by_season(group, &uses, situation),
        Rotation::Exempt => check(NAME, Outcome::Pass, "exempt"),
    }
}

fn named(group: &ActionGroup) -> String {
    format!("{} group {} ({})", group.scheme, group.code, group.edition)
}

fn by_generation(group: &ActionGroup, uses: &[&PastUse], situation: &Situation) -> Check {
    const NAME: &str = "rotation";
    let same: Vec<&&PastUse> = uses.iter().filter(|u| same_group(group, u)).collect();
    let Some(last) = same.iter().max_by_key(|u| u.date) else {
        return check(NAME, Outcome::Pass, format!("no {} on this pest in the records", named(group)));
    };
    let Some(now) = situation.generation else {
        return check(NAME, Outcome::NotChecked, format!("{} was used on {}; the generation is not known", named(group), last.date));
    };
    if same.iter().any(|u| u.generation.is_none()) {
        return check(NAME, Outcome::NotChecked, format!("{} was used on {}; its generation was not noted", named(group), last.date));
    }
    match same.iter().find(|u| u.generation.is_some_and(|g| g + 1 == now)) {
        Some(before) => {
            check(NAME, Outcome::Refuse, format!("{} was used on the generation before ({})", named(group), before.date))
        }
        None => check(NAME, Outcome::Pass, format!("{} was not used on the generation before", named(group))),
    }
}

fn by_run(group: &ActionGroup, uses: &[&PastUse], label: Option<&LabelCard>) -> Check {
    const NAME: &str = "rotation";
    let mut by_day: Vec<&&PastUse> = uses.iter().filter(|u| u.group.is_some()).collect();
    by_day.sort_by_key(|u| std::cmp::Reverse(u.date));
    let run = by_day.iter().take_while(|u| same_group(group, u)).count();
    match label.and_then(|l| l.most_in_a_row) {
        Some(most) if run as u64 >= u64::from(most) => {
            check(NAME, Outcome::Refuse, format!("{run} in a row of {} so far; the label allows {most}", named(group)))
        }
        Some(most) => check(NAME, Outcome::Pass, format!("{run} in a row so far; the label allows {most}")),
        None if run == 0 => check(NAME, Outcome::Pass, format!("the last application was not {}", named(group))),
        None => check(NAME, Outcome::NotChecked, format!("{run} in a row of {} so far; the most allowed is blank on the card", named(group))),
    }
}

fn by_season(group: &ActionGroup, uses: &[&PastUse], situation: &Situation) -> Check {
    const NAME: &str = "rotation";
    let season = situation.date.year();
    match uses.iter().find(|u| same_group(group, u) && u.date.year() == season - 1) {
        Some(last) => check(NAME, Outcome::Refuse, format!("{} was used last season ({})", named(group), last.date)),
        None => check(NAME, Outcome::Pass, format!("{} was not used last season", named(group))),
    }
}

fn bees(control: &Control, label: Option<&LabelCard>, situation: &Situation) -> Check {
    const NAME: &str = "bees and bloom";
    let category = control.bee_hazard.as_ref().map(|b| b.category.trim().to_uppercase());
    let forbids = label.and_then(|l| l.forbids_bloom);
    let Some(bloom) = situation.bloom else {
        return check(NAME, Outcome::NotChecked, "nobody looked at what is in flower on this yard");
    };
    let visited: Vec<&InBloom> = bloom.iter().filter(|b| b.bees_visit != Seen::No).collect();
    let names = |only_here: bool| {
        let listed: Vec<&str> = visited.iter().filter(|b| b.in_treated_area || !only_here).map(|b| b.plant.as_str()).collect();
        listed.join(", ")
    };
    let inside = visited.iter().any(|b| b.in_treated_area);
    if inside && forbids == Some(true) {
        return check(NAME, Outcome::Refuse, format!("in flower where it would fall: {}; the label forbids it", names(true)));
    }
    match category.as_deref() {
        Some("I") if inside => check(NAME, Outcome::Refuse, format!("bee hazard I, and in flower where it would fall: {} (mow the flowers off first)", names(true))),
        Some("I" | "II") if !visited.is_empty() => check(NAME, Outcome::Doubt, format!("bee hazard {}, and in flower on this yard: {}", category.as_deref().unwrap_or(""), names(false))),
        Some("I" | "II") => check(NAME, Outcome::Pass, "nothing that bees visit is in flower on this yard"),
        Some("III") if forbids == Some(false) || visited.is_empty() => check(NAME, Outcome::Pass, "bee hazard III"),
        Some("III") => check(NAME, Outcome::NotChecked, "bee hazard III; what the label says of bloom is not on the card"),
        _ if visited.is_empty() => check(NAME, Outcome::Pass, "its bee hazard is not listed, but nothing that bees visit is in flower"),
        _ => check(NAME, Outcome::NotChecked, format!("its bee hazard is not listed; in flower on this yard: {}", names(false))),
    }
}

fn people(name: &'static str, seen: Seen, label: Option<&LabelCard>) -> Check {
    let statement = label.and_then(|l| l.children_and_pets.as_deref());
    match (seen, statement) {
        (Seen::No, _) => check(name, Outcome::Pass, "none use the ground"),
        (Seen::NotLooked, _) => check(name, Outcome::NotChecked, "it is not known whether any use the ground: ask the owner"),
        (Seen::Yes, Some(statement)) => check(name, Outcome::Doubt, format!("they use the ground; the label says: {statement}")),
        (Seen::Yes, None) => check(name, Outcome::NotChecked, "they use the ground; what the label says of them is not on the card"),
    }
}

/// Words of four letters or more, lower case.
fn telling_words(text: &str) -> Vec<String> {
    text.to_lowercase().split(|c: char| !c.is_alphanumeric()).filter(|w| w.len() > 3).map(str::to_string).collect()
}

fn same_active(control: &Control, label: &LabelCard) -> Check {
    const NAME: &str = "active ingredient or strain";
    let Some(active) = label.active.as_deref() else {
        return check(NAME, Outcome::NotChecked, "blank on the label card");
    };
    // The name without what stands in brackets, and without the words that introduce a strain.
    let name = control.name.split('(').next().unwrap_or(&control.name);
    let wanted: Vec<String> = telling_words(name).into_iter().filter(|w| !["subsp", "strain", "variety"].contains(&w.as_str())).collect();
    let printed = telling_words(active);
    if wanted.iter().all(|w| printed.contains(w)) {
        check(NAME, Outcome::Pass, format!("the label names {active}"))
    } else {
        check(NAME, Outcome::Refuse, format!("the label names {active}, not {}: another ingredient or strain is another control", control.name))
    }
}

fn site(label: &LabelCard, situation: &Situation) -> Check {
    const NAME: &str = "site on the label";
    match &label.sites {
        None => check(NAME, Outcome::NotChecked, "blank on the label card"),
        Some(sites) if sites.iter().any(|s| s.to_lowercase().contains(&situation.site.to_lowercase())) => {
            check(NAME, Outcome::Pass, format!("the label lists {}", situation.site))
        }
        Some(sites) => check(NAME, Outcome::Refuse, format!("the label lists {}, not {}", sites.join(", "), situation.site)),
    }
}

fn label_target(label: &LabelCard, situation: &Situation) -> Check {
    const NAME: &str = "target on the label";
    // Keys are words with hyphens; a plural and its singular count as the same.
    let stem = |w: String| w.trim_end_matches('s').to_string();
    let wanted: Vec<String> = telling_words(&situation.trouble.replace('-', " ")).into_iter().map(stem).collect();
    match &label.targets {
        None => check(NAME, Outcome::NotChecked, "blank on the label card"),
        Some(targets) => {
            let printed: Vec<String> = targets.iter().flat_map(|t| telling_words(t)).map(stem).collect();
            if wanted.iter().any(|w| printed.contains(w)) {
                check(NAME, Outcome::Pass, format!("the label lists {}", targets.join(", ")))
            } else {
                check(NAME, Outcome::Doubt, format!("the label lists {}: see that {} is among them", targets.join(", "), situation.trouble))
            }
        }
    }
}

/// Reads a figure of the card in a unit, or says which field is wrong.
fn figure(label: &LabelCard, field: &'static str, quantity: &Quantity, unit: &str) -> Result<f64, TreatmentError> {
    let value = quantity.in_unit(unit).map_err(|error| TreatmentError::Card { card: label.name.clone(), field, error: Box::new(error) })?;
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        let remedy = "a figure on a label is 0 or more";
        Err(TreatmentError::CardValue { card: label.name.clone(), field, value: quantity.to_string(), remedy })
    }
}

fn water(label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "water nearby";
    let keep = label.water_distance.as_ref().map(|q| figure(label, "water distance", q, "m")).transpose()?;
    Ok(match (situation.water_distance_m, keep) {
        (None, _) => check(NAME, Outcome::NotChecked, "the distance to open water is not known: mark water and drains on the map"),
        (Some(here), None) => check(NAME, Outcome::NotChecked, format!("water is {here:.0} m away; the distance to keep is blank on the card")),
        (Some(here), Some(keep)) if here < keep => check(NAME, Outcome::Refuse, format!("water is {here:.0} m away; the label asks for {keep:.0} m")),
        (Some(here), Some(keep)) => check(NAME, Outcome::Pass, format!("water is {here:.0} m away; the label asks for {keep:.0} m")),
    })
}

fn injured_plants(label: &LabelCard, situation: &Situation) -> Check {
    const NAME: &str = "plants it injures";
    let (Some(injured), Some(plants)) = (&label.plants_injured, situation.plants) else {
        let blank = if label.plants_injured.is_none() { "blank on the label card" } else { "the plants here are not listed" };
        return check(NAME, Outcome::NotChecked, blank);
    };
    let hit: Vec<&str> = plants
        .iter()
        .filter(|p| telling_words(p).iter().any(|w| injured.iter().any(|i| telling_words(i).contains(w))))
        .map(String::as_str)
        .collect();
    if hit.is_empty() {
        check(NAME, Outcome::Pass, "none of the plants here is named")
    } else {
        check(NAME, Outcome::Refuse, format!("the label names {}", hit.join(", ")))
    }
}

fn interval(control: &Control, label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "interval";
    let last = situation.history.iter().filter(|u| u.control == control.key && u.date <= situation.date).map(|u| u.date).max();
    let Some(last) = last else {
        return Ok(check(NAME, Outcome::Pass, "no earlier application in the records"));
    };
    let since = f64::from((situation.date - last).get_days());
    let least = label.least_interval.as_ref().map(|q| figure(label, "least interval", q, "day")).transpose()?;
    Ok(match least {
        None => check(NAME, Outcome::NotChecked, format!("applied {since:.0} days ago; the least interval is blank on the card")),
        Some(least) if since < least => check(NAME, Outcome::Refuse, format!("applied {since:.0} days ago; the label asks for {least:.0}")),
        Some(least) => check(NAME, Outcome::Pass, format!("applied {since:.0} days ago; the label asks for {least:.0}")),
    })
}

fn yearly_limit(label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "yearly limit";
    let (Some(limit), Some(rate)) = (&label.yearly_limit, &label.rate_low) else {
        return Ok(check(NAME, Outcome::NotChecked, "the yearly limit or the rate is blank on the label card"));
    };
    let card = |field, error| TreatmentError::Card { card: label.name.clone(), field, error: Box::new(error) };
    let unit = limit.unit.to_string();
    let mut used = rate.in_unit(&unit).map_err(|e| card("rate (beside the yearly limit)", e))?;
    let this_year = |u: &&PastUse| u.date.year() == situation.date.year() && u.date <= situation.date;
    let same_product = |u: &&PastUse| u.registration_number.is_some() && u.registration_number == label.registration_number;
    for past in situation.history.iter().filter(this_year).filter(same_product) {
        match past.rate.as_ref().map(|r| r.in_unit(&unit)) {
            Some(Ok(rate)) => used += rate,
            _ => return Ok(check(NAME, Outcome::NotChecked, format!("the rate of {} was not noted in a unit to add up", past.date))),
        }
    }
    let words = format!("{used:.3} {unit} with this one; the label allows {limit}");
    Ok(check(NAME, if used > limit.value * (1.0 + 1e-9) { Outcome::Refuse } else { Outcome::Pass }, words))
}

/// Amount at the card's rates for an area, or what is lacking.
fn amount(
    control: &Control,
    label: Option<&LabelCard>,
    area_m2: f64,
) -> Result<(Option<Amount>, Option<String>), TreatmentError> {
    if !control.needs_label {
        return Ok((None, None));
    }
    let Some(label) = label else {
        return Ok((None, Some("Enter the label: no amount is reckoned without a label card.".into())));
    };
    let (Some(low), high) = (label.rate_low.as_ref(), label.rate_high.as_ref().or(label.rate_low.as_ref())) else {
        return Ok((None, Some("The rate is blank on the label card: enter it from the label in hand.".into())));
    };
    let (low_amount, low_line) = for_area(label, low, area_m2)?;
    let (high_amount, high_line) = for_area(label, high.unwrap_or(low), area_m2)?;
    if high_amount.si() < low_amount.si() {
        let remedy = "the highest rate must not be below the lowest";
        return Err(TreatmentError::CardValue { card: label.name.clone(), field: "highest rate", value: high.unwrap_or(low).to_string(), remedy });
    }
    let mut working = vec![low_line];
    if high_amount != low_amount {
        working.push(high_line);
    }
    Ok((Some(Amount { low: low_amount, high: high_amount, area_m2, working }), None))
}

/// Kinds of rate, and the units in which an amount is told.
const RATES: [(&str, &str); 2] = [("mL/m2", "mL"), ("g/m2", "g")];

fn for_area(label: &LabelCard, rate: &Quantity, area_m2: f64) -> Result<(Quantity, String), TreatmentError> {
    let card = |error| TreatmentError::Card { card: label.name.clone(), field: "rate", error: Box::new(error) };
    let mut last = None;
    for (rate_unit, amount_unit) in RATES {
        match rate.in_unit(rate_unit) {
            Ok(per_m2) => {
                figure(label, "rate", rate, rate_unit)?;
                // Told in the card's own unit where it begins the rate (`floz` of `floz/1000ft2`).
                let own = rate.unit.to_string();
                let own = own.split('/').next().unwrap_or(amount_unit).trim().to_string();
                let metric = Quantity::new(per_m2 * area_m2, amount_unit).map_err(card)?;
                let told = metric.to(&own).unwrap_or(metric);
                let line = format!("{rate} × {area_m2:.1} m2 = {}", told.rounded(4));
                return Ok((told, line));
            }
            Err(error) => last = Some(error),
        }
    }
    match last {
        Some(error) => Err(card(error)),
        None => Err(TreatmentError::CardValue { card: label.name.clone(), field: "rate", value: rate.to_string(), remedy: "give an amount per area, e.g. 1.5 floz/1000ft2" }),
    }
}

/// Days after treatment in which to count again, where nothing better is known.
const FOLLOW_UP_DAYS: (u16, u16, &str) = (14, 28, "common practice");

fn follow_up(situation: &Situation) -> FollowUpWindow {
    let (first, last, source) = situation.follow_up_days.unwrap_or(FOLLOW_UP_DAYS);
    let after = |days: u16| situation.date.saturating_add(i64::from(days).days());
    FollowUpWindow {
        earliest: after(first.min(last)),
        latest: after(first.max(last)),
        why: format!("{} to {} days after treatment ({source}); count the untreated strip on the same day", first.min(last), first.max(last)),
    }
}

/// Part of the treated area that the strip takes, and its bounds in m².
const STRIP: (f64, f64, f64) = (0.08, 4.0, 20.0);

fn check_strip(area_m2: f64) -> CheckStrip {
    let area_m2 = (STRIP.0 * area_m2).clamp(STRIP.1, STRIP.2).min(area_m2 / 3.0);
    CheckStrip {
        area_m2,
        how: format!(
            "If the owner agrees, leave a strip of about {area_m2:.0} m2 of the same poor turf untreated, marked with pegs, and count both before and after. Only then can anyone say what the treatment did."
        ),
    }
}

/// Weather of one day of one future.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DayWeather {
    /// Day.
    pub date: Date,
    /// Minimum, °C; NaN where missing.
    pub tmin_c: f64,
    /// Maximum, °C; NaN where missing.
    pub tmax_c: f64,
    /// Rain, mm; NaN where missing.
    pub rain_mm: f64,
}

/// What daily weather must be like.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct WeatherLimits {
    /// Days that must stay dry, the day of application included; none where the card says nothing.
    pub dry_days: Option<u32>,
    /// Highest maximum, °C; none where the card says nothing.
    pub hottest_c: Option<f64>,
}

/// Odds that a day permits the work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayPermit {
    /// Day.
    pub date: Date,
    /// Share of futures in which rain and heat permit; none where no future has the figures.
    pub odds: Option<f64>,
    /// Futures behind it.
    pub futures: usize,
    /// What daily figures cannot tell, or the card does not say.
    pub not_checked: Vec<&'static str>,
}

/// Rain that counts as wet, mm a day.
const WET_MM: f64 = 0.2;

/// Odds, day by day, that daily rain and heat permit an application. Wind is never known from daily figures and is always
/// *not checked*.
///
/// `futures` holds one list of days each, all with the same days in order. A day whose dry spell runs past the end is left out.
///
/// # Example
/// ```
/// # use groundlore_plant_health::treatment::*;
/// # use jiff::civil::date;
/// let day = |d, rain_mm| DayWeather { date: date(2015, 8, d), tmin_c: 15.0, tmax_c: 27.0, rain_mm };
/// let futures = [vec![day(15, 0.0), day(16, 0.0), day(17, 9.0)], vec![day(15, 0.0), day(16, 4.0), day(17, 0.0)]];
/// let limits = WeatherLimits { dry_days: Some(2), hottest_c: Some(30.0) };
/// let days = permits(&futures, &limits);
/// assert_eq!(days[0].odds, Some(0.5));
/// assert_eq!(days[1].odds, Some(0.0));
/// assert!(days[0].not_checked.contains(&"wind"));
/// ```
pub fn permits(futures: &[Vec<DayWeather>], limits: &WeatherLimits) -> Vec<DayPermit> {
    let spell = limits.dry_days.unwrap_or(1).max(1) as usize;
    let days = futures.iter().map(Vec::len).min().unwrap_or(0);
    let mut not_checked = vec!["wind"];
    if limits.dry_days.is_none() {
        not_checked.push("dry time (blank on the card)");
    }
    if limits.hottest_c.is_none() {
        not_checked.push("heat (blank on the card)");
    }
    let last = (days + 1).saturating_sub(spell);
    (0..last)
        .filter_map(|i| {
            let answers: Vec<bool> = futures.iter().filter_map(|f| permitted(&f[i..i + spell], limits)).collect();
            let yes = answers.iter().filter(|a| **a).count();
            let odds = (!answers.is_empty()).then(|| yes as f64 / answers.len() as f64);
            let date = futures.first()?[i].date;
            Some(DayPermit { date, odds, futures: answers.len(), not_checked: not_checked.clone() })
        })
        .collect()
}

/// Whether a spell permits; none where a figure it needs is missing.
fn permitted(spell: &[DayWeather], limits: &WeatherLimits) -> Option<bool> {
    let first = spell.first()?;
    if spell.iter().any(|d| d.rain_mm.is_nan()) || (limits.hottest_c.is_some() && first.tmax_c.is_nan()) {
        return None;
    }
    let dry = spell.iter().all(|d| d.rain_mm < WET_MM);
    Some(dry && limits.hottest_c.is_none_or(|most| first.tmax_c <= most))
}

/// Limits that a label card sets on daily weather.
///
/// # Errors
/// [`TreatmentError::Card`] for a dry time that is no time or a heat that is no temperature.
pub fn weather_limits(label: &LabelCard) -> Result<WeatherLimits, TreatmentError> {
    let hours = label.dry_after.as_ref().map(|q| figure(label, "dry time", q, "h")).transpose()?;
    let hottest_c = label.hottest.as_ref().map(|q| {
        q.celsius().ok_or_else(|| TreatmentError::CardValue {
            card: label.name.clone(),
            field: "highest temperature",
            value: q.to_string(),
            remedy: "give a temperature, e.g. 85 degF",
        })
    });
    // Daily rain has no hour: a dry time of any length asks for the day itself, of more than half a day for the next too.
    let dry_days = hours.map(|h| 1 + ((h + 12.0) / 24.0).floor() as u32);
    Ok(WeatherLimits { dry_days, hottest_c: hottest_c.transpose()? })
}

fn weather(label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "weather";
    let limits = weather_limits(label)?;
    let Some(futures) = situation.futures else {
        return Ok(check(NAME, Outcome::NotChecked, "no weather is at hand for these days"));
    };
    let days = permits(futures, &limits);
    let best = days.iter().filter_map(|d| d.odds.map(|o| (d, o))).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.date.cmp(&a.0.date)));
    Ok(match best {
        None => check(NAME, Outcome::NotChecked, "the weather at hand has no figures for these days"),
        Some((day, odds)) => check(
            NAME,
            Outcome::NotChecked,
            format!("rain and heat permit on {} in {:.0} % of futures; not checked: {}", day.date, 100.0 * odds, day.not_checked.join(", ")),
        ),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::belief::{Observation, Origin, belief, lore_observations};
    use groundlore_lore::Lore;
    use groundlore_lore::control::BeeHazard;
    use groundlore_lore::provenance::Source;
    use jiff::civil::date;

    const GRUBS: &str = "white-grubs-annual";

    fn lore() -> Lore {
        Lore::built_in_lenient(None).0
    }

    fn situation<'a>() -> Situation<'a> {
        Situation {
            trouble: GRUBS,
            stage: Some("small-grubs"),
            site: "lawn",
            area_m2: 100.0,
            date: date(2015, 8, 15),
            generation: Some(2015),
            history: &[],
            bloom: Some(&[]),
            children: Seen::No,
            pets: Seen::No,
            water_distance_m: Some(80.0),
            plants: Some(&[]),
            follow_up_days: None,
            futures: None,
        }
    }

    /// A label card that is openly invented, with every field filled.
    fn card(active: &str) -> LabelCard {
        let quantity = |text: &str| Some(Quantity::parse(text).unwrap());
        LabelCard {
            name: "Demo card".into(),
            registration_number: Some("00000-0".into()),
            signal_word: Some("invented".into()),
            active: Some(active.into()),
            sites: Some(vec!["lawn".into()]),
            targets: Some(vec!["white grubs".into()]),
            rate_low: quantity("1 floz/1000ft2"),
            rate_high: quantity("2 floz/1000ft2"),
            yearly_limit: quantity("3 floz/1000ft2"),
            least_interval: quantity("30 day"),
            most_in_a_row: Some(2),
            re_entry: Some("invented".into()),
            protective_gear: Some(vec!["gloves".into()]),
            bees: Some("invented".into()),
            forbids_bloom: Some(true),
            water_distance: quantity("25 ft"),
            water: Some("invented".into()),
            children_and_pets: Some("invented".into()),
            plants_injured: Some(vec!["ferns".into()]),
            dry_after: quantity("6 h"),
            water_in: quantity("0.5 in"),
            hottest: quantity("90 degF"),
        }
    }

    fn seen(control: f64) -> Belief {
        let origin = Origin::Own { place: "another yard".into() };
        belief(&[Observation::from_trials(2014, &[control, control, control], origin).unwrap()], 2015)
    }

    fn one(control: &Control, label: Option<&LabelCard>, situation: &Situation) -> TreatmentOption {
        let belief = seen(0.85);
        rank(&[Candidate { control, belief: &belief, label }], situation).unwrap().remove(0)
    }

    fn outcome(option: &TreatmentOption, name: &str) -> Outcome {
        option.checks.iter().find(|c| c.name == name).unwrap_or_else(|| panic!("no check {name}: {:#?}", option.checks)).outcome
    }

    #[test]
    fn without_a_label_card_there_is_no_amount() {
        let lore = lore();
        let option = one(&lore.controls["chlorantraniliprole"], None, &situation());
        assert!(option.amount.is_none());
        assert!(option.amount_note.as_ref().unwrap().contains("Enter the label"));
        assert_eq!(outcome(&option, "label card"), Outcome::NotChecked);
        assert_eq!(option.standing, Outcome::NotChecked);
    }

    #[test]
    fn a_blank_card_passes_nothing() {
        let lore = lore();
        let blank = LabelCard { name: "Demo card".into(), ..LabelCard::default() };
        let option = one(&lore.controls["chlorantraniliprole"], Some(&blank), &situation());
        for name in ["active ingredient or strain", "site on the label", "target on the label", "water nearby", "plants it injures", "yearly limit", "re-entry", "protective gear"] {
            assert_eq!(outcome(&option, name), Outcome::NotChecked, "{name}");
        }
        assert!(option.amount.is_none());
        assert!(option.protective_gear[0].contains("not checked"));
    }

    #[test]
    fn amounts_come_from_the_card_alone() {
        let lore = lore();
        let label = card("chlorantraniliprole");
        let wide = Situation { area_m2: 185.806_08, ..situation() };
        let amount = one(&lore.controls["chlorantraniliprole"], Some(&label), &wide).amount.unwrap();
        // 2,000 ft2 at 1 to 2 floz/1000ft2.
        assert!((amount.low.in_unit("floz").unwrap() - 2.0).abs() < 1e-6, "{amount:?}");
        assert!((amount.high.in_unit("floz").unwrap() - 4.0).abs() < 1e-6, "{amount:?}");
    }

    #[test]
    fn wrong_target_stage_or_strain_is_refused() {
        let lore = lore();
        let kurstaki = &lore.controls["bacillus-thuringiensis-kurstaki"];
        assert_eq!(outcome(&one(kurstaki, None, &situation()), "target and stage"), Outcome::Refuse);
        let late = Situation { stage: Some("large-grubs-spring"), ..situation() };
        assert_eq!(outcome(&one(&lore.controls["chlorantraniliprole"], None, &late), "target and stage"), Outcome::Refuse);
        let galleriae = &lore.controls["bacillus-thuringiensis-galleriae"];
        let strain = |active: &str| outcome(&one(galleriae, Some(&card(active)), &situation()), "active ingredient or strain");
        assert_eq!(strain("Bacillus thuringiensis subsp. kurstaki"), Outcome::Refuse);
        assert_eq!(strain("Bacillus thuringiensis subsp. galleriae"), Outcome::Pass);
    }

    #[test]
    fn every_target_row_of_a_control_counts() {
        let lore = lore();
        let spring = Situation { stage: Some("large-grubs-spring"), ..situation() };
        assert_eq!(outcome(&one(&lore.controls["trichlorfon"], None, &spring), "target and stage"), Outcome::Pass);
        let rows = lore_observations(&lore.controls["trichlorfon"], GRUBS, Some("large-grubs-spring"), &|s| lore.standing(s));
        assert_eq!(rows.len(), 1);
    }

    fn past(group: Option<(&str, &str)>, day: Date, generation: Option<i32>) -> PastUse {
        PastUse {
            control: "some".into(),
            group: group.map(|(s, c)| (s.into(), c.into())),
            date: day,
            generation,
            trouble: GRUBS.into(),
            rate: None,
            registration_number: None,
        }
    }

    #[test]
    fn the_same_group_is_not_used_on_successive_generations() {
        let lore = lore();
        let control = &lore.controls["chlorantraniliprole"];
        let group = control.group.clone().unwrap();
        let judged = |history: &[PastUse], generation: Option<i32>| {
            outcome(&one(control, None, &Situation { history, generation, ..situation() }), "rotation")
        };
        let same = Some((group.scheme.as_str(), group.code.as_str()));
        assert_eq!(judged(&[], Some(2015)), Outcome::Pass);
        assert_eq!(judged(&[past(same, date(2014, 8, 10), Some(2014))], Some(2015)), Outcome::Refuse);
        assert_eq!(judged(&[past(same, date(2013, 8, 10), Some(2013))], Some(2015)), Outcome::Pass);
        assert_eq!(judged(&[past(same, date(2014, 8, 10), None)], Some(2015)), Outcome::NotChecked);
        assert_eq!(judged(&[past(same, date(2014, 8, 10), Some(2014))], None), Outcome::NotChecked);
        assert_eq!(judged(&[past(Some(("IRAC", "99")), date(2014, 8, 10), Some(2014))], Some(2015)), Outcome::Pass);
    }

    #[test]
    fn group_codes_match_across_editions_and_mixes() {
        assert_eq!(codes("M 05"), codes("M5"));
        assert_eq!(codes("7/11"), ["7", "11"]);
        assert_ne!(codes("10"), codes("1"));
    }

    #[test]
    fn living_controls_and_practices_are_exempt_from_rotation() {
        let lore = lore();
        for key in ["heterorhabditis-bacteriophora", "raise-mowing-height"] {
            let control = &lore.controls[key];
            assert_eq!(outcome(&one(control, None, &situation()), "rotation"), Outcome::Pass, "{key}");
        }
    }

    #[test]
    fn flowers_where_it_falls_stop_a_bee_hazard() {
        let lore = lore();
        let mut control = lore.controls["imidacloprid"].clone();
        control.bee_hazard = Some(BeeHazard { category: "I".into(), edition: "a list".into(), source: Source(vec!["memory".into()]) });
        let clover = |here: bool| [InBloom { plant: "white clover".into(), bees_visit: Seen::Yes, in_treated_area: here }];
        let judged = |bloom: Option<&[InBloom]>| outcome(&one(&control, None, &Situation { bloom, ..situation() }), "bees and bloom");
        assert_eq!(judged(None), Outcome::NotChecked);
        assert_eq!(judged(Some(&[])), Outcome::Pass);
        assert_eq!(judged(Some(&clover(false))), Outcome::Doubt);
        assert_eq!(judged(Some(&clover(true))), Outcome::Refuse);
    }

    #[test]
    fn water_too_near_is_refused_and_unknown_is_not_passed() {
        let lore = lore();
        let (control, label) = (&lore.controls["chlorantraniliprole"], card("chlorantraniliprole"));
        let judged = |water_distance_m| outcome(&one(control, Some(&label), &Situation { water_distance_m, ..situation() }), "water nearby");
        assert_eq!(judged(Some(5.0)), Outcome::Refuse);
        assert_eq!(judged(Some(8.0)), Outcome::Pass);
        assert_eq!(judged(None), Outcome::NotChecked);
    }

    #[test]
    fn the_yearly_limit_adds_up_what_was_used() {
        let lore = lore();
        let (control, label) = (&lore.controls["chlorantraniliprole"], card("chlorantraniliprole"));
        let used = |rate: Option<&str>| PastUse {
            rate: rate.map(|r| Quantity::parse(r).unwrap()),
            registration_number: Some("00000-0".into()),
            ..past(None, date(2015, 5, 1), Some(2014))
        };
        let judged = |history: &[PastUse]| outcome(&one(control, Some(&label), &Situation { history, ..situation() }), "yearly limit");
        assert_eq!(judged(&[]), Outcome::Pass);
        assert_eq!(judged(&[used(Some("2 floz/1000ft2"))]), Outcome::Pass);
        assert_eq!(judged(&[used(Some("2.5 floz/1000ft2"))]), Outcome::Refuse);
        assert_eq!(judged(&[used(None)]), Outcome::NotChecked);
    }

    #[test]
    fn a_control_that_slid_drops_below_one_that_holds() {
        let lore = lore();
        let stage = Some("small-grubs");
        let standing = |s: &Source| lore.standing(s);
        let (slid, holds) = (&lore.controls["bacillus-thuringiensis-galleriae"], &lore.controls["heterorhabditis-bacteriophora"]);
        let beliefs = [slid, holds].map(|c| belief(&lore_observations(c, GRUBS, stage, &standing), 2015));
        let candidates = [Candidate { control: slid, belief: &beliefs[0], label: None }, Candidate { control: holds, belief: &beliefs[1], label: None }];
        let ranked = rank(&candidates, &situation()).unwrap();
        assert_eq!(ranked[0].control, holds.key);
        assert!(ranked[1].slid.is_some() && ranked[1].why_here.contains("slid"));
        assert_eq!((ranked[0].rank, ranked[1].rank), (1, 2));
    }

    #[test]
    fn refused_options_come_last_with_the_reason() {
        let lore = lore();
        let (strong, weak) = (seen(0.95), seen(0.3));
        let candidates = [
            Candidate { control: &lore.controls["bacillus-thuringiensis-kurstaki"], belief: &strong, label: None },
            Candidate { control: &lore.controls["trichlorfon"], belief: &weak, label: None },
        ];
        let ranked = rank(&candidates, &situation()).unwrap();
        assert_eq!(ranked[0].control, "trichlorfon");
        assert_eq!(ranked[1].standing, Outcome::Refuse);
        assert!(ranked[1].why_here.contains("refused"));
    }

    #[test]
    fn a_rate_that_is_no_rate_names_the_card_and_field() {
        let lore = lore();
        let mut label = card("chlorantraniliprole");
        label.rate_low = Some(Quantity::parse("3 ft").unwrap());
        label.yearly_limit = None;
        let belief = seen(0.8);
        let candidate = Candidate { control: &lore.controls["chlorantraniliprole"], belief: &belief, label: Some(&label) };
        let error = rank(&[candidate], &situation()).unwrap_err().to_string();
        assert!(error.contains("Demo card") && error.contains("rate"), "{error}");
    }

    #[test]
    fn wind_is_never_taken_as_passed() {
        let lore = lore();
        let label = card("chlorantraniliprole");
        let day = |d| DayWeather { date: date(2015, 8, d), tmin_c: 14.0, tmax_c: 26.0, rain_mm: 0.0 };
        let futures = [vec![day(15), day(16)]];
        let fine = Situation { futures: Some(&futures), ..situation() };
        let option = one(&lore.controls["chlorantraniliprole"], Some(&label), &fine);
        assert_eq!(outcome(&option, "weather"), Outcome::NotChecked);
    }
}
