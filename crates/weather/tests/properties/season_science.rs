//! What must hold of sun, water, soil and chill whatever the inputs.
use groundlore_weather::chill::{DynamicModel, UtahScale, chill_portions, chilling_hours};
use groundlore_weather::drought::{RainDistribution, dry_spells};
use groundlore_weather::evapotranspiration::air::Wind;
use groundlore_weather::evapotranspiration::daily::{DailyWeather, Radiation, Reference};
use groundlore_weather::evapotranspiration::hargreaves::HargreavesForm;
use groundlore_weather::evapotranspiration::radiation::{ClearSky, Shore};
use groundlore_weather::evapotranspiration::vapour::{Humidity, saturation_pressure_kpa};
use groundlore_weather::growing_season::first_spell;
use groundlore_weather::growth_potential::{AboveOptimum, Grass, GrowthForm};
use groundlore_weather::heat_days::HeatClass;
use groundlore_weather::soil_temperature::{AnnualWave, Cover, SoilColumn, SoilHeat};
use groundlore_weather::sun::DayGeometry;
use groundlore_weather::sun::day::{DayKind, sun_times};
use groundlore_weather::sun::position::{Ephemeris, sun_position};
use jiff::tz::{Offset, TimeZone};
use jiff::{Timestamp, civil::date};
use proptest::prelude::*;

proptest! {
    #[test]
    fn days_are_as_long_north_as_nights_are_south(latitude in -90.0..90.0f64, day in 1..=366i16) {
        let [north, south] = [latitude, -latitude].map(|latitude| DayGeometry::new(latitude, day).unwrap());
        prop_assert!((north.day_length_h + south.day_length_h - 24.0).abs() < 1e-6);
        prop_assert!((0.0..=24.0).contains(&north.day_length_h) && (0.0..50.0).contains(&north.extraterrestrial_mj));
        prop_assert_eq!(north.day_length_h == 0.0, north.extraterrestrial_mj < 1e-9 && north.day_length_h < 1e-9);
    }

    #[test]
    fn the_sun_is_somewhere_at_every_moment(seconds in -4_000_000_000..6_000_000_000i64, latitude in -90.0..90.0f64, longitude in -180.0..180.0f64) {
        let time = Timestamp::from_second(seconds).unwrap();
        let sun = sun_position(time, latitude, longitude);
        prop_assert!((0.0..=180.01).contains(&sun.zenith_deg) && (0.0..=360.0).contains(&sun.azimuth_deg));
        prop_assert!(Ephemeris::at(time).declination_deg.abs() < 23.7 && Ephemeris::at(time).equation_of_time_min.abs() < 20.0);
    }

    #[test]
    fn the_sun_crosses_the_horizon_when_it_is_said_to(
        latitude in -89.9..89.9f64, longitude in -180.0..180.0f64, year in 1950..2050i16, day in 0..365i64, hours in -12..=14i8,
    ) {
        let day = date(year, 1, 1).checked_add(jiff::Span::new().days(day)).unwrap();
        let zone = TimeZone::fixed(Offset::constant(hours));
        let times = sun_times(latitude, longitude, day, &zone).unwrap();
        let height = |moment| sun_position(moment, latitude, longitude).elevation_deg;
        let transit = times.hours_after_midnight(times.transit);
        prop_assert!((-0.3..=24.3).contains(&transit), "transit {}", transit);
        for moment in [times.rise, times.set].into_iter().flatten() {
            prop_assert!((height(moment) + 0.8333).abs() < 0.001);
        }
        if let (Some(rise), Some(set)) = (times.rise, times.set) {
            prop_assert!(rise <= times.transit && times.transit <= set && times.kind == DayKind::Crosses);
        }
        match times.kind {
            DayKind::StaysUp => prop_assert!(height(times.transit) >= -0.8333),
            DayKind::StaysDown => prop_assert!(height(times.transit) < -0.8333),
            DayKind::Crosses => {}
        }
    }

    #[test]
    fn every_possible_day_gives_a_depth_that_is_possible(
        latitude in -90.0..90.0f64, elevation in -400.0..5000.0f64, day in 1..=366i16, low in -60.0..40.0f64, swing in 0.0..25.0f64,
        wind in 0.0..40.0f64, below in 0.0..20.0f64, coast in any::<bool>(), humid in any::<bool>(),
    ) {
        let weather = DailyWeather {
            latitude_deg: latitude,
            elevation_m: elevation,
            day_of_year: day,
            minimum_c: low,
            maximum_c: (low + swing).min(60.0),
            humidity: Humidity::FromMinimum { below_c: below },
            wind: Wind::Measured { speed_ms: wind, height_m: 10.0 },
            radiation: Radiation::Temperatures(if coast { Shore::Coast } else { Shore::Inland }),
            clear_sky: if humid { ClearSky::Humidity } else { ClearSky::Simple },
            net_radiation_mj: None,
            soil_heat_mj: 0.0,
        };
        for cover in [Reference::Fao56, Reference::AsceShort, Reference::AsceTall] {
            let found = weather.evapotranspiration(cover).unwrap();
            prop_assert!((0.0..80.0).contains(&found.et0_mm), "{:?}", found);
            prop_assert!(found.terms.actual_kpa <= found.terms.saturation_kpa && (0.05..=1.0).contains(&found.terms.cloudiness));
        }
        let tall = weather.evapotranspiration(Reference::AsceTall).unwrap().et0_mm;
        prop_assert!(HargreavesForm::Fixed1985.mm(low, low + swing, 30.0) >= 0.0 && tall.is_finite());
    }

    #[test]
    fn warmer_air_holds_more(low in -60.0..60.0f64, more in 0.01..10.0f64) {
        prop_assert!(saturation_pressure_kpa(low + more) > saturation_pressure_kpa(low));
    }

    #[test]
    fn soil_stays_between_the_coldest_and_the_warmest_it_has_met(air in prop::collection::vec(-30.0..40.0f64, 1..120), snow in 0.0..0.5f64) {
        let usual = AnnualWave { mean_c: 8.0, amplitude_c: 10.0, coldest_day: 20.0, diffusivity_m2_day: 0.045 };
        let mut soil = SoilColumn::usual(SoilHeat::MOIST_LOAM, Cover::Turf, &usual, 60.0);
        let (low, high) = air.iter().fold((-2.0f64, 18.0f64), |(low, high), air| (low.min(*air), high.max(*air)));
        for air in air {
            soil.day(air, snow);
            for depth in [0.0, 0.05, 0.1, 1.0, 20.0] {
                let found = soil.temperature_c(depth);
                prop_assert!((low - 1e-9..=high + 1e-9).contains(&found), "{} at {}", found, depth);
            }
        }
    }

    #[test]
    fn chill_never_breaks_and_portions_never_shrink(hours in prop::collection::vec(-30.0..45.0f64, 0..400)) {
        let mut model = DynamicModel::default();
        let mut before = 0.0;
        for hour in &hours {
            model.hour(*hour);
            prop_assert!(model.portions() >= before && model.portions().is_finite());
            before = model.portions();
        }
        prop_assert_eq!(before, chill_portions(&hours));
        let most = hours.len() as f64;
        prop_assert!(UtahScale::Fahrenheit.sum(&hours).abs() <= most && chilling_hours(&hours, 0.0, 7.2) <= hours.len());
    }

    #[test]
    fn growth_and_classes_stay_on_their_scales(celsius in -60.0..60.0f64, days in 0.0..366.0f64) {
        for grass in [Grass::Cool, Grass::Warm] {
            for form in [GrowthForm::Fahrenheit, GrowthForm::Celsius] {
                let [falls, holds] = [AboveOptimum::Falls, AboveOptimum::Holds].map(|above| form.potential(celsius, grass, above));
                prop_assert!((0.0..=1.0).contains(&falls) && falls <= holds && holds <= 1.0);
            }
        }
        prop_assert!((1..=12).contains(&HeatClass::of_days(days).unwrap().number()));
    }

    #[test]
    fn a_wetter_stretch_never_has_a_lower_index(past in prop::collection::vec(0.0..300.0f64, 12..60), less in 0.0..400.0f64, more in 0.0..200.0f64) {
        if let Some(rain) = RainDistribution::fit(&past) {
            prop_assert!(rain.index(less) <= rain.index(less + more) + 1e-9);
            prop_assert!((0.0..=1.0).contains(&rain.chance_of_less(less)) && rain.index(less).abs() <= 3.09);
        }
    }

    #[test]
    fn spells_are_where_they_are_said_to_be(values in prop::collection::vec(0.0..10.0f64, 0..80), length in 1..8usize) {
        if let Some(start) = first_spell(&values, 0, length, |value| value > 5.0) {
            prop_assert!(values[start..start + length].iter().all(|value| *value > 5.0));
        }
        let spells = dry_spells(&values);
        prop_assert!(spells.current <= spells.longest && spells.longest <= values.len());
    }
}
