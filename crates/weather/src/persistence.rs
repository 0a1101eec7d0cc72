//! How long a warm or a cold spell lasts on: the coming days' anomaly by lead, from the anomaly of the last days and weeks.
//!
//! Around one day of the year (45 days on either side, every past year) the mean anomaly of the days ahead, in bins of lead, is regressed on
//! two figures of the days behind: the mean anomaly of the last [`SHORT_DAYS`] days and of the last [`LONG_DAYS`]. What lies within its
//! own error is drawn to nothing, and nothing is carried beyond [`LAST_LEAD_DAYS`].
//!
//! # Source
//! Regression on the recent anomaly is common practice (damped persistence); no publication is followed. The hindcast
//! ([`crate::hindcast`]) is what speaks for or against it.

use serde::Serialize;

use crate::least_squares::NormalEquations;

/// Days behind that make the short memory.
pub const SHORT_DAYS: usize = 3;
/// Days behind that make the long memory.
pub const LONG_DAYS: usize = 30;
/// Lead beyond which nothing is carried on.
pub const LAST_LEAD_DAYS: usize = 120;

/// Bins of lead, days: first and one past the last.
const BINS: [(usize, usize); 12] =
    [(0, 1), (1, 2), (2, 3), (3, 5), (5, 7), (7, 10), (10, 15), (15, 22), (22, 31), (31, 46), (46, 61), (61, 91)];
const HALF_WINDOW: i64 = 45;
const STRIDE: usize = 3;

/// Mean anomalies of the days behind a date, °C.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct State {
    /// Over the last [`SHORT_DAYS`] days.
    pub short_c: f64,
    /// Over the last [`LONG_DAYS`] days.
    pub long_c: f64,
}

/// Running sums of an anomaly, so that a mean over any span is a subtraction.
#[derive(Debug, Clone)]
pub(crate) struct AnomalySums(Vec<f64>);

impl AnomalySums {
    pub(crate) fn of(anomalies: &[f64]) -> AnomalySums {
        let mut sums = Vec::with_capacity(anomalies.len() + 1);
        let mut sum = 0.0;
        sums.push(sum);
        for anomaly in anomalies {
            sum += if anomaly.is_nan() { 0.0 } else { *anomaly };
            sums.push(sum);
        }
        AnomalySums(sums)
    }

    pub(crate) fn mean(&self, from: usize, to: usize) -> f64 {
        (self.0[to] - self.0[from]) / (to - from).max(1) as f64
    }

    fn days(&self) -> usize {
        self.0.len() - 1
    }

    /// The state before a day by index; nothing when the record begins less than [`LONG_DAYS`] before it.
    pub(crate) fn state(&self, index: usize) -> Option<State> {
        let (short, long) = (index.checked_sub(SHORT_DAYS)?, index.checked_sub(LONG_DAYS)?);
        (index <= self.days()).then(|| State { short_c: self.mean(short, index), long_c: self.mean(long, index) })
    }
}

/// The share of the state that is carried on, by lead in days.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Persistence {
    carried: Vec<State>,
}

impl Persistence {
    /// Nothing is carried on.
    #[must_use]
    pub fn none() -> Persistence {
        Persistence { carried: Vec::new() }
    }

    /// Fits around a day of the year (0…365) of a record with its slots: `mean` are the sums of the mean temperature's anomaly, `ahead`
    /// those of the element asked about. Only days before `end` by index are looked at.
    pub(crate) fn fit(slots: &[usize], mean: &AnomalySums, ahead: &AnomalySums, slot: usize, end: usize) -> Persistence {
        let near = |other: usize| {
            let apart = (other as i64 - slot as i64).rem_euclid(366);
            apart.min(366 - apart) <= HALF_WINDOW
        };
        let starts: Vec<usize> = (LONG_DAYS..end.min(slots.len())).step_by(STRIDE).filter(|start| near(slots[*start])).collect();
        let means: Vec<State> = BINS.iter().filter_map(|bin| fit_bin(&starts, mean, ahead, *bin, end)).collect();
        if means.len() < BINS.len() {
            return Persistence::none();
        }
        Persistence { carried: (0..LAST_LEAD_DAYS).map(|lead| at_lead(&means, lead as f64)).collect() }
    }

    /// What is carried on to a day `lead` days ahead (0 is the first day that is not known), °C.
    #[must_use]
    pub fn carried_c(&self, state: State, lead: usize) -> f64 {
        self.carried.get(lead).map_or(0.0, |share| share.short_c * state.short_c + share.long_c * state.long_c)
    }
}

/// The two regression coefficients of one bin, each drawn in by its own error.
fn fit_bin(starts: &[usize], mean: &AnomalySums, ahead: &AnomalySums, bin: (usize, usize), end: usize) -> Option<State> {
    let mut sums = NormalEquations::new(2);
    let (mut squares, mut count) = (0.0, 0.0);
    for start in starts.iter().filter(|start| **start + bin.1 <= end) {
        let state = mean.state(*start)?;
        let coming = ahead.mean(start + bin.0, start + bin.1);
        sums.add(&[state.short_c, state.long_c], coming, 1.0);
        squares += coming * coming;
        count += 1.0;
    }
    if count < 60.0 {
        return None;
    }
    let (shares, inverse) = sums.solve()?;
    // Neighbouring starts tell much the same: a season of one year counts as this many.
    let apart = (bin.1 - bin.0).max(6) as f64 / STRIDE as f64;
    let variance = squares / count * apart;
    let drawn = |place: usize| {
        let square = shares[place] * shares[place];
        shares[place] * (1.0 - variance * inverse[place][place] / square.max(1e-12)).max(0.0)
    };
    Some(State { short_c: drawn(0), long_c: drawn(1) })
}

/// Between the bins' middles in a straight line; from the last to nothing at [`LAST_LEAD_DAYS`].
fn at_lead(means: &[State], lead: f64) -> State {
    let middle = |bin: usize| (BINS[bin].0 + BINS[bin].1 - 1) as f64 / 2.0;
    let Some(after) = (0..BINS.len()).find(|bin| middle(*bin) >= lead) else {
        let last = BINS.len() - 1;
        let left = ((LAST_LEAD_DAYS as f64 - lead) / (LAST_LEAD_DAYS as f64 - middle(last))).max(0.0);
        return State { short_c: means[last].short_c * left, long_c: means[last].long_c * left };
    };
    if after == 0 {
        return means[0];
    }
    let share = (lead - middle(after - 1)) / (middle(after) - middle(after - 1));
    let between = |low: f64, high: f64| low + share * (high - low);
    State {
        short_c: between(means[after - 1].short_c, means[after].short_c),
        long_c: between(means[after - 1].long_c, means[after].long_c),
    }
}
