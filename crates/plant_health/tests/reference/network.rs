//! Textbook networks, exactly: rows DX-01 to DX-41 and DX-N of the season note (fractions by enumeration in Python 3.13; the chest clinic
//! agrees with pgmpy 0.1.20 to 1e-15).

use crate::close;
use groundlore_plant_health::network::{Chance, Network, NetworkError, Node, noisy_or};

fn node(name: &str, parents: &[usize], table: &[f64]) -> Node {
    Node { name: name.into(), parents: parents.to_vec(), chance: Chance::Table(table.to_vec()) }
}

/// Lauritzen & Spiegelhalter 1988: asia 0, tub 1, smoke 2, lung 3, bronc 4, either 5, xray 6, dysp 7.
fn chest_clinic() -> Network {
    Network::new(vec![
        node("asia", &[], &[0.01]),
        node("tub", &[0], &[0.01, 0.05]),
        node("smoke", &[], &[0.5]),
        node("lung", &[2], &[0.01, 0.1]),
        node("bronc", &[2], &[0.3, 0.6]),
        node("either", &[3, 1], &[0.0, 1.0, 1.0, 1.0]),
        node("xray", &[5], &[0.05, 0.98]),
        node("dysp", &[4, 5], &[0.1, 0.8, 0.7, 0.9]),
    ])
    .unwrap()
}

const ASIA: &[(&str, usize, &[(usize, bool)], f64)] = &[
    ("DX-01", 1, &[], 13.0 / 1250.0),
    ("DX-02", 3, &[], 11.0 / 200.0),
    ("DX-03", 4, &[], 9.0 / 20.0),
    ("DX-04", 5, &[], 16207.0 / 250_000.0),
    ("DX-05", 6, &[], 2_757_251.0 / 25_000_000.0),
    ("DX-06", 7, &[], 2_179_853.0 / 5_000_000.0),
    ("DX-07", 1, &[(7, true)], 3160.0 / 167_681.0),
    ("DX-08", 3, &[(7, true)], 224_000.0 / 2_179_853.0),
    ("DX-09", 4, &[(7, true)], 9_089_631.0 / 10_899_265.0),
    ("DX-10", 1, &[(6, true)], 36400.0 / 393_893.0),
    ("DX-11", 3, &[(6, true)], 192_500.0 / 393_893.0),
    ("DX-12", 4, &[(6, true)], 13_960_683.0 / 27_572_510.0),
    ("DX-16", 1, &[(2, true), (7, true), (6, true)], 130_585.0 / 1_734_974.0),
    ("DX-17", 3, &[(2, true), (7, true), (6, true)], 1_255_625.0 / 1_734_974.0),
    ("DX-18", 4, &[(2, true), (7, true), (6, true)], 2_476_521.0 / 3_469_948.0),
    ("DX-19", 1, &[(0, true), (7, true), (2, false)], 80.0 / 709.0),
    ("DX-20", 3, &[(0, true), (7, true), (2, false)], 16.0 / 709.0),
    ("DX-21", 4, &[(0, true), (7, true), (2, false)], 48357.0 / 67355.0),
    ("DX-25", 1, &[(7, false), (6, false), (2, true)], 130.0 / 1_411_547.0),
    ("DX-26", 3, &[(7, false), (6, false), (2, true)], 0.000_885_553_226_353_781),
    ("DX-27", 4, &[(7, false), (6, false), (2, true)], 1_059_002.0 / 4_234_641.0),
];

#[test]
fn the_chest_clinic_is_exact() {
    let network = chest_clinic();
    for (id, query, evidence, exact) in ASIA {
        close(id, network.posterior(*query, evidence).unwrap(), *exact, 1e-12);
    }
    // DX-28: evidence that cannot be is said to be so.
    assert_eq!(network.posterior(3, &[(1, true), (5, false)]), Err(NetworkError::Impossible));
    // A fact asked for is what was told.
    close("told", network.posterior(7, &[(7, true)]).unwrap(), 1.0, 1e-15);
}

#[test]
fn sprinkler_and_alarm_are_exact() {
    let sprinkler = Network::new(vec![
        node("cloudy", &[], &[0.5]),
        node("sprinkler", &[0], &[0.5, 0.1]),
        node("rain", &[0], &[0.2, 0.8]),
        node("wet", &[1, 2], &[0.0, 0.9, 0.9, 0.99]),
    ])
    .unwrap();
    for (id, query, evidence, exact) in [
        ("DX-29", 3, &[][..], 0.6471),
        ("DX-30", 1, &[(3, true)][..], 309.0 / 719.0),
        ("DX-31", 2, &[(3, true)][..], 509.0 / 719.0),
        ("DX-32", 1, &[(3, true), (2, true)][..], 99.0 / 509.0),
    ] {
        close(id, sprinkler.posterior(query, evidence).unwrap(), exact, 1e-12);
    }
    let alarm = Network::new(vec![
        node("burglary", &[], &[0.001]),
        node("earthquake", &[], &[0.002]),
        node("alarm", &[0, 1], &[0.001, 0.94, 0.29, 0.95]),
        node("john", &[2], &[0.05, 0.9]),
        node("mary", &[2], &[0.01, 0.7]),
    ])
    .unwrap();
    for (id, query, evidence, exact) in [
        ("DX-35", 0, &[(3, true), (4, true)][..], 592_242_590.0 / 2_084_100_239.0),
        ("DX-37", 2, &[(3, true), (4, true)][..], 1_585_358_460.0 / 2_084_100_239.0),
        ("DX-38", 0, &[(3, true)][..], 8_490_170.0 / 521_389_757.0),
        ("DX-39", 0, &[(2, true)][..], 156_670.0 / 419_407.0),
        ("DX-41", 2, &[][..], 1_258_221.0 / 500_000_000.0),
    ] {
        close(id, alarm.posterior(query, evidence).unwrap(), exact, 1e-12);
    }
}

#[test]
fn noisy_or_is_the_same_as_its_full_table_and_as_a_network() {
    let links = [0.8, 0.6, 0.3];
    let table: Vec<f64> = (0..8_usize)
        .map(|state| noisy_or(0.05, &links.iter().enumerate().filter(|(i, _)| state >> i & 1 == 1).map(|(_, l)| *l).collect::<Vec<_>>()))
        .collect();
    for (id, place, expected) in
        [("DX-N1", 0, 0.05), ("DX-N2", 4, 0.335), ("DX-N3", 2, 0.62), ("DX-N5", 1, 0.81), ("DX-N6", 5, 0.867), ("DX-N8", 7, 0.9468)]
    {
        close(id, table[place], expected, 1e-12);
    }
    let with = |chance: Chance| {
        let mut nodes: Vec<Node> = (0..3).map(|i| node(&format!("cause {i}"), &[], &[0.1 + 0.1 * f64::from(i)])).collect();
        nodes.push(Node { name: "sign".into(), parents: vec![0, 1, 2], chance });
        Network::new(nodes).unwrap()
    };
    let (by_links, by_table) = (with(Chance::NoisyOr { leak: 0.05, links: links.to_vec() }), with(Chance::Table(table)));
    for query in 0..4 {
        for sign in [true, false] {
            let evidence = [(3, sign), (1, false)];
            close("same", by_links.posterior(query, &evidence).unwrap(), by_table.posterior(query, &evidence).unwrap(), 1e-14);
        }
    }
}

#[test]
fn a_network_that_cannot_be_is_refused_with_its_node() {
    let refused = |nodes: Vec<Node>| Network::new(nodes).unwrap_err().to_string();
    assert!(refused(vec![node("rust", &[1], &[0.1, 0.2]), node("rain", &[], &[0.3])]).contains("put causes before"));
    assert!(refused(vec![node("rust", &[], &[0.1, 0.2])]).contains("2 chances for 0 parents; 1 are needed"));
    assert!(refused(vec![node("rust", &[], &[1.2])]).contains("1.2 is no chance"));
    assert_eq!(chest_clinic().posterior(99, &[]), Err(NetworkError::NoNode(99)));
}
