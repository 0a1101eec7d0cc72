//! Every form is known by its first lines, and what does not fit is refused with its remedy.

use groundlore_weather::ProblemKind::{self, BadTime, FutureDate, NoRecord, NoValues, OtherStation, SkippedTime};
use groundlore_weather::gauges::{GaugeOptions, ReadingDay::SameDay, read_gauges};
use groundlore_weather::{Element, Ensemble, Form, ReadOptions, RemarkKind, Series, detect, fill_gaps_up_to, read_text};
use jiff::civil::date;
use jiff::tz::TimeZone;

fn chicago() -> ReadOptions {
    ReadOptions { zone: Some(TimeZone::get("America/Chicago").unwrap()), today: Some(date(2015, 8, 20)), ..ReadOptions::default() }
}

#[test]
fn each_form_is_known_by_its_first_lines() {
    let cases = [
        ("time,TEMP (degF)\n", Form::HourlyCsv),
        ("DATE,TIME,TEMP (degF)\n", Form::HourlyCsv),
        ("station,valid,tmpf (degF)\n", Form::HourlyCsv),
        ("STATION,DATE,HourlyDryBulbTemperature (degF)\nA,2015-08-14T06:00:00,61\n", Form::HourlyCsv),
        ("\"date\",\"TEMP (degF)\"\n\"2015-08-14 06:00\",61\n", Form::HourlyCsv),
        ("date,temp_max (degC)\n2015-08-14,30\n", Form::PlainCsv),
        ("DATE,PRCP (in),SNOW (in),SNWD (in),TMAX (degF),TMIN (degF)\n1971-01-01,0,0,0,30,20\n", Form::PlainCsv),
        ("date,max (degF),min (degF)\n", Form::HandReadings),
        ("date,max_f,min_f\n", Form::HandReadings),
        ("date,gauge (in)\n", Form::HandReadings),
        ("date,rain (in),days\n", Form::HandReadings),
        ("\u{feff}location,Amber Falls,-,USA\n", Form::Epw),
        ("date;TMAX (degC)\n", Form::PlainCsv),
    ];
    for (text, form) in cases {
        assert_eq!(detect(text, "x.csv").unwrap(), form, "{text}");
    }
}

#[test]
fn a_day_of_its_own_column_an_offset_and_a_stamp_give_the_same_days() {
    let days = |header: &str, line: &dyn Fn(i8) -> String| -> Series {
        let text = (0..24).fold(format!("{header}\n"), |text, hour| text + &line(hour) + "\n");
        read_text(&text, "h.csv", &chicago()).unwrap().series
    };
    let apart = days("date,time,TEMP (degC)", &|hour| format!("2015-08-14,{hour:02}:00,{hour}"));
    let together = days("date,TEMP (degC)", &|hour| format!("2015-08-14 {hour:02}:00,{hour}"));
    let offset = days("time,TEMP (degC)", &|hour| format!("2015-08-14T{hour:02}:00-05:00,{hour}"));
    for series in [&apart, &together, &offset] {
        assert_eq!((series.len(), series.tmin_c()[0], series.tmax_c()[0]), (1, 0.0, 23.0));
    }
}

#[test]
fn what_is_no_record_is_refused_with_what_to_do() {
    let hour = "date,time,TEMP (degC)\n";
    let cases: [(&str, String, ProblemKind, &str); 8] = [
        ("a typical year", "LOCATION,Amber Falls,-,USA,x,0,43.05,-89.40,-6.0,262.0\n".into(), NoRecord, "gives no odds"),
        ("hand readings", "date,max (degF)\n2015-08-14,86\n".into(), NoRecord, "--yard"),
        ("a lone hour", format!("{hour}2015-08-14,06:00,12\n"), NoValues, "missing hours"),
        ("an hour to come", format!("{hour}2015-08-21,06:00,12\n"), FutureDate, "forecasts"),
        ("the hour that the clock jumped over", format!("{hour}2015-03-08,02:00,12\n"), SkippedTime, "fixed offset"),
        ("no such day", format!("{hour}2015-02-29,06:00,12\n"), ProblemKind::BadDate, "2015-08-14"),
        ("no time", format!("{hour}2015-08-14,,12\n"), BadTime, "2015-08-14 06:00"),
        (
            "another station",
            "station,time,TEMP (degC)\nA,2015-08-14 06:00,12\nB,2015-08-14 07:00,12\n".into(),
            OtherStation,
            "file of its own",
        ),
    ];
    for (what, text, kind, remedy) in cases {
        let error = read_text(&text, "given.txt", &chicago()).unwrap_err();
        assert!(error.problems().iter().any(|problem| problem.kind == kind && problem.remedy.contains(remedy)), "{what}: {error}");
        assert!(error.to_string().contains("given.txt"), "{what}: {error}");
    }
}

#[test]
fn an_hour_that_no_day_has_is_refused() {
    for hour in [-1, 24, 31, i8::MIN] {
        let error = read_gauges("date,max (degF)\n2015-08-14,86\n", "g.csv", &GaugeOptions::new(hour, SameDay, SameDay)).unwrap_err();
        assert!(error.to_string().contains("0 to 23") && error.to_string().contains(&hour.to_string()), "{error}");
    }
    for hour in [0, 23] {
        assert!(read_gauges("date,max (degF)\n2015-08-14,86\n", "g.csv", &GaugeOptions::new(hour, SameDay, SameDay)).is_ok());
    }
    let mixed = read_gauges("date,max (degF),min (degC)\n2015-08-14,86,10\n", "g.csv", &GaugeOptions::new(18, SameDay, SameDay)).unwrap();
    assert!(mixed.remarks.iter().any(|remark| remark.kind == RemarkKind::MixedUnits));
    assert_eq!((mixed.series.tmax_c()[0], mixed.series.tmin_c()[0]), (30.0, 10.0));
}

#[test]
fn every_form_cut_at_any_byte_gives_an_answer_or_a_fault() {
    let mut hours = String::from("station,date,time,TEMP (degF),RAIN (in)\n");
    for hour in 0..26 {
        hours += &format!("A,2015-08-{:02},{:02}:00,6{},0.1\n", 14 + hour / 24, hour % 24, hour % 10);
    }
    let texts = [hours, super::hours::epw(&[]), "date,max (degF),min (degF),rain (in)\n2015-08-14,86,61,0.5 for 3 days\n".to_owned()];
    for text in &texts {
        for end in (0..=text.len()).filter(|end| text.is_char_boundary(*end)) {
            for skip_bad in [false, true] {
                if let Err(error) = read_text(&text[..end], "cut.txt", &ReadOptions { skip_bad, ..chicago() }) {
                    assert!(error.to_string().contains("cut.txt") && error.problems().iter().all(|problem| !problem.remedy.is_empty()));
                }
            }
        }
    }
}

#[test]
fn a_decade_that_is_missing_stands_for_no_future() {
    let mut text = String::from("date,TMIN (degC),TMAX (degC)\n");
    let mut day = date(1990, 1, 1);
    while day < date(2015, 6, 15) {
        if !(1995..2005).contains(&day.year()) {
            let season = -(f64::from(day.day_of_year()) * std::f64::consts::TAU / 365.0).cos();
            text += &format!("{day},{:.1},{:.1}\n", 5.0 + 10.0 * season, 15.0 + 10.0 * season);
        }
        day = day.tomorrow().unwrap();
    }
    let series = read_text(&text, "holed.csv", &ReadOptions::default()).unwrap().series;
    let filled = fill_gaps_up_to(&series, 15);
    assert_eq!(filled.filled_days(Element::MaximumTemperature), 0, "a decade is no short gap");
    let ensemble = Ensemble::years_of_record(&filled.series, date(2015, 6, 15)).unwrap();
    let years: Vec<i16> = ensemble.futures().iter().map(|future| future.year).collect();
    assert!(years.iter().all(|year| !(1994..2005).contains(year)), "{years:?}");
    assert_eq!(ensemble.left_out.len(), 11, "{:?}", ensemble.left_out);
}
