//! Why a control did poorly: it no longer works here, or it was used at the wrong stage, too thin, not watered in, or from dead or old
//! material. A small network of causes and what the records show, answered exactly by [`crate::network`].
//!
//! The chances are recalled, not read (`memory`); two are reckoned: the false alarms of the years' running sum and its power, from its
//! operating curve. Odds from here rank what to look at next. They say plainly that a control no longer works only where the years' own
//! counts, each beside an untreated check, raised the alarm.

use crate::drift::alarm::Watched;
use crate::efficacy::hierarchy::Level;
use crate::network::{Chance, Network, NetworkError, Node};
use serde::Serialize;

/// A cause of a poor result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// The population here no longer answers to it.
    NoLongerWorks,
    /// It was used at a stage on which it does not work.
    WrongStage,
    /// Less reached the target than the label asks.
    LowDose,
    /// It was not watered in where it must be, or washed off where it must not.
    NotWateredIn,
    /// The material was dead, old or spoiled.
    DeadMaterial,
}

impl Why {
    /// All, in the order of the network.
    pub const ALL: [Self; 5] = [Self::NoLongerWorks, Self::WrongStage, Self::LowDose, Self::NotWateredIn, Self::DeadMaterial];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::NoLongerWorks => "it no longer works here",
            Self::WrongStage => "used at the wrong stage",
            Self::LowDose => "too little reached the target",
            Self::NotWateredIn => "not watered in as the label asks",
            Self::DeadMaterial => "dead, old or spoiled material",
        }
    }
}

/// What is known of the poor result. None where nobody looked: it is left out, not taken as no.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Signs {
    /// The years' running sum raised its alarm.
    pub alarm: Option<bool>,
    /// It did poorly in other yards too.
    pub elsewhere_too: Option<bool>,
    /// The record's day lies outside the stage's window.
    pub outside_window: Option<bool>,
    /// The record's rate lies under the card's range.
    pub rate_below_card: Option<bool>,
    /// No water came in the time that the label gives.
    pub dry_after: Option<bool>,
    /// The material was past its date, frozen or kept hot.
    pub past_its_date: Option<bool>,
}

/// What the odds rest on beside the signs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Background {
    /// Generations of the target since the control's first use here; None where no record tells.
    pub generations: Option<f64>,
    /// Must it be watered in (or kept dry)? Where not, that cause is out.
    pub watering_matters: bool,
    /// Chance of a false alarm of the years' running sum.
    pub false_alarm: f64,
    /// Chance that it raises an alarm for a control that lost half of its bite.
    pub power: f64,
}

impl Background {
    /// False alarms and power from a watch's operating curve: power at a slide that takes a control from 90 % to about a half.
    pub fn of(watched: Option<&Watched>, generations: Option<f64>, watering_matters: bool) -> Self {
        let curve = watched.map(|w| w.operating_curve.as_slice()).unwrap_or_default();
        Self {
            generations,
            watering_matters,
            false_alarm: watched.map_or(0.05, |w| w.watch.false_alarm).clamp(0.001, 0.5),
            power: curve.iter().find(|p| p.ends_at < 0.6).map_or(0.8, |p| p.by_all).clamp(0.3, 0.98),
        }
    }
}

/// A cause with its odds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Odds {
    /// The cause.
    pub why: Why,
    /// Chance that it was at work before the signs, given the poor result alone.
    pub before: f64,
    /// Chance with the signs. Several may be at work, so these need not make 1.
    pub probability: f64,
}

/// A sign that nobody looked for, and what it would tell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Look {
    /// What to look at.
    pub what: &'static str,
    /// Expected move of the chance that it no longer works, either way.
    pub moves: f64,
}

/// Recalled chance that a cause is at work in any one treatment (memory), but for [`Why::NoLongerWorks`].
const USUAL: [f64; 5] = [0.0, 0.2, 0.12, 0.15, 0.06];
/// Recalled chance that each cause alone makes a result poor, and that a result is poor with none of them.
const MAKES_POOR: ([f64; 5], f64) = ([0.85, 0.7, 0.5, 0.6, 0.85], 0.1);
/// Recalled chance that each cause alone shows in other yards too (one sprayer, one bag, one week), and with none of them.
const SHOWS_ELSEWHERE: ([f64; 5], f64) = ([0.6, 0.4, 0.4, 0.1, 0.6], 0.15);
/// Recalled chance of each record's sign with its cause and without: window, rate, water, date.
const SHOWN_BY: [(f64, f64); 4] = [(0.85, 0.1), (0.6, 0.05), (0.8, 0.15), (0.7, 0.05)];
/// Share of a population that stops answering a generation of use, while all is well (memory: seldom, and more the longer).
const A_GENERATION: f64 = 0.01;

/// Places of the nodes: five causes, the poor result, and six signs.
const POOR: usize = 5;
const SIGNS: [(usize, &str); 6] = [
    (6, "several years' counts beside an untreated strip"),
    (7, "counts after the same control in other yards"),
    (8, "the day against the stage's window: dig or look for the stage itself"),
    (9, "the amount used against the area, and a catch test of the machine"),
    (10, "whether water came in the time that the label gives"),
    (11, "date, lot and storage of the material; try fresh material on a strip"),
];

fn network(background: &Background) -> Result<Network, NetworkError> {
    let root = |name: &str, chance: f64| Node { name: name.to_owned(), parents: vec![], chance: Chance::Table(vec![chance]) };
    let resistant = (1.0 - (1.0 - A_GENERATION).powf(background.generations.unwrap_or(5.0).max(0.0))).clamp(0.005, 0.4);
    let mut nodes: Vec<Node> = Why::ALL
        .iter()
        .zip(USUAL)
        .map(|(why, usual)| match why {
            Why::NoLongerWorks => root(why.words(), resistant),
            Why::NotWateredIn if !background.watering_matters => root(why.words(), 0.0),
            _ => root(why.words(), usual),
        })
        .collect();
    let any = |name: &str, links: [f64; 5], leak: f64| Node {
        name: name.to_owned(),
        parents: (0..5).collect(),
        chance: Chance::NoisyOr { leak, links: links.to_vec() },
    };
    nodes.push(any("poor result", MAKES_POOR.0, MAKES_POOR.1));
    // An alarm needs years of it: one wrong stage or one bad bag seldom makes one.
    nodes.push(any("alarm", [background.power, 0.1, 0.1, 0.05, 0.05], background.false_alarm));
    nodes.push(any("elsewhere too", SHOWS_ELSEWHERE.0, SHOWS_ELSEWHERE.1));
    for (cause, (with, without)) in (1..5).zip(SHOWN_BY) {
        let name = format!("sign of {}", Why::ALL[cause].words());
        nodes.push(Node { name, parents: vec![cause], chance: Chance::Table(vec![without, with]) });
    }
    Network::new(nodes)
}

impl Signs {
    fn told(&self) -> [Option<bool>; 6] {
        [self.alarm, self.elsewhere_too, self.outside_window, self.rate_below_card, self.dry_after, self.past_its_date]
    }

    fn evidence(&self) -> Vec<(usize, bool)> {
        let told = SIGNS.iter().zip(self.told()).filter_map(|((node, _), told)| told.map(|told| (*node, told)));
        std::iter::once((POOR, true)).chain(told).collect()
    }
}

/// The causes of a poor result, likeliest first.
///
/// # Errors
/// Signs that cannot be under the network.
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::no_longer_works::*;
/// let background = Background { generations: Some(12.0), watering_matters: true, false_alarm: 0.05, power: 0.9 };
/// let bag = Signs { past_its_date: Some(true), alarm: Some(false), ..Signs::default() };
/// assert_eq!(why_poor(&background, &bag)?[0].why, Why::DeadMaterial);
/// # Ok::<(), groundlore_plant_health::network::NetworkError>(())
/// ```
pub fn why_poor(background: &Background, signs: &Signs) -> Result<Vec<Odds>, NetworkError> {
    let network = network(background)?;
    let evidence = signs.evidence();
    let mut odds = Vec::new();
    for (place, why) in Why::ALL.into_iter().enumerate() {
        let before = network.posterior(place, &[(POOR, true)])?;
        odds.push(Odds { why, before, probability: network.posterior(place, &evidence)? });
    }
    odds.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    Ok(odds)
}

/// What nobody looked for, by how much it is expected to move the chance that the control no longer works.
///
/// # Errors
/// As [`why_poor`].
pub fn looks(background: &Background, signs: &Signs) -> Result<Vec<Look>, NetworkError> {
    let network = network(background)?;
    let evidence = signs.evidence();
    let now = network.posterior(0, &evidence)?;
    let mut found = Vec::new();
    for ((node, what), _) in SIGNS.iter().zip(signs.told()).filter(|(_, told)| told.is_none()) {
        let yes = network.posterior(*node, &evidence)?;
        let with = |present: bool| {
            let more: Vec<(usize, bool)> = evidence.iter().copied().chain([(*node, present)]).collect();
            network.posterior(0, &more)
        };
        let mut moves = 0.0;
        for (present, chance) in [(true, yes), (false, 1.0 - yes)] {
            if chance > 0.0 {
                moves += chance * (with(present)? - now).abs();
            }
        }
        found.push(Look { what, moves });
    }
    found.sort_by(|a, b| b.moves.total_cmp(&a.moves));
    Ok(found)
}

/// What may be said of a control over its years.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Fewer than three years with an untreated check.
    TooLittle,
    /// No alarm.
    Holds,
    /// An alarm; most of it is still controlled, or the odds name another cause first.
    Sliding,
    /// An alarm, less than half is controlled now, and no other cause is likelier.
    NoLongerWorks,
}

/// Says how a control stands: the alarm of its years, its level now (90 %), and the odds of why.
pub fn standing(watched: Option<&Watched>, now: &Level, odds: &[Odds]) -> Standing {
    let Some(watched) = watched else { return Standing::TooLittle };
    if watched.alarm.is_none() {
        return Standing::Holds;
    }
    let (middle, _, high) = now.control(0.9);
    let first = odds.first().is_some_and(|o| o.why == Why::NoLongerWorks);
    if middle < 0.5 && high < 0.75 && first { Standing::NoLongerWorks } else { Standing::Sliding }
}

#[cfg(test)]
mod tests {
    use super::*;

    const USUALLY: Background = Background { generations: Some(10.0), watering_matters: true, false_alarm: 0.05, power: 0.9 };

    fn odds_of(why: Why, background: &Background, signs: &Signs) -> f64 {
        why_poor(background, signs).unwrap_or_default().iter().find(|o| o.why == why).map_or(f64::NAN, |o| o.probability)
    }

    /// The same by adding up all 32 states of the five causes (independent of the elimination).
    fn by_adding_up(background: &Background, signs: &Signs) -> f64 {
        let prior = [1.0 - 0.99_f64.powf(background.generations.unwrap_or(5.0)), 0.2, 0.12, 0.15, 0.06];
        let or = |state: usize, links: [f64; 5], leak: f64| {
            1.0 - (0..5).filter(|i| state >> i & 1 == 1).fold(1.0 - leak, |none, i| none * (1.0 - links[i]))
        };
        let told = |chance: f64, seen: Option<bool>| seen.map_or(1.0, |yes| if yes { chance } else { 1.0 - chance });
        let (mut with, mut all) = (0.0, 0.0);
        for state in 0..32_usize {
            let has = |i: usize| state >> i & 1 == 1;
            let mut p: f64 = (0..5).map(|i| if has(i) { prior[i] } else { 1.0 - prior[i] }).product();
            p *= or(state, MAKES_POOR.0, MAKES_POOR.1);
            p *= told(or(state, [background.power, 0.1, 0.1, 0.05, 0.05], background.false_alarm), signs.alarm);
            p *= told(or(state, SHOWS_ELSEWHERE.0, SHOWS_ELSEWHERE.1), signs.elsewhere_too);
            let records = [signs.outside_window, signs.rate_below_card, signs.dry_after, signs.past_its_date];
            for (i, seen) in records.into_iter().enumerate() {
                let (yes, no) = SHOWN_BY[i];
                p *= told(if has(i + 1) { yes } else { no }, seen);
            }
            all += p;
            with += if has(0) { p } else { 0.0 };
        }
        with / all
    }

    #[test]
    fn the_odds_are_those_of_adding_up_every_state() {
        let some = [None, Some(true), Some(false)];
        for alarm in some {
            for elsewhere_too in some {
                for rate_below_card in some {
                    let signs = Signs { alarm, elsewhere_too, rate_below_card, dry_after: Some(false), ..Signs::default() };
                    let (seen, expected) = (odds_of(Why::NoLongerWorks, &USUALLY, &signs), by_adding_up(&USUALLY, &signs));
                    assert!((seen - expected).abs() < 1e-12, "{signs:?}: {seen}, expected {expected}");
                }
            }
        }
    }

    #[test]
    fn each_sign_raises_its_own_cause_and_explains_the_others_away() {
        let none = Signs::default();
        let rows = [
            (Why::NoLongerWorks, Signs { alarm: Some(true), ..none }),
            (Why::WrongStage, Signs { outside_window: Some(true), ..none }),
            (Why::LowDose, Signs { rate_below_card: Some(true), ..none }),
            (Why::NotWateredIn, Signs { dry_after: Some(true), ..none }),
            (Why::DeadMaterial, Signs { past_its_date: Some(true), ..none }),
        ];
        for (why, signs) in rows {
            assert_eq!(why_poor(&USUALLY, &signs).map(|o| o[0].why), Ok(why));
            for other in Why::ALL.into_iter().filter(|other| *other != why) {
                assert!(odds_of(other, &USUALLY, &signs) <= odds_of(other, &USUALLY, &none) + 1e-12, "{why:?} raises {other:?}");
            }
        }
    }

    #[test]
    fn more_generations_and_no_need_of_water_count() {
        let alarm = Signs { alarm: Some(true), ..Signs::default() };
        let of = |generations: f64| odds_of(Why::NoLongerWorks, &Background { generations: Some(generations), ..USUALLY }, &alarm);
        assert!(of(1.0) < of(10.0) && of(10.0) < of(30.0));
        let dry = Background { watering_matters: false, ..USUALLY };
        assert!(odds_of(Why::NotWateredIn, &dry, &Signs::default()).abs() < 1e-12);
    }

    #[test]
    fn only_what_nobody_looked_for_is_asked_for() {
        let all = looks(&USUALLY, &Signs::default()).unwrap_or_default();
        assert_eq!(all.len(), 6);
        assert!(all[0].what.contains("several years") && all.windows(2).all(|w| w[0].moves >= w[1].moves));
        let fewer = looks(&USUALLY, &Signs { alarm: Some(true), ..Signs::default() }).unwrap_or_default();
        assert!(fewer.len() == 5 && fewer.iter().all(|l| !l.what.contains("several years")));
    }
}
