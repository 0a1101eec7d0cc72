//! What is asked, and how patiently.

use std::time::Duration;

use serde::{Deserialize, Serialize};

use crate::address::Address;
use crate::error::{FetchError, shown};

/// Where files are fetched, and how patiently. Durations are written as `"20s"`, `"500ms"`, `"2m"`.
///
/// # Example
/// ```
/// use groundlore_fetch::Settings;
///
/// let settings = Settings::default();
/// settings.check()?;
/// assert!(settings.daily_address("USW00014922")?.ends_with("/USW00014922.csv"));
///
/// let wrong = Settings { daily: "https://example.org/{stattion}.csv".into(), ..Settings::default() };
/// let error = wrong.check().unwrap_err().to_string();
/// assert!(error.contains("{stattion}") && error.contains("{station}"));
/// # Ok::<(), groundlore_fetch::FetchError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Settings {
    /// Address of a station's daily file, with `{station}` for its id.
    pub daily: String,
    /// Address of the hourly forecast, with `{latitude}` and `{longitude}`; without one there is no forecast.
    pub forecast: Option<String>,
    /// What we call ourselves to the server. Some public servers ask for a way to reach whoever asks.
    pub user_agent: String,
    /// How often a request is tried, 1 to 10.
    pub tries: u32,
    /// How long a server may be silent, 100 ms to 10 minutes.
    #[serde(with = "jiff::fmt::serde::unsigned_duration::friendly::compact::required")]
    pub timeout: Duration,
    /// The wait before the second try; it doubles before each further one.
    #[serde(with = "jiff::fmt::serde::unsigned_duration::friendly::compact::required")]
    pub first_wait: Duration,
    /// The longest wait before a try. A server that asks for a longer one is not asked again this time.
    #[serde(with = "jiff::fmt::serde::unsigned_duration::friendly::compact::required")]
    pub longest_wait: Duration,
    /// The largest file that is taken, bytes after unpacking.
    pub size_limit: u64,
}

/// The longest wait that may be set.
const PATIENCE: Duration = Duration::from_secs(600);

impl Default for Settings {
    /// Daily files from the US national archive's public folder of GHCN-Daily by station (open government data); no forecast.
    fn default() -> Settings {
        Settings {
            daily: "https://www.ncei.noaa.gov/data/global-historical-climatology-network-daily/access/{station}.csv".to_owned(),
            forecast: None,
            user_agent: concat!("groundlore/", env!("CARGO_PKG_VERSION")).to_owned(),
            tries: 3,
            timeout: Duration::from_secs(20),
            first_wait: Duration::from_millis(500),
            longest_wait: Duration::from_secs(15),
            size_limit: 64 * 1024 * 1024,
        }
    }
}

impl Settings {
    /// Looks over every setting.
    ///
    /// # Errors
    /// [`FetchError::BadSetting`] for the first that cannot be used.
    pub fn check(&self) -> Result<(), FetchError> {
        check_template("daily", &self.daily, &["station"])?;
        if let Some(forecast) = &self.forecast {
            check_template("forecast", forecast, &["latitude", "longitude"])?;
        }
        let bad = |setting, value: String, remedy: &str| Err(FetchError::BadSetting { setting, value, remedy: remedy.to_owned() });
        let plain = |letter: char| letter == ' ' || letter.is_ascii_graphic();
        if self.user_agent.trim().is_empty() || self.user_agent.len() > 200 || !self.user_agent.chars().all(plain) {
            return bad(
                "user_agent",
                shown(&self.user_agent),
                "Give 1 to 200 plain characters (ASCII), such as `groundlore (office@example.org)`",
            );
        }
        if !(1..=10).contains(&self.tries) {
            return bad("tries", self.tries.to_string(), "Give 1 to 10");
        }
        if self.timeout < Duration::from_millis(100) || self.timeout > PATIENCE {
            return bad("timeout", format!("{:?}", self.timeout), "Give 100 ms to 10 minutes, such as \"20s\"");
        }
        if self.first_wait > PATIENCE {
            return bad("first_wait", format!("{:?}", self.first_wait), "Give at most 10 minutes, such as \"500ms\"");
        }
        if self.longest_wait > PATIENCE {
            return bad("longest_wait", format!("{:?}", self.longest_wait), "Give at most 10 minutes, such as \"15s\"");
        }
        if self.size_limit == 0 || self.size_limit > 1 << 30 {
            return bad("size_limit", self.size_limit.to_string(), "Give 1 to 1073741824 bytes; 67108864 is the usual");
        }
        Ok(())
    }

    /// The address of a station's daily file.
    ///
    /// # Errors
    /// [`FetchError::BadStation`] for what cannot be an id; [`FetchError::BadSetting`] for a template that cannot be used.
    pub fn daily_address(&self, station: &str) -> Result<String, FetchError> {
        let fits = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '_' | '-');
        if !(1..=20).contains(&station.len()) || !station.chars().all(fits) {
            return Err(FetchError::BadStation { value: shown(station) });
        }
        check_template("daily", &self.daily, &["station"])?;
        Ok(self.daily.replace("{station}", station))
    }

    /// The address of the hourly forecast for a place, in degrees to four decimals (some ten metres).
    ///
    /// # Errors
    /// [`FetchError::NoForecastAddress`] where none is set, [`FetchError::BadPlace`] for degrees that are not on Earth,
    /// [`FetchError::BadSetting`] for a template that cannot be used.
    pub fn forecast_address(&self, latitude: f64, longitude: f64) -> Result<String, FetchError> {
        let template = self.forecast.as_ref().ok_or(FetchError::NoForecastAddress)?;
        check_template("forecast", template, &["latitude", "longitude"])?;
        let latitude = degrees("latitude", latitude, 90)?;
        let longitude = degrees("longitude", longitude, 180)?;
        Ok(template.replace("{latitude}", &latitude).replace("{longitude}", &longitude))
    }
}

/// Degrees without needless zeros.
fn degrees(coordinate: &'static str, value: f64, limit: i16) -> Result<String, FetchError> {
    // `contains` is false for NaN.
    if !(-f64::from(limit)..=f64::from(limit)).contains(&value) {
        return Err(FetchError::BadPlace { coordinate, value: value.to_string(), limit });
    }
    let text = format!("{value:.4}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    Ok(if short == "-0" { "0".to_owned() } else { short.to_owned() })
}

/// Whether a template holds each of its words, no other, and makes an address that may be asked.
fn check_template(setting: &'static str, template: &str, words: &[&str]) -> Result<(), FetchError> {
    let known = words.iter().map(|word| format!("{{{word}}}")).collect::<Vec<_>>().join(" and ");
    let bad = |remedy: String| Err(FetchError::BadSetting { setting, value: shown(template), remedy });
    let mut rest = template;
    while let Some(at) = rest.find(['{', '}']) {
        let (_, from) = rest.split_at(at);
        let Some(end) = from.find('}').filter(|end| *end > 0) else {
            return bad(format!("A brace stands alone; write {known}"));
        };
        let (word, after) = from.split_at(end + 1);
        if !words.iter().any(|good| word == format!("{{{good}}}")) {
            return bad(format!("{} is not known here; what is filled in is {known}", shown(word)));
        }
        rest = after;
    }
    let mut sample = template.to_owned();
    for word in words {
        let braced = format!("{{{word}}}");
        if !template.contains(&braced) {
            return bad(format!("{braced} is missing; put it where the address differs from one to the next"));
        }
        sample = sample.replace(&braced, "1");
    }
    let server = template.split_once("://").map_or("", |(_, rest)| rest).split(['/', '?', '#']).next().unwrap_or_default();
    if server.contains('{') {
        return bad(format!("{known} may stand after the server's name only"));
    }
    match Address::parse(&sample) {
        Ok(_) => Ok(()),
        Err(FetchError::BadAddress { why, .. }) => bad(format!("It is no address that is asked: {why}")),
        Err(other) => Err(other),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn daily(template: &str) -> Result<(), FetchError> {
        Settings { daily: template.to_owned(), ..Settings::default() }.check()
    }

    #[test]
    fn templates_are_looked_over() {
        assert!(daily("https://example.org/{station}.csv").is_ok());
        assert!(daily("http://127.0.0.1:9/{station}.csv").is_ok());
        for (bad, part) in [
            ("https://example.org/all.csv", "{station} is missing"),
            ("https://example.org/{Station}.csv", "{Station} is not known"),
            ("https://example.org/{station}/{year}.csv", "{year} is not known"),
            ("https://example.org/{station", "brace stands alone"),
            ("https://example.org/station}.csv", "brace stands alone"),
            ("https://{station}.example.org/", "after the server's name"),
            ("http://example.org/{station}.csv", "write https://"),
            ("ftp://example.org/{station}.csv", "neither https:// nor"),
            ("{station}", "neither https:// nor"),
            ("https://example.org/a {station}", "space"),
        ] {
            let error = daily(bad).unwrap_err().to_string();
            assert!(error.starts_with("setting daily: ") && error.contains(part), "{bad}: {error}");
        }
    }

    #[test]
    fn other_settings_are_looked_over() {
        let usual = Settings::default();
        for wrong in [
            Settings { tries: 0, ..usual.clone() },
            Settings { tries: 11, ..usual.clone() },
            Settings { timeout: Duration::ZERO, ..usual.clone() },
            Settings { first_wait: Duration::from_secs(601), ..usual.clone() },
            Settings { longest_wait: Duration::from_secs(601), ..usual.clone() },
            Settings { user_agent: " ".into(), ..usual.clone() },
            Settings { user_agent: "a\r\nCookie: b".into(), ..usual.clone() },
            Settings { size_limit: 0, ..usual.clone() },
            Settings { forecast: Some("https://example.org/{latitude}".into()), ..usual.clone() },
        ] {
            assert!(matches!(wrong.check(), Err(FetchError::BadSetting { .. })), "{wrong:?}");
        }
    }

    #[test]
    fn stations_and_places_are_looked_over() {
        let settings = Settings { forecast: Some("https://example.org/{latitude},{longitude}".into()), ..Settings::default() };
        for bad in ["", "../x", "a/b", "USW0001492 2", "ÄB", "123456789012345678901", "a%2e", "a?b", "{station}"] {
            assert!(matches!(settings.daily_address(bad), Err(FetchError::BadStation { .. })), "{bad}");
        }
        assert_eq!(settings.forecast_address(44.980_01, -93.27).unwrap(), "https://example.org/44.98,-93.27");
        assert_eq!(settings.forecast_address(-0.000_001, 180.0).unwrap(), "https://example.org/0,180");
        assert_eq!(settings.forecast_address(10.0, -100.0).unwrap(), "https://example.org/10,-100");
        for (latitude, longitude) in [(90.1, 0.0), (f64::NAN, 0.0), (0.0, f64::INFINITY), (0.0, -181.0)] {
            assert!(matches!(settings.forecast_address(latitude, longitude), Err(FetchError::BadPlace { .. })));
        }
        assert_eq!(Settings::default().forecast_address(1.0, 1.0), Err(FetchError::NoForecastAddress));
    }

    #[test]
    fn settings_are_read_with_plain_durations() {
        let read: Settings = serde_json::from_str(r#"{"timeout": "5s", "tries": 2}"#).unwrap();
        assert_eq!((read.timeout, read.tries, read.first_wait), (Duration::from_secs(5), 2, Duration::from_millis(500)));
        assert!(serde_json::from_str::<Settings>(r#"{"time_out": "5s"}"#).is_err());
        let again: Settings = serde_json::from_str(&serde_json::to_string(&read).unwrap()).unwrap();
        assert_eq!(again, read);
    }
}
