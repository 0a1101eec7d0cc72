//! What a control did: Abbott, Henderson-Tilton, Sun-Shepard and Schneider-Orelli, with intervals, and what may be said
//! without an untreated check. Bootstrap intervals by design stand in [`design`], what a whole book of follow-ups says in [`hierarchy`].

pub mod design;
pub mod hierarchy;
pub mod no_longer_works;

use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// Why an efficacy is undefined. Undefined is neither nought nor full control.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Undefined {
    /// Nothing was left in the check, so nothing can be compared with it.
    #[error(
        "the untreated check counted 0 after treatment: efficacy is undefined (not 0 %, not 100 %); count the check again or in more places"
    )]
    NothingInCheck,
    /// Nothing was in the treated plot to start with.
    #[error("the treated plot counted 0 before treatment: efficacy is undefined; use the counts after treatment alone (Abbott)")]
    NothingBefore,
    /// The check had nothing before treatment.
    #[error("the untreated check counted 0 before treatment: its change is undefined; use the counts after treatment alone (Abbott)")]
    NoCheckBefore,
    /// All in the check died by themselves.
    #[error("mortality in the check was 100 %: nothing was left for the treatment to do, so efficacy is undefined")]
    CheckAllDead,
    /// A count or share that cannot be.
    #[error("{name} is {value}: {remedy}")]
    Impossible {
        /// Which input.
        name: &'static str,
        /// Its value.
        value: f64,
        /// What would be right, with an example.
        remedy: &'static str,
    },
    /// Too few plots for an interval.
    #[error("{0} plots are too few for an interval: count at least 2 in each")]
    TooFewPlots(usize),
    /// The two lists of a paired trial differ in length.
    #[error("{treated} treated plots stand against {check} check plots: a paired trial needs one of each in every block")]
    UnequalPairs {
        /// Treated plots.
        treated: usize,
        /// Check plots.
        check: usize,
    },
}

fn count(name: &'static str, value: f64) -> Result<f64, Undefined> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(Undefined::Impossible { name, value, remedy: "a count is 0 or more, e.g. 12" })
    }
}

fn mortality(name: &'static str, value: f64) -> Result<f64, Undefined> {
    if (0.0..=1.0).contains(&value) {
        Ok(value)
    } else {
        Err(Undefined::Impossible { name, value, remedy: "a mortality is a share between 0 and 1, e.g. 0.85" })
    }
}

/// Abbott's efficacy from counts (or means) after treatment: 1 − treated/check. A share; may be below 0 and is not clamped.
///
/// # Errors
/// [`Undefined::NothingInCheck`] for a check of 0; [`Undefined::Impossible`] for a count below 0.
///
/// # Source
/// Abbott (1925), named as in Püntener (1981), *Manual for field trials in plant protection* (memory).
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::abbott;
/// assert!((abbott(60.0, 5.0)? - 0.916_666_666_7).abs() < 1e-9);
/// # Ok::<(), groundlore_plant_health::efficacy::Undefined>(())
/// ```
pub fn abbott(check_after: f64, treated_after: f64) -> Result<f64, Undefined> {
    let (check, treated) = (count("check-after", check_after)?, count("treated-after", treated_after)?);
    if check == 0.0 {
        return Err(Undefined::NothingInCheck);
    }
    Ok(1.0 - treated / check)
}

/// Counts of a trial before and after, in the treated plot and the untreated check (sums or means, the same for all four
/// within a plot).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BeforeAfter {
    /// Check before treatment.
    pub check_before: f64,
    /// Check after treatment.
    pub check_after: f64,
    /// Treated plot before treatment.
    pub treated_before: f64,
    /// Treated plot after treatment.
    pub treated_after: f64,
}

impl BeforeAfter {
    fn checked(&self) -> Result<(), Undefined> {
        count("check-before", self.check_before)?;
        count("check-after", self.check_after)?;
        count("treated-before", self.treated_before)?;
        count("treated-after", self.treated_after)?;
        if self.check_after == 0.0 {
            Err(Undefined::NothingInCheck)
        } else if self.treated_before == 0.0 {
            Err(Undefined::NothingBefore)
        } else {
            Ok(())
        }
    }
}

/// Henderson-Tilton efficacy: 1 − (Ta·Cb)/(Tb·Ca). A share; may be below 0 and is not clamped.
///
/// # Errors
/// [`Undefined`] where the check counts 0 after, or the treated plot 0 before.
///
/// # Source
/// Henderson & Tilton (1955), as in Püntener (1981) (memory).
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::{henderson_tilton, BeforeAfter};
/// let trial = BeforeAfter { check_before: 40.0, check_after: 60.0, treated_before: 50.0, treated_after: 5.0 };
/// assert!((henderson_tilton(&trial)? - 0.933_333_333_3).abs() < 1e-9);
/// # Ok::<(), groundlore_plant_health::efficacy::Undefined>(())
/// ```
pub fn henderson_tilton(trial: &BeforeAfter) -> Result<f64, Undefined> {
    trial.checked()?;
    Ok(1.0 - trial.treated_after * trial.check_before / (trial.treated_before * trial.check_after))
}

/// Sun-Shepard efficacy from the fall in the treated plot and the rise in the check; equals [`henderson_tilton`] when the
/// signs are right.
///
/// # Errors
/// [`Undefined`] as Henderson-Tilton, and where the check counts 0 before.
///
/// # Source
/// Sun & Shepard (1947), as in Püntener (1981) (memory).
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::{sun_shepard, BeforeAfter};
/// let trial = BeforeAfter { check_before: 80.0, check_after: 40.0, treated_before: 100.0, treated_after: 10.0 };
/// assert!((sun_shepard(&trial)? - 0.8).abs() < 1e-12);
/// # Ok::<(), groundlore_plant_health::efficacy::Undefined>(())
/// ```
pub fn sun_shepard(trial: &BeforeAfter) -> Result<f64, Undefined> {
    trial.checked()?;
    if trial.check_before == 0.0 {
        return Err(Undefined::NoCheckBefore);
    }
    let fall = (trial.treated_before - trial.treated_after) / trial.treated_before;
    let rise = (trial.check_after - trial.check_before) / trial.check_before;
    Ok((fall + rise) / (1.0 + rise))
}

/// Schneider-Orelli efficacy from mortalities (shares): (mt − mc)/(1 − mc). May be below 0.
///
/// # Errors
/// [`Undefined::CheckAllDead`] for a check mortality of 1; [`Undefined::Impossible`] outside 0–1.
///
/// # Source
/// Schneider-Orelli (1947), as in Püntener (1981) (memory).
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::schneider_orelli;
/// assert!((schneider_orelli(0.40, 0.20)? - 0.25).abs() < 1e-12);
/// # Ok::<(), groundlore_plant_health::efficacy::Undefined>(())
/// ```
pub fn schneider_orelli(treated_mortality: f64, check_mortality: f64) -> Result<f64, Undefined> {
    let treated = mortality("treated-mortality", treated_mortality)?;
    let check = mortality("check-mortality", check_mortality)?;
    if check >= 1.0 {
        return Err(Undefined::CheckAllDead);
    }
    Ok((treated - check) / (1.0 - check))
}

/// A ratio of survivors with its interval, read as control (1 − ratio) or as change (ratio − 1).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RatioEstimate {
    /// 1 − ratio: the share controlled, or the share by which the count fell.
    pub share: f64,
    /// Lower end of the interval on `share`.
    pub low: f64,
    /// Upper end of the interval on `share`.
    pub high: f64,
    /// ln of the ratio of survivors.
    pub ln_ratio: f64,
    /// Standard error of `ln_ratio`.
    pub se_ln_ratio: f64,
    /// Level of the interval, 0–1.
    pub level: f64,
    /// True where half a count was added because nothing was found on one side, so that an interval exists.
    pub half_added: bool,
}

fn from_ln_ratio(ln_ratio: f64, se: f64, reach: f64, level: f64, half_added: bool) -> RatioEstimate {
    RatioEstimate {
        share: 1.0 - ln_ratio.exp(),
        low: 1.0 - (ln_ratio + reach * se).exp(),
        high: 1.0 - (ln_ratio - reach * se).exp(),
        ln_ratio,
        se_ln_ratio: se,
        level,
        half_added,
    }
}

/// Half-width of a two-sided normal interval in standard errors.
fn normal_reach(level: f64) -> Result<f64, Undefined> {
    if !(level > 0.0 && level < 1.0) {
        return Err(Undefined::Impossible { name: "level", value: level, remedy: "a level lies between 0 and 1, e.g. 0.95" });
    }
    Ok(Normal::standard().inverse_cdf(0.5 + level / 2.0))
}

/// Mean and squared relative standard error of the mean of a list of plots; half a count is added in all where all are 0.
struct Side {
    mean: f64,
    relative_variance: f64,
    half_added: bool,
}

fn side(name: &'static str, plots: &[f64]) -> Result<Side, Undefined> {
    if plots.len() < 2 {
        return Err(Undefined::TooFewPlots(plots.len()));
    }
    for &plot in plots {
        count(name, plot)?;
    }
    let n = plots.len() as f64;
    let mean = plots.iter().sum::<f64>() / n;
    if mean == 0.0 {
        return Ok(Side { mean: 0.5 / n, relative_variance: 2.0, half_added: true });
    }
    let variance = plots.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0);
    // Plots that happen to agree are not exact: then the scatter of a random count stands in.
    let variance = if variance == 0.0 { mean } else { variance };
    Ok(Side { mean, relative_variance: variance / (n * mean * mean), half_added: false })
}

/// Abbott's efficacy from plots, unpaired, with an interval by the log ratio of means:
/// se² = var(T)/(n mean²) + var(C)/(n mean²).
///
/// Plots, not sub-samples of a plot, are the replicates.
///
/// # Errors
/// [`Undefined`] for a check of 0, fewer than two plots on a side, or impossible counts.
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::abbott_interval;
/// let check = [30.0, 34.0, 28.0, 36.0];
/// let treated = [3.0, 6.0, 4.0, 3.0];
/// let control = abbott_interval(&check, &treated, 0.95)?;
/// assert!((control.share - 0.875).abs() < 1e-12);
/// assert!(control.low < 0.875 && control.high > 0.875);
/// # Ok::<(), groundlore_plant_health::efficacy::Undefined>(())
/// ```
pub fn abbott_interval(check: &[f64], treated: &[f64], level: f64) -> Result<RatioEstimate, Undefined> {
    let reach = normal_reach(level)?;
    let (check, treated) = (side("check-after", check)?, side("treated-after", treated)?);
    if check.half_added {
        return Err(Undefined::NothingInCheck);
    }
    let se = (check.relative_variance + treated.relative_variance).sqrt();
    Ok(from_ln_ratio((treated.mean / check.mean).ln(), se, reach, level, treated.half_added))
}

/// Henderson-Tilton efficacy from plots, before and after, with an interval by the log ratio of the four means (taken as
/// independent, which is a little too wide where plots keep their order).
///
/// # Errors
/// [`Undefined`] as [`henderson_tilton`], or for fewer than two plots on a side.
pub fn henderson_tilton_interval(
    check_before: &[f64],
    check_after: &[f64],
    treated_before: &[f64],
    treated_after: &[f64],
    level: f64,
) -> Result<RatioEstimate, Undefined> {
    let reach = normal_reach(level)?;
    let (cb, ca) = (side("check-before", check_before)?, side("check-after", check_after)?);
    let (tb, ta) = (side("treated-before", treated_before)?, side("treated-after", treated_after)?);
    if ca.half_added {
        return Err(Undefined::NothingInCheck);
    }
    if tb.half_added {
        return Err(Undefined::NothingBefore);
    }
    if cb.half_added {
        return Err(Undefined::NoCheckBefore);
    }
    let variance = cb.relative_variance + ca.relative_variance + tb.relative_variance + ta.relative_variance;
    let ln_ratio = (ta.mean * cb.mean / (tb.mean * ca.mean)).ln();
    Ok(from_ln_ratio(ln_ratio, variance.sqrt(), reach, level, ta.half_added))
}

/// A trial paired by block.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PairedEstimate {
    /// Control and its interval by Student's t on the mean log ratio.
    pub estimate: RatioEstimate,
    /// Student's t.
    pub t: f64,
    /// Two-sided p of no effect.
    pub p: f64,
    /// Blocks.
    pub blocks: usize,
}

/// Efficacy of a trial paired by block: mean of ln(treated/check) over blocks, Student's t with blocks − 1 degrees of freedom.
/// A plot of 0 has half a count added to both plots of its block.
///
/// # Errors
/// [`Undefined`] for lists of unequal length, fewer than two blocks, a block whose check is 0, or impossible counts.
///
/// # Source
/// Row EF-38 of `tests/reference/efficacy.rs` (Stirrett, Beall & Timonin 1937, early spores against none).
pub fn paired_interval(check: &[f64], treated: &[f64], level: f64) -> Result<PairedEstimate, Undefined> {
    normal_reach(level)?;
    if check.len() != treated.len() {
        return Err(Undefined::UnequalPairs { treated: treated.len(), check: check.len() });
    }
    let blocks = check.len();
    if blocks < 2 {
        return Err(Undefined::TooFewPlots(blocks));
    }
    let mut half_added = false;
    let mut ratios = Vec::with_capacity(blocks);
    for (&c, &t) in check.iter().zip(treated) {
        let (c, t) = (count("check-after", c)?, count("treated-after", t)?);
        if c == 0.0 {
            return Err(Undefined::NothingInCheck);
        }
        let half = if t == 0.0 { 0.5 } else { 0.0 };
        half_added |= t == 0.0;
        ratios.push(((t + half) / (c + half)).ln());
    }
    let n = blocks as f64;
    let mean = ratios.iter().sum::<f64>() / n;
    let se = (ratios.iter().map(|r| (r - mean).powi(2)).sum::<f64>() / (n - 1.0) / n).sqrt();
    let Ok(student) = StudentsT::new(0.0, 1.0, n - 1.0) else { return Err(Undefined::TooFewPlots(blocks)) };
    let t = mean / se;
    let p = if se > 0.0 { 2.0 * student.cdf(-t.abs()) } else { f64::from(u8::from(mean == 0.0)) };
    let reach = student.inverse_cdf(0.5 + level / 2.0);
    Ok(PairedEstimate { estimate: from_ln_ratio(mean, se, reach, level, half_added), t, p, blocks })
}

/// Counts of a follow-up, as the crew brings them home. An empty list means that nobody counted there.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct FollowUp {
    /// Treated ground before treatment, per sample.
    pub treated_before: Vec<f64>,
    /// Treated ground after treatment.
    pub treated_after: Vec<f64>,
    /// Untreated check strip before.
    pub check_before: Vec<f64>,
    /// Untreated check strip after.
    pub check_after: Vec<f64>,
}

/// What a follow-up shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "shows", rename_all = "kebab-case")]
pub enum Shown {
    /// Control, because there was an untreated check.
    Control {
        /// The estimate.
        estimate: RatioEstimate,
        /// How it was reckoned, in words.
        method: String,
    },
    /// Only a change: no untreated check, so the treatment and the season cannot be told apart.
    ChangeOnly {
        /// Share by which the count fell (below 0 where it rose).
        fall: RatioEstimate,
        /// What must be said with it.
        caution: String,
    },
}

/// Says what a follow-up shows: control where there was an untreated check, else only change.
///
/// # Errors
/// [`Undefined`] where the counts that the answer needs are missing or make it undefined.
///
/// # Example
/// ```
/// # use groundlore_plant_health::efficacy::{shown, FollowUp, Shown};
/// let no_check = FollowUp { treated_before: vec![9.0, 12.0, 7.0], treated_after: vec![1.0, 3.0, 2.0], ..FollowUp::default() };
/// assert!(matches!(shown(&no_check, 0.9)?, Shown::ChangeOnly { .. }));
/// # Ok::<(), groundlore_plant_health::efficacy::Undefined>(())
/// ```
pub fn shown(follow_up: &FollowUp, level: f64) -> Result<Shown, Undefined> {
    let FollowUp { treated_before, treated_after, check_before, check_after } = follow_up;
    if check_after.is_empty() {
        return change_only(treated_before, treated_after, level).map(|fall| Shown::ChangeOnly {
            fall,
            caution: "No untreated check was counted, so this is only change: weather, season and the pest's own decline are in it too."
                .into(),
        });
    }
    if treated_before.len() > 1 && check_before.len() > 1 {
        match henderson_tilton_interval(check_before, check_after, treated_before, treated_after, level) {
            // Nothing was found before: the counts after treatment still tell.
            Err(Undefined::NothingBefore | Undefined::NoCheckBefore) => {}
            other => {
                let method =
                    "Henderson-Tilton, before and after against the untreated check; interval by the delta method on the log ratio".into();
                return other.map(|estimate| Shown::Control { estimate, method });
            }
        }
    }
    let estimate = abbott_interval(check_after, treated_after, level)?;
    Ok(Shown::Control {
        estimate,
        method: "Abbott, after treatment against the untreated check; interval by the delta method on the log ratio".into(),
    })
}

/// The fall from before to after where there is no untreated check: 1 − after/before with its interval.
///
/// # Errors
/// [`Undefined::NothingBefore`] where nothing was found before; [`Undefined::TooFewPlots`] for fewer than two samples.
pub fn change_only(before: &[f64], after: &[f64], level: f64) -> Result<RatioEstimate, Undefined> {
    match abbott_interval(before, after, level) {
        Err(Undefined::NothingInCheck) => Err(Undefined::NothingBefore),
        other => other,
    }
}
