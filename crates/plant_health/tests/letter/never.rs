//! What no answer may do, over many letters put together at random (seeded).

use super::vignettes::{LORE, READER};
use groundlore_lore::control::ControlClass;
use groundlore_lore::trouble::ActionClass;
use groundlore_plant_health::letter::{AdviceClass, Answer, Context, GivenFinding, GivenValue, Letter, answer};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

fn letters(n: usize) -> Vec<Letter> {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let keys: Vec<&String> = LORE.findings.keys().collect();
    let hosts = ["lawn", "azalea", "maple", "rose", "bed", "hedge", ""];
    (0..n)
        .map(|i| {
            let mut pick = |most: usize| (rng.next_u32() as usize) % most;
            let findings = (0..1 + pick(6))
                .map(|_| GivenFinding {
                    finding: keys[pick(keys.len())].clone(),
                    value: if pick(4) == 0 { GivenValue::No } else { GivenValue::Yes },
                })
                .collect();
            let month = 1 + pick(12) as i8;
            Letter {
                date: Some(jiff::civil::date(2024, month, 15)),
                host: Some(hosts[i % hosts.len()].to_owned()).filter(|h| !h.is_empty()),
                findings,
                ..Letter::default()
            }
        })
        .collect()
}

fn answers() -> Vec<Answer> {
    letters(120).iter().map(|l| answer(l, &LORE, &READER, &Context::default())).collect()
}

#[test]
fn random_letters_get_no_harmful_advice() {
    let materials: Vec<String> = LORE.controls.values().filter(|c| c.needs_label).map(|c| c.name.to_lowercase()).collect();
    for a in answers().into_iter().filter(|a| a.danger.is_empty()) {
        let sum: f64 = a.causes.iter().map(|c| c.probability).sum();
        assert!((sum - 1.0).abs() < 1e-9);
        let acts = matches!(a.action.class, AdviceClass::Of(ActionClass::ActNow | ActionClass::ActAtAStage));
        let harmless = a.causes.iter().filter(|c| c.harmless).map(|c| c.probability).sum::<f64>();
        assert!(!(acts && harmless > 0.5), "acts on a harmless thing: {:?}", a.action);
        let reply = a.reply.to_lowercase();
        assert!(materials.iter().all(|m| !reply.contains(m.as_str())), "{reply}");
        if let (true, Some(key)) = (a.action.class == AdviceClass::Of(ActionClass::ActNow), &a.action.aimed_at) {
            let controls: Vec<_> = LORE.troubles[key].action.controls.iter().filter_map(|c| LORE.controls.get(c)).collect();
            assert!(
                controls.is_empty() || controls.iter().any(|c| c.class == ControlClass::Practice || !c.needs_label),
                "{key} is acted on with materials only"
            );
        }
    }
}

#[test]
fn the_same_letter_gets_the_same_answer() {
    let letter = &letters(3)[2];
    let once = serde_json::to_string(&answer(letter, &LORE, &READER, &Context::default())).unwrap();
    let again = serde_json::to_string(&answer(letter, &LORE, &READER, &Context::default())).unwrap();
    assert_eq!(once, again);
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig { cases: 48, failure_persistence: None, ..Default::default() })]

    #[test]
    fn no_text_makes_the_reader_panic(text in "(\\PC|[ \n.,;?!'\"0-9/-]|grubs|not|no|in|per|ft2|square|half a|dozen|brown){0,60}") {
        for file in ["a.txt", "a.json"] {
            if let Ok(letter) = groundlore_plant_health::letter::parse(&text, file) {
                let reading = READER.read(&letter);
                for u in &reading.understood {
                    proptest::prop_assert!(letter.text.contains(&u.phrase));
                }
                let _ = groundlore_plant_health::danger::screen(&text);
            }
        }
    }
}
