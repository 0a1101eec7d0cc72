//! Frost dates: rows F-01, F-03, F-10 to F-13 and trap T-11.

use groundlore_weather::calendar::day_of_365;
use groundlore_weather::frost::{FREEZE_C, FROST_C, HARD_FREEZE_C, Threshold, frost_odds, frost_years};
use groundlore_weather::quantile::{QuantileRule, mean, quantile, standard_deviation};
use jiff::civil::date;

/// A column of the De Bilt table (source: KNMI station 260; days of year as counted there), by threshold.
fn de_bilt(threshold: &str, column: usize) -> Vec<f64> {
    let text = include_str!("../data/frost_dates_debilt_1980_2019.csv");
    let mut days: Vec<f64> = super::rows(text).filter(|row| row[0] == threshold).filter_map(|row| row.get(column)?.parse().ok()).collect();
    days.sort_by(f64::total_cmp);
    days
}

/// (id, threshold, column, years, mean, sd, 10 %, 50 %, 90 % by type 7); computed with numpy 2.4.6 `quantile`.
type FrostRow = (&'static str, &'static str, usize, usize, [f64; 5]);

const DE_BILT: [FrostRow; 5] = [
    ("F-10 spring", "0.0", 2, 40, [109.35, 13.664, 93.6, 109.5, 127.0]),
    ("F-10 autumn", "0.0", 3, 40, [307.10, 17.276, 289.0, 306.0, 329.4]),
    ("F-10 between", "0.0", 4, 40, [196.75, 20.585, 174.0, 196.0, 227.2]),
    ("F-12 spring", "-2.2", 2, 40, [90.35, 19.240, 69.9, 87.5, 113.1]),
    ("F-12 autumn", "-2.2", 3, 38, [326.82, 17.124, f64::NAN, f64::NAN, f64::NAN]),
];

#[test]
fn quantiles_of_de_bilt_frost_dates_agree_with_numpy() {
    for (id, threshold, column, years, expected) in DE_BILT {
        let days = de_bilt(threshold, column);
        assert_eq!(days.len(), years, "{id}");
        let place = |probability| quantile(&days, probability, QuantileRule::Linear).unwrap();
        let got = [mean(&days).unwrap(), standard_deviation(&days).unwrap(), place(0.1), place(0.5), place(0.9)];
        for ((got, expected), tolerance) in got.iter().zip(expected).zip([0.0051, 0.00051, 0.051, 0.051, 0.051]) {
            assert!(expected.is_nan() || (got - expected).abs() <= tolerance, "{id}: {got} for {expected}");
        }
    }
}

#[test]
fn the_rule_moves_the_ten_percent_date_by_three_days() {
    // F-11: the Weibull rule, and the normal curve mean ± 1.2816 sd.
    let days = de_bilt("0.0", 2);
    let expected = [(0.1, 90.4), (0.5, 109.5), (0.9, 127.0)];
    for (probability, expected) in expected {
        assert!((quantile(&days, probability, QuantileRule::Weibull).unwrap() - expected).abs() < 0.051);
    }
    let (middle, spread) = (mean(&days).unwrap(), standard_deviation(&days).unwrap());
    assert!((middle - 1.2816 * spread - 91.84).abs() < 0.006);
    assert!((middle + 1.2816 * spread - 126.86).abs() < 0.006);
}

/// F-13: Milwaukee 1971–2000, 32 °F after rounding to whole °F, on a calendar of 365 days: last spring, then first autumn, each as
/// 10 %, 50 %, 90 %, mean, sd. Computed for the reference note from the same record.
const MILWAUKEE: [[f64; 5]; 2] = [[99.9, 115.5, 130.3, 114.70, 11.61], [277.8, 290.0, 308.0, 291.93, 13.70]];

#[test]
fn freezes_of_milwaukee_1971_to_2000_fall_when_they_should() {
    let series = super::milwaukee();
    assert!(series.whole_fahrenheit, "a station of the United States");
    let years = frost_years(&series, FREEZE_C);
    assert_eq!(years.len(), 30);
    let spring = years.iter().map(|year| year.last_spring.unwrap());
    let autumn = years.iter().map(|year| year.first_autumn.unwrap());
    for (dates, expected) in [spring.collect::<Vec<_>>(), autumn.collect()].into_iter().zip(MILWAUKEE) {
        let mut days: Vec<f64> = dates.into_iter().map(|day| f64::from(day_of_365(day))).collect();
        days.sort_by(f64::total_cmp);
        let place = |probability| quantile(&days, probability, QuantileRule::Linear).unwrap();
        let got = [place(0.1), place(0.5), place(0.9), mean(&days).unwrap(), standard_deviation(&days).unwrap()];
        for ((got, expected), tolerance) in got.iter().zip(expected).zip([0.051, 0.051, 0.051, 0.0051, 0.0051]) {
            assert!((got - expected).abs() <= tolerance, "{got} for {expected}");
        }
    }
}

#[test]
fn freeze_dates_of_milwaukee_as_odds_are_those_of_the_note() {
    // F-13 in dates: spring 10 % later than 10 May, 50 % 26 April; autumn 10 % before 5 October, 50 % 17 October, 90 % 4 November.
    let (last, first) = frost_odds(&frost_years(&super::milwaukee(), FREEZE_C), 2015, 10);
    assert_eq!((last.p10, last.p50, last.p90), (Some(date(2015, 4, 10)), Some(date(2015, 4, 26)), Some(date(2015, 5, 10))));
    assert_eq!((first.p10, first.p50, first.p90), (Some(date(2015, 10, 5)), Some(date(2015, 10, 17)), Some(date(2015, 11, 4))));
    assert_eq!((last.futures, last.never), (30, 0.0));
}

#[test]
fn colder_thresholds_end_earlier_in_spring_and_begin_later_in_autumn() {
    // F-03's order, on Milwaukee with the thresholds of F-01.
    let odds: Vec<_> =
        [FROST_C, FREEZE_C, HARD_FREEZE_C].map(|at| frost_odds(&frost_years(&super::milwaukee(), at), 2015, 10)).into_iter().collect();
    for pair in odds.windows(2) {
        assert!(pair[1].0.p50 < pair[0].0.p50);
        assert!(pair[1].1.p50 > pair[0].1.p50);
    }
}

#[test]
fn whole_degrees_fahrenheit_survive_their_storage_in_tenths_of_celsius() {
    // T-11: every whole °F from -40 to 110, kept in tenths of °C, still compares as it was read.
    for fahrenheit in -40..=110 {
        let stored = ((f64::from(fahrenheit) - 32.0) * 50.0 / 9.0).round() / 10.0;
        for at in [28, 32, 36] {
            let threshold = Threshold { at_most_c: (f64::from(at) - 32.0) * 5.0 / 9.0, whole_fahrenheit: true };
            assert_eq!(threshold.reached_by(stored), fahrenheit <= at, "{fahrenheit} °F at {at} °F");
        }
    }
}

#[test]
fn frost_free_days_are_counted_as_in_the_table_of_de_bilt() {
    use groundlore_weather::frost::FrostYear;
    let day_of_year = |year: i16, day: &str| date(year, 1, 1).checked_add(jiff::ToSpan::days(day.parse::<i64>().unwrap() - 1)).ok();
    let mut checked = 0;
    for row in super::rows(include_str!("../data/frost_dates_debilt_1980_2019.csv")) {
        let (Ok(year), Ok(expected)) = (row[1].parse::<i16>(), row[4].parse::<i32>()) else { continue };
        let (last_spring, first_autumn) = (day_of_year(year, row[2]), day_of_year(year, row[3]));
        assert_eq!(FrostYear { year, last_spring, first_autumn, missing_days: 0 }.frost_free_days(), Some(expected));
        checked += 1;
    }
    assert!(checked >= 70, "{checked}");
}
