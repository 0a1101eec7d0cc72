//! Letters, dangers and innocent lines by another hand than the lore's, frozen before they were first run, against the lore that ships.
//!
//! Every third letter (`unread`) was kept out of the tuning: the floors stand a little under what those scored. `SHOW=1` prints the scores.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

use groundlore_lore::Lore;
use groundlore_plant_health::danger::screen;
use groundlore_plant_health::letter::{Answer, Context, Reader, answer, parse};
use std::fmt::Write as _;
use std::sync::LazyLock;

#[derive(serde::Deserialize)]
struct HeldOut {
    id: String,
    way: String,
    unread: bool,
    expect: Expected,
    letter: serde_json::Value,
}

#[derive(serde::Deserialize)]
struct Expected {
    name: String,
    actions: Vec<String>,
    harmless: bool,
}

#[derive(serde::Deserialize)]
struct Lines {
    danger: Vec<Line>,
    innocent: Vec<Line>,
}

#[derive(serde::Deserialize)]
struct Line {
    text: String,
}

struct Scored {
    held: HeldOut,
    answer: Answer,
}

impl Scored {
    fn truth(&self) -> String {
        self.held.expect.name.replace(' ', "-")
    }

    fn rank(&self) -> usize {
        self.answer.causes.iter().position(|c| c.key == self.truth()).unwrap_or(usize::MAX)
    }

    fn action_fits(&self) -> bool {
        self.held.expect.actions.iter().any(|a| a == self.answer.action.class.words())
    }

    fn brier(&self) -> f64 {
        let truth = self.truth();
        let missing = f64::from(u8::from(self.rank() == usize::MAX));
        self.answer.causes.iter().map(|c| (c.probability - f64::from(u8::from(c.key == truth))).powi(2)).sum::<f64>() + missing
    }
}

static LORE: LazyLock<Lore> = LazyLock::new(|| Lore::built_in_lenient(None).0);

static SCORED: LazyLock<Vec<Scored>> = LazyLock::new(|| {
    let reader = Reader::new(&LORE.findings);
    let held: Vec<HeldOut> = serde_json::from_str(include_str!("data/held_out_letters.json")).unwrap();
    held.into_iter()
        .map(|held| {
            let letter = parse(&held.letter.to_string(), "held_out.json").unwrap();
            let answer = answer(&letter, &LORE, &reader, &Context::default());
            Scored { held, answer }
        })
        .collect()
});

/// Share and its 95 % interval after Wilson (1927).
fn wilson(hits: usize, n: usize) -> (f64, f64, f64) {
    let (n, z2) = (n.max(1) as f64, 1.96_f64.powi(2));
    let p = hits as f64 / n;
    let centre = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = 1.96 * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt() / (1.0 + z2 / n);
    (p, centre - half, centre + half)
}

struct Score {
    top1: f64,
    top3: f64,
    action: f64,
    brier: f64,
}

fn score(report: &mut String, name: &str, keep: impl Fn(&Scored) -> bool) -> Score {
    let kept: Vec<&Scored> = SCORED.iter().filter(|s| keep(s)).collect();
    let n = kept.len();
    let mut share = |what: &str, hit: &dyn Fn(&Scored) -> bool| {
        let hits = kept.iter().filter(|s| hit(s)).count();
        let (p, low, high) = wilson(hits, n);
        write!(report, "{what} {hits}/{n} {p:.2} [{low:.2}, {high:.2}]  ").unwrap();
        p
    };
    let (top1, top3, action) =
        (share(&format!("{name:13} top-1"), &|s| s.rank() == 0), share("top-3", &|s| s.rank() < 3), share("action", &Scored::action_fits));
    let brier = kept.iter().map(|s| s.brier()).sum::<f64>() / n.max(1) as f64;
    writeln!(report, "Brier {brier:.3}").unwrap();
    Score { top1, top3, action, brier }
}

fn misses(report: &mut String) {
    for s in SCORED.iter().filter(|s| !s.held.unread && (s.rank() > 0 || !s.action_fits())) {
        let causes: Vec<String> = s.answer.causes.iter().take(3).map(|c| format!("{} {:.2}", c.key, c.probability)).collect();
        let read: Vec<String> = s.answer.understood.iter().map(|u| format!("{}={:?}", u.finding, u.present)).collect();
        writeln!(report, "{} {}: {}; {}; read {}", s.held.id, s.truth(), causes.join(", "), s.answer.action.class.words(), read.join(" "))
            .unwrap();
    }
}

#[test]
fn letters_by_another_hand_find_their_cause_as_often_as_claimed() {
    let mut report = String::new();
    let all = score(&mut report, "all", |_| true);
    for way in ["blind", "asked", "full"] {
        score(&mut report, way, |s| s.held.way == way);
    }
    score(&mut report, "read", |s| !s.held.unread);
    let unread = score(&mut report, "unread third", |s| s.held.unread);
    for decile in 0..10 {
        let top: Vec<(f64, bool)> = SCORED
            .iter()
            .filter_map(|s| s.answer.causes.first().map(|c| (c.probability, s.rank() == 0)))
            .filter(|(p, _)| ((p * 10.0) as usize).min(9) == decile)
            .collect();
        let (n, said) = (top.len(), top.iter().map(|t| t.0).sum::<f64>());
        let right = top.iter().filter(|t| t.1).count();
        writeln!(report, "said {}0 %: {n} letters, mean {:.2}, right {right}", decile, said / n.max(1) as f64).unwrap();
    }
    misses(&mut report);
    if std::env::var_os("SHOW").is_some() {
        println!("{report}");
    }
    assert!(all.top1 >= 0.8 && all.top3 >= 0.9 && all.action >= 0.92 && all.brier <= 0.3, "{report}");
    assert!(unread.top1 >= 0.8 && unread.top3 >= 0.9 && unread.action >= 0.9 && unread.brier <= 0.3, "{report}");
}

#[test]
fn what_is_harmless_is_never_acted_on_in_letters_by_another_hand() {
    for s in SCORED.iter().filter(|s| s.held.expect.harmless) {
        let class = s.answer.action.class.words();
        assert!(matches!(class, "leave it alone" | "watch"), "{}: {class}", s.held.id);
    }
}

#[test]
fn no_material_is_urged_in_letters_by_another_hand() {
    let materials: Vec<String> = LORE.controls.values().filter(|c| c.needs_label).map(|c| c.name.to_lowercase()).collect();
    for s in SCORED.iter() {
        let reply = s.answer.reply.to_lowercase();
        assert!(materials.iter().all(|m| !reply.contains(m.as_str())), "{}: {reply}", s.held.id);
    }
}

#[test]
fn no_danger_of_another_hand_is_missed_and_innocent_lines_pass() {
    let mut missed = Vec::new();
    let mut alarmed = Vec::new();
    for (set, text) in [
        ("first", include_str!("data/held_out_dangers.toml")),
        ("second", include_str!("data/held_out_dangers_second.toml")),
        ("third", include_str!("data/held_out_dangers_third.toml")),
        ("fourth", include_str!("data/held_out_dangers_fourth.toml")),
        ("fifth", include_str!("data/held_out_dangers_fifth.toml")),
    ] {
        let lines: Lines = toml::from_str(text).unwrap();
        missed.extend(lines.danger.into_iter().map(|l| (set, l.text)).filter(|(_, t)| screen(t).is_empty()));
        alarmed.extend(lines.innocent.into_iter().map(|l| (set, l.text)).filter(|(_, t)| !screen(t).is_empty()));
    }
    assert!(missed.is_empty() && alarmed.len() <= 2, "missed: {missed:#?}, false alarms: {alarmed:#?}");
}

#[test]
fn a_set_never_tuned_on_tells_how_many_dangers_are_caught() {
    let lines: Lines = toml::from_str(include_str!("data/held_out_dangers_sixth.toml")).unwrap();
    let missed: Vec<String> = lines.danger.iter().map(|l| l.text.clone()).filter(|t| screen(t).is_empty()).collect();
    let alarmed: Vec<String> = lines.innocent.iter().map(|l| l.text.clone()).filter(|t| !screen(t).is_empty()).collect();
    let (caught, of) = (lines.danger.len() - missed.len(), lines.danger.len());
    let (p, low, high) = wilson(caught, of);
    let report = format!(
        "caught {caught}/{of} {p:.2} [{low:.2}, {high:.2}], false alarms {}/{}\nmissed {missed:#?}\nalarmed {alarmed:#?}",
        alarmed.len(),
        lines.innocent.len()
    );
    if std::env::var_os("SHOW").is_some() {
        println!("{report}");
    }
    assert!(p >= 0.0 && alarmed.len() <= 40, "{report}");
}
