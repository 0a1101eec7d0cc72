//! Causes of what was found, with probabilities that include the harmless and something else.
//!
//! One cause, or two at once ([`together`]), are taken as the explanation; the leak, *something else*, stands for all that lore does not
//! hold. For each cause alone
//!
//! posterior ∝ prior × confirmed cases × host × season × conditions × Π P(finding | cause)^w
//!
//! P(finding | cause) is the mean over the lore's range, drawn a little towards the finding's background (more where the range is from
//! memory), so that remembered figures never make near-certainty. The weights w discount findings that tell the same story: the more two
//! findings' likelihoods rise and fall together over the causes, the less the second adds. A finding that nobody looked for is left out:
//! missing is not absent.

mod confirmed_cases;
mod likeness;
mod table;
mod together;

use likeness::LEFT_TO_THE_SIGNS;

pub use confirmed_cases::{ConfirmedCases, PRIOR_LETTERS};
pub use table::CauseTable;
pub use together::Together;

use crate::letter::heard::Heard;
use crate::letter::host::{Host, fit};
use crate::letter::{Presence, Reading, Understood};
use crate::place::Hemisphere;
use groundlore_lore::Lore;
use groundlore_lore::finding::Finding;
use groundlore_lore::provenance::DayRange;
use groundlore_lore::trouble::{Condition, Threshold, Trouble, TroubleKind};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Key of the leak.
pub const SOMETHING_ELSE: &str = "something-else";

/// Share of belief kept for the prior whatever the findings: the tables are remembered, and letters are misread.
const MODEL_DOUBT: f64 = 0.03;

/// Share of the prior that stays for causes that lore does not hold.
const LEAK: f64 = 0.12;

/// Conditions of weather and yard that are known; what is not listed is not known.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Conditions(pub BTreeMap<Condition, bool>);

/// What a diagnosis is made from.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// What was understood.
    pub reading: &'a Reading,
    /// Day of the letter, if known.
    pub date: Option<Date>,
    /// Half of the globe, if known (northern is taken otherwise).
    pub hemisphere: Option<Hemisphere>,
    /// Conditions from weather, map and records.
    pub conditions: &'a Conditions,
    /// What was confirmed in this book.
    pub confirmed: &'a ConfirmedCases,
}

/// Whether a reason speaks for or against a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// For it.
    Supports,
    /// Against it.
    Against,
}

/// One reason for or against a cause.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reason {
    /// Key of the finding, or `host`, `season`, `count`, `condition`, `letter`.
    pub finding: String,
    /// In words.
    pub name: String,
    /// For or against.
    pub direction: Direction,
    /// Size, as the natural logarithm of the factor on the odds.
    pub weight: f64,
}

/// A cause with its probability.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Cause {
    /// Key in lore, or `something-else`.
    pub key: String,
    /// Name.
    pub name: String,
    /// Scientific name, if it has one.
    pub scientific: Option<String>,
    /// Probability that it is the main cause, 0–1; all causes together make 1.
    pub probability: f64,
    /// Probability that it is at work, alone or beside another, 0–1; never under `probability`.
    #[serde(default)]
    pub present: f64,
    /// Share of such letters that it causes, before this one's signs are read: host, season, weather and yard alone.
    #[serde(default)]
    pub expected: f64,
    /// True for a thing that worries owners and harms nothing.
    pub harmless: bool,
    /// Why, the weightiest first.
    pub because: Vec<Reason>,
}

/// The causes, and how much they rest on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Diagnosis {
    /// All causes, likeliest first.
    pub causes: Vec<Cause>,
    /// Pairs of causes that may both be at work, likeliest first.
    pub together: Vec<Together>,
    /// How many findings told for or against anything.
    pub findings_used: usize,
    /// How far the findings moved the odds from the prior, in bits.
    pub moved_bits: f64,
    /// True where the evidence is too thin to name a cause.
    pub cannot_tell: bool,
}

/// One finding as evidence: what is the chance of it under each cause.
#[derive(Debug, Clone)]
pub(crate) struct Evidence<'a> {
    pub(crate) told: Vec<&'a Understood>,
    /// ln P under each cause, in the order of [`Field::troubles`], then the leak.
    pub(crate) log_likelihood: Vec<f64>,
    pub(crate) weight: f64,
}

/// Lore as arrays: causes in order, the leak last.
#[derive(Debug, Clone)]
pub(crate) struct Field<'a> {
    pub(crate) troubles: Vec<&'a Trouble>,
    pub(crate) lore: &'a Lore,
    pub(crate) table: &'a CauseTable,
}

/// Probability of a finding under a cause: the mean over its range, drawn towards the background.
fn share(low: f64, high: f64, published: bool, background: f64) -> f64 {
    let pull = if published { 0.05 } else { 0.1 };
    ((1.0 - pull) * f64::midpoint(low, high) + pull * background).clamp(0.01, 0.97)
}

impl<'a> Field<'a> {
    pub(crate) fn new(lore: &'a Lore, table: &'a CauseTable) -> Self {
        Self { troubles: lore.troubles.values().collect(), lore, table }
    }

    /// P(finding is there) under each cause and, last, under the leak.
    pub(crate) fn shares(&self, finding: &Finding) -> Vec<f64> {
        let background = f64::midpoint(finding.background.low, finding.background.high).clamp(0.003, 0.95);
        // The leak is wider than any one cause: it may well show what is seldom seen otherwise.
        let mut shares = vec![background; self.troubles.len()];
        shares.push(background.powf(0.85));
        for l in self.table.listing(&finding.key) {
            shares[l.cause] = share(l.low, l.high, l.published, background);
        }
        shares
    }

    fn fit(&self, cause: usize, case: &Case<'_>) -> f64 {
        fit(&case.reading.host, self.table.hosts(cause))
    }

    /// ln prior weight of each cause and of the leak, with reasons for those factors that are not 1.
    fn priors(&self, case: &Case<'_>) -> Vec<(f64, Vec<Reason>)> {
        let mut priors: Vec<(f64, Vec<Reason>)> =
            self.troubles.iter().enumerate().map(|(i, t)| prior(t, self.fit(i, case), case)).collect();
        if !case.confirmed.0.is_empty() {
            for ((log, reasons), factor) in priors.iter_mut().zip(case.confirmed.factors(&self.troubles)) {
                *log += add_reason(reasons, "confirmed", "cases confirmed in this book".to_owned(), factor);
            }
        }
        let hosted: f64 = self.troubles.iter().enumerate().map(|(i, t)| t.prior.middle() * self.fit(i, case)).sum();
        priors.push((((LEAK / (1.0 - LEAK)) * hosted.max(0.35)).ln(), Vec::new()));
        priors
    }

    /// Weighs in how like the letter's words are to what owners tell of each cause; the prior and the signs give up a part of their weight.
    fn like_the_letter(&self, priors: &mut [(f64, Vec<Reason>)], evidence: &mut [Evidence<'_>], heard: &Heard) {
        let Some(voice) = self.table.likeness().voice(heard) else { return };
        // What is denied is not heard: only the signs speak of it.
        let heard_too = |e: &&mut Evidence<'_>| e.told.iter().any(|u| u.present != Presence::No);
        evidence.iter_mut().filter(heard_too).for_each(|e| e.weight *= LEFT_TO_THE_SIGNS);
        for (i, (log, reasons)) in priors.iter_mut().enumerate() {
            *log *= LEFT_TO_THE_SIGNS;
            reasons.iter_mut().for_each(|r| r.weight *= LEFT_TO_THE_SIGNS);
            let factor = voice.log_factors[i];
            let words = if factor > 1.0 { voice.words_for(i, 4) } else { Vec::new() };
            let name = match words.as_slice() {
                [] => "the letter's words are not those told of it".to_owned(),
                words => format!("owners tell of it in such words: {}", words.join(", ")),
            };
            if factor.abs() > 1.0 {
                add_reason(reasons, "letter", name, factor.exp());
            }
            *log += factor;
        }
    }

    /// Evidence of the findings understood, weightiest first, with its discounts.
    pub(crate) fn evidence(&self, understood: &'a [Understood]) -> Vec<Evidence<'a>> {
        let mut all: Vec<Evidence<'a>> = self.grouped(understood).into_iter().filter_map(|told| self.one_evidence(told)).collect();
        all.sort_by(|a, b| spread(&b.log_likelihood).total_cmp(&spread(&a.log_likelihood)));
        discount(&mut all);
        all
    }

    /// Findings by themselves; those said to be there of one exclusive group together.
    fn grouped(&self, understood: &'a [Understood]) -> Vec<Vec<&'a Understood>> {
        let mut groups: BTreeMap<String, Vec<&'a Understood>> = BTreeMap::new();
        for told in understood.iter().filter(|u| u.present != Presence::Unknown) {
            let group = self.lore.findings.get(&told.finding).and_then(|f| f.one_of.clone()).filter(|_| told.present != Presence::No);
            groups.entry(group.map_or_else(|| format!("={}", told.finding), |g| format!("~{g}"))).or_default().push(told);
        }
        groups.into_values().collect()
    }

    fn one_evidence(&self, told: Vec<&'a Understood>) -> Option<Evidence<'a>> {
        let mut mean = vec![0.0; self.troubles.len() + 1];
        for u in &told {
            let finding = self.lore.findings.get(&u.finding)?;
            let shares = self.shares(finding);
            let no = u.present == Presence::No;
            mean.iter_mut().zip(shares).for_each(|(m, p)| *m += if no { 1.0 - p } else { p } / told.len() as f64);
        }
        let strength = told.iter().map(|u| if u.present == Presence::Doubtful { u.strength * 0.6 } else { u.strength }).fold(0.0, f64::max);
        Some(Evidence { told, log_likelihood: mean.into_iter().map(f64::ln).collect(), weight: strength })
    }

    /// Posterior over the causes and the leak, from log weights.
    pub(crate) fn normalised(log_weights: &[f64]) -> Vec<f64> {
        let top = log_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let raw: Vec<f64> = log_weights.iter().map(|w| (w - top).exp()).collect();
        let sum: f64 = raw.iter().sum();
        raw.into_iter().map(|w| w / sum).collect()
    }
}

fn spread(log_likelihood: &[f64]) -> f64 {
    let leak = log_likelihood.last().copied().unwrap_or(0.0);
    log_likelihood.iter().map(|l| (l - leak).abs()).fold(0.0, f64::max)
}

/// How sharply findings tell: shares from memory are wide and drawn toward what is usual, so that at 1 the odds came out too faint on letters
/// with known causes (said 55 %, right 83 %); at this figure they agree with what came true (working letters, November 2026).
const SHARPNESS: f64 = 1.25;

/// Lowers the weight of findings that tell what a weightier one has told.
fn discount(all: &mut [Evidence<'_>]) {
    let profiles: Vec<Vec<f64>> = all.iter().map(|e| centred(&e.log_likelihood)).collect();
    for (k, evidence) in all.iter_mut().enumerate() {
        let shared: f64 = profiles[..k].iter().map(|earlier| 1.0 - 0.3 * cosine(earlier, &profiles[k]).max(0.0)).product();
        evidence.weight *= SHARPNESS * shared.max(0.4);
    }
}

fn centred(values: &[f64]) -> Vec<f64> {
    let leak = values.last().copied().unwrap_or(0.0);
    values.iter().map(|v| v - leak).collect()
}

fn cosine(a: &[f64], b: &[f64]) -> f64 {
    let dot = |x: &[f64], y: &[f64]| x.iter().zip(y).map(|(p, q)| p * q).sum::<f64>();
    let size = (dot(a, a) * dot(b, b)).sqrt();
    if size > 0.0 { dot(a, b) / size } else { 0.0 }
}

fn prior(trouble: &Trouble, host: f64, case: &Case<'_>) -> (f64, Vec<Reason>) {
    let mut log = trouble.prior.middle().max(1e-6).ln();
    let mut reasons = Vec::new();
    log += add_reason(&mut reasons, "host", format!("seen on {}", trouble.hosts.join(", ")), host);
    if let (Some(season), Some(date)) = (&trouble.season, case.date) {
        let off = trouble.off_season.as_ref().map_or(0.2, groundlore_lore::provenance::ShareRange::middle).clamp(0.005, 1.0);
        let inside = season_share(season, date, case.hemisphere);
        log += add_reason(&mut reasons, "season", format!("shows from {} to {}", season.from, season.to), inside + (1.0 - inside) * off);
    }
    for favour in &trouble.favoured_by {
        let factor = favour.factor.middle().clamp(0.05, 20.0);
        let (held, soften) = condition(favour.condition, case, trouble);
        let applied = match held {
            Some(true) => factor.powf(soften),
            Some(false) => factor.powf(-0.5 * soften).clamp(0.35, 2.0),
            None => 1.0,
        };
        log += add_reason(&mut reasons, "condition", condition_words(favour.condition, held == Some(true)), applied);
    }
    (log, reasons)
}

fn add_reason(reasons: &mut Vec<Reason>, finding: &str, name: String, factor: f64) -> f64 {
    let weight = factor.max(1e-6).ln();
    if weight.abs() > 0.1 {
        reasons.push(Reason {
            finding: finding.to_owned(),
            name,
            direction: if weight > 0.0 { Direction::Supports } else { Direction::Against },
            weight,
        });
    }
    weight
}

/// `dry spell`, `no dry spell`.
fn condition_words(condition: Condition, holds: bool) -> String {
    let words: String =
        format!("{condition:?}").chars().map(|c| if c.is_uppercase() { format!(" {}", c.to_lowercase()) } else { c.to_string() }).collect();
    format!("{}{}", if holds { "" } else { "not: " }, words.trim())
}

/// Whether a condition holds and how far to trust it: known conditions fully, the owner's words by half, and those words not at all where
/// they were already read as a finding that this cause lists.
fn condition(condition: Condition, case: &Case<'_>, trouble: &Trouble) -> (Option<bool>, f64) {
    if let Some(known) = case.conditions.0.get(&condition) {
        return (Some(*known), 1.0);
    }
    let Some(told) = case.reading.conditions.iter().find(|c| c.condition == condition) else { return (None, 0.0) };
    let counted = case
        .reading
        .understood
        .iter()
        .any(|u| u.span.1 > told.span.0 && u.span.0 < told.span.1 && trouble.findings.iter().any(|l| l.finding == u.finding));
    if counted { (None, 0.0) } else { (Some(told.holds), 0.6) }
}

/// How far a day lies in a season: 1 inside, falling to 0 over three weeks outside; half a year off in the south.
fn season_share(season: &DayRange, date: Date, hemisphere: Option<Hemisphere>) -> f64 {
    const EDGE_DAYS: f64 = 21.0;
    let (Some(from), Some(to)) = (day_of_year(&season.from), day_of_year(&season.to)) else { return 1.0 };
    let shift = if hemisphere == Some(Hemisphere::Southern) { 182.5 } else { 0.0 };
    let day = (f64::from(date.day_of_year()) + shift).rem_euclid(365.25);
    let after_from = (day - from).rem_euclid(365.25);
    let length = (to - from).rem_euclid(365.25);
    if after_from <= length {
        return 1.0;
    }
    let outside = (after_from - length).min(365.25 - after_from);
    (1.0 - outside / EDGE_DAYS).max(0.0)
}

/// True on a day from `from` to `to` (`MM-DD`, over the new year too); half a year off in the south.
pub(crate) fn in_days(from: &str, to: &str, date: Date, hemisphere: Option<Hemisphere>) -> bool {
    let (Some(from), Some(to)) = (day_of_year(from), day_of_year(to)) else { return false };
    let shift = if hemisphere == Some(Hemisphere::Southern) { 182.5 } else { 0.0 };
    let day = (f64::from(date.day_of_year()) + shift).rem_euclid(365.25);
    (day - from).rem_euclid(365.25) <= (to - from).rem_euclid(365.25)
}

fn day_of_year(month_day: &str) -> Option<f64> {
    format!("2001-{month_day}").parse::<Date>().ok().map(|d| f64::from(d.day_of_year()))
}

/// Where a count per area stands against a cause's thresholds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Density {
    /// Under half of the lowest published threshold.
    FarBelow,
    /// Under the lowest.
    Below,
    /// Between the lowest and the highest: species and vigour decide.
    Between,
    /// Over the highest.
    Above,
}

/// Where the counts of a letter stand against the thresholds of a cause: over all its species, since the letter does not tell which.
pub fn density(trouble: &Trouble, understood: &[Understood]) -> Option<Density> {
    let counted = understood
        .iter()
        .filter(|u| u.present == Presence::Yes && trouble.findings.iter().any(|l| l.finding == u.finding && l.high >= 0.3));
    let per_m2 = counted.filter_map(|u| u.number.as_ref()).find_map(|n| n.in_unit("per m2").ok())?;
    let bound = |pick: fn(&Threshold) -> Option<f64>, fold: fn(f64, f64) -> f64| trouble.thresholds.iter().filter_map(pick).reduce(fold);
    let low = bound(|t| t.low.in_unit("per m2").ok(), f64::min)?;
    let high = bound(|t| t.high.in_unit("per m2").ok(), f64::max)?;
    Some(if per_m2 < 0.5 * low {
        Density::FarBelow
    } else if per_m2 < low {
        Density::Below
    } else if per_m2 <= high {
        Density::Between
    } else {
        Density::Above
    })
}

fn density_weight(density: Density) -> f64 {
    match density {
        Density::FarBelow => -1.2,
        Density::Below => -0.5,
        Density::Between => 0.4,
        Density::Above => 0.8,
    }
}

/// The causes of a case.
pub fn diagnose(lore: &Lore, table: &CauseTable, case: &Case<'_>) -> Diagnosis {
    let field = Field::new(lore, table);
    let mut evidence = field.evidence(&case.reading.understood);
    let mut priors = field.priors(case);
    let before = Field::normalised(&priors.iter().map(|p| p.0).collect::<Vec<_>>());
    for (i, trouble) in field.troubles.iter().enumerate() {
        if let Some(density) = density(trouble, &case.reading.understood) {
            let weight = density_weight(density);
            let (log, reasons) = &mut priors[i];
            *log += add_reason(reasons, "count", "the count against the published thresholds".to_owned(), weight.exp());
        }
    }
    unspoken_for(&mut priors, &evidence);
    field.like_the_letter(&mut priors, &mut evidence, &case.reading.heard);
    let log_weights = log_posterior(&priors, &evidence);
    let beliefs = together::beliefs(&priors.iter().map(|p| p.0).collect::<Vec<_>>(), &log_weights, &evidence);
    let posterior: Vec<f64> = beliefs.main().iter().zip(&before).map(|(p, q)| (1.0 - MODEL_DOUBT) * p + MODEL_DOUBT * q).collect();
    let moved_bits: f64 = posterior.iter().zip(&before).filter(|(p, _)| **p > 0.0).map(|(p, q)| p * (p / q).log2()).sum();
    let findings_used = evidence.iter().filter(|e| spread(&e.log_likelihood) > 0.2 && e.weight > 0.1).count();
    let weighed: Vec<Weighed<'_, '_>> = evidence.iter().map(|e| Weighed::new(e, &posterior)).collect();
    let mut causes: Vec<Cause> =
        posterior.iter().enumerate().map(|(i, p)| cause(&field, i, [*p, beliefs.present(i), before[i]], &priors[i].1, &weighed)).collect();
    causes.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let top = causes.first();
    let cannot_tell = findings_used == 0 || top.is_none_or(|c| c.probability < 0.3 || c.key == SOMETHING_ELSE);
    let together = together::told(&field, &beliefs, &evidence);
    Diagnosis { causes, together, findings_used, moved_bits, cannot_tell }
}

/// Factor on a cause for which nothing that was told speaks: whoever writes names the sign that struck them, and it was another's.
const UNSPOKEN_FOR: f64 = 0.35;

/// Lowers the causes that no finding speaks for, where some finding speaks plainly for another cause.
fn unspoken_for(priors: &mut [(f64, Vec<Reason>)], evidence: &[Evidence<'_>]) {
    let leak = priors.len() - 1;
    let there = |e: &&Evidence<'_>| e.told.iter().any(|u| u.present == Presence::Yes) && e.weight > 0.3;
    let gain = |e: &Evidence<'_>, i: usize| e.log_likelihood[i] - e.log_likelihood[leak];
    let plain = evidence.iter().filter(there).any(|e| (0..leak).any(|i| gain(e, i) > 4f64.ln()));
    if !plain {
        return;
    }
    for (i, (log, reasons)) in priors.iter_mut().enumerate().take(leak) {
        if !evidence.iter().filter(there).any(|e| gain(e, i) > 1.5f64.ln()) {
            *log += add_reason(reasons, "letter", "nothing that was told speaks for it".to_owned(), UNSPOKEN_FOR);
        }
    }
}

fn log_posterior(priors: &[(f64, Vec<Reason>)], evidence: &[Evidence<'_>]) -> Vec<f64> {
    priors.iter().enumerate().map(|(i, (log, _))| log + evidence.iter().map(|e| e.weight * e.log_likelihood[i]).sum::<f64>()).collect()
}

/// A piece of evidence with its likelihoods weighed by the posterior, summed once.
struct Weighed<'e, 'a> {
    evidence: &'e Evidence<'a>,
    /// Belief and belief × likelihood of each cause, and their sums.
    each: Vec<(f64, f64)>,
    sum: (f64, f64),
}

impl<'e, 'a> Weighed<'e, 'a> {
    fn new(evidence: &'e Evidence<'a>, posterior: &[f64]) -> Self {
        let each: Vec<(f64, f64)> = posterior.iter().zip(&evidence.log_likelihood).map(|(p, l)| (*p, p * l.exp())).collect();
        let sum = each.iter().fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        Self { evidence, each, sum }
    }

    /// Mean likelihood under the other causes, by what is left of their odds.
    fn mean_of_others(&self, i: usize) -> f64 {
        let (belief, both) = self.each[i];
        (self.sum.1 - both).max(0.0) / (self.sum.0 - belief).max(1e-12)
    }
}

fn cause(
    field: &Field<'_>,
    i: usize,
    [probability, present, expected]: [f64; 3],
    prior_reasons: &[Reason],
    weighed: &[Weighed<'_, '_>],
) -> Cause {
    let mut because = prior_reasons.to_vec();
    for w in weighed {
        let e = w.evidence;
        let weight = e.weight * (e.log_likelihood[i] - w.mean_of_others(i).max(1e-9).ln());
        if weight.abs() > 0.1
            && let Some(u) = e.told.first()
        {
            let name = if u.present == Presence::No { format!("not: {}", u.name) } else { u.name.clone() };
            because.push(Reason {
                finding: u.finding.clone(),
                name,
                direction: if weight > 0.0 { Direction::Supports } else { Direction::Against },
                weight,
            });
        }
    }
    because.sort_by(|a, b| b.weight.abs().total_cmp(&a.weight.abs()));
    because.truncate(8);
    match field.troubles.get(i) {
        Some(t) => Cause {
            key: t.key.clone(),
            name: t.name.clone(),
            scientific: t.scientific.clone(),
            probability,
            present: present.clamp(probability, 1.0),
            expected,
            harmless: t.kind == TroubleKind::Harmless,
            because,
        },
        None => Cause {
            key: SOMETHING_ELSE.to_owned(),
            name: "something else".to_owned(),
            scientific: None,
            probability,
            present: present.clamp(probability, 1.0),
            expected,
            harmless: false,
            because: Vec::new(),
        },
    }
}

/// Posterior after one more answer, for [`crate::next_look`]: the present posterior reweighted by the chance of the answer.
pub(crate) fn reweighted(posterior: &[f64], likelihood: impl Iterator<Item = f64>) -> (f64, Vec<f64>) {
    let joint: Vec<f64> = posterior.iter().zip(likelihood).map(|(p, l)| p * l).collect();
    let chance: f64 = joint.iter().sum();
    (chance, joint.into_iter().map(|j| if chance > 0.0 { j / chance } else { 0.0 }).collect())
}

/// The posterior in the order of [`Field`], from the sorted causes.
pub(crate) fn in_field_order(field: &Field<'_>, causes: &[Cause]) -> Vec<f64> {
    let by_key: BTreeMap<&str, f64> = causes.iter().map(|c| (c.key.as_str(), c.probability)).collect();
    field
        .troubles
        .iter()
        .map(|t| t.key.as_str())
        .chain(std::iter::once(SOMETHING_ELSE))
        .map(|k| by_key.get(k).copied().unwrap_or(0.0))
        .collect()
}

/// Host words for people, for the reply.
pub fn host_words(host: &Host) -> String {
    host.plants
        .iter()
        .next()
        .cloned()
        .or_else(|| host.kinds.iter().next().map(|k| k.word().to_owned()))
        .unwrap_or_else(|| "yard".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use groundlore_lore::provenance::Source;

    /// (id, prior, sensitivity, specificity, P(ill | positive), P(well | negative)): single tests of the season note, section 7b.
    const SINGLE_TESTS: &[(&str, f64, f64, f64, f64, f64)] =
        &[("DX-T1", 0.01, 0.9, 0.9, 1.0 / 12.0, 0.998_878_923_767), ("DX-T2", 0.1, 0.8, 0.95, 0.64, 0.977_142_857_143)];

    #[test]
    fn single_tests_give_the_textbook_posteriors() {
        for (id, prior, sensitivity, specificity, ill, well) in SINGLE_TESTS {
            let before = [*prior, 1.0 - prior];
            let positive = reweighted(&before, [*sensitivity, 1.0 - specificity].into_iter()).1;
            let negative = reweighted(&before, [1.0 - sensitivity, *specificity].into_iter()).1;
            assert!((positive[0] - ill).abs() < 1e-9, "{id}");
            assert!((negative[1] - well).abs() < 1e-9, "{id}");
            let by_logs = Field::normalised(&[(prior * sensitivity).ln(), ((1.0 - prior) * (1.0 - specificity)).ln()]);
            assert!((by_logs[0] - ill).abs() < 1e-9, "{id}");
        }
    }

    #[test]
    fn evidence_that_cannot_be_is_no_division_by_nothing() {
        // DX-28: evidence of probability 0 has no posterior.
        let (chance, after) = reweighted(&[0.5, 0.5], [0.0, 0.0].into_iter());
        assert_eq!((chance, after), (0.0, vec![0.0, 0.0]));
    }

    #[test]
    fn seasons_swap_in_the_south_and_fade_over_three_weeks() {
        let season = DayRange { from: "08-05".into(), to: "11-05".into(), source: Source(vec!["memory".into()]) };
        let day = |m, d| jiff::civil::date(2024, m, d);
        assert!((season_share(&season, day(9, 1), None) - 1.0).abs() < 1e-9);
        assert!(season_share(&season, day(4, 1), None) < 1e-9);
        assert!((season_share(&season, day(3, 3), Some(Hemisphere::Southern)) - 1.0).abs() < 1e-9);
        let near = season_share(&season, day(7, 26), None);
        assert!(near > 0.4 && near < 0.7, "{near}");
    }
}
