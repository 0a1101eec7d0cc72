//! Forecasts of places: kept, read back, replaced only by newer ones, exported and imported.

use groundlore_book::forecasts::{ForecastHour, ForecastPlace, KeptForecast};
use groundlore_book::migrate::NEWEST;
use groundlore_book::yards::Yard;
use groundlore_book::{Book, BookError};
use jiff::SignedDuration;

use crate::at;

fn hour(starts: &str, temperature_c: f64) -> ForecastHour {
    let starts = at(starts);
    ForecastHour {
        local: jiff::tz::Offset::constant(-5).to_datetime(starts),
        starts,
        temperature_c,
        wind_m_s: Some(10.0 * 0.447_04),
        gust_m_s: None,
        humidity: Some(0.65),
        dewpoint_c: Some(1.0 / 3.0),
        rain_chance: Some(0.3),
        rain_mm: None,
    }
}

fn of_station(issued: &str, temperature_c: f64) -> KeptForecast {
    KeptForecast {
        station: Some("HOLLOW".into()),
        latitude: 43.05,
        longitude: -88.12,
        issued_at: Some(at(issued)),
        fetched_at: at(issued) + SignedDuration::from_mins(20),
        address: "https://example.org/43.05,-88.12".into(),
        hours: vec![hour("2015-08-17T11:00:00Z", temperature_c), hour("2015-08-17T12:00:00Z", temperature_c + 1.5)],
        ..KeptForecast::default()
    }
}

fn book() -> (Book, i64) {
    let mut book = Book::open_in_memory().unwrap();
    let yard = Yard { name: "Alder Bank".into(), station: Some("HOLLOW".into()), ..Yard::default() };
    let id = book.write(|tx| tx.add(&yard)).unwrap();
    (book, id)
}

#[test]
fn a_yard_has_its_stations_hours_until_it_has_its_own() {
    let (mut book, yard) = book();
    assert_eq!(book.hours_for(ForecastPlace::Yard(yard)).unwrap(), []);
    let station = of_station("2015-08-17T10:00:00Z", 18.25);
    assert!(book.write(|tx| tx.set_forecast(&station)).unwrap());
    assert_eq!(book.hours_for(ForecastPlace::Yard(yard)).unwrap(), station.hours);
    assert_eq!(book.forecast_of(ForecastPlace::Yard(yard)).unwrap(), None);
    let own = KeptForecast { station: None, yard_id: Some(yard), ..of_station("2015-08-17T10:00:00Z", 15.0) };
    assert!(book.write(|tx| tx.set_forecast(&own)).unwrap());
    assert_eq!(book.hours_for(ForecastPlace::Yard(yard)).unwrap(), own.hours);
    assert_eq!(book.hours_for(ForecastPlace::Station("HOLLOW")).unwrap(), station.hours);
    assert_eq!(book.hours_for(ForecastPlace::Station("ELSEWHERE")).unwrap(), []);
    assert!(book.check().unwrap().is_sound());
}

#[test]
fn a_newer_forecast_takes_the_place_and_an_older_one_does_not() {
    let (mut book, _) = book();
    let (early, late) = (of_station("2015-08-17T04:00:00Z", 10.0), of_station("2015-08-17T10:00:00Z", 20.0));
    for (forecast, taken) in [(&early, true), (&late, true), (&early, false), (&late, true)] {
        assert_eq!(book.write(|tx| tx.set_forecast(forecast)).unwrap(), taken);
    }
    assert_eq!(book.hours_for(ForecastPlace::Station("HOLLOW")).unwrap(), late.hours);
    assert_eq!(book.rows_by_table().unwrap()["forecasts"], 1);
}

#[test]
fn age_counts_from_issue_and_where_none_is_told_from_the_fetch_or_its_first_hour() {
    let said = of_station("2015-08-17T10:00:00Z", 10.0);
    assert_eq!(said.made_at(), at("2015-08-17T10:00:00Z"));
    let unsaid = KeptForecast { issued_at: None, ..said.clone() };
    assert_eq!(unsaid.made_at(), at("2015-08-17T10:20:00Z"));
    let confirmed_late = KeptForecast { issued_at: None, fetched_at: at("2015-08-20T10:00:00Z"), ..said };
    assert_eq!(confirmed_late.made_at(), at("2015-08-17T12:00:00Z"));
}

#[test]
fn humidity_comes_of_the_dew_point_where_it_is_not_given() {
    let given = hour("2015-08-17T11:00:00Z", 20.0);
    assert_eq!(given.humidity_or_from_dewpoint(), Some(0.65));
    // At 20 °C and a dew point of 10 °C the air is a little over half full: 1.2280 kPa of 2.3388 kPa (FAO-56, table 2.3; memory).
    let from_dewpoint = ForecastHour { humidity: None, dewpoint_c: Some(10.0), ..given };
    assert!((from_dewpoint.humidity_or_from_dewpoint().unwrap() - 1.2280 / 2.3388).abs() < 1e-3);
    assert_eq!(ForecastHour { humidity: None, dewpoint_c: None, ..given }.humidity_or_from_dewpoint(), None);
}

#[test]
fn what_cannot_be_is_refused_with_its_place() {
    let (mut book, yard) = book();
    let good = of_station("2015-08-17T10:00:00Z", 18.0);
    let with = |change: fn(&mut ForecastHour)| {
        let mut bad = good.clone();
        change(&mut bad.hours[1]);
        bad
    };
    for (bad, part) in [
        (KeptForecast { yard_id: Some(yard), ..good.clone() }, "station or of a yard"),
        (KeptForecast { hours: Vec::new(), ..good.clone() }, "at least one hour"),
        (KeptForecast { latitude: 91.0, ..good.clone() }, "latitude"),
        (KeptForecast { address: " ".into(), ..good.clone() }, "address"),
        (with(|hour| hour.temperature_c = f64::NAN), "temperature at 2015-08-17T12:00:00Z"),
        (with(|hour| hour.wind_m_s = Some(-1.0)), "wind"),
        (with(|hour| hour.humidity = Some(65.0)), "share, 0 to 1"),
        (with(|hour| hour.starts = at("2015-08-17T11:00:00Z")), "order of time"),
        (with(|hour| hour.local = "2015-08-19T07:00:00".parse().unwrap()), "same moment"),
    ] {
        let error = book.write(|tx| tx.set_forecast(&bad)).unwrap_err();
        assert!(matches!(error, BookError::InvalidValue { .. }) && error.to_string().contains(part), "{part}: {error}");
    }
    assert_eq!(book.rows_by_table().unwrap()["forecasts"], 0);
}

#[test]
fn an_export_brings_forecasts_back_the_same() {
    let (mut book, yard) = book();
    let own = KeptForecast { station: None, yard_id: Some(yard), issued_at: None, ..of_station("2015-08-17T10:00:00Z", 0.1 + 0.2) };
    book.write(|tx| {
        tx.set_forecast(&of_station("2015-08-17T10:00:00Z", 18.1))?;
        tx.set_forecast(&own)
    })
    .unwrap();
    let folder = tempfile::tempdir().unwrap();
    book.export_to(folder.path().join("open")).unwrap();
    let again = Book::import_from(folder.path().join("open"), folder.path().join("again.book")).unwrap();
    assert_eq!(again.all::<KeptForecast>().unwrap(), book.all::<KeptForecast>().unwrap());
    assert_eq!(again.schema_version().unwrap(), NEWEST);
    again.export_to(folder.path().join("second")).unwrap();
    let file = |name: &str| std::fs::read(folder.path().join(name).join("tables/forecasts.csv")).unwrap();
    assert_eq!(file("open"), file("second"));
}
