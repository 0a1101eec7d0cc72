//! A figure that runs through the year in a smooth round: a Fourier sum by day of year.

use std::f64::consts::TAU;

use serde::Serialize;

use crate::least_squares::NormalEquations;

/// Days of the year that a curve is tabled for (29 February has its own).
pub const SLOTS: usize = 366;

/// The terms 1, cos θ, sin θ, cos 2θ, sin 2θ … at a day of the year (0…365 as [`crate::calendar::day_slot`] counts).
#[must_use]
pub fn fourier_terms(slot: usize, harmonics: usize) -> Vec<f64> {
    let angle = TAU * slot as f64 / SLOTS as f64;
    let mut terms = Vec::with_capacity(1 + 2 * harmonics);
    terms.push(1.0);
    for harmonic in 1..=harmonics {
        let (sine, cosine) = (harmonic as f64 * angle).sin_cos();
        terms.extend([cosine, sine]);
    }
    terms
}

/// The terms of every day of the year.
pub(crate) fn fourier_table(harmonics: usize) -> Vec<Vec<f64>> {
    (0..SLOTS).map(|slot| fourier_terms(slot, harmonics)).collect()
}

/// A Fourier sum tabled for each day of the year.
///
/// # Example
/// ```
/// use groundlore_weather::season_curve::SeasonCurve;
/// // A figure that swings between 5 and 15, highest in the year's middle.
/// let slots: Vec<usize> = (0..366).collect();
/// let values: Vec<f64> = slots.iter().map(|slot| 10.0 - 5.0 * (*slot as f64 * std::f64::consts::TAU / 366.0).cos()).collect();
/// let curve = SeasonCurve::fit(&slots, &values, 1).unwrap();
/// assert!((curve.at(183) - 15.0).abs() < 1e-9);
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeasonCurve {
    values: Vec<f64>,
}

impl SeasonCurve {
    /// The least-squares Fourier sum of values whose days of the year stand beside them; NaN values do not count. `None` when there are
    /// too few values.
    #[must_use]
    pub fn fit(slots: &[usize], values: &[f64], harmonics: usize) -> Option<SeasonCurve> {
        // Days of the year with the same row are one row of as much weight.
        let mut days = vec![(0.0, 0.0); SLOTS];
        for (slot, value) in slots.iter().zip(values).filter(|(_, value)| !value.is_nan()) {
            let day = &mut days[*slot % SLOTS];
            *day = (day.0 + value, day.1 + 1.0);
        }
        let mut sums = NormalEquations::new(1 + 2 * harmonics);
        for (row, (sum, number)) in fourier_table(harmonics).iter().zip(&days).filter(|(_, (_, number))| *number > 0.0) {
            sums.add(row, sum / number, *number);
        }
        let (coefficients, _) = sums.solve()?;
        Some(SeasonCurve::of_coefficients(&coefficients))
    }

    /// The curve of coefficients in the order of [`fourier_terms`].
    #[must_use]
    pub fn of_coefficients(coefficients: &[f64]) -> SeasonCurve {
        let harmonics = coefficients.len().saturating_sub(1) / 2;
        let at = |slot| fourier_terms(slot, harmonics).iter().zip(coefficients).map(|(term, weight)| term * weight).sum();
        SeasonCurve { values: (0..SLOTS).map(at).collect() }
    }

    /// The same curve with every value changed.
    #[must_use]
    pub fn map(&self, change: impl Fn(f64) -> f64) -> SeasonCurve {
        SeasonCurve { values: self.values.iter().map(|value| change(*value)).collect() }
    }

    /// Adds a figure of the day of the year to each value.
    pub fn add(&mut self, figure: impl Fn(usize) -> f64) {
        self.values.iter_mut().enumerate().for_each(|(slot, value)| *value += figure(slot));
    }

    /// The value on a day of the year (0…365).
    #[must_use]
    pub fn at(&self, slot: usize) -> f64 {
        self.values[slot % SLOTS]
    }
}
