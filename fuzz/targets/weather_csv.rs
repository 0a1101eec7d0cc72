//! Weather as a plain table: no text panics, and what was read has each day once, in order.
#![no_main]

use groundlore_weather::reading::AssumedUnits;
use groundlore_weather::{ReadOptions, fill_gaps, read_plain_csv};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let strict = read_plain_csv(text, "fuzz.csv", &ReadOptions::default());
    let lenient = ReadOptions { skip_bad: true, assume_units: Some(AssumedUnits::us_customary()), ..ReadOptions::default() };
    let lenient = read_plain_csv(text, "fuzz.csv", &lenient);
    if let Err(error) = &strict {
        assert!(!error.to_string().is_empty());
    }
    for series in [strict, lenient].into_iter().flatten().map(|reading| reading.series) {
        assert_eq!(series.index(series.last_day()), Some(series.len() - 1));
        // A long span costs time and shows nothing new.
        if series.len() < 5_000 {
            assert_eq!(fill_gaps(&series).series.len(), series.len());
        }
    }
});
