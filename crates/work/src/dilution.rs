//! Strength of what is mixed: active ingredient to product, percent solutions, parts per million and injectors, liquid fertilisers, lime.
//!
//! Arithmetic only: every rate is the user's own, from the label or the soil report in hand.

use crate::application::Analysis;
use crate::{WorkError, positive};
use serde::Serialize;

/// Product per area for active ingredient per area: rate over strength. Strength in kg/m³ gives m³/m² for a liquid; a share gives kg/m².
///
/// # Errors
/// A figure at or below 0.
///
/// # Source
/// Extension table of pints an acre: 4 lb a gallon and 0.75 lb an acre make 1.5 pt an acre (shared treatment note, APP-36).
pub fn product_rate(active_rate: f64, strength: f64) -> Result<f64, WorkError> {
    Ok(positive("rate-ai", active_rate)? / positive("concentration", strength)?)
}

/// Product in a volume of finished mix: percent is of the finished mix.
///
/// # Errors
/// A share outside 0–1 or a volume at or below 0.
pub fn product_for_percent(share: f64, volume_m3: f64) -> Result<f64, WorkError> {
    if !(share > 0.0 && share <= 1.0) {
        return Err(WorkError::Share { name: "percent", value: share, bounds: "above 0 and at most 1 (100 %)" });
    }
    Ok(share * positive("volume", volume_m3)?)
}

/// Mass of material per volume of water for a nutrient at `target` parts per million (mg/L), kg/m³, from the share of the material that is
/// the nutrient; `injector` is how many parts of water take one part of stock (1 where there is none).
///
/// # Errors
/// A figure at or below 0, or a share above 1.
///
/// # Source
/// 1 oz in 100 gal of a material with share f makes 74.89 f parts per million (shared treatment note, APP-30).
///
/// ```
/// # use groundlore_work::dilution::strength_for_ppm;
/// // 250 parts per million from 15 % N: 1.667 kg in a cubic metre.
/// assert!((strength_for_ppm(250e-6, 0.15, 1.0)? - 1.666_667).abs() < 1e-6);
/// # Ok::<(), groundlore_work::WorkError>(())
/// ```
pub fn strength_for_ppm(target: f64, fraction: f64, injector: f64) -> Result<f64, WorkError> {
    const WATER_KG_M3: f64 = 1000.0;
    if fraction > 1.0 {
        return Err(WorkError::Share { name: "fraction", value: fraction, bounds: "above 0 and at most 1 (100 %)" });
    }
    Ok(positive("target", target)? * WATER_KG_M3 / positive("fraction", fraction)? * positive("injector", injector)?)
}

/// Nutrients in a volume of liquid fertiliser, kg/m³.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LiquidNutrients {
    /// N.
    pub n: f64,
    /// P₂O₅.
    pub p2o5: f64,
    /// K₂O.
    pub k2o: f64,
}

/// Nutrients in a volume: the analysis is by mass, so the liquid's density is needed.
///
/// # Errors
/// A density at or below 0.
pub fn liquid_fertiliser(analysis: Analysis, density_kg_m3: f64) -> Result<LiquidNutrients, WorkError> {
    let density = positive("density", density_kg_m3)?;
    Ok(LiquidNutrients { n: density * analysis.n, p2o5: density * analysis.p2o5, k2o: density * analysis.k2o })
}

/// Liming material per area for a need stated as pure calcium carbonate: need over the material's calcium carbonate equivalent.
///
/// # Errors
/// A figure at or below 0; an equivalent above 2 (no common material goes beyond about 1.8).
///
/// # Source
/// 5 lb per 100 ft² at 70 % takes 7.14 lb (shared treatment note, APP-40).
pub fn lime(need: f64, equivalent: f64) -> Result<f64, WorkError> {
    if equivalent > 2.0 {
        return Err(WorkError::Share { name: "cce", value: equivalent, bounds: "above 0 and at most 2, for example 90% or 0.9" });
    }
    Ok(positive("need", need)? / positive("cce", equivalent)?)
}
