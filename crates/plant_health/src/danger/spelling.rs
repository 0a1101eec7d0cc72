//! Words that tell of danger, read through a slip of the pen (`mapel`, `swolen`, `danglin`).

use crate::letter::words::{Sentence, stem};

/// Words worth reading through a slip.
const WORDS: &[&str] = &[
    "allergic",
    "ammonia",
    "antifreeze",
    "bleach",
    "bleeding",
    "blisters",
    "branch",
    "branches",
    "breathe",
    "breathing",
    "bulging",
    "cable",
    "chainsaw",
    "chewed",
    "collapsed",
    "compost",
    "concentrate",
    "cracked",
    "cracking",
    "dangling",
    "daughter",
    "drooling",
    "electric",
    "fertilizer",
    "fumes",
    "gasoline",
    "generator",
    "grandson",
    "hanging",
    "herbicide",
    "hornets",
    "hospital",
    "ladder",
    "leaning",
    "maple",
    "mower",
    "mushroom",
    "mushrooms",
    "pellets",
    "pesticide",
    "poison",
    "poisoned",
    "propane",
    "retaining",
    "seizure",
    "septic",
    "shock",
    "sinkhole",
    "smell",
    "smoke",
    "smoking",
    "sprayed",
    "sprayer",
    "swallowed",
    "swelling",
    "swollen",
    "throat",
    "throwing",
    "toddler",
    "tongue",
    "trench",
    "unconscious",
    "vomiting",
    "willow",
    "wires",
];

/// Words of their own that lie a letter away from one of them.
const OWN_WORDS: &[&str] = &["spayed", "threat", "wallow", "swilling", "breath", "poisons", "smokes", "hornet", "wire", "bleached"];

/// Shortest word that is read through a slip.
const SHORTEST: usize = 5;

/// The sentence with such slips mended; the spans stay those of the letter.
pub(super) fn mended(mut sentence: Sentence) -> Sentence {
    for word in &mut sentence.words {
        if let Some(meant) = meant(&word.lower) {
            meant.clone_into(&mut word.lower);
            word.stem = stem(meant);
        }
    }
    sentence
}

/// The word meant by one that has two letters swapped, one left out or one doubled.
fn meant(word: &str) -> Option<&'static str> {
    if word.len() < SHORTEST || !word.is_ascii() || WORDS.contains(&word) || OWN_WORDS.contains(&word) {
        return None;
    }
    WORDS.iter().copied().find(|known| slipped(word.as_bytes(), known.as_bytes()))
}

fn slipped(word: &[u8], known: &[u8]) -> bool {
    if word[0] != known[0] {
        return false;
    }
    let differ = word.iter().zip(known).position(|(a, b)| a != b).unwrap_or(word.len().min(known.len()));
    match (word.len(), known.len()) {
        (w, k) if w == k => {
            differ + 1 < w
                && word[differ] == known[differ + 1]
                && word[differ + 1] == known[differ]
                && word[differ + 2..] == known[differ + 2..]
        }
        (w, k) if w + 1 == k => word[differ..] == known[differ + 1..],
        (w, k) if w == k + 1 => word[differ] == word[differ - 1] && word[differ + 1..] == known[differ..],
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_read_and_other_words_left_alone() {
        for (written, word) in
            [("mapel", "maple"), ("swolen", "swollen"), ("danglin", "dangling"), ("braanch", "branch"), ("sawllowed", "swallowed")]
        {
            assert_eq!(meant(written), Some(word), "{written}");
        }
        for word in
            ["spayed", "learning", "breeding", "cleaning", "maples", "threat", "small", "brand", "shook", "ranch", "mushy", "composed"]
        {
            assert_eq!(meant(word), None, "{word}");
        }
    }
}
