//! Tank loads with the part load last, so that nothing is left over; the order in which the parts of a mix go in.

use crate::application::loads;
use crate::{WorkError, positive};
use serde::Serialize;

/// One load of the tank.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Load {
    /// Finished mix, m³.
    pub mix_m3: f64,
    /// Product in it, in the unit of the rate's amount (m³ or kg).
    pub product: f64,
    /// Area it covers, m².
    pub area_m2: f64,
}

/// The loads of an application.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankPlan {
    /// Full loads first, the part load last.
    pub loads: Vec<Load>,
    /// Whole volume of mix, m³.
    pub mix_m3: f64,
    /// Whole amount of product.
    pub product: f64,
    /// Mix that is left when the area is done, m³: planned to nothing.
    pub leftover_m3: f64,
}

/// Most loads that a plan lists: more is a tank or an area that was mistyped.
const MOST_LOADS: u32 = 500;

/// Loads for an area: `volume_rate_m` is spray on an area (m³/m²), `product_rate` product on an area (m or kg/m²).
///
/// # Errors
/// A figure at or below zero; more than 500 loads.
///
/// # Source
/// 40 gal/acre with 1 qt/acre: a gallon covers 1,089 ft² (shared treatment note, APP-05).
///
/// ```
/// # use groundlore_work::tank::plan;
/// // 250 m² at 0.1 L/m² from a 10 L tank: two full loads and one of 5 L, nothing left.
/// let plan = plan(250.0, 1e-4, 0.01, 2e-6)?;
/// assert_eq!(plan.loads.len(), 3);
/// assert!((plan.loads[2].mix_m3 - 0.005).abs() < 1e-12 && (plan.loads[2].area_m2 - 50.0).abs() < 1e-9);
/// assert!(plan.leftover_m3.abs() < 1e-15);
/// # Ok::<(), groundlore_work::WorkError>(())
/// ```
pub fn plan(area_m2: f64, volume_rate_m: f64, tank_m3: f64, product_rate: f64) -> Result<TankPlan, WorkError> {
    let split = loads(area_m2, volume_rate_m, tank_m3)?;
    let product_rate = positive("rate", product_rate)?;
    if split.full >= MOST_LOADS {
        return Err(WorkError::Impossible(format!(
            "{} loads are needed: see that the tank and the area are right, for example `tank=25 gal` and `area=8000 ft2`",
            split.full
        )));
    }
    let load = |mix_m3: f64| {
        let area_m2 = mix_m3 / volume_rate_m;
        Load { mix_m3, product: product_rate * area_m2, area_m2 }
    };
    let mut all: Vec<Load> = (0..split.full).map(|_| load(tank_m3)).collect();
    if split.part_m3 > 0.0 {
        all.push(load(split.part_m3));
    }
    let mixed: f64 = all.iter().map(|load| load.mix_m3).sum();
    Ok(TankPlan {
        product: all.iter().map(|load| load.product).sum(),
        leftover_m3: mixed - volume_rate_m * area_m2,
        mix_m3: mixed,
        loads: all,
    })
}

/// Stock for a proportioner that takes one part of stock into `ratio` parts of water, and the water it then treats.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Injected {
    /// Stock drawn in all, m³.
    pub stock_m3: f64,
    /// Product in that stock (m³ or kg).
    pub product: f64,
    /// Product in a volume of stock (m³/m³ or kg/m³).
    pub product_per_stock: f64,
}

/// Stock and product for a whole volume of finished mix through a proportioner (`ratio` 100 is 1:100, one part of stock in 100 of the mix).
///
/// # Errors
/// A figure at or below zero; a ratio below 1; a stock that would have to hold more liquid product than itself.
pub fn injected(mix_m3: f64, product: f64, ratio: f64, product_is_liquid: bool) -> Result<Injected, WorkError> {
    if !(ratio.is_finite() && ratio >= 1.0) {
        return Err(WorkError::Impossible(format!(
            "a proportioner of 1:{ratio} cannot be; write the parts of mix to one of stock, for example 100"
        )));
    }
    let stock_m3 = positive("volume", mix_m3)? / ratio;
    let product = positive("product", product)?;
    if product_is_liquid && product > stock_m3 {
        return Err(WorkError::Impossible(format!(
            "the stock of 1:{ratio} would have to hold more product than it has room for: choose a proportioner with fewer parts"
        )));
    }
    Ok(Injected { stock_m3, product, product_per_stock: product / stock_m3 })
}

/// A kind of part of a mix, by the group in which it goes into the tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// Water conditioner, buffer, fertiliser where the label allows it.
    Conditioner,
    /// Dry: wettable powder, water-dispersible granule, dry flowable, soluble powder.
    Dry,
    /// Suspension: flowable, suspension concentrate.
    Suspension,
    /// Emulsifiable concentrate, emulsion.
    Emulsifiable,
    /// Solution: soluble liquid.
    Solution,
    /// Surfactant, oil, other adjuvant.
    Adjuvant,
}

/// Codes and words of formulations with the part of the mix that they are.
const FORMULATIONS: [(&str, Part); 25] = [
    ("wp", Part::Dry),
    ("wettable powder", Part::Dry),
    ("wg", Part::Dry),
    ("wdg", Part::Dry),
    ("df", Part::Dry),
    ("dg", Part::Dry),
    ("dry flowable", Part::Dry),
    ("water-dispersible granule", Part::Dry),
    ("water dispersible granule", Part::Dry),
    ("sp", Part::Dry),
    ("soluble powder", Part::Dry),
    ("sc", Part::Suspension),
    ("f", Part::Suspension),
    ("fl", Part::Suspension),
    ("flowable", Part::Suspension),
    ("suspension concentrate", Part::Suspension),
    ("ec", Part::Emulsifiable),
    ("ew", Part::Emulsifiable),
    ("emulsifiable concentrate", Part::Emulsifiable),
    ("sl", Part::Solution),
    ("s", Part::Solution),
    ("soluble liquid", Part::Solution),
    ("solution", Part::Solution),
    ("surfactant", Part::Adjuvant),
    ("adjuvant", Part::Adjuvant),
];

/// The part of the mix that a formulation is; none for granules, baits and what is not known.
///
/// ```
/// # use groundlore_work::tank::{Part, part_of};
/// assert_eq!(part_of("WDG"), Some(Part::Dry));
/// assert_eq!(part_of("granule"), None);
/// ```
#[must_use]
pub fn part_of(formulation: &str) -> Option<Part> {
    let plain = formulation.trim().to_lowercase();
    FORMULATIONS.iter().find(|(word, _)| *word == plain).map(|(_, part)| *part)
}

/// The usual order of mixing, step by step, with the product's own step in its place. The label's order, where it gives one, comes before it.
///
/// # Source
/// Manitoba *Guide to Crop Protection*, as the Canola Council of Canada prints it (2013, read): water, agitation, conditioners, dry and
/// suspensions, solutions, emulsifiable concentrates, surfactants, the rest of the water. Others put emulsifiable concentrates before
/// solutions (the W-A-L-E-S rule, read): so the two are told as one step that the label decides.
#[must_use]
pub fn usual_order(part: Option<Part>, product: &str) -> Vec<String> {
    let here = |wanted: &[Part], words: &str| match part {
        Some(part) if wanted.contains(&part) => format!("{words}: {product}"),
        _ => format!("{words}, if any"),
    };
    vec![
        "fill half the water, with the hose above the rim or behind a backflow preventer".to_owned(),
        "start the agitation and keep it on".to_owned(),
        here(&[Part::Conditioner], "water conditioner"),
        here(&[Part::Dry, Part::Suspension], "dry parts (slowly) and suspensions, then wait until all is dispersed"),
        here(&[Part::Solution, Part::Emulsifiable], "solutions and emulsifiable concentrates (which first, the labels say)"),
        here(&[Part::Adjuvant], "surfactant or oil"),
        "fill up with the rest of the water, and use it the same day".to_owned(),
    ]
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn loads_cover_the_area_and_leave_nothing() {
        // APP-05: 1 gal covers 1,089 ft² at 40 gal/acre.
        let (gallon, acre) = (3.785_411_784e-3, 4_046.856_422_4);
        let plan = plan(2.5 * acre / 40.0, 40.0 * gallon / acre, gallon, 9.463_529e-4 / acre).unwrap();
        assert_eq!(plan.loads.len(), 3);
        assert!((plan.loads[0].area_m2 / 0.092_903_04 - 1089.0).abs() < 1.0);
        assert!((plan.loads[0].product / 29.573_529_56e-6 - 0.8).abs() < 1e-3, "0.80 fl oz in each gallon");
        assert!((plan.loads[2].mix_m3 - gallon / 2.0).abs() < 1e-12 && plan.leftover_m3.abs() < 1e-12);
        assert!((plan.product - plan.loads.iter().map(|l| l.product).sum::<f64>()).abs() < 1e-15);
        assert!(super::plan(1e9, 1e-4, 0.01, 1e-6).unwrap_err().to_string().contains("loads"));
    }

    #[test]
    fn any_area_is_covered_without_a_rest() {
        for step in 1..400 {
            let area = 7.3 * f64::from(step);
            let plan = plan(area, 8.1e-5, 0.0113, 3e-7).unwrap();
            assert!((plan.loads.iter().map(|l| l.area_m2).sum::<f64>() - area).abs() < 1e-6 * area);
            assert!(plan.leftover_m3.abs() < 1e-9 && plan.loads.iter().all(|l| l.mix_m3 <= 0.0113 + 1e-12 && l.mix_m3 > 0.0));
            assert!(plan.loads.windows(2).all(|pair| pair[0].mix_m3 >= pair[1].mix_m3), "the part load comes last");
        }
    }

    #[test]
    fn a_proportioner_draws_its_share() {
        let drawn = injected(1.0, 0.001, 100.0, true).unwrap();
        assert!((drawn.stock_m3 - 0.01).abs() < 1e-15 && (drawn.product_per_stock - 0.1).abs() < 1e-12);
        assert!(injected(1.0, 0.02, 100.0, true).unwrap_err().to_string().contains("room"));
        assert!(injected(1.0, 0.02, 0.5, true).is_err());
    }

    #[test]
    fn the_product_stands_in_its_step() {
        let order = usual_order(part_of("EC"), "Demo card");
        assert!(order[4].ends_with("Demo card") && order.iter().filter(|step| step.contains("Demo card")).count() == 1);
        assert!(usual_order(None, "Demo card").iter().all(|step| !step.contains("Demo card")));
    }
}
