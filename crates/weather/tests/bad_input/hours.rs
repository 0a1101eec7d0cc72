//! Wrong files of hours, in plain CSV and in the EPW form.

use groundlore_weather::ProblemKind::{self, *};
use groundlore_weather::epw::{EpwOptions, read_epw};
use groundlore_weather::hourly::HourlyElement;
use groundlore_weather::hourly_csv::{HourlyOptions, read_hourly_csv};
use groundlore_weather::{RemarkKind, WeatherError};
use jiff::tz::TimeZone;

/// A wrong file: what, its text, the fault, line, column, a word of the remedy, temperatures kept with `skip_bad`.
type Wrong = (&'static str, String, ProblemKind, Option<u64>, Option<&'static str>, &'static str, Option<usize>);

fn chicago() -> HourlyOptions {
    let now = "2015-08-20T00:00Z".parse().unwrap();
    HourlyOptions { zone: Some(TimeZone::get("America/Chicago").unwrap()), now: Some(now), ..HourlyOptions::default() }
}

fn hours_of(text: &str, skip_bad: bool) -> Kept {
    let reading = read_hourly_csv(text, "given.txt", &HourlyOptions { skip_bad, ..chicago() })?;
    let known = reading.series.column(HourlyElement::Temperature).iter().filter(|value| !value.is_nan()).count();
    Ok((known, reading.skipped.iter().map(|problem| problem.kind).collect()))
}

fn epw_of(text: &str, skip_bad: bool) -> Kept {
    let reading = read_epw(text, "given.txt", &EpwOptions { skip_bad, year: None })?;
    let known = reading.series.column(HourlyElement::Temperature).iter().filter(|value| !value.is_nan()).count();
    Ok((known, reading.skipped.iter().map(|problem| problem.kind).collect()))
}

/// Temperatures known and faults skipped, or the error.
type Kept = Result<(usize, Vec<ProblemKind>), WeatherError>;

fn check_all(read: fn(&str, bool) -> Kept, wrongs: &[Wrong]) {
    assert!(wrongs.len() >= 10);
    for (what, text, kind, line, column, remedy, kept) in wrongs {
        let error = read(text, false).expect_err(what);
        let words = error.to_string();
        let problem = error.problems().iter().find(|problem| problem.kind == *kind).unwrap_or_else(|| panic!("{what}: {words}"));
        assert_eq!((problem.line, problem.column.as_deref()), (*line, *column), "{what}: {words}");
        assert!(problem.remedy.contains(remedy), "{what}: {words}");
        assert!(words.contains("given.txt"), "{what}: {words}");
        match (read(text, true), kept) {
            (Ok((known, skipped)), Some(expected)) => {
                assert_eq!(known, *expected, "{what}");
                assert!(skipped.contains(kind), "{what}: {skipped:?}");
            }
            (Err(_), None) => {}
            (other, _) => panic!("{what}: {other:?}"),
        }
    }
}

fn csv(rest: &str) -> String {
    format!("time,TEMP (degF),RAIN (in)\n2015-08-14 06:00,61,0\n{rest}")
}

#[test]
fn wrong_tables_of_hours_are_refused_with_place_and_remedy() {
    let line = Some(3);
    check_all(
        hours_of,
        &[
            ("empty", String::new(), Empty, None, None, "Begin with a header", None),
            ("no header", "2015-08-14 06:00,61\n".into(), NoHeader, Some(1), None, "Begin with a header", None),
            ("header only", "time,TEMP (degF)\n".into(), NoValues, None, None, "at least one line", None),
            ("no time", "TEMP (degF)\n61\n".into(), MissingColumn, Some(1), Some("time"), "no column `time`", None),
            ("no unit", "time,TEMP\n2015-08-14 06:00,61\n".into(), UnitMissing, Some(1), Some("TEMP"), "`TEMP (degC)`", None),
            ("wrong unit", "time,TEMP (mm)\n2015-08-14 06:00,61\n".into(), UnitWrong, Some(1), Some("TEMP (mm)"), "(degF)", None),
            ("wind in degrees", "time,WIND (degF)\n2015-08-14 06:00,6\n".into(), UnitWrong, Some(1), Some("WIND (degF)"), "mph", None),
            (
                "mixed units",
                "time,TEMP (degF),temp_c\n2015-08-14 06:00,61,16\n".into(),
                DoubleColumn,
                Some(1),
                Some("temp_c"),
                "leave one",
                None,
            ),
            ("semicolons", "time;TEMP (degC)\n2015-08-14 06:00;16,1\n".into(), WrongSeparator, Some(1), None, "commas", None),
            ("day without hour", csv("2015-08-14,60,0\n"), BadTime, line, Some("time"), "2015-08-14 06:00", Some(1)),
            ("hour 25", csv("2015-08-14 25:00,60,0\n"), BadTime, line, Some("time"), "2015-08-14 06:00", Some(1)),
            ("31 September", csv("2014-09-31 06:00,60,0\n"), BadDate, line, Some("time"), "2015-08-14", Some(1)),
            ("a slip in the year", csv("0215-08-14 06:00,60,0\n"), BadDate, line, Some("time"), "check the year", Some(1)),
            ("an hour to come", csv("2015-08-21 06:00,60,0\n"), FutureDate, line, Some("time"), "now", Some(1)),
            ("the clock jumped", csv("2015-03-08 02:00,60,0\n"), SkippedTime, line, Some("time"), "fixed offset", Some(1)),
            ("word", csv("2015-08-14 07:00,warm,0\n"), BadNumber, line, Some("TEMP (degF)"), "bare number in degF", Some(1)),
            ("too hot", csv("2015-08-14 07:00,283,0\n"), Impossible, line, Some("TEMP (degF)"), "139.4 degC", Some(1)),
            ("rain below zero", csv("2015-08-14 07:00,60,-1\n"), Impossible, line, Some("RAIN (in)"), "between 0", Some(2)),
            ("cut short", csv("2015-08-14 07:00,60\n"), ShortLine, line, None, "3 cells and this line 2", Some(1)),
            ("too long", csv("2015-08-14 07:00,60,0,1\n"), LongLine, line, None, "3 cells and this line 4", Some(1)),
            ("same hour, other value", csv("2015-08-14 06:10,62,0\n"), DoubleHour, line, Some("time"), "Line 2", Some(1)),
            ("open quote", csv("2015-08-14 07:00,\"60,0\n"), OpenQuote, line, None, "quote", Some(1)),
        ],
    );
}

#[test]
fn a_time_without_offset_needs_a_zone() {
    let error = read_hourly_csv("time,TEMP (degF)\n2015-08-14 06:00,61\n", "f.csv", &HourlyOptions::default()).unwrap_err();
    assert!(error.to_string().contains("say which zone"), "{error}");
    let reading = read_hourly_csv("time,TEMP (degF)\n2015-08-14T06:00:00-05:00,61\n", "f.csv", &HourlyOptions::default()).unwrap();
    assert_eq!(reading.series.day_of(0), jiff::civil::date(2015, 8, 14));
    assert!(reading.remarks.iter().any(|remark| remark.kind == RemarkKind::AssumedZone && remark.text.contains("-05")));
}

/// A day of hours in the EPW form, its first lines replaced by what is given.
pub(crate) fn epw(changes: &[(usize, &str)]) -> String {
    let mut lines: Vec<String> = [
        "LOCATION,Amber Falls,-,USA,invented,000000,43.05,-89.40,-6.0,262.0",
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        "COMMENTS 1,invented",
        "COMMENTS 2,invented",
        "DATA PERIODS,1,1,Data,Sunday,7/4,7/4",
    ]
    .map(str::to_owned)
    .to_vec();
    lines.extend((1..=24).map(|hour| epw_line(hour, &format!("{}.0", 10 + hour % 12))));
    for (line, text) in changes {
        lines[line - 1] = (*text).to_owned();
    }
    lines.join("\n") + "\n"
}

fn epw_line(hour: usize, warmth: &str) -> String {
    format!("2001,7,4,{hour},0,?9?9,{warmth},5.0,60,98000,0,0,300,500,0,0,0,0,0,0,180,3.5,5,5,16,77777,9,999999999,20,0.1,0,88,0.2,0.5,1")
}

#[test]
fn wrong_typical_year_files_are_refused_with_place_and_remedy() {
    let bad_hour = epw_line(25, "12.0");
    let (word, hot) = (epw_line(1, "warm"), epw_line(1, "75"));
    let double = epw_line(2, "9.0");
    let no_day = epw_line(1, "12.0").replacen("2001,7,4", "2001,6,31", 1);
    let no_year = epw_line(1, "12.0").replacen("2001", "20O1", 1);
    let long = format!("{},7", epw_line(2, "12.0"));
    let line = Some(9);
    check_all(
        epw_of,
        &[
            ("empty", String::new(), Empty, None, None, "LOCATION", None),
            ("no place", epw(&[(1, "2001,7,4")]), BadHead, Some(1), Some("LOCATION"), "first of eight", None),
            ("head cut short", epw(&[(1, "LOCATION,Amber Falls")]), ShortLine, Some(1), Some("LOCATION"), "latitude", None),
            (
                "latitude of a slip",
                epw(&[(1, "LOCATION,A,-,USA,x,0,430.5,-89.40,-6.0,262.0")]),
                Impossible,
                Some(1),
                Some("latitude"),
                "latitude",
                None,
            ),
            (
                "zone in words",
                epw(&[(1, "LOCATION,A,-,USA,x,0,43.5,-89.40,CST,262.0")]),
                BadNumber,
                Some(1),
                Some("time zone"),
                "UTC",
                None,
            ),
            ("a head line lost", epw(&[(4, "COMMENTS 1,x")]), BadHead, Some(4), Some("GROUND TEMPERATURES"), "fourth", None),
            (
                "four lines an hour",
                epw(&[(8, "DATA PERIODS,1,4,Data,Sunday,7/4,7/4")]),
                BadHead,
                Some(8),
                Some("records per hour"),
                "one line",
                None,
            ),
            ("hour 25", epw(&[(9, &bad_hour)]), BadTime, line, Some("hour"), "1 to 24", Some(23)),
            ("no such day", epw(&[(9, &no_day)]), BadDate, line, Some("day"), "no such day", Some(23)),
            ("year with a letter", epw(&[(9, &no_year)]), BadDate, line, Some("year"), "whole number", Some(23)),
            ("word", epw(&[(9, &word)]), BadNumber, line, Some("dry bulb temperature"), "99.9", Some(23)),
            ("too hot", epw(&[(9, &hot)]), Impossible, line, Some("dry bulb temperature"), "between -95 and 60", Some(23)),
            ("cut short", epw(&[(10, "2001,7,4,2,0,?9,12.0")]), ShortLine, Some(10), None, "35 cells and this one 7", Some(23)),
            ("too long", epw(&[(10, &long)]), LongLine, Some(10), None, "35 cells and this one 36", Some(23)),
            ("hour twice", epw(&[(11, &double)]), DoubleHour, Some(11), Some("time"), "Line 10", Some(23)),
            ("no lines", epw(&[]).lines().take(8).collect::<Vec<_>>().join("\n"), NoValues, None, None, "at least one line", None),
        ],
    );
}

#[test]
fn files_of_hours_cut_at_any_byte_give_an_answer_or_a_fault() {
    let mut table = String::from("time,TEMP (degF),RAIN (in)\n");
    for hour in 0..30 {
        table += &format!("2015-08-{:02} {:02}:00,6{},\"0.1\"\n", 14 + hour / 24, hour % 24, hour % 10);
    }
    for text in [table, epw(&[])] {
        for end in 0..=text.len() {
            for skip_bad in [false, true] {
                let _ = hours_of(&text[..end], skip_bad);
                let _ = epw_of(&text[..end], skip_bad);
            }
        }
    }
}

#[test]
fn hand_readings_cut_at_any_byte_give_an_answer_or_a_fault() {
    use groundlore_weather::ReadOptions;
    use groundlore_weather::gauges::{GaugeOptions, ReadingDay::DayBefore, read_gauges};
    let text =
        "date,max (degF),min (degF),rain (in),days\n2015-08-14,86,61,0.5,1\n2015-08-17,83,59,1.2 for 3 days,\n2015-08-19,83,59,\"T\",2\n";
    for end in 0..=text.len() {
        for skip_bad in [false, true] {
            let reading = ReadOptions { skip_bad, ..ReadOptions::default() };
            let _ = read_gauges(&text[..end], "cut.csv", &GaugeOptions { reading, ..GaugeOptions::new(7, DayBefore, DayBefore) });
        }
    }
}
