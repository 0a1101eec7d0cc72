//! The reckoner, lore and completions through the binary.
use crate::{json, refuses, says};

#[test]
fn the_reckoner_answers_in_its_contract() {
    let folder = tempfile::tempdir().unwrap();
    let answer = json(folder.path(), &["reckon", "depth-fill", "area=168 ft2", "depth=4 in", "--as", "volume=m3"]);
    assert_eq!(answer["key"], "depth-fill");
    assert_eq!(answer["inputs"]["area"], serde_json::json!({"value": 168.0, "unit": "ft2"}));
    assert_eq!(answer["outputs"]["volume"]["unit"], "m3");
    assert!((answer["outputs"]["volume"]["value"].as_f64().unwrap() - 1.585_743_6).abs() < 1e-6);
    assert!(!answer["working"].as_array().unwrap().is_empty() && !answer["sources"].as_array().unwrap().is_empty());
    let choice = json(folder.path(), &["reckon", "spacing", "spacing=12 in", "pattern=triangular"]);
    assert_eq!(choice["inputs"]["pattern"], serde_json::json!({"value": "triangular", "unit": null}));
    assert!(choice["outputs"].get("plants").is_none(), "an output whose inputs are not given is left out");
    let said = refuses(folder.path(), &["reckon", "spacing", "area=12 ft2"]);
    assert!(said.contains("`spacing` is missing") && said.contains("12 in"), "{said}");
    assert!(refuses(folder.path(), &["reckon", "spacing", "spacing"]).contains("NAME=VALUE"));
}

#[test]
fn the_list_names_every_calculator_and_the_manual_is_generated() {
    let folder = tempfile::tempdir().unwrap();
    let list = says(folder.path(), &["reckon"]);
    for key in [
        "degree-days",
        "count-summary",
        "stop-line",
        "efficacy",
        "fertiliser",
        "mix",
        "spacing",
        "depth-fill",
        "edging-block",
        "mow-rate",
        "markup",
        "convert",
    ] {
        assert!(list.contains(key), "{key} is not listed");
    }
    let manual = says(folder.path(), &["reckon", "--manual"]);
    assert_eq!(manual, std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/reckoner.md")).unwrap());
}

#[test]
fn lore_is_in_order_and_a_firms_overlay_wins() {
    let folder = tempfile::tempdir().unwrap();
    assert!(says(folder.path(), &["lore", "check"]).contains("lore is in order"));
    let own = folder.path().join("own/materials");
    std::fs::create_dir_all(&own).unwrap();
    let ours = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../lore/materials/compost.toml")).unwrap();
    let name = ours.lines().find(|l| l.starts_with("name")).unwrap();
    std::fs::write(own.join("compost.toml"), ours.replace(name, "name = \"Our own heap's compost\"")).unwrap();
    assert!(says(folder.path(), &["--lore", "own", "lore", "show", "compost"]).contains("Our own heap's compost"));
    std::fs::write(own.join("compost.toml"), "key = 3").unwrap();
    assert!(refuses(folder.path(), &["--lore", "own", "lore", "check"]).contains("faults in lore"));
    let page = says(folder.path(), &["lore", "show", "dollar spot"]);
    assert!(page.contains("What to do") && page.contains("Sources"), "{page}");
}

#[test]
fn completions_are_made() {
    let folder = tempfile::tempdir().unwrap();
    assert!(says(folder.path(), &["completions", "bash"]).contains("groundlore"));
}
