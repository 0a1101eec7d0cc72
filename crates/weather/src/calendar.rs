//! Day numbers, so that a date is an index into a column.

use jiff::civil::Date;

/// Days from 1970-01-01 to `date` in the proleptic Gregorian calendar (negative before it).
///
/// Uses eras of 400 years, which hold 146,097 days; the year is counted from March so that the leap day comes last.
///
/// # Example
/// ```
/// use groundlore_weather::calendar::day_number;
/// assert_eq!(day_number(jiff::civil::date(1970, 1, 1)), 0);
/// assert_eq!(day_number(jiff::civil::date(2000, 3, 1)), 11_017);
/// ```
#[must_use]
pub fn day_number(date: Date) -> i32 {
    let month = i32::from(date.month());
    let year = i32::from(date.year()) - i32::from(month <= 2);
    let era = year.div_euclid(400);
    let year_of_era = year.rem_euclid(400);
    let day_of_year = (153 * ((month + 9) % 12) + 2) / 5 + i32::from(date.day()) - 1;
    let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    era * 146_097 + day_of_era - 719_468
}

/// The date of a day number made by [`day_number`]; numbers outside the calendar of `jiff` (years −9999 to 9999) give its end.
#[must_use]
pub fn date_of(number: i32) -> Date {
    if number < day_number(Date::MIN) {
        return Date::MIN;
    }
    if number > day_number(Date::MAX) {
        return Date::MAX;
    }
    let days = number + 719_468;
    let era = days.div_euclid(146_097);
    let day_of_era = days.rem_euclid(146_097);
    let year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted_month = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * shifted_month + 2) / 5 + 1;
    let month = if shifted_month < 10 { shifted_month + 3 } else { shifted_month - 9 };
    let year = era * 400 + year_of_era + i32::from(month <= 2);
    Date::new(year as i16, month as i8, day as i8).unwrap_or(Date::MAX)
}

/// The date of month and day in a year; 29 February becomes 28 February where the year has none, any other date that does not
/// exist is `None`.
#[must_use]
pub fn month_day_in(year: i16, month: i8, day: i8) -> Option<Date> {
    match Date::new(year, month, day) {
        Ok(date) => Some(date),
        Err(_) if month == 2 && day == 29 => Date::new(year, 2, 28).ok(),
        Err(_) => None,
    }
}

/// The slot of a date in a 366-day year: 0 for 1 January, 59 for 29 February, 60 for 1 March in every year, 365 for 31 December.
#[must_use]
pub fn day_slot(date: Date) -> usize {
    const BEFORE: [usize; 12] = [0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335];
    let month = usize::try_from(date.month()).unwrap_or(1);
    BEFORE[month - 1] + usize::try_from(date.day()).unwrap_or(1) - 1
}

/// Day of year in a calendar without leap days: 1 for 1 January to 365 for 31 December; 29 February counts as 59, with 28 February.
#[must_use]
pub fn day_of_365(date: Date) -> u16 {
    let slot = day_slot(date);
    let day = if slot < 59 { slot + 1 } else { slot };
    u16::try_from(day).unwrap_or(365)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use jiff::civil::date;

    #[test]
    fn every_day_of_four_centuries_comes_back_and_follows_the_last() {
        let mut day = date(1799, 12, 31);
        let mut number = day_number(day);
        while day < date(2201, 1, 1) {
            assert_eq!(date_of(number), day);
            day = day.tomorrow().unwrap();
            number += 1;
            assert_eq!(day_number(day), number);
        }
    }

    #[test]
    fn numbers_outside_the_calendar_give_its_ends() {
        assert_eq!(date_of(i32::MIN), Date::MIN);
        assert_eq!(date_of(i32::MAX), Date::MAX);
        assert_eq!(date_of(day_number(Date::MAX)), Date::MAX);
        assert_eq!(date_of(day_number(Date::MIN)), Date::MIN);
    }

    #[test]
    fn the_leap_day_moves_to_the_28th_and_nothing_else_moves() {
        assert_eq!(month_day_in(2015, 2, 29), Some(date(2015, 2, 28)));
        assert_eq!(month_day_in(2016, 2, 29), Some(date(2016, 2, 29)));
        assert_eq!(month_day_in(2015, 2, 30), None);
        assert_eq!(month_day_in(2015, 13, 1), None);
    }

    #[test]
    fn the_first_of_march_has_one_slot_and_one_day_of_365_in_every_year() {
        assert_eq!(day_slot(date(2015, 3, 1)), 60);
        assert_eq!(day_slot(date(2016, 3, 1)), 60);
        assert_eq!(day_slot(date(2016, 12, 31)), 365);
        assert_eq!(day_of_365(date(2016, 3, 1)), 60);
        assert_eq!(day_of_365(date(2016, 2, 29)), 59);
        assert_eq!(day_of_365(date(2015, 12, 31)), 365);
    }
}
