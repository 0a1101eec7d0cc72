//! Reference evapotranspiration: how much water a well-watered reference cover gives to the air.
//!
//! | to… | go to |
//! | --- | --- |
//! | reckon a day by Penman–Monteith (FAO-56 grass, ASCE short and tall), with every term and every stand-in for what was not measured | [`daily`] |
//! | reckon an hour the same way | [`hourly`] |
//! | reckon whole columns of days, of hours | [`columns`], [`hour_columns`] |
//! | manage with temperatures alone | [`hargreaves`] |
//! | manage with temperature and radiation | [`radiation_methods`] |
//! | go from the reference cover to a real one, and to the soil between plants | [`crop_coefficient`], [`soil_evaporation`] |
//! | follow water in the root zone | [`root_zone`] |
//! | turn temperature and humidity into vapour pressure | [`vapour`] |
//! | find air pressure, wind at 2 m | [`air`] |
//! | find clear-sky, short-wave and long-wave radiation | [`radiation`] |
//!
//! Depths are mm, radiation MJ m⁻², pressures kPa, temperatures °C. ET₀ is water use of the reference cover, not of a lawn: multiply by a
//! crop or plant factor for that.
//!
//! # Sources
//! Allen, Pereira, Raes & Smith (1998), *Crop evapotranspiration*, FAO Irrigation and Drainage Paper 56 (FAO-56 here). ASCE-EWRI (2005),
//! *The ASCE Standardized Reference Evapotranspiration Equation* (coefficients from memory, checked against its Appendix C).

pub mod air;
pub mod columns;
pub mod crop_coefficient;
pub mod daily;
pub mod hargreaves;
pub mod hour_columns;
pub mod hourly;
pub mod radiation;
pub mod radiation_methods;
pub mod root_zone;
pub mod soil_evaporation;
pub mod vapour;

use serde::Serialize;

use crate::sun::SunError;

/// Megajoules that evaporate 1 mm of water from 1 m², the fixed value of FAO-56.
pub const LATENT_HEAT_MJ_KG: f64 = 2.45;

/// Millimetres of water that 1 MJ m⁻² evaporates, as FAO-56 prints it (1/2.45, rounded).
pub const MM_PER_MJ: f64 = 0.408;

/// What a reckoning of evapotranspiration refuses.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
pub enum EvapotranspirationError {
    /// The place is off the globe.
    #[error(transparent)]
    Place(#[from] SunError),
    /// A day whose minimum is above its maximum.
    #[error("the minimum ({minimum_c} °C) is above the maximum ({maximum_c} °C); give them the other way round")]
    MinimumAboveMaximum {
        /// Minimum, °C.
        minimum_c: f64,
        /// Maximum, °C.
        maximum_c: f64,
    },
    /// A value outside what weather gives.
    #[error("{what} is {value}, which lies outside {low} to {high}; give it such as {example}")]
    OutOfRange {
        /// What was given.
        what: &'static str,
        /// The value seen.
        value: f64,
        /// Least that can be.
        low: f64,
        /// Most that can be.
        high: f64,
        /// What would be right.
        example: &'static str,
    },
}

/// Refuses a value outside a range, and one that is not a number.
pub(crate) fn within(what: &'static str, value: f64, low: f64, high: f64, example: &'static str) -> Result<(), EvapotranspirationError> {
    if (low..=high).contains(&value) { Ok(()) } else { Err(EvapotranspirationError::OutOfRange { what, value, low, high, example }) }
}
