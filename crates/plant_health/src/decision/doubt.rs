//! The odds of being wrong: the doubt in density, in species and in what the control does, together and each alone.

use super::injury::{World, WorldDraw};
use super::money::Money;
use crate::density::{DensityGrid, StratumDensity};
use serde::{Deserialize, Serialize};

/// Joint draws of species and control that are set against each density.
const DRAWS: usize = 160;
/// Weights of density under this are left out.
const SLIGHT: f64 = 1e-4;

/// Odds that the answer is the wrong one, by where the doubt lies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct OddsWrong {
    /// From all doubts together.
    pub all: f64,
    /// From how many there are, with species and control at what is expected of them.
    pub density: f64,
    /// From which species they are (and so at which threshold they injure), with density and control at what is expected.
    pub species: f64,
    /// From what the control does, with density and species at what is expected.
    pub control: f64,
}

/// What one stratum would gain by treatment, in one case of how things truly are.
fn gain(money: &Money, area_m2: f64, draw: &WorldDraw, density: f64) -> f64 {
    area_m2 * (money.repair_per_m2 * draw.saved(density) - money.cost_per_m2())
}

/// Whether a gain asks for another answer than the one given.
pub(super) struct Asks {
    /// The answer treats the yard.
    pub(super) treating: bool,
    /// The answer treats this stratum.
    pub(super) treated_here: bool,
    /// What the strata that pay gain besides this one.
    pub(super) others: f64,
    /// Price of the visit, side effects with it.
    pub(super) visit: f64,
}

impl Asks {
    fn otherwise(&self, gain: f64) -> bool {
        if self.treating { (gain > 0.0) != self.treated_here } else { gain.max(0.0) + self.others > self.visit }
    }
}

/// Odds for one stratum.
pub(super) fn odds(world: &World, money: &Money, stratum: &StratumDensity, grid: &DensityGrid, asks: &Asks) -> OddsWrong {
    let draws = world.some(DRAWS);
    let n = draws.len() as f64;
    let area = stratum.area_m2;
    let kept: Vec<(f64, f64)> = grid.per_m2.iter().copied().zip(grid.weights.iter().copied()).filter(|(_, w)| *w > SLIGHT).collect();
    let total: f64 = kept.iter().map(|(_, w)| w).sum();
    let middle = grid.quantile(0.5);
    // By density: the share of draws that ask otherwise, and what the draws gain on average.
    let (mut all, mut density) = (0.0, 0.0);
    for (d, w) in &kept {
        let gains = draws.iter().map(|draw| gain(money, area, draw, *d));
        let (wrong, sum) = gains.fold((0.0, 0.0), |(wrong, sum), g| (wrong + f64::from(u8::from(asks.otherwise(g))), sum + g));
        all += w / total * wrong / n;
        density += w / total * f64::from(u8::from(asks.otherwise(sum / n)));
    }
    let share = |of: &dyn Fn(&WorldDraw) -> WorldDraw| {
        draws.iter().filter(|draw| asks.otherwise(gain(money, area, &of(draw), middle))).count() as f64 / n
    };
    let usual = draws.iter().map(|d| d.efficacy).sum::<f64>() / n;
    let species = share(&|draw| WorldDraw { efficacy: usual, ..*draw });
    // The middle draw by its threshold stands for the species that is expected.
    let mut by_threshold: Vec<&WorldDraw> = draws.iter().collect();
    by_threshold.sort_by(|a, b| a.ramp.low_per_m2().total_cmp(&b.ramp.low_per_m2()));
    let typical = by_threshold.get(by_threshold.len() / 2).map(|d| d.ramp);
    let control = typical.map_or(0.0, |ramp| share(&|draw| WorldDraw { ramp, ..*draw }));
    OddsWrong { all, density, species, control }
}
