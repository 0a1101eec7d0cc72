//! Weather for spraying, hour by hour: wind, gusts, temperature, inversion, rain, leaves, bees and the owner's days, each held against what the
//! label card says, with odds from the forecast's spread.
//!
//! Limits come from the card. Figures of extension services stand beside them as advice with their source; where the card is blank, an hour is
//! *not checked*, however fine it looks.

use super::ground::is_day;
use super::rules::{BloomRule, LabelRules, Leaves, Said};
use super::{Check, Outcome, check, standing};
use groundlore_weather::futures::ForecastDay;
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};

/// Miles an hour, m/s.
const MPH: f64 = 0.447_04;
/// Wind that extension services advise, mph.
///
/// # Source
/// 3 to 10 mph: Nebraska Extension, drift note (3 to 10 mph); below 3 mph direction is unsteady and an inversion may lie: Pesticide
/// Environmental Stewardship, weather page (3 to 8 mph). Both read, shared treatment note S53, S54.
const ADVISED_MPH: (f64, f64) = (3.0, 10.0);
const ADVICE_SOURCE: &str = "advice: Pesticide Environmental Stewardship; Nebraska Extension";
/// Where an inversion is likely.
///
/// # Source
/// From sunset on an inversion is to be assumed unless wind is steady and cloud solid: Canola Council of Canada, page on inversions (read).
/// One hour after sunrise to two hours before sunset, and not under 3 mph, is the span that some labels give: Iowa State note (read).
const INVERSION_SOURCE: &str = "Canola Council of Canada and Iowa State notes on inversions";
/// Air this humid leaves plants wet with dew or near it (memory): so it asks for a look, and nothing more.
const DEW_HUMIDITY: f64 = 0.9;
/// Rain of an hour that counts, mm: 0.01 inch (memory).
const WET_MM: f64 = 0.254;

/// Height of the sun, degrees over the level, when the hour begins, one hour before and two hours after.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SunStands {
    /// When it begins.
    pub now: f64,
    /// One hour before.
    pub hour_before: f64,
    /// Two hours after.
    pub two_hours_after: f64,
}

/// One hour of the forecast, as spraying needs it. What the forecast does not say is none.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SprayHour {
    /// When it begins, by the clock of the place.
    pub local: DateTime,
    /// Hours from when the forecast was made to this one.
    pub lead_h: f64,
    /// Air temperature, °C.
    pub temperature_c: f64,
    /// Wind, m/s.
    pub wind_m_s: Option<f64>,
    /// Gusts, m/s.
    pub gust_m_s: Option<f64>,
    /// Relative humidity, 0 to 1.
    pub humidity: Option<f64>,
    /// Chance of rain in the hour, 0 to 1.
    pub rain_chance: Option<f64>,
    /// Rain in the hour, mm.
    pub rain_mm: Option<f64>,
    /// The sun; none where the place is not known.
    pub sun: Option<SunStands>,
}

/// What the hours are judged by beside the card.
#[derive(Debug, Clone, Copy)]
pub struct HourAims<'a> {
    /// Whether something that bees visit is in flower on the yard or next door; none where nobody looked.
    pub bloom: Option<bool>,
    /// Days on which the owner forbids work; none where nobody asked.
    pub forbidden_days: Option<&'a [String]>,
    /// Odds of staying dry that the firm asks for, 0 to 1: a choice, not a fact.
    pub dry_odds: f64,
}

/// One hour, judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HourJudged {
    /// When it begins.
    pub local: DateTime,
    /// Worst outcome of its checks.
    pub standing: Outcome,
    /// Chance that all that the card limits and the forecast tells is kept; none where the card limits nothing of it, or a figure is lacking.
    pub odds: Option<f64>,
    /// The checks.
    pub checks: Vec<Check>,
    /// Wind, m/s, as forecast.
    pub wind_m_s: Option<f64>,
    /// Temperature, °C.
    pub temperature_c: f64,
}

/// Judges each hour by the card.
///
/// # Example
/// ```
/// # use groundlore_plant_health::treatment::*;
/// let hour = SprayHour {
///     local: jiff::civil::date(2015, 8, 17).at(10, 0, 0, 0), lead_h: 6.0, temperature_c: 22.0, wind_m_s: Some(2.5), gust_m_s: Some(4.0),
///     humidity: Some(0.6), rain_chance: Some(0.0), rain_mm: Some(0.0),
///     sun: Some(SunStands { now: 40.0, hour_before: 30.0, two_hours_after: 55.0 }),
/// };
/// let aims = HourAims { bloom: Some(false), forbidden_days: Some(&[]), dry_odds: 0.8 };
/// // A blank card: fine weather, and still nothing is passed.
/// let judged = judge_hours(&[hour], &LabelRules::default(), &aims);
/// assert_eq!(judged[0].standing, Outcome::NotChecked);
/// assert_eq!(judged[0].odds, None);
/// ```
#[must_use]
pub fn judge_hours(hours: &[SprayHour], rules: &LabelRules, aims: &HourAims) -> Vec<HourJudged> {
    (0..hours.len()).map(|place| judge(hours, place, rules, aims)).collect()
}

fn judge(hours: &[SprayHour], place: usize, rules: &LabelRules, aims: &HourAims) -> HourJudged {
    let hour = &hours[place];
    let mut odds = Odds::default();
    let checks = vec![
        wind(hour, rules, &mut odds),
        gusts(hour, rules, &mut odds),
        temperature(hour, rules, &mut odds),
        inversion(hour, rules),
        rain(hours, place, rules, aims, &mut odds),
        leaves(hours, place, rules),
        bees(hour, rules, aims),
        owners_day(hour, aims),
    ];
    HourJudged {
        local: hour.local,
        standing: standing(&checks),
        odds: odds.whole(),
        checks,
        wind_m_s: hour.wind_m_s,
        temperature_c: hour.temperature_c,
    }
}

/// Chances multiplied as if independent, which errs low where wind and rain come together.
#[derive(Default)]
struct Odds {
    product: Option<f64>,
    lacking: bool,
}

impl Odds {
    fn times(&mut self, chance: f64) {
        self.product = Some(self.product.unwrap_or(1.0) * chance);
    }
    fn whole(&self) -> Option<f64> {
        self.product.filter(|_| !self.lacking)
    }
}

/// Chance that a value about `mean` with spread `sd` lies within the bounds.
fn chance_within(mean: f64, sd: f64, low: Option<f64>, high: Option<f64>) -> f64 {
    let below = |x: f64| 0.5 * statrs::function::erf::erfc((mean - x) / (sd * std::f64::consts::SQRT_2));
    (high.map_or(1.0, below) - low.map_or(0.0, below)).clamp(0.0, 1.0)
}

/// Spread of a wind forecast by lead, m/s (memory, wide): it only widens the odds.
fn wind_spread(lead_h: f64) -> f64 {
    (1.0 + 0.02 * lead_h.max(0.0)).min(2.5)
}

fn mph(m_s: f64) -> String {
    format!("{:.0} mph", m_s / MPH)
}

fn within(value: f64, low: Option<f64>, high: Option<f64>) -> bool {
    low.is_none_or(|low| value >= low - 1e-9) && high.is_none_or(|high| value <= high + 1e-9)
}

fn bounds_words(low: Option<String>, high: Option<String>) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!("{low} to {high}"),
        (Some(low), None) => format!("at least {low}"),
        (None, Some(high)) => format!("at most {high}"),
        (None, None) => "no bound".to_owned(),
    }
}

fn wind(hour: &SprayHour, rules: &LabelRules, odds: &mut Odds) -> Check {
    const NAME: &str = "wind";
    let advised = |m_s: f64| (ADVISED_MPH.0..=ADVISED_MPH.1).contains(&(m_s / MPH));
    let advice = |m_s: f64| {
        let how = if advised(m_s) { "within" } else { "outside" };
        format!("{how} the 3 to 10 mph of {ADVICE_SOURCE}")
    };
    match (&rules.wind_m_s, hour.wind_m_s) {
        (Said::NotChecked, None) => check(NAME, Outcome::NotChecked, "blank on the card, and the forecast tells no wind"),
        (Said::NotChecked, Some(wind)) => check(NAME, Outcome::NotChecked, format!("blank on the card; {}, {}", mph(wind), advice(wind))),
        (_, None) => {
            odds.lacking |= rules.wind_m_s.says().is_some();
            check(NAME, Outcome::NotChecked, "the forecast tells no wind: measure it")
        }
        (Said::Nothing, Some(wind)) => {
            let outcome = if advised(wind) { Outcome::Pass } else { Outcome::Doubt };
            check(NAME, outcome, format!("the label says nothing of wind; {}, {}", mph(wind), advice(wind)))
        }
        (Said::Words(words), Some(wind)) => check(NAME, Outcome::Doubt, format!("{}; the label says: {words}", mph(wind))),
        (Said::Says(bounds), Some(wind)) => {
            odds.times(chance_within(wind, wind_spread(hour.lead_h), bounds.low, bounds.high));
            let words = bounds_words(bounds.low.map(mph), bounds.high.map(mph));
            if !within(wind, bounds.low, bounds.high) {
                check(NAME, Outcome::Refuse, format!("{}; the label allows {words}", mph(wind)))
            } else if wind / MPH < ADVISED_MPH.0 {
                check(
                    NAME,
                    Outcome::Doubt,
                    format!("{}, within the label's {words}; its direction is unsteady, {}", mph(wind), advice(wind)),
                )
            } else {
                check(NAME, Outcome::Pass, format!("{}, within the label's {words}", mph(wind)))
            }
        }
    }
}

fn gusts(hour: &SprayHour, rules: &LabelRules, odds: &mut Odds) -> Check {
    const NAME: &str = "gusts";
    match (&rules.gust_m_s, hour.gust_m_s) {
        (Said::NotChecked, _) => check(NAME, Outcome::NotChecked, "blank on the card"),
        (Said::Nothing, _) => check(NAME, Outcome::Pass, "the label says nothing of gusts"),
        (Said::Words(words), _) => check(NAME, Outcome::Doubt, format!("the label says: {words}")),
        (Said::Says(_), None) => {
            odds.lacking = true;
            check(NAME, Outcome::NotChecked, "the forecast tells no gusts: measure them")
        }
        (Said::Says(most), Some(gust)) => {
            odds.times(chance_within(gust, 1.5 * wind_spread(hour.lead_h), None, Some(*most)));
            let outcome = if gust <= *most + 1e-9 { Outcome::Pass } else { Outcome::Refuse };
            check(NAME, outcome, format!("{}; the label allows {}", mph(gust), mph(*most)))
        }
    }
}

fn temperature(hour: &SprayHour, rules: &LabelRules, odds: &mut Odds) -> Check {
    const NAME: &str = "temperature";
    let fahrenheit = |c: f64| format!("{:.0} °F", c * 1.8 + 32.0);
    let here = hour.temperature_c;
    match &rules.temperature_c {
        Said::NotChecked => check(NAME, Outcome::NotChecked, format!("blank on the card; {} is forecast", fahrenheit(here))),
        Said::Nothing => check(NAME, Outcome::Pass, "the label says nothing of temperature"),
        Said::Words(words) => check(NAME, Outcome::Doubt, format!("{}; the label says: {words}", fahrenheit(here))),
        Said::Says(_) if !here.is_finite() => {
            odds.lacking = true;
            check(NAME, Outcome::NotChecked, "the forecast tells no temperature")
        }
        Said::Says(bounds) => {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let lead_days = (hour.lead_h.max(0.0) / 24.0) as usize;
            odds.times(chance_within(here, ForecastDay::usual_error_c(lead_days), bounds.low, bounds.high));
            let outcome = if within(here, bounds.low, bounds.high) { Outcome::Pass } else { Outcome::Refuse };
            let words = bounds_words(bounds.low.map(fahrenheit), bounds.high.map(fahrenheit));
            check(NAME, outcome, format!("{}; the label allows {words}", fahrenheit(here)))
        }
    }
}

/// How much an inversion is to be feared.
enum Inversion {
    /// Sun down and hardly any wind.
    Likely(String),
    /// Night, the edges of day, or a calm.
    MayBe(String),
    /// Sun well up and wind.
    Unlikely,
    /// The sun or the wind is not known.
    NotKnown,
}

fn inversion_of(hour: &SprayHour) -> Inversion {
    let (Some(sun), Some(wind)) = (hour.sun, hour.wind_m_s) else { return Inversion::NotKnown };
    let calm = wind / MPH < ADVISED_MPH.0;
    if sun.now <= 0.0 && calm {
        Inversion::Likely(format!("the sun is down and the wind is {}", mph(wind)))
    } else if sun.now <= 0.0 {
        Inversion::MayBe("the sun is down: only steady wind and solid cloud keep the air mixed".to_owned())
    } else if sun.hour_before <= 0.0 {
        Inversion::MayBe("less than an hour after sunrise".to_owned())
    } else if sun.two_hours_after <= 0.0 {
        Inversion::MayBe("less than two hours before sunset".to_owned())
    } else if calm {
        Inversion::MayBe(format!("the wind is only {}", mph(wind)))
    } else {
        Inversion::Unlikely
    }
}

fn inversion(hour: &SprayHour, rules: &LabelRules) -> Check {
    const NAME: &str = "inversion";
    const LOOK: &str = "watch smoke or dust: if it hangs or spreads flat, wait";
    let risk = inversion_of(hour);
    let forbidden = match &rules.inversion {
        Said::NotChecked => {
            let seen = match risk {
                Inversion::Likely(why) | Inversion::MayBe(why) => format!("; {why}"),
                Inversion::Unlikely | Inversion::NotKnown => String::new(),
            };
            return check(NAME, Outcome::NotChecked, format!("blank on the card{seen}"));
        }
        Said::Words(words) => return check(NAME, Outcome::Doubt, format!("the label says: {words}; {LOOK}")),
        Said::Nothing => false,
        Said::Says(()) => true,
    };
    match risk {
        Inversion::NotKnown => check(NAME, Outcome::NotChecked, "the sun or the wind is not known here"),
        Inversion::Likely(why) if forbidden => {
            check(NAME, Outcome::Refuse, format!("{why}: an inversion is likely, and the label forbids it ({INVERSION_SOURCE})"))
        }
        Inversion::Likely(why) | Inversion::MayBe(why) => check(NAME, Outcome::Doubt, format!("{why}; {LOOK} ({INVERSION_SOURCE})")),
        Inversion::Unlikely => check(NAME, Outcome::Pass, "the sun is well up and the wind keeps the air mixed"),
    }
}

/// Chance of no rain from an hour on, over so many hours; none where the forecast ends before or tells no chance.
fn dry_chance(hours: &[SprayHour], place: usize, span_h: f64) -> Option<f64> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let needed = (span_h.ceil() as usize).max(1) + 1;
    let spell = hours.get(place..place + needed)?;
    // Hours must follow one another; the clock may go forward or back by one of them.
    let whole = spell.windows(2).all(|pair| {
        let minutes = pair[0].local.duration_until(pair[1].local).as_mins();
        (0..=120).contains(&minutes)
    });
    if !whole {
        return None;
    }
    spell.iter().try_fold(1.0, |dry, hour| match (hour.rain_chance, hour.rain_mm) {
        (_, Some(mm)) if mm >= WET_MM && hour.rain_chance.is_none() => Some(0.0),
        (Some(chance), _) => Some(dry * (1.0 - chance)),
        (None, Some(_) | None) => None,
    })
}

fn rain(hours: &[SprayHour], place: usize, rules: &LabelRules, aims: &HourAims, odds: &mut Odds) -> Check {
    const NAME: &str = "rain";
    let span_h = match &rules.rain_free_h {
        Said::NotChecked => return check(NAME, Outcome::NotChecked, "the time without rain is blank on the card"),
        Said::Words(words) => return check(NAME, Outcome::Doubt, format!("the label says: {words}")),
        Said::Nothing => 0.0,
        Said::Says(hours) => *hours,
    };
    let Some(dry) = dry_chance(hours, place, span_h) else {
        odds.lacking = true;
        return check(NAME, Outcome::NotChecked, format!("the forecast does not tell the rain of all {span_h:.0} h after"));
    };
    odds.times(dry);
    let words = format!("dry for {:.0} h after with a chance of {:.0} %", span_h.max(1.0), 100.0 * dry);
    let outcome = if dry >= aims.dry_odds {
        Outcome::Pass
    } else if dry < 0.5 {
        Outcome::Refuse
    } else {
        Outcome::Doubt
    };
    check(NAME, outcome, format!("{words}; {:.0} % is asked for", 100.0 * aims.dry_odds))
}

fn leaves(hours: &[SprayHour], place: usize, rules: &LabelRules) -> Check {
    const NAME: &str = "leaves";
    let wanted = match &rules.leaves {
        Said::NotChecked => return check(NAME, Outcome::NotChecked, "blank on the card"),
        Said::Nothing => return check(NAME, Outcome::Pass, "the label asks nothing of the leaves"),
        Said::Words(words) => return check(NAME, Outcome::Doubt, format!("the label says: {words}")),
        Said::Says(leaves) => *leaves,
    };
    let hour = &hours[place];
    let rained = |h: &SprayHour| h.rain_mm.is_some_and(|mm| mm >= WET_MM) || h.rain_chance.is_some_and(|c| c >= 0.5);
    let rain = rained(hour) || place.checked_sub(1).is_some_and(|before| rained(&hours[before]));
    let dew = hour.humidity.map(|humidity| humidity >= DEW_HUMIDITY);
    match (wanted, rain, dew) {
        (Leaves::Dry, true, _) => {
            check(NAME, Outcome::Refuse, "the label asks for dry leaves, and rain is forecast in or just before the hour")
        }
        (_, false, None) => check(NAME, Outcome::NotChecked, "the forecast tells no humidity: feel the leaves"),
        (Leaves::Dry, false, Some(true)) => check(NAME, Outcome::Doubt, "the label asks for dry leaves; dew is likely: feel them first"),
        (Leaves::Dry, false, Some(false)) => check(NAME, Outcome::Doubt, "the label asks for dry leaves; they should be: feel them first"),
        (Leaves::Wet, true, _) | (Leaves::Wet, false, Some(true)) => {
            check(NAME, Outcome::Doubt, "the label asks for wet leaves; they may be: feel them first")
        }
        (Leaves::Wet, false, Some(false)) => {
            check(NAME, Outcome::Doubt, "the label asks for wet leaves; they are likely dry: wet them first")
        }
    }
}

fn bees(hour: &SprayHour, rules: &LabelRules, aims: &HourAims) -> Check {
    const NAME: &str = "bees' hours";
    let rule = match &rules.bloom {
        Said::NotChecked => return check(NAME, Outcome::NotChecked, "what the label says of bloom is blank on the card"),
        other => other,
    };
    match (aims.bloom, rule) {
        (None, _) => check(NAME, Outcome::NotChecked, "nobody looked at what is in flower here and next door"),
        (Some(false), _) => check(NAME, Outcome::Pass, "nothing that bees visit is in flower"),
        (Some(true), Said::Says(BloomRule::Forbidden)) => check(NAME, Outcome::Refuse, "in flower, and the label forbids it at any hour"),
        (Some(true), Said::Says(BloomRule::NotWhileBeesForage)) => match hour.sun {
            None => check(NAME, Outcome::NotChecked, "the place is not known, so neither is the light"),
            Some(sun) if sun.now > 0.0 => check(NAME, Outcome::Refuse, "it is light, and bees may forage"),
            Some(_) if hour.local.hour() >= 12 => {
                check(NAME, Outcome::Pass, "after sunset and before midnight, the span of the University of California's bee classes")
            }
            Some(_) => check(NAME, Outcome::Doubt, "after midnight: a residue may still be wet when bees come out"),
        },
        (Some(true), Said::Words(words)) => check(NAME, Outcome::Doubt, format!("in flower; the label says: {words}")),
        (Some(true), _) => check(NAME, Outcome::Doubt, "in flower; the label says nothing of it"),
    }
}

fn owners_day(hour: &SprayHour, aims: &HourAims) -> Check {
    const NAME: &str = "the owner's days";
    match aims.forbidden_days {
        None => check(NAME, Outcome::NotChecked, "nobody asked on which days work is forbidden"),
        Some(days) => match days.iter().find(|day| is_day(day, hour.local.date())) {
            Some(day) => check(NAME, Outcome::Refuse, format!("the owner forbids work on {day}")),
            None => check(NAME, Outcome::Pass, "a day that the owner does not forbid"),
        },
    }
}

/// The hour to take: the best standing, then the best odds, then the first.
#[must_use]
pub fn best_hour(judged: &[HourJudged]) -> Option<&HourJudged> {
    let rank = |hour: &HourJudged| match hour.standing {
        Outcome::Pass => 0,
        Outcome::Doubt => 1,
        Outcome::NotChecked => 2,
        Outcome::Refuse => 3,
    };
    judged.iter().min_by(|a, b| {
        let odds = |hour: &HourJudged| -hour.odds.unwrap_or(0.0);
        rank(a).cmp(&rank(b)).then_with(|| odds(a).total_cmp(&odds(b))).then_with(|| a.local.cmp(&b.local))
    })
}
