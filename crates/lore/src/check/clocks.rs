//! Clocks of the season: every part with a source we know, a start that is given, units that fit the driver, ranges that stand, an error
//! that is not smaller than what was published, and references that are answered.

use super::figures::{wrong_day_of_year, wrong_quantities, wrong_source};
use super::sense::DEGREE_DAY_METHODS;
use crate::event_clock::{Driver, EventClock, EventKind, Individuals, ModelError, Start, Threshold, ThresholdUnit};
use crate::fault::LoreFault;
use crate::library::{Lore, Told};
use crate::provenance::{Source, Standing};
use crate::remedy;
use crate::shelf::Shelf;
use groundlore_quantity::{Kind, Quantity};

/// What may happen above an upper temperature.
const CUTOFFS: [&str; 3] = ["horizontal", "intermediate", "vertical"];
/// Most days in a row, or days summed, that a driver may ask for.
const MOST_DAYS: u32 = 90;
/// Most days after its start that a clock may name.
const MOST_DAYS_AFTER: u32 = 365;
/// Most days of error or spread that a clock may carry.
const WIDEST_DAYS: f64 = 120.0;

type Notes = Vec<(&'static str, Told)>;

pub(super) fn check(lore: &Lore, faults: &mut Vec<LoreFault>) {
    for (key, clock) in &lore.clocks {
        let notes = [
            sources(lore, clock),
            words(clock),
            start(&clock.start),
            driver(&clock.driver),
            threshold(clock),
            spread(lore, clock),
            crossings(lore, clock),
        ];
        faults.extend(notes.into_iter().flatten().map(|(field, told)| lore.fault(Shelf::Clocks, key, field, told)));
    }
}

fn sources(lore: &Lore, clock: &EventClock) -> Notes {
    let parts: [(&'static str, Option<&Source>); 7] = [
        ("source", Some(&clock.source)),
        ("start.source", Some(clock.start.source())),
        ("driver.source", Some(clock.driver.source())),
        ("threshold.source", clock.threshold.as_ref().map(|part| &part.source)),
        ("individuals.source", clock.individuals.as_ref().map(|part| &part.source)),
        ("model_error.source", Some(&clock.model_error.source)),
        ("indicator.source", clock.indicator.as_ref().map(|part| &part.source)),
    ];
    parts.into_iter().filter_map(|(field, source)| Some((field, wrong_source(lore, source?)?))).collect()
}

fn words(clock: &EventClock) -> Notes {
    let mut told = Vec::new();
    for (field, words) in [("name", &clock.name), ("region", &clock.region), ("edition", &clock.edition)] {
        if words.trim().is_empty() {
            told.push((field, Told::fault("", "nothing is written here", "Write it in plain words, for example `Ohio` or `2011`.")));
        }
    }
    let plain = !clock.key.is_empty() && clock.key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if !plain {
        told.push((
            "key",
            Told::fault(&clock.key, "a key holds small letters, digits and hyphens only", "Write it as `red-maple-first-bloom-ohio`."),
        ));
    }
    told
}

fn start(start: &Start) -> Notes {
    let mut told = Vec::new();
    if let Some(day) = start.day() {
        told.extend(wrong_day_of_year(day).map(|wrong| ("start.day", wrong)));
    }
    match start {
        Start::Date { .. } => {}
        Start::Biofix { event, .. } => {
            if event.trim().is_empty() {
                told.push((
                    "start.event",
                    Told::fault("", "nothing says what must be seen", "Write, for example, `first moth in a trap`."),
                ));
            }
        }
        Start::SoilTemperature { depth, at_or_above, days, .. } => {
            told.extend(wrong_quantities(depth, depth, Kind::Length).map(|wrong| ("start.depth", wrong)));
            told.extend(wrong_quantities(at_or_above, at_or_above, Kind::Temperature).map(|wrong| ("start.at_or_above", wrong)));
            told.extend(wrong_days(*days).map(|wrong| ("start.days", wrong)));
        }
        Start::DayLength { hours, .. } => told.extend(wrong_hours(*hours).map(|wrong| ("start.hours", wrong))),
    }
    told
}

fn wrong_days(days: u32) -> Option<Told> {
    (!(1..=MOST_DAYS).contains(&days))
        .then(|| Told::fault(days, format!("this must be from 1 to {MOST_DAYS} days"), "Write, for example, `days = 3`."))
}

fn wrong_hours(hours: f64) -> Option<Told> {
    (!(0.0..=24.0).contains(&hours)).then(|| Told::fault(hours, "no day is so long", "Write hours from 0 to 24, for example `13.5`."))
}

fn wrong_method(method: &str) -> Option<Told> {
    let remedy = format!("Use one of {}.", DEGREE_DAY_METHODS.join(", "));
    (!DEGREE_DAY_METHODS.contains(&method)).then(|| Told::fault(method, "no such way to sum heat", remedy))
}

fn wrong_temperature(temperature: &Quantity) -> Option<Told> {
    wrong_quantities(temperature, temperature, Kind::Temperature)
}

fn driver(driver: &Driver) -> Notes {
    let mut told: Notes = Vec::new();
    match driver {
        Driver::AirDegreeDays { method, base, upper, cutoff, .. } => {
            told.extend(wrong_method(method).map(|wrong| ("driver.method", wrong)));
            told.extend(wrong_temperature(base).map(|wrong| ("driver.base", wrong)));
            told.extend(wrong_upper(base, upper.as_ref(), cutoff.as_deref()));
        }
        Driver::SoilDegreeDays { depth, base, .. } => {
            told.extend(wrong_quantities(depth, depth, Kind::Length).map(|wrong| ("driver.depth", wrong)));
            told.extend(wrong_temperature(base).map(|wrong| ("driver.base", wrong)));
        }
        Driver::SoilTemperature { depth, days, .. } => {
            told.extend(wrong_quantities(depth, depth, Kind::Length).map(|wrong| ("driver.depth", wrong)));
            told.extend(wrong_days(*days).map(|wrong| ("driver.days", wrong)));
        }
        Driver::AirTemperature { days, until, .. } => {
            told.extend(wrong_days(*days).map(|wrong| ("driver.days", wrong)));
            told.extend(until.as_deref().and_then(wrong_day_of_year).map(|wrong| ("driver.until", wrong)));
        }
        Driver::ChillThenHeat { chill_at, chill_hours, method, base, .. } => {
            told.extend(wrong_method(method).map(|wrong| ("driver.method", wrong)));
            told.extend(wrong_temperature(chill_at).map(|wrong| ("driver.chill_at", wrong)));
            told.extend(wrong_temperature(base).map(|wrong| ("driver.base", wrong)));
            if !(*chill_hours > 0.0 && *chill_hours <= 5000.0) {
                let remedy = "Write hours of chill above 0, for example `800`.";
                told.push(("driver.chill_hours", Told::fault(chill_hours, "this is no amount of chill", remedy)));
            }
        }
        Driver::DayLength { .. } => {}
        Driver::Rain { days, .. } => told.extend(wrong_days(*days).map(|wrong| ("driver.days", wrong))),
        Driver::DaysAfter { from, to, .. } => {
            if from > to || *to > MOST_DAYS_AFTER {
                let wrong = format!("{from} to {to} days is no range up to {MOST_DAYS_AFTER} days");
                told.push(("driver.to", Told::fault(to, wrong, "Write the fewest days and the most, for example `from = 42, to = 63`.")));
            }
        }
        Driver::Calendar { from, to, .. } => {
            told.extend(wrong_day_of_year(from).map(|wrong| ("driver.from", wrong)));
            told.extend(wrong_day_of_year(to).map(|wrong| ("driver.to", wrong)));
        }
    }
    told
}

fn wrong_upper(base: &Quantity, upper: Option<&Quantity>, cutoff: Option<&str>) -> Notes {
    let mut told = Vec::new();
    if let Some(upper) = upper {
        told.extend(wrong_temperature(upper).map(|wrong| ("driver.upper", wrong)));
        if upper.si() <= base.si() {
            let remedy = "Write one above the base, for example base `\"50 degF\"` and upper `\"86 degF\"`.";
            told.push(("driver.upper", Told::fault(upper, format!("this is not above the base {base}"), remedy)));
        }
    }
    match (cutoff, upper) {
        (Some(cutoff), _) if !CUTOFFS.contains(&cutoff) => {
            told.push((
                "driver.cutoff",
                Told::fault(cutoff, "no such cutoff", format!("Use one of {}, or take it out.", CUTOFFS.join(", "))),
            ));
        }
        (Some(cutoff), None) => {
            told.push((
                "driver.cutoff",
                Told::fault(cutoff, "a cutoff needs an upper temperature", "Add, for example, `upper = \"86 degF\"`."),
            ));
        }
        _ => {}
    }
    told
}

fn threshold(clock: &EventClock) -> Notes {
    let units = clock.driver.units();
    let Some(threshold) = &clock.threshold else {
        if units.is_empty() {
            return Vec::new();
        }
        let remedy = format!("Add `threshold = {{ low = 100, high = 150, unit = \"{}\", source = \"memory\" }}`.", units[0].name());
        return vec![("threshold", Told::fault("", format!("a clock by {} needs a threshold", clock.driver.name()), remedy))];
    };
    let mut told = Vec::new();
    if units.is_empty() {
        let remedy = "Take it out: the days of a calendar are its `from` and `to`.";
        return vec![("threshold", Told::fault(threshold.unit.name(), "a calendar has no threshold", remedy))];
    }
    if !units.contains(&threshold.unit) {
        let known: Vec<&str> = units.iter().map(|unit| unit.name()).collect();
        let wrong = format!("this unit does not fit a clock by {}", clock.driver.name());
        told.push(("threshold.unit", Told::fault(threshold.unit.name(), wrong, format!("Use {}.", known.join(" or ")))));
    }
    told.extend(wrong_scale(&clock.driver, threshold.unit).map(|wrong| ("threshold.unit", wrong)));
    told.extend(wrong_range(threshold).map(|wrong| ("threshold.low", wrong)));
    told
}

/// Degree-days must be of the scale that the base is on: 100 F-days are no 100 C-days.
fn wrong_scale(driver: &Driver, unit: ThresholdUnit) -> Option<Told> {
    let (Driver::AirDegreeDays { base, .. } | Driver::SoilDegreeDays { base, .. } | Driver::ChillThenHeat { base, .. }) = driver else {
        return None;
    };
    let right = if base.unit.to_string() == "degC" { ThresholdUnit::CelsiusDays } else { ThresholdUnit::FahrenheitDays };
    let either = matches!(unit, ThresholdUnit::CelsiusDays | ThresholdUnit::FahrenheitDays);
    (either && unit != right).then(|| {
        Told::fault(
            unit.name(),
            format!("the base is {base}, so the sum is in {}", right.name()),
            format!("Write `unit = \"{}\"`.", right.name()),
        )
    })
}

/// What the ends of a threshold may be, in its own unit.
fn limits(unit: ThresholdUnit) -> (f64, f64) {
    match unit {
        ThresholdUnit::FahrenheitDays | ThresholdUnit::CelsiusDays => (0.1, 10_000.0),
        ThresholdUnit::DegF => (-60.0, 130.0),
        ThresholdUnit::DegC => (-50.0, 55.0),
        ThresholdUnit::Hours => (0.0, 24.0),
        ThresholdUnit::Mm => (0.0, 2000.0),
        ThresholdUnit::In => (0.0, 80.0),
    }
}

fn wrong_range(threshold: &Threshold) -> Option<Told> {
    let (low, high) = (threshold.low, threshold.high);
    let seen = format!("{low} to {high} {}", threshold.unit.name());
    let (least, most) = limits(threshold.unit);
    if !(low.is_finite() && high.is_finite()) || low.min(high) < least || low.max(high) > most {
        let remedy = format!("Write figures from {least} to {most} {}.", threshold.unit.name());
        return Some(Told::fault(seen, "this is outside what it can be", remedy));
    }
    (low > high).then(|| Told::fault(seen, "the range is reversed", "Write the lower figure as `low` and the higher as `high`."))
}

fn spread(lore: &Lore, clock: &EventClock) -> Notes {
    let mut told = Vec::new();
    told.extend(clock.individuals.as_ref().and_then(wrong_individuals).map(|wrong| ("individuals", wrong)));
    told.extend(wrong_error(lore, clock.kind, &clock.model_error).map(|wrong| ("model_error.days", wrong)));
    told
}

fn wrong_individuals(individuals: &Individuals) -> Option<Told> {
    let days = individuals.ten_to_ninety_days;
    if !(days > 0.0 && days <= WIDEST_DAYS) {
        return Some(Told::fault(
            days,
            format!("this must be above 0 and at most {WIDEST_DAYS} days"),
            "Write, for example, `ten_to_ninety_days = 14`.",
        ));
    }
    let share = individuals.at_threshold;
    (!(0.01..=0.99).contains(&share))
        .then(|| Told::fault(share, "this is no share from 0.01 to 0.99", "Write 0.05 for a first sight, 0.5 for the middle one."))
}

fn wrong_error(lore: &Lore, kind: EventKind, error: &ModelError) -> Option<Told> {
    if !(0.0..=WIDEST_DAYS).contains(&error.days) {
        return Some(Told::fault(error.days, format!("this must be from 0 to {WIDEST_DAYS} days"), "Write, for example, `days = 7`."));
    }
    // A frost is weather itself: there is no model between it and the thermometer.
    let published = lore.standing(&error.source) == Standing::Read;
    let least = ModelError::LEAST_DAYS;
    (kind != EventKind::Frost && !published && error.days < least).then(|| {
        Told::fault(
            error.days,
            format!("an error that was not read is at least {least} days"),
            format!("Write `days = {least}` or more, or name the source that was read."),
        )
    })
}

fn crossings(lore: &Lore, clock: &EventClock) -> Notes {
    let mut told = Vec::new();
    if let Some(plant) = clock.plant.as_ref().filter(|key| !lore.plants.contains_key(*key)) {
        told.push(("plant", unknown(plant, "plant", lore.plants.keys())));
    }
    match (&clock.trouble, &clock.stage) {
        (None, Some(stage)) => {
            told.push((
                "stage",
                Told::fault(stage, "a stage without its trouble", "Add, for example, `trouble = \"white-grubs-annual\"`."),
            ));
        }
        (Some(trouble), stage) => match lore.troubles.get(trouble) {
            None => told.push(("trouble", unknown(trouble, "trouble", lore.troubles.keys()))),
            Some(entry) => {
                let missing = stage.as_ref().filter(|stage| !entry.stages.iter().any(|known| known.key == **stage));
                told.extend(
                    missing.map(|stage| ("stage", unknown(stage, "stage of this trouble", entry.stages.iter().map(|known| &known.key)))),
                );
            }
        },
        (None, None) => {}
    }
    if let Some(other) = clock.indicator.as_ref().and_then(|indicator| indicator.clock.as_ref()) {
        if *other == clock.key {
            told.push(("indicator.clock", Told::fault(other, "a clock is no indicator of itself", "Name another clock, or take it out.")));
        } else if !lore.clocks.contains_key(other) {
            told.push(("indicator.clock", unknown(other, "clock", lore.clocks.keys())));
        }
    }
    let shares = clock.individuals.as_ref().map(|_| Individuals::SHARES).into_iter().flatten();
    for key in shares.map(|share| format!("{}-{:.0}", clock.key, share * 100.0)) {
        if lore.clocks.contains_key(&key) {
            told.push((
                "key",
                Told::fault(&key, "this clock's share of individuals has the key of another clock", "Give one of the two another key."),
            ));
        }
    }
    told
}

/// A fault for a key that no entry of a shelf has.
fn unknown<'a>(key: &str, what: &str, known: impl Iterator<Item = &'a String>) -> Told {
    let remedy = match remedy::nearest(key, known) {
        Some(near) => format!("Did you mean `{near}`? Otherwise add the {what}, or take this line out."),
        None => format!("Add the {what}, or take this line out."),
    };
    Told::fault(key, format!("no {what} has this key"), remedy)
}
