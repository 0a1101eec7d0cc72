//! Numbers of a letter: digits, words, ranges, and the unit or area that goes with them.

use super::pattern::Hit;
use super::words::{Sentence, Word};
use groundlore_quantity::Quantity;

/// Number words.
const NUMBER_WORDS: &[(&str, f64)] = &[
    ("zero", 0.0),
    ("one", 1.0),
    ("two", 2.0),
    ("three", 3.0),
    ("four", 4.0),
    ("five", 5.0),
    ("six", 6.0),
    ("seven", 7.0),
    ("eight", 8.0),
    ("nine", 9.0),
    ("ten", 10.0),
    ("eleven", 11.0),
    ("twelve", 12.0),
    ("thirteen", 13.0),
    ("fourteen", 14.0),
    ("fifteen", 15.0),
    ("sixteen", 16.0),
    ("seventeen", 17.0),
    ("eighteen", 18.0),
    ("nineteen", 19.0),
    ("twenty", 20.0),
    ("thirty", 30.0),
    ("forty", 40.0),
    ("fifty", 50.0),
    ("couple", 2.0),
    ("dozen", 12.0),
    ("hundred", 100.0),
];

/// Words for units of length and share, with the unit that the quantity grammar knows.
const LENGTH_WORDS: &[(&str, &str)] = &[
    ("inch", "in"),
    ("inches", "in"),
    ("ins", "in"),
    ("foot", "ft"),
    ("feet", "ft"),
    ("ft", "ft"),
    ("yard", "yd"),
    ("yards", "yd"),
    ("yd", "yd"),
    ("mm", "mm"),
    ("millimetres", "mm"),
    ("millimeters", "mm"),
    ("cm", "cm"),
    ("centimetres", "cm"),
    ("centimeters", "cm"),
    ("m", "m"),
    ("metre", "m"),
    ("metres", "m"),
    ("meter", "m"),
    ("meters", "m"),
    ("percent", "%"),
];

/// Words for units of area, joined: `square foot` is looked up as `square` and a length.
const AREA_WORDS: &[(&str, &str)] =
    &[("ft2", "ft2"), ("sqft", "ft2"), ("m2", "m2"), ("sqm", "m2"), ("yd2", "yd2"), ("sqyd", "yd2"), ("cm2", "cm2"), ("in2", "in2")];

/// A number in a row of words: low and high end and the index of the word after it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// Lower end (the number itself where it is no range).
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Index of the next word.
    pub next: usize,
}

impl Number {
    /// Middle of the range.
    pub fn middle(self) -> f64 {
        f64::midpoint(self.low, self.high)
    }
}

/// Reads a number that starts at word `i`: `12`, `1/2`, `a dozen`, `half a dozen`, `3 to 5`, `three or four`, `twenty five`.
pub fn number_at(words: &[Word], i: usize) -> Option<Number> {
    let (low, next) = single_at(words, i)?;
    let joiner = words.get(next).is_some_and(|w| matches!(w.lower.as_str(), "to" | "or"));
    let upper = if joiner { single_at(words, next + 1) } else { adjacent(words, next) };
    match upper {
        Some((high, after)) if high > low => Some(Number { low, high, next: after }),
        _ => Some(Number { low, high: low, next }),
    }
}

/// `3-5`: two numbers joined by a single character.
fn adjacent(words: &[Word], next: usize) -> Option<(f64, usize)> {
    let (before, here) = (words.get(next.checked_sub(1)?)?, words.get(next)?);
    let joined = here.start.saturating_sub(before.end) <= 3
        && here.start > before.end
        && !here.after_comma
        && here.lower.starts_with(|c: char| c.is_ascii_digit())
        && here.place == before.place + 1;
    // `1 1/2` is one number, not a range.
    if joined && here.start - before.end == 1 && !here.lower.contains('/') { single_at(words, next) } else { None }
}

fn single_at(words: &[Word], i: usize) -> Option<(f64, usize)> {
    let lower = words.get(i)?.lower.as_str();
    let next = words.get(i + 1).map(|w| w.lower.as_str());
    match (lower, next) {
        ("half", Some("dozen")) => return Some((6.0, i + 2)),
        ("half", Some("a")) if words.get(i + 2).is_some_and(|w| w.lower == "dozen") => return Some((6.0, i + 3)),
        ("a" | "an", Some("dozen" | "hundred" | "couple")) => return single_at(words, i + 1),
        ("quarter", _) => return Some((0.25, i + 1)),
        ("half", _) => return Some((0.5, i + 1)),
        _ => {}
    }
    if let Some((_, value)) = NUMBER_WORDS.iter().find(|(w, _)| *w == lower) {
        let tens = *value >= 20.0 && *value < 100.0;
        let unit = tens.then(|| NUMBER_WORDS.iter().find(|(w, v)| Some(*w) == next && *v >= 1.0 && *v < 10.0)).flatten();
        return Some(unit.map_or((*value, i + 1), |(_, v)| (value + v, i + 2))).map(|(v, n)| multiplied(words, v, n));
    }
    let value = digits(lower)?;
    match next.and_then(|n| if n.contains('/') && value.fract() == 0.0 { digits(n) } else { None }) {
        Some(part) if part < 1.0 => Some((value + part, i + 2)),
        _ => Some(multiplied(words, value, i + 1)),
    }
}

/// `two dozen`, `a hundred`.
fn multiplied(words: &[Word], value: f64, next: usize) -> (f64, usize) {
    match words.get(next).map(|w| w.lower.as_str()) {
        Some("dozen") if value < 12.0 => (value * 12.0, next + 1),
        Some("hundred") if value < 100.0 => (value * 100.0, next + 1),
        _ => (value, next),
    }
}

fn digits(lower: &str) -> Option<f64> {
    if let Some((a, b)) = lower.split_once('/') {
        let (a, b): (f64, f64) = (a.parse().ok()?, b.parse().ok()?);
        return (b > 0.0).then(|| a / b);
    }
    lower.starts_with(|c: char| c.is_ascii_digit()).then(|| lower.replace(',', "").parse::<f64>().ok()).flatten().filter(|v| v.is_finite())
}

/// A length or share that starts with the number at `i`: `6 inches`, `1/4"`, `30 %`.
fn measured(text: &str, words: &[Word], number: Number) -> Option<Quantity> {
    let last = words.get(number.next.checked_sub(1)?)?;
    let mark = text.get(last.end..)?.trim_start().chars().next();
    let unit = match mark {
        Some('"' | '″' | '”') => Some("in"),
        Some('%') => Some("%"),
        _ => words.get(number.next).and_then(|w| length_unit(words, number.next, &w.lower)),
    }?;
    Quantity::new(number.middle(), unit).ok()
}

fn length_unit(words: &[Word], i: usize, lower: &str) -> Option<&'static str> {
    if lower == "in" {
        // `2 in across` is inches; `12 in a square foot` is not.
        return words
            .get(i + 1)
            .is_none_or(|w| {
                !matches!(
                    w.lower.as_str(),
                    "a" | "an" | "the" | "one" | "each" | "my" | "our" | "that" | "this" | "about" | "all" | "total" | "1" | "every"
                )
            })
            .then_some("in");
    }
    LENGTH_WORDS.iter().find(|(w, _)| *w == lower).map(|(_, u)| *u)
}

/// An area that starts at word `i`: `a square foot`, `ft2`, `each sq ft`, `4 square feet`, `a foot square`, `a 6 inch square`. Returns its size in `unit` and the unit.
fn area_at(words: &[Word], i: usize) -> Option<(f64, &'static str)> {
    let (size, at) = match number_at(words, i) {
        Some(n) => (n.middle(), n.next),
        None => (
            1.0,
            if words.get(i).is_some_and(|w| matches!(w.lower.as_str(), "a" | "an" | "each" | "every" | "the" | "per")) { i + 1 } else { i },
        ),
    };
    if size == 1.0
        && at == i + 1
        && number_at(words, at).is_some_and(|n| n.next > at)
        && words.get(i).is_some_and(|w| matches!(w.lower.as_str(), "a" | "each" | "per" | "one" | "every"))
    {
        return area_at(words, at);
    }
    let word = words.get(at)?.lower.as_str();
    if let Some((_, unit)) = AREA_WORDS.iter().find(|(w, _)| *w == word) {
        return Some((size, unit));
    }
    let length = |w: Option<&Word>| w.and_then(|w| LENGTH_WORDS.iter().find(|(l, _)| *l == w.lower)).map(|(_, u)| *u);
    let squared = |u: &str| match u {
        "ft" => Some("ft2"),
        "yd" => Some("yd2"),
        "in" => Some("in2"),
        "m" => Some("m2"),
        "cm" => Some("cm2"),
        _ => None,
    };
    if matches!(word, "square" | "sq") {
        return length(words.get(at + 1)).and_then(squared).map(|u| (size, u));
    }
    let unit = length(words.get(at))?;
    match words.get(at + 1).map(|w| w.lower.as_str()) {
        Some("square" | "squared") => squared(unit).map(|u| (size * size, u)),
        Some("by" | "x") => squared(unit).map(|u| (size * number_at(words, at + 2).map_or(size, Number::middle), u)),
        _ => None,
    }
}

/// The number that belongs to a hit: a count per area (`a dozen grubs in a square foot` gives `12 per ft2`), a length or share near it, or a bare count.
pub fn number_for(text: &str, sentence: &Sentence, hit: &Hit) -> Option<Quantity> {
    let words = &sentence.words;
    let clause = words[hit.first()].clause;
    let mut best: Option<(usize, Quantity)> = None;
    let mut i = 0;
    while i < words.len() {
        let Some(number) = number_at(words, i).filter(|_| words[i].clause == clause) else {
            i += 1;
            continue;
        };
        let distance =
            if i <= hit.first() { hit.first().saturating_sub(number.next) } else { (i.saturating_sub(hit.last())).saturating_sub(1) };
        let found = if distance > 5 || is_date_or_time(words, i, number) { None } else { quantity_of(text, words, number, i, hit) };
        if let Some(q) = found
            && best.as_ref().is_none_or(|(d, _)| distance < *d)
        {
            best = Some((distance, q));
        }
        i = number.next.max(i + 1);
    }
    best.map(|(_, q)| q)
}

fn quantity_of(text: &str, words: &[Word], number: Number, i: usize, hit: &Hit) -> Option<Quantity> {
    if area_at(words, i).is_some() {
        return None;
    }
    if let Some(length) = measured(text, words, number) {
        return Some(length);
    }
    let tail_end = (number.next + 10).min(words.len());
    let per = (number.next..tail_end).find_map(|k| match words[k].lower.as_str() {
        "per" | "in" | "a" | "each" | "every" | "from" | "for" => {
            area_at(words, k + 1).or_else(|| if words[k].lower == "in" || words[k].lower == "per" { None } else { area_at(words, k) })
        }
        _ => AREA_WORDS.iter().find(|(w, _)| *w == words[k].lower).map(|(_, u)| (1.0, *u)),
    });
    let counted = if i <= hit.first() { hit.first().saturating_sub(number.next) } else { i.saturating_sub(hit.last() + 1) };
    let (from, to) = if i <= hit.first() { (number.next, hit.first()) } else { (hit.last() + 1, i) };
    if counted > 2 || words.get(from..=to).is_some_and(|between| between.iter().any(|w| w.after_comma) && i <= hit.first()) {
        return None;
    }
    match per {
        Some((size, unit)) if size > 0.0 => Quantity::parse(&format!("{} per {unit}", number.middle() / size)).ok(),
        // A bare count belongs to something that is told in the plural right after it.
        _ => {
            let plural = (i..=number.next + 2)
                .any(|k| k >= number.next && hit.used.contains(&k) && words[k].lower.ends_with('s') && words[k].lower != words[k].stem);
            (plural || number.middle() == 0.0).then(|| Quantity::bare(number.middle()))
        }
    }
}

fn is_date_or_time(words: &[Word], i: usize, number: Number) -> bool {
    const TIMES: &[&str] =
        &["day", "week", "month", "year", "hour", "minut", "time", "pm", "am", "oclock", "degre", "st", "nd", "rd", "th", "zone"];
    let after = words.get(number.next).is_some_and(|w| {
        TIMES.contains(&w.stem.as_str())
            || matches!(w.lower.as_str(), "days" | "weeks" | "months" | "years" | "hours" | "minutes" | "times" | "of" | "degrees")
    });
    let before =
        i > 0 && (is_month(&words[i - 1].lower) || matches!(words[i - 1].lower.as_str(), "zone" | "no" | "age" | "this" | "that" | "the"));
    let month_after = words.get(number.next).is_some_and(|w| is_month(&w.lower));
    let year = number.low >= 1900.0 && number.low <= 2100.0;
    (after && words.get(number.next).is_some_and(|w| w.lower != "of")) || (before && words[i].lower != "zero") || month_after || year
}

/// True for the name of a month, long or short.
pub fn is_month(lower: &str) -> bool {
    const MONTHS: &[&str] = &[
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
        "jan",
        "feb",
        "apr",
        "jun",
        "jul",
        "aug",
        "sept",
        "sep",
        "oct",
        "nov",
        "dec",
    ];
    MONTHS.contains(&lower)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;
    use crate::letter::pattern::{GAP, Pattern};
    use crate::letter::words::sentences;

    fn number(pattern: &str, text: &str) -> Option<Quantity> {
        let s = sentences(text).into_iter().next().unwrap();
        let hit = Pattern::compile(pattern).find(&s, GAP).into_iter().next().unwrap();
        number_for(text, &s, &hit)
    }

    #[test]
    fn counts_carry_their_area() {
        for (text, per_ft2) in [
            ("about a dozen grubs in a square foot", 12.0),
            ("12 grubs per square foot", 12.0),
            ("We found 8 to 10 grubs per sq ft", 9.0),
            ("grubs, 12 per ft2", 12.0),
            ("half a dozen grubs in each square foot", 6.0),
            ("I counted 20 grubs in 4 square feet", 5.0),
            ("three grubs in a 6 inch square", 12.0),
            ("18 grubs in one square yard", 2.0),
            ("twenty five grubs a square foot", 25.0),
            ("3-5 grubs per ft2", 4.0),
        ] {
            let q = number("grub", text).unwrap_or_else(|| panic!("{text}"));
            assert!((q.in_unit("per ft2").unwrap() - per_ft2).abs() < 1e-9, "{text}: {q}");
        }
    }

    #[test]
    fn lengths_and_bare_counts() {
        assert_eq!(number("spot", "The spots are about 6 inches across").unwrap().in_unit("in").unwrap(), 6.0);
        assert_eq!(number("spot", "1/4\" spots all over").unwrap().in_unit("in").unwrap(), 0.25);
        assert_eq!(number("spot", "three spots").unwrap(), Quantity::bare(3.0));
        assert_eq!(number("spot", "spots for 3 weeks"), None);
        assert_eq!(number("spot", "spots since June 12"), None);
    }
}
