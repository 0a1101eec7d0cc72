//! Feeding, treating and what came of it.

use crate::ReckonError;
use crate::answer::{Output, Worked, quantity};
use crate::calculator::{Calculator, EXACT, InputKind, Topic, optional, output, required};
use crate::given::Given;
use groundlore_plant_health::efficacy::{BeforeAfter, Undefined, abbott, henderson_tilton, schneider_orelli, sun_shepard};
use groundlore_quantity::{Kind, Quantity};
use groundlore_work::application::{Analysis, MixRate, Nutrient, fertiliser_rate, mix};

const MEAN_COUNT: InputKind = InputKind::Quantity(Kind::Bare);

pub(super) const ALL: &[Calculator] = &[
    Calculator {
        key: "efficacy",
        topic: Topic::Treatment,
        about: "Efficacy of a control from counts or mortalities beside an untreated check.",
        inputs: &[
            required(
                "method",
                InputKind::Choice(&["abbott", "henderson-tilton", "sun-shepard", "schneider-orelli"]),
                "formula",
                "henderson-tilton",
            ),
            optional("check-before", MEAN_COUNT, "count in the untreated check before", "40"),
            optional("check-after", MEAN_COUNT, "count in the untreated check after", "60"),
            optional("treated-before", MEAN_COUNT, "count in the treated plot before", "50"),
            optional("treated-after", MEAN_COUNT, "count in the treated plot after", "5"),
            optional(
                "treated-mortality",
                InputKind::Quantity(Kind::Share),
                "share dead in the treated plot (abbott and schneider-orelli)",
                "85%",
            ),
            optional("check-mortality", InputKind::Quantity(Kind::Share), "share dead in the untreated check", "10%"),
        ],
        outputs: &[output("efficacy", "efficacy in percent; may be below 0")],
        rounding: EXACT,
        sources: &[
            "Abbott 1925; Schneider-Orelli 1947; Henderson & Tilton 1955; Sun & Shepard 1947, as named in Püntener 1981, Manual for field trials in plant protection (memory)",
        ],
        cautions: &["Without an untreated check there is no efficacy, only a change: much of it may be natural decline."],
        run: efficacy,
    },
    Calculator {
        key: "fertiliser",
        topic: Topic::Treatment,
        about: "Fertiliser that supplies a nutrient at a rate, and what else it supplies.",
        inputs: &[
            required("nutrient-rate", InputKind::Quantity(Kind::MassPerArea), "nutrient wanted on an area", "1 lb/1000ft2"),
            required("analysis", InputKind::Text("the three figures of the bag, N-P2O5-K2O"), "analysis of the bag", "28-3-6"),
            optional("nutrient", InputKind::Choice(&["N", "P2O5", "K2O"]), "nutrient that the rate is for; N where left out", "N"),
            optional("area", InputKind::Quantity(Kind::Area), "area to feed; without it there is no `product`", "6000 ft2"),
        ],
        outputs: &[
            output("product_rate", "fertiliser on an area"),
            output("product", "fertiliser for the whole area"),
            output("supplied_n", "N supplied on an area (asked for as a mass: on the whole area)"),
            output("supplied_p2o5", "P2O5 supplied on an area (asked for as a mass: on the whole area)"),
            output("supplied_k2o", "K2O supplied on an area (asked for as a mass: on the whole area)"),
        ],
        rounding: EXACT,
        sources: &["University of Nebraska–Lincoln, Lawn fertilizer calculations", "arithmetic: rate ÷ share of the nutrient"],
        cautions: &["Keep fertiliser off paving and away from water; local limits on phosphorus and dates come first."],
        run: fertiliser,
    },
    Calculator {
        key: "mix",
        topic: Topic::Treatment,
        about: "Product for a tank, from the rate that the label card gives.",
        inputs: &[
            required(
                "rate",
                InputKind::OneOf(
                    &[Kind::VolumePerArea, Kind::MassPerArea, Kind::Share, Kind::Density, Kind::DepthPerDepth],
                    "product on an area (`1.5 floz/1000ft2`), percent of the finished mix (`2%`) or product in a volume (`1 lb/100gal`)",
                ),
                "rate from the label in hand",
                "1 qt/acre",
            ),
            optional(
                "volume-rate",
                InputKind::Quantity(Kind::VolumePerArea),
                "spray put on an area; needed for a rate on an area",
                "40 gal/acre",
            ),
            optional("tank", InputKind::Quantity(Kind::Volume), "finished mix made; without it there is no amount per tank", "3 gal"),
        ],
        outputs: &[
            output("product_per_tank", "product for the tank"),
            output("area_per_tank", "area that the tank covers"),
            output("product_per_volume", "product in a volume of finished mix"),
        ],
        rounding: EXACT,
        sources: &[
            "Slide set 1/128 method of calibration: 40 gal/acre with 1 qt/acre is 0.80 fl oz a gallon, 1 gal covers 1,089 ft2",
            "percent is of the finished mix",
        ],
        cautions: &["The product label is the law: the rate comes from the label in hand, never from here."],
        run: tank_mix,
    },
];

fn efficacy(given: &Given) -> Result<Worked, ReckonError> {
    let undefined = |e: Undefined| ReckonError::NoAnswer(format!("no efficacy: {e}"));
    let mut worked = Worked::default();
    let mortality = given.quantity("treated-mortality").is_some() || given.quantity("check-mortality").is_some();
    let found = match given.word("method") {
        Some("schneider-orelli") => mortality_form(given, &mut worked)?,
        Some("abbott") if mortality => mortality_form(given, &mut worked)?,
        Some("abbott") => {
            let (check, treated) = (given.need_si("check-after")?, given.need_si("treated-after")?);
            worked.line(format!("100 × (1 − {treated} / {check})"));
            abbott(check, treated).map_err(undefined)?
        }
        method => {
            let trial = BeforeAfter {
                check_before: given.need_si("check-before")?,
                check_after: given.need_si("check-after")?,
                treated_before: given.need_si("treated-before")?,
                treated_after: given.need_si("treated-after")?,
            };
            before_after(method == Some("sun-shepard"), &trial, &mut worked).map_err(undefined)?
        }
    };
    worked.line(format!("efficacy {:.4} %", found * 100.0));
    worked.put("efficacy", Output::Quantity(quantity(found, "%")?));
    Ok(worked)
}

fn mortality_form(given: &Given, worked: &mut Worked) -> Result<f64, ReckonError> {
    let (treated, check) = (given.need_si("treated-mortality")?, given.need_si("check-mortality")?);
    worked.line(format!("100 × ({treated} − {check}) / (1 − {check})"));
    schneider_orelli(treated, check).map_err(|e| ReckonError::NoAnswer(format!("no efficacy: {e}")))
}

fn before_after(by_rise: bool, trial: &BeforeAfter, worked: &mut Worked) -> Result<f64, Undefined> {
    let BeforeAfter { check_before, check_after, treated_before, treated_after } = trial;
    if by_rise {
        worked.line(format!("fall in the treated plot Pt = 100 × ({treated_before} − {treated_after}) / {treated_before}"));
        worked.line(format!("rise in the check Pc = 100 × ({check_after} − {check_before}) / {check_before}"));
        worked.line("100 × (Pt + Pc) / (100 + Pc), the same as Henderson-Tilton");
        sun_shepard(trial)
    } else {
        worked.line(format!("100 × (1 − {treated_after} × {check_before} / ({treated_before} × {check_after}))"));
        henderson_tilton(trial)
    }
}

fn fertiliser(given: &Given) -> Result<Worked, ReckonError> {
    let rate = given.need("nutrient-rate")?;
    let analysis: Analysis = given.word("analysis").unwrap_or_default().parse().map_err(|e| given.wrong("analysis", format!("{e}")))?;
    let nutrient = match given.word("nutrient") {
        Some("P2O5") => Nutrient::P2O5,
        Some("K2O") => Nutrient::K2O,
        _ => Nutrient::N,
    };
    let refuse = |e: groundlore_work::WorkError| ReckonError::NoAnswer(e.to_string());
    let product_rate = fertiliser_rate(rate.si(), analysis, nutrient).map_err(refuse)?;
    let area = given.si("area");
    if let Some(area) = area.filter(|a| *a <= 0.0) {
        return Err(given.wrong("area", format!("the area is {area} m2; it must be above 0")));
    }
    let rate_unit = rate.unit.to_string();
    let mass_unit = rate_unit.split('/').next().unwrap_or("lb").to_owned();
    let per_area = quantity(product_rate, &rate_unit)?;
    let mut worked = Worked::default();
    worked.line(format!("{rate} ÷ {}% {} = {}", analysis.share(nutrient) * 100.0, nutrient.symbol(), per_area.rounded(6)));
    worked.put("product_rate", Output::Quantity(per_area));
    if let Some(area) = area {
        let product = quantity(product_rate * area, &mass_unit)?;
        worked.line(format!("on {}: {}", given.need("area")?, product.rounded(6)));
        worked.put("product", Output::Quantity(product));
    }
    for (name, nutrient) in [("supplied_n", Nutrient::N), ("supplied_p2o5", Nutrient::P2O5), ("supplied_k2o", Nutrient::K2O)] {
        let supplied = product_rate * analysis.share(nutrient);
        let per_area = quantity(supplied, &rate_unit)?;
        worked.line(format!("supplies {} of {}", per_area.rounded(6), nutrient.symbol()));
        let output = match area {
            Some(area) => Output::Either(per_area, quantity(supplied * area, &mass_unit)?),
            None => Output::Quantity(per_area),
        };
        worked.put(name, output);
    }
    Ok(worked)
}

fn tank_mix(given: &Given) -> Result<Worked, ReckonError> {
    let rate = given.need("rate")?;
    let is_mass = Kind::MassPerArea.accepts(&rate.unit) || Kind::Density.accepts(&rate.unit);
    let per_area = Kind::VolumePerArea.accepts(&rate.unit) || Kind::MassPerArea.accepts(&rate.unit);
    let percent = Kind::Share.accepts(&rate.unit);
    if percent && !(rate.si() > 0.0 && rate.si() <= 1.0) {
        return Err(given.wrong("rate", format!("`{rate}` of the finished mix is not between 0 and 100 %")));
    }
    if per_area && given.quantity("volume-rate").is_none() {
        return Err(given.lacks("volume-rate"));
    }
    let way = if per_area { MixRate::PerArea(rate.si()) } else { MixRate::PerVolume(rate.si()) };
    let found = mix(way, given.si("volume-rate"), given.si("tank")).map_err(|e| ReckonError::NoAnswer(e.to_string()))?;
    let product_unit = product_unit(given, rate, is_mass, percent);
    let volume_unit = if given.is_metric() { "L" } else { "gal" };
    let strength = quantity(found.product_per_volume, &format!("{product_unit}/{volume_unit}"))?;
    let mut worked = Worked::default();
    match given.quantity("volume-rate") {
        Some(volume) if per_area => worked.line(format!("{rate} ÷ {volume} = {}", strength.rounded(6))),
        _ => worked.line(format!("{rate} of finished mix = {}", strength.rounded(6))),
    }
    if let (Some(product), Some(tank)) = (found.product_per_tank, given.quantity("tank")) {
        let product = quantity(product, &product_unit)?;
        worked.line(format!("in a tank of {tank}: {}", product.rounded(6)));
        worked.put("product_per_tank", Output::Quantity(product));
    }
    if let Some(area) = found.area_per_tank_m2 {
        let area = worked.put_si(given, "area_per_tank", area, "ft2", "m2")?;
        worked.line(format!("the tank covers {}", area.rounded(6)));
    }
    worked.put("product_per_volume", Output::Quantity(strength));
    Ok(worked)
}

/// The product is printed in the unit that the rate uses; a percentage is given in fluid ounces or millilitres.
fn product_unit(given: &Given, rate: &Quantity, is_mass: bool, percent: bool) -> String {
    let first = rate.unit.to_string().split('/').next().unwrap_or_default().to_owned();
    match (percent, is_mass, given.is_metric()) {
        (true, _, true) => "mL".to_owned(),
        (true, _, false) => "floz".to_owned(),
        _ if !first.is_empty() => first,
        (_, true, _) => "lb".to_owned(),
        _ => "floz".to_owned(),
    }
}
