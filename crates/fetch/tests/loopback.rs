//! The fetcher against a server on this machine that answers from a list and is then gone.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::io::{BufRead, BufReader, Write};
use std::net::TcpListener;
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use groundlore_fetch::{FetchError, Fetched, Fetcher, How, Settings};
use jiff::{SignedDuration, Timestamp, ToSpan};

/// One answer of the server.
enum Reply {
    /// These bytes, then the connection is closed.
    Bytes(Vec<u8>),
    /// Nothing for so long, then the connection is closed.
    Silence(Duration),
}

/// A file with its right length and more lines of head.
fn file(head: &str, body: &[u8]) -> Reply {
    let mut bytes = format!("HTTP/1.1 200 OK\r\nContent-Length: {}\r\nConnection: close\r\n{head}\r\n", body.len()).into_bytes();
    bytes.extend_from_slice(body);
    Reply::Bytes(bytes)
}

/// A status without a body.
fn status(line: &str, head: &str) -> Reply {
    Reply::Bytes(format!("HTTP/1.1 {line}\r\nContent-Length: 0\r\nConnection: close\r\n{head}\r\n").into_bytes())
}

/// A server that gives each reply once, in order; what it was asked is told at the end.
struct Server {
    base: String,
    asked: JoinHandle<Vec<String>>,
}

impl Server {
    fn with(replies: Vec<Reply>) -> Server {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let base = format!("http://{}", listener.local_addr().unwrap());
        Server { base, asked: std::thread::spawn(move || serve(&listener, replies)) }
    }

    fn address(&self) -> String {
        format!("{}/daily/XX000000001.csv", self.base)
    }

    /// Waits until all replies are given and the server is gone.
    fn asked(self) -> Vec<String> {
        self.asked.join().unwrap()
    }
}

fn serve(listener: &TcpListener, replies: Vec<Reply>) -> Vec<String> {
    let mut asked = Vec::new();
    for reply in replies {
        let (mut caller, _) = listener.accept().unwrap();
        let mut reader = BufReader::new(caller.try_clone().unwrap());
        let mut request = String::new();
        while reader.read_line(&mut request).unwrap() > 2 {}
        asked.push(request);
        match reply {
            // A caller that has heard enough may hang up.
            Reply::Bytes(bytes) => drop(caller.write_all(&bytes)),
            Reply::Silence(time) => std::thread::sleep(time),
        }
    }
    asked
}

struct Place {
    _folder: tempfile::TempDir,
    fetcher: Fetcher,
}

fn quick() -> Settings {
    Settings {
        timeout: Duration::from_secs(10),
        first_wait: Duration::from_millis(10),
        longest_wait: Duration::from_millis(1500),
        ..Settings::default()
    }
}

fn place(settings: Settings) -> Place {
    let folder = tempfile::tempdir().unwrap();
    let fetcher = Fetcher::new(settings, folder.path().join("cache")).unwrap();
    Place { _folder: folder, fetcher }
}

/// Fetches at a moment three days ago, so that a file is kept.
fn get_long_ago(place: &Place, address: &str) -> Fetched {
    let then = Timestamp::now() - (3 * 24 + 1).hours();
    place.fetcher.get_if(address, then, |_| Ok(())).unwrap()
}

/// One good file, then these; gives what the second fetch brings, and the requests.
fn after_a_good_file(settings: Settings, replies: Vec<Reply>) -> (Fetched, Vec<String>) {
    let mut all = vec![file("ETag: \"v1\"\r\nLast-Modified: Mon, 01 Jun 2015 12:00:00 GMT\r\n", b"kept")];
    all.extend(replies);
    let (server, place) = (Server::with(all), place(settings));
    let address = server.address();
    assert_eq!(get_long_ago(&place, &address).how, How::Fresh);
    let second = place.fetcher.get(&address).unwrap();
    (second, server.asked())
}

/// The error of a first fetch with these replies, and how often the server was asked.
fn without_a_copy(settings: Settings, replies: Vec<Reply>) -> (FetchError, usize) {
    let (server, place) = (Server::with(replies), place(settings));
    let error = place.fetcher.get(&server.address()).unwrap_err();
    (error, server.asked().len())
}

#[test]
fn a_fresh_file_is_given_and_kept() {
    let server = Server::with(vec![file("", b"STATION,DATE\n")]);
    let (address, place) = (server.address(), place(quick()));
    let first = place.fetcher.get(&address).unwrap();
    assert_eq!((first.bytes.as_slice(), &first.how, first.age), (b"STATION,DATE\n".as_slice(), &How::Fresh, SignedDuration::ZERO));
    assert!(first.remarks.is_empty());
    let asked = server.asked();
    assert!(asked[0].starts_with("GET /daily/XX000000001.csv HTTP/1.1\r\n"));
    let head = asked[0].to_ascii_lowercase();
    assert!(head.contains("user-agent: groundlore/") && !head.contains("if-none-match"), "{head}");
    assert_eq!(place.fetcher.kept(&address).unwrap().unwrap().bytes, first.bytes);
}

#[test]
fn an_unchanged_file_is_not_sent_again() {
    let (second, asked) = after_a_good_file(quick(), vec![status("304 Not Modified", "")]);
    assert_eq!((second.bytes.as_slice(), &second.how, second.age), (b"kept".as_slice(), &How::NotModified, SignedDuration::ZERO));
    let head = asked[1].to_ascii_lowercase();
    assert!(head.contains("if-none-match: \"v1\"") && head.contains("if-modified-since: mon, 01 jun 2015 12:00:00 gmt"), "{head}");
}

#[test]
fn an_unchanged_file_counts_its_age_from_the_last_answer() {
    let server = Server::with(vec![file("ETag: \"v1\"\r\n", b"kept"), status("304 Not Modified", "")]);
    let (address, place) = (server.address(), place(Settings { tries: 1, ..quick() }));
    get_long_ago(&place, &address);
    place.fetcher.get(&address).unwrap();
    server.asked();
    let third = place.fetcher.get(&address).unwrap();
    assert!(third.words().starts_with("as fetched just now; the server did not answer"), "{}", third.words());
}

#[test]
fn a_changed_file_takes_the_place_of_the_kept_one() {
    let (second, _) = after_a_good_file(quick(), vec![file("", b"changed")]);
    assert_eq!((second.bytes.as_slice(), second.how), (b"changed".as_slice(), How::Fresh));
}

#[test]
fn a_packed_file_is_unpacked() {
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::default());
    packer.write_all(b"STATION,DATE\n").unwrap();
    let server = Server::with(vec![file("Content-Encoding: gzip\r\n", &packer.finish().unwrap())]);
    assert_eq!(place(quick()).fetcher.get(&server.address()).unwrap().bytes, b"STATION,DATE\n");
}

#[test]
fn a_packed_file_that_unpacks_too_large_is_refused() {
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    packer.write_all(&vec![b'a'; 1 << 20]).unwrap();
    let packed = packer.finish().unwrap();
    assert!(packed.len() < 10_000);
    let (error, asked) = without_a_copy(Settings { size_limit: 10_000, ..quick() }, vec![file("Content-Encoding: gzip\r\n", &packed)]);
    assert!(error.to_string().contains("larger than the 10000 bytes") && asked == 1, "{error}");
}

#[test]
fn a_server_in_trouble_is_asked_again() {
    let server = Server::with(vec![status("500 Internal Server Error", ""), status("503 Service Unavailable", ""), file("", b"well")]);
    assert_eq!(place(quick()).fetcher.get(&server.address()).unwrap().bytes, b"well");
    assert_eq!(server.asked().len(), 3);
}

#[test]
fn a_server_that_stays_in_trouble_is_left_alone() {
    let replies = || (0..3).map(|_| status("500 Internal Server Error", "")).collect::<Vec<_>>();
    let (error, asked) = without_a_copy(quick(), replies());
    assert!(matches!(error, FetchError::Refused { status: 500, tries: 3, .. }) && asked == 3, "{error}");
    let (second, _) = after_a_good_file(quick(), replies());
    assert_eq!(second.words(), "as fetched 3 days ago; the server answered 500, which means that it is in trouble");
}

#[test]
fn a_server_is_asked_again_as_late_as_it_wishes() {
    let server = Server::with(vec![status("429 Too Many Requests", "Retry-After: 1\r\n"), file("", b"now")]);
    let began = Instant::now();
    assert_eq!(place(quick()).fetcher.get(&server.address()).unwrap().bytes, b"now");
    assert!(began.elapsed() >= Duration::from_secs(1));
}

#[test]
fn a_server_that_wishes_a_long_wait_is_not_asked_again() {
    let began = Instant::now();
    let (error, asked) = without_a_copy(quick(), vec![status("429 Too Many Requests", "Retry-After: 3600\r\n")]);
    assert!(matches!(error, FetchError::Refused { status: 429, tries: 1, .. }) && asked == 1, "{error}");
    assert!(error.to_string().contains("wait some minutes") && began.elapsed() < Duration::from_secs(60));
}

#[test]
fn no_such_file_is_asked_once() {
    let (error, asked) = without_a_copy(quick(), vec![status("404 Not Found", "")]);
    assert!(matches!(error, FetchError::Refused { status: 404, tries: 1, .. }) && asked == 1, "{error}");
    assert!(error.to_string().contains("check the station's id"), "{error}");
    let (second, _) = after_a_good_file(quick(), vec![status("404 Not Found", "")]);
    assert_eq!(second.words(), "as fetched 3 days ago; the server answered 404, which means that it has no such file");
}

/// A file that is told to be longer than it is.
fn broken_off() -> Reply {
    Reply::Bytes(b"HTTP/1.1 200 OK\r\nContent-Length: 100\r\nConnection: close\r\nETag: \"v2\"\r\n\r\nSTATION,".to_vec())
}

#[test]
fn a_file_that_broke_off_is_refused_and_the_kept_one_stays() {
    let settings = || Settings { tries: 2, ..quick() };
    let (error, asked) = without_a_copy(settings(), vec![broken_off(), broken_off()]);
    assert!(error.to_string().contains("broke off after 8 of 100 bytes") && asked == 2, "{error}");
    let (second, _) = after_a_good_file(settings(), vec![broken_off(), broken_off()]);
    assert_eq!(second.bytes, b"kept");
    assert!(second.words().starts_with("as fetched 3 days ago; the file broke off after 8 of 100 bytes"), "{}", second.words());
}

#[test]
fn a_chunked_file_that_broke_off_is_refused() {
    let reply = || Reply::Bytes(b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n5\r\nSTATI\r\n".to_vec());
    let (error, _) = without_a_copy(Settings { tries: 1, ..quick() }, vec![reply()]);
    assert!(error.to_string().contains("broke off after 5 bytes"), "{error}");
}

#[test]
fn a_file_that_broke_off_once_is_fetched_whole() {
    let server = Server::with(vec![broken_off(), file("", b"whole")]);
    assert_eq!(place(quick()).fetcher.get(&server.address()).unwrap().bytes, b"whole");
}

#[test]
fn without_a_server_there_is_the_copy_or_an_error() {
    let (second, _) = after_a_good_file(quick(), vec![]);
    assert!(second.words().starts_with("as fetched 3 days ago; the server did not answer ("), "{}", second.words());
    assert_eq!((second.bytes.as_slice(), second.age.as_hours()), (b"kept".as_slice(), 73));

    let gone = Server::with(vec![]);
    let address = gone.address();
    gone.asked();
    let error = place(quick()).fetcher.get(&address).unwrap_err();
    assert!(matches!(error, FetchError::NoAnswer { tries: 3, .. }), "{error}");
    assert!(error.to_string().contains("no earlier copy is kept here"), "{error}");
}

#[test]
fn a_silent_server_is_not_waited_for() {
    let (second, _) = after_a_good_file(
        Settings { tries: 1, timeout: Duration::from_secs(1), ..quick() },
        vec![Reply::Silence(Duration::from_millis(2500))],
    );
    assert_eq!(second.words(), "as fetched 3 days ago; the server did not answer (it took too long)");
}

#[test]
fn what_is_no_answer_is_refused() {
    for noise in [b"".as_slice(), b"\r\n\r\n", b"hello\r\n\r\n", b"HTTP/1.1 200 OK\r\nContent-Length: many\r\n\r\nabc"] {
        let (error, _) = without_a_copy(Settings { tries: 1, ..quick() }, vec![Reply::Bytes(noise.to_vec())]);
        assert!(matches!(error, FetchError::NoAnswer { .. } | FetchError::BadAnswer { .. }), "{error}");
    }
}

#[test]
fn a_server_that_does_not_speak_tls_is_refused() {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let sealed = format!("https://{}/a.csv", listener.local_addr().unwrap());
    let talking = std::thread::spawn(move || {
        let (mut caller, _) = listener.accept().unwrap();
        drop(caller.write_all(b"HTTP/1.1 200 OK\r\nContent-Length: 3\r\n\r\nabc"));
    });
    let error = place(quick()).fetcher.get(&sealed).unwrap_err();
    talking.join().unwrap();
    assert!(matches!(error, FetchError::BadAnswer { tries: 1, .. }) && error.to_string().contains("sealed connection"), "{error}");
}

#[test]
fn redirects_are_followed_but_not_for_ever() {
    let server = Server::with(vec![status("302 Found", "Location: ../moved.csv?a=1\r\n"), file("", b"moved")]);
    assert_eq!(place(quick()).fetcher.get(&server.address()).unwrap().bytes, b"moved");
    assert!(server.asked()[1].contains("moved.csv?a=1 HTTP/1.1"));

    let circle = (0..6).map(|_| status("301 Moved Permanently", "Location: /daily/XX000000001.csv\r\n")).collect();
    let (error, asked) = without_a_copy(quick(), circle);
    assert!(error.to_string().contains("leads on from one address to the next") && asked == 6, "{error}");
}

#[test]
fn redirects_to_nowhere_or_out_of_reach_are_refused() {
    for (location, part) in [
        ("Location: http://example.org/a.csv\r\n", "http can be read and changed"),
        ("Location: ftp://example.org/a.csv\r\n", "neither https:// nor http://"),
        ("", "without saying where to"),
    ] {
        let (error, asked) = without_a_copy(quick(), vec![status("302 Found", location)]);
        assert!(error.to_string().contains(part) && asked == 1, "{error}");
    }
}

#[test]
fn a_file_that_is_too_large_is_refused() {
    let small = || Settings { size_limit: 10, ..quick() };
    let (error, asked) = without_a_copy(small(), vec![file("", b"more than ten bytes")]);
    assert!(error.to_string().contains("larger than the 10 bytes") && asked == 1, "{error}");
    // Also where the length is not told.
    let untold = || Reply::Bytes(b"HTTP/1.1 200 OK\r\nConnection: close\r\n\r\nmore than ten bytes".to_vec());
    let (error, _) = without_a_copy(small(), vec![untold()]);
    assert!(error.to_string().contains("larger than the 10 bytes"), "{error}");
    let (second, _) = after_a_good_file(small(), vec![untold()]);
    assert_eq!(second.bytes, b"kept");
}

#[test]
fn an_empty_or_oddly_packed_file_is_refused() {
    let (error, _) = without_a_copy(quick(), vec![file("", b"")]);
    assert!(error.to_string().contains("empty file"), "{error}");
    let (error, _) = without_a_copy(quick(), vec![file("Content-Encoding: br\r\n", b"abc")]);
    assert!(error.to_string().contains("packed in a way"), "{error}");
    let (error, _) = without_a_copy(quick(), vec![status("304 Not Modified", "")]);
    assert!(error.to_string().contains("nothing has changed"), "{error}");
    let (error, _) = without_a_copy(quick(), vec![status("204 No Content", "")]);
    assert!(matches!(error, FetchError::Refused { status: 204, .. }), "{error}");
}

#[test]
fn wrong_addresses_are_not_asked() {
    let place = place(quick());
    for wrong in ["http://example.org/a.csv", "ftp://example.org/a.csv", "a.csv", "", "https://a:b@example.org/"] {
        assert!(matches!(place.fetcher.get(wrong), Err(FetchError::BadAddress { .. })), "{wrong}");
    }
    assert!(matches!(place.fetcher.daily("../../x"), Err(FetchError::BadStation { .. })));
    assert_eq!(place.fetcher.forecast(1.0, 1.0).unwrap_err(), FetchError::NoForecastAddress);
}

#[test]
fn a_sign_in_page_does_not_take_the_place_of_weather() {
    let server = Server::with(vec![file("", b"STATION,DATE\n"), file("", b"\n<!doctype html><p>Sign in")]);
    let place = place(Settings { daily: format!("{}/{{station}}.csv", server.base), ..quick() });
    place.fetcher.daily("XX000000001").unwrap();
    let second = place.fetcher.daily("XX000000001").unwrap();
    assert_eq!(second.bytes, b"STATION,DATE\n");
    assert!(second.words().contains("page for a browser"), "{}", second.words());
}

#[test]
fn a_folder_that_cannot_be_written_costs_the_copy_and_not_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let taken = folder.path().join("taken");
    std::fs::write(&taken, "a file where the folder should be").unwrap();
    let server = Server::with(vec![file("", b"whole")]);
    let fetched = Fetcher::new(quick(), taken).unwrap().get(&server.address()).unwrap();
    assert_eq!(fetched.bytes, b"whole");
    assert!(fetched.remarks.iter().any(|remark| remark.contains("not kept for later")), "{:?}", fetched.remarks);
}

#[test]
fn a_place_leads_to_its_hourly_forecast() {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let base = format!("http://{}", listener.local_addr().unwrap());
    let link = format!(r#"{{"properties": {{"forecastHourly": "{base}/hourly"}}}}"#);
    let hours = r#"{"properties": {"periods": [{"startTime": "2015-06-01T06:00:00-05:00", "temperature": 50, "temperatureUnit": "F"}]}}"#;
    let replies = vec![file("", link.as_bytes()), file("", hours.as_bytes()), status("404 Not Found", ""), file("", b"{}")];
    let server = std::thread::spawn(move || serve(&listener, replies));
    let place = place(Settings { forecast: Some(format!("{base}/points/{{latitude}},{{longitude}}")), ..quick() });
    let (fetched, forecast) = place.fetcher.forecast(44.98, -93.27).unwrap();
    assert_eq!((fetched.how, forecast.hours.len()), (How::Fresh, 1));
    // Later the place is not found and the forecast holds nothing: both times the kept copy stands in.
    let (fetched, forecast) = place.fetcher.forecast(44.98, -93.27).unwrap();
    assert!(matches!(fetched.how, How::FromCache { .. }) && forecast.hours.len() == 1, "{}", fetched.words());
    // Nobody is asked, and the link is followed within the folder.
    let (fetched, forecast) = place.fetcher.forecast_kept(44.98, -93.27).unwrap().unwrap();
    assert!(fetched.words().contains("the server was not asked") && forecast.hours.len() == 1, "{}", fetched.words());
    assert!(place.fetcher.forecast_kept(1.0, 1.0).unwrap().is_none());
    let asked = server.join().unwrap();
    assert!(asked[0].starts_with("GET /points/44.98,-93.27 ") && asked[1].starts_with("GET /hourly "));
}
