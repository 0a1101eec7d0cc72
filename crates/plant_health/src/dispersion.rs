//! How counts clump over many places: Taylor's power law, Iwao's line, and the share of samples that hold any.

pub mod learned;

use serde::Serialize;

/// Both laws fitted to pairs of mean and variance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DispersionLaws {
    /// Taylor's a: the variance at a mean of 1.
    pub taylor_a: f64,
    /// Taylor's b: 1 for random scatter, above 1 for clumps.
    pub taylor_b: f64,
    /// Share of the scatter of log variance that Taylor's law explains, 0–1.
    pub taylor_r2: f64,
    /// Iwao's alpha: crowding where the mean is nought.
    pub iwao_alpha: f64,
    /// Iwao's beta: rise of crowding with the mean.
    pub iwao_beta: f64,
    /// Share of the scatter of crowding that Iwao's line explains, 0–1.
    pub iwao_r2: f64,
}

/// Why no law could be fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum DispersionError {
    /// Means and variances do not pair.
    #[error("there are {means} means and {variances} variances: give one variance for each mean, in the same order")]
    Pairs {
        /// Means given.
        means: usize,
        /// Variances given.
        variances: usize,
    },
    /// Too few usable pairs.
    #[error(
        "only {0} pairs have a mean and a variance above 0: at least 2 with different means are needed, and 5 or more for a line to trust"
    )]
    TooFew(usize),
}

/// Straight line by least squares: (intercept, slope, r²).
fn line(x: &[f64], y: &[f64]) -> Option<(f64, f64, f64)> {
    let n = x.len() as f64;
    let (mx, my) = (x.iter().sum::<f64>() / n, y.iter().sum::<f64>() / n);
    let sxx: f64 = x.iter().map(|v| (v - mx).powi(2)).sum();
    let syy: f64 = y.iter().map(|v| (v - my).powi(2)).sum();
    let sxy: f64 = x.iter().zip(y).map(|(a, b)| (a - mx) * (b - my)).sum();
    let slope = (sxx > 1e-300).then(|| sxy / sxx)?;
    let r2 = if syy > 0.0 { sxy * sxy / (sxx * syy) } else { 1.0 };
    Some((my - slope * mx, slope, r2))
}

/// Fits Taylor's law (log variance on log mean) and Iwao's line (mean crowding `m + s²/m − 1` on mean) by ordinary least squares.
/// Pairs with a mean or variance of 0 or under tell nothing on a log scale and are left out of both.
///
/// # Errors
/// Lists of different lengths; fewer than two usable pairs with different means.
///
/// # Source
/// Taylor (1961), *Nature* 189:732; Iwao (1968), *Res. Popul. Ecol.* 10:1 (memory); values computed in the shared season note, ST-40 to ST-42.
pub fn fit(means: &[f64], variances: &[f64]) -> Result<DispersionLaws, DispersionError> {
    if means.len() != variances.len() {
        return Err(DispersionError::Pairs { means: means.len(), variances: variances.len() });
    }
    let pairs: Vec<(f64, f64)> = means.iter().copied().zip(variances.iter().copied()).filter(|(m, v)| *m > 0.0 && *v > 0.0).collect();
    let few = || DispersionError::TooFew(pairs.len());
    if pairs.len() < 2 {
        return Err(few());
    }
    let logs = |pick: fn(&(f64, f64)) -> f64| pairs.iter().map(|p| pick(p).log10()).collect::<Vec<f64>>();
    let (log_a, taylor_b, taylor_r2) = line(&logs(|p| p.0), &logs(|p| p.1)).ok_or_else(few)?;
    let mean: Vec<f64> = pairs.iter().map(|p| p.0).collect();
    let crowding: Vec<f64> = pairs.iter().map(|(m, v)| m + v / m - 1.0).collect();
    let (iwao_alpha, iwao_beta, iwao_r2) = line(&mean, &crowding).ok_or_else(few)?;
    Ok(DispersionLaws { taylor_a: 10_f64.powf(log_a), taylor_b, taylor_r2, iwao_alpha, iwao_beta, iwao_r2 })
}

/// Share of samples that hold at least one where the variance follows Taylor's law: 1 − exp(−m ln(r)/(r − 1)) with r = a m^(b − 1), the
/// ratio of variance to mean; at r = 1 the Poisson share 1 − exp(−m). None for a mean or `a` that is not above 0.
///
/// # Source
/// Wilson & Room (1983), *Environ. Entomol.* 12:50 (memory); values computed in the shared season note, ST-120 and ST-121.
///
/// ```
/// # use groundlore_plant_health::dispersion::share_occupied;
/// assert!((share_occupied(1.0, 2.0, 1.3).unwrap() - 0.5).abs() < 1e-9);
/// ```
pub fn share_occupied(mean: f64, a: f64, b: f64) -> Option<f64> {
    if !(mean > 0.0 && a > 0.0 && b.is_finite()) {
        return None;
    }
    let ratio = a * mean.powf(b - 1.0);
    let weight = if (ratio - 1.0).abs() < 1e-9 { 1.0 } else { ratio.ln() / (ratio - 1.0) };
    Some(-(-mean * weight).exp_m1())
}
