//! Rain day by day: a chain of wet and dry days, and how much falls on the wet ones. See [`crate::generator`] for the whole.

use jiff::civil::Date;
use serde::Serialize;

use crate::calendar::{day_number, day_slot};
use crate::least_squares::NormalEquations;
use crate::normal_draws::Draws;
use crate::season_curve::{SeasonCurve, fourier_table};
use crate::series::{Element, Mark, Series};

/// A day with at least this much rain is wet, mm: the hundredth of an inch that US gauges show, or three tenths of a millimetre rounded.
pub const WET_FROM_MM: f64 = 0.25;
/// What amounts are counted from, mm.
const LEAST_MM: f64 = 0.2;
const MOST_ORDER: usize = 3;
const HARMONICS: usize = 2;
/// What the slow factor keeps from one day to the next.
const SLOW_KEPT: f64 = 0.975;
/// What the slow factor's strength is first taken to be.
const FIRST_SLOW: f64 = 0.3;
/// Trials by which it is settled.
const SETTLING: usize = 8;
/// Years run to settle the slow factor's strength.
const TRIAL_YEARS: usize = 250;
/// Years run to bring the months' means to the record's.
const LAST_TRIAL_YEARS: usize = 1000;
/// The most that the slow factor is let to move the log odds.
const MOST_SLOW: f64 = 1.0;
/// Days behind whose wet and dry move the log odds by a figure of their own, the same all year.
const SPELL_DAYS: usize = 4;

/// A mixture of two exponentials of mean 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Mixture {
    /// Share of the first.
    pub share: f64,
    /// Mean of the first.
    pub first: f64,
    /// Mean of the second.
    pub second: f64,
}

/// Rain at a station.
#[derive(Debug, Clone, Serialize)]
pub struct RainChain {
    /// Days of the past that count.
    pub order: usize,
    /// Log odds of rain, by history: bit 0 is yesterday, bit 1 the day before, 1 for wet.
    log_odds: Vec<SeasonCurve>,
    /// What the last [`SPELL_DAYS`] days add to the log odds, by history, the same all year: how spells go on beyond the chain's order.
    spells: [f64; 1 << SPELL_DAYS],
    /// Mean amount of a wet day over [`LEAST_MM`], mm.
    mean_mm: SeasonCurve,
    /// How much more or less falls on a wet day, as a share of the mean, by whether the day before (first) and the day after (second) are
    /// wet: the middle of a wet spell brings more than a wet day alone.
    pub around: [[f64; 2]; 2],
    /// Form of the amounts by month.
    pub amounts: Vec<Mixture>,
    /// How strongly the slow factor moves the log odds, by month.
    pub slow: [f64; 12],
}

/// What a day's rain hands on to the next.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RainState {
    /// The days before, as bits: bit 0 is the latest, 1 for wet.
    history: usize,
    /// The slow factor.
    slow: f64,
    /// Whether the day to come is wet, once that is drawn.
    coming: Option<bool>,
}

/// A history, the log odds fitted to it, and how well.
type Fitted = (Vec<SeasonCurve>, f64);

impl RainChain {
    /// Fits a series over its years before `before`; only measured rain counts. `None` when too little is known.
    #[must_use]
    pub fn fit(series: &Series, before: i16) -> Option<RainChain> {
        let marks = series.marks(Element::Precipitation);
        let end = (0..series.len()).take_while(|index| series.date(*index).year() < before).count();
        let rain: Vec<f64> =
            (0..end).map(|index| if marks[index] == Mark::Measured { series.prcp_mm()[index] } else { f64::NAN }).collect();
        let slots: Vec<usize> = (0..end).map(|index| day_slot(series.date(index))).collect();
        let months: Vec<usize> = (0..end).map(|index| usize::try_from(series.date(index).month() - 1).unwrap_or(0)).collect();
        if rain.iter().filter(|amount| !amount.is_nan()).count() < crate::generator::FEWEST_DAYS {
            return None;
        }
        let days = rain.iter().filter(|amount| !amount.is_nan()).count() as f64;
        let fits: Vec<Fitted> = (1..=MOST_ORDER).filter_map(|order| chain_of(&rain, &slots, order)).collect();
        let cost = |(place, fit): &(usize, &Fitted)| {
            let terms = (1_usize << (place + 1)) * (1 + 2 * HARMONICS);
            -2.0 * fit.1 + terms as f64 * days.ln()
        };
        let best = fits.iter().enumerate().min_by(|a, b| cost(a).total_cmp(&cost(b)))?.0;
        let over: Vec<f64> = rain.iter().map(|amount| if *amount >= WET_FROM_MM { amount - LEAST_MM } else { f64::NAN }).collect();
        let mean_mm = SeasonCurve::fit(&slots, &over, HARMONICS)?.map(|mean| mean.max(0.5));
        let mut scaled: Vec<f64> = over.iter().zip(&slots).map(|(amount, slot)| amount / mean_mm.at(*slot)).collect();
        let around = [false, true].map(|before| [false, true].map(|after| share_around(&rain, &scaled, before, after)));
        for place in 1..scaled.len().saturating_sub(1) {
            let wet = |place: usize| usize::from(rain[place] >= WET_FROM_MM);
            scaled[place] /= around[wet(place - 1)][wet(place + 1)];
        }
        let amounts = (0..12).map(|month| mixture_near(&scaled, &months, month)).collect();
        let mut chain = RainChain {
            order: best + 1,
            log_odds: fits.into_iter().nth(best)?.0,
            spells: [0.0; 1 << SPELL_DAYS],
            mean_mm,
            around,
            amounts,
            slow: [FIRST_SLOW; 12],
        };
        chain.settle(&rain, &slots, &months);
        Some(chain)
    }

    /// The state before a date, with the slow factor drawn; unknown days count as dry.
    pub(crate) fn state_before(&self, past: &Series, on: Date, draws: &mut Draws) -> RainState {
        RainState { history: self.history_before(past, on), slow: draws.normal(), coming: None }
    }

    /// A state of which nothing is known but that the days before were dry.
    pub(crate) fn dry_state(draws: &mut Draws) -> RainState {
        RainState { history: 0, slow: draws.normal(), coming: None }
    }

    fn history_before(&self, past: &Series, on: Date) -> usize {
        let index = usize::try_from(day_number(on) - day_number(past.first_day())).unwrap_or(0);
        (0..self.order.max(SPELL_DAYS))
            .map(|back| {
                let amount = index.checked_sub(back + 1).and_then(|index| past.prcp_mm().get(index)).copied().unwrap_or(0.0);
                usize::from(amount >= WET_FROM_MM) << back
            })
            .sum()
    }

    /// The next day's rain, mm; 0 on a dry day.
    pub(crate) fn next(&self, slot: usize, month: usize, state: &mut RainState, draws: &mut Draws) -> f64 {
        let before = state.history & 1;
        let wet = state.coming.take().unwrap_or_else(|| self.draw_wet(slot, state, draws));
        state.history = (state.history << 1 | usize::from(wet)) & 0xFF;
        let after = self.draw_wet(slot + 1, state, draws);
        state.coming = Some(after);
        if !wet {
            return 0.0;
        }
        let form = self.amounts[month];
        let mean = if draws.uniform() < form.share { form.first } else { form.second };
        LEAST_MM + self.mean_mm.at(slot) * self.around[before][usize::from(after)] * mean * -(1.0 - draws.uniform()).ln()
    }

    /// Whether a day is wet, after the history.
    fn draw_wet(&self, slot: usize, state: &mut RainState, draws: &mut Draws) -> bool {
        state.slow = SLOW_KEPT * state.slow + (1.0 - SLOW_KEPT * SLOW_KEPT).sqrt() * draws.normal();
        let known = state.history & ((1 << self.order) - 1);
        let log_odds = self.log_odds[known].at(slot)
            + self.spells[state.history & ((1 << SPELL_DAYS) - 1)]
            + self.slow[month_of_slot(slot)] * state.slow;
        draws.uniform() < 1.0 / (1.0 + (-log_odds).exp())
    }

    /// Finds, by trials, the slow factor's strength in each month at which monthly and yearly totals differ from year to year as much as in the
    /// record, the chance of rain after each history being kept where the record has it; then brings the months' means to the record's.
    fn settle(&mut self, rain: &[f64], slots: &[usize], months: &[usize]) {
        let wanted = Totals::of(rain, months);
        let (seen, seen_spells) = (self.chances(rain, slots), chances_in_spells(rain));
        for _ in 0..SETTLING {
            self.keep_chances(&seen, &seen_spells);
            let (trial, trial_months, _) = self.trial(TRIAL_YEARS);
            let made = Totals::of(&trial, &trial_months);
            // What the record is too short to tell does not count.
            let ratio = |wanted: f64, made: f64| Some(wanted / made).filter(|ratio| ratio.is_finite()).unwrap_or(1.0);
            let years = ratio(wanted.year_spread, made.year_spread);
            let strength: [f64; 12] = std::array::from_fn(|month| {
                let step = (ratio(wanted.month_spread[month], made.month_spread[month]) * years.sqrt()).clamp(0.6, 1.6);
                (self.slow[month] * step).clamp(0.02, MOST_SLOW)
            });
            // Neighbouring months share: a month alone tells its own strength badly.
            self.slow =
                std::array::from_fn(|month| 0.5 * strength[month] + 0.25 * (strength[(month + 1) % 12] + strength[(month + 11) % 12]));
        }
        self.keep_chances(&seen, &seen_spells);
        let (trial, trial_months, _) = self.trial(LAST_TRIAL_YEARS);
        let made = Totals::of(&trial, &trial_months);
        for (form, (wanted, made)) in self.amounts.iter_mut().zip(wanted.month_mean.iter().zip(&made.month_mean)) {
            let share = wanted / made;
            // A month that is not known, or never had rain, keeps its own.
            if share.is_finite() {
                (form.first, form.second) = (form.first * share.clamp(0.8, 1.25), form.second * share.clamp(0.8, 1.25));
            }
        }
    }

    /// The log odds of rain after each history, as Fourier sums of the shares counted.
    fn chances(&self, rain: &[f64], slots: &[usize]) -> Vec<Option<SeasonCurve>> {
        let mut shares = vec![vec![f64::NAN; rain.len()]; 1 << self.order];
        for place in self.order..rain.len() {
            if rain[place - self.order..=place].iter().all(|amount| !amount.is_nan()) {
                let wet = |place: usize| usize::from(rain[place] >= WET_FROM_MM);
                let history: usize = (0..self.order).map(|back| wet(place - 1 - back) << back).sum();
                shares[history][place] = wet(place) as f64;
            }
        }
        let log_odds = |share: f64| (share.clamp(0.02, 0.98) / (1.0 - share.clamp(0.02, 0.98))).ln();
        shares.iter().map(|shares| Some(SeasonCurve::fit(slots, shares, HARMONICS)?.map(log_odds))).collect()
    }

    /// Moves the log odds by what a trial's are off.
    fn keep_chances(&mut self, seen: &[Option<SeasonCurve>], seen_spells: &[Option<f64>]) {
        for _ in 0..2 {
            let (trial, _, slots) = self.trial(TRIAL_YEARS);
            let made = self.chances(&trial, &slots);
            for (curve, pair) in self.log_odds.iter_mut().zip(seen.iter().zip(&made)) {
                if let (Some(seen), Some(made)) = pair {
                    curve.add(|slot| seen.at(slot) - made.at(slot));
                }
            }
            let made = chances_in_spells(&trial);
            for (spell, pair) in self.spells.iter_mut().zip(seen_spells.iter().zip(&made)) {
                if let (Some(seen), Some(made)) = pair {
                    *spell += seen - made;
                }
            }
        }
    }

    fn trial(&self, years: usize) -> (Vec<f64>, Vec<usize>, Vec<usize>) {
        const LENGTHS: [usize; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
        let mut draws = Draws::seeded(366);
        let mut state = RainChain::dry_state(&mut draws);
        let (mut rain, mut months, mut slots) = (Vec::new(), Vec::new(), Vec::new());
        for _ in 0..years {
            let mut slot = 0;
            for (month, length) in LENGTHS.iter().enumerate() {
                for _ in 0..*length {
                    rain.push(self.next(slot, month, &mut state, &mut draws));
                    months.push(month);
                    slots.push(slot);
                    slot += 1;
                }
            }
        }
        (rain, months, slots)
    }
}

/// Fewest days after a history from which its chance of rain is told.
const FEWEST_AFTER: f64 = 100.0;

/// The log odds of rain after each history of [`SPELL_DAYS`] days, over the whole year; `None` where it hardly came.
fn chances_in_spells(rain: &[f64]) -> Vec<Option<f64>> {
    let mut counts = vec![(0.0, 0.0); 1 << SPELL_DAYS];
    for days in rain.windows(SPELL_DAYS + 1).filter(|days| days.iter().all(|amount| !amount.is_nan())) {
        let wet = |back: usize| usize::from(days[SPELL_DAYS - back] >= WET_FROM_MM);
        let history: usize = (0..SPELL_DAYS).map(|back| wet(back + 1) << back).sum();
        let count = &mut counts[history];
        *count = (count.0 + 1.0, count.1 + wet(0) as f64);
    }
    let log_odds = |(number, wet): (f64, f64)| {
        let share = (wet / number).clamp(0.02, 0.98);
        (number >= FEWEST_AFTER).then(|| (share / (1.0 - share)).ln())
    };
    counts.into_iter().map(log_odds).collect()
}

/// The mean of scaled amounts on wet days whose days before and after were wet, or dry.
fn share_around(rain: &[f64], scaled: &[f64], before: bool, after: bool) -> f64 {
    let is = |place: usize, wet: bool| !rain[place].is_nan() && (rain[place] >= WET_FROM_MM) == wet;
    let inner = 1..rain.len().saturating_sub(1);
    let amounts: Vec<f64> = inner
        .filter(|place| is(place - 1, before) && is(place + 1, after))
        .map(|place| scaled[place])
        .filter(|amount| !amount.is_nan())
        .collect();
    crate::quantile::mean(&amounts).unwrap_or(1.0)
}

/// Fewest totals from which their spread is told.
const FEWEST_TOTALS: usize = 8;

/// Totals of months and years. Months and years with unknown days are left out.
struct Totals {
    /// Mean of each month's totals, mm.
    month_mean: [f64; 12],
    /// Standard deviation of each month's totals over their mean; NaN where there are too few.
    month_spread: [f64; 12],
    /// That of the years'.
    year_spread: f64,
}

impl Totals {
    fn of(rain: &[f64], months: &[usize]) -> Totals {
        let mut totals: [Vec<f64>; 12] = Default::default();
        let mut years = Vec::new();
        let (mut year, mut year_months) = (0.0, 0);
        let mut place = 0;
        while place < rain.len() {
            let month = months[place];
            let length = months[place..].iter().take_while(|other| **other == month).count();
            let total: f64 = rain[place..place + length].iter().sum();
            if !total.is_nan() && length >= 28 {
                totals[month].push(total);
            }
            (year, year_months) = if month == 0 { (total, 1) } else { (year + total, year_months + 1) };
            if month == 11 && year_months == 12 && !year.is_nan() {
                years.push(year);
            }
            place += length;
        }
        let mean = |totals: &[f64]| crate::quantile::mean(totals).unwrap_or(f64::NAN);
        let spread = |totals: &[f64]| {
            let deviation = crate::quantile::standard_deviation(totals).filter(|_| totals.len() >= FEWEST_TOTALS);
            deviation.map_or(f64::NAN, |deviation| deviation / mean(totals).max(0.1))
        };
        Totals {
            month_mean: std::array::from_fn(|month| mean(&totals[month])),
            month_spread: std::array::from_fn(|month| spread(&totals[month])),
            year_spread: spread(&years),
        }
    }
}

/// The month (0 to 11) that a day of the year (0 to 365, or the one after it) lies in.
fn month_of_slot(slot: usize) -> usize {
    const ENDS: [usize; 12] = [31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366];
    ENDS.iter().position(|end| slot % 366 < *end).unwrap_or(0)
}

/// The chain of an order: for each history the log odds of rain as a Fourier sum, and the log likelihood.
fn chain_of(rain: &[f64], slots: &[usize], order: usize) -> Option<Fitted> {
    let table = fourier_table(HARMONICS);
    let mut days: Vec<Vec<(usize, f64)>> = vec![Vec::new(); 1 << order];
    // All orders are compared on the same days.
    for place in MOST_ORDER..rain.len() {
        if rain[place - MOST_ORDER..=place].iter().any(|amount| amount.is_nan()) {
            continue;
        }
        let history: usize = (0..order).map(|back| usize::from(rain[place - 1 - back] >= WET_FROM_MM) << back).sum();
        days[history].push((slots[place], f64::from(u8::from(rain[place] >= WET_FROM_MM))));
    }
    let mut curves = Vec::new();
    let mut likelihood = 0.0;
    for days in &days {
        let (coefficients, value) = logistic(days, &table)?;
        curves.push(SeasonCurve::of_coefficients(&coefficients));
        likelihood += value;
    }
    Some((curves, likelihood))
}

/// Logistic regression by Newton's steps on days counted by slot.
fn logistic(days: &[(usize, f64)], table: &[Vec<f64>]) -> Option<(Vec<f64>, f64)> {
    let mut counts = vec![(0.0, 0.0); table.len()];
    for (slot, wet) in days {
        counts[*slot] = (counts[*slot].0 + 1.0, counts[*slot].1 + wet);
    }
    let terms = table.first()?.len();
    let mut coefficients = vec![0.0; terms];
    let mut likelihood = 0.0;
    for _ in 0..12 {
        let mut sums = NormalEquations::new(terms);
        likelihood = 0.0;
        for (row, (number, wet)) in table.iter().zip(&counts).filter(|(_, (number, _))| *number > 0.0) {
            let log_odds: f64 = row.iter().zip(&coefficients).map(|(term, weight)| term * weight).sum::<f64>().clamp(-8.0, 8.0);
            let share = 1.0 / (1.0 + (-log_odds).exp());
            let weight = (number * share * (1.0 - share)).max(1e-6);
            sums.add(row, log_odds + (wet - number * share) / weight, weight);
            likelihood += wet * share.ln() + (number - wet) * (1.0 - share).ln();
        }
        coefficients = sums.solve()?.0;
    }
    Some((coefficients, likelihood))
}

/// Wet days of a month from which its amounts have a form of their own; with fewer the neighbours' are counted too.
const OWN_WET_DAYS: usize = 300;

/// The mixture of a month's scaled amounts (with its neighbours' where it has few), brought to the month's own mean.
fn mixture_near(scaled: &[f64], months: &[usize], month: usize) -> Mixture {
    let of = |near: &[usize]| -> Vec<f64> {
        scaled.iter().zip(months).filter(|(value, other)| !value.is_nan() && near.contains(other)).map(|(value, _)| *value).collect()
    };
    let own = of(&[month]);
    let form = if own.len() >= OWN_WET_DAYS { mixture_of(&own) } else { mixture_of(&of(&[month, (month + 1) % 12, (month + 11) % 12])) };
    let scale = crate::quantile::mean(&own).unwrap_or(1.0) / (form.share * form.first + (1.0 - form.share) * form.second);
    Mixture { first: form.first * scale, second: form.second * scale, ..form }
}

/// By expectation and maximisation; one exponential where there are too few amounts for two.
fn mixture_of(amounts: &[f64]) -> Mixture {
    if amounts.len() < 50 {
        return Mixture { share: 1.0, first: 1.0, second: 1.0 };
    }
    let mut form = Mixture { share: 0.4, first: 0.3, second: 1.5 };
    for _ in 0..60 {
        let (mut shares, mut firsts, mut seconds) = (0.0, 0.0, 0.0);
        for amount in amounts {
            let first = form.share / form.first * (-amount / form.first).exp();
            let second = (1.0 - form.share) / form.second * (-amount / form.second).exp();
            let part = first / (first + second).max(1e-300);
            shares += part;
            firsts += part * amount;
            seconds += (1.0 - part) * amount;
        }
        let number = amounts.len() as f64;
        form = Mixture {
            share: (shares / number).clamp(0.01, 0.99),
            first: (firsts / shares.max(1e-9)).max(0.01),
            second: (seconds / (number - shares).max(1e-9)).max(0.01),
        };
    }
    form
}
