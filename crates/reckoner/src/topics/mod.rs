//! The calculators, by topic.

mod applying;
mod droplets;
mod evapotranspiration;
mod evidence;
mod machines;
mod planting;
mod price;
mod sampling;
mod scouting;
mod season;
mod season_sums;
mod sun;
mod take_off;
mod treatment;
mod units;

use crate::calculator::Calculator;

/// All groups.
pub(crate) const ALL: [&[Calculator]; 15] = [
    season::ALL,
    sun::ALL,
    evapotranspiration::ALL,
    season_sums::ALL,
    scouting::ALL,
    sampling::ALL,
    evidence::ALL,
    treatment::ALL,
    applying::ALL,
    droplets::ALL,
    planting::ALL,
    take_off::ALL,
    machines::ALL,
    price::ALL,
    units::ALL,
];
