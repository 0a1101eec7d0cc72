//! A stochastic generator of daily weather, fitted to one station.
//!
//! - **Rain or none:** a two-state chain whose order (1 to 3) the record chooses by Schwarz's criterion. The chance of rain after each history is
//!   a logistic Fourier sum of the day of year and a figure for the last four days' own, moved by a slow factor (weeks) so that months and years differ as much as they do.
//! - **Amount:** a mixture of two exponentials about a seasonal mean (Fourier), its form fitted for each month; more in the middle of a wet
//!   spell than at its ends, least on a wet day alone (whether the next day is wet is drawn before the amount). What is left of a day's amount
//!   tells nothing of the next day's: at Milwaukee the rank correlation of neighbouring wet days, that taken out, is 0.04.
//! - **Temperature:** for each day of the year a mean and a spread for wet days and for dry days (Fourier), about the station's level and
//!   trend ([`crate::trend`]). What is left is brought to normal scores month by month, so that a long cold tail stays one.
//! - **Persistence:** the normal scores of minimum and maximum are the sum of two processes: weather of days (a bivariate
//!   autoregression of order 1, with the cross-terms by which a warm afternoon warms the next night) and weather of weeks (slow, alike in both).
//!   The two are told apart by the autocorrelation at lags of 1 to 60 days, and brought by trial to the record's spread of monthly means,
//!   season by season. A third, constant through a year, makes years differ.
//! - **Today's state** is found by a Kalman filter over the last days, which splits what was measured into the two processes.
//!
//! Draws are seeded (ChaCha): the same seed gives the same weather.
//!
//! # Sources
//! Richardson (1981), *Stochastic simulation of daily precipitation, temperature, and solar radiation*, Water Resources Research 17:182;
//! Wilks (1999), *Interannual variability and extreme-value characteristics of several stochastic daily precipitation models*,
//! Agricultural and Forest Meteorology 93:153 (mixed exponential, and why months vary too little without a slow factor); Schwarz (1978),
//! Annals of Statistics 6:461; Kalman (1960). All from memory; what speaks for it is the comparison with the record in the tests.

mod memory;

use jiff::civil::Date;
use serde::Serialize;

pub use memory::Memory;
use memory::{State, draw_of};

use crate::calendar::{date_of, day_number, day_slot};
use crate::futures::{Origin, Path};
use crate::normal_draws::Draws;
use crate::rain_chain::{RainChain, RainState};
use crate::season_curve::{SLOTS, SeasonCurve};
use crate::series::{Element, Mark, Series};
use crate::trend::Trend;

/// Fewest days of known rain and temperature from which a generator is fitted.
pub const FEWEST_DAYS: usize = 10 * 365;
/// Days behind that the filter looks at.
const FILTER_DAYS: usize = 200;
/// Normal scores at which the form of the leftovers is tabled.
const KNOTS: usize = 25;
const FIRST_KNOT: f64 = -3.0;
const KNOT_STEP: f64 = 0.25;

/// A generator fitted to a station.
#[derive(Debug, Clone, Serialize)]
pub struct Generator {
    /// Rain.
    pub rain: RainChain,
    /// Mean difference from the level on dry and on wet days, °C: minimum and maximum.
    shift: [[SeasonCurve; 2]; 2],
    /// Spread on dry and on wet days, °C.
    spread: [[SeasonCurve; 2]; 2],
    /// Leftovers at the knots, by element and month.
    form: [Vec<[f64; KNOTS]>; 2],
    /// Persistence.
    pub memory: Memory,
}

/// The record as the fit sees it.
struct Record {
    slots: Vec<usize>,
    months: Vec<usize>,
    years: Vec<i16>,
    wet: Vec<Option<bool>>,
    /// Differences from the level, NaN where unknown.
    apart: [Vec<f64>; 2],
}

impl Generator {
    /// Fits a series over its years before `before`, about levels fitted to the same years. `None` when too little is known.
    #[must_use]
    pub fn fit(series: &Series, before: i16, tmin: &Trend, tmax: &Trend) -> Option<Generator> {
        let record = Record::of(series, before, (tmin, tmax));
        let rain = RainChain::fit(series, before)?;
        let mut known = record.clone_known();
        let shift = record.curves(&known, 4, |value, _, _| value)?;
        let spread = record.curves(&known, 4, |value, wetness, (element, slot)| (value - shift[wetness][element].at(slot)).powi(2))?;
        let spread = spread.map(|pair| pair.map(|curve| curve.map(|variance| variance.max(0.25).sqrt())));
        for (element, values) in known.iter_mut().enumerate() {
            for (place, value) in values.iter_mut().enumerate() {
                let (wetness, slot) = (usize::from(record.wet[place] == Some(true)), record.slots[place]);
                *value = (*value - shift[wetness][element].at(slot)) / spread[wetness][element].at(slot);
            }
        }
        let form = [form_of(&record.months, &known[0]), form_of(&record.months, &known[1])];
        let scores: Vec<Vec<f64>> = (0..2)
            .map(|element| {
                known[element].iter().zip(&record.months).map(|(value, month)| score_of(&form[element][*month], *value)).collect()
            })
            .collect();
        let memory = Memory::fit(&scores[0], &scores[1], &record.years, &record.months, &record.slots)?;
        Some(Generator { rain, shift, spread, form, memory })
    }

    /// The part of a day's anomaly that the next day keeps.
    #[must_use]
    pub fn day_to_day(&self) -> f64 {
        let mean: f64 = self.memory.daily.iter().map(|step| step.iter().flatten().sum::<f64>() / 2.0).sum::<f64>() / SLOTS as f64;
        mean.clamp(0.0, 0.95)
    }

    /// Futures from `on` for some days, begun from the state that the days before it leave.
    pub(crate) fn paths(&self, past: &Series, on: Date, levels: (&Trend, &Trend), days: usize, number: usize, seed: u64) -> Vec<Path> {
        let mut draws = Draws::seeded(seed);
        let state = self.state_before(past, levels);
        let path = |draw: usize| {
            let (state, rain) = (state.drawn(&mut draws), self.rain.state_before(past, on, &mut draws));
            let mut weather = Weather { state, rain, year: past.last_day().year() };
            let mut path = Path { origin: Origin::Draw(draw), tmin_c: Vec::new(), tmax_c: Vec::new(), prcp_mm: Vec::new() };
            for lead in 0..days {
                let date = date_of(day_number(on) + lead as i32);
                self.next_day(date, levels, &mut weather, &mut draws, &mut path);
            }
            path
        };
        (0..number).map(path).collect()
    }

    /// One run of days from a date, from no state: years for comparison with the record. Temperatures stand on each year's own level.
    #[must_use]
    pub fn run(&self, first_day: Date, days: usize, tmin: &Trend, tmax: &Trend, seed: u64) -> Path {
        let mut draws = Draws::seeded(seed);
        let state = self.memory.unknown_state().drawn(&mut draws);
        let mut weather = Weather { state, rain: RainChain::dry_state(&mut draws), year: first_day.year() };
        let mut path = Path { origin: Origin::Draw(0), tmin_c: Vec::new(), tmax_c: Vec::new(), prcp_mm: Vec::new() };
        for lead in 0..days {
            self.next_day(date_of(day_number(first_day) + lead as i32), (tmin, tmax), &mut weather, &mut draws, &mut path);
        }
        path
    }

    fn next_day(&self, date: Date, levels: (&Trend, &Trend), weather: &mut Weather, draws: &mut Draws, path: &mut Path) {
        let (slot, month) = (day_slot(date), month_of(date));
        let rain = self.rain.next(slot, month, &mut weather.rain, draws);
        if date.year() != weather.year {
            weather.year = date.year();
            weather.state.mean[4..].copy_from_slice(&draw_of(&self.memory.yearly_covariance, draws));
        }
        weather.state.step(&self.memory, slot, draws);
        let shows = self.memory.shows(slot);
        let wetness = usize::from(rain > 0.0);
        let value = |element: usize| {
            let score: f64 = (0..3).map(|part| shows[part] * weather.state.mean[2 * part + element]).sum();
            let left = leftover_of(&self.form[element][month], score);
            self.shift[wetness][element].at(slot) + self.spread[wetness][element].at(slot) * left
        };
        let low = levels.0.level_c(slot, date.year()) + value(0);
        let high = levels.1.level_c(slot, date.year()) + value(1);
        path.push(low.min(high - 0.5), high, rain);
    }

    /// The state of the processes on the day before `on`, with its uncertainty.
    fn state_before(&self, past: &Series, levels: (&Trend, &Trend)) -> State {
        let end = past.len();
        let mut state = self.memory.unknown_state();
        for index in end.saturating_sub(FILTER_DAYS)..end {
            let date = past.date(index);
            let (slot, month) = (day_slot(date), month_of(date));
            let wetness = usize::from(past.prcp_mm()[index] >= crate::rain_chain::WET_FROM_MM);
            let apart =
                [past.tmin_c()[index] - levels.0.level_c(slot, date.year()), past.tmax_c()[index] - levels.1.level_c(slot, date.year())];
            let score = |element: usize| {
                let left = (apart[element] - self.shift[wetness][element].at(slot)) / self.spread[wetness][element].at(slot);
                score_of(&self.form[element][month], left)
            };
            if slot == 0 {
                state.forget_year(&self.memory);
            }
            state.advance(&self.memory, slot);
            let seen = [score(0), score(1)];
            if !seen[0].is_nan() && !seen[1].is_nan() {
                state.see(seen, self.memory.shows(slot));
            }
        }
        state
    }
}

/// What a day hands on to the next.
struct Weather {
    state: State,
    rain: RainState,
    year: i16,
}

impl Record {
    fn of(series: &Series, before: i16, levels: (&Trend, &Trend)) -> Record {
        let rain = series.prcp_mm();
        let marks = series.marks(Element::Precipitation);
        let (low, high) = (series.trusted(Element::MinimumTemperature), series.trusted(Element::MaximumTemperature));
        let mut record =
            Record { slots: Vec::new(), months: Vec::new(), years: Vec::new(), wet: Vec::new(), apart: [Vec::new(), Vec::new()] };
        for index in 0..series.len() {
            let date = series.date(index);
            if date.year() >= before {
                break;
            }
            let slot = day_slot(date);
            record.slots.push(slot);
            record.months.push(month_of(date));
            record.years.push(date.year());
            record.wet.push((marks[index] == Mark::Measured).then(|| rain[index] >= crate::rain_chain::WET_FROM_MM));
            record.apart[0].push(low[index] - levels.0.level_c(slot, date.year()));
            record.apart[1].push(high[index] - levels.1.level_c(slot, date.year()));
        }
        record
    }

    /// The differences of days whose rain is known too.
    fn clone_known(&self) -> [Vec<f64>; 2] {
        let known = |element: usize| {
            let value = |(value, wet): (&f64, &Option<bool>)| if wet.is_some() { *value } else { f64::NAN };
            self.apart[element].iter().zip(&self.wet).map(value).collect()
        };
        [known(0), known(1)]
    }

    /// Curves for dry and wet days of both elements, of a figure of the values.
    fn curves(
        &self,
        values: &[Vec<f64>; 2],
        harmonics: usize,
        figure: impl Fn(f64, usize, (usize, usize)) -> f64,
    ) -> Option<[[SeasonCurve; 2]; 2]> {
        let curve = |wetness: usize, element: usize| {
            let figures: Vec<f64> = (0..self.slots.len())
                .map(|place| {
                    let fits = self.wet[place] == Some(wetness == 1);
                    if fits { figure(values[element][place], wetness, (element, self.slots[place])) } else { f64::NAN }
                })
                .collect();
            SeasonCurve::fit(&self.slots, &figures, harmonics)
        };
        Some([[curve(0, 0)?, curve(0, 1)?], [curve(1, 0)?, curve(1, 1)?]])
    }
}

fn month_of(date: Date) -> usize {
    usize::try_from(date.month() - 1).unwrap_or(0)
}

/// The leftovers' quantiles at the knots' normal scores, for each month with its neighbours.
fn form_of(months: &[usize], leftovers: &[f64]) -> Vec<[f64; KNOTS]> {
    (0..12)
        .map(|month| {
            let near = |other: usize| [month, (month + 1) % 12, (month + 11) % 12].contains(&other);
            let mut sorted: Vec<f64> =
                months.iter().zip(leftovers).filter(|(other, value)| near(**other) && !value.is_nan()).map(|(_, value)| *value).collect();
            sorted.sort_by(f64::total_cmp);
            let mut form = [0.0; KNOTS];
            for (knot, value) in form.iter_mut().enumerate() {
                let score = FIRST_KNOT + KNOT_STEP * knot as f64;
                let rule = crate::quantile::QuantileRule::Linear;
                *value = crate::quantile::quantile(&sorted, normal_share(score), rule).unwrap_or(score);
            }
            for knot in 1..KNOTS {
                form[knot] = form[knot].max(form[knot - 1] + 1e-3);
            }
            // The form is the three months', its mean the month's own.
            let own: Vec<f64> = months
                .iter()
                .zip(leftovers)
                .filter(|(other, value)| **other == month && !value.is_nan())
                .map(|(_, value)| *value)
                .collect();
            let scores = || (-80..=80).map(|step| f64::from(step) / 20.0);
            let weight = |score: f64| (-score * score / 2.0).exp();
            let implied = scores().map(|score| weight(score) * leftover_of(&form, score)).sum::<f64>() / scores().map(weight).sum::<f64>();
            let off = crate::quantile::mean(&own).unwrap_or(implied) - implied;
            form.iter_mut().for_each(|value| *value += off);
            form
        })
        .collect()
}

/// The normal score of a leftover: in straight lines between knots and beyond the last.
fn score_of(form: &[f64; KNOTS], leftover: f64) -> f64 {
    let knot = form.partition_point(|value| *value < leftover).clamp(1, KNOTS - 1);
    let share = (leftover - form[knot - 1]) / (form[knot] - form[knot - 1]);
    (FIRST_KNOT + KNOT_STEP * (knot as f64 - 1.0 + share)).clamp(-5.0, 5.0)
}

/// The leftover of a normal score.
fn leftover_of(form: &[f64; KNOTS], score: f64) -> f64 {
    let place = (score - FIRST_KNOT) / KNOT_STEP;
    let knot = (place.floor().max(0.0) as usize).min(KNOTS - 2);
    form[knot] + (place - knot as f64) * (form[knot + 1] - form[knot])
}

/// The standard normal distribution, after Abramowitz & Stegun 7.1.26 (memory; within 2e-7).
fn normal_share(score: f64) -> f64 {
    let x = score.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let series = t * (0.254_829_592 + t * (-0.284_496_736 + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let tail = 0.5 * series * (-x * x).exp();
    if score < 0.0 { tail } else { 1.0 - tail }
}
