//! Which plants can and may stand in the bed.

use super::{ChooseError, TurnedAway};
use crate::calendar::months_at;
use crate::listing::{Standing, standing};
use crate::outline::BedSize;
use crate::place::{EDGE_TOLERANCE_M, to_four_decimals};
use crate::sociability::{Sociability, sociability};
use crate::wishes::{WishError, Wishes};
use groundlore_lore::plant::{Light, Moisture, Plant, PlantKind, Vigour};
use groundlore_lore::provenance::{QuantityRange, Source};
use std::collections::BTreeMap;

/// A plant that can stand in the bed, with the figures the choice needs.
pub(super) struct Candidate<'a> {
    pub(super) plant: &'a Plant,
    pub(super) height_m: (f64, f64),
    pub(super) spread_m: f64,
    pub(super) spacing_m: f64,
    pub(super) months: Vec<u8>,
    pub(super) sociability: (Sociability, Source),
    /// Room for the smallest drift, square metres.
    pub(super) room_m2: f64,
}

impl<'a> Candidate<'a> {
    fn of(plant: &'a Plant, latitude_deg: f64) -> Self {
        let spacing_m = middle_m(&plant.spacing);
        let sociability = sociability(plant);
        let few = sociability.0.drift().0 as f64;
        Candidate {
            height_m: (to_four_decimals(plant.height.low.si()), to_four_decimals(plant.height.high.si())),
            spread_m: middle_m(&plant.spread),
            spacing_m,
            months: months_at(plant.bloom.from_month, plant.bloom.to_month, latitude_deg),
            sociability,
            room_m2: few * spacing_m * spacing_m * 3f64.sqrt() / 2.0,
            plant,
        }
    }

    pub(super) fn middle_height_m(&self) -> f64 {
        f64::midpoint(self.height_m.0, self.height_m.1)
    }

    /// How far the centre must stay from the bed's sides, metres.
    pub(super) fn inset_m(&self) -> f64 {
        crate::place::inset_m(self.spacing_m, self.spread_m)
    }

    /// Value (0–3) for a kind of visitor.
    pub(super) fn visitor_value(&self, kind: &str) -> u8 {
        self.plant.visitors.iter().filter(|visitor| visitor.kind == kind).map(|visitor| visitor.value).max().unwrap_or(0)
    }

    /// Whether a wished colour is among its words.
    pub(super) fn has_colour(&self, wished: &str) -> bool {
        let wished = wished.trim().to_lowercase();
        self.plant
            .colours
            .iter()
            .any(|colour| colour.to_lowercase().split([' ', '-']).any(|word| word == wished) || colour.to_lowercase() == wished)
    }
}

fn middle_m(range: &QuantityRange) -> f64 {
    to_four_decimals(f64::midpoint(range.low.si(), range.high.si()))
}

/// Every key in the wishes must be a plant of lore.
pub(super) fn check_keys(plants: &BTreeMap<String, Plant>, wishes: &Wishes) -> Result<(), ChooseError> {
    let Some(key) = wishes.include.iter().chain(&wishes.leave_out).find(|key| !plants.contains_key(*key)) else { return Ok(()) };
    let start: String = key.chars().take(4).collect();
    let near = plants.keys().find(|known| !start.is_empty() && known.starts_with(&start.to_lowercase()));
    let hint = near.map(|known| format!(" (did you mean {known}?)")).unwrap_or_default();
    Err(WishError::UnknownPlant { key: key.clone(), hint }.into())
}

/// Tells the nearest wish that could be met, from those who stay outside.
type Nearest<'w> = dyn Fn(&[Candidate<'_>]) -> String + 'w;

/// A wish that cannot give way: whom it lets in, how it is told, and what the nearest would be.
struct Gate<'w> {
    wish: &'static str,
    asked: String,
    lets_in: Box<dyn Fn(&Candidate<'_>) -> bool + 'w>,
    why_not: Box<dyn Fn(&Candidate<'_>) -> String + 'w>,
    nearest: Box<Nearest<'w>>,
}

/// The plants that pass every gate, by key, and those turned away.
pub(super) fn fitting<'a>(
    plants: &'a BTreeMap<String, Plant>,
    wishes: &Wishes,
    bed: BedSize,
) -> Result<(Vec<Candidate<'a>>, Vec<TurnedAway>), ChooseError> {
    let mut left: Vec<Candidate<'a>> = plants.values().map(|plant| Candidate::of(plant, wishes.latitude_deg)).collect();
    let mut turned_away = Vec::new();
    for gate in [zone(wishes), light(wishes), moisture(wishes), heights(wishes), listed(wishes), left_out(wishes), room(bed)] {
        let (pass, stay): (Vec<_>, Vec<_>) = left.into_iter().partition(|one| (gate.lets_in)(one));
        if pass.is_empty() {
            return Err(ChooseError::NothingLeft { wish: gate.wish, asked: gate.asked, nearest: (gate.nearest)(&stay) });
        }
        turned_away.extend(stay.iter().map(|one| TurnedAway { key: one.plant.key.clone(), why: (gate.why_not)(one) }));
        left = pass;
    }
    turned_away.sort_by(|a, b| a.key.cmp(&b.key));
    Ok((left, turned_away))
}

fn zone(wishes: &Wishes) -> Gate<'_> {
    let zone = wishes.zone;
    Gate {
        wish: "hardiness",
        asked: format!("zone {zone}"),
        lets_in: Box::new(move |one| (one.plant.hardiness.coldest..=one.plant.hardiness.warmest).contains(&zone)),
        why_not: Box::new(move |one| {
            format!("lives in zones {} to {}, not in {zone}", one.plant.hardiness.coldest, one.plant.hardiness.warmest)
        }),
        nearest: Box::new(move |stay| {
            let lives = |z: u8| stay.iter().filter(|one| (one.plant.hardiness.coldest..=one.plant.hardiness.warmest).contains(&z)).count();
            let near = (1..=13u8).filter(|z| lives(*z) > 0).min_by_key(|z| z.abs_diff(zone));
            near.map_or_else(|| "none, lore has no plants".to_owned(), |z| format!("zone {z}, {} plants", lives(z)))
        }),
    }
}

/// Lore's word for a light.
pub(super) fn light_word(light: Light) -> &'static str {
    match light {
        Light::FullSun => "full sun",
        Light::PartShade => "part shade",
        Light::FullShade => "full shade",
    }
}

/// Lore's word for a moisture.
pub(super) fn moisture_word(moisture: Moisture) -> &'static str {
    match moisture {
        Moisture::Dry => "dry soil",
        Moisture::Medium => "medium soil",
        Moisture::Moist => "moist soil",
        Moisture::Wet => "wet soil",
    }
}

fn light(wishes: &Wishes) -> Gate<'_> {
    let light = wishes.light;
    Gate {
        wish: "light",
        asked: light_word(light).to_owned(),
        lets_in: Box::new(move |one| one.plant.light.contains(&light)),
        why_not: Box::new(move |_| format!("does not live in {}", light_word(light))),
        nearest: Box::new(move |stay| {
            let all = [Light::FullSun, Light::PartShade, Light::FullShade];
            nearest_word(&all, light as i16, |l| l as i16, |l| stay.iter().filter(|one| one.plant.light.contains(&l)).count(), light_word)
        }),
    }
}

fn moisture(wishes: &Wishes) -> Gate<'_> {
    let moisture = wishes.moisture;
    Gate {
        wish: "soil moisture",
        asked: moisture_word(moisture).to_owned(),
        lets_in: Box::new(move |one| one.plant.moisture.contains(&moisture)),
        why_not: Box::new(move |_| format!("does not live in {}", moisture_word(moisture))),
        nearest: Box::new(move |stay| {
            let all = [Moisture::Dry, Moisture::Medium, Moisture::Moist, Moisture::Wet];
            let count = |m: Moisture| stay.iter().filter(|one| one.plant.moisture.contains(&m)).count();
            nearest_word(&all, moisture as i16, |m| m as i16, count, moisture_word)
        }),
    }
}

fn nearest_word<T: Copy>(
    all: &[T],
    asked: i16,
    rank: impl Fn(T) -> i16,
    count: impl Fn(T) -> usize,
    word: impl Fn(T) -> &'static str,
) -> String {
    let near = all.iter().copied().filter(|one| count(*one) > 0).min_by_key(|one| (rank(*one) - asked).abs());
    near.map_or_else(|| "none".to_owned(), |one| format!("{}, {} plants", word(one), count(one)))
}

fn heights(wishes: &Wishes) -> Gate<'_> {
    let (low, high) = wishes.height_m.unwrap_or((0.0, f64::INFINITY));
    Gate {
        wish: "height",
        asked: format!("{low:.2} m to {high:.2} m"),
        lets_in: Box::new(move |one| (low..=high).contains(&one.middle_height_m())),
        why_not: Box::new(move |one| format!("middle height {:.2} m is outside {low:.2} m to {high:.2} m", one.middle_height_m())),
        nearest: Box::new(move |stay| {
            let off = |one: &&Candidate<'_>| (low - one.middle_height_m()).max(one.middle_height_m() - high);
            let near = stay.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            near.map_or_else(|| "none".to_owned(), |one| format!("{:.2} m ({})", one.middle_height_m(), one.plant.name))
        }),
    }
}

fn listed(wishes: &Wishes) -> Gate<'_> {
    let place = wishes.place.as_deref();
    let on = move |one: &Candidate<'_>| match standing(one.plant, place) {
        Standing::Listed(listing) => Some(format!("listed as {} in {} ({})", listing.status, listing.place, listing.edition)),
        _ => None,
    };
    Gate {
        wish: "nothing listed as invasive",
        asked: place.unwrap_or("place not given, so any listing counts").to_owned(),
        lets_in: Box::new(move |one| !wishes.avoid_listed || on(one).is_none()),
        why_not: Box::new(move |one| on(one).unwrap_or_else(|| "listed as invasive".to_owned())),
        nearest: Box::new(|_| "none: every plant that is left is listed; change light, moisture or height".to_owned()),
    }
}

fn left_out(wishes: &Wishes) -> Gate<'_> {
    Gate {
        wish: "plants to leave out",
        asked: wishes.leave_out.join(", "),
        lets_in: Box::new(move |one| !wishes.leave_out.contains(&one.plant.key)),
        why_not: Box::new(|_| "was to be left out".to_owned()),
        nearest: Box::new(|stay| format!("allow one of {}", stay.iter().map(|one| one.plant.key.as_str()).collect::<Vec<_>>().join(", "))),
    }
}

fn room(bed: BedSize) -> Gate<'static> {
    Gate {
        wish: "room in the bed",
        asked: format!("{:.2} m² and {:.2} m depth", bed.area_m2, bed.depth_m),
        lets_in: Box::new(move |one| 2.0 * one.inset_m() <= bed.depth_m && one.room_m2 <= 0.5 * bed.area_m2),
        why_not: Box::new(move |one| {
            format!(
                "spread {:.2} m and a smallest group of {:.2} m² do not fit a bed of {:.2} m depth and {:.2} m² (spread may pass the edge by {EDGE_TOLERANCE_M} m, one kind may take half the bed)",
                one.spread_m, one.room_m2, bed.depth_m, bed.area_m2
            )
        }),
        nearest: Box::new(|stay| {
            let need = |one: &Candidate<'_>| (2.0 * one.inset_m(), 2.0 * one.room_m2);
            let near = stay.iter().min_by(|a, b| need(a).0.total_cmp(&need(b).0));
            near.map_or_else(
                || "none".to_owned(),
                |one| format!("a bed {:.2} m deep with {:.2} m² takes {}", need(one).0, need(one).1, one.plant.name),
            )
        }),
    }
}

/// Plants to be included must have passed the gates, must not clash, and must find room together.
pub(super) fn check_included(fit: &[Candidate<'_>], turned_away: &[TurnedAway], wishes: &Wishes, bed: BedSize) -> Result<(), ChooseError> {
    if let Some(out) = turned_away.iter().find(|out| wishes.include.contains(&out.key)) {
        return Err(ChooseError::CannotInclude { key: out.key.clone(), why: out.why.clone() });
    }
    let included: Vec<&Candidate<'_>> = fit.iter().filter(|one| wishes.include.contains(&one.plant.key)).collect();
    let first = |vigour: Vigour| included.iter().find(|one| one.plant.vigour == vigour).map(|one| one.plant.key.clone());
    if wishes.no_aggressive_beside_dainty
        && let (Some(aggressive), Some(dainty)) = (first(Vigour::Aggressive), first(Vigour::Dainty))
    {
        return Err(ChooseError::Clash { aggressive, dainty });
    }
    let needed_m2: f64 = included.iter().map(|one| one.room_m2).sum();
    if needed_m2 > ROOM_SHARE * bed.area_m2 {
        return Err(ChooseError::NoRoom { area_m2: bed.area_m2, needed_m2 });
    }
    Ok(())
}

/// Share of the bed that the smallest drifts together may take; the rest is lost at edges and between drifts (ours).
pub(super) const ROOM_SHARE: f64 = 0.75;

/// Whether a plant is woody.
pub(super) fn is_woody(plant: &Plant) -> bool {
    matches!(plant.kind, PlantKind::Shrub | PlantKind::SmallTree)
}
