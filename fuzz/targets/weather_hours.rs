//! Hours, typical years and hand readings, and the guess which form a file has: no text panics, and what was read holds together.
#![no_main]

use groundlore_weather::typical_year::TypicalYear;
use groundlore_weather::{
    DailyRules, EpwOptions, GaugeOptions, HourlyOptions, ReadOptions, ReadingDay, detect, fill_gaps_up_to, read_epw, read_gauges,
    read_hourly_csv, read_text,
};
use jiff::tz::{Offset, TimeZone};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let _ = detect(text, "fuzz.csv");
    for skip_bad in [false, true] {
        let zone = Some(TimeZone::fixed(Offset::constant(-6)));
        let hours = read_hourly_csv(text, "fuzz.csv", &HourlyOptions { zone: zone.clone(), skip_bad, ..HourlyOptions::default() });
        if let Ok(reading) = &hours
            && reading.series.len() < 20_000
            && let Ok(days) = reading.series.to_daily(DailyRules::default())
        {
            assert!(days.series.tmax_c().iter().zip(days.series.tmin_c()).all(|(high, low)| !(high < low)), "crossed days");
        }
        if let Err(error) = &hours {
            assert!(!error.to_string().is_empty());
        }
        if let Ok(reading) = read_epw(text, "fuzz.epw", &EpwOptions { skip_bad, year: None })
            && reading.series.len() < 20_000
            && let Ok(year) = TypicalYear::of(&reading)
        {
            assert!(year.months.len() <= 12 && year.et0_year_mm >= 0.0);
        }
        for (hour, day) in [(7, ReadingDay::DayBefore), (18, ReadingDay::SameDay), (31, ReadingDay::SameDay)] {
            let mut options = GaugeOptions::new(hour, day, day);
            options.reading.skip_bad = skip_bad;
            let reading = read_gauges(text, "fuzz.csv", &options);
            assert!(hour < 24 || reading.is_err(), "an hour that no day has");
            if let Ok(reading) = reading {
                assert!(reading.accumulations.windows(2).all(|pair| pair[0].to < pair[1].from), "sums overlap");
            }
        }
        if let Ok(reading) = read_text(text, "fuzz.csv", &ReadOptions { skip_bad, zone, ..ReadOptions::default() })
            && reading.series.len() < 5_000
        {
            assert_eq!(fill_gaps_up_to(&reading.series, 10).series.len(), reading.series.len());
        }
    }
});
