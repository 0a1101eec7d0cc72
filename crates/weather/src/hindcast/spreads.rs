//! How far an event's own dates lay apart in the earlier years of a record and in the later ones.
//!
//! Odds are made from the years before. Where later dates happen to lie closer together than earlier ones did, every maker's windows hold too
//! many of them, and none could have known. How often chance alone draws so few years so close together is told by dealing the dates out anew.

use std::fmt::Write as _;

use serde::Serialize;

use super::sums::LAST_CHOICE_YEAR;
use super::{FEWEST_YEARS, Period};
use crate::fill::fill_gaps;
use crate::normal_draws::Draws;
use crate::quantile::standard_deviation;
use crate::season_events::{WEATHER_EVENTS, YearColumns};
use crate::series::Series;

/// Times that the dates are dealt anew.
const DEALS: usize = 2000;

/// The spread of one event's dates by time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spread {
    /// The event's key.
    pub event: String,
    /// Standard deviation of its dates in the years that only serve others' odds, in the years of the choice, and in the unseen ones, days.
    pub sd_days: [f64; 3],
    /// Share of random dealings in which as many years as are unseen lie as close together as those do, against the years before them.
    pub as_close: f64,
}

/// The events of a record. One that came in too few years of a part is left out.
#[must_use]
pub fn spreads(series: &Series) -> Vec<Spread> {
    let filled = fill_gaps(series).series;
    let hemisphere = series.hemisphere();
    let first = filled.first_day().year();
    let years: Vec<YearColumns> = (first..=filled.last_day().year()).map(|year| YearColumns::of_series(&filled, year)).collect();
    let judged_from = first + i16::try_from(FEWEST_YEARS).unwrap_or(i16::MAX);
    let of_event = |event: &crate::season_events::WeatherEvent| {
        let dates: Vec<(i16, f64)> =
            years.iter().filter_map(|year| Some((year.year, event.rule.place_in(year, hemisphere)? as f64))).collect();
        let part = |from: i16, to: i16| {
            let days: Vec<f64> = dates.iter().filter(|(year, _)| (from..=to).contains(year)).map(|(_, day)| *day).collect();
            standard_deviation(&days).filter(|sd| *sd > 0.0)
        };
        let sd_days = [part(i16::MIN, judged_from - 1)?, part(judged_from, LAST_CHOICE_YEAR)?, part(LAST_CHOICE_YEAR + 1, i16::MAX)?];
        let unseen = dates.iter().filter(|(year, _)| *year > LAST_CHOICE_YEAR).count();
        let days: Vec<f64> = dates.iter().map(|(_, day)| *day).collect();
        Some(Spread { event: event.key.clone(), sd_days, as_close: as_close(&days, unseen)? })
    };
    WEATHER_EVENTS.iter().filter_map(of_event).collect()
}

/// Share of random dealings in which the last so many days lie as close together, against those before them, as they do in their own order.
fn as_close(days: &[f64], last: usize) -> Option<f64> {
    let ratio = |days: &[f64]| {
        let (before, after) = days.split_at(days.len() - last);
        Some(standard_deviation(after)? / standard_deviation(before)?)
    };
    let found = ratio(days)?;
    let mut draws = Draws::seeded(days.len() as u64);
    let mut dealt = days.to_vec();
    let mut as_close = 0_usize;
    for _ in 0..DEALS {
        for place in (1..dealt.len()).rev() {
            dealt.swap(place, draws.below(place + 1));
        }
        as_close += usize::from(ratio(&dealt)? <= found);
    }
    Some(as_close as f64 / DEALS as f64)
}

/// The spreads as a section of the page.
pub(super) fn section(text: &mut String, unseen: &Period, spreads: &[Spread]) {
    if spreads.is_empty() {
        return;
    }
    let _ = writeln!(
        text,
        "\n## How far the years' own dates lay apart\n\nStandard deviation of each event's dates, days, in the years that are judged by none (they only \
         serve the odds of later ones), in the years of the choice, and unseen ({}–{}). Where the last is smaller, the windows of every maker are too \
         wide for those years, and nothing before them says so. *As close by chance*: how often as many years, dealt out at random from all, lie \
         as close together against the others.\n\n| event | before | choice | unseen | as close by chance |\n| --- | --- | --- | --- | --- |",
        unseen.first_year, unseen.last_year
    );
    for Spread { event, sd_days: [before, choice, unseen], as_close } in spreads {
        let _ = writeln!(text, "| `{event}` | {before:.1} | {choice:.1} | {unseen:.1} | {:.0} % |", 100.0 * as_close);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_close_up_are_seldom_so_by_chance_and_days_that_do_not_are_often() {
        let apart = |place: usize| (place * 37 % 60) as f64;
        let closing: Vec<f64> = (0..60).map(|place| if place < 40 { apart(place) } else { 30.0 + apart(place) / 12.0 }).collect();
        let even: Vec<f64> = (0..60).map(apart).collect();
        let (closing, even) = (as_close(&closing, 20), as_close(&even, 20));
        assert!(closing.is_some_and(|share| share < 0.01), "{closing:?}");
        assert!(even.is_some_and(|share| (0.15..0.85).contains(&share)), "{even:?}");
        assert_eq!(as_close(&[1.0, 2.0], 2), None);
    }
}
