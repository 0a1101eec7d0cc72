//! The normal of each day of the year, from the series' own record.

use serde::Serialize;

use crate::calendar::day_slot;
use crate::series::{Element, Series};

/// Days on either side of a day that go into its normal.
pub const HALF_WINDOW_DAYS: usize = 15;

const SLOTS: usize = 366;

/// The mean of an element for each day of the year over all years of a series, smoothed by a running window of 31 days around the
/// year's end. Missing and suspect values do not count.
#[derive(Debug, Clone, Serialize)]
pub struct Climatology {
    /// Which element.
    pub element: Element,
    /// Values that went in.
    pub values: usize,
    normals: Vec<f64>,
}

impl Climatology {
    /// The normals of an element of a series.
    #[must_use]
    pub fn of(series: &Series, element: Element) -> Climatology {
        let slots: Vec<usize> = (0..series.len()).map(|index| day_slot(series.date(index))).collect();
        Climatology::of_values(element, &slots, &series.trusted(element))
    }

    /// The normals of values whose days of the year (0…365) stand beside them; NaN values do not count.
    pub(crate) fn of_values(element: Element, slots: &[usize], values: &[f64]) -> Climatology {
        let mut sums = [(0.0, 0.0); SLOTS];
        for (slot, value) in slots.iter().zip(values).filter(|(_, value)| !value.is_nan()) {
            sums[*slot % SLOTS].0 += value;
            sums[*slot % SLOTS].1 += 1.0;
        }
        let known = sums.iter().map(|(_, count)| *count as usize).sum();
        let normals = (0..SLOTS).map(|slot| smoothed(&sums, slot)).collect();
        Climatology { element, values: known, normals }
    }

    /// The normal of a day of the year (0…365, as [`day_slot`] counts); NaN when no value lies within reach.
    #[must_use]
    pub fn normal(&self, slot: usize) -> f64 {
        self.normals[slot % SLOTS]
    }
}

/// The mean of the values within the window around a slot; the window widens until it holds a value.
fn smoothed(sums: &[(f64, f64); SLOTS], slot: usize) -> f64 {
    let mut half = HALF_WINDOW_DAYS;
    while half <= SLOTS / 2 {
        let (mut sum, mut count) = (0.0, 0.0);
        for step in 0..=2 * half {
            let (value, values) = sums[(slot + SLOTS + step - half) % SLOTS];
            sum += value;
            count += values;
        }
        if count > 0.0 {
            return sum / count;
        }
        half *= 2;
    }
    f64::NAN
}
