//! Treat, leave, or count n more: the odds of being wrong and the money on either side.
//!
//! The chance of injury rises with density over the published threshold range; a treatment takes away its share of the pest
//! and costs its price; a further count is worth what it can save by changing the answer. All of it runs over joint draws of
//! density, species and efficacy, so that nothing uncertain enters as a point.

mod by_money;
mod doubt;
mod injury;
mod money;
mod reasons;
mod regret;
mod sensitivity;
#[cfg(test)]
mod tests;
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests_of_costs;
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests_of_timing;
mod timing;
mod value_of_counting;
mod warrant;
mod worth;

pub use doubt::OddsWrong;
pub use regret::{CostPoint, Course, RegretTable, State};
pub use sensitivity::Change;
pub use timing::{Act, CourseKind, NotReckoned, Reach, TimedAct, Timing, injury_days};
pub use value_of_counting::CountWorth;
pub use warrant::Warrant;
pub use worth::{ToCount, WorthPoint, WorthRow, WorthRule, stop_by_worth};

use crate::belief::Belief;
use crate::density::{DensityPosterior, SpeciesSplit, SpeciesThreshold, StratumDensity, ThresholdRange};
use by_money::by_money;
use groundlore_lore::provenance::Source;
use injury::World;
use jiff::civil::Date;
use money::view;
use reasons::reasons;
use serde::{Deserialize, Serialize};
use timing::Ways;

/// Yes, no, or nobody looked.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seen {
    /// Looked, and it is so.
    Yes,
    /// Looked, and it is not so.
    No,
    /// Nobody looked.
    #[default]
    NotLooked,
}

/// State of the turf.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Turf {
    /// Watered through dry weeks.
    pub watered: Seen,
    /// Dense and growing well.
    pub vigorous: Seen,
}

/// Density from which skunks and raccoons may start to dig for grubs: 4 to 5 per ft², New England. Source: the text of the UMass
/// Extension best management practices for lawn and landscape turf (key `umass-bmp-turf` of lore).
pub fn digging_for_grubs() -> (ThresholdRange, Source) {
    const FT2_PER_M2: f64 = 10.763_910_416_709_722;
    let range = ThresholdRange { low_per_m2: 4.0 * FT2_PER_M2, high_per_m2: 5.0 * FT2_PER_M2 };
    (range, Source(vec!["umass-bmp-turf".into()]))
}

/// Animals that dig for the pest.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Digging {
    /// Whether fresh digging was seen.
    pub seen: Seen,
    /// Density per m² from which animals start to dig, with its source; none where no figure is known.
    pub starts_at: Option<(ThresholdRange, Source)>,
}

/// Prices, in the firm's money. All are the user's own; a blank stays unknown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct Prices {
    /// Repair of injured turf, per m².
    pub repair_per_m2: Option<f64>,
    /// Treatment, per m² (material and time).
    pub treatment_per_m2: Option<f64>,
    /// Treatment, for the visit whatever the area.
    pub treatment_visit: Option<f64>,
    /// One more sample.
    pub count_each: Option<f64>,
    /// Coming back to count, whatever the number.
    pub count_visit: Option<f64>,
    /// What the firm sets a treatment's side effects at (bees, soil life, resistance, trust), per m²; blank is not priced.
    pub side_effects_per_m2: Option<f64>,
    /// The same, a treatment, whatever the area.
    pub side_effects_visit: Option<f64>,
}

/// A case to decide.
#[derive(Debug, Clone)]
pub struct Case<'a> {
    /// Posterior of density.
    pub density: &'a DensityPosterior,
    /// Which species the finds are.
    pub split: &'a SpeciesSplit,
    /// Thresholds of the species.
    pub thresholds: &'a [SpeciesThreshold],
    /// State of the turf.
    pub turf: Turf,
    /// Digging.
    pub digging: &'a Digging,
    /// Belief about the control that would be used; none where none is chosen. Where `timing` is given, the belief of each time stands
    /// there and this one is not read.
    pub efficacy: Option<&'a Belief>,
    /// How much of what the control can do is reached; as it stands where `timing` is given.
    pub reach: Reach,
    /// The times at which one may act; none takes treating as done now and in time.
    pub timing: Option<&'a Timing<'a>>,
    /// Whether a label card for that control was typed in.
    pub label_card: bool,
    /// Prices.
    pub prices: Prices,
    /// Area of the largest patch of poor turf, m², if it was drawn.
    pub largest_patch_m2: Option<f64>,
    /// Seed of the draws.
    pub seed: u64,
}

/// Why a case cannot be reckoned at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DecisionError {
    /// A price below 0 or not a number.
    #[error("the price of {what} is {value}: a price is 0 or more, e.g. 0.15 per m2")]
    Price {
        /// Which price.
        what: &'static str,
        /// Value seen.
        value: f64,
    },
    /// A threshold range that is none.
    #[error("the threshold of {species} runs from {low} to {high} per m2: both must be above 0 and high not below low")]
    Threshold {
        /// Species.
        species: String,
        /// Low end.
        low: f64,
        /// High end.
        high: f64,
    },
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "answer", rename_all = "kebab-case")]
pub enum Answer {
    /// Treat these strata.
    Treat {
        /// Names of the strata where treating pays.
        strata: Vec<String>,
        /// The published or measured figures that allow the answer.
        warrant: Warrant,
    },
    /// Leave it.
    Leave,
    /// Count more before deciding.
    CountMore {
        /// Where.
        stratum: String,
        /// How many samples.
        samples: u32,
    },
    /// It cannot be said, and what to do about it.
    CannotSay {
        /// What would make an answer possible.
        remedy: String,
    },
}

impl Answer {
    /// The answer in a few words.
    pub fn words(&self) -> String {
        match self {
            Self::Treat { strata, .. } => format!("treat ({})", strata.join(", ")),
            Self::Leave => "leave".into(),
            Self::CountMore { stratum, samples } => format!("count {samples} more in {stratum}"),
            Self::CannotSay { .. } => "cannot say".into(),
        }
    }
}

/// One reason, with its figure and source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reason {
    /// What.
    pub text: String,
    /// The figure, with its unit.
    pub figure: String,
    /// Where it comes from.
    pub source: String,
}

fn reason(text: impl Into<String>, figure: impl Into<String>, source: impl Into<String>) -> Reason {
    Reason { text: text.into(), figure: figure.into(), source: source.into() }
}

/// Expected costs, in the firm's money, over the strata looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Costs {
    /// Leave: expected repair.
    pub leave: f64,
    /// Treat where it pays: price of treatment and the repair still expected.
    pub treat: f64,
    /// The best further count and the better of the two after it; none where no count could help or prices are missing.
    pub count_more: Option<f64>,
    /// Treating now; none where that cannot be reckoned, or the times are not told apart.
    pub treat_now: Option<f64>,
    /// Treating at the next stage that the control works on; none likewise.
    pub treat_at_stage: Option<f64>,
    /// Coming back to count, and the better of the two then; none where counting has no price or no time for it is left.
    pub count_again: Option<f64>,
    /// What a perfectly known density would save at most.
    pub perfect_knowledge: f64,
    /// What telling the species in the hand would save on average; none where it was told, or there is but one.
    pub species_told: Option<f64>,
}

/// How one stratum stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StratumView {
    /// Name.
    pub name: String,
    /// Chance of injury if left, 0–1.
    pub p_injury: f64,
    /// Chance of injury if treated; none where no control is chosen.
    pub p_injury_treated: Option<f64>,
    /// Expected saving by treating it (repair saved less treatment, without the visit); none without prices.
    pub gain: Option<f64>,
    /// Chance that the truth asks for the other answer here, over density, species and control; none without prices.
    pub p_wrong: Option<f64>,
}

/// The verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// The answer.
    pub answer: Answer,
    /// The treatment that the sums and odds speak of; none without prices or a control.
    pub act: Option<TimedAct>,
    /// Where the answer is to count more: the day to come back for it; none means now.
    pub count_on: Option<Date>,
    /// Chance that the truth asks for another answer, 0–1, over the doubt in density, in species and in the control; none where there is
    /// no answer.
    pub p_wrong: Option<f64>,
    /// The same by where the doubt lies, for the stratum most in doubt; none without prices.
    pub odds: Option<OddsWrong>,
    /// Chance of injury if nothing is done, weighted by area over the strata looked at.
    pub p_injury: Option<f64>,
    /// Money on either side; none where prices are missing.
    pub costs: Option<Costs>,
    /// Density per m² at which treating just pays for itself; none where it never does or prices are missing.
    pub break_even_per_m2: Option<f64>,
    /// Costs of leaving and treating along density; empty without prices.
    pub cost_curve: Vec<CostPoint>,
    /// Each course in each state of the ground; none without prices.
    pub regret: Option<RegretTable>,
    /// What would change the verdict, what does first; empty without prices.
    pub changes: Vec<Change>,
    /// What further samples are worth, by stratum and number; empty where counting has no price.
    pub further_counts: Vec<CountWorth>,
    /// By stratum.
    pub strata: Vec<StratumView>,
    /// Strata that nobody looked at: the verdict does not speak for them.
    pub not_looked_at: Vec<String>,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Line by line.
    pub working: Vec<String>,
}

/// A treatment costs more than its price (bees, resistance, trust): it is not advised while the odds that the density is too low
/// for it are above this and counting more can still tell. A rule of this house.
const MOST_WRONG: f64 = 1.0 / 3.0;
/// Samples in a stratum after which more of them are not asked for to settle the odds alone.
const ENOUGH: usize = 24;
/// Share of the expected cost that a further count must save, beyond its own price, to be worth the delay (a rule of this house).
const WORTH_A_DELAY: f64 = 0.02;
/// Without prices: odds at which one may act or leave.
const SURE: f64 = 0.90;

/// Decides a case.
///
/// # Errors
/// [`DecisionError`] for prices below 0 or threshold ranges that are none. What is merely unknown is no error: the answer is
/// then *count more* or *cannot say*, with the remedy.
///
/// # Example
/// ```
/// # use groundlore_plant_health::density::*;
/// # use groundlore_plant_health::decision::*;
/// # use groundlore_lore::provenance::{Source, Standing};
/// let margin = StratumCounts {
///     name: "margin".into(),
///     area_m2: 60.0,
///     samples: vec![Sample { found: 0, area_m2: 0.0929 }; 12],
///     ..StratumCounts::default()
/// };
/// let threshold = SpeciesThreshold {
///     species: "white grubs".into(), told_by: None, region: "anywhere".into(), condition: None,
///     range: ThresholdRange { low_per_m2: 86.0, high_per_m2: 161.0 }, source: Source(vec!["some-key".into()]),
///     standing: Standing::Read,
/// };
/// let prior = DensityPrior::about(&threshold.range, Some((1.2, 2.0)));
/// let density = posterior(&[margin], &prior, 0.9).unwrap();
/// let split = SpeciesSplit::new(&[("white grubs".into(), 1.0)], &density.species);
/// let verdict = decide(&Case {
///     density: &density, split: &split, thresholds: &[threshold], turf: Turf::default(), digging: &Digging::default(),
///     efficacy: None, reach: Reach::default(), timing: None, label_card: false, prices: Prices::default(), largest_patch_m2: None,
///     seed: 1,
/// })?;
/// assert_eq!(verdict.answer, Answer::Leave);
/// # Ok::<(), DecisionError>(())
/// ```
pub fn decide(case: &Case) -> Result<Verdict, DecisionError> {
    check(case)?;
    let mut verdict = Verdict {
        answer: Answer::CannotSay { remedy: String::new() },
        act: None,
        count_on: None,
        p_wrong: None,
        p_injury: None,
        odds: None,
        costs: None,
        break_even_per_m2: None,
        cost_curve: Vec::new(),
        regret: None,
        changes: Vec::new(),
        further_counts: Vec::new(),
        strata: Vec::new(),
        not_looked_at: case.density.not_looked_at(),
        reasons: Vec::new(),
        working: Vec::new(),
    };
    if let Some(remedy) = cannot_even_start(case) {
        verdict.answer = Answer::CannotSay { remedy };
        return Ok(verdict);
    }
    let mut ways = Ways::of(case);
    if let Some(chosen) = ways.chosen.take() {
        verdict.reasons = reasons(&chosen.case, &chosen.world);
        verdict.strata.clone_from(&chosen.views);
        verdict.p_injury = Some(over_area(&verdict.strata, chosen.curves.iter().map(|(s, _)| s.area_m2)));
        by_money(&chosen, &ways, &mut verdict);
    } else {
        let case = &without_prices(case);
        let world = World::draw(case);
        verdict.reasons = reasons(case, &world);
        let curves = timing::curves(case, &world);
        verdict.strata = curves.iter().map(|(stratum, curve)| view(stratum, curve, None)).collect();
        verdict.p_injury = Some(over_area(&verdict.strata, curves.iter().map(|(s, _)| s.area_m2)));
        by_odds(case, &mut verdict);
    }
    Ok(verdict)
}

/// Chance of injury over all the ground, by area.
fn over_area(strata: &[StratumView], areas: impl Iterator<Item = f64> + Clone) -> f64 {
    strata.iter().zip(areas.clone()).map(|(v, area)| v.p_injury * area).sum::<f64>() / areas.sum::<f64>()
}

/// The case where odds alone decide: with the control at the first time at which something is known of it.
fn without_prices<'a>(case: &Case<'a>) -> Case<'a> {
    let Some(timing) = case.timing else { return case.clone() };
    let acts = [Some(&timing.now), timing.at_stage.as_ref()];
    let known = acts.into_iter().flatten().find(|act| act.efficacy.is_some_and(|b| b.observations > 0));
    let reach = known.map_or(Reach::default(), |act| timing.reach(act));
    Case { efficacy: known.and_then(|act| act.efficacy), reach, ..case.clone() }
}

fn check(case: &Case) -> Result<(), DecisionError> {
    let Prices { repair_per_m2, treatment_per_m2, treatment_visit, count_each, count_visit, side_effects_per_m2, side_effects_visit } =
        case.prices;
    let prices = [
        ("repair", repair_per_m2),
        ("treatment", treatment_per_m2),
        ("the visit to treat", treatment_visit),
        ("one more count", count_each),
        ("the visit to count", count_visit),
        ("side effects", side_effects_per_m2),
        ("side effects of a treatment", side_effects_visit),
    ];
    for (what, price) in prices {
        if let Some(value) = price.filter(|p| !(p.is_finite() && *p >= 0.0)) {
            return Err(DecisionError::Price { what, value });
        }
    }
    for threshold in case.thresholds {
        let ThresholdRange { low_per_m2: low, high_per_m2: high } = threshold.range;
        if !(low > 0.0 && high >= low && high.is_finite()) {
            return Err(DecisionError::Threshold { species: threshold.species.clone(), low, high });
        }
    }
    Ok(())
}

/// What stands in the way of any answer, as the remedy; none where nothing does.
fn cannot_even_start(case: &Case) -> Option<String> {
    if case.density.looked_at().next().is_none() {
        return Some("Nobody has counted yet: scout first, at the margin of the poor patch and in it.".into());
    }
    if case.thresholds.is_empty() {
        return Some(
            "No figure is known for how many of these a lawn can bear. Watch how the grass looks and grows, and ask the extension office."
                .into(),
        );
    }
    let shares = case.split.shares();
    let without: Vec<&String> =
        shares.iter().filter(|(s, w)| **w > 0.2 && !case.thresholds.iter().any(|t| &t.species == *s)).map(|(s, _)| s).collect();
    if shares.is_empty() {
        return Some("It is not known which species this region has: tell the finds in the hand, or give the region's species.".into());
    }
    (!without.is_empty()).then(|| {
        let names: Vec<&str> = without.iter().map(|s| s.as_str()).collect();
        format!("No threshold is known for {}, which makes up much of what was found: ask the extension office.", names.join(", "))
    })
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// *Treat* where there is a warrant for it, else what is lacking.
fn treat_or_ask(case: &Case, strata: Vec<String>, verdict: &mut Verdict) -> Answer {
    match Warrant::seek(case) {
        Ok(warrant) => {
            if !case.label_card {
                verdict.reasons.push(reason(
                    "No label card was entered: enter the label before any amount is reckoned",
                    "not checked",
                    "label",
                ));
            }
            Answer::Treat { strata, warrant }
        }
        Err(lacks) => {
            verdict.p_wrong = None;
            Answer::CannotSay {
                remedy: format!(
                    "The sums lean to treating, but {}. Find a published figure for your region, or ask the extension office, before anything is applied.",
                    lacks.join("; ")
                ),
            }
        }
    }
}

/// Without prices: sure enough either way, or count more.
fn by_odds(case: &Case, verdict: &mut Verdict) {
    let p = verdict.strata.iter().map(|v| v.p_injury).fold(0.0, f64::max);
    verdict.reasons.push(reason(
        "Prices or a control are not given, so the odds alone decide: treat from nine in ten, leave up to one in ten",
        format!("{:.0} % chance of injury in the worst part", 100.0 * p),
        "the counts",
    ));
    verdict.working.push(format!("worst part: P(injury) = {p:.3}; bounds {:.2} and {SURE:.2}", 1.0 - SURE));
    if p <= 1.0 - SURE {
        verdict.p_wrong = Some(p);
        verdict.answer = Answer::Leave;
    } else if p >= SURE && case.efficacy.is_some() {
        verdict.p_wrong = Some(1.0 - p);
        let strata = verdict.strata.iter().filter(|v| v.p_injury >= SURE).map(|v| v.name.clone()).collect();
        verdict.answer = treat_or_ask(case, strata, verdict);
    } else if p >= SURE && case.timing.is_some() {
        verdict.answer = Answer::CannotSay {
            remedy: "There are enough of them to injure, but nobody has seen what the control does to the stage that is here, and none that it works on lies ahead this season: water the turf, and plan the next season's stage."
                .into(),
        };
    } else if p >= SURE {
        verdict.answer = Answer::CannotSay {
            remedy: "There are enough of them to injure. Choose a control (and enter prices) to see whether treating pays.".into(),
        };
    } else {
        let (stratum, samples) = narrowing_count(case, &verdict.strata);
        verdict.answer = if samples == 0 {
            Answer::CannotSay {
                remedy:
                    "More counts would not settle it: the threshold itself is the doubt. Tell the species in the hand, and enter prices."
                        .into(),
            }
        } else {
            Answer::CountMore { stratum, samples }
        };
    }
}

/// Where to count, and how many more, so that the mean is known to a quarter of itself; 0 where it already is.
fn narrowing_count(case: &Case, views: &[StratumView]) -> (String, u32) {
    const PRECISION: f64 = 0.25;
    let doubt = |s: &&StratumDensity| {
        let p = views.iter().find(|v| v.name == s.name).map_or(0.0, |v| v.p_injury);
        p.min(1.0 - p)
    };
    let Some(stratum) = case.density.looked_at().max_by(|a, b| doubt(a).total_cmp(&doubt(b))) else {
        return (String::new(), 0);
    };
    let mean = stratum.estimate.map_or(1.0, |e| e.median_per_m2) * stratum.sample_area_m2.unwrap_or(1.0);
    let wanted = crate::counts::samples_for_precision(mean.max(0.05), case.density.k, PRECISION).unwrap_or(10.0);
    let more = (wanted.ceil() - stratum.samples as f64).clamp(0.0, 40.0);
    (stratum.name.clone(), more as u32)
}
