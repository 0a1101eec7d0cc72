//! Which treatment, if it pays: options ranked by what they still do, each with its checks, its amount from the label card,
//! its follow-up and its untreated strip.
//!
//! Nothing here knows a rate, an interval or a re-entry time: those stand on the label card that the user types. A blank on the
//! card is *not checked*, never passed.

mod amount;
mod bees;
mod follow_up;
mod ground;
mod label;
mod living;
#[cfg(test)]
mod living_tests;
mod permit;
mod rotation;
#[cfg(test)]
mod rule_tests;
mod rules;
mod spray_hours;
#[cfg(test)]
mod tests;

pub use amount::Amount;
pub use bees::InBloom;
pub use follow_up::{CheckStrip, FollowUpWindow};
pub use ground::{Ground, Known, Lengths, is_day};
pub use label::LabelCard;
pub use living::SoilWarmth;
pub use permit::{DayPermit, DayWeather, WeatherLimits, permits, weather_limits};
pub use rotation::PastUse;
pub use rules::{Applicator, BloomRule, Bounds, DropletClass, LabelRules, Leaves, Said};
pub use spray_hours::{HourAims, HourJudged, SprayHour, SunStands, best_hour, judge_hours};

use self::amount::amount;
use self::bees::bees;
use self::follow_up::{check_strip, follow_up};
use self::ground::ground_checks;
use self::label::{injured_plants, interval, label_target, rate, same_active, site, water, yearly_limit};
use self::living::living_checks;
use self::permit::weather;
use self::rotation::rotation;
use crate::belief::{Belief, Slide};
use crate::decision::Seen;
use groundlore_lore::control::{Control, ControlClass};
use groundlore_quantity::QuantityError;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

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
    /// What is known of the ground beyond that.
    pub ground: Ground<'a>,
    /// The hourly forecast of the days at hand; none where none is kept.
    pub hours: Option<&'a [SprayHour]>,
    /// Odds of staying dry that the firm asks for, 0 to 1.
    pub dry_odds: f64,
}

/// Odds of staying dry that are asked for where the firm says nothing else: its own choice, no fact of nature.
pub const DRY_ODDS: f64 = 0.8;

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
    /// Share controlled, expected on one yard now; none where nothing was seen of it on this target.
    pub expected_control: Option<f64>,
    /// The 90 % interval of the share controlled; none where nothing was seen.
    pub control_interval: Option<(f64, f64)>,
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
///     follow_up_days: None, futures: None, ground: Ground::default(), hours: None, dry_odds: DRY_ODDS,
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
    candidates.iter().map(|c| option(c, situation)).collect::<Result<Vec<_>, _>>().map(ranked)
}

/// Refuses the options that a row of [`crate::forbidden`] names for this cause here and now, with why, and ranks anew.
pub fn withhold(
    mut options: Vec<TreatmentOption>,
    row_of: impl Fn(&str) -> Option<&'static crate::forbidden::Row>,
) -> Vec<TreatmentOption> {
    for option in &mut options {
        if let Some(row) = row_of(&option.control) {
            option.checks.push(check("would not harm", Outcome::Refuse, format!("{} ({})", row.why, row.source)));
            option.standing = standing(&option.checks);
        }
    }
    ranked(options)
}

fn ranked(mut options: Vec<TreatmentOption>) -> Vec<TreatmentOption> {
    options.sort_by(|a, b| key(a).partial_cmp(&key(b)).unwrap_or(std::cmp::Ordering::Equal).then_with(|| a.control.cmp(&b.control)));
    for (i, option) in options.iter_mut().enumerate() {
        option.rank = i + 1;
    }
    options
}

/// Sort key: refused last, then less control last, then the harsher class last.
fn key(option: &TreatmentOption) -> (bool, f64, ControlClass) {
    (option.standing == Outcome::Refuse, -merit(option), option.class)
}

fn merit(option: &TreatmentOption) -> f64 {
    let doubts = option.checks.iter().filter(|c| c.outcome == Outcome::Doubt).count();
    // What nobody has seen ranks after all that was seen, however little that does.
    option.expected_control.unwrap_or(0.0) - DOUBT_COSTS * doubts as f64
}

fn option(candidate: &Candidate, situation: &Situation) -> Result<TreatmentOption, TreatmentError> {
    let Candidate { control, belief, label } = candidate;
    let checks = checks(candidate, situation)?;
    let standing = standing(&checks);
    let (amount, amount_note) = amount(control, *label, situation.area_m2, situation.ground.rate)?;
    let gear = label.and_then(|l| l.protective_gear.clone()).unwrap_or_else(|| vec!["not checked: read the label".into()]);
    let mut option = TreatmentOption {
        control: control.key.clone(),
        name: control.name.clone(),
        class: control.class,
        rank: 0,
        expected_control: (belief.observations > 0).then(|| belief.expected()),
        control_interval: (belief.observations > 0).then_some((belief.low, belief.high)),
        slid: belief.slid,
        standing,
        checks,
        amount,
        amount_note,
        follow_up: follow_up(situation),
        check_strip: (control.class != ControlClass::Practice).then(|| check_strip(situation.area_m2)),
        protective_gear: if control.needs_label || label.is_some() { gear } else { Vec::new() },
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
    let mut words = match option.expected_control {
        Some(control) => format!(
            "About {:.0} % control expected now ({} observation(s), {} of them here)",
            100.0 * control,
            belief.observations,
            belief.own
        ),
        None => "What it does on this target is not known".to_string(),
    };
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
    // A living control that needs no label is held against its supplier's sheet where that was typed as a card.
    if !control.needs_label && label.is_none() {
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
    all.push(rate(label, situation)?);
    let gear = label.protective_gear.as_ref().map(|gear| gear.join(", "));
    for (name, said) in [("signal word", &label.signal_word), ("re-entry", &label.re_entry), ("protective gear", &gear)] {
        all.push(match said {
            None => check(name, Outcome::NotChecked, "blank on the label card"),
            Some(words) => check(name, Outcome::Pass, format!("stands on the sheet: {words}")),
        });
    }
    all.extend(living_checks(control, &label.rules, &situation.ground, situation.date));
    all.extend(ground_checks(&label.rules, situation));
    all.push(match situation.hours {
        Some(hours) if !hours.is_empty() => weather_by_hour(hours, label, situation),
        _ => weather(label, situation)?,
    });
    Ok(all)
}

/// What the hours are judged by, from a situation: bloom on the yard or next door, the owner's days, the firm's odds.
#[must_use]
pub fn hour_aims<'a>(situation: &Situation<'a>) -> HourAims<'a> {
    let visited = |bloom: &[InBloom]| bloom.iter().any(|b| b.bees_visit != Seen::No);
    let bloom = match (situation.bloom.map(visited), situation.ground.next_door.map(visited)) {
        (Some(true), _) | (_, Some(true)) => Some(true),
        (Some(false), Some(false)) => Some(false),
        _ => None,
    };
    HourAims { bloom, forbidden_days: situation.ground.forbidden_days, dry_odds: situation.dry_odds }
}

fn weather_by_hour(hours: &[SprayHour], label: &LabelCard, situation: &Situation) -> Check {
    const NAME: &str = "weather";
    let judged = judge_hours(hours, &label.rules, &hour_aims(situation));
    let open = judged.iter().filter(|hour| hour.standing != Outcome::Refuse).count();
    let Some(best) = best_hour(&judged) else { return check(NAME, Outcome::NotChecked, "no hour is forecast") };
    let odds = best.odds.map_or_else(|| "odds not known".to_owned(), |odds| format!("odds {:.0} %", 100.0 * odds));
    let open_words = format!("{open} of {} hours forecast are not refused", judged.len());
    let why: Vec<&str> = best.checks.iter().filter(|c| c.outcome == best.standing).map(|c| c.name).collect();
    let best_words = format!("best from {} ({odds})", best.local.strftime("%a %-d %b %H:%M"));
    match best.standing {
        // What is planned may wait for a better forecast; the hours themselves stay refused.
        Outcome::Refuse => {
            let blank: Vec<&str> = best.checks.iter().filter(|c| c.outcome == Outcome::NotChecked).map(|c| c.name).collect();
            let words = format!("no hour of this forecast permits it ({}): wait for another", why.join(", "));
            if blank.is_empty() {
                check(NAME, Outcome::Doubt, words)
            } else {
                check(NAME, Outcome::NotChecked, format!("{words}; not checked: {}", blank.join(", ")))
            }
        }
        Outcome::Pass => check(NAME, Outcome::Pass, format!("{open_words}; {best_words}")),
        Outcome::Doubt => check(NAME, Outcome::Doubt, format!("{open_words}; {best_words}, with a look at {}", why.join(", "))),
        Outcome::NotChecked => check(NAME, Outcome::NotChecked, format!("{open_words}; {best_words}; not checked: {}", why.join(", "))),
    }
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

fn people(name: &'static str, seen: Seen, label: Option<&LabelCard>) -> Check {
    let statement = label.and_then(|l| l.children_and_pets.as_deref()).map(str::trim);
    match (seen, statement) {
        (Seen::No, _) => check(name, Outcome::Pass, "none use the ground"),
        (Seen::NotLooked, _) => check(name, Outcome::NotChecked, "it is not known whether any use the ground: ask the owner"),
        (Seen::Yes, Some(said)) if said.eq_ignore_ascii_case("none") => {
            check(name, Outcome::Doubt, "they use the ground, and the label says nothing of them: keep them off while it is applied")
        }
        (Seen::Yes, Some(statement)) => check(name, Outcome::Doubt, format!("they use the ground; the label says: {statement}")),
        (Seen::Yes, None) => check(name, Outcome::NotChecked, "they use the ground; what the label says of them is not on the card"),
    }
}
