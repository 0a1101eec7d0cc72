//! The general reader: who it befell, what happened and where, added up over neighbouring sentences.
//!
//! A scene has parts that must all be told, each by the weightiest of its cues, within three sentences; further cues add to the sum or take from
//! it. From `now` on the sum calls for help; from `perhaps` on it asks to keep clear until somebody has looked.

use super::DangerKind;
use super::calm::{likened, past_and_over, plainly_denied, supposed};
use super::lists::with_lists;
use super::rule::{Keyed, Span, joined, one_clause, stems_of};
use super::scenes::scenes;
use crate::letter::words::Sentence;
use std::collections::HashSet;
use std::sync::LazyLock;

/// Words, in the pattern language, and what they weigh.
pub(super) type Cue = (f64, &'static str);

/// One kind of scene.
pub(super) struct Scene {
    pub(super) kind: DangerKind,
    /// All must be told; of each the weightiest cue counts.
    pub(super) parts: &'static [&'static [Cue]],
    /// May be told: each adds to the sum, or takes from it.
    pub(super) further: &'static [Cue],
    /// From here on: get help now.
    pub(super) now: f64,
    /// From here on: keep clear until somebody has looked.
    pub(super) perhaps: f64,
}

/// What the scenes find.
pub(super) struct Seen {
    pub(super) now: Vec<(DangerKind, Span)>,
    pub(super) perhaps: Vec<(DangerKind, Span)>,
}

/// How many sentences a scene may take.
const SENTENCES: usize = 3;
/// What each further sentence takes from the sum: what stands together belongs together.
const APART: f64 = 0.25;
/// Words that may stand between two words of a cue.
const GAP: usize = 8;
/// The same where two sentences are read as one.
const GAP_OF_TWO: usize = 16;

struct Compiled {
    kind: DangerKind,
    parts: Vec<Vec<(f64, Keyed)>>,
    further: Vec<(f64, Keyed)>,
    now: f64,
    perhaps: f64,
}

static COMPILED: LazyLock<Vec<Compiled>> = LazyLock::new(|| {
    let compile = |cues: &[Cue]| cues.iter().map(|(weight, text)| (*weight, Keyed::of(&with_lists(text)))).collect::<Vec<_>>();
    scenes()
        .map(|s| Compiled {
            kind: s.kind,
            parts: s.parts.iter().map(|cues| compile(cues)).collect(),
            further: compile(s.further),
            now: s.now,
            perhaps: s.perhaps,
        })
        .collect()
});

/// A sentence, or two of which the second speaks of the first.
struct Told {
    sentence: Sentence,
    stems: HashSet<String>,
    gap: usize,
    /// Which sentence of the letter it ends with.
    at: usize,
}

/// What the scenes see in a letter's sentences.
pub(super) fn read(told: &[Sentence]) -> Seen {
    let told: Vec<Sentence> = told.iter().cloned().map(one_clause).collect();
    let mut all: Vec<Told> = Vec::new();
    for (at, sentence) in told.iter().enumerate() {
        all.push(Told::of(sentence.clone(), GAP, at));
        if at > 0 && speaks_of_the_last(sentence) {
            all.push(Told::of(joined(&told[at - 1], sentence), GAP_OF_TWO, at));
        }
    }
    let mut seen = Seen { now: Vec::new(), perhaps: Vec::new() };
    for scene in COMPILED.iter() {
        let over: Vec<bool> = (0..told.len()).map(|at| past_and_over(&told, at, scene.kind)).collect();
        let best = (0..told.len()).filter_map(|first| scene.weigh(&all, &over, first)).max_by(|a, b| a.0.total_cmp(&b.0));
        match best {
            Some((sum, span)) if sum >= scene.now => seen.now.push((scene.kind, span)),
            Some((sum, span)) if sum >= scene.perhaps => seen.perhaps.push((scene.kind, span)),
            _ => {}
        }
    }
    seen
}

/// True where one of the first words stands for something told before.
fn speaks_of_the_last(sentence: &Sentence) -> bool {
    const FIRST_WORDS: usize = 4;
    const STANDS_FOR: &[&str] = &[
        "it", "its", "he", "his", "him", "she", "her", "they", "their", "them", "one", "some", "both", "half", "this", "that", "these",
        "another", "part", "there",
    ];
    sentence.words.iter().take(FIRST_WORDS).any(|w| STANDS_FOR.contains(&w.lower.as_str()))
}

impl Told {
    fn of(sentence: Sentence, gap: usize, at: usize) -> Self {
        let stems = stems_of(&sentence).into_iter().map(str::to_owned).collect();
        Self { sentence, stems, gap, at }
    }
}

/// A cue that was told.
#[derive(Clone, Copy)]
struct Match {
    weight: f64,
    at: usize,
    span: Span,
}

impl Compiled {
    /// The sum over the sentences from `first` on, and the words that weigh most; none where a part is missing.
    fn weigh(&self, all: &[Told], over: &[bool], first: usize) -> Option<(f64, Span)> {
        let window: Vec<&Told> = all.iter().filter(|t| (first..first + SENTENCES).contains(&t.at) && !over[t.at]).collect();
        let mut used: Vec<Match> = Vec::new();
        for part in &self.parts {
            let told = part.iter().filter_map(|(weight, cue)| self.told(&window, cue, *weight, first)).max_by(|a, b| {
                let worth = |m: &Match| m.weight - APART * (m.at - first) as f64;
                worth(a).total_cmp(&worth(b))
            })?;
            used.push(told);
        }
        let last = used.iter().map(|m| m.at).max().unwrap_or(first);
        let further: f64 = self
            .further
            .iter()
            .filter(|(weight, cue)| {
                let near = window.iter().filter(|t| *weight < 0.0 || t.at <= last + 1).copied().collect::<Vec<_>>();
                self.told(&near, cue, *weight, first).is_some()
            })
            .map(|(weight, _)| weight)
            .sum();
        let sum = used.iter().map(|m| m.weight).sum::<f64>() + further - APART * (last - first) as f64;
        let most = used.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))?;
        Some((sum, most.span))
    }

    /// The first place where a cue is told, and not denied, supposed or likened.
    fn told(&self, window: &[&Told], cue: &Keyed, weight: f64, first: usize) -> Option<Match> {
        window.iter().find_map(|t| {
            // Two sentences read as one must both lie in the window.
            let whole = t.gap == GAP || t.at > first;
            let stems: HashSet<&str> = t.stems.iter().map(String::as_str).collect();
            let s = &t.sentence;
            let hit = whole
                .then(|| cue.find(s, &stems, t.gap))?
                .into_iter()
                .find(|hit| weight < 0.0 || !(plainly_denied(s, hit) || supposed(s, hit) || likened(s, hit, self.kind)))?;
            Some(Match { weight, at: t.at, span: (s.words[hit.first()].start, s.words[hit.last()].end) })
        })
    }
}
