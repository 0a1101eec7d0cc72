//! How far the coverage of an exactly honest maker strays by chance.
//!
//! The dates that an event had in the record are dealt out to the years anew, in random order. Then no year differs from another but by
//! chance, and past years' dates, given not yet happened, are exactly honest. Judged like any maker, they show how much coverage wanders in
//! as many years, and how often the test by two bootstrap errors calls an honest maker dishonest. (It does so oftener when the share found is
//! high: a share near one has a small bootstrap error.)

use std::fmt::Write as _;

use serde::Serialize;

use super::sums::{bootstrap, year_sums_of};
use super::{Dated, FEWEST_YEARS, Period, STEP_DAYS, WINDOWS};
use crate::fill::fill_gaps;
use crate::normal_draws::Draws;
use crate::season_events::{Rule, WEATHER_EVENTS, WeatherEvent, YearColumns};
use crate::series::Series;

/// Times that the years are dealt anew.
const SHUFFLES: usize = 200;

/// What chance does to the coverage of one event.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chance {
    /// The event's key.
    pub event: String,
    /// Standard deviation of an honest maker's coverage of each of [`WINDOWS`].
    pub errors: [f64; 3],
    /// Share of shuffles in which the test by two bootstrap errors calls it dishonest in some window.
    pub called_dishonest: f64,
}

/// The events of a record under shuffles of its years.
#[must_use]
pub fn chance(series: &Series) -> Vec<Chance> {
    let filled = fill_gaps(series).series;
    let hemisphere = series.hemisphere();
    let years: Vec<YearColumns> =
        (filled.first_day().year()..=filled.last_day().year()).map(|year| YearColumns::of_series(&filled, year)).collect();
    let of_event = |event: &WeatherEvent| {
        let dates: Vec<Option<usize>> = years.iter().map(|year| event.rule.place_in(year, hemisphere)).collect();
        let window = event.rule.window(years.first()?, hemisphere);
        shuffled(&dates, event.rule, window.1).map(|(errors, called_dishonest)| Chance {
            event: event.key.clone(),
            errors,
            called_dishonest,
        })
    };
    WEATHER_EVENTS.iter().filter_map(of_event).collect()
}

fn shuffled(dates: &[Option<usize>], rule: Rule, end: usize) -> Option<([f64; 3], f64)> {
    let mut draws = Draws::seeded(dates.len() as u64);
    let mut dealt = dates.to_vec();
    let mut shares: [Vec<f64>; 3] = Default::default();
    let mut dishonest = 0.0;
    for _ in 0..SHUFFLES {
        for place in (1..dealt.len()).rev() {
            dealt.swap(place, draws.below(place + 1));
        }
        let inside = judged(&dealt, rule, end);
        let figures: Vec<_> = (0..WINDOWS.len())
            .map(|window| bootstrap(&year_sums_of(inside.iter().map(|(year, inside)| (*year, inside[window])))))
            .collect();
        let off = figures.iter().zip(WINDOWS).any(|(figure, window)| (figure.value - window).abs() > 2.0 * figure.error);
        dishonest += f64::from(u8::from(off));
        shares.iter_mut().zip(&figures).for_each(|(shares, figure)| shares.push(figure.value));
    }
    let [half, most, nearly_all] = shares.map(|shares| crate::quantile::standard_deviation(&shares));
    Some(([half?, most?, nearly_all?], dishonest / SHUFFLES as f64))
}

/// The share inside each window for each judged year and issue day, by past years' dates given not yet happened.
fn judged(dates: &[Option<usize>], rule: Rule, end: usize) -> Vec<(i16, [f64; 3])> {
    let mut all = Vec::new();
    for (place, came) in dates.iter().enumerate().skip(FEWEST_YEARS) {
        for on in (0..end).step_by(STEP_DAYS) {
            if !rule.is_last() && came.is_some_and(|came| came < on) {
                break;
            }
            let open = |date: &&Option<usize>| rule.is_last() || date.is_none_or(|date| date >= on);
            let odds = Dated::of(dates[..place].iter().filter(open).copied(), rule, on, end);
            let truth = Dated::of(std::iter::once(*came), rule, on, end).values[0];
            if !odds.values.is_empty() {
                let score = odds.score(truth);
                all.push((i16::try_from(place).unwrap_or(i16::MAX), WINDOWS.map(|window| score.inside(window))));
            }
        }
    }
    all
}

/// The default's coverage in an honest maker's own errors, as a section of the page.
pub(super) fn section(text: &mut String, period: &Period, chance: &[Chance], shown: &str) {
    if chance.is_empty() {
        return;
    }
    let _ = writeln!(
        text,
        "\n## What chance alone does: {} {}–{}\n\nThe years' dates were dealt out anew in random order {SHUFFLES} times. *Past dates* are then \
         an exactly honest maker, and what they are off is chance. *Honest ±* is how much their coverage wanders; *called dishonest*, how often \
         the test by two bootstrap errors fails them in some window; *off by*, how many honest ± the share of *{shown}* found in each window \
         is from what it should be.\n\n| event | honest ±: 50 % | 80 % | 90 % | called dishonest | off by: 50 % | 80 % | 90 % |",
        period.purpose, period.first_year, period.last_year
    );
    let _ = writeln!(text, "|{}", " --- |".repeat(8));
    let (mut expected, mut furthest) = (0.0, 0.0_f64);
    for group in period.events() {
        let Some(event) = group.event.as_deref() else { continue };
        let (Some(chance), Some(maker)) =
            (chance.iter().find(|chance| chance.event == event), group.makers.iter().find(|maker| maker.maker == shown))
        else {
            continue;
        };
        let mut off = maker.coverage.iter().zip(WINDOWS).zip(chance.errors).map(|((share, window), error)| (share.value - window) / error);
        let mut off: [f64; 3] = std::array::from_fn(|_| off.next().unwrap_or(f64::NAN));
        off.iter_mut().for_each(|off| *off = (*off * 10.0).round() / 10.0 + 0.0);
        expected += chance.called_dishonest;
        furthest = off.iter().fold(furthest, |most, off| most.max(off.abs()));
        let [half, most, nearly_all] = chance.errors.map(|error| format!("{:.0}", 100.0 * error));
        let _ = writeln!(
            text,
            "| `{event}` | {half} | {most} | {nearly_all} | {:.0} % | {:+.1} | {:+.1} | {:+.1} |",
            100.0 * chance.called_dishonest,
            off[0],
            off[1],
            off[2]
        );
    }
    let _ = writeln!(
        text,
        "\nOf these events an exactly honest maker has {expected:.1} called dishonest on average; the share of *{shown}* furthest off is {furthest:.1} \
         honest ± from its window."
    );
}
