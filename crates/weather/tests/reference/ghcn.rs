//! Both forms of GHCN-Daily on flagged files of our own, and on Milwaukee.

use groundlore_weather::{
    AssumedUnits, Doubt, Element, Form, Mark, ReadOptions, Reading, RemarkKind, detect, fill_errors, fill_gaps, read_text,
};
use jiff::civil::date;

const CSV: &str = include_str!("../data/flagged.csv");
const DLY: &str = include_str!("../data/flagged.dly");

fn both() -> [Reading; 2] {
    [("flagged.csv", CSV), ("flagged.dly", DLY)].map(|(name, text)| read_text(text, name, &ReadOptions::default()).unwrap())
}

#[test]
fn the_two_forms_are_told_apart_and_hold_the_same_weather() {
    assert_eq!(detect(CSV, "a").unwrap(), Form::GhcnCsv);
    assert_eq!(detect(DLY, "a").unwrap(), Form::GhcnDly);
    let [csv, dly] = both();
    for element in Element::ALL {
        assert_eq!(csv.series.marks(element), dly.series.marks(element));
        let bits = |reading: &Reading| reading.series.column(element).iter().map(|value| value.to_bits()).collect::<Vec<_>>();
        assert_eq!(bits(&csv), bits(&dly));
    }
    assert_eq!(csv.series.station.name, "HOLLOW MILL, XX");
    assert_eq!((csv.series.station.latitude, csv.series.station.elevation_m), (Some(44.25), Some(231.0)));
}

#[test]
fn tenths_whole_millimetres_flags_and_blanks_are_read_as_the_archive_means_them() {
    for reading in both() {
        let series = &reading.series;
        assert_eq!((series.first_day(), series.last_day()), (date(2015, 1, 1), date(2015, 1, 10)));
        assert_eq!(series.value(Element::MaximumTemperature, date(2015, 1, 1)), Some(-1.1));
        assert_eq!(series.value(Element::Precipitation, date(2015, 1, 3)), Some(11.4));
        assert_eq!(series.value(Element::Snowfall, date(2015, 1, 3)), Some(76.0));
        let trace = date(2015, 1, 2);
        assert_eq!((series.value(Element::Precipitation, trace), series.mark(Element::Precipitation, trace)), (Some(0.0), Mark::Measured));
        let flagged = date(2015, 1, 4);
        assert_eq!(series.value(Element::MaximumTemperature, flagged), Some(49.4), "a suspect value is kept");
        assert_eq!(series.mark(Element::MaximumTemperature, flagged), Mark::Suspect { why: Doubt::QualityFlag('S') });
        assert_eq!(series.mark(Element::Precipitation, date(2015, 1, 5)), Mark::Suspect { why: Doubt::PresumedZero });
        assert_eq!(series.mark(Element::MinimumTemperature, date(2015, 1, 6)), Mark::Missing);
        let crossed = Mark::Suspect { why: Doubt::MaximumUnderMinimum };
        assert_eq!(series.mark(Element::MinimumTemperature, date(2015, 1, 10)), crossed);
        assert_eq!(series.mark(Element::MaximumTemperature, date(2015, 1, 10)), crossed);
        let kinds: Vec<RemarkKind> = reading.remarks.iter().map(|remark| remark.kind).collect();
        for kind in [RemarkKind::Flagged, RemarkKind::PresumedZero, RemarkKind::MaximumUnderMinimum, RemarkKind::Gap] {
            assert!(kinds.contains(&kind), "{kind:?} in {:?}", reading.remarks);
        }
    }
}

#[test]
fn filling_replaces_what_is_suspect_or_missing_and_marks_it() {
    let [reading, _] = both();
    let filled = fill_gaps(&reading.series);
    for (element, day) in [(Element::MaximumTemperature, 4), (Element::MinimumTemperature, 6), (Element::Precipitation, 6)] {
        assert!(matches!(filled.series.mark(element, date(2015, 1, day)), Mark::Filled { .. }));
    }
    let value = filled.series.value(Element::MaximumTemperature, date(2015, 1, 4)).unwrap();
    assert!((-12.8..=1.7).contains(&value), "{value} lies between its neighbours");
    assert_eq!(filled.series.mark(Element::Snowfall, date(2015, 1, 6)), Mark::Missing, "snow is left missing");
    assert_eq!(reading.series.value(Element::MaximumTemperature, date(2015, 1, 4)), Some(49.4), "the original is untouched");
}

#[test]
fn milwaukee_is_whole_and_its_fill_error_is_that_of_weather() {
    let series = super::milwaukee();
    assert_eq!((series.first_day(), series.last_day(), series.len()), (date(1971, 1, 1), date(2000, 12, 31), 10_958));
    let errors = fill_errors(&series);
    assert_eq!(errors.len(), 6);
    for error in errors.iter().filter(|error| error.element.is_temperature()) {
        // Bounds of our own: a three-day bridge must beat the normal of the day, and the normal misses by the usual spread of weather.
        let bound = if error.gap_days == 3 { 2.0..5.0 } else { 4.0..7.5 };
        assert!(bound.contains(&error.root_mean_square), "{error:?}");
        assert!(error.mean_error.abs() < 0.5 && error.days > 1500, "{error:?}");
    }
}

/// The whole record that the demo uses, in °F and inches, where it lies beside the project.
#[test]
fn the_shared_record_of_milwaukee_reads_in_assumed_units_and_is_sorted() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/reference/data/milwaukee-daily-1939-2015.csv");
    let Ok(text) = std::fs::read_to_string(path) else {
        eprintln!("skipped: {path} is not there");
        return;
    };
    let options = ReadOptions { assume_units: Some(AssumedUnits::us_customary()), ..ReadOptions::default() };
    let reading = read_text(&text, "milwaukee-daily-1939-2015.csv", &options).unwrap();
    assert_eq!((reading.series.first_day(), reading.series.last_day()), (date(1939, 1, 1), date(2015, 12, 31)));
    assert!(reading.series.whole_fahrenheit);
    let order = reading.remarks.iter().find(|remark| remark.kind == RemarkKind::OutOfOrder).unwrap();
    assert_eq!(order.from, Some(date(1939, 6, 8)), "T-12 of the reference note: {}", order.text);
    let tenths = super::milwaukee();
    for day in [date(1971, 1, 1), date(1988, 6, 15), date(2000, 12, 31)] {
        let [one, other] = [&reading.series, &tenths].map(|series| series.value(Element::MinimumTemperature, day).unwrap());
        assert!((one - other).abs() < 1e-9);
    }
}

#[test]
fn whole_fahrenheit_under_the_archives_header_is_suspected() {
    let mut text = String::from("STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,TMAX,TMAX_ATTRIBUTES\n");
    let mut day = date(2015, 1, 1);
    while day < date(2015, 12, 31) {
        let fahrenheit = 50.0 - 35.0 * (f64::from(day.day_of_year()) / 58.1).cos();
        text += &format!("XX000000001,{day},44,-88,231,HOLLOW MILL,{fahrenheit:.0},\",,W\"\n");
        day = day.tomorrow().unwrap();
    }
    let reading = read_text(&text, "a.csv", &ReadOptions::default()).unwrap();
    assert!(reading.remarks.iter().any(|remark| remark.kind == RemarkKind::LooksLikeFahrenheit));
}
