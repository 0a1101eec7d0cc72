//! Futures and the season's odds on the Milwaukee record (NOAA GHCN-Daily USW00014839).

use groundlore_weather::futures::{Detrending, Forecast, ForecastDay, Futures, Kind, StationFit};
use groundlore_weather::season_events::{EventOdds, SeasonAnswer, WEATHER_EVENTS, answer};
use groundlore_weather::{Columns, Cutoff, DegreeDays, Element, Ensemble, Heat, Method, Series, hindcast};
use jiff::civil::{Date, date};

fn one(series: &Series, on: Date, key: &str, kind: Kind) -> EventOdds {
    answer(series, None, on, Some(key), Some(kind)).unwrap().events.remove(0)
}

/// The record up to a day before `on`, with its later columns changed by a function of the days before `on` (1 for the last).
fn changed(series: &Series, on: Date, change: impl Fn(i32) -> f64) -> Series {
    let column = |element: Element| series.column(element).to_vec();
    let mut columns = Columns {
        tmin_c: column(Element::MinimumTemperature),
        tmax_c: column(Element::MaximumTemperature),
        prcp_mm: column(Element::Precipitation),
        ..Columns::default()
    };
    for index in 0..series.len() {
        let before = (on - series.date(index)).get_days();
        columns.tmin_c[index] += change(before);
        columns.tmax_c[index] += change(before);
    }
    Series::from_columns(series.station.clone(), series.first_day(), columns).unwrap()
}

#[test]
fn plain_frost_odds_on_new_year_are_the_record_row_f_13() {
    // Row F-13 of the reference note: Milwaukee 1971–2000, type 7: 99.9, 115.5, 130.3 and 277.8, 290.0, 308.0 on a calendar of 365 days.
    let series = super::milwaukee();
    let on = date(2001, 1, 1);
    let last = one(&series, on, "last-frost-32f", Kind::Plain);
    assert_eq!((last.p10, last.p50, last.p90), (Some(date(2001, 4, 10)), Some(date(2001, 4, 26)), Some(date(2001, 5, 10))));
    let first = one(&series, on, "first-frost-32f", Kind::Plain);
    assert_eq!((first.p10, first.p50, first.p90), (Some(date(2001, 10, 5)), Some(date(2001, 10, 17)), Some(date(2001, 11, 4))));
    assert_eq!((last.never, first.never), (0.0, 0.0));
}

#[test]
fn plain_futures_date_heat_as_the_ensemble_does() {
    let series = super::milwaukee();
    let model = DegreeDays::new(Method::Average, 10.0, None, Cutoff::None).unwrap();
    let total = 500.0 / 1.8;
    for on in [date(1999, 1, 1), date(1999, 3, 20), date(2000, 2, 29), date(2000, 5, 15)] {
        let ensemble = Ensemble::years_of_record(&series, on).unwrap();
        let wanted = ensemble.dates_reaching(&Heat { start: (1, 1), model, total }).unwrap();
        let futures = Futures::of(&series, on, Kind::Plain).unwrap();
        let (start, end) = (date(on.year(), 1, 1), date(on.year(), 12, 31));
        let made = futures.dates_reaching(model, start, end, total);
        assert_eq!(made.len(), wanted.len());
        // A leap day more or less moves a few of them by a day.
        for (made, wanted) in made.iter().zip(&wanted) {
            let apart = (made.unwrap() - wanted.unwrap()).get_days().abs();
            assert!(apart <= 1, "{on}: {made:?} for {wanted:?}");
        }
    }
}

#[test]
fn no_day_from_on_is_looked_at() {
    let series = super::milwaukee();
    let on = date(1998, 4, 20);
    let other = changed(&series, on, |before| if before < 1 { -30.0 } else { 0.0 });
    let mut other = other;
    other.whole_fahrenheit = series.whole_fahrenheit;
    for kind in Kind::ALL {
        let odds = |series: &Series| serde_json::to_string(&answer(series, None, on, None, Some(kind)).unwrap()).unwrap();
        assert_eq!(odds(&series), odds(&other), "{}", kind.word());
    }
}

#[test]
fn all_events_are_answered_in_the_shape_asked_for() {
    let answered = answer(&super::milwaukee(), Some(42.955), date(2000, 4, 15), None, None).unwrap();
    let json = serde_json::to_value(&answered).unwrap();
    assert_eq!((json["on"].as_str(), json["future"].as_str()), (Some("2000-04-15"), Some("detrended")));
    let events = json["events"].as_array().unwrap();
    assert_eq!(events.len(), WEATHER_EVENTS.len());
    for key in ["last-frost-32f", "first-frost-32f", "degree-days-50f-from-jan1-500", "degree-days-50f-from-mar1-900"] {
        let event = events.iter().find(|event| event["key"] == key).unwrap();
        for field in ["name", "p10", "p50", "p90"] {
            assert!(event[field].is_string(), "{key} {field}");
        }
        assert!(event["never"].is_number() && event.get("happened").is_none());
    }
    let unknown = answer(&super::milwaukee(), None, date(2000, 4, 15), Some("first-snow"), None).unwrap();
    assert!(unknown.events.is_empty());
    let back: SeasonAnswer = serde_json::from_value(json).unwrap();
    assert_eq!(back, answered);
}

#[test]
fn what_is_past_never_comes_again_and_is_named() {
    let series = super::milwaukee();
    let sums = one(&series, date(2000, 8, 1), "degree-days-50f-from-jan1-500", Kind::Detrended);
    assert_eq!((sums.p50, sums.never), (None, 1.0));
    assert!(sums.happened.unwrap() < date(2000, 8, 1));
    let frost = one(&series, date(2000, 7, 2), "last-frost-32f", Kind::Detrended);
    assert_eq!((frost.p10, frost.never), (None, 1.0));
    assert_eq!(frost.happened, Some(date(2000, 4, 12)));
    // Before 1 July a last frost that has come may still not be the last.
    let open = one(&series, date(2000, 4, 20), "last-frost-32f", Kind::Detrended);
    assert!(open.happened.is_none() && open.never > 0.0 && open.never < 1.0);
}

#[test]
fn the_halves_of_the_year_swap_south_of_the_equator() {
    // Milwaukee's weather, 183 days on.
    let north = super::milwaukee();
    let column = |element: Element| north.column(element).to_vec();
    let columns = Columns {
        tmin_c: column(Element::MinimumTemperature),
        tmax_c: column(Element::MaximumTemperature),
        prcp_mm: column(Element::Precipitation),
        ..Columns::default()
    };
    let first = north.first_day().saturating_add(jiff::Span::new().days(183));
    let south = Series::from_columns(Default::default(), first, columns).unwrap();
    let odds = |key: &str| answer(&south, Some(-43.0), date(2001, 1, 1), Some(key), None).unwrap().events.remove(0);
    let (last, first) = (odds("last-frost-32f").p50.unwrap(), odds("first-frost-32f").p50.unwrap());
    assert!((date(2001, 10, 15)..date(2001, 11, 10)).contains(&last), "{last}");
    assert!((date(2001, 4, 5)..date(2001, 5, 1)).contains(&first), "{first}");
    let warm = odds("soil-warm-50f").p50.unwrap();
    assert!((date(2001, 10, 1)..date(2001, 12, 15)).contains(&warm), "{warm}");
}

#[test]
fn leap_days_and_the_ends_of_the_year_have_odds() {
    let series = super::milwaukee();
    for on in [date(2000, 2, 29), date(2000, 1, 1), date(2000, 12, 31), date(1999, 12, 31)] {
        for kind in [Kind::Plain, Kind::Detrended] {
            let answered = answer(&series, None, on, None, Some(kind)).unwrap();
            assert!(answered.events.iter().all(|event| event.p10 <= event.p90 && event.p10.is_none_or(|day| day >= on)));
            assert!(answered.events.iter().all(|event| event.p90.is_none_or(|day| day.year() == on.year())));
        }
    }
}

#[test]
fn a_short_record_falls_back_to_plain_and_says_so() {
    let series = super::milwaukee().between(date(1998, 1, 1), date(2000, 4, 30)).unwrap();
    let answered = answer(&series, None, date(2000, 5, 1), None, Some(Kind::Generated)).unwrap();
    assert_eq!(answered.future, "plain");
    let error = answer(&series, None, date(1998, 5, 1), None, None).unwrap_err().to_string();
    assert!(error.contains("a year of daily maxima and minima"), "{error}");
    let error = answer(&series, None, date(2001, 5, 1), None, None).unwrap_err().to_string();
    assert!(error.contains("ends on 2000-04-30"), "{error}");
}

fn mean_of_days(futures: &Futures, days: std::ops::Range<usize>) -> f64 {
    let mean = |path: &groundlore_weather::futures::Path| {
        days.clone().map(|day| (path.tmin_c[day] + path.tmax_c[day]) / 2.0).sum::<f64>() / days.len() as f64
    };
    futures.paths.iter().map(mean).sum::<f64>() / futures.paths.len() as f64
}

#[test]
fn a_warm_month_warms_the_next_days_and_not_the_next_season() {
    let series = super::milwaukee();
    let on = date(2000, 3, 1);
    let warmer = changed(&series, on, |before| if (1..=30).contains(&before) { 4.0 } else { 0.0 });
    let rules = Detrending::default();
    let fit = StationFit::of(&series, 2000, rules.slope, true).unwrap();
    for (kind, least) in [(Kind::Detrended, 0.3), (Kind::Generated, 0.3)] {
        let futures = |series: &Series| Futures::with_fit(&Ensemble::years_of_record(series, on).unwrap(), Some(&fit), kind, &rules);
        let (was, now) = (futures(&series), futures(&warmer));
        let soon = mean_of_days(&now, 0..10) - mean_of_days(&was, 0..10);
        let late = mean_of_days(&now, 150..240) - mean_of_days(&was, 150..240);
        assert!(soon > least && soon < 3.0, "{}: {soon}", kind.word());
        assert!(late.abs() < 0.25, "{}: {late}", kind.word());
    }
    let (was, now) = (Futures::of(&series, on, Kind::Plain).unwrap(), Futures::of(&warmer, on, Kind::Plain).unwrap());
    assert_eq!(mean_of_days(&was, 0..10), mean_of_days(&now, 0..10));
}

#[test]
fn a_warming_record_is_put_on_todays_level() {
    // One degree a decade on top of the record: thirty years stand 1.5 °C under today in the mean.
    let series = super::milwaukee();
    let on = date(2000, 6, 1);
    let warming = changed(&series, on, |before| -f64::from(before) / 3652.5);
    let gap = |kind: Kind| {
        let (as_is, warmed) = (Futures::of(&series, on, kind).unwrap(), Futures::of(&warming, on, kind).unwrap());
        mean_of_days(&warmed, 60..200) - mean_of_days(&as_is, 60..200)
    };
    assert!((gap(Kind::Plain) + 1.5).abs() < 0.2, "{}", gap(Kind::Plain));
    assert!(gap(Kind::Detrended).abs() < 0.5, "{}", gap(Kind::Detrended));
}

#[test]
fn a_forecast_stands_first_with_its_spread_and_then_gives_way() {
    let series = super::milwaukee();
    let on = date(2000, 4, 10);
    let day = |lead| ForecastDay {
        tmin_c: 12.0,
        tmax_c: 24.0,
        tmin_error_c: ForecastDay::usual_error_c(lead),
        tmax_error_c: ForecastDay::usual_error_c(lead),
        rain_chance: 0.3,
        rain_mm: 5.0,
    };
    // Its first day is yesterday, which is known.
    let forecast = Forecast { first_day: date(2000, 4, 9), days: (0..8).map(day).collect() };
    for kind in [Kind::Plain, Kind::Detrended] {
        let before = Futures::of(&series, on, kind).unwrap();
        let after = before.clone().after_forecast(&forecast);
        assert_eq!((after.word(), after.forecast_days), (format!("forecast-then-{}", kind.word()), 7));
        assert!((mean_of_days(&after, 0..7) - 18.0).abs() < 1.0);
        let third: Vec<f64> = after.paths.iter().map(|path| path.tmax_c[2]).collect();
        let spread = groundlore_weather::quantile::standard_deviation(&third).unwrap();
        assert!((spread / ForecastDay::usual_error_c(3) - 1.0).abs() < 0.35, "{}: {spread}", kind.word());
        let rainy = after.paths.iter().filter(|path| path.prcp_mm[2] > 0.0).count() as f64 / after.paths.len() as f64;
        assert!((rainy - 0.3).abs() < 0.2, "{rainy}");
        assert!((mean_of_days(&after, 60..90) - mean_of_days(&before, 60..90)).abs() < 1e-9);
    }
    let plain = Futures::of(&series, on, Kind::Plain).unwrap();
    assert_eq!(plain.clone().after_forecast(&Forecast { first_day: date(2000, 1, 1), days: vec![day(0)] }).word(), "plain");
}

#[test]
fn a_hindcast_of_one_year_scores_what_had_not_yet_happened() {
    let series = super::milwaukee();
    let makers = &hindcast::usual_makers()[..3];
    let cases = hindcast::cases(&series, makers, 1998, 1998).unwrap();
    assert!(cases.iter().all(|case| case.year == 1998 && case.scores.len() == 3));
    for case in &cases {
        for score in &case.scores {
            let (from, to) = score.place;
            assert!(score.crps_days >= 0.0 && from >= 0.0 && from < to && to <= 1.0);
            assert!(score.inside(0.5) <= score.inside(0.8) && score.inside(0.8) <= score.inside(0.9));
        }
    }
    // Degree-days that were reached before an issue day are not judged on it.
    let sums = WEATHER_EVENTS.iter().position(|event| event.key == "degree-days-50f-from-jan1-100").unwrap();
    assert!(cases.iter().filter(|case| case.event == sums).all(|case| case.on < date(1998, 5, 15)));
    let error = hindcast::cases(&series, makers, 1980, 1980).unwrap_err().to_string();
    assert!(error.contains("1971-01-01"), "{error}");
}
