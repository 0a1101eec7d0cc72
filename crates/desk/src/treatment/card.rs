//! The label card of the book as the science reads it: a blank stays a blank.

use crate::DeskError;
use groundlore_book::label_cards::{
    ApplicatorRule, BloomLimit, InversionRule, LabelCard as CardRow, LeafRule, RateUnit, SoilMoistureRule, droplet_range, says_nothing,
};
use groundlore_lore::control::Control;
use groundlore_plant_health::treatment::{Applicator, BloomRule, Bounds, DropletClass, LabelCard, LabelRules, Leaves, Said};
use groundlore_quantity::{Kind, Quantity};

/// Does a card's active ingredient name this control?
pub(super) fn card_is_of(card: &CardRow, control: &Control) -> bool {
    card.active_ingredients.iter().flatten().any(|active| same_active(&active.name.to_lowercase(), control))
}

pub(super) fn same_active(name: &str, control: &Control) -> bool {
    let plain = |text: &str| text.to_lowercase().replace(['-', ',', '.'], " ").split_whitespace().collect::<Vec<_>>().join(" ");
    let (name, key, full) = (plain(name), plain(&control.key), plain(&control.name));
    !name.is_empty() && (name == key || name == full || full.starts_with(&format!("{name} (")) || name.contains(&key))
}

/// A card of the book as the science reads it; a blank stays a blank.
pub(super) fn science_card(card: &CardRow) -> Result<LabelCard, DeskError> {
    let unit = match card.rate_si_unit {
        Some(RateUnit::CubicMetrePerSquareMetre) => "floz/1000ft2",
        Some(RateUnit::PiecesPerSquareMetre) => "/ft2",
        Some(RateUnit::Share) => "%",
        _ => "lb/1000ft2",
    };
    let rate = |si: Option<f64>| -> Result<Option<Quantity>, DeskError> {
        si.map(|si| Quantity::from_si(si, unit)).transpose().map_err(|source| DeskError::Quantity { what: card.name.clone(), source })
    };
    let days = |d: Option<f64>| d.and_then(|d| Quantity::new(d, "day").ok());
    let unset = |text: &Option<String>| text.as_deref().is_some_and(says_nothing);
    let metres = |m: f64| Quantity::new(m, "m").ok();
    let mentions_bloom =
        card.bee_statement.as_ref().map(|text| ["bloom", "flower", "forag"].iter().any(|w| text.to_lowercase().contains(w)));
    // A distance of its own cell comes before one that the statement names.
    let water_distance = match (&card.water_distance_text, card.water_distance_m) {
        (_, Some(m)) => metres(m),
        (Some(text), None) if says_nothing(text) => metres(0.0),
        (_, None) => card.water_statement.as_deref().and_then(distance_said),
    };
    Ok(LabelCard {
        name: card.name.clone(),
        registration_number: card.registration_number.clone(),
        signal_word: card.signal_word.clone(),
        active: card.active_ingredients.as_ref().and_then(|a| a.first()).map(|a| a.name.clone()),
        sites: card.sites.clone(),
        targets: card.targets.clone(),
        rate_low: rate(card.rate_low_si)?,
        rate_high: rate(card.rate_high_si.or(card.rate_low_si))?,
        yearly_limit: rate(card.yearly_limit_si)?,
        least_interval: days(card.minimum_interval_days).or_else(|| days(unset(&card.minimum_interval_text).then_some(0.0))),
        most_in_a_row: card.consecutive_run_limit,
        re_entry: card.reentry_text.clone(),
        protective_gear: card.protective_gear.as_ref().map(|g| g.split([';', ',']).map(|s| s.trim().to_owned()).collect()),
        bees: card.bee_statement.clone(),
        forbids_bloom: mentions_bloom.filter(|m| *m && card.bloom_limit.is_none()),
        water_distance,
        water: card.water_statement.clone(),
        children_and_pets: card.people_statement.clone().or_else(|| card.reentry_text.clone()),
        plants_injured: card.plants_injured.clone(),
        dry_after: card.rain_free_h.and_then(|h| Quantity::new(h, "h").ok()),
        water_in: card.watering_in_depth_mm.and_then(|mm| Quantity::new(mm, "mm").ok()),
        hottest: card.temperature_high_c.and_then(|c| Quantity::new(c, "degC").ok()),
        rules: rules(card),
    })
}

/// A cell with its figure, if it has one: blank, read and nothing said, words, or the figure.
fn said<T>(text: &Option<String>, figure: Option<T>) -> Said<T> {
    match (figure, text) {
        (Some(figure), _) => Said::Says(figure),
        (None, None) => Said::NotChecked,
        (None, Some(text)) if says_nothing(text) => Said::Nothing,
        (None, Some(text)) => Said::Words(text.clone()),
    }
}

fn named(list: &Option<Vec<String>>) -> Said<Vec<String>> {
    match list {
        None => Said::NotChecked,
        Some(names) if names.is_empty() => Said::Nothing,
        Some(names) => Said::Says(names.clone()),
    }
}

fn bounds(low: Option<f64>, high: Option<f64>) -> Option<Bounds> {
    (low.is_some() || high.is_some()).then_some(Bounds { low, high })
}

fn rules(card: &CardRow) -> LabelRules {
    let droplets = card.droplets_text.as_deref().and_then(droplet_range);
    let class = |class: groundlore_book::label_cards::DropletClass| DropletClass::from_words(class.word());
    LabelRules {
        people: said(&card.people_statement, None),
        applicator: match card.applicator_rule {
            None => Said::NotChecked,
            Some(ApplicatorRule::Licensed) => Said::Says(Applicator::Licensed),
            Some(ApplicatorRule::Anyone) => Said::Says(Applicator::Anyone),
        },
        bloom: match card.bloom_limit {
            None => Said::NotChecked,
            Some(BloomLimit::Forbidden) => Said::Says(BloomRule::Forbidden),
            Some(BloomLimit::NotWhileBeesForage) => Said::Says(BloomRule::NotWhileBeesForage),
            Some(BloomLimit::Nothing) => Said::Nothing,
        },
        well_m: said(&card.well_distance_text, card.well_distance_m),
        wind_m_s: said(&card.wind_text, bounds(card.wind_low_m_s, card.wind_high_m_s)),
        gust_m_s: said(&card.gust_text, card.gust_high_m_s),
        temperature_c: said(&card.temperature_text, bounds(card.temperature_low_c, card.temperature_high_c)),
        rain_free_h: said(&card.rain_free_text, card.rain_free_h),
        leaves: match card.leaves {
            None => Said::NotChecked,
            Some(LeafRule::Dry) => Said::Says(Leaves::Dry),
            Some(LeafRule::Wet) => Said::Says(Leaves::Wet),
            Some(LeafRule::Nothing) => Said::Nothing,
        },
        inversion: match card.inversion {
            None => Said::NotChecked,
            Some(InversionRule::Forbidden) => Said::Says(()),
            Some(InversionRule::Nothing) => Said::Nothing,
        },
        droplets: said(&card.droplets_text, droplets.and_then(|(finest, coarsest)| Some((class(finest)?, class(coarsest)?)))),
        turf_allowed: named(&card.turf_allowed),
        turf_injured: named(&card.turf_injured),
        seedling_days: said(&card.seedling_age_text, card.seedling_age_days),
        reseeding_days: said(&card.reseeding_text, card.reseeding_days),
        tree_roots_m: said(&card.tree_roots_text, card.tree_roots_m),
        clippings: said(&card.clippings_text, None),
        compost: said(&card.compost_text, None),
        soil_temperature_c: said(&card.soil_temperature_text, bounds(card.soil_temperature_low_c, card.soil_temperature_high_c)),
        soil_moist: match card.soil_moisture {
            None => Said::NotChecked,
            Some(SoilMoistureRule::Moist) => Said::Says(()),
            Some(SoilMoistureRule::Nothing) => Said::Nothing,
        },
        age_days: said(&card.age_limit_text, card.age_limit_days),
        yearly_applications: said(&card.yearly_limit_text, card.yearly_limit_applications),
        carrier_m: card
            .carrier_text
            .as_deref()
            .and_then(|text| Quantity::parse_as(text, Kind::VolumePerArea).ok())
            .map(|carrier| carrier.si())
            .filter(|carrier| *carrier > 0.0),
        group_edition: card.mode_of_action_edition.clone(),
    }
}

/// The first length that a statement names (`keep 25 ft from ponds`).
fn distance_said(statement: &str) -> Option<Quantity> {
    let words: Vec<&str> = statement.split_whitespace().collect();
    words.windows(2).map(|pair| pair.join(" ")).chain(words.iter().map(|w| (*w).to_owned())).find_map(|text| {
        let text = text.trim_end_matches(['.', ',', ';', ':']);
        text.starts_with(|c: char| c.is_ascii_digit()).then(|| Quantity::parse_as(text, Kind::Length).ok()).flatten()
    })
}
