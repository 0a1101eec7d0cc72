//! Area mown in an hour, hours on the blades, the day that sharpening falls due.

use crate::{WorkError, positive};
use jiff::civil::Date;
use jiff::{ToSpan, Unit};
use serde::Serialize;

/// Area in a time (m²/s): (width − overlap) × speed × efficiency.
///
/// # Errors
/// A measure at or below zero, an overlap that is not below the width, an efficiency outside 0–1.
///
/// # Source
/// *Green Industry Pros*, "How to calculate hourly mower productivity": 60 in at 8.5 mph and 80 % is 179,520 ft²/h.
pub fn area_rate(width_m: f64, overlap_m: f64, speed_m_s: f64, efficiency: f64) -> Result<f64, WorkError> {
    positive("width", width_m)?;
    if !(0.0..width_m).contains(&overlap_m) {
        return Err(WorkError::Impossible(format!("the overlap ({overlap_m} m) must be 0 or more and below the width ({width_m} m)")));
    }
    if !(efficiency > 0.0 && efficiency <= 1.0) {
        return Err(WorkError::Share { name: "efficiency", value: efficiency, bounds: "above 0 and at most 1, for example 0.8 or 80%" });
    }
    Ok((width_m - overlap_m) * positive("speed", speed_m_s)? * efficiency)
}

/// Hours run on one day, as logged.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HoursLog {
    /// Day.
    pub date: Date,
    /// Hours that the blades ran.
    pub hours: f64,
}

/// State of a set of blades.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BladeState {
    /// Hours since they were last sharpened.
    pub hours_h: f64,
    /// Mean hours a day over the logged days since then.
    pub hours_per_day: f64,
    /// Day on which the lower limit is reached at that pace.
    pub due_from: Option<Date>,
    /// Day on which the upper limit is reached.
    pub due_by: Option<Date>,
}

/// Hours on the blades since the day they were sharpened (hours on that day count as before it), and the days on which the limits fall.
///
/// `limit_low_h` and `limit_high_h` are the firm's own limits. Common practice is 20–30 h, with published figures from 8 to 25 h: there
/// is no agreed figure, so it is a setting.
///
/// # Errors
/// A limit at or below zero, limits the wrong way round, hours below zero or above 24 in a day.
pub fn blades(log: &[HoursLog], sharpened: Date, today: Date, limit_low_h: f64, limit_high_h: f64) -> Result<BladeState, WorkError> {
    positive("lower limit of blade hours", limit_low_h)?;
    if limit_high_h < limit_low_h {
        return Err(WorkError::Impossible(format!("blade limits run from {limit_low_h} h to {limit_high_h} h: put the lower one first")));
    }
    if let Some(wrong) = log.iter().find(|entry| !(0.0..=24.0).contains(&entry.hours)) {
        return Err(WorkError::Impossible(format!("{}: {} hours in a day; write 0 to 24", wrong.date, wrong.hours)));
    }
    let hours_h: f64 = log.iter().filter(|e| e.date > sharpened && e.date <= today).map(|e| e.hours).sum();
    let days = sharpened.until((Unit::Day, today)).map_or(0, |span| span.get_days()).max(1);
    let hours_per_day = hours_h / f64::from(days);
    let due = |limit: f64| {
        let left = (limit - hours_h).max(0.0);
        if hours_per_day <= 0.0 && left > 0.0 {
            return None;
        }
        let days = if left > 0.0 { (left / hours_per_day).ceil() } else { 0.0 };
        #[allow(clippy::cast_possible_truncation)]
        today.checked_add((days.min(3660.0) as i64).days()).ok()
    };
    Ok(BladeState { hours_h, hours_per_day, due_from: due(limit_low_h), due_by: due(limit_high_h) })
}
