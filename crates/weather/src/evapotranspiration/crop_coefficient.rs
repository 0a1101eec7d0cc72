//! From the reference cover to a real one: crop coefficients.
//!
//! # Source
//! FAO-56 eqs. 59, 62, 66, 96–98 and p. 200, and example 31's rules on mulch (p. 197).

use serde::{Deserialize, Serialize};

/// How far a dry or windy place moves a coefficient from the sub-humid one it was published for. FAO-56 eq. 62.
///
/// `wind_2m_ms` is the mean wind (held within 1 to 6 m/s), `humidity_minimum_pct` the mean lowest humidity (20 to 80 %), `height_m` the
/// cover's height (0.1 to 10 m).
///
/// # Example
/// ```
/// # use groundlore_weather::evapotranspiration::crop_coefficient::climate_shift;
/// // FAO-56 example 27: 1.20 becomes 1.07.
/// assert!((1.20 + climate_shift(1.3, 75.0, 2.0) - 1.07).abs() < 0.005);
/// ```
#[must_use]
pub fn climate_shift(wind_2m_ms: f64, humidity_minimum_pct: f64, height_m: f64) -> f64 {
    let wind = 0.04 * (wind_2m_ms.clamp(1.0, 6.0) - 2.0);
    let dryness = 0.004 * (humidity_minimum_pct.clamp(20.0, 80.0) - 45.0);
    (wind - dryness) * (height_m.clamp(0.1, 10.0) / 3.0).powf(0.3)
}

/// Coefficient of ground that is mostly bare, between those of light (10 mm) and heavy (40 mm) wettings. FAO-56 eq. 59.
#[must_use]
pub fn initial_coefficient(after_light: f64, after_heavy: f64, wetting_mm: f64) -> f64 {
    let share = ((wetting_mm - 10.0) / 30.0).clamp(0.0, 1.0);
    after_light + share * (after_heavy - after_light)
}

/// The coefficient through a season of four stages: level, rising, level, falling. FAO-56 eq. 66.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CoefficientCurve {
    /// Days of the stages: initial, development, middle, late.
    pub stage_days: [f64; 4],
    /// Coefficients at the start, in the middle and at the end.
    pub coefficients: [f64; 3],
}

impl CoefficientCurve {
    /// The coefficient on a day of the season, counted from 1; that of the end after it.
    #[must_use]
    pub fn on(&self, day: f64) -> f64 {
        let [initial, development, middle, late] = self.stage_days;
        let [start, full, end] = self.coefficients;
        let between = |from: f64, to: f64, share: f64| from + (to - from) * share.clamp(0.0, 1.0);
        let rising = initial + development;
        if day <= rising {
            between(start, full, if development > 0.0 { (day - initial) / development } else { f64::from(day > initial) })
        } else {
            let falling = rising + middle;
            between(full, end, if late > 0.0 { (day - falling) / late } else { f64::from(day > falling) })
        }
    }
}

/// How much more water lucerne uses than grass in a climate. FAO-56 p. 134.
#[must_use]
pub fn tall_to_short_ratio(wind_2m_ms: f64, humidity_minimum_pct: f64) -> f64 {
    1.2 + climate_shift(wind_2m_ms, humidity_minimum_pct, 0.5)
}

/// Basal coefficient of a cover that does not close, from that of a closed one. FAO-56 eqs. 97 and 98.
///
/// `cover` is the share of ground covered, `shading_cover` the share shaded at midday, `height_m` the cover's height.
#[must_use]
pub fn open_cover_coefficient(closed: f64, least: f64, cover: f64, shading_cover: f64, height_m: f64) -> f64 {
    let share = (2.0 * cover).min(shading_cover.powf(1.0 / (1.0 + height_m))).min(1.0);
    least + (closed - least) * share
}

/// One of several covers on the same ground.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Layer {
    /// Share of the ground.
    pub share: f64,
    /// Height, m.
    pub height_m: f64,
    /// Coefficient.
    pub coefficient: f64,
}

/// Coefficient of a mixture, weighted by share and height; `None` where nothing has either. FAO-56 p. 200.
#[must_use]
pub fn mixed_coefficient(layers: &[Layer]) -> Option<f64> {
    let weight = |layer: &Layer| layer.share * layer.height_m;
    let whole: f64 = layers.iter().map(weight).sum();
    (whole > 0.0).then(|| layers.iter().map(|layer| weight(layer) * layer.coefficient).sum::<f64>() / whole)
}

/// Share of soil evaporation that is left under organic mulch covering a share of the soil: 5 % less for each 10 %. FAO-56 p. 197.
#[must_use]
pub fn evaporation_under_mulch(covered_share: f64) -> f64 {
    1.0 - 0.5 * covered_share.clamp(0.0, 1.0)
}
