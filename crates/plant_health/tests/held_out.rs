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

    /// The truth itself, one of its kind (magnolia scale is a scale insect), or the cause that has an entry since the letter was written.
    fn right(&self, key: &str) -> bool {
        let truth = self.truth();
        let wider = LORE.troubles.get(key).and_then(|t| t.kind_of.as_deref());
        key == truth || wider == Some(truth.as_str()) || KNOWN_SINCE.iter().any(|(id, keys)| *id == self.held.id && keys.contains(&key))
    }

    fn rank(&self) -> usize {
        self.answer.causes.iter().position(|c| self.right(&c.key)).unwrap_or(usize::MAX)
    }

    fn action_fits(&self) -> bool {
        self.held.expect.actions.iter().any(|a| a == self.answer.action.class.words())
    }

    fn brier(&self) -> f64 {
        let right: f64 = self.answer.causes.iter().filter(|c| self.right(&c.key)).map(|c| c.probability).sum();
        (1.0 - right).powi(2) + self.answer.causes.iter().filter(|c| !self.right(&c.key)).map(|c| c.probability.powi(2)).sum::<f64>()
    }
}

/// Letters whose cause had no entry, or only a wider one, when they were written; what they tell of is in the letter's own label or words.
const KNOWN_SINCE: &[(&str, &[&str])] = &[
    ("h43", &["turf-leaf-spot"]),
    ("h67", &["moles"]),
    ("h68", &["fire-blight"]),
    ("h70", &["voles"]),
    ("h71", &["herbicide-drift"]),
    ("h72", &["boxwood-blight", "volutella-blight"]),
    ("s35", &["emerald-ash-borer"]),
    ("s36", &["grey-snow-mould", "pink-snow-mould"]),
    ("s37", &["slugs"]),
    ("s38", &["waterlogged-roots", "transplant-shock"]),
];

static LORE: LazyLock<Lore> = LazyLock::new(|| Lore::built_in_lenient(None).0);

static SCORED: LazyLock<Vec<Scored>> = LazyLock::new(|| answer_all(include_str!("data/held_out_letters.json")));
static SECOND: LazyLock<Vec<Scored>> = LazyLock::new(|| answer_all(include_str!("data/held_out_letters_second.json")));

fn answer_all(letters: &str) -> Vec<Scored> {
    let reader = Reader::new(&LORE);
    let held: Vec<HeldOut> = serde_json::from_str(letters).unwrap();
    held.into_iter()
        .map(|held| {
            let letter = parse(&held.letter.to_string(), "held_out.json").unwrap();
            let answer = answer(&letter, &LORE, &reader, &Context::default());
            Scored { held, answer }
        })
        .collect()
}

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

fn score(report: &mut String, name: &str, from: &[Scored], keep: impl Fn(&Scored) -> bool) -> Score {
    let kept: Vec<&Scored> = from.iter().filter(|s| keep(s)).collect();
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
    // Of the second set only every second letter was ever looked at.
    let looked_at = |s: &Scored| !s.held.unread || s.held.id.starts_with('s') && s.held.id.ends_with(['0', '2', '4', '6', '8']);
    for s in SCORED.iter().chain(SECOND.iter()).filter(|s| looked_at(s) && (s.rank() > 0 || !s.action_fits())) {
        let causes: Vec<String> = s.answer.causes.iter().take(3).map(|c| format!("{} {:.2}", c.key, c.probability)).collect();
        let read: Vec<String> = s.answer.understood.iter().map(|u| format!("{}={:?}", u.finding, u.present)).collect();
        writeln!(report, "{} {}: {}; {}; read {}", s.held.id, s.truth(), causes.join(", "), s.answer.action.class.words(), read.join(" "))
            .unwrap();
    }
}

#[test]
fn letters_by_another_hand_find_their_cause_as_often_as_claimed() {
    let mut report = String::new();
    let all = score(&mut report, "all", &SCORED, |_| true);
    for way in ["blind", "asked", "full"] {
        score(&mut report, way, &SCORED, |s| s.held.way == way);
    }
    score(&mut report, "read", &SCORED, |s| !s.held.unread);
    let unread = score(&mut report, "unread third", &SCORED, |s| s.held.unread);
    let second = score(&mut report, "second set", &SECOND, |_| true);
    score(&mut report, "its unread", &SECOND, |s| !s.held.id.ends_with(['0', '2', '4', '6', '8']));
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
    for from in [&SCORED, &SECOND] {
        let acted = |s: &&Scored| s.rank() > 0 && s.answer.action.class.words().starts_with("act");
        let wrong: Vec<&str> = from.iter().filter(acted).map(|s| s.held.id.as_str()).collect();
        writeln!(report, "acts for another cause than the true one: {wrong:?}").unwrap();
    }
    let alarms = SCORED.iter().chain(SECOND.iter()).filter(|s| s.answer.action.class.words() == "get help now").count();
    writeln!(report, "false alarms of danger among all letters: {alarms}").unwrap();
    misses(&mut report);
    if std::env::var_os("SHOW").is_some() {
        println!("{report}");
    }
    assert!(all.top1 >= 0.88 && all.top3 >= 0.95 && all.action >= 0.95 && all.brier <= 0.18, "{report}");
    assert!(alarms <= 1, "{report}");
    assert!(second.top1 >= 0.75 && second.top3 >= 0.88 && second.action >= 0.95 && second.brier <= 0.33, "{report}");
    assert!(unread.top1 >= 0.83 && unread.top3 >= 0.95 && unread.action >= 0.91 && unread.brier <= 0.22, "{report}");
}

#[test]
fn what_is_harmless_is_never_acted_on_in_letters_by_another_hand() {
    for s in SCORED.iter().chain(SECOND.iter()).filter(|s| s.held.expect.harmless) {
        let class = s.answer.action.class.words();
        assert!(matches!(class, "leave it alone" | "watch"), "{}: {class}", s.held.id);
    }
}

#[test]
fn no_material_is_urged_in_letters_by_another_hand() {
    let materials: Vec<String> = LORE.controls.values().filter(|c| c.needs_label).map(|c| c.name.to_lowercase()).collect();
    for s in SCORED.iter().chain(SECOND.iter()) {
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
        ("sixth", include_str!("data/held_out_dangers_sixth.toml")),
    ] {
        let lines: Lines = toml::from_str(text).unwrap();
        missed.extend(lines.danger.into_iter().map(|l| (set, l.text)).filter(|(_, t)| screen(t).is_empty()));
        alarmed.extend(lines.innocent.into_iter().map(|l| (set, l.text)).filter(|(_, t)| !screen(t).is_empty()));
    }
    if std::env::var_os("SHOW").is_some() {
        println!("the six sets that guard: missed {missed:?}, false alarms {alarmed:?}");
    }
    assert!(missed.is_empty() && alarmed.len() <= 2, "missed: {missed:#?}, false alarms: {alarmed:#?}");
}

// Untuned it scored 22 of 25; on 2026-11-25 its three misses were mended, so its score since is no longer that of an unread set.
#[test]
fn the_seventh_set_tells_how_many_dangers_are_caught() {
    let lines: Lines = toml::from_str(include_str!("data/held_out_dangers_seventh.toml")).unwrap();
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
    assert!(p >= 0.85 && alarmed.len() <= 1, "{report}");
}

#[test]
fn everyday_ways_of_speaking_are_read_as_meant() {
    let reader = Reader::new(&LORE);
    let cases = [
        ("They add new mulch every spring.", "", "", "mulched-every-year=Yes", "first-seen-in-spring=Yes"),
        ("The trunk goes in straight as a post.", "", "", "trunk-like-a-post=Yes", ""),
        ("I tugged at the grass but it will not lift.", "", "", "turf-firmly-rooted=Yes", "turf-lifts-like-carpet=Yes"),
        ("The grass never fills in there.", "", "", "thin-turf=Yes", "thin-turf=No"),
        ("Grey and brown moths sit in the grass.", "", "", "", "browning=Yes"),
        ("Moths, small and brown, sit in the grass.", "", "", "moths-resting-by-day=Yes", "browning=Yes"),
        ("The moths in the grass are brown.", "", "", "", "browning=Yes"),
        ("Bugs are on it and the grass is brown.", "", "", "browning=Yes", ""),
        ("Grubs turned the lawn brown.", "", "", "browning=Yes", ""),
        ("We have a mulch volcano.", "", "", "mulch-against-trunk=Yes", ""),
        ("It is piled up around the trunk.", "", "", "mulch-against-trunk=Yes", ""),
        ("White cottony webbing on the grass in the morning.", "", "", "cottony-growth-on-blades=Yes", "white-or-brown-cast=Yes"),
        ("", "when were the blades last sharpened?", "two years ago", "blades-sharpened-lately=No", ""),
        ("", "when were the blades last sharpened?", "last week", "blades-sharpened-lately=Yes", ""),
        ("", "turf lifts", "it will not lift", "turf-lifts-like-carpet=No", "turf-lifts-like-carpet=Yes"),
        ("", "spot size", "8 inches", "spots-plate-size=Yes", "spots-coin-to-fist=Yes"),
        ("", "patches", "2 ft across", "patches-feet-across=Yes", "spots-coin-to-fist=Yes"),
        ("", "mowing height", "3 in", "mown-very-short=No", ""),
        ("", "grubs", "20 per square foot", "grubs-seen=Yes", ""),
        ("", "hours of sun", "2", "in-shade=Yes", ""),
        ("", "bees: any stings?", "none", "", "wasps-or-stings=Yes"),
    ];
    for (text, finding, value, wants, forbids) in cases {
        let findings = if finding.is_empty() { serde_json::json!([]) } else { serde_json::json!([{ "finding": finding, "value": value }]) };
        let json = serde_json::json!({ "date": "2014-07-10", "host": "lawn", "text": text, "findings": findings });
        let reading = reader.read(&parse(&json.to_string(), "case.json").unwrap());
        let read: Vec<String> = reading.understood.iter().map(|u| format!("{}={:?}", u.finding, u.present)).collect();
        assert!(wants.is_empty() || read.iter().any(|r| r == wants), "{text}{finding}: {value}: wants {wants}, read {read:?}");
        assert!(forbids.is_empty() || !read.iter().any(|r| r == forbids), "{text}{finding}: {value}: forbids {forbids}, read {read:?}");
    }
}

#[test]
fn turfgrasses_and_botanical_names_are_known_hosts() {
    use groundlore_plant_health::letter::host::{HostKind, read};
    for (named, kind) in [
        ("Poa pratensis", HostKind::Lawn),
        ("Festuca arundinacea", HostKind::Lawn),
        ("Cynodon dactylon", HostKind::Lawn),
        ("Stenotaphrum secundatum", HostKind::Lawn),
        ("turfgrass", HostKind::Lawn),
        ("rye grass", HostKind::Lawn),
        ("Euonymus alatus", HostKind::Shrub),
        ("Tilia cordata", HostKind::Tree),
        ("hornbeam", HostKind::Tree),
        ("Leyland cypress", HostKind::Tree),
        ("lavender", HostKind::Bed),
    ] {
        assert!(read(Some(named), &[]).kinds.contains(&kind), "{named}");
    }
}

#[test]
fn the_same_words_are_read_and_the_next_look_is_asked_on_their_own_host() {
    let reader = Reader::new(&LORE);
    let say = |host: &str, text: &str| {
        let json = serde_json::json!({ "date": "2014-07-10", "host": host, "text": text });
        answer(&parse(&json.to_string(), "case.json").unwrap(), &LORE, &reader, &Context::default())
    };
    let read = |a: &Answer| a.understood.iter().map(|u| u.finding.clone()).collect::<Vec<_>>();
    let words = "White cottony threads in the morning on the leaves.";
    let (lawn, azalea) = (read(&say("lawn", words)), read(&say("azalea", words)));
    assert!(lawn.contains(&"cottony-growth-on-blades".into()) && !lawn.contains(&"white-cotton-on-plant".into()), "{lawn:?}");
    assert!(azalea.contains(&"white-cotton-on-plant".into()) && !azalea.contains(&"cottony-growth-on-blades".into()), "{azalea:?}");
    for host in ["rose", "maple", "azalea", "phlox"] {
        for text in ["Black spots on the leaves.", "The leaves look dusty.", "It looks bad.", "Something is turning brown."] {
            let look = say(host, text).next_look;
            let key = look.finding_key.unwrap_or_default();
            let of_turf = ["turf", "grass", "lawn"].iter().any(|w| look.what.contains(w));
            assert!(!of_turf, "{host}: {text}: asks {key}: {}", look.what);
        }
    }
}

#[test]
fn replies_are_short_whole_sentences_without_the_crews_steps() {
    let (mut longest, mut long, mut n) = (0, 0, 0);
    for s in SCORED.iter().chain(SECOND.iter()).filter(|s| s.answer.danger.is_empty()) {
        let reply = &s.answer.reply;
        let words = reply.split_whitespace().count();
        (longest, long, n) = (longest.max(words), long + usize::from(words > 250), n + 1);
        assert!(
            !reply.contains("It cannot see") && !reply.contains("You did not find") && !reply.contains("\n- "),
            "{}: {reply}",
            s.held.id
        );
        assert!(reply.ends_with("With kind regards"), "{}", s.held.id);
    }
    if std::env::var_os("SHOW").is_some() {
        println!("replies: longest {longest} words, {long} of {n} over 250");
    }
    assert!(longest <= 290 && long * 10 <= n, "{longest} words");
}
