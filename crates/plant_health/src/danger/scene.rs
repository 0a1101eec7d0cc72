//! The general reader: who it befell, what happened and where, added up over neighbouring sentences.
//!
//! A scene has parts that must all be told, each by the weightiest of its cues, within three sentences; further cues add to the sum or take from
//! it. From `now` on the sum calls for help; from `perhaps` on it asks to keep clear until somebody has looked.

use super::DangerKind;
use super::calm::{likened, past_and_over, plainly_denied, supposed};
use super::lists::with_lists;
use super::rule::{Keyed, Span, joined, one_clause, stems_of};
use super::scenes::scenes;
use crate::letter::pattern::Hit;
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
const GAP_OF_TWO: usize = 30;

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
struct Told<'a> {
    sentence: &'a Sentence,
    stems: HashSet<&'a str>,
    gap: usize,
    /// Which sentences of the letter it holds.
    from: usize,
    at: usize,
}

/// What the scenes see in a letter's sentences.
pub(super) fn read(told: &[Sentence]) -> Seen {
    let told: Vec<Sentence> = told.iter().cloned().map(one_clause).collect();
    let pairs: Vec<(usize, Sentence)> =
        (1..told.len()).filter(|at| speaks_of_the_last(&told[*at])).map(|at| (at, joined(&told[at - 1], &told[at]))).collect();
    let single = told.iter().enumerate().map(|(at, s)| Told { sentence: s, stems: stems_of(s), gap: GAP, from: at, at });
    let double = pairs.iter().map(|(at, s)| Told { sentence: s, stems: stems_of(s), gap: GAP_OF_TWO, from: at - 1, at: *at });
    let mut all: Vec<Told<'_>> = single.chain(double).collect();
    all.sort_by_key(|t| (t.at, t.gap));
    let mut seen = Seen { now: Vec::new(), perhaps: Vec::new() };
    for scene in COMPILED.iter() {
        match scene.weigh(&told, &all) {
            Some((sum, span)) if sum >= scene.now => seen.now.push((scene.kind, span)),
            Some((sum, span)) if sum >= scene.perhaps => seen.perhaps.push((scene.kind, span)),
            _ => {}
        }
    }
    seen
}

/// True where one of the first words stands for something told before.
fn speaks_of_the_last(sentence: &Sentence) -> bool {
    const FIRST_WORDS: usize = 6;
    const STANDS_FOR: &[&str] = &[
        "it", "its", "he", "his", "him", "she", "her", "they", "their", "them", "one", "some", "both", "half", "this", "that", "these",
        "another", "part", "there", "ours", "mine", "each",
    ];
    sentence.words.iter().take(FIRST_WORDS).any(|w| STANDS_FOR.contains(&w.lower.as_str()))
}

/// A cue that was told, and in which sentences.
#[derive(Clone, Copy)]
struct Match {
    weight: f64,
    from: usize,
    at: usize,
    span: Span,
}

impl Compiled {
    /// The greatest sum over three sentences of the letter, and the words that weigh most in it; none where a part is missing.
    fn weigh(&self, told: &[Sentence], all: &[Told<'_>]) -> Option<(f64, Span)> {
        let mut parts: Vec<Vec<Match>> = Vec::new();
        for part in &self.parts {
            let matches: Vec<Match> = part.iter().flat_map(|(weight, cue)| self.matches(all, cue, *weight)).collect();
            if matches.is_empty() {
                return None;
            }
            parts.push(matches);
        }
        let over: Vec<bool> = (0..told.len()).map(|at| past_and_over(told, at, self.kind)).collect();
        let live = |m: &Match| !over[m.at] && !over[m.from];
        parts.iter_mut().for_each(|part| part.retain(live));
        let further: Vec<Vec<Match>> =
            self.further.iter().map(|(weight, cue)| self.matches(all, cue, *weight).into_iter().filter(live).collect()).collect();
        (0..told.len()).filter_map(|first| sum_from(first, &parts, &further)).max_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Where a cue is told, and not denied, supposed or likened.
    fn matches(&self, all: &[Told<'_>], cue: &Keyed, weight: f64) -> Vec<Match> {
        all.iter()
            .filter_map(|t| {
                let s = t.sentence;
                let hit = cue.find(s, &t.stems, t.gap).into_iter().find(|hit| {
                    weight < 0.0 || mere_thing(hit, weight) || !(plainly_denied(s, hit) || supposed(s, hit) || likened(s, hit, self.kind))
                })?;
                Some(Match { weight, from: t.from, at: t.at, span: (s.words[hit.first()].start, s.words[hit.last()].end) })
            })
            .collect()
    }
}

/// `The dog will not go near the lamp post` leaves the lamp post where it is: only what happened can be denied.
fn mere_thing(hit: &Hit, weight: f64) -> bool {
    const MOST: f64 = 1.3;
    hit.used.len() == 1 && weight < MOST
}

/// The sum over three sentences from `first` on.
fn sum_from(first: usize, parts: &[Vec<Match>], further: &[Vec<Match>]) -> Option<(f64, Span)> {
    let within = |m: &&Match| m.from >= first && m.at < first + SENTENCES;
    let worth = |m: &Match| m.weight - APART * (m.at - first) as f64;
    let used: Vec<&Match> =
        parts.iter().map(|part| part.iter().filter(within).max_by(|a, b| worth(a).total_cmp(&worth(b)))).collect::<Option<Vec<_>>>()?;
    let last = used.iter().map(|m| m.at).max().unwrap_or(first);
    let more: f64 =
        further.iter().filter_map(|cue| cue.iter().filter(within).find(|m| m.weight < 0.0 || m.at <= last + 1)).map(|m| m.weight).sum();
    let sum = used.iter().map(|m| m.weight).sum::<f64>() + more - APART * (last - first) as f64;
    let most = used.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))?;
    Some((sum, most.span))
}
