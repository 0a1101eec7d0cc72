//! Patterns of owners' words (`said_as` of a finding), compiled once and matched against clauses.

use super::words::{Sentence, Word, sentences, stem};
use std::collections::HashSet;

/// Most words that may stand between two words of a pattern.
pub const GAP: usize = 5;

/// One pattern: every element must occur in one clause, in any order, each within a few words of the next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern {
    elements: Vec<Element>,
}

/// One element: any of its alternatives will do.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Element {
    /// Single words, by stem: looked up, not walked through.
    stems: HashSet<String>,
    /// Runs and words with a form of their own.
    runs: Vec<Run>,
}

/// Words that must follow one another.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Run {
    stems: Vec<String>,
    form: Form,
}

/// What of a word must agree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// Its stem.
    Stem,
    /// Its beginning (`grub*`).
    Beginning,
    /// The word as it stands (`=vomiting`).
    AsItStands,
}

/// Where a pattern matched: indexes of the words in the sentence, in rising order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// Word indexes that the pattern used.
    pub used: Vec<usize>,
}

impl Hit {
    /// First word used.
    pub fn first(&self) -> usize {
        self.used.first().copied().unwrap_or(0)
    }

    /// Last word used.
    pub fn last(&self) -> usize {
        self.used.last().copied().unwrap_or(0)
    }
}

impl Pattern {
    /// Compiles a pattern: words apart by spaces, `|` for alternatives, double quotes for a run that must occur as it stands,
    /// a trailing `*` for any ending, a leading `=` for one form of the word only.
    pub fn compile(text: &str) -> Self {
        let elements = split_outside_quotes(text, char::is_whitespace)
            .into_iter()
            .map(|part| Element::of(split_outside_quotes(&part, |c| c == '|').iter().filter_map(|a| Run::compile(a))))
            .filter(|e| !(e.stems.is_empty() && e.runs.is_empty()))
            .collect();
        Self { elements }
    }

    /// A pattern of stems that must all occur.
    pub fn of_words(words: &[&str]) -> Self {
        let elements = words.iter().filter_map(|w| Run::compile(w)).map(|run| Element::of(std::iter::once(run))).collect();
        Self { elements }
    }

    /// True if it asks for nothing.
    pub fn is_empty(&self) -> bool {
        self.elements.is_empty()
    }

    /// How many words it asks for: the more, the more telling a match is.
    pub fn weight(&self) -> usize {
        self.elements.iter().map(|e| if e.stems.is_empty() { e.runs.iter().map(|a| a.stems.len()).min().unwrap_or(0) } else { 1 }).sum()
    }

    /// Every stem it may ask for.
    pub fn stems(&self) -> impl Iterator<Item = &str> {
        self.elements.iter().flat_map(|e| e.stems.iter().chain(e.runs.iter().flat_map(|r| r.stems.iter()))).map(String::as_str)
    }

    /// The first stems of its most selective element, one of which must occur for the pattern to match; none if that cannot be said.
    pub fn keys(&self) -> Option<Vec<&str>> {
        let element =
            self.elements.iter().filter(|e| e.runs.iter().all(|r| r.form == Form::Stem)).min_by_key(|e| e.stems.len() + e.runs.len())?;
        Some(element.stems.iter().chain(element.runs.iter().filter_map(|r| r.stems.first())).map(String::as_str).collect())
    }

    /// All places where it matches in a sentence, at most one for each place of its first element.
    pub fn find(&self, sentence: &Sentence, gap: usize) -> Vec<Hit> {
        let Some((first, rest)) = self.elements.split_first() else { return Vec::new() };
        let mut hits = Vec::new();
        for used in first.places(&sentence.words) {
            if let Some(mut all) = complete(used, rest, &sentence.words, gap) {
                all.sort_unstable();
                hits.push(Hit { used: all });
            }
        }
        hits
    }
}

/// Adds a place for each further element so that no gap is too wide; the nearest places are tried first.
fn complete(used: Vec<usize>, rest: &[Element], words: &[Word], gap: usize) -> Option<Vec<usize>> {
    let Some((element, later)) = rest.split_first() else { return close_together(&used, words, gap).then_some(used) };
    let clause = words[used[0]].clause;
    let near = words[used[0]].place;
    let mut places: Vec<Vec<usize>> =
        element.places(words).into_iter().filter(|p| words[p[0]].clause == clause && p.iter().all(|i| !used.contains(i))).collect();
    places.sort_by_key(|p| words[p[0]].place.abs_diff(near));
    places.into_iter().take(6).find_map(|place| complete([used.clone(), place].concat(), later, words, gap))
}

fn close_together(used: &[usize], words: &[Word], gap: usize) -> bool {
    let mut sorted = used.to_vec();
    sorted.sort_unstable();
    sorted.windows(2).all(|w| words[w[1]].place - words[w[0]].place <= gap + 1 && words[w[1]].clause == words[w[0]].clause)
}

impl Element {
    fn of(alternatives: impl Iterator<Item = Run>) -> Self {
        let mut element = Self { stems: HashSet::new(), runs: Vec::new() };
        for run in alternatives {
            match run.stems.as_slice() {
                [only] if run.form == Form::Stem => {
                    element.stems.insert(only.clone());
                }
                _ => element.runs.push(run),
            }
        }
        element
    }

    fn places(&self, words: &[Word]) -> Vec<Vec<usize>> {
        let single = |w: &Word| self.stems.contains(&w.stem) || w.also.iter().any(|a| self.stems.contains(a));
        (0..words.len())
            .filter_map(|i| if single(&words[i]) { Some(vec![i]) } else { self.runs.iter().find_map(|run| run.at(words, i)) })
            .collect()
    }
}

impl Run {
    fn compile(text: &str) -> Option<Self> {
        let text = text.trim().trim_matches('"');
        let form = if text.ends_with('*') {
            Form::Beginning
        } else if text.starts_with('=') {
            Form::AsItStands
        } else {
            Form::Stem
        };
        let text = text.trim_end_matches('*').trim_start_matches('=');
        let stems: Vec<String> = match form {
            Form::Stem => sentences(text).into_iter().flat_map(|s| s.words).map(|w| w.stem).collect(),
            Form::Beginning | Form::AsItStands => vec![text.to_lowercase()],
        };
        (!stems.is_empty() && !text.is_empty()).then_some(Self { stems, form })
    }

    fn at(&self, words: &[Word], i: usize) -> Option<Vec<usize>> {
        let within = words.get(i..i + self.stems.len())?;
        let fits = self.stems.iter().zip(within).all(|(want, word)| match self.form {
            Form::Stem => &word.stem == want || self.stems.len() == 1 && word.also.contains(want),
            Form::Beginning => word.lower.starts_with(want.as_str()),
            Form::AsItStands => &word.lower == want,
        });
        fits.then(|| (i..i + self.stems.len()).collect())
    }
}

fn split_outside_quotes(text: &str, is_break: impl Fn(char) -> bool) -> Vec<String> {
    let mut parts = vec![String::new()];
    let mut quoted = false;
    for c in text.chars() {
        if c == '"' {
            quoted = !quoted;
        }
        if !quoted && is_break(c) {
            parts.push(String::new());
        } else if let Some(last) = parts.last_mut() {
            last.push(c);
        }
    }
    parts.retain(|p| !p.trim().is_empty());
    parts
}

/// Stems of the words of a short text that carry meaning.
pub fn content_stems(text: &str) -> Vec<String> {
    let mut stems: Vec<String> = sentences(text)
        .into_iter()
        .flat_map(|s| s.words)
        .filter(|w| !super::words::is_stop_word(&w.lower))
        .map(|w| stem(&w.lower))
        .collect();
    stems.dedup();
    stems
}

#[cfg(test)]
mod tests {
    use super::*;

    fn matches(pattern: &str, text: &str) -> bool {
        sentences(text).iter().any(|s| !Pattern::compile(pattern).find(s, GAP).is_empty())
    }

    #[test]
    fn words_match_in_any_order_by_stem() {
        assert!(matches("turf lift|peel|roll", "It peels right off, the turf"));
        assert!(matches("lift carpet", "The grass lifts up like a carpet"));
        assert!(matches("bird peck|dig", "Starlings are pecking at it every morning"));
    }

    #[test]
    fn a_run_in_quotes_must_stand_as_written() {
        assert!(matches("\"dog vomit\"", "It looks like dog vomit"));
        assert!(!matches("\"dog vomit\"", "The dog ate it and had a vomit"));
        assert!(matches("\"rolls up\"|peels turf", "the turf rolls up"));
    }

    #[test]
    fn words_far_apart_or_over_a_but_do_not_combine() {
        assert!(!matches("brown edge", "It is brown all the way from the old gate to the far and sunny edge"));
        assert!(!matches("turf brown", "The turf is fine, but the hedge is brown"));
    }
}
