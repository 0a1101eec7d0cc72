//! An owner's letter, plain or JSON, read and answered from the built-in lore: no text panics, the chances of the causes are chances,
//! and what is quoted from the letter stands in it.
#![no_main]

use groundlore_lore::Lore;
use groundlore_plant_health::letter::{Context, Reader, answer, parse};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static LORE: LazyLock<(Lore, Reader)> = LazyLock::new(|| {
    let lore = Lore::built_in().expect("the built-in lore reads");
    let reader = Reader::new(&lore);
    (lore, reader)
});

fuzz_target!(|text: &str| {
    let _ = parse(text, "fuzz.json");
    let Ok(letter) = parse(text, "fuzz.txt") else { return };
    assert!(!letter.text.trim().is_empty() || !letter.findings.is_empty(), "an empty letter was read");
    let (lore, reader) = &*LORE;
    let answered = answer(&letter, lore, reader, &Context::default());
    let total: f64 = answered.causes.iter().map(|cause| cause.probability).sum();
    assert!(answered.causes.is_empty() || (total - 1.0).abs() < 1e-6, "the chances make {total}");
    assert!(answered.causes.iter().all(|cause| (0.0..=1.0).contains(&cause.probability)), "a chance is none");
    for told in &answered.understood {
        assert!(told.span.0 <= told.span.1 && letter.text.len() >= told.span.1, "`{}` is quoted from outside the letter", told.phrase);
    }
    assert!(!answered.reply.trim().is_empty(), "the reply is empty");
});
