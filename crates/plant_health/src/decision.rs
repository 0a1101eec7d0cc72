//! Treat, leave, or count n more: the odds of being wrong and the money on either side.
//!
//! The chance of injury rises with density over the published threshold range; a treatment takes away its share of the pest
//! and costs its price; a further count is worth what it can save by changing the answer. All of it runs over joint draws of
//! density, species and efficacy, so that nothing uncertain enters as a point.

use crate::belief::{Belief, normal_quantile};
use crate::density::{DensityGrid, DensityPosterior, Ramp, SpeciesSplit, SpeciesThreshold, StratumDensity, ThresholdRange, shuffled};
use groundlore_lore::provenance::{Source, Standing};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use serde::{Deserialize, Serialize};
use statrs::function::gamma::ln_gamma;

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
    /// Belief about the control that would be used; none where none is chosen.
    pub efficacy: Option<&'a Belief>,
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

/// Permission to answer *treat*: it exists only where the thresholds and the efficacy behind the answer were read in a
/// publication or measured here. There is no other way to make one, so a figure from memory or common practice alone can
/// never yield *treat*.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Warrant {
    thresholds: Vec<String>,
    efficacy: Vec<String>,
}

impl Warrant {
    /// Shares of species below this may rest on a remembered threshold.
    const SLIGHT: f64 = 0.05;

    /// A warrant where every species that makes up 5 % or more has a published threshold, and the efficacy is grounded.
    fn seek(case: &Case) -> Result<Self, Vec<String>> {
        let mut lacks = Vec::new();
        let mut thresholds = Vec::new();
        for (species, share) in case.split.shares() {
            let Some(threshold) = case.thresholds.iter().find(|t| t.species == species) else { continue };
            if threshold.standing > Standing::Recalled {
                thresholds.push(format!("{species}: {}", threshold.source));
            } else if share >= Self::SLIGHT {
                lacks.push(format!("the threshold of {species} rests on {} alone", threshold.source));
            }
        }
        if thresholds.is_empty() && lacks.is_empty() {
            lacks.push("no published threshold is known".into());
        }
        match case.efficacy {
            Some(belief) if belief.grounded => {}
            Some(_) => lacks.push("what the control does rests on memory or common practice alone".into()),
            None => lacks.push("no control is chosen".into()),
        }
        let efficacy = case.efficacy.map(|b| b.rests_on.clone()).unwrap_or_default();
        if lacks.is_empty() { Ok(Self { thresholds, efficacy }) } else { Err(lacks) }
    }

    /// The published thresholds it rests on.
    pub fn thresholds(&self) -> &[String] {
        &self.thresholds
    }

    /// What the efficacy rests on.
    pub fn efficacy(&self) -> &[String] {
        &self.efficacy
    }
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
    /// Chance that its true density asks for the other answer; none without prices.
    pub p_wrong: Option<f64>,
}

/// The verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// The answer.
    pub answer: Answer,
    /// Chance that the true density lies on the other side of what the answer supposes, 0–1; none where there is no answer.
    pub p_wrong: Option<f64>,
    /// Chance of injury if nothing is done, weighted by area over the strata looked at.
    pub p_injury: Option<f64>,
    /// Money on either side; none where prices are missing.
    pub costs: Option<Costs>,
    /// Density per m² at which treating just pays for itself; none where it never does or prices are missing.
    pub break_even_per_m2: Option<f64>,
    /// By stratum.
    pub strata: Vec<StratumView>,
    /// Strata that nobody looked at: the verdict does not speak for them.
    pub not_looked_at: Vec<String>,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Line by line.
    pub working: Vec<String>,
}

/// Joint draws.
const DRAWS: usize = 800;
/// Joint draws where one species is taken by itself.
const FEW_DRAWS: usize = 100;
/// Numbers of further samples that are weighed.
const MORE: [u32; 7] = [1, 2, 4, 6, 10, 16, 24];
/// A treatment costs more than its price (bees, resistance, trust): it is not advised while the odds that the density is too low
/// for it are above this and counting more can still tell. A rule of this house.
const MOST_WRONG: f64 = 1.0 / 3.0;
/// Samples in a stratum after which more of them are not asked for to settle the odds alone.
const ENOUGH: usize = 24;
/// Share of the expected cost that a further count must save, beyond its own price, to be worth the delay (a rule of this house).
const WORTH_A_DELAY: f64 = 0.02;
/// Without prices: odds at which one may act or leave.
const SURE: f64 = 0.90;

/// Factor by which good or poor turf may move the ends of a threshold range. Common practice (irrigated lawns stand about
/// twice the grubs that dry ones do): it widens the range and never moves both ends.
const TURF_FACTOR: f64 = 2.0;

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
///     efficacy: None, label_card: false, prices: Prices::default(), largest_patch_m2: None,
///     seed: 1,
/// })?;
/// assert_eq!(verdict.answer, Answer::Leave);
/// # Ok::<(), DecisionError>(())
/// ```
pub fn decide(case: &Case) -> Result<Verdict, DecisionError> {
    check(case)?;
    let mut verdict = Verdict {
        answer: Answer::CannotSay { remedy: String::new() },
        p_wrong: None,
        p_injury: None,
        costs: None,
        break_even_per_m2: None,
        strata: Vec::new(),
        not_looked_at: case.density.not_looked_at(),
        reasons: Vec::new(),
        working: Vec::new(),
    };
    if let Some(remedy) = cannot_even_start(case) {
        verdict.answer = Answer::CannotSay { remedy };
        return Ok(verdict);
    }
    let world = World::draw(case);
    verdict.reasons = reasons(case, &world);
    let money = Money::read(case);
    let curves: Vec<(&StratumDensity, Curve)> =
        case.density.looked_at().filter_map(|s| s.grid.as_ref().map(|g| (s, Curve::new(&world, g)))).collect();
    verdict.strata = curves.iter().map(|(stratum, curve)| view(stratum, curve, money.as_ref())).collect();
    let area: f64 = curves.iter().map(|(s, _)| s.area_m2).sum();
    verdict.p_injury = Some(verdict.strata.iter().zip(&curves).map(|(v, (s, _))| v.p_injury * s.area_m2).sum::<f64>() / area);
    match money {
        Some(money) => by_money(case, &world, &money, &curves, &mut verdict),
        None => by_odds(case, &mut verdict),
    }
    Ok(verdict)
}

fn check(case: &Case) -> Result<(), DecisionError> {
    let Prices { repair_per_m2, treatment_per_m2, treatment_visit, count_each, count_visit } = case.prices;
    let prices = [
        ("repair", repair_per_m2),
        ("treatment", treatment_per_m2),
        ("the visit to treat", treatment_visit),
        ("one more count", count_each),
        ("the visit to count", count_visit),
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
            "No figure is known for how many of these a lawn can bear. Watch how the grass looks and grows, and ask the extension office.".into(),
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

/// The ends of a threshold as this turf may move them.
///
/// A threshold printed for a condition of the ground is already that turf's own, and stays.
fn on_this_turf(threshold: &SpeciesThreshold, turf: Turf) -> ThresholdRange {
    let mut range = threshold.range;
    if range.high_per_m2 <= range.low_per_m2 * 1.0001 {
        // A single printed figure is no step: a quarter either way.
        range = ThresholdRange { low_per_m2: range.low_per_m2 / 1.25, high_per_m2: range.high_per_m2 * 1.25 };
    }
    if threshold.says_watered().is_some() {
        return range;
    }
    if turf.watered == Seen::Yes && turf.vigorous != Seen::No {
        range.high_per_m2 *= TURF_FACTOR;
    }
    if turf.watered == Seen::No || turf.vigorous == Seen::No {
        range.low_per_m2 /= TURF_FACTOR;
    }
    range
}

/// The draws that all strata share: one mixed threshold and one efficacy each.
struct World {
    mixed: Vec<Ramp>,
    efficacy: Option<Vec<f64>>,
    digging: Option<ThresholdRange>,
}

impl World {
    fn draw(case: &Case) -> Self {
        Self::draw_some(case, DRAWS)
    }

    fn draw_some(case: &Case, draws: usize) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(case.seed);
        let ranges: Vec<Option<ThresholdRange>> = case
            .split
            .species
            .iter()
            .map(|s| case.thresholds.iter().find(|t| &t.species == s).map(|t| on_this_turf(t, case.turf)))
            .collect();
        let mixed = (0..draws).map(|_| Ramp::new(mixed_threshold(&case.split.draw(&mut rng), &ranges))).collect();
        let efficacy = case.efficacy.map(|belief| {
            let order = shuffled(draws, &mut rng);
            order.iter().map(|&i| belief.at_score(normal_quantile((i as f64 + 0.5) / draws as f64))).collect()
        });
        // Digging counts where it was seen; where nobody looked it is told in the reasons and not priced in.
        let digging = case.digging.starts_at.as_ref().filter(|_| case.digging.seen == Seen::Yes).map(|(range, _)| *range);
        Self { mixed, efficacy, digging }
    }

    /// Chance of injury at a density per m² in draw `i`.
    fn injury(&self, i: usize, density: f64) -> f64 {
        let feeding = self.mixed[i].p_reached(density);
        match &self.digging {
            Some(range) => 1.0 - (1.0 - feeding) * (1.0 - range.p_reached(density)),
            None => feeding,
        }
    }

    /// Chance of injury at a density, left alone and treated, over all draws.
    fn injury_at(&self, density: f64) -> (f64, Option<f64>) {
        let n = self.mixed.len() as f64;
        let left = (0..self.mixed.len()).map(|i| self.injury(i, density)).sum::<f64>() / n;
        let treated = self.efficacy.as_ref().map(|efficacy| {
            efficacy.iter().enumerate().map(|(i, e)| self.injury(i, density * (1.0 - e))).sum::<f64>() / n
        });
        (left, treated)
    }
}

fn view(stratum: &StratumDensity, curve: &Curve, money: Option<&Money>) -> StratumView {
    let p_injury = curve.mean(&curve.left);
    let p_injury_treated = curve.treated.as_ref().map(|t| curve.mean(t));
    let gain = money
        .zip(p_injury_treated)
        .map(|(m, treated)| stratum.area_m2 * (m.repair_per_m2 * (p_injury - treated) - m.treatment_per_m2));
    StratumView { name: stratum.name.clone(), p_injury, p_injury_treated, gain, p_wrong: None }
}

/// One threshold for a mix of species: injury adds up by each species' share over its own threshold. Shares without a
/// threshold are left out.
fn mixed_threshold(shares: &[f64], ranges: &[Option<ThresholdRange>]) -> ThresholdRange {
    let known: f64 = shares.iter().zip(ranges).filter(|(_, r)| r.is_some()).map(|(s, _)| s).sum();
    let index = |end: fn(&ThresholdRange) -> f64| -> f64 {
        shares.iter().zip(ranges).filter_map(|(s, r)| r.as_ref().map(|r| s / end(r))).sum()
    };
    let (low, high) = (index(|r| r.low_per_m2), index(|r| r.high_per_m2));
    if known <= 0.0 || low <= 0.0 || high <= 0.0 {
        return ThresholdRange { low_per_m2: f64::INFINITY, high_per_m2: f64::INFINITY };
    }
    ThresholdRange { low_per_m2: known / low, high_per_m2: known / high }
}

/// Chance of injury along the posterior of one stratum.
struct Curve {
    density: Vec<f64>,
    weight: Vec<f64>,
    left: Vec<f64>,
    treated: Option<Vec<f64>>,
}

impl Curve {
    fn new(world: &World, grid: &DensityGrid) -> Self {
        let kept: Vec<(f64, f64)> = grid.per_m2.iter().copied().zip(grid.weights.iter().copied()).filter(|(_, w)| *w > 1e-7).collect();
        let total: f64 = kept.iter().map(|(_, w)| w).sum();
        let density: Vec<f64> = kept.iter().map(|(d, _)| *d).collect();
        let weight = kept.iter().map(|(_, w)| w / total).collect();
        let injuries: Vec<(f64, Option<f64>)> = density.iter().map(|&d| world.injury_at(d)).collect();
        let left = injuries.iter().map(|(l, _)| *l).collect();
        let treated = injuries.iter().map(|(_, t)| *t).collect();
        Self { density, weight, left, treated }
    }

    fn mean(&self, values: &[f64]) -> f64 {
        self.weight.iter().zip(values).map(|(w, v)| w * v).sum()
    }
}

/// Prices that a sum needs.
struct Money {
    repair_per_m2: f64,
    treatment_per_m2: f64,
    treatment_visit: f64,
    count_each: Option<f64>,
    count_visit: f64,
}

impl Money {
    fn read(case: &Case) -> Option<Self> {
        let prices = case.prices;
        case.efficacy?;
        Some(Self {
            repair_per_m2: prices.repair_per_m2?,
            treatment_per_m2: prices.treatment_per_m2?,
            treatment_visit: prices.treatment_visit.unwrap_or(0.0),
            count_each: prices.count_each,
            count_visit: prices.count_visit.unwrap_or(0.0),
        })
    }
}

/// A further count that may pay.
struct FurtherCount {
    stratum: String,
    samples: u32,
    /// What it saves on average, less what it costs.
    net: f64,
}

fn by_money(case: &Case, world: &World, money: &Money, curves: &[(&StratumDensity, Curve)], verdict: &mut Verdict) {
    let leave: f64 = curves.iter().map(|(s, c)| s.area_m2 * money.repair_per_m2 * c.mean(&c.left)).sum();
    let gains: Vec<f64> = verdict.strata.iter().map(|v| v.gain.unwrap_or(0.0)).collect();
    let gain: f64 = gains.iter().filter(|g| **g > 0.0).sum::<f64>() - money.treatment_visit;
    let some_pay = gains.iter().any(|g| *g > 0.0);
    let best_treated = if some_pay { leave - gain } else { leave - gains.iter().sum::<f64>() + money.treatment_visit };
    let now = if some_pay { gain.max(0.0) } else { 0.0 };
    let further = best_further_count(case, money, curves, &gains, now);
    let known = perfect_knowledge(money, curves, &gains, now);
    verdict.costs = Some(Costs {
        leave,
        treat: best_treated,
        count_more: further.as_ref().map(|f| leave - now - f.net),
        perfect_knowledge: known,
        species_told: species_value(case, money, now),
    });
    if let Some(saved) = verdict.costs.as_ref().and_then(|c| c.species_told).filter(|s| *s > WORTH_A_DELAY * leave.min(best_treated)) {
        verdict.reasons.push(reason(
            "Telling the species costs nothing but a look at the raster of the grubs at hand, and could change the answer",
            format!("worth about {saved:.2} on average"),
            "the sums",
        ));
    }
    verdict.break_even_per_m2 = break_even(world, money, curves.iter().map(|(s, _)| s.area_m2).sum());
    let treating = some_pay && gain > 0.0;
    let strata: Vec<String> = verdict.strata.iter().filter(|v| v.gain.is_some_and(|g| g > 0.0)).map(|v| v.name.clone()).collect();
    let by_stratum = p_on_the_other_side(money, curves, &gains, treating);
    for (view, p) in verdict.strata.iter_mut().zip(&by_stratum) {
        view.p_wrong = Some(*p);
    }
    let p_wrong = by_stratum.into_iter().fold(0.0, f64::max);
    verdict.p_wrong = Some(p_wrong);
    verdict.working = working(money, verdict, curves);
    let stake = leave.min(best_treated);
    let worth_it = further.filter(|f| f.net > WORTH_A_DELAY * stake);
    if !treating && verdict.strata.iter().any(|v| v.p_injury_treated.is_some_and(|t| t > 0.5)) {
        verdict.reasons.push(reason(
            "Even treated, injury stays likely: there are more than this control can bring down",
            percent(verdict.strata.iter().filter_map(|v| v.p_injury_treated).fold(0.0, f64::max)),
            "the sums",
        ));
    }
    verdict.answer = match (treating, worth_it) {
        (_, Some(further)) => Answer::CountMore { stratum: further.stratum, samples: further.samples },
        (true, None) if p_wrong > MOST_WRONG => settle_first(case, strata, verdict),
        (true, None) => treat_or_ask(case, strata, verdict),
        (false, None) => Answer::Leave,
    };
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// Treating pays on average, but the odds that it is for nothing are high: count on, as long as that can tell.
fn settle_first(case: &Case, strata: Vec<String>, verdict: &mut Verdict) -> Answer {
    let (stratum, samples) = narrowing_count(case, &verdict.strata);
    let taken = case.density.looked_at().find(|s| s.name == stratum).map_or(ENOUGH, |s| s.samples);
    let samples = samples.min(ENOUGH.saturating_sub(taken) as u32);
    if samples == 0 {
        return treat_or_ask(case, strata, verdict);
    }
    verdict.reasons.push(reason(
        "Treating would pay on average, but it may well be for nothing: a treatment costs more than its price",
        format!("{} chance that there are too few", percent(verdict.p_wrong.unwrap_or(0.0))),
        "rule of the house",
    ));
    Answer::CountMore { stratum, samples }
}

/// *Treat* where there is a warrant for it, else what is lacking.
fn treat_or_ask(case: &Case, strata: Vec<String>, verdict: &mut Verdict) -> Answer {
    match Warrant::seek(case) {
        Ok(warrant) => {
            if !case.label_card {
                verdict.reasons.push(reason("No label card was entered: enter the label before any amount is reckoned", "not checked", "label"));
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
    } else if p >= SURE {
        verdict.answer = Answer::CannotSay {
            remedy: "There are enough of them to injure. Choose a control (and enter prices) to see whether treating pays.".into(),
        };
    } else {
        let (stratum, samples) = narrowing_count(case, &verdict.strata);
        verdict.answer = if samples == 0 {
            Answer::CannotSay {
                remedy: "More counts would not settle it: the threshold itself is the doubt. Tell the species in the hand, and enter prices.".into(),
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

/// Density per m² at which treating the whole area looked at just pays, by bisection up from nought.
fn break_even(world: &World, money: &Money, area_m2: f64) -> Option<f64> {
    let cost = money.treatment_per_m2 + money.treatment_visit / area_m2;
    let pays = |density: f64| {
        let (left, treated) = world.injury_at(density);
        money.repair_per_m2 * (left - treated.unwrap_or(left)) >= cost
    };
    let lowest = world.mixed.iter().map(Ramp::low_per_m2).fold(f64::INFINITY, f64::min);
    if !lowest.is_finite() {
        return None;
    }
    let ladder: Vec<f64> = (0..160).map(|i| lowest * 0.5 * (f64::from(i) * 0.05).exp()).collect();
    let first = ladder.iter().position(|&d| pays(d))?;
    let (mut low, mut high) = (if first == 0 { 0.0 } else { ladder[first - 1] }, ladder[first]);
    for _ in 0..30 {
        let middle = f64::midpoint(low, high);
        if pays(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

/// Gain of treating one stratum at each density of its posterior.
fn gain_curve(money: &Money, stratum: &StratumDensity, curve: &Curve) -> Vec<f64> {
    let treated = curve.treated.as_ref().unwrap_or(&curve.left);
    let per_m2 = curve.left.iter().zip(treated).map(|(l, t)| money.repair_per_m2 * (l - t) - money.treatment_per_m2);
    per_m2.map(|g| g * stratum.area_m2).collect()
}

/// Chance, for each stratum, that its true density asks for the other answer there: where the yard is treated, that this stratum
/// belongs on the other side; where it is left, that treating would have paid after all.
fn p_on_the_other_side(money: &Money, curves: &[(&StratumDensity, Curve)], gains: &[f64], treating: bool) -> Vec<f64> {
    let others = |skip: usize| gains.iter().enumerate().filter(|(i, g)| *i != skip && **g > 0.0).map(|(_, g)| g).sum::<f64>();
    let p = curves.iter().enumerate().map(|(i, (stratum, curve))| {
        let asks_otherwise = |gain: f64| match treating {
            true => (gain > 0.0) != (gains[i] > 0.0),
            false => gain.max(0.0) + others(i) > money.treatment_visit,
        };
        let at = gain_curve(money, stratum, curve);
        at.iter().zip(&curve.weight).filter(|(gain, _)| asks_otherwise(**gain)).map(|(_, w)| w).sum()
    });
    p.collect()
}

/// What knowing every stratum's density for certain would save on average (an upper bound on any count).
fn perfect_knowledge(money: &Money, curves: &[(&StratumDensity, Curve)], gains: &[f64], now: f64) -> f64 {
    let best = curves.iter().enumerate().map(|(i, (stratum, curve))| {
        let others: f64 = gains.iter().enumerate().filter(|(j, g)| *j != i && **g > 0.0).map(|(_, g)| g).sum();
        let gain = gain_curve(money, stratum, curve);
        let known: f64 =
            gain.iter().zip(&curve.weight).map(|(g, w)| w * (g.max(0.0) + others - money.treatment_visit).max(0.0)).sum();
        known - now
    });
    best.fold(0.0, f64::max)
}

/// What it would save on average to know which species it is: the better answer for each species by its weight, less the better answer
/// without knowing. None where finds were told, or there is but one species.
fn species_value(case: &Case, money: &Money, now: f64) -> Option<f64> {
    let shares = case.split.shares();
    if case.split.told > 0 || shares.len() < 2 {
        return None;
    }
    let told = shares.iter().map(|(species, share)| {
        let alone = SpeciesSplit { species: vec![species.clone()], alpha: vec![1.0], told: 1 };
        let world = World::draw_some(&Case { split: &alone, ..case.clone() }, FEW_DRAWS);
        let gains = case.density.looked_at().filter_map(|s| {
            let curve = Curve::new(&world, s.grid.as_ref()?);
            view(s, &curve, Some(money)).gain
        });
        let gain: f64 = gains.filter(|g| *g > 0.0).sum::<f64>() - money.treatment_visit;
        share * gain.max(0.0)
    });
    Some((told.sum::<f64>() - now).max(0.0))
}

/// The further count that saves most, over strata and numbers; none where counting has no price.
fn best_further_count(
    case: &Case,
    money: &Money,
    curves: &[(&StratumDensity, Curve)],
    gains: &[f64],
    now: f64,
) -> Option<FurtherCount> {
    let each = money.count_each?;
    let mut best: Option<FurtherCount> = None;
    for (i, (stratum, curve)) in curves.iter().enumerate() {
        let others: f64 = gains.iter().enumerate().filter(|(j, g)| *j != i && **g > 0.0).map(|(_, g)| g).sum();
        let gain = gain_curve(money, stratum, curve);
        for samples in MORE {
            let after = expected_after(case, stratum, curve, &gain, samples, others - money.treatment_visit);
            let net = after - now - f64::from(samples) * each - money.count_visit;
            if best.as_ref().is_none_or(|b| net > b.net) {
                best = Some(FurtherCount { stratum: stratum.name.clone(), samples, net });
            }
        }
    }
    best
}

/// Expected gain of the better answer after `samples` more samples in a stratum: over every total T they may bring, the
/// posterior given T, and the better answer then.
fn expected_after(case: &Case, stratum: &StratumDensity, curve: &Curve, gain: &[f64], samples: u32, rest: f64) -> f64 {
    const COLUMNS: u64 = 160;
    let n = f64::from(samples);
    let (area, k) = (stratum.sample_area_m2.unwrap_or(1.0), case.density.k);
    let top = stratum.grid.as_ref().map_or(0.0, |g| g.quantile(0.995)) * area * n;
    let most = (top + 6.0 * (top + top * top / (n * k)).sqrt()).ceil() as u64 + 2;
    let stride = most.div_ceil(COLUMNS).max(1);
    let totals: Vec<f64> = (0..=most).step_by(stride as usize).map(|t| t as f64).collect();
    // ln P(T | density) = head(T) − nk ln(1 + mean/nk) + T ln(mean/(nk + mean)): the head does not depend on the density.
    let nk = n * k;
    let heads: Vec<f64> = totals.iter().map(|&t| ln_gamma(t + nk) - ln_gamma(nk) - ln_gamma(t + 1.0)).collect();
    // P(T | density) on the columns, made to add up to 1 for each density.
    let mut weight_of = vec![0.0; totals.len()];
    let mut gain_of = vec![0.0; totals.len()];
    for ((density, weight), gain) in curve.density.iter().zip(&curve.weight).zip(gain).filter(|((_, w), _)| **w > 1e-5) {
        let mean = density * area * n;
        let (none, each) = (-nk * (mean / nk).ln_1p(), (mean / (nk + mean)).ln());
        let row: Vec<f64> = heads.iter().zip(&totals).map(|(head, t)| (head + none + t * each).exp()).collect();
        let norm: f64 = row.iter().sum();
        if norm <= 0.0 {
            continue;
        }
        for (t, p) in row.iter().enumerate() {
            weight_of[t] += weight * p / norm;
            gain_of[t] += weight * p / norm * gain;
        }
    }
    let answer = |(w, g): (&f64, &f64)| if *w > 0.0 { w * ((g / w).max(0.0) + rest).max(0.0) } else { 0.0 };
    weight_of.iter().zip(&gain_of).map(answer).sum()
}

fn per_ft2(per_m2: f64) -> f64 {
    per_m2 * 0.092_903_04
}

fn reasons(case: &Case, world: &World) -> Vec<Reason> {
    let mut all: Vec<Reason> = case
        .density
        .looked_at()
        .filter_map(|s| {
            s.estimate.map(|e| {
                let figure = format!(
                    "{:.1} per ft2 ({:.1} to {:.1}, nine in ten)",
                    per_ft2(e.median_per_m2),
                    per_ft2(e.low_per_m2),
                    per_ft2(e.high_per_m2)
                );
                reason(format!("Density in {}", s.name), figure, format!("{} samples, {} found", s.samples, s.found))
            })
        })
        .collect();
    for name in case.density.not_looked_at() {
        all.push(reason(format!("Nobody looked in {name}: the verdict does not speak for it"), "not checked", "the counts"));
    }
    let shares = case.split.shares();
    for threshold in case.thresholds.iter().filter(|t| shares.get(&t.species).is_some_and(|s| *s >= 0.02)) {
        let range = on_this_turf(threshold, case.turf);
        let share = shares.get(&threshold.species).copied().unwrap_or(0.0);
        all.push(reason(
            format!("Threshold of {} (weight {:.0} %) on this turf", threshold.species, 100.0 * share),
            format!("{:.1} to {:.1} per ft2", per_ft2(range.low_per_m2), per_ft2(range.high_per_m2)),
            threshold.source.to_string(),
        ));
    }
    if case.split.told == 0 && case.split.species.len() > 1 {
        all.push(reason(
            "The species was not looked at: the verdict is spread over those of the region",
            format!("{} species", case.split.species.len()),
            "turn a few over and look at the raster",
        ));
    }
    all.extend(patch_reason(case, shares.get("European chafer").copied().unwrap_or(0.0)));
    all.extend(turf_reasons(case, world));
    all
}

/// For European chafer no one mean density told when to treat on 317 home lawns; a patch over about 30 m² did. Nyrop, Villani & Grant
/// (1995), Environ. Entomol. 24:521 (abstract).
fn patch_reason(case: &Case, chafer_share: f64) -> Option<Reason> {
    const TELLING_PATCH_M2: f64 = 30.0;
    const WEIGHTY: f64 = 0.2;
    if chafer_share < WEIGHTY {
        return None;
    }
    let figure = match case.largest_patch_m2 {
        None => "largest patch not measured".to_string(),
        Some(area) if area > TELLING_PATCH_M2 => format!("the largest patch is {area:.0} m2, over it"),
        Some(area) => format!("the largest patch is {area:.0} m2, under it"),
    };
    Some(reason("For European chafer the size of the patch tells more than the mean: treat where one passes about 30 m2", figure, "nyrop-1995"))
}

fn turf_reasons(case: &Case, world: &World) -> Vec<Reason> {
    let mut all = Vec::new();
    let state = |seen: Seen, yes: &'static str, no: &'static str| match seen {
        Seen::Yes => yes,
        Seen::No => no,
        Seen::NotLooked => "not checked: range kept as printed",
    };
    all.push(reason("Watering", state(case.turf.watered, "watered: the upper end may be twice as high", "not watered: the lower end may be half"), Source::COMMON_PRACTICE));
    if case.turf.vigorous != Seen::NotLooked {
        all.push(reason("Vigour", state(case.turf.vigorous, "dense and growing", "thin: the lower end may be half"), Source::COMMON_PRACTICE));
    }
    match (&world.digging, &case.digging.starts_at, case.digging.seen) {
        (Some(range), Some((_, source)), _) => all.push(reason(
            "Animals are digging for them, which injures from a lower number",
            format!("{:.1} to {:.1} per ft2", per_ft2(range.low_per_m2), per_ft2(range.high_per_m2)),
            source.to_string(),
        )),
        (_, _, Seen::Yes) => all.push(reason("Animals are digging, but no figure is known for when they start", "not priced in", "seen")),
        (_, _, Seen::NotLooked) => all.push(reason("Nobody looked for digging by animals", "not checked", "the counts")),
        _ => {}
    }
    if let Some(belief) = case.efficacy {
        all.push(reason(
            "What the control does now",
            format!("{:.0} % ({:.0} to {:.0} %)", 100.0 * belief.median, 100.0 * belief.low, 100.0 * belief.high),
            format!("{} observation(s), {} of them here", belief.observations, belief.own),
        ));
    }
    all
}

fn working(money: &Money, verdict: &Verdict, curves: &[(&StratumDensity, Curve)]) -> Vec<String> {
    let mut lines = vec![format!(
        "prices: repair {:.2} per m2, treatment {:.2} per m2 and {:.2} for the visit",
        money.repair_per_m2, money.treatment_per_m2, money.treatment_visit
    )];
    for (view, (stratum, _)) in verdict.strata.iter().zip(curves) {
        lines.push(format!(
            "{}: {:.0} m2 × ({:.2} × ({:.3} − {:.3}) − {:.2}) = {:.2} gained by treating it",
            view.name,
            stratum.area_m2,
            money.repair_per_m2,
            view.p_injury,
            view.p_injury_treated.unwrap_or(view.p_injury),
            money.treatment_per_m2,
            view.gain.unwrap_or(0.0)
        ));
    }
    if let Some(costs) = &verdict.costs {
        lines.push(format!("leave: expected repair {:.2}", costs.leave));
        lines.push(format!("treat where it pays: {:.2}", costs.treat));
        if let Some(count) = costs.count_more {
            lines.push(format!("count more, then the better of the two: {count:.2}"));
        }
        lines.push(format!("knowing the density for certain would save at most {:.2}", costs.perfect_knowledge));
    }
    if let Some(density) = verdict.break_even_per_m2 {
        lines.push(format!("treating pays from {:.1} per ft2", per_ft2(density)));
    }
    lines
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::belief::{Observation, Origin, belief};
    use crate::density::{DensityPrior, Sample, StratumCounts, posterior};

    const FLAP: f64 = 0.092_903_04;

    fn counts(name: &str, area_m2: f64, found: &[u64]) -> StratumCounts {
        let samples = found.iter().map(|&found| Sample { found, area_m2: FLAP }).collect();
        StratumCounts { name: name.into(), area_m2, samples, ..StratumCounts::default() }
    }

    fn threshold(species: &str, low_per_ft2: f64, high_per_ft2: f64, source: &[&str]) -> SpeciesThreshold {
        SpeciesThreshold {
            species: species.into(),
            told_by: None,
            range: ThresholdRange { low_per_m2: low_per_ft2 / FLAP, high_per_m2: high_per_ft2 / FLAP },
            region: "somewhere".into(),
            condition: None,
            source: Source(source.iter().map(|s| (*s).to_string()).collect()),
            standing: standing(source),
        }
    }

    /// As lore would say it, with `some-key` the one publication that was read.
    fn standing(source: &[&str]) -> Standing {
        match source.iter().filter(|s| **s == "some-key").count() {
            0 => Standing::Recalled,
            n if n == source.len() => Standing::Read,
            _ => Standing::PartlyRead,
        }
    }

    fn control(source: &[&str]) -> Belief {
        let standing = standing(source);
        let source = Source(source.iter().map(|s| (*s).to_string()).collect());
        let origin = Origin::Lore { place: "somewhere".into(), source, standing };
        belief(&[Observation::from_trials(2014, &[0.80, 0.86, 0.9, 0.84, 0.88, 0.83], origin).unwrap()], 2015)
    }

    const PRICES: Prices = Prices {
        repair_per_m2: Some(12.0),
        treatment_per_m2: Some(0.4),
        treatment_visit: Some(45.0),
        count_each: Some(3.0),
        count_visit: Some(0.0),
    };

    struct Setting {
        strata: Vec<StratumCounts>,
        thresholds: Vec<SpeciesThreshold>,
        tally: Vec<(String, u64)>,
        turf: Turf,
        digging: Digging,
        efficacy: Option<Belief>,
        label_card: bool,
        prices: Prices,
    }

    impl Setting {
        fn new(strata: Vec<StratumCounts>) -> Self {
            Self {
                strata,
                thresholds: vec![threshold("Japanese beetle", 8.0, 15.0, &["some-key"])],
                tally: Vec::new(),
                turf: Turf::default(),
                digging: Digging::default(),
                efficacy: Some(control(&["some-key"])),
                label_card: true,
                prices: PRICES,
            }
        }

        fn decide(&self) -> Verdict {
            let prior = DensityPrior { median_per_m2: 8.0 / FLAP, k_low: 1.2, k_high: 2.0 };
            let density = posterior(&self.strata, &prior, 0.9).unwrap();
            let weights: Vec<(String, f64)> = self.thresholds.iter().map(|t| (t.species.clone(), 1.0)).collect();
            let split = SpeciesSplit::new(&weights, &self.tally.iter().cloned().collect());
            decide(&Case {
                density: &density,
                split: &split,
                thresholds: &self.thresholds,
                turf: self.turf,
                digging: &self.digging,
                efficacy: self.efficacy.as_ref(),
                label_card: self.label_card,
                prices: self.prices,
                largest_patch_m2: None,
                seed: 7,
            })
            .unwrap()
        }
    }

    #[test]
    fn many_grubs_in_many_flaps_are_treated_where_a_publication_says_so() {
        let verdict = Setting::new(vec![counts("core", 40.0, &[22, 31, 18, 27, 35, 24, 19, 29, 26, 33])]).decide();
        assert!(matches!(verdict.answer, Answer::Treat { .. }), "{verdict:#?}");
        assert!(verdict.p_wrong.unwrap() < 0.2);
        let costs = verdict.costs.unwrap();
        assert!(costs.treat < costs.leave);
    }

    #[test]
    fn no_grubs_in_ten_flaps_are_left() {
        let verdict = Setting::new(vec![counts("core", 40.0, &[0; 10])]).decide();
        assert_eq!(verdict.answer, Answer::Leave, "{verdict:#?}");
        assert!(verdict.p_injury.unwrap() < 0.01);
    }

    #[test]
    fn dear_turf_is_not_treated_on_two_flaps_that_may_well_be_too_few() {
        let verdict = Setting::new(vec![counts("margin", 60.0, &[6, 10])]).decide();
        let costs = verdict.costs.clone().unwrap();
        assert!(costs.treat < costs.leave && verdict.p_wrong.unwrap() > MOST_WRONG);
        assert!(matches!(verdict.answer, Answer::CountMore { .. }), "{verdict:#?}");
    }

    #[test]
    fn two_flaps_near_the_threshold_call_for_more() {
        let mut setting = Setting::new(vec![counts("margin", 60.0, &[6, 10])]);
        setting.prices.repair_per_m2 = Some(3.6);
        setting.prices.count_each = Some(0.5);
        let verdict = setting.decide();
        assert!(matches!(verdict.answer, Answer::CountMore { .. }), "{verdict:#?}");
        let costs = verdict.costs.unwrap();
        assert!(costs.count_more.unwrap() < costs.leave.min(costs.treat));
    }

    #[test]
    fn a_count_that_costs_more_than_it_can_save_is_not_asked_for() {
        let mut setting = Setting::new(vec![counts("margin", 60.0, &[6, 10])]);
        setting.prices.repair_per_m2 = Some(2.5);
        setting.prices.count_each = Some(500.0);
        assert!(!matches!(setting.decide().answer, Answer::CountMore { .. }));
    }

    #[test]
    fn a_stratum_nobody_looked_at_is_named_and_not_spoken_for() {
        let verdict = Setting::new(vec![counts("core", 40.0, &[0; 10]), counts("sound", 300.0, &[])]).decide();
        assert_eq!(verdict.not_looked_at, ["sound"]);
        assert_eq!(verdict.strata.len(), 1);
    }

    #[test]
    fn nobody_looked_anywhere_cannot_be_said() {
        let verdict = Setting::new(vec![counts("core", 40.0, &[])]).decide();
        assert!(matches!(verdict.answer, Answer::CannotSay { .. }));
        assert!(verdict.p_injury.is_none() && verdict.costs.is_none());
    }

    #[test]
    fn no_threshold_cannot_be_said() {
        let mut setting = Setting::new(vec![counts("core", 40.0, &[30; 8])]);
        setting.thresholds.clear();
        assert!(matches!(setting.decide().answer, Answer::CannotSay { .. }));
    }

    #[test]
    fn species_not_looked_at_spread_the_verdict_over_their_thresholds() {
        let mut setting = Setting::new(vec![counts("core", 40.0, &[6, 5, 7, 6, 8, 5, 6, 7])]);
        setting.thresholds =
            vec![threshold("May beetle", 2.0, 4.0, &["some-key"]), threshold("black ataenius", 30.0, 50.0, &["some-key"])];
        let unseen = setting.decide().p_injury.unwrap();
        setting.tally = vec![("May beetle".into(), 30)];
        let may = setting.decide().p_injury.unwrap();
        setting.tally = vec![("black ataenius".into(), 30)];
        let ataenius = setting.decide().p_injury.unwrap();
        assert!(may > 0.9 && ataenius < 0.05, "{may} {ataenius}");
        assert!((0.25..0.75).contains(&unseen), "{unseen}");
    }

    #[test]
    fn more_grubs_never_lower_the_chance_of_injury() {
        let chance = |found: u64| Setting::new(vec![counts("core", 40.0, &[found; 6])]).decide().p_injury.unwrap();
        let chances: Vec<f64> = [0, 2, 5, 8, 12, 20, 40].into_iter().map(chance).collect();
        assert!(chances.windows(2).all(|w| w[0] <= w[1] + 1e-9), "{chances:?}");
    }

    #[test]
    fn digging_injures_from_a_lower_number() {
        let mut setting = Setting::new(vec![counts("core", 40.0, &[5; 8])]);
        let quiet = setting.decide().p_injury.unwrap();
        setting.digging = Digging { seen: Seen::Yes, starts_at: Some(digging_for_grubs()) };
        assert!(setting.decide().p_injury.unwrap() > quiet + 0.3);
    }

    #[test]
    fn break_even_lies_where_the_answer_turns() {
        let verdict = Setting::new(vec![counts("core", 40.0, &[9; 8])]).decide();
        let per_ft2 = verdict.break_even_per_m2.unwrap() * FLAP;
        assert!((8.0..15.0).contains(&per_ft2), "{per_ft2}");
    }

    #[test]
    fn memory_or_common_practice_alone_never_yields_treat() {
        let sources: [&[&str]; 6] = [
            &["memory"],
            &["common practice"],
            &["memory", "common practice"],
            &["cited-but-never-opened"],
            &["some-key"],
            &["some-key", "memory"],
        ];
        let published = |s: &[&str]| s.contains(&"some-key");
        let unpriced = Prices::default();
        let dear = Prices { repair_per_m2: Some(500.0), count_each: None, ..PRICES };
        let mut treated = 0;
        for threshold_source in sources {
            for control_source in sources.iter().map(|s| Some(*s)).chain([None]) {
                for prices in [PRICES, unpriced, dear] {
                    for found in [[20_u64; 12]] {
                        for watered in [Seen::Yes, Seen::No] {
                            let mut setting = Setting::new(vec![counts("core", 40.0, &found)]);
                            setting.thresholds = vec![threshold("white grubs", 8.0, 15.0, threshold_source)];
                            setting.efficacy = control_source.map(control);
                            setting.prices = prices;
                            setting.turf.watered = watered;
                            if let Answer::Treat { warrant, .. } = setting.decide().answer {
                                treated += 1;
                                assert!(published(threshold_source), "{threshold_source:?}");
                                assert!(control_source.is_some_and(published), "{control_source:?}");
                                assert!(!warrant.thresholds().is_empty() && !warrant.efficacy().is_empty());
                            }
                        }
                    }
                }
            }
        }
        assert!(treated > 0);
    }

    #[test]
    fn one_remembered_species_among_published_ones_stops_treat() {
        let mut setting = Setting::new(vec![counts("core", 40.0, &[12; 12])]);
        setting.thresholds =
            vec![threshold("May beetle", 2.0, 4.0, &["some-key"]), threshold("white grubs", 6.0, 6.0, &["memory"])];
        assert!(!matches!(setting.decide().answer, Answer::Treat { .. }));
        setting.tally = vec![("May beetle".into(), 60)];
        assert!(matches!(setting.decide().answer, Answer::Treat { .. }));
    }

    #[test]
    fn prices_below_nought_are_refused_by_name() {
        let mut setting = Setting::new(vec![counts("core", 40.0, &[6; 6])]);
        setting.prices.repair_per_m2 = Some(-1.0);
        let prior = DensityPrior { median_per_m2: 80.0, k_low: 1.2, k_high: 2.0 };
        let density = posterior(&setting.strata, &prior, 0.9).unwrap();
        let split = SpeciesSplit::new(&[("Japanese beetle".into(), 1.0)], &density.species);
        let case = Case {
            density: &density,
            split: &split,
            thresholds: &setting.thresholds,
            turf: setting.turf,
            digging: &setting.digging,
            efficacy: None,
            label_card: false,
            prices: setting.prices,
            largest_patch_m2: None,
            seed: 1,
        };
        assert!(decide(&case).unwrap_err().to_string().contains("repair"));
    }
}
