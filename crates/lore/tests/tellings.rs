//! How owners tell of a trouble: the shelf that we ship, its check, and what a wrong file gives.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use groundlore_lore::{Lore, LoreFault, Weight, check};

fn faults_of(text: &str) -> (Lore, Vec<LoreFault>) {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir_all(dir.path().join("tellings")).unwrap();
    std::fs::write(dir.path().join("tellings/own.toml"), text).unwrap();
    let (lore, mut faults) = Lore::built_in_lenient(Some(dir.path()));
    faults.extend(check(&lore));
    faults.retain(|fault| fault.file.ends_with("own.toml") && fault.weight == Weight::Fault);
    (lore, faults)
}

#[test]
fn every_trouble_is_told_of_by_eight_owners_and_more() {
    let (lore, faults) = Lore::built_in_lenient(None);
    assert!(faults.is_empty(), "{faults:?}");
    for key in lore.troubles.keys() {
        let told = lore.tellings.get(key).map_or(0, |telling| telling.told.len());
        assert!(told >= 8, "{key} has {told} tellings");
    }
}

#[test]
fn a_telling_never_says_what_is_not_there() {
    let (lore, _) = Lore::built_in_lenient(None);
    for (key, telling) in &lore.tellings {
        for told in &telling.told {
            let lower = told.to_lowercase();
            let denies = lower
                .split(|c: char| !c.is_alphabetic() && c != '\'')
                .any(|w| matches!(w, "not" | "never" | "without" | "none") || w.ends_with("n't"));
            assert!(!denies, "{key}: {told}");
            let words = told.split_whitespace().count();
            assert!((6..=60).contains(&words), "{key}: {words} words: {told}");
        }
    }
}

#[test]
fn an_overlay_tells_of_it_in_its_own_words() {
    let (lore, faults) = faults_of("[dollar-spot]\ntold = [\"Coins of straw all over the short grass by the gate.\"]\n");
    assert!(faults.is_empty(), "{faults:?}");
    assert_eq!(lore.tellings["dollar-spot"].told.len(), 1);
    assert!(lore.tellings["brown-patch"].told.len() >= 8);
}

#[test]
fn what_is_wrong_is_told_with_its_place_value_and_remedy() {
    for (text, field, words) in [
        ("[dolar-spot]\ntold = [\"Coins of straw all over the short grass.\"]\n", "dolar-spot", "Did you mean `dollar-spot`?"),
        ("[dollar-spot]\ntold = [\"Bad.\"]\n", "dollar-spot.told[0]", "too few words"),
        ("[dollar-spot]\nsaid = [\"Coins of straw all over the short grass.\"]\n", "dollar-spot", "said"),
        ("[dollar-spot]\ntold = \"Coins of straw all over the grass.\"\n", "dollar-spot.told", "Coins"),
        ("[dollar-spot\ntold = []\n", "", "TOML"),
    ] {
        let (_, faults) = faults_of(text);
        let fault = faults.first().unwrap_or_else(|| panic!("no fault for {text}"));
        let all = fault.to_string();
        assert!(all.contains(words), "{text}: {all}");
        assert!(fault.field.as_deref().unwrap_or_default().starts_with(field), "{text}: {:?}", fault.field);
        assert!(fault.line.is_some(), "{text}: {fault:?}");
    }
}
