//! Numbers as people write them.

/// Takes a number without a fraction: after a sign of money, `$5/10ft2` is five for each ten square feet.
///
/// # Errors
/// As [`take`].
pub fn take_whole(text: &str) -> Result<(f64, &str), String> {
    let (value, rest) = take_decimal(text.trim_start())?;
    finite(value).map(|value| (value, rest))
}

/// Takes a number from the front of `text` and returns it with what follows.
///
/// Reads signs, thousands commas (`1,250`), decimals, exponents (`1e-3`), fractions (`1/4`), mixed numbers (`2 1/2`, `2½`).
///
/// # Errors
/// Why no number could be read, as a clause.
pub fn take(text: &str) -> Result<(f64, &str), String> {
    let text = text.trim_start();
    let (sign, body) = match text.chars().next() {
        Some('-' | '−') => (-1.0, text.trim_start_matches(['-', '−'])),
        Some('+') => (1.0, &text[1..]),
        _ => (1.0, text),
    };
    if let Some((share, rest)) = take_vulgar(body) {
        return Ok((sign * share, rest));
    }
    let (whole, rest) = take_decimal(body)?;
    if let Some((share, rest)) = take_vulgar(rest.trim_start()) {
        return Ok((sign * (whole + share), rest));
    }
    let (value, rest) = take_fraction(whole, rest)?;
    finite(sign * value).map(|value| (value, rest))
}

fn finite(value: f64) -> Result<f64, String> {
    if value.is_finite() { Ok(value) } else { Err("the number is too large".to_owned()) }
}

/// `1/4` after its numerator has been read, or the `1/2` of `2 1/2`.
fn take_fraction(whole: f64, rest: &str) -> Result<(f64, &str), String> {
    if let Some(after) = rest.strip_prefix('/')
        && after.starts_with(|c: char| c.is_ascii_digit())
        && let (below, tail) = take_decimal(after)?
        && is_fraction(below, tail)
    {
        return divide(whole, below).map(|value| (value, tail));
    }
    let gap = rest.trim_start();
    if gap.len() < rest.len()
        && let Ok((above, tail)) = take_decimal(gap)
        && let Some(after) = tail.strip_prefix('/')
        && after.starts_with(|c: char| c.is_ascii_digit())
        && let Ok((below, tail)) = take_decimal(after)
        && is_fraction(below, tail)
    {
        return divide(above, below).map(|value| (whole + value, tail));
    }
    Ok((whole, rest))
}

/// `1/4 acre` and `1/4acre` hold a fraction; `40/1000ft2` is forty for each 1,000 ft².
fn is_fraction(below: f64, tail: &str) -> bool {
    let touches_unit = tail.starts_with(char::is_alphabetic);
    let is_rate = touches_unit && below > 64.0;
    !is_rate && !tail.starts_with(['.', '/'])
}

fn divide(above: f64, below: f64) -> Result<f64, String> {
    if below == 0.0 { Err("a fraction over zero".to_owned()) } else { Ok(above / below) }
}

const VULGAR: [(char, f64); 9] =
    [('½', 0.5), ('¼', 0.25), ('¾', 0.75), ('⅓', 1.0 / 3.0), ('⅔', 2.0 / 3.0), ('⅛', 0.125), ('⅜', 0.375), ('⅝', 0.625), ('⅞', 0.875)];

fn take_vulgar(text: &str) -> Option<(f64, &str)> {
    let first = text.chars().next()?;
    let (_, share) = VULGAR.iter().find(|(sign, _)| *sign == first)?;
    Some((*share, &text[first.len_utf8()..]))
}

fn take_decimal(text: &str) -> Result<(f64, &str), String> {
    let bytes = text.as_bytes();
    let mut end = 0;
    while end < bytes.len() && (bytes[end].is_ascii_digit() || bytes[end] == b',' || bytes[end] == b'.') {
        end += 1;
    }
    let mut written = &text[..end];
    while written.ends_with([',', '.']) {
        written = &written[..written.len() - 1];
    }
    end = written.len();
    if !written.contains(|c: char| c.is_ascii_digit()) {
        return Err("no digits stand in front".to_owned());
    }
    let plain = without_thousands(written)?;
    end += exponent_length(&bytes[end..]);
    let exponent = &text[written.len()..end];
    let value: f64 = format!("{plain}{exponent}").parse().map_err(|_| format!("`{written}` is no number"))?;
    finite(value).map(|value| (value, &text[end..]))
}

fn without_thousands(written: &str) -> Result<String, String> {
    if written.matches('.').count() > 1 {
        return Err(format!("`{written}` has two decimal points"));
    }
    if !written.contains(',') {
        return Ok(written.to_owned());
    }
    let whole = written.split('.').next().unwrap_or(written);
    let mut groups = whole.split(',');
    let head_ok = groups.next().is_some_and(|g| (1..=3).contains(&g.len()));
    if !head_ok || !groups.all(|g| g.len() == 3) || written.split('.').nth(1).is_some_and(|d| d.contains(',')) {
        return Err(format!("`{written}` has a comma out of place; write a decimal point, as `12.5`, or thousands as `1,250`"));
    }
    Ok(written.replace(',', ""))
}

/// Length of `e-3` at the front, if a whole exponent stands there.
fn exponent_length(bytes: &[u8]) -> usize {
    if !matches!(bytes.first(), Some(b'e' | b'E')) {
        return 0;
    }
    let sign = usize::from(matches!(bytes.get(1), Some(b'+' | b'-')));
    let digits = bytes[1 + sign..].iter().take_while(|b| b.is_ascii_digit()).count();
    if digits == 0 { 0 } else { 1 + sign + digits }
}

/// Prints a number with at most `digits` significant digits, without an exponent, without trailing zeros, with thousands commas.
///
/// ```
/// use groundlore_quantity::number::significant;
/// assert_eq!(significant(0.123_456, 3), "0.123");
/// assert_eq!(significant(27_154.29, 3), "27,154");
/// assert_eq!(significant(16.0, 3), "16");
/// ```
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let magnitude = value.abs().log10().floor();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let decimals = (digits as f64 - 1.0 - magnitude).clamp(0.0, 12.0) as usize;
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text };
    with_thousands(&text)
}

fn with_thousands(text: &str) -> String {
    let (sign, body) = text.strip_prefix('-').map_or(("", text), |body| ("-", body));
    let (whole, decimals) = body.split_once('.').map_or((body, None), |(w, d)| (w, Some(d)));
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    match decimals {
        Some(decimals) => format!("{sign}{grouped}.{decimals}"),
        None => format!("{sign}{grouped}"),
    }
}
