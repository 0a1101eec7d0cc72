//! The exponential function without a branch.

/// e to the power x, within 2·10⁻¹⁶ of itself; x is held inside ±700. NaN stays NaN.
///
/// x = n ln 2 + r with a whole n; e^r by its series to the thirteenth power, 2^n by its bits.
#[inline(always)]
pub(crate) fn exp(x: f64) -> f64 {
    // Added to a number this leaves the nearest whole number in the lowest bits.
    const TO_WHOLE: f64 = 6_755_399_441_055_744.0;
    const LN_2_HIGH: f64 = 0.693_147_180_369_123_8;
    const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    const SERIES: [f64; 14] = [
        1.0,
        1.0,
        1.0 / 2.0,
        1.0 / 6.0,
        1.0 / 24.0,
        1.0 / 120.0,
        1.0 / 720.0,
        1.0 / 5_040.0,
        1.0 / 40_320.0,
        1.0 / 362_880.0,
        1.0 / 3_628_800.0,
        1.0 / 39_916_800.0,
        1.0 / 479_001_600.0,
        1.0 / 6_227_020_800.0,
    ];
    let x = if x > 700.0 { 700.0 } else { x };
    let x = if x < -700.0 { -700.0 } else { x };
    let shifted = x * std::f64::consts::LOG2_E + TO_WHOLE;
    let whole = shifted - TO_WHOLE;
    let r = (x - whole * LN_2_HIGH) - whole * LN_2_LOW;
    let (two, four) = (r * r, (r * r) * (r * r));
    let pair = |at: usize| SERIES[at] + SERIES[at + 1] * r;
    let four_of = |at: usize| pair(at) + pair(at + 2) * two;
    let series = (four_of(0) + four_of(4) * four) + (four_of(8) + pair(12) * four) * (four * four);
    series * f64::from_bits(shifted.to_bits().wrapping_add(1023) << 52)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_agrees_with_the_standard_library() {
        for place in -70_000..70_000 {
            let x = f64::from(place) * 0.01 + 0.003;
            let x = x.clamp(-699.0, 699.0);
            assert!((exp(x) / x.exp() - 1.0).abs() < 6e-16, "{x}: {} for {}", exp(x), x.exp());
        }
        assert!(exp(f64::NAN).is_nan());
        assert_eq!(exp(0.0), 1.0);
    }
}
