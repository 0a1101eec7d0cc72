//! Cost, overhead, margin and markup, and the priced lines of a proposal.
//!
//! Margin is profit over price; markup is profit over cost. They are never mixed: 25 % markup is 20 % margin.

use crate::{WorkError, positive};
use serde::{Deserialize, Serialize};

/// How profit is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Profit {
    /// Share of the cost added to it, 0 or more.
    Markup(f64),
    /// Share of the price that is profit, below 1.
    Margin(f64),
}

/// A price with both shares.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Price {
    /// Price.
    pub price: f64,
    /// Profit over price.
    pub margin: f64,
    /// Profit over cost.
    pub markup: f64,
}

/// Price from cost by markup or by margin.
///
/// # Errors
/// A cost at or below zero, a markup below 0, a margin below 0 or not below 1.
///
/// # Source
/// Engineering ToolBox, *Markup and gross profit*: cost 200,000 at 25 % markup is 250,000, margin 20 %.
///
/// ```
/// use groundlore_work::price::{Profit, price};
/// let p = price(200_000.0, Profit::Markup(0.25))?;
/// assert_eq!((p.price, p.margin), (250_000.0, 0.2));
/// # Ok::<(), groundlore_work::WorkError>(())
/// ```
pub fn price(cost: f64, profit: Profit) -> Result<Price, WorkError> {
    let cost = positive("cost", cost)?;
    match profit {
        Profit::Markup(markup) if markup.is_finite() && markup >= 0.0 => {
            Ok(Price { price: cost * (1.0 + markup), margin: markup / (1.0 + markup), markup })
        }
        Profit::Margin(margin) if (0.0..1.0).contains(&margin) => {
            Ok(Price { price: cost / (1.0 - margin), margin, markup: margin / (1.0 - margin) })
        }
        Profit::Markup(markup) => Err(WorkError::Share { name: "markup", value: markup, bounds: "0 or more, for example 25%" }),
        Profit::Margin(margin) => Err(WorkError::Share { name: "margin", value: margin, bounds: "0 or more and below 1, for example 20%" }),
    }
}

/// One line of a proposal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Line {
    /// What it is.
    pub what: String,
    /// Amount, printed with its unit.
    pub amount: String,
    /// Labour, materials, machines or bought-in work.
    pub kind: CostKind,
    /// Direct cost.
    pub cost: f64,
    /// How the cost was reckoned.
    pub working: String,
}

/// Kind of direct cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CostKind {
    /// People's time.
    Labour,
    /// Materials and plants.
    Materials,
    /// Machines.
    Machines,
    /// Work bought in.
    BoughtIn,
}

/// A priced proposal: cost, overhead, profit and price, each apart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Priced {
    /// The lines, with their direct costs.
    pub lines: Vec<Line>,
    /// Sum of direct costs.
    pub direct: f64,
    /// Overhead recovered.
    pub overhead: f64,
    /// Cost with overhead.
    pub cost: f64,
    /// Profit.
    pub profit: f64,
    /// Price.
    pub price: f64,
    /// Profit over price.
    pub margin: f64,
    /// Profit over cost.
    pub markup: f64,
    /// The price to each line, in the proportion of its cost; sums to the price to the cent.
    pub line_prices: Vec<f64>,
}

/// Prices lines with a single overhead rate on direct cost, then profit on cost with overhead.
///
/// # Errors
/// No line, a cost below zero, overhead below zero, or profit out of range.
pub fn proposal(lines: Vec<Line>, overhead_rate: f64, profit: Profit) -> Result<Priced, WorkError> {
    if let Some(wrong) = lines.iter().find(|line| !(line.cost.is_finite() && line.cost >= 0.0)) {
        return Err(WorkError::Impossible(format!("`{}` costs {}; a cost is 0 or more", wrong.what, wrong.cost)));
    }
    if !(overhead_rate.is_finite() && overhead_rate >= 0.0) {
        return Err(WorkError::Share { name: "overhead", value: overhead_rate, bounds: "0 or more, for example 30%" });
    }
    let direct: f64 = lines.iter().map(|line| line.cost).sum();
    let overhead = direct * overhead_rate;
    let cost = direct + overhead;
    let found = price(cost, profit)?;
    let line_prices = share_to_the_cent(&lines.iter().map(|line| line.cost).collect::<Vec<_>>(), found.price);
    Ok(Priced {
        lines,
        direct,
        overhead,
        cost,
        profit: found.price - cost,
        price: found.price,
        margin: found.margin,
        markup: found.markup,
        line_prices,
    })
}

/// Splits a total in proportion to weights, in whole cents that sum to the total (largest remainders first).
fn share_to_the_cent(weights: &[f64], total: f64) -> Vec<f64> {
    let sum: f64 = weights.iter().sum();
    if sum <= 0.0 {
        return vec![0.0; weights.len()];
    }
    let cents = (total * 100.0).round();
    let exact: Vec<f64> = weights.iter().map(|w| w / sum * cents).collect();
    let mut whole: Vec<f64> = exact.iter().map(|e| e.floor()).collect();
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by(|a, b| (exact[*b] - whole[*b]).total_cmp(&(exact[*a] - whole[*a])).then(a.cmp(b)));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let missing = (cents - whole.iter().sum::<f64>()).max(0.0) as usize;
    for place in order.into_iter().cycle().take(missing) {
        whole[place] += 1.0;
    }
    whole.into_iter().map(|c| c / 100.0).collect()
}
