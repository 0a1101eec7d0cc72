//! Square and triangular grids of plants in an outline.

use crate::outline::{Front, Outline, OutlineError};
use crate::spacing::{Pattern, SpacingError};
use geo::{Coord, Polygon};

/// An outline or a spacing that gives no grid.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GridError {
    /// The outline.
    #[error(transparent)]
    Outline(#[from] OutlineError),
    /// The spacing.
    #[error(transparent)]
    Spacing(#[from] SpacingError),
    /// More plants than anybody would set out.
    #[error("a spacing of {spacing_m} m in a bed of {area_m2:.1} m² gives over 200,000 plants; give a wider spacing, for example 0.3 m")]
    TooMany {
        /// The spacing, metres.
        spacing_m: f64,
        /// The area, square metres.
        area_m2: f64,
    },
}

/// Points (metres) of a grid at a spacing, every one at least half the spacing from every side.
///
/// The grid starts half a spacing in from the lower left corner of the box round the outline; rows run along x. On the
/// triangular grid rows are √3/2 of the spacing apart and every second row is shifted by half a spacing.
///
/// # Errors
/// An outline that cannot be planted, a spacing at or below 0, more than 200,000 points.
///
/// # Source
/// Geometry. An area formula (area / s²) counts more, since the edge cuts the grid.
///
/// # Example
/// ```
/// use geo::polygon;
/// use groundlore_planting::{grid, spacing::Pattern};
/// let inch = 0.0254;
/// let bed = polygon![(x: 0.0, y: 0.0), (x: 240.0 * inch, y: 0.0), (x: 240.0 * inch, y: 120.0 * inch), (x: 0.0, y: 120.0 * inch)];
/// assert_eq!(grid::points(&bed, 12.0 * inch, Pattern::Square)?.len(), 200);
/// assert_eq!(grid::points(&bed, 12.0 * inch, Pattern::Triangular)?.len(), 215);
/// # Ok::<(), grid::GridError>(())
/// ```
pub fn points(polygon_m: &Polygon<f64>, spacing_m: f64, pattern: Pattern) -> Result<Vec<Coord<f64>>, GridError> {
    let outline = Outline::new(polygon_m, &Front::AllRound)?;
    let density_per_m2 = crate::spacing::density_per_m2(spacing_m, pattern)?;
    let (low, high) = outline.bounds_m();
    if density_per_m2 * (high.x - low.x) * (high.y - low.y) > 200_000.0 {
        return Err(GridError::TooMany { spacing_m, area_m2: outline.area_m2() });
    }
    let row_m = match pattern {
        Pattern::Square => spacing_m,
        Pattern::Triangular => spacing_m * 3f64.sqrt() / 2.0,
    };
    let slack = spacing_m * 1e-9;
    let mut points = Vec::new();
    let mut row = 0u32;
    while low.y + spacing_m / 2.0 + f64::from(row) * row_m <= high.y {
        let y = low.y + spacing_m / 2.0 + f64::from(row) * row_m;
        let shift = if pattern == Pattern::Triangular && row % 2 == 1 { 0.5 } else { 0.0 };
        let mut column = 0u32;
        while low.x + (0.5 + shift + f64::from(column)) * spacing_m <= high.x {
            let x = low.x + (0.5 + shift + f64::from(column)) * spacing_m;
            if outline.contains(x, y) && outline.edge_distance_m(x, y) >= spacing_m / 2.0 - slack {
                points.push(Coord { x, y });
            }
            column += 1;
        }
        row += 1;
    }
    Ok(points)
}
