//! Cases summed up: coverage and score by event, lead and maker, with errors by bootstrap over years.

use jiff::civil::Date;
use serde::Serialize;

use super::{Case, Chance, DatesScore, Lead, Maker, Spread, WINDOWS, cases, chance, other_forms, spreads, usual_makers};
use crate::error::WeatherError;
use crate::futures::Kind;
use crate::normal_draws::Draws;
use crate::season_events::WEATHER_EVENTS;
use crate::series::Series;

const RESAMPLES: usize = 400;
/// Last year that the choice of the default looked at.
pub(super) const LAST_CHOICE_YEAR: i16 = 1994;

/// A figure with its standard error by bootstrap over years.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Figure {
    /// The figure.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
}

/// One maker over a group of cases.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MakerScore {
    /// The maker's name.
    pub maker: String,
    /// Share of years inside each of [`WINDOWS`].
    pub coverage: [Figure; 3],
    /// Share of years within p10 to p90 as printed, of those in which the event came.
    pub printed: Figure,
    /// Mean CRPS, days.
    pub crps_days: Figure,
    /// Mean CRPS less that of the plain ensemble, days: below zero is better.
    pub less_plain_days: Figure,
}

impl MakerScore {
    /// Whether its CRPS is above the plain ensemble's by more than two standard errors.
    #[must_use]
    pub fn is_worse_than_plain(&self) -> bool {
        self.less_plain_days.value > 2.0 * self.less_plain_days.error
    }

    /// Whether its CRPS is below the plain ensemble's by more than two standard errors.
    #[must_use]
    pub fn is_better_than_plain(&self) -> bool {
        self.less_plain_days.value < -2.0 * self.less_plain_days.error
    }

    /// Whether the share inside every window lies within two standard errors of what it should be.
    #[must_use]
    pub fn is_honest(&self) -> bool {
        self.coverage.iter().zip(WINDOWS).all(|(share, window)| (share.value - window).abs() <= 2.0 * share.error)
    }
}

/// The makers over one event and lead.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Group {
    /// The event's key; `None` for all events together.
    pub event: Option<String>,
    /// The lead; `None` for all.
    pub lead: Option<Lead>,
    /// Cases judged.
    pub cases: usize,
    /// Years they come from.
    pub years: usize,
    /// The makers.
    pub makers: Vec<MakerScore>,
}

/// The place of the plain ensemble among the makers.
const PLAIN: usize = 1;

/// The makers over some years.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Period {
    /// What the years were for.
    pub purpose: String,
    /// First judged year.
    pub first_year: i16,
    /// Last judged year.
    pub last_year: i16,
    /// All events together, then each event: over all leads, then each lead that has cases.
    pub groups: Vec<Group>,
    /// For the reliability figure: a chance, and for each maker the share of cases that came by the date it gave that chance.
    pub reliability: Vec<(f64, Vec<Figure>)>,
}

impl Period {
    /// The group of an event (`None`: all together) and a lead (`None`: all).
    #[must_use]
    pub fn group(&self, event: Option<&str>, lead: Option<Lead>) -> Option<&Group> {
        self.groups.iter().find(|group| group.event.as_deref() == event && group.lead == lead)
    }

    /// The groups of single events over all leads. Sums from 1 March are left out where those from 1 January stand: at a station with cold
    /// winters they are the same event.
    pub fn events(&self) -> impl Iterator<Item = &Group> {
        self.groups.iter().filter(|group| group.lead.is_none() && group.event.as_ref().is_some_and(|key| !key.contains("from-mar1")))
    }

    /// The mean over the events of a maker's CRPS over the plain ensemble's: each event counts the same, however many days it wanders.
    #[must_use]
    pub fn crps_ratio(&self, maker: usize) -> f64 {
        let ratios: Vec<f64> =
            self.events().map(|group| group.makers[maker].crps_days.value / group.makers[PLAIN].crps_days.value).collect();
        crate::quantile::mean(&ratios).unwrap_or(f64::NAN)
    }

    /// Of how many events a maker's coverage is honest ([`MakerScore::is_honest`]), and of how many there are.
    #[must_use]
    pub fn honest_events(&self, maker: usize) -> (usize, usize) {
        (self.events().filter(|group| group.makers[maker].is_honest()).count(), self.events().count())
    }
}

/// The hindcast of a station.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    /// The station.
    pub station: String,
    /// First and last day of the record.
    pub record: (Date, Date),
    /// The makers' names.
    pub makers: Vec<String>,
    /// The years that settled the choice of the default, those that were not looked at for it, and all.
    pub periods: Vec<Period>,
    /// Other forms of the detrended futures on the years of the choice; `None` when they were not run ([`forms`]).
    pub forms: Option<Period>,
    /// What chance does to the coverage of each event.
    pub chance: Vec<Chance>,
    /// How far each event's own dates lay apart, by time.
    pub spreads: Vec<Spread>,
    /// A second station of which only dates are known: what to call it, and how its events fared ([`super::judge_dates`]).
    pub second: Option<(String, Vec<DatesScore>)>,
}

/// The hindcast of a series by the usual makers: years to 1994 for the choice, later ones unseen. Some minutes unless built for release.
///
/// # Errors
/// As [`cases`].
pub fn report(series: &Series) -> Result<Report, WeatherError> {
    let makers = usual_makers();
    let cases = cases(series, &makers, i16::MIN, i16::MAX)?;
    let names: Vec<String> = makers.iter().map(Maker::name).collect();
    let periods =
        [("choice", i16::MIN, LAST_CHOICE_YEAR), ("unseen", LAST_CHOICE_YEAR + 1, i16::MAX), ("all judged years", i16::MIN, i16::MAX)];
    Ok(Report {
        station: crate::ensemble::name_of(series),
        record: (series.first_day(), series.last_day()),
        periods: periods.iter().filter_map(|(purpose, first, last)| period(&cases, &names, purpose, *first, *last)).collect(),
        makers: names,
        forms: None,
        chance: chance(series),
        spreads: spreads(series),
        second: None,
    })
}

/// Other forms of the detrended futures on the years of the choice.
///
/// # Errors
/// As [`cases`].
pub fn forms(series: &Series) -> Result<Option<Period>, WeatherError> {
    let makers: Vec<Maker> = [Maker::PastDates, Maker::of(Kind::Plain)].into_iter().chain(other_forms()).collect();
    let names: Vec<String> = makers.iter().map(Maker::name).collect();
    Ok(period(&cases(series, &makers, i16::MIN, LAST_CHOICE_YEAR)?, &names, "forms", i16::MIN, LAST_CHOICE_YEAR))
}

/// Sums the cases of some years up; `None` when there are none.
#[must_use]
pub fn period(cases: &[Case], names: &[String], purpose: &str, first: i16, last: i16) -> Option<Period> {
    let cases: Vec<&Case> = cases.iter().filter(|case| (first..=last).contains(&case.year)).collect();
    let (first_year, last_year) = (cases.iter().map(|case| case.year).min()?, cases.iter().map(|case| case.year).max()?);
    let mut groups = Vec::new();
    let events = std::iter::once(None).chain((0..WEATHER_EVENTS.len()).map(Some));
    for event in events {
        for lead in std::iter::once(None).chain(Lead::ALL.into_iter().map(Some)) {
            let of_group = |case: &&&Case| event.is_none_or(|event| case.event == event) && lead.is_none_or(|lead| case.lead == lead);
            let chosen: Vec<&Case> = cases.iter().filter(of_group).copied().collect();
            if !chosen.is_empty() {
                groups.push(group(&chosen, names, event.map(|event| WEATHER_EVENTS[event].key.clone()), lead));
            }
        }
    }
    let shares = |chance: f64| {
        let part = |case: &Case, maker: usize| {
            let (from, to) = case.scores[maker].place;
            ((chance - from) / (to - from)).clamp(0.0, 1.0)
        };
        let share = |maker: usize| bootstrap(&year_sums(&cases, &|case| Some(part(case, maker))));
        (chance, (0..names.len()).map(share).collect())
    };
    let reliability = (1..20).map(|step| shares(f64::from(step) / 20.0)).collect();
    Some(Period { purpose: purpose.to_owned(), first_year, last_year, groups, reliability })
}

/// Sums of one figure over the cases of each year: the sum and the number.
pub(super) type YearSums = Vec<(f64, f64)>;

/// The sums of figures by their years.
pub(super) fn year_sums_of(figures: impl Iterator<Item = (i16, f64)>) -> YearSums {
    summed(figures.map(|(year, figure)| (year, Some(figure))))
}

/// The sums of a figure by year; cases without it do not count.
fn year_sums(cases: &[&Case], figure: &dyn Fn(&Case) -> Option<f64>) -> YearSums {
    summed(cases.iter().map(|case| (case.year, figure(case))))
}

fn summed(figures: impl Iterator<Item = (i16, Option<f64>)>) -> YearSums {
    let mut sums: std::collections::BTreeMap<i16, (f64, f64)> = std::collections::BTreeMap::new();
    for (year, figure) in figures {
        let sum = sums.entry(year).or_default();
        if let Some(value) = figure {
            *sum = (sum.0 + value, sum.1 + 1.0);
        }
    }
    sums.into_values().collect()
}

fn group(cases: &[&Case], names: &[String], event: Option<String>, lead: Option<Lead>) -> Group {
    let sums = |figure: &dyn Fn(&Case) -> Option<f64>| year_sums(cases, figure);
    let years = sums(&|_| None).len();
    let makers = names.iter().enumerate().map(|(maker, name)| MakerScore {
        maker: name.clone(),
        coverage: WINDOWS.map(|window| bootstrap(&sums(&|case| Some(case.scores[maker].inside(window))))),
        printed: bootstrap(&sums(&|case| case.scores[maker].printed.map(|inside| f64::from(u8::from(inside))))),
        crps_days: bootstrap(&sums(&|case| Some(case.scores[maker].crps_days))),
        less_plain_days: bootstrap(&sums(&|case| Some(case.scores[maker].crps_days - case.scores[PLAIN].crps_days))),
    });
    Group { event, lead, cases: cases.len(), years, makers: makers.collect() }
}

/// The mean over all cases and its standard error when whole years are drawn with replacement.
pub(super) fn bootstrap(sums: &YearSums) -> Figure {
    let ratio = |sum: (f64, f64)| if sum.1 > 0.0 { sum.0 / sum.1 } else { f64::NAN };
    let add = |a: (f64, f64), b: &(f64, f64)| (a.0 + b.0, a.1 + b.1);
    let value = ratio(sums.iter().fold((0.0, 0.0), add));
    let mut draws = Draws::seeded(sums.len() as u64);
    let resample = |draws: &mut Draws| ratio((0..sums.len()).map(|_| sums[draws.below(sums.len())]).fold((0.0, 0.0), |a, b| add(a, &b)));
    let means: Vec<f64> = (0..RESAMPLES).map(|_| resample(&mut draws)).filter(|mean| !mean.is_nan()).collect();
    let error = crate::quantile::standard_deviation(&means).unwrap_or(f64::NAN);
    Figure { value, error }
}
