//! A whole season on real data: Seattle 2013, rows SEA-01 to SEA-22.
//!
//! Source: computed with numpy 2.4.6 and scipy 1.17.1 from NOAA station data as packaged in vega_datasets 0.9.0.

use groundlore_weather::{DegreeDays, HeatSums};
use jiff::civil::{Date, date};

#[test]
fn sums_and_dates_of_seattle_2013_agree_by_22_models() {
    let series = super::seattle();
    let text = include_str!("../data/seattle_season_expected_2013.csv");
    let header: Vec<&str> = text.lines().next().unwrap().split(',').collect();
    let mut checked = 0;
    for row in super::rows(text) {
        let model =
            DegreeDays::new(row[3].parse().unwrap(), row[4].parse().unwrap(), row[5].parse().ok(), row[6].parse().unwrap()).unwrap();
        let start: Date = format!("2013-{}", row[2]).parse().unwrap();
        let sums = HeatSums::over(&series, model);
        for (name, cell) in header.iter().zip(&row).skip(7) {
            if let Some(end) = name.strip_prefix("sum_") {
                let expected: f64 = cell.parse().unwrap();
                let got = sums.sum(start, format!("2013-{end}").parse().unwrap()).unwrap();
                assert!((got.total - expected).abs() <= 1e-6 * expected.max(1.0), "{} {name}: {} for {expected}", row[0], got.total);
                assert_eq!(got.missing_days, 0);
            } else if let Some(total) = name.strip_prefix("first_date_ge_") {
                let got = sums.first_day_reaching(start, total.parse().unwrap());
                assert_eq!(got, Some(cell.parse().unwrap()), "{} {name}", row[0]);
            }
            checked += 1;
        }
    }
    assert_eq!(checked, 22 * 13);
}

#[test]
fn the_method_moves_the_date_by_weeks() {
    // Trap 1 of the reference note: 55.6 degree-days from 1 January 2013, base 10 °C.
    let series = super::seattle();
    let reach = |method: &str, upper: Option<f64>, cutoff: &str| {
        let model = DegreeDays::new(method.parse().unwrap(), 10.0, upper, cutoff.parse().unwrap()).unwrap();
        HeatSums::over(&series, model).first_day_reaching(date(2013, 1, 1), 55.56).unwrap()
    };
    assert_eq!(reach("modified average", Some(30.0), "horizontal"), date(2013, 4, 1));
    assert_eq!(reach("single sine", None, "none"), date(2013, 4, 17));
    assert_eq!(reach("average", None, "none"), date(2013, 5, 2));
}
