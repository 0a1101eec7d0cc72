//! The warming trend of a station by season: a smooth normal for each day of the year, and how fast it moves.
//!
//! Temperatures are averaged over ten-day parts of the year (36 in all), and fitted by
//!
//! T(day, year) = Σ aₖ Fₖ(day) + (Σ bₖ Gₖ(day)) × (year − middle) / 10
//!
//! with F a Fourier sum of three harmonics (the normal) and G one of one harmonic (the trend in °C per decade). The fit is robust: Huber's
//! weights, by iteration. Its uncertainty allows for the ten-day parts of one year being alike (a sandwich clustered by year). The trend
//! that is used is drawn towards none by as much as it is uncertain: b × b² / (b² + error²), season by season, so that a short
//! record, whose trend is mostly chance, is left nearly as it stands.
//!
//! The trend is *taken out and put back* by differences: a past day's anomaly is its value less the level of its own year and season, and
//! is put on the level of the year asked.
//!
//! # Sources
//! Huber (1964), *Robust estimation of a location parameter*, Annals of Mathematical Statistics 35:73 (weights, with 1.345 for 95 %
//! efficiency); the drawing-in of the slope is common practice in shrinkage. Both from memory; tested on made series of known trend.

use serde::Serialize;

use crate::calendar::day_slot;
use crate::least_squares::NormalEquations;
use crate::season_curve::{SLOTS, fourier_terms};
use crate::series::{Element, Series};

const LEVEL_HARMONICS: usize = 3;
const SLOPE_HARMONICS: usize = 1;
const TERMS: usize = 2 + 2 * LEVEL_HARMONICS + 2 * SLOPE_HARMONICS;
const PARTS: usize = 36;
const HUBER: f64 = 1.345;
/// Fewest whole years from which a slope is fitted; with fewer the normal stands alone.
pub const FEWEST_YEARS: usize = 15;

/// How much of the fitted slope is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Slope {
    /// None: the normal of all years.
    None,
    /// The slope over all years, drawn in by its uncertainty.
    AllYears,
    /// The slope over the latest so many years, drawn in by its uncertainty; earlier years keep the level of the span's first.
    Latest(i16),
}

/// The level of a temperature by day of year and year, with its trend.
#[derive(Debug, Clone, Serialize)]
pub struct Trend {
    /// Which element.
    pub element: Element,
    /// First year fitted.
    pub first_year: i16,
    /// Last year fitted.
    pub last_year: i16,
    knee: f64,
    middle: f64,
    normal: Vec<f64>,
    slope: Vec<f64>,
    fitted_slope: Vec<f64>,
    slope_error: Vec<f64>,
    #[serde(skip)]
    covariance: Vec<Vec<f64>>,
}

/// The mean of ten days of one year.
struct Part {
    year: usize,
    time: f64,
    slot: usize,
    mean: f64,
}

impl Trend {
    /// Fits an element of a series over its years before `before` (that year not counted). `None` when no year has values in every part.
    ///
    /// # Example
    /// ```
    /// use groundlore_weather::series::{Columns, Element, Series, Station};
    /// use groundlore_weather::trend::{Slope, Trend};
    /// use jiff::civil::date;
    ///
    /// // Thirty years that warm by half a degree a decade.
    /// let tmin_c = (0..30 * 365).map(|day| 5.0 + 0.5 * f64::from(day) / 3652.5).collect();
    /// let series = Series::from_columns(Station::default(), date(1981, 1, 1), Columns { tmin_c, ..Columns::default() })?;
    /// let trend = Trend::fit(&series, Element::MinimumTemperature, 2012, Slope::AllYears).unwrap();
    /// assert!((trend.per_decade_c(180) - 0.5).abs() < 0.01);
    /// # Ok::<(), groundlore_weather::WeatherError>(())
    /// ```
    #[must_use]
    pub fn fit(series: &Series, element: Element, before: i16, slope: Slope) -> Option<Trend> {
        let mut parts = parts_of(series, element, before);
        let (first_year, last_year) = (series.first_day().year(), before.min(series.last_day().year() + 1) - 1);
        let knee = match slope {
            Slope::Latest(years) => f64::from(last_year - years + 1),
            _ => f64::from(first_year),
        };
        parts.iter_mut().for_each(|part| part.time = part.time.max(knee));
        let years = parts.iter().map(|part| part.year).max()? + 1;
        let middle = parts.iter().map(|part| part.time).sum::<f64>() / parts.len() as f64;
        let with_slope = slope != Slope::None && years >= FEWEST_YEARS;
        let terms = if with_slope { TERMS } else { 1 + 2 * LEVEL_HARMONICS };
        let rows: Vec<Vec<f64>> = parts.iter().map(|part| row_of(part.slot, (part.time - middle) / 10.0, terms)).collect();
        let (coefficients, covariance) = robust(&rows, &parts, terms)?;
        let mut trend = Trend {
            element,
            first_year,
            last_year,
            knee,
            middle,
            normal: Vec::with_capacity(SLOTS),
            slope: vec![0.0; SLOTS],
            fitted_slope: vec![0.0; SLOTS],
            slope_error: vec![0.0; SLOTS],
            covariance,
        };
        trend.table(&coefficients, with_slope);
        Some(trend)
    }

    fn table(&mut self, coefficients: &[f64], with_slope: bool) {
        let levels = 1 + 2 * LEVEL_HARMONICS;
        for slot in 0..SLOTS {
            self.normal.push(dot(&fourier_terms(slot, LEVEL_HARMONICS), &coefficients[..levels]));
            if !with_slope {
                continue;
            }
            let terms = fourier_terms(slot, SLOPE_HARMONICS);
            let slope = dot(&terms, &coefficients[levels..]);
            let block: Vec<Vec<f64>> = self.covariance[levels..].iter().map(|row| row[levels..].to_vec()).collect();
            let variance = quadratic(&terms, &block);
            self.fitted_slope[slot] = slope;
            self.slope_error[slot] = variance.sqrt();
            self.slope[slot] = slope * slope * slope / (slope * slope + variance).max(1e-12);
        }
    }

    /// The level on a day of the year (0…365) in a year, °C: the normal moved by the trend. Years after the last are reckoned on.
    #[must_use]
    pub fn level_c(&self, slot: usize, year: i16) -> f64 {
        let slot = slot % SLOTS;
        let time = (f64::from(year) + slot as f64 / SLOTS as f64).max(self.knee);
        self.normal[slot] + self.slope[slot] * (time - self.middle) / 10.0
    }

    /// The standard error of that level, °C.
    #[must_use]
    pub fn level_error_c(&self, slot: usize, year: i16) -> f64 {
        let time = (f64::from(year) + slot as f64 / SLOTS as f64).max(self.knee);
        quadratic(&row_of(slot, (time - self.middle) / 10.0, self.covariance.len()), &self.covariance).sqrt()
    }

    /// The trend that is used on a day of the year, °C per decade: the fitted one drawn in by its uncertainty.
    #[must_use]
    pub fn per_decade_c(&self, slot: usize) -> f64 {
        self.slope[slot % SLOTS]
    }

    /// The trend as fitted and its standard error, °C per decade.
    #[must_use]
    pub fn fitted_per_decade_c(&self, slot: usize) -> (f64, f64) {
        (self.fitted_slope[slot % SLOTS], self.slope_error[slot % SLOTS])
    }
}

/// One row of the fit.
fn row_of(slot: usize, decades: f64, terms: usize) -> Vec<f64> {
    let mut row = fourier_terms(slot, LEVEL_HARMONICS);
    row.extend(fourier_terms(slot, SLOPE_HARMONICS).iter().map(|term| term * decades));
    row.truncate(terms);
    row
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn quadratic(row: &[f64], matrix: &[Vec<f64>]) -> f64 {
    matrix.iter().zip(row).map(|(line, x)| x * dot(line, row)).sum::<f64>().max(0.0)
}

/// Means over ten-day parts of each year that have at least seven trusted days.
fn parts_of(series: &Series, element: Element, before: i16) -> Vec<Part> {
    let first_year = series.first_day().year();
    let years = usize::try_from(i32::from(before) - i32::from(first_year)).unwrap_or(0);
    let mut sums = vec![(0.0, 0.0, 0.0); years * PARTS];
    for (index, value) in series.trusted(element).into_iter().enumerate().filter(|(_, value)| !value.is_nan()) {
        let date = series.date(index);
        if date.year() >= before {
            break;
        }
        let slot = day_slot(date);
        let year = usize::try_from(date.year() - first_year).unwrap_or(0);
        let sum = &mut sums[year * PARTS + (slot * PARTS / SLOTS).min(PARTS - 1)];
        *sum = (sum.0 + value, sum.1 + 1.0, sum.2 + slot as f64);
    }
    let whole = sums.iter().enumerate().filter(|(_, sum)| sum.1 >= 7.0);
    whole
        .map(|(place, (sum, days, slots))| {
            let slot = slots / days;
            let time = f64::from(first_year) + (place / PARTS) as f64 + slot / SLOTS as f64;
            Part { year: place / PARTS, time, slot: slot.round() as usize, mean: sum / days }
        })
        .collect()
}

/// Huber's fit by iteration; coefficients and their covariance clustered by year.
fn robust(rows: &[Vec<f64>], parts: &[Part], terms: usize) -> Option<(Vec<f64>, Vec<Vec<f64>>)> {
    let mut weights = vec![1.0; rows.len()];
    let mut coefficients = Vec::new();
    let mut inverse = Vec::new();
    let mut residuals = Vec::new();
    for _ in 0..8 {
        let mut sums = NormalEquations::new(terms);
        rows.iter().zip(parts).zip(&weights).for_each(|((row, part), weight)| sums.add(row, part.mean, *weight));
        (coefficients, inverse) = sums.solve()?;
        residuals = rows.iter().zip(parts).map(|(row, part)| part.mean - dot(row, &coefficients)).collect::<Vec<f64>>();
        let mut sizes: Vec<f64> = residuals.iter().map(|residual| residual.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let scale = 1.4826 * sizes[sizes.len() / 2];
        weights = residuals.iter().map(|residual| (HUBER * scale / residual.abs().max(1e-12)).min(1.0)).collect();
    }
    let years = parts.iter().map(|part| part.year).max()? + 1;
    let mut scores = vec![vec![0.0; terms]; years];
    for ((row, part), (weight, residual)) in rows.iter().zip(parts).zip(weights.iter().zip(&residuals)) {
        scores[part.year].iter_mut().zip(row).for_each(|(score, x)| *score += weight * residual * x);
    }
    // Each year's score carried through the inverse; the covariance is the sum of their outer products.
    let carried: Vec<Vec<f64>> = scores.iter().map(|score| inverse.iter().map(|line| dot(line, score)).collect()).collect();
    let spare = years as f64 / (years as f64 - 1.0).max(1.0);
    let cell = |i: usize, j: usize| carried.iter().map(|year: &Vec<f64>| year[i] * year[j]).sum::<f64>() * spare;
    let covariance = (0..terms).map(|i| (0..terms).map(|j| cell(i, j)).collect()).collect();
    Some((coefficients, covariance))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::cast_precision_loss)]
    use super::*;
    use crate::normal_draws::Draws;
    use crate::series::{Columns, Station};
    use jiff::civil::date;

    /// Years of January-cold weather with noise, a trend that is `winter` in January and `summer` in July (°C per decade), and wild outliers.
    fn made(years: i16, winter: f64, summer: f64, outliers: bool) -> Series {
        let mut draws = Draws::seeded(7);
        let mut columns = Columns::default();
        let mut noise = 0.0;
        for place in 0..i32::from(years) * 365 {
            let season = -(f64::from(place) * std::f64::consts::TAU / 365.25).cos();
            let per_decade = (winter + summer) / 2.0 + (summer - winter) / 2.0 * season;
            noise = 0.7 * noise + 2.5 * draws.normal();
            let wild = if outliers && place % 400 < 10 { 60.0 } else { 0.0 };
            columns.tmin_c.push(8.0 + 12.0 * season + per_decade * f64::from(place) / 3652.5 + noise + wild);
        }
        Series::from_columns(Station::default(), date(1951, 1, 1), columns).unwrap()
    }

    #[test]
    fn the_trend_is_found_by_season_within_its_error() {
        let trend = Trend::fit(&made(60, 0.6, 0.1, false), Element::MinimumTemperature, 2011, Slope::AllYears).unwrap();
        for (slot, truth) in [(0, 0.6), (183, 0.1)] {
            let (fitted, error) = trend.fitted_per_decade_c(slot);
            assert!((fitted - truth).abs() < 3.0 * error && error < 0.15, "{slot}: {fitted} ± {error}");
        }
    }

    #[test]
    fn a_day_in_forty_off_by_sixty_degrees_does_not_carry_the_trend_away() {
        let clean = Trend::fit(&made(60, 0.3, 0.3, false), Element::MinimumTemperature, 2011, Slope::AllYears).unwrap();
        let wild = Trend::fit(&made(60, 0.3, 0.3, true), Element::MinimumTemperature, 2011, Slope::AllYears).unwrap();
        assert!((clean.per_decade_c(100) - wild.per_decade_c(100)).abs() < 0.1);
        assert!((clean.level_c(100, 2011) - wild.level_c(100, 2011)).abs() < 0.7);
    }

    #[test]
    fn years_from_the_one_asked_are_not_looked_at() {
        let series = made(40, 0.5, 0.5, false);
        let cut = series.between(date(1951, 1, 1), date(1980, 12, 31)).unwrap();
        let (whole, part) = (
            Trend::fit(&series, Element::MinimumTemperature, 1981, Slope::AllYears).unwrap(),
            Trend::fit(&cut, Element::MinimumTemperature, 1981, Slope::AllYears).unwrap(),
        );
        assert_eq!(whole.level_c(50, 1981), part.level_c(50, 1981));
    }

    #[test]
    fn fewer_than_fifteen_years_give_a_normal_without_trend() {
        let trend = Trend::fit(&made(10, 2.0, 2.0, false), Element::MinimumTemperature, 1961, Slope::AllYears).unwrap();
        assert_eq!(trend.per_decade_c(10), 0.0);
        assert!(trend.level_error_c(10, 1961) > 0.0);
    }
}
