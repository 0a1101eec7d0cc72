//! What a letter tells beside its findings: when, where, what was done, and conditions of weather and yard in the owner's own words.

use super::negation::{Presence, claim};
use super::number::{is_month, number_at};
use super::pattern::{GAP, Pattern};
use super::words::{Sentence, Word};
use groundlore_lore::trouble::Condition;
use serde::Serialize;
use std::sync::LazyLock;

/// Something the owner did, or says was not done.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Deed {
    /// What: `fed`, `watered`, …
    pub what: String,
    /// Exact words of the letter.
    pub phrase: String,
    /// False where the letter says it was not done.
    pub done: bool,
    /// How often, if told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub times: Option<f64>,
}

/// A condition in the owner's words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToldCondition {
    /// The condition.
    pub condition: Condition,
    /// Whether it holds.
    pub holds: bool,
    /// Exact words of the letter.
    pub phrase: String,
    /// First and last byte of those words.
    #[serde(skip)]
    pub span: (usize, usize),
}

/// Conditions and the words owners use for them.
const CONDITION_WORDS: &[(Condition, &[&str])] = &[
    (Condition::DrySpell, &["\"no rain\"", "drought", "dry spell|summer|month|week|weather", "\"hardly any rain\"", "has|have not rain"]),
    (Condition::WetSpell, &["wet spell|spring|summer|week|month|weather", "rain every|lot|constant|nonstop|week", "rainy"]),
    (Condition::Heat, &["heat wave|wave", "heatwave", "scorching|blazing|sweltering", "hot weather|spell|week|summer|day"]),
    (Condition::WarmNights, &["warm|muggy|humid|sticky night", "muggy"]),
    (Condition::CoolMild, &["cool weather|spring|week|damp|wet"]),
    (Condition::SnowLay, &["snow melt|lay|pile|cover|gone"]),
    (Condition::Shade, &["shade", "\"no sun\"", "little sun"]),
    (Condition::Irrigated, &["sprinkler|irrigation run|system|every|daily|week", "water it|lawn every|daily|regularly|week|day"]),
    (Condition::Unwatered, &["never|not water", "no irrigation|sprinkler|watering"]),
    (Condition::LatelyFed, &["fertilize|fertilizer|feed last|ago|just|week|recently|yesterday|day"]),
    (Condition::Hungry, &["never|not fertilize|fertilizer|feed", "no fertilizer"]),
    (Condition::DullBlades, &["dull|blunt blade", "not sharpen blade|mower", "blade never|not sharpen", "tear|ragged|shred blade|mower"]),
    (
        Condition::FootTraffic,
        &["kid|child|dog play|run|trample", "path|shortcut across|cut|worn", "walk|drive|park on|over grass|lawn", "heavy traffic|use"],
    ),
    (Condition::SaltedWay, &["salt road|driveway|sidewalk|walk|winter|ice|street", "plow|plough snow|road|street"]),
    (Condition::Dog, &["dog|puppy"]),
    (
        Condition::NewPlanting,
        &["plant|lay|laid|sod|seed new|last|fall|spring|year|recent", "new lawn|sod|tree|shrub|plant|house", "transplant"],
    ),
    (Condition::RingedTrunk, &["mulch|soil|block|brick pile|volcano|mound|against trunk|base|bark|stem", "mulch volcano"]),
];

static CONDITIONS: LazyLock<Vec<(Condition, Vec<Pattern>)>> =
    LazyLock::new(|| CONDITION_WORDS.iter().map(|(c, words)| (*c, words.iter().map(|w| Pattern::compile(w)).collect())).collect());

/// Conditions that the letter tells of, one each at most.
pub fn conditions(text: &str, sentences: &[Sentence]) -> Vec<ToldCondition> {
    let mut told = Vec::new();
    for (condition, patterns) in CONDITIONS.iter() {
        let first = sentences.iter().find_map(|s| {
            patterns.iter().find_map(|p| {
                p.find(s, GAP).into_iter().find_map(|hit| {
                    let claim = claim(s, &hit)?;
                    let span = (s.words[hit.first()].start, s.words[hit.last()].end);
                    matches!(claim.presence, Presence::Yes | Presence::No).then(|| ToldCondition {
                        condition: *condition,
                        holds: claim.presence == Presence::Yes,
                        phrase: slice(text, span),
                        span,
                    })
                })
            })
        });
        told.extend(first);
    }
    told
}

/// Words for deeds, by stem.
const DEEDS: &[(&[&str], &str)] = &[
    (&["feed", "fertiliz", "fertilize"], "fed"),
    (&["water", "irrigat"], "watered"),
    (&["spray"], "sprayed"),
    (&["mow"], "mowed"),
    (&["sharpen"], "sharpened the blades"),
    (&["seed", "overseed", "reseed"], "seeded"),
    (&["aerat"], "aerated"),
    (&["mulch"], "mulched"),
    (&["plant", "transplant"], "planted"),
    (&["prun", "trim", "shear"], "pruned"),
    (&["rak"], "raked"),
    (&["treat", "appli", "apply"], "treated"),
    (&["salt"], "salted"),
    (&["weed"], "weeded"),
    (&["lim"], "limed"),
    (&["dethatch", "scarify"], "dethatched"),
];

/// Deeds that the letter tells of: a first person before the verb, or `was`/`has been`.
pub fn deeds(text: &str, sentences: &[Sentence]) -> Vec<Deed> {
    let mut found: Vec<Deed> = Vec::new();
    for sentence in sentences.iter().filter(|s| !s.question) {
        for (i, word) in sentence.words.iter().enumerate() {
            let Some((_, what)) = DEEDS.iter().find(|(stems, _)| stems.contains(&word.stem.as_str())) else { continue };
            let before = &sentence.words[i.saturating_sub(4)..i];
            let by_someone = before
                .iter()
                .any(|w| matches!(w.lower.as_str(), "i" | "we" | "been" | "was" | "husband" | "wife" | "crew" | "guy" | "company"));
            let verbal =
                word.lower.ends_with("ed") || matches!(word.lower.as_str(), "fed" | "mow" | "water" | "feed" | "fertilize" | "spray");
            if by_someone && verbal {
                let denied = before.iter().any(|w| matches!(w.lower.as_str(), "not" | "never" | "without"));
                let first = i - before
                    .iter()
                    .rev()
                    .position(|w| matches!(w.lower.as_str(), "i" | "we" | "been" | "was" | "not" | "never"))
                    .map_or(0, |p| p + 1);
                let last = (i + 4).min(sentence.words.len() - 1);
                let times = (i..=last).find_map(|k| times_at(&sentence.words, k));
                let phrase =
                    slice(text, (sentence.words[first].start, sentence.words[if times.is_some() { last } else { (i + 1).min(last) }].end));
                found.push(Deed { what: (*what).to_owned(), phrase, done: !denied, times });
            }
        }
    }
    found
}

fn times_at(words: &[Word], i: usize) -> Option<f64> {
    match words[i].lower.as_str() {
        "once" => Some(1.0),
        "twice" => Some(2.0),
        _ => number_at(words, i).filter(|n| words.get(n.next).is_some_and(|w| w.lower == "times")).map(super::number::Number::middle),
    }
}

/// Words of time in a sentence, as they stand: `since June`, `for three weeks`, `last fall`, `after the dry spell`, `at dawn`.
pub fn when(text: &str, sentence: &Sentence) -> Option<String> {
    let words = &sentence.words;
    let unit = |w: Option<&Word>| {
        w.is_some_and(|w| {
            matches!(
                w.stem.as_str(),
                "day"
                    | "week"
                    | "month"
                    | "year"
                    | "hour"
                    | "night"
                    | "season"
                    | "summer"
                    | "fall"
                    | "autumn"
                    | "spring"
                    | "winter"
                    | "morning"
                    | "evening"
                    | "weekend"
            )
        })
    };
    for i in 0..words.len() {
        let end = match words[i].lower.as_str() {
            "since" | "until" | "after" | "before" | "during" if words.len() > i + 1 => Some(phrase_end(words, i, 4)),
            "last" | "this" | "every" | "next" | "each" if unit(words.get(i + 1)) => Some(i + 1),
            "for" | "about" if number_at(words, i + 1).is_some_and(|n| unit(words.get(n.next))) => number_at(words, i + 1).map(|n| n.next),
            "in" | "early" | "late" | "mid" if words.get(i + 1).is_some_and(|w| is_month(&w.lower)) => Some(i + 1),
            "in" if words.get(i + 1).is_some_and(|w| w.lower == "the") && unit(words.get(i + 2)) => Some(i + 2),
            "at" if words.get(i + 1).is_some_and(|w| matches!(w.lower.as_str(), "dawn" | "dusk" | "night" | "noon")) => Some(i + 1),
            _ => number_at(words, i)
                .filter(|n| unit(words.get(n.next)) && words.get(n.next + 1).is_some_and(|w| w.lower == "ago"))
                .map(|n| n.next + 1),
        };
        if let Some(end) = end {
            return Some(slice(text, (words[i].start, words[end.min(words.len() - 1)].end)));
        }
    }
    None
}

/// Whether a sentence dates something four years or more back (`planted fifteen years ago`), which is not lately.
pub fn years_back(sentence: &Sentence) -> bool {
    const LATELY_AT_MOST: f64 = 3.0;
    let words = &sentence.words;
    let years = |i: usize| {
        words.get(i).is_some_and(|w| w.stem == "year") && words.get(i + 1).is_some_and(|w| matches!(w.lower.as_str(), "ago" | "back"))
    };
    let old = |i: usize| words.get(i).is_some_and(|w| w.stem == "year") && words.get(i + 1).is_some_and(|w| w.lower == "old");
    (0..words.len()).any(|i| number_at(words, i).is_some_and(|n| n.low > LATELY_AT_MOST && (years(n.next) || old(n.next))))
        || words.windows(3).any(|w| matches!(w[0].lower.as_str(), "many" | "several") && w[1].stem == "year" && w[2].lower == "ago")
}

/// Whether what a finding calls `lately` was too long ago for it: blades and feeding are told in weeks, planting in years.
pub fn too_long_ago(finding: &str, sentence: &Sentence) -> bool {
    if !matches!(finding, "blades-sharpened-lately" | "fed-lately") {
        return finding.ends_with("-lately") && years_back(sentence);
    }
    let words = &sentence.words;
    let stem = |i: usize| words.get(i).map_or("", |w| w.stem.as_str());
    let ago = |i: usize| words.get(i).is_some_and(|w| matches!(w.lower.as_str(), "ago" | "back"));
    (0..words.len()).any(|i| match stem(i) {
        "year" | "season" => ago(i + 1) || i > 0 && words[i - 1].lower == "last",
        "month" => ago(i + 1) && i > 0 && words[i - 1].lower != "a" && words[i - 1].lower != "one",
        "ag" | "age" => words[i].lower == "ages" && ago(i + 1),
        _ => false,
    })
}

/// How long ago the answer to `when was it last done?` puts it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Since {
    /// Days or weeks.
    Lately,
    /// Seasons, years, or never.
    Long,
    /// It does not say.
    Untold,
}

/// Reads the answer to `when was it last done?`.
pub fn since(answer: &str) -> Since {
    let words: Vec<Word> = super::words::sentences(answer).into_iter().flat_map(|s| s.words).collect();
    let any = |list: &[&str]| words.iter().any(|w| list.contains(&w.stem.as_str()) || list.contains(&w.lower.as_str()));
    if any(&["never", "year", "years", "season", "ages", "decade", "long", "months"]) {
        return Since::Long;
    }
    if any(&[
        "day",
        "days",
        "week",
        "weeks",
        "yesterday",
        "today",
        "morning",
        "just",
        "recently",
        "lately",
        "fresh",
        "new",
        "hour",
        "hours",
    ]) {
        return Since::Lately;
    }
    Since::Untold
}

/// Words of place in a sentence, as they stand: `under the maple`, `along the drive`.
pub fn where_told(text: &str, sentence: &Sentence) -> Option<String> {
    const PREPOSITIONS: &[&str] = &[
        "under",
        "underneath",
        "beneath",
        "along",
        "alongside",
        "near",
        "beside",
        "by",
        "next",
        "around",
        "between",
        "behind",
        "below",
        "against",
        "throughout",
    ];
    let words = &sentence.words;
    (0..words.len().saturating_sub(1)).find_map(|i| {
        let lower = words[i].lower.as_str();
        let second = words[i + 1].lower.as_str();
        let starts = PREPOSITIONS.contains(&lower) && matches!(second, "the" | "my" | "our" | "a" | "to" | "all" | "both" | "some")
            || matches!((lower, second), ("in", "front" | "full") | ("at", "the") | ("on", "the"));
        starts.then(|| phrase_end(words, i, 5)).filter(|end| *end > i + 1).map(|end| slice(text, (words[i].start, words[end].end)))
    })
}

/// Last word of a phrase that starts at `i`: to the clause's end, a comma, a verb or so many words.
fn phrase_end(words: &[Word], i: usize, most: usize) -> usize {
    const ENDS: &[&str] = &[
        "is", "are", "was", "were", "has", "have", "and", "it", "they", "i", "we", "that", "which", "where", "but", "looks", "look",
        "there", "with", "when", "seems", "turned", "started", "under", "along", "near", "in", "on", "by", "at",
    ];
    let mut end = i;
    for (k, word) in words.iter().enumerate().skip(i + 1).take(most) {
        if word.clause != words[i].clause || word.after_comma || (k > i + 1 && ENDS.contains(&word.lower.as_str())) {
            break;
        }
        end = k;
    }
    end
}

/// Bytes of the letter as text; nothing where the span does not fall on it.
pub fn slice(text: &str, span: (usize, usize)) -> String {
    text.get(span.0..span.1).unwrap_or_default().to_owned()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::letter::words::sentences;

    #[test]
    fn times_places_and_deeds_are_found() {
        let text = "It has been thin since June under the big maple. I fed it twice this spring. We never watered it.";
        let s = sentences(text);
        assert_eq!(when(text, &s[0]).unwrap(), "since June");
        assert_eq!(where_told(text, &s[0]).unwrap(), "under the big maple");
        let deeds = deeds(text, &s);
        assert_eq!(deeds.len(), 2);
        assert_eq!(deeds[0].times, Some(2.0));
        assert!(!deeds[1].done);
    }

    #[test]
    fn answers_to_when_tell_lately_or_long_ago() {
        assert_eq!(since("two years ago"), Since::Long);
        assert_eq!(since("not since last season"), Since::Long);
        assert_eq!(since("4 days ago"), Since::Lately);
        assert_eq!(since("May"), Since::Untold);
        let s = &sentences("The blades were sharpened two years ago")[0];
        assert!(too_long_ago("blades-sharpened-lately", s) && !too_long_ago("planted-lately", s));
    }

    #[test]
    fn conditions_are_told_with_their_denial() {
        let text = "We have no dog. It is in the shade of the garage. There has been no rain for weeks.";
        let told = conditions(text, &sentences(text));
        let of = |c| told.iter().find(|t| t.condition == c).map(|t| t.holds);
        assert_eq!(of(Condition::Dog), Some(false));
        assert_eq!(of(Condition::Shade), Some(true));
        assert_eq!(of(Condition::DrySpell), Some(true));
    }
}
