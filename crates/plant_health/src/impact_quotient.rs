//! Environmental impact quotient: eleven ratings of an active ingredient folded into one figure, for comparing, never for passing.
//!
//! The ratings are read from a list that the user names (they carry an edition); none ship here.

use serde::Serialize;

/// Ratings of an active ingredient, each 1 (low), 3 or 5 (high), some also 2; as the published list gives them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratings {
    /// Chronic toxicity, C.
    pub chronic: f64,
    /// Dermal toxicity, DT.
    pub dermal: f64,
    /// Half-life on plant surfaces, P.
    pub plant_half_life: f64,
    /// Half-life in soil, S.
    pub soil_half_life: f64,
    /// Mode: not systemic 1, herbicides 1, systemic 3, SY.
    pub systemic: f64,
    /// Leaching, L.
    pub leaching: f64,
    /// Fish toxicity, F.
    pub fish: f64,
    /// Surface runoff, R.
    pub runoff: f64,
    /// Bird toxicity, D.
    pub bird: f64,
    /// Bee toxicity, Z.
    pub bee: f64,
    /// Toxicity to beneficial arthropods, B.
    pub beneficial: f64,
}

/// The quotient and its three parts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ImpactQuotient {
    /// Whoever applies and picks: C (5 DT + DT P).
    pub worker: f64,
    /// Whoever eats and drinks: C (S + P)/2 SY + L.
    pub consumer: f64,
    /// Fish, birds, bees and beneficials: F R + 3 D (S + P)/2 + 3 Z P + 5 B P.
    pub ecology: f64,
    /// Mean of the three.
    pub quotient: f64,
}

/// Quotient of an active ingredient.
///
/// # Source
/// Kovach, Petzoldt, Degni & Tette (1992), *New York's Food and Life Sciences Bulletin* 139 (formula; memory); cases in the shared
/// treatment note, EIQ-01 to EIQ-04.
pub fn impact_quotient(r: &Ratings) -> ImpactQuotient {
    let half_lives = f64::midpoint(r.soil_half_life, r.plant_half_life);
    let worker = r.chronic * (5.0 * r.dermal + r.dermal * r.plant_half_life);
    let consumer = r.chronic * half_lives * r.systemic + r.leaching;
    let ecology = r.fish * r.runoff + 3.0 * r.bird * half_lives + 3.0 * r.bee * r.plant_half_life + 5.0 * r.beneficial * r.plant_half_life;
    ImpactQuotient { worker, consumer, ecology, quotient: (worker + consumer + ecology) / 3.0 }
}

/// Field use rating: quotient × share of active ingredient × product used, in pounds an acre.
pub fn field_rating(quotient: f64, fraction: f64, rate_lb_per_acre: f64) -> f64 {
    quotient * fraction * rate_lb_per_acre
}
