//! Asks for files, keeps them, and falls back on what is kept.

use std::io::Read;
use std::path::PathBuf;
use std::time::Duration;

use jiff::{SignedDuration, Timestamp};
use ureq::Agent;
use ureq::http::{HeaderMap, HeaderValue};

use crate::address::Address;
use crate::cache::{Cache, Kept};
use crate::error::{Failure, FetchError, shown};
use crate::forecast::{HourlyForecast, forecast_link, read_hourly_forecast};
use crate::settings::Settings;

/// Redirects that are followed from one address.
const MOST_REDIRECTS: usize = 5;
/// A whole request may take this many times as long as a server may be silent.
const WHOLE_REQUEST: u32 = 15;

/// How the bytes came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum How {
    /// The server gave them now.
    Fresh,
    /// The server was asked now and said that the kept copy is still its own.
    NotModified,
    /// They are the kept copy, as the server gave nothing better.
    FromCache {
        /// Why, in half a sentence, such as `the server did not answer (connection refused)`.
        because: String,
    },
}

/// A file, and how old it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fetched {
    /// The file's bytes, unpacked.
    pub bytes: Vec<u8>,
    /// How they came.
    pub how: How,
    /// When the server last gave or confirmed them.
    pub fetched_at: Timestamp,
    /// How long ago that was, never negative.
    pub age: SignedDuration,
    /// What went wrong beside it, such as a folder without room in which nothing could be kept.
    pub remarks: Vec<String>,
}

impl Fetched {
    /// How the bytes came, in words: `as fetched 3 days ago; the server did not answer (connection refused)`.
    #[must_use]
    pub fn words(&self) -> String {
        match &self.how {
            How::Fresh => "fetched just now".to_owned(),
            How::NotModified => "unchanged; the server was asked just now".to_owned(),
            How::FromCache { because } => format!("as fetched {}; {because}", age_words(self.age)),
        }
    }
}

/// An age in words, in its largest whole unit: `just now`, `1 minute ago`, `5 hours ago`, `3 days ago`.
#[must_use]
pub fn age_words(age: SignedDuration) -> String {
    let (count, unit) = match age.as_secs() {
        ..60 => return "just now".to_owned(),
        seconds @ 60..3600 => (seconds / 60, "minute"),
        seconds @ 3600..86_400 => (seconds / 3600, "hour"),
        seconds => (seconds / 86_400, "day"),
    };
    format!("{count} {unit}{} ago", if count == 1 { "" } else { "s" })
}

/// What a server gave to one request.
enum Answer {
    Bytes { bytes: Vec<u8>, etag: Option<String>, last_modified: Option<String> },
    NotModified,
}

/// Why a request ended without one.
enum Stop {
    /// The server's side: the kept copy may stand in.
    Failed(Failure),
    /// Our side: an address that is not asked.
    Wrong(FetchError),
}

impl From<Failure> for Stop {
    fn from(failure: Failure) -> Stop {
        Stop::Failed(failure)
    }
}

/// Asks for files and keeps them in a folder.
///
/// # Example
/// ```
/// use std::io::{Read, Write};
/// use groundlore_fetch::{Fetcher, How, Settings};
///
/// // A server on this machine that answers once and is gone.
/// let server = std::net::TcpListener::bind("127.0.0.1:0")?;
/// let daily = format!("http://{}/{{station}}.csv", server.local_addr()?);
/// let answering = std::thread::spawn(move || {
///     let (mut caller, _) = server.accept().unwrap();
///     let _ = caller.read(&mut [0; 4096]).unwrap();
///     caller.write_all(b"HTTP/1.1 200 OK\r\nContent-Length: 13\r\nConnection: close\r\n\r\nSTATION,DATE\n").unwrap();
/// });
///
/// let folder = tempfile::tempdir()?;
/// let fetcher = Fetcher::new(Settings { daily, tries: 1, ..Settings::default() }, folder.path())?;
/// let first = fetcher.daily("XX000000001")?;
/// answering.join().unwrap();
/// let second = fetcher.daily("XX000000001")?;
///
/// assert_eq!((first.bytes.as_slice(), &first.how), (b"STATION,DATE\n".as_slice(), &How::Fresh));
/// assert_eq!(second.bytes, first.bytes);
/// assert!(second.words().starts_with("as fetched just now; the server did not answer"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct Fetcher {
    settings: Settings,
    cache: Cache,
    agent: Agent,
}

impl Fetcher {
    /// A fetcher that keeps its files in `folder`, which is made when the first is kept.
    ///
    /// # Errors
    /// [`FetchError::BadSetting`] for a setting that cannot be used.
    pub fn new(settings: Settings, folder: impl Into<PathBuf>) -> Result<Fetcher, FetchError> {
        settings.check()?;
        let agent = Agent::config_builder()
            .http_status_as_error(false)
            // Each step is looked over here before it is taken.
            .max_redirects(0)
            .max_redirects_will_error(false)
            .user_agent(settings.user_agent.as_str())
            .timeout_connect(Some(settings.timeout))
            .timeout_resolve(Some(settings.timeout))
            .timeout_recv_response(Some(settings.timeout))
            .timeout_per_read(Some(settings.timeout))
            .timeout_global(Some(settings.timeout * WHOLE_REQUEST))
            .max_idle_connections(0)
            .build()
            .new_agent();
        Ok(Fetcher { settings, cache: Cache::in_folder(folder.into()), agent })
    }

    /// The settings.
    #[must_use]
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// A station's daily file. A page of a hotel's network in its place is refused.
    ///
    /// # Errors
    /// [`FetchError::BadStation`], and those of [`Fetcher::get`].
    pub fn daily(&self, station: &str) -> Result<Fetched, FetchError> {
        self.get_if(&self.settings.daily_address(station)?, Timestamp::now(), no_web_page)
    }

    /// The hourly forecast of a place, read. Where the address gives a place's feature with a link to its hourly forecast, the link is
    /// followed.
    ///
    /// # Errors
    /// [`FetchError::NoForecastAddress`], [`FetchError::BadPlace`], [`FetchError::BadForecast`], and those of [`Fetcher::get`].
    pub fn forecast(&self, latitude: f64, longitude: f64) -> Result<(Fetched, HourlyForecast), FetchError> {
        let now = Timestamp::now();
        let address = self.settings.forecast_address(latitude, longitude)?;
        let readable = |bytes: &[u8]| read_hourly_forecast(bytes).map(|_| ()).map_err(|error| error.to_string());
        let first = self.get_if(&address, now, |bytes| if forecast_link(bytes).is_some() { Ok(()) } else { readable(bytes) })?;
        let fetched = match forecast_link(&first.bytes) {
            None => first,
            Some(link) => {
                let there = Address::parse(&address)?.leads_to(&link)?;
                self.get_if(there.text(), now, readable)?
            }
        };
        let forecast = read_hourly_forecast(&fetched.bytes)?;
        Ok((fetched, forecast))
    }

    /// The hourly forecast of a place as it was last fetched, without asking a server; `None` where nothing readable is kept.
    ///
    /// # Errors
    /// As [`Fetcher::forecast`], but for what a server may do; [`FetchError::Cache`] where the folder cannot be read.
    pub fn forecast_kept(&self, latitude: f64, longitude: f64) -> Result<Option<(Fetched, HourlyForecast)>, FetchError> {
        let address = self.settings.forecast_address(latitude, longitude)?;
        let Some(first) = self.kept(&address)? else { return Ok(None) };
        let fetched = match forecast_link(&first.bytes) {
            None => Some(first),
            Some(link) => self.kept(Address::parse(&address)?.leads_to(&link)?.text())?,
        };
        Ok(fetched.and_then(|fetched| read_hourly_forecast(&fetched.bytes).ok().map(|forecast| (fetched, forecast))))
    }

    /// A file by its address: from the server, or from the folder where the server gives nothing better.
    ///
    /// # Errors
    /// [`FetchError::BadAddress`] for an address that is not asked. Where no copy is kept: [`FetchError::NoAnswer`],
    /// [`FetchError::Refused`], [`FetchError::BadAnswer`]. [`FetchError::Cache`] where there is neither an answer nor a folder to read.
    pub fn get(&self, address: &str) -> Result<Fetched, FetchError> {
        self.get_if(address, Timestamp::now(), |_| Ok(()))
    }

    /// As [`Fetcher::get`], at a moment of the caller's and with a check of the bytes before they take the place of those kept. The check
    /// gives half a sentence on what is wrong.
    ///
    /// # Errors
    /// As [`Fetcher::get`]; what fails the check is a [`FetchError::BadAnswer`].
    pub fn get_if(&self, address: &str, now: Timestamp, check: impl Fn(&[u8]) -> Result<(), String>) -> Result<Fetched, FetchError> {
        let address = Address::parse(address)?;
        let mut remarks = Vec::new();
        let looked_up = self.cache.look_up(address.text());
        let kept = match &looked_up {
            Ok(kept) => kept.as_ref().filter(|kept| check(&kept.bytes).is_ok()),
            Err(error) => {
                remarks.push(error.to_string());
                None
            }
        };
        let mut tries = 1;
        let failure = loop {
            let failure = match self.ask(&address, kept, now) {
                Ok(Answer::NotModified) => match kept {
                    Some(kept) => {
                        let note = crate::cache::Note { fetched_at: now, ..kept.note.clone() };
                        if let Err(error) = self.cache.write_note(&note) {
                            remarks.push(error.to_string());
                        }
                        return Ok(fetched(kept.bytes.clone(), How::NotModified, now, now, remarks));
                    }
                    None => Failure::Answer {
                        why: "the server answered that nothing has changed, though it was not asked whether".to_owned(),
                        remedy: "Ask again later".to_owned(),
                        again: false,
                    },
                },
                Ok(Answer::Bytes { bytes, etag, last_modified }) => match check(&bytes) {
                    Ok(()) => {
                        if let Err(error) = self.cache.keep(address.text(), etag, last_modified, now, &bytes) {
                            remarks.push(format!("fetched, but not kept for later: {error}"));
                        }
                        return Ok(fetched(bytes, How::Fresh, now, now, remarks));
                    }
                    Err(why) => Failure::Answer {
                        why: format!("what the server gave cannot be used: {why}"),
                        remedy: "Open the address in a browser and see what stands there".to_owned(),
                        again: false,
                    },
                },
                Err(Stop::Wrong(error)) => match kept {
                    Some(_) => Failure::Answer { why: error.to_string(), remedy: String::new(), again: false },
                    None => return Err(error),
                },
                Err(Stop::Failed(failure)) => failure,
            };
            let Some(wait) = self.wait_before_next(tries, &failure) else { break failure };
            std::thread::sleep(wait);
            tries += 1;
        };
        match (kept, looked_up.as_ref()) {
            (Some(kept), _) => {
                let how = How::FromCache { because: failure.because() };
                Ok(fetched(kept.bytes.clone(), how, kept.note.fetched_at, now, remarks))
            }
            (None, Err(error)) if failure.again() => Err(error.clone()),
            (None, _) => Err(failure.into_error(address.text(), tries)),
        }
    }

    /// What is kept of an address, without asking the server; `None` where nothing is.
    ///
    /// # Errors
    /// [`FetchError::BadAddress`]; [`FetchError::Cache`] where the folder cannot be read.
    pub fn kept(&self, address: &str) -> Result<Option<Fetched>, FetchError> {
        let address = Address::parse(address)?;
        let how = How::FromCache { because: "the server was not asked".to_owned() };
        let kept = self.cache.look_up(address.text())?;
        Ok(kept.map(|kept| fetched(kept.bytes, how, kept.note.fetched_at, Timestamp::now(), Vec::new())))
    }

    /// How long to wait before the next try; `None` where there is none.
    fn wait_before_next(&self, tries: u32, failure: &Failure) -> Option<Duration> {
        if tries >= self.settings.tries || !failure.again() {
            return None;
        }
        let usual = self.settings.first_wait.saturating_mul(1 << (tries - 1).min(16)).min(self.settings.longest_wait);
        match failure {
            Failure::Status { wait: Some(asked), .. } if *asked > self.settings.longest_wait => None,
            Failure::Status { wait: Some(asked), .. } => Some((*asked).max(usual)),
            _ => Some(usual),
        }
    }

    /// One try, with its redirects.
    fn ask(&self, address: &Address, kept: Option<&Kept>, now: Timestamp) -> Result<Answer, Stop> {
        let mut at = address.clone();
        for _ in 0..=MOST_REDIRECTS {
            let mut request = self.agent.get(at.text());
            if let Some(kept) = kept {
                for (name, value) in [("If-None-Match", &kept.note.etag), ("If-Modified-Since", &kept.note.last_modified)] {
                    // A note that was written by another hand may hold what no header may.
                    if let Some(value) = value.as_ref().and_then(|value| HeaderValue::from_str(value).ok()) {
                        request = request.header(name, value);
                    }
                }
            }
            let called = if at.is_local() { request.config().proxy(None).build().call() } else { request.call() };
            let mut response = called.map_err(|error| failure_of(&error))?;
            let status = response.status().as_u16();
            match status {
                200 => return self.read_body(&mut response).map_err(Stop::Failed),
                304 => return Ok(Answer::NotModified),
                301 | 302 | 303 | 307 | 308 => {
                    let location = header(response.headers(), "location").ok_or_else(|| Failure::Answer {
                        why: format!("the server answered {status}, a redirect, without saying where to"),
                        remedy: "Check the address in the settings by opening it in a browser".to_owned(),
                        again: false,
                    })?;
                    at = at.leads_to(&location).map_err(Stop::Wrong)?;
                }
                _ => {
                    let wait = header(response.headers(), "retry-after").and_then(|text| retry_after(&text, now));
                    return Err(Failure::Status { status, wait }.into());
                }
            }
        }
        Err(Failure::Answer {
            why: format!(
                "the server leads on from one address to the next, more than {MOST_REDIRECTS} times, last to {}",
                shown(at.text())
            ),
            remedy: "Check the address in the settings by opening it in a browser".to_owned(),
            again: false,
        }
        .into())
    }

    fn read_body(&self, response: &mut ureq::http::Response<ureq::Body>) -> Result<Answer, Failure> {
        let headers = response.headers();
        let etag = header(headers, "etag");
        let last_modified = header(headers, "last-modified");
        // Absent where the body was packed: the length is then of what was sent.
        let told = header(headers, "content-length").and_then(|text| text.trim().parse::<u64>().ok());
        let coding = header(headers, "content-encoding").filter(|coding| !coding.trim().eq_ignore_ascii_case("identity"));
        let limit = self.settings.size_limit;
        let too_large = || Failure::Answer {
            why: format!("the file is larger than the {limit} bytes that are taken"),
            remedy: "Check the address; if the file is right, raise `size_limit`".to_owned(),
            again: false,
        };
        if let Some(coding) = coding {
            return Err(Failure::Answer {
                why: format!("the file is packed in a way that is not known here (`{}`)", shown(&coding)),
                remedy: "Set an address that gives it plain or as gzip".to_owned(),
                again: false,
            });
        }
        if told.is_some_and(|told| told > limit) {
            return Err(too_large());
        }
        let mut bytes = Vec::new();
        let read = response.body_mut().as_reader().take(limit.saturating_add(1)).read_to_end(&mut bytes);
        if bytes.len() as u64 > limit {
            return Err(too_large());
        }
        let got = bytes.len();
        match (read, told) {
            (Err(error), told) => {
                let of = told.map(|told| format!(" of {told}")).unwrap_or_default();
                return Err(Failure::Answer {
                    why: format!("the file broke off after {got}{of} bytes ({})", shown(&error.to_string())),
                    remedy: "Ask again when the network is better".to_owned(),
                    again: true,
                });
            }
            (Ok(_), Some(told)) if told != got as u64 => {
                return Err(Failure::Answer {
                    why: format!("the file broke off after {got} of {told} bytes"),
                    remedy: "Ask again when the network is better".to_owned(),
                    again: true,
                });
            }
            _ => {}
        }
        if bytes.is_empty() {
            return Err(Failure::Answer {
                why: "the server gave an empty file".to_owned(),
                remedy: "Check the address by opening it in a browser, or ask again later".to_owned(),
                again: false,
            });
        }
        Ok(Answer::Bytes { bytes, etag, last_modified })
    }
}

fn fetched(bytes: Vec<u8>, how: How, fetched_at: Timestamp, now: Timestamp, remarks: Vec<String>) -> Fetched {
    let age = now.duration_since(fetched_at).max(SignedDuration::ZERO);
    Fetched { bytes, how, fetched_at, age, remarks }
}

/// Daily files are tables; a `<` at the front is a page for a browser.
fn no_web_page(bytes: &[u8]) -> Result<(), String> {
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match text.iter().find(|byte| !byte.is_ascii_whitespace()) {
        Some(b'<') => Err("it is a page for a browser, not a table (a network may ask for a sign-in first)".to_owned()),
        Some(_) => Ok(()),
        None => Err("it holds nothing but blanks".to_owned()),
    }
}

fn header(headers: &HeaderMap, name: &str) -> Option<String> {
    headers.get(name).and_then(|value| value.to_str().ok()).map(str::to_owned)
}

/// What a server asks for: seconds, or a date.
fn retry_after(text: &str, now: Timestamp) -> Option<Duration> {
    let text = text.trim();
    if let Ok(seconds) = text.parse::<u64>() {
        return Some(Duration::from_secs(seconds));
    }
    let until = jiff::fmt::rfc2822::parse(text).ok()?.timestamp();
    Some(Duration::try_from(until.duration_since(now)).unwrap_or(Duration::ZERO))
}

/// What the client says, as a failure of ours.
fn failure_of(error: &ureq::Error) -> Failure {
    use ureq::Error as E;
    let again = |why: String| Failure::NoAnswer { why: shown(&why) };
    let never = |why: String, remedy: &str| Failure::Answer { why, remedy: remedy.to_owned(), again: false };
    let untrusted = |why: String| {
        never(
            format!("no sealed connection that can be trusted was made ({})", shown(&why)),
            "Check the address and this machine's date; a network that opens sealed traffic cannot be used",
        )
    };
    match error {
        E::Timeout(_) => again("it took too long".to_owned()),
        E::HostNotFound => again("its name was not found".to_owned()),
        E::ConnectionFailed => again("no connection".to_owned()),
        // What TLS cannot accept comes as data that is not valid.
        E::Io(error) if error.kind() == std::io::ErrorKind::InvalidData => untrusted(error.to_string()),
        E::Io(error) => again(error.to_string()),
        E::Tls(_) | E::Rustls(_) | E::TlsRequired => untrusted(error.to_string()),
        E::LargeResponseHeader(..) => {
            never("the server's answer has too long a head".to_owned(), "Check the address by opening it in a browser")
        }
        other => again(other.to_string()),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn ages_have_words() {
        for (seconds, words) in [
            (-5, "just now"),
            (59, "just now"),
            (60, "1 minute ago"),
            (7199, "1 hour ago"),
            (7200, "2 hours ago"),
            (86_400, "1 day ago"),
            (3 * 86_400 + 5, "3 days ago"),
        ] {
            assert_eq!(age_words(SignedDuration::from_secs(seconds)), words);
        }
    }

    #[test]
    fn a_server_may_ask_for_seconds_or_a_date() {
        let now: Timestamp = "2015-06-01T12:00:00Z".parse().unwrap();
        assert_eq!(retry_after(" 7 ", now), Some(Duration::from_secs(7)));
        assert_eq!(retry_after("Mon, 01 Jun 2015 12:00:30 GMT", now), Some(Duration::from_secs(30)));
        assert_eq!(retry_after("Mon, 01 Jun 2015 11:00:00 GMT", now), Some(Duration::ZERO));
        assert_eq!(retry_after("soon", now), None);
    }
}
