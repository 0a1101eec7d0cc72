//! One rule of phrases, and how it is tried on a sentence.

use super::DangerKind;
use super::calm::{likened, past_and_over, plainly_denied, supposed};
use super::lists::with_lists;
use super::phrases::rules;
use crate::letter::pattern::{Hit, Pattern};
use crate::letter::words::Sentence;
use std::collections::HashSet;
use std::sync::LazyLock;

/// One rule of the screen: any pattern fires it, where one of `with` (if any) stands in the same sentence and no exception does.
pub(super) struct Rule {
    pub(super) kind: DangerKind,
    /// Words that may stand between two words of a pattern.
    pub(super) gap: usize,
    pub(super) patterns: &'static [&'static str],
    pub(super) with: &'static [&'static str],
    pub(super) unless: &'static [&'static str],
}

/// Words between two words of a danger's pattern: wider than for findings, for in doubt the screen fires.
pub(super) const DANGER_GAP: usize = 8;

/// The same for the rules of the wide net, whose words are each telling by themselves.
pub(super) const WIDE_GAP: usize = 14;

struct Compiled {
    kind: DangerKind,
    gap: usize,
    patterns: Vec<Keyed>,
    with: Vec<Keyed>,
    unless: Vec<Keyed>,
}

/// A pattern with the stems of which one must stand in a sentence for it to match; without them it is always tried.
pub(super) struct Keyed {
    keys: Option<HashSet<String>>,
    pattern: Pattern,
}

impl Keyed {
    pub(super) fn of(text: &str) -> Self {
        let pattern = Pattern::compile(text);
        let keys = pattern.keys().map(|keys| keys.into_iter().map(str::to_owned).collect());
        Self { keys, pattern }
    }

    pub(super) fn find(&self, sentence: &Sentence, stems: &HashSet<&str>, gap: usize) -> Vec<Hit> {
        let may = self.keys.as_ref().is_none_or(|keys| stems.iter().any(|s| keys.contains(*s)));
        if may { self.pattern.find(sentence, gap) } else { Vec::new() }
    }
}

/// All stems of a sentence.
pub(super) fn stems_of(sentence: &Sentence) -> HashSet<&str> {
    sentence.words.iter().flat_map(|w| std::iter::once(&w.stem).chain(&w.also)).map(String::as_str).collect()
}

static COMPILED: LazyLock<Vec<Compiled>> = LazyLock::new(|| {
    let compile = |texts: &[&str]| texts.iter().map(|t| Keyed::of(&with_lists(t))).collect();
    rules()
        .map(|r| Compiled { kind: r.kind, gap: r.gap, patterns: compile(r.patterns), with: compile(r.with), unless: compile(r.unless) })
        .collect()
});

/// Span of a danger in the letter, first byte and byte after the last.
pub(super) type Span = (usize, usize);

/// What the phrases find in a letter's sentences.
pub(super) fn read(told: &[Sentence]) -> Vec<(DangerKind, Span)> {
    let told: Vec<Sentence> = told.iter().cloned().map(one_clause).collect();
    COMPILED
        .iter()
        .filter_map(|rule| {
            (0..told.len())
                .filter(|i| !past_and_over(&told, *i, rule.kind))
                .find_map(|i| fires(rule, &told[i]))
                .or_else(|| across_sentences(rule, &told))
                .map(|span| (rule.kind, span))
        })
        .collect()
}

/// In danger a `but` cuts nothing off.
pub(super) fn one_clause(mut sentence: Sentence) -> Sentence {
    sentence.words.iter_mut().for_each(|w| w.clause = 0);
    sentence
}

/// Two sentences read as one.
pub(super) fn joined(first: &Sentence, second: &Sentence) -> Sentence {
    let offset = first.words.last().map_or(0, |w| w.place + 1);
    let later = second.words.iter().cloned().map(|mut w| {
        w.place += offset;
        w
    });
    Sentence { start: first.start, end: second.end, words: first.words.iter().cloned().chain(later).collect(), question: false }
}

/// Span of the words that fire a rule in a sentence.
fn fires(rule: &Compiled, sentence: &Sentence) -> Option<Span> {
    let stems = stems_of(sentence);
    let stands = |patterns: &[Keyed]| patterns.iter().any(|p| !p.find(sentence, &stems, DANGER_GAP).is_empty());
    if !(rule.with.is_empty() || stands(&rule.with)) {
        return None;
    }
    let hit = rule
        .patterns
        .iter()
        .flat_map(|p| p.find(sentence, &stems, rule.gap))
        .find(|hit| !plainly_denied(sentence, hit) && !supposed(sentence, hit) && !likened(sentence, hit, rule.kind))?;
    // Exceptions are asked for last: hardly any sentence comes so far.
    if stands(&rule.unless) {
        return None;
    }
    Some((sentence.words[hit.first()].start, sentence.words[hit.last()].end))
}

/// `The dog found the slug pellets. He ate some.`: for things swallowed, and for illness after a chemical, two sentences are read as one.
fn across_sentences(rule: &Compiled, told: &[Sentence]) -> Option<Span> {
    let ill = rule.kind == DangerKind::IllAfterChemical && rule.gap == WIDE_GAP;
    if !ill && !matches!(rule.kind, DangerKind::SwallowedByPerson | DangerKind::SwallowedByAnimal) {
        return None;
    }
    (1..told.len()).filter(|i| !past_and_over(told, i - 1, rule.kind) && !past_and_over(told, *i, rule.kind)).find_map(|i| {
        let swallowed = |s: &Sentence| {
            s.words.iter().any(|w| matches!(w.lower.as_str(), "ate" | "eaten" | "swallowed" | "drank" | "chewed" | "licked" | "ingested"))
        };
        if !(ill || swallowed(&told[i - 1]) || swallowed(&told[i])) {
            return None;
        }
        fires(rule, &joined(&told[i - 1], &told[i]))
    })
}
