//! The parts of a yard that are counted apart: margin, core and sound turf of lawns, and beds; with points to look at in each.

use crate::DeskError;
use geo::{Contains as _, MultiPolygon, Polygon};
use groundlore_lore::trouble::{Trouble, TroubleKind};
use groundlore_plant_health::scouting::{Stratum, StratumKind};
use groundlore_quantity::Quantity;
use groundlore_site::yard::{AreaKind, Yard};
use groundlore_site::zones::{sample_ground, split};

/// Width of the margin where the map gives none, m (common practice: about a stride).
const MARGIN_M: f64 = 1.0;

/// A part with its ground, in longitude and latitude.
pub(crate) struct Part {
    pub(crate) stratum: Stratum,
    pub(crate) ground: MultiPolygon<f64>,
}

/// A seed that stays with the yard.
pub(crate) fn seed_of(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

/// The parts of the yard that are counted apart, with their areas, m².
pub(crate) fn strata_of(map: &Yard, trouble: &Trouble, yard: &str) -> Result<Vec<(String, f64)>, DeskError> {
    Ok(strata(map, trouble, seed_of(yard))?.into_iter().map(|s| (s.name, s.area_m2)).collect())
}

/// The parts of a yard to scout for a trouble.
pub(crate) fn strata(map: &Yard, trouble: &Trouble, seed: u64) -> Result<Vec<Stratum>, DeskError> {
    Ok(parts(map, trouble, seed)?.into_iter().map(|part| part.stratum).collect())
}

/// The same with their ground.
pub(crate) fn parts(map: &Yard, trouble: &Trouble, seed: u64) -> Result<Vec<Part>, DeskError> {
    let on_turf = matches!(trouble.kind, TroubleKind::TurfInsect | TroubleKind::TurfDisease | TroubleKind::Weed)
        || trouble.hosts.iter().any(|h| h == "lawn");
    let found = if on_turf { turf_strata(map, seed) } else { bed_strata(map, seed) };
    if found.is_empty() {
        let ground = if on_turf { "lawn" } else { "bed" };
        return Err(DeskError::missing(
            format!("the map has no {ground} to look in"),
            format!("draw an area of kind `{ground}` on it and import it again"),
        ));
    }
    Ok(found)
}

fn turf_strata(map: &Yard, seed: u64) -> Vec<Part> {
    let patches: Vec<(&Polygon<f64>, f64)> =
        map.patches.iter().map(|p| (&p.polygon, p.margin.as_ref().map_or(MARGIN_M, Quantity::si))).collect();
    let margin_m = patches.iter().map(|(_, m)| *m).fold(MARGIN_M, f64::max);
    let outlines: Vec<Polygon<f64>> = patches.iter().map(|(p, _)| (*p).clone()).collect();
    let lawns: Vec<_> = map.areas_of(AreaKind::Lawn).collect();
    let holds_patch = |lawn: &Polygon<f64>| {
        outlines.iter().any(|patch| patch.exterior().points().any(|point| lawn.contains(&point)) || lawn.contains(patch))
    };
    let chosen: Vec<_> = if outlines.is_empty() { lawns } else { lawns.into_iter().filter(|lawn| holds_patch(&lawn.polygon)).collect() };
    let mut ground: [(MultiPolygon<f64>, f64); 3] = std::array::from_fn(|_| (MultiPolygon(Vec::new()), 0.0));
    for lawn in &chosen {
        let zones = split(&lawn.polygon, &outlines, margin_m);
        for (sum, zone) in ground.iter_mut().zip([zones.margin, zones.core, zones.sound]) {
            sum.0.0.extend(zone.ground.0);
            sum.1 += zone.area_m2;
        }
    }
    let kinds = [("margin", StratumKind::Margin), ("core", StratumKind::Core), ("sound turf", StratumKind::Sound)];
    kinds
        .into_iter()
        .zip(ground)
        .enumerate()
        .filter(|(_, (_, (ground, area)))| !ground.0.is_empty() && *area > 0.0)
        .map(|(place, ((name, kind), (ground, area_m2)))| {
            let points_lonlat = points(&ground, 24, seed + place as u64);
            Part { stratum: Stratum { name: name.to_owned(), kind, area_m2, points_lonlat }, ground }
        })
        .collect()
}

fn bed_strata(map: &Yard, seed: u64) -> Vec<Part> {
    map.areas_of(AreaKind::Bed)
        .enumerate()
        .map(|(place, bed)| {
            let ground = MultiPolygon(vec![bed.polygon.clone()]);
            let stratum = Stratum {
                name: bed.name.clone(),
                kind: StratumKind::Core,
                area_m2: groundlore_site::measure::area_m2(&bed.polygon),
                points_lonlat: points(&ground, 12, seed + place as u64),
            };
            Part { stratum, ground }
        })
        .collect()
}

fn points(ground: &MultiPolygon<f64>, n: usize, seed: u64) -> Vec<[f64; 2]> {
    sample_ground(ground, n, seed).into_iter().map(|p| [p.x(), p.y()]).collect()
}
