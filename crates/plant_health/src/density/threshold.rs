//! The density at which a species injures: published ranges, their hull by species, and the chance that a density reaches one.

use super::DensityError;
use groundlore_lore::provenance::{Source, Standing};
use groundlore_lore::trouble::Threshold;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A threshold range with its logarithms at hand, for sums that ask it very often.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ramp {
    range: ThresholdRange,
    ln_low: f64,
    per_ln: f64,
}

impl Ramp {
    pub(crate) fn new(range: ThresholdRange) -> Self {
        let span = (range.high_per_m2 / range.low_per_m2).ln();
        Self { range, ln_low: range.low_per_m2.ln(), per_ln: if span > 0.0 { span.recip() } else { 0.0 } }
    }

    pub(crate) fn low_per_m2(&self) -> f64 {
        self.range.low_per_m2
    }

    pub(crate) fn range(&self) -> ThresholdRange {
        self.range
    }

    /// As [`ThresholdRange::p_reached`].
    pub(crate) fn p_reached(&self, density_per_m2: f64) -> f64 {
        if density_per_m2 >= self.range.high_per_m2 {
            1.0
        } else if density_per_m2 <= self.range.low_per_m2 {
            0.0
        } else {
            (density_per_m2.ln() - self.ln_low) * self.per_ln
        }
    }
}

/// An uncertain threshold, log-uniform between its ends, per m².
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ThresholdRange {
    /// Lower end, per m².
    pub low_per_m2: f64,
    /// Upper end, per m².
    pub high_per_m2: f64,
}

impl ThresholdRange {
    /// Probability that a density per m² reaches the threshold: 0 up to the low end, 1 from the high end, straight in ln
    /// density between (a step where the ends are equal).
    ///
    /// # Example
    /// ```
    /// # use groundlore_plant_health::density::ThresholdRange;
    /// let chafer = ThresholdRange { low_per_m2: 50.0, high_per_m2: 200.0 };
    /// assert_eq!(chafer.p_reached(40.0), 0.0);
    /// assert!((chafer.p_reached(100.0) - 0.5).abs() < 1e-12);
    /// assert_eq!(chafer.p_reached(250.0), 1.0);
    /// ```
    pub fn p_reached(&self, density_per_m2: f64) -> f64 {
        let (low, high) = (self.low_per_m2, self.high_per_m2);
        if density_per_m2 >= high {
            1.0
        } else if density_per_m2 <= low || high <= low {
            0.0
        } else {
            (density_per_m2 / low).ln() / (high / low).ln()
        }
    }
}

/// A published or remembered threshold of one species.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SpeciesThreshold {
    /// Species or group.
    pub species: String,
    /// How it is told in the hand.
    pub told_by: Option<String>,
    /// The range as given, per m².
    pub range: ThresholdRange,
    /// Where it holds.
    pub region: String,
    /// Condition of the ground, if stated.
    pub condition: Option<String>,
    /// Where it comes from.
    pub source: Source,
    /// How firmly it stands.
    pub standing: Standing,
}

impl SpeciesThreshold {
    /// Reads a threshold of lore; `standing` says how firmly a source stands (`|source| lore.standing(source)`).
    ///
    /// # Errors
    /// [`DensityError`] for a range that is none, or units that are not a count per area.
    pub fn from_lore(threshold: &Threshold, standing: &dyn Fn(&Source) -> Standing) -> Result<Self, DensityError> {
        let unit = |error| DensityError::Unit { species: threshold.species.clone(), error: Box::new(error) };
        let per_m2 = |q: &groundlore_quantity::Quantity| q.in_unit("per m2").map_err(unit);
        let range = ThresholdRange { low_per_m2: per_m2(&threshold.low)?, high_per_m2: per_m2(&threshold.high)? };
        if !(range.low_per_m2 > 0.0 && range.high_per_m2 >= range.low_per_m2) {
            let (low, high) = (range.low_per_m2, range.high_per_m2);
            return Err(DensityError::Threshold { species: threshold.species.clone(), low, high });
        }
        Ok(Self {
            species: threshold.species.clone(),
            told_by: threshold.told_by.clone(),
            range,
            region: threshold.region.clone(),
            condition: threshold.condition.clone(),
            source: threshold.source.clone(),
            standing: standing(&threshold.source),
        })
    }
}

impl SpeciesThreshold {
    /// Whether its condition says that the ground is watered, or that it is not; none where it says neither.
    pub fn says_watered(&self) -> Option<bool> {
        const DRY: [&str; 5] = ["not watered", "un-watered", "unwatered", "not irrigated", "without irrigation"];
        let condition = self.condition.as_deref()?.to_lowercase();
        if DRY.iter().any(|w| condition.contains(w)) {
            Some(false)
        } else {
            (condition.contains("irrigat") || condition.contains("watered")).then_some(true)
        }
    }

    fn contradicts(&self, watered: Option<bool>) -> bool {
        self.says_watered().zip(watered).is_some_and(|(says, is)| says != is)
    }
}

/// One threshold a species from the rows of a lore entry: the hull of its published ranges, or of all where none is published.
///
/// Rows whose condition contradicts the turf (`irrigated` where it is known not to be, and the other way round) are left out, as
/// long as another row of that species remains.
///
/// # Errors
/// As [`SpeciesThreshold::from_lore`].
pub fn by_species(
    rows: &[Threshold],
    watered: Option<bool>,
    standing: &dyn Fn(&Source) -> Standing,
) -> Result<Vec<SpeciesThreshold>, DensityError> {
    let mut all: BTreeMap<String, Vec<SpeciesThreshold>> = BTreeMap::new();
    for row in rows {
        let threshold = SpeciesThreshold::from_lore(row, standing)?;
        all.entry(threshold.species.clone()).or_default().push(threshold);
    }
    Ok(all.into_values().filter_map(|rows| hull(rows, watered)).collect())
}

fn hull(rows: Vec<SpeciesThreshold>, watered: Option<bool>) -> Option<SpeciesThreshold> {
    let keep = |rows: Vec<SpeciesThreshold>, wanted: &dyn Fn(&SpeciesThreshold) -> bool| -> Vec<SpeciesThreshold> {
        if rows.iter().any(wanted) { rows.into_iter().filter(|r| wanted(r)).collect() } else { rows }
    };
    let rows = keep(rows, &|r| r.standing > Standing::Recalled);
    let rows = keep(rows, &|r| !r.contradicts(watered));
    // A row printed for this very turf speaks for the whole range: it needs no further widening for the turf.
    let own = rows.iter().find(|r| watered.is_some() && r.says_watered() == watered).and_then(|r| r.condition.clone());
    let merged = rows.into_iter().reduce(|mut all, row| {
        all.range.low_per_m2 = all.range.low_per_m2.min(row.range.low_per_m2);
        all.range.high_per_m2 = all.range.high_per_m2.max(row.range.high_per_m2);
        if all.condition != row.condition {
            all.condition = None;
        }
        all.standing = all.standing.min(row.standing);
        if all.region != row.region {
            all.region = format!("{}; {}", all.region, row.region);
        }
        for key in row.source.0 {
            if !all.source.0.contains(&key) {
                all.source.0.push(key);
            }
        }
        all
    });
    merged.map(|all| SpeciesThreshold { condition: own.or(all.condition), ..all })
}
