//! Readers of hours and hand readings never panic, whatever stands in a file; weights always sum to 1.

use groundlore_weather::Station;
use groundlore_weather::epw::{EpwOptions, read_epw};
use groundlore_weather::gauges::{GaugeOptions, ReadingDay, read_gauges};
use groundlore_weather::hourly::DailyRules;
use groundlore_weather::hourly_csv::{HourlyOptions, read_hourly_csv};
use groundlore_weather::stations::{Place, WeightRules, weights};
use jiff::tz::TimeZone;
use proptest::prelude::*;

const FILES: [&str; 3] = [
    "time,TEMP (degF),RAIN (in)\n2015-11-01 00:00,61,0\n2015-11-01 01:00,60,0.1\n2015-11-01T01:00:00-06:00,59,T\n",
    "date,max (degF),min (degF),rain (in)\n2015-08-14,86,61,0.5\n2015-08-17,83,59,1.2 for 3 days\n",
    "LOCATION,A,-,USA,x,0,43.05,-89.4,-6.0,262.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,x\nCOMMENTS 2,x\nDATA PERIODS,1,1,Data,Sunday,7/4,7/4\n2001,7,4,1,0,?9,12.0,5.0,60,98000,0,0,300,500,0,0,0,0,0,0,180,3.5,5,5,16,77777,9,9,20,0.1,0,88,0.2,0.5,1\n",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_file_with_strange_signs_in_it_gives_an_answer_or_a_fault(file in 0..3usize, place in 0.0..1.0f64, cut in 0..6usize, strange in "\\PC{0,6}", skip_bad: bool) {
        let mut letters: Vec<char> = FILES[file].chars().collect();
        let at = (place * letters.len() as f64) as usize;
        let end = (at + cut).min(letters.len());
        letters.splice(at..end, strange.chars());
        let text: String = letters.into_iter().collect();
        let zone = Some(TimeZone::get("America/Chicago").unwrap());
        if let Ok(reading) = read_hourly_csv(&text, "f", &HourlyOptions { zone, skip_bad, ..HourlyOptions::default() }) {
            prop_assert!(reading.series.to_daily(DailyRules::default()).is_ok());
        }
        if let Ok(reading) = read_epw(&text, "f", &EpwOptions { skip_bad, year: None }) {
            prop_assert!(reading.series.to_daily(DailyRules::default()).is_ok());
        }
        let _ = read_gauges(&text, "f", &GaugeOptions::new(7, ReadingDay::DayBefore, ReadingDay::DayBefore));
    }

    #[test]
    fn weights_of_any_stations_sum_to_one(places in prop::collection::vec((-90.0..90.0f64, -180.0..180.0f64, -100.0..4000.0f64), 1..9), here in (-90.0..90.0f64, -180.0..180.0f64, -100.0..4000.0f64)) {
        let stations: Vec<Station> = places
            .iter()
            .map(|(latitude, longitude, height)| Station { latitude: Some(*latitude), longitude: Some(*longitude), elevation_m: Some(*height), ..Station::default() })
            .collect();
        let place = Place { latitude_deg: here.0, longitude_deg: here.1, elevation_m: Some(here.2) };
        let found = weights(&place, &stations.iter().collect::<Vec<_>>(), &WeightRules::default()).unwrap();
        let sum: f64 = found.iter().map(|station| station.weight).sum();
        prop_assert!((sum - 1.0).abs() < 1e-9 && found.iter().all(|station| (0.0..=1.0).contains(&station.weight)));
    }
}
