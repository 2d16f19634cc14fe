//! Dates: today's from the clock, and whether a text is a date. The only place that asks the clock what day it is.

use std::time::{SystemTime, UNIX_EPOCH};

/// Today's date in UTC, ISO 8601.
#[must_use]
pub(crate) fn today() -> String {
    iso(seconds() / 86_400)
}

/// The time in UTC, ISO 8601: "2026-03-02T10:15:00Z".
#[must_use]
pub(crate) fn now() -> String {
    let now = seconds();
    let (day, second) = (now / 86_400, now % 86_400);
    format!("{}T{:02}:{:02}:{:02}Z", iso(day), second / 3600, second / 60 % 60, second % 60)
}

fn seconds() -> u64 {
    #[expect(clippy::disallowed_methods, reason = "the one place that asks for the time; everything else takes it as an input")]
    SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_secs())
}

/// The ISO date of a day counted from 1970-01-01, by 400-year eras that begin on 1 March.
fn iso(days_since_1970: u64) -> String {
    let days = days_since_1970 + 719_468;
    let (era, day_of_era) = (days / 146_097, days % 146_097);
    let year_of_era = (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 };
    let year = era * 400 + year_of_era + u64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}

/// True for a text of the form YYYY-MM-DD that is a day of the calendar.
#[must_use]
pub(crate) fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let number = |i: usize, digits: usize| {
        parts.get(i).filter(|p| p.len() == digits && p.bytes().all(|b| b.is_ascii_digit())).and_then(|p| p.parse::<u32>().ok())
    };
    let (3, Some(year), Some(month), Some(day)) = (parts.len(), number(0, 4), number(1, 2), number(2, 2)) else { return false };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return false,
    };
    (1..=days).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_become_dates() {
        for (day, date) in [(0, "1970-01-01"), (59, "1970-03-01"), (11_016, "2000-02-29"), (11_017, "2000-03-01"), (20_781, "2026-11-24")] {
            assert_eq!(iso(day), date);
        }
        assert!(is_date(&today()));
        assert!(
            is_date("2024-02-29") && !is_date("2026-02-29") && !is_date("2026-13-01") && !is_date("24.11.2026") && !is_date("2026-1-1")
        );
    }
}
