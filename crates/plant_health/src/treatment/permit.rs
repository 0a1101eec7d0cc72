//! Days of weather that permit the work.

use super::label::{LabelCard, figure};
use super::rules::Said;
use super::{Check, Outcome, Situation, TreatmentError, check};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Weather of one day of one future.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DayWeather {
    /// Day.
    pub date: Date,
    /// Minimum, °C; NaN where missing.
    pub tmin_c: f64,
    /// Maximum, °C; NaN where missing.
    pub tmax_c: f64,
    /// Rain, mm; NaN where missing.
    pub rain_mm: f64,
}

/// What daily weather must be like.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct WeatherLimits {
    /// Days that must stay dry, the day of application included; none where the card says nothing.
    pub dry_days: Option<u32>,
    /// Highest maximum, °C; none where the card says nothing.
    pub hottest_c: Option<f64>,
}

/// Odds that a day permits the work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayPermit {
    /// Day.
    pub date: Date,
    /// Share of futures in which rain and heat permit; none where no future has the figures.
    pub odds: Option<f64>,
    /// Futures behind it.
    pub futures: usize,
    /// What daily figures cannot tell, or the card does not say.
    pub not_checked: Vec<&'static str>,
}

/// Rain that counts as wet, mm a day.
pub(super) const WET_MM: f64 = 0.2;

/// Odds, day by day, that daily rain and heat permit an application. Wind is never known from daily figures and is always
/// *not checked*.
///
/// `futures` holds one list of days each, all with the same days in order. A day whose dry spell runs past the end is left out.
///
/// # Example
/// ```
/// # use groundlore_plant_health::treatment::*;
/// # use jiff::civil::date;
/// let day = |d, rain_mm| DayWeather { date: date(2015, 8, d), tmin_c: 15.0, tmax_c: 27.0, rain_mm };
/// let futures = [vec![day(15, 0.0), day(16, 0.0), day(17, 9.0)], vec![day(15, 0.0), day(16, 4.0), day(17, 0.0)]];
/// let limits = WeatherLimits { dry_days: Some(2), hottest_c: Some(30.0) };
/// let days = permits(&futures, &limits);
/// assert_eq!(days[0].odds, Some(0.5));
/// assert_eq!(days[1].odds, Some(0.0));
/// assert!(days[0].not_checked.contains(&"wind"));
/// ```
pub fn permits(futures: &[Vec<DayWeather>], limits: &WeatherLimits) -> Vec<DayPermit> {
    let spell = limits.dry_days.unwrap_or(1).max(1) as usize;
    let days = futures.iter().map(Vec::len).min().unwrap_or(0);
    let mut not_checked = vec!["wind"];
    if limits.dry_days.is_none() {
        not_checked.push("dry time (blank on the card)");
    }
    if limits.hottest_c.is_none() {
        not_checked.push("heat (blank on the card)");
    }
    let last = (days + 1).saturating_sub(spell);
    (0..last)
        .filter_map(|i| {
            let answers: Vec<bool> = futures.iter().filter_map(|f| permitted(&f[i..i + spell], limits)).collect();
            let yes = answers.iter().filter(|a| **a).count();
            let odds = (!answers.is_empty()).then(|| yes as f64 / answers.len() as f64);
            let date = futures.first()?[i].date;
            Some(DayPermit { date, odds, futures: answers.len(), not_checked: not_checked.clone() })
        })
        .collect()
}

/// Whether a spell permits; none where a figure it needs is missing.
pub(super) fn permitted(spell: &[DayWeather], limits: &WeatherLimits) -> Option<bool> {
    let first = spell.first()?;
    if spell.iter().any(|d| d.rain_mm.is_nan()) || (limits.hottest_c.is_some() && first.tmax_c.is_nan()) {
        return None;
    }
    let dry = spell.iter().all(|d| d.rain_mm < WET_MM);
    Some(dry && limits.hottest_c.is_none_or(|most| first.tmax_c <= most))
}

/// Limits that a label card sets on daily weather.
///
/// # Errors
/// [`TreatmentError::Card`] for a dry time that is no time or a heat that is no temperature.
pub fn weather_limits(label: &LabelCard) -> Result<WeatherLimits, TreatmentError> {
    let hours = label.dry_after.as_ref().map(|q| figure(label, "dry time", q, "h")).transpose()?;
    let hottest_c = label.hottest.as_ref().map(|q| {
        q.celsius().ok_or_else(|| TreatmentError::CardValue {
            card: label.name.clone(),
            field: "highest temperature",
            value: q.to_string(),
            remedy: "give a temperature, e.g. 85 degF",
        })
    });
    // Daily rain has no hour: a dry time of any length asks for the day itself, of more than half a day for the next too.
    let dry_days = hours.map(|h| 1 + ((h + 12.0) / 24.0).floor() as u32);
    // A card that was read and says nothing of it is no blank: any dry day, any heat.
    let dry_days = dry_days.or_else(|| matches!(label.rules.rain_free_h, Said::Nothing).then_some(1));
    let hottest_c = hottest_c.transpose()?.or_else(|| matches!(label.rules.temperature_c, Said::Nothing).then_some(f64::INFINITY));
    Ok(WeatherLimits { dry_days, hottest_c })
}

pub(super) fn weather(label: &LabelCard, situation: &Situation) -> Result<Check, TreatmentError> {
    const NAME: &str = "weather";
    let limits = weather_limits(label)?;
    let Some(futures) = situation.futures else {
        return Ok(check(NAME, Outcome::NotChecked, "no weather is at hand for these days"));
    };
    let days = permits(futures, &limits);
    let best = days.iter().filter_map(|d| d.odds.map(|o| (d, o))).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.date.cmp(&a.0.date)));
    Ok(match best {
        None => check(NAME, Outcome::NotChecked, "the weather at hand has no figures for these days"),
        Some((day, odds)) => check(
            NAME,
            Outcome::NotChecked,
            format!(
                "rain and heat permit on {} in {:.0} % of futures; not checked: {}",
                day.date,
                100.0 * odds,
                day.not_checked.join(", ")
            ),
        ),
    })
}
