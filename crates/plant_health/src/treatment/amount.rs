//! Amount of product for an area, from the label card alone.

use super::TreatmentError;
use super::label::{LabelCard, figure, meant_here};
use groundlore_lore::control::Control;
use groundlore_quantity::Quantity;
use serde::Serialize;

/// Amount of product for the area.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Amount {
    /// At the lowest rate of the card.
    pub low: Quantity,
    /// At the highest rate of the card.
    pub high: Quantity,
    /// Area it is for, m².
    pub area_m2: f64,
    /// Line by line.
    pub working: Vec<String>,
}

/// Amount at the card's rates for an area, or what is lacking.
pub(super) fn amount(
    control: &Control,
    label: Option<&LabelCard>,
    area_m2: f64,
    meant: Option<&Quantity>,
) -> Result<(Option<Amount>, Option<String>), TreatmentError> {
    if !control.needs_label && label.is_none() {
        return Ok((None, None));
    }
    let Some(label) = label else {
        return Ok((None, Some("Enter the label: no amount is reckoned without a label card.".into())));
    };
    let (Some(low), high) = (label.rate_low.as_ref(), label.rate_high.as_ref().or(label.rate_low.as_ref())) else {
        return Ok((None, Some("The rate is blank on the label card: enter it from the label in hand.".into())));
    };
    let (low, high) = meant_here(label, meant).map_or((low, high), |meant| (meant, Some(meant)));
    if is_share(low) && label.rules.carrier_m.is_none() {
        let note = "The rate is a percent of the finished mix, and the water that carries it is blank on the label card: enter it.";
        return Ok((None, Some(note.into())));
    }
    let (low_amount, low_line) = for_area(label, low, area_m2)?;
    let (high_amount, high_line) = for_area(label, high.unwrap_or(low), area_m2)?;
    if high_amount.si() < low_amount.si() {
        let remedy = "the highest rate must not be below the lowest";
        return Err(TreatmentError::CardValue {
            card: label.name.clone(),
            field: "highest rate",
            value: high.unwrap_or(low).to_string(),
            remedy,
        });
    }
    let mut working = vec![low_line];
    if high_amount != low_amount {
        working.push(high_line);
    }
    Ok((Some(Amount { low: low_amount, high: high_amount, area_m2, working }), None))
}

/// Kinds of rate, and the units in which an amount is told.
pub(super) const RATES: [(&str, &str); 2] = [("mL/m2", "mL"), ("g/m2", "g")];

fn is_share(rate: &Quantity) -> bool {
    rate.unit.is_share() && !rate.unit.is_none()
}

pub(super) fn for_area(label: &LabelCard, rate: &Quantity, area_m2: f64) -> Result<(Quantity, String), TreatmentError> {
    let card = |error| TreatmentError::Card { card: label.name.clone(), field: "rate", error: Box::new(error) };
    if let Some(carrier_m) = label.rules.carrier_m.filter(|_| is_share(rate)) {
        let mix_ml = carrier_m * area_m2 * 1e6;
        let told = Quantity::new(rate.si() * mix_ml, "mL").map_err(card)?;
        return Ok((told.clone(), format!("{rate} of {:.1} L of finished mix = {}", mix_ml / 1000.0, told.rounded(4))));
    }
    if let Ok(per_m2) = rate.in_unit("/m2") {
        figure(label, "rate", rate, "/m2")?;
        let told = Quantity::bare(per_m2 * area_m2);
        return Ok((told.clone(), format!("{rate} × {area_m2:.1} m2 = {} pieces", told.rounded(4))));
    }
    let mut last = None;
    for (rate_unit, amount_unit) in RATES {
        match rate.in_unit(rate_unit) {
            Ok(per_m2) => {
                figure(label, "rate", rate, rate_unit)?;
                // Told in the card's own unit where it begins the rate (`floz` of `floz/1000ft2`).
                let own = rate.unit.to_string();
                let own = own.split('/').next().unwrap_or(amount_unit).trim().to_string();
                let metric = Quantity::new(per_m2 * area_m2, amount_unit).map_err(card)?;
                let told = metric.to(&own).unwrap_or(metric);
                let line = format!("{rate} × {area_m2:.1} m2 = {}", told.rounded(4));
                return Ok((told, line));
            }
            Err(error) => last = Some(error),
        }
    }
    match last {
        Some(error) => Err(card(error)),
        None => Err(TreatmentError::CardValue {
            card: label.name.clone(),
            field: "rate",
            value: rate.to_string(),
            remedy: "give an amount per area, e.g. 1.5 floz/1000ft2",
        }),
    }
}
