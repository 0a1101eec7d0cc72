//! Whole letters with a danger in them, and calm letters full of alarming words, each set frozen before it was first run.
//!
//! What each set scored on that first run stands in the head of its file; since then it guards. `SHOW=1` prints what is missed and alarmed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

use groundlore_plant_health::danger::{screen, screened};

#[derive(serde::Deserialize)]
struct Set {
    letter: Vec<Line>,
}

#[derive(serde::Deserialize)]
struct Line {
    kind: String,
    text: String,
}

/// Letters of `danger` without an alarm and of `calm` with one.
fn faults(danger: &str, calm: &str) -> (Vec<String>, Vec<String>) {
    let set = |text: &str| toml::from_str::<Set>(text).unwrap().letter;
    let (danger, calm) = (set(danger), set(calm));
    let missed: Vec<String> = danger.iter().filter(|l| screen(&l.text).is_empty()).map(|l| format!("{}: {}", l.kind, l.text)).collect();
    let alarmed: Vec<String> =
        calm.iter().filter_map(|l| screen(&l.text).first().map(|d| format!("{:?} by `{}`: {}", d.kind, d.phrase, l.text))).collect();
    if std::env::var_os("SHOW").is_some() {
        println!("missed {}/{}: {missed:#?}\nalarmed {}/{}: {alarmed:#?}", missed.len(), danger.len(), alarmed.len(), calm.len());
        let unsure: Vec<String> = calm
            .iter()
            .filter_map(|l| screened(&l.text).perhaps.first().map(|d| format!("{:?} by `{}`: {}", d.kind, d.phrase, l.text)))
            .collect();
        println!("unsure of calm ones: {unsure:#?}");
        for l in &danger {
            let kinds: Vec<String> = screen(&l.text).iter().map(|d| format!("{:?} `{}`", d.kind, d.phrase)).collect();
            let perhaps: Vec<String> = screened(&l.text).perhaps.iter().map(|d| format!("{:?} `{}`", d.kind, d.phrase)).collect();
            println!("{}: {kinds:?}, perhaps {perhaps:?}", l.kind);
        }
    }
    (missed, alarmed)
}

/// Every quoted text after one of `fields` in a file of TOML.
fn texts(file: &str, fields: &[&str]) -> Vec<String> {
    fn walk(value: &toml::Value, fields: &[&str], into: &mut Vec<String>) {
        match value {
            toml::Value::Table(table) => {
                for (key, value) in table {
                    match value {
                        toml::Value::String(text) if fields.contains(&key.as_str()) => into.push(text.clone()),
                        toml::Value::Array(all) if fields.contains(&key.as_str()) => {
                            into.extend(all.iter().filter_map(|v| v.as_str().map(str::to_owned)));
                        }
                        _ => walk(value, fields, into),
                    }
                }
            }
            toml::Value::Array(all) => all.iter().for_each(|v| walk(v, fields, into)),
            _ => {}
        }
    }
    let mut into = Vec::new();
    walk(&toml::from_str(file).unwrap(), fields, &mut into);
    into
}

#[test]
fn letters_of_ordinary_trouble_raise_hardly_an_alarm() {
    let mut calm = texts(include_str!("data/letters_to_work_with.toml"), &["blind", "full"]);
    calm.extend(texts(include_str!("data/vignettes.toml"), &["text"]));
    let tellings = concat!(env!("CARGO_MANIFEST_DIR"), "/../../lore/tellings");
    let mut files: Vec<_> = std::fs::read_dir(tellings).unwrap().map(|f| f.unwrap().path()).collect();
    files.sort();
    for file in files.iter().filter(|f| f.extension().is_some_and(|e| e == "toml")) {
        calm.extend(texts(&std::fs::read_to_string(file).unwrap(), &["tellings", "telling", "told", "said", "text"]));
    }
    let alarmed: Vec<String> =
        calm.iter().filter_map(|text| screened(text).now.first().map(|d| format!("{:?} by `{}`: {text}", d.kind, d.phrase))).collect();
    let unsure: Vec<String> =
        calm.iter().filter_map(|text| screened(text).perhaps.first().map(|d| format!("{:?} by `{}`: {text}", d.kind, d.phrase))).collect();
    if std::env::var_os("SHOW").is_some() {
        println!("ordinary {}: alarmed {}: {alarmed:#?}\nunsure {}: {unsure:#?}", calm.len(), alarmed.len(), unsure.len());
    }
    assert!(calm.len() >= 200 && alarmed.len() * 50 <= calm.len(), "{} of {}: {alarmed:#?}", alarmed.len(), calm.len());
}

#[test]
fn the_eighth_set_guards() {
    let (missed, alarmed) = faults(include_str!("data/danger_letters_eighth.toml"), include_str!("data/calm_letters_eighth.toml"));
    assert!(missed.is_empty(), "missed {missed:#?}");
    assert!(alarmed.len() <= 2, "alarmed {alarmed:#?}");
}

#[test]
fn the_ninth_set_guards() {
    let (missed, alarmed) = faults(include_str!("data/danger_letters_ninth.toml"), include_str!("data/calm_letters_ninth.toml"));
    assert!(missed.is_empty(), "missed {missed:#?}");
    assert!(alarmed.len() <= 1, "alarmed {alarmed:#?}");
}

#[test]
fn the_tenth_set_guards() {
    let (missed, alarmed) = faults(include_str!("data/danger_letters_tenth.toml"), include_str!("data/calm_letters_tenth.toml"));
    assert!(missed.is_empty(), "missed {missed:#?}");
    assert!(alarmed.len() <= 1, "alarmed {alarmed:#?}");
}

#[test]
fn the_eleventh_set_guards() {
    let (missed, alarmed) = faults(include_str!("data/danger_letters_eleventh.toml"), include_str!("data/calm_letters_eleventh.toml"));
    assert!(missed.is_empty(), "missed {missed:#?}");
    assert!(alarmed.is_empty(), "alarmed {alarmed:#?}");
}

#[test]
fn the_twelfth_set_guards() {
    let danger = include_str!("data/danger_letters_twelfth.toml");
    let (missed, alarmed) = faults(danger, include_str!("data/calm_letters_twelfth.toml"));
    let silent: Vec<String> = toml::from_str::<Set>(danger)
        .unwrap()
        .letter
        .into_iter()
        .filter(|l| {
            let s = screened(&l.text);
            s.now.is_empty() && s.perhaps.is_empty()
        })
        .map(|l| l.text)
        .collect();
    assert!(silent.is_empty() && missed.len() <= 2, "silent {silent:#?}, missed {missed:#?}");
    assert!(alarmed.is_empty(), "alarmed {alarmed:#?}");
}

/// Beside each thing that is let pass stands a danger in nearly the same words: letting the one pass must not hush the other.
#[test]
fn what_is_let_pass_hides_no_danger() {
    for text in [
        "After I sprayed the roses she felt very faint and had to sit down.",
        "The dog got a whole box of slug pellets out of the shed and ate it.",
        "My husband was trimming the stems and cut off the tip of his finger with the shears.",
        "Dad collapsed on the lawn, his face grey.",
        "The lawn has collapsed into an old well.",
        "My son keeps throwing up seeds, he ate a pod off the laburnum.",
        "My toddler has eaten leaves and stems of the foxglove.",
        "The baby chewed bits of leaf from the oleander.",
        "The retaining wall is leaning and moving with every truck that goes by.",
        "The mower blade caught my foot and there is blood everywhere, the blade itself is bent.",
    ] {
        let screened = screened(text);
        assert!(!screened.now.is_empty() || !screened.perhaps.is_empty(), "{text}");
    }
    for text in [
        "Light green clumps throw up whitish seed even where I cut low.",
        "The ground swells up in a ridge wide as my hand.",
        "It had collapsed to a dull brown by the twentieth.",
        "We do not feed it as we have got a tortoise.",
        "I thought I saw a faint white bloom on a few of them.",
    ] {
        assert!(screened(text).now.is_empty(), "{text}: {:?}", screened(text).now);
    }
}
