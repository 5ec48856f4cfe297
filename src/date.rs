//! A day of the calendar: year, month, day, as ISO 8601 writes it.

use std::fmt;

/// A date of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// `2026-11-28`; none if no such day exists.
    pub fn from_text(text: &str) -> Option<Date> {
        let digits = |part: &str, count: usize| {
            let right = part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit());
            right.then(|| part.parse::<u16>().ok())?
        };
        let mut parts = text.split('-');
        let (year, month, day) =
            (digits(parts.next()?, 4)?, digits(parts.next()?, 2)?, digits(parts.next()?, 2)?);
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let days = match month {
            2 => 28 + u16::from(leap),
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => return None,
        };
        let exists = parts.next().is_none() && (1..=days).contains(&day);
        exists.then_some(Date { year, month: month as u8, day: day as u8 })
    }

    /// Days since 1 March of the year 0, which is 0 (as civil calendars are counted from March, the leap day is the last of a year).
    pub fn day_number(self) -> i32 {
        let (year, month) = (i32::from(self.year), i32::from(self.month));
        let (year, months) = if month < 3 { (year - 1, month + 9) } else { (year, month - 3) };
        let leap_days = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
        // From March on, five months have 153 days.
        365 * year + leap_days + (153 * months + 2) / 5 + i32::from(self.day) - 1
    }

    /// `2 May`.
    pub fn in_short(self) -> String {
        let months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
        format!("{} {}", self.day, months[usize::from(self.month) - 1])
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::Date;

    #[test]
    fn days_are_counted_across_months_and_leap_years() {
        let number = |text: &str| Date::from_text(text).expect("a day").day_number();
        // 400 years have 97 leap days.
        assert_eq!(number("2400-03-01") - number("2000-03-01"), 400 * 365 + 97);
        assert_eq!(number("2024-03-01") - number("2024-02-28"), 2);
        assert_eq!(number("2026-03-01") - number("2026-02-28"), 1);
        let first = |month: usize| number(&format!("2026-{month:02}-01"));
        let long: Vec<i32> = (1..12).map(|month| first(month + 1) - first(month)).collect();
        assert_eq!(long, [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30]);
        assert_eq!(number("2027-01-01") - number("2026-12-31"), 1);
    }

    #[test]
    fn only_days_that_exist_are_dates_and_they_are_in_order() {
        let dates = ["1996-02-29", "2000-02-29", "2026-02-28", "2026-11-09", "2026-11-30", "2026-12-31"];
        let read: Vec<Date> = dates.iter().filter_map(|text| Date::from_text(text)).collect();
        assert_eq!(read.iter().map(Date::to_string).collect::<Vec<_>>(), dates);
        assert!(read.is_sorted());
        for wrong in [
            "1900-02-29",
            "2026-02-29",
            "2026-04-31",
            "2026-13-01",
            "2026-00-01",
            "2026-01-00",
            "26-01-01",
            "2026-1-1",
            "2026-01-01-01",
            "2026-01",
            "+026-01-01",
            "28.11.2026",
            "",
        ] {
            assert_eq!(Date::from_text(wrong), None, "{wrong}");
        }
    }
}
