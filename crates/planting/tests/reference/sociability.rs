//! Sociability: examples of Hansen and Stahl's scale as tabled in a public repository (read).

use groundlore_lore::Lore;
use groundlore_planting::sociability::sociability;

const ROWS: [(&str, u8); 7] = [
    ("aruncus-dioicus", 1),
    ("panicum-virgatum", 1),
    ("echinacea-purpurea", 2),
    ("liatris-spicata", 2),
    ("mertensia-virginica", 4),
    ("carex-pensylvanica", 5),
    ("tiarella-cordifolia", 5),
];

#[test]
fn plants_that_were_graded_keep_their_grade() {
    let lore = Lore::built_in().unwrap();
    for (key, grade) in ROWS {
        let (got, source) = sociability(&lore.plants[key]);
        assert_eq!(got.grade(), grade, "{key}");
        assert!(source.is_published(), "{key}");
    }
}

#[test]
fn grades_that_were_not_read_say_common_practice() {
    let lore = Lore::built_in().unwrap();
    for plant in lore.plants.values().filter(|plant| ROWS.iter().all(|row| row.0 != plant.key)) {
        assert_eq!(sociability(plant).1.to_string(), "common practice", "{}", plant.key);
    }
}
