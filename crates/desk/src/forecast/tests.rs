#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
use groundlore_weather::season_events::odds_in;
use groundlore_weather::{Cutoff, Method};
use jiff::SignedDuration;
use jiff::civil::date;
use std::sync::OnceLock;

/// The built-in record, read once.
fn record() -> Arc<Series> {
    static RECORD: OnceLock<Arc<Series>> = OnceLock::new();
    Arc::clone(RECORD.get_or_init(|| Arc::new(crate::station::built_in().unwrap())))
}

/// Hours from a moment by a clock so many hours from UTC, coldest at 3 and warmest at 15 o'clock, issued an hour before the first.
fn forecast(from: DateTime, count: i64, offset_h: i64, low_c: f64, high_c: f64) -> KeptForecast {
    let first = jiff::tz::Offset::UTC.to_timestamp(from).unwrap() - SignedDuration::from_hours(offset_h);
    let hour = |index: i64| {
        let local = from.checked_add(index.hours()).unwrap();
        let warmth = (1.0 - (f64::from(local.hour() - 15) / 12.0 * std::f64::consts::PI).cos()) / 2.0;
        ForecastHour {
            local,
            starts: first + SignedDuration::from_hours(index),
            temperature_c: high_c - (high_c - low_c) * warmth,
            wind_m_s: None,
            gust_m_s: None,
            humidity: None,
            dewpoint_c: None,
            rain_chance: Some(0.2),
            rain_mm: None,
        }
    };
    KeptForecast {
        station: Some("INVENTED".into()),
        latitude: 43.0,
        longitude: -88.0,
        issued_at: Some(first - SignedDuration::from_hours(1)),
        fetched_at: first,
        address: "https://example.org/43,-88".into(),
        hours: (0..count).map(hour).collect(),
        ..KeptForecast::default()
    }
}

fn used(kept: &KeptForecast, on: Date) -> Result<(Forecast, ForecastUsed), String> {
    usable(kept, on, |_| 8.0)
}

fn of_record(on: Date, kind: Kind, kept: Option<&KeptForecast>) -> Coming {
    Coming::make(&record(), "INVENTED", on, kind, kept, (0.0, 0.0)).unwrap()
}

fn heat(total: f64) -> Heat {
    Heat { start: (3, 1), model: DegreeDays::new(Method::Average, 10.0, None, Cutoff::None).unwrap(), total }
}

/// The ensemble, the heat so far, and the dates of a sum so much higher.
fn dates(on: Date, coming: &Coming, more: f64) -> Vec<Date> {
    let ensemble = Ensemble::years_of_record(&record(), on).unwrap();
    let so_far = ensemble.heat_so_far((3, 1), heat(1.0).model).unwrap();
    coming.dates_reaching(&heat(so_far + more), &ensemble).unwrap().into_iter().flatten().collect()
}

fn mean_and_spread(on: Date, dates: &[Date]) -> (f64, f64) {
    let days: Vec<f64> = dates.iter().map(|day| f64::from(on.until((Unit::Day, *day)).unwrap().get_days())).collect();
    let mean = days.iter().sum::<f64>() / days.len() as f64;
    (mean, (days.iter().map(|day| (day - mean).powi(2)).sum::<f64>() / days.len() as f64).sqrt())
}

#[test]
fn whole_days_are_used_with_a_spread_that_grows_with_their_lead() {
    let on = date(2015, 6, 10);
    let (found, note) = used(&forecast(on.at(0, 0, 0, 0), 24 * 6 + 6, -5, 10.0, 24.0), on).unwrap();
    assert_eq!((note.from, note.to, note.age_days, note.missing), (on, date(2015, 6, 15), 1, None));
    assert_eq!((found.first_day, found.days.len()), (on, 6));
    assert!((found.days[0].tmin_c - 10.0).abs() < 1e-9 && (found.days[0].tmax_c - 24.0).abs() < 1e-9);
    // Issued at 23 o'clock of the day before: today is one day off.
    let errors: Vec<f64> = found.days.iter().map(|day| day.tmax_error_c).collect();
    assert_eq!(errors[0], ForecastDay::usual_error_c(1));
    assert!(errors.windows(2).all(|pair| pair[0] < pair[1]), "{errors:?}");
    assert_eq!(note.words(), "forecast to 15 Jun (as of 9 Jun 23:00, 1 day old)");
}

#[test]
fn a_day_that_is_cut_short_tells_what_its_hours_can() {
    let on = date(2015, 6, 10);
    let (morning, note) = used(&forecast(on.at(6, 0, 0, 0), 60, -5, 10.0, 24.0), on).unwrap();
    assert!(morning.days[0].tmin_c.is_nan() && (morning.days[0].tmax_c - 24.0).abs() < 1e-9, "{:?}", morning.days[0]);
    assert_eq!((note.from, note.to, note.age_days), (on, date(2015, 6, 12), 0));
    // Sixty hours from six end at 18 o'clock of the third day, whose night is whole.
    assert!((morning.days[2].tmin_c - 10.0).abs() < 1e-9);
    let (evening, note) = used(&forecast(on.at(20, 0, 0, 0), 60, -5, 10.0, 24.0), on).unwrap();
    assert_eq!((note.from, evening.first_day), (date(2015, 6, 11), date(2015, 6, 11)));
}

#[test]
fn past_days_are_dropped_and_a_forecast_that_is_over_is_not_used() {
    let first = date(2015, 6, 10);
    let kept = forecast(first.at(0, 0, 0, 0), 24 * 6, -5, 10.0, 24.0);
    let (later, note) = used(&kept, date(2015, 6, 13)).unwrap();
    assert_eq!((later.first_day, later.days.len(), note.age_days), (date(2015, 6, 13), 3, 4));
    assert_eq!(later.days[0].tmin_error_c, ForecastDay::usual_error_c(4), "an old forecast is as wide as it is old");
    let over = used(&kept, date(2015, 6, 16)).unwrap_err();
    assert!(over.contains("ended on 15 Jun") && over.contains("not used") && over.contains("weather get"), "{over}");
    let ahead = used(&kept, date(2015, 6, 8)).unwrap_err();
    assert!(ahead.contains("issued on 9 Jun") && ahead.contains("after the day"), "{ahead}");
}

#[test]
fn a_missing_day_ends_it_and_is_named() {
    let on = date(2015, 6, 10);
    let mut kept = forecast(on.at(0, 0, 0, 0), 24 * 6, -5, 10.0, 24.0);
    kept.hours.retain(|hour| hour.local.date() != date(2015, 6, 13));
    let (found, note) = used(&kept, on).unwrap();
    assert_eq!((found.days.len(), note.to, note.missing), (3, date(2015, 6, 12), Some(date(2015, 6, 13))));
    // A gap before its first day leaves nothing to begin with.
    kept.hours.retain(|hour| hour.local.date() > date(2015, 6, 13));
    let gap = used(&kept, on).unwrap_err();
    assert!(gap.contains("begins on 14 Jun") && gap.contains("gap"), "{gap}");
    kept.hours.truncate(7);
    assert!(used(&kept, on).unwrap_err().contains("no day that is whole enough"));
}

#[test]
fn days_on_which_the_clock_changes_count_as_whole() {
    // Spring: the clock goes from 2 to 3 o'clock on 8 March 2015; autumn: from 2 back to 1 on 1 November.
    for (on, change_at, before_h, after_h) in
        [(date(2015, 3, 7), "2015-03-08T08:00:00Z", -6, -5), (date(2015, 10, 31), "2015-11-01T07:00:00Z", -5, -6)]
    {
        let change: Timestamp = change_at.parse().unwrap();
        let mut kept = forecast(on.at(0, 0, 0, 0), 24 * 4, before_h, 5.0, 15.0);
        for hour in kept.hours.iter_mut().filter(|hour| hour.starts >= change) {
            let clock = jiff::tz::Offset::UTC.to_datetime(hour.starts);
            hour.local = clock.checked_add(after_h.hours()).unwrap();
        }
        let (found, note) = used(&kept, on).unwrap();
        assert_eq!((note.missing, found.first_day), (None, on));
        assert!(found.days.len() >= 3 && !found.days[1].tmin_c.is_nan() && !found.days[1].tmax_c.is_nan(), "{found:?}");
        assert!(found.days[1].tmin_c < 6.0 && found.days[1].tmax_c > 14.0, "{:?}", found.days[1]);
    }
}

#[test]
fn a_chance_of_rain_without_an_amount_takes_the_stations_usual_one() {
    let on = date(2015, 6, 10);
    let mut kept = forecast(on.at(0, 0, 0, 0), 24 * 2, -5, 10.0, 24.0);
    let (bare, _) = used(&kept, on).unwrap();
    assert_eq!((bare.days[0].rain_chance, bare.days[0].rain_mm), (0.2, 8.0));
    kept.hours.iter_mut().for_each(|hour| hour.rain_mm = Some(0.5));
    let (given, _) = used(&kept, on).unwrap();
    assert!((given.days[0].rain_mm - 12.0).abs() < 1e-9);
    kept.hours.iter_mut().for_each(|hour| hour.rain_chance = None);
    assert!(used(&kept, on).unwrap().0.days[0].rain_chance.is_nan());
    // The usual wet day of the record is a number, and so are the days that are drawn by it.
    assert!((2.0..20.0).contains(&usual_wet_day_mm(&record(), on)), "{}", usual_wet_day_mm(&record(), on));
}

#[test]
fn rain_of_the_futures_follows_the_chance_that_is_forecast() {
    let on = date(2015, 6, 10);
    let mut kept = forecast(on.at(0, 0, 0, 0), 24 * 5, -5, 10.0, 24.0);
    let wet_share = |kept: &KeptForecast| {
        let coming = of_record(on, Kind::Detrended, Some(kept));
        let wet = coming.futures.paths.iter().filter(|path| path.prcp_mm[2] > 0.0).count();
        wet as f64 / coming.futures.paths.len() as f64
    };
    kept.hours.iter_mut().for_each(|hour| hour.rain_chance = Some(0.0));
    assert_eq!(wet_share(&kept), 0.0);
    kept.hours.iter_mut().for_each(|hour| hour.rain_chance = Some(1.0));
    assert_eq!(wet_share(&kept), 1.0);
    // Without a chance the past years' rain stays.
    kept.hours.iter_mut().for_each(|hour| hour.rain_chance = None);
    let coming = of_record(on, Kind::Detrended, Some(&kept));
    let bare = of_record(on, Kind::Detrended, None);
    let same = |a: f64, b: f64| a.to_bits() == b.to_bits();
    assert!(coming.futures.paths.iter().zip(&bare.futures.paths).all(|(a, b)| a.prcp_mm.iter().zip(&b.prcp_mm).all(|(a, b)| same(*a, *b))));
}

#[test]
fn a_hot_week_brings_heat_forward_and_a_plain_one_narrows_the_band() {
    let on = date(2015, 5, 10);
    let bare = of_record(on, Kind::Detrended, None);
    assert_eq!(bare.note.future, "detrended");
    let (mean, spread) = mean_and_spread(on, &dates(on, &bare, 45.0));
    let hot = of_record(on, Kind::Detrended, Some(&forecast(on.at(0, 0, 0, 0), 24 * 7, -5, 18.0, 32.0)));
    let (mean_hot, spread_hot) = mean_and_spread(on, &dates(on, &hot, 45.0));
    assert!(mean_hot < mean - 3.0 && spread_hot < spread / 2.0, "{mean} ± {spread}, hot {mean_hot} ± {spread_hot}");
    // A week as usual: the nearer the date, the more of the doubt about it is gone.
    let usual = of_record(on, Kind::Detrended, Some(&forecast(on.at(0, 0, 0, 0), 24 * 7, -5, 9.0, 20.0)));
    let narrowed = |more: f64| {
        let spread = |coming: &Coming| mean_and_spread(on, &dates(on, coming, more)).1;
        spread(&usual) / spread(&bare)
    };
    let (near, later, far) = (narrowed(9.0), narrowed(20.0), narrowed(300.0));
    assert!(near < 0.75 && near < later && later < 0.95 && (0.9..1.1).contains(&far), "{near} {later} {far}");
    let words = &hot.note.future_words;
    assert!(words.starts_with("forecast to 16 May (as of 9 May 23:00, 1 day old), then ") && words.contains("past years"), "{words}");
    assert_eq!(hot.note.future, "forecast-then-detrended");
    // Far ahead the forecast is one good start among all that may come.
    let (far, far_hot) = (mean_and_spread(on, &dates(on, &bare, 900.0)), mean_and_spread(on, &dates(on, &hot, 900.0)));
    assert!(far_hot.0 < far.0 && far_hot.1 > far.1 * 0.8, "{far:?} {far_hot:?}");
}

#[test]
fn an_older_forecast_leaves_more_room() {
    let on = date(2015, 5, 10);
    let fresh = forecast(on.at(0, 0, 0, 0), 24 * 7, -5, 9.0, 22.0);
    let old = KeptForecast { issued_at: fresh.issued_at.map(|at| at - SignedDuration::from_hours(24 * 5)), ..fresh.clone() };
    let width = |kept: &KeptForecast| {
        let coming = of_record(on, Kind::Detrended, Some(kept));
        let highs: Vec<f64> = coming.futures.paths.iter().map(|path| path.tmax_c[1]).collect();
        let mean = highs.iter().sum::<f64>() / highs.len() as f64;
        (highs.iter().map(|high| (high - mean).powi(2)).sum::<f64>() / highs.len() as f64).sqrt()
    };
    assert!(width(&old) > 1.4 * width(&fresh), "{} {}", width(&old), width(&fresh));
}

#[test]
fn without_a_forecast_the_futures_are_the_ensembles() {
    let on = date(2015, 8, 17);
    let ensemble = Ensemble::years_of_record(&record(), on).unwrap();
    let coming = of_record(on, Kind::Plain, None);
    for total in [300.0, 900.0, 1250.0, 1400.0] {
        assert_eq!(coming.dates_reaching(&heat(total), &ensemble).unwrap(), ensemble.dates_reaching(&heat(total)).unwrap(), "{total}");
    }
    assert_eq!(coming.first_frosts(0.0), ensemble.first_frost(0.0));
    assert_eq!(coming.last_frosts(0.0), ensemble.last_frost(0.0));
    assert_eq!(coming.note.future_words, format!("{} past years", ensemble.futures().len()));
    assert_eq!((&coming.note.forecast, &coming.note.forecast_not_used), (&None, &None));
}

#[test]
fn the_same_book_makes_the_same_futures_and_a_stale_forecast_changes_none() {
    let on = date(2015, 5, 10);
    let kept = forecast(on.at(0, 0, 0, 0), 24 * 7, -5, 18.0, 32.0);
    let (one, two) = (of_record(on, Kind::Detrended, Some(&kept)), of_record(on, Kind::Detrended, Some(&kept)));
    let low = |coming: &Coming| coming.futures.paths.iter().map(|path| path.tmin_c[3].to_bits()).collect::<Vec<u64>>();
    assert_eq!(low(&one), low(&two));
    let stale = KeptForecast { hours: forecast(date(2015, 4, 28).at(0, 0, 0, 0), 24 * 7, -5, 18.0, 32.0).hours, ..kept.clone() };
    let stale = KeptForecast { issued_at: stale.hours.first().map(|hour| hour.starts), ..stale };
    let (with_stale, bare) = (of_record(on, Kind::Detrended, Some(&stale)), of_record(on, Kind::Detrended, None));
    assert_eq!(low(&with_stale), low(&bare));
    assert_eq!(with_stale.note.future, "detrended");
    assert!(with_stale.note.forecast_not_used.as_ref().unwrap().contains("ended on 4 May"));
}

#[test]
fn south_of_the_equator_a_forecast_moves_its_own_spring() {
    // The record moved by half a year: an invented station in the south.
    let north = record();
    let moved = north.between(date(1985, 1, 1), date(2014, 12, 31)).unwrap();
    let columns = groundlore_weather::Columns {
        tmin_c: moved.tmin_c().to_vec(),
        tmax_c: moved.tmax_c().to_vec(),
        prcp_mm: moved.prcp_mm().to_vec(),
        ..groundlore_weather::Columns::default()
    };
    let station = groundlore_weather::Station { latitude: Some(-37.0), ..groundlore_weather::Station::default() };
    let series = Arc::new(Series::from_columns(station, date(1985, 7, 2), columns).unwrap());
    let on = date(2014, 11, 10);
    let make = |kept: Option<&KeptForecast>| Coming::make(&series, "SOUTH", on, Kind::Detrended, kept, (0.0, 0.0)).unwrap();
    let (bare, hot) = (make(None), make(Some(&forecast(on.at(0, 0, 0, 0), 24 * 7, 11, 18.0, 33.0))));
    assert_eq!(hot.futures.hemisphere, Hemisphere::South);
    let ensemble = Ensemble::years_of_record(&series, on).unwrap();
    let spring = Heat { start: (9, 1), ..heat(0.0) };
    let so_far = ensemble.heat_so_far((9, 1), spring.model).unwrap();
    let mean = |coming: &Coming| {
        let dates = coming.dates_reaching(&Heat { total: so_far + 60.0, ..spring }, &ensemble).unwrap();
        mean_and_spread(on, &dates.into_iter().flatten().collect::<Vec<Date>>()).0
    };
    assert!(mean(&hot) < mean(&bare) - 2.0, "{} {}", mean(&hot), mean(&bare));
    assert!(bare.first_frosts(0.0).iter().flatten().all(|day| day.month() <= 10 && day.year() == 2015));
    let plain = Coming::make(&series, "SOUTH", on, Kind::Plain, None, (0.0, 0.0)).unwrap();
    assert_eq!((plain.last_frosts(0.0), plain.first_frosts(0.0)), (ensemble.last_frost(0.0), ensemble.first_frost(0.0)));
    assert!(odds_in(&hot.futures, Some("heat-90f")).iter().all(|odds| odds.never <= 1.0));
}
