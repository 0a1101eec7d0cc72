//! What takes the danger out of words: denial, supposing, likeness, what is long over.

use super::DangerKind;
use super::rule::{Keyed, stems_of};
use crate::letter::negation::{Presence, claim};
use crate::letter::pattern::Hit;
use crate::letter::words::{Sentence, Word};
use std::sync::LazyLock;

/// A firm denial (`nobody was stung`); a doubtful one still counts as danger.
pub(super) fn plainly_denied(sentence: &Sentence, hit: &Hit) -> bool {
    claim(sentence, hit).is_some_and(|c| c.presence == Presence::No && c.strength >= 1.0)
        && !sentence.words.iter().any(|w| matches!(w.lower.as_str(), "breathe" | "breathing" | "stop" | "sure" | "but" | "yet"))
}

/// A worry about what might be eaten some day, told in the present or as a wish: no danger yet.
pub(super) fn supposed(sentence: &Sentence, hit: &Hit) -> bool {
    const EATING: &[&str] =
        &["eat", "eats", "swallow", "chew", "lick", "drink", "ingest", "taste", "munch", "get", "sting", "fall", "into"];
    const SUPPOSING: &[&str] = &[
        "if",
        "could",
        "would",
        "can",
        "safe",
        "worried",
        "worry",
        "afraid",
        "want",
        "before",
        "prevent",
        "should",
        "will",
        "avoid",
        "case",
        "so",
        "poisonous",
        "toxic",
        "ever",
    ];
    const DONE: &[&str] = &[
        "ate",
        "eaten",
        "swallowed",
        "chewed",
        "drank",
        "licked",
        "stung",
        "ingested",
        "may",
        "might",
        "fell",
        "fallen",
        "eating",
        "chewing",
        "licking",
        "drinking",
        "just",
        "vomiting",
    ];
    let used_present = hit.used.iter().any(|i| EATING.contains(&sentence.words[*i].lower.as_str()));
    let has = |list: &[&str]| sentence.words.iter().any(|w| list.contains(&w.lower.as_str()));
    let eats_or_stings = hit.used.iter().any(|i| {
        matches!(
            sentence.words[*i].stem.as_str(),
            "eat" | "swallow" | "chew" | "lick" | "drink" | "ingest" | "tast" | "munch" | "get" | "sting"
        )
    });
    eats_or_stings && used_present && has(SUPPOSING) && !has(DONE)
}

/// `A ridge wide as my hand`, `thicker than my thumb`, `the size of a salad plate`: a thing of daily life by which another is measured.
fn measured_by_it(words: &[Word], hit: &Hit) -> bool {
    const MEASURES: &[&str] =
        &["hand", "thumb", "finger", "arm", "fist", "palm", "foot", "head", "wrist", "leg", "knee", "nail", "shoulder"];
    hit.used.iter().any(|i| {
        let word = &words[*i];
        let plate = word.lower == "salad" && words.get(i + 1).is_some_and(|w| matches!(w.stem.as_str(), "plat" | "plate"));
        let of_whom = i.checked_sub(1).is_some_and(|k| matches!(words[k].lower.as_str(), "my" | "your" | "a" | "his" | "her" | "the"));
        let than = i.checked_sub(2).is_some_and(|k| matches!(words[k].lower.as_str(), "as" | "than"))
            || i.checked_sub(3).is_some_and(|k| words[k].lower == "size" && words[k + 1].lower == "of");
        let sized = word.lower == "towel" && words[i.saturating_sub(5)..*i].iter().any(|w| w.lower == "size");
        plate || sized || MEASURES.contains(&word.stem.as_str()) && of_whom && than
    })
}

/// `Clumps that throw up seed`, `bits of grass stuck on`: what a plant does. Never where a person or a pet stands in the sentence.
fn of_a_plant(words: &[Word], hit: &Hit) -> bool {
    const SOMEBODY: &[&str] = &[
        "he",
        "she",
        "him",
        "her",
        "his",
        "son",
        "daughter",
        "husband",
        "wife",
        "child",
        "children",
        "kid",
        "kids",
        "toddler",
        "baby",
        "boy",
        "girl",
        "dad",
        "mom",
        "mum",
        "father",
        "mother",
        "grandson",
        "granddaughter",
        "brother",
        "sister",
        "man",
        "woman",
        "worker",
        "dog",
        "cat",
        "puppy",
        "kitten",
        "finger",
        "fingers",
        "thumb",
        "toe",
        "toes",
    ];
    const THROWN: &[&str] = &["seed", "seedhead", "stalk", "shoot", "sucker", "flower", "mound", "spike"];
    const STUCK: &[&str] = &["grass", "bit", "bits", "leaf", "leaves", "soil", "seed", "seeds"];
    const PARTS: &[&str] = &["leaf", "leaves", "stem", "stalk", "flower", "petal", "bottom"];
    const COLOURS: &[&str] = &["brown", "yellow", "gray", "straw", "tan", "dull"];
    const CRAWLERS: &[&str] = &["them", "bugs", "ants", "beetles", "insects", "alive"];
    const PETS: &[&str] = &["tortoise", "dog", "cat", "puppy", "kitten", "pony", "horse", "rabbit", "goat", "hen", "beagle", "hamster"];
    let after = |i: usize, reach: usize| words[i + 1..].iter().take(reach);
    let before = |i: usize, reach: usize| words[i.saturating_sub(reach)..i].iter();
    // We have got a tortoise.
    let kept = |i: usize| after(i, 1).any(|w| w.lower == "a") && after(i, 3).any(|w| PETS.contains(&w.lower.as_str()));
    if hit.used.iter().any(|i| words[*i].lower == "got" && kept(*i)) {
        return true;
    }
    if words.iter().any(|w| SOMEBODY.contains(&w.lower.as_str())) {
        return false;
    }
    hit.used.iter().any(|i| match words[*i].lower.as_str() {
        "throw" | "throws" | "throwing" => after(*i, 4).any(|w| THROWN.contains(&w.stem.as_str())),
        "stuck" => before(*i, 2).any(|w| STUCK.contains(&w.lower.as_str())),
        "moving" => after(*i, 3).any(|w| CRAWLERS.contains(&w.lower.as_str())),
        // A leaf with its bottom cut off.
        "cut" => after(*i, 1).any(|w| w.lower == "off") && before(*i, 1).any(|w| PARTS.contains(&w.lower.as_str())),
        // A faint bloom.
        "faint" => before(*i, 1).any(|w| w.lower == "a"),
        "coal" => after(*i, 1).any(|w| matches!(w.lower.as_str(), "shed" | "bunker" | "bucket" | "scuttle" | "black")),
        "collapsed" => after(*i, 1).any(|w| w.lower == "to") && after(*i, 4).any(|w| COLOURS.contains(&w.stem.as_str())),
        _ => false,
    })
}

/// `It looked like the dog threw up`: what is only likened to a danger. A danger may be told by its looks too (`it looks like the tree is going to
/// fall`), so this holds for a few kinds.
pub(super) fn likened(sentence: &Sentence, hit: &Hit, kind: DangerKind) -> bool {
    let sick = |i: &usize| matches!(sentence.words[*i].stem.as_str(), "vomit" | "throw" | "sick" | "up");
    let may_be_likened = match kind {
        DangerKind::SwallowedByAnimal | DangerKind::SwallowedByPerson => hit.used.iter().any(sick),
        DangerKind::Fire | DangerKind::Injury => true,
        _ => false,
    };
    if measured_by_it(&sentence.words, hit) || of_a_plant(&sentence.words, hit) {
        return true;
    }
    const REACH: usize = 6;
    let before = &sentence.words[hit.first().saturating_sub(REACH)..hit.first()];
    let looks =
        |w: &str| matches!(w, "look" | "looks" | "looked" | "looking" | "resembles" | "seems" | "seemed" | "almost" | "kind" | "sort");
    // `As if someone took a hole punch to them`: nobody did.
    let told_by_looks = matches!(
        kind,
        DangerKind::TreeOrLimb
            | DangerKind::Wall
            | DangerKind::Gas
            | DangerKind::Wire
            | DangerKind::Ground
            | DangerKind::FuelVapour
            | DangerKind::PlantSap
    );
    // `He looks like he has a heart attack` is no likeness: somebody is there.
    const SOMEBODY: &[&str] =
        &["i", "he", "she", "we", "him", "her", "me", "us", "husband", "wife", "son", "daughter", "dad", "mom", "mother", "father"];
    let may_be_somebody = !matches!(kind, DangerKind::SwallowedByAnimal | DangerKind::Fire);
    if may_be_somebody && sentence.words.iter().any(|w| SOMEBODY.contains(&w.lower.as_str())) {
        return false;
    }
    let until = &sentence.words[hit.first().saturating_sub(REACH)..=hit.last()];
    let as_if = until.windows(3).any(|w| {
        w[0].lower == "as"
            && matches!(w[1].lower.as_str(), "if" | "though")
            && matches!(w[2].lower.as_str(), "someone" | "somebody" | "the" | "a" | "an" | "it" | "they")
    });
    if as_if && !told_by_looks {
        return true;
    }
    let thought =
        hit.used.iter().any(sick) && before.iter().any(|w| w.lower == "thought") && sentence.words.iter().any(|w| w.lower == "had");
    let like_one = hit.used.iter().any(sick)
        && sentence.words[..=hit.first()].windows(2).any(|w| w[0].lower == "like" && matches!(w[1].lower.as_str(), "a" | "the" | "dog"));
    may_be_likened && (thought || like_one) && kind == DangerKind::SwallowedByAnimal
        || may_be_likened
            && before.windows(2).any(|w| {
                let (first, second) = (w[0].lower.as_str(), w[1].lower.as_str());
                looks(first) && matches!(second, "like" | "as") || first == "as" && matches!(second, "if" | "though")
            })
}

/// Words that tell of an end, or of what others told.
struct Over {
    mended: Vec<Keyed>,
    long_ago: Vec<Keyed>,
    got_over: Vec<Keyed>,
    told_of: Vec<Keyed>,
}

static OVER: LazyLock<Over> = LazyLock::new(|| {
    let compile = |texts: &[&str]| texts.iter().map(|t| Keyed::of(t)).collect();
    Over {
        mended: compile(&[
            "=was|=were|=been|=got \"taken down\"|\"taken out\"|\"cut down\"|=removed|=repaired|=mended|=fixed|=felled|=rebuilt|\"made safe\"|\"put right\"|\"dealt with\"|\"cleared away\"|\"hauled away\"|=replaced|=capped|\"filled in\"|\"put out\"",
            "=had|=have it|them|the|that|those|one \"taken down\"|\"taken out\"|\"cut down\"|=removed|=repaired|=mended|=fixed|=felled|=rebuilt|=replaced|=capped|\"filled in\"",
            "company|crew|arborist|engineer|plumber|electrician|utility|men|people =removed|=repaired|=fixed|=mended|=replaced|\"took down\"|\"took it down\"|\"took away\"|\"took care\"|\"put out\"|\"made it safe\"",
            "\"tie back\"|\"ties back\"|\"long mended\"|\"long gone\"|\"all mended\"|\"all fixed\"|\"all repaired\"|\"taken care of\"|\"we had taken down\"|\"we had removed\"|\"took down\"",
            "arborist|engineer|inspector|utility|company|electrician|plumber =looked|=checked|=inspected|=tested|=says|=said|=say =sound|=safe|=fine|=ok|=okay|=twice|=harmless",
            "tree|limb|branch|oak|ash|pine|maple =was|=were|=been \"taken down\"|=removed|=felled",
        ]),
        long_ago: compile(&[
            "\"years ago\"|\"year ago\"|\"decades ago\"|\"long ago\"|\"as a child\"|\"as a kid\"|\"when i was\"|\"back then\"|\"years back\"|\"many years\"",
            "in 19*|200*|201*",
            "\"once ate\"|\"once had\"|\"once fell\"|\"once swallowed\"|\"once drank\"|\"once cut\"|\"once got\"|\"was once\"|\"once was\"|\"once stung\"|\"once broke\"|\"once chewed\"",
            "\"last year\"|\"last summer\"|\"last winter\"|\"last autumn\"|\"last spring\"|\"last season\"|\"last fall\"",
        ]),
        got_over: compile(&[
            "\"got over\"|=recovered|\"has healed\"|\"is healed\"|\"healed up\"|\"back to normal\"|\"all better\"|\"right as rain\"|\"cleared up\"|\"no harm done\"|\"none the worse\"|\"long over\"|\"well again\"",
            "=sore|=swelled|=swollen|=itched|=itchy|=hurt|=red|redness|lump|welt day|hour|hours|evening|morning =gone|=fine|=over|=better|=passed",
        ]),
        told_of: compile(&[
            "=i|=we|=ive =read|=heard that|about|of|how|where",
            "\"told me of\"|\"told us of\"|\"tells of\"|\"told me about\"|\"they say\"|\"people say\"|\"the paper\"|\"on the news\"|\"in the news\"|\"on tv\"|\"on the radio\"",
        ]),
    }
});

/// True where the sentence, or the next one that speaks of it, tells that it is mended, healed or long ago, or that it is only hearsay.
pub(super) fn past_and_over(told: &[Sentence], at: usize, kind: DangerKind) -> bool {
    const BACK: &[&str] = &["still", "again", "another", "worse", "today", "tonight", "yesterday", "tomorrow", "keeps", "just"];
    const OF_IT: &[&str] = &["it", "that", "this", "they", "he", "she", "we", "all", "there"];
    let sentence = &told[at];
    let next = told.get(at + 1).filter(|s| s.words.first().is_some_and(|w| OF_IT.contains(&w.lower.as_str())));
    let says = |patterns: &[Keyed], s: &Sentence| {
        let stems = stems_of(s);
        const NEAR: usize = 5;
        patterns.iter().any(|p| !p.find(s, &stems, NEAR).is_empty())
    };
    let here_or_next = |patterns: &[Keyed]| says(patterns, sentence) || next.is_some_and(|s| says(patterns, s));
    let back =
        |list: &[&str]| [Some(sentence), next].into_iter().flatten().flat_map(|s| &s.words).any(|w| list.contains(&w.lower.as_str()));
    let of_things = matches!(
        kind,
        DangerKind::TreeOrLimb
            | DangerKind::Wall
            | DangerKind::Ground
            | DangerKind::Gas
            | DangerKind::Wire
            | DangerKind::CableStruck
            | DangerKind::Fire
            | DangerKind::OpenWater
            | DangerKind::StingingNest
            | DangerKind::Spill
            | DangerKind::FuelVapour
            | DangerKind::ElectricShock
    );
    let over = if of_things {
        here_or_next(&OVER.mended) && !back(&["but"])
            || says(&OVER.long_ago, sentence) && next.is_some_and(|s| says(&OVER.mended, s))
            || kind == DangerKind::StingingNest && here_or_next(&OVER.got_over)
    } else {
        here_or_next(&OVER.got_over) || says(&OVER.long_ago, sentence) && !back(&["since", "now"])
    };
    let hearsay = matches!(kind, DangerKind::Fire | DangerKind::PlantSap | DangerKind::TickBite) || !of_things;
    over && !back(BACK) || hearsay && says(&OVER.told_of, sentence) && !back(BACK)
}

#[cfg(test)]
mod tests {
    use crate::danger::{DangerKind, screen};

    fn kinds(text: &str) -> Vec<DangerKind> {
        screen(text).into_iter().map(|d| d.kind).collect()
    }

    #[test]
    fn a_likeness_is_no_danger_unless_somebody_is_there() {
        for calm in ["It looks like the dog threw up on the mulch.", "The lawn looks as if someone set fire to it."] {
            assert!(kinds(calm).is_empty(), "{calm}: {:?}", kinds(calm));
        }
        for danger in ["He looks like he has a heart attack.", "It looks like the tree is going to fall on the house."] {
            assert!(!kinds(danger).is_empty(), "{danger}");
        }
    }

    #[test]
    fn what_is_mended_is_no_danger_until_it_is_told_to_be_back() {
        for calm in ["The gas leak by the road was repaired in April.", "The dead limb over the drive was taken down last month."] {
            assert!(kinds(calm).is_empty(), "{calm}: {:?}", kinds(calm));
        }
        for danger in [
            "The gas leak by the road was repaired in April, and now I smell gas again.",
            "The wall was repaired, but it is leaning over the sidewalk again.",
        ] {
            assert!(!kinds(danger).is_empty(), "{danger}");
        }
    }
}
