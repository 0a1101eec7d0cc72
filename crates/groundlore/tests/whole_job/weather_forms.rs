//! Every form of weather through the real binary: days, hours, a typical year, hand readings; several stations to one yard; and wrong files.
use crate::{json, refuses, says};
use serde_json::Value as Json;
use std::fmt::Write as _;
use std::path::Path;

/// A yard on open water of a great lake; nobody lives there.
const MAP: &str = r#"{"type": "FeatureCollection", "name": "Buoy Green", "features": [
 {"type": "Feature", "id": "lawn", "properties": {"kind": "lawn", "name": "Lawn", "irrigated": true, "shade": "full-sun"},
  "geometry": {"type": "Polygon", "coordinates": [[[-87.0, 43.5], [-86.9996, 43.5], [-86.9996, 43.5002], [-87.0, 43.5002], [-87.0, 43.5]]]}}]}"#;

/// A number from −1 to 1 that belongs to a day, the same for all stations: their common weather.
fn chance(seed: u32) -> f64 {
    let mixed = seed.wrapping_mul(2_654_435_761).rotate_left(13).wrapping_mul(2_246_822_519);
    f64::from((mixed ^ (mixed >> 15)) % 2001) / 1000.0 - 1.0
}

struct Day {
    date: jiff::civil::Date,
    low: f64,
    high: f64,
    rain: f64,
}

/// Invented days in °C and mm, `warmer` by so much, with a little weather of the station's own.
fn days(from: &str, to: &str, warmer: f64, own: u32) -> Vec<Day> {
    let (mut date, last): (jiff::civil::Date, jiff::civil::Date) = (from.parse().unwrap(), to.parse().unwrap());
    let mut found = Vec::new();
    while date <= last {
        let number = u32::try_from(date.since((jiff::Unit::Day, jiff::civil::date(1950, 1, 1))).unwrap().get_days()).unwrap();
        let season = -(f64::from(date.day_of_year()) * std::f64::consts::TAU / 365.25 - 0.35).cos();
        // Three slow waves make warm and cold spells.
        let spell = 3.0 * chance(number / 5) + 2.0 * chance(number / 11 + 7000) + chance(number + 99_000);
        let (low, high) = (3.0 + 12.0 * season + spell + warmer, 13.0 + 13.0 * season + spell + warmer);
        let noise = 0.4 * chance(number.wrapping_mul(31).wrapping_add(own));
        let rain = if chance(number + 500_000) > 0.4 { (chance(number + 600_000) + 1.1) * 6.0 } else { 0.0 };
        found.push(Day { date, low: low + noise, high: high + noise, rain });
        date = date.tomorrow().unwrap();
    }
    found
}

fn daily_csv(days: &[Day]) -> String {
    let mut text = String::from("date,TMIN (degC),TMAX (degC),PRCP (mm)\n");
    for day in days {
        let _ = writeln!(text, "{},{:.1},{:.1},{:.1}", day.date, day.low, day.high, day.rain);
    }
    text
}

/// The hours of some days: lowest at 5, highest at 15, on the clock of the offset −06:00.
fn hourly_csv(days: &[Day]) -> String {
    let mut text = String::from("time,TEMP (degC),DEWPOINT (degC),RAIN (mm)\n");
    for day in days {
        for hour in 0..24 {
            let share =
                (f64::from(hour - 15) * std::f64::consts::PI / 10.0).clamp(-std::f64::consts::PI, std::f64::consts::PI).cos() / 2.0 + 0.5;
            let celsius = day.low + share * (day.high - day.low);
            let _ = writeln!(text, "{}T{hour:02}:00:00-06:00,{celsius:.1},{:.1},{:.2}", day.date, day.low - 1.0, day.rain / 24.0);
        }
    }
    text
}

/// A typical year of invented hours.
fn epw(latitude: f64) -> String {
    let mut text = format!(
        "LOCATION,Amber Falls,-,USA,invented,712345,{latitude},-87.0,-6.0,180.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,invented\nCOMMENTS 2,invented\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n"
    );
    for day in days("2001-01-01", "2001-12-31", 0.0, 1) {
        for hour in 1..=24 {
            let share =
                (f64::from(hour - 15) * std::f64::consts::PI / 10.0).clamp(-std::f64::consts::PI, std::f64::consts::PI).cos() / 2.0 + 0.5;
            let celsius = day.low + share * (day.high - day.low);
            let sun = if (7..=18).contains(&hour) { 400 } else { 0 };
            let year = if day.date.month() < 7 { 1994 } else { 2003 };
            let _ = writeln!(
                text,
                "{year},{},{},{hour},60,?,{celsius:.1},{:.1},70,98000,0,0,300,{sun},0,0,0,0,0,0,180,3.0,5,5,20,7777,9,999999999,20,0.1,0,88,0.2,0.0,1",
                day.date.month(),
                day.date.day(),
                day.low - 1.0
            );
        }
    }
    text
}

/// Readings at seven in the morning of a yard whose nights are so much colder.
fn gauge_csv(days: &[Day], colder: f64) -> String {
    let mut text = String::from("date,max (degF),min (degF),rain (in)\n");
    let fahrenheit = |celsius: f64| celsius * 1.8 + 32.0;
    for pair in days.windows(2) {
        // The maximum and the rain of the day before, the minimum of the morning.
        let (high, low) = (fahrenheit(pair[0].high), fahrenheit(pair[1].low - colder));
        let _ = writeln!(text, "{},{high:.1},{low:.1},{:.2}", pair[1].date, (pair[0].rain + 1.0) / 25.4);
    }
    text
}

/// An event of lore by the heat of the air alone.
const HEAT: &str = "crabgrass-air-virginia-50";

const ON: &str = "2015-06-15";

/// A page without its line breaks.
fn flat(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn run<'a>(words: &[&'a str]) -> Vec<&'a str> {
    ["--on", ON].into_iter().chain(words.iter().copied()).collect()
}

fn write(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).unwrap();
}

/// A book with one yard and its near station, twelve years of days.
fn book(folder: &Path) {
    write(folder, "near.csv", &daily_csv(&days("2003-01-01", "2015-06-14", 0.0, 1)));
    write(folder, "map.geojson", MAP);
    says(folder, &["book", "create", "--firm", "Buoy Grounds"]);
    says(folder, &run(&["weather", "add", "near", "near.csv", "--latitude", "43.55", "--longitude=-87.05", "--elevation", "180 m"]));
    says(folder, &run(&["yard", "import", "map.geojson", "--owner", "A. Tern", "--station", "near", "--time-zone", "America/Chicago"]));
}

fn event(folder: &Path, key: &str) -> Json {
    let all = json(folder, &run(&["season", "Buoy Green"]));
    let events = all["events"].as_array().unwrap();
    events.iter().find(|event| event["key"] == key).unwrap_or_else(|| panic!("{key}")).clone()
}

#[test]
fn hours_become_days_and_fill_what_the_daily_file_lacks() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book(folder);
    // A station of hours alone: its days are its record.
    let all = days("2013-01-01", "2015-06-14", 0.5, 3);
    write(folder, "hours.csv", &hourly_csv(&all));
    let add = ["weather", "add", "logger", "hours.csv", "--latitude", "43.6", "--longitude=-87.2", "--hour-ends", "--time-zone=-06:00"];
    let brought = json(folder, &run(&add));
    assert_eq!(brought["form"], "a table of hours");
    assert!(brought["chill"]["portions"].as_f64().unwrap() > 5.0, "{}", brought["chill"]);
    assert!(brought["neighbour_errors"].as_array().unwrap().iter().any(|error| error["root_mean_square"].as_f64().unwrap() < 1.5));
    let kept = json(folder, &run(&["weather", "show", "logger"]));
    assert_eq!(kept["years"][0], 2, "two whole years: {}", kept["years"]);
    // The near station lacks May 2015 in its daily file, and has its hours.
    let lacking: Vec<Day> =
        days("2003-01-01", "2015-06-14", 0.0, 1).into_iter().filter(|day| day.date.month() != 5 || day.date.year() != 2015).collect();
    write(folder, "near.csv", &daily_csv(&lacking));
    let brought = json(folder, &run(&["weather", "add", "near", "near.csv", "--latitude", "43.55", "--longitude=-87.05"]));
    let open =
        |brought: &Json| brought["filled"][0]["left_open"].as_u64().unwrap() + brought["filled"][0]["from_neighbours"].as_u64().unwrap();
    assert_eq!(open(&brought), 31, "{}", brought["filled"]);
    write(folder, "may.csv", &hourly_csv(&days("2015-05-01", "2015-05-31", 0.0, 1)));
    let brought = json(folder, &run(&["weather", "add", "near", "may.csv"]));
    assert_eq!(open(&brought), 0, "{}", brought["filled"]);
    assert!(brought["notes"][0].as_str().unwrap().contains("daily file"));
    // The book goes out and comes back the same.
    says(folder, &["book", "export", "open"]);
    says(folder, &["--book", "again.book", "book", "import", "open"]);
    let again = json(folder, &["--book", "again.book", "--on", ON, "weather", "show", "logger"]);
    assert_eq!(again, json(folder, &run(&["weather", "show", "logger"])));
}

#[test]
fn a_typical_year_tells_of_water_and_chill_and_gives_no_odds() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book(folder);
    write(folder, "amber.epw", &epw(43.4));
    let before = json(folder, &run(&["season", "Buoy Green"]));
    let said = says(folder, &run(&["weather", "add", "amber.epw"]));
    assert!(said.contains("is no record") && said.contains("no odds"), "{said}");
    let kept = json(folder, &run(&["weather", "show", "712345"]));
    let typical = &kept["typical"];
    assert_eq!((typical["months"].as_array().unwrap().len(), typical["days"].as_u64().unwrap()), (12, 365));
    assert_eq!((&typical["months"][0]["from_year"], &typical["months"][11]["from_year"]), (&Json::from(1994), &Json::from(2003)));
    let july = typical["months"][6]["et0_mm"].as_f64().unwrap();
    assert!((3.0..7.0).contains(&july), "water of a July day: {july} mm");
    assert!(kept["years"].is_null(), "a typical year has no years of record");
    // The yard's odds are as before: the typical year is within reach and does not count.
    assert_eq!(json(folder, &run(&["season", "Buoy Green"])), before);
    let refused = refuses(folder, &run(&["season", "--weather", "amber.epw", "--latitude", "43", "--longitude=-87"]));
    assert!(refused.contains("no record") && refused.contains("weather add"), "{refused}");
    let moved = MAP.replace("Buoy Green", "Pier Lawn");
    write(folder, "pier.geojson", &moved);
    let page = says(folder, &run(&["yard", "import", "pier.geojson", "--owner", "B. Tern", "--station", "712345"]));
    assert!(flat(&page).contains("typical year is no record"), "{page}");
    let refused = refuses(folder, &run(&["season", "Pier Lawn"]));
    assert!(refused.contains("typical year is no record"), "{refused}");
}

#[test]
fn stations_within_reach_are_weighed_by_distance_and_height_and_shown() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book(folder);
    let alone = json(folder, &run(&["yard", "show", "Buoy Green"]));
    assert_eq!(alone["weather"]["stations"].as_array().unwrap().len(), 1);
    // A warmer station farther off, one beyond reach, and one as near but 900 m higher.
    for (key, latitude, warmer, height) in
        [("warm", "43.8", 4.0, "180 m"), ("far", "45.5", 9.0, "180 m"), ("high", "43.51", -6.0, "1080 m")]
    {
        write(folder, "s.csv", &daily_csv(&days("2003-01-01", "2015-06-14", warmer, 11)));
        says(folder, &run(&["weather", "add", key, "s.csv", "--latitude", latitude, "--longitude=-87.0", "--elevation", height]));
    }
    let weighed = json(folder, &run(&["yard", "show", "Buoy Green"]));
    let keys = |yard: &Json| {
        yard["weather"]["stations"].as_array().unwrap().iter().map(|s| s["id"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert!(!keys(&weighed).contains(&"far".to_owned()), "{weighed}");
    assert!(keys(&weighed).contains(&"high".to_owned()), "without the yard's height the high station counts by distance alone");
    let before = event(folder, HEAT);
    says(folder, &run(&["yard", "import", "map.geojson", "--elevation", "180 m"]));
    let weighed = json(folder, &run(&["yard", "show", "Buoy Green"]));
    assert_eq!(keys(&weighed), ["near", "warm"], "900 m of height take the high station out");
    let stations = weighed["weather"]["stations"].as_array().unwrap();
    let sum: f64 = stations.iter().map(|s| s["weight"].as_f64().unwrap()).sum();
    assert!((sum - 1.0).abs() < 1e-9);
    let near = &stations[0];
    assert!((near["distance_km"].as_f64().unwrap() - 6.87).abs() < 0.1 && near["rise_m"].as_f64().unwrap().abs() < 1e-9, "{near}");
    // exp(−½(33.4/40)²) against exp(−½(6.9/40)²).
    assert!((stations[1]["weight"].as_f64().unwrap() - 0.417).abs() < 0.01, "{}", stations[1]);
    let page = says(folder, &run(&["yard", "show", "Buoy Green"]));
    assert!(page.contains("near (58 %, 4.3 mi") && page.contains("warm (42 %, 20.7 mi"), "{page}");
    let season = says(folder, &run(&["season", "Buoy Green"]));
    assert!(season.contains("Weather from near (58 %"), "{season}");
    let after = event(folder, HEAT);
    let day = |event: &Json| event["p50"].as_str().unwrap().to_owned();
    assert!(day(&after) < day(&before), "the mixture is warmer than with the high station: {} {}", after["p50"], before["p50"]);
}

#[test]
fn neighbours_that_disagree_are_flagged_and_nothing_is_changed() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book(folder);
    let mut wrong = days("2003-01-01", "2015-06-14", 0.3, 5);
    let at = wrong.iter().position(|day| day.date == jiff::civil::date(2010, 4, 10)).unwrap();
    wrong[at].high += 9.5;
    let gap = wrong.iter().position(|day| day.date == jiff::civil::date(2011, 7, 1)).unwrap();
    wrong.drain(gap..gap + 8);
    write(folder, "other.csv", &daily_csv(&wrong));
    let brought = json(folder, &run(&["weather", "add", "other", "other.csv", "--latitude", "43.7", "--longitude=-87.1"]));
    let flags: Vec<&Json> = brought["flags"].as_array().unwrap().iter().filter(|flag| flag["reason"] == "neighbours").collect();
    assert!(flags.iter().any(|flag| flag["date"] == "2010-04-10"), "{:?}", brought["flags"]);
    assert_eq!(brought["filled"][1]["from_neighbours"], 8, "{}", brought["filled"]);
    let told: Vec<f64> = brought["neighbour_errors"].as_array().unwrap().iter().map(|e| e["root_mean_square"].as_f64().unwrap()).collect();
    let normal: Vec<f64> =
        brought["neighbour_errors"].as_array().unwrap().iter().map(|e| e["climatology_root_mean_square"].as_f64().unwrap()).collect();
    assert!(told[0] < normal[0] && told[1] < normal[1], "neighbours fill better than the normal: {told:?} {normal:?}");
    let said = says(folder, &run(&["weather", "show", "other"]));
    let said = flat(&said);
    assert!(said.contains("look at the original") && said.contains("How far filling goes wrong here"), "{said}");
}

#[test]
fn a_cold_hollow_is_learned_from_its_own_thermometer_and_not_counted_twice() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book(folder);
    let (key, k) = (HEAT, "crabgrass-air-michigan-50");
    let bare = event(folder, key);
    // A sighting before any reading moves its own clock.
    let first = event(folder, k);
    let clock_says: jiff::civil::Date = first["p50"].as_str().unwrap().parse().unwrap();
    let seen = clock_says.checked_add(jiff::ToSpan::days(8)).unwrap().min(ON.parse().unwrap());
    says(folder, &run(&["seen", "Buoy Green", k, "--date", &seen.to_string()]));
    let before = event(folder, k);
    assert!(before["p50"].as_str() < first["p50"].as_str(), "seen before the clock said: {} {}", before["p50"], first["p50"]);
    // Three readings are too few to go by.
    let here = days("2015-04-01", "2015-06-14", 0.0, 1);
    write(folder, "few.csv", &gauge_csv(&here[70..74], 3.0));
    let few = json(folder, &run(&["weather", "add", "--yard", "Buoy Green", "--read-at", "7", "few.csv"]));
    assert_eq!((&few["own"]["minimum_used"], &few["own"]["minimum"]["days"]), (&Json::from(false), &Json::from(3)), "{}", few["own"]);
    assert_eq!(event(folder, key)["p50"], bare["p50"], "a shift that is hardly known moves nothing");
    write(folder, "spring.csv", &gauge_csv(&here[..70], 3.0));
    let brought = json(folder, &run(&["weather", "add", "--yard", "Buoy Green", "--read-at", "7", "spring.csv"]));
    let own = &brought["own"];
    assert_eq!((&own["minimum_used"], &own["maximum_used"]), (&Json::from(true), &Json::from(true)));
    let (low, high) = (own["minimum"]["mean_k"].as_f64().unwrap(), own["maximum"]["mean_k"].as_f64().unwrap());
    assert!((low + 3.0).abs() < 0.3 && high.abs() < 0.3, "nights 3 K colder, days alike: {own}");
    let cold = event(folder, key);
    assert!(cold["p50"].as_str() > bare["p50"].as_str(), "a cold hollow is later: {} {}", cold["p50"], bare["p50"]);
    let page = says(folder, &run(&["yard", "show", "Buoy Green"]));
    assert!(page.contains("colder than the stations say") && page.contains("own gauge"), "{page}");
    // What the thermometer explains is no longer laid on the clock: the event stays about where it was seen.
    let days = |value: &Json| {
        let day: jiff::civil::Date = value["p50"].as_str().unwrap().parse().unwrap();
        seen.since((jiff::Unit::Day, day)).unwrap().get_days()
    };
    let now = event(folder, k);
    assert!(days(&now).abs() <= days(&before).abs() + 1, "seen {seen}; before {} now {}", before["p50"], now["p50"]);
    says(folder, &["book", "export", "open"]);
    says(folder, &["--book", "again.book", "book", "import", "open"]);
    assert_eq!(
        json(folder, &["--book", "again.book", "--on", ON, "yard", "show", "Buoy Green"])["weather"],
        json(folder, &run(&["yard", "show", "Buoy Green"]))["weather"]
    );
}

#[test]
fn wrong_files_are_refused_with_place_value_and_remedy_and_the_book_stays() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book(folder);
    let before = json(folder, &run(&["weather", "show", "near"]));
    let hours = "time,TEMP (degF)\n2015-06-01 06:00,61\n";
    let gauge = "date,max (degF),min (degF),rain (in)\n2015-06-01,80,60,0\n";
    let station = "STATION,DATE,TMAX (degF)\nA1,2015-06-01,80\n";
    let cases: &[(&str, &str, &[&str], &[&str])] = &[
        ("no zone", hours, &["logger"], &["line 2", "say which zone", "America/Chicago"]),
        ("unknown zone", hours, &["logger", "--time-zone", "Middle/Earth"], &["Middle/Earth", "America/Chicago"]),
        (
            "the clock jumped",
            "time,TEMP (degF)\n2015-03-08 02:30,40\n",
            &["logger", "--time-zone", "America/Chicago"],
            &["line 2", "02:30", "fixed offset"],
        ),
        (
            "hours to come",
            "time,TEMP (degF)\n2015-06-17 06:00,61\n",
            &["logger", "--time-zone", "America/Chicago"],
            &["line 2", "2015-06-17", "forecasts"],
        ),
        ("two hours only", hours, &["logger", "--time-zone", "America/Chicago"], &["no value", "missing hours"]),
        (
            "29 February 2015",
            "time,TEMP (degF)\n2015-02-29 06:00,61\n",
            &["logger", "--time-zone", "America/Chicago"],
            &["line 2", "2015-02-29"],
        ),
        (
            "two stations of hours",
            "station,time,TEMP (degF)\nA,2015-06-01T06:00Z,61\nB,2015-06-01T07:00Z,61\n",
            &["logger"],
            &["line 3", "`B`", "file of its own"],
        ),
        ("hand readings for a station", gauge, &["near"], &["belong to a yard", "--yard"]),
        ("a cut typical year", "LOCATION,Amber Falls,-,USA\n", &["near"], &["line 1", "LOCATION"]),
        ("a typical year off the globe", "LOCATION,A,-,USA,s,1,98,-87,-6,180\n", &["near"], &["latitude", "98"]),
        ("no station named", "date,TMAX (degF)\n2015-06-01,80\n", &[], &["names no station", "KEY FILE"]),
        ("no day", "", &["near"], &["empty"]),
    ];
    for (what, text, rest, wanted) in cases {
        write(folder, "wrong.csv", text);
        let mut words = vec!["weather", "add"];
        words.extend(rest.iter().take(1));
        words.push("wrong.csv");
        words.extend(rest.iter().skip(1));
        let said = refuses(folder, &run(&words));
        assert!(wanted.iter().all(|word| said.contains(word)), "{what}: {said}");
    }
    let by_hand: &[(&str, &str, &[&str], &[&str])] = &[
        ("no hour", gauge, &[], &["hour", "--read-at 7"]),
        ("hour 24", gauge, &["--read-at", "24"], &["24", "0 to 23"]),
        ("hour -1", gauge, &["--read-at", "-1"], &["-1", "0 to 23"]),
        ("midday", gauge, &["--read-at", "13"], &["either day", "--maximum-day"]),
        ("an unknown day", gauge, &["--read-at", "7", "--rain-day", "monday"], &["monday", "same-day"]),
        ("hours in the gauge", hours, &["--read-at", "7"], &["no table of hand readings", "--yard"]),
        ("a day to come", "date,rain (in)\n2015-06-16,0.1\n", &["--read-at", "7"], &["line 2", "2015-06-16", "2015-06-15"]),
        ("a wrong unit", "date,rain (degF)\n2015-06-01,1\n", &["--read-at", "7"], &["line 1", "degF"]),
        ("too hot", "date,max (degC)\n2015-06-01,83\n", &["--read-at", "7"], &["line 2", "83"]),
    ];
    write(folder, "good.csv", gauge);
    for (what, text, rest, wanted) in by_hand {
        write(folder, "wrong.csv", text);
        let mut words = vec!["weather", "add", "--yard", "Buoy Green", "wrong.csv"];
        words.extend(rest.iter());
        let said = refuses(folder, &run(&words));
        assert!(wanted.iter().all(|word| said.contains(word)), "{what}: {said}");
    }
    let nowhere = refuses(folder, &run(&["weather", "add", "--yard", "Atlantis", "--read-at", "7", "good.csv"]));
    assert!(nowhere.contains("Atlantis"), "{nowhere}");
    // Another station's file under a key that holds one.
    write(folder, "a.csv", station);
    write(folder, "b.csv", &station.replace("A1", "B2"));
    says(folder, &run(&["weather", "add", "town", "a.csv"]));
    let other = refuses(folder, &run(&["weather", "add", "town", "b.csv"]));
    assert!(other.contains("B2") && other.contains("A1") && other.contains("--other-station"), "{other}");
    says(folder, &run(&["weather", "add", "town", "b.csv", "--other-station"]));
    assert_eq!(json(folder, &run(&["weather", "show", "near"])), before, "nothing good was lost");
}

#[test]
fn a_decade_that_is_missing_gives_no_years_and_mixed_units_are_read_each_in_its_own() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book(folder);
    let holed: Vec<Day> =
        days("1990-01-01", "2015-06-14", 0.0, 1).into_iter().filter(|day| !(1995..2005).contains(&day.date.year())).collect();
    write(folder, "holed.csv", &daily_csv(&holed));
    let brought = json(folder, &run(&["weather", "add", "holed", "holed.csv", "--latitude=-43.55", "--longitude=-87.05"]));
    let left_out: Vec<i64> = brought["years"][1].as_array().unwrap().iter().map(|year| year.as_i64().unwrap()).collect();
    assert_eq!((left_out.first(), left_out.last(), brought["years"][0].as_u64()), (Some(&1994), Some(&2004), Some(14)), "{brought}");
    let alone =
        json(folder, &run(&["season", "--weather", "holed.csv", "--latitude", "43.5", "--longitude=-87", "--event", "first-frost-32f"]));
    assert!(alone["future"].as_str().is_some(), "{alone}");
    let mixed = "date,max (degF),min (degC),rain (mm)\n2015-06-01,86,10,5\n2015-06-02,77,12,0\n";
    write(folder, "mixed.csv", mixed);
    let brought = json(folder, &run(&["weather", "add", "--yard", "Buoy Green", "--read-at", "18", "mixed.csv"]));
    assert!(brought["remarks"].as_array().unwrap().iter().any(|remark| remark["kind"] == "mixed-units"), "{brought}");
}

#[test]
fn an_hourly_file_inside_the_polar_circle_and_across_clock_changes_gives_whole_days() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    says(folder, &["book", "create", "--firm", "Polar Grounds"]);
    // The clock of the zone goes back on 1 November 2015: the day has 25 hours; and 2016 has a 29 February.
    let mut text = String::from("date,time,TEMP (degC),RAIN (mm)\n");
    let zone = jiff::tz::TimeZone::get("America/Anchorage").unwrap();
    let mut hour: jiff::Timestamp = "2015-10-31T08:00:00Z".parse().unwrap();
    let end: jiff::Timestamp = "2016-03-20T08:00:00Z".parse().unwrap();
    while hour < end {
        let local = zone.to_datetime(hour);
        let _ = writeln!(text, "{},{:02}:00,{:.1},0.1", local.date(), local.hour(), -20.0 + f64::from(local.hour()) / 4.0);
        hour = hour.checked_add(jiff::ToSpan::hours(1)).unwrap();
    }
    write(folder, "polar.csv", &text);
    let words = [
        "--on",
        "2016-04-01",
        "weather",
        "add",
        "polar",
        "polar.csv",
        "--latitude",
        "71.3",
        "--longitude=-156.8",
        "--time-zone",
        "America/Anchorage",
    ];
    let brought = json(folder, &words);
    let remarks: Vec<&str> = brought["remarks"].as_array().unwrap().iter().map(|remark| remark["text"].as_str().unwrap()).collect();
    assert!(remarks.iter().any(|text| text.contains("2015-11-01 has 25 hours")), "{remarks:?}");
    assert!(remarks.iter().any(|text| text.contains("2016-03-13 has 23 hours")), "{remarks:?}");
    assert_eq!(brought["filled"][0]["left_open"], 0, "{}", brought["filled"]);
    assert!(brought["notes"].as_array().unwrap().iter().any(|note| note.as_str().unwrap().contains("no odds can be made")));
    // A typical year south of the equator has its chill in its own winter.
    write(folder, "south.epw", &epw(-43.4));
    let typical = json(folder, &["weather", "add", "south.epw"])["typical"].take();
    assert!(typical["chill_portions"].as_f64().unwrap() > 0.0);
    write(folder, "pole.epw", &epw(78.0));
    let typical = json(folder, &["weather", "add", "pole", "pole.epw"])["typical"].take();
    assert!(typical["et0_year_mm"].as_f64().unwrap().is_finite(), "{typical}");
}

#[test]
fn files_cut_at_any_byte_are_refused_or_read_and_never_break() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    book(folder);
    let hours = hourly_csv(&days("2015-06-01", "2015-06-02", 0.0, 1));
    let gauge = gauge_csv(&days("2015-06-01", "2015-06-06", 0.0, 1), 1.0);
    let year: String = epw(43.0).lines().take(34).fold(String::new(), |text, line| text + line + "\n");
    for (name, text, rest) in [
        ("h.csv", &hours, vec!["logger"]),
        ("g.csv", &gauge, vec!["--yard", "Buoy Green", "--read-at", "7"]),
        ("y.epw", &year, vec!["typical"]),
    ] {
        // Every byte is tried in the crate's own tests; here some fifteen of each through the binary.
        for cut in (0..text.len()).step_by(text.len() / 15 + 1) {
            write(folder, name, &text[..cut]);
            let mut words = vec!["weather", "add"];
            words.extend(rest.iter().copied());
            words.push(name);
            let output = crate::groundlore(folder).args(run(&words)).output().unwrap();
            let said = String::from_utf8_lossy(&output.stderr);
            assert!(output.status.success() || said.contains(name), "{name} cut at {cut}: {said}");
            assert!(!said.contains("panicked"), "{name} cut at {cut}: {said}");
        }
    }
}
