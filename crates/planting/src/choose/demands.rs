//! What the choice must meet, and in which order it gives way.

use super::Relaxed;
use super::candidates::Candidate;
use crate::calendar::month_name;
use crate::outline::BedSize;
use crate::wishes::Wishes;
use serde::{Deserialize, Serialize};

/// A wish that can give way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Every wished colour appears.
    Colours,
    /// Low, middle and high plants are mixed.
    HeightMix,
    /// Two kinds that are good for each wished visitor (one in a bed of fewer than eight kinds).
    Visitors,
    /// Kinds in bloom: at most two a month.
    TwoInBloom,
    /// Kinds in bloom: at most one a month.
    OneInBloom,
    /// One plant taller than asked.
    OneTaller,
    /// No month need have bloom.
    NoneInBloom,
}

/// The order in which wishes give way when no choice meets them all: the first goes first.
pub const RELAX_ORDER: [Step; 7] =
    [Step::Colours, Step::HeightMix, Step::Visitors, Step::TwoInBloom, Step::OneInBloom, Step::OneTaller, Step::NoneInBloom];

/// Demands on the set of kinds; each is a number of kinds.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Demands {
    /// (month, kinds in bloom).
    pub(super) bloom: Vec<(u8, usize)>,
    /// (visitor, kinds of value 2 or 3).
    pub(super) visitors: Vec<(String, usize)>,
    /// Colours of which one kind each.
    pub(super) colours: Vec<String>,
    /// Kinds that are low, middle, high.
    pub(super) heights: [usize; 3],
    /// How the tall one is measured.
    pub(super) taller: Option<Taller>,
    /// Most kinds.
    pub(super) most: usize,
}

/// A demand for one taller plant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Taller {
    pub(super) above_m: f64,
    pub(super) by_high_end: bool,
}

/// A kind seen as a drift needs about this much of a bed, square metres (`common practice`).
const KIND_M2: f64 = 0.9;

/// Low, middle or high: below 0.45 m, below 1 m, and above (ours).
pub(super) fn height_class(height_m: f64) -> usize {
    usize::from(height_m >= 0.45) + usize::from(height_m >= 1.0)
}

/// The demands that lore can meet at all, and what is already less than wished.
pub(super) fn first(fit: &[Candidate<'_>], wishes: &Wishes, bed: BedSize) -> (Demands, Vec<Relaxed>) {
    let mut relaxed = Vec::new();
    let most = wishes.max_kinds.min(((bed.area_m2 / KIND_M2) as usize).max(3)).max(wishes.include.len());
    if most < wishes.max_kinds {
        relaxed.push(told(
            "most kinds",
            format!("up to {}", wishes.max_kinds),
            format!("up to {most}"),
            format!("a kind needs about {KIND_M2} m² to be seen as a group and the bed has {:.1} m²", bed.area_m2),
        ));
    }
    let each = most / 5;
    let available = |class: usize| fit.iter().filter(|one| height_class(one.middle_height_m()) == class).count();
    let demands = Demands {
        bloom: bloom(fit, wishes, &mut relaxed),
        visitors: visitors(fit, wishes, if most >= 8 { 2 } else { 1 }, &mut relaxed),
        colours: colours(fit, wishes, &mut relaxed),
        heights: std::array::from_fn(|class| available(class).min(each.min(2))),
        taller: taller(fit, wishes, &mut relaxed),
        most,
    };
    (demands, relaxed)
}

fn told(wish: &str, asked: String, given: String, why: String) -> Relaxed {
    Relaxed { wish: wish.to_owned(), asked, given, why }
}

fn bloom(fit: &[Candidate<'_>], wishes: &Wishes, relaxed: &mut Vec<Relaxed>) -> Vec<(u8, usize)> {
    let mut months = wishes.bloom_months.clone();
    months.sort_unstable();
    months.dedup();
    let mut demands = Vec::new();
    for month in months {
        let there = fit.iter().filter(|one| one.months.contains(&month)).count();
        if there < wishes.kinds_in_bloom {
            relaxed.push(told(
                "bloom",
                format!("{} kinds in bloom in {}", wishes.kinds_in_bloom, month_name(month)),
                format!("at most {there}"),
                format!("lore has {there} that flower then and fit the bed"),
            ));
        }
        demands.push((month, there.min(wishes.kinds_in_bloom)));
    }
    demands
}

fn visitors(fit: &[Candidate<'_>], wishes: &Wishes, each: usize, relaxed: &mut Vec<Relaxed>) -> Vec<(String, usize)> {
    let mut demands = Vec::new();
    for visitor in &wishes.visitors {
        let there = fit.iter().filter(|one| one.visitor_value(visitor) >= 2).count();
        if there < each {
            relaxed.push(told(
                "visitors",
                format!("{each} kinds good for {visitor}"),
                format!("at most {there}"),
                format!("lore has {there} that fit the bed"),
            ));
        }
        demands.push((visitor.clone(), there.min(each)));
    }
    demands
}

fn colours(fit: &[Candidate<'_>], wishes: &Wishes, relaxed: &mut Vec<Relaxed>) -> Vec<String> {
    let (there, missing): (Vec<String>, Vec<String>) =
        wishes.colours.iter().cloned().partition(|colour| fit.iter().any(|one| one.has_colour(colour)));
    relaxed.extend(missing.into_iter().map(|colour| {
        told("colours", format!("{colour} flowers"), "none".to_owned(), "lore has no plant of that colour that fits the bed".to_owned())
    }));
    there
}

fn taller(fit: &[Candidate<'_>], wishes: &Wishes, relaxed: &mut Vec<Relaxed>) -> Option<Taller> {
    let above_m = wishes.at_least_one_taller_than_m?;
    if fit.iter().any(|one| one.middle_height_m() > above_m) {
        return Some(Taller { above_m, by_high_end: false });
    }
    if fit.iter().any(|one| one.height_m.1 > above_m) {
        return Some(Taller { above_m, by_high_end: true });
    }
    let tallest = fit.iter().max_by(|a, b| a.middle_height_m().total_cmp(&b.middle_height_m()));
    relaxed.push(told(
        "one taller",
        format!("one plant taller than {above_m:.2} m"),
        tallest.map_or_else(
            || "none".to_owned(),
            |one| format!("none; the tallest that fits is {} at {:.2} m", one.plant.name, one.middle_height_m()),
        ),
        "no taller plant fits the bed's depth, light, soil and zone".to_owned(),
    ));
    None
}

impl Demands {
    /// The demands without one, and how that is told; `None` when it was not asked.
    pub(super) fn without(&self, step: Step) -> Option<(Demands, Relaxed)> {
        let mut eased = self.clone();
        let why = "no choice meets it together with the other wishes".to_owned();
        let relaxed = match step {
            Step::Colours => {
                eased.colours.clear();
                told("colours", self.colours.join(", "), "as they come".to_owned(), why)
            }
            Step::HeightMix => {
                eased.heights = [0; 3];
                told(
                    "height mix",
                    format!("{} low, {} middle, {} high kinds", self.heights[0], self.heights[1], self.heights[2]),
                    "heights as they come".to_owned(),
                    why,
                )
            }
            Step::Visitors => {
                eased.visitors.clear();
                told(
                    "visitors",
                    self.visitors.iter().map(|(kind, n)| format!("{n} kinds for {kind}")).collect::<Vec<_>>().join(", "),
                    "visitors by value only".to_owned(),
                    why,
                )
            }
            Step::TwoInBloom => eased.at_most_in_bloom(2, why),
            Step::OneInBloom => eased.at_most_in_bloom(1, why),
            Step::NoneInBloom => eased.at_most_in_bloom(0, why),
            Step::OneTaller => {
                eased.taller = self.taller.filter(|taller| !taller.by_high_end).map(|taller| Taller { by_high_end: true, ..taller });
                let above_m = self.taller.map_or(0.0, |taller| taller.above_m);
                let given = if eased.taller.is_some() { "one that is taller at the high end of its range" } else { "none" };
                told("one taller", format!("one plant taller than {above_m:.2} m"), given.to_owned(), why)
            }
        };
        (eased != *self).then_some((eased, relaxed))
    }

    fn at_most_in_bloom(&mut self, most: usize, why: String) -> Relaxed {
        let before = self.bloom.iter().map(|(_, kinds)| *kinds).max().unwrap_or(0);
        for (_, kinds) in &mut self.bloom {
            *kinds = (*kinds).min(most);
        }
        told("bloom", format!("{before} kinds in bloom a month"), format!("at least {most} a month, more where it can be had"), why)
    }
}
