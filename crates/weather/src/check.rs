//! A look over a series: flags, crossed days, gaps, jumps, spikes and streaks.
//!
//! Nothing here changes a value. A jump or a streak may be real weather, so it is remarked on and not marked as suspect.
//!
//! # Sources
//! That a step or a spike of 25 °C in a day, and 20 equal temperatures in a row, deserve a second look: memory of the checks that
//! GHCN-Daily runs (Durre, Menne, Gleason, Houston & Vose 2010, *Comprehensive automated quality assurance of daily surface
//! observations*, Journal of Applied Meteorology and Climatology 49:1615). Five equal falls of rain in a row: common practice.

use std::collections::BTreeMap;

use crate::remark::{Remark, RemarkKind};
use crate::series::{Doubt, Element, Mark, Series};

/// A change between neighbouring days that deserves a second look, °C.
const JUMP_C: f64 = 25.0;
/// Equal temperatures in a row that deserve a second look.
const TEMPERATURE_STREAK: usize = 20;
/// Equal amounts of rain above zero in a row that deserve a second look.
const RAIN_STREAK: usize = 5;

/// Remarks on a series, element by element: quality flags, presumed zeros, days whose maximum is under their minimum, gaps, jumps,
/// spikes and streaks.
///
/// # Example
/// ```
/// use groundlore_weather::check::check;
/// use groundlore_weather::remark::RemarkKind;
/// use groundlore_weather::series::{Columns, Series, Station};
///
/// let tmax_c = vec![20.0, 21.0, f64::NAN, f64::NAN, 22.0];
/// let columns = Columns { tmax_c, ..Columns::default() };
/// let series = Series::from_columns(Station::default(), jiff::civil::date(2015, 5, 1), columns)?;
/// let remarks = check(&series);
/// assert_eq!(remarks[0].kind, RemarkKind::Gap);
/// assert_eq!(remarks[0].text, "TMAX: 2 of 5 days missing in 1 gap, the longest 2 days from 2015-05-03 to 2015-05-04");
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[must_use]
pub fn check(series: &Series) -> Vec<Remark> {
    let mut remarks = Vec::new();
    remarks.extend(crossed_days(series));
    for element in Element::ALL {
        // A column that was never measured is no gap.
        if series.marks(element).iter().all(|mark| *mark == Mark::Missing) {
            continue;
        }
        remarks.extend(flagged(series, element));
        remarks.extend(gaps(series, element));
        remarks.extend(jumps(series, element));
        remarks.extend(streaks(series, element));
    }
    remarks
}

fn remark(series: &Series, kind: RemarkKind, element: Option<Element>, places: (usize, usize), count: usize, text: String) -> Remark {
    let (from, to) = (Some(series.date(places.0)), Some(series.date(places.1)));
    Remark { kind, element, from, to, count, text }
}

fn crossed_days(series: &Series) -> Option<Remark> {
    let days: Vec<usize> = (0..series.len()).filter(|index| series.tmax_c()[*index] < series.tmin_c()[*index]).collect();
    let (first, last) = (*days.first()?, *days.last()?);
    let text = format!(
        "{} day(s) have a maximum under the minimum, first {}; both temperatures of such a day are not trusted",
        days.len(),
        series.date(first)
    );
    Some(remark(series, RemarkKind::MaximumUnderMinimum, None, (first, last), days.len(), text))
}

fn flagged(series: &Series, element: Element) -> Vec<Remark> {
    let mut flags: BTreeMap<Doubt, Vec<usize>> = BTreeMap::new();
    for (index, mark) in series.marks(element).iter().enumerate() {
        if let Mark::Suspect { why: why @ (Doubt::QualityFlag(_) | Doubt::PresumedZero) } = mark {
            flags.entry(*why).or_default().push(index);
        }
    }
    let describe = |(why, places): (Doubt, Vec<usize>)| {
        let (first, last) = (*places.first()?, *places.last()?);
        let (kind, what) = match why {
            Doubt::QualityFlag(flag) => (RemarkKind::Flagged, format!("carry the quality flag {flag} and are not trusted")),
            _ => (RemarkKind::PresumedZero, "are zeros that the network presumed and are not trusted".to_owned()),
        };
        let text = format!("{}: {} value(s) {what}, first {}", element.code(), places.len(), series.date(first));
        Some(remark(series, kind, Some(element), (first, last), places.len(), text))
    };
    flags.into_iter().filter_map(describe).collect()
}

/// Runs of days for which a test holds, as (first, last) by index.
pub(crate) fn runs(length: usize, holds: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut start = None;
    for index in 0..=length {
        let inside = index < length && holds(index);
        match (inside, start) {
            (true, None) => start = Some(index),
            (false, Some(first)) => {
                found.push((first, index - 1));
                start = None;
            }
            _ => {}
        }
    }
    found
}

fn gaps(series: &Series, element: Element) -> Option<Remark> {
    let marks = series.marks(element);
    let found = runs(marks.len(), |index| marks[index] == Mark::Missing);
    let days: usize = found.iter().map(|(first, last)| last - first + 1).sum();
    let longest = found.iter().copied().max_by_key(|(first, last)| (last - first, std::cmp::Reverse(*first)))?;
    let text = format!(
        "{}: {days} of {} days missing in {} gap{}, the longest {} day{} from {} to {}",
        element.code(),
        marks.len(),
        found.len(),
        if found.len() == 1 { "" } else { "s" },
        longest.1 - longest.0 + 1,
        if longest.1 == longest.0 { "" } else { "s" },
        series.date(longest.0),
        series.date(longest.1)
    );
    Some(remark(series, RemarkKind::Gap, Some(element), longest, days, text))
}

fn jumps(series: &Series, element: Element) -> Vec<Remark> {
    if !element.is_temperature() {
        return Vec::new();
    }
    let values = series.trusted(element);
    let step = |index: usize| values[index] - values[index - 1];
    let mut found = Vec::new();
    let mut index = 1;
    while index < values.len() {
        let change = step(index);
        if change.abs() < JUMP_C || change.is_nan() {
            index += 1;
            continue;
        }
        let back = if index + 1 < values.len() { step(index + 1) } else { 0.0 };
        let spike = back.abs() >= JUMP_C && back.signum() != change.signum();
        let (kind, what) = if spike { (RemarkKind::Spike, "stands out from both neighbours") } else { (RemarkKind::Jump, "jumps") };
        let text = format!(
            "{}: {} {what} by {:.1} °C ({:.1} after {:.1} °C); look at the original",
            element.code(),
            series.date(index),
            change.abs(),
            values[index],
            values[index - 1]
        );
        found.push(remark(series, kind, Some(element), (index, index), 1, text));
        index += if spike { 2 } else { 1 };
    }
    found
}

fn streaks(series: &Series, element: Element) -> Vec<Remark> {
    let least = match element {
        Element::MinimumTemperature | Element::MaximumTemperature => TEMPERATURE_STREAK,
        Element::Precipitation | Element::Snowfall => RAIN_STREAK,
        // Snow may lie at the same depth for weeks.
        Element::SnowDepth => return Vec::new(),
    };
    let values = series.trusted(element);
    let repeats = |index: usize| index > 0 && values[index] == values[index - 1] && (element.is_temperature() || values[index] > 0.0);
    let long = runs(values.len(), repeats).into_iter().filter(|(first, last)| last - first + 2 >= least);
    let describe = |(first, last): (usize, usize)| {
        let (days, value) = (last - first + 2, values[first]);
        let text = format!(
            "{}: {value:.1} {} on {days} days in a row from {}; a stuck instrument reads like this",
            element.code(),
            element.unit(),
            series.date(first - 1)
        );
        remark(series, RemarkKind::Streak, Some(element), (first - 1, last), days, text)
    };
    long.map(describe).collect()
}
