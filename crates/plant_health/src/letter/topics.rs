//! Another trouble that a letter turns to: `Also, the leaves of my maple have red bumps.`
//!
//! A turn is a sentence that opens as one (`also`, `another thing`, `and the`) and names a plant or ground of another kind than the letter
//! did before. What follows belongs to it until the letter turns again or comes back. Each such part is diagnosed by itself and told beside the
//! letter's main trouble; the whole letter is still what the main trouble is read from.

use super::Letter;
use super::advice::AdviceClass;
use super::circumstance::slice;
use super::host::{Host, find, read as read_host};
use super::words::{Sentence, is_stop_word, sentences};
use serde::{Deserialize, Serialize};

/// A second trouble of another host, told in the same letter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AlsoTold {
    /// The letter's words.
    pub words: String,
    /// Key of its likeliest cause in lore.
    pub key: String,
    /// Its name.
    pub name: String,
    /// Probability, 0–1.
    pub probability: f64,
    /// What to do about it.
    pub class: AdviceClass,
    /// Why.
    pub why: String,
}

/// Ways in which an owner turns to something else.
const TURNS: &[&[&str]] = &[
    &["also"],
    &["another"],
    &["second"],
    &["secondly"],
    &["lastly"],
    &["finally"],
    &["separately"],
    &["meanwhile"],
    &["oh", "and"],
    &["and", "the"],
    &["and", "my"],
    &["one", "more"],
    &["one", "other"],
    &["as", "for"],
    &["the", "other"],
    &["by", "the", "way"],
    &["on", "another", "note"],
    &["while", "i", "have"],
    &["p", "s"],
    &["ps"],
    &["then", "there"],
];
/// Fewest words with meaning that make a trouble.
const FEWEST: usize = 5;

/// The parts of a letter that turn to another host, each as a letter of its own.
pub(super) fn turns(letter: &Letter) -> Vec<Letter> {
    let told = sentences(&letter.text);
    let mut parts: Vec<(usize, usize)> = Vec::new();
    let mut main = read_host(letter.host.as_deref(), &[]);
    let mut i = 0;
    while i < told.len() {
        let named = find(&told[i..=i]);
        if i > 0 && opens(&told[i]) && apart(&main, &named) {
            let back = |s: &Sentence| opens(s) || find(std::slice::from_ref(s)).kinds.intersection(&main.kinds).next().is_some();
            let end = told[i + 1..].iter().position(back).map_or(told.len(), |n| i + 1 + n);
            parts.push((i, end));
            i = end;
        } else {
            main.kinds.extend(&named.kinds);
            main.plants.extend(named.plants);
            i += 1;
        }
    }
    let enough = |of: &[Sentence]| of.iter().flat_map(|s| &s.words).filter(|w| !is_stop_word(&w.lower)).count() >= FEWEST;
    let text = |(from, to): (usize, usize)| slice(&letter.text, (told[from].start, told[to - 1].end));
    parts
        .into_iter()
        .filter(|(from, to)| enough(&told[*from..*to]))
        .map(|part| Letter {
            date: letter.date,
            yard: letter.yard.clone(),
            place: letter.place.clone(),
            text: text(part),
            ..Letter::default()
        })
        .collect()
}

/// True for a sentence that opens as a turn.
fn opens(sentence: &Sentence) -> bool {
    TURNS.iter().any(|turn| sentence.words.len() > turn.len() && sentence.words.iter().zip(*turn).all(|(word, want)| word.lower == **want))
}

/// True where a part names a host, and none of the kinds that the letter spoke of before.
fn apart(main: &Host, named: &Host) -> bool {
    !named.kinds.is_empty() && !main.kinds.is_empty() && named.kinds.intersection(&main.kinds).next().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(text: &str) -> Vec<String> {
        turns(&Letter { text: text.to_owned(), ..Letter::default() }).into_iter().map(|l| l.text).collect()
    }

    #[test]
    fn a_letter_turns_to_another_host_and_comes_back() {
        let text = "The lawn has flat white webs at dawn. Also, my daughter's maple has little red bumps all over its leaves. They are hard. \
                    The grass under the webs is green.";
        assert_eq!(parts(text), ["Also, my daughter's maple has little red bumps all over its leaves. They are hard."]);
    }

    #[test]
    fn a_plant_named_by_the_way_is_no_turn() {
        assert!(parts("The lawn is brown under the maple. Also the grass by the drive is thin and pale now.").is_empty());
        assert!(parts("My roses have black spots. The lawn next to them is fine and green all summer.").is_empty());
        assert!(parts("The lawn is brown. Also the maple.").is_empty());
    }
}
