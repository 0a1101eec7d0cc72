//! An hourly forecast as a public service gives it: a GeoJSON feature with a list of periods.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::fmt::temporal::Pieces;
use jiff::tz::Offset;
use serde::Serialize;
use serde_json::Value;

use crate::error::{FetchError, shown};

/// More periods than any hourly forecast has.
const MOST_PERIODS: usize = 2000;

/// An hourly forecast.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HourlyForecast {
    /// When the file was made (`generatedAt`).
    pub generated_at: Option<Timestamp>,
    /// When the forecast in it was last changed (`updateTime`).
    pub updated_at: Option<Timestamp>,
    /// Its hours, one after the other.
    pub hours: Vec<HourOfForecast>,
    /// What was left unknown because it could not be read, one line for each field.
    pub remarks: Vec<String>,
}

/// One hour of a forecast.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HourOfForecast {
    /// When it begins, by the clock of the place.
    pub local: DateTime,
    /// When it begins.
    pub starts: Timestamp,
    /// Air temperature, °C.
    pub temperature_c: f64,
    /// Chance of rain or snow in the hour, 0 to 1; `None` where the forecast says nothing.
    pub rain_chance: Option<f64>,
    /// Rain or melted snow in the hour, mm; `None` where the forecast says nothing.
    pub rain_mm: Option<f64>,
    /// Wind, m/s: the upper end where a range is given; `None` where the forecast says nothing.
    pub wind_m_s: Option<f64>,
    /// Gusts, m/s; `None` where the forecast says nothing.
    pub gust_m_s: Option<f64>,
    /// Relative humidity, 0 to 1; `None` where the forecast says nothing.
    pub humidity: Option<f64>,
    /// Dew point, °C; `None` where the forecast says nothing.
    pub dewpoint_c: Option<f64>,
}

/// Reads an hourly forecast. Temperature must be there in every period; wind, humidity, dew point and amount of rain are left unknown where
/// they cannot be read, and [`HourlyForecast::remarks`] says so.
///
/// # Errors
/// [`FetchError::BadForecast`] with the period's number and field.
///
/// # Example
/// ```
/// use groundlore_fetch::read_hourly_forecast;
///
/// let text = r#"{"type": "Feature", "properties": {"generatedAt": "2015-06-01T11:00:00+00:00", "periods": [
///     {"startTime": "2015-06-01T06:00:00-05:00", "temperature": 50, "temperatureUnit": "F",
///      "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 30}}]}}"#;
/// let forecast = read_hourly_forecast(text.as_bytes())?;
/// assert_eq!(forecast.hours[0].temperature_c, 10.0);
/// assert_eq!(forecast.hours[0].rain_chance, Some(0.3));
///
/// let error = read_hourly_forecast(text.replace("\"F\"", "\"K\"").as_bytes()).unwrap_err();
/// assert!(error.to_string().starts_with("hourly forecast, period 1, temperatureUnit: `K`"));
/// # Ok::<(), groundlore_fetch::FetchError>(())
/// ```
pub fn read_hourly_forecast(bytes: &[u8]) -> Result<HourlyForecast, FetchError> {
    let root: Value = serde_json::from_slice(bytes)
        .map_err(|error| bad("the file", &error.to_string(), "It is not JSON; check the address of the forecast"))?;
    let remedy = "Give a GeoJSON feature whose `properties` have a list of `periods`";
    let properties = root.get("properties").filter(|value| value.is_object()).ok_or_else(|| bad("properties", "", remedy))?;
    let periods = match properties.get("periods") {
        Some(Value::Array(periods)) => periods,
        other => return Err(bad("properties.periods", &text_of(other), remedy)),
    };
    if periods.is_empty() || periods.len() > MOST_PERIODS {
        return Err(bad("properties.periods", &format!("{} periods", periods.len()), "An hourly forecast has 1 to 2000; ask again later"));
    }
    let moment = |field: &str| match properties.get(field) {
        None | Some(Value::Null) => Ok(None),
        some => {
            let wrong = || bad(&format!("properties.{field}"), &text_of(some), "Give a time such as 2015-06-01T11:00:00+00:00");
            some.and_then(Value::as_str).and_then(|text| text.parse::<Timestamp>().ok()).map(Some).ok_or_else(wrong)
        }
    };
    let (generated_at, updated_at) = (moment("generatedAt")?, moment("updateTime")?);
    let mut hours: Vec<HourOfForecast> = Vec::with_capacity(periods.len());
    let mut unread = BTreeMap::new();
    for (index, period) in periods.iter().enumerate() {
        let number = index + 1;
        let hour = read_period(number, period, &mut unread)?;
        if hours.last().is_some_and(|before| before.starts >= hour.starts) {
            let remedy = "It begins no later than the period before it; hours stand one after the other";
            return Err(bad(&format!("period {number}, startTime"), &text_of(period.get("startTime")), remedy));
        }
        hours.push(hour);
    }
    let line = |(field, first): (&str, Unread)| {
        let Unread { count, period, value } = first;
        format!("{field}: in {count} hours it could not be read, first in period {period}: `{value}`; it stays unknown there")
    };
    Ok(HourlyForecast { generated_at, updated_at, hours, remarks: unread.into_iter().map(line).collect() })
}

/// A field that could not be read.
struct Unread {
    count: usize,
    period: usize,
    value: String,
}

fn read_period(number: usize, period: &Value, unread: &mut BTreeMap<&'static str, Unread>) -> Result<HourOfForecast, FetchError> {
    let wrong = |field: &str, remedy: &str| bad(&format!("period {number}, {field}"), &text_of(period.get(field)), remedy);
    if !period.is_object() {
        return Err(bad(&format!("period {number}"), &text_of(Some(period)), "A period is an object with `startTime` and `temperature`"));
    }
    let time = |field: &str| {
        period
            .get(field)
            .and_then(Value::as_str)
            .and_then(local_time)
            .ok_or_else(|| wrong(field, "Give a time with its offset, such as 2015-06-01T06:00:00-05:00"))
    };
    let (local, starts) = time("startTime")?;
    if period.get("endTime").is_some_and(|end| !end.is_null()) {
        let (_, ends) = time("endTime")?;
        if ends.duration_since(starts) != jiff::SignedDuration::from_hours(1) {
            return Err(wrong("endTime", "The period is not one hour long; take the address of the hourly forecast"));
        }
    }
    let temperature = period.get("temperature").and_then(Value::as_f64).ok_or_else(|| wrong("temperature", "Give a number such as 68"))?;
    let temperature_c = match period.get("temperatureUnit").and_then(Value::as_str) {
        Some("F") => (temperature - 32.0) / 1.8,
        Some("C") => temperature,
        _ => return Err(wrong("temperatureUnit", "Give F or C")),
    };
    if !(-95.0..=65.0).contains(&temperature_c) {
        return Err(wrong("temperature", "No weather gives this value; check it and its unit"));
    }
    let rain = "probabilityOfPrecipitation";
    let rain_chance = match period.get(rain) {
        None | Some(Value::Null) => None,
        Some(chance) => match chance.get("value") {
            None if !chance.is_object() => return Err(wrong(rain, "Give an object whose `value` is percent or null")),
            None | Some(Value::Null) => None,
            Some(value) => {
                let percent = value.as_f64().filter(|percent| (0.0..=100.0).contains(percent));
                let place = format!("period {number}, {rain}.value");
                Some(percent.ok_or_else(|| bad(&place, &text_of(Some(value)), "Give percent, 0 to 100, or null"))? / 100.0)
            }
        },
    };
    let mut optional = |field: &'static str, possible: (f64, f64), read: fn(&Value) -> Option<f64>| {
        let said = |name: &str| given_value(period.get(field)?.get(name));
        let given =
            period.get(field).filter(|given| !given.is_null() && (!given.is_object() || said("value").or(said("maxValue")).is_some()))?;
        let value = read(given).filter(|value| (possible.0..=possible.1).contains(value));
        if value.is_none() {
            unread.entry(field).or_insert_with(|| Unread { count: 0, period: number, value: shown(&text_of(Some(given))) }).count += 1;
        }
        value
    };
    Ok(HourOfForecast {
        local,
        starts,
        temperature_c,
        rain_chance,
        rain_mm: optional("quantitativePrecipitation", (0.0, 500.0), |given| measure(given, &[("mm", 1.0), ("in", 25.4)])),
        wind_m_s: optional("windSpeed", (0.0, 150.0), speed),
        gust_m_s: optional("windGust", (0.0, 150.0), speed),
        humidity: optional("relativeHumidity", (0.0, 1.0), |given| measure(given, &[("percent", 0.01)])),
        dewpoint_c: optional("dewpoint", (-110.0, 65.0), |given| {
            let fahrenheit = unit_of(given)? == "degF";
            if fahrenheit { Some((given.get("value")?.as_f64()? - 32.0) / 1.8) } else { measure(given, &[("degC", 1.0)]) }
        }),
    })
}

/// A value that is there and not null.
fn given_value(value: Option<&Value>) -> Option<&Value> {
    value.filter(|value| !value.is_null())
}

/// The unit of a measure, without the list that it is from: `degC` of `wmoUnit:degC`.
fn unit_of(given: &Value) -> Option<&str> {
    let code = given.get("unitCode")?.as_str()?;
    Some(code.rsplit_once(':').map_or(code, |(_, unit)| unit))
}

/// A measure such as `{"unitCode": "wmoUnit:mm", "value": 2.5}`, by what its unit is worth; the largest value where a range is given.
fn measure(given: &Value, units: &[(&str, f64)]) -> Option<f64> {
    let unit = unit_of(given)?;
    let (_, worth) = units.iter().find(|(name, _)| *name == unit)?;
    let value = ["maxValue", "value"].iter().find_map(|name| given.get(name)?.as_f64())?;
    Some(value * worth)
}

/// A speed in m/s: a measure, or words such as `10 mph` and `5 to 10 mph`, of which the larger is taken.
fn speed(given: &Value) -> Option<f64> {
    const UNITS: [(&str, f64); 8] = [
        ("m_s-1", 1.0),
        ("km_h-1", 1.0 / 3.6),
        ("m/s", 1.0),
        ("km/h", 1.0 / 3.6),
        ("mph", 0.447_04),
        ("kt", 1852.0 / 3600.0),
        ("kts", 1852.0 / 3600.0),
        ("knots", 1852.0 / 3600.0),
    ];
    let Some(words) = given.as_str() else { return measure(given, &UNITS) };
    let (numbers, unit) = words.trim().rsplit_once(' ')?;
    let (_, worth) = UNITS.iter().find(|(name, _)| name.eq_ignore_ascii_case(unit))?;
    let mut fastest = None;
    for number in numbers.split(" to ") {
        let number: f64 = number.trim().parse().ok()?;
        fastest = Some(fastest.map_or(number, |before: f64| before.max(number)));
    }
    fastest.map(|value| value * worth)
}

/// A time with its offset: by the clock there, and as a moment.
fn local_time(text: &str) -> Option<(DateTime, Timestamp)> {
    let pieces = Pieces::parse(text).ok()?;
    let local = DateTime::from_parts(pieces.date(), pieces.time()?);
    let offset: Offset = pieces.to_numeric_offset()?;
    Some((local, offset.to_timestamp(local).ok()?))
}

/// The address of the hourly forecast, where a file is the feature of a place and only leads to it.
pub(crate) fn forecast_link(bytes: &[u8]) -> Option<String> {
    let root: Value = serde_json::from_slice(bytes).ok()?;
    let properties = root.get("properties")?;
    if properties.get("periods").is_some() {
        return None;
    }
    Some(properties.get("forecastHourly")?.as_str()?.to_owned())
}

fn bad(place: &str, value: &str, remedy: &str) -> FetchError {
    FetchError::BadForecast { place: place.to_owned(), value: shown(value), remedy: remedy.to_owned() }
}

fn text_of(value: Option<&Value>) -> String {
    match value {
        None => String::new(),
        Some(Value::String(text)) => text.clone(),
        Some(other) => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use jiff::ToSpan;
    use jiff::civil::date;
    use serde_json::json;

    /// Hours from a moment, warmest at 15 o'clock, by a clock at an offset.
    fn periods(from: DateTime, count: i64, offset: &str) -> Value {
        let list: Vec<Value> = (0..count)
            .map(|hour| {
                let at = from + hour.hours();
                json!({
                    "number": hour + 1,
                    "startTime": format!("{at}{offset}"),
                    "endTime": format!("{}{offset}", at + 1.hour()),
                    "temperature": 70 - (i64::from(at.hour()) - 15).abs(),
                    "temperatureUnit": "F",
                    "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": at.hour()},
                })
            })
            .collect();
        json!({"type": "Feature", "properties": {"generatedAt": "2015-06-01T11:00:00+00:00", "updateTime": null, "periods": list}})
    }

    fn read(value: &Value) -> Result<HourlyForecast, FetchError> {
        read_hourly_forecast(value.to_string().as_bytes())
    }

    #[test]
    fn wind_humidity_and_amounts_are_read_in_their_units() {
        let mut value = periods(date(2015, 6, 1).at(6, 0, 0, 0), 5, "-05:00");
        let all = value["properties"]["periods"].as_array_mut().unwrap();
        all[0]["windSpeed"] = json!("5 to 10 mph");
        all[0]["windGust"] = json!({"unitCode": "wmoUnit:km_h-1", "value": 36.0});
        all[0]["relativeHumidity"] = json!({"unitCode": "wmoUnit:percent", "value": 65});
        all[0]["dewpoint"] = json!({"unitCode": "wmoUnit:degC", "value": 12.5});
        all[0]["quantitativePrecipitation"] = json!({"unitCode": "wmoUnit:mm", "value": 2.5});
        all[1]["windSpeed"] = json!({"unitCode": "wmoUnit:m_s-1", "minValue": 2.0, "maxValue": 4.0, "value": null});
        all[1]["dewpoint"] = json!({"unitCode": "wmoUnit:degF", "value": 50.0});
        all[1]["windGust"] = Value::Null;
        all[2]["windSpeed"] = json!("strong");
        all[3]["windSpeed"] = json!("-3 mph");
        all[3]["relativeHumidity"] = json!({"unitCode": "wmoUnit:percent", "value": 165});
        all[4]["quantitativePrecipitation"] = json!({"unitCode": "wmoUnit:furlong", "value": 1.0});
        let forecast = read(&value).unwrap();
        let first = forecast.hours[0];
        assert!((first.wind_m_s.unwrap() - 4.4704).abs() < 1e-9 && (first.gust_m_s.unwrap() - 10.0).abs() < 1e-9, "{first:?}");
        assert_eq!((first.humidity, first.dewpoint_c, first.rain_mm), (Some(0.65), Some(12.5), Some(2.5)));
        let second = forecast.hours[1];
        assert_eq!((second.wind_m_s, second.gust_m_s, second.dewpoint_c), (Some(4.0), None, Some(10.0)));
        // What cannot be read or cannot be is unknown and is said; the hour's temperature stays.
        assert_eq!((forecast.hours[2].wind_m_s, forecast.hours[3].wind_m_s, forecast.hours[3].humidity), (None, None, None));
        assert_eq!((forecast.hours[4].rain_mm, forecast.hours.len()), (None, 5));
        let said = forecast.remarks.join("\n");
        assert!(said.contains("windSpeed: in 2 hours") && said.contains("first in period 3: `strong`"), "{said}");
        assert!(said.contains("relativeHumidity: in 1 hours") && said.contains("quantitativePrecipitation"), "{said}");
    }

    #[test]
    fn hours_are_told_by_the_clock_there_and_as_moments() {
        let forecast = read(&periods(date(2015, 6, 1).at(6, 0, 0, 0), 24 * 3, "-05:00")).unwrap();
        assert_eq!(forecast.generated_at, Some("2015-06-01T11:00:00Z".parse().unwrap()));
        assert_eq!((forecast.updated_at, forecast.hours.len()), (None, 72));
        assert_eq!(forecast.hours[0].starts, "2015-06-01T11:00:00Z".parse().unwrap());
        assert_eq!(forecast.hours[20].local, date(2015, 6, 2).at(2, 0, 0, 0));
        assert!((forecast.hours[9].temperature_c - (70.0 - 32.0) / 1.8).abs() < 1e-9, "15 o'clock is the warmest");
        assert_eq!(forecast.hours[9].rain_chance, Some(0.15));
    }

    #[test]
    fn chances_that_are_not_given_are_not_made_up() {
        let mut value = periods(date(2015, 6, 1).at(0, 0, 0, 0), 24, "+02:00");
        for period in value["properties"]["periods"].as_array_mut().unwrap() {
            period["probabilityOfPrecipitation"]["value"] = Value::Null;
        }
        assert!(read(&value).unwrap().hours.iter().all(|hour| hour.rain_chance.is_none() && hour.rain_mm.is_none()));
    }

    #[test]
    fn wrong_forecasts_name_the_place() {
        let good = periods(date(2015, 6, 1).at(0, 0, 0, 0), 3, "-05:00");
        type Spoil = fn(&mut Value);
        let cases: [(&str, Spoil); 13] = [
            ("period 2, startTime: `yesterday`", |v| v["properties"]["periods"][1]["startTime"] = json!("yesterday")),
            ("period 2, startTime: `2015-06-01T01:00:00`", |v| v["properties"]["periods"][1]["startTime"] = json!("2015-06-01T01:00:00")),
            ("period 3, startTime: nothing", |v| {
                v["properties"]["periods"][2].as_object_mut().unwrap().remove("startTime");
            }),
            ("period 1, endTime: `2015-06-01T12:00:00-05:00`", |v| {
                v["properties"]["periods"][0]["endTime"] = json!("2015-06-01T12:00:00-05:00");
            }),
            ("period 3, startTime: `2015-06-01T02:00:00-05:00`", |v| {
                let third = v["properties"]["periods"][2].clone();
                v["properties"]["periods"][1] = third;
            }),
            ("period 1, temperature: `\"warm\"`", |v| v["properties"]["periods"][0]["temperature"] = json!({"value": 3})),
            ("period 1, temperature: `900`", |v| v["properties"]["periods"][0]["temperature"] = json!(900)),
            ("period 1, temperatureUnit: `K`", |v| v["properties"]["periods"][0]["temperatureUnit"] = json!("K")),
            ("period 3, probabilityOfPrecipitation.value: `101`", |v| {
                v["properties"]["periods"][2]["probabilityOfPrecipitation"]["value"] = json!(101);
            }),
            ("period 3, probabilityOfPrecipitation: `40`", |v| v["properties"]["periods"][2]["probabilityOfPrecipitation"] = json!(40)),
            ("properties.periods: `0 periods`", |v| v["properties"]["periods"] = json!([])),
            ("properties.generatedAt: `7`", |v| v["properties"]["generatedAt"] = json!(7)),
            ("properties: nothing", |v| *v = json!([1, 2])),
        ];
        for (start, spoil) in cases {
            let mut value = good.clone();
            spoil(&mut value);
            let error = read(&value).unwrap_err().to_string();
            let start = start.replace("`\"warm\"`", "`{\"value\":3}`");
            assert!(error.starts_with(&format!("hourly forecast, {start}")), "{error}");
        }
        for text in ["", "<html>", "{\"properties\": {\"periods\": 3}}"] {
            assert!(read_hourly_forecast(text.as_bytes()).is_err());
        }
    }

    #[test]
    fn a_feature_of_a_place_leads_to_its_forecast() {
        assert_eq!(
            forecast_link(br#"{"properties": {"forecastHourly": "https://example.org/h"}}"#).as_deref(),
            Some("https://example.org/h")
        );
        assert_eq!(forecast_link(br#"{"properties": {"forecastHourly": "x", "periods": []}}"#), None);
        assert_eq!(forecast_link(b"["), None);
    }
}
