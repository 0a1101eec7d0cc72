//! The count afterwards, and the untreated strip to compare with.

use super::Situation;
use jiff::ToSpan;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// When to count again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FollowUpWindow {
    /// First day.
    pub earliest: Date,
    /// Last day.
    pub latest: Date,
    /// Why then.
    pub why: String,
}

/// An untreated strip to compare with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CheckStrip {
    /// Area left untreated, m².
    pub area_m2: f64,
    /// What to do.
    pub how: String,
}

/// Days after treatment in which to count again, where nothing better is known.
pub(super) const FOLLOW_UP_DAYS: (u16, u16, &str) = (14, 28, "common practice");

pub(super) fn follow_up(situation: &Situation) -> FollowUpWindow {
    let (first, last, source) = situation.follow_up_days.unwrap_or(FOLLOW_UP_DAYS);
    let after = |days: u16| situation.date.saturating_add(i64::from(days).days());
    FollowUpWindow {
        earliest: after(first.min(last)),
        latest: after(first.max(last)),
        why: format!(
            "{} to {} days after treatment ({source}); count the untreated strip on the same day",
            first.min(last),
            first.max(last)
        ),
    }
}

/// Part of the treated area that the strip takes, and its bounds in m².
pub(super) const STRIP: (f64, f64, f64) = (0.08, 4.0, 20.0);

pub(super) fn check_strip(area_m2: f64) -> CheckStrip {
    let area_m2 = (STRIP.0 * area_m2).clamp(STRIP.1, STRIP.2).min(area_m2 / 3.0);
    CheckStrip {
        area_m2,
        how: format!(
            "If the owner agrees, leave a strip of about {area_m2:.0} m2 of the same poor turf untreated, marked with pegs, and count both before and after. Only then can anyone say what the treatment did."
        ),
    }
}
