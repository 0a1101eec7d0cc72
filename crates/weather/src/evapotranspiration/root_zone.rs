//! Water in the root zone and what its lack does.
//!
//! # Source
//! FAO-56 eqs. 82–84 and 91, p. 163.

use serde::{Deserialize, Serialize};

/// Water a root zone holds for plants.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RootZone {
    /// All of it, mm (TAW).
    pub total_mm: f64,
    /// Share that is drawn without stress (p).
    pub easy_share: f64,
}

impl RootZone {
    /// A root zone from field capacity, wilting point (shares of volume) and depth (m). FAO-56 eq. 82.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::evapotranspiration::root_zone::RootZone;
    /// // FAO-56 example 36: onion on silt.
    /// let onion = RootZone::new(0.32, 0.15, 0.4, 0.30);
    /// assert!((onion.total_mm - 68.0).abs() < 1e-9 && (onion.easy_mm() - 20.4).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn new(field_capacity: f64, wilting_point: f64, depth_m: f64, easy_share: f64) -> RootZone {
        RootZone { total_mm: 1000.0 * (field_capacity - wilting_point).max(0.0) * depth_m, easy_share }
    }

    /// Water drawn without stress, mm (RAW). FAO-56 eq. 83.
    #[must_use]
    pub fn easy_mm(&self) -> f64 {
        self.easy_share * self.total_mm
    }

    /// Share of its full use that a cover keeps when so much has been drawn (mm), 1 to 0. FAO-56 eq. 84.
    #[must_use]
    pub fn stress(&self, drawn_mm: f64) -> f64 {
        let hard = self.total_mm - self.easy_mm();
        if drawn_mm <= self.easy_mm() || hard <= 0.0 { 1.0 } else { ((self.total_mm - drawn_mm) / hard).clamp(0.0, 1.0) }
    }

    /// What has been drawn after a day without rain or irrigation, mm: never more than all of it.
    #[must_use]
    pub fn drawn_after(&self, drawn_mm: f64, use_mm: f64) -> f64 {
        (drawn_mm + self.stress(drawn_mm) * use_mm).clamp(0.0, self.total_mm)
    }
}

/// Share drawn without stress on a day of a given use (mm d⁻¹), from the table's share at 5 mm; held within 0.1 to 0.8 (limits from memory).
/// FAO-56 p. 163.
#[must_use]
pub fn easy_share_on_day(table_share: f64, use_mm: f64) -> f64 {
    (table_share + 0.04 * (5.0 - use_mm)).clamp(0.1, 0.8)
}

/// Stress that would explain a yield, from the yield reached, the yield possible and the crop's response factor. FAO-56 eq. 91.
#[must_use]
pub fn stress_of_yield(reached: f64, possible: f64, response: f64) -> f64 {
    1.0 - (1.0 - reached / possible) / response
}
