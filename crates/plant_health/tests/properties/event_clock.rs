//! Clocks of the season and sights of events, for any figures.

use groundlore_lore::Lore;
use groundlore_lore::event_clock::EventClock;
use groundlore_lore::provenance::Standing;
use groundlore_plant_health::event_clock::{Asked, ClockOdds, Event, Outlook, events, odds, odds_of_all};
use groundlore_plant_health::observed::{
    INDICATOR_CORRELATION, Place, SIGHT_DOUBT_DAYS, Seen, Shift, Sight, Spreads, residual_days, seen_of, shift,
};
use groundlore_weather::futures::{Futures, Kind};
use groundlore_weather::{Columns, Ensemble, Series, Station};
use jiff::civil::{Date, date};
use proptest::prelude::*;
use std::sync::{Arc, LazyLock};

/// Twelve invented years, warm and cool by turns, with rain every sixth day. South of the equator the same weather half a year later.
fn invented(south: bool) -> Series {
    let mut columns = Columns::default();
    let mut day = date(2004, 1, 1);
    while day < date(2016, 1, 1) {
        let turn = if south { -1.0 } else { 1.0 };
        let season = -turn * (f64::from(day.day_of_year() - 15) * std::f64::consts::TAU / 365.25).cos();
        let year = f64::from((i32::from(day.year()) * 7) % 5 - 2);
        let ripple = 3.0 * (f64::from(day.day_of_year()) * 0.7 + f64::from(day.year())).sin();
        let mean = 9.0 + 13.0 * season + year + ripple;
        columns.tmin_c.push(mean - 6.0);
        columns.tmax_c.push(mean + 6.0);
        columns.prcp_mm.push(if day.day_of_year() % 6 == 0 { 12.0 } else { 0.0 });
        day = day.tomorrow().unwrap();
    }
    let latitude = if south { -43.0 } else { 43.0 };
    Series::from_columns(Station { latitude: Some(latitude), ..Station::default() }, date(2004, 1, 1), columns).unwrap()
}

static NORTH: LazyLock<Series> = LazyLock::new(|| invented(false));
static SOUTH: LazyLock<Series> = LazyLock::new(|| invented(true));
static SPRING: LazyLock<Outlook> = LazyLock::new(|| outlook_on(date(2015, 3, 20)));

fn outlook_on(on: Date) -> Outlook {
    Outlook::of_ensemble(&Ensemble::years_of_record(&NORTH, on).unwrap(), 43.0, None).unwrap()
}

fn heat_clock(low: f64, high: f64, error: f64, apart: Option<f64>) -> EventClock {
    let individuals = apart
        .map(|days| format!("individuals = {{ ten_to_ninety_days = {days:?}, at_threshold = 0.1, source = \"memory\" }}\n"))
        .unwrap_or_default();
    let text = format!(
        "key = \"moth\"\nname = \"moth\"\nkind = \"ornamental-insect\"\nstart = {{ on = \"date\", day = \"01-01\", source = \"memory\" }}\n\
         driver = {{ by = \"air-degree-days\", method = \"single-sine\", base = \"50 degF\", source = \"memory\" }}\n\
         threshold = {{ low = {low:?}, high = {high:?}, unit = \"F-days\", source = \"memory\" }}\n{individuals}\
         model_error = {{ days = {error:?}, source = \"memory\" }}\nregion = \"here\"\nedition = \"now\"\nsource = \"memory\"\n"
    );
    toml::from_str(&text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn answer(clock: EventClock, share: Option<f64>, outlook: &Outlook, shift: Option<Shift>) -> ClockOdds {
    let event = Event { clock: Arc::new(clock), share, standing: Standing::Recalled };
    odds(&event, outlook, &Asked { shift, biofix: None }).unwrap()
}

fn width(odds: &ClockOdds) -> i32 {
    groundlore_weather::calendar::day_number(odds.p90.unwrap()) - groundlore_weather::calendar::day_number(odds.p10.unwrap())
}

const HERE: Place = Place { east_m: 0.0, north_m: 0.0 };

fn seen(yard: &str, east_m: f64, residual_days: f64) -> Seen {
    Seen { yard: yard.into(), place: Place { east_m, north_m: 0.0 }, residual_days, doubt_days: 2.0, correlation: 1.0 }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_later_threshold_has_a_later_date(low in 50.0..900.0f64, more in 40.0..600.0f64) {
        let (early, late) = (answer(heat_clock(low, low, 7.0, None), None, &SPRING, None), answer(heat_clock(low + more, low + more, 7.0, None), None, &SPRING, None));
        prop_assert!(early.p10 <= late.p10 && early.p50 <= late.p50 && early.p90 <= late.p90);
        prop_assert!(early.p50 < late.p50);
    }

    #[test]
    fn more_doubt_makes_a_wider_window(total in 80.0..900.0f64, error in 0.0..12.0f64, more in 4.0..15.0f64) {
        let at = |error| answer(heat_clock(total, total, error, None), None, &SPRING, None);
        prop_assert!(width(&at(error + more)) > width(&at(error)));
    }

    #[test]
    fn individuals_further_apart_make_a_wider_window_for_one_at_random(total in 80.0..900.0f64, apart in 2.0..20.0f64) {
        let at = |apart| answer(heat_clock(total, total, 7.0, apart), None, &SPRING, None);
        prop_assert!(width(&at(Some(apart + 20.0))) > width(&at(None)));
    }

    #[test]
    fn a_wider_range_of_the_threshold_makes_a_wider_window(middle in 300.0..900.0f64, half in 100.0..250.0f64) {
        let at = |half: f64| answer(heat_clock(middle - half, middle + half, 7.0, None), None, &SPRING, None);
        prop_assert!(width(&at(half)) > width(&at(0.0)));
    }

    #[test]
    fn the_first_the_middle_and_the_last_individuals_come_in_order(total in 80.0..900.0f64, apart in 6.0..40.0f64) {
        let at = |share| answer(heat_clock(total, total, 7.0, Some(apart)), Some(share), &SPRING, None).p50.unwrap();
        prop_assert!(at(0.1) < at(0.5) && at(0.5) < at(0.9));
        let days = groundlore_weather::calendar::day_number(at(0.9)) - groundlore_weather::calendar::day_number(at(0.1));
        prop_assert!((f64::from(days) - apart).abs() <= 2.0, "{days} days for {apart}");
    }

    #[test]
    fn a_warmer_place_is_earlier(total in 80.0..900.0f64, warmer in 0.5..3.0f64) {
        let clock = || heat_clock(total, total, 7.0, None);
        prop_assert!(answer(clock(), None, &SPRING.clone().warmer_by(warmer), None).p50 < answer(clock(), None, &SPRING, None).p50);
    }

    #[test]
    fn a_sight_on_the_middle_date_narrows_and_does_not_move(total in 80.0..900.0f64, half in 0.0..60.0f64) {
        let clock = || heat_clock(total, total + half, 7.0, None);
        let before = answer(clock(), None, &SPRING, None);
        let residual = residual_days(&before, before.p50.unwrap()).unwrap();
        let learned = shift("a", HERE, &[seen("a", 0.0, residual)], &Spreads::of(&before));
        let after = answer(clock(), None, &SPRING, Some(learned));
        prop_assert_eq!(residual, 0.0);
        prop_assert!(width(&after) < width(&before), "{} after {}", width(&after), width(&before));
        let moved = groundlore_weather::calendar::day_number(after.p50.unwrap()) - groundlore_weather::calendar::day_number(before.p50.unwrap());
        prop_assert!(moved.abs() <= 1, "{}", moved);
    }

    #[test]
    fn an_early_sight_moves_its_yard_earlier_and_its_neighbours_by_less(residual in -20.0..-1.0f64, sd in 2.0..10.0f64, metres in 100.0..30_000.0f64) {
        let spreads = Spreads::of_sd(sd);
        let sights = [seen("a", 0.0, residual)];
        let own = shift("a", HERE, &sights, &spreads);
        let next = shift("b", Place { east_m: metres, north_m: 0.0 }, &sights, &spreads);
        let further = shift("c", Place { east_m: 2.0 * metres, north_m: 0.0 }, &sights, &spreads);
        prop_assert!(own.mean_days < next.mean_days && next.mean_days < further.mean_days && further.mean_days < 0.0);
        prop_assert!(own.sd_days < next.sd_days && next.sd_days < further.sd_days && further.sd_days < spreads.sd_days());
        prop_assert!(own.mean_days > residual, "a sight is never believed whole");
    }

    #[test]
    fn an_indicator_tells_less_than_the_event_itself(residual in -20.0..-1.0f64, sd in 2.0..10.0f64) {
        let spreads = Spreads::of_sd(sd);
        let plant = Seen { correlation: INDICATOR_CORRELATION, ..seen("a", 0.0, residual) };
        let (by_plant, by_event) = (shift("a", HERE, &[plant], &spreads), shift("a", HERE, &[seen("a", 0.0, residual)], &spreads));
        prop_assert!(by_event.mean_days < by_plant.mean_days && by_plant.mean_days < 0.0);
        prop_assert!(by_event.sd_days < by_plant.sd_days && by_plant.sd_days < spreads.sd_days());
    }

    #[test]
    fn every_further_sight_narrows(residuals in prop::collection::vec((-15.0..15.0f64, -9000.0..9000.0f64), 1..12), sd in 2.0..10.0f64) {
        let spreads = Spreads::of_sd(sd);
        let sights: Vec<Seen> = residuals.iter().enumerate().map(|(i, (residual, east))| seen(&format!("y{i}"), *east, *residual)).collect();
        let mut last = spreads.sd_days();
        for n in 1..=sights.len() {
            let now = shift("here", HERE, &sights[..n], &spreads);
            prop_assert!(now.sd_days <= last + 1e-9 && now.mean_days.is_finite());
            last = now.sd_days;
        }
    }
}

#[test]
fn the_order_of_sights_does_not_matter() {
    let spreads = Spreads::of_sd(6.0);
    let mut sights = vec![seen("a", 0.0, -8.0), seen("b", 500.0, 3.0), seen("c", -4000.0, 1.0)];
    let first = shift("d", HERE, &sights, &spreads);
    sights.reverse();
    assert_eq!(first, shift("d", HERE, &sights, &spreads));
}

#[test]
fn what_comes_after_the_day_asked_on_is_never_looked_at() {
    let on = date(2012, 5, 1);
    let events = events(&Lore::built_in_lenient(None).0);
    let known = NORTH.between(NORTH.first_day(), date(2012, 4, 30)).unwrap();
    let of = |series: &Series| {
        let outlook = Outlook::of_ensemble(&Ensemble::years_of_record(series, on).unwrap(), 43.0, None).unwrap();
        odds_of_all(&events, &outlook, |_| Asked::default())
    };
    assert_eq!(of(&NORTH), of(&known));
}

#[test]
fn futures_of_another_kind_serve_as_well_and_say_so() {
    let on = date(2015, 3, 20);
    let plain = Outlook::of_futures(&Futures::of(&NORTH, on, Kind::Plain).unwrap(), 43.0, None).unwrap();
    assert_eq!(plain.word(), "plain");
    for total in [60.0, 200.0, 500.0, 900.0] {
        let clock = || heat_clock(total, total, 7.0, None);
        let (by_years, by_futures) = (answer(clock(), None, &SPRING, None), answer(clock(), None, &plain, None));
        assert_eq!((by_years.p10, by_years.p50, by_years.p90), (by_futures.p10, by_futures.p50, by_futures.p90), "{total}");
    }
    let placed = Outlook::of_futures(&Futures::of(&NORTH, on, Kind::Detrended).unwrap(), 43.0, None).unwrap();
    let odds = answer(heat_clock(300.0, 300.0, 7.0, None), None, &placed, None);
    assert!(odds.p50.is_some() && odds.working.iter().any(|line| line.contains(placed.word())), "{:?}", odds.working);
}

#[test]
fn south_of_the_equator_the_same_weather_comes_half_a_year_later() {
    let south = Outlook::of_ensemble(&Ensemble::years_of_record(&SOUTH, date(2014, 9, 20)).unwrap(), -43.0, None).unwrap();
    let north = outlook_on(date(2014, 3, 20));
    for total in [100.0, 400.0, 900.0] {
        let at = |outlook| answer(heat_clock(total, total, 7.0, None), None, outlook, None).p50.unwrap();
        let (spring, half_a_year_on) = (at(&north), at(&south));
        let days = groundlore_weather::calendar::day_number(half_a_year_on) - groundlore_weather::calendar::day_number(spring);
        assert!((days - 183).abs() <= 8, "{total}: {spring} and {half_a_year_on}");
    }
}

#[test]
fn every_kind_of_driver_is_dated_on_a_usual_year() {
    let (lore, _) = Lore::built_in_lenient(None);
    let outlook = outlook_on(date(2015, 1, 15));
    for (key, from, to) in [
        ("last-night-at-32f", date(2015, 3, 15), date(2015, 5, 20)),
        ("first-night-at-32f", date(2015, 9, 20), date(2015, 11, 30)),
        ("first-mowing", date(2015, 3, 1), date(2015, 5, 15)),
        ("late-summer-seeding-best", date(2015, 8, 1), date(2015, 10, 20)),
        ("smooth-crabgrass-emerges-by-first-maryland-50", date(2015, 4, 10), date(2015, 7, 10)),
        ("redbud-after-chill", date(2015, 3, 15), date(2015, 6, 10)),
        ("new-england-aster-first-bloom", date(2015, 8, 15), date(2015, 9, 20)),
        ("soaking-rain-spring", date(2015, 3, 1), date(2015, 12, 31)),
        ("japanese-beetle-seen-new-england-50", date(2015, 6, 25), date(2015, 8, 10)),
        ("ground-freezes", date(2015, 11, 1), date(2015, 12, 31)),
    ] {
        let event = groundlore_plant_health::event_clock::event(&lore, key).unwrap_or_else(|| panic!("no event {key}"));
        let odds = odds(&event, &outlook, &Asked::default()).unwrap();
        if key == "soaking-rain-spring" {
            assert_eq!(odds.never, 1.0, "12 mm every sixth day is no soaking rain");
        } else {
            let middle = odds.p50.unwrap_or_else(|| panic!("{key}: {:?}", odds.never));
            assert!((from..=to).contains(&middle), "{key}: {middle}");
        }
    }
}

#[test]
fn what_is_over_on_the_day_asked_on_does_not_count_as_coming() {
    let outlook = outlook_on(date(2015, 7, 1));
    let odds = answer(heat_clock(100.0, 100.0, 7.0, None), None, &outlook, None);
    let coming = odds.coming(date(2015, 7, 1));
    assert!(odds.p90.unwrap() < date(2015, 7, 1) && odds.never == 0.0);
    assert_eq!((coming.p50, coming.never), (None, 1.0));
    let all = odds.coming(date(2015, 1, 1));
    assert_eq!((all.p10, all.p50, all.p90, all.never), (odds.p10, odds.p50, odds.p90, 0.0));
}

#[test]
fn a_hatch_and_the_bloom_that_stands_for_it_both_move_the_hatch() {
    let lore = Lore::built_in_lenient(None).0;
    let outlook = outlook_on(date(2015, 3, 20));
    let of = |key: &str| odds(&groundlore_plant_health::event_clock::event(&lore, key).unwrap(), &outlook, &Asked::default()).unwrap();
    let hatch = &lore.clocks["european-pine-sawfly-hatch-ohio"];
    let early = |what: &str, days: i32| {
        let on = groundlore_weather::calendar::date_of(groundlore_weather::calendar::day_number(of(what).p50.unwrap()) - days);
        Sight { what: what.into(), yard: "a".into(), place: HERE, on, doubt_days: SIGHT_DOUBT_DAYS }
    };
    let sights = [
        early("european-pine-sawfly-hatch-ohio-50", 6),
        early("callery-pear-first-bloom-ohio", 4),
        early("black-locust-full-bloom-ohio", 9),
    ];
    let seen = seen_of(hatch, &sights, |sight| Some(of(&sight.what)));
    let told: Vec<(f64, f64)> = seen.iter().map(|sight| (sight.residual_days, sight.correlation)).collect();
    assert_eq!(told, [(-6.0, 1.0), (-4.0, INDICATOR_CORRELATION)], "the locust stands for another insect");
    let learned = shift("a", HERE, &seen, &Spreads::of(&of("european-pine-sawfly-hatch-ohio-50")));
    let after = odds(
        &groundlore_plant_health::event_clock::event(&lore, "european-pine-sawfly-hatch-ohio-50").unwrap(),
        &outlook,
        &Asked { shift: Some(learned), biofix: None },
    )
    .unwrap();
    let before = of("european-pine-sawfly-hatch-ohio-50");
    assert!(after.p50 < before.p50 && width(&after) < width(&before));
    assert!(after.working.iter().any(|line| line.contains("what was seen")), "{:?}", after.working);
}

#[test]
fn a_doubt_in_the_places_own_air_runs_through_the_days_that_are_known() {
    // Asked in August, a sum of May is behind in every future: only the doubt in the yard's own air sets its dates apart.
    let august = outlook_on(date(2015, 8, 20));
    let at = |outlook: &Outlook| answer(heat_clock(200.0, 200.0, 0.0, None), None, outlook, None);
    assert_eq!(width(&at(&august)), 0);
    assert!(width(&at(&august.with_doubt_of(1.0, 1.0))) >= 4);
}
