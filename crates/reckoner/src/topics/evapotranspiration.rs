//! Reference evapotranspiration by day and by hour.

use super::sun::{DATE_KIND, LATITUDE, LONGITUDE, TIME_KIND, date, latitude, longitude, put, time};
use crate::ReckonError;
use crate::answer::Worked;
use crate::calculator::{Calculator, EXACT, Input, InputKind, Need, Topic, optional, output, required};
use crate::given::Given;
use groundlore_quantity::Kind;
use groundlore_weather::evapotranspiration::air::Wind;
use groundlore_weather::evapotranspiration::daily::{DailyTerms, DailyWeather, Radiation, Reference, penman_monteith_mm};
use groundlore_weather::evapotranspiration::hargreaves::HargreavesForm;
use groundlore_weather::evapotranspiration::hourly::HourlyWeather;
use groundlore_weather::evapotranspiration::radiation::{ClearSky, Shore, SunshineShares};
use groundlore_weather::evapotranspiration::radiation_methods::{
    PRIESTLEY_TAYLOR, makkink_knmi_mm, makkink_original_mm, priestley_taylor_mm, turc_mm,
};
use groundlore_weather::evapotranspiration::vapour::{Humidity, saturation_pressure_kpa};
use jiff::SignedDuration;

const YES_NO: InputKind = InputKind::Choice(&["yes", "no"]);
const TEMPERATURE: InputKind = InputKind::Quantity(Kind::Temperature);
const PRESSURE: InputKind = InputKind::Quantity(Kind::Pressure);
const HEIGHT: InputKind = InputKind::Quantity(Kind::Length);
const DAY_RADIATION: InputKind = InputKind::Quantity(Kind::RadiationPerDay);
const HOUR_RADIATION: InputKind = InputKind::OneOf(&[Kind::RadiationPerDay], "radiation in an hour, as 2.24 MJ/m2/h or 622 W/m2");

const WIND: Input = optional("wind", InputKind::Quantity(Kind::Speed), "mean wind; 2 m/s at 2 m stands in where left out", "2.8 m/s");
const WIND_HEIGHT: Input = optional("wind-height", HEIGHT, "height at which the wind was measured; 2 m where left out", "10 m");

/// The same input where only some methods need it.
const fn sometimes(input: Input) -> Input {
    Input { need: Need::Optional, ..input }
}

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "reference-et",
        topic: Topic::Season,
        about: "Water that a well-watered reference cover gives to the air in a day.",
        inputs: &[
            required(
                "method",
                InputKind::Choice(&["fao56", "asce-short", "asce-tall", "hargreaves", "priestley-taylor", "makkink", "turc"]),
                "which equation",
                "fao56",
            ),
            sometimes(LATITUDE),
            optional("elevation", HEIGHT, "height above the sea", "100 m"),
            optional("date", DATE_KIND, "the date", "2024-07-06"),
            required("minimum", TEMPERATURE, "the day's minimum", "12.3 degC"),
            required("maximum", TEMPERATURE, "the day's maximum", "21.5 degC"),
            optional(
                "mean",
                TEMPERATURE,
                "the day's mean, for makkink and turc; the middle of minimum and maximum where left out",
                "16.9 degC",
            ),
            optional("vapour-pressure", PRESSURE, "humidity, first choice", "1.41 kPa"),
            optional("dewpoint", TEMPERATURE, "humidity, second choice", "12.1 degC"),
            optional("humidity-minimum", InputKind::Quantity(Kind::Share), "humidity, third choice, with humidity-maximum", "63%"),
            optional(
                "humidity-maximum",
                InputKind::Quantity(Kind::Share),
                "humidity, third choice; without any humidity the dewpoint is taken as the minimum",
                "84%",
            ),
            WIND,
            WIND_HEIGHT,
            optional("solar-radiation", DAY_RADIATION, "solar radiation, first choice", "22.07 MJ/m2/day"),
            optional(
                "sunshine-hours",
                InputKind::OneOf(&[Kind::Bare, Kind::Time], "hours of sunshine, as 9.25 or 9.25 h"),
                "solar radiation, second choice",
                "9.25",
            ),
            optional(
                "coastal",
                YES_NO,
                "solar radiation from the temperatures, third choice: is the place by the sea or a large lake?",
                "no",
            ),
            optional("clear-sky", InputKind::Choice(&["simple", "humidity"]), "which clear sky; simple where left out", "simple"),
            optional("form", InputKind::Choice(&["original", "knmi"]), "which makkink; original where left out", "original"),
            optional("net-radiation", DAY_RADIATION, "measured net radiation, in place of the reckoned one", "13.28 MJ/m2/day"),
            optional("soil-heat", DAY_RADIATION, "heat going into the soil; 0 where left out", "0.14 MJ/m2/day"),
        ],
        outputs: &[
            output("et0", "reference evapotranspiration"),
            output("slope", "slope of saturated vapour pressure with temperature"),
            output("pressure", "air pressure"),
            output("psychrometric", "psychrometric constant"),
            output("saturation_pressure", "saturated vapour pressure, mean of minimum and maximum"),
            output("actual_pressure", "vapour pressure of the air"),
            output("wind_2m", "wind at 2 m"),
            output("day_length", "day length, geometric"),
            output("extraterrestrial_radiation", "radiation above the air"),
            output("solar_radiation", "solar radiation"),
            output("clear_sky_radiation", "solar radiation under a clear sky"),
            output("net_shortwave", "solar radiation kept by the cover"),
            output("net_longwave", "long-wave radiation lost"),
            output("net_radiation", "net radiation"),
        ],
        rounding: EXACT,
        sources: &[
            "Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eqs. 6-52",
            "ASCE-EWRI 2005, standardized reference evapotranspiration equation (coefficients from memory; checked against refet 0.5.0)",
            "McMahon et al. 2013, Hydrol. Earth Syst. Sci. 17:1331, supplement S19 (priestley-taylor, makkink, turc; read through pyet)",
            "makkink form knmi: as published by KNMI and computed by pyet 1.5.0",
        ],
        cautions: &[
            "This is the water use of a reference cover; a lawn or a bed uses its own share of it.",
            "From temperatures alone a single day is off by 0.5 to 0.9 mm (root mean square at three stations): sum a week or more.",
        ],
        run: daily,
    },
    Calculator {
        key: "reference-et-hourly",
        topic: Topic::Season,
        about: "Water that a reference cover gives to the air in an hour.",
        inputs: &[
            required("method", InputKind::Choice(&["asce-short", "asce-tall"]), "which cover", "asce-short"),
            LATITUDE,
            LONGITUDE,
            required("elevation", HEIGHT, "height above the sea", "1462.4 m"),
            required("time", TIME_KIND, "the end of the hour (see `time-is`)", "2000-07-01T16:00:00-07:00"),
            optional(
                "time-is",
                InputKind::Choice(&["end", "middle", "start"]),
                "what of the hour `time` is; its end where left out",
                "end",
            ),
            required("temperature", TEMPERATURE, "mean temperature of the hour", "30.9 degC"),
            required("vapour-pressure", PRESSURE, "vapour pressure of the air", "1.09 kPa"),
            required("wind", InputKind::Quantity(Kind::Speed), "mean wind of the hour", "3.74 m/s"),
            WIND_HEIGHT,
            required("solar-radiation", HOUR_RADIATION, "solar radiation of the hour", "2.24 MJ/m2/h"),
            optional("net-radiation", HOUR_RADIATION, "measured net radiation, in place of the reckoned one", "1.44 MJ/m2/h"),
            optional(
                "cloudiness",
                InputKind::Quantity(Kind::Share),
                "for hours without sun: the cloudiness factor (0.05 overcast to 1 clear) of the last hour with a high sun",
                "0.78",
            ),
        ],
        outputs: &[
            output("et0", "reference evapotranspiration; below 0 where dew falls"),
            output("net_radiation", "net radiation"),
            output("slope", "slope of saturated vapour pressure with temperature"),
            output("psychrometric", "psychrometric constant"),
            output("saturation_pressure", "saturated vapour pressure"),
            output("wind_2m", "wind at 2 m"),
            output("extraterrestrial_radiation", "radiation above the air"),
            output("clear_sky_radiation", "solar radiation under a clear sky"),
            output("net_longwave", "long-wave radiation lost"),
        ],
        rounding: EXACT,
        sources: &["ASCE-EWRI 2005, table 1 (memory) and Appendix C (read through pyet)", "Allen et al. 1998, FAO-56, eqs. 28-33"],
        cautions: &["This is the water use of a reference cover; a lawn or a bed uses its own share of it."],
        run: hourly,
    },
    Calculator {
        key: "vapour-pressure",
        topic: Topic::Season,
        about: "Pressure of saturated water vapour at a temperature.",
        inputs: &[required("temperature", TEMPERATURE, "temperature", "24.5 degC")],
        outputs: &[output("saturation_pressure", "saturated vapour pressure")],
        rounding: EXACT,
        sources: &["Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 11"],
        cautions: &[],
        run: vapour_pressure,
    },
];

fn in_unit(given: &Given, name: &str, unit: &str) -> Result<Option<f64>, ReckonError> {
    given.quantity(name).map(|q| q.in_unit(unit).map_err(|e| given.wrong(name, e.to_string()))).transpose()
}

fn need_in(given: &Given, name: &str, unit: &str) -> Result<f64, ReckonError> {
    in_unit(given, name, unit)?.ok_or_else(|| given.lacks(name))
}

fn no_answer(error: &groundlore_weather::evapotranspiration::EvapotranspirationError) -> ReckonError {
    ReckonError::NoAnswer(error.to_string())
}

fn humidity(given: &Given) -> Result<Humidity, ReckonError> {
    if let Some(kpa) = in_unit(given, "vapour-pressure", "kPa")? {
        return Ok(Humidity::VapourPressure(kpa));
    }
    if let Some(celsius) = in_unit(given, "dewpoint", "degC")? {
        return Ok(Humidity::Dewpoint(celsius));
    }
    let percent = |name: &str| -> Result<Option<f64>, ReckonError> {
        let Some(share) = given.si(name) else { return Ok(None) };
        // Sensors read a little over 100 % in fog.
        if (0.0..=1.05).contains(&share) {
            Ok(Some(share * 100.0))
        } else {
            Err(given.wrong(name, "humidity lies between 0 and 100 %: write it as 63% or 0.63"))
        }
    };
    match (percent("humidity-minimum")?, percent("humidity-maximum")?) {
        (Some(minimum_pct), Some(maximum_pct)) if minimum_pct > maximum_pct => {
            Err(given.wrong("humidity-minimum", "the lowest humidity is above the highest"))
        }
        (Some(minimum_pct), Some(maximum_pct)) => Ok(Humidity::Range { minimum_pct, maximum_pct }),
        (None, Some(maximum_pct)) => Ok(Humidity::Maximum(maximum_pct)),
        (Some(_), None) => Err(given.lacks("humidity-maximum")),
        (None, None) => Ok(Humidity::FromMinimum { below_c: 0.0 }),
    }
}

fn wind(given: &Given) -> Result<Wind, ReckonError> {
    let height_m = in_unit(given, "wind-height", "m")?.unwrap_or(2.0);
    Ok(in_unit(given, "wind", "m/s")?.map_or(Wind::Unknown, |speed_ms| Wind::Measured { speed_ms, height_m }))
}

fn radiation(given: &Given) -> Result<Option<Radiation>, ReckonError> {
    if let Some(solar) = in_unit(given, "solar-radiation", "MJ/m2/day")? {
        return Ok(Some(Radiation::Measured(solar)));
    }
    if let Some(sunshine) = given.quantity("sunshine-hours") {
        let in_hours = || sunshine.in_unit("h").map_err(|e| given.wrong("sunshine-hours", e.to_string()));
        let hours = if sunshine.unit.is_none() { sunshine.value } else { in_hours()? };
        return Ok(Some(Radiation::Sunshine { hours, shares: SunshineShares::FAO56 }));
    }
    let shore = given.word("coastal").map(|word| if word == "yes" { Shore::Coast } else { Shore::Inland });
    Ok(shore.map(Radiation::Temperatures))
}

/// What a day's reckoning asks for, by method.
struct Asked {
    weather: DailyWeather,
    /// Whether latitude, date and radiation are known, so that the terms of radiation mean something.
    sky: bool,
}

/// Reads the day's weather. Latitude, date and radiation are asked for unless net radiation is given and the method can do with it.
fn weather(given: &Given, needs_radiation: bool, needs_elevation: bool) -> Result<Asked, ReckonError> {
    let net_radiation_mj = in_unit(given, "net-radiation", "MJ/m2/day")?;
    let radiation = radiation(given)?;
    let measured_alone = radiation.is_none() && net_radiation_mj.is_some();
    if needs_radiation && radiation.is_none() && !measured_alone {
        return Err(given.lacks("solar-radiation"));
    }
    let sky = !measured_alone;
    let elevation = in_unit(given, "elevation", "m")?;
    let weather = DailyWeather {
        latitude_deg: if sky { latitude(given)? } else { 0.0 },
        elevation_m: if needs_elevation { elevation.ok_or_else(|| given.lacks("elevation"))? } else { elevation.unwrap_or(0.0) },
        day_of_year: if sky { date(given)?.day_of_year() } else { 1 },
        minimum_c: need_in(given, "minimum", "degC")?,
        maximum_c: need_in(given, "maximum", "degC")?,
        humidity: humidity(given)?,
        wind: wind(given)?,
        radiation: radiation.unwrap_or(Radiation::Measured(0.0)),
        clear_sky: if given.word("clear-sky") == Some("humidity") { ClearSky::Humidity } else { ClearSky::Simple },
        net_radiation_mj,
        soil_heat_mj: in_unit(given, "soil-heat", "MJ/m2/day")?.unwrap_or(0.0),
    };
    if weather.minimum_c > weather.maximum_c {
        let why = format!("the minimum ({}) is above the maximum ({})", given.need("minimum")?, given.need("maximum")?);
        return Err(given.wrong("minimum", why));
    }
    Ok(Asked { weather, sky })
}

fn daily(given: &Given) -> Result<Worked, ReckonError> {
    match given.word("method").unwrap_or("fao56") {
        "hargreaves" => hargreaves(given),
        "priestley-taylor" => priestley_taylor(given),
        "makkink" => makkink(given),
        "turc" => turc(given),
        "asce-short" => penman_monteith(given, Reference::AsceShort),
        "asce-tall" => penman_monteith(given, Reference::AsceTall),
        _ => penman_monteith(given, Reference::Fao56),
    }
}

fn penman_monteith(given: &Given, reference: Reference) -> Result<Worked, ReckonError> {
    let asked = weather(given, true, true)?;
    let (terms, stand_ins) = asked.weather.terms(reference).map_err(|e| no_answer(&e))?;
    let mut worked = Worked::default();
    tell_air(&mut worked, &terms);
    if asked.sky {
        tell_sky(&mut worked, &asked.weather, &terms);
    }
    tell_net(&mut worked, &asked.weather, &terms);
    for stand_in in stand_ins {
        worked.line(format!("note: {}", stand_in.words()));
    }
    if given.quantity("wind").is_some() && given.quantity("wind-height").is_none() {
        worked.line("note: the wind's height was not given; it is taken as 2 m");
    }
    let depth = penman_monteith_mm(reference, &terms);
    let (numerator, denominator) = reference.daily_constants();
    worked.line(format!(
        "{} = [0.408 Δ (Rn − G) + γ {numerator}/(T + 273) u2 (es − ea)] / [Δ + γ (1 + {denominator} u2)] = {depth:.4} mm/day",
        reference.name()
    ));
    put(&mut worked, "et0", depth, "mm/day")?;
    put_air(&mut worked, &terms)?;
    put(&mut worked, "wind_2m", terms.wind_2m_ms, "m/s")?;
    if asked.sky {
        put_sky(&mut worked, &terms)?;
    }
    put(&mut worked, "net_radiation", terms.net_radiation_mj, "MJ/m2/day")?;
    Ok(worked)
}

fn tell_air(worked: &mut Worked, terms: &DailyTerms) {
    worked.line(format!("mean temperature {:.4} °C; Δ = {:.4} kPa/°C", terms.mean_c, terms.slope_kpa_c));
    worked.line(format!("air pressure {:.3} kPa; γ = {:.4} kPa/°C", terms.pressure_kpa, terms.psychrometric_kpa_c));
    worked.line(format!("es = {:.4} kPa, ea = {:.4} kPa; wind at 2 m {:.3} m/s", terms.saturation_kpa, terms.actual_kpa, terms.wind_2m_ms));
}

fn tell_sky(worked: &mut Worked, weather: &DailyWeather, terms: &DailyTerms) {
    worked.line(format!(
        "Ra = {:.3}, day length {:.3} h, Rs = {:.3} MJ/m2/day",
        terms.extraterrestrial_mj, terms.day_length_h, terms.solar_mj
    ));
    worked.line(format!("clear sky ({} form) Rso = {:.3} MJ/m2/day", weather.clear_sky.name(), terms.clear_sky_mj));
    worked.line(format!("Rns = 0.77 Rs = {:.3}; Rnl = {:.3} MJ/m2/day", terms.net_shortwave_mj, terms.net_longwave_mj));
}

fn tell_net(worked: &mut Worked, weather: &DailyWeather, terms: &DailyTerms) {
    let how = if weather.net_radiation_mj.is_some() { "as given" } else { "= Rns − Rnl" };
    worked.line(format!("Rn {how} = {:.3}, G = {} MJ/m2/day", terms.net_radiation_mj, terms.soil_heat_mj));
}

fn put_air(worked: &mut Worked, terms: &DailyTerms) -> Result<(), ReckonError> {
    put(worked, "slope", terms.slope_kpa_c, "kPa/degC")?;
    put(worked, "pressure", terms.pressure_kpa, "kPa")?;
    put(worked, "psychrometric", terms.psychrometric_kpa_c, "kPa/degC")?;
    put(worked, "saturation_pressure", terms.saturation_kpa, "kPa")?;
    put(worked, "actual_pressure", terms.actual_kpa, "kPa")
}

fn put_sky(worked: &mut Worked, terms: &DailyTerms) -> Result<(), ReckonError> {
    put(worked, "day_length", terms.day_length_h, "h")?;
    put(worked, "extraterrestrial_radiation", terms.extraterrestrial_mj, "MJ/m2/day")?;
    put(worked, "solar_radiation", terms.solar_mj, "MJ/m2/day")?;
    put(worked, "clear_sky_radiation", terms.clear_sky_mj, "MJ/m2/day")?;
    put(worked, "net_shortwave", terms.net_shortwave_mj, "MJ/m2/day")?;
    put(worked, "net_longwave", terms.net_longwave_mj, "MJ/m2/day")
}

fn hargreaves(given: &Given) -> Result<Worked, ReckonError> {
    // Only latitude, date and temperatures are asked for; whatever else was given is not read.
    let (latitude, date) = (latitude(given)?, date(given)?);
    let (min, max) = (need_in(given, "minimum", "degC")?, need_in(given, "maximum", "degC")?);
    if min > max {
        let why = format!("the minimum ({}) is above the maximum ({})", given.need("minimum")?, given.need("maximum")?);
        return Err(given.wrong("minimum", why));
    }
    let day =
        groundlore_weather::sun::DayGeometry::new(latitude, date.day_of_year()).map_err(|e| given.wrong("latitude", e.to_string()))?;
    let form = HargreavesForm::Fixed1985;
    let depth = form.mm(min, max, day.extraterrestrial_mj);
    let mut worked = Worked::default();
    worked.line(format!("Ra = {:.3} MJ/m2/day on day {} of the year", day.extraterrestrial_mj, date.day_of_year()));
    worked.line(format!("{}, with T = {:.3} °C and a swing of {:.3} °C", form.words(), 0.5 * (min + max), max - min));
    worked.line(format!("× 0.408 mm per MJ = {depth:.4} mm/day"));
    put(&mut worked, "et0", depth, "mm/day")?;
    put(&mut worked, "day_length", day.day_length_h, "h")?;
    put(&mut worked, "extraterrestrial_radiation", day.extraterrestrial_mj, "MJ/m2/day")?;
    Ok(worked)
}

fn priestley_taylor(given: &Given) -> Result<Worked, ReckonError> {
    let asked = weather(given, true, true)?;
    let (terms, stand_ins) = asked.weather.terms(Reference::Fao56).map_err(|e| no_answer(&e))?;
    let mut worked = Worked::default();
    worked.line(format!("Δ = {:.4}, γ = {:.4} kPa/°C", terms.slope_kpa_c, terms.psychrometric_kpa_c));
    if asked.sky {
        tell_sky(&mut worked, &asked.weather, &terms);
        stand_ins.iter().filter(|s| !s.is_of_wind()).for_each(|s| worked.line(format!("note: {}", s.words())));
    }
    tell_net(&mut worked, &asked.weather, &terms);
    let depth = priestley_taylor_mm(terms.slope_kpa_c, terms.psychrometric_kpa_c, terms.net_radiation_mj, terms.soil_heat_mj);
    worked.line(format!("{PRIESTLEY_TAYLOR} Δ/(Δ + γ) (Rn − G)/2.45 = {depth:.4} mm/day"));
    put(&mut worked, "et0", depth, "mm/day")?;
    put_air(&mut worked, &terms)?;
    if asked.sky {
        put_sky(&mut worked, &terms)?;
    }
    put(&mut worked, "net_radiation", terms.net_radiation_mj, "MJ/m2/day")?;
    Ok(worked)
}

/// Mean temperature and solar radiation, for the methods that need no more; latitude and date only where radiation must be reckoned.
fn mean_and_solar(given: &Given, worked: &mut Worked) -> Result<(f64, f64), ReckonError> {
    let (min, max) = (need_in(given, "minimum", "degC")?, need_in(given, "maximum", "degC")?);
    if min > max {
        let why = format!("the minimum ({}) is above the maximum ({})", given.need("minimum")?, given.need("maximum")?);
        return Err(given.wrong("minimum", why));
    }
    let mean = in_unit(given, "mean", "degC")?.unwrap_or(0.5 * (min + max));
    let solar = match radiation(given)?.ok_or_else(|| given.lacks("solar-radiation"))? {
        Radiation::Measured(solar) if (0.0..=50.0).contains(&solar) => solar,
        Radiation::Measured(_) => return Err(given.wrong("solar-radiation", "a day's radiation lies between 0 and 50 MJ/m2/day")),
        _ => {
            let asked = weather(given, true, false)?;
            let (terms, stand_ins) = asked.weather.terms(Reference::Fao56).map_err(|e| no_answer(&e))?;
            let radiative = stand_ins.iter().filter(|s| s.is_of_radiation());
            radiative.for_each(|s| worked.line(format!("note: {}", s.words())));
            terms.solar_mj
        }
    };
    worked.line(format!("mean temperature {mean:.4} °C, Rs = {solar:.4} MJ/m2/day"));
    Ok((mean, solar))
}

fn makkink(given: &Given) -> Result<Worked, ReckonError> {
    use groundlore_weather::evapotranspiration::air::{pressure_kpa, psychrometric_kpa_c};
    use groundlore_weather::evapotranspiration::vapour::slope_kpa_c;
    let mut worked = Worked::default();
    let (mean, solar) = mean_and_solar(given, &mut worked)?;
    let depth = if given.word("form") == Some("knmi") {
        let depth = makkink_knmi_mm(mean, solar);
        worked.line(format!("Makkink as KNMI reckons it: 0.65 Δ/(Δ + γ) Rs/λ = {depth:.4} mm/day"));
        depth
    } else {
        let gamma = psychrometric_kpa_c(pressure_kpa(need_in(given, "elevation", "m")?));
        let depth = makkink_original_mm(slope_kpa_c(mean), gamma, solar);
        worked.line(format!("Δ = {:.4}, γ = {gamma:.4} kPa/°C", slope_kpa_c(mean)));
        worked.line(format!("Makkink's original form: 0.61 Δ/(Δ + γ) Rs/2.45 − 0.12 = {depth:.4} mm/day"));
        put(&mut worked, "slope", slope_kpa_c(mean), "kPa/degC")?;
        put(&mut worked, "psychrometric", gamma, "kPa/degC")?;
        depth
    };
    put(&mut worked, "et0", depth, "mm/day")?;
    put(&mut worked, "solar_radiation", solar, "MJ/m2/day")?;
    Ok(worked)
}

fn turc(given: &Given) -> Result<Worked, ReckonError> {
    let mut worked = Worked::default();
    let (mean, solar) = mean_and_solar(given, &mut worked)?;
    let (min, max) = (need_in(given, "minimum", "degC")?, need_in(given, "maximum", "degC")?);
    let humidity = humidity(given)?;
    let percent = match humidity {
        Humidity::Range { minimum_pct, maximum_pct } => 0.5 * (minimum_pct + maximum_pct),
        other => {
            let actual = other.vapour_pressure_kpa(min, max).map_err(|e| no_answer(&e))?;
            100.0 * actual / groundlore_weather::evapotranspiration::vapour::mean_saturation_kpa(min, max)
        }
    };
    if matches!(humidity, Humidity::FromMinimum { .. }) {
        worked.line("note: humidity was not given; the dewpoint is taken as the minimum");
    }
    let depth = turc_mm(mean, solar, percent);
    worked.line(format!(
        "mean relative humidity {percent:.2} %{}",
        if percent < 50.0 { ": below 50 %, so the dry factor 1 + (50 − RH)/70" } else { "" }
    ));
    worked.line(format!("Turc: 0.013 T/(T + 15) (23.88 Rs + 50) = {depth:.4} mm/day"));
    put(&mut worked, "et0", depth, "mm/day")?;
    put(&mut worked, "solar_radiation", solar, "MJ/m2/day")?;
    Ok(worked)
}

fn hourly(given: &Given) -> Result<Worked, ReckonError> {
    let reference = if given.word("method") == Some("asce-tall") { Reference::AsceTall } else { Reference::AsceShort };
    let later = match given.word("time-is") {
        Some("start") => 60,
        Some("middle") => 30,
        _ => 0,
    };
    let end = time(given)?.checked_add(SignedDuration::from_mins(later)).map_err(|e| given.wrong("time", e.to_string()))?;
    let cloudiness = given.si("cloudiness");
    if cloudiness.is_some_and(|factor| !(0.05..=1.0).contains(&factor)) {
        return Err(given.wrong("cloudiness", "the factor lies between 0.05 (overcast) and 1 (clear)"));
    }
    let hour = HourlyWeather {
        latitude_deg: latitude(given)?,
        longitude_deg: longitude(given)?,
        elevation_m: need_in(given, "elevation", "m")?,
        end,
        temperature_c: need_in(given, "temperature", "degC")?,
        vapour_pressure_kpa: need_in(given, "vapour-pressure", "kPa")?,
        wind: wind(given)?,
        solar_mj: need_in(given, "solar-radiation", "MJ/m2/h")?,
        cloudiness,
        net_radiation_mj: in_unit(given, "net-radiation", "MJ/m2/h")?,
    };
    let found = hour.evapotranspiration(reference).map_err(|e| no_answer(&e))?;
    let mut worked = Worked::default();
    worked.line(format!("hour to {end}; hour angles {:.4} to {:.4} rad", found.sun.start_rad, found.sun.end_rad));
    worked.line(format!("Δ = {:.4}, γ = {:.4} kPa/°C; es = {:.4} kPa", found.slope_kpa_c, found.psychrometric_kpa_c, found.saturation_kpa));
    worked.line(format!("Ra = {:.4}, Rso = {:.4} MJ/m2/h", found.sun.extraterrestrial_mj, found.clear_sky_mj));
    worked.line(format!(
        "cloudiness {:.3}; Rnl = {:.4}; Rn = {:.4}; G = {:.4} MJ/m2/h",
        found.cloudiness, found.net_longwave_mj, found.net_radiation_mj, found.soil_heat_mj
    ));
    if found.cloudiness_stands_in {
        worked.line("note: no sun tells the cloudiness and none was given; that of 0.7 of a clear sky stands in (memory)");
    }
    worked.line(format!(
        "{}, {} constants: {:.4} mm/h",
        reference.name(),
        if found.net_radiation_mj > 0.0 { "day" } else { "night" },
        found.et0_mm
    ));
    put(&mut worked, "et0", found.et0_mm, "mm/h")?;
    put(&mut worked, "net_radiation", found.net_radiation_mj, "MJ/m2/h")?;
    put(&mut worked, "slope", found.slope_kpa_c, "kPa/degC")?;
    put(&mut worked, "psychrometric", found.psychrometric_kpa_c, "kPa/degC")?;
    put(&mut worked, "saturation_pressure", found.saturation_kpa, "kPa")?;
    put(&mut worked, "wind_2m", found.wind_2m_ms, "m/s")?;
    put(&mut worked, "extraterrestrial_radiation", found.sun.extraterrestrial_mj, "MJ/m2/h")?;
    put(&mut worked, "clear_sky_radiation", found.clear_sky_mj, "MJ/m2/h")?;
    put(&mut worked, "net_longwave", found.net_longwave_mj, "MJ/m2/h")?;
    Ok(worked)
}

fn vapour_pressure(given: &Given) -> Result<Worked, ReckonError> {
    let celsius = need_in(given, "temperature", "degC")?;
    if !(-95.0..=100.0).contains(&celsius) {
        return Err(given.wrong("temperature", format!("{celsius:.1} °C lies outside −95 to 100 °C, where the formula holds")));
    }
    let pressure = saturation_pressure_kpa(celsius);
    let mut worked = Worked::default();
    worked.line(format!("0.6108 exp(17.27 T/(T + 237.3)) at T = {celsius:.4} °C = {pressure:.5} kPa"));
    put(&mut worked, "saturation_pressure", pressure, "kPa")?;
    Ok(worked)
}
