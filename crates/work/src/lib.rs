//! Work: tasks with windows, the arithmetic of applying, measuring off, mowing and pricing.
//!
//! Pure: no clock, no files. SI inside; the unit ends a bare number's name.
//!
//! | room | what it holds |
//! | --- | --- |
//! | [`task`] | the task with its window, odds, reasons, needs and cautions |
//! | [`application`] | how much fertiliser or product: from a rate, an analysis, a tank |
//! | [`calibration`] | sprayer and spreader: volume rate from a catch, flow from speed, pass or fail by nozzle |
//! | [`dilution`] | active ingredient to product, percent solutions, parts per million, injectors, liquid feeds, lime |
//! | [`tank`] | tank loads with the part load last, proportioners, the order of mixing |
//! | [`take_off`] | volumes from area and depth, edging block with trench and base, mulch |
//! | [`mowing`] | area mown in an hour, hours on the blades, the day that sharpening falls due |
//! | [`price`] | cost, overhead, margin and markup; the priced lines of a proposal |
//! | [`caution`] | the cautions that go with each kind of dangerous work |
pub mod application;
pub mod calibration;
pub mod caution;
pub mod dilution;
pub mod mowing;
pub mod price;
pub mod take_off;
pub mod tank;
pub mod task;

/// What a calculation refuses, with the value and the remedy.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WorkError {
    /// A value that must be above zero is not.
    #[error("{name} is {value}; it must be above 0")]
    NotPositive {
        /// Which value.
        name: &'static str,
        /// What it was.
        value: f64,
    },
    /// A share outside its bounds.
    #[error("{name} is {value}; it must be {bounds}")]
    Share {
        /// Which value.
        name: &'static str,
        /// What it was.
        value: f64,
        /// Its bounds in words.
        bounds: &'static str,
    },
    /// An analysis that cannot be read.
    #[error("`{0}` is no fertiliser analysis; write the three figures of the bag, for example `28-3-6`")]
    Analysis(String),
    /// The fertiliser holds none of the nutrient asked for.
    #[error("{analysis} holds no {nutrient}; choose another nutrient or another material")]
    NoNutrient {
        /// The analysis.
        analysis: String,
        /// The nutrient.
        nutrient: &'static str,
    },
    /// Two measures that cannot both be.
    #[error("{0}")]
    Impossible(String),
}

/// Checks that a value is finite and above zero.
pub(crate) fn positive(name: &'static str, value: f64) -> Result<f64, WorkError> {
    if value.is_finite() && value > 0.0 { Ok(value) } else { Err(WorkError::NotPositive { name, value }) }
}

/// Rounds up to whole things bought or driven, forgiving the last bits of floating-point division (96.000 000 000 1 is 96).
///
/// ```
/// assert_eq!(groundlore_work::whole(96.000_000_000_01), 96.0);
/// assert_eq!(groundlore_work::whole(141.13), 142.0);
/// ```
pub fn whole(value: f64) -> f64 {
    let nearest = value.round();
    if (value - nearest).abs() <= 1e-9 * nearest.abs().max(1.0) { nearest } else { value.ceil() }
}
