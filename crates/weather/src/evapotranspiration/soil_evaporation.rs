//! Evaporation from the soil between plants, day by day: the dual coefficient.
//!
//! The tables of examples 35 and 38 as printed in 1998 contradict these equations and were replaced by an errata sheet; the equations hold.
//!
//! # Source
//! FAO-56 eqs. 71–77.

use serde::{Deserialize, Serialize};

use super::crop_coefficient::climate_shift;

/// Most that cover and soil together can give, as a coefficient. FAO-56 eq. 72.
#[must_use]
pub fn greatest_coefficient(basal: f64, wind_2m_ms: f64, humidity_minimum_pct: f64, height_m: f64) -> f64 {
    (1.2 + climate_shift(wind_2m_ms, humidity_minimum_pct, height_m)).max(basal + 0.05)
}

/// Share of the ground covered by plants, from their basal coefficient. FAO-56 eq. 76.
#[must_use]
pub fn covered_share(basal: f64, least: f64, greatest: f64, height_m: f64) -> f64 {
    let reach = ((basal - least).max(0.01) / (greatest - least)).clamp(0.0, 1.0);
    reach.powf(1.0 + 0.5 * height_m).min(0.99)
}

/// How the soil was wetted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Wetting {
    /// Rain or a sprinkler over a share of the ground (1 for all).
    Over(f64),
    /// Drip under the canopy, wetting a share of the ground.
    UnderCanopy(f64),
}

/// Share of the ground that is both wet and open to the air. FAO-56 eq. 75 and p. 148.
#[must_use]
pub fn wet_open_share(covered: f64, wetting: Wetting) -> f64 {
    match wetting {
        Wetting::Over(share) => (1.0 - covered).min(share),
        Wetting::UnderCanopy(share) => (1.0 - covered).min((1.0 - 2.0 / 3.0 * covered) * share),
    }
}

/// The top of the soil as it dries.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TopSoil {
    /// Water it can lose in all, mm (TEW).
    pub total_mm: f64,
    /// Water it gives up readily, mm (REW).
    pub readily_mm: f64,
    /// Water lost since it was wet, mm.
    pub lost_mm: f64,
}

impl TopSoil {
    /// How readily it still gives water, 1 to 0. FAO-56 eq. 74.
    #[must_use]
    pub fn readiness(&self) -> f64 {
        if self.lost_mm <= self.readily_mm {
            return 1.0;
        }
        let slow = self.total_mm - self.readily_mm;
        if slow > 0.0 { ((self.total_mm - self.lost_mm) / slow).clamp(0.0, 1.0) } else { 0.0 }
    }

    /// Coefficient of soil evaporation. FAO-56 eq. 71.
    #[must_use]
    pub fn coefficient(&self, basal: f64, greatest: f64, wet_open: f64) -> f64 {
        (self.readiness() * (greatest - basal)).min(wet_open * greatest).max(0.0)
    }

    /// Lets a day without rain pass; gives what cover and soil used together, mm, and dries the soil.
    pub fn dry_day(&mut self, et0_mm: f64, basal: f64, greatest: f64, wet_open: f64) -> f64 {
        let coefficient = self.coefficient(basal, greatest, wet_open);
        let evaporated = coefficient * et0_mm;
        if wet_open > 0.0 {
            self.lost_mm = (self.lost_mm + evaporated / wet_open).clamp(0.0, self.total_mm);
        }
        evaporated + basal * et0_mm
    }
}
