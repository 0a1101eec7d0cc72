//! The further rules of a scouting plan: how many samples for which precision, when the mean is known well enough, presence alone, and
//! when a further count is no longer worth its price; each with what it supposes.

use crate::scouting::{YardPlan, hull, seed_of, watered};
use crate::{Desk, DeskError};
use groundlore_plant_health::counts::samples_to_find_one;
use groundlore_plant_health::decision::{Case, Digging, Reach, ToCount, Turf, WorthRule, stop_by_worth};
use groundlore_plant_health::density::{self, DensityPrior, SpeciesSplit, StratumCounts};
use groundlore_plant_health::dispersion::learned::SETS_FOR_TAYLOR;
use groundlore_plant_health::fixed_precision::{FixedPrecision, PrecisionPoint, VarianceLaw};
use groundlore_plant_health::presence::{OccupancyLaw, PresencePlan};
use groundlore_plant_health::sequential::{OperatingPoint, operating_curve};

/// Standard error that the plan of fixed precision aims at, as a share of the mean (usual for scouting; common practice).
const PRECISION: f64 = 0.25;
/// Risk of each wrong call of the rule on presence.
const RISK: f64 = 0.1;
/// Fewest samples before a rule is asked (common practice: one flap says little).
pub(crate) const FEWEST: u32 = 3;
/// Points of an operating curve.
const POINTS: u32 = 33;

/// Samples for one wanted precision.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct SizeRow {
    /// Standard error wanted, as a share of the mean.
    pub precision: f64,
    /// Samples where the mean lies at the low end of the thresholds.
    pub at_low: u32,
    /// Samples where it lies at the high end.
    pub at_high: u32,
}

/// The operating curve of one stop rule of the plan.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct RuleCurve {
    /// Strata that this rule is for.
    pub strata: Vec<String>,
    /// Means per sample at which it must decide.
    pub ends: (f64, f64),
    /// Most samples.
    pub most: u32,
    /// The curve.
    pub points: Vec<OperatingPoint>,
}

/// The further rules.
#[derive(Debug, Clone, Default, serde::Serialize)]
pub struct FieldRules {
    /// Samples by wanted precision.
    pub sizes: Vec<SizeRow>,
    /// Samples to find at least one with 95 in 100, where the mean lies at the low end of the thresholds.
    pub to_find_one: Option<u32>,
    /// Counting until the mean is known well enough.
    pub fixed_precision: Option<FixedPrecision>,
    /// What that plan does at true means.
    pub precision_curve: Vec<PrecisionPoint>,
    /// Looking only whether a sample holds any.
    pub presence: Option<PresencePlan>,
    /// Why presence alone will not do, or why a rule is missing.
    pub not_possible: Vec<String>,
    /// Operating curves of the plan's stop rules.
    pub curves: Vec<RuleCurve>,
    /// Stop rules by worth, one a stratum.
    pub by_worth: Vec<WorthRule>,
    /// Control that the rules by worth reckon with.
    pub control: Option<String>,
    /// What all of them take for granted.
    pub assumes: Vec<String>,
}

impl Desk {
    /// The further rules of a plan.
    ///
    /// # Errors
    /// If the book cannot be read or lore's figures are no figures.
    pub fn field_rules(&self, plan: &YardPlan) -> Result<FieldRules, DeskError> {
        let mut rules = FieldRules { assumes: assumptions(plan), ..FieldRules::default() };
        let (Some(range), Some(area)) = (hull(&plan.thresholds), plan.plan.sample_area_m2) else {
            rules.not_possible.push("No rules by threshold: they need a threshold per area and a sample with an area.".to_owned());
            return Ok(rules);
        };
        let k = plan.plan.stop_rules.first().map_or(plan.clumping.k, |rule| rule.k);
        let (low, high) = (range.low_per_m2 * area, range.high_per_m2 * area);
        // Taylor's law where this book's counts taught it, else one k.
        let (law, occupied) = match plan.taylor {
            Some(taught) => (VarianceLaw::Taylor { a: taught.a, b: taught.b }, OccupancyLaw::Taylor { a: taught.a, b: taught.b }),
            None => (VarianceLaw::NegativeBinomial { k }, OccupancyLaw::NegativeBinomial { k }),
        };
        let whole = |n: Option<f64>| n.map(|n| n.ceil() as u32);
        rules.sizes = [0.5, 0.35, 0.25, 0.2, 0.15]
            .into_iter()
            .filter_map(|precision| {
                let (at_low, at_high) = whole(law.samples(low, precision)).zip(whole(law.samples(high, precision)))?;
                Some(SizeRow { precision, at_low, at_high })
            })
            .collect();
        rules.to_find_one = whole(occupied.share(low).and_then(|share| samples_to_find_one(share, 0.95)));
        let most = plan.plan.stops.len().max(FEWEST as usize + 1) as u32 * 2;
        let fixed = FixedPrecision { law, precision: PRECISION, fewest: FEWEST, most };
        match fixed.operating_curve((low * high).sqrt(), 7) {
            Ok(curve) => {
                rules.precision_curve = curve;
                rules.fixed_precision = Some(fixed);
            }
            Err(error) => rules.not_possible.push(format!("Counting to a precision: {error}.")),
        }
        match PresencePlan::new(occupied, low, high.max(low * 1.25), RISK, most) {
            Ok(presence) => rules.presence = Some(presence),
            Err(error) => rules.not_possible.push(format!("Presence alone: {error}.")),
        }
        rules.curves = curves(plan)?;
        self.by_worth(plan, area, &mut rules)?;
        Ok(rules)
    }

    /// Stop rules that weigh the price of the next sample against what it may change.
    fn by_worth(&self, plan: &YardPlan, sample_area_m2: f64, rules: &mut FieldRules) -> Result<(), DeskError> {
        let prices = self.decision_prices()?;
        if prices.count_each.is_none() || prices.repair_per_m2.is_none() || prices.treatment_per_m2.is_none() {
            rules.not_possible.push(
                "Counting by worth: it needs your own prices of repair, treatment and one sample (`groundlore rates add FILE`).".to_owned(),
            );
            return Ok(());
        }
        let yard = self.yard(&plan.yard)?;
        let trouble = self.trouble(&plan.trouble)?;
        let (Some(map), Some(candidate), Some(range)) = (yard.map.as_ref(), self.best_candidate(&yard, trouble)?, hull(&plan.thresholds))
        else {
            rules.not_possible.push("Counting by worth: no control with known effect is at hand.".to_owned());
            return Ok(());
        };
        let strata: Vec<StratumCounts> = plan
            .plan
            .allotment
            .iter()
            .map(|a| StratumCounts { name: a.stratum.clone(), area_m2: a.area_m2, ..StratumCounts::default() })
            .collect();
        let prior = DensityPrior::about(&range, self.k_of(trouble, None)?);
        let nothing = density::posterior(&strata, &prior, 0.9).map_err(DeskError::science)?;
        // Before a count k is its middle: there are no counts yet to move it.
        let known = density::DensityPosterior { k: (prior.k_low * prior.k_high).sqrt(), ..nothing };
        let weights: Vec<(String, f64)> = plan.thresholds.iter().map(|t| (t.species.clone(), 1.0)).collect();
        let split = SpeciesSplit::new(&weights, &known.species);
        let seen = watered(map).map_or(groundlore_plant_health::decision::Seen::NotLooked, |w| {
            if w { groundlore_plant_health::decision::Seen::Yes } else { groundlore_plant_health::decision::Seen::No }
        });
        let digging = Digging::default();
        let case = Case {
            density: &known,
            split: &split,
            thresholds: &plan.thresholds,
            turf: Turf { watered: seen, ..Turf::default() },
            digging: &digging,
            efficacy: Some(&candidate.belief),
            reach: Reach::default(),
            timing: None,
            label_card: candidate.card,
            prices,
            largest_patch_m2: None,
            seed: seed_of(&plan.yard),
        };
        for allotted in plan.plan.allotment.iter().filter(|a| a.samples > 0) {
            let most = (allotted.samples as u32 * 2).clamp(FEWEST + 1, 30);
            let to_count = ToCount { name: &allotted.stratum, area_m2: allotted.area_m2, sample_area_m2, fewest: FEWEST, most };
            rules.by_worth.extend(stop_by_worth(&case, &to_count).map_err(DeskError::science)?);
        }
        rules.control = Some(candidate.name);
        Ok(())
    }
}

/// Operating curves, one for all strata whose rules are the same.
fn curves(plan: &YardPlan) -> Result<Vec<RuleCurve>, DeskError> {
    let mut found: Vec<RuleCurve> = Vec::new();
    for rule in &plan.plan.stop_rules {
        let ends = (rule.low_per_sample, rule.high_per_sample);
        match found.iter_mut().find(|c| c.most == rule.most && c.ends == ends) {
            Some(same) => same.strata.push(rule.stratum.clone()),
            None => {
                let points = operating_curve(&rule.plan, rule.most, POINTS).map_err(DeskError::science)?;
                found.push(RuleCurve { strata: vec![rule.stratum.clone()], ends, most: rule.most, points });
            }
        }
    }
    Ok(found)
}

/// What every rule takes for granted, said in words.
fn assumptions(plan: &YardPlan) -> Vec<String> {
    let k = &plan.clumping;
    // The plan's own assumptions carry the learned law; here stands what there is before one can be learned.
    let taylor = match &plan.taylor {
        Some(_) => None,
        None => Some(format!(
            "Taylor's law is used once {SETS_FOR_TAYLOR} sets of counts in this book tell a variance; until then the variance is mean + mean²/k."
        )),
    };
    let dispersion = if k.sets > 0 {
        format!(
            "Clumping: k {:.2} ({:.2} to {:.2}) from {} sets with {} samples in this book, begun at {:.2} to {:.2} ({}). The stop rules take one k for thin and thick places alike.",
            k.k,
            k.low,
            k.high,
            k.sets,
            k.samples,
            k.began.0,
            k.began.1,
            if k.from_lore { "lore" } else { "not known: a wide range" }
        )
    } else {
        "Clumping: no counts of this book say anything of k yet; it is lore's, or the wide range where lore has none. One k is taken for thin and thick places alike.".to_owned()
    };
    let mut all = vec![
        "Samples are taken as independent: points are spread over a stratum by a seed. Samples side by side in one clump say less than they seem to, and samples taken where it looks bad say too much.".to_owned(),
        dispersion,
        "Everything in a sample is taken as found. What is missed lowers the figure by its share: if one in five is overlooked, so is a fifth of the density. Nobody has measured it here.".to_owned(),
        format!("This way of counting cannot see: {}.", plan.plan.blind_to.trim_end_matches('.')),
        "A rule speaks for its stratum on the day of the count, not for the strata beside it or the weeks after.".to_owned(),
    ];
    all.extend(taylor);
    all
}
