//! Rows DR-TEBU, DR-TRIF and DR-CYPR: soybean rust fungicides in Brazil, 2005 to 2014 (`tests/data/ORIGIN.md`).

use crate::close;
use crate::data::records;
use groundlore_lore::provenance::{Source, Standing};
use groundlore_plant_health::belief::{Belief, Observation, Origin, belief};
use std::collections::BTreeMap;

fn controls(active: &str) -> BTreeMap<i16, Vec<f64>> {
    let mut by_year: BTreeMap<i16, Vec<f64>> = BTreeMap::new();
    for row in records("soybean_rust.csv") {
        if &row[0] == active {
            let (severity, check): (f64, f64) = (row[2].parse().unwrap(), row[3].parse().unwrap());
            by_year.entry(row[1].parse().unwrap()).or_default().push(1.0 - severity / check);
        }
    }
    by_year
}

fn observations(active: &str) -> Vec<Observation> {
    let origin = Origin::Lore { place: "Brazil".into(), source: Source(vec!["soybean-rust-meta-analysis".into()]), standing: Standing::Read };
    controls(active).into_iter().filter_map(|(year, c)| Observation::from_trials(year, &c, origin.clone())).collect()
}

fn now(active: &str) -> Belief {
    belief(&observations(active), 2015)
}

#[test]
fn yearly_means_are_those_of_the_rows() {
    let tebuconazole = controls("tebu");
    for (id, year, n, mean) in [
        ("DR-TEBU-2005", 2005, 19, 89.25963),
        ("DR-TEBU-2009", 2009, 53, 55.70353),
        ("DR-TEBU-2014", 2014, 20, 25.82476),
    ] {
        let seen = &tebuconazole[&year];
        assert_eq!(seen.len(), n, "{id}");
        close(id, 100.0 * seen.iter().sum::<f64>() / n as f64, mean, 1e-4);
    }
}

#[test]
fn ten_years_of_falling_tebuconazole_are_flagged() {
    let slide = now("tebu").slid.expect("DR-TEBU: every test of the reference has p below 1e-3");
    assert!(slide.from > 0.75 && slide.to < 0.40 && slide.probability > 0.99, "{slide:?}");
    assert_eq!(slide.since, 2005);
}

#[test]
fn steady_trifloxystrobin_with_prothioconazole_is_not_flagged() {
    let steady = now("trif_prot");
    assert!(steady.slid.is_none(), "DR-TRIF: no trend by any test of the reference: {:?}", steady.slid);
    assert!(steady.median > 0.6 && steady.median < 0.85, "{}", steady.median);
}

#[test]
fn the_belief_stands_near_the_last_years_and_not_the_mean_of_all() {
    let fallen = now("tebu");
    assert!(fallen.median < 0.45, "{}", fallen.median);
    assert!(fallen.curve[0].median > 0.75 && fallen.curve.len() == 11);
    assert!(fallen.low < fallen.median && fallen.median < fallen.high);
}
