//! The day on which a figure reaches a threshold, for several thresholds in one pass over each future.
//!
//! Thresholds are taken from the easiest to the hardest: the first day of a harder one is never before that of an easier one, the last day
//! never after it, so that the pass goes on from where it stood. What is found among the days that all futures share is found once.

use super::by_future::ByFuture;
use groundlore_lore::event_clock::{Crossing, Which};
use std::ops::Range;

// Whole Fahrenheit degrees turned to Celsius come back with rounding in the last digits.
const ROUNDING: f64 = 1e-9;

/// Whether a value lies at the threshold or beyond it.
pub(super) fn beyond(value: f64, threshold: f64, at: Crossing) -> bool {
    match at {
        Crossing::AtOrAbove => value >= threshold - ROUNDING,
        Crossing::AtOrBelow => value <= threshold + ROUNDING,
    }
}

/// A figure a day, as it meets a threshold.
#[derive(Debug)]
pub(super) enum Column {
    /// It meets it on a day at the threshold or beyond it.
    Level(ByFuture),
    /// Running sums that never fall: met once they reach the threshold.
    Sums(ByFuture),
    /// Days that may take away from the sum.
    Daily(ByFuture),
}

impl Column {
    /// What is added up day by day.
    pub(super) fn added_up(daily: ByFuture) -> Self {
        if daily.falls_below_zero() { Self::Daily(daily) } else { Self::Sums(daily.running()) }
    }

    /// Number of futures.
    pub(super) fn futures(&self) -> usize {
        match self {
            Self::Level(days) | Self::Daily(days) | Self::Sums(days) => days.futures(),
        }
    }

    /// Days of every future.
    pub(super) fn days(&self) -> usize {
        match self {
            Self::Level(days) | Self::Daily(days) => days.days(),
            Self::Sums(sums) => sums.days().saturating_sub(1),
        }
    }

    /// Days that all futures share.
    fn shared_days(&self) -> usize {
        match self {
            Self::Level(days) | Self::Daily(days) => days.shared().len(),
            Self::Sums(sums) => sums.shared().len().saturating_sub(1),
        }
    }
}

/// Which day is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wanted {
    /// From which side the threshold is met.
    pub(super) at: Crossing,
    /// The first such day, or the last.
    pub(super) which: Which,
    /// Days after the start on which it may be met at the earliest.
    pub(super) lead: usize,
    /// One past the last day that is looked at.
    pub(super) end: usize,
}

/// The place of the day on which each threshold is met, by threshold, then by future; none where it is not met. `starts` are the places at
/// which the looking begins in each future.
pub(super) fn met(column: &Column, starts: &[Option<usize>], thresholds: &[f64], wanted: Wanted) -> Vec<Vec<Option<usize>>> {
    let mut found = vec![vec![None; column.futures()]; thresholds.len()];
    let mut order: Vec<usize> = (0..thresholds.len()).collect();
    order.sort_by(|a, b| match wanted.at {
        Crossing::AtOrAbove => thresholds[*a].total_cmp(&thresholds[*b]),
        Crossing::AtOrBelow => thresholds[*b].total_cmp(&thresholds[*a]),
    });
    let eased: Vec<f64> = order.iter().map(|place| thresholds[*place]).collect();
    let end = wanted.end.min(column.days());
    let mut shared: Option<(usize, Vec<Option<usize>>)> = None;
    let mut places = vec![None; eased.len()];
    for (future, start) in starts.iter().enumerate().take(column.futures()) {
        let Some(start) = start.filter(|start| *start < end) else { continue };
        if shared.as_ref().is_none_or(|(known, _)| *known != start) {
            let mut among = vec![None; eased.len()];
            let days = start + wanted.lead..end.min(column.shared_days());
            column.search(0, start, days, &eased, wanted, &mut among);
            shared = Some((start, among));
        }
        let among = shared.as_ref().map_or(&[][..], |(_, among)| among);
        let own = (start + wanted.lead).max(column.shared_days())..end;
        match wanted.which {
            // The easiest thresholds may be met before the futures part; the others are sought after that.
            Which::First => {
                let behind = among.iter().take_while(|place| place.is_some()).count();
                places.fill(None);
                column.search(future, start, own, &eased[behind..], wanted, &mut places[behind..]);
                places[..behind].copy_from_slice(&among[..behind]);
            }
            Which::Last => {
                places.fill(None);
                column.search(future, start, own, &eased, wanted, &mut places);
                places.iter_mut().zip(among).for_each(|(place, among)| *place = place.or(*among));
            }
        }
        order.iter().zip(&places).for_each(|(threshold, place)| found[*threshold][future] = *place);
    }
    found
}

impl Column {
    /// Meets thresholds, the easiest first, within some days of a future that lie all before the futures part or all after.
    fn search(&self, future: usize, start: usize, days: Range<usize>, eased: &[f64], wanted: Wanted, places: &mut [Option<usize>]) {
        if days.is_empty() {
            return;
        }
        match self {
            Self::Level(levels) => {
                let (values, offset) = part(levels, future, &days);
                match wanted.at {
                    Crossing::AtOrAbove => {
                        levels_met(values, eased, wanted.which, |value, threshold| beyond(value, threshold, Crossing::AtOrAbove), places);
                    }
                    Crossing::AtOrBelow => {
                        levels_met(values, eased, wanted.which, |value, threshold| beyond(value, threshold, Crossing::AtOrBelow), places);
                    }
                }
                places.iter_mut().flatten().for_each(|place| *place += offset);
            }
            Self::Sums(sums) => {
                let base = sums.at(future, start);
                // The sum that a day ends with stands one place on.
                let (values, offset) = part(sums, future, &(days.start + 1..days.end + 1));
                let mut from = 0;
                for (place, total) in places.iter_mut().zip(eased) {
                    from = reached(values, from, base + short_of(*total));
                    if from == values.len() {
                        return;
                    }
                    *place = Some(from + offset - 1);
                }
            }
            Self::Daily(daily) => {
                for (place, total) in places.iter_mut().zip(eased) {
                    let target = short_of(*total);
                    let mut sum = 0.0;
                    *place = (start..days.end)
                        .find(|day| {
                            let value = daily.at(future, *day);
                            sum += if value.is_nan() { 0.0 } else { value };
                            sum >= target
                        })
                        .filter(|day| days.contains(day));
                }
            }
        }
    }
}

/// A total less what rounding may have taken from it.
fn short_of(total: f64) -> f64 {
    total - 1e-9 * total.abs().max(1.0)
}

/// Some days of a future, and the place of the first of them.
fn part<'a>(table: &'a ByFuture, future: usize, days: &Range<usize>) -> (&'a [f64], usize) {
    let shared = table.shared().len();
    match days.start.checked_sub(shared) {
        None => (&table.shared()[days.start..days.end.min(shared)], days.start),
        Some(from) => (&table.own(future)[from..days.end - shared], days.start),
    }
}

/// The first or last place at which values pass thresholds, the easiest first.
fn levels_met(values: &[f64], eased: &[f64], which: Which, passes: impl Fn(f64, f64) -> bool, places: &mut [Option<usize>]) {
    let (mut from, mut end) = (0, values.len());
    for (place, threshold) in places.iter_mut().zip(eased) {
        let found = match which {
            Which::First => first(&values[from..], |value| passes(value, *threshold)).map(|offset| from + offset),
            Which::Last => values[..end].iter().rposition(|value| passes(*value, *threshold)),
        };
        let Some(found) = found else { return };
        (from, end) = (found, found + 1);
        *place = Some(found);
    }
}

/// The first place that passes a test; sixteen are looked at together.
fn first(values: &[f64], passes: impl Fn(f64) -> bool) -> Option<usize> {
    let (chunks, _) = values.as_chunks::<16>();
    let whole = chunks.iter().take_while(|chunk| !chunk.iter().fold(false, |any, value| any | passes(*value))).count() * 16;
    values[whole..].iter().position(|value| passes(*value)).map(|offset| whole + offset)
}

/// The first place from one on at which sums reach a target; their number where none does.
fn reached(sums: &[f64], from: usize, target: f64) -> usize {
    /// Thresholds of one clock lie within days of each other.
    const NEAR: usize = 16;
    match sums.get(from..from + NEAR) {
        Some(near) if near[NEAR - 1] >= target => from + near.iter().map(|sum| usize::from(*sum < target)).sum::<usize>(),
        _ => from + sums[from..].partition_point(|sum| *sum < target),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const UNTIL: usize = 100;

    fn wanted(at: Crossing, which: Which) -> Wanted {
        Wanted { at, which, lead: 0, end: UNTIL }
    }

    /// Some uneven figures, two futures that share their first forty days.
    fn table() -> ByFuture {
        let value = |place: usize| ((place * 37 % 101) as f64) * 0.25 - 6.0 + place as f64 * 0.1;
        let mut shared: Vec<f64> = (0..40).map(value).collect();
        shared[7] = f64::NAN;
        ByFuture::new(shared, (40..160).map(|place| value(if place < 100 { place } else { place + 13 })).collect(), 2)
    }

    #[test]
    fn levels_are_met_where_a_plain_search_meets_them() {
        let column = Column::Level(table());
        let thresholds: Vec<f64> = (0..40).map(|place| f64::from(place) - 8.0).collect();
        for at in [Crossing::AtOrAbove, Crossing::AtOrBelow] {
            for which in [Which::First, Which::Last] {
                for starts in [[Some(0), Some(0)], [Some(35), Some(62)], [None, Some(99)]] {
                    let found = met(&column, &starts, &thresholds, wanted(at, which));
                    for (threshold, found) in thresholds.iter().zip(&found) {
                        for future in 0..2 {
                            let run = table().whole(future);
                            let passes = |place: &usize| beyond(run[*place], *threshold, at);
                            let plain = starts[future].and_then(|start| match which {
                                Which::First => (start..UNTIL).find(passes),
                                Which::Last => (start..UNTIL).rfind(passes),
                            });
                            assert_eq!(found[future], plain, "{at:?} {which:?} {threshold} from {starts:?}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn sums_are_reached_where_adding_up_reaches_them() {
        let daily = table().map(|value| value.max(0.0));
        let thresholds: Vec<f64> = (0..60).rev().map(|place| f64::from(place * place) * 0.3).collect();
        for (daily, column) in [(daily.clone(), Column::added_up(daily)), (table(), Column::added_up(table()))] {
            for starts in [[Some(0), Some(0)], [Some(39), Some(40)], [Some(55), None]] {
                let found = met(&column, &starts, &thresholds, wanted(Crossing::AtOrAbove, Which::First));
                for (threshold, found) in thresholds.iter().zip(&found) {
                    for future in 0..2 {
                        let run = daily.whole(future);
                        let plain = starts[future].and_then(|start| {
                            let mut sum = 0.0;
                            (start..UNTIL).find(|place| {
                                sum += if run[*place].is_nan() { 0.0 } else { run[*place] };
                                sum >= threshold - 1e-6
                            })
                        });
                        assert_eq!(found[future], plain, "{threshold} from {starts:?}");
                    }
                }
            }
        }
    }
}
