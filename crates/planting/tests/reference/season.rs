//! When to plant, on real dates: Milwaukee 1939–2014 (GHCN-Daily, public domain), 76 years.
//!
//! The dates were computed by a Python script of our own from the daily record: days on which the minimum first fell to 0 °C and
//! to −7 °C from August on, the last 0 °C before July, the day after the last week with a mean maximum of 27 °C or more; linear
//! quantiles.

use groundlore_planting::season::{DateOdds, SeasonOdds, Stock, Timing, Window, when_to_plant};
use jiff::ToSpan;
use jiff::civil::{Date, date};

fn odds(p10: Date, p50: Date, p90: Date) -> Option<DateOdds> {
    Some(DateOdds { p10, p50, p90, source: "Milwaukee, 76 years".to_owned() })
}

fn milwaukee() -> SeasonOdds {
    SeasonOdds {
        heat_ends: odds(date(2015, 8, 9), date(2015, 9, 5), date(2015, 9, 18)),
        first_frost: odds(date(2015, 10, 2), date(2015, 10, 18), date(2015, 11, 3)),
        hard_winter: odds(date(2015, 11, 8), date(2015, 11, 22), date(2015, 12, 8)),
        soil_cools: None,
        last_frost: odds(date(2016, 4, 12), date(2016, 4, 27), date(2016, 5, 10)),
        heat_begins: odds(date(2016, 6, 3), date(2016, 6, 20), date(2016, 7, 12)),
    }
}

fn window(timing: Timing) -> Window {
    timing.window().cloned().unwrap()
}

#[test]
fn deciduous_stock_may_go_in_until_about_mid_october() {
    // University of Minnesota Extension (Postels, 2017): until about mid October.
    let autumn = window(when_to_plant(&milwaukee(), Stock::Deciduous).unwrap().autumn);
    assert!((date(2015, 10, 5)..=date(2015, 10, 20)).contains(&autumn.latest), "{}", autumn.latest);
    assert_eq!((autumn.earliest, autumn.best), (date(2015, 9, 5), date(2015, 9, 13)));
}

#[test]
fn evergreens_go_in_in_september() {
    // The same source: evergreens earlier (September).
    let autumn = window(when_to_plant(&milwaukee(), Stock::Evergreen).unwrap().autumn);
    for day in [autumn.earliest, autumn.best, autumn.latest] {
        assert_eq!(day.month(), 9, "{day}");
    }
}

#[test]
fn spring_lies_between_the_last_frost_and_the_heat() {
    let spring = window(when_to_plant(&milwaukee(), Stock::Deciduous).unwrap().spring);
    assert_eq!((spring.earliest, spring.best, spring.latest), (date(2016, 4, 27), date(2016, 5, 6), date(2016, 5, 6)));
}

#[test]
fn both_sides_of_the_evidence_are_told() {
    let autumn = window(when_to_plant(&milwaukee(), Stock::Deciduous).unwrap().autumn);
    assert!(autumn.reasons.iter().any(|reason| reason.text.contains("least watering") && reason.source == "common practice"));
    assert!(autumn.against.iter().any(|reason| reason.text.contains("heaved")));
    assert!(autumn.not_checked.iter().any(|line| line.contains("soil temperature")));
}

#[test]
fn half_a_year_on_the_southern_window_is_the_same() {
    let later =
        |odds: Option<DateOdds>| odds.map(|o| DateOdds { p10: o.p10 + 182.days(), p50: o.p50 + 182.days(), p90: o.p90 + 182.days(), ..o });
    let north = milwaukee();
    let south =
        SeasonOdds { heat_ends: later(north.heat_ends.clone()), hard_winter: later(north.hard_winter.clone()), ..SeasonOdds::default() };
    let a = window(when_to_plant(&north, Stock::Deciduous).unwrap().autumn);
    let b = window(when_to_plant(&south, Stock::Deciduous).unwrap().autumn);
    assert_eq!((a.earliest + 182.days(), a.best + 182.days(), a.latest + 182.days()), (b.earliest, b.best, b.latest));
}

#[test]
fn unknown_dates_are_not_checked_and_a_lost_autumn_is_closed() {
    let nothing = when_to_plant(&SeasonOdds::default(), Stock::Deciduous).unwrap();
    assert!(matches!(nothing.autumn, Timing::NotChecked { .. }) && matches!(nothing.spring, Timing::NotChecked { .. }));
    let early = SeasonOdds { hard_winter: odds(date(2015, 9, 20), date(2015, 10, 5), date(2015, 10, 20)), ..milwaukee() };
    assert!(matches!(when_to_plant(&early, Stock::Deciduous).unwrap().autumn, Timing::Closed { .. }));
}
