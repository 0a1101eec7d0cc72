//! Reference evapotranspiration: rows W-01 to W-13, W-28 to W-31, W-40, W-41, A-01 to A-09 of the reference note.
use groundlore_weather::evapotranspiration::air::{Wind, pressure_kpa, psychrometric_kpa_c, wind_factor};
use groundlore_weather::evapotranspiration::columns::{DayColumns, StationSky, hargreaves_columns, penman_monteith_columns};
use groundlore_weather::evapotranspiration::daily::{DailyWeather, Radiation, Reference, StandIn};
use groundlore_weather::evapotranspiration::hargreaves::{HargreavesForm, TEMPERATURES_ONLY};
use groundlore_weather::evapotranspiration::hourly::{HourlyWeather, SunHour, hours_in_a_row};
use groundlore_weather::evapotranspiration::radiation::{
    ClearSky, HumidSky, Longwave, Shore, SunshineShares, clear_sky_humid_mj, cloudiness, monthly_soil_heat_mj, net_shortwave_mj,
};
use groundlore_weather::evapotranspiration::radiation_methods::{makkink_knmi_mm, makkink_original_mm, priestley_taylor_mm, turc_mm};
use groundlore_weather::evapotranspiration::vapour::{Humidity, Psychrometer, mean_saturation_kpa, saturation_pressure_kpa, slope_kpa_c};
use groundlore_weather::sun::{declination, seasonal_correction_h};
use jiff::civil::Date;

use super::{near, rows};

fn cell(row: &[&str], column: usize) -> f64 {
    row[column].parse().unwrap()
}

fn day_of_year(text: &str) -> i16 {
    text.parse::<Date>().unwrap().day_of_year()
}

/// W-01 to W-04, W-09, W-28, W-29: FAO-56.
#[test]
fn fao_56_air_and_vapour_examples_come_out_as_printed() {
    near("W-01 P", pressure_kpa(1800.0), 81.8, 0.06);
    near("W-01 γ", psychrometric_kpa_c(pressure_kpa(1800.0)), 0.054, 0.0006);
    near("W-02 e°(24.5)", saturation_pressure_kpa(24.5), 3.075, 0.0006);
    near("W-02 e°(15)", saturation_pressure_kpa(15.0), 1.705, 0.0006);
    near("W-02 es", mean_saturation_kpa(15.0, 24.5), 2.39, 0.006);
    near("W-02 e°(19.75)", saturation_pressure_kpa(19.75), 2.30, 0.006);
    near("W-03 P", pressure_kpa(1200.0), 87.9, 0.06);
    near("W-03 e°(wet)", saturation_pressure_kpa(19.5), 2.267, 0.0006);
    near("W-03 ea", Psychrometer::Ventilated.vapour_pressure_kpa(25.6, 19.5, 87.9), 1.91, 0.006);
    let coefficients = [Psychrometer::Ventilated, Psychrometer::Natural, Psychrometer::Indoor].map(Psychrometer::coefficient);
    assert_eq!(coefficients, [0.000_662, 0.000_800, 0.001_200], "W-04");
    near("W-09 factor", wind_factor(10.0), 0.748, 0.0006);
    near("W-09 u2", Wind::Measured { speed_ms: 3.2, height_m: 10.0 }.at_2m_ms().unwrap(), 2.4, 0.06);
    for (celsius, emitted) in [(1.0, 27.70), (10.0, 31.52), (17.0, 34.75), (20.0, 36.21), (25.0, 38.75), (33.0, 43.08), (40.0, 47.15)] {
        near("W-28 σT⁴", Longwave::FAO56_DAY.emitted_mj(celsius), emitted, 0.01);
    }
    for (height, factor) in [(1.0, 1.178), (1.4, 1.084), (3.0, 0.921), (5.0, 0.838), (10.0, 0.748), (10.5, 0.742)] {
        near("W-29 factor", wind_factor(height), factor, 0.001);
    }
}

fn bangkok() -> DailyWeather {
    DailyWeather {
        latitude_deg: 13.0 + 44.0 / 60.0,
        elevation_m: 2.0,
        day_of_year: 105,
        minimum_c: 25.6,
        maximum_c: 34.8,
        humidity: Humidity::VapourPressure(2.85),
        wind: Wind::Measured { speed_ms: 2.0, height_m: 2.0 },
        radiation: Radiation::Sunshine { hours: 8.5, shares: SunshineShares::FAO56 },
        clear_sky: ClearSky::Simple,
        net_radiation_mj: None,
        soil_heat_mj: monthly_soil_heat_mj(30.2, 29.2),
    }
}

fn uccle() -> DailyWeather {
    DailyWeather {
        latitude_deg: 50.8,
        elevation_m: 100.0,
        day_of_year: 187,
        minimum_c: 12.3,
        maximum_c: 21.5,
        humidity: Humidity::Range { minimum_pct: 63.0, maximum_pct: 84.0 },
        wind: Wind::Measured { speed_ms: 10.0 / 3.6, height_m: 10.0 },
        radiation: Radiation::Sunshine { hours: 9.25, shares: SunshineShares::FAO56 },
        clear_sky: ClearSky::Simple,
        net_radiation_mj: None,
        soil_heat_mj: 0.0,
    }
}

/// W-11: FAO-56 example 17, Bangkok in April.
#[test]
fn bangkok_in_april_gives_every_printed_term() {
    let found = bangkok().evapotranspiration(Reference::Fao56).unwrap();
    let terms = found.terms;
    near("Δ", terms.slope_kpa_c, 0.246, 0.0006);
    near("γ", terms.psychrometric_kpa_c, 0.0674, 0.00011);
    near("es", terms.saturation_kpa, 4.42, 0.006);
    near("Ra", terms.extraterrestrial_mj, 38.06, 0.011);
    near("N", terms.day_length_h, 12.31, 0.006);
    near("Rs", terms.solar_mj, 22.65, 0.011);
    near("Rso", terms.clear_sky_mj, 28.54, 0.011);
    near("Rns", terms.net_shortwave_mj, 17.44, 0.011);
    near("Rnl", terms.net_longwave_mj, 3.11, 0.011);
    near("Rn", terms.net_radiation_mj, 14.33, 0.011);
    near("G", terms.soil_heat_mj, 0.14, 1e-9);
    near("ETo", found.et0_mm, 5.72, 0.01);
    assert_eq!(found.stand_ins, [StandIn::RadiationFromSunshine]);
}

/// W-12: FAO-56 example 18, Uccle on 6 July.
#[test]
fn uccle_in_july_gives_every_printed_term() {
    let found = uccle().evapotranspiration(Reference::Fao56).unwrap();
    let terms = found.terms;
    near("u2", terms.wind_2m_ms, 2.078, 0.0011);
    near("P", terms.pressure_kpa, 100.1, 0.06);
    near("Δ", terms.slope_kpa_c, 0.122, 0.0006);
    near("γ", terms.psychrometric_kpa_c, 0.0666, 0.00011);
    near("es", terms.saturation_kpa, 1.997, 0.0006);
    near("ea", terms.actual_kpa, 1.409, 0.0011);
    near("Ra", terms.extraterrestrial_mj, 41.09, 0.011);
    near("N", terms.day_length_h, 16.1, 0.06);
    near("Rs", terms.solar_mj, 22.07, 0.011);
    near("Rso", terms.clear_sky_mj, 30.90, 0.011);
    near("Rns", terms.net_shortwave_mj, 17.00, 0.011);
    near("Rnl", terms.net_longwave_mj, 3.71, 0.011);
    near("Rn", terms.net_radiation_mj, 13.28, 0.011);
    near("ETo", found.et0_mm, 3.88, 0.01);
}

/// W-13: FAO-56 example 19, N'Diaye, the hour from 14 to 15 h on 1 October.
#[test]
fn an_hour_at_ndiaye_gives_every_printed_term() {
    let ea = 3.445;
    let hour = HourlyWeather {
        latitude_deg: 16.0 + 13.0 / 60.0,
        longitude_deg: -16.25,
        elevation_m: 8.0,
        end: "1998-10-01T15:00:00-01:00".parse().unwrap(),
        temperature_c: 38.0,
        vapour_pressure_kpa: ea,
        wind: Wind::Measured { speed_ms: 3.3, height_m: 2.0 },
        solar_mj: 2.450,
        cloudiness: None,
        net_radiation_mj: None,
    };
    let found = hour.evapotranspiration(Reference::Fao56).unwrap();
    near("b", std::f64::consts::TAU * (274.0 - 81.0) / 364.0, 3.3315, 0.0001);
    near("Sc", seasonal_correction_h(274.0), 0.1889, 0.0001);
    near("ω", found.sun.middle_rad, 0.682, 0.0006);
    near("ω1", found.sun.start_rad, 0.5512, 0.0006);
    near("ω2", found.sun.end_rad, 0.8130, 0.0006);
    near("δ", declination(274.0), -0.0753, 0.0001);
    near("Ra", found.sun.extraterrestrial_mj, 3.543, 0.0011);
    near("Rso", found.clear_sky_mj, 2.658, 0.0011);
    near("Rnl", found.net_longwave_mj, 0.137, 0.0011);
    near("Rn", found.net_radiation_mj, 1.749, 0.0011);
    near("G", found.soil_heat_mj, 0.175, 0.0006);
    near("e°", found.saturation_kpa, 6.625, 0.0006);
    near("ea", saturation_pressure_kpa(38.0) * 0.52, ea, 0.0006);
    near("Δ", found.slope_kpa_c, 0.358, 0.0006);
    near("ETo", found.et0_mm, 0.63, 0.006);
}

/// W-31: the limits of FAO-56 that belong here (pp. 52 and 63).
#[test]
fn light_winds_and_bright_days_are_held_inside_the_limits() {
    let calm = |speed_ms: f64| DailyWeather { wind: Wind::Measured { speed_ms, height_m: 2.0 }, ..uccle() };
    let [still, half] = [0.1, 0.5].map(|wind| calm(wind).evapotranspiration(Reference::Fao56).unwrap());
    near("u2", still.et0_mm, half.et0_mm, 1e-12);
    assert!(still.stand_ins.contains(&StandIn::WindHalf) && !half.stand_ins.contains(&StandIn::WindHalf));
    let [still, half] = [0.1, 0.5].map(|wind| calm(wind).evapotranspiration(Reference::AsceShort).unwrap());
    assert!(still.et0_mm < half.et0_mm, "ASCE takes the wind as it is");
    near("Rs/Rso", cloudiness(40.0, 30.0).unwrap(), 1.0, 1e-12);
    assert_eq!(cloudiness(0.0, 0.0), None);
}

fn alice_springs() -> DailyWeather {
    DailyWeather {
        latitude_deg: -23.7951,
        elevation_m: 546.0,
        day_of_year: 202,
        minimum_c: 2.0,
        maximum_c: 21.0,
        humidity: Humidity::Range { minimum_pct: 25.0, maximum_pct: 71.0 },
        wind: Wind::Measured { speed_ms: 0.5903, height_m: 2.0 },
        radiation: Radiation::Sunshine { hours: 10.7, shares: SunshineShares { overcast: 0.23, sunshine: 0.5 } },
        clear_sky: ClearSky::Simple,
        net_radiation_mj: None,
        soil_heat_mj: 0.0,
    }
}

/// W-40 and W-41: McMahon et al. (2013), supplement S19, Alice Springs, 20 July 1980.
#[test]
fn alice_springs_gives_four_decimals() {
    let found = alice_springs().evapotranspiration(Reference::Fao56).unwrap();
    let terms = found.terms;
    near("e°max", saturation_pressure_kpa(21.0), 2.4870, 0.0001);
    near("e°min", saturation_pressure_kpa(2.0), 0.7056, 0.0001);
    near("es", terms.saturation_kpa, 1.5963, 0.0001);
    near("Δ", slope_kpa_c(11.5), 0.0898, 0.0001);
    near("P", terms.pressure_kpa, 95.01027, 0.00001);
    near("γ", terms.psychrometric_kpa_c, 0.0632, 0.0001);
    near("N", terms.day_length_h, 10.7431, 0.0001);
    near("Ra", terms.extraterrestrial_mj, 23.6182, 0.0001);
    near("Rso", terms.clear_sky_mj, 17.9716, 0.0001);
    near("Rs", terms.solar_mj, 17.1940, 0.0001);
    near("Rns", net_shortwave_mj(terms.solar_mj), 13.2393, 0.0001);
    let theirs = Longwave { kelvin: 273.2, stefan_boltzmann: 4.903e-9 };
    let longwave = theirs.net_mj(2.0, 21.0, terms.actual_kpa, terms.cloudiness);
    near("Rnl with 273.2", longwave, 7.1784, 0.0001);
    near("Rn with 273.2", terms.net_shortwave_mj - longwave, 6.0610, 0.0002);
    near("W-41 with 273.16", found.et0_mm, 2.0785, 0.0002);
    let given = DailyWeather { net_radiation_mj: Some(6.0610), ..alice_springs() };
    near("W-41 with 273.2", given.evapotranspiration(Reference::Fao56).unwrap().et0_mm, 2.0775, 0.0002);
}

/// The same day by the simpler methods: McMahon et al. (2013), S19, examples 10, 12, 13, 15, read in pyet's notebook of worked examples.
#[test]
fn alice_springs_by_the_simpler_methods() {
    let terms = alice_springs().evapotranspiration(Reference::Fao56).unwrap().terms;
    near("Makkink", makkink_original_mm(terms.slope_kpa_c, terms.psychrometric_kpa_c, terms.solar_mj), 2.3928, 0.002);
    near("Turc", turc_mm(11.5, terms.solar_mj, 48.0), 2.6727, 0.0005);
    near("Hargreaves", HargreavesForm::SwingCoefficient.mm(2.0, 21.0, terms.extraterrestrial_mj), 4.1129, 0.001);
    near("Priestley–Taylor", priestley_taylor_mm(terms.slope_kpa_c, terms.psychrometric_kpa_c, 8.6401, 0.0), 2.6083, 0.002);
    let ratio = HargreavesForm::SwingCoefficient.mm(2.0, 21.0, 23.6) / HargreavesForm::Fixed1985.mm(2.0, 21.0, 23.6);
    near("T-15: the two Hargreaves forms", ratio, 1.45, 0.01);
}

fn greeley() -> Vec<(Vec<&'static str>, HourlyWeather)> {
    let text = include_str!("../data/et_hourly_asce_greeley_2000.csv");
    let hour = |row: Vec<&'static str>| {
        let weather = HourlyWeather {
            latitude_deg: 40.41,
            longitude_deg: -104.78,
            elevation_m: 1462.4,
            end: format!("{}:00-07:00", row[0]).parse().unwrap(),
            temperature_c: cell(&row, 1),
            vapour_pressure_kpa: cell(&row, 2),
            wind: Wind::Measured { speed_ms: cell(&row, 4), height_m: 2.0 },
            solar_mj: cell(&row, 3),
            cloudiness: None,
            net_radiation_mj: None,
        };
        (row, weather)
    };
    rows(text).map(hour).collect()
}

/// ASCE-EWRI (2005), Appendix C.
#[test]
fn greeley_hours_come_out_given_the_printed_net_radiation() {
    let hours = greeley();
    assert_eq!(hours.len(), 23);
    near("P", pressure_kpa(1462.4), 85.17, 0.01);
    near("γ", psychrometric_kpa_c(pressure_kpa(1462.4)), 0.0566, 0.0001);
    for (row, weather) in &hours {
        let given = HourlyWeather { net_radiation_mj: Some(cell(row, 12)), ..*weather };
        let [short, tall] = [Reference::AsceShort, Reference::AsceTall].map(|cover| given.evapotranspiration(cover).unwrap());
        near(&format!("{} ETos", row[0]), short.et0_mm, cell(row, 13), 0.0051);
        near(&format!("{} ETrs", row[0]), tall.et0_mm, cell(row, 14), 0.0076);
        // The printed temperature is rounded to 0.1 °C, the terms are not.
        near(&format!("{} Δ", row[0]), short.slope_kpa_c, cell(row, 5), 0.0007);
        near(&format!("{} es", row[0]), short.saturation_kpa, cell(row, 6), 0.0135);
        near(&format!("{} ω1", row[0]), short.sun.start_rad, cell(row, 7), 0.0021);
        near(&format!("{} ω2", row[0]), short.sun.end_rad, cell(row, 8), 0.0021);
        near(&format!("{} Ra", row[0]), short.sun.extraterrestrial_mj, cell(row, 9), 0.0051);
        near(&format!("{} Rso", row[0]), short.clear_sky_mj, cell(row, 10), 0.0051);
    }
}

/// A-01 from the weather alone: hours with sun, in which the hour's own radiation tells the cloud.
#[test]
fn greeley_hours_with_sun_come_out_from_the_weather_alone() {
    let mut checked = 0;
    for (row, weather) in greeley().iter().filter(|(row, _)| cell(row, 10) >= 0.6) {
        let [short, tall] = [Reference::AsceShort, Reference::AsceTall].map(|cover| weather.evapotranspiration(cover).unwrap());
        near(&format!("{} Rn", row[0]), short.net_radiation_mj, cell(row, 12), 0.006);
        near(&format!("{} ETos", row[0]), short.et0_mm, cell(row, 13), 0.0061);
        near(&format!("{} ETrs", row[0]), tall.et0_mm, cell(row, 14), 0.0081);
        checked += 1;
    }
    assert_eq!(checked, 13);
}

#[test]
fn an_evening_carries_its_cloud_into_the_night() {
    let hours: Vec<HourlyWeather> = greeley().into_iter().map(|(_, weather)| weather).collect();
    let found = hours_in_a_row(Reference::AsceShort, &hours).unwrap();
    // The second evening is overcast (Rs/Rso 0.45 at 17:00): the hour to 21:00 loses 0.076 MJ in the report.
    near("night Rnl", found[22].net_longwave_mj, 0.076, 0.003);
    assert!(!found[22].cloudiness_stands_in && hours[22].evapotranspiration(Reference::AsceShort).unwrap().cloudiness_stands_in);
    let dark = SunHour::ending("2000-07-02T01:00:00-07:00".parse().unwrap(), 40.41, -104.78).unwrap();
    assert!(dark.extraterrestrial_mj == 0.0 && dark.height_rad < 0.0);
}

/// Fallon, 2015; refet 0.5.0 `Daily(method='asce', rso_type=…)`, and the outputs of the University of Idaho calculator.
#[test]
fn fallon_days_agree_with_both_clear_skies() {
    let mut count = 0;
    for row in rows(include_str!("../data/et_daily_fallon_2015.csv")) {
        let day = |clear_sky| DailyWeather {
            latitude_deg: 39.4575,
            elevation_m: 1208.5,
            day_of_year: row[1].parse().unwrap(),
            minimum_c: cell(&row, 2),
            maximum_c: cell(&row, 3),
            humidity: Humidity::Dewpoint(cell(&row, 4)),
            wind: Wind::Measured { speed_ms: cell(&row, 6), height_m: 3.0 },
            radiation: Radiation::Measured(cell(&row, 5)),
            clear_sky,
            net_radiation_mj: None,
            soil_heat_mj: 0.0,
        };
        let depth = |clear_sky, cover| day(clear_sky).evapotranspiration(cover).unwrap().et0_mm;
        near(&format!("{} ETo simple", row[0]), depth(ClearSky::Simple, Reference::AsceShort), cell(&row, 9), 0.0005);
        near(&format!("{} ETr simple", row[0]), depth(ClearSky::Simple, Reference::AsceTall), cell(&row, 10), 0.0005);
        near(&format!("{} ETo humid", row[0]), depth(ClearSky::Humidity, Reference::AsceShort), cell(&row, 11), 0.0005);
        near(&format!("{} ETr humid", row[0]), depth(ClearSky::Humidity, Reference::AsceTall), cell(&row, 12), 0.0005);
        near(&format!("{} ETo calculator", row[0]), depth(ClearSky::Humidity, Reference::AsceShort), cell(&row, 7), 0.011);
        near(&format!("{} ETr calculator", row[0]), depth(ClearSky::Humidity, Reference::AsceTall), cell(&row, 8), 0.05);
        count += 1;
    }
    assert_eq!(count, 54);
}

/// Holyoke, 2020; published by the state university network to 0.1, refet 0.5.0.
#[test]
fn holyoke_days_agree_with_the_network() {
    let mut count = 0;
    for row in rows(include_str!("../data/et_daily_holyoke_2020.csv")) {
        let day = DailyWeather {
            latitude_deg: 40.49,
            elevation_m: 1138.0,
            day_of_year: day_of_year(row[0]),
            minimum_c: cell(&row, 2),
            maximum_c: cell(&row, 1),
            humidity: Humidity::Range { minimum_pct: cell(&row, 4) * 100.0, maximum_pct: cell(&row, 3) * 100.0 },
            wind: Wind::Measured { speed_ms: cell(&row, 6) * 1000.0 / 86_400.0, height_m: 2.0 },
            radiation: Radiation::Measured(cell(&row, 5) * 0.0864),
            clear_sky: ClearSky::Simple,
            net_radiation_mj: None,
            soil_heat_mj: 0.0,
        };
        let [short, tall] = [Reference::AsceShort, Reference::AsceTall].map(|cover| day.evapotranspiration(cover).unwrap().et0_mm);
        near(&format!("{} ETo published", row[0]), short, cell(&row, 7), 0.06);
        near(&format!("{} ETr published", row[0]), tall, cell(&row, 8), 0.06);
        near(&format!("{} ETo refet", row[0]), short, cell(&row, 9), 0.002);
        near(&format!("{} ETr refet", row[0]), tall, cell(&row, 10), 0.002);
        count += 1;
    }
    assert_eq!(count, 46);
}

fn de_bilt(row: &[&str]) -> DailyWeather {
    DailyWeather {
        latitude_deg: 52.10,
        elevation_m: 1.9,
        day_of_year: day_of_year(row[0]),
        minimum_c: cell(row, 2),
        maximum_c: cell(row, 3),
        humidity: Humidity::Range { minimum_pct: cell(row, 6), maximum_pct: cell(row, 5) },
        wind: Wind::Measured { speed_ms: cell(row, 7), height_m: 10.0 },
        radiation: Radiation::Measured(cell(row, 4)),
        clear_sky: ClearSky::Simple,
        net_radiation_mj: None,
        soil_heat_mj: 0.0,
    }
}

/// De Bilt; KNMI's published Makkink, pyet 1.5.0, refet 0.5.0.
#[test]
fn de_bilt_days_agree_with_the_weather_service_and_two_libraries() {
    let mut count = 0;
    for row in rows(include_str!("../data/et_daily_debilt_1980_2019.csv")) {
        let makkink = makkink_knmi_mm(cell(&row, 1), cell(&row, 4));
        near(&format!("{} Makkink published", row[0]), makkink, cell(&row, 9), 0.0501);
        near(&format!("{} Makkink pyet", row[0]), makkink, cell(&row, 10), 0.0002);
        let depth = |cover| de_bilt(&row).evapotranspiration(cover).unwrap().et0_mm;
        near(&format!("{} ETos", row[0]), depth(Reference::AsceShort), cell(&row, 11), 0.002);
        near(&format!("{} ETrs", row[0]), depth(Reference::AsceTall), cell(&row, 12), 0.002);
        near(&format!("{} FAO-56", row[0]), depth(Reference::Fao56), cell(&row, 13), 0.002);
        count += 1;
    }
    assert_eq!(count, 59);
}

/// Fallon, 1 July 2015, refet 0.5.0; the ASCE form. The calculator's own declination and pressure constants are not ours.
#[test]
fn a_fallon_day_gives_every_term_to_six_figures() {
    let celsius = |fahrenheit: f64| (fahrenheit - 32.0) / 1.8;
    let day = DailyWeather {
        latitude_deg: 39.4575,
        elevation_m: 1208.5,
        day_of_year: 182,
        minimum_c: celsius(66.65),
        maximum_c: celsius(102.80),
        humidity: Humidity::Dewpoint(celsius(49.84)),
        wind: Wind::Measured { speed_ms: 4.80 * 0.44704, height_m: 3.0 },
        radiation: Radiation::Measured(674.07 * 0.041868),
        clear_sky: ClearSky::Simple,
        net_radiation_mj: None,
        soil_heat_mj: 0.0,
    };
    let [short, tall] = [Reference::AsceShort, Reference::AsceTall].map(|cover| day.evapotranspiration(cover).unwrap());
    let terms = short.terms;
    let checks = [
        ("es", terms.saturation_kpa, 4.674724),
        ("ea", terms.actual_kpa, 1.220667),
        ("u2", terms.wind_2m_ms, 1.976112),
        ("P", terms.pressure_kpa, 87.807105),
        ("Δ", terms.slope_kpa_c, 0.234886),
        ("Ra", terms.extraterrestrial_mj, 41.648246),
        ("Rso", terms.clear_sky_mj, 32.242822),
        ("fcd", terms.cloudiness, 0.831647),
        ("Rnl", terms.net_longwave_mj, 6.362676),
        ("Rn", terms.net_radiation_mj, 15.368235),
        ("ETo", short.et0_mm, 7.997969),
        ("ETr", tall.et0_mm, 10.626088),
    ];
    for (name, found, wanted) in checks {
        near(name, found, wanted, wanted * 1e-6 + 5e-7);
    }
    // The humidity form of the clear sky, given the calculator's own pressure and Ra.
    let sky = HumidSky {
        latitude_rad: 39.4575f64.to_radians(),
        day_of_year: 182.0,
        pressure_kpa: 87.818764,
        vapour_pressure_kpa: 1.220667,
        extraterrestrial_mj: 41.676108,
    };
    near("A-05 Rso by humidity", clear_sky_humid_mj(&sky), 31.565939, 3e-5);
    near("A-05 fcd by humidity", cloudiness(674.07 * 0.041868, 31.565939).unwrap(), 0.856986, 1e-6);
}

/// Seattle, missing-data method, refet 0.5.0; Hargreaves by FAO-56 eq. 52.
#[test]
fn seattle_days_come_out_from_temperatures_and_wind() {
    let mut count = 0;
    for row in rows(include_str!("../data/et_daily_seattle_2012_2015.csv")) {
        let day = DailyWeather {
            latitude_deg: 47.45,
            elevation_m: 122.0,
            day_of_year: day_of_year(row[0]),
            minimum_c: cell(&row, 2),
            maximum_c: cell(&row, 1),
            humidity: Humidity::FromMinimum { below_c: 0.0 },
            wind: Wind::Measured { speed_ms: cell(&row, 3), height_m: 10.0 },
            radiation: Radiation::Temperatures(Shore::Inland),
            clear_sky: ClearSky::Simple,
            net_radiation_mj: None,
            soil_heat_mj: 0.0,
        };
        let found = day.evapotranspiration(Reference::AsceShort).unwrap();
        near(&format!("{} Ra", row[0]), found.terms.extraterrestrial_mj, cell(&row, 5), 0.001);
        near(&format!("{} N", row[0]), found.terms.day_length_h, cell(&row, 6), 0.001);
        near(&format!("{} Rs", row[0]), found.terms.solar_mj, cell(&row, 7), 0.001);
        near(&format!("{} Rso", row[0]), found.terms.clear_sky_mj, cell(&row, 8), 0.001);
        near(
            &format!("{} Hargreaves", row[0]),
            HargreavesForm::Fixed1985.mm(day.minimum_c, day.maximum_c, cell(&row, 5)),
            cell(&row, 9),
            0.001,
        );
        near(&format!("{} ETos", row[0]), found.et0_mm, cell(&row, 10), 0.002);
        assert_eq!(found.stand_ins, [StandIn::HumidityFromMinimum, StandIn::RadiationFromTemperatures]);
        count += 1;
    }
    assert_eq!(count, 61);
}

/// New York, kRs 0.19, refet 0.5.0.
#[test]
fn new_york_days_come_out_with_the_coast_and_the_dewpoint() {
    let mut count = 0;
    for row in rows(include_str!("../data/et_daily_newyork_jfk_2013.csv")) {
        let day = DailyWeather {
            latitude_deg: 40.64,
            elevation_m: 4.0,
            day_of_year: day_of_year(row[0]),
            minimum_c: cell(&row, 2),
            maximum_c: cell(&row, 1),
            humidity: Humidity::Dewpoint(cell(&row, 3)),
            wind: Wind::Measured { speed_ms: cell(&row, 4), height_m: 10.0 },
            radiation: Radiation::Temperatures(Shore::Coast),
            clear_sky: ClearSky::Simple,
            net_radiation_mj: None,
            soil_heat_mj: 0.0,
        };
        let [short, tall] = [Reference::AsceShort, Reference::AsceTall].map(|cover| day.evapotranspiration(cover).unwrap());
        near(&format!("{} Ra", row[0]), short.terms.extraterrestrial_mj, cell(&row, 6), 0.001);
        near(&format!("{} Rs", row[0]), short.terms.solar_mj, cell(&row, 7), 0.001);
        near(&format!("{} ETos", row[0]), short.et0_mm, cell(&row, 8), 0.001);
        near(&format!("{} ETrs", row[0]), tall.et0_mm, cell(&row, 9), 0.001);
        count += 1;
    }
    assert_eq!(count, 52);
}

/// ASCE-EWRI (2005), table 1 (memory; the hourly set is confirmed by A-01).
#[test]
fn constants_are_those_of_the_standard() {
    assert_eq!(Reference::Fao56.daily_constants(), (900.0, 0.34));
    assert_eq!(Reference::AsceShort.daily_constants(), (900.0, 0.34));
    assert_eq!(Reference::AsceTall.daily_constants(), (1600.0, 0.38));
}

#[test]
fn columns_give_the_same_as_single_days_and_pass_gaps_on() {
    let table: Vec<Vec<&str>> = rows(include_str!("../data/et_daily_debilt_1980_2019.csv")).collect();
    let column = |index: usize| table.iter().map(|row| cell(row, index)).collect::<Vec<f64>>();
    let (mut minimum, maximum, wind, solar) = (column(2), column(3), column(7), column(4));
    let vapour: Vec<f64> = table.iter().map(|row| de_bilt(row).terms(Reference::Fao56).unwrap().0.actual_kpa).collect();
    let days: Vec<i16> = table.iter().map(|row| day_of_year(row[0])).collect();
    let sky = StationSky::new(52.10, 1.9, 10.0).unwrap();
    for cover in [Reference::Fao56, Reference::AsceShort, Reference::AsceTall] {
        let mut out = Vec::new();
        let columns = DayColumns {
            day_of_year: &days,
            minimum_c: &minimum,
            maximum_c: &maximum,
            vapour_pressure_kpa: &vapour,
            wind_ms: &wind,
            solar_mj: &solar,
        };
        penman_monteith_columns(cover, &sky, &columns, &mut out);
        for (row, found) in table.iter().zip(out) {
            near(row[0], found, de_bilt(row).evapotranspiration(cover).unwrap().et0_mm, 1e-9);
        }
    }
    minimum[3] = f64::NAN;
    let mut out = Vec::new();
    hargreaves_columns(HargreavesForm::Fixed1985, &sky, &days, &minimum, &maximum, &mut out);
    assert!(out[3].is_nan() && out[4] > 0.0 && out.len() == 59);
}

#[test]
fn values_that_weather_cannot_give_are_refused_with_an_example() {
    let wrong = [
        (DailyWeather { latitude_deg: 95.0, ..uccle() }, "latitude 95"),
        (DailyWeather { minimum_c: 30.0, ..uccle() }, "above the maximum"),
        (DailyWeather { maximum_c: f64::NAN, ..uccle() }, "maximum"),
        (DailyWeather { humidity: Humidity::Range { minimum_pct: 63.0, maximum_pct: 840.0 }, ..uccle() }, "such as 63 %"),
        (DailyWeather { radiation: Radiation::Measured(450.0), ..uccle() }, "22.07 MJ/m2/day"),
        (DailyWeather { wind: Wind::Measured { speed_ms: 3.0, height_m: 0.05 }, ..uccle() }, "height"),
        (DailyWeather { day_of_year: 0, ..uccle() }, "day of the year"),
    ];
    for (day, word) in wrong {
        let error = day.evapotranspiration(Reference::Fao56).unwrap_err().to_string();
        assert!(error.contains(word), "{error}");
    }
    let polar = DailyWeather {
        latitude_deg: 80.0,
        day_of_year: 355,
        radiation: Radiation::Measured(0.0),
        minimum_c: -30.0,
        maximum_c: -20.0,
        ..uccle()
    };
    let found = polar.evapotranspiration(Reference::Fao56).unwrap();
    assert!(found.et0_mm.is_finite() && found.stand_ins.contains(&StandIn::CloudinessWithoutSun));
}

/// Root mean square difference, mm/day, from the full equation: FAO-56 from temperatures alone, then Hargreaves.
fn cost(days: &[DailyWeather], shore: Shore) -> (f64, f64) {
    let square = |off: f64| off * off;
    let mut sums = (0.0, 0.0);
    for day in days {
        let full = day.evapotranspiration(Reference::Fao56).unwrap();
        let bare = DailyWeather {
            humidity: Humidity::FromMinimum { below_c: 0.0 },
            wind: Wind::Unknown,
            radiation: Radiation::Temperatures(shore),
            ..*day
        };
        let little = bare.evapotranspiration(Reference::Fao56).unwrap().et0_mm;
        let hargreaves = HargreavesForm::Fixed1985.mm(day.minimum_c, day.maximum_c, full.terms.extraterrestrial_mj);
        sums = (sums.0 + square(little - full.et0_mm), sums.1 + square(hargreaves - full.et0_mm));
    }
    let count = days.len() as f64;
    ((sums.0 / count).sqrt(), (sums.1 / count).sqrt())
}

#[test]
fn what_temperatures_alone_cost_is_what_the_table_says() {
    let fallon = |row: Vec<&str>| DailyWeather {
        latitude_deg: 39.4575,
        elevation_m: 1208.5,
        day_of_year: row[1].parse().unwrap(),
        minimum_c: cell(&row, 2),
        maximum_c: cell(&row, 3),
        humidity: Humidity::Dewpoint(cell(&row, 4)),
        wind: Wind::Measured { speed_ms: cell(&row, 6), height_m: 3.0 },
        radiation: Radiation::Measured(cell(&row, 5)),
        clear_sky: ClearSky::Simple,
        net_radiation_mj: None,
        soil_heat_mj: 0.0,
    };
    let holyoke = |row: Vec<&str>| DailyWeather {
        latitude_deg: 40.49,
        elevation_m: 1138.0,
        day_of_year: day_of_year(row[0]),
        minimum_c: cell(&row, 2),
        maximum_c: cell(&row, 1),
        humidity: Humidity::Range { minimum_pct: cell(&row, 4) * 100.0, maximum_pct: cell(&row, 3) * 100.0 },
        wind: Wind::Measured { speed_ms: cell(&row, 6) * 1000.0 / 86_400.0, height_m: 2.0 },
        radiation: Radiation::Measured(cell(&row, 5) * 0.0864),
        clear_sky: ClearSky::Simple,
        net_radiation_mj: None,
        soil_heat_mj: 0.0,
    };
    let stations: [Vec<DailyWeather>; 3] = [
        rows(include_str!("../data/et_daily_debilt_1980_2019.csv")).map(|row| de_bilt(&row)).collect(),
        rows(include_str!("../data/et_daily_fallon_2015.csv")).map(fallon).collect(),
        rows(include_str!("../data/et_daily_holyoke_2020.csv")).map(holyoke).collect(),
    ];
    for (days, told) in stations.iter().zip(&TEMPERATURES_ONLY) {
        let (fao56, hargreaves) = cost(days, Shore::Inland);
        eprintln!("{}: {} days, FAO-56 {fao56:.3}, Hargreaves {hargreaves:.3}", told.station, days.len());
        assert_eq!(days.len(), told.days);
        near(told.station, fao56, told.fao56_mm, 0.006);
        near(told.station, hargreaves, told.hargreaves_mm, 0.006);
    }
}
