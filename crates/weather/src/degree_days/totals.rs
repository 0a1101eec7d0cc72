//! Totals of many seasons by many models in one pass: a season's days are read once and stay in the nearest cache for all models.

use super::DegreeDays;
use crate::wide::{sum, widest};

/// Degree-days of whole seasons: row by row (a station's year, say) of `days` days, in each the models in their order. NaN where a day of the
/// row is not known. The next minimum is that of the following day; the last day of a row takes its own. Days that fill no row are left out.
///
/// # Example
/// ```
/// use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method, totals};
///
/// let model = |lower| DegreeDays::new(Method::Average, lower, None, Cutoff::None);
/// // Two seasons of two days, by two bases.
/// let (low, high) = ([4.0, 9.0, 10.0, 12.0], [14.0, 23.0, 20.0, 24.0]);
/// assert_eq!(totals(&[model(10.0)?, model(5.0)?], &low, &high, 2), [6.0, 15.0, 13.0, 23.0]);
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[must_use]
pub fn totals(models: &[DegreeDays], tmin: &[f64], tmax: &[f64], days: usize) -> Vec<f64> {
    if days == 0 {
        return Vec::new();
    }
    let mut heat = vec![0.0; days];
    let mut totals = Vec::with_capacity(tmin.len().min(tmax.len()) / days * models.len());
    for (tmin, tmax) in tmin.chunks_exact(days).zip(tmax.chunks_exact(days)) {
        for model in models {
            model.daily_into(tmin, tmax, &mut heat);
            let heat = heat.as_slice();
            totals.push(widest(
                #[inline(always)]
                move || sum(heat),
            ));
        }
    }
    totals
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::{Cutoff, Method};
    use super::*;

    #[test]
    fn a_total_is_the_sum_of_its_days_by_every_method() {
        let low: Vec<f64> = (0..730).map(|day| 8.0 - 14.0 * (f64::from(day) / 58.0).cos() + f64::from(day * 7 % 11)).collect();
        let high: Vec<f64> = low.iter().enumerate().map(|(day, low)| low + 2.0 + (day % 13) as f64).collect();
        for method in Method::ALL {
            for cutoff in Cutoff::ALL {
                let model = DegreeDays::new(method, 10.0, Some(24.0), cutoff).unwrap();
                let found = totals(&[model], &low, &high, 365);
                for (row, total) in found.iter().enumerate() {
                    let day = |day: usize| {
                        let next = if day == 364 { low[row * 365 + day] } else { low[row * 365 + day + 1] };
                        model.day(low[row * 365 + day], high[row * 365 + day], next)
                    };
                    let wanted: f64 = (0..365).map(day).sum();
                    assert!((total - wanted).abs() < 1e-9 && wanted > 300.0, "{method} {cutoff}: {total} for {wanted}");
                }
            }
        }
        assert!(totals(&[], &low, &high, 365).is_empty() && totals(&[], &low, &high, 0).is_empty());
    }
}
