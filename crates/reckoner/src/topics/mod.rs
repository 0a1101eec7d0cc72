//! The calculators, by topic.

mod machines;
mod planting;
mod price;
mod scouting;
mod season;
mod take_off;
mod treatment;
mod units;

use crate::calculator::Calculator;

/// All groups.
pub(crate) const ALL: [&[Calculator]; 8] =
    [season::ALL, scouting::ALL, treatment::ALL, planting::ALL, take_off::ALL, machines::ALL, price::ALL, units::ALL];
