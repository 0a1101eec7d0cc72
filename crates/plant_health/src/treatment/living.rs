//! What a living control asks beside the rest: warm and moist soil, and stock that is not too old. Each needs a field of its card (a label, or
//! the supplier's sheet typed as one) and a fact of the day; where either is blank it is *not checked*.

use super::ground::{Ground, Known};
use super::rules::{Bounds, LabelRules, Said};
use super::{Check, Outcome, check};
use groundlore_lore::control::{Control, ControlClass};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Temperature of the soil near the surface.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "kebab-case")]
pub enum SoilWarmth {
    /// By a thermometer in it, °C.
    Measured {
        /// Temperature.
        celsius: f64,
    },
    /// By the air of the last days, °C: an estimate, which passes nothing.
    Estimated {
        /// Temperature.
        celsius: f64,
    },
}

const BLANK: &str = "blank on the card";
const NOTHING: &str = "the card says nothing of it";

/// The checks: for a living control all three, for any other those that its card speaks of.
pub(super) fn living_checks(control: &Control, rules: &LabelRules, ground: &Ground, date: Date) -> Vec<Check> {
    let living = control.class == ControlClass::Organism;
    let asked = |blank: bool| living || !blank;
    let mut all = Vec::new();
    if asked(rules.soil_temperature_c.is_blank()) {
        all.push(warmth(rules, ground));
    }
    if asked(rules.soil_moist.is_blank()) {
        all.push(moisture(rules, ground));
    }
    if asked(rules.age_days.is_blank()) {
        all.push(age(rules, ground, date));
    }
    all
}

fn fahrenheit(celsius: f64) -> String {
    format!("{:.0} °F", celsius * 1.8 + 32.0)
}

fn span(bounds: &Bounds) -> String {
    match (bounds.low, bounds.high) {
        (Some(low), Some(high)) => format!("{} to {}", fahrenheit(low), fahrenheit(high)),
        (Some(low), None) => format!("at least {}", fahrenheit(low)),
        (None, Some(high)) => format!("at most {}", fahrenheit(high)),
        (None, None) => "no temperature".to_owned(),
    }
}

fn warmth(rules: &LabelRules, ground: &Ground) -> Check {
    const NAME: &str = "soil temperature";
    let within =
        |bounds: &Bounds, celsius: f64| bounds.low.is_none_or(|low| celsius >= low) && bounds.high.is_none_or(|high| celsius <= high);
    match (&rules.soil_temperature_c, ground.soil) {
        (Said::NotChecked, _) => check(NAME, Outcome::NotChecked, BLANK),
        (Said::Nothing, _) => check(NAME, Outcome::Pass, NOTHING),
        (Said::Words(words), _) => check(NAME, Outcome::Doubt, format!("the card says: {words}")),
        (Said::Says(bounds), None) => {
            check(NAME, Outcome::NotChecked, format!("the card asks for {}; nobody measured the soil", span(bounds)))
        }
        (Said::Says(bounds), Some(SoilWarmth::Measured { celsius })) => {
            let outcome = if within(bounds, celsius) { Outcome::Pass } else { Outcome::Refuse };
            check(NAME, outcome, format!("{} measured; the card asks for {}", fahrenheit(celsius), span(bounds)))
        }
        (Said::Says(bounds), Some(SoilWarmth::Estimated { celsius })) => {
            let side = if within(bounds, celsius) { "within" } else { "outside" };
            check(
                NAME,
                Outcome::Doubt,
                format!("about {} by the air of the last days, {side} the card's {}: measure it", fahrenheit(celsius), span(bounds)),
            )
        }
    }
}

fn moisture(rules: &LabelRules, ground: &Ground) -> Check {
    const NAME: &str = "soil moisture";
    match (&rules.soil_moist, ground.soil_is_moist) {
        (Said::NotChecked, _) => check(NAME, Outcome::NotChecked, BLANK),
        (Said::Nothing, _) => check(NAME, Outcome::Pass, NOTHING),
        (Said::Words(words), _) => check(NAME, Outcome::Doubt, format!("the card says: {words}")),
        (Said::Says(()), None) => check(NAME, Outcome::NotChecked, "the card asks for moist soil; nobody said whether it is"),
        (Said::Says(()), Some(true)) => check(NAME, Outcome::Pass, "moist, as was said; keep it so as the card asks"),
        (Said::Says(()), Some(false)) => check(NAME, Outcome::Refuse, "the card asks for moist soil and it is dry: water first"),
    }
}

fn age(rules: &LabelRules, ground: &Ground, date: Date) -> Check {
    const NAME: &str = "age of the stock";
    match (&rules.age_days, ground.stock_from) {
        (Said::NotChecked, _) => check(NAME, Outcome::NotChecked, BLANK),
        (Said::Nothing, _) => check(NAME, Outcome::Pass, NOTHING),
        (Said::Words(words), _) => check(NAME, Outcome::Doubt, format!("the card says: {words}")),
        (Said::Says(_), Known::NotKnown | Known::No) => check(
            NAME,
            Outcome::NotChecked,
            "nobody said from which day the stock counts: look at its date, and see under a lens that it lives",
        ),
        (Said::Says(most), Known::On(day)) => {
            let days = f64::from((date - day).get_days());
            let outcome = if days < 0.0 {
                Outcome::NotChecked
            } else if days > *most {
                Outcome::Refuse
            } else {
                Outcome::Pass
            };
            check(NAME, outcome, format!("{days:.0} days from {day}; the card allows {most:.0}"))
        }
    }
}
