//! Wishes for a bed as a person types them.

use super::refused;
use crate::DeskError;
use groundlore_lore::plant::{Light, Moisture, PlantKind};
use groundlore_planting::calendar::MONTHS;
use groundlore_planting::wishes::{Budget, PERSON_M, Wishes};
use groundlore_quantity::{Kind, Quantity};
use groundlore_site::yard::{Area, Shade};
use serde::{Deserialize, Serialize};

/// What is asked of a bed, field by field as typed. A blank takes what the map, the weather or the trade says, and that is told.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BedWishes {
    /// Months in which something should flower: `May-October`, or `May, July, September`.
    pub bloom: Option<String>,
    /// Kinds in flower in each of those months: `3`.
    pub kinds_in_bloom: Option<String>,
    /// Shortest and tallest height in bloom: `1 ft - 6 ft`.
    pub heights: Option<String>,
    /// `full sun`, `part shade` or `full shade`.
    pub light: Option<String>,
    /// `dry`, `medium`, `moist` or `wet`.
    pub moisture: Option<String>,
    /// Hardiness zone: `5`, or `5b`.
    pub zone: Option<String>,
    /// Visitors to feed: `bees, butterflies`; `none` asks for none.
    pub visitors: Option<String>,
    /// Flower colours: `blue, white`.
    pub colours: Option<String>,
    /// Most kinds: `9`.
    pub max_kinds: Option<String>,
    /// One plant taller than a person?
    pub taller_than_person: Option<bool>,
    /// Plants that must be in it, by key or name.
    pub include: Option<String>,
    /// Plants that must not.
    pub leave_out: Option<String>,
    /// Where it is, for lists of invasive plants: `Wisconsin, USA`.
    pub place: Option<String>,
    /// From where it is seen: `lawn`, a direction such as `south`, degrees from north such as `200 deg`, or `all round`.
    pub front: Option<String>,
    /// What may be spent on plants: `$900`.
    pub budget: Option<String>,
}

/// What stands in for a blank.
pub(super) struct Ground<'a> {
    pub(super) area: &'a Area,
    pub(super) latitude_deg: f64,
    /// Zone by the station's record, with its words.
    pub(super) zone: Option<(u8, String)>,
    pub(super) prices: Vec<(PlantKind, f64)>,
    /// Lore keys by what was typed.
    pub(super) key_of: &'a dyn Fn(&str) -> String,
}

/// Wishes checked, and what was taken for the blanks.
pub(super) fn read(typed: &BedWishes, ground: &Ground<'_>) -> Result<(Wishes, Vec<String>), DeskError> {
    let mut assumed = Vec::new();
    let usual = Wishes::default();
    let keys = |text: &Option<String>| words(text).iter().map(|name| (ground.key_of)(name)).collect::<Vec<String>>();
    let wishes = Wishes {
        bloom_months: match given(&typed.bloom) {
            Some(text) => months(text)?,
            None => {
                assumed.push("bloom: April to October (common practice), since no months were asked for".to_owned());
                usual.bloom_months.iter().map(|m| groundlore_planting::calendar::month_at(*m, ground.latitude_deg)).collect()
            }
        },
        kinds_in_bloom: whole(&typed.kinds_in_bloom, "kinds in bloom", "3")?.unwrap_or(usual.kinds_in_bloom),
        height_m: given(&typed.heights).map(heights).transpose()?,
        light: light(typed, ground, &mut assumed)?,
        moisture: moisture(typed, &mut assumed)?,
        zone: zone(typed, ground, &mut assumed)?,
        latitude_deg: ground.latitude_deg,
        place: given(&typed.place).map(str::to_owned),
        visitors: match given(&typed.visitors) {
            Some(text) if text.eq_ignore_ascii_case("none") => Vec::new(),
            Some(_) => words(&typed.visitors),
            None => usual.visitors,
        },
        colours: words(&typed.colours),
        at_least_one_taller_than_m: (typed.taller_than_person == Some(true)).then_some(PERSON_M),
        max_kinds: whole(&typed.max_kinds, "most kinds", "9")?.unwrap_or(usual.max_kinds),
        include: keys(&typed.include),
        leave_out: keys(&typed.leave_out),
        budget: given(&typed.budget).map(|text| budget(text, &ground.prices)).transpose()?,
        ..Wishes::default()
    };
    if wishes.place.is_none() {
        assumed.push(
            "lists of invasive plants: a plant listed anywhere was left out, since no place such as `Wisconsin, USA` was given".to_owned(),
        );
    }
    wishes.check().map_err(DeskError::science)?;
    Ok((wishes, assumed))
}

fn given(text: &Option<String>) -> Option<&str> {
    text.as_deref().map(str::trim).filter(|text| !text.is_empty())
}

fn words(text: &Option<String>) -> Vec<String> {
    given(text).into_iter().flat_map(|text| text.split([',', ';'])).map(|w| w.trim().to_lowercase()).filter(|w| !w.is_empty()).collect()
}

fn whole(text: &Option<String>, what: &str, example: &str) -> Result<Option<usize>, DeskError> {
    given(text)
        .map(|text| text.parse().map_err(|_| refused(what, text, "is not a whole number", &format!("write one, for example `{example}`"))))
        .transpose()
}

/// Months as `May-October`, `Nov to Feb`, `5-10` or a list.
fn months(text: &str) -> Result<Vec<u8>, DeskError> {
    let mut found = Vec::new();
    for part in text.split([',', ';']).map(str::trim).filter(|part| !part.is_empty()) {
        let ends: Vec<u8> = split_range(part).into_iter().map(month).collect::<Result<_, _>>()?;
        match ends[..] {
            [one] => found.push(one),
            [from, to] => found.extend(groundlore_planting::calendar::months_at(from, to, 1.0)),
            _ => {
                return Err(refused(
                    "months of bloom",
                    part,
                    "is not a month or a run of months",
                    "write `May-October` or `May, July, September`",
                ));
            }
        }
    }
    found.sort_unstable();
    found.dedup();
    Ok(found)
}

fn split_range(part: &str) -> Vec<&str> {
    let by_word: Vec<&str> = part.split(" to ").collect();
    let ends = if by_word.len() > 1 { by_word } else { part.split(['-', '–']).collect() };
    ends.into_iter().map(str::trim).collect()
}

fn month(word: &str) -> Result<u8, DeskError> {
    let wanted = word.to_lowercase();
    let named = || wanted.len() >= 3 && wanted.chars().all(char::is_alphabetic);
    let place = MONTHS.iter().position(|name| named() && name.to_lowercase().starts_with(&wanted));
    let number = wanted.parse::<u8>().ok().filter(|n| (1..=12).contains(n));
    place
        .and_then(|place| u8::try_from(place + 1).ok())
        .or(number)
        .ok_or_else(|| refused("month of bloom", word, "is not a month", "write its name, for example `May-October`"))
}

/// `1 ft - 6 ft`, `1-6 ft` or `1 to 6 ft`.
fn heights(text: &str) -> Result<(f64, f64), DeskError> {
    let wrong = || refused("heights", text, "is not a lower and an upper height", "write both, for example `1 ft - 6 ft`");
    let ends = split_range(text);
    let [low, high] = ends[..] else { return Err(wrong()) };
    let length =
        |text: &str| Quantity::parse_as(text, Kind::Length).map_err(|source| DeskError::Quantity { what: "heights".to_owned(), source });
    let high = length(high)?;
    let low = if low.parse::<f64>().is_ok() { length(&format!("{low} {}", high.unit))? } else { length(low)? };
    Ok((low.si(), high.si()))
}

fn light(typed: &BedWishes, ground: &Ground<'_>, assumed: &mut Vec<String>) -> Result<Light, DeskError> {
    let of_map = |shade: Shade| match shade {
        Shade::FullSun => Light::FullSun,
        Shade::PartShade => Light::PartShade,
        Shade::FullShade => Light::FullShade,
    };
    match (given(&typed.light), ground.area.shade) {
        (Some(text), _) => one_of(text, "light", "`full sun`, `part shade` or `full shade`"),
        (None, Some(shade)) => {
            assumed.push(format!("light: {}, as the map has it", shade.word()));
            Ok(of_map(shade))
        }
        (None, None) => Err(DeskError::missing(
            format!("nobody has said how much light `{}` gets, and its map has no `shade`", ground.area.name),
            "say `full sun` (six hours or more), `part shade` (four to six) or `full shade`, for example `--light \"full sun\"`",
        )),
    }
}

fn moisture(typed: &BedWishes, assumed: &mut Vec<String>) -> Result<Moisture, DeskError> {
    match given(&typed.moisture) {
        Some(text) => one_of(text, "moisture", "`dry`, `medium`, `moist` or `wet`"),
        None => {
            assumed.push("moisture: medium was taken, since nobody said; look at the soil two days after rain".to_owned());
            Ok(Moisture::Medium)
        }
    }
}

/// A word of lore's own lists.
fn one_of<T: serde::de::DeserializeOwned>(text: &str, what: &str, words: &str) -> Result<T, DeskError> {
    let word = text.to_lowercase().replace([' ', '_'], "-");
    serde_json::from_value(serde_json::Value::String(word)).map_err(|_| refused(what, text, "is not known", &format!("write {words}")))
}

fn zone(typed: &BedWishes, ground: &Ground<'_>, assumed: &mut Vec<String>) -> Result<u8, DeskError> {
    match (given(&typed.zone), &ground.zone) {
        (Some(text), _) => {
            let number = text.to_lowercase().trim_start_matches("zone").trim().trim_end_matches(['a', 'b']).to_owned();
            number.parse().map_err(|_| refused("hardiness zone", text, "is not a zone", "write its number, for example `5` or `5b`"))
        }
        (None, Some((zone, words))) => {
            assumed.push(words.clone());
            Ok(*zone)
        }
        (None, None) => Err(DeskError::missing(
            "the hardiness zone is not known: nobody gave it and the yard has no weather station",
            "give it, for example `--zone 5`, or name the yard's station",
        )),
    }
}

fn budget(text: &str, prices: &[(PlantKind, f64)]) -> Result<Budget, DeskError> {
    let bare = text.parse::<f64>().ok();
    let total = match bare {
        Some(total) => total,
        None => Quantity::parse_as(text, Kind::Money).map_err(|source| DeskError::Quantity { what: "budget".to_owned(), source })?.si(),
    };
    Ok(Budget { total, price_each: prices.to_vec() })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn months_are_read_as_people_write_them() {
        assert_eq!(months("May-October").unwrap(), [5, 6, 7, 8, 9, 10]);
        assert_eq!(months("Nov to Feb").unwrap(), [1, 2, 11, 12]);
        assert_eq!(months("may, 7, Sept").unwrap(), [5, 7, 9]);
        assert!(months("Mayober").unwrap_err().to_string().contains("Mayober"));
    }

    #[test]
    fn heights_may_share_a_unit() {
        let (low, high) = heights("1-6 ft").unwrap();
        assert!((low - 0.3048).abs() < 1e-12 && (high - 1.8288).abs() < 1e-12);
        assert!(heights("tall").is_err());
    }
}
