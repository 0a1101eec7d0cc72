//! Public hourly forecasts: fetched, kept in the book, and told with their age.

use crate::cli::WeatherGetArgs;
use crate::out::{Outcome, note};
use groundlore_desk::Desk;
use groundlore_desk::book::forecasts::{ForecastHour, KeptForecast};
use groundlore_fetch::{Fetched, Fetcher, HourlyForecast, How, age_words};

/// Yards nearer than this to a place that was just asked about share its answer, m: about the mesh of a public forecast (memory).
const SAME_MESH_M: f64 = 2500.0;

/// What was asked for a place, so that a yard nearby need not ask again.
struct Asked {
    place: (f64, f64),
    fetched: Fetched,
    forecast: HourlyForecast,
}

/// A forecast that was fetched and kept.
#[derive(Debug, serde::Serialize)]
pub(super) struct Got {
    /// `station KEY`, or the yard's name.
    whose: String,
    latitude: f64,
    longitude: f64,
    address: String,
    hours: usize,
    first_hour: Option<jiff::civil::DateTime>,
    last_hour: Option<jiff::civil::DateTime>,
    issued_at: Option<jiff::Timestamp>,
    fetched_at: jiff::Timestamp,
    /// True where the server gave nothing, and the copy before it stands in.
    old_copy: bool,
    /// What of it the odds use.
    used: String,
    /// All of that in words.
    pub(super) words: String,
}

/// Fetches the forecasts of a station's place and, where asked for, of each of its yards, and keeps them. A place that fails does not keep
/// the next from its turn: what went wrong with each is the second answer.
pub(super) fn get(desk: &mut Desk, fetcher: &Fetcher, args: &WeatherGetArgs) -> Outcome<(Vec<Got>, Vec<String>)> {
    let station = args.station.as_str();
    let mut places = Vec::new();
    let mut wrong = Vec::new();
    let mut got = Vec::new();
    let given = args.latitude.zip(args.longitude);
    match given.map_or_else(|| desk.station_place(station), |place| Ok(Some(place)))? {
        Some(place) => places.push((
            format!("station {station}"),
            place,
            KeptForecast { station: Some(station.to_owned()), ..KeptForecast::default() },
        )),
        None => {
            wrong.push(format!("station {station} has no place, so no forecast can be asked for it; give `--latitude` and `--longitude`"))
        }
    }
    if args.yards {
        for yard in desk.book.yards()?.into_iter().filter(|yard| yard.station.as_deref() == Some(station)) {
            match yard.latitude.zip(yard.longitude) {
                Some(place) => places.push((yard.name.clone(), place, KeptForecast { yard_id: Some(yard.id), ..KeptForecast::default() })),
                None => note(&format!("{} has no place, so no forecast was asked for it; import its map first", yard.name)),
            }
        }
    }
    let mut asked: Vec<Asked> = Vec::new();
    for (whose, place, row) in places {
        let near = asked.iter().position(|other| apart_m(other.place, place) < SAME_MESH_M);
        let index = match near {
            Some(index) => index,
            None => match ask(fetcher, place, args.offline) {
                Ok((fetched, forecast)) => {
                    for remark in fetched.remarks.iter().chain(&forecast.remarks) {
                        note(remark);
                    }
                    asked.push(Asked { place, fetched, forecast });
                    asked.len() - 1
                }
                Err(why) => {
                    wrong.push(format!("forecast for {whose}: {why}"));
                    continue;
                }
            },
        };
        let Asked { place, fetched, forecast } = &asked[index];
        let row = KeptForecast {
            latitude: place.0,
            longitude: place.1,
            issued_at: forecast.updated_at.or(forecast.generated_at),
            fetched_at: fetched.fetched_at,
            address: fetcher.settings().forecast_address(place.0, place.1)?,
            hours: forecast.hours.iter().map(kept_hour).collect(),
            ..row
        };
        let used = desk.keep_forecast(&row)?;
        got.push(Got {
            words: told(&whose, &row, fetched, &used),
            whose,
            latitude: row.latitude,
            longitude: row.longitude,
            hours: row.hours.len(),
            first_hour: row.hours.first().map(|hour| hour.local),
            last_hour: row.hours.last().map(|hour| hour.local),
            issued_at: row.issued_at,
            fetched_at: row.fetched_at,
            old_copy: matches!(fetched.how, How::FromCache { .. }),
            used,
            address: row.address,
        });
    }
    Ok((got, wrong))
}

fn ask(fetcher: &Fetcher, (latitude, longitude): (f64, f64), offline: bool) -> Result<(Fetched, HourlyForecast), String> {
    if !offline {
        return fetcher.forecast(latitude, longitude).map_err(|error| error.to_string());
    }
    let kept = fetcher.forecast_kept(latitude, longitude).map_err(|error| error.to_string())?;
    kept.ok_or_else(|| "none has been fetched yet; ask once without --offline".to_owned())
}

/// What was fetched, how old it is, and what of it is used, in two sentences.
fn told(whose: &str, row: &KeptForecast, fetched: &Fetched, used: &str) -> String {
    let age = match row.issued_at {
        Some(at) => format!("issued {}", age_words(fetched.fetched_at.duration_since(at) + fetched.age)),
        None => "without a word of when it was issued".to_owned(),
    };
    let how = match fetched.how {
        How::Fresh | How::NotModified => fetched.words(),
        How::FromCache { .. } => format!("OLD COPY, {}", fetched.words()),
    };
    let span = match (row.hours.first(), row.hours.last()) {
        (Some(first), Some(last)) => format!("{} hours from {} to {}", row.hours.len(), clock(first), clock(last)),
        _ => "no hours".to_owned(),
    };
    format!("forecast for {whose}: {span}, {age}; {how}. Of it {used}")
}

fn clock(hour: &ForecastHour) -> String {
    hour.local.strftime("%-d %b %H:%M").to_string()
}

fn kept_hour(hour: &groundlore_fetch::HourOfForecast) -> ForecastHour {
    ForecastHour {
        local: hour.local,
        starts: hour.starts,
        temperature_c: hour.temperature_c,
        wind_m_s: hour.wind_m_s,
        gust_m_s: hour.gust_m_s,
        humidity: hour.humidity,
        dewpoint_c: hour.dewpoint_c,
        rain_chance: hour.rain_chance,
        rain_mm: hour.rain_mm,
    }
}

/// Metres between two places that are near each other, on a sphere.
fn apart_m(a: (f64, f64), b: (f64, f64)) -> f64 {
    let metres_a_degree = 111_320.0;
    let east = (a.1 - b.1) * metres_a_degree * a.0.to_radians().cos();
    let north = (a.0 - b.0) * metres_a_degree;
    east.hypot(north)
}
