//! The calculators, by topic.

mod evapotranspiration;
mod machines;
mod planting;
mod price;
mod scouting;
mod season;
mod season_sums;
mod sun;
mod take_off;
mod treatment;
mod units;

use crate::calculator::Calculator;

/// All groups.
pub(crate) const ALL: [&[Calculator]; 11] = [
    season::ALL,
    sun::ALL,
    evapotranspiration::ALL,
    season_sums::ALL,
    scouting::ALL,
    treatment::ALL,
    planting::ALL,
    take_off::ALL,
    machines::ALL,
    price::ALL,
    units::ALL,
];
