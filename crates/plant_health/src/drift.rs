//! A slide over the years: running sums that raise an alarm, with the false alarms they cost, and trends with their tests.

pub mod alarm;

use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// Which way is watched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// A fall under the target.
    Lower,
    /// A rise over it.
    Upper,
}

/// A running sum of what falls short of (or goes over) the target by more than the slack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunningSum {
    /// The sum after each value, in the unit of the values; never below 0.
    pub path: Vec<f64>,
    /// Place, from 0, of the first value at which the sum is above the limit.
    pub alarm_at: Option<usize>,
}

/// Tabular cumulative sum: C = max(0, C + (target − slack − x)) for a fall, max(0, C + (x − target − slack)) for a rise; an alarm where it
/// is above `limit`.
///
/// # Source
/// Page (1954), *Biometrika* 41:100; Montgomery & Runger, *Applied Statistics and Probability for Engineers*, Example 16-6 (values).
///
/// ```
/// # use groundlore_plant_health::drift::{Side, running_sum};
/// let shares = [92.0, 88.0, 91.0, 90.0, 86.0, 84.0, 87.0, 80.0, 78.0, 75.0, 72.0, 70.0];
/// let found = running_sum(&shares, 90.0, 5.0, 15.0, Side::Lower);
/// assert_eq!(found.path, [0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0, 5.0, 12.0, 22.0, 35.0, 50.0]);
/// assert_eq!(found.alarm_at, Some(9));
/// ```
pub fn running_sum(values: &[f64], target: f64, slack: f64, limit: f64, side: Side) -> RunningSum {
    let mut sum = 0.0_f64;
    let path: Vec<f64> = values
        .iter()
        .map(|x| {
            let over = if side == Side::Lower { target - x } else { x - target };
            sum = (sum + over - slack).max(0.0);
            sum
        })
        .collect();
    let alarm_at = path.iter().position(|c| *c > limit);
    RunningSum { path, alarm_at }
}

/// Running sum of log likelihood ratios for outcomes that work or do not: `good` is the share that works while all is well, `bad` the
/// share at which it no longer does. An alarm at or above `limit`. None where the shares are not 0 < bad < good < 1.
pub fn success_sum(worked: &[bool], good: f64, bad: f64, limit: f64) -> Option<RunningSum> {
    if !(0.0 < bad && bad < good && good < 1.0) {
        return None;
    }
    let (step_good, step_bad) = ((bad / good).ln(), ((1.0 - bad) / (1.0 - good)).ln());
    let mut sum = 0.0_f64;
    let path: Vec<f64> = worked
        .iter()
        .map(|w| {
            sum = (sum + if *w { step_good } else { step_bad }).max(0.0);
            sum
        })
        .collect();
    let alarm_at = path.iter().position(|c| *c >= limit);
    Some(RunningSum { path, alarm_at })
}

/// Mean number of values until an alarm of a one-sided running sum over normal values, by a Markov chain of 400 states: `slack` and `limit`
/// in standard deviations, `shift` the true move toward the watched side. At shift 0 it is the mean run to a false alarm.
///
/// # Source
/// Brook & Evans (1972), *Biometrika* 59:539 (memory); values computed in the shared season note, DR-05.
pub fn mean_run(slack: f64, limit: f64, shift: f64) -> Option<f64> {
    const STATES: usize = 400;
    if !(limit > 0.0 && slack >= 0.0 && shift.is_finite()) {
        return None;
    }
    let normal = Normal::standard();
    let width = 2.0 * limit / (2.0 * STATES as f64 - 1.0);
    // P(from state i to state j) depends on j − i but for the first column, which takes all that falls to 0 or under.
    let step = |offset: f64| normal.cdf((offset + 0.5) * width - shift + slack) - normal.cdf((offset - 0.5) * width - shift + slack);
    let inner: Vec<f64> = (0..2 * STATES - 1).map(|d| step(d as f64 - (STATES as f64 - 1.0))).collect();
    let to_floor: Vec<f64> = (0..STATES).map(|i| normal.cdf((0.5 - i as f64) * width - shift + slack)).collect();
    let share = |i: usize, j: usize| if j == 0 { to_floor[i] } else { inner[j + STATES - 1 - i] };
    let mut matrix: Vec<Vec<f64>> = (0..STATES)
        .map(|i| {
            let mut row: Vec<f64> = (0..STATES).map(|j| f64::from(u8::from(i == j)) - share(i, j)).collect();
            row.push(1.0);
            row
        })
        .collect();
    eliminate(&mut matrix)?;
    // Back-substitution from the last row up.
    let mut runs = vec![0.0; STATES];
    for i in (0..STATES).rev() {
        let known: f64 = (i + 1..STATES).map(|j| matrix[i][j] * runs[j]).sum();
        runs[i] = (matrix[i][STATES] - known) / matrix[i][i];
    }
    Some(runs[0])
}

/// Gaussian elimination with partial pivoting; None where the system has no single answer.
fn eliminate(matrix: &mut [Vec<f64>]) -> Option<()> {
    for column in 0..matrix.len() {
        let pivot = (column..matrix.len()).max_by(|a, b| matrix[*a][column].abs().total_cmp(&matrix[*b][column].abs()))?;
        if matrix[pivot][column].abs() < 1e-300 {
            return None;
        }
        matrix.swap(column, pivot);
        let (above, below) = matrix.split_at_mut(column + 1);
        let head = &above[column];
        for row in below {
            let factor = row[column] / head[column];
            if factor != 0.0 {
                row.iter_mut().zip(head).skip(column).for_each(|(r, h)| *r -= factor * h);
            }
        }
    }
    Some(())
}

/// A trend over years, by three ways.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Trend {
    /// Slope of the least-squares line, a year.
    pub slope: f64,
    /// Its standard error; None with two years, where the line fits exactly.
    pub slope_se: Option<f64>,
    /// p of the slope's two-sided t test; None with fewer than three years.
    pub p_value: Option<f64>,
    /// Median of the slopes between all pairs of years: not moved by one odd year.
    pub sen_slope: f64,
    /// Kendall's tau-b: −1 falling throughout, 1 rising throughout. None where all values are equal.
    pub kendall_tau: Option<f64>,
}

/// Why there is no trend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TrendError {
    /// Years and values do not pair.
    #[error("there are {years} years and {values} values: give one value for each year, in the same order")]
    Pairs {
        /// Years given.
        years: usize,
        /// Values given.
        values: usize,
    },
    /// All in one year, or fewer than two values.
    #[error("a trend needs values of at least two different years")]
    OneYear,
}

/// Least-squares slope with its t test, Sen's slope and Kendall's tau-b of values over years (several values may share a year).
///
/// # Errors
/// Lists of different lengths; values of one year only.
///
/// # Source
/// Sen (1968), *J. Am. Stat. Assoc.* 63:1379; Kendall (1945), *Biometrika* 33:239 (memory); values computed in the shared season note.
pub fn trend(years: &[f64], values: &[f64]) -> Result<Trend, TrendError> {
    if years.len() != values.len() {
        return Err(TrendError::Pairs { years: years.len(), values: values.len() });
    }
    let n = years.len() as f64;
    let (mx, my) = (years.iter().sum::<f64>() / n, values.iter().sum::<f64>() / n);
    let sxx: f64 = years.iter().map(|x| (x - mx).powi(2)).sum();
    let syy: f64 = values.iter().map(|y| (y - my).powi(2)).sum();
    if years.len() < 2 || sxx <= 0.0 {
        return Err(TrendError::OneYear);
    }
    let sxy: f64 = years.iter().zip(values).map(|(x, y)| (x - mx) * (y - my)).sum();
    let slope = sxy / sxx;
    let free = n - 2.0;
    let left = (syy - slope * sxy).max(0.0);
    let slope_se = (free > 0.0).then(|| (left / free / sxx).sqrt());
    let p_value = slope_se.and_then(|se| two_sided_p(slope, se, free));
    let (sen_slope, kendall_tau) = by_pairs(years, values);
    Ok(Trend { slope, slope_se, p_value, sen_slope, kendall_tau })
}

fn two_sided_p(slope: f64, se: f64, free: f64) -> Option<f64> {
    if se <= 0.0 {
        return Some(if slope == 0.0 { 1.0 } else { 0.0 });
    }
    let t = StudentsT::new(0.0, 1.0, free).ok()?;
    Some((2.0 * t.sf((slope / se).abs())).min(1.0))
}

fn by_pairs(years: &[f64], values: &[f64]) -> (f64, Option<f64>) {
    let mut slopes = Vec::new();
    let (mut score, mut untied_years, mut untied_values) = (0.0, 0.0, 0.0);
    for i in 0..years.len() {
        for j in i + 1..years.len() {
            let (run, rise) = (years[j] - years[i], values[j] - values[i]);
            if run != 0.0 {
                slopes.push(rise / run);
                untied_years += 1.0;
            }
            if rise != 0.0 {
                untied_values += 1.0;
            }
            if run != 0.0 && rise != 0.0 {
                score += run.signum() * rise.signum();
            }
        }
    }
    slopes.sort_by(f64::total_cmp);
    let middle = slopes.len() / 2;
    let sen = if slopes.len() % 2 == 1 { slopes[middle] } else { f64::midpoint(slopes[middle - 1], slopes[middle]) };
    let scale = f64::sqrt(untied_years * untied_values);
    (sen, (scale > 0.0).then(|| score / scale))
}
