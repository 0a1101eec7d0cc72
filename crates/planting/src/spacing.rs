//! Plants for an area by spacing and pattern.

/// How plants stand to one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pattern {
    /// On a square grid.
    Square,
    /// On a triangular (staggered) grid; rows are √3/2 of the spacing apart.
    Triangular,
}

/// A spacing or an area that makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{name} is {value}; it must be above 0")]
pub struct SpacingError {
    /// Which value.
    pub name: &'static str,
    /// What it was.
    pub value: f64,
}

/// Plants per square metre at a spacing (m): 1/s² on a square grid, 2/(√3 s²) on a triangular one.
///
/// This is the density far from any edge; a real bed takes fewer (its edge cuts the grid).
///
/// # Errors
/// A spacing at or below zero.
///
/// # Source
/// Geometry; 12 in on centre is 100 plants per 100 ft² square, 115.5 triangular (trade charts, common practice).
///
/// ```
/// use groundlore_planting::spacing::{Pattern, density_per_m2};
/// let per_100ft2 = density_per_m2(0.3048, Pattern::Triangular)? * 9.290304;
/// assert!((per_100ft2 - 115.47).abs() < 0.005);
/// # Ok::<(), groundlore_planting::spacing::SpacingError>(())
/// ```
pub fn density_per_m2(spacing_m: f64, pattern: Pattern) -> Result<f64, SpacingError> {
    if !(spacing_m.is_finite() && spacing_m > 0.0) {
        return Err(SpacingError { name: "spacing", value: spacing_m });
    }
    let square = 1.0 / (spacing_m * spacing_m);
    Ok(match pattern {
        Pattern::Square => square,
        Pattern::Triangular => square * 2.0 / 3f64.sqrt(),
    })
}
