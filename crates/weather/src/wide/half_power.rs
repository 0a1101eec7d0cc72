//! The two functions that a day drawn as a sine asks for, as short polynomials without a branch.
//!
//! Both turn with the square root near 1, and are smooth once that is taken out. The coefficients are Chebyshev fits over 0…1, made with
//! mpmath 1.4.1 at 60 digits (`bench/goldens/sine_cap.py`).

use std::f64::consts::{PI, SQRT_2};

/// What a sine of swing 1 holds above a threshold at `1 − below_top`, as a share of the day: for `below_top` from 0 (nothing) to 1 (the middle,
/// 1/π). That is (√(1 − h²) − h arccos h) / π at h = 1 − `below_top`, within 3·10⁻¹⁷.
#[inline(always)]
pub(crate) fn sine_cap(below_top: f64) -> f64 {
    const FIT: [f64; 18] = [
        0.30010543871903533,
        0.015005271935952597,
        0.0024115615610460976,
        0.0005582318466287261,
        0.0001554167357869515,
        4.841945348910864e-05,
        1.6263806339262657e-05,
        5.84070847629788e-06,
        1.857888431389364e-06,
        1.7398143778622169e-06,
        -1.9457839673763177e-06,
        4.3081759394265986e-06,
        -5.713317168339133e-06,
        5.894828158021196e-06,
        -4.290219170809671e-06,
        2.153383299693181e-06,
        -6.609434495385855e-07,
        9.759058594307168e-08,
    ];
    let x = below_top;
    x * x.sqrt() * (eight(&FIT, 0, x) + (eight(&FIT, 8, x) + two(&FIT, 16, x) * power_8(x)) * power_8(x))
}

/// Arc cosine of h, radians, for h from −1 to 1; within 2·10⁻¹⁵.
#[inline(always)]
pub(crate) fn arc_cosine(h: f64) -> f64 {
    const FIT: [f64; 20] = [
        SQRT_2,
        0.11785113019776002,
        0.026516504294218354,
        0.00789181676887006,
        0.002685409464491659,
        0.0009887258971933647,
        0.000383369218163855,
        0.00015489143150240783,
        6.037669404495616e-05,
        4.16855883007372e-05,
        -3.634463192747035e-05,
        0.00012495727397551662,
        -0.00022929996215795718,
        0.00034554390627169817,
        -0.0003915147878206137,
        0.00033526137779091693,
        -0.00020866338294919977,
        8.982318583584945e-05,
        -2.394651324008615e-05,
        3.0384014775077846e-06,
    ];
    let x = 1.0 - h.abs();
    let x = if x < 0.0 { 0.0 } else { x };
    let arc = x.sqrt() * (eight(&FIT, 0, x) + (eight(&FIT, 8, x) + four(&FIT, 16, x) * power_8(x)) * power_8(x));
    if h < 0.0 { PI - arc } else { arc }
}

#[inline(always)]
fn power_8(x: f64) -> f64 {
    let four = (x * x) * (x * x);
    four * four
}

#[inline(always)]
fn two<const N: usize>(fit: &[f64; N], at: usize, x: f64) -> f64 {
    fit[at] + fit[at + 1] * x
}

#[inline(always)]
fn four<const N: usize>(fit: &[f64; N], at: usize, x: f64) -> f64 {
    two(fit, at, x) + two(fit, at + 2, x) * (x * x)
}

#[inline(always)]
fn eight<const N: usize>(fit: &[f64; N], at: usize, x: f64) -> f64 {
    four(fit, at, x) + four(fit, at + 4, x) * ((x * x) * (x * x))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_agree_with_the_closed_form() {
        for place in 0..=20_000 {
            let h = f64::from(place) * 1e-4 - 1.0;
            let (arc, cap) = (h.acos(), ((1.0 - h * h).max(0.0).sqrt() - h * h.acos()) / PI);
            assert!((arc_cosine(h) - arc).abs() < 2e-15, "arc cosine of {h}");
            if h >= 0.0 {
                // The closed form itself loses digits near 1.
                assert!((sine_cap(1.0 - h) - cap).abs() < 4e-15, "cap at {h}: {} for {cap}", sine_cap(1.0 - h));
            }
        }
        assert_eq!((sine_cap(0.0), arc_cosine(1.0), arc_cosine(-1.0)), (0.0, 0.0, PI));
    }
}
