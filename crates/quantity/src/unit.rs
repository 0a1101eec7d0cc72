//! Unit words, their sizes in SI, and units joined by `/`.

use crate::{QuantityError, number};

/// Signs of money that may stand in front of a number.
pub(crate) const CURRENCIES: [char; 3] = ['$', '€', '£'];

/// Exponents of length, mass, time, temperature, angle, dollar, euro and pound sterling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Dimension(pub [i8; 8]);

impl Dimension {
    /// No dimension.
    pub const NONE: Self = Self([0; 8]);

    /// A dimension of length, mass and time exponents.
    pub const fn lmt(length: i8, mass: i8, time: i8) -> Self {
        Self([length, mass, time, 0, 0, 0, 0, 0])
    }

    fn times(self, other: Self, exponent: i8) -> Self {
        let mut sum = self.0;
        for (mine, theirs) in sum.iter_mut().zip(other.0) {
            *mine = mine.saturating_add(theirs.saturating_mul(exponent));
        }
        Self(sum)
    }
}

const LENGTH: Dimension = Dimension::lmt(1, 0, 0);
const AREA: Dimension = Dimension::lmt(2, 0, 0);
const VOLUME: Dimension = Dimension::lmt(3, 0, 0);
const MASS: Dimension = Dimension::lmt(0, 1, 0);
const TIME: Dimension = Dimension::lmt(0, 0, 1);
const SPEED: Dimension = Dimension::lmt(1, 0, -1);
const PRESSURE: Dimension = Dimension::lmt(-1, 1, -2);
const ENERGY: Dimension = Dimension::lmt(2, 1, -2);
const POWER: Dimension = Dimension::lmt(2, 1, -3);
const TEMPERATURE: Dimension = Dimension([0, 0, 0, 1, 0, 0, 0, 0]);
const ANGLE: Dimension = Dimension([0, 0, 0, 0, 1, 0, 0, 0]);
const DOLLAR: Dimension = Dimension([0, 0, 0, 0, 0, 1, 0, 0]);
const EURO: Dimension = Dimension([0, 0, 0, 0, 0, 0, 1, 0]);
const STERLING: Dimension = Dimension([0, 0, 0, 0, 0, 0, 0, 1]);

/// A unit word: how it is printed, what else it is called, its dimension and its size in SI.
struct Word {
    name: &'static str,
    also: &'static [&'static str],
    dimension: Dimension,
    scale: f64,
    /// SI value of zero on an absolute scale (temperatures only).
    zero: f64,
}

const fn word(name: &'static str, also: &'static [&'static str], dimension: Dimension, scale: f64) -> Word {
    Word { name, also, dimension, scale, zero: 0.0 }
}

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const YARD: f64 = 0.9144;
const MILE: f64 = 1609.344;
const ACRE: f64 = 43_560.0 * FOOT * FOOT;
const GALLON: f64 = 231.0 * INCH * INCH * INCH;
const POUND: f64 = 0.453_592_37;
const DAY: f64 = 86_400.0;
/// A year of 365.25 days; a month is its twelfth.
const YEAR: f64 = 365.25 * DAY;

/// Sizes: NIST Handbook 44 (2024), Appendix C (international foot, avoirdupois pound, US liquid gallon of 231 in³).
static WORDS: [Word; 49] = [
    word("in", &["inch", "inches"], LENGTH, INCH),
    word("ft", &["foot", "feet"], LENGTH, FOOT),
    word("yd", &["yard", "yards"], LENGTH, YARD),
    word("mi", &["mile", "miles"], LENGTH, MILE),
    word("mm", &["millimetre", "millimetres", "millimeter", "millimeters"], LENGTH, 1e-3),
    word("cm", &["centimetre", "centimetres", "centimeter", "centimeters"], LENGTH, 1e-2),
    word("m", &["metre", "metres", "meter", "meters"], LENGTH, 1.0),
    word("km", &["kilometre", "kilometres", "kilometer", "kilometers"], LENGTH, 1e3),
    word("acre", &["acres", "ac"], AREA, ACRE),
    word("ha", &["hectare", "hectares"], AREA, 1e4),
    word("floz", &["fluidounce", "fluidounces"], VOLUME, GALLON / 128.0),
    word("tsp", &["teaspoon", "teaspoons"], VOLUME, GALLON / 768.0),
    word("tbsp", &["tablespoon", "tablespoons"], VOLUME, GALLON / 256.0),
    word("cup", &["cups"], VOLUME, GALLON / 16.0),
    word("pt", &["pint", "pints"], VOLUME, GALLON / 8.0),
    word("qt", &["quart", "quarts"], VOLUME, GALLON / 4.0),
    word("gal", &["gallon", "gallons"], VOLUME, GALLON),
    word("L", &["l", "litre", "litres", "liter", "liters"], VOLUME, 1e-3),
    word("mL", &["ml", "millilitre", "millilitres", "milliliter", "milliliters"], VOLUME, 1e-6),
    word("oz", &["ounce", "ounces"], MASS, POUND / 16.0),
    word("lb", &["lbs", "pound", "pounds"], MASS, POUND),
    word("ton", &["tons"], MASS, 2000.0 * POUND),
    word("mg", &["milligram", "milligrams"], MASS, 1e-6),
    word("g", &["gram", "grams", "gramme", "grammes"], MASS, 1e-3),
    word("kg", &["kilogram", "kilograms", "kilogramme", "kilogrammes"], MASS, 1.0),
    word("t", &["tonne", "tonnes"], MASS, 1000.0),
    word("s", &["sec", "second", "seconds"], TIME, 1.0),
    word("min", &["minute", "minutes"], TIME, 60.0),
    word("h", &["hr", "hrs", "hour", "hours"], TIME, 3600.0),
    word("day", &["days"], TIME, DAY),
    word("week", &["weeks"], TIME, 7.0 * DAY),
    word("month", &["months"], TIME, YEAR / 12.0),
    word("year", &["years", "yr"], TIME, YEAR),
    word("mph", &[], SPEED, MILE / 3600.0),
    Word { name: "degF", also: &["°F", "fahrenheit", "F"], dimension: TEMPERATURE, scale: 5.0 / 9.0, zero: 459.67 * 5.0 / 9.0 },
    Word { name: "degC", also: &["°C", "celsius", "centigrade", "C"], dimension: TEMPERATURE, scale: 1.0, zero: 273.15 },
    word("Pa", &["pascal", "pascals"], PRESSURE, 1.0),
    word("hPa", &["hectopascal", "hectopascals"], PRESSURE, 100.0),
    word("kPa", &["kilopascal", "kilopascals"], PRESSURE, 1e3),
    word("W", &["watt", "watts"], POWER, 1.0),
    word("J", &["joule", "joules"], ENERGY, 1.0),
    word("MJ", &["megajoule", "megajoules"], ENERGY, 1e6),
    word("deg", &["degree", "degrees", "°"], ANGLE, std::f64::consts::PI / 180.0),
    word("rad", &["radian", "radians"], ANGLE, 1.0),
    word("ppm", &[], Dimension::NONE, 1e-6),
    word("%", &["percent", "pct"], Dimension::NONE, 0.01),
    word("$", &["dollar", "dollars", "USD"], DOLLAR, 1.0),
    word("€", &["euro", "euros", "EUR"], EURO, 1.0),
    word("£", &["GBP"], STERLING, 1.0),
];

/// Spellings of several words, folded to one before the word is looked up.
const FOLDS: [(&str, &str); 18] = [
    ("fl. oz.", "floz"),
    ("fl. oz", "floz"),
    ("fl oz", "floz"),
    ("fluid ounces", "floz"),
    ("fluid ounce", "floz"),
    ("miles per hour", "mph"),
    ("mile per hour", "mph"),
    ("degrees fahrenheit", "degF"),
    ("degree fahrenheit", "degF"),
    ("degrees celsius", "degC"),
    ("degree celsius", "degC"),
    ("degrees f", "degF"),
    ("degrees c", "degC"),
    ("deg f", "degF"),
    ("deg c", "degC"),
    ("° f", "degF"),
    ("° c", "degC"),
    ("per cent", "%"),
];

/// One factor of a unit: a word, its exponent, the number that stands before it, and whether it is below the line.
#[derive(Debug, Clone, PartialEq)]
struct Factor {
    name: &'static str,
    exponent: i8,
    number: f64,
    below: bool,
}

/// A unit as written, with its size.
#[derive(Debug, Clone)]
pub struct Unit {
    factors: Vec<Factor>,
    dimension: Dimension,
    scale: f64,
    zero: f64,
    difference: bool,
}

impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.factors == other.factors && self.difference == other.difference
    }
}

impl Unit {
    /// No unit: a bare number.
    pub fn none() -> Self {
        Self { factors: Vec::new(), dimension: Dimension::NONE, scale: 1.0, zero: 0.0, difference: false }
    }

    /// Reads a unit, as `ft2`, `square feet`, `MJ/m2/day`, `floz/1000ft2`, `per 3.34m2`.
    ///
    /// # Errors
    /// Names the word that is not known.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let trimmed = text.trim();
        let unknown = |word: String| QuantityError::UnknownUnit {
            input: trimmed.to_owned(),
            hint: near(&word).map(|near| format!(" (did you mean `{near}`?)")).unwrap_or_default(),
            word,
            expected: "a unit".to_owned(),
            example: "ft2".to_owned(),
        };
        let currency = trimmed.chars().next().filter(|c| CURRENCIES.contains(c));
        let rest = currency.map_or(trimmed, |c| &trimmed[c.len_utf8()..]);
        let (unit, rest) = take(currency, rest).map_err(unknown)?;
        if rest.trim().is_empty() { Ok(unit) } else { Err(unknown(rest.trim().to_owned())) }
    }

    /// The dimension.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// True for a bare number.
    pub fn is_none(&self) -> bool {
        self.factors.is_empty()
    }

    /// True for a bare number, a percentage or parts per million.
    pub fn is_share(&self) -> bool {
        self.factors.iter().all(|f| matches!(f.name, "%" | "ppm") && !f.below)
    }

    /// True where the unit starts with money.
    pub fn is_money(&self) -> bool {
        self.factors.first().is_some_and(|f| matches!(f.name, "$" | "€" | "£") && !f.below)
    }

    /// True for a temperature on its own scale (not a difference).
    pub fn is_absolute_temperature(&self) -> bool {
        self.dimension == TEMPERATURE && self.factors.len() == 1 && !self.difference
    }

    /// True where a temperature stands for a difference.
    pub fn is_difference(&self) -> bool {
        self.difference
    }

    /// The same unit as a difference of temperatures (degrees apart, not degrees on the scale).
    #[must_use]
    pub fn as_difference(&self) -> Self {
        Self { zero: 0.0, difference: self.dimension == TEMPERATURE, ..self.clone() }
    }

    /// Size of this unit in the other's, where both are plain scales; exact where the two words stand in a whole ratio.
    pub(crate) fn ratio_to(&self, other: &Self) -> Option<f64> {
        if self.dimension != other.dimension || self.is_absolute_temperature() || other.is_absolute_temperature() {
            return None;
        }
        let ratio = self.scale / other.scale;
        let inverse = other.scale / self.scale;
        let whole = |value: f64| (value - value.round()).abs() <= 1e-12 * value.abs() && value.abs() < 1e12 && value.abs() >= 0.5;
        Some(if whole(ratio) {
            ratio.round()
        } else if whole(inverse) {
            1.0 / inverse.round()
        } else {
            ratio
        })
    }

    pub(crate) fn to_si(&self, value: f64) -> f64 {
        value * self.scale + self.zero
    }

    #[allow(clippy::wrong_self_convention)]
    pub(crate) fn from_si(&self, si: f64) -> f64 {
        (si - self.zero) / self.scale
    }

    /// Puts a printed number and this unit together.
    pub(crate) fn join(&self, number: &str) -> String {
        if self.is_none() {
            return number.to_owned();
        }
        let text = self.to_string();
        if self.is_money() {
            let sign = &self.factors[0].name;
            let tail = &text[sign.len()..];
            return number.strip_prefix('-').map_or_else(|| format!("{sign}{number}{tail}"), |body| format!("-{sign}{body}{tail}"));
        }
        match text.strip_prefix('/') {
            Some(below) => format!("{number} per {below}"),
            None if text == "%" => format!("{number}%"),
            None => format!("{number} {text}"),
        }
    }

    fn from_factors(factors: Vec<Factor>) -> Result<Self, String> {
        let mut unit = Self::none();
        for factor in &factors {
            let word = find(factor.name).ok_or_else(|| factor.name.to_owned())?;
            let power = if factor.below { -factor.exponent } else { factor.exponent };
            unit.dimension = unit.dimension.times(word.dimension, power);
            unit.scale *= word.scale.powi(i32::from(power)) * if factor.below { 1.0 / factor.number } else { factor.number };
            unit.zero = word.zero;
        }
        if factors.len() != 1 || factors[0].below || factors[0].exponent != 1 {
            unit.zero = 0.0;
        }
        unit.factors = factors;
        Ok(unit)
    }
}

impl std::fmt::Display for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (index, factor) in self.factors.iter().enumerate() {
            if factor.below {
                f.write_str("/")?;
            } else if index > 0 {
                f.write_str("*")?;
            }
            #[allow(clippy::float_cmp)]
            if factor.number != 1.0 {
                write!(f, "{}", factor.number)?;
            }
            f.write_str(factor.name)?;
            if factor.exponent != 1 {
                write!(f, "{}", factor.exponent)?;
            }
        }
        Ok(())
    }
}

/// Takes a unit from the front of `text`; the error is the word that is not known.
pub(crate) fn take(currency: Option<char>, text: &str) -> Result<(Unit, &str), String> {
    let mut factors = Vec::new();
    if let Some(sign) = currency {
        let name = ["$", "€", "£"].into_iter().find(|name| name.starts_with(sign)).unwrap_or("$");
        factors.push(Factor { name, exponent: 1, number: 1.0, below: false });
    }
    let mut rest = text;
    let mut first = factors.is_empty();
    loop {
        let trimmed = rest.trim_start();
        let (below, after) = match take_joint(trimmed) {
            Some(after) => (true, after),
            None if first => (false, trimmed),
            None => break,
        };
        if after.trim().is_empty() && !below {
            break;
        }
        if !below && !starts_unit(after) {
            break;
        }
        let (number, after) = if below { take_multiplier(after) } else { (1.0, after) };
        let (name, exponent, after) = take_word(after)?;
        factors.push(Factor { name, exponent, number, below });
        rest = after;
        first = false;
    }
    Ok((Unit::from_factors(factors)?, rest))
}

fn starts_unit(text: &str) -> bool {
    text.starts_with(|c: char| c.is_alphabetic() || matches!(c, '%' | '°' | '$' | '€' | '£'))
}

fn take_joint(text: &str) -> Option<&str> {
    if let Some(after) = text.strip_prefix('/') {
        return Some(after.trim_start());
    }
    let head: String = text.chars().take(4).collect();
    (head.eq_ignore_ascii_case("per ")).then(|| text[4..].trim_start())
}

fn take_multiplier(text: &str) -> (f64, &str) {
    match number::take(text) {
        Ok((value, rest)) if value > 0.0 => (value, rest.trim_start()),
        _ => (1.0, text),
    }
}

fn take_word(text: &str) -> Result<(&'static str, i8, &str), String> {
    let (folded, consumed) = fold(text);
    if let Some((word, consumed)) = folded.map(|word| (word, consumed)) {
        return Ok((word, 1, &text[consumed..]));
    }
    let (power, body) = match take_prefix_power(text) {
        Some((power, body)) => (Some(power), body),
        None => (None, text),
    };
    let end = body.find(|c: char| !(c.is_alphabetic() || matches!(c, '%' | '°' | '$' | '€' | '£'))).unwrap_or(body.len());
    let written = &body[..end];
    let name = find(written).map(|word| word.name).ok_or_else(|| first_word(text))?;
    let after = &body[end..];
    let after_dot = after.strip_prefix('.').filter(|tail| tail.is_empty() || tail.starts_with([' ', '/'])).unwrap_or(after);
    let (exponent, after) = match power {
        Some(power) => (power, after_dot),
        None => take_exponent(after_dot),
    };
    if exponent != 1 && find(name).is_some_and(|word| word.dimension != LENGTH) {
        return Err(first_word(text));
    }
    Ok((name, exponent, after))
}

fn first_word(text: &str) -> String {
    let end = text.find(|c: char| c.is_whitespace() || c == '/').unwrap_or(text.len());
    if end == 0 { text.chars().take(12).collect() } else { text[..end].to_owned() }
}

/// Spellings of several words at the front of `text`: the unit word and the bytes it takes.
fn fold(text: &str) -> (Option<&'static str>, usize) {
    for (spelt, word) in FOLDS {
        let Some(head) = text.get(..spelt.len()) else { continue };
        let ends = text[spelt.len()..].chars().next().is_none_or(|c| !c.is_alphanumeric());
        if head.eq_ignore_ascii_case(spelt) && ends {
            return (Some(word), spelt.len());
        }
    }
    (None, 0)
}

/// `square feet`, `sq ft`, `cubic yards`, `cu yd`.
fn take_prefix_power(text: &str) -> Option<(i8, &str)> {
    const PREFIXES: [(&str, i8); 8] =
        [("square ", 2), ("sq. ", 2), ("sq ", 2), ("sq", 2), ("cubic ", 3), ("cu. ", 3), ("cu ", 3), ("cu", 3)];
    PREFIXES.iter().find_map(|(spelt, power)| {
        let head = text.get(..spelt.len())?;
        let body = text[spelt.len()..].trim_start();
        let end = body.find(|c: char| !c.is_alphabetic()).unwrap_or(body.len());
        let names_length = find(&body[..end]).is_some_and(|word| word.dimension == LENGTH);
        (head.eq_ignore_ascii_case(spelt) && names_length).then_some((*power, body))
    })
}

fn take_exponent(text: &str) -> (i8, &str) {
    let body = text.strip_prefix('^').unwrap_or(text);
    let followed_by_digit = |tail: &str| tail.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    for (sign, exponent) in [('2', 2), ('²', 2), ('3', 3), ('³', 3)] {
        if let Some(tail) = body.strip_prefix(sign)
            && !followed_by_digit(tail)
        {
            return (exponent, tail);
        }
    }
    (1, text)
}

fn find(written: &str) -> Option<&'static Word> {
    let exact = WORDS.iter().find(|word| word.name == written || word.also.contains(&written));
    if exact.is_some() || written.len() < 2 {
        return exact;
    }
    WORDS.iter().find(|word| word.name.eq_ignore_ascii_case(written) || word.also.iter().any(|also| also.eq_ignore_ascii_case(written)))
}

/// The unit word nearest to a mistyped one, if one is near.
pub(crate) fn near(written: &str) -> Option<&'static str> {
    let body: String = written.chars().filter(|c| c.is_alphabetic()).take(24).collect::<String>().to_lowercase();
    if body.len() < 2 {
        return None;
    }
    let allowed = if body.len() > 4 { 2 } else { 1 };
    WORDS
        .iter()
        .flat_map(|word| {
            std::iter::once(word.name).chain(word.also.iter().copied()).map(|name| (distance(&body, &name.to_lowercase()), name))
        })
        .filter(|(steps, name)| *steps <= allowed && name.len() > 1)
        .min_by_key(|(steps, _)| *steps)
        .map(|(_, name)| name)
}

/// Levenshtein distance.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, cb) in b.iter().enumerate() {
            let step = (diagonal + usize::from(ca != *cb)).min(row[j] + 1).min(row[j + 1] + 1);
            diagonal = row[j + 1];
            row[j + 1] = step;
        }
    }
    row[b.len()]
}
