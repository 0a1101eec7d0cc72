//! Counts of days, quick to fill and to ask for quantiles widened by steps in days.

use super::super::Without;
use super::Packed;
use super::curves::Knot;
use groundlore_weather::quantile::QuantileRule;

/// Places that are counted: a season begins half a year before its year, and a calendar may run on into the next.
const PLACES: usize = 1024;
/// Where those without the event are counted.
const NEVER: usize = PLACES - 1;

/// How many of an even sample fall on each place (day from the outlook's first day), and how many have no day.
pub(super) struct DayCounts {
    counts: [u32; PLACES],
    /// The places in the order in which they were added, points in a row.
    added: Vec<u32>,
    futures: usize,
    /// Lowest place that is counted, and how many places there are from it to the highest.
    lowest: usize,
    width: usize,
    dated: u32,
    widened: Widened,
}

/// The sample after each day was moved by each step: how many lie on a place or before it.
#[derive(Default)]
struct Widened {
    by: Vec<u32>,
    /// Place of the first of them.
    first: i32,
    dated: u32,
    undated: u32,
}

impl Default for DayCounts {
    fn default() -> Self {
        Self { counts: [0; PLACES], added: Vec::new(), futures: 0, lowest: 0, width: 0, dated: 0, widened: Widened::default() }
    }
}

impl DayCounts {
    /// Makes them empty again, for so many futures.
    pub(super) fn begin(&mut self, futures: usize) {
        self.counts[NEVER] = 0;
        self.counts[self.lowest..self.lowest + self.width].fill(0);
        (self.futures, self.lowest, self.width, self.dated) = (futures, 0, 0, 0);
        self.added.clear();
    }

    /// Adds days; what lies above the places has no day.
    pub(super) fn add_all(&mut self, days: impl Iterator<Item = u16>) {
        self.added.extend(days.map(|day| u32::from(day).min(NEVER as u32)));
    }

    /// Adds one place, or none.
    pub(super) fn add(&mut self, place: Option<u32>) {
        self.added.push(place.unwrap_or(NEVER as u32).min(NEVER as u32));
    }

    /// Counts what was added.
    pub(super) fn count(&mut self) {
        let lowest = self.added.iter().copied().min().unwrap_or(NEVER as u32) as usize;
        let placed = |place: &u32| if *place < NEVER as u32 { *place } else { 0 };
        let highest = self.added.iter().map(placed).max().unwrap_or(0) as usize;
        for place in &self.added {
            // No place lies outside: the mask only says so.
            let count = &mut self.counts[*place as usize & NEVER];
            *count = count.wrapping_add(1);
        }
        (self.lowest, self.width) = if lowest < NEVER { (lowest, highest + 1 - lowest) } else { (0, 0) };
        self.dated = u32::try_from(self.added.len()).unwrap_or(u32::MAX) - self.counts[NEVER];
    }

    /// Standard deviation, days, of the middle places of the threshold's points; see `Weather::range_sd_days`.
    pub(super) fn range_sd_days(&self) -> f64 {
        let mean = |places: &[u32]| {
            let dated: Vec<f64> = places.iter().filter(|place| (**place as usize) < NEVER).map(|place| f64::from(*place)).collect();
            (!dated.is_empty()).then(|| dated.iter().sum::<f64>() / dated.len() as f64)
        };
        let means: Vec<f64> = self.added.chunks(self.futures.max(1)).filter_map(mean).collect();
        let middle = means.iter().sum::<f64>() / means.len().max(1) as f64;
        (means.iter().map(|mean| (mean - middle).powi(2)).sum::<f64>() / means.len().max(1) as f64).sqrt()
    }

    /// The odds, each day moved by each of some steps (in order).
    pub(super) fn odds(&mut self, steps: &[i32], without: Without, first: i32) -> Packed {
        self.widen(steps);
        let day = |probability| self.widened.quantile(probability, without).map_or(Packed::NONE, |place| first + place);
        let undated = self.counts[NEVER];
        let all = self.dated + undated;
        let never = if all == 0 { 0.0 } else { undated as f32 / all as f32 };
        Packed { quantiles: [day(0.1), day(0.5), day(0.9)], never }
    }

    /// The middle place, each moved by each of some steps (in order).
    pub(super) fn middle(&mut self, steps: &[i32], without: Without) -> Option<i32> {
        self.widen(steps);
        self.widened.quantile(0.5, without)
    }

    /// The quantiles with their places within the day, and the share without the event.
    pub(super) fn knot(&mut self, steps: &[i32], without: Without) -> Knot {
        self.widen(steps);
        let place = |probability| self.widened.within_day(probability, without).unwrap_or(f64::NAN);
        let undated = self.counts[NEVER];
        let all = self.dated + undated;
        let never = if all == 0 { 0.0 } else { f64::from(undated) / f64::from(all) };
        [place(0.1), place(0.5), place(0.9), never]
    }

    fn widen(&mut self, steps: &[i32]) {
        let (earliest, latest) = (steps.first().copied().unwrap_or(0), steps.last().copied().unwrap_or(0));
        let apart = usize::try_from(latest - earliest).unwrap_or(0);
        let counts = &self.counts[self.lowest..self.lowest + self.width];
        let by = &mut self.widened.by;
        by.clear();
        by.resize(self.width + apart, 0);
        for step in steps {
            let moved = usize::try_from(step - earliest).unwrap_or(0);
            by[moved..moved + self.width].iter_mut().zip(counts).for_each(|(by, count)| *by = by.wrapping_add(*count));
        }
        let mut sum = 0_u32;
        for by in by.iter_mut() {
            sum = sum.wrapping_add(*by);
            *by = sum;
        }
        let per_day = u32::try_from(steps.len()).unwrap_or(0);
        (self.widened.first, self.widened.dated, self.widened.undated) =
            (self.lowest as i32 + earliest, self.dated * per_day, self.counts[NEVER] * per_day);
    }
}

impl Widened {
    /// A quantile of type 7, as [`DayOdds::quantile`](super::super::DayOdds::quantile): a place, or none where it falls among those
    /// without the event.
    fn quantile(&self, probability: f64, without: Without) -> Option<i32> {
        let (index, share) = QuantileRule::Linear.place(usize::try_from(self.dated + self.undated).ok()?, probability)?;
        let absent = if without == Without::Early { self.undated } else { 0 };
        let index = u32::try_from(index).ok()?.checked_sub(absent)?;
        let low = self.at(index)?;
        if share < 1e-9 {
            return Some(low);
        }
        let high = self.at(index + 1)?;
        Some((f64::from(low) + share * f64::from(high - low) + 0.5 + 1e-9).floor() as i32)
    }

    /// A quantile's day, and how far into that day's part of the sample it falls. Its floor is [`Widened::quantile`], save where that falls
    /// between two days of the sample that do not follow each other.
    fn within_day(&self, probability: f64, without: Without) -> Option<f64> {
        let exact = self.quantile(probability, without)?;
        let (index, share) = QuantileRule::Linear.place(usize::try_from(self.dated + self.undated).ok()?, probability)?;
        let absent = if without == Without::Early { self.undated } else { 0 };
        let index = u32::try_from(index).ok()?.checked_sub(absent)?;
        let offset = self.by.partition_point(|by| *by <= index);
        let below = offset.checked_sub(1).map_or(0, |before| self.by[before]);
        let part = (f64::from(index - below) + share) / f64::from(self.by.get(offset)? - below);
        Some(f64::from(exact) + part.clamp(0.0, 1.0 - 1e-6))
    }

    /// The place at an index of the sorted sample.
    fn at(&self, index: u32) -> Option<i32> {
        let offset = self.by.partition_point(|by| *by <= index);
        (offset < self.by.len()).then(|| self.first + offset as i32)
    }
}
