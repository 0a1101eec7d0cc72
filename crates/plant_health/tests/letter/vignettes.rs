//! Our own letters with their true causes, against the lore that ships.

use groundlore_lore::Lore;
use groundlore_plant_health::letter::{Answer, Context, Reader, answer, parse};
use std::sync::LazyLock;
use std::time::Instant;

pub(crate) static LORE: LazyLock<Lore> = LazyLock::new(|| Lore::built_in_lenient(None).0);
pub(crate) static READER: LazyLock<Reader> = LazyLock::new(|| Reader::new(&LORE));

#[derive(serde::Deserialize)]
struct Vignettes {
    vignette: Vec<Vignette>,
}

#[derive(serde::Deserialize)]
struct Vignette {
    id: String,
    #[serde(flatten)]
    letter: serde_json::Map<String, serde_json::Value>,
}

struct Scored {
    id: String,
    truth: String,
    wanted: Vec<String>,
    answer: Answer,
}

impl Scored {
    fn rank(&self) -> usize {
        self.answer.causes.iter().position(|c| c.key == self.truth).unwrap_or(usize::MAX)
    }

    fn action_fits(&self) -> bool {
        self.wanted.iter().any(|w| w == self.answer.action.class.words())
    }
}

static SCORED: LazyLock<Vec<Scored>> = LazyLock::new(answer_all);

fn score() -> &'static [Scored] {
    &SCORED
}

fn answer_all() -> Vec<Scored> {
    let text = include_str!("../data/vignettes.toml");
    let vignettes: Vignettes = toml::from_str(text).unwrap();
    vignettes
        .vignette
        .into_iter()
        .map(|mut v| {
            let truth = v.letter.remove("truth").unwrap().as_str().unwrap().to_owned();
            let wanted = v.letter.remove("action").unwrap().as_array().unwrap().iter().map(|a| a.as_str().unwrap().to_owned()).collect();
            let json = serde_json::to_string(&v.letter).unwrap();
            let letter = parse(&json, "vignette.json").unwrap();
            assert!(letter.remarks.is_empty(), "{}: {:?}", v.id, letter.remarks);
            Scored { id: v.id, truth, wanted, answer: answer(&letter, &LORE, &READER, &Context::default()) }
        })
        .collect()
}

#[test]
fn most_letters_find_their_cause_and_none_gets_harmful_advice() {
    let scored = score();
    let n = scored.len() as f64;
    let share = |hit: &dyn Fn(&Scored) -> bool| scored.iter().filter(|s| hit(s)).count() as f64 / n;
    let brier = scored
        .iter()
        .map(|s| s.answer.causes.iter().map(|c| (c.probability - f64::from(u8::from(c.key == s.truth))).powi(2)).sum::<f64>())
        .sum::<f64>()
        / n;
    let (top1, top3, action) = (share(&|s| s.rank() == 0), share(&|s| s.rank() < 3), share(&Scored::action_fits));
    let mut report = format!("{n} letters: top-1 {top1:.3}, top-3 {top3:.3}, action {action:.3}, Brier {brier:.3}\n");
    for s in scored.iter().filter(|s| s.rank() > 0 || !s.action_fits()) {
        let causes: Vec<String> = s.answer.causes.iter().take(4).map(|c| format!("{} {:.2}", c.key, c.probability)).collect();
        let read: Vec<String> = s.answer.understood.iter().map(|u| format!("{}={:?}", u.finding, u.present)).collect();
        report.push_str(&format!(
            "{} (want {:?}): rank {}, {}; {}\n    read {}\n    missed {:?}\n",
            s.id,
            s.wanted,
            s.rank() + 1,
            s.answer.action.class.words(),
            causes.join(", "),
            read.join(" "),
            s.answer.not_understood
        ));
    }
    if std::env::var_os("SHOW").is_some() {
        panic!("{report}");
    }
    assert!(top1 >= 0.8 && top3 >= 0.9 && action >= 0.85, "{report}");
}

#[test]
fn harmless_things_are_never_treated_and_no_reply_names_a_material_to_use() {
    let materials: Vec<String> = LORE.controls.values().filter(|c| c.needs_label).map(|c| c.name.to_lowercase()).collect();
    for s in score() {
        let harmless = LORE.troubles.get(&s.truth).is_some_and(|t| t.kind == groundlore_lore::trouble::TroubleKind::Harmless);
        let class = s.answer.action.class.words();
        assert!(!harmless || matches!(class, "leave it alone" | "watch"), "{}: {class}", s.id);
        let reply = s.answer.reply.to_lowercase();
        assert!(materials.iter().all(|m| !reply.contains(m.as_str())), "{}: {reply}", s.id);
    }
}

#[test]
fn probabilities_make_one_and_the_answer_has_its_five_keys() {
    for s in score() {
        let sum: f64 = s.answer.causes.iter().map(|c| c.probability).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{}", s.id);
        assert!(s.answer.causes.iter().any(|c| c.name == "something else"));
        assert!(s.answer.causes.iter().all(|c| c.probability < 0.999), "{}: remembered figures made near-certainty", s.id);
        let json = serde_json::to_value(&s.answer).unwrap();
        for key in ["understood", "causes", "action", "next_look", "reply"] {
            assert!(json.get(key).is_some_and(|v| !v.is_null()), "{} lacks {key}", s.id);
        }
        for key in ["class", "stage", "why"] {
            assert!(json["action"].get(key).is_some(), "{} lacks action.{key}", s.id);
        }
    }
}

#[test]
fn a_letter_is_answered_quickly() {
    LazyLock::force(&READER);
    let started = Instant::now();
    let n = answer_all().len();
    let each = started.elapsed().as_secs_f64() / n as f64;
    // The claim is 50 ms in release; this build is not optimised.
    assert!(each < 0.5, "{each} s a letter");
}

#[test]
fn a_letter_that_tells_nothing_gets_no_cause_and_a_look() {
    let letter = parse("Hello, could you please have a look at my garden some time? Something is not right.", "l.txt").unwrap();
    let a = answer(&letter, &LORE, &READER, &Context::default());
    assert!(a.cannot_tell);
    assert_eq!(a.action.class.words(), "watch");
    assert!(a.reply.contains("cannot tell"));
}

#[test]
fn brown_spots_alone_are_not_acted_on_and_dead_grass_belies_the_harmless() {
    let class = |text: &str| {
        answer(&parse(&format!(r#"{{"date": "2024-07-15", "text": "{text}"}}"#), "l.json").unwrap(), &LORE, &READER, &Context::default())
            .action
            .class
            .words()
    };
    assert_eq!(class("I have brown spots in my lawn."), "watch");
    // A ring that kills is an entry of its own: whatever is said of it, it is not left alone.
    let ring = class("A ring of mushrooms came up and the grass inside the ring is dead and brown.");
    assert!(matches!(ring, "watch" | "act at a stage" | "act now"), "{ring}");
    assert_eq!(class("A ring of mushrooms came up, the grass is green and growing well."), "leave it alone");
}

#[test]
fn a_few_grubs_are_no_reason_to_act() {
    let say = |n: &str| {
        format!(
            r#"{{"date":"2024-09-01","host":"lawn","text":"I cut a flap of sod and found {n} grubs per square foot. The grass is green and thick."}}"#
        )
    };
    let class = |n: &str| answer(&parse(&say(n), "l.json").unwrap(), &LORE, &READER, &Context::default()).action.class.words();
    assert!(matches!(class("1"), "leave it alone" | "watch"), "{}", class("1"));
}
