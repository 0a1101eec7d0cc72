//! When a treatment goes on: what the control does at the stage that is here and at the one ahead, what is injured by then, and the odds
//! that the stage is met.
//!
//! # Model
//! Of the injury that is still to come this season, a share is done before the day of treatment (spread evenly over the days on which the
//! trouble injures) and is not undone; of the rest the control saves its share where the stage is met, and nothing where it is missed.
//! Where the stage is looked for first, a treatment that comes too late is not paid for either.

use super::injury::{Curve, World};
use super::money::{Money, view};
use super::{Case, StratumView};
use crate::belief::Belief;
use crate::clock::Season;
use crate::density::StratumDensity;
use groundlore_lore::provenance::DayRange;
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A treatment at one time.
#[derive(Debug, Clone)]
pub struct Act<'a> {
    /// Stage it would meet, by name; none where no clock tells it.
    pub stage: Option<String>,
    /// Day.
    pub on: Date,
    /// Chance that the stage is not missed, 0–1.
    pub met: f64,
    /// True where the stage is looked for before anything is applied.
    pub looked_for: bool,
    /// What the control does at that stage; none where nobody has seen it.
    pub efficacy: Option<&'a Belief>,
}

/// The times at which one may act.
#[derive(Debug, Clone)]
pub struct Timing<'a> {
    /// Day of the question.
    pub today: Date,
    /// Treating now.
    pub now: Act<'a>,
    /// Treating at the next stage ahead on which the control works; none where that stage is here, or none comes this season.
    pub at_stage: Option<Act<'a>>,
    /// Treating after coming back to count; none where no day for that is left.
    pub again: Option<Act<'a>>,
    /// First and last day on which the trouble injures this season; none where lore does not say.
    pub injures: Option<(Date, Date)>,
}

/// First and last day of a season of the northern year at a latitude: the one that is on, or comes next after `today`. None for days that
/// are none.
///
/// # Example
/// ```
/// # use groundlore_plant_health::decision::injury_days;
/// # use groundlore_lore::provenance::{DayRange, Source};
/// # use jiff::civil::date;
/// let shows = DayRange { from: "08-05".into(), to: "11-05".into(), source: Source(vec!["memory".into()]) };
/// assert_eq!(injury_days(&shows, 43.0, date(2015, 6, 1)), Some((date(2015, 8, 5), date(2015, 11, 5))));
/// assert_eq!(injury_days(&shows, -37.0, date(2015, 6, 1)), Some((date(2016, 2, 5), date(2016, 5, 5))));
/// ```
pub fn injury_days(shows: &DayRange, latitude_deg: f64, today: Date) -> Option<(Date, Date)> {
    let (from, to) = (crate::clock::month_day(&shows.from).ok()?, crate::clock::month_day(&shows.to).ok()?);
    let season = Season::of(latitude_deg, today);
    let in_year = |more: i16| {
        let season = Season { year: season.year + more, south: season.south };
        let (first, last) = (season.date(from).ok()?, season.date(to).ok()?);
        let last = if last < first { last.saturating_add(1.year()) } else { last };
        Some((first, last))
    };
    [-1, 0, 1].into_iter().filter_map(in_year).find(|(_, last)| *last >= today)
}

/// How much of what a control can do is reached at its time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Reach {
    /// Chance that the treatment is paid for at all.
    pub paid: f64,
    /// Chance that its stage is met.
    pub met: f64,
    /// Share of the injury to come that is done before.
    pub done: f64,
}

impl Default for Reach {
    /// Now, and surely.
    fn default() -> Self {
        Self { paid: 1.0, met: 1.0, done: 0.0 }
    }
}

impl Reach {
    /// Share of what the control can save that it still saves.
    pub(super) fn saves(&self) -> f64 {
        self.met * (1.0 - self.done)
    }
}

impl Timing<'_> {
    /// Share of the injury still to come that is done by a day, 0–1; 0 where the days on which it injures are not known or over.
    pub fn done_by(&self, on: Date) -> f64 {
        let Some((first, last)) = self.injures else { return 0.0 };
        let whole = crate::clock::days_between(first, last).max(1) as f64;
        let part = |day: Date| (crate::clock::days_between(first, day) as f64 / whole).clamp(0.0, 1.0);
        let (today, then) = (part(self.today), part(on));
        if today >= 1.0 { 0.0 } else { ((then - today) / (1.0 - today)).clamp(0.0, 1.0) }
    }

    /// How much an act of this season reaches.
    pub fn reach(&self, act: &Act) -> Reach {
        let met = act.met.clamp(0.0, 1.0);
        Reach { paid: if act.looked_for { met } else { 1.0 }, met, done: self.done_by(act.on) }
    }
}

/// What kind of course it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CourseKind {
    /// Nothing is applied.
    Leave,
    /// Treated; when is not told.
    Treat,
    /// Treated now.
    TreatNow,
    /// Treated at the next stage that the control works on.
    TreatAtStage,
    /// Counted on now, then decided.
    CountNow,
    /// Counted again later, then decided.
    CountAgain,
}

/// The treatment that the verdict speaks of.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TimedAct {
    /// When.
    pub kind: CourseKind,
    /// In words.
    pub name: String,
    /// Day; none where no clock tells one.
    pub on: Option<Date>,
    /// How much of what the control can do is reached then.
    pub reach: Reach,
}

/// A course that cannot be reckoned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NotReckoned {
    /// The course.
    pub name: String,
    /// What is not known.
    pub why: String,
    /// Its cost if the control did as much as at its stage, and if it did nothing; none where even that is not known.
    pub between: Option<(f64, f64)>,
}

/// The sums of one way to treat, over the strata looked at.
pub(super) struct Sums<'a> {
    pub(super) act: TimedAct,
    pub(super) case: Case<'a>,
    pub(super) world: World,
    pub(super) money: Money,
    pub(super) curves: Vec<(&'a StratumDensity, Curve)>,
    pub(super) views: Vec<StratumView>,
    /// Expected gain by stratum, without the visit.
    pub(super) gains: Vec<f64>,
    /// Expected repair if nothing is done.
    pub(super) leave: f64,
    /// Expected cost of treating where it pays, or all of it where it pays nowhere.
    pub(super) treat: f64,
    /// What is gained over leaving, if anything.
    pub(super) gain: f64,
    pub(super) some_pay: bool,
}

impl<'a> Sums<'a> {
    /// The sums of a case as it stands; none without prices or a control.
    pub(super) fn of(case: Case<'a>, act: TimedAct) -> Option<Self> {
        let money = Money::read(&case)?;
        let world = World::draw(&case);
        let curves = curves(&case, &world);
        let views: Vec<StratumView> = curves.iter().map(|(stratum, curve)| view(stratum, curve, Some(&money))).collect();
        let leave: f64 = curves.iter().map(|(s, c)| s.area_m2 * money.repair_per_m2 * c.mean(&c.left)).sum();
        let gains: Vec<f64> = views.iter().map(|v| v.gain.unwrap_or(0.0)).collect();
        let gain: f64 = gains.iter().filter(|g| **g > 0.0).sum::<f64>() - money.cost_visit();
        let some_pay = gains.iter().any(|g| *g > 0.0);
        let treat = if some_pay { leave - gain } else { leave - gains.iter().sum::<f64>() + money.cost_visit() };
        Some(Self { act, case, world, money, curves, views, gains, leave, treat, gain, some_pay })
    }

    /// What deciding now saves over leaving.
    pub(super) fn now(&self) -> f64 {
        if self.some_pay { self.gain.max(0.0) } else { 0.0 }
    }

    /// Whether stratum `i` is treated by this way.
    pub(super) fn treats(&self, i: usize) -> bool {
        !self.some_pay || self.gains[i] > 0.0
    }

    fn is_grounded(&self) -> bool {
        self.case.efficacy.is_some_and(|b| b.grounded)
    }
}

/// The strata looked at with their chances of injury.
pub(super) fn curves<'a>(case: &Case<'a>, world: &World) -> Vec<(&'a StratumDensity, Curve)> {
    case.density.looked_at().filter_map(|s| s.grid.as_ref().map(|g| (s, Curve::new(world, g)))).collect()
}

/// Every way to treat that can be reckoned, and those that cannot.
pub(super) struct Ways<'a> {
    /// The one that the verdict speaks of; none without prices or without a control whose effect is known.
    pub(super) chosen: Option<Sums<'a>>,
    /// The other ways to treat.
    pub(super) others: Vec<Sums<'a>>,
    /// Treating or not after counting again.
    pub(super) again: Option<Sums<'a>>,
    /// What cannot be reckoned.
    pub(super) not_reckoned: Vec<NotReckoned>,
}

impl<'a> Ways<'a> {
    pub(super) fn of(case: &Case<'a>) -> Self {
        let Some(timing) = case.timing else {
            let act = TimedAct { kind: CourseKind::Treat, name: "treat".to_owned(), on: None, reach: case.reach };
            return Self { chosen: Sums::of(case.clone(), act), others: Vec::new(), again: None, not_reckoned: Vec::new() };
        };
        let seen = |act: &Act<'a>| act.efficacy.filter(|b| b.observations > 0);
        let sums = |act: &Act<'a>, kind: CourseKind| {
            let reach = timing.reach(act);
            let told = TimedAct { kind, name: name(timing, act, kind), on: Some(act.on), reach };
            Sums::of(Case { efficacy: Some(seen(act)?), reach, ..case.clone() }, told)
        };
        let at_stage = timing.at_stage.as_ref().and_then(|act| sums(act, CourseKind::TreatAtStage));
        let now = sums(&timing.now, CourseKind::TreatNow);
        let again = timing.again.as_ref().and_then(|act| sums(act, CourseKind::CountAgain));
        let mut not_reckoned = Vec::new();
        for (act, kind) in
            std::iter::once((&timing.now, CourseKind::TreatNow)).chain(timing.at_stage.as_ref().map(|a| (a, CourseKind::TreatAtStage)))
        {
            if seen(act).is_none() {
                let stage = act.stage.clone().map_or_else(|| "what is there then".to_owned(), |s| format!("this stage ({s})"));
                not_reckoned.push(NotReckoned {
                    name: name(timing, act, kind),
                    why: format!("nobody has seen what this control does to {stage}"),
                    between: timing.at_stage.as_ref().and_then(seen).and_then(|belief| between(case, belief)),
                });
            }
        }
        let mut all: Vec<Sums> = [now, at_stage].into_iter().flatten().collect();
        // What rests on a publication or on own counts goes before what is only remembered, then the cheaper.
        all.sort_by(|a, b| b.is_grounded().cmp(&a.is_grounded()).then(a.treat.total_cmp(&b.treat)));
        let mut all = all.into_iter();
        Self { chosen: all.next(), others: all.collect(), again, not_reckoned }
    }
}

/// Costs of treating now all that was looked at: if the control did what it does at its stage, and if it did nothing.
fn between(case: &Case, belief: &Belief) -> Option<(f64, f64)> {
    let act = TimedAct { kind: CourseKind::TreatNow, name: String::new(), on: None, reach: Reach::default() };
    let sums = Sums::of(Case { efficacy: Some(belief), reach: Reach::default(), ..case.clone() }, act)?;
    let priced = |(i, (stratum, _)): (usize, &(&StratumDensity, Curve))| {
        if sums.treats(i) { stratum.area_m2 * sums.money.cost_per_m2() } else { 0.0 }
    };
    let price: f64 = sums.curves.iter().enumerate().map(priced).sum::<f64>() + sums.money.cost_visit();
    Some((sums.treat, sums.leave + price))
}

fn name(timing: &Timing, act: &Act, kind: CourseKind) -> String {
    let stage = act.stage.as_deref();
    match (kind, stage) {
        (CourseKind::TreatAtStage, Some(stage)) => format!("treat at its stage ({stage}, about {})", act.on),
        (CourseKind::TreatAtStage, None) => format!("treat about {}", act.on),
        (CourseKind::TreatNow, Some(stage)) if timing.at_stage.is_none() && act.efficacy.is_some() => {
            format!("treat now, at its stage ({stage})")
        }
        (CourseKind::TreatNow, Some(stage)) => format!("treat now ({stage})"),
        (CourseKind::TreatNow, None) => "treat now".to_owned(),
        (CourseKind::CountAgain, _) => format!("wait and count again about {}, then decide", act.on),
        _ => "treat".to_owned(),
    }
}
