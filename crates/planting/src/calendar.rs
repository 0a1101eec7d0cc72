//! Months and days of lore's northern year at a place north or south of the equator.

use jiff::civil::Date;

/// Names of the months, January first.
pub const MONTHS: [&str; 12] =
    ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/// Name of a month (1–12); other numbers give `no month`.
pub fn month_name(month: u8) -> &'static str {
    usize::from(month).checked_sub(1).and_then(|i| MONTHS.get(i)).copied().unwrap_or("no month")
}

/// Months from words: single months, lists and spans, by number or name, such as `4-10`, `April to October`, `11-2`, `5, 6, sep`.
///
/// # Errors
/// What is not a month, with examples.
///
/// ```
/// use groundlore_planting::calendar::parse_months;
/// assert_eq!(parse_months("April to June, 9")?, [4, 5, 6, 9]);
/// assert_eq!(parse_months("nov-feb")?, [11, 12, 1, 2]);
/// assert!(parse_months("13").is_err());
/// # Ok::<(), groundlore_planting::calendar::MonthsError>(())
/// ```
pub fn parse_months(text: &str) -> Result<Vec<u8>, MonthsError> {
    let mut months: Vec<u8> = Vec::new();
    let plain = text.to_lowercase().replace(" to ", "-").replace(['–', '—'], "-");
    for part in plain.split([',', ';']).flat_map(|part| part.split(" and ")) {
        let mut ends = part.split('-').map(one_month);
        let span = match (ends.next(), ends.next(), ends.next()) {
            (Some(Some(only)), None, _) => vec![only],
            (Some(Some(from)), Some(Some(to)), None) => months_at(from, to, 0.0),
            _ => return Err(MonthsError { seen: part.trim().to_owned() }),
        };
        months.extend(span);
    }
    let mut seen = [false; 13];
    months.retain(|month| !std::mem::replace(&mut seen[usize::from(*month)], true));
    Ok(months)
}

fn one_month(word: &str) -> Option<u8> {
    let word = word.trim().trim_end_matches('.');
    match word.parse::<u8>() {
        Ok(number) => (1..=12).contains(&number).then_some(number),
        Err(_) if word.chars().count() >= 3 => (1..=12).find(|month| month_name(*month).to_lowercase().starts_with(word)),
        Err(_) => None,
    }
}

/// Words that are not months.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{seen}\" is not a month or a span of months; write for example 4-10, April to October, or 5, 6, 9")]
pub struct MonthsError {
    /// What was seen.
    pub seen: String,
}

/// A month (1–12) of the northern year at a latitude: itself north of the equator, six months on south of it.
///
/// The half-year swap is `common practice`; it holds for temperate plants, not for the tropics.
///
/// ```
/// use groundlore_planting::calendar::month_at;
/// assert_eq!(month_at(6, 43.0), 6);
/// assert_eq!(month_at(6, -37.8), 12);
/// assert_eq!(month_at(9, -37.8), 3);
/// ```
pub fn month_at(northern_month: u8, latitude_deg: f64) -> u8 {
    if latitude_deg < 0.0 { (northern_month + 5) % 12 + 1 } else { northern_month }
}

/// Months from first to last inclusive (over the new year when `from` is after `to`), at a latitude.
///
/// ```
/// use groundlore_planting::calendar::months_at;
/// assert_eq!(months_at(6, 8, 43.0), [6, 7, 8]);
/// assert_eq!(months_at(6, 8, -43.0), [12, 1, 2]);
/// assert_eq!(months_at(11, 2, 43.0), [11, 12, 1, 2]);
/// ```
pub fn months_at(from_month: u8, to_month: u8, latitude_deg: f64) -> Vec<u8> {
    let count = (i16::from(to_month) - i16::from(from_month)).rem_euclid(12) + 1;
    (0..count).map(|step| (i16::from(from_month) - 1 + step).rem_euclid(12) + 1).map(|m| month_at(m as u8, latitude_deg)).collect()
}

/// The first day on or after `after` that is this day of lore's northern year at a latitude.
///
/// A day that the month lacks becomes the month's last.
///
/// ```
/// use groundlore_planting::calendar::next_day;
/// use jiff::civil::date;
/// assert_eq!(next_day(3, 15, 43.0, date(2015, 9, 20)), date(2016, 3, 15));
/// assert_eq!(next_day(3, 15, -43.0, date(2015, 3, 20)), date(2015, 9, 15));
/// ```
pub fn next_day(northern_month: u8, day: i8, latitude_deg: f64, after: Date) -> Date {
    let month = i8::try_from(month_at(northern_month, latitude_deg).clamp(1, 12)).unwrap_or(1);
    let in_year = |year: i16| {
        let first = Date::new(year, month, 1).unwrap_or(after);
        Date::new(year, month, day.clamp(1, first.days_in_month())).unwrap_or(first)
    };
    let this_year = in_year(after.year());
    if this_year >= after { this_year } else { in_year(after.year().saturating_add(1)) }
}

/// A day some days later (earlier when negative), kept inside the calendar.
pub(crate) fn days_after(day: Date, days: i64) -> Date {
    day.saturating_add(jiff::Span::new().days(days.clamp(-100_000, 100_000)))
}

/// Whole days from one day to another; negative when `to` is earlier.
pub(crate) fn days_between(from: Date, to: Date) -> i64 {
    from.until(to).map_or(0, |span| i64::from(span.get_days()))
}
