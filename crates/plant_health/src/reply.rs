//! The reply to the owner: plain, short and kind, with the odds in words and percent. It never recommends a pesticide.

use crate::danger::Danger;
use crate::diagnosis::{Cause, Diagnosis, SOMETHING_ELSE, density};
use crate::letter::advice::{ActionAdvice, AdviceClass, lower_first, percent};
use crate::letter::{Presence, Reading, Understood};
use crate::next_look::NextLook;
use groundlore_lore::Lore;
use groundlore_lore::finding::LookBy;
use groundlore_lore::trouble::{ActionClass, Trouble};

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
    let paragraphs = [
        "Dear owner,".to_owned(),
        told(&matter.reading.understood),
        thought(matter),
        not_this(matter),
        next(matter),
        change_of_mind(matter),
        cautions(matter),
        "Please write again if anything looks different from what we read out of your letter, or if it worries you.\n\nWith kind regards"
            .to_owned(),
    ];
    paragraphs.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join("\n\n")
}

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

fn told(understood: &[Understood]) -> String {
    if understood.is_empty() {
        return "Thank you for your letter. We could not make out from it what was seen, so please help us with one look.".to_owned();
    }
    let of = |wanted: Presence| {
        understood
            .iter()
            .filter(|u| u.present == wanted)
            .map(|u| u.number.as_ref().map_or_else(|| u.name.clone(), |n| format!("{} ({})", u.name, n.rounded(2))))
            .collect::<Vec<_>>()
    };
    let (yes, no, maybe) = (of(Presence::Yes), of(Presence::No), of(Presence::Doubtful));
    let mut text = "Thank you for your letter.".to_owned();
    for (lead, list) in [("We understood", yes), ("You did not find", no), ("You were not sure of", maybe)] {
        if !list.is_empty() {
            text.push_str(&format!(" {lead}: {}.", list.join("; ")));
        }
    }
    text
}

fn real(causes: &[Cause]) -> impl Iterator<Item = &Cause> {
    causes.iter().filter(|c| c.key != SOMETHING_ELSE)
}

fn thought(matter: &Matter<'_>) -> String {
    let list = |causes: &[&Cause]| {
        causes.iter().map(|c| format!("{} ({})", lower_first(&c.name), percent(c.probability))).collect::<Vec<_>>().join(", ")
    };
    let likely: Vec<&Cause> = real(&matter.diagnosis.causes).filter(|c| c.probability >= 0.1).take(3).collect();
    let (Some(top), false) = (likely.first(), matter.diagnosis.cannot_tell) else {
        let could = if likely.is_empty() || matter.diagnosis.findings_used == 0 {
            String::new()
        } else {
            format!(" It could be {}, but none of these stands out.", list(&likely))
        };
        return format!("We cannot tell yet what this is.{could} That is no bad news: a look, told below, will say more than any guess.");
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

/// Causes that were well in the running by the host and the season and that the findings speak against.
fn not_this(matter: &Matter<'_>) -> String {
    let ruled_out: Vec<String> = real(&matter.diagnosis.causes)
        .filter(|c| {
            c.probability < 0.05
                && c.because
                    .first()
                    .is_some_and(|r| r.weight < -1.0 && !matches!(r.finding.as_str(), "host" | "season" | "condition" | "letter"))
        })
        .take(2)
        .map(|c| {
            format!("{} ({} speaks against it)", lower_first(&c.name), c.because.first().map_or("what you found", |r| r.name.as_str()))
        })
        .collect();
    if ruled_out.is_empty() { String::new() } else { format!("We hardly think it is {}.", ruled_out.join(" or ")) }
}

fn next(matter: &Matter<'_>) -> String {
    let aimed = matter.action.aimed_at.as_ref().and_then(|k| matter.lore.troubles.get(k));
    let steps = aimed.map(|t| steps(matter.lore, t)).unwrap_or_default();
    match matter.action.class {
        AdviceClass::GetHelpNow => String::new(),
        AdviceClass::Of(ActionClass::LeaveItAlone) => {
            "There is nothing you need to do, buy or spread: leave it alone and enjoy your garden.".to_owned()
        }
        AdviceClass::Of(ActionClass::Watch) => format!(
            "For now, please only watch; do not spray or spread anything. The one look that would help most: {}. {}",
            lower_first(matter.next_look.what.trim_end_matches('.')),
            matter.next_look.how.trim()
        ),
        AdviceClass::Of(ActionClass::ActNow) => format!("What helps now:{}", bullets(&steps)),
        AdviceClass::Of(ActionClass::ActAtAStage) => {
            let stage = matter.action.stage.as_deref().unwrap_or("the right stage");
            let window = matter.window.map(|w| format!(" ({w})")).unwrap_or_default();
            let count = aimed
                .filter(|t| t.count.is_some() && density(t, &matter.reading.understood).is_none())
                .map_or("", |_| " Nothing should be bought or spread before a count has shown the need.");
            format!(
                "The time to act is a certain stage: {}{window}. At another time the work would be wasted.{count}{}",
                lower_first(stage),
                bullets(&steps)
            )
        }
    }
}

fn bullets(steps: &[String]) -> String {
    steps.iter().take(5).map(|s| format!("\n- {s}")).collect()
}

fn change_of_mind(matter: &Matter<'_>) -> String {
    if matter.action.class == AdviceClass::Of(ActionClass::Watch) {
        return matter.next_look.would_settle.clone();
    }
    if matter.next_look.gain < 0.005 && matter.next_look.bits < 0.05 {
        return "If what you see changes, or does not get better as we expect, please tell us: then we think again.".to_owned();
    }
    let who = match matter.next_look.look_by {
        LookBy::Owner => "One look would make us surer, or change our mind",
        LookBy::Visit => "When we come by, one look would make us surer, or change our mind",
        LookBy::Laboratory => "If doubt remains, a laboratory can settle it",
    };
    format!(
        "{who}: {}. {} {}",
        lower_first(matter.next_look.what.trim_end_matches('.')),
        matter.next_look.how.trim(),
        matter.next_look.would_settle
    )
}

fn cautions(matter: &Matter<'_>) -> String {
    let aimed = matter.action.aimed_at.as_ref().and_then(|k| matter.lore.troubles.get(k));
    let acting = matches!(matter.action.class, AdviceClass::Of(ActionClass::ActNow | ActionClass::ActAtAStage));
    let list: Vec<&str> = aimed.filter(|_| acting).map(|t| t.cautions.iter().map(|c| c.trim()).take(3).collect()).unwrap_or_default();
    if list.is_empty() { String::new() } else { format!("Please take care: {}", list.join(" ")) }
}

/// The steps of an entry that need no label.
fn steps(lore: &Lore, trouble: &Trouble) -> Vec<String> {
    trouble.action.steps.iter().map(|s| without_pesticide(lore, s)).filter(|s| !s.trim().is_empty()).collect()
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
