//! How this year stands against the record of its station: heat so far, and rain of the last weeks, with the rank among the years and, for
//! heat, the days by which this year runs ahead.

use jiff::civil::{Date, date};
use jiff::{ToSpan as _, Unit};
use serde::Serialize;

use crate::degree_days::DegreeDays;
use crate::drought::RainDistribution;
use crate::heat_sums::HeatSums;
use crate::series::Series;

/// The fewest years of a record that a rank is given against.
pub const FEWEST_YEARS: usize = 10;

/// This year's heat so far against the record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeatStanding {
    /// Day that the sum began.
    pub since: Date,
    /// This year's sum up to the day before the one asked about, °C-days.
    pub total: f64,
    /// The middle of the earlier years' sums by the same day, °C-days.
    pub median: f64,
    /// Share of earlier years with less, 0 to 1; years with the same sum count half.
    pub rank: f64,
    /// Days by which this year is ahead of the middle year in reaching its present sum; negative when it is behind. `None` where the middle
    /// year never reached it within the year, or where there is no heat yet.
    pub days_ahead: Option<i32>,
    /// Earlier years compared.
    pub years: usize,
}

/// The rain of the last days against the record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RainStanding {
    /// Days summed, up to the day before the one asked about.
    pub days: i32,
    /// Rain in them, mm.
    pub total_mm: f64,
    /// The middle of the earlier years' rain in the same days, mm.
    pub median_mm: f64,
    /// Share of earlier years with less, 0 to 1; years with the same sum count half.
    pub rank: f64,
    /// Standardized precipitation index of those days, where the record allows a fit.
    pub index: Option<f64>,
    /// Earlier years compared.
    pub years: usize,
}

/// Where this year's heat since `start` (month, day) stands on a day that is itself not yet known, among all earlier years of the record.
/// A year with more than one day in twenty missing is left out. `None` when the start is not yet past, when this year is not known up to
/// the day before, or with fewer than [`FEWEST_YEARS`] earlier years.
///
/// # Example
/// ```
/// use groundlore_weather::against_record::heat_standing;
/// use groundlore_weather::series::{Columns, Series, Station};
/// use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};
/// use jiff::civil::date;
///
/// // Eleven years alike at 20 °C by day, then one a degree warmer.
/// let first = date(2000, 1, 1);
/// let days = first.until((jiff::Unit::Day, date(2011, 12, 31)))?.get_days() as usize + 1;
/// let warm = first.until((jiff::Unit::Day, date(2011, 1, 1)))?.get_days() as usize;
/// let high = |day: usize| if day < warm { 22.0 } else { 24.0 };
/// let columns = Columns {
///     tmin_c: vec![18.0; days],
///     tmax_c: (0..days).map(high).collect(),
///     prcp_mm: vec![0.0; days],
///     ..Columns::default()
/// };
/// let series = Series::from_columns(Station::default(), first, columns)?;
/// let model = DegreeDays::new(Method::Average, 10.0, None, Cutoff::None)?;
/// let standing = heat_standing(&series, model, (1, 1), date(2011, 1, 11)).ok_or("ten earlier years")?;
/// assert_eq!((standing.total, standing.median, standing.rank), (110.0, 100.0, 1.0));
/// // The others had as much a day later.
/// assert_eq!(standing.days_ahead, Some(1));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn heat_standing(series: &Series, model: DegreeDays, start: (i8, i8), on: Date) -> Option<HeatStanding> {
    let last = on.yesterday().ok()?;
    let since = latest_start(start, last)?;
    let sums = HeatSums::over(series, model);
    let length = since.until((Unit::Day, last)).ok()?.get_days();
    let whole = |missing: u32| f64::from(missing) * 20.0 <= f64::from(length + 1);
    let this_year = sums.sum(since, last).filter(|sum| whole(sum.missing_days))?.total;
    let mut totals = Vec::new();
    let mut offsets = Vec::new();
    for year in series.first_day().year()..since.year() {
        let Some(begin) = day_in(year, start) else { continue };
        let Some(sum) = begin.checked_add(length.days()).ok().and_then(|end| sums.sum(begin, end)).filter(|s| whole(s.missing_days)) else {
            continue;
        };
        totals.push(sum.total);
        let reached = sums.first_day_reaching(begin, this_year).and_then(|day| begin.until((Unit::Day, day)).ok());
        offsets.push(reached.map_or(i32::MAX, |span| span.get_days()));
    }
    if totals.len() < FEWEST_YEARS {
        return None;
    }
    let rank = rank_of(this_year, &totals);
    offsets.sort_unstable();
    let middle = offsets[offsets.len() / 2];
    let days_ahead = (this_year > 0.0 && middle < 366).then(|| middle - reached_in(&sums, since, this_year).unwrap_or(length));
    Some(HeatStanding { since, total: this_year, median: median(&mut totals), rank, days_ahead, years: totals.len() })
}

/// Where the rain of the last `days` days stands among the same days of all earlier years. Years with more than one day in twenty missing
/// are left out. `None` when these days are not known, or with fewer than [`FEWEST_YEARS`] earlier years.
#[must_use]
pub fn rain_standing(series: &Series, days: i32, on: Date) -> Option<RainStanding> {
    let last = on.yesterday().ok()?;
    let total = |last: Date| {
        let end = series.index(last)?;
        let begin = (end + 1).checked_sub(usize::try_from(days).ok()?)?;
        let rain = series.prcp_mm().get(begin..=end)?;
        let missing = rain.iter().filter(|r| r.is_nan()).count();
        (missing * 20 <= rain.len()).then(|| rain.iter().filter(|r| !r.is_nan()).sum::<f64>())
    };
    let this_year = total(last)?;
    let mut totals: Vec<f64> =
        (series.first_day().year()..last.year()).filter_map(|year| total(day_in(year, (last.month(), last.day()))?)).collect();
    if days < 1 || totals.len() < FEWEST_YEARS {
        return None;
    }
    let index = RainDistribution::fit(&totals).map(|fitted| fitted.index(this_year));
    let rank = rank_of(this_year, &totals);
    Some(RainStanding { days, total_mm: this_year, median_mm: median(&mut totals), rank, index, years: totals.len() })
}

/// Days from the start to the first day on which the sum stood as it stands now: days without heat since then are not counted against it.
fn reached_in(sums: &HeatSums, since: Date, total: f64) -> Option<i32> {
    let day = sums.first_day_reaching(since, total)?;
    since.until((Unit::Day, day)).ok().map(|span| span.get_days())
}

/// The latest such day of a year on or before a day.
fn latest_start(start: (i8, i8), on: Date) -> Option<Date> {
    day_in(on.year(), start).filter(|day| *day <= on).or_else(|| day_in(on.year() - 1, start))
}

/// A day of a year; 29 February stands for the 28th in common years.
fn day_in(year: i16, (month, day): (i8, i8)) -> Option<Date> {
    let first = Date::new(year, month, 1).ok()?;
    (1..=first.days_in_month()).contains(&day.min(first.days_in_month())).then(|| date(year, month, day.min(first.days_in_month())))
}

fn rank_of(value: f64, others: &[f64]) -> f64 {
    let near = 1e-9 * value.abs().max(1.0);
    let share: f64 = others.iter().map(|other| if (other - value).abs() <= near { 0.5 } else { f64::from(*other < value) }).sum();
    share / others.len() as f64
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    if values.len() % 2 == 1 { values[middle] } else { f64::midpoint(values[middle - 1], values[middle]) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::degree_days::{Cutoff, Method};
    use crate::series::{Columns, Station};

    fn years(rain_of_last: f64) -> Series {
        let first = date(2000, 1, 1);
        let days = usize::try_from(first.until((Unit::Day, date(2012, 12, 31))).unwrap().get_days()).unwrap() + 1;
        let last_year = usize::try_from(first.until((Unit::Day, date(2012, 1, 1))).unwrap().get_days()).unwrap();
        let rain = |day: usize| if day < last_year { f64::from(u8::try_from(day % 7).unwrap()) } else { rain_of_last };
        let columns =
            Columns { tmin_c: vec![5.0; days], tmax_c: vec![21.0; days], prcp_mm: (0..days).map(rain).collect(), ..Columns::default() };
        Series::from_columns(Station::default(), first, columns).unwrap()
    }

    #[test]
    fn a_year_like_the_others_stands_in_the_middle() {
        let model = DegreeDays::new(Method::Average, 10.0, None, Cutoff::None).unwrap();
        let standing = heat_standing(&years(3.0), model, (3, 1), date(2012, 8, 17)).unwrap();
        assert!((standing.rank - 0.5).abs() < 1e-12 && standing.days_ahead == Some(0));
        assert_eq!((standing.since, standing.years), (date(2012, 3, 1), 12));
    }

    #[test]
    fn before_the_start_the_sum_of_last_year_goes_on() {
        let model = DegreeDays::new(Method::Average, 10.0, None, Cutoff::None).unwrap();
        let standing = heat_standing(&years(3.0), model, (7, 1), date(2012, 2, 29)).unwrap();
        assert_eq!((standing.since, standing.years), (date(2011, 7, 1), 11));
    }

    #[test]
    fn a_dry_month_ranks_low_and_a_wet_one_high() {
        let dry = rain_standing(&years(0.0), 30, date(2012, 8, 17)).unwrap();
        let wet = rain_standing(&years(9.0), 30, date(2012, 8, 17)).unwrap();
        assert!(dry.rank < 0.01 && dry.index.is_none_or(|i| i < -2.0));
        assert!(wet.rank > 0.99 && (wet.total_mm - 270.0).abs() < 1e-9);
    }

    #[test]
    fn a_short_record_or_an_unknown_present_gives_nothing() {
        let model = DegreeDays::new(Method::Average, 10.0, None, Cutoff::None).unwrap();
        assert_eq!(heat_standing(&years(3.0), model, (1, 1), date(2005, 8, 17)), None);
        assert_eq!(rain_standing(&years(3.0), 30, date(2013, 8, 17)), None);
        assert_eq!(rain_standing(&years(3.0), 0, date(2012, 8, 17)), None);
    }
}
