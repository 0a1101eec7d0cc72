//! The generator against the record it was fitted to: Milwaukee 1939–2015.
//!
//! Source: NOAA GHCN-Daily station USW00014839, the file that comes with the tool (`crates/desk/data`). Wanted: monthly means within two
//! standard errors of the record's; standard deviations of monthly and yearly figures, spells that one in twenty outlasts, and extremes
//! of one year in ten within 20 %.

use groundlore_weather::generator::Generator;
use groundlore_weather::quantile::{QuantileRule, mean, quantile, standard_deviation};
use groundlore_weather::trend::{Slope, Trend};
use groundlore_weather::{Element, fill_gaps};
use jiff::civil::{Date, date};

/// Years that the generator runs for each year of the record.
const RUNS: u64 = 4;

/// Lengths of soakings, days.
const SOAKING_DAYS: [usize; 3] = [2, 3, 5];

/// Daily columns from a date.
struct Days {
    first: Date,
    tmin: Vec<f64>,
    tmax: Vec<f64>,
    rain: Vec<f64>,
}

/// A year's figures.
#[derive(Default, Clone)]
struct Years {
    /// By element (minimum, maximum, rain), then by month: a value for each year.
    monthly: [Vec<Vec<f64>>; 3],
    yearly: [Vec<f64>; 3],
    coldest: Vec<f64>,
    hottest: Vec<f64>,
    wettest: Vec<f64>,
    /// The most rain in so many days in a row ([`SOAKING_DAYS`]).
    soakings: [Vec<f64>; SOAKING_DAYS.len()],
    /// Days of 1 April to 31 December on which the rain of three days has come to 50 mm.
    soaked_days: Vec<f64>,
    /// Rain of each wet spell, mm.
    spell_rain: Vec<f64>,
    /// Lengths of runs: dry under 0.25 mm, wet from it; dry under 1 mm, wet from it.
    spells: [Vec<f64>; 4],
}

impl Years {
    fn add(&mut self, days: &Days) {
        for monthly in &mut self.monthly {
            monthly.resize(12, Vec::new());
        }
        let dates: Vec<Date> = days.first.series(jiff::Span::new().days(1)).take(days.tmin.len()).collect();
        let mut from = 0;
        while from < dates.len() {
            let year = dates[from].year();
            let end = from + dates[from..].iter().take_while(|date| date.year() == year).count();
            self.add_year(days, &dates, from..end);
            from = end;
        }
        let mut rain_of_spell = 0.0;
        for amount in &days.rain {
            if *amount >= 0.25 {
                rain_of_spell += amount;
            } else if rain_of_spell > 0.0 {
                self.spell_rain.push(rain_of_spell);
                rain_of_spell = 0.0;
            }
        }
        for (place, least, wet) in [(0, 0.25, false), (1, 0.25, true), (2, 1.0, false), (3, 1.0, true)] {
            let mut run = 0;
            for amount in &days.rain {
                if (*amount >= least) == wet && !amount.is_nan() {
                    run += 1;
                } else if run > 0 {
                    self.spells[place].push(f64::from(run));
                    run = 0;
                }
            }
        }
    }

    fn add_year(&mut self, days: &Days, dates: &[Date], range: std::ops::Range<usize>) {
        for (element, column) in [&days.tmin, &days.tmax, &days.rain].iter().enumerate() {
            for month in 0..12 {
                let of_month: Vec<f64> =
                    range.clone().filter(|day| usize::try_from(dates[*day].month()).unwrap() == month + 1).map(|day| column[day]).collect();
                let figure = if element == 2 { of_month.iter().sum() } else { mean(&of_month).unwrap() };
                if !figure.is_nan() {
                    self.monthly[element][month].push(figure);
                }
            }
            let sum: f64 = column[range.clone()].iter().sum();
            if !sum.is_nan() {
                self.yearly[element].push(if element == 2 { sum } else { sum / range.len() as f64 });
            }
        }
        let most = |column: &[f64]| column[range.clone()].iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = |column: &[f64]| column[range.clone()].iter().copied().fold(f64::INFINITY, f64::min);
        self.coldest.push(least(&days.tmin));
        self.hottest.push(most(&days.tmax));
        self.wettest.push(most(&days.rain));
        let sum_of = |end: usize, length: usize| days.rain[end + 1 - length..=end].iter().sum::<f64>();
        for (most, length) in self.soakings.iter_mut().zip(SOAKING_DAYS) {
            most.push((range.start + length - 1..range.end).map(|end| sum_of(end, length)).fold(0.0, f64::max));
        }
        let soaked = range.filter(|end| dates[*end].month() >= 4 && sum_of(*end, 3) >= 50.0).count();
        self.soaked_days.push(soaked as f64);
    }
}

fn at(values: &[f64], probability: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    quantile(&sorted, probability, QuantileRule::Linear).unwrap()
}

fn record_and_made() -> (Years, Years) {
    let series = fill_gaps(&super::milwaukee_whole()).series;
    let fit = |element| Trend::fit(&series, element, 2016, Slope::AllYears).unwrap();
    let (tmin, tmax) = (fit(Element::MinimumTemperature), fit(Element::MaximumTemperature));
    let generator = Generator::fit(&series, 2016, &tmin, &tmax).unwrap();
    let rain = &generator.rain;
    eprintln!("rain order {}, slow factor {:.2?}, amounts by the days around {:.2?}", rain.order, rain.slow, rain.around);
    let first = date(1941, 1, 1);
    let from = series.index(first).unwrap();
    let cut = |element: Element| series.column(element)[from..].to_vec();
    let record =
        Days { first, tmin: cut(Element::MinimumTemperature), tmax: cut(Element::MaximumTemperature), rain: cut(Element::Precipitation) };
    let (mut seen, mut made) = (Years::default(), Years::default());
    seen.add(&record);
    for seed in 0..RUNS {
        let run = generator.run(first, record.tmin.len(), &tmin, &tmax, seed);
        made.add(&Days { first, tmin: run.tmin_c, tmax: run.tmax_c, rain: run.prcp_mm });
    }
    (seen, made)
}

/// Figures that are off, with the record's and the generator's.
#[derive(Default)]
struct Off(Vec<String>);

impl Off {
    fn within_a_fifth(&mut self, what: &str, seen: f64, made: f64) {
        let share = made / seen - 1.0;
        eprintln!("{what}: record {seen:.2}, generator {made:.2} ({:+.0} %)", 100.0 * share);
        if share.abs() > 0.2 {
            self.0.push(format!("{what}: record {seen:.2}, generator {made:.2}"));
        }
    }
}

#[test]
fn the_generator_keeps_means_spreads_spells_and_extremes_of_the_record() {
    let (seen, made) = record_and_made();
    let mut off = Off::default();
    for (element, name) in ["minimum", "maximum", "rain"].iter().enumerate() {
        for month in 0..12 {
            let (record, drawn) = (&seen.monthly[element][month], &made.monthly[element][month]);
            let error = standard_deviation(record).unwrap() / (record.len() as f64).sqrt();
            let apart = (mean(drawn).unwrap() - mean(record).unwrap()) / error;
            eprintln!("{name} month {}: mean {:.2}, off by {apart:+.2} standard errors", month + 1, mean(record).unwrap());
            if apart.abs() > 2.0 {
                off.0.push(format!("{name} month {}: mean off by {apart:.2} standard errors", month + 1));
            }
            let spread = |values: &[f64]| standard_deviation(values).unwrap();
            off.within_a_fifth(&format!("{name} month {} sd", month + 1), spread(record), spread(drawn));
        }
        let spread = |years: &Years| standard_deviation(&years.yearly[element]).unwrap();
        off.within_a_fifth(&format!("{name} year sd"), spread(&seen), spread(&made));
    }
    for (place, name) in ["dry spell under 0.25 mm", "wet spell", "dry spell under 1 mm", "wet spell of 1 mm"].iter().enumerate() {
        off.within_a_fifth(&format!("{name} p95"), at(&seen.spells[place], 0.95), at(&made.spells[place], 0.95));
    }
    // Extremes of temperature are told from the mean of the coldest and the hottest month.
    let (cold, hot) = (mean(&seen.monthly[0][0]).unwrap(), mean(&seen.monthly[1][6]).unwrap());
    off.within_a_fifth("10-year cold under January's minimum", cold - at(&seen.coldest, 0.1), cold - at(&made.coldest, 0.1));
    off.within_a_fifth("10-year heat over July's maximum", at(&seen.hottest, 0.9) - hot, at(&made.hottest, 0.9) - hot);
    off.within_a_fifth("10-year rain of a day", at(&seen.wettest, 0.9), at(&made.wettest, 0.9));
    for (place, length) in SOAKING_DAYS.iter().enumerate() {
        for (word, share) in [("middle", 0.5), ("10-year", 0.9)] {
            off.within_a_fifth(
                &format!("{word} rain of {length} days"),
                at(&seen.soakings[place], share),
                at(&made.soakings[place], share),
            );
        }
    }
    off.within_a_fifth("days in a year with 50 mm in 3 days", mean(&seen.soaked_days).unwrap(), mean(&made.soaked_days).unwrap());
    off.within_a_fifth("rain of a wet spell p95", at(&seen.spell_rain, 0.95), at(&made.spell_rain, 0.95));
    let long = |years: &Years, least: f64| {
        let spells = &years.spells[1];
        spells.iter().filter(|length| **length >= least).count() as f64 / spells.len() as f64
    };
    for least in [3.0, 4.0, 5.0] {
        off.within_a_fifth(&format!("share of wet spells of {least} days or more"), long(&seen, least), long(&made, least));
    }
    assert!(off.0.is_empty(), "{:#?}", off.0);
}
