//! Filling gaps, with what was filled marked and the error of filling measured on the series itself.
//!
//! - **Temperature, gaps of at most [`SHORT_GAP_DAYS`] days** between trusted values: a straight line in the anomaly, the difference from
//!   the normal of the day ([`Climatology`]), so that the season's rise and fall goes on underneath.
//! - **Temperature, longer gaps and gaps at either end:** the normal of the day.
//! - **Precipitation:** the normal of the day. That keeps sums over weeks right in the mean and is wrong on every single day: never ask a
//!   filled day whether it rained. Look at its [`Mark`], or take the series as read.
//! - **Snow and snow depth** are left missing.
//!
//! Suspect values are treated as gaps. Where no normal can be had (an element never measured) the gap stays.
//!
//! # Source
//! Common practice in climatology; no single publication is followed, and the leave-out error is there so that it can be judged.

use serde::Serialize;

use crate::calendar::day_slot;
use crate::check::runs;
use crate::climatology::Climatology;
use crate::series::{Element, FillMethod, Mark, Series};

/// Longest gap, in days, that is bridged by interpolation.
pub const SHORT_GAP_DAYS: usize = 5;

const FILLED: [Element; 3] = [Element::MinimumTemperature, Element::MaximumTemperature, Element::Precipitation];

/// How far filling went wrong on days whose value is known: they were hidden, filled, and compared.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FillError {
    /// Which element.
    pub element: Element,
    /// Length of the gaps that were made, days.
    pub gap_days: usize,
    /// How such gaps are filled.
    pub how: FillMethod,
    /// Number of days compared.
    pub days: usize,
    /// Mean of filled less measured, in the column's unit.
    pub mean_error: f64,
    /// Root mean square of filled less measured, in the column's unit.
    pub root_mean_square: f64,
}

/// How many values of an element were filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct FillCount {
    /// Which element.
    pub element: Element,
    /// Days filled by interpolation of the anomaly.
    pub interpolated: usize,
    /// Days filled with the normal of the day.
    pub climatology: usize,
    /// Of all of these, days that held a suspect value.
    pub suspect_replaced: usize,
    /// Days still missing.
    pub left_missing: usize,
}

/// A series with its gaps filled.
#[derive(Debug, Clone, Serialize)]
pub struct Filled {
    /// The series; what was filled is marked [`Mark::Filled`].
    pub series: Series,
    /// What was filled, by element.
    pub counts: Vec<FillCount>,
}

impl Filled {
    /// Days of an element that were filled, whichever way.
    #[must_use]
    pub fn filled_days(&self, element: Element) -> usize {
        self.counts.iter().filter(|count| count.element == element).map(|count| count.interpolated + count.climatology).sum()
    }
}

/// Fills the gaps of a series; see the module's front page for how. The series itself is left as it is.
///
/// # Example
/// ```
/// use groundlore_weather::fill::fill_gaps;
/// use groundlore_weather::series::{Columns, Element, FillMethod, Mark, Series, Station};
///
/// // With one value on each side and nothing else the normal is flat, and the line is straight.
/// let tmin_c = vec![8.0, f64::NAN, f64::NAN, 11.0];
/// let columns = Columns { tmin_c, ..Columns::default() };
/// let series = Series::from_columns(Station::default(), jiff::civil::date(2015, 5, 1), columns)?;
/// let filled = fill_gaps(&series).series;
/// assert!((filled.tmin_c()[1] - 9.0).abs() < 1e-12);
/// assert_eq!(filled.marks(Element::MinimumTemperature)[1], Mark::Filled { how: FillMethod::AnomalyInterpolation });
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[must_use]
pub fn fill_gaps(series: &Series) -> Filled {
    let slots = slots_of(series);
    let mut filled = series.clone();
    let mut counts = Vec::new();
    for element in FILLED {
        let trusted = series.trusted(element);
        let climatology = Climatology::of_values(element, &slots, &trusted);
        let (values, hows) = bridge(element, &slots, &trusted, &climatology);
        let mut count = FillCount { element, interpolated: 0, climatology: 0, suspect_replaced: 0, left_missing: 0 };
        for (index, how) in hows.iter().enumerate() {
            let Some(how) = *how else {
                count.left_missing += usize::from(values[index].is_nan());
                continue;
            };
            count.suspect_replaced += usize::from(matches!(series.marks(element)[index], Mark::Suspect { .. }));
            match how {
                FillMethod::AnomalyInterpolation => count.interpolated += 1,
                _ => count.climatology += 1,
            }
            filled.set(element, index, values[index], Mark::Filled { how });
        }
        counts.push(count);
    }
    uncross(&mut filled);
    Filled { series: filled, counts }
}

/// Fills the gaps of at most so many days and leaves the longer ones open: a year that was hardly measured must not pass for a year of
/// record.
///
/// # Example
/// ```
/// use groundlore_weather::fill::fill_gaps_up_to;
/// use groundlore_weather::{Columns, Series, Station};
///
/// let mut tmax_c = vec![20.0; 100];
/// tmax_c[10..14].fill(f64::NAN);
/// tmax_c[40..70].fill(f64::NAN);
/// let series = Series::from_columns(Station::default(), jiff::civil::date(2015, 5, 1), Columns { tmax_c, ..Columns::default() })?;
/// let filled = fill_gaps_up_to(&series, 10).series;
/// assert_eq!(filled.tmax_c().iter().filter(|value| value.is_nan()).count(), 30);
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[must_use]
pub fn fill_gaps_up_to(series: &Series, most_days: usize) -> Filled {
    let mut filled = fill_gaps(series);
    for count in &mut filled.counts {
        let element = count.element;
        let trusted = series.trusted(element);
        for (first, last) in runs(trusted.len(), |index| trusted[index].is_nan()).into_iter().filter(|(a, b)| b - a >= most_days) {
            for index in first..=last {
                let now = filled.series.marks(element)[index];
                if matches!(now, Mark::Filled { .. }) {
                    let (value, mark) = (series.column(element)[index], series.marks(element)[index]);
                    filled.series.set(element, index, value, mark);
                    count.suspect_replaced -= usize::from(matches!(mark, Mark::Suspect { .. }));
                    count.climatology -= usize::from(now == Mark::Filled { how: FillMethod::Climatology });
                    count.interpolated -= usize::from(now == Mark::Filled { how: FillMethod::AnomalyInterpolation });
                    count.left_missing += 1;
                }
            }
        }
    }
    filled
}

/// The error of filling, measured on this series: gaps of three days (interpolated) and of ten (normal of the day) are made at fixed
/// places among known values, filled without them, and compared. Elements with too few known values are left out.
#[must_use]
pub fn fill_errors(series: &Series) -> Vec<FillError> {
    let slots = slots_of(series);
    let mut errors = Vec::new();
    for element in FILLED {
        let trusted = series.trusted(element);
        // Strides that share no factor with 7 or 365, so that no season or weekday is favoured.
        for (gap_days, stride) in [(3, 17), (10, 43)] {
            errors.extend(leave_out(element, &slots, &trusted, gap_days, stride));
        }
    }
    errors
}

fn leave_out(element: Element, slots: &[usize], known: &[f64], gap_days: usize, stride: usize) -> Option<FillError> {
    let mut hidden = known.to_vec();
    for start in (stride / 2..known.len()).step_by(stride) {
        for value in hidden.iter_mut().skip(start).take(gap_days) {
            *value = f64::NAN;
        }
    }
    let climatology = Climatology::of_values(element, slots, &hidden);
    let (values, hows) = bridge(element, slots, &hidden, &climatology);
    let (mut days, mut sum, mut squares) = (0usize, 0.0, 0.0);
    let mut how_seen = FillMethod::Climatology;
    for ((filled, known), how) in values.iter().zip(known).zip(&hows) {
        if let (Some(how), false, false) = (how, known.is_nan(), filled.is_nan()) {
            days += 1;
            sum += filled - known;
            squares += (filled - known).powi(2);
            how_seen = *how;
        }
    }
    let number = days as f64;
    (days >= 30).then(|| FillError {
        element,
        gap_days,
        how: how_seen,
        days,
        mean_error: sum / number,
        root_mean_square: (squares / number).sqrt(),
    })
}

fn slots_of(series: &Series) -> Vec<usize> {
    (0..series.len()).map(|index| day_slot(series.date(index))).collect()
}

/// The values with gaps bridged, and how each was.
fn bridge(element: Element, slots: &[usize], known: &[f64], climatology: &Climatology) -> (Vec<f64>, Vec<Option<FillMethod>>) {
    let mut values = known.to_vec();
    let mut hows = vec![None; known.len()];
    for (first, last) in runs(known.len(), |index| known[index].is_nan()) {
        let inside = first > 0 && last + 1 < known.len();
        let short = last - first < SHORT_GAP_DAYS;
        let how = if element.is_temperature() && inside && short { FillMethod::AnomalyInterpolation } else { FillMethod::Climatology };
        for index in first..=last {
            let normal = climatology.normal(slots[index]);
            let anomaly = match how {
                FillMethod::AnomalyInterpolation => {
                    let before = known[first - 1] - climatology.normal(slots[first - 1]);
                    let after = known[last + 1] - climatology.normal(slots[last + 1]);
                    let share = (index + 1 - first) as f64 / (last + 2 - first) as f64;
                    before + share * (after - before)
                }
                _ => 0.0,
            };
            if !normal.is_nan() {
                values[index] = normal + anomaly;
                hows[index] = Some(how);
            }
        }
    }
    (values, hows)
}

/// Where a filled temperature crossed its measured fellow, it is drawn back to it.
fn uncross(series: &mut Series) {
    for index in 0..series.len() {
        let (low, high) = (series.tmin_c()[index], series.tmax_c()[index]);
        if low <= high || low.is_nan() || high.is_nan() {
            continue;
        }
        let low_mark = series.marks(Element::MinimumTemperature)[index];
        let high_mark = series.marks(Element::MaximumTemperature)[index];
        match (low_mark, high_mark) {
            (Mark::Filled { .. }, Mark::Filled { .. }) => {
                series.set(Element::MinimumTemperature, index, high, low_mark);
                series.set(Element::MaximumTemperature, index, low, high_mark);
            }
            (Mark::Filled { .. }, _) => series.set(Element::MinimumTemperature, index, high, low_mark),
            (_, Mark::Filled { .. }) => series.set(Element::MaximumTemperature, index, low, high_mark),
            _ => {}
        }
    }
}
