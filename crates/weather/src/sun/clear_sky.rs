//! Sunlight on the ground under a clear sky at a moment, W m⁻².
//!
//! # Sources
//! Haurwitz (1945); Ineichen & Perez (2002); Kasten & Young (1989): all from memory, checked row by row against pvlib 0.16.1.

use serde::{Deserialize, Serialize};

/// Light of a clear sky on a level surface and straight from the sun, W m⁻².
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ClearSkyLight {
    /// All light on a level surface.
    pub global: f64,
    /// Light straight from the sun, on a surface facing it.
    pub direct: f64,
    /// Light from the rest of the sky on a level surface.
    pub diffuse: f64,
}

/// All light on a level surface by Haurwitz, W m⁻², at the sun's apparent zenith (degrees); 0 with the sun down.
///
/// # Example
/// ```
/// # use groundlore_weather::sun::clear_sky::haurwitz;
/// // Golden, 20 March 2024, 16:01 UTC, by pvlib 0.16.1.
/// assert!((haurwitz(58.02312) - 520.172).abs() < 0.01);
/// ```
#[must_use]
pub fn haurwitz(apparent_zenith_deg: f64) -> f64 {
    let height = apparent_zenith_deg.to_radians().cos();
    if height > 0.0 { 1098.0 * height * (-0.059 / height).exp() } else { 0.0 }
}

/// Thickness of air that sunlight crosses, 1 from straight up at sea level, by Kasten & Young; `None` with the sun down.
#[must_use]
pub fn relative_air_mass(apparent_zenith_deg: f64) -> Option<f64> {
    let up = apparent_zenith_deg < 90.0;
    up.then(|| 1.0 / (apparent_zenith_deg.to_radians().cos() + 0.505_72 * (96.079_95 - apparent_zenith_deg).powf(-1.6364)))
}

/// What Ineichen's sky asks for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct IneichenSky {
    /// Apparent zenith of the sun, degrees.
    pub apparent_zenith_deg: f64,
    /// Height above the sea, m.
    pub elevation_m: f64,
    /// Air pressure, Pa.
    pub pressure_pa: f64,
    /// Linke's turbidity: 2 very clear, 3 clear, 5 hazy.
    pub turbidity: f64,
    /// Sunlight above the air, facing the sun, W m⁻².
    pub above_air: f64,
}

impl IneichenSky {
    /// Light of the clear sky; all 0 with the sun down.
    #[must_use]
    pub fn light(&self) -> ClearSkyLight {
        let Some(relative) = relative_air_mass(self.apparent_zenith_deg) else {
            return ClearSkyLight { global: 0.0, direct: 0.0, diffuse: 0.0 };
        };
        let height = self.apparent_zenith_deg.to_radians().cos();
        let mass = relative * self.pressure_pa / 101_325.0;
        let [low, high] = [8000.0, 1250.0].map(|scale: f64| (-self.elevation_m / scale).exp());
        let strength = 5.09e-5 * self.elevation_m + 0.868;
        let loss = 3.92e-5 * self.elevation_m + 0.0387;
        let global = strength * self.above_air * height * (-loss * mass * (low + high * (self.turbidity - 1.0))).exp();
        let beam = self.above_air * (0.664 + 0.163 / low) * (-0.09 * mass * (self.turbidity - 1.0)).exp();
        let limit = global * ((1.0 - (0.1 - 0.2 * (-self.turbidity).exp()) / (0.1 + 0.882 / low)) / height).max(0.0);
        let direct = beam.min(limit);
        ClearSkyLight { global, direct, diffuse: global - direct * height }
    }
}
