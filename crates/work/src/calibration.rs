//! Sprayer and spreader settings from what was caught.

use crate::{WorkError, positive};
use serde::Serialize;

/// Spray per area (m³/m²) from a catch: volume caught while a strip `width` by `distance` was covered.
///
/// # Errors
/// A figure at or below zero.
///
/// # Source
/// Barbosa, Koske & Parish, LSU AgCenter, *Ounces equal gallons*: on 1/128 acre the fluid ounces caught are the gallons per acre.
pub fn volume_rate(catch_m3: f64, width_m: f64, distance_m: f64) -> Result<f64, WorkError> {
    Ok(positive("catch", catch_m3)? / (positive("width", width_m)? * positive("distance", distance_m)?))
}

/// Flow of one nozzle (m³/s) for a volume rate at a speed and spacing.
///
/// # Errors
/// A figure at or below zero.
///
/// # Source
/// GPM = GPA × mph × W / 5,940 (W in inches), Mesa County weed office, *Stationary calibration*; the constant is exact in SI.
pub fn nozzle_flow(volume_rate_m: f64, speed_m_s: f64, spacing_m: f64) -> Result<f64, WorkError> {
    Ok(positive("volume-rate", volume_rate_m)? * positive("speed", speed_m_s)? * positive("spacing", spacing_m)?)
}

/// Spreader check: what the machine should put down in each of `passes`, with the band of the tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpreaderBand {
    /// Product per area in one pass, same unit as the rate.
    pub per_pass: f64,
    /// Lower end of the accepted whole rate.
    pub low: f64,
    /// Upper end of the accepted whole rate.
    pub high: f64,
}

/// Rate in each pass and the accepted band.
///
/// # Errors
/// A rate or a number of passes at or below zero; a tolerance outside 0–1.
///
/// # Source
/// UMass Extension, *Rotary spreader calibration procedures*: 5.00 lb, band of 5 %, two passes.
pub fn spreader(rate: f64, passes: f64, tolerance: f64) -> Result<SpreaderBand, WorkError> {
    if !(0.0..1.0).contains(&tolerance) {
        return Err(WorkError::Share { name: "tolerance", value: tolerance, bounds: "0 or more and below 1, for example 5%" });
    }
    let rate = positive("rate", rate)?;
    Ok(SpreaderBand { per_pass: rate / positive("passes", passes)?, low: rate * (1.0 - tolerance), high: rate * (1.0 + tolerance) })
}

/// Nozzles of a boom judged by their catch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CatchTest {
    /// Mean catch.
    pub mean: f64,
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
    /// Places (from 0) of the nozzles outside the limits: clean or replace them.
    pub outside: Vec<usize>,
}

/// Compares each catch with the mean.
///
/// # Errors
/// No catch, or one below zero.
///
/// # Source
/// SportsTurf, April 2014, p. 38: clean or replace a nozzle beyond 7 % of the mean.
pub fn catch_test(catches: &[f64], tolerance: f64) -> Result<CatchTest, WorkError> {
    if catches.is_empty() || catches.iter().any(|c| !(c.is_finite() && *c >= 0.0)) {
        return Err(WorkError::Impossible("catches must be one or more volumes, none below 0, for example `44 floz, 45 floz`".to_owned()));
    }
    let mean = catches.iter().sum::<f64>() / catches.len() as f64;
    let (low, high) = (mean * (1.0 - tolerance), mean * (1.0 + tolerance));
    let outside = catches.iter().enumerate().filter(|(_, c)| **c < low || **c > high).map(|(place, _)| place).collect();
    Ok(CatchTest { mean, low, high, outside })
}

/// One nozzle of a catch test.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NozzleCaught {
    /// What it caught, m³.
    pub catch_m3: f64,
    /// Its catch less the mean, as a share of the mean.
    pub off_mean: f64,
    /// Whether it lies within the tolerance.
    pub passes: bool,
}

/// Each nozzle's catch with pass or fail, against the mean of all.
///
/// # Errors
/// As [`catch_test`]; nothing caught at all.
///
/// ```
/// # use groundlore_work::calibration::nozzles;
/// // APP-07: 44, 45 and 44 fl oz all lie within 7 % of their mean; 52 does not.
/// let floz = 29.573_529_562_5e-6;
/// assert!(nozzles(&[44.0, 45.0, 44.0].map(|c| c * floz), 0.07)?.iter().all(|n| n.passes));
/// assert!(!nozzles(&[44.0, 45.0, 52.0].map(|c| c * floz), 0.07)?[2].passes);
/// # Ok::<(), groundlore_work::WorkError>(())
/// ```
pub fn nozzles(catches: &[f64], tolerance: f64) -> Result<Vec<NozzleCaught>, WorkError> {
    if !(0.0..1.0).contains(&tolerance) {
        return Err(WorkError::Share { name: "tolerance", value: tolerance, bounds: "0 or more and below 1, for example 7%" });
    }
    let test = catch_test(catches, tolerance)?;
    positive("the mean catch", test.mean)?;
    let each = |(place, catch_m3): (usize, &f64)| NozzleCaught {
        catch_m3: *catch_m3,
        off_mean: catch_m3 / test.mean - 1.0,
        passes: !test.outside.contains(&place),
    };
    Ok(catches.iter().enumerate().map(each).collect())
}

/// What a spreader put down on a test strip, beside what it should.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpreaderCheck {
    /// What it put down, kg/m².
    pub rate: f64,
    /// Its rate less the wanted one, as a share of the wanted one.
    pub off: f64,
    /// Whether it lies in the band.
    pub passes: bool,
    /// By what the opening or the speed must change the rate: wanted over found.
    pub change_by: f64,
}

/// A spreader's test: `spread` (kg) on `area_m2` in one pass, against the wanted rate of one pass.
///
/// # Errors
/// A figure at or below zero; a tolerance outside 0–1.
///
/// # Source
/// UMass Extension, *Rotary spreader calibration procedures*: band of 5 %.
pub fn spreader_check(spread_kg: f64, area_m2: f64, wanted: f64, tolerance: f64) -> Result<SpreaderCheck, WorkError> {
    if !(0.0..1.0).contains(&tolerance) {
        return Err(WorkError::Share { name: "tolerance", value: tolerance, bounds: "0 or more and below 1, for example 5%" });
    }
    let rate = positive("spread", spread_kg)? / positive("area", area_m2)?;
    let off = rate / positive("rate", wanted)? - 1.0;
    Ok(SpreaderCheck { rate, off, passes: off.abs() <= tolerance + 1e-12, change_by: wanted / rate })
}
