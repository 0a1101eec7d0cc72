//! Quantiles as curves over a yard's temperature shift: read at knots an eighth of a kelvin or so apart, drawn straight between them.
//!
//! A quantile is kept with its place within the day, by how far into that day's share of the sample it falls. That place moves smoothly with
//! the shift where the whole day leaps, so that a straight line between two knots finds the day. Where it bends too much for that (the date
//! leaps over a cold spell, or falls among futures without the event) the yard is read from the dates themselves.

use super::ShiftSteps;

/// Knots from one step of shift to the next.
const KNOTS_A_STEP: usize = 4;
/// Most days by which a knot may lie off the line through its neighbours, for the curve to be followed beside it.
const MOST_BEND_DAYS: f64 = 0.8;
/// Shifts nearer to a knot than this share of the way stand on it.
const ROUNDING: f64 = 1e-9;

/// What is read at one knot: three quantiles in days from the outlook's first (NaN for none), and the share without the event.
pub(super) type Knot = [f64; 4];

/// The curves of all events of a grid.
#[derive(Debug, Clone)]
pub(super) struct Curves {
    /// By event, then knot.
    knots: Vec<Knot>,
    /// By event, then knot: whether the line from this knot to the next may be followed.
    straight: Vec<bool>,
    number: usize,
    low_c: f64,
    apart_c: f64,
}

impl Curves {
    /// The shifts of the knots, K; none for a grid of a single step, which needs no curves.
    pub(super) fn shifts_c(steps: ShiftSteps) -> Vec<f64> {
        if steps.number < 2 {
            return Vec::new();
        }
        let number = (steps.number - 1) * KNOTS_A_STEP + 1;
        (0..number).map(|knot| steps.low_c + knot as f64 * steps.apart_c / KNOTS_A_STEP as f64).collect()
    }

    /// From what was read at each knot: by knot, then event.
    pub(super) fn of(steps: ShiftSteps, read: &[Vec<Knot>]) -> Option<Self> {
        let events = read.first()?.len();
        if read.iter().any(|knot| knot.len() != events) {
            return None;
        }
        let number = read.len();
        let knots: Vec<Knot> = (0..events).flat_map(|event| read.iter().map(move |knot| knot[event])).collect();
        let straight = knots.chunks_exact(number).flat_map(|knots| (0..number).map(|knot| is_straight(knots, knot))).collect();
        Some(Self { knots, straight, number, low_c: steps.low_c, apart_c: steps.apart_c / KNOTS_A_STEP as f64 })
    }

    /// The knot below a shift and the share of the way to the next.
    pub(super) fn place(&self, warmer_by_c: f64) -> (usize, f64) {
        let way = ((warmer_by_c - self.low_c) / self.apart_c).clamp(0.0, (self.number - 1) as f64);
        let near = way.round();
        if (way - near).abs() < ROUNDING { (near as usize, 0.0) } else { (way.floor() as usize, way - way.floor()) }
    }

    /// What an event's curves say at a place; none where they may not be followed there.
    pub(super) fn at(&self, event: usize, (knot, share): (usize, f64)) -> Option<Knot> {
        let place = event * self.number + knot;
        let low = self.knots.get(place)?;
        if share <= 0.0 {
            return Some(*low);
        }
        if !*self.straight.get(place)? {
            return None;
        }
        let high = self.knots.get(place + 1)?;
        Some(std::array::from_fn(|at| low[at] + share * (high[at] - low[at])))
    }
}

/// Whether the line from a knot to the next may be followed: neither of them bends too much, and a quantile is there at both or at neither.
fn is_straight(knots: &[Knot], knot: usize) -> bool {
    let Some([low, high]) = knots.get(knot..).and_then(|rest| rest.first_chunk::<2>()) else { return false };
    let bends = |at: usize, quantile: usize| {
        let Some([a, b, c]) = at.checked_sub(1).and_then(|before| knots.get(before..)?.first_chunk::<3>()) else { return false };
        let bend = a[quantile] - 2.0 * b[quantile] + c[quantile];
        // NaN beyond a knot says nothing against the line.
        bend.abs() > MOST_BEND_DAYS
    };
    (0..3).all(|quantile| low[quantile].is_nan() == high[quantile].is_nan() && !bends(knot, quantile) && !bends(knot + 1, quantile))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_line_is_followed_and_a_leap_is_not() {
        let steps = ShiftSteps::between(-1.0, 1.0, 0.5).unwrap();
        let shifts = Curves::shifts_c(steps);
        assert_eq!(shifts.len(), 17);
        // The first event comes 4 days earlier by the kelvin; the second leaps by six days between 0.25 and 0.375 K; the third never comes
        // in colder yards.
        let knot = |shift: f64| {
            let leaps = if shift < 0.3 { 100.0 } else { 94.0 };
            let comes = if shift < -0.3 { f64::NAN } else { 120.0 };
            vec![[100.5 - 4.0 * shift; 4], [leaps, leaps, leaps, 0.0], [comes, comes, comes, 0.25]]
        };
        let curves = Curves::of(steps, &shifts.into_iter().map(knot).collect::<Vec<_>>()).unwrap();
        assert_eq!(curves.at(0, curves.place(0.1)).unwrap()[1].floor(), 100.0);
        assert_eq!(curves.at(0, curves.place(0.2)).unwrap()[1].floor(), 99.0);
        assert_eq!(curves.at(1, curves.place(0.28)), None);
        assert_eq!(curves.at(1, curves.place(0.25)).unwrap()[0], 100.0);
        assert_eq!(curves.at(1, curves.place(-0.6)).unwrap()[0], 100.0);
        assert_eq!(curves.at(2, curves.place(-0.3)), None);
        assert!(curves.at(2, curves.place(-0.8)).unwrap()[0].is_nan());
        assert!(Curves::shifts_c(ShiftSteps::exactly(0.3)).is_empty());
    }
}
