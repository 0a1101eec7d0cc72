//! Checks of the ground and of those who use it: wells, next door's bloom, turf, seedlings, seed to come, roots, clippings, the owner's days,
//! the licence, the droplets. Each needs a field of the card and a fact of the yard; where either is blank it is *not checked*.

use super::bees::InBloom;
use super::label::telling_words;
use super::living::SoilWarmth;
use super::rules::{Applicator, BloomRule, DropletClass, LabelRules, Said};
use super::{Check, Outcome, Situation, check};
use crate::decision::Seen;
use groundlore_quantity::Quantity;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A day that may be known, known not to be, or not known.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Nobody said.
    #[default]
    NotKnown,
    /// There is none.
    No,
    /// On this day.
    On(Date),
}

/// What is known of the ground beyond the trouble. The default knows nothing.
#[derive(Debug, Clone, Copy, Default)]
pub struct Ground<'a> {
    /// Name of the part of the yard that is treated; none where it is not told apart.
    pub area: Option<&'a str>,
    /// The rate that is meant, per area; none takes the card's range.
    pub rate: Option<&'a Quantity>,
    /// What is in flower next door; none where nobody looked.
    pub next_door: Option<&'a [InBloom]>,
    /// Distance to the nearest well, m; none where unknown.
    pub well_m: Option<f64>,
    /// Kinds of turf in the area, in words; none where unknown.
    pub turf: Option<&'a [String]>,
    /// When the area was last seeded.
    pub seeded: Known,
    /// When it is to be seeded next.
    pub seeding: Known,
    /// Trees and shrubs whose roots may reach into the area, with the distance from the trunk's reach to the area, m (0 within); none where
    /// the map lists no trees.
    pub roots: Option<&'a [(String, f64)]>,
    /// Weekdays or dates on which the owner forbids work; none where nobody asked.
    pub forbidden_days: Option<&'a [String]>,
    /// Whether the day of the situation is the day on which it is meant to be done; else it is the day of planning.
    pub day_is_meant: bool,
    /// Licence of who applies it; none where none is typed.
    pub licence: Option<&'a str>,
    /// Droplet class of the nozzle at its pressure; none where no nozzle was named.
    pub droplets: Option<DropletClass>,
    /// Temperature of the soil; none where not known.
    pub soil: Option<SoilWarmth>,
    /// Whether the soil is moist, as somebody said; none where nobody looked.
    pub soil_is_moist: Option<bool>,
    /// Day from which the age of living stock counts.
    pub stock_from: Known,
    /// Unit in which lengths are told.
    pub lengths: Lengths,
}

/// The unit in which lengths are told at a yard.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lengths {
    /// Metres.
    #[default]
    Metres,
    /// Feet.
    Feet,
}

impl Lengths {
    /// A length in words.
    ///
    /// ```
    /// use groundlore_plant_health::treatment::Lengths;
    /// assert_eq!((Lengths::Feet.words(7.62), Lengths::Metres.words(7.62)), ("25 ft".to_owned(), "8 m".to_owned()));
    /// ```
    #[must_use]
    pub fn words(self, metres: f64) -> String {
        match self {
            Self::Metres => format!("{metres:.0} m"),
            Self::Feet => format!("{:.0} ft", metres / 0.3048),
        }
    }

    /// A distance in words; one that is said to be none near has no figure.
    pub(super) fn away(self, metres: f64) -> String {
        if metres.is_finite() { format!("{} away", self.words(metres)) } else { "none near, as was said".to_owned() }
    }
}

const BLANK: &str = "blank on the label card";
const NOTHING: &str = "the label says nothing of it";

/// The checks of a card and a ground, for a lawn or for ornamentals.
pub(super) fn ground_checks(rules: &LabelRules, situation: &Situation) -> Vec<Check> {
    let ground = &situation.ground;
    let on_turf = situation.site == "lawn";
    let mut all = vec![
        next_door(rules, ground),
        wells(rules, ground),
        roots(rules, ground),
        days(ground, situation.date),
        licence(rules, ground),
        droplets(rules, ground),
    ];
    if on_turf {
        all.push(turf(rules, ground));
        all.push(seedlings(rules, ground, situation.date));
        all.push(seed_to_come(rules, ground, situation.date));
        all.push(words_only("clippings", &rules.clippings));
        all.push(words_only("compost", &rules.compost));
    }
    all
}

fn next_door(rules: &LabelRules, ground: &Ground) -> Check {
    const NAME: &str = "bloom next door";
    let Some(bloom) = ground.next_door else {
        return check(NAME, Outcome::NotChecked, "nobody looked over the fence at what is in flower");
    };
    let visited: Vec<&str> = bloom.iter().filter(|b| b.bees_visit != Seen::No).map(|b| b.plant.as_str()).collect();
    match &rules.bloom {
        Said::NotChecked => check(NAME, Outcome::NotChecked, format!("what the label says of bloom is {BLANK}")),
        _ if visited.is_empty() => check(NAME, Outcome::Pass, "nothing that bees visit is in flower there"),
        Said::Nothing => check(NAME, Outcome::Doubt, format!("{NOTHING}; in flower there: {}. Let nothing drift over", visited.join(", "))),
        Said::Words(words) => check(NAME, Outcome::Doubt, format!("the label says: {words}; in flower there: {}", visited.join(", "))),
        Said::Says(BloomRule::Forbidden) => check(
            NAME,
            Outcome::Doubt,
            format!("the label forbids plants in flower, and {} flower there: nothing may drift over the fence", visited.join(", ")),
        ),
        Said::Says(BloomRule::NotWhileBeesForage) => {
            check(NAME, Outcome::Doubt, format!("in flower there: {}: only in hours when bees do not forage", visited.join(", ")))
        }
    }
}

fn wells(rules: &LabelRules, ground: &Ground) -> Check {
    const NAME: &str = "wells nearby";
    let (away, keeps) = (|m: f64| ground.lengths.away(m), |m: f64| ground.lengths.words(m));
    match (&rules.well_m, ground.well_m) {
        (Said::NotChecked, Some(here)) => {
            check(NAME, Outcome::NotChecked, format!("the nearest well: {}; the distance is {BLANK}", away(here)))
        }
        (Said::NotChecked, None) => check(NAME, Outcome::NotChecked, format!("the distance is {BLANK}, and no well is on the map")),
        (Said::Nothing, _) => check(NAME, Outcome::Pass, NOTHING),
        (Said::Words(words), _) => check(NAME, Outcome::Doubt, format!("the label says: {words}")),
        (Said::Says(_), None) => check(NAME, Outcome::NotChecked, "no well is on the map: ask the owner, and mark it"),
        (Said::Says(keep), Some(here)) if here < *keep => {
            check(NAME, Outcome::Refuse, format!("the nearest well: {}; the label asks for {}", away(here), keeps(*keep)))
        }
        (Said::Says(keep), Some(here)) => {
            check(NAME, Outcome::Pass, format!("the nearest well: {}; the label asks for {}", away(here), keeps(*keep)))
        }
    }
}

fn roots(rules: &LabelRules, ground: &Ground) -> Check {
    const NAME: &str = "roots of trees";
    let near = |most: f64| -> Option<Vec<&str>> {
        ground.roots.map(|roots| roots.iter().filter(|(_, m)| *m <= most).map(|(name, _)| name.as_str()).collect())
    };
    match &rules.tree_roots_m {
        Said::NotChecked => check(NAME, Outcome::NotChecked, BLANK),
        Said::Nothing => check(NAME, Outcome::Pass, NOTHING),
        Said::Words(words) => match near(0.0) {
            None => check(NAME, Outcome::NotChecked, format!("the label says: {words}; the map lists no trees")),
            Some(trees) if trees.is_empty() => check(NAME, Outcome::Pass, "no crown on the map reaches over the area"),
            Some(trees) => check(NAME, Outcome::Doubt, format!("the label says: {words}; roots in the area: {}", trees.join(", "))),
        },
        Said::Says(keep) => match near(*keep) {
            None => check(
                NAME,
                Outcome::NotChecked,
                format!("the label keeps {} from roots; the map lists no trees", ground.lengths.words(*keep)),
            ),
            Some(trees) if trees.is_empty() => {
                check(NAME, Outcome::Pass, format!("no tree's reach lies within {}", ground.lengths.words(*keep)))
            }
            Some(trees) => check(
                NAME,
                Outcome::Refuse,
                format!("the label keeps {} from roots; within that: {}", ground.lengths.words(*keep), trees.join(", ")),
            ),
        },
    }
}

/// The owner's days.
pub(super) fn days(ground: &Ground, date: Date) -> Check {
    const NAME: &str = "the owner's days";
    let Some(forbidden) = ground.forbidden_days else {
        return check(NAME, Outcome::NotChecked, "nobody asked on which days work is forbidden");
    };
    match forbidden.iter().find(|day| is_day(day, date)) {
        Some(day) if ground.day_is_meant => check(NAME, Outcome::Refuse, format!("the owner forbids work on {day}")),
        Some(day) => check(NAME, Outcome::Doubt, format!("the owner forbids work on {day}: do it on another day")),
        None => check(NAME, Outcome::Pass, format!("{} is not among the days that the owner forbids", date.strftime("%A"))),
    }
}

/// Whether a weekday (`Sunday`, `Sun`, `Sundays`) or a date names this day.
///
/// ```
/// # use groundlore_plant_health::treatment::is_day;
/// let sunday = jiff::civil::date(2015, 8, 16);
/// assert!(is_day("Sundays", sunday) && is_day("2015-08-16", sunday) && !is_day("Saturday", sunday));
/// ```
#[must_use]
pub fn is_day(text: &str, date: Date) -> bool {
    let text = text.trim().to_lowercase();
    let weekday = date.strftime("%A").to_string().to_lowercase();
    text == date.to_string() || text.trim_end_matches('s') == weekday.trim_end_matches('s') || text == weekday[..3]
}

fn licence(rules: &LabelRules, ground: &Ground) -> Check {
    const NAME: &str = "licence";
    let licence = ground.licence.map(str::trim).filter(|l| !l.is_empty());
    match (&rules.applicator, licence) {
        (Said::NotChecked, _) => check(NAME, Outcome::NotChecked, format!("who may apply it is {BLANK}")),
        (Said::Says(Applicator::Licensed), None) => {
            check(NAME, Outcome::Refuse, "the label asks for a licensed applicator, and no licence is typed for who applies it")
        }
        (_, Some(licence)) => {
            check(NAME, Outcome::Pass, format!("licence as typed: {licence}; see that it covers this work and has not lapsed"))
        }
        (_, None) => check(
            NAME,
            Outcome::Doubt,
            "the label asks for no licence and none is typed; for hire most places ask for one: ask the pesticide authority",
        ),
    }
}

fn droplets(rules: &LabelRules, ground: &Ground) -> Check {
    const NAME: &str = "droplets";
    match (&rules.droplets, ground.droplets) {
        (Said::NotChecked, _) => check(NAME, Outcome::NotChecked, format!("the droplet class is {BLANK}")),
        (Said::Nothing, _) => check(NAME, Outcome::Pass, NOTHING),
        (Said::Words(words), _) => check(NAME, Outcome::Doubt, format!("the label says: {words}")),
        (Said::Says((finest, coarsest)), None) => check(
            NAME,
            Outcome::NotChecked,
            format!("the label asks for {}; no nozzle was named with its class at its pressure", span_words(*finest, *coarsest)),
        ),
        (Said::Says((finest, coarsest)), Some(class)) if (*finest..=*coarsest).contains(&class) => {
            check(NAME, Outcome::Pass, format!("{} is within {}", class.words(), span_words(*finest, *coarsest)))
        }
        (Said::Says((finest, coarsest)), Some(class)) => {
            check(NAME, Outcome::Refuse, format!("{} is not {}", class.words(), span_words(*finest, *coarsest)))
        }
    }
}

fn span_words(finest: DropletClass, coarsest: DropletClass) -> String {
    if finest == coarsest { finest.words().to_owned() } else { format!("{} to {}", finest.words(), coarsest.words()) }
}

/// Whether two names of turf share a telling word (`tall fescue` and `turf-type tall fescue`).
fn same_turf(a: &str, b: &str) -> bool {
    let plain = |text: &str| -> Vec<String> {
        let general = ["grass", "turf", "type", "lawn", "mixture", "mix", "blend", "with", "some"];
        telling_words(text).into_iter().filter(|w| !general.contains(&w.as_str())).map(|w| w.trim_end_matches('s').to_owned()).collect()
    };
    let (a, b) = (plain(a), plain(b));
    !a.is_empty() && !b.is_empty() && (a.iter().all(|w| b.contains(w)) || b.iter().all(|w| a.contains(w)))
}

fn turf(rules: &LabelRules, ground: &Ground) -> Check {
    const NAME: &str = "kind of turf";
    if rules.turf_allowed.is_blank() || rules.turf_injured.is_blank() {
        return check(NAME, Outcome::NotChecked, format!("the turf it may be used on, or the turf that it injures, is {BLANK}"));
    }
    let (allowed, injured) = (rules.turf_allowed.says(), rules.turf_injured.says());
    if allowed.is_none_or(Vec::is_empty) && injured.is_none_or(Vec::is_empty) {
        return check(NAME, Outcome::Pass, "the label names no kind of turf");
    }
    let Some(here) = ground.turf.filter(|kinds| !kinds.is_empty()) else {
        return check(NAME, Outcome::NotChecked, "the kind of turf is not on the map: write it as `grass`");
    };
    // A lawn of several kinds is named with commas, slashes or `and`.
    let kinds: Vec<String> = here
        .iter()
        .flat_map(|k| k.split([',', '/', ';', '+']).flat_map(|part| part.split(" and ")).map(|s| s.trim().to_owned()).collect::<Vec<_>>())
        .filter(|kind| !kind.is_empty())
        .collect();
    if let Some(hurt) = kinds.iter().find(|kind| injured.is_some_and(|list| list.iter().any(|named| same_turf(kind, named)))) {
        return check(NAME, Outcome::Refuse, format!("the label says that it injures {hurt}"));
    }
    match allowed.filter(|list| !list.is_empty()) {
        None => check(NAME, Outcome::Pass, format!("{} is not among the turf that it injures", kinds.join(", "))),
        Some(list) => match kinds.iter().find(|kind| !list.iter().any(|named| same_turf(kind, named))) {
            Some(other) => check(NAME, Outcome::Refuse, format!("the label lists {}, not {other}", list.join(", "))),
            None => check(NAME, Outcome::Pass, format!("the label lists {}", kinds.join(", "))),
        },
    }
}

fn days_between(from: Date, to: Date) -> f64 {
    f64::from((to - from).get_days())
}

fn seedlings(rules: &LabelRules, ground: &Ground, date: Date) -> Check {
    const NAME: &str = "age of seedlings";
    match (&rules.seedling_days, ground.seeded) {
        (Said::NotChecked, _) => check(NAME, Outcome::NotChecked, BLANK),
        (Said::Nothing, _) => check(NAME, Outcome::Pass, NOTHING),
        (_, Known::No) => check(NAME, Outcome::Pass, "nothing was seeded there lately, as was said"),
        (_, Known::NotKnown) => check(NAME, Outcome::NotChecked, "nobody said when the area was last seeded"),
        (Said::Words(words), Known::On(day)) => check(NAME, Outcome::Doubt, format!("seeded on {day}; the label says: {words}")),
        (Said::Says(least), Known::On(day)) => {
            let age = days_between(day, date);
            let outcome = if age < *least { Outcome::Refuse } else { Outcome::Pass };
            check(NAME, outcome, format!("seeded {age:.0} days before; the label asks for {least:.0}"))
        }
    }
}

fn seed_to_come(rules: &LabelRules, ground: &Ground, date: Date) -> Check {
    const NAME: &str = "seed to come";
    match (&rules.reseeding_days, ground.seeding) {
        (Said::NotChecked, _) => check(NAME, Outcome::NotChecked, BLANK),
        (Said::Nothing, _) => check(NAME, Outcome::Pass, NOTHING),
        (_, Known::No) => check(NAME, Outcome::Pass, "no seeding is planned there, as was said"),
        (_, Known::NotKnown) => check(NAME, Outcome::NotChecked, "nobody said whether the area is to be seeded soon"),
        (_, Known::On(day)) if day < date => check(NAME, Outcome::NotChecked, format!("{day} is past: when is it to be seeded next?")),
        (Said::Words(words), Known::On(day)) => check(NAME, Outcome::Doubt, format!("to be seeded on {day}; the label says: {words}")),
        (Said::Says(least), Known::On(day)) => {
            let until = days_between(date, day);
            let outcome = if until < *least { Outcome::Refuse } else { Outcome::Pass };
            check(NAME, outcome, format!("to be seeded {until:.0} days after; the label asks for {least:.0}"))
        }
    }
}

/// A statement that stands on the sheet, and that somebody must keep.
fn words_only(name: &'static str, said: &Said<()>) -> Check {
    match said {
        Said::NotChecked => check(name, Outcome::NotChecked, BLANK),
        Said::Nothing => check(name, Outcome::Pass, NOTHING),
        Said::Words(words) => check(name, Outcome::Doubt, format!("the label says: {words}")),
        Said::Says(()) => check(name, Outcome::Doubt, "the label limits it"),
    }
}
