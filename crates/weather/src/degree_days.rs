//! Degree-days of one day, from its minimum and maximum.
//!
//! The day runs from t = 0 to t = 1 with the minimum at t = 0 and the maximum at t = ½. Degree-days are the integral over the day of
//! f(T(t)), where f is the excess over the lower threshold, bent by a cutoff above the upper one. Every method here is a closed
//! form of that integral; sines and triangles are both built from one figure, the *excess* E(x) = ∫ max(0, T − x) dt, because
//!
//! - no cutoff: E(L)
//! - horizontal (development holds its rate above U): E(L) − E(U)
//! - intermediate (it slows by as much as U is passed; not stopped at zero): E(L) − 2 E(U)
//! - vertical (it stops above U): E(L) − E(U) − (U − L) × the share of the day above U
//!
//! The forms stay right on days wholly above or below a threshold and on days whose next night is warmer than their noon.
//!
//! # Sources
//! Baskerville & Emin (1969), *Rapid estimation of heat accumulation from maximum and minimum temperatures*, Ecology 50:514 (single
//! sine). Allen (1976), *A modified sine wave method for calculating degree days*, Environmental Entomology 5:388 (double sine).
//! Zalom, Goodell, Wilson, Barnett & Bentley (1983), *Degree-days: the calculation and use of heat units in pest management*,
//! University of California leaflet 21373 (triangles, cutoffs). All three from memory, as in the project's reference note; the
//! results are checked against quadrature (scipy 1.17.1).

mod totals;

use std::f64::consts::PI;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::error::WeatherError;
use crate::wide::{arc_cosine, sine_cap, widest};

pub use totals::totals;

/// How the course of temperature through the day is drawn from its minimum and maximum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// max(0, (max + min) / 2 − lower). It has no upper threshold: `upper` and `cutoff` change nothing.
    Average,
    /// Maximum and minimum are each brought into lower…upper first, then averaged (the "86/50" form). It uses `upper` whenever there
    /// is one, whatever the cutoff.
    ModifiedAverage,
    /// A sine from the day's minimum to its maximum and back to the same minimum.
    SingleSine,
    /// A sine from the day's minimum to its maximum, then down to the next day's minimum.
    DoubleSine,
    /// Straight lines from the day's minimum to its maximum and back.
    SingleTriangle,
    /// Straight lines from the day's minimum to its maximum, then down to the next day's minimum.
    DoubleTriangle,
}

impl Method {
    /// All methods.
    pub const ALL: [Method; 6] =
        [Method::Average, Method::ModifiedAverage, Method::SingleSine, Method::DoubleSine, Method::SingleTriangle, Method::DoubleTriangle];

    /// The method's name: `average`, `modified-average`, `single-sine`, `double-sine`, `single-triangle`, `double-triangle`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Method::Average => "average",
            Method::ModifiedAverage => "modified-average",
            Method::SingleSine => "single-sine",
            Method::DoubleSine => "double-sine",
            Method::SingleTriangle => "single-triangle",
            Method::DoubleTriangle => "double-triangle",
        }
    }

    /// Whether the method looks at the next day's minimum.
    #[must_use]
    pub fn uses_next_minimum(self) -> bool {
        matches!(self, Method::DoubleSine | Method::DoubleTriangle)
    }
}

impl fmt::Display for Method {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

impl FromStr for Method {
    type Err = WeatherError;

    /// Reads a method's name; spaces and underscores may stand for hyphens.
    fn from_str(text: &str) -> Result<Method, WeatherError> {
        let name = hyphened(text);
        Method::ALL.into_iter().find(|method| method.name() == name).ok_or_else(|| WeatherError::BadModel {
            why: format!("`{}` is no method; write one of {}", crate::error::shown(text), names(&Method::ALL)),
        })
    }
}

/// What happens above the upper threshold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cutoff {
    /// Nothing: heat counts in full.
    #[default]
    None,
    /// Above `upper` each moment counts upper − lower.
    Horizontal,
    /// Above `upper` each moment counts upper − lower less what it is above `upper`, below zero if need be.
    Intermediate,
    /// Above `upper` nothing counts.
    Vertical,
}

impl Cutoff {
    /// All cutoffs.
    pub const ALL: [Cutoff; 4] = [Cutoff::None, Cutoff::Horizontal, Cutoff::Intermediate, Cutoff::Vertical];

    /// The cutoff's name: `none`, `horizontal`, `intermediate`, `vertical`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Cutoff::None => "none",
            Cutoff::Horizontal => "horizontal",
            Cutoff::Intermediate => "intermediate",
            Cutoff::Vertical => "vertical",
        }
    }
}

impl fmt::Display for Cutoff {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

impl FromStr for Cutoff {
    type Err = WeatherError;

    /// Reads a cutoff's name.
    fn from_str(text: &str) -> Result<Cutoff, WeatherError> {
        let name = hyphened(text);
        Cutoff::ALL.into_iter().find(|cutoff| cutoff.name() == name).ok_or_else(|| WeatherError::BadModel {
            why: format!("`{}` is no cutoff; write one of {}", crate::error::shown(text), names(&Cutoff::ALL)),
        })
    }
}

fn hyphened(text: &str) -> String {
    text.trim().to_ascii_lowercase().replace([' ', '_'], "-")
}

fn names<T: fmt::Display>(all: &[T]) -> String {
    all.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// A degree-day model: method, thresholds and cutoff.
///
/// It is free of scale: temperatures, thresholds and degree-days are all in the same scale, °C or °F. Models that meet a
/// [`crate::series::Series`] must be in °C; [`DegreeDays::fahrenheit_to_celsius`] turns one over.
///
/// # Example
/// ```
/// use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};
///
/// // Row DD-006: 45 to 95 °F, base 50 °F, horizontal cutoff at 88 °F.
/// let model = DegreeDays::new(Method::SingleSine, 50.0, Some(88.0), Cutoff::Horizontal)?;
/// assert!((model.day(45.0, 95.0, 45.0) - 19.5500748305).abs() < 1e-9);
///
/// // Row DD-P17: a day wholly above the upper threshold counts upper − lower.
/// let model = DegreeDays::new(Method::DoubleSine, 12.0, Some(33.0), Cutoff::Horizontal)?;
/// assert!((model.day(35.0, 40.0, 35.0) - 21.0).abs() < 1e-9);
/// # Ok::<(), groundlore_weather::WeatherError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DegreeDays {
    /// How the day's course is drawn.
    pub method: Method,
    /// Lower threshold (base).
    pub lower: f64,
    /// Upper threshold, if any.
    pub upper: Option<f64>,
    /// What happens above the upper threshold.
    pub cutoff: Cutoff,
}

impl DegreeDays {
    /// A model whose thresholds have been looked over.
    ///
    /// # Errors
    /// [`WeatherError::BadModel`] when a threshold is not a finite number, when `upper` is not above `lower`, or when there is a
    /// cutoff and no `upper`.
    pub fn new(method: Method, lower: f64, upper: Option<f64>, cutoff: Cutoff) -> Result<DegreeDays, WeatherError> {
        let model = DegreeDays { method, lower, upper, cutoff };
        model.check()?;
        Ok(model)
    }

    /// Looks over a model that was written out field by field.
    ///
    /// # Errors
    /// As [`DegreeDays::new`].
    pub fn check(&self) -> Result<(), WeatherError> {
        let bad = |why: String| Err(WeatherError::BadModel { why });
        if !self.lower.is_finite() || self.upper.is_some_and(|upper| !upper.is_finite()) {
            return bad("a threshold is not a finite number; give one such as lower 50 degF".to_owned());
        }
        match self.upper {
            Some(upper) if upper <= self.lower => bad(format!(
                "the upper threshold {upper} is not above the lower threshold {}; give one such as lower 50 degF and upper 86 degF",
                self.lower
            )),
            None if self.cutoff != Cutoff::None => bad(format!(
                "a {} cutoff needs an upper threshold; give one, such as upper 88 degF, or take the cutoff `none`",
                self.cutoff
            )),
            _ => Ok(()),
        }
    }

    /// The same model with thresholds turned from °F to °C. Its sums turn by 5/9: 450 F-days are 250 C-days.
    #[must_use]
    pub fn fahrenheit_to_celsius(self) -> DegreeDays {
        let celsius = |fahrenheit: f64| (fahrenheit - 32.0) * 5.0 / 9.0;
        DegreeDays { lower: celsius(self.lower), upper: self.upper.map(celsius), ..self }
    }

    /// Degree-days of one day. `next_min` matters to the double methods only; where it is NaN the day's own minimum stands in. NaN
    /// when the minimum or the maximum is NaN. A minimum above the maximum is taken as the two having changed places.
    #[must_use]
    pub fn day(&self, min: f64, max: f64, next_min: f64) -> f64 {
        let next_min = if next_min.is_nan() { min } else { next_min };
        match self.method {
            Method::Average => average(min, max, self.lower),
            Method::ModifiedAverage => modified_average(min, max, self.lower, self.upper.unwrap_or(f64::INFINITY)),
            Method::SingleSine => self.course::<Sine>(min, max),
            Method::SingleTriangle => self.course::<Triangle>(min, max),
            Method::DoubleSine => 0.5 * (self.course::<Sine>(min, max) + self.course::<Sine>(next_min, max)),
            Method::DoubleTriangle => 0.5 * (self.course::<Triangle>(min, max) + self.course::<Triangle>(next_min, max)),
        }
    }

    /// Degree-days of many days in a row, appended to `out`: one for each pair of `tmin` and `tmax` (the shorter of the two decides).
    /// The next minimum is that of the following day; the last day takes its own. NaN days give NaN.
    ///
    /// This is the form for large batches: method and cutoff are settled once, outside the loop over the columns.
    ///
    /// # Example
    /// ```
    /// use groundlore_weather::degree_days::{Cutoff, DegreeDays, Method};
    ///
    /// let model = DegreeDays::new(Method::Average, 10.0, None, Cutoff::None)?;
    /// let mut out = Vec::new();
    /// model.daily_batch(&[4.0, 9.0], &[14.0, 23.0], &mut out);
    /// assert_eq!(out, [0.0, 6.0]);
    /// # Ok::<(), groundlore_weather::WeatherError>(())
    /// ```
    pub fn daily_batch(&self, tmin: &[f64], tmax: &[f64], out: &mut Vec<f64>) {
        /// Days that are reckoned together, in the nearest cache.
        const BLOCK: usize = 1024;
        let days = tmin.len().min(tmax.len());
        out.reserve(days);
        let mut heat = [0.0; BLOCK];
        for begin in (0..days).step_by(BLOCK) {
            let heat = &mut heat[..BLOCK.min(days - begin)];
            let end = begin + heat.len();
            self.daily_into(&tmin[begin..days.min(end + 1)], &tmax[begin..end], heat);
            out.extend_from_slice(heat);
        }
    }

    /// The same into a column as long as `tmax`. `tmin` may hold one day more, for the last day's next minimum.
    #[rustfmt::skip]
    fn daily_into(&self, tmin: &[f64], tmax: &[f64], out: &mut [f64]) {
        let lower = self.lower;
        let upper = self.upper.unwrap_or(f64::INFINITY);
        match self.method {
            Method::Average => each(#[inline(always)] move |min, max| average(min, max, lower), false, tmin, tmax, out),
            Method::ModifiedAverage => each(#[inline(always)] move |min, max| modified_average(min, max, lower, upper), false, tmin, tmax, out),
            Method::SingleSine => self.bent::<Sine>(false, tmin, tmax, out),
            Method::SingleTriangle => self.bent::<Triangle>(false, tmin, tmax, out),
            Method::DoubleSine => self.bent::<Sine>(true, tmin, tmax, out),
            Method::DoubleTriangle => self.bent::<Triangle>(true, tmin, tmax, out),
        }
    }

    /// One pass over the columns with the course and the cutoff fixed.
    #[rustfmt::skip]
    fn bent<Drawn: Course>(&self, double: bool, tmin: &[f64], tmax: &[f64], out: &mut [f64]) {
        let lower = self.lower;
        let upper = self.upper.unwrap_or(f64::INFINITY);
        let cutoff = if self.upper.is_some() { self.cutoff } else { Cutoff::None };
        match cutoff {
            Cutoff::None => each(#[inline(always)] move |min, max| Drawn::excess(min, max, lower).heat, double, tmin, tmax, out),
            Cutoff::Horizontal => each(
                #[inline(always)] move |min, max| floored(Drawn::excess(min, max, lower).heat - Drawn::excess(min, max, upper).heat),
                double, tmin, tmax, out,
            ),
            Cutoff::Intermediate => each(
                #[inline(always)] move |min, max| Drawn::excess(min, max, lower).heat - 2.0 * Drawn::excess(min, max, upper).heat,
                double, tmin, tmax, out,
            ),
            Cutoff::Vertical => each(
                #[inline(always)] move |min, max| {
                    let over = Drawn::excess(min, max, upper);
                    floored(Drawn::excess(min, max, lower).heat - over.heat - (upper - lower) * over.share)
                },
                double, tmin, tmax, out,
            ),
        }
    }

    /// The integral over one drawn course, cutoff included.
    fn course<Drawn: Course>(&self, min: f64, max: f64) -> f64 {
        let heat = Drawn::excess(min, max, self.lower).heat;
        let Some(upper) = self.upper else { return heat };
        if self.cutoff == Cutoff::None {
            return heat;
        }
        let over = Drawn::excess(min, max, upper);
        match self.cutoff {
            Cutoff::None => heat,
            Cutoff::Horizontal => floored(heat - over.heat),
            Cutoff::Intermediate => heat - 2.0 * over.heat,
            Cutoff::Vertical => floored(heat - over.heat - (upper - self.lower) * over.share),
        }
    }
}

/// Heat of every day, in the widest vectors that the machine has.
fn each(half: impl Fn(f64, f64) -> f64, double: bool, tmin: &[f64], tmax: &[f64], out: &mut [f64]) {
    widest(
        #[inline(always)]
        move || {
            if !double {
                for ((out, min), max) in out.iter_mut().zip(tmin).zip(tmax) {
                    *out = half(*min, *max);
                }
                return;
            }
            let nexts = tmin.get(1..).unwrap_or_default();
            for (((out, min), max), next) in out.iter_mut().zip(tmin).zip(tmax).zip(nexts) {
                let next = if next.is_nan() { *min } else { *next };
                *out = 0.5 * (half(*min, *max) + half(next, *max));
            }
            if tmin.len() > tmax.len() {
                return;
            }
            if let (Some(out), Some(min), Some(max)) = (out.last_mut(), tmin.last(), tmax.last()) {
                *out = half(*min, *max);
            }
        },
    );
}

/// How far and how long a course stands above a threshold.
#[derive(Clone, Copy)]
struct Excess {
    /// ∫ max(0, T − x) dt over the day.
    heat: f64,
    /// Share of the day with T above x.
    share: f64,
}

#[inline(always)]
fn average(min: f64, max: f64, lower: f64) -> f64 {
    floored((max + min) / 2.0 - lower)
}

#[inline(always)]
fn modified_average(min: f64, max: f64, lower: f64, upper: f64) -> f64 {
    let held = |value: f64| {
        let value = if value > upper { upper } else { value };
        if value < lower { lower } else { value }
    };
    (held(max) + held(min)) / 2.0 - lower
}

/// The larger of the value and zero, so that rounding makes no heat negative; NaN stays NaN.
#[inline(always)]
fn floored(value: f64) -> f64 {
    if value < 0.0 { 0.0 } else { value }
}

/// A course through the day, drawn between two temperatures.
trait Course {
    /// What it holds above a threshold.
    fn excess(min: f64, max: f64, threshold: f64) -> Excess;
}

/// A sine between two temperatures, either way round.
///
/// Above the middle a threshold leaves only the cap of the sine; below it, all of the middle and the cap that is left out beneath.
struct Sine;

impl Course for Sine {
    #[inline(always)]
    fn excess(min: f64, max: f64, threshold: f64) -> Excess {
        let middle = 0.5 * (max + min);
        let swing = 0.5 * (max - min).abs();
        let over = middle - threshold;
        let height = -over * (1.0 / swing);
        // On a day without a swing the height is infinite, or no number where the threshold is met: no cap either way.
        let cap = 1.0 - height.abs();
        let cap = if cap > 0.0 { cap } else { 0.0 };
        let held = if height > 1.0 { 1.0 } else { height };
        let held = if held > -1.0 { held } else { -1.0 };
        let share = if over > 0.0 || height < 1.0 { arc_cosine(held) / PI } else { 0.0 };
        Excess { heat: floored(over) + swing * sine_cap(cap), share }
    }
}

/// A straight line between two temperatures, either way round.
struct Triangle;

impl Course for Triangle {
    #[inline(always)]
    fn excess(min: f64, max: f64, threshold: f64) -> Excess {
        let (low, high) = if min <= max { (min, max) } else { (max, min) };
        let over = high - threshold;
        let share = over / (high - low);
        let share = if threshold <= low { 1.0 } else { share };
        // NaN is not at or below nought, and stays.
        let share = if over <= 0.0 { 0.0 } else { share };
        let heat = if threshold <= low { 0.5 * (low + high) - threshold } else { 0.5 * share * over };
        Excess { heat: if over <= 0.0 { 0.0 } else { heat }, share }
    }
}
