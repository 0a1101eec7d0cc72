//! Sun, evapotranspiration, soil, zones, chill and growth: the rows of the reference note asked through the reckoner. The data files are those of
//! the weather crate's tests, where their origin is named.
use crate::{Row, ask, check, row};
use groundlore_reckoner::{Answer, Output, reckon};

macro_rules! data {
    ($name:literal) => {
        include_str!(concat!("../../../weather/tests/data/", $name))
    };
}

fn rows(text: &str) -> impl Iterator<Item = Vec<&str>> {
    text.lines().skip(1).filter(|line| !line.is_empty()).map(|line| line.split(',').collect())
}

fn answer(key: &str, inputs: &str) -> Answer {
    reckon(&ask(key, inputs)).unwrap_or_else(|e| panic!("{key} {inputs}: {e}"))
}

fn value(answer: &Answer, output: &str) -> f64 {
    match answer.output(output) {
        Some(Output::Quantity(q)) => q.value,
        Some(Output::Number(n) | Output::Share(n)) => *n,
        other => panic!("{output} is {other:?}"),
    }
}

fn near(what: &str, found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{what}: {found}, expected {wanted} ± {tolerance}");
}

const F56: &str = "Allen et al. 1998, FAO-56";
const MM13: &str = "McMahon et al. 2013, supplement S19, read through pyet";
const BANGKOK: &str = "method=fao56|latitude=13.7333333|elevation=2 m|date=2015-04-15|minimum=25.6 degC|maximum=34.8 degC|vapour-pressure=2.85 kPa|wind=2 m/s|wind-height=2 m|sunshine-hours=8.5|soil-heat=0.14 MJ/m2/day";
const UCCLE: &str = "method=fao56|latitude=50.8|elevation=100 m|date=2015-07-06|minimum=12.3 degC|maximum=21.5 degC|humidity-minimum=63%|humidity-maximum=84%|wind=10 km/h|wind-height=10 m|sunshine-hours=9.25 h";
const FALLON: &str = "latitude=39.4575|elevation=1208.5 m|date=2015-07-01|minimum=66.65 degF|maximum=102.80 degF|dewpoint=49.84 degF|wind=4.80 mph|wind-height=3 m|solar-radiation=28.22196276 MJ/m2/day";
const ALICE: &str = "method=fao56|latitude=-23.7951|elevation=546 m|date=1981-07-21|minimum=2 degC|maximum=21 degC|humidity-minimum=25%|humidity-maximum=71%|wind=0.5903 m/s|solar-radiation=17.1940 MJ/m2/day";
const NDIAYE: &str = "method=asce-short|latitude=16.2166667|longitude=-16.25|elevation=8 m|time=1998-10-01T15:00:00-01:00|temperature=38 degC|vapour-pressure=3.445 kPa|wind=3.3 m/s|solar-radiation=2.450 MJ/m2/h";

const ROWS: &[Row] = &[
    row("W-02", F56, "vapour-pressure", "temperature=24.5 degC", "saturation_pressure", "kPa", 3.075, 0.0006),
    row("W-02", F56, "vapour-pressure", "temperature=59 degF", "saturation_pressure", "kPa", 1.705, 0.0006),
    row("W-06", F56, "day-length", "latitude=-20|date=2015-09-03", "extraterrestrial_radiation", "MJ/m2/day", 32.2, 0.06),
    row("W-06", F56, "day-length", "latitude=-20|date=2015-09-03", "sunset_angle", "deg", 87.491, 0.06),
    row("W-07", F56, "day-length", "latitude=-20 deg|date=2015-09-03", "day_length", "h", 11.7, 0.06),
    row("W-08", F56, "day-length", "latitude=-22.9|date=2015-05-15", "day_length", "h", 10.9, 0.06),
    row("W-11", F56, "reference-et", BANGKOK, "et0", "mm/day", 5.72, 0.01),
    row("W-11", F56, "reference-et", BANGKOK, "slope", "kPa/degC", 0.246, 0.0006),
    row("W-11", F56, "reference-et", BANGKOK, "psychrometric", "kPa/degC", 0.0674, 0.00011),
    row("W-11", F56, "reference-et", BANGKOK, "saturation_pressure", "kPa", 4.42, 0.006),
    row("W-11", F56, "reference-et", BANGKOK, "clear_sky_radiation", "MJ/m2/day", 28.54, 0.011),
    row("W-11", F56, "reference-et", BANGKOK, "net_shortwave", "MJ/m2/day", 17.44, 0.011),
    row("W-11", F56, "reference-et", BANGKOK, "net_longwave", "MJ/m2/day", 3.11, 0.011),
    row("W-11", F56, "reference-et", BANGKOK, "net_radiation", "MJ/m2/day", 14.33, 0.011),
    row("W-12", F56, "reference-et", UCCLE, "et0", "mm/day", 3.88, 0.01),
    row("W-12", F56, "reference-et", UCCLE, "wind_2m", "m/s", 2.078, 0.0011),
    row("W-12", F56, "reference-et", UCCLE, "actual_pressure", "kPa", 1.409, 0.0011),
    row("W-12", F56, "reference-et", UCCLE, "net_radiation", "MJ/m2/day", 13.28, 0.011),
    row("W-12", F56, "reference-et", UCCLE, "et0", "in/day", 3.88 / 25.4, 0.0005),
    row("W-13", F56, "reference-et-hourly", NDIAYE, "net_radiation", "MJ/m2/h", 1.749, 0.0015),
    row("W-41", MM13, "reference-et", ALICE, "et0", "mm/day", 2.0785, 0.0003),
    row(
        "W-41 with 273.2 K",
        MM13,
        "reference-et",
        "method=fao56|elevation=546 m|minimum=2 degC|maximum=21 degC|humidity-minimum=25%|humidity-maximum=71%|wind=0.5903 m/s|net-radiation=6.0610 MJ/m2/day",
        "et0",
        "mm/day",
        2.0775,
        0.0002,
    ),
    row(
        "S19 example 15",
        MM13,
        "reference-et",
        "method=priestley-taylor|elevation=546 m|minimum=2 degC|maximum=21 degC|net-radiation=8.6401 MJ/m2/day",
        "et0",
        "mm/day",
        2.6083,
        0.002,
    ),
    row(
        "S19 example 10",
        MM13,
        "reference-et",
        "method=makkink|elevation=546 m|minimum=2 degC|maximum=21 degC|solar-radiation=17.1940 MJ/m2/day",
        "et0",
        "mm/day",
        2.3928,
        0.002,
    ),
    row(
        "S19 example 12",
        MM13,
        "reference-et",
        "method=turc|minimum=2 degC|maximum=21 degC|humidity-minimum=25%|humidity-maximum=71%|solar-radiation=17.1940 MJ/m2/day",
        "et0",
        "mm/day",
        2.6727,
        0.0005,
    ),
    row(
        "A-09",
        "KNMI, published",
        "reference-et",
        "method=makkink|form=knmi|minimum=0.9 degC|maximum=0.9 degC|solar-radiation=2.53 MJ/m2/day",
        "et0",
        "mm/day",
        0.3,
        0.05,
    ),
    row("F-24", "De Bilt 1980-2019", "hot-days", "days=3.875", "class", "", 2.0, 0.0),
    row("F-23", "pinetum.org/heat.htm", "hot-days", "days=210.5", "class", "", 12.0, 0.0),
    row("G-01", "grounds-mag.com; widths memory", "growth-potential", "temperature=60 degF|grass=cool", "potential", "%", 72.6, 0.1),
    row("G-02", "as G-01", "growth-potential", "temperature=70 degF|grass=warm|form=fahrenheit", "potential", "%", 32.5, 0.1),
    row(
        "G-03",
        "2013 fact sheet, memory",
        "growth-potential",
        "temperature=15 degC|grass=cool|form=celsius",
        "potential",
        "",
        0.6615,
        1e-4,
    ),
    row("G-04", "as G-03", "growth-potential", "temperature=28 degC|grass=warm|form=celsius", "potential", "", 0.9123, 1e-4),
    row("G-05", "authors' site", "growth-potential", "temperature=38 degC|grass=warm|above-optimum=holds", "potential", "", 1.0, 0.0),
    row(
        "S-08",
        "closed form",
        "soil-temperature",
        "mean=10 degC|amplitude=12 degC|phase-day=30|diffusivity=0.045 m2/day|depth=5 cm|date=2023-01-15",
        "temperature",
        "degC",
        -1.283,
        0.001,
    ),
    row(
        "F-30",
        "pebender.github.io",
        "chill-utah",
        "temperatures=34 degF, 36 degF, 48 degF, 54 degF, 60 degF, 65 degF, 66 degF",
        "units",
        "",
        0.5,
        1e-12,
    ),
];

#[test]
fn published_rows_come_out_through_the_reckoner() {
    check(ROWS);
}

/// refet 0.5.0.
#[test]
fn a_fallon_day_gives_every_term() {
    let wanted = [
        ("saturation_pressure", 4.674724),
        ("actual_pressure", 1.220667),
        ("wind_2m", 1.976112),
        ("pressure", 87.807105),
        ("slope", 0.234886),
        ("extraterrestrial_radiation", 41.648246),
        ("clear_sky_radiation", 32.242822),
        ("net_longwave", 6.362676),
        ("net_radiation", 15.368235),
        ("et0", 7.997969),
    ];
    let short = answer("reference-et", &format!("method=asce-short|{FALLON}"));
    for (name, wanted) in wanted {
        near(name, value(&short, name), wanted, wanted * 1e-6 + 5e-7);
    }
    near("tall", value(&answer("reference-et", &format!("method=asce-tall|{FALLON}")), "et0"), 10.626088, 1e-5);
}

/// refet 0.5.0, pyet 1.5.0, KNMI.
#[test]
fn days_of_four_stations_agree_through_the_reckoner() {
    let mut count = 0;
    for row in rows(data!("et_daily_fallon_2015.csv")) {
        let inputs = format!(
            "latitude=39.4575|elevation=1208.5 m|date={}|minimum={} degC|maximum={} degC|dewpoint={} degC|solar-radiation={} MJ/m2/day|wind={} m/s|wind-height=3 m",
            row[0], row[2], row[3], row[4], row[5], row[6]
        );
        for (method, sky, column) in
            [("asce-short", "simple", 9), ("asce-tall", "simple", 10), ("asce-short", "humidity", 11), ("asce-tall", "humidity", 12)]
        {
            let found = value(&answer("reference-et", &format!("method={method}|clear-sky={sky}|{inputs}")), "et0");
            near(&format!("Fallon {} {method} {sky}", row[0]), found, row[column].parse().unwrap(), 0.0005);
        }
        count += 1;
    }
    for row in rows(data!("et_daily_debilt_1980_2019.csv")) {
        let inputs = format!(
            "latitude=52.10|elevation=1.9 m|date={}|minimum={} degC|maximum={} degC|humidity-minimum={}%|humidity-maximum={}%|solar-radiation={} MJ/m2/day|wind={} m/s|wind-height=10 m",
            row[0], row[2], row[3], row[6], row[5], row[4], row[7]
        );
        for (method, column) in [("asce-short", 11), ("asce-tall", 12), ("fao56", 13)] {
            let found = value(&answer("reference-et", &format!("method={method}|{inputs}")), "et0");
            near(&format!("De Bilt {} {method}", row[0]), found, row[column].parse().unwrap(), 0.002);
        }
        let knmi = value(&answer("reference-et", &format!("method=makkink|form=knmi|mean={} degC|{inputs}", row[1])), "et0");
        near(&format!("De Bilt {} makkink", row[0]), knmi, row[9].parse().unwrap(), 0.0501);
        count += 1;
    }
    for row in rows(data!("et_daily_seattle_2012_2015.csv")) {
        let inputs = format!(
            "latitude=47.45|elevation=122 m|date={}|minimum={} degC|maximum={} degC|coastal=no|wind={} m/s|wind-height=10 m",
            row[0], row[2], row[1], row[3]
        );
        let found = answer("reference-et", &format!("method=asce-short|{inputs}"));
        near(&format!("Seattle {}", row[0]), value(&found, "et0"), row[10].parse().unwrap(), 0.001);
        assert!(found.working.iter().any(|line| line.contains("eq. 48")) && found.working.iter().any(|line| line.contains("eq. 50")));
        near(&format!("Seattle {} Rs", row[0]), value(&found, "solar_radiation"), row[7].parse().unwrap(), 0.001);
        let found = answer("reference-et", &format!("method=hargreaves|{inputs}"));
        near(&format!("Seattle {} Hargreaves", row[0]), value(&found, "et0"), row[9].parse().unwrap(), 0.001);
        assert!(found.working.iter().any(|line| line.contains("0.0023")), "T-15: the form is named");
        count += 1;
    }
    for row in rows(data!("et_daily_newyork_jfk_2013.csv")) {
        let inputs = format!(
            "latitude=40.64|elevation=4 m|date={}|minimum={} degC|maximum={} degC|dewpoint={} degC|coastal=yes|wind={} m/s|wind-height=10 m",
            row[0], row[2], row[1], row[3], row[4]
        );
        for (method, column) in [("asce-short", 8), ("asce-tall", 9)] {
            near(
                &format!("New York {}", row[0]),
                value(&answer("reference-et", &format!("method={method}|{inputs}")), "et0"),
                row[column].parse().unwrap(),
                0.001,
            );
        }
        count += 1;
    }
    assert_eq!(count, 54 + 59 + 61 + 52);
}

/// ASCE-EWRI 2005, Appendix C. Hours with sun from the weather; every hour given the printed net radiation.
#[test]
fn greeley_hours_agree_through_the_reckoner() {
    let mut sunny = 0;
    for row in rows(data!("et_hourly_asce_greeley_2000.csv")) {
        let inputs = format!(
            "latitude=40.41|longitude=-104.78|elevation=1462.4 m|time={}:00-07:00|temperature={} degC|vapour-pressure={} kPa|wind={} m/s|wind-height=2 m|solar-radiation={} MJ/m2/h",
            row[0], row[1], row[2], row[4], row[3]
        );
        for (method, column, tolerance) in [("asce-short", 13, 0.0051), ("asce-tall", 14, 0.0076)] {
            let wanted = row[column].parse().unwrap();
            let given = answer("reference-et-hourly", &format!("method={method}|net-radiation={} MJ/m2/h|{inputs}", row[12]));
            near(&format!("{} {method}", row[0]), value(&given, "et0"), wanted, tolerance);
            if row[10].parse::<f64>().unwrap() >= 0.6 {
                let alone = answer("reference-et-hourly", &format!("method={method}|{inputs}"));
                near(&format!("{} {method} alone", row[0]), value(&alone, "et0"), wanted, tolerance + 0.001);
                sunny += 1;
            }
        }
    }
    assert_eq!(sunny, 26);
}

/// U-06 and U-07: pvlib 0.16.1.
#[test]
fn the_sun_stands_rises_and_sets_as_by_spa_through_the_reckoner() {
    for row in rows(data!("solar_position_spa.csv")) {
        let found = answer("sun-position", &format!("latitude={}|longitude={}|time={}", row[1], row[2], row[5]));
        near(&format!("{} zenith", row[0]), value(&found, "zenith"), row[6].parse().unwrap(), 0.01);
        near(&format!("{} azimuth", row[0]), value(&found, "azimuth"), row[8].parse().unwrap(), 0.01);
        near(&format!("{} elevation", row[0]), value(&found, "elevation") + value(&found, "zenith"), 90.0, 1e-9);
    }
    for row in rows(data!("sun_day_spa_fao.csv")) {
        let found = answer("sun-times", &format!("latitude={}|longitude={}|date={}|zone={}", row[1], row[2], row[4], row[5]));
        let date: jiff::civil::Date = row[4].parse().unwrap();
        let zone = jiff::tz::TimeZone::fixed(jiff::tz::Offset::constant(row[5].parse().unwrap()));
        let midnight = date.to_zoned_datetime(zone).unwrap().timestamp();
        for (name, column) in [("rise", 7), ("transit", 8), ("set", 9)] {
            if row[column].is_empty() {
                assert_eq!(found.output(name), Some(&Output::None), "{} {name}", row[0]);
                assert_eq!(found.json()["outputs"][name], serde_json::json!({"value": null, "unit": null}));
                continue;
            }
            let wanted: jiff::Timestamp = row[column].parse().unwrap();
            let hours = (wanted.as_millisecond() - midnight.as_millisecond()) as f64 / 3.6e6;
            near(&format!("{} {} {name}", row[0], row[4]), value(&found, name), hours, 1.0 / 60.0);
        }
        let day = answer("day-length", &format!("latitude={}|date={}", row[1], row[4]));
        near(&format!("{} N", row[0]), value(&day, "day_length"), row[11].parse().unwrap(), 0.001);
        near(&format!("{} Ra", row[0]), value(&day, "extraterrestrial_radiation"), row[12].parse().unwrap(), 0.001);
    }
}

#[test]
fn zones_are_read_by_name_and_by_offset() {
    let rise = |zone: &str| value(&answer("sun-times", &format!("latitude=44.98|longitude=-93.27|date=2024-01-15|zone={zone}")), "rise");
    let named = rise("America/Chicago");
    for zone in ["-6", "-06", "-06:00", "-0600", "-6:00"] {
        near(zone, rise(zone), named, 1e-9);
    }
    near("UTC", rise("UTC") - named, 6.0, 0.05);
    near("+5:30", rise("+5:30") - named, 11.5, 0.05);
    let found = answer("sun-times", "latitude=44.98|longitude=-93.27|date=2024-07-01|zone=America/Chicago");
    assert!(found.working.iter().any(|line| line.contains("2024-07-01 05:30")), "{:?}", found.working);
}

/// F-20 (memory for the edge), S-08, F-33.
#[test]
fn zones_soils_and_chill_agree_through_the_reckoner() {
    for (minimum, zone) in [
        ("-35 degF", "3b"),
        ("-20 degF", "5a"),
        ("-5.1 degF", "6a"),
        ("-5 degF", "6b"),
        ("4.99 degF", "7a"),
        ("32 degF", "10a"),
        ("69.9 degF", "13b"),
        ("-10.013 degC", "8a"),
    ] {
        assert_eq!(
            answer("hardiness-zone", &format!("extreme-minimum={minimum}")).output("zone"),
            Some(&Output::Word(zone.to_owned())),
            "{minimum}"
        );
    }
    for row in rows(data!("soil_temp_annual_wave.csv")) {
        let date = jiff::civil::date(2023, 1, 1).checked_add(jiff::Span::new().days(row[7].parse::<i64>().unwrap() - 1)).unwrap();
        let found = answer(
            "soil-temperature",
            &format!(
                "mean={} degC|amplitude={} degC|phase-day={}|diffusivity={} m2/day|depth={} m|date={date}",
                row[1], row[2], row[3], row[4], row[6]
            ),
        );
        near(&format!("{} {} {}", row[0], row[6], row[7]), value(&found, "temperature"), row[8].parse().unwrap(), 1e-3);
    }
    let hours: Vec<String> = rows(data!("hourly_temp_jfk_2013.csv")).map(|row| format!("{} degC", row[1])).collect();
    let list = format!("temperatures={}", hours.join(", "));
    near("Utah", value(&answer("chill-utah", &list), "units"), 324.5, 1e-9);
    near("portions", value(&answer("chill-portions", &list), "portions"), 15.8123, 0.0001);
    for (celsius, portions) in [(2, 18.759), (6, 24.433), (10, 23.313), (14, 0.0)] {
        let list = format!("temperatures={}", vec![format!("{celsius} degC"); 720].join(", "));
        near("F-32", value(&answer("chill-portions", &list), "portions"), portions, 0.001);
    }
}

const WRONG: &[(&str, &str, &[&str])] = &[
    ("day-length", "latitude=95|date=2024-06-20", &["`latitude`", "latitude 95", "44.98"]),
    ("day-length", "latitude=44 ft|date=2024-06-20", &["`latitude`", "decimal degrees"]),
    ("day-length", "latitude=44|date=20.6.2024", &["`date`", "YYYY-MM-DD", "2024-06-20"]),
    ("day-length", "latitude=44|date=2023-02-29", &["`date`", "2023-02-29"]),
    ("day-length", "latitude=44", &["`date` is missing", "YYYY-MM-DD"]),
    ("sun-position", "latitude=44|longitude=-93|time=2024-06-20 12:00", &["`time`", "RFC 3339"]),
    ("sun-position", "latitude=44|longitude=-193|time=2024-06-20T12:01:00Z", &["`longitude`", "-193"]),
    ("sun-times", "latitude=44|longitude=-93|date=2024-06-20|zone=Mars/Base", &["`zone`", "Mars/Base", "-06:00"]),
    ("sun-times", "latitude=44|longitude=-93|date=2024-06-20|zone=+25", &["`zone`", "+25"]),
    ("sun-times", "latitude=44|longitude=-93|date=9999-12-31|zone=UTC", &["`date`", "9999-12-31"]),
    (
        "reference-et",
        "method=fao56|latitude=50|elevation=100 m|date=2024-07-06|minimum=12 degC|maximum=21 degC",
        &["`solar-radiation` is missing"],
    ),
    ("reference-et", "method=fao56|latitude=50|date=2024-07-06|minimum=12 degC|maximum=21 degC|coastal=no", &["`elevation` is missing"]),
    ("reference-et", "method=hargreaves|date=2024-07-06|minimum=12 degC|maximum=21 degC", &["`latitude` is missing"]),
    ("reference-et", "method=hargreaves|latitude=50|date=2024-07-06|minimum=22 degC|maximum=21 degC", &["above the maximum"]),
    (
        "reference-et",
        "method=turc|latitude=50|date=2024-07-06|minimum=12 degC|maximum=21 degC|humidity-minimum=63",
        &["`solar-radiation` is missing"],
    ),
    (
        "reference-et",
        "method=fao56|latitude=50|elevation=100 m|date=2024-07-06|minimum=12 degC|maximum=21 degC|coastal=no|humidity-minimum=63|humidity-maximum=84",
        &["`humidity-minimum`", "63%"],
    ),
    (
        "reference-et",
        "method=fao56|latitude=50|elevation=100 m|date=2024-07-06|minimum=12 degC|maximum=21 degC|solar-radiation=450 MJ/m2/day",
        &["solar radiation", "450"],
    ),
    ("reference-et", "method=penman|minimum=12 degC|maximum=21 degC", &["`method`", "fao56"]),
    ("reference-et-hourly", "method=fao56", &["`method`", "asce-short, asce-tall"]),
    ("vapour-pressure", "temperature=24.5", &["`temperature`", "degC"]),
    ("vapour-pressure", "temperature=300 degC", &["`temperature`", "100"]),
    (
        "soil-temperature",
        "mean=10 degC|amplitude=12 degC|phase-day=400|diffusivity=0.045 m2/day|depth=5 cm|date=2023-01-15",
        &["`phase-day`", "400"],
    ),
    (
        "soil-temperature",
        "mean=10 degC|amplitude=12 degC|phase-day=30|diffusivity=0 m2/day|depth=5 cm|date=2023-01-15",
        &["`diffusivity`", "above 0"],
    ),
    ("hardiness-zone", "extreme-minimum=-300 degF", &["`extreme-minimum`", "-300"]),
    ("hot-days", "days=400", &["`days`", "400"]),
    ("chill-utah", "temperatures=5 degC, warm", &["`temperatures`"]),
    ("chill-portions", "temperatures=5 degC, 500 degC", &["hour 2", "500"]),
    ("growth-potential", "temperature=60 degF|grass=blue", &["`grass`", "cool, warm"]),
];

#[test]
fn wrong_questions_of_the_season_say_what_would_be_right() {
    for (key, inputs, wanted) in WRONG {
        let error = reckon(&ask(key, inputs)).expect_err(inputs).to_string();
        for part in *wanted {
            assert!(error.contains(part), "{key} {inputs}: `{error}` lacks `{part}`");
        }
    }
}

/// the Colorado State University network, published to 0.1; sensors that read over 100 % are kept as they read.
#[test]
fn holyoke_days_agree_with_the_network_through_the_reckoner() {
    for row in rows(data!("et_daily_holyoke_2020.csv")) {
        let percent = |column: usize| row[column].parse::<f64>().unwrap() * 100.0;
        let inputs = format!(
            "latitude=40.49|elevation=1138 m|date={}|minimum={} degC|maximum={} degC|humidity-minimum={}%|humidity-maximum={}%|solar-radiation={} W/m2|wind={} km/day|wind-height=2 m",
            row[0],
            row[2],
            row[1],
            percent(4),
            percent(3),
            row[5],
            row[6]
        );
        for (method, column) in [("asce-short", 7), ("asce-tall", 8)] {
            let found = value(&answer("reference-et", &format!("method={method}|{inputs}")), "et0");
            near(&format!("{} {method}", row[0]), found, row[column].parse().unwrap(), 0.06);
        }
    }
}
