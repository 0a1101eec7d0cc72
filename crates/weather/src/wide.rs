//! Loops over columns, compiled for the widest vectors that the machine has; chosen while the program runs.
//!
//! Every operation in such a loop is rounded by itself (none is fused with the next), so that a column comes out the same on every machine
//! and the same as day by day.

mod exponential;
mod half_power;

pub(crate) use exponential::exp;
pub(crate) use half_power::{arc_cosine, sine_cap};

/// Runs a loop in the form that suits the machine best. What it calls has to be inlined into it.
#[inline]
pub(crate) fn widest<Answer>(work: impl FnOnce() -> Answer) -> Answer {
    pulp::Arch::new().dispatch(work)
}

/// Sum of a column, in an order that is the same for every width: sixteen sums side by side, then those together.
#[inline(always)]
pub(crate) fn sum(column: &[f64]) -> f64 {
    const SIDE_BY_SIDE: usize = 16;
    let (chunks, rest) = column.as_chunks::<SIDE_BY_SIDE>();
    let mut sums = [0.0; SIDE_BY_SIDE];
    for chunk in chunks {
        for (sum, value) in sums.iter_mut().zip(chunk) {
            *sum += value;
        }
    }
    for (sum, value) in sums.iter_mut().zip(rest) {
        *sum += value;
    }
    let mut width = SIDE_BY_SIDE / 2;
    while width > 0 {
        for place in 0..width {
            sums[place] += sums[place + width];
        }
        width /= 2;
    }
    sums[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_of_halves_and_ones_is_exact_at_every_length() {
        for length in 0..70_u32 {
            let column: Vec<f64> = (0..length).map(|place| 0.5 * f64::from(place)).collect();
            assert_eq!(sum(&column), 0.25 * f64::from(length) * (f64::from(length) - 1.0).max(0.0), "{length}");
        }
    }

    #[test]
    fn widest_gives_what_the_plain_loop_gives() {
        let column: Vec<f64> = (0..1000).map(|place| f64::from(place) * 0.037 - 18.0).collect();
        let plain: Vec<f64> = column.iter().map(|value| exp(*value)).collect();
        let wide = widest(|| column.iter().map(|value| exp(*value)).collect::<Vec<f64>>());
        assert_eq!(plain, wide);
    }
}
