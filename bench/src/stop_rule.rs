//! A stop rule's exact operating curve with its mean number of samples, and the stop rule by worth.

use groundlore_plant_health::fixed_precision::{FixedPrecision, VarianceLaw};
use groundlore_plant_health::sequential::{Distribution, Plan, operating_curve};
use std::error::Error;
use std::time::Instant;

/// Points of a curve.
const POINTS: u32 = 33;

/// Times the curves; the chafer's rule at most 20 and 60 samples, a presence rule, and one of fixed precision.
pub fn time(rounds: usize) -> Result<(), Box<dyn Error>> {
    let clumped = Plan { distribution: Distribution::NegativeBinomial { k: 1.5936 }, low: 5.0, high: 10.0, alpha: 0.1, beta: 0.1 };
    let hits = Plan { distribution: Distribution::Binomial, low: 0.1, high: 0.3, alpha: 0.1, beta: 0.1 };
    let fixed = FixedPrecision { law: VarianceLaw::Taylor { a: 2.0, b: 1.3 }, precision: 0.25, fewest: 3, most: 60 };
    for _ in 0..rounds {
        for (name, plan, most) in
            [("clumped-20", &clumped, 20), ("clumped-60", &clumped, 60), ("clumped-200", &clumped, 200), ("hits-60", &hits, 60)]
        {
            let begun = Instant::now();
            let curve = operating_curve(plan, most, POINTS)?;
            println!("{name} {:.6}", begun.elapsed().as_secs_f64());
            println!("{name}-mean-samples {:.4}", curve.iter().map(|p| p.expected_samples).sum::<f64>() / f64::from(POINTS));
        }
        let begun = Instant::now();
        fixed.operating_curve(5.0, POINTS)?;
        println!("fixed-precision-60 {:.6}", begun.elapsed().as_secs_f64());
    }
    Ok(())
}
