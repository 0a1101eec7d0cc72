//! The words of a text as they are heard: stems that carry meaning, each by itself and with its neighbour, without what is denied.

use super::words::{Sentence, Word, is_stop_word, sentences};
use std::collections::BTreeMap;

/// Words that deny, and how many words after them in the same clause are not heard.
const DENIERS: &[&str] = &["no", "not", "never", "without", "none", "neither", "nor"];
const DENIED: usize = 5;

/// Others who have an opinion, and the words by which they give it: what they hold is not what the owner saw, so the rest of the clause is
/// not heard.
const OTHERS: &[&str] = &[
    "neighbor",
    "neighbour",
    "neighbors",
    "neighbours",
    "wife",
    "husband",
    "father",
    "mother",
    "brother",
    "sister",
    "son",
    "daughter",
    "cousin",
    "uncle",
    "aunt",
    "friend",
    "guy",
    "man",
    "fellow",
    "lady",
    "salesman",
    "clerk",
    "contractor",
    "landscaper",
    "store",
    "center",
    "centre",
    "shop",
    "internet",
    "everyone",
    "everybody",
    "somebody",
    "someone",
    "people",
    "he",
    "she",
    "they",
    "law",
    "boss",
    "colleague",
    "partner",
    "dad",
    "mum",
    "mom",
    "caretaker",
    "mower",
    "crew",
    "nursery",
];
const HOLD: &[&str] = &[
    "says",
    "said",
    "say",
    "thinks",
    "thought",
    "think",
    "insists",
    "insisted",
    "swears",
    "swore",
    "claims",
    "claimed",
    "blames",
    "blamed",
    "reckons",
    "reckoned",
    "believes",
    "believed",
    "told",
    "tells",
    "suspects",
    "suspected",
    "guessed",
    "guesses",
    "convinced",
    "calls",
];
/// Most words between the two.
const FROM_WHOM: usize = 3;

/// What is heard of a text: each stem, and each pair of neighbours, with the words as they stand.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Heard(pub BTreeMap<String, String>);

impl Heard {
    /// Hears a text with its denials: `no grubs, but birds peck` gives `bird`, `peck` and the pair of both.
    ///
    /// ```
    /// # use groundlore_plant_health::letter::heard::Heard;
    /// let heard = Heard::of("No grubs, but birds peck.");
    /// assert_eq!(heard.0.keys().collect::<Vec<_>>(), ["bird", "bird peck", "peck"]);
    /// ```
    pub fn of(text: &str) -> Self {
        let mut heard = Self::default();
        heard.add(&sentences(text), text, &[]);
        heard
    }

    /// Hears a text of lore, where nothing is denied.
    pub(crate) fn of_lore(text: &str) -> Self {
        let mut heard = Self::default();
        heard.add_told(&sentences(text), text, None);
        heard
    }

    /// Hears more of an owner's words, but not what is denied, nor what stands in `unheard` (first and last byte of each): signs that were
    /// read as not there, or as what somebody else said.
    pub(crate) fn add(&mut self, told: &[Sentence], text: &str, unheard: &[(usize, usize)]) {
        self.add_told(told, text, Some(unheard));
    }

    fn add_told(&mut self, told: &[Sentence], text: &str, denials: Option<&[(usize, usize)]>) {
        for sentence in told {
            let mut before: Option<&Word> = None;
            let mut deaf = 0;
            for (at, word) in sentence.words.iter().enumerate() {
                let broken = word.after_comma || before.is_some_and(|b| b.clause != word.clause);
                if broken {
                    (before, deaf) = (None, 0);
                }
                let hearsay = denials.is_some()
                    && HOLD.contains(&word.lower.as_str())
                    && sentence.words[..at]
                        .iter()
                        .rev()
                        .take(FROM_WHOM)
                        .any(|w| w.clause == word.clause && OTHERS.contains(&w.lower.as_str()));
                let unheard = denials.is_some_and(|d| d.iter().any(|(from, to)| *from <= word.start && word.end <= *to));
                if denials.is_some() && DENIERS.contains(&word.lower.as_str()) {
                    (before, deaf) = (None, DENIED);
                } else if hearsay {
                    (before, deaf) = (None, usize::MAX);
                } else if unheard {
                    before = None;
                    deaf = deaf.saturating_sub(1);
                } else if deaf > 0 {
                    deaf -= 1;
                } else if !is_faint(&word.lower) {
                    self.0.entry(word.stem.clone()).or_insert_with(|| word.lower.clone());
                    if let Some(b) = before {
                        let shown = text.get(b.start..word.end).unwrap_or_default().to_lowercase();
                        self.0.entry(format!("{} {}", b.stem, word.stem)).or_insert(shown);
                    }
                    before = Some(word);
                }
            }
        }
    }
}

/// True for words that tell nothing of a cause.
fn is_faint(lower: &str) -> bool {
    lower.len() < 2 || is_stop_word(lower) || DENIERS.contains(&lower) || matches!(lower, "don" | "but" | "am" | "me" | "us" | "him")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_denied_is_not_heard_and_pairs_do_not_reach_over_a_comma() {
        let heard = Heard::of("There are no grubs in the soil. Rings of dark grass, straw in the middle");
        let keys: Vec<&str> = heard.0.keys().map(String::as_str).collect();
        assert!(!keys.contains(&"grub"), "{keys:?}");
        assert!(keys.contains(&"ring dark") && keys.contains(&"dark grass") && !keys.contains(&"grass straw"), "{keys:?}");
        assert_eq!(heard.0["ring dark"], "rings of dark");
        let heard = Heard::of("The grass is tan. The neighbor insists it is chinch bugs, but I found webs.");
        assert_eq!(heard.0.keys().collect::<Vec<_>>(), ["found", "found web", "grass", "grass tan", "neighbor", "tan", "web"]);
    }
}
