//! Dates at steps of temperature shift: for each step, point of the threshold and future a day, counted from the outlook's first day.
//!
//! A yard between two steps has its date between theirs. Where the clock is one of heat, the sums of the steps about it, drawn to the
//! yard's shift day by day, say which day it is: sums over many days run smoothly with the shift, where dates leap over cold spells.

use super::super::driving::Days;
use super::day_counts::DayCounts;
use std::sync::Arc;

/// Days at steps of shift; [`SteppedDates::NEVER`] for none.
#[derive(Debug, Clone)]
pub(super) struct SteppedDates {
    /// By step, then point, then future.
    days: Vec<u16>,
    steps: usize,
    points: usize,
    futures: usize,
    heat: Option<Heat>,
}

/// The sums that settle a date between two steps.
#[derive(Debug, Clone)]
struct Heat {
    sums: Arc<HeatSums>,
    /// Place at which the clock begins.
    start: usize,
    thresholds: Vec<f32>,
}

/// Running sums of one heat, for each step of shift and future.
#[derive(Debug)]
pub(super) struct HeatSums {
    /// By future, then day, then step, so that the steps about a yard stand together; the first day of each is 0, before the day `begin`.
    pub(super) sums: Vec<f32>,
    pub(super) steps: usize,
    pub(super) futures: usize,
    /// Sums of one step and future: days and one more.
    pub(super) length: usize,
    /// Place of the first day that is summed.
    pub(super) begin: usize,
    /// Days before this place are the same in all futures.
    pub(super) known: usize,
}

/// How the sums of up to four steps are drawn to a shift between the middle two.
#[derive(Debug, Clone, Copy)]
struct Drawn {
    /// First of the steps.
    from: usize,
    weights: [f32; 4],
}

impl Drawn {
    /// A line between two steps with a parabola's worth of bend from the steps on either side, where there are such.
    fn of(step: usize, share: f32, steps: usize) -> Self {
        let bend = 0.5 * share * (1.0 - share);
        let (below, above) = (step > 0, step + 2 < steps);
        // Weights of the steps from the one below the pair to the one above it.
        let [zero, one, two, three] = match (below, above) {
            (true, true) => [-0.5 * bend, 0.5 * bend, 0.5 * bend, -0.5 * bend],
            (true, false) => [-bend, 2.0 * bend, -bend, 0.0],
            (false, true) => [0.0, -bend, 2.0 * bend, -bend],
            (false, false) => [0.0; 4],
        };
        let (one, two) = (1.0 - share + one, share + two);
        if below { Self { from: step - 1, weights: [zero, one, two, three] } } else { Self { from: step, weights: [one, two, three, 0.0] } }
    }
}

impl HeatSums {
    /// The sum of a future before a day, counted from `begin`. Steps that are not there weigh nothing: what stands next is read for them.
    #[inline]
    fn drawn(&self, drawn: Drawn, future: usize, day: usize) -> f32 {
        let at = (future * self.length + day) * self.steps + drawn.from;
        let Some([zero, one, two, three]) = self.sums.get(at..).and_then(|sums| sums.first_chunk::<4>()) else { return 0.0 };
        let [a, b, c, d] = drawn.weights;
        (a * zero + b * one) + (c * two + d * three)
    }
}

impl SteppedDates {
    /// Stands for no day.
    const NEVER: u16 = u16::MAX;

    /// Room for the days of a clock of heat, none of them set.
    pub(super) fn of_heat(sums: Arc<HeatSums>, start: usize, thresholds: &[f64]) -> Self {
        let (steps, points, futures) = (sums.steps, thresholds.len(), sums.futures);
        let thresholds = thresholds.iter().map(|total| *total as f32).collect();
        Self { days: vec![Self::NEVER; steps * points * futures], steps, points, futures, heat: Some(Heat { sums, start, thresholds }) }
    }

    /// From days by step, point and future.
    pub(super) fn of_days(steps: &[Vec<Days>], first: i32) -> Self {
        let points = steps.first().map_or(0, Vec::len);
        let futures = steps.first().and_then(|points| points.first()).map_or(0, Vec::len);
        let place = |day: &Option<i32>| day.and_then(|day| u16::try_from(day - first).ok()).unwrap_or(Self::NEVER);
        Self { days: steps.iter().flatten().flatten().map(place).collect(), steps: steps.len(), points, futures, heat: None }
    }

    /// Sets one day.
    pub(super) fn set(&mut self, step: usize, point: usize, future: usize, place: usize) {
        self.days[(step * self.points + point) * self.futures + future] = u16::try_from(place).unwrap_or(Self::NEVER);
    }

    /// Fills counts with the days at a place between two steps.
    pub(super) fn fill(&self, (step, share): (usize, f32), middle_only: bool, counts: &mut DayCounts) {
        counts.begin(self.futures);
        let middle = self.points / 2;
        let points = if middle_only { middle.min(self.points)..(middle + 1).min(self.points) } else { 0..self.points };
        let row = |step: usize, point: usize| &self.days[(step * self.points + point) * self.futures..][..self.futures];
        for point in points {
            let low = row(step.min(self.steps.saturating_sub(1)), point);
            if self.steps < 2 || share <= 0.0 {
                counts.add_all(low.iter().copied());
                continue;
            }
            let high = row(step + 1, point);
            match &self.heat {
                _ if share >= 1.0 => counts.add_all(high.iter().copied()),
                Some(heat) => counts.add_all(heat.between((step, share), point, low, high)),
                None => counts.add_all(low.iter().zip(high).map(|(low, high)| between(*low, *high, share))),
            }
        }
    }
}

/// The day at a share of the way from one to another; where one of them is none the nearer one decides.
fn between(low: u16, high: u16, share: f32) -> u16 {
    if low == SteppedDates::NEVER || high == SteppedDates::NEVER {
        return if share < 0.5 { low } else { high };
    }
    (f32::from(low) + share * (f32::from(high) - f32::from(low))).round() as u16
}

impl Heat {
    /// The days of one threshold in every future between two steps.
    fn between<'a>(&'a self, (step, share): (usize, f32), point: usize, low: &'a [u16], high: &'a [u16]) -> impl Iterator<Item = u16> + 'a {
        let drawn = Drawn::of(step, share, self.sums.steps);
        // Of a common past the day is sought once.
        let mut before = (SteppedDates::NEVER, SteppedDates::NEVER, SteppedDates::NEVER);
        low.iter().zip(high).enumerate().map(move |(future, (low, high))| {
            if low == high {
                return *low;
            }
            if (before.0, before.1) != (*low, *high) || usize::from(*low) >= self.sums.known {
                before = (*low, *high, self.sought(drawn, point, future, *low, *high));
            }
            before.2
        })
    }

    /// The first day from that of the warmer step to that of the colder one on which the drawn sum reaches the threshold.
    fn sought(&self, drawn: Drawn, point: usize, future: usize, low: u16, high: u16) -> u16 {
        let sums = &*self.sums;
        let before = if self.start == sums.begin { 0.0 } else { sums.drawn(drawn, future, self.start - sums.begin) };
        let target = before + self.thresholds[point];
        let last = sums.begin + sums.length - 2;
        let (mut from, mut to) = (usize::from(high), usize::from(low).min(last + 1));
        while from < to {
            let middle = from.midpoint(to);
            if sums.drawn(drawn, future, middle - sums.begin + 1) >= target { to = middle } else { from = middle + 1 }
        }
        if from > last { SteppedDates::NEVER } else { from as u16 }
    }
}
