//! Areas from hand measures: offsets from a line, radii from a point, corners by co-ordinates, plain shapes.
//!
//! Scale free: lengths in any one unit give areas in that unit squared. Each rule says what it is, since rules differ by a
//! few parts in a hundred on the same measures.

use serde::Serialize;

/// Why a hand-measured area cannot be worked out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OffsetError {
    /// Too few measures.
    #[error("{seen} {what} given; the rule needs at least {needed}. Measure more, or use another rule")]
    TooFew {
        /// What was measured.
        what: &'static str,
        /// How many were given.
        seen: usize,
        /// How many the rule needs.
        needed: usize,
    },
    /// A measure that cannot be.
    #[error("measure {index} is {value}; a length is a number of zero or more, for example 12.5")]
    Length {
        /// Which one, the first being 1; 0 is the distance between offsets.
        index: usize,
        /// The value seen.
        value: f64,
    },
    /// Simpson's rule asked for with an odd number of strips and no ending.
    #[error(
        "{offsets} offsets make an odd number of strips, which Simpson's rule does not take alone. Say how to end: last strip as a trapezoid, or a parabola through the last three offsets"
    )]
    OddStrips {
        /// How many offsets were given.
        offsets: usize,
    },
}

/// How Simpson's rule ends when the number of strips is odd.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ending {
    /// Refuse.
    Refuse,
    /// Simpson on all but the last strip, which is a trapezoid.
    Trapezoid,
    /// Simpson on all but the last strip, which lies under the parabola through the last three offsets (Cartwright, K. V.
    /// (2017), *Journal of Mathematical Sciences and Mathematics Education* 12(2); `memory`).
    Parabola,
}

/// Area by the trapezoid rule from offsets an equal distance apart.
///
/// # Errors
/// Fewer than two offsets, or a length that is negative or not a number.
///
/// # Example
/// ```
/// # use groundlore_site::offsets::trapezoid;
/// // ARE-08: seven offsets at 25 m.
/// let area = trapezoid(&[3.6, 5.0, 6.5, 5.5, 7.3, 6.0, 4.0], 25.0).unwrap();
/// assert!((area - 852.5).abs() < 1e-9);
/// ```
pub fn trapezoid(offsets: &[f64], apart: f64) -> Result<f64, OffsetError> {
    check("offsets", offsets, apart, 2)?;
    Ok(offsets.windows(2).map(|pair| panel(pair[0], pair[1], apart)).sum())
}

/// One strip between two offsets: their mean times the distance apart.
pub fn panel(a: f64, b: f64, apart: f64) -> f64 {
    (a + b) / 2.0 * apart
}

/// Area by the mean-ordinate rule: the mean of all offsets times the length of the line.
///
/// # Errors
/// As [`trapezoid`].
pub fn mean_ordinate(offsets: &[f64], apart: f64) -> Result<f64, OffsetError> {
    check("offsets", offsets, apart, 2)?;
    let count = offsets.len() as f64;
    Ok(offsets.iter().sum::<f64>() / count * apart * (count - 1.0))
}

/// Area by Simpson's one-third rule from offsets an equal distance apart, with a stated ending.
///
/// # Errors
/// As [`trapezoid`], fewer than three offsets, or an odd number of strips with [`Ending::Refuse`].
///
/// # Example
/// ```
/// # use groundlore_site::offsets::{simpson, Ending};
/// // ARE-09: eight offsets at 30 m make seven strips.
/// let offsets = [0.0, 2.65, 3.80, 3.75, 4.65, 3.60, 5.00, 5.80];
/// assert!(simpson(&offsets, 30.0, Ending::Refuse).is_err());
/// assert!((simpson(&offsets, 30.0, Ending::Trapezoid).unwrap() - 781.0).abs() < 1e-9);
/// ```
pub fn simpson(offsets: &[f64], apart: f64, ending: Ending) -> Result<f64, OffsetError> {
    check("offsets", offsets, apart, 3)?;
    let strips = offsets.len() - 1;
    let even = |o: &[f64]| o.windows(3).step_by(2).map(|w| apart / 3.0 * (w[0] + 4.0 * w[1] + w[2])).sum::<f64>();
    if strips.is_multiple_of(2) {
        return Ok(even(offsets));
    }
    let (first, last) = (even(&offsets[..strips]), &offsets[strips - 2..]);
    match ending {
        Ending::Refuse => Err(OffsetError::OddStrips { offsets: offsets.len() }),
        Ending::Trapezoid => Ok(first + panel(last[1], last[2], apart)),
        Ending::Parabola => Ok(first + apart * (5.0 / 12.0 * last[2] + 2.0 / 3.0 * last[1] - last[0] / 12.0)),
    }
}

/// How an area is worked out from radii at equal angles about a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RadiiRule {
    /// A circle of the mean radius; a little low on an uneven shape.
    Mean,
    /// A circle of the root-mean-square radius; exact for sectors.
    MeanSquare,
    /// Straight chords between the ends of the radii.
    Chords,
}

/// Area from radii measured at equal angles about a point.
///
/// # Errors
/// Fewer than three radii, or a length that is negative or not a number.
///
/// # Example
/// ```
/// # use groundlore_site::offsets::{radii, RadiiRule};
/// assert!((radii(&[20.0; 8], RadiiRule::Mean).unwrap() - 1256.637).abs() < 0.001);
/// ```
pub fn radii(radii: &[f64], rule: RadiiRule) -> Result<f64, OffsetError> {
    check("radii", radii, 1.0, 3)?;
    let count = radii.len() as f64;
    let mean = radii.iter().sum::<f64>() / count;
    Ok(match rule {
        RadiiRule::Mean => circle(mean),
        RadiiRule::MeanSquare => std::f64::consts::PI * radii.iter().map(|r| r * r).sum::<f64>() / count,
        RadiiRule::Chords => {
            let next = radii.iter().cycle().skip(1);
            0.5 * (std::f64::consts::TAU / count).sin() * radii.iter().zip(next).map(|(a, b)| a * b).sum::<f64>()
        }
    })
}

/// Area of a rectangle.
pub fn rectangle(length: f64, width: f64) -> f64 {
    length * width
}

/// Area of a circle from its radius.
pub fn circle(radius: f64) -> f64 {
    std::f64::consts::PI * radius * radius
}

/// Area of an ellipse from its whole length and width.
pub fn ellipse(length: f64, width: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * length * width
}

/// Area of an egg or oval by the rule of thumb: length × width × 0.8. It is 1.9 % over a true ellipse.
pub fn oval_by_rule(length: f64, width: f64) -> f64 {
    0.8 * length * width
}

/// Area of a polygon from its corners in order, by co-ordinates (the surveyor's formula).
///
/// # Errors
/// Fewer than three corners, or a co-ordinate that is not a number.
pub fn by_coordinates(corners: &[(f64, f64)]) -> Result<f64, OffsetError> {
    let twice: f64 = sides(corners, 3)?.map(|((ax, ay), (bx, by))| ax * by - bx * ay).sum();
    Ok(twice.abs() / 2.0)
}

/// Length round a polygon from its corners in order.
///
/// # Errors
/// As [`by_coordinates`].
pub fn perimeter_by_coordinates(corners: &[(f64, f64)]) -> Result<f64, OffsetError> {
    Ok(sides(corners, 3)?.map(|((ax, ay), (bx, by))| (bx - ax).hypot(by - ay)).sum())
}

type Corner = (f64, f64);

fn sides(corners: &[Corner], needed: usize) -> Result<impl Iterator<Item = (Corner, Corner)> + '_, OffsetError> {
    if corners.len() < needed {
        return Err(OffsetError::TooFew { what: "corners", seen: corners.len(), needed });
    }
    if let Some(i) = corners.iter().position(|(x, y)| !x.is_finite() || !y.is_finite()) {
        return Err(OffsetError::Length { index: i + 1, value: f64::NAN });
    }
    Ok(corners.iter().copied().zip(corners.iter().copied().cycle().skip(1)))
}

fn check(what: &'static str, lengths: &[f64], apart: f64, needed: usize) -> Result<(), OffsetError> {
    if lengths.len() < needed {
        return Err(OffsetError::TooFew { what, seen: lengths.len(), needed });
    }
    let bad = |x: f64| !x.is_finite() || x < 0.0;
    if bad(apart) {
        return Err(OffsetError::Length { index: 0, value: apart });
    }
    match lengths.iter().position(|x| bad(*x)) {
        Some(i) => Err(OffsetError::Length { index: i + 1, value: lengths[i] }),
        None => Ok(()),
    }
}
