//! A second judge where only an event's date in each year is known, not the days: past dates, and past dates moved by their trend.
//!
//! No future can be made from dates alone, so this does not judge the kinds of future. It tells whether the rival that needs no
//! days is honest under another sky, and whether a trend is worth having there.

use std::fmt::Write as _;

use serde::Serialize;

use super::sums::{Figure, bootstrap, year_sums_of};
use super::{Dated, FEWEST_YEARS, STEP_DAYS, Score, WINDOWS};
use crate::least_squares::NormalEquations;
use crate::season_events::Rule;

/// An event's date in each year of a station, in the years' order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DatedRecord {
    /// What it is, for people.
    pub name: String,
    /// A last frost, which stays open until the season ends, or a first.
    pub last: bool,
    /// Year and place in it (0 for 1 January); `None` where it did not come.
    pub dates: Vec<(i16, Option<usize>)>,
}

/// How one event fared.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DatesScore {
    /// What it is.
    pub name: String,
    /// First and last judged year.
    pub years: (i16, i16),
    /// Cases judged.
    pub cases: usize,
    /// Days a decade by which the dates move, over all years, with its standard error.
    pub trend_days: Figure,
    /// Coverage of each of [`WINDOWS`] by past dates, and by past dates moved by their trend.
    pub coverage: [[Figure; 3]; 2],
    /// Mean CRPS of past dates, days.
    pub crps_days: Figure,
    /// That of past dates moved by their trend, less it.
    pub moved_less_days: Figure,
}

/// Judges dates alone, each year from the years before it (at least [`FEWEST_YEARS`]); `None` when no year has enough before it.
#[must_use]
pub fn judge_dates(record: &DatedRecord) -> Option<DatesScore> {
    // The thresholds do not matter here: the rule only says whether the event is a last or a first one.
    let (rule, end) = if record.last { (Rule::LastFrost { at_most_f: 32.0 }, 181) } else { (Rule::FirstFrost { at_most_f: 32.0 }, 365) };
    let mut cases: Vec<(i16, [Score; 2])> = Vec::new();
    for (place, (year, came)) in record.dates.iter().enumerate().skip(FEWEST_YEARS) {
        let earlier = &record.dates[..place];
        let slope = drawn_in(trend(earlier)?);
        for on in (0..end).step_by(STEP_DAYS) {
            if !record.last && came.is_some_and(|came| came < on) {
                break;
            }
            let truth = Dated::of(std::iter::once(*came), rule, on, end).values[0];
            let score = |slope: f64| {
                let moved = |(past, date): &(i16, Option<usize>)| {
                    date.map(|date| (date as f64 + slope * f64::from(year - past) / 10.0).round().max(0.0) as usize)
                };
                let open = |date: &Option<usize>| record.last || date.is_none_or(|date| date >= on);
                let kept: Vec<Option<usize>> = earlier.iter().map(moved).filter(open).collect();
                let kept = if kept.is_empty() { vec![Some(on)] } else { kept };
                Dated::of(kept.into_iter(), rule, on, end).score(truth)
            };
            cases.push((*year, [score(0.0), score(slope)]));
        }
    }
    let (first, last) = (cases.first()?.0, cases.last()?.0);
    let figure = |value: &dyn Fn(&[Score; 2]) -> f64| bootstrap(&year_sums_of(cases.iter().map(|(year, scores)| (*year, value(scores)))));
    Some(DatesScore {
        name: record.name.clone(),
        years: (first, last),
        cases: cases.len(),
        trend_days: trend(&record.dates)?,
        coverage: [0, 1].map(|maker| WINDOWS.map(|window| figure(&|scores| scores[maker].inside(window)))),
        crps_days: figure(&|scores| scores[0].crps_days),
        moved_less_days: figure(&|scores| scores[1].crps_days - scores[0].crps_days),
    })
}

/// The straight line through the dates by least squares, days a decade.
fn trend(dates: &[(i16, Option<usize>)]) -> Option<Figure> {
    let points: Vec<(f64, f64)> = dates.iter().filter_map(|(year, date)| Some((f64::from(*year) / 10.0, (*date)? as f64))).collect();
    let middle = points.iter().map(|point| point.0).sum::<f64>() / points.len() as f64;
    let mut sums = NormalEquations::new(2);
    points.iter().for_each(|(time, day)| sums.add(&[1.0, time - middle], *day, 1.0));
    let (line, inverse) = sums.solve()?;
    let squares: f64 = points.iter().map(|(time, day)| (day - line[0] - line[1] * (time - middle)).powi(2)).sum();
    let spare = points.len().checked_sub(2).filter(|spare| *spare > 0)?;
    Some(Figure { value: line[1], error: (squares / spare as f64 * inverse[1][1]).sqrt() })
}

/// A trend drawn towards none by its uncertainty, as [`crate::trend`] does.
fn drawn_in(trend: Figure) -> f64 {
    let square = trend.value * trend.value;
    if square > 0.0 { trend.value * square / (square + trend.error * trend.error) } else { 0.0 }
}

/// A section of the page.
pub(super) fn section(text: &mut String, heading: &str, scores: &[DatesScore]) {
    let Some(first) = scores.first() else { return };
    let _ = writeln!(
        text,
        "\n## A second station: {heading}\n\nOf this station only the dates of frost in each year are at hand, not its days, so no future can be \
         made there and the kinds of future are **not** judged on it. What can be judged on {}–{} is the rival that needs no days: past dates, as \
         they were and moved by their trend (drawn in by its error), each year from the years before it alone. Those years are few, and where hardly any frost is left to come on most issue days the share is settled by \
         the rule for shared days and its ± is too small to judge by.\n\n| event | cases | trend, days a decade | past dates: in 50 % | 80 % | 90 % \
         | moved by trend: in 50 % | 80 % | 90 % | CRPS of past dates, days | moved less past dates |",
        first.years.0, first.years.1
    );
    let _ = writeln!(text, "|{}", " --- |".repeat(11));
    for score in scores {
        let of =
            |maker: usize| score.coverage[maker].iter().zip(WINDOWS).map(|(share, window)| super::page::share(*share, window, usize::MAX));
        let cells: Vec<String> = of(0).chain(of(1)).collect();
        let _ = writeln!(
            text,
            "| {} | {} | {:+.1} ± {:.1} | {} | {:.2} | {:+.2} ± {:.2} |",
            score.name,
            score.cases,
            score.trend_days.value,
            score.trend_days.error,
            cells.join(" | "),
            score.crps_days.value,
            score.moved_less_days.value,
            score.moved_less_days.error
        );
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn dates_that_move_are_met_better_when_moved_by_their_trend() {
        // Forty years, a day later each year and up to five days either way.
        let dates = (0..40).map(|year| (1980 + year, Some(280 + year as usize + (year as usize * 7) % 11))).collect();
        let score = judge_dates(&DatedRecord { name: "first frost".to_owned(), last: false, dates }).unwrap();
        assert!((score.trend_days.value - 10.0).abs() < 1.0, "{:?}", score.trend_days);
        assert_eq!(score.years, (2005, 2019));
        assert!(score.moved_less_days.value < -5.0, "{:?}", score.moved_less_days);
        assert!(score.coverage[0][0].value < 0.2 && (score.coverage[1][0].value - 0.5).abs() < 0.25, "{:?}", score.coverage);
        let short = (0..20).map(|year| (1980 + year, Some(280))).collect();
        assert_eq!(judge_dates(&DatedRecord { name: String::new(), last: false, dates: short }), None);
    }
}
