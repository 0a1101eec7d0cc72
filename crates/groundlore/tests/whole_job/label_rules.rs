//! Label cards with all their rules, the papers of a treatment and calibrations, through the binary.
use crate::{json, refuses, says};
use std::path::Path;

const ON: [&str; 4] = ["--book", "b.book", "--on", "2015-08-17"];

fn on<'a>(words: &[&'a str]) -> Vec<&'a str> {
    ON.iter().copied().chain(words.iter().copied()).collect()
}

/// A small book with one yard.
fn set_up(folder: &Path) {
    std::fs::write(folder.join("w.csv"), crate::elsewhere::weather()).unwrap();
    std::fs::write(folder.join("yard.geojson"), crate::elsewhere::MAP).unwrap();
    says(folder, &on(&["book", "create", "--firm", "Quillet & Moss, Grounds", "--applicator", "Perrin Quillet", "--licence", "Demo 0000"]));
}

const HEAD: &str =
    "name,active_ingredients,sites,targets,rate,carrier,wind,temperature,rain_free,droplets,applicator,well_distance,tree_roots,inversion";
const GOOD: &str = "Demo card A,chlorantraniliprole 1%,lawn,white grubs,1 to 2 floz/1000ft2,2 gal/1000ft2,3 to 10 mph,at least 50 degF,6 h,coarse or coarser,licensed,50 ft,none,forbidden";

#[test]
fn bad_rows_of_cards_are_all_told_and_good_ones_are_kept_only_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    set_up(folder.path());
    let template = says(folder.path(), &["label", "template"]);
    for column in ["wind", "inversion", "tree_roots", "compost", "backflow", "mode_of_action_edition"] {
        assert!(template.split([',', '\n']).any(|heading| heading == column), "the template lacks `{column}`: {template}");
    }
    let bad = [
        "Demo card B,a 1%,lawn,grubs,1 floz/1000ft2,,10 to 3 mph,,,,,,,",
        "Demo card C,a 1%,lawn,grubs,1 floz/1000ft2,,,85 mph,,,,,,",
        "Demo card D,a 1%,lawn,grubs,1 floz/1000ft2,,,,6 in,,,,,",
        "Demo card E,a 1%,lawn,grubs,1 floz/1000ft2,,,,,misty,,,,",
        "Demo card F,a 1%,lawn,grubs,1 floz/1000ft2,,,,,,the crew,,,",
        "Demo card G,a 1%,lawn,grubs,1 floz/1000ft2,,,,,,,,,perhaps",
    ];
    std::fs::write(folder.path().join("cards.csv"), format!("{HEAD}\n{GOOD}\n{}\n", bad.join("\n"))).unwrap();
    let said = refuses(folder.path(), &on(&["label", "add", "cards.csv"]));
    for (line, value) in [(3, "10 to 3 mph"), (4, "85 mph"), (5, "6 in"), (6, "misty"), (7, "the crew"), (8, "perhaps")] {
        assert!(said.contains(&format!("line {line}")) && said.contains(value), "line {line} with `{value}` is not told:\n{said}");
    }
    assert_eq!(json(folder.path(), &on(&["label", "list"])).as_array().unwrap().len(), 0, "nothing is written when a row is wrong");
    let kept = says(folder.path(), &on(&["label", "add", "cards.csv", "--skip-bad"]));
    assert!(kept.contains("1 label cards"), "{kept}");
    let cards = json(folder.path(), &on(&["label", "list"]));
    assert_eq!(cards[0]["rain_free_h"], 6.0);
    assert_eq!(cards[0]["temperature_high_c"], serde_json::Value::Null);
    assert_eq!(cards[0]["tree_roots_text"], "none");
    let list = says(folder.path(), &on(&["label", "list"]));
    assert!(list.contains("blank on this card") && list.contains("compost"), "{list}");
}

#[test]
fn sprayer_and_spreader_are_calibrated() {
    let folder = tempfile::tempdir().unwrap();
    set_up(folder.path());
    says(folder.path(), &on(&["treat", "poison-centre", "555-0100"]));
    assert!(refuses(folder.path(), &on(&["treat", "poison-centre", "soon"])).contains("`soon`"));
    let boom = ["treat", "sprayer", "--width", "40 in", "--distance", "102 ft", "--time", "17 s", "--catches"];
    let words = |catches| on(&[&boom[..], &[catches]].concat());
    let tested = json(folder.path(), &words("7 floz, 7 floz"));
    assert!(tested["nozzles"].as_array().unwrap().iter().all(|nozzle| nozzle["passes"] == true));
    let said = says(folder.path(), &words("7 floz, 7 floz, 9 floz"));
    assert!(said.to_uppercase().contains("NOZZLES FAIL") && said.contains("555-0100"), "{said}");
    assert!(refuses(folder.path(), &words("7 floz, 7 ft")).contains("7 ft"));
    let spread = ["treat", "spreader", "--rate", "5 lb/1000ft2", "--area", "1000 ft2", "--spread"];
    assert!(says(folder.path(), &on(&[&spread[..], &["2.4 lb"]].concat())).to_uppercase().contains("IT PASSES"));
    assert!(says(folder.path(), &on(&[&spread[..], &["3 lb"]].concat())).to_uppercase().contains("IT FAILS"));
    assert!(refuses(folder.path(), &on(&[&spread[..], &["0 lb"]].concat())).contains("spread"));
}

#[test]
fn the_papers_are_set_and_wrong_facts_are_told() {
    let folder = tempfile::tempdir().unwrap();
    says(folder.path(), &["demo"]);
    let book = ["--book", "groundlore-demo/firm.book", "--on", "2015-08-17", "treat"];
    let about = ["Linden House", "--trouble", "white-grubs-annual", "--control", "chlorantraniliprole"];
    // The map draws a drain nearer than the card's 25 ft: it is refused until the part that is treated is told apart by its distance.
    let near = refuses(folder.path(), &[&book[..], &["sheet"], &about[..]].concat());
    assert!(near.contains("water") && near.contains("must not be used here"), "{near}");
    let away = ["--water", "60 ft"];
    let words = |verb: &'static str, more: &[&'static str]| [&book[..], &[verb], &about[..], &away[..], more].concat();
    for (verb, part) in
        [("sheet", "By the label"), ("hours", "Weather by the hour"), ("notice", "What we ask of you"), ("sign", "KEEP OFF")]
    {
        let said = says(folder.path(), &words(verb, &[]));
        assert!(said.contains(part) && said.contains("Poison centre"), "{verb}:\n{said}");
        let pdf = folder.path().join(format!("{verb}.pdf"));
        says(folder.path(), &[&words(verb, &[])[..], &["--pdf", pdf.to_str().unwrap()]].concat());
        assert!(std::fs::read(&pdf).unwrap().starts_with(b"%PDF"), "{verb}");
    }
    for (more, value, remedy) in [
        (&["--seeded", "in May"][..], "in May", "2015-09-10"),
        (&["--droplets", "misty"][..], "misty", "very coarse"),
        (&["--tank", "3 ft"][..], "3 ft", "volume"),
        (&["--well", "far"][..], "far", "ft"),
        (&["--area", "the moon"][..], "the moon", "use one of"),
        (&["--rate", "9 lb/1000ft2"][..], "9 lb/1000ft2", "allows"),
    ] {
        let said = refuses(folder.path(), &words("sheet", more));
        assert!(said.contains(value) && said.contains(remedy), "{more:?}: {said}");
    }
}
