//! Water for new plants: University of Minnesota Extension, Watering newly planted trees and shrubs; University of Florida.

use groundlore_lore::Lore;
use groundlore_lore::plant::PlantKind;
use groundlore_planting::calendar::months_at;
use groundlore_planting::care::{CarePlant, CareTask, CareWork, PlantedAt, first_year};
use jiff::civil::date;

fn one(kind: PlantKind, pot_l: Option<f64>, caliper_m: Option<f64>) -> CarePlant {
    let lore = Lore::built_in().unwrap();
    let plant = &lore.plants["clethra-alnifolia"];
    CarePlant {
        key: plant.key.clone(),
        name: plant.name.clone(),
        kind,
        bloom_months: months_at(plant.bloom.from_month, plant.bloom.to_month, 43.0),
        cut_back: plant.cut_back.clone(),
        pot_l,
        caliper_m,
        cautions: plant.cautions.clone(),
    }
}

fn water(plant: CarePlant, zone: u8) -> Vec<CareTask> {
    let at = PlantedAt { planted: date(2015, 5, 1), latitude_deg: 43.0, zone, frozen: None };
    first_year(&[plant], &at).unwrap().tasks.into_iter().filter(|task| task.work == CareWork::Water).collect()
}

#[test]
fn minnesota_waters_daily_for_two_weeks_then_to_week_twelve_then_weekly() {
    // P-09.
    let tasks = water(one(PlantKind::Perennial, None, None), 5);
    let stages: Vec<_> = tasks.iter().map(|task| (task.from, task.to, task.every_days)).collect();
    assert_eq!(
        stages,
        [
            (date(2015, 5, 1), date(2015, 5, 14), Some((1, 1))),
            (date(2015, 5, 15), date(2015, 7, 23), Some((2, 3))),
            (date(2015, 7, 24), date(2016, 4, 29), Some((7, 7))),
        ]
    );
    assert!(tasks.iter().all(|task| task.litres_each.is_none()), "no published amount for perennials");
}

#[test]
fn minnesota_gives_a_tree_a_gallon_to_a_gallon_and_a_half_an_inch() {
    // P-10: 1 in 1–1.5 gal; 2 in 2–3; 3 in 3–4.5; 4 in 4–6.
    for (inches, low_gal, high_gal) in [(1.0, 1.0, 1.5), (2.0, 2.0, 3.0), (3.0, 3.0, 4.5), (4.0, 4.0, 6.0)] {
        let (low_l, high_l) = water(one(PlantKind::SmallTree, None, Some(inches * 0.0254)), 5)[0].litres_each.unwrap();
        assert!((low_l / 3.785_411_784 - low_gal).abs() < 1e-9);
        assert!((high_l / 3.785_411_784 - high_gal).abs() < 1e-9);
    }
}

#[test]
fn minnesota_gives_a_shrub_a_quarter_to_a_third_of_its_pot() {
    // P-11.
    let (low, high) = water(one(PlantKind::Shrub, Some(11.4), None), 5)[0].litres_each.unwrap();
    assert!((low - 2.85).abs() < 1e-9 && (high - 3.762).abs() < 1e-9);
}

#[test]
fn florida_gives_a_shrub_three_litres_every_eight_or_four_days() {
    // P-12: zones 8b–9a every 8 days, 10b every 4, 12 to 28 weeks, from 11.4 L pots.
    for (zone, every) in [(8, (8, 8)), (10, (4, 4))] {
        let tasks = water(one(PlantKind::Shrub, Some(11.4), None), zone);
        assert_eq!((tasks.len(), tasks[0].litres_each, tasks[0].every_days), (1, Some((3.0, 3.0)), Some(every)));
    }
}
