//! What a season adds up to: soil warmth, zones, chill, growth.

use super::sun::{DATE_KIND, date};
use crate::ReckonError;
use crate::answer::{Output, Worked, tidy};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::{Given, Value};
use groundlore_quantity::{Kind, Quantity};
use groundlore_weather::chill::{UtahScale, chill_portions};
use groundlore_weather::growth_potential::{AboveOptimum, Grass, GrowthForm};
use groundlore_weather::hardiness::HalfZone;
use groundlore_weather::heat_days::{HeatClass, WHOSE_CUTS};
use groundlore_weather::soil_temperature::AnnualWave;

const TEMPERATURE: InputKind = InputKind::Quantity(Kind::Temperature);
const HOURS: InputKind = InputKind::List(Kind::Temperature);

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "soil-temperature",
        topic: Topic::Season,
        about: "Soil temperature at a depth on a date of a usual year: a wave that shrinks and lags with depth.",
        inputs: &[
            required("mean", TEMPERATURE, "mean temperature of the year", "10 degC"),
            required(
                "amplitude",
                InputKind::Quantity(Kind::TemperatureDifference),
                "half the swing of the surface through the year",
                "12 degC",
            ),
            required("phase-day", InputKind::Quantity(Kind::Bare), "day of the year on which the surface is coldest", "30"),
            required("diffusivity", InputKind::Quantity(Kind::AreaPerTime), "thermal diffusivity of the soil", "0.045 m2/day"),
            required("depth", InputKind::Quantity(Kind::Length), "depth", "5 cm"),
            required("date", DATE_KIND, "the date", "2023-01-15"),
        ],
        outputs: &[output("temperature", "soil temperature of a usual year")],
        rounding: EXACT,
        sources: &["van Wijk & de Vries 1963; Hillel 1982; formula as read at soilphysics.okstate.edu/toolkit/temperature/model.htm"],
        cautions: &["This is a usual year, not this one: measure before sowing or treating by soil temperature."],
        run: soil_temperature,
    },
    Calculator {
        key: "hardiness-zone",
        topic: Topic::Season,
        about: "Plant hardiness half zone of the mean yearly lowest temperature.",
        inputs: &[required("extreme-minimum", TEMPERATURE, "mean of the yearly lowest temperatures", "14 degF")],
        outputs: &[output("zone", "half zone, 1a to 13b")],
        rounding: EXACT,
        sources: &[
            "US Department of Agriculture half zones of 5 degF from -60 degF (ranges read); that an edge goes to the warmer half is memory",
        ],
        cautions: &["A zone tells of the coldest nights only, not of wet, wind, heat or a yard's own cold hollow."],
        run: hardiness_zone,
    },
    Calculator {
        key: "hot-days",
        topic: Topic::Season,
        about: "Heat class of the mean number of days a year above 30 degC (86 degF).",
        inputs: &[required("days", InputKind::Quantity(Kind::Bare), "mean number of days a year above 30 degC (86 degF)", "3.875")],
        outputs: &[output("class", "heat class, 1 to 12, by the cuts of the American Horticultural Society")],
        rounding: EXACT,
        sources: &["American Horticultural Society heat zones, read at pinetum.org/heat.htm"],
        cautions: &[],
        run: hot_days,
    },
    Calculator {
        key: "chill-utah",
        topic: Topic::Season,
        about: "Chill units of hourly temperatures by the Utah model.",
        inputs: &[required(
            "temperatures",
            HOURS,
            "one temperature an hour; a list in degF is cut at whole degF, one in degC at tenths of degC",
            "5 degC, 7 degC",
        )],
        outputs: &[output("units", "chill units; warm hours take some away again")],
        rounding: EXACT,
        sources: &["Richardson, Seeley & Walker 1974; classes in degF as read at pebender.github.io, those in degC from memory"],
        cautions: &["Use a plant's chill need only with the count it was published in."],
        run: chill_utah,
    },
    Calculator {
        key: "chill-portions",
        topic: Topic::Season,
        about: "Chill portions of hourly temperatures by the dynamic model, from none.",
        inputs: &[required("temperatures", HOURS, "one temperature an hour, in order", "5 degC, 7 degC")],
        outputs: &[output("portions", "portions fixed by the last hour")],
        rounding: EXACT,
        sources: &["Fishman, Erez & Couvillon 1987; Erez et al. 1990; constants as read in several public repositories"],
        cautions: &["Use a plant's chill need only with the count it was published in."],
        run: portions,
    },
    Calculator {
        key: "growth-potential",
        topic: Topic::Season,
        about: "How near a mean temperature is to what turf grows best at, 0 to 1.",
        inputs: &[
            required("temperature", TEMPERATURE, "mean temperature", "60 degF"),
            required("grass", InputKind::Choice(&["cool", "warm"]), "cool-season or warm-season grass", "cool"),
            optional(
                "form",
                InputKind::Choice(&["fahrenheit", "celsius"]),
                "which of the two published curves; where left out, that of the scale the temperature is given in",
                "fahrenheit",
            ),
            optional(
                "above-optimum",
                InputKind::Choice(&["falls", "holds"]),
                "warm-season grass above its optimum: falls off (the first form), or holds at 1 (the later form); falls where left out",
                "falls",
            ),
        ],
        outputs: &[output("potential", "growth potential")],
        rounding: EXACT,
        sources: &[
            "Gelernter & Stowell 2005: optima read at grounds-mag.com, widths memory; degC form from their 2013 fact sheet (memory)",
            "later warm-season form: the authors' own site",
        ],
        cautions: &["It knows temperature only: not water, light, wear or feeding. The two curves lie up to 0.036 apart."],
        run: growth_potential,
    },
];

fn celsius(given: &Given, name: &str) -> Result<f64, ReckonError> {
    given.need(name)?.celsius().ok_or_else(|| given.wrong(name, "this is no temperature"))
}

fn soil_temperature(given: &Given) -> Result<Worked, ReckonError> {
    let in_unit = |name: &str, unit: &str| given.need(name)?.in_unit(unit).map_err(|e| given.wrong(name, e.to_string()));
    let (diffusivity_m2_day, depth_m) = (in_unit("diffusivity", "m2/day")?, in_unit("depth", "m")?);
    if diffusivity_m2_day <= 0.0 {
        return Err(given.wrong("diffusivity", "it must be above 0"));
    }
    if depth_m < 0.0 {
        return Err(given.wrong("depth", "it counts downwards and cannot be below 0"));
    }
    let coldest_day = given.need("phase-day")?.value;
    if !(0.0..=366.0).contains(&coldest_day) {
        return Err(given.wrong("phase-day", format!("{coldest_day} is no day of the year")));
    }
    let wave = AnnualWave { mean_c: celsius(given, "mean")?, amplitude_c: given.need_si("amplitude")?, coldest_day, diffusivity_m2_day };
    let date = date(given)?;
    let found = wave.temperature_c(depth_m, f64::from(date.day_of_year()));
    let mut worked = Worked::default();
    worked.line(format!(
        "damping depth = √(365 α/π) = {:.4} m; lag at {depth_m:.3} m {:.1} days",
        wave.damping_depth_m(),
        wave.lag_days(depth_m)
    ));
    worked
        .line(format!("mean − amplitude × e^(−z/d) × cos(2π (J − {coldest_day})/365 − z/d) on day {} = {found:.4} °C", date.day_of_year()));
    let scale = given.need("mean")?.unit.to_string();
    let quantity = Quantity::from_si(found + 273.15, &scale).map(tidy).map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    worked.put("temperature", Output::Quantity(quantity));
    Ok(worked)
}

fn hardiness_zone(given: &Given) -> Result<Worked, ReckonError> {
    let quantity = given.need("extreme-minimum")?;
    let celsius = celsius(given, "extreme-minimum")?;
    if !(-95.0..=60.0).contains(&celsius) {
        return Err(given.wrong("extreme-minimum", format!("no place on earth has {quantity} as its lowest temperature")));
    }
    let zone = HalfZone::of_mean_minimum(celsius).ok_or_else(|| given.wrong("extreme-minimum", "this is no temperature"))?;
    let (low, high) = zone.range_c();
    let mut worked = Worked::default();
    worked.line(format!(
        "{quantity} = {:.2} °F lies in half zone {zone}: {:.0} to {:.0} °F",
        celsius * 1.8 + 32.0,
        low * 1.8 + 32.0,
        high * 1.8 + 32.0
    ));
    worked.put("zone", Output::Word(zone.to_string()));
    Ok(worked)
}

fn hot_days(given: &Given) -> Result<Worked, ReckonError> {
    let days = given.need("days")?.value;
    let class = HeatClass::of_days(days).ok_or_else(|| given.wrong("days", format!("{days} is no number of days in a year")))?;
    let mut worked = Worked::default();
    worked.line(format!("{days} days a year: class {class} of 12, by the {WHOSE_CUTS}"));
    worked.put("class", Output::Number(f64::from(class.number())));
    Ok(worked)
}

/// Hourly temperatures in °C, and whether they were given in °F.
fn hours(given: &Given) -> Result<(Vec<f64>, bool), ReckonError> {
    let list = given.values().iter().find_map(|(name, value)| match value {
        Value::List(list) if *name == "temperatures" => Some(list),
        _ => None,
    });
    let list = list.ok_or_else(|| given.lacks("temperatures"))?;
    let fahrenheit = list.first().is_some_and(|first| first.unit.to_string() == "degF");
    let one = |(place, quantity): (usize, &Quantity)| {
        let celsius = quantity.celsius().filter(|celsius| (-95.0..=60.0).contains(celsius));
        celsius.ok_or_else(|| given.wrong("temperatures", format!("hour {} is {quantity}, which no weather gives", place + 1)))
    };
    Ok((list.iter().enumerate().map(one).collect::<Result<_, _>>()?, fahrenheit))
}

fn chill_utah(given: &Given) -> Result<Worked, ReckonError> {
    let (hours, fahrenheit) = hours(given)?;
    let (scale, name) = if fahrenheit { (UtahScale::Fahrenheit, "degF") } else { (UtahScale::Celsius, "degC") };
    let units = scale.sum(&hours);
    let mut worked = Worked::default();
    for class in [1.0, 0.5, 0.0, -0.5, -1.0] {
        let count = hours.iter().filter(|celsius| scale.units(**celsius) == class).count();
        worked.line(format!("{count} hours at {class} units (classes cut in {name})"));
    }
    worked.line(format!("sum over {} hours: {units} units", hours.len()));
    worked.put("units", Output::Number(units));
    Ok(worked)
}

fn portions(given: &Given) -> Result<Worked, ReckonError> {
    let (hours, _) = hours(given)?;
    let portions = chill_portions(&hours);
    let mut worked = Worked::default();
    worked
        .line(format!("{} hours through the dynamic model (E0 4153.5, E1 12888.8, A0 139500, A1 2.567e18, slope 1.6, 277 K)", hours.len()));
    worked.line(format!("{portions:.4} portions"));
    worked.put("portions", Output::Number(portions));
    Ok(worked)
}

fn growth_potential(given: &Given) -> Result<Worked, ReckonError> {
    let quantity = given.need("temperature")?;
    let celsius = celsius(given, "temperature")?;
    let form = match given.word("form") {
        Some("celsius") => GrowthForm::Celsius,
        Some(_) => GrowthForm::Fahrenheit,
        None if quantity.unit.to_string() == "degC" => GrowthForm::Celsius,
        None => GrowthForm::Fahrenheit,
    };
    let grass = if given.word("grass") == Some("warm") { Grass::Warm } else { Grass::Cool };
    let above = if given.word("above-optimum") == Some("holds") { AboveOptimum::Holds } else { AboveOptimum::Falls };
    let potential = form.potential(celsius, grass, above);
    let (optimum, width) = form.optimum_and_width(grass);
    let scale = if form == GrowthForm::Celsius { "°C" } else { "°F" };
    let mut worked = Worked::default();
    worked.line(format!("exp(−½ ((T − {optimum})/{width})²) in {scale} at {quantity} = {potential:.4}"));
    if grass == Grass::Warm && above == AboveOptimum::Holds {
        worked.line("the later form: 1 above the optimum");
    }
    worked.put("potential", Output::Share(potential));
    Ok(worked)
}
