//! How much fertiliser or product: from a rate, an analysis, a tank.

use crate::{WorkError, positive};
use serde::Serialize;

/// The three figures of a fertiliser bag, as shares of the product's mass: total nitrogen, available phosphate (P₂O₅), soluble potash (K₂O).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Analysis {
    /// Share of N, 0–1.
    pub n: f64,
    /// Share of P₂O₅, 0–1.
    pub p2o5: f64,
    /// Share of K₂O, 0–1.
    pub k2o: f64,
}

/// Nutrient of an analysis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Nutrient {
    /// Nitrogen.
    N,
    /// Phosphate.
    P2O5,
    /// Potash.
    K2O,
}

impl Nutrient {
    /// Its symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::N => "N",
            Self::P2O5 => "P2O5",
            Self::K2O => "K2O",
        }
    }
}

impl std::fmt::Display for Analysis {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let percent = |share: f64| groundlore_quantity::number::significant(share * 100.0, 6);
        write!(f, "{}-{}-{}", percent(self.n), percent(self.p2o5), percent(self.k2o))
    }
}

impl std::str::FromStr for Analysis {
    type Err = WorkError;

    /// Reads `28-3-6`.
    fn from_str(text: &str) -> Result<Self, WorkError> {
        let refuse = || WorkError::Analysis(text.trim().to_owned());
        let figures: Vec<f64> =
            text.trim().split(['-', '–']).map(|part| part.trim().parse::<f64>().map_err(|_| refuse())).collect::<Result<_, _>>()?;
        let [n, p2o5, k2o] = figures[..] else { return Err(refuse()) };
        let sound = figures.iter().all(|f| (0.0..=100.0).contains(f)) && n + p2o5 + k2o <= 100.0;
        if !sound {
            return Err(refuse());
        }
        Ok(Self { n: n / 100.0, p2o5: p2o5 / 100.0, k2o: k2o / 100.0 })
    }
}

impl Analysis {
    /// Share of a nutrient.
    pub fn share(&self, nutrient: Nutrient) -> f64 {
        match nutrient {
            Nutrient::N => self.n,
            Nutrient::P2O5 => self.p2o5,
            Nutrient::K2O => self.k2o,
        }
    }
}

/// Mass of fertiliser per area that supplies a nutrient rate: rate over share (same unit in and out).
///
/// # Errors
/// A rate at or below zero; an analysis that holds none of the nutrient.
///
/// # Source
/// University of Nebraska–Lincoln, *Lawn fertilizer calculations*: 28-3-6 at 1 lb N per 1,000 ft² takes 3.57 lb.
///
/// ```
/// use groundlore_work::application::{Analysis, Nutrient, fertiliser_rate};
/// let bag: Analysis = "28-3-6".parse()?;
/// assert!((fertiliser_rate(1.0, bag, Nutrient::N)? - 3.571).abs() < 0.001);
/// # Ok::<(), groundlore_work::WorkError>(())
/// ```
pub fn fertiliser_rate(nutrient_rate: f64, analysis: Analysis, nutrient: Nutrient) -> Result<f64, WorkError> {
    positive("nutrient-rate", nutrient_rate)?;
    let share = analysis.share(nutrient);
    if share <= 0.0 {
        return Err(WorkError::NoNutrient { analysis: analysis.to_string(), nutrient: nutrient.symbol() });
    }
    Ok(nutrient_rate / share)
}

/// How a product's strength in the spray is given.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub enum MixRate {
    /// Product per area, in m (m³/m²) or kg/m²; needs the volume rate.
    PerArea(f64),
    /// Product per volume of finished mix, in m³/m³ (0.01 is 1 %) or kg/m³.
    PerVolume(f64),
}

/// Amounts for a tank.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Mix {
    /// Product per volume of finished mix, m³/m³ or kg/m³.
    pub product_per_volume: f64,
    /// Product for one tank, m³ or kg.
    pub product_per_tank: Option<f64>,
    /// Area one tank covers, m².
    pub area_per_tank_m2: Option<f64>,
}

/// Product for a tank of finished mix. `volume_rate_m` is spray per area (m³/m²), `tank_m3` the volume of mix made.
///
/// # Errors
/// A figure at or below zero; a per-area rate without the volume rate; a share above 1.
///
/// # Source
/// Slide set *1/128 method of calibration*: 40 gal/acre with 1 qt/acre is 0.80 fl oz for each gallon, and a gallon covers 1,089 ft².
pub fn mix(rate: MixRate, volume_rate_m: Option<f64>, tank_m3: Option<f64>) -> Result<Mix, WorkError> {
    let volume_rate_m = volume_rate_m.map(|v| positive("volume-rate", v)).transpose()?;
    let tank_m3 = tank_m3.map(|v| positive("tank", v)).transpose()?;
    let product_per_volume = match rate {
        MixRate::PerArea(rate) => {
            let volume = volume_rate_m.ok_or_else(|| {
                WorkError::Impossible("a rate per area needs `volume-rate`, the spray put on an area, for example `40 gal/acre`".to_owned())
            })?;
            positive("rate", rate)? / volume
        }
        MixRate::PerVolume(rate) => positive("rate", rate)?,
    };
    Ok(Mix {
        product_per_volume,
        product_per_tank: tank_m3.map(|tank| product_per_volume * tank),
        area_per_tank_m2: tank_m3.zip(volume_rate_m).map(|(tank, volume)| tank / volume),
    })
}

/// Tank loads for an area: full loads and the part load that comes last, so that nothing is left over.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Loads {
    /// Full tanks.
    pub full: u32,
    /// Volume of the last, part-filled tank, m³ (0 where the area comes out even).
    pub part_m3: f64,
    /// Whole volume of mix, m³.
    pub total_m3: f64,
}

/// Splits the spray for `area_m2` at `volume_rate_m` into tank loads.
///
/// # Errors
/// A figure at or below zero.
pub fn loads(area_m2: f64, volume_rate_m: f64, tank_m3: f64) -> Result<Loads, WorkError> {
    let total_m3 = positive("area", area_m2)? * positive("volume-rate", volume_rate_m)?;
    let ratio = total_m3 / positive("tank", tank_m3)?;
    let nearest = ratio.round();
    let full = if (ratio - nearest).abs() < 1e-9 * nearest.max(1.0) { nearest } else { ratio.floor() };
    let part = (total_m3 - full * tank_m3).max(0.0);
    let part_m3 = if part < 1e-9 * tank_m3 { 0.0 } else { part };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Ok(Loads { full: full as u32, part_m3, total_m3 })
}
