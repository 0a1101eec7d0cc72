//! Rows SEA-01, SEA-03, SEA-07 and SEA-08 through the clock: Seattle, daily temperature 2012 to 2015 (NOAA station data, by way of
//! vega_datasets 0.9.0), first days on which heat sums are reached in 2013; dates computed independently, exact.

use groundlore_lore::provenance::Source;
use groundlore_lore::trouble::{Clock, Stage};
use groundlore_plant_health::clock::{Standing, days_between, window_in};
use groundlore_quantity::Quantity;
use groundlore_weather::{Ensemble, ReadOptions, Series, read_plain_csv};
use jiff::civil::{Date, date};
use std::path::Path;

fn seattle() -> Series {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../weather/tests/data/seattle_daily_temperature_2012_2015.csv");
    read_plain_csv(&std::fs::read_to_string(path).unwrap(), "seattle", &ReadOptions::default()).unwrap().series
}

fn stage(method: &str, base: &str, low: f64, high: f64) -> Stage {
    Stage {
        key: "egg-hatch".into(),
        name: "egg hatch".into(),
        treatable: true,
        clock: Clock::AirDegreeDays {
            start: "01-01".into(),
            base: Quantity::parse(base).unwrap(),
            method: method.into(),
            low,
            high,
            region: "Washington".into(),
            source: Source(vec!["some-key".into()]),
        },
    }
}

#[test]
fn dates_of_2013_are_those_of_the_rows_in_both_scales() {
    let known = Ensemble::years_of_record(&seattle(), date(2013, 12, 1)).unwrap();
    let rows: [(&str, &str, Date, Date); 4] = [
        ("SEA-01", "average", date(2013, 5, 2), date(2013, 6, 6)),
        ("SEA-03", "single-sine", date(2013, 4, 17), date(2013, 6, 2)),
        ("SEA-07", "single-triangle", date(2013, 4, 23), date(2013, 6, 4)),
        ("SEA-08", "double-sine", date(2013, 4, 17), date(2013, 6, 2)),
    ];
    for (id, method, first, second) in rows {
        for (base, scale) in [("10 degC", 1.0), ("50 degF", 1.8)] {
            for (total, expected) in [(500.0 / 9.0, first), (250.0, second)] {
                let here = window_in(&stage(method, base, total * scale, total * scale), 47.6, &known).unwrap();
                assert_eq!(here.p50, Some(expected), "{id} {base} {total}");
                assert_eq!(here.stands(date(2013, 12, 1)), Standing::Over, "{id}");
            }
        }
    }
}

#[test]
fn futures_and_the_published_range_both_widen_the_window() {
    let ahead = Ensemble::years_of_record(&seattle(), date(2015, 2, 1)).unwrap();
    let span = |low, high| {
        let here = window_in(&stage("single-sine", "10 degC", low, high), 47.6, &ahead).unwrap();
        assert_eq!(here.futures, 3);
        days_between(here.p10.unwrap(), here.p90.unwrap())
    };
    assert!(span(250.0, 250.0) > 2 * 3, "three years of record differ");
    assert!(span(150.0, 350.0) > span(250.0, 250.0) + 14);
}
