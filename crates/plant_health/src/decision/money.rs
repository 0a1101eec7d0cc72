//! The sums of money on either side.

use super::doubt::{Asks, OddsWrong, odds};
use super::injury::{Curve, World};
use super::reasons::per_ft2;
use super::{Case, StratumView, Verdict};
use crate::density::{Ramp, StratumDensity};

pub(super) fn view(stratum: &StratumDensity, curve: &Curve, money: Option<&Money>) -> StratumView {
    let p_injury = curve.mean(&curve.left);
    let p_injury_treated = curve.treated.as_ref().map(|t| curve.mean(t));
    let gain = money.zip(p_injury_treated).map(|(m, treated)| stratum.area_m2 * (m.repair_per_m2 * (p_injury - treated) - m.cost_per_m2()));
    StratumView { name: stratum.name.clone(), p_injury, p_injury_treated, gain, p_wrong: None }
}

/// Prices that a sum needs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Money {
    pub(super) repair_per_m2: f64,
    pub(super) treatment_per_m2: f64,
    pub(super) treatment_visit: f64,
    pub(super) side_effects_per_m2: f64,
    pub(super) side_effects_visit: f64,
    pub(super) count_each: Option<f64>,
    pub(super) count_visit: f64,
    /// Chance that the treatment is paid for at all.
    pub(super) paid: f64,
}

impl Money {
    pub(super) fn read(case: &Case) -> Option<Self> {
        let prices = case.prices;
        case.efficacy?;
        Some(Self {
            repair_per_m2: prices.repair_per_m2?,
            treatment_per_m2: prices.treatment_per_m2?,
            treatment_visit: prices.treatment_visit.unwrap_or(0.0),
            side_effects_per_m2: prices.side_effects_per_m2.unwrap_or(0.0),
            side_effects_visit: prices.side_effects_visit.unwrap_or(0.0),
            count_each: prices.count_each,
            count_visit: prices.count_visit.unwrap_or(0.0),
            paid: case.reach.paid,
        })
    }

    /// What treating costs per m², side effects with it, by the chance that it is done at all.
    pub(super) fn cost_per_m2(&self) -> f64 {
        self.paid * (self.treatment_per_m2 + self.side_effects_per_m2)
    }

    /// What treating costs whatever the area, side effects with it, by the same chance.
    pub(super) fn cost_visit(&self) -> f64 {
        self.paid * (self.treatment_visit + self.side_effects_visit)
    }
}

/// Density per m² at which treating the whole area looked at just pays, by bisection up from nought.
pub(super) fn break_even(world: &World, money: &Money, area_m2: f64) -> Option<f64> {
    let cost = money.cost_per_m2() + money.cost_visit() / area_m2;
    let pays = |density: f64| {
        let (left, treated) = world.injury_at(density);
        money.repair_per_m2 * (left - treated.unwrap_or(left)) >= cost
    };
    let lowest = world.mixed.iter().map(Ramp::low_per_m2).fold(f64::INFINITY, f64::min);
    if !lowest.is_finite() {
        return None;
    }
    let ladder: Vec<f64> = (0..160).map(|i| lowest * 0.5 * (f64::from(i) * 0.05).exp()).collect();
    let first = ladder.iter().position(|&d| pays(d))?;
    let (mut low, mut high) = (if first == 0 { 0.0 } else { ladder[first - 1] }, ladder[first]);
    for _ in 0..30 {
        let middle = f64::midpoint(low, high);
        if pays(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

/// Gain of treating one stratum at each density of its posterior.
pub(super) fn gain_curve(money: &Money, stratum: &StratumDensity, curve: &Curve) -> Vec<f64> {
    let treated = curve.treated.as_ref().unwrap_or(&curve.left);
    let per_m2 = curve.left.iter().zip(treated).map(|(l, t)| money.repair_per_m2 * (l - t) - money.cost_per_m2());
    per_m2.map(|g| g * stratum.area_m2).collect()
}

/// Odds for each stratum that the truth asks for the other answer there: where the yard is treated, that this stratum belongs on the
/// other side; where it is left, that treating would have paid after all.
pub(super) fn odds_by_stratum(
    world: &World,
    money: &Money,
    curves: &[(&StratumDensity, Curve)],
    gains: &[f64],
    treating: bool,
) -> Vec<OddsWrong> {
    let others = |skip: usize| gains.iter().enumerate().filter(|(i, g)| *i != skip && **g > 0.0).map(|(_, g)| g).sum::<f64>();
    let odds = curves.iter().enumerate().filter_map(|(i, (stratum, _))| {
        let asks = Asks { treating, treated_here: gains[i] > 0.0, others: others(i), visit: money.cost_visit() };
        Some(odds(world, money, stratum, stratum.grid.as_ref()?, &asks))
    });
    odds.collect()
}

pub(super) fn working(money: &Money, verdict: &Verdict, curves: &[(&StratumDensity, Curve)]) -> Vec<String> {
    let mut lines = vec![format!(
        "prices: repair {:.2} per m2, treatment {:.2} per m2 and {:.2} for the visit",
        money.repair_per_m2, money.treatment_per_m2, money.treatment_visit
    )];
    if money.side_effects_per_m2 + money.side_effects_visit > 0.0 {
        lines.push(format!(
            "side effects, as the firm prices them: {:.2} per m2 and {:.2} a treatment",
            money.side_effects_per_m2, money.side_effects_visit
        ));
    }
    for (view, (stratum, _)) in verdict.strata.iter().zip(curves) {
        lines.push(format!(
            "{}: {:.0} m2 × ({:.2} × ({:.3} − {:.3}) − {:.2}) = {:.2} gained by treating it",
            view.name,
            stratum.area_m2,
            money.repair_per_m2,
            view.p_injury,
            view.p_injury_treated.unwrap_or(view.p_injury),
            money.cost_per_m2(),
            view.gain.unwrap_or(0.0)
        ));
    }
    if let Some(costs) = &verdict.costs {
        lines.push(format!("leave: expected repair {:.2}", costs.leave));
        lines.push(format!("treat where it pays: {:.2}", costs.treat));
        if let Some(act) = verdict.act.as_ref().filter(|a| a.kind != super::CourseKind::Treat) {
            lines.push(format!(
                "{}: chance that the stage is met {:.2}, share of the injury to come done before {:.2}",
                act.name, act.reach.met, act.reach.done
            ));
        }
        if let Some(count) = costs.count_more {
            lines.push(format!("count more, then the better of the two: {count:.2}"));
        }
        if let Some(count) = costs.count_again {
            lines.push(format!("wait and count again, then the better of the two: {count:.2}"));
        }
        lines.push(format!("knowing the density for certain would save at most {:.2}", costs.perfect_knowledge));
    }
    if let Some(density) = verdict.break_even_per_m2 {
        lines.push(format!("treating pays from {:.1} per ft2", per_ft2(density)));
    }
    lines
}
