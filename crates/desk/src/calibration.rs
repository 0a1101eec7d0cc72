//! Settings of spreader and sprayer for an area, from the label card by calibration arithmetic.

use crate::DeskError;
use groundlore_book::label_cards::{LabelCard, RateUnit};
use groundlore_quantity::{Kind, Quantity};
use groundlore_work::application::{MixRate, mix};
use groundlore_work::calibration::{spreader, volume_rate};

/// One thousand square feet, m².
const THOUSAND_FT2: f64 = 92.903_04;
/// The test area on which fluid ounces caught are gallons per acre: 1/128 acre, m².
const TEST_AREA_M2: f64 = 4_046.856_422_4 / 128.0;
/// Band accepted in a spreader check (UMass Extension, rotary spreader calibration: 5 %).
const BAND: f64 = 0.05;

/// The lines of a setting; empty where the card carries no rate.
///
/// # Errors
/// A figure of the card that no sum can use.
pub(crate) fn setting_lines(card: &LabelCard, area_m2: f64) -> Result<Vec<String>, DeskError> {
    let (Some(low), Some(high)) = (card.rate_low_si, card.rate_high_si.or(card.rate_low_si)) else { return Ok(Vec::new()) };
    match card.rate_si_unit {
        Some(RateUnit::KilogramPerSquareMetre) => granular(low, high),
        Some(RateUnit::CubicMetrePerSquareMetre) => liquid(card, low, high, area_m2),
        _ => Ok(Vec::new()),
    }
}

fn granular(low: f64, high: f64) -> Result<Vec<String>, DeskError> {
    let mut lines = Vec::new();
    for (name, rate) in [("lowest", low), ("highest", high)] {
        if name == "highest" && (high - low).abs() < f64::EPSILON {
            continue;
        }
        let band = spreader(rate, 2.0, BAND)?;
        let pounds = |kg_m2: f64| printed(kg_m2 * THOUSAND_FT2, "lb");
        lines.push(format!(
            "{name} rate of the card, {} on 1,000 ft²: set for {} in each of two passes at right angles; a check over a measured 1,000 ft² (both passes) should use {} to {}",
            pounds(rate)?,
            pounds(band.per_pass)?,
            pounds(band.low)?,
            pounds(band.high)?
        ));
    }
    lines.push("Calibrate with this product on this spreader, over a sheet or a swept pavement, and sweep up after (5 % band: UMass Extension, rotary spreader calibration).".to_owned());
    Ok(lines)
}

fn liquid(card: &LabelCard, low: f64, high: f64, area_m2: f64) -> Result<Vec<String>, DeskError> {
    let Some(carrier) = card.carrier_text.as_deref() else {
        return Ok(vec!["carrier: blank on the label card, so no mix is reckoned: enter it, for example `2 gal/1000ft2`".to_owned()]);
    };
    let carrier = Quantity::parse_as(carrier, Kind::VolumePerArea)
        .map_err(|source| DeskError::Quantity { what: format!("carrier of {}", card.name), source })?;
    let total = carrier.si() * area_m2;
    let mut lines =
        vec![format!("carrier {carrier}: {} of finished mix for {}", printed(total, "gal")?, crate::yards::square_feet(area_m2))];
    for (name, rate) in [("lowest", low), ("highest", high)] {
        let made = mix(MixRate::PerArea(rate), Some(carrier.si()), Some(total))?;
        let per_gallon = printed(made.product_per_volume * 3.785_411_784e-3, "floz")?;
        lines.push(format!(
            "{name} rate of the card: {per_gallon} in each gallon, {} in all",
            printed(made.product_per_tank.unwrap_or(0.0), "floz")?
        ));
        if (high - low).abs() < f64::EPSILON {
            break;
        }
    }
    let catch = carrier.si() * TEST_AREA_M2;
    let back = volume_rate(catch, 1.0, TEST_AREA_M2)?;
    lines.push(format!(
        "sprayer check: time yourself over 340 ft² (1/128 acre), then catch for that time: {} means {} (LSU AgCenter, ounces equal gallons); mix the last load for what is left, so that nothing is left over",
        printed(catch, "floz")?,
        printed(back, "gal/acre")?
    ));
    Ok(lines)
}

fn printed(si: f64, unit: &str) -> Result<String, DeskError> {
    Ok(Quantity::from_si(si, unit).map_err(|source| DeskError::Quantity { what: "setting".to_owned(), source })?.rounded(3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_granular_card_gives_rate_in_each_pass_and_the_band() {
        // APP-19: 5.00 lb/1000 ft², 4.75–5.25, 2.50 a pass (UMass Extension).
        let rate = Quantity::parse("5 lb/1000ft2").map(|q| q.si());
        let lines = rate.ok().and_then(|rate| granular(rate, rate).ok()).unwrap_or_default();
        assert!(lines[0].contains("2.5 lb in each of two passes") && lines[0].contains("4.75 lb to 5.25 lb"), "{lines:?}");
    }

    #[test]
    fn a_liquid_card_gives_the_mix_and_the_catch() {
        // APP-05: 40 gal/acre with 1 qt/acre is 0.8 fl oz a gallon; 40 fl oz caught on 1/128 acre.
        let si = |text: &str| Quantity::parse(text).map_or(0.0, |q| q.si());
        let card = LabelCard { carrier_text: Some("40 gal/acre".into()), ..LabelCard::default() };
        let lines = liquid(&card, si("1 qt/acre"), si("1 qt/acre"), si("1089 ft2")).unwrap_or_default();
        assert!(lines[0].contains("1 gal"), "{lines:?}");
        assert!(lines[1].contains("0.8 floz in each gallon"), "{lines:?}");
        assert!(lines[2].contains("40 floz means 40 gal/acre"), "{lines:?}");
    }
}
