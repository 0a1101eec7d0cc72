//! The integer programme: which kinds, so that the demands are met and the value is highest.

use super::ChooseError;
use super::candidates::{Candidate, ROOM_SHARE, is_woody};
use super::demands::{Demands, height_class};
use crate::outline::BedSize;
use crate::wishes::Wishes;
use good_lp::{Constraint, Expression, ProblemVariables, ResolutionError, Solution, SolverModel, Variable, constraint, microlp, variable};
use groundlore_lore::plant::{PlantKind, Vigour};

/// Places in `fit` of the kinds taken, or `None` when no choice meets the demands.
pub(super) fn solve(fit: &[Candidate<'_>], wishes: &Wishes, bed: BedSize, demands: &Demands) -> Result<Option<Vec<usize>>, ChooseError> {
    let mut problem = ProblemVariables::new();
    let take: Vec<Variable> = fit
        .iter()
        .map(|one| {
            let must = i32::from(wishes.include.contains(&one.plant.key));
            problem.add(variable().integer().min(must).max(1))
        })
        .collect();
    let lets_aggressive = problem.add(variable().binary());
    let value: Expression = take.iter().zip(fit).enumerate().map(|(at, (x, one))| value(one, wishes, at) * *x).sum();
    let mut model = problem.maximise(value).using(microlp);
    let rules = counted(fit, &take, demands).into_iter().chain(limits(fit, &take, bed, demands));
    for rule in rules.chain(kept_apart(fit, &take, wishes, lets_aggressive)) {
        model.add_constraint(rule);
    }
    match model.solve() {
        Ok(solution) => Ok(Some((0..take.len()).filter(|at| solution.value(take[*at]) > 0.5).collect())),
        Err(ResolutionError::Infeasible) => Ok(None),
        Err(other) => Err(ChooseError::Solver { said: other.to_string() }),
    }
}

/// Kinds that the choice counts: of those that `counts` is true for, at least `least`.
fn at_least(fit: &[Candidate<'_>], take: &[Variable], least: usize, counts: impl Fn(&Candidate<'_>) -> bool) -> Option<Constraint> {
    let sum: Expression = take.iter().zip(fit).filter(|(_, one)| counts(one)).map(|(x, _)| Expression::from(*x)).sum();
    (least > 0).then(|| constraint!(sum >= least as f64))
}

/// Kinds that the choice counts: of those that `counts` is true for, at most `most`.
fn at_most(fit: &[Candidate<'_>], take: &[Variable], most: usize, counts: impl Fn(&Candidate<'_>) -> bool) -> Option<Constraint> {
    let which: Vec<Variable> = take.iter().zip(fit).filter(|(_, one)| counts(one)).map(|(x, _)| *x).collect();
    (which.len() > most).then(|| {
        let sum: Expression = which.into_iter().map(Expression::from).sum();
        constraint!(sum <= most as f64)
    })
}

fn counted(fit: &[Candidate<'_>], take: &[Variable], demands: &Demands) -> Vec<Constraint> {
    let bloom = demands.bloom.iter().map(|(month, kinds)| at_least(fit, take, *kinds, |one| one.months.contains(month)));
    let visitors = demands.visitors.iter().map(|(kind, kinds)| at_least(fit, take, *kinds, |one| one.visitor_value(kind) >= 2));
    let colours = demands.colours.iter().map(|colour| at_least(fit, take, 1, |one| one.has_colour(colour)));
    let heights = (0..3).map(|class| at_least(fit, take, demands.heights[class], |one| height_class(one.middle_height_m()) == class));
    let taller = demands.taller.map(|taller| {
        at_least(fit, take, 1, |one| (if taller.by_high_end { one.height_m.1 } else { one.middle_height_m() }) > taller.above_m)
    });
    bloom.chain(visitors).chain(colours).chain(heights).chain(taller).flatten().collect()
}

/// Room, most kinds, and a bed of flowers rather than of one sort (a quarter bulbs, a fifth woody: ours).
fn limits(fit: &[Candidate<'_>], take: &[Variable], bed: BedSize, demands: &Demands) -> Vec<Constraint> {
    let room: Expression = take.iter().zip(fit).map(|(x, one)| one.room_m2 * *x).sum();
    let forced = |is: fn(&Candidate<'_>) -> bool, share: usize| (demands.most / share).max(1).min(fit.iter().filter(|one| is(one)).count());
    let bulb: fn(&Candidate<'_>) -> bool = |one| one.plant.kind == PlantKind::Bulb;
    let woody: fn(&Candidate<'_>) -> bool = |one| is_woody(one.plant);
    let kinds = [
        at_most(fit, take, demands.most, |_| true),
        at_least(fit, take, 1, |_| true),
        at_most(fit, take, forced(bulb, 4), bulb),
        at_most(fit, take, forced(woody, 5).max(1), woody),
        at_most(fit, take, 1, |one| one.plant.kind == PlantKind::SmallTree),
    ];
    std::iter::once(constraint!(room <= ROOM_SHARE * bed.area_m2)).chain(kinds.into_iter().flatten()).collect()
}

fn kept_apart(fit: &[Candidate<'_>], take: &[Variable], wishes: &Wishes, lets_aggressive: Variable) -> Vec<Constraint> {
    if !wishes.no_aggressive_beside_dainty {
        return Vec::new();
    }
    let rule = |(x, one): (&Variable, &Candidate<'_>)| match one.plant.vigour {
        Vigour::Aggressive => Some(constraint!(*x <= lets_aggressive)),
        Vigour::Dainty => Some(constraint!(*x <= 1.0 - lets_aggressive)),
        Vigour::Steady => None,
    };
    take.iter().zip(fit).filter_map(rule).collect()
}

/// Value of a kind: visitors wished for (0–3), all visitors (0–1), a wished colour (0.5), wished months covered (0.15 each),
/// less 1.5 for an aggressive spreader; a last 0.0001 by place in the list makes the best choice the only one.
fn value(one: &Candidate<'_>, wishes: &Wishes, at: usize) -> f64 {
    let wished: f64 = wishes.visitors.iter().map(|kind| f64::from(one.visitor_value(kind))).sum();
    let wished = if wishes.visitors.is_empty() { 0.0 } else { wished / wishes.visitors.len() as f64 };
    let all: f64 = one.plant.visitors.iter().map(|visitor| f64::from(visitor.value)).sum::<f64>() / 12.0;
    let colour = if wishes.colours.iter().any(|colour| one.has_colour(colour)) { 0.5 } else { 0.0 };
    let months = one.months.iter().filter(|month| wishes.bloom_months.contains(month)).count() as f64;
    let pushy = if one.plant.vigour == Vigour::Aggressive { 1.5 } else { 0.0 };
    0.2 + wished + all.min(1.0) + colour + 0.15 * months - pushy - 1e-4 * at as f64
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::choose::{candidates, demands};
    use groundlore_lore::Lore;

    /// Whether a set of kinds meets the demands, told without the programme.
    fn meets(set: &[&Candidate<'_>], bed: BedSize, demands: &Demands) -> bool {
        let count = |is: &dyn Fn(&Candidate<'_>) -> bool| set.iter().filter(|one| is(one)).count();
        let has = |vigour: Vigour| count(&|one| one.plant.vigour == vigour) > 0;
        !set.is_empty()
            && set.len() <= demands.most
            && set.iter().map(|one| one.room_m2).sum::<f64>() <= ROOM_SHARE * bed.area_m2
            && demands.bloom.iter().all(|(month, kinds)| count(&|one| one.months.contains(month)) >= *kinds)
            && demands.visitors.iter().all(|(kind, kinds)| count(&|one| one.visitor_value(kind) >= 2) >= *kinds)
            && (0..3).all(|class| count(&|one| height_class(one.middle_height_m()) == class) >= demands.heights[class])
            && demands.taller.is_none_or(|taller| count(&|one| one.middle_height_m() > taller.above_m) >= 1)
            && count(&|one| one.plant.kind == PlantKind::Bulb) <= (demands.most / 4).max(1)
            && count(&|one| is_woody(one.plant)) <= (demands.most / 5).max(1)
            && !(has(Vigour::Aggressive) && has(Vigour::Dainty))
    }

    #[test]
    fn the_programme_finds_what_trying_every_set_finds() {
        let lore = Lore::built_in().unwrap();
        let wishes = Wishes { max_kinds: 6, kinds_in_bloom: 1, at_least_one_taller_than_m: None, ..Wishes::default() };
        let bed = BedSize { area_m2: 10.0, depth_m: 2.0 };
        // Every fifth and fourth plant of lore: few enough to try all sets.
        for every in [5, 4] {
            let few = lore.plants.iter().step_by(every).map(|(key, plant)| (key.clone(), plant.clone())).collect();
            let (fit, _) = candidates::fitting(&few, &wishes, bed).unwrap();
            let demands = demands::first(&fit, &wishes, bed).0;
            let worth = |set: &[usize]| set.iter().map(|at| value(&fit[*at], &wishes, *at)).sum::<f64>();
            let all = (1u32..1 << fit.len()).map(|bits| (0..fit.len()).filter(|at| bits >> at & 1 == 1).collect::<Vec<usize>>());
            let allowed = all.filter(|set| meets(&set.iter().map(|at| &fit[*at]).collect::<Vec<_>>(), bed, &demands));
            let best = allowed.max_by(|a, b| worth(a).total_cmp(&worth(b)));
            assert_eq!(solve(&fit, &wishes, bed, &demands).unwrap(), best, "{} plants", fit.len());
        }
    }
}
