//! Wrong files: each is refused with its place, value and remedy, and what is good in it can be kept.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "bad_input/forms.rs"]
mod forms;
#[path = "bad_input/hours.rs"]
mod hours;

use groundlore_weather::ProblemKind::{self, *};
use groundlore_weather::{
    AssumedUnits, Element, Mark, ReadOptions, Reading, RemarkKind, WeatherError, detect, read_bytes, read_ghcn_csv, read_ghcn_dly,
    read_plain_csv, read_text,
};
use jiff::civil::date;

type Reader = fn(&str, &str, &ReadOptions) -> Result<Reading, WeatherError>;

/// A wrong file: what is wrong with it, its text, the fault, its line and column, a word of the remedy, and how many values of TMAX are
/// kept with `skip_bad` (`None` when the whole file is lost).
struct Wrong {
    what: &'static str,
    text: String,
    kind: ProblemKind,
    line: Option<u64>,
    column: Option<&'static str>,
    remedy: &'static str,
    kept: Option<usize>,
}

fn today() -> ReadOptions {
    ReadOptions { today: Some(date(2015, 8, 20)), ..ReadOptions::default() }
}

fn check_all(reader: Reader, wrongs: &[Wrong]) {
    assert!(wrongs.len() >= 10);
    for wrong in wrongs {
        let error = reader(&wrong.text, "given.txt", &today()).expect_err(wrong.what);
        let text = error.to_string();
        let problem = error.problems().iter().find(|problem| problem.kind == wrong.kind);
        let problem = problem.unwrap_or_else(|| panic!("{}: {text}", wrong.what));
        assert_eq!((problem.line, problem.column.as_deref()), (wrong.line, wrong.column), "{}: {text}", wrong.what);
        assert!(problem.remedy.contains(wrong.remedy), "{}: {text}", wrong.what);
        assert!(text.contains("given.txt"), "{}: {text}", wrong.what);
        if let Some(line) = wrong.line {
            assert!(text.contains(&format!("line {line}")), "{}: {text}", wrong.what);
        }
        let kept = reader(&wrong.text, "given.txt", &ReadOptions { skip_bad: true, ..today() });
        match (kept, wrong.kept) {
            (Ok(reading), Some(expected)) => {
                let values = reading.series.tmax_c().iter().filter(|value| !value.is_nan()).count();
                assert_eq!(values, expected, "{}", wrong.what);
                assert!(reading.skipped.iter().any(|skipped| skipped.kind == wrong.kind), "{}: {:?}", wrong.what, reading.skipped);
            }
            (Err(_), None) => {}
            (kept, _) => panic!("{}: {kept:?}", wrong.what),
        }
    }
}

fn wrong(
    what: &'static str,
    text: impl Into<String>,
    kind: ProblemKind,
    line: Option<u64>,
    column: Option<&'static str>,
    remedy: &'static str,
    kept: Option<usize>,
) -> Wrong {
    Wrong { what, text: text.into(), kind, line, column, remedy, kept }
}

const PLAIN: &str = "date,TMIN (degF),TMAX (degF),PRCP (in)\n2015-08-14,61,83,0.1\n";

fn plain(rest: &str) -> String {
    format!("{PLAIN}{rest}")
}

#[test]
fn wrong_plain_tables_are_refused_with_place_and_remedy() {
    let line = Some(3);
    check_all(
        read_plain_csv,
        &[
            wrong("empty", "", Empty, None, None, "Begin with a header", None),
            wrong("only blank lines", "\n \r\n", Empty, None, None, "Begin with a header", None),
            wrong("no header", "2015-08-14,61,83\n", NoHeader, Some(1), None, "Begin with a header", None),
            wrong("header only", "date,TMAX (degF)\n", NoValues, None, None, "at least one dated line", None),
            wrong("no date column", "TMAX (degF)\n83\n", MissingColumn, Some(1), Some("date"), "no column `date`", None),
            wrong("no unit", "date,TMAX\n2015-08-14,83\n", UnitMissing, Some(1), Some("TMAX"), "`TMAX (degF)` or `TMAX (degC)`", None),
            wrong("unknown unit", "date,TMAX (hot)\n2015-08-14,83\n", UnitWrong, Some(1), Some("TMAX (hot)"), "`TMAX (degF)`", None),
            wrong(
                "unit of another kind",
                "date,TMAX (in)\n2015-08-14,83\n",
                UnitWrong,
                Some(1),
                Some("TMAX (in)"),
                "is a temperature",
                None,
            ),
            wrong("rain in degrees", "date,PRCP (degF)\n2015-08-14,83\n", UnitWrong, Some(1), Some("PRCP (degF)"), "`PRCP (in)`", None),
            wrong(
                "mixed units: the same thing twice",
                "date,TMAX (degF),tmax_c\n2015-08-14,83,28\n",
                DoubleColumn,
                Some(1),
                Some("tmax_c"),
                "leave one",
                None,
            ),
            wrong("two dates", "date,DATE,TMAX (degF)\n2015-08-14,2015-08-14,83\n", DoubleColumn, Some(1), Some("DATE"), "one date", None),
            wrong("semicolons", "date;TMAX (degC)\n2015-08-14;28,3\n", WrongSeparator, Some(1), None, "commas", None),
            wrong("open quote in the header", "\"date,TMAX (degF)\n", OpenQuote, Some(1), None, "quote", None),
            wrong("date the other way round", plain("15/08/2015,60,80,0\n"), BadDate, line, Some("date"), "2015-08-14", Some(1)),
            wrong("31 September", plain("2014-09-31,60,80,0\n"), BadDate, line, Some("date"), "2015-08-14", Some(1)),
            wrong("year of a typing slip", plain("0215-08-15,60,80,0\n"), BadDate, line, Some("date"), "check the year", Some(1)),
            wrong("day to come", plain("2015-08-21,60,80,0\n"), FutureDate, line, Some("date"), "Today is 2015-08-20", Some(1)),
            wrong(
                "word for a number",
                plain("2015-08-15,60,warm,0\n"),
                BadNumber,
                line,
                Some("TMAX (degF)"),
                "bare number in degF",
                Some(1),
            ),
            wrong("unit in the cell", plain("2015-08-15,60,80F,0\n"), BadNumber, line, Some("TMAX (degF)"), "bare number", Some(1)),
            wrong("decimal comma", plain("2015-08-15,60,\"80,5\",0\n"), BadNumber, line, Some("TMAX (degF)"), "point", Some(1)),
            wrong("infinite", plain("2015-08-15,60,inf,0\n"), BadNumber, line, Some("TMAX (degF)"), "bare number", Some(1)),
            wrong("too hot", plain("2015-08-15,60,283,0\n"), Impossible, line, Some("TMAX (degF)"), "139.4 degC", Some(1)),
            wrong("rain below zero", plain("2015-08-15,60,80,-1\n"), Impossible, line, Some("PRCP (in)"), "between 0 and 2000", Some(2)),
            wrong("cut short", plain("2015-08-15,60\n"), ShortLine, line, None, "4 cells and this line 2", Some(1)),
            wrong("too long", plain("2015-08-15,60,80,5,0\n"), LongLine, line, None, "4 cells and this line 5", Some(1)),
            wrong("open quote", plain("2015-08-15,60,\"80,0\n2015-08-16,60,80,0\n"), OpenQuote, line, None, "quote", Some(2)),
            wrong(
                "the same day, other values",
                plain("2015-08-14,61,84,0.1\n"),
                DoubleDay,
                line,
                Some("TMAX"),
                "Line 2 gave 28.3",
                Some(1),
            ),
            wrong(
                "another station",
                "date,station,TMAX (degF)\n2015-08-14,A,83\n2015-08-15,B,84\n",
                OtherStation,
                line,
                Some("station"),
                "file of its own",
                Some(1),
            ),
        ],
    );
}

const GHCN: &str = "STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,TMAX,TMAX_ATTRIBUTES\n\
    XX000000001,2015-08-14,44.2,-88.5,231.0,\"HOLLOW MILL, XX\",283,\",,W\"\n";

fn ghcn(rest: &str) -> String {
    format!("{GHCN}{rest}\n")
}

#[test]
fn wrong_station_files_are_refused_with_place_and_remedy() {
    let line = Some(3);
    let head = "XX000000001,2015-08-15,44.2,-88.5,231.0,\"HOLLOW MILL, XX\"";
    check_all(
        read_ghcn_csv,
        &[
            wrong("empty", "", Empty, None, None, "header", None),
            wrong("a plain table", "date,TMAX (degF)\n2015-08-14,83\n", MissingColumn, Some(1), Some("STATION"), "plain CSV", None),
            wrong("no date column", "STATION,TMAX\nXX1,283\n", MissingColumn, Some(1), Some("DATE"), "plain CSV", None),
            wrong("no weather", "STATION,DATE,NAME\nXX1,2015-08-14,A\n", MissingColumn, Some(1), None, "TMAX, TMIN", None),
            wrong("two columns TMAX", "STATION,DATE,TMAX,TMAX\nXX1,2015-08-14,283,284\n", DoubleColumn, Some(1), Some("TMAX"), "one", None),
            wrong("open quote in the header", "\"STATION,DATE,TMAX\n", OpenQuote, Some(1), None, "quote", None),
            wrong("header only", GHCN.lines().next().unwrap(), NoValues, None, None, "at least one", None),
            wrong("all blank", "STATION,DATE,TMAX\nXX1,2015-08-14,\n", NoValues, None, None, "at least one", None),
            wrong("values in degrees", ghcn(&format!("{head},28.3,\",,W\"")), BadNumber, line, Some("TMAX"), "tenths of °C", Some(1)),
            wrong("word", ghcn(&format!("{head},hot,\",,W\"")), BadNumber, line, Some("TMAX"), "tenths of °C", Some(1)),
            wrong("number out of all bounds", ghcn(&format!("{head},99999999999,")), BadNumber, line, Some("TMAX"), "tenths", Some(1)),
            wrong("impossible and not flagged", ghcn(&format!("{head},999,\",,W\"")), Impossible, line, Some("TMAX"), "99.9 degC", Some(1)),
            wrong("long flag", ghcn(&format!("{head},283,\",QQ,W\"")), BadFlag, line, Some("TMAX_ATTRIBUTES"), "one letter", Some(1)),
            wrong("cut short", ghcn("XX000000001,2015-08-15,44.2"), ShortLine, line, None, "8 columns and this line fewer: 3", Some(1)),
            wrong("too long", ghcn(&format!("{head},283,\",,W\",7,8")), LongLine, line, None, "more: 10", Some(1)),
            wrong("open quote", ghcn("XX000000001,2015-08-15,44.2,-88.5,231.0,\"HOLLOW"), OpenQuote, line, None, "quote", Some(1)),
            wrong(
                "bad date",
                ghcn(&format!("{},283,", head.replace("2015-08-15", "2015-02-29"))),
                BadDate,
                line,
                Some("DATE"),
                "year-month-day",
                Some(1),
            ),
            wrong("to come", ghcn(&format!("{},283,", head.replace("2015", "2016"))), FutureDate, line, Some("DATE"), "Today", Some(1)),
            wrong(
                "other station",
                ghcn(&format!("{},283,", head.replace("001", "002"))),
                OtherStation,
                line,
                Some("STATION"),
                "XX000000001",
                Some(1),
            ),
            wrong(
                "same day, other value",
                ghcn(&format!("{},290,", head.replace("15,44", "14,44"))),
                DoubleDay,
                line,
                Some("TMAX"),
                "Line 2",
                Some(1),
            ),
        ],
    );
}

/// A month of a `.dly` file: the given fields, the rest missing.
fn month(head: &str, fields: &[(usize, &str)]) -> String {
    let field = |day: usize| fields.iter().find(|(of, _)| *of == day).map_or("-9999   ", |(_, field)| field);
    format!("{head}{}\n", (1..=31).map(field).collect::<String>())
}

#[test]
fn wrong_fixed_width_files_are_refused_with_place_and_remedy() {
    let good = month("XX000000001201502TMAX", &[(1, "  -11  W"), (2, "   28  W")]);
    let with = |rest: &str| format!("{good}{rest}");
    let march = |fields: &[(usize, &str)]| with(&month("XX000000001201503TMAX", fields));
    let line = Some(2);
    check_all(
        read_ghcn_dly,
        &[
            wrong("empty", "", Empty, None, None, "archive", None),
            wrong("all missing", month("XX000000001201502TMAX", &[]), NoValues, None, None, "at least one", None),
            wrong("only unused elements", month("XX000000001201502WSF2", &[(1, "   11  W")]), NoValues, None, None, "at least one", None),
            wrong("cut in the head", with("XX0000000012015"), ShortLine, line, None, "269 characters and this one 15", Some(2)),
            wrong(
                "cut in a month",
                with(&march(&[(1, "   50  W")])[good.len()..good.len() + 21 + 8 * 20]),
                ShortLine,
                line,
                Some("182-186"),
                "on day 21 of a month of 31",
                Some(3),
            ),
            wrong("month 13", with(&month("XX000000001201513TMAX", &[(1, "   50  W")])), BadDate, line, Some("12-17"), "201508", Some(2)),
            wrong("year of letters", with(&month("XX0000000012O1502TMAX", &[])), BadDate, line, Some("12-17"), "201508", Some(2)),
            wrong("value of letters", march(&[(1, "   5O  W")]), BadNumber, line, Some("22-26"), "five characters", Some(2)),
            wrong("blank value", march(&[(2, "        "), (3, "   50  W")]), BadNumber, line, Some("30-34"), "-9999", Some(3)),
            wrong(
                "30 February",
                with(&month("XX000000001201402TMAX", &[(30, "   50  W")])),
                BadDate,
                line,
                Some("254-258"),
                "no day 30",
                Some(2),
            ),
            wrong("impossible and not flagged", march(&[(1, " 9999  W")]), Impossible, line, Some("22-26"), "999.9 degC", Some(2)),
            wrong(
                "other station",
                with(&month("XX000000002201503TMAX", &[(1, "   50  W")])),
                OtherStation,
                line,
                Some("1-11"),
                "of its own",
                Some(2),
            ),
            wrong("to come", with(&month("XX000000001201603TMAX", &[(1, "   50  W")])), FutureDate, line, Some("22-26"), "Today", Some(2)),
            wrong(
                "same day, other value",
                with(&month("XX000000001201502TMAX", &[(1, "  -12  W")])),
                DoubleDay,
                line,
                Some("TMAX"),
                "Line 1",
                Some(2),
            ),
            wrong("letters that are not ASCII", with("XX000000001201503TMAX  5°\n"), NotText, line, None, "letters, digits", Some(2)),
            wrong(
                "year 0001",
                with(&month("XX000000001000103TMAX", &[(1, "   50  W")])),
                BadDate,
                line,
                Some("22-26"),
                "check the year",
                Some(2),
            ),
        ],
    );
}

#[test]
fn files_of_no_known_form_are_refused_by_name() {
    let refused = |text: &str, name: &str| detect(text, name).unwrap_err().problems()[0].kind;
    assert_eq!(refused("", "a.csv"), Empty);
    assert_eq!(refused("\u{feff}\r\n", "a.csv"), Empty);
    assert_eq!(refused("PK\u{3}\u{4}\0\0", "a.csv"), NotText);
    assert_eq!(refused("Dear sir", "a.txt"), UnknownForm);
    let by_year = detect("XX000000001,20150814,TMAX,283,,,W,\n", "2015.csv").unwrap_err().to_string();
    assert!(by_year.contains("by-year form"), "{by_year}");
}

#[test]
fn bytes_that_are_no_text_are_named_for_what_they_are() {
    let said = |bytes: &[u8]| read_bytes(bytes, "a.csv", &ReadOptions::default()).unwrap_err().to_string();
    assert!(said(&[0xff, 0xfe, b'd', 0]).contains("UTF-16"));
    assert!(said(&[0x1f, 0x8b, 8, 0]).contains("gzip"));
    let latin = said(b"date,TMAX (degC)\n2015-08-14,28\xb0\n");
    assert!(latin.contains("a.csv, line 2") && latin.contains("Byte 31"), "{latin}");
    let marked = read_bytes(b"\xef\xbb\xbfdate,TMAX (degC)\r\n2015-08-14,28\r\n", "a.csv", &ReadOptions::default()).unwrap();
    assert_eq!(marked.series.tmax_c(), [28.0]);
}

#[test]
fn all_faults_are_told_at_once_and_many_are_summed_up() {
    let mut text = String::from(PLAIN);
    for day in 1..=15 {
        text += &format!("2015-07-{day:02},60,x,0\n");
    }
    let error = read_plain_csv(&text, "yard.csv", &ReadOptions::default()).unwrap_err();
    assert_eq!(error.problems().len(), 15);
    assert!(error.to_string().ends_with("and 5 more like these"));
    let kept = read_plain_csv(&text, "yard.csv", &ReadOptions { skip_bad: true, ..ReadOptions::default() }).unwrap();
    assert_eq!(kept.skipped.len(), 15);
    assert_eq!(kept.series.tmin_c().iter().filter(|value| !value.is_nan()).count(), 16, "the other cells of the lines are kept");
}

#[test]
fn an_error_is_a_sentence_with_place_value_and_remedy() {
    let error = read_plain_csv(&plain("2015-08-15,60,warm,0\n"), "yard.csv", &ReadOptions::default()).unwrap_err();
    assert_eq!(
        error.to_string(),
        "yard.csv, line 3, column TMAX (degF): this is not a number: `warm`. Write a bare number in degF, such as 61.5, with a point for decimals; leave the cell blank when it is not known."
    );
}

#[test]
fn disorder_doubles_and_crossed_days_are_remarked_on_and_cost_nothing() {
    let text = "date,TMIN (degF),TMAX (degF)\n2015-08-16,60,80\n2015-08-14,61,83\n2015-08-14,61,83\n2015-08-15,70,66\n";
    let reading = read_text(text, "yard.csv", &ReadOptions::default()).unwrap();
    let kinds: Vec<RemarkKind> = reading.remarks.iter().map(|remark| remark.kind).collect();
    for kind in [RemarkKind::OutOfOrder, RemarkKind::SameDayTwice, RemarkKind::MaximumUnderMinimum] {
        assert!(kinds.contains(&kind), "{:?}", reading.remarks);
    }
    assert_eq!(reading.series.first_day(), date(2015, 8, 14));
    assert!(matches!(reading.series.mark(Element::MinimumTemperature, date(2015, 8, 15)), Mark::Suspect { .. }));
    assert_eq!(reading.series.value(Element::MinimumTemperature, date(2015, 8, 16)), Some(140.0 / 9.0));
}

#[test]
fn a_day_given_in_parts_is_put_together() {
    let text = "date,TMIN (degF),TMAX (degF)\n2015-08-14,61,\n2015-08-14,,83\n";
    let reading = read_text(text, "yard.csv", &ReadOptions::default()).unwrap();
    assert_eq!(reading.series.value(Element::MaximumTemperature, date(2015, 8, 14)), Some(85.0 / 3.0));
    assert!(reading.remarks.iter().any(|remark| remark.kind == RemarkKind::DayInParts));
}

#[test]
fn a_table_without_units_is_read_when_the_caller_names_them() {
    let text = "DATE,PRCP,SNOW,SNWD,TMAX,TMIN\n1939-01-01,0.5,0,0.1,23,8.06\n";
    assert!(read_text(text, "a.csv", &ReadOptions::default()).is_err());
    let options = ReadOptions { assume_units: Some(AssumedUnits::us_customary()), ..ReadOptions::default() };
    let reading = read_text(text, "a.csv", &options).unwrap();
    assert_eq!(reading.series.prcp_mm(), [12.7]);
    assert!((reading.series.tmin_c()[0] + 13.3).abs() < 1e-9);
    assert_eq!(reading.remarks.iter().filter(|remark| remark.kind == RemarkKind::AssumedUnits).count(), 5);
    let wrong = AssumedUnits { temperature: "in".to_owned(), ..AssumedUnits::metric() };
    assert!(read_text(text, "a.csv", &ReadOptions { assume_units: Some(wrong), ..ReadOptions::default() }).is_err());
}

#[test]
fn names_brackets_endings_missing_words_and_traces_are_understood() {
    let text = "Date, Low [°C] ,high (F),rain_mm,Snow Depth (cm),wind\n# a remark\n20150814,16,86,T,NA,3\n2015-08-15,,N/A,null,2,4\n";
    let reading = read_text(text, "yard.csv", &ReadOptions::default()).unwrap();
    assert_eq!(reading.series.tmin_c()[0], 16.0);
    assert_eq!(reading.series.tmax_c()[0], 30.0);
    assert_eq!(reading.series.prcp_mm()[0], 0.0);
    assert_eq!(reading.series.snwd_mm()[1], 20.0);
    let kinds: Vec<RemarkKind> = reading.remarks.iter().map(|remark| remark.kind).collect();
    assert!(kinds.contains(&RemarkKind::MixedUnits) && kinds.contains(&RemarkKind::Unused));
}

#[test]
fn jumps_spikes_and_streaks_are_remarked_on_and_not_changed() {
    let mut text = String::from("date,TMAX (degC),PRCP (mm)\n");
    for day in 1..=31 {
        let tmax = match day {
            5 => 40,
            10.. => 12,
            _ => 10 + day % 3,
        };
        text += &format!("2015-05-{day:02},{tmax},{}\n", if day < 8 { "3.2" } else { "0" });
    }
    let reading = read_text(&text, "yard.csv", &ReadOptions::default()).unwrap();
    let texts: Vec<String> = reading.remarks.iter().map(ToString::to_string).collect();
    assert!(texts.iter().any(|text| text.contains("2015-05-05 stands out")), "{texts:?}");
    assert!(texts.iter().any(|text| text.contains("12.0 degC on 22 days in a row")), "{texts:?}");
    assert!(texts.iter().any(|text| text.contains("3.2 mm on 7 days in a row")), "{texts:?}");
    assert!(reading.series.marks(Element::MaximumTemperature).iter().all(|mark| *mark == Mark::Measured));
}
