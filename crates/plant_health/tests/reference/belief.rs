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
    let origin =
        Origin::Lore { place: "Brazil".into(), source: Source(vec!["soybean-rust-meta-analysis".into()]), standing: Standing::Read };
    controls(active).into_iter().filter_map(|(year, c)| Observation::from_trials(year, &c, origin.clone())).collect()
}

fn now(active: &str) -> Belief {
    belief(&observations(active), 2015)
}

#[test]
fn yearly_means_are_those_of_the_rows() {
    let rows = [
        ("DR-TEBU-2005", "tebu", 2005, 19, 89.25963),
        ("DR-TEBU-2006", "tebu", 2006, 18, 76.37994),
        ("DR-TEBU-2007", "tebu", 2007, 37, 65.02954),
        ("DR-TEBU-2008", "tebu", 2008, 10, 67.67593),
        ("DR-TEBU-2009", "tebu", 2009, 53, 55.70353),
        ("DR-TEBU-2010", "tebu", 2010, 27, 34.71016),
        ("DR-TEBU-2011", "tebu", 2011, 21, 27.64230),
        ("DR-TEBU-2012", "tebu", 2012, 17, 34.10254),
        ("DR-TEBU-2013", "tebu", 2013, 23, 46.17602),
        ("DR-TEBU-2014", "tebu", 2014, 20, 25.82476),
        ("DR-TRIF-2009", "trif_prot", 2009, 28, 80.92154),
        ("DR-TRIF-2011", "trif_prot", 2011, 21, 76.22589),
        ("DR-TRIF-2012", "trif_prot", 2012, 17, 73.57493),
        ("DR-TRIF-2013", "trif_prot", 2013, 23, 78.33074),
        ("DR-TRIF-2014", "trif_prot", 2014, 20, 71.75278),
        ("DR-CYPR-2006", "cypr", 2006, 17, 67.98609),
        ("DR-CYPR-2007", "cypr", 2007, 19, 49.24069),
        ("DR-CYPR-2010", "cypr", 2010, 27, 45.50180),
        ("DR-CYPR-2011", "cypr", 2011, 21, 36.40498),
        ("DR-CYPR-2012", "cypr", 2012, 17, 46.61755),
        ("DR-CYPR-2013", "cypr", 2013, 23, 52.97436),
        ("DR-CYPR-2014", "cypr", 2014, 20, 31.66835),
    ];
    for (id, active, year, n, mean) in rows {
        let seen = &controls(active)[&year];
        assert_eq!(seen.len(), n, "{id}");
        close(id, 100.0 * seen.iter().sum::<f64>() / n as f64, mean, 1e-4);
    }
}

#[test]
fn cyproconazole_where_the_tests_disagree_is_no_surer_than_tebuconazole() {
    // DR-CYPR: the log-ratio trend has p 0.007, the share of good years p 0.11.
    let surest = now("tebu").slid.map_or(0.0, |s| s.probability);
    let fallen = now("cypr");
    assert!(fallen.slid.is_none_or(|s| s.probability <= surest));
    assert!(fallen.median < 0.5, "{}", fallen.median);
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
