//! The public hourly forecast, fetched through the binary from a server on this machine: into the book, into the odds, with its age.

use crate::elsewhere::{MAP as SOUTHERN_MAP, weather as southern_weather};
use crate::{groundlore, json, refuses, says};
use jiff::civil::DateTime;
use jiff::{SignedDuration, Timestamp, ToSpan as _};
use serde_json::{Value, json as value};
use std::io::{BufRead as _, BufReader, Write as _};
use std::net::TcpListener;
use std::path::Path;
use std::sync::{Arc, Mutex};

/// What the server does with a request.
#[derive(Clone)]
enum Answer {
    /// Gives these bytes under a tag; whoever names the tag hears that nothing has changed.
    File(Vec<u8>),
    /// Says that it holds so many bytes and breaks off in the middle.
    BrokenOff(Vec<u8>),
    /// Is in trouble.
    Trouble,
    /// Hangs up without a word.
    Gone,
}

/// A server on this machine whose answers can be changed; it tells what it was asked.
struct Server {
    base: String,
    answer: Arc<Mutex<Vec<(String, Answer)>>>,
    asked: Arc<Mutex<Vec<String>>>,
}

impl Server {
    fn start() -> Server {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let server = Server { base: format!("http://{}", listener.local_addr().unwrap()), answer: Arc::default(), asked: Arc::default() };
        let (answer, asked) = (Arc::clone(&server.answer), Arc::clone(&server.asked));
        std::thread::spawn(move || {
            for caller in listener.incoming() {
                let mut caller = caller.unwrap();
                let mut reader = BufReader::new(caller.try_clone().unwrap());
                let mut request = String::new();
                while reader.read_line(&mut request).unwrap_or(0) > 2 {}
                let path = request.split(' ').nth(1).unwrap_or_default().to_owned();
                asked.lock().unwrap().push(request.clone());
                let chosen = answer.lock().unwrap().iter().rev().find(|(start, _)| path.starts_with(start.as_str())).cloned();
                let bytes = match chosen.map_or(Answer::Gone, |(_, answer)| answer) {
                    Answer::File(body) => {
                        let sum: u64 = body.iter().map(|byte| u64::from(*byte)).sum();
                        let tag = format!("\"{}-{sum}\"", body.len());
                        if request.contains(&tag) {
                            format!("HTTP/1.1 304 Not Modified\r\nETag: {tag}\r\nConnection: close\r\n\r\n").into_bytes()
                        } else {
                            head(body.len(), &tag, &body)
                        }
                    }
                    Answer::BrokenOff(body) => head(body.len(), "\"broken\"", &body[..body.len() / 2]),
                    Answer::Trouble => b"HTTP/1.1 503 Service Unavailable\r\nContent-Length: 0\r\nConnection: close\r\n\r\n".to_vec(),
                    Answer::Gone => Vec::new(),
                };
                let _ = caller.write_all(&bytes);
            }
        });
        server
    }

    fn gives(&self, start: &str, answer: Answer) {
        self.answer.lock().unwrap().push((start.to_owned(), answer));
    }

    fn forecasts(&self, text: &Value) {
        self.gives("/hourly/", Answer::File(text.to_string().into_bytes()));
    }

    fn asked(&self) -> Vec<String> {
        std::mem::take(&mut *self.asked.lock().unwrap())
    }

    fn settings(&self, folder: &Path) {
        let base = &self.base;
        let text = format!(
            "daily = \"{base}/daily/{{station}}.csv\"\nforecast = \"{base}/hourly/{{latitude}},{{longitude}}\"\n\
             tries = 2\ntimeout = \"5s\"\nfirst_wait = \"10ms\"\n"
        );
        std::fs::write(folder.join("fetch.toml"), text).unwrap();
    }
}

fn head(length: usize, tag: &str, body: &[u8]) -> Vec<u8> {
    let mut bytes = format!("HTTP/1.1 200 OK\r\nContent-Length: {length}\r\nETag: {tag}\r\nConnection: close\r\n\r\n").into_bytes();
    bytes.extend_from_slice(body);
    bytes
}

/// Hours from a moment by a clock so many hours from UTC, coldest at 3 and warmest at 15 o'clock, made at their beginning.
fn hours(from: &str, count: i64, offset_h: i64, low_c: f64, high_c: f64) -> Value {
    let from: DateTime = from.parse().unwrap();
    let first: Timestamp = jiff::tz::Offset::UTC.to_timestamp(from).unwrap() - SignedDuration::from_hours(offset_h);
    let sign = if offset_h < 0 { '-' } else { '+' };
    let offset = format!("{sign}{:02}:00", offset_h.abs());
    let periods: Vec<Value> = (0..count)
        .map(|index| {
            let (at, end) = (from.checked_add(index.hours()).unwrap(), from.checked_add((index + 1).hours()).unwrap());
            let cold = (1.0 - (f64::from(at.hour() - 15) / 12.0 * std::f64::consts::PI).cos()) / 2.0;
            value!({
                "startTime": format!("{at}{offset}"), "endTime": format!("{end}{offset}"),
                "temperature": high_c - (high_c - low_c) * cold, "temperatureUnit": "C",
                "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 10},
                "windSpeed": "5 to 10 mph", "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 60},
            })
        })
        .collect();
    value!({"type": "Feature", "properties": {"updateTime": first.to_string(), "periods": periods}})
}

/// A small invented lawn near the built-in station.
const MAP: &str = r#"{"type": "FeatureCollection", "name": "Plover Row", "features": [
 {"type": "Feature", "id": "lawn", "properties": {"kind": "lawn", "name": "Lawn", "shade": "full-sun"},
  "geometry": {"type": "Polygon", "coordinates": [[[-88.0, 43.0], [-87.9998, 43.0], [-87.9998, 43.0001], [-88.0, 43.0001], [-88.0, 43.0]]]}}]}"#;

/// A firm with one yard at the built-in station.
fn set_up(folder: &Path, server: &Server) {
    std::fs::write(folder.join("map.geojson"), MAP).unwrap();
    says(folder, &["book", "create", "--firm", "Quillet & Moss, Grounds"]);
    says(folder, &["--on", "2015-05-10", "yard", "import", "map.geojson", "--station", "USW00014839"]);
    server.settings(folder);
}

const GET: [&str; 8] = ["--on", "2015-05-10", "weather", "get", "USW00014839", "--settings", "fetch.toml", "--forecast-only"];

fn with<'a>(words: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    words.iter().chain(more).copied().collect()
}

fn season(folder: &Path, on: &str) -> Value {
    json(folder, &["--on", on, "season", "Plover Row"])
}

/// Middle day of each event, by key.
fn middles(season: &Value) -> std::collections::BTreeMap<String, String> {
    let events = season["events"].as_array().unwrap().iter();
    events.filter_map(|event| Some((event["key"].as_str()?.to_owned(), event["p50"].as_str()?.to_owned()))).collect()
}

#[test]
fn a_hot_week_that_is_fetched_brings_the_season_forward_and_every_sheet_says_so() {
    let (server, folder) = (Server::start(), tempfile::tempdir().unwrap());
    let folder = folder.path();
    set_up(folder, &server);
    let before = season(folder, "2015-05-10");
    assert_eq!(before["future"], "detrended");
    assert!(before["season"]["forecast"].is_null() && before["season"]["forecast_not_used"].is_null());
    server.forecasts(&hours("2015-05-10T00:00:00", 24 * 7 + 6, -5, 18.0, 32.0));
    let said = says(folder, &GET);
    assert!(said.contains("forecast for station USW00014839: 174 hours from 10 May 00:00 to 17 May 05:00"), "{said}");
    assert!(said.contains("fetched just now") && said.contains("the odds use its days 10 May to 16 May"), "{said}");
    assert!(server.asked()[0].starts_with("GET /hourly/42.955,-87.9044 "));
    // The same for a machine.
    let told = json(folder, &GET);
    let forecast = &told["forecasts"][0];
    assert_eq!((&forecast["whose"], &forecast["hours"]), (&value!("station USW00014839"), &value!(174)), "{told}");
    assert_eq!((&forecast["first_hour"], &forecast["old_copy"]), (&value!("2015-05-10T00:00:00"), &value!(false)), "{told}");
    assert!(told["daily"].is_null() && told["errors"].as_array().unwrap().is_empty() && told["no_forecast"].is_null(), "{told}");

    let after = season(folder, "2015-05-10");
    assert_eq!(after["future"], "forecast-then-detrended");
    let words = after["future_words"].as_str().unwrap();
    assert!(words.starts_with("forecast to 16 May (as of 10 May 00:00, today), then ") && words.contains(" past years"), "{words}");
    assert_eq!(after["season"]["forecast"]["to"], "2015-05-16");
    let (old, new) = (middles(&before), middles(&after));
    let coming: Vec<(&String, &String)> =
        old.iter().filter(|(_, day)| day.as_str() > "2015-05-12" && day.as_str() < "2015-06-20").collect();
    let earlier = coming.iter().filter(|(key, day)| new.get(*key).is_some_and(|new| new < *day)).count();
    let later = coming.iter().filter(|(key, day)| new.get(*key).is_none_or(|new| new > *day)).count();
    assert!(
        coming.len() > 10 && earlier * 2 > coming.len() && later * 10 < coming.len(),
        "{earlier} earlier, {later} later of {}",
        coming.len()
    );
    let page = says(folder, &["--on", "2015-05-10", "season", "Plover Row"]);
    assert!(page.replace('\n', " ").contains("forecast to 16 May"), "{page}");
    for words in [vec!["week"], vec!["season"], vec!["yard", "show", "Plover Row"]] {
        let said = says(folder, &with(&["--on", "2015-05-10"], &words)).replace('\n', " ");
        assert!(said.contains("forecast to 16 May"), "{words:?}: {said}");
    }
    // The scenario still moves it, and the same question has the same answer.
    let cool = json(folder, &["--on", "2015-05-10", "season", "Plover Row", "--warmer-by", "-3 degF"]);
    assert!(cool.as_array().unwrap().iter().any(|row| row["p50_if"].as_str() > row["p50"].as_str()), "{cool}");
    assert_eq!(season(folder, "2015-05-10"), after);
}

#[test]
fn an_unchanged_forecast_is_not_sent_again_and_an_old_one_is_said_to_be_old() {
    let (server, folder) = (Server::start(), tempfile::tempdir().unwrap());
    let folder = folder.path();
    set_up(folder, &server);
    assert!(refuses(folder, &with(&GET, &["--offline"])).contains("none has been fetched yet"));
    assert!(server.asked().is_empty(), "offline asks nobody");
    server.forecasts(&hours("2015-05-10T00:00:00", 24 * 7, -5, 10.0, 22.0));
    says(folder, &GET);
    let again = says(folder, &GET);
    assert!(again.contains("unchanged; the server was asked just now"), "{again}");
    assert!(server.asked()[1].to_lowercase().contains("if-none-match"));
    server.gives("/hourly/", Answer::Trouble);
    let said = says(folder, &GET);
    assert!(said.contains("OLD COPY, as fetched just now; the server") && said.contains("503"), "{said}");
    assert_eq!(server.asked().len(), 2, "a server in trouble is asked as often as the settings say");
    server.gives("/hourly/", Answer::Gone);
    assert!(says(folder, &GET).contains("OLD COPY"));
    assert!(says(folder, &with(&GET, &["--offline"])).contains("the server was not asked"));
    // Days later what is left of it is used, wider; when it is over it is not, and the page says so.
    let later = season(folder, "2015-05-14");
    assert_eq!(later["season"]["forecast"]["age_days"], 4);
    assert_eq!(later["season"]["forecast"]["from"], "2015-05-14");
    let over = season(folder, "2015-05-17");
    assert_eq!(over["future"], "detrended");
    assert!(over["season"]["forecast_not_used"].as_str().unwrap().contains("ended on 16 May and is not used"));
    let page = says(folder, &["--on", "2015-05-17", "season", "Plover Row"]).replace('\n', " ");
    assert!(page.contains("No forecast is in these odds"), "{page}");
    let stale = says(folder, &["--on", "2015-05-17", "weather", "get", "USW00014839", "--settings", "fetch.toml", "--forecast-only"]);
    assert!(stale.contains("ended on 16 May and is not used"), "{stale}");
    // A day before it was made is not answered with it.
    assert!(season(folder, "2015-05-09")["season"]["forecast_not_used"].as_str().unwrap().contains("issued on 10 May"));
}

#[test]
fn what_cannot_be_read_never_takes_the_place_of_what_could() {
    let (server, folder) = (Server::start(), tempfile::tempdir().unwrap());
    let folder = folder.path();
    set_up(folder, &server);
    let good = hours("2015-05-10T00:00:00", 24 * 7, -5, 10.0, 22.0);
    let text = good.to_string();
    let wrong_unit = text.replacen("\"temperatureUnit\":\"C\"", "\"temperatureUnit\":\"K\"", 1);
    let first: Vec<(Answer, &str)> = vec![
        (Answer::BrokenOff(text.clone().into_bytes()), "forecast for station USW00014839"),
        (Answer::File(text.as_bytes()[..text.len() / 2].to_vec()), "not JSON"),
        (Answer::File(b"{\"type\": \"Feature\", \"properties\": {}}".to_vec()), "periods"),
        (Answer::File(b"<!doctype html><p>Sign in".to_vec()), "not JSON"),
        (Answer::File(wrong_unit.into_bytes()), "period 1, temperatureUnit"),
    ];
    for (answer, part) in &first {
        server.gives("/hourly/", answer.clone());
        let said = refuses(folder, &GET);
        assert!(said.contains(part), "{part}: {said}");
    }
    assert_eq!(season(folder, "2015-05-10")["future"], "detrended", "nothing of it came into the book");
    server.forecasts(&good);
    says(folder, &GET);
    for (answer, _) in first {
        server.gives("/hourly/", answer);
        let said = says(folder, &GET);
        assert!(said.contains("OLD COPY") && said.contains("the odds use its days 10 May to 16 May"), "{said}");
    }
    // A day that is missing in the middle ends its use, in so many words.
    let mut gap = good.clone();
    gap["properties"]["updateTime"] = value!("2015-05-10T06:00:00Z");
    gap["properties"]["periods"].as_array_mut().unwrap().retain(|period| !period["startTime"].as_str().unwrap().starts_with("2015-05-13"));
    server.forecasts(&gap);
    let said = says(folder, &GET);
    assert!(said.contains("days 10 May to 12 May; it lacks 13 May, and nothing after that is used"), "{said}");
    // An older forecast than the one in the book does not take its place.
    server.forecasts(&hours("2015-05-09T00:00:00", 24 * 7, -5, 11.0, 21.0));
    let said = says(folder, &GET);
    assert!(said.contains("already holds a newer one"), "{said}");
}

#[test]
fn the_daily_file_and_the_forecast_come_together_and_neither_waits_for_the_other() {
    let (server, folder) = (Server::start(), tempfile::tempdir().unwrap());
    let folder = folder.path();
    std::fs::write(folder.join("map.geojson"), SOUTHERN_MAP).unwrap();
    says(folder, &["book", "create", "--firm", "Quillet & Moss, Grounds"]);
    server.settings(folder);
    // The record up to the day before.
    let record: String = southern_weather()
        .lines()
        .filter(|line| !line.starts_with("2021-11-2") && !line.starts_with("2021-11-30"))
        .filter(|line| !line.starts_with("2021-12"))
        .fold(String::new(), |text, line| text + line + "\n");
    server.gives("/daily/", Answer::File(record.into_bytes()));
    server.forecasts(&hours("2021-11-20T00:00:00", 24 * 7, 11, 14.0, 31.0));
    let get = ["--on", "2021-11-20", "weather", "get", "south-1", "--settings", "fetch.toml"];
    // The file says no place, and without one there is no forecast.
    let said = refuses(folder, &get);
    assert!(said.contains("station south-1 has no place") && said.contains("--latitude"), "{said}");
    // Without an address for it there is none either, and that is said.
    std::fs::write(folder.join("bare.toml"), format!("daily = \"{}/daily/{{station}}.csv\"\n", server.base)).unwrap();
    let bare = ["--on", "2021-11-20", "weather", "get", "south-1", "--settings", "bare.toml", "--latitude", "-45", "--longitude", "148"];
    assert!(says(folder, &bare).contains("no forecast was asked for"));
    let told = json(folder, &bare);
    assert_eq!((&told["daily"]["station"], &told["daily"]["last_day"]), (&value!("south-1"), &value!("2021-11-19")), "{told}");
    assert!(told["no_forecast"].as_str().unwrap().contains("--settings"), "{told}");
    assert!(refuses(folder, &with(&bare, &["--forecast-only"])).contains("no address for forecasts is set"));
    says(folder, &["--on", "2021-11-20", "yard", "import", "map.geojson", "--owner", "A. Tern", "--station", "south-1"]);
    let before = json(folder, &["--on", "2021-11-20", "season", "Gannet Rise"]);
    let placed = with(&get, &["--yards"]);
    server.asked();
    let said = says(folder, &placed);
    assert!(said.contains("1991-01-01 to 2021-11-19"), "{said}");
    assert!(said.contains("forecast for station south-1") && said.contains("forecast for Gannet Rise"), "{said}");
    let asked: Vec<String> = server.asked().iter().filter_map(|request| request.split(' ').nth(1).map(str::to_owned)).collect();
    assert_eq!(asked, ["/daily/south-1.csv", "/hourly/-45,148"], "a yard beside its station shares its forecast");
    let after = json(folder, &["--on", "2021-11-20", "season", "Gannet Rise"]);
    assert_eq!((&before["future"], &after["future"]), (&value!("detrended"), &value!("forecast-then-detrended")));
    assert_eq!(after["season"]["forecast"]["to"], "2021-11-26");
    // Of the two, what fails does not keep the other back.
    server.gives("/daily/", Answer::File(b"<!doctype html><p>Sign in".to_vec()));
    server.forecasts(&hours("2021-11-20T06:00:00", 24 * 8, 11, 14.0, 31.0));
    let output = groundlore(folder).args(&placed).output().unwrap();
    let (said, noted) = (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap());
    assert!(said.contains("days 20 Nov to 27 Nov") && said.contains("as fetched"), "{said}{noted}");
    // The book goes out and comes back with it.
    says(folder, &["book", "export", "out"]);
    says(folder, &["--book", "again.book", "book", "import", "out"]);
    let again = json(folder, &["--book", "again.book", "--on", "2021-11-20", "season", "Gannet Rise"]);
    assert_eq!(again["season"]["forecast"]["to"], "2021-11-27");
}
