//! What a person adds when a treatment is planned: the rate and the day that are meant, the nozzle, what flowers next door, seed sown and to
//! come. What is left out is not known, and the checks that need it say so.

use crate::DeskError;
use groundlore_plant_health::decision::Seen;
use groundlore_plant_health::treatment::{DRY_ODDS, DropletClass, InBloom, Known};
use groundlore_quantity::{Kind, Quantity};
use jiff::civil::Date;

/// As it was typed. `none` says that there is none; a blank says that nobody looked.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct PlanFacts {
    /// Part of the yard, by its name on the map.
    pub area: Option<String>,
    /// The rate that is meant, as `3 lb/1000ft2`; the card's range where left out.
    pub rate: Option<String>,
    /// The day on which it is meant to be done.
    pub on: Option<Date>,
    /// Droplet class of the nozzle at its pressure, as its own sheet gives it: `coarse`.
    pub droplets: Option<String>,
    /// What flowers next door, parted by commas, or `none`.
    pub next_door: Option<String>,
    /// When the area was last seeded: a date, or `none`.
    pub seeded: Option<String>,
    /// When it is to be seeded next: a date, or `none`.
    pub seeding: Option<String>,
    /// Distance to open water, as `60 ft`, or `none`; the map's where left out.
    pub water: Option<String>,
    /// Distance to the nearest well, as `100 ft`, or `none`; the map's where left out.
    pub well: Option<String>,
    /// Odds of staying dry that are asked for, as `80%`.
    pub dry_odds: Option<String>,
    /// Tank of the sprayer, as `3 gal`.
    pub tank: Option<String>,
    /// Parts of mix to one of stock, where a proportioner is used: `100`.
    pub injector: Option<String>,
    /// Temperature of the soil as measured, as `64 degF`; estimated from the air where left out.
    pub soil_temperature: Option<String>,
    /// Whether the soil is `moist` or `dry`.
    pub soil: Option<String>,
    /// Day from which the age of living stock counts (made or received, as its card says).
    pub stock_from: Option<String>,
}

/// The same, read.
#[derive(Debug, Clone)]
pub(super) struct ReadFacts {
    pub(super) rate: Option<Quantity>,
    pub(super) droplets: Option<DropletClass>,
    pub(super) next_door: Option<Vec<InBloom>>,
    pub(super) seeded: Known,
    pub(super) seeding: Known,
    pub(super) water_m: Option<f64>,
    pub(super) well_m: Option<f64>,
    pub(super) dry_odds: f64,
    pub(super) tank_m3: Option<f64>,
    pub(super) injector: Option<f64>,
    pub(super) soil_c: Option<f64>,
    pub(super) soil_is_moist: Option<bool>,
    pub(super) stock_from: Known,
}

fn refused(what: &str, value: &str, why: &str, remedy: &str) -> DeskError {
    DeskError::Refused { what: what.to_owned(), value: format!("`{value}`"), why: why.to_owned(), remedy: remedy.to_owned() }
}

fn is_none(text: &str) -> bool {
    text.trim().eq_ignore_ascii_case("none")
}

fn day(what: &str, text: Option<&str>) -> Result<Known, DeskError> {
    match text.map(str::trim).filter(|text| !text.is_empty()) {
        None => Ok(Known::NotKnown),
        Some(text) if is_none(text) => Ok(Known::No),
        Some(text) => text
            .parse()
            .map(Known::On)
            .map_err(|_| refused(what, text, "is no day of the calendar", "write it as `2015-09-10`, or `none` where there is none")),
    }
}

fn distance(what: &str, text: Option<&str>) -> Result<Option<f64>, DeskError> {
    match text.map(str::trim).filter(|text| !text.is_empty()) {
        None => Ok(None),
        Some(text) if is_none(text) => Ok(Some(f64::INFINITY)),
        Some(text) => {
            let length = quantity(what, text, Kind::Length)?.si();
            if length >= 0.0 { Ok(Some(length)) } else { Err(refused(what, text, "is less than nothing", "write it as `60 ft`")) }
        }
    }
}

fn quantity(what: &str, text: &str, kind: Kind) -> Result<Quantity, DeskError> {
    Quantity::parse_as(text, kind).map_err(|source| DeskError::Quantity { what: what.to_owned(), source })
}

fn soil_c(text: &str) -> Result<f64, DeskError> {
    let celsius = quantity("soil temperature", text, Kind::Temperature)?.celsius();
    celsius
        .filter(|c| (-20.0..=60.0).contains(c))
        .ok_or_else(|| refused("soil temperature", text, "is no temperature of soil", "write it as `64 degF`"))
}

impl PlanFacts {
    /// Reads it all.
    pub(super) fn read(&self) -> Result<ReadFacts, DeskError> {
        let given = |text: &Option<String>| text.clone().map(|t| t.trim().to_owned()).filter(|t| !t.is_empty());
        let droplets = given(&self.droplets)
            .map(|text| {
                let all: Vec<&str> = DropletClass::ALL.iter().map(|(_, words, _)| *words).collect();
                DropletClass::from_words(&text)
                    .ok_or_else(|| refused("droplets", &text, "is no droplet class", &format!("use one of {}", all.join(", "))))
            })
            .transpose()?;
        let next_door = given(&self.next_door).map(|text| {
            if is_none(&text) {
                return Vec::new();
            }
            let plants = text.split([',', ';']).map(str::trim).filter(|plant| !plant.is_empty());
            plants.map(|plant| InBloom { plant: plant.to_owned(), bees_visit: Seen::Yes, in_treated_area: false }).collect()
        });
        let dry_odds = given(&self.dry_odds).map(|text| Ok::<_, DeskError>((quantity("dry odds", &text, Kind::Share)?.si(), text)));
        let dry_odds = match dry_odds.transpose()? {
            None => DRY_ODDS,
            Some((share, _)) if (0.5..=1.0).contains(&share) => share,
            Some((_, text)) => return Err(refused("dry odds", &text, "must lie between 50 % and 100 %", "write them as `80%`")),
        };
        let above = |what: &str, text: Option<String>, kind: Kind, example: &str| -> Result<Option<f64>, DeskError> {
            let Some(text) = text else { return Ok(None) };
            let value = quantity(what, &text, kind)?.si();
            if value > 0.0 {
                Ok(Some(value))
            } else {
                Err(refused(what, &text, "must be more than nothing", &format!("write it as `{example}`")))
            }
        };
        Ok(ReadFacts {
            rate: given(&self.rate).map(|text| quantity("rate", &text, Kind::Any)).transpose()?,
            droplets,
            next_door,
            seeded: day("last seeded", self.seeded.as_deref())?,
            seeding: day("to be seeded", self.seeding.as_deref())?,
            water_m: distance("distance to water", self.water.as_deref())?,
            well_m: distance("distance to the well", self.well.as_deref())?,
            dry_odds,
            tank_m3: above("tank", given(&self.tank), Kind::Volume, "3 gal")?,
            injector: above("injector", given(&self.injector), Kind::Bare, "100")?,
            soil_c: given(&self.soil_temperature).map(|text| soil_c(&text)).transpose()?,
            soil_is_moist: match given(&self.soil).as_deref().map(str::to_lowercase).as_deref() {
                None => None,
                Some("moist" | "wet") => Some(true),
                Some("dry") => Some(false),
                Some(other) => return Err(refused("soil", other, "is neither moist nor dry", "write `moist` or `dry`")),
            },
            stock_from: day("stock counts from", self.stock_from.as_deref())?,
        })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn blanks_are_not_known_and_none_is_none() {
        let blank = PlanFacts::default().read().unwrap();
        assert_eq!((blank.seeded, blank.well_m, blank.next_door.is_none()), (Known::NotKnown, None, true));
        let none = || Some("none".to_owned());
        let none = PlanFacts { seeded: none(), well: none(), next_door: none(), ..PlanFacts::default() }.read().unwrap();
        assert_eq!((none.seeded, none.well_m, none.next_door), (Known::No, Some(f64::INFINITY), Some(Vec::new())));
    }

    #[test]
    fn wrong_words_name_place_value_and_remedy() {
        let told = |facts: PlanFacts| facts.read().unwrap_err().to_string();
        let typed = |text: &str| Some(text.to_owned());
        for (facts, value, remedy) in [
            (PlanFacts { seeded: typed("last May"), ..PlanFacts::default() }, "last May", "2015-09-10"),
            (PlanFacts { droplets: typed("misty"), ..PlanFacts::default() }, "misty", "very coarse"),
            (PlanFacts { well: typed("-4 ft"), ..PlanFacts::default() }, "-4 ft", "60 ft"),
            (PlanFacts { dry_odds: typed("10%"), ..PlanFacts::default() }, "10%", "80%"),
            (PlanFacts { tank: typed("0 gal"), ..PlanFacts::default() }, "0 gal", "3 gal"),
            (PlanFacts { tank: typed("3 ft"), ..PlanFacts::default() }, "3 ft", "volume"),
            (PlanFacts { soil_temperature: typed("640 degF"), ..PlanFacts::default() }, "640 degF", "64 degF"),
            (PlanFacts { soil: typed("nice"), ..PlanFacts::default() }, "nice", "moist"),
            (PlanFacts { stock_from: typed("last week"), ..PlanFacts::default() }, "last week", "2015-09-10"),
        ] {
            let said = told(facts);
            assert!(said.contains(value) && said.contains(remedy), "{said}");
        }
    }
}
