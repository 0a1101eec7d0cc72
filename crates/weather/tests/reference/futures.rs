//! The ensemble on real records.

use groundlore_weather::recent::Recent;
use groundlore_weather::{Columns, Day};
use groundlore_weather::{Cutoff, DegreeDays, Ensemble, Heat, Hemisphere, Method, Odds, Series, Station, WeatherError};
use jiff::civil::{Date, date};

fn sine(lower: f64) -> DegreeDays {
    DegreeDays::new(Method::SingleSine, lower, None, Cutoff::None).unwrap()
}

/// The same dates by plain loops over days, without sums or searches.
fn by_loop(ensemble: &Ensemble, heat: &Heat) -> Vec<Option<Date>> {
    let (start, end) = ensemble.heat_season(heat.start).unwrap();
    let reach = |days: Vec<Day>| {
        let mut total = 0.0;
        days.into_iter().find_map(|day| {
            total += heat.model.day(day.tmin_c, day.tmax_c, f64::NAN);
            (total >= heat.total - 1e-9).then_some(day.date)
        })
    };
    ensemble.futures().iter().map(|future| reach(ensemble.days(future, start, end).collect())).collect()
}

#[test]
fn dates_by_search_equal_dates_by_loop_on_every_kind_of_date() {
    let series = super::milwaukee();
    let dates = [date(1995, 1, 1), date(1995, 5, 20), date(1996, 2, 29), date(1997, 3, 1), date(1999, 8, 15), date(2000, 12, 31)];
    for on in dates {
        let ensemble = Ensemble::years_of_record(&series, on).unwrap();
        for (start, total) in [((1, 1), 250.0), ((3, 1), 900.0), ((10, 1), 120.0), ((2, 29), 60.0), ((1, 1), 5000.0)] {
            let heat = Heat { start, model: sine(10.0), total };
            assert_eq!(ensemble.dates_reaching(&heat).unwrap(), by_loop(&ensemble, &heat), "{on} {start:?} {total}");
        }
    }
}

#[test]
fn an_event_before_today_is_certain_and_one_far_off_is_not() {
    let series = super::milwaukee();
    let on = date(1999, 5, 20);
    let ensemble = Ensemble::years_of_record(&series, on).unwrap();
    assert_eq!(ensemble.futures().len(), 28, "1971 to 1998");
    let past = Odds::from_dates(&ensemble.dates_reaching(&Heat { start: (1, 1), model: sine(10.0), total: 50.0 }).unwrap(), on);
    assert_eq!((past.past, past.p10), (1.0, past.p90));
    let coming = Odds::from_dates(&ensemble.dates_reaching(&Heat { start: (1, 1), model: sine(10.0), total: 600.0 }).unwrap(), on);
    assert_eq!((coming.past, coming.never), (0.0, 0.0));
    assert!(coming.p10 < coming.p50 && coming.p50 < coming.p90);
    let never = Odds::from_dates(&ensemble.dates_reaching(&Heat { start: (1, 1), model: sine(10.0), total: 9e9 }).unwrap(), on);
    assert_eq!((never.never, never.p10), (1.0, None));
}

#[test]
fn nothing_on_or_after_today_is_looked_at() {
    let whole = super::milwaukee();
    let on = date(1998, 6, 10);
    let cut = whole.between(whole.first_day(), date(1998, 6, 9)).unwrap();
    let heat = Heat { start: (3, 1), model: DegreeDays { method: Method::DoubleSine, ..sine(5.0) }, total: 700.0 };
    let dates = |series: &Series| Ensemble::years_of_record(series, on).unwrap().dates_reaching(&heat).unwrap();
    assert_eq!(dates(&whole), dates(&cut));
}

#[test]
fn odds_made_in_spring_hold_what_then_came() {
    // Of 20 springs replayed with only earlier years to go by, the date that came lies within 10-90 % in most: 80 % is what the odds say,
    // and 11 to 20 of 20 is the band outside which chance alone would fall about once in 500 (binomial).
    let series = super::milwaukee();
    let heat = Heat { start: (1, 1), model: sine(10.0), total: 400.0 };
    let mut inside = 0;
    for year in 1981..=2000 {
        let on = date(year, 4, 1);
        let odds = Odds::from_dates(&Ensemble::years_of_record(&series, on).unwrap().dates_reaching(&heat).unwrap(), on);
        let came = Ensemble::years_of_record(&series, date(year, 12, 1)).unwrap().dates_reaching(&heat).unwrap()[0];
        inside += usize::from(odds.p10 <= came && came <= odds.p90);
    }
    assert!((11..=20).contains(&inside), "{inside} of 20");
}

#[test]
fn the_first_freeze_after_mid_august_is_that_of_the_record() {
    // With nothing cold before 15 August, the odds are those of the record's 28 autumns.
    let series = super::milwaukee();
    let on = date(1999, 8, 15);
    let ensemble = Ensemble::years_of_record(&series, on).unwrap();
    let odds = Odds::from_dates(&ensemble.first_frost(0.0), on);
    let years = groundlore_weather::frost::frost_years(&series, 0.0);
    let record: Vec<Option<Date>> =
        years.iter().filter(|year| year.year <= 1998).map(|year| year.first_autumn.map(|day| date(1999, day.month(), day.day()))).collect();
    assert_eq!(odds, Odds::from_dates(&record, on));
}

#[test]
fn the_last_frost_seen_from_april_is_in_spring_and_from_august_in_the_next_year() {
    let series = super::milwaukee();
    let april = Ensemble::years_of_record(&series, date(1999, 4, 20)).unwrap();
    assert!(april.last_frost(0.0).iter().all(|day| day.is_some_and(|day| day.year() == 1999 && day.month() <= 6)));
    let august = Ensemble::years_of_record(&series, date(1999, 8, 15)).unwrap();
    assert!(august.last_frost(0.0).iter().all(|day| day.is_some_and(|day| day.year() == 2000 && day.month() <= 6)));
    let odds = Odds::from_last_dates(&april.last_frost(0.0), date(1999, 4, 20));
    assert!(odds.chance_after(date(1999, 4, 25)) > odds.chance_after(date(1999, 5, 10)));
}

/// Milwaukee moved by half a year and put south of the equator.
fn southern() -> Series {
    let north = super::milwaukee();
    let columns = Columns { tmin_c: north.tmin_c().to_vec(), tmax_c: north.tmax_c().to_vec(), ..Columns::default() };
    let station = Station { latitude: Some(-43.0), ..Station::default() };
    Series::from_columns(station, date(1971, 7, 1), columns).unwrap()
}

#[test]
fn south_of_the_equator_the_halves_of_the_year_change_places() {
    let series = southern();
    let on = date(1999, 10, 1);
    let ensemble = Ensemble::years_of_record(&series, on).unwrap();
    assert_eq!(ensemble.hemisphere, Hemisphere::South);
    assert_eq!(ensemble.heat_season((9, 1)).unwrap(), (date(1999, 9, 1), date(2000, 6, 30)));
    assert_eq!(ensemble.heat_season((1, 15)).unwrap(), (date(1999, 1, 15), date(2000, 6, 30)));
    assert_eq!(ensemble.heat_season((4, 1)).unwrap(), (date(1999, 4, 1), date(2000, 6, 30)));
    let odds = Odds::from_dates(&ensemble.dates_reaching(&Heat { start: (7, 1), model: sine(10.0), total: 600.0 }).unwrap(), on);
    assert!(odds.p50.is_some_and(|day| (date(1999, 12, 1)..date(2000, 2, 1)).contains(&day)), "{odds:?}");
    assert!(ensemble.first_frost(0.0).iter().all(|day| day.is_some_and(|day| day.year() == 2000 && (3..=6).contains(&day.month()))));
    assert!(ensemble.last_frost(0.0).iter().all(|day| day.is_some_and(|day| day.year() == 1999 && day.month() >= 9)));
}

#[test]
fn the_hemisphere_is_seen_from_the_weather_when_the_file_has_no_latitude() {
    let mut series = southern();
    series.station.latitude = None;
    assert_eq!(series.hemisphere(), Hemisphere::South);
    assert_eq!(super::milwaukee().hemisphere(), Hemisphere::North);
}

#[test]
fn heat_seasons_open_and_close_with_the_growing_year() {
    let series = super::milwaukee();
    let season = |on: Date, start: (i8, i8)| Ensemble::years_of_record(&series, on).unwrap().heat_season(start).unwrap();
    let august = date(1999, 8, 15);
    assert_eq!(season(august, (1, 1)), (date(1999, 1, 1), date(1999, 12, 31)));
    assert_eq!(season(august, (10, 1)), (date(1998, 10, 1), date(1999, 12, 31)));
    assert_eq!(season(date(1999, 1, 15), (3, 1)), (date(1999, 3, 1), date(1999, 12, 31)));
    assert_eq!(season(date(1999, 11, 15), (10, 1)), (date(1999, 10, 1), date(2000, 11, 14)));
    assert_eq!(season(august, (2, 29)), (date(1999, 2, 28), date(1999, 12, 31)));
}

#[test]
fn leap_days_are_borrowed_and_lent() {
    let series = super::milwaukee();
    let leap = Ensemble::years_of_record(&series, date(2000, 2, 29)).unwrap();
    let first = leap.first_day(date(2000, 2, 29), date(2000, 12, 31), |_| true);
    assert!(first.iter().all(|day| day.is_some_and(|day| day >= date(2000, 2, 29))));
    let days = leap.count_days(date(2000, 2, 1), date(2000, 3, 31), |_| true);
    let expected: Vec<usize> = leap.futures().iter().map(|future| if future.year % 4 == 0 { 60 } else { 59 }).collect();
    assert_eq!(days, expected);
    let common = Ensemble::years_of_record(&series, date(1999, 2, 1)).unwrap();
    let dates: Vec<Date> = common.days(&common.futures()[1], date(1999, 2, 27), date(1999, 3, 1)).map(|day| day.date).collect();
    assert_eq!(common.futures()[1].year, 1972);
    assert_eq!(dates, [date(1999, 2, 27), date(1999, 2, 28), date(1999, 2, 28), date(1999, 3, 1)]);
}

#[test]
fn a_series_that_ends_long_before_the_date_is_refused_and_a_few_days_are_borne() {
    let series = super::milwaukee();
    let error = Ensemble::years_of_record(&series, date(2001, 3, 1)).unwrap_err();
    assert!(matches!(error, WeatherError::SeriesEndsEarly { missing_days: 59, .. }), "{error}");
    assert!(error.to_string().contains("USW00014839 ends on 2000-12-31"), "{error}");
    let ensemble = Ensemble::years_of_record(&series, date(2001, 1, 8)).unwrap();
    assert_eq!(ensemble.filled_this_year, 7);
    let error = Ensemble::years_of_record(&series, date(1971, 6, 1)).unwrap_err();
    assert!(matches!(error, WeatherError::NoPastYear { .. }), "{error}");
    assert!(Ensemble::years_of_record(&series, date(1960, 6, 1)).is_err());
}

#[test]
fn a_past_year_with_a_long_gap_is_left_out_and_named() {
    let whole = super::milwaukee();
    let (mut tmin_c, tmax_c) = (whole.tmin_c().to_vec(), whole.tmax_c().to_vec());
    let hole = whole.index(date(1985, 6, 1)).unwrap();
    tmin_c[hole..hole + 40].fill(f64::NAN);
    let this = whole.index(date(1999, 4, 1)).unwrap();
    tmin_c[this..this + 3].fill(f64::NAN);
    let series = Series::from_columns(whole.station.clone(), whole.first_day(), Columns { tmin_c, tmax_c, ..Columns::default() }).unwrap();
    let ensemble = Ensemble::years_of_record(&series, date(1999, 5, 1)).unwrap();
    assert_eq!(ensemble.left_out.len(), 1);
    assert_eq!((ensemble.left_out[0].year, ensemble.left_out[0].longest_gap_days), (1985, 40));
    assert_eq!((ensemble.futures().len(), ensemble.filled_this_year), (27, 3));
}

#[test]
fn heat_by_a_day_grows_with_the_day_and_reaches_the_total_on_its_date() {
    let series = super::milwaukee();
    let ensemble = Ensemble::years_of_record(&series, date(1999, 5, 20)).unwrap();
    let heat = Heat { start: (1, 1), model: sine(10.0), total: 500.0 };
    let dates = ensemble.dates_reaching(&heat).unwrap();
    for (place, day) in dates.iter().enumerate() {
        let on_day = ensemble.heat_by(heat.start, heat.model, day.unwrap()).unwrap()[place];
        let eve = ensemble.heat_by(heat.start, heat.model, day.unwrap().yesterday().unwrap()).unwrap()[place];
        assert!(on_day >= 500.0 - 1e-6 && eve < 500.0, "{eve} {on_day}");
    }
}

#[test]
fn recent_weather_is_held_against_the_same_days_of_other_years() {
    let series = super::milwaukee();
    let recent = Recent::before(&series, date(1988, 7, 1)).unwrap();
    // June 1988 was a month of drought; the record says so by itself.
    assert_eq!((recent.rain_14_days_mm.known_days, recent.rain_14_days_mm.years), (14, 29));
    assert!(recent.rain_14_days_mm.value < recent.rain_14_days_mm.normal);
    assert!(recent.rain_14_days_mm.years_below.is_some_and(|share| share < 0.2));
    assert!(Recent::before(&series, date(2001, 7, 1)).is_err());
}

#[test]
fn spray_days_can_be_counted_with_a_test_of_ones_own() {
    let series = super::milwaukee();
    let ensemble = Ensemble::years_of_record(&series, date(1999, 8, 15)).unwrap();
    let dry = ensemble.count_days(date(1999, 8, 15), date(1999, 8, 28), |day| day.prcp_mm < 0.1);
    assert_eq!(dry.len(), ensemble.futures().len());
    assert!(dry.iter().all(|days| *days <= 14) && dry.iter().any(|days| *days < 14));
}

#[test]
fn many_sums_at_once_are_the_same_as_one_by_one() {
    let ensemble = Ensemble::years_of_record(&super::milwaukee(), date(1999, 5, 20)).unwrap();
    let heats: Vec<Heat> = [(10.0, 200.0), (10.0, 400.0), (5.0, 400.0), (10.0, 900.0)]
        .map(|(lower, total)| Heat { start: (3, 1), model: sine(lower), total })
        .into();
    let all = ensemble.dates_reaching_all(&heats).unwrap();
    for (heat, dates) in heats.iter().zip(&all) {
        assert_eq!(&ensemble.dates_reaching(heat).unwrap(), dates);
    }
}

#[test]
fn a_start_or_a_model_that_means_nothing_is_refused() {
    let ensemble = Ensemble::years_of_record(&super::milwaukee(), date(1999, 5, 20)).unwrap();
    for start in [(2, 30), (13, 1), (0, 1), (4, 31), (1, -5)] {
        let error = ensemble.dates_reaching(&Heat { start, model: sine(10.0), total: 100.0 }).unwrap_err();
        assert!(matches!(error, WeatherError::BadStart { .. }), "{error}");
    }
    let upside_down = DegreeDays { upper: Some(5.0), cutoff: Cutoff::Horizontal, ..sine(10.0) };
    for heat in [
        Heat { start: (3, 1), model: upside_down, total: 100.0 },
        Heat { start: (3, 1), model: DegreeDays { lower: f64::NAN, ..sine(10.0) }, total: 100.0 },
        Heat { start: (3, 1), model: sine(10.0), total: f64::INFINITY },
    ] {
        assert!(matches!(ensemble.dates_reaching(&heat), Err(WeatherError::BadModel { .. })));
    }
    assert!(DegreeDays::new(Method::SingleSine, 10.0, None, Cutoff::Vertical).is_err());
    assert!("double-quadratic".parse::<Method>().unwrap_err().to_string().contains("single-sine"));
    assert!("sideways".parse::<Cutoff>().unwrap_err().to_string().contains("horizontal"));
}

#[test]
fn whole_fahrenheit_holds_in_the_ensemble_too() {
    // T-11: 28 °F is stored as -2.2 °C = 28.04 °F. Without rounding the first hard freeze would come later in some years.
    let series = super::milwaukee();
    let mut exact = series.clone();
    exact.whole_fahrenheit = false;
    let dates = |series: &Series| {
        Ensemble::years_of_record(series, date(1999, 8, 15)).unwrap().first_frost(groundlore_weather::frost::HARD_FREEZE_C)
    };
    let (rounded, raw) = (dates(&series), dates(&exact));
    assert!(rounded.iter().zip(&raw).all(|(rounded, raw)| rounded <= raw));
    assert!(rounded != raw);
}

#[test]
fn the_first_run_of_dry_days_begins_on_a_dry_day_and_no_earlier_than_the_first_dry_day() {
    let series = super::milwaukee();
    let ensemble = Ensemble::years_of_record(&series, date(1999, 8, 15)).unwrap();
    let (from, to) = (date(1999, 8, 10), date(1999, 9, 30));
    let dry = |day: &Day| day.prcp_mm < 0.1;
    let (one, three) = (ensemble.first_run(from, to, 1, dry), ensemble.first_run(from, to, 3, dry));
    assert_eq!(one, ensemble.first_day(from, to, dry));
    assert!(three.iter().zip(&one).all(|(three, one)| three.is_some() && three >= one));
    for (future, first) in ensemble.futures().iter().zip(&three) {
        let first = first.unwrap();
        let end = first.checked_add(jiff::ToSpan::days(2)).unwrap();
        assert!(ensemble.days(future, first, end).all(|day| dry(&day)));
    }
}

#[test]
fn on_every_day_of_a_year_in_both_hemispheres_search_and_loop_agree() {
    let north = super::seattle();
    let mut south = north.clone();
    south.station.latitude = Some(-47.0);
    for series in [&north, &south] {
        let mut on = date(2014, 9, 1);
        while on < date(2015, 9, 1) {
            let ensemble = Ensemble::years_of_record(series, on).unwrap();
            for start in [(1, 1), (3, 1), (8, 20), (11, 1)] {
                let heat = Heat { start, model: sine(10.0), total: 300.0 };
                let (opens, closes) = ensemble.heat_season(start).unwrap();
                assert!(opens <= closes && closes < on.checked_add(jiff::ToSpan::years(1)).unwrap(), "{on} {start:?}");
                let dates = ensemble.dates_reaching(&heat).unwrap();
                assert_eq!(dates, by_loop(&ensemble, &heat), "{on} {start:?}");
                let past = dates.iter().flatten().any(|day| *day < on);
                assert!(!past || dates.iter().all(|day| *day == dates[0]), "what is past is certain: {on} {start:?}");
            }
            on = on.checked_add(jiff::ToSpan::days(3)).unwrap();
        }
    }
}

#[test]
fn next_springs_heat_can_be_asked_for_in_december() {
    let series = super::milwaukee();
    let ensemble = Ensemble::years_of_record(&series, date(1999, 12, 10)).unwrap();
    let sums = ensemble.heat_sums(sine(10.0));
    let dates = ensemble.dates_between(&sums, date(2000, 1, 1), date(2000, 12, 31), 250.0);
    assert!(dates.iter().all(|day| day.is_some_and(|day| day.year() == 2000 && (5..=7).contains(&day.month()))));
    assert!(ensemble.dates_between(&sums, date(2000, 1, 1), date(2000, 2, 1), 250.0).iter().all(Option::is_none));
    assert!(ensemble.dates_between(&sums, date(1999, 1, 1), date(1999, 2, 1), 250.0).iter().all(Option::is_none));
}

#[test]
fn heat_so_far_is_the_sum_of_the_known_days() {
    let series = super::milwaukee();
    let ensemble = Ensemble::years_of_record(&series, date(1999, 5, 20)).unwrap();
    let whole = groundlore_weather::HeatSums::over(&series, sine(10.0)).sum(date(1999, 3, 1), date(1999, 5, 19)).unwrap().total;
    assert!((ensemble.heat_so_far((3, 1), sine(10.0)).unwrap() - whole).abs() < 1e-9);
    assert_eq!(ensemble.heat_so_far((6, 1), sine(10.0)).unwrap(), 0.0);
}

#[test]
fn the_latest_years_alone_can_be_asked_for() {
    use groundlore_weather::EnsembleRules;
    let rules = EnsembleRules { latest_years: Some(10), ..EnsembleRules::default() };
    let ensemble = Ensemble::with_rules(&super::milwaukee(), date(1999, 5, 20), rules).unwrap();
    let years: Vec<i16> = ensemble.futures().iter().map(|future| future.year).collect();
    assert_eq!(years, (1989..=1998).collect::<Vec<i16>>());
}
