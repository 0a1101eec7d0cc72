//! Scores of letters whose true causes are known, in three ways: blind (the first thin letter), asked (with the answers to good questions)
//! and full.

use groundlore_lore::Lore;
use groundlore_plant_health::diagnosis::SOMETHING_ELSE;
use groundlore_plant_health::letter::{Answer, Context, Reader, answer, parse};
use std::fmt::Write as _;

#[derive(serde::Deserialize)]
struct Letters {
    letter: Vec<Told>,
}

#[derive(Clone, serde::Deserialize)]
struct Told {
    id: String,
    truth: String,
    #[serde(default)]
    also: Vec<String>,
    #[serde(default)]
    second: Option<String>,
    date: String,
    host: String,
    #[serde(default)]
    place: Option<String>,
    action: Vec<String>,
    blind: String,
    asked: Vec<serde_json::Value>,
    full: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    Blind,
    Asked,
    Full,
}

/// A letter answered one way.
pub(crate) struct Scored {
    lore: &'static Lore,
    told: Told,
    pub(crate) way: Way,
    answer: Answer,
}

/// Answers each letter in its three ways.
pub(crate) fn answered(lore: &'static Lore, text: &str) -> Vec<Scored> {
    let letters: Letters = toml::from_str(text).unwrap();
    let reader = Reader::new(lore);
    let mut all = Vec::new();
    for told in letters.letter {
        for way in [Way::Blind, Way::Asked, Way::Full] {
            let text = if way == Way::Full { &told.full } else { &told.blind };
            let findings = if way == Way::Asked { told.asked.clone() } else { Vec::new() };
            let mut json = serde_json::json!({"date": told.date, "host": told.host, "text": text, "findings": findings});
            if let Some(place) = &told.place {
                json["place"] = serde_json::json!(place);
            }
            let letter = parse(&json.to_string(), "letter.json").unwrap_or_else(|e| panic!("{}: {e}", told.id));
            let answer = answer(&letter, lore, &reader, &Context::default());
            all.push(Scored { lore, told: told.clone(), way, answer });
        }
    }
    all
}

impl Scored {
    /// The truth, one of its kind or the wider entry that it is one of, or what the writer would accept as the same.
    fn right(&self, key: &str) -> bool {
        let wider = |k: &str| self.lore.troubles.get(k).and_then(|t| t.kind_of.clone());
        let truth = &self.told.truth;
        key == truth
            || self.told.also.iter().any(|a| a == key)
            || wider(key).as_ref() == Some(truth)
            || wider(truth).as_deref() == Some(key)
    }

    pub(crate) fn rank(&self) -> usize {
        self.answer.causes.iter().position(|c| self.right(&c.key)).unwrap_or(usize::MAX)
    }

    pub(crate) fn action_fits(&self) -> bool {
        self.told.action.iter().any(|a| a == self.answer.action.class.words())
    }

    /// Acts on a harmless thing, or with steps for a cause that shares no first remedy with the true one.
    pub(crate) fn harms(&self) -> bool {
        let acts = self.answer.action.class.words().starts_with("act");
        let harmless = self.lore.troubles.get(&self.told.truth).is_some_and(|t| t.kind == groundlore_lore::trouble::TroubleKind::Harmless);
        let only_alone = self.told.action.iter().all(|a| a == "leave it alone" || a == "watch");
        let material = self.answer.action.controls.iter().any(|c| c.needs_label);
        let wrong = self
            .answer
            .action
            .aimed_at
            .as_ref()
            .is_some_and(|k| !self.right(k) && self.told.second.as_ref() != Some(k) && self.told.truth != SOMETHING_ELSE);
        acts && (harmless || (wrong && material && only_alone))
    }

    /// What was said of the likeliest cause, and whether it was right.
    pub(crate) fn first(&self) -> Option<(f64, bool)> {
        self.answer.causes.first().map(|c| (c.probability, self.rank() == 0))
    }

    /// Kind of the true cause in lore.
    pub(crate) fn kind(&self) -> String {
        self.lore.troubles.get(&self.told.truth).map_or_else(
            || "not in lore".to_owned(),
            |t| serde_json::to_value(t.kind).ok().and_then(|v| v.as_str().map(|k| k.replace('-', " "))).unwrap_or_default(),
        )
    }

    pub(crate) fn brier(&self) -> f64 {
        let right: f64 = self.answer.causes.iter().filter(|c| self.right(&c.key)).map(|c| c.probability).sum();
        (1.0 - right).powi(2) + self.answer.causes.iter().filter(|c| !self.right(&c.key)).map(|c| c.probability.powi(2)).sum::<f64>()
    }
}

/// Share and its 95 % interval after Wilson (1927).
pub(crate) fn wilson(hits: usize, n: usize) -> (f64, f64, f64) {
    let (n, z2) = (n.max(1) as f64, 1.96_f64.powi(2));
    let p = hits as f64 / n;
    let centre = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = 1.96 * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt() / (1.0 + z2 / n);
    (p, centre - half, centre + half)
}

pub(crate) struct Score {
    pub(crate) top1: f64,
    pub(crate) top3: f64,
    pub(crate) action: f64,
    pub(crate) harmful: usize,
    pub(crate) brier: f64,
}

fn score(report: &mut String, name: &str, kept: &[&Scored]) -> Score {
    let n = kept.len();
    let mut share = |what: &str, hit: &dyn Fn(&Scored) -> bool| {
        let hits = kept.iter().filter(|s| hit(s)).count();
        let (p, low, high) = wilson(hits, n);
        write!(report, "{what} {hits}/{n} {p:.2} [{low:.2}, {high:.2}]  ").unwrap();
        p
    };
    let top1 = share(&format!("{name:14} top-1"), &|s| s.rank() == 0);
    let (top3, action) = (share("top-3", &|s| s.rank() < 3), share("action", &Scored::action_fits));
    let harmful = kept.iter().filter(|s| s.harms()).count();
    let brier = kept.iter().map(|s| s.brier()).sum::<f64>() / n.max(1) as f64;
    writeln!(report, "harmful {harmful}  Brier {brier:.3}").unwrap();
    Score { top1, top3, action, harmful, brier }
}

pub(crate) fn by_way(report: &mut String, name: &str, all: &[Scored]) -> Score {
    let of = |way: Way| all.iter().filter(|s| s.way == way).collect::<Vec<_>>();
    score(report, &format!("{name} blind"), &of(Way::Blind));
    score(report, &format!("{name} asked"), &of(Way::Asked));
    let full = score(report, &format!("{name} full"), &of(Way::Full));
    for tenth in 0..10 {
        let top = all.iter().filter_map(|s| s.answer.causes.first().map(|c| (c.probability, s.rank() == 0)));
        let top: Vec<(f64, bool)> = top.filter(|(p, _)| ((p * 10.0) as usize).min(9) == tenth).collect();
        let (n, said) = (top.len(), top.iter().map(|t| t.0).sum::<f64>());
        if n > 0 {
            let right = top.iter().filter(|t| t.1).count();
            writeln!(report, "  said {:.2}: {n} letters, right {:.2}", said / n as f64, right as f64 / n as f64).unwrap();
        }
    }
    full
}

pub(crate) fn misses(report: &mut String, all: &[Scored], way: Way) {
    for s in all.iter().filter(|s| s.way == way && (s.rank() > 0 || !s.action_fits() || s.harms())) {
        let causes: Vec<String> = s.answer.causes.iter().take(4).map(|c| format!("{} {:.2}", c.key, c.probability)).collect();
        let read: Vec<String> = s.answer.understood.iter().map(|u| format!("{}={:?}", u.finding, u.present)).collect();
        let mark = if s.harms() { " HARMS" } else { "" };
        writeln!(
            report,
            "{} {:?} {} (rank {}){mark}: {}; {} (want {:?})\n    host {} read {}\n    missed {:?}",
            s.told.id,
            s.way,
            s.told.truth,
            s.rank(),
            causes.join(", "),
            s.answer.action.class.words(),
            s.told.action,
            s.told.host,
            read.join(" "),
            s.answer.not_understood
        )
        .unwrap();
    }
}
