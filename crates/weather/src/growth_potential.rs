//! How near the temperature is to what turf grows best at: growth potential, 0 to 1.
//!
//! Two forms are in use and they do not agree: °F (optima 68 and 88, widths 10 and 12) and °C (20 and 31, widths 5.5 and 7) lie up to 0.036
//! apart. A later form holds warm-season grass at 1 above its optimum.
//!
//! # Sources
//! Gelernter & Stowell (2005): optima read at grounds-mag.com ("Predicting turf performance"), widths memory. The °C form: 2013 fact sheet of
//! the same authors (memory). The later form and the reading of the figure: the authors' own site.

use serde::{Deserialize, Serialize};

/// The kind of grass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grass {
    /// Cool-season grass.
    Cool,
    /// Warm-season grass.
    Warm,
}

/// The scale in which the curve is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GrowthForm {
    /// In °F.
    Fahrenheit,
    /// In °C.
    Celsius,
}

/// What happens to warm-season grass above its optimum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum AboveOptimum {
    /// Growth falls off as it does below: the first form.
    #[default]
    Falls,
    /// Growth stays at its best: the later form. Cool-season grass falls off all the same.
    Holds,
}

impl GrowthForm {
    /// The optimum and the width of the curve, in its own scale.
    #[must_use]
    pub fn optimum_and_width(self, grass: Grass) -> (f64, f64) {
        match (self, grass) {
            (GrowthForm::Fahrenheit, Grass::Cool) => (68.0, 10.0),
            (GrowthForm::Fahrenheit, Grass::Warm) => (88.0, 12.0),
            (GrowthForm::Celsius, Grass::Cool) => (20.0, 5.5),
            (GrowthForm::Celsius, Grass::Warm) => (31.0, 7.0),
        }
    }

    /// Growth potential, 0 to 1, at a mean temperature in °C.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::growth_potential::{AboveOptimum, Grass, GrowthForm};
    /// let cool = GrowthForm::Fahrenheit.potential((60.0 - 32.0) / 1.8, Grass::Cool, AboveOptimum::Falls);
    /// assert!((cool - 0.726).abs() < 0.001);
    /// ```
    #[must_use]
    pub fn potential(self, mean_c: f64, grass: Grass, above: AboveOptimum) -> f64 {
        let (optimum, width) = self.optimum_and_width(grass);
        let mean = if self == GrowthForm::Fahrenheit { mean_c * 1.8 + 32.0 } else { mean_c };
        if grass == Grass::Warm && above == AboveOptimum::Holds && mean > optimum {
            return 1.0;
        }
        (-0.5 * ((mean - optimum) / width).powi(2)).exp()
    }
}

/// What a growth potential means. 0.5 and above good, 0.1 and below extremely limited: the authors' own site; what lies between is ours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GrowthReading {
    /// At or below 0.1.
    ExtremelyLimited,
    /// Between the two.
    Limited,
    /// At or above 0.5.
    Good,
}

/// The reading of a growth potential; `None` outside 0 to 1.
#[must_use]
pub fn reading(potential: f64) -> Option<GrowthReading> {
    match potential {
        p if !(0.0..=1.0).contains(&p) => None,
        p if p <= 0.1 => Some(GrowthReading::ExtremelyLimited),
        p if p < 0.5 => Some(GrowthReading::Limited),
        _ => Some(GrowthReading::Good),
    }
}
