//! Where to look, how, how many, in what order, on which days, and when to stop.

mod stop_rule;
mod walk;

pub use stop_rule::{StopReading, StopRow, StopRule, stop_rule};
pub use walk::Stop;

use crate::density::{DensityPrior, ThresholdRange};
use crate::fixed_precision::VarianceLaw;
use crate::sequential::SequentialError;
use groundlore_lore::trouble::{Clock, CountMethod, Method, Stage};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use walk::walk;

/// What part of the yard a stratum is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StratumKind {
    /// The poor patch itself.
    Core,
    /// The margin where poor turf meets good.
    Margin,
    /// The best turf.
    Sound,
}

/// A part of the yard to scout, with points that lie in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Stratum {
    /// Name for people.
    pub name: String,
    /// What part it is.
    pub kind: StratumKind,
    /// Area, m².
    pub area_m2: f64,
    /// Candidate points, `[longitude, latitude]` in decimal degrees, in the order in which they should be taken up.
    pub points_lonlat: Vec<[f64; 2]>,
}

/// Days on which counting tells most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Days {
    /// First day.
    pub earliest: Date,
    /// Best day.
    pub best: Date,
    /// Last day.
    pub latest: Date,
}

/// Days of a method's own season at this latitude, from the day asked.
///
/// # Errors
/// [`crate::clock::ClockError`] for days of the year or latitudes that cannot be.
///
/// # Example
/// ```
/// # use groundlore_plant_health::scouting::counting_days;
/// let (lore, _) = groundlore_lore::Lore::built_in_lenient(None);
/// let method = lore.troubles["white-grubs-annual"].count.as_ref().unwrap();
/// let days = counting_days(method, 43.0, jiff::civil::date(2015, 8, 15))?;
/// assert!(days.earliest < days.best && days.best < days.latest);
/// assert!(counting_days(method, -37.8, jiff::civil::date(2015, 8, 15))?.best.month() < 6);
/// # Ok::<(), groundlore_plant_health::clock::ClockError>(())
/// ```
pub fn counting_days(method: &CountMethod, latitude_deg: f64, on: Date) -> Result<Days, crate::clock::ClockError> {
    let (from, to) = (method.when.from.clone(), method.when.to.clone());
    let season = Stage {
        key: "counting".into(),
        name: "counting".into(),
        clock: Clock::Calendar { from, to, region: String::new(), source: method.when.source.clone() },
        treatable: false,
    };
    let window = crate::clock::window(&season, latitude_deg, on, |_| Ok(Vec::new()))?;
    Ok(Days::from_window(&window).unwrap_or(Days { earliest: on, best: on, latest: on }))
}

impl Days {
    /// Days of a window of the clock; none where the stage does not come in nine futures of ten.
    pub fn from_window(window: &crate::clock::Window) -> Option<Self> {
        Some(Self { earliest: window.p10?, best: window.p50?, latest: window.p90? })
    }
}

/// What a plan is made from.
#[derive(Debug, Clone)]
pub struct Wish<'a> {
    /// The parts of the yard.
    pub strata: &'a [Stratum],
    /// How the pest is counted.
    pub method: &'a CountMethod,
    /// How the variance rises with the mean, where this book's counts taught it, with where that comes from in words; none takes the method's
    /// own k.
    pub variance: Option<(VarianceLaw, String)>,
    /// Range of the threshold that matters most, per m²; none where no threshold is known.
    pub threshold: Option<ThresholdRange>,
    /// Standard error wanted at the threshold, as a share of the mean (0.25 is usual for scouting).
    pub precision: f64,
    /// Risk of each wrong call of the stop rule, 0–1 (0.1 is usual).
    pub risk: f64,
    /// Most samples a person will take on this yard.
    pub most: u32,
    /// Days from the clock; none where the clock does not know.
    pub days: Option<Days>,
    /// Where the walk starts, `[longitude, latitude]`; none starts at the first point.
    pub start_lonlat: Option<[f64; 2]>,
}

/// Why no plan can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ScoutingError {
    /// No strata, or none with points.
    #[error("no part of the yard was given with points to look at: draw the poor patch on the map, or mark at least one spot")]
    NothingToVisit,
    /// An area that is not above 0.
    #[error("the area of `{name}` is {area_m2} m2: it must be above 0")]
    Area {
        /// Stratum.
        name: String,
        /// Value seen.
        area_m2: f64,
    },
    /// Coordinates out of range.
    #[error(
        "a point of `{name}` is at longitude {lon}, latitude {lat}: decimal degrees, longitude −180 to 180 and latitude −90 to 90, e.g. -88.1, 43.0"
    )]
    Point {
        /// Stratum.
        name: String,
        /// Longitude seen.
        lon: f64,
        /// Latitude seen.
        lat: f64,
    },
    /// A wish out of range.
    #[error("{name} is {value}: {remedy}")]
    Wish {
        /// Which.
        name: &'static str,
        /// Value seen.
        value: f64,
        /// What would be right.
        remedy: &'static str,
    },
    /// The sample area is no area.
    #[error("the sample area of the method: {0}")]
    SampleArea(Box<groundlore_quantity::QuantityError>),
    /// The stop rule cannot be made.
    #[error("stop rule: {0}")]
    StopRule(#[from] SequentialError),
}

impl From<groundlore_quantity::QuantityError> for ScoutingError {
    fn from(error: groundlore_quantity::QuantityError) -> Self {
        Self::SampleArea(Box::new(error))
    }
}

/// Samples in one stratum.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Allotment {
    /// Stratum.
    pub stratum: String,
    /// What part it is.
    pub kind: StratumKind,
    /// Area, m².
    pub area_m2: f64,
    /// Samples to take there.
    pub samples: usize,
}

/// A scouting plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ScoutingPlan {
    /// How it is counted.
    pub method: Method,
    /// What one sample is, in words.
    pub sample: String,
    /// What is counted.
    pub counted: String,
    /// What this method cannot see.
    pub blind_to: String,
    /// Area of one sample, m²; none for traps and beats.
    pub sample_area_m2: Option<f64>,
    /// Samples by stratum.
    pub allotment: Vec<Allotment>,
    /// The walk.
    pub stops: Vec<Stop>,
    /// Metres walked.
    pub walk_m: f64,
    /// Minutes, least and most, counting and walking.
    pub minutes: (f64, f64),
    /// Days, if the clock knows.
    pub days: Option<Days>,
    /// Stop rules, one a stratum; empty where no threshold is known or the method has no area.
    pub stop_rules: Vec<StopRule>,
    /// What is taken for granted.
    pub assumes: Vec<String>,
}

/// Part of the samples that goes to each kind of stratum: margin and core first, fewest in the best turf (common practice).
const SHARE: [(StratumKind, f64); 3] = [(StratumKind::Margin, 0.45), (StratumKind::Core, 0.35), (StratumKind::Sound, 0.20)];
/// Fewest samples in any stratum: with one alone there is no spread to see.
const FEWEST: usize = 3;
/// Fewest samples on a yard (a sampling note that gives at least ten places; origin not given, so common practice).
const FEWEST_IN_ALL: usize = 10;
/// Walking with tools, metres a minute (common practice).
const WALK_M_PER_MINUTE: f64 = 50.0;

/// Makes a scouting plan.
///
/// # Errors
/// [`ScoutingError`] for strata without area or points, coordinates or wishes out of range.
///
/// # Example
/// ```
/// # use groundlore_plant_health::density::ThresholdRange;
/// # use groundlore_plant_health::scouting::*;
/// let (lore, _) = groundlore_lore::Lore::built_in_lenient(None);
/// let method = lore.troubles["white-grubs-annual"].count.as_ref().unwrap();
/// let margin = Stratum {
///     name: "margin".into(),
///     kind: StratumKind::Margin,
///     area_m2: 40.0,
///     points_lonlat: (0..20).map(|i| [-88.0 + 2e-5 * f64::from(i % 5), 43.0 + 2e-5 * f64::from(i / 5)]).collect(),
/// };
/// let sheet = plan(&Wish {
///     strata: &[margin], method, variance: None, threshold: Some(ThresholdRange { low_per_m2: 86.0, high_per_m2: 161.0 }),
///     precision: 0.25, risk: 0.1, most: 20, days: None, start_lonlat: None,
/// })?;
/// // (1/11 + 1/1.59)/0.25² = 11.5 flaps, and a stop rule that often needs fewer.
/// assert_eq!(sheet.stops.len(), 12);
/// assert_eq!(sheet.stop_rules[0].read(&[0, 0]).says, groundlore_plant_health::sequential::Stop::GoOn);
/// assert_eq!(sheet.stop_rules[0].read(&[0, 0, 1]).says, groundlore_plant_health::sequential::Stop::Low);
/// # Ok::<(), ScoutingError>(())
/// ```
pub fn plan(wish: &Wish) -> Result<ScoutingPlan, ScoutingError> {
    check(wish)?;
    let sample_area_m2 = wish.method.sample_area.as_ref().map(|q| q.in_unit("m2")).transpose()?;
    let mut assumes = Vec::new();
    let k = dispersion(wish.method, &mut assumes);
    let wanted = samples_wanted(wish, sample_area_m2, k, &mut assumes);
    let allotment = allot(wish.strata, wanted, &mut assumes);
    let stops = walk(wish, &allotment);
    let walk_m = stops.iter().map(|s| s.walk_m).sum::<f64>();
    let minutes = minutes(wish.method, stops.len(), walk_m, &mut assumes);
    let stop_rules = stop_rules(wish, sample_area_m2, k, &allotment, &mut assumes)?;
    assumes.push("Distances are straight lines between points: hedges, fences and steps are not seen.".into());
    if wish.days.is_none() {
        assumes.push(format!(
            "The clock gave no days; the method's own season is {} to {} ({}).",
            wish.method.when.from, wish.method.when.to, wish.method.when.source
        ));
    }
    Ok(ScoutingPlan {
        method: wish.method.method,
        sample: wish.method.sample.clone(),
        counted: wish.method.counted.clone(),
        blind_to: wish.method.blind_to.clone(),
        sample_area_m2,
        allotment,
        stops,
        walk_m,
        minutes,
        days: wish.days,
        stop_rules,
        assumes,
    })
}

fn check(wish: &Wish) -> Result<(), ScoutingError> {
    let outside = |name, value, remedy| Err(ScoutingError::Wish { name, value, remedy });
    if !(wish.precision > 0.0 && wish.precision <= 1.0) {
        return outside("the precision", wish.precision, "give the standard error as a share of the mean, e.g. 0.25");
    }
    if !(wish.risk > 0.0 && wish.risk < 0.5) {
        return outside("the risk", wish.risk, "give a share above 0 and below 0.5, e.g. 0.1");
    }
    if wish.most == 0 {
        return outside("the most samples", 0.0, "allow at least 1, e.g. 20");
    }
    for stratum in wish.strata {
        if !(stratum.area_m2 > 0.0 && stratum.area_m2.is_finite()) {
            return Err(ScoutingError::Area { name: stratum.name.clone(), area_m2: stratum.area_m2 });
        }
        for &[lon, lat] in &stratum.points_lonlat {
            if !((-180.0..=180.0).contains(&lon) && (-90.0..=90.0).contains(&lat)) {
                return Err(ScoutingError::Point { name: stratum.name.clone(), lon, lat });
            }
        }
    }
    if wish.strata.iter().all(|s| s.points_lonlat.is_empty()) {
        return Err(ScoutingError::NothingToVisit);
    }
    Ok(())
}

fn dispersion(method: &CountMethod, assumes: &mut Vec<String>) -> f64 {
    match &method.dispersion_k {
        Some(k) => {
            let middle = (k.low * k.high).sqrt();
            assumes.push(format!("Clumping k = {middle:.2} for this sample ({}).", k.source));
            middle
        }
        None => {
            let (low, high) = DensityPrior::UNKNOWN_K;
            assumes.push("Clumping k is not published for this sample: 0.95 taken, out of 0.3 to 3 (memory).".into());
            (low * high).sqrt()
        }
    }
}

/// Samples wanted in all, so that a mean in the middle of the threshold range is known to the precision wished.
fn samples_wanted(wish: &Wish, sample_area_m2: Option<f64>, k: f64, assumes: &mut Vec<String>) -> usize {
    let most = (wish.most as usize).max(1);
    let at_threshold = wish.threshold.zip(sample_area_m2).map(|(t, area)| (t.low_per_m2 * t.high_per_m2).sqrt() * area);
    let law = match &wish.variance {
        Some((law, words)) => {
            assumes.push(words.clone());
            *law
        }
        None => VarianceLaw::NegativeBinomial { k },
    };
    let wanted = match at_threshold.and_then(|mean| law.samples(mean, wish.precision)) {
        Some(n) => n.ceil() as usize,
        None => {
            assumes.push(format!("No threshold per area is known: {FEWEST_IN_ALL} places, as is usual (common practice)."));
            FEWEST_IN_ALL
        }
    };
    if wanted.max(FEWEST_IN_ALL) > most {
        assumes.push(format!("{} samples would give the precision wished; {most} are allowed.", wanted.max(FEWEST_IN_ALL)));
    }
    wanted.max(FEWEST_IN_ALL).min(most)
}

/// Shares the samples out: by kind, then by area within a kind; never more than the points at hand.
fn allot(strata: &[Stratum], wanted: usize, assumes: &mut Vec<String>) -> Vec<Allotment> {
    let usable = |s: &&Stratum| !s.points_lonlat.is_empty();
    let share = |kind: StratumKind| SHARE.iter().find(|(k, _)| *k == kind).map_or(0.0, |(_, s)| *s);
    let area_of = |kind: StratumKind| strata.iter().filter(usable).filter(|s| s.kind == kind).map(|s| s.area_m2).sum::<f64>();
    let present: f64 = SHARE.iter().filter(|(kind, _)| area_of(*kind) > 0.0).map(|(_, s)| s).sum();
    let allotment: Vec<Allotment> = strata
        .iter()
        .map(|s| {
            let part = share(s.kind) / present * s.area_m2 / area_of(s.kind).max(f64::MIN_POSITIVE);
            let target = ((wanted as f64 * part).round() as usize).max(FEWEST.min(wanted));
            Allotment { stratum: s.name.clone(), kind: s.kind, area_m2: s.area_m2, samples: target.min(s.points_lonlat.len()) }
        })
        .collect();
    for (allotted, stratum) in allotment.iter().zip(strata) {
        if allotted.samples == 0 {
            assumes.push(format!("`{}` has no points: it will stay unknown.", stratum.name));
        } else if allotted.samples == stratum.points_lonlat.len() && allotted.samples < FEWEST {
            assumes.push(format!("`{}` has only {} point(s).", stratum.name, allotted.samples));
        }
    }
    assumes.push("Most samples at the margin and in the poor patch, fewest in the best turf (common practice).".into());
    allotment
}

fn minutes(method: &CountMethod, stops: usize, walk_m: f64, assumes: &mut Vec<String>) -> (f64, f64) {
    let walking = walk_m / WALK_M_PER_MINUTE;
    assumes.push(format!("Walking with tools at {WALK_M_PER_MINUTE:.0} m a minute (common practice)."));
    let each = |q: &groundlore_quantity::Quantity| q.in_unit("min").unwrap_or(f64::NAN);
    let (low, high) = (each(&method.effort.low), each(&method.effort.high));
    if low.is_nan() || high.is_nan() {
        assumes.push("The minutes a sample takes are not known: only the walk is counted.".into());
        return (walking, walking);
    }
    assumes.push(format!("{low:.0} to {high:.0} min a sample ({}).", method.effort.source));
    (stops as f64 * low + walking, stops as f64 * high + walking)
}

fn stop_rules(
    wish: &Wish,
    sample_area_m2: Option<f64>,
    k: f64,
    allotment: &[Allotment],
    assumes: &mut Vec<String>,
) -> Result<Vec<StopRule>, ScoutingError> {
    let (Some(threshold), Some(area)) = (wish.threshold, sample_area_m2) else {
        assumes.push("No stop rule: it needs a threshold and a sample with an area.".into());
        return Ok(Vec::new());
    };
    let rules = allotment.iter().filter(|a| a.samples > 0).map(|a| {
        let most = (a.samples as u32).saturating_mul(2).clamp(4, wish.most.max(4));
        stop_rule(&a.stratum, &threshold, area, k, wish.risk, most)
    });
    Ok(rules.collect::<Result<_, _>>()?)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::walk::{metres, two_opt};
    use super::*;
    use groundlore_lore::Lore;

    fn strip(name: &str, kind: StratumKind, area_m2: f64, points: usize) -> Stratum {
        // A zigzag some 2 m wide, out of walking order on purpose.
        let point = |i: usize| {
            let j = (i * 7) % points.max(1);
            [-88.0 + 1e-5 * j as f64, 43.0 + 2e-5 * (j % 2) as f64]
        };
        Stratum { name: name.into(), kind, area_m2, points_lonlat: (0..points).map(point).collect() }
    }

    fn yard() -> Vec<Stratum> {
        vec![
            strip("poor patch", StratumKind::Core, 30.0, 16),
            strip("its margin", StratumKind::Margin, 45.0, 16),
            strip("best turf", StratumKind::Sound, 400.0, 16),
        ]
    }

    fn method() -> CountMethod {
        Lore::built_in_lenient(None).0.troubles["white-grubs-annual"].count.clone().unwrap()
    }

    const THRESHOLD: ThresholdRange = ThresholdRange { low_per_m2: 86.1, high_per_m2: 161.5 };

    fn wish<'a>(strata: &'a [Stratum], method: &'a CountMethod) -> Wish<'a> {
        Wish {
            strata,
            method,
            variance: None,
            threshold: Some(THRESHOLD),
            precision: 0.25,
            risk: 0.1,
            most: 24,
            days: None,
            start_lonlat: None,
        }
    }

    #[test]
    fn most_samples_go_to_margin_and_core_and_fewest_to_the_best_turf() {
        let (strata, method) = (yard(), method());
        let plan = plan(&wish(&strata, &method)).unwrap();
        let of = |kind| plan.allotment.iter().find(|a| a.kind == kind).unwrap().samples;
        assert!(of(StratumKind::Margin) >= of(StratumKind::Core));
        assert!(of(StratumKind::Core) >= of(StratumKind::Sound));
        assert!(of(StratumKind::Sound) >= FEWEST);
        assert_eq!(plan.stops.len(), plan.allotment.iter().map(|a| a.samples).sum::<usize>());
    }

    #[test]
    fn the_walk_visits_every_point_once_and_is_no_longer_than_the_order_given() {
        let (strata, method) = (yard(), method());
        let plan = plan(&wish(&strata, &method)).unwrap();
        let given: Vec<[f64; 2]> = strata.iter().zip(&plan.allotment).flat_map(|(s, a)| s.points_lonlat[..a.samples].to_vec()).collect();
        let length: f64 = given.windows(2).map(|w| metres(w[0], w[1])).sum();
        assert!(plan.walk_m <= length + 1e-9, "{} {length}", plan.walk_m);
        let mut numbers: Vec<usize> = plan.stops.iter().map(|s| s.number).collect();
        numbers.dedup();
        assert_eq!(numbers, (1..=given.len()).collect::<Vec<_>>());
    }

    #[test]
    fn two_opt_uncrosses_a_crossed_walk() {
        let square = [[0.0, 0.0], [1e-4, 1e-4], [1e-4, 0.0], [0.0, 1e-4]];
        let order = two_opt(vec![0, 1, 2, 3], &square, square[0]);
        let length: f64 = order.windows(2).map(|w| metres(square[w[0]], square[w[1]])).sum();
        assert!(length < 3.0 * metres(square[0], square[2]) + 1e-6, "{order:?}");
    }

    #[test]
    fn metres_agree_with_the_length_of_a_degree() {
        assert!((metres([0.0, 0.0], [0.0, 1.0]) - 111_195.0).abs() < 1.0);
        assert!((metres([179.9999, 0.0], [-179.9999, 0.0]) - 22.239).abs() < 0.01);
    }

    #[test]
    fn each_stratum_has_its_own_stop_rule_with_honest_odds() {
        let (strata, method) = (yard(), method());
        let plan = plan(&wish(&strata, &method)).unwrap();
        assert_eq!(plan.stop_rules.len(), 3);
        for rule in &plan.stop_rules {
            assert!((rule.low_per_sample - 8.0).abs() < 0.01 && (rule.high_per_sample - 15.0).abs() < 0.01);
            assert!(rule.wrong_at_low < 0.3 && rule.wrong_at_high < 0.3, "{rule:?}");
            assert_eq!(rule.rows.len(), rule.most as usize);
            assert!(rule.rows.iter().all(|r| r.few_at_most.is_none_or(|few| few < r.many_from)));
        }
    }

    #[test]
    fn what_is_taken_for_granted_is_listed() {
        let (strata, method) = (yard(), method());
        let plan = plan(&wish(&strata, &method)).unwrap();
        let said = plan.assumes.join(" ");
        for word in ["k =", "common practice", "straight lines", "min a sample"] {
            assert!(said.contains(word), "{word}: {said}");
        }
        assert!(plan.minutes.0 < plan.minutes.1);
    }

    #[test]
    fn no_threshold_gives_the_usual_ten_and_no_stop_rule() {
        let (strata, method) = (yard(), method());
        let plan = plan(&Wish { threshold: None, ..wish(&strata, &method) }).unwrap();
        assert!(plan.stop_rules.is_empty() && plan.stops.len() >= FEWEST_IN_ALL);
    }

    #[test]
    fn wrong_wishes_are_named() {
        let (strata, method) = (yard(), method());
        let error = |wish: Wish| super::plan(&wish).unwrap_err().to_string();
        assert!(error(wish(&[], &method)).contains("poor patch"));
        assert!(error(Wish { precision: 25.0, ..wish(&strata, &method) }).contains("0.25"));
        assert!(error(Wish { risk: 0.7, ..wish(&strata, &method) }).contains("0.1"));
        assert!(error(Wish { most: 0, ..wish(&strata, &method) }).contains("at least 1"));
        let mut far = yard();
        far[0].points_lonlat[0] = [43.0, -188.0];
        assert!(error(wish(&far, &method)).contains("-188"));
        let mut flat = yard();
        flat[1].area_m2 = 0.0;
        assert!(error(wish(&flat, &method)).contains("its margin"));
    }
}
