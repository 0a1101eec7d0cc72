//! Applying: calibration from catches, and the strength of what is mixed.

use crate::ReckonError;
use crate::answer::{Output, Worked, quantity};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_plant_health::impact_quotient::{Ratings, field_rating, impact_quotient};
use groundlore_quantity::{Kind, Quantity};
use groundlore_work::WorkError;
use groundlore_work::application::Analysis;
use groundlore_work::calibration::{catch_test, nozzle_flow, spreader, volume_rate};
use groundlore_work::dilution::{lime, liquid_fertiliser, product_for_percent, product_rate, strength_for_ppm};

const BARE: InputKind = InputKind::Quantity(Kind::Bare);
const SHARE: InputKind = InputKind::Quantity(Kind::Share);
const LABEL: &str = "The product label is the law: the rate comes from the label in hand, never from here.";
const RATED: &str =
    "The quotient compares; it passes nothing. Its ratings carry an edition and a half-life on plants moves it more than the rest.";

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "sprayer-calibration",
        topic: Topic::Treatment,
        about: "Spray put on an area, from what was caught over a measured course.",
        inputs: &[
            required(
                "width",
                InputKind::Quantity(Kind::Length),
                "width that the catch belongs to: one nozzle's spacing, or the swath",
                "40 in",
            ),
            required("distance", InputKind::Quantity(Kind::Length), "length of the course", "102 ft"),
            required("time", InputKind::Quantity(Kind::Time), "time over the course", "17 s"),
            required("catch", InputKind::Quantity(Kind::Volume), "what was caught in that time", "14 floz"),
        ],
        outputs: &[output("volume_rate", "spray on an area"), output("speed", "ground speed")],
        rounding: EXACT,
        sources: &["Extension sheets on the 1/128-acre method: 102 ft of 40-in rows in 17 s, 14 fl oz caught, is 14 gal/acre at 4.09 mph"],
        cautions: &["Calibrate with clean water, and wear what the label asks for all the same: sprayers are seldom clean."],
        run: sprayer,
    },
    Calculator {
        key: "nozzle-flow",
        topic: Topic::Treatment,
        about: "Flow that a nozzle must give, or the spray that a flow puts on an area.",
        inputs: &[
            optional("volume-rate", InputKind::Quantity(Kind::VolumePerArea), "spray wanted on an area; gives `flow`", "23.76 gal/acre"),
            optional("flow", InputKind::Quantity(Kind::VolumePerTime), "flow of a nozzle; gives `volume_rate`", "0.4 gal/min"),
            required("speed", InputKind::Quantity(Kind::Speed), "ground speed", "5 mph"),
            required("spacing", InputKind::Quantity(Kind::Length), "distance between nozzles", "20 in"),
        ],
        outputs: &[output("flow", "flow of one nozzle"), output("volume_rate", "spray on an area")],
        rounding: EXACT,
        sources: &["arithmetic: gal/acre = 5940 × gal/min ÷ (mph × in)"],
        cautions: &[LABEL],
        run: nozzle,
    },
    Calculator {
        key: "catch-test",
        topic: Topic::Treatment,
        about: "Which nozzles are off, from what each gave in the same time.",
        inputs: &[
            required("catches", InputKind::List(Kind::Volume), "what was caught from each nozzle", "44 floz, 45 floz, 44 floz"),
            required("tolerance", SHARE, "how far from the mean is let pass", "7%"),
        ],
        outputs: &[
            output("mean", "mean of the catches"),
            output("low", "least that passes"),
            output("high", "most that passes"),
            output("outside", "how many nozzles are outside; the working names them"),
        ],
        rounding: EXACT,
        sources: &["Extension sheet: 44, 45 and 44 fl oz at 7 % all pass between 41.23 and 47.43"],
        cautions: &["A nozzle that fails is changed, not cleaned with wire or breath."],
        run: catches,
    },
    Calculator {
        key: "spreader-calibration",
        topic: Topic::Treatment,
        about: "Spreader setting: what each pass should put down, and what still passes.",
        inputs: &[
            required("rate", InputKind::Quantity(Kind::MassPerArea), "product wanted on an area", "5 lb/1000ft2"),
            required("passes", BARE, "passes over the same ground", "2"),
            required("tolerance", SHARE, "how far off is let pass", "5%"),
        ],
        outputs: &[
            output("per_pass", "product on an area in one pass"),
            output("low", "least in all that passes"),
            output("high", "most in all that passes"),
        ],
        rounding: EXACT,
        sources: &["Extension sheet: 5 lb/1000 ft² in two passes at 5 %: 2.5 a pass, 4.75 to 5.25 in all"],
        cautions: &[LABEL],
        run: spread,
    },
    Calculator {
        key: "active-ingredient",
        topic: Topic::Treatment,
        about: "Product for a rate that is stated as active ingredient.",
        inputs: &[
            required(
                "rate-ai",
                InputKind::Quantity(Kind::MassPerArea),
                "active ingredient on an area, from the label in hand",
                "0.75 lb/acre",
            ),
            required(
                "concentration",
                InputKind::OneOf(&[Kind::Density, Kind::Share], "active ingredient in the product: `4 lb/gal` or `75%`"),
                "active ingredient in the product",
                "4 lb/gal",
            ),
        ],
        outputs: &[output("product_rate", "product on an area: a volume where the strength is by volume, else a mass")],
        rounding: EXACT,
        sources: &["Extension table: 0.75 lb/acre of 4 lb/gal is 1.5 pt/acre; 1 lb/acre of 75 % is 13.88 g/1000 ft²"],
        cautions: &[LABEL],
        run: active,
    },
    Calculator {
        key: "percent-solution",
        topic: Topic::Treatment,
        about: "Product for a mix stated in percent by volume.",
        inputs: &[
            required("percent", SHARE, "share of the finished mix", "2%"),
            required("volume", InputKind::Quantity(Kind::Volume), "finished mix made", "1 gal"),
        ],
        outputs: &[output("product", "product to measure out")],
        rounding: EXACT,
        sources: &["arithmetic: 2 % of 128 fl oz is 2.56 fl oz; percent is of the finished mix"],
        cautions: &[LABEL],
        run: percent,
    },
    Calculator {
        key: "ppm",
        topic: Topic::Treatment,
        about: "Material for a feed stated in parts per million of a nutrient, for a tank or for an injector's stock.",
        inputs: &[
            required("target", SHARE, "nutrient wanted in the water that reaches the plants", "200 ppm"),
            required("fraction", SHARE, "share of the material that is the nutrient", "33%"),
            optional(
                "volume",
                InputKind::Quantity(Kind::Volume),
                "water (or stock, with an injector); without it the answer is for each volume",
                "100 gal",
            ),
            optional(
                "injector",
                InputKind::Text("parts of water to one of stock, as `100` or `1:100`"),
                "parts of water to one of stock",
                "1:100",
            ),
        ],
        outputs: &[output("product", "material: a mass for the volume, or a mass in a volume of stock")],
        rounding: EXACT,
        sources: &["parts per million are mg/L; 1 oz in 100 gal of a material with share f is 74.89 f parts per million"],
        cautions: &["Check the feed at the plants with a meter: injectors drift. A backflow preventer stands before the injector."],
        run: parts_per_million,
    },
    Calculator {
        key: "liquid-fertiliser",
        topic: Topic::Treatment,
        about: "Nutrients in a volume of liquid fertiliser.",
        inputs: &[
            required("analysis", InputKind::Text("the three figures of the label, N-P2O5-K2O"), "analysis by mass", "28-0-0"),
            required("density", InputKind::Quantity(Kind::Density), "mass of a volume", "10.65 lb/gal"),
        ],
        outputs: &[output("n", "N in a volume"), output("p2o5", "P2O5 in a volume"), output("k2o", "K2O in a volume")],
        rounding: EXACT,
        sources: &["arithmetic: the analysis is by mass, so share × density"],
        cautions: &["Keep fertiliser off paving and away from water; local limits on phosphorus and dates come first."],
        run: liquid,
    },
    Calculator {
        key: "lime",
        topic: Topic::Treatment,
        about: "Liming material for a need stated as pure calcium carbonate.",
        inputs: &[
            required("need", InputKind::Quantity(Kind::MassPerArea), "lime need from the soil report", "5 lb/100ft2"),
            required("cce", SHARE, "calcium carbonate equivalent of the material", "70%"),
        ],
        outputs: &[output("rate", "material on an area")],
        rounding: EXACT,
        sources: &["Extension sheet: 5 lb/100 ft² at 70 % takes 7.14 lb/100 ft²"],
        cautions: &["Never without a soil test; large needs go on in parts. Lime dust burns eyes: goggles and a mask."],
        run: liming,
    },
    Calculator {
        key: "impact-quotient",
        topic: Topic::Treatment,
        about: "Environmental impact quotient of an active ingredient from its published ratings.",
        inputs: &[
            required("chronic", BARE, "chronic toxicity, C: 1, 3 or 5", "3"),
            required("dermal", BARE, "dermal toxicity, DT", "1"),
            required("plant-half-life", BARE, "half-life on plants, P", "3"),
            required("soil-half-life", BARE, "half-life in soil, S", "2"),
            required("systemic", BARE, "systemic or not, SY", "2"),
            required("leaching", BARE, "leaching, L", "3"),
            required("fish", BARE, "toxicity to fish, F", "3"),
            required("runoff", BARE, "surface runoff, R", "3"),
            required("bird", BARE, "toxicity to birds, D", "3"),
            required("bee", BARE, "toxicity to bees, Z", "1"),
            required("beneficial", BARE, "toxicity to beneficial arthropods, B", "3"),
        ],
        outputs: &[
            output("worker", "part of whoever applies and picks"),
            output("consumer", "part of whoever eats and drinks"),
            output("ecology", "part of fish, birds, bees and beneficials"),
            output("quotient", "mean of the three"),
        ],
        rounding: EXACT,
        sources: &["Kovach, Petzoldt, Degni & Tette 1992, New York's Food and Life Sciences Bulletin 139 (memory)"],
        cautions: &[RATED],
        run: quotient,
    },
    Calculator {
        key: "impact-rating",
        topic: Topic::Treatment,
        about: "Field use rating: quotient, share of active ingredient and product used.",
        inputs: &[
            required("quotient", BARE, "impact quotient", "22.6"),
            required("fraction", SHARE, "share of active ingredient in the product", "50%"),
            required("rate", InputKind::Quantity(Kind::MassPerArea), "product on an area", "6 lb/acre"),
        ],
        outputs: &[output("rating", "quotient × share × pounds an acre")],
        rounding: EXACT,
        sources: &["Kovach et al. 1992, worked table: 22.6 × 50 % × 6 lb/acre is 67.8 (memory)"],
        cautions: &[RATED],
        run: rating,
    },
];

fn refuse(e: WorkError) -> ReckonError {
    ReckonError::NoAnswer(e.to_string())
}

fn sprayer(given: &Given) -> Result<Worked, ReckonError> {
    let (width, distance, time) = (given.need_si("width")?, given.need_si("distance")?, given.need_si("time")?);
    if !(time > 0.0 && time.is_finite()) {
        return Err(given.wrong("time", format!("it is {}; it must be above 0", given.need("time")?)));
    }
    let rate = volume_rate(given.need_si("catch")?, width, distance).map_err(refuse)?;
    let mut worked = Worked::default();
    worked.line(format!("catch {} over {} × {}", given.need("catch")?, given.need("width")?, given.need("distance")?));
    let rate = worked.put_si(given, "volume_rate", rate, "gal/acre", "L/ha")?;
    worked.line(format!("volume rate {}", rate.rounded(6)));
    let speed = worked.put_si(given, "speed", distance / time, "mph", "km/h")?;
    worked.line(format!("{} in {}: {}", given.need("distance")?, given.need("time")?, speed.rounded(6)));
    Ok(worked)
}

fn nozzle(given: &Given) -> Result<Worked, ReckonError> {
    let (speed, spacing) = (given.need_si("speed")?, given.need_si("spacing")?);
    let mut worked = Worked::default();
    match (given.quantity("volume-rate"), given.quantity("flow")) {
        (Some(_), Some(_)) => return Err(given.wrong("flow", "give `volume-rate` or `flow`, not both: each answers the other")),
        (Some(wanted), None) => {
            let flow = nozzle_flow(wanted.si(), speed, spacing).map_err(refuse)?;
            worked.line(format!("{wanted} × {} × {}", given.need("speed")?, given.need("spacing")?));
            let flow = worked.put_si(given, "flow", flow, "gal/min", "L/min")?;
            worked.line(format!("flow of one nozzle {}", flow.rounded(6)));
        }
        (None, Some(flow)) => {
            let rate = volume_rate(flow.si(), speed, spacing).map_err(refuse)?;
            worked.line(format!("{flow} ÷ ({} × {})", given.need("speed")?, given.need("spacing")?));
            let rate = worked.put_si(given, "volume_rate", rate, "gal/acre", "L/ha")?;
            worked.line(format!("spray on an area {}", rate.rounded(6)));
        }
        (None, None) => return Err(given.lacks("volume-rate")),
    }
    Ok(worked)
}

fn catches(given: &Given) -> Result<Worked, ReckonError> {
    let (si, tolerance) = (given.list_si("catches"), given.need_si("tolerance")?);
    if !(0.0..1.0).contains(&tolerance) {
        return Err(given.wrong("tolerance", format!("it is {tolerance}; it must be 0 or more and below 1")));
    }
    let found = catch_test(&si, tolerance).map_err(refuse)?;
    let unit = given.list("catches").first().map_or_else(|| "floz".to_owned(), |q| q.unit.to_string());
    let mut worked = Worked::default();
    for (name, value) in [("mean", found.mean), ("low", found.low), ("high", found.high)] {
        let value = quantity(value, &unit)?;
        worked.line(format!("{name} {}", value.rounded(6)));
        worked.put(name, Output::Quantity(value));
    }
    for (place, caught) in given.list("catches").iter().enumerate() {
        worked.line(format!("nozzle {}: {caught}, {}", place + 1, if found.outside.contains(&place) { "fails" } else { "passes" }));
    }
    worked.put("outside", Output::Number(found.outside.len() as f64));
    Ok(worked)
}

fn spread(given: &Given) -> Result<Worked, ReckonError> {
    let rate = given.need("rate")?;
    let found = spreader(rate.si(), given.need_si("passes")?, given.need_si("tolerance")?).map_err(refuse)?;
    let unit = rate.unit.to_string();
    let mut worked = Worked::default();
    worked.line(format!("{rate} over {} passes, {} either way", given.need_si("passes")?, given.need("tolerance")?));
    for (name, value) in [("per_pass", found.per_pass), ("low", found.low), ("high", found.high)] {
        let value = quantity(value, &unit)?;
        worked.line(format!("{} {}", name.replace('_', " "), value.rounded(6)));
        worked.put(name, Output::Quantity(value));
    }
    Ok(worked)
}

fn active(given: &Given) -> Result<Worked, ReckonError> {
    let (rate, strength) = (given.need("rate-ai")?, given.need("concentration")?);
    let by_volume = Kind::Density.accepts(&strength.unit);
    if !by_volume && strength.si() > 1.0 {
        return Err(given.wrong("concentration", format!("`{strength}` is more than the whole product")));
    }
    let found = product_rate(rate.si(), strength.si()).map_err(refuse)?;
    let mut worked = Worked::default();
    let product = match (by_volume, given.is_metric()) {
        (true, false) => quantity(found, "pt/acre")?,
        (true, true) => quantity(found, "L/ha")?,
        (false, _) => quantity(found, &rate.unit.to_string())?,
    };
    worked.line(format!("{rate} ÷ {strength} = {}", product.rounded(6)));
    worked.put("product_rate", Output::Quantity(product));
    Ok(worked)
}

fn percent(given: &Given) -> Result<Worked, ReckonError> {
    let (share, volume) = (given.need("percent")?, given.need("volume")?);
    let product = product_for_percent(share.si(), volume.si()).map_err(refuse)?;
    let mut worked = Worked::default();
    let product = worked.put_si(given, "product", product, "floz", "mL")?;
    worked.line(format!("{share} of {volume} of finished mix = {}", product.rounded(6)));
    Ok(worked)
}

/// `100` or `1:100` as parts of water to one of stock.
fn injector(given: &Given) -> Result<Option<f64>, ReckonError> {
    let Some(text) = given.word("injector") else { return Ok(None) };
    let ratio = match text.split_once(':') {
        Some((one, many)) => one.trim().parse::<f64>().ok().zip(many.trim().parse::<f64>().ok()).map(|(one, many)| many / one),
        None => text.trim().parse::<f64>().ok(),
    };
    ratio
        .filter(|r| r.is_finite() && *r > 0.0)
        .map(Some)
        .ok_or_else(|| given.wrong("injector", format!("`{text}` is no ratio; write the parts of water to one of stock")))
}

fn parts_per_million(given: &Given) -> Result<Worked, ReckonError> {
    let (target, fraction) = (given.need("target")?, given.need("fraction")?);
    // A bare number is a count of parts, not a share: nobody feeds at 100 % nutrient.
    let target_share = if target.unit.is_none() && target.value >= 1.0 { target.value * 1e-6 } else { target.si() };
    let ratio = injector(given)?;
    if ratio.is_none() && given.quantity("volume").is_none() {
        return Err(given.lacks("volume"));
    }
    let strength = strength_for_ppm(target_share, fraction.si(), ratio.unwrap_or(1.0)).map_err(refuse)?;
    let mut worked = Worked::default();
    let by = ratio.map_or_else(String::new, |r| format!(" × {r} (injector)"));
    worked.line(format!("{:.6} mg/L ÷ {fraction}{by} = {:.6} g/L of material", target_share * 1e6, strength));
    match given.si("volume") {
        Some(volume) => {
            if !(volume > 0.0 && volume.is_finite()) {
                return Err(given.wrong("volume", format!("it is {}; it must be above 0", given.need("volume")?)));
            }
            let product = worked.put_si(given, "product", strength * volume, "oz", "g")?;
            worked.line(format!("in {}: {}", given.need("volume")?, product.rounded(6)));
        }
        None => {
            let product = worked.put_si(given, "product", strength, "oz/gal", "g/L")?;
            worked.line(format!("in each volume of stock: {}", product.rounded(6)));
        }
    }
    Ok(worked)
}

fn liquid(given: &Given) -> Result<Worked, ReckonError> {
    let density = given.need("density")?;
    let analysis: Analysis = given.word("analysis").unwrap_or_default().parse().map_err(|e| given.wrong("analysis", format!("{e}")))?;
    let found = liquid_fertiliser(analysis, density.si()).map_err(refuse)?;
    let unit = density.unit.to_string();
    let mut worked = Worked::default();
    for (name, share, value) in [("n", analysis.n, found.n), ("p2o5", analysis.p2o5, found.p2o5), ("k2o", analysis.k2o, found.k2o)] {
        let value: Quantity = quantity(value, &unit)?;
        worked.line(format!("{density} × {}% {} = {}", share * 100.0, name.to_uppercase(), value.rounded(6)));
        worked.put(name, Output::Quantity(value));
    }
    Ok(worked)
}

fn liming(given: &Given) -> Result<Worked, ReckonError> {
    let (need, equivalent) = (given.need("need")?, given.need("cce")?);
    let rate = quantity(lime(need.si(), equivalent.si()).map_err(refuse)?, &need.unit.to_string())?;
    let mut worked = Worked::default();
    worked.line(format!("{need} ÷ {equivalent} = {}", rate.rounded(6)));
    worked.put("rate", Output::Quantity(rate));
    Ok(worked)
}

fn quotient(given: &Given) -> Result<Worked, ReckonError> {
    let read = |name: &str| {
        let value = given.need_si(name)?;
        if (0.0..=5.0).contains(&value) {
            Ok(value)
        } else {
            Err(given.wrong(name, format!("it is {value}; ratings of the published list run from 1 to 5")))
        }
    };
    let ratings = Ratings {
        chronic: read("chronic")?,
        dermal: read("dermal")?,
        plant_half_life: read("plant-half-life")?,
        soil_half_life: read("soil-half-life")?,
        systemic: read("systemic")?,
        leaching: read("leaching")?,
        fish: read("fish")?,
        runoff: read("runoff")?,
        bird: read("bird")?,
        bee: read("bee")?,
        beneficial: read("beneficial")?,
    };
    let found = impact_quotient(&ratings);
    let mut worked = Worked::default();
    worked.line(format!("worker C (5 DT + DT P) = {}", found.worker));
    worked.line(format!("consumer C (S + P)/2 SY + L = {}", found.consumer));
    worked.line(format!("ecology F R + 3 D (S + P)/2 + 3 Z P + 5 B P = {}", found.ecology));
    worked.line(format!("mean of the three = {:.6}", found.quotient));
    worked.put("worker", Output::Number(found.worker));
    worked.put("consumer", Output::Number(found.consumer));
    worked.put("ecology", Output::Number(found.ecology));
    worked.put("quotient", Output::Number(found.quotient));
    Ok(worked)
}

fn rating(given: &Given) -> Result<Worked, ReckonError> {
    let (quotient, fraction, rate) = (given.need_si("quotient")?, given.need_si("fraction")?, given.need("rate")?);
    for (name, value) in [("quotient", quotient), ("fraction", fraction), ("rate", rate.si())] {
        if !(value >= 0.0 && value.is_finite()) {
            return Err(given.wrong(name, format!("it is {value}; it cannot be below 0")));
        }
    }
    let per_acre = rate.in_unit("lb/acre").map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    let found = field_rating(quotient, fraction, per_acre);
    let mut worked = Worked::default();
    worked.line(format!("{quotient} × {fraction} × {per_acre:.6} lb/acre = {found:.6}"));
    worked.put("rating", Output::Number(found));
    Ok(worked)
}
