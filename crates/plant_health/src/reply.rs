//! The reply to the owner: plain, short and kind, with the odds in words and percent. It never recommends a pesticide.

use crate::danger::Danger;
use crate::diagnosis::{Cause, Diagnosis, SOMETHING_ELSE, density};
use crate::letter::advice::{ActionAdvice, AdviceClass, lower_first, percent};
use crate::letter::{Presence, Reading, Understood};
use crate::next_look::NextLook;
use groundlore_lore::Lore;
use groundlore_lore::finding::LookBy;
use groundlore_lore::trouble::ActionClass;

/// What a reply is written from.
#[derive(Debug, Clone, Copy)]
pub struct Matter<'a> {
    /// Lore, for the owner's words of each cause.
    pub lore: &'a Lore,
    /// What was understood.
    pub reading: &'a Reading,
    /// The causes.
    pub diagnosis: &'a Diagnosis,
    /// The advice.
    pub action: &'a ActionAdvice,
    /// The next look.
    pub next_look: &'a NextLook,
    /// Window of the stage in words, if the clock gave one.
    pub window: Option<&'a str>,
}

/// Words of likelihood for a probability.
pub fn odds_words(p: f64) -> &'static str {
    const WORDS: &[(f64, &str)] =
        &[(0.9, "almost surely"), (0.7, "very likely"), (0.5, "more likely than not"), (0.3, "possibly"), (0.1, "less likely")];
    WORDS.iter().find(|(least, _)| p >= *least).map_or("hardly", |(_, words)| words)
}

/// The reply where nobody is in danger.
pub fn write(matter: &Matter<'_>) -> String {
    let mut paragraphs = [
        "Dear owner,".to_owned(),
        told(&matter.reading.understood, MOST_TOLD),
        thought(matter),
        not_this(matter),
        next(matter),
        change_of_mind(matter),
        cautions(matter),
        "Please write again if we misread your letter, or if anything worries you.\n\nWith kind regards".to_owned(),
    ];
    // What it is not, and all the signs over again, are told only where there is room for them.
    let too_long = |all: &[String]| all.iter().map(|p| p.split_whitespace().count()).sum::<usize>() > MOST_WORDS;
    if too_long(&paragraphs) {
        paragraphs[WHAT_IT_IS_NOT].clear();
    }
    if too_long(&paragraphs) {
        paragraphs[WHAT_WAS_TOLD] = told(&matter.reading.understood, MOST_TOLD / 2);
    }
    paragraphs.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join("\n\n")
}

/// Words that an ordinary reply keeps to, about.
const MOST_WORDS: usize = 250;
/// Places of these paragraphs in the reply.
const WHAT_WAS_TOLD: usize = 1;
const WHAT_IT_IS_NOT: usize = 3;

/// The reply in danger: whom to call, what to keep clear of, what to do first; nothing of gardening.
pub fn write_danger(dangers: &[Danger]) -> String {
    let mut parts = vec!["Please get help now, before anything else in this letter.".to_owned()];
    for danger in dangers {
        parts.push(format!(
            "You wrote \"{}\": that sounds like {}.\nFirst: {}\nCall: {}.\nKeep clear: {}",
            danger.phrase,
            danger.what,
            danger.do_first,
            danger.whom_to_call.join("; "),
            danger.keep_clear
        ));
    }
    parts.push(
        "If we have misread you and nobody and nothing is at risk, tell us so and we will answer the rest of your letter at once."
            .to_owned(),
    );
    parts.join("\n\n")
}

/// What may be dangerous goes before the rest of a reply, right after the greeting.
pub fn keep_clear_first(reply: &str, perhaps: &[Danger]) -> String {
    let Some(danger) = perhaps.first() else { return reply.to_owned() };
    let first = format!(
        "One thing first. You wrote \"{}\": that may be {}. Please keep everybody clear until somebody who knows has looked ({}).",
        danger.phrase,
        danger.what,
        danger.whom_to_call.first().map_or("", |whom| whom)
    );
    match reply.split_once("\n\n") {
        Some((greeting, rest)) => format!("{greeting}\n\n{first}\n\n{rest}"),
        None => format!("{first}\n\n{reply}"),
    }
}

/// Verbs by which the name of a finding is known for a clause (`the soil is hard`); a name without one is a thing (`a white crust on soil`).
const VERBS: &[&str] = &[
    "is", "are", "was", "were", "has", "have", "lies", "lie", "stand", "stands", "sit", "sits", "fly", "run", "runs", "goes", "go", "grow",
    "grows", "lifts", "look", "looks", "come", "comes", "came", "show", "showed", "feels", "fall", "turn", "stick", "clings", "died",
    "crawl", "scrape", "wander", "began", "float", "crowd", "rear", "coil", "take", "hang", "leafs", "widens", "leans", "cross", "fades",
    "greens", "uses", "makes", "stay", "wipes", "says", "has",
];

/// A finding's name as a clause after `that`, told of what the owner saw or did not see.
fn clause(name: &str, seen: bool) -> String {
    let words: Vec<&str> = name.split([' ', ',']).collect();
    let verb = words.iter().position(|w| VERBS.contains(w));
    // A verb after `that` tells of the thing and makes no sentence.
    let is_clause = verb.is_some_and(|v| !words[..v].contains(&"that"));
    match (is_clause, name.strip_prefix("first seen"), seen) {
        (_, Some(when), true) => format!("it was first seen{when}"),
        (_, Some(when), false) => format!("it was not first seen{when}"),
        (true, None, true) => name.to_owned(),
        (true, None, false) => format!("it is not so that {name}"),
        (false, None, true) => format!("you noticed {name}"),
        (false, None, false) => format!("you did not notice {name}"),
    }
}

/// `a`, `a and b`, `a, b and c`.
fn joined(parts: &[String], word: &str) -> String {
    match parts {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} {word} {last}", first.join(", ")),
    }
}

/// Most signs that the reply repeats; of those not there or in doubt, half as many.
const MOST_TOLD: usize = 4;

fn told(understood: &[Understood], most: usize) -> String {
    if understood.is_empty() {
        return "Thank you for your letter. We could not make out from it what was seen, so please help us with one look.".to_owned();
    }
    let of = |wanted: Presence, most: usize, lead: &str, seen: bool| -> Vec<String> {
        let number = |u: &Understood| u.number.as_ref().map_or_else(String::new, |n| format!(" ({})", n.rounded(2)));
        let here = understood.iter().filter(|u| u.present == wanted);
        here.take(most).map(|u| format!("{lead} {}{}", clause(&u.name, seen), number(u))).collect()
    };
    let (yes, no) = (of(Presence::Yes, most, "that", true), of(Presence::No, most / 2, "that", false));
    let maybe = of(Presence::Doubtful, most / 2, "whether", true);
    let mut text = "Thank you for your letter.".to_owned();
    if !yes.is_empty() {
        text.push_str(&format!(" We understood from it {}.", joined(&yes, "and")));
    }
    if !no.is_empty() {
        text.push_str(&format!(" You also told us {}.", joined(&no, "and")));
    }
    if !maybe.is_empty() {
        text.push_str(&format!(" As we read it, you were not sure {}.", joined(&maybe, "or")));
    }
    text
}

fn real(causes: &[Cause]) -> impl Iterator<Item = &Cause> {
    causes.iter().filter(|c| c.key != SOMETHING_ELSE)
}

fn thought(matter: &Matter<'_>) -> String {
    let list = |causes: &[&Cause]| {
        let named: Vec<String> = causes.iter().map(|c| format!("{} ({})", lower_first(&c.name), percent(c.probability))).collect();
        joined(&named, "or")
    };
    let likely: Vec<&Cause> = real(&matter.diagnosis.causes).filter(|c| c.probability >= 0.1).take(3).collect();
    let (Some(top), false) = (likely.first(), matter.diagnosis.cannot_tell) else {
        let could = if likely.is_empty() || matter.diagnosis.findings_used == 0 {
            String::new()
        } else {
            format!(" It could be {}, but none of these stands out.", list(&likely))
        };
        return format!("We cannot tell yet what this is.{could} That is no bad news: one look will say more than any guess.");
    };
    let mut text = format!("We think this is {} {} ({}).", odds_words(top.probability), lower_first(&top.name), percent(top.probability));
    if likely.len() > 1 {
        text.push_str(&format!(" It could also be {}.", list(&likely[1..])));
    }
    if let Some(trouble) = matter.lore.troubles.get(&top.key) {
        text.push(' ');
        text.push_str(&without_pesticide(matter.lore, trouble.for_the_owner.trim()));
    }
    text
}

/// A cause for which the likeliest is often taken, and that what was told speaks against.
fn not_this(matter: &Matter<'_>) -> String {
    let top = real(&matter.diagnosis.causes).next().filter(|_| !matter.diagnosis.cannot_tell);
    let alike = |key: &str| {
        let trouble = top.and_then(|t| matter.lore.troubles.get(&t.key));
        trouble.is_some_and(|t| t.look_alikes.iter().any(|l| l.trouble == key))
    };
    let against = |c: &Cause| {
        let reason = c.because.first().filter(|r| r.weight < -1.0)?;
        let told = matter.reading.understood.iter().find(|u| u.finding == reason.finding)?;
        let seen = match told.present {
            Presence::Yes => true,
            Presence::No => false,
            Presence::Doubtful | Presence::Unknown => return None,
        };
        Some(format!("We hardly think it is {}, because {}.", lower_first(&c.name), clause(&told.name, seen)))
    };
    real(&matter.diagnosis.causes).filter(|c| c.probability < 0.05 && alike(&c.key)).find_map(against).unwrap_or_default()
}

/// What happens next, and what the owner need not do.
fn next(matter: &Matter<'_>) -> String {
    let aimed = matter.action.aimed_at.as_ref().and_then(|k| matter.lore.troubles.get(k));
    match matter.action.class {
        AdviceClass::GetHelpNow => String::new(),
        AdviceClass::Of(ActionClass::LeaveItAlone) => {
            "There is nothing you need to do, buy or spread: leave it alone and enjoy your garden.".to_owned()
        }
        AdviceClass::Of(ActionClass::Watch) => {
            "What happens next: for now we only watch, and look again when we next come by. Please do not spray or spread anything meanwhile."
                .to_owned()
        }
        AdviceClass::Of(ActionClass::ActNow) => {
            let count = aimed
                .filter(|t| matter.action.stage.is_some() && t.count.is_some() && density(t, &matter.reading.understood).is_none())
                .map_or("", |_| " First we will count, to see whether it is needed at all.");
            format!(
                "What happens next: this is worth seeing to soon, so we will plan the work and tell you the day.{count} Nothing needs to be bought or sprayed before then."
            )
        }
        AdviceClass::Of(ActionClass::ActAtAStage) => {
            let stage = matter.action.stage.as_deref().unwrap_or("the right stage");
            let window = matter.window.map(|w| format!(" ({w})")).unwrap_or_default();
            let count = aimed
                .filter(|t| t.count.is_some() && density(t, &matter.reading.understood).is_none())
                .map_or("", |_| " Before anything is bought or spread we will count, to see whether it is needed at all.");
            format!(
                "What happens next: the time to act is a certain stage: {}{window}. Earlier or later the work would be wasted, so we wait for it.{count}",
                lower_first(stage)
            )
        }
    }
}

/// The look that the owner can take meanwhile, or that we take, and what it would change.
fn change_of_mind(matter: &Matter<'_>) -> String {
    let look = matter.next_look;
    let nothing_to_settle = look.gain < 0.005 && look.bits < 0.05 || matter.action.class == AdviceClass::Of(ActionClass::LeaveItAlone);
    if nothing_to_settle && matter.diagnosis.findings_used > 0 {
        return "If what you see changes, or does not get better as we expect, please tell us: then we think again.".to_owned();
    }
    let what = lower_first(look.what.trim_end_matches('.'));
    let settles = look.would_settle.trim();
    match (&look.finding_key, look.look_by) {
        (None, LookBy::Visit | LookBy::Laboratory) => {
            format!("When we come by, we will {what}, and that may change our mind. It will show this: {}", lower_first(settles))
        }
        (None, LookBy::Owner) => format!("Meanwhile one look would help us: {what}. {} {settles}", look.how.trim()),
        (Some(_), by) => {
            let whether = clause(&what, true);
            let how = look.how.trim();
            let who = match by {
                LookBy::Owner if how.ends_with('?') => format!("Meanwhile one look would help us, if you like. {how}"),
                LookBy::Owner => format!("Meanwhile one look would help us, if you like: please tell us whether {whether}. {how}"),
                LookBy::Visit => format!("When we come by, we will look whether {whether}."),
                LookBy::Laboratory => format!("If doubt remains, a laboratory can tell whether {whether}."),
            };
            format!("{who} {settles}")
        }
    }
}

/// Cautions for the owner: those of the entry, save what is of materials under a label, which no letter advises.
fn cautions(matter: &Matter<'_>) -> String {
    const OF_MATERIALS: &[&str] = &["Any pesticide", "Bees and other", "Fertiliser"];
    let aimed = matter.action.aimed_at.as_ref().and_then(|k| matter.lore.troubles.get(k));
    let ours = |c: &&str| !OF_MATERIALS.iter().any(|m| c.starts_with(m));
    let acting = matter.action.class != AdviceClass::Of(ActionClass::Watch);
    let list: Vec<&str> =
        aimed.filter(|_| acting).map(|t| t.cautions.iter().map(|c| c.trim()).filter(ours).take(1).collect()).unwrap_or_default();
    if list.is_empty() { String::new() } else { format!("Please take care if you work there yourself. {}", list.join(" ")) }
}

/// The text without the sentences that point to a material under a label; sentences that warn against one stay.
fn without_pesticide(lore: &Lore, text: &str) -> String {
    const MATERIAL_WORDS: &[&str] = &[
        "insecticid",
        "fungicid",
        "herbicid",
        "pesticid",
        "miticid",
        "weed killer",
        "weedkiller",
        "pre-emergent",
        "preemergent",
        "grub control",
        "spray ",
    ];
    const AGAINST: &[&str] = &[
        "no ",
        "not ",
        "never",
        "n't",
        "without",
        "nothing",
        "before any",
        "needless",
        "instead of",
        "rather than",
        "neither",
        "harm",
        "avoid",
    ];
    let names: Vec<String> = lore.controls.values().filter(|c| c.needs_label).map(|c| c.name.to_lowercase()).collect();
    let points_to_one = |sentence: &str| {
        let lower = format!("{} ", sentence.to_lowercase());
        let named = MATERIAL_WORDS.iter().any(|w| lower.contains(w)) || names.iter().any(|n| lower.contains(n.as_str()));
        named && !AGAINST.iter().any(|a| lower.contains(a))
    };
    text.split_inclusive(". ").filter(|s| !points_to_one(s)).collect::<String>().trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_told_is_said_in_whole_sentences() {
        for (name, seen, said) in [
            ("the place is watered regularly", false, "it is not so that the place is watered regularly"),
            ("the turf lifts like a carpet", true, "the turf lifts like a carpet"),
            ("a white crust on soil or paving edge", true, "you noticed a white crust on soil or paving edge"),
            (
                "specks that crawl when tapped on to white paper",
                false,
                "you did not notice specks that crawl when tapped on to white paper",
            ),
            ("first seen in spring", true, "it was first seen in spring"),
        ] {
            assert_eq!(clause(name, seen), said);
        }
        let parts = ["that a".to_owned(), "that b".to_owned(), "that c".to_owned()];
        assert_eq!(joined(&parts, "and"), "that a, that b and that c");
    }
}
