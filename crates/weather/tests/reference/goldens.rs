//! Values made by scripts at named versions of other libraries: `bench/goldens/evapotranspiration.py` (refet 0.5.0, pyet 1.5.0) and
//! `bench/goldens/sun.py` (pvlib 0.16.1). Every row carries its source and its tolerance.

use groundlore_weather::evapotranspiration::air::Wind;
use groundlore_weather::evapotranspiration::daily::{DailyWeather, Radiation, Reference};
use groundlore_weather::evapotranspiration::hourly::HourlyWeather;
use groundlore_weather::evapotranspiration::radiation::ClearSky;
use groundlore_weather::evapotranspiration::vapour::Humidity;
use groundlore_weather::sun::day::sun_times;
use groundlore_weather::sun::position::sun_position;
use jiff::{Timestamp, tz::Offset, tz::TimeZone};

use super::{near, rows};

fn number(row: &[&str], column: usize) -> f64 {
    row[column].parse().unwrap()
}

fn reference(name: &str) -> Reference {
    [Reference::Fao56, Reference::AsceShort, Reference::AsceTall].into_iter().find(|reference| reference.name() == name).unwrap()
}

#[test]
fn days_from_both_hemispheres_agree_with_refet_and_pyet() {
    let mut by_method = std::collections::BTreeMap::new();
    for row in rows(include_str!("../data/goldens_et_daily.csv")) {
        let day = DailyWeather {
            latitude_deg: number(&row, 3),
            elevation_m: number(&row, 4),
            day_of_year: row[5].parse().unwrap(),
            minimum_c: number(&row, 6),
            maximum_c: number(&row, 7),
            humidity: Humidity::VapourPressure(number(&row, 8)),
            wind: Wind::Measured { speed_ms: number(&row, 9), height_m: number(&row, 10) },
            radiation: Radiation::Measured(number(&row, 11)),
            clear_sky: if row[2] == "humidity" { ClearSky::Humidity } else { ClearSky::Simple },
            net_radiation_mj: None,
            soil_heat_mj: 0.0,
        };
        let found = day.evapotranspiration(reference(row[1])).unwrap().et0_mm;
        near(&format!("{} {} {} at {}, day {}", row[0], row[1], row[2], row[3], row[5]), found, number(&row, 12), number(&row, 13));
        *by_method.entry(row[1]).or_insert(0) += 1;
    }
    assert_eq!(by_method.into_iter().collect::<Vec<_>>(), [("asce-short", 80), ("asce-tall", 80), ("fao56", 40)]);
}

/// Nights as refet takes them, with a clear sky.
#[test]
fn hours_of_day_and_night_agree_with_refet() {
    let (mut count, mut nights) = (0, 0);
    for row in rows(include_str!("../data/goldens_et_hourly.csv")) {
        let hour = HourlyWeather {
            latitude_deg: number(&row, 2),
            longitude_deg: number(&row, 3),
            elevation_m: number(&row, 4),
            end: row[5].parse().unwrap(),
            temperature_c: number(&row, 6),
            vapour_pressure_kpa: number(&row, 7),
            wind: Wind::Measured { speed_ms: number(&row, 8), height_m: number(&row, 9) },
            solar_mj: number(&row, 10),
            cloudiness: Some(1.0),
            net_radiation_mj: None,
        };
        let found = hour.evapotranspiration(reference(row[1])).unwrap();
        near(&format!("{} {} at {}, {}", row[0], row[1], row[2], row[5]), found.et0_mm, number(&row, 11), number(&row, 12));
        nights += usize::from(found.sun.extraterrestrial_mj == 0.0);
        count += 1;
    }
    assert!(count == 120 && nights > 20 && nights < 100, "{nights} nights of {count} hours");
}

#[test]
fn the_sun_stands_within_a_hundredth_of_a_degree_of_the_long_algorithm() {
    let (mut count, mut worst) = (0, 0.0_f64);
    for row in rows(include_str!("../data/goldens_sun_position.csv")) {
        let time: Timestamp = row[3].parse().unwrap();
        let sun = sun_position(time, number(&row, 1), number(&row, 2));
        let zenith = (sun.zenith_deg - number(&row, 4)).abs();
        let azimuth = ((sun.azimuth_deg - number(&row, 5) + 180.0).rem_euclid(360.0) - 180.0).abs();
        assert!(zenith < number(&row, 6) && azimuth < number(&row, 7), "{} at {}: {zenith}, {azimuth}", row[3], row[1]);
        worst = worst.max(zenith);
        count += 1;
    }
    assert_eq!(count, 120);
    eprintln!("worst of 120 zeniths: {worst:.5}°");
}

#[test]
fn rise_transit_and_set_all_over_the_globe_come_within_a_minute_of_the_long_algorithm() {
    let (mut count, mut never, mut worst) = (0, 0, 0.0_f64);
    for row in rows(include_str!("../data/goldens_sun_times.csv")) {
        let zone = TimeZone::fixed(Offset::constant(row[4].parse().unwrap()));
        let day = sun_times(number(&row, 1), number(&row, 2), row[3].parse().unwrap(), &zone).unwrap();
        for (name, found, wanted) in [("rise", day.rise, row[5]), ("transit", Some(day.transit), row[6]), ("set", day.set, row[7])] {
            let wanted: Option<Timestamp> = (!wanted.is_empty()).then(|| wanted.parse().unwrap());
            assert_eq!(found.is_some(), wanted.is_some(), "{name} at {} on {}", row[1], row[3]);
            if let (Some(found), Some(wanted)) = (found, wanted) {
                let off = (found.as_millisecond() - wanted.as_millisecond()).abs() as f64 / 1000.0;
                assert!(off < number(&row, 8), "{name} at {} on {}: {off} s", row[1], row[3]);
                worst = worst.max(off);
            }
        }
        never += usize::from(row[5].is_empty());
        count += 1;
    }
    assert!(count == 80 && never > 3, "{never} days without a rise");
    eprintln!("worst of 80 days: {worst:.1} s");
}
