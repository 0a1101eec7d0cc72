//! Bloom without a gap: CHAPP, Native Plant Bloom Season (read): at least three species in bloom at any time.

use groundlore_lore::Lore;
use groundlore_planting::choose::choose;
use groundlore_planting::outline::BedSize;
use groundlore_planting::wishes::Wishes;

#[test]
fn a_sunny_bed_has_three_kinds_in_bloom_from_april_to_october() {
    let lore = Lore::built_in().unwrap();
    let choice = choose(&lore.plants, &Wishes::default(), BedSize { area_m2: 24.0, depth_m: 3.0 }).unwrap();
    for month in 4..=10 {
        let there = choice.chosen.iter().filter(|kind| kind.bloom_months.contains(&month)).count();
        assert!(there >= 3, "month {month}: {there}");
    }
    assert!(choice.relaxed.is_empty(), "{:?}", choice.relaxed);
}

#[test]
fn south_of_the_equator_the_same_plants_flower_six_months_on() {
    let lore = Lore::built_in().unwrap();
    let bed = BedSize { area_m2: 24.0, depth_m: 3.0 };
    let north = choose(&lore.plants, &Wishes::default(), bed).unwrap();
    let wishes = Wishes { latitude_deg: -43.0, bloom_months: vec![10, 11, 12, 1, 2, 3, 4], ..Wishes::default() };
    let south = choose(&lore.plants, &wishes, bed).unwrap();
    let keys = |choice: &groundlore_planting::choose::Choice| choice.chosen.iter().map(|kind| kind.key.clone()).collect::<Vec<_>>();
    assert_eq!(keys(&north), keys(&south));
    for (a, b) in north.chosen.iter().zip(&south.chosen) {
        let moved: Vec<u8> = a.bloom_months.iter().map(|month| (month + 5) % 12 + 1).collect();
        assert_eq!(moved, b.bloom_months);
    }
}
