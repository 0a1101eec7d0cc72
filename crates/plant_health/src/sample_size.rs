//! How many samples: for a wanted precision, to find one, and the stop line of a count that goes on until it is precise enough.

/// Samples wanted so that the standard error of the mean is `precision` of the mean, where the variance follows Taylor's power law
/// `variance = a × mean^b`: n = a mean^(b − 2) / D². None for figures that are not above 0 (`b` may be any number).
///
/// # Source
/// Green (1970), *Res. Popul. Ecol.* 12:249 (memory); values computed in the shared season note, ST-64 to ST-66.
///
/// ```
/// # use groundlore_plant_health::sample_size::by_taylor;
/// assert!((by_taylor(0.5, 2.0, 1.3, 0.25).unwrap() - 51.984_153_37).abs() < 1e-7);
/// ```
pub fn by_taylor(mean: f64, a: f64, b: f64, precision: f64) -> Option<f64> {
    (mean > 0.0 && a > 0.0 && precision > 0.0 && b.is_finite()).then(|| a * mean.powf(b - 2.0) / (precision * precision))
}

/// The same where mean crowding follows Iwao's line `m* = alpha + beta × mean`, so that variance = (alpha + 1) mean + (beta − 1) mean²:
/// n = ((alpha + 1)/mean + beta − 1) / D². None for a mean or precision that is not above 0, and where the variance would not be above 0.
///
/// # Source
/// Iwao & Kuno (1968), *Res. Popul. Ecol.* 10:210 (memory).
pub fn by_iwao(mean: f64, alpha: f64, beta: f64, precision: f64) -> Option<f64> {
    let relative_variance = (alpha + 1.0) / mean + beta - 1.0;
    (mean > 0.0 && precision > 0.0 && relative_variance > 0.0).then(|| relative_variance / (precision * precision))
}

/// Fewest samples, drawn without putting back from `population` of which `holding` hold one, that find at least one with probability
/// `sure`: the hypergeometric chance of missing all is at most 1 − sure. None where none hold one, and for a share outside 0–1.
///
/// ```
/// # use groundlore_plant_health::sample_size::to_find_one_of;
/// assert_eq!(to_find_one_of(200, 10, 0.95), Some(51));
/// assert_eq!(to_find_one_of(50, 5, 0.95), Some(22));
/// ```
pub fn to_find_one_of(population: u64, holding: u64, sure: f64) -> Option<u64> {
    if holding == 0 || holding > population || !(sure > 0.0 && sure < 1.0) {
        return None;
    }
    let mut missed = 1.0;
    for n in 1..=population {
        let left = population - n + 1;
        missed *= left.saturating_sub(holding) as f64 / left as f64;
        if missed <= 1.0 - sure {
            return Some(n);
        }
    }
    Some(population)
}

/// Running total at which `n` samples are precise enough, under Taylor's power law: (D²/a)^(1/(b−2)) n^((b−1)/(b−2)).
/// None for `b` of 2, where no total settles it, and for figures that are not above 0.
///
/// # Source
/// Green (1970), *Res. Popul. Ecol.* 12:249 (memory); values computed in the shared season note, ST-68 and ST-69.
///
/// ```
/// # use groundlore_plant_health::sample_size::green_line;
/// assert!((green_line(10.0, 2.0, 1.3, 0.25).unwrap() - 52.679_64).abs() < 1e-5);
/// ```
pub fn green_line(n: f64, a: f64, b: f64, precision: f64) -> Option<f64> {
    let power = b - 2.0;
    (n > 0.0 && a > 0.0 && precision > 0.0 && power.abs() > 1e-12)
        .then(|| (precision * precision / a).powf(1.0 / power) * n.powf((b - 1.0) / power))
}

/// The same under Iwao's line: (alpha + 1)/(D² − (beta − 1)/n). None for n ≤ (beta − 1)/D², where no total is enough.
///
/// # Source
/// Kuno (1969), *Res. Popul. Ecol.* 11:127 (memory); values computed in the shared season note, ST-71.
///
/// ```
/// # use groundlore_plant_health::sample_size::kuno_line;
/// assert_eq!(kuno_line(5.0, 0.5, 1.4, 0.25), None);
/// assert!((kuno_line(10.0, 0.5, 1.4, 0.25).unwrap() - 66.666_666_7).abs() < 1e-6);
/// ```
pub fn kuno_line(n: f64, alpha: f64, beta: f64, precision: f64) -> Option<f64> {
    let room = precision * precision - (beta - 1.0) / n;
    (n > 0.0 && alpha > -1.0 && precision > 0.0 && room > 1e-12).then(|| (alpha + 1.0) / room)
}
