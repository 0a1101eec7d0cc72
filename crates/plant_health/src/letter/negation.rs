//! What a sentence claims of a finding: said, denied, doubted, asked, hearsay or long past.

use super::pattern::Hit;
use super::words::{Sentence, Word};
use serde::{Deserialize, Serialize};

/// Whether a finding is there, as told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Presence {
    /// It is there.
    Yes,
    /// It is not there.
    No,
    /// The writer is not sure, asks, or has it from somebody else.
    Doubtful,
    /// Asked about and not known.
    Unknown,
}

/// A claim and how firmly it is made, 0–1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Claim {
    /// There or not.
    pub presence: Presence,
    /// 1 for a plain statement, less for doubt.
    pub strength: f64,
}

/// Words that deny what follows them, with the number of words that their denial reaches.
const DENIERS: &[(&str, usize)] = &[
    ("not", 8),
    ("no", 6),
    ("never", 8),
    ("without", 6),
    ("none", 8),
    ("neither", 6),
    ("nor", 6),
    ("nothing", 6),
    ("nobody", 6),
    ("lack", 3),
    ("lacks", 3),
    ("hardly", 5),
    ("barely", 5),
    ("scarcely", 5),
    ("rarely", 5),
    ("seldom", 5),
    ("zero", 3),
    ("stopped", 3),
    ("quit", 3),
    ("ceased", 3),
    ("absence", 4),
    ("missing", 2),
    ("ruled", 4),
];

/// What follows a denier so that it denies nothing of the finding: (denier, words of which one follows, within so many words).
const TRAPS: &[(&str, &[&str], usize)] = &[
    ("not", &["only", "just", "merely", "surprising", "surprised", "uncommon", "unusual", "until", "till", "long", "far"], 1),
    (
        "not",
        &[
            "mention",
            "help",
            "stop",
            "want",
            "mind",
            "care",
            "wait",
            "believe",
            "imagine",
            "afford",
            "bear",
            "stand",
            "remember",
            "know",
            "understand",
            "figure",
            "keep",
            "get",
            "sure",
            "certain",
            "tell",
            "explain",
            "control",
        ],
        3,
    ),
    ("not", &["away"], 3),
    ("not", &["more", "less", "fewer"], 2),
    (
        "no",
        &[
            "doubt",
            "wonder",
            "question",
            "matter",
            "idea",
            "sooner",
            "less",
            "fewer",
            "time",
            "luck",
            "good",
            "use",
            "avail",
            "thanks",
            "thank",
            "other",
            "room",
            "clue",
            "explanation",
            "reason",
            "joke",
            "expert",
            "gardener",
            "problem",
        ],
        1,
    ),
    ("nothing", &["but", "else", "works", "worked", "helps", "helped", "like"], 1),
    ("never", &["mind", "ends", "stops", "goes"], 1),
    ("never", &["so", "such", "this", "that", "these"], 3),
    ("not", &["so", "such", "anything"], 2),
    ("without", &["success", "luck", "fail", "doubt", "warning"], 1),
    ("without", &["mask", "gloves", "goggles", "protection", "respirator", "overalls", "looking", "thinking", "asking", "reading"], 3),
    ("none", &["wiser"], 2),
];

/// Words that end the reach of a denial.
const REACH_ENDS: &[&str] = &["because", "so", "while", "when", "where", "which", "since", "after", "before", "as", "unless", "though"];

/// Words that show a new statement after `and` or a comma.
const STATEMENT_STARTS: &[&str] = &[
    "is", "are", "was", "were", "has", "have", "had", "it", "they", "i", "we", "there", "he", "she", "the", "this", "these", "those",
    "some", "now", "then", "also", "my", "our", "you", "just", "only", "still",
];

/// Doubt, and what is left of a claim under it.
const DOUBTS: &[(&[&str], f64)] = &[
    (&["not", "sure"], 0.35),
    (&["not", "certain"], 0.35),
    (&["unsure"], 0.35),
    (&["maybe"], 0.45),
    (&["perhaps"], 0.45),
    (&["possibly"], 0.45),
    (&["might"], 0.45),
    (&["may", "be"], 0.45),
    (&["may", "have"], 0.45),
    (&["could", "be"], 0.4),
    (&["could", "it", "be"], 0.3),
    (&["could", "this", "be"], 0.3),
    (&["wonder"], 0.3),
    (&["wondering"], 0.3),
    (&["whether"], 0.3),
    (&["suspect"], 0.5),
    (&["suspecting"], 0.5),
    (&["guess"], 0.5),
    (&["guessing"], 0.5),
    (&["i", "think"], 0.7),
    (&["we", "think"], 0.7),
    (&["think", "it"], 0.6),
    (&["i", "thought"], 0.35),
    (&["we", "thought"], 0.35),
    (&["thought", "it"], 0.35),
    (&["thought", "of"], 0.35),
    (&["probably"], 0.7),
    (&["know", "if"], 0.3),
    (&["tell", "if"], 0.3),
    (&["see", "if"], 0.3),
    (&["afraid"], 0.5),
    (&["worried"], 0.5),
    (&["worry"], 0.5),
    (&["apparently"], 0.6),
    (&["supposedly"], 0.4),
    (&["neighbor", "says"], 0.3),
    (&["neighbour", "says"], 0.3),
    (&["says", "it"], 0.35),
    (&["said", "it"], 0.35),
    (&["told", "me"], 0.4),
    (&["told", "us"], 0.4),
    (&["were", "told"], 0.35),
    (&["was", "told"], 0.35),
    (&["read", "that"], 0.4),
    (&["somebody", "said"], 0.35),
    (&["everyone", "says"], 0.35),
    (&["thinks"], 0.4),
    (&["neighbor", "insists"], 0.3),
    (&["neighbour", "insists"], 0.3),
    (&["insists"], 0.35),
    (&["swears"], 0.35),
    (&["reckons"], 0.35),
    (&["claims"], 0.35),
    (&["blames"], 0.35),
    (&["blamed"], 0.35),
    (&["neighbor", "thinks"], 0.3),
    (&["neighbour", "thinks"], 0.3),
    (&["neighbor", "has"], 0.3),
    (&["neighbour", "has"], 0.3),
    (&["neighbors", "have"], 0.3),
    (&["neighbours", "have"], 0.3),
    (&["on", "the", "internet"], 0.3),
    (&["afraid", "of"], 0.4),
    (&["in", "case"], 0.2),
    (&["to", "prevent"], 0.2),
];

/// Words after a match that make it the name of a remedy, not a finding.
const REMEDY_WORDS: &[&str] = &[
    "killer",
    "control",
    "treatment",
    "treatments",
    "preventer",
    "preventative",
    "preventive",
    "spray",
    "product",
    "granules",
    "killing",
    "cure",
    "medicine",
    "eater",
    "remover",
    "ex",
];

/// Words that open a question which is answered by yes or no.
const YES_NO_OPENERS: &[&str] =
    &["is", "are", "could", "can", "do", "does", "did", "should", "would", "will", "has", "have", "might", "am", "any"];

/// What the sentence claims of the words of a hit; `None` where the words name a remedy (`grub control`).
pub fn claim(sentence: &Sentence, hit: &Hit) -> Option<Claim> {
    let words = &sentence.words;
    if words.get(hit.last() + 1).is_some_and(|w| REMEDY_WORDS.contains(&w.lower.as_str()) && !w.after_comma) {
        return None;
    }
    if colour_of_a_thing(words, hit) {
        return None;
    }
    let denied = denial(words, hit).or_else(|| none_found(sentence, hit));
    let refuted = none_found(sentence, hit).is_some();
    let mut strength =
        if refuted { 1.0 } else { doubt(words, hit) }.min(question(sentence, hit)).min(past(words, hit)).min(remedy_for(words, hit));
    if denied.is_some_and(|d| d < 1.0) {
        strength = strength.min(0.6);
    }
    let presence = match (denied.is_some(), strength) {
        (true, s) if s >= 0.5 => Presence::No,
        (true, _) => Presence::Doubtful,
        (false, s) if s >= 0.65 => Presence::Yes,
        (false, _) => Presence::Doubtful,
    };
    // A doubt about a denial says next to nothing either way.
    let strength = if denied.is_some() && presence == Presence::Doubtful { 0.05 } else { strength };
    Some(Claim { presence, strength })
}

/// `brown worms` are not something that turns brown: a colour alone that belongs to an animal, a
/// thread, a speck or an edge is no sign of its own.
fn colour_of_a_thing(words: &[Word], hit: &Hit) -> bool {
    const COLOURS: &[&str] = &["brown", "yellow", "white", "orange", "black"];
    const THINGS: &[&str] = &[
        "worm",
        "bug",
        "insect",
        "beetle",
        "moth",
        "larva",
        "caterpillar",
        "bump",
        "speck",
        "scale",
        "dot",
        "mite",
        "spider",
        "dust",
        "powder",
        "slime",
        "blob",
        "mushroom",
        "egg",
        "pellet",
        "thing",
        "bee",
        "wasp",
        "varnish",
        "band",
        "border",
        "edg",
        "edge",
        "margin",
        "outlin",
        "rim",
        "soot",
        "soil",
        "mulch",
        "seed",
        "flower",
        "bloom",
        "grub",
        "fly",
        "ant",
        "film",
        "stuff",
        "coat",
        "flag",
        "jacket",
        "lab",
        "dog",
        "foam",
        "millipede",
        "shell",
        "miller",
        "butterfly",
        "bird",
        "toad",
        "frog",
        "snake",
        "rabbit",
        "mouse",
        "vole",
        "snail",
        "slug",
        "cricket",
        "grasshopper",
        "hopper",
        "weevil",
        "aphid",
        "creature",
        "critter",
        "cotton",
        "fluff",
        "thread",
        "strand",
        "mycelium",
        "fungus",
        "web",
    ];
    colour_of_what_went_before(words, hit, COLOURS)
        || hit.used.iter().any(|at| {
            let clause = words[*at].clause;
            let next: Vec<(usize, &Word)> =
                words.iter().enumerate().skip(at + 1).take_while(|(_, w)| w.clause == clause && !w.after_comma).take(2).collect();
            // A pattern that asks for the thing too (`brown specks under the leaf`) is about the thing.
            let is_thing = |(i, w): &(usize, &Word)| THINGS.contains(&w.stem.as_str()) && !hit.used.contains(i);
            COLOURS.contains(&words[*at].stem.as_str())
                && (next.first().is_some_and(is_thing)
                    || next.get(1).is_some_and(is_thing)
                        && next.first().is_some_and(|(i, w)| !super::words::is_stop_word(&w.lower) && !hit.used.contains(i)))
        })
}

/// `moths, small and brown` and `the moths in the grass are brown`: a colour that follows an animal, and only words of likeness between, is the
/// animal's. What the animal did to something (`grubs turned it brown`) is not.
fn colour_of_what_went_before(words: &[Word], hit: &Hit, colours: &[&str]) -> bool {
    const ANIMALS: &[&str] = &[
        "moth",
        "miller",
        "butterfly",
        "bug",
        "insect",
        "beetle",
        "worm",
        "larva",
        "caterpillar",
        "spider",
        "mite",
        "bee",
        "wasp",
        "fly",
        "ant",
        "grub",
        "millipede",
        "slug",
        "snail",
        "bird",
        "creature",
        "critter",
        "hopper",
        "grasshopper",
        "cricket",
        "weevil",
        "aphid",
    ];
    const LIKENESS: &[&str] = &[
        "small", "tiny", "little", "big", "large", "dull", "pale", "light", "dark", "mottled", "plain", "soft", "fat", "thin", "fuzzy",
        "hairy", "brown", "grey", "gray", "tan", "buff", "white", "black", "yellow", "orange", "brownish", "greyish", "grayish", "and",
        "or", "all", "is", "are", "was", "were", "mostly", "very", "rather", "quite", "sort", "kind", "of", "a", "with", "colour", "color",
    ];
    const WHERE: &[&str] = &["in", "on", "over", "under", "around", "among", "at", "from"];
    const GROUND: &[&str] =
        &["grass", "lawn", "turf", "leaf", "leave", "leaves", "wall", "bush", "shrub", "plant", "hedge", "house", "door"];
    hit.used.iter().filter(|at| colours.contains(&words[**at].stem.as_str())).any(|at| {
        let clause = words[*at].clause;
        let mut before = words[..*at].iter().enumerate().rev().take_while(|(_, w)| w.clause == clause).take(9).peekable();
        let mut copula = false;
        while let Some((i, word)) = before.next() {
            copula |= matches!(word.lower.as_str(), "is" | "are" | "was" | "were");
            if ANIMALS.contains(&word.stem.as_str()) {
                return !hit.used.contains(&i);
            }
            // `the moths in the grass are brown`: a place told of the animal is stepped over.
            let place = copula && GROUND.contains(&word.lower.as_str());
            if place {
                while before.next_if(|(_, w)| matches!(w.lower.as_str(), "the" | "my" | "our")).is_some() {}
                if before.next_if(|(_, w)| WHERE.contains(&w.lower.as_str())).is_none() {
                    return false;
                }
            } else if !LIKENESS.contains(&word.lower.as_str()) {
                return false;
            }
        }
        false
    })
}

/// `told it is grubs but I found none`: a later clause that finds none of what was named.
fn none_found(sentence: &Sentence, hit: &Hit) -> Option<f64> {
    const FINDING: &[&str] = &["find", "found", "see", "saw", "seen", "notice", "noticed", "spot", "spotted", "is", "are", "were", "was"];
    let later = &sentence.words[hit.last() + 1..];
    let clause = sentence.words[hit.last()].clause;
    later
        .windows(2)
        .enumerate()
        .any(|(i, pair)| {
            let other_clause = pair[0].clause != clause;
            let ends = later.get(i + 2).is_none_or(|w| {
                w.after_comma
                    || w.clause != pair[1].clause
                    || matches!(w.lower.as_str(), "at" | "there" | "in" | "anywhere" | "when" | "so" | "and" | "yet" | "today")
            });
            let none = FINDING.contains(&pair[0].lower.as_str()) && matches!(pair[1].lower.as_str(), "none" | "nothing");
            let not_any = matches!(pair[0].stem.as_str(), "find" | "see" | "found" | "saw" | "notic")
                && pair[1].lower == "any"
                && later[..i].iter().rev().take(3).any(|w| matches!(w.lower.as_str(), "not" | "never"));
            other_clause && ends && (none || not_any)
        })
        .then_some(1.0)
}

/// `even when the mushrooms are not there`: a time or a case in which it is not there grants that it is there in others.
fn in_a_case(words: &[Word], hit: &Hit) -> bool {
    let first = hit.first();
    let clause = words[first].clause;
    words[first.saturating_sub(3)..first].iter().any(|w| w.clause == clause && matches!(w.lower.as_str(), "when" | "whenever" | "if"))
}

/// Firmness of a denial of the hit, if it is denied: 1 plain, 0.6 for `hardly` and its like.
fn denial(words: &[Word], hit: &Hit) -> Option<f64> {
    let clause = words[hit.first()].clause;
    if in_a_case(words, hit) {
        return None;
    }
    let until = words.iter().any(|w| w.clause == clause && matches!(w.lower.as_str(), "until" | "till"));
    let before_or_inside = (0..hit.last()).filter(|n| words[*n].clause == clause && !hit.used.contains(n)).filter_map(|n| {
        let (denier, reach) = DENIERS.iter().find(|(d, _)| *d == words[n].lower)?;
        // A denier inside the match denies the next word of it.
        let target = hit.used.iter().copied().find(|u| *u > n)?;
        let distance = target - n;
        let open = !is_trap(words, n, denier) && distance <= *reach && reaches(words, n, target, hit);
        let firmness = if matches!(*denier, "hardly" | "barely" | "scarcely" | "rarely" | "seldom") { 0.6 } else { 1.0 };
        (open && !(until && *denier == "not")).then_some(firmness)
    });
    before_or_inside
        .fold(None, |best: Option<f64>, d| Some(best.map_or(d, |b| b.max(d))))
        .or_else(|| free_of(words, hit))
        .or_else(|| denied_after(words, hit))
}

fn is_trap(words: &[Word], n: usize, denier: &str) -> bool {
    TRAPS
        .iter()
        .filter(|(d, ..)| *d == denier)
        .any(|(_, after, within)| words[n + 1..].iter().take(*within).any(|w| after.contains(&w.lower.as_str())))
}

/// True if nothing between the denier and the hit ends the denial.
fn reaches(words: &[Word], n: usize, first: usize, hit: &Hit) -> bool {
    let listed = words[n..].iter().take(first - n + 5).any(|w| matches!(w.lower.as_str(), "or" | "nor"));
    (n + 1..=first).all(|k| {
        let word = &words[k];
        let next_starts = words.get(k + 1).is_some_and(|w| STATEMENT_STARTS.contains(&w.lower.as_str()));
        let starts = STATEMENT_STARTS.contains(&word.lower.as_str());
        let comma_ends = word.after_comma && (!listed || starts);
        let and_ends = word.lower == "and" && k < first && next_starts;
        let time = matches!(word.lower.as_str(), "this" | "last" | "every" | "each")
            && words.get(k + 1).is_some_and(|w| {
                matches!(
                    w.stem.as_str(),
                    "summer" | "spring" | "fall" | "autumn" | "winter" | "year" | "week" | "month" | "morning" | "season" | "day"
                )
            });
        let word_ends = time || k < first && REACH_ENDS.contains(&word.lower.as_str()) && !hit.used.contains(&k);
        !(comma_ends || and_ends || word_ends)
    })
}

/// `free of webs`, `clear of webs`, `rid of`.
fn free_of(words: &[Word], hit: &Hit) -> Option<f64> {
    let first = hit.first();
    (0..first)
        .any(|n| {
            first - n <= 4
                && words[n + 1].lower == "of"
                && matches!(words[n].lower.as_str(), "free" | "clear" | "devoid")
                && words[n].clause == words[first].clause
        })
        .then_some(1.0)
}

/// `grubs: none`, `webs were not seen`, `mushrooms? no`.
fn denied_after(words: &[Word], hit: &Hit) -> Option<f64> {
    const SEEN: &[&str] = &["seen", "found", "there", "present", "visible", "noticed", "here", "apparent", "evident", "spotted"];
    let clause = words[hit.last()].clause;
    let tail: Vec<&str> = words[hit.last() + 1..].iter().take_while(|w| w.clause == clause).take(5).map(|w| w.lower.as_str()).collect();
    let plain = matches!(
        tail.as_slice(),
        ["none" | "no" | "absent" | "nowhere" | "negative"]
            | ["no" | "none", "seen" | "found" | "there"]
            | ["is" | "are" | "were" | "was", "absent" | "nowhere" | "none", ..]
    );
    // `spots, none bigger than a coin` grants the spots.
    let compared = words[hit.last() + 1..].iter().take(4).any(|w| matches!(w.lower.as_str(), "than" | "of"));
    let listed = !compared && words.get(hit.last() + 1).is_some_and(|w| w.after_comma && matches!(w.lower.as_str(), "none" | "absent"));
    let verb = tail
        .iter()
        .position(|w| matches!(*w, "not" | "never"))
        .is_some_and(|n| n <= 2 && tail[n + 1..].iter().take(2).any(|w| SEEN.contains(w)));
    (plain || listed || verb).then_some(1.0)
}

fn doubt(words: &[Word], hit: &Hit) -> f64 {
    let clause = words[hit.first()].clause;
    let near =
        |at: usize| words[at].clause == clause && (at < hit.first() && hit.first() - at <= 9 || at > hit.last() && at - hit.last() <= 4);
    DOUBTS
        .iter()
        .filter(|(cue, _)| {
            words.windows(cue.len()).enumerate().any(|(at, w)| {
                near(at) && !(cue[0] == "wonder" && at > 0 && words[at - 1].lower == "no") && w.iter().zip(*cue).all(|(w, c)| w.lower == *c) && !hit.used.contains(&at)
                    // Doubt about why, what or how takes the thing itself for granted.
                    && !words[at..hit.first().max(at)].iter().any(|w| matches!(w.lower.as_str(), "why" | "what" | "how"))
            })
        })
        .map(|(_, left)| *left)
        .fold(1.0, f64::min)
}

fn question(sentence: &Sentence, hit: &Hit) -> f64 {
    if !sentence.question {
        return 1.0;
    }
    let before = &sentence.words[..hit.first()];
    let given = before.iter().any(|w| {
        matches!(
            w.lower.as_str(),
            "why"
                | "what"
                | "how"
                | "where"
                | "when"
                | "which"
                | "with"
                | "about"
                | "ok"
                | "okay"
                | "normal"
                | "bad"
                | "fine"
                | "alright"
                | "problem"
                | "wrong"
                | "dangerous"
                | "harmful"
        )
    });
    let opens = sentence.words.first().is_some_and(|w| YES_NO_OPENERS.contains(&w.lower.as_str()));
    let asks = before.windows(2).any(|w| {
        matches!(
            (w[0].lower.as_str(), w[1].lower.as_str()),
            ("is" | "are" | "could" | "can" | "should" | "do" | "does", "it" | "this" | "these" | "they" | "i" | "we" | "that" | "there")
        )
    });
    let short = sentence.words.len() <= 5;
    if !given && (opens || asks || short) { 0.3 } else { 1.0 }
}

fn past(words: &[Word], hit: &Hit) -> f64 {
    const DEEDS: &[&str] =
        &["plant", "lay", "instal", "install", "seed", "build", "put", "sod", "transplant", "move", "add", "mulch", "reno", "construct"];
    let clause = words[hit.first()].clause;
    // Only what is told near the words of time is of that time.
    const NEAR: usize = 6;
    let (from, to) = (hit.first().saturating_sub(NEAR), (hit.last() + NEAR + 1).min(words.len()));
    let lowers: Vec<&str> = words[from..to].iter().filter(|w| w.clause == clause).map(|w| w.lower.as_str()).collect();
    let long_ago = lowers
        .windows(2)
        .any(|w| matches!(w, ["last", "year" | "season" | "summer"] | ["years" | "year", "ago"] | ["used", "to"] | ["previous", "year"]));
    let goes_on = lowers
        .iter()
        .any(|w| matches!(*w, "since" | "from" | "every" | "again" | "same" | "still" | "like" | "as" | "too" | "this" | "also"));
    let used_it = hit
        .used
        .iter()
        .any(|i| matches!(words[*i].lower.as_str(), "last" | "year" | "ago" | "years") || DEEDS.contains(&words[*i].stem.as_str()));
    if long_ago && !goes_on && !used_it { 0.3 } else { 1.0 }
}

/// `treated it for grubs` tells of a treatment, hardly of grubs.
fn remedy_for(words: &[Word], hit: &Hit) -> f64 {
    let first = hit.first();
    let for_it = first > 0 && matches!(words[first - 1].lower.as_str(), "for" | "against");
    let treated = words[first.saturating_sub(8)..first]
        .iter()
        .any(|w| matches!(w.stem.as_str(), "treat" | "spray" | "appli" | "apply" | "put" | "spread" | "granul" | "something"));
    if for_it && treated { 0.25 } else { 1.0 }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::letter::pattern::{GAP, Pattern};
    use crate::letter::words::sentences;

    fn told(pattern: &str, text: &str) -> Option<Presence> {
        let pattern = Pattern::compile(pattern);
        sentences(text).iter().find_map(|s| pattern.find(s, GAP).first().map(|h| claim(s, h).map(|c| c.presence)))?
    }

    #[test]
    fn denials_reach_what_they_deny() {
        for text in [
            "There are no grubs.",
            "I didn't see any grubs",
            "We never found grubs",
            "It is not grubs",
            "No webbing or grubs at all",
            "No webbing, spots, or grubs.",
            "I dug without finding grubs",
            "None of the flaps had grubs",
            "Grubs: none",
            "Grubs were not seen",
            "The soil is free of grubs",
            "It isn't grubs",
            "There weren't any grubs when I dug",
            "Neither moths nor grubs",
            "zero grubs",
            "I don't think it's grubs",
            "Haven't found a single grub",
            "I thought of grubs but I dug in three places and found none",
        ] {
            assert_eq!(told("grub", text), Some(Presence::No), "{text}");
        }
    }

    #[test]
    fn traps_do_not_deny() {
        for text in [
            "Not only grubs",
            "No doubt there are grubs",
            "I can't stop the grubs",
            "I have no idea why there are grubs",
            "No wonder there are grubs",
            "I do not know why I have grubs",
            "I've never seen so many grubs",
            "No watering this year and there are grubs",
            "We did not notice the grubs until July",
            "No rain, grubs everywhere",
            "It won't green up because of grubs",
            "I can't get rid of the grubs",
            "Nothing but grubs",
            "It does not rain but there are grubs",
            "Why are there grubs?",
            "It is green even when the grubs aren't there",
            "Is it normal that there are grubs?",
        ] {
            assert_eq!(told("grub", text), Some(Presence::Yes), "{text}");
        }
    }

    #[test]
    fn doubt_questions_and_hearsay_weaken() {
        for text in [
            "Maybe grubs",
            "I'm not sure whether it is grubs",
            "Could it be grubs?",
            "Do I have grubs?",
            "My neighbour says it's grubs",
            "It might be grubs",
            "We had grubs last year",
            "I wonder if there are grubs",
        ] {
            assert_eq!(told("grub", text), Some(Presence::Doubtful), "{text}");
        }
        assert_eq!(told("grub", "We put down grub control in May"), None);
    }

    #[test]
    fn a_denier_within_the_match_denies_it_and_one_of_the_pattern_does_not() {
        assert_eq!(told("turf lift", "The turf does not lift"), Some(Presence::No));
        assert_eq!(told("never water", "We never water"), Some(Presence::Yes));
        assert_eq!(told("not spread", "It isn't spreading"), Some(Presence::Yes));
    }
}
