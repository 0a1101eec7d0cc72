//! Thinning a plan to its budget: the largest drifts give first, and none falls under its fewest.

use crate::choose::{Chosen, Relaxed};
use crate::place::Placement;
use crate::wishes::Budget;

/// Takes plants out until the priced ones cost no more than the budget; tells what was taken, if anything.
///
/// Each time the drift that has the most over its fewest gives up the last set (the farthest out) down to the next odd number. Kinds without a price are left alone.
pub(super) fn thin(placement: &mut Placement, kinds: &[Chosen], budget: &Budget) -> Option<Relaxed> {
    let price = |key: &str| kinds.iter().find(|kind| kind.key == key).and_then(|kind| budget.price(kind.kind)).unwrap_or(0.0);
    let cost = |placement: &Placement| placement.plants.iter().map(|one| price(&one.plant_key)).sum::<f64>();
    let before = (cost(placement), placement.plants.len());
    while cost(placement) > budget.total {
        let over = |drift: &usize| placement.drifts[*drift].number.saturating_sub(fewest(placement.drifts[*drift].asked));
        let to_odd = |drift: usize| 1 + placement.drifts[drift].number % 2;
        let costs = |drift: &usize| price(&placement.drifts[*drift].plant_key) > 0.0 && over(drift) >= to_odd(*drift);
        let Some(drift) = (0..placement.drifts.len()).filter(costs).max_by(|a, b| over(a).cmp(&over(b)).then(b.cmp(a))) else { break };
        for _ in 0..to_odd(drift) {
            if let Some(last) = placement.plants.iter().rposition(|one| one.drift == drift) {
                placement.plants.remove(last);
                placement.drifts[drift].number -= 1;
            }
        }
    }
    let taken = before.1 - placement.plants.len();
    (taken > 0).then(|| Relaxed {
        wish: "full planting".to_owned(),
        asked: format!("{} plants for {:.2}", before.1, before.0),
        given: format!("{} plants for {:.2}; {taken} left out of the largest drifts", placement.plants.len(), cost(placement)),
        why: format!("the budget is {:.2}; mulch the gaps, and divide in some years to close them", budget.total),
    })
}

/// Fewest plants in a thinned drift: that of its sociability, but five are a drift of any (ours).
fn fewest(asked: (usize, usize)) -> usize {
    asked.0.min(5)
}
