//! Soil temperature from the air's, for clocks that are set by the soil.
//!
//! The soil follows the air with a lag: each day it moves towards the day's mean air temperature by 1/(1 + τ) of the distance, where the
//! lag τ is half a day for each centimetre of depth. At 10 cm that lags as far behind as the mean of the last eleven days.
//!
//! # Source
//! The eleven-day mean at 10 cm is after Zheng, Hunt & Running (1993), *A daily soil temperature model based on air temperature and
//! precipitation for continental applications*, Climate Research 2:183 (memory). Spreading it over depths in proportion is memory. Cover,
//! shade, snow and wet soil are not in it; a clock by soil carries [`ERROR_DAYS`] more for that.

/// Days by which a soil of this kind may miss a date, either way for eight in ten (memory).
pub(super) const ERROR_DAYS: f64 = 5.0;

/// Days of lag for each metre of depth.
const LAG_DAYS_PER_M: f64 = 50.0;
/// Least lag, days: the very surface still lags a few hours.
const LEAST_LAG_DAYS: f64 = 0.5;

/// Soil temperature (°C) at a depth (m) from daily mean air temperatures (°C) in a row. NaN days leave the soil as it was; the first known
/// day starts it.
pub(super) fn column(mean_air_c: impl Iterator<Item = f64>, depth_m: f64) -> Vec<f64> {
    let step = 1.0 / (1.0 + (depth_m * LAG_DAYS_PER_M).max(LEAST_LAG_DAYS));
    let mut soil = f64::NAN;
    mean_air_c
        .map(|air| {
            soil = match (soil.is_nan(), air.is_nan()) {
                (true, _) => air,
                (false, true) => soil,
                (false, false) => soil + step * (air - soil),
            };
            if air.is_nan() { f64::NAN } else { soil }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn steady_air_makes_steady_soil() {
        assert!(column([10.0; 40].into_iter(), 0.1).iter().all(|soil| (soil - 10.0).abs() < 1e-9));
    }

    #[test]
    fn deeper_soil_lags_further_behind() {
        let rise = || (0..60).map(f64::from);
        let (shallow, deep) = (column(rise(), 0.025), column(rise(), 0.10));
        // In a steady rise of 1 °C a day the lag in degrees is the lag in days: five at 10 cm, as of an eleven-day mean.
        assert!((59.0 - deep[59] - 5.0).abs() < 0.1, "{}", deep[59]);
        assert!(shallow[59] > deep[59]);
    }
}
