//! The label card of the book as the science reads it: a blank stays a blank.

use crate::DeskError;
use groundlore_book::label_cards::{LabelCard as CardRow, RateUnit};
use groundlore_lore::control::Control;
use groundlore_plant_health::treatment::LabelCard;
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
    let mentions_bloom =
        card.bee_statement.as_ref().map(|text| ["bloom", "flower", "forag"].iter().any(|w| text.to_lowercase().contains(w)));
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
        least_interval: days(card.minimum_interval_days),
        most_in_a_row: card.consecutive_run_limit,
        re_entry: card.reentry_text.clone(),
        protective_gear: card.protective_gear.as_ref().map(|g| g.split([';', ',']).map(|s| s.trim().to_owned()).collect()),
        bees: card.bee_statement.clone(),
        forbids_bloom: mentions_bloom.filter(|m| *m),
        water_distance: card.water_statement.as_deref().and_then(distance_said),
        water: card.water_statement.clone(),
        children_and_pets: card.reentry_text.clone(),
        plants_injured: card.plants_injured.clone(),
        water_in: card.watering_in_depth_mm.and_then(|mm| Quantity::new(mm, "mm").ok()),
        ..LabelCard::default()
    })
}

/// The first length that a statement names (`keep 25 ft from ponds`).
fn distance_said(statement: &str) -> Option<Quantity> {
    let words: Vec<&str> = statement.split_whitespace().collect();
    words.windows(2).map(|pair| pair.join(" ")).chain(words.iter().map(|w| (*w).to_owned())).find_map(|text| {
        let text = text.trim_end_matches(['.', ',', ';', ':']);
        text.starts_with(|c: char| c.is_ascii_digit()).then(|| Quantity::parse_as(text, Kind::Length).ok()).flatten()
    })
}
