//! Measuring off: volumes from area and depth, edging block with its trench and base.

use crate::{WorkError, positive, whole};
use serde::Serialize;

fn waste_factor(waste: f64) -> Result<f64, WorkError> {
    if waste.is_finite() && (0.0..=1.0).contains(&waste) {
        Ok(1.0 + waste)
    } else {
        Err(WorkError::Share { name: "waste", value: waste, bounds: "between 0 and 1, for example 0.1 or 10%" })
    }
}

/// Volume of a layer (m³): area × depth × (1 + waste).
///
/// # Errors
/// A measure at or below zero; waste outside 0–1.
///
/// # Source
/// Geometry; one cubic yard covers 108 ft² at 3 in (trade charts, common practice).
///
/// ```
/// let m3 = groundlore_work::take_off::layer_volume(108.0 * 0.09290304, 3.0 * 0.0254, 0.0)?;
/// assert!((m3 - 0.764_554_857_984).abs() < 1e-12); // one cubic yard
/// # Ok::<(), groundlore_work::WorkError>(())
/// ```
pub fn layer_volume(area_m2: f64, depth_m: f64, waste: f64) -> Result<f64, WorkError> {
    Ok(positive("area", area_m2)? * positive("depth", depth_m)? * waste_factor(waste)?)
}

/// Measures of a run of edging block.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EdgingMeasures {
    /// Length of the run, m.
    pub length_m: f64,
    /// Length of a block along the run, m.
    pub block_length_m: f64,
    /// Height of a block's face, m.
    pub block_height_m: f64,
    /// Height that stands above grade, m.
    pub show_m: f64,
    /// Courses, one on top of another.
    pub courses: u32,
    /// Depth of the compacted base, m.
    pub base_depth_m: f64,
    /// Width of the trench, m.
    pub trench_width_m: f64,
    /// Share of blocks ordered beyond the measure, 0–1.
    pub waste: f64,
}

/// What a run of edging block takes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EdgingTakeOff {
    /// Whole blocks to buy.
    pub blocks: f64,
    /// Part of the wall's height below grade, m.
    pub buried_m: f64,
    /// Depth to dig, m: buried part and base.
    pub trench_depth_m: f64,
    /// Soil dug out, in the bank, m³.
    pub dug_m3: f64,
    /// Base material, compacted, m³.
    pub base_m3: f64,
}

/// Blocks, buried part, trench and base of a run of edging.
///
/// Blocks are length over block length, times courses, times 1 + waste, rounded up once at the end.
///
/// # Errors
/// A measure at or below zero; a block that shows more than its height.
///
/// # Source
/// Geometry; about 1 in of a 4 in face should show so that a mower wheel runs over it, on about 4 in of compacted base (common practice).
pub fn edging(m: &EdgingMeasures) -> Result<EdgingTakeOff, WorkError> {
    let length = positive("length", m.length_m)?;
    let courses = f64::from(m.courses.max(1));
    let height = positive("block-height", m.block_height_m)? * courses;
    if !(m.show_m.is_finite() && m.show_m >= 0.0) {
        return Err(WorkError::NotPositive { name: "show", value: m.show_m });
    }
    if m.show_m > height {
        return Err(WorkError::Impossible(format!(
            "the block would show {:.3} m of {height:.3} m: `show` must not be more than the height of the courses",
            m.show_m
        )));
    }
    let base_depth = if m.base_depth_m == 0.0 { 0.0 } else { positive("base-depth", m.base_depth_m)? };
    let buried_m = height - m.show_m;
    let trench_depth_m = buried_m + base_depth;
    let width = positive("trench-width", m.trench_width_m)?;
    Ok(EdgingTakeOff {
        blocks: whole(length / positive("block-length", m.block_length_m)? * courses * waste_factor(m.waste)?),
        buried_m,
        trench_depth_m,
        dug_m3: length * width * trench_depth_m,
        base_m3: length * width * base_depth,
    })
}
