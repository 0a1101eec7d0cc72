//! When to stop: the rule of one stratum, its table for the sheet, and what it says of the counts so far.

use crate::density::ThresholdRange;
use crate::sequential::{Distribution, Plan, SequentialError, StopLines, operating_point, stop_lines};
use serde::{Deserialize, Serialize};

/// The stop rule of one stratum, in finds on the running total.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StopRule {
    /// Stratum it runs within.
    pub stratum: String,
    /// Low mean per sample.
    pub low_per_sample: f64,
    /// High mean per sample.
    pub high_per_sample: f64,
    /// Dispersion k supposed.
    pub k: f64,
    /// The lines.
    pub lines: StopLines,
    /// The plan behind the lines.
    pub plan: Plan,
    /// Most samples, after which the total is read against the middle line.
    pub most: u32,
    /// Chance of calling a density at the low end high.
    pub wrong_at_low: f64,
    /// Chance of calling a density at the high end low.
    pub wrong_at_high: f64,
    /// Expected samples at the low end and at the high end.
    pub expected_samples: (f64, f64),
    /// Rows for the sheet: samples taken, stop as few at or under (none: too soon), stop as enough at or over.
    pub rows: Vec<StopRow>,
}

/// What a stop rule says of the counts so far.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StopReading {
    /// Samples that the answer took (those after it are not needed).
    pub samples: u32,
    /// Running total at that point.
    pub total: u64,
    /// The answer.
    pub says: crate::sequential::Stop,
    /// True where the lines were not met and the last sample allowed was read against the middle line.
    pub cut_short: bool,
    /// Samples still allowed.
    pub left: u32,
    /// In words for the sheet or the phone.
    pub words: String,
}

impl StopRule {
    /// Reads the counts of this stratum in the order in which they came in.
    pub fn read(&self, counts: &[u64]) -> StopReading {
        use crate::sequential::Stop::{GoOn, High, Low};
        let allowed = &counts[..counts.len().min(self.most as usize)];
        let (samples, met) = self.lines.walk(allowed);
        let total = allowed.iter().take(samples as usize).fold(0_u64, |sum, &c| sum.saturating_add(c));
        let cut_short = met == GoOn && samples >= self.most;
        let middle = self.lines.slope * f64::from(samples);
        let says = match (met, cut_short) {
            (GoOn, true) if total as f64 <= middle => Low,
            (GoOn, true) => High,
            (met, _) => met,
        };
        let words = match says {
            Low => format!("{}: {total} in {samples} samples: few enough, stop here", self.stratum),
            High => format!("{}: {total} in {samples} samples: enough to matter, stop here", self.stratum),
            GoOn => format!("{}: {total} in {samples} samples: not clear yet, count on", self.stratum),
        };
        StopReading { samples, total, says, cut_short, left: self.most - samples, words }
    }
}

/// One row of a stop rule's table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct StopRow {
    /// Samples taken.
    pub samples: u32,
    /// Stop, few: running total at or under this; none where it is too soon to say so.
    pub few_at_most: Option<u64>,
    /// Stop, enough to matter: running total at or over this.
    pub many_from: u64,
}

/// The stop rule of a stratum: is it at or under the low end of the threshold range, or at or over the high end?
///
/// A single printed threshold is opened by a quarter either way.
///
/// # Errors
/// [`SequentialError`] for thresholds, k or risks out of range.
pub fn stop_rule(
    stratum: &str,
    threshold: &ThresholdRange,
    sample_area_m2: f64,
    k: f64,
    risk: f64,
    most: u32,
) -> Result<StopRule, SequentialError> {
    let (mut low, mut high) = (threshold.low_per_m2 * sample_area_m2, threshold.high_per_m2 * sample_area_m2);
    if high < low * 1.25 {
        (low, high) = (low / 1.25, high * 1.25);
    }
    let plan = Plan { distribution: Distribution::NegativeBinomial { k }, low, high, alpha: risk, beta: risk };
    let lines = stop_lines(&plan)?;
    let (at_low, at_high) = (operating_point(&plan, low, most)?, operating_point(&plan, high, most)?);
    Ok(StopRule {
        stratum: stratum.into(),
        low_per_sample: low,
        high_per_sample: high,
        k,
        lines,
        plan,
        most,
        wrong_at_low: 1.0 - at_low.p_low,
        wrong_at_high: at_high.p_low,
        expected_samples: (at_low.expected_samples, at_high.expected_samples),
        rows: (1..=most).map(|samples| row(&lines, samples)).collect(),
    })
}

fn row(lines: &StopLines, samples: u32) -> StopRow {
    let few = lines.lower(samples);
    StopRow { samples, few_at_most: (few >= 0.0).then(|| few.floor() as u64), many_from: lines.upper(samples).ceil().max(1.0) as u64 }
}
