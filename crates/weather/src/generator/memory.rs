//! The persistence of temperature: how the normal scores of minimum and maximum go from day to day, and the filter that finds today's state.

use serde::Serialize;

use super::FEWEST_DAYS;
use crate::least_squares::NormalEquations;
use crate::normal_draws::Draws;
use crate::season_curve::{SLOTS, SeasonCurve};

/// Lags of the autocorrelation that are looked at, days.
const LAGS: usize = 61;
/// Rounds in which the slow process is settled by trial, and the years of each.
const TRIALS: usize = 6;
/// Least of the slow process's variance that shows in any season.
const LEAST_SHOWN: f64 = 0.1;
const TRIAL_YEARS: usize = 200;
/// The first day of each month in a year of 366 days.
const MONTH_OPENS: [usize; 12] = [0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335];

/// Two figures, of the minimum and the maximum.
type Pair = [f64; 2];
type Square = [[f64; 2]; 2];

/// The persistence of the normal scores of minimum and maximum.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Memory {
    /// By day of year, from the day before to that day: what each element of the daily process takes from minimum and maximum.
    pub daily: Vec<[[f64; 2]; 2]>,
    /// By day of year: covariance of the draw that is added.
    pub daily_noise: Vec<[[f64; 2]; 2]>,
    /// By day of year: the part of the fitted step from day to day that is used. Under 1 where spells of weather break off sooner than an
    /// autoregression of one day has it, as in spring.
    pub daily_kept: Vec<f64>,
    /// By day of year: how much of the slow process shows.
    pub slow_shows: Vec<f64>,
    /// What the slow process keeps from one day to the next.
    pub slow: f64,
    /// Covariance of the slow process.
    pub slow_covariance: Square,
    /// Covariance of what is constant through a year.
    pub yearly_covariance: Square,
}

impl Memory {
    /// Fits two normal scores that run side by side.
    /// `years`, `months` (0…11) and `slots` (0…365) are those of the scores' days.
    pub(super) fn fit(low: &[f64], high: &[f64], years: &[i16], months: &[usize], slots: &[usize]) -> Option<Memory> {
        let own = |scores: &[f64]| (0..LAGS).map(|lag| covariance(scores, scores, lag)).collect::<Option<Vec<f64>>>();
        let (own_low, own_high) = (own(low)?, own(high)?);
        let between: f64 = (10..LAGS).filter_map(|lag| Some(covariance(low, high, lag)? + covariance(high, low, lag)?)).sum::<f64>() / 2.0;
        let yearly = yearly_covariance(low, high, years, (&own_low, &own_high));
        let less_years = |own: &[f64], year: f64| own.iter().map(|value| value - year).collect::<Vec<f64>>();
        let (slow, weights) = slow_part(&less_years(&own_low, yearly[0][0]), &less_years(&own_high, yearly[1][1]));
        let far: f64 = (10..LAGS as i32).map(|lag| slow.powi(lag)).sum();
        let most = (weights[0] * weights[1]).sqrt() * 0.98;
        let shared = ((between - yearly[0][1] * (LAGS - 10) as f64) / far).clamp(0.0, most.max(0.0));
        let mut memory = Memory {
            daily: Vec::new(),
            daily_noise: Vec::new(),
            slow_shows: vec![1.0; SLOTS],
            daily_kept: vec![1.0; SLOTS],
            slow,
            slow_covariance: [[weights[0], shared], [shared, weights[1]]],
            yearly_covariance: yearly,
        };
        memory.show_slow(low, high, slots);
        memory.fit_daily(low, high, slots)?;
        let mean: Vec<f64> = low.iter().zip(high).map(|(low, high)| (low + high) / 2.0).collect();
        let seen = monthly_variance(&mean, months);
        for _ in 0..TRIALS {
            memory.settle_slow(&seen);
            memory.fit_daily(low, high, slots)?;
        }
        Some(memory)
    }

    /// Lets more or less of the slow process show, so that monthly means of a trial run differ from year to year as much as in the record.
    fn settle_slow(&mut self, seen: &[f64; 12]) {
        let mut draws = Draws::seeded(12);
        let mut state = self.unknown_state().drawn(&mut draws);
        let (mut mean, mut months) = (Vec::new(), Vec::new());
        for _ in 0..TRIAL_YEARS {
            state.mean[4..].copy_from_slice(&draw_of(&self.yearly_covariance, &mut draws));
            for slot in 0..SLOTS {
                state.step(self, slot, &mut draws);
                let shows = self.shows(slot);
                mean.push((0..3).map(|part| shows[part] * (state.mean[2 * part] + state.mean[2 * part + 1]) / 2.0).sum());
                months.push((0..12).rev().find(|month| MONTH_OPENS[*month] <= slot).unwrap_or(0));
            }
        }
        let made = monthly_variance(&mean, &months);
        let own = |covariance: &Square| covariance.iter().flatten().sum::<f64>() / 4.0;
        // A month's mean keeps about three quarters of the slow process's variance.
        let slow = 0.75 * own(&self.slow_covariance);
        let middles: Vec<usize> = MONTH_OPENS.iter().map(|opens| opens + 15).collect();
        let square = |month: usize| self.slow_shows[middles[month]].powi(2) + 0.8 * (seen[month] - made[month]) / slow;
        let squares: Vec<f64> = (0..12).map(square).collect();
        // Where even little of the slow process is too much, or the daily one was cut already, the daily one gives way.
        let kept: Vec<f64> = (0..12)
            .map(|month| {
                let (kept, off) = (self.daily_kept[middles[month]], seen[month] / made[month] - 1.0);
                let gives = off < -0.1 || off < 0.0 && squares[month] < LEAST_SHOWN || off > 0.0 && kept < 1.0;
                if gives { (kept + 0.3 * off).clamp(0.6, 1.0) } else { kept }
            })
            .collect();
        if let (Some(squares), Some(kept)) = (SeasonCurve::fit(&middles, &squares, 5), SeasonCurve::fit(&middles, &kept, 5)) {
            self.slow_shows = (0..SLOTS).map(|slot| squares.at(slot).clamp(LEAST_SHOWN, 3.0).sqrt()).collect();
            self.daily_kept = (0..SLOTS).map(|slot| kept.at(slot).clamp(0.6, 1.0)).collect();
        }
    }

    /// How much of the slow process shows by season: the covariance of the two scores' mean 8 to 30 days apart, beside the slow process's own.
    fn show_slow(&mut self, low: &[f64], high: &[f64], slots: &[usize]) {
        let mean: Vec<f64> = low.iter().zip(high).map(|(low, high)| (low + high) / 2.0).collect();
        let slow = self.slow_covariance.iter().flatten().sum::<f64>() / 4.0;
        let yearly = self.yearly_covariance.iter().flatten().sum::<f64>() / 4.0;
        let (first, last) = (8, 30);
        let expected = (first..=last).map(|lag| slow * self.slow.powi(lag)).sum::<f64>() / f64::from(last - first + 1) + yearly;
        let apart = |place: usize| {
            let near = mean.get(place + first as usize..=place + last as usize)?;
            Some(mean[place] * near.iter().sum::<f64>() / near.len() as f64)
        };
        let products: Vec<f64> = (0..mean.len()).map(|place| apart(place).unwrap_or(f64::NAN)).collect();
        if let Some(curve) = SeasonCurve::fit(slots, &products, 2) {
            // The pair's middle lies about ten days on.
            self.slow_shows = (0..SLOTS).map(|slot| (curve.at(slot + SLOTS - 10) / expected).clamp(LEAST_SHOWN, 2.5).sqrt()).collect();
        }
    }

    /// The daily process by season, from the covariance of scores on one day and on two in a row, less what the slow ones make.
    fn fit_daily(&mut self, low: &[f64], high: &[f64], slots: &[usize]) -> Option<()> {
        self.daily.clear();
        self.daily_noise.clear();
        let curve = |later: &[f64], earlier: &[f64], lag: usize| {
            let product = |place: usize| place.checked_sub(lag).map_or(f64::NAN, |before| later[place] * earlier[before]);
            SeasonCurve::fit(slots, &(0..slots.len()).map(product).collect::<Vec<f64>>(), 3)
        };
        let at = |lag: usize| Some([[curve(low, low, lag)?, curve(low, high, lag)?], [curve(high, low, lag)?, curve(high, high, lag)?]]);
        let (same, next) = (at(0)?, at(1)?);
        let part = |curves: &[[SeasonCurve; 2]; 2], slot: usize, kept: f64, floor: f64| -> Square {
            let shows = self.slow_shows[slot] * self.slow_shows[slot];
            let cell = |i: usize, j: usize| {
                let seen = curves[i][j].at(slot);
                let daily = seen - shows * kept * self.slow_covariance[i][j] - self.yearly_covariance[i][j];
                if i == j { daily.max(floor * seen) } else { daily }
            };
            [[cell(0, 0), cell(0, 1)], [cell(1, 0), cell(1, 1)]]
        };
        let bounded = |square: Square| {
            let most = 0.9 * (square[0][0] * square[1][1]).sqrt();
            let shared = square[0][1].clamp(-most, most);
            [[square[0][0], shared], [shared, square[1][1]]]
        };
        let covariances: Vec<Square> = (0..SLOTS).map(|slot| bounded(part(&same, slot, 1.0, 0.3))).collect();
        for slot in 0..SLOTS {
            let before = covariances[(slot + SLOTS - 1) % SLOTS];
            let step = product(&part(&next, slot, self.slow, 0.0), &inverse(&before)?);
            let mut step = step.map(|row| row.map(|share| share * self.daily_kept[slot]));
            let noise = |step: &Square| less(&covariances[slot], &product(&product(step, &before), &transposed(step)), 1.0);
            // A step that carries on more than there is would grow without end.
            while !is_covariance(&noise(&step)) {
                step = step.map(|row| row.map(|share| share * 0.95));
            }
            self.daily_noise.push(noise(&step));
            self.daily.push(step);
        }
        Some(())
    }

    /// Covariance of what the slow process draws each day.
    fn slow_noise(&self) -> Square {
        less(&self.slow_covariance, &self.slow_covariance, self.slow * self.slow)
    }

    /// How much each process shows on a day: the slow one by season, the others wholly.
    pub(super) fn shows(&self, slot: usize) -> [f64; 3] {
        [1.0, self.slow_shows[slot], 1.0]
    }

    pub(super) fn unknown_state(&self) -> State {
        let mut covariance = [[0.0; 6]; 6];
        for (part, block) in [&[[1.0, 0.7], [0.7, 1.0]], &self.slow_covariance, &self.yearly_covariance].iter().enumerate() {
            for i in 0..2 {
                for j in 0..2 {
                    covariance[2 * part + i][2 * part + j] = block[i][j];
                }
            }
        }
        State { mean: [0.0; 6], covariance }
    }
}

/// Variance from year to year of the monthly means, by month; unfinished months do not count.
fn monthly_variance(values: &[f64], months: &[usize]) -> [f64; 12] {
    let mut means: Vec<Vec<f64>> = vec![Vec::new(); 12];
    let mut place = 0;
    while place < values.len() {
        let month = months[place];
        let length = months[place..].iter().take_while(|other| **other == month).count();
        let known: Vec<f64> = values[place..place + length].iter().copied().filter(|value| !value.is_nan()).collect();
        if known.len() >= 28 {
            means[month].push(known.iter().sum::<f64>() / known.len() as f64);
        }
        place += length;
    }
    let mut variances = [0.0; 12];
    for (variance, means) in variances.iter_mut().zip(&means) {
        *variance = crate::quantile::standard_deviation(means).unwrap_or(0.0).powi(2);
    }
    variances
}

/// Mean product of `today` with `later` so many days on.
fn covariance(today: &[f64], later: &[f64], lag: usize) -> Option<f64> {
    let (mut sum, mut count) = (0.0, 0.0);
    for (a, b) in today.iter().zip(later.get(lag..)?) {
        let product = a * b;
        if !product.is_nan() {
            sum += product;
            count += 1.0;
        }
    }
    (count > FEWEST_DAYS as f64 / 2.0).then(|| sum / count)
}

/// Covariance of yearly means beyond what autocorrelation to 60 days makes.
fn yearly_covariance(low: &[f64], high: &[f64], years: &[i16], own: (&[f64], &[f64])) -> Square {
    let mut means: Vec<(i16, f64, f64, f64)> = Vec::new();
    for ((low, high), year) in low.iter().zip(high).zip(years).filter(|((low, high), _)| !low.is_nan() && !high.is_nan()) {
        match means.last_mut().filter(|last| last.0 == *year) {
            Some(last) => *last = (*year, last.1 + low, last.2 + high, last.3 + 1.0),
            None => means.push((*year, *low, *high, 1.0)),
        }
    }
    let means: Vec<Pair> = means.iter().filter(|mean| mean.3 > 300.0).map(|mean| [mean.1 / mean.3, mean.2 / mean.3]).collect();
    let number = means.len().max(1) as f64;
    let moment = |i: usize, j: usize| means.iter().map(|mean| mean[i] * mean[j]).sum::<f64>() / number;
    let expected = |own: &[f64]| {
        let ahead: f64 = own.iter().enumerate().skip(1).map(|(lag, value)| 2.0 * (1.0 - lag as f64 / 365.0) * value).sum();
        (own[0] + ahead) / 365.0
    };
    let spare = [(moment(0, 0) - expected(own.0)).max(0.0), (moment(1, 1) - expected(own.1)).max(0.0)];
    let together = moment(0, 1) / (moment(0, 0) * moment(1, 1)).sqrt().max(1e-12);
    let shared = together.clamp(0.0, 0.95) * (spare[0] * spare[1]).sqrt();
    [[spare[0], shared], [shared, spare[1]]]
}

/// The slow process: what it keeps a day, and its variance in each element, by least squares on the autocorrelation beyond the second day.
fn slow_part(low: &[f64], high: &[f64]) -> (f64, Pair) {
    let mut best = (f64::INFINITY, 0.97, [0.1, 0.1]);
    for slow_step in 0..14 {
        let slow = 0.90 + 0.007 * f64::from(slow_step);
        for fast_step in 0..12 {
            let fast = 0.30 + 0.04 * f64::from(fast_step);
            let (error_low, weight_low) = two_terms(low, fast, slow);
            let (error_high, weight_high) = two_terms(high, fast, slow);
            if error_low + error_high < best.0 {
                best = (error_low + error_high, slow, [weight_low, weight_high]);
            }
        }
    }
    (best.1, [best.2[0].clamp(0.01, 0.6 * low[0]), best.2[1].clamp(0.01, 0.6 * high[0])])
}

/// Squared error and slow weight of the best sum of a fast and a slow decay.
fn two_terms(own: &[f64], fast: f64, slow: f64) -> (f64, f64) {
    let mut sums = NormalEquations::new(2);
    let rows = || own.iter().enumerate().skip(2).map(|(lag, value)| ([fast.powi(lag as i32), slow.powi(lag as i32)], *value));
    rows().for_each(|(row, value)| sums.add(&row, value, 1.0));
    let Some((weights, _)) = sums.solve() else { return (f64::INFINITY, 0.0) };
    let error = rows().map(|(row, value)| (value - weights[0] * row[0] - weights[1] * row[1]).powi(2)).sum();
    (error, weights[1])
}

/// The processes' values with their covariance: daily minimum and maximum, slow minimum and maximum, yearly minimum and maximum.
#[derive(Debug, Clone, Copy)]
pub(super) struct State {
    pub(super) mean: [f64; 6],
    covariance: [[f64; 6]; 6],
}

impl State {
    /// The matrix that takes a state to a day of the year from the day before.
    fn transition(memory: &Memory, slot: usize) -> [[f64; 6]; 6] {
        let mut matrix = [[0.0; 6]; 6];
        matrix[0][..2].copy_from_slice(&memory.daily[slot][0]);
        matrix[1][..2].copy_from_slice(&memory.daily[slot][1]);
        (matrix[2][2], matrix[3][3], matrix[4][4], matrix[5][5]) = (memory.slow, memory.slow, 1.0, 1.0);
        matrix
    }

    /// One day on, to a day of the year, not seen.
    pub(super) fn advance(&mut self, memory: &Memory, slot: usize) {
        let matrix = State::transition(memory, slot);
        let times = |a: &[[f64; 6]; 6], b: &[[f64; 6]; 6], i: usize, j: usize| (0..6).map(|k| a[i][k] * b[k][j]).sum::<f64>();
        let (mean, old) = (self.mean, self.covariance);
        let mut half = [[0.0; 6]; 6];
        for (i, row) in matrix.iter().enumerate() {
            self.mean[i] = row.iter().zip(&mean).map(|(a, b)| a * b).sum();
            half[i] = std::array::from_fn(|j| times(&matrix, &old, i, j));
        }
        for (row, half) in self.covariance.iter_mut().zip(&half) {
            *row = std::array::from_fn(|j| half.iter().zip(&matrix[j]).map(|(a, b)| a * b).sum());
        }
        let (daily, slow) = (memory.daily_noise[slot], memory.slow_noise());
        for i in 0..2 {
            for j in 0..2 {
                self.covariance[i][j] += daily[i][j];
                self.covariance[2 + i][2 + j] += slow[i][j];
            }
        }
    }

    /// The scores of a day are seen: the sum of the processes as far as each shows, without error.
    pub(super) fn see(&mut self, seen: Pair, shows: [f64; 3]) {
        let old = self.covariance;
        let with = |i: usize, element: usize| (0..3).map(|part| shows[part] * old[i][2 * part + element]).sum::<f64>();
        let sum = |a: usize, b: usize| (0..3).map(|part| shows[part] * with(2 * part + a, b)).sum::<f64>();
        let Some(inverse) = inverse(&[[sum(0, 0) + 1e-6, sum(0, 1)], [sum(1, 0), sum(1, 1) + 1e-6]]) else { return };
        let expected = |element: usize| (0..3).map(|part| shows[part] * self.mean[2 * part + element]).sum::<f64>();
        let off = [seen[0] - expected(0), seen[1] - expected(1)];
        for i in 0..6 {
            let gain = [0, 1].map(|b| with(i, 0) * inverse[0][b] + with(i, 1) * inverse[1][b]);
            self.mean[i] += gain[0] * off[0] + gain[1] * off[1];
            for j in 0..6 {
                self.covariance[i][j] -= gain[0] * with(j, 0) + gain[1] * with(j, 1);
            }
        }
    }

    /// A new year begins: its own part is unknown.
    pub(super) fn forget_year(&mut self, memory: &Memory) {
        for i in 4..6 {
            self.mean[i] = 0.0;
            for j in 0..6 {
                let value = if j >= 4 { memory.yearly_covariance[i - 4][j - 4] } else { 0.0 };
                (self.covariance[i][j], self.covariance[j][i]) = (value, value);
            }
        }
    }

    /// A state drawn from this one; its covariance no longer counts.
    pub(super) fn drawn(&self, draws: &mut Draws) -> State {
        let mut root = [[0.0; 6]; 6];
        for i in 0..6 {
            for j in 0..=i {
                let left = self.covariance[i][j] - (0..j).map(|k| root[i][k] * root[j][k]).sum::<f64>();
                root[i][j] = if i == j {
                    left.max(0.0).sqrt()
                } else if root[j][j] > 1e-9 {
                    left / root[j][j]
                } else {
                    0.0
                };
            }
        }
        let normal: Vec<f64> = (0..6).map(|_| draws.normal()).collect();
        let mut state = *self;
        for (mean, row) in state.mean.iter_mut().zip(&root) {
            *mean += row.iter().zip(&normal).map(|(a, b)| a * b).sum::<f64>();
        }
        state
    }

    /// One day on, with fresh draws.
    pub(super) fn step(&mut self, memory: &Memory, slot: usize, draws: &mut Draws) {
        let (daily, slow) = (draw_of(&memory.daily_noise[slot], draws), draw_of(&memory.slow_noise(), draws));
        let before = self.mean;
        for i in 0..2 {
            self.mean[i] = memory.daily[slot][i][0] * before[0] + memory.daily[slot][i][1] * before[1] + daily[i];
            self.mean[2 + i] = memory.slow * before[2 + i] + slow[i];
        }
    }
}

/// Two normal draws of a covariance.
pub(super) fn draw_of(covariance: &Square, draws: &mut Draws) -> Pair {
    let (first, second) = (draws.normal(), draws.normal());
    let root = covariance[0][0].max(0.0).sqrt();
    let shared = if root > 1e-9 { covariance[0][1] / root } else { 0.0 };
    [root * first, shared * first + (covariance[1][1] - shared * shared).max(0.0).sqrt() * second]
}

fn product(a: &Square, b: &Square) -> Square {
    let cell = |i: usize, j: usize| a[i][0] * b[0][j] + a[i][1] * b[1][j];
    [[cell(0, 0), cell(0, 1)], [cell(1, 0), cell(1, 1)]]
}

fn transposed(a: &Square) -> Square {
    [[a[0][0], a[1][0]], [a[0][1], a[1][1]]]
}

/// a − factor × b.
fn less(a: &Square, b: &Square, factor: f64) -> Square {
    let cell = |i: usize, j: usize| a[i][j] - factor * b[i][j];
    [[cell(0, 0), cell(0, 1)], [cell(1, 0), cell(1, 1)]]
}

/// Whether a square can be a covariance with something left of both elements.
fn is_covariance(a: &Square) -> bool {
    let least = 0.05;
    a[0][0].is_nan() || a[0][0] > least && a[1][1] > least && a[0][0] * a[1][1] - a[0][1] * a[1][0] > least * least
}

fn inverse(a: &Square) -> Option<Square> {
    let size = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    (size.abs() > 1e-12).then(|| [[a[1][1] / size, -a[0][1] / size], [-a[1][0] / size, a[0][0] / size]])
}
